// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file shop.h
/// Instruments on offer, what each makes of a repertoire, and which of them no other beats on price, weight and playing
/// time. What is not known of an offer is never guessed.

#ifndef ROWCALL_SHOP_H
#define ROWCALL_SHOP_H

#include "rowcall/coverage.h"
#include "rowcall/error.h"

RC_BEGIN_API

// ---------------------------------------------------------------------------------------------------------- offers

/// The limits of an offer file.
enum {
  RC_MAX_OFFERS = 500,
  RC_MAX_OFFER_FILE_BYTES = 1 << 20,
  RC_MAX_OFFER_NAME = 80,      ///< characters
  RC_MAX_OFFER_REMARKS = 2000, ///< characters
  RC_MAX_PRICE = 1000000,      ///< of one unit of a currency, before and after it is converted
  RC_MAX_RATE = 10000,         ///< of one unit of the file's currency
  RC_MAX_REPAIRS = 100,        ///< dead buttons of which it is worked out what their repair brings
  RC_LEAST_GRAMS = 500,
  RC_MOST_GRAMS = 25000
};

/// What one unit of a currency is counted as, so that prices are compared exactly.
#define RC_COST_UNIT G_GINT64_CONSTANT(100000000)

enum { RC_CURRENCY_LETTERS = 3 };

/// One instrument on offer.
typedef struct {
  char *name;
  RcLayout *layout;
  gint64 cents;                           ///< hundredths of its currency; 0 where the price is unknown
  char currency[RC_CURRENCY_LETTERS + 1]; ///< of the price as it is asked; empty where it is unknown
  gint64 cost;                            ///< the price in the shop's currency, in 1/RC_COST_UNIT; 0 where unknown
  gint64 grams;                           ///< 0 where the weight is unknown
  gboolean in_pounds;                     ///< the weight is given in pounds, which `grams` is rounded from
  char *remarks;                          ///< empty where there are none
} RcOffer;

/// What one unit of a currency costs in the shop's.
typedef struct {
  char currency[RC_CURRENCY_LETTERS + 1];
  gint64 millionths;
} RcRate;

/// A dead button of an offer, repaired by itself.
typedef struct {
  guint offer;      ///< index in the shop
  guint button;     ///< index in the layout, of what sounds again
  RcLayout *layout; ///< the offer's keyboard with this button sounding
} RcRepair;

/// A file of offers.
typedef struct {
  char *title;                            ///< empty where there is none
  char currency[RC_CURRENCY_LETTERS + 1]; ///< in which costs are compared; empty where no price is known
  GArray *rates;                          ///< of RcRate
  GPtrArray *offers;                      ///< of RcOffer *, in the order of the file
  GArray *repairs;                        ///< of RcRepair, in the order of the offers: the first #RC_MAX_REPAIRS
  guint untried;                          ///< dead buttons beyond these
} RcShop;

/// Makes a shop from the YAML @p text (@p length bytes) of an offer file, which rowcall-offers(5) describes.
/// @p file names it in errors; the paths of layouts in it begin at its folder. Returns NULL and sets @p error with line
/// and column: #RC_ERROR_ENCODING, _SYNTAX, _VALUE, _UNKNOWN or _LIMIT, or those of its layouts. Free with
/// rc_shop_free().
RcShop *rc_shop_parse(const char *text, gsize length, const char *file, GError **error);

/// Reads the offer file @p path. Returns NULL and sets @p error, as rc_shop_parse() does, or to #RC_ERROR_IO or _LIMIT
/// where it cannot be read or is too large. Free with rc_shop_free().
RcShop *rc_shop_read(const char *path, GError **error);

/// Frees @p shop; NULL is allowed.
void rc_shop_free(RcShop *shop);

/// Returns an offer by its index; borrowed.
const RcOffer *rc_shop_offer(const RcShop *shop, guint index);

// ----------------------------------------------------------------------------------------------------------- worth

/// What an offer is judged by.
typedef struct {
  gint64 cost;     ///< 0 where unknown
  gint64 grams;    ///< 0 where unknown
  RcTicks carried; ///< playing time at the accepted grade or better
} RcWorth;

/// Returns whether @p a is known to be at least as good as @p b in cost, weight and playing time, and better in one.
/// Where a cost or weight of either is unknown nothing is known of the pair.
gboolean rc_worth_beats(const RcWorth *a, const RcWorth *b);

// ----------------------------------------------------------------------------------------------------------- tally

/// A tune that an offer does not play as a whole.
typedef struct {
  guint tune;      ///< index, see rc_tally_title()
  RcTicks missing; ///< how long its chords below the accepted grade last, unread ones among them; 0 without lengths
  RcFares fares;
  double carried; ///< the share of its time
} RcLeftOut;

/// The roll of a repertoire on the keyboards of several offers, and what each leaves out, tune by tune. Memory grows
/// with the number of tunes.
typedef struct RcTally RcTally;

/// Starts a tally on the keyboards of @p panel, which must outlive it. Free with rc_tally_free().
RcTally *rc_tally_new(RcPanel *panel, RcRollSettings settings);

/// Frees @p tally; NULL is allowed.
void rc_tally_free(RcTally *tally);

/// Adds a tune.
void rc_tally_add(RcTally *tally, const RcTune *tune);

/// Returns the roll of all tunes added; borrowed.
const RcRoll *rc_tally_roll(const RcTally *tally);

/// Returns the title of a tune by its index, in the order they were added; borrowed.
const char *rc_tally_title(const RcTally *tally, guint tune);

/// Returns the place of a tune by its index; its file is borrowed.
RcPlace rc_tally_place(const RcTally *tally, guint tune);

/// Returns the tunes that keyboard @p index leaves out, in the order they were added: an array of RcLeftOut; borrowed.
const GArray *rc_tally_left_out(const RcTally *tally, guint index);

/// Returns the same in a new array, in the order of #RC_LIST_WORST.
GArray *rc_tally_worst_first(const RcTally *tally, guint index);

// --------------------------------------------------------------------------------------------------------- standing

/// What the repair of a dead button brings.
typedef struct {
  gint64 tunes;         ///< that become playable
  RcTicks ticks;        ///< of playing time carried that was not
  gint64 native_chords; ///< that have a button of their own again
  RcTicks native_ticks; ///< and how long they last
} RcRepairGain;

/// Returns what repair @p index of @p shop brings by @p tally, whose keyboards are those of the offers and, after them,
/// of the repairs.
RcRepairGain rc_repair_gain(const RcShop *shop, const RcTally *tally, guint index);

/// How an offer compares with the others.
typedef struct {
  guint offer; ///< index in the shop and in the tally
  RcWorth worth;
  gboolean reaches; ///< the target
  gboolean judged;  ///< its cost and weight are known, and there is playing time to carry
  gboolean beaten;  ///< another offer beats it; never where it is not judged
  guint alike; ///< the first row whose keyboard carries the same: as much time in all and natively, and of the tunes
               ///< the same; its own index where it is the first
} RcStanding;

/// How all offers stand.
typedef struct {
  RcStanding *rows; ///< one for each offer: by cost, then weight, then as in the file; unknown ones last
  guint n;
  RcTicks read; ///< playing time of all that could be read
  guint target; ///< millionths of `read`
  int cheapest; ///< index into `rows` of the cheapest that is known to reach the target, or -1
  int lightest; ///< the same by weight
  int nearest;  ///< index into `rows` of the one that carries most; -1 where there is nothing to carry
} RcStandings;

/// Judges the offers of @p shop by @p tally, whose keyboards are theirs in the same order. @p target is the playing
/// time to reach, in millionths; see rc_reaches(). Of several that are equally cheap or light the one that carries more
/// counts, then the first of the rows. Clear with rc_standings_clear().
RcStandings rc_shop_judge(const RcShop *shop, const RcTally *tally, guint target);

/// Frees what @p standings hold, but not the place they stand in.
void rc_standings_clear(RcStandings *standings);

RC_END_API

#endif
