// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The coverage chart and the printed report. A page is A4 lying; a single picture is as high as its figure.

#include "canvas.h"
#include "format.h"
#include "heat.h"
#include "rowcall/draw.h"

#include <cairo-pdf.h>
#include <math.h>

#define U64 G_GUINT64_FORMAT

static const double page_width = RC_PAGE_LONG;
static const double page_height = RC_PAGE_SHORT;
static const double margin = RC_MARGIN;
static const double text_width = RC_PAGE_LONG - 2 * RC_MARGIN;
static const double enough = 0.95; // of the playing time that could be read, for the headline

static const char *
plural(guint64 n)
{
  return n == 1 ? "" : "s";
}

// ------------------------------------------------------------------------------------------------- what was found

static RcTicks
read_ticks(const RcCounts *counts)
{
  return rc_counts_ticks(counts) - counts->ticks[RC_UNREAD];
}

static RcTicks
carried_ticks(const RcCounts *counts, RcVerdict accept)
{
  RcTicks carried = 0;
  for (guint v = RC_NATIVE; v <= accept; ++v) {
    carried += counts->ticks[v];
  }
  return carried;
}

// The keyboard that carries most; the first of several.
static guint
best_layout(const RcRoll *roll)
{
  guint best = 0;
  RcTicks most = -1;
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    const RcTicks carried = carried_ticks(&counts, rc_roll_accept(roll));
    best = carried > most ? i : best;
    most = MAX(most, carried);
  }
  return best;
}

// Whole percent; what is not enough, or not all, is not rounded up to it.
static int
percent_carried(const RcCounts *counts, RcVerdict accept)
{
  const double share = (double)carried_ticks(counts, accept) / (double)read_ticks(counts);
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

static char *
carried_text(const RcCounts *counts, RcVerdict accept)
{
  char *tunes = tunes_text(counts);
  char *text = g_strdup_printf("%d %% of the playing time%s at grade %s or better%s", percent_carried(counts, accept),
                               counts->ticks[RC_UNREAD] ? " that could be read," : "", rc_verdict_name(accept), tunes);
  g_free(tunes);
  return text;
}

static char *
finding(const RcRoll *roll)
{
  const int smallest = rc_report_smallest(roll, enough);
  const guint index = smallest < 0 ? best_layout(roll) : (guint)smallest;
  const RcCounts counts = rc_roll_counts(roll, index);
  if (!read_ticks(&counts)) {
    return g_strdup(counts.tunes ? "There is nothing to judge: none of the chords could be read"
                                 : "There is nothing to judge: no chord is asked for");
  }
  char *carried = carried_text(&counts, rc_roll_accept(roll));
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

// What the chart rests on; @p chosen is the layout looked at on the last page, or NULL.
static char *
notes_text(const RcRoll *roll, const RcIntake *intake, const RcLayout *chosen)
{
  char *timing = rc_timing_text(roll);
  GString *text = g_string_new(NULL);
  append_intake(text, roll, intake);
  g_string_append_printf(text, " %sA tune is playable when each of its chords has grade %s or better.", timing,
                         rc_verdict_name(rc_roll_accept(roll)));
  if (chosen) {
    g_string_append_printf(text, " The triangle marks the %s, whose buttons are on the last page.", chosen->name);
  }
  g_free(timing);
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------ the coverage chart

enum { NONE_CHOSEN = G_MAXUINT };

// The texts above the chart.
typedef struct {
  const char *title; // NULL for none
  char *finding;
  char *notes;
} CoverageHead;

static double
head_height(const CoverageHead *head, double width)
{
  const double title = head->title ? rc_text_height(RC_TEXT_BODY, width, 2, head->title) + 3 : 0;
  return title + rc_text_height(RC_TEXT_TITLE, width, 3, head->finding) + 4 +
         rc_text_height(RC_TEXT_BODY, width, 0, head->notes) + 14;
}

static void
draw_head(cairo_t *cairo, RcBox box, const CoverageHead *head)
{
  double y = box.y;
  if (head->title) {
    y += rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, box.x, y, box.width, 2, head->title) + 3;
  }
  y += rc_draw_text(cairo, RC_TEXT_TITLE, RC_ALIGN_LEFT, box.x, y, box.width, 3, head->finding) + 4;
  rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, box.x, y, box.width, 0, head->notes);
}

static void
free_head(CoverageHead *head)
{
  g_free(head->finding);
  g_free(head->notes);
}

static RcCoverageBar
make_bar(const RcRoll *roll, guint index, gboolean marked)
{
  const RcCounts counts = rc_roll_counts(roll, index);
  const RcTicks all = rc_counts_ticks(&counts);
  const RcLayout *layout = rc_roll_layout(roll, index);
  RcCoverageBar bar = { layout->name, layout->title, NULL, { 0 }, marked };
  bar.note = counts.tunes ? g_strdup_printf("%" U64 " of %" U64, counts.playable, counts.tunes) : g_strdup("–");
  for (guint i = 0; i < RC_N_VERDICTS && all; ++i) {
    bar.shares[i] = (double)counts.ticks[i] / (double)all;
  }
  return bar;
}

static void
draw_bars(cairo_t *cairo, RcBox box, const RcRoll *roll, guint from, guint to, guint chosen)
{
  RcCoverageBar *bars = g_new(RcCoverageBar, to - from);
  for (guint i = from; i < to; ++i) {
    bars[i - from] = make_bar(roll, i, i == chosen);
  }
  rc_draw_coverage(cairo, box, bars, to - from, "share of the playing time", "tunes playable");
  for (guint i = 0; i < to - from; ++i) {
    g_free((char *)bars[i].note);
  }
  g_free(bars);
}

GBytes *
rc_report_compare_picture(const RcRoll *roll, const RcIntake *intake, RcPicture picture, const RcImprint *imprint,
                          GError **error)
{
  const guint n = rc_roll_n_layouts(roll);
  CoverageHead head = { NULL, finding(roll), notes_text(roll, intake, NULL) };
  const double top = head_height(&head, text_width);
  const double chart = rc_coverage_height(n);
  RcCanvas canvas = rc_canvas_start(picture, page_width, ceil(top + chart) + 2 * margin, imprint);
  draw_head(canvas.cairo, (RcBox){ margin, margin, text_width, top }, &head);
  draw_bars(canvas.cairo, (RcBox){ margin, margin + top, text_width, chart }, roll, 0, n, NONE_CHOSEN);
  cairo_show_page(canvas.cairo);
  free_head(&head);
  return rc_canvas_finish(&canvas, error);
}

// --------------------------------------------------------------------------------- chords without a button of their
// own

// A chord and what is pressed for it, over all requests that get this grip. Chords are the same when they sound the
// same.
typedef struct {
  RcChord chord;   // as first spelled
  RcChord also;    // the same spelled otherwise, or equal
  RcAnswer answer; // the worst
  RcVerdict best;  // the best
  gboolean mixed;  // the answers differ in what is missing or helped
  guint64 times;
  RcTicks ticks;
  const char *where; // tells it from other answers to the same chord; empty where there are none
} Lack;

static int
compare_chords(const RcChord *a, const RcChord *b)
{
  const int root = (int)rc_note_pc(a->root) - (int)rc_note_pc(b->root);
  const int bass = (int)rc_note_pc(a->bass) - (int)rc_note_pc(b->bass);
  return root ? root : bass ? bass : (a->degrees > b->degrees) - (a->degrees < b->degrees);
}

static int
compare_by_grip(gconstpointer a, gconstpointer b, gpointer layout)
{
  const Lack *left = a;
  const Lack *right = b;
  const int chord = compare_chords(&left->chord, &right->chord);
  const int none = (left->answer.verdict == RC_IMPOSSIBLE) - (right->answer.verdict == RC_IMPOSSIBLE);
  if (chord || none || left->answer.verdict == RC_IMPOSSIBLE) {
    return chord ? chord : none;
  }
  return rc_grip_compare(layout, &left->answer.grip, &right->answer.grip);
}

static int
compare_by_quality(gconstpointer a, gconstpointer b)
{
  const Lack *left = a;
  const Lack *right = b;
  const int chord = compare_chords(&left->chord, &right->chord);
  const int verdict = (int)left->answer.verdict - (int)right->answer.verdict;
  const int foreign =
    (int)rc_pcs_count(left->answer.grading.foreign) - (int)rc_pcs_count(right->answer.grading.foreign);
  return chord ? chord : verdict ? verdict : foreign;
}

static int
compare_by_time(gconstpointer a, gconstpointer b)
{
  const Lack *left = a;
  const Lack *right = b;
  if (left->ticks != right->ticks) {
    return left->ticks < right->ticks ? 1 : -1;
  }
  return compare_chords(&left->chord, &right->chord);
}

static void
merge_lack(Lack *into, const Lack *more)
{
  const RcGrading *known = &into->answer.grading;
  const RcGrading *other = &more->answer.grading;
  into->mixed |= known->missing != other->missing || known->helped != other->helped;
  into->also = more->chord.root != into->chord.root || more->chord.bass != into->chord.bass ? more->chord : into->also;
  into->best = MIN(into->best, more->best);
  if (more->answer.verdict > into->answer.verdict ||
      (more->answer.verdict == into->answer.verdict && rc_pcs_count(other->missing) > rc_pcs_count(known->missing))) {
    into->answer = more->answer;
  }
  into->times += more->times;
  into->ticks += more->ticks;
}

static void
merge_lacks(GArray *lacks, const RcLayout *layout)
{
  guint kept = 0;
  g_array_sort_with_data(lacks, compare_by_grip, (gpointer)layout);
  for (guint i = 1; i < lacks->len; ++i) {
    const Lack *next = &g_array_index(lacks, Lack, i);
    Lack *last = &g_array_index(lacks, Lack, kept);
    if (!compare_by_grip(last, next, (gpointer)layout)) {
      merge_lack(last, next);
    } else {
      g_array_index(lacks, Lack, ++kept) = *next;
    }
  }
  g_array_set_size(lacks, MIN(lacks->len, kept + 1));
}

static const char in_some_keys[] = "where the key allows";
static const char where_short[] = "where it is short";

// When this grip will do; empty where that is said by the melody, or always.
static const char *
condition(const Lack *lack)
{
  if (lack->mixed || lack->answer.grading.helped) {
    return "";
  }
  return lack->answer.verdict == RC_BARE ? where_short : lack->answer.grading.foreign ? in_some_keys : "";
}

// Tells the answers to one chord apart: each holds where its condition does, the worst for what is left.
static void
explain_run(Lack *run, guint n)
{
  gboolean all_keys = !run[n - 1].mixed;
  gboolean all_short = all_keys;
  for (guint i = 0; i + 1 < n; ++i) {
    run[i].where = condition(&run[i]);
    all_keys &= run[i].where == in_some_keys;
    all_short &= run[i].where == where_short;
  }
  if (n > 1) {
    run[n - 1].where = all_keys ? "in other keys" : all_short ? "where it is longer" : "elsewhere";
  }
}

static void
explain_lacks(GArray *lacks)
{
  guint first = 0;
  g_array_sort(lacks, compare_by_quality);
  for (guint i = 1; i <= lacks->len; ++i) {
    Lack *run = &g_array_index(lacks, Lack, first);
    if (i == lacks->len || compare_chords(&run->chord, &g_array_index(lacks, Lack, i).chord) != 0) {
      explain_run(run, i - first);
      first = i;
    }
  }
}

// Those held longest first.
static GArray *
find_lacks(const RcRoll *roll, guint index)
{
  GArray *lacks = g_array_new(FALSE, FALSE, sizeof(Lack));
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcRollEntry *entry = rc_roll_entry(roll, i);
    const RcAnswer answer = rc_roll_answer(roll, i, index);
    const RcChord chord = entry->request.chord;
    const Lack lack = { chord, chord, answer, answer.verdict, FALSE, entry->chords, entry->ticks, "" };
    if (answer.verdict != RC_NATIVE) {
      g_array_append_val(lacks, lack);
    }
  }
  merge_lacks(lacks, rc_roll_layout(roll, index));
  explain_lacks(lacks);
  g_array_sort(lacks, compare_by_time);
  return lacks;
}

// Moves what nothing stands in for into a new array.
static GArray *
split_off_impossible(GArray *lacks)
{
  GArray *impossible = g_array_new(FALSE, FALSE, sizeof(Lack));
  guint kept = 0;
  for (guint i = 0; i < lacks->len; ++i) {
    const Lack lack = g_array_index(lacks, Lack, i);
    if (lack.answer.verdict == RC_IMPOSSIBLE) {
      g_array_append_val(impossible, lack);
    } else {
      g_array_index(lacks, Lack, kept++) = lack;
    }
  }
  g_array_set_size(lacks, kept);
  return impossible;
}

// ----------------------------------------------------------------------------------------------- what to press instead

// "A♭7", or "A♭7 = G♯7" where the tunes write both.
static char *
lack_name(const Lack *lack, const char *equals)
{
  char *name = rc_chord_name(&lack->chord, RC_SIGNS_UNICODE);
  if (lack->also.root != lack->chord.root || lack->also.bass != lack->chord.bass) {
    char *also = rc_chord_name(&lack->also, RC_SIGNS_UNICODE);
    char *both = g_strconcat(name, equals, also, NULL);
    g_free(name);
    g_free(also);
    return both;
  }
  return name;
}

static void
append_tones(GString *text, const char *before, const Lack *lack, RcPcSet tones)
{
  char *names = rc_tones_text(&lack->chord, (RcKey){ RC_MODE_NONE, 0 }, tones, RC_SIGNS_UNICODE, " ");
  if (*names) {
    g_string_append_printf(text, "%s%s", before, names);
  }
  g_free(names);
}

static char *
lack_text(const RcLayout *layout, const Lack *lack)
{
  char *press = rc_grip_describe(layout, &lack->answer.grip, RC_SIGNS_UNICODE);
  GString *text = g_string_new(press);
  append_tones(text, "; adds ", lack, lack->answer.grading.foreign);
  append_tones(text, "; without ", lack, lack->answer.grading.missing);
  if (lack->mixed) {
    g_string_append(text, "; less is missing where the melody helps");
  } else {
    append_tones(text, "; the melody has ", lack, lack->answer.grading.helped);
  }
  g_string_append_printf(text, "%s%s", *lack->where ? "; " : "", lack->where);
  g_free(press);
  return g_string_free(text, FALSE);
}

// Columns of an entry, from its left edge.
enum { NAME_WIDTH = 64, GRADE_X = 68, GRADE_WIDTH = 24, TIMES_X = 78, TIMES_WIDTH = 37, PRESS_X = 121 };

// Draws an entry, or only measures it where @p cairo is NULL; returns its height.
static double
draw_lack(cairo_t *cairo, double x, double y, double width, const RcLayout *layout, const Lack *lack)
{
  char *name = lack_name(lack, " = ");
  char *text = lack_text(layout, lack);
  const double height =
    MAX(rc_text_height(RC_TEXT_STRONG, NAME_WIDTH, 0, name), rc_text_height(RC_TEXT_BODY, width - PRESS_X, 0, text));
  if (cairo) {
    char *times = g_strdup_printf("%" U64 " ×", lack->times);
    const char *worst = rc_verdict_name(lack->answer.verdict);
    char *grade = lack->best == lack->answer.verdict ? g_strdup(worst)
                                                     : g_strdup_printf("%s–%s", rc_verdict_name(lack->best), worst);
    rc_draw_text(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x, y, NAME_WIDTH, 0, name);
    rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, x + GRADE_X, y, GRADE_WIDTH, 1, grade);
    const RcTextStyle style = rc_text_width(RC_TEXT_BODY, times) < TIMES_WIDTH ? RC_TEXT_BODY : RC_TEXT_NOTE;
    rc_draw_text(cairo, style, RC_ALIGN_RIGHT, x + TIMES_X, y, TIMES_WIDTH, 1, times);
    rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, x + PRESS_X, y, width - PRESS_X, 0, text);
    g_free(times);
    g_free(grade);
  }
  g_free(name);
  g_free(text);
  return height + 2.5;
}

// Sets entries into two columns of @p box, or only measures where @p cairo is NULL; returns how many it holds.
static guint
set_lacks(cairo_t *cairo, RcBox box, const RcLayout *layout, const GArray *lacks)
{
  const double width = (box.width - 18) / 2;
  guint column = 0;
  double y = 0;
  for (guint i = 0; i < lacks->len; ++i) {
    const Lack *lack = &g_array_index(lacks, Lack, i);
    const double height = draw_lack(NULL, 0, 0, width, layout, lack);
    if (y + height > box.height) {
      ++column;
      y = 0;
    }
    if (column == 2 || height > box.height) {
      return i;
    }
    if (cairo) {
      draw_lack(cairo, box.x + column * (width + 18), box.y + y, width, layout, lack);
    }
    y += height;
  }
  return lacks->len;
}

// Stand-ins with their heading; returns the height used.
static double
draw_stand_ins(cairo_t *cairo, RcBox box, const RcLayout *layout, const GArray *lacks)
{
  RcBox list = { box.x, box.y + 19, box.width, box.height - 19 };
  const guint n = set_lacks(NULL, list, layout, lacks);
  while (n == lacks->len && list.height > 12 && // two columns of about the same height
         set_lacks(NULL, (RcBox){ list.x, list.y, list.width, list.height - 12 }, layout, lacks) == n) {
    list.height -= 12;
  }
  char *heading = n < lacks->len ? g_strdup_printf("What to press instead: the %u of %u stand-ins held longest "
                                                   "(`rowcall tune` lists all)",
                                                   n, lacks->len)
                                 : g_strdup("What to press instead, longest held first");
  rc_draw_text(cairo, RC_TEXT_HEADING, RC_ALIGN_LEFT, box.x, box.y, box.width, 1, heading);
  set_lacks(cairo, list, layout, lacks);
  g_free(heading);
  return list.y + list.height - box.y;
}

// The first @p n chords nothing stands in for, in a line of text.
static char *
impossible_text(const GArray *lacks, guint n)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < n; ++i) {
    const Lack *lack = &g_array_index(lacks, Lack, i);
    char *name = lack_name(lack, "\u00a0=\u00a0");
    g_string_append_printf(text, "%s%s\u00a0%" U64 "\u00a0×%s%s", i ? ",  " : "", name, lack->times,
                           *lack->where ? " " : "", lack->where);
    g_free(name);
  }
  return g_string_free(text, FALSE);
}

// Those that fit into @p height below a heading, at least one; sets @p n to their number.
static char *
fit_impossible(const GArray *lacks, double width, double height, guint *n)
{
  enum { MOST = 200 };
  *n = MIN(lacks->len, MOST);
  char *text = impossible_text(lacks, *n);
  while (*n > 1 && rc_text_height(RC_TEXT_BODY, width, 0, text) > height) {
    --*n;
    g_free(text);
    text = impossible_text(lacks, *n);
  }
  return text;
}

// What is left for the chords nothing stands in for, in a third of the height at most, below the stand-ins.
static void
draw_lacks(cairo_t *cairo, RcBox box, const RcLayout *layout, GArray *lacks)
{
  guint n = 0;
  GArray *impossible = split_off_impossible(lacks);
  const double most = (lacks->len ? box.height / 3 : box.height) - 19;
  char *text = fit_impossible(impossible, box.width, most, &n);
  const double height = impossible->len ? 19 + rc_text_height(RC_TEXT_BODY, box.width, 0, text) : 0;
  double y = box.y;
  if (lacks->len) {
    y += draw_stand_ins(cairo, (RcBox){ box.x, y, box.width, box.height - height - 6 }, layout, lacks) + 6;
  }
  if (impossible->len) {
    char *heading = n < impossible->len
                      ? g_strdup_printf("Nothing stands in for %u chords; the %u held longest:", impossible->len, n)
                      : g_strdup("Nothing stands in for these chords, longest held first:");
    rc_draw_text(cairo, RC_TEXT_HEADING, RC_ALIGN_LEFT, box.x, y, box.width, 1, heading);
    rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, box.x, y + 19, box.width, 0, text);
    g_free(heading);
  }
  g_free(text);
  g_array_unref(impossible);
}

// What is said where no chord lacks a button.
static char *
no_lack_text(const RcCounts *counts)
{
  const guint64 unread = counts->chords[RC_UNREAD];
  if (!read_ticks(counts)) {
    return counts->tunes ? g_strdup_printf("%" U64 " chord%s could not be read.", unread, plural(unread))
                         : g_strdup("There is no chord in these tunes.");
  }
  return unread ? g_strdup_printf("Every chord that could be read has a button of its own; %" U64 " could not.", unread)
                : g_strdup("Every chord has a button of its own.");
}

static const double most_keyboard = 262; // points, so that the list below keeps its room

static void
draw_use_page(cairo_t *cairo, RcBox box, const RcRoll *roll, const RcUse *use, guint index)
{
  const RcLayout *layout = rc_roll_layout(roll, index);
  const RcCounts counts = rc_roll_counts(roll, index);
  GArray *lacks = find_lacks(roll, index);
  char *title = rc_heat_finding(use);
  char *notes = rc_heat_notes(use);
  const double height = MIN(rc_keyboard_height(layout, box.width, use->played > 0), most_keyboard);
  double y = box.y + rc_draw_text(cairo, RC_TEXT_TITLE, RC_ALIGN_LEFT, box.x, box.y, box.width, 3, title) + 4;
  y += rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, box.x, y, box.width, 8, notes) + 12;
  rc_draw_keyboard(cairo, (RcBox){ box.x, y, box.width, height }, layout, use->played ? use : NULL);
  y += height + 12;
  if (lacks->len) {
    draw_lacks(cairo, (RcBox){ box.x, y, box.width, box.y + box.height - y }, layout, lacks);
  } else {
    char *text = no_lack_text(&counts);
    rc_draw_text(cairo, RC_TEXT_HEADING, RC_ALIGN_LEFT, box.x, y, box.width, 1, text);
    g_free(text);
  }
  g_array_unref(lacks);
  g_free(title);
  g_free(notes);
}

// ------------------------------------------------------------------------------------------------------ the document

static void
finish_page(const RcCanvas *canvas, const char *title, guint number)
{
  enum { NUMBER_WIDTH = 40 };
  char *text = g_strdup_printf("%u", number);
  const double y = page_height - margin + 10;
  rc_draw_text(canvas->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, margin, y, text_width - NUMBER_WIDTH, 1, title);
  rc_draw_text(canvas->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, margin + text_width - NUMBER_WIDTH, y, NUMBER_WIDTH, 1,
               text);
  cairo_show_page(canvas->cairo);
  g_free(text);
}

static void
add_bookmark(const RcCanvas *canvas, const char *text, guint page)
{
  char *link = g_strdup_printf("page=%u pos=[0 0]", page);
  cairo_pdf_surface_add_outline(canvas->surface, CAIRO_PDF_OUTLINE_ROOT, text, link, CAIRO_PDF_OUTLINE_FLAG_OPEN);
  g_free(link);
}

// As many pages as the bars need; returns the number of the page behind them.
static guint
draw_coverage_pages(const RcCanvas *canvas, RcBox box, const RcRoll *roll, const RcIntake *intake, guint chosen,
                    const RcImprint *imprint)
{
  const guint n = rc_roll_n_layouts(roll);
  guint page = 1;
  CoverageHead head = { imprint->title, finding(roll), notes_text(roll, intake, rc_roll_layout(roll, chosen)) };
  const double top = head_height(&head, box.width);
  const RcBox chart = { box.x, box.y + top, box.width, box.height - top };
  const guint step = rc_coverage_most(chart.height);
  for (guint from = 0; from < n; from += step) {
    draw_head(canvas->cairo, box, &head);
    draw_bars(canvas->cairo, chart, roll, from, MIN(from + step, n), chosen);
    finish_page(canvas, "", page++);
  }
  free_head(&head);
  return page;
}

GBytes *
rc_report_pdf(const RcRoll *roll, const RcUse *use, const RcIntake *intake, guint chosen, const RcImprint *imprint,
              GError **error)
{
  const RcBox box = { margin, margin, text_width, page_height - 2 * margin };
  RcCanvas canvas = rc_canvas_start(RC_PICTURE_PDF, page_width, page_height, imprint);
  add_bookmark(&canvas, "Coverage of all sizes", 1);
  const guint page = draw_coverage_pages(&canvas, box, roll, intake, chosen, imprint);
  char *bookmark = g_strdup_printf("Button use on the %s", rc_roll_layout(roll, chosen)->name);
  add_bookmark(&canvas, bookmark, page);
  draw_use_page(canvas.cairo, box, roll, use, chosen);
  finish_page(&canvas, imprint->title ? imprint->title : "", page);
  g_free(bookmark);
  return rc_canvas_finish(&canvas, error);
}
