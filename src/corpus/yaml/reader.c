// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes in YAML, a document each. libyaml's events are read as they come; of a document only the texts of its fields
// are kept, and they become a tune when it ends. After broken YAML reading goes on at the next line that begins with
// "---". A text is cut before such lines; the reader of a piece sees the line after it, where an open quote is noticed.

#include "corpus/yaml/bars.h"
#include "corpus/clean.h"
#include "base/array.h"
#include "base/yaml_tree.h"
#include "corpus/yaml/cuts.h"
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
  guint start_line;    // line, from 0, at which the parser began
  guint document_line; // line, from 0, at which the document began: that of its ---
  gsize unparsed;      // bytes given to the parser since the document began
  gboolean too_long;
  guint depth; // of lists and mappings, where the parser is
  gboolean parts_given;
  GString *text; // of all scalars of the document, each ended by NUL
  Text fields[N_FIELDS];
  GArray *parts;       // of PartText
  RcMistakes mistakes; // of the document
  guint line;          // of its first word
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
  return !rc_piece_failure(r->stream.piece);
}

static void
start_parser(RcYamlReader *r)
{
  rc_cleaner_start(&r->cleaner, r->start_line);
  r->unparsed = 0;
  r->document_line = r->start_line;
  rc_yaml_start(&r->parser);
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
    return event->type == YAML_SCALAR_EVENT ? check_event(r, event, error) : follow_depth(r, event, error);
  }
  const yaml_mark_t *mark = r->too_long ? &r->parser.mark : &r->parser.problem_mark;
  r->failed_line = r->start_line + (guint)mark->line;
  r->failed_column = (guint)mark->column + 1;
  if (r->too_long) {
    return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->stream.name, r->document_line + 1, 0 },
                   "a tune of more than %d bytes; separate tunes by lines of `---`", RC_MAX_TUNE_BYTES);
  }
  const char *failure = rc_piece_failure(r->stream.piece);
  if (failure) {
    return rc_fail(error, RC_ERROR_IO, (RcPlace){ r->stream.name, 0, 0 }, "reading failed: %s", failure);
  }
  return rc_yaml_fail(&r->parser, r->stream.name, r->start_line, error);
}

// --------------------------------------------------------------------------------------------- one document's texts
//
// A mistake in a field is kept among the document's, and reading goes on. What returns FALSE has set an error and
// cannot go on: the YAML is broken, or a limit is reached.

static char
quote_of(yaml_scalar_style_t style)
{
  return style == YAML_SINGLE_QUOTED_SCALAR_STYLE ? '\'' : style == YAML_DOUBLE_QUOTED_SCALAR_STYLE ? '"' : '\0';
}

// Makes room for a text and what ends it at the end of the reader's; GLib's function, called for every text, takes
// longer.
static char *
add_room(GString *texts, gsize length)
{
  const gsize offset = texts->len;
  const gsize end = offset + length + RC_BARS_AFTER;
  if (end < texts->allocated_len) {
    texts->len = end;
  } else {
    g_string_set_size(texts, end);
  }
  return texts->str + offset;
}

// Without the line end that a block has at its end.
static void
keep_text(RcYamlReader *r, const yaml_event_t *event, Text *text)
{
  const yaml_scalar_style_t style = event->data.scalar.style;
  const char *value = (const char *)event->data.scalar.value;
  gsize length = event->data.scalar.length;
  while (length && value[length - 1] == '\n' && !quote_of(style)) {
    --length;
  }
  const RcWritten written = { .length = length,
                              .start = place_of_mark(r, &event->start_mark),
                              .end_line = r->start_line + (guint)event->end_mark.line + 1,
                              .end_column = (guint)event->end_mark.column + 1,
                              .quote = quote_of(style),
                              .block = style == YAML_LITERAL_SCALAR_STYLE || style == YAML_FOLDED_SCALAR_STYLE };
  *text = (Text){ r->text->len, written, TRUE };
  char *kept = add_room(r->text, length);
  memcpy(kept, value, length);
  memset(kept + length, 0, RC_BARS_AFTER);
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

static void
note_mistake(RcYamlReader *r, const yaml_mark_t *mark, const char *message)
{
  GError *mistake = NULL;
  rc_fail(&mistake, RC_ERROR_SYNTAX, place_of_mark(r, mark), "%s", message);
  rc_mistakes_add(&r->mistakes, mistake);
}

// Passes over what is left of a text, list or mapping that begins with an event of this type.
static gboolean
skip_rest(RcYamlReader *r, yaml_event_type_t type, GError **error)
{
  const gboolean nests = type == YAML_SEQUENCE_START_EVENT || type == YAML_MAPPING_START_EVENT;
  const guint depth = r->depth - 1;
  yaml_event_t event;
  while (nests && r->depth > depth) {
    if (!next_event(r, &event, error)) {
      return FALSE;
    }
    yaml_event_delete(&event);
  }
  return TRUE;
}

static gboolean
skip_value(RcYamlReader *r, GError **error)
{
  yaml_event_t event;
  if (!next_event(r, &event, error)) {
    return FALSE;
  }
  const yaml_event_type_t type = event.type;
  yaml_event_delete(&event);
  return skip_rest(r, type, error);
}

// Reads what begins with an event that is expected here, or notes the mistake and passes over it.
static gboolean
expect(RcYamlReader *r, yaml_event_t *event, yaml_event_type_t type, const char *wanted, gboolean *found,
       GError **error)
{
  if (!next_event(r, event, error)) {
    return FALSE;
  }
  *found = event->type == type;
  if (*found) {
    return TRUE;
  }
  const yaml_event_type_t other = event->type;
  note_mistake(r, &event->start_mark, wanted);
  yaml_event_delete(event);
  return skip_rest(r, other, error);
}

// Passes over a key that is no text, and its value.
static gboolean
skip_pair(RcYamlReader *r, const yaml_event_t *key, const char *wanted, GError **error)
{
  note_mistake(r, &key->start_mark, wanted);
  return skip_rest(r, key->type, error) && skip_value(r, error);
}

static gboolean
read_scalar(RcYamlReader *r, Text *text, const char *wanted, GError **error)
{
  yaml_event_t event;
  gboolean found = FALSE;
  if (!expect(r, &event, YAML_SCALAR_EVENT, wanted, &found, error)) {
    return FALSE;
  }
  if (found) {
    keep_text(r, &event, text);
    yaml_event_delete(&event);
  }
  return TRUE;
}

static gboolean
has_part(const RcYamlReader *r, const char *name)
{
  for (guint i = 0; i < r->parts->len; ++i) {
    if (!strcmp(text_of(r, &g_array_index(r->parts, PartText, i).label), name)) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
read_part(RcYamlReader *r, const yaml_event_t *label, GError **error)
{
  PartText part = { .label = { 0 }, .bars = { 0 } };
  const RcPlace place = place_of_mark(r, &label->start_mark);
  if (r->parts->len == RC_MAX_PARTS) {
    return rc_fail(error, RC_ERROR_LIMIT, place, "more than %d parts", RC_MAX_PARTS);
  }
  keep_text(r, label, &part.label);
  const char *name = text_of(r, &part.label);
  if (has_part(r, name)) {
    GError *mistake = NULL;
    rc_fail(&mistake, RC_ERROR_VALUE, place, "the part `%s` is given twice; give one of them another name", name);
    rc_mistakes_add(&r->mistakes, mistake);
    return skip_value(r, error);
  }
  if (!read_scalar(r, &part.bars, "a part is a text of bars, such as A: \"| D | Bm |\"", error)) {
    return FALSE;
  }
  if (part.bars.given) {
    g_array_append_val(r->parts, part);
  }
  return TRUE;
}

static gboolean
read_parts(RcYamlReader *r, GError **error)
{
  yaml_event_t event;
  gboolean good = FALSE;
  if (!expect(r, &event, YAML_MAPPING_START_EVENT, "`parts` holds lines such as A: \"| D | Bm |\"", &good, error)) {
    return FALSE;
  }
  if (!good) {
    return TRUE;
  }
  yaml_event_delete(&event);
  while (good && next_event(r, &event, error)) {
    const gboolean ends = event.type == YAML_MAPPING_END_EVENT;
    good = ends ||
           (event.type == YAML_SCALAR_EVENT ? read_part(r, &event, error)
                                            : skip_pair(r, &event, "a part's name is a short text such as A", error));
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
  const char initial = g_ascii_tolower(*name);
  guint i = 0;
  while (i < N_KEYS &&
         (initial != *keys[i] || (strcmp(name, keys[i]) != 0 && g_ascii_strcasecmp(name, keys[i]) != 0))) {
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
    GError *mistake = NULL;
    rc_yaml_fail_key(place_of_mark(r, &key->start_mark), name, keys, &mistake);
    rc_mistakes_add(&r->mistakes, mistake);
    return skip_value(r, error);
  }
  if (found == KEY_PARTS ? r->parts_given : r->fields[found].given) {
    return skip_pair(r, key, "this key is given twice in the tune; keep one", error);
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
      ends || (event.type == YAML_SCALAR_EVENT ? read_field(r, &event, error)
                                               : skip_pair(r, &event, "a key such as `title` is expected here", error));
    yaml_event_delete(&event);
    if (ends || !good) {
      return good;
    }
  }
  return FALSE;
}

// ------------------------------------------------------------------------------------------------- texts into a tune
//
// Each of these notes what is wrong with its texts, and the others are read all the same.

// Keeps a mistake that a function has set, if it has.
static gboolean
keep_mistake(RcYamlReader *r, GError *mistake)
{
  if (mistake) {
    rc_mistakes_add(&r->mistakes, mistake);
  }
  return !mistake;
}

static void
note_field(RcYamlReader *r, Field field, const char *expected)
{
  const Text *text = &r->fields[field];
  GError *mistake = NULL;
  rc_fail(&mistake, RC_ERROR_VALUE, text->written.start, "found %s `%s`; expected %s", keys[field], text_of(r, text),
          expected);
  rc_mistakes_add(&r->mistakes, mistake);
}

// Says that the tune lacks something, unless there is a mistake that may be why.
static void
note_lack(RcYamlReader *r, const char *message)
{
  if (!r->mistakes.found) {
    GError *mistake = NULL;
    rc_fail(&mistake, RC_ERROR_VALUE, (RcPlace){ r->stream.name, r->line, 0 }, "%s", message);
    rc_mistakes_add(&r->mistakes, mistake);
  }
}

// Checks that a text that is a line has no line end, which an escape may stand for.
static gboolean
check_line(RcYamlReader *r, const Text *text, const char *what)
{
  const gboolean may_hold = text->written.quote == '"' || text->written.start.line != text->written.end_line;
  const char *at = text->given && may_hold ? rc_yaml_line_end(text_of(r, text)) : NULL;
  GError *mistake = NULL;
  if (at) {
    rc_yaml_fail_line_end(text->written.start, what, at, &mistake);
  }
  return keep_mistake(r, mistake);
}

// Bars may stand on several lines, but escapes for a line end are a mistake.
static gboolean
check_bars(RcYamlReader *r, const Text *bars)
{
  return bars->written.start.line != bars->written.end_line || check_line(r, bars, "a row of bars");
}

static void
set_title(RcYamlReader *r, RcTune *tune)
{
  const Text *title = &r->fields[FIELD_TITLE];
  const Text *rhythm = &r->fields[FIELD_RHYTHM];
  if (!title->given || !title->written.length) {
    note_lack(r, "a tune needs a line `title: ...`; the tune was left out");
  } else if (check_line(r, title, "title")) {
    tune->title = rc_tune_text(tune, text_of(r, title), title->written.length);
  }
  if (check_line(r, rhythm, "rhythm") && rhythm->written.length) {
    tune->rhythm = rc_tune_text(tune, text_of(r, rhythm), rhythm->written.length);
  }
}

// "d minor" is D minor.
static gboolean
read_key(const char *text, RcNames names, RcKey *key)
{
  if (!g_ascii_islower(*text)) {
    return rc_key_parse(text, names, key, NULL);
  }
  char *capital = g_strdup(text);
  *capital = g_ascii_toupper(*capital);
  const gboolean good = rc_key_parse(capital, names, key, NULL);
  g_free(capital);
  return good;
}

static void
set_key_and_time(RcYamlReader *r, RcTune *tune, RcNames names)
{
  const Text *fields = r->fields;
  RcSetting *start = &g_array_index(tune->settings, RcSetting, 0);
  if (fields[FIELD_KEY].given && !read_key(text_of(r, &fields[FIELD_KEY]), names, &start->key)) {
    note_field(r, FIELD_KEY, "a tonic and a mode, such as D, Bm, E dorian");
  }
  if (fields[FIELD_METER].given && !rc_meter_parse(text_of(r, &fields[FIELD_METER]), &start->meter)) {
    note_field(r, FIELD_METER, "beats and note value, such as 3/4 or 6/8");
  }
  if (fields[FIELD_TEMPO].given && !rc_tempo_parse(text_of(r, &fields[FIELD_TEMPO]), start->meter, &start->tempo)) {
    note_field(r, FIELD_TEMPO, "beats a minute such as 138 or 1/4=138, 5 to 1000 quarter notes a minute");
  }
  start->tones = rc_key_tones(start->key);
}

static RcNames
find_names(RcYamlReader *r)
{
  const char *text = r->fields[FIELD_NAMES].given ? text_of(r, &r->fields[FIELD_NAMES]) : NULL;
  if (!text) {
    return r->options.names;
  }
  const gboolean german = !strcmp(text, "german");
  if (!german && strcmp(text, "english") != 0) {
    note_field(r, FIELD_NAMES, "english or german (H is B natural)");
  }
  return german ? RC_NAMES_GERMAN : RC_NAMES_ENGLISH;
}

// FALSE where a limit is reached.
static gboolean
set_part(RcYamlReader *r, RcTune *tune, const PartText *text)
{
  const gboolean named = check_line(r, &text->label, "a part's name");
  if (!check_bars(r, &text->bars)) {
    return TRUE;
  }
  RcPart part = { "", tune->bars->len, 0 };
  RcCursor cursor = start_cursor(r, &text->bars);
  if (!rc_bar_reader_read(r->bars, &cursor, &r->mistakes)) {
    return FALSE;
  }
  part.label = named ? rc_tune_text(tune, text_of(r, &text->label), text->label.written.length) : "";
  part.count = tune->bars->len - part.first;
  g_array_append_val(tune->parts, part);
  return TRUE;
}

static void
set_parts(RcYamlReader *r, RcTune *tune, RcNames names)
{
  rc_bar_reader_start(r->bars, tune, names);
  for (guint i = 0; i < r->parts->len; ++i) {
    if (!set_part(r, tune, &g_array_index(r->parts, PartText, i))) {
      return;
    }
  }
  if (!r->parts->len) {
    note_lack(r, "a tune needs `parts:` with lines such as A: \"| D | Bm |\"");
  }
}

static gboolean
play_part(RcTune *tune, const RcPart *part)
{
  const guint before = tune->played->len;
  if (before + part->count > RC_MAX_PLAYED_BARS) {
    return FALSE;
  }
  g_array_set_size(tune->played, before + part->count);
  guint *played = &g_array_index(tune->played, guint, before);
  const RcPart bars = *part;
  for (guint i = 0; i < bars.count; ++i) {
    played[i] = bars.first + i;
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
note_length(RcYamlReader *r, const RcTune *tune)
{
  GError *mistake = NULL;
  rc_fail(&mistake, RC_ERROR_LIMIT, (RcPlace){ r->stream.name, r->line, 0 }, "`%s` plays more than %d bars",
          tune->title, RC_MAX_PLAYED_BARS);
  return keep_mistake(r, mistake);
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

// The parts that the order leaves out, with the place of the first.
static void
remark_unplayed(const RcYamlReader *r, RcTune *tune, const gboolean *named)
{
  guint first = 0;
  while (first < tune->parts->len && named[first]) {
    ++first;
  }
  if (first == tune->parts->len) {
    return;
  }
  const RcPlace place = g_array_index(r->parts, PartText, first).label.written.start;
  GString *names = g_string_new(NULL);
  for (guint i = first; i < tune->parts->len; ++i) {
    if (!named[i]) {
      g_string_append_printf(names, "%s`%s`", names->len ? ", " : "", g_array_index(tune->parts, RcPart, i).label);
    }
  }
  rc_tune_remark(tune, RC_REMARK_UNPLAYED, place.line, place.column,
                 "written, but never played, since the order does not name it: %s", names->str);
  g_string_free(names, TRUE);
}

static void
note_unknown_part(RcYamlReader *r, RcPlace place, const char *label, gsize length)
{
  GError *mistake = NULL;
  rc_fail(&mistake, RC_ERROR_VALUE, place, "the order names part `%.*s`, which `parts` does not hold",
          (int)MIN(length, 40), label);
  rc_mistakes_add(&r->mistakes, mistake);
}

static void
play_in_order(RcYamlReader *r, RcTune *tune)
{
  const Text *order = &r->fields[FIELD_ORDER];
  const char *text = text_of(r, order);
  RcCursor cursor = start_cursor(r, order);
  gboolean *named = g_new0(gboolean, tune->parts->len); // by part
  for (const char *at = skip_dividers(text); *at; at = skip_dividers(at)) {
    const gsize length = label_length(at);
    const RcPart *part = find_part(tune, at, length);
    if (!part) {
      note_unknown_part(r, rc_cursor_place(&cursor, (gsize)(at - text)), at, length);
    } else if (!play_part(tune, part)) {
      note_length(r, tune);
      break;
    } else {
      named[part - &g_array_index(tune->parts, RcPart, 0)] = TRUE;
    }
    at += length;
  }
  if (!*skip_dividers(text)) {
    note_field(r, FIELD_ORDER, "names of parts, such as A A B B");
  }
  remark_unplayed(r, tune, named);
  g_free(named);
}

static void
set_order(RcYamlReader *r, RcTune *tune)
{
  if (r->fields[FIELD_ORDER].given) {
    play_in_order(r, tune);
    return;
  }
  for (guint i = 0; i < tune->parts->len; ++i) {
    if (!play_part(tune, &g_array_index(tune->parts, RcPart, i))) {
      note_length(r, tune);
      return;
    }
  }
}

// The title of a document that broke before its events came, from its text: on a line between its "---" and the
// failure.
static char *
find_title(RcYamlReader *r)
{
  rc_stream_hold_line(&r->stream); // it may be the last
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

// Whether the texts of the document make a tune. Its order is judged where nothing else is wrong.
static gboolean
make_tune(RcYamlReader *r, RcTune *tune)
{
  set_title(r, tune);
  const RcNames names = find_names(r);
  set_key_and_time(r, tune, names);
  set_parts(r, tune, names);
  if (!r->mistakes.found) {
    set_order(r, tune);
  }
  return !r->mistakes.found;
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

// Whether the next piece begins with a line, from 0, or before.
static gboolean
is_next_piece(const RcYamlReader *r, guint line)
{
  return line + 1 >= r->stream.piece->end_line;
}

// After broken YAML: a new parser from the next "---", or none.
static void
restart(RcYamlReader *r)
{
  guint line = MAX(r->failed_line, r->document_line + 1);
  const gboolean lost = rc_piece_failure(r->stream.piece) || r->parser.error == YAML_MEMORY_ERROR;
  stop_parser(r);
  r->too_long = FALSE;
  if (!lost && rc_stream_seek_document(&r->stream, &line) && !is_next_piece(r, line)) {
    r->start_line = line;
    start_parser(r);
  }
}

// Gives the next mistake of the document.
static RcReadResult
give_mistake(RcYamlReader *r, GError **error)
{
  GError *mistake = rc_mistakes_take(&r->mistakes, (RcPlace){ r->stream.name, r->line, 0 });
  if (mistake) {
    g_propagate_error(error, mistake);
  }
  return mistake ? RC_READ_PROBLEM : RC_READ_END;
}

// The document is no tune: gives the first of its mistakes, which names it; the others follow.
static RcReadResult
leave_out(RcYamlReader *r, GError **error)
{
  const Text *title = &r->fields[FIELD_TITLE];
  GError *first = NULL;
  const RcReadResult result = give_mistake(r, &first);
  char *name = title->given ? g_strdup(text_of(r, title)) : r->parser.error ? find_title(r) : NULL;
  rc_reader_left_out(&first, name);
  g_propagate_error(error, first);
  g_free(name);
  return result;
}

// Reading the document came to an end at `mistake`, or at bad text that explains it; goes on after the document.
static RcReadResult
report(RcYamlReader *r, GError *mistake, GError **error)
{
  guint line = r->failed_line;
  guint column = r->failed_column;
  const gboolean broken = r->parser.error != YAML_NO_ERROR || !skip_document(r, &line, &column);
  take_bad_text(r, line, column, &mistake);
  rc_mistakes_add(&r->mistakes, mistake);
  const RcReadResult result = leave_out(r, error);
  if (broken) {
    restart(r);
  }
  return result;
}

static void
forget_document(RcYamlReader *r)
{
  memset(r->fields, 0, sizeof r->fields);
  g_string_truncate(r->text, 0);
  rc_array_cut(r->parts, 0);
  r->parts_given = FALSE;
  rc_mistakes_clear(&r->mistakes);
}

static gboolean
is_empty_scalar(const yaml_event_t *event)
{
  return event->type == YAML_SCALAR_EVENT && !event->data.scalar.length;
}

// Reads the end of a document; FALSE where the YAML is broken there. Bytes of it that are no text are a mistake.
static gboolean
end_document(RcYamlReader *r, GError **error)
{
  yaml_event_t event;
  GError *bad = NULL;
  if (!next_event(r, &event, error)) {
    return FALSE;
  }
  const yaml_mark_t mark = event.start_mark;
  yaml_event_delete(&event);
  take_bad_text(r, r->start_line + (guint)mark.line, (guint)mark.column, &bad);
  keep_mistake(r, bad);
  return TRUE;
}

// Reads the texts of a document up to its end; FALSE where it cannot be read to its end. @p empty says whether there is
// nothing in it.
static gboolean
read_texts(RcYamlReader *r, gboolean *empty, GError **error)
{
  yaml_event_t event;
  if (!next_event(r, &event, error)) {
    return FALSE;
  }
  const yaml_event_type_t type = event.type;
  *empty = is_empty_scalar(&event);
  const RcPlace place = place_of_mark(r, &event.start_mark);
  yaml_event_delete(&event);
  r->line = place.line;
  if (!*empty && type != YAML_MAPPING_START_EVENT) {
    return rc_fail(error, RC_ERROR_SYNTAX, place,
                   "a tune begins with lines such as `title: ...`; found something else");
  }
  return (*empty || read_fields(r, error)) && end_document(r, error);
}

// Reads one document up to its end; an empty one gives RC_READ_END.
static RcReadResult
read_document(RcYamlReader *r, RcTune *tune, GError **error)
{
  GError *mistake = NULL;
  gboolean empty = FALSE;
  if (!read_texts(r, &empty, &mistake)) {
    return report(r, mistake, error);
  }
  if (empty && !r->mistakes.found) {
    return RC_READ_END;
  }
  tune->file = r->stream.name;
  tune->line = r->line;
  return make_tune(r, tune) ? RC_READ_TUNE : leave_out(r, error);
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  RcYamlReader *r = reader;
  if (give_mistake(r, error) == RC_READ_PROBLEM) {
    return RC_READ_PROBLEM;
  }
  while (r->parsing) {
    yaml_event_t event;
    GError *mistake = NULL;
    rc_tune_clear(tune);
    forget_document(r);
    if (!next_event(r, &event, &mistake)) {
      return report(r, mistake, error);
    }
    const yaml_event_type_t type = event.type;
    const guint line = r->start_line + (guint)event.start_mark.line;
    yaml_event_delete(&event);
    if (type == YAML_STREAM_END_EVENT || is_next_piece(r, line)) {
      stop_parser(r);
      break;
    }
    if (type == YAML_DOCUMENT_START_EVENT) {
      r->unparsed = 0;
      r->document_line = line;
      const RcReadResult result = read_document(r, tune, error);
      if (result != RC_READ_END) {
        return result;
      }
    }
  }
  return RC_READ_END;
}

static void
read_piece(gpointer reader, RcPiece *piece)
{
  RcYamlReader *r = reader;
  stop_parser(r);
  rc_mistakes_clear(&r->mistakes);
  rc_stream_open(&r->stream, piece);
  r->start_line = piece->first_line - 1;
  r->too_long = FALSE;
  start_parser(r);
}

static gpointer
start_reading(RcPiece *piece, RcCorpusOptions options)
{
  RcYamlReader *r = g_new0(RcYamlReader, 1);
  r->options = options;
  r->bars = rc_bar_reader_new();
  r->text = g_string_new(NULL);
  r->parts = g_array_new(FALSE, FALSE, sizeof(PartText));
  read_piece(r, piece);
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
    rc_mistakes_clear(&r->mistakes);
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
                                  .cuts = &rc_yaml_cuts,
                                  .start = start_reading,
                                  .restart = read_piece,
                                  .next = read_next,
                                  .free = end_reading };
