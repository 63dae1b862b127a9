// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Chord symbols against three outside sources, symbol by symbol: the npm packages chord-symbol (a parser) and
// @tonaljs/chord-type (a list of names), both through the table npm-chords.tsv made by npm-chords.mjs, and the chord
// table of Debian's package mma, read from where the package installs it.
//
// Where a source and we differ, a table below says what we read and why. Its tones are worked out by hand from our own
// definition of each chord, never taken from the parser. A difference that is not in the table fails, and so does an
// entry of the table that is no difference any more.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/music.h"

#include <stdlib.h>
#include <string.h>

#define MMA_CHORDS "/usr/share/mma/MMA/chordtable.py"

// ------------------------------------------------------------------------------------------------- the differences

typedef enum {
  DIFFERENT,  // both read it, otherwise
  WE_UNREAD,  // we take it for no chord symbol
  THEY_UNREAD // the source does
} Kind;

typedef struct {
  const char *symbol;
  Kind kind;
  const char *ours; // pitch classes, the bass after a slash when it is not the root; "unread"; "silent"
  const char *reason;
} Difference;

// chord-symbol 4.0.0.
static const Difference parser_differences[] = {
  // Spellings that we leave out.
  { "Ch", WE_UNREAD, "unread", "'h' for half-diminished is none of our spellings" },
  { "Ch7", WE_UNREAD, "unread", "'h' for half-diminished is none of our spellings" },
  { "Cdiminished", WE_UNREAD, "unread", "only the short form 'dim'" },
  { "Cdiminished7", WE_UNREAD, "unread", "only the short form 'dim'" },
  { "Caugmented", WE_UNREAD, "unread", "only the short form 'aug'" },
  { "Csuspended", WE_UNREAD, "unread", "only the short form 'sus'" },
  { "Caltered", WE_UNREAD, "unread", "only the short form 'alt'" },
  { "C7altered", WE_UNREAD, "unread", "only the short form 'alt'" },
  { "C7dim", WE_UNREAD, "unread", "'dim' makes the triad and comes before the 7" },

  // Plain numbers.
  { "C2", DIFFERENT, "0,2,7", "our decision: 2 is sus2; there it is add9" },
  { "C(2)", DIFFERENT, "0,2,7", "our decision: 2 is sus2; there it is add9" },
  { "C4/7", THEY_UNREAD, "0,5,7,10", "a slash before a number only separates: 4 is sus4, with the 7" },
  { "C7/4", THEY_UNREAD, "0,5,7,10", "a 4 after a dominant seventh is its suspension" },
  { "C6(9)", DIFFERENT, "0,2,4,7,9", "the sixth chord with the 9; there the 9 brings a b7 along" },
  { "Cm6(9)", DIFFERENT, "0,2,3,7,9", "the sixth chord with the 9; there the 9 brings a b7 along" },
  { "C(9)", DIFFERENT, "0,2,4,7", "a 9 in brackets only adds its own tone; there it is the ninth chord" },
  { "Cm(9)", DIFFERENT, "0,2,3,7", "a 9 in brackets only adds its own tone; there it is the ninth chord" },
  { "C(9,11)", DIFFERENT, "0,2,4,5,7", "bracketed numbers add only their own tone; there a b7 comes, the third goes" },
  { "C/9", THEY_UNREAD, "0,2,4,7", "a slash before a number only separates: the 9 is added" },
  { "C/add9", THEY_UNREAD, "0,2,4,7", "a slash before a word only separates" },
  { "Cadd7", THEY_UNREAD, "0,4,7,10", "an added 7 is the minor seventh, as in MusicXML" },

  // Sevenths.
  { "Cdom", THEY_UNREAD, "0,4,7,10", "MusicXML's kind 'dominant' is the seventh chord" },
  { "Cdom7", THEY_UNREAD, "0,4,7,10", "MusicXML's kind 'dominant' is the seventh chord" },
  { "C7th", THEY_UNREAD, "0,4,7,10", "an ordinal for the number" },
  { "Cmaj.7", THEY_UNREAD, "0,4,7,11", "a word cut short may end in a full stop" },
  { "Cj7", THEY_UNREAD, "0,4,7,11", "'j' is short for 'maj'" },
  { "Cm/maj7", THEY_UNREAD, "0,3,7,11", "a slash before a word only separates" },
  { "Cm/ma7", THEY_UNREAD, "0,3,7,11", "a slash before a word only separates" },
  { "Cm/M7", THEY_UNREAD, "0,3,7,11", "a slash before a word only separates" },
  { "Cm#7", THEY_UNREAD, "0,3,7,11", "the minor triad with the raised seventh" },
  { "Cm+7", DIFFERENT, "0,3,7,11", "the minor triad with the raised seventh, as mma has it; there m+ with a 7" },

  // Ninths.
  { "C7/9", THEY_UNREAD, "0,2,4,7,10", "a slash before a number only separates" },
  { "Cmaj7/9", THEY_UNREAD, "0,2,4,7,11", "a slash before a number only separates" },
  { "Cmaj7(9)", THEY_UNREAD, "0,2,4,7,11", "the 9 is added to maj7; there a second seventh makes it unreadable" },
  { "Cm(maj7)9", THEY_UNREAD, "0,2,3,7,11", "the 9 is added to m(maj7); there a second seventh makes it unreadable" },
  { "Cdim9", DIFFERENT, "0,2,3,6,9", "the diminished seventh chord with a 9; there the seventh is minor" },
  { "C7-9", DIFFERENT, "0,1,4,7,10", "'-' after a number flattens: 7b9; there '-' makes the chord minor" },
  { "C7(-9)", DIFFERENT, "0,1,4,7,10", "'-' after a number flattens: 7b9; there '-' makes the chord minor" },
  { "C7+9", DIFFERENT, "0,3,4,7,10", "'+' before a number sharpens it: 7#9; there '+' raises the fifth" },
  { "C7(+9)", DIFFERENT, "0,3,4,7,10", "'+' before a number sharpens it: 7#9; there '+' raises the fifth" },
  { "C7/b9", THEY_UNREAD, "0,1,4,7,10", "a slash before an alteration only separates" },
  { "C7/#9", THEY_UNREAD, "0,3,4,7,10", "a slash before an alteration only separates" },
  { "C7/b5", THEY_UNREAD, "0,4,6,10", "a slash before an alteration only separates" },
  { "C7(b9/b5)", THEY_UNREAD, "0,1,4,6,10", "a slash before an alteration only separates" },

  // Elevenths.
  { "C11", DIFFERENT, "0,2,4,5,7,10", "MusicXML's dominant-11th has the third; there it is left out" },
  { "CM11", DIFFERENT, "0,2,4,5,7,11", "MusicXML's major-11th has the third; there it is left out" },
  { "Cma11", DIFFERENT, "0,2,4,5,7,11", "MusicXML's major-11th has the third; there it is left out" },
  { "Cmaj11", DIFFERENT, "0,2,4,5,7,11", "MusicXML's major-11th has the third; there it is left out" },
  { "CΔ11", DIFFERENT, "0,2,4,5,7,11", "MusicXML's major-11th has the third; there it is left out" },
  { "C11b9", DIFFERENT, "0,1,4,5,7,10", "the eleventh chord keeps its third, as in mma; there it is left out" },
  { "C11(b9)", DIFFERENT, "0,1,4,5,7,10", "the eleventh chord keeps its third, as in mma; there it is left out" },
  { "C9(11)", DIFFERENT, "0,2,4,5,7,10", "the 11 is added to the ninth chord; there the third goes" },
  { "C7(9,11)", DIFFERENT, "0,2,4,5,7,10", "9 and 11 are added to the seventh chord; there the third goes" },
  { "C7(11)", DIFFERENT, "0,4,5,7,10", "only the 11 is added to the seventh chord; there a 9 comes, the third goes" },
  { "Cm7(11)", DIFFERENT, "0,3,5,7,10", "only the 11 is added to m7; there a 9 comes along" },
  { "Cdim11", DIFFERENT, "0,2,3,5,6,9", "the diminished seventh chord with 9 and 11; there the seventh is minor" },
  { "C11sus", THEY_UNREAD, "0,2,5,7,10", "the eleventh chord with the fourth in place of the third" },
  { "C11sus4", THEY_UNREAD, "0,2,5,7,10", "the eleventh chord with the fourth in place of the third" },
  { "C7+11", DIFFERENT, "0,4,6,7,10", "'+' before a number sharpens it: 7#11; there '+' raises the fifth" },
  { "C7(+11)", DIFFERENT, "0,4,6,7,10", "'+' before a number sharpens it: 7#11; there '+' raises the fifth" },
  { "C9+11", DIFFERENT, "0,2,4,6,7,10", "'+' before a number sharpens it: 9#11; there '+' raises the fifth" },
  { "C11#11", THEY_UNREAD, "0,2,4,6,7,10", "the #11 takes the place of the 11" },
  { "Cm11#11", THEY_UNREAD, "0,2,3,6,7,10", "the #11 takes the place of the 11" },
  { "C#11", DIFFERENT, "1,3,5,6,8,11", "the eleventh chord on C sharp, with its third; there it is left out" },

  // Thirteenths.
  { "C13", DIFFERENT, "0,2,4,5,7,9,10", "MusicXML's dominant-13th has the 11; there it is left out" },
  { "D13", DIFFERENT, "0,2,4,6,7,9,11", "MusicXML's dominant-13th has the 11, here G; there it is left out" },
  { "G13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's dominant-13th has the 11, here C; there it is left out" },
  { "D♭13", DIFFERENT, "1,3,5,6,8,10,11", "MusicXML's dominant-13th has the 11, here Gb; there it is left out" },
  { "CM13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "Cma13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "Cmaj13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "CΔ13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "C7(13)", DIFFERENT, "0,4,7,9,10", "only the 13 is added to the seventh chord; there a 9 comes along" },
  { "Cm7(13)", DIFFERENT, "0,3,7,9,10", "only the 13 is added to m7; there 9 and 11 come along" },
  { "Cm9(13)", DIFFERENT, "0,2,3,7,9,10", "only the 13 is added to m9; there an 11 comes along" },
  { "Cmaj7(13)", THEY_UNREAD, "0,4,7,9,11", "the 13 is added to maj7; there a second seventh makes it unreadable" },
  { "C7/6", THEY_UNREAD, "0,4,7,9,10", "a slash before a number only separates" },
  { "C7/13", THEY_UNREAD, "0,4,7,9,10", "a slash before a number only separates" },
  { "C13b5", DIFFERENT, "0,2,4,5,6,9,10", "13 has the 11; there it is left out" },
  { "C13(b5)", DIFFERENT, "0,2,4,5,6,9,10", "13 has the 11; there it is left out" },
  { "C13#5", DIFFERENT, "0,2,4,5,8,9,10", "13 has the 11; there it is left out" },
  { "C13b9", DIFFERENT, "0,1,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13(b9)", DIFFERENT, "0,1,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13-9", DIFFERENT, "0,1,4,5,7,9,10", "'-' after a number flattens: 13b9; there '-' makes the chord minor" },
  { "C13#9", DIFFERENT, "0,3,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13(#9)", DIFFERENT, "0,3,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13+11", DIFFERENT, "0,2,4,6,7,9,10", "'+' before a number sharpens it: 13#11; there '+' raises the fifth" },
  { "C13b5b9", DIFFERENT, "0,1,4,5,6,9,10", "13 has the 11; there it is left out" },
  { "C13(b5,b9)", DIFFERENT, "0,1,4,5,6,9,10", "13 has the 11; there it is left out" },
  { "C13#9b5", DIFFERENT, "0,3,4,5,6,9,10", "13 has the 11; there it is left out" },
  { "C13(no5)", DIFFERENT, "0,2,4,5,9,10", "13 has the 11; there it is left out" },

  // The flat thirteenth.
  { "C7b13", DIFFERENT, "0,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7(b13)", DIFFERENT, "0,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7♭13", DIFFERENT, "0,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7-13", DIFFERENT, "0,4,7,8,10", "'-' after a number flattens: 7b13; there '-' makes the chord minor" },
  { "C9b13", DIFFERENT, "0,2,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C9(b13)", DIFFERENT, "0,2,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7b9b13", DIFFERENT, "0,1,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7(b9,b13)", DIFFERENT, "0,1,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7(b9b13)", DIFFERENT, "0,1,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7#9b13", DIFFERENT, "0,3,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7(#9,b13)", DIFFERENT, "0,3,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7 #9 b13", DIFFERENT, "0,3,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7#11b13", DIFFERENT, "0,4,6,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7(#11,b13)", DIFFERENT, "0,4,6,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C11b13", DIFFERENT, "0,2,4,5,7,8,10", "11 has the third, a b13 leaves the fifth; there both go" },
  { "C7(b9,#11,b13)", DIFFERENT, "0,1,4,6,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C7b9#9#11b13", DIFFERENT, "0,1,3,4,6,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "Cm7b13", DIFFERENT, "0,3,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "Cmaj7b13", DIFFERENT, "0,4,7,8,11", "a b13 leaves the fifth where it is; there the fifth goes" },

  // The altered chord.
  { "Calt", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7alt", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7ALT", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7(alt)", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7alt.", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7 alt", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7alt/E", DIFFERENT, "0,3,4,8,10/4", "our decision: alt is 7#5#9; there every alteration at once" },
  { "C7alt/Bb", DIFFERENT, "0,3,4,8,10/10", "our decision: alt is 7#5#9; there every alteration at once" },

  // Left-out tones, roots, basses, silence.
  { "C5add9", DIFFERENT, "0,2,7", "the power chord with a 9; there the 9 is dropped" },
  { "Cno3rd", THEY_UNREAD, "0,7", "an ordinal for the number" },
  { "C(no3rd)", THEY_UNREAD, "0,7", "an ordinal for the number" },
  { "Bbb", THEY_UNREAD, "1,4,9", "the major triad on B double flat" },
  { "Abb7", THEY_UNREAD, "2,5,7,11", "the seventh chord on A double flat" },
  { "F##", THEY_UNREAD, "2,7,11", "the major triad on F double sharp" },
  { "C / E", THEY_UNREAD, "0,4,7/4", "blanks around the slash are no part of the symbol" },
  { "C/e", THEY_UNREAD, "0,4,7/4", "ABC 2.1 allows a small letter for the bass" },
  { "NC", THEY_UNREAD, "silent", "no chord is wanted" },
  { "N.C.", THEY_UNREAD, "silent", "no chord is wanted" },
};

// @tonaljs/chord-type 5.1.1.
static const Difference list_differences[] = {
  // Spellings that we leave out.
  { "Ch", WE_UNREAD, "unread", "'h' for half-diminished is none of our spellings" },
  { "Ch7", WE_UNREAD, "unread", "'h' for half-diminished is none of our spellings" },
  { "Co7M7", WE_UNREAD, "unread", "a chord takes one seventh; a second one is written with 'add'" },
  { "Cm11A", WE_UNREAD, "unread", "'A' for augmented is none of our spellings" },
  { "Cphryg", WE_UNREAD, "unread", "a mode is no chord" },
  { "Cquartal", WE_UNREAD, "unread", "a stack of fourths is no chord of thirds" },

  // Other readings.
  { "C2", DIFFERENT, "0,2,7", "our decision: 2 is sus2; there it is add9" },
  { "C4", DIFFERENT, "0,5,7", "our decision: 4 is sus4; there it is a stack of fourths" },
  { "C^", DIFFERENT, "0,4,7,11", "the triangle brings its seventh alone too, as with chord-symbol; there the triad" },
  { "C^#5", DIFFERENT, "0,4,8,11", "the triangle brings its seventh; there the triad" },
  { "C^7b6", DIFFERENT, "0,4,7,8,11", "a b6 leaves the fifth where it is; there the fifth goes" },
  { "C^13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "Calt7", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there 1 3 b7 b9" },
  { "Cb9sus", DIFFERENT, "1,4,6,9,11", "the accidental belongs to the root: 9sus4 on C flat; there 7b9sus4 on C" },
  { "Cmaj#4", DIFFERENT, "0,4,6,7", "'maj' without a number is the triad; there maj7" },
  { "C11", DIFFERENT, "0,2,4,5,7,10", "MusicXML's dominant-11th has the third; there it is left out" },
  { "C11b9", DIFFERENT, "0,1,4,5,7,10", "the eleventh chord keeps its third, as in mma; there it is left out" },
  { "C13", DIFFERENT, "0,2,4,5,7,9,10", "MusicXML's dominant-13th has the 11; there it is left out" },
  { "C13b5", DIFFERENT, "0,2,4,5,6,9,10", "13 has the 11; there it is left out" },
  { "C13b9", DIFFERENT, "0,1,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13#9", DIFFERENT, "0,3,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13no5", DIFFERENT, "0,2,4,5,9,10", "13 has the 11; there it is left out" },
  { "Cmaj13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "CMaj13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has the 11; there it is left out" },
  { "Cm13", DIFFERENT, "0,2,3,5,7,9,10", "MusicXML's minor-13th has the 11; there it is left out" },
  { "C-13", DIFFERENT, "0,2,3,5,7,9,10", "MusicXML's minor-13th has the 11; there it is left out" },
  { "CM7add13", DIFFERENT, "0,4,7,9,11", "add13 adds the 13 alone; there a 9 comes along" },
  { "C7b13", DIFFERENT, "0,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "C9b13", DIFFERENT, "0,2,4,7,8,10", "a b13 leaves the fifth where it is; there the fifth goes" },
  { "CM7b6", DIFFERENT, "0,4,7,8,11", "a b6 leaves the fifth where it is; there the fifth goes" },
  { "Cmb6M7", DIFFERENT, "0,3,7,8,11", "a b6 leaves the fifth where it is; there the fifth goes" },
  { "Cmb6b9", DIFFERENT, "0,1,3,7,8", "a b6 leaves the fifth where it is; there the fifth goes" },
  { "C6b5", DIFFERENT, "0,4,6,9", "a b5 replaces the fifth; there it is beside it" },
  { "CM6b5", DIFFERENT, "0,4,6,9", "a b5 replaces the fifth; there it is beside it" },
  { "C7b5b13", DIFFERENT, "0,4,6,8,10", "a b5 replaces the fifth; there it is beside it" },
  { "C7b5b9", DIFFERENT, "0,1,4,6,10", "a b5 replaces the fifth; there it is beside it" },
  { "C7b9b5", DIFFERENT, "0,1,4,6,10", "a b5 replaces the fifth; there it is beside it" },
  { "C7b5#9", DIFFERENT, "0,3,4,6,10", "a b5 replaces the fifth; there it is beside it" },
  { "C7#9b5", DIFFERENT, "0,3,4,6,10", "a b5 replaces the fifth; there it is beside it" },
  { "C7b5b9b13", DIFFERENT, "0,1,4,6,8,10", "a b5 replaces the fifth; there it is beside it" },
  { "C9b5b13", DIFFERENT, "0,2,4,6,8,10", "a b5 replaces the fifth; there it is beside it" },
};

// Debian's mma 21.09. Its chords have few tones, made to be played in patterns.
static const Difference mma_differences[] = {
  // Spellings that we leave out.
  { "C+9M7", WE_UNREAD, "unread", "the major seventh comes before the 9: +maj9" },
  { "Caug9M7", WE_UNREAD, "unread", "the major seventh comes before the 9: +maj9" },
  { "Cdim3", WE_UNREAD, "unread", "'dim' alone is the triad; the table calls this name non-standard itself" },
  { "C°3", WE_UNREAD, "unread", "'°' alone is the triad" },

  // Other readings.
  { "Cdim", DIFFERENT, "0,3,6", "'dim' is the triad, as in MusicXML; there it has the diminished seventh" },
  { "C°", DIFFERENT, "0,3,6", "'°' is the triad, as in MusicXML; there it has the diminished seventh" },
  { "C°(addM7)", DIFFERENT, "0,3,6,11", "'°' is the triad; there it has the diminished seventh" },
  { "Cdim(b13)", DIFFERENT, "0,3,6,8", "'dim' is the triad; there it has the diminished seventh" },
  { "C7alt", DIFFERENT, "0,3,4,8,10", "our decision: alt is 7#5#9; there 7b5b9, which the table itself doubts" },
  { "Cm7#5", DIFFERENT, "0,3,8,10", "minor has the minor third; the table's major third is a slip" },
  { "Cm+7b9", DIFFERENT, "0,1,3,7,11", "m+7 is the raised seventh, as in the table's own m+7; there m#5" },
  { "Cm+7#9", DIFFERENT, "0,3,7,11", "m+7 is the raised seventh, as in the table's own m+7; there m#5" },
  { "Cm+7b9#11", DIFFERENT, "0,1,3,6,7,11", "m+7 is the raised seventh, as in the table's own m+7; there m#5" },
  { "Cm(sus9)", DIFFERENT, "0,2,5,7,10", "sus9 is 9sus4, as in the table's own sus9; there madd9" },
  { "Cmsus", DIFFERENT, "0,5,7", "the fourth replaces the third; there it is beside it" },
  { "Cmsus4", DIFFERENT, "0,5,7", "the fourth replaces the third; there it is beside it" },
  { "Cm7sus", DIFFERENT, "0,5,7,10", "the fourth replaces the third; there it is beside it" },
  { "Cm7sus4", DIFFERENT, "0,5,7,10", "the fourth replaces the third; there it is beside it" },
  { "C9b6", DIFFERENT, "0,2,4,7,8,10", "the ninth chord with a b6; there seventh and fifth are left out" },
  { "CM#11", DIFFERENT, "0,4,6,7", "'M' without a number is the triad, as the table's text says; there maj7" },
  { "C11", DIFFERENT, "0,2,4,5,7,10", "MusicXML's dominant-11th has the third; there it is left out" },
  { "C11+", DIFFERENT, "0,2,4,5,8,10", "the eleventh chord has the third; there it is left out" },
  { "C11#5", DIFFERENT, "0,2,4,5,8,10", "the eleventh chord has the third; there it is left out" },
  { "C13", DIFFERENT, "0,2,4,5,7,9,10", "MusicXML's dominant-13th has 9 and 11; there they are left out" },
  { "CM13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has 9 and 11; there they are left out" },
  { "Cmaj13", DIFFERENT, "0,2,4,5,7,9,11", "MusicXML's major-13th has 9 and 11; there they are left out" },
  { "Cm13", DIFFERENT, "0,2,3,5,7,9,10", "MusicXML's minor-13th has 9 and 11; there they are left out" },
  { "C13#11", DIFFERENT, "0,2,4,6,7,9,10", "13 has the 9; there it is left out" },
  { "CM13#11", DIFFERENT, "0,2,4,6,7,9,11", "13 has the 9; there it is left out" },
  { "C13b9", DIFFERENT, "0,1,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13#9", DIFFERENT, "0,3,4,5,7,9,10", "13 has the 11; there it is left out" },
  { "C13b5", DIFFERENT, "0,2,4,5,6,9,10", "13 has 9, 11 and 13; there a b13, against the table's own text" },
  { "CM7(add13)", DIFFERENT, "0,4,7,9,11", "maj7 with a 13; the table's alias points to 13b9, a slip" },
};

// ---------------------------------------------------------------------------------------------------- the readings

// What somebody reads in a symbol. The tones are the pitch classes, a written bass included.
typedef struct {
  guint tones;
  int bass; // its pitch class, or NO_BASS
} Reading;

enum {
  NO_BASS = -1, // no bass but the root
  TONES_UNREAD = 0,
  TONES_SILENT = 1 << 12
};

static guint
tones_of_text(const char *text)
{
  if (!strcmp(text, "unread")) {
    return TONES_UNREAD;
  }
  if (!strcmp(text, "silent")) {
    return TONES_SILENT;
  }
  char **numbers = g_strsplit(text, ",", 0);
  guint tones = 0;
  for (guint i = 0; numbers[i]; ++i) {
    guint64 pc = 0;
    assert_true(g_ascii_string_to_unsigned(numbers[i], 10, 0, 11, &pc, NULL));
    tones |= 1U << pc;
  }
  g_strfreev(numbers);
  return tones;
}

static Reading
reading_of_text(const char *text)
{
  char **parts = g_strsplit(text, "/", 2);
  Reading reading = { tones_of_text(parts[0]), NO_BASS };
  if (parts[1]) {
    reading.bass = atoi(parts[1]);
    reading.tones |= 1U << reading.bass;
  }
  g_strfreev(parts);
  return reading;
}

static char *
text_of_reading(Reading reading)
{
  if (reading.tones == TONES_UNREAD || reading.tones == TONES_SILENT) {
    return g_strdup(reading.tones == TONES_SILENT ? "silent" : "unread");
  }
  GString *text = g_string_new(NULL);
  for (guint pc = 0; pc < 12; ++pc) {
    if (reading.tones >> pc & 1U) {
      g_string_append_printf(text, "%s%u", text->len ? "," : "", pc);
    }
  }
  if (reading.bass != NO_BASS) {
    g_string_append_printf(text, "/%d", reading.bass);
  }
  return g_string_free(text, FALSE);
}

static gboolean
reading_equal(Reading a, Reading b)
{
  return a.tones == b.tones && a.bass == b.bass;
}

static Reading
reading_of_chord(const RcChord *chord)
{
  const guint bass = rc_note_pc(chord->bass);
  return (Reading){ rc_chord_tones(chord), bass == rc_note_pc(chord->root) ? NO_BASS : (int)bass };
}

static Reading
read_symbol(const char *symbol)
{
  RcChord chord = { 0 };
  switch (rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &chord, NULL)) {
  case RC_SYMBOL_CHORD:
    return reading_of_chord(&chord);
  case RC_SYMBOL_SILENT:
    return (Reading){ TONES_SILENT, NO_BASS };
  case RC_SYMBOL_HELD:
  case RC_SYMBOL_UNREAD:
    break;
  }
  return (Reading){ TONES_UNREAD, NO_BASS };
}

// -------------------------------------------------------------------------------------------------- the comparison

// One source on its way through the comparison.
typedef struct {
  const char *name;
  const Difference *differences;
  guint n_differences;
  gboolean *met; // for each difference, whether it was met
  guint compared;
  guint equal;
  guint explained;
  guint wrong;
} Comparison;

static Comparison
comparison_start(const char *name, const Difference *differences, guint n_differences)
{
  return (Comparison){
    .name = name, .differences = differences, .n_differences = n_differences, .met = g_new0(gboolean, n_differences)
  };
}

static gboolean
is_explained(Comparison *c, const char *symbol, Reading theirs, Reading ours)
{
  const Kind kind = theirs.tones == TONES_UNREAD ? THEY_UNREAD : ours.tones == TONES_UNREAD ? WE_UNREAD : DIFFERENT;
  for (guint i = 0; i < c->n_differences; ++i) {
    const Difference *d = &c->differences[i];
    if (!strcmp(d->symbol, symbol)) {
      c->met[i] = TRUE;
      return d->kind == kind && reading_equal(reading_of_text(d->ours), ours);
    }
  }
  return FALSE;
}

static void
report_difference(const Comparison *c, const char *symbol, Reading theirs, Reading ours)
{
  char *there = text_of_reading(theirs);
  char *here = text_of_reading(ours);
  print_error("%s: %s is %s there and %s here, which the table of differences does not explain\n", c->name, symbol,
              there, here);
  g_free(here);
  g_free(there);
}

static void
compare(Comparison *c, const char *symbol, Reading theirs)
{
  const Reading ours = read_symbol(symbol);
  ++c->compared;
  if (reading_equal(ours, theirs)) {
    ++c->equal;
  } else if (is_explained(c, symbol, theirs, ours)) {
    ++c->explained;
  } else {
    ++c->wrong;
    report_difference(c, symbol, theirs, ours);
  }
}

static void
comparison_finish(Comparison *c)
{
  for (guint i = 0; i < c->n_differences; ++i) {
    if (!c->met[i]) {
      ++c->wrong;
      print_error("%s: %s is in the table of differences but is none\n", c->name, c->differences[i].symbol);
    }
  }
  g_free(c->met);
  print_message("%s: %u symbols, %u equal, %u explained\n", c->name, c->compared, c->equal, c->explained);
  assert_int_not_equal(c->compared, 0);
  assert_int_equal(c->wrong, 0);
}

// --------------------------------------------------------------------------------------------- the table from npm

static char *
read_npm_table(void)
{
  const char *folder = g_getenv("ROWCALL_TEST_DATA");
  if (!folder) {
    fail_msg("ROWCALL_TEST_DATA does not name the folder of the tests");
  }
  char *path = g_build_filename(folder, "reference", "npm-chords.tsv", NULL);
  char *text = NULL;
  if (!g_file_get_contents(path, &text, NULL, NULL)) {
    fail_msg("%s cannot be read: make it with npm-chords.mjs", path);
  }
  g_free(path);
  return text;
}

static void
compare_row(Comparison *c, const char *line)
{
  char **columns = g_strsplit(line, "\t", 0);
  assert_int_equal(g_strv_length(columns), 4);
  if (!strcmp(columns[0], c->name)) {
    char *reading = strcmp(columns[3], "-") != 0 ? g_strjoin("/", columns[2], columns[3], NULL) : g_strdup(columns[2]);
    compare(c, columns[1], reading_of_text(reading));
    g_free(reading);
  }
  g_strfreev(columns);
}

static void
compare_npm_package(Comparison c)
{
  char *text = read_npm_table();
  char **lines = g_strsplit(text, "\n", 0);
  for (guint i = 0; lines[i]; ++i) {
    if (lines[i][0] != '\0' && lines[i][0] != '#') {
      compare_row(&c, lines[i]);
    }
  }
  g_strfreev(lines);
  g_free(text);
  comparison_finish(&c);
}

// Outside source: the npm package chord-symbol 4.0.0 (MIT), a parser of chord symbols, through npm-chords.mjs.
static void
test_chord_symbol(void **state)
{
  (void)state;
  compare_npm_package(comparison_start("chord-symbol 4.0.0", parser_differences, G_N_ELEMENTS(parser_differences)));
}

// Outside source: the npm package @tonaljs/chord-type 5.1.1 (MIT), a list of chord names, through npm-chords.mjs.
static void
test_chord_type(void **state)
{
  (void)state;
  compare_npm_package(comparison_start("@tonaljs/chord-type 5.1.1", list_differences, G_N_ELEMENTS(list_differences)));
}

// ------------------------------------------------------------------------------------------------- the table of mma

typedef struct {
  char *name;
  guint tones; // pitch classes above C
} MmaChord;

static void
mma_chord_clear(gpointer data)
{
  g_free(((MmaChord *)data)->name);
}

static guint
mma_chord_tones(const GArray *chords, const char *name)
{
  for (guint i = chords->len; i-- > 0;) {
    if (!strcmp(g_array_index(chords, MmaChord, i).name, name)) {
      return g_array_index(chords, MmaChord, i).tones;
    }
  }
  fail_msg("mma: no chord %s", name);
  return 0;
}

static GMatchInfo *
match_all(const char *pattern, const char *text)
{
  GRegex *regex = g_regex_new(pattern, G_REGEX_MULTILINE, 0, NULL);
  assert_non_null(regex);
  GMatchInfo *match = NULL;
  g_regex_match(regex, text, 0, &match);
  g_regex_unref(regex);
  return match;
}

static guint
count_matches(const char *pattern, const char *text)
{
  guint count = 0;
  GMatchInfo *match = match_all(pattern, text);
  for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
    ++count;
  }
  g_match_info_free(match);
  return count;
}

// The notes' names and numbers, lines such as `Cs = Db = 1`.
static GHashTable *
read_mma_notes(const char *text)
{
  GHashTable *notes = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  GMatchInfo *match = match_all("^((?:[A-G][bs]* *= *)+)([0-9]+)$", text);
  for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
    char *names = g_match_info_fetch(match, 1);
    char *number = g_match_info_fetch(match, 2);
    char **parts = g_strsplit_set(names, "= ", 0);
    for (guint i = 0; parts[i]; ++i) {
      g_hash_table_replace(notes, g_strdup(parts[i]), GINT_TO_POINTER(atoi(number)));
    }
    g_strfreev(parts);
    g_free(number);
    g_free(names);
  }
  g_match_info_free(match);
  assert_true(g_hash_table_contains(notes, "Bbb"));
  return notes;
}

// Notes such as `C, Eb, G, D+12`.
static guint
mma_notes_tones(GHashTable *notes, const char *list)
{
  guint tones = 0;
  GMatchInfo *match = match_all("([A-G][bs]*)(?:\\+12)?", list);
  for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
    char *name = g_match_info_fetch(match, 1);
    assert_true(g_hash_table_contains(notes, name));
    tones |= 1U << GPOINTER_TO_INT(g_hash_table_lookup(notes, name));
    g_free(name);
  }
  g_match_info_free(match);
  return tones;
}

// Entries such as `'m7': ((C, Eb, G, Bb ),`: a name, then the notes. The scale and the text after them are left out.
static void
read_mma_entries(const char *text, GArray *chords)
{
  GHashTable *notes = read_mma_notes(text);
  GMatchInfo *match = match_all("^ +'([^']+)': *\\(\\(([^)]*)\\)", text);
  for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
    char *list = g_match_info_fetch(match, 2);
    const MmaChord chord = { g_match_info_fetch(match, 1), mma_notes_tones(notes, list) };
    g_array_append_val(chords, chord);
    g_free(list);
  }
  g_match_info_free(match);
  g_hash_table_unref(notes);
  assert_int_equal(chords->len, count_matches("\\(\\(", text));
}

// The name of an alias: a character's number, a text, or both.
static char *
mma_alias_name(const GMatchInfo *match)
{
  char *number = g_match_info_fetch(match, 1);
  char *rest = g_match_info_fetch(match, 2);
  GString *name = g_string_new(NULL);
  if (*number) {
    g_string_append_unichar(name, (gunichar)atoi(number));
  }
  g_string_append(name, rest);
  g_free(rest);
  g_free(number);
  return g_string_free(name, FALSE);
}

// Aliases such as `('+', 'aug', ''),` or `(chr(176)+'3', 'mb5', ''),`: a name, then the chord that it names too.
static void
read_mma_aliases(const char *text, GArray *chords)
{
  const char *start = strstr(text, "\naliases = (\n");
  assert_non_null(start);
  const char *end = strstr(start, "\n    )\n");
  assert_non_null(end);
  char *block = g_strndup(start, (gsize)(end - start));
  const guint n_entries = chords->len;
  GMatchInfo *match = match_all("^ +\\((?:chr\\(([0-9]+)\\) *\\+? *)?(?:'([^']*)')?, *'([^']*)',", block);
  for (; g_match_info_matches(match); g_match_info_next(match, NULL)) {
    char *target = g_match_info_fetch(match, 3);
    const MmaChord chord = { mma_alias_name(match), mma_chord_tones(chords, target) };
    g_array_append_val(chords, chord);
    g_free(target);
  }
  g_match_info_free(match);
  assert_int_equal(chords->len - n_entries, count_matches("^ +\\(", block));
  g_free(block);
}

static GArray *
read_mma_chords(void)
{
  char *text = NULL;
  if (!g_file_get_contents(MMA_CHORDS, &text, NULL, NULL)) {
    fail_msg("%s cannot be read: install the Debian package mma", MMA_CHORDS);
  }
  GArray *chords = g_array_new(FALSE, FALSE, sizeof(MmaChord));
  g_array_set_clear_func(chords, mma_chord_clear);
  read_mma_entries(text, chords);
  read_mma_aliases(text, chords);
  g_free(text);
  return chords;
}

// Outside source: the chord table of Debian's package mma 21.09, each name after the root C.
static void
test_mma(void **state)
{
  (void)state;
  Comparison c = comparison_start("Debian mma", mma_differences, G_N_ELEMENTS(mma_differences));
  GArray *chords = read_mma_chords();
  for (guint i = 0; i < chords->len; ++i) {
    const MmaChord *chord = &g_array_index(chords, MmaChord, i);
    char *symbol = g_strconcat("C", chord->name, NULL);
    compare(&c, symbol, (Reading){ chord->tones, NO_BASS });
    g_free(symbol);
  }
  g_array_unref(chords);
  comparison_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_chord_symbol),
    cmocka_unit_test(test_chord_type),
    cmocka_unit_test(test_mma),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
