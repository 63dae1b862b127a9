// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/roll_parts.h"

#include "base/array.h"
#include "coverage/here.h"

#include <string.h>

enum { FEW_TONES = 3 };

// A chord in a key. Of most chords three tones or fewer of a melody can change the answer, so that each has a place for
// every entry it may ask for.
typedef struct {
  RcRequestCode code;
  guint8 tones[FEW_TONES];       // pitch classes of those tones; where there are fewer, bits that no melody has
  gboolean many;                 // there are more
  guint entries[2 << FEW_TONES]; // 1 + entry, by which of the tones are heard and briskness; 0: not asked for yet
} KeyChord;

// A chord that was counted in a tune before another that is played next wherever the bars go on as they are written.
typedef struct {
  guint tune;  // its number; in no other does this hold
  guint end;   // event after it
  guint entry; // where it is counted
  RcTicks length;
} Counted;

// ---------------------------------------------------------------------------------------------------------- making

RcRoll *
rc_roll_new(RcPanel *panel, RcRollSettings settings)
{
  RcRoll *roll = g_new0(RcRoll, 1);
  const guint n = rc_panel_size(panel);
  roll->panel = panel;
  roll->words = rc_set_words(n);
  roll->settings = settings;
  roll->entries = g_array_new(FALSE, FALSE, sizeof(RcEntry));
  roll->questions = g_array_new(FALSE, FALSE, sizeof(RcQuestion));
  roll->chords = g_array_new(FALSE, FALSE, sizeof(KeyChord));
  roll->symbols = g_array_new(FALSE, FALSE, sizeof(guint));
  roll->tallies = g_array_new(FALSE, FALSE, sizeof(RcTuneTally));
  roll->counted = g_array_new(FALSE, TRUE, sizeof(Counted));
  roll->lacks = g_array_new(FALSE, TRUE, sizeof(guint64));
  roll->sets = g_new0(guint64, 5 * (gsize)roll->words + 1);
  roll->native = roll->sets;
  roll->accepted = roll->native + roll->words;
  roll->alone = roll->accepted + roll->words;
  roll->short_of = roll->alone + roll->words;
  roll->shorter = roll->short_of + roll->words;
  rc_set_counts_init(&roll->native_tunes, roll->words);
  rc_set_counts_init(&roll->accepted_tunes, roll->words);
  rc_set_counts_init(&roll->alone_tunes, roll->words);
  rc_set_counts_init(&roll->short_tunes, roll->words);
  roll->lacking = g_array_new(FALSE, FALSE, sizeof(guint));
  rc_gains_init(&roll->gains);
  rc_tallies_init(&roll->kept);
  for (guint i = 0; i < MIN(n, RC_GAIN_KEYBOARDS); ++i) {
    roll->next[i] = rc_panel_next(panel, i);
    const gboolean watched = roll->next[i] >= 0 && roll->next[i] < RC_GAIN_KEYBOARDS;
    roll->watched |= watched ? G_GUINT64_CONSTANT(1) << i : 0;
  }
  rc_code_map_init(&roll->entries_by_number);
  rc_code_map_init(&roll->chords_by_number);
  return roll;
}

void
rc_roll_free(RcRoll *roll)
{
  if (roll) {
    rc_gains_clear(&roll->gains);
    rc_tallies_clear(&roll->kept);
    g_array_unref(roll->lacking);
    g_array_unref(roll->lacks);
    rc_code_map_clear(&roll->entries_by_number);
    rc_code_map_clear(&roll->chords_by_number);
    g_array_unref(roll->chords);
    g_array_unref(roll->entries);
    g_array_unref(roll->questions);
    g_array_unref(roll->tallies);
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

void
rc_roll_keep_tunes(RcRoll *roll)
{
  roll->keeps = TRUE;
}

// ---------------------------------------------------------------------------------------------------------- adding

static KeyChord
make_chord(const RcRequest *request)
{
  enum { NO_TONE = 15 };
  KeyChord made = { .code = rc_request_code(request), .tones = { NO_TONE, NO_TONE, NO_TONE } };
  guint n = 0;
  for (guint pc = 0; pc < NO_TONE; ++pc) {
    if (rc_pcs_has(made.code.melody, pc) && n++ < FEW_TONES) {
      made.tones[n - 1] = (guint8)pc;
    }
  }
  made.many = n > FEW_TONES;
  return made;
}

// Where a chord keeps the entry that it asks for; NULL where it has no place for it.
static inline guint *
place_of(KeyChord *chord, RcPcSet melody, gboolean brisk)
{
  guint place = 0;
  for (guint i = 0; i < FEW_TONES; ++i) {
    place = place << 1U | ((guint)melody >> chord->tones[i] & 1U);
  }
  place = place << 1U | (brisk ? 1U : 0U);
  return chord->many && (melody & chord->code.melody) ? NULL : &chord->entries[place];
}

// `of_key` is the number of the key.
static guint
find_chord(RcRoll *roll, const RcChord *chord, const RcScale *key, guint64 of_key)
{
  guint index = 0;
  const guint64 number = rc_chord_number(chord, of_key);
  if (!rc_code_map_find(&roll->chords_by_number, number, &index)) {
    const RcRequest request = { .chord = *chord, .key = *key };
    const KeyChord added = make_chord(&request);
    index = roll->chords->len;
    g_array_append_val(roll->chords, added);
    rc_code_map_add(&roll->chords_by_number, number, index);
  }
  return index;
}

// Adds an entry for what was never asked before, and room for where its chord is lacking.
static guint
add_entry(RcRoll *roll, RcRequestCode code, const RcRequest *request)
{
  const RcAsked *asked = rc_panel_ask(roll->panel, code, request);
  const RcEntry entry = { .native = asked->native[0],
                          .accepted = asked->accepted[0],
                          .alone = asked->accepted_alone[0],
                          .chord = rc_gains_chord(&roll->gains, &request->chord),
                          .lacking = asked->lacking };
  const RcQuestion question = { *request, asked };
  g_array_append_val(roll->entries, entry);
  g_array_append_val(roll->questions, question);
  g_array_set_size(roll->lacks, MAX(roll->lacks->len, (entry.chord + 1) * (roll->words + 1)));
  return roll->entries->len - 1;
}

static guint
look_up_entry(RcRoll *roll, RcRequestCode code, const RcRequest *request)
{
  guint index = 0;
  const guint64 number = rc_request_code_at(code, request->melody, request->brisk);
  if (!rc_code_map_find(&roll->entries_by_number, number, &index)) {
    index = add_entry(roll, code, request);
    rc_code_map_add(&roll->entries_by_number, number, index);
  }
  return index;
}

static guint
find_entry(RcRoll *roll, guint chord, const RcRequest *request)
{
  KeyChord *known = &g_array_index(roll->chords, KeyChord, chord);
  guint *place = place_of(known, request->melody, request->brisk);
  if (place && *place) {
    return *place - 1;
  }
  const guint index = look_up_entry(roll, known->code, request);
  if (place) {
    *place = 1 + index;
  }
  return index;
}

// Forgets what the symbols ask for, which holds in one key.
static RcHere
come_to(RcRoll *roll, const RcTune *tune, guint setting)
{
  const guint n = tune->symbols->len;
  if (n >= roll->symbols->len) {
    g_array_set_size(roll->symbols, n + 1);
  }
  memset(roll->symbols->data, 0, n * sizeof(guint));
  const RcHere here = rc_here_at(&roll->settings, tune, setting);
  roll->key = rc_key_number(&here.key);
  return here;
}

// Takes from the tune's sets the keyboards on which an entry is not native or not accepted.
static void
intersect(RcRoll *roll, const RcEntry *entry, const RcQuestion *question)
{
  if (roll->words == 1) {
    roll->native[0] &= entry->native;
    roll->accepted[0] &= entry->accepted;
    roll->alone[0] &= entry->alone;
    return;
  }
  guint64 *sets = roll->sets;
  const guint64 *asked = question->asked->sets;
  for (guint i = 0, n = 3 * roll->words; i < n; ++i) {
    sets[i] &= asked[i];
  }
}

// The keyboards that lack a chord in the tune; none yet where it is first asked about.
static guint64 *
lacks_of(RcRoll *roll, guint chord)
{
  guint64 *lacks = &g_array_index(roll->lacks, guint64, (gsize)chord * (roll->words + 1));
  if (*lacks != roll->tune) {
    memset(lacks, 0, sizeof *lacks * (roll->words + 1));
    *lacks = roll->tune;
    g_array_index(roll->lacking, guint, roll->lacking->len++) = chord;
  }
  return lacks + 1;
}

static void
add_lack(RcRoll *roll, const RcEntry *entry, const RcQuestion *question)
{
  guint64 *lacks = lacks_of(roll, entry->chord);
  const guint64 *accepted = question->asked->accepted;
  lacks[0] |= ~entry->accepted;
  for (guint i = 1, n = roll->words; i < n; ++i) {
    lacks[i] |= ~accepted[i];
  }
}

// Notes which keyboards carry what the tune being added asks for.
static void
meet(RcRoll *roll, guint index)
{
  const RcEntry *entry = &g_array_index(roll->entries, RcEntry, index);
  const RcQuestion *question = &g_array_index(roll->questions, RcQuestion, index);
  intersect(roll, entry, question);
  if (entry->lacking) {
    add_lack(roll, entry, question);
  }
}

// Counts a chord in what is kept of the tune.
static void
keep_chord(RcRoll *roll, guint index, RcEntry *entry, RcTicks length)
{
  if (entry->tune != roll->tune) {
    entry->tune = roll->tune;
    entry->tally = roll->n_tallies++;
    if (entry->tally == roll->tallies->len) {
      g_array_set_size(roll->tallies, 2 * entry->tally + 1);
    }
    g_array_index(roll->tallies, RcTuneTally, entry->tally) = (RcTuneTally){ index, 0, 0 };
  }
  RcTuneTally *tally = &g_array_index(roll->tallies, RcTuneTally, entry->tally);
  ++tally->chords;
  tally->ticks += length;
}

static inline void
count(RcRoll *roll, guint index, RcTicks length)
{
  RcEntry *entry = &g_array_index(roll->entries, RcEntry, index);
  ++entry->chords;
  entry->ticks += length;
  if (roll->keeps) {
    keep_chord(roll, index, entry, length);
  }
}

static guint
chord_of(RcRoll *roll, const RcChord *chord, guint symbol, const RcHere *here)
{
  guint *known = &g_array_index(roll->symbols, guint, symbol);
  if (!*known) {
    *known = 1 + find_chord(roll, chord, &here->key, roll->key);
  }
  return *known - 1;
}

// Returns the entry of what the chord with this index asks for.
static guint
ask(RcRoll *roll, guint index, const RcChord *chord, RcPcSet melody, gboolean brisk, const RcHere *here)
{
  const RcPcSet heeded = g_array_index(roll->chords, KeyChord, index).code.melody;
  const RcRequest request = { *chord, here->key, melody & heeded, brisk };
  return find_entry(roll, index, &request);
}

// Mostly a chord was asked for as it is before, in this tune or another. Returns its entry.
static inline guint
count_chord(RcRoll *roll, const RcChord *chord, const RcPlayed *played, const RcHere *here)
{
  const gboolean brisk = rc_played_is_brisk(played, here->brisk);
  const RcPcSet melody = roll->settings.no_melody ? 0 : played->melody;
  const guint index = chord_of(roll, chord, played->symbol, here);
  const guint *place = place_of(&g_array_index(roll->chords, KeyChord, index), melody, brisk);
  const guint entry = place && *place ? *place - 1 : ask(roll, index, chord, melody, brisk, here);
  meet(roll, entry);
  count(roll, entry, played->length);
  return entry;
}

// Makes room for what each event of a tune may add.
static void
make_room(RcRoll *roll, guint events)
{
  if (events > roll->counted->len) {
    g_array_set_size(roll->counted, events);
    rc_array_reserve(roll->lacking, events);
  }
}

static void
begin_tune(RcRoll *roll, guint events)
{
  ++roll->tune;
  roll->n_tallies = 0;
  roll->unread = FALSE;
  rc_array_cut(roll->lacking, 0);
  make_room(roll, events);
  memset(roll->sets, 0xFF, sizeof *roll->sets * 3 * roll->words);
}

// Counts the chords that come next as far as they were counted before: parts are mostly played more than once. Without
// this the roll of the bench's YAML takes 1.6 times the instructions.
static inline void
count_again(RcRoll *roll, RcWalk *walk)
{
  for (; walk->event < walk->end;) {
    const Counted *counted = &g_array_index(roll->counted, Counted, walk->event);
    if (counted->tune != roll->tune || counted->end >= walk->end) {
      return;
    }
    count(roll, counted->entry, counted->length);
    walk->event = counted->end;
  }
}

static void
count_unread(RcRoll *roll, guint64 chords, RcTicks ticks)
{
  roll->unread_chords += chords;
  roll->unread_ticks += ticks;
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

// Counts a tune that only the next keyboard plays by the chords that this one lacks, unless they are too many.
static void
note_gain(RcRoll *roll, guint keyboard)
{
  RcGainKind kind = { .keyboard = keyboard, .tunes = 1 };
  for (guint i = 0; i < roll->lacking->len; ++i) {
    const guint chord = g_array_index(roll->lacking, guint, i);
    if ((*lacks_of(roll, chord) >> keyboard) & 1U) {
      if (kind.n == RC_GAIN_CHORDS) {
        return;
      }
      kind.chords[kind.n++] = chord;
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

static void
count_short(RcRoll *roll)
{
  memset(roll->short_of, 0, sizeof *roll->short_of * 2 * roll->words);
  for (guint i = 0; i < roll->lacking->len && !roll->unread; ++i) {
    const guint64 *lacks = lacks_of(roll, g_array_index(roll->lacking, guint, i));
    guint64 *short_of = roll->short_of;
    guint64 *shorter = roll->shorter;
    for (guint word = 0, n = roll->words; word < n; ++word) {
      shorter[word] |= short_of[word] & lacks[word];
      short_of[word] |= lacks[word];
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
  note_gains(roll);
}

// Keeps what the tune being added asks for; before it there were so many unread texts, of so many ticks.
static void
keep_tune(RcRoll *roll, guint64 unread, RcTicks unread_ticks)
{
  const RcTuneTallies tune = { (const RcTuneTally *)(gconstpointer)roll->tallies->data, roll->n_tallies,
                               roll->unread_chords - unread, roll->unread_ticks - unread_ticks };
  rc_tallies_add(&roll->kept, &tune);
}

// FALSE where the tune has neither chords nor unread texts.
static gboolean
count_played(RcRoll *roll, const RcTune *tune, RcHere here)
{
  gboolean has_chords = FALSE;
  guint melody = 0;
  RcPlayed played;
  RcWalk walk = rc_walk_start(tune);
  for (guint bar = walk.bar; rc_walk_next(&walk, &played); count_again(roll, &walk), bar = walk.bar) {
    melody |= played.melody;
    const RcSymbol *symbol = rc_tune_symbol(tune, played.symbol);
    if (played.setting != here.setting) {
      here = come_to(roll, tune, played.setting);
    }
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const guint entry = count_chord(roll, &symbol->chord, &played, &here);
      if (walk.bar == bar) { // it ended within the run
        g_array_index(roll->counted, Counted, played.event) = (Counted){ roll->tune, walk.event, entry, played.length };
      }
      has_chords = TRUE;
    } else if (symbol->kind == RC_SYMBOL_UNREAD) {
      count_unread(roll, 1, played.length);
      has_chords = TRUE;
    }
  }
  roll->timing.melodies += melody != 0;
  return has_chords;
}

void
rc_roll_add(RcRoll *roll, const RcTune *tune)
{
  const RcHere here = come_to(roll, tune, 0);
  const guint64 unread = roll->unread_chords;
  const RcTicks unread_ticks = roll->unread_ticks;
  begin_tune(roll, tune->events->len);
  count_timing(roll, here.tempo, tune->unmeasured);
  if (count_played(roll, tune, here)) {
    count_tune(roll);
    count_key(roll, rc_tune_setting(tune, 0));
  } else {
    ++roll->timing.chordless;
  }
  if (roll->keeps) {
    keep_tune(roll, unread, unread_ticks);
  }
}

// --------------------------------------------------------------------------------------------------------- merging

// Returns the index of a request in a roll that may never have been asked for it.
static guint
entry_of(RcRoll *roll, const RcRequest *request)
{
  return find_entry(roll, find_chord(roll, &request->chord, &request->key, rc_key_number(&request->key)), request);
}

// Sets the places that the entries of `from` have in the other.
static void
merge_entries(RcRoll *into, const RcRoll *from, guint *places)
{
  for (guint i = 0; i < from->entries->len; ++i) {
    const RcEntry *more = &g_array_index(from->entries, RcEntry, i);
    places[i] = entry_of(into, &g_array_index(from->questions, RcQuestion, i).request);
    RcEntry *entry = &g_array_index(into->entries, RcEntry, places[i]);
    entry->chords += more->chords;
    entry->ticks += more->ticks;
  }
}

static void
merge_timing(RcTiming *into, const RcTiming *from)
{
  into->tunes += from->tunes;
  into->assumed += from->assumed;
  into->untimed += from->untimed;
  into->unmeasured += from->unmeasured;
  into->chordless += from->chordless;
  into->melodies += from->melodies;
  into->keys_assumed += from->keys_assumed;
  into->unkeyed += from->unkeyed;
}

void
rc_roll_merge(RcRoll *into, const RcRoll *from)
{
  guint *places = g_new(guint, MAX(from->entries->len, 1));
  merge_entries(into, from, places);
  rc_tallies_merge(&into->kept, &from->kept, places);
  rc_gains_merge(&into->gains, &from->gains);
  rc_set_counts_merge(&into->native_tunes, &from->native_tunes);
  rc_set_counts_merge(&into->accepted_tunes, &from->accepted_tunes);
  rc_set_counts_merge(&into->alone_tunes, &from->alone_tunes);
  rc_set_counts_merge(&into->short_tunes, &from->short_tunes);
  into->unread_chords += from->unread_chords;
  into->unread_ticks += from->unread_ticks;
  into->tunes_with_chords += from->tunes_with_chords;
  merge_timing(&into->timing, &from->timing);
  g_free(places);
}

// ---------------------------------------------------------------------------------------------------------- again

// Adds a tune by what it asks for, but for what the entries are told of it.
static void
add_again(RcRoll *roll, const RcTuneTallies *tune, const guint *places)
{
  begin_tune(roll, tune->n);
  for (guint i = 0; i < tune->n; ++i) {
    meet(roll, places[tune->tallies[i].entry]);
  }
  if (tune->unread) {
    count_unread(roll, tune->unread, tune->unread_ticks);
  }
  if (tune->n || tune->unread) {
    count_tune(roll);
  }
}

RcRoll *
rc_roll_again(const RcRoll *roll, RcPanel *panel)
{
  RcRoll *again = rc_roll_new(panel, roll->settings);
  guint *places = g_new(guint, MAX(roll->entries->len, 1));
  merge_entries(again, roll, places);
  for (guint i = 0; i < rc_tallies_n_tunes(&roll->kept); ++i) {
    const RcTuneTallies tune = rc_tallies_of(&roll->kept, i);
    add_again(again, &tune, places);
  }
  again->timing = roll->timing;
  g_free(places);
  return again;
}
