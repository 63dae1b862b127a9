// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// How much is enough, in whole numbers.

#include "rowcall/study.h"

RcTarget
rc_target(void)
{
  return (RcTarget){ RC_TARGET_TIME, RC_TARGET_USUAL };
}

// A product of 64 and 32 bits.
typedef struct {
  guint64 high; // all but the last 32 bits
  guint32 low;
} Product;

static Product
multiply(gint64 number, guint32 by)
{
  const guint64 low = ((guint64)number & G_MAXUINT32) * by;
  return (Product){ ((guint64)number >> 32U) * by + (low >> 32U), (guint32)low };
}

gboolean
rc_reaches(gint64 part, gint64 whole, guint millionths)
{
  const Product reached = multiply(part, RC_TARGET_ALL);
  const Product wanted = multiply(whole, millionths);
  return whole > 0 && (reached.high > wanted.high || (reached.high == wanted.high && reached.low >= wanted.low));
}

gboolean
rc_target_reached(RcTarget target, const RcCounts *counts, RcVerdict accept)
{
  return target.by == RC_TARGET_TUNES
           ? rc_reaches((gint64)counts->playable, (gint64)counts->tunes, target.millionths)
           : rc_reaches(rc_counts_carried(counts, accept), rc_counts_read(counts), target.millionths);
}
