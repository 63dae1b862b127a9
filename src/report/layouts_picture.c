// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// One layout drawn to scale.

#include "report/caption_text.h"
#include "report/layouts_text.h"

#include "report/canvas.h"
#include "rowcall/draw.h"

#include <math.h>

static const double margin = 42;
static const double least_width = 420; // for heading and caption
static const double most_width = 842 - 2 * 42;

static char *
caption_text(const RcLayout *layout)
{
  char *caption = rc_keyboard_caption(layout);
  char *sounds = rc_layout_sounds_text(layout, RC_SIGNS_UNICODE);
  char *text = g_strconcat(caption, *sounds ? " " : "", sounds, NULL);
  g_free(caption);
  g_free(sounds);
  return text;
}

GBytes *
rc_report_layout_picture(const RcLayout *layout, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const double width = CLAMP(rc_keyboard_width(layout), least_width, most_width);
  char *heading = g_strdup_printf("%s: %s", layout->name, layout->title);
  char *caption = caption_text(layout);
  const double keyboard = rc_keyboard_height(layout, width);
  const double top = rc_text_height(RC_TEXT_HEADING, width, 6, heading) + 12;
  const double bottom = rc_text_height(RC_TEXT_NOTE, width, 0, caption) + 12;
  char *text = g_strdup_printf("The buttons of the keyboard %s in their places, with their names.", layout->name);
  RcCanvas canvas =
    rc_canvas_start(picture, width + 2 * margin, ceil(top + keyboard + bottom) + 2 * margin, imprint, NULL);
  rc_canvas_begin(&canvas, "H1");
  rc_draw_text(canvas.cairo, RC_TEXT_HEADING, RC_ALIGN_LEFT, margin, margin, width, 6, heading);
  rc_canvas_end(&canvas, "H1");
  rc_canvas_begin_figure(&canvas, text);
  rc_draw_keyboard(canvas.cairo, (RcBox){ margin, margin + top, width, keyboard }, layout);
  rc_canvas_end(&canvas, "Figure");
  rc_canvas_text(&canvas, RC_TEXT_NOTE, margin, margin + top + keyboard + 12, width, 0, caption);
  cairo_show_page(canvas.cairo);
  g_free(heading);
  g_free(caption);
  g_free(text);
  return rc_canvas_finish(&canvas, error);
}
