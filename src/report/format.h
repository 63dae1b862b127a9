// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Pieces that several reports are made of: numbers as text, CSV fields, JSON members, names of tones.

#ifndef ROWCALL_SRC_REPORT_FORMAT_H
#define ROWCALL_SRC_REPORT_FORMAT_H

#include "report/json_text.h"
#include "rowcall/report.h"

enum { RC_COLUMNS = 80 };

/// Returns a length in quarter notes, such as "12" or "1.333333"; a new string.
char *rc_quarters_text(RcTicks ticks);

/// Writes @p part of @p whole as percent with one decimal, or none, into @p text: "-" for none, "<0.1" or "<1" for next
/// to none, "99.9" or ">99" for next to all. What does not reach @p target, in millionths (0: none), is not rounded up
/// to it.
void rc_percent(char text[8], gint64 part, gint64 whole, guint decimals, guint target);

/// The same with one decimal and no target.
void rc_percent_text(char text[8], gint64 part, gint64 whole);

/// Returns a target, in millionths, as percent, such as "95" or "97.5"; a new string.
char *rc_target_text(guint millionths);

/// Returns the name of @p key as players write it: "Am", "F# dor"; empty where it is not known. A new string.
char *rc_short_key(RcKey key, RcSigns signs);

/// Returns the key in which @p tune begins, such as "G major, assumed from its chords"; "no key" when it is not known.
/// A new string.
char *rc_tune_key(const RcTune *tune, RcSigns signs);

/// Returns the same for a column: "Am", "(G)" where it is assumed; empty where it is not known. A new string.
char *rc_tune_short_key(const RcTune *tune, RcSigns signs);

/// Returns where that key comes from, "stated", "assumed" or "none"; a constant.
const char *rc_tune_key_source(const RcTune *tune);

/// Returns @p tempo in the beats of @p meter, such as "138 quarter notes a minute" or "112 dotted quarters a minute"; a
/// new string.
char *rc_tempo_text(RcTempo tempo, RcMeter meter);

/// Appends @p raw as rc_visible() shows it, shortened or padded with spaces to @p width characters.
void rc_append_padded(GString *out, const char *raw, guint width);

/// Takes spaces from the end of @p out and ends the line.
void rc_end_line(GString *out);

/// Appends @p raw as rc_visible() shows it, which begins at column @p indent of its line, with line breaks between
/// words before the terminal's edge; further lines begin at @p indent. Ends the line.
void rc_append_wrapped(GString *out, const char *raw, guint indent);

/// Appends one line of CSV (RFC 4180); the NULL-terminated arguments are its fields, shown as rc_visible() has them.
/// One that a spreadsheet would take for a formula, and is no number, gets an apostrophe before it, which makes it
/// text.
void rc_append_csv(GString *out, ...) G_GNUC_NULL_TERMINATED;

/// Returns the name of the pitch class @p pc as a tone of @p chord or beside it, spelled in @p key, but without double
/// sharps and flats: A, not Bbb. A constant.
const char *rc_tone_name(const RcChord *chord, RcKey key, guint pc, RcSigns signs);

/// Returns the names of the tones in @p set from the root upwards, separated by @p between; a new string.
char *rc_tones_text(const RcChord *chord, RcKey key, RcPcSet set, RcSigns signs, const char *between);

void rc_json_quarters(GString *json, const char *name, RcTicks ticks);
void rc_json_tones(GString *json, const char *name, const RcChord *chord, RcKey key, RcPcSet set);

/// Appends the members "bass" and "chords" of a grip.
void rc_json_grip(GString *json, const RcLayout *layout, const RcGrip *grip);

/// Appends `fingers`: those of a player that hold @p grip, of its basses and of its chords.
void rc_json_fingers(GString *json, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingers);

/// How the bellows go, of a set of RcBellows: ">" on push, "<" on pull, "<>" now one and now the other, else "";
/// constant.
const char *rc_bellows_arrow(guint bellows);

/// Appends the member "bellows" where it is not both directions.
void rc_json_bellows(GString *json, RcBellows bellows);

/// Appends the button at @p index.
void rc_json_button(GString *json, const char *name, const RcLayout *layout, guint index);

/// Appends the likeness, 0 to 100 with two decimals.
void rc_json_likeness(GString *json, guint likeness);

/// Appends the members "chords" and "quarters" of counts.
void rc_json_counts(GString *json, const RcCounts *counts);

/// Appends the member "tunes": in all, native and playable ones.
void rc_json_tunes(GString *json, const RcCounts *counts);

/// Says what the step from keyboard @p index to the next size buys; a new string, NULL where there is no next one.
char *rc_step_text(const RcComparison *comparison, guint index, RcSigns signs);

/// Returns what shares of @p counts are parts of: "playing time", or "chords" where no chord has a length; constant.
const char *rc_share_of(const RcCounts *counts);

/// Returns the same where there is little room: "time" or "chords".
const char *rc_share_of_short(const RcCounts *counts);

/// Appends how much music was read: "51 tunes from 6 files: 2698 chords in 9698 quarter notes as played."; of chords
/// without lengths no quarter notes.
void rc_append_music(GString *text, const RcIntake *intake, const RcCounts *counts);

/// Appends how many tunes and files were left out, " 2 tunes or files could not be read.", where there are any.
void rc_append_left_out(GString *text, const RcIntake *intake);

/// Returns @p ticks, 0 where no chord has a length and chords were counted in their place.
RcTicks rc_measured_ticks(const RcCounts *counts, RcTicks ticks);

/// Returns "1 of the tunes has chords without lengths: its shares are of the chords." of @p n tunes; a new string,
/// empty where there are none.
char *rc_unmeasured_text(guint64 n);

/// Says how tunes without a tempo were timed; a new string, empty where every tune states its own.
char *rc_timing_text(const RcRoll *roll);

#endif
