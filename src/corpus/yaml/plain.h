// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Documents as tunes are nearly always written, read without libyaml, which takes several times as long: after a line
// `---` known keys, each once, with texts that are plain or in quotes without escapes, parts below one another, and
// comments; up to the next line `---`. Anything else in a document leaves it to libyaml, which is always right: what is
// read here is what it reads, with the same places.

#ifndef ROWCALL_SRC_CORPUS_YAML_PLAIN_H
#define ROWCALL_SRC_CORPUS_YAML_PLAIN_H

#include "corpus/yaml/document.h"

/// Where a document is.
typedef struct {
  const char *at;   ///< the beginning of its line `---`
  const char *end;  ///< of the text in which it is: after a line end
  const char *file; ///< for places
  guint line;       ///< number of that line, from 0
} YmLines;

/// Reads the texts of the document there into an emptied @p document and moves @p lines to the next line `---`. FALSE
/// where it is not written as above, or no such line comes after it: then @p document and @p lines have no meaning.
gboolean ym_read_plain(YmDocument *document, YmLines *lines);

#endif
