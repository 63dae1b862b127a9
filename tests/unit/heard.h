// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is heard of a text, as a line of words to compare with: shared by the tests of the readers. To be included
// after cmocka.h.

#ifndef ROWCALL_TESTS_HEARD_H
#define ROWCALL_TESTS_HEARD_H

#include "rowcall/corpus.h"

#include "scratch.h"

#include <string.h>

// The names of a set of tones, in the order of their pitch classes.
static void
append_tones(GString *out, RcPcSet tones)
{
  static const char *const names[] = { "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B" };
  for (guint pc = 0; pc < G_N_ELEMENTS(names); ++pc) {
    g_string_append(out, rc_pcs_has(tones, pc) ? names[pc] : "");
  }
}

typedef enum { SHOW_LENGTHS, SHOW_MELODY, SHOW_SETTINGS, SHOW_PLACES, SHOW_PARTS } Show;

static void
append_chord(GString *out, const RcTune *tune, const RcPlayed *played, Show show)
{
  const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played->symbol);
  const RcSetting *setting = rc_tune_setting(tune, played->setting);
  const RcEvent *event = &g_array_index(tune->events, RcEvent, played->event);
  g_string_append_printf(out, " %s%s", symbol->text, symbol->kind == RC_SYMBOL_UNREAD ? "?" : "");
  if (show == SHOW_LENGTHS) {
    g_string_append_printf(out, " %g", (double)played->length / (double)RC_QUARTER);
  } else if (show == SHOW_MELODY) {
    g_string_append_c(out, ':');
    append_tones(out, played->melody);
  } else if (show == SHOW_SETTINGS) {
    char *key = rc_key_name(setting->key, RC_SIGNS_ASCII);
    g_string_append_printf(out, " (%s, %u/%u, %g)", key, setting->meter.beats, setting->meter.unit,
                           setting->tempo.quarters);
    g_free(key);
  } else if (show == SHOW_PLACES) {
    g_string_append_printf(out, " %u:%u", event->line, event->column);
  }
}

static void
append_remarks(GString *out, const RcTune *tune)
{
  static const char *const names[RC_N_REMARKS] = {
    [RC_REMARK_JUMPS] = "jumps",
    [RC_REMARK_HABIT] = "habit",
    [RC_REMARK_PARTS] = "parts",
    [RC_REMARK_OLD_CHORDS] = "old chords",
    [RC_REMARK_UNPLAYED] = "unplayed",
    [RC_REMARK_ENDINGS] = "endings",
    [RC_REMARK_ALTERNATIVES] = "alternatives",
    [RC_REMARK_BASS_NOTES] = "bass",
    [RC_REMARK_BASS_RUNS] = "bass runs",
    [RC_REMARK_LATE_CHORDS] = "late",
    [RC_REMARK_LOST_CHORDS] = "lost",
    [RC_REMARK_REPEATS] = "repeats",
    [RC_REMARK_OPEN_ENDINGS] = "open ending",
    [RC_REMARK_ORDER] = "order",
    [RC_REMARK_SHARED_TIME] = "shared",
    [RC_REMARK_WORDS] = "words",
    [RC_REMARK_RECALLS] = "recalls",
    [RC_REMARK_TIMES] = "times",
    [RC_REMARK_ARCHIVE] = "archive",
    [RC_REMARK_UNWRITTEN] = "unwritten",
    [RC_REMARK_VALUES] = "values",
    [RC_REMARK_SMALL] = "small",
    [RC_REMARK_SMALL_KEY] = "small key",
    [RC_REMARK_SYLLABLES] = "syllables",
    [RC_REMARK_ROUND] = "round",
    [RC_REMARK_UNCLOSED] = "unclosed",
    [RC_REMARK_ANNOTATIONS] = "annotations",
    [RC_REMARK_SPACED_SLASHES] = "spaced slash",
    [RC_REMARK_HELD_SLASHES] = "held slash",
  };
  for (guint i = 0; i < tune->remarks->len; ++i) {
    assert_true(g_utf8_validate(g_array_index(tune->remarks, RcRemark, i).text, -1, NULL));
    g_string_append_printf(out, " (%s)", names[g_array_index(tune->remarks, RcRemark, i).kind]);
  }
}

static void
append_tune(GString *out, const RcTune *tune, Show show)
{
  RcPlayed played;
  g_string_append_printf(out, "%s%s:", out->len ? "\n" : "", tune->title);
  for (RcWalk walk = rc_walk_start(tune); show != SHOW_PARTS && rc_walk_next(&walk, &played);) {
    append_chord(out, tune, &played, show);
  }
  for (guint i = 0; show == SHOW_PARTS && i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    g_string_append_printf(out, " %s %u+%u", part->label, part->first, part->count);
  }
  append_remarks(out, tune);
}

// "Weir: D 4 Bm 2 (jumps)", a line a tune: the chords as heard, and remarks; a problem is in square brackets.
static char *
heard(const char *text, gsize length, Show show)
{
  GString *out = g_string_new(NULL);
  GError *error = NULL;
  const char *const paths[] = { path, NULL };
  g_remove(path); // what is overwritten would be put on the disk each time
  assert_true(g_file_set_contents(path, text, (gssize)length, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .leave_unkeyed = TRUE });
  RcTune *tune = rc_tune_new();
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_TUNE) {
      append_tune(out, tune, show);
    } else {
      g_string_append_printf(out, "%s[%s]", out->len ? "\n" : "", error->message + strlen(path));
      g_clear_error(&error);
    }
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return g_string_free(out, FALSE);
}

typedef struct {
  const char *text;
  const char *expected;
} Case;

static void
check(const Case *cases, guint n, Show show)
{
  for (guint i = 0; i < n; ++i) {
    char *found = heard(cases[i].text, strlen(cases[i].text), show);
    if (strcmp(found, cases[i].expected) != 0) {
      print_error("found    %s\nexpected %s\n", found, cases[i].expected);
      print_error("in\n%s\n", cases[i].text); // may be cut
      fail();
    }
    g_free(found);
  }
}

#define CHECK(cases, show) check(cases, G_N_ELEMENTS(cases), show)

#endif
