// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The use of the buttons.

#include "report/document_pages.h"

#include "report/heat_text.h"

static const double section_gap = 14; // points

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

void
rc_section_heat(RcDocument *d)
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
