// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ABC 2.1, read once from start to end. A buffer holds the tune being read: from its X: line to the next empty line.
// Text between tunes is passed over, fields of a file's head are kept for all its tunes.

#include "corpus/abc/abc.h"
#include "corpus/format.h"
#include "corpus/reader.h"

#include <string.h>

enum { FIRST_BUFFER = 256 << 10, HABIT = 2 };

typedef struct {
  RcSource *source;
  const char *name;
  RcCorpusOptions options;
  char *buffer;
  gsize size;
  gsize length; // bytes in the buffer
  gsize at;     // the next one to look at
  gboolean ended;
  guint line;    // of the next byte, from 1
  AbcState head; // what the file's head sets
  char *head_rhythm;
  gboolean in_head;                   // no tune yet
  gboolean cr_only;                   // lines end with a carriage return alone
  guint habits[ABC_N_HABITS];         // ways of old collections met in the file, by AbcHabit
  gboolean read_habits[ABC_N_HABITS]; // the file has them
  gboolean told_habits[ABC_N_HABITS]; // and that was said
  gboolean failed;                    // reading failed, and that was reported
  AbcMusic music;
  GArray *melody; // of AbcNote: notes of the first voice where the chords are in another
} RcAbcReader;

static gpointer
start_reading(RcSource *source, RcCorpusOptions options)
{
  RcAbcReader *r = g_new0(RcAbcReader, 1);
  r->source = source;
  r->name = rc_source_name(source);
  r->options = options;
  r->size = FIRST_BUFFER;
  r->buffer = g_malloc(r->size + 1);
  r->line = 1;
  r->head = abc_state_start();
  r->in_head = TRUE;
  r->music.symbols = rc_symbols_new();
  r->music.marks = g_array_new(FALSE, FALSE, sizeof(RcBarMarks));
  r->music.notes = g_array_new(FALSE, FALSE, sizeof(AbcNote));
  r->music.part_marks = g_array_new(FALSE, FALSE, sizeof(AbcPartMark));
  r->melody = g_array_new(FALSE, FALSE, sizeof(AbcNote));
  return r;
}

static void
end_reading(gpointer reader)
{
  RcAbcReader *r = reader;
  if (r) {
    g_free(r->buffer);
    g_free(r->head_rhythm);
    rc_symbols_free(r->music.symbols);
    g_array_unref(r->music.marks);
    g_array_unref(r->music.notes);
    g_array_unref(r->music.part_marks);
    g_array_unref(r->melody);
    g_free(r);
  }
}

// ---------------------------------------------------------------------------------------------------------- buffer

static void
replace(char *text, gsize length, char old, char new)
{
  const char *end = text + length;
  for (char *at = text; (at = memchr(at, old, (gsize)(end - at))); ++at) {
    *at = new;
  }
}

// Whether lines end with a carriage return alone, as the first stretch of a file shows.
static gboolean
has_cr_only(const char *text, gsize length)
{
  const char *cr = memchr(text, '\r', length);
  return cr && cr + 1 < text + length && !memchr(text, '\n', length);
}

// Reads more behind what is there, moving what is left to the front first; FALSE at the end or where a tune is too
// long. A zero byte stands behind all.
static gboolean
fill(RcAbcReader *r)
{
  if (r->at) {
    memmove(r->buffer, r->buffer + r->at, r->length - r->at);
    r->length -= r->at;
    r->at = 0;
  }
  if (r->length == r->size) {
    if (r->size > RC_MAX_TUNE_BYTES) {
      return FALSE;
    }
    r->size *= 2;
    r->buffer = g_realloc(r->buffer, r->size + 1);
  }
  char *more = r->buffer + r->length;
  const gsize n = rc_source_read(r->source, more, r->size - r->length);
  r->cr_only |= r->line == 1 && !r->length && has_cr_only(more, n);
  if (r->cr_only) {
    replace(more, n, '\r', '\n');
  }
  replace(more, n, '\0', '?'); // it is no text and would end it
  r->length += n;
  r->buffer[r->length] = '\0';
  r->ended |= !n;
  return n > 0;
}

// Finds the line `offset` bytes behind the next byte, reading more where it is not whole. FALSE at the end; a line
// longer than a tune may be comes in pieces.
static gboolean
line_at(RcAbcReader *r, gsize offset, AbcText *line, gsize *length)
{
  gsize searched = 0;
  for (;;) {
    const char *start = r->buffer + r->at + offset;
    const gsize there = r->length - r->at - offset;
    const char *newline = memchr(start + searched, '\n', there - searched);
    if (newline) {
      *line = (AbcText){ start, newline };
      *length = (gsize)(newline - start) + 1;
      return TRUE;
    }
    searched = there;
    if (r->ended || !fill(r)) {
      start = r->buffer + r->at + offset;
      *line = (AbcText){ start, start + there };
      *length = there;
      return there > 0;
    }
  }
}

static gboolean
is_blank_line(AbcText line)
{
  while (line.at < line.end && (*line.at == ' ' || *line.at == '\t' || *line.at == '\r')) {
    ++line.at;
  }
  return line.at == line.end;
}

static gboolean
is_field(AbcText line, char name)
{
  return line.end - line.at >= 2 && line.at[0] == name && line.at[1] == ':';
}

static gboolean
is_directive(AbcText line)
{
  return line.end - line.at >= 2 && line.at[0] == '%' && line.at[1] == '%';
}

// What stands behind a field's name or the signs of a directive.
static AbcText
value_of(AbcText line)
{
  return (AbcText){ line.at + 2, line.end };
}

static void
read_head_field(RcAbcReader *r, AbcText line)
{
  if (is_field(line, 'L')) {
    abc_read_length(value_of(line), &r->head);
  } else if (is_field(line, 'M')) {
    abc_read_meter(value_of(line), &r->head);
  } else if (is_field(line, 'Q')) {
    abc_read_tempo(value_of(line), &r->head);
  } else if (is_field(line, 'I') || is_directive(line)) {
    abc_read_directive(value_of(line), &r->head);
  } else if (is_field(line, 'U')) {
    abc_read_user_symbol(value_of(line), &r->head);
  } else if (is_field(line, 'R')) {
    g_free(r->head_rhythm);
    r->head_rhythm = abc_text_to_utf8(abc_trim(value_of(line)));
  }
}

// Moves to the next X: line; FALSE at the end.
static gboolean
find_tune(RcAbcReader *r)
{
  AbcText line;
  gsize length = 0;
  if (r->line == 1 && line_at(r, 0, &line, &length) && length >= 3 && !memcmp(line.at, "\xEF\xBB\xBF", 3)) {
    r->at += 3; // a byte order mark, section 2.2
  }
  while (line_at(r, 0, &line, &length)) {
    if (is_field(line, 'X')) {
      r->in_head = FALSE;
      return TRUE;
    }
    if (r->in_head) {
      read_head_field(r, line);
    }
    r->at += length;
    ++r->line;
  }
  return FALSE;
}

typedef struct {
  AbcText text;
  guint line; // of its first line
  guint lines;
  gboolean symbol_lines; // it holds some
} Block;

// The tune from its X: line to the next empty line or X:, as it stands in the buffer. FALSE where it is too long.
static gboolean
read_block(RcAbcReader *r, Block *block)
{
  gsize offset = 0;
  gsize length = 0;
  AbcText line;
  *block = (Block){ .line = r->line };
  while (offset <= RC_MAX_TUNE_BYTES && line_at(r, offset, &line, &length)) {
    if (offset && (is_blank_line(line) || is_field(line, 'X'))) {
      break;
    }
    block->symbol_lines |= is_field(line, 's');
    offset += length;
    ++block->lines;
  }
  block->text = (AbcText){ r->buffer + r->at, r->buffer + r->at + offset };
  r->at += offset;
  r->line += block->lines;
  return offset <= RC_MAX_TUNE_BYTES;
}

// ---------------------------------------------------------------------------------------------------------- header

typedef struct {
  AbcState state;
  AbcText title;
  AbcText rhythm;
  AbcText tempo; // Q:
  AbcText order; // P:
  AbcText *open; // the text that a line "+:" would go on, or NULL
  AbcText body;
  guint body_line;
  gboolean symbol_lines;
  gboolean has_key;
} Header;

static gboolean
fail_field(const RcAbcReader *r, guint line, AbcText text, const char *expected, GError **error)
{
  text = abc_trim(text);
  char *found = abc_text_to_utf8(text);
  *g_utf8_offset_to_pointer(found, MIN(g_utf8_strlen(found, -1), 40)) = '\0';
  rc_fail(error, RC_ERROR_VALUE, (RcPlace){ r->name, line, 3 }, "found `%s`; expected %s", found, expected);
  g_free(found);
  return FALSE;
}

// A text, which a line "+:" may go on; section 3.3.
static void
set_text(Header *header, AbcText *text, AbcText value)
{
  *text = abc_trim(value);
  header->open = text;
}

static void
continue_text(Header *header, AbcText value)
{
  if (header->open) {
    header->open->end = abc_trim(value).end;
  }
}

static gboolean
read_header_field(RcAbcReader *r, char name, AbcText value, guint number, Header *header, GError **error)
{
  switch (name) {
  case 'T':
    if (!header->title.at) {
      set_text(header, &header->title, value);
    }
    return TRUE;
  case 'R':
    set_text(header, &header->rhythm, value);
    return TRUE;
  case 'P':
    set_text(header, &header->order, value);
    return TRUE;
  case 'I':
    abc_read_directive(value, &header->state);
    return TRUE;
  case 'U':
    abc_read_user_symbol(value, &header->state);
    return TRUE;
  case 'Q':
    header->tempo = value; // old forms count units, which L: may still set
    return TRUE;
  case 'L':
    return abc_read_length(value, &header->state) || fail_field(r, number, value, "a note length such as 1/8", error);
  case 'M':
    return abc_read_meter(value, &header->state) ||
           fail_field(r, number, value, "a meter such as 3/4, C, C| or none", error);
  case 'K':
    header->has_key = TRUE;
    return abc_read_key(value, &header->state) ||
           fail_field(r, number, value, "a key such as D, Bm, Edor, HP or none", error);
  default:
    return TRUE;
  }
}

static gboolean
read_header_line(RcAbcReader *r, AbcText line, guint number, Header *header, GError **error)
{
  const AbcText value = value_of(line);
  if (is_field(line, '+')) {
    continue_text(header, value);
  } else if (is_directive(line)) {
    abc_read_directive(value, &header->state);
  } else if (line.end - line.at >= 2 && line.at[1] == ':') {
    header->open = NULL;
    return read_header_field(r, *line.at, value, number, header, error);
  }
  return TRUE;
}

static gboolean
read_header(RcAbcReader *r, const Block *block, Header *header, GError **error)
{
  *header = (Header){ .state = r->head, .body_line = block->line, .symbol_lines = block->symbol_lines };
  const char *at = block->text.at;
  while (at < block->text.end && !header->has_key) {
    const char *newline = memchr(at, '\n', (gsize)(block->text.end - at));
    const AbcText line = { at, newline ? newline : block->text.end };
    if (!read_header_line(r, line, header->body_line, header, error)) {
      return FALSE;
    }
    ++header->body_line;
    at = newline ? newline + 1 : block->text.end;
  }
  header->body = (AbcText){ at, block->text.end };
  if (header->tempo.at) {
    abc_read_tempo(header->tempo, &header->state); // a tempo in words only is none
  }
  return header->has_key || rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ r->name, block->line, 0 },
                                    "a tune needs a line `K:` with its key between its heading and its music");
}

// ---------------------------------------------------------------------------------------------------------- melody

// Gives each chord the tones of the notes that sound while it lasts. Notes and chords stand in the order of their bars.
static void
attach_melody(RcTune *tune, const GArray *notes)
{
  guint next = 0;
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    guint first = next;
    while (next < notes->len && g_array_index(notes, AbcNote, next).bar <= i) {
      ++next;
    }
    RcTicks start = 0;
    while (first < next && g_array_index(notes, AbcNote, first).bar < i) {
      ++first;
    }
    for (guint e = 0; e < bar->count; ++e) {
      RcEvent *event = &g_array_index(tune->events, RcEvent, bar->first + e);
      const RcTicks end = start + event->length;
      event->melody = 0;
      while (first < next && g_array_index(notes, AbcNote, first).end <= start) {
        ++first; // notes follow each other, so each is looked at once or twice
      }
      for (guint n = first; n < next && g_array_index(notes, AbcNote, n).start < end; ++n) {
        event->melody |= g_array_index(notes, AbcNote, n).tones;
      }
      start = end;
    }
  }
}

static gboolean
follows(const AbcNote *note, const AbcNote *before)
{
  return note->bar == before->bar ? note->start == before->end : note->bar == before->bar + 1 && !note->start;
}

// Keeps the melody to be heard: of notes at once the highest; tied notes are one.
static void
keep_notes(RcTune *tune, const GArray *notes)
{
  g_array_set_size(tune->notes, 0);
  for (guint i = 0; i < notes->len; ++i) {
    const AbcNote *note = &g_array_index(notes, AbcNote, i);
    const RcTicks length = note->end - note->start;
    if (i && note[-1].tied && note[-1].pitch == note->pitch && follows(note, note - 1)) {
      g_array_index(tune->notes, RcTuneNote, tune->notes->len - 1).length += length;
    } else {
      const RcTuneNote kept = { note->bar, note->start, length, note->pitch };
      g_array_append_val(tune->notes, kept);
    }
  }
}

// ----------------------------------------------------------------------------------------------------------- tunes

static void
start_music(RcAbcReader *r, RcTune *tune, const Header *header)
{
  AbcMusic *m = &r->music;
  g_array_set_size(tune->symbols, 0);
  g_array_set_size(tune->events, 0);
  g_array_set_size(tune->bars, 0);
  g_array_set_size(tune->settings, 0);
  g_array_append_val(tune->settings, header->state.setting);
  g_array_set_size(m->marks, 0);
  g_array_set_size(m->notes, 0);
  g_array_set_size(m->part_marks, 0);
  rc_symbols_start(m->symbols, tune, r->options.names);
  m->tune = tune;
  m->chords = FALSE;
  m->symbol_lines = header->symbol_lines;
  memset(m->habits, 0, sizeof m->habits);
  memcpy(m->read_habits, r->read_habits, sizeof m->read_habits);
}

static gboolean
has_voices(AbcText body)
{
  const char *at = body.at;
  while ((at = memchr(at, 'V', (gsize)(body.end - at))) && at + 1 < body.end) {
    if (at[1] == ':') {
      return TRUE;
    }
    ++at;
  }
  return FALSE;
}

static gboolean
read_voice(RcAbcReader *r, RcTune *tune, const Header *header, guint voice, GError **error)
{
  start_music(r, tune, header);
  r->music.keeps_notes = voice == 0 && (r->options.melody_notes || has_voices(header->body));
  return abc_read_music(&r->music, header->body, header->state, r->name, header->body_line, voice, error);
}

// The notes of the first voice, kept aside; then the voice that carries the chords.
static gboolean
read_chord_voice(RcAbcReader *r, RcTune *tune, const Header *header, GError **error)
{
  const guint voice = r->music.chord_voice;
  g_array_set_size(r->melody, 0);
  g_array_append_vals(r->melody, r->music.notes->data, r->music.notes->len);
  if (!read_voice(r, tune, header, voice, error)) {
    return FALSE;
  }
  attach_melody(tune, r->melody);
  return TRUE;
}

static gboolean
read_music(RcAbcReader *r, RcTune *tune, const Header *header, GError **error)
{
  if (!read_voice(r, tune, header, 0, error)) {
    return FALSE;
  }
  if (r->options.melody_notes) {
    keep_notes(tune, r->music.notes);
  }
  return r->music.chords || r->music.chord_voice == G_MAXUINT || read_chord_voice(r, tune, header, error);
}

// Counts the ways of old collections met in a tune; TRUE where the file has now shown one.
static gboolean
count_habits(RcAbcReader *r)
{
  gboolean shown = FALSE;
  for (guint i = 0; i < ABC_N_HABITS; ++i) {
    r->habits[i] += r->music.habits[i];
    shown |= !r->read_habits[i] && r->habits[i] >= HABIT;
    r->read_habits[i] = r->habits[i] >= HABIT;
  }
  return shown;
}

static void
tell_habits(RcAbcReader *r, RcTune *tune)
{
  static const RcRemarkKind kinds[] = { RC_REMARK_HABIT, RC_REMARK_OLD_CHORDS };
  static const char *const texts[] = {
    "chords are written as old collections do: `/f+` is read as F sharp in the bass, `Cd` as C dim",
    "notes at once are written as old collections do: `+CEG+` is read as [CEG]",
  };
  for (guint i = 0; i < ABC_N_HABITS; ++i) {
    if (r->read_habits[i] && r->music.habits[i] && !r->told_habits[i]) {
      r->told_habits[i] = TRUE;
      rc_tune_remark(tune, kinds[i], 0, 0, "%s", texts[i]);
    }
  }
}

// Ways of old collections are followed where the file shows them more than once, and that is said once.
static gboolean
read_with_habits(RcAbcReader *r, RcTune *tune, const Header *header, GError **error)
{
  if (!read_music(r, tune, header, error) || (count_habits(r) && !read_music(r, tune, header, error))) {
    return FALSE;
  }
  tell_habits(r, tune);
  return TRUE;
}

static const char *
own_text(RcTune *tune, AbcText text)
{
  if (abc_is_plain(text)) {
    return rc_tune_text(tune, text.at, (gsize)(text.end - text.at));
  }
  char *utf8 = abc_text_to_utf8(text);
  const char *owned = rc_tune_text(tune, utf8, strlen(utf8));
  g_free(utf8);
  return owned;
}

static void
set_texts(RcAbcReader *r, RcTune *tune, const Header *header)
{
  tune->title = header->title.at < header->title.end ? own_text(tune, header->title) : "(no title)";
  if (header->rhythm.at < header->rhythm.end) {
    tune->rhythm = own_text(tune, header->rhythm);
  } else if (r->head_rhythm) {
    tune->rhythm = rc_tune_text(tune, r->head_rhythm, strlen(r->head_rhythm));
  }
}

static gboolean
read_tune(RcAbcReader *r, RcTune *tune, const Block *block, Header *header, GError **error)
{
  tune->file = r->name;
  tune->line = block->line;
  if (!read_header(r, block, header, error)) {
    return FALSE;
  }
  set_texts(r, tune, header);
  if (!read_with_habits(r, tune, header, error)) {
    return FALSE;
  }
  abc_name_parts(&r->music);
  return abc_play(&r->music, header->order) || rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->name, block->line, 0 },
                                                       "the tune plays more than %d bars", RC_MAX_PLAYED_BARS);
}

static void
add_title(const Header *header, GError **error)
{
  if (header->title.at < header->title.end) {
    char *title = abc_text_to_utf8(header->title);
    rc_reader_left_out(error, title);
    g_free(title);
  }
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  RcAbcReader *r = reader;
  Block block;
  Header header = { 0 };
  rc_tune_clear(tune);
  if (!find_tune(r)) {
    return rc_reader_end(r->source, (RcPlace){ r->name, r->line, 0 }, &r->failed, error);
  }
  if (!read_block(r, &block)) {
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->name, block.line, 0 },
            "a tune of more than %d bytes; an empty line must divide tunes", RC_MAX_TUNE_BYTES);
    return RC_READ_PROBLEM;
  }
  if (read_tune(r, tune, &block, &header, error)) {
    return RC_READ_TUNE;
  }
  add_title(&header, error);
  return RC_READ_PROBLEM;
}

// ------------------------------------------------------------------------------------------------------- the format

// "X:1"
static gboolean
recognizes(const char *line, const char *end)
{
  return end - line >= 2 && g_ascii_isalpha(line[0]) && line[1] == ':';
}

static const char *const endings[] = { ".abc", NULL };

const RcFormat rc_abc_format = { .name = "abc",
                                 .endings = endings,
                                 .tune_begins = "X: 1",
                                 .recognizes = recognizes,
                                 .start = start_reading,
                                 .next = read_next,
                                 .free = end_reading };
