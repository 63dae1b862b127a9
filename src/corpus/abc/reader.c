// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ABC 2.1, read once from start to end: tune by tune, each from its X: line to the next empty line. Text between tunes
// is passed over, fields of a file's head hold for all its tunes.
//
// A file may be read in pieces by several readers at once. What the head sets, they all know. A habit of the file is
// decided by the first tune that shows it and those after it, for all from there on: a reader that meets one waits
// until it is decided, or all before its piece is read.

#include "base/array.h"
#include "corpus/abc/buffer.h"
#include "corpus/abc/cuts.h"
#include "corpus/abc/heading.h"
#include "corpus/abc/melody.h"
#include "corpus/abc/music.h"
#include "corpus/abc/parts.h"
#include "corpus/format.h"
#include "corpus/reader.h"
#include "corpus/unroll.h"

#include <string.h>

typedef struct {
  AbcBuffer buffer;
  RcPiece *piece;
  AbcFile *file;  // what its readers know of it
  guint end_line; // of the piece: of the line with which the next begins; G_MAXUINT: it is the last
  const char *name;
  RcCorpusOptions options;
  AbcHead head;
  gboolean in_head;  // no tune yet
  gboolean settings; // there a field or a comment
  gboolean prose;    // there anything else
  AbcDecided habits; // as far as this reader knows
  gboolean told_end; // what there is to say at the end was said
  AbcMusic music;
  GArray *lengths; // of guint, of the lines of a tune's heading; room for more
  GArray *melody;  // of AbcNote: notes of the first voice where the chords are in another
} RcAbcReader;

static void
read_piece(gpointer reader, RcPiece *piece)
{
  RcAbcReader *r = reader;
  abc_buffer_start(&r->buffer, piece);
  r->piece = piece;
  r->file = piece->text->shared;
  r->end_line = piece->end_line;
  r->name = piece->text->name;
  r->in_head = !piece->number;
  abc_head_clear(&r->head);
  r->head = r->in_head ? abc_head_start() : abc_head_copy(&r->file->head);
  r->settings = FALSE;
  r->prose = FALSE;
  r->told_end = FALSE;
  g_mutex_lock(&piece->text->lock);
  r->habits = r->file->habits;
  g_mutex_unlock(&piece->text->lock);
}

static gpointer
start_reading(RcPiece *piece, RcCorpusOptions options)
{
  RcAbcReader *r = g_new0(RcAbcReader, 1);
  r->options = options;
  r->music.symbols = rc_symbols_new();
  r->music.marks = g_array_new(FALSE, FALSE, sizeof(RcBarMarks));
  r->music.notes = g_array_new(FALSE, FALSE, sizeof(AbcNote));
  r->music.part_marks = g_array_new(FALSE, FALSE, sizeof(AbcPartMark));
  r->lengths = g_array_new(FALSE, FALSE, sizeof(guint));
  r->melody = g_array_new(FALSE, FALSE, sizeof(AbcNote));
  read_piece(r, piece);
  return r;
}

static void
end_reading(gpointer reader)
{
  RcAbcReader *r = reader;
  if (r) {
    abc_buffer_clear(&r->buffer);
    abc_head_clear(&r->head);
    rc_symbols_free(r->music.symbols);
    g_array_unref(r->music.marks);
    g_array_unref(r->music.notes);
    g_array_unref(r->music.part_marks);
    g_array_unref(r->lengths);
    g_array_unref(r->melody);
    g_free(r);
  }
}

// ------------------------------------------------------------------------------------------------- tunes in their file

static gboolean
is_blank_line(AbcText line)
{
  while (line.at < line.end && (*line.at == ' ' || *line.at == '\t' || *line.at == '\r')) {
    ++line.at;
  }
  return line.at == line.end;
}

static void
skip_byte_order_mark(AbcBuffer *buffer)
{
  AbcText line;
  gsize length = 0;
  if (buffer->line == 1 && abc_line_at(buffer, 0, &line, &length) && length >= 3 &&
      !memcmp(line.at, "\xEF\xBB\xBF", 3)) {
    buffer->at += 3; // section 2.2
  }
}

// Moves to the next X: line; FALSE at the end of the piece.
static gboolean
find_tune(RcAbcReader *r)
{
  AbcText line;
  gsize length = 0;
  skip_byte_order_mark(&r->buffer);
  for (; r->buffer.line < r->end_line && abc_line_at(&r->buffer, 0, &line, &length); ++r->buffer.line) {
    if (abc_is_field(line, 'X')) {
      r->in_head = FALSE;
      return TRUE;
    }
    if (r->in_head && !is_blank_line(line)) {
      *(abc_is_setting(line) ? &r->settings : &r->prose) = TRUE;
      abc_read_head_line(line, &r->head);
    }
    r->buffer.at += length;
  }
  return FALSE;
}

// Whether a line comes after a tune, as far as it has begun before.
static gboolean
ends_tune(AbcText line)
{
  const gboolean more = *line.at > ' ' && *line.at != 'X'; // of the tune, as most lines are
  return !more && (is_blank_line(line) || abc_is_field(line, 'X'));
}

static void
keep_length(RcAbcReader *r, guint n, gsize length)
{
  if (n == r->lengths->len) {
    g_array_set_size(r->lengths, 2 * n + 1);
  }
  g_array_index(r->lengths, guint, n) = (guint)length;
}

// The tune from its X: line to the next empty line or X:, as the buffer holds it. FALSE where it is too long.
static gboolean
read_block(RcAbcReader *r, AbcBlock *block)
{
  AbcBuffer *buffer = &r->buffer;
  gsize offset = 0;
  gsize length = 0;
  gboolean key = FALSE; // there was a line K:
  AbcText line;
  *block = (AbcBlock){ .file = r->name, .line = buffer->line };
  while (offset <= RC_MAX_TUNE_BYTES && abc_line_at(buffer, offset, &line, &length)) {
    if (offset && ends_tune(line)) {
      break;
    }
    if (!key) {
      keep_length(r, buffer->line - block->line, length);
      key = abc_is_field(line, 'K');
    }
    block->symbol_lines |= *line.at == 's' && abc_is_field(line, 's');
    offset += length;
    ++buffer->line;
  }
  block->text = (AbcText){ buffer->text + buffer->at, buffer->text + buffer->at + offset };
  block->lengths = (const guint *)(gconstpointer)r->lengths->data;
  buffer->at += offset;
  return offset <= RC_MAX_TUNE_BYTES;
}

// ----------------------------------------------------------------------------------------------------------- music

static void
start_music(RcAbcReader *r, RcTune *tune, const AbcBlock *block, const AbcHeading *heading)
{
  AbcMusic *m = &r->music;
  rc_array_cut(tune->symbols, 0);
  rc_array_cut(tune->events, 0);
  rc_array_cut(tune->bars, 0);
  rc_array_cut(tune->settings, 1);
  g_array_index(tune->settings, RcSetting, 0) = heading->state.setting;
  rc_array_cut(m->notes, 0);
  rc_array_cut(m->part_marks, 0);
  rc_symbols_start(m->symbols, tune, r->options.names);
  abc_known_start(&m->known);
  m->tune = tune;
  m->chords = FALSE;
  m->symbol_lines = block->symbol_lines;
  memset(m->habits.met, 0, sizeof m->habits.met);
  memcpy(m->habits.followed, r->habits.followed, sizeof m->habits.followed);
  if (m->remarks) {
    memset(m->found, 0, sizeof m->found);
    m->remarks = FALSE;
  }
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
read_voice(RcAbcReader *r, RcTune *tune, const AbcBlock *block, const AbcHeading *heading, guint voice, GError **error)
{
  start_music(r, tune, block, heading);
  abc_remark_setting(&r->music, 'K', heading->key, heading->good_key, (AbcPlace){ heading->body_line - 1, 3 });
  r->music.keeps_notes = voice == 0 && (r->options.melody_notes || has_voices(heading->body));
  return abc_read_music(&r->music, heading->body, heading->state, r->name, heading->body_line, voice, error);
}

// The notes of the first voice, kept aside; then the voice that has the chords.
static gboolean
read_chord_voice(RcAbcReader *r, RcTune *tune, const AbcBlock *block, const AbcHeading *heading, GError **error)
{
  const guint voice = r->music.chord_voice;
  g_array_set_size(r->melody, 0);
  g_array_append_vals(r->melody, r->music.notes->data, r->music.notes->len);
  if (!read_voice(r, tune, block, heading, voice, error)) {
    return FALSE;
  }
  abc_attach_melody(tune, r->melody);
  return TRUE;
}

static gboolean
read_music(RcAbcReader *r, RcTune *tune, const AbcBlock *block, const AbcHeading *heading, GError **error)
{
  if (!read_voice(r, tune, block, heading, 0, error)) {
    return FALSE;
  }
  if (r->options.melody_notes) {
    abc_keep_melody(tune, r->music.notes);
  }
  return r->music.chords || r->music.chord_voice == G_MAXUINT || read_chord_voice(r, tune, block, heading, error);
}

// ----------------------------------------------------------------------------------------------------------- tunes

static const char *
own_text(RcTune *tune, AbcText text)
{
  if (abc_is_plain(text)) {
    return rc_tune_text(tune, text.at, abc_length(text));
  }
  char *utf8 = abc_text_to_utf8(text);
  const char *owned = rc_tune_text(tune, utf8, strlen(utf8));
  g_free(utf8);
  return owned;
}

// The tune's own text, else that of the file's head, else NULL.
static const char *
text_or_head(RcTune *tune, AbcText text, const char *head)
{
  return text.at < text.end ? own_text(tune, text) : head ? rc_tune_text(tune, head, strlen(head)) : NULL;
}

static void
set_texts(const RcAbcReader *r, RcTune *tune, const AbcHeading *heading)
{
  tune->title = heading->title.at < heading->title.end ? own_text(tune, heading->title) : "(no title)";
  tune->rhythm = text_or_head(tune, heading->rhythm, r->head.rhythm);
  tune->group = text_or_head(tune, heading->group, r->head.group);
}

static const char *const remarks[RC_N_REMARKS] = {
  // NOLINTNEXTLINE(bugprone-suspicious-missing-comma): a text of two lines
  [RC_REMARK_HABIT] = "is written as in old collections: `/f+` is read as F sharp in the bass, `Cd` as C dim, "
                      "`Ca` as C augmented",
  [RC_REMARK_OLD_CHORDS] = "notes at once are written as old collections do: `+CEG+` is read as [CEG]",
  [RC_REMARK_ALTERNATIVES] =
    "is written where there are several chords for one note: the first is read, one in brackets only where there is no "
    "other",
  [RC_REMARK_BASS_NOTES] = "beside a chord is read as its bass: \"D\"\"f#\" is D/F#",
  [RC_REMARK_BASS_RUNS] = "alone is a note for the bass: the chord before it goes on",
  [RC_REMARK_SMALL] = "is read as a chord written small: `bm` is Bm",
  [RC_REMARK_WORDS] = "is no chord: it is taken for words, which begin with ^ by the standard",
  [RC_REMARK_ANNOTATIONS] = "is an annotation by the standard, as all texts after ^, _, < or >: it sounds nothing",
  [RC_REMARK_LATE_CHORDS] =
    "after the last note of a bar is given half of that note's time, since the file has several such chords",
  [RC_REMARK_LOST_CHORDS] = "has no note before the next chord or the end, and so no time: it is left out",
  [RC_REMARK_SMALL_KEY] = "names a key by a small letter: it is read as its capital, major where no mode follows",
  [RC_REMARK_VALUES] = "is no key, meter or note length that can be read: it is passed over",
  [RC_REMARK_REPEATS] = "a repeat ends in more colons than it begins with; it is played as often as the fewer say",
};

// "`slow` ", a new string; empty where there is nothing to quote.
static char *
quote(AbcText text)
{
  enum { SHOWN = 40 }; // characters
  if (text.at == text.end) {
    return g_strdup("");
  }
  char *utf8 = abc_text_to_utf8(text);
  char *shown = g_utf8_substring(utf8, 0, MIN(g_utf8_strlen(utf8, -1), SHOWN));
  char *quoted = g_strdup_printf("`%s` ", shown);
  g_free(utf8);
  g_free(shown);
  return quoted;
}

static void
add_remarks(RcTune *tune, const AbcMusic *music)
{
  for (guint i = 0; i < RC_N_REMARKS && music->remarks; ++i) {
    const AbcFound *found = &music->found[i];
    if (found->place.line) {
      char *quoted = quote(found->text);
      rc_tune_remark(tune, (RcRemarkKind)i, found->place.line, found->place.column, "%s%s", quoted, remarks[i]);
      g_free(quoted);
    }
  }
}

static gboolean
read_tune(RcAbcReader *r, RcTune *tune, const AbcBlock *block, AbcHeading *heading, GError **error)
{
  rc_tune_clear(tune);
  tune->file = r->name;
  tune->line = block->line;
  if (!abc_read_heading(block, &r->head.state, heading, error)) {
    return FALSE;
  }
  set_texts(r, tune, heading);
  return read_music(r, tune, block, heading, error);
}

static gboolean
play(const RcAbcReader *r, RcTune *tune, const AbcBlock *block, const AbcHeading *heading, GError **error)
{
  add_remarks(tune, &r->music);
  return abc_play(&r->music, heading->order) || rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->name, block->line, 0 },
                                                        "the tune plays more than %d bars", RC_MAX_PLAYED_BARS);
}

// ---------------------------------------------------------------------------------------------------------- habits

// Whether the tune that was read shows a way of writing of which it is not decided whether the file means it so.
static gboolean
shows_new_habit(const RcAbcReader *r)
{
  for (guint i = 0; i < ABC_N_HABITS; ++i) {
    if (r->music.habits.met[i] && !r->habits.decided[i]) {
      return TRUE;
    }
  }
  return FALSE;
}

// Adds up what tunes show from here on, as far as they are held; the first is the one at hand.
static void
count_habits(RcAbcReader *r, guint met[ABC_N_HABITS])
{
  const gsize end = r->buffer.at + ABC_LOOK_AHEAD;
  RcTune *tune = rc_tune_new();
  AbcHeading heading;
  AbcBlock block;
  for (gboolean first = TRUE; find_tune(r) && read_block(r, &block) && (first || r->buffer.at <= end); first = FALSE) {
    if (read_tune(r, tune, &block, &heading, NULL)) {
      for (guint i = 0; i < ABC_N_HABITS; ++i) {
        met[i] += r->music.habits.met[i];
      }
    }
  }
  rc_tune_free(tune);
}

// Looks ahead from the tune that comes next, which shows habits, and decides which of them the file has.
static void
learn_habits(RcAbcReader *r)
{
  static const guint often[ABC_N_HABITS] = { 2, 2, 3 };
  guint met[ABC_N_HABITS] = { 0 };
  gboolean shown[ABC_N_HABITS];
  for (guint i = 0; i < ABC_N_HABITS; ++i) {
    shown[i] = r->music.habits.met[i] > 0;
  }
  abc_buffer_fill(&r->buffer, ABC_LOOK_AHEAD + 1);
  const AbcBuffer here = r->buffer;
  r->buffer.ended = TRUE;  // what is held stays where it is
  r->end_line = G_MAXUINT; // and the next piece is looked at too
  count_habits(r, met);
  r->buffer = here;
  r->end_line = r->piece->end_line;
  for (guint i = 0; i < ABC_N_HABITS; ++i) {
    if (shown[i] && !r->habits.decided[i]) {
      r->habits.decided[i] = TRUE;
      r->habits.followed[i] = met[i] >= often[i];
    }
  }
}

// Goes back to the tune that was read, which shows a habit that is new to this reader, and sees to it that it is
// decided.
static void
decide_habits(RcAbcReader *r, const AbcBlock *block)
{
  RcText *text = r->piece->text;
  gboolean alone = FALSE; // all before this piece is read
  r->buffer.at -= abc_length(block->text);
  r->buffer.line = block->line;
  g_mutex_lock(&text->lock);
  r->habits = r->file->habits;
  while (shows_new_habit(r) && !alone) {
    alone = rc_piece_wait(r->piece);
    r->habits = r->file->habits;
  }
  if (shows_new_habit(r)) {
    g_mutex_unlock(&text->lock);
    learn_habits(r);
    g_mutex_lock(&text->lock);
    r->file->habits = r->habits;
    g_cond_broadcast(&text->changed);
  }
  g_mutex_unlock(&text->lock);
}

static gboolean
read_by_habits(RcAbcReader *r, RcTune *tune, AbcBlock *block, AbcHeading *heading, GError **error)
{
  if (!read_tune(r, tune, block, heading, error)) {
    return FALSE;
  }
  if (shows_new_habit(r)) {
    decide_habits(r, block);
    if (!read_block(r, block) || !read_tune(r, tune, block, heading, error)) {
      return FALSE;
    }
  }
  return play(r, tune, block, heading, error);
}

// ------------------------------------------------------------------------------------------------------------ steps

static void
add_title(const AbcHeading *heading, GError **error)
{
  if (heading->title.at < heading->title.end) {
    char *title = abc_text_to_utf8(heading->title);
    rc_reader_left_out(error, title);
    g_free(title);
  }
}

static RcReadResult
end_file(RcAbcReader *r, GError **error)
{
  if (rc_piece_is_last(r->piece) && r->in_head && r->settings && !r->prose && !r->told_end &&
      !rc_piece_failure(r->piece)) {
    r->told_end = TRUE;
    rc_fail(error, RC_ERROR_PASSED, (RcPlace){ r->name, 0, 0 },
            "passed over: it holds settings for other files, as for I:abc-include, and no tune");
    return RC_READ_PROBLEM;
  }
  return rc_reader_end(r->piece, (RcPlace){ r->name, r->buffer.line, 0 }, &r->told_end, error);
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  RcAbcReader *r = reader;
  AbcBlock block;
  AbcHeading heading = { 0 };
  if (!find_tune(r)) {
    rc_tune_clear(tune);
    return end_file(r, error);
  }
  if (!read_block(r, &block)) {
    rc_tune_clear(tune);
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->name, block.line, 0 },
            "a tune of more than %d bytes; an empty line must separate tunes", RC_MAX_TUNE_BYTES);
    return RC_READ_PROBLEM;
  }
  if (read_by_habits(r, tune, &block, &heading, error)) {
    return RC_READ_TUNE;
  }
  add_title(&heading, error);
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
                                 .cuts = &abc_cuts,
                                 .start = start_reading,
                                 .restart = read_piece,
                                 .next = read_next,
                                 .free = end_reading };
