// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The body of an ABC tune: its lines, and the fields, voices, notes, chords and bar lines in them. What a sign says is
// read by the other files of this folder, which know nothing of each other's work; here it is put together.

#include "corpus/abc/music.h"

#include "corpus/abc/bars.h"
#include "corpus/abc/lines.h"
#include "corpus/abc/notes.h"
#include "corpus/abc/rows.h"
#include "corpus/unroll.h"

#include <string.h>

enum { MAX_VOICES = 1024 };

#define NO_NOTE G_MAXUINT

/// Voices in the order they appear.
typedef struct {
  GPtrArray *names; // of char *; NULL until there is one
  guint current;
  guint wanted;
} Voices;

/// The last note of the bar.
typedef struct {
  RcTicks length; // 0: there is none
  RcPcSet tones;
  guint kept;      // its index in the notes that are kept, or NO_NOTE
  const char *row; // the end of a row that it is the last of, which tells the others; NULL: of none
} LastNote;

typedef struct {
  AbcMusic *music;
  const char *end;
  AbcCursor cursor;
  AbcState state;
  AbcScale scale;
  AbcRhythm rhythm;
  AbcBars bars;
  LastNote last;
  RcPcSet before_bar; // tones of the last note before the bar
  gboolean optional;  // the chord that waits is in brackets
  guint chord;        // symbol of the last chord, without a bass that came later; NO_NOTE: none
  Voices voices;
  AbcSymbolLines symbol_lines; // those below this line of music
  guint setting_bar;           // where the setting in force was set
  RcTicks setting_pos;
  gboolean in_text; // between %%begintext and %%endtext
} Body;

static gboolean
is_wanted(const Body *b)
{
  return b->voices.current == b->voices.wanted;
}

static void
keep_found(AbcMusic *music, RcRemarkKind kind, AbcPlace place, AbcText text)
{
  if (!music->found[kind].place.line) {
    music->found[kind] = (AbcFound){ place, text };
  }
}

static void
remark(Body *b, RcRemarkKind kind, AbcPlace place, AbcText text)
{
  keep_found(b->music, kind, place, text);
}

void
abc_remark_setting(AbcMusic *music, char name, AbcText text, gboolean good, AbcPlace place)
{
  if (!good) {
    keep_found(music, RC_REMARK_VALUES, place, abc_trim(text));
  } else if (name == 'K' && abc_is_small_key(text)) {
    keep_found(music, RC_REMARK_SMALL_KEY, place, abc_trim(text));
  }
}

// ------------------------------------------------------------------------------------------------------------- bars

static gboolean
check_limits(Body *b, GError **error)
{
  if (b->music->notes->len > RC_MAX_NOTES) {
    return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the melody has more notes than a tune may have", error);
  }
  if (b->bars.n_events > RC_MAX_EVENTS || b->bars.n_bars > RC_MAX_BARS ||
      b->music->tune->symbols->len > RC_MAX_SYMBOLS) {
    return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the tune has more chords or bars than a tune may have",
                    error);
  }
  return TRUE;
}

static void
start_bar(Body *b)
{
  b->before_bar = b->last.tones;
  b->last = (LastNote){ .kept = NO_NOTE }; // broken rhythm does not reach over a bar line
  abc_forget_accidentals(&b->scale);
}

// What the last note is where it is that of a row.
static void
learn_last_note(Body *b)
{
  if (b->last.row) {
    const AbcNotes last = abc_last_of_row(b->last.row, &b->scale, b->rhythm.unit);
    b->last = (LastNote){ last.length, last.tones, NO_NOTE, NULL };
  }
}

// Goes on after a bar that was ended.
static gboolean
pass_bar_end(Body *b, AbcBarEnd end, GError **error)
{
  switch (end) {
  case ABC_BAR_EMPTY:
    return TRUE;
  case ABC_BAR_TOO_LONG:
    return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the bar that ends here is longer than a bar may be",
                    error);
  case ABC_BAR_ENDED:
    break;
  }
  start_bar(b);
  return check_limits(b, error);
}

static gboolean
end_bar(Body *b, const AbcBarLine *line, GError **error)
{
  if (b->bars.opened && line->closes > b->bars.opened) {
    remark(b, RC_REMARK_REPEATS, abc_place(&b->cursor, b->cursor.at), (AbcText){ NULL, NULL });
  }
  if (abc_chord_waits(&b->bars)) {
    learn_last_note(b);
  }
  return pass_bar_end(b, abc_end_bar(&b->bars, line, b->last.length), error);
}

static gboolean
read_bar_line(Body *b, GError **error)
{
  if (b->symbol_lines.n && b->bars.pos) {
    abc_pass_symbol_bars(&b->symbol_lines);
  }
  if (abc_is_plain_line(b->cursor.at)) {
    ++b->cursor.at;
    if (abc_chord_waits(&b->bars)) {
      learn_last_note(b);
    }
    return pass_bar_end(b, abc_end_plain_bar(&b->bars, b->last.length), error);
  }
  AbcBarLine line;
  abc_read_bar_line(&b->cursor, &line);
  return end_bar(b, &line, error);
}

// "[1" without a line.
static gboolean
read_ending(Body *b, GError **error)
{
  const AbcBarLine line = { .endings = abc_read_ending(&b->cursor) };
  return end_bar(b, &line, error);
}

// ----------------------------------------------------------------------------------------------------------- chords

// A chord that has waited since before the bar without a note of its own gets half of the last one, where the file
// means it so; else it is lost.
static void
settle_late_chord(Body *b)
{
  AbcHabits *habits = &b->music->habits;
  const AbcPlace place = { b->bars.event->line, b->bars.event->column };
  const char *symbol = rc_tune_symbol(b->music->tune, b->bars.event->symbol)->text;
  const AbcText text = { symbol, symbol + strlen(symbol) };
  ++habits->met[ABC_HABIT_LATE_CHORDS];
  if (habits->followed[ABC_HABIT_LATE_CHORDS] && abc_share_last_note(&b->bars, b->before_bar)) {
    remark(b, RC_REMARK_LATE_CHORDS, place, text);
  } else {
    remark(b, RC_REMARK_LOST_CHORDS, place, text);
  }
}

static void
remark_readings(Body *b, guint readings, AbcPlace place, AbcText text)
{
  if (!readings) {
    return;
  }
  if (readings & ABC_READ_FIRST) {
    remark(b, RC_REMARK_ALTERNATIVES, place, text);
  }
  if (readings & (ABC_READ_SHARP_BASS | ABC_READ_HABIT)) {
    remark(b, RC_REMARK_HABIT, place, text);
  }
  if (readings & ABC_READ_SMALL) {
    remark(b, RC_REMARK_SMALL, place, text);
  }
}

// Begins a chord at the next note; one that still waits from before the bar is settled.
static void
begin_chord(Body *b, guint symbol, AbcPlace place)
{
  if (abc_chord_waits(&b->bars) && b->bars.late) {
    settle_late_chord(b);
  }
  abc_begin_chord(&b->bars, symbol, place);
}

// Remembers a symbol whose text is read as it is written.
static void
remember_chord(Body *b, AbcText text, guint index)
{
  const RcSymbol *symbol = rc_tune_symbol(b->music->tune, index);
  if (symbol->kind != RC_SYMBOL_UNREAD && !strncmp(symbol->text, text.at, abc_length(text)) &&
      !symbol->text[abc_length(text)]) {
    abc_known_add(&b->music->known, text, index);
  }
}

// Whether a chord is in brackets, as one that may be left out is.
static gboolean
is_optional(const AbcWord *word)
{
  return *word->text.at == '(';
}

// Of several chords on a note the first is played, one in brackets only where there is no other.
static void
take_chord(Body *b, const AbcWord *word, AbcCursor *line)
{
  const AbcPlace place = abc_place(line, word->text.at);
  const gboolean second = abc_chord_waits(&b->bars) && !b->bars.late;
  const AbcSymbol symbol =
    abc_find_symbol(b->music->symbols, b->music->tune, word->text, line->ascii, &b->music->habits);
  if (symbol.readings & ABC_READ_WORDS) {
    remark(b, RC_REMARK_WORDS, place, word->text);
    return;
  }
  b->music->chords = TRUE;
  if (second) {
    remark(b, RC_REMARK_ALTERNATIVES, place, word->text);
  }
  if (second && (!b->optional || is_optional(word))) {
    return;
  }
  remark_readings(b, symbol.readings, place, word->text);
  remember_chord(b, word->text, symbol.index);
  b->optional = is_optional(word);
  b->chord = symbol.index;
  begin_chord(b, symbol.index, place);
}

// "/F#" is the last chord over F sharp.
static void
take_over(Body *b, const AbcWord *word, AbcCursor *line)
{
  const AbcPlace place = abc_place(line, word->text.at);
  const AbcText bass = { word->text.at + 1, word->text.end };
  guint index = 0;
  if (b->chord == NO_NOTE || !abc_find_over_bass(b->music->symbols, b->music->tune, b->chord, bass, &index)) {
    remark(b, RC_REMARK_BASS_RUNS, place, word->text);
  } else if (abc_chord_waits(&b->bars) && !b->bars.late) {
    b->bars.event->symbol = index;
  } else {
    begin_chord(b, index, place);
  }
}

// "D""f#" is D over F sharp; alone it is a step of the bass under a chord that goes on.
static void
take_bass(Body *b, const AbcWord *word, AbcCursor *line)
{
  const AbcPlace place = abc_place(line, word->text.at);
  RcEvent *event = b->bars.event;
  guint index = 0;
  if (abc_chord_waits(&b->bars) && !b->bars.late &&
      abc_find_over_bass(b->music->symbols, b->music->tune, event->symbol, word->text, &index)) {
    event->symbol = index;
    remark(b, RC_REMARK_BASS_NOTES, place, word->text);
  } else {
    remark(b, RC_REMARK_BASS_RUNS, place, word->text);
  }
}

// What is written among the chords at @p line.
static void
take_word(Body *b, const AbcWord *word, AbcCursor *line)
{
  switch (word->kind) {
  case ABC_WORD_NOTE:
    if (word->text.at < word->text.end && abc_hides_chord(word->text)) {
      remark(b, RC_REMARK_ANNOTATIONS, abc_place(line, word->text.at), word->text);
    }
    break;
  case ABC_WORD_JUMP:
    b->bars.marks->jumps |= word->jumps;
    break;
  case ABC_WORD_CHORD:
    take_chord(b, word, line);
    break;
  case ABC_WORD_BASS:
    take_bass(b, word, line);
    break;
  case ABC_WORD_OVER:
    take_over(b, word, line);
    break;
  }
}

// A symbol that was read before, where there is nothing else to think of.
static gboolean
read_known_chord(Body *b)
{
  const char *start = b->cursor.at + 1;
  AbcKnown *known = &b->music->known;
  AbcKnownChord *chord = abc_known_find(known, abc_short_text(start));
  if (!chord || b->bars.overlay || abc_chord_waits(&b->bars)) {
    return FALSE;
  }
  if (chord->tune != known->tune) {
    abc_known_add(known, (AbcText){ start, start + chord->length },
                  rc_symbols_index(b->music->symbols, start, chord->length));
    b->music->chords = TRUE;
  }
  b->optional = FALSE;
  b->chord = chord->symbol;
  abc_begin_chord(&b->bars, chord->symbol, abc_place(&b->cursor, start));
  b->cursor.at = start + chord->length + 1;
  return TRUE;
}

static gboolean
read_word(Body *b, GError **error)
{
  const char *start = b->cursor.at + 1;
  const char *close = start;
  while (*close != '"') {
    if (abc_ends_line(*close)) {
      return abc_fail(&b->cursor, b->cursor.at, RC_ERROR_SYNTAX,
                      "a chord symbol begins here and has no closing quote on its line", error);
    }
    ++close;
  }
  b->cursor.at = close + 1;
  if (!b->bars.overlay) {
    AbcWord word;
    abc_read_word(start, close, &word);
    take_word(b, &word, &b->cursor);
  }
  return TRUE;
}

static gboolean
read_string(Body *b, GError **error)
{
  const gboolean good = read_known_chord(b) || read_word(b, error);
  return good && (b->music->tune->symbols->len <= RC_MAX_SYMBOLS || check_limits(b, error));
}

// Takes what the symbol lines have for the note that was read; nothing more once the tune has too many symbols, which
// the bar's end tells.
static void
take_symbols(Body *b)
{
  for (guint i = 0; i < b->symbol_lines.n && b->music->tune->symbols->len <= RC_MAX_SYMBOLS; ++i) {
    AbcCursor *line = &b->symbol_lines.lines[i];
    AbcWord word;
    if (abc_take_symbol(line, &word)) {
      take_word(b, &word, line);
    }
  }
}

// ------------------------------------------------------------------------------------------------------------ notes

static void
keep_note(Body *b, const AbcNotes *notes)
{
  const RcTicks start = b->bars.pos;
  const AbcNote note = { b->bars.n_bars,      start, start + notes->length, notes->tones, (guint8)notes->pitch,
                         *b->cursor.at == '-' };
  b->last.kept = b->music->notes->len;
  g_array_append_val(b->music->notes, note);
}

// Lets what sounded before go on, up to a note that ends at `at`.
static void
hold(Body *b, const char *at)
{
  abc_hold(&b->bars, rc_symbols_held(b->music->symbols), abc_place(&b->cursor, at));
}

// Lets what was read sound, after what sounded before where no chord is written.
static void
sound(Body *b, const AbcNotes *notes)
{
  if (abc_lacks_chord(&b->bars)) {
    hold(b, b->cursor.at);
  }
  b->last = (LastNote){ notes->length, notes->tones, NO_NOTE, NULL };
  if (notes->tones && b->music->keeps_notes && !b->bars.overlay) {
    keep_note(b, notes);
  }
  abc_pass(&b->bars, notes->length, notes->tones);
}

// Whether nothing but a tuplet is in force that changes notes to come. Asked all at once, since mostly there is
// nothing.
static gboolean
is_calm(const Body *b)
{
  return !((guint)b->rhythm.broken | (guint)b->bars.overlay | (guint)b->scale.any_in_octave | b->symbol_lines.n |
           (guint)b->music->keeps_notes);
}

static gboolean
read_row(Body *b)
{
  AbcNotes row;
  const char *start = b->cursor.at;
  if (b->rhythm.tuplet_left || !is_calm(b) || !abc_read_row(&b->cursor, &b->scale, b->rhythm.unit, &row)) {
    return FALSE;
  }
  if (row.length) {
    if (abc_lacks_chord(&b->bars)) {
      hold(b, abc_first_of_row(start));
    }
    b->last.row = b->cursor.at;
    abc_pass(&b->bars, row.length, row.tones);
  }
  return TRUE;
}

// A tuplet, and its notes where they are letters alone.
static void
read_tuplet(Body *b)
{
  AbcRhythm *rhythm = &b->rhythm;
  abc_read_tuplet(&b->cursor, b->state.setting.meter, rhythm);
  const guint n = rhythm->tuplet_left;
  const char *start = b->cursor.at;
  RcPcSet tones = 0;
  if (!is_calm(b) || !abc_read_letters(&b->cursor, &b->scale, n, &tones)) {
    return;
  }
  if (abc_lacks_chord(&b->bars)) {
    hold(b, start + 1);
  }
  const RcTicks length = rhythm->unit * rhythm->tuplet_q / rhythm->tuplet_p;
  rhythm->tuplet_left = 0;
  b->last = (LastNote){ length, b->scale.sounds[(guchar)b->cursor.at[-1]], NO_NOTE, NULL };
  abc_pass(&b->bars, n * length, tones);
}

static void
read_note(Body *b)
{
  AbcNotes notes;
  if (abc_read_note(&b->cursor, &b->scale, &b->rhythm, &notes)) {
    if (b->symbol_lines.n && !b->bars.overlay) {
      take_symbols(b);
    }
    sound(b, &notes);
  }
}

// Texts in quotes between the brackets of notes at once are as those before them; the cursor stays where it is.
static gboolean
read_inner_strings(Body *b, char close, GError **error)
{
  const char *start = b->cursor.at;
  gboolean good = TRUE;
  for (++b->cursor.at; good && *b->cursor.at != close && *b->cursor.at != '|' && !abc_ends_line(*b->cursor.at);) {
    if (*b->cursor.at == '"') {
      good = read_string(b, error);
    } else {
      ++b->cursor.at;
    }
  }
  b->cursor.at = start;
  return good;
}

static gboolean
read_unison(Body *b, char close, GError **error)
{
  if (!read_inner_strings(b, close, error)) {
    return FALSE;
  }
  const AbcNotes notes = abc_read_unison(&b->cursor, close, &b->scale, &b->rhythm);
  if (b->symbol_lines.n && notes.tones && !b->bars.overlay) {
    take_symbols(b);
  }
  sound(b, &notes);
  return TRUE;
}

static void
read_rest(Body *b)
{
  const AbcNotes rest = abc_read_rest(&b->cursor, &b->rhythm);
  sound(b, &rest);
}

static gboolean
read_long_rest(Body *b, GError **error)
{
  const RcTicks bar = rc_meter_bar(b->state.setting.meter);
  const AbcNotes rest = { .length = bar };
  for (guint left = abc_read_long_rest(&b->cursor); left; --left) {
    sound(b, &rest);
    if (left > 1 && !end_bar(b, &(AbcBarLine){ 0 }, error)) {
      return FALSE;
    }
  }
  return TRUE;
}

static void
read_broken(Body *b)
{
  learn_last_note(b);
  const RcTicks length = abc_read_broken(&b->cursor, b->last.length, &b->rhythm);
  b->bars.pos += length - b->last.length;
  if (b->last.kept != NO_NOTE) {
    AbcNote *note = &g_array_index(b->music->notes, AbcNote, b->last.kept);
    note->end = note->start + length;
  }
  b->last.length = length;
}

// ----------------------------------------------------------------------------------------------------------- fields

// A setting that is replaced before any note counts for nothing.
static void
change_setting(Body *b)
{
  GArray *settings = b->music->tune->settings;
  const gboolean at_once = !b->bars.overlay && b->setting_bar == b->bars.n_bars && b->setting_pos == b->bars.pos;
  if (at_once) {
    g_array_set_size(settings, b->bars.setting);
  }
  b->bars.setting = settings->len;
  b->setting_bar = b->bars.n_bars;
  b->setting_pos = b->bars.pos;
  b->rhythm.unit = abc_unit(&b->state);
  g_array_append_val(settings, b->state.setting);
  if (!b->bars.pos) {
    b->bars.event->setting = b->bars.setting;
  }
}

static gboolean
read_value(Body *b, char name, AbcText text)
{
  switch (name) {
  case 'K':
    return abc_read_key(text, &b->state);
  case 'M':
    return abc_read_meter(text, &b->state);
  case 'Q':
    return abc_read_tempo(text, &b->state);
  default:
    return abc_read_length(text, &b->state);
  }
}

// Key, meter, tempo and length; TRUE where it changes what notes and chords are read by.
static gboolean
read_setting(Body *b, char name, AbcText text)
{
  if (name != 'K' && name != 'M' && name != 'Q' && name != 'L') {
    return FALSE;
  }
  const gboolean good = read_value(b, name, text);
  if (good && name == 'K') {
    abc_learn_key(&b->scale, b->state.accidentals);
  }
  abc_remark_setting(b->music, name, text, good || name == 'Q',
                     abc_place(&b->cursor, abc_trim(text).at)); // Q: may be words
  return good;
}

// "P:Fine" says what a decoration says.
static void
mark_jumps(Body *b, guint jumps)
{
  const guint ends = jumps & RC_JUMP_ENDS;
  b->bars.marks->jumps |= jumps & ~ends;
  if (b->bars.n_bars) {
    b->bars.marks[-1].jumps |= ends;
  }
}

// A part begins, which also ends an ending before it.
static gboolean
read_part(Body *b, AbcText text, GError **error)
{
  const AbcText label = abc_trim(text);
  const guint jumps = abc_jump(label);
  if (!end_bar(b, &(AbcBarLine){ .breaks = !jumps }, error)) {
    return FALSE;
  }
  if (jumps) {
    mark_jumps(b, jumps);
  } else {
    const AbcPartMark mark = { label, b->bars.n_bars };
    g_array_append_val(b->music->part_marks, mark);
  }
  return TRUE;
}

static gboolean
find_voice(Voices *voices, const char *name, gsize length)
{
  for (voices->current = 0; voices->current < voices->names->len; ++voices->current) {
    const char *known = g_ptr_array_index(voices->names, voices->current);
    if (!strncmp(known, name, length) && !known[length]) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
switch_voice(Body *b, AbcText text, GError **error)
{
  Voices *voices = &b->voices;
  text = abc_trim(text);
  gsize n = 0;
  while (text.at + n < text.end && !g_ascii_isspace(text.at[n])) {
    ++n;
  }
  voices->names = voices->names ? voices->names : g_ptr_array_new_with_free_func(g_free);
  if (!voices->names->len && (b->bars.n_bars || b->bars.pos)) {
    g_ptr_array_add(voices->names, g_strdup("1")); // the music before the first V: is a voice of its own
  }
  if (find_voice(voices, text.at, n)) {
    return TRUE;
  }
  g_ptr_array_add(voices->names, g_strndup(text.at, n));
  return voices->names->len <= MAX_VOICES ||
         abc_fail(&b->cursor, b->cursor.at, RC_ERROR_LIMIT, "the tune has more than 1024 voices", error);
}

static void
note_chord_voice(Body *b)
{
  b->music->chord_voice = MIN(b->music->chord_voice, b->voices.current);
}

// A symbol line of a voice that is not read: whether it holds a chord.
static void
watch_symbol_line(Body *b, AbcText text)
{
  while ((text.at = memchr(text.at, '"', abc_length(text)))) {
    if (!abc_is_annotation(++text.at)) {
      note_chord_voice(b);
    }
    const char *close = memchr(text.at, '"', abc_length(text));
    text.at = close ? close + 1 : text.end;
  }
}

// A field in the body, on a line of its own or in brackets; fields of voices that are not read do not touch ours.
static gboolean
read_field(Body *b, char name, AbcText text, GError **error)
{
  switch (name) {
  case 'V':
    return switch_voice(b, text, error);
  case 'P':
    return read_part(b, text, error);
  case 'U':
    abc_read_user_symbol(text, &b->state);
    return TRUE;
  case 'I':
    abc_read_directive(text, &b->state);
    b->scale.propagation = b->state.propagation;
    return TRUE;
  default:
    break;
  }
  if (is_wanted(b)) {
    if (read_setting(b, name, text)) {
      change_setting(b);
    }
  } else if (name == 's') {
    watch_symbol_line(b, text);
  }
  return TRUE;
}

// "[K:G]"
static gboolean
read_inline_field(Body *b, GError **error)
{
  const char name = b->cursor.at[1];
  const char *start = b->cursor.at + 3;
  const char *close = start + strcspn(start, "]\n");
  b->cursor.at = close + (*close == ']');
  return read_field(b, name, (AbcText){ start, close }, error);
}

// -------------------------------------------------------------------------------------------------------- decorations

// Whether a text between two "+" is a chord as old collections write it, "+CEG+": notes, and not "+ff+", which is
// loud.
static gboolean
is_old_chord(AbcText text)
{
  guint notes = 0;
  gboolean only_f = TRUE;
  for (const char *at = text.at; at < text.end; ++at) {
    const char lower = g_ascii_tolower(*at);
    notes += lower >= 'a' && lower <= 'g';
    only_f &= *at == 'f';
    if ((lower < 'a' || lower > 'g') && !strchr("^_=,'/", *at) && !g_ascii_isdigit(*at)) {
      return FALSE;
    }
  }
  return notes > 1 && !only_f;
}

static gboolean
read_old_chord(Body *b, const char *close, GError **error)
{
  AbcHabits *habits = &b->music->habits;
  ++habits->met[ABC_HABIT_CHORDS];
  if (habits->followed[ABC_HABIT_CHORDS]) {
    remark(b, RC_REMARK_OLD_CHORDS, abc_place(&b->cursor, b->cursor.at), (AbcText){ NULL, NULL });
    return read_unison(b, '+', error);
  }
  b->cursor.at = close + 1;
  return TRUE;
}

// "!trill!" or "+trill+"; a sign alone on its line says nothing.
static gboolean
read_decoration(Body *b, GError **error)
{
  const char sign = *b->cursor.at;
  const char *close = b->cursor.at + 1;
  while (*close != sign && *close != '|' && !abc_ends_line(*close)) {
    ++close;
  }
  const AbcText text = { b->cursor.at + 1, close };
  if (*close != sign) {
    ++b->cursor.at;
  } else if (sign == '+' && is_old_chord(text)) {
    return read_old_chord(b, close, error);
  } else {
    b->bars.marks->jumps |= abc_jump(text);
    b->cursor.at = close + 1;
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ signs

// Whether a bracket closes before a bar line, as it does around notes; else a text after it names an ending.
static gboolean
closes_in_bar(const char *bracket)
{
  return bracket[strcspn(bracket, "]|\n")] == ']';
}

// "[": a bar line, an ending, a field, or notes at once.
static gboolean
read_bracket(Body *b, GError **error)
{
  const char next = b->cursor.at[1];
  if (next == '|' || next == ']') {
    return read_bar_line(b, error);
  }
  if (g_ascii_isdigit(next)) {
    return read_ending(b, error);
  }
  if (g_ascii_isalpha(next) && b->cursor.at[2] == ':') {
    return read_inline_field(b, error);
  }
  if (next == '"' && !closes_in_bar(b->cursor.at)) {
    b->cursor.at += 2;
    abc_skip_past(&b->cursor, '"');
    return TRUE;
  }
  return read_unison(b, ']', error);
}

// Blanks, slurs, ties, continuation, decorations of one letter: of these only a letter that means a jump counts.
static void
read_small_sign(Body *b)
{
  b->bars.marks->jumps |= abc_letter_jump(&b->state, *b->cursor.at);
  ++b->cursor.at;
}

// What belongs to notes.
static gboolean
read_note_sign(Body *b, GError **error)
{
  switch (*b->cursor.at) {
  case '^':
  case '_':
  case '=':
    read_note(b);
    return TRUE;
  case 'z':
  case 'x':
    read_rest(b);
    return TRUE;
  case '>':
  case '<':
    read_broken(b);
    return TRUE;
  case '{':
    abc_skip_past(&b->cursor, '}');
    return TRUE;
  case '!':
  case '+':
    return read_decoration(b, error);
  case '%':
    b->cursor.at = abc_line_end(b->cursor.at);
    return TRUE;
  default:
    read_small_sign(b);
    return TRUE;
  }
}

static gboolean
read_sign(Body *b, GError **error)
{
  const char next = b->cursor.at[1];
  switch (*b->cursor.at) {
  case '|':
    return read_bar_line(b, error);
  case '"':
    return read_string(b, error);
  case '[':
    return read_bracket(b, error);
  case ':':
    if (next == '|' || next == ':' || next == ']') {
      return read_bar_line(b, error);
    }
    break;
  case 'Z':
  case 'X':
    return read_long_rest(b, error);
  case '(':
    if (g_ascii_isdigit(next)) {
      read_tuplet(b);
      return TRUE;
    }
    break;
  case '&':
    ++b->cursor.at;
    abc_start_overlay(&b->bars);
    return TRUE;
  default:
    break;
  }
  return read_note_sign(b, error);
}

// In a voice that is not read only what can lead out of it counts.
static gboolean
skip_other_voice(Body *b, GError **error)
{
  AbcCursor *c = &b->cursor;
  if (*c->at == '"') {
    ++c->at;
    if (!abc_is_annotation(c->at) && !abc_ends_line(*c->at)) {
      note_chord_voice(b);
    }
    abc_skip_past(c, '"');
  } else if (*c->at == '%') {
    c->at = abc_line_end(c->at);
  } else if (*c->at == '[' && c->at[1] == 'V' && c->at[2] == ':') {
    return read_inline_field(b, error);
  } else {
    ++c->at;
  }
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------------ lines

static gboolean
read_music_line(Body *b, GError **error)
{
  if (b->music->symbol_lines) {
    b->symbol_lines = abc_find_symbol_lines(&b->cursor, b->end);
  }
  gboolean good = TRUE;
  while (good && !abc_ends_line(*b->cursor.at)) {
    if (!is_wanted(b)) {
      good = skip_other_voice(b, error);
    } else if (*b->cursor.at == '"') {
      good = read_string(b, error);
    } else if (*b->cursor.at == '|') {
      good = read_bar_line(b, error);
    } else if (abc_may_begin_row(*b->cursor.at) && read_row(b)) {
      continue;
    } else if (b->scale.sounds[(guchar)*b->cursor.at]) {
      read_note(b);
    } else {
      good = read_sign(b, error);
    }
  }
  return good;
}

// A field on a line of its own; those that may not be in a body, section 3, are no music either: "Z:", but "G:|" is.
static gboolean
is_field_line(const char *line)
{
  return (g_ascii_isalpha(*line) || *line == '+') && line[1] == ':' && line[2] != '|' && line[2] != ':' &&
         line[2] != ']';
}

// "%%begintext" to "%%endtext" and the like, section 11.4.2: what is between them is no music.
static void
read_comment(Body *b, const char *line)
{
  if (!strncmp(line, "%%begin", 7)) {
    b->in_text = TRUE;
  } else if (!strncmp(line, "%%end", 5)) {
    b->in_text = FALSE;
  } else if (!strncmp(line, "%%", 2)) {
    abc_read_directive((AbcText){ line + 2, abc_line_end(line) }, &b->state);
    b->scale.propagation = b->state.propagation;
  }
}

static gboolean
read_line(Body *b, GError **error)
{
  const char *line = b->cursor.at;
  if (*line != '%' && !b->in_text && !is_field_line(line)) {
    return read_music_line(b, error);
  }
  b->cursor.at = abc_line_end(line);
  if (*line == '%') {
    read_comment(b, line);
  } else if (!b->in_text) {
    return read_field(b, *line, (AbcText){ line + 2, b->cursor.at }, error);
  }
  return TRUE;
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

static void
start_body(Body *b, AbcMusic *music, AbcText text, AbcState state, guint voice)
{
  memset(b, 0, sizeof *b);
  b->music = music;
  b->end = text.end;
  b->state = state;
  b->voices.wanted = voice;
  b->rhythm.unit = abc_unit(&state);
  b->state.unit = b->rhythm.unit; // a meter change in the body does not change it, section 3.1.7
  b->scale.propagation = state.propagation;
  b->scale.pitches = music->keeps_notes;
  b->last.kept = NO_NOTE;
  b->chord = NO_NOTE;
  music->chord_voice = G_MAXUINT;
  abc_learn_key(&b->scale, state.accidentals);
  abc_start_bars(&b->bars, music->tune, music->marks);
}

static gboolean
read_lines(Body *b, guint number, GError **error)
{
  for (; b->cursor.at < b->end; ++number) {
    abc_start_line(&b->cursor, b->cursor.at, number);
    if (!read_line(b, error)) {
      return FALSE;
    }
    b->cursor.at += *b->cursor.at == '\n';
  }
  return TRUE;
}

// Ends the last bar; a chord that still waits has no note to begin with.
static gboolean
end_body(Body *b, GError **error)
{
  if (!end_bar(b, &(AbcBarLine){ .breaks = TRUE }, error)) {
    return FALSE;
  }
  if (b->bars.waiting) {
    settle_late_chord(b);
  }
  return TRUE;
}

gboolean
abc_read_music(AbcMusic *music, AbcText body, AbcState state, const char *file, guint line, guint voice, GError **error)
{
  Body b;
  start_body(&b, music, body, state, voice);
  b.cursor = (AbcCursor){ .at = body.at, .line = body.at, .ascii = is_ascii(body), .file = file };
  const gboolean good = read_lines(&b, line, error) && end_body(&b, error);
  abc_finish_bars(&b.bars);
  g_clear_pointer(&b.voices.names, g_ptr_array_unref);
  return good;
}
