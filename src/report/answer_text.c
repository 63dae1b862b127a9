// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/answer_text.h"

#include "base/visible.h"
#include "report/coverage_text.h"
#include "report/format.h"
#include "report/lack_text.h"
#include "report/ladder_text.h"
#include "report/move_text.h"

#define U64 G_GUINT64_FORMAT

static const char *
name_of(const RcReport *r, guint index)
{
  return r->comparison->sizes[index].layout->name;
}

static RcCounts
counts_of(const RcReport *r, guint index)
{
  return r->comparison->sizes[index].counts;
}

// "plays 40 of 51 tunes and carries 96 % of the playing time"
static char *
carries_text(const RcReport *r, const RcCounts *counts)
{
  char percent[8];
  rc_percent(percent, rc_counts_carried(counts, r->comparison->accept), rc_counts_read(counts), 0,
             r->comparison->target.millionths);
  if (counts->playable == counts->tunes) {
    return counts->tunes == 1 ? g_strdup("plays the tune") : g_strdup_printf("plays all %" U64 " tunes", counts->tunes);
  }
  return g_strdup_printf("plays %" U64 " of %" U64 " tune%s and carries %s %% of the %s%s", counts->playable,
                         counts->tunes, counts->tunes == 1 ? "" : "s", *percent == '-' ? "0" : percent,
                         rc_share_of(counts), counts->chords[RC_UNREAD] ? " that could be read" : "");
}

char *
rc_answer_headline(const RcReport *r)
{
  static const char *const verdicts[] = {
    [RC_ENOUGH_WHOLE] = "Yes", [RC_ENOUGH_NEARLY] = "Nearly", [RC_ENOUGH_TIME] = "Mostly", [RC_ENOUGH_NOT] = "No"
  };
  const RcCounts counts = counts_of(r, r->chosen);
  if (!r->owned || !rc_counts_read(&counts)) {
    return rc_coverage_finding(r->comparison);
  }
  char *carries = carries_text(r, &counts);
  char *text = g_strdup_printf("%s: the %s %s", verdicts[r->advice.enough], name_of(r, r->chosen), carries);
  g_free(carries);
  return text;
}

const char rc_answer_caution[] =
  "Before you buy, play the instrument for a good while; mind its weight and your back, and ask a teacher, or a doctor "
  "where something hurts.";

enum { CHORDS_NAMED = 4 };

// ---------------------------------------------------------------------------------------------------------- figures

// The chords that are not carried, longest first; empty where there are none.
static char *
lacking_names(const RcReport *r, guint index)
{
  guint left = 0;
  GString *text = g_string_new(NULL);
  rc_append_unplayable(text, r->roll, index, RC_SIGNS_UNICODE, CHORDS_NAMED, &left);
  if (left) {
    g_string_append_printf(text, " and %u chord%s more", left, left == 1 ? "" : "s");
  }
  return g_string_free(text, FALSE);
}

static RcAnswerFigure
time_figure(const RcReport *r)
{
  char percent[8];
  const RcCounts counts = counts_of(r, r->chosen);
  char *lacking = lacking_names(r, r->chosen);
  rc_percent(percent, rc_counts_carried(&counts, r->comparison->accept), rc_counts_read(&counts), 0,
             r->comparison->target.millionths);
  const RcAnswerFigure figure = { g_strdup_printf("%s\u00a0%%", *percent == '-' ? "0" : percent),
                                  g_strdup_printf("of the %s at grade %s or better%s%s", rc_share_of(&counts),
                                                  rc_verdict_name(r->comparison->accept),
                                                  *lacking ? "; lacking first: " : "", lacking) };
  g_free(lacking);
  return figure;
}

static RcAnswerFigure
tunes_figure(const RcReport *r)
{
  enum { MANY = 1000 }; // that leave no room for the word "of" and their number beside those that play
  const RcCounts counts = counts_of(r, r->chosen);
  const gboolean many = counts.tunes >= MANY;
  GString *text = g_string_new(NULL);
  if (many) {
    g_string_append_printf(text, "of %" U64 " ", counts.tunes);
  }
  g_string_append(text, "tunes playable");
  if (counts.playable) {
    g_string_append_printf(text, ", %" U64 " of them native", counts.native);
  }
  if (counts.one_short) {
    g_string_append_printf(text, "; %" U64 " more %s one chord short", counts.one_short,
                           counts.one_short == 1 ? "is" : "are");
  }
  char *value = many ? g_strdup_printf("%" U64, counts.playable)
                     : g_strdup_printf("%" U64 " of %" U64, counts.playable, counts.tunes);
  return (RcAnswerFigure){ value, g_string_free(text, FALSE) };
}

// The player's own size is named where another has as few buttons; that one is named beside it.
static RcAnswerFigure
size_figure(const RcReport *r)
{
  const RcCounts counts = counts_of(r, r->chosen);
  char *percent = rc_target_text(r->comparison->target.millionths);
  const int smallest = r->advice.by_time;
  const int other = r->comparison->by_time;
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s %s %% of the %s",
                         smallest < 0 ? "of these sizes carries" : "the smallest of these sizes that carries", percent,
                         rc_share_of_short(&counts));
  if (other != smallest) {
    g_string_append_printf(text, "; so is the %s, with as many buttons", name_of(r, (guint)other));
  }
  g_free(percent);
  return (RcAnswerFigure){ g_strdup(smallest < 0 ? "none" : name_of(r, (guint)smallest)), g_string_free(text, FALSE) };
}

void
rc_answer_figures(const RcReport *r, RcAnswerFigure figures[RC_ANSWER_FIGURES])
{
  figures[0] = time_figure(r);
  figures[1] = tunes_figure(r);
  figures[2] = size_figure(r);
}

// ---------------------------------------------------------------------------------------------------------- actions

// "first Bm (for 10 tunes), F♯m (9), …: 75 stand-ins in all"
static char *
learn_text(const RcReport *r, guint letters)
{
  enum { AROUND = 30 }; // letters beside the names
  guint n;
  char *needed = rc_lessons_text(r->advice.ladder, letters - AROUND, RC_SIGNS_UNICODE, &n);
  char *text = n ? g_strdup_printf("first %s: %u stand-in%s in all", needed, n, n == 1 ? "" : "s") : NULL;
  g_free(needed);
  return text;
}

// "all 11 tunes" or "7 of the 11 tunes", which are left.
static char *
left_text(guint64 some, guint64 all)
{
  return some < all ? g_strdup_printf("%" U64 " of the %" U64 " tunes left", some, all)
         : all > 1  ? g_strdup_printf("all %" U64 " tunes left", all)
                    : g_strdup("the tune left");
}

static char *
move_text(const RcReport *r, guint letters, const char *where)
{
  const RcAdvice *advice = &r->advice;
  if (!advice->n_moved) {
    return NULL;
  }
  const RcCounts counts = counts_of(r, r->chosen);
  char *left = left_text(advice->n_moved, counts.tunes - counts.playable);
  char *place = rc_move_key(advice->moved->tune, advice->moved->move, RC_SIGNS_UNICODE);
  char *title = rc_visible(advice->moved->tune->title);
  char *text = g_strdup_printf("%s, first “%s” to %s; see %s", left, title, place, where);
  if (g_utf8_strlen(text, -1) > (glong)letters || !*place) {
    g_free(text);
    text = g_strdup_printf("%s to other keys; see %s", left, where);
  }
  g_free(left);
  g_free(title);
  g_free(place);
  return text;
}

static char *
buy_text(const RcReport *r)
{
  const guint best = r->advice.best;
  const RcSizeAnswer *here = &r->comparison->sizes[r->chosen];
  const RcSizeAnswer *there = &r->comparison->sizes[best];
  if (here->counts.playable >= there->counts.playable) {
    return g_strdup(here->counts.playable == here->counts.tunes
                      ? "nothing: this size plays them all"
                      : "nothing: no other of these sizes plays more of them");
  }
  char now[8];
  char then[8];
  const RcVerdict accept = r->comparison->accept;
  rc_percent(now, rc_counts_carried(&here->counts, accept), rc_counts_read(&here->counts), 0,
             r->comparison->target.millionths);
  rc_percent(then, rc_counts_carried(&there->counts, accept), rc_counts_read(&there->counts), 0,
             r->comparison->target.millionths);
  return g_strdup_printf("the %s%s: it plays %" U64 " tune%s in place of %" U64 ", %s %% of the %s in place of %s %%",
                         name_of(r, best), here->buttons == there->buttons ? ", of the same size" : "",
                         there->counts.playable, there->counts.playable == 1 ? "" : "s", here->counts.playable, then,
                         rc_share_of_short(&here->counts), *now == '-' ? "0" : now);
}

guint
rc_answer_actions(const RcReport *r, guint letters, const char *moves, RcAnswerAction actions[RC_ANSWER_ACTIONS])
{
  guint n = 0;
  const RcAnswerAction all[RC_ANSWER_ACTIONS] = { { "Learn", learn_text(r, letters) },
                                                  { "Move", move_text(r, letters, moves) },
                                                  { "Buy", buy_text(r) } };
  for (guint i = 0; i < RC_ANSWER_ACTIONS; ++i) {
    if (all[i].text) {
      actions[n++] = all[i];
    }
  }
  return n;
}

// --------------------------------------------------------------------------------------------------- what is left out

// Adds "18 hold text that could not be read" or the like to a list, where there are any.
static void
append_some(GString *text, guint64 n, const char *one, const char *many)
{
  if (n) {
    g_string_append_printf(text, "%s%" U64 " %s", text->len ? "; " : "", n, n == 1 ? one : many);
  }
}

char *
rc_answer_left_out(const RcReport *r)
{
  const RcAdvice *advice = &r->advice;
  const RcCounts best = counts_of(r, advice->best);
  GString *text = g_string_new(NULL);
  append_some(text, advice->elsewhere, "is playable on another of these sizes",
              "are playable on others of these sizes");
  append_some(text, advice->unread,
              "holds text that could not be read, and would be playable on some of these sizes but for it",
              "hold text that could not be read, and would be playable on some of these sizes but for it");
  append_some(text, advice->nowhere, "is playable on none of these sizes", "are playable on none of these sizes");
  if (advice->nowhere) {
    char *lacking = lacking_names(r, advice->best);
    g_string_append_printf(text, ": even the %s lacks %s", name_of(r, advice->best), lacking);
    g_free(lacking);
  }
  if (text->len) {
    char *tunes = g_strdup_printf("Of the %" U64 " tunes that the %s does not play, ", best.tunes - best.playable,
                                  name_of(r, advice->best));
    g_string_prepend(text, tunes);
    g_string_append_c(text, '.');
    g_free(tunes);
  }
  return g_string_free(text, FALSE);
}
