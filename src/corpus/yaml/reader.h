// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Tunes in YAML, a document each: what the parts of their reader share. reader.c goes from document to document;
// libyaml's events (parser.h) are read as they come, and of a document only its texts are kept (document.h, texts.c);
// they become a tune when it ends (tune.c, bars.h, order.c).

#ifndef ROWCALL_SRC_CORPUS_YAML_READER_H
#define ROWCALL_SRC_CORPUS_YAML_READER_H

#include "corpus/yaml/bars.h"
#include "corpus/yaml/document.h"
#include "corpus/yaml/parser.h"

typedef struct {
  RcStream stream;
  RcCorpusOptions options;
  YmParser parser;
  YmDocument document;
  RcBarReader *bars;
} YmReader;

/// Reads the texts of a document whose mapping has begun, up to the mapping's end. A mistake in one is kept among the
/// document's, and reading goes on; FALSE with @p error where it cannot: the YAML is broken, or a limit is reached.
gboolean ym_read_texts(YmReader *reader, GError **error);

/// Makes of the texts of the document an emptied @p tune. What is wrong with one is kept among the document's mistakes,
/// and the others are read all the same; FALSE where there are mistakes.
gboolean ym_make_tune(YmReader *reader, RcTune *tune);

/// Sets in which order the bars of a tune are played, all of whose parts are read; mistakes are kept as above.
void ym_set_order(YmReader *reader, RcTune *tune);

#endif
