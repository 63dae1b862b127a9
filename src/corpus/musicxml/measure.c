// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/musicxml/measure.h"

#include "rowcall/error.h"

#include <math.h>
#include <string.h>

static const RcPlace nowhere = { NULL, 0, 0 };

static gboolean
fail_limit(const char *what, guint limit, GError **error)
{
  return rc_fail(error, RC_ERROR_LIMIT, nowhere, "more than %u %s", limit, what);
}

// ------------------------------------------------------------------------------------------------------------- time

// Where `pos` divisions from the base are in the measure.
static RcTicks
ticks_at(const MxMeasure *m, double pos)
{
  const double divisions = m->part->divisions;
  return m->base + (divisions > 0 ? (RcTicks)llround(pos * (double)RC_QUARTER / divisions) : 0);
}

// The point `offset` divisions from here.
static MxPoint
point(MxMeasure *m, double offset)
{
  const RcTicks pos = ticks_at(m, m->pos + offset);
  return (MxPoint){ m->measure, m->order++, MAX(pos, 0) };
}

// Moves on by a duration; whatever part goes farthest says how long the measure is.
static gboolean
advance(MxMeasure *m, double duration, GError **error)
{
  m->pos += duration;
  const RcTicks end = ticks_at(m, m->pos);
  RcTicks *length = &g_array_index(m->score->measures, MxMeasureAt, m->measure).length;
  *length = MAX(*length, MIN(end, MX_LONGEST_BAR * RC_QUARTER));
  return end <= MX_LONGEST_BAR * RC_QUARTER ||
         rc_fail(error, RC_ERROR_LIMIT, nowhere, "a measure longer than %d quarter notes", MX_LONGEST_BAR);
}

static gboolean
read_duration(const MxMeasure *m, const MxNode *node, double *duration, GError **error)
{
  const MxNode *child = mx_child(node, MX_DURATION);
  *duration = child ? child->value : 0;
  return !child || m->part->divisions > 0 ||
         rc_fail(error, RC_ERROR_SYNTAX, nowhere,
                 "a duration, but no `divisions` before it say what it counts; write them into the attributes of the "
                 "part's first measure");
}

static gboolean
take_backup(MxMeasure *m, const MxNode *node, GError **error)
{
  double duration = 0;
  if (!read_duration(m, node, &duration, error)) {
    return FALSE;
  }
  m->pos -= duration;
  if (ticks_at(m, m->pos) < 0) { // a few divisions too far, by rounding
    m->base = 0;
    m->pos = 0;
  }
  return TRUE;
}

static gboolean
take_forward(MxMeasure *m, const MxNode *node, GError **error)
{
  double duration = 0;
  return read_duration(m, node, &duration, error) && advance(m, duration, error);
}

// ------------------------------------------------------------------------------------------------------- attributes

static gboolean
add_change(MxMeasure *m, MxChangeKind kind, const RcSetting *setting, GError **error)
{
  const MxChange change = { point(m, 0), *setting };
  MxTrack *track = &m->score->changes[kind];
  mx_track_add(track, m->part->index, &change);
  return track->items->len <= RC_MAX_EVENTS || fail_limit("changes of key, meter or tempo", RC_MAX_EVENTS, error);
}

static void
set_divisions(MxMeasure *m, double divisions)
{
  m->base = ticks_at(m, m->pos);
  m->pos = 0;
  m->part->divisions = divisions;
}

static gboolean
take_meter(MxMeasure *m, const MxNode *time, GError **error)
{
  RcSetting setting = { 0 };
  char text[32];
  switch (mx_read_meter(time, &setting.meter, text)) {
  case MX_METER:
    return add_change(m, MX_CHANGE_METER, &setting, error);
  case MX_BAD_METER:
    return rc_fail(error, RC_ERROR_VALUE, nowhere,
                   "found a meter of `%s`; expected beats from 1 to 64 and a beat type such as 4 or 8", text);
  case MX_NO_METER:
    break;
  }
  return TRUE;
}

// The transposition, which is written last, is that of the key, too.
static gboolean
take_key(MxMeasure *m, const MxNode *attributes, GError **error)
{
  const MxNode *key = mx_child(attributes, MX_KEY);
  const MxNode *transpose = mx_child(attributes, MX_TRANSPOSE);
  MxPart *part = m->part;
  if (transpose) {
    part->transposition = mx_read_transposition(transpose);
  }
  if (key) {
    part->key = mx_read_key(key);
    part->keyed = TRUE;
  }
  if (!part->keyed || !(key || transpose)) {
    return TRUE;
  }
  const RcSetting setting = mx_key_setting(&part->key, &part->transposition);
  return add_change(m, MX_CHANGE_KEY, &setting, error);
}

static gboolean
take_attributes(MxMeasure *m, const MxNode *attributes, GError **error)
{
  const MxNode *divisions = mx_child(attributes, MX_DIVISIONS);
  const MxNode *time = mx_child(attributes, MX_TIME);
  if (divisions) {
    set_divisions(m, divisions->value);
  }
  return take_key(m, attributes, error) && (!time || take_meter(m, time, error));
}

// ------------------------------------------------------------------------------------------------------------ notes

// The melody is the first part's, and in it what is on the staff of its first note.
static gboolean
sound_note(MxMeasure *m, const MxNote *note, GError **error)
{
  MxPart *part = m->part;
  const RcTicks start = ticks_at(m, m->before);
  const MxNoteAt sounding = { .measure = m->measure,
                              .tone = mx_note_tone(note, &part->transposition),
                              .pitch = mx_note_pitch(note, &part->transposition),
                              .start = MAX(start, 0),
                              .end = ticks_at(m, m->before + note->duration) };
  part->staff = part->staff ? part->staff : note->staff;
  if (part->staff == note->staff) {
    mx_track_add(&m->score->notes, part->index, &sounding);
  }
  return m->score->notes.items->len <= RC_MAX_NOTES || fail_limit("notes", RC_MAX_NOTES, error);
}

static gboolean
take_note(MxMeasure *m, const MxNode *node, GError **error)
{
  const MxNote note = mx_read_note(node);
  double duration = 0;
  if (note.grace) {
    return TRUE;
  }
  if (!read_duration(m, node, &duration, error)) {
    return FALSE;
  }
  if (duration <= 0) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere, "a note %s; only grace notes have none",
                   note.timed ? "with a duration of 0" : "without duration");
  }
  if (!note.chord) {
    m->before = m->pos;
    if (!advance(m, duration, error)) {
      return FALSE;
    }
  }
  return note.step == G_MININT || note.cue || sound_note(m, &note, error);
}

// ----------------------------------------------------------------------------------------------------------- chords

static gboolean
check_harmony(MxMeasure *m, const MxHarmony *h, GError **error)
{
  if (strcmp(h->kind, "none") != 0 && !h->other && h->root_step == G_MININT) {
    return rc_fail(error, RC_ERROR_VALUE, nowhere, "the harmony has no root; write a `root` with its `root-step`");
  }
  if (h->n_degrees > MX_MAX_DEGREES) {
    return fail_limit("degrees of a chord", MX_MAX_DEGREES, error);
  }
  if (++m->n_chords > MX_MAX_BAR_CHORDS) {
    return fail_limit("chords in a measure", MX_MAX_BAR_CHORDS, error);
  }
  if (m->tune->symbols->len >= RC_MAX_SYMBOLS) {
    return fail_limit("different chords", RC_MAX_SYMBOLS, error);
  }
  return m->score->chords.items->len < RC_MAX_EVENTS || fail_limit("chords", RC_MAX_EVENTS, error);
}

static gboolean
read_attribute(const MxNode *node, const char *name, double *number)
{
  const char *text = mx_attribute(node, name);
  return text && mx_read_number(text, number);
}

static MxDrawn
find_drawn(const MxNode *harmony)
{
  double from_measure = 0;
  double moved = 0;
  const gboolean absolute = read_attribute(harmony, "default-x", &from_measure);
  const gboolean relative = read_attribute(harmony, "relative-x", &moved);
  return (
    MxDrawn){ .drawn = absolute || relative, .timed = mx_child(harmony, MX_OFFSET) != NULL, .x = from_measure + moved };
}

static gboolean
take_harmony(MxMeasure *m, const MxNode *node, GError **error)
{
  const char *type = mx_attribute(node, "type");
  const MxHarmony harmony = mx_read_harmony(node);
  if ((type && !strcmp(type, "alternate")) || m->part->index > m->score->chords.part) {
    return TRUE;
  }
  if (!check_harmony(m, &harmony, error)) {
    return FALSE;
  }
  const MxNode *offset = mx_child(node, MX_OFFSET);
  const MxChordAt chord = { .at = point(m, offset ? offset->value : 0),
                            .symbol = mx_harmony_symbol(&harmony, m->part->transposition.fifths, m->known, m->symbols),
                            .line = node->line,
                            .column = node->column,
                            .drawn = find_drawn(node) };
  mx_track_add(&m->score->chords, m->part->index, &chord);
  return TRUE;
}

// ------------------------------------------------------------------------------------------- directions and bar lines

static RcBarMarks *
marks(MxMeasure *m)
{
  return &g_array_index(m->score->marks, RcBarMarks, m->measure);
}

static gboolean
add_signs(MxMeasure *m, guint signs, RcTicks pos, GError **error)
{
  if (!signs) {
    return TRUE;
  }
  const MxSignAt sign = { m->measure, pos, signs };
  g_array_append_val(m->score->signs, sign);
  return m->score->signs->len <= RC_MAX_EVENTS || fail_limit("segnos and codas", RC_MAX_EVENTS, error);
}

// Tempi that no player plays are passed over.
static gboolean
add_tempo(MxMeasure *m, double quarters, GError **error)
{
  RcSetting setting = { 0 };
  char text[64];
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_snprintf(text, sizeof text, "1/4=%s", g_ascii_dtostr(number, sizeof number, quarters));
  return !rc_tempo_parse(text, (RcMeter){ 4, 4 }, &setting.tempo) || add_change(m, MX_CHANGE_TEMPO, &setting, error);
}

static void
add_rehearsal(MxMeasure *m, const char *label)
{
  enum { MOST = 64 }; // characters
  if (m->score->rehearsals.items->len >= RC_MAX_PARTS) {
    return;
  }
  const MxRehearsal mark = { g_utf8_substring(label, 0, MIN(g_utf8_strlen(label, -1), MOST)), m->measure };
  if (!mx_track_add(&m->score->rehearsals, m->part->index, &mark)) {
    g_free(mark.label);
  }
}

static gboolean
take_direction(MxMeasure *m, const MxNode *node, GError **error)
{
  const MxDirection d = mx_read_direction(node);
  marks(m)->jumps |= d.jumps;
  marks(m)->times |= d.times;
  marks(m)->opens |= d.opens;
  if (d.rehearsal) {
    add_rehearsal(m, d.rehearsal);
  }
  if (d.chord && !m->score->word_chord) {
    m->score->word_chord = m->measure + 1;
  }
  const RcTicks pos = ticks_at(m, m->pos);
  return add_signs(m, d.signs, MAX(pos, 0), error) && (d.tempo <= 0 || add_tempo(m, d.tempo, error));
}

static gboolean
take_barline(MxMeasure *m, const MxNode *node, GError **error)
{
  const MxBarline b = mx_read_barline(node);
  RcBarMarks *here = marks(m);
  here->opens |= b.opens;
  here->closes = b.closes ? b.closes : here->closes;
  here->again |= b.again;
  here->breaks |= b.is_last;
  here->endings |= b.endings;
  g_array_index(m->score->measures, MxMeasureAt, m->measure).stops |= b.stops;
  return add_signs(m, b.signs, b.left ? 0 : MX_MEASURE_END, error);
}

// --------------------------------------------------------------------------------------------------------- elements

void
mx_measure_start(MxMeasure *m, MxPart *part, guint index)
{
  m->part = part;
  m->measure = index;
  m->base = 0;
  m->pos = 0;
  m->before = 0;
  m->n_chords = 0;
}

gboolean
mx_measure_take(MxMeasure *m, const MxNode *node, GError **error)
{
  switch (node->name) {
  case MX_NOTE:
    return take_note(m, node, error);
  case MX_HARMONY:
    return take_harmony(m, node, error);
  case MX_ATTRIBUTES:
    return take_attributes(m, node, error);
  case MX_DIRECTION:
  case MX_SOUND:
    return take_direction(m, node, error);
  case MX_BARLINE:
    return take_barline(m, node, error);
  case MX_BACKUP:
    return take_backup(m, node, error);
  case MX_FORWARD:
    return take_forward(m, node, error);
  default:
    return TRUE;
  }
}
