// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// MusicXML 4.0: what is played, for how long, over which melody. All lengths, in quarter notes, and all tones are
// worked out by hand from the standard's text; the 33 kinds are held against kinds.tsv in test_kinds.c.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "heard.h"

#define HEAD                                                                                                           \
  "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\"><work><work-title>Weir</work-title>"    \
  "</work><part-list/>\n"
#define PART(id, measures) "<part id=\"" id "\">" measures "</part>"
#define SCORE(measures) HEAD PART("P1", measures) "</score-partwise>\n"
#define MEASURE(content) "\n<measure>" content "</measure>"
#define FOUR "<attributes><divisions>4</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
#define FIRST(content) MEASURE(FOUR content)
#define CHORD(step, kind) "<harmony><root><root-step>" step "</root-step></root><kind>" kind "</kind></harmony>"
#define MAJOR(step) CHORD(step, "major")
#define LAST(n) "<duration>" n "</duration>"
#define NOTE(step, n) "<note><pitch><step>" step "</step><octave>4</octave></pitch>" LAST(n) "</note>"
#define REST(n) "<note><rest/>" LAST(n) "</note>"
#define BAR(step) MEASURE(MAJOR(step) REST("16"))
#define MARKED(step, marks) MEASURE(marks MAJOR(step) REST("16"))
#define OPENS "<barline location=\"left\"><repeat direction=\"forward\"/></barline>"
#define CLOSES "<barline location=\"right\"><repeat direction=\"backward\"/></barline>"
#define CLOSES_3 "<barline location=\"right\"><repeat direction=\"backward\" times=\"3\"/></barline>"
#define ENDING(n, type) "<barline><ending number=\"" n "\" type=\"" type "\"/></barline>"
#define SOUND(what) "<direction><direction-type><words/></direction-type><sound " what "/></direction>"
#define WORDS(text) "<direction><direction-type><words>" text "</words></direction-type></direction>"

// ----------------------------------------------------------------------------------------------------------- lengths

static void
test_lengths(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST(MAJOR("D") REST("16")) BAR("G")), "Weir: D 4 G 4" },
    { SCORE(FIRST(MAJOR("D") NOTE("D", "4") NOTE("E", "8") MAJOR("G") NOTE("G", "4"))), "Weir: D 3 G 1" },
    // held over the bar line, and an empty bar as long as the meter says
    { SCORE(FIRST(MAJOR("D") REST("16")) MEASURE(REST("8") MAJOR("A") REST("8")) MEASURE("")), "Weir: D 6 A 6" },
    // a pickup is as long as its notes; before the first chord nothing is wanted
    { SCORE(FIRST(NOTE("A", "4")) BAR("D")), "Weir: . 1 D 4" },
    // chord notes begin with the note before; grace notes take no time, cue notes theirs
    { SCORE(FIRST(MAJOR("D") NOTE("D", "8") "<note><chord/><pitch><step>F</step><octave>4</octave></pitch>" LAST(
        "8") "</note><note><grace/><pitch><step>G</step><octave>4</octave></pitch></note>"
             "<note><cue/><pitch><step>G</step><octave>4</octave></pitch>" LAST("8") "</note>") BAR("G")),
      "Weir: D 4 G 4" },
    // a triplet of eighths: 3 divisions of 12 to a quarter are 4 each
    { SCORE(MEASURE("<attributes><divisions>12</divisions></attributes>" MAJOR("D") NOTE("D", "4") NOTE("E", "4")
                      MAJOR("A") NOTE("F", "4") NOTE("G", "12"))),
      "Weir: D 0.666667 A 1.33333" },
    // back to the bar's start for a second voice that goes on longer
    { SCORE(FIRST(MAJOR("D") NOTE("D", "8") "<backup>" LAST("8") "</backup><forward>" LAST("4") "</forward>" MAJOR("A")
                    NOTE("F", "12")) BAR("G")),
      "Weir: D 1 A 3 G 4" },
    // chords out of their order, by a backup and by an offset
    { SCORE(FIRST(REST("8") MAJOR("A") REST("8") "<backup>" LAST("16") "</backup>" MAJOR("D"))), "Weir: D 2 A 2" },
    { SCORE(FIRST(
        MAJOR("D") "<harmony><root><root-step>G</root-step></root><kind>major</kind><offset>8</offset></harmony>"
                   "<harmony><root><root-step>A</root-step></root><kind>major</kind><offset>12</offset></harmony>" REST(
                     "16"))),
      "Weir: D 2 G 1 A 1" },
    // an offset after the bar's end: the chord begins the next
    { SCORE(FIRST(MAJOR("D") REST(
        "8") "<harmony><root><root-step>G</root-step></root><kind>major</kind><offset>8</offset></harmony>" REST("8"))
              MEASURE(REST("16"))),
      "Weir: D 4 G 4" },
    // chords of a bar in which nothing takes time share it
    { SCORE(FIRST(MAJOR("D") MAJOR("G") MAJOR("A") MAJOR("D"))), "Weir: D 1 G 1 A 1 D 1" },
    // other divisions within a bar
    { SCORE(FIRST(MAJOR("D") REST("8") "<attributes><divisions>1</divisions></attributes>" MAJOR("G") REST("2"))),
      "Weir: D 2 G 2" },
    // another reading of a chord does not count
    { SCORE(FIRST(
        MAJOR("D") "<harmony type=\"alternate\"><root><root-step>E</root-step></root><kind>major</kind></harmony>" REST(
          "16"))),
      "Weir: D 4" },
    { SCORE(FIRST(REST("16"))), "Weir: . 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_parts(void **state)
{
  (void)state;
  static const Case cases[] = {
    // chords in the second part, under the melody of the first
    { HEAD PART("P1", FIRST(NOTE("D", "8") NOTE("F", "8")))
        PART("P2", FIRST(MAJOR("D") REST("8") MAJOR("A") REST("8"))) "</score-partwise>",
      "Weir: D:D A:F" },
    // the first part rests: the melody is the second's, and its chords count, not those of the third
    { HEAD PART("P1", FIRST(REST("16"))) PART("P2", FIRST(MAJOR("D") NOTE("E", "16")))
        PART("P3", FIRST(MAJOR("G") NOTE("G", "16"))) "</score-partwise>",
      "Weir: D:E" },
    // the name of the work comes before that of its movement
    { "<score-partwise><work><work-title>Weir</work-title></work><movement-title>Slow</movement-title>" PART(
        "P1", FIRST(MAJOR("D") NOTE("D", "16"))) "</score-partwise>",
      "Weir: D:D" },
    // by time: parts within measures, the second one first to sound
    { "<score-timewise><movement-title>Weir</movement-title><measure><part id=\"P1\">" FOUR REST(
        "16") "</part><part id=\"P2\">" FOUR MAJOR("D")
        NOTE("C", "16") "</part></measure><measure><part id=\"P1\">" NOTE("A", "16") "</part><part id=\"P2\">" MAJOR(
          "G") NOTE("B", "16") "</part></measure></score-timewise>",
      "Weir: D: G:A" },
  };
  CHECK(cases, SHOW_MELODY);
}

// What is printed on the page says what the score does not: its title, and chords that nothing sounds.
static void
test_what_is_printed(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "<score-partwise><credit><credit-words>Weir</credit-words><credit-words>by Wren</credit-words></credit>" PART(
        "P1", FIRST(MAJOR("D") REST("16"))) "</score-partwise>",
      "Weir: D 4" },
    { "<score-partwise><movement-title>Weir</movement-title><credit><credit-words>by Wren</credit-words></credit>" PART(
        "P1", FIRST(MAJOR("D") REST("16"))) "</score-partwise>",
      "Weir: D 4" },
    // chords as words for the players, where there are no others
    { SCORE(FIRST(WORDS("A") REST("16")) MEASURE(WORDS("Am7") REST("16")) MEASURE(WORDS("D7") REST("16"))),
      "Weir: . 12 (annotations)" },
    { SCORE(FIRST(MAJOR("D") WORDS("Am7") REST("16"))), "Weir: D 4" },
    { SCORE(FIRST(WORDS("A") REST("16")) MEASURE(WORDS("Slow") REST("16"))), "Weir: . 8" },
    // within a measure it is no title, also where it is within words
    { HEAD PART("P1",
                FIRST(WORDS("slowly<credit-words>Wren</credit-words>") MAJOR("D") REST("16"))) "</score-partwise>",
      "Weir: D 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_melody(void **state)
{
  (void)state;
  static const Case cases[] = {
    // a note that goes on over a chord change sounds under both; rests, drums, cue and grace notes do not sound
    { SCORE(FIRST(MAJOR("D") NOTE("F", "4") NOTE("A", "8") "<backup>" LAST("4") "</backup>" MAJOR("G") NOTE("B", "8"))),
      "Weir: D:FA G:AB" },
    { SCORE(FIRST(MAJOR("D") "<note><unpitched/>" LAST(
        "8") "</note>"
             "<note><grace/><pitch><step>C</step><octave>4</octave></pitch></note>"
             "<note><cue/><pitch><step>E</step><octave>4</octave></pitch>" LAST("8") "</note>")),
      "Weir: D:" },
    // alterations, a microtone as the note beside it
    { SCORE(FIRST(MAJOR("D") "<note><pitch><step>F</step><alter>1</alter><octave>4</octave></pitch>" LAST(
        "8") "</note>"
             "<note><pitch><step>B</step><alter>-1</alter><octave>4</octave></pitch>" LAST(
               "4") "</note>"
                    "<note><pitch><step>C</step><alter>0.4</alter><octave>4</octave></pitch>" LAST("4") "</note>")),
      "Weir: D:CF#Bb" },
    // the left hand's staff is no melody
    { SCORE(FIRST(MAJOR("D") "<note><pitch><step>A</step><octave>4</octave></pitch>" LAST(
        "16") "<staff>1</staff></note>"
              "<backup>" LAST("16") "</backup><note><pitch><step>D</step><octave>2</octave></pitch>" LAST(
                "16") "<staff>2</staff></note>")),
      "Weir: D:A" },
    // an instrument in B flat sounds a tone lower than it is written, chords and notes
    { SCORE(MEASURE("<attributes><divisions>4</divisions><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic>"
                    "</transpose></attributes>" CHORD("E", "minor") NOTE("G", "16"))),
      "Weir: Dm:F" },
    { SCORE(MEASURE(
        "<attributes><divisions>4</divisions><transpose><chromatic>-9</chromatic></transpose></attributes>" MAJOR("A")
          NOTE("C", "16"))),
      "Weir: C:Eb" },
  };
  CHECK(cases, SHOW_MELODY);
}

// The notes as they sound, for those who listen: 60 is middle C.
static void
test_notes(void **state)
{
  (void)state;
  static const char score[] =
    SCORE(MEASURE("<attributes><divisions>4</divisions><transpose><chromatic>-2</chromatic><octave-change>-1"
                  "</octave-change></transpose></attributes>" MAJOR("D") NOTE("D", "4")
                    NOTE("A", "8") "<backup>" LAST("8") "</backup>" NOTE("F", "4")) MEASURE(NOTE("C", "16")));
  static const RcTuneNote expected[] = { { 0, 0, RC_QUARTER, 48 },
                                         { 0, RC_QUARTER, RC_QUARTER, 51 },
                                         { 0, RC_QUARTER, 2 * RC_QUARTER, 55 },
                                         { 1, 0, 4 * RC_QUARTER, 46 } };
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, score, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .melody_notes = TRUE });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  assert_int_equal(tune->notes->len, G_N_ELEMENTS(expected));
  for (guint i = 0; i < G_N_ELEMENTS(expected); ++i) {
    const RcTuneNote *note = &g_array_index(tune->notes, RcTuneNote, i);
    assert_int_equal(note->bar, expected[i].bar);
    assert_int_equal(note->start, expected[i].start);
    assert_int_equal(note->length, expected[i].length);
    assert_int_equal(note->pitch, expected[i].pitch);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

// ------------------------------------------------------------------------------------------------------------ chords

#define HARMONY(content) SCORE(FIRST("<harmony>" content "</harmony>" REST("16")))
#define DEGREE(value, alter, type)                                                                                     \
  "<degree><degree-value>" value "</degree-value><degree-alter>" alter "</degree-alter><degree-type>" type             \
  "</degree-type></degree>"
#define ROOT(step, alter) "<root><root-step>" step "</root-step><root-alter>" alter "</root-alter></root>"
#define KIND(kind) "<kind>" kind "</kind>"

static void
test_chords(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HARMONY(ROOT("B", "-1") KIND("minor-seventh")), "Weir: Bbm7 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant") DEGREE("9", "-1", "add")), "Weir: C7b9 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant") DEGREE("5", "-1", "alter")), "Weir: C7b5 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant") DEGREE("5", "1", "alter") DEGREE("9", "1", "add")), "Weir: Caug7#9 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant-ninth") DEGREE("9", "1", "alter")), "Weir: C7#9 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant") DEGREE("3", "0", "subtract") DEGREE("4", "0", "add")), "Weir: C7sus4 4" },
    { HARMONY(ROOT("C", "0") KIND("major") DEGREE("9", "0", "add")), "Weir: Cadd9 4" },
    { HARMONY(ROOT("C", "0") KIND("major") DEGREE("7", "1", "add")), "Weir: Cmaj7 4" }, // over a dominant seventh
    { HARMONY(ROOT("C", "0") KIND("major-seventh") DEGREE("7", "-1", "alter")), "Weir: C7 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant") DEGREE("13", "0", "add")), "Weir: C7add13 4" },
    { HARMONY(ROOT("C", "0") KIND("minor") DEGREE("5", "0", "subtract")), "Weir: Cm(no5) 4" },
    { HARMONY(ROOT("C", "0") KIND("other") DEGREE("3", "0", "add") DEGREE("5", "0", "add")), "Weir: C 4" },
    { HARMONY(ROOT("G", "0") KIND("major") "<bass><bass-step>B</bass-step></bass>"), "Weir: G/B 4" },
    { HARMONY(ROOT("D", "0") KIND("major") "<bass><bass-step>F</bass-step><bass-alter>1</bass-alter></bass>"),
      "Weir: D/F# 4" },
    { HARMONY(ROOT("D", "0") KIND("minor") "<inversion>1</inversion>"), "Weir: Dm/F 4" },
    { HARMONY(ROOT("D", "0") KIND("dominant") "<inversion>3</inversion>"), "Weir: D7/C 4" },
    { HARMONY(ROOT("D", "0") KIND("dominant") "<inversion>0</inversion>"), "Weir: D7 4" },
    { HARMONY(ROOT("C", "0") KIND("none")), "Weir: N.C. 4" },
    { HARMONY("<kind>none</kind>"), "Weir: N.C. 4" },
    // kinds that say nothing: by the text, else unread
    { HARMONY(ROOT("C", "0") "<kind text=\"7alt\">other</kind>"), "Weir: Caug7#9 4" },
    { HARMONY(ROOT("C", "0") "<kind text=\"m7\">hexatonic</kind>"), "Weir: Cm7 4" },
    { HARMONY(ROOT("C", "0") "<kind>hexatonic</kind>"), "Weir: [C hexatonic]? 4" },
    { HARMONY(ROOT("C", "0") KIND("dominant-seventh")), "Weir: C7 4" },
    // the text of a kind that says all is only for print
    { HARMONY(ROOT("C", "0") "<kind text=\"mi\">major</kind>"), "Weir: C 4" },
    // what no root names
    { HARMONY("<function>V7</function><kind>dominant</kind>"), "Weir: [V7]? 4" },
    { HARMONY("<numeral><numeral-root>4</numeral-root></numeral><kind>major</kind>"), "Weir: [4]? 4" },
    { HARMONY(ROOT("C", "0") KIND("major") ROOT("D", "0") KIND("major")), "Weir: [Cmajor and more]? 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_settings(void **state)
{
  (void)state;
#define KEY(fifths, mode) "<attributes><key><fifths>" fifths "</fifths><mode>" mode "</mode></key></attributes>"
#define TIME(beats, type)                                                                                              \
  "<attributes><time><beats>" beats "</beats><beat-type>" type "</beat-type></time></attributes>"
  static const Case cases[] = {
    { SCORE(FIRST(KEY("2", "major") MAJOR("D") REST("16")) MEASURE(KEY("-1", "minor") MAJOR("A") REST("16"))),
      "Weir: D (D major, 4/4, 0) A (D minor, 4/4, 0)" },
    { SCORE(FIRST(KEY("1", "dorian") MAJOR("A") REST("16")) MEASURE(KEY("0", "mixolydian") MAJOR("G") REST("16"))
              MEASURE(KEY("3", "aeolian") MAJOR("D") REST("16")) MEASURE(KEY("-1", "phrygian") MAJOR("C") REST("16"))),
      "Weir: A (A dorian, 4/4, 0) G (G mixolydian, 4/4, 0) D (F# minor, 4/4, 0) C (A phrygian, 4/4, 0)" },
    { SCORE(FIRST(KEY("-2", "lydian") MAJOR("A") REST("16")) MEASURE(KEY("0", "locrian") MAJOR("G") REST("16"))
              MEASURE(KEY("1", "ionian") MAJOR("D") REST("16")) MEASURE(KEY("1", "none") MAJOR("C") REST("16"))),
      "Weir: A (Eb lydian, 4/4, 0) G (B locrian, 4/4, 0) D (G major, 4/4, 0) C (no key, 4/4, 0)" },
    { SCORE(FIRST("<attributes><key><fifths>3</fifths></key></attributes>" MAJOR("A") REST("16"))),
      "Weir: A (no key, 4/4, 0)" }, // signs alone, where no key may be assumed
    { SCORE(FIRST(TIME("3+2", "8") MAJOR("A") REST("10")) MEASURE(TIME("6", "8") MAJOR("D") REST("12"))),
      "Weir: A (no key, 5/8, 0) D (no key, 6/8, 0)" },
    { SCORE(MEASURE("<attributes><divisions>4</divisions><time><beats>2</beats><beat-type>4</beat-type><beats>3</beats>"
                    "<beat-type>8</beat-type></time></attributes>" MAJOR("A") REST("14"))),
      "Weir: A (no key, 7/8, 0)" },
    { SCORE(FIRST("<sound tempo=\"96.5\"/>" MAJOR("A") REST("16"))
              MEASURE(SOUND("tempo=\"120\"") MAJOR("D") REST("16"))),
      "Weir: A (no key, 4/4, 96.5) D (no key, 4/4, 120)" },
    { SCORE(
        FIRST("<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>c. 80"
              "</per-minute></metronome></direction-type></direction>" MAJOR("A") REST("16"))),
      "Weir: A (no key, 4/4, 120)" }, // 80 x 1.5
    { SCORE(FIRST("<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit>half</beat-unit>"
                  "</metronome></direction-type></direction>" MAJOR("A") REST("16"))),
      "Weir: A (no key, 4/4, 0)" },
    // the key as it sounds: written in E for an instrument in B flat
    { SCORE(
        FIRST("<attributes><transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>" KEY(
          "4", "major") MAJOR("E") REST("16"))),
      "Weir: D (D major, 4/4, 0)" },
  };
  CHECK(cases, SHOW_SETTINGS);
}

// ----------------------------------------------------------------------------------------------------- repeats and
// jumps

static void
test_repeats(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST("") MARKED("D", OPENS) MARKED("G", CLOSES) BAR("A")), "Weir: . 4 D 4 G 4 D 4 G 4 A 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", CLOSES_3)), "Weir: D 4 G 4 D 4 G 4 D 4 G 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", ENDING("1", "start") ENDING("1", "stop") CLOSES)
              MARKED("A", ENDING("2", "start") ENDING("2", "discontinue")) BAR("E")),
      "Weir: D 4 G 4 D 4 A 4 E 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", ENDING("1, 2", "start") ENDING("1, 2", "stop") CLOSES_3)
              MARKED("A", ENDING("3", "start") ENDING("3", "stop"))),
      "Weir: D 4 G 4 D 4 G 4 D 4 A 4" },
    // an ending of two bars
    { SCORE(FIRST(MAJOR("D")) MARKED("G", ENDING("1", "start")) MARKED("E", ENDING("1", "stop") CLOSES)
              MARKED("A", ENDING("2", "start") ENDING("2", "stop")) BAR("B")),
      "Weir: D 4 G 4 E 4 D 4 A 4 B 4" },
    // numbers that make no series: their order counts
    { SCORE(FIRST(MAJOR("D")) MARKED("G", ENDING("1", "start") ENDING("1", "stop") CLOSES)
              MARKED("A", ENDING("3", "start") ENDING("3", "stop")) BAR("E")),
      "Weir: D 4 G 4 D 4 A 4 E 4 (endings)" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", ENDING("2", "start") ENDING("2", "stop") CLOSES)
              MARKED("A", ENDING("2", "start") ENDING("2", "stop")) BAR("E")),
      "Weir: D 4 G 4 D 4 A 4 E 4 (endings)" },
    // bars that are never played are reported
    { SCORE(FIRST(MAJOR("D")) MARKED("G", WORDS("Fine")) MARKED("A", WORDS("D.C. al Fine")) BAR("E")),
      "Weir: D 4 G 4 A 4 D 4 G 4 (unplayed)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_jumps(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST(MAJOR("D")) MARKED("G", SOUND("fine=\"yes\"")) MARKED("A", SOUND("dacapo=\"yes\""))),
      "Weir: D 4 G 4 A 4 D 4 G 4" },
    { SCORE(FIRST(MAJOR("D")) BAR("G") MARKED("A", WORDS("D.C."))), "Weir: D 4 G 4 A 4 D 4 G 4 A 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", WORDS("Fine")) MARKED("A", WORDS("D.C. al Fine"))),
      "Weir: D 4 G 4 A 4 D 4 G 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", "<direction><direction-type><segno/></direction-type></direction>") BAR("E")
              MARKED("A", SOUND("dalsegno=\"s\""))),
      "Weir: D 4 G 4 E 4 A 4 G 4 E 4 A 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", SOUND("segno=\"s\"")) MARKED("E", SOUND("tocoda=\"c\""))
              MARKED("A", WORDS("D.S. al Coda")) MARKED("B", SOUND("coda=\"c\""))),
      "Weir: D 4 G 4 E 4 A 4 G 4 E 4 B 4" },
    // after the jump repeats are not played again, and of endings the last
    { SCORE(FIRST(MAJOR("D") OPENS) MARKED("G", ENDING("1", "start") ENDING("1", "stop") CLOSES) MARKED(
        "E", ENDING("2", "start") ENDING("2", "stop") SOUND("fine=\"yes\"")) MARKED("A", SOUND("dacapo=\"yes\""))),
      "Weir: D 4 G 4 D 4 E 4 A 4 D 4 E 4" },
    // what does not say where to is not followed, and that is said
    { SCORE(FIRST(MAJOR("D")) MARKED("A", WORDS("D.S. al Fine"))), "Weir: D 4 A 4 (jumps)" },
    { SCORE(FIRST(MAJOR("D")) MARKED("A", WORDS("D.C. al Coda"))), "Weir: D 4 A 4 (jumps)" },
    // each of several is followed once
    { SCORE(FIRST(MAJOR("D")) MARKED("A", SOUND("dacapo=\"yes\"")) MARKED("G", SOUND("dacapo=\"yes\""))),
      "Weir: D 4 A 4 D 4 A 4 G 4 D 4 A 4 G 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_part_names(void **state)
{
  (void)state;
#define REHEARSAL(text) "<direction><direction-type><rehearsal>" text "</rehearsal></direction-type></direction>"
  static const Case cases[] = {
    { SCORE(FIRST(MAJOR("D")) MARKED("G", CLOSES) BAR("A") MARKED("E", CLOSES)), "Weir: A 0+2 B 2+2" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", REHEARSAL("Verse")) BAR("A") MARKED("E", REHEARSAL("Chorus"))),
      "Weir:  0+1 Verse 1+2 Chorus 3+1" },
  };
  CHECK(cases, SHOW_PARTS);
}

static void
test_places(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST(MAJOR("D") REST("8") "\n  " MAJOR("A") REST("8"))), "Weir: D 4:112 A 5:3" },
  };
  CHECK(cases, SHOW_PLACES);
}

// --------------------------------------------------------------------------------------------------------- bad files

#define PASSED                                                                                                         \
  "[: passed over: it is XML of another kind; MusicXML begins with the element `score-partwise` or `score-timewise`]"

static void
test_bad(void **state)
{
  (void)state;
  static const Case bad[] = {
    { HEAD "<part id=\"P1\">" FIRST(MAJOR("D")),
      "[:4:196: the score ends within an element that is not closed; left out: Weir]" },
    { HEAD "<part id=\"P1\"></score-partwise>", "[:3:17: the XML is broken here: mismatched tag; left out: Weir]" },
    { SCORE(MEASURE(MAJOR("D") REST("4"))), "[:4:119: measure 1: a duration, but no `divisions` before it say what it "
                                            "counts; write them into the attributes of the "
                                            "part's first measure; left out: Weir]" },
    { SCORE(FIRST(REST("0"))),
      "[:4:147: measure 1: a note with a duration of 0; only grace notes have none; left out: Weir]" },
    { SCORE(FIRST("<note><rest/></note>")),
      "[:4:125: measure 1: a note without duration; only grace notes have none; left out: Weir]" },
    { SCORE(FIRST(REST("-4"))),
      "[:4:137: measure 1: found `-4`; expected a duration, a number above 0; left out: Weir]" },
    { SCORE(FIRST(REST("long"))),
      "[:4:139: measure 1: found `long`; expected a duration, a number above 0; left out: Weir]" },
    { SCORE(FIRST("\n<harmony><kind>major</kind></harmony>")),
      "[:5:28: measure 1: the harmony has no root; write a `root` with its `root-step`; left out: Weir]" },
    { SCORE(FIRST(MAJOR("H"))), "[:4:139: measure 1: found `H`; expected a root from A to G; left out: Weir]" },
    { SCORE(MEASURE("<attributes><divisions>0</divisions></attributes>")),
      "[:4:34: measure 1: found `0`; expected how many divisions a quarter note has, a number above 0 and at most "
      "65536; left "
      "out: Weir]" },
    { SCORE(MEASURE(TIME("4", "5"))), "[:4:75: measure 1: found a meter of `4/5`; expected beats from 1 to 64 and a "
                                      "beat type such as 4 or 8; left out: Weir]" },
    { SCORE(MEASURE(KEY("70", "major"))),
      "[:4:37: measure 1: found `70`; expected a number from -11 to 11; left out: Weir]" },
    // in the wrong place: not in a measure of a part
    { HEAD MEASURE(MAJOR("D")) "</score-partwise>",
      "[: the score holds no music: a `part` with a `measure` is needed; left out: Weir]" },
    { HEAD "<part><note><rest/><duration>4</duration></note></part></score-partwise>",
      "[: the score holds no music: a `part` with a `measure` is needed; left out: Weir]" },
    { SCORE(FIRST("<harmony><root>" REST("4") "<root-step>D</root-step></root><kind>major</kind>"
                                              "</harmony>")),
      "[:4:127: measure 1: `note` is inside another element of its measure; close that one before it; left out: "
      "Weir]" },
    { SCORE(""), "[: the score holds no music: a `part` with a `measure` is needed; left out: Weir]" },
    { "<svg><g/></svg>", PASSED },
    { "<html><body/></html>", "[: passed over: it is a web page; copy the tune from it into a text file]" },
    { "<?xml version=\"1.0\"?>\n<!-- <score-partwise> -->\n<!DOCTYPE project [\n<!ELEMENT a (b)>\n]>\n"
      "<project><item>1</item></project>\n",
      PASSED },
    { "<a/>", "[:1:1: MusicXML begins with the element `score-partwise` or `score-timewise`; found `a`]" },
    { "<?xml version=\"1.0\" <html>", "[:1:1: the XML is broken here: unclosed token]" },
    { "<opus/>", "[:1:1: an opus only lists scores; name their files instead]" },
    { "<!DOCTYPE score-partwise [<!ENTITY a \"b\">]><score-partwise/>",
      "[:1:38: the document declares the entity `a`; write its text in its place]" },
    { "", "[:1:1: holds no score; MusicXML begins with the element `score-partwise`]" },
  };
  CHECK(bad, SHOW_LENGTHS);
}

static void
test_deep(void **state)
{
  (void)state;
  GString *text = g_string_new(HEAD);
  for (guint i = 0; i < 100; ++i) {
    g_string_append(text, "<x>");
  }
  char *found = heard(text->str, text->len, SHOW_LENGTHS);
  assert_string_equal(found, "[:3:190: more than 64 nested elements; left out: Weir]");
  g_free(found);
  g_string_free(text, TRUE);
}

// A signature that is no circle of fifths, letter by letter, is a set of tones; they sound a tone lower on an
// instrument in B flat.
static void
test_keys_letter_by_letter(void **state)
{
  (void)state;
#define SIGN(step, alter) "<key-step>" step "</key-step><key-alter>" alter "</key-alter>"
#define SIGNED(more)                                                                                                   \
  SCORE(FIRST(more "<attributes><key>" SIGN("F", "1") SIGN("B", "-1") "</key></attributes>" MAJOR("D") REST("16")))
  static const Case cases[] = {
    { SIGNED(""), "CDEF#GABb" },
    { SIGNED("<attributes><transpose><chromatic>-2</chromatic></transpose></attributes>"), "CDEFGAbBb" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    const char *const paths[] = { path, NULL };
    assert_true(g_file_set_contents(path, cases[i].text, -1, NULL));
    RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
    RcTune *tune = rc_tune_new();
    GString *tones = g_string_new(NULL);
    assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
    append_tones(tones, rc_tune_setting(tune, g_array_index(tune->events, RcEvent, 0).setting)->tones);
    assert_string_equal(tones->str, cases[i].expected);
    g_string_free(tones, TRUE);
    rc_tune_free(tune);
    rc_corpus_free(corpus);
  }
}

static void
test_what_else_is_written(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST(CHORD("\n  D\n  ", "\tminor ") REST("16"))), "Weir: Dm 4" },
    // a second in place of the third, as a fourth
    { HARMONY(ROOT("D", "0") KIND("power") DEGREE("2", "0", "add")), "Weir: Dsus2 4" },
    // playback goes back to here
    { SCORE(FIRST(MAJOR("D") REST("16")) MARKED("G", SOUND("forward-repeat=\"yes\"")) MARKED("A", CLOSES)),
      "Weir: D 4 G 4 A 4 G 4 A 4" },
    // back a little further than the bar's start
    { SCORE(FIRST(REST("16") "<backup>" LAST("17") "</backup>" MAJOR("D") REST("8") MAJOR("A") REST("8"))),
      "Weir: D 2 A 2" },
    // endings without a type and repeats without a direction say nothing
    { SCORE(FIRST(MAJOR("D") REST("16") "<barline><ending number=\"1\"/><repeat/></barline>") BAR("G")),
      "Weir: D 4 G 4" },
  };
  static const Case bad[] = {
    { SCORE(FIRST("<note><pitch><step>H</step><octave>4</octave></pitch>" LAST("4") "</note>")),
      "[:4:132: measure 1: found `H`; expected a step from A to G; left out: Weir]" },
    { SCORE(FIRST("<harmony><root><root-step>D</root-step></root><kind>major</kind><bass><bass-step>H</bass-step>"
                  "</bass></harmony>")),
      "[:4:194: measure 1: found `H`; expected a bass from A to G; left out: Weir]" },
    { SCORE(FIRST("<harmony><root><root-step>D</root-step></root><kind>major</kind><offset>late</offset></harmony>")),
      "[:4:188: measure 1: found `late`; expected an offset in divisions; left out: Weir]" },
  };
  CHECK(cases, SHOW_LENGTHS);
  CHECK(bad, SHOW_LENGTHS);
}

// ---------------------------------------------------------------------------------- what collections of scores have

#define PLACED(step, where)                                                                                            \
  "<harmony " where "><root><root-step>" step "</root-step></root><kind>major</kind></harmony>"
#define STOPS(n) "<barline location=\"right\"><ending number=\"" n "\" type=\"stop\"/></barline>"
#define STARTS(n) "<barline location=\"left\"><ending number=\"" n "\" type=\"start\"/></barline>"

// An ending whose bracket stops before its repeat reaches on to it, or to the next ending.
static void
test_endings_that_stop_early(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST(MAJOR("D")) MARKED("G", STARTS("1") STOPS("1")) MARKED("E", CLOSES)
              MARKED("A", STARTS("2") STOPS("2")) BAR("B")),
      "Weir: D 4 G 4 E 4 D 4 A 4 B 4" },
    // of three endings the second, too
    { SCORE(FIRST(MAJOR("D")) MARKED("G", STARTS("1") STOPS("1")) MARKED("E", CLOSES)
              MARKED("A", STARTS("2") STOPS("2")) MARKED("F", CLOSES) MARKED("C", STARTS("3") STOPS("3")) BAR("B")),
      "Weir: D 4 G 4 E 4 D 4 A 4 F 4 D 4 C 4 B 4" },
    // the last ending does not reach into the section after it
    { SCORE(FIRST(MAJOR("D")) MARKED("G", STARTS("1") STOPS("1") CLOSES) MARKED("A", STARTS("2") STOPS("2")) BAR("B")
              MARKED("C", CLOSES)),
      "Weir: D 4 G 4 D 4 A 4 B 4 C 4 B 4 C 4" },
    // nor into one with endings of its own
    { SCORE(FIRST(MAJOR("D")) MARKED("G", STARTS("1") STOPS("1") CLOSES) MARKED("A", STARTS("2") STOPS("2"))
              MARKED("B", "") MARKED("C", STARTS("1") STOPS("1") CLOSES) MARKED("E", STARTS("2") STOPS("2"))),
      "Weir: D 4 G 4 D 4 A 4 B 4 C 4 B 4 E 4" },
    // brackets without numbers count in their order
    { SCORE(FIRST(MAJOR("D")) MARKED("G", STARTS("") STOPS("") CLOSES) MARKED("A", STARTS("") STOPS("")) BAR("E")),
      "Weir: D 4 G 4 D 4 A 4 E 4 (endings)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_chords_at_one_place(void **state)
{
  (void)state;
  static const Case cases[] = {
    { SCORE(FIRST(MAJOR("D") MAJOR("G") MAJOR("A") MAJOR("E") REST("16"))), "Weir: D 1 G 1 A 1 E 1 (shared)" },
    { SCORE(FIRST(MAJOR("D") MAJOR("G") REST("8") MAJOR("A") REST("8"))), "Weir: D 1 G 1 A 2 (shared)" },
    // two measures, reported once
    { SCORE(FIRST(MAJOR("D") MAJOR("G") REST("16")) MEASURE(MAJOR("A") MAJOR("D") REST("16"))),
      "Weir: D 2 G 2 A 2 D 2 (shared)" },
    // by where they are drawn: after one beat and after three of four
    { SCORE(FIRST(PLACED("D", "default-x=\"10\"") PLACED("G", "default-x=\"52\"") PLACED("A", "default-x=\"128\"")
                    REST("16")) BAR("E")),
      "Weir: D 1 G 2 A 1 E 4 (shared)" },
    { SCORE(FIRST(MAJOR("D") PLACED("G", "relative-x=\"20\"") PLACED("A", "relative-x=\"80\"") REST("16"))),
      "Weir: D 1 G 2 A 1 (shared)" },
    // drawn in another order: equally
    { SCORE(FIRST(PLACED("D", "default-x=\"10\"") PLACED("G", "default-x=\"90\"") PLACED("A", "default-x=\"50\"")
                    PLACED("E", "default-x=\"95\"") REST("16"))),
      "Weir: D 1 G 1 A 1 E 1 (shared)" },
    // up to the measure's right end, where its width is written: at 0, 2 and 3 of its 4 beats
    { HEAD PART("P1", "\n<measure width=\"210\">" FOUR PLACED("D", "default-x=\"10\"") PLACED("G", "default-x=\"108\"")
                        PLACED("A", "default-x=\"163\"") REST("16") "</measure>") "</score-partwise>\n",
      "Weir: D 2 G 1 A 1 (shared)" },
    // a chord after the last note begins the next measure, and has no time where another is written there
    { SCORE(FIRST(MAJOR("D") REST("16") MAJOR("G")) MEASURE(REST("16"))), "Weir: D 4 G 4" },
    { SCORE(FIRST(MAJOR("D") REST("16") MAJOR("G")) BAR("A")), "Weir: D 4 A 4 (lost)" },
    { SCORE(FIRST(MAJOR("D") REST("16") MAJOR("G"))), "Weir: D 4 (lost)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

#define SEGNO "<direction><direction-type><segno/></direction-type></direction>"
#define CODA "<direction><direction-type><coda/></direction-type></direction>"
#define TIMES(marks) "<sound " marks "/>"

static void
test_jumps_as_they_are_printed(void **state)
{
  (void)state;
  static const Case cases[] = {
    // the coda sign is printed at the leave, at the beginning of a measure, and at the coda
    { SCORE(FIRST(MAJOR("D")) BAR("G") MARKED("A", CODA) MARKED("E", WORDS("D.C. al Coda")) MARKED("B", CODA)),
      "Weir: D 4 G 4 A 4 E 4 D 4 G 4 B 4" },
    // at its end
    { SCORE(FIRST(MAJOR("D")) MEASURE(MAJOR("G") REST("16") CODA) BAR("A") MARKED("E", WORDS("D.C. al Coda"))
              MARKED("B", CODA)),
      "Weir: D 4 G 4 A 4 E 4 D 4 G 4 B 4" },
    // among its notes: after it
    { SCORE(FIRST(MAJOR("D")) MEASURE(MAJOR("G") REST("12") CODA REST("4")) BAR("A") MARKED("E", WORDS("D.C. al Coda"))
              MARKED("B", CODA)),
      "Weir: D 4 G 4 A 4 E 4 D 4 G 4 B 4" },
    // and beside the words
    { SCORE(FIRST(MAJOR("D")) MARKED("G", SEGNO) MARKED("A", WORDS("To Coda") CODA) MARKED("E", WORDS("D.S. al Coda"))
              MARKED("B", CODA)),
      "Weir: D 4 G 4 A 4 E 4 G 4 A 4 B 4" },
    { SCORE(FIRST(MAJOR("D"))
              MARKED("G", "<direction><direction-type><words>To</words></direction-type><direction-type><coda/>"
                          "</direction-type></direction>") MARKED("E", WORDS("D.C.")) MARKED("B", WORDS("Coda"))),
      "Weir: D 4 G 4 E 4 D 4 G 4 B 4" },
    // at bar lines
    { SCORE(FIRST(MAJOR("D")) MARKED("G", "<barline location=\"left\"><segno/></barline>")
              MARKED("A", "<barline location=\"right\"><coda/></barline>") MARKED("E", WORDS("D.S. al Coda"))
                MARKED("B", "<barline location=\"left\"><coda/></barline>")),
      "Weir: D 4 G 4 A 4 E 4 G 4 A 4 B 4" },
    // spellings
    { SCORE(FIRST(MAJOR("D")) MARKED("G", WORDS("(fine)")) MARKED("A", WORDS("D.C.alfine"))),
      "Weir: D 4 G 4 A 4 D 4 G 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", WORDS("FINE")) MARKED("A", WORDS("D. C.  al  Fine"))),
      "Weir: D 4 G 4 A 4 D 4 G 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", WORDS("Fine")) MARKED("A", WORDS("D.C.") WORDS("al Fine"))),
      "Weir: D 4 G 4 A 4 D 4 G 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", WORDS("Fine tuning")) MARKED("A", WORDS("D string"))), "Weir: D 4 G 4 A 4" },
    // several: D.S. al Coda, then D.C. al Fine in the coda
    { SCORE(FIRST(MAJOR("D")) MARKED("G", SEGNO WORDS("Fine")) MARKED("A", WORDS("To Coda"))
              MARKED("E", WORDS("D.S. al Coda")) MARKED("B", CODA) MARKED("C", WORDS("D.C. al Fine"))),
      "Weir: D 4 G 4 A 4 E 4 G 4 A 4 B 4 C 4 D 4 G 4" },
    // two segnos: the nearer one
    { SCORE(FIRST(SEGNO MAJOR("D")) BAR("G") MARKED("A", SEGNO) MARKED("E", WORDS("D.S."))),
      "Weir: D 4 G 4 A 4 E 4 A 4 E 4" },
    // after a repeat, and with repeats after it: those of the coda are played
    { SCORE(FIRST(MAJOR("D")) MARKED("G", CLOSES) MARKED("A", WORDS("To Coda")) MARKED("E", WORDS("D.C. al Coda"))
              MARKED("B", CODA OPENS) MARKED("C", CLOSES)),
      "Weir: D 4 G 4 D 4 G 4 A 4 E 4 D 4 G 4 A 4 B 4 C 4 B 4 C 4" },
    // a repeat that is played after the jump, too
    { SCORE(FIRST(MAJOR("D"))
              MARKED("G", "<barline location=\"right\"><repeat direction=\"backward\" after-jump=\"yes\"/>"
                          "</barline>") MARKED("A", WORDS("Fine")) MARKED("E", WORDS("D.C. al Fine"))),
      "Weir: D 4 G 4 D 4 G 4 A 4 E 4 D 4 G 4 D 4 G 4 A 4" },
    // the second time of a repeat on to the coda, or the end
    { SCORE(FIRST(MAJOR("D")) MARKED("G", TIMES("tocoda=\"c\" time-only=\"2\"")) MARKED("A", CLOSES)
              MARKED("B", TIMES("coda=\"c\""))),
      "Weir: D 4 G 4 A 4 D 4 G 4 B 4" },
    { SCORE(FIRST(MAJOR("D")) MARKED("G", TIMES("fine=\"yes\" time-only=\"2\"")) MARKED("A", CLOSES)),
      "Weir: D 4 G 4 A 4 D 4 G 4" },
    // back to the segno the first time, within a repeat that goes on afterwards
    { SCORE(FIRST(MAJOR("D")) MARKED("G", SEGNO) MARKED("A", TIMES("dalsegno=\"s\" time-only=\"1\""))
              MARKED("E", CLOSES)),
      "Weir: D 4 G 4 A 4 G 4 A 4 E 4 D 4 G 4 A 4 E 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// In B flat: written in D, sounding in C. The transposition is written after the key.
static void
test_keys_of_transposing_parts(void **state)
{
  (void)state;
#define DOWN "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
#define SIGNATURE "<key><fifths>2</fifths><mode>major</mode></key>"
  static const Case cases[] = {
    { SCORE(MEASURE("<attributes><divisions>4</divisions>" SIGNATURE DOWN "</attributes>" MAJOR("D") REST("16"))),
      "Weir: C (C major, 4/4, 0)" },
    // in attributes of their own
    { SCORE(FIRST("<attributes>" SIGNATURE "</attributes><attributes>" DOWN "</attributes>" MAJOR("D") REST("16"))),
      "Weir: C (C major, 4/4, 0)" },
    // the instrument is changed
    { SCORE(FIRST("<attributes>" SIGNATURE "</attributes>" MAJOR("D") REST("16"))
              MEASURE("<attributes>" DOWN "</attributes>" MAJOR("A") REST("16"))),
      "Weir: D (D major, 4/4, 0) G (C major, 4/4, 0)" },
  };
  CHECK(cases, SHOW_SETTINGS);
}

static void
test_kinds_that_say_nothing(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HARMONY(ROOT("C", "0") "<kind/>"), "Weir: C 4" },
    { HARMONY(ROOT("C", "0") "<kind text=\"\"></kind>"), "Weir: C 4" },
    { HARMONY(ROOT("C", "0") "<kind/>" DEGREE("9", "0", "add")), "Weir: Cadd9 4" },
    { HARMONY(ROOT("C", "0") "<kind text=\"m7\"/>"), "Weir: Cm7 4" },
    { HARMONY(ROOT("C", "0") "<kind text=\"7\"> </kind>"), "Weir: C7 4" },
    { HARMONY(ROOT("C", "0") "<kind text=\"what\"/>"), "Weir: [C what]? 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// The first remark on a score.
static void
check_remark(const char *score, const char *expected)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, score, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  assert_int_equal(tune->remarks->len, 1);
  const RcRemark *remark = &g_array_index(tune->remarks, RcRemark, 0);
  char *found = g_strdup_printf("%u:%u %s", remark->line, remark->column, remark->text);
  assert_string_equal(found, expected);
  g_free(found);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

// Messages name the measure by its number.
static void
test_remarks_name_the_measure(void **state)
{
  (void)state;
#define NUMBERED(n, content) "\n<measure number=\"" n "\">" content REST("16") "</measure>"
  check_remark(SCORE(NUMBERED("0", FOUR MAJOR("D")) NUMBERED("X1", MAJOR("G") WORDS("D.S. al Fine"))),
               "5:22 measure X1: a D.S. al Fine, but no segno is marked before it; it is not followed");
  check_remark(SCORE(NUMBERED("1", FOUR MAJOR("D") WORDS("Fine")) NUMBERED("2", MAJOR("G") WORDS("D.C. al Fine"))
                       NUMBERED("3", MAJOR("A")) NUMBERED("4", MAJOR("E"))),
               "6:21 measure 3 to 4: written, but never played");
  check_remark(SCORE(FIRST(MAJOR("D") REST("16")) MEASURE(MAJOR("G") MAJOR("A") REST("16"))),
               "5:10 measure 2: chords at one place share the time up to the next one");
  static const Case bad[] = {
    { SCORE(NUMBERED("12a", FOUR REST("0"))),
      "[:4:160: measure 12a: a note with a duration of 0; only grace notes have none; left out: Weir]" },
    { "<score-timewise><measure number=\"7\"><part id=\"P1\">" REST("1") "</part></measure></score-timewise>",
      "[:1:86: measure 7: a duration, but no `divisions` before it say what it counts; write them into the attributes "
      "of "
      "the part's first measure]" },
  };
  CHECK(bad, SHOW_LENGTHS);
}

static int
set_up(void **state)
{
  (void)state;
  return make_scratch("weir.musicxml");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_lengths),
    cmocka_unit_test(test_parts),
    cmocka_unit_test(test_melody),
    cmocka_unit_test(test_what_is_printed),
    cmocka_unit_test(test_notes),
    cmocka_unit_test(test_chords),
    cmocka_unit_test(test_settings),
    cmocka_unit_test(test_repeats),
    cmocka_unit_test(test_jumps),
    cmocka_unit_test(test_part_names),
    cmocka_unit_test(test_places),
    cmocka_unit_test(test_bad),
    cmocka_unit_test(test_deep),
    cmocka_unit_test(test_keys_letter_by_letter),
    cmocka_unit_test(test_what_else_is_written),
    cmocka_unit_test(test_endings_that_stop_early),
    cmocka_unit_test(test_chords_at_one_place),
    cmocka_unit_test(test_jumps_as_they_are_printed),
    cmocka_unit_test(test_keys_of_transposing_parts),
    cmocka_unit_test(test_kinds_that_say_nothing),
    cmocka_unit_test(test_remarks_name_the_measure),
  };
  return cmocka_run_group_tests(tests, set_up, remove_scratch);
}
