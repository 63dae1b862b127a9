// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The report people print: its sections, one after the other.

#include "answer.h"
#include "card.h"
#include "coverage.h"
#include "format.h"
#include "heat.h"
#include "lacks.h"
#include "sheet.h"
#include "sizes.h"

#include "rowcall/error.h"

#include <string.h>

#define U64 G_GUINT64_FORMAT

// In points.
static const double section_gap = 14;

typedef struct {
  const RcReport *report;
  const RcReportLook *look;
  RcPages pages;
  const RcLayout *layout; // the chosen one
} Document;

static const char *const section_names[] = { "answer", "coverage", "gains",  "sizes", "chords",
                                             "heat",   "index",    "sheets", "rules", NULL };

gboolean
rc_sections_parse(const char *text, guint *sections, const char **unknown)
{
  char **words = g_strsplit(text, ",", -1);
  const char *place = text;
  gboolean good = TRUE;
  *sections = 0;
  for (char **word = words; *word && good; ++word) {
    guint i = 0;
    while (section_names[i] && strcmp(section_names[i], *word) != 0) {
      ++i;
    }
    good = section_names[i] || !strcmp(*word, "all");
    *sections |= !good ? 0 : section_names[i] ? 1U << i : RC_SECTIONS_ALL;
    *unknown = place;
    place += strlen(*word) + 1;
  }
  g_strfreev(words);
  return good;
}

// Begins a section: on a page of its own, with its finding as title.
static void
begin_section(Document *d, const char *bookmark, const char *title, const char *notes, const char *key)
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

static RcBox
box_of(const Document *d, double height)
{
  return (RcBox){ d->pages.left, d->pages.y, d->pages.text_width, height };
}

// ------------------------------------------------------------------------------------------------------- the answer

static void
draw_answer(Document *d)
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
  rc_coverage_draw(p->canvas.cairo, box_of(d, chart), r->roll, RC_SHARE_TIME, r->chosen);
  p->y += chart + 6;
  rc_pages_text(p, RC_TEXT_NOTE, notes);
  g_ptr_array_unref(paragraphs);
  g_free(headline);
  g_free(rests);
  g_free(notes);
}

// --------------------------------------------------------------------------------------------------- all the numbers

enum { NAME_WIDTH = 62, LINE_HEIGHT = 12 };

static void
draw_cell(const RcPages *p, RcTextStyle style, double right, double width, const char *text)
{
  rc_draw_text(p->canvas.cairo, style, RC_ALIGN_RIGHT, p->left + right - width, p->y, width, 1, text);
}

// A line of a table: a name and `n` cells to its right.
static void
draw_line(RcPages *p, RcTextStyle style, const char *name, char *const *cells, guint n)
{
  const double width = (p->text_width - NAME_WIDTH) / n;
  rc_draw_text(p->canvas.cairo, style, RC_ALIGN_LEFT, p->left, p->y, NAME_WIDTH, 1, name);
  for (guint i = 0; i < n; ++i) {
    draw_cell(p, style, NAME_WIDTH + (i + 1) * width, width - 4, cells[i]);
  }
  p->y += LINE_HEIGHT;
}

static void
draw_count_lines(Document *d, const char *what, gboolean time)
{
  static const char *const names[] = { "total", "native", "A", "B", "C", "D", "E", "none", "unread" };
  const RcRoll *roll = d->report->roll;
  rc_pages_need(&d->pages, (rc_roll_n_layouts(roll) + 2) * LINE_HEIGHT + 8, "Coverage");
  draw_line(&d->pages, RC_TEXT_STRONG, what, (char *const *)names, G_N_ELEMENTS(names));
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    char *cells[1 + RC_N_VERDICTS];
    const RcCounts counts = rc_roll_counts(roll, i);
    cells[0] = time ? rc_quarters_text(rc_counts_ticks(&counts)) : g_strdup_printf("%" U64, rc_counts_chords(&counts));
    for (guint v = 0; v < RC_N_VERDICTS; ++v) {
      cells[1 + v] = time ? rc_quarters_text(counts.ticks[v]) : g_strdup_printf("%" U64, counts.chords[v]);
    }
    draw_line(&d->pages, RC_TEXT_NOTE, rc_roll_layout(roll, i)->name, cells, G_N_ELEMENTS(cells));
    for (guint c = 0; c < G_N_ELEMENTS(cells); ++c) {
      g_free(cells[c]);
    }
  }
  d->pages.y += 10;
}

static void
draw_tune_bar(const RcPages *p, const RcCounts *counts, double x, double width)
{
  const double all = (double)MAX(counts->tunes, 1);
  cairo_t *cairo = p->canvas.cairo;
  rc_shade(cairo, rc_verdict_shade(RC_RICHER));
  cairo_rectangle(cairo, x, p->y + 1, width * (double)counts->playable / all, LINE_HEIGHT - 4);
  cairo_fill(cairo);
  rc_shade(cairo, rc_verdict_shade(RC_NATIVE));
  cairo_rectangle(cairo, x, p->y + 1, width * (double)counts->native / all, LINE_HEIGHT - 4);
  cairo_fill(cairo);
  cairo_set_source_rgb(cairo, 0.35, 0.35, 0.35);
  cairo_set_line_width(cairo, 0.5);
  cairo_rectangle(cairo, x, p->y + 1, width, LINE_HEIGHT - 4);
  cairo_stroke(cairo);
}

static void
draw_tune_lines(Document *d)
{
  static const char *const names[] = { "total", "native", "playable", "", "", "" };
  const RcRoll *roll = d->report->roll;
  RcPages *p = &d->pages;
  rc_pages_need(p, (rc_roll_n_layouts(roll) + 2) * LINE_HEIGHT + 8, "Coverage");
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left + p->text_width / 2 + 36, p->y, p->text_width / 2,
               1, "of all tunes: dark native, lighter playable");
  draw_line(p, RC_TEXT_STRONG, "tunes", (char *const *)names, G_N_ELEMENTS(names));
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    char *cells[] = { g_strdup_printf("%" U64, counts.tunes),
                      g_strdup_printf("%" U64, counts.native),
                      g_strdup_printf("%" U64, counts.playable),
                      g_strdup(""),
                      g_strdup(""),
                      g_strdup("") };
    draw_tune_bar(p, &counts, p->left + p->text_width / 2 + 36, p->text_width / 2 - 36);
    draw_line(p, RC_TEXT_NOTE, rc_roll_layout(roll, i)->name, cells, G_N_ELEMENTS(cells));
    for (guint c = 0; c < G_N_ELEMENTS(cells); ++c) {
      g_free(cells[c]);
    }
  }
}

static void
draw_coverage(Document *d)
{
  const RcRoll *roll = d->report->roll;
  char *title = rc_coverage_finding(roll);
  begin_section(
    d, "Coverage of all sizes", title,
    "The same chords counted one by one, however long they last, and then all numbers: chords as played, quarter "
    "notes as played, whole tunes. Each line adds up to its total.",
    NULL);
  const double chart = rc_coverage_height(rc_roll_n_layouts(roll), d->pages.text_width);
  rc_coverage_draw(d->pages.canvas.cairo, box_of(d, chart), roll, RC_SHARE_CHORDS, d->report->chosen);
  d->pages.y += chart + section_gap;
  draw_tune_lines(d);
  d->pages.y += 10;
  draw_count_lines(d, "chords", FALSE);
  draw_count_lines(d, "quarters", TRUE);
  g_free(title);
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
draw_gains(Document *d)
{
  enum { BAR_WIDTH = 120, TEXT_X = 134 };
  RcPages *p = &d->pages;
  const RcRoll *roll = d->report->roll;
  guint from = 0;
  const guint64 most = MAX(most_gained(roll, &from), 1);
  char *title = gains_finding(roll);
  begin_section(
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
draw_sizes(Document *d)
{
  enum { ACROSS = 2 };
  const RcReport *r = d->report;
  const RcTarget target = { RC_TARGET_TIME, 0.95 };
  char *title = rc_sizes_finding(r->sweep, r->sweep_roll, target);
  begin_section(d, "All sizes there could be", title, rc_landscape_words, NULL);
  const double height = rc_landscape_height(r->sweep, ACROSS);
  rc_landscape_draw(d->pages.canvas.cairo, box_of(d, height), ACROSS, r->sweep, r->sweep_roll, target);
  d->pages.y += height;
  rc_draw_scale(d->pages.canvas.cairo, d->pages.left, d->pages.y, 0, "0", "50", "100 %",
                "share of the playing time carried at the accepted grade");
  g_free(title);
}

// --------------------------------------------------------------------------------------------------------- the chords

enum { MOST_CARDS = 40 };

static RcCard
make_card(const Document *d, const RcLack *lack)
{
  RcFingering ways[RC_FINGERINGS];
  const RcPlanner *planner = d->report->planners[d->report->chosen];
  const RcRouteSettings *settings = rc_planner_settings(planner);
  const RcGrip *grip = &lack->answer.grip;
  char percent[8];
  const RcCounts counts = rc_roll_counts(d->report->roll, d->report->chosen);
  char *name = rc_lack_name(lack, " = ");
  rc_percent_text(percent, lack->ticks, rc_counts_ticks(&counts));
  char *heading =
    g_strdup_printf("%s   %s · %s %% · %" U64 " ×", name, rc_verdict_word(lack->answer.verdict), percent, lack->times);
  g_free(name);
  if (lack->answer.verdict == RC_IMPOSSIBLE) {
    char *text =
      g_strdup_printf("Nothing on this keyboard comes near enough%s%s.", *lack->where ? " " : "", lack->where);
    return rc_card(d->layout, heading, text, NULL, NULL, NULL);
  }
  const gboolean held = rc_fingers_ways(&settings->fingers, d->layout, grip, ways) > 0;
  const RcFingering none = { 0 };
  const RcFingering *fingers = held ? &ways[0] : &none;
  RcSecondBass second = { FALSE, 0, 0 };
  if (held) {
    second = rc_second_bass(&settings->fingers, d->layout, settings->hand.reach, &lack->chord, grip, fingers);
  }
  char *words = rc_lack_text(d->layout, lack);
  const char *hint = held ? rc_card_hint(lack->answer.verdict, rc_grip_span(d->layout, grip))
                          : "The fingers do not reach it all: `rowcall tune` takes another grip.";
  char *text = g_strdup_printf("%s.%s%s", words, hint ? " " : "", hint ? hint : "");
  g_free(words);
  return rc_card(d->layout, heading, text, grip, fingers, &second);
}

static char *
chords_finding(const Document *d, const GArray *lacks)
{
  char percent[8];
  const RcCounts counts = rc_roll_counts(d->report->roll, d->report->chosen);
  RcTicks ticks = 0;
  for (guint i = 0; i < lacks->len; ++i) {
    ticks += g_array_index(lacks, RcLack, i).ticks;
  }
  if (!lacks->len) {
    return g_strdup_printf("Every chord that could be read has a button of its own on the %s", d->layout->name);
  }
  rc_percent_text(percent, ticks, rc_counts_ticks(&counts));
  return g_strdup_printf("%s %% of the playing time have no button of their own on the %s", percent, d->layout->name);
}

static void
draw_chords(Document *d)
{
  static const char key[] =
    "Dark buttons are held together, with their fingers, 2 index to 5 little finger; a thick ring is "
    "the second bass of an alternating bass. Bellows above, chin to the right. Do not force a "
    "stretch; stop if it hurts, rest, and ask a teacher or a doctor.";
  static const char heading[] = "Chords without a button of their own";
  GArray *lacks = rc_lacks_find(d->report->roll, d->report->chosen);
  GArray *cards = rc_cards_new();
  char *title = chords_finding(d, lacks);
  begin_section(
    d, heading, title,
    "Those held longest first, with the best grip in place of each, its share of the playing time, and how often "
    "it comes.",
    key);
  for (guint i = 0; i < MIN(lacks->len, MOST_CARDS); ++i) {
    const RcCard card = make_card(d, &g_array_index(lacks, RcLack, i));
    g_array_append_val(cards, card);
  }
  rc_cards_draw(&d->pages, cards, heading);
  if (lacks->len > MOST_CARDS) {
    char *more = g_strdup_printf("%u more are held for less; `rowcall tune` lists all.", lacks->len - MOST_CARDS);
    rc_pages_paragraph(&d->pages, RC_TEXT_BODY, more, heading);
    g_free(more);
  }
  g_array_unref(cards);
  g_array_unref(lacks);
  g_free(title);
}

// ----------------------------------------------------------------------------------------------------- the button use

// The chosen size, the next one, and the largest.
static guint
heat_layouts(const Document *d, guint layouts[3])
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
draw_heat(Document *d)
{
  enum { MOST_HEIGHT = 190 };
  RcPages *p = &d->pages;
  guint layouts[3];
  RcTicks most = 0;
  const guint n = heat_layouts(d, layouts);
  char *title = rc_heat_finding(d->report->uses[d->report->chosen]);
  begin_section(
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
    rc_draw_keyboard(p->canvas.cairo, box_of(d, height), use.layout, use.played ? &use : NULL);
    p->y += height + section_gap;
    g_free(finding);
    g_free(line);
  }
  if (most) {
    RcUse scale = *d->report->uses[layouts[0]];
    scale.most = most;
    rc_draw_use_scale(p->canvas.cairo, p->left, p->y, &scale);
  }
  g_free(title);
}

// ----------------------------------------------------------------------------------------------------------- the index

enum { KEY_WIDTH = 46, ROW_HEIGHT = 12 };

typedef struct {
  double title_width;
  double cell_width;
} IndexGrid;

static IndexGrid
index_grid(const Document *d)
{
  const guint n = rc_roll_n_layouts(d->report->roll);
  const double cell = MIN(20, (d->pages.text_width - 150) / n);
  return (IndexGrid){ d->pages.text_width - KEY_WIDTH - n * cell, cell };
}

static void
draw_index_head(Document *d, const IndexGrid *grid)
{
  RcPages *p = &d->pages;
  cairo_t *cairo = p->canvas.cairo;
  const double height = 44;
  for (guint i = 0; i < rc_roll_n_layouts(d->report->roll); ++i) {
    cairo_save(cairo);
    cairo_translate(cairo, p->left + grid->title_width + KEY_WIDTH + i * grid->cell_width + 2, p->y + height);
    cairo_rotate(cairo, -G_PI / 2);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, 0, 0, height, 1, rc_roll_layout(d->report->roll, i)->name);
    cairo_restore(cairo);
  }
  p->y += height + 3;
}

// The worst verdict of a tune, as one letter.
static RcVerdict
worst_of(const RcCounts *counts)
{
  RcVerdict worst = RC_NATIVE;
  for (guint v = 0; v < RC_N_VERDICTS; ++v) {
    worst = counts->chords[v] ? (RcVerdict)v : worst;
  }
  return worst;
}

static void
draw_verdict_cell(const Document *d, double x, double width, const RcCounts *counts)
{
  static const char *const letters[] = { "", "A", "B", "C", "D", "E", "×", "?" };
  const RcVerdict worst = worst_of(counts);
  const double shade = counts->tunes ? rc_verdict_shade(worst) : -1;
  cairo_t *cairo = d->pages.canvas.cairo;
  cairo_rectangle(cairo, x, d->pages.y, width - 1, ROW_HEIGHT - 1);
  if (shade >= 0) {
    rc_shade(cairo, shade);
    cairo_fill(cairo);
  } else {
    cairo_set_source_rgb(cairo, 0.8, 0.8, 0.8);
    cairo_set_line_width(cairo, 0.4);
    cairo_stroke(cairo);
  }
  if (counts->tunes && *letters[worst]) {
    rc_draw_label(cairo, 7, x + (width - 1) / 2, d->pages.y + (ROW_HEIGHT - 1) / 2.0, width, shade, letters[worst]);
  }
}

static void
draw_index_row(Document *d, const IndexGrid *grid, guint number, RcCounts *counts)
{
  RcPages *p = &d->pages;
  const RcTune *tune = d->report->tunes[number];
  const RcRollSettings settings = rc_roll_get_settings(d->report->roll);
  const RcKey key = rc_tune_setting(tune, 0)->key;
  char *name = key.mode == RC_MODE_NONE ? g_strdup("") : rc_key_name(key, RC_SIGNS_UNICODE);
  rc_panel_counts(d->report->panel, &settings, tune, counts);
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left, p->y + 1, grid->title_width - 6, 1, tune->title);
  rc_draw_text(p->canvas.cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, p->left + grid->title_width, p->y + 1, KEY_WIDTH - 4, 1,
               name);
  for (guint i = 0; i < rc_roll_n_layouts(d->report->roll); ++i) {
    draw_verdict_cell(d, p->left + grid->title_width + KEY_WIDTH + i * grid->cell_width, grid->cell_width, &counts[i]);
  }
  if (d->look->sections & RC_SECTION_SHEETS) {
    char *place = g_strdup_printf("tune%u", number + 1);
    rc_pages_link(p, (RcBox){ p->left, p->y, grid->title_width, ROW_HEIGHT }, place);
    g_free(place);
  }
  p->y += ROW_HEIGHT;
  g_free(name);
}

static void
draw_index(Document *d)
{
  static const char heading[] = "All tunes";
  const IndexGrid grid = index_grid(d);
  const RcCounts chosen = rc_roll_counts(d->report->roll, d->report->chosen);
  RcCounts *counts = g_new(RcCounts, rc_roll_n_layouts(d->report->roll));
  char *title = g_strdup_printf("%" U64 " of %" U64 " tunes can be played whole on the %s", chosen.playable,
                                chosen.tunes, d->layout->name);
  begin_section(
    d, heading, title,
    "For each tune and size the worst verdict among its chords: dark without a letter, every chord has its own "
    "button; A to E the grade of the worst stand-in; × some chord has no grip; ? some chord could not be read; "
    "empty: a tune without chords.",
    NULL);
  rc_pages_name(&d->pages, "index");
  draw_index_head(d, &grid);
  for (guint i = 0; i < d->report->n_tunes; ++i) {
    if (rc_pages_room(&d->pages) < ROW_HEIGHT) {
      rc_pages_need(&d->pages, ROW_HEIGHT, heading);
      draw_index_head(d, &grid);
    }
    draw_index_row(d, &grid, i, counts);
  }
  g_free(counts);
  g_free(title);
}

// --------------------------------------------------------------------------------------------------------- the sheets

static void
draw_sheet(Document *d, RcRoute *route, guint number)
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
draw_sheets(Document *d)
{
  RcRoute *route = rc_route_new(d->report->planners[d->report->chosen]);
  for (guint i = 0; i < d->report->n_tunes; ++i) {
    draw_sheet(d, route, i);
  }
  rc_route_free(route);
}

// ---------------------------------------------------------------------------------------------------------- the rules

static const char *const rules[] = {
  "What is counted",
  "The music as played: parts in their order, repeats unrolled; a chord held or written again right after itself is "
  "one chord "
  "of the whole length. Native, A to E, none and unread add up to all chords and to the whole playing time in quarter "
  "notes. "
  "N.C. counts nowhere. A tune is native when all its chords are, playable when each has the accepted grade or better.",
  "The verdicts",
  "Pitch classes decide. Native: a bass button of the written bass and one chord button of the chord's own root and "
  "kind. "
  "A same: nothing missing, nothing foreign. B richer: nothing missing, the foreign tones are usual tensions of this "
  "chord "
  "that belong to the key. C leaner: fifth, ninth, eleventh, thirteenth, sixth or seventh missing, nothing foreign. D "
  "bare: "
  "the third missing in a chord of less than a second, or where the melody has it. E borrowed: two tones or more in "
  "common, "
  "foreign tones usual. None: no grip of one bass and up to two chord buttons within the hand fits any of these. In a "
  "chord "
  "with a sixth or seventh the perfect fifth never counts as missing: the trade's own seventh button leaves it out.",
  "Tempo",
  "Where a tune states no tempo, the usual one of its rhythm or else of its meter is assumed; that table is common "
  "practice.",
  "The order of grips",
  "Best verdict, fewer foreign tones, fewer missing tones, higher likeness, fewer buttons, smaller reach, nearer to C "
  "and G, "
  "lowest row and column: a total order, so that nothing depends on chance.",
  "Likeness",
  "Spectral pitch-class similarity: A. J. Milne, W. A. Sethares, R. Laney, D. B. Sharp (2011), Modelling the "
  "similarity of "
  "pitch collections with expectation tensors, J. Mathematics and Music 5(1); parameters of A. J. Milne, S. Holland "
  "(2016), "
  "Empirically testing Tonnetz, voice-leading, and spectral models of perceived triadic distance, J. Mathematics and "
  "Music "
  "10(1): 12 harmonics, roll-off 0.75, 6.83 cents, 1200 bins; each chord with its bass sounded once more.",
  "Perceived root",
  "R. Parncutt (1988), Revision of Terhardt's psychoacoustical model of the root(s) of a musical chord, Music "
  "Perception 6(1).",
  "The hand",
  "Different fingers in the order of the buttons, none further apart than its span; spans, wide grips (over 70 mm) and "
  "leaps "
  "(over 60 mm after a chord of less than a second) are from memory. Routes are exact: sound first, then wide grips, "
  "then "
  "travel.",
  "Colours",
  "One sequential scale, ColorBrewer's YlGnBu with nine classes, safe for colour-blind eyes and even in grey.",
};

static void
draw_rules(Document *d)
{
  static const char heading[] = "Rules and sources";
  begin_section(
    d, heading, heading,
    "So that a stranger can check any number here. The program's README holds the same rules in full; its tests "
    "hold them against published tables.",
    NULL);
  for (guint i = 0; i + 1 < G_N_ELEMENTS(rules); i += 2) {
    rc_pages_need(&d->pages, 12 + rc_text_height(RC_TEXT_BODY, d->pages.text_width, 0, rules[i + 1]) + 8, heading);
    rc_pages_text(&d->pages, RC_TEXT_STRONG, rules[i]);
    rc_pages_text(&d->pages, RC_TEXT_BODY, rules[i + 1]);
    d->pages.y += 8;
  }
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%s: %s.", d->layout->name, d->layout->title);
  for (guint i = 0; i < d->layout->sources->len; ++i) {
    g_string_append_printf(text, " %s.", (const char *)g_ptr_array_index(d->layout->sources, i));
  }
  rc_pages_need(&d->pages, 12 + rc_text_height(RC_TEXT_BODY, d->pages.text_width, 0, text->str), heading);
  rc_pages_text(&d->pages, RC_TEXT_STRONG, "The keyboard");
  rc_pages_text(&d->pages, RC_TEXT_BODY, text->str);
  g_string_free(text, TRUE);
}

// ------------------------------------------------------------------------------------------------------- the document

static char *
running_title(const RcReportLook *look)
{
  const char *title = look->title ? look->title : "Can this keyboard carry these tunes?";
  return look->player ? g_strdup_printf("%s · %s", title, look->player) : g_strdup(title);
}

GBytes *
rc_report_document(const RcReport *report, const RcReportLook *look, RcPicture picture, const RcImprint *imprint,
                   GError **error)
{
  static void (*const draw[])(Document *) = { draw_answer, draw_coverage, draw_gains,  draw_sizes, draw_chords,
                                              draw_heat,   draw_index,    draw_sheets, draw_rules };
  char *running = running_title(look);
  Document d = { report, look, rc_pages_start(picture, look->paper, running, imprint),
                 rc_roll_layout(report->roll, report->chosen) };
  for (guint i = 0; i < G_N_ELEMENTS(draw); ++i) {
    if (look->sections & 1U << i) {
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
