// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the coverage chart shows, in words.

#include "report/coverage_text.h"

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

static const char *
plural(guint64 n)
{
  return n == 1 ? "" : "s";
}

static char *
tunes_text(const RcCounts *counts)
{
  if (counts->tunes == 1) {
    return g_strdup(counts->playable ? ", and plays the tune" : ", but does not play the tune");
  }
  return counts->playable ? g_strdup_printf(", and plays %" U64 " of %" U64 " tunes", counts->playable, counts->tunes)
                          : g_strdup_printf(", but plays none of the %" U64 " tunes", counts->tunes);
}

char *
rc_carried_text(const RcComparison *c, const RcCounts *counts)
{
  char percent[8];
  char *tunes = tunes_text(counts);
  rc_percent(percent, rc_counts_carried(counts, c->accept), rc_counts_read(counts), 0, c->target.millionths);
  char *text =
    g_strdup_printf("%s %% of the %s%s at grade %s or better%s", *percent == '-' ? "0" : percent, rc_share_of(counts),
                    counts->chords[RC_UNREAD] ? " that could be read," : "", rc_verdict_name(c->accept), tunes);
  g_free(tunes);
  return text;
}

char *
rc_coverage_finding(const RcComparison *c)
{
  const guint index = c->by_time < 0 ? c->most_time : (guint)c->by_time;
  const RcCounts *counts = &c->sizes[index].counts;
  if (!rc_counts_read(counts)) {
    return g_strdup(counts->tunes ? "There is nothing to judge: none of the chords could be read"
                                  : "There is nothing to judge: no chord is asked for");
  }
  char *carried = rc_carried_text(c, counts);
  char *percent = rc_target_text(c->target.millionths);
  const char *name = c->sizes[index].layout->name;
  char *text = c->by_time < 0 && c->n > 1
                 ? g_strdup_printf("None of these carries %s %%; the %s comes nearest with %s", percent, name, carried)
                 : g_strdup_printf("The %s carries %s", name, carried);
  g_free(percent);
  g_free(carried);
  return text;
}

static void
append_intake(GString *text, const RcComparison *c)
{
  const RcIntake *intake = &c->rolled->intake;
  const RcCounts counts = c->sizes[0].counts;
  const guint64 chords = rc_counts_chords(&counts);
  const guint64 chordless = rc_roll_timing(c->rolled->roll).chordless;
  if (counts.tunes) {
    g_string_append_printf(text, "%" U64 " tune%s with chords, %" U64 " chord%s as played, repeats unrolled.",
                           counts.tunes, plural(counts.tunes), chords, plural(chords));
  }
  if (counts.chords[RC_UNREAD]) {
    g_string_append_printf(text, " %" U64 " of the chords could not be read, and %s left out of the shares.",
                           counts.chords[RC_UNREAD], counts.chords[RC_UNREAD] == 1 ? "is" : "are");
  }
  if (chordless) {
    g_string_append_printf(text, "%s%" U64 " tune%s without any chord.", counts.tunes ? " Left out: " : "", chordless,
                           plural(chordless));
  }
  rc_append_left_out(text, intake);
}

char *
rc_coverage_notes(const RcComparison *c)
{
  char *timing = rc_timing_text(c->rolled->roll);
  GString *text = g_string_new(NULL);
  append_intake(text, c);
  g_string_append_printf(text, " %sA tune is playable when each of its chords has grade %s or better.", timing,
                         rc_verdict_name(c->accept));
  g_free(timing);
  return g_string_free(text, FALSE);
}
