// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The ABC reader against two outside readers, on every example file that Debian's packages abcmidi 20230208+ds1-1 and
// abcm2ps 8.14.14-1 carry, read from where the packages install them:
//
// - the chord symbols as written equal those that the npm package abcjs 6.7.2 finds, through the table abcjs-chords.tsv
//   made by abcjs-chords.mjs;
// - the length as played equals that of the file that abc2midi 4.84 of the package abcmidi makes of the tune.
//
// Where they and we differ, a table below says how and why. Section numbers are those of the ABC music standard 2.1. A
// difference that is not in the table fails, and so does an entry of the table that is no difference any more.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "table.h"

#include <glib/gstdio.h>
#include <string.h>

#define EXAMPLES "/usr/share/doc/%s/examples/%s"

enum { N_FILES = 23, N_TUNES = 79, END_TICKS = 26 };

// ------------------------------------------------------------------------------------------------- the differences

typedef struct {
  const char *file;
  guint tune;  // from 1
  guint found; // chord symbols that we find
  const char *reason;
} ChordDifference;

static const ChordDifference chord_differences[] = {
  { "abcm2ps/sample.abc", 1, 14,
    "names of notes: those in small letters are taken for notes of the bass, c' for words" },
  { "abcm2ps/sample2.abc", 4, 2, "4.18: a chord symbol begins with its root; `gchord` is taken for words" },
  { "abcm2ps/sample2.abc", 11, 18,
    "names of notes: those in small letters are taken for notes of the bass, c' for words" },
  { "abcm2ps/sample3.abc", 5, 0, "4.18: a chord symbol begins with its root; `gchord in box` is taken for words" },
  { "abcm2ps/newfeatures.abc", 1, 14,
    "names of notes: those in small letters are taken for notes of the bass, c' for words" },
  { "abcm2ps/newfeatures.abc", 2, 43, "names of notes: those in small letters are taken for notes of the bass" },
  { "abcm2ps/sample2.abc", 2, 0, "3.1.6: a meter is a fraction; this M: is one number, and the tune is left out" },
};

typedef struct {
  const char *file;
  guint tune;       // from 1
  const char *ours; // length in quarter notes, worked out by hand; "-": the tune is left out
  const char *reason;
} LengthDifference;

static const LengthDifference length_differences[] = {
  // Repeats.
  { "abcm2ps/accordion.abc", 1, "64",
    "4.8: the second line, without an opening sign, is repeated from the end of the repeat before it; abc2midi plays "
    "the "
    "first line's beginning a third time, since its last ending closes with a repeat sign" },
  { "abcm2ps/sample.abc", 7, "87/2",
    "4.8: a repeat without an opening sign goes back to the double bar line; abc2midi goes back to the beginning" },
  // Lengths of notes.
  { "abcm2ps/newfeatures.abc", 4, "20",
    "4.14: a fermata changes no length; abc2midi doubles the note (%%MIDI fermataproportional)" },
  { "abcm2ps/sample.abc", 3, "45",
    "4.14: a fermata changes no length; abc2midi doubles the note (%%MIDI fermataproportional)" },
  { "abcm2ps/sample2.abc", 5, "7",
    "4.14: a fermata changes no length; abc2midi doubles the note (%%MIDI fermataproportional)" },
  { "abcm2ps/sample.abc", 5, "37",
    "4.14: a roll changes no length; abc2midi has none for notes at once and cuts them" },
  { "abcm2ps/sample3.abc", 6, "20",
    "4.12: grace notes take no time; abc2midi takes a second group directly after another for notes" },
  { "abcm2ps/sample4.abc", 2, "119/2",
    "4.13 has no tuplet within a tuplet: here the inner one takes the place of the outer; in abc2midi the outer "
    "stays" },
  { "abcm2ps/sample2.abc", 6, "24", "4.14: of its decorations D.C. leads back, once; abc2midi follows no jump" },
  // What is no part of the standard.
  { "abcm2ps/sample2.abc", 2, "-", "3.1.6: a meter is a fraction; this M: is one number, and the tune is left out" },
  { "abcm2ps/sample3.abc", 1, "21",
    "4.10: endings are named by numbers with commas or hyphens, here by 1.2 and by a text: the first is read as 1, the "
    "text is passed over; abc2midi reads on to the end as notes at once" },
  { "abcm2ps/sample3.abc", 4, "31",
    "7.4: an overlay reaches to its bar line; brackets around one of several bars are abcm2ps's own" },
  { "abcm2ps/sample5.abc", 3, "3",
    "7: the first voice to appear is written out for one bar only, and %%staves (abcm2ps's own) tells where it lies; "
    "abc2midi has another voice first" },
};

// ---------------------------------------------------------------------------------------------------- example files

static char *
example_path(const char *label)
{
  char **parts = g_strsplit(label, "/", 2);
  char *path = g_strdup_printf(EXAMPLES, parts[0], parts[1]);
  g_strfreev(parts);
  return path;
}

static char *
example_text(const char *label, gsize *length)
{
  char *path = example_path(label);
  char *text = NULL;
  if (!g_file_get_contents(path, &text, length, NULL)) {
    fail_msg("%s cannot be read: the Debian packages abcmidi and abcm2ps are needed", path);
  }
  g_free(path);
  return text;
}

// Calls for each tune of the examples, those left out too: they are NULL. Tunes are counted from 1 in their file.
typedef void (*TuneFunc)(Check *c, const char *label, guint number, const RcTune *tune, gpointer data);

static void
read_example(Check *c, const char *label, TuneFunc each, gpointer data)
{
  char *path = example_path(label);
  const char *const paths[] = { path, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .from = rc_format_find("abc") });
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  guint number = 0;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    const gboolean empty =
      error && (strstr(error->message, "holds no tunes") || g_error_matches(error, RC_ERROR, RC_ERROR_PASSED));
    if (!empty) {
      each(c, label, ++number, result == RC_READ_TUNE ? tune : NULL, data);
    }
    g_clear_error(&error);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  g_free(path);
}

static GPtrArray *
file_rows(void)
{
  return table_read("abcjs-chords.tsv", "file", 3, N_FILES);
}

static void
read_examples(Check *c, TuneFunc each, gpointer data)
{
  GPtrArray *files = file_rows();
  for (guint i = 0; i < files->len; ++i) {
    read_example(c, cell(files, i, 1), each, data);
  }
  g_ptr_array_unref(files);
}

static void
test_files_are_those_of_the_table(void **state)
{
  (void)state;
  Check c = { "example files", 0, 0 };
  GPtrArray *files = file_rows();
  for (guint i = 0; i < files->len; ++i) {
    gsize length = 0;
    char *text = example_text(cell(files, i, 1), &length);
    char *digest = g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)text, length);
    check_text(&c, cell(files, i, 1), digest, cell(files, i, 2));
    g_free(digest);
    g_free(text);
  }
  g_ptr_array_unref(files);
  check_finish(&c);
}

// ---------------------------------------------------------------------------------------------------- chord symbols

// The text from a place on to its closing quote: what is written, whatever it is read as.
static char *
written_at(char **lines, guint line, guint column)
{
  assert_true(line >= 1 && line <= g_strv_length(lines));
  const char *text = lines[line - 1];
  assert_true(g_utf8_validate(text, -1, NULL) && column <= (guint)g_utf8_strlen(text, -1));
  const char *start = g_utf8_offset_to_pointer(text, (glong)column - 1);
  const char *end = strchr(start, '"');
  assert_non_null(end);
  return g_strstrip(g_strndup(start, (gsize)(end - start)));
}

// The texts of a tune's chord symbols, in written order, each on a line, and their number.
static char *
written_symbols(const char *label, const RcTune *tune, guint *n)
{
  char *text = example_text(label, NULL);
  char **lines = g_strsplit(text, "\n", 0);
  GString *texts = g_string_new(NULL);
  *n = 0;
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    if (g_array_index(tune->symbols, RcSymbol, event->symbol).kind != RC_SYMBOL_HELD) {
      char *written = written_at(lines, event->line, event->column);
      g_string_append_printf(texts, "%s%s", *n ? "\n" : "", written);
      ++*n;
      g_free(written);
    }
  }
  g_strfreev(lines);
  g_free(text);
  return g_string_free(texts, FALSE);
}

static const ChordDifference *
chord_difference(const char *label, guint number)
{
  for (guint i = 0; i < G_N_ELEMENTS(chord_differences); ++i) {
    if (chord_differences[i].tune == number && !strcmp(chord_differences[i].file, label)) {
      return &chord_differences[i];
    }
  }
  return NULL;
}

typedef struct {
  GPtrArray *rows; // of the table's tunes
  guint next;
  guint explained;
} Progress;

static void
compare_chords(Check *c, const char *label, guint number, const RcTune *tune, gpointer data)
{
  Progress *progress = data;
  assert_true(progress->next < progress->rows->len);
  const guint row = progress->next++;
  assert_string_equal(cell(progress->rows, row, 1), label);
  assert_int_equal(number_of(cell(progress->rows, row, 2)), number);
  guint n = 0;
  char *texts = tune ? written_symbols(label, tune, &n) : g_strdup("");
  char *digest = g_compute_checksum_for_string(G_CHECKSUM_SHA256, texts, -1);
  const gboolean same = n == number_of(cell(progress->rows, row, 4)) && !strcmp(digest, cell(progress->rows, row, 5));
  const ChordDifference *difference = chord_difference(label, number);
  if (difference) {
    ++progress->explained;
    check(c, !same, "%s, tune %u: no difference any more", label, number);
    check(c, n == difference->found, "%s, tune %u: %u chord symbols, expected %u", label, number, n, difference->found);
  } else {
    check(c, same, "%s, tune %u: %u chord symbols, there %s; ours are\n%s", label, number, n,
          cell(progress->rows, row, 4), texts);
  }
  g_free(digest);
  g_free(texts);
}

static void
test_chord_symbols(void **state)
{
  (void)state;
  Check c = { "chord symbols of the ABC examples, with abcjs", 0, 0 };
  Progress progress = { table_read("abcjs-chords.tsv", "tune", 6, N_TUNES), 0, 0 };
  read_examples(&c, compare_chords, &progress);
  assert_int_equal(progress.next, N_TUNES);
  assert_int_equal(progress.explained, G_N_ELEMENTS(chord_differences));
  print_message("%u tunes, %u differences explained\n", progress.next, progress.explained);
  g_ptr_array_unref(progress.rows);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------------------------- MIDI

typedef struct {
  const guchar *at;
  const guchar *end;
} Bytes;

static guint
take(Bytes *bytes, guint n)
{
  guint value = 0;
  assert_true((gsize)(bytes->end - bytes->at) >= n);
  for (; n; --n) {
    value = value << 8U | *bytes->at++;
  }
  return value;
}

static void
pass(Bytes *bytes, guint n)
{
  assert_true((gsize)(bytes->end - bytes->at) >= n);
  bytes->at += n;
}

static guint
take_number(Bytes *bytes)
{
  guint value = 0;
  guint byte = 0x80;
  while (byte & 0x80U) {
    byte = take(bytes, 1);
    value = value << 7U | (byte & 0x7FU);
  }
  return value;
}

// The time, in ticks, at which a track ends.
static guint
track_end(Bytes track)
{
  guint time = 0;
  guint running = 0;
  while (track.at < track.end) {
    time += take_number(&track);
    const guint status = *track.at;
    if (status == 0xFF) {
      pass(&track, 1);
      const guint kind = take(&track, 1);
      pass(&track, take_number(&track));
      if (kind == 0x2F) { // end of track
        return time;
      }
    } else if (status == 0xF0 || status == 0xF7) {
      pass(&track, 1);
      pass(&track, take_number(&track));
    } else {
      running = status & 0x80U ? take(&track, 1) : running;
      pass(&track, (running & 0xF0U) == 0xC0 || (running & 0xF0U) == 0xD0 ? 1 : 2);
    }
  }
  fail_msg("a track without an end");
  return 0;
}

// The ticks of a file's first voice and of a quarter note. The first of several tracks holds the tempo only.
static guint
first_voice_end(Bytes file, guint *quarter)
{
  assert_int_equal(take(&file, 4), 0x4D546864); // MThd
  assert_int_equal(take(&file, 4), 6);
  pass(&file, 2);
  const guint n_tracks = take(&file, 2);
  *quarter = take(&file, 2);
  for (guint i = 0;; ++i) {
    assert_int_equal(take(&file, 4), 0x4D54726B); // MTrk
    const guint length = take(&file, 4);
    const Bytes track = { file.at, file.at + length };
    pass(&file, length);
    if (i || n_tracks == 1) {
      return track_end(track);
    }
  }
}

// ---------------------------------------------------------------------------------------------------------- lengths

// Sets `out` to what abc2midi prints.
static void
run_abc2midi(char **arguments, char **out)
{
  if (!g_spawn_sync(NULL, arguments, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, out, NULL,
                    NULL, NULL)) {
    fail_msg("abc2midi does not run: the Debian package abcmidi is needed");
  }
}

typedef struct {
  Progress progress;
  char *midi; // path of the file that abc2midi writes
} Lengths;

static guint
midi_ticks(const Lengths *lengths, const char *label, const char *reference, guint *quarter)
{
  char *path = example_path(label);
  char *out = NULL;
  char *bytes = NULL;
  gsize n = 0;
  char *arguments[] = { (char[]){ "abc2midi" }, path, (char *)reference, (char[]){ "-o" }, lengths->midi, NULL };
  g_remove(lengths->midi);
  run_abc2midi(arguments, &out);
  if (!g_file_get_contents(lengths->midi, &bytes, &n, NULL)) {
    fail_msg("abc2midi makes nothing of %s, X:%s: %s", label, reference, out);
  }
  const guint ticks = first_voice_end((Bytes){ (const guchar *)bytes, (const guchar *)bytes + n }, quarter);
  g_free(bytes);
  g_free(out);
  g_free(path);
  return ticks;
}

static RcTicks
played_length(const RcTune *tune)
{
  RcTicks length = 0;
  for (guint i = 0; i < tune->played->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, g_array_index(tune->played, guint, i));
    for (guint e = 0; e < bar->count; ++e) {
      length += g_array_index(tune->events, RcEvent, bar->first + e).length;
    }
  }
  return length;
}

static const LengthDifference *
length_difference(const char *label, guint number)
{
  for (guint i = 0; i < G_N_ELEMENTS(length_differences); ++i) {
    if (length_differences[i].tune == number && !strcmp(length_differences[i].file, label)) {
      return &length_differences[i];
    }
  }
  return NULL;
}

// "45", "87/2", or -1 for "-".
static RcTicks
length_of(const char *text)
{
  char **parts = g_strsplit(text, "/", 2);
  const RcTicks length =
    !strcmp(text, "-") ? -1 : RC_QUARTER * number_of(parts[0]) / (parts[1] ? number_of(parts[1]) : 1);
  g_strfreev(parts);
  return length;
}

// abc2midi begins one tick late and ends a track 25 ticks after its last bar; it counts in whole ticks.
static void
compare_length(Check *c, const char *label, guint number, const RcTune *tune, gpointer data)
{
  Lengths *lengths = data;
  Progress *progress = &lengths->progress;
  assert_true(progress->next < progress->rows->len);
  const char *reference = cell(progress->rows, progress->next++, 3);
  guint quarter = 0;
  const guint end = midi_ticks(lengths, label, reference, &quarter);
  assert_true(end >= END_TICKS && quarter > END_TICKS);
  const double theirs = (double)(end - END_TICKS) / quarter;
  const RcTicks length = tune ? played_length(tune) : -1;
  const double ours = (double)length / (double)RC_QUARTER;
  const gboolean same = tune && ABS(ours - theirs) * quarter < 1.5;
  const LengthDifference *difference = length_difference(label, number);
  if (difference) {
    ++progress->explained;
    check(c, !same, "%s, tune %u: no difference any more", label, number);
    check(c, length == length_of(difference->ours), "%s, tune %u: %.4f quarter notes, expected %s", label, number, ours,
          difference->ours);
  } else {
    check(c, same, "%s, tune %u: %.4f quarter notes, there %.4f", label, number, ours, theirs);
  }
}

static void
check_version(void)
{
  char *out = NULL;
  char *arguments[] = { (char[]){ "abc2midi" }, (char[]){ "-ver" }, NULL };
  run_abc2midi(arguments, &out);
  if (!g_str_has_prefix(out, "4.84 ")) {
    fail_msg("this is abc2midi %s; the differences are those of 4.84", out);
  }
  g_free(out);
}

static void
test_lengths(void **state)
{
  (void)state;
  check_version();
  Check c = { "lengths of the ABC examples, with abc2midi", 0, 0 };
  char *folder = g_dir_make_tmp("rowcall-midi-XXXXXX", NULL);
  assert_non_null(folder);
  Lengths lengths = { { table_read("abcjs-chords.tsv", "tune", 6, N_TUNES), 0, 0 },
                      g_build_filename(folder, "t.mid", NULL) };
  read_examples(&c, compare_length, &lengths);
  assert_int_equal(lengths.progress.next, N_TUNES);
  assert_int_equal(lengths.progress.explained, G_N_ELEMENTS(length_differences));
  print_message("%u tunes, %u differences explained\n", lengths.progress.next, lengths.progress.explained);
  g_ptr_array_unref(lengths.progress.rows);
  g_remove(lengths.midi);
  g_rmdir(folder);
  g_free(lengths.midi);
  g_free(folder);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_files_are_those_of_the_table),
    cmocka_unit_test(test_chord_symbols),
    cmocka_unit_test(test_lengths),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
