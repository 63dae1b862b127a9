// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// MusicXML 4.0, partwise and timewise, read once from start to end as expat gives its elements. A file holds one tune.
// What is directly in a measure is built into a small tree and given to measure.c; elements that are in no table are
// passed over. Nothing is ever fetched: no external entity is read, and a document that declares entities is refused.

#include "corpus/format.h"
#include "corpus/musicxml/document.h"
#include "corpus/musicxml/parts.h"
#include "corpus/musicxml/tree.h"
#include "corpus/reader.h"

#include <expat.h>
#include <string.h>

enum {
  BUFFER = 64 << 10,
  MX_MAX_DEPTH = 64,   // nested elements
  MX_MAX_TAG = 1 << 20 // bytes of a tag with its attributes, or of a comment, which are held whole
};

// Parts and measures are in the score itself, one in the other. Depths count from 1, the score's.
enum { OUTER = 2, INNER = 3 };

enum { NO_NODE = -1 };

typedef struct {
  RcPiece *piece;
  const char *name;
  XML_Parser parser;
  GError *error; // the first
  gboolean done;
  gboolean melody_notes; // are wanted

  guint depth;
  gint16 open[MX_MAX_DEPTH + 1]; // by depth, the node of the element that is open there, or NO_NODE
  MxParts parts;
  gboolean inside; // a measure of a part is open
  MxTree tree;

  RcTune *tune;
  RcSymbols *symbols;
  MxScore score;
  char *title; // of the work, or of the movement
  MxMeasure measure;
  MxKnownChords known;
} MxReader;

// ----------------------------------------------------------------------------------------------------------- errors

static RcPlace
place(MxReader *r)
{
  return (RcPlace){ r->name, (guint)XML_GetCurrentLineNumber(r->parser),
                    (guint)XML_GetCurrentColumnNumber(r->parser) + 1 };
}

// Stops reading with a message, which names the measure; the first counts.
static void
stop(MxReader *r, RcErrorCode code, const char *message)
{
  if (r->error) {
    return;
  }
  if (r->inside) {
    const MxMeasureAt *at = &g_array_index(r->score.measures, MxMeasureAt, r->parts.index);
    rc_fail(&r->error, code, place(r), "measure %s: %s", at->number, message);
  } else {
    rc_fail(&r->error, code, place(r), "%s", message);
  }
  XML_StopParser(r->parser, XML_FALSE);
}

static void G_GNUC_PRINTF(3, 4) fail(MxReader *r, RcErrorCode code, const char *format, ...)
{
  va_list arguments;
  va_start(arguments, format);
  char *message = g_strdup_vprintf(format, arguments);
  va_end(arguments);
  stop(r, code, message);
  g_free(message);
}

static void
fail_limit(MxReader *r, const char *what, guint limit)
{
  fail(r, RC_ERROR_LIMIT, "more than %u %s", limit, what);
}

// Stops reading with an error that has no place, if there is one; takes it over.
static void
stop_for(MxReader *r, GError *error)
{
  if (error) {
    stop(r, (RcErrorCode)error->code, error->message);
    g_error_free(error);
  }
}

// ------------------------------------------------------------------------------------------------------------- text

static void XMLCALL
read_characters(void *data, const char *text, int length)
{
  MxReader *r = data;
  GError *error = NULL;
  mx_tree_add_text(&r->tree, text, (gsize)length, &error);
  stop_for(r, error);
}

// Has what follows read as a text, where one was begun.
static void
await_text(MxReader *r)
{
  if (r->tree.text) {
    XML_SetCharacterDataHandler(r->parser, read_characters);
  }
}

static const char *
end_text(MxReader *r)
{
  XML_SetCharacterDataHandler(r->parser, NULL);
  return mx_tree_end_text(&r->tree);
}

// --------------------------------------------------------------------------------------------------------- the tree

static MxNode *
node_at(MxReader *r, guint depth)
{
  return r->open[depth] == NO_NODE ? NULL : &r->tree.nodes[r->open[depth]];
}

// The name of the element that begins, if it counts here.
static MxName
name_here(MxReader *r, const char *text)
{
  const MxName name = mx_element_find(text);
  if (name == MX_NONE) {
    return MX_NONE;
  }
  const MxElement *element = &mx_elements[name];
  const MxNode *around = r->depth > INNER + 1 ? node_at(r, r->depth - 1) : NULL;
  const MxName parent = r->depth == INNER + 1 ? MX_MEASURE : around ? around->name : MX_NONE;
  if (mx_element_is_within(element, parent)) {
    return name;
  }
  if (element->within[0] == MX_MEASURE && !element->within[1]) {
    fail(r, RC_ERROR_SYNTAX, "`%s` is inside another element of its measure; close that one before it", text);
  }
  return MX_NONE;
}

static void
start_node(MxReader *r, MxName name, const char **attributes)
{
  GError *error = NULL;
  if (r->depth == INNER + 1) {
    mx_tree_clear(&r->tree);
  }
  MxNode *node = mx_tree_open(&r->tree, name, attributes, &error);
  if (!node) {
    stop_for(r, error);
    return;
  }
  r->open[r->depth] = (gint16)(r->tree.n - 1);
  await_text(r);
  if (name == MX_HARMONY) {
    const RcPlace here = place(r);
    node->line = here.line;
    node->column = here.column;
  }
}

static void
end_node(MxReader *r, MxNode *node)
{
  GError *error = NULL;
  if (r->tree.text) {
    XML_SetCharacterDataHandler(r->parser, NULL);
  }
  if (mx_tree_close(&r->tree, node, &error) && r->depth == INNER + 1) {
    mx_measure_take(&r->measure, node, &error);
  }
  stop_for(r, error);
}

// --------------------------------------------------------------------------------------------------------- measures

static void
add_measure(MxReader *r)
{
  const RcPlace here = place(r);
  const MxMeasureAt measure = { .number = rc_tune_text(r->tune, r->parts.number, strlen(r->parts.number)),
                                .line = here.line,
                                .column = here.column,
                                .width = r->parts.width };
  g_array_append_val(r->score.measures, measure);
  g_array_set_size(r->score.marks, r->score.measures->len);
}

// A measure of a part begins.
static void
begin_measure(MxReader *r)
{
  const guint index = r->parts.index;
  if (index == RC_MAX_BARS) {
    fail_limit(r, "measures", RC_MAX_BARS);
    return;
  }
  if (index >= r->score.measures->len) {
    add_measure(r);
  }
  r->inside = TRUE;
  mx_measure_start(&r->measure, r->parts.part, index);
}

// ------------------------------------------------------------------------------------------------------------ heads

static gboolean
is_title(const char *name)
{
  return !strcmp(name, "work-title") || !strcmp(name, "movement-title") || !strcmp(name, "credit-words");
}

// The work's title before that of the movement; where both are missing, what is printed first on the page.
static void
take_title(MxReader *r, const char *name, const char *text)
{
  if (*text && (!r->title || !strcmp(name, "work-title"))) {
    g_free(r->title);
    r->title = g_strdup(text);
  }
}

static void
start_root(MxReader *r, const char *name)
{
  r->parts.timewise = !strcmp(name, "score-timewise");
  if (!strcmp(name, "opus")) {
    fail(r, RC_ERROR_SYNTAX, "an opus only lists scores; name their files instead");
  } else if (!r->parts.timewise && strcmp(name, "score-partwise") != 0) {
    fail(r, RC_ERROR_SYNTAX, "MusicXML begins with the element `score-partwise` or `score-timewise`; found `%.40s`",
         name);
  }
}

// ----------------------------------------------------------------------------------------------------- the elements

static void
start_title(MxReader *r)
{
  GError *error = NULL;
  mx_tree_clear(&r->tree);
  mx_tree_begin_text(&r->tree, &error);
  await_text(r);
  stop_for(r, error);
}

static void
start_outside(MxReader *r, const char *name, const char **attributes)
{
  GError *error = NULL;
  if (r->depth == 1) {
    start_root(r, name);
  } else if (r->depth <= INNER && mx_parts_open(&r->parts, r->depth == INNER, name, attributes, &error)) {
    begin_measure(r);
  }
  stop_for(r, error);
  if (!r->inside && is_title(name)) {
    start_title(r);
  }
}

static void XMLCALL
start_element(void *data, const char *name, const char **attributes)
{
  MxReader *r = data;
  if (r->depth == MX_MAX_DEPTH) {
    fail_limit(r, "nested elements", MX_MAX_DEPTH);
    return;
  }
  r->open[++r->depth] = NO_NODE;
  if (!r->inside) {
    start_outside(r, name, attributes);
    return;
  }
  const MxName found = name_here(r, name);
  if (found != MX_NONE) {
    start_node(r, found, attributes);
  }
}

static void XMLCALL
end_element(void *data, const char *name)
{
  MxReader *r = data;
  if (r->error || !r->depth) {
    return;
  }
  MxNode *node = node_at(r, r->depth);
  if (node) {
    end_node(r, node);
  } else if (r->depth == OUTER || r->depth == INNER) {
    mx_parts_close(&r->parts, r->depth == INNER, r->inside);
    r->inside = FALSE;
  }
  if (r->tree.text && !r->inside && is_title(name)) {
    take_title(r, name, end_text(r));
  }
  --r->depth;
}

// No entity is needed in a score, and they can grow without end.
static void XMLCALL
refuse_entity(void *data, const char *name, int is_parameter, const char *value, int length, const char *base,
              const char *system_id, const char *public_id, const char *notation)
{
  MxReader *r = data;
  (void)is_parameter, (void)value, (void)length, (void)base, (void)system_id, (void)public_id, (void)notation;
  fail(r, RC_ERROR_SYNTAX, "the document declares the entity `%.40s`; write its text in its place", name);
}

// ---------------------------------------------------------------------------------------------------------- reading

static gpointer
start_reading(RcPiece *piece, RcCorpusOptions options)
{
  MxReader *r = g_new0(MxReader, 1);
  r->melody_notes = options.melody_notes; // its names of notes have one language
  r->piece = piece;
  r->name = piece->text->name;
  r->symbols = rc_symbols_new();
  mx_parts_start(&r->parts);
  mx_score_start(&r->score);
  r->measure = (MxMeasure){ .score = &r->score, .symbols = r->symbols, .known = &r->known };
  r->parser = XML_ParserCreate(NULL);
  XML_SetUserData(r->parser, r);
  XML_SetElementHandler(r->parser, start_element, end_element);
  XML_SetEntityDeclHandler(r->parser, refuse_entity);
  return r;
}

static void
end_reading(gpointer reader)
{
  MxReader *r = reader;
  if (r) {
    XML_ParserFree(r->parser);
    g_clear_error(&r->error);
    g_free(r->title);
    mx_parts_clear(&r->parts);
    mx_score_clear(&r->score);
    rc_symbols_free(r->symbols);
    g_free(r);
  }
}

static void
fail_xml(MxReader *r)
{
  const enum XML_Error code = XML_GetErrorCode(r->parser);
  if (code == XML_ERROR_NO_ELEMENTS && r->depth) {
    fail(r, RC_ERROR_SYNTAX, "the score ends within an element that is not closed");
  } else if (code == XML_ERROR_NO_ELEMENTS) {
    fail(r, RC_ERROR_SYNTAX, "holds no score; MusicXML begins with the element `score-partwise`");
  } else {
    fail(r, code == XML_ERROR_INVALID_TOKEN || code == XML_ERROR_PARTIAL_CHAR ? RC_ERROR_ENCODING : RC_ERROR_SYNTAX,
         "the XML is broken here: %s", XML_ErrorString(code));
  }
}

// What is not complete is held and looked at again with each further piece, which takes time with the square of it.
// Newer versions of expat wait for more before they look again, and do not say meanwhile where it begins.
static void
check_tag(MxReader *r, gint64 fed, gint64 *begins)
{
  *begins = MAX(XML_GetCurrentByteIndex(r->parser), *begins);
  if (fed - *begins > MX_MAX_TAG && !r->error) {
    fail_limit(r, "bytes of a tag or a comment", MX_MAX_TAG);
  }
}

static gboolean
parse(MxReader *r)
{
  gint64 fed = 0;
  gint64 begins = 0;
  for (gsize n = 1; n && !r->error;) {
    void *buffer = XML_GetBuffer(r->parser, BUFFER);
    if (!buffer) {
      g_error("no memory is left");
    }
    n = rc_piece_read(r->piece, buffer, BUFFER);
    fed += (gint64)n;
    if (rc_piece_failure(r->piece)) {
      fail(r, RC_ERROR_IO, "reading failed: %s", rc_piece_failure(r->piece));
    } else if (XML_ParseBuffer(r->parser, (int)n, n == 0) != XML_STATUS_OK) {
      fail_xml(r);
    }
    check_tag(r, fed, &begins);
  }
  return !r->error;
}

static gboolean
make_tune(MxReader *r, RcTune *tune)
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
  if (r->piece->text->note) {
    rc_tune_remark(tune, RC_REMARK_ARCHIVE, 0, 0, "%s", r->piece->text->note);
  }
  if (!r->error && r->melody_notes) {
    mx_score_keep_notes(&r->score, tune);
  }
  mx_score_clear(&r->score); // what is done with the tune takes room of its own
  mx_score_start(&r->score);
  return !r->error;
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  MxReader *r = reader;
  rc_tune_clear(tune);
  if (r->done) {
    return RC_READ_END;
  }
  r->done = TRUE;
  r->tune = tune;
  r->measure.tune = tune;
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

static const char *const endings[] = { ".musicxml", ".mxl", ".xml", NULL };

const RcFormat rc_musicxml_format = { .name = "musicxml",
                                      .endings = endings,
                                      .tune_begins = "<score-partwise>",
                                      .recognizes = mx_is_xml,
                                      .foreign = mx_foreign,
                                      .start = start_reading,
                                      .next = read_next,
                                      .free = end_reading };
