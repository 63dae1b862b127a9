// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ABC 2.1 tunes: what is played, for how long, over which melody. Section numbers are those of the ABC music standard
// 2.1; all lengths, in quarter notes, are worked out by hand from them.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"

#include "heard.h"
#include "rolled.h"

#include <string.h>

#define HEAD "X:1\nT:Weir\nM:4/4\nL:1/4\n"

static void
test_lengths(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"D\"DEFA|\"G\"G2 B2|\n", "Weir: D 4 G 4" },
    { HEAD "K:D\n\"D\"D/E/ F// G3/2 A1/2|\"A\"z4|\n", "Weir: D 3.25 A 4" },  // 1/2 + 1/2 + 1/4 + 3/2 + 1/2
    { HEAD "K:D\n\"D\"D>E F<G|\"A\"A>>B c4|\n", "Weir: D 4 A 6" },           // 4.4: a pair keeps its length
    { HEAD "K:D\n\"D\"(3DEF (3:2:2GA|\"A\"(2AB|\n", "Weir: D 3.33333 A 3" }, // 4.13: 3 in 2; two of 2/3; 2 in 3
    { HEAD "K:D\n\"D\"[DFA]2 [D2F2]|\"A\"{gab}A2 x2|\n", "Weir: D 4 A 4" },  // 4.17, grace notes take no time
    { HEAD "K:D\n\"D\"D4|Z2|\"G\"G4|\n", "Weir: D 12 G 4" },                 // 4.5: two bars of rest
    { HEAD "K:D\n\"D\"D4|>\"G\"G4|<A4|\n", "Weir: D 4 G 8" }, // found by fuzzing: nothing before it to lengthen
    { HEAD "K:D\n\"D\"D\"A\"<<<<<<<<<< <<<<<<<<<< <z0|\n", "Weir: D 1 (lost)" }, // and this: nothing left of the bar
    { HEAD "K:D\n\"D\"DE,2 >\"G\"F|\n", "Weir: D 4 G 0.5" },                     // a blank between, and a chord
    { HEAD "K:D\n\"D\"DE/ >F/|\n", "Weir: D 2" },                                // 1 + 3/4 + 1/4
    { HEAD "K:D\n\"D\"(DE) F/G/ A-|\"G\"A'/B,|\n", "Weir: D 4 G 1.5" },          // slurs and ties take no time
    { HEAD "K:D\n\"D\"(D(3EFG)A3/2|\"G\"(GA2/3)|\n", "Weir: D 4.5 G 1.66667" },  // a tuplet begins within a slur
    { HEAD "K:D\n\"D\"(3E,FG (3EFG2|\"G\"(3E/F/G/ (3EF\"A\"G|\n", "Weir: D 4.66667 G 2.33333 A 0.666667" },
    { HEAD "K:D\n\"D\"A3//B|\"G\"A12(4|\n", "Weir: D 1.75 G 12" },         // 3/4 + 1; a tuplet without notes
    { "X:1\nT:Weir\nM:6/8\nK:D\n\"D\"DEF GAB|\n", "Weir: D 3" },           // 3.1.7: L is 1/8
    { "X:1\nT:Weir\nM:2/4\nK:D\n\"D\"DEFG|\n", "Weir: D 1" },              // 2/4 is under 3/4: L is 1/16
    { "X:1\nT:Weir\nM:C|\nL:1/8\nK:D\n\"D\"DE[L:1/4]FG|\n", "Weir: D 3" }, // 3.2: a field on the way
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_repeats(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n|:\"D\"D4|\"G\"G4:|\n", "Weir: D 4 G 4 D 4 G 4" },
    { HEAD "K:D\n\"D\"D4|\"G\"G4:|\"A\"A4|\n", "Weir: D 4 G 4 D 4 G 4 A 4" }, // 4.8: from the beginning
    { HEAD "K:D\n|:\"D\"D4|1\"G\"G4:|2\"A\"A4||\"Bm\"B4|]\n", "Weir: D 4 G 4 D 4 A 4 Bm 4" },
    { HEAD "K:D\n|:\"D\"D4|[1,3\"G\"G4:|[2\"A\"A4:|\n", "Weir: D 4 G 4 D 4 A 4 D 4 G 4" }, // 4.9
    { HEAD "K:D\n|:\"D\"D4|1-2\"G\"G4:|3\"A\"A4|]\n", "Weir: D 4 G 4 D 4 G 4 D 4 A 4" },
    { HEAD "K:D\n|:\"D\"D4::\"G\"G4:|\n", "Weir: D 8 G 8" },                   // a chord repeated at once is held
    { HEAD "K:D\n\"A\"A4||\"D\"D4|\"G\"G4:|\n", "Weir: A 4 D 4 G 4 D 4 G 4" }, // from the last double line
    { HEAD "K:D\n|:\"D\"D4||\"G\"G4:|\n", "Weir: D 4 G 4 D 4 G 4" },
    { HEAD "P:(A2B)2\nK:D\nP:A\n\"D\"D4|\"G\"G4|\nP:B\n\"A\"A4|\n", // 3.1.9
      "Weir: D 4 G 4 D 4 G 4 A 4 D 4 G 4 D 4 G 4 A 4" },
    { HEAD "P:AC\nK:D\nP:A\n\"D\"D4|\nP:B\n\"A\"A4|\n", "Weir: D 4 A 4 (parts)" },
    // an order whose parts the music does not mark; nothing need be said where it is what the repeats play
    { HEAD "P:ABA\nK:D\n\"D\"D4||\"A\"A4|]\n", "Weir: D 4 A 4 (parts)" },
    { HEAD "P:AABB\nK:D\n|:\"D\"D4:||:\"A\"A4|\"G\"G4:|\n", "Weir: D 8 A 4 G 4 A 4 G 4" },
    { HEAD "P:A2B\nK:D\n|:\"D\"D4|1\"E\"E4:|2\"A\"A4||\"G\"G4|]\n", "Weir: D 4 E 4 D 4 A 4 G 4" },
    { HEAD "P:ABB\nK:D\n|:\"D\"D4:||:\"A\"A4|\"G\"G4:|\n", "Weir: D 8 A 4 G 4 A 4 G 4 (parts)" },
    { HEAD "K:D\n\"D\"D4|!D.C.!\"G\"G4|\n", "Weir: D 4 G 4 D 4 G 4" }, // 4.14
    { HEAD "K:D\n\"D\"D4|\"G\"G4!fine!|\"A\"A4|!D.C.!|\n", "Weir: D 4 G 4 A 4 D 4 G 4" },
    { HEAD "K:D\n\"D\"D4|!segno!\"G\"G4|!dacoda!\"A\"A4|\"E\"E4|!D.S.!|!coda!\"Bm\"B4|\n",
      "Weir: D 4 G 4 A 4 E 4 G 4 A 4 Bm 4" },
    { HEAD "K:D\n\"D\"D4|\"G\"G4|!D.S.!|\n", "Weir: D 4 G 4 (jumps)" }, // no segno
    { HEAD "K:D\n!segno!\"D\"D4|\"G\"G4!tocoda!|\"A\"A4!D.S.alcoda!|!coda!\"E\"E4|\n",
      "Weir: D 4 G 4 A 4 D 4 G 4 E 4" },
    { HEAD "K:D\n\"D\"D4|!coda!\"G\"G4|!D.C.!|\n", "Weir: D 4 G 4 (jumps)" },
    { HEAD "P:AB\nK:D\nP:A\n\"D\"D4|!D.C.!|\nP:B\n\"G\"G4|\n", "Weir: D 4 G 4 (jumps)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_symbols(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\nD2 \"D\"F2|G4|\"A7\"A4|\n", "Weir: . 2 D 6 A7 4" },                    // until the next one
    { HEAD "K:D\n\"^slow\"\"D\"D2 \"_x\"\"<y\"\">z\"\"@1,2 w\"F2|\n", "Weir: D 4" },    // 4.19
    { HEAD "K:D\n\"G(Em)\"G4|\"C(add9)\"C4|\n", "Weir: G 4 C(add9) 4 (alternatives)" }, // 4.18
    { HEAD "K:D\n\"D/a\"D4|\"D/A\"D4|\n", "Weir: D/a 8" },                              // a bass letter of either case
    { HEAD "K:D\n\"D/f+\"D4|\"G\"G4|\n", "Weir: D/f# 4 G 4 (habit)" },                  // can mean one thing only
    { HEAD "K:D\n\"Cd\"D4|\"G\"G4|\n", "Weir: Cd? 4 G 4" },                             // once is no habit
    { HEAD "K:D\n\"D/f+\"D4|\"Cd\"C4|\n", "Weir: D/f# 4 Cdim 4 (habit)" },
    { HEAD "K:D\n\"Hx\"D4|\"N.C.\"G4|\n", "Weir: Hx? 4 N.C. 4" },
    // several chords in one text; words that begin with one
    { HEAD "K:D\n\"D G\"D4|\"A7 - D\"A4|\"G\"G4|\n", "Weir: D G? 4 A7 - D? 4 G 4" },
    { HEAD "K:D\n\"D\"D4|\"A tempo\"A4|\n", "Weir: D 8 (words)" },
    // written small; a letter alone is a step of the bass
    { HEAD "K:D\n\"bm\"D4|\"a7\"G2\"hm\"G2|\n", "Weir: Bm 4 A7 4 (words) (small)" },
    // words among the chords, which take no chord's place
    { HEAD "K:D\n\"Intro\"\"D\"D4|\"G\"\"repeat 3x\"G4|\"Tutti\"A4|\"Last X\"A4|\n", "Weir: D 4 G 12 (words)" },
    { HEAD "K:D\n\"1\"D4|\"D\"\"rit.\"G4|\n", "Weir: . 4 D 4 (words)" },
    // a bass alone is that of the last chord
    { HEAD "K:D\n\"D\"D2\"/C#\"D2|\"Bm\"D2 \"/a\"D2|z2\"/G\"D2|\n", "Weir: D 2 D/C# 2 Bm 2 Bm/a 4 Bm/G 2" },
    { HEAD "K:D\n\"/C#\"D2\"D\"D2|\"G\"\"/B\"G4|\n", "Weir: . 2 D 2 G/B 4 (bass runs)" },
    // an annotation sounds nothing, but a letter alone is that of a part
    { HEAD "K:D\n\"^A\"\"D\"D4|\"^Am\"G4|\"_B\"G4|\"@1,2 Em\"G4|\"^slow\"D4|\n", "Weir: D 20 (annotations)" },
    // within the brackets of notes at once, before any of them
    { HEAD "K:D\n[\"D\"DFA]4|[A,\"^low\"\"G\"G]2[\"A7\"A,E]2|\n", "Weir: D 4 G 2 A7 2" },
    { HEAD "K:D\n\"D\"D4 & [\"G\"G,D]4|[DA]4|\n\"G\"G4|\n", "Weir: D 8 G 4" },
    { HEAD "K:D\n\"D\"D4|[\"last time\"\"G\"G4|\n", "Weir: D 4 G 4" }, // names an ending
    { HEAD "K:D\n\"D\"D4|[\"A]4|\n",                                   // "D"D4|[ are 7
      "[:6:8: a chord symbol begins here and has no closing quote on its line; left out: Weir]" },
    { HEAD "K:D\nDEFG|\n", "Weir: . 4" },
    { HEAD "K:D\n\"D\"D4 & \"G\"G,4|\"A\"A4|\n", "Weir: D 4 A 4" },  // 7.4: an overlay lies under the same bar
    { HEAD "K:D\n\"D\"DEFA & D2 & A,|\"G\"G4|\n", "Weir: D 4 G 4" }, // as long as the longest, however many
    { HEAD "K:D\n\"D\"D2 & A,4 & F,|\"G\"G4 & D|\n", "Weir: D 4 G 4" },
    { HEAD "K:D\n\"D\"D2 \"A\"E & A, & F,3 & D,|\"G\"G4|\n", "Weir: D 2 A 1 G 4" },
    { HEAD "K:D\nV:1\nDEFG|ABcd|\nV:2\n\"D\"D4|\"G\"D4|\n", "Weir: D 4 G 4" },
    { HEAD "K:D\nV:1\nz4|\nV:2\n\"D\"D4|\n", "Weir: D 4" }, // the first voice has no melody
    { HEAD "K:D\n[V:1]\"D\"DEFG|[V:2]A,4|[V:1]\"G\"ABcd|[V:2]B,4|\n", "Weir: D 4 G 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// 4.20: a text for each note of the line above, none for rests; a star for no text; a line for the bar's end.
static void
test_symbol_lines(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:C\nC C E z A2 G2|\ns: \"C\" * \"Am\" *|\n", "Weir: C 2 Am 6" },
    { HEAD "K:C\nCDEF|G4|A2B2|\ns: \"C\" \"D\"|\"G\"|* \"Bm\"\n", "Weir: C 1 D 3 G 6 Bm 2" },
    { HEAD "K:C\nCDEF|G4|\ns: \"C\" * * * \"G\"\n", "Weir: C 4 G 4" }, // bar lines may be left out
    { HEAD "K:C\n\"F\"CD EF|\ns: \"^slow\" !f! \"G\" *\n", "Weir: F 2 G 2" },
    { HEAD "K:C\n{cd}[CE]2 (3DEF|\nw: la la la la\n% aside\ns: \"C\" \"Dm\"\n", "Weir: C 2 Dm 2" },
    { HEAD "K:C\nC2 D2|\ns: !trill! *\ns: \"C\" \"Dm\"\n", "Weir: C 2 Dm 2" },
    { HEAD "K:C\nC4|\ns: \"C\"\nD4|\nE4|\ns: \"Em\"\n", "Weir: C 8 Em 4" },
    { HEAD "K:C\nC4|\ns: \"C\" \"D\" \"E\"\nD4|\n", "Weir: C 8" }, // more than there are notes
    { HEAD "K:C\nC4|\ns: \"C", "Weir: C 4" },
    { HEAD "K:C\nC4|D4|\ns: !D.C.! \"G\"\n", "Weir: . 8 G 4" },
    { HEAD "K:C\nV:1\nCDEF|\nV:2\nC,2 G,2|\ns: \"C\" \"G\"\n", "Weir: C 2 G 2" },
    { HEAD "K:C\nV:1\nCDEF|\ns: \"C\"\nV:2\nC,2 G,2|\n", "Weir: C 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// No part of the standard: notes at once as they were written once, beside decorations between the same signs.
static void
test_old_chords(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:C\n\"C\"+CEG+2 D2|\"G\"+G,B,D+4|\n", "Weir: C 4 G 4 (old chords)" },
    { HEAD "K:C\n\"C\"+C2E2G2+ D2|\"G\"+^G/B/+ D|\n", "Weir: C 4 G 1.5 (old chords)" },
    { HEAD "K:C\n\"C\"+CEG+2 D2|\n", "Weir: C 2" }, // once is no habit
    { HEAD "K:C\n\"C\"+ff+C4|\"G\"+trill+D4|+fff+E4|\n", "Weir: C 4 G 8" },
    { HEAD "K:C\n\"C\"+CE+4|D4|\n\nX:2\nT:Lock\nL:1/4\nK:C\n\"F\"+FA+4|\n",
      "Weir: C 8 (old chords)\nLock: F 4 (old chords)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// 4.16: O stands for a coda, unless the tune says otherwise.
static void
test_letters_that_jump(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:C\n\"C\"C4|O\"G\"D4|\n", "Weir: C 4 G 4 (jumps)" },
    { HEAD "U:O = !trill!\nK:C\n\"C\"C4|O\"G\"D4|\n", "Weir: C 4 G 4" },
    { HEAD "U:W = !D.S.!\nK:C\n\"C\"C4|W\"G\"D4|\n", "Weir: C 4 G 4 (jumps)" },
    { HEAD "K:C\nU:h=+fine+\n\"C\"C4|h\"G\"D4|\"A\"E4|\n", "Weir: C 4 G 4 A 4 (jumps)" },
    { "U:O = !roll!\n\n" HEAD "K:C\n\"C\"OC4|\n", "Weir: C 4" },
    { HEAD "K:C\n\"C\"SC4|\n", "Weir: C 4" }, // a segno alone sends nobody anywhere
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_texts(void **state)
{
  (void)state;
#define BODY "L:1/4\nK:C\n\"C\"C4|\n"
  static const Case cases[] = {
    // 3.3
    { "X:1\nT:Over the Weir\n+: and Back\n" BODY, "Over the Weir and Back: C 4" },
    { "X:1\nT:Over % here\n% aside\n+:the Weir % there\n+:  and Back\n" BODY, "Over the Weir and Back: C 4" },
    { "X:1\nT:Weir\nC:nobody\n+:at all\n" BODY, "Weir: C 4" },
    { "X:1\nT:Weir\nT:Mill\n+:Race\n" BODY, "Weir: C 4" },
    { "X:1\r\nT:Weir\r\n+:Pool\r\nL:1/4\r\nK:C\r\n\"C\"C4|\r\n", "Weir Pool: C 4" },
    // 8.2
    { "X:1\nT:Caf&eacute; &Ouml;l &amp; Ma&ntilde;ana\n" BODY, "Caf\u00E9 \u00D6l & Ma\u00F1ana: C 4" },
    { "X:1\nT:Jack & Jill &nothing; &#233;&#xE9;\n" BODY, "Jack & Jill &nothing; \u00E9\u00E9: C 4" },
    { "X:1\nT:\\AAngstrom \\/O \\ae \\ss \\th \\vs \\ug \\Ho\n" BODY,
      "\u00C5ngstrom \u00D8 \u00E6 \u00DF \u00FE \u0161 \u011F \u0151: C 4" },
    { "X:1\nT:Ros\\u00e9, 50\\% \\& \\\\\n" BODY, "Ros\u00E9, 50% & \\: C 4" },
    { "X:1\nT:&#0; \\u0007 &#xD800; &\n" BODY, "&#0; u0007 &#xD800; &: C 4" }, // what is no letter stays
  };
#undef BODY
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_files(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "%abc-2.1\nL:1/4\nM:3/4\n\nX:1\nT:One\nK:D\n\"D\"D3|\n\ntext between\n\nX:2\nT:Two\nK:G\n\"G\"G3|\n",
      "One: D 3\nTwo: G 3" },
    { HEAD "K:D\n\"D\"D4|\nX:2\nT:Next\nL:1/4\nK:D\n\"G\"G4|\n", "Weir: D 4\nNext: G 4" }, // no empty line
    { "X:1\r\nT:Weir\r\nL:1/4\r\nK:D\r\n\"D\"D4|\r\n", "Weir: D 4" },
    { "X:1\rT:Weir\rL:1/4\rK:D\r\"D\"D4|\r% aside\r\"G\"G4|\r\rX:2\rT:Two\rL:1/4\rK:D\r\"D\"D4|\r",
      "Weir: D 4 G 4\nTwo: D 4" },
    { HEAD "K:D\r\r\n\"D\"D4|\r\r\n\"G\"G4|\r\r\n", "Weir: D 4 G 4" }, // one too many ends no line
    { "X:1\nT:Caf\\'e\nL:1/4\nK:D\n\"D\"D4|\n", "Café: D 4" },         // 8.2
    { "X:1\nT:Caf\xe9\nL:1/4\nK:D\n\"D\"D4|\n", "Café: D 4" },         // Latin-1 by content
    { "X:1\nT:Weir\nL:1/4\n\"D\"D4|\n",
      "[:1: a tune needs a line `K:` with its key between its heading and its music; left "
      "out: Weir]" },
    { HEAD "K:D\n\"D D4|\n\nX:2\nT:Two\nL:1/4\nK:G\n\"G\"G4|\n",
      "[:6:1: a chord symbol begins here and has no closing quote on its line; left out: Weir]\nTwo: G 4" },
    { "X:1\nT:Weir\nM:3/5\nK:D\nD|\n",
      "[:3:3: found `3/5`; expected a meter such as 3/4, C, C| or none; left out: Weir]" },
    { "nothing here\n", "[: holds no tunes; a tune begins with a line `X: 1`]" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// The melody's tones over each chord of the first tune, "2 6, 7".
static char *
melody(const char *text)
{
  GString *out = g_string_new(NULL);
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .leave_unkeyed = TRUE });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcPcSet tones = g_array_index(tune->events, RcEvent, i).melody;
    g_string_append(out, i ? "," : "");
    for (guint pc = 0; pc < 12; ++pc) {
      if (rc_pcs_has(tones, pc)) {
        g_string_append_printf(out, "%s%u", out->len ? " " : "", pc);
      }
    }
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return g_string_free(out, FALSE);
}

// 11.3: an accidental holds to the end of its bar, in all octaves unless a directive says less. K:D sharpens F and C.
static void
test_melody(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"D\"DF \"G\"G^g|\"A\"g=c ^ff|\n", "2 6, 7 8, 0 6 7" },
    { HEAD "K:C\n\"C\"^F \"D\"f \"E\"f' \"F\"F,|\"G\"F4|\n", "6, 6, 6, 6, 5" },
    { "%%propagate-accidentals octave\n\n" HEAD "K:C\n\"C\"^F \"D\"f \"E\"F \"F\"F,|\"G\"F4|\n", "6, 5, 6, 5, 5" },
    { HEAD "%%propagate-accidentals octave\nK:C\n\"C\"^f' \"D\"f \"E\"f' \"F\"=f'f'|\"G\"f'4|\n", "6, 5, 6, 5, 5" },
    { HEAD "I:propagate-accidentals not\nK:C\n\"C\"^F \"D\"F \"E\"f2|\n", "6, 5, 5" },
    { HEAD "K:C\n%%propagate-accidentals not\n\"C\"^F2 \"D\"F2|[I:propagate-accidentals pitch]\"E\"_b2 \"F\"B2|\n",
      "6, 5, 10, 10" },
    { HEAD "K:C\n\"C\"^F2 [M:2/4]\"D\"F2|\n", "6, 6" }, // a meter leaves it
    { HEAD "K:C\n\"C\"+^CE+2 \"D\"+DF+2|\"E\"C4|\n", "1 4, 2 5, 0" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *found = melody(cases[i].text);
    if (strcmp(found, cases[i].expected) != 0) {
      print_error("in\n%s\nfound    %s\nexpected %s\n", cases[i].text, found, cases[i].expected);
      fail();
    }
    g_free(found);
  }
}

typedef struct {
  const char *field;
  const char *key;
  double quarters;
} Setting;

static void
test_keys_and_tempi(void **state)
{
  (void)state;
  static const Setting settings[] = {
    { "K:D", "D major", 0 },
    { "K:Bm", "B minor", 0 },
    { "K:Edor", "E dorian", 0 },
    { "K:A Mixolydian", "A mixolydian", 0 },
    { "K:F#min", "F# minor", 0 },
    { "K:HP", "A mixolydian", 0 },
    { "K:none", "no key", 0 },
    { "K:G clef=bass", "G major", 0 },
    { "K:D Phr ^f", "D phrygian", 0 },
    { "Q:1/4=120\nK:D", "D major", 120 },
    { "Q:3/8=60\nK:D", "D major", 90 },
    { "Q:\"Slow\" 1/2=40\nK:D", "D major", 80 },
    { "Q:1/4 1/8=50\nK:D", "D major", 75 },
    { "L:1/8\nQ:120\nK:D", "D major", 60 },
    { "Q:C3=40\nL:1/8\nK:D", "D major", 60 },
    { "Q:\"Allegro\"\nK:D", "D major", 0 },
  };
  for (guint i = 0; i < G_N_ELEMENTS(settings); ++i) {
    char *text = g_strdup_printf("X:1\nT:Weir\nM:4/4\n%s\n\"D\"D|\n", settings[i].field);
    const char *const paths[] = { path, NULL };
    assert_true(g_file_set_contents(path, text, -1, NULL));
    RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .leave_unkeyed = TRUE });
    RcTune *tune = rc_tune_new();
    assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
    char *key = rc_key_name(rc_tune_setting(tune, 0)->key, RC_SIGNS_ASCII);
    assert_string_equal(key, settings[i].key);
    assert_true(rc_tune_setting(tune, 0)->tempo.quarters == settings[i].quarters);
    g_free(key);
    g_free(text);
    rc_tune_free(tune);
    rc_corpus_free(corpus);
  }
}

// A tune cut off anywhere gives a tune or a problem, and the reader comes to an end.
static void
test_cut_off_anywhere(void **state)
{
  (void)state;
  static const char whole[] =
    "%abc\nX:1\nT:W\\'eir\nP:A2\nM:6/8\nQ:3/8=112\nK:Bm ^g\nP:A\n|:\"Bm/f+\"{a}B2>c (3def|1 [B2d2]!D.S.!"
    "[K:D]\"A7(Em)\"Z2:|2 \"D\"d6 & x6|]\ns:\"^x\" * \"G\"|!f!\nV:2\n\"G\"G6|\n";
  for (gsize n = 0; n < sizeof whole; ++n) {
    g_free(heard(whole, n, SHOW_LENGTHS));
  }
}

// Found by fuzzing: a zero byte ended a symbol's text early. It is no text: a `?` stands for it, and what it is part of
// is unread.
static void
test_zero_bytes(void **state)
{
  (void)state;
  static const char text[] = HEAD "K:D\n\"D\0\"D4|\"G\"G4|\n";
  char *found = heard(text, sizeof text - 1, SHOW_LENGTHS);
  assert_string_equal(found, "Weir: D?? 4 G 4"); // the second mark says unread
  g_free(found);
}

static void
test_what_else_is_written(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"D/f+\"D4|\"Cd/E\"C4|\n", "Weir: D/f# 4 Cdim/E 4 (habit)" }, // an old name over a bass of today
    { HEAD "P:(AB\nK:D\nP:A\n\"D\"D4|\nP:B\n\"A\"A4|\n", "Weir: D 4 A 4 (parts)" },
    { HEAD "Q:1/4 120=\nK:D\n\"D\"D4|\n", "Weir: D 4" },
    { HEAD "Q:1=4/120\nK:D\n\"D\"D4|\n", "Weir: D 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// The key and the tempo on the way hold for the chords after them: Em7 asks for the tones of C major, then of D major,
// and for 4 s, then 0.5 s, which is brisk.
static void
test_changes_on_the_way_count(void **state)
{
  (void)state;
  static const char tune_text[] = HEAD "Q:1/4=60\nK:C\n\"Em7\"E4|\"A\"A4|\n[K:D][Q:1/4=480]\"Em7\"E4|\n";
  Rolled rolled = roll_text(tune_text);
  assert_int_equal(rc_roll_n_entries(rolled.roll), 3);
  const RcRequest slow = rc_roll_entry(rolled.roll, 0).request;
  const RcRequest fast = rc_roll_entry(rolled.roll, 2).request;
  assert_int_equal(slow.key.tones, rc_key_tones((RcKey){ RC_MODE_MAJOR, 0 })); // C
  assert_int_equal(fast.key.tones, rc_key_tones((RcKey){ RC_MODE_MAJOR, 2 })); // D, two fifths up
  assert_true(!slow.brisk && fast.brisk);
  clear_rolled(&rolled);
}

// However often an order of parts comes back to a chord that the keyboard lacks, with another melody each time, each
// playing of it counts: 50 times over Gb, 50 times over Bb.
static void
test_an_order_returns_to_a_chord(void **state)
{
  (void)state;
  static const char tune_text[] = HEAD "P:(ABCD)50\nK:C\n"
                                       "P:A\n\"Ebm\"_G4|\nP:D\n\"C\"C4|\nP:C\n\"Ebm\"_B4|\nP:B\n\"C\"C4|\n";
  Rolled rolled = roll_text(tune_text);
  const RcCounts counts = rc_roll_counts(rolled.roll, 0);
  assert_int_equal(counts.chords[RC_NATIVE], 100); // C
  assert_int_equal(rc_counts_chords(&counts), 200);
  assert_int_equal(counts.one_short, 1); // the one chord Eb minor
  assert_int_equal(rc_roll_n_entries(rolled.roll), 3);
  for (guint i = 0; i < 3; ++i) {
    const RcRollEntry entry = rc_roll_entry(rolled.roll, i);
    assert_int_equal(entry.chords, rc_note_pc(entry.request.chord.root) == 3 ? 50 : 100);
  }
  clear_rolled(&rolled);
}

// Not in the standard, which has one symbol a note: the first is the chord, one in brackets only where it is alone.
static void
test_several_symbols_on_a_note(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"Am\"\"F\"c4|\"G\"\"^swing\" \"C\"B4|\n", "Weir: Am 4 G 4 (alternatives)" },
    { HEAD "K:D\n\"D\"\"(Bm)\"d4|\"(Em)\"\"G\"B4|\n", "Weir: D 4 G 4 (alternatives)" },
    { HEAD "K:D\n\"(D)\"\"(Bm)\"d4|\n", "Weir: D 4 (alternatives)" },
    { HEAD "K:D\nd2d2|\ns:\"D\" \"A\"\ns:\"Bm\" *\n", "Weir: D 2 A 2 (alternatives)" }, // in two lines
    { HEAD "K:D\n\"Am\"c2\"F\"c2|\n", "Weir: Am 2 F 2" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_symbols_in_brackets(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"D\"d2 \"(D7)\"d2|\"( G )\"B4|\n", "Weir: D 2 D7 2 G 4" },
    { HEAD "K:D\n\"E/G# (Am)\"B4|\"C  (Am7)\"c4|\n", "Weir: E/G# 4 C 4 (alternatives)" },
    { HEAD "K:D\n\"D\"d4|\"(slowly)\"B4|\"(D\"d4|\n", "Weir: D 12 (words)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_notes_for_the_bass(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"D\"\"f#\"d4|\"D\" \"f+\"d4|\"G\"\"b\"B4|\"C\"\"bb\"c4|\n", "Weir: D/f# 8 G/b 4 C/bb 4 (bass)" },
    { HEAD "K:D\n\"D\"d2 \"c#\"d \"b\"d|\"a\"d4|\"G\"B4|\n", "Weir: D 8 G 4 (bass runs)" },
    { HEAD "K:D\n\"d\"d4|\"G\"B4|\n", "Weir: . 4 G 4 (bass runs)" },              // nothing goes on before the first
    { HEAD "K:D\n\"D/A\"\"f#\"d4|\n", "Weir: D/A 4 (bass runs)" },                // it has its bass
    { HEAD "K:D\n\"em\"d4|\"h\"d4|\"fis\"d4|\n", "Weir: Em 12 (words) (small)" }, // none of these is one
  };
  CHECK(cases, SHOW_LENGTHS);
}

// A tune is not lost for its key. Without a mode it is major, as the standard has it of capitals.
static void
test_keys_in_small_letters(void **state)
{
  (void)state;
#define KEYED(field) "X:1\nT:Weir\nM:4/4\nL:1/4\n" field "\n\"G\"G4|\n"
  static const Case cases[] = {
    { KEYED("K:g"), "Weir: G (G major, 4/4, 0) (small key)" },
    { KEYED("K:em"), "Weir: G (E minor, 4/4, 0) (small key)" },
    { KEYED("K:bb dor clef=bass"), "Weir: G (Bb dorian, 4/4, 0) (small key)" },
    { KEYED("K:f# minor"), "Weir: G (F# minor, 4/4, 0) (small key)" },
    { KEYED("K:bass"), "Weir: G (no key, 4/4, 0)" }, // a clef
    { KEYED("K:exp ^f"), "Weir: G (no key, 4/4, 0)" },
    { KEYED("K:Q"), "Weir: G (no key, 4/4, 0) (values)" },
    { KEYED("K:drone"), "Weir: G (no key, 4/4, 0) (values)" },
    { KEYED("K:C") "[K:d]\"D\"D4|[K:Q][M:7/5][L:x]\"A\"A4|\n",
      "Weir: G (C major, 4/4, 0) D (D major, 4/4, 0) A (D major, 4/4, 0) (values) (small key)" },
  };
  CHECK(cases, SHOW_SETTINGS);
}

// The remarks on a tune, one a line, each with its place.
static char *
remarks_on(const char *text)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  GString *out = g_string_new(NULL);
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  for (guint i = 0; i < tune->remarks->len; ++i) {
    const RcRemark *remark = &g_array_index(tune->remarks, RcRemark, i);
    g_string_append_printf(out, "%u:%u: %s\n", remark->line, remark->column, remark->text);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return g_string_free(out, FALSE);
}

// Whoever reads a remark need not look into the file to know what it is about.
static void
test_remarks_quote_what_was_found(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "\"G\"G2\"slow\"G2|", "5:7: `slow` is no chord" },
    { "\"G\"G2\"b\"G2|", "5:7: `b` alone is a note for the bass" },
    { "\"G\"\"f#\"G4|", "5:5: `f#` beside a chord is read as its bass" },
    { "\"em\"G4|", "5:2: `em` is read as a chord written small" },
    { "\"Am\"\"F\"G4|", "5:6: `F` is written where there are several chords" },
    { "\"^Am7\"G4|", "5:2: `^Am7` is an annotation" },
    { "\"G\"G2z2\"C7\"|\"D\"D4|", "5:9: `C7` has no note" },
    { "\"G\"G2z2\"C\"|\"D\"D4\"A\"|\"G\"G4\"D\"|]", "5:9: `C` after the last note of a bar" },
    { "\"D/f+\"G4|", "5:2: `D/f+` is written as in old collections" },
    { "\"G\"G4|[M:7/5]G4|", "5:10: `7/5` is no key, meter or note length" },
    { "\"G\"G4|[K: d ]D4|", "5:11: `d` names a key by a small letter" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *text = g_strdup_printf("X:1\nT:Weir\nL:1/4\nK:C\n%s\n", cases[i].text);
    char *found = remarks_on(text);
    if (!g_str_has_prefix(found, cases[i].expected)) {
      print_error("found    %s\nexpected %s\n", found, cases[i].expected);
      fail();
    }
    g_free(found);
    g_free(text);
  }
}

// Brackets that go round chords of several notes.
static void
test_brackets_around_several_symbols(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "K:D\n\"(G7\"d2\"C)\"d2|\"( Em\"e4|\n", "Weir: G7 2 C 2 Em 4" },
    { HEAD "K:D\n\"(slow\"d4|\"(Gx\"d4|\"(\"d4|\")\"d4|\n", "Weir: . 4 (Gx? 12 (words)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

#define TUNE(title, bars) "X:1\nT:" title "\nL:1/4\nK:C\n" bars "\n\n"

// The ways of old collections are the file's: it does not matter in which of its tunes, nor how far on, they are.
static void
test_habits_of_a_file(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TUNE("One", "\"Cd\"C4|") TUNE("Two", "\"C\"C4|") TUNE("Three", "\"Ca\"C4|\"Fa7\"F4|\"Gd7/b\"G4|"),
      "One: Cdim 4 (habit)\nTwo: C 4\nThree: Caug 4 Faug7 4 Gdim7/b 4 (habit)" },
    { TUNE("One", "\"C\"C4|") TUNE("Two", "\"Cd\"C4|"), "One: C 4\nTwo: Cd? 4" },
    { TUNE("One", "\"Fa7\"F4|") TUNE("Two", "\"D/f+\"C4|"), "One: Faug7 4 (habit)\nTwo: D/f# 4 (habit)" },
    { TUNE("One", "\"C\"+CE+4|") TUNE("Two", "+DF+4|"), "One: C 4 (old chords)\nTwo: . 4 (old chords)" },
    { TUNE("One", "\"Cad\"C4|\"Cda\"C4|\"Xd\"C4|\"d\"C4|"), "One: . 16 (bass runs) (words)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// By the standard a symbol is for the note after it. One after the last note of a bar has none where the next bar
// begins with another; a file that does so three times means the end of the bar.
static void
test_chords_after_the_last_note(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TUNE("One", "\"G\"G2z2\"C\"|\"D\"D4|"), "One: G 4 D 4 (lost)" },
    { TUNE("One", "\"G\"G2z2\"C\"|\"D\"D4\"A\"|\"G\"G4\"D\"|]"), "One: G 3 C 1 D 2 A 2 G 2 D 2 (late)" },
    { TUNE("One", "\"G\"G4\"C\"|\"D\"D4|") TUNE("Two", "\"D\"D4\"A\"|\"G\"G4\"D\"|]"),
      "One: G 2 C 2 D 4 (late)\nTwo: D 2 A 2 G 2 D 2 (late)" },
    { TUNE("One", "\"G\"G4\"C\"|D4|\"D\"D4\"A\"|D4\"G\"|G4|"), "One: G 4 C 4 D 4 A 4 G 4" }, // each has a note
    { TUNE("One", "\"G\"G4|\"C\"|\"D\"D4|"), "One: G 4 D 4 (lost)" },
    { TUNE("One", "\"G\"G3B/B/\"C\"|\"D\"D2(3DEF\"A\"|\"G\"G4\"D\"|]"), // of 1/2, of 2/3
      "One: G 3.75 C 0.25 D 3.66667 A 0.333333 G 2 D 2 (late)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// A chord that shares the time of the last note of its bar hears that note.
static void
test_late_chords_hear_the_note(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TUNE("One", "\"G\"G2B2\"C\"|\"D\"D4\"A\"|\"G\"[GB]4\"D\"|]"), "One: G:GB C:B D:D A:D G:GB D:GB (late)" },
    { TUNE("One", "\"G\"G3D/B/\"C\"|\"D\"D2(3DEF\"A\"|\"G\"G4\"D\"|]"), "One: G:DGB C:B D:DEF A:F G:G D:G (late)" },
  };
  CHECK(cases, SHOW_MELODY);
}

static void
test_what_closes_repeats(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TUNE("One", "|:\"C\"C4|\"G\"G4::|\"F\"F4|]"), "One: C 4 G 4 C 4 G 4 F 4 (repeats)" },
    { TUNE("One", "|::\"C\"C4|\"G\"G4::|"), "One: C 4 G 4 C 4 G 4 C 4 G 4" }, // 4.8
    { TUNE("One", "\"C\"C4|\"G\"G4::|"), "One: C 4 G 4 C 4 G 4 C 4 G 4" },    // nothing else is written
    { TUNE("One", "|:\"C\"C4:|\"G\"G4|\"F\"F4::|"), "One: C 8 G 4 F 4 G 4 F 4 G 4 F 4" },
    // a P: ends an ending
    { TUNE("One", "P:A\n|:\"C\"C4|1\"G\"G4:|2\"F\"F4|\nP:B\n\"Am\"A4|\"Em\"E4:|"),
      "One: C 4 G 4 C 4 F 4 Am 4 Em 4 Am 4 Em 4" },
    // an ending that is not closed before the next
    { TUNE("One", "|:\"C\"C4|1\"G\"G4|2\"F\"F4|]\"Am\"A4|]"), "One: C 4 G 4 C 4 F 4 Am 4 (open ending)" },
    { TUNE("One", "|:\"C\"C4|1\"G\"G4||2\"F\"F4|]"), "One: C 4 G 4 C 4 F 4 (open ending)" },
    { TUNE("One", "|:\"C\"C4|1\"G\"G4:|2\"F\"F4:|3\"Am\"A4|]"), "One: C 4 G 4 C 4 F 4 C 4 Am 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

#define ORDERED(order, body) "X:1\nT:One\nL:1/4\nP:" order "\nK:C\n" body "\n"
#define A_AND_B "P:A\n|:\"C\"C4|\"G\"G4:|\nP:B\n|:\"F\"F4|1\"Am\"A4:|2\"Em\"E4|]"

static void
test_orders_of_parts(void **state)
{
  (void)state;
  static const Case cases[] = {
    { ORDERED("AABB", A_AND_B), "One: C 4 G 4 C 4 G 4 F 4 Am 4 F 4 Em 4 (order)" },
    { ORDERED("A2B2", A_AND_B), "One: C 4 G 4 C 4 G 4 F 4 Am 4 F 4 Em 4 (order)" },
    { ORDERED("AB", A_AND_B), "One: C 4 G 4 C 4 G 4 F 4 Am 4 F 4 Em 4" }, // 3.1.9
    { ORDERED("AAB", A_AND_B), "One: C 4 G 4 C 4 G 4 C 4 G 4 C 4 G 4 F 4 Am 4 F 4 Em 4" },
    { ORDERED("AAB", "P:A\n|:\"C\"C4|\"G\"G4:|\nP:B\n\"F\"F4|"), // B has no repeat that could be meant
      "One: C 4 G 4 C 4 G 4 C 4 G 4 C 4 G 4 F 4" },
    // texts are no parts
    { ORDERED("AB", "P:A\n\"C\"C4|\nP:slowly\n\"G\"G4|\nP:B\n\"F\"F4|\nP:Ad lib.\n\"D\"D4|"), "One: C 4 G 4 F 4 D 4" },
    { ORDERED("", "P:segno\n\"C\"C4|\"G\"G4|\nP:Fine\n\"F\"F4|\"Em\"E4|\nP:D.S.\n"), "One: C 4 G 4 F 4 Em 4 C 4 G 4" },
    { ORDERED("AX", A_AND_B), "One: C 4 G 4 C 4 G 4 F 4 Am 4 F 4 Em 4 (parts)" },
    { ORDERED("", A_AND_B), "One: C 4 G 4 C 4 G 4 F 4 Am 4 F 4 Em 4" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_texts_are_no_parts(void **state)
{
  (void)state;
  static const Case cases[] = {
    { ORDERED("AB", "P:A\n\"C\"C4|\nP:slowly\n\"G\"G4|\nP:B part\n\"F\"F4|\nP:Fine\n"), "One: A 0+2 B part 2+1" },
    { ORDERED("", "P:Verse\n\"C\"C4|\nP:Chorus\n\"G\"G4|"), "One: Verse 0+1 Chorus 1+1" }, // where no letter is
  };
  CHECK(cases, SHOW_PARTS);
}

// What a field sets and another replaces before any note counts nowhere.
static void
test_settings_replaced_at_once(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "Q:1/4=90\nK:D\nM:3/4\nK:G\n[Q:1/4=120]\"G\"G3|\n", "Weir: G (G major, 3/4, 120)" },
    { HEAD "K:D\n\"D\"D4|\nK:G\nK:A\nM:2/4\n\"A\"A2|\n", "Weir: D (D major, 4/4, 0) A (A major, 2/4, 0)" },
    { HEAD "K:D\n\"D\"[K:C][K:G]D2 [K:A]\"A\"A2|\n", "Weir: D (G major, 4/4, 0) A (A major, 4/4, 0)" },
  };
  CHECK(cases, SHOW_SETTINGS);
}

// So the heading of the tune is that of its first note.
static void
test_first_setting_is_that_of_the_first_note(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, HEAD "Q:1/4=90\nK:D\nM:3/4\nL:1/8\nK:G\nQ:1/4=120\n\"G\"G6|\n", -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  assert_int_equal(tune->settings->len, 1);
  assert_int_equal(rc_tune_setting(tune, 0)->key.tonic, 1); // G, one fifth up
  assert_int_equal(rc_tune_setting(tune, 0)->meter.beats, 3);
  assert_true(rc_tune_setting(tune, 0)->tempo.quarters == 120);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

typedef struct {
  const char *name; // of the file
  const char *fields;
  const char *rhythm; // whose usual tempo it has; NULL: that of the meter
  RcTempoSource source;
} Dance;

// A dance that the tune names where it names no rhythm: by the title, the group or the file's name.
static void
test_dances_that_tunes_name(void **state)
{
  (void)state;
  static const Dance dances[] = {
    { "weir.abc", "T:The Weir Reel\nR:march\nM:4/4\n", "march", RC_TEMPO_RHYTHM },
    { "weir.abc", "T:The Weir\nR:Reels, Irish\nM:4/4\n", "reel", RC_TEMPO_RHYTHM },
    { "weir.abc", "T:The Weir Reel\nM:4/4\n", "reel", RC_TEMPO_TITLE },
    { "weir.abc", "T:The Weir Reel\nR:Irish\nM:4/4\n", "reel", RC_TEMPO_TITLE },
    { "weir.abc", "T:The Weir Hornpipe\nR:song\nM:4/4\n", "song", RC_TEMPO_RHYTHM }, // which has a usual tempo
    { "weir.abc", "T:The Weir\nG:Polkas\nM:2/4\n", "polka", RC_TEMPO_GROUP },
    { "slip-jigs.abc", "T:The Weir\nG:\nM:9/8\n", "slip jig", RC_TEMPO_FILE },
    { "waltzes.yaml", "title: Weir\nmeter: 3/4\nparts: {A: \"| C |\"}\n", "waltz", RC_TEMPO_FILE }, // in any format
    { "waltzes.abc", "T:The Weir\nM:4/4\n", NULL, RC_TEMPO_METER },
  };
  for (guint i = 0; i < G_N_ELEMENTS(dances); ++i) {
    char *file = g_build_filename(folder, dances[i].name, NULL);
    char *text = g_str_has_suffix(file, ".abc") ? g_strdup_printf("X:1\n%sK:C\n\"C\"C|\n", dances[i].fields)
                                                : g_strdup(dances[i].fields);
    const char *const paths[] = { file, NULL };
    assert_true(g_file_set_contents(file, text, -1, NULL));
    RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
    RcTune *tune = rc_tune_new();
    assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
    const RcMeter meter = rc_tune_setting(tune, 0)->meter;
    const RcTempo tempo = rc_tune_usual_tempo(tune, meter);
    assert_int_equal(tempo.source, dances[i].source);
    assert_true(tempo.quarters == rc_tempo_assume(dances[i].rhythm, meter).quarters);
    rc_tune_free(tune);
    rc_corpus_free(corpus);
    g_remove(file);
    g_free(text);
    g_free(file);
  }
}

static int
make_folder(void **state)
{
  (void)state;
  return make_scratch("weir.abc");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_lengths),
    cmocka_unit_test(test_repeats),
    cmocka_unit_test(test_symbols),
    cmocka_unit_test(test_files),
    cmocka_unit_test(test_melody),
    cmocka_unit_test(test_keys_and_tempi),
    cmocka_unit_test(test_cut_off_anywhere),
    cmocka_unit_test(test_zero_bytes),
    cmocka_unit_test(test_symbol_lines),
    cmocka_unit_test(test_old_chords),
    cmocka_unit_test(test_letters_that_jump),
    cmocka_unit_test(test_texts),
    cmocka_unit_test(test_what_else_is_written),
    cmocka_unit_test(test_changes_on_the_way_count),
    cmocka_unit_test(test_an_order_returns_to_a_chord),
    cmocka_unit_test(test_several_symbols_on_a_note),
    cmocka_unit_test(test_symbols_in_brackets),
    cmocka_unit_test(test_brackets_around_several_symbols),
    cmocka_unit_test(test_notes_for_the_bass),
    cmocka_unit_test(test_keys_in_small_letters),
    cmocka_unit_test(test_remarks_quote_what_was_found),
    cmocka_unit_test(test_habits_of_a_file),
    cmocka_unit_test(test_chords_after_the_last_note),
    cmocka_unit_test(test_late_chords_hear_the_note),
    cmocka_unit_test(test_what_closes_repeats),
    cmocka_unit_test(test_orders_of_parts),
    cmocka_unit_test(test_texts_are_no_parts),
    cmocka_unit_test(test_settings_replaced_at_once),
    cmocka_unit_test(test_first_setting_is_that_of_the_first_note),
    cmocka_unit_test(test_dances_that_tunes_name),
  };
  return cmocka_run_group_tests(tests, make_folder, remove_scratch);
}
