// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/bar_text.h"

#include "base/array.h"

#include <string.h>

RcBarReader *
rc_bar_reader_new(void)
{
  RcBarReader *reader = g_new0(RcBarReader, 1);
  reader->symbols = rc_symbols_new();
  return reader;
}

void
rc_bar_reader_free(RcBarReader *reader)
{
  if (reader) {
    rc_symbols_free(reader->symbols);
    g_free(reader);
  }
}

void
rc_bar_reader_start(RcBarReader *reader, RcTune *tune, RcNames names)
{
  reader->tune = tune;
  reader->names = names;
  reader->small = FALSE;
  rc_symbols_start(reader->symbols, tune, names);
}

// Makes room for one more than `length` items.
static inline void
make_room(GArray *array, guint length)
{
  enum { ROOM = 64 };
  if (length == array->len) {
    g_array_set_size(array, length + MAX(length / 2, ROOM));
  }
}

// ------------------------------------------------------------------------------------------------------------ bars

static gboolean
fail_at(const YmBarText *bars, gsize offset, const char *message, GError **error)
{
  const guint bar = bars->n_bars - bars->first_bar + 1;
  return rc_fail(error, RC_ERROR_SYNTAX, rc_cursor_place(bars->cursor, offset), "bar %u %s", bar, message);
}

static gboolean
check_limits(const YmBarText *bars, gsize offset, GError **error)
{
  const guint symbols = bars->tune->symbols->len;
  if (bars->n_events > RC_MAX_EVENTS || bars->n_words > RC_MAX_EVENTS || bars->n_bars > RC_MAX_BARS ||
      symbols > RC_MAX_SYMBOLS) {
    return rc_fail(error, RC_ERROR_LIMIT, rc_cursor_place(bars->cursor, offset),
                   "the tune is longer than %d chords or %d bars, or has more than %d different chords", RC_MAX_EVENTS,
                   RC_MAX_BARS, RC_MAX_SYMBOLS);
  }
  return TRUE;
}

static inline void
append_event(YmBarText *bars, guint symbol, RcTicks length)
{
  const RcPlace place = rc_cursor_place(bars->cursor, bars->word);
  make_room(bars->tune->events, bars->n_events);
  g_array_index(bars->tune->events, RcEvent, bars->n_events++) =
    (RcEvent){ symbol, 0, place.line, place.column, length, 0, 0 };
}

// "%": the bar before once more.
static gboolean
repeat_bar(YmBarText *bars, GError **error)
{
  if (bars->n_bars == bars->first_bar) {
    return fail_at(bars, bars->word, "repeats a bar with `%`, but there is none before it in this part", error);
  }
  const RcBar before = g_array_index(bars->tune->bars, RcBar, bars->n_bars - 1);
  for (guint i = 0; i < before.count; ++i) {
    const RcEvent event = g_array_index(bars->tune->events, RcEvent, before.first + i);
    append_event(bars, event.symbol, event.length);
  }
  return TRUE;
}

// Turns shares into ticks, which sum to the bar exactly.
static void
share_bar(const YmBarText *bars)
{
  const RcTicks share =
    bars->n_words == 1 ? bars->bar : bars->bar / bars->n_words; // mostly exact: one division at most
  RcEvent *end = &g_array_index(bars->tune->events, RcEvent, bars->n_events);
  RcEvent *event = &g_array_index(bars->tune->events, RcEvent, bars->first_event);
  if (share * bars->n_words == bars->bar) {
    for (; event < end; ++event) {
      event->length *= share;
    }
    return;
  }
  RcTicks shared = 0;
  for (RcTicks shares = 0; event < end; ++event) {
    shares += event->length;
    event->length = bars->bar * shares / bars->n_words - shared;
    shared += event->length;
  }
}

static inline void
add_bar(YmBarText *bars)
{
  make_room(bars->tune->bars, bars->n_bars);
  g_array_index(bars->tune->bars, RcBar, bars->n_bars++) =
    (RcBar){ bars->first_event, bars->n_events - bars->first_event };
  bars->first_event = bars->n_events;
  bars->n_words = 0;
}

static gboolean
finish_bar(YmBarText *bars, GError **error)
{
  if (!bars->repeats) {
    share_bar(bars);
  } else if (!repeat_bar(bars, error)) {
    return FALSE;
  }
  add_bar(bars);
  bars->n_joined = 0;
  bars->repeats = FALSE;
  return check_limits(bars, bars->word, error);
}

// ------------------------------------------------------------------------------------------------------------ words

// "." or "/" holds the chord before it, at the start of a bar that of the bar before.
static gboolean
hold(YmBarText *bars, GError **error)
{
  if (bars->n_words > 1) {
    ++g_array_index(bars->tune->events, RcEvent, bars->n_events - 1).length;
    return TRUE;
  }
  if (bars->n_bars == bars->first_bar) {
    return fail_at(bars, bars->word, "begins with a hold, but there is no chord before it to hold", error);
  }
  append_event(bars, g_array_index(bars->tune->events, RcEvent, bars->n_events - 1).symbol, 1);
  return TRUE;
}

static guint
index_of(YmBarText *bars, const char *text, gsize length)
{
  return rc_symbols_index(bars->reader->symbols, text, length);
}

// What a small letter alone means, D or D minor, only its writer knows.
static void
remark_small(YmBarText *bars, const char *text, const char *capital)
{
  if (!bars->reader->small) {
    const RcPlace place = rc_cursor_place(bars->cursor, bars->word);
    rc_tune_remark(bars->tune, RC_REMARK_SMALL, place.line, place.column,
                   "`%.*s` is written small and read as `%s`; a small letter alone is a major chord too",
                   (int)strlen(capital), text, capital);
  }
  bars->reader->small = TRUE;
}

// A chord that is written small, "bm", is read where its root alone is what keeps it from being one; German names say
// more by it.
static guint
symbol_of(YmBarText *bars, const char *text, gsize length)
{
  enum { LONGEST = 16 };
  RcChord chord;
  char capital[LONGEST] = { 0 };
  if (*text < 'a' || *text > 'h' || length >= LONGEST || bars->reader->names == RC_NAMES_GERMAN) {
    return index_of(bars, text, length);
  }
  memcpy(capital, text, length);
  *capital = g_ascii_toupper(*capital);
  if (rc_chord_parse(capital, length, bars->reader->names, &chord, NULL) != RC_SYMBOL_CHORD) {
    return index_of(bars, text, length);
  }
  remark_small(bars, text, capital);
  return index_of(bars, capital, length);
}

static gboolean
add_chord(YmBarText *bars, gsize length, GError **error)
{
  const char *word = bars->text + bars->word;
  const gboolean slash = word[length - 1] == '/' || bars->text[ym_skip_spaces(bars, bars->at)] == '/';
  char *joined = slash ? ym_take_spaced_bass(bars, length) : NULL;
  const guint symbol = joined ? index_of(bars, joined, strlen(joined)) : symbol_of(bars, word, length);
  append_event(bars, symbol, 1);
  if (joined) {
    g_free(joined);
  }
  return symbol < RC_MAX_SYMBOLS || check_limits(bars, bars->word, error);
}

static gboolean
fail_beside(const YmBarText *bars, GError **error)
{
  return fail_at(bars, bars->word, "has `%` beside other chords; `%` alone repeats the bar before", error);
}

// As word processors put them in place of those of YAML.
static gboolean
is_curly_quote(const char *text, gsize length)
{
  static const char quotes[][4] = { "\u201C", "\u201D", "\u201E", "\u2018", "\u2019" };
  enum { LENGTH = sizeof quotes[0] - 1 };
  for (guint i = 0; i < G_N_ELEMENTS(quotes) && *text == *quotes[0]; ++i) { // they begin with the same byte
    if (length >= LENGTH && !memcmp(text, quotes[i], LENGTH)) {
      return TRUE;
    }
  }
  return FALSE;
}

// What follows from the same misunderstanding all over a text is a mistake once; then it is as good as a chord.
static gboolean
fail_once(YmBarText *bars, gboolean *found, const char *message, GError **error)
{
  if (*found) {
    append_event(bars, 0, 1);
    return TRUE;
  }
  *found = TRUE;
  return fail_at(bars, bars->word, message, error);
}

static gboolean
add_word(YmBarText *bars, gsize length, GError **error)
{
  const char *word = bars->text + bars->word;
  if (is_curly_quote(word, length)) {
    return fail_once(bars, &bars->quoted, "has a curly quote; write straight ones around bars, \"| D | G |\"", error);
  }
  if (word[0] == ':' || word[length - 1] == ':') {
    return fail_once(bars, &bars->colons,
                     "has a repeat mark; repeats are written as the order of parts, `order: A A B B`", error);
  }
  switch (length == 1 ? *word : '\0') {
  case '%':
    bars->repeats = TRUE;
    return bars->n_words == 1 || fail_beside(bars, error);
  case '.':
  case '/':
    return hold(bars, error);
  default:
    return add_chord(bars, length, error);
  }
}

// ------------------------------------------------------------------------------------------------------------ text

static gboolean
pass_word(YmBarText *bars, GError **error)
{
  const gsize start = bars->at;
  bars->at = ym_word_end(bars, start);
  ++bars->n_words;
  if (bars->repeats) {
    return fail_beside(bars, error);
  }
  bars->word = start;
  return add_word(bars, bars->at - start, error) &&
         (bars->n_words <= RC_MAX_EVENTS || check_limits(bars, start, error));
}

// A line of text may end with a bar line and the next begin with one. Where places are not known, the same one is
// reported for both.
static gboolean
is_line_break(const YmBarText *bars, gsize line_before, gsize line)
{
  const RcPlace before = rc_cursor_place(bars->cursor, line_before);
  const RcPlace now = rc_cursor_place(bars->cursor, line);
  return now.line > before.line || now.column == before.column;
}

// At a bar line: ends the bar before it; the first line of a text ends nothing, and "||" is one line.
static gboolean
pass_bar_line(YmBarText *bars, gboolean first, GError **error)
{
  const gsize line_before = bars->bar_line;
  const gsize line = bars->at;
  bars->bar_line = line;
  do {
    ++bars->at;
  } while (bars->text[bars->at] == '|');
  if (bars->n_words) {
    return finish_bar(bars, error);
  }
  return first || is_line_break(bars, line_before, line) ||
         fail_at(bars, line, "is empty; write a chord, `%` to repeat the bar before or N.C. for silence", error);
}

static gboolean
end_bars(YmBarText *bars, GError **error)
{
  if (bars->n_words && !finish_bar(bars, error)) {
    return FALSE;
  }
  return bars->n_bars > bars->first_bar || fail_at(bars, 0, "is missing: a part holds at least one", error);
}

// Puts any chord in place of a bar that has a mistake, which has ended or goes on up to the next bar line.
static gboolean
replace_bar(YmBarText *bars, gboolean ended, GError **error)
{
  while (!ended && bars->text[bars->at] && bars->text[bars->at] != '|') {
    ++bars->at;
  }
  bars->n_events = bars->first_event;
  bars->n_words = 1;
  bars->repeats = FALSE;
  append_event(bars, 0, 1);
  return !ended || finish_bar(bars, error);
}

// Keeps a mistake and goes on; FALSE where it is a limit.
static gboolean
pass_mistake(YmBarText *bars, GError *mistake, gboolean ended, RcMistakes *mistakes)
{
  GError *limit = NULL;
  const gboolean goes_on = !g_error_matches(mistake, RC_ERROR, RC_ERROR_LIMIT) && replace_bar(bars, ended, &limit);
  rc_mistakes_add(mistakes, mistake);
  if (limit) {
    rc_mistakes_add(mistakes, limit);
  }
  return goes_on;
}

// ------------------------------------------------------------------------------------------------------ plain bars
//
// Most bars are short words that are known as chords, a blank after each, and a line: `D | Em A7 |`. They are passed in
// a loop of their own, with a copy of the state that the compiler can keep in registers, and the first word or line
// that is anything else is left to the functions above.

// What a short word is, in one look.
typedef struct {
  guint64 letters; // as a number, the first the lowest byte
  guint length;    // 0 where it is long, or holds what may end a word elsewhere
} ShortWord;

// Looks for the first blank, line or end among eight bytes, by arithmetic on all of them at once, since where words end
// cannot be foreseen. A byte below '!' or equal to '|' gets its top bit; borrows can set others above it only.
static inline ShortWord
short_word(const char *text)
{
  enum { BITS = 8 };
  const guint64 ones = G_GUINT64_CONSTANT(0x0101010101010101);
  const guint64 tops = ones << 7U;
  guint64 x = 0;
  memcpy(&x, text, sizeof x);
  x = GUINT64_FROM_LE(x);
  const guint64 line = x ^ ones * '|';
  const guint64 ends = (((x - ones * (' ' + 1)) & ~x) | ((line - ones) & ~line)) & tops; // the lowest bit is right
  if (!ends) {
    return (ShortWord){ 0, 0 };
  }
  const guint length = (guint)__builtin_ctzll(ends) / BITS;
  const guint64 letters = x & ((G_GUINT64_CONSTANT(1) << (BITS * length)) - 1);
  return (ShortWord){ letters, ym_byte_kind(text[length]) == YM_LETTER ? 0 : length };
}

// Whether a word may be no chord, or is not the whole of one: a bass may come after it.
static inline gboolean
is_odd(const char *word, guint length)
{
  const char *next = word + length;
  next += *next == ' ';
  return *word < 'A' || *word > 'H' || word[length - 1] == '/' || word[length - 1] == ':' || *next == '/' ||
         ym_byte_kind(*next) == YM_BLANK;
}

// FALSE where what comes next is no plain word, or one that reaches a limit.
static inline gboolean
pass_plain_word(YmBarText *bars)
{
  const char *text = bars->text + bars->at;
  const ShortWord word = short_word(text);
  if (!word.length || is_odd(text, word.length) || bars->n_words == RC_MAX_EVENTS) {
    return FALSE;
  }
  const guint symbol = rc_symbols_known(bars->reader->symbols, text, word.length, word.letters);
  if (symbol >= RC_MAX_SYMBOLS) {
    return FALSE;
  }
  bars->word = bars->at;
  bars->at += word.length;
  bars->at += bars->text[bars->at] == ' ';
  ++bars->n_words;
  append_event(bars, symbol, 1);
  return TRUE;
}

// FALSE where what comes next is not the single line after plain words that share the bar exactly.
static inline gboolean
pass_plain_line(YmBarText *bars)
{
  const char *line = bars->text + bars->at;
  if (*line != '|' || line[1] == '|' || !bars->n_words || bars->n_events > RC_MAX_EVENTS ||
      bars->n_bars == RC_MAX_BARS) {
    return FALSE;
  }
  const RcTicks share = bars->n_words == 1 ? bars->bar : bars->bar / bars->n_words;
  if (share * bars->n_words != bars->bar) {
    return FALSE;
  }
  for (guint i = bars->first_event; i < bars->n_events; ++i) {
    g_array_index(bars->tune->events, RcEvent, i).length = share;
  }
  add_bar(bars);
  bars->bar_line = bars->at++;
  bars->at += line[1] == ' ';
  return TRUE;
}

// At the beginning of a bar.
static void
pass_plain_bars(YmBarText *all)
{
  YmBarText bars = *all;
  do {
    while (pass_plain_word(&bars)) {
    }
  } while (pass_plain_line(&bars));
  *all = bars;
}

// ------------------------------------------------------------------------------------------------------------- text

// Goes to the next word or line that is not plain; FALSE at the end.
static gboolean
seek_odd(YmBarText *bars)
{
  bars->at = ym_skip_spaces(bars, bars->at);
  if (!bars->n_words && bars->cursor->straight) {
    pass_plain_bars(bars);
    bars->at = ym_skip_spaces(bars, bars->at);
  }
  return bars->text[bars->at] != '\0';
}

static gboolean
read_bars(YmBarText *bars, RcMistakes *mistakes)
{
  GError *mistake = NULL;
  const gsize first = ym_skip_spaces(bars, 0);
  bars->at = first;
  while (seek_odd(bars)) {
    const gboolean line = bars->text[bars->at] == '|';
    if (!(line ? pass_bar_line(bars, bars->at == first, &mistake) : pass_word(bars, &mistake)) &&
        !pass_mistake(bars, g_steal_pointer(&mistake), line, mistakes)) {
      return FALSE;
    }
  }
  return end_bars(bars, &mistake) || pass_mistake(bars, mistake, TRUE, mistakes);
}

gboolean
rc_bar_reader_read(RcBarReader *reader, RcCursor *cursor, RcMistakes *mistakes)
{
  RcTune *tune = reader->tune;
  YmBarText bars = { .reader = reader,
                     .tune = tune,
                     .cursor = cursor,
                     .text = cursor->text,
                     .bar = rc_meter_bar(rc_tune_setting(tune, 0)->meter),
                     .n_events = tune->events->len,
                     .n_bars = tune->bars->len,
                     .first_bar = tune->bars->len,
                     .first_event = tune->events->len };
  const gboolean good = read_bars(&bars, mistakes);
  rc_array_cut(tune->events, bars.n_events);
  rc_array_cut(tune->bars, bars.n_bars);
  return good;
}
