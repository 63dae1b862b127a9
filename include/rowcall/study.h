// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file study.h
/// Questions about a repertoire and keyboards, answered as plain data: how a player holds and judges (settings), how
/// much is enough (a target), keyboards ready to be asked, and a repertoire read tune by tune or rolled as a whole.
/// Nothing here prints: messages and progress go to a watcher, answers are structs that reports format.

#ifndef ROWCALL_STUDY_H
#define ROWCALL_STUDY_H

#include "rowcall/corpus.h"
#include "rowcall/coverage.h"
#include "rowcall/route.h"
#include "rowcall/sound.h"

RC_BEGIN_API

// --------------------------------------------------------------------------------------------------------- targets

enum {
  RC_TARGET_ALL = 1000000,  ///< a target of everything
  RC_TARGET_USUAL = 950000, ///< where none is named
};

/// How much is enough.
typedef struct {
  enum { RC_TARGET_TIME, RC_TARGET_TUNES } by; ///< of the playing time that could be read, or of the tunes
  guint millionths;                            ///< 1 to #RC_TARGET_ALL
} RcTarget;

/// Returns the usual target: 95 percent of the playing time.
RcTarget rc_target(void);

/// Returns whether @p part of @p whole, counts of one kind, is at least @p millionths of it: in whole numbers, so that
/// no two answers differ by rounding. Nothing of nothing reaches no target.
gboolean rc_reaches(gint64 part, gint64 whole, guint millionths);

/// Returns whether @p counts reach @p target, where @p accept is the worst verdict that counts as playable.
gboolean rc_target_reached(RcTarget target, const RcCounts *counts, RcVerdict accept);

// -------------------------------------------------------------------------------------------------------- settings

/// A word that a setting takes and what it means. A list of them ends with a NULL word.
typedef struct {
  const char *word;
  int value;
} RcChoice;

/// Finds @p text, in either case, among @p choices and sets @p value. Where it is none of them sets @p error
/// (#RC_ERROR_UNKNOWN) to "expected A, B or C" and returns FALSE.
gboolean rc_choice_read(const RcChoice *choices, const char *text, int *value, GError **error);

/// Reads a decimal number from @p least to @p most such as `1.5`, and nothing after it. Else sets @p error
/// (#RC_ERROR_VALUE) to "expected LEAST to MOST UNIT" and returns FALSE.
gboolean rc_number_read(const char *text, double least, double most, const char *unit, double *number, GError **error);

/// The same for a whole number.
gboolean rc_count_read(const char *text, guint least, guint most, const char *unit, guint *count, GError **error);

enum { RC_MAX_THREADS = 256 };

/// A hand, a taste and a target, and how a repertoire is read.
typedef struct {
  RcRouteSettings route;  ///< hand, fingers, what is preferred and accepted, tempi
  RcTarget target;        ///< how much is enough
  RcCorpusOptions corpus; ///< how files are read
  guint threads;          ///< that read at once, at most #RC_MAX_THREADS; 0: one a processor
} RcSettings;

/// Returns the usual settings: rc_route_settings(), rc_target(), and files as RcCorpusOptions has them by default.
RcSettings rc_settings(void);

/// Returns the same in memory of its own, for languages that know the struct only by its address; free with g_free().
RcSettings *rc_settings_new(void);

/// Sets the setting called @p name from @p text, as a command line or a file has them: `accept`, `brisk`, `from`,
/// `key`, `names`, `no-melody`, `prefer`, `press`, `reach`, `school`, `spans`, `target`, `tempo`, `threads`, `tunes`,
/// `turns-apart`. A switch (`no-melody`) is set where @p text is NULL. On failure sets @p error, whose message says
/// what is expected ("expected 0 to 60 seconds") without the name and the text, which the caller knows, and leaves
/// @p settings alone: #RC_ERROR_VALUE, or #RC_ERROR_UNKNOWN for a word or a name that is not known.
gboolean rc_settings_set(RcSettings *settings, const char *name, const char *text, GError **error);

// ---------------------------------------------------------------------------------------------------------- doubts

/// What is doubtful.
typedef enum {
  RC_DOUBT_KEY,  ///< the stated key: the chords say another and end there
  RC_DOUBT_CHORD ///< a chord: the melody has the other third
} RcDoubtKind;

/// Something in a tune that may be meant otherwise. It changes no count.
typedef struct {
  RcDoubtKind kind;
  guint line;    ///< place in the file, from 1: of the first chord over which the melody says so, or of the last chord
  guint column;  ///< from 1
  guint bar;     ///< the written bar, from 0
  guint symbol;  ///< the symbol there, or for a chord the first that asks for it
  RcNote third;  ///< of a chord: what the melody has
  RcChord meant; ///< of a chord: the parallel one, or its relative where the melody agrees with that far more
  RcKey key;     ///< of a key: what is meant
} RcDoubt;

/// Returns what is doubtful in @p tune, a new array of RcDoubt, to be freed with g_array_unref(): the key first, then
/// chords in the order of their symbols, each once. Chords are doubted only where the tune keeps its notes
/// (`melody_notes` of RcCorpusOptions). The rules are described in src/study/doubts.c.
GArray *rc_tune_doubts(const RcTune *tune);

// ------------------------------------------------------------------------------------------------------- keyboards

/// A keyboard as it is asked for.
typedef struct {
  const char *name;    ///< a layout that ships, or the path of a file; see rc_layout_find()
  const char *without; ///< buttons to take for dead, as rc_layout_silence() takes them; NULL for none
} RcBoardName;

/// Keyboards ready to be asked. Read-only but for rc_boards_plan().
typedef struct {
  RcSettings settings;
  guint n;
  RcLayout **layouts;
  RcCatalogue **catalogues; ///< beside them; NULL where a sweep has those of other boards
  RcPanel *panel;           ///< of all of them, or of all sizes of the sweep
  RcSweep *sweep;           ///< of all sizes there could be; NULL but after rc_boards_new_sweep()
  RcPlanner **planners;     ///< beside the layouts: NULL where no routes are planned
  RcUse **uses;             ///< beside them: how the tunes rolled used the buttons
  gboolean owned;           ///< the layouts are freed with the rest
  int own;                  ///< the player's, after rc_boards_find_usual(); else -1
} RcBoards;

/// Finds the layouts of the @p n @p names and makes them ready; @p settings may be NULL, for the usual ones. Returns
/// NULL and sets @p error as rc_layout_find() or rc_layout_silence() do; free with rc_boards_free().
RcBoards *rc_boards_find(const RcBoardName *names, guint n, const RcSettings *settings, GError **error);

/// The same for the trade's usual sizes, smallest first, and after them @p own, the player's, unless it is NULL or one
/// of them as it is.
RcBoards *rc_boards_find_usual(const RcBoardName *own, const RcSettings *settings, GError **error);

/// Makes the @p n @p layouts ready, which must outlive the boards. Free with rc_boards_free().
RcBoards *rc_boards_new(RcLayout *const *layouts, guint n, const RcSettings *settings);

/// Makes the sweep of all sizes ready that the trade's usual ones span; these are the layouts. Free with
/// rc_boards_free().
RcBoards *rc_boards_new_sweep(const RcSettings *settings);

/// The same of @p usual, which are those of rc_boards_find_usual() and must outlive it, with their settings.
RcBoards *rc_boards_new_sweep_of(const RcBoards *usual);

/// Has routes planned on keyboard @p index of @p boards too, so that the use of its buttons is known.
void rc_boards_plan(RcBoards *boards, guint index);

/// The same, so that it is known tune by tune too; see rc_use_keep_tunes().
void rc_boards_plan_tunes(RcBoards *boards, guint index);

/// Frees @p boards; NULL is allowed.
void rc_boards_free(RcBoards *boards);

// --------------------------------------------------------------------------------------------------------- reading

/// What to read.
typedef struct {
  const char *const *paths; ///< files, folders, `-` for standard input; NULL-terminated
  const char *title;        ///< only tunes with this in their title, in either case; NULL: all
  guint line;               ///< only tunes that begin at this line of their file; 0: all
  int move;                 ///< by how many semitones they are moved before anything is asked of them
} RcRepertoire;

/// What was read.
typedef struct {
  guint64 tunes;    ///< tunes read
  guint64 files;    ///< files opened
  guint64 problems; ///< tunes and files left out
  guint64 unread;   ///< texts that are no chord symbols, each counted once a tune
  guint64 titled;   ///< tunes with the title and line that were asked for; as many as `tunes` where none were
  guint64 messages; ///< of all kinds, whether the watcher received them or not
} RcIntake;

/// The watcher of a repertoire being read. Each function may be NULL.
typedef struct {
  /// Is given the files before the first is opened, NULL-terminated; returns FALSE to have none read.
  gboolean (*start)(const char *const *files, gpointer data);
  /// Receives what was left out, could not be read or is read otherwise than written, in the order of the files.
  void (*tell)(const char *message, gpointer data);
  /// Receives, now and then, the tunes and bytes (unpacked) read since the last time: from any thread, but one at a
  /// time and never while tell() is called.
  void (*tick)(guint64 tunes, guint64 bytes, gpointer data);
  gpointer data;
  guint most; ///< most messages it wants; 0: all
} RcWatcher;

/// Is given each tune, which lasts for the call, with @p data.
typedef void (*RcTuneFunc)(const RcTune *tune, gpointer data);

/// Reads @p repertoire file after file and gives each tune to @p each. @p intake says what was read. Returns FALSE
/// where
/// @p watcher, which may be NULL, had none read.
gboolean rc_repertoire_read(const RcRepertoire *repertoire, const RcSettings *settings, const RcWatcher *watcher,
                            RcTuneFunc each, gpointer data, RcIntake *intake);

/// A repertoire rolled on keyboards.
typedef struct {
  const RcBoards *boards; ///< borrowed
  RcRoll *roll;
  RcIntake intake;
  RcTune **tunes; ///< copies, in the order they were read, where they were asked for; else NULL
  guint n_tunes;
} RcRolled;

/// Rolls @p repertoire on @p boards, which must outlive the result, on several threads; plans routes on those that
/// rc_boards_plan() named, and adds to their uses. @p keep says whether the tunes are wanted too. The result does not
/// depend on the number of threads. Returns NULL where @p watcher, which may be NULL, had none read. Free with
/// rc_rolled_free().
RcRolled *rc_repertoire_roll(const RcRepertoire *repertoire, const RcBoards *boards, gboolean keep,
                             const RcWatcher *watcher);

/// Rolls the tunes kept in @p rolled on other @p boards, which must outlive the result too. It keeps none; free with
/// rc_rolled_free().
RcRolled *rc_rolled_again(const RcRolled *rolled, const RcBoards *boards);

/// Frees @p rolled; NULL is allowed.
void rc_rolled_free(RcRolled *rolled);

// ------------------------------------------------------------------------------------------------- a chord by itself

/// What surrounds a chord that is asked for by itself. All zero: nothing is known.
typedef struct {
  RcKey key;
  RcPcSet melody; ///< tones the right hand sounds meanwhile
  gboolean brisk; ///< it is so short that it may lack its third
} RcSurroundings;

/// Sets the key, such as `D` or `E dorian`. Else sets @p error (#RC_ERROR_VALUE), as rc_settings_set() does, and
/// returns FALSE.
gboolean rc_surroundings_set_key(RcSurroundings *around, const char *text, RcNames names, GError **error);

/// The same for the melody: notes such as `D F#`.
gboolean rc_surroundings_set_melody(RcSurroundings *around, const char *text, GError **error);

/// A way to play a chord.
typedef struct {
  RcAnswer answer;
  guint root;          ///< pitch class of the root a listener finds in it, by the weights of #rc_root_weights_1988
  RcFingering fingers; ///< that hold it
  gboolean held;       ///< whether any can
} RcRanked;

/// Every way to play a chord that is asked for by its symbol, ranked.
typedef struct {
  char *text; ///< the symbol
  RcSymbolKind kind;
  gsize stopped_at;  ///< where it is unread; see rc_chord_parse()
  RcRequest request; ///< this and the rest where it is a chord
  RcKey key;         ///< for spelling
  RcPcSet tones;     ///< that are wanted
  guint root;        ///< pitch class of the root a listener finds in them
  RcRanked *ways;    ///< best first
  guint n;
} RcRanking;

/// Ranks the ways to play @p symbol on keyboard @p index of @p boards. Free with rc_ranking_free().
RcRanking *rc_ranking_new(const RcBoards *boards, guint index, const char *symbol, const RcSurroundings *around);

/// Frees @p ranking; NULL is allowed.
void rc_ranking_free(RcRanking *ranking);

// --------------------------------------------------------------------------------------------------- a tune, played

/// A player at one keyboard, who works out tune after tune. One thread at a time.
typedef struct RcPlayer RcPlayer;

/// Makes a player at keyboard @p index of @p boards, which must outlive it. Free with rc_player_free().
RcPlayer *rc_player_new(const RcBoards *boards, guint index);

/// Frees @p player; NULL is allowed.
void rc_player_free(RcPlayer *player);

/// Returns the player's keyboard; borrowed.
const RcLayout *rc_player_layout(const RcPlayer *player);

/// Plans @p tune and returns its chart. Where ease or steady bellows are preferred, it is compared with what would
/// sound best. Borrowed until the next tune.
const RcChart *rc_player_chart(RcPlayer *player, const RcTune *tune);

/// What to tell a student of a way to play a chord, beside what it lacks and adds.
typedef enum {
  RC_HINT_NONE,
  RC_HINT_WIDE,     ///< fingers stretch beyond comfort: mind the hand
  RC_HINT_LIGHT,    ///< richer: lean on the bass and keep the chord light
  RC_HINT_MELODY,   ///< bare, only because the melody gives the third, or the sus tone in its place
  RC_HINT_BRISK,    ///< bare, only because it goes by fast
  RC_HINT_MAKESHIFT ///< borrowed: short and soft
} RcHint;

/// Returns what to tell of @p answer, a way to play @p chord; @p wide says whether fingers stretch beyond comfort for
/// it (see RcNeed).
RcHint rc_hint(const RcChord *chord, const RcAnswer *answer, gboolean wide);

/// What is left where there is no grip: the bass alone, or to rest.
typedef struct {
  gboolean bass;  ///< a button sounds the wanted bass; else rest
  guint16 button; ///< which
} RcLastResort;

/// Returns the last resort for @p chord on @p layout: the button of its bass that comes first by rc_grip_compare().
RcLastResort rc_last_resort(const RcLayout *layout, const RcChord *chord);

/// A chord of a tune and all the ways in which the tune plays it: richer in one bar, bare in another, say.
typedef struct {
  guint symbol;         ///< index into the tune's symbols, as it is first written
  gboolean lacking;     ///< somewhere it has no button of its own
  guint64 times;        ///< how often it is played, in all ways
  RcTicks ticks;        ///< and for how long
  const RcNeed **cases; ///< best first, borrowed from the chart
  guint n;              ///< of them
} RcCard;

/// The chords of a tune in the order they first come.
typedef struct {
  RcCard *cards;
  guint n;
} RcCards;

/// Returns the chords of @p tune as @p chart plays them; both must outlive the result. Free with rc_cards_free().
RcCards *rc_cards_new(const RcTune *tune, const RcChart *chart);

/// Frees @p cards; NULL is allowed.
void rc_cards_free(RcCards *cards);

/// A grip that stands in for chords of a tune.
typedef struct {
  const RcNeed **needs; ///< what it answers, one for each chord: of several the one of the lowest grade; borrowed
  guint n;              ///< of them
  RcTicks ticks;        ///< how long it is held
  guint64 times;        ///< how often it is pressed
  gboolean plain; ///< its chords are played as the one that the button of their own root and bass sounds: C9 as C7
} RcStandIn;

/// The stand-ins of a tune, in the order they first come: one for each set of buttons, their fingers and the second
/// bass beside them, so that nothing is shown twice.
typedef struct {
  RcStandIn *list;
  guint n;        ///< of them
  guint *numbers; ///< by the chart's needs: which stand-in answers it, from 1; 0 where none does
} RcStandIns;

/// Returns the stand-ins by which @p chart plays @p tune on @p layout; they must outlive the result. Free with
/// rc_stand_ins_free().
RcStandIns *rc_stand_ins_new(const RcTune *tune, const RcChart *chart, const RcLayout *layout);

/// Frees @p all; NULL is allowed.
void rc_stand_ins_free(RcStandIns *all);

// ------------------------------------------------------------------------------------------- what stretches the hand

/// A grip for which fingers stretch beyond comfort (see rc_grip_stretch()), and the chord it is held for.
typedef struct {
  RcChord chord; ///< as first spelled
  RcGrip grip;
  double mm;     ///< between its outermost buttons
  guint64 times; ///< how often it is pressed
  guint64 tunes; ///< in how many tunes; 0 where that is not known
} RcWideGrip;

/// Wide grips on several keyboards, tune by tune. Memory grows with the number of different grips only.
typedef struct RcWideTally RcWideTally;

/// Starts a tally on the @p n @p layouts, which must outlive it. Free with rc_wide_tally_free().
RcWideTally *rc_wide_tally_new(RcLayout *const *layouts, guint n, const RcSettings *settings);

/// Frees @p tally; NULL is allowed.
void rc_wide_tally_free(RcWideTally *tally);

/// Adds a tune, as its best route on each keyboard holds it: the wide grips of accepted grades.
void rc_wide_tally_add(RcWideTally *tally, const RcTune *tune);

/// Returns the wide grips on keyboard @p index, those pressed most often first: a new array of @p n, to be freed with
/// g_free().
RcWideGrip *rc_wide_tally_grips(const RcWideTally *tally, guint index, guint *n);

/// Returns the same of keyboard @p index of @p roll without routes: the grip that the roll has for each chord, held as
/// comfortably as fingers can.
RcWideGrip *rc_wide_in_roll(const RcRoll *roll, guint index, const RcSettings *settings, guint *n);

// ------------------------------------------------------------------------------------------------- sizes side by side

/// A chord and how long it lasts, whatever key and melody it comes with.
typedef struct {
  RcChord chord;  ///< as first spelled
  RcTicks length; ///< playing time; where no chord has a length, how often it comes
  guint first;    ///< tells the order in which chords first come
} RcChordSum;

enum { RC_STEP_CHORDS = 3 }; ///< chords named of a step to the next size

/// What the step from one keyboard to the next buys that has all its buttons and more.
typedef struct {
  RcGain gain;                    ///< the next keyboard, -1 where there is none, and what becomes playable on it
  guint64 native;                 ///< tunes that become native
  RcTicks better;                 ///< playing time that moves from stand-ins to better ones
  RcTicks own;                    ///< playing time that moves from stand-ins to buttons of its own
  RcChord chords[RC_STEP_CHORDS]; ///< of which chords, those held longest first
  guint n_chords;
} RcStepUp;

/// What one keyboard makes of a repertoire.
typedef struct {
  const RcLayout *layout; ///< borrowed
  guint buttons;
  RcCounts counts;
  RcStepUp step;
} RcSizeAnswer;

/// A repertoire on several keyboards.
typedef struct {
  const RcRolled *rolled; ///< borrowed
  RcTarget target;        ///< the same share for time and for tunes
  RcVerdict accept;
  RcSizeAnswer *sizes; ///< in the order of the keyboards
  guint n;
  int by_time;        ///< of those that carry the target of the playing time the one with fewest buttons, of several
                      ///< the one that carries most; or -1
  int by_tunes;       ///< of those on which as many of the tunes are playable likewise; or -1
  guint most_time;    ///< the one that carries most of the time; of several the first
  guint64 most_tunes; ///< the most tunes that are playable on one of them
  RcWideGrip *wide;   ///< wide grips on the one `by_time`, as rc_wide_in_roll() has them
  guint n_wide;
} RcComparison;

/// Compares the keyboards of @p rolled, which must outlive the result, by the target of its settings. Free with
/// rc_comparison_free().
RcComparison *rc_compare(const RcRolled *rolled);

/// Frees @p comparison; NULL is allowed.
void rc_comparison_free(RcComparison *comparison);

// ------------------------------------------------------------------------------------- all sizes there could be

/// What one size makes of a repertoire.
typedef struct {
  const RcSize *size; ///< borrowed
  RcCounts counts;
  gboolean reaches; ///< the target
} RcSweptSize;

/// All sizes with the same rows.
typedef struct {
  guint first;  ///< their index
  guint n;      ///< their number
  int smallest; ///< the one of fewest buttons that reaches the target, the best of several; -1 for none
  guint others; ///< of as many buttons that reach it too
  guint *best;  ///< of those with 1, 2, 3 ... columns, `n_best` in all, the index of the best
  guint n_best;
} RcSweptRows;

/// A repertoire on all sizes there could be.
typedef struct {
  const RcRolled *rolled; ///< borrowed
  const RcSweep *sweep;   ///< borrowed
  RcTarget target;
  RcVerdict accept;
  RcSweptSize *sizes; ///< in the order of the sweep
  guint n;
  RcSweptRows *rows; ///< in the same order
  guint n_rows;
  int smallest; ///< of all, the one of fewest buttons that reaches the target, the best of several; -1 for none
  int usual;    ///< the same of the usual sizes
} RcSwept;

/// Judges all sizes of a sweep, the boards of @p rolled, by the target of their settings. Of several with as few
/// buttons the best is the one that carries most, by time or by tunes as the target has it, then by the other, then the
/// one whose middle is nearest to the C and G columns, around which makers build. Free with rc_swept_free().
RcSwept *rc_sweep_judge(const RcRolled *rolled);

/// Returns what the target of @p swept asks for of size @p index: its share of the playing time, or of the tunes, 0 to
/// 1.
double rc_swept_share(const RcSwept *swept, guint index);

/// Frees @p swept; NULL is allowed.
void rc_swept_free(RcSwept *swept);

// ---------------------------------------------------------------------------------------------------- lacking chords

/// Where one grip for a chord holds among several.
typedef enum {
  RC_LACK_ANYWHERE,   ///< it is the only one, or the melody says where
  RC_LACK_KEY,        ///< where the key allows it
  RC_LACK_OTHER_KEYS, ///< in all other keys
  RC_LACK_SHORT,      ///< where the chord is brisk
  RC_LACK_LONGER,     ///< where it is not
  RC_LACK_ELSEWHERE   ///< where none of the others does
} RcLackWhere;

/// A chord without a button of its own and what is pressed for it, over all requests that get this grip. Chords are the
/// same when they sound the same.
typedef struct {
  RcChord chord;     ///< as first spelled
  RcChord also;      ///< the same spelled otherwise, or equal
  RcAnswer answer;   ///< with the grade that it has for longest; another key may give the grip another
  RcRequest request; ///< to which it answers
  gboolean mixed;    ///< the answers differ in what is missing or helped
  guint64 times;     ///< how often it is played
  RcTicks ticks;     ///< and for how long
  RcLackWhere where; ///< tells it from other answers to the same chord
  guint64 graded_times[RC_N_VERDICTS]; ///< how often with each grade
  RcTicks graded_ticks[RC_N_VERDICTS]; ///< and for how long
} RcLack;

/// Returns the chords that keyboard @p index of @p roll has no button of their own for, those held longest first: a new
/// array of @p n, to be freed with g_free().
RcLack *rc_lacks_find(const RcRoll *roll, guint index, guint *n);

/// Returns the chords that keyboard @p index of @p roll does not give at the accepted grade, somewhere or anywhere:
/// each once, those it does not give for longest first; a new array of @p n, to be freed with g_free().
RcLack *rc_lacks_unplayable(const RcRoll *roll, guint index, guint *n);

/// How fingers hold a chord.
typedef struct {
  gboolean found; ///< they can; else nothing below is set
  RcAnswer answer;
  RcFingering fingers;
  RcSecondBass second;
  gboolean wide; ///< they stretch beyond comfort
} RcHold;

/// Returns the best way in which the hand of @p planner can hold @p request.
RcHold rc_hold(RcPlanner *planner, const RcRequest *request);

/// Hard spots with the same chords.
typedef struct {
  RcHardSpot
    hardest;   ///< the first, with the longest way or span and the shortest time of them, and how often all are played
  guint *bars; ///< the written bars, from 0, in their order
  guint n;     ///< of them
} RcHardSpots;

/// The hard spots of a tune.
typedef struct {
  RcHardSpots *spots; ///< in the order they first come
  guint n;
} RcHardList;

/// Returns the hard spots of @p tune as @p chart plays it. Free with rc_hard_free().
RcHardList *rc_hard_new(const RcTune *tune, const RcChart *chart);

/// Frees @p list; NULL is allowed.
void rc_hard_free(RcHardList *list);

// ---------------------------------------------------------------------------------------------- books side by side

/// A book on one keyboard: the tunes of one file.
typedef struct {
  const char *file;        ///< borrowed
  guint n_tunes;           ///< those without chords among them
  RcCounts counts;         ///< of its tunes
  RcLack *lacks;           ///< the chords that it lacks, as rc_lacks_unplayable() finds them
  guint n_lacks;           ///< of them
  const RcTune **left_out; ///< its tunes with chords that are not playable: those one short, then those that do not
                           ///< play, each in their order; borrowed
  guint n_left_out;        ///< of them
  guint n_one_short;       ///< the first of them, which are one short
} RcBook;

/// Books on one keyboard.
typedef struct {
  const RcRolled *rolled; ///< borrowed
  RcBook *books;          ///< those of whose tunes the least share plays first, of these the ones of whose time less is
                          ///< carried; else in the order they were read; those without chords last
  guint n;
  RcWideGrip *wide; ///< wide grips of all tunes, as rc_wide_tally_grips() has them
  guint n_wide;
} RcBooks;

/// Takes the tunes kept in @p rolled apart by their files and judges each book on the first of its boards. @p rolled
/// must outlive the result; free with rc_books_free().
RcBooks *rc_books_new(const RcRolled *rolled);

/// Frees @p books; NULL is allowed.
void rc_books_free(RcBooks *books);

// ---------------------------------------------------------------------------------------- two repertoires compared

enum { RC_PAIR = 2 }; ///< repertoires that are compared

/// A tune that both have: their titles are equal but for case, accents, punctuation and an article at the beginning or
/// after a comma at the end.
typedef struct {
  const RcTune *of[RC_PAIR]; ///< borrowed
} RcTuneInBoth;

/// A key and how many tunes of each begin in it.
typedef struct {
  RcKey key; ///< a mode of #RC_MODE_NONE: not known
  guint64 tunes[RC_PAIR];
} RcKeyOfBoth;

/// A chord, how often each plays it, and for how long. Chords are the same when they sound the same.
typedef struct {
  RcChord chord; ///< as first spelled
  guint64 times[RC_PAIR];
  RcTicks ticks[RC_PAIR];
} RcChordOfBoth;

/// What two repertoires share. Keys and chords that only one of them has are there too, with 0 for the other.
typedef struct {
  const RcRolled *rolled[RC_PAIR]; ///< borrowed
  RcTuneInBoth *tunes;             ///< in the order of the first
  guint n_tunes;
  RcKeyOfBoth *keys; ///< those most tunes of both are in first
  guint n_keys;
  RcChordOfBoth *chords; ///< those played most often in both first
  guint n_chords;
} RcShared;

/// Finds what two repertoires share, whose tunes were kept. Both must outlive the result; free with rc_shared_free().
RcShared *rc_shared_new(const RcRolled *first, const RcRolled *second);

/// Frees @p shared; NULL is allowed.
void rc_shared_free(RcShared *shared);

// -------------------------------------------------------------------------------------------------------- listening

/// What is heard in some stretch.
typedef enum {
  RC_HEARD_TUNE,        ///< a tune, or some bars of it, as the keyboard has it
  RC_HEARD_TUNE_WANTED, ///< the same as a full board has it
  RC_HEARD_WANTED,      ///< a chord as a full board has it
  RC_HEARD_STAND_IN,    ///< the same chord as the keyboard has it
  RC_HEARD_STROKE       ///< chords in one direction of the bellows
} RcHeardKind;

/// A stretch of what is heard.
typedef struct {
  RcHeardKind kind;
  RcTicks start;
  RcTicks length;
  char *text;             ///< title of the tune, symbol of the chord, or symbols of the chords in one direction
  const RcLayout *layout; ///< on which it is played
  RcTempo tempo;          ///< of a tune
  RcMeter meter;          ///< of a tune at its start
  gboolean no_melody;     ///< the melody is asked for, but is not in the file
  RcChord chord;
  RcAnswer answer;   ///< how the chord is held; its likeness is not worked out
  RcBellows bellows; ///< the direction
} RcHeard;

/// What to hear of tunes.
typedef struct {
  gboolean wanted;  ///< on a full board, with the tones that are asked for; else as the keyboard has it
  gboolean melody;  ///< with the melody, where the file has it and RcCorpusOptions had it kept
  const char *part; ///< only this part, once; NULL: the whole tune
  guint first_bar;  ///< only these bars as written, of the part or the tune, from 1, pickups not counted; 0: all
  guint last_bar;
} RcHearing;

/// Something to hear.
typedef struct RcListening RcListening;

/// Starts something to hear on keyboard @p index of @p boards, which must outlive it. What is wanted is heard as any
/// hand holds it on a 120. Free with rc_listening_free().
RcListening *rc_listening_new(const RcBoards *boards, guint index);

/// Frees @p listening; NULL is allowed.
void rc_listening_free(RcListening *listening);

/// Sets the meter of chords by themselves, 4/4 until then, such as `3/4`, and its usual tempo. Else sets @p error
/// (#RC_ERROR_VALUE), as rc_settings_set() does, and returns FALSE.
gboolean rc_listening_set_meter(RcListening *listening, const char *text, GError **error);

/// The same for their tempo: beats a minute such as `96`, or a note value and a number such as `1/4=96`.
gboolean rc_listening_set_tempo(RcListening *listening, const char *text, GError **error);

/// Adds the chord @p symbol as it is wanted, then as the keyboard has it, then both again. Returns FALSE, and adds
/// nothing, where it is no chord symbol.
gboolean rc_listening_add_chord(RcListening *listening, const char *symbol, RcNames names);

/// Adds what @p hearing asks for of @p tune; nothing more is added after #RC_SOUND_MAX_SECONDS. Where the tune has no
/// such part or bar, sets @p error (#RC_ERROR_UNKNOWN) and returns FALSE.
gboolean rc_listening_add_tune(RcListening *listening, const RcHearing *hearing, const RcTune *tune, GError **error);

/// Returns the notes so far, whose passages name parts and what is silent; borrowed.
const RcScore *rc_listening_score(const RcListening *listening);

/// Returns what is heard, in the order it was added, and sets @p n to how many stretches; borrowed until more is added.
const RcHeard *rc_listening_heard(const RcListening *listening, guint *n);

// ------------------------------------------------------------------------------------------------------------- heat

/// What the buttons of a row, or of a column, have together.
typedef struct {
  guint64 presses;
  RcTicks ticks;   ///< of all of them, so that those held together count several times
  RcTicks made_up; ///< of them, for chords without a length
  RcTicks held;    ///< time in which at least one of them is held
} RcButtonSum;

/// Which rows and columns carry a repertoire. The rows and columns are 0 where nothing is held.
typedef struct {
  RcTicks whole;      ///< of which all shares are: the playing time, also of what is silent
  guint rows;         ///< set of the fewest rows that carry 90 percent of the time held; see rc_use_rows()
  RcTicks rows_ticks; ///< the time of their chords
  guint idle;         ///< set of the rows that sound and are never touched
  guint first;        ///< of the narrowest columns that carry 95 percent; see rc_use_columns()
  guint last;
  RcTicks columns_ticks; ///< the time of their chords
  guint flattest;        ///< of the columns within which all lies
  guint sharpest;
  RcButtonSum *by_row;
  RcButtonSum *by_column;
  RcButtonSum all;
} RcHeat;

/// Works out what @p use comes to. Free with rc_heat_free().
RcHeat *rc_heat_new(const RcUse *use);

/// Frees @p heat; NULL is allowed.
void rc_heat_free(RcHeat *heat);

/// Returns @p ticks as a share of the playing time of @p heat, 0 to 1.
double rc_heat_share(const RcHeat *heat, RcTicks ticks);

/// A tune that presses a button.
typedef struct {
  const char *title; ///< borrowed from the use
  guint64 presses;
  RcTicks ticks;
} RcPressing;

/// A button that only one of two uses presses.
typedef struct {
  guint button; ///< index into the layout's buttons
  guint64 presses;
  RcTicks ticks;
  RcPressing *tunes; ///< those that press it, longest first; of several the one read first
  guint n_tunes;
} RcOwnButton;

/// One of two uses beside each other.
typedef struct {
  const RcUse *use; ///< borrowed
  RcHeat *heat;
  int *others; ///< by button: the index of the one on the other board that is in a row and a column of the same names
               ///< and sounds in the same directions of the bellows; -1 where there is none
  RcOwnButton *own; ///< pressed here, while the other use presses no such button, or has none: held longest first
  guint n_own;
} RcHeatSide;

/// A button that both press, one of them more.
typedef struct {
  guint button;      ///< of the first side
  double difference; ///< as rc_heat_pair_button() has it
  const char *title; ///< of the tune that presses it longest on the side that presses it more; borrowed
} RcHeatShift;

enum { RC_HEAT_SHIFTS = 3 };

/// Two uses beside each other: two repertoires on one board, or one repertoire on two.
typedef struct {
  RcHeatSide sides[2];
  guint alike;                        ///< buttons of the first side that have one of the second
  guint shared;                       ///< of them pressed by both
  RcHeatShift shifts[RC_HEAT_SHIFTS]; ///< of these the ones that differ most, the largest difference first
  guint n_shifts;
} RcHeatPair;

/// Sets @p one beside @p other, each of which keeps its tunes (rc_use_keep_tunes()) and must outlive the result. Free
/// with rc_heat_pair_free().
RcHeatPair *rc_heat_pair_new(const RcUse *one, const RcUse *other);

/// Frees @p pair; NULL is allowed.
void rc_heat_pair_free(RcHeatPair *pair);

/// Returns by how much more button @p index of the first side is held than the one of the second, -1 to 1, each as a
/// share of its own playing time; NAN where there is none.
double rc_heat_pair_button(const RcHeatPair *pair, guint index);

/// The same of a row of the first side, and of that of the same name on the second.
double rc_heat_pair_row(const RcHeatPair *pair, guint row);

/// The same of a column.
double rc_heat_pair_column(const RcHeatPair *pair, guint column);

// ---------------------------------------------------------------------------------------------------------- layouts

/// Layouts to look at.
typedef struct {
  RcLayout **layouts;
  guint n;
} RcLayouts;

/// Finds the layouts of @p names, NULL-terminated, or all that ship where that is NULL. Returns NULL and sets @p error
/// as rc_layout_find() does; free with rc_layouts_free().
RcLayouts *rc_layouts_find(const char *const *names, GError **error);

/// Frees @p layouts; NULL is allowed.
void rc_layouts_free(RcLayouts *layouts);

/// What most of the sounding buttons of a row have in common.
typedef struct {
  guint sounding; ///< buttons of the row that sound
  guint alike;    ///< of these that follow the rule; 0 where there is none
  int fifths;     ///< from the column to the root
  RcSoundKind kind;
  RcPcSet above; ///< tones above the root
} RcRowRule;

/// What a button is to its row.
typedef enum {
  RC_BUTTON_RULED,   ///< it follows the row's rule
  RC_BUTTON_RETUNED, ///< it does not
  RC_BUTTON_LISTED,  ///< the row has no rule
  RC_BUTTON_SILENT   ///< it is silent, or not there
} RcButtonPart;

/// A layout described.
typedef struct {
  GError **problems; ///< all that is wrong with its file
  guint n_problems;
  const RcLayout *layout; ///< what could be made out; NULL: nothing, and nothing below is set
  gboolean owned;         ///< it is freed with the rest
  RcRowRule *rules;       ///< by row
  RcButtonPart *parts;    ///< by button; of two entries at one place the first
  char *nearest;          ///< which other layout it resembles most; NULL for none
  guint alike;            ///< buttons that sound the same on both, at the same row and column
  guint nearest_buttons;
  gboolean no_bass;  ///< no button sounds a single note, so no chord can be gripped
  gboolean no_chord; ///< no button sounds a chord
} RcLayoutStudy;

/// Describes the layout called @p name (see rc_layout_find()) and what is wrong with it, and compares it with those
/// that ship. Free with rc_layout_study_free().
RcLayoutStudy *rc_layout_study_new(const char *name);

/// Describes @p layout, which must outlive the result, and compares it with @p others. Free with
/// rc_layout_study_free().
RcLayoutStudy *rc_layout_study_on(const RcLayout *layout, const RcLayouts *others);

/// Frees @p study; NULL is allowed.
void rc_layout_study_free(RcLayoutStudy *study);

// ----------------------------------------------------------------------------------------------- a tune in all keys

enum {
  RC_MOVE_LOWEST = -5, ///< semitones of the first move that is looked at
  RC_N_MOVES = 12,
  RC_AS_WRITTEN = -RC_MOVE_LOWEST, ///< the move by no semitones
  RC_NO_MOVE = -1
};

/// Where customary keys come from.
typedef enum {
  RC_CUSTOM_TUNES, ///< the fewest signatures that 90 percent of the tunes with a key have
  RC_CUSTOM_FEW,   ///< too few tunes to tell: theirs, and those with one flat to three sharps (common practice)
  RC_CUSTOM_GIVEN  ///< somebody named them
} RcCustomSource;

enum { RC_CUSTOM_ENOUGH = 10 }; ///< tunes with a key that tell what is customary

/// The keys that a repertoire is used to. A key is customary when its signature is: G stands for Em and A dorian too,
/// since the right hand finds the same notes.
typedef struct {
  RcCustomSource source;
  RcPcSet majors;   ///< the signatures, as pitch classes of the tonics of their major keys
  guint8 order[12]; ///< the same, the most frequent first, or as given
  guint n;          ///< of them
  guint64 tunes;    ///< tunes in these keys
  guint64 keyed;    ///< tunes with a key, assumed ones too
} RcCustom;

/// Finds what is customary in the @p n @p tunes.
RcCustom rc_custom_find(RcTune *const *tunes, guint n);

/// Reads keys separated by commas, such as `G,D,A,Em`, as customary. Else sets @p error (#RC_ERROR_VALUE), as
/// rc_settings_set() does, and returns FALSE.
gboolean rc_custom_read(RcCustom *custom, const char *text, RcNames names, GError **error);

/// Returns whether @p key is customary; one that is not known is not.
gboolean rc_custom_has(const RcCustom *custom, RcKey key);

/// One keyboard, ready to be asked of tunes in all keys.
typedef struct RcMoves RcMoves;

/// What a tune is like in all keys on one keyboard. A move is an index: 0 is #RC_MOVE_LOWEST semitones.
typedef struct {
  RcCounts counts[RC_N_MOVES];
  int native;    ///< the move with the fewest semitones that makes it native, or #RC_NO_MOVE; of two the one with more
                 ///< native time, then the one upwards
  int playable;  ///< the same for playable
  int best;      ///< of the moves that make it playable: native ones first, then those to customary keys, then the
                 ///< fewest semitones; or #RC_NO_MOVE. A tune that is native as written stays
  int customary; ///< the best of those to customary keys; or #RC_NO_MOVE
} RcTuneMoves;

/// Makes ready @p layout, which must outlive the result, for the hand and taste of @p settings. Free with
/// rc_moves_free().
RcMoves *rc_moves_new(const RcLayout *layout, const RcSettings *settings);

/// Frees @p moves; NULL is allowed.
void rc_moves_free(RcMoves *moves);

/// Returns what @p tune is like in all keys, where @p custom tells which are customary.
RcTuneMoves rc_moves_judge(const RcMoves *moves, const RcTune *tune, const RcCustom *custom);

/// A tune in all keys.
typedef struct {
  const RcTune *tune; ///< borrowed
  RcTuneMoves moves;
  guint8 lowest;  ///< note of the melody as written, in semitones, 60 being middle C; 0 where it is not known
  guint8 highest; ///< the same
} RcTuneKeys;

/// A repertoire in all keys.
typedef struct {
  const RcRolled *rolled; ///< borrowed
  RcCustom custom;
  RcTuneKeys *tunes; ///< those with chords, in the order they were read
  guint n;
  guint *to_move; ///< indices of those that are playable in another key only: those of whose time the move gains most
                  ///< first
  guint n_to_move;
  guint64 outside;  ///< of these, those whose best move ends in no customary key
  guint64 native;   ///< as written
  guint64 playable; ///< as written
  guint64 easier;   ///< of these, those that are not native as written, but in another key
  guint64 nowhere;  ///< playable in no key
  guint64 unread;   ///< of these, those with a text that is no chord symbol
} RcKeys;

/// Judges the tunes kept in @p rolled in all keys on the first of its boards; @p custom may be NULL, to find what is
/// customary in these tunes. @p rolled must outlive the result; free with rc_keys_free().
RcKeys *rc_keys_judge(const RcRolled *rolled, const RcCustom *custom);

/// Frees @p keys; NULL is allowed.
void rc_keys_free(RcKeys *keys);

// ------------------------------------------------------------------------------------------------- a list of tunes

/// A chord that a tune lacks: the keyboard does not give it at the accepted grade, somewhere or anywhere. Chords are
/// the same when they sound the same.
typedef struct {
  guint symbol;      ///< of the tune, as it is first written where it is lacking
  guint bar;         ///< the written bar of that place, from 0
  RcVerdict verdict; ///< the worst; #RC_UNREAD of a text that is no chord symbol
  guint64 times;     ///< how often it is played where it is lacking
  RcTicks ticks;     ///< and for how long
} RcTuneLack;

/// A tune on one keyboard.
typedef struct {
  RcFares fares;
  RcCounts counts;
  RcTuneLack *lacks; ///< those lacking longest first, then texts that are no chord symbols
  guint n_lacks;
} RcTuneOn;

enum { RC_LISTED_BOARDS = 2 }; ///< most keyboards that a list looks at

/// A row of a list.
typedef struct {
  const RcTune *tune; ///< borrowed
  RcTuneOn on[RC_LISTED_BOARDS];
  int smallest;       ///< the first of the usual sizes, smallest first, that plays it; or -1
  RcTuneMoves *moves; ///< NULL where it plays on the first keyboard as written
} RcListed;

/// The order of a list.
typedef enum {
  RC_LIST_WORST, ///< how it fares, worst first; then the least share of its time carried; then by title
  RC_LIST_LACK,  ///< how it fares, worst first; then the most different chords lacking, the least time carried
  RC_LIST_TIME,  ///< the least share of its time carried first
  RC_LIST_TITLE  ///< by title, in either case
} RcListOrder;

/// Tunes, and what each is like on one keyboard or two.
typedef struct {
  const RcRolled *rolled; ///< borrowed
  const RcBoards *usual;  ///< borrowed
  RcCustom custom;
  RcListed *tunes; ///< those with chords or unread texts
  guint n;
  const RcTune **chordless; ///< the others, in the order they were read
  guint n_chordless;
} RcTuneList;

/// Lists the tunes kept in @p rolled, whose boards are one or two. @p usual are keyboards of which each tune names
/// the first that plays it. Both must outlive the list; free with rc_tune_list_free(). Tunes that are equal in @p order
/// stay as they were read.
RcTuneList *rc_tune_list_new(const RcRolled *rolled, const RcBoards *usual, RcListOrder order);

/// Frees @p list; NULL is allowed.
void rc_tune_list_free(RcTuneList *list);

// ----------------------------------------------------------------------------------------------- an order of learning

/// Something that a tune needs and a player learns once.
typedef enum {
  RC_THING_BUTTON,   ///< a button of the instrument
  RC_THING_STAND_IN, ///< a chord with the grip in place of its button
  RC_THING_STRETCH,  ///< a grip for which fingers stretch beyond comfort, whatever it stands for
  RC_THING_MOVE,     ///< a move of the hand by so many columns, either way, from one chord to the next
  RC_N_THINGS
} RcThingKind;

/// One thing.
typedef struct {
  RcThingKind kind;
  guint button;  ///< its entry in the layout
  RcChord chord; ///< that a stand-in is for
  RcGrip grip;   ///< of the stand-in or the stretch
  guint columns; ///< of a move, between the first bass buttons of two grips
  guint tunes;   ///< how many of the tunes need it
} RcThing;

/// A step of the order: a tune with something new, and those that need nothing more then.
typedef struct {
  RcThing *things; ///< that are new: buttons by column and row, then stand-ins, stretches, and moves, short ones first
  guint n_things;
  guint kinds[RC_N_THINGS]; ///< how many of each kind
  const RcTune **tunes;     ///< borrowed: the tune for which they are learned, then the others as they were read
  guint n_tunes;
} RcRung;

/// An order in which to learn tunes.
typedef struct {
  const RcRolled *rolled; ///< borrowed
  const RcLayout *layout; ///< borrowed
  RcRung *rungs;
  guint n;
  guint things;              ///< of all rungs
  guint largest;             ///< the most things of one rung
  const RcTune **unplayable; ///< tunes left out, since some chord is not playable or could not be read
  guint n_unplayable;
  const RcTune **chordless; ///< tunes without chords
  guint n_chordless;
  RcThing *known; ///< things known before the first step, in the order of things
  guint n_known;
  const RcTune **known_tunes; ///< tunes known before the first step, which are in none, as they were read
  guint n_known_tunes;
  char **unneeded; ///< what was said to be known and no tune needs, as it was said; NULL-terminated
} RcLadder;

/// Orders sets of things, each next one with the fewest things that are in none before. @p needs are @p n arrays of
/// guint, things from 0 to @p n_things - 1, each at most once. First come all sets that need nothing new, in their
/// order; then the set with the fewest new things, of several those new things that the most sets lack alike, of these
/// the first set; and so on. @p known says of each thing whether it is known from the start; NULL for none. Returns the
/// indices of the sets, a new array to be freed with g_free().
///
/// No order has a smaller largest step: of whatever order take the first set that is not yet learned; all before it
/// are, so it has no more new things now than there, and the set taken has no more than that. The number of things that
/// are known, summed over the sets, is not always the least that some order has; tests/unit/test_ladder.c says how
/// often.
guint *rc_learning_order(GArray *const *needs, guint n, guint n_things, const gboolean *known);

/// Orders the tunes kept in @p rolled that are playable along their routes on its board @p board by
/// rc_learning_order(): a tune needs the buttons, stand-ins, stretches and moves of its route. The second bass of an
/// alternating bass is not among them; it is learned later. @p rolled must outlive the result; free with
/// rc_ladder_free().
///
/// @p things and @p tunes are what the player knows already, NULL-terminated, or NULL for nothing: things by the words
/// that rc_thing_word() has for them, a chord spelled in any way; tunes by their whole titles, in any case, or as
/// `FILE:LINE`. Who knows a tune knows all that it needs, and who knows a stand-in its stretch.
RcLadder *rc_ladder_new(const RcRolled *rolled, guint board, const char *const *things, const char *const *tunes);

/// Returns the stand-ins that are learned on @p ladder, those that the most tunes need first, of equally many those on
/// the lowest rung: an array of const RcThing *, borrowed from it, to be freed with g_ptr_array_unref().
GPtrArray *rc_ladder_stand_ins(const RcLadder *ladder);

/// Returns the word for @p thing on @p layout: `minor:B` for a button, `Bm` for the stand-in of that chord, `3` for a
/// move by so many columns, `counterbass:G+major:D` for a stretch. A new string.
char *rc_thing_word(const RcLayout *layout, const RcThing *thing);

/// Frees @p ladder; NULL is allowed.
void rc_ladder_free(RcLadder *ladder);

// -------------------------------------------------------------------------------------------------------- a report

/// Whether a keyboard is enough.
typedef enum {
  RC_ENOUGH_WHOLE,  ///< it plays every tune
  RC_ENOUGH_NEARLY, ///< it reaches the target and plays nine tunes in ten
  RC_ENOUGH_TIME,   ///< it reaches the target
  RC_ENOUGH_NOT     ///< it does not
} RcEnough;

/// A tune to be moved.
typedef struct {
  const RcTune *tune; ///< borrowed
  int move;           ///< its best; see RcTuneMoves
  gboolean native;    ///< there
  RcTicks carried;    ///< of its time as written
  RcTicks read;       ///< its time, without texts that are no chord symbols
} RcMoved;

/// What to make of the keyboard that is looked at closely.
typedef struct {
  RcEnough enough;
  RcChordSum *wanted; ///< the different chords that the tunes ask for, those held longest first
  guint n_wanted;
  int by_time;       ///< the chosen keyboard where it reaches the target with as few buttons as the smallest that does;
                     ///< else that one, or -1
  guint best;        ///< the first keyboard on which most tunes are playable
  guint64 elsewhere; ///< tunes that are not playable there, but on another of the keyboards
  guint64 unread;    ///< tunes that are on none, and would be if all their texts could be read
  guint64 nowhere;   ///< the others
  RcLack *lacks;     ///< chords without a button of their own on the chosen keyboard
  guint n_lacks;
  RcLadder *ladder; ///< an order of learning on it, see rc_ladder_stand_ins() for what comes first
  RcMoved *moved;   ///< tunes that are not playable on it as written, but in another key: in the order of RcKeys
  guint n_moved;
} RcAdvice;

/// A tune of an index.
typedef struct {
  guint number;   ///< index into the tunes rolled
  RcTuneOn on;    ///< on the keyboard that is looked at closely
  RcFares *sizes; ///< on each of the keyboards
} RcIndexed;

/// An index of tunes.
typedef struct {
  RcIndexed *tunes; ///< those with chords or unread texts: first those that play, then those one short, those that lack
                    ///< more, and those with unread texts; of these file by file, in each the least time carried first
  guint n;
  guint fare[RC_N_FARES]; ///< how many fare so
  guint n_chordless;      ///< the others
} RcTuneIndex;

enum { RC_REPORT_USES = 3 };

/// All that the printed report says.
typedef struct {
  const RcRolled *rolled; ///< with the tunes kept; borrowed
  const RcRoll *roll;     ///< its parts, borrowed too
  const RcTune *const *tunes;
  guint n_tunes;
  RcComparison *comparison;
  RcBoards *all_sizes;
  RcRolled *rolled_again; ///< on these
  RcSwept *swept;
  guint chosen;                ///< the keyboard that is looked at closely
  RcPlanner *planner;          ///< of it
  guint used[RC_REPORT_USES];  ///< the keyboards whose use is shown: the chosen one, the next step, the largest
  RcUse *uses[RC_REPORT_USES]; ///< of their buttons
  guint n_uses;
  gboolean owned;     ///< the player has it; else it is what the report proposes
  RcTuneIndex *index; ///< of the tunes
  RcAdvice advice;
} RcReport;

/// Makes the report of @p rolled, whose tunes were kept and whose boards are those of rc_boards_find_usual(). It looks
/// closely at the player's own keyboard, else at the smallest that reaches the target by time, else at the last.
/// @p rolled must outlive it; free with rc_report_free().
RcReport *rc_report_new(const RcRolled *rolled);

/// Frees @p report; NULL is allowed.
void rc_report_free(RcReport *report);

RC_END_API

#endif
