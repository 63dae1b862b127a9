// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Pages and single pictures. A page is A4 lying; a single picture is as large as its figure.

#include "canvas.h"
#include "format.h"
#include "rowcall/draw.h"

#include <cairo-pdf.h>

#define U64 G_GUINT64_FORMAT

static const double page_width = 842; // A4, in points
static const double page_height = 595;
static const double margin = 42;
static const double text_width = 842 - 2 * 42;

// ------------------------------------------------------------------------------------------------------ coverage

static char *
finding(const RcRoll *roll)
{
  const int smallest = rc_report_smallest(roll, 0.95);
  const char *grade = rc_verdict_name(rc_roll_accept(roll));
  if (smallest < 0) {
    return g_strdup_printf("None of these sizes carries 95 %% of the playing time at grade %s or better", grade);
  }
  return g_strdup_printf("The %s carries at least 95 %% of the playing time at grade %s or better",
                         rc_roll_layout(roll, (guint)smallest)->name, grade);
}

static char *
intake_text(const RcRoll *roll, const RcIntake *intake)
{
  const RcCounts counts = rc_roll_counts(roll, 0);
  char *timing = rc_timing_text(roll);
  char *problems =
    intake->problems ? g_strdup_printf("%" U64 " tunes or files could not be read. ", intake->problems) : g_strdup("");
  char *text =
    g_strdup_printf("%" U64 " tunes with chords, %" U64 " chords as played, repeats unrolled. %s%s"
                    "A tune is playable when each of its chords has grade %s or better.",
                    counts.tunes, rc_counts_chords(&counts), problems, timing, rc_verdict_name(rc_roll_accept(roll)));
  g_free(problems);
  g_free(timing);
  return text;
}

static RcCoverageBar
make_bar(const RcRoll *roll, guint index)
{
  const RcCounts counts = rc_roll_counts(roll, index);
  const RcTicks all = rc_counts_ticks(&counts);
  const RcLayout *layout = rc_roll_layout(roll, index);
  RcCoverageBar bar = { layout->name, layout->title, NULL, { 0 } };
  bar.note = g_strdup_printf("%" U64 " of %" U64, counts.playable, counts.tunes);
  for (guint i = 0; i < RC_N_VERDICTS && all; ++i) {
    bar.shares[i] = (double)counts.ticks[i] / (double)all;
  }
  return bar;
}

static void
draw_bars(cairo_t *cairo, RcBox box, const RcRoll *roll, guint from, guint to)
{
  RcCoverageBar *bars = g_new(RcCoverageBar, to - from);
  for (guint i = from; i < to; ++i) {
    bars[i - from] = make_bar(roll, i);
  }
  rc_draw_coverage(cairo, box, bars, to - from, "share of the playing time", "tunes playable");
  for (guint i = 0; i < to - from; ++i) {
    g_free((char *)bars[i].note);
  }
  g_free(bars);
}

// Heading, bars and notes in the box; returns nothing below them.
static void
draw_coverage_page(cairo_t *cairo, RcBox box, const RcRoll *roll, const RcIntake *intake, guint from, guint to)
{
  char *title = finding(roll);
  char *notes = intake_text(roll, intake);
  const double title_height = rc_draw_text(cairo, RC_TEXT_TITLE, RC_ALIGN_LEFT, box.x, box.y, box.width, title);
  const double notes_height =
    rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, box.x, box.y + title_height + 4, box.width, notes);
  const double used = title_height + notes_height + 22;
  draw_bars(cairo, (RcBox){ box.x, box.y + used, box.width, box.height - used }, roll, from, to);
  g_free(title);
  g_free(notes);
}

enum { BARS_A_PAGE = 14 };

GBytes *
rc_report_compare_picture(const RcRoll *roll, const RcIntake *intake, RcPicture picture, const RcImprint *imprint,
                          GError **error)
{
  const guint n = rc_roll_n_layouts(roll);
  const double height = 180 + 34.0 * n;
  RcCanvas canvas = rc_canvas_start(picture, page_width, height, imprint);
  draw_coverage_page(canvas.cairo, (RcBox){ margin, margin, text_width, height - 2 * margin }, roll, intake, 0, n);
  cairo_show_page(canvas.cairo);
  return rc_canvas_finish(&canvas, error);
}

// ------------------------------------------------------------------------------------------------------- keyboards

GBytes *
rc_report_layout_picture(const RcLayout *layout, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const double keyboard = rc_keyboard_height(layout, text_width, FALSE);
  RcCanvas canvas = rc_canvas_start(picture, page_width, keyboard + 2 * margin + 62, imprint);
  char *heading = g_strdup_printf("%s: %s", layout->name, layout->title);
  rc_draw_line(canvas.cairo, RC_TEXT_HEADING, RC_ALIGN_LEFT, margin, margin, text_width, heading);
  rc_draw_keyboard(canvas.cairo, (RcBox){ margin, margin + 26, text_width, keyboard }, layout, NULL);
  rc_draw_text(canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, margin, margin + keyboard + 38, text_width,
               "The bellows are above, the chin is to the right. Ringed: the marked buttons C, E and A♭. "
               "M major, m minor, 7 seventh, dim diminished, aug augmented chord, * other tones, no letter a bass.");
  cairo_show_page(canvas.cairo);
  g_free(heading);
  return rc_canvas_finish(&canvas, error);
}

// The share of all button time that the busiest rows carry, and rows never touched.
static char *
use_finding(const RcLayout *layout, const RcUse *use)
{
  RcTicks *rows = g_new0(RcTicks, layout->rows->len);
  RcTicks all = 0;
  guint touched = 0;
  for (guint i = 0; i < layout->buttons->len; ++i) {
    rows[rc_layout_button(layout, i)->row] += use->buttons[i];
    all += use->buttons[i];
    touched += use->buttons[i] > 0;
  }
  GString *idle = g_string_new(NULL);
  guint busiest = 0;
  for (guint row = 0; row < layout->rows->len; ++row) {
    busiest = rows[row] > rows[busiest] ? row : busiest;
    if (!rows[row]) {
      g_string_append_printf(idle, "%s%s", idle->len ? ", " : "", (const char *)g_ptr_array_index(layout->rows, row));
    }
  }
  const guint buttons = rc_layout_count_buttons(layout);
  char *used = touched == buttons ? g_strdup_printf("All %u", buttons) : g_strdup_printf("%u of %u", touched, buttons);
  char *text = g_strdup_printf("%s buttons are used; the %s row has %d %% of the button time%s%s", used,
                               (const char *)g_ptr_array_index(layout->rows, busiest),
                               all ? (int)(100.0 * (double)rows[busiest] / (double)all + 0.5) : 0,
                               idle->len ? "; never touched: " : "", idle->str);
  g_string_free(idle, TRUE);
  g_free(used);
  g_free(rows);
  return text;
}

// ----------------------------------------------------------------------------------------------- what to press instead

// A chord of the repertoire that has no button of its own, over all its requests.
typedef struct {
  RcChord chord;
  RcAnswer answer;
  guint64 times;
  RcTicks ticks;
} Lack;

static gboolean
same_lack(const Lack *lack, const RcChord *chord, const RcAnswer *answer)
{
  return lack->chord.root == chord->root && lack->chord.bass == chord->bass && lack->chord.degrees == chord->degrees &&
         lack->answer.verdict == answer->verdict &&
         (answer->verdict == RC_IMPOSSIBLE || rc_grip_equal(&lack->answer.grip, &answer->grip));
}

static void
add_lack(GArray *lacks, const RcRollEntry *entry, const RcAnswer *answer)
{
  for (guint i = 0; i < lacks->len; ++i) {
    Lack *lack = &g_array_index(lacks, Lack, i);
    if (same_lack(lack, &entry->request.chord, answer)) {
      lack->times += entry->chords;
      lack->ticks += entry->ticks;
      return;
    }
  }
  const Lack lack = { entry->request.chord, *answer, entry->chords, entry->ticks };
  g_array_append_val(lacks, lack);
}

static int
compare_lacks(gconstpointer a, gconstpointer b)
{
  const Lack *left = a;
  const Lack *right = b;
  if (left->ticks != right->ticks) {
    return left->ticks < right->ticks ? 1 : -1;
  }
  if (left->chord.root != right->chord.root) {
    return left->chord.root - right->chord.root;
  }
  return left->chord.degrees < right->chord.degrees ? -1 : left->chord.degrees > right->chord.degrees;
}

static GArray *
find_lacks(const RcRoll *roll, guint index)
{
  GArray *lacks = g_array_new(FALSE, FALSE, sizeof(Lack));
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcAnswer answer = rc_roll_answer(roll, i, index);
    if (answer.verdict != RC_NATIVE) {
      add_lack(lacks, rc_roll_entry(roll, i), &answer);
    }
  }
  g_array_sort(lacks, compare_lacks);
  return lacks;
}

static char *
lack_text(const RcLayout *layout, const Lack *lack)
{
  if (lack->answer.verdict == RC_IMPOSSIBLE) {
    return g_strdup("no grip within one hand will do");
  }
  const RcKey none = { RC_MODE_NONE, 0 };
  char *press = rc_grip_describe(layout, &lack->answer.grip, RC_SIGNS_UNICODE);
  char *added = rc_tones_text(&lack->chord, none, lack->answer.grading.foreign, RC_SIGNS_UNICODE, " ");
  char *missing = rc_tones_text(&lack->chord, none, lack->answer.grading.missing, RC_SIGNS_UNICODE, " ");
  char *text =
    g_strdup_printf("%s%s%s%s%s", press, *added ? "; adds " : "", added, *missing ? "; without " : "", missing);
  g_free(press);
  g_free(added);
  g_free(missing);
  return text;
}

static void
draw_lack(cairo_t *cairo, double x, double y, double width, const RcLayout *layout, const Lack *lack)
{
  char *name = rc_chord_name(&lack->chord, RC_SIGNS_UNICODE);
  char *times = g_strdup_printf("%" U64 " ×", lack->times);
  char *text = lack_text(layout, lack);
  const char *grade = lack->answer.verdict == RC_IMPOSSIBLE ? "none" : rc_verdict_name(lack->answer.verdict);
  rc_draw_line(cairo, RC_TEXT_STRONG, RC_ALIGN_LEFT, x, y, 64, name);
  rc_draw_line(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, x + 66, y, 30, grade);
  rc_draw_line(cairo, RC_TEXT_BODY, RC_ALIGN_RIGHT, x + 92, y, 36, times);
  rc_draw_line(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, x + 136, y, width - 136, text);
  g_free(name);
  g_free(times);
  g_free(text);
}

// As many of the chords without a button of their own as the box holds, those held longest first, in two columns.
static void
draw_lacks(cairo_t *cairo, RcBox box, const RcRoll *roll, guint index)
{
  const double line = 14.5;
  const double column = (box.width - 18) / 2;
  GArray *lacks = find_lacks(roll, index);
  const guint rows = (guint)MAX((box.height - 22) / line, 1);
  const guint n = MIN(lacks->len, 2 * rows);
  char *heading = !lacks->len      ? g_strdup("Every chord has a button of its own.")
                  : n < lacks->len ? g_strdup_printf("What to press instead: the %u of %u stand-ins held longest "
                                                     "(`rowcall tune` lists all)",
                                                     n, lacks->len)
                                   : g_strdup("What to press instead, longest held first");
  rc_draw_line(cairo, RC_TEXT_HEADING, RC_ALIGN_LEFT, box.x, box.y, box.width, heading);
  for (guint i = 0; i < n; ++i) {
    const double x = box.x + (i < rows ? 0 : column + 18);
    draw_lack(cairo, x, box.y + 22 + (i % rows) * line, column, rc_roll_layout(roll, index),
              &g_array_index(lacks, Lack, i));
  }
  g_free(heading);
  g_array_unref(lacks);
}

static void
draw_use_page(cairo_t *cairo, RcBox box, const RcRoll *roll, guint index)
{
  const RcLayout *layout = rc_roll_layout(roll, index);
  RcUse *use = rc_use_new(roll, index);
  char *title = use_finding(layout, use);
  char *notes =
    g_strdup_printf("%s: %s. Each chord is played by its best grip. On a button: percent of the playing time it "
                    "is held. Right and below: each row's and column's share of all button time. The bellows are "
                    "above, the chin is to the right; C, E and A♭ are ringed, as they are marked to be felt.",
                    layout->name, layout->title);
  const double height = rc_keyboard_height(layout, box.width, TRUE);
  double y = box.y + rc_draw_text(cairo, RC_TEXT_TITLE, RC_ALIGN_LEFT, box.x, box.y, box.width, title) + 4;
  y += rc_draw_text(cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, box.x, y, box.width, notes) + 16;
  rc_draw_keyboard(cairo, (RcBox){ box.x, y, box.width, height }, layout, use);
  y += height + 8;
  draw_lacks(cairo, (RcBox){ box.x, y, box.width, box.y + box.height - y }, roll, index);
  rc_use_free(use);
  g_free(title);
  g_free(notes);
}

// ------------------------------------------------------------------------------------------------------ the document

static void
finish_page(const RcCanvas *canvas, const RcImprint *imprint, guint number)
{
  char *text = g_strdup_printf("%u", number);
  const double y = page_height - margin + 10;
  rc_draw_line(canvas->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, margin, y, text_width / 2,
               imprint->title ? imprint->title : "");
  rc_draw_line(canvas->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, margin + text_width / 2, y, text_width / 2, text);
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

GBytes *
rc_report_pdf(const RcRoll *roll, const RcIntake *intake, guint chosen, const RcImprint *imprint, GError **error)
{
  const RcBox box = { margin, margin, text_width, page_height - 2 * margin };
  const guint n = rc_roll_n_layouts(roll);
  guint page = 1;
  RcCanvas canvas = rc_canvas_start(RC_PICTURE_PDF, page_width, page_height, imprint);
  add_bookmark(&canvas, "Coverage of all sizes", page);
  for (guint from = 0; from < n; from += BARS_A_PAGE) {
    draw_coverage_page(canvas.cairo, box, roll, intake, from, MIN(from + BARS_A_PAGE, n));
    finish_page(&canvas, imprint, page++);
  }
  char *bookmark = g_strdup_printf("Button use on the %s", rc_roll_layout(roll, chosen)->name);
  add_bookmark(&canvas, bookmark, page);
  draw_use_page(canvas.cairo, box, roll, chosen);
  finish_page(&canvas, imprint, page);
  g_free(bookmark);
  return rc_canvas_finish(&canvas, error);
}
