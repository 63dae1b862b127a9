// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/sweep.h"
#include "base/order.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_SETS = 32 };

struct RcSweep {
  const RcLayout *full;
  const RcCatalogue *catalogue; // of it
  guint columns;
  guint n_sets;
  guint sets[MOST_SETS]; // of rows of the full keyboard
  GArray *sizes;         // of RcSize: set after set, wider after narrower, flat to sharp
};

// ---------------------------------------------------------------------------------------------------------- making

// The rows of `layout` as a set of the full keyboard's rows; 0 where it has others.
static guint
rows_within(const RcLayout *full, const RcLayout *layout)
{
  guint set = 0;
  for (guint i = 0; i < layout->rows->len; ++i) {
    guint row = 0;
    while (row < full->rows->len &&
           strcmp(g_ptr_array_index(full->rows, row), g_ptr_array_index(layout->rows, i)) != 0) {
      ++row;
    }
    if (row == full->rows->len) {
      return 0;
    }
    set |= 1U << row;
  }
  return set;
}

static void
add_set(RcSweep *s, guint set)
{
  for (guint i = 0; i < s->n_sets; ++i) {
    if (s->sets[i] == set) {
      return;
    }
  }
  if (set && s->n_sets < MOST_SETS) {
    s->sets[s->n_sets++] = set;
  }
}

// Fewer rows first.
static int
compare_sets(const void *a, const void *b)
{
  const guint left = *(const guint *)a;
  const guint right = *(const guint *)b;
  const int rows = (int)rc_count_bits(left) - (int)rc_count_bits(right);
  return rows ? rows : rc_order(left, right);
}

static RcNote
column_at(const RcLayout *layout, guint index)
{
  return g_array_index(layout->columns, RcNote, index);
}

static void
add_sizes(RcSweep *s, guint set)
{
  for (guint width = 1; width <= s->columns; ++width) {
    for (guint first = 0; first + width <= s->columns; ++first) {
      const RcSize size = { set, first, first + width - 1, rc_count_bits(set) * width, NULL };
      g_array_append_val(s->sizes, size);
    }
  }
}

// Names the size that `layout` is, where no other layout has named it.
static void
name_size(RcSweep *s, const RcLayout *layout)
{
  const guint set = rows_within(s->full, layout);
  for (guint i = 0; i < s->sizes->len; ++i) {
    RcSize *size = &g_array_index(s->sizes, RcSize, i);
    if (!size->usual && size->rows == set && column_at(layout, 0) == column_at(s->full, size->first) &&
        column_at(layout, layout->columns->len - 1) == column_at(s->full, size->last)) {
      size->usual = layout->name;
    }
  }
}

static guint
count_buttons(const RcCatalogue *catalogue)
{
  return rc_layout_count_buttons(rc_catalogue_layout(catalogue));
}

static const RcCatalogue *
largest(RcCatalogue *const *usual, guint n)
{
  const RcCatalogue *full = usual[0];
  for (guint i = 1; i < n; ++i) {
    full = count_buttons(usual[i]) > count_buttons(full) ? usual[i] : full;
  }
  return full;
}

RcSweep *
rc_sweep_new(RcCatalogue *const *usual, guint n)
{
  RcSweep *s = g_new0(RcSweep, 1);
  s->catalogue = largest(usual, n);
  s->full = rc_catalogue_layout(s->catalogue);
  s->columns = s->full->columns->len;
  s->sizes = g_array_new(FALSE, FALSE, sizeof(RcSize));
  for (guint i = 0; i < n; ++i) {
    add_set(s, rows_within(s->full, rc_catalogue_layout(usual[i])));
  }
  qsort(s->sets, s->n_sets, sizeof *s->sets, compare_sets);
  for (guint i = 0; i < s->n_sets; ++i) {
    add_sizes(s, s->sets[i]);
  }
  for (guint i = 0; i < n; ++i) {
    name_size(s, rc_catalogue_layout(usual[i]));
  }
  return s;
}

void
rc_sweep_free(RcSweep *s)
{
  if (s) {
    g_array_unref(s->sizes);
    g_free(s);
  }
}

guint
rc_sweep_n_sizes(const RcSweep *s)
{
  return s->sizes->len;
}

const RcSize *
rc_sweep_size(const RcSweep *s, guint index)
{
  return &g_array_index(s->sizes, RcSize, index);
}

guint
rc_sweep_n_row_sets(const RcSweep *s)
{
  return s->n_sets;
}

const RcLayout *
rc_sweep_full(const RcSweep *s)
{
  return s->full;
}

// ---------------------------------------------------------------------------------------------------------- asking

// The best of the grips that reach exactly from one column to another, by set of rows: a verdict and, above its bits,
// whether a grip of less taste gives it, which comes after all that have more.
typedef struct {
  const RcSweep *sweep;
  guint8 (*best)[RC_MAX_COLUMNS][RC_MAX_COLUMNS]; // by set: first, last
} Cells;

enum { VERDICT_BITS = 3, VERDICTS = (1 << VERDICT_BITS) - 1, WORST = 1 << VERDICT_BITS | RC_IMPOSSIBLE };

static void
note_way(const RcAnswer *way, gpointer data)
{
  Cells *cells = data;
  const RcGrip *grip = &way->grip;
  const guint value = rc_rank_is_plain(way->rank) ? way->verdict : 1U << VERDICT_BITS | way->verdict;
  const RcLayout *full = cells->sweep->full;
  guint rows = 0;
  guint first = RC_MAX_COLUMNS;
  guint last = 0;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const RcButton *button = rc_layout_button(full, rc_grip_button(grip, i));
    rows |= 1U << button->row;
    first = MIN(first, button->column);
    last = MAX(last, button->column);
  }
  for (guint set = 0; set < cells->sweep->n_sets; ++set) {
    guint8 *best = &cells->best[set][first][last];
    if (!(rows & ~cells->sweep->sets[set]) && value < *best) {
      *best = (guint8)value;
    }
  }
}

// A wider keyboard plays what each of the two that are a column narrower plays, and what needs its whole width.
static void
widen(const RcSweep *s, guint8 best[RC_MAX_COLUMNS][RC_MAX_COLUMNS], guint8 *verdicts)
{
  for (guint width = 1; width <= s->columns; ++width) {
    for (guint first = 0; first + width <= s->columns; ++first) {
      const guint last = first + width - 1;
      if (width > 1) {
        const guint8 narrower = MIN(best[first][last - 1], best[first + 1][last]);
        best[first][last] = MIN(best[first][last], narrower);
      }
      *verdicts++ = best[first][last] & VERDICTS;
    }
  }
}

void
rc_sweep_ask(const RcSweep *s, RcTaste taste, const RcRequest *request, guint8 *verdicts)
{
  guint8 best[MOST_SETS][RC_MAX_COLUMNS][RC_MAX_COLUMNS];
  Cells cells = { s, best };
  memset(best, WORST, sizeof best[0] * s->n_sets);
  rc_catalogue_each(s->catalogue, taste, request, note_way, &cells);
  const gsize a_set = s->sizes->len / s->n_sets;
  for (guint set = 0; set < s->n_sets; ++set) {
    widen(s, best[set], verdicts + set * a_set);
  }
}
