// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The heading of an ABC tune, and the head of a file, whose fields hold for all its tunes.

#ifndef ROWCALL_SRC_CORPUS_ABC_HEADING_H
#define ROWCALL_SRC_CORPUS_ABC_HEADING_H

#include "corpus/abc/fields.h"

/// What the head of a file sets.
typedef struct {
  AbcState state;
  char *rhythm; // R:, or NULL
  char *group;  // G:, or NULL
} AbcHead;

/// Returns the head of a file before its first line.
AbcHead abc_head_start(void);

/// Returns a copy; free what it holds with abc_head_clear().
AbcHead abc_head_copy(const AbcHead *head);

/// Frees what @p head holds.
void abc_head_clear(AbcHead *head);

/// Reads a line of a file's head.
void abc_read_head_line(AbcText line, AbcHead *head);

/// The lines of one tune.
typedef struct {
  AbcText text;
  const guint *lengths; // of the lines up to K:, or of all, with their ends
  const char *file;
  guint line;            // of its first line
  gboolean symbol_lines; // it has some
} AbcBlock;

/// What the heading of a tune says.
typedef struct {
  AbcState state;
  AbcText title;
  AbcText rhythm; // R:
  AbcText group;  // G:
  AbcText tempo;  // Q:
  AbcText order;  // P:
  AbcText *open;  // the text that a line "+:" would continue, or NULL
  gboolean has_key;
  AbcText key; // K:
  gboolean good_key;
  AbcText body; // what follows
  guint body_line;
} AbcHeading;

/// Reads the heading of a tune, which begins with what the file's head sets. FALSE where a field makes no sense, or K:
/// is missing.
gboolean abc_read_heading(const AbcBlock *block, const AbcState *head, AbcHeading *heading, GError **error);

/// Returns whether a line is the field of this name.
gboolean abc_is_field(AbcText line, char name);

/// Returns whether a line is a field of any name, a directive or a comment.
gboolean abc_is_setting(AbcText line);

#endif
