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
extern const CliCommand cli_listen;
extern const CliCommand cli_report;
extern const CliCommand cli_sheet;
extern const CliCommand cli_sizes;
extern const CliCommand cli_shop;

// -------------------------------------------------------------------------------------------------------- options

/// The options that several commands take. Strings are owned.
typedef struct {
  // the hand
  int reach;
  int press;
  // the roll
  char *accept;
  char *tempo;
  char *brisk;
  char *names;
  char *from;
  int threads;
  gboolean no_melody;
  gboolean all_problems;
  gboolean melody_notes; // a tune's notes are kept
  // the answer
  char *format;
  char *output;
  char *on;
  char *without;
  // the route
  char *school;
  char *spans;
  char *prefer;
  char *turns_apart;
  char *title;
  char *paper;
  // what is left over
  char **arguments;
} CliOptions;

/// Which of them a command takes, as bits.
typedef enum {
  CLI_HAND = 1 << 0,
  CLI_REPERTOIRE = 1 << 1,
  CLI_FORMAT = 1 << 2,
  CLI_OUTPUT = 1 << 3,
  CLI_ON = 1 << 4,
  CLI_ROUTE = 1 << 5,
  CLI_TITLE = 1 << 6,
  CLI_PAPER = 1 << 7
} CliTakes;

/// Sets defaults.
CliOptions cli_options(void);

/// Reads @p argv into @p options and the command's own @p entries (may be NULL). On failure prints what is wrong; then,
/// or after printing help, the command ends with @p status.
gboolean cli_parse(const CliCommand *command, CliTakes takes, CliOptions *options, const GOptionEntry *entries,
                   int argc, char **argv, int *status);

void cli_options_clear(CliOptions *options);

/// Returns @p text of a help with line breaks before the edge of 80 columns; a new string.
char *cli_wrapped(const char *text);

/// Runs a command without options of its own: has @p work do what @p argv asks for, and returns its exit status.
int cli_run(const CliCommand *command, CliTakes takes, int (*work)(const CliOptions *options), int argc, char **argv);

/// The settings the options give; print what is wrong and return FALSE.
gboolean cli_hand(const CliOptions *options, RcHand *hand);
gboolean cli_roll_settings(const CliOptions *options, RcRollSettings *settings);
gboolean cli_accept(const CliOptions *options, RcVerdict *accept);
gboolean cli_route_settings(const CliOptions *options, RcRouteSettings *settings);
gboolean cli_corpus_options(const CliOptions *options, RcCorpusOptions *corpus);
gboolean cli_paper(const CliOptions *options, RcPaper *paper);
gboolean cli_format(const CliOptions *options, RcTextFormat *format);

/// Returns whether --on is given; prints how where it is not.
gboolean cli_has_on(const CliOptions *options);

/// Finds the layout called @p name; prints what is wrong and returns NULL. A file must not be the one -o names.
RcLayout *cli_layout(const CliOptions *options, const char *name);

/// Finds the layout that --on names, without the buttons that --without does; prints what is wrong and returns NULL.
RcLayout *cli_layout_on(const CliOptions *options);

/// Silences on @p layout what --without names; prints what is wrong and returns FALSE.
gboolean cli_silence(const CliOptions *options, RcLayout *layout);

// --------------------------------------------------------------------------------------------------------- boards

/// Keyboards ready to be asked.
typedef struct {
  GPtrArray *layouts;    ///< of RcLayout *
  GPtrArray *catalogues; ///< of RcCatalogue *, beside them
  RcPanel *panel;        ///< of all of them
  GPtrArray *planners;   ///< of RcPlanner *, beside them, for those along which routes are planned, else NULL
  GPtrArray *uses;       ///< of RcUse *, beside them: what the routes of cli_roll() used
  GPtrArray *tunes;      ///< where not NULL, cli_roll() keeps copies of the tunes here: RcTune *
} CliBoards;

/// Loads the layouts in @p names, NULL-terminated; prints what is wrong and returns FALSE. What --without names is
/// silenced on the one that is --on itself, the same string, and on all where there is no --on.
gboolean cli_boards_load(CliBoards *boards, const char *const *names, const CliOptions *options);

/// Loads the usual layouts into @p boards with a panel of the sweep of all sizes, which is returned, to be freed after
/// the rolls on it; prints what is wrong and returns NULL.
RcSweep *cli_boards_sweep(CliBoards *boards, const CliOptions *options);

/// Makes ready the keyboards of @p layouts, an array of RcLayout *, and takes the array over, whose free function says
/// whether its layouts are owned; prints what is wrong and returns FALSE.
gboolean cli_boards_make(CliBoards *boards, GPtrArray *layouts, const CliOptions *options);

/// Has routes planned on keyboard @p index too, so that its buttons' use is known after cli_roll().
void cli_boards_plan(CliBoards *boards, guint index, const RcRouteSettings *settings);

void cli_boards_clear(CliBoards *boards);

// -------------------------------------------------------------------------------------------------------- reading

/// Is given each tune that was read.
typedef void (*CliTuneFunc)(const RcTune *tune, gpointer data);

/// What came of reading a repertoire.
typedef struct {
  RcIntake intake;
  guint64 unread; ///< texts that are no chord symbols, each counted once a tune
} CliReading;

/// Reads the tunes in @p options' arguments (files, folders, "-"), gives each to @p each, prints problems. Returns
/// FALSE where no tune could be read, having said so.
gboolean cli_read(const CliOptions *options, CliTuneFunc each, gpointer data, CliReading *reading);

/// As cli_read(), but gives only tunes whose title --title asks for; also returns FALSE where there is none, having
/// said so.
gboolean cli_read_titled(const CliOptions *options, CliTuneFunc each, gpointer data, CliReading *reading);

/// Rolls the tunes in @p options' arguments on @p boards, several files at once, plans their routes where @p boards
/// have planners, and prints problems. Returns NULL where no tune could be read, having said so.
RcRoll *cli_roll(const CliOptions *options, const CliBoards *boards, CliReading *reading);

/// A keyboard and the routes along it.
typedef struct {
  RcLayout *layout;
  RcPlanner *planner;
  RcRoute *route;
  RcPlanner *sound_planner; ///< where ease is preferred, for comparison; else NULL
  RcRoute *sound;
} CliRouting;

/// Makes ready what --on and the options of routes ask for; prints what is wrong and returns FALSE.
gboolean cli_routing_start(CliRouting *routing, const CliOptions *options);

void cli_routing_clear(CliRouting *routing);

/// Is given each tune with its chart and its number, from 0.
typedef void (*CliChartFunc)(const RcTune *tune, const RcChart *chart, guint number, gpointer data);

/// Reads the tunes in @p options' arguments, plans those whose title --title asks for and gives them to @p each. Prints
/// problems; returns FALSE where there was no tune, having said so.
gboolean cli_chart(const CliOptions *options, const CliRouting *routing, CliChartFunc each, gpointer data,
                   CliReading *reading);

/// The exit status after @p reading.
int cli_reading_status(const CliReading *reading);

// -------------------------------------------------------------------------------------------------------- writing

/// Prints "rowcall: MESSAGE" to standard error, one line whatever it quotes.
void cli_complain(const char *format, ...) G_GNUC_PRINTF(1, 2);

/// Prints and frees @p error.
void cli_complain_error(GError *error);

/// Has a signal that ends the program remove the file being written, and makes the standard descriptors safe. First of
/// all that main() does.
void cli_guard_files(void);

/// Returns whether the file @p path, or standard output where it is NULL or "-", can be written to as far as is known
/// before it is tried; prints why not. What cannot is said before a long run.
gboolean cli_can_write(const char *path);

/// Returns whether @p input, a file that is read or "-", is another file than the one -o names; prints why not.
gboolean cli_spares(const CliOptions *options, const char *input);

/// Writes out what was printed of helps. Prints what is wrong and returns FALSE.
gboolean cli_end_help(void);

/// Returns the picture format that the ending of @p path names; FALSE when it names none.
gboolean cli_picture(const char *path, RcPicture *picture);

/// Writes @p text, shown as rc_visible_lines() has it, to the file @p path whole or not at all, or to standard output
/// where it is NULL or "-". Prints what is wrong and returns FALSE.
gboolean cli_write_text(const char *path, const GString *text);

/// Writes @p bytes, which may be NULL with @p error set; frees both.
gboolean cli_write_bytes(const char *path, GBytes *bytes, GError *error);

/// The imprint of pictures: the date comes from SOURCE_DATE_EPOCH. Clear with g_free() of its date.
RcImprint cli_imprint(const char *title);

#endif
