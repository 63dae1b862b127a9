// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/unroll.h"

#include <string.h>

#define NO_BAR G_MAXUINT

enum { RUN = 128 };

// The repeat in force.
typedef struct {
  guint start;        // where it began
  guint pass;         // which time it is played, from 1
  guint passes;       // how often its endings say it is played; 0: not looked up yet
  gboolean again;     // after a jump, too
  gboolean opened;    // by a line of its own
  gboolean in_ending; // an ending is being played
} Section;

// A jump of a tune: from the end of a bar to the beginning of another, then perhaps from the end of one to the coda, or
// up to a fine.
typedef struct {
  guint from;
  guint to;
  guint leave; // NO_BAR: no coda
  guint coda;
  gboolean heeds_fine;
  gboolean needs_fine;
  gboolean taken;
  Section left; // the repeat it was taken from, which goes on when it is come to again
} Jump;

typedef struct {
  GArray *played;
  guint run[RUN]; // bars to be appended together
  guint length;
  guint first_left;    // the first bar that is not appended after all those written before it
  const GArray *marks; // of RcBarMarks
  guint end;
  Section in;
  GArray *jumps;    // of Jump; NULL: none
  const Jump *jump; // the one that was taken, up to its coda or to where it was taken: repeats are not played again
} Unroller;

static const RcBarMarks *
marks_at(const Unroller *u, guint bar)
{
  return &g_array_index(u->marks, RcBarMarks, bar);
}

void
rc_link_marks(GArray *marks)
{
  guint next = marks->len;
  for (guint bar = marks->len; bar--;) {
    RcBarMarks *m = &g_array_index(marks, RcBarMarks, bar);
    m->next = next;
    next = rc_is_plain_bar(m) ? next : bar;
  }
}

static guint
last_ending(guint64 endings)
{
  guint last = 0;
  for (; endings >> 1U; endings >>= 1U) {
    ++last;
  }
  return last;
}

// Looks up how often the repeat in force is played, as the last of its endings says, and whether after a jump, too.
static void
look_ahead(Unroller *u, guint closing)
{
  gboolean closed = FALSE;
  u->in.passes = 1;
  u->in.again = FALSE;
  for (guint bar = rc_marked_bar(u->marks, u->in.start); bar < u->end;) {
    const RcBarMarks *m = marks_at(u, bar);
    if (bar > u->in.start && (m->opens || (closed && !m->endings))) {
      break;
    }
    u->in.passes = MAX(u->in.passes, last_ending(m->endings));
    u->in.again |= m->again;
    closed = m->closes || (m->breaks && bar > closing);
    bar = closed && m->next > bar + 1 ? u->end : m->next;
  }
}

static guint
times(Unroller *u, guint closing)
{
  if (!u->in.passes) {
    look_ahead(u, closing); // the same for all of its endings
  }
  return MAX(u->in.passes, marks_at(u, closing)->closes);
}

// The bar after an ending that is not for this time.
static guint
skip_ending(const Unroller *u, guint bar)
{
  for (guint next = bar; next < u->end; next = marks_at(u, next)->next) {
    const RcBarMarks *m = marks_at(u, next);
    if (next > bar && m->endings) {
      return next;
    }
    if (m->closes || m->breaks) {
      return next + 1;
    }
  }
  return u->end;
}

static void
begin(Unroller *u, guint bar, gboolean opened)
{
  u->in = (Section){ .start = bar, .pass = 1, .opened = opened };
}

// Whether what follows this bar is no longer part of the repeat in force: after a double line within an opened one it
// still is.
static gboolean
ends_section(const Unroller *u, const RcBarMarks *m, gboolean more_endings)
{
  return !more_endings && (m->closes || (m->breaks && (!u->in.opened || u->in.in_ending)));
}

static void
flush(Unroller *u)
{
  g_array_append_vals(u->played, u->run, u->length);
  u->length = 0;
}

// Appends the bars from `bar` to before `end`. FALSE where they are too many.
static gboolean
append(Unroller *u, guint bar, guint end)
{
  if (bar <= u->first_left && u->first_left < end) {
    u->first_left = end;
  }
  while (bar < end && u->played->len <= RC_MAX_PLAYED_BARS) {
    const guint n = MIN(end - bar, RUN - u->length);
    for (guint i = 0; i < n; ++i) {
      u->run[u->length + i] = bar + i;
    }
    bar += n;
    u->length += n;
    if (u->length == RUN) {
      flush(u);
    }
  }
  return u->played->len + u->length <= RC_MAX_PLAYED_BARS;
}

static gboolean
holds_time(guint64 set, guint time)
{
  return (set >> MIN(time, 63)) & 1U;
}

// Whether an ending is for this time; after a jump the last one is.
static gboolean
is_for_now(Unroller *u, guint bar, guint64 endings)
{
  if (u->jump) {
    const guint last = times(u, bar);
    u->in.pass = u->in.again ? u->in.pass : last;
  }
  return holds_time(endings, u->in.pass);
}

// The first bar from `bar` on, before `end`, with one of these signs; NO_BAR where none has one.
static guint
next_sign(const GArray *marks, guint bar, guint end, guint signs)
{
  for (; bar < end; ++bar) {
    if (g_array_index(marks, RcBarMarks, bar).jumps & signs) {
      return bar;
    }
  }
  return NO_BAR;
}

static Jump *
jump_at(const Unroller *u, guint bar)
{
  for (guint i = 0; u->jumps && i < u->jumps->len; ++i) {
    Jump *jump = &g_array_index(u->jumps, Jump, i);
    if (jump->from == bar && !jump->taken) {
      return jump;
    }
  }
  return NULL;
}

// Where the jump that was taken leads on from the end of this bar, which it has come to; NO_BAR where it goes straight
// on.
static guint
follow_jump(Unroller *u, guint bar, const RcBarMarks *m)
{
  const Jump *jump = u->jump;
  if (bar == jump->leave) {
    u->jump = NULL;
    return jump->coda;
  }
  if (jump->heeds_fine && (m->jumps & RC_JUMP_FINE)) {
    return u->end;
  }
  if (bar != jump->from || jump->needs_fine) {
    return NO_BAR;
  }
  u->in = jump->left; // what follows is new: its repeats are played
  u->jump = NULL;
  return NO_BAR;
}

// Where a bar leads whose marks are for this time only.
static guint
leave_for_now(const Unroller *u, guint bar, const RcBarMarks *m)
{
  if (m->jumps & RC_JUMP_FINE) {
    return u->end;
  }
  return (m->jumps & RC_JUMP_TO_CODA) ? next_sign(u->marks, bar + 1, u->end, RC_JUMP_CODA) : NO_BAR;
}

// Where a jump leads from the end of this bar; NO_BAR where none is taken. A fine leads to the end.
static guint
jump_from(Unroller *u, guint bar)
{
  const RcBarMarks *m = marks_at(u, bar);
  const gboolean now = !m->times || holds_time(m->times, u->in.pass);
  Jump *jump = now ? jump_at(u, bar) : NULL;
  if (jump) {
    jump->taken = TRUE;
    jump->left = u->in;
    u->jump = jump;
    return jump->to;
  }
  if (u->jump) {
    return follow_jump(u, bar, m);
  }
  return m->times && now ? leave_for_now(u, bar, m) : NO_BAR;
}

// Goes on after a bar that was played: back to where its repeat began, where a jump leads, or to the next.
static guint
next_bar(Unroller *u, guint bar, gboolean *back)
{
  const RcBarMarks *m = marks_at(u, bar);
  guint jump = m->times ? jump_from(u, bar) : NO_BAR; // what is for this time comes before the repeat
  if (jump == NO_BAR && m->closes && u->in.pass < times(u, bar) && (!u->jump || u->in.again)) {
    ++u->in.pass;
    u->in.in_ending = FALSE;
    *back = TRUE;
    return u->in.start;
  }
  jump = jump == NO_BAR ? jump_from(u, bar) : jump;
  const guint next = jump != NO_BAR ? jump : bar + 1;
  if (jump != NO_BAR || ends_section(u, m, next < u->end && marks_at(u, next)->endings)) {
    begin(u, next, FALSE);
  }
  return next;
}

static gboolean
unroll(Unroller *u, guint first)
{
  gboolean back = FALSE; // the bar was reached by going back
  for (guint bar = first; bar < u->end;) {
    const RcBarMarks *m = marks_at(u, bar);
    if (!u->jump && rc_is_plain_bar(m)) {
      const guint next = MIN(m->next, u->end);
      if (!append(u, bar, next)) {
        return FALSE;
      }
      bar = next;
      back = FALSE;
      continue;
    }
    if (m->opens && !back) {
      begin(u, bar, TRUE);
    }
    back = FALSE;
    if (m->endings && !is_for_now(u, bar, m->endings)) {
      bar = skip_ending(u, bar);
      continue;
    }
    u->in.in_ending |= m->endings != 0;
    if (!append(u, bar, bar + 1)) {
      return FALSE;
    }
    bar = next_bar(u, bar, &back);
  }
  flush(u);
  return TRUE;
}

// ---------------------------------------------------------------------------------------------------------- endings

// 1, 2, 3 and so on, all of them.
static gboolean
is_series(guint64 numbers)
{
  return !(numbers & 1U) && ((numbers | 1U) & ((numbers | 1U) + 1)) == 0;
}

// Gives the endings from `first` to before `end` their place in the order as a number.
static void
number_endings(GArray *marks, guint first, guint end)
{
  guint n = 0;
  for (guint bar = first; bar < end; ++bar) {
    RcBarMarks *m = &g_array_index(marks, RcBarMarks, bar);
    if (m->endings) {
      ++n;
      m->endings = G_GUINT64_CONSTANT(1) << MIN(n, 63);
    }
  }
}

// Goes through the endings of one repeat, the first of which is at `first`, and returns the next bar at which anything
// is written. A single one keeps its number.
static guint
settle_group(GArray *marks, guint first, guint end, guint *changed)
{
  guint64 seen = 0;
  guint n = 0;
  gboolean twice = FALSE;
  gboolean closed = FALSE;
  guint bar = first;
  for (gboolean more = TRUE; more && bar < end;) {
    const RcBarMarks *m = &g_array_index(marks, RcBarMarks, bar);
    if (bar > first && (m->opens || (closed && !m->endings))) {
      break;
    }
    n += m->endings != 0;
    twice |= (seen & m->endings) != 0;
    seen |= m->endings;
    closed = m->closes || m->breaks;
    more = !closed || m->next == bar + 1;
    bar = m->next;
  }
  if (n > 1 ? twice || !is_series(seen) : seen == 1) {
    number_endings(marks, first, MIN(bar, end));
    *changed = MIN(*changed, first);
  }
  return bar;
}

// Numbers endings anew where their numbers make no series; returns the first bar with one, or NO_BAR.
static guint
settle_endings(GArray *marks, guint first, guint end)
{
  guint changed = NO_BAR;
  for (guint bar = rc_marked_bar(marks, first); bar < end;) {
    const RcBarMarks *m = &g_array_index(marks, RcBarMarks, bar);
    bar = m->endings ? settle_group(marks, bar, end, &changed) : m->next;
  }
  return changed;
}

gboolean
rc_unroll(GArray *marks, guint first, guint end, GArray *played)
{
  settle_endings(marks, first, end);
  Unroller u = { .played = played, .marks = marks, .end = end, .in = { .start = first, .pass = 1 } };
  return unroll(&u, first);
}

// ------------------------------------------------------------------------------------------------------------ jumps

guint
rc_all_jumps(const GArray *marks)
{
  guint signs = 0;
  for (guint bar = rc_marked_bar(marks, 0); bar < marks->len; bar = g_array_index(marks, RcBarMarks, bar).next) {
    signs |= g_array_index(marks, RcBarMarks, bar).jumps;
  }
  return signs;
}

// The last segno before the end of a bar.
static guint
segno_before(const GArray *marks, guint bar)
{
  for (guint at = bar + 1; at-- > 0;) {
    if (g_array_index(marks, RcBarMarks, at).jumps & RC_JUMP_SEGNO) {
      return at;
    }
  }
  return NO_BAR;
}

// Finds where a jump leaves for the coda, and the coda. Where no leave is written the coda sign is printed at both.
static void
find_coda(const GArray *marks, Jump *jump)
{
  const guint sign = next_sign(marks, jump->to + 1, jump->from + 1, RC_JUMP_CODA);
  jump->leave = next_sign(marks, jump->to, jump->from + 1, RC_JUMP_TO_CODA);
  if (jump->leave == NO_BAR && sign != NO_BAR) {
    jump->leave = sign - 1;
  }
  jump->coda = next_sign(marks, jump->from + 1, marks->len, RC_JUMP_CODA);
  if (jump->coda == NO_BAR && jump->leave != NO_BAR) {
    jump->coda = next_sign(marks, jump->leave + 2, jump->from + 1, RC_JUMP_CODA);
  }
}

// Finds where the jump at the end of a bar leads. Returns what is not to be found, or NULL.
static const char *
find_jump(const GArray *marks, guint bar, Jump *jump)
{
  const guint signs = g_array_index(marks, RcBarMarks, bar).jumps;
  const gboolean to_segno = (signs & RC_JUMP_DAL_SEGNO) != 0;
  *jump = (Jump){ .from = bar, .to = to_segno ? segno_before(marks, bar) : 0, .leave = NO_BAR, .coda = NO_BAR };
  jump->heeds_fine = !(signs & RC_JUMP_AL_CODA);
  jump->needs_fine = (signs & RC_JUMP_AL_FINE) != 0;
  if (to_segno && (signs & RC_JUMP_DA_CAPO)) {
    return "a D.C. is written there, too";
  }
  if (jump->to == NO_BAR) {
    return "no segno is marked before it";
  }
  if (jump->needs_fine) {
    return next_sign(marks, jump->to, marks->len, RC_JUMP_FINE) == NO_BAR ? "no fine is marked" : NULL;
  }
  find_coda(marks, jump);
  if (jump->leave == NO_BAR && jump->coda == NO_BAR) {
    return (signs & RC_JUMP_AL_CODA) ? "no coda is marked" : NULL;
  }
  return jump->leave == NO_BAR  ? "nothing marks where to leave for the coda"
         : jump->coda == NO_BAR ? "no coda is marked after it"
                                : NULL;
}

// Remarks on a bar, at its first chord.
static void
remark(RcTune *tune, RcRemarkKind kind, guint bar, const char *text)
{
  const RcBar *at = &g_array_index(tune->bars, RcBar, bar);
  const RcEvent *event = &g_array_index(tune->events, RcEvent, at->first);
  char *name = rc_tune_bar_name(tune, bar);
  rc_tune_remark(tune, kind, event->line, event->column, "%s: %s", name, text);
  g_free(name);
}

static void
remark_jump(RcTune *tune, guint bar, guint signs, const char *why)
{
  char *text = g_strdup_printf("a %s%s, but %s; it is not followed", signs & RC_JUMP_DAL_SEGNO ? "D.S." : "D.C.",
                               signs & RC_JUMP_AL_FINE   ? " al Fine"
                               : signs & RC_JUMP_AL_CODA ? " al Coda"
                                                         : "",
                               why);
  remark(tune, RC_REMARK_JUMPS, bar, text);
  g_free(text);
}

static GArray *
find_jumps(const GArray *marks, RcTune *tune)
{
  GArray *jumps = g_array_new(FALSE, FALSE, sizeof(Jump));
  for (guint bar = 0; bar < marks->len; ++bar) {
    const guint signs = g_array_index(marks, RcBarMarks, bar).jumps;
    Jump jump;
    if (!(signs & (RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO))) {
      continue;
    }
    const char *why = find_jump(marks, bar, &jump);
    if (why) {
      remark_jump(tune, bar, signs, why);
    } else {
      g_array_append_val(jumps, jump);
    }
  }
  return jumps;
}

// Remarks on signs that nothing leads to, where there is no jump at all; a fine at the end is as good as none.
static void
remark_idle_signs(const GArray *marks, RcTune *tune)
{
  if (!marks->len || next_sign(marks, 0, marks->len, RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO) != NO_BAR) {
    return;
  }
  const guint bar = next_sign(marks, 0, marks->len - 1, RC_JUMP_CODA | RC_JUMP_TO_CODA | RC_JUMP_FINE);
  const guint last = next_sign(marks, marks->len - 1, marks->len, RC_JUMP_CODA | RC_JUMP_TO_CODA);
  const guint first = MIN(bar, last);
  if (first != NO_BAR && !g_array_index(marks, RcBarMarks, first).times) {
    remark(tune, RC_REMARK_JUMPS, first, "a coda or fine, but no D.C. or D.S. leads to it; played straight on");
  }
}

gboolean
rc_unroll_all(GArray *marks, RcTune *tune)
{
  const guint changed = settle_endings(marks, 0, marks->len);
  if (changed != NO_BAR) {
    remark(tune, RC_REMARK_ENDINGS, changed,
           "the numbers of the endings make no series; they are played in their order");
  }
  GArray *jumps = NULL;
  if (rc_all_jumps(marks)) {
    jumps = find_jumps(marks, tune);
    remark_idle_signs(marks, tune);
  }
  Unroller u = { .played = tune->played, .marks = marks, .end = marks->len, .in = { .pass = 1 }, .jumps = jumps };
  const gboolean good = unroll(&u, 0);
  if (jumps) {
    g_array_unref(jumps);
  }
  if (good && u.first_left < tune->bars->len) {
    rc_remark_unplayed(tune);
  }
  return good;
}

// --------------------------------------------------------------------------------------------------------- unplayed

// Whether each bar is played, where each is first played after all that are written before it, as in most tunes.
static gboolean
plays_all(const RcTune *tune)
{
  const guint *played = (const guint *)(gconstpointer)tune->played->data;
  guint next = 0; // the bar that was not played yet
  for (guint i = 0; i < tune->played->len; ++i) {
    next += played[i] == next;
  }
  return next == tune->bars->len;
}

static guint8 *
find_played(const RcTune *tune)
{
  guint8 *played = g_new0(guint8, tune->bars->len + 1);
  for (guint i = 0; i < tune->played->len; ++i) {
    played[g_array_index(tune->played, guint, i)] = TRUE;
  }
  return played;
}

static void
append_bars(GString *list, const RcTune *tune, guint first, guint end)
{
  char *name = rc_tune_bar_name(tune, first);
  char *last = rc_tune_bar_name(tune, end - 1);
  g_string_append_printf(list, "%s%s", list->len ? ", " : "", name);
  if (end > first + 1) {
    g_string_append_printf(list, " to %s", strchr(last, ' ') + 1);
  }
  g_free(name);
  g_free(last);
}

void
rc_remark_unplayed(RcTune *tune)
{
  enum { MOST = 8 }; // stretches named
  if (plays_all(tune)) {
    return;
  }
  guint8 *played = find_played(tune);
  GString *list = g_string_new(NULL);
  guint stretches = 0;
  guint first = NO_BAR;
  for (guint bar = 0; bar < tune->bars->len; ++bar) {
    guint end = bar;
    while (end < tune->bars->len && !played[end]) {
      ++end;
    }
    if (end > bar && ++stretches <= MOST) {
      append_bars(list, tune, bar, end);
      first = MIN(first, bar);
    }
    bar = end;
  }
  if (stretches) {
    g_string_append_printf(list, "%s: written, but never played", stretches > MOST ? " and more" : "");
    const RcEvent *event = &g_array_index(tune->events, RcEvent, g_array_index(tune->bars, RcBar, first).first);
    rc_tune_remark(tune, RC_REMARK_UNPLAYED, event->line, event->column, "%s", list->str);
  }
  g_string_free(list, TRUE);
  g_free(played);
}

// ------------------------------------------------------------------------------------------------------------ parts

void
rc_add_part(RcTune *tune, const char *label, guint first, guint end)
{
  if (end > first && tune->parts->len < RC_MAX_PARTS) {
    const RcPart part = { rc_tune_text(tune, label, strlen(label)), first, end - first };
    g_array_append_val(tune->parts, part);
  }
}

// Whether a section begins with this bar, which is not the first.
static gboolean
begins_section(const GArray *marks, guint bar)
{
  const RcBarMarks *here = &g_array_index(marks, RcBarMarks, bar);
  const RcBarMarks *before = here - 1;
  return !here->endings && (here->opens || before->closes || before->breaks);
}

// Whether a section is no more than the pickup to the next one, as in `D|:GABc|...`; what is repeated is none.
static gboolean
is_lone_pickup(const RcTune *tune, const GArray *marks, guint first, guint end)
{
  const gboolean repeated = g_array_index(marks, RcBarMarks, first).closes > 0;
  return end == first + 1 && end < tune->bars->len && !repeated && rc_tune_bar_is_pickup(tune, first);
}

// Adds the section that ends before `end`, the one after `n` others, and returns how many have a name.
static guint
add_section(RcTune *tune, const GArray *marks, guint n, guint *first, guint end)
{
  char label[8];
  if (n < 26) {
    label[0] = (char)('A' + n);
    label[1] = '\0';
  } else {
    g_snprintf(label, sizeof label, "%u", n + 1);
  }
  rc_add_part(tune, label, *first, end);
  const gboolean named = !is_lone_pickup(tune, marks, *first, end);
  if (!named) { // which is only known of a bar that begins a part
    g_array_index(tune->parts, RcPart, tune->parts->len - 1).label = "";
  }
  *first = end;
  return n + (named ? 1 : 0);
}

void
rc_name_sections(RcTune *tune, const GArray *marks)
{
  guint first = 0;
  guint n = 0;
  for (guint bar = rc_marked_bar(marks, 0); bar < marks->len;) {
    const guint next = g_array_index(marks, RcBarMarks, bar).next;
    if (bar && begins_section(marks, bar)) {
      n = add_section(tune, marks, n, &first, bar);
    }
    if (next > bar + 1 && begins_section(marks, bar + 1)) {
      n = add_section(tune, marks, n, &first, bar + 1);
    }
    bar = next;
  }
  if (marks->len) {
    add_section(tune, marks, n, &first, marks->len);
  }
}
