// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// MusicXML 4.0, partwise and timewise, read once from start to end as expat gives its elements. A file holds one tune.
// What an element does stands in tables; those that are in none are passed over. Nothing is ever
// fetched: no external entity is read, and a document that declares entities is refused.

#include "corpus/musicxml/body.h"
#include "corpus/format.h"
#include "corpus/reader.h"

#include <math.h>
#include <string.h>

enum { BUFFER = 64 << 10, NO_ELEMENT = MX_MAX_ELEMENTS };

// ----------------------------------------------------------------------------------------------------------- errors

RcPlace
mx_place(RcMusicxmlReader *r)
{
  return (RcPlace){ r->name, (guint)XML_GetCurrentLineNumber(r->parser),
                    (guint)XML_GetCurrentColumnNumber(r->parser) + 1 };
}

void
mx_fail(RcMusicxmlReader *r, RcErrorCode code, const char *format, ...)
{
  if (r->error) {
    return;
  }
  va_list arguments;
  va_start(arguments, format);
  char *message = g_strdup_vprintf(format, arguments);
  va_end(arguments);
  rc_fail(&r->error, code, mx_place(r), "%s", message);
  g_free(message);
  XML_StopParser(r->parser, XML_FALSE);
}

void
mx_fail_limit(RcMusicxmlReader *r, const char *what, guint limit)
{
  mx_fail(r, RC_ERROR_LIMIT, "more than %u %s", limit, what);
}

void
mx_fail_found(RcMusicxmlReader *r, const char *expected)
{
  enum { SHOWN = 40 };
  char *found = g_utf8_substring(r->text, 0, MIN(g_utf8_strlen(r->text, -1), SHOWN));
  mx_fail(r, RC_ERROR_VALUE, "found `%s`; expected %s", found, expected);
  g_free(found);
}

// ----------------------------------------------------------------------------------------------------------- values

const char *
mx_attribute(const char **attributes, const char *name)
{
  for (; *attributes; attributes += 2) {
    if (!strcmp(attributes[0], name)) {
      return attributes[1];
    }
  }
  return NULL;
}

gboolean
mx_read_number(const char *text, double *number)
{
  if (g_ascii_isdigit(text[0]) && !text[1]) { // most of them
    *number = text[0] - '0';
    return TRUE;
  }
  char *end = NULL;
  const double value = g_ascii_strtod(text, &end);
  if (end == text || *end || !isfinite(value)) {
    return FALSE;
  }
  *number = value;
  return TRUE;
}

gboolean
mx_read_whole(RcMusicxmlReader *r, int least, int most, int *number)
{
  double value = 0;
  if (!mx_read_number(r->text, &value) || value < least || value > most) {
    char *expected = g_strdup_printf("a number from %d to %d", least, most);
    mx_fail_found(r, expected);
    g_free(expected);
    return FALSE;
  }
  *number = (int)lround(value);
  return TRUE;
}

guint
mx_read_count(const char *text, guint other)
{
  const guint64 number = text ? g_ascii_strtoull(text, NULL, 10) : 0;
  return number ? (guint)MIN(number, G_MAXUINT16) : other;
}

// ------------------------------------------------------------------------------------------------------------- time

MxPart *
mx_part(RcMusicxmlReader *r)
{
  return &g_array_index(r->parts, MxPart, r->part);
}

RcTicks
mx_ticks_at(RcMusicxmlReader *r, double pos)
{
  const double divisions = mx_part(r)->divisions;
  return r->base + (divisions > 0 ? (RcTicks)llround(pos * (double)RC_QUARTER / divisions) : 0);
}

MxPoint
mx_point(RcMusicxmlReader *r, double offset)
{
  const RcTicks pos = mx_ticks_at(r, r->pos + offset);
  return (MxPoint){ r->measure, r->order++, MAX(pos, 0) };
}

RcBarMarks *
mx_marks(RcMusicxmlReader *r)
{
  return &g_array_index(r->score.marks, RcBarMarks, r->measure);
}

void
mx_advance(RcMusicxmlReader *r, double duration)
{
  r->pos += duration;
  const RcTicks end = mx_ticks_at(r, r->pos);
  RcTicks *length = &g_array_index(r->score.measures, MxMeasure, r->measure).length;
  if (end > MX_LONGEST_BAR * RC_QUARTER) {
    mx_fail(r, RC_ERROR_LIMIT, "a measure longer than %d quarter notes", MX_LONGEST_BAR);
  } else {
    *length = MAX(*length, end);
  }
}

void
mx_add_change(RcMusicxmlReader *r, MxChangeKind kind, const RcSetting *setting)
{
  const MxChange change = { mx_point(r, 0), *setting };
  mx_track_add(&r->score.changes[kind], r->part, &change);
  if (r->score.changes[kind].items->len > RC_MAX_EVENTS) {
    mx_fail_limit(r, "changes of key, meter or tempo", RC_MAX_EVENTS);
  }
}

// ----------------------------------------------------------------------------------------------- parts and measures

static void
clear_part(gpointer part)
{
  g_free(((MxPart *)part)->id);
}

static void
select_part(RcMusicxmlReader *r, const char *id)
{
  id = id ? id : "";
  for (r->part = 0; r->part < r->parts->len; ++r->part) {
    if (!strcmp(mx_part(r)->id, id)) {
      return;
    }
  }
  if (r->parts->len == RC_MAX_PARTS) {
    mx_fail_limit(r, "parts", RC_MAX_PARTS);
    r->part = 0;
    return;
  }
  const MxPart part = { .id = g_strdup(id) };
  g_array_append_val(r->parts, part);
}

// A measure of a part begins.
static void
begin_measure(RcMusicxmlReader *r)
{
  if (r->measure == RC_MAX_BARS) {
    mx_fail_limit(r, "measures", RC_MAX_BARS);
    return;
  }
  if (r->measure >= r->score.measures->len) {
    const RcPlace place = mx_place(r);
    const MxMeasure measure = { .line = place.line, .column = place.column };
    g_array_append_val(r->score.measures, measure);
    g_array_set_size(r->score.marks, r->score.measures->len);
  }
  r->inside = TRUE;
  r->base = 0;
  r->pos = 0;
  r->before = 0;
  r->n_chords = 0;
}

// A partwise score has measures in parts, a timewise one parts in measures; both are in the score itself.
enum { OUTER = 2, INNER = 3 };

static gboolean
is_inner(const RcMusicxmlReader *r)
{
  return r->depth == INNER && r->stack[1] != NO_ELEMENT;
}

static void
start_part(RcMusicxmlReader *r, const char **attributes)
{
  const char *id = mx_attribute(attributes, "id");
  if (r->timewise && is_inner(r)) {
    select_part(r, id);
    begin_measure(r);
  } else if (!r->timewise && r->depth == OUTER) {
    select_part(r, id);
    r->measure = 0;
  }
}

static void
start_measure(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  if (!r->timewise && is_inner(r) && r->parts->len) {
    begin_measure(r);
  }
}

static void
end_part(RcMusicxmlReader *r)
{
  r->inside &= r->depth >= INNER;
}

// The element was left: its depth is one more.
static void
end_measure(RcMusicxmlReader *r)
{
  const guint depth = r->depth + 1;
  r->measure += depth == (r->timewise ? OUTER : INNER);
  r->inside &= r->depth >= INNER;
}

// ------------------------------------------------------------------------------------------------------------ heads

// The work's title before that of the movement.
static void
end_work_title(RcMusicxmlReader *r)
{
  if (r->length) {
    g_free(r->title);
    r->title = g_strdup(r->text);
  }
}

static void
end_movement_title(RcMusicxmlReader *r)
{
  if (!r->title) {
    end_work_title(r);
  }
}

// ----------------------------------------------------------------------------------------------------- the elements

static const MxElement head_elements[] = {
  { "work-title", NULL, NULL, end_work_title, TRUE },
  { "movement-title", NULL, NULL, end_movement_title, TRUE },
  { "part", NULL, start_part, end_part, FALSE },
  { "measure", NULL, start_measure, end_measure, FALSE },
  { NULL, NULL, NULL, NULL, FALSE },
};

static guint
hash(const char *name)
{
  guint sum = 0;
  for (; *name; ++name) {
    sum = sum * 31 + (guchar)*name;
  }
  return (sum ^ sum >> 8U) % MX_SLOTS;
}

static void
add_elements(RcMusicxmlReader *r, const MxElement *table)
{
  for (; table->name; ++table) {
    g_assert(r->n_elements < MX_MAX_ELEMENTS);
    guint slot = hash(table->name);
    while (r->slots[slot]) {
      slot = (slot + 1) % MX_SLOTS;
    }
    r->elements[r->n_elements++] = table;
    r->slots[slot] = (guint8)r->n_elements;
  }
}

static guint
find_element(const RcMusicxmlReader *r, const char *name)
{
  for (guint slot = hash(name); r->slots[slot]; slot = (slot + 1) % MX_SLOTS) {
    const guint index = r->slots[slot] - 1U;
    if (!strcmp(r->elements[index]->name, name)) {
      return index;
    }
  }
  return NO_ELEMENT;
}

static void
learn_elements(RcMusicxmlReader *r)
{
  add_elements(r, head_elements);
  r->n_head = r->n_elements;
  add_elements(r, mx_attribute_elements);
  add_elements(r, mx_note_elements);
  add_elements(r, mx_harmony_elements);
  add_elements(r, mx_direction_elements);
  for (guint i = 0; i < r->n_elements; ++i) {
    const char *within = r->elements[i]->within;
    const gboolean any = !within || !strcmp(within, MX_IN_MEASURE);
    r->around[i] = (guint8)(any ? NO_ELEMENT : find_element(r, within));
  }
}

// Whether an element that may stand directly in a measure only does so.
static gboolean
stands_right(const RcMusicxmlReader *r, guint index)
{
  const char *within = r->elements[index]->within;
  return r->depth == INNER || !within || strcmp(within, MX_IN_MEASURE) != 0;
}

// The element that begins, if it is one that counts here.
static guint
element_here(RcMusicxmlReader *r, const char *name)
{
  const guint index = find_element(r, name);
  if (index == NO_ELEMENT || (index >= r->n_head && !r->inside)) {
    return NO_ELEMENT;
  }
  if (r->around[index] == NO_ELEMENT && !stands_right(r, index)) {
    mx_fail(r, RC_ERROR_SYNTAX, "`%s` stands in another element of its measure; close that one before it", name);
    return NO_ELEMENT;
  }
  return r->around[index] == NO_ELEMENT || r->around[index] == r->stack[r->depth - 1] ? index : NO_ELEMENT;
}

static void
start_root(RcMusicxmlReader *r, const char *name)
{
  r->timewise = !strcmp(name, "score-timewise");
  if (!strcmp(name, "opus")) {
    mx_fail(r, RC_ERROR_SYNTAX, "an opus only lists scores; name their files instead");
  } else if (!r->timewise && strcmp(name, "score-partwise") != 0) {
    mx_fail(r, RC_ERROR_SYNTAX, "MusicXML begins with the element `score-partwise` or `score-timewise`; found `%.40s`",
            name);
  }
}

static void XMLCALL
read_characters(void *data, const char *text, int length)
{
  RcMusicxmlReader *r = data;
  if (r->length + (gsize)length > MX_MAX_TEXT) {
    mx_fail_limit(r, "bytes of text in an element", MX_MAX_TEXT);
    return;
  }
  memcpy(r->text + r->length, text, (gsize)length);
  r->length += (gsize)length;
}

static void XMLCALL
start_element(void *data, const char *name, const char **attributes)
{
  RcMusicxmlReader *r = data;
  if (r->depth == MX_MAX_DEPTH) {
    mx_fail_limit(r, "elements in one another", MX_MAX_DEPTH);
    return;
  }
  if (!r->depth) {
    start_root(r, name);
  }
  const guint index = r->depth ? element_here(r, name) : NO_ELEMENT;
  r->stack[r->depth++] = (guint8)index;
  if (index == NO_ELEMENT) {
    return;
  }
  const MxElement *element = r->elements[index];
  if (element->has_text) {
    r->length = 0;
    XML_SetCharacterDataHandler(r->parser, read_characters);
  }
  if (element->start) {
    element->start(r, attributes);
  }
}

// Without the blanks around it.
static void
trim_text(RcMusicxmlReader *r)
{
  gsize start = 0;
  while (r->length && g_ascii_isspace(r->text[r->length - 1])) {
    --r->length;
  }
  while (start < r->length && g_ascii_isspace(r->text[start])) {
    ++start;
  }
  r->length -= start;
  if (start) {
    memmove(r->text, r->text + start, r->length);
  }
  r->text[r->length] = '\0';
}

static void XMLCALL
end_element(void *data, const char *name)
{
  RcMusicxmlReader *r = data;
  (void)name;
  if (r->error || !r->depth) {
    return;
  }
  const guint index = r->stack[--r->depth];
  if (index == NO_ELEMENT) {
    return;
  }
  const MxElement *element = r->elements[index];
  if (element->has_text) {
    XML_SetCharacterDataHandler(r->parser, NULL);
    trim_text(r);
  }
  if (element->end) {
    element->end(r);
  }
}

// No entity is needed in a score, and they can grow without end.
static void XMLCALL
refuse_entity(void *data, const char *name, int is_parameter, const char *value, int length, const char *base,
              const char *system_id, const char *public_id, const char *notation)
{
  RcMusicxmlReader *r = data;
  (void)is_parameter, (void)value, (void)length, (void)base, (void)system_id, (void)public_id, (void)notation;
  mx_fail(r, RC_ERROR_SYNTAX, "the document declares the entity `%.40s`; write its text in its place", name);
}

// ---------------------------------------------------------------------------------------------------------- reading

static gpointer
start_reading(RcSource *source, RcCorpusOptions options)
{
  RcMusicxmlReader *r = g_new0(RcMusicxmlReader, 1);
  r->melody_notes = options.melody_notes; // its names of notes have one language
  r->source = source;
  r->name = rc_source_name(source);
  r->symbols = rc_symbols_new();
  r->parts = g_array_new(FALSE, FALSE, sizeof(MxPart));
  g_array_set_clear_func(r->parts, clear_part);
  mx_score_start(&r->score);
  learn_elements(r);
  r->parser = XML_ParserCreate(NULL);
  XML_SetUserData(r->parser, r);
  XML_SetElementHandler(r->parser, start_element, end_element);
  XML_SetEntityDeclHandler(r->parser, refuse_entity);
  return r;
}

static void
end_reading(gpointer reader)
{
  RcMusicxmlReader *r = reader;
  if (r) {
    XML_ParserFree(r->parser);
    g_clear_error(&r->error);
    g_free(r->title);
    g_array_unref(r->parts);
    mx_score_clear(&r->score);
    rc_symbols_free(r->symbols);
    g_free(r);
  }
}

static void
fail_xml(RcMusicxmlReader *r)
{
  const enum XML_Error code = XML_GetErrorCode(r->parser);
  if (code == XML_ERROR_NO_ELEMENTS && r->depth) {
    mx_fail(r, RC_ERROR_SYNTAX, "the score ends within an element that is not closed");
  } else if (code == XML_ERROR_NO_ELEMENTS) {
    mx_fail(r, RC_ERROR_SYNTAX, "holds no score; MusicXML begins with the element `score-partwise`");
  } else {
    mx_fail(r, code == XML_ERROR_INVALID_TOKEN || code == XML_ERROR_PARTIAL_CHAR ? RC_ERROR_ENCODING : RC_ERROR_SYNTAX,
            "the XML is broken here: %s", XML_ErrorString(code));
  }
}

// What is not complete is held and looked at again with each further piece, which takes time with the square of it.
// Newer versions of expat wait for more before they look again, and do not say meanwhile where it begins.
static void
check_tag(RcMusicxmlReader *r, gint64 fed, gint64 *begins)
{
  *begins = MAX(XML_GetCurrentByteIndex(r->parser), *begins);
  if (fed - *begins > MX_MAX_TAG && !r->error) {
    mx_fail_limit(r, "bytes of a tag or a comment", MX_MAX_TAG);
  }
}

static gboolean
parse(RcMusicxmlReader *r)
{
  gint64 fed = 0;
  gint64 begins = 0;
  for (gsize n = 1; n && !r->error;) {
    void *buffer = XML_GetBuffer(r->parser, BUFFER);
    if (!buffer) {
      g_error("no memory is left");
    }
    n = rc_source_read(r->source, buffer, BUFFER);
    fed += (gint64)n;
    if (rc_source_failure(r->source)) {
      mx_fail(r, RC_ERROR_IO, "reading failed: %s", rc_source_failure(r->source));
    } else if (XML_ParseBuffer(r->parser, (int)n, n == 0) != XML_STATUS_OK) {
      fail_xml(r);
    }
    check_tag(r, fed, &begins);
  }
  return !r->error;
}

static gboolean
make_tune(RcMusicxmlReader *r, RcTune *tune)
{
  const char *title = r->title ? r->title : "(no title)";
  tune->title = rc_tune_text(tune, title, strlen(title));
  if (!r->score.measures->len) {
    rc_fail(&r->error, RC_ERROR_SYNTAX, (RcPlace){ r->name, 0, 0 },
            "the score holds no music: a `part` with a `measure` is needed");
  } else if (!mx_score_into_tune(&r->score, tune, r->symbols)) {
    rc_fail(&r->error, RC_ERROR_LIMIT, (RcPlace){ r->name, 0, 0 }, "the score plays more than %d bars or chords",
            RC_MAX_PLAYED_BARS);
  }
  if (!r->error && r->melody_notes) {
    mx_score_keep_notes(&r->score, tune);
  }
  return !r->error;
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  RcMusicxmlReader *r = reader;
  rc_tune_clear(tune);
  if (r->done) {
    return RC_READ_END;
  }
  r->done = TRUE;
  r->tune = tune;
  tune->file = r->name;
  tune->line = 1;
  rc_symbols_start(r->symbols, tune, RC_NAMES_ENGLISH);
  if (parse(r) && make_tune(r, tune)) {
    return RC_READ_TUNE;
  }
  rc_reader_left_out(&r->error, r->title);
  g_propagate_error(error, g_steal_pointer(&r->error));
  return RC_READ_PROBLEM;
}

// ------------------------------------------------------------------------------------------------------- the format

// Also in UTF-16, and after a byte order mark.
static gboolean
recognizes(const char *line, const char *end)
{
  static const char *const starts[] = { "<", "\xEF\xBB\xBF<", "\xFE\xFF", "\xFF\xFE" };
  for (guint i = 0; i < G_N_ELEMENTS(starts); ++i) {
    const gsize n = strlen(starts[i]);
    if ((gsize)(end - line) >= n && !memcmp(line, starts[i], n)) {
      return TRUE;
    }
  }
  return FALSE;
}

static const char *const endings[] = { ".musicxml", ".mxl", ".xml", NULL };

const RcFormat rc_musicxml_format = { .name = "musicxml",
                                      .endings = endings,
                                      .tune_begins = "<score-partwise>",
                                      .recognizes = recognizes,
                                      .start = start_reading,
                                      .next = read_next,
                                      .free = end_reading };
