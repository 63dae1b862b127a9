// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The different sounds of one or of several keyboards. Many grips sound alike, and keyboards have most sounds in
// common, so that a request is graded against each sound once, however many keyboards are asked.

#ifndef ROWCALL_SRC_COVERAGE_SOUNDS_H
#define ROWCALL_SRC_COVERAGE_SOUNDS_H

#include "rowcall/coverage.h"

typedef struct RcSounds RcSounds;

/// Makes room for the sounds of @p n keyboards, whose layouts must outlive it. Free with rc_sounds_free().
RcSounds *rc_sounds_new(const RcLayout *const *layouts, guint n);

/// Frees @p sounds; NULL is allowed.
void rc_sounds_free(RcSounds *sounds);

/// Adds @p grip of keyboard @p keyboard and returns the index of its sound, counted from 0 in the order of adding. All
/// grips of a keyboard are added before those of the next.
guint rc_sounds_add(RcSounds *sounds, guint keyboard, const RcGrip *grip);

/// Adds all grips that @p hand can hold on keyboard @p keyboard.
void rc_sounds_add_all(RcSounds *sounds, guint keyboard, RcHand hand);

/// Frees what only adding needs; nothing is added any more.
void rc_sounds_close(RcSounds *sounds);

/// Sets @p answers, one for each keyboard, to the best answers to @p request; see rc_catalogue_best().
void rc_sounds_best(const RcSounds *sounds, RcTaste taste, const RcRequest *request, RcAnswer *answers);

/// Orders two answers on one keyboard, the better first: by rank, likeness and rc_grip_compare().
int rc_answer_compare(const RcLayout *layout, const RcAnswer *a, const RcAnswer *b);

/// Is called for a sound by its index, with @p data. The answer has neither grip nor likeness.
typedef void (*RcHeardFunc)(guint sound, const RcAnswer *answer, gpointer data);

/// Calls @p each for every sound that answers @p request, each once, always in the same order.
void rc_sounds_each(const RcSounds *sounds, RcTaste taste, const RcRequest *request, RcHeardFunc each, gpointer data);

/// The same for those whose answers have the best rank.
void rc_sounds_each_best(const RcSounds *sounds, RcTaste taste, const RcRequest *request, RcHeardFunc each,
                         gpointer data);

#endif
