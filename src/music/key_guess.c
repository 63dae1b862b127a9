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

enum { PITCH_CLASSES = 12, MODES = 2, FIFTH = 7, MOST_OF_SCALE = 8 };

// A chord as it is counted.
typedef struct {
  double time;    // in ticks, or the number of times
  guint root;     // pitch class
  guint tonic_of; // set of modes, as bits, in which it can be the tonic
  gboolean leads; // it is a dominant
} Heard;

// What there is to hear of all chords, by pitch class.
typedef struct {
  double time;
  double tones[PITCH_CLASSES];          // time, shared among the tones of each chord
  double home[MODES][PITCH_CLASSES];    // time of the chord that would be the tonic
  guint arrivals[MODES][PITCH_CLASSES]; // falling fifths to it
  guint falls;                          // all of them
  RcNote spelled[PITCH_CLASSES];        // roots as written last
  RcPcSet roots;                        // which there are
  Heard first;
  Heard last;
} Summary;

static const double clearly = 1e-9; // more than sums of points are off by

static const RcMode modes[MODES] = { RC_MODE_MAJOR, RC_MODE_MINOR };

// A chord can be the tonic where its third is that of the mode, or open.
static Heard
hear_symbol(const RcSymbol *symbol)
{
  static const RcDegrees against[MODES] = { RC_BIT(FLAT_3) | RC_BIT(FLAT_5), RC_BIT(3) | RC_BIT(FLAT_5) };
  const RcDegrees degrees = symbol->chord.degrees;
  Heard heard = { .root = rc_note_pc(symbol->chord.root) };
  for (guint mode = 0; mode < MODES; ++mode) {
    heard.tonic_of |= degrees & against[mode] ? 0 : 1U << mode;
  }
  heard.leads = (degrees & (RC_BIT(3) | RC_BIT(FLAT_7))) && !(degrees & (RC_BIT(FLAT_3) | RC_BIT(7)));
  return heard;
}

static gboolean
leads_to(const Heard *dominant, guint root)
{
  return dominant->leads && dominant->root == (root + FIFTH) % PITCH_CLASSES;
}

static gboolean
is_tonic(const Heard *heard, guint mode)
{
  return (heard->tonic_of >> mode) & 1U;
}

static gboolean
same_key(RcKey a, RcKey b)
{
  return a.mode == b.mode && (a.tonic == b.tonic || a.mode == RC_MODE_NONE);
}

// Walks through the chords under `stated`: their time is added up in `heard`, which has a place for each symbol.
static void
hear_chords(const RcTune *tune, RcKey stated, Heard *heard, Summary *summary)
{
  RcPlayed played;
  const Heard *before = NULL;
  guint setting = 0;
  gboolean wanted = same_key(rc_tune_setting(tune, 0)->key, stated);
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    if (played.setting != setting) {
      setting = played.setting;
      wanted = same_key(rc_tune_setting(tune, setting)->key, stated);
    }
    if (!wanted || rc_tune_symbol(tune, played.symbol)->kind != RC_SYMBOL_CHORD) {
      continue;
    }
    Heard *here = &heard[played.symbol];
    here->time += tune->unmeasured ? 1 : (double)played.length;
    if (!before) {
      summary->first = *here;
    } else if (leads_to(before, here->root)) {
      ++summary->falls;
      summary->arrivals[0][here->root] += is_tonic(here, 0) ? 1 : 0;
      summary->arrivals[1][here->root] += is_tonic(here, 1) ? 1 : 0;
    }
    before = here;
  }
  summary->last = before ? *before : summary->last;
}

static void
add_symbol(Summary *summary, const RcSymbol *symbol, const Heard *heard)
{
  const RcPcSet tones = rc_chord_tones(&symbol->chord);
  const double share = heard->time / rc_pcs_count(tones);
  summary->time += heard->time;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    summary->tones[pc] += rc_pcs_has(tones, pc) ? share : 0;
  }
  for (guint mode = 0; mode < MODES; ++mode) {
    summary->home[mode][heard->root] += is_tonic(heard, mode) ? heard->time : 0;
  }
  summary->spelled[heard->root] = symbol->chord.root;
  summary->roots |= (RcPcSet)(1U << heard->root);
}

static Summary
hear_tune(const RcTune *tune, RcKey stated)
{
  Summary summary = { 0 };
  Heard *heard = g_new0(Heard, tune->symbols->len);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    heard[i] = hear_symbol(rc_tune_symbol(tune, i));
  }
  hear_chords(tune, stated, heard, &summary);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    if (heard[i].time > 0) {
      add_symbol(&summary, rc_tune_symbol(tune, i), &heard[i]);
    }
  }
  g_free(heard);
  return summary;
}

// Of a key but for what its scale has: the tonic chord, falling fifths, beginning and end.
static double
points_of_tonic(const Summary *s, guint mode, guint tonic)
{
  double sum = 8 * s->home[mode][tonic] / s->time;
  sum += s->falls ? 2.0 * s->arrivals[mode][tonic] / s->falls : 0;
  sum += s->first.root == tonic && is_tonic(&s->first, mode) ? 2 : 0;
  sum += s->last.root == tonic && is_tonic(&s->last, mode) ? 2 : leads_to(&s->last, tonic) ? 1 : 0;
  return sum;
}

static double
points_of_scale(const Summary *s, RcPcSet scale)
{
  double time = 0;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    time += rc_pcs_has(scale, pc) ? s->tones[pc] : 0;
  }
  return MOST_OF_SCALE * time / s->time;
}

static double
points(const Summary *s, guint mode, guint tonic, RcPcSet scale)
{
  return points_of_tonic(s, mode, tonic) + points_of_scale(s, scale);
}

// The key as its chords are written, with no more than seven sharps or flats; else as players write it.
static RcKey
spell_key(const Summary *heard, guint mode, guint tonic)
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
  const Summary heard = hear_tune(tune, stated);
  double most = -1;
  guint best_mode = 0;
  guint best_tonic = 0;
  if (!(heard.time > 0)) {
    return (RcKey){ RC_MODE_NONE, 0 };
  }
  for (guint mode = 0; mode < MODES; ++mode) {
    const RcPcSet in_c = rc_key_tones((RcKey){ modes[mode], 0 });
    for (guint fifths = 0; fifths < PITCH_CLASSES; ++fifths) {
      const guint tonic = (heard.first.root + FIFTH * fifths) % PITCH_CLASSES;
      const double tonics = points_of_tonic(&heard, mode, tonic);
      if (tonics + MOST_OF_SCALE <= most) {
        continue; // whatever its scale has
      }
      const double these = tonics + points_of_scale(&heard, rc_pcs_transpose(in_c, (int)tonic));
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

// The major key, or the minor one of the same signs where the chords under it suggest that.
static RcKey
better_mode(const RcTune *tune, RcKey major)
{
  enum { MINOR = 3 };
  const RcKey minor = { RC_MODE_MINOR, (RcNote)(major.tonic + MINOR) };
  const Summary heard = hear_tune(tune, major);
  if (!(heard.time > 0)) {
    return major;
  }
  const double as_major = points(&heard, 0, rc_note_pc(major.tonic), rc_key_tones(major));
  const double as_minor = points(&heard, 1, rc_note_pc(minor.tonic), rc_key_tones(minor));
  return as_minor > as_major + clearly ? minor : major;
}

static void
choose_modes(RcTune *tune)
{
  for (guint i = 0; i < tune->settings->len; ++i) {
    const RcKey major = rc_tune_setting(tune, i)->key;
    if (!rc_tune_setting(tune, i)->signs_only) {
      continue;
    }
    const RcKey better = better_mode(tune, major);
    for (guint j = i; j < tune->settings->len; ++j) { // all of these signs, before the next are looked at
      RcSetting *setting = &g_array_index(tune->settings, RcSetting, j);
      if (setting->signs_only && same_key(setting->key, major)) {
        *setting = (RcSetting){ better, rc_key_tones(better), setting->meter, setting->tempo, TRUE, FALSE };
      }
    }
  }
}

void
rc_tune_assume_key(RcTune *tune)
{
  choose_modes(tune);
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

void
rc_tune_leave_key(RcTune *tune)
{
  for (guint i = 0; i < tune->settings->len; ++i) {
    RcSetting *setting = &g_array_index(tune->settings, RcSetting, i);
    if (setting->signs_only) {
      setting->key = (RcKey){ RC_MODE_NONE, 0 };
    }
  }
}
