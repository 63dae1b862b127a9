// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The formats that are read, one reader each. Each format defines an RcFormat named rc_NAME_format in its own folder;
// the table in format.c lists them.

#ifndef ROWCALL_SRC_CORPUS_FORMAT_H
#define ROWCALL_SRC_CORPUS_FORMAT_H

#include "rowcall/corpus.h"
#include "corpus/piece.h"

/// How the texts of a format are cut into pieces.
typedef struct {
  gsize ahead; ///< bytes after its own at which the reader of a piece looks

  /// Returns the last place in @p text, after its start and not after @p most, at which a tune begins so that what is
  /// before can be read without what is after, but for the bytes ahead; 0 where there is none. @p text begins where a
  /// piece does; @p first says that it is the first. Lines end with a line feed alone up to there, or after it.
  gsize (*find)(const char *text, gsize length, gsize most, gboolean first);

  /// Returns what all pieces of a text need to know of its beginning, @p text; it holds the first piece unless that
  /// streams. NULL where they need to know nothing.
  gpointer (*share)(const char *text, gsize length);
  void (*free_shared)(gpointer shared);
} RcCuts;

struct RcFormat {
  const char *name;           ///< as --from takes it
  const char *const *endings; ///< of files' names, in lower case with their dot, NULL-terminated
  gboolean any_text;          ///< those are of any text: what is in it tells the format, and whether it is music
  const char *tune_begins;    ///< the line a tune begins with, for the message that a file holds none

  /// Whether a text is of this format. @p line is its first line that is neither blank nor a comment (`%`, `#`), @p end
  /// the end of what is known of the text. NULL where no line tells: then only --from and the name
  /// do, and the last of the table takes what no other does.
  gboolean (*recognizes)(const char *line, const char *end);

  /// Returns, of a text of which this is the beginning, why it is plainly no music though its name's ending is one of
  /// these: what it has not, for a message. NULL where it may be. The function is NULL where no text is.
  const char *(*foreign)(const char *head, gsize length);

  const RcCuts *cuts; ///< NULL: a text is one piece

  /// Starts reading @p piece, which must outlive the reader or its next start.
  gpointer (*start)(RcPiece *piece, RcCorpusOptions options);

  /// Goes on with another piece, of any text; NULL where a reader reads one only.
  void (*restart)(gpointer reader, RcPiece *piece);

  /// As rc_corpus_next(), for this piece.
  RcReadResult (*next)(gpointer reader, RcTune *tune, GError **error);

  /// Frees a reader; NULL is allowed.
  void (*free)(gpointer reader);
};

/// Returns the format that the ending of the file name @p name tells, or NULL.
const RcFormat *rc_format_by_ending(const char *name);

/// Returns the format that the beginning of a text tells, or NULL where it tells none.
const RcFormat *rc_format_recognize(const char *text, gsize length);

/// Returns the format of a text by its beginning: where that tells none, the one that takes the rest.
const RcFormat *rc_format_by_text(const char *text, gsize length);

/// Returns whether the file name @p name has this ending, in any case, after at least one letter.
gboolean rc_name_ends_in(const char *name, const char *ending);

#endif
