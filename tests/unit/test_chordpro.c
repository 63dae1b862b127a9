// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Songs, in ChordPro and with chords over words: which chords are played, in which order, and for how long where a grid
// says so. All are worked out by hand, ChordPro from the format's published description.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"

#include "heard.h"
#include "rolled.h"

#define HEAD "{title: Weir}\n"
#define TYPED "Weir\n\n"

static void
test_words(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[D]Down by the [G]weir\n[A7]all day\n", "Weir: D 0 G 0 A7 0" },
    { HEAD "[D]Down [D]by [G]the [G]weir\n[G]and\n", "Weir: D 0 G 0" }, // written again right after itself
    { HEAD "Down by the weir\n\n# [D]\n[Em]and\n", "Weir: Em 0" },
    { HEAD "[*softly][D]Down [N.C.]by [(G)]the [ Em7/B ]weir []\n", "Weir: D 0 N.C. 0 G 0 Em7/B 0" },
    { HEAD "[D]Down [Hx]by\n", "Weir: D 0 Hx? 0" },
    { "{t:Weir}\n{st:by the mill}\n{comment: [B]}\n{c:loud}\n{x_own: [A]}\n[D]Down\n", "Weir: D 0" },
    { "{Title Weir}\n{meta: title Mill}\n[D]Down\n", "Weir: D 0" },
    { "{meta: title Mill}\n[D]Down\n", "Mill: D 0" },
    { "[D]Down\n", "(no title): D 0" },
    { HEAD "[D]Down\r\n[G]by\r\n", "Weir: D 0 G 0" },
    { "\xEF\xBB\xBF" HEAD "[D]Down\n", "Weir: D 0" }, // a byte order mark
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_songs(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[D]Down\n{new_song}\n{title: Mill}\n[G]Up\n{ns}\n\n", "Weir: D 0\nMill: G 0" },
    { HEAD "{soc}\n[D]Down\n{eoc}\n{new_song}\n{title: Mill}\n[G]Up\n{chorus}\n", "Weir: D 0\nMill: G 0 (unwritten)" },
    { "\n# nothing\n", "[: holds no tunes; a tune begins with a line `{title: ...}`]" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_sections(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[D]Down\n{soc}\n[G]Oh\n[A]yes\n{eoc}\n[Em]Up\n{chorus}\n[Bm]End\n", "Weir: D 0 G 0 A 0 Em 0 G 0 A 0 Bm 0" },
    { HEAD "{start_of_chorus: Sing}\n[G]Oh\n{end_of_chorus}\n{chorus}\n{start_of_chorus}\n[A]No\n{end_of_chorus}\n"
           "[D]x\n{chorus: Sing}\n",
      "Weir: G 0 A 0 D 0 A 0" },
    { HEAD "{chorus}\n[D]Down\n", "Weir: D 0 (unwritten)" }, // one that is not there yet
    { HEAD "{soc}\n[G]Oh\n{eoc}\n[D]x\n{chorus: x2}\n[A]y\n{chorus: Chorus (x3)}\n{chorus}\n",
      "Weir: G 0 D 0 G 0 A 0 G 0 (times)" }, // what is written again right after itself is one chord
    { HEAD "{soc}\n[G]Oh[D]no\n{eoc}\n{chorus x2}\n[A]y\n", "Weir: G 0 D 0 G 0 D 0 G 0 D 0 A 0 (times)" },
    { HEAD "{sot}\ne|-0-[G]-|\n{key: nothing}\n{eot}\n[D]Down\n", "Weir: D 0" },
    { HEAD "{start_of_abc}\n\"G\"[GBd]\n{end_of_abc}\n[D]Down\n", "Weir: D 0" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_part_names(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD
      "[D]x\n{sov: Verse 1}\n[D]x\n{eov}\n{start_of_bridge label=\"Turn\"}\n[G]x\n[A]x\n{eob}\n{sog}\n| D |\n{eog}\n",
      "Weir: Song 0+1 Verse 1 1+1 Turn 2+2 Grid 4+1" },
  };
  CHECK(cases, SHOW_PARTS);
}

static void
test_grids(void **state)
{
  (void)state;
#define GRID(lines) HEAD "{time: 4/4}\n{start_of_grid}\n" lines "\n{end_of_grid}\n"
  static const Case cases[] = {
    { GRID("| D . . . | G . A . |"), "Weir: D 4 G 2 A 2" },
    { GRID("| D | G A |"), "Weir: D 4 G 2 A 2" },
    { GRID("| D . . . | . . G . |"), "Weir: D 6 G 2" }, // held over the bar line
    { GRID("| D . . . | % . . . | G . A . | % |"), "Weir: D 8 G 2 A 2 G 2 A 2" },
    { GRID("| D . . . | G . A . | %% . . . | . . . . |"), "Weir: D 4 G 2 A 2 D 4 G 2 A 2" },
    { GRID("| D / / / | G~A . . . |"), "Weir: D 4 G 0.5 A 3.5" },
    { GRID("intro |: D . . . | G . . . :| twice"), "Weir: D 4 G 4 D 4 G 4" },
    { GRID("|: D . . . |1 G . . . :|2 A . . . |."), "Weir: D 4 G 4 D 4 A 4" },
    { GRID("|| D . . . || G . . . |.\n|S dn up dn up | dn |\n| A . . . |"), "Weir: D 4 G 4 A 4" },
    { GRID("| D . . . |\n\n| G . . . |"), "Weir: D 4 G 4" },
    { HEAD "{time: 3/4}\n{sog: 1+4x3}\n| D . . |\n{eog}\n[G]Down\n", "Weir: D 3 G 0" },
    { GRID("|: D . . . |1 G . . . |2 A . . . |"), "Weir: D 4 G 4 (unplayed)" }, // nothing leads to 2
    { GRID("| % . . . |"), "[:4:3: repeats a bar, but there is none before it; left out: Weir]" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_moves(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "{key: C}\n{capo: 2}\n[C]x[Am]x[G7/B]x[Hx]x\n",
      "Weir: D (D major, 4/4, 0) Bm (D major, 4/4, 0) A7/C# (D major, 4/4, 0) Hx? (D major, 4/4, 0)" },
    { HEAD "{key: C}\n[C]x\n{transpose: 3}\n[C]x\n{transpose: -1}\n[C]x\n{transpose}\n[F]x\n{transpose}\n[G]x\n",
      "Weir: C (C major, 4/4, 0) Eb (Eb major, 4/4, 0) B (B major, 4/4, 0) Ab (Eb major, 4/4, 0) G (C major, 4/4, 0)" },
    { HEAD "{capo: 3}\n{transpose: -1}\n[C]x[F]x\n", "Weir: D (no key, 4/4, 0) G (no key, 4/4, 0)" },
    { HEAD "{tempo: 90}\n{time: 6/8}\n[C]x\n", "Weir: C (no key, 6/8, 90)" },
    { HEAD "{time: 6/8}\n{tempo: 90}\n[C]x\n", "Weir: C (no key, 6/8, 135)" }, // 90 dotted quarters
  };
  CHECK(cases, SHOW_SETTINGS);
}

static void
test_places(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[D]D\xC3\xB6wn [G]by\n", "Weir: D 2:2 G 2:10" },
    { HEAD "[D]D\xF6wn [G]by\n", "Weir: D 2:2 G 2:10" }, // Latin-1
    { HEAD "{sog}\n| D . | G . |\n", "Weir: D 3:3 G 3:9" },
  };
  CHECK(cases, SHOW_PLACES);
}

// What people put in brackets.
static void
test_brackets(void **state)
{
  (void)state;
  static const Case cases[] = {
    // Chords one after another.
    { HEAD "[D-Dsus]Down [Dsus-D-Asus]by\n", "Weir: D 0 Dsus 0 D 0 Asus 0" },
    { HEAD "[G D]Down [A, E7]by [C/G \xE2\x80\x93 Am]the\n", "Weir: G 0 D 0 A 0 E7 0 C/G 0 Am 0" },
    { HEAD "[A / E]Down [G (add 9)]by\n", "Weir: A / E 0 G (add 9) 0" }, // one each
    // Words, which cost nothing; what could be taken for a chord is said once.
    { HEAD "[Middle 8]\n[D]Down [if you got]by [*loud]\n", "Weir: D 0" },
    { HEAD "[FULL][D]Down [Fade out][D.C.][G]by [GIRLS]\n", "Weir: D 0 G 0 (words)" },
    { HEAD "[Fade "
           "\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80"
           "\x93\xE2\x80\x93\xE2\x80\x93\xE2\x80\x93 out]\n[D]Down\n",
      "Weir: D 0 (words)" },
    { HEAD "[Fine][Coda][Add][Bad][Gin]\n[D]Down\n", "Weir: D 0 (words)" },
    // A bass alone is that of the chord before.
    { HEAD "[G]Down [/F#]by [Em]the [/D]weir [/C#]oh\n", "Weir: G 0 G/F# 0 Em 0 Em/D 0 Em/C# 0" },
    { HEAD "{capo: 2}\n[G/B]Down [/F#]by\n", "Weir: A/C# 0 A/G# 0" },
    { HEAD "[/F#]Down [G]by [/x]oh [/]no\n", "Weir: G 0" },
    // Written small; a letter alone may be major or minor.
    { HEAD "[em]Down [g7]by [bb]the [go]weir [d]oh\n", "Weir: Em 0 G7 0 Bb 0 d? 0" },
    { HEAD "[Sister]Down [Lalala]by [-]the [D]weir\n", "Weir: D 0" },
    // Chords of any key: where there are no others, that nothing of it is read is said.
    { HEAD "[1]Down by [4]the [5]weir\n[I]oh [vi]oh\n", "Weir: (words)" },
    { HEAD "[Riff]Down by [tacet]the weir\n{ns}\n" HEAD "[1]Down [G]by\n", "Weir: (words)\nWeir: G 0" },
    // What was meant as a chord.
    { HEAD "[Hx]Down [Fis]by [C/H]the [Gmajx]weir [D7b]oh\n", "Weir: Hx? 0 Fis? 0 C/H? 0 Gmajx? 0 D7b? 0" },
    { HEAD "[D-Hx]Down [B-side]by\n", "Weir: D-Hx? 0 (words)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// Do, which might be D diminished, and the other notes that are named so count as unread: nobody is told that a song
// plays of which half was passed over.
static void
test_notes_named_do_re_mi(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[Do]Down [Sol7]by [Lam]the [D]weir\n", "Weir: Do? 0 Sol7? 0 Lam? 0 D 0 (syllables)" },
    { HEAD "[Do7]Down [Sib]by [Fa#m]the [Mi/Si]weir\n", "Weir: Do7? 0 Sib? 0 Fa#m? 0 Mi/Si? 0 (syllables)" },
    { HEAD "[Solo]\n[Domino]Down [Lama]by [Simple][Fade][Mister][D]it\n", "Weir: D 0 (words)" },
    { TYPED "Do      Sol7  Do\nDown by the weir\n", "Weir: Do? 0 Sol7? 0 Do? 0 (syllables)" },
    { TYPED "D   G\nLa La La La\nDo it\n", "Weir: D 0 G 0" }, // is sung
  };
  CHECK(cases, SHOW_LENGTHS);
}

// A bracket or brace that does not close costs no song.
static void
test_what_does_not_close(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[G]un[closed\n[A]home\n", "Weir: G 0 A 0 (unclosed)" },
    { HEAD "[D]Down [G\n{ns}\n{title: Mill}\n[G]Up\n", "Weir: D 0 (unclosed)\nMill: G 0" },
    { HEAD "[G by the [C]mill\n[and [so [on\n", "Weir: C 0 (unclosed)" },
    { "{title: Weir\n[D]Down\n{soc\n[G]Oh\n{eoc}\n[A]by\n{chorus}\n", "Weir: D 0 G 0 A 0 G 0 (unclosed)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// Some write (G) where others write [G]; both are read. Alone it may be words.
static void
test_round_brackets(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[D]Down by [G]the\n(G)Down by (C)the (D)\n(A7)again\n", "Weir: D 0 G 0 C 0 D 0 A7 0 (round)" },
    { TYPED "(G)Down (C D)by\n[Em]and (A) home\n", "Weir: G 0 C 0 D 0 Em 0 A 0 (round)" },
    { TYPED "(G) Down (C)\n(D) home (the end)\n", "Weir: G 0 C 0 D 0 (round)" },
    { TYPED "(G)     (C)\nDown by\n[D]home\n", "Weir: G 0 C 0 D 0" }, // a line of chords
    { HEAD "[D]Down\n(C) 2019 the miller\n(oh yes)(Am I)\n", "Weir: D 0 (round)" },
    { "Weir (G)\n\nD  A\nDown by\n", "Weir (G): D 0 A 0" },
    { HEAD "[D]Down\n(A)bide (Go)ing\n", "Weir: D 0 (round)" },
    { HEAD "[(G)]Down [(C) (D)]by (oh)\n", "Weir: G 0 C 0 D 0" }, // within square ones
    { HEAD "[(G)]Down [so (C) it] (D)by (Em)the\n", "Weir: G 0 D 0 Em 0 (round)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_chords_between_semicolons(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TYPED "G;C;D\nDown by\n", "Weir: G 0 C 0 D 0" },
    { TYPED "G ; C ; D7;\nDown by\n", "Weir: G 0 C 0 D7 0" },
    { HEAD "[G;C]Down [D; A7]by\n", "Weir: G 0 C 0 D 0 A7 0" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// "%" is the bar before once more.
static void
test_bars_repeated_in_a_line(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TYPED "| G D | % | C |\n", "Weir: G 0 D 0 G 0 D 0 C 0" },
    { TYPED "| G D | % | % |\n", "Weir: G 0 D 0 G 0 D 0 G 0 D 0" },
    { TYPED "G D | Em | % | A |\n| % | D |\n", "Weir: G 0 D 0 Em 0 A 0 D 0" }, // there is none before it
    { TYPED "G..C..D\nDown\n", "Weir: G 0 C 0 D 0" },
    { TYPED "G\u2192C\u2192D\nDown\n", "Weir: G 0 C 0 D 0" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// What people write on one line that belongs on several.
// Chords written small are chords where a line has no other words, or is only of them, far apart; a small letter alone
// may be major or minor.
static void
test_lines_of_small_chords(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TYPED "am        dm\nDown by\nE7        am\nthe weir\n", "Weir: Am 0 Dm 0 E7 0 Am 0" },
    { TYPED "a         d\nDown by\nE7        a\nthe weir\n", "Weir: a? 0 d? 0 E7 0 a? 0" },
    { TYPED "D    G\nDown by\nam I a bad cab\n", "Weir: D 0 G 0" },
    { TYPED "D    G\nDown by\na b c\nd e\n", "Weir: D 0 G 0" }, // sung
    { TYPED "D    H7\nDown by\nEs   As  B\nthe weir\n", "Weir: D 0 H7? 0 Es? 0 As? 0 B 0" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

// From |: at the beginning of a line to :| at the end of one; with a blank between a sign and its chord or without.
static void
test_repeats_of_lines_of_chords(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TYPED "|:Am | D7:|\nG\n", "Weir: Am 0 D7 0 Am 0 D7 0 G 0" },
    { TYPED "| C |\n|: G  D\nDown by\nA  E :|\nthe weir\nEm\nhome\n",
      "Weir: C 0 G 0 D 0 A 0 E 0 G 0 D 0 A 0 E 0 Em 0" },
    { TYPED "C | G :|\n", "Weir: C 0 G 0 C 0 G 0" },
    { TYPED "|: C | G :| x3\nD\n", "Weir: C 0 G 0 C 0 G 0 C 0 G 0 D 0 (times)" },
    { TYPED "Chorus: |: C | G :|\nOh\n", "Weir: C 0 G 0 C 0 G 0" },
    { TYPED "G | D |: C | A :|\n", "Weir: G 0 D 0 C 0 A 0 (repeats)" }, // would repeat what is before it
    { TYPED "G :| D\n", "Weir: G 0 D 0 (repeats)" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_several_on_a_line(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "{title: Weir}{key: D} {time: 3/4}\n[D]Down\n", "Weir: D (D major, 3/4, 0)" },
    { "{t: Weir} [D]Down {key: G} [G]by\n", "Weir: D (no key, 4/4, 0) G (G major, 4/4, 0)" },
    { "{title: Weir {or Mill}}\n[D]Down\n", "Weir {or Mill}: D (no key, 4/4, 0)" },
    { "{t: Weir}\n[D]Down{ns}{t: Mill}[G]Up\n{ns} {t: Lea}\n[A]x\n",
      "Weir: D (no key, 4/4, 0)\nMill: G (no key, 4/4, 0)\nLea: A (no key, 4/4, 0)" },
    { "Weir\nKey: D   Capo: 2 | q=72\n\n[D]Down\n", "Weir: E (E major, 4/4, 72)" },
    { "Title: Weir, or the Mill\nKey: D, Time: 3/4\n\n[D]Down\n", "Weir, or the Mill: D (D major, 3/4, 0)" },
  };
  static const Case order[] = {
    { HEAD "{soc}[G]Oh{eoc}\n[D]Down {laughs} [A]by\n{chorus}\n", "Weir: G 0 D 0 A 0 G 0" },
    { HEAD "D   A\nDown by\n{c: Verse 2} [G]up\n", "Weir: D 0 A 0 G 0" },
  };
  static const Case places[] = {
    { HEAD "{key: D} [D]Down {c: softly} [G]by\n", "Weir: D 2:11 G 2:31" },
    { "{t: Weir}\n[D]Down{ns}{t: Mill}[G]Up\n", "Weir: D 2:2\nMill: G 2:22" },
  };
  CHECK(cases, SHOW_SETTINGS);
  CHECK(order, SHOW_LENGTHS);
  CHECK(places, SHOW_PLACES);
}

static void
test_facts_without_braces(void **state)
{
  (void)state;
#define DOWN "\n[C]Down [G]by\n"
  static const Case cases[] = {
    // After the title on its line, in brackets, a meter alone.
    { "The Weir   (Capo 2)   Key: C  3/4  120 bpm\n" DOWN, "The Weir: D (D major, 3/4, 120) A (D major, 3/4, 120)" },
    { "Weir, or the Mill - 6/8\n[Capo 3]\n" DOWN, "Weir, or the Mill: Eb (no key, 6/8, 0) Bb (no key, 6/8, 0)" },
    { "The Weir\nKey: C  (capo on 2)\n" DOWN, "The Weir: D (D major, 4/4, 0) A (D major, 4/4, 0)" },
    { "The Weir\n(Capo 2)\n3/4\n" DOWN, "The Weir: D (no key, 3/4, 0) A (no key, 3/4, 0)" },
    { "The Key   of the Weir, 1/2 spoken\n" DOWN,
      "The Key   of the Weir, 1/2 spoken: C (no key, 4/4, 0) G (no key, 4/4, 0)" },
    { "Title: Weir\nq=72" DOWN, "Weir: C (no key, 4/4, 72) G (no key, 4/4, 72)" },
    { "Title: Weir\nQ:72" DOWN, "Weir: C (no key, 4/4, 72) G (no key, 4/4, 72)" },
    { "Title: Weir\nmeter: 6/8\nQ: 72" DOWN, "Weir: C (no key, 6/8, 108) G (no key, 6/8, 108)" }, // dotted quarters
    { "Title: Weir\nmeter: 6/8\ntempo: q=72" DOWN, "Weir: C (no key, 6/8, 72) G (no key, 6/8, 72)" },
    { "Title: Weir\n\xE2\x99\xA9 = 72" DOWN, "Weir: C (no key, 4/4, 72) G (no key, 4/4, 72)" },
    { "Title: Weir\n72 bpm" DOWN, "Weir: C (no key, 4/4, 72) G (no key, 4/4, 72)" },
    { "Title: Weir\nBPM: 72\nKey of D" DOWN, "Weir: C (D major, 4/4, 72) G (D major, 4/4, 72)" },
    { "Title: Weir\nTempo 72\nKey = D" DOWN, "Weir: C (D major, 4/4, 72) G (D major, 4/4, 72)" },
    { "Title: Weir\nTempo: slow" DOWN, "Weir: C (no key, 4/4, 0) G (no key, 4/4, 0) (values)" },
    { "Title: Weir\nKey to the mill\nTempo of the day" DOWN, "Weir: C (no key, 4/4, 0) G (no key, 4/4, 0)" },
  };
  CHECK(cases, SHOW_SETTINGS);
}

static void
test_values_as_they_are_found(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "{key: em}\n[C]Down\n", "Weir: C (E minor, 4/4, 0)" },
    { HEAD "{key: d}\n[C]Down\n", "Weir: C (no key, 4/4, 0) (values)" }, // or D minor
    { HEAD "{key: D (2 sharps)}\n[D]Down\n", "Weir: D (D major, 4/4, 0)" },
    { HEAD "{capo: 2nd fret}\n[C]Down\n", "Weir: D (no key, 4/4, 0)" },
    { HEAD "{capo: fret 3}\n[C]Down\n", "Weir: Eb (no key, 4/4, 0)" },
    { HEAD "{capo: on the 3rd fret}\n[C]Down\n", "Weir: Eb (no key, 4/4, 0)" },
    { HEAD "{capo: 2 or 3}\n{capo: on the fret}\n[C]Down\n", "Weir: C (no key, 4/4, 0) (values) (values)" },
    // a form that was not filled in, or says that there is none
    { HEAD "{key:}\n{time: }\n{tempo}\n{capo:}\n[C]Down\n", "Weir: C (no key, 4/4, 0)" },
    { HEAD "{tempo: 120 bpm}\n[C]Down\n", "Weir: C (no key, 4/4, 120)" },
    { HEAD "{tempo: 96BPM}\n[C]Down\n", "Weir: C (no key, 4/4, 96)" },
    { HEAD "{tempo: bpm}\n[C]Down\n", "Weir: C (no key, 4/4, 0) (values)" },
    { HEAD "{capo: no capo}\n[C]Down\n", "Weir: C (no key, 4/4, 0)" },
    // what makes no sense costs itself only; each is said
    { HEAD "{tempo: quick}\n[D]Down\n", "Weir: D (no key, 4/4, 0) (values)" },
    { HEAD "{tempo: 90}\n{tempo: quick}\n[D]Down\n", "Weir: D (no key, 4/4, 90) (values)" },
    { HEAD "{key: loud}\n{capo: high}\n{time: 7/5}\n{transpose: 99}\n[D]Down\n",
      "Weir: D (no key, 4/4, 0) (values) (values) (values) (values)" },
    { HEAD "{capo: 2}\n{capo: 99}\n[C]Down\n", "Weir: D (no key, 4/4, 0) (values)" },
  };
  CHECK(cases, SHOW_SETTINGS);
}

#define CHORUS "Chorus:\n[G]Oh\n[A]yes\n\n"

// Labels as singers write them; one that nothing follows asks for the part that had it before.
static void
test_labels(void **state)
{
  (void)state;
  static const Case parts[] = {
    { HEAD "{c:Intro x2}\n[D][G]\n\n{c: Verse 1}\n[D]Down\n{ci:Chorus}\n[G]Oh\n",
      "Weir: Intro 0+1 Verse 1 1+1 Chorus 2+1 (times)" },
    { HEAD "[Verse 2]\n[D]Down\n\n[A]by\n(Bridge)\n[G]Oh\nOUTRO\n[A]Yes\nEnding of the day\n",
      "Weir: Verse 2 0+1 Song 1+1 Bridge 2+1 OUTRO 3+1" },
    { HEAD "{soc}\n{c:Refrain}\n[G]Oh\n{eoc}\n{c:softly}\n[D]Down\n", "Weir: Refrain 0+1 Song 1+1" },
    { HEAD "Chorus (x2):\n[G]Oh\n", "Weir: Chorus 0+1 (times)" },
  };
  static const Case order[] = {
    { HEAD "{c:Intro x2}\n[D][G]\n\n[A]Down\n", "Weir: D 0 G 0 D 0 G 0 A 0 (times)" },
    { HEAD "[D]Down\n" CHORUS "[Em]Up\n\nChorus\n", "Weir: D 0 G 0 A 0 Em 0 G 0 A 0 (recalls)" },
    { HEAD "[D]Down\n" CHORUS "[Em]Up\n\n{c:Chorus x2}\n\n[D]End\n",
      "Weir: D 0 G 0 A 0 Em 0 G 0 A 0 G 0 A 0 D 0 (recalls)" },
    { HEAD CHORUS "[Em]Up\n\n" CHORUS, "Weir: G 0 A 0 Em 0 G 0 A 0" },                 // written again
    { HEAD "Chorus:\n\n[G]Oh\n\n[Em]Up\n\nChorus:\n\n[A]Oh\n", "Weir: G 0 Em 0 A 0" }, // a blank line each time
    { HEAD "{soc}\n[G]Oh\n{eoc}\n[Em]Up\n[Chorus]\n", "Weir: G 0 Em 0 G 0 (recalls)" },
    { HEAD "{soc}\n[G]Oh\n{eoc}\n[Em]Up\n[Chorus]\n{chorus}\n", "Weir: G 0 Em 0 G 0" },
    { HEAD "[Chorus]\n{soc}\n[G]Oh\n{eoc}\n[Em]Up\n[Chorus]\n{soc}\n[A]Oh\n{eoc}\n", "Weir: G 0 Em 0 A 0" },
    { HEAD "Chorus\n[D]Down\n", "Weir: D 0" },
    { HEAD "Chorus: (x2)\n[G]Oh\n[D]no\n\n[A]x\n", "Weir: G 0 D 0 G 0 D 0 A 0 (times)" },
    { HEAD CHORUS "[Em]Up\n\n{c:Repeat Chorus}\n", "Weir: G 0 A 0 Em 0 G 0 A 0 (recalls)" },
    { HEAD CHORUS "[Em]Up\n\n(repeat chorus x2)\n", "Weir: G 0 A 0 Em 0 G 0 A 0 G 0 A 0 (recalls)" },
    { HEAD CHORUS "[Em]Up\nRepeat the words\nrepeat chorus\n", "Weir: G 0 A 0 Em 0 G 0 A 0 (recalls)" },
    { HEAD "[D]Down\n\n[Solo]\n\n[Verse 2]\n[G]by\n\n[Chorus]\n", "Weir: D 0 G 0 (unwritten)" },
    { HEAD "{c:Chorus x2}\n[G]Oh\n[A]no\n\n[D]x\n\n{c:Chorus}\n\n[D]y\n\n{c:Chorus 2x}\n",
      "Weir: G 0 A 0 G 0 A 0 D 0 G 0 A 0 D 0 G 0 A 0 G 0 A 0 (times) (recalls)" },
    { HEAD "[D]Down [G]by (x2)\n[A]the\n", "Weir: D 0 G 0 D 0 G 0 A 0 (times)" },
  };
  CHECK(parts, SHOW_PARTS);
  CHECK(order, SHOW_LENGTHS);
}

// Chords in lines of their own, as people type them.
static void
test_lines_of_chords(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "Weir\nChords: G  C  D7\nTuning: E A D G B E\n\nD   A\nDown by\n", "Weir: D 0 A 0 (words)" }, // lists
    { "Weir\nChords:G C D7\n\nD   A\nDown by\n", "Weir: D 0 A 0 (words)" },
    { "Weir\nStandard tuning E A D G B E\n\nD   A\nDown by\n", "Weir: D 0 A 0 (words)" },
    { TYPED "D         G\nDown by the weir\nA7  D\nall day\n", "Weir: D 0 G 0 A7 0 D 0" },
    { TYPED "Am I to go\nA day\nGo\n   D\nDo it\n", "Weir: D 0" }, // words
    { TYPED "| D  G | A7 / / / | N.C. |  x2\n", "Weir: D 0 G 0 A7 0 N.C. 0 D 0 G 0 A7 0 N.C. 0 (times)" },
    { TYPED "Intro: D  G*  (A7)\nVerse 1\n  Em\nDown\n", "Weir: D 0 G* 0 A7 0 Em 0" },
    { TYPED "D  Hx  G\nDown by\n", "Weir: D 0 Hx? 0 G 0" },
    { TYPED "G  /F#  Em /D\nDown by the weir\n/F#\n", "Weir: G 0 G/F# 0 Em 0 Em/D 0" },
    { TYPED "D-Dsus  G  A (let ring)\nDown\n", "Weir: D 0 Dsus 0 G 0 A 0" },
    { TYPED "G  320003\nC  x32010\n\nD   G\nDown\n", "Weir: D 0 G 0" }, // diagrams
    { TYPED "e|--3--|\nB|--0--|\nE |-3---|\nD\nDown\n", "Weir: D 0" },  // tablature
    { TYPED "D\xC2\xA0\xC2\xA0\xC2\xA0G\nDown\n", "Weir: D 0 G 0" },    // blanks of a web page
    { TYPED "D\r\nDown\r\n\r\nG\r\n", "Weir: D 0 G 0" },
    { "\xEF\xBB\xBFWeir\n\nD\nDown\n", "Weir: D 0" },
    { "{title: Weir}\nBy a miller\n{c:Chorus}\nD     G\nDown by\n", "Weir: D 0 G 0" },
    { "Title: Weir\nKey: D\nCapo 2\n\nD     G\nDown by\n", "Weir: E 0 A 0" },
    { HEAD "[D]Down\nA\nB C\nIntro: G C\n", "Weir: D 0 B 0 C 0 G 0 C 0" }, // one letter is a word there
    { "Weir\nD\nDown\n{ns}\nMill\nG\nUp\n", "Weir: D 0\nMill: G 0" },
  };
  CHECK(cases, SHOW_LENGTHS);
}

static void
test_places_of_chords_above(void **state)
{
  (void)state;
  static const Case cases[] = {
    { TYPED "D     G\nDown by\n\nIntro: A\n", "Weir: D 3:1 G 3:7 A 6:8" },
    { TYPED "\tD  G\nW\xC3\xA4hrend by\n", "Weir: D 3:2 G 3:5" },
  };
  CHECK(cases, SHOW_PLACES);
}

// The lines of a song with its chords in their places: "<D>Down by the <G>weir / all day / ".
static char *
worded(const char *text)
{
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .words = TRUE });
  RcTune *tune = rc_tune_new();
  GString *out = g_string_new(NULL);
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  for (guint i = 0; i < tune->lines->len; ++i) {
    const RcLine *line = &g_array_index(tune->lines, RcLine, i);
    const RcBar *bar = line->sung ? &g_array_index(tune->bars, RcBar, line->bar) : NULL;
    const char *rest = line->text;
    g_string_append(out, line->label ? line->label : "");
    g_string_append(out, line->label ? ": " : "");
    guint column = 0;
    for (guint j = 0; bar && j < bar->count; ++j) {
      const RcEvent *event = &g_array_index(tune->events, RcEvent, bar->first + j);
      for (; column < event->over; ++column) {
        const char *next = *rest ? g_utf8_next_char(rest) : rest;
        g_string_append_len(out, *rest ? rest : " ", *rest ? next - rest : 1);
        rest = next;
      }
      g_string_append_printf(out, "<%s>", g_array_index(tune->symbols, RcSymbol, event->symbol).text);
    }
    g_string_append_printf(out, "%s / ", rest);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  return g_string_free(out, FALSE);
}

static void
test_words_stay(void **state)
{
  (void)state;
  static const Case cases[] = {
    { HEAD "[D]Down by the [G]weir\nall day\n\n\n[A]Oh[FULL]h [D]yes\n",
      "<D>Down by the <G>weir / all day /  / <A>Oh[FULL]h <D>yes / " },
    { TYPED "D        G\nDown by the weir\nall day\n", "<D>Down by t<G>he weir / all day / " },
    { TYPED "\tD  G\nW\xC3\xA4hrend by\n", "W\xC3\xA4hrend <D>by <G> / " },
    { TYPED "Intro: D G\n\nDown\n", "Intro:        <D>  <G> /  / Down / " },
    { HEAD "{sot}\ne|-3-|\n{eot}\n[D]Down\n", "<D>Down / " }, // a tablature leaves no label
    { TYPED "[G]Oh\n", "<G>Oh / " },
    { "Down by\n[G]the mill\n", "Down by / <G>the mill / " }, // words that are sung, and the title too
    { TYPED "Chorus\nG\nOh\n\nVerse 2\nDown\n\nChorus\n\nby\n",
      "Chorus: <G>Oh /  / Verse 2: Down /  / Chorus:  / by / " },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *found = worded(cases[i].text);
    assert_string_equal(found, cases[i].expected);
    g_free(found);
  }
}

// Chords over words add nothing to the playing time, are never brisk, and are counted as such; a grid counts fully.
static void
test_counts(void **state)
{
  (void)state;
  static const char song[] = HEAD "{tempo: 300}\n{time: 4/4}\n[D]x[F#m]x\n{sog}\n| D . . . | G . . . |\n{eog}\n";
  Rolled rolled = roll_text(song);
  const RcCounts counts = rc_roll_counts(rolled.roll, 0);
  assert_int_equal(rc_counts_chords(&counts), 4);
  assert_int_equal(rc_counts_ticks(&counts), 8 * RC_QUARTER);
  assert_int_equal(rc_roll_timing(rolled.roll).unmeasured, 1);
  assert_int_equal(rc_roll_timing(rolled.roll).assumed, 0);
  for (guint i = 0; i < rc_roll_n_entries(rolled.roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(rolled.roll, i);
    assert_true(entry.ticks > 0 || !entry.request.brisk);
  }
  clear_rolled(&rolled);
}

static void
test_what_else_is_written(void **state)
{
  (void)state;
  static const Case cases[] = {
    { "{title : Weir}\n[D]Down\n", "Weir: D 0" },
    { HEAD "{time: 4/4}\n{sog}\n| D . ~G . |\n{eog}\n", "Weir: D 2.5 G 1.5" }, // held for half of the cell
  };
  CHECK(cases, SHOW_LENGTHS);
}

// Many brackets in brackets, and many times meta, are read as quickly as anything else of that length.
static void
test_much_in_one_line(void **state)
{
  (void)state;
  enum { MANY = 400000 };
  GString *text = g_string_new(HEAD "[");
  for (guint i = 0; i < MANY; ++i) {
    g_string_append_c(text, '(');
  }
  g_string_append_c(text, 'D');
  for (guint i = 0; i < MANY; ++i) {
    g_string_append_c(text, ')');
  }
  g_string_append(text, "]Down\n{");
  for (guint i = 0; i < MANY; ++i) {
    g_string_append(text, "meta: ");
  }
  g_string_append(text, "}\n[G]by\n");
  char *found = heard(text->str, text->len, SHOW_LENGTHS);
  assert_string_equal(found, "Weir: D 0 G 0");
  g_free(found);
  g_string_free(text, TRUE);
}

// Whatever a collection calls its songs, a folder of them is read.
static void
test_endings_of_songs(void **state)
{
  (void)state;
  static const char *const names[] = { "weir.cho", "weir.chopro", "weir.chordpro", "weir.crd", "weir.PRO" };
  const char *const paths[] = { folder, NULL };
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    char *file = g_build_filename(folder, names[i], NULL);
    g_remove(path);
    assert_true(g_file_set_contents(file, HEAD "[D]Down\n", -1, NULL));
    RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
    RcTune *tune = rc_tune_new();
    assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
    assert_string_equal(tune->title, "Weir");
    rc_tune_free(tune);
    rc_corpus_free(corpus);
    g_remove(file);
    g_free(file);
  }
}

// Of texts whose names tell nothing those with chords are songs; prose in a folder is passed over without a word.
static void
test_texts_that_are_songs(void **state)
{
  (void)state;
  static const struct {
    const char *text;
    gboolean song;
  } texts[] = {
    { "Weir\n\nD     G\nDown by\n", TRUE },
    { "Weir\n\nH     G\nDown by\n", TRUE }, // German
    { "Weir\n\n[D]Down [G]by\n", TRUE },
    { "Weir\n\n(D)Down (G)by\n", TRUE },
    { "Dear all,\n\n[A]ll members meet on Monday. Bring A and C.\n", FALSE },
    { "A day at the weir\n\nBad weather (C) 2019, see [1] and [B].\n", FALSE },
  };
  char *file = g_build_filename(folder, "weir.txt", NULL);
  const char *const paths[] = { folder, NULL };
  g_remove(path);
  for (guint i = 0; i < G_N_ELEMENTS(texts); ++i) {
    GError *error = NULL;
    assert_true(g_file_set_contents(file, texts[i].text, -1, NULL));
    RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ .names = RC_NAMES_GERMAN });
    RcTune *tune = rc_tune_new();
    const RcReadResult result = rc_corpus_next(corpus, tune, &error);
    if ((result == RC_READ_TUNE) != texts[i].song) {
      fail_msg("%s: %s", texts[i].text, error ? error->message : "read");
    }
    g_clear_error(&error);
    rc_tune_free(tune);
    rc_corpus_free(corpus);
  }
  g_remove(file);
  g_free(file);
}

// A copy, which the report keeps of each tune, has no lengths where the song has none, and the melody's notes.
static void
test_copies(void **state)
{
  (void)state;
  const char *const paths[] = { path, NULL };
  assert_true(g_file_set_contents(path, HEAD "[D]Down [G]by\n", -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  const RcTuneNote note = { 0, 0, RC_QUARTER, 62 };
  g_array_append_val(tune->notes, note);
  RcTune *copy = rc_tune_copy(tune);
  rc_tune_free(tune);
  rc_corpus_free(corpus);
  assert_true(copy->unmeasured);
  assert_int_equal(copy->notes->len, 1);
  assert_int_equal(g_array_index(copy->notes, RcTuneNote, 0).pitch, 62);
  rc_tune_free(copy);
}

static int
set_up(void **state)
{
  (void)state;
  return make_scratch("weir.cho");
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_words),
    cmocka_unit_test(test_songs),
    cmocka_unit_test(test_sections),
    cmocka_unit_test(test_part_names),
    cmocka_unit_test(test_grids),
    cmocka_unit_test(test_moves),
    cmocka_unit_test(test_places),
    cmocka_unit_test(test_counts),
    cmocka_unit_test(test_much_in_one_line),
    cmocka_unit_test(test_copies),
    cmocka_unit_test(test_what_else_is_written),
    cmocka_unit_test(test_brackets),
    cmocka_unit_test(test_notes_named_do_re_mi),
    cmocka_unit_test(test_what_does_not_close),
    cmocka_unit_test(test_round_brackets),
    cmocka_unit_test(test_chords_between_semicolons),
    cmocka_unit_test(test_bars_repeated_in_a_line),
    cmocka_unit_test(test_lines_of_small_chords),
    cmocka_unit_test(test_repeats_of_lines_of_chords),
    cmocka_unit_test(test_several_on_a_line),
    cmocka_unit_test(test_endings_of_songs),
    cmocka_unit_test(test_texts_that_are_songs),
    cmocka_unit_test(test_facts_without_braces),
    cmocka_unit_test(test_values_as_they_are_found),
    cmocka_unit_test(test_labels),
    cmocka_unit_test(test_lines_of_chords),
    cmocka_unit_test(test_places_of_chords_above),
    cmocka_unit_test(test_words_stay),
  };
  return cmocka_run_group_tests(tests, set_up, remove_scratch);
}
