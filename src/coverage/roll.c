// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/coverage.h"

#include <string.h>

// A request as one number: equal numbers sound and grade alike.
typedef guint64 RequestCode;

enum { WORD_BITS = 64, NOT_ASKED = G_MAXUINT };

// What one tune asks with one of its symbols, looked up once.
typedef struct {
  guint entry[2]; // by brisk or not: index of the entry, or NOT_ASKED
} Asked;

struct RcRoll {
  RcCatalogue **catalogues;
  guint n_catalogues;
  guint n_words; // of a set of catalogues
  RcRollSettings settings;
  GHashTable *codes;    // RequestCode * -> 1 + index of its entry; keys are owned
  GArray *entries;      // of RcRollEntry
  GPtrArray *answers;   // of RcAnswer *: by entry, then by catalogue
  GArray *native;       // of guint64: sets of catalogues on which the entry is native, n_words an entry
  GArray *accepted;     // of guint64: the same for accepted
  GArray *asked;        // of Asked: by symbol of the tune being added
  guint64 *tune_native; // sets of catalogues on which all of the tune so far is native
  guint64 *tune_accepted;
  guint64 *native_tunes; // by catalogue
  guint64 *accepted_tunes;
  guint64 unread_chords;
  RcTicks unread_ticks;
  guint64 tunes_with_chords;
  RcTiming timing;
};

RcRollSettings
rc_roll_settings(void)
{
  return (RcRollSettings){ 1.0, RC_BARE, RC_UNTIMED_ASSUME, { RC_TEMPO_NONE, 0 } };
}

RcTempo
rc_roll_tempo(const RcRollSettings *settings, const RcTune *tune)
{
  if (settings->given.source != RC_TEMPO_NONE) {
    return (RcTempo){ RC_TEMPO_GIVEN, settings->given.quarters };
  }
  if (tune->tempo.source != RC_TEMPO_NONE || settings->untimed == RC_UNTIMED_LEAVE) {
    return tune->tempo;
  }
  return rc_tempo_assume(tune->rhythm, tune->meter);
}

// The length below which a chord is brisk; 0 in an untimed tune.
static RcTicks
brisk_below(const RcRollSettings *settings, const RcTune *tune)
{
  const double quarters = rc_roll_tempo(settings, tune).quarters;
  return (RcTicks)(settings->brisk * quarters / 60 * (double)RC_QUARTER);
}

RcRequest
rc_roll_request(const RcRollSettings *settings, const RcTune *tune, const RcChord *chord, RcTicks length)
{
  return (RcRequest){ *chord, rc_key_tones(tune->key), 0, length < brisk_below(settings, tune) };
}

RcRoll *
rc_roll_new(RcCatalogue *const *catalogues, guint n_catalogues, RcRollSettings settings)
{
  RcRoll *roll = g_new0(RcRoll, 1);
  roll->n_catalogues = n_catalogues;
  roll->n_words = (n_catalogues + WORD_BITS - 1) / WORD_BITS;
  roll->catalogues = g_new0(RcCatalogue *, n_catalogues);
  memcpy(roll->catalogues, catalogues, n_catalogues * sizeof *catalogues);
  roll->settings = settings;
  roll->codes = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
  roll->entries = g_array_new(FALSE, FALSE, sizeof(RcRollEntry));
  roll->answers = g_ptr_array_new_with_free_func(g_free);
  roll->native = g_array_new(FALSE, TRUE, sizeof(guint64));
  roll->accepted = g_array_new(FALSE, TRUE, sizeof(guint64));
  roll->asked = g_array_new(FALSE, FALSE, sizeof(Asked));
  roll->tune_native = g_new0(guint64, roll->n_words);
  roll->tune_accepted = g_new0(guint64, roll->n_words);
  roll->native_tunes = g_new0(guint64, n_catalogues);
  roll->accepted_tunes = g_new0(guint64, n_catalogues);
  return roll;
}

void
rc_roll_free(RcRoll *roll)
{
  if (roll) {
    g_free(roll->catalogues);
    g_hash_table_unref(roll->codes);
    g_array_unref(roll->entries);
    g_ptr_array_unref(roll->answers);
    g_array_unref(roll->native);
    g_array_unref(roll->accepted);
    g_array_unref(roll->asked);
    g_free(roll->tune_native);
    g_free(roll->tune_accepted);
    g_free(roll->native_tunes);
    g_free(roll->accepted_tunes);
    g_free(roll);
  }
}

// -------------------------------------------------------------------------------------------------------- requests

static RequestCode
request_code(const RcRequest *request)
{
  RequestCode code = request->chord.degrees;
  code = code << 4U | rc_note_pc(request->chord.root);
  code = code << 4U | rc_note_pc(request->chord.bass);
  code = code << 12U | request->key;
  code = code << 12U | request->melody;
  return code << 1U | (request->brisk ? 1U : 0U);
}

static void
answer_entry(RcRoll *roll, const RcRequest *request)
{
  RcAnswer *answers = g_new(RcAnswer, roll->n_catalogues);
  const guint first = roll->native->len;
  g_array_set_size(roll->native, first + roll->n_words);
  g_array_set_size(roll->accepted, first + roll->n_words);
  for (guint i = 0; i < roll->n_catalogues; ++i) {
    const guint64 bit = G_GUINT64_CONSTANT(1) << (i % WORD_BITS);
    const guint word = first + i / WORD_BITS;
    answers[i] = rc_catalogue_best(roll->catalogues[i], request);
    g_array_index(roll->native, guint64, word) |= answers[i].verdict == RC_NATIVE ? bit : 0;
    g_array_index(roll->accepted, guint64, word) |= answers[i].verdict <= roll->settings.accept ? bit : 0;
  }
  g_ptr_array_add(roll->answers, answers);
}

static guint
find_entry(RcRoll *roll, const RcRequest *request)
{
  const RequestCode code = request_code(request);
  const guint found = GPOINTER_TO_UINT(g_hash_table_lookup(roll->codes, &code));
  if (found) {
    return found - 1;
  }
  const RcRollEntry entry = { *request, 0, 0 };
  g_array_append_val(roll->entries, entry);
  answer_entry(roll, request);
  RequestCode *key = g_new(RequestCode, 1);
  *key = code;
  g_hash_table_insert(roll->codes, key, GUINT_TO_POINTER(roll->entries->len));
  return roll->entries->len - 1;
}

// ---------------------------------------------------------------------------------------------------------- adding

static void
fill_sets(RcRoll *roll, guint64 value)
{
  for (guint i = 0; i < roll->n_words; ++i) {
    roll->tune_native[i] = value;
    roll->tune_accepted[i] = value;
  }
}

static void
count_entry(RcRoll *roll, guint entry, RcTicks length)
{
  RcRollEntry *counted = &g_array_index(roll->entries, RcRollEntry, entry);
  ++counted->chords;
  counted->ticks += length;
  for (guint i = 0; i < roll->n_words; ++i) {
    roll->tune_native[i] &= g_array_index(roll->native, guint64, entry * roll->n_words + i);
    roll->tune_accepted[i] &= g_array_index(roll->accepted, guint64, entry * roll->n_words + i);
  }
}

static void
count_unread(RcRoll *roll, RcTicks length)
{
  ++roll->unread_chords;
  roll->unread_ticks += length;
  fill_sets(roll, 0);
}

static void
forget_asked(RcRoll *roll, guint n_symbols)
{
  const Asked nothing = { { NOT_ASKED, NOT_ASKED } };
  g_array_set_size(roll->asked, 0);
  for (guint i = 0; i < n_symbols; ++i) {
    g_array_append_val(roll->asked, nothing);
  }
}

static void
count_timing(RcRoll *roll, const RcTune *tune)
{
  const RcTempo tempo = rc_roll_tempo(&roll->settings, tune);
  ++roll->timing.tunes;
  roll->timing.assumed += tempo.source == RC_TEMPO_RHYTHM || tempo.source == RC_TEMPO_METER;
  roll->timing.untimed += tempo.source == RC_TEMPO_NONE;
}

static void
count_tune(RcRoll *roll)
{
  ++roll->tunes_with_chords;
  for (guint i = 0; i < roll->n_catalogues; ++i) {
    roll->native_tunes[i] += (roll->tune_native[i / WORD_BITS] >> (i % WORD_BITS)) & 1U;
    roll->accepted_tunes[i] += (roll->tune_accepted[i / WORD_BITS] >> (i % WORD_BITS)) & 1U;
  }
}

static void
count_chord(RcRoll *roll, const RcTune *tune, const RcPlayed *played, RcTicks brisk)
{
  const gboolean is_brisk = played->length < brisk;
  guint *entry = &g_array_index(roll->asked, Asked, played->symbol).entry[is_brisk];
  if (*entry == NOT_ASKED) {
    const RcChord *chord = &g_array_index(tune->symbols, RcSymbol, played->symbol).chord;
    const RcRequest request = { *chord, rc_key_tones(tune->key), 0, is_brisk };
    *entry = find_entry(roll, &request);
  }
  count_entry(roll, *entry, played->length);
}

void
rc_roll_add(RcRoll *roll, const RcTune *tune)
{
  const RcTicks brisk = brisk_below(&roll->settings, tune);
  gboolean has_chords = FALSE;
  count_timing(roll, tune);
  forget_asked(roll, tune->symbols->len);
  fill_sets(roll, G_MAXUINT64);
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbolKind kind = g_array_index(tune->symbols, RcSymbol, played.symbol).kind;
    has_chords |= kind != RC_SYMBOL_SILENT;
    if (kind == RC_SYMBOL_CHORD) {
      count_chord(roll, tune, &played, brisk);
    } else if (kind == RC_SYMBOL_UNREAD) {
      count_unread(roll, played.length);
    }
  }
  if (has_chords) {
    count_tune(roll);
  } else {
    ++roll->timing.chordless;
  }
}

// --------------------------------------------------------------------------------------------------------- results

const RcLayout *
rc_roll_layout(const RcRoll *roll, guint index)
{
  return rc_catalogue_layout(roll->catalogues[index]);
}

guint
rc_roll_n_layouts(const RcRoll *roll)
{
  return roll->n_catalogues;
}

RcRollSettings
rc_roll_get_settings(const RcRoll *roll)
{
  return roll->settings;
}

RcCounts
rc_roll_counts(const RcRoll *roll, guint index)
{
  RcCounts counts = { 0 };
  for (guint i = 0; i < roll->entries->len; ++i) {
    const RcRollEntry *entry = &g_array_index(roll->entries, RcRollEntry, i);
    const RcVerdict verdict = rc_roll_answer(roll, i, index).verdict;
    counts.chords[verdict] += entry->chords;
    counts.ticks[verdict] += entry->ticks;
  }
  counts.chords[RC_UNREAD] = roll->unread_chords;
  counts.ticks[RC_UNREAD] = roll->unread_ticks;
  counts.tunes = roll->tunes_with_chords;
  counts.native = roll->native_tunes[index];
  counts.playable = roll->accepted_tunes[index];
  return counts;
}

guint64
rc_counts_chords(const RcCounts *counts)
{
  guint64 sum = 0;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    sum += counts->chords[i];
  }
  return sum;
}

RcTicks
rc_counts_ticks(const RcCounts *counts)
{
  RcTicks sum = 0;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    sum += counts->ticks[i];
  }
  return sum;
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
  return &g_array_index(roll->entries, RcRollEntry, index);
}

RcAnswer
rc_roll_answer(const RcRoll *roll, guint entry, guint index)
{
  const RcAnswer *answers = g_ptr_array_index(roll->answers, entry);
  return answers[index];
}
