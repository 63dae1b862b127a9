// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file coverage.h
/// The rules: how near a grip comes to a wanted chord, the best grips of a keyboard for a chord, and the roll of a
/// repertoire, which counts them.

#ifndef ROWCALL_COVERAGE_H
#define ROWCALL_COVERAGE_H

#include "rowcall/keyboard.h"
#include "rowcall/music.h"

RC_BEGIN_API

// ------------------------------------------------------------------------------------------------ models of hearing

/// Returns the spectral pitch-class similarity of two chords, 0 to 1, and 0 to silence: the cosine of their spectra of
/// 1200 cents, each tone with 12 harmonics of weight i^-0.75, smoothed by a Gaussian of 6.83 cents.
/// @p a and @p b say how often each of the 12 pitch classes sounds.
/// Source: A. J. Milne, W. A. Sethares, R. Laney and D. B. Sharp (2011), Modelling the similarity of pitch collections
/// with expectation tensors, J. Mathematics and Music 5(1); parameters of A. J. Milne and S. Holland (2016),
/// Empirically testing Tonnetz, voice-leading, and spectral models of perceived triadic distance, J. Mathematics and
/// Music 10(1). Harmonics are rounded to whole cents, as the published values need.
double rc_spectral_similarity(const guint a[12], const guint b[12]);

/// Returns the likeness of two chords, 0 to 100, in millionths: their spectral similarity with each one's basses
/// sounded once more, since bass reeds double. @p a and @p b are the tones, basses among them.
guint rc_likeness(RcPcSet a, RcPcSet a_basses, RcPcSet b, RcPcSet b_basses);

/// Returns a likeness in hundredths, 0 to 10000, as it is shown.
guint rc_likeness_hundredths(guint likeness);

/// Root-support weights by semitones above the candidate root: R. Parncutt (1988), Revision of Terhardt's
/// psychoacoustical model of the root(s) of a musical chord, Music Perception 6(1) 65-93.
extern const double rc_root_weights_1988[12];

/// Sets @p support to the support of each pitch class as the root of @p tones: the sum of the weights of the tones
/// above it. Returns the root with the largest support, the lowest pitch class where several tie.
guint rc_root_supports(const double weights[12], RcPcSet tones, double support[12]);

/// Returns how ambiguous the root is: the square root of the sum of supports over the largest (Parncutt 1988); 0 where
/// there is no support.
double rc_root_ambiguity(const double support[12]);

// --------------------------------------------------------------------------------------------------------- grading

/// How a chord fares on a keyboard, best first. A to E are the grades of a substitutable chord.
typedef enum {
  RC_NATIVE,
  RC_SAME,     ///< A: the same notes
  RC_RICHER,   ///< B: nothing missing, usual tensions added
  RC_LEANER,   ///< C: fifth, tension or seventh missing, or an inversion given up
  RC_BARE,     ///< D: third missing, in a short chord or where the melody has it
  RC_BORROWED, ///< E: another chord that shares two tones or more
  RC_IMPOSSIBLE,
  RC_UNREAD, ///< the text is no chord symbol
  RC_N_VERDICTS
} RcVerdict;

/// Returns the short name of a verdict: "native", "A" to "E", "impossible", "unread"; a constant.
const char *rc_verdict_name(RcVerdict verdict);

/// Returns the grade's word: "native", "same", "richer", "leaner", "bare", "borrowed", "impossible", "unread".
const char *rc_verdict_word(RcVerdict verdict);

/// Reads a grade, `A` to `E` in either case or its word, and sets @p grade. Returns FALSE when @p text is none.
gboolean rc_grade_parse(const char *text, RcVerdict *grade);

/// What is asked of a keyboard.
typedef struct {
  RcChord chord;
  RcScale key;    ///< the tune's key; see rc_key_scale()
  RcPcSet melody; ///< tones the right hand sounds while the chord lasts
  gboolean brisk; ///< the chord is so short that it may lack its third
} RcRequest;

/// What a grip sounds.
typedef struct {
  RcPcSet tones;
  RcPcSet basses; ///< those of its bass buttons
  guint8 n_basses;
  guint8 n_chords; ///< chord buttons
} RcSounding;

/// Returns what @p grip sounds.
RcSounding rc_grip_sounding(const RcLayout *layout, const RcGrip *grip);

/// Returns the tones that @p chord asks for: its root, its third or what is in its place, its fifth, its sixth or
/// seventh, the tensions that its symbol names, and a written bass. The ninth below an 11 or 13, the eleventh below a
/// 13 and the third of a dominant 11 are not among them.
RcPcSet rc_wanted_tones(const RcChord *chord);

/// How a sound compares with the wanted chord.
typedef struct {
  RcVerdict verdict; ///< #RC_SAME to #RC_BORROWED or #RC_IMPOSSIBLE; never native, which depends on buttons
  RcPcSet kept;      ///< wanted tones that sound
  RcPcSet missing;   ///< wanted tones that neither sound nor are excused
  RcPcSet foreign;   ///< tones that sound and are neither wanted nor implied
  RcPcSet helped;    ///< wanted tones that only the melody sounds; they are not missing
} RcGrading;

/// Grades @p sounding by the rules described in README.md, "How a stand-in is graded".
RcGrading rc_grade(const RcRequest *request, const RcSounding *sounding);

/// What is looked for among the ways to play a chord.
typedef enum {
  RC_PREFER_PLAIN, ///< grips of one or two buttons where they do; else the best sound
  RC_PREFER_SOUND, ///< the best sound, with three buttons where that is better
  RC_PREFER_EASE   ///< along a route the easiest of what is native, A or B with at most two buttons; else the same as
                   ///< plain
} RcPrefer;

/// A player's taste.
typedef struct {
  RcPrefer prefer;
  RcVerdict accept; ///< the worst verdict that counts as playable
} RcTaste;

/// Returns the usual taste: plain first, grade D accepted.
RcTaste rc_taste(void);

// ------------------------------------------------------------------------------------------------------- catalogue

/// A way to play a chord.
typedef struct {
  RcVerdict verdict; ///< #RC_NATIVE to #RC_BORROWED, or #RC_IMPOSSIBLE, and then nothing else is set
  RcGrip grip;
  RcGrading grading;
  guint likeness; ///< see rc_likeness()
  guint32 rank;   ///< by taste, lower is better, never 0; of equal ones likeness and rc_grip_compare() decide
} RcAnswer;

/// Returns whether an answer of rank @p rank comes before all that need three buttons; see rc_catalogue_best().
gboolean rc_rank_is_plain(guint32 rank);

/// All that a hand can hold on one keyboard, ready to be asked. Its grips are found when it is first asked; threads may
/// share it.
typedef struct RcCatalogue RcCatalogue;

/// Makes the catalogue of all grips that @p hand can hold on @p layout, which must outlive it. Free with
/// rc_catalogue_free().
RcCatalogue *rc_catalogue_new(const RcLayout *layout, RcHand hand);

/// Frees @p catalogue; NULL is allowed.
void rc_catalogue_free(RcCatalogue *catalogue);

/// Returns the layout of @p catalogue; borrowed.
const RcLayout *rc_catalogue_layout(const RcCatalogue *catalogue);

/// Returns the best way to play @p request. But for #RC_PREFER_SOUND a grip of one or two buttons that is native, A, B
/// or C, and accepted, comes before any of three. Then the order is: verdict; the right bass; within E the root in the
/// bass, the third sounding, fewer foreign tones that the key lacks; fewer foreign tones; fewer missing ones, those
/// that the melody fills counted; fewer basses; within C one bass and a major, minor or seventh button of the chord's
/// root; within E one bass and a chord of that root; higher likeness; the order of rc_grip_compare().
RcAnswer rc_catalogue_best(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request);

/// Returns every way to play @p request, best first: a new array of RcAnswer, to be freed with g_array_unref().
GArray *rc_catalogue_rank(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request);

/// Is called for each way to play a request, with @p data. The answer lasts for the call only; its likeness is not
/// worked out.
typedef void (*RcWayFunc)(const RcAnswer *way, gpointer data);

/// Calls @p each for every way to play @p request, each grip once, in no order of quality but always in the same.
void rc_catalogue_each(const RcCatalogue *catalogue, RcTaste taste, const RcRequest *request, RcWayFunc each,
                       gpointer data);

/// Returns the likeness of @p grip to @p chord; see rc_likeness().
guint rc_grip_likeness(const RcLayout *layout, const RcChord *chord, const RcGrip *grip);

// ------------------------------------------------------------------------------------------------------- all sizes

/// A keyboard cut from the full one.
typedef struct {
  guint rows;  ///< set of the full keyboard's rows, bit n being row n
  guint first; ///< the flattest of its columns, as an index of the full keyboard's
  guint last;  ///< the sharpest
  guint buttons;
  const char *usual; ///< the name of the usual size it is, or NULL; borrowed
} RcSize;

/// Every column range of the full keyboard with every set of rows that makers build.
typedef struct RcSweep RcSweep;

/// Makes the sweep: the full keyboard is the largest of those of the @p n catalogues @p usual, the sets of rows are
/// theirs (those whose rows the full keyboard has). The catalogues must outlive it. Free with rc_sweep_free().
RcSweep *rc_sweep_new(RcCatalogue *const *usual, guint n);

/// Frees @p sweep; NULL is allowed.
void rc_sweep_free(RcSweep *sweep);

/// Returns the number of sizes: as many for each set of rows.
guint rc_sweep_n_sizes(const RcSweep *sweep);

/// Returns a size by its index: set of rows after set of rows, and in each wider after narrower ones, from flat to
/// sharp; borrowed.
const RcSize *rc_sweep_size(const RcSweep *sweep, guint index);

/// Returns the number of sets of rows.
guint rc_sweep_n_row_sets(const RcSweep *sweep);

/// Returns the full keyboard; borrowed.
const RcLayout *rc_sweep_full(const RcSweep *sweep);

// ------------------------------------------------------------------------------------------------------------ roll

/// How tunes that state no tempo are timed.
typedef enum {
  RC_UNTIMED_ASSUME, ///< by the usual tempo of their rhythm or meter
  RC_UNTIMED_LEAVE   ///< not at all: nothing in them is brisk
} RcUntimed;

/// The settings of a roll. All zero but for `brisk` and `pace` is the default.
typedef struct {
  double brisk;      ///< a chord shorter than this is brisk; seconds, default 1.0
  RcUntimed untimed; ///< default #RC_UNTIMED_ASSUME
  RcTempo given;     ///< a tempo for all tunes, unless its source is #RC_TEMPO_NONE
  double pace; ///< how many times as fast as their own tempi tunes are played; default 1, and 1 where one is given
  gboolean in_beats;  ///< it counts not quarter notes but beats of each tune's own meter
  gboolean no_melody; ///< the melody does not help
} RcRollSettings;

/// Returns the default settings.
RcRollSettings rc_roll_settings(void);

/// Returns the tempo by which @p tune is timed from its setting @p setting on. One that is given in beats, or at
/// another pace than its own, is never below #RC_MIN_QUARTERS or above #RC_MAX_QUARTERS.
RcTempo rc_roll_tempo(const RcRollSettings *settings, const RcTune *tune, guint setting);

/// Returns what a tune asks of a keyboard with the chord @p played.
RcRequest rc_roll_request(const RcRollSettings *settings, const RcTune *tune, const RcPlayed *played);

/// The keyboards that are compared, and what they answered so far: each answers a request once, whichever roll asks.
/// Rolls on several threads may share one.
typedef struct RcPanel RcPanel;

/// Makes a panel of @p n keyboards, each with the hand of its catalogue; the layouts must outlive it. Free with
/// rc_panel_free().
RcPanel *rc_panel_new(RcCatalogue *const *catalogues, guint n, RcTaste taste);

/// Makes a panel of all the sizes of @p sweep, which must outlive it. A roll on it counts as on any other, but knows no
/// layouts and no grips.
RcPanel *rc_panel_new_sweep(const RcSweep *sweep, RcTaste taste);

/// Frees @p panel; NULL is allowed.
void rc_panel_free(RcPanel *panel);

/// Returns the number of keyboards.
guint rc_panel_size(const RcPanel *panel);

/// Returns the worst verdict that counts as playable.
RcVerdict rc_panel_accept(const RcPanel *panel);

/// Returns the layout of keyboard @p index; borrowed. Not for the sizes of a sweep.
const RcLayout *rc_panel_layout(const RcPanel *panel, guint index);

/// Counts by verdict.
typedef struct {
  guint64 chords[RC_N_VERDICTS];
  RcTicks ticks[RC_N_VERDICTS];
  guint64 tunes;          ///< tunes with a chord or an unread text
  guint64 native;         ///< tunes of which every chord is native
  guint64 playable;       ///< tunes of which every chord is accepted
  guint64 playable_alone; ///< the same without the melody's help
  guint64 one_short;      ///< tunes that one single different chord keeps from being playable; without unread texts
} RcCounts;

/// Returns the number of chords, of all verdicts.
guint64 rc_counts_chords(const RcCounts *counts);

/// Returns the ticks of the chords of all verdicts.
RcTicks rc_counts_ticks(const RcCounts *counts);

/// Sets @p counts, one for each keyboard of @p panel, to those of @p tune alone; `playable_alone` is as `playable`.
void rc_panel_counts(RcPanel *panel, const RcRollSettings *settings, const RcTune *tune, RcCounts *counts);

/// Returns the worst verdict that @p counts has a chord of; #RC_NATIVE where it has none.
RcVerdict rc_counts_worst(const RcCounts *counts);

/// The different chords of one tune that are not accepted, as far as they matter; `{ 0 }` is none yet.
typedef struct {
  guint n;     ///< 0, 1, or 2 where there are more
  guint first; ///< `same` of its RcSymbol
} RcLacking;

/// Notes a chord that is not accepted, by the `same` of its symbol.
void rc_lacking_note(RcLacking *lacking, guint same);

/// Makes @p counts, whose chords are those of one tune, say whether it has chords, is native, is playable and is one
/// short; @p lacking is the number of its different chords that are not accepted.
void rc_counts_judge_tune(RcCounts *counts, RcVerdict accept, guint lacking);

/// How a tune fares on a keyboard, worst first.
typedef enum {
  RC_FARES_NOT,       ///< it lacks several chords, or one and a text could not be read
  RC_FARES_UNREAD,    ///< it lacks no chord, but has a text that is no chord symbol
  RC_FARES_ONE_SHORT, ///< one single different chord keeps it from being playable
  RC_FARES_PLAYS,     ///< all its chords are playable
  RC_N_FARES
} RcFares;

/// Returns how the tune with chords fares whose counts are @p counts.
RcFares rc_counts_fares(const RcCounts *counts, RcVerdict accept);

/// Returns whether any chord has a length. Where none has, the four functions below count chords in place of ticks.
gboolean rc_counts_measured(const RcCounts *counts);

/// Returns the playing time of all chords.
RcTicks rc_counts_whole(const RcCounts *counts);

/// Returns the playing time of the chords with this verdict.
RcTicks rc_counts_of(const RcCounts *counts, RcVerdict verdict);

/// Returns the playing time of the chords with verdict @p accept or better.
RcTicks rc_counts_carried(const RcCounts *counts, RcVerdict accept);

/// Returns the playing time of the chords that could be read.
RcTicks rc_counts_read(const RcCounts *counts);

/// How the tunes of a roll were timed, and by which keys.
typedef struct {
  guint64 tunes;        ///< tunes added, those without chords among them
  guint64 assumed;      ///< timed by an assumed tempo
  guint64 untimed;      ///< not timed
  guint64 unmeasured;   ///< with chords that have no length; neither of the two before
  guint64 chordless;    ///< without any chord
  guint64 melodies;     ///< with a melody
  guint64 keys_assumed; ///< with chords and an assumed key; see rc_tune_assume_key()
  guint64 unkeyed;      ///< with chords and no key
} RcTiming;

/// One kind of request and how often it came. Requests are the same when they sound the same.
typedef struct {
  RcRequest request;
  guint64 chords;
  RcTicks ticks;
} RcRollEntry;

/// The roll of a repertoire on several keyboards at once. Memory grows with the number of different requests only.
typedef struct RcRoll RcRoll;

/// Starts a roll on the keyboards of @p panel, which must outlive it. Free with rc_roll_free().
RcRoll *rc_roll_new(RcPanel *panel, RcRollSettings settings);

/// Frees @p roll; NULL is allowed.
void rc_roll_free(RcRoll *roll);

/// Has @p roll keep what each tune asks for that is added from now on, so that rc_roll_tune_counts() and
/// rc_roll_again() can be asked: some 300 bytes a tune.
void rc_roll_keep_tunes(RcRoll *roll);

/// Adds a tune to the roll.
void rc_roll_add(RcRoll *roll, const RcTune *tune);

/// Adds to @p into what was added to @p from, a roll of the same panel and settings. Adding the rolls of several inputs
/// in the order of the inputs gives what one roll of them all would.
void rc_roll_merge(RcRoll *into, const RcRoll *from);

/// Returns a roll on the keyboards of @p panel, which must outlive it, of the tunes that @p roll kept, which are all
/// that were added to it. It keeps none. Free with rc_roll_free().
RcRoll *rc_roll_again(const RcRoll *roll, RcPanel *panel);

/// Returns the layout of keyboard @p index; borrowed.
const RcLayout *rc_roll_layout(const RcRoll *roll, guint index);

/// Returns the number of keyboards.
guint rc_roll_n_layouts(const RcRoll *roll);

/// Returns the worst verdict that counts as playable.
RcVerdict rc_roll_accept(const RcRoll *roll);

/// Returns the settings of the roll.
RcRollSettings rc_roll_get_settings(const RcRoll *roll);

/// Returns the counts on keyboard @p index.
RcCounts rc_roll_counts(const RcRoll *roll, guint index);

/// Returns the counts of one tune kept, by its number in the order of adding, counted from 0, on keyboard @p index: as
/// rc_panel_counts() has them.
RcCounts rc_roll_tune_counts(const RcRoll *roll, guint tune, guint index);

/// Sets @p fares, one for each keyboard, to how it fares there: rc_counts_fares() of these counts.
void rc_roll_tune_fares(const RcRoll *roll, guint tune, RcFares *fares);

/// What the next size buys: the next keyboard of the panel that has all the buttons of this one, as many columns apart,
/// and more.
typedef struct {
  int next;          ///< its index, -1 where there is none
  guint64 tunes;     ///< tunes that become playable
  RcTicks ticks;     ///< playing time that becomes acceptable
  RcChord chords[3]; ///< the few chords responsible, as first spelled
  guint n_chords;
  guint64 explained; ///< of these tunes, those that lack no other chords
} RcGain;

/// Returns what the next size buys after keyboard @p index. The chords are the fewest, at most three, that explain at
/// least half of the tunes, or three that explain most. Only the first 64 keyboards of a panel are looked at.
RcGain rc_roll_gain(const RcRoll *roll, guint index);

/// Returns how the tunes were timed.
RcTiming rc_roll_timing(const RcRoll *roll);

/// Returns the number of different requests.
guint rc_roll_n_entries(const RcRoll *roll);

/// Returns a request by its index, in the order they first came, and how often it came.
RcRollEntry rc_roll_entry(const RcRoll *roll, guint index);

/// Returns the best answer to request @p entry on keyboard @p index.
RcAnswer rc_roll_answer(const RcRoll *roll, guint entry, guint index);

RC_END_API

#endif
