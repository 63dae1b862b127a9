// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/canvas.h"

#include "base/visible.h"
#include "draw/written.h"
#include "report/pdf_structure.h"
#include "report/png_chunks.h"
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
start_pdf(GByteArray *bytes, double width, double height, const RcImprint *imprint, const char *title)
{
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(append_bytes, bytes, width, height);
  cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_4); // for rc_pdf_complete()
  set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title);
  set_metadata(surface, CAIRO_PDF_METADATA_AUTHOR, imprint->author);
  set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "rowcall");
  set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, imprint->date ? imprint->date : "");
  return surface;
}

static cairo_surface_t *
start_svg(GByteArray *bytes, double width, double height, GString *written)
{
  cairo_surface_t *surface = cairo_svg_surface_create_for_stream(append_bytes, bytes, width, height);
  cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_USER); // it is nested in ours
  rc_text_written(surface, written);
  return surface;
}

gboolean
rc_draws_pictures(void)
{
  return TRUE;
}

// Empty where nothing is known.
static char *
full_title(const RcImprint *imprint, const char *found)
{
  const char *title = imprint->title ? imprint->title : "";
  const char *between = g_str_has_suffix(title, "?") ? " " : *title ? ": " : "";
  char *full = g_strconcat(title, found ? between : "", found, NULL);
  char *shown = rc_visible(full);
  g_free(full);
  return shown;
}

RcCanvas
rc_canvas_start(RcPicture picture, double width, double height, const RcImprint *imprint, const char *found)
{
  RcCanvas canvas = { .bytes = g_byte_array_new(),
                      .picture = picture,
                      .width = width,
                      .height = height,
                      .title = full_title(imprint, found),
                      .description = g_string_new(NULL),
                      .written = g_string_new(NULL),
                      .entries = g_ptr_array_new_with_free_func(g_free) };
  switch (picture) {
  case RC_PICTURE_PDF:
    canvas.surface = start_pdf(canvas.bytes, width, height, imprint, *canvas.title ? canvas.title : NULL);
    break;
  case RC_PICTURE_SVG:
    canvas.surface = start_svg(canvas.bytes, width, height, canvas.written);
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
  rc_canvas_begin(&canvas, "Document");
  return canvas;
}

// ------------------------------------------------------------------------------------------------------------- parts

void
rc_canvas_begin(RcCanvas *canvas, const char *role)
{
  cairo_tag_begin(canvas->cairo, role, NULL);
}

void
rc_canvas_end(RcCanvas *canvas, const char *role)
{
  cairo_tag_end(canvas->cairo, role);
}

void
rc_canvas_begin_figure(RcCanvas *canvas, const char *text)
{
  char *shown = rc_visible(text);
  g_string_append_printf(canvas->description, "%s%s", canvas->description->len ? " " : "", shown);
  g_ptr_array_add(canvas->entries, rc_pdf_alternative(shown));
  rc_canvas_begin(canvas, "Figure");
  g_free(shown);
}

void
rc_canvas_begin_heading(RcCanvas *canvas, const char *scope)
{
  g_ptr_array_add(canvas->entries, rc_pdf_heading_scope(scope));
  rc_canvas_begin(canvas, "TH");
}

double
rc_canvas_text(RcCanvas *canvas, RcTextStyle style, double x, double y, double width, guint lines, const char *text)
{
  const char *role = style == RC_TEXT_TITLE ? "H1" : style == RC_TEXT_HEADING ? "H2" : "P";
  rc_canvas_begin(canvas, role);
  const double height = rc_draw_text(canvas->cairo, style, RC_ALIGN_LEFT, x, y, width, lines, text);
  rc_canvas_end(canvas, role);
  return height;
}

// --------------------------------------------------------------------------------------------------------- finishing

// Puts what cairo drew and what is written over it into one SVG that says what it is.
static GByteArray *
compose_svg(const RcCanvas *canvas)
{
  const char *drawn = g_strstr_len((const char *)canvas->bytes->data, (gssize)canvas->bytes->len, "<svg");
  const gsize length = canvas->bytes->len - (gsize)(drawn - (const char *)canvas->bytes->data);
  char width[G_ASCII_DTOSTR_BUF_SIZE];
  char height[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(width, sizeof width, "%.2f", canvas->width);
  g_ascii_formatd(height, sizeof height, "%.2f", canvas->height);
  char *head = g_markup_printf_escaped("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                                       "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%spt\" height=\"%spt\" "
                                       "viewBox=\"0 0 %s %s\" xml:lang=\"en\" role=\"img\" "
                                       "aria-labelledby=\"title description\">\n"
                                       "<title id=\"title\">%s</title>\n<desc id=\"description\">%s</desc>\n",
                                       width, height, width, height, canvas->title, canvas->description->str);
  GString *svg = g_string_new(head);
  g_string_append_len(svg, drawn, (gssize)length);
  g_string_append_printf(svg, "<g font-family=\"DejaVu Sans, sans-serif\">\n%s</g>\n</svg>\n", canvas->written->str);
  GByteArray *bytes = g_byte_array_sized_new((guint)svg->len);
  g_byte_array_append(bytes, (const guint8 *)svg->str, (guint)svg->len);
  g_string_free(svg, TRUE);
  g_free(head);
  return bytes;
}

static void
complete(RcCanvas *canvas)
{
  GByteArray *composed = NULL;
  switch (canvas->picture) {
  case RC_PICTURE_PDF:
    rc_pdf_complete(canvas->bytes, canvas->title, canvas->entries);
    break;
  case RC_PICTURE_SVG:
    composed = compose_svg(canvas);
    g_byte_array_unref(canvas->bytes);
    canvas->bytes = composed;
    break;
  case RC_PICTURE_PNG:
    rc_png_complete(canvas->bytes, 72 * PNG_SCALE, canvas->title, canvas->description->str);
    break;
  }
}

static cairo_status_t
end_surface(RcCanvas *canvas)
{
  rc_canvas_end(canvas, "Document");
  cairo_status_t status = cairo_status(canvas->cairo);
  cairo_destroy(canvas->cairo);
  if (!status && canvas->picture == RC_PICTURE_PNG) {
    status = cairo_surface_write_to_png_stream(canvas->surface, append_bytes, canvas->bytes);
  }
  cairo_surface_finish(canvas->surface);
  status = status ? status : cairo_surface_status(canvas->surface);
  cairo_surface_destroy(canvas->surface);
  return status;
}

GBytes *
rc_canvas_finish(RcCanvas *canvas, GError **error)
{
  const cairo_status_t status = end_surface(canvas);
  if (status) {
    rc_fail(error, RC_ERROR_IO, (RcPlace){ NULL, 0, 0 }, "drawing failed: %s", cairo_status_to_string(status));
  } else {
    complete(canvas);
  }
  g_free(canvas->title);
  g_string_free(canvas->description, TRUE);
  g_string_free(canvas->written, TRUE);
  g_ptr_array_unref(canvas->entries);
  if (status) {
    g_byte_array_unref(canvas->bytes);
    return NULL;
  }
  return g_byte_array_free_to_bytes(canvas->bytes);
}
