// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/answer_text.h"

#include "report/coverage_text.h"
#include "report/format.h"
#include "report/lack_text.h"

#include <string.h>

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

char *
rc_answer_headline(const RcReport *r)
{
  static const char *const verdicts[] = { [RC_ENOUGH_WHOLE] = "Yes",
                                          [RC_ENOUGH_NEARLY] = "Nearly",
                                          [RC_ENOUGH_TIME] = "For most of the time",
                                          [RC_ENOUGH_NOT] = "Not as it is" };
  const RcCounts counts = counts_of(r, r->chosen);
  if (!r->owned || !rc_counts_read(&counts)) {
    return rc_coverage_finding(r->comparison);
  }
  char *carried = rc_carried_text(r->comparison, &counts);
  char *text = g_strdup_printf("%s: the %s carries %s", verdicts[r->advice.enough], name_of(r, r->chosen), carried);
  g_free(carried);
  return text;
}

// ------------------------------------------------------------------------------------------- what the tunes need

enum { TOP_CHORDS = 8, CHORDS_NAMED = 4 };

static char *
needs_text(const RcReport *r)
{
  const RcCounts counts = counts_of(r, r->chosen);
  GString *text = g_string_new(NULL);
  g_string_append_printf(
    text, "%" U64 " tune%s for %" U64 " chords as played, %u different ones; held longest: ", counts.tunes,
    counts.tunes == 1 ? " asks" : "s ask", rc_counts_chords(&counts), r->advice.n_wanted);
  for (guint i = 0; i < MIN(r->advice.n_wanted, TOP_CHORDS); ++i) {
    char *name = rc_chord_name(&r->advice.wanted[i].chord, RC_SIGNS_UNICODE);
    g_string_append_printf(text, "%s%s", i ? ", " : "", name);
    g_free(name);
  }
  g_string_append_c(text, '.');
  if (counts.chords[RC_UNREAD]) {
    g_string_append_printf(text, " %" U64 " could not be read.", counts.chords[RC_UNREAD]);
  }
  return g_string_free(text, FALSE);
}

// ----------------------------------------------------------------------------------------------- which sizes carry it

// "72, 96 and 120": the sizes on which most tunes are playable.
static char *
best_names(const RcReport *r)
{
  guint left = 0;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < r->comparison->n; ++i) {
    left += counts_of(r, i).playable == r->comparison->most_tunes ? 1 : 0;
  }
  for (guint i = 0; i < r->comparison->n; ++i) {
    if (counts_of(r, i).playable == r->comparison->most_tunes) {
      --left;
      g_string_append_printf(text, "%s%s", name_of(r, i), left > 1 ? ", " : left == 1 ? " and " : "");
    }
  }
  return g_string_free(text, FALSE);
}

// Adds "; 18 hold text that could not be read" or the like, where there are any.
static void
append_left_out(GString *text, guint64 n, const char *one, const char *many)
{
  if (n) {
    g_string_append_printf(text, "; %" U64 " %s", n, n == 1 ? one : many);
  }
}

static void
append_by_tunes(GString *text, const RcReport *r)
{
  const RcAdvice *advice = &r->advice;
  char *names = best_names(r);
  g_string_append_printf(text, " By whole tunes the best %s %s: %" U64 " of %" U64, strchr(names, ' ') ? "are" : "is",
                         names, r->comparison->most_tunes, counts_of(r, 0).tunes);
  append_left_out(text, advice->elsewhere, "more is whole on another size", "more are whole on other sizes");
  append_left_out(text, advice->unread, "holds text that could not be read, and would be whole but for it",
                  "hold text that could not be read, and would be whole but for it");
  append_left_out(text, advice->nowhere, "is whole on none of these sizes", "are whole on none of these sizes");
  if (advice->nowhere) {
    guint left = 0;
    g_string_append_printf(text, ": even the %s lacks ", name_of(r, advice->best));
    rc_append_unplayable(text, r->roll, advice->best, RC_SIGNS_UNICODE, CHORDS_NAMED, &left);
    if (left) {
      g_string_append_printf(text, " and %u chord%s more", left, left == 1 ? "" : "s");
    }
  }
  g_string_append_c(text, '.');
  g_free(names);
}

static void
append_by_time(GString *text, const RcReport *r)
{
  char *percent = rc_target_text(r->comparison->target.millionths);
  if (r->advice.by_time < 0) {
    g_string_append_printf(text, " None of these carries %s %% of the playing time.", percent);
  } else {
    const guint64 whole = counts_of(r, (guint)r->advice.by_time).playable;
    g_string_append_printf(
      text, " By playing time the %s is the smallest to carry %s %%, with %" U64 " of %" U64 " tunes whole",
      name_of(r, (guint)r->advice.by_time), percent, whole, counts_of(r, 0).tunes);
    if (whole < counts_of(r, r->chosen).playable) {
      g_string_append_printf(text, ", fewer than the %s: it lacks little, but in many tunes", name_of(r, r->chosen));
    }
    g_string_append_c(text, '.');
  }
  g_free(percent);
}

static char *
sizes_text(const RcReport *r)
{
  GString *text =
    g_string_new("A chord is carried where it has a button of its own or a stand-in of the accepted grade, ");
  g_string_append_printf(text, "here %s or better; a tune is carried whole where all its chords are.",
                         rc_verdict_name(r->comparison->accept));
  append_by_time(text, r);
  if (r->comparison->most_tunes) {
    append_by_tunes(text, r);
  }
  return g_string_free(text, FALSE);
}

// ----------------------------------------------------------------------------------------------- what is missing

// The chords nothing accepted stands in for, held longest first, in words.
static char *
unplayable_names(const RcReport *r)
{
  guint left = 0;
  GString *text = g_string_new(NULL);
  rc_append_unplayable(text, r->roll, r->chosen, RC_SIGNS_UNICODE, CHORDS_NAMED, &left);
  return g_string_free(text, FALSE);
}

static char *
missing_text(const RcReport *r)
{
  char native[8];
  char standing[8];
  char lost[8];
  const RcCounts counts = counts_of(r, r->chosen);
  const RcTicks read = rc_counts_read(&counts);
  const RcTicks carried = rc_counts_carried(&counts, r->comparison->accept);
  char *names = unplayable_names(r);
  GString *text = g_string_new(NULL);
  rc_percent_text(native, counts.ticks[RC_NATIVE], read);
  rc_percent_text(standing, carried - counts.ticks[RC_NATIVE], read);
  rc_percent_text(lost, read - carried, read);
  g_string_append_printf(text, "For %s %% of the time the chords have buttons of their own", native);
  if (carried > counts.ticks[RC_NATIVE]) {
    g_string_append_printf(text, ", for %s %% another grip stands in", standing);
  }
  if (*names) {
    g_string_append_printf(text, ", and for %s %% there is only a worse grade or nothing at all: first %s", lost,
                           names);
  }
  g_string_append_c(text, '.');
  g_free(names);
  return g_string_free(text, FALSE);
}

// ---------------------------------------------------------------------------------------------------------- what to do

static void
append_learn(GString *text, const RcReport *r)
{
  const RcAdvice *advice = &r->advice;
  if (!advice->learn) {
    return;
  }
  char share[8];
  char *name = rc_lack_name(advice->learn, RC_SIGNS_UNICODE);
  char *press = rc_grip_describe(r->comparison->sizes[r->chosen].layout, &advice->learn->answer.grip, RC_SIGNS_UNICODE);
  rc_percent_text(share, advice->learn_soon, MAX(advice->learn_ticks, 1));
  if (advice->n_learn == 1) {
    g_string_append_printf(text, "Learn the stand-in for %s: %s. ", name, press);
  } else if (advice->n_learn > RC_LEARN_SOON && advice->learn_ticks) {
    g_string_append_printf(
      text, "Learn the stand-ins, first %s: %s. Ten of the %u fill %s %% of the time that stand-ins do. ", name, press,
      advice->n_learn, share);
  } else {
    g_string_append_printf(text, "Learn the %u stand-ins, first %s: %s. ", advice->n_learn, name, press);
  }
  g_free(name);
  g_free(press);
}

static void
append_purchase(GString *text, const RcReport *r)
{
  const RcCounts here = counts_of(r, r->chosen);
  const RcGain *gain = &r->comparison->sizes[r->chosen].step.gain;
  const int sibling = r->advice.sibling;
  if (sibling >= 0) {
    const RcCounts there = counts_of(r, (guint)sibling);
    g_string_append_printf(text,
                           "Another instrument of the same size, the %s, would play %" U64 " whole in place of "
                           "%" U64 ". ",
                           name_of(r, (guint)sibling), there.playable, here.playable);
  }
  if (r->comparison->most_tunes <= here.playable) {
    g_string_append(text, "A larger one would play no more tunes: there is no reason to buy it for these. ");
    return;
  }
  if (gain->next >= 0 && gain->tunes) {
    char *words = rc_step_text(r->comparison, r->chosen, RC_SIGNS_UNICODE);
    g_string_append_printf(text, "What a larger one buys: %c%s ", g_ascii_tolower(words[0]), words + 1);
    g_free(words);
  }
  g_string_append_printf(
    text, "If the tunes that are lacking matter to you, the smallest that plays most of them is the %s. ",
    name_of(r, r->advice.best));
}

static char *
advice_text(const RcReport *r)
{
  GString *text = g_string_new(NULL);
  const RcCounts counts = counts_of(r, r->chosen);
  append_learn(text, r);
  append_purchase(text, r);
  const gboolean readable = r->advice.elsewhere || r->advice.nowhere || r->comparison->most_tunes > counts.playable;
  if (counts.playable < counts.tunes && readable) {
    g_string_append(text, "Or move tunes to another key: the command rowcall keys lists which. ");
  }
  g_string_append(text,
                  "Before you buy, play the instrument for a good while; mind its weight and your back, and ask a "
                  "teacher, or a doctor where something hurts.");
  return g_string_free(text, FALSE);
}

static void
add_paragraph(GPtrArray *paragraphs, char *heading, char *text)
{
  g_ptr_array_add(paragraphs, heading);
  g_ptr_array_add(paragraphs, text);
}

GPtrArray *
rc_answer_paragraphs(const RcReport *r)
{
  GPtrArray *paragraphs = g_ptr_array_new_with_free_func(g_free);
  const RcCounts counts = counts_of(r, r->chosen);
  if (!rc_counts_read(&counts)) {
    return paragraphs;
  }
  add_paragraph(paragraphs, g_strdup("What these tunes need"), needs_text(r));
  add_paragraph(paragraphs, g_strdup("Which sizes carry them"), sizes_text(r));
  add_paragraph(
    paragraphs,
    g_strdup_printf(r->owned ? "What is missing on your %s" : "What is missing on the %s", name_of(r, r->chosen)),
    missing_text(r));
  add_paragraph(paragraphs, g_strdup("What to do"), advice_text(r));
  return paragraphs;
}
