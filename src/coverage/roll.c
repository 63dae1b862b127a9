// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include "base/array.h"
#include "coverage/code_map.h"
#include "coverage/gains.h"
#include "coverage/panel.h"
#include "coverage/set_counts.h"

#include <string.h>

enum { USUAL_SYMBOLS = 64 };

// What was asked last for a chord.
typedef struct {
  guint tune; // number of the tune whose sets hold the answer; 0: never asked
  RcPcSet melody;
  guint entry;
} LastAsked;

// A chord in a key.
typedef struct {
  RcRequestCode code;
  LastAsked last[2]; // by briskness
} KeyChord;

typedef struct {
  RcRollEntry entry;
  const RcAsked *asked;
  guint chord;    // among the chords of the gains
  guint64 native; // the first words of its sets, which are mostly all there are
  guint64 accepted;
  guint64 alone;
  gboolean lacking; // some keyboard does not accept it
} Entry;

// A chord that was counted in a tune before another that is played next wherever the bars go on as they are written.
typedef struct {
  guint tune;  // its number; in no other does this hold
  guint end;   // event after it
  guint entry; // what it asks for
  RcTicks length;
} Counted;

struct RcRoll {
  RcPanel *panel;
  guint words; // of a set of keyboards
  RcRollSettings settings;
  RcCodeMap codes;            // to indices of `entries`
  GArray *entries;            // of Entry
  RcCodeMap chords_by_number; // to indices of `chords`
  GArray *chords;             // of KeyChord
  // of the tune being added
  guint tune;      // its number, from 1
  GArray *symbols; // of guint, room for more: 1 + index into `chords` of each symbol in the key it is in; 0: not asked
  GArray *counted; // of Counted, by the event that begins it, room for more
  guint64 *sets;   // room for the six below
  guint64 *native; // keyboards on which all of it so far is native
  guint64 *accepted; // accepted
  guint64 *alone;    // accepted without the melody's help
  guint64 *short_of; // keyboards that lack some chord of it
  guint64 *shorter;  // that lack two different ones
  guint64 *chord;    // that lack the one that is looked at
  GArray *lacking;   // of guint: its entries that some keyboard does not accept
  gboolean unread;   // a text in it is no chord symbol
  // by keyboard
  int next[RC_GAIN_KEYBOARDS]; // see rc_panel_next()
  guint64 watched;             // those that have a next one
  RcGains gains;
  RcSetCounts native_tunes;
  RcSetCounts accepted_tunes;
  RcSetCounts alone_tunes;
  RcSetCounts short_tunes; // one short
  guint64 unread_chords;
  RcTicks unread_ticks;
  guint64 tunes_with_chords;
  RcTiming timing;
};

// -------------------------------------------------------------------------------------------------------- settings

RcRollSettings
rc_roll_settings(void)
{
  return (RcRollSettings){ .brisk = 1.0, .pace = 1.0, .untimed = RC_UNTIMED_ASSUME };
}

// That of the tune itself, or the usual one.
static RcTempo
own_tempo(const RcRollSettings *settings, const RcTune *tune, const RcSetting *here)
{
  if (here->tempo.source != RC_TEMPO_NONE || settings->untimed == RC_UNTIMED_LEAVE) {
    return here->tempo;
  }
  return rc_tune_usual_tempo(tune, here->meter);
}

RcTempo
rc_roll_tempo(const RcRollSettings *settings, const RcTune *tune, guint setting)
{
  const RcSetting *here = rc_tune_setting(tune, setting);
  if (settings->given.source != RC_TEMPO_NONE) {
    const double beat = settings->in_beats ? (double)rc_meter_beat(here->meter) / (double)RC_QUARTER : 1;
    return (RcTempo){ RC_TEMPO_GIVEN, CLAMP(settings->given.quarters * beat, RC_MIN_QUARTERS, RC_MAX_QUARTERS) };
  }
  RcTempo tempo = own_tempo(settings, tune, here);
  if (tempo.source != RC_TEMPO_NONE && (settings->pace < 1 || settings->pace > 1)) {
    tempo.quarters = CLAMP(tempo.quarters * settings->pace, RC_MIN_QUARTERS, RC_MAX_QUARTERS);
  }
  return tempo;
}

static RcTicks
brisk_below(const RcRollSettings *settings, RcTempo tempo)
{
  return (RcTicks)(settings->brisk * tempo.quarters / 60 * (double)RC_QUARTER);
}

RcTicks
rc_roll_brisk_below(const RcRollSettings *settings, const RcTune *tune, guint setting)
{
  return brisk_below(settings, rc_roll_tempo(settings, tune, setting));
}

RcRequest
rc_roll_request(const RcRollSettings *settings, const RcTune *tune, const RcPlayed *played)
{
  const RcChord *chord = &rc_tune_symbol(tune, played->symbol)->chord;
  const RcSetting *here = rc_tune_setting(tune, played->setting);
  return (RcRequest){ *chord, rc_key_scale(here->key, here->tones), settings->no_melody ? 0 : played->melody,
                      rc_played_is_brisk(played, rc_roll_brisk_below(settings, tune, played->setting)) };
}

// ---------------------------------------------------------------------------------------------------------- making

RcRoll *
rc_roll_new(RcPanel *panel, RcRollSettings settings)
{
  RcRoll *roll = g_new0(RcRoll, 1);
  const guint n = rc_panel_size(panel);
  roll->panel = panel;
  roll->words = rc_set_words(n);
  roll->settings = settings;
  roll->entries = g_array_new(FALSE, FALSE, sizeof(Entry));
  roll->chords = g_array_new(FALSE, TRUE, sizeof(KeyChord));
  roll->symbols = g_array_new(FALSE, TRUE, sizeof(guint));
  g_array_set_size(roll->symbols, USUAL_SYMBOLS);
  roll->counted = g_array_new(FALSE, TRUE, sizeof(Counted));
  roll->sets = g_new0(guint64, 6 * (gsize)roll->words + 1);
  roll->native = roll->sets;
  roll->accepted = roll->native + roll->words;
  roll->alone = roll->accepted + roll->words;
  roll->short_of = roll->alone + roll->words;
  roll->shorter = roll->short_of + roll->words;
  roll->chord = roll->shorter + roll->words;
  rc_set_counts_init(&roll->native_tunes, roll->words);
  rc_set_counts_init(&roll->accepted_tunes, roll->words);
  rc_set_counts_init(&roll->alone_tunes, roll->words);
  rc_set_counts_init(&roll->short_tunes, roll->words);
  roll->lacking = g_array_new(FALSE, FALSE, sizeof(guint));
  rc_gains_init(&roll->gains);
  for (guint i = 0; i < MIN(n, RC_GAIN_KEYBOARDS); ++i) {
    roll->next[i] = rc_panel_next(panel, i);
    const gboolean watched = roll->next[i] >= 0 && roll->next[i] < RC_GAIN_KEYBOARDS;
    roll->watched |= watched ? G_GUINT64_CONSTANT(1) << i : 0;
  }
  rc_code_map_init(&roll->codes);
  rc_code_map_init(&roll->chords_by_number);
  return roll;
}

void
rc_roll_free(RcRoll *roll)
{
  if (roll) {
    rc_gains_clear(&roll->gains);
    g_array_unref(roll->lacking);
    rc_code_map_clear(&roll->codes);
    rc_code_map_clear(&roll->chords_by_number);
    g_array_unref(roll->chords);
    g_array_unref(roll->entries);
    g_array_unref(roll->symbols);
    g_array_unref(roll->counted);
    g_free(roll->sets);
    rc_set_counts_clear(&roll->native_tunes);
    rc_set_counts_clear(&roll->accepted_tunes);
    rc_set_counts_clear(&roll->alone_tunes);
    rc_set_counts_clear(&roll->short_tunes);
    g_free(roll);
  }
}

// ---------------------------------------------------------------------------------------------------------- adding

// `of_key` is the number of the key.
static guint
find_chord(RcRoll *roll, const RcChord *chord, const RcScale *key, guint64 of_key)
{
  guint index = 0;
  const guint64 number = rc_chord_number(chord, of_key);
  if (!rc_code_map_find(&roll->chords_by_number, number, &index)) {
    const RcRequest request = { *chord, *key, 0, FALSE };
    const KeyChord added = { .code = rc_request_code(&request) };
    index = roll->chords->len;
    g_array_append_val(roll->chords, added);
    rc_code_map_add(&roll->chords_by_number, number, index);
  }
  return index;
}

static guint
find_entry(RcRoll *roll, RcRequestCode code, const RcRequest *request)
{
  guint index = 0;
  const guint64 number = rc_request_code_at(code, request->melody, request->brisk);
  if (!rc_code_map_find(&roll->codes, number, &index)) {
    const RcAsked *asked = rc_panel_ask(roll->panel, code, request);
    const Entry entry = { { *request, 0, 0 },
                          asked,
                          rc_gains_chord(&roll->gains, &request->chord),
                          asked->native[0],
                          asked->accepted[0],
                          asked->accepted_alone[0],
                          asked->lacking };
    index = roll->entries->len;
    g_array_append_val(roll->entries, entry);
    rc_code_map_add(&roll->codes, number, index);
  }
  return index;
}

// Key and tempo from some place in a tune on.
typedef struct {
  guint setting;
  RcScale key;
  guint64 key_number;
  RcTicks brisk;
} Here;

// Forgets which chords the symbols are, which holds in one key.
static Here
come_to(RcRoll *roll, const RcTune *tune, guint setting, RcTempo tempo)
{
  const guint n = tune->symbols->len;
  if (n > roll->symbols->len) {
    g_array_set_size(roll->symbols, n);
  }
  memset(roll->symbols->data, 0, n * sizeof(guint));
  const RcSetting *here = rc_tune_setting(tune, setting);
  const RcScale key = rc_key_scale(here->key, here->tones);
  return (Here){ setting, key, rc_key_number(&key), brisk_below(&roll->settings, tempo) };
}

// Takes from the tune's sets the keyboards on which an entry is not native or not accepted.
static void
intersect(RcRoll *roll, const Entry *entry)
{
  roll->native[0] &= entry->native;
  roll->accepted[0] &= entry->accepted;
  roll->alone[0] &= entry->alone;
  for (guint i = 1; i < roll->words; ++i) {
    roll->native[i] &= entry->asked->native[i];
    roll->accepted[i] &= entry->asked->accepted[i];
    roll->alone[i] &= entry->asked->accepted_alone[i];
  }
}

static KeyChord *
chord_of(RcRoll *roll, guint symbol, const RcChord *chord, const Here *here)
{
  guint *found = &g_array_index(roll->symbols, guint, symbol);
  if (!*found) {
    *found = 1 + find_chord(roll, chord, &here->key, here->key_number);
  }
  return &g_array_index(roll->chords, KeyChord, *found - 1);
}

// Mostly a chord is asked for as it was before in the tune, and then it costs an addition. Returns its entry.
static guint
count_chord(RcRoll *roll, const RcChord *chord, const RcPlayed *played, const Here *here)
{
  KeyChord *asked = chord_of(roll, played->symbol, chord, here);
  const gboolean brisk = rc_played_is_brisk(played, here->brisk);
  const RcPcSet melody = roll->settings.no_melody ? 0 : played->melody & asked->code.melody;
  LastAsked *last = &asked->last[brisk];
  if (!last->tune || last->melody != melody) {
    const RcRequest request = { *chord, here->key, melody, brisk };
    *last = (LastAsked){ 0, melody, find_entry(roll, asked->code, &request) };
  }
  Entry *entry = &g_array_index(roll->entries, Entry, last->entry);
  if (last->tune != roll->tune) {
    last->tune = roll->tune;
    intersect(roll, entry);
    if (entry->lacking) {
      g_array_index(roll->lacking, guint, roll->lacking->len++) = last->entry;
    }
  }
  ++entry->entry.chords;
  entry->entry.ticks += played->length;
  return last->entry;
}

// Makes room for what each event of a tune may add.
static void
make_room(RcRoll *roll, const RcTune *tune)
{
  const guint n = tune->events->len;
  rc_array_cut(roll->lacking, 0);
  if (n > roll->counted->len) {
    g_array_set_size(roll->counted, n);
    rc_array_reserve(roll->lacking, n);
  }
}

// Counts the chords that come next as far as they were counted before: parts are mostly played more than once. Without
// this the roll of the bench's YAML takes 1.6 times the instructions.
static void
count_again(RcRoll *roll, RcWalk *walk)
{
  for (; walk->event < walk->end;) {
    const Counted *counted = &g_array_index(roll->counted, Counted, walk->event);
    if (counted->tune != roll->tune || counted->end >= walk->end) {
      return;
    }
    RcRollEntry *entry = &g_array_index(roll->entries, Entry, counted->entry).entry;
    ++entry->chords;
    entry->ticks += counted->length;
    walk->event = counted->end;
  }
}

static void
count_unread(RcRoll *roll, RcTicks length)
{
  ++roll->unread_chords;
  roll->unread_ticks += length;
  roll->unread = TRUE;
  memset(roll->sets, 0, sizeof *roll->sets * 3 * roll->words);
}

static void
count_timing(RcRoll *roll, RcTempo tempo, gboolean unmeasured)
{
  ++roll->timing.tunes;
  if (unmeasured) {
    ++roll->timing.unmeasured;
    return;
  }
  roll->timing.assumed += rc_tempo_is_assumed(tempo) ? 1 : 0;
  roll->timing.untimed += tempo.source == RC_TEMPO_NONE;
}

static void
count_key(RcRoll *roll, const RcSetting *start)
{
  roll->timing.keys_assumed += start->key_assumed ? 1 : 0;
  roll->timing.unkeyed += start->tones ? 0 : 1;
}

// Counts a tune that only the next keyboard plays by the chords that this one lacks.
static void
note_gain(RcRoll *roll, guint keyboard)
{
  RcGainKind kind = { .keyboard = keyboard, .tunes = 1 };
  for (guint i = 0; i < roll->lacking->len && kind.n <= RC_GAIN_CHORDS; ++i) {
    const Entry *entry = &g_array_index(roll->entries, Entry, g_array_index(roll->lacking, guint, i));
    gboolean told = (entry->accepted >> keyboard) & 1U;
    for (guint c = 0; c < kind.n && !told; ++c) {
      told = kind.chords[c] == entry->chord;
    }
    if (!told && kind.n++ < RC_GAIN_CHORDS) {
      kind.chords[kind.n - 1] = entry->chord;
    }
  }
  rc_gains_add(&roll->gains, kind);
}

static void
note_gains(RcRoll *roll)
{
  const guint64 missed = roll->watched & ~roll->accepted[0];
  for (guint keyboard = 0; keyboard < RC_GAIN_KEYBOARDS && missed >> keyboard; ++keyboard) {
    if ((missed >> keyboard) & 1U && (roll->accepted[0] >> (guint)roll->next[keyboard]) & 1U) {
      note_gain(roll, keyboard);
    }
  }
}

static const Entry *
lacking_at(const RcRoll *roll, guint index)
{
  return &g_array_index(roll->entries, Entry, g_array_index(roll->lacking, guint, index));
}

// Whether the chord of an entry comes among those before it: in another length, say.
static gboolean
is_told(const RcRoll *roll, guint index)
{
  for (guint i = 0; i < index; ++i) {
    if (lacking_at(roll, i)->chord == lacking_at(roll, index)->chord) {
      return TRUE;
    }
  }
  return FALSE;
}

// Sets `chord` to the keyboards that lack the chord of an entry somewhere in the tune.
static void
gather_lacking(RcRoll *roll, guint index)
{
  memset(roll->chord, 0, sizeof *roll->chord * roll->words);
  for (guint i = index; i < roll->lacking->len; ++i) {
    const Entry *entry = lacking_at(roll, i);
    for (guint word = 0; entry->chord == lacking_at(roll, index)->chord && word < roll->words; ++word) {
      roll->chord[word] |= ~entry->asked->accepted[word];
    }
  }
}

static void
count_short(RcRoll *roll)
{
  memset(roll->short_of, 0, sizeof *roll->short_of * 2 * roll->words);
  for (guint i = 0; i < roll->lacking->len && !roll->unread; ++i) {
    if (is_told(roll, i)) {
      continue;
    }
    gather_lacking(roll, i);
    for (guint word = 0; word < roll->words; ++word) {
      roll->shorter[word] |= roll->short_of[word] & roll->chord[word];
      roll->short_of[word] |= roll->chord[word];
    }
  }
}

static void
count_tune(RcRoll *roll)
{
  ++roll->tunes_with_chords;
  count_short(roll);
  for (guint word = 0; word < roll->words; ++word) {
    roll->short_of[word] &= ~roll->shorter[word]; // of a single chord
  }
  rc_set_counts_add(&roll->native_tunes, roll->native);
  rc_set_counts_add(&roll->accepted_tunes, roll->accepted);
  rc_set_counts_add(&roll->alone_tunes, roll->alone);
  rc_set_counts_add(&roll->short_tunes, roll->short_of);
}

// FALSE where the tune has neither chords nor unread texts.
static gboolean
count_played(RcRoll *roll, const RcTune *tune, Here here)
{
  gboolean has_chords = FALSE;
  guint melody = 0;
  RcPlayed played;
  RcWalk walk = rc_walk_start(tune);
  for (guint bar = walk.bar; rc_walk_next(&walk, &played); count_again(roll, &walk), bar = walk.bar) {
    melody |= played.melody;
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (played.setting != here.setting) {
      here = come_to(roll, tune, played.setting, rc_roll_tempo(&roll->settings, tune, played.setting));
    }
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const guint entry = count_chord(roll, &symbol->chord, &played, &here);
      if (walk.bar == bar) { // it ended within the run
        g_array_index(roll->counted, Counted, played.event) = (Counted){ roll->tune, walk.event, entry, played.length };
      }
      has_chords = TRUE;
    } else if (symbol->kind == RC_SYMBOL_UNREAD) {
      count_unread(roll, played.length);
      has_chords = TRUE;
    }
  }
  roll->timing.melodies += melody != 0;
  return has_chords;
}

void
rc_roll_add(RcRoll *roll, const RcTune *tune)
{
  const RcTempo tempo = rc_roll_tempo(&roll->settings, tune, 0);
  ++roll->tune;
  make_room(roll, tune);
  roll->unread = FALSE;
  count_timing(roll, tempo, tune->unmeasured);
  memset(roll->sets, 0xFF, sizeof *roll->sets * 3 * roll->words);
  if (count_played(roll, tune, come_to(roll, tune, 0, tempo))) {
    count_tune(roll);
    count_key(roll, rc_tune_setting(tune, 0));
    note_gains(roll);
  } else {
    ++roll->timing.chordless;
  }
}

// --------------------------------------------------------------------------------------------------------- merging

static void
merge_entries(RcRoll *into, const RcRoll *from)
{
  for (guint i = 0; i < from->entries->len; ++i) {
    const Entry *more = &g_array_index(from->entries, Entry, i);
    const RcRequest *request = &more->entry.request;
    const guint chord = find_chord(into, &request->chord, &request->key, rc_key_number(&request->key));
    const guint index = find_entry(into, g_array_index(into->chords, KeyChord, chord).code, request);
    Entry *entry = &g_array_index(into->entries, Entry, index);
    entry->entry.chords += more->entry.chords;
    entry->entry.ticks += more->entry.ticks;
  }
}

void
rc_roll_merge(RcRoll *into, const RcRoll *from)
{
  merge_entries(into, from);
  rc_gains_merge(&into->gains, &from->gains);
  rc_set_counts_merge(&into->native_tunes, &from->native_tunes);
  rc_set_counts_merge(&into->accepted_tunes, &from->accepted_tunes);
  rc_set_counts_merge(&into->alone_tunes, &from->alone_tunes);
  rc_set_counts_merge(&into->short_tunes, &from->short_tunes);
  into->unread_chords += from->unread_chords;
  into->unread_ticks += from->unread_ticks;
  into->tunes_with_chords += from->tunes_with_chords;
  into->timing.tunes += from->timing.tunes;
  into->timing.assumed += from->timing.assumed;
  into->timing.untimed += from->timing.untimed;
  into->timing.unmeasured += from->timing.unmeasured;
  into->timing.chordless += from->timing.chordless;
  into->timing.melodies += from->timing.melodies;
  into->timing.keys_assumed += from->timing.keys_assumed;
  into->timing.unkeyed += from->timing.unkeyed;
}

// --------------------------------------------------------------------------------------------------------- results

const RcLayout *
rc_roll_layout(const RcRoll *roll, guint index)
{
  return rc_panel_layout(roll->panel, index);
}

guint
rc_roll_n_layouts(const RcRoll *roll)
{
  return rc_panel_size(roll->panel);
}

RcRollSettings
rc_roll_get_settings(const RcRoll *roll)
{
  return roll->settings;
}

RcVerdict
rc_roll_accept(const RcRoll *roll)
{
  return rc_panel_accept(roll->panel);
}

RcCounts
rc_roll_counts(const RcRoll *roll, guint index)
{
  RcCounts counts = { 0 };
  for (guint i = 0; i < roll->entries->len; ++i) {
    const Entry *entry = &g_array_index(roll->entries, Entry, i);
    const RcVerdict verdict = (RcVerdict)entry->asked->verdicts[index];
    counts.chords[verdict] += entry->entry.chords;
    counts.ticks[verdict] += entry->entry.ticks;
  }
  counts.chords[RC_UNREAD] = roll->unread_chords;
  counts.ticks[RC_UNREAD] = roll->unread_ticks;
  counts.tunes = roll->tunes_with_chords;
  counts.native = rc_set_counts_get(&roll->native_tunes, index);
  counts.playable = rc_set_counts_get(&roll->accepted_tunes, index);
  counts.playable_alone = rc_set_counts_get(&roll->alone_tunes, index);
  counts.one_short = rc_set_counts_get(&roll->short_tunes, index);
  return counts;
}

RcGain
rc_roll_gain(const RcRoll *roll, guint index)
{
  RcGain gain = { .next = index < RC_GAIN_KEYBOARDS && (roll->watched >> index) & 1U ? roll->next[index] : -1 };
  if (gain.next >= 0) {
    const RcCounts here = rc_roll_counts(roll, index);
    const RcCounts there = rc_roll_counts(roll, (guint)gain.next);
    gain.tunes = there.playable - here.playable;
    gain.ticks = rc_counts_carried(&there, rc_roll_accept(roll)) - rc_counts_carried(&here, rc_roll_accept(roll));
    rc_gains_explain(&roll->gains, index, &gain);
  }
  return gain;
}

RcTiming
rc_roll_timing(const RcRoll *roll)
{
  return roll->timing;
}

guint
rc_roll_n_entries(const RcRoll *roll)
{
  return roll->entries->len;
}

const RcRollEntry *
rc_roll_entry(const RcRoll *roll, guint index)
{
  return &g_array_index(roll->entries, Entry, index).entry;
}

RcAnswer
rc_roll_answer(const RcRoll *roll, guint entry, guint index)
{
  return g_array_index(roll->entries, Entry, entry).asked->answers[index];
}
