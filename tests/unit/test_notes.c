// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Notes, keys, meters and tempi: what is written on a tune sheet is understood as a musician understands it.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/music.h"

#include <locale.h>
#include <math.h>
#include <string.h>

enum { N_LETTERS = 7, UNTOUCHED = 77 };

// The letters in the order of the line of fifths, F at -1, with their pitch classes: the white keys of a piano.
static const struct {
  char letter;
  int pc;
} letters[N_LETTERS] = { { 'F', 5 }, { 'C', 0 }, { 'G', 7 }, { 'D', 2 }, { 'A', 9 }, { 'E', 4 }, { 'B', 11 } };

static const char *const ascii_signs[] = { "bb", "b", "", "#", "##" };
static const char *const real_signs[] = { "♭♭", "♭", "", "♯", "♯♯" };

// Calls for each of the 35 notes: a letter and two flats to two sharps. A sharp is seven fifths.
static void
each_note(void (*check)(RcNote note, char letter, int letter_pc, int sharps))
{
  for (int sharps = -2; sharps <= 2; ++sharps) {
    for (int i = 0; i < N_LETTERS; ++i) {
      check((RcNote)(i - 1 + 7 * sharps), letters[i].letter, letters[i].pc, sharps);
    }
  }
}

static char *
written(char letter, int sharps, RcSigns signs)
{
  return g_strdup_printf("%c%s", letter, (signs == RC_SIGNS_ASCII ? ascii_signs : real_signs)[sharps + 2]);
}

static void
assert_near(double found, double expected)
{
  if (!(fabs(found - expected) < 1e-9)) {
    fail_msg("found %.12g, expected %.12g", found, expected);
  }
}

// ----------------------------------------------------------------------------------------------------------- notes

static void
check_note(RcNote note, char letter, int letter_pc, int sharps)
{
  char *ascii = written(letter, sharps, RC_SIGNS_ASCII);
  char *real = written(letter, sharps, RC_SIGNS_UNICODE);
  assert_string_equal(rc_note_name(note, RC_SIGNS_ASCII), ascii);
  assert_string_equal(rc_note_name(note, RC_SIGNS_UNICODE), real);
  assert_int_equal(rc_note_pc(note), (letter_pc + sharps + 12) % 12);
  g_free(real);
  g_free(ascii);
}

static void
test_every_note_has_its_name_and_key_on_the_piano(void **state)
{
  (void)state;
  assert_int_equal(RC_NOTE_LOWEST, -1 - 14);
  assert_int_equal(RC_NOTE_HIGHEST, 5 + 14);
  each_note(check_note);
}

// Reads `text` and whatever follows it, as in a chord symbol.
static void
assert_reads(const char *text, RcNames names, gsize length, RcNote expected)
{
  RcNote note = UNTOUCHED;
  assert_int_equal(rc_note_parse(text, strlen(text), names, &note), length);
  assert_string_equal(rc_note_name(note, RC_SIGNS_ASCII), rc_note_name(expected, RC_SIGNS_ASCII));
}

static void
check_read_back(RcNote note, char letter, int letter_pc, int sharps)
{
  (void)letter_pc;
  for (RcSigns signs = RC_SIGNS_ASCII; signs <= RC_SIGNS_UNICODE; ++signs) {
    char *name = written(letter, sharps, signs);
    char *longer = g_strconcat(name, "m7", NULL);
    assert_reads(name, RC_NAMES_ENGLISH, strlen(name), note);
    assert_reads(longer, RC_NAMES_ENGLISH, strlen(name), note);
    g_free(longer);
    g_free(name);
  }
}

static void
test_every_name_is_read_back(void **state)
{
  (void)state;
  each_note(check_read_back);
  assert_reads("B♭♭", RC_NAMES_ENGLISH, strlen("B♭♭"), -9);
  assert_reads("F♯♯m", RC_NAMES_ENGLISH, strlen("F♯♯"), 13);
  assert_reads("E♮7", RC_NAMES_ENGLISH, strlen("E♮"), 4);
}

static void
test_other_text_is_no_note(void **state)
{
  (void)state;
  static const char *const texts[] = { "", "H", "h", "c", "b", "1", " C", "♭B", "#", "N.C.", ".", "\xff" };
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    RcNote note = UNTOUCHED;
    assert_int_equal(rc_note_parse(texts[i], strlen(texts[i]), RC_NAMES_ENGLISH, &note), 0);
    assert_int_equal(note, UNTOUCHED);
  }
}

static void
test_reading_stops_at_the_given_length(void **state)
{
  (void)state;
  RcNote note = UNTOUCHED;
  assert_int_equal(rc_note_parse("Bb", 1, RC_NAMES_ENGLISH, &note), 1);
  assert_int_equal(note, 5);
  assert_int_equal(rc_note_parse("B♭", 3, RC_NAMES_ENGLISH, &note), 1); // a sign cut off in the middle is none
  assert_int_equal(note, 5);
  assert_int_equal(rc_note_parse("C", 0, RC_NAMES_ENGLISH, &note), 0);
  assert_int_equal(rc_note_parse("Fis", 2, RC_NAMES_GERMAN, &note), 1);
  assert_int_equal(note, -1);
}

// ---------------------------------------------------------------------------------------------------- transposing

static void
check_fifths(RcNote note, char letter, int letter_pc, int sharps)
{
  (void)letter, (void)letter_pc, (void)sharps;
  for (int fifths = -40; fifths <= 40; ++fifths) {
    const RcNote up = rc_note_up(note, fifths);
    assert_in_range(up - RC_NOTE_LOWEST, 0, RC_NOTE_HIGHEST - RC_NOTE_LOWEST);
    assert_int_equal(rc_note_pc(up), (rc_note_pc(note) + 7U * (guint)(fifths + 120)) % 12U); // a fifth is 7 semitones
    if (note + fifths >= RC_NOTE_LOWEST && note + fifths <= RC_NOTE_HIGHEST) {
      assert_int_equal(up, note + fifths);
    }
  }
}

static void
test_moving_by_fifths_keeps_the_spelling_while_it_can(void **state)
{
  (void)state;
  each_note(check_fifths);
  assert_string_equal(rc_note_name(rc_note_up(-1, -1), RC_SIGNS_ASCII), "Bb");             // a fifth under F
  assert_string_equal(rc_note_name(rc_note_up(2, 4), RC_SIGNS_ASCII), "F#");               // the third of D
  assert_string_equal(rc_note_name(rc_note_up(RC_NOTE_HIGHEST, 1), RC_SIGNS_ASCII), "G#"); // of F###
  assert_string_equal(rc_note_name(rc_note_up(RC_NOTE_LOWEST, -1), RC_SIGNS_ASCII), "Ab"); // of Bbbb
}

static RcPcSet
pitch_classes(const char *numbers)
{
  char **words = g_strsplit(numbers, " ", 0);
  guint set = 0;
  for (guint i = 0; words[i]; ++i) {
    guint64 pc = 0;
    assert_true(g_ascii_string_to_unsigned(words[i], 10, 0, 11, &pc, NULL));
    set |= 1U << pc;
  }
  g_strfreev(words);
  return (RcPcSet)set;
}

static void
test_transposing_a_chord_moves_every_tone(void **state)
{
  (void)state;
  const RcPcSet c_major = pitch_classes("0 4 7");
  assert_int_equal(rc_pcs_transpose(c_major, 0), c_major);
  assert_int_equal(rc_pcs_transpose(c_major, 2), pitch_classes("2 6 9"));   // D F# A
  assert_int_equal(rc_pcs_transpose(c_major, -1), pitch_classes("11 3 6")); // B D# F#
  assert_int_equal(rc_pcs_transpose(c_major, 8), pitch_classes("8 0 3"));   // Ab C Eb
  assert_int_equal(rc_pcs_transpose(c_major, 12), c_major);
  assert_int_equal(rc_pcs_transpose(c_major, -25), pitch_classes("11 3 6")); // two octaves and a semitone down
  assert_int_equal(rc_pcs_transpose(0xFFF, 5), 0xFFF);
  assert_int_equal(rc_pcs_transpose(0, 5), 0);
}

static void
test_sets_know_what_they_hold(void **state)
{
  (void)state;
  const RcPcSet b_diminished = pitch_classes("11 2 5");
  assert_int_equal(rc_pcs_count(b_diminished), 3);
  assert_int_equal(rc_pcs_count(0), 0);
  assert_int_equal(rc_pcs_count(0xFFF), 12);
  for (guint pc = 0; pc < 12; ++pc) {
    assert_int_equal(rc_pcs_has(b_diminished, pc), pc == 11 || pc == 2 || pc == 5);
  }
}

// ---------------------------------------------------------------------------------------------------- German names

typedef struct {
  const char *text;
  gsize length; // bytes that name the note
  RcNote note;
} GermanNote;

static const GermanNote german_notes[] = {
  { "H", 1, 5 },      { "B", 1, -2 },    { "Bb", 2, -2 },     { "B♭", 4, -2 },     { "Hm7", 1, 5 },   { "B7", 1, -2 },
  { "Bmaj7", 1, -2 }, { "C", 1, 0 },     { "Fis", 3, 6 },     { "Fism", 3, 6 },    { "Cis", 3, 7 },   { "Gis7", 3, 8 },
  { "Dis", 3, 9 },    { "Ais", 3, 10 },  { "Eis", 3, 11 },    { "His", 3, 12 },    { "Es", 2, -3 },   { "Esm", 2, -3 },
  { "Es7", 2, -3 },   { "As", 2, -4 },   { "Asdim", 2, -4 },  { "Des", 3, -5 },    { "Ges", 3, -6 },  { "Ces", 3, -7 },
  { "Fes", 3, -8 },   { "Hes", 3, -2 },  { "E", 1, 4 },       { "Em", 1, 4 },      { "Edim", 1, 4 },  { "A", 1, 3 },
  { "Am", 1, 3 },     { "Aadd9", 1, 3 }, { "F#", 2, 6 },      { "E♭", 4, -3 },     { "Esus4", 1, 4 }, { "Asus4", 1, 3 },
  { "Asus", 1, 3 },   { "Asus2", 1, 3 }, { "Essus4", 2, -3 }, { "Assus2", 2, -4 }, { "Dsus4", 1, 2 }, { "Gsus", 1, 1 },
  { "Hsus4", 1, 5 },
};

static void
test_german_names(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(german_notes); ++i) {
    assert_reads(german_notes[i].text, RC_NAMES_GERMAN, german_notes[i].length, german_notes[i].note);
  }
  static const char *const none[] = { "", "h", "es", "s", "is", "X", "♭" };
  for (guint i = 0; i < G_N_ELEMENTS(none); ++i) {
    RcNote note = UNTOUCHED;
    assert_int_equal(rc_note_parse(none[i], strlen(none[i]), RC_NAMES_GERMAN, &note), 0);
  }
}

static void
assert_chord(const char *text, RcNames names, const char *tones, RcNote bass)
{
  RcChord chord = { 0, 0, 0 };
  if (rc_chord_parse(text, strlen(text), names, &chord, NULL) != RC_SYMBOL_CHORD) {
    fail_msg("`%s` is not read as a chord", text);
  }
  assert_int_equal(rc_chord_tones(&chord), pitch_classes(tones));
  assert_string_equal(rc_note_name(chord.bass, RC_SIGNS_ASCII), rc_note_name(bass, RC_SIGNS_ASCII));
}

static void
test_german_chords(void **state)
{
  (void)state;
  assert_chord("H", RC_NAMES_GERMAN, "11 3 6", 5);
  assert_chord("B", RC_NAMES_GERMAN, "10 2 5", -2);
  assert_chord("Hm7b5", RC_NAMES_GERMAN, "11 2 5 9", 5);
  assert_chord("Fism", RC_NAMES_GERMAN, "6 9 1", 6);
  assert_chord("Es", RC_NAMES_GERMAN, "3 7 10", -3);
  assert_chord("As7", RC_NAMES_GERMAN, "8 0 3 6", -4);
  assert_chord("Esus4", RC_NAMES_GERMAN, "4 9 11", 4);   // E A B
  assert_chord("Essus4", RC_NAMES_GERMAN, "3 8 10", -3); // Eb Ab Bb
  assert_chord("Asus4", RC_NAMES_GERMAN, "9 2 4", 3);    // A D E
  assert_chord("Asus2", RC_NAMES_GERMAN, "9 11 4", 3);   // A B E
  assert_chord("G/H", RC_NAMES_GERMAN, "7 11 2", 5);
  assert_chord("G/h", RC_NAMES_GERMAN, "7 11 2", 5);
  assert_chord("Es/B", RC_NAMES_GERMAN, "3 7 10", -2);
  assert_chord("D/fis", RC_NAMES_GERMAN, "2 6 9", 6);
}

// In German songbooks a capital is major, a small letter minor: "a" is a-Moll.
static void
test_small_german_letters_are_minor(void **state)
{
  (void)state;
  assert_chord("a", RC_NAMES_GERMAN, "9 0 4", 3);
  assert_chord("h", RC_NAMES_GERMAN, "11 2 6", 5);
  assert_chord("b", RC_NAMES_GERMAN, "10 1 5", -2);
  assert_chord("fis7", RC_NAMES_GERMAN, "6 9 1 4", 6);
  assert_chord("es", RC_NAMES_GERMAN, "3 6 10", -3);
  assert_chord("am", RC_NAMES_GERMAN, "9 0 4", 3); // who says it twice
  assert_chord("d/a", RC_NAMES_GERMAN, "2 5 9", 3);
  RcKey key = { RC_MODE_NONE, 0 };
  assert_true(rc_key_parse("d", RC_NAMES_GERMAN, &key, NULL));
  assert_true(key.mode == RC_MODE_MINOR && key.tonic == 2);
  assert_true(rc_key_parse("fis", RC_NAMES_GERMAN, &key, NULL));
  assert_true(key.mode == RC_MODE_MINOR && key.tonic == 6);
  assert_true(rc_key_parse("a", RC_NAMES_GERMAN, &key, NULL));
  assert_true(key.mode == RC_MODE_MINOR && key.tonic == 3);
  assert_true(rc_key_parse("h", RC_NAMES_GERMAN, &key, NULL));
  assert_true(key.mode == RC_MODE_MINOR && key.tonic == 5);
  assert_true(rc_key_parse("d dorian", RC_NAMES_GERMAN, &key, NULL));
  assert_true(key.mode == RC_MODE_DORIAN && key.tonic == 2);
  assert_true(rc_key_parse("D", RC_NAMES_GERMAN, &key, NULL));
  assert_true(key.mode == RC_MODE_MAJOR && key.tonic == 2);
}

static void
test_german_names_are_not_read_in_english_sheets(void **state)
{
  (void)state;
  static const char *const german_only[] = { "H", "Hm", "Es", "As7", "Fis", "Cism", "G/H", "D/Fis" };
  for (guint i = 0; i < G_N_ELEMENTS(german_only); ++i) {
    RcChord chord;
    const gsize length = strlen(german_only[i]);
    assert_int_equal(rc_chord_parse(german_only[i], length, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_UNREAD);
    assert_int_equal(rc_chord_parse(german_only[i], length, RC_NAMES_GERMAN, &chord, NULL), RC_SYMBOL_CHORD);
  }
  assert_chord("B", RC_NAMES_ENGLISH, "11 3 6", 5);
  assert_chord("Esus4", RC_NAMES_ENGLISH, "4 9 11", 4);
}

// ------------------------------------------------------------------------------------------------------------ keys

typedef struct {
  const char *text;
  RcMode mode;
  RcNote tonic;
  const char *name;
} WrittenKey;

static const WrittenKey written_keys[] = {
  { "D", RC_MODE_MAJOR, 2, "D major" },
  { "D major", RC_MODE_MAJOR, 2, "D major" },
  { "DM", RC_MODE_MAJOR, 2, "D major" },
  { "Dmaj", RC_MODE_MAJOR, 2, "D major" },
  { "C ionian", RC_MODE_MAJOR, 0, "C major" },
  { "Bm", RC_MODE_MINOR, 5, "B minor" },
  { "B m", RC_MODE_MINOR, 5, "B minor" },
  { "F# minor", RC_MODE_MINOR, 6, "F# minor" },
  { "F♯min", RC_MODE_MINOR, 6, "F# minor" },
  { "Bbm", RC_MODE_MINOR, -2, "Bb minor" },
  { "A aeolian", RC_MODE_MINOR, 3, "A minor" },
  { "E dorian", RC_MODE_DORIAN, 4, "E dorian" },
  { "Edor", RC_MODE_DORIAN, 4, "E dorian" },
  { "E DORIAN", RC_MODE_DORIAN, 4, "E dorian" },
  { "E   Dorian", RC_MODE_DORIAN, 4, "E dorian" },
  { "E phrygian", RC_MODE_PHRYGIAN, 4, "E phrygian" },
  { "Ephr", RC_MODE_PHRYGIAN, 4, "E phrygian" },
  { "F lydian", RC_MODE_LYDIAN, -1, "F lydian" },
  { "B♭ lyd", RC_MODE_LYDIAN, -2, "Bb lydian" },
  { "A mixolydian", RC_MODE_MIXOLYDIAN, 3, "A mixolydian" },
  { "A mix", RC_MODE_MIXOLYDIAN, 3, "A mixolydian" },
  { "AMix", RC_MODE_MIXOLYDIAN, 3, "A mixolydian" },
  { "A mixoly", RC_MODE_MIXOLYDIAN, 3, "A mixolydian" },
  { "B locrian", RC_MODE_LOCRIAN, 5, "B locrian" },
  { "d minor", RC_MODE_MINOR, 2, "D minor" },
  { "em", RC_MODE_MINOR, 4, "E minor" },
  { "bb major", RC_MODE_MAJOR, -2, "Bb major" },
};

static RcKey
read_key(const char *text)
{
  RcKey key = { RC_MODE_NONE, 0 };
  if (!rc_key_parse(text, RC_NAMES_ENGLISH, &key, NULL)) {
    fail_msg("`%s` is not read as a key", text);
  }
  return key;
}

static void
test_keys_are_read_in_every_mode(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(written_keys); ++i) {
    const RcKey key = read_key(written_keys[i].text);
    assert_int_equal(key.mode, written_keys[i].mode);
    assert_int_equal(key.tonic, written_keys[i].tonic);
    char *name = rc_key_name(key, RC_SIGNS_ASCII);
    assert_string_equal(name, written_keys[i].name);
    g_free(name);
  }
}

static void
test_key_names(void **state)
{
  (void)state;
  char *real = rc_key_name(read_key("Bbm"), RC_SIGNS_UNICODE);
  char *none = rc_key_name((RcKey){ RC_MODE_NONE, 0 }, RC_SIGNS_ASCII);
  assert_string_equal(real, "B♭ minor");
  assert_string_equal(none, "no key");
  g_free(none);
  g_free(real);
}

typedef struct {
  const char *text;
  gsize stopped_at; // bytes before the first character not understood
} NoKey;

static const NoKey no_keys[] = {
  { "", 0 },          { "HP", 0 },     { "Hp", 0 },          { "Hm", 0 },     { "d", 0 },
  { "none", 0 },      { "♭", 0 },      { "dorian", 0 },      { "Dx", 1 },     { "D-", 1 },
  { "Am/C", 1 },      { "Bb#", 2 },    { "D foo", 2 },       { "D mi", 2 },   { "D maj7", 2 },
  { "D dorians", 2 }, { "D  foo", 3 }, { "F# minorish", 3 }, { "C♯ foo", 5 }, // C, three bytes of sharp sign, a space
};

// As players write them: no more than six signs.
static void
test_moved_keys_have_usual_names(void **state)
{
  (void)state;
  static const char *const majors[] = { "C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B" };
  static const char *const minors[] = { "A", "Bb", "B", "C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#" };
  for (int up = -24; up <= 24; ++up) {
    const guint step = (guint)(up + 24) % 12U;
    const RcKey major = rc_key_moved((RcKey){ RC_MODE_MAJOR, 0 }, up);
    const RcKey minor = rc_key_moved((RcKey){ RC_MODE_MINOR, 3 }, up);
    assert_string_equal(rc_note_name(major.tonic, RC_SIGNS_ASCII), majors[step]);
    assert_string_equal(rc_note_name(minor.tonic, RC_SIGNS_ASCII), minors[step]);
  }
  assert_int_equal(rc_key_moved((RcKey){ RC_MODE_DORIAN, 4 }, -2).tonic, 2);  // E dorian to D dorian
  assert_int_equal(rc_key_moved((RcKey){ RC_MODE_MAJOR, -6 }, 12).tonic, -6); // G flat stays as it was written
  assert_int_equal(rc_key_moved((RcKey){ RC_MODE_NONE, 0 }, 3).mode, RC_MODE_NONE);
}

static void
test_nonsense_is_no_key_and_its_place_is_told(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(no_keys); ++i) {
    RcKey key = { RC_MODE_LOCRIAN, UNTOUCHED };
    gsize stopped_at = 99;
    if (rc_key_parse(no_keys[i].text, RC_NAMES_ENGLISH, &key, &stopped_at) || stopped_at != no_keys[i].stopped_at) {
      fail_msg("`%s`: stopped at %" G_GSIZE_FORMAT ", expected %" G_GSIZE_FORMAT, no_keys[i].text, stopped_at,
               no_keys[i].stopped_at);
    }
    assert_int_equal(key.mode, RC_MODE_LOCRIAN);
    assert_int_equal(key.tonic, UNTOUCHED);
    assert_false(rc_key_parse(no_keys[i].text, RC_NAMES_ENGLISH, &key, NULL));
  }
}

// The tones of each mode on the white keys, then the minor forms of A: natural with G, melodic F#, harmonic G#.
static void
test_key_tones(void **state)
{
  (void)state;
  static const char *const white[] = { "C", "D dorian", "E phrygian", "F lydian", "G mixolydian", "B locrian" };
  for (guint i = 0; i < G_N_ELEMENTS(white); ++i) {
    assert_int_equal(rc_key_tones(read_key(white[i])), pitch_classes("0 2 4 5 7 9 11"));
  }
  assert_int_equal(rc_key_tones(read_key("Am")), pitch_classes("9 11 0 2 4 5 6 7 8"));
  assert_int_equal(rc_key_tones(read_key("Bm")), pitch_classes("11 1 2 4 6 7 8 9 10")); // B C# D E F# G G# A A#
  assert_int_equal(rc_key_tones(read_key("D")), pitch_classes("2 4 6 7 9 11 1"));
  assert_int_equal(rc_key_tones(read_key("Db")), pitch_classes("1 3 5 6 8 10 0"));
  assert_int_equal(rc_key_tones((RcKey){ RC_MODE_NONE, 0 }), 0);
}

// A minor key mixes no forms: in A minor the F of one and the G# of another make no F minor.
static void
test_minor_triads_and_fifths_of_keys(void **state)
{
  (void)state;
  static const struct {
    const char *key;
    const char *minors;
    const char *fifth;
  } scales[] = {
    { "C", "2 4 9", "7" },     { "D dorian", "2 4 9", "9" }, { "Am", "9 11 2 4", "4" },
    { "Bm", "11 1 4 6", "6" }, { "A", "11 1 6", "4" }, // B, C sharp and F sharp minor: E minor is not at home
  };
  for (guint i = 0; i < G_N_ELEMENTS(scales); ++i) {
    const RcKey key = read_key(scales[i].key);
    const RcScale scale = rc_key_scale(key, rc_key_tones(key));
    assert_int_equal(scale.minors, pitch_classes(scales[i].minors));
    assert_int_equal(scale.fifth, pitch_classes(scales[i].fifth));
  }
  assert_int_equal(rc_key_scale((RcKey){ RC_MODE_NONE, 0 }, 0).minors, 0);
  assert_int_equal(rc_key_scale((RcKey){ RC_MODE_NONE, 0 }, pitch_classes("0 2 4 5 7 9 11")).fifth, 0); // of what?
  assert_int_equal(rc_key_scale(read_key("C"), 0).fifth, 0);
}

static void
check_keys_on(RcNote note, char letter, int letter_pc, int sharps)
{
  (void)letter, (void)letter_pc, (void)sharps;
  for (RcMode mode = RC_MODE_MAJOR; mode <= RC_MODE_LOCRIAN; ++mode) {
    const RcPcSet on_c = rc_key_tones((RcKey){ mode, 0 });
    const RcPcSet here = rc_key_tones((RcKey){ mode, note });
    assert_int_equal(here, rc_pcs_transpose(on_c, (int)rc_note_pc(note)));
  }
}

static void
test_a_mode_has_the_same_steps_on_every_tonic(void **state)
{
  (void)state;
  each_note(check_keys_on);
}

typedef struct {
  const char *key;
  const char *names; // of the pitch classes 0 to 11
} Spelling;

// Major keys and modes: the relative major's tonic is at place t of the line of fifths; written are t-5 to t+6.
static const Spelling spellings[] = {
  { "C", "C Db D Eb E F F# G Ab A Bb B" },        // -5 Db to 6 F#
  { "D", "C C# D Eb E F F# G G# A Bb B" },        // -3 Eb to 8 G#
  { "E dorian", "C C# D Eb E F F# G G# A Bb B" }, // of D major
  { "A mix", "C C# D Eb E F F# G G# A Bb B" },    // of D major
  { "Db", "C Db Ebb Eb Fb F Gb G Ab Bbb Bb Cb" }, // -10 Ebb to 1 G
  { "B", "C C# D D# E E# F# G G# A A# B" },       // 0 C to 11 E#
};

static void
assert_spelling(const char *key, const char *names)
{
  char **expected = g_strsplit(names, " ", 0);
  for (guint pc = 0; pc < 12; ++pc) {
    const char *found = rc_note_name(rc_key_spell(read_key(key), pc), RC_SIGNS_ASCII);
    if (strcmp(found, expected[pc]) != 0) {
      fail_msg("in %s pitch class %u is %s, expected %s", key, pc, found, expected[pc]);
    }
  }
  g_strfreev(expected);
}

static void
test_tones_are_spelled_as_the_key_does(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(spellings); ++i) {
    assert_spelling(spellings[i].key, spellings[i].names);
  }
}

typedef struct {
  const char *key;
  const char *names; // of its nine tones, upwards from the tonic
} MinorScale;

// Each letter of the natural scale, and the sixth and the seventh once more, raised by a sharp.
static const MinorScale minor_scales[] = {
  { "Am", "A B C D E F F# G G#" },     { "Dm", "D E F G A Bb B C C#" },  { "Em", "E F# G A B C C# D D#" },
  { "Gm", "G A Bb C D Eb E F F#" },    { "Cm", "C D Eb F G Ab A Bb B" }, { "F#m", "F# G# A B C# D D# E E#" },
  { "Bbm", "Bb C Db Eb F Gb G Ab A" },
};

static void
assert_minor_scale(const MinorScale *scale)
{
  const RcKey key = read_key(scale->key);
  char **names = g_strsplit(scale->names, " ", 0);
  guint tones = 0;
  for (guint i = 0; names[i]; ++i) {
    RcNote note = 0;
    assert_int_equal(rc_note_parse(names[i], strlen(names[i]), RC_NAMES_ENGLISH, &note), strlen(names[i]));
    tones |= 1U << rc_note_pc(note);
    const char *found = rc_note_name(rc_key_spell(key, rc_note_pc(note)), RC_SIGNS_ASCII);
    if (strcmp(found, names[i]) != 0) {
      fail_msg("in %s the tone %s is spelled %s", scale->key, names[i], found);
    }
  }
  assert_int_equal(rc_key_tones(key), tones);
  g_strfreev(names);
}

static void
test_minor_keys_spell_their_raised_tones(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(minor_scales); ++i) {
    assert_minor_scale(&minor_scales[i]);
  }
}

static void
check_near(RcNote centre, char letter, int letter_pc, int sharps)
{
  (void)letter, (void)letter_pc, (void)sharps;
  for (guint pc = 0; pc < 12; ++pc) {
    const RcNote note = rc_note_near(centre, pc);
    assert_int_equal(rc_note_pc(note), pc);
    if (centre - 5 >= RC_NOTE_LOWEST && centre + 6 <= RC_NOTE_HIGHEST) {
      assert_in_range(note - centre + 5, 0, 11);
    }
  }
}

static void
test_tones_are_spelled_near_a_centre(void **state)
{
  (void)state;
  each_note(check_near);
  assert_string_equal(rc_note_name(rc_note_near(0, 6), RC_SIGNS_ASCII), "F#");  // around C six fifths up, not down
  assert_string_equal(rc_note_name(rc_note_near(-1, 6), RC_SIGNS_ASCII), "Gb"); // around F five down
}

// Tones of a chord have the letter of their degree; a tone next to it is read as easily as can be, whatever the key.
static void
test_tones_beside_a_chord_are_spelled_plainly(void **state)
{
  (void)state;
  static const struct {
    const char *chord;
    const char *key;
    guint pc;
    const char *name;
  } cases[] = {
    { "Db", "Db", 0, "C" },   { "Db", "Gb", 11, "B" }, { "Db", "A", 3, "Eb" },   { "F#7", "C", 3, "D#" },
    { "F#7", "F", 10, "A#" }, { "F#7", "B", 5, "F" },  { "B7", "C#", 0, "C" },   { "B7", "E", 3, "D#" },
    { "Gm", "F", 8, "Ab" },   { "E", "E", 3, "D#" },   { "C#7", "F#", 5, "E#" }, { "Ab7", "C", 6, "Gb" },
    { "Abm", "C", 11, "Cb" }, { "Bb", "E", 8, "Ab" },  { "G#", "E", 0, "B#" },   { "F", "Am", 8, "G#" },
    { "B7", "F", 10, "Bb" }, // no signs of their own: those of the key
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcChord chord = { 0, 0, 0 };
    assert_true(rc_chord_parse(cases[i].chord, strlen(cases[i].chord), RC_NAMES_ENGLISH, &chord, NULL) ==
                RC_SYMBOL_CHORD);
    const RcNote note = rc_chord_spell(&chord, read_key(cases[i].key), cases[i].pc);
    assert_string_equal(rc_note_name(note, RC_SIGNS_ASCII), cases[i].name);
  }
  const RcKey none = { RC_MODE_NONE, 0 };
  const RcChord on_d = { 2, 2, RC_CHORD_MAJOR };
  const RcChord on_f = { -1, -1, RC_CHORD_MAJOR };
  assert_string_equal(rc_note_name(rc_chord_spell(&on_d, none, 8), RC_SIGNS_ASCII), "G#"); // above a D as in its key
  assert_string_equal(rc_note_name(rc_chord_spell(&on_f, none, 8), RC_SIGNS_ASCII), "Ab");
}

// ---------------------------------------------------------------------------------------------------------- meters

typedef struct {
  const char *text;
  RcMeter meter;
  double bar;  // quarter notes
  double beat; // quarter notes
} WrittenMeter;

static const WrittenMeter written_meters[] = {
  { "4/4", { 4, 4 }, 4, 1 },
  { "C", { 4, 4 }, 4, 1 },
  { "3/4", { 3, 4 }, 3, 1 },
  { "2/4", { 2, 4 }, 2, 1 },
  { "5/4", { 5, 4 }, 5, 1 },
  { "6/4", { 6, 4 }, 6, 1 },
  { "2/2", { 2, 2 }, 4, 2 },
  { "C|", { 2, 2 }, 4, 2 },
  { "3/2", { 3, 2 }, 6, 2 },
  { "6/8", { 6, 8 }, 3, 1.5 },
  { "9/8", { 9, 8 }, 4.5, 1.5 },
  { "12/8", { 12, 8 }, 6, 1.5 },
  { "15/8", { 15, 8 }, 7.5, 1.5 },
  { "3/8", { 3, 8 }, 1.5, 0.5 },
  { "5/8", { 5, 8 }, 2.5, 0.5 },
  { "7/8", { 7, 8 }, 3.5, 0.5 },
  { "6/16", { 6, 16 }, 1.5, 0.75 },
  { "1/1", { 1, 1 }, 4, 4 },
  { "1/64", { 1, 64 }, 0.0625, 0.0625 },
  { "64/64", { 64, 64 }, 4, 0.0625 },
  { "64/1", { 64, 1 }, 256, 4 },
};

static void
test_meters_their_bars_and_beats(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(written_meters); ++i) {
    const WrittenMeter *written_meter = &written_meters[i];
    RcMeter meter = { 0, 0 };
    assert_true(rc_meter_parse(written_meter->text, &meter));
    assert_int_equal(meter.beats, written_meter->meter.beats);
    assert_int_equal(meter.unit, written_meter->meter.unit);
    assert_near((double)rc_meter_bar(meter) / (double)RC_QUARTER, written_meter->bar);
    assert_near((double)rc_meter_beat(meter) / (double)RC_QUARTER, written_meter->beat);
  }
}

static void
test_no_meters(void **state)
{
  (void)state;
  static const char *const texts[] = { "",
                                       "3",
                                       "3/",
                                       "/4",
                                       "0/4",
                                       "65/4",
                                       "4/0",
                                       "4/3",
                                       "4/128",
                                       "-3/4",
                                       "3/-4",
                                       "3/4 ",
                                       " 3/4",
                                       "3 / 4",
                                       "3:4",
                                       "3/4/4",
                                       "3.5/4",
                                       "c",
                                       "C||",
                                       "CC",
                                       "waltz",
                                       "4294967297/4",
                                       "99999999999999999999/4" };
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    RcMeter meter = { UNTOUCHED, UNTOUCHED };
    if (rc_meter_parse(texts[i], &meter)) {
      fail_msg("`%s` is read as the meter %u/%u", texts[i], meter.beats, meter.unit);
    }
    assert_int_equal(meter.beats, UNTOUCHED);
  }
}

// ------------------------------------------------------------------------------------------------------------ tempi

typedef struct {
  const char *text;
  RcMeter meter;
  double quarters; // a minute
} WrittenTempo;

static const WrittenTempo written_tempi[] = {
  { "138", { 3, 4 }, 138 },
  { "120.5", { 4, 4 }, 120.5 },
  { "112", { 6, 8 }, 168 }, // 112 beats of three eighths, one and a half quarters each
  { "108", { 9, 8 }, 162 },
  { "100", { 12, 8 }, 150 },
  { "168", { 3, 8 }, 84 }, // 3/8 counts eighths
  { "100", { 2, 2 }, 200 },
  { "90", { 5, 8 }, 45 },
  { "q=72", { 6, 8 }, 72 },
  { "Q = 72", { 3, 4 }, 72 },
  { "\xE2\x99\xA9=72", { 4, 4 }, 72 }, // the sign of a quarter note
  { "1/4=138", { 6, 8 }, 138 },        // a note value of its own does not ask for the meter
  { "1/4 = 138", { 2, 2 }, 138 },
  { "1/4= 138", { 4, 4 }, 138 },
  { "3/8=112", { 4, 4 }, 168 },
  { "1/2=60", { 4, 4 }, 120 },
  { "1/8=200", { 4, 4 }, 100 },
  { "1/4=92.5", { 4, 4 }, 92.5 },
  // The limits are 5 and 1000 quarter notes a minute, themselves allowed.
  { "5", { 4, 4 }, 5 },
  { "1000", { 4, 4 }, 1000 },
  { "500", { 2, 2 }, 1000 },
  { "666", { 6, 8 }, 999 },
  { "3.5", { 6, 8 }, 5.25 },
  { "1/8=10", { 4, 4 }, 5 },
};

static const WrittenTempo no_tempi[] = {
  { "", { 4, 4 }, 0 },          { "fast", { 4, 4 }, 0 },     { "-120", { 4, 4 }, 0 },    { "120 bpm", { 4, 4 }, 0 },
  { "120bpm", { 4, 4 }, 0 },    { "120,5", { 4, 4 }, 0 },    { " 120", { 4, 4 }, 0 },    { "1/4", { 4, 4 }, 0 },
  { "1/4=", { 4, 4 }, 0 },      { "=120", { 4, 4 }, 0 },     { "1/3=120", { 4, 4 }, 0 }, { "0/4=120", { 4, 4 }, 0 },
  { "1/4=120=1", { 4, 4 }, 0 }, { "1/4=-120", { 4, 4 }, 0 }, { "4=120", { 4, 4 }, 0 },   { "nan", { 4, 4 }, 0 },
  { "4.9", { 4, 4 }, 0 },       { "1000.1", { 4, 4 }, 0 },   { "501", { 2, 2 }, 0 },     { "667", { 6, 8 }, 0 },
  { "3.3", { 6, 8 }, 0 }, // 4.95 quarters
  { "1/8=9", { 4, 4 }, 0 },     { "0", { 4, 4 }, 0 },        { "1e400", { 4, 4 }, 0 },
};

static void
assert_tempi(void)
{
  for (guint i = 0; i < G_N_ELEMENTS(written_tempi); ++i) {
    RcTempo tempo = { RC_TEMPO_NONE, 0 };
    assert_true(rc_tempo_parse(written_tempi[i].text, written_tempi[i].meter, &tempo));
    assert_int_equal(tempo.source, RC_TEMPO_STATED);
    assert_near(tempo.quarters, written_tempi[i].quarters);
  }
  for (guint i = 0; i < G_N_ELEMENTS(no_tempi); ++i) {
    RcTempo tempo = { RC_TEMPO_GIVEN, UNTOUCHED };
    if (rc_tempo_parse(no_tempi[i].text, no_tempi[i].meter, &tempo)) {
      fail_msg("`%s` is read as the tempo %g", no_tempi[i].text, tempo.quarters);
    }
    assert_int_equal(tempo.source, RC_TEMPO_GIVEN);
    assert_near(tempo.quarters, UNTOUCHED);
  }
}

static void
test_tempi(void **state)
{
  (void)state;
  assert_tempi();
}

// Sets a locale that writes decimals with a comma; FALSE where none is installed.
static gboolean
set_comma_locale(void)
{
  static const char *const names[] = { "de_DE.UTF-8", "fr_FR.UTF-8", "it_IT.UTF-8", "es_ES.UTF-8", "nl_NL.UTF-8",
                                       "pl_PL.UTF-8", "sv_SE.UTF-8", "cs_CZ.UTF-8", "ru_RU.UTF-8", "pt_BR.UTF-8",
                                       "de_DE",       "fr_FR",       "German",      "French" };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    if (setlocale(LC_ALL, names[i]) && !strcmp(localeconv()->decimal_point, ",")) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
test_tempi_are_read_alike_in_every_country(void **state)
{
  (void)state;
  if (!set_comma_locale()) {
    skip();
  }
  assert_tempi();
}

static int
restore_locale(void **state)
{
  (void)state;
  return setlocale(LC_ALL, "C") ? 0 : -1;
}

// --------------------------------------------------------------------------------------------------- assumed tempi

typedef struct {
  const char *rhythm;
  RcMeter beat; // the note value that dancers count
  double least; // such beats a minute
  double most;
} UsualRange;

// Common practice, not from a book: what dancers would still call that dance, and singers that kind of song.
static const UsualRange usual_ranges[] = {
  { "jig", { 3, 8 }, 100, 130 },       { "double jig", { 3, 8 }, 100, 130 }, { "single jig", { 3, 8 }, 100, 140 },
  { "slip jig", { 3, 8 }, 95, 130 },   { "slide", { 3, 8 }, 120, 150 },      { "reel", { 1, 2 }, 90, 120 },
  { "hornpipe", { 1, 2 }, 60, 100 },   { "strathspey", { 1, 4 }, 110, 145 }, { "polka", { 1, 4 }, 100, 140 },
  { "march", { 1, 4 }, 90, 130 },      { "waltz", { 1, 4 }, 90, 200 },       { "mazurka", { 1, 4 }, 110, 150 },
  { "schottische", { 1, 2 }, 60, 90 }, { "barndance", { 1, 2 }, 65, 100 },   { "barn dance", { 1, 2 }, 65, 100 },
  { "two-step", { 1, 4 }, 100, 130 },  { "quickstep", { 1, 4 }, 180, 220 },  { "foxtrot", { 1, 4 }, 100, 140 },
  { "swing", { 1, 4 }, 115, 180 },     { "ballad", { 1, 4 }, 60, 90 },       { "bossa", { 1, 4 }, 110, 150 },
  { "tango", { 1, 4 }, 100, 140 },     { "rumba", { 1, 4 }, 90, 125 },       { "song", { 1, 4 }, 85, 120 },
  { "air", { 1, 4 }, 60, 90 },         { "slow air", { 1, 4 }, 50, 75 },
};

static void
test_a_known_rhythm_gives_its_usual_tempo(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(usual_ranges); ++i) {
    const UsualRange *usual = &usual_ranges[i];
    const RcTempo tempo = rc_tempo_assume(usual->rhythm, (RcMeter){ 4, 4 });
    const double beats = tempo.quarters * usual->beat.unit / (4.0 * usual->beat.beats);
    assert_int_equal(tempo.source, RC_TEMPO_RHYTHM);
    if (beats < usual->least || beats > usual->most) {
      fail_msg("a %s at %g beats a minute", usual->rhythm, beats);
    }
  }
}

// Common practice: a jig without more words is a double jig, and a barn dance is written in two ways.
static void
test_two_names_of_a_dance_have_one_tempo(void **state)
{
  (void)state;
  static const char *const names[][2] = { { "jig", "double jig" }, { "barndance", "barn dance" } };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    const double one = rc_tempo_assume(names[i][0], (RcMeter){ 4, 4 }).quarters;
    assert_true(one == rc_tempo_assume(names[i][1], (RcMeter){ 4, 4 }).quarters);
  }
}

typedef struct {
  const char *text;
  RcMeter meter;
  const char *dance; // NULL: none
} Named;

// Common practice: what is danced to which meter.
static void
test_dances_named_in_a_text(void **state)
{
  (void)state;
  static const Named named[] = {
    { "The Harrowmere Reel", { 4, 4 }, "reel" },
    { "reels", { 2, 2 }, "reel" },
    { "03_Slip-Jigs", { 9, 8 }, "slip jig" },
    { "slipjigs.abc", { 9, 8 }, "slip jig" },
    { "A Barn Dance for Wren", { 4, 4 }, "barn dance" },
    { "MARCHES and polkas", { 2, 4 }, "march" },
    { "Jig or reel", { 6, 8 }, "jig" }, // only one is in 6/8
    { "Jig or reel", { 4, 4 }, "reel" },
    { "The Weir Waltz", { 3, 4 }, "waltz" },
    { "The Weir Waltz", { 4, 4 }, NULL },
    { "The Weir Waltz", { 3, 8 }, "waltz" },
    { "Lock-keepers' March", { 6, 8 }, "march" },
    { "Lock-keepers' March", { 9, 8 }, NULL },
    { "The Slip Jig", { 6, 8 }, "jig" },
    { "Freely reeling jigsaws", { 4, 4 }, NULL },
    { "Reél, Réel", { 4, 4 }, NULL },
    { "The Weir Song", { 4, 4 }, NULL }, // a song may go at any tempo
    { "Swing on the Lock Gate", { 4, 4 }, NULL },
    { "A Ballad of the Weir", { 4, 4 }, NULL },
    { "Bossa of the Weir", { 4, 4 }, NULL },
    { "Night Air", { 4, 4 }, NULL },
    { "Slow Air", { 4, 4 }, NULL },
    { "Reel", { 5, 4 }, NULL },
    { "", { 4, 4 }, NULL },
  };
  for (guint i = 0; i < G_N_ELEMENTS(named); ++i) {
    const char *found = rc_find_dance(named[i].text, named[i].meter);
    if (g_strcmp0(found, named[i].dance) != 0) {
      fail_msg("`%s` in %u/%u: %s", named[i].text, named[i].meter.beats, named[i].meter.unit, found ? found : "none");
    }
  }
}

static void
test_every_dance_has_a_usual_tempo(void **state)
{
  (void)state;
  static const char *const texts[] = { "jig",       "slip jig", "double jig",  "single jig", "slide",
                                       "reel",      "hornpipe", "strathspey",  "polka",      "march",
                                       "waltz",     "mazurka",  "schottische", "barn dance", "two-step",
                                       "quickstep", "foxtrot",  "tango",       "rumba" };
  static const RcMeter meters[] = { { 4, 4 }, { 3, 4 }, { 6, 8 }, { 9, 8 } };
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    guint found = 0;
    for (guint j = 0; j < G_N_ELEMENTS(meters); ++j) {
      const char *dance = rc_find_dance(texts[i], meters[j]);
      found += g_strcmp0(dance, texts[i]) == 0 ? 1 : 0;
      assert_true(!dance || rc_tempo_assume(dance, meters[j]).source == RC_TEMPO_RHYTHM);
    }
    const gboolean in_six_too = !strcmp(texts[i], "march") || !strcmp(texts[i], "two-step");
    assert_int_equal(found, in_six_too ? 2 : 1);
  }
}

// Common practice: whichever meter a dance is written in, the feet go as fast.
static void
test_a_dance_goes_as_fast_in_each_of_its_meters(void **state)
{
  (void)state;
  static const struct {
    const char *dance;
    RcMeter one;
    double one_step; // quarter notes
    RcMeter other;
    double other_step;
  } pairs[] = {
    { "march", { 2, 4 }, 1, { 6, 8 }, 1.5 },     { "march", { 2, 4 }, 1, { 2, 2 }, 2 },
    { "march", { 2, 4 }, 1, { 4, 4 }, 1 },       { "two-step", { 2, 4 }, 1, { 6, 8 }, 1.5 },
    { "polka", { 2, 4 }, 1, { 2, 2 }, 2 },       { "waltz", { 3, 4 }, 1, { 3, 8 }, 0.5 },
    { "mazurka", { 3, 4 }, 1, { 3, 8 }, 0.5 },   { "reel", { 4, 4 }, 2, { 2, 4 }, 1 },
    { "reel", { 2, 2 }, 2, { 4, 4 }, 2 },        { "hornpipe", { 4, 4 }, 2, { 2, 4 }, 1 },
    { "schottische", { 4, 4 }, 2, { 2, 4 }, 1 }, { "barndance", { 4, 4 }, 2, { 2, 4 }, 1 },
    { "strathspey", { 4, 4 }, 1, { 2, 2 }, 1 },  { "foxtrot", { 4, 4 }, 1, { 2, 2 }, 1 },
    { "jig", { 6, 8 }, 1.5, { 12, 8 }, 1.5 },    { "jig", { 6, 8 }, 1.5, { 6, 16 }, 0.75 },
  };
  for (guint i = 0; i < G_N_ELEMENTS(pairs); ++i) {
    assert_near(rc_tempo_assume(pairs[i].dance, pairs[i].one).quarters / pairs[i].one_step,
                rc_tempo_assume(pairs[i].dance, pairs[i].other).quarters / pairs[i].other_step);
  }
}

// In a meter that it does not go to, a dance keeps the notes that it is counted by elsewhere.
static void
test_a_rhythm_is_known_in_any_case_and_meter(void **state)
{
  (void)state;
  static const struct {
    const char *dance, *loud;
    RcMeter meter;
  } homes[] = {
    { "waltz", "WALTZ", { 3, 4 } },
    { "mazurka", "Mazurka", { 3, 4 } },
    { "slip jig", "Slip Jig", { 9, 8 } },
    { "double jig", "DOUBLE jig", { 6, 8 } },
    { "jig", "Jig", { 6, 8 } },
    { "single jig", "Single jig", { 6, 8 } },
    { "slide", "Slide", { 6, 8 } },
    { "reel", "REEL", { 4, 4 } },
    { "hornpipe", "Hornpipe", { 4, 4 } },
    { "schottische", "Schottische", { 4, 4 } },
    { "barndance", "BarnDance", { 4, 4 } },
    { "barn dance", "Barn Dance", { 4, 4 } },
    { "polka", "Polka", { 2, 4 } },
    { "march", "March", { 2, 4 } },
    { "two-step", "Two-Step", { 2, 4 } },
  };
  for (guint i = 0; i < G_N_ELEMENTS(homes); ++i) {
    const RcTempo loud = rc_tempo_assume(homes[i].loud, (RcMeter){ 5, 4 });
    assert_int_equal(loud.source, RC_TEMPO_RHYTHM);
    assert_near(loud.quarters, rc_tempo_assume(homes[i].dance, homes[i].meter).quarters);
  }
}

typedef struct {
  RcMeter meter;
  double least; // of its beats a minute
  double most;
} MeterRange;

// Common practice, not from a book: at what tempo a band would begin a tune of which it knows the meter alone.
static const MeterRange meter_ranges[] = {
  { { 2, 4 }, 95, 130 },  { { 3, 4 }, 115, 155 }, { { 4, 4 }, 95, 130 },  { { 2, 2 }, 75, 110 },
  { { 6, 8 }, 100, 130 }, { { 9, 8 }, 100, 130 }, { { 12, 8 }, 80, 110 }, { { 3, 8 }, 140, 190 },
};

static void
test_an_unknown_rhythm_falls_back_to_the_meter(void **state)
{
  (void)state;
  static const char *const unknown[] = { NULL, "", "goose step of Harrowmere", "waltzes" };
  for (guint i = 0; i < G_N_ELEMENTS(meter_ranges); ++i) {
    const MeterRange *usual = &meter_ranges[i];
    const double beat = (double)rc_meter_beat(usual->meter) / (double)RC_QUARTER;
    for (guint j = 0; j < G_N_ELEMENTS(unknown); ++j) {
      const RcTempo tempo = rc_tempo_assume(unknown[j], usual->meter);
      assert_int_equal(tempo.source, RC_TEMPO_METER);
      if (tempo.quarters < usual->least * beat || tempo.quarters > usual->most * beat) {
        fail_msg("%u/%u at %g beats a minute", usual->meter.beats, usual->meter.unit, tempo.quarters / beat);
      }
    }
  }
}

// A meter that is not in any table keeps its beat: 5/8 goes twice as fast as 5/4, 15/8 in dotted quarters.
static void
test_a_rare_meter_is_timed_by_its_beat(void **state)
{
  (void)state;
  const RcTempo five = rc_tempo_assume(NULL, (RcMeter){ 5, 4 });
  assert_int_equal(five.source, RC_TEMPO_METER);
  assert_near(rc_tempo_assume(NULL, (RcMeter){ 5, 8 }).quarters, five.quarters / 2);
  assert_near(rc_tempo_assume(NULL, (RcMeter){ 15, 8 }).quarters, five.quarters * 1.5);
  assert_near(rc_tempo_assume(NULL, (RcMeter){ 3, 2 }).quarters, five.quarters * 2);
  for (guint unit = 1; unit <= 64; unit *= 2) {
    for (guint beats = 1; beats <= 64; ++beats) {
      const RcTempo tempo = rc_tempo_assume(NULL, (RcMeter){ beats, unit });
      assert_int_equal(tempo.source, RC_TEMPO_METER);
      assert_true(tempo.quarters >= 5 && tempo.quarters <= 1000);
    }
  }
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_every_note_has_its_name_and_key_on_the_piano),
    cmocka_unit_test(test_every_name_is_read_back),
    cmocka_unit_test(test_other_text_is_no_note),
    cmocka_unit_test(test_reading_stops_at_the_given_length),
    cmocka_unit_test(test_moving_by_fifths_keeps_the_spelling_while_it_can),
    cmocka_unit_test(test_transposing_a_chord_moves_every_tone),
    cmocka_unit_test(test_sets_know_what_they_hold),
    cmocka_unit_test(test_german_names),
    cmocka_unit_test(test_german_chords),
    cmocka_unit_test(test_small_german_letters_are_minor),
    cmocka_unit_test(test_german_names_are_not_read_in_english_sheets),
    cmocka_unit_test(test_keys_are_read_in_every_mode),
    cmocka_unit_test(test_key_names),
    cmocka_unit_test(test_moved_keys_have_usual_names),
    cmocka_unit_test(test_nonsense_is_no_key_and_its_place_is_told),
    cmocka_unit_test(test_key_tones),
    cmocka_unit_test(test_minor_triads_and_fifths_of_keys),
    cmocka_unit_test(test_a_mode_has_the_same_steps_on_every_tonic),
    cmocka_unit_test(test_tones_are_spelled_as_the_key_does),
    cmocka_unit_test(test_minor_keys_spell_their_raised_tones),
    cmocka_unit_test(test_tones_are_spelled_near_a_centre),
    cmocka_unit_test(test_tones_beside_a_chord_are_spelled_plainly),
    cmocka_unit_test(test_meters_their_bars_and_beats),
    cmocka_unit_test(test_no_meters),
    cmocka_unit_test(test_tempi),
    cmocka_unit_test_teardown(test_tempi_are_read_alike_in_every_country, restore_locale),
    cmocka_unit_test(test_a_known_rhythm_gives_its_usual_tempo),
    cmocka_unit_test(test_two_names_of_a_dance_have_one_tempo),
    cmocka_unit_test(test_a_rhythm_is_known_in_any_case_and_meter),
    cmocka_unit_test(test_dances_named_in_a_text),
    cmocka_unit_test(test_every_dance_has_a_usual_tempo),
    cmocka_unit_test(test_a_dance_goes_as_fast_in_each_of_its_meters),
    cmocka_unit_test(test_an_unknown_rhythm_falls_back_to_the_meter),
    cmocka_unit_test(test_a_rare_meter_is_timed_by_its_beat),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
