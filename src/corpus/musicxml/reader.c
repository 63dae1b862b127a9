// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// MusicXML 4.0, partwise and timewise, read once from start to end as expat gives its elements. A file holds one tune.
// What is directly in a measure is built into a small tree and given to measure.c; elements that are in no table are
// passed over. Nothing is ever fetched: no external entity is read, and a document that declares entities is refused.

#include "corpus/format.h"
#include "corpus/musicxml/measure.h"
#include "corpus/reader.h"

#include <expat.h>
#include <string.h>

enum {
  BUFFER = 64 << 10,
  MX_MAX_DEPTH = 64,    // nested elements
  MX_MAX_TAG = 1 << 20, // bytes of a tag with its attributes, or of a comment, which are held whole
  LONGEST_NUMBER = 16   // bytes of a measure's number that are kept
};

// A partwise score has measures in parts, a timewise one parts in measures; both are in the score itself. Depths count
// from 1, the score's.
enum { OUTER = 2, INNER = 3 };

enum { NO_NODE = -1 };

// An element that is directly in a measure, with all that counts in it.
typedef struct {
  MxNode nodes[MX_MAX_NODES];
  guint n;
  char bytes[MX_MAX_BYTES]; // texts and attributes
  gsize length;
} Tree;

typedef struct {
  RcPiece *piece;
  const char *name;
  XML_Parser parser;
  GError *error; // the first
  gboolean done;
  gboolean melody_notes; // are wanted

  guint depth;
  gint16 open[MX_MAX_DEPTH + 1]; // by depth, the node of the element that is open there, or NO_NODE
  gboolean timewise;
  gboolean outer;  // a part of a partwise score, or a measure of a timewise one, is open
  gboolean inside; // a measure of a part is
  Tree tree;
  char *text; // where the text that is read begins; NULL: none is

  RcTune *tune;
  RcSymbols *symbols;
  MxScore score;
  char *title;                 // of the work, or of the movement
  GPtrArray *parts;            // of MxPart *
  MxPart *part;                // the one that is read
  guint index;                 // of the measure
  char number[LONGEST_NUMBER]; // of the measure, as written
  double width;
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
    const MxMeasureAt *at = &g_array_index(r->score.measures, MxMeasureAt, r->index);
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

// Stops reading at a text, cut to what fits a message.
static void
fail_found(MxReader *r, const char *text, const MxElement *element)
{
  enum { SHOWN = 40 };
  char *found = g_utf8_substring(text, 0, MIN(g_utf8_strlen(text, -1), SHOWN));
  char *expected = mx_element_expected(element);
  fail(r, RC_ERROR_VALUE, "found `%s`; expected %s", found, expected);
  g_free(expected);
  g_free(found);
}

// ------------------------------------------------------------------------------------------------------------- text

static void
clear_tree(Tree *tree)
{
  tree->n = 0;
  tree->length = 0;
}

// Room for so many bytes and a zero byte after them, or NULL.
static char *
room(MxReader *r, gsize length)
{
  if (r->tree.length + length + 1 > MX_MAX_BYTES) {
    fail_limit(r, "bytes of text and attributes in an element", MX_MAX_BYTES);
    return NULL;
  }
  return r->tree.bytes + r->tree.length;
}

static void XMLCALL
read_characters(void *data, const char *text, int length)
{
  MxReader *r = data;
  char *at = room(r, (gsize)length);
  if (!at) {
    return;
  }
  if (at + length > r->text + MX_MAX_TEXT) {
    fail_limit(r, "bytes of text in an element", MX_MAX_TEXT);
    return;
  }
  memcpy(at, text, (gsize)length);
  r->tree.length += (gsize)length;
}

static void
start_text(MxReader *r)
{
  r->text = room(r, 0);
  if (r->text) {
    XML_SetCharacterDataHandler(r->parser, read_characters);
  }
}

// Returns the text that was read, without the blanks around it.
static const char *
end_text(MxReader *r)
{
  Tree *tree = &r->tree;
  char *end = tree->bytes + tree->length;
  const char *start = r->text;
  XML_SetCharacterDataHandler(r->parser, NULL);
  while (end > start && g_ascii_isspace(end[-1])) {
    --end;
  }
  while (start < end && g_ascii_isspace(*start)) {
    ++start;
  }
  *end = '\0';
  tree->length = (gsize)(end + 1 - tree->bytes);
  r->text = NULL;
  return start;
}

// --------------------------------------------------------------------------------------------------------- the tree

static const char *
copy_text(MxReader *r, const char *text)
{
  const gsize length = strlen(text);
  char *at = room(r, length);
  if (at) {
    memcpy(at, text, length + 1);
    r->tree.length += length + 1;
  }
  return at ? at : "";
}

static const char *
copy_attributes(MxReader *r, const char **attributes)
{
  if (!*attributes) {
    return "";
  }
  const char *start = copy_text(r, *attributes);
  for (const char **at = attributes + 1; *at; ++at) {
    copy_text(r, *at);
  }
  copy_text(r, "");
  return r->error ? "" : start;
}

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
  Tree *tree = &r->tree;
  if (r->depth == INNER + 1) {
    clear_tree(tree);
  }
  if (tree->n == MX_MAX_NODES) {
    fail_limit(r, "elements in an element of a measure", MX_MAX_NODES);
    return;
  }
  const MxElement *element = &mx_elements[name];
  r->open[r->depth] = (gint16)tree->n;
  MxNode *node = &tree->nodes[tree->n++];
  *node = (MxNode){ .name = name, .text = "", .attributes = element->attributes ? copy_attributes(r, attributes) : "" };
  if (name == MX_HARMONY) {
    const RcPlace here = place(r);
    node->line = here.line;
    node->column = here.column;
  }
  if (element->content != MX_NOTHING) {
    start_text(r);
  }
}

static void
end_node(MxReader *r, MxNode *node)
{
  const MxElement *element = &mx_elements[node->name];
  GError *error = NULL;
  node->span = (guint)(&r->tree.nodes[r->tree.n] - node);
  if (element->content != MX_NOTHING) {
    node->text = end_text(r);
  }
  if (element->content > MX_TEXT && !mx_element_value(element, node->text, &node->value)) {
    fail_found(r, node->text, element);
  } else if (r->depth == INNER + 1 && !mx_measure_take(&r->measure, node, &error)) {
    stop(r, (RcErrorCode)error->code, error->message);
    g_error_free(error);
  }
}

// ----------------------------------------------------------------------------------------------- parts and measures

static const char *
attribute(const char **attributes, const char *name)
{
  for (; *attributes; attributes += 2) {
    if (!strcmp(attributes[0], name)) {
      return attributes[1];
    }
  }
  return NULL;
}

static void
free_part(gpointer data)
{
  MxPart *part = data;
  g_free(part->id);
  g_free(part);
}

static void
select_part(MxReader *r, const char *id)
{
  id = id ? id : "";
  for (guint i = 0; i < r->parts->len; ++i) {
    r->part = g_ptr_array_index(r->parts, i);
    if (!strcmp(r->part->id, id)) {
      return;
    }
  }
  if (r->parts->len == RC_MAX_PARTS) {
    fail_limit(r, "parts", RC_MAX_PARTS);
    return;
  }
  r->part = g_new0(MxPart, 1);
  r->part->id = g_strdup(id);
  r->part->index = r->parts->len;
  g_ptr_array_add(r->parts, r->part);
}

// Keeps the number and the width as written; a measure without a number has its place.
static void
read_measure(MxReader *r, const char **attributes)
{
  const char *number = attribute(attributes, "number");
  const char *width = attribute(attributes, "width");
  if (number && *number && strlen(number) < LONGEST_NUMBER) {
    g_strlcpy(r->number, number, sizeof r->number);
  } else {
    g_snprintf(r->number, sizeof r->number, "%u", r->index + 1);
  }
  r->width = 0;
  if (width) {
    mx_read_number(width, &r->width);
  }
}

static void
add_measure(MxReader *r)
{
  const RcPlace here = place(r);
  const MxMeasureAt measure = { .number = rc_tune_text(r->tune, r->number, strlen(r->number)),
                                .line = here.line,
                                .column = here.column,
                                .width = r->width };
  g_array_append_val(r->score.measures, measure);
  g_array_set_size(r->score.marks, r->score.measures->len);
}

// A measure of a part begins.
static void
begin_measure(MxReader *r)
{
  if (r->index == RC_MAX_BARS) {
    fail_limit(r, "measures", RC_MAX_BARS);
    return;
  }
  if (r->index >= r->score.measures->len) {
    add_measure(r);
  }
  r->inside = TRUE;
  mx_measure_start(&r->measure, r->part, r->index);
}

static void
start_outer(MxReader *r, const char *name, const char **attributes)
{
  r->outer = !strcmp(name, r->timewise ? "measure" : "part");
  if (r->outer && !r->timewise) {
    select_part(r, attribute(attributes, "id"));
    r->index = 0;
  } else if (r->outer) {
    read_measure(r, attributes);
  }
}

static void
start_inner(MxReader *r, const char *name, const char **attributes)
{
  if (!r->outer || strcmp(name, r->timewise ? "part" : "measure") != 0) {
    return;
  }
  if (r->timewise) {
    select_part(r, attribute(attributes, "id"));
  } else {
    read_measure(r, attributes);
  }
  if (!r->error) {
    begin_measure(r);
  }
}

static void
end_inner(MxReader *r)
{
  r->index += r->inside && !r->timewise;
  r->inside = FALSE;
}

static void
end_outer(MxReader *r)
{
  r->index += r->outer && r->timewise;
  r->outer = FALSE;
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
  r->timewise = !strcmp(name, "score-timewise");
  if (!strcmp(name, "opus")) {
    fail(r, RC_ERROR_SYNTAX, "an opus only lists scores; name their files instead");
  } else if (!r->timewise && strcmp(name, "score-partwise") != 0) {
    fail(r, RC_ERROR_SYNTAX, "MusicXML begins with the element `score-partwise` or `score-timewise`; found `%.40s`",
         name);
  }
}

// ----------------------------------------------------------------------------------------------------- the elements

static void
start_outside(MxReader *r, const char *name, const char **attributes)
{
  if (r->depth == 1) {
    start_root(r, name);
  } else if (r->depth == OUTER) {
    start_outer(r, name, attributes);
  } else if (r->depth == INNER) {
    start_inner(r, name, attributes);
  }
  if (!r->inside && is_title(name)) {
    clear_tree(&r->tree);
    start_text(r);
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
  } else if (r->depth == INNER) {
    end_inner(r);
  } else if (r->depth == OUTER) {
    end_outer(r);
  }
  if (r->text && is_title(name)) {
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
  r->parts = g_ptr_array_new_with_free_func(free_part);
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
    g_ptr_array_unref(r->parts);
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

// The first element after a declaration, comments and a document type; NULL where the text does not come to it.
static const char *
first_element(const char *at, const char *end)
{
  while ((at = memchr(at, '<', (gsize)(end - at))) && at + 1 < end && (at[1] == '?' || at[1] == '!')) {
    const gboolean comment = end - at >= 4 && !memcmp(at, "<!--", 4);
    const char *close = at[1] == '?' ? "?>" : comment ? "-->" : ">";
    at = g_strstr_len(at, end - at, close);
    if (!at) {
      return NULL;
    }
  }
  return at && at + 1 < end && g_ascii_isalpha(at[1]) ? at + 1 : NULL;
}

// Many programs keep what is theirs in XML. An opus is one of MusicXML, though it holds no score.
static const char *
foreign(const char *head, gsize length)
{
  static const char *const scores[] = { "score-partwise", "score-timewise", "opus" };
  const char *element = first_element(head, head + length);
  for (guint i = 0; i < G_N_ELEMENTS(scores); ++i) {
    const gsize n = strlen(scores[i]);
    if (!element || (gsize)(head + length - element) < n || !memcmp(element, scores[i], n)) {
      return NULL;
    }
  }
  return "it is XML of another kind; MusicXML begins with the element `score-partwise` or `score-timewise`";
}

static const char *const endings[] = { ".musicxml", ".mxl", ".xml", NULL };

const RcFormat rc_musicxml_format = { .name = "musicxml",
                                      .endings = endings,
                                      .tune_begins = "<score-partwise>",
                                      .recognizes = recognizes,
                                      .foreign = foreign,
                                      .start = start_reading,
                                      .next = read_next,
                                      .free = end_reading };
