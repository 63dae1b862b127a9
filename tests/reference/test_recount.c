// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The rules of the roll counted a second time, by brute force, and held against the library: boards, grips, grades,
// likeness, the order of the answers, and whole rolls. Nothing here is taken from the library but the words of its
// public headers and the table of assumed tempos. Sets are twelve numbers, every grip is looked at, nothing is clever.
//
// Outside sources: the sizes are those of Wikipedia, Stradella bass system, for 8 to 48 buttons (8x6 and 12x4), 60 and
// 72; Squeezebox Wiki, Stradella, for 80 and 96; mon-accordeon.com, FAQ 090, for 120. What the buttons sound is told by
// English Wikibooks, Accordion/Left hand (counterbass), and by Rod Stradling, Notes on the Stradella bass (chord rows:
// sevenths without their fifth, diminished sevenths without their diminished fifth). The likeness is the spectral
// pitch-class similarity of Milne, Sethares, Laney and Sharp (2011), J. Mathematics and Music 5(1), with the parameters
// of Milne and Holland (2016), J. Mathematics and Music 10(1).

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"
#include "rowcall/keyboard.h"
#include "rowcall/music.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

enum {
  N_PCS = 12,
  N_BOARDS = 12,
  N_REQUESTS = 2000,
  N_TUNES = 240,
  RANKING_EVERY = 6,        // requests on each board, in turn
  WHOLE_RANKING_EVERY = 50, // requests
  MOST_PRINTED = 20,        // differences in each test
  REACH = 4,
  PRESS = 3,
  SEED = 20260731
};

// --------------------------------------------------------------------------------------------------- the comparison

static guint64 n_compared;
static guint n_differing;
static guint n_before; // differences of the tests before this one

// Counts one comparison. Returns whether a difference is to be printed.
static gboolean
differs(gint64 ours, gint64 theirs)
{
  ++n_compared;
  if (ours == theirs) {
    return FALSE;
  }
  return ++n_differing - n_before <= MOST_PRINTED;
}

static void
compare(gint64 ours, gint64 theirs, const char *where, const char *what)
{
  if (differs(ours, theirs)) {
    print_error("%s: %s is %" G_GINT64_FORMAT " counted here and %" G_GINT64_FORMAT " in the library\n", where, what,
                ours, theirs);
  }
}

// Fails the test that ends here where it has met a difference.
static void
check_test(void)
{
  const guint n = n_differing - n_before;
  n_before = n_differing;
  assert_int_equal(n, 0);
}

// ---------------------------------------------------------------------------------------------------- pseudo-random

static guint64 random_state = SEED;

// A whole number from 0 to n - 1: a linear congruential generator with the constants of Knuth's MMIX.
static int
draw(int n)
{
  random_state = random_state * G_GUINT64_CONSTANT(6364136223846793005) + G_GUINT64_CONSTANT(1442695040888963407);
  return (int)(random_state / (G_GUINT64_CONSTANT(1) << 33) % (guint64)n);
}

static gboolean
one_in(int n)
{
  return draw(n) == 0;
}

// ------------------------------------------------------------------------------------------------------------ notes

// For each pitch class whether it is there.
typedef struct {
  int has[N_PCS];
} Tones;

static int
above(int pc, int semitones)
{
  return (pc + semitones) % N_PCS;
}

// Whether every tone of a is one of b.
static gboolean
is_within(Tones a, Tones b)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (a.has[pc] && !b.has[pc]) {
      return FALSE;
    }
  }
  return TRUE;
}

// The number that stands for a set in the library's headers: pitch class n counts 2^n.
static int
number_of(Tones tones)
{
  int number = 0;
  int value = 1;
  for (int pc = 0; pc < N_PCS; ++pc) {
    number += tones.has[pc] * value;
    value *= 2;
  }
  return number;
}

// The place of a note on the line of fifths, C being 0.
static int
place_of(const char *name)
{
  int place = (int)(strchr("FCGDAEB", name[0]) - "FCGDAEB") - 1;
  for (const char *sign = name + 1; *sign; ++sign) {
    place += *sign == '#' ? 7 : -7;
  }
  return place;
}

static int
pc_of(int place)
{
  return ((place * 7) % N_PCS + N_PCS) % N_PCS;
}

static void
append_name(GString *text, int place)
{
  int sharps = 0;
  for (; place < -1; place += 7) {
    --sharps;
  }
  for (; place > 5; place -= 7) {
    ++sharps;
  }
  g_string_append_c(text, "FCGDAEB"[place + 1]);
  for (; sharps != 0; sharps += sharps > 0 ? -1 : 1) {
    g_string_append_c(text, sharps > 0 ? '#' : 'b');
  }
}

// ----------------------------------------------------------------------------------------------------------- boards

typedef enum { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH, DIMINISHED, N_ROW_KINDS } RowKind;

static const struct {
  const char *name;
  int n_tones;
  int semitones[3]; // above the fundamental of the column
} row_kinds[N_ROW_KINDS] = {
  [COUNTERBASS] = { "counterbass", 1, { 4 } }, [FUNDAMENTAL] = { "fundamental", 1, { 0 } },
  [MAJOR] = { "major", 3, { 0, 4, 7 } },       [MINOR] = { "minor", 3, { 0, 3, 7 } },
  [SEVENTH] = { "seventh", 3, { 0, 4, 10 } },  [DIMINISHED] = { "diminished", 3, { 0, 3, 9 } },
};

static const struct {
  const char *name;
  const char *first; // column
  const char *last;
  int n_rows;
  RowKind rows[N_ROW_KINDS]; // from the bellows
} sizes[N_BOARDS] = {
  { "8", "F", "D", 2, { FUNDAMENTAL, MAJOR } },
  { "12", "Bb", "A", 2, { FUNDAMENTAL, MAJOR } },
  { "24", "Eb", "E", 3, { FUNDAMENTAL, MAJOR, MINOR } },
  { "32", "Eb", "E", 4, { FUNDAMENTAL, MAJOR, MINOR, SEVENTH } },
  { "40", "Eb", "E", 5, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH } },
  { "48-8x6", "Eb", "E", 6, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH, DIMINISHED } },
  { "48-12x4", "Db", "F#", 4, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR } },
  { "60", "Db", "F#", 5, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH } },
  { "72", "Db", "F#", 6, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH, DIMINISHED } },
  { "80", "Cb", "G#", 5, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH } },
  { "96", "Cb", "G#", 6, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH, DIMINISHED } },
  { "120", "Bbb", "A#", 6, { COUNTERBASS, FUNDAMENTAL, MAJOR, MINOR, SEVENTH, DIMINISHED } },
};

typedef struct {
  RowKind kind;
  int row;
  int column;
  int from_c; // half columns to the middle between C and G
  int root;   // pitch class of the bass note or of the chord's name
  Tones tones;
} Button;

// A sound that some grip makes: its tones and the pitch class of its bass.
typedef struct {
  Tones tones;
  int bass;
} Sound;

typedef struct {
  int bass; // index of the button
  int n_chords;
  int chords[2]; // indices, rising
  int reach;
  int from_c; // half columns from its furthest button to the middle between C and G
  int sound;  // index into sounds
} Grip;

typedef struct {
  const char *name;
  GArray *buttons; // of Button: by row from the bellows, then by column from the flattest
  GArray *grips;   // of Grip
  RcLayout *layout;
  RcCatalogue *catalogue;
} Board;

static Board boards[N_BOARDS];
static GArray *sounds;             // of Sound: those of all boards, each once
static GArray *grades;             // of Grade: that of each sound for the wish at hand
static int sound_ids[4096][N_PCS]; // index into sounds, counted from 1, by number of the tones and bass

static const Button *
button_at(const Board *board, int index)
{
  return &g_array_index(board->buttons, Button, index);
}

static gboolean
is_bass(const Button *button)
{
  return button->kind == COUNTERBASS || button->kind == FUNDAMENTAL;
}

static Button
button_make(RowKind kind, int row, int column, int place)
{
  const int fundamental = pc_of(place);
  Button button = { .kind = kind, .row = row, .column = column, .from_c = ABS(2 * place - 1) };
  for (int i = 0; i < row_kinds[kind].n_tones; ++i) {
    button.tones.has[above(fundamental, row_kinds[kind].semitones[i])] = 1;
  }
  button.root = kind == COUNTERBASS ? above(fundamental, 4) : fundamental;
  return button;
}

static void
add_buttons(Board *board, int size)
{
  const int first = place_of(sizes[size].first);
  const int last = place_of(sizes[size].last);
  for (int row = 0; row < sizes[size].n_rows; ++row) {
    for (int place = first; place <= last; ++place) {
      const Button button = button_make(sizes[size].rows[row], row, place - first, place);
      g_array_append_val(board->buttons, button);
    }
  }
}

static int
sound_id(Sound sound)
{
  int *id = &sound_ids[number_of(sound.tones)][sound.bass];
  if (*id == 0) {
    g_array_append_val(sounds, sound);
    *id = (int)sounds->len;
  }
  return *id - 1;
}

static int
reach_of(const Board *board, const Grip *grip)
{
  int low = button_at(board, grip->bass)->column;
  int high = low;
  for (int i = 0; i < grip->n_chords; ++i) {
    const int column = button_at(board, grip->chords[i])->column;
    low = MIN(low, column);
    high = MAX(high, column);
  }
  return high - low;
}

static int
from_c(const Board *board, const Grip *grip)
{
  int most = button_at(board, grip->bass)->from_c;
  for (int i = 0; i < grip->n_chords; ++i) {
    most = MAX(most, button_at(board, grip->chords[i])->from_c);
  }
  return most;
}

static Sound
sound_of(const Board *board, const Grip *grip)
{
  Sound sound = { button_at(board, grip->bass)->tones, button_at(board, grip->bass)->root };
  for (int i = 0; i < grip->n_chords; ++i) {
    for (int pc = 0; pc < N_PCS; ++pc) {
      sound.tones.has[pc] |= button_at(board, grip->chords[i])->tones.has[pc];
    }
  }
  return sound;
}

static void
add_grip(Board *board, Grip grip)
{
  grip.reach = reach_of(board, &grip);
  grip.from_c = from_c(board, &grip);
  if (grip.reach <= REACH) {
    grip.sound = sound_id(sound_of(board, &grip));
    g_array_append_val(board->grips, grip);
  }
}

static void
add_grips_over(Board *board, int bass)
{
  const int n = (int)board->buttons->len;
  add_grip(board, (Grip){ .bass = bass });
  for (int a = 0; a < n; ++a) {
    if (is_bass(button_at(board, a))) {
      continue;
    }
    add_grip(board, (Grip){ .bass = bass, .n_chords = 1, .chords = { a } });
    for (int b = a + 1; b < n; ++b) {
      if (!is_bass(button_at(board, b))) {
        add_grip(board, (Grip){ .bass = bass, .n_chords = 2, .chords = { a, b } });
      }
    }
  }
}

static void
board_make(Board *board, int size)
{
  board->name = sizes[size].name;
  board->buttons = g_array_new(FALSE, FALSE, sizeof(Button));
  board->grips = g_array_new(FALSE, FALSE, sizeof(Grip));
  add_buttons(board, size);
  for (int i = 0; i < (int)board->buttons->len; ++i) {
    if (is_bass(button_at(board, i))) {
      add_grips_over(board, i);
    }
  }
  board->layout = rc_layout_find(board->name, NULL);
  assert_non_null(board->layout);
  board->catalogue = rc_catalogue_new(board->layout, (RcHand){ REACH, PRESS });
}

static void
compare_button(const Board *board, int index)
{
  const Button *ours = button_at(board, index);
  const RcButton *theirs = rc_layout_button(board->layout, (guint)index);
  compare(ours->row, theirs->row, board->name, "a button's row");
  compare(ours->column, theirs->column, board->name, "a button's column");
  compare(number_of(ours->tones), theirs->sound.tones, board->name, "a button's sound");
  compare(ours->root, rc_note_pc(theirs->sound.root), board->name, "a button's root");
  compare(0, strcmp(row_kinds[ours->kind].name, rc_button_row(board->layout, theirs)), board->name, "a row's name");
}

static void
test_boards(void **state)
{
  (void)state;
  const char *const *names = rc_layout_usual_names();
  assert_int_equal(g_strv_length((char **)names), N_BOARDS);
  for (int i = 0; i < N_BOARDS; ++i) {
    assert_string_equal(names[i], boards[i].name);
    assert_int_equal(boards[i].buttons->len, boards[i].layout->buttons->len);
    compare(boards[i].buttons->len, rc_layout_count_buttons(boards[i].layout), boards[i].name, "the number of buttons");
    for (int b = 0; b < (int)boards[i].buttons->len; ++b) {
      compare_button(&boards[i], b);
    }
  }
  check_test();
}

// ----------------------------------------------------------------------------------------------------------- wishes

static const struct {
  const char *name;
  int semitones;
} degrees[RC_N_DEGREES] = {
  [RC_DEGREE_1] = { "1", 0 },          [RC_DEGREE_FLAT_3] = { "b3", 3 },
  [RC_DEGREE_3] = { "3", 4 },          [RC_DEGREE_SUS_2] = { "sus2", 2 },
  [RC_DEGREE_SUS_4] = { "sus4", 5 },   [RC_DEGREE_FLAT_5] = { "b5", 6 },
  [RC_DEGREE_5] = { "5", 7 },          [RC_DEGREE_SHARP_5] = { "#5", 8 },
  [RC_DEGREE_6] = { "6", 9 },          [RC_DEGREE_DOUBLE_FLAT_7] = { "bb7", 9 },
  [RC_DEGREE_FLAT_7] = { "b7", 10 },   [RC_DEGREE_7] = { "7", 11 },
  [RC_DEGREE_FLAT_9] = { "b9", 1 },    [RC_DEGREE_9] = { "9", 2 },
  [RC_DEGREE_SHARP_9] = { "#9", 3 },   [RC_DEGREE_11] = { "11", 5 },
  [RC_DEGREE_SHARP_11] = { "#11", 6 }, [RC_DEGREE_FLAT_13] = { "b13", 8 },
  [RC_DEGREE_13] = { "13", 9 },
};

// How chords are written after their root, and their tones.
static const struct {
  const char *text;
  const char *also; // another way to write it
  const char *degrees;
} qualities[] = {
  { "", "", "1 3 5" },
  { "m", "min", "1 b3 5" },
  { "7", "7", "1 3 5 b7" },
  { "dim", "dim", "1 b3 b5" },
  { "dim7", "dim7", "1 b3 b5 bb7" },
  { "aug", "+", "1 3 #5" },
  { "5", "(no3)", "1 5" },
  { "6", "6", "1 3 5 6" },
  { "6/9", "69", "1 3 5 6 9" },
  { "m6", "min6", "1 b3 5 6" },
  { "m6/9", "m69", "1 b3 5 6 9" },
  { "maj7", "M7", "1 3 5 7" },
  { "m7", "min7", "1 b3 5 b7" },
  { "m(maj7)", "mM7", "1 b3 5 7" },
  { "m7b5", "m7b5", "1 b3 b5 b7" },
  { "dim(maj7)", "dim(maj7)", "1 b3 b5 7" },
  { "7b5", "7b5", "1 3 b5 b7" },
  { "7#5", "aug7", "1 3 #5 b7" },
  { "m7#5", "m7#5", "1 b3 #5 b7" },
  { "maj7b5", "maj7b5", "1 3 b5 7" },
  { "maj7#5", "maj7#5", "1 3 #5 7" },
  { "7b9", "7b9", "1 3 5 b7 b9" },
  { "7#9", "7#9", "1 3 5 b7 #9" },
  { "7#11", "7#11", "1 3 5 b7 #11" },
  { "7b13", "7b13", "1 3 5 b7 b13" },
  { "7b9b13", "7b9b13", "1 3 5 b7 b9 b13" },
  { "7b5b9", "7b5b9", "1 3 b5 b7 b9" },
  { "7#5#9", "7#5#9", "1 3 #5 b7 #9" },
  { "9", "9", "1 3 5 b7 9" },
  { "9b5", "9b5", "1 3 b5 b7 9" },
  { "9#11", "9#11", "1 3 5 b7 9 #11" },
  { "11", "11", "1 3 5 b7 9 11" },
  { "13", "13", "1 3 5 b7 9 11 13" },
  { "13b9", "13b9", "1 3 5 b7 b9 11 13" },
  { "maj9", "M9", "1 3 5 7 9" },
  { "maj7#11", "maj7#11", "1 3 5 7 #11" },
  { "maj13", "M13", "1 3 5 7 9 11 13" },
  { "m9", "min9", "1 b3 5 b7 9" },
  { "m11", "min11", "1 b3 5 b7 9 11" },
  { "m13", "min13", "1 b3 5 b7 9 11 13" },
  { "m7b5b9", "m7b5b9", "1 b3 b5 b7 b9" },
  { "sus2", "sus2", "1 sus2 5" },
  { "sus4", "sus", "1 sus4 5" },
  { "sus2sus4", "sus2sus4", "1 sus2 sus4 5" },
  { "7sus2", "7sus2", "1 sus2 5 b7" },
  { "7sus4", "7sus", "1 sus4 5 b7" },
  { "9sus4", "9sus4", "1 sus4 5 b7 9" },
  { "13sus4", "13sus4", "1 sus4 5 b7 9 11 13" },
  { "7sus4b9", "7sus4b9", "1 sus4 5 b7 b9" },
  { "6sus4", "6sus4", "1 sus4 5 6" },
  { "maj7sus4", "maj7sus4", "1 sus4 5 7" },
  { "add9", "add9", "1 3 5 9" },
  { "madd9", "madd9", "1 b3 5 9" },
  { "add11", "add11", "1 3 5 11" },
  { "7add13", "7add13", "1 3 5 b7 13" },
  { "(no5)", "(no5)", "1 3" },
  { "7(no3)", "7(no3)", "1 5 b7" },
  { "9(no3)", "9(no3)", "1 5 b7 9" },
  { "6(no3)", "6(no3)", "1 5 6" },
};

// What is asked for. Notes are places on the line of fifths.
typedef struct {
  int root;
  int bass;
  int wants[RC_N_DEGREES]; // for each degree whether the symbol asks for it
} Chord;

typedef struct {
  Chord chord;
  gboolean key_known;
  Tones key;
  Tones melody;
  gboolean brisk;
} Wish;

static int
degree_of(const char *name)
{
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    if (!strcmp(degrees[d].name, name)) {
      return d;
    }
  }
  fail_msg("%s is no degree", name);
  return 0;
}

static void
set_degrees(Chord *chord, const char *list)
{
  char **names = g_strsplit(list, " ", 0);
  memset(chord->wants, 0, sizeof(chord->wants));
  for (int i = 0; names[i]; ++i) {
    chord->wants[degree_of(names[i])] = 1;
  }
  g_strfreev(names);
}

static gboolean
wants_one_of(const Chord *chord, const char *list)
{
  Chord other = { 0 };
  set_degrees(&other, list);
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    if (chord->wants[d] && other.wants[d]) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
wants_all_of(const Chord *chord, const char *list)
{
  Chord other = { 0 };
  set_degrees(&other, list);
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    if (other.wants[d] && !chord->wants[d]) {
      return FALSE;
    }
  }
  return TRUE;
}

static gboolean
wants_just(const Chord *chord, const char *list)
{
  Chord other = { 0 };
  set_degrees(&other, list);
  return !memcmp(chord->wants, other.wants, sizeof(other.wants));
}

static int
degree_pc(const Chord *chord, int degree)
{
  return above(pc_of(chord->root), degrees[degree].semitones);
}

// The tones of those of the listed degrees that the chord asks for.
static Tones
tones_among(const Chord *chord, const char *list)
{
  Chord other = { 0 };
  Tones tones = { 0 };
  set_degrees(&other, list);
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    if (chord->wants[d] && other.wants[d]) {
      tones.has[degree_pc(chord, d)] = 1;
    }
  }
  return tones;
}

static Tones
tones_wanted(const Chord *chord)
{
  Tones tones = { 0 };
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    if (chord->wants[d]) {
      tones.has[degree_pc(chord, d)] = 1;
    }
  }
  tones.has[pc_of(chord->bass)] = 1;
  return tones;
}

// ---------------------------------------------------------------------------------------------------- foreign tones

static void
let(Tones *tones, const Chord *chord, int semitones)
{
  tones->has[above(pc_of(chord->root), semitones)] = 1;
}

static void
let_where_in_key(Tones *tones, const Wish *wish, int semitones)
{
  if (wish->key_known && wish->key.has[above(pc_of(wish->chord.root), semitones)]) {
    let(tones, &wish->chord, semitones);
  }
}

// The third or thirds that the key has, else the major third.
static Tones
resolutions(const Wish *wish)
{
  const int root = pc_of(wish->chord.root);
  Tones tones = { 0 };
  let_where_in_key(&tones, wish, 3);
  let_where_in_key(&tones, wish, 4);
  if (!tones.has[above(root, 3)] && !tones.has[above(root, 4)]) {
    let(&tones, &wish->chord, 4);
  }
  return tones;
}

static gboolean
is_suspended(const Chord *chord)
{
  return wants_one_of(chord, "sus2 sus4") && !wants_one_of(chord, "b3 3 b5 #5");
}

enum { NO_TENSION = -1 };

// The families of chords, the degrees they have and lack, and their usual tensions above the root.
static const struct {
  const char *has;
  const char *lacks;
  int tensions[3];
  int in_key; // a tension only where the key is known and has it
} families[] = {
  { "3", "b3 sus2 sus4 b5 #5 bb7 b7 7", { 9, 11, 2 }, NO_TENSION },         // major: 6, maj7, 9
  { "b3", "3 sus2 sus4 b5 #5 bb7 b7 7", { 10, 2, 5 }, NO_TENSION },         // minor: b7, 9, 11
  { "3 b7", "b3 sus2 sus4 b5 #5 7", { 2, 9, NO_TENSION }, 1 },              // dominant: 9, 13, b9
  { "3 7", "b3 sus2 sus4 b5 #5 b7", { 2, 9, NO_TENSION }, NO_TENSION },     // major seventh: 9, 13
  { "b3 b7", "3 sus2 sus4 b5 #5 7", { 2, 5, NO_TENSION }, NO_TENSION },     // minor seventh: 9, 11
  { "1 b3 b5 b7", "3 sus2 sus4 5 #5 7", { 5, NO_TENSION, NO_TENSION }, 8 }, // half-diminished: 11, b13
};

// The usual tensions of the chord's family, before the key is asked.
static Tones
usual_tensions(const Wish *wish)
{
  Tones tones = { 0 };
  for (guint f = 0; f < G_N_ELEMENTS(families); ++f) {
    if (!wants_all_of(&wish->chord, families[f].has) || wants_one_of(&wish->chord, families[f].lacks)) {
      continue;
    }
    for (int i = 0; i < 3 && families[f].tensions[i] != NO_TENSION; ++i) {
      let(&tones, &wish->chord, families[f].tensions[i]);
    }
    if (families[f].in_key != NO_TENSION) {
      let_where_in_key(&tones, wish, families[f].in_key);
    }
  }
  return is_suspended(&wish->chord) ? resolutions(wish) : tones;
}

static Tones
available_tones(const Wish *wish)
{
  Tones tones = usual_tensions(wish);
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (wish->key_known && !wish->key.has[pc]) {
      tones.has[pc] = 0;
    }
  }
  return tones;
}

// --------------------------------------------------------------------------------------------------------- likeness

enum { N_BINS = 1200, N_HARMONICS = 12 };

// The spectrum of one tone of each pitch class, and the sums of the bins' products for each two of them.
static double spectra[N_PCS][N_BINS];
static double products[N_PCS][N_PCS];

// How often each pitch class sounds.
typedef struct {
  int times[N_PCS];
} Voices;

static void
add_harmonic(double bins[N_BINS], int pc, int harmonic)
{
  const int place = (100 * pc + (int)lround(1200 * log2(harmonic))) % N_BINS;
  for (int bin = 0; bin < N_BINS; ++bin) {
    const int straight = ABS(bin - place);
    const int distance = MIN(straight, N_BINS - straight);
    bins[bin] += pow(harmonic, -0.75) * exp(-distance * distance / (2 * 6.83 * 6.83));
  }
}

static double
product_of(const double a[N_BINS], const double b[N_BINS])
{
  double sum = 0;
  for (int bin = 0; bin < N_BINS; ++bin) {
    sum += a[bin] * b[bin];
  }
  return sum;
}

static void
make_spectra(void)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    for (int harmonic = 1; harmonic <= N_HARMONICS; ++harmonic) {
      add_harmonic(spectra[pc], pc, harmonic);
    }
  }
  for (int a = 0; a < N_PCS; ++a) {
    for (int b = 0; b < N_PCS; ++b) {
      products[a][b] = product_of(spectra[a], spectra[b]);
    }
  }
}

// The cosine of two chords' spectra by the definition, from all their bins.
static double
cosine_by_bins(const Voices *a, const Voices *b)
{
  double bins[2][N_BINS] = { { 0 } };
  for (int pc = 0; pc < N_PCS; ++pc) {
    for (int bin = 0; bin < N_BINS; ++bin) {
      bins[0][bin] += a->times[pc] * spectra[pc][bin];
      bins[1][bin] += b->times[pc] * spectra[pc][bin];
    }
  }
  return product_of(bins[0], bins[1]) / sqrt(product_of(bins[0], bins[0]) * product_of(bins[1], bins[1]));
}

// The same sum of products, gathered by tones instead of by bins, which is quicker.
static double
product_by_tones(const Voices *a, const Voices *b)
{
  double sum = 0;
  for (int i = 0; i < N_PCS; ++i) {
    for (int j = 0; a->times[i] && j < N_PCS; ++j) {
      sum += a->times[i] * b->times[j] * products[i][j];
    }
  }
  return sum;
}

static double
cosine_by_tones(const Voices *a, const Voices *b)
{
  return product_by_tones(a, b) / sqrt(product_by_tones(a, a) * product_by_tones(b, b));
}

static Voices
voices_of(Tones tones, int bass)
{
  Voices voices = { 0 };
  for (int pc = 0; pc < N_PCS; ++pc) {
    voices.times[pc] = tones.has[pc] + (pc == bass); // the bass once more
  }
  return voices;
}

static int
likeness_of(const Voices *a, const Voices *b)
{
  return (int)lround(10000 * cosine_by_tones(a, b));
}

static Voices
draw_voices(void)
{
  Voices voices = { 0 };
  for (int n = 1 + draw(9); n > 0; --n) {
    ++voices.times[draw(N_PCS)];
  }
  return voices;
}

// The short way and the library against the definition.
static void
test_spectra(void **state)
{
  (void)state;
  make_spectra();
  for (int i = 0; i < 300; ++i) {
    const Voices a = draw_voices();
    const Voices b = draw_voices();
    guint counts[2][N_PCS];
    for (int pc = 0; pc < N_PCS; ++pc) {
      counts[0][pc] = (guint)a.times[pc];
      counts[1][pc] = (guint)b.times[pc];
    }
    const double cosine = cosine_by_bins(&a, &b);
    compare(llround(1e9 * cosine), llround(1e9 * cosine_by_tones(&a, &b)), "spectra", "the cosine by tones");
    compare(llround(1e9 * cosine), llround(1e9 * rc_spectral_similarity(counts[0], counts[1])), "spectra", "theirs");
  }
  check_test();
}

// ----------------------------------------------------------------------------------------------------------- grades

// What the rules need to know of a wish, gathered once.
typedef struct {
  int root;
  int bass;
  int excused; // the fifth that does not count as missing, or -1
  Tones tones;
  Tones thirds;    // thirds and sus tones
  Tones essential; // root, third or sus tone, altered fifth
  Tones available;
  Voices voices;
} Wanted;

typedef struct {
  RcVerdict verdict;
  Tones kept;
  Tones missing;
  Tones foreign;
  int n_kept;
  int n_missing;
  int n_foreign;
  int likeness; // -1 until it is needed
} Grade;

static Wanted
wanted_of(const Wish *wish)
{
  const Chord *chord = &wish->chord;
  const gboolean excuses = wants_one_of(chord, "5") && wants_one_of(chord, "6 bb7 b7 7");
  Wanted wanted = {
    .root = pc_of(chord->root),
    .bass = pc_of(chord->bass),
    .excused = excuses ? degree_pc(chord, RC_DEGREE_5) : -1,
    .tones = tones_wanted(chord),
    .thirds = tones_among(chord, "b3 3 sus2 sus4"),
    .essential = tones_among(chord, "1 b3 3 sus2 sus4 b5 #5"),
    .available = available_tones(wish),
  };
  wanted.voices = voices_of(wanted.tones, wanted.bass);
  return wanted;
}

// Whether a silent tone is left out without harm: the excused fifth, or a tone the right hand has. The right hand never
// stands in for the bass.
static gboolean
is_filled(const Wish *wish, const Wanted *wanted, int pc)
{
  return pc == wanted->excused || (wish->melody.has[pc] && pc != wanted->bass);
}

static void
sort_tones(const Wish *wish, const Wanted *wanted, const Sound *sound, Grade *grade)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    const int is_wanted = wanted->tones.has[pc];
    const int does_sound = sound->tones.has[pc];
    grade->kept.has[pc] = is_wanted && does_sound;
    grade->foreign.has[pc] = !is_wanted && does_sound;
    grade->missing.has[pc] = is_wanted && !does_sound && !is_filled(wish, wanted, pc);
    grade->n_kept += grade->kept.has[pc];
    grade->n_missing += grade->missing.has[pc];
    grade->n_foreign += grade->foreign.has[pc];
  }
}

static gboolean
misses_essential(const Wanted *wanted, const Grade *grade)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (grade->missing.has[pc] && wanted->essential.has[pc]) {
      return TRUE;
    }
  }
  return FALSE;
}

// Whether the right hand has every third that the grip has not.
static gboolean
melody_has_third(const Wish *wish, const Wanted *wanted, const Sound *sound)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (wanted->thirds.has[pc] && !sound->tones.has[pc] && !wish->melody.has[pc]) {
      return FALSE;
    }
  }
  return TRUE;
}

static gboolean
may_be_bare(const Wish *wish, const Wanted *wanted, const Sound *sound)
{
  return wish->brisk || melody_has_third(wish, wanted, sound);
}

static RcVerdict
verdict_of(const Wish *wish, const Wanted *wanted, const Sound *sound, const Grade *grade)
{
  const gboolean pure = grade->n_foreign == 0;
  const gboolean fitting = is_within(grade->foreign, wanted->available);
  const gboolean rooted = sound->tones.has[wanted->root];
  if (sound->bass == wanted->bass && is_within(wanted->thirds, sound->tones)) {
    if (grade->n_missing == 0 && pure) {
      return RC_SAME;
    }
    if (grade->n_missing == 0 && fitting) {
      return RC_RICHER;
    }
    if (rooted && pure && !misses_essential(wanted, grade)) {
      return RC_LEANER;
    }
  } else if (sound->bass == wanted->bass && rooted && pure && may_be_bare(wish, wanted, sound)) {
    return RC_BARE;
  }
  return grade->n_kept >= 2 && fitting ? RC_BORROWED : RC_IMPOSSIBLE;
}

static Grade
grade_of(const Wish *wish, const Wanted *wanted, const Sound *sound)
{
  Grade grade = { 0 };
  sort_tones(wish, wanted, sound, &grade);
  grade.verdict = verdict_of(wish, wanted, sound, &grade);
  grade.likeness = -1;
  return grade;
}

// ---------------------------------------------------------------------------------------------------------- answers

// A way to play a wish on a board.
typedef struct {
  RcVerdict verdict;
  const Grip *grip; // NULL where it is impossible
  const Grade *grade;
} Answer;

// A wish that all sounds are graded for. There is one at a time.
typedef struct {
  Wish wish;
  Wanted wanted;
  RowKind row; // the row that has the chord's own button, or N_ROW_KINDS
} Question;

static RowKind
own_row(const Chord *chord)
{
  if (wants_just(chord, "1 3 5")) {
    return MAJOR;
  }
  if (wants_just(chord, "1 b3 5")) {
    return MINOR;
  }
  if (wants_just(chord, "1 3 5 b7")) {
    return SEVENTH;
  }
  if (wants_just(chord, "1 b3 b5") || wants_just(chord, "1 b3 b5 bb7")) {
    return DIMINISHED;
  }
  return N_ROW_KINDS; // none of the usual sizes has a row of augmented chords
}

static Question
ask(const Wish *wish)
{
  const Question q = { *wish, wanted_of(wish), own_row(&wish->chord) };
  g_array_set_size(grades, 0);
  for (guint i = 0; i < sounds->len; ++i) {
    const Grade grade = grade_of(wish, &q.wanted, &g_array_index(sounds, Sound, i));
    g_array_append_val(grades, grade);
  }
  return q;
}

static gboolean
is_native(const Question *q, const Board *board, const Grip *grip)
{
  if (grip->n_chords != 1 || button_at(board, grip->bass)->root != q->wanted.bass) {
    return FALSE;
  }
  const Button *chord = button_at(board, grip->chords[0]);
  return chord->kind == q->row && chord->root == q->wanted.root;
}

static Answer
answer_with(const Question *q, const Board *board, const Grip *grip)
{
  Grade *grade = &g_array_index(grades, Grade, grip->sound);
  const RcVerdict verdict = is_native(q, board, grip) ? RC_NATIVE : grade->verdict;
  if (verdict == RC_IMPOSSIBLE) {
    return (Answer){ RC_IMPOSSIBLE, NULL, NULL };
  }
  if (grade->likeness < 0) {
    const Sound *sound = &g_array_index(sounds, Sound, grip->sound);
    const Voices voices = voices_of(sound->tones, sound->bass);
    grade->likeness = likeness_of(&q->wanted.voices, &voices);
  }
  return (Answer){ verdict, grip, grade };
}

// The order of the answers, below 0 when a is better. A button's index tells its row, then its column. That the grip
// nearer to the C column comes first is said by rc_grip_compare() in the public header.
static int
answer_order(const Answer *a, const Answer *b)
{
  const int steps[] = {
    (int)a->verdict - (int)b->verdict,         a->grade->n_foreign - b->grade->n_foreign,
    a->grade->n_missing - b->grade->n_missing, b->grade->likeness - a->grade->likeness,
    a->grip->n_chords - b->grip->n_chords,     a->grip->reach - b->grip->reach,
    a->grip->from_c - b->grip->from_c,         a->grip->bass - b->grip->bass,
    a->grip->chords[0] - b->grip->chords[0],   a->grip->chords[1] - b->grip->chords[1],
  };
  for (guint i = 0; i < G_N_ELEMENTS(steps); ++i) {
    if (steps[i] != 0) {
      return steps[i];
    }
  }
  return 0;
}

// The best answer, and in n_ways how many there are.
static Answer
best_answer(const Question *q, const Board *board, guint *n_ways)
{
  Answer best = { RC_IMPOSSIBLE, NULL, NULL };
  *n_ways = 0;
  for (guint i = 0; i < board->grips->len; ++i) {
    const Answer answer = answer_with(q, board, &g_array_index(board->grips, Grip, i));
    if (!answer.grip) {
      continue;
    }
    ++*n_ways;
    if (!best.grip || answer_order(&answer, &best) < 0) {
      best = answer;
    }
  }
  return best;
}

static int
compare_answers(gconstpointer a, gconstpointer b)
{
  return answer_order(a, b);
}

static GArray *
all_answers(const Question *q, const Board *board)
{
  GArray *answers = g_array_new(FALSE, FALSE, sizeof(Answer));
  for (guint i = 0; i < board->grips->len; ++i) {
    const Answer answer = answer_with(q, board, &g_array_index(board->grips, Grip, i));
    if (answer.grip) {
      g_array_append_val(answers, answer);
    }
  }
  g_array_sort(answers, compare_answers);
  return answers;
}

// ----------------------------------------------------------------------------------- requests, one answer's numbers

enum { VERDICT, KEPT, MISSING, FOREIGN, LIKENESS, BASS, N_CHORDS, CHORD_1, CHORD_2, N_NUMBERS };

static const char *const number_names[N_NUMBERS] = { "verdict", "kept",   "missing",     "foreign",     "likeness",
                                                     "bass",    "chords", "first chord", "second chord" };

typedef struct {
  int of[N_NUMBERS];
} Numbers;

static Numbers
our_numbers(const Answer *answer)
{
  Numbers n = { { (int)answer->verdict } };
  if (answer->grip) {
    n.of[KEPT] = number_of(answer->grade->kept);
    n.of[MISSING] = number_of(answer->grade->missing);
    n.of[FOREIGN] = number_of(answer->grade->foreign);
    n.of[LIKENESS] = answer->grade->likeness;
    n.of[BASS] = answer->grip->bass;
    n.of[N_CHORDS] = answer->grip->n_chords;
    n.of[CHORD_1] = answer->grip->chords[0];
    n.of[CHORD_2] = answer->grip->chords[1];
  }
  return n;
}

static Numbers
their_numbers(const RcAnswer *answer)
{
  Numbers n = { { (int)answer->verdict } };
  if (answer->verdict != RC_IMPOSSIBLE) {
    n.of[KEPT] = answer->grading.kept;
    n.of[MISSING] = answer->grading.missing;
    n.of[FOREIGN] = answer->grading.foreign;
    n.of[LIKENESS] = (int)answer->likeness;
    n.of[BASS] = answer->grip.basses[0];
    n.of[N_CHORDS] = answer->grip.n_chords;
    n.of[CHORD_1] = answer->grip.n_chords > 0 ? answer->grip.chords[0] : 0;
    n.of[CHORD_2] = answer->grip.n_chords > 1 ? answer->grip.chords[1] : 0;
  }
  return n;
}

static void
append_tones(GString *text, const char *word, Tones tones)
{
  g_string_append_printf(text, ", %s", word);
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (tones.has[pc]) {
      g_string_append_printf(text, " %d", pc);
    }
  }
}

static char *
wish_text(const Wish *wish)
{
  GString *text = g_string_new(NULL);
  append_name(text, wish->chord.root);
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    if (wish->chord.wants[d]) {
      g_string_append_printf(text, " %s", degrees[d].name);
    }
  }
  g_string_append(text, " / ");
  append_name(text, wish->chord.bass);
  append_tones(text, wish->key_known ? "key" : "no key", wish->key);
  append_tones(text, "melody", wish->melody);
  g_string_append(text, wish->brisk ? ", brisk" : "");
  return g_string_free(text, FALSE);
}

// Where the comparison stands.
typedef struct {
  int request;
  const Wish *wish;
  const Board *board;
} Stand;

static void
print_difference(const Stand *stand, const char *what, int ours, int theirs)
{
  char *wish = wish_text(stand->wish);
  print_error("seed %d, request %d, board %s, %s: %s is %d counted here and %d in the library\n", SEED, stand->request,
              stand->board->name, wish, what, ours, theirs);
  g_free(wish);
}

static void
compare_number(const Stand *stand, const char *what, int ours, int theirs)
{
  if (differs(ours, theirs)) {
    print_difference(stand, what, ours, theirs);
  }
}

static void
compare_answer(const Stand *stand, const Answer *ours, const RcAnswer *theirs)
{
  const Numbers a = our_numbers(ours);
  const Numbers b = their_numbers(theirs);
  for (int i = 0; i < N_NUMBERS; ++i) {
    compare_number(stand, number_names[i], a.of[i], b.of[i]);
  }
}

// -------------------------------------------------------------------------------------------- requests, all of them

enum { NO_KEY, KEY_MAJOR, KEY_MINOR, KEY_DORIAN, KEY_PHRYGIAN, KEY_LYDIAN, KEY_MIXOLYDIAN, KEY_LOCRIAN, N_KEYS };

static const struct {
  const char *name;
  RcMode mode;
  int tones[N_PCS]; // above the tonic
} keys[N_KEYS] = {
  [NO_KEY] = { "", RC_MODE_NONE, { 0 } },
  [KEY_MAJOR] = { "major", RC_MODE_MAJOR, { 1, 0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 1 } },
  [KEY_MINOR] = { "minor", RC_MODE_MINOR, { 1, 0, 1, 1, 0, 1, 0, 1, 1, 1, 1, 1 } }, // both sixths and sevenths
  [KEY_DORIAN] = { "dorian", RC_MODE_DORIAN, { 1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 1, 0 } },
  [KEY_PHRYGIAN] = { "phrygian", RC_MODE_PHRYGIAN, { 1, 1, 0, 1, 0, 1, 0, 1, 1, 0, 1, 0 } },
  [KEY_LYDIAN] = { "lydian", RC_MODE_LYDIAN, { 1, 0, 1, 0, 1, 0, 1, 1, 0, 1, 0, 1 } },
  [KEY_MIXOLYDIAN] = { "mixolydian", RC_MODE_MIXOLYDIAN, { 1, 0, 1, 0, 1, 1, 0, 1, 0, 1, 1, 0 } },
  [KEY_LOCRIAN] = { "locrian", RC_MODE_LOCRIAN, { 1, 1, 0, 1, 0, 1, 1, 0, 1, 0, 1, 0 } },
};

static Tones
key_tones(int key, int tonic)
{
  Tones tones = { 0 };
  for (int i = 0; i < N_PCS; ++i) {
    tones.has[above(pc_of(tonic), i)] = keys[key].tones[i];
  }
  return tones;
}

// A third major, a third minor, the rest in another mode or none.
static int
draw_key(void)
{
  const int third = draw(3);
  return third == 0 ? KEY_MAJOR : third == 1 ? KEY_MINOR : one_in(2) ? NO_KEY : draw(N_KEYS);
}

// One chord in ten has any degrees at all, its root among them.
static void
draw_degrees(Chord *chord)
{
  set_degrees(chord, qualities[draw(G_N_ELEMENTS(qualities))].degrees);
  const gboolean any = one_in(10);
  for (int d = RC_DEGREE_1 + 1; any && d < RC_N_DEGREES; ++d) {
    chord->wants[d] = one_in(4);
  }
}

static Wish
draw_wish(void)
{
  Wish wish = { .chord = { .root = draw(19) - 8 } };
  const int tonic = draw(15) - 7;
  const int key = draw_key();
  wish.chord.bass = one_in(3) ? draw(19) - 8 : wish.chord.root;
  draw_degrees(&wish.chord);
  wish.key_known = key != NO_KEY;
  wish.key = key_tones(key, tonic);
  wish.brisk = one_in(2);
  for (int n = one_in(3) ? 1 + draw(4) : 0; n > 0; --n) {
    wish.melody.has[draw(N_PCS)] = 1;
  }
  return wish;
}

static RcRequest
request_of(const Wish *wish)
{
  RcRequest request = { .chord = { .root = (RcNote)wish->chord.root, .bass = (RcNote)wish->chord.bass },
                        .key = (RcPcSet)number_of(wish->key),
                        .melody = (RcPcSet)number_of(wish->melody),
                        .brisk = wish->brisk };
  for (int d = 0; d < RC_N_DEGREES; ++d) {
    request.chord.degrees |= wish->chord.wants[d] ? 1U << d : 0;
  }
  return request;
}

static void
compare_whole_ranking(const Stand *stand, const Question *q, const GArray *theirs)
{
  GArray *ours = all_answers(q, stand->board);
  for (guint i = 0; i < MIN(ours->len, theirs->len); ++i) {
    compare_answer(stand, &g_array_index(ours, Answer, i), &g_array_index(theirs, RcAnswer, i));
  }
  g_array_unref(ours);
}

static void
compare_ranking(const Stand *stand, const Question *q, const Answer *best, guint n_ways)
{
  const RcRequest request = request_of(&q->wish);
  GArray *ranking = rc_catalogue_rank(stand->board->catalogue, &request);
  compare_number(stand, "the number of ways", (int)n_ways, (int)ranking->len);
  if (ranking->len > 0) {
    compare_answer(stand, best, &g_array_index(ranking, RcAnswer, 0));
  }
  if (stand->request % WHOLE_RANKING_EVERY == 0) {
    compare_whole_ranking(stand, q, ranking);
  }
  g_array_unref(ranking);
}

static void
compare_on_board(const Stand *stand, const Question *q)
{
  const RcRequest request = request_of(&q->wish);
  guint n_ways = 0;
  const Answer best = best_answer(q, stand->board, &n_ways);
  const RcAnswer theirs = rc_catalogue_best(stand->board->catalogue, &request);
  compare_answer(stand, &best, &theirs);
  const int turn = stand->request + (int)(stand->board - boards);
  if (turn % RANKING_EVERY == 0 || stand->request % WHOLE_RANKING_EVERY == 0) {
    compare_ranking(stand, q, &best, n_ways);
  }
}

static void
test_requests(void **state)
{
  (void)state;
  for (int i = 0; i < N_REQUESTS; ++i) {
    const Wish wish = draw_wish();
    const Question q = ask(&wish);
    for (int b = 0; b < N_BOARDS; ++b) {
      compare_on_board(&(Stand){ i, &wish, &boards[b] }, &q);
    }
  }
  check_test();
}

static void
test_keys(void **state)
{
  (void)state;
  for (int key = 0; key < N_KEYS; ++key) {
    for (int tonic = -7; tonic <= 7; ++tonic) {
      const RcKey theirs = { keys[key].mode, (RcNote)tonic };
      compare(number_of(key_tones(key, tonic)), rc_key_tones(theirs), keys[key].name, "the tones of a key");
    }
  }
  check_test();
}

// ----------------------------------------------------------------------------------------------------- random tunes

enum {
  MAX_MARKS = 8,
  MAX_SHARES = 6,
  MAX_BARS = 9,
  MAX_PARTS = 4,
  MAX_ORDER = 7,
  HELD = -1 // a share that is written as a dot
};

typedef enum { A_CHORD, A_SILENCE, AN_UNREAD } MarkKind;

// A text that stands where a chord can.
typedef struct {
  MarkKind kind;
  Chord chord;
  char *text;
} Mark;

typedef struct {
  gboolean again; // written as a percent sign: the bar before it once more
  int n_shares;
  int shares[MAX_SHARES]; // indices of marks, or HELD
} Bar;

typedef struct {
  int n_bars;
  Bar bars[MAX_BARS];
} Part;

typedef struct {
  int key; // index into keys
  int tonic;
  int meter;          // index into meters
  const char *rhythm; // NULL when it is not stated
  char *tempo;        // NULL when it is not stated
  double quarters;    // a minute, when it is stated
  int n_marks;
  Mark marks[MAX_MARKS];
  int n_parts;
  Part parts[MAX_PARTS];
  int n_order; // 0 when it is not stated
  int order[MAX_ORDER];
} Tune;

static const struct {
  const char *text; // NULL where none is stated, which is 4/4
  RcMeter meter;
  double beat; // quarters in the beat that a bare number counts
} meters[] = {
  { NULL, { 4, 4 }, 1 },  { "4/4", { 4, 4 }, 1 },   { "C", { 4, 4 }, 1 },     { "3/4", { 3, 4 }, 1 },
  { "2/4", { 2, 4 }, 1 }, { "6/8", { 6, 8 }, 1.5 }, { "9/8", { 9, 8 }, 1.5 }, { "12/8", { 12, 8 }, 1.5 },
  { "2/2", { 2, 2 }, 2 }, { "C|", { 2, 2 }, 2 },    { "3/8", { 3, 8 }, 0.5 }, { "5/4", { 5, 4 }, 1 },
};

static const char *const rhythms[] = { "jig", "Reel", "hornpipe", "polka", "waltz", "March", "no such dance" };

static const char *const unread_texts[] = { "foo", "Hm7", "Q", "Cfoo", "D/", "?" };

static const struct {
  const char *name;
  double quarters;
} note_values[] = { { "1/4", 1 }, { "1/2", 2 }, { "3/8", 1.5 }, { "1/8", 0.5 } };

static char *
chord_text(const Chord *chord, const char *quality)
{
  GString *text = g_string_new(NULL);
  append_name(text, chord->root);
  g_string_append(text, quality);
  if (chord->bass != chord->root) {
    g_string_append_c(text, '/');
    append_name(text, chord->bass);
  }
  return g_string_free(text, FALSE);
}

// Half of the chords are plain ones. Notes lie around the tonic, so that no tune spells one note in two ways.
static Mark
draw_chord(int tonic)
{
  Mark mark = { .kind = A_CHORD };
  const int quality = draw(one_in(2) ? 4 : G_N_ELEMENTS(qualities));
  mark.chord.root = tonic + draw(12) - 5;
  mark.chord.bass = one_in(5) ? tonic + draw(12) - 5 : mark.chord.root;
  set_degrees(&mark.chord, qualities[quality].degrees);
  mark.text = chord_text(&mark.chord, one_in(2) ? qualities[quality].text : qualities[quality].also);
  return mark;
}

static Mark
draw_mark(const Tune *tune)
{
  const int kind = draw(30);
  if (kind == 0) {
    return (Mark){ .kind = AN_UNREAD, .text = g_strdup(unread_texts[draw(G_N_ELEMENTS(unread_texts))]) };
  }
  if (kind == 1 || kind == 2) {
    return (Mark){ .kind = A_SILENCE, .text = g_strdup("N.C.") };
  }
  if (kind == 3 && tune->n_marks > 0) { // the same again, which may be another index
    Mark mark = tune->marks[draw(tune->n_marks)];
    mark.text = g_strdup(mark.text);
    return mark;
  }
  return draw_chord(tune->tonic);
}

// A first bar neither repeats nor holds what is not there. A bar that begins with a held share is not repeated.
static Bar
draw_bar(const Tune *tune, const Bar *before)
{
  Bar bar = { .again = before && before->shares[0] != HELD && one_in(6), .n_shares = 1 + draw(4) };
  if (bar.again) {
    bar.n_shares = before->n_shares;
    memcpy(bar.shares, before->shares, sizeof(bar.shares));
    return bar;
  }
  if (one_in(12)) {
    bar.n_shares = MAX_SHARES;
  }
  for (int i = 0; i < bar.n_shares; ++i) {
    const gboolean may_hold = before || i > 0;
    bar.shares[i] = may_hold && one_in(5) ? HELD : draw(tune->n_marks);
  }
  return bar;
}

static void
draw_part(const Tune *tune, Part *part)
{
  part->n_bars = 1 + draw(MAX_BARS);
  for (int i = 0; i < part->n_bars; ++i) {
    part->bars[i] = draw_bar(tune, i > 0 ? &part->bars[i - 1] : NULL);
  }
}

static void
draw_tempo(Tune *tune)
{
  const double halves[] = { 0, 0, 0, 0.5 };
  const double number = 40 + 5 * draw(30) + halves[draw(4)];
  const int value = draw(8);
  double beat = meters[tune->meter].beat;
  tune->tempo = g_strdup_printf("%g", number);
  if (value < (int)G_N_ELEMENTS(note_values)) {
    g_free(tune->tempo);
    tune->tempo = g_strdup_printf("%s=%g", note_values[value].name, number);
    beat = note_values[value].quarters;
  }
  tune->quarters = number * beat;
}

// One tune in twenty has no chord: it is silent throughout, or unread.
static void
draw_marks(Tune *tune)
{
  const gboolean chordless = one_in(20);
  const MarkKind kind = one_in(2) ? A_SILENCE : AN_UNREAD;
  const int n = chordless ? 1 : 1 + draw(MAX_MARKS);
  while (tune->n_marks < n) {
    Mark mark = draw_mark(tune);
    if (chordless) {
      g_free(mark.text);
      mark = (Mark){ .kind = kind, .text = g_strdup(kind == A_SILENCE ? "N.C." : unread_texts[0]) };
    }
    tune->marks[tune->n_marks++] = mark;
  }
}

static Tune *
draw_tune(void)
{
  Tune *tune = g_new0(Tune, 1);
  tune->key = draw_key();
  tune->tonic = draw(11) - 5;
  tune->meter = draw(G_N_ELEMENTS(meters));
  tune->rhythm = one_in(2) ? rhythms[draw(G_N_ELEMENTS(rhythms))] : NULL;
  if (one_in(2)) {
    draw_tempo(tune);
  }
  draw_marks(tune);
  tune->n_parts = 1 + draw(MAX_PARTS);
  for (int i = 0; i < tune->n_parts; ++i) {
    draw_part(tune, &tune->parts[i]);
  }
  tune->n_order = draw(MAX_ORDER + 1);
  for (int i = 0; i < tune->n_order; ++i) {
    tune->order[i] = draw(tune->n_parts);
  }
  return tune;
}

static void
free_tune(gpointer data)
{
  Tune *tune = data;
  for (int i = 0; i < tune->n_marks; ++i) {
    g_free(tune->marks[i].text);
  }
  g_free(tune->tempo);
  g_free(tune);
}

// --------------------------------------------------------------------------------------------------- tunes in files

static void
write_bar(GString *text, const Tune *tune, const Bar *bar)
{
  for (int i = 0; !bar->again && i < bar->n_shares; ++i) {
    g_string_append_printf(text, " %s", bar->shares[i] == HELD ? "." : tune->marks[bar->shares[i]].text);
  }
  g_string_append(text, bar->again ? " % |" : " |");
}

static void
write_parts(GString *text, const Tune *tune)
{
  g_string_append(text, "parts:\n");
  for (int p = 0; p < tune->n_parts; ++p) {
    g_string_append_printf(text, "  %c: \"|", 'A' + p);
    for (int i = 0; i < tune->parts[p].n_bars; ++i) {
      write_bar(text, tune, &tune->parts[p].bars[i]);
    }
    g_string_append(text, "\"\n");
  }
}

static void
write_order(GString *text, const Tune *tune)
{
  g_string_append(text, tune->n_order > 0 ? "order:" : "");
  for (int i = 0; i < tune->n_order; ++i) {
    g_string_append_printf(text, " %c", 'A' + tune->order[i]);
  }
  g_string_append_c(text, '\n');
}

static void
write_field(GString *text, const char *name, const char *value)
{
  if (value) {
    g_string_append_printf(text, "%s: \"%s\"\n", name, value);
  }
}

static void
write_tune(GString *text, const Tune *tune, guint number)
{
  g_string_append_printf(text, "---\ntitle: Recount %u\n", number);
  if (tune->key != NO_KEY) {
    GString *key = g_string_new(NULL);
    append_name(key, tune->tonic);
    g_string_append_printf(key, " %s", keys[tune->key].name);
    write_field(text, "key", key->str);
    g_string_free(key, TRUE);
  }
  write_field(text, "meter", meters[tune->meter].text);
  write_field(text, "tempo", tune->tempo);
  write_field(text, "rhythm", tune->rhythm);
  write_parts(text, tune);
  write_order(text, tune);
}

enum { TUNES_IN_FILE = 60 };

static char *
file_path(const char *folder, guint file)
{
  char *name = g_strdup_printf("book-%u.yaml", file);
  char *path = g_build_filename(folder, name, NULL);
  g_free(name);
  return path;
}

static void
write_file(const char *folder, const GPtrArray *tunes, guint file)
{
  GString *text = g_string_new(NULL);
  for (guint i = file * TUNES_IN_FILE; i < MIN(tunes->len, (file + 1) * TUNES_IN_FILE); ++i) {
    write_tune(text, g_ptr_array_index(tunes, i), i);
  }
  char *path = file_path(folder, file);
  assert_true(g_file_set_contents(path, text->str, (gssize)text->len, NULL));
  g_free(path);
  g_string_free(text, TRUE);
}

static guint
count_files(const GPtrArray *tunes)
{
  return (tunes->len + TUNES_IN_FILE - 1) / TUNES_IN_FILE;
}

static void
remove_files(const char *folder, const GPtrArray *tunes)
{
  for (guint i = 0; i < count_files(tunes); ++i) {
    char *path = file_path(folder, i);
    g_remove(path);
    g_free(path);
  }
  g_rmdir(folder);
}

// ----------------------------------------------------------------------------------------------- tunes counted here

// A chord as heard.
typedef struct {
  const Mark *mark;
  RcTicks length;
} Heard;

static gboolean
is_same(const Mark *a, const Mark *b)
{
  if (a->kind != b->kind) {
    return FALSE;
  }
  if (a->kind == AN_UNREAD) {
    return !strcmp(a->text, b->text);
  }
  return a->kind == A_SILENCE || !memcmp(&a->chord, &b->chord, sizeof(a->chord));
}

static void
hear(GArray *heard, const Mark *mark, RcTicks length)
{
  Heard *last = heard->len > 0 ? &g_array_index(heard, Heard, heard->len - 1) : NULL;
  if (last && (!mark || is_same(last->mark, mark))) {
    last->length += length;
  } else {
    const Heard next = { mark, length };
    g_array_append_val(heard, next);
  }
}

static void
hear_part(GArray *heard, const Tune *tune, const Part *part)
{
  const RcMeter meter = meters[tune->meter].meter;
  for (int b = 0; b < part->n_bars; ++b) {
    const Bar *bar = &part->bars[b];
    for (int i = 0; i < bar->n_shares; ++i) {
      const Mark *mark = bar->shares[i] == HELD ? NULL : &tune->marks[bar->shares[i]];
      hear(heard, mark, RC_QUARTER * 4 * meter.beats / meter.unit / bar->n_shares);
    }
  }
}

static GArray *
hear_tune(const Tune *tune)
{
  GArray *heard = g_array_new(FALSE, FALSE, sizeof(Heard));
  for (int i = 0; i < tune->n_order; ++i) {
    hear_part(heard, tune, &tune->parts[tune->order[i]]);
  }
  for (int i = 0; tune->n_order == 0 && i < tune->n_parts; ++i) {
    hear_part(heard, tune, &tune->parts[i]);
  }
  return heard;
}

// The verdicts of one wish on all boards.
typedef struct {
  RcVerdict on[N_BOARDS];
} Verdicts;

// Looks a wish up in those answered before, or answers it.
static Verdicts
verdicts_of(GHashTable *answered, const Wish *wish)
{
  char *name = wish_text(wish);
  Verdicts *verdicts = g_hash_table_lookup(answered, name);
  if (verdicts) {
    g_free(name);
    return *verdicts;
  }
  verdicts = g_new0(Verdicts, 1);
  const Question q = ask(wish);
  for (int b = 0; b < N_BOARDS; ++b) {
    guint n_ways = 0;
    verdicts->on[b] = best_answer(&q, &boards[b], &n_ways).verdict;
  }
  g_hash_table_insert(answered, name, verdicts);
  return *verdicts;
}

// A roll counted here.
typedef struct {
  RcRollSettings settings;
  RcVerdict accept;
  GHashTable *answered; // of char * to Verdicts *
  RcCounts counts[N_BOARDS];
  RcTiming timing;
} Recount;

static double
quarters_of(Recount *recount, const Tune *tune, RcTempoSource *source)
{
  *source = RC_TEMPO_NONE;
  if (recount->settings.given.source != RC_TEMPO_NONE) {
    *source = RC_TEMPO_GIVEN;
    return recount->settings.given.quarters;
  }
  if (tune->tempo) {
    *source = RC_TEMPO_STATED;
    return tune->quarters;
  }
  if (recount->settings.untimed == RC_UNTIMED_ASSUME) {
    const RcTempo assumed = rc_tempo_assume(tune->rhythm, meters[tune->meter].meter);
    *source = assumed.source;
    return assumed.quarters;
  }
  return 0;
}

// Whether a length is shorter than the settings' seconds. The numbers are small enough for the products to be exact.
static gboolean
is_brisk(const Recount *recount, RcTicks length, double quarters)
{
  return quarters > 0 && (double)length * 60 < recount->settings.brisk * quarters * (double)RC_QUARTER;
}

static Verdicts
verdicts_of_heard(Recount *recount, const Tune *tune, const Heard *heard, double quarters)
{
  Verdicts verdicts;
  if (heard->mark->kind == A_CHORD) {
    const Wish wish = { .chord = heard->mark->chord,
                        .key_known = tune->key != NO_KEY,
                        .key = key_tones(tune->key, tune->tonic),
                        .brisk = is_brisk(recount, heard->length, quarters) };
    return verdicts_of(recount->answered, &wish);
  }
  for (int b = 0; b < N_BOARDS; ++b) {
    verdicts.on[b] = RC_UNREAD;
  }
  return verdicts;
}

static void
recount_timing(Recount *recount, RcTempoSource source, gboolean chordless)
{
  const gboolean assumed = source == RC_TEMPO_RHYTHM || source == RC_TEMPO_METER;
  ++recount->timing.tunes;
  recount->timing.assumed += assumed ? 1 : 0;
  recount->timing.untimed += source == RC_TEMPO_NONE ? 1 : 0;
  recount->timing.chordless += chordless ? 1 : 0;
}

// Counts a tune's chords on one board, each by its verdict.
static void
recount_on_board(const Recount *recount, const GArray *heard, const GArray *verdicts, int board, RcCounts *counts)
{
  gboolean counted = FALSE;
  gboolean native = TRUE;
  gboolean playable = TRUE;
  for (guint i = 0; i < heard->len; ++i) {
    const Heard *h = &g_array_index(heard, Heard, i);
    const RcVerdict verdict = g_array_index(verdicts, Verdicts, i).on[board];
    if (h->mark->kind != A_SILENCE) {
      counted = TRUE;
      ++counts->chords[verdict];
      counts->ticks[verdict] += h->length;
      native = native && verdict == RC_NATIVE;
      playable = playable && verdict <= recount->accept;
    }
  }
  counts->tunes += counted ? 1 : 0;
  counts->native += counted && native ? 1 : 0;
  counts->playable += counted && playable ? 1 : 0;
}

static gboolean
is_chordless(const GArray *heard)
{
  for (guint i = 0; i < heard->len; ++i) {
    if (g_array_index(heard, Heard, i).mark->kind != A_SILENCE) {
      return FALSE;
    }
  }
  return TRUE;
}

static void
recount_tune(Recount *recount, const Tune *tune)
{
  RcTempoSource source = RC_TEMPO_NONE;
  const double quarters = quarters_of(recount, tune, &source);
  GArray *heard = hear_tune(tune);
  GArray *verdicts = g_array_new(FALSE, FALSE, sizeof(Verdicts));
  for (guint i = 0; i < heard->len; ++i) {
    const Verdicts v = verdicts_of_heard(recount, tune, &g_array_index(heard, Heard, i), quarters);
    g_array_append_val(verdicts, v);
  }
  for (int b = 0; b < N_BOARDS; ++b) {
    recount_on_board(recount, heard, verdicts, b, &recount->counts[b]);
  }
  recount_timing(recount, source, is_chordless(heard));
  g_array_unref(verdicts);
  g_array_unref(heard);
}

// --------------------------------------------------------------------------------------------------- rolls compared

enum { N_ROLLS = 3 };

// The default; a stricter one; one with a tempo for all.
static RcRollSettings
settings_of(int roll)
{
  RcRollSettings settings = { .brisk = 1.0 };
  if (roll == 1) {
    settings.brisk = 1.5;
    settings.untimed = RC_UNTIMED_LEAVE;
  } else if (roll == 2) {
    settings.given = (RcTempo){ RC_TEMPO_GIVEN, 110 };
  }
  return settings;
}

static RcVerdict
accept_of(int roll)
{
  static const RcVerdict accepted[N_ROLLS] = { RC_BARE, RC_RICHER, RC_BORROWED };
  return accepted[roll];
}

static void
compare_defaults(void)
{
  const RcRollSettings ours = settings_of(0);
  const RcRollSettings theirs = rc_roll_settings();
  compare(llround(1e6 * ours.brisk), llround(1e6 * theirs.brisk), "settings", "brisk");
  compare(ours.untimed, theirs.untimed, "settings", "untimed");
  compare(ours.given.source, theirs.given.source, "settings", "given");
}

static void
compare_counts(const char *where, const RcCounts *ours, const RcCounts *theirs)
{
  for (int v = 0; v < RC_N_VERDICTS; ++v) {
    compare((gint64)ours->chords[v], (gint64)theirs->chords[v], where, rc_verdict_word((RcVerdict)v));
    compare(ours->ticks[v], theirs->ticks[v], where, "ticks");
  }
  compare((gint64)ours->tunes, (gint64)theirs->tunes, where, "tunes");
  compare((gint64)ours->native, (gint64)theirs->native, where, "native tunes");
  compare((gint64)ours->playable, (gint64)theirs->playable, where, "playable tunes");
}

static void
compare_roll(const Recount *recount, const RcRoll *roll, const char *what)
{
  for (int b = 0; b < N_BOARDS; ++b) {
    char *where = g_strdup_printf("seed %d, %s on %s", SEED, what, boards[b].name);
    const RcCounts theirs = rc_roll_counts(roll, (guint)b);
    compare_counts(where, &recount->counts[b], &theirs);
    g_free(where);
  }
  const RcTiming theirs = rc_roll_timing(roll);
  compare((gint64)recount->timing.tunes, (gint64)theirs.tunes, what, "tunes added");
  compare((gint64)recount->timing.assumed, (gint64)theirs.assumed, what, "tunes with an assumed tempo");
  compare((gint64)recount->timing.untimed, (gint64)theirs.untimed, what, "untimed tunes");
  compare((gint64)recount->timing.chordless, (gint64)theirs.chordless, what, "tunes without chords");
}

static RcPanel *
panel_new(int roll)
{
  RcCatalogue *catalogues[N_BOARDS];
  for (int b = 0; b < N_BOARDS; ++b) {
    catalogues[b] = boards[b].catalogue;
  }
  return rc_panel_new(catalogues, N_BOARDS, accept_of(roll));
}

// A tune alone, so that a difference names it.
static void
compare_tune(const Tune *ours, const RcTune *theirs, GHashTable *answered)
{
  Recount recount = { .settings = settings_of(0), .accept = accept_of(0), .answered = answered };
  RcPanel *panel = panel_new(0);
  RcRoll *roll = rc_roll_new(panel, recount.settings);
  recount_tune(&recount, ours);
  rc_roll_add(roll, theirs);
  compare_roll(&recount, roll, theirs->title);
  rc_roll_free(roll);
  rc_panel_free(panel);
}

// Reads the folder and adds its tunes to all rolls. The tunes come in the order in which they were written.
static void
read_folder(const char *folder, const GPtrArray *tunes, RcRoll *const rolls[N_ROLLS], GHashTable *answered)
{
  const char *const paths[] = { folder, NULL };
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .leave_unkeyed = TRUE });
  RcTune *tune = rc_tune_new();
  for (guint i = 0; i < tunes->len; ++i) {
    GError *error = NULL;
    if (rc_corpus_next(corpus, tune, &error) != RC_READ_TUNE) {
      fail_msg("seed %d, tune %u is not read: %s", SEED, i, error ? error->message : "the end");
    }
    compare_tune(g_ptr_array_index(tunes, i), tune, answered);
    for (int r = 0; r < N_ROLLS; ++r) {
      rc_roll_add(rolls[r], tune);
    }
  }
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_END);
  compare(count_files(tunes), rc_corpus_files(corpus), "corpus", "files");
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

static GPtrArray *
draw_tunes(void)
{
  GPtrArray *tunes = g_ptr_array_new_with_free_func(free_tune);
  for (int i = 0; i < N_TUNES; ++i) {
    g_ptr_array_add(tunes, draw_tune());
  }
  return tunes;
}

static void
compare_whole_roll(const GPtrArray *tunes, const RcRoll *roll, int number, GHashTable *answered)
{
  Recount *recount = g_new0(Recount, 1);
  recount->settings = settings_of(number);
  recount->accept = accept_of(number);
  recount->answered = answered;
  for (guint i = 0; i < tunes->len; ++i) {
    recount_tune(recount, g_ptr_array_index(tunes, i));
  }
  char *what = g_strdup_printf("roll %d", number);
  compare_roll(recount, roll, what);
  g_free(what);
  g_free(recount);
}

// Writes the tunes into a new folder, reads them, and removes it.
static void
add_tunes(const GPtrArray *tunes, RcRoll *const rolls[N_ROLLS], GHashTable *answered)
{
  char *folder = g_dir_make_tmp("recount-XXXXXX", NULL);
  assert_non_null(folder);
  for (guint i = 0; i < count_files(tunes); ++i) {
    write_file(folder, tunes, i);
  }
  read_folder(folder, tunes, rolls, answered);
  remove_files(folder, tunes);
  g_free(folder);
}

static void
test_rolls(void **state)
{
  (void)state;
  GPtrArray *tunes = draw_tunes();
  GHashTable *answered = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
  RcPanel *panels[N_ROLLS];
  RcRoll *rolls[N_ROLLS];
  for (int r = 0; r < N_ROLLS; ++r) {
    panels[r] = panel_new(r);
    rolls[r] = rc_roll_new(panels[r], settings_of(r));
  }
  compare_defaults();
  add_tunes(tunes, rolls, answered);
  for (int r = 0; r < N_ROLLS; ++r) {
    compare_whole_roll(tunes, rolls[r], r, answered);
    rc_roll_free(rolls[r]);
    rc_panel_free(panels[r]);
  }
  g_hash_table_unref(answered);
  g_ptr_array_unref(tunes);
  check_test();
}

// ---------------------------------------------------------------------------------------------------------- the run

static int
make_boards(void **state)
{
  (void)state;
  sounds = g_array_new(FALSE, FALSE, sizeof(Sound));
  grades = g_array_new(FALSE, FALSE, sizeof(Grade));
  for (int i = 0; i < N_BOARDS; ++i) {
    board_make(&boards[i], i);
  }
  return 0;
}

static int
free_boards(void **state)
{
  (void)state;
  for (int i = 0; i < N_BOARDS; ++i) {
    rc_catalogue_free(boards[i].catalogue);
    rc_layout_free(boards[i].layout);
    g_array_unref(boards[i].grips);
    g_array_unref(boards[i].buttons);
  }
  g_array_unref(sounds);
  g_array_unref(grades);
  print_message("recount: %" G_GUINT64_FORMAT " values compared, %u differ (seed %d)\n", n_compared, n_differing, SEED);
  return 0;
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_boards),   cmocka_unit_test(test_spectra), cmocka_unit_test(test_keys),
    cmocka_unit_test(test_requests), cmocka_unit_test(test_rolls),
  };
  return cmocka_run_group_tests(tests, make_boards, free_boards);
}
