// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file route.h
/// The left hand: which fingers hold a grip, the second bass of an alternating bass, the best route through a tune, the
/// chart of a tune as that route plays it, and how a repertoire uses the buttons.

#ifndef ROWCALL_ROUTE_H
#define ROWCALL_ROUTE_H

#include "rowcall/coverage.h"
#include "rowcall/keyboard.h"
#include "rowcall/music.h"

RC_BEGIN_API

// --------------------------------------------------------------------------------------------------------- fingers

/// Fingers are numbered as players do: 2 index to 5 little finger; the thumb rests on the edge of the board. Lower
/// fingers are nearer to the chin. 0 means none.
enum {
  RC_FINGER_INDEX = 2,
  RC_FINGER_LITTLE = 5,
  RC_N_SPANS = 6,    ///< pairs of fingers
  RC_FINGERINGS = 24 ///< most ways to put fingers on a grip
};

/// The two schools of fingering: the ring finger on the bass and the middle finger on the chord, or the middle finger
/// on the bass and the index on the chord. Sources: R. Stradling, Playing major 7th chords on the left hand (4-3);
/// boxteacher blog, Third Floor Going Up, and English Wikibooks, Accordion/Left hand/Lesson 3 (3-2).
typedef enum { RC_SCHOOL_4_3, RC_SCHOOL_3_2 } RcSchool;

/// Returns the finger a school puts on the bass.
guint rc_school_finger(RcSchool school);

/// Returns the finger of a player's hand where @p finger is planned on @p layout: the same, but on a mirrored board the
/// hand is planned as its mirror image, whose fingers 2 to 5 are a player's 5 to 2. Reports name these. 0 stays 0.
guint rc_finger_of_player(const RcLayout *layout, guint finger);

/// How a left hand is built and was taught. Spans are in mm between the tips of fingers 2-3, 3-4, 4-5, 2-4, 3-5 and
/// 2-5.
typedef struct {
  RcSchool school;
  double spans[RC_N_SPANS];   ///< stretched as far as they go in practice
  double comfort[RC_N_SPANS]; ///< stretched no further than is comfortable; a grip that needs more is wide
} RcFingers;

/// Returns school 4-3 and the spans of a pianist's hand in R. Parncutt, J. A. Sloboda, E. F. Clarke, M. Raekallio and
/// P. Desain, An Ergonomic Model of Keyboard Fingering for Melodic Fragments, Music Perception 14 (4), 1997, at 13.7 mm
/// the semitone. In mm: the practical maximum, 68.5, 54.8, 68.5, 95.9, 95.9 and 137; the comfortable one nearly up to
/// the next semitone, 54, 40, 54, 82, 82 and 123. The table has whole semitones only: five that are comfortable mean
/// that six are not, and published fingerings of accordion chords (tests/reference/test_fingers.c) are easy up to
/// there.
RcFingers rc_fingers(void);

/// Reads a player's own six spans in mm, stretched as far as they go, in the order of RcFingers, separated by commas,
/// each 10 to 300. What is comfortable is the same part of each span as in rc_fingers(). Returns FALSE, and leaves
/// @p fingers alone, for any other text.
gboolean rc_spans_parse(const char *text, RcFingers *fingers);

/// Which finger is on which button of a grip.
typedef struct {
  guint8 basses[RC_GRIP_BASSES]; ///< 0 after the grip's basses
  guint8 chords[RC_GRIP_CHORDS]; ///< 0 after the grip's chord buttons
} RcFingering;

/// Returns the finger on button @p nth of @p grip, as rc_grip_button() counts them.
static inline guint
rc_grip_finger(const RcGrip *grip, const RcFingering *fingering, guint nth)
{
  return nth < grip->n_basses ? fingering->basses[nth] : fingering->chords[nth - grip->n_basses];
}

/// Returns whether the @p n fingers @p with can hold down the @p n @p buttons (indices of @p layout) at once: all
/// different, none further apart than its span, and in the order of the buttons along the board; buttons that lie at
/// most half a column apart along the board are abreast and may be held in either order.
gboolean rc_fingers_can(const RcFingers *fingers, const RcLayout *layout, const guint16 *buttons, const guint8 *with,
                        guint n);

/// Sets @p ways to the fingerings the school gives @p grip and returns their number, 0 when no fingers can hold it:
/// those with outer rows under lower fingers where buttons are abreast, then with the least stretch beyond comfort,
/// then with the bass under the finger nearest to the school's, then with the smallest gaps between fingers; lower
/// fingers first, button by button. A bass alone may have any finger.
guint rc_fingers_ways(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip,
                      RcFingering ways[RC_FINGERINGS]);

/// Returns by how many mm @p fingering spreads fingers beyond their rest, where each is one column from its neighbour,
/// added over all pairs.
double rc_grip_spread(const RcLayout *layout, const RcGrip *grip, const RcFingering *fingering);

/// Returns the distance between the outermost buttons of @p grip in mm.
double rc_grip_span(const RcLayout *layout, const RcGrip *grip);

/// Returns by how many mm @p fingering stretches fingers beyond comfort, added over all pairs. A grip for which this is
/// not 0 is wide: mind the hand.
double rc_grip_stretch(const RcFingers *fingers, const RcLayout *layout, const RcGrip *grip,
                       const RcFingering *fingering);

/// A bass to alternate with.
typedef struct {
  gboolean found;
  guint16 button;
  guint8 finger; ///< 0 where the hand has to move for it
} RcSecondBass;

/// Returns the second bass of an alternating bass under @p chord, while the chord buttons of @p grip stay under their
/// fingers: the fifth of the chord, or its root where the bass is the fifth, within @p reach columns of the grip; else
/// the third (or sus tone) where it is at most one column from the first bass, so that a quick hand need not hop; on
/// the nearest button, and never on the other direction of the bellows. Where there is none the first bass is played
/// again; so it is where a grip has several basses. The next finger on its side plays it where that is free and gets
/// there, else the finger of the first bass, else another free one. No source settles these choices; they are common
/// practice.
RcSecondBass rc_second_bass(const RcFingers *fingers, const RcLayout *layout, guint reach, const RcChord *chord,
                            const RcGrip *grip, const RcFingering *fingering);

// ---------------------------------------------------------------------------------------------------------- routes

/// How a tune is planned.
typedef struct {
  RcHand hand;
  RcFingers fingers;
  RcTaste taste;
  RcRollSettings roll;
  double turns_apart; ///< seconds that the bellows go one way before they turn, where an accepted grip allows it; 0:
                      ///< they may turn at any chord
} RcRouteSettings;

/// Returns the usual settings: #RC_GRIP_REACH and #RC_GRIP_PRESS, rc_fingers(), rc_taste(),
/// rc_roll_settings(), and no time between turns.
RcRouteSettings rc_route_settings(void);

/// All that a hand can hold on one keyboard, and what it answered to the requests so far. Threads may share one.
typedef struct RcPlanner RcPlanner;

/// Makes a planner for @p layout, which must outlive it, with a copy of @p settings; neither may be NULL. A grip is
/// never taken where the same with one chord button less sounds at least as well. Free with rc_planner_free().
RcPlanner *rc_planner_new(const RcLayout *layout, const RcRouteSettings *settings);

/// Frees @p planner; NULL is allowed.
void rc_planner_free(RcPlanner *planner);

/// Returns the layout of @p planner; borrowed.
const RcLayout *rc_planner_layout(const RcPlanner *planner);

/// Returns the settings of @p planner; borrowed.
const RcRouteSettings *rc_planner_settings(const RcPlanner *planner);

enum { RC_CLEARLY_MM = 32 }; ///< what another way of holding a chord has to save each time: two columns

/// One chord of a route, or silence.
typedef struct {
  RcPlayed played;
  RcVerdict verdict; ///< of the grip that is held; #RC_IMPOSSIBLE and #RC_UNREAD have none. Silence is #RC_NATIVE.
  gboolean held;     ///< a grip is held; the rest counts only then
  RcGrip grip;
  RcFingering fingers;
  RcGrading grading;
  guint32 rank;      ///< of the answer; see RcAnswer
  RcBellows bellows; ///< push or pull on a keyboard with buttons that differ, else both
  double way;        ///< mm the hand moves from the grip before; 0 for the first
  double spread;     ///< mm by which fingers spread beyond their rest; see rc_grip_spread()
  double hasty;      ///< seconds since the bellows last turned, where they turn here sooner than they should; else 0
} RcStep;

/// The route through one tune. Made by rc_route_new(), used again from tune to tune.
typedef struct {
  GArray *steps;   ///< of RcStep, one for each step of rc_walk_next()
  guint wide;      ///< wide grips
  guint reversals; ///< of the bellows, from one grip to the next
  guint hasty;     ///< how many of these come sooner after the one before than the settings' `turns_apart`
  double travel;   ///< mm: the sum of all ways and twice all spreads
} RcRoute;

/// Returns an empty route on @p planner, which must outlive it. Free with rc_route_free(). One thread at a time.
RcRoute *rc_route_new(RcPlanner *planner);

/// Frees @p route; NULL is allowed.
void rc_route_free(RcRoute *route);

/// Plans @p tune: the grips and fingers with the best total over the whole tune. With #RC_PREFER_PLAIN and
/// #RC_PREFER_SOUND each chord is held as rc_catalogue_best() has it among the grips that fingers can hold: verdict,
/// tones, likeness, the number of buttons and reach are those of the best, so that no tone is given up for ease and no
/// hand is spread to spare it a step. Only what comes after in that order, how near buttons are to C and G and which of
/// equal ones is pressed, is left to the route, and which fingers press them. Of these ways the fewest wide grips (see
/// rc_grip_stretch()) decide first, then reversals of the bellows, then travel. With #RC_PREFER_EASE these come before
/// verdicts and tones, but only accepted grips of one or two buttons that are native, A or B replace one another, so
/// that ease leaves out no tone and asks for no third button; a chord that has none of these is held as with
/// #RC_PREFER_PLAIN.
///
/// Travel is the way of the hand from grip to grip, in mm along and across the board, where each finger's rest is one
/// column from its neighbour's, plus the spread of each grip, out and back. Silence, and chords without a grip,
/// leave the hand where it is. Of routes that are equal in all this the one with the handier grips at its end is taken.
///
/// A chord is held the same way each time, the same buttons with the same fingers, unless another way is clearly
/// better: each time that a chord is held in its second most frequent way of the tune counts as #RC_CLEARLY_MM of
/// travel, and in a rarer one as twice as much. So another way is taken where it saves more than that at this place, or
/// where grade, wide grips or reversals ask for it: in another key, or where the melody helps. Two columns are what a
/// hand moves from a chord to the next but one in the circle of fifths, which players do all the time; what spares less
/// is not worth a second shape to learn. Over the demo books on all sizes it costs less than a hundredth of the travel,
/// and less than a fiftieth with #RC_PREFER_EASE.
///
/// The route is found exactly, by dynamic programming within a branch and bound over what is each chord's usual way,
/// unless a tune needs more than 200 trials or these look at more than a thousand million pairs of grips, some seconds'
/// work, which only boards and tunes beyond all measure do; then it is the best of these. Trials go depth first: the
/// chord that costs most beyond what it is charged, first with its most used way as the usual one, then without.
///
/// A keyboard all of whose buttons sound the same on push and pull has no reversals. Elsewhere each grip has a
/// direction, one that sounds in both has that which saves reversals, and a chord is never split between two. Where
/// `turns_apart` is set, the fewest turns that come sooner after the one before come before all else, among all grips
/// of an accepted grade (with #RC_PREFER_EASE among those named above), and chords may be held now one way and now
/// another; what is left of such turns no such grip can avoid. A turn falls on the start of a chord; silence counts as
/// time; a chord without a length or a tempo is long enough, and so are 64 chords. What is not modelled: the direction
/// that the right hand needs meanwhile, how much air the bellows have left, and air taken by the air button.
void rc_route_plan(RcRoute *route, const RcTune *tune);

// ---------------------------------------------------------------------------------------------------- one tune's chart

/// One chord of a tune and how it is played: the same symbol may need several answers, one where it is brisk, say.
typedef struct {
  guint symbol;    ///< index into the tune's symbols
  RcAnswer answer; ///< verdict #RC_UNREAD for texts that are no chord
  RcFingering fingers;
  RcSecondBass second;
  gboolean wide;   ///< see rc_grip_stretch()
  RcAnswer sounds; ///< what would sound better at the first playing, where ease or steady bellows were preferred to it;
                   ///< else impossible
  guint64 times;   ///< how often it is played
  guint64 pushed;  ///< how often of these on push, where the keyboard has buttons that differ
  guint64 pulled;  ///< and on pull
  RcTicks ticks;   ///< for how long altogether
  guint *bars;     ///< the written bars in which it begins, from 0, each once, in their order
  guint n_bars;
} RcNeed;

/// Where the hand has a hard time.
typedef enum {
  RC_HARD_LEAP, ///< a long way after a brisk chord
  RC_HARD_WIDE, ///< a wide grip; see rc_grip_stretch()
  RC_HARD_TURN  ///< the bellows turn sooner than they should
} RcHardKind;

enum { RC_LEAP_MM = 60 }; ///< a longer way after a brisk chord is a leap at speed (from memory)

/// A hard spot of a tune as written.
typedef struct {
  RcHardKind kind;
  guint bar;      ///< the written bar, from 0
  guint from;     ///< symbol before, of a leap
  guint to;       ///< symbol of the chord
  double mm;      ///< the way, or the span of the grip; 0 of a turn
  double seconds; ///< how long the chord before lasts, of a leap; how long ago the bellows turned last, of a turn
  guint64 times;  ///< how often it is played
} RcHardSpot;

#define RC_NO_WAY G_MAXUINT ///< nothing is wanted there, or it is never played

/// Another way in which a written chord is played.
typedef struct {
  guint event; ///< index into the tune's events
  guint need;  ///< index into the chart's needs
} RcEventWay;

/// A tune on one keyboard.
typedef struct {
  RcTempo tempo;       ///< by which it was timed
  RcVerdict accept;    ///< the worst verdict that counts as playable
  RcCounts counts;     ///< its chords as played; tunes is 1, or 0 without any chord
  double *seconds;     ///< by event of the tune as written: how long it lasts at its tempo; 0 where it has none
  RcVerdict *verdicts; ///< by event of the tune: the worst answer among its playings; #RC_NATIVE where none is wanted
  guint8 *bellows;     ///< by event of the tune: set of the RcBellows directions among its playings, 0 for none
  guint *ways;         ///< by event of the tune: index into needs of the way it is played first there, or #RC_NO_WAY
  GArray *needs;       ///< of RcNeed, in the order they first come
  GArray *other_ways;  ///< of RcEventWay, by event: the ways that differ from the first, each once
  GArray *hard;        ///< of RcHardSpot, in the order of the written bars
  guint reversals;     ///< of the bellows
  guint hasty;         ///< of these, sooner than they should; see RcRoute
  guint freely;        ///< reversals of the route that sounds best, where it was compared; else the same as here
  gboolean melody;     ///< the right hand plays too
  double travel;       ///< of the route, in mm
  double sounds;       ///< of the route that sounds best, where it was compared; else the same
  double longest;      ///< the longest way from one grip to the next, in mm
} RcChart;

/// Works out how @p route, just planned for @p tune by @p planner, plays it. @p sound may be NULL, or the route planned
/// for sound alone, with which one planned for ease or for steady bellows is compared. Free with rc_chart_free().
RcChart *rc_chart_new(const RcPlanner *planner, const RcRoute *route, const RcRoute *sound, const RcTune *tune);

/// Frees @p chart; NULL is allowed.
void rc_chart_free(RcChart *chart);

// ------------------------------------------------------------------------------------------------------ button use

/// What one tune presses of one button.
typedef struct {
  guint tune;   ///< index into the titles of the use
  guint button; ///< index into the layout's buttons
  guint64 presses;
  RcTicks ticks; ///< time it is held; a chord without a length counts one tick
} RcTunePress;

/// How the buttons of one keyboard are used along the routes of a repertoire.
typedef struct {
  const RcLayout *layout; ///< borrowed
  guint64 *presses;       ///< how often each button is pressed, by its index
  RcTicks *buttons;       ///< time each button is held; a chord without a length counts one tick, so that none is lost
  RcTicks *made_up;       ///< how much of that is of chords without a length
  RcTicks *in_columns;    ///< time of chords by each column that a button of theirs is in
  RcTicks *by_rows;       ///< time of chords by the set of rows their grip lies in, bit n being row n
  RcTicks *by_columns;    ///< time of chords by the first and the last column of their grip: first * columns + last
  RcCounts counts;        ///< of chords, by the verdict of the grip held
  RcTicks played;         ///< time of all chords that are held
  RcTicks silent;         ///< time of chords that are impossible or unread
  guint64 reversals;      ///< of the bellows, in all routes
  double travel;          ///< of all routes, in mm
  GPtrArray *titles;      ///< of char *: those of the tunes that pressed a button; NULL where tunes are not kept apart
  GArray *by_tune;        ///< of RcTunePress, tune after tune; NULL likewise
} RcUse;

/// Returns an empty use of @p layout, which must outlive it; free with rc_use_free().
RcUse *rc_use_new(const RcLayout *layout);

/// Frees @p use; NULL is allowed.
void rc_use_free(RcUse *use);

/// Has what is added from now on be known tune by tune too.
void rc_use_keep_tunes(RcUse *use);

/// Adds a planned route.
void rc_use_add(RcUse *use, const RcRoute *route, const RcTune *tune, RcVerdict accept);

/// Adds to @p into what was added to @p from, a use of the same layout. Tunes are known where both keep them.
void rc_use_merge(RcUse *into, const RcUse *from);

/// Returns the fewest rows within which chords lie that have at least @p share (0 to 1) of the time held, as a set of
/// rows; of several the one with most time, then the one nearest to the bellows. Sets @p ticks to their time; 0, as is
/// the set, where nothing is held.
guint rc_use_rows(const RcUse *use, double share, RcTicks *ticks);

/// Sets @p first and @p last to the narrowest run of columns within which chords lie that have at least @p share of the
/// time held; of several the one with most time, then the flattest. Returns that time, 0 where nothing is held.
RcTicks rc_use_columns(const RcUse *use, double share, guint *first, guint *last);

RC_END_API

#endif
