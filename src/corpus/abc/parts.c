// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Parts of an ABC tune, and the order in which its bars are played.

#include "corpus/abc/abc.h"

#include <string.h>

#define NO_PART G_MAXUINT

enum { MAX_ORDER = 4096, MAX_DEPTH = 8 };

static guint
part_end(const AbcMusic *m, guint index)
{
  const GArray *marks = m->part_marks;
  return index + 1 < marks->len ? g_array_index(marks, AbcPartMark, index + 1).bar : m->marks->len;
}

static guint
find_part(const AbcMusic *m, char label)
{
  for (guint i = 0; i < m->part_marks->len; ++i) {
    const AbcPartMark *mark = &g_array_index(m->part_marks, AbcPartMark, i);
    const AbcText name = mark->label; // voices not read name it too, but hold none of its bars
    if (name.at < name.end && *name.at == label && part_end(m, i) > mark->bar) {
      return i;
    }
  }
  return NO_PART;
}

// "(A2B)2C" into "AABAABC", section 3.1.9. FALSE where it does not close or grows too long.
static gboolean
expand_order(AbcText *order, GString *letters, guint depth)
{
  while (order->at < order->end && *order->at != ')') {
    const gsize before = letters->len;
    const char c = *order->at++;
    if (c == '(') {
      if (depth > MAX_DEPTH || !expand_order(order, letters, depth + 1) || order->at == order->end) {
        return FALSE;
      }
      ++order->at;
    } else if (g_ascii_isalpha(c)) {
      g_string_append_c(letters, c);
    } else {
      continue; // dots and blanks
    }
    guint times = 0;
    for (; order->at < order->end && g_ascii_isdigit(*order->at); ++order->at) {
      times = MIN(10 * times + (guint)(*order->at - '0'), MAX_ORDER);
    }
    const gsize piece = letters->len - before;
    for (guint i = 1; i < times && letters->len < MAX_ORDER; ++i) {
      g_string_append_len(letters, letters->str + before, (gssize)piece);
    }
  }
  return letters->len <= MAX_ORDER;
}

static gboolean
names_parts(const AbcMusic *m, const GString *letters)
{
  for (gsize i = 0; i < letters->len; ++i) {
    if (find_part(m, letters->str[i]) == NO_PART) {
      return FALSE;
    }
  }
  return letters->len > 0;
}

static gboolean
play_parts(const AbcMusic *m, const GString *letters)
{
  gboolean good = TRUE;
  for (gsize i = 0; i < letters->len && good; ++i) {
    const guint part = find_part(m, letters->str[i]);
    const guint first = g_array_index(m->part_marks, AbcPartMark, part).bar;
    good = rc_unroll(m->marks, first, part_end(m, part), m->tune->played);
  }
  return good;
}

gboolean
abc_play(const AbcMusic *m, AbcText order)
{
  if (!m->part_marks->len) {
    return rc_unroll_all(m->marks, m->tune);
  }
  GString *letters = g_string_new(NULL);
  const gboolean expanded = order.at && expand_order(&order, letters, 0) && order.at == order.end;
  const gboolean by_parts = expanded && names_parts(m, letters);
  if (order.at && !by_parts) {
    rc_tune_remark(m->tune, RC_REMARK_PARTS, 0, 0,
                   "the order of parts names parts that are not there; the tune is played straight");
  }
  if (by_parts && rc_all_jumps(m->marks)) {
    rc_tune_remark(m->tune, RC_REMARK_JUMPS, 0, 0,
                   "a D.S., D.C., coda or fine beside an order of parts is not followed");
  }
  const gboolean good = by_parts ? play_parts(m, letters) : rc_unroll_all(m->marks, m->tune);
  g_string_free(letters, TRUE);
  return good;
}

static void
name_written_parts(const AbcMusic *m)
{
  const GArray *marks = m->part_marks;
  rc_add_part(m->tune, "", 0, g_array_index(marks, AbcPartMark, 0).bar);
  for (guint i = 0; i < marks->len; ++i) {
    char *label = abc_text_to_utf8(g_array_index(marks, AbcPartMark, i).label);
    rc_add_part(m->tune, label, g_array_index(marks, AbcPartMark, i).bar, part_end(m, i));
    g_free(label);
  }
}

void
abc_name_parts(const AbcMusic *m)
{
  if (m->part_marks->len) {
    name_written_parts(m);
  } else {
    rc_name_sections(m->tune, m->marks);
  }
}
