// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "symbols.h"

#include <string.h>

enum { CACHE = 4096, CACHED_TEXT = 16, LONGEST_SYMBOL = 64, NO_INDEX = G_MAXUINT };

typedef struct {
  char text[CACHED_TEXT]; // ended by NUL; empty: nothing remembered
  RcSymbol symbol;        // its text is not set
  guint tune;             // number of the tune in which `index` holds
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

static guint
append(RcTune *tune, RcSymbol symbol, const char *text, gsize length)
{
  symbol.text = g_string_chunk_insert_len(tune->texts, text, (gssize)length);
  g_array_append_val(tune->symbols, symbol);
  return tune->symbols->len - 1;
}

static guint
find_or_append(RcTune *tune, RcSymbol symbol, const char *text, gsize length)
{
  RcSymbol *symbols = &g_array_index(tune->symbols, RcSymbol, 0);
  for (guint i = 0; i < tune->symbols->len; ++i) {
    if (symbols[i].kind != RC_SYMBOL_HELD && !strncmp(symbols[i].text, text, length) && !symbols[i].text[length]) {
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

static guint
slot_of(const char *text, gsize length)
{
  guint hash = 2166136261U; // FNV-1a
  for (gsize i = 0; i < length; ++i) {
    hash = (hash ^ (guchar)text[i]) * 16777619U;
  }
  return (hash ^ (hash >> 16U)) % CACHE;
}

guint
rc_symbols_index(RcSymbols *symbols, const char *text, gsize length)
{
  if (length >= CACHED_TEXT) {
    return find_or_append(symbols->tune, read_symbol(text, length, symbols->names), text, length);
  }
  Remembered *entry = &symbols->cache[slot_of(text, length)];
  if (memcmp(entry->text, text, length) != 0 || entry->text[length]) {
    memcpy(entry->text, text, length);
    entry->text[length] = '\0';
    entry->symbol = read_symbol(text, length, symbols->names);
    entry->tune = 0;
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
