// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ChordPro songs, songs/*.cho, against the chords that an npm package finds in them: songs.tsv, made by songs.mjs. It
// gives them as written, we as they sound: by capo and transposition so many semitones higher, which `moves` says.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"

#include "table.h"

enum { N_SONGS = 3 };

typedef struct {
  const char *song;
  guint from; // the first chord that is moved
  int semitones;
} Move;

static const Move moves[] = { { "ladder.cho", 0, 2 }, { "two.cho", 12, 2 } };

static int
move_at(const char *song, guint chord)
{
  for (guint i = 0; i < G_N_ELEMENTS(moves); ++i) {
    if (!strcmp(moves[i].song, song) && chord >= moves[i].from) {
      return moves[i].semitones;
    }
  }
  return 0;
}

static void
check_chord(Check *c, const char *song, const RcTune *tune, guint index, const char *written)
{
  const RcEvent *event = &g_array_index(tune->events, RcEvent, index);
  const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, event->symbol);
  RcChord chord = { 0 };
  const RcSymbolKind kind = rc_chord_parse(written, strlen(written), RC_NAMES_ENGLISH, &chord, NULL);
  const int semitones = move_at(song, index);
  check(c, symbol->kind == kind, "%s: %s is read as `%s`", song, written, symbol->text);
  check(c, event->length == 0, "%s: %s has a length", song, written);
  if (kind == RC_SYMBOL_CHORD) {
    check_tones(c, written, rc_chord_tones(&symbol->chord), rc_pcs_transpose(rc_chord_tones(&chord), semitones));
    check_number(c, written, rc_note_pc(symbol->chord.bass), (rc_note_pc(chord.bass) + (guint)semitones) % 12);
  }
}

static void
check_song(Check *c, char **row)
{
  char *path = g_build_filename(g_getenv("ROWCALL_TEST_DATA"), "reference", "songs", row[1], NULL);
  const char *const paths[] = { path, NULL };
  char **chords = g_strsplit(row[4], " ", 0);
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  check_text(c, row[1], tune->title, row[2]);
  check_number(c, row[1], tune->events->len, g_strv_length(chords));
  for (guint i = 0; i < MIN(tune->events->len, g_strv_length(chords)); ++i) {
    check_chord(c, row[1], tune, i, chords[i]);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  g_strfreev(chords);
  g_free(path);
}

static void
test_songs(void **state)
{
  (void)state;
  Check c = { "songs", 0, 0 };
  GPtrArray *rows = table_read("songs.tsv", "song", 5, N_SONGS);
  for (guint i = 0; i < rows->len; ++i) {
    check_song(&c, g_ptr_array_index(rows, i));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = { cmocka_unit_test(test_songs) };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
