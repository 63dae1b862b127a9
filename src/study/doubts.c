// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What in a tune as written may be meant otherwise. Precise before complete: a question that is wrong costs more trust
// than one that is not asked.
//
// A chord is questioned where the melody sounds the other third over it (the minor one over a major chord, or the major
// one over a minor chord) and never its own, wherever the tune writes it. The other third must be weighty: a quarter of
// the melody's time over the chord, and on a beat, or a beat long, at least twice, or once for half of that time. It
// must belong to a stated key, so that blue notes do not count, and six tenths of the melody must be tones of the chord
// that is meant. So neither passing tones nor neighbours raise a doubt. One weighty note is enough against the tonic
// chord of a stated key whose third that key has not (A major in A minor). Only plain chords are questioned: triads,
// sixths, sevenths and ninths with a perfect fifth. Shares and limits are our own, tried on real tunes.
//
// A key is questioned where the chords suggest another (rc_tune_guess_key()), begin and end elsewhere than at home in
// the stated one, end at home in the other, as the melody does where there is one, and have tones that the other scale
// has and the stated one has not: of their time 4 % more than the other way round. Where only the third is another, a
// melody that has the stated one leaves the key alone.

#include "rowcall/study.h"

enum { PITCH_CLASSES = 12, FEWEST_CHORDS = 6 };

// ------------------------------------------------------------------------------------------------------------ thirds

// The melody over all places of a chord.
typedef struct {
  RcTicks all;
  RcTicks tones[PITCH_CLASSES];
  guint weighty; // notes of the other third
  gboolean own;  // its own third is there
  guint event;   // of the first of these notes
  guint bar;
} Over;

typedef struct {
  const RcTune *tune;
  Over *over;  // by the first symbol of each chord
  guint note;  // the next
  guint event; // of the chord that sounds, as written
  guint bar;   // of that event
} Listener;

static gboolean
is_plain(const RcChord *chord)
{
  const RcDegrees thirds = chord->degrees & RC_THIRDS;
  const RcDegrees plain = RC_THIRDS | RC_BIT(1) | RC_BIT(5) | RC_BIT(6) | RC_BIT(FLAT_7) | RC_BIT(9);
  return !(chord->degrees & ~plain) && (chord->degrees & RC_BIT(5)) &&
         (thirds == RC_BIT(3) || thirds == RC_BIT(FLAT_3));
}

static RcChord
parallel_of(const RcChord *chord)
{
  return (RcChord){ chord->root, chord->bass, chord->degrees ^ RC_THIRDS };
}

static RcDegree
third_of(const RcChord *chord)
{
  return (chord->degrees & RC_BIT(3)) ? RC_DEGREE_3 : RC_DEGREE_FLAT_3;
}

// The triad that shares two tones with a major or minor one: D major with B minor.
static RcChord
relative_of(const RcChord *chord)
{
  const gboolean minor = third_of(chord) == RC_DEGREE_FLAT_3;
  const RcNote root = rc_note_up(chord->root, minor ? -3 : 3);
  return (RcChord){ root, root, minor ? RC_CHORD_MAJOR : RC_CHORD_MINOR };
}

static guint
third_pc(const RcChord *chord)
{
  return rc_chord_degree_pc(chord, third_of(chord));
}

static const RcEvent *
event_at(const RcTune *tune, guint index)
{
  return &g_array_index(tune->events, RcEvent, index);
}

static gboolean
is_weighty(const RcTune *tune, const RcTuneNote *note, guint event)
{
  const RcTicks beat = rc_meter_beat(rc_tune_setting(tune, event_at(tune, event)->setting)->meter);
  return note->start % beat == 0 || note->length >= beat;
}

// Hears a note over the chord that sounds, in an event that ends at `end`.
static void
hear_note(Listener *l, const RcTuneNote *note, guint event, RcTicks end)
{
  const RcSymbol *symbol = rc_tune_symbol(l->tune, event_at(l->tune, l->event)->symbol);
  const guint pc = note->pitch % PITCH_CLASSES;
  const RcChord other = parallel_of(&symbol->chord);
  Over *over = &l->over[symbol->same];
  const RcTicks length = MIN(note->length, end - note->start);
  over->all += length;
  over->tones[pc] += length;
  if (pc == third_pc(&other) && is_weighty(l->tune, note, event)) {
    over->event = over->weighty ? over->event : l->event;
    over->bar = over->weighty ? over->bar : l->bar;
    ++over->weighty;
  }
}

// Takes the chord that an event writes, if it writes one, and returns whether the chord that sounds can be questioned.
static gboolean
take_chord(Listener *l, guint bar, guint event)
{
  if (rc_tune_symbol(l->tune, event_at(l->tune, event)->symbol)->kind != RC_SYMBOL_HELD) {
    l->event = event;
    l->bar = bar;
  }
  const RcSymbol *symbol = rc_tune_symbol(l->tune, event_at(l->tune, l->event)->symbol);
  if (symbol->kind != RC_SYMBOL_CHORD || !is_plain(&symbol->chord)) {
    return FALSE;
  }
  l->over[symbol->same].own |= rc_pcs_has(event_at(l->tune, event)->melody, third_pc(&symbol->chord));
  return TRUE;
}

// Hears the notes that begin in an event, which ends at `end` of its bar.
static void
hear_event(Listener *l, guint bar, guint event, RcTicks end)
{
  const GArray *notes = l->tune->notes;
  const gboolean asked = take_chord(l, bar, event);
  for (; l->note < notes->len; ++l->note) {
    const RcTuneNote *note = &g_array_index(notes, RcTuneNote, l->note);
    if (note->bar > bar || (note->bar == bar && note->start >= end)) {
      break;
    }
    if (asked && note->bar == bar) {
      hear_note(l, note, event, end);
    }
  }
}

static void
hear_melody(Listener *l)
{
  for (guint i = 0; i < l->tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(l->tune->bars, RcBar, i);
    RcTicks end = 0;
    for (guint j = bar->first; j < bar->first + bar->count; ++j) {
      end += event_at(l->tune, j)->length;
      hear_event(l, i, j, end);
    }
  }
}

static RcTicks
time_of(const Over *over, const RcChord *chord)
{
  RcTicks sum = 0;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    sum += rc_pcs_has(rc_chord_tones(chord), pc) ? over->tones[pc] : 0;
  }
  return sum;
}

// Whether it is the tonic chord of a stated key with the third that the key has not.
static gboolean
is_wrong_tonic(const RcSetting *here, const RcChord *chord)
{
  return here->key.mode != RC_MODE_NONE && !here->key_assumed &&
         rc_note_pc(here->key.tonic) == rc_note_pc(chord->root) && !rc_pcs_has(here->tones, third_pc(chord));
}

static gboolean
is_contradicted(const RcTune *tune, const Over *over, const RcChord *chord, guint third)
{
  const RcSetting *here = rc_tune_setting(tune, event_at(tune, over->event)->setting);
  const RcTicks time = over->tones[third];
  const gboolean in_key = here->key_assumed || !here->tones || rc_pcs_has(here->tones, third);
  const gboolean often = 4 * time >= over->all && (over->weighty >= 2 || 2 * time >= over->all);
  return !over->own && in_key && (often || is_wrong_tonic(here, chord));
}

static void
doubt_chord(const RcTune *tune, const Over *over, guint symbol, GArray *doubts)
{
  const RcChord *chord = &rc_tune_symbol(tune, symbol)->chord;
  const RcChord parallel = parallel_of(chord);
  const RcChord relative = relative_of(&parallel);
  if (!over->weighty || !is_contradicted(tune, over, chord, third_pc(&parallel))) {
    return;
  }
  const gboolean far = 2 * time_of(over, &relative) > 3 * time_of(over, &parallel);
  const RcChord meant = far ? relative : parallel;
  if (10 * time_of(over, &meant) >= 6 * over->all) {
    const RcEvent *event = event_at(tune, over->event);
    const RcNote third = rc_note_up(parallel.root, rc_degree_fifths(third_of(&parallel)));
    const RcDoubt doubt = { .kind = RC_DOUBT_CHORD,
                            .line = event->line,
                            .column = event->column,
                            .bar = over->bar,
                            .symbol = symbol,
                            .third = third,
                            .meant = meant };
    g_array_append_val(doubts, doubt);
  }
}

static void
doubt_chords(const RcTune *tune, GArray *doubts)
{
  Listener l = { .tune = tune, .over = g_new0(Over, tune->symbols->len) };
  hear_melody(&l);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    if (rc_tune_symbol(tune, i)->same == i) {
      doubt_chord(tune, &l.over[i], i, doubts);
    }
  }
  g_free(l.over);
}

// --------------------------------------------------------------------------------------------------------------- key

// The chords of a tune against two keys.
typedef struct {
  guint n;
  const RcChord *first;
  const RcChord *last;
  guint event; // where the last chord begins
  double time;
  RcPcSet tones;
  double only_guess; // chord tones that only the guessed scale has
  double only_stated;
} Chords;

static gboolean
has_one_key(const RcTune *tune)
{
  const RcKey key = rc_tune_setting(tune, 0)->key;
  for (guint i = 0; i < tune->settings->len; ++i) {
    const RcSetting *setting = rc_tune_setting(tune, i);
    if (setting->key_assumed || setting->key.mode != key.mode || setting->key.tonic != key.tonic) {
      return FALSE;
    }
  }
  return key.mode != RC_MODE_NONE;
}

static Chords
look_at_chords(const RcTune *tune, RcPcSet stated, RcPcSet guess)
{
  Chords chords = { 0 };
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (symbol->kind != RC_SYMBOL_CHORD) {
      continue;
    }
    const RcPcSet tones = rc_chord_tones(&symbol->chord);
    const double share = (tune->unmeasured ? 1 : (double)played.length) / rc_pcs_count(tones);
    chords.first = chords.first ? chords.first : &symbol->chord;
    chords.last = &symbol->chord;
    chords.event = played.event;
    chords.tones |= tones;
    chords.time += share * rc_pcs_count(tones);
    chords.only_guess += share * rc_pcs_count(tones & guess & ~stated);
    chords.only_stated += share * rc_pcs_count(tones & stated & ~guess);
    ++chords.n;
  }
  return chords;
}

// The last note as played; FALSE where none is known.
static gboolean
last_note(const RcTune *tune, guint *pc)
{
  gboolean found = FALSE;
  const guint bar = g_array_index(tune->played, guint, tune->played->len - 1);
  for (guint i = 0; i < tune->notes->len; ++i) {
    const RcTuneNote *note = &g_array_index(tune->notes, RcTuneNote, i);
    if (note->bar == bar) {
      *pc = note->pitch % PITCH_CLASSES;
      found = TRUE;
    }
  }
  return found;
}

// Whether a chord is the tonic of a key with these tones, its third, if it has one, among them.
static gboolean
is_home(const RcChord *chord, RcKey key, RcPcSet tones)
{
  const RcPcSet thirds = rc_degrees_tones(chord->degrees & RC_THIRDS, rc_note_pc(chord->root));
  return rc_note_pc(chord->root) == rc_note_pc(key.tonic) && !(thirds & ~tones);
}

static RcPcSet
melody_tones(const RcTune *tune)
{
  RcPcSet tones = 0;
  for (guint i = 0; i < tune->events->len; ++i) {
    tones |= event_at(tune, i)->melody;
  }
  return tones;
}

// Whether the guess has the tonic of the stated key, and its third is in the stated key too or, where the stated third
// is in the melody, not for the chords to say.
static gboolean
agrees(const RcTune *tune, const RcSetting *stated, RcKey guess)
{
  const guint tonic = rc_note_pc(guess.tonic);
  const guint third = (tonic + (guess.mode == RC_MODE_MAJOR ? 4 : 3)) % PITCH_CLASSES;
  const guint other = (tonic + (guess.mode == RC_MODE_MAJOR ? 3 : 4)) % PITCH_CLASSES;
  return tonic == rc_note_pc(stated->key.tonic) &&
         (rc_pcs_has(stated->tones, third) || rc_pcs_has(melody_tones(tune), other));
}

// Whether chords, and the melody if there is one, are at home in the guessed key at the end, and nowhere in the stated.
static gboolean
ends_in(const RcTune *tune, const Chords *chords, const RcSetting *stated, RcKey guess)
{
  guint end = rc_note_pc(guess.tonic);
  last_note(tune, &end);
  return end == rc_note_pc(guess.tonic) && is_home(chords->last, guess, rc_key_tones(guess)) &&
         !is_home(chords->first, stated->key, stated->tones) && !is_home(chords->last, stated->key, stated->tones);
}

static guint
bar_of(const RcTune *tune, guint event)
{
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    if (event >= bar->first && event < bar->first + bar->count) {
      return i;
    }
  }
  return 0;
}

// The guess, or, on the second degree of a stated major key whose sixth the chords do not lower, its dorian: D dorian,
// not D minor, where C is stated.
static RcKey
name_key(const Chords *chords, RcKey stated, RcKey guess)
{
  const guint sixth = (rc_note_pc(guess.tonic) + 8) % PITCH_CLASSES;
  const gboolean dorian = guess.mode == RC_MODE_MINOR && stated.mode == RC_MODE_MAJOR &&
                          rc_note_pc(guess.tonic) == (rc_note_pc(stated.tonic) + 2) % PITCH_CLASSES &&
                          !rc_pcs_has(chords->tones, sixth);
  return (RcKey){ dorian ? RC_MODE_DORIAN : guess.mode, guess.tonic };
}

static void
doubt_key(const RcTune *tune, GArray *doubts)
{
  const RcSetting *stated = rc_tune_setting(tune, 0);
  const RcKey guess = has_one_key(tune) ? rc_tune_guess_key(tune, stated->key) : (RcKey){ 0 };
  if (guess.mode == RC_MODE_NONE || agrees(tune, stated, guess)) {
    return;
  }
  const Chords chords = look_at_chords(tune, stated->tones, rc_key_tones(guess));
  const gboolean foreign = chords.only_guess - chords.only_stated >= 0.04 * chords.time;
  if (chords.n >= FEWEST_CHORDS && foreign && ends_in(tune, &chords, stated, guess)) {
    const RcEvent *event = event_at(tune, chords.event);
    const RcDoubt doubt = { .kind = RC_DOUBT_KEY,
                            .line = event->line,
                            .column = event->column,
                            .bar = bar_of(tune, chords.event),
                            .symbol = event->symbol,
                            .key = name_key(&chords, stated->key, guess) };
    g_array_append_val(doubts, doubt);
  }
}

GArray *
rc_tune_doubts(const RcTune *tune)
{
  GArray *doubts = g_array_new(FALSE, FALSE, sizeof(RcDoubt));
  doubt_key(tune, doubts);
  if (tune->notes->len) {
    doubt_chords(tune, doubts);
  }
  return doubts;
}
