// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What there is to report of a repertoire: problems, and what is read otherwise than written. Of each kind of note one
// message a file is enough, which ends in how many more there are. Notes are collected while pieces of files are read,
// on any thread, and told in the order of the pieces.

#ifndef ROWCALL_SRC_STUDY_NOTES_H
#define ROWCALL_SRC_STUDY_NOTES_H

#include "rowcall/study.h"

/// What one thread has to report of pieces that it read one after another.
typedef struct RcNotes RcNotes;

/// Starts with nothing; of more than @p most messages the rest is only counted, 0: all are wanted. Free with
/// rc_notes_free().
RcNotes *rc_notes_new(guint most);

/// Frees @p notes; NULL is allowed.
void rc_notes_free(RcNotes *notes);

/// Says that a file begins, or a member of an archive.
void rc_notes_begin_file(RcNotes *notes);

/// Adds a problem.
void rc_notes_add_problem(RcNotes *notes, const char *message);

/// Adds what there is to say of @p tune beyond what it gives; returns how many of its symbols are unread.
guint rc_notes_add_tune(RcNotes *notes, const RcTune *tune);

/// Tells a watcher.
typedef struct RcTeller RcTeller;

/// Starts telling @p watcher, under @p lock, at most as many messages as it wants; both must outlive the teller. Free
/// with rc_teller_free().
RcTeller *rc_teller_new(const RcWatcher *watcher, GMutex *lock);

/// Frees @p teller, which must have no file to end; NULL is allowed.
void rc_teller_free(RcTeller *teller);

/// Takes what was noted next.
void rc_teller_take(RcTeller *teller, const RcNotes *notes);

/// Tells what waits for the end of the file.
void rc_teller_end_file(RcTeller *teller);

/// Returns the number of messages there were, those that were not wanted among them.
guint64 rc_teller_count(const RcTeller *teller);

#endif
