// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/symbols.h"

#include "base/array.h"

#include <string.h>

enum { SLOTS = 4096, MOST_KNOWN = SLOTS / 2, LONGEST_KNOWN = 15, LONGEST_SYMBOL = 64 };

// A short text as two numbers: its bytes, and in the last one its length and the language of its notes.
typedef struct {
  guint64 head;
  guint64 tail;
} Key;

// What a symbol asks for, as a number; 0 for what only the same text asks for.
typedef guint32 Asks;

// A text that was read before.
typedef struct {
  Key key;    // all 0: the slot is free
  guint tune; // number of the tune in which `index` holds
  guint index;
  Asks asks;
  RcSymbol symbol; // its text is not set
} Known;

// The table of known texts is looked into for every symbol that is written: with a GHashTable in its place `compare` of
// 12 MB of YAML takes 2 % more time (median of 9).
struct RcSymbols {
  Known known[SLOTS]; // by their key, or in the next free slot
  guint n_known;
  RcTune *tune;
  GArray *asks;  // of Asks, beside the tune's symbols; some more
  guint64 asked; // bits of them: what has none is new
  guint tune_number;
  RcNames names;
  guint held;
};

RcSymbols *
rc_symbols_new(void)
{
  RcSymbols *symbols = g_new0(RcSymbols, 1);
  symbols->asks = g_array_new(FALSE, FALSE, sizeof(Asks));
  return symbols;
}

void
rc_symbols_free(RcSymbols *symbols)
{
  if (symbols) {
    g_array_unref(symbols->asks);
    g_free(symbols);
  }
}

// Lets the tune take as many symbols as there is room for what they ask.
static void
make_room(const RcSymbols *symbols)
{
  rc_array_reserve(symbols->tune->symbols, symbols->asks->len - symbols->tune->symbols->len);
}

void
rc_symbols_start(RcSymbols *symbols, RcTune *tune, RcNames names)
{
  if (symbols->n_known == MOST_KNOWN) {
    memset(symbols->known, 0, sizeof symbols->known);
    symbols->n_known = 0;
  }
  symbols->tune = tune;
  make_room(symbols);
  symbols->names = names;
  symbols->asked = 0;
  symbols->held = RC_NO_SYMBOL;
  ++symbols->tune_number;
}

// --------------------------------------------------------------------------------------------------- into the tune

static Asks
asks_for(const RcSymbol *symbol)
{
  switch (symbol->kind) {
  case RC_SYMBOL_CHORD:
    return symbol->chord.degrees << 8U | rc_note_pc(symbol->chord.root) << 4U | rc_note_pc(symbol->chord.bass);
  case RC_SYMBOL_SILENT:
    return G_MAXUINT32;
  case RC_SYMBOL_HELD:
  case RC_SYMBOL_UNREAD:
    return 0;
  }
  g_return_val_if_reached(0);
}

static guint64
bit_of(Asks asks)
{
  return G_GUINT64_CONSTANT(1) << (asks * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15) >> 58U); // the golden ratio
}

// The tune's first symbol that asks for the same, or the one that comes next.
static guint
first_asking(const RcSymbols *symbols, Asks asks)
{
  const Asks *before = (const Asks *)(gconstpointer)symbols->asks->data;
  const guint n = symbols->tune->symbols->len;
  if (!(symbols->asked & bit_of(asks))) {
    return n;
  }
  for (guint i = 0; asks && i < n; ++i) {
    if (before[i] == asks) {
      return i;
    }
  }
  return n;
}

static guint
append(RcSymbols *symbols, const RcSymbol *symbol, Asks asks, const char *text, gsize length)
{
  const guint index = symbols->tune->symbols->len;
  if (index == symbols->asks->len) {
    g_array_set_size(symbols->asks, 2 * index + 1);
    make_room(symbols);
  }
  const guint same = first_asking(symbols, asks);
  RcSymbol *appended = &g_array_index(symbols->tune->symbols, RcSymbol, symbols->tune->symbols->len++);
  *appended = *symbol;
  appended->text = rc_tune_text(symbols->tune, text, length);
  appended->same = same;
  symbols->asked |= bit_of(asks);
  g_array_index(symbols->asks, Asks, index) = asks;
  return index;
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

// The symbol as it is read where no other of the tune has its text and, of two kinds, its kind.
static guint
find_or_append(RcSymbols *symbols, RcSymbol symbol, const char *text, gsize length)
{
  const RcSymbol *before = (const RcSymbol *)(gconstpointer)symbols->tune->symbols->data;
  for (guint i = 0; i < symbols->tune->symbols->len; ++i) {
    if (before[i].kind == symbol.kind && strlen(before[i].text) == length && !memcmp(before[i].text, text, length)) {
      return i;
    }
  }
  return append(symbols, &symbol, asks_for(&symbol), text, length);
}

// For texts that are not remembered.
static guint
read_anew(RcSymbols *symbols, const char *text, gsize length)
{
  return find_or_append(symbols, read_symbol(text, length, symbols->names), text, length);
}

guint
rc_symbols_unread(RcSymbols *symbols, const char *text, gsize length)
{
  return find_or_append(symbols, (RcSymbol){ .kind = RC_SYMBOL_UNREAD }, text, length);
}

// ------------------------------------------------------------------------------------------------------ known texts

// Up to eight bytes, the first in the lowest byte. Those of four and more are loaded at once, some of them twice.
static guint64
pack(const char *text, gsize length)
{
  guint32 first = 0;
  guint32 last = 0;
  if (length >= sizeof first) {
    memcpy(&first, text, sizeof first);
    memcpy(&last, text + length - sizeof last, sizeof last);
    return GUINT32_FROM_LE(first) | (guint64)GUINT32_FROM_LE(last) << 8U * (length - sizeof last);
  }
  for (gsize i = length; i--;) {
    first = first << 8U | (guchar)text[i];
  }
  return first;
}

static Key
make_key(guint64 head, guint64 tail, gsize length, RcNames names)
{
  enum { LENGTH_SHIFT = 56, NAMES_SHIFT = 62 };
  return (Key){ head, tail | (guint64)(length + 1) << LENGTH_SHIFT | (guint64)names << NAMES_SHIFT };
}

static Key
key_of(const char *text, gsize length, RcNames names)
{
  enum { HEAD = sizeof(guint64) };
  const guint64 tail = length > HEAD ? pack(text + HEAD, length - HEAD) : 0;
  return make_key(pack(text, MIN(length, HEAD)), tail, length, names);
}

static Known *
find_known(RcSymbols *symbols, Key key)
{
  const guint64 mixed = (key.head ^ key.tail * 31) * G_GUINT64_CONSTANT(0x9E3779B97F4A7C15); // the golden ratio
  guint slot = (guint)(mixed >> 40U) % SLOTS;
  for (Known *known; (known = &symbols->known[slot])->key.tail; slot = (slot + 1) % SLOTS) {
    if (known->key.head == key.head && known->key.tail == key.tail) {
      break;
    }
  }
  return &symbols->known[slot];
}

static void
remember(RcSymbols *symbols, Known *known, Key key, const char *text, gsize length)
{
  *known = (Known){ .key = key, .symbol = read_symbol(text, length, symbols->names) };
  known->asks = asks_for(&known->symbol);
  ++symbols->n_known;
}

static guint
index_in_tune(RcSymbols *symbols, Known *known, const char *text, gsize length)
{
  if (known->tune != symbols->tune_number) {
    known->tune = symbols->tune_number;
    known->index = append(symbols, &known->symbol, known->asks, text, length);
  }
  return known->index;
}

guint
rc_symbols_known(RcSymbols *symbols, const char *text, guint length, guint64 packed)
{
  Known *known = find_known(symbols, make_key(packed, 0, length, symbols->names));
  return known->key.tail ? index_in_tune(symbols, known, text, length) : RC_NO_SYMBOL;
}

guint
rc_symbols_index(RcSymbols *symbols, const char *text, gsize length)
{
  if (length > LONGEST_KNOWN) {
    return read_anew(symbols, text, length);
  }
  const Key key = key_of(text, length, symbols->names);
  Known *known = find_known(symbols, key);
  if (!known->key.tail) {
    if (symbols->n_known == MOST_KNOWN) { // until the next tune
      return read_anew(symbols, text, length);
    }
    remember(symbols, known, key, text, length);
  }
  return index_in_tune(symbols, known, text, length);
}

guint
rc_symbols_held(RcSymbols *symbols)
{
  if (symbols->held == RC_NO_SYMBOL) {
    const RcSymbol symbol = { .kind = RC_SYMBOL_HELD };
    symbols->held = append(symbols, &symbol, 0, ".", 1);
  }
  return symbols->held;
}

// ------------------------------------------------------------------------------------------------ what is no symbol

static gsize
letters_at(const char *at, const char *end)
{
  gsize n = 0;
  while (at + n < end && g_ascii_isalpha(at[n])) {
    ++n;
  }
  return n;
}

gboolean
rc_is_like_chord(const char *text, gsize length)
{
  enum { WORD = 2, QUALITY = 3 }; // letters
  RcNote root = 0;
  gsize stopped_at = 0;
  RcChord chord;
  const char *end = text + length;
  const gsize n = MAX(rc_note_parse(text, length, RC_NAMES_ENGLISH, &root), length && *text == 'H');
  if (!n || length > LONGEST_SYMBOL || memchr(text, ' ', length)) {
    return FALSE;
  }
  if (rc_chord_parse(text, length, RC_NAMES_GERMAN, &chord, NULL) != RC_SYMBOL_UNREAD ||
      rc_chord_parse(text, length, RC_NAMES_ENGLISH, &chord, &stopped_at) != RC_SYMBOL_UNREAD) {
    return TRUE;
  }
  stopped_at = MAX(stopped_at, n);
  const char *rest = text + stopped_at;
  return stopped_at - n >= QUALITY || (letters_at(rest, end) < WORD && !(rest < end && strchr(".:!", *rest)));
}
