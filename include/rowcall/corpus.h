// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file corpus.h
/// Repertoires: any mix of files, folders and standard input, read one tune at a time. Nothing here prints: each step
/// gives a tune or a problem with its place.

#ifndef ROWCALL_CORPUS_H
#define ROWCALL_CORPUS_H

#include "rowcall/error.h"
#include "rowcall/music.h"

RC_BEGIN_API

/// The limits of an input; more of either is a problem of #RC_ERROR_LIMIT.
enum {
  RC_MAX_TUNE_BYTES = 16 << 20,   ///< text of one tune
  RC_MAX_FOLDER_DEPTH = 32,       ///< folders within folders
  RC_MAX_MEMBERS = 100000,        ///< members of an archive
  RC_MAX_UNPACKED_BYTES = 1 << 30 ///< bytes unpacked from one archive
};

/// How many mistakes of one tune are reported one by one.
enum { RC_MAX_MISTAKES = 10 };

/// A format that is read.
typedef struct RcFormat RcFormat;

/// Returns the format called @p name, one of rc_format_names(), or NULL where none is.
const RcFormat *rc_format_find(const char *name);

/// Returns the names of all formats as a list to show: "abc, chordpro, musicxml, words or yaml".
const char *rc_format_names(void);

/// Returns the endings of the file names of all formats as a list to show: ".abc, .cho, ... or .yml".
const char *rc_format_endings(void);

/// How a repertoire is read. All zero is the default.
typedef struct {
  RcNames names;          ///< how notes are named where a tune does not say
  const RcFormat *from;   ///< what standard input, and files whose names do not tell, hold; NULL: as their first line
                          ///< that is no comment tells: that of ABC begins with a letter and a colon, that of MusicXML
                          ///< with `<`, that of ChordPro is a directive in braces or begins with a chord in brackets; a
                          ///< line of chords further down tells chords over words; anything else is YAML
  gboolean melody_notes;  ///< fill the notes of tunes, of formats that have a melody (ABC, MusicXML); it takes longer
  gboolean words;         ///< fill the lines of tunes, of formats that have words
  gboolean leave_unkeyed; ///< a tune that states no key has none; else rc_tune_assume_key() gives it one
  gsize piece_bytes;      ///< about so many bytes of a text are read by one thread in a row; 0: as many as pay. What is
                          ///< read does not depend on it
} RcCorpusOptions;

/// What one step gave.
typedef enum {
  RC_READ_END,    ///< nothing is left
  RC_READ_TUNE,   ///< a tune
  RC_READ_PROBLEM ///< something that is no tune and was left out, or a further mistake in it (#RC_ERROR_FURTHER);
                  ///< reading goes on with the next
} RcReadResult;

/// A repertoire being read.
typedef struct RcCorpus RcCorpus;

/// Starts reading @p paths (NULL-terminated, copied): files, folders and `-` for standard input, in this order; folders
/// in the order of their entries' names, taking the files whose names end as those of a format, rc_format_endings(), or
/// of an archive do; of those that end in `.txt` only what is plainly music. Archives and compressed files are unpacked
/// on the way. Nothing is opened yet. Free with rc_corpus_free().
RcCorpus *rc_corpus_new(const char *const *paths, RcCorpusOptions options);

/// Returns the files that @p paths name, as rc_corpus_new() takes them: folders are replaced by the files within.
/// So several threads can read them, each with a corpus of its own. A folder that cannot be read, holds none or lies
/// too deep gives an error of @p problems, an array of GError *, in its place. Free with g_strfreev().
char **rc_corpus_expand(const char *const *paths, GPtrArray *problems);

/// Frees @p corpus; NULL is allowed. Tunes read from it must not be used afterwards.
void rc_corpus_free(RcCorpus *corpus);

/// Reads the next tune into @p tune, which is emptied first; its strings stay until the next call, and rc_tune_copy()
/// keeps it for longer. On #RC_READ_PROBLEM sets @p error, whose message names the place and, where it is known, the
/// tune that was left out. Memory does not grow with the number of tunes.
RcReadResult rc_corpus_next(RcCorpus *corpus, RcTune *tune, GError **error);

/// Returns the number of files opened so far, standard input and members of archives included.
guint rc_corpus_files(const RcCorpus *corpus);

/// Returns the number of bytes read so far, unpacked.
guint64 rc_corpus_bytes(const RcCorpus *corpus);

RC_END_API

#endif
