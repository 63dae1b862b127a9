// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offers by price and by what they carry. Each label is put at the best free place near its mark: clear of marks, other
// labels and their leaders, which its own does not cross, and, where that can be, of the line.

#include "rowcall/draw.h"

#include <math.h>
#include <string.h>

#include "draw/lines.h"

static const double axis_width = 34;
static const double axis_height = 30;
static const double key_height = 20;
static const double headroom = 38; // above 100 %, for labels
static const double strip_width = 172;
static const double strip_gap = 12;
static const double mark_radius = 4.5;
static const double label_gap = 3;   // between mark and label
static const double label_apart = 6; // of labels beside each other
static const double most_label = 210;

static const double dark = 0.9;
static const double pale = 0.3;

typedef struct {
  double x0;
  double y0;
  double x1;
  double y1;
} Segment;

typedef struct {
  RcBox box;
  guint index; // of its mark
  const RcOfferPoint *point;
} Name;

typedef struct {
  cairo_t *cairo;
  RcBox plot;     // where prices are known; no width where none is
  RcBox strip;    // where they are not; no width where all are
  double most;    // price at the right edge
  double least;   // share at the lower edge
  double *x;      // of each mark
  double *y;      // of each mark
  GArray *marks;  // of RcBox
  GArray *labels; // of RcBox: those of the figure, then names and what is kept clear beside them
  GArray *lines;  // of Segment: those of the figure, then leaders
  GArray *names;  // of Name: what found a place
  guint n_own_labels;
  guint n_own;    // lines of the figure
  guint asides;   // how many places further aside a name may go
  gboolean loose; // a leader may cross others, and marks
} Figure;

// ---------------------------------------------------------------------------------------------------------- geometry

static gboolean
boxes_meet(RcBox a, RcBox b)
{
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

static gboolean
box_holds(RcBox outer, RcBox inner)
{
  return inner.x >= outer.x && inner.y >= outer.y && inner.x + inner.width <= outer.x + outer.width &&
         inner.y + inner.height <= outer.y + outer.height;
}

// Narrows the part `from` to `to` of a segment to where it runs between two sides of a box.
static void
clip(double start, double length, double low, double high, double *from, double *to)
{
  if (length == 0) {
    *to = start > low && start < high ? *to : -1;
    return;
  }
  const double a = (low - start) / length;
  const double b = (high - start) / length;
  *from = MAX(*from, MIN(a, b));
  *to = MIN(*to, MAX(a, b));
}

static gboolean
segment_meets(Segment s, RcBox box)
{
  double from = 0;
  double to = 1;
  clip(s.x0, s.x1 - s.x0, box.x, box.x + box.width, &from, &to);
  clip(s.y0, s.y1 - s.y0, box.y, box.y + box.height, &from, &to);
  return from < to;
}

static gboolean
meets_boxes(const GArray *boxes, RcBox box)
{
  for (guint i = 0; i < boxes->len; ++i) {
    if (boxes_meet(g_array_index(boxes, RcBox, i), box)) {
      return TRUE;
    }
  }
  return FALSE;
}

static guint
count_crossed(const GArray *lines, guint from, guint to, RcBox box)
{
  guint n = 0;
  for (guint i = from; i < to; ++i) {
    n += segment_meets(g_array_index(lines, Segment, i), box) ? 1 : 0;
  }
  return n;
}

static gboolean
crosses_boxes(const GArray *boxes, Segment s)
{
  for (guint i = 0; i < boxes->len; ++i) {
    if (segment_meets(s, g_array_index(boxes, RcBox, i))) {
      return TRUE;
    }
  }
  return FALSE;
}

// Whether two segments cross within both.
static gboolean
segments_cross(Segment a, Segment b)
{
  const double ax = a.x1 - a.x0;
  const double ay = a.y1 - a.y0;
  const double bx = b.x1 - b.x0;
  const double by = b.y1 - b.y0;
  const double across = ax * by - ay * bx;
  const double along_a = ((b.x0 - a.x0) * by - (b.y0 - a.y0) * bx) / across;
  const double along_b = ((b.x0 - a.x0) * ay - (b.y0 - a.y0) * ax) / across;
  return across != 0 && along_a > 0 && along_a < 1 && along_b > 0 && along_b < 1;
}

static guint
count_crossings(const GArray *lines, guint from, guint to, Segment s)
{
  guint n = 0;
  for (guint i = from; i < to; ++i) {
    n += segments_cross(g_array_index(lines, Segment, i), s) ? 1 : 0;
  }
  return n;
}

// ------------------------------------------------------------------------------------------------------------ scales

// The least of 1, 2, 5, 10, 20 ... that divides @p most into at most @p parts.
static double
nice_step(double most, guint parts)
{
  static const double steps[] = { 1, 2, 5 };
  for (double power = 0.01;; power *= 10) {
    for (guint i = 0; i < G_N_ELEMENTS(steps); ++i) {
      if (steps[i] * power * parts >= most) {
        return steps[i] * power;
      }
    }
  }
}

static void
set_scales(Figure *f, const RcOfferPoint *points, guint n)
{
  double most = 0;
  double least = 0.9;
  for (guint i = 0; i < n; ++i) {
    most = MAX(most, points[i].price);
    least = MIN(least, points[i].share - 0.02);
  }
  f->most = most > 0 ? most * 1.08 : 1;
  f->least = MAX(floor(least * 10) / 10, 0);
}

static double
y_of(const Figure *f, double share)
{
  return f->plot.y + headroom + (f->plot.height - headroom) * (1 - share) / (1 - f->least);
}

static double
x_of(const Figure *f, double price)
{
  return f->plot.x + f->plot.width * price / f->most;
}

static void
draw_shares(const Figure *f, RcBox box, const char *heading)
{
  const double right = box.x + box.width;
  const int step = f->least > 0.75 ? 5 : 10;
  for (int percent = (int)(f->least * 100 + 0.5); percent <= 100; percent += step) {
    const double y = y_of(f, percent / 100.0);
    char text[8];
    g_snprintf(text, sizeof text, "%d %%", percent);
    rc_draw_pen(f->cairo, 0.85, 0.4);
    rc_draw_line(f->cairo, box.x + axis_width, y, right, y);
    rc_draw_text(f->cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, box.x, y - 5, axis_width - 5, 1, text);
  }
  rc_draw_text(f->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, box.x, f->plot.y - 8, box.width / 2, 1, heading);
}

static void
draw_prices(const Figure *f, const char *heading)
{
  const double bottom = f->plot.y + f->plot.height;
  const double step = nice_step(f->most, 9);
  for (guint i = 0; f->plot.width > 0 && i * step <= f->most; ++i) {
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    const double x = x_of(f, i * step);
    g_ascii_formatd(text, sizeof text, "%.10g", i * step);
    rc_draw_pen(f->cairo, 0.85, 0.4);
    rc_draw_line(f->cairo, x, f->plot.y, x, bottom);
    rc_draw_text(f->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, x - 30, bottom + 3, 60, 1, text);
  }
  if (f->plot.width > 0) {
    rc_draw_text(f->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, f->plot.x, bottom + 15, f->plot.width, 1, heading);
  }
  if (f->strip.width > 0) {
    rc_draw_pen(f->cairo, 0.5, 0.6);
    cairo_rectangle(f->cairo, f->strip.x, f->strip.y, f->strip.width, f->strip.height);
    cairo_stroke(f->cairo);
    rc_draw_text(f->cairo, RC_TEXT_NOTE, RC_ALIGN_CENTRE, f->strip.x, bottom + 3, f->strip.width, 1, "price unknown");
  }
}

static void
draw_target(Figure *f, RcBox box, double target, const char *text)
{
  static const double dashes[] = { 4, 3 };
  if (target < f->least) {
    return;
  }
  const double y = y_of(f, target);
  rc_draw_pen(f->cairo, 0.3, 0.8);
  cairo_set_dash(f->cairo, dashes, G_N_ELEMENTS(dashes), 0);
  const Segment line = { box.x + axis_width, y, box.x + box.width, y };
  rc_draw_line(f->cairo, line.x0, line.y0, line.x1, line.y1);
  cairo_set_dash(f->cairo, NULL, 0, 0);
  g_array_append_val(f->lines, line);
  if (f->plot.width > 0) { // kept clear of labels
    const RcBox place = { f->plot.x + 3, y + 1, rc_text_width(RC_TEXT_NOTE, text) + 2, 10 };
    rc_draw_text(f->cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, place.x, place.y, place.width, 1, text);
    g_array_append_val(f->labels, place);
  }
}

// ------------------------------------------------------------------------------------------------------------- marks

static void
draw_mark(cairo_t *cairo, double x, double y, RcOfferMark mark)
{
  cairo_new_path(cairo);
  cairo_arc(cairo, x, y, mark == RC_OFFER_UNBEATEN ? mark_radius : mark_radius - 0.7, 0, 2 * G_PI);
  if (mark == RC_OFFER_UNJUDGED) {
    cairo_set_source_rgb(cairo, 1, 1, 1);
  } else {
    rc_shade(cairo, mark == RC_OFFER_UNBEATEN ? dark : pale);
  }
  cairo_fill_preserve(cairo);
  cairo_set_line_width(cairo, mark == RC_OFFER_UNJUDGED ? 1.4 : 0.6);
  if (mark == RC_OFFER_BEATEN) {
    cairo_set_source_rgb(cairo, 0.45, 0.45, 0.45);
  } else {
    rc_shade(cairo, dark);
  }
  cairo_stroke(cairo);
}

static RcBox
mark_box(double x, double y)
{
  return (RcBox){ x - mark_radius, y - mark_radius, 2 * mark_radius, 2 * mark_radius };
}

// In the strip, where x says nothing, marks stand beside each other.
static void
place_marks(Figure *f, const RcOfferPoint *points, guint n)
{
  for (guint i = 0; i < n; ++i) {
    f->y[i] = y_of(f, points[i].share);
    f->x[i] = points[i].price > 0 ? x_of(f, points[i].price) : f->strip.x + 2 * mark_radius;
    while (!(points[i].price > 0) && meets_boxes(f->marks, mark_box(f->x[i], f->y[i])) &&
           f->x[i] + 4 * mark_radius < f->strip.x + f->strip.width) {
      f->x[i] += 2.5 * mark_radius;
    }
    const RcBox box = mark_box(f->x[i], f->y[i]);
    g_array_append_val(f->marks, box);
  }
}

static void
join_unbeaten(Figure *f, const RcOfferPoint *points, guint n)
{
  guint last = n;
  rc_shade(f->cairo, dark);
  cairo_set_line_width(f->cairo, 1);
  for (guint i = 0; i < n; ++i) {
    if (points[i].mark != RC_OFFER_UNBEATEN) {
      continue;
    }
    if (last < n) {
      const Segment joined = { f->x[last], f->y[last], f->x[i], f->y[i] };
      rc_draw_line(f->cairo, joined.x0, joined.y0, joined.x1, joined.y1);
      g_array_append_val(f->lines, joined);
    }
    last = i;
  }
  f->n_own = f->lines->len;
}

// ------------------------------------------------------------------------------------------------------------ labels

// The leader from a mark to the nearest side of its label.
static Segment
leader_to(RcBox label, double x, double y)
{
  const double near_x = CLAMP(x, label.x, label.x + label.width);
  const double near_y = CLAMP(y, label.y, label.y + label.height);
  const double distance = hypot(near_x - x, near_y - y);
  const double start = distance > 0 ? MIN(mark_radius / distance, 1) : 0;
  return (Segment){ x + (near_x - x) * start, y + (near_y - y) * start, near_x, near_y };
}

static double
length_of(Segment s)
{
  return hypot(s.x1 - s.x0, s.y1 - s.y0);
}

enum { NEEDS_LEADER = 8, ON_LINE = 60, CROSSING = 30, OVER_MARKS = 40 }; // points

// Whether a leader runs into the mark of another offer; marks at the same place as its own do not count.
static gboolean
crosses_marks(const Figure *f, Segment leader, double x, double y)
{
  for (guint i = 0; i < f->marks->len; ++i) {
    const RcBox mark = g_array_index(f->marks, RcBox, i);
    const gboolean here = x > mark.x && x < mark.x + mark.width && y > mark.y && y < mark.y + mark.height;
    if (!here && segment_meets(leader, mark)) {
      return TRUE;
    }
  }
  return FALSE;
}

// How bad a place for a label is, in points of distance; negative where there is no room for it.
static double
place_cost(const Figure *f, RcBox area, RcBox label, double x, double y)
{
  const Segment leader = leader_to(label, x, y);
  const double length = length_of(leader);
  if (!box_holds(area, label) || meets_boxes(f->marks, label) || meets_boxes(f->labels, label) ||
      count_crossed(f->lines, f->n_own, f->lines->len, label)) {
    return -1;
  }
  const double on_lines = count_crossed(f->lines, 0, f->n_own, label) * (double)ON_LINE;
  if (length < NEEDS_LEADER) { // of these the first is as good as any
    return on_lines;
  }
  const guint crossings = count_crossings(f->lines, f->n_own, f->lines->len, leader);
  const gboolean hidden = crosses_marks(f, leader, x, y);
  if (crosses_boxes(f->labels, leader) || ((crossings || hidden) && !f->loose)) {
    return -1;
  }
  return length + on_lines + (crossings + count_crossings(f->lines, 0, f->n_own, leader)) * (double)CROSSING +
         (hidden ? OVER_MARKS : 0);
}

// Tries places beside, above and below the mark, further and further away; the first of the best is taken.
static gboolean
find_place(const Figure *f, RcBox area, double x, double y, RcBox *label)
{
  enum { STEPS = 16, STEP = 9, ASIDE = 18 };
  const double beside = mark_radius + label_gap;
  const double sides[] = { x + beside, x - beside - label->width, x - label->width / 2 };
  RcBox best = *label;
  double least = -1;
  for (guint step = 0; step <= STEPS; ++step) {
    for (guint place = 0; place < G_N_ELEMENTS(sides) * 2 * f->asides; ++place) {
      const guint side = place % G_N_ELEMENTS(sides);
      const guint down = place / G_N_ELEMENTS(sides) % 2;
      const guint aside = place / G_N_ELEMENTS(sides) / 2;
      label->x = sides[side] + (side == 1 ? -1.0 : 1.0) * aside * ASIDE;
      label->y = y - label->height / 2 + (down ? 1.0 : -1.0) * step * STEP;
      const double cost = place_cost(f, area, *label, x, y);
      if (cost >= 0 && (least < 0 || cost < least)) {
        least = cost;
        best = *label;
      }
    }
  }
  *label = best;
  return least >= 0;
}

static RcTextStyle
label_style(RcOfferMark mark)
{
  return mark == RC_OFFER_UNBEATEN ? RC_TEXT_BODY : RC_TEXT_NOTE;
}

static RcBox
area_of(const Figure *f, const RcOfferPoint *point)
{
  return point->price > 0 ? f->plot : f->strip;
}

static Segment
leader_of(const Figure *f, const Name *name)
{
  return leader_to(name->box, f->x[name->index], f->y[name->index]);
}

// Has later names keep clear of this one and of its leader.
static void
keep_name(Figure *f, const Name *name)
{
  const Segment leader = leader_of(f, name);
  RcBox label = name->box;
  if (length_of(leader) >= NEEDS_LEADER) {
    g_array_append_val(f->lines, leader);
  }
  label.x -= label_apart;
  label.width += 2 * label_apart;
  g_array_append_val(f->labels, label);
}

static gboolean
place_label(Figure *f, const RcOfferPoint *point, guint index)
{
  const double x = f->x[index];
  const double y = f->y[index];
  const RcTextStyle style = label_style(point->mark);
  const RcBox area = area_of(f, point);
  const double width = MIN(MIN(rc_text_width(style, point->label) + 1, most_label), area.width - 4 * mark_radius);
  RcBox label = { 0, 0, width, rc_text_height(style, width, 1, point->label) };
  if (!find_place(f, area, x, y, &label)) {
    return FALSE;
  }
  const Name name = { label, index, point };
  g_array_append_val(f->names, name);
  keep_name(f, &name);
  return TRUE;
}

// ------------------------------------------------------------------------------------------------------- all labels

// Has those that matter most choose first, of these those that found no place the last time, else as they chose then.
static void
promote(guint *order, const gboolean *named, const RcOfferPoint *points, guint n)
{
  guint *before = g_new(guint, MAX(n, 1));
  guint place = 0;
  memcpy(before, order, n * sizeof *order);
  for (guint turn = 0; turn < 2 * RC_OFFER_N_MARKS; ++turn) { // of each mark first those without a place
    for (guint i = 0; i < n; ++i) {
      if (points[before[i]].mark == (RcOfferMark)(turn / 2) && named[before[i]] == (gboolean)(turn % 2)) {
        order[place++] = before[i];
      }
    }
  }
  g_free(before);
}

// Names of offers that no other beats may have leaders that cross others, and marks, where it is @p loose.
static void
place_labels(Figure *f, const RcOfferPoint *points, const guint *order, guint n, gboolean loose, gboolean *named)
{
  g_array_set_size(f->names, 0);
  g_array_set_size(f->labels, f->n_own_labels);
  g_array_set_size(f->lines, f->n_own);
  for (guint i = 0; i < n; ++i) {
    f->loose = loose && points[order[i]].mark == RC_OFFER_UNBEATEN;
    named[order[i]] = place_label(f, &points[order[i]], order[i]);
  }
}

// Tries again, further aside and at last loosely, until all are named, and keeps what names most. Returns how many
// found no place.
static guint
place_all_labels(Figure *f, const RcOfferPoint *points, guint n)
{
  enum { TRIES = 18, NEAR = 8, STRICT = 16 };
  GArray *best = NULL;
  guint *order = g_new(guint, MAX(n, 1));
  gboolean *named = g_new0(gboolean, MAX(n, 1));
  f->n_own_labels = f->labels->len;
  for (guint i = 0; i < n; ++i) {
    order[i] = i;
  }
  for (guint i = 0; i < TRIES && (!best || best->len < n); ++i) {
    f->asides = i < NEAR ? 5 : 8;
    promote(order, named, points, n);
    place_labels(f, points, order, n, i >= STRICT, named);
    if (!best || f->names->len > best->len) {
      g_clear_pointer(&best, g_array_unref);
      best = g_array_copy(f->names);
    }
  }
  g_free(order);
  g_free(named);
  g_array_unref(f->names);
  f->names = best;
  return n - best->len;
}

static void
draw_labels(const Figure *f)
{
  for (guint i = 0; i < f->names->len; ++i) {
    const Segment leader = leader_of(f, &g_array_index(f->names, Name, i));
    if (length_of(leader) >= NEEDS_LEADER) {
      rc_draw_pen(f->cairo, 0.5, 0.5);
      rc_draw_line(f->cairo, leader.x0, leader.y0, leader.x1, leader.y1);
    }
  }
  for (guint i = 0; i < f->names->len; ++i) {
    const Name *name = &g_array_index(f->names, Name, i);
    const RcBox box = name->box;
    cairo_set_source_rgb(f->cairo, 1, 1, 1); // lines end beside the letters
    cairo_rectangle(f->cairo, box.x, box.y, box.width, box.height);
    cairo_fill(f->cairo);
    rc_draw_text(f->cairo, label_style(name->point->mark), RC_ALIGN_LEFT, box.x, box.y, box.width, 1,
                 name->point->label);
  }
}

// ------------------------------------------------------------------------------------------------------------ figure

static void
draw_key(cairo_t *cairo, RcBox box)
{
  static const char *const words[] = { "no other beats it on price, weight and what it carries",
                                       "price or weight unknown, so not judged", "another beats it" };
  double x = box.x + mark_radius;
  for (guint i = 0; i < RC_OFFER_N_MARKS; ++i) {
    const double width = rc_text_width(RC_TEXT_NOTE, words[i]);
    draw_mark(cairo, x, box.y + 5, (RcOfferMark)i);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_LEFT, x + 8, box.y, width + 2, 1, words[i]);
    x += width + 30;
  }
}

static Figure
make_figure(cairo_t *cairo, RcBox box, const RcOfferPoint *points, guint n)
{
  guint unknown = 0;
  for (guint i = 0; i < n; ++i) {
    unknown += points[i].price > 0 ? 0 : 1;
  }
  const double width = box.width - axis_width;
  const double strip = !unknown ? 0 : unknown == n ? width : strip_width;
  const double top = box.y + key_height + 10;
  Figure f = { .cairo = cairo };
  f.plot = (RcBox){ box.x + axis_width, top, MAX(width - strip - (unknown ? strip_gap : 0), 0),
                    box.height - axis_height - key_height - 10 };
  f.strip = (RcBox){ box.x + box.width - strip, top, strip, f.plot.height };
  f.x = g_new(double, MAX(n, 1));
  f.y = g_new(double, MAX(n, 1));
  f.marks = g_array_new(FALSE, FALSE, sizeof(RcBox));
  f.labels = g_array_new(FALSE, FALSE, sizeof(RcBox));
  f.lines = g_array_new(FALSE, FALSE, sizeof(Segment));
  f.names = g_array_new(FALSE, FALSE, sizeof(Name));
  set_scales(&f, points, n);
  return f;
}

static void
clear_figure(Figure *f)
{
  g_free(f->x);
  g_free(f->y);
  g_array_unref(f->marks);
  g_array_unref(f->labels);
  g_array_unref(f->lines);
  g_array_unref(f->names);
}

void
rc_draw_offers(cairo_t *cairo, RcBox box, const RcOfferPoint *points, guint n, const RcOfferScales *scales)
{
  Figure f = make_figure(cairo, box, points, n);
  draw_key(cairo, box);
  draw_shares(&f, box, scales->shares);
  draw_prices(&f, scales->prices);
  draw_target(&f, box, scales->target, scales->target_text);
  place_marks(&f, points, n);
  join_unbeaten(&f, points, n);
  const guint without = place_all_labels(&f, points, n);
  draw_labels(&f);
  for (guint i = n; i > 0; --i) {
    draw_mark(cairo, f.x[i - 1], f.y[i - 1], points[i - 1].mark);
  }
  if (without) {
    char *text = g_strdup_printf("%u of the names found no room here; the table has them", without);
    rc_draw_text(cairo, RC_TEXT_NOTE, RC_ALIGN_RIGHT, box.x, box.y + box.height - 11, box.width, 1, text);
    g_free(text);
  }
  clear_figure(&f);
}
