// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// libyaml's events of a stretch of a piece, with the bounds that a document has.

#ifndef ROWCALL_SRC_CORPUS_YAML_PARSER_H
#define ROWCALL_SRC_CORPUS_YAML_PARSER_H

#include "corpus/clean.h"
#include "corpus/stream.h"

#include <yaml.h>

typedef struct {
  RcStream *stream; ///< borrowed
  gboolean parsing; ///< the parser is initialized
  yaml_parser_t parser;
  RcCleaner cleaner;
  guint start_line;    ///< line, from 0, at which the parser began
  guint document_line; ///< line, from 0, at which the document began: that of its ---
  gsize unparsed;      ///< bytes given to the parser since the document began
  gboolean too_long;
  guint depth;       ///< of lists and mappings, where the parser is
  guint failed_line; ///< line, from 0, at which the parser failed, and the column after it
  guint failed_column;
} YmParser;

/// Starts at the place in the stream that is to be read next, the beginning of @p line (from 0).
void ym_parser_start(YmParser *parser, guint line);

/// Stops; also one that is not parsing.
void ym_parser_stop(YmParser *parser);

/// Frees what it holds.
void ym_parser_clear(YmParser *parser);

/// Notes that a document begins at @p line (from 0).
void ym_parser_begin_document(YmParser *parser, guint line);

/// Gets the next event, to be freed. FALSE with @p error set where the YAML is broken or a limit is reached.
gboolean ym_parser_next(YmParser *parser, yaml_event_t *event, GError **error);

/// Passes over what is left of a text, list or mapping that begins with an event of this type.
gboolean ym_parser_skip_rest(YmParser *parser, yaml_event_type_t type, GError **error);

/// Passes over the text, list or mapping that comes next.
gboolean ym_parser_skip_value(YmParser *parser, GError **error);

/// Reads on to the end of the document after a mistake in it and sets its place, from 0; FALSE, and that of the
/// failure, when the YAML itself is broken before.
gboolean ym_parser_skip_document(YmParser *parser, guint *line, guint *column);

RcPlace ym_parser_place(const YmParser *parser, const yaml_mark_t *mark);

/// Returns whether something before a place (from 0) was no text; sets @p error, in place of another that may follow
/// from it.
gboolean ym_parser_take_bad_text(YmParser *parser, guint line, guint column, GError **error);

/// Returns whether nothing more can be read of the stream after a failure.
gboolean ym_parser_is_lost(const YmParser *parser);

#endif
