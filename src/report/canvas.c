// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/canvas.h"

#include "base/visible.h"
#include "rowcall/error.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>

enum { PNG_SCALE = 2 }; // dots a point

static cairo_status_t
append_bytes(void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append(closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

// What is not known is not said.
static void
set_metadata(cairo_surface_t *surface, cairo_pdf_metadata_t which, const char *text)
{
  if (text) {
    char *shown = rc_visible(text);
    cairo_pdf_surface_set_metadata(surface, which, shown);
    g_free(shown);
  }
}

static cairo_surface_t *
start_pdf(GByteArray *bytes, double width, double height, const RcImprint *imprint)
{
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(append_bytes, bytes, width, height);
  set_metadata(surface, CAIRO_PDF_METADATA_TITLE, imprint->title);
  set_metadata(surface, CAIRO_PDF_METADATA_AUTHOR, imprint->author);
  set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "rowcall");
  set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, imprint->date ? imprint->date : "");
  return surface;
}

gboolean
rc_draws_pictures(void)
{
  return TRUE;
}

RcCanvas
rc_canvas_start(RcPicture picture, double width, double height, const RcImprint *imprint)
{
  RcCanvas canvas = { g_byte_array_new(), picture, NULL, NULL };
  switch (picture) {
  case RC_PICTURE_PDF:
    canvas.surface = start_pdf(canvas.bytes, width, height, imprint);
    break;
  case RC_PICTURE_SVG:
    canvas.surface = cairo_svg_surface_create_for_stream(append_bytes, canvas.bytes, width, height);
    break;
  case RC_PICTURE_PNG:
    canvas.surface =
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)(width * PNG_SCALE), (int)(height * PNG_SCALE));
    break;
  }
  canvas.cairo = cairo_create(canvas.surface);
  if (picture == RC_PICTURE_PNG) {
    cairo_scale(canvas.cairo, PNG_SCALE, PNG_SCALE);
  }
  if (picture != RC_PICTURE_PDF) {
    cairo_set_source_rgb(canvas.cairo, 1, 1, 1);
    cairo_paint(canvas.cairo);
  }
  return canvas;
}

GBytes *
rc_canvas_finish(RcCanvas *canvas, GError **error)
{
  cairo_status_t status = cairo_status(canvas->cairo);
  cairo_destroy(canvas->cairo);
  if (!status && canvas->picture == RC_PICTURE_PNG) {
    status = cairo_surface_write_to_png_stream(canvas->surface, append_bytes, canvas->bytes);
  }
  cairo_surface_finish(canvas->surface);
  status = status ? status : cairo_surface_status(canvas->surface);
  cairo_surface_destroy(canvas->surface);
  if (status) {
    rc_fail(error, RC_ERROR_IO, (RcPlace){ NULL, 0, 0 }, "drawing failed: %s", cairo_status_to_string(status));
    g_byte_array_unref(canvas->bytes);
    return NULL;
  }
  return g_byte_array_free_to_bytes(canvas->bytes);
}
