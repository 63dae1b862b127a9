// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart, and what it shows in words.

#include "report/coverage_picture.h"

#include "report/canvas.h"
#include "report/format.h"

#include <math.h>

#define U64 G_GUINT64_FORMAT

static const double enough = 0.95; // of the playing time that could be read, for the headline

static const char *
plural(guint64 n)
{
  return n == 1 ? "" : "s";
}

// ------------------------------------------------------------------------------------------------- what was found

// The keyboard that carries most; the first of several.
static guint
best_layout(const RcRoll *roll)
{
  guint best = 0;
  RcTicks most = -1;
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    const RcTicks carried = rc_counts_carried(&counts, rc_roll_accept(roll));
    best = carried > most ? i : best;
    most = MAX(most, carried);
  }
  return best;
}

// Whole percent; what is not enough, or not all, is not rounded up to it.
static int
percent_carried(const RcCounts *counts, RcVerdict accept)
{
  const double share = (double)rc_counts_carried(counts, accept) / (double)rc_counts_read(counts);
  const double percent = floor(share * 100 + 0.5);
  return (int)(share < enough ? MIN(percent, enough * 100 - 1) : share < 1 ? MIN(percent, 99) : percent);
}

static char *
tunes_text(const RcCounts *counts)
{
  if (counts->tunes == 1) {
    return g_strdup(counts->playable ? ", and the tune as a whole" : ", but not the tune as a whole");
  }
  return counts->playable ? g_strdup_printf(", and %" U64 " of %" U64 " tunes whole", counts->playable, counts->tunes)
                          : g_strdup_printf(", but none of the %" U64 " tunes whole", counts->tunes);
}

char *
rc_carried_text(const RcCounts *counts, RcVerdict accept)
{
  char *tunes = tunes_text(counts);
  char *text = g_strdup_printf("%d %% of the %s%s at grade %s or better%s", percent_carried(counts, accept),
                               rc_counts_measured(counts) ? "playing time" : "chords",
                               counts->ticks[RC_UNREAD] ? " that could be read," : "", rc_verdict_name(accept), tunes);
  g_free(tunes);
  return text;
}

char *
rc_coverage_finding(const RcRoll *roll)
{
  const int smallest = rc_report_smallest(roll, rc_target());
  const guint index = smallest < 0 ? best_layout(roll) : (guint)smallest;
  const RcCounts counts = rc_roll_counts(roll, index);
  if (!rc_counts_read(&counts)) {
    return g_strdup(counts.tunes ? "There is nothing to judge: none of the chords could be read"
                                 : "There is nothing to judge: no chord is asked for");
  }
  char *carried = rc_carried_text(&counts, rc_roll_accept(roll));
  const char *name = rc_roll_layout(roll, index)->name;
  char *text = smallest < 0 && rc_roll_n_layouts(roll) > 1
                 ? g_strdup_printf("None of these carries 95 %%; the %s comes nearest with %s", name, carried)
                 : g_strdup_printf("The %s carries %s", name, carried);
  g_free(carried);
  return text;
}

static void
append_intake(GString *text, const RcRoll *roll, const RcIntake *intake)
{
  const RcCounts counts = rc_roll_counts(roll, 0);
  const guint64 chords = rc_counts_chords(&counts);
  const guint64 chordless = rc_roll_timing(roll).chordless;
  if (counts.tunes) {
    g_string_append_printf(text, "%" U64 " tune%s with chords, %" U64 " chord%s as played, repeats unrolled.",
                           counts.tunes, plural(counts.tunes), chords, plural(chords));
  }
  if (counts.chords[RC_UNREAD]) {
    g_string_append_printf(text, " %" U64 " of the chords could not be read (striped).", counts.chords[RC_UNREAD]);
  }
  if (chordless) {
    g_string_append_printf(text, "%s%" U64 " tune%s without any chord.", counts.tunes ? " Left out: " : "", chordless,
                           plural(chordless));
  }
  if (intake->problems) {
    g_string_append_printf(text, " %" U64 " tune%s or file%s could not be read.", intake->problems,
                           plural(intake->problems), plural(intake->problems));
  }
}

char *
rc_coverage_notes(const RcRoll *roll, const RcIntake *intake)
{
  char *timing = rc_timing_text(roll);
  GString *text = g_string_new(NULL);
  append_intake(text, roll, intake);
  g_string_append_printf(text, " %sA tune is playable when each of its chords has grade %s or better.", timing,
                         rc_verdict_name(rc_roll_accept(roll)));
  g_free(timing);
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------ the coverage chart

static RcCoverageBar
make_bar(const RcRoll *roll, guint index, RcShare share, gboolean marked)
{
  const RcCounts counts = rc_roll_counts(roll, index);
  const RcTicks ticks = rc_counts_ticks(&counts);
  const guint64 chords = rc_counts_chords(&counts);
  const RcLayout *layout = rc_roll_layout(roll, index);
  RcCoverageBar bar = { layout->name, layout->title, NULL, { 0 }, marked };
  bar.note = counts.tunes ? g_strdup_printf("%" U64 " of %" U64, counts.playable, counts.tunes) : g_strdup("–");
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    const double by_time = ticks ? (double)counts.ticks[i] / (double)ticks : 0;
    const double by_chords = chords ? (double)counts.chords[i] / (double)chords : 0;
    bar.shares[i] = share == RC_SHARE_TIME ? by_time : by_chords;
  }
  return bar;
}

void
rc_coverage_draw(cairo_t *cairo, RcBox box, const RcRoll *roll, RcShare share, guint chosen)
{
  const guint n = rc_roll_n_layouts(roll);
  const RcCounts counts = rc_roll_counts(roll, 0);
  share = rc_counts_measured(&counts) ? share : RC_SHARE_CHORDS;
  RcCoverageBar *bars = g_new(RcCoverageBar, n);
  for (guint i = 0; i < n; ++i) {
    bars[i] = make_bar(roll, i, share, i == chosen);
  }
  rc_draw_coverage(cairo, box, bars, n, share == RC_SHARE_TIME ? "share of the playing time" : "share of the chords",
                   "tunes playable");
  for (guint i = 0; i < n; ++i) {
    g_free((char *)bars[i].note);
  }
  g_free(bars);
}

GBytes *
rc_report_compare_picture(const RcRoll *roll, const RcIntake *intake, RcPicture picture, const RcImprint *imprint,
                          GError **error)
{
  enum { GAP = 14 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  char *title = rc_coverage_finding(roll);
  char *notes = rc_coverage_notes(roll, intake);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, title) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, notes) + GAP;
  const double chart = rc_coverage_height(rc_roll_n_layouts(roll), width);
  RcCanvas canvas = rc_canvas_start(picture, RC_PAGE_LONG, ceil(head + chart) + 2 * RC_MARGIN, imprint);
  double y = RC_MARGIN;
  y += rc_draw_text(canvas.cairo, RC_TEXT_TITLE, RC_ALIGN_LEFT, RC_MARGIN, y, width, 3, title) + 4;
  y += rc_draw_text(canvas.cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, RC_MARGIN, y, width, 0, notes) + GAP;
  rc_coverage_draw(canvas.cairo, (RcBox){ RC_MARGIN, y, width, chart }, roll, RC_SHARE_TIME, RC_NONE_CHOSEN);
  cairo_show_page(canvas.cairo);
  g_free(title);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
