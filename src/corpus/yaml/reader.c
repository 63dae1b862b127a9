// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes in YAML, a document each. libyaml's events are read as they come; of a document only the texts of its fields
// are kept, and they become a tune when it ends. After broken YAML reading goes on at the next line that begins with
// "---".

#include "corpus/yaml/bars.h"
#include "corpus/clean.h"
#include "base/yaml_tree.h"
#include "corpus/yaml/places.h"
#include "corpus/format.h"
#include "corpus/reader.h"
#include "corpus/stream.h"

#include <string.h>

typedef enum {
  FIELD_TITLE,
  FIELD_KEY,
  FIELD_METER,
  FIELD_TEMPO,
  FIELD_RHYTHM,
  FIELD_NAMES,
  FIELD_NOTE,
  FIELD_ORDER,
  N_FIELDS,
  KEY_PARTS = N_FIELDS, // the one key that holds more than a text
  N_KEYS
} Field;

static const char *const keys[] = {
  "title", "key", "meter", "tempo", "rhythm", "names", "note", "order", "parts", NULL
};

// A scalar of the document.
typedef struct {
  gsize offset; // in the reader's text
  RcWritten written;
  gboolean given;
} Text;

typedef struct {
  Text label;
  Text bars;
} PartText;

typedef struct {
  RcStream stream;
  RcCorpusOptions options;
  RcBarReader *bars;
  yaml_parser_t parser;
  gboolean parsing; // the parser is initialized
  RcCleaner cleaner;
  guint failed_line; // line, from 0, at which the parser failed, and the column after it
  guint failed_column;
  guint start_line; // line, from 0, at which the parser began
  gsize unparsed;   // bytes given to the parser since the document began
  gboolean too_long;
  guint depth; // of lists and mappings, where the parser is
  gboolean parts_given;
  GString *text; // of all scalars of the document, each ended by NUL
  Text fields[N_FIELDS];
  GArray *parts; // of PartText
} RcYamlReader;

// --------------------------------------------------------------------------------------------------------- parser

static int
feed(void *data, unsigned char *buffer, size_t size, size_t *size_read)
{
  RcYamlReader *r = data;
  *size_read = 0;
  if (r->unparsed > RC_MAX_TUNE_BYTES) {
    r->too_long = TRUE;
    return 0;
  }
  const gsize n = rc_stream_read(&r->stream, (char *)buffer, size);
  *size_read = rc_cleaner_pass(&r->cleaner, (char *)buffer, n);
  rc_stream_give_back(&r->stream, n - *size_read);
  r->unparsed += *size_read;
  return !rc_source_failure(r->stream.source);
}

static void
start_parser(RcYamlReader *r)
{
  rc_cleaner_start(&r->cleaner, r->start_line);
  r->unparsed = 0;
  yaml_parser_initialize(&r->parser);
  yaml_parser_set_encoding(&r->parser, YAML_UTF8_ENCODING);
  yaml_parser_set_input(&r->parser, feed, r);
  r->parsing = TRUE;
}

static void
stop_parser(RcYamlReader *r)
{
  if (r->parsing) {
    yaml_parser_delete(&r->parser);
    r->parsing = FALSE;
  }
}

static RcPlace
place_of_mark(const RcYamlReader *r, const yaml_mark_t *mark)
{
  return (RcPlace){ r->stream.name, r->start_line + (guint)mark->line + 1, (guint)mark->column + 1 };
}

// libyaml takes time with the square of the depth, so a bound keeps a small file from taking minutes.
static gboolean
follow_depth(RcYamlReader *r, yaml_event_t *event, GError **error)
{
  switch (event->type) {
  case YAML_DOCUMENT_START_EVENT:
    r->depth = 0;
    return TRUE;
  case YAML_SEQUENCE_END_EVENT:
  case YAML_MAPPING_END_EVENT:
    --r->depth;
    return TRUE;
  case YAML_SEQUENCE_START_EVENT:
  case YAML_MAPPING_START_EVENT:
    if (++r->depth <= RC_MAX_YAML_DEPTH) {
      return TRUE;
    }
    break;
  default:
    return TRUE;
  }
  r->failed_line = r->start_line + (guint)event->start_mark.line;
  r->failed_column = (guint)event->start_mark.column + 1;
  const RcPlace place = place_of_mark(r, &event->start_mark);
  yaml_event_delete(event);
  return rc_fail(error, RC_ERROR_LIMIT, place, "more than %d nested lists", RC_MAX_YAML_DEPTH);
}

static gboolean
check_event(RcYamlReader *r, yaml_event_t *event, GError **error)
{
  if (rc_yaml_check_event(event, r->stream.name, r->start_line, error)) {
    return TRUE;
  }
  r->failed_line = r->start_line + (guint)event->end_mark.line;
  r->failed_column = (guint)event->end_mark.column + 1;
  yaml_event_delete(event);
  return FALSE;
}

static gboolean
next_event(RcYamlReader *r, yaml_event_t *event, GError **error)
{
  if (yaml_parser_parse(&r->parser, event)) {
    return follow_depth(r, event, error) && check_event(r, event, error);
  }
  const yaml_mark_t *mark = r->too_long ? &r->parser.mark : &r->parser.problem_mark;
  r->failed_line = r->start_line + (guint)mark->line;
  r->failed_column = (guint)mark->column + 1;
  if (r->too_long) {
    return rc_fail(error, RC_ERROR_LIMIT, place_of_mark(r, &r->parser.mark),
                   "a tune of more than %d bytes; separate tunes by lines of `---`", RC_MAX_TUNE_BYTES);
  }
  const char *failure = rc_source_failure(r->stream.source);
  if (failure) {
    return rc_fail(error, RC_ERROR_IO, (RcPlace){ r->stream.name, 0, 0 }, "reading failed: %s", failure);
  }
  return rc_yaml_fail(&r->parser, r->stream.name, r->start_line, error);
}

// --------------------------------------------------------------------------------------------- one document's texts

static char
quote_of(yaml_scalar_style_t style)
{
  return style == YAML_SINGLE_QUOTED_SCALAR_STYLE ? '\'' : style == YAML_DOUBLE_QUOTED_SCALAR_STYLE ? '"' : '\0';
}

// Without the line end that a block has at its end.
static void
keep_text(RcYamlReader *r, const yaml_event_t *event, Text *text)
{
  const yaml_scalar_style_t style = event->data.scalar.style;
  const RcPlace end = place_of_mark(r, &event->end_mark);
  const char *value = (const char *)event->data.scalar.value;
  gsize length = event->data.scalar.length;
  while (length && value[length - 1] == '\n' && !quote_of(style)) {
    --length;
  }
  const RcWritten written = { .length = length,
                              .start = place_of_mark(r, &event->start_mark),
                              .end_line = end.line,
                              .end_column = end.column,
                              .quote = quote_of(style),
                              .block = style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE };
  *text = (Text){ r->text->len, written, TRUE };
  g_string_append_len(r->text, value, (gssize)length);
  g_string_append_c(r->text, '\0');
}

static const char *
text_of(const RcYamlReader *r, const Text *text)
{
  return r->text->str + text->offset;
}

static RcCursor
start_cursor(RcYamlReader *r, const Text *text)
{
  return rc_cursor_start(text_of(r, text), &text->written, &r->stream);
}

static gboolean
fail_at_mark(const RcYamlReader *r, const yaml_mark_t *mark, const char *message, GError **error)
{
  return rc_fail(error, RC_ERROR_SYNTAX, place_of_mark(r, mark), "%s", message);
}

static gboolean
read_scalar(RcYamlReader *r, Text *text, const char *wanted, GError **error)
{
  yaml_event_t event;
  if (!next_event(r, &event, error)) {
    return FALSE;
  }
  const gboolean good = event.type == YAML_SCALAR_EVENT;
  if (good) {
    keep_text(r, &event, text);
  } else {
    fail_at_mark(r, &event.start_mark, wanted, error);
  }
  yaml_event_delete(&event);
  return good;
}

static gboolean
read_part(RcYamlReader *r, const yaml_event_t *label, GError **error)
{
  PartText part = { .label = { 0 }, .bars = { 0 } };
  if (r->parts->len == RC_MAX_PARTS) {
    return rc_fail(error, RC_ERROR_LIMIT, place_of_mark(r, &label->start_mark), "more than %d parts", RC_MAX_PARTS);
  }
  keep_text(r, label, &part.label);
  for (guint i = 0; i < r->parts->len; ++i) {
    const char *name = text_of(r, &part.label);
    if (!strcmp(text_of(r, &g_array_index(r->parts, PartText, i).label), name)) {
      return rc_fail(error, RC_ERROR_VALUE, place_of_mark(r, &label->start_mark),
                     "the part `%s` is given twice; give one of them another name", name);
    }
  }
  if (!read_scalar(r, &part.bars, "a part is a text of bars, such as A: \"| D | Bm |\"", error)) {
    return FALSE;
  }
  g_array_append_val(r->parts, part);
  return TRUE;
}

static gboolean
read_parts(RcYamlReader *r, GError **error)
{
  yaml_event_t event;
  if (!next_event(r, &event, error)) {
    return FALSE;
  }
  gboolean good = event.type == YAML_MAPPING_START_EVENT;
  if (!good) {
    fail_at_mark(r, &event.start_mark, "`parts` holds lines such as A: \"| D | Bm |\"", error);
  }
  yaml_event_delete(&event);
  while (good && next_event(r, &event, error)) {
    const gboolean ends = event.type == YAML_MAPPING_END_EVENT;
    good = ends || (event.type == YAML_SCALAR_EVENT
                      ? read_part(r, &event, error)
                      : fail_at_mark(r, &event.start_mark, "a part's name is a short text such as A", error));
    yaml_event_delete(&event);
    if (ends) {
      return TRUE;
    }
  }
  return FALSE;
}

// In any case: "Title" is title.
static guint
find_key(const char *name)
{
  guint i = 0;
  while (i < N_KEYS && (g_ascii_tolower(*name) != *keys[i] || g_ascii_strcasecmp(name, keys[i]) != 0)) {
    ++i;
  }
  return i;
}

static gboolean
read_field(RcYamlReader *r, const yaml_event_t *key, GError **error)
{
  const char *name = (const char *)key->data.scalar.value;
  const guint found = find_key(name);
  if (found == N_KEYS) {
    return rc_yaml_fail_key(place_of_mark(r, &key->start_mark), name, keys, error);
  }
  if (found == KEY_PARTS ? r->parts_given : r->fields[found].given) {
    return fail_at_mark(r, &key->start_mark, "this key is given twice in the tune; keep one", error);
  }
  if (found == KEY_PARTS) {
    r->parts_given = TRUE;
    return read_parts(r, error);
  }
  return read_scalar(r, &r->fields[found], "a single text is expected here", error);
}

// Reads the fields of a document whose mapping has begun, up to the mapping's end.
static gboolean
read_fields(RcYamlReader *r, GError **error)
{
  yaml_event_t event;
  while (next_event(r, &event, error)) {
    const gboolean ends = event.type == YAML_MAPPING_END_EVENT;
    const gboolean good =
      ends || (event.type == YAML_SCALAR_EVENT
                 ? read_field(r, &event, error)
                 : fail_at_mark(r, &event.start_mark, "a key such as `title` is expected here", error));
    yaml_event_delete(&event);
    if (ends || !good) {
      return good;
    }
  }
  return FALSE;
}

static gboolean
fail_field(RcYamlReader *r, Field field, const char *expected, GError **error)
{
  const Text *text = &r->fields[field];
  return rc_fail(error, RC_ERROR_VALUE, text->written.start, "found %s `%s`; expected %s", keys[field],
                 text_of(r, text), expected);
}

// ------------------------------------------------------------------------------------------------- texts into a tune

// Checks that a text that is a line has no line end, which an escape may stand for.
static gboolean
check_line(RcYamlReader *r, const Text *text, const char *what, GError **error)
{
  const char *at = text->given ? rc_yaml_line_end(text_of(r, text)) : NULL;
  return !at || rc_yaml_fail_line_end(text->written.start, what, at, error);
}

// Bars may stand on several lines, but escapes for a line end are a mistake.
static gboolean
check_bars(RcYamlReader *r, const Text *bars, GError **error)
{
  return bars->written.start.line != bars->written.end_line || check_line(r, bars, "a row of bars", error);
}

static gboolean
set_title(RcYamlReader *r, RcTune *tune, GError **error)
{
  const Text *title = &r->fields[FIELD_TITLE];
  if (!title->given || !title->written.length) {
    return rc_fail(error, RC_ERROR_VALUE, (RcPlace){ tune->file, tune->line, 0 },
                   "a tune needs a line `title: ...`; the tune was left out");
  }
  if (!check_line(r, title, "title", error) || !check_line(r, &r->fields[FIELD_RHYTHM], "rhythm", error)) {
    return FALSE;
  }
  tune->title = rc_tune_text(tune, text_of(r, title), title->written.length);
  if (r->fields[FIELD_RHYTHM].written.length) {
    tune->rhythm = rc_tune_text(tune, text_of(r, &r->fields[FIELD_RHYTHM]), r->fields[FIELD_RHYTHM].written.length);
  }
  return TRUE;
}

// "d minor" is D minor.
static gboolean
read_key(const char *text, RcNames names, RcKey *key)
{
  char *capital = g_strdup(text);
  *capital = g_ascii_toupper(*capital);
  const gboolean good = rc_key_parse(capital, names, key, NULL);
  g_free(capital);
  return good;
}

static gboolean
set_key_and_time(RcYamlReader *r, RcTune *tune, RcNames names, GError **error)
{
  const Text *fields = r->fields;
  RcSetting *start = &g_array_index(tune->settings, RcSetting, 0);
  if (fields[FIELD_KEY].given && !read_key(text_of(r, &fields[FIELD_KEY]), names, &start->key)) {
    return fail_field(r, FIELD_KEY, "a tonic and a mode, such as D, Bm, E dorian", error);
  }
  if (fields[FIELD_METER].given && !rc_meter_parse(text_of(r, &fields[FIELD_METER]), &start->meter)) {
    return fail_field(r, FIELD_METER, "beats and note value, such as 3/4 or 6/8", error);
  }
  if (fields[FIELD_TEMPO].given && !rc_tempo_parse(text_of(r, &fields[FIELD_TEMPO]), start->meter, &start->tempo)) {
    return fail_field(r, FIELD_TEMPO, "beats a minute such as 138 or 1/4=138, 5 to 1000 quarter notes a minute", error);
  }
  start->tones = rc_key_tones(start->key);
  return TRUE;
}

static gboolean
find_names(RcYamlReader *r, RcNames *names, GError **error)
{
  *names = r->options.names;
  if (!r->fields[FIELD_NAMES].given) {
    return TRUE;
  }
  const char *text = text_of(r, &r->fields[FIELD_NAMES]);
  *names = !strcmp(text, "german") ? RC_NAMES_GERMAN : RC_NAMES_ENGLISH;
  return *names == RC_NAMES_GERMAN || !strcmp(text, "english") ||
         fail_field(r, FIELD_NAMES, "english or german (H is B natural)", error);
}

static gboolean
set_parts(RcYamlReader *r, RcTune *tune, RcNames names, GError **error)
{
  rc_bar_reader_start(r->bars, tune, names);
  for (guint i = 0; i < r->parts->len; ++i) {
    const PartText *text = &g_array_index(r->parts, PartText, i);
    if (!check_line(r, &text->label, "a part's name", error) || !check_bars(r, &text->bars, error)) {
      return FALSE;
    }
    RcPart part = { rc_tune_text(tune, text_of(r, &text->label), text->label.written.length), tune->bars->len, 0 };
    RcCursor cursor = start_cursor(r, &text->bars);
    if (!rc_bar_reader_read(r->bars, &cursor, error)) {
      return FALSE;
    }
    part.count = tune->bars->len - part.first;
    g_array_append_val(tune->parts, part);
  }
  return tune->parts->len || rc_fail(error, RC_ERROR_VALUE, (RcPlace){ tune->file, tune->line, 0 },
                                     "a tune needs `parts:` with lines such as A: \"| D | Bm |\"");
}

static gboolean
play_part(RcTune *tune, const RcPart *part)
{
  const guint before = tune->played->len;
  if (before + part->count > RC_MAX_PLAYED_BARS) {
    return FALSE;
  }
  g_array_set_size(tune->played, before + part->count);
  for (guint i = 0; i < part->count; ++i) {
    g_array_index(tune->played, guint, before + i) = part->first + i;
  }
  return TRUE;
}

static const RcPart *
find_part(const RcTune *tune, const char *label, gsize length)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (!strncmp(part->label, label, length) && !part->label[length]) {
      return part;
    }
  }
  return NULL;
}

static gboolean
fail_length(RcYamlReader *r, const RcTune *tune, GError **error)
{
  return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->stream.name, tune->line, 0 }, "`%s` plays more than %d bars",
                 tune->title, RC_MAX_PLAYED_BARS);
}

static gboolean
divides_order(char c)
{
  return c == ' ' || c == ',' || c == '\n';
}

static const char *
skip_dividers(const char *at)
{
  while (divides_order(*at)) {
    ++at;
  }
  return at;
}

static gsize
label_length(const char *label)
{
  gsize length = 0;
  while (label[length] && !divides_order(label[length])) {
    ++length;
  }
  return length;
}

static gboolean
play_in_order(RcYamlReader *r, RcTune *tune, GError **error)
{
  const Text *order = &r->fields[FIELD_ORDER];
  const char *text = text_of(r, order);
  RcCursor cursor = start_cursor(r, order);
  for (const char *at = skip_dividers(text); *at; at = skip_dividers(at)) {
    const gsize length = label_length(at);
    const RcPart *part = find_part(tune, at, length);
    if (!part) {
      return rc_fail(error, RC_ERROR_VALUE, rc_cursor_place(&cursor, (gsize)(at - text)),
                     "the order names part `%.*s`, which `parts` does not hold", (int)MIN(length, 40), at);
    }
    if (!play_part(tune, part)) {
      return fail_length(r, tune, error);
    }
    at += length;
  }
  return tune->played->len || fail_field(r, FIELD_ORDER, "names of parts, such as A A B B", error);
}

static gboolean
set_order(RcYamlReader *r, RcTune *tune, GError **error)
{
  if (r->fields[FIELD_ORDER].given) {
    return play_in_order(r, tune, error);
  }
  for (guint i = 0; i < tune->parts->len; ++i) {
    if (!play_part(tune, &g_array_index(tune->parts, RcPart, i))) {
      return fail_length(r, tune, error);
    }
  }
  return TRUE;
}

// The title of a document that broke before its events came, from its text: on a line between its "---" and the
// failure.
static char *
find_title(RcYamlReader *r)
{
  for (guint line = r->failed_line + 1; line-- > r->start_line;) {
    gsize length = 0;
    const char *at = rc_stream_line(&r->stream, line, &length);
    if (!at || (length >= 3 && !memcmp(at, "---", 3))) {
      break;
    }
    if (length > 6 && !g_ascii_strncasecmp(at, "title:", 6)) {
      const char *end = memchr(at, '\n', length);
      char *text = g_utf8_make_valid(at + 6, (end ? end : at + length) - at - 6);
      return g_strstrip(g_strdelimit(text, "\"'\r", ' '));
    }
  }
  return NULL;
}

// Names the tune that is left out in the message.
static void
add_title(RcYamlReader *r, GError **error)
{
  const Text *title = &r->fields[FIELD_TITLE];
  char *name = title->given ? g_strdup(text_of(r, title)) : r->parser.error ? find_title(r) : NULL;
  rc_reader_left_out(error, name);
  g_free(name);
}

static gboolean
make_tune(RcYamlReader *r, RcTune *tune, GError **error)
{
  RcNames names = RC_NAMES_ENGLISH;
  return set_title(r, tune, error) && find_names(r, &names, error) && set_key_and_time(r, tune, names, error) &&
         set_parts(r, tune, names, error) && set_order(r, tune, error);
}

// ------------------------------------------------------------------------------------------------------ documents

// Whether something before a place (from 0) was no text; sets the error, in place of another that may follow from it.
static gboolean
take_bad_text(RcYamlReader *r, guint line, guint column, GError **error)
{
  RcBadText bad;
  if (!rc_cleaner_take(&r->cleaner, line, column, &bad)) {
    return FALSE;
  }
  const RcPlace place = { r->stream.name, bad.line + 1, bad.column };
  g_clear_error(error);
  if (bad.control) {
    rc_yaml_fail_control(place, bad.code, error);
  } else {
    rc_fail(error, RC_ERROR_ENCODING, place, "byte 0x%02X is not UTF-8 text; save the file as UTF-8", bad.code);
  }
  return TRUE;
}

// Reads on to the end of the document after a mistake in it; FALSE when the YAML itself is broken there.
static gboolean
skip_document(RcYamlReader *r, guint *line, guint *column)
{
  yaml_event_t event;
  while (next_event(r, &event, NULL)) {
    const gboolean ends = event.type == YAML_DOCUMENT_END_EVENT;
    *line = r->start_line + (guint)event.start_mark.line;
    *column = (guint)event.start_mark.column;
    yaml_event_delete(&event);
    if (ends) {
      return TRUE;
    }
  }
  *line = r->failed_line;
  *column = r->failed_column;
  return FALSE;
}

// After broken YAML: a new parser from the next "---", or none.
static void
restart(RcYamlReader *r)
{
  guint line = MAX(r->failed_line, r->start_line + 1);
  const gboolean lost = rc_source_failure(r->stream.source) || r->parser.error == YAML_MEMORY_ERROR;
  stop_parser(r);
  r->too_long = FALSE;
  if (!lost && rc_stream_seek_document(&r->stream, &line)) {
    r->start_line = line;
    start_parser(r);
  }
}

// The tune was read to its end, but is none.
static RcReadResult
leave_out(RcYamlReader *r, GError **error)
{
  add_title(r, error);
  return RC_READ_PROBLEM;
}

// Reports what was set in `error`, or bad text that explains it, and goes on after the document.
static RcReadResult
report(RcYamlReader *r, GError **error)
{
  guint line = r->failed_line;
  guint column = r->failed_column;
  const gboolean broken = r->parser.error != YAML_NO_ERROR || !skip_document(r, &line, &column);
  take_bad_text(r, line, column, error);
  add_title(r, error);
  if (broken) {
    restart(r);
  }
  return RC_READ_PROBLEM;
}

static void
forget_document(RcYamlReader *r)
{
  memset(r->fields, 0, sizeof r->fields);
  g_string_truncate(r->text, 0);
  g_array_set_size(r->parts, 0);
  r->parts_given = FALSE;
}

static gboolean
is_empty_scalar(const yaml_event_t *event)
{
  return event->type == YAML_SCALAR_EVENT && !event->data.scalar.length;
}

// Reads the end of a document and checks that all of it was text.
static gboolean
end_document(RcYamlReader *r, GError **error)
{
  yaml_event_t event;
  if (!next_event(r, &event, error)) {
    return FALSE;
  }
  const yaml_mark_t mark = event.start_mark;
  yaml_event_delete(&event);
  return !take_bad_text(r, r->start_line + (guint)mark.line, (guint)mark.column, error);
}

// Reads one document up to its end; an empty one gives RC_READ_END.
static RcReadResult
read_document(RcYamlReader *r, RcTune *tune, GError **error)
{
  yaml_event_t event;
  if (!next_event(r, &event, error)) {
    return report(r, error);
  }
  const yaml_event_type_t type = event.type;
  const gboolean empty = is_empty_scalar(&event);
  const RcPlace place = place_of_mark(r, &event.start_mark);
  yaml_event_delete(&event);
  tune->file = r->stream.name;
  tune->line = place.line;
  if (!empty && type != YAML_MAPPING_START_EVENT) {
    rc_fail(error, RC_ERROR_SYNTAX, place, "a tune begins with lines such as `title: ...`; found something else");
    return report(r, error);
  }
  if (!empty && !read_fields(r, error)) {
    return report(r, error);
  }
  if (!end_document(r, error)) {
    return r->parser.error ? report(r, error) : leave_out(r, error);
  }
  if (empty) {
    return RC_READ_END;
  }
  return make_tune(r, tune, error) ? RC_READ_TUNE : leave_out(r, error);
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  RcYamlReader *r = reader;
  while (r->parsing) {
    yaml_event_t event;
    rc_tune_clear(tune);
    forget_document(r);
    if (!next_event(r, &event, error)) {
      return report(r, error);
    }
    const yaml_event_type_t type = event.type;
    yaml_event_delete(&event);
    if (type == YAML_STREAM_END_EVENT) {
      break;
    }
    if (type == YAML_DOCUMENT_START_EVENT) {
      r->unparsed = 0;
      const RcReadResult result = read_document(r, tune, error);
      if (result != RC_READ_END) {
        return result;
      }
    }
  }
  return RC_READ_END;
}

static gpointer
start_reading(RcSource *source, RcCorpusOptions options)
{
  RcYamlReader *r = g_new0(RcYamlReader, 1);
  rc_stream_open(&r->stream, source);
  r->options = options;
  r->bars = rc_bar_reader_new();
  r->text = g_string_new(NULL);
  r->parts = g_array_new(FALSE, FALSE, sizeof(PartText));
  start_parser(r);
  return r;
}

static void
end_reading(gpointer reader)
{
  RcYamlReader *r = reader;
  if (r) {
    stop_parser(r);
    rc_stream_close(&r->stream);
    rc_cleaner_clear(&r->cleaner);
    rc_bar_reader_free(r->bars);
    g_string_free(r->text, TRUE);
    g_array_unref(r->parts);
    g_free(r);
  }
}

// ------------------------------------------------------------------------------------------------------- the format

// The key with which a line of a mapping that is not indented begins; its length is 0 where it begins with none.
static gsize
key_length(const char *line, const char *end)
{
  const char *at = line;
  while (at < end && (g_ascii_isalnum(*at) || *at == '_' || *at == '-' || *at == '.')) {
    ++at;
  }
  const gboolean ends = at + 1 >= end || at[1] == ' ' || at[1] == '\n' || at[1] == '\r';
  return at < end && *at == ':' && ends ? (gsize)(at - line) : 0;
}

static gboolean
is_key(const char *text, gsize length)
{
  for (const char *const *key = keys; *key; ++key) {
    if (strlen(*key) == length && !g_ascii_strncasecmp(*key, text, length)) {
      return TRUE;
    }
  }
  return FALSE;
}

// Settings of programs, and lists of their packages, are mappings of several keys as well, none of which is a tune's.
static const char *
foreign(const char *head, gsize length)
{
  const char *end = head + length;
  guint other = 0;
  for (const char *line = head; line < end;) {
    const gsize n = key_length(line, end);
    if (n && is_key(line, n)) {
      return NULL;
    }
    other += n > 0;
    const char *newline = memchr(line, '\n', (gsize)(end - line));
    line = newline ? newline + 1 : end;
  }
  return other > 1 ? "it has none of the keys of a tune (title, key, meter, parts and so on)" : NULL;
}

static const char *const endings[] = { ".yaml", ".yml", NULL };

const RcFormat rc_yaml_format = { .name = "yaml",
                                  .endings = endings,
                                  .tune_begins = "title: ...",
                                  .foreign = foreign,
                                  .start = start_reading,
                                  .next = read_next,
                                  .free = end_reading };
