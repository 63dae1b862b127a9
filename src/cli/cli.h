// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the commands share: options, reading the repertoire, writing the answer, and the exit statuses.

#ifndef ROWCALL_SRC_CLI_CLI_H
#define ROWCALL_SRC_CLI_CLI_H

#include "rowcall/rowcall.h"

/// Exit statuses.
enum {
  CLI_DONE = 0,   ///< all was read
  CLI_PARTLY = 1, ///< some tunes or chords could not be read; the rest is answered
  CLI_NOTHING = 2 ///< wrong use, or nothing was done
};

/// A command of the program.
typedef struct {
  const char *name;
  const char *arguments; ///< for the usage line
  const char *summary;   ///< one line
  const char *details;   ///< shown by its help: what it answers, with an example
  int (*run)(int argc, char **argv);
} CliCommand;

extern const CliCommand cli_compare;
extern const CliCommand cli_tune;
extern const CliCommand cli_chord;
extern const CliCommand cli_heat;
extern const CliCommand cli_keys;
extern const CliCommand cli_layouts;
extern const CliCommand cli_learn;
extern const CliCommand cli_list;
extern const CliCommand cli_listen;
extern const CliCommand cli_page;
extern const CliCommand cli_report;
extern const CliCommand cli_settings;
extern const CliCommand cli_sheet;
extern const CliCommand cli_sizes;
extern const CliCommand cli_shop;

// -------------------------------------------------------------------------------------------------------- options

/// A setting in words, as given on the command line or kept in a file.
typedef struct {
  char *name;
  char *text;   ///< NULL for a switch
  guint line;   ///< in the file, from 1; 0 where it was given
  guint column; ///< the same
} CliSetting;

/// The options that several commands take. Strings are owned.
typedef struct {
  RcSettings settings; ///< hand, taste, target, and how a repertoire is read
  GArray *given;       ///< of CliSetting: those of the settings that were given, in their order
  gboolean no_kept;    ///< what the user keeps is left out
  gboolean all_problems;
  // the answer
  char *format;
  char *output;
  char *on;
  char **ons;    // where a command takes several; then `on` is the user's own, if any
  char *without; // the lists joined
  char **without_lists;
  char *title;
  int line; // of the file at which the tune begins; 0: any
  int move; // semitones
  char *paper;
  // what is left over
  char **arguments;
} CliOptions;

/// Which of them a command takes, as bits.
typedef enum {
  CLI_HAND = 1 << 0,
  CLI_NAMES = 1 << 1,  ///< of notes
  CLI_JUDGE = 1 << 13, ///< how tunes are judged
  CLI_REPERTOIRE = 1 << 2 | CLI_NAMES | CLI_JUDGE,
  CLI_FORMAT = 1 << 3,
  CLI_OUTPUT = 1 << 4,
  CLI_ON = 1 << 5,
  CLI_ROUTE = 1 << 6,
  CLI_TITLE = 1 << 7,
  CLI_PAPER = 1 << 8,
  CLI_TARGET = 1 << 9,
  CLI_TUNES = 1 << 10,   ///< a target counted by tunes
  CLI_PICTURE = 1 << 11, ///< its output may be a picture
  CLI_SOUND = 1 << 12,   ///< its output is a sound file
  CLI_PAGE = 1 << 14     ///< its output is a browser page
} CliTakes;

/// Sets defaults.
CliOptions cli_options(void);

/// Reads @p argv into @p options and the command's own @p entries (may be NULL), which take the place of those of the
/// same names. On failure prints what is wrong; then, or after printing help, the command ends with @p status.
gboolean cli_parse(const CliCommand *command, CliTakes takes, CliOptions *options, const GOptionEntry *entries,
                   int argc, char **argv, int *status);

/// Returns whether each of @p entries, of GOptionEntry, that does not gather several values is at most once in @p argv;
/// prints which is not.
gboolean cli_given_once(const GArray *entries, char **argv);

void cli_options_clear(CliOptions *options);

/// Returns @p text of a help with line breaks before the edge of 80 columns; a new string.
char *cli_wrapped(const char *text);

/// Runs a command without options of its own: has @p work do what @p argv asks for, and returns its exit status.
int cli_run(const CliCommand *command, CliTakes takes, int (*work)(CliOptions *options), int argc, char **argv);

/// Returns whether the setting called @p name was given.
gboolean cli_is_given(const CliOptions *options, const char *name);

/// Sets a setting from an option of a command's own; prints what is wrong and returns FALSE.
gboolean cli_set(CliOptions *options, const char *name, const char *text);

/// Reads the value @p text of the option @p name, NULL where it is not given, which is one of @p choices; prints what
/// is wrong and returns FALSE.
gboolean cli_choose(const char *name, const RcChoice *choices, const char *text, int *value);

/// Finds the paper called @p text; sets @p error as rc_choice_read() does and returns FALSE.
gboolean cli_paper_read(const char *text, RcPaper *paper, GError **error);

gboolean cli_paper(const CliOptions *options, RcPaper *paper);
gboolean cli_format(const CliOptions *options, RcTextFormat *format);

/// Returns whether --on is given; prints how where it is not.
gboolean cli_has_on(const CliOptions *options);

/// Makes the @p n keyboards @p names ready; prints what is wrong and returns NULL.
RcBoards *cli_boards(const CliOptions *options, const RcBoardName *names, guint n);

/// Makes the usual sizes ready, and after them the keyboard that --on names, if any; prints what is wrong and returns
/// NULL.
RcBoards *cli_boards_usual(const CliOptions *options);

/// Makes the keyboard ready that --on names, without the buttons that --without does; prints what is wrong and returns
/// NULL.
RcBoards *cli_board_on(const CliOptions *options);

// ------------------------------------------------------------------------------------------------------ kept settings

/// Frees what a CliSetting, @p data, holds; for g_array_set_clear_func().
void cli_setting_clear(gpointer data);

/// Returns the path of the file that keeps the user's settings; free with g_free().
char *cli_kept_path(void);

/// Reads the settings that the user keeps, an array of CliSetting, empty where there is no file. Their values are not
/// looked at. Prints what is wrong and returns NULL.
GArray *cli_kept_read(void);

/// Returns whether the values of @p kept are right and go together; prints what is wrong. Whether the keyboard is
/// there is not looked at.
gboolean cli_kept_check(const GArray *kept);

/// Has @p options take those of the user's settings whose names are among @p entries, of GOptionEntry, and that were
/// not given. Prints what is wrong and returns FALSE.
gboolean cli_kept_apply(CliOptions *options, const GArray *entries);

/// Returns whether a setting called @p name can be kept.
gboolean cli_kept_knows(const char *name);

/// Returns the one of @p kept called @p name, or NULL; borrowed.
const CliSetting *cli_kept_find(const GArray *kept, const char *name);

/// Keeps @p text, "yes" for NULL, as @p name, in place of what was kept so.
void cli_kept_set(GArray *kept, const char *name, const char *text);

/// Removes @p name; returns whether it was there.
gboolean cli_kept_remove(GArray *kept, const char *name);

/// Returns @p kept as the file has it: YAML, a line each, in one order.
GString *cli_kept_text(const GArray *kept);

/// Writes the file whole or not at all, or removes it where nothing is kept. Prints what is wrong and returns FALSE.
gboolean cli_kept_write(const GArray *kept);

// -------------------------------------------------------------------------------------------------------- reading

/// Reads the tunes in @p options' arguments (files, folders, "-") with the title that --title asks for, gives each to
/// @p each, and prints problems. Returns FALSE where there was no such tune, having said so.
gboolean cli_read(const CliOptions *options, RcTuneFunc each, gpointer data, RcIntake *intake);

/// Rolls them on @p boards; see rc_repertoire_roll(). Prints problems; returns NULL where there was no tune, having
/// said so.
RcRolled *cli_roll(const CliOptions *options, const RcBoards *boards, gboolean keep);

/// The same for the tunes in @p paths.
RcRolled *cli_roll_paths(const CliOptions *options, char *const *paths, const RcBoards *boards, gboolean keep);

/// The exit status where @p intake was read.
int cli_reading_status(const RcIntake *intake);

// -------------------------------------------------------------------------------------------------------- writing

/// Prints "rowcall: MESSAGE" to standard error, one line whatever it quotes.
void cli_complain(const char *format, ...) G_GNUC_PRINTF(1, 2);

/// Prints and frees @p error.
void cli_complain_error(GError *error);

/// Has a signal that ends the program remove the file being written, and makes the standard descriptors safe. First of
/// all that main() does.
void cli_guard_files(void);

/// Returns whether the file @p path, or standard output where it is NULL or "-", can be written to as far as is known
/// before it is tried; prints why not. What cannot is reported before a long run.
gboolean cli_can_write(const char *path);

/// Returns whether @p input, a file that is read or "-", is another file than the one -o names; prints why not.
gboolean cli_spares(const CliOptions *options, const char *input);

/// Writes out what was printed of helps. Prints what is wrong and returns FALSE.
gboolean cli_end_help(void);

/// Returns whether the ending of the output's name, where it has one, is that of a file that a command can write which
/// takes @p takes, and does not contradict --format; prints what is wrong.
gboolean cli_ending_fits(const CliOptions *options, CliTakes takes);

/// Returns the format of text that the ending of @p path names, tables where it names none.
RcTextFormat cli_format_of(const char *path);

/// Returns the picture format that the ending of @p path names; FALSE when it names none.
gboolean cli_picture(const char *path, RcPicture *picture);

/// Writes @p text, shown as rc_visible_lines() has it, to the file @p path whole or not at all, or to standard output
/// where it is NULL or "-". Prints what is wrong and returns FALSE.
gboolean cli_write_text(const char *path, const GString *text);

/// Writes @p bytes, which may be NULL with @p error set; frees both.
gboolean cli_write_bytes(const char *path, GBytes *bytes, GError *error);

/// An answer that is written as text or drawn.
typedef struct {
  const char *title; ///< of the picture
  void (*text)(GString *out, RcTextFormat format, gconstpointer data);
  GBytes *(*draw)(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error);
  gconstpointer data;
} CliAnswer;

/// Writes @p answer as the ending of the output asks: drawn, or as text in @p format. Prints what is wrong and returns
/// FALSE.
gboolean cli_write_answer(const CliOptions *options, RcTextFormat format, const CliAnswer *answer);

/// The imprint of pictures: the date comes from SOURCE_DATE_EPOCH. Clear with g_free() of its date.
RcImprint cli_imprint(const char *title);

#endif
