// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "symbols.h"

#include <string.h>

enum { CACHE = 4096, CACHED_TEXT = 16, LONGEST_SYMBOL = 64, NO_INDEX = G_MAXUINT };

// A short text as two numbers, filled up with NUL.
typedef struct {
  guint64 words[CACHED_TEXT / sizeof(guint64)];
} Key;

typedef struct {
  Key key;         // all 0: nothing remembered
  RcSymbol symbol; // its text is not set
  guint tune;      // number of the tune in which `index` holds
  guint index;
} Remembered;

struct RcSymbols {
  Remembered cache[CACHE];
  RcTune *tune;
  guint tune_number;
  RcNames names;
  guint held;
};

RcSymbols *
rc_symbols_new(void)
{
  return g_new0(RcSymbols, 1);
}

void
rc_symbols_free(RcSymbols *symbols)
{
  g_free(symbols);
}

void
rc_symbols_start(RcSymbols *symbols, RcTune *tune, RcNames names)
{
  if (names != symbols->names) {
    memset(symbols->cache, 0, sizeof symbols->cache);
  }
  symbols->tune = tune;
  symbols->names = names;
  symbols->held = NO_INDEX;
  ++symbols->tune_number;
}

static gboolean
asks_for_same(const RcSymbol *a, const RcSymbol *b)
{
  if (a->kind != b->kind) {
    return FALSE;
  }
  switch (a->kind) {
  case RC_SYMBOL_CHORD:
    return rc_note_pc(a->chord.root) == rc_note_pc(b->chord.root) &&
           rc_note_pc(a->chord.bass) == rc_note_pc(b->chord.bass) && a->chord.degrees == b->chord.degrees;
  case RC_SYMBOL_UNREAD:
    return !strcmp(a->text, b->text);
  case RC_SYMBOL_SILENT:
  case RC_SYMBOL_HELD:
    return TRUE;
  }
  g_return_val_if_reached(FALSE);
}

static guint
append(RcTune *tune, RcSymbol symbol, const char *text, gsize length)
{
  const RcSymbol *symbols = (const RcSymbol *)(gconstpointer)tune->symbols->data;
  symbol.text = rc_tune_text(tune, text, length);
  while (symbol.same < tune->symbols->len && !asks_for_same(&symbols[symbol.same], &symbol)) {
    ++symbol.same;
  }
  g_array_append_val(tune->symbols, symbol);
  return tune->symbols->len - 1;
}

static guint
find_or_append(RcTune *tune, RcSymbol symbol, const char *text, gsize length)
{
  const RcSymbol *symbols = (const RcSymbol *)(gconstpointer)tune->symbols->data;
  for (guint i = 0; i < tune->symbols->len; ++i) {
    if (symbols[i].kind != RC_SYMBOL_HELD && strlen(symbols[i].text) == length &&
        !memcmp(symbols[i].text, text, length)) {
      return i;
    }
  }
  return append(tune, symbol, text, length);
}

static RcSymbol
read_symbol(const char *text, gsize length, RcNames names)
{
  RcSymbol symbol = { 0 };
  gsize stopped_at = 0;
  symbol.kind =
    length > LONGEST_SYMBOL ? RC_SYMBOL_UNREAD : rc_chord_parse(text, length, names, &symbol.chord, &stopped_at);
  symbol.stopped_at = (guint)stopped_at;
  return symbol;
}

static Key
make_key(const char *text, gsize length)
{
  Key key = { { 0 } };
  memcpy(&key, text, length);
  return key;
}

static guint
slot_of(Key key)
{
  const guint64 mixed = (key.words[0] ^ key.words[1] * 31) * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15);
  return (guint)(mixed >> 40U) % CACHE;
}

guint
rc_symbols_index(RcSymbols *symbols, const char *text, gsize length)
{
  if (length >= CACHED_TEXT) {
    return find_or_append(symbols->tune, read_symbol(text, length, symbols->names), text, length);
  }
  const Key key = make_key(text, length);
  Remembered *entry = &symbols->cache[slot_of(key)];
  if (entry->key.words[0] != key.words[0] || entry->key.words[1] != key.words[1]) {
    *entry = (Remembered){ .key = key, .symbol = read_symbol(text, length, symbols->names) };
  }
  if (entry->tune != symbols->tune_number) {
    entry->tune = symbols->tune_number;
    entry->index = find_or_append(symbols->tune, entry->symbol, text, length);
  }
  return entry->index;
}

guint
rc_symbols_held(RcSymbols *symbols)
{
  if (symbols->held == NO_INDEX) {
    const RcSymbol symbol = { .kind = RC_SYMBOL_HELD };
    symbols->held = append(symbols->tune, symbol, ".", 1);
  }
  return symbols->held;
}
