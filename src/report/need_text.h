// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A chord of a tune and what the hand does for it, in words, as charts and sheets say it.

#ifndef ROWCALL_SRC_REPORT_NEED_TEXT_H
#define ROWCALL_SRC_REPORT_NEED_TEXT_H

#include "rowcall/study.h"

/// Returns the buttons of @p need with their fingers, such as "B bass (counterbass of G) with 4 + D major with 2".
char *rc_need_press(const RcLayout *layout, const RcNeed *need, RcSigns signs);

/// Returns what the ear gets other than written, and what the melody mends: "adds A", "without F#; bass F, not A";
/// empty where there is nothing to say.
char *rc_need_differences(const RcLayout *layout, const RcTune *tune, const RcNeed *need, RcSigns signs);

/// Returns which tones of @p chord the melody gives, such as "the melody gives the third, F#", where @p helped are its
/// pitch classes; empty where there are none. A new string.
char *rc_melody_gives(const RcChord *chord, RcKey key, RcPcSet helped, RcSigns signs);

/// Returns a hint as a sentence; empty for none.
const char *rc_hint_text(RcHint hint);

/// Returns what is left where there is no grip: "hold the B bass alone, or rest", or "rest"; a new string.
char *rc_last_resort_text(const RcLayout *layout, const RcChord *chord, RcSigns signs);

/// Returns the alternating bass with its finger, such as "F# bass (counterbass of D) with 3"; NULL where there is none.
char *rc_need_second(const RcLayout *layout, const RcNeed *need, RcSigns signs);

/// Returns what a player has to know of a plan on a board that changes notes with the bellows, where the tune has a @p
/// melody, or on a mirrored one; empty elsewhere.
char *rc_board_note(const RcLayout *layout, gboolean melody);

/// Returns how often the bellows turn, on a board that has them: a sentence.
char *rc_turns_text(const RcChart *chart);

/// Returns "bar 17 (B)", where a written bar of @p tune is, the first being 0.
char *rc_bar_text(const RcTune *tune, guint bar);

/// Returns "bar 17 (B)", or "bars 3, 7-9, 12", of the @p n written @p bars, in their order, the first being 0.
char *rc_bars_text(const RcTune *tune, const guint *bars, guint n);

/// Returns the order in which @p tune is played, such as "Played: A A B B", or "Played: bars 1-2, 1, 3-5" where its
/// parts are not played whole.
char *rc_order_text(const RcTune *tune);

/// Returns the hard spots of @p chart in words, those with the same chords together: an array of char *, to be freed
/// with g_ptr_array_unref().
GPtrArray *rc_hard_texts(const RcTune *tune, const RcChart *chart, RcSigns signs);

#endif
