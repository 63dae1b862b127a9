// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Compressed MusicXML (.mxl): a zip archive whose META-INF/container.xml names the score.

#ifndef ROWCALL_SRC_CORPUS_CONTAINER_H
#define ROWCALL_SRC_CORPUS_CONTAINER_H

#include "rowcall/corpus.h"

enum { RC_MAX_CONTAINER_BYTES = 64 << 20 }; ///< of the archive, packed

typedef struct RcContainer RcContainer;

/// Returns whether the ending of a file's name tells compressed MusicXML.
gboolean rc_container_is_named(const char *name);

/// Opens the archive in @p bytes, which it owns from now on, at the score that it names, or, where it names none, at
/// its only score. @p name is for messages. NULL with @p error set where there is none or it is one of several.
RcContainer *rc_container_open(char *bytes, gsize length, const char *name, GError **error);

void rc_container_free(RcContainer *container);

/// Returns the score's name in the archive.
const char *rc_container_score(const RcContainer *container);

/// Returns why the score was found otherwise than by its name in the list, or NULL.
const char *rc_container_note(const RcContainer *container);

/// Reads up to @p size bytes of the score, 0 at its end; negative with @p why set where it is damaged.
gssize rc_container_read(RcContainer *container, char *bytes, gsize size, const char **why);

#endif
