// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The elements of a MusicXML `harmony`.

#include "corpus/musicxml/body.h"

#include <math.h>
#include <string.h>

static void
start_harmony(RcMusicxmlReader *r, const char **attributes)
{
  const char *type = mx_attribute(attributes, "type");
  r->harmony = mx_harmony_start();
  r->harmony_place = mx_place(r);
  r->offset = 0;
  r->alternate = type && !strcmp(type, "alternate");
}

static void
start_root(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->harmony.root = TRUE;
  ++r->harmony.chords;
}

// A numeral or a function, which no key says how to read.
static void
end_other_root(RcMusicxmlReader *r)
{
  r->harmony.other = TRUE;
  ++r->harmony.chords;
  g_strlcpy(r->harmony.said, r->text, sizeof r->harmony.said);
}

static gboolean
keeps_first(const RcMusicxmlReader *r)
{
  return r->harmony.chords <= 1;
}

static void
end_root_step(RcMusicxmlReader *r)
{
  const int step = mx_step(r->text);
  if (step == G_MININT) {
    mx_fail_found(r, "a root from A to G");
  } else if (keeps_first(r)) {
    r->harmony.root_step = step;
  }
}

static void
end_root_alter(RcMusicxmlReader *r)
{
  int alter = 0;
  if (mx_read_whole(r, -2, 2, &alter) && keeps_first(r)) {
    r->harmony.root_alter = alter;
  }
}

static void
start_kind(RcMusicxmlReader *r, const char **attributes)
{
  const char *text = mx_attribute(attributes, "text");
  if (keeps_first(r)) {
    g_strlcpy(r->harmony.text, text ? text : "", sizeof r->harmony.text);
  }
}

static void
end_kind(RcMusicxmlReader *r)
{
  if (keeps_first(r)) {
    g_strlcpy(r->harmony.kind, r->text, sizeof r->harmony.kind);
  }
}

static void
end_inversion(RcMusicxmlReader *r)
{
  r->harmony.inversion = mx_read_count(r->text, 0);
}

static void
end_bass_step(RcMusicxmlReader *r)
{
  r->harmony.bass_step = mx_step(r->text);
  if (r->harmony.bass_step == G_MININT) {
    mx_fail_found(r, "a bass from A to G");
  }
}

static void
end_bass_alter(RcMusicxmlReader *r)
{
  mx_read_whole(r, -2, 2, &r->harmony.bass_alter);
}

static void
start_degree(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->degree = (MxDegree){ 0 };
}

static void
end_degree_value(RcMusicxmlReader *r)
{
  int value = 0;
  if (mx_read_whole(r, 1, 14, &value)) {
    r->degree.value = (guint)value;
  }
}

static void
end_degree_alter(RcMusicxmlReader *r)
{
  mx_read_whole(r, -3, 3, &r->degree.alter);
}

static void
end_degree_type(RcMusicxmlReader *r)
{
  r->degree.type = !strcmp(r->text, "alter")      ? MX_DEGREE_ALTER
                   : !strcmp(r->text, "subtract") ? MX_DEGREE_SUBTRACT
                                                  : MX_DEGREE_ADD;
}

static void
end_degree(RcMusicxmlReader *r)
{
  if (r->harmony.n_degrees == MX_MAX_DEGREES) {
    mx_fail_limit(r, "degrees of a chord", MX_MAX_DEGREES);
  } else if (r->degree.value) {
    r->harmony.degrees[r->harmony.n_degrees++] = r->degree;
  }
}

static void
end_offset(RcMusicxmlReader *r)
{
  if (!mx_read_number(r->text, &r->offset) || fabs(r->offset) > (double)MX_LONGEST_BAR * MX_MAX_DIVISIONS) {
    mx_fail_found(r, "an offset in divisions");
  }
}

static gboolean
check_harmony(RcMusicxmlReader *r)
{
  const MxHarmony *h = &r->harmony;
  const gboolean silent = !strcmp(h->kind, "none");
  if (!silent && !h->other && h->root_step == G_MININT) {
    mx_fail(r, RC_ERROR_VALUE, "the harmony that begins in line %u has no root; write a `root` with its `root-step`",
            r->harmony_place.line);
  } else if (++r->n_chords > MX_MAX_BAR_CHORDS) {
    mx_fail_limit(r, "chords in a measure", MX_MAX_BAR_CHORDS);
  } else if (r->tune->symbols->len >= RC_MAX_SYMBOLS) {
    mx_fail_limit(r, "different chords", RC_MAX_SYMBOLS);
  } else if (r->score.chords.items->len >= RC_MAX_EVENTS) {
    mx_fail_limit(r, "chords", RC_MAX_EVENTS);
  }
  return !r->error;
}

static gboolean
is_plain(const MxHarmony *h)
{
  return h->chords == 1 && !h->other && !h->n_degrees;
}

static gboolean
is_same(const MxHarmony *a, const MxHarmony *b)
{
  return a->root_step == b->root_step && a->root_alter == b->root_alter && a->bass_step == b->bass_step &&
         a->bass_alter == b->bass_alter && a->inversion == b->inversion && !strcmp(a->kind, b->kind) &&
         !strcmp(a->text, b->text);
}

static guint
symbol_here(RcMusicxmlReader *r)
{
  const MxHarmony *h = &r->harmony;
  const int fifths = mx_part(r)->fifths;
  if (!is_plain(h)) {
    return mx_harmony_symbol(h, fifths, r->symbols);
  }
  const guint note = (guint)h->root_step + 7 * (guint)h->root_alter + 31 * (guint)h->bass_step;
  const guint mixed = note + 5 * (guint)(h->kind[0] + h->kind[1]);
  MxKnown *known = &r->known[mixed % MX_KNOWN];
  if (!known->known || known->fifths != fifths || !is_same(&known->harmony, h)) {
    *known = (MxKnown){ TRUE, mx_harmony_symbol(h, fifths, r->symbols), fifths, *h };
  }
  return known->symbol;
}

static void
end_harmony(RcMusicxmlReader *r)
{
  if (r->alternate || r->part > r->score.chords.part || !check_harmony(r)) {
    return;
  }
  const MxChordAt chord = { .at = mx_point(r, r->offset),
                            .symbol = symbol_here(r),
                            .line = r->harmony_place.line,
                            .column = r->harmony_place.column };
  mx_track_add(&r->score.chords, r->part, &chord);
}

// ------------------------------------------------------------------------------------------------------- the table

const MxElement mx_harmony_elements[] = {
  { "harmony", MX_IN_MEASURE, start_harmony, end_harmony, FALSE },
  { "root", "harmony", start_root, NULL, FALSE },
  { "root-step", "root", NULL, end_root_step, TRUE },
  { "root-alter", "root", NULL, end_root_alter, TRUE },
  { "function", "harmony", NULL, end_other_root, TRUE },
  { "numeral", "harmony", NULL, NULL, FALSE },
  { "numeral-root", "numeral", NULL, end_other_root, TRUE },
  { "kind", "harmony", start_kind, end_kind, TRUE },
  { "inversion", "harmony", NULL, end_inversion, TRUE },
  { "bass", "harmony", NULL, NULL, FALSE },
  { "bass-step", "bass", NULL, end_bass_step, TRUE },
  { "bass-alter", "bass", NULL, end_bass_alter, TRUE },
  { "degree", "harmony", start_degree, end_degree, FALSE },
  { "degree-value", "degree", NULL, end_degree_value, TRUE },
  { "degree-alter", "degree", NULL, end_degree_alter, TRUE },
  { "degree-type", "degree", NULL, end_degree_type, TRUE },
  { "offset", "harmony", NULL, end_offset, TRUE },
  { NULL, NULL, NULL, NULL, FALSE },
};
