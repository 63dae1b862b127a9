// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chord symbols: every name we print is read back as the same chord, and of what is no chord symbol the place of the
// first character not understood is reported.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/music.h"

#include <stdlib.h>
#include <string.h>

enum {
  SEED = 20260117,
  N_RANDOM_SYMBOLS = 20000 / THINNED,
  N_RANDOM_SETS = 20000 / THINNED,
  N_RANDOM_BYTES = 60000 / THINNED,
  LONGEST_SENTENCE = 6
};

static RcSymbolKind
parse(const char *text, RcChord *chord, gsize *stopped_at)
{
  return rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, chord, stopped_at);
}

static RcChord
read_chord(const char *text)
{
  RcChord chord = { 0, 0, 0 };
  if (parse(text, &chord, NULL) != RC_SYMBOL_CHORD) {
    fail_msg("`%s` is not read as a chord", text);
  }
  return chord;
}

static RcDegrees
degrees(const char *names)
{
  RcDegrees set = 0;
  if (!rc_degrees_parse(names, &set, NULL)) {
    fail_msg("`%s` are no degrees", names);
  }
  return set;
}

static gboolean
chord_equal(const RcChord *a, const RcChord *b)
{
  return a->root == b->root && a->bass == b->bass && a->degrees == b->degrees;
}

// The name of the chord that `text` means, read again, is that chord.
static void
assert_round_trip(const char *text, const RcChord *chord, RcSigns signs)
{
  RcChord again = { 0, 0, 0 };
  gsize stopped_at = 0;
  char *name = rc_chord_name(chord, signs);
  if (parse(name, &again, &stopped_at) != RC_SYMBOL_CHORD) {
    fail_msg("`%s` is named `%s`, which is not read from byte %" G_GSIZE_FORMAT " on", text, name, stopped_at);
  }
  if (!chord_equal(chord, &again)) {
    fail_msg("`%s` is named `%s`, which is another chord: degrees %#x, then %#x", text, name, chord->degrees,
             again.degrees);
  }
  g_free(name);
}

// --------------------------------------------------------------------------------------------------------- degrees

typedef struct {
  RcDegree degree;
  const char *name;
  guint semitones;
  const char *above_c; // the tone when C is the root
} DegreeFacts;

static const DegreeFacts degree_facts[] = {
  { RC_DEGREE_1, "1", 0, "C" },           { RC_DEGREE_FLAT_3, "b3", 3, "Eb" },
  { RC_DEGREE_3, "3", 4, "E" },           { RC_DEGREE_SUS_2, "2", 2, "D" },
  { RC_DEGREE_SUS_4, "4", 5, "F" },       { RC_DEGREE_FLAT_5, "b5", 6, "Gb" },
  { RC_DEGREE_5, "5", 7, "G" },           { RC_DEGREE_SHARP_5, "#5", 8, "G#" },
  { RC_DEGREE_6, "6", 9, "A" },           { RC_DEGREE_DOUBLE_FLAT_7, "bb7", 9, "Bbb" },
  { RC_DEGREE_FLAT_7, "b7", 10, "Bb" },   { RC_DEGREE_7, "7", 11, "B" },
  { RC_DEGREE_FLAT_9, "b9", 1, "Db" },    { RC_DEGREE_9, "9", 2, "D" },
  { RC_DEGREE_SHARP_9, "#9", 3, "D#" },   { RC_DEGREE_11, "11", 5, "F" },
  { RC_DEGREE_SHARP_11, "#11", 6, "F#" }, { RC_DEGREE_FLAT_13, "b13", 8, "Ab" },
  { RC_DEGREE_13, "13", 9, "A" },
};

static void
test_degrees_and_their_spelling(void **state)
{
  (void)state;
  assert_int_equal(G_N_ELEMENTS(degree_facts), RC_N_DEGREES);
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    const DegreeFacts *facts = &degree_facts[i];
    assert_int_equal(facts->degree, i);
    assert_int_equal(degrees(facts->name), 1U << facts->degree);
    assert_int_equal(rc_degree_semitones(facts->degree), facts->semitones);
    assert_string_equal(rc_note_name((RcNote)rc_degree_fifths(facts->degree), RC_SIGNS_ASCII), facts->above_c);
  }
}

static void
test_lists_of_degrees(void **state)
{
  (void)state;
  assert_int_equal(degrees("1 3 b7"), RC_BIT(1) | RC_BIT(3) | RC_BIT(FLAT_7));
  assert_int_equal(degrees("1,3,5"), RC_CHORD_MAJOR);
  assert_int_equal(degrees("  1, b3  b5 "), RC_CHORD_DIMINISHED);
  static const struct {
    const char *text;
    gsize stopped_at;
  } bad[] = { { "", 0 }, { " ", 1 }, { "1 3 x", 4 }, { "1 3 #4", 4 }, { "1 33", 2 }, { "b", 0 }, { "1 3 b", 4 } };
  for (guint i = 0; i < G_N_ELEMENTS(bad); ++i) {
    RcDegrees set = 0;
    gsize stopped_at = 99;
    assert_false(rc_degrees_parse(bad[i].text, &set, &stopped_at));
    assert_int_equal(stopped_at, bad[i].stopped_at);
  }
}

// -------------------------------------------------------------------------------------------------- named qualities

typedef struct {
  const char *suffix; // as we print it
  const char *degrees;
} Quality;

static const Quality qualities[] = {
  { "", "1 3 5" },
  { "m", "1 b3 5" },
  { "7", "1 3 5 b7" },
  { "maj7", "1 3 5 7" },
  { "m7", "1 b3 5 b7" },
  { "dim", "1 b3 b5" },
  { "dim7", "1 b3 b5 bb7" },
  { "m7b5", "1 b3 b5 b7" },
  { "aug", "1 3 #5" },
  { "6", "1 3 5 6" },
  { "m6", "1 b3 5 6" },
  { "m(maj7)", "1 b3 5 7" },
  { "dim(maj7)", "1 b3 b5 7" },
  { "9", "1 3 5 b7 9" },
  { "maj9", "1 3 5 7 9" },
  { "m9", "1 b3 5 b7 9" },
  { "6/9", "1 3 5 6 9" },
  { "m6/9", "1 b3 5 6 9" },
  { "11", "1 3 5 b7 9 11" },
  { "maj11", "1 3 5 7 9 11" },
  { "m11", "1 b3 5 b7 9 11" },
  { "13", "1 3 5 b7 9 11 13" },
  { "maj13", "1 3 5 7 9 11 13" },
  { "m13", "1 b3 5 b7 9 11 13" },
  { "aug7", "1 3 #5 b7" },
  { "sus2", "1 2 5" },
  { "sus4", "1 4 5" },
  { "sus24", "1 2 4 5" },
  { "7sus2", "1 2 5 b7" },
  { "7sus4", "1 4 5 b7" },
  { "9sus4", "1 4 5 b7 9" },
  { "5", "1 5" },
  // Built on those.
  { "(b5)", "1 3 b5" },
  { "7b5", "1 3 b5 b7" },
  { "7b9", "1 3 5 b7 b9" },
  { "7#9", "1 3 5 b7 #9" },
  { "7#11", "1 3 5 b7 #11" },
  { "7b13", "1 3 5 b7 b13" },
  { "7b9#11", "1 3 5 b7 b9 #11" },
  { "maj7#11", "1 3 5 7 #11" },
  { "add9", "1 3 5 9" },
  { "madd9", "1 b3 5 9" },
};

static const RcNote basses[] = { 0, 5, 6, -2, -9, 12 }; // C B F# Bb Bbb B#

static void
assert_quality(const Quality *quality, RcNote root, RcNote bass)
{
  const char *slash = root == bass ? "" : "/";
  const char *bass_name = root == bass ? "" : rc_note_name(bass, RC_SIGNS_ASCII);
  char *text = g_strconcat(rc_note_name(root, RC_SIGNS_ASCII), quality->suffix, slash, bass_name, NULL);
  const RcChord chord = read_chord(text);
  const RcChord expected = { root, bass, degrees(quality->degrees) };
  if (!chord_equal(&chord, &expected)) {
    fail_msg("`%s` has the degrees %#x, expected %#x (%s)", text, chord.degrees, expected.degrees, quality->degrees);
  }
  char *name = rc_chord_name(&chord, RC_SIGNS_ASCII);
  assert_string_equal(name, text);
  assert_round_trip(text, &chord, RC_SIGNS_UNICODE);
  g_free(name);
  g_free(text);
}

static void
test_every_quality_on_every_root_over_several_basses(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(qualities); ++i) {
    for (int root = RC_NOTE_LOWEST; root <= RC_NOTE_HIGHEST; ++root) {
      assert_quality(&qualities[i], (RcNote)root, (RcNote)root);
      for (guint j = 0; j < G_N_ELEMENTS(basses); ++j) {
        assert_quality(&qualities[i], (RcNote)root, basses[j]);
      }
    }
  }
}

// Names are printed with the real signs in the roots and in the numbers, and nowhere else.
static void
test_names_with_real_signs(void **state)
{
  (void)state;
  static const struct {
    const char *ascii;
    const char *real;
  } names[] = {
    { "Bbm7b5/Ab", "B♭m7♭5/A♭" }, { "F#7b9#11", "F♯7♭9♯11" }, { "Cdim", "Cdim" },     { "Ebsus2", "E♭sus2" },
    { "C(b5)", "C(♭5)" },         { "Gadd9/B", "Gadd9/B" },   { "C##7#9", "C♯♯7♯9" }, { "Bbbmaj7", "B♭♭maj7" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    const RcChord chord = read_chord(names[i].ascii);
    char *real = rc_chord_name(&chord, RC_SIGNS_UNICODE);
    assert_string_equal(real, names[i].real);
    g_free(real);
  }
}

// --------------------------------------------------------------------------------------------------- same spellings

enum { MOST_SPELLINGS = 12 };

// Each line asks for one chord.
static const char *const spellings[][MOST_SPELLINGS] = {
  { "Cm", "Cmi", "Cmin", "Cminor", "C-", "C−", "C–", "CMIN" },
  { "C", "CM", "Cma", "Cmaj", "CMAJ", "CMajor" },
  { "Cmaj7", "CM7", "Cma7", "CMaj7", "Cmajor7", "CΔ", "CΔ7", "C∆7", "Cj7", "C7M", "C^7", "C^" },
  { "Cm7b5", "Cm7♭5", "Cø", "Cø7", "CØ7", "Cmin7(b5)", "C-7b5", "Chdim7", "Cm7-5", "Cm7(5-)", "Cm7/5-" },
  { "Cdim7", "Co7", "C°7", "Cº7", "C07", "Cdim.7", "Cm6b5", "Cm6(b5)", "Cdimadd6" },
  { "Cdim", "C0", "C°", "Cdim." },
  { "C7b9", "C7♭9", "C7b2", "C7–9", "C7−9", "C7-9" },
  { "C7#9", "C7♯9", "C7#2", "C7+9" },
  { "Cm(maj7)", "Cm#7", "Cm(#7)", "C(m)#7" },
  { "Caug", "C+", "C(+)" },
  { "Cm(add9)", "Cmadd9", "Cm add 9" }, // no major "ma"
  { "Cm(alt)", "Cmalt" },
  { "F#dim", "F#0" },
  { "Caug", "C+", "C(#5)", "C+5", "C5+", "Caug5", "Caug.", "C(5+)", "C(5#)" },
  { "Caug7", "C+7", "C7#5", "C7+5", "C7♯5", "C7(#5)", "C5+/7", "C7/5+", "Caug5/7" },
  { "C6/9", "C69", "C6(9)", "C6add9", "C6,9", "C6 / 9" },
  { "Cm(maj7)", "CmM7", "Cm/maj7", "CminMaj7", "C-Δ", "CmΔ7", "Cm(M7)" },
  { "Csus4", "Csus", "C(sus4)", "Csus." },
  { "C7sus4", "C7sus", "Csus7", "C7(sus4)", "C7/4", "C7(4)" },
  { "C9sus4", "C7sus (add 9)", "C9(4)" },
  { "C9", "C9th", "Cdom9", "C7(9)", "C7/9", "C7add9" },
  { "C7b9", "C7-9", "C7(b9)", "C7♭9", "C7addb9", "C7(♭9)", "C7(9-)", "C7/9-", "C7(9b)" },
  { "C7#9", "C7(9+)", "C7/9+", "C7+9" },
  { "C7b5b9", "C7(5-,9-)", "C7(5-/9-)" },
  { "C7alt", "C7alt.", "Calt." },
  { "Cadd9", "C(add9)", "Cadd2", "C/add9", "C(9)", "C (add 9)", "C add. 9" },
  { "Cmadd9", "Cm2", "Cmin2" },
  { "Cmaj7add9", "Cmaj7 (add 2)" },
  { "Csus2add6", "C2 (add 6)" },
  { "C5", "C(no3)", "Cno3rd", "Comit3", "C(no 3rd)", "C (omit 3)" },
  { "C7b9#11", "C7(b9,#11)", "C7 b9 #11", "C7(♭9 ♯11)", "C7[b9 #11]" },
  { "C/Bb", "C/bb", "C/B♭", "C / Bb", "C/ Bb", "C/Bflat", "C/Bbm" },
  { "Bb7", "Bflat7", "B flat 7", "B-flat7", "BFLAT7" },
  { "F#m", "Fsharpm", "F Sharp minor" },
  { "D", "D*", "D**", "D\u00A0", "D \u00A0*" },
};

static void
test_spellings_of_the_same_chord(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(spellings); ++i) {
    const RcChord first = read_chord(spellings[i][0]);
    for (guint j = 1; j < MOST_SPELLINGS && spellings[i][j]; ++j) {
      const RcChord other = read_chord(spellings[i][j]);
      if (!chord_equal(&first, &other)) {
        fail_msg("`%s` and `%s` are not the same chord", spellings[i][0], spellings[i][j]);
      }
    }
  }
}

// ---------------------------------------------------------------------------------------------------------- slashes

typedef struct {
  const char *text;
  RcNote root;
  const char *degrees;
  RcNote bass;
} Slash;

// A slash before a note names the bass; before anything else it only separates.
static const Slash slashes[] = {
  { "C/G", 0, "1 3 5", 1 },
  { "C/g", 0, "1 3 5", 1 },
  { "C/E", 0, "1 3 5", 4 },
  { "C/b", 0, "1 3 5", 5 },
  { "C/bb", 0, "1 3 5", -2 },
  { "C/F#", 0, "1 3 5", 6 },
  { "C/C", 0, "1 3 5", 0 },
  { "Am7/G", 3, "1 b3 5 b7", 1 },
  { "C/b9", 0, "1 3 5 b9", 0 }, // B and a 9 are no note
  { "C/9", 0, "1 3 5 9", 0 },
  { "C6/9", 0, "1 3 5 6 9", 0 },
  { "C6/9/E", 0, "1 3 5 6 9", 4 },
  { "C7/9", 0, "1 3 5 b7 9", 0 },
  { "C7/13/Bb", 0, "1 3 5 b7 13", -2 },
  { "Cm/maj7", 0, "1 b3 5 7", 0 },
  { "Cm/maj7/Eb", 0, "1 b3 5 7", -3 },
  { "Cm/add9", 0, "1 b3 5 9", 0 },
  { "Cm/A", 0, "1 b3 5", 3 },
  { "C7(b9)/E", 0, "1 3 5 b7 b9", 4 },
  { "D / F#", 2, "1 3 5", 6 },
  { "G/Bm", 1, "1 3 5", 5 },
  { "G/bm", 1, "1 3 5", 5 },
};

static void
test_slashes_before_a_bass_and_before_a_number(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(slashes); ++i) {
    const RcChord chord = read_chord(slashes[i].text);
    const RcChord expected = { slashes[i].root, slashes[i].bass, degrees(slashes[i].degrees) };
    if (!chord_equal(&chord, &expected)) {
      fail_msg("`%s` has the degrees %#x over %s", slashes[i].text, chord.degrees,
               rc_note_name(chord.bass, RC_SIGNS_ASCII));
    }
  }
}

static void
test_the_bass_is_among_the_tones(void **state)
{
  (void)state;
  const RcChord on_f_sharp = read_chord("C7/F#");
  assert_int_equal(rc_chord_tones(&on_f_sharp), 1 << 0 | 1 << 4 | 1 << 7 | 1 << 10 | 1 << 6);
  const RcChord inverted = read_chord("Bm/D");
  assert_int_equal(rc_chord_tones(&inverted), 1 << 11 | 1 << 2 | 1 << 6);
  assert_int_equal(rc_chord_degree_pc(&inverted, RC_DEGREE_1), 11);
  assert_int_equal(rc_chord_degree_pc(&inverted, RC_DEGREE_FLAT_3), 2);
  assert_int_equal(rc_degrees_tones(RC_CHORD_DOMINANT, 7), 1 << 7 | 1 << 11 | 1 << 2 | 1 << 5); // G B D F
}

static void
test_silence_is_no_chord_and_no_mistake(void **state)
{
  (void)state;
  static const char *const silent[] = { "N.C.", "N.C", "N", "NC", "NC.", "n.c.", "nc" };
  static const char *const unread[] = { "N.", "N.C.x", "N.C.C", "n", "-", "N.D." };
  RcChord chord;
  for (guint i = 0; i < G_N_ELEMENTS(silent); ++i) {
    assert_int_equal(parse(silent[i], &chord, NULL), RC_SYMBOL_SILENT);
    assert_int_equal(rc_chord_parse(silent[i], strlen(silent[i]), RC_NAMES_GERMAN, &chord, NULL), RC_SYMBOL_SILENT);
  }
  for (guint i = 0; i < G_N_ELEMENTS(unread); ++i) {
    gsize stopped_at = 99;
    assert_int_equal(parse(unread[i], &chord, &stopped_at), RC_SYMBOL_UNREAD);
    assert_int_equal(stopped_at, 0);
  }
}

static void
test_only_the_given_length_is_read(void **state)
{
  (void)state;
  RcChord chord = { 0, 0, 0 };
  assert_int_equal(rc_chord_parse("Cm7xyz", 3, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
  assert_int_equal(chord.degrees, degrees("1 b3 5 b7"));
  assert_int_equal(rc_chord_parse("Cm7", 1, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
  assert_int_equal(chord.degrees, RC_CHORD_MAJOR);
  assert_int_equal(rc_chord_parse("N.C.", 2, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_UNREAD);
  assert_int_equal(rc_chord_parse("C", 0, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_UNREAD);
}

// A reader gives the place of a symbol within a line: what comes after could make another chord of it.
static void
test_what_follows_the_length_changes_nothing(void **state)
{
  (void)state;
  static const struct {
    const char *text, *after;
    const char *tones; // NULL: no chord
  } cases[] = {
    { "C7/9", "-", "1 3 5 b7 9" },  { "C7/9", "5-", "1 3 5 b7 9" }, { "C7/9-", "x", "1 3 5 b7 b9" },
    { "C7b9", "x", "1 3 5 b7 b9" }, { "C7b", "9", NULL },           { "C7b1", "3", NULL },
    { "Cadd", "9", NULL },          { "Cadd♭", "9", NULL },         { "Cadd♭", "♭7", NULL },
    { "Cadd9", "th", "1 3 5 9" },   { "C7/", "9", NULL },           { "C/", "E", NULL },
    { "Cdim", ".", "1 b3 b5" },     { "C5", "+", "1 5" },           { "C-", "5", "1 b3 5" },
    { "C+", "5", "1 3 #5" },        { "Cm", "aj7", "1 b3 5" },      { "C", "flat", "1 3 5" },
    { "Bfla", "t", NULL },          { "CM", "A", "1 3 5" },         { "Cma", "dd9", "1 3 5" },
    { "Cmadd", "9", NULL },         { "C7(9", ")", NULL },          { "C7,", ",9", "1 3 5 b7" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcChord chord = { 0, 0, 0 };
    char *text = g_strconcat(cases[i].text, cases[i].after, NULL);
    const RcSymbolKind kind = rc_chord_parse(text, strlen(cases[i].text), RC_NAMES_ENGLISH, &chord, NULL);
    if (kind != (cases[i].tones ? RC_SYMBOL_CHORD : RC_SYMBOL_UNREAD)) {
      fail_msg("`%s` before `%s`", cases[i].text, cases[i].after);
    }
    assert_int_equal(chord.degrees, cases[i].tones ? degrees(cases[i].tones) : 0);
    g_free(text);
  }
}

// Who writes a number twice means something else, in whatever words.
static void
test_a_number_is_said_once(void **state)
{
  (void)state;
  static const char *const twice[] = { "C7 7th",   "C7 dom",   "C7 dom7",  "C9 9th", "Cdom9 9", "C9th 9", "Cdom11 11",
                                       "C11th 11", "C11 11th", "C13th 13", "C6 6",   "C6 69",   "C69 6",  "C69 9" };
  for (guint i = 0; i < G_N_ELEMENTS(twice); ++i) {
    RcChord chord = { 0, 0, 0 };
    if (rc_chord_parse(twice[i], strlen(twice[i]), RC_NAMES_ENGLISH, &chord, NULL) != RC_SYMBOL_UNREAD) {
      fail_msg("`%s` is read", twice[i]);
    }
  }
}

// What is left out has a plain number: nobody writes that a chord has no flat ninth, or that a root is added.
static void
test_only_plain_degrees_are_left_out(void **state)
{
  (void)state;
  static const char *const altered[] = { "maj7", "bb7", "b13", "#11", "M7", "b3", "b5",
                                         "#5",   "b6",  "b7",  "b9",  "#9", "#4" };
  RcChord chord = { 0, 0, 0 };
  for (guint i = 0; i < G_N_ELEMENTS(altered); ++i) {
    char *text = g_strdup_printf("C7(no%s)", altered[i]);
    assert_int_equal(rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_UNREAD);
    g_free(text);
  }
  assert_int_equal(rc_chord_parse("Caddroot", 8, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_UNREAD);
  assert_int_equal(rc_chord_parse("Cadd-9", 6, RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_UNREAD); // 9 or flat 9?
  assert_int_equal(read_chord("C7(noroot)").degrees, degrees("3 5 b7"));
  assert_int_equal(read_chord("C6no6").degrees, degrees("1 3 5"));
  assert_int_equal(read_chord("C7(no5)(9)").degrees, degrees("1 3 b7 9")); // the bracket ends what is left out
  assert_int_equal(read_chord("C7(no5,9)").degrees, degrees("1 3 b7"));
}

// ----------------------------------------------------------------------------------------- what is not understood

typedef struct {
  const char *text;
  gsize stopped_at; // bytes before the first character not understood; the text's length where its end is too early
} Unread;

static const Unread unread_symbols[] = {
  { "", 0 },
  { "H", 0 },
  { "Hm", 0 },
  { "h", 0 },
  { "c", 0 },
  { " C", 0 },
  { "♭C", 0 },
  { "7", 0 },
  { "%", 0 },
  { "tacet", 0 },
  { "Cx", 1 },
  { "Es", 1 },
  { "C)", 1 },
  { "C//E", 1 },
  { "C\"", 1 },
  { "C7x", 2 },
  { "C7/", 2 }, // nothing after the slash
  { "C77", 2 }, // the seventh is there already
  { "C7♯", 2 }, // a sharp of what?
  { "C7b", 2 },
  { "C/H", 2 }, // the slash is fine, H is not
  { "Cm/H", 3 },
  { "C7m", 2 }, // minor comes after the root; only a capital M is the major seventh of C7M
  { "C(", 2 },  // at the end: the bracket stays open
  { "C()", 2 }, // an empty bracket
  { "C[]", 2 },
  { "C((b9))", 2 }, // a bracket in a bracket
  { "C(b9", 4 },    // at the end
  { "C7(b9", 5 },   // at the end
  { "C(b9))", 5 },
  { "C(b9)x", 5 },
  { "Cmmaj", 2 }, // a major sign that changes nothing
  { "Cadd", 4 },  // at the end: which tone?
  { "Cadd8", 4 },
  { "Cno", 3 },
  { "Cno9th7b", 7 }, // C, no 9th, 7, then a lone flat
  { "Csus5", 4 },    // 5 comes after the root
  { "Cmaj7/H", 6 },
  { "Cmaj7/", 5 },
  { "Cmin7b5x", 7 },
  { "C/Gb#", 2 },             // no note, and no word begins with G
  { "C(no1)(no3)(no5)", 16 }, // at the end: nothing is left to sound
  // Characters of two to four bytes: ♭ ♯ Δ ø ° 𝄫 are 3, 3, 2, 2, 2 and 4 long.
  { "C♭x", 4 },
  { "F♯m♭", 5 },
  { "CΔx", 3 },
  { "Cø7x", 4 },
  { "C°7/H", 5 },
  { "B𝄫7x", 6 },
  { "Cm7♭5x", 7 },
  { "C7♭", 2 },
  { "C7(♭9,♯11", 13 }, // at the end: 3 bytes of C7(, 3 + 1 of flat 9, a comma, 3 + 2 of sharp 11
  { "Cé", 1 },
  // What says something twice, or could mean two things.
  { "EmA7", 2 }, // two chords
  { "CmA", 2 },
  { "Cmajmaj7", 4 },
  { "CMM", 2 },
  { "CMA", 1 },
  { "Cj", 1 },
  { "C66", 2 },
  { "C6(6)", 3 },
  { "C9(9)", 3 },
  { "C11(11)", 4 },
  { "C13(13)", 4 },
  { "C7(9)(9)", 6 },
  { "C7b5b5", 4 },
  { "C7b9(b9)", 5 },
  { "C5+7", 1 },
  { "C(7+)", 2 }, // a major seventh in some countries
  { "C6/4", 3 },  // a second inversion in figured bass
  { "Cm7/4", 4 },
  { "C/Bmaj", 2 },
  { "Bflats", 5 },
  { "Bfl7", 1 },
  { "C*7", 1 },
  { "Am.", 2 }, // more likely the end of a sentence
  { "C7 é", 3 },
};

static void
assert_stops_at(const char *text, gsize expected)
{
  RcChord chord = { 99, 99, 99 };
  gsize stopped_at = 99;
  const RcSymbolKind kind = parse(text, &chord, &stopped_at);
  if (kind != RC_SYMBOL_UNREAD) {
    fail_msg("`%s` is read as a chord", text);
  }
  if (stopped_at != expected) {
    fail_msg("`%s` stops at byte %" G_GSIZE_FORMAT ", expected %" G_GSIZE_FORMAT, text, stopped_at, expected);
  }
  assert_int_equal(parse(text, &chord, NULL), RC_SYMBOL_UNREAD);
  assert_int_equal(chord.degrees, 99); // untouched
}

static void
test_the_first_character_not_understood(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(unread_symbols); ++i) {
    assert_stops_at(unread_symbols[i].text, unread_symbols[i].stopped_at);
  }
}

// A character that no chord symbol has is the first not understood wherever a quality ends.
static void
test_a_stray_character_behind_a_chord(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(qualities); ++i) {
    char *text = g_strconcat("E", qualities[i].suffix, "?", NULL);
    assert_stops_at(text, strlen(text) - 1);
    g_free(text);
  }
}

// ---------------------------------------------------------------------------------------------------- English words

// Texts in the place of chords in scores and song sheets that are no chords.
static const char *const words_in_scores[] = {
  "Fine",    "Coda",    "Bad",     "Fade",    "Add",     "Am I",    "Gin",    "Capo",  "Chorus",     "Bridge",
  "Break",   "Da Capo", "D.C.",    "D.S.",    "Ending",  "Entry",   "End",    "Da",    "Dal Segno",  "Cresc.",
  "Dim",     "Dolce",   "A tempo", "Al Fine", "Allegro", "Andante", "Adagio", "Bass",  "Band",       "All",
  "Alto",    "Both",    "Can",     "Come",    "Did",     "Day",     "Each",   "Fill",  "Free",       "Full",
  "Girls",   "Boys",    "Gtr.",    "Go on",   "Am not",  "Be",      "By",     "Do it", "A cappella", "FULL",
  "GIRLS",   "FADE",    "ADD",     "END",     "Emma",    "Emm",     "Bmaj.a", "Amen",  "Ebb tide",   "Cadd",
  "Ad lib.", "Ab ovo",  "Gb.",     "fine",    "a",
};

static void
test_words_in_scores_are_no_chords(void **state)
{
  (void)state;
  RcChord chord;
  for (guint i = 0; i < G_N_ELEMENTS(words_in_scores); ++i) {
    if (parse(words_in_scores[i], &chord, NULL) != RC_SYMBOL_UNREAD) {
      fail_msg("`%s` is read as a chord", words_in_scores[i]);
    }
  }
}

#define WORD_LIST "/usr/share/dict/american-english" // of Debian's wamerican

// The words that are spelled as chords are, beside the letters A to G.
static const char *const words_like_chords =
  "AM Ab Abm Am Ama Aped BM Bb Bbb Bm Bo CM Cb Cm Co Db Do EM Ebb Em FM Fm GM Gb Gm Go";

static int
compare_words(gconstpointer a, gconstpointer b, gpointer data)
{
  (void)data;
  return strcmp(a, b);
}

// Takes the word over.
static void
add_if_chord(GTree *read, char *word)
{
  RcChord chord;
  if (strlen(word) > 1 && parse(word, &chord, NULL) == RC_SYMBOL_CHORD) {
    g_tree_insert(read, word, word);
  } else {
    g_free(word);
  }
}

static gboolean
append_word(gpointer word, gpointer value, gpointer line)
{
  (void)value;
  g_string_append_printf(line, "%s%s", ((GString *)line)->len ? " " : "", (const char *)word);
  return FALSE;
}

// Of some 300,000 English words, in small letters, in capitals and with the first one capital, 26 are read.
static void
test_english_words_are_no_chords(void **state)
{
  (void)state;
  char *text = NULL;
  gsize length = 0;
  if (!g_file_get_contents(WORD_LIST, &text, &length, NULL)) {
    skip();
  }
  GTree *read = g_tree_new_full(compare_words, NULL, g_free, NULL);
  guint n_words = 0;
  for (const char *word = text; word < text + length; ++n_words) {
    // By its length: where strings are checked strictly, splitting the text would read it to its end for each word
    const char *end = memchr(word, '\n', (gsize)(text + length - word));
    assert_non_null(end);
    char *capitalised = g_ascii_strdown(word, end - word);
    *capitalised = g_ascii_toupper(*capitalised);
    add_if_chord(read, capitalised);
    add_if_chord(read, g_ascii_strdown(word, end - word));
    add_if_chord(read, g_ascii_strup(word, end - word));
    word = end + 1;
  }
  assert_true(n_words > 100000);
  GString *found = g_string_new(NULL);
  g_tree_foreach(read, append_word, found);
  assert_string_equal(found->str, words_like_chords);
  g_string_free(found, TRUE);
  g_tree_destroy(read);
  g_free(text);
}

// ---------------------------------------------------------------------------------------------------------- chance

static const char *const chance_words[] = {
  "m",     "mi",     "min",  "-",     "M",      "maj",  "maj7",  "Δ",    "dim",   "o",     "°",     "ø",
  "aug",   "+",      "alt",  "sus",   "sus2",   "sus4", "2",     "4",    "5",     "6",     "69",    "7",
  "9",     "11",     "13",   "dom7",  "7M",     "b5",   "#5",    "b9",   "#9",    "#11",   "b13",   "♭9",
  "♯11",   "-5",     "+5",   "-9",    "#7",     "add9", "add2",  "add4", "add11", "add13", "add6",  "addb6",
  "add#4", "addb3",  "add3", "addM7", "addbb7", "no3",  "no5",   "no1",  "omit3", "(b9)",  "(#11)", "(add9)",
  "(no5)", "(maj7)", "(9-)", "5+",    "(4)",    "^",    "0",     "aug5", "flat",  "*",     "alt.",  "add 9",
  "(",     ")",      ",",    " ",     "/",      "/9",   "/maj7", "th",
};

// Some words in a row, after a root and perhaps before a bass; often no chord symbol at all.
static char *
chance_sentence(GRand *chance)
{
  GString *text = g_string_new(rc_note_name((RcNote)g_rand_int_range(chance, RC_NOTE_LOWEST, RC_NOTE_HIGHEST + 1), 0));
  for (int words = g_rand_int_range(chance, 0, LONGEST_SENTENCE + 1); words > 0; --words) {
    g_string_append(text, chance_words[g_rand_int_range(chance, 0, G_N_ELEMENTS(chance_words))]);
  }
  if (g_rand_int_range(chance, 0, 4) == 0) {
    const RcNote bass = (RcNote)g_rand_int_range(chance, RC_NOTE_LOWEST, RC_NOTE_HIGHEST + 1);
    g_string_append_printf(text, "/%s", rc_note_name(bass, RC_SIGNS_ASCII));
  }
  return g_string_free(text, FALSE);
}

static void
test_chance_symbols_are_read_back(void **state)
{
  (void)state;
  GRand *chance = g_rand_new_with_seed(SEED);
  for (guint read = 0; read < N_RANDOM_SYMBOLS;) {
    RcChord chord = { 0, 0, 0 };
    gsize stopped_at = 0;
    char *text = chance_sentence(chance);
    if (parse(text, &chord, &stopped_at) == RC_SYMBOL_CHORD) {
      assert_round_trip(text, &chord, RC_SIGNS_ASCII);
      assert_round_trip(text, &chord, RC_SIGNS_UNICODE);
      ++read;
    } else if (stopped_at > strlen(text)) {
      fail_msg("`%s` stops after its end, at %" G_GSIZE_FORMAT, text, stopped_at);
    }
    g_free(text);
  }
  g_rand_free(chance);
}

// A symbol for any set of degrees: the root alone, then what is wanted. "sus" comes first, for it takes thirds away.
static char *
symbol_of_degrees(RcDegrees wanted)
{
  static const char *const suspensions[] = { "", "sus2", "sus4", "sus24" };
  GString *text = g_string_new("Dped");
  g_string_append(text, suspensions[(wanted & RC_SUSPENDED) >> RC_DEGREE_SUS_2]);
  g_string_append(text, wanted & RC_BIT(1) ? "" : "no1");
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    if (wanted & (1U << i) & ~(RC_SUSPENDED | RC_BIT(1))) {
      g_string_append_printf(text, "add%s", i == RC_DEGREE_7 ? "M7" : degree_facts[i].name);
    }
  }
  return g_string_free(text, FALSE);
}

static void
assert_set_round_trip(RcDegrees wanted)
{
  char *text = symbol_of_degrees(wanted);
  const RcChord chord = read_chord(text);
  assert_int_equal(chord.degrees, rc_degrees_settle(wanted)); // see `spellings`
  assert_round_trip(text, &chord, RC_SIGNS_ASCII);
  assert_round_trip(text, &chord, RC_SIGNS_UNICODE);
  g_free(text);
}

static void
test_chance_sets_of_tones_are_read_back(void **state)
{
  (void)state;
  GRand *chance = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < N_RANDOM_SETS; ++i) {
    assert_set_round_trip((RcDegrees)g_rand_int_range(chance, 1, 1 << RC_N_DEGREES));
  }
  for (guint i = 0; i < RC_N_DEGREES; ++i) { // small sets, which chance seldom gives
    for (guint j = 0; j < RC_N_DEGREES; ++j) {
      assert_set_round_trip(1U << i | 1U << j);
    }
  }
  g_rand_free(chance);
}

// A copy of exactly its length, so that reading after it is caught.
static void
assert_harmless(const char *bytes, gsize length)
{
  char *copy = malloc(length); // never NULL, as g_memdup2() is of nothing
  memcpy(copy, bytes, length);
  for (RcNames names = RC_NAMES_ENGLISH; names <= RC_NAMES_GERMAN; ++names) {
    RcChord chord = { 0, 0, 0 };
    gsize stopped_at = 0;
    const RcSymbolKind kind = rc_chord_parse(copy, length, names, &chord, &stopped_at);
    if (kind == RC_SYMBOL_CHORD) {
      assert_round_trip("bytes", &chord, RC_SIGNS_ASCII);
    }
    assert_true(stopped_at <= length);
  }
  free(copy);
}

// Any bytes, and bytes that chord symbols are made of.
static void
test_chance_bytes_do_no_harm(void **state)
{
  (void)state;
  static const char likely[] = "CDEFGABHbb##msujdi79165431/()[],. +-°øΔ♭♯𝄫−addnoN";
  GRand *chance = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < N_RANDOM_BYTES; ++i) {
    char bytes[24];
    const gsize length = (gsize)g_rand_int_range(chance, 0, sizeof bytes + 1);
    for (gsize j = 0; j < length; ++j) {
      const gboolean any = i % 3 == 0;
      bytes[j] = any ? (char)g_rand_int_range(chance, -128, 128) : likely[g_rand_int_range(chance, 0, sizeof likely)];
    }
    assert_harmless(bytes, length);
  }
  g_rand_free(chance);
}

static void
test_every_beginning_of_a_symbol_does_no_harm(void **state)
{
  (void)state;
  static const char *const longest[] = { "B𝄫min7(♭5,♯11)add♭13no9th/F𝄪", "Fismaj7sus24(omit3)/ces",
                                         "C7alt(addbb7)/9/B♭♭", "B flat7alt.(9-/5+) (add 13th) / E flatm*" };
  for (guint i = 0; i < G_N_ELEMENTS(longest); ++i) {
    for (gsize length = 0; length <= strlen(longest[i]); ++length) {
      assert_harmless(longest[i], length);
    }
  }
}

// A chart keeps the player's own spelling and sets its signs: a `b` is a flat but where it names a bass.
static void
test_a_symbol_as_written_with_real_signs(void **state)
{
  (void)state;
  static const char *const shown[][2] = {
    { "Abdim7", "A♭dim7" }, { "F#m7b5/C#", "F♯m7♭5/C♯" }, { "Bbb", "B♭♭" },       { "C7(b9)", "C7(♭9)" },
    { "G/b", "G/b" },       { "G/ b", "G/ b" },           { "G/bb", "G/b♭" },     { "Bb/ bb", "B♭/ b♭" },
    { "C7/b9", "C7/♭9" },   { "C7/b9/b", "C7/♭9/b" },     { "C7/ b9", "C7/ ♭9" }, { "Dsus4", "Dsus4" },
    { "C♯m7♭5", "C♯m7♭5" }
  };
  for (guint i = 0; i < G_N_ELEMENTS(shown); ++i) {
    const RcSymbol symbol = { .text = shown[i][0], .kind = RC_SYMBOL_CHORD };
    char *real = rc_symbol_shown(&symbol, RC_SIGNS_UNICODE);
    char *plain = rc_symbol_shown(&symbol, RC_SIGNS_ASCII);
    assert_string_equal(real, shown[i][1]);
    assert_string_equal(plain, shown[i][0]);
    g_free(plain);
    g_free(real);
  }
  const RcSymbol unread = { .text = "blob#", .kind = RC_SYMBOL_UNREAD };
  char *text = rc_symbol_shown(&unread, RC_SIGNS_UNICODE);
  assert_string_equal(text, "blob#");
  g_free(text);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_a_symbol_as_written_with_real_signs),
    cmocka_unit_test(test_degrees_and_their_spelling),
    cmocka_unit_test(test_lists_of_degrees),
    cmocka_unit_test(test_every_quality_on_every_root_over_several_basses),
    cmocka_unit_test(test_names_with_real_signs),
    cmocka_unit_test(test_spellings_of_the_same_chord),
    cmocka_unit_test(test_slashes_before_a_bass_and_before_a_number),
    cmocka_unit_test(test_the_bass_is_among_the_tones),
    cmocka_unit_test(test_silence_is_no_chord_and_no_mistake),
    cmocka_unit_test(test_only_the_given_length_is_read),
    cmocka_unit_test(test_what_follows_the_length_changes_nothing),
    cmocka_unit_test(test_a_number_is_said_once),
    cmocka_unit_test(test_only_plain_degrees_are_left_out),
    cmocka_unit_test(test_the_first_character_not_understood),
    cmocka_unit_test(test_a_stray_character_behind_a_chord),
    cmocka_unit_test(test_words_in_scores_are_no_chords),
    cmocka_unit_test(test_english_words_are_no_chords),
    cmocka_unit_test(test_chance_symbols_are_read_back),
    cmocka_unit_test(test_chance_sets_of_tones_are_read_back),
    cmocka_unit_test(test_chance_bytes_do_no_harm),
    cmocka_unit_test(test_every_beginning_of_a_symbol_does_no_harm),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
