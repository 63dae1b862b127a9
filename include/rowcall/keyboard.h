// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file keyboard.h
/// Bass keyboards: what each button sounds, where it sits, and which buttons a hand can hold together.

#ifndef ROWCALL_KEYBOARD_H
#define ROWCALL_KEYBOARD_H

#include "rowcall/music.h"

RC_BEGIN_API

/// What kind of sound a button has.
typedef enum {
  RC_SOUND_DEAD, ///< nothing
  RC_SOUND_BASS, ///< a single note
  RC_SOUND_MAJOR,
  RC_SOUND_MINOR,
  RC_SOUND_SEVENTH,
  RC_SOUND_DIMINISHED,
  RC_SOUND_AUGMENTED,
  RC_SOUND_OTHER ///< several tones that make none of the above
} RcSoundKind;

/// What a button sounds.
typedef struct {
  RcSoundKind kind;
  RcNote root;   ///< the bass note, or the note that names the chord
  RcPcSet tones; ///< the pitch classes heard; the root need not be among them
} RcSound;

/// In which direction of the bellows a button sounds so. The directions are bits, so that a set of them is a number.
typedef enum {
  RC_BELLOWS_BOTH = 0, ///< it sounds the same on push and on pull
  RC_BELLOWS_PUSH = 1 << 0,
  RC_BELLOWS_PULL = 1 << 1
} RcBellows;

/// One button, or what one sounds in one direction of the bellows: a button that differs on push and on pull is two
/// entries at the same row and column, the push before the pull.
typedef struct {
  guint row;    ///< index into the layout's rows, 0 nearest the bellows
  guint column; ///< index into the layout's columns, 0 the flattest
  RcSound sound;
  RcBellows bellows;
  double x; ///< mm along the board from its first column's first row, towards the chin
  double y; ///< mm away from the bellows
} RcButton;

/// The limits of a layout.
enum {
  RC_MAX_ROWS = 10, ///< one of each kind
  RC_MAX_COLUMNS = 40,
  RC_MAX_LAYOUT_BYTES = 1 << 20 ///< of a layout file
};

/// What a layout file may leave out, as bits.
typedef enum {
  RC_TAKEN_NAME = 1 << 0,   ///< taken from the name of the file
  RC_TAKEN_TITLE = 1 << 1,  ///< made from the columns and rows
  RC_TAKEN_SPACING = 1 << 2 ///< the usual one, from memory
} RcTaken;

/// A bass keyboard. Read-only once made.
typedef struct {
  char *name;         ///< short, such as `48-8x6`
  char *title;        ///< a line that describes it
  char *file;         ///< the path it was read from; NULL where it ships with the program or is part of another file
  GPtrArray *sources; ///< of char *: where its facts come from
  GArray *columns;    ///< of RcNote: the fundamental that names each column, flattest first
  GPtrArray *rows;    ///< of char *: the name of each row from the bellows outwards
  GArray *buttons;    ///< of RcButton: by row, then by column, then push before pull; dead ones included
  double column_mm;   ///< distance of neighbouring columns
  double row_mm;      ///< distance of neighbouring rows
  double slant_mm;    ///< how far each further row is shifted towards the chin
  guint first_bass;   ///< pitch class with which the one octave of basses begins; E where the file does not say
  guint first_chord;  ///< the same of the tones of chords; G where the file does not say
  gboolean mirrored;  ///< the board, and the hand on it, is the mirror image of one that is not: the sharp end of the
                      ///< columns lies towards the knee, which is where x counts to
  guint taken;        ///< set of RcTaken: what the file does not say
} RcLayout;

/// Makes a layout from the YAML text of a layout file (@p length bytes). @p file names it in errors. Returns NULL and
/// sets @p error with line and column: #RC_ERROR_ENCODING, _SYNTAX, _VALUE, _UNKNOWN or _LIMIT. rowcall-layout(5)
/// describes the format. Free with rc_layout_free().
RcLayout *rc_layout_parse(const char *text, gsize length, const char *file, GError **error);

/// Returns whether @p name means a layout file: it contains a `/` or ends in `.yaml`.
gboolean rc_layout_is_file(const char *name);

/// Finds a layout: one that ships with the program by its name, or a file (see rc_layout_is_file()). Returns NULL and
/// sets @p error, as rc_layout_parse() does, or to #RC_ERROR_IO where a file cannot be read; #RC_ERROR_UNKNOWN proposes
/// the nearest name. Free with rc_layout_free().
RcLayout *rc_layout_find(const char *name, GError **error);

/// As rc_layout_find(), but goes on after each problem and adds all of them to @p problems, of GError *, which the
/// caller frees with g_error_free(). Returns what could be made out of the layout, NULL where that is too little.
RcLayout *rc_layout_check(const char *name, GPtrArray *problems);

/// Silences the buttons of @p layout in @p list, rows and columns such as `minor:B,seventh:E`, one direction of the
/// bellows as in `bass:E:pull`, or chords that have a button of their own, `Bm,E7`, and says so in its name
/// (`48-8x6-less-2`) and title, one named twice being one. Returns FALSE and sets @p error to #RC_ERROR_UNKNOWN at the
/// first that is not there or may be several, or where the list is empty.
gboolean rc_layout_silence(RcLayout *layout, const char *list, GError **error);

/// Returns a copy of @p layout on which every button sounds @p semitones (any sign) higher; names of rows and columns
/// stay. Free with rc_layout_free().
RcLayout *rc_layout_moved(const RcLayout *layout, int semitones);

/// Frees @p layout; NULL is allowed.
void rc_layout_free(RcLayout *layout);

/// Returns the names of the trade's usual sizes, smallest first, NULL-terminated and constant.
const char *const *rc_layout_usual_names(void);

/// Returns the names of all layouts that ship with the program: the usual sizes, then the variants by number and name.
/// Free with g_strfreev().
char **rc_layout_all_names(void);

/// Returns a button of @p layout by its index; borrowed.
static inline const RcButton *
rc_layout_button(const RcLayout *layout, guint index)
{
  return &g_array_index(layout->buttons, RcButton, index);
}

/// Returns how many entries from @p index on are one button of the instrument: 1, or 2 where it is the push of a button
/// that differs on pull. A walk over the buttons of the instrument steps by this.
guint rc_layout_entries_at(const RcLayout *layout, guint index);

/// Returns the index of the row called @p name; -1 where there is none.
int rc_layout_find_row(const RcLayout *layout, const char *name);

/// Returns the index of the column that @p note names, spelled so; -1 where there is none.
int rc_layout_find_column(const RcLayout *layout, RcNote note);

/// Returns the index of the entry at a row and a column, of two that for push; the layout has both.
guint rc_layout_entry(const RcLayout *layout, guint row, guint column);

/// Returns the index of the column that is @p nth, from 0, from the knee to the chin.
guint rc_layout_column_at(const RcLayout *layout, guint nth);

/// Returns the number of buttons of the instrument that sound, on push or on pull.
guint rc_layout_count_buttons(const RcLayout *layout);

/// Returns whether some button of @p layout differs on push and on pull.
gboolean rc_layout_has_bellows(const RcLayout *layout);

/// Returns "push", "pull", or "both"; constant.
const char *rc_bellows_name(RcBellows bellows);

/// Returns the name of the row @p button is in; borrowed.
const char *rc_button_row(const RcLayout *layout, const RcButton *button);

/// Returns whether @p button is felt by its mark, as is usual for C, E and Ab of the fundamental basses.
gboolean rc_button_marked(const RcLayout *layout, const RcButton *button);

/// Returns what @p button sounds, or would sound by the kind of its row if it were not dead; dead still in rows whose
/// sounds are listed button by button.
RcSound rc_button_meant(const RcLayout *layout, const RcButton *button);

/// Returns the note that names the column @p button is in.
RcNote rc_button_column(const RcLayout *layout, const RcButton *button);

/// Returns what a player calls @p button whatever the bellows do, such as "B bass (counterbass of G)" or "D major"; a
/// new string.
char *rc_button_name(const RcLayout *layout, const RcButton *button, RcSigns signs);

/// Returns how a layout file writes what @p button sounds, where that is not what its row and column say: `B`, a bass,
/// or `B 1 b3 5`. NULL where it is, and where nothing sounds. A new string.
char *rc_button_retuned(const RcLayout *layout, const RcButton *button);

/// As rc_button_name(), with " on push" or " on pull" where it sounds so only then.
char *rc_button_describe(const RcLayout *layout, const RcButton *button, RcSigns signs);

/// Returns what is written on a button of @p sound in a drawing, such as "Am" or "C7"; a new string, empty for a dead
/// one.
char *rc_sound_label(const RcSound *sound, RcSigns signs);

/// As rc_sound_label(), with " on push" or " on pull" where @p button sounds so only then.
char *rc_button_label(const RcButton *button, RcSigns signs);

// ---------------------------------------------------------------------------------------------------------- grips

/// How much a hand holds.
enum {
  RC_GRIP_BASSES = 3, ///< most bass buttons in a grip
  RC_GRIP_CHORDS = 2, ///< most chord buttons in a grip
  RC_GRIP_REACH = 4,  ///< columns a hand spans by default
  RC_GRIP_PRESS = 3   ///< most buttons in a grip; pressed together by default
};

/// What a hand may do.
typedef struct {
  guint reach; ///< most columns between the outermost buttons of a grip
  guint press; ///< most buttons pressed together, basses among them, 1 to #RC_GRIP_PRESS
} RcHand;

/// Bass and chord buttons that are pressed together, as indices of the layout's buttons, each kind in rising order: one
/// bass button, or two or three that are neighbours in one row and a fifth apart each, and 0 to 2 chord buttons.
typedef struct {
  guint16 basses[RC_GRIP_BASSES];
  guint16 chords[RC_GRIP_CHORDS];
  guint8 n_basses; ///< 1 to 3
  guint8 n_chords;
} RcGrip;

/// Returns whether two grips of one layout press the same buttons.
gboolean rc_grip_equal(const RcGrip *a, const RcGrip *b);

/// Returns the number of buttons of @p grip.
static inline guint
rc_grip_count(const RcGrip *grip)
{
  return (guint)grip->n_basses + grip->n_chords;
}

/// Returns the index of button @p nth of @p grip, from 0: the basses, then the chord buttons.
static inline guint
rc_grip_button(const RcGrip *grip, guint nth)
{
  return nth < grip->n_basses ? grip->basses[nth] : grip->chords[nth - grip->n_basses];
}

/// Returns the pitch classes of the basses of @p grip.
RcPcSet rc_grip_basses(const RcLayout *layout, const RcGrip *grip);

/// Returns the pitch classes @p grip sounds.
RcPcSet rc_grip_tones(const RcLayout *layout, const RcGrip *grip);

/// Returns the direction of the bellows in which @p grip sounds.
RcBellows rc_grip_bellows(const RcLayout *layout, const RcGrip *grip);

/// Returns whether two buttons can sound at once: not the push of one and the pull of the other.
gboolean rc_bellows_agree(RcBellows a, RcBellows b);

/// Returns how many columns lie between the outermost buttons of @p grip: 0 when all are in one.
guint rc_grip_reach(const RcLayout *layout, const RcGrip *grip);

/// Returns the grip in words, such as "B bass (counterbass of G) + D major" or "E bass + G major, on push"; a new
/// string.
char *rc_grip_describe(const RcLayout *layout, const RcGrip *grip, RcSigns signs);

/// Orders two grips of one layout: fewer buttons, smaller reach, buttons nearer to the C and G columns, the distances
/// added up (so that on a large board A is played in the A column, not far off as B double flat), then the row nearest
/// the bellows and the flattest column, button by button. Never 0 for different grips.
int rc_grip_compare(const RcLayout *layout, const RcGrip *a, const RcGrip *b);

/// Is called for each grip, which lasts for the call only, with @p data.
typedef void (*RcGripFunc)(const RcGrip *grip, gpointer data);

/// Calls @p each for every grip @p hand can hold on @p layout, each once, always in the same order. A grip never mixes
/// push and pull.
void rc_layout_each_grip(const RcLayout *layout, RcHand hand, RcGripFunc each, gpointer data);

RC_END_API

#endif
