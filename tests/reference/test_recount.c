// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The rules of the roll counted a second time, by brute force, and held against the library: boards, grips, grades,
// likeness, the order of the answers, and whole rolls. Nothing here is taken from the library but the words of its
// public headers, its reading of chord symbols, and the table of assumed tempos. The roles of a chord's tones, its
// family and what is implied are written down by hand for each quality. Sets are twelve numbers, every grip is looked
// at, nothing is clever.
//
// Outside sources: the sizes are those of Wikipedia, Stradella bass system, for 8 to 48 buttons (8x6 and 12x4), 60 and
// 72; Squeezebox Wiki, Stradella, for 80 and 96; mon-accordeon.com, FAQ 090, for 120. What the buttons sound is given
// by English Wikibooks, Accordion/Left hand (counterbass), and by Rod Stradling, Notes on the Stradella bass (chord
// rows: sevenths without their fifth, diminished sevenths without their diminished fifth). The likeness is the spectral
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
  N_REQUESTS = 2000 / THINNED,
  N_TUNES = 240 / THINNED,
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

// A sound that some grip makes: all its tones, and those of its bass buttons.
typedef struct {
  Tones tones;
  Tones basses;
} Sound;

typedef struct {
  int n_basses;
  int basses[3]; // indices of the buttons, rising
  int n_chords;
  int chords[2]; // the same
  int reach;
  int from_c; // half columns from the middle between C and G, added up over all its buttons
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
static GArray *sounds;        // of Sound: those of all boards, each once
static GArray *grades;        // of Grade: that of each sound for the wish at hand
static GHashTable *sound_ids; // index into sounds, counted from 1, by the numbers of the tones and of the basses

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
  const gpointer key = GINT_TO_POINTER(1 + (number_of(sound.tones) * 4096 + number_of(sound.basses)));
  if (!g_hash_table_contains(sound_ids, key)) {
    g_array_append_val(sounds, sound);
    g_hash_table_insert(sound_ids, key, GINT_TO_POINTER((int)sounds->len));
  }
  return GPOINTER_TO_INT(g_hash_table_lookup(sound_ids, key)) - 1;
}

static int
n_buttons(const Grip *grip)
{
  return grip->n_basses + grip->n_chords;
}

// The button of a grip by its place: the basses, then the chords.
static const Button *
pressed(const Board *board, const Grip *grip, int place)
{
  const int index = place < grip->n_basses ? grip->basses[place] : grip->chords[place - grip->n_basses];
  return button_at(board, index);
}

static void
measure(const Board *board, Grip *grip)
{
  int low = pressed(board, grip, 0)->column;
  int high = low;
  for (int i = 0; i < n_buttons(grip); ++i) {
    const Button *button = pressed(board, grip, i);
    low = MIN(low, button->column);
    high = MAX(high, button->column);
    grip->from_c += button->from_c;
  }
  grip->reach = high - low;
}

static Sound
sound_of(const Board *board, const Grip *grip)
{
  Sound sound = { 0 };
  for (int i = 0; i < n_buttons(grip); ++i) {
    const Button *button = pressed(board, grip, i);
    for (int pc = 0; pc < N_PCS; ++pc) {
      sound.tones.has[pc] |= button->tones.has[pc];
      sound.basses.has[pc] |= i < grip->n_basses && button->tones.has[pc];
    }
  }
  return sound;
}

static void
add_grip(Board *board, Grip grip)
{
  if (n_buttons(&grip) > PRESS) {
    return;
  }
  measure(board, &grip);
  if (grip.reach <= REACH) {
    grip.sound = sound_id(sound_of(board, &grip));
    g_array_append_val(board->grips, grip);
  }
}

// Adds the grips with these basses: alone, and with one and two chord buttons.
static void
add_grips_over(Board *board, Grip basses)
{
  const int n = (int)board->buttons->len;
  add_grip(board, basses);
  for (int a = 0; a < n; ++a) {
    if (is_bass(button_at(board, a))) {
      continue;
    }
    Grip grip = basses;
    grip.n_chords = 1;
    grip.chords[0] = a;
    add_grip(board, grip);
    for (int b = a + 1; b < n; ++b) {
      if (!is_bass(button_at(board, b))) {
        grip.n_chords = 2;
        grip.chords[1] = b;
        add_grip(board, grip);
        grip.chords[1] = 0;
        grip.n_chords = 1;
      }
    }
  }
}

// One bass button; or two or three that follow one another in a row. The columns of the usual sizes lie a fifth apart.
static void
add_grips_from(Board *board, int bass)
{
  Grip basses = { .n_basses = 0 };
  for (int i = bass; i < (int)board->buttons->len && i < bass + 3; ++i) {
    if (!is_bass(button_at(board, i)) || button_at(board, i)->row != button_at(board, bass)->row) {
      return;
    }
    basses.basses[basses.n_basses++] = i;
    add_grips_over(board, basses);
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
      add_grips_from(board, i);
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

enum { OCTAVE = N_PCS };

// The degrees by which the rules speak of tones, in semitones above the root.
static const struct {
  const char *name;
  int semitones;
} degrees[] = {
  { "1", 0 },  { "b9", 1 },   { "9", 2 },   { "sus2", 2 }, { "b3", 3 }, { "#9", 3 }, { "3", 4 },
  { "11", 5 }, { "sus4", 5 }, { "#11", 6 }, { "b5", 6 },   { "5", 7 },  { "#5", 8 }, { "b13", 8 },
  { "13", 9 }, { "6", 9 },    { "bb7", 9 }, { "b7", 10 },  { "7", 11 },
};

// The rows of the table of usual tensions.
typedef enum {
  MAJOR_TRIAD,
  SIXTH,
  MINOR_TRIAD,
  MINOR_SIXTH,
  DOMINANT,
  MAJOR_SEVENTH,
  MINOR_SEVENTH,
  MINOR_WITH_MAJOR_SEVENTH,
  HALF_DIMINISHED,
  DIM_TRIAD,
  DIM_SEVENTH,
  SUS_4,
  SUS_2,
  AUGMENTED,
  OPEN_FIFTH
} Family;

// How chords are written after their root, the tones each in its role, and the tones that are implied.
static const struct {
  const char *text;
  const char *also; // another way to write it
  Family family;
  const char *third; // or the tone in its place
  const char *fifth;
  const char *seventh; // or sixth
  const char *tensions;
  const char *implied;
} qualities[] = {
  { "", "", MAJOR_TRIAD, "3", "5", "", "", "" },
  { "m", "min", MINOR_TRIAD, "b3", "5", "", "", "" },
  { "7", "7", DOMINANT, "3", "5", "b7", "", "" },
  { "dim", "dim", DIM_TRIAD, "b3", "b5", "", "", "bb7" },
  { "dim7", "dim7", DIM_SEVENTH, "b3", "b5", "bb7", "", "" },
  { "aug", "+", AUGMENTED, "3", "#5", "", "", "" },
  { "5", "(no3)", OPEN_FIFTH, "", "5", "", "", "" },
  { "6", "6", SIXTH, "3", "5", "6", "", "" },
  { "6/9", "69", SIXTH, "3", "5", "6", "9", "" },
  { "m6", "min6", MINOR_SIXTH, "b3", "5", "6", "", "" },
  { "m6/9", "m69", MINOR_SIXTH, "b3", "5", "6", "9", "" },
  { "maj7", "M7", MAJOR_SEVENTH, "3", "5", "7", "", "" },
  { "m7", "min7", MINOR_SEVENTH, "b3", "5", "b7", "", "" },
  { "m(maj7)", "mM7", MINOR_WITH_MAJOR_SEVENTH, "b3", "5", "7", "", "" },
  { "m7b5", "m7b5", HALF_DIMINISHED, "b3", "b5", "b7", "", "" },
  { "dim(maj7)", "dim(maj7)", MINOR_WITH_MAJOR_SEVENTH, "b3", "b5", "7", "", "" },
  { "7b5", "7b5", DOMINANT, "3", "b5", "b7", "", "" },
  { "7#5", "aug7", DOMINANT, "3", "#5", "b7", "", "" },
  { "m7#5", "m7#5", MINOR_SEVENTH, "b3", "#5", "b7", "", "" },
  { "maj7b5", "maj7b5", MAJOR_SEVENTH, "3", "b5", "7", "", "" },
  { "maj7#5", "maj7#5", MAJOR_SEVENTH, "3", "#5", "7", "", "" },
  { "7b9", "7b9", DOMINANT, "3", "5", "b7", "b9", "" },
  { "7#9", "7#9", DOMINANT, "3", "5", "b7", "#9", "" },
  { "7#11", "7#11", DOMINANT, "3", "5", "b7", "#11", "" },
  { "7b13", "7b13", DOMINANT, "3", "5", "b7", "b13", "" },
  { "7b9b13", "7b9b13", DOMINANT, "3", "5", "b7", "b9 b13", "" },
  { "7b5b9", "7b5b9", DOMINANT, "3", "b5", "b7", "b9", "" },
  { "7#5#9", "7alt", DOMINANT, "3", "#5", "b7", "#9", "" },
  { "9", "9", DOMINANT, "3", "5", "b7", "9", "" },
  { "9b5", "9b5", DOMINANT, "3", "b5", "b7", "9", "" },
  { "9#11", "9#11", DOMINANT, "3", "5", "b7", "9 #11", "" },
  { "11", "11", DOMINANT, "11", "5", "b7", "", "3 9" },
  { "13", "13", DOMINANT, "3", "5", "b7", "13", "9" },
  { "13b9", "13b9", DOMINANT, "3", "5", "b7", "b9 13", "" },
  { "13#11", "13#11", DOMINANT, "3", "5", "b7", "#11 13", "9" },
  { "maj9", "M9", MAJOR_SEVENTH, "3", "5", "7", "9", "" },
  { "maj7#11", "maj7#11", MAJOR_SEVENTH, "3", "5", "7", "#11", "" },
  { "maj13", "M13", MAJOR_SEVENTH, "3", "5", "7", "13", "9" },
  { "m9", "min9", MINOR_SEVENTH, "b3", "5", "b7", "9", "" },
  { "m11", "min11", MINOR_SEVENTH, "b3", "5", "b7", "11", "9" },
  { "m13", "min13", MINOR_SEVENTH, "b3", "5", "b7", "13", "9 11" },
  { "m9b5", "m9b5", HALF_DIMINISHED, "b3", "b5", "b7", "9", "" },
  { "m7b5b9", "m7b5b9", HALF_DIMINISHED, "b3", "b5", "b7", "b9", "" },
  { "sus2", "sus2", SUS_2, "sus2", "5", "", "", "" },
  { "sus4", "sus", SUS_4, "sus4", "5", "", "", "" },
  { "7sus2", "7sus2", SUS_2, "sus2", "5", "b7", "", "" },
  { "7sus4", "7sus", SUS_4, "sus4", "5", "b7", "", "" },
  { "9sus4", "9sus4", SUS_4, "sus4", "5", "b7", "9", "" },
  { "13sus4", "13sus4", SUS_4, "sus4", "5", "b7", "13", "9" },
  { "7sus4b9", "7sus4b9", SUS_4, "sus4", "5", "b7", "b9", "" },
  { "6sus4", "6sus4", SUS_4, "sus4", "5", "6", "", "" },
  { "maj7sus4", "maj7sus4", SUS_4, "sus4", "5", "7", "", "" },
  { "add9", "add9", MAJOR_TRIAD, "3", "5", "", "9", "" },
  { "madd9", "madd9", MINOR_TRIAD, "b3", "5", "", "9", "" },
  { "add11", "add11", MAJOR_TRIAD, "3", "5", "", "11", "" },
  { "(no5)", "(no5)", MAJOR_TRIAD, "3", "", "", "", "" },
};

// What is asked for. Notes are places on the line of fifths.
typedef struct {
  int root;
  int bass;
  int quality; // index into qualities
} Chord;

typedef struct {
  Chord chord;
  int key; // index into keys
  int tonic;
  Tones melody;
  gboolean brisk;
} Wish;

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

static int
semitones_of(const char *name)
{
  for (guint d = 0; d < G_N_ELEMENTS(degrees); ++d) {
    if (!strcmp(degrees[d].name, name)) {
      return degrees[d].semitones;
    }
  }
  fail_msg("%s is no degree", name);
  return 0;
}

// Adds the tones that stand these degrees, divided by spaces, above the chord's root.
static void
add_degrees(Tones *tones, const Chord *chord, const char *list)
{
  char **names = g_strsplit(list, " ", 0);
  for (int i = 0; names[i]; ++i) {
    tones->has[above(pc_of(chord->root), semitones_of(names[i]))] = 1;
  }
  g_strfreev(names);
}

static Tones
tones_at(const Chord *chord, const char *list)
{
  Tones tones = { 0 };
  if (*list) {
    add_degrees(&tones, chord, list);
  }
  return tones;
}

// Whether the chord is written with this tension.
static gboolean
is_written(const Chord *chord, const char *tension)
{
  char **names = g_strsplit(qualities[chord->quality].tensions, " ", 0);
  const gboolean found = g_strv_contains((const char *const *)names, tension);
  g_strfreev(names);
  return found;
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

// Each tone once, and each bass once more.
static Voices
voices_of(Tones tones, Tones basses)
{
  Voices voices = { 0 };
  for (int pc = 0; pc < N_PCS; ++pc) {
    voices.times[pc] = tones.has[pc] + basses.has[pc];
  }
  return voices;
}

// 0 to 100, in millionths.
static int
likeness_of(const Voices *a, const Voices *b)
{
  return (int)lround(1e8 * cosine_by_tones(a, b));
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

// -------------------------------------------------------------------------------------------------- what is wanted

// What the rules need to know of a wish, gathered once.
typedef struct {
  int root;
  int bass;
  Family family;
  Tones tones;         // all that are written, the bass among them
  Tones thirds;        // the third, or the tone in its place
  Tones perfect_fifth; // where it is written
  Tones altered_fifth;
  Tones seventh; // or sixth
  Tones tensions;
  Tones implied;
  gboolean has_sus;
  gboolean has_major_third;
  gboolean key_known;
  Tones key;
  Voices voices;
} Wanted;

static Wanted
wanted_of(const Wish *wish)
{
  const Chord *chord = &wish->chord;
  const int q = chord->quality;
  const gboolean perfect = !strcmp(qualities[q].fifth, "5");
  Wanted w = { .root = pc_of(chord->root), .bass = pc_of(chord->bass), .family = qualities[q].family };
  w.thirds = tones_at(chord, qualities[q].third);
  w.perfect_fifth = tones_at(chord, perfect ? "5" : "");
  w.altered_fifth = tones_at(chord, perfect ? "" : qualities[q].fifth);
  w.seventh = tones_at(chord, qualities[q].seventh);
  w.tensions = tones_at(chord, qualities[q].tensions);
  w.implied = tones_at(chord, qualities[q].implied);
  for (int pc = 0; pc < N_PCS; ++pc) {
    w.tones.has[pc] = pc == w.root || pc == w.bass || w.thirds.has[pc] || w.perfect_fifth.has[pc] ||
                      w.altered_fifth.has[pc] || w.seventh.has[pc] || w.tensions.has[pc];
  }
  w.has_sus = g_str_has_prefix(qualities[q].third, "sus");
  w.has_major_third = !strcmp(qualities[q].third, "3");
  w.key_known = wish->key != NO_KEY;
  w.key = key_tones(wish->key, wish->tonic);
  w.voices = voices_of(w.tones, (Tones){ .has[0] = 0 });
  ++w.voices.times[w.bass];
  return w;
}

// ---------------------------------------------------------------------------------------------------- foreign tones

// Whether a minor triad of the key lies a fifth below the chord's root. A minor key's forms together have tones of
// which none has a triad (B flat, C sharp and F in D minor), so there it is one on the first, second, fourth or fifth
// degree.
static gboolean
resolves_to_minor(const Wish *wish, const Wanted *w)
{
  const int root = above(w->root, 5);
  const int degree = (root - pc_of(wish->tonic) + OCTAVE) % OCTAVE;
  const gboolean in_one_form = degree == 0 || degree == 2 || degree == 5 || degree == 7;
  return w->key_known && w->key.has[root] && w->key.has[above(root, 3)] && w->key.has[above(root, 7)] &&
         (wish->key != KEY_MINOR || in_one_form);
}

static gboolean
sounds_at(const Wanted *w, const Sound *sound, int semitones)
{
  return sound->tones.has[above(w->root, semitones)];
}

static gboolean
key_has_at(const Wanted *w, int semitones)
{
  return w->key_known && w->key.has[above(w->root, semitones)];
}

enum {
  FLAT_NINTH = 1,
  NINTH = 2,
  SHARP_NINTH = 3,
  ELEVENTH = 5,
  SHARP_ELEVENTH = 6,
  FLAT_13TH = 8,
  THIRTEENTH = 9,
  FLAT_7TH = 10,
  MAJOR_7TH = 11
};

static gboolean
is_one_of(int semitones, int a, int b, int c)
{
  return semitones == a || semitones == b || semitones == c;
}

// The third that the key has, where it is known, and the major third where it is not and a chord asks so.
static gboolean
is_keys_third(const Wanted *w, int semitones, gboolean major_without_key)
{
  if (semitones != 3 && semitones != 4) {
    return FALSE;
  }
  return w->key_known ? key_has_at(w, semitones) : major_without_key && semitones == 4;
}

static gboolean
is_usual_of_major(const Wish *wish, const Wanted *w, const Sound *sound, int semitones)
{
  if (semitones == FLAT_7TH) {
    const gboolean on_fifth_degree = w->key_known && w->root == above(pc_of(wish->tonic), 7);
    return on_fifth_degree || resolves_to_minor(wish, w);
  }
  if (semitones == FLAT_NINTH) {
    return resolves_to_minor(wish, w) && sounds_at(w, sound, FLAT_7TH);
  }
  return semitones == MAJOR_7TH ? !is_written(&wish->chord, "9") : is_one_of(semitones, THIRTEENTH, NINTH, NINTH);
}

static gboolean
is_usual_of_dominant(const Wish *wish, const Wanted *w, const Sound *sound, int semitones)
{
  if (semitones == FLAT_NINTH || semitones == FLAT_13TH) {
    return sounds_at(w, sound, FLAT_7TH) && (resolves_to_minor(wish, w) || key_has_at(w, semitones));
  }
  return semitones == NINTH || semitones == THIRTEENTH;
}

// Whether what is written closes the degree of a foreign tone.
static gboolean
is_closed(const Wish *wish, const Wanted *w, int semitones)
{
  const Chord *chord = &wish->chord;
  const gboolean ninth = is_written(chord, "9") || w->implied.has[above(w->root, NINTH)];
  const gboolean altered_ninth = is_written(chord, "b9") || is_written(chord, "#9");
  const gboolean sharp_fifth = !strcmp(qualities[chord->quality].fifth, "#5") || is_written(chord, "b13");
  switch (semitones) {
  case NINTH:
    return altered_ninth;
  case FLAT_NINTH:
    return ninth;
  case THIRTEENTH:
    return sharp_fifth;
  case FLAT_13TH:
    return is_written(chord, "13");
  case FLAT_7TH:
  case MAJOR_7TH:
    return !strcmp(qualities[chord->quality].seventh, "6");
  default:
    return FALSE;
  }
}

static gboolean
is_named(const Wish *wish, const Wanted *w, const Sound *sound, int semitones)
{
  switch (w->family) {
  case MAJOR_TRIAD:
    return is_usual_of_major(wish, w, sound, semitones);
  case SIXTH:
  case MINOR_WITH_MAJOR_SEVENTH:
    return semitones == NINTH;
  case MINOR_TRIAD:
    return is_one_of(semitones, FLAT_7TH, NINTH, ELEVENTH);
  case MINOR_SIXTH:
  case MINOR_SEVENTH:
    return is_one_of(semitones, NINTH, ELEVENTH, ELEVENTH);
  case DOMINANT:
    return is_usual_of_dominant(wish, w, sound, semitones);
  case MAJOR_SEVENTH:
    return is_one_of(semitones, NINTH, THIRTEENTH, THIRTEENTH);
  case HALF_DIMINISHED:
  case DIM_SEVENTH:
    return is_one_of(semitones, ELEVENTH, FLAT_13TH, FLAT_13TH);
  case DIM_TRIAD:
    return is_one_of(semitones, FLAT_7TH, ELEVENTH, FLAT_13TH);
  case SUS_4:
    return is_one_of(semitones, FLAT_7TH, NINTH, THIRTEENTH);
  case SUS_2:
    return semitones == THIRTEENTH || is_keys_third(w, semitones, TRUE);
  case AUGMENTED:
    return is_one_of(semitones, FLAT_7TH, NINTH, MAJOR_7TH);
  case OPEN_FIFTH:
    return is_keys_third(w, semitones, FALSE);
  default:
    return FALSE;
  }
}

static gboolean
is_usual(const Wish *wish, const Wanted *w, const Sound *sound, int semitones)
{
  return is_named(wish, w, sound, semitones) && !is_closed(wish, w, semitones);
}

// Of the tones that are usual, those that the key has, or that are at home.
static gboolean
is_available(const Wish *wish, const Wanted *w, const Sound *sound, int semitones)
{
  const gboolean at_home = (semitones == FLAT_NINTH || semitones == FLAT_13TH) && resolves_to_minor(wish, w);
  return is_usual(wish, w, sound, semitones) && (!w->key_known || key_has_at(w, semitones) || at_home);
}

// What only a borrowed chord may add besides.
static gboolean
is_borrowable(const Wish *wish, const Wanted *w, const Sound *sound, int semitones)
{
  gboolean own = FALSE;
  if (w->family == DOMINANT) {
    own = is_one_of(semitones, FLAT_NINTH, SHARP_ELEVENTH, FLAT_13TH) ||
          (semitones == SHARP_NINTH && sounds_at(w, sound, 4));
  } else if (w->family == SUS_4 || w->family == SUS_2) {
    own = is_keys_third(w, semitones, TRUE);
  } else if (w->family == DIM_TRIAD || w->family == DIM_SEVENTH) {
    own = semitones == NINTH;
  }
  return is_usual(wish, w, sound, semitones) || (own && !is_closed(wish, w, semitones));
}

// ----------------------------------------------------------------------------------------------------------- grades

// How a sound compares with the wish, whichever buttons make it.
typedef struct {
  gboolean graded;        // for the wish at hand
  RcVerdict over_written; // A, B or C with the wanted bass; else impossible
  RcVerdict over_root;    // the same, were the root the wanted bass
  gboolean bare;
  gboolean borrowed; // but for the number of buttons
  Tones kept;
  Tones missing;
  Tones missing_bare; // in grade D, for which alone the melody fills the third
  Tones foreign;
  int n_foreign;
  int n_strange; // foreign tones that the key lacks
  int n_silent;  // missing tones, those that the melody fills among them
  gboolean bass_right;
  gboolean root_in_bass;
  gboolean thirds_sound;
  int likeness; // 0 to 100, in millionths; -1 until it is needed
} Grade;

static int
count(Tones tones)
{
  int n = 0;
  for (int pc = 0; pc < N_PCS; ++pc) {
    n += tones.has[pc];
  }
  return n;
}

static gboolean
has_any(Tones a, Tones b)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (a.has[pc] && b.has[pc]) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
has_chord_button(const Sound *sound)
{
  return !is_within(sound->tones, sound->basses);
}

// Whether a silent tone is excused: the perfect fifth beside a sixth, a seventh or a sus tone, where a chord sounds.
static gboolean
is_excused(const Wanted *w, gboolean chord_sounds, int pc)
{
  return chord_sounds && w->perfect_fifth.has[pc] && (count(w->seventh) > 0 || w->has_sus);
}

static gboolean
is_droppable(const Wanted *w, const Sound *sound, gboolean chord_sounds, int pc)
{
  const gboolean dim_without_fifth = (w->family == DIM_TRIAD || w->family == DIM_SEVENTH) && sounds_at(w, sound, 9);
  const gboolean guided = w->has_major_third && !sounds_at(w, sound, 7);
  return (w->perfect_fifth.has[pc] && (!w->has_sus || chord_sounds)) || w->seventh.has[pc] || w->tensions.has[pc] ||
         (w->altered_fifth.has[pc] && (dim_without_fifth || guided));
}

// A, B or C over the right bass, by what is missing and foreign.
static RcVerdict
grade_over(const Wish *wish, const Wanted *w, const Sound *sound, gboolean chord_sounds, int bass, const Grade *grade)
{
  gboolean whole = grade->thirds_sound;
  gboolean lean = grade->thirds_sound && sound->tones.has[w->root];
  gboolean fitting = TRUE;
  if (!sound->basses.has[bass]) {
    return RC_IMPOSSIBLE;
  }
  for (int pc = 0; pc < N_PCS; ++pc) {
    const int above_root = (pc - w->root + OCTAVE) % OCTAVE;
    whole = whole && !grade->missing.has[pc];
    lean = lean && (!grade->missing.has[pc] || is_droppable(w, sound, chord_sounds, pc));
    fitting = fitting && (!grade->foreign.has[pc] || is_available(wish, w, sound, above_root));
  }
  return whole && grade->n_foreign == 0 ? RC_SAME
         : whole && fitting             ? RC_RICHER
         : lean && fitting              ? RC_LEANER
                                        : RC_IMPOSSIBLE;
}

static void
sort_tones(const Wish *wish, const Wanted *w, const Sound *sound, gboolean chord_sounds, Grade *grade)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    const gboolean wanted = w->tones.has[pc];
    const gboolean here = sound->tones.has[pc];
    const gboolean silent = wanted && !here && !is_excused(w, chord_sounds, pc);
    grade->kept.has[pc] = wanted && here;
    grade->foreign.has[pc] = !wanted && here && !w->implied.has[pc];
    grade->missing.has[pc] = silent && (!wish->melody.has[pc] || pc == w->bass || w->thirds.has[pc]);
    grade->missing_bare.has[pc] = silent && (!wish->melody.has[pc] || pc == w->bass);
    grade->n_silent += silent;
    grade->n_foreign += grade->foreign.has[pc];
    grade->n_strange += grade->foreign.has[pc] && w->key_known && !w->key.has[pc];
  }
}

static gboolean
may_be_bare(const Wish *wish, const Wanted *w, const Sound *sound, const Grade *grade)
{
  gboolean melody_helps = TRUE;
  for (int pc = 0; pc < N_PCS; ++pc) {
    if (w->thirds.has[pc] && !sound->tones.has[pc] && (!wish->melody.has[pc] || pc == w->bass)) {
      melody_helps = FALSE;
    }
  }
  return sound->basses.has[w->root] && sound->basses.has[w->bass] && !grade->thirds_sound && grade->n_foreign == 0 &&
         (wish->brisk || melody_helps);
}

static gboolean
may_be_borrowed(const Wish *wish, const Wanted *w, const Sound *sound, const Grade *grade)
{
  for (int pc = 0; pc < N_PCS; ++pc) {
    const int above_root = (pc - w->root + OCTAVE) % OCTAVE;
    if (grade->foreign.has[pc] && !is_borrowable(wish, w, sound, above_root)) {
      return FALSE;
    }
  }
  return count(grade->kept) >= 2 && count(grade->kept) > grade->n_foreign &&
         (sound->tones.has[w->root] || has_any(w->thirds, sound->tones));
}

static Grade
grade_of(const Wish *wish, const Wanted *w, const Sound *sound, gboolean chord_sounds)
{
  Grade grade = { .graded = TRUE, .likeness = -1 };
  sort_tones(wish, w, sound, chord_sounds, &grade);
  grade.bass_right = sound->basses.has[w->bass];
  grade.root_in_bass = sound->basses.has[w->root];
  grade.thirds_sound = is_within(w->thirds, sound->tones);
  grade.over_written = grade_over(wish, w, sound, chord_sounds, w->bass, &grade);
  grade.over_root =
    sound->tones.has[w->bass] ? grade_over(wish, w, sound, chord_sounds, w->root, &grade) : RC_IMPOSSIBLE;
  grade.bare = may_be_bare(wish, w, sound, &grade);
  grade.borrowed = may_be_borrowed(wish, w, sound, &grade);
  return grade;
}

// ---------------------------------------------------------------------------------------------------------- answers

// A way to play a wish on a board.
typedef struct {
  RcVerdict verdict;
  const Board *board;
  const Grip *grip; // NULL where it is impossible
  const Grade *grade;
} Answer;

// A wish that all sounds are graded for. There is one at a time.
typedef struct {
  Wish wish;
  Wanted wanted;
  RowKind row; // the row that has the chord's own button, or N_ROW_KINDS
  RcTaste taste;
} Question;

static RowKind
own_row(const Chord *chord)
{
  static const struct {
    const char *quality;
    RowKind row;
  } rows[] = { { "", MAJOR }, { "m", MINOR }, { "7", SEVENTH }, { "dim", DIMINISHED }, { "dim7", DIMINISHED } };
  for (guint i = 0; i < G_N_ELEMENTS(rows); ++i) {
    if (!strcmp(qualities[chord->quality].text, rows[i].quality)) {
      return rows[i].row;
    }
  }
  return N_ROW_KINDS; // none of the usual sizes has a row of augmented chords
}

static Question
ask(const Wish *wish, RcTaste taste)
{
  const Question q = { *wish, wanted_of(wish), own_row(&wish->chord), taste };
  g_array_set_size(grades, 0);
  g_array_set_size(grades, sounds->len); // graded when they are needed
  return q;
}

static gboolean
is_native(const Question *q, const Board *board, const Grip *grip)
{
  if (grip->n_basses != 1 || grip->n_chords != 1 || pressed(board, grip, 0)->root != q->wanted.bass) {
    return FALSE;
  }
  const Button *chord = button_at(board, grip->chords[0]);
  return chord->kind == q->row && chord->root == q->wanted.root;
}

// The verdict of a grip whose sound is graded.
static RcVerdict
verdict_of(const Question *q, const Board *board, const Grip *grip, const Grade *grade)
{
  if (is_native(q, board, grip)) {
    return RC_NATIVE;
  }
  if (n_buttons(grip) == 3 && grade->n_foreign > 1) {
    return RC_IMPOSSIBLE;
  }
  if (grade->over_written != RC_IMPOSSIBLE) {
    return grade->over_written;
  }
  if (grade->over_root != RC_IMPOSSIBLE) {
    return RC_LEANER; // the inversion is given up
  }
  return grade->bare ? RC_BARE : grade->borrowed && n_buttons(grip) <= 2 ? RC_BORROWED : RC_IMPOSSIBLE;
}

static Answer
answer_with(const Question *q, const Board *board, const Grip *grip)
{
  Grade *grade = &g_array_index(grades, Grade, grip->sound);
  const Sound *sound = &g_array_index(sounds, Sound, grip->sound);
  if (!grade->graded) {
    *grade = grade_of(&q->wish, &q->wanted, sound, has_chord_button(sound));
  }
  const RcVerdict verdict = verdict_of(q, board, grip, grade);
  if (verdict == RC_IMPOSSIBLE) {
    return (Answer){ RC_IMPOSSIBLE, board, NULL, NULL };
  }
  if (grade->likeness < 0) {
    const Voices voices = voices_of(sound->tones, sound->basses);
    grade->likeness = likeness_of(&q->wanted.voices, &voices);
  }
  return (Answer){ verdict, board, grip, grade };
}

// "A grip of one or two buttons that gives native, A, B or C, and a grade that --accept takes".
static gboolean
is_plain(const Question *q, const Answer *a)
{
  return n_buttons(a->grip) <= 2 && a->verdict <= RC_LEANER && a->verdict <= q->taste.accept;
}

// Within C a grip of two with a major, minor or seventh button of the wanted root; within E a chord over its own root.
static gboolean
is_straight(const Question *q, const Answer *a)
{
  if (a->grip->n_basses != 1 || a->grip->n_chords != 1) {
    return FALSE;
  }
  const Button *chord = button_at(a->board, a->grip->chords[0]);
  if (a->verdict == RC_LEANER) {
    return chord->root == q->wanted.root && chord->kind != DIMINISHED;
  }
  return a->verdict == RC_BORROWED && chord->root == button_at(a->board, a->grip->basses[0])->root;
}

// The first step of the order that tells two ways apart, below 0 where a comes first.
static int
answer_order(const Question *q, const Answer *a, const Answer *b)
{
  const gboolean within_e = a->verdict == RC_BORROWED;
  const gboolean plain_first = q->taste.prefer != RC_PREFER_SOUND;
  const int steps[] = {
    plain_first ? is_plain(q, b) - is_plain(q, a) : 0,
    (int)a->verdict - (int)b->verdict,
    b->grade->bass_right - a->grade->bass_right,
    within_e ? b->grade->root_in_bass - a->grade->root_in_bass : 0,
    within_e ? b->grade->thirds_sound - a->grade->thirds_sound : 0,
    within_e ? a->grade->n_strange - b->grade->n_strange : 0,
    a->grade->n_foreign - b->grade->n_foreign,
    a->grade->n_silent - b->grade->n_silent,
    a->grip->n_basses - b->grip->n_basses,
    is_straight(q, b) - is_straight(q, a),
    b->grade->likeness - a->grade->likeness,
    n_buttons(a->grip) - n_buttons(b->grip),
    a->grip->reach - b->grip->reach,
    a->grip->from_c - b->grip->from_c,
    a->grip->basses[0] - b->grip->basses[0],
    a->grip->basses[1] - b->grip->basses[1],
    a->grip->basses[2] - b->grip->basses[2],
    a->grip->chords[0] - b->grip->chords[0],
    a->grip->chords[1] - b->grip->chords[1],
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
  Answer best = { RC_IMPOSSIBLE, board, NULL, NULL };
  *n_ways = 0;
  for (guint i = 0; i < board->grips->len; ++i) {
    const Answer answer = answer_with(q, board, &g_array_index(board->grips, Grip, i));
    if (!answer.grip) {
      continue;
    }
    ++*n_ways;
    if (!best.grip || answer_order(q, &answer, &best) < 0) {
      best = answer;
    }
  }
  return best;
}

static int
compare_answers(gconstpointer a, gconstpointer b, gpointer question)
{
  return answer_order(question, a, b);
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
  g_array_sort_with_data(answers, compare_answers, (gpointer)q);
  return answers;
}

// ----------------------------------------------------------------------------------- requests, one answer's numbers

enum {
  VERDICT,
  KEPT,
  MISSING,
  FOREIGN,
  LIKENESS,
  N_BASSES,
  BASS_1,
  BASS_2,
  BASS_3,
  N_CHORDS,
  CHORD_1,
  CHORD_2,
  N_NUMBERS
};

static const char *const number_names[N_NUMBERS] = { "verdict",    "kept",   "missing",     "foreign",
                                                     "likeness",   "basses", "first bass",  "second bass",
                                                     "third bass", "chords", "first chord", "second chord" };

typedef struct {
  int of[N_NUMBERS];
} Numbers;

static Numbers
our_numbers(const Answer *answer)
{
  Numbers n = { { (int)answer->verdict } };
  if (answer->grip) {
    n.of[KEPT] = number_of(answer->grade->kept);
    n.of[MISSING] = number_of(answer->verdict == RC_BARE ? answer->grade->missing_bare : answer->grade->missing);
    n.of[FOREIGN] = number_of(answer->grade->foreign);
    n.of[LIKENESS] = (answer->grade->likeness + 5000) / 10000;
    n.of[N_BASSES] = answer->grip->n_basses;
    n.of[N_CHORDS] = answer->grip->n_chords;
    for (int i = 0; i < answer->grip->n_basses; ++i) {
      n.of[BASS_1 + i] = answer->grip->basses[i];
    }
    for (int i = 0; i < answer->grip->n_chords; ++i) {
      n.of[CHORD_1 + i] = answer->grip->chords[i];
    }
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
    n.of[LIKENESS] = (int)rc_likeness_hundredths(answer->likeness);
    n.of[N_BASSES] = answer->grip.n_basses;
    n.of[N_CHORDS] = answer->grip.n_chords;
    for (int i = 0; i < answer->grip.n_basses; ++i) {
      n.of[BASS_1 + i] = answer->grip.basses[i];
    }
    for (int i = 0; i < answer->grip.n_chords; ++i) {
      n.of[CHORD_1 + i] = answer->grip.chords[i];
    }
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

static char *
wish_text(const Wish *wish)
{
  char *chord = chord_text(&wish->chord, qualities[wish->chord.quality].text);
  GString *text = g_string_new(chord);
  g_string_append(text, " in ");
  if (wish->key != NO_KEY) {
    append_name(text, wish->tonic);
  }
  g_string_append_printf(text, " %s", wish->key == NO_KEY ? "no key" : keys[wish->key].name);
  append_tones(text, "melody", wish->melody);
  g_string_append(text, wish->brisk ? ", brisk" : "");
  g_free(chord);
  return g_string_free(text, FALSE);
}

// How far the comparison is.
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

// A third major, a third minor, the rest in another mode or none.
static int
draw_key(void)
{
  const int third = draw(3);
  return third == 0 ? KEY_MAJOR : third == 1 ? KEY_MINOR : one_in(2) ? NO_KEY : draw(N_KEYS);
}

static Wish
draw_wish(void)
{
  Wish wish = { .chord = { .root = draw(19) - 8 } };
  wish.tonic = draw(15) - 7;
  wish.key = draw_key();
  wish.chord.bass = one_in(3) ? draw(19) - 8 : wish.chord.root;
  wish.chord.quality = draw(G_N_ELEMENTS(qualities));
  wish.brisk = one_in(2);
  for (int n = one_in(3) ? 1 + draw(4) : 0; n > 0; --n) {
    wish.melody.has[draw(N_PCS)] = 1;
  }
  return wish;
}

static RcChord
chord_of(const Chord *chord)
{
  RcChord read = { 0 };
  char *text = chord_text(chord, qualities[chord->quality].text);
  if (rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &read, NULL) != RC_SYMBOL_CHORD) {
    fail_msg("%s is not read", text);
  }
  g_free(text);
  return read;
}

static RcRequest
request_of(const Wish *wish)
{
  const RcKey key = { keys[wish->key].mode, (RcNote)wish->tonic };
  return (RcRequest){ .chord = chord_of(&wish->chord),
                      .key = rc_key_scale(key, rc_key_tones(key)),
                      .melody = (RcPcSet)number_of(wish->melody),
                      .brisk = wish->brisk };
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
  GArray *ranking = rc_catalogue_rank(stand->board->catalogue, q->taste, &request);
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
  const RcAnswer theirs = rc_catalogue_best(stand->board->catalogue, q->taste, &request);
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
    const RcTaste taste = { one_in(3) ? RC_PREFER_SOUND : RC_PREFER_PLAIN, one_in(3) ? RC_RICHER : RC_BARE };
    const Question q = ask(&wish, taste);
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

// A text in the place of a chord.
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

// Half of the chords are plain ones. Notes lie around the tonic, so that no tune spells one note in two ways.
static Mark
draw_chord(int tonic)
{
  Mark mark = { .kind = A_CHORD };
  const int quality = draw(one_in(2) ? 4 : G_N_ELEMENTS(qualities));
  mark.chord.root = tonic + draw(12) - 5;
  mark.chord.bass = one_in(5) ? tonic + draw(12) - 5 : mark.chord.root;
  mark.chord.quality = quality;
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
verdicts_of(GHashTable *answered, const Wish *wish, RcTaste taste)
{
  char *wanted = wish_text(wish);
  char *name = g_strdup_printf("%s, %d %d", wanted, (int)taste.prefer, (int)taste.accept);
  Verdicts *verdicts = g_hash_table_lookup(answered, name);
  g_free(wanted);
  if (verdicts) {
    g_free(name);
    return *verdicts;
  }
  verdicts = g_new0(Verdicts, 1);
  const Question q = ask(wish, taste);
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
  RcTaste taste;
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
                        .key = tune->key,
                        .tonic = tune->tonic,
                        .brisk = is_brisk(recount, heard->length, quarters) };
    return verdicts_of(recount->answered, &wish, recount->taste);
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
typedef struct {
  int n;
  Chord chords[MAX_MARKS];
} Lacks;

// Adds a chord to those that a tune lacks, each once.
static void
add_lack(Lacks *lacks, const Chord *chord)
{
  for (int i = 0; i < lacks->n; ++i) {
    if (!memcmp(&lacks->chords[i], chord, sizeof *chord)) {
      return;
    }
  }
  lacks->chords[lacks->n++] = *chord;
}

static void
recount_on_board(const Recount *recount, const GArray *heard, const GArray *verdicts, int board, RcCounts *counts)
{
  gboolean counted = FALSE;
  gboolean native = TRUE;
  gboolean unread = FALSE;
  Lacks lacks = { 0 };
  for (guint i = 0; i < heard->len; ++i) {
    const Heard *h = &g_array_index(heard, Heard, i);
    const RcVerdict verdict = g_array_index(verdicts, Verdicts, i).on[board];
    if (h->mark->kind != A_SILENCE) {
      counted = TRUE;
      ++counts->chords[verdict];
      counts->ticks[verdict] += h->length;
      native = native && verdict == RC_NATIVE;
      unread = unread || verdict == RC_UNREAD;
      if (verdict > recount->taste.accept && verdict != RC_UNREAD) {
        add_lack(&lacks, &h->mark->chord);
      }
    }
  }
  counts->tunes += counted ? 1 : 0;
  counts->native += counted && native ? 1 : 0;
  counts->playable += counted && !unread && lacks.n == 0 ? 1 : 0;
  counts->one_short += !unread && lacks.n == 1 ? 1 : 0;
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
  RcRollSettings settings = { .brisk = 1.0, .pace = 1.0 };
  if (roll == 1) {
    settings.brisk = 1.5;
    settings.untimed = RC_UNTIMED_LEAVE;
  } else if (roll == 2) {
    settings.given = (RcTempo){ RC_TEMPO_GIVEN, 110 };
  }
  return settings;
}

static RcTaste
taste_of(int roll)
{
  static const RcTaste tastes[N_ROLLS] = { { RC_PREFER_PLAIN, RC_BARE },
                                           { RC_PREFER_SOUND, RC_RICHER },
                                           { RC_PREFER_PLAIN, RC_BORROWED } };
  return tastes[roll];
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
  compare((gint64)ours->one_short, (gint64)theirs->one_short, where, "tunes one short");
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
  return rc_panel_new(catalogues, N_BOARDS, taste_of(roll));
}

// A tune alone, so that a difference names it.
static void
compare_tune(const Tune *ours, const RcTune *theirs, GHashTable *answered)
{
  Recount recount = { .settings = settings_of(0), .taste = taste_of(0), .answered = answered };
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
  recount->taste = taste_of(number);
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
  sound_ids = g_hash_table_new(NULL, NULL);
  grades = g_array_new(FALSE, TRUE, sizeof(Grade));
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
  g_hash_table_unref(sound_ids);
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
