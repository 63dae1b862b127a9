// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Keyboards with the use of their buttons as a picture.

#include "report/caption_text.h"
#include "report/heat_boards.h"
#include "report/heat_text.h"

#include "report/format.h"

#include <string.h>

static const char continued[] = "Use of the buttons";

// What is drawn: one use, or two beside each other.
typedef struct {
  const RcUse *use;
  const RcHeatBeside *beside; // NULL where it is one
  const RcRoll *roll;
} Content;

static void
draw_head(RcPages *p, const char *title, const char *text)
{
  rc_pages_begin(p, NULL);
  rc_pages_text(p, RC_TEXT_TITLE, title);
  p->y += 4;
  rc_pages_text(p, RC_TEXT_BODY, text);
  p->y += 5;
}

static void
draw_note(RcPages *p, char *text)
{
  if (*text) {
    rc_pages_paragraph(p, RC_TEXT_NOTE, text, continued);
    p->y += 3;
  }
  g_free(text);
}

// -------------------------------------------------------------------------------------------------------------- one

static void
draw_one(RcPages *p, const RcUse *use, const RcRoll *roll)
{
  char *finding = rc_heat_finding(use);
  char *notes = rc_heat_notes(use);
  draw_head(p, finding, notes);
  rc_heat_draw_key(p, &use->counts);
  rc_heat_draw_use(p, use->layout->name, use);
  draw_note(p, rc_names_caption(use->layout));
  draw_note(p, rc_timing_text(roll));
  g_free(finding);
  g_free(notes);
}

// -------------------------------------------------------------------------------------------------------------- two

static void
draw_own(RcPages *p, const RcHeatPair *pair, guint side)
{
  enum { BUTTONS = 16, TUNES = 4 };
  const RcHeatSide *here = &pair->sides[side];
  char *heading = g_strdup_printf("Pressed in %s alone%s", side ? "B" : "A", here->n_own ? "" : ": nothing");
  // NOLINTNEXTLINE(readability-suspicious-call-argument): the text is a heading
  rc_pages_paragraph(p, RC_TEXT_STRONG, heading, continued);
  for (guint i = 0; i < MIN(here->n_own, BUTTONS); ++i) {
    draw_note(p, rc_heat_own_text(here, i, TUNES, RC_SIGNS_UNICODE));
  }
  draw_note(p, rc_heat_rest_text(here, BUTTONS, RC_SIGNS_UNICODE));
  p->y += 6;
  g_free(heading);
}

static void
draw_shifts(RcPages *p, const RcHeatPair *pair)
{
  if (pair->n_shifts) {
    rc_pages_paragraph(p, RC_TEXT_STRONG, "Pressed in both, but most differently", continued);
  }
  for (guint i = 0; i < pair->n_shifts; ++i) {
    draw_note(p, rc_heat_shift_text(pair, i, RC_SIGNS_UNICODE));
  }
  p->y += pair->n_shifts ? 6 : 0;
}

// A note of both sides, or one of each where they differ.
static void
draw_side_notes(RcPages *p, char *const notes[2])
{
  if (!strcmp(notes[0], notes[1])) {
    draw_note(p, g_strdup(notes[0]));
  } else {
    draw_note(p, *notes[0] ? g_strdup_printf("A: %s", notes[0]) : g_strdup(""));
    draw_note(p, *notes[1] ? g_strdup_printf("B: %s", notes[1]) : g_strdup(""));
  }
}

static void
draw_captions(RcPages *p, const RcHeatBeside *beside)
{
  char *captions[2];
  char *timings[2];
  for (guint i = 0; i < 2; ++i) {
    captions[i] = rc_names_caption(beside->pair->sides[i].use->layout);
    timings[i] = rc_timing_text(beside->rolls[i]);
  }
  draw_side_notes(p, captions);
  draw_side_notes(p, timings);
  for (guint i = 0; i < 2; ++i) {
    g_free(captions[i]);
    g_free(timings[i]);
  }
}

static void
draw_two(RcPages *p, const RcHeatBeside *beside)
{
  const RcHeatPair *pair = beside->pair;
  char *finding = rc_heat_pair_finding(pair);
  char *parts = rc_heat_parts_text(pair, RC_SIGNS_UNICODE);
  char *text = g_strconcat(*parts ? parts : "Both touch the same rows and columns.",
                           " Each tune is played along its best route.", NULL);
  draw_head(p, finding, text);
  rc_heat_draw_key(p, &pair->sides[0].use->counts);
  for (guint i = 0; i < 2; ++i) {
    char *heading = rc_heat_side_text(beside, i);
    rc_heat_draw_use(p, heading, pair->sides[i].use);
    g_free(heading);
  }
  if (pair->alike) {
    rc_heat_draw_difference(p, pair);
  }
  draw_own(p, pair, 0);
  draw_own(p, pair, 1);
  draw_shifts(p, pair);
  draw_captions(p, beside);
  g_free(finding);
  g_free(parts);
  g_free(text);
}

// -------------------------------------------------------------------------------------------------------- the picture

static void
draw_content(RcPages *p, const Content *content)
{
  if (content->beside) {
    draw_two(p, content->beside);
  } else {
    draw_one(p, content->use, content->roll);
  }
}

static double
content_width(const Content *content)
{
  double width = rc_heat_board_width(content->use->layout);
  for (guint i = 0; content->beside && i < 2; ++i) {
    width = MAX(width, rc_heat_board_width(content->beside->pair->sides[i].use->layout));
  }
  return width;
}

// A page as large as what is on it, which is found by drawing it once in vain.
static RcPages
start_page(const Content *content, RcPicture picture, const char *running, const RcImprint *imprint, const char *found)
{
  enum { EDGES = 92, FOOT = 46, ENDLESS = 100000 };
  const double width = MAX(content_width(content) + EDGES, RC_PAGE_SHORT);
  RcPages trial = rc_pages_start_sized(RC_PICTURE_PDF, width, ENDLESS, running, imprint, found);
  draw_content(&trial, content);
  const double height = trial.y + FOOT;
  GBytes *nothing = rc_pages_finish(&trial, NULL);
  g_bytes_unref(nothing);
  return rc_pages_start_sized(picture, width, height, running, imprint, found);
}

static RcPages
start(const Content *content, RcPaper paper, RcPicture picture, const char *running, const RcImprint *imprint,
      const char *found)
{
  if (picture != RC_PICTURE_PDF) {
    return start_page(content, picture, running, imprint, found);
  }
  RcPages pages = rc_pages_start(picture, paper, running, imprint, found);
  rc_pages_lay(&pages, content_width(content) > rc_pages_text_width(paper, FALSE));
  return pages;
}

static GBytes *
draw(const Content *content, const char *running, const char *found, RcPaper paper, RcPicture picture,
     const RcImprint *imprint, GError **error)
{
  RcPages pages = start(content, paper, picture, running, imprint, found);
  draw_content(&pages, content);
  return rc_pages_finish(&pages, error);
}

GBytes *
rc_report_heat_picture(const RcUse *use, const RcRoll *roll, RcPaper paper, RcPicture picture, const RcImprint *imprint,
                       GError **error)
{
  const Content content = { use, NULL, roll };
  char *found = rc_heat_finding(use);
  GBytes *bytes = draw(&content, continued, found, paper, picture, imprint, error);
  g_free(found);
  return bytes;
}

GBytes *
rc_report_heat_pair_picture(const RcHeatBeside *beside, RcPaper paper, RcPicture picture, const RcImprint *imprint,
                            GError **error)
{
  const Content content = { beside->pair->sides[0].use, beside, NULL };
  char *found = rc_heat_pair_finding(beside->pair);
  GBytes *bytes = draw(&content, continued, found, paper, picture, imprint, error);
  g_free(found);
  return bytes;
}
