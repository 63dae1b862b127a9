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
  return rc_roll_layout(r->roll, index)->name;
}

static RcCounts
counts_of(const RcReport *r, guint index)
{
  return rc_roll_counts(r->roll, index);
}

char *
rc_answer_headline(const RcReport *r)
{
  const RcCounts counts = counts_of(r, r->chosen);
  if (!r->owned || !rc_counts_read(&counts)) {
    return rc_coverage_finding(r->comparison);
  }
  const gboolean enough = rc_target_reached(r->comparison->target, &counts, r->comparison->accept);
  const char *verdict = counts.playable == counts.tunes                      ? "Yes"
                        : enough && counts.playable * 10 >= counts.tunes * 9 ? "Nearly"
                        : enough                                             ? "For most of the time"
                                                                             : "Not as it is";
  char *carried = rc_carried_text(r->comparison, &counts);
  char *text = g_strdup_printf("%s: the %s carries %s", verdict, name_of(r, r->chosen), carried);
  g_free(carried);
  return text;
}

// ------------------------------------------------------------------------------------------- what the tunes need

enum { TOP_CHORDS = 8, CHORDS_NAMED = 4 };

typedef struct {
  RcChord chord;
  RcTicks ticks;
} Wanted;

static gboolean
same_chord(const RcChord *a, const RcChord *b)
{
  return a->degrees == b->degrees && rc_note_pc(a->root) == rc_note_pc(b->root) &&
         rc_note_pc(a->bass) == rc_note_pc(b->bass);
}

static int
compare_wanted(gconstpointer a, gconstpointer b)
{
  const Wanted *left = a;
  const Wanted *right = b;
  return (left->ticks < right->ticks) - (left->ticks > right->ticks);
}

// All chords, those wanted longest first.
static GArray *
find_wanted(const RcRoll *roll)
{
  GArray *all = g_array_new(FALSE, FALSE, sizeof(Wanted));
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcRollEntry *entry = rc_roll_entry(roll, i);
    guint at = 0;
    while (at < all->len && !same_chord(&g_array_index(all, Wanted, at).chord, &entry->request.chord)) {
      ++at;
    }
    if (at == all->len) {
      const Wanted wanted = { entry->request.chord, 0 };
      g_array_append_val(all, wanted);
    }
    g_array_index(all, Wanted, at).ticks += entry->ticks;
  }
  g_array_sort(all, compare_wanted);
  return all;
}

static char *
needs_text(const RcReport *r)
{
  const RcCounts counts = counts_of(r, r->chosen);
  GArray *wanted = find_wanted(r->roll);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%" U64 " tune%s for %" U64 " chords as played, %u different ones; held longest: ",
                         counts.tunes, counts.tunes == 1 ? " asks" : "s ask", rc_counts_chords(&counts), wanted->len);
  for (guint i = 0; i < MIN(wanted->len, TOP_CHORDS); ++i) {
    char *name = rc_chord_name(&g_array_index(wanted, Wanted, i).chord, RC_SIGNS_UNICODE);
    g_string_append_printf(text, "%s%s", i ? ", " : "", name);
    g_free(name);
  }
  g_string_append_c(text, '.');
  if (counts.chords[RC_UNREAD]) {
    g_string_append_printf(text, " %" U64 " could not be read.", counts.chords[RC_UNREAD]);
  }
  g_array_unref(wanted);
  return g_string_free(text, FALSE);
}

// ----------------------------------------------------------------------------------------------- which sizes carry it

static guint64
most_playable(const RcReport *r, guint *first)
{
  guint64 most = 0;
  *first = 0;
  for (guint i = 0; i < rc_roll_n_layouts(r->roll); ++i) {
    const RcCounts counts = counts_of(r, i);
    if (counts.playable > most) {
      most = counts.playable;
      *first = i;
    }
  }
  return most;
}

// "72, 96 and 120": the sizes on which @p most tunes are playable.
static char *
best_names(const RcReport *r, guint64 most)
{
  guint n = 0;
  guint named = 0;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < rc_roll_n_layouts(r->roll); ++i) {
    n += counts_of(r, i).playable == most ? 1 : 0;
  }
  for (guint i = 0; i < rc_roll_n_layouts(r->roll); ++i) {
    if (counts_of(r, i).playable == most) {
      g_string_append_printf(text, "%s%s", !named ? "" : named + 1 == n ? " and " : ", ", name_of(r, i));
      ++named;
    }
  }
  return g_string_free(text, FALSE);
}

static char *
sizes_text(const RcReport *r)
{
  guint best = 0;
  const guint64 most = most_playable(r, &best);
  const RcCounts counts = counts_of(r, best);
  const int smallest = r->comparison->by_time;
  const char *grade = rc_verdict_name(rc_roll_accept(r->roll));
  GString *text =
    g_string_new("A chord is carried where it has a button of its own or a stand-in of the accepted grade, ");
  g_string_append_printf(text, "here %s or better; a tune is carried whole where all its chords are.", grade);
  if (smallest < 0) {
    g_string_append(text, " None of these carries 95 % of the playing time.");
  } else {
    const guint64 whole = counts_of(r, (guint)smallest).playable;
    const guint64 own = counts_of(r, r->chosen).playable;
    g_string_append_printf(
      text, " By playing time the %s is the smallest to carry 95 %%, with %" U64 " of %" U64 " tunes whole",
      name_of(r, (guint)smallest), whole, counts.tunes);
    if (whole < own) {
      g_string_append_printf(text, ", fewer than the %s: it lacks little, but in many tunes", name_of(r, r->chosen));
    }
    g_string_append_c(text, '.');
  }
  if (most) {
    char *names = best_names(r, most);
    g_string_append_printf(text, " By whole tunes the best %s %s: %" U64 " of %" U64, strchr(names, ' ') ? "are" : "is",
                           names, most, counts.tunes);
    if (most < counts.tunes) {
      g_string_append_printf(text, "; each other tune holds a chord that no size gives at grade %s or better", grade);
    }
    g_string_append_c(text, '.');
    g_free(names);
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
  const RcTicks carried = rc_counts_carried(&counts, rc_roll_accept(r->roll));
  char *names = unplayable_names(r);
  GString *text = g_string_new(NULL);
  rc_percent_text(native, counts.ticks[RC_NATIVE], read);
  rc_percent_text(standing, carried - counts.ticks[RC_NATIVE], read);
  rc_percent_text(lost, read - carried, read);
  g_string_append_printf(text, "%s %% of the time has buttons of its own", native);
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

// What is to be learnt, those needed longest first.
typedef struct {
  const RcLack *first; // NULL where there is nothing
  guint n;
  RcTicks ticks;
  RcTicks soon; // of the first SOON
} Lessons;

enum { SOON = 10 };

static Lessons
find_lessons(const RcReport *r, const RcLack *lacks, guint n)
{
  Lessons lessons = { NULL, 0, 0, 0 };
  for (guint i = 0; i < n; ++i) {
    const RcLack *lack = &lacks[i];
    if (lack->answer.verdict <= rc_roll_accept(r->roll)) {
      lessons.first = lessons.n ? lessons.first : lack;
      lessons.ticks += lack->ticks;
      lessons.soon += lessons.n < SOON ? lack->ticks : 0;
      ++lessons.n;
    }
  }
  return lessons;
}

static void
append_learn(GString *text, const RcReport *r)
{
  guint n = 0;
  RcLack *lacks = rc_lacks_find(r->roll, r->chosen, &n);
  const Lessons lessons = find_lessons(r, lacks, n);
  if (lessons.first) {
    char share[8];
    char *name = rc_lack_name(lessons.first, RC_SIGNS_UNICODE);
    char *press = rc_grip_describe(rc_roll_layout(r->roll, r->chosen), &lessons.first->answer.grip, RC_SIGNS_UNICODE);
    rc_percent_text(share, lessons.soon, MAX(lessons.ticks, 1));
    if (lessons.n == 1) {
      g_string_append_printf(text, "Learn the stand-in for %s: %s. ", name, press);
    } else if (lessons.n > SOON && lessons.ticks) {
      g_string_append_printf(text, "Learn the stand-ins, first %s: %s. Ten of the %u carry %s %% of their time. ", name,
                             press, lessons.n, share);
    } else {
      g_string_append_printf(text, "Learn the %u stand-ins, first %s: %s. ", lessons.n, name, press);
    }
    g_free(name);
    g_free(press);
  }
  g_free(lacks);
}

// Another layout of as many buttons that plays more tunes, or -1.
static int
better_sibling(const RcReport *r)
{
  const guint buttons = rc_layout_count_buttons(rc_roll_layout(r->roll, r->chosen));
  const RcCounts here = counts_of(r, r->chosen);
  for (guint i = 0; i < rc_roll_n_layouts(r->roll); ++i) {
    const RcCounts there = counts_of(r, i);
    if (i != r->chosen && rc_layout_count_buttons(rc_roll_layout(r->roll, i)) == buttons &&
        there.playable > here.playable) {
      return (int)i;
    }
  }
  return -1;
}

static void
append_purchase(GString *text, const RcReport *r)
{
  guint best = 0;
  const RcCounts here = counts_of(r, r->chosen);
  const guint64 most = most_playable(r, &best);
  const RcGain gain = rc_roll_gain(r->roll, r->chosen);
  const int sibling = better_sibling(r);
  if (sibling >= 0) {
    const RcCounts there = counts_of(r, (guint)sibling);
    g_string_append_printf(text,
                           "Another instrument of the same size, the %s, would play %" U64 " whole in place of "
                           "%" U64 ". ",
                           name_of(r, (guint)sibling), there.playable, here.playable);
  }
  if (most <= here.playable) {
    g_string_append(text, "A larger one would play no more tunes: there is no reason to buy it for these. ");
    return;
  }
  if (gain.next >= 0 && gain.tunes) {
    char *words = rc_step_text(r->comparison, r->chosen, RC_SIGNS_UNICODE);
    g_string_append_printf(text, "What a larger one buys: %c%s ", g_ascii_tolower(words[0]), words + 1);
    g_free(words);
  }
  g_string_append_printf(text, "If the tunes it would add matter to you, try a %s; nothing larger plays more of them. ",
                         name_of(r, best));
}

static char *
advice_text(const RcReport *r)
{
  GString *text = g_string_new(NULL);
  const RcCounts counts = counts_of(r, r->chosen);
  append_learn(text, r);
  append_purchase(text, r);
  if (counts.playable < counts.tunes) {
    g_string_append(text, "Or move tunes to another key: whoever made this report can list which (rowcall keys). ");
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
