// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Where bytes come from: a file, standard input, or the members of an archive one after another.

#ifndef ROWCALL_SRC_CORPUS_SOURCE_H
#define ROWCALL_SRC_CORPUS_SOURCE_H

#include "rowcall/corpus.h"

typedef struct RcSource RcSource;

/// Opens @p path, which must outlive it, `-` being standard input. Files that begin as a compressed file or an archive
/// does are unpacked on the way. NULL with @p error set when it cannot be opened.
RcSource *rc_source_open(const char *path, GError **error);

void rc_source_free(RcSource *source);

/// What comes next.
typedef enum {
  RC_SOURCE_END,
  RC_SOURCE_TEXT,
  RC_SOURCE_PROBLEM, ///< a member cannot be read; others may follow
  RC_SOURCE_FAILED   ///< nothing can be read any more
} RcSourceStep;

/// Goes on to the next text: once for a file, for each member that `wanted` accepts by its name for an archive. Of
/// compressed MusicXML, a file or a member, it is the score.
RcSourceStep rc_source_next(RcSource *source, gboolean (*wanted)(const char *name), GError **error);

/// Returns the name of the text that is open, for places: `club.abc`, `club.zip!waltzes.abc`, `weir.mxl!score.xml`.
/// Owned by the source, until the next text.
const char *rc_source_name(const RcSource *source);

/// Returns the name whose ending tells the format: without the ending of a compression.
const char *rc_source_format_name(const RcSource *source);

/// Reads up to @p size bytes of the open text. Returns 0 at its end and after a failure.
gsize rc_source_read(RcSource *source, char *bytes, gsize size);

/// Returns what there is to say of how the open text was found, or NULL.
const char *rc_source_note(const RcSource *source);

/// Returns why reading failed, or NULL.
const char *rc_source_failure(const RcSource *source);

/// Returns the beginning of the open text, before anything was read of it, and sets @p length; nothing is taken from
/// the text. Owned by the source.
const char *rc_source_head(RcSource *source, gsize *length);

/// Returns whether the open text is one of several that an archive may hold.
gboolean rc_source_is_member(const RcSource *source);

/// Returns whether the open text is all there is: a file that is no archive.
gboolean rc_source_is_single(const RcSource *source);

/// Returns the number of texts opened so far.
guint rc_source_texts(const RcSource *source);

#endif
