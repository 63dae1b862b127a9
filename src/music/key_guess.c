// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The key that chords suggest, by a rule of our own. Each of the 24 major and minor keys is given points:
//
// - 8 times the share of time of chord tones in its scale (minor: natural, harmonic and melodic forms together)
// - 8 times the share of time of its tonic chord
// - 2 times the share of falling fifths, from a dominant to the chord it leads to, that arrive at its tonic
// - 2 where the chords begin on its tonic
// - 2 where they end there; 1 where they end on its dominant, which leads round to the beginning
//
// and the one with most points is the key. So E7 and Am say A minor, G7 and C say C major, though their scales are
// alike, and a trio in another key does not outweigh what begins the tune and fills most of it. Of equal keys it is a
// major one, then that of the first chord's root, then the next a fifth up. The music is counted as played; where
// chords have no lengths, all count alike.
//
// tests/reference/test_keys.c holds the rule against stated keys, and against the published key profiles.

#include "rowcall/music.h"

enum { PITCH_CLASSES = 12, MODES = 2, FIFTH = 7 };

// What there is to hear of the chords, by pitch class.
typedef struct {
  double time;
  double tones[PITCH_CLASSES];          // time, shared among the tones of each chord
  double home[MODES][PITCH_CLASSES];    // time of the chord that would be the tonic
  guint arrivals[MODES][PITCH_CLASSES]; // falling fifths to it
  guint falls;                          // all of them
  RcNote spelled[PITCH_CLASSES];        // roots as written last
  RcPcSet roots;                        // which there are
  const RcChord *first;
  const RcChord *last;
} Heard;

static const RcMode modes[MODES] = { RC_MODE_MAJOR, RC_MODE_MINOR };

// Whether a chord can be the tonic of its root's key: the third is that of the mode, or open.
static gboolean
is_tonic(const RcChord *chord, guint mode)
{
  static const RcDegrees against[MODES] = { RC_BIT(FLAT_3), RC_BIT(3) };
  return !(chord->degrees & (against[mode] | RC_BIT(FLAT_5)));
}

static gboolean
is_dominant(const RcChord *chord)
{
  return (chord->degrees & (RC_BIT(3) | RC_BIT(FLAT_7))) && !(chord->degrees & (RC_BIT(FLAT_3) | RC_BIT(7)));
}

static gboolean
is_fifth_above(const RcChord *chord, guint pc)
{
  return rc_note_pc(chord->root) == (pc + FIFTH) % PITCH_CLASSES;
}

static void
hear_chord(Heard *heard, const RcChord *chord, double time)
{
  const guint root = rc_note_pc(chord->root);
  const RcPcSet tones = rc_chord_tones(chord);
  const gboolean falls = heard->last && is_dominant(heard->last) && is_fifth_above(heard->last, root);
  heard->time += time;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    heard->tones[pc] += rc_pcs_has(tones, pc) ? time / rc_pcs_count(tones) : 0;
  }
  for (guint mode = 0; mode < MODES; ++mode) {
    heard->home[mode][root] += is_tonic(chord, mode) ? time : 0;
    heard->arrivals[mode][root] += falls && is_tonic(chord, mode);
  }
  heard->falls += falls ? 1 : 0;
  heard->spelled[root] = chord->root;
  heard->roots |= (RcPcSet)(1U << root);
  heard->first = heard->first ? heard->first : chord;
  heard->last = chord;
}

static gboolean
same_key(RcKey a, RcKey b)
{
  return a.mode == b.mode && (a.tonic == b.tonic || a.mode == RC_MODE_NONE);
}

static Heard
hear_tune(const RcTune *tune, RcKey stated)
{
  Heard heard = { 0 };
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    if (symbol->kind == RC_SYMBOL_CHORD && same_key(rc_tune_setting(tune, played.setting)->key, stated)) {
      hear_chord(&heard, &symbol->chord, tune->unmeasured ? 1 : (double)played.length);
    }
  }
  return heard;
}

static gboolean
is_home(const RcChord *chord, guint mode, guint tonic)
{
  return rc_note_pc(chord->root) == tonic && is_tonic(chord, mode);
}

static double
points(const Heard *heard, guint mode, guint tonic)
{
  const RcPcSet scale = rc_key_tones(rc_key_moved((RcKey){ modes[mode], 0 }, (int)tonic));
  double sum = 8 * heard->home[mode][tonic];
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    sum += rc_pcs_has(scale, pc) ? 8 * heard->tones[pc] : 0;
  }
  sum /= heard->time;
  sum += heard->falls ? 2.0 * heard->arrivals[mode][tonic] / heard->falls : 0;
  sum += is_home(heard->first, mode, tonic) ? 2 : 0;
  sum += is_home(heard->last, mode, tonic) ? 2 : is_dominant(heard->last) && is_fifth_above(heard->last, tonic) ? 1 : 0;
  return sum;
}

// The key as its chords are written, with no more than seven sharps or flats; else as players write it.
static RcKey
spell_key(const Heard *heard, guint mode, guint tonic)
{
  enum { MOST = 7, MINOR = 3 };
  const RcNote written = heard->spelled[tonic];
  const int sharps = written - (modes[mode] == RC_MODE_MINOR ? MINOR : 0);
  return rc_pcs_has(heard->roots, tonic) && ABS(sharps) <= MOST ? (RcKey){ modes[mode], written }
                                                                : rc_key_moved((RcKey){ modes[mode], 0 }, (int)tonic);
}

RcKey
rc_tune_guess_key(const RcTune *tune, RcKey stated)
{
  static const double clearly = 1e-9; // more than sums are off by
  const Heard heard = hear_tune(tune, stated);
  double most = -1;
  guint best_mode = 0;
  guint best_tonic = 0;
  if (!(heard.time > 0)) {
    return (RcKey){ RC_MODE_NONE, 0 };
  }
  for (guint mode = 0; mode < MODES; ++mode) {
    for (guint fifths = 0; fifths < PITCH_CLASSES; ++fifths) {
      const guint tonic = (rc_note_pc(heard.first->root) + FIFTH * fifths) % PITCH_CLASSES;
      const double these = points(&heard, mode, tonic);
      if (these > most + clearly) {
        most = these;
        best_mode = mode;
        best_tonic = tonic;
      }
    }
  }
  return spell_key(&heard, best_mode, best_tonic);
}

static gboolean
is_unkeyed(const RcSetting *setting)
{
  return setting->key.mode == RC_MODE_NONE && !setting->tones;
}

static gboolean
has_unkeyed(const RcTune *tune)
{
  for (guint i = 0; i < tune->settings->len; ++i) {
    if (is_unkeyed(rc_tune_setting(tune, i))) {
      return TRUE;
    }
  }
  return FALSE;
}

void
rc_tune_assume_key(RcTune *tune)
{
  const RcKey guess = has_unkeyed(tune) ? rc_tune_guess_key(tune, (RcKey){ RC_MODE_NONE, 0 }) : (RcKey){ 0 };
  for (guint i = 0; i < tune->settings->len && guess.mode != RC_MODE_NONE; ++i) {
    RcSetting *setting = &g_array_index(tune->settings, RcSetting, i);
    if (is_unkeyed(setting)) {
      setting->key = guess;
      setting->tones = rc_key_tones(guess);
      setting->key_assumed = TRUE;
    }
  }
}
