// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The smallest keyboards that carry a repertoire, and the landscape of all.

#include "report/sizes_picture.h"

#include "report/canvas.h"
#include "report/format.h"

#include <math.h>

#define U64 G_GUINT64_FORMAT

const char rc_landscape_words[] =
  "One panel a set of rows; a cell is a keyboard: along, its flattest column; up, how many columns it has. Framed and "
  "named: the usual sizes. Above the line the target is reached.";

// ----------------------------------------------------------------------------------------------------- one keyboard

typedef struct {
  const RcSweep *sweep;
  const RcRoll *roll;
  RcTarget target;
} Sizes;

static RcTicks
carried(const Sizes *s, const RcCounts *counts)
{
  return rc_counts_carried(counts, rc_roll_accept(s->roll));
}

// What the target is about, 0 to 1.
static double
share_of(const Sizes *s, const RcCounts *counts)
{
  if (s->target.by == RC_TARGET_TUNES) {
    return counts->tunes ? (double)counts->playable / (double)counts->tunes : 0;
  }
  const RcTicks read = rc_counts_read(counts);
  return read ? (double)carried(s, counts) / (double)read : 0;
}

static gboolean
reaches(const Sizes *s, guint index)
{
  const RcCounts counts = rc_roll_counts(s->roll, index);
  return rc_target_reached(s->target, &counts, rc_roll_accept(s->roll));
}

// How far the middle of a size is from between the C and G columns, in half columns: makers build around these.
static int
off_centre(const Sizes *s, const RcSize *size)
{
  const GArray *columns = rc_sweep_full(s->sweep)->columns;
  return ABS(g_array_index(columns, RcNote, size->first) + g_array_index(columns, RcNote, size->last) - 1);
}

// Whether keyboard `a` is to be named before `b` of as many buttons.
static gboolean
is_better(const Sizes *s, guint a, guint b)
{
  const RcCounts left = rc_roll_counts(s->roll, a);
  const RcCounts right = rc_roll_counts(s->roll, b);
  const RcTicks time = carried(s, &left) - carried(s, &right);
  const gint64 tunes = (gint64)left.playable - (gint64)right.playable;
  const gint64 first = s->target.by == RC_TARGET_TUNES ? tunes : time;
  const gint64 second = s->target.by == RC_TARGET_TUNES ? time : tunes;
  if (first || second) {
    return first ? first > 0 : second > 0;
  }
  return off_centre(s, rc_sweep_size(s->sweep, a)) < off_centre(s, rc_sweep_size(s->sweep, b));
}

// The smallest keyboard with `rows` (0: any) that reaches the target, the best of several; -1 for none.
static int
smallest(const Sizes *s, guint rows, gboolean usual_only)
{
  int best = -1;
  for (guint i = 0; i < rc_sweep_n_sizes(s->sweep); ++i) {
    const RcSize *size = rc_sweep_size(s->sweep, i);
    if ((rows && size->rows != rows) || (usual_only && !size->usual)) {
      continue;
    }
    const RcSize *known = best < 0 ? NULL : rc_sweep_size(s->sweep, (guint)best);
    if ((!known || size->buttons < known->buttons ||
         (size->buttons == known->buttons && is_better(s, i, (guint)best))) &&
        reaches(s, i)) {
      best = (int)i;
    }
  }
  return best;
}

// How many other starts of its width and rows reach the target as well.
static guint
count_equals(const Sizes *s, guint index)
{
  guint n = 0;
  const RcSize *size = rc_sweep_size(s->sweep, index);
  for (guint i = 0; i < rc_sweep_n_sizes(s->sweep); ++i) {
    const RcSize *other = rc_sweep_size(s->sweep, i);
    n += i != index && other->rows == size->rows && other->buttons == size->buttons && reaches(s, i);
  }
  return n;
}

static const char *
column_name(const Sizes *s, guint column, RcSigns signs)
{
  return rc_note_name(g_array_index(rc_sweep_full(s->sweep)->columns, RcNote, column), signs);
}

static char *
rows_text(const Sizes *s, guint rows)
{
  GString *text = g_string_new(NULL);
  const RcLayout *full = rc_sweep_full(s->sweep);
  for (guint row = 0; row < full->rows->len; ++row) {
    if (rows & 1U << row) {
      g_string_append_printf(text, "%s%s", text->len ? ", " : "", (const char *)g_ptr_array_index(full->rows, row));
    }
  }
  return g_string_free(text, FALSE);
}

// "48 buttons: 8 columns Eb to E"
static char *
size_text(const Sizes *s, const RcSize *size, RcSigns signs)
{
  const guint columns = size->last - size->first + 1;
  return columns == 1 ? g_strdup_printf("%u buttons: the column %s", size->buttons, column_name(s, size->first, signs))
                      : g_strdup_printf("%u buttons: %u columns %s to %s", size->buttons, columns,
                                        column_name(s, size->first, signs), column_name(s, size->last, signs));
}

static char *
goal_text(const Sizes *s)
{
  char *percent = rc_target_text(s->target.millionths);
  const RcCounts counts = rc_roll_counts(s->roll, 0);
  const char *time = counts.chords[RC_UNREAD] ? "playing time that could be read," : "playing time";
  char *text =
    g_strdup_printf("%s %% of the %s at grade %s or better", percent, s->target.by == RC_TARGET_TUNES ? "tunes" : time,
                    rc_verdict_name(rc_roll_accept(s->roll)));
  g_free(percent);
  return text;
}

// The answer in a sentence without its full stop.
static char *
finding(const Sizes *s, RcSigns signs)
{
  char *goal = goal_text(s);
  const int best = smallest(s, 0, FALSE);
  const int usual = smallest(s, 0, TRUE);
  GString *text = g_string_new(NULL);
  if (best < 0) {
    g_string_append_printf(text, "No keyboard up to %u buttons carries %s",
                           rc_layout_count_buttons(rc_sweep_full(s->sweep)), goal);
  } else {
    const RcSize *size = rc_sweep_size(s->sweep, (guint)best);
    char *words = size_text(s, size, signs);
    g_string_append_printf(text, "The smallest keyboard to carry %s has %s", goal, words);
    if (usual < 0) {
      g_string_append(text, "; none of the usual sizes does");
    } else {
      g_string_append_printf(text, "; the smallest usual size is %s", rc_sweep_size(s->sweep, (guint)usual)->usual);
    }
    g_free(words);
  }
  g_free(goal);
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------------------ table

static void
append_set(GString *out, const Sizes *s, guint rows)
{
  char *names = rows_text(s, rows);
  const int best = smallest(s, rows, FALSE);
  g_string_append_printf(out, "%s\n", names);
  g_free(names);
  if (best < 0) {
    g_string_append(out, "  none\n");
    return;
  }
  const RcSize *size = rc_sweep_size(s->sweep, (guint)best);
  const RcCounts counts = rc_roll_counts(s->roll, (guint)best);
  const guint equals = count_equals(s, (guint)best);
  char percent[8];
  char *words = size_text(s, size, RC_SIGNS_ASCII);
  rc_percent_text(percent, carried(s, &counts), rc_counts_read(&counts));
  char *line = g_strdup_printf("%s; %s %% of the time, %" U64 " of %" U64 " tunes%s%s", words, percent, counts.playable,
                               counts.tunes, size->usual ? "; it is the usual " : "", size->usual ? size->usual : "");
  char *more = equals ? g_strdup_printf("%s; %u other range%s of %u columns will do", line, equals,
                                        equals == 1 ? "" : "s", size->last - size->first + 1)
                      : g_strdup(line);
  g_string_append(out, "  ");
  rc_append_wrapped(out, more, 2);
  g_free(more);
  g_free(line);
  g_free(words);
}

static void
append_table(GString *out, const Sizes *s)
{
  char *words = finding(s, RC_SIGNS_ASCII);
  char *sentence = g_strconcat(words, ".", NULL);
  char *timing = rc_timing_text(s->roll);
  const guint a_set = rc_sweep_n_sizes(s->sweep) / rc_sweep_n_row_sets(s->sweep);
  rc_append_wrapped(out, sentence, 0);
  g_string_append(out, "\nThe smallest with each set of rows that makers build:\n\n");
  for (guint set = 0; set < rc_sweep_n_row_sets(s->sweep); ++set) {
    append_set(out, s, rc_sweep_size(s->sweep, set * a_set)->rows);
  }
  char *scope = g_strdup_printf("Looked at: all %u ranges of the %u columns %s to %s with these rows, each rolled as "
                                "a keyboard of its own. %s",
                                a_set, rc_sweep_full(s->sweep)->columns->len, column_name(s, 0, RC_SIGNS_ASCII),
                                column_name(s, rc_sweep_full(s->sweep)->columns->len - 1, RC_SIGNS_ASCII), timing);
  g_string_append_c(out, '\n');
  rc_append_wrapped(out, g_strchomp(scope), 0);
  g_free(scope);
  g_free(timing);
  g_free(sentence);
  g_free(words);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv(GString *out, const Sizes *s)
{
  rc_append_csv(out, "rows", "first", "last", "columns", "buttons", "usual", "quarters", "carried", "tunes", "native",
                "playable", "reaches", NULL);
  for (guint i = 0; i < rc_sweep_n_sizes(s->sweep); ++i) {
    const RcSize *size = rc_sweep_size(s->sweep, i);
    const RcCounts counts = rc_roll_counts(s->roll, i);
    char *rows = rows_text(s, size->rows);
    char *quarters = rc_quarters_text(rc_counts_ticks(&counts));
    char *done = rc_quarters_text(rc_measured_ticks(&counts, carried(s, &counts)));
    char *numbers[] = { g_strdup_printf("%u", size->last - size->first + 1), g_strdup_printf("%u", size->buttons),
                        g_strdup_printf("%" U64, counts.tunes), g_strdup_printf("%" U64, counts.native),
                        g_strdup_printf("%" U64, counts.playable) };
    rc_append_csv(out, rows, column_name(s, size->first, RC_SIGNS_ASCII), column_name(s, size->last, RC_SIGNS_ASCII),
                  numbers[0], numbers[1], size->usual ? size->usual : "", quarters, done, numbers[2], numbers[3],
                  numbers[4], reaches(s, i) ? "yes" : "no", NULL);
    for (guint j = 0; j < G_N_ELEMENTS(numbers); ++j) {
      g_free(numbers[j]);
    }
    g_free(rows);
    g_free(quarters);
    g_free(done);
  }
}

static void
add_size(JsonBuilder *json, const Sizes *s, guint index)
{
  const RcSize *size = rc_sweep_size(s->sweep, index);
  const RcCounts counts = rc_roll_counts(s->roll, index);
  char *rows = rows_text(s, size->rows);
  char **names = g_strsplit(rows, ", ", -1);
  json_builder_begin_object(json);
  json_builder_set_member_name(json, "rows");
  json_builder_begin_array(json);
  for (char **name = names; *name; ++name) {
    json_builder_add_string_value(json, *name);
  }
  json_builder_end_array(json);
  rc_json_text(json, "first", column_name(s, size->first, RC_SIGNS_ASCII));
  rc_json_text(json, "last", column_name(s, size->last, RC_SIGNS_ASCII));
  rc_json_number(json, "buttons", size->buttons);
  json_builder_set_member_name(json, "usual");
  if (size->usual) {
    json_builder_add_string_value(json, size->usual);
  } else {
    json_builder_add_null_value(json);
  }
  rc_json_quarters(json, "quarters", rc_counts_ticks(&counts));
  rc_json_quarters(json, "carried", rc_measured_ticks(&counts, carried(s, &counts)));
  rc_json_number(json, "tunes", (gint64)counts.tunes);
  rc_json_number(json, "native", (gint64)counts.native);
  rc_json_number(json, "playable", (gint64)counts.playable);
  json_builder_end_object(json);
  g_strfreev(names);
  g_free(rows);
}

static void
append_json(GString *out, const Sizes *s)
{
  char *words = finding(s, RC_SIGNS_ASCII);
  const int best = smallest(s, 0, FALSE);
  JsonBuilder *json = json_builder_new();
  json_builder_begin_object(json);
  rc_json_text(json, "finding", words);
  json_builder_set_member_name(json, "smallest");
  if (best < 0) {
    json_builder_add_null_value(json);
  } else {
    add_size(json, s, (guint)best);
  }
  json_builder_set_member_name(json, "sizes");
  json_builder_begin_array(json);
  for (guint i = 0; i < rc_sweep_n_sizes(s->sweep); ++i) {
    add_size(json, s, i);
  }
  json_builder_end_array(json);
  json_builder_end_object(json);
  rc_json_finish(out, json);
  g_free(words);
}

void
rc_report_sizes(GString *out, RcTextFormat format, const RcSweep *sweep, const RcRoll *roll, RcTarget target)
{
  const Sizes sizes = { sweep, roll, target };
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, &sizes);
    break;
  case RC_TEXT_CSV:
    append_csv(out, &sizes);
    break;
  case RC_TEXT_JSON:
    append_json(out, &sizes);
    break;
  }
}

// ---------------------------------------------------------------------------------------------------------- picture

enum { PANEL_GAP = 18, PANEL_HEIGHT = 188 };

// "4 rows, counterbass to minor" where they lie side by side, as all usual ones do.
static char *
short_rows(const Sizes *s, guint rows)
{
  char *all = rows_text(s, rows);
  char **names = g_strsplit(all, ", ", -1);
  const guint n = g_strv_length(names);
  const guint lowest = rows & (~rows + 1);
  const gboolean side_by_side = ((rows + lowest) & rows) == 0;
  char *text = n > 1 && side_by_side ? g_strdup_printf("%u rows, %s to %s", n, names[0], names[n - 1]) : g_strdup(all);
  g_strfreev(names);
  g_free(all);
  return text;
}

static void
draw_panel(cairo_t *cairo, RcBox box, const Sizes *s, guint set, const char *const *names)
{
  const guint a_set = rc_sweep_n_sizes(s->sweep) / rc_sweep_n_row_sets(s->sweep);
  GArray *marks = g_array_new(FALSE, FALSE, sizeof(RcLandscapeMark));
  double *shares = g_new(double, a_set);
  for (guint i = 0; i < a_set; ++i) {
    const RcSize *size = rc_sweep_size(s->sweep, set * a_set + i);
    const RcCounts counts = rc_roll_counts(s->roll, set * a_set + i);
    shares[i] = share_of(s, &counts);
    if (size->usual) {
      const RcLandscapeMark mark = { size->first, size->last - size->first + 1, size->usual };
      g_array_append_val(marks, mark);
    }
  }
  const guint rows = rc_sweep_size(s->sweep, set * a_set)->rows;
  const int best = smallest(s, rows, FALSE);
  char *title = short_rows(s, rows);
  char *note = best < 0 ? g_strdup("no range of columns reaches the target")
                        : size_text(s, rc_sweep_size(s->sweep, (guint)best), RC_SIGNS_UNICODE);
  char *text = best < 0 ? g_strdup(note) : g_strdup_printf("target reached with %s", note);
  const RcLandscape land = { title,
                             text,
                             rc_sweep_full(s->sweep)->columns->len,
                             names,
                             shares,
                             (double)s->target.millionths / RC_TARGET_ALL,
                             (const RcLandscapeMark *)(gpointer)marks->data,
                             marks->len };
  rc_draw_landscape(cairo, box, &land);
  g_array_unref(marks);
  g_free(shares);
  g_free(title);
  g_free(note);
  g_free(text);
}

double
rc_landscape_height(const RcSweep *sweep, guint across)
{
  const guint lines = (rc_sweep_n_row_sets(sweep) + across - 1) / across;
  return lines * (PANEL_HEIGHT + PANEL_GAP);
}

void
rc_landscape_draw(cairo_t *cairo, RcBox box, guint across, const RcSweep *sweep, const RcRoll *roll, RcTarget target)
{
  const Sizes s = { sweep, roll, target };
  const guint columns = rc_sweep_full(sweep)->columns->len;
  const double width = (box.width - (across - 1) * PANEL_GAP) / across;
  const guint lines = (rc_sweep_n_row_sets(sweep) + across - 1) / across;
  const double step = box.height / lines;
  const char **names = g_new(const char *, columns);
  for (guint i = 0; i < columns; ++i) {
    names[i] = column_name(&s, i, RC_SIGNS_UNICODE);
  }
  for (guint set = 0; set < rc_sweep_n_row_sets(sweep); ++set) {
    const guint line = set / across;
    const RcBox panel = { box.x + (set % across) * (width + PANEL_GAP), box.y + line * step, width, step - PANEL_GAP };
    draw_panel(cairo, panel, &s, set, names);
  }
  g_free(names);
}

char *
rc_sizes_finding(const RcSweep *sweep, const RcRoll *roll, RcTarget target)
{
  const Sizes s = { sweep, roll, target };
  return finding(&s, RC_SIGNS_UNICODE);
}

static void
draw_scale(cairo_t *cairo, double x, double y, RcTarget target)
{
  rc_draw_scale(cairo, x, y, 0, "0", "50", "100 %",
                target.by == RC_TARGET_TUNES ? "share of the tunes that are playable"
                                             : "share of the playing time carried at the accepted grade");
}

GBytes *
rc_report_sizes_picture(const RcSweep *sweep, const RcRoll *roll, RcTarget target, RcPicture picture,
                        const RcImprint *imprint, GError **error)
{
  enum { SCALE_HEIGHT = 26, ACROSS = 3 };
  const double width = RC_PAGE_LONG - 2 * RC_MARGIN;
  const double panels = rc_landscape_height(sweep, ACROSS);
  char *title = rc_sizes_finding(sweep, roll, target);
  char *timing = rc_timing_text(roll);
  char *notes = g_strconcat(rc_landscape_words, " ", timing, NULL);
  const double head =
    rc_text_height(RC_TEXT_TITLE, width, 3, title) + 4 + rc_text_height(RC_TEXT_BODY, width, 0, notes) + 12;
  RcCanvas canvas = rc_canvas_start(picture, RC_PAGE_LONG, ceil(head + panels) + SCALE_HEIGHT + 2 * RC_MARGIN, imprint);
  double y = RC_MARGIN;
  y += rc_draw_text(canvas.cairo, RC_TEXT_TITLE, RC_ALIGN_LEFT, RC_MARGIN, y, width, 3, title) + 4;
  y += rc_draw_text(canvas.cairo, RC_TEXT_BODY, RC_ALIGN_LEFT, RC_MARGIN, y, width, 0, notes) + 12;
  rc_landscape_draw(canvas.cairo, (RcBox){ RC_MARGIN, y, width, panels }, ACROSS, sweep, roll, target);
  draw_scale(canvas.cairo, RC_MARGIN, y + panels, target);
  cairo_show_page(canvas.cairo);
  g_free(title);
  g_free(timing);
  g_free(notes);
  return rc_canvas_finish(&canvas, error);
}
