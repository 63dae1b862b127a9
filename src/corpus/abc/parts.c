// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/parts.h"

#include "corpus/unroll.h"

#include <string.h>

#define NO_PART G_MAXUINT

enum { MAX_ORDER = 4096, MAX_DEPTH = 8 };

// ---------------------------------------------------------------------------------------------------------- labels

// "A", "A part", "B1": a letter that an order can name; "Bridge" is none.
static gboolean
is_letter(AbcText label)
{
  return label.at < label.end && g_ascii_isalpha(*label.at) &&
         (abc_length(label) == 1 || !g_ascii_isalpha(label.at[1]));
}

// Where letters name parts, other labels are texts for the players and separate nothing.
static void
leave_letters(GArray *marks)
{
  const AbcPartMark *mark = (const AbcPartMark *)(gconstpointer)marks->data;
  guint letters = 0;
  for (guint i = 0; i < marks->len; ++i) {
    letters += is_letter(mark[i].label) ? 1 : 0;
  }
  for (guint i = marks->len; letters && i--;) {
    if (!is_letter(mark[i].label)) {
      g_array_remove_index(marks, i);
    }
  }
}

static guint
part_end(const AbcMusic *m, guint index)
{
  const GArray *marks = m->part_marks;
  return index + 1 < marks->len ? g_array_index(marks, AbcPartMark, index + 1).bar : m->marks->len;
}

static guint
find_part(const AbcMusic *m, char letter)
{
  for (guint i = 0; i < m->part_marks->len; ++i) {
    const AbcPartMark *mark = &g_array_index(m->part_marks, AbcPartMark, i);
    if (is_letter(mark->label) && *mark->label.at == letter && part_end(m, i) > mark->bar) {
      return i; // voices that are not read name it too, but hold none of its bars
    }
  }
  return NO_PART;
}

static void
name_parts(const AbcMusic *m)
{
  const GArray *marks = m->part_marks;
  if (!marks->len) {
    rc_name_sections(m->tune, m->marks);
    return;
  }
  rc_add_part(m->tune, "", 0, g_array_index(marks, AbcPartMark, 0).bar);
  for (guint i = 0; i < marks->len; ++i) {
    char *label = abc_text_to_utf8(g_array_index(marks, AbcPartMark, i).label);
    rc_add_part(m->tune, label, g_array_index(marks, AbcPartMark, i).bar, part_end(m, i));
    g_free(label);
  }
}

// --------------------------------------------------------------------------------------------------------- endings

// An ending that another follows without a sign between them is repeated all the same: "|1 ... |2 ..."; else the other
// would never be played.
static void
close_endings(const AbcMusic *m)
{
  gboolean in_ending = FALSE;
  gboolean closed = FALSE;
  for (guint bar = rc_marked_bar(m->marks, 0), next = 0; bar < m->marks->len; bar = next) {
    RcBarMarks *marks = &g_array_index(m->marks, RcBarMarks, bar);
    next = marks->next;
    if (!in_ending && !marks->endings) {
      continue;
    }
    if (in_ending && marks->endings && !marks->opens) {
      marks[-1].closes = MAX(marks[-1].closes, 2);
      rc_tune_remark(m->tune, RC_REMARK_OPEN_ENDINGS, 0, 0,
                     "an ending is followed by the next one without a repeat sign; the repeat is played there");
      in_ending = FALSE;
      closed = TRUE;
    }
    in_ending = (in_ending && !marks->opens) || marks->endings;
    const gboolean more = bar + 1 < m->marks->len && marks[1].endings;
    in_ending &= !marks->closes && (!marks->breaks || more);
  }
  if (closed) { // more bars have marks now
    rc_link_marks(m->marks);
  }
}

// ----------------------------------------------------------------------------------------------------------- order

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

// Appends a part's bars in playing order.
static gboolean
play_part(const AbcMusic *m, char letter, GArray *played)
{
  const guint part = find_part(m, letter);
  const guint first = g_array_index(m->part_marks, AbcPartMark, part).bar;
  return rc_unroll(m->marks, first, part_end(m, part), played);
}

// How often a part is played by its own repeats; 1 where only some of it is repeated.
static guint
times_by_repeats(const AbcMusic *m, char letter)
{
  GArray *played = g_array_new(FALSE, FALSE, sizeof(guint));
  const guint part = find_part(m, letter);
  const guint first = g_array_index(m->part_marks, AbcPartMark, part).bar;
  const guint last = part_end(m, part) - 1;
  guint starts = 0;
  guint ends = 0;
  play_part(m, letter, played);
  for (guint i = 0; i < played->len; ++i) {
    starts += g_array_index(played, guint, i) == first;
    ends += g_array_index(played, guint, i) == last;
  }
  g_array_unref(played);
  return ends == starts || ends == 1 ? starts : 1; // with endings the last bar is played once
}

static gsize
run_length(const GString *letters, gsize at)
{
  gsize n = 1;
  while (at + n < letters->len && letters->str[at + n] == letters->str[at]) {
    ++n;
  }
  return n;
}

// Whether an order writes out the repeats that the parts have as well: "AABB", with `:|` in each part. Sets how often
// each part is played by those, by its letter.
static gboolean
writes_out_repeats(const AbcMusic *m, const GString *letters, guint times[ABC_LETTERS])
{
  for (gsize at = 0, n = 0; at < letters->len; at += n) {
    guint *repeats = &times[letters->str[at] - 'A'];
    n = run_length(letters, at);
    *repeats = *repeats ? *repeats : times_by_repeats(m, letters->str[at]);
    if (*repeats < 2 || n % *repeats) {
      return FALSE;
    }
  }
  return TRUE;
}

static gboolean
play_parts(const AbcMusic *m, const GString *letters)
{
  guint times[ABC_LETTERS] = { 0 };
  const gboolean twice = writes_out_repeats(m, letters, times);
  gboolean good = TRUE;
  for (gsize at = 0; at < letters->len && good;) {
    good = play_part(m, letters->str[at], m->tune->played);
    at += twice ? times[letters->str[at] - 'A'] : 1;
  }
  if (twice) {
    rc_tune_remark(m->tune, RC_REMARK_ORDER, 0, 0,
                   "the order of parts counts the repeats that the parts have as well; they are played as often as the "
                   "order says");
  }
  if (rc_all_jumps(m->marks) & (RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO)) {
    rc_tune_remark(m->tune, RC_REMARK_JUMPS, 0, 0,
                   "a D.S., D.C., coda or fine beside an order of parts is not followed; the order is");
  }
  if (good) {
    rc_remark_unplayed(m->tune);
  }
  return good;
}

// Whether the sections that the tune has between its repeats and double lines, A and so on, are played in this order.
static gboolean
plays_sections(const RcTune *tune, const GString *letters)
{
  char *begins = g_new0(char, tune->bars->len + 1); // by bar: the section
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    begins[part->first] = *part->label;
  }
  gsize at = 0;
  gboolean same = TRUE;
  for (guint i = 0; i < tune->played->len && same; ++i) {
    const char section = begins[g_array_index(tune->played, guint, i)];
    same = !section || letters->str[at++] == section;
  }
  g_free(begins);
  return same && at == letters->len;
}

// Plays the bars as they are written, and says why not in the order.
static gboolean
play_as_written(const AbcMusic *m, gboolean expanded, const GString *letters)
{
  const gboolean good = rc_unroll_all(m->marks, m->tune);
  const gboolean same = expanded && !m->part_marks->len && plays_sections(m->tune, letters);
  if (good && !same) {
    rc_tune_remark(m->tune, RC_REMARK_PARTS, 0, 0, "the order of parts %s; the music is played as it is written",
                   !expanded            ? "is not understood"
                   : m->part_marks->len ? "names parts that are not there"
                                        : "names parts, but no line `P:` in the music says where they begin");
  }
  return good;
}

static gboolean
play(const AbcMusic *m, AbcText order)
{
  if (order.at == order.end) {
    return rc_unroll_all(m->marks, m->tune);
  }
  GString *letters = g_string_new(NULL);
  const gboolean expanded = expand_order(&order, letters, 0) && order.at == order.end;
  const gboolean by_parts = expanded && names_parts(m, letters);
  const gboolean good = by_parts ? play_parts(m, letters) : play_as_written(m, expanded, letters);
  g_string_free(letters, TRUE);
  return good;
}

gboolean
abc_play(const AbcMusic *m, AbcText order)
{
  leave_letters(m->part_marks);
  rc_link_marks(m->marks);
  close_endings(m);
  name_parts(m);
  return play(m, order);
}
