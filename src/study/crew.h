// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Several threads that read files at once, and one file too: whoever is free cuts the next piece off the first file
// that nobody is cutting, and reads it. What the pieces give is taken in the order of the files and pieces.

#ifndef ROWCALL_SRC_STUDY_CREW_H
#define ROWCALL_SRC_STUDY_CREW_H

#include "corpus/piece.h"
#include "corpus/reader.h"

/// What a crew does. A job is what one thread reads in a row of one file: with one thread, all of it.
typedef struct {
  gpointer data;

  /// Begins a job.
  gpointer (*begin)(gpointer data);

  /// Reads @p reader to its end for a job, each tune into @p tune, on any thread.
  void (*read)(gpointer job, RcReader *reader, RcTune *tune);

  /// Adds to a job a problem of the file, which is to be freed.
  void (*fail)(gpointer job, GError *problem);

  /// Takes a job that is done and frees it, on the thread that called rc_crew_read(); @p last says that it is the last
  /// of its file.
  void (*take)(gpointer job, gboolean last, gpointer data);
} RcCrewWork;

/// Reads @p files, NULL-terminated, on at most @p threads threads, this one among them.
void rc_crew_read(char *const *files, RcCorpusOptions options, guint threads, const RcCrewWork *work);

#endif
