// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Makes a tune of a score that was read: chords and melody become bars, one after another.

#include "corpus/musicxml/score.h"
#include "base/order.h"

#include <string.h>

static void
clear_rehearsal(gpointer rehearsal)
{
  g_free(((MxRehearsal *)rehearsal)->label);
}

static MxTrack
track_start(gsize item_size)
{
  return (MxTrack){ g_array_new(FALSE, FALSE, (guint)item_size), G_MAXUINT };
}

void
mx_score_start(MxScore *score)
{
  score->measures = g_array_new(FALSE, FALSE, sizeof(MxMeasureAt));
  score->marks = g_array_new(FALSE, TRUE, sizeof(RcBarMarks));
  score->signs = g_array_new(FALSE, FALSE, sizeof(MxSignAt));
  score->word_chord = 0;
  score->chords = track_start(sizeof(MxChordAt));
  score->notes = track_start(sizeof(MxNoteAt));
  score->rehearsals = track_start(sizeof(MxRehearsal));
  g_array_set_clear_func(score->rehearsals.items, clear_rehearsal);
  for (guint i = 0; i < MX_N_CHANGES; ++i) {
    score->changes[i] = track_start(sizeof(MxChange));
  }
}

void
mx_score_clear(MxScore *score)
{
  g_array_unref(score->measures);
  g_array_unref(score->marks);
  g_array_unref(score->signs);
  g_array_unref(score->chords.items);
  g_array_unref(score->notes.items);
  g_array_unref(score->rehearsals.items);
  for (guint i = 0; i < MX_N_CHANGES; ++i) {
    g_array_unref(score->changes[i].items);
  }
}

gboolean
mx_track_add(MxTrack *track, guint part, gconstpointer item)
{
  if (part > track->part) {
    return FALSE;
  }
  if (part < track->part) {
    g_array_set_size(track->items, 0);
    track->part = part;
  }
  g_array_append_vals(track->items, item, 1);
  return TRUE;
}

// ----------------------------------------------------------------------------------------------------------- points

int
mx_compare_points(gconstpointer a, gconstpointer b)
{
  const MxPoint *left = a;
  const MxPoint *right = b;
  if (left->measure != right->measure) {
    return left->measure < right->measure ? -1 : 1;
  }
  if (left->pos != right->pos) {
    return left->pos < right->pos ? -1 : 1;
  }
  return rc_order(left->order, right->order);
}

static gboolean
is_reached(const MxPoint *point, guint measure, RcTicks pos)
{
  return point->measure < measure || (point->measure == measure && point->pos <= pos);
}

// ----------------------------------------------------------------------------------------------------------- events

typedef struct {
  MxScore *score;
  RcTune *tune;
  RcSymbols *symbols;
  guint change[MX_N_CHANGES]; // the next one
  RcSetting setting;          // in force
  guint chord;                // the next one
  guint note;                 // the first of this measure
  guint measure;
  guint shared;       // measures in which chords at one place share the time
  guint first_shared; // the first of them
  guint dropped;      // chords after the last note of their measure, where the next begins with another
  MxChordAt lost;     // the first of them
} Maker;

static void
take_change(RcSetting *setting, MxChangeKind kind, const RcSetting *change)
{
  switch (kind) {
  case MX_CHANGE_KEY:
    setting->key = change->key;
    setting->tones = change->tones;
    setting->signs_only = change->signs_only;
    break;
  case MX_CHANGE_METER:
    setting->meter = change->meter;
    break;
  case MX_CHANGE_TEMPO:
    setting->tempo = change->tempo;
    break;
  case MX_N_CHANGES:
    break;
  }
}

// Brings the setting in force up to a place in the measure.
static gboolean
apply_changes(Maker *m, RcTicks pos)
{
  gboolean changed = FALSE;
  for (guint kind = 0; kind < MX_N_CHANGES; ++kind) {
    const GArray *changes = m->score->changes[kind].items;
    for (; m->change[kind] < changes->len; ++m->change[kind]) {
      const MxChange *change = &g_array_index(changes, MxChange, m->change[kind]);
      if (!is_reached(&change->at, m->measure, pos)) {
        break;
      }
      take_change(&m->setting, (MxChangeKind)kind, &change->setting);
      changed = TRUE;
    }
  }
  return changed;
}

// The index of the setting in force at a place in the measure; that of the tune's beginning is the first.
static guint
setting_at(Maker *m, RcTicks pos)
{
  GArray *settings = m->tune->settings;
  if (apply_changes(m, pos) && m->tune->events->len) {
    g_array_append_val(settings, m->setting);
  } else if (!m->tune->events->len) {
    g_array_index(settings, RcSetting, 0) = m->setting;
  }
  return settings->len - 1;
}

static void
add_event(Maker *m, const MxChordAt *chord, RcTicks start, RcTicks end)
{
  if (end > start) {
    const RcEvent event = { .symbol = chord->symbol,
                            .setting = setting_at(m, start),
                            .line = chord->line,
                            .column = chord->column,
                            .length = end - start };
    g_array_append_val(m->tune->events, event);
  }
}

// What sounded before goes on at the beginning of the measure.
static MxChordAt
held_chord(const Maker *m, const MxMeasureAt *measure)
{
  return (MxChordAt){ .symbol = rc_symbols_held(m->symbols), .line = measure->line, .column = measure->column };
}

static MxChordAt *
chord_at(const Maker *m, guint index)
{
  return &g_array_index(m->score->chords.items, MxChordAt, index);
}

static guint
count_chords(const Maker *m)
{
  const guint all = m->score->chords.items->len;
  guint n = 0;
  while (m->chord + n < all && chord_at(m, m->chord + n)->at.measure == m->measure) {
    ++n;
  }
  return n;
}

// Moves chords after the end of the measure, `n` before them being within, to the beginning of the next; where a chord
// is written there they have no time and are dropped.
static void
carry_chords(Maker *m, guint n, guint all)
{
  const guint next = m->chord + all;
  const gboolean taken =
    next < m->score->chords.items->len && chord_at(m, next)->at.measure == m->measure + 1 && !chord_at(m, next)->at.pos;
  if (taken || m->measure + 1 == m->score->measures->len) {
    m->lost = m->dropped ? m->lost : *chord_at(m, m->chord + n);
    m->dropped += all - n;
    return;
  }
  for (guint i = n; i < all; ++i) {
    chord_at(m, m->chord + i)->at.measure = m->measure + 1;
    chord_at(m, m->chord + i)->at.pos = 0;
  }
}

// Finds the chords within the measure and says when each begins.
static guint
place_chords(Maker *m, RcTicks length, guint *all)
{
  const MxMeasureAt *measure = &g_array_index(m->score->measures, MxMeasureAt, m->measure);
  guint n = 0;
  *all = count_chords(m);
  while (n < *all && chord_at(m, m->chord + n)->at.pos < length) {
    ++n;
  }
  if (n < *all) {
    carry_chords(m, n, *all);
  }
  const RcTicks beat = 4 * RC_QUARTER / m->setting.meter.unit;
  const gboolean shared = n > 1 && mx_share_time(chord_at(m, m->chord), n, length, beat, measure->width);
  if (shared && measure->length) { // else nothing says where they are
    m->first_shared = m->shared ? m->first_shared : m->measure;
    ++m->shared;
  }
  return n;
}

static void
make_events(Maker *m, RcTicks length)
{
  guint all = 0;
  const guint n = place_chords(m, length, &all);
  MxChordAt sounding = held_chord(m, &g_array_index(m->score->measures, MxMeasureAt, m->measure));
  RcTicks start = 0;
  for (guint i = 0; i < n; ++i) {
    const MxChordAt *next = chord_at(m, m->chord + i);
    add_event(m, &sounding, start, next->at.pos);
    sounding = *next;
    start = next->at.pos;
  }
  add_event(m, &sounding, start, length);
  const gboolean carried = n < all && chord_at(m, m->chord + n)->at.measure > m->measure;
  m->chord += carried ? n : all;
}

// ----------------------------------------------------------------------------------------------------------- melody

// Gives the events of the measure the tones of the notes that sound meanwhile.
static void
attach_note(Maker *m, const RcBar *bar, const MxNoteAt *note)
{
  RcTicks start = 0;
  for (guint i = 0; i < bar->count && start < note->end; ++i) {
    RcEvent *event = &g_array_index(m->tune->events, RcEvent, bar->first + i);
    const RcTicks end = start + event->length;
    event->melody |= note->start < end ? note->tone : 0;
    start = end;
  }
}

static void
attach_notes(Maker *m, const RcBar *bar)
{
  const GArray *notes = m->score->notes.items;
  for (; m->note < notes->len && g_array_index(notes, MxNoteAt, m->note).measure == m->measure; ++m->note) {
    attach_note(m, bar, &g_array_index(notes, MxNoteAt, m->note));
  }
}

// ------------------------------------------------------------------------------------------------------------ bars

static gboolean
make_bar(Maker *m)
{
  const MxMeasureAt *measure = &g_array_index(m->score->measures, MxMeasureAt, m->measure);
  const guint first = m->tune->events->len;
  setting_at(m, 0);
  make_events(m, measure->length ? measure->length : rc_meter_bar(m->setting.meter));
  const RcBar bar = { first, m->tune->events->len - first };
  g_array_append_val(m->tune->bars, bar);
  g_array_append_val(m->tune->numbers, measure->number);
  attach_notes(m, &bar);
  return m->tune->events->len <= RC_MAX_EVENTS;
}

static void
name_rehearsals(const MxScore *score, RcTune *tune)
{
  const GArray *rehearsals = score->rehearsals.items;
  rc_add_part(tune, "", 0, g_array_index(rehearsals, MxRehearsal, 0).measure);
  for (guint i = 0; i < rehearsals->len; ++i) {
    const MxRehearsal *mark = &g_array_index(rehearsals, MxRehearsal, i);
    const guint end = i + 1 < rehearsals->len ? (mark + 1)->measure : score->measures->len;
    rc_add_part(tune, mark->label, mark->measure, end);
  }
}

static int
compare_notes(gconstpointer a, gconstpointer b)
{
  const RcTuneNote *left = a;
  const RcTuneNote *right = b;
  if (left->bar != right->bar) {
    return left->bar < right->bar ? -1 : 1;
  }
  if (left->start != right->start) {
    return left->start < right->start ? -1 : 1;
  }
  return (int)left->pitch - (int)right->pitch;
}

void
mx_score_keep_notes(const MxScore *score, RcTune *tune)
{
  gboolean in_order = TRUE; // mostly; sorting takes as much room again
  for (guint i = 0; i < score->notes.items->len; ++i) {
    const MxNoteAt *at = &g_array_index(score->notes.items, MxNoteAt, i);
    const RcTuneNote note = { at->measure, at->start, MAX(at->end - at->start, 0), at->pitch };
    in_order = in_order && (!i || compare_notes(&g_array_index(tune->notes, RcTuneNote, i - 1), &note) <= 0);
    g_array_append_val(tune->notes, note);
  }
  if (!in_order) {
    g_array_sort(tune->notes, compare_notes);
  }
}

static gboolean
make_bars(Maker *m)
{
  gboolean good = TRUE;
  m->setting = *rc_tune_setting(m->tune, 0);
  for (m->measure = 0; m->measure < m->score->measures->len && good; ++m->measure) {
    good = make_bar(m);
  }
  return good;
}

// Says what was read otherwise than it is written.
static void
remark_chords(const Maker *m)
{
  if (m->score->word_chord && !m->score->chords.items->len) {
    char *name = rc_tune_bar_name(m->tune, m->score->word_chord - 1);
    rc_tune_remark(m->tune, RC_REMARK_ANNOTATIONS, 0, 0,
                   "%s: a chord is written as words for the players; only those in `harmony` sound", name);
    g_free(name);
  }
  if (m->shared) {
    const RcBar *bar = &g_array_index(m->tune->bars, RcBar, m->first_shared);
    const RcEvent *event = &g_array_index(m->tune->events, RcEvent, bar->first);
    char *name = rc_tune_bar_name(m->tune, m->first_shared);
    rc_tune_remark(m->tune, RC_REMARK_SHARED_TIME, event->line, event->column,
                   "%s%s: chords at one place share the time up to the next one", name,
                   m->shared > 1 ? " and others" : "");
    g_free(name);
  }
  if (m->dropped) {
    char *name = rc_tune_bar_name(m->tune, m->lost.at.measure);
    rc_tune_remark(m->tune, RC_REMARK_LOST_CHORDS, m->lost.line, m->lost.column,
                   "%s: a chord after the last note has no time; left out: %u", name, m->dropped);
    g_free(name);
  }
}

gboolean
mx_score_into_tune(MxScore *score, RcTune *tune, RcSymbols *symbols)
{
  Maker m = { .score = score, .tune = tune, .symbols = symbols };
  g_array_sort(score->chords.items, mx_compare_points);
  for (guint i = 0; i < MX_N_CHANGES; ++i) {
    g_array_sort(score->changes[i].items, mx_compare_points);
  }
  if (!make_bars(&m)) {
    return FALSE;
  }
  remark_chords(&m);
  mx_settle_marks(score);
  if (score->rehearsals.items->len) {
    name_rehearsals(score, tune);
  } else {
    rc_name_sections(tune, score->marks);
  }
  return rc_unroll_all(score->marks, tune);
}
