// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What two repertoires share: tunes by their titles, keys, chords.

#include "study/chord_sums.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------------ tunes

// Takes an article at the beginning of `words` away.
static void
drop_article(GString *words)
{
  static const char *const articles[] = { "the ", "a ", "an " };
  for (guint i = 0; i < G_N_ELEMENTS(articles); ++i) {
    if (g_str_has_prefix(words->str, articles[i])) {
      g_string_erase(words, 0, (gssize)strlen(articles[i]));
      return;
    }
  }
}

// The letters and digits of @p text in one case and without accents, a blank between words; a new string.
static GString *
bare_words(const char *text, gssize length)
{
  char *folded = g_utf8_casefold(text, length);
  char *apart = g_utf8_normalize(folded, -1, G_NORMALIZE_NFKD);
  GString *words = g_string_new(NULL);
  for (const char *at = apart; at && *at; at = g_utf8_next_char(at)) {
    const gunichar letter = g_utf8_get_char(at);
    if (g_unichar_isalnum(letter)) {
      g_string_append_unichar(words, letter);
    } else if (g_unichar_isspace(letter) && words->len && words->str[words->len - 1] != ' ') {
      g_string_append_c(words, ' ');
    }
  }
  g_free(folded);
  g_free(apart);
  return words;
}

// The length of @p title without an article after a comma at its end: "Gander at the Sluice, The".
static gssize
length_of(const char *title)
{
  const char *comma = strrchr(title, ',');
  GString *words = bare_words(comma ? comma + 1 : title, -1);
  g_string_append_c(words, ' ');
  drop_article(words);
  const gboolean article = comma && !*g_strstrip(words->str);
  g_string_free(words, TRUE);
  return article ? comma - title : -1;
}

// What the titles of one tune have in common; a new string.
static char *
bare_title(const char *title)
{
  GString *words = bare_words(title, length_of(title));
  drop_article(words);
  return g_strchomp(g_string_free(words, FALSE));
}

// The tunes of `rolled` by their titles: of several the first.
static GHashTable *
index_titles(const RcRolled *rolled)
{
  GHashTable *titles = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    char *title = bare_title(rolled->tunes[i]->title);
    if (*title && !g_hash_table_contains(titles, title)) {
      g_hash_table_insert(titles, title, rolled->tunes[i]);
    } else {
      g_free(title);
    }
  }
  return titles;
}

static void
find_tunes(RcShared *shared)
{
  const RcRolled *first = shared->rolled[0];
  GHashTable *titles = index_titles(shared->rolled[1]);
  shared->tunes = g_new0(RcTuneInBoth, MAX(first->n_tunes, 1));
  for (guint i = 0; i < first->n_tunes; ++i) {
    char *title = bare_title(first->tunes[i]->title);
    const RcTune *other = g_hash_table_lookup(titles, title);
    if (other) {
      shared->tunes[shared->n_tunes++] = (RcTuneInBoth){ { first->tunes[i], other } };
      g_hash_table_remove(titles, title);
    }
    g_free(title);
  }
  g_hash_table_unref(titles);
}

// ------------------------------------------------------------------------------------------------- keys and chords

// What is common to both comes first, by the smaller of its two counts; then by the sum.
static int
compare_counts(const guint64 left[RC_PAIR], const guint64 right[RC_PAIR])
{
  const guint64 one = MIN(left[0], left[1]);
  const guint64 other = MIN(right[0], right[1]);
  const guint64 sum = left[0] + left[1];
  const guint64 other_sum = right[0] + right[1];
  return one != other ? (one < other) - (one > other) : (sum < other_sum) - (sum > other_sum);
}

static int
compare_keys(gconstpointer a, gconstpointer b)
{
  const RcKeyOfBoth *left = a;
  const RcKeyOfBoth *right = b;
  const int counts = compare_counts(left->tunes, right->tunes);
  const int mode = (int)left->key.mode - (int)right->key.mode;
  return counts ? counts : mode ? mode : (int)left->key.tonic - (int)right->key.tonic;
}

static RcKeyOfBoth *
find_key(GArray *keys, RcKey key)
{
  for (guint i = 0; i < keys->len; ++i) {
    RcKeyOfBoth *known = &g_array_index(keys, RcKeyOfBoth, i);
    if (known->key.mode == key.mode &&
        (key.mode == RC_MODE_NONE || rc_note_pc(known->key.tonic) == rc_note_pc(key.tonic))) {
      return known;
    }
  }
  const RcKeyOfBoth fresh = { .key = key };
  g_array_append_val(keys, fresh);
  return &g_array_index(keys, RcKeyOfBoth, keys->len - 1);
}

static gboolean
has_chords(const RcTune *tune)
{
  for (guint i = 0; i < tune->symbols->len; ++i) {
    if (rc_tune_symbol(tune, i)->kind == RC_SYMBOL_CHORD) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
find_keys(RcShared *shared)
{
  GArray *keys = g_array_new(FALSE, FALSE, sizeof(RcKeyOfBoth));
  for (guint side = 0; side < RC_PAIR; ++side) {
    for (guint i = 0; i < shared->rolled[side]->n_tunes; ++i) {
      const RcTune *tune = shared->rolled[side]->tunes[i];
      if (has_chords(tune)) {
        ++find_key(keys, rc_tune_setting(tune, 0)->key)->tunes[side];
      }
    }
  }
  g_array_sort(keys, compare_keys);
  shared->n_keys = keys->len;
  shared->keys = (RcKeyOfBoth *)(gpointer)g_array_free(keys, FALSE);
}

static int
compare_by_chord(gconstpointer a, gconstpointer b)
{
  return rc_chord_order(&((const RcChordOfBoth *)a)->chord, &((const RcChordOfBoth *)b)->chord);
}

static int
compare_by_times(gconstpointer a, gconstpointer b)
{
  const int times = compare_counts(((const RcChordOfBoth *)a)->times, ((const RcChordOfBoth *)b)->times);
  return times ? times : compare_by_chord(a, b);
}

static void
add_chords(GArray *chords, const RcRoll *roll, guint side)
{
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcRollEntry entry = rc_roll_entry(roll, i);
    RcChordOfBoth chord = { .chord = entry.request.chord };
    chord.times[side] = entry.chords;
    chord.ticks[side] = entry.ticks;
    g_array_append_val(chords, chord);
  }
}

static void
find_chords(RcShared *shared)
{
  GArray *chords = g_array_new(FALSE, FALSE, sizeof(RcChordOfBoth));
  add_chords(chords, shared->rolled[0]->roll, 0);
  add_chords(chords, shared->rolled[1]->roll, 1);
  g_array_sort(chords, compare_by_chord); // which keeps the order of equal ones
  guint kept = 0;
  for (guint i = 1; i < chords->len; ++i) {
    const RcChordOfBoth *next = &g_array_index(chords, RcChordOfBoth, i);
    RcChordOfBoth *last = &g_array_index(chords, RcChordOfBoth, kept);
    if (compare_by_chord(last, next)) {
      g_array_index(chords, RcChordOfBoth, ++kept) = *next;
      continue;
    }
    for (guint side = 0; side < RC_PAIR; ++side) {
      last->times[side] += next->times[side];
      last->ticks[side] += next->ticks[side];
    }
  }
  g_array_set_size(chords, MIN(chords->len, kept + 1));
  g_array_sort(chords, compare_by_times);
  shared->n_chords = chords->len;
  shared->chords = (RcChordOfBoth *)(gpointer)g_array_free(chords, FALSE);
}

RcShared *
rc_shared_new(const RcRolled *first, const RcRolled *second)
{
  RcShared *shared = g_new0(RcShared, 1);
  shared->rolled[0] = first;
  shared->rolled[1] = second;
  find_tunes(shared);
  find_keys(shared);
  find_chords(shared);
  return shared;
}

void
rc_shared_free(RcShared *shared)
{
  if (shared) {
    g_free(shared->tunes);
    g_free(shared->keys);
    g_free(shared->chords);
    g_free(shared);
  }
}
