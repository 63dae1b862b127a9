// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The report people print: its sections, one after the other.

#include "report/document_pages.h"

#include "report/answer_text.h"
#include "report/coverage_picture.h"
#include "report/format.h"
#include "report/heat_text.h"
#include "report/sheet_pages.h"
#include "report/sizes_picture.h"

#include "rowcall/error.h"

#include <string.h>

#define U64 G_GUINT64_FORMAT

// In points.
static const double section_gap = 14;

static const char *const section_names[] = { "answer", "coverage", "gains",  "sizes", "chords",
                                             "heat",   "index",    "sheets", "rules", NULL };

gboolean
rc_sections_parse(const char *text, guint *sections, char **unknown)
{
  char **words = g_strsplit(text, ",", -1);
  gboolean good = TRUE;
  *sections = 0;
  for (char **word = words; *word && good; ++word) {
    guint i = 0;
    while (section_names[i] && strcmp(section_names[i], *word) != 0) {
      ++i;
    }
    good = section_names[i] || !strcmp(*word, "all");
    *sections |= !good ? 0 : section_names[i] ? 1U << i : RC_SECTIONS_ALL;
    *unknown = good ? NULL : g_strdup(*word);
  }
  g_strfreev(words);
  return good;
}

void
rc_document_begin(RcDocument *d, const char *bookmark, const char *title, const char *notes, const char *key)
{
  rc_pages_begin(&d->pages, key);
  rc_pages_bookmark(&d->pages, bookmark);
  rc_pages_text(&d->pages, RC_TEXT_TITLE, title);
  d->pages.y += 4;
  if (notes) {
    rc_pages_text(&d->pages, RC_TEXT_BODY, notes);
  }
  d->pages.y += section_gap;
}

RcBox
rc_document_box(const RcDocument *d, double height)
{
  return (RcBox){ d->pages.left, d->pages.y, d->pages.text_width, height };
}

// ------------------------------------------------------------------------------------------------------- the answer

static void
draw_answer(RcDocument *d)
{
  RcPages *p = &d->pages;
  const RcReport *r = d->report;
  char *headline = rc_answer_headline(r);
  char *rests = rc_coverage_notes(r->roll, r->intake);
  char *notes = g_strdup_printf("The triangle marks the %s. %s", d->layout->name, rests);
  GPtrArray *paragraphs = rc_answer_paragraphs(r);
  rc_pages_begin(p, NULL);
  rc_pages_bookmark(p, "The answer");
  if (d->look->title) {
    rc_pages_text(p, RC_TEXT_STRONG, d->look->title);
  }
  if (d->look->player) {
    char *line = g_strdup_printf("for %s", d->look->player);
    rc_pages_text(p, RC_TEXT_BODY, line);
    g_free(line);
  }
  p->y += 6;
  rc_pages_text(p, RC_TEXT_TITLE, headline);
  p->y += 8;
  for (guint i = 0; i + 1 < paragraphs->len; i += 2) {
    rc_pages_text(p, RC_TEXT_STRONG, g_ptr_array_index(paragraphs, i));
    rc_pages_text(p, RC_TEXT_BODY, g_ptr_array_index(paragraphs, i + 1));
    p->y += 6;
  }
  p->y += 6;
  const double notes_height = rc_text_height(RC_TEXT_NOTE, p->text_width, 0, notes) + 6;
  const double chart =
    MIN(rc_coverage_height(rc_roll_n_layouts(r->roll), p->text_width), rc_pages_room(p) - notes_height);
  rc_coverage_draw(p->canvas.cairo, rc_document_box(d, chart), r->roll, RC_SHARE_TIME, r->chosen);
  p->y += chart + 6;
  rc_pages_text(p, RC_TEXT_NOTE, notes);
  g_ptr_array_unref(paragraphs);
  g_free(headline);
  g_free(rests);
  g_free(notes);
}

// ---------------------------------------------------------------------------------------------------------- the gains

static guint64
most_gained(const RcRoll *roll, guint *from)
{
  guint64 most = 0;
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcGain gain = rc_roll_gain(roll, i);
    if (gain.next >= 0 && gain.tunes > most) {
      most = gain.tunes;
      *from = i;
    }
  }
  return most;
}

static char *
gains_finding(const RcRoll *roll)
{
  guint from = 0;
  const guint64 most = most_gained(roll, &from);
  if (!most) {
    return g_strdup("No next size makes one more tune playable");
  }
  const RcGain gain = rc_roll_gain(roll, from);
  return g_strdup_printf("The step that buys most tunes is from %s to %s: %" U64 " more",
                         rc_roll_layout(roll, from)->name, rc_roll_layout(roll, (guint)gain.next)->name, most);
}

static void
draw_gains(RcDocument *d)
{
  enum { BAR_WIDTH = 120, TEXT_X = 134 };
  RcPages *p = &d->pages;
  const RcRoll *roll = d->report->roll;
  guint from = 0;
  const guint64 most = MAX(most_gained(roll, &from), 1);
  char *title = gains_finding(roll);
  rc_document_begin(
    d, "What the next size buys", title,
    "From each size to the next one that has all its buttons: tunes that become playable, playing time that "
    "becomes good enough, and the fewest chords that explain half of these tunes. Bars: tunes gained.",
    NULL);
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    char *text = rc_gain_text(roll, i, RC_SIGNS_UNICODE);
    if (!text) {
      continue;
    }
    const RcGain gain = rc_roll_gain(roll, i);
    const double width = p->text_width - TEXT_X;
    rc_pages_need(p, MAX(rc_text_height(RC_TEXT_BODY, width, 0, text), 12) + 6, "What the next size buys");
    rc_shade(p->canvas.cairo, rc_verdict_shade(RC_RICHER));
    cairo_rectangle(p->canvas.cairo, p->left, p->y + 2, BAR_WIDTH * (double)gain.tunes / (double)most, 9);
    cairo_fill(p->canvas.cairo);
    const double height =
      rc_draw_text(p->canvas.cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, p->left + TEXT_X, p->y, width, 0, text);
    p->y += MAX(height, 12) + 6;
    g_free(text);
  }
  g_free(title);
}

// ------------------------------------------------------------------------------------------------------ the landscape

static void
draw_sizes(RcDocument *d)
{
  enum { ACROSS = 2, SCALE_HEIGHT = 30 };
  const RcReport *r = d->report;
  const RcTarget target = { RC_TARGET_TIME, 0.95 };
  char *title = rc_sizes_finding(r->sweep, r->sweep_roll, target);
  rc_document_begin(d, "All sizes there could be", title, rc_landscape_words, NULL);
  const double height = MIN(rc_landscape_height(r->sweep, ACROSS), rc_pages_room(&d->pages) - SCALE_HEIGHT);
  rc_landscape_draw(d->pages.canvas.cairo, rc_document_box(d, height), ACROSS, r->sweep, r->sweep_roll, target);
  d->pages.y += height;
  rc_draw_scale(d->pages.canvas.cairo, d->pages.left, d->pages.y, 0, "0", "50", "100 %",
                "share of the playing time carried at the accepted grade");
  g_free(title);
}

// ----------------------------------------------------------------------------------------------------- the button use

// The chosen size, the next one, and the largest.
static guint
heat_layouts(const RcDocument *d, guint layouts[3])
{
  guint n = 0;
  const RcGain gain = rc_roll_gain(d->report->roll, d->report->chosen);
  const guint last = rc_roll_n_layouts(d->report->roll) - 1;
  layouts[n++] = d->report->chosen;
  if (gain.next >= 0) {
    layouts[n++] = (guint)gain.next;
  }
  guint largest = 0;
  for (guint i = 0; i <= last; ++i) {
    const guint buttons = rc_layout_count_buttons(rc_roll_layout(d->report->roll, i));
    largest = buttons > rc_layout_count_buttons(rc_roll_layout(d->report->roll, largest)) ? i : largest;
  }
  if (largest != layouts[0] && largest != layouts[n - 1]) {
    layouts[n++] = largest;
  }
  return n;
}

static void
draw_heat(RcDocument *d)
{
  enum { MOST_HEIGHT = 190 };
  RcPages *p = &d->pages;
  guint layouts[3];
  RcTicks most = 0;
  const guint n = heat_layouts(d, layouts);
  char *found = rc_heat_finding(d->report->uses[d->report->chosen]);
  char *title = g_strdup_printf("%s: %s", d->layout->name, found);
  rc_document_begin(
    d, "Use of the buttons", title,
    "Each tune along its best route, all keyboards shaded on one scale. On a button: percent of all playing time "
    "it is held. Right and below: each row's and column's share of all button time. Bellows above, chin to the "
    "right; C, E and A♭ are ringed, as they are marked to be felt.",
    NULL);
  for (guint i = 0; i < n; ++i) {
    most = MAX(most, d->report->uses[layouts[i]]->most);
  }
  for (guint i = 0; i < n; ++i) {
    RcUse use = *d->report->uses[layouts[i]];
    use.most = most;
    const double height = MIN(rc_keyboard_height(use.layout, p->text_width, use.played > 0), MOST_HEIGHT);
    char *finding = i ? rc_heat_finding(&use) : g_strdup(use.layout->title);
    char *line = g_strdup_printf("%s: %s.", use.layout->name, finding);
    rc_pages_need(p, height + 30, "Use of the buttons");
    rc_pages_text(p, RC_TEXT_STRONG, line);
    p->y += 4;
    rc_draw_keyboard(p->canvas.cairo, rc_document_box(d, height), use.layout, use.played ? &use : NULL);
    p->y += height + section_gap;
    g_free(finding);
    g_free(line);
  }
  if (most) {
    RcUse scale = *d->report->uses[layouts[0]];
    scale.most = most;
    rc_draw_use_scale(p->canvas.cairo, p->left, p->y, &scale);
  }
  g_free(found);
  g_free(title);
}

// --------------------------------------------------------------------------------------------------------- the sheets

static void
draw_sheet(RcDocument *d, RcRoute *route, guint number)
{
  RcPlanner *planner = d->report->planners[d->report->chosen];
  const RcTune *tune = d->report->tunes[number];
  rc_route_plan(route, tune);
  RcChart *chart = rc_chart_new(planner, route, NULL, tune);
  char *place = d->look->sections & RC_SECTION_INDEX ? g_strdup_printf("tune%u", number + 1) : NULL;
  rc_sheet_draw(&d->pages, planner, tune, chart, place);
  g_free(place);
  rc_chart_free(chart);
}

static void
draw_sheets(RcDocument *d)
{
  RcRoute *route = rc_route_new(d->report->planners[d->report->chosen]);
  for (guint i = 0; i < d->report->n_tunes && !d->pages.full; ++i) {
    draw_sheet(d, route, i);
  }
  rc_route_free(route);
}

// ------------------------------------------------------------------------------------------------------- the document

static char *
running_title(const RcReportLook *look)
{
  const char *title = look->title ? look->title : "Can this keyboard carry these tunes?";
  return look->player ? g_strdup_printf("%s · %s", title, look->player) : g_strdup(title);
}

// What can be said where no chord could be read, or none is asked for.
static const guint when_nothing_is_judged = RC_SECTION_ANSWER | RC_SECTION_INDEX | RC_SECTION_RULES;

static gboolean
is_judged(const RcReport *report)
{
  const RcCounts counts = rc_roll_counts(report->roll, report->chosen);
  return rc_counts_read(&counts) > 0;
}

GBytes *
rc_report_document(const RcReport *report, const RcReportLook *look, RcPicture picture, const RcImprint *imprint,
                   GError **error)
{
  static void (*const draw[])(RcDocument *) = { draw_answer,       rc_document_coverage, draw_gains,
                                                draw_sizes,        rc_document_chords,   draw_heat,
                                                rc_document_index, draw_sheets,          rc_document_rules };
  char *running = running_title(look);
  RcDocument d = { report, look, rc_pages_start(picture, look->paper, running, imprint),
                   rc_roll_layout(report->roll, report->chosen) };
  const guint sections = look->sections & (is_judged(report) ? RC_SECTIONS_ALL : when_nothing_is_judged);
  for (guint i = 0; i < G_N_ELEMENTS(draw); ++i) {
    if (sections & 1U << i) {
      draw[i](&d);
    }
  }
  const guint pages = d.pages.number;
  GBytes *bytes = rc_pages_finish(&d.pages, error);
  if (bytes && picture != RC_PICTURE_PDF && pages > 1) {
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ NULL, 0, 0 },
            "the report has %u pages, a picture has one; name a .pdf, or choose one section with --sections", pages);
    g_clear_pointer(&bytes, g_bytes_unref);
  }
  g_free(running);
  return bytes;
}
