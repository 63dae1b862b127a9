// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The body of an ABC tune: notes for the time they take and the tones they sound, chord symbols, bar lines, fields.

#include "abc.h"

#include <string.h>

enum { NO_SYMBOL = G_MAXUINT, LAST_ENDING = 63, MAX_VOICES = 1024 };

// Longer notes are cut, longer bars refused, so that no sum of lengths can overflow.
#define LONGEST_NOTE (4096 * RC_QUARTER)
#define LONGEST_BAR (65536 * RC_QUARTER)

typedef struct {
  AbcMusic *music;
  RcTune *tune;
  const char *file;
  const char *at;
  const char *end;
  guint line;
  const char *line_start;
  const char *counted; // characters of the line are counted up to here
  guint characters;
  gboolean ascii; // the whole body is

  AbcState state;
  RcTicks unit;
  RcPcSet plain[128]; // what a letter without signs sounds in this key; 0 for other characters
  guint setting;      // index of the setting in force
  guint wanted;       // the voice that is read
  guint voice;        // the voice we are in
  GPtrArray *voices;  // of char *: names in the order they appear

  RcTicks pos; // in the bar
  guint first_event;
  gboolean has_notes; // the bar holds something that takes time
  RcEvent event;      // the chord that sounds
  gboolean pending;   // it has no time yet
  RcTicks event_start;
  RcBarMarks marks; // of the bar being read
  RcTicks main_pos; // where the bar stood before an overlay
  gboolean overlay;
  gint8 accidentals[7][10]; // written in this bar, by letter and octave; 100: none
  gboolean any_accidental;

  RcTicks last_length; // of the last note, for broken rhythm
  guint last_note;     // its index in notes, or NO_SYMBOL
  gint broken;         // what the next note gets: > 0 shorter by so many halvings, < 0 longer
  guint tuplet_p;
  guint tuplet_q;
  guint tuplet_left;
  gboolean in_text; // between %%begintext and %%endtext
} Body;

// The column of a place behind those asked for before on this line.
static guint
column_of(Body *b, const char *at)
{
  if (b->ascii) {
    return (guint)(at - b->line_start) + 1;
  }
  for (; b->counted < at; ++b->counted) {
    b->characters += ((guchar)*b->counted & 0xC0U) != 0x80;
  }
  return b->characters + 1;
}

static gboolean
fail(Body *b, const char *at, RcErrorCode code, const char *message, GError **error)
{
  const RcPlace place = { b->file, b->line, column_of(b, at) };
  return rc_fail(error, code, place, "%s", message);
}

static gboolean
is_wanted(const Body *b)
{
  return b->voice == b->wanted;
}

// ---------------------------------------------------------------------------------------------------- bars and events

static void
close_event(Body *b)
{
  if (b->pos > b->event_start) {
    b->event.length = b->pos - b->event_start;
    g_array_append_val(b->tune->events, b->event);
    b->pending = FALSE;
  }
  b->event_start = b->pos;
}

static void
open_event(Body *b, guint symbol, const char *at)
{
  b->event = (RcEvent){ symbol, b->setting, b->line, column_of(b, at), 0, 0 };
  b->event_start = b->pos;
  b->pending = TRUE;
}

static void
start_bar(Body *b)
{
  b->pos = 0;
  b->overlay = FALSE;
  b->first_event = b->tune->events->len;
  b->event_start = 0;
  b->event.symbol = b->pending ? b->event.symbol : NO_SYMBOL; // written just before the bar line: for the next note
  b->marks = (RcBarMarks){ 0 };
  b->last_note = NO_SYMBOL;
  b->last_length = 0; // broken rhythm does not reach over a bar line
  if (b->any_accidental) {
    memset(b->accidentals, 100, sizeof b->accidentals);
    b->any_accidental = FALSE;
  }
}

// What sounds where nothing is written at the start of a bar goes on from before.
static void
hold_if_silent(Body *b)
{
  if (b->event.symbol == NO_SYMBOL) {
    open_event(b, rc_symbols_held(b->music->symbols), b->at);
    b->event_start = 0;
  }
}

static gboolean
check_limits(Body *b, GError **error)
{
  const RcTune *tune = b->tune;
  if (tune->events->len > RC_MAX_EVENTS || tune->bars->len > RC_MAX_BARS || tune->symbols->len > RC_MAX_SYMBOLS) {
    return fail(b, b->at, RC_ERROR_LIMIT, "the tune has more chords or bars than a tune may have", error);
  }
  return TRUE;
}

// Ends the bar being read, if it holds anything, and gives `marks` of the line behind it to it or to the one before.
static gboolean
end_bar(Body *b, guint closes, gboolean breaks, GError **error)
{
  b->pos = b->overlay ? MAX(b->main_pos, b->pos) : b->pos;
  if (b->pos > LONGEST_BAR) {
    return fail(b, b->at, RC_ERROR_LIMIT, "the bar that ends here is longer than a bar may be", error);
  }
  if (!b->pos) {
    if (b->music->marks->len && (closes || breaks) && !b->marks.opens) {
      RcBarMarks *before = &g_array_index(b->music->marks, RcBarMarks, b->music->marks->len - 1);
      before->closes = MAX(before->closes, closes);
      before->breaks |= breaks;
    }
    return TRUE;
  }
  hold_if_silent(b);
  close_event(b);
  const RcBar bar = { b->first_event, b->tune->events->len - b->first_event };
  b->marks.closes = closes;
  b->marks.breaks = breaks;
  g_array_append_val(b->tune->bars, bar);
  g_array_append_val(b->music->marks, b->marks);
  start_bar(b);
  return check_limits(b, error);
}

// ----------------------------------------------------------------------------------------------------------- fields

static const guchar letter_index[] = { 5, 6, 0, 1, 2, 3, 4 }; // A to G, counted from C
static const guchar letter_tones[] = { 0, 2, 4, 5, 7, 9, 11 };

static RcPcSet
letter_tone(guint index, int semitones)
{
  return (RcPcSet)(1U << ((guint)(letter_tones[index] + 24 + semitones) % 12U));
}

static void
learn_key(Body *b)
{
  for (guint i = 0; i < 7; ++i) {
    const guint index = letter_index[i];
    b->plain['A' + i] = letter_tone(index, b->state.accidentals[index]);
    b->plain['a' + i] = b->plain['A' + i];
  }
}

static void
change_setting(Body *b)
{
  learn_key(b);
  b->setting = b->tune->settings->len;
  b->unit = abc_unit(&b->state);
  g_array_append_val(b->tune->settings, b->state.setting);
  b->event.setting = b->pos ? b->event.setting : b->setting;
}

static void
mark_part(Body *b, AbcText label)
{
  const AbcPartMark mark = { abc_trim(label), b->tune->bars->len + (b->pos ? 1 : 0) };
  g_array_append_val(b->music->part_marks, mark);
}

static gboolean
switch_voice(Body *b, AbcText text, GError **error)
{
  text = abc_trim(text);
  gsize n = 0;
  while (text.at + n < text.end && !g_ascii_isspace(text.at[n])) {
    ++n;
  }
  b->voices = b->voices ? b->voices : g_ptr_array_new_with_free_func(g_free);
  if (!b->voices->len && (b->tune->bars->len || b->pos)) {
    g_ptr_array_add(b->voices, g_strdup("1")); // the music before the first V: is a voice of its own
  }
  for (b->voice = 0; b->voice < b->voices->len; ++b->voice) {
    const char *name = g_ptr_array_index(b->voices, b->voice);
    if (!strncmp(name, text.at, n) && !name[n]) {
      return TRUE;
    }
  }
  g_ptr_array_add(b->voices, g_strndup(text.at, n));
  return b->voices->len <= MAX_VOICES || fail(b, b->at, RC_ERROR_LIMIT, "the tune has more than 1024 voices", error);
}

// A field in the body, on a line of its own or in brackets; fields of voices that are not read do not touch ours.
static gboolean
read_field(Body *b, char name, AbcText text, GError **error)
{
  if (name == 'V') {
    return switch_voice(b, text, error);
  } else if (name == 'P') {
    if (b->pos && !end_bar(b, 0, FALSE, error)) {
      return FALSE;
    }
    mark_part(b, text);
  } else if (is_wanted(b)) {
    const gboolean changes =
      (name == 'K' && abc_read_key(text, &b->state)) || (name == 'M' && abc_read_meter(text, &b->state)) ||
      (name == 'Q' && abc_read_tempo(text, &b->state)) || (name == 'L' && abc_read_length(text, &b->state));
    if (changes) {
      change_setting(b);
    }
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ notes

static gsize
read_digits(Body *b, guint *number)
{
  const char *start = b->at;
  guint value = 0;
  for (; b->at < b->end && g_ascii_isdigit(*b->at); ++b->at) {
    value = value < 100000 ? 10 * value + (guint)(*b->at - '0') : value;
  }
  *number = value;
  return (gsize)(b->at - start);
}

// "2", "/2", "3/2", "/", "//": section 4.3.
static void
read_length(Body *b, guint *times, guint *parts)
{
  guint number = 0;
  *times = 1;
  *parts = 1;
  if (b->at < b->end && g_ascii_isdigit(*b->at)) {
    read_digits(b, times);
    *times = MIN(*times, 100000);
  }
  while (b->at < b->end && *b->at == '/') {
    ++b->at;
    const guint divisor = read_digits(b, &number) && number ? number : 2;
    *parts = *parts <= 1024 ? *parts * MIN(divisor, 1024) : *parts;
  }
}

static RcTicks
broken_part(RcTicks length, gint halvings)
{
  const RcTicks part = length >> MIN(ABS(halvings), 10);
  return halvings > 0 ? part : 2 * length - part;
}

// The time a note takes that is written as `times` over `parts` of the unit.
static RcTicks
note_length(Body *b, guint64 times, guint64 parts)
{
  RcTicks length = LONGEST_NOTE;
  if (times < (guint64)(G_MAXINT64 / b->unit)) {
    length = MIN(LONGEST_NOTE, b->unit * (RcTicks)times / (RcTicks)parts);
  }
  if (b->tuplet_left) {
    length = length * b->tuplet_q / b->tuplet_p;
    --b->tuplet_left;
  }
  if (b->broken) {
    length = broken_part(length, b->broken);
    b->broken = 0;
  }
  return length;
}

static void
add_note(Body *b, RcPcSet tones, RcTicks length)
{
  b->last_length = length;
  b->last_note = NO_SYMBOL;
  hold_if_silent(b);
  if (!b->overlay) {
    b->event.melody |= tones;
  }
  if (tones && b->music->keeps_notes && !b->overlay) {
    const AbcNote note = { b->tune->bars->len, b->pos, b->pos + length, tones };
    b->last_note = b->music->notes->len;
    g_array_append_val(b->music->notes, note);
  }
  b->pos += length;
}

// ">" behind a note lengthens it and shortens the next, "<" the other way round: section 4.4.
static void
read_broken(Body *b)
{
  const char sign = *b->at;
  gint n = 0;
  for (; b->at < b->end && *b->at == sign; ++b->at) {
    ++n;
  }
  const RcTicks length = broken_part(b->last_length, sign == '>' ? -n : n);
  b->pos += length - b->last_length;
  if (b->last_note != NO_SYMBOL) {
    AbcNote *note = &g_array_index(b->music->notes, AbcNote, b->last_note);
    note->end = note->start + length;
  }
  b->broken = sign == '>' ? n : -n;
  b->last_length = length;
}

// [accidental] letter [octave]: section 4.1, 4.2. Accidentals hold for their octave to the end of the bar.
static gboolean
read_pitch(Body *b, RcPcSet *tones)
{
  int written = 100;
  const char *start = b->at;
  for (; b->at < b->end && (*b->at == '^' || *b->at == '_' || *b->at == '='); ++b->at) {
    written = (written == 100 ? 0 : written) + (*b->at == '^' ? 1 : *b->at == '_' ? -1 : 0);
  }
  const char letter = b->at < b->end ? *b->at : '\0';
  const char upper = letter & ~0x20; // letters in ASCII differ in this bit only
  if (upper < 'A' || upper > 'G') {
    b->at = start;
    return FALSE;
  }
  ++b->at;
  int octave = letter == upper ? 4 : 5;
  for (; b->at < b->end && (*b->at == '\'' || *b->at == ','); ++b->at) {
    octave += *b->at == '\'' ? 1 : -1;
  }
  const guint index = letter_index[upper - 'A'];
  gint8 *in_bar = &b->accidentals[index][CLAMP(octave, 0, 9)];
  if (written != 100) {
    *in_bar = (gint8)written;
    b->any_accidental = TRUE;
  }
  const int semitones = *in_bar == 100 ? b->state.accidentals[index] : *in_bar;
  *tones |= letter_tone(index, semitones);
  return TRUE;
}

static void
read_note(Body *b)
{
  RcPcSet tones = 0;
  guint times = 1;
  guint parts = 1;
  if (!read_pitch(b, &tones)) {
    ++b->at; // an accidental without a note
    return;
  }
  read_length(b, &times, &parts);
  add_note(b, tones, note_length(b, times, parts));
}

static void
read_rest(Body *b)
{
  guint times = 1;
  guint parts = 1;
  ++b->at;
  read_length(b, &times, &parts);
  add_note(b, 0, note_length(b, times, parts));
}

// "Z4": four bars of rest, section 4.5. Each is a bar of its own.
static gboolean
read_long_rest(Body *b, GError **error)
{
  guint bars = 0;
  ++b->at;
  if (!read_digits(b, &bars)) {
    bars = 1;
  }
  for (guint i = 0; i < MIN(bars, 1000); ++i) {
    add_note(b, 0, rc_meter_bar(b->state.setting.meter));
    if (i + 1 < bars && !end_bar(b, 0, FALSE, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

static void
skip_past(Body *b, char close)
{
  while (b->at < b->end && *b->at != close && *b->at != '\n') {
    ++b->at;
  }
  b->at += b->at < b->end && *b->at == close;
}

// "[CEG]2": notes at once, as long as the first of them; section 4.17.
static void
read_unison(Body *b)
{
  RcPcSet tones = 0;
  guint times = 0;
  guint parts = 1;
  guint outer_times = 1;
  guint outer_parts = 1;
  for (++b->at; b->at < b->end && *b->at != ']' && *b->at != '|';) {
    guint n = 1;
    guint d = 1;
    if (*b->at == '!' || *b->at == '"') {
      const char sign = *b->at++;
      skip_past(b, sign);
      continue;
    }
    if (!read_pitch(b, &tones)) {
      ++b->at; // ties, decorations of one letter
      continue;
    }
    read_length(b, &n, &d);
    if (!times) {
      times = n;
      parts = d;
    }
  }
  b->at += b->at < b->end && *b->at == ']';
  read_length(b, &outer_times, &outer_parts);
  add_note(b, tones, note_length(b, (guint64)MAX(times, 1) * outer_times, (guint64)parts * outer_parts));
}

// "(3", "(3:2", "(3:2:4": section 4.13.
static void
read_tuplet(Body *b)
{
  static const guchar usual[] = { 0, 0, 3, 2, 3, 0, 2, 0, 3, 0 };
  const RcMeter meter = b->state.setting.meter;
  const gboolean compound = meter.unit >= 8 && meter.beats > 3 && meter.beats % 3 == 0;
  guint p = 0;
  guint q = 0;
  guint r = 0;
  ++b->at;
  read_digits(b, &p);
  if (b->at < b->end && *b->at == ':') {
    ++b->at;
    read_digits(b, &q);
    if (b->at < b->end && *b->at == ':') {
      ++b->at;
      read_digits(b, &r);
    }
  }
  p = CLAMP(p, 1, 64);
  b->tuplet_p = p;
  b->tuplet_q = q ? MIN(q, 64) : p < 10 && usual[p] ? usual[p] : compound ? 3 : 2;
  b->tuplet_left = r ? r : p;
}

// ------------------------------------------------------------------------------------------------------------ chords

// Whether a text that is no chord symbol is one as old collections write it (`D/f+`, `Cd`); sets `text` to how it is
// written today.
static gboolean
old_symbol(const char *old, gsize length, char **text)
{
  const char *slash = memchr(old, '/', length);
  const gsize head = slash ? (gsize)(slash - old) : length;
  const gboolean sharp_bass = slash && length - head == 3 && slash[1] >= 'a' && slash[1] <= 'g' && slash[2] == '+';
  const gboolean diminished = head >= 2 && old[head - 1] == 'd' && (head == 2 || (head == 3 && strchr("b#", old[1])));
  if (!head || *old < 'A' || *old > 'G' || (!sharp_bass && !diminished)) {
    return FALSE;
  }
  GString *today = g_string_new_len(old, (gssize)(diminished ? head - 1 : head));
  g_string_append(today, diminished ? "dim" : "");
  if (sharp_bass) {
    g_string_append_printf(today, "/%c#", slash[1]);
  } else if (slash) {
    g_string_append_len(today, slash, (gssize)(length - head));
  }
  *text = g_string_free(today, FALSE);
  return TRUE;
}

static guint
symbol_of(Body *b, AbcText text)
{
  const gsize length = (gsize)(text.end - text.at);
  char *today = NULL;
  if (!b->ascii && !g_utf8_validate(text.at, (gssize)length, NULL)) { // Latin-1
    char *utf8 = abc_text_to_utf8(text);
    const guint latin = rc_symbols_index(b->music->symbols, utf8, strlen(utf8));
    g_free(utf8);
    return latin;
  }
  const guint index = rc_symbols_index(b->music->symbols, text.at, length);
  if (g_array_index(b->tune->symbols, RcSymbol, index).kind != RC_SYMBOL_UNREAD) {
    return index;
  }
  const char *bracket = memchr(text.at, '(', length); // an alternative: G(Em), section 4.18
  if (bracket && bracket > text.at) {
    return rc_symbols_index(b->music->symbols, text.at, (gsize)(bracket - text.at));
  }
  if (old_symbol(text.at, length, &today)) {
    ++b->music->habits;
    const guint old = b->music->habit ? rc_symbols_index(b->music->symbols, today, strlen(today)) : index;
    g_free(today);
    return old;
  }
  return index;
}

// A string: a chord symbol, or an annotation where it begins with ^ _ < > @; sections 4.18 and 4.19.
static gboolean
read_string(Body *b, GError **error)
{
  const char *start = b->at + 1;
  const char *close = start;
  while (close < b->end && *close != '"' && *close != '\n') {
    ++close;
  }
  if (close == b->end || *close != '"') {
    return fail(b, b->at, RC_ERROR_SYNTAX, "a chord symbol begins here and has no closing quote on its line", error);
  }
  b->at = close + 1;
  const AbcText text = abc_trim((AbcText){ start, close });
  const char first = text.at < text.end ? *text.at : '^';
  if (first == '^' || first == '_' || first == '<' || first == '>' || first == '@' || b->overlay) {
    return TRUE;
  }
  close_event(b);
  open_event(b, symbol_of(b, text), text.at);
  b->music->chords = TRUE;
  return b->tune->symbols->len <= RC_MAX_SYMBOLS || check_limits(b, error);
}

// --------------------------------------------------------------------------------------------------------- bar lines

// "1", "1,3", "1-3": which times an ending is for; section 4.9.
static guint64
read_endings(Body *b)
{
  guint64 endings = 0;
  for (guint first = 0; b->at < b->end && g_ascii_isdigit(*b->at);) {
    guint last = 0;
    read_digits(b, &first);
    last = first;
    if (b->at + 1 < b->end && *b->at == '-' && g_ascii_isdigit(b->at[1])) {
      ++b->at;
      read_digits(b, &last);
    }
    for (guint n = first; n <= MIN(last, LAST_ENDING); ++n) {
      endings |= G_GUINT64_CONSTANT(1) << n;
    }
    if (b->at + 1 < b->end && *b->at == ',' && g_ascii_isdigit(b->at[1])) {
      ++b->at;
    }
  }
  return endings;
}

static guint
count_run(Body *b, const char *of)
{
  guint n = 0;
  for (; b->at < b->end && *b->at && strchr(of, *b->at); ++b->at) {
    if (*b->at == '[' && b->at + 1 < b->end && *b->at != '|' && b->at[1] != '|' && b->at[1] != ']') {
      break; // an ending, a field or a chord
    }
    ++n;
  }
  return n;
}

// Whether what follows a bar line has nothing to do with it.
static gboolean
is_plain_after_line(char c)
{
  return g_ascii_isalpha(c) || c == '"' || c == '(' || c == '^' || c == '=' || c == '_' || c == '{' || c == '~';
}

// Any of | || [| |] |: :| :: :|: with more colons for more times, and an ending's numbers behind it; section 4.8.
static gboolean
read_bar_line(Body *b, GError **error)
{
  if (*b->at == '|' && b->at + 1 < b->end && is_plain_after_line(b->at[1])) {
    ++b->at;
    return end_bar(b, 0, FALSE, error);
  }
  guint colons = count_run(b, ":");
  const char *lines = b->at;
  const guint n = count_run(b, "|[]");
  const gboolean invisible = n == 3 && !strncmp(lines, "[|]", 3);
  const gboolean thick = !invisible && (n > 1 || (n == 1 && *lines != '|'));
  guint opens = count_run(b, ":");
  if (!n && colons > 1) { // "::" closes and opens
    opens = 1;
    --colons;
  }
  if (!end_bar(b, colons ? MIN(colons + 1, LAST_ENDING) : 0, thick, error)) {
    return FALSE;
  }
  b->marks.opens |= opens > 0;
  const char *ending = b->at;
  while (ending < b->end && *ending == ' ') {
    ++ending;
  }
  if (ending + 1 < b->end && *ending == '[' && g_ascii_isdigit(ending[1])) {
    b->at = ending + 1;
  }
  b->marks.endings |= read_endings(b);
  return TRUE;
}

// "[": a bar line, an ending, a field, or notes at once.
static gboolean
read_bracket(Body *b, GError **error)
{
  const char next = b->at + 1 < b->end ? b->at[1] : '\0';
  if (next == '|' || next == ']') {
    return read_bar_line(b, error);
  }
  if (g_ascii_isdigit(next)) {
    if (!end_bar(b, 0, FALSE, error)) {
      return FALSE;
    }
    ++b->at;
    b->marks.endings |= read_endings(b);
    return TRUE;
  }
  if (g_ascii_isalpha(next) && b->at + 2 < b->end && b->at[2] == ':') {
    const char *start = b->at + 3;
    const char *close = start;
    while (close < b->end && *close != ']' && *close != '\n') {
      ++close;
    }
    b->at = close < b->end && *close == ']' ? close + 1 : close;
    return read_field(b, next, (AbcText){ start, close }, error);
  }
  read_unison(b);
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------- decorations

static void
note_jump(Body *b, AbcText name)
{
  static const char *const jumps[] = { "D.C.", "D.S.", "dacapo", "dacoda", "fine", "coda" };
  for (guint i = 0; i < G_N_ELEMENTS(jumps); ++i) {
    const gsize n = strlen(jumps[i]);
    if ((gsize)(name.end - name.at) >= n && !g_ascii_strncasecmp(name.at, jumps[i], n)) {
      b->tune->remarks |= RC_REMARK_JUMPS;
    }
  }
}

// "!trill!" or "+trill+"; a sign alone on its line says nothing.
static void
skip_decoration(Body *b)
{
  const char sign = *b->at;
  const char *close = b->at + 1;
  while (close < b->end && *close != sign && *close != '\n' && *close != '|') {
    ++close;
  }
  if (close < b->end && *close == sign) {
    note_jump(b, (AbcText){ b->at + 1, close });
    b->at = close + 1;
  } else {
    ++b->at;
  }
}

static void
start_overlay(Body *b)
{
  ++b->at;
  close_event(b);
  b->main_pos = b->overlay ? MAX(b->main_pos, b->pos) : b->pos;
  b->pos = 0;
  b->overlay = TRUE;
}

// ------------------------------------------------------------------------------------------------------------- lines

static gboolean
read_sign(Body *b, GError **error)
{
  switch (*b->at) {
  case 'z':
  case 'x':
    read_rest(b);
    return TRUE;
  case 'Z':
  case 'X':
    return read_long_rest(b, error);
  case '"':
    return read_string(b, error);
  case '|':
    return read_bar_line(b, error);
  case ':':
    if (b->at + 1 < b->end && strchr("|:]", b->at[1])) {
      return read_bar_line(b, error);
    }
    break;
  case '[':
    return read_bracket(b, error);
  case '(':
    if (b->at + 1 < b->end && g_ascii_isdigit(b->at[1])) {
      read_tuplet(b);
      return TRUE;
    }
    break;
  case '>':
  case '<':
    read_broken(b);
    return TRUE;
  case '{':
    skip_past(b, '}');
    return TRUE;
  case '!':
  case '+':
    skip_decoration(b);
    return TRUE;
  case '&':
    start_overlay(b);
    return TRUE;
  case '%':
    b->at = b->end;
    return TRUE;
  case 'y':
    for (++b->at; b->at < b->end && g_ascii_isdigit(*b->at); ++b->at) {
    }
    return TRUE;
  default:
    break;
  }
  ++b->at; // blanks, slurs, ties, continuation, decorations of one letter
  return TRUE;
}

// What may follow a letter and belong to its note.
static gboolean
continues_note(char c)
{
  return (c >= '0' && c <= '9') || c == '/' || c == ',' || c == '\'' || c == '>' || c == '<';
}

// Whether nothing is in force that changes notes to come, so that letters alone are simply a unit each.
static gboolean
is_calm(const Body *b)
{
  return !b->any_accidental && !b->tuplet_left && !b->broken && !b->overlay && !b->music->keeps_notes &&
         b->event.symbol != NO_SYMBOL;
}

// Most of a tune: letters one after another.
static void
read_plain_notes(Body *b)
{
  const char *at = b->at;
  RcPcSet tones = 0;
  for (; at < b->end; ++at) {
    const RcPcSet tone = (guchar)*at < 128 ? b->plain[(guchar)*at] : 0;
    if (!tone || (at + 1 < b->end && continues_note(at[1]))) {
      break;
    }
    tones |= tone;
  }
  if (at > b->at) {
    b->event.melody |= tones;
    b->pos += b->unit * (at - b->at);
    b->last_length = b->unit;
    b->last_note = NO_SYMBOL;
    b->at = at;
  }
}

static gboolean
begins_note(char c)
{
  return (c >= 'A' && c <= 'G') || (c >= 'a' && c <= 'g') || c == '^' || c == '_' || c == '=';
}

// In a voice that is not read only what can lead out of it counts.
static gboolean
skip_other_voice(Body *b, GError **error)
{
  if (*b->at == '"') {
    ++b->at;
    if (b->at < b->end && !strchr("\"^_<>@", *b->at)) {
      b->music->chord_voice = MIN(b->music->chord_voice, b->voice);
    }
    skip_past(b, '"');
  } else if (*b->at == '%') {
    b->at = b->end;
  } else if (*b->at == '[' && b->end - b->at > 2 && b->at[1] == 'V' && b->at[2] == ':') {
    return read_bracket(b, error);
  } else {
    ++b->at;
  }
  return TRUE;
}

static gboolean
read_music_line(Body *b, GError **error)
{
  gboolean good = TRUE;
  while (good && b->at < b->end) {
    if (!is_wanted(b)) {
      good = skip_other_voice(b, error);
    } else if (begins_note(*b->at)) {
      const char *start = b->at;
      if (is_calm(b)) {
        read_plain_notes(b);
      }
      if (b->at == start) {
        read_note(b);
      }
    } else {
      good = read_sign(b, error);
    }
  }
  return good;
}

// A field on a line of its own; those that may not stand in a body, section 3, are no music either: "Z:", but "G:|" is.
static gboolean
is_field_line(AbcText line)
{
  return line.end - line.at >= 2 && line.at[1] == ':' && (g_ascii_isalpha(*line.at) || *line.at == '+') &&
         (line.end - line.at == 2 || !strchr("|:]", line.at[2]));
}

// "%%begintext" to "%%endtext" and the like, section 11.4.2: what stands between is no music.
static void
watch_directive(Body *b, AbcText line)
{
  const gsize n = (gsize)(line.end - line.at);
  b->in_text = (b->in_text || (n > 7 && !strncmp(line.at, "%%begin", 7))) && !(n > 5 && !strncmp(line.at, "%%end", 5));
}

static gboolean
read_line(Body *b, AbcText line, GError **error)
{
  b->line_start = line.at;
  b->counted = line.at;
  b->characters = 0;
  b->at = line.at;
  b->end = line.end;
  if (line.at < line.end && *line.at == '%') {
    watch_directive(b, line);
    return TRUE;
  }
  if (line.at == line.end || b->in_text) {
    return TRUE;
  }
  if (is_field_line(line)) {
    return read_field(b, *line.at, (AbcText){ line.at + 2, line.end }, error);
  }
  return read_music_line(b, error);
}

static void
start_body(Body *b, AbcMusic *music, AbcState state, const char *file, guint line, guint voice)
{
  memset(b, 0, sizeof *b);
  b->music = music;
  b->tune = music->tune;
  b->file = file;
  b->line = line;
  b->state = state;
  b->wanted = voice;
  b->unit = abc_unit(&state);
  b->state.unit = b->unit; // a meter change in the body does not change it, section 3.1.7
  memset(b->accidentals, 100, sizeof b->accidentals);
  learn_key(b);
  start_bar(b);
}

static gboolean
is_ascii(AbcText text)
{
  guchar bits = 0;
  for (; text.at < text.end; ++text.at) {
    bits |= (guchar)*text.at;
  }
  return bits < 0x80;
}

gboolean
abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice, GError **error)
{
  Body b;
  start_body(&b, music, state, file, line, voice);
  b.ascii = is_ascii(body);
  music->chord_voice = G_MAXUINT;
  gboolean good = TRUE;
  for (const char *at = body.at; good && at < body.end; ++b.line) {
    const char *newline = memchr(at, '\n', (gsize)(body.end - at));
    const char *end = newline ? newline : body.end;
    const char *next = newline ? newline + 1 : body.end;
    end -= end > at && end[-1] == '\r';
    good = read_line(&b, (AbcText){ at, end }, error);
    at = next;
  }
  good = good && end_bar(&b, 0, TRUE, error);
  music->voices = b.voices ? b.voices->len : 1;
  g_clear_pointer(&b.voices, g_ptr_array_unref);
  return good;
}
