// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ABC 2.1 by promise: the files beside this one. `good` ones with what they play, `bad` ones with what must be said of
// them, and `eof` ones that are cut off after every byte; then the order of bars, places, and much of one thing.
// Section numbers are those of the ABC music standard 2.1; lengths, tones and orders are worked out by hand from it.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"

#include "../unit/scratch.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define HEAD "X:1\nT:Weir\nM:4/4\nL:1/4\n"

enum { STUCK = 300 }; // seconds after which a reader that never ends is ended

// ----------------------------------------------------------------------------------------------------------- the files

typedef struct {
  const char *file;
  const char *heard;  // a line a tune: "Title: D 3, Bm 3/2", in quarter notes
  const char *fields; // a line a tune, where not NULL: key, meter and tempo, those changed to on the way after ">"
  const char *melody; // a line a tune, where not NULL: the tones over each chord as heard
} Good;

static const Good good[] = {
  // 4.3
  { .file = "lengths.abc", .heard = "Eleven Buckets: D 5/2, G 7/4, A7 3/2" },
  // 3.1.7: the unit by the meter is 1/16 under three quarters, else 1/8, and no meter change in the body changes it
  { .file = "unit.abc",
    .heard = "Six: C 3/2, G 3/2\nTwo: C 1, G 1\nThree: G 3\nNo meter: C 4\nFree: C 4\nCut: F 4\n"
             "Shorter on the way: C 4, G 2, F 4\nSum: Am 7/2\nWhole: C 4" },
  { .file = "unit-change.abc", .heard = "Finer and Finer: C 2, G 2, Am 1, F 2" },
  // 3.1.8, and 10.1 for the forms that count units
  { .file = "tempi.abc",
    .heard = "Plain: C 1/2\nDotted: C 1/2\nWords before: C 1/2\nWords after: C 1/2\nWords alone: C 1/2\n"
             "Two in a beat: C 1/2\nUnits: C 1/2\nUnits by letter: C 1\nThree units: C 1/2\nOn the way: C 4, F 4",
    .fields = "C major 4/4 120\nC major 6/8 90\nC major 4/4 80\nC major 4/4 120\nC major 4/4 -\nC major 4/4 75\n"
              "C major 4/4 50\nC major 4/4 100\nC major 4/4 60\nC major 4/4 90 > C major 4/4 60" },
  // 3.1.14
  { .file = "keys.abc",
    .heard = "1: C 7/2\n2: C 7/2\n3: C 7/2\n4: C 7/2\n5: C 7/2\n6: C 7/2\n7: C 7/2\n8: C 7/2\n9: C 7/2\n10: C 7/2\n"
             "11: C 7/2\n12: C 7/2\n13: C 7/2\n14: C 7/2\n15: C 7/2\n16: C 7/2\n17: C 7/2\n18: C 7/2\n19: C 7/2\n"
             "20: C 7/2\n21: C 7/2\n22: C 7/2\n23: C 7/2\n24: C 7/2\n25: C 7/2",
    .fields = "C major 4/4 -\nD major 4/4 -\nB minor 4/4 -\nE dorian 4/4 -\nA mixolydian 4/4 -\nE phrygian 4/4 -\n"
              "F lydian 4/4 -\nB locrian 4/4 -\nA minor 4/4 -\nG major 4/4 -\nBb major 4/4 -\nF# minor 4/4 -\n"
              "Gb major 4/4 -\nA mixolydian 4/4 -\nA mixolydian 4/4 -\nno key 4/4 -\nno key 4/4 -\n"
              "D phrygian 4/4 -\nD major 4/4 -\nD major 4/4 -\nC major 4/4 -\nA minor 4/4 -\nC major 4/4 -\n"
              "G major 4/4 -\nD minor 4/4 -",
    .melody = "0 2 4 5 7 9 11\n1 2 4 6 7 9 11\n1 2 4 6 7 9 11\n1 2 4 6 7 9 11\n1 2 4 6 7 9 11\n0 2 4 5 7 9 11\n"
              "0 2 4 5 7 9 11\n0 2 4 5 7 9 11\n0 2 4 5 7 9 11\n0 2 4 6 7 9 11\n0 2 3 5 7 9 10\n1 2 4 6 8 9 11\n"
              "1 3 5 6 8 10 11\n1 2 4 6 7 9 11\n1 2 4 6 7 9 11\n0 2 4 5 7 9 11\n0 2 4 5 7 9 11\n0 2 3 6 7 9 10\n"
              "0 2 4 6 7 9 11\n0 2 3 6 7 9 10\n0 2 4 5 7 9 11\n0 2 4 5 7 9 11\n1 2 4 6 7 9 11\n0 2 4 6 7 9 11\n"
              "0 2 4 5 7 9 11" },
  // 4.2: to the end of the bar
  { .file = "accidentals.abc",
    .heard = "Until the Bar Line: C 2, D 2, Em 2, F 2, G 1, Am 1, Bm 1",
    .melody = "1 6, 1 5, 5, 6, 9, 2, 10" },
  // 11.3: in all octaves, unless a directive says less
  { .file = "propagation.abc",
    .heard = "All Octaves: C 1, D 1, E 1, F 1, G 2, Am 1, Bm 1\nIts Octave: C 1, D 1, E 1, F 1, G 4\n"
             "Its Note: C 1, D 1, E 1, F 1",
    .melody = "6, 6, 6, 6, 5, 1, 1\n6, 5, 6, 5, 5\n6, 5, 10, 10" },
  // 4.11
  { .file = "ties.abc", .heard = "Long Rope: G 8, D 8" },
  // 4.13: the usual numbers of 2 to 9, n being 3 in compound time, else 2; p:q:r; any notes and rests
  { .file = "tuplets.abc",
    .heard = "Two to Nine: C 3, D 2, E 3, F 2, G 2, A 2, Bm 3, Cm 2\n"
             "Compound: C 3/2, D 1, E 3/2, F 3/2, G 1, A 3/2, Bm 3/2, Cm 3/2\n"
             "Three eighths are not compound: C 1, D 1\n"
             "Written out: C 2, D 2, E 8, F 2, G 2, A 12/5\n"
             "Of anything: C 2, D 2, E 2, F 4/3, G 2/3" },
  // 4.4: a pair keeps its length; half, quarter, eighth and what is left
  { .file = "broken.abc",
    .heard = "Pairs: C 1, F 1, G 1, Am 1, Dm 1\n"
             "Halves: C 3/4, D 1/4, E 1/4, F 3/4, G 7/8, A 1/8, Bm 1/16, Cm 15/16\n"
             "Of anything: C 3/4, D 1/4, E 3/4, F 1/4, G 3/2, A 1/2, Bm 3/4, Cm 1/4, Dm 1/2, Em 1/2" },
  // 4.12: no time
  { .file = "graces.abc", .heard = "Crumbs: C 4, D 3, G 1" },
  // 4.17: as long as the first note; lengths within and after are multiplied
  { .file = "unisons.abc",
    .heard = "Three at Once: C 4, F 4, G 4, Am 4, Dm 4, Em 4",
    .melody = "0 4 7, 5 9, 2 7 11, 0 9, 2 5, 4 8 11" },
  // 4.5
  { .file = "rests.abc", .heard = "Waiting: C 4, D 4, E 4, F 4" },
  { .file = "long-rests.abc", .heard = "The Band Goes On: C 3, D 9, E 6, F 9" },
  // 4.8; an invisible line, [|], ends nothing
  { .file = "bar-lines.abc", .heard = "All Kinds of Line: C 4, D 4, E 4, F 4, G 8, A 4, Bm 4, Am 4" },
  { .file = "repeats.abc",
    .heard = "1: C 4, D 4, C 4, D 4\n2: C 4, D 4, C 4, D 4, E 8\n3: C 8, D 8\n4: C 8, D 8, E 8\n"
             "5: C 4, D 4, C 4, D 4, C 4, D 4\n6: C 4, D 4, C 4, D 4, E 4\n7: C 4, D 4, E 4, D 4, E 4\n"
             "8: C 4, D 4, C 4, D 4, E 4, F 4, E 4, F 4\n9: C 6, D 1, E 3, F 1, E 3, F 1\n10: C 4, D 4, C 4, D 4" },
  // 4.9, 4.10
  { .file = "endings.abc",
    .heard = "1: C 4, D 4, C 4, E 4\n2: C 4, D 4, C 4, E 4, F 4\n3: C 4, D 4, C 4, E 4, C 4, D 4, C 4, E 4\n"
             "4: C 4, D 4, C 4, D 4, C 4, D 4, C 4, E 4\n5: C 4, D 4, C 4, E 4\n"
             "6: C 4, D 4, C 4, E 4, F 4, G 4, F 4, G 4\n7: C 4, D 4, E 4, C 4, F 4, G 4\n8: C 4, D 4, C 4, E 4\n"
             "9: C 4, D 4, C 4, E 4, F 4, G 4, F 4, Am 4\n10: C 4, D 4, C 4, E 4\n"
             "11: C 4, D 4, C 4, D 4, C 4, D 4, C 4, E 4, F 4" },
  // 3.1.9
  { .file = "parts.abc",
    .heard = "A2B: C 4, F 4, C 4, F 4, G 4\n(A2B)2: C 8, G 4, C 8, G 4\nA.B.A: C 4, G 4, C 4\n"
             "((AB)2C)2: C 4, G 4, C 4, G 4, Dm 4, C 4, G 4, C 4, G 4, Dm 4\n"
             "ABA: C 4, F 4, C 4, Am 4, G 4, C 4, F 4, C 4, Am 4\nas written: C 4, G 4" },
  // 3.2
  { .file = "changes.abc",
    .heard = "Everything Changes: C 4, D 3, E 2, F 2, G 2, A 2",
    .fields = "C major 4/4 100 > C major 3/4 100 > C major 2/4 100 > D major 2/4 100 > Eb major 2/4 100 > "
              "Eb major 2/4 80",
    .melody = "-, -, -, 1, 10, -" },
  // 7
  { .file = "voices.abc",
    .heard = "Pipe and Box: C 4, G 2, F 2\nLine by Line: C 4, G 4\nIn One Line: C 4, G 4\n"
             "Fields Hold for their Voice: C 2, G 2\nParts in Each Voice: C 4, G 4, C 4\nChords Above: C 4, G 4\n"
             "First Voice without a Name: C 4",
    .melody = "0 2 4 5, 7 9, 0 11\n0 2 4 5, 0 7 9 11\n0 2 4 5, 0 7 9 11\n0 2 4 5, 0 7 9 11\n"
              "0 2 4 5, 0 7 9 11, 0 2 4 5\n0 2 4 5, 0 7 9 11\n0 2 4 5" },
  // 7.4
  { .file = "overlays.abc", .heard = "Under and Over: C 4, G 2, Am 2, F 4" },
  // 4.18, 4.19
  { .file = "annotations.abc", .heard = "Told in the Margin: C 6, G 2" },
  { .file = "symbols.abc",
    .heard = "As Others Write Them: G 4, D/F# 4, C(add9) 4, Am7/G 4, N.C. 4, F 4, Bb 12 (alternatives) (words)" },
  // A symbol is before its note, 4.20; one before a bar line belongs to the note after the line, and has no time where
  // another is written there.
  { .file = "bar-line-symbol.abc", .heard = "Early Word: C 3, G 4, Am 4, Dm 4 (lost)" },
  // No part of the standard: old collections.
  { .file = "habit-twice.abc", .heard = "Mill Cat: D/f# 4, Cdim 4, Bbdim/g# 4 (habit)" },
  { .file = "habit-once.abc", .heard = "Mill Dog: Cd? 4, G 4" },
  { .file = "habit-across.abc", .heard = "First: Cdim 4 (habit)\nSecond: Gdim 4 (habit)" },
  { .file = "old-chords.abc", .heard = "As They Were Written: C 4, G 4 (old chords)", .melody = "0 2 4 7, 2 5 7 8 11" },
  // 4.20: a text or a star for each note, none for rests, a line for the bar's end
  { .file = "symbol-lines.abc", .heard = "Written Below: C 2, Am 2, F 4, C 2, Dm 6" },
  // 4.16
  { .file = "letters.abc",
    .heard = "O is a Coda: C 4, G 4 (jumps)\nO is a Roll: C 4, G 4\nW is a Jump: C 4, G 4 (jumps)" },
  // 2.2.3, 2.3, 11
  { .file = "comments.abc", .heard = "Said Aside: C 4, G 4" },
  { .file = "text.abc", .heard = "Printed Between: C 4, G 4, Am 4" },
  // 3.3, 6.1.1
  { .file = "continued.abc", .heard = "Carried Over: C 4, G 4, Am 4" },
  { .file = "continued-title.abc", .heard = "Over the Weir and Back: C 4" },
  // 2.2: text between tunes, blanks alone on a line, a head for all tunes
  { .file = "between.abc", .heard = "One: C 4\nTwo: G 4" },
  { .file = "head.abc",
    .heard = "From the Head: C 3\nIts Own: G 2\nFrom the Head Again: D 3",
    .fields = "C major 3/4 96\nG major 2/4 60\nD major 3/4 96" },
  { .file = "no-blank.abc", .heard = "One: C 4\nTwo: G 4" },
  // 8.2, and other bytes
  { .file = "accents.abc", .heard = "Léa à la Môle, Übel, Mañana, Gaç: C 4" },
  { .file = "latin1.abc", .heard = "Café Grün: C 6, señor? 2" },
  { .file = "utf8.abc", .heard = "Żabka ♪: B♭ 4, F♯m 4" },
  { .file = "entities.abc", .heard = "Café Öre & Mañana «ø» & Sons: C 4\nÅ ø æ ß š Ă ő rosé 50% & \\: C 4" },
  { .file = "cr.abc", .heard = "From a Drawer: C 4, G 4\nNext: F 4" },
  { .file = "crlf.abc", .heard = "From Elsewhere: C 4, G 4, D 4, C 4, G 4, Am 4\nNext: F 4" },
  { .file = "bom.abc", .heard = "Marked: C 4" },
  // 3: fields that are no music, those that may not stand in a body among them; the last line is a note and a repeat
  { .file = "fields.abc", .heard = "All Sorts of Line: C 4, G 4, Am 4, F 5, C 4, G 4, Am 4, F 5" },
  // 4.14, 6.1.2
  { .file = "decorations.abc", .heard = "With Trimmings: C 4, D 4, E 4, F 4" },
  { .file = "jumps.abc", .heard = "Back Again: C 4, G 4, C 4, G 4" },
  { .file = "pickup.abc", .heard = "A Step Before: . 1, G 3, D 3, G 3, D 3, C 3" },
};

typedef struct {
  const char *file;
  const char *said; // a line a step: "tune Title", or the message from the file's name on
} Bad;

static const Bad bad[] = {
  { "no-key.abc", "no-key.abc:1: a tune needs a line `K:` with its key between its heading and its music; left out: "
                  "Lid without a Pot\ntune Pot" },
  { "no-key-no-title.abc",
    "no-key-no-title.abc:1: a tune needs a line `K:` with its key between its heading and its music" },
  { "meter.abc", "meter.abc:3:3: found `3/5`; expected a meter such as 3/4, C, C| or none; left out: Five Legs" },
  { "meter-number.abc",
    "meter-number.abc:3:3: found `2`; expected a meter such as 3/4, C, C| or none; left out: One Number" },
  { "length.abc", "length.abc:3:3: found `1/7`; expected a note length such as 1/8; left out: Seventh" },
  { "length-zero.abc", "length-zero.abc:3:3: found `0`; expected a note length such as 1/8; left out: Nothing" },
  { "key.abc", "tune Lost Key\ntune Found" },
  { "quote.abc", "quote.abc:6:12: a chord symbol begins here and has no closing quote on its line; left out: Open "
                 "Mouth\ntune Shut" },
  { "quote-second-voice.abc", "quote-second-voice.abc:8:7: a chord symbol begins here and has no closing quote on its "
                              "line; left out: Two Mouths" },
  { "latin1-meter.abc",
    "latin1-meter.abc:3:3: found `Qééééééééééééééééééééééééééééééééééééééé`; expected a meter such as 3/4, C, C| or "
    "none; left out: Cut Short" }, // the first 40 characters
  { "empty.abc", "empty.abc: holds no tunes; a tune begins with a line `X: 1`" },
  { "prose.abc", "prose.abc: holds no tunes; a tune begins with a line `X: 1`" },
  { "blank.abc", "blank.abc: holds no tunes; a tune begins with a line `X: 1`" },
};

static char *
suite_folder(const char *promise)
{
  const char *data = g_getenv("ROWCALL_TEST_DATA");
  if (!data) {
    fail_msg("ROWCALL_TEST_DATA does not name the folder of the tests");
  }
  return g_build_filename(data, "corpus_abc", promise, NULL);
}

// Calls for each step of reading a file; the error is NULL for a tune.
typedef void (*StepFunc)(const RcTune *tune, const GError *error, GString *out);

static char *
read_file(const char *file, StepFunc step)
{
  GString *out = g_string_new(NULL);
  GError *error = NULL;
  const char *const paths[] = { file, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .leave_unkeyed = TRUE });
  RcTune *tune = rc_tune_new();
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    assert_true((result == RC_READ_PROBLEM) == (error != NULL));
    g_string_append(out, out->len ? "\n" : "");
    step(tune, error, out);
    g_clear_error(&error);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return g_string_free(out, FALSE);
}

static void
append_length(GString *out, RcTicks length)
{
  RcTicks divisor = length;
  for (RcTicks rest = RC_QUARTER; rest;) {
    const RcTicks next = divisor % rest;
    divisor = rest;
    rest = next;
  }
  g_string_append_printf(out, " %" G_GINT64_FORMAT, length / divisor);
  if (RC_QUARTER != divisor) {
    g_string_append_printf(out, "/%" G_GINT64_FORMAT, RC_QUARTER / divisor);
  }
}

static void
append_heard(const RcTune *tune, const GError *error, GString *out)
{
  if (error) {
    g_string_append(out, error->message);
    return;
  }
  g_string_append_printf(out, "%s:", tune->title);
  RcPlayed played;
  const char *between = "";
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played); between = ",") {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    assert_true(g_utf8_validate(symbol->text, -1, NULL));
    g_string_append_printf(out, "%s %s%s", between, symbol->text, symbol->kind == RC_SYMBOL_UNREAD ? "?" : "");
    append_length(out, played.length);
  }
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
    [RC_REMARK_ARCHIVE] = "archive",
    [RC_REMARK_UNWRITTEN] = "unwritten",
    [RC_REMARK_VALUES] = "values",
    [RC_REMARK_WORDS] = "words",
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
    g_string_append_printf(out, " (%s)", names[g_array_index(tune->remarks, RcRemark, i).kind]);
  }
}

static void
append_fields(const RcTune *tune, const GError *error, GString *out)
{
  assert_null(error);
  for (guint i = 0; i < tune->settings->len; ++i) {
    const RcSetting *setting = rc_tune_setting(tune, i);
    char *key = rc_key_name(setting->key, RC_SIGNS_ASCII);
    g_string_append_printf(out, "%s%s %u/%u ", i ? " > " : "", key, setting->meter.beats, setting->meter.unit);
    g_string_append_printf(out, setting->tempo.source == RC_TEMPO_STATED ? "%.0f" : "-", setting->tempo.quarters);
    g_free(key);
  }
}

static void
append_melody(const RcTune *tune, const GError *error, GString *out)
{
  assert_null(error);
  RcPlayed played;
  const char *between = "";
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played); between = ", ") {
    g_string_append_printf(out, "%s%s", between, played.melody ? "" : "-");
    const char *blank = "";
    for (guint pc = 0; pc < 12; ++pc) {
      if (rc_pcs_has(played.melody, pc)) {
        g_string_append_printf(out, "%s%u", blank, pc);
        blank = " ";
      }
    }
  }
}

// Only the file's own name stays of its path.
static void
append_said(const RcTune *tune, const GError *error, GString *out)
{
  char *name = error ? NULL : g_strdup_printf("tune %s", tune->title);
  const char *start = error ? strstr(error->message, ".abc:") : name;
  assert_non_null(start);
  while (error && start > error->message && start[-1] != G_DIR_SEPARATOR) {
    --start;
  }
  g_string_append(out, start);
  g_free(name);
}

// Not g_file_set_contents(), which waits for the disk each time.
static void
write_file(const char *text, gsize length)
{
  g_remove(path); // what is overwritten would be put on the disk each time
  FILE *file = g_fopen(path, "wb");
  assert_non_null(file);
  assert_int_equal(fwrite(text, 1, length, file), length);
  assert_int_equal(fclose(file), 0);
}

static char *
heard(const char *text, gsize length)
{
  write_file(text, length);
  return read_file(path, append_heard);
}

static guint
compare(const char *file, StepFunc step, const char *expected)
{
  char *found = expected ? read_file(file, step) : NULL;
  const guint wrong = found && strcmp(found, expected) != 0;
  if (wrong) {
    print_error("%s\nfound\n%s\nexpected\n%s\n", file, found, expected);
  }
  g_free(found);
  return wrong;
}

static guint
count_tune_files(const char *promise)
{
  guint n = 0;
  char *where = suite_folder(promise);
  GDir *entries = g_dir_open(where, 0, NULL);
  assert_non_null(entries);
  for (const char *name; (name = g_dir_read_name(entries));) {
    n += g_str_has_suffix(name, ".abc") ? 1 : 0;
  }
  g_dir_close(entries);
  g_free(where);
  return n;
}

static void
test_good_files(void **state)
{
  (void)state;
  guint wrong = 0;
  char *where = suite_folder("good");
  for (guint i = 0; i < G_N_ELEMENTS(good); ++i) {
    char *file = g_build_filename(where, good[i].file, NULL);
    wrong += compare(file, append_heard, good[i].heard);
    wrong += compare(file, append_fields, good[i].fields);
    wrong += compare(file, append_melody, good[i].melody);
    g_free(file);
  }
  g_free(where);
  assert_int_equal(wrong, 0);
  assert_int_equal(count_tune_files("good"), G_N_ELEMENTS(good));
}

static void
test_bad_files(void **state)
{
  (void)state;
  guint wrong = 0;
  char *where = suite_folder("bad");
  for (guint i = 0; i < G_N_ELEMENTS(bad); ++i) {
    char *file = g_build_filename(where, bad[i].file, NULL);
    wrong += compare(file, append_said, bad[i].said);
    g_free(file);
  }
  g_free(where);
  assert_int_equal(wrong, 0);
  assert_int_equal(count_tune_files("bad"), G_N_ELEMENTS(bad));
}

static void
cut_off_everywhere(const char *file)
{
  char *text = NULL;
  gsize length = 0;
  assert_true(g_file_get_contents(file, &text, &length, NULL));
  for (gsize n = 0; n <= length; ++n) {
    char *found = heard(text, n);
    assert_true(*found); // a tune or a problem
    g_free(found);
  }
  g_free(text);
}

// The good files are cut off too.
static void
test_cut_off_files(void **state)
{
  (void)state;
  char *where = suite_folder("eof");
  char *whole = g_build_filename(where, "whole.abc", NULL);
  alarm(STUCK);
  cut_off_everywhere(whole);
  g_free(whole);
  g_free(where);
  where = suite_folder("good");
  for (guint i = 0; i < G_N_ELEMENTS(good); ++i) {
    char *file = g_build_filename(where, good[i].file, NULL);
    cut_off_everywhere(file);
    g_free(file);
  }
  alarm(0);
  g_free(where);
}

// ---------------------------------------------------------------------------------------------------- order and places

typedef struct {
  const char *music;
  const char *expected;
} Numbers;

static char *
numbers_of(const char *music, StepFunc step)
{
  char *text = g_strconcat(HEAD "K:C\n", music, "\n", NULL);
  write_file(text, strlen(text));
  g_free(text);
  return read_file(path, step);
}

static void
check_numbers(const Numbers *cases, guint n, StepFunc step)
{
  guint wrong = 0;
  for (guint i = 0; i < n; ++i) {
    char *found = numbers_of(cases[i].music, step);
    if (strcmp(found, cases[i].expected) != 0) {
      print_error("in\n%s\nfound    %s\nexpected %s\n", cases[i].music, found, cases[i].expected);
      ++wrong;
    }
    g_free(found);
  }
  assert_int_equal(wrong, 0);
}

static void
append_order(const RcTune *tune, const GError *error, GString *out)
{
  assert_null(error);
  for (guint i = 0; i < tune->played->len; ++i) {
    g_string_append_printf(out, "%s%u", i ? " " : "", g_array_index(tune->played, guint, i));
  }
}

// The order of bars, from 0; 4.8 to 4.10.
static void
test_order_of_bars(void **state)
{
  (void)state;
  static const Numbers cases[] = {
    { "A4|B4|", "0 1" },
    { "A4|B4:|c4|d4:|", "0 1 0 1 2 3 2 3" },      // what is after a repeat begins the next
    { "A4||B4|c4:|", "0 1 2 1 2" },               // and so does what is after a double line
    { "|:A4||B4:|c4|", "0 1 0 1 2" },             // unless a line opened the repeat before it
    { "|:A4||B4|]c4:|d4|", "0 1 2 0 1 2 3" },     //
    { "A4[|]B4:|", "0 1 0 1" },                   // an invisible line divides nothing
    { "A4|:B4:|c4:|", "0 1 1 2 2" },              //
    { "|:A4|:B4:|c4|", "0 1 1 2" },               // the last opening counts
    { "|:A4|B4|", "0 1" },                        // a repeat that is never closed
    { "|:A4:||:B4:|", "0 0 1 1" },                //
    { "|:A4:|\n|:B4:|", "0 0 1 1" },              //
    { "|:A4|\n:|B4|", "0 0 1" },                  // the line's sign is on the next line of text
    { "|:A4::B4::c4:|", "0 0 1 1 2 2" },          //
    { "|::A4::|B4|", "0 0 0 1" },                 // twice again
    { "|:::A4|B4:::|", "0 1 0 1 0 1 0 1" },       //
    { "|:A4|1B4:|2c4|d4|", "0 1 0 2 3" },         //
    { "|:A4|1B4:|2c4||d4:|", "0 1 0 2 3 3" },     // a new section after the last ending
    { "|:A4||1B4:|2c4|]", "0 1 0 2" },            //
    { "|:A4|1B4:|2c4:|3d4|]", "0 1 0 2 0 3" },    //
    { "|:A4|1,2B4:|3c4|]", "0 1 0 1 0 2" },       //
    { "|:A4|1,3B4:|2c4:|", "0 1 0 2 0 1" },       //
    { "|:A4|1-2,4B4:|3c4:|", "0 1 0 1 0 2 0 1" }, //
    { "|:A4|[1B4|c4:|[2d4|e4|]f4|", "0 1 2 0 3 4 5" },
    { "|:A4|1B4:|2c4|:d4|1e4:|2f4|]", "0 1 0 2 3 4 3 5" },
    { "|:A4|B4|1c4:|2d4:|e4:|", "0 1 2 0 1 3 4 4" }, // the last ending closes with a repeat sign too
    { "A4|1B4:|2c4|]", "0 1 0 2" },
    { "P:A\n|:A4:|\nP:B\nB4|", "0 0 1" },
    { "A2|:A4|B4:|", "0 1 2 1 2" }, // a pickup
    { "|:A4|B2:|c2|:d4|e2:|", "0 1 0 1 2 3 4 3 4" },
  };
  check_numbers(cases, G_N_ELEMENTS(cases), append_order);
}

static void
append_places(const RcTune *tune, const GError *error, GString *out)
{
  assert_null(error);
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, event->symbol);
    if (symbol->kind != RC_SYMBOL_HELD) {
      g_string_append_printf(out, "%s%s %u:%u", out->len ? ", " : "", symbol->text, event->line, event->column);
    }
  }
}

// Where each chord is written: the place of its first letter, in characters. The music begins on line 6.
static void
test_places_of_chords(void **state)
{
  (void)state;
  static const Numbers cases[] = {
    { "\"D\"D2 \"G\"G2|\"A\"A4|", "D 6:2, G 6:8, A 6:14" },
    { "  \"D\"D2|\n% aside\n|\"G\"G4|", "D 6:4, G 8:3" },
    { "\"^très\"\"D\"D2 \"G\"G2|", "D 6:9, G 6:15" },
    { "\"^a♭♭\"D2 [r:é] \"B♭\"B2|", "B♭ 6:17" },
    { "[K:D]\"D\"D4|\nK:G\n\"G\"G4|", "D 6:7, G 8:2" },
    { "D2 G2|\ns:\"D\" \"G\"", "D 7:4, G 7:8" },
    { "D2 G2|\nw:la la\ns: \"^très\"\ns:\"H♪\" \"G\"", "H♪ 9:4, G 9:9" },
    { "\"D\"D2\\\n\"G\"G2|", "D 6:2, G 7:2" },
    { "\" D\"D4|\"G(Em)\"G4|", "D 6:3, G 6:9" },
    { "V:1\nDEFG|\nV:2\n\"D\"D4|[V:1]ABcd|[V:2]\"G\"G4|", "D 9:2, G 9:23" },
    { "|:\"D\"D4:|", "D 6:4" },
  };
  check_numbers(cases, G_N_ELEMENTS(cases), append_places);
}

// ----------------------------------------------------------------------------------------------------------- stress

// Much of one thing: it ends soon, with a tune or a problem.
static void
test_much_of_one_thing(void **state)
{
  (void)state;
  enum { TIMES = 100000 };
  static const struct {
    const char *start;
    const char *piece; // %u: a new number each time
  } cases[] = {
    { "L:1/8\nK:C\n", "\"C\"A\"D\"B" },
    { "L:1/8\nK:C\n", "\"w%u\"" },
    { "L:1/8\nK:C\n", "\"w%u\"A" },
    { "L:1/8\nK:C\n", "[V:%u]A|" },
    { "L:1/8\nK:C\n", "[1,2 A:|" },
    { "L:1/8\nK:C\n", "[%u A:|" },
    { "L:64\nK:C\n", "(2:64[A99999]99999" },
    { "L:64\nK:C\n", "A99999|" },
    { "L:1/8\nK:C\n", "|:A:|" },
    { "L:1/8\nK:C\n", "P:A\n|:A:|\n" },
    { "L:1/8\nP:(((A9)9)9)9\nK:C\nP:A\n", "A|" },
    { "L:1/8\nK:C\n", "[K:D]" },
    { "L:1/8\nK:C\nA:", ":" },
    { "L:1/8\nK:C\n", "A>" },
    { "L:1/8\nK:C\n", "&A" },
    { "L:1/8\nK:C\nV:1\nA|\nV:2\n", "\"C\"A\"D\"B" },
    { "L:1/8\nK:", "^" },
    { "L:1/8\nK:C ", "^f" },
    { "L:1/8\nK:C\n", "A|\ns:\"C\"\n" },
    { "L:1/8\nK:C\n", "A\ns:\"w%u\"\n" },
    { "L:1/8\nK:C\n", "s:\"C\"\n" },
    { "L:1/8\nK:C\nA\ns:", "\"C\"" },
    { "L:1/8\nK:C\n", "+CE+" },
    { "T:", "&eacute;" },
    { "", "+:more\n" },
    { "L:1/8\nK:C\n", "[A/1024/1024]/1024/1024" },
  };
  alarm(STUCK);
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    GString *text = g_string_new("X:1\nT:Much\n");
    char **halves = g_strsplit(cases[i].piece, "%u", 2);
    g_string_append(text, cases[i].start);
    for (guint n = 1; n <= TIMES; ++n) {
      g_string_append(text, halves[0]);
      if (halves[1]) {
        g_string_append_printf(text, "%u%s", n, halves[1]);
      }
    }
    g_string_append(text, "|\n");
    char *found = heard(text->str, text->len);
    assert_true(*found);
    g_free(found);
    g_strfreev(halves);
    g_string_free(text, TRUE);
  }
  alarm(0);
}

// Bytes that are no text: a symbol that holds a NUL is none, Latin-1 becomes UTF-8.
static void
test_bytes_that_are_no_text(void **state)
{
  (void)state;
  static const char nul[] = HEAD "K:C\n\"A\"A4|\"A\0B\"B4|\n";
  static const char latin[] = HEAD "K:C\nP:\xc9\n\"\xe9\"A4|\n";
  char *found = heard(nul, sizeof nul - 1);
  assert_true(g_str_has_prefix(found, "Weir: A 4, A"));
  assert_true(g_str_has_suffix(found, "? 4"));
  g_free(found);
  found = heard(latin, sizeof latin - 1);
  assert_string_equal(found, "Weir: é? 4");
  g_free(found);
  GString *much = g_string_new(HEAD "K:C\n\"A\"A4|\"A");
  g_string_append_c(much, '\0');
  for (guint i = 0; i < 1000000; ++i) {
    g_string_append_c(much, 'B');
  }
  g_string_append(much, "\"B4|\n");
  g_free(heard(much->str, much->len));
  g_string_free(much, TRUE);
}

// ---------------------------------------------------------------------------------------------------------------- run

static int
make_folder(void **state)
{
  (void)state;
  return make_scratch("t.abc");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_good_files),        cmocka_unit_test(test_bad_files),
    cmocka_unit_test(test_cut_off_files),     cmocka_unit_test(test_order_of_bars),
    cmocka_unit_test(test_places_of_chords),  cmocka_unit_test(test_bytes_that_are_no_text),
    cmocka_unit_test(test_much_of_one_thing),
  };
  return cmocka_run_group_tests(tests, make_folder, remove_scratch);
}
