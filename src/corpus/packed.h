// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Whether packed files are whole. A checksum comes last, when the tunes before it have been given out; so a packed file
// is unpacked twice, first for its checksums alone, which takes little beside reading the tunes, and no memory.

#ifndef ROWCALL_SRC_CORPUS_PACKED_H
#define ROWCALL_SRC_CORPUS_PACKED_H

#include <glib.h>

/// Unpacks the file @p path, which begins with @p head, to its end or to #RC_MAX_UNPACKED_BYTES, and gives nothing out.
/// Where it is compressed as a whole and damaged, returns FALSE and sets @p error (#RC_ERROR_IO). Where it is an
/// archive whose members have checksums (zip), returns in @p damaged the numbers, from 1, of those that are damaged,
/// each with its reason, a string; to be freed with g_hash_table_unref(). NULL where none is.
gboolean rc_packed_check(const char *path, const char *head, gsize head_length, GHashTable **damaged, GError **error);

#endif
