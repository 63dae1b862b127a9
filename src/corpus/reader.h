// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The readers, one a format: each yields the tunes of one open input.

#ifndef ROWCALL_SRC_CORPUS_READER_H
#define ROWCALL_SRC_CORPUS_READER_H

#include "rowcall/corpus.h"

typedef struct RcYamlReader RcYamlReader;

/// Opens @p path, which must outlive the reader; NULL with @p error set when it cannot be opened.
RcYamlReader *rc_yaml_reader_open(const char *path, RcCorpusOptions options, GError **error);

void rc_yaml_reader_free(RcYamlReader *reader);

/// As rc_corpus_next(), for this input.
RcReadResult rc_yaml_reader_next(RcYamlReader *reader, RcTune *tune, GError **error);

#endif
