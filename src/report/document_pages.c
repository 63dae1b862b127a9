// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The report people print: its sections, one after the other.

#include "report/document_pages.h"

#include "report/answer_text.h"
#include "rowcall/error.h"

// In points.
static const double section_gap = 14;
static const double between_sections = 28;

static const double least_room = 0.28; // of the page, to begin a section on it

// A section of the report.
typedef struct {
  void (*draw)(RcDocument *d);
  gboolean empty; // has something to say where no chord could be read
} Section;

#define SECTION(name, usual, empty) { rc_section_##name, empty },
static const Section sections[] = { RC_EACH_SECTION(SECTION) };
#undef SECTION

gboolean
rc_document_has(const RcDocument *d, void (*draw)(RcDocument *))
{
  guint i = 0;
  while (sections[i].draw != draw) {
    ++i;
  }
  return (d->look->sections & 1U << i) != 0;
}

// On the page begun where a good part of it is left, else on the next.
static void
begin_below(RcPages *p, const char *key)
{
  const gboolean upright = p->width < p->height; // what goes on over the next pages keeps its width
  const gboolean roomy = upright && rc_pages_room(p) > p->height * least_room;
  if (p->number && roomy && !key && !p->key) {
    p->y += between_sections;
  } else {
    rc_pages_begin(p, key);
  }
}

void
rc_document_begin(RcDocument *d, const char *bookmark, const char *title, const char *notes, const char *key)
{
  begin_below(&d->pages, key);
  rc_pages_bookmark(&d->pages, bookmark);
  rc_pages_text(&d->pages, RC_TEXT_TITLE, title);
  d->pages.y += 4;
  if (notes) {
    rc_pages_text(&d->pages, RC_TEXT_BODY, notes);
  }
  d->pages.y += section_gap;
}

void
rc_document_reserve(RcDocument *d, double height)
{
  d->pages.y = d->pages.number && rc_pages_room(&d->pages) < height ? d->pages.height : d->pages.y;
}

RcBox
rc_document_box(const RcDocument *d, double height)
{
  return (RcBox){ d->pages.left, d->pages.y, d->pages.text_width, height };
}

// ------------------------------------------------------------------------------------------------------- the document

static char *
running_title(const RcReportLook *look)
{
  const char *title = look->title ? look->title : "Can this keyboard carry these tunes?";
  return look->player ? g_strdup_printf("%s · %s", title, look->player) : g_strdup(title);
}

static gboolean
is_judged(const RcReport *report)
{
  const RcCounts counts = report->comparison->sizes[report->chosen].counts;
  return rc_counts_read(&counts) > 0;
}

GBytes *
rc_report_document(const RcReport *report, const RcReportLook *look, RcPicture picture, const RcImprint *imprint,
                   GError **error)
{
  char *running = running_title(look);
  char *headline = rc_answer_headline(report);
  RcDocument d = { report, look, rc_pages_start(picture, look->paper, running, imprint, headline),
                   report->comparison->sizes[report->chosen].layout, NULL };
  const gboolean judged = is_judged(report);
  for (guint i = 0; i < G_N_ELEMENTS(sections); ++i) {
    if (look->sections & 1U << i && (judged || sections[i].empty)) {
      sections[i].draw(&d);
    }
  }
  const guint pages = d.pages.number;
  GBytes *bytes = rc_pages_finish(&d.pages, error);
  if (bytes && picture != RC_PICTURE_PDF && pages > 1) {
    rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ NULL, 0, 0 },
            "the report has %u pages, a picture has one; name a .pdf, or choose one section with --sections", pages);
    g_clear_pointer(&bytes, g_bytes_unref);
  }
  g_free(d.sheet_pages);
  g_free(running);
  g_free(headline);
  return bytes;
}
