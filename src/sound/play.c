// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// From a planned route to notes: the pattern of each bar is cut where chords change, and each stroke sounds what is
// held there.

#include "rowcall/sound.h"

#include "sound/pattern.h"

enum {
  BASS_LEVEL = 100,
  CHORD_LEVEL = 78,
  STAND_IN_BASS_LEVEL = 112, // a little louder
  STAND_IN_CHORD_LEVEL = 62, // lighter
  MELODY_LEVEL = 96,
  FULL_TONES = 4 // a chord of more tones sounds each of them softer, so that all are as loud as these
};

// Bass and chord at once, where a pattern has no stroke.
static const RcStroke whole = { 0, TRUE, TRUE };

// What the left hand sounds in a step.
typedef struct {
  gboolean sounds;
  gboolean stand_in;
  RcPcSet basses;  // pitch classes that sound on the beat
  RcPcSet second;  // the bass to alternate with, or the same
  RcPcSet chord;   // pitch classes
  guint bass_ones; // strokes of the bass so far
} Hold;

typedef struct {
  RcScore *score;
  const RcPlanner *planner;
  const RcLayout *layout;
  const RcRoute *route;
  const RcTune *tune;
  RcPlaying playing;
  guint step;         // of the route, which sounds
  RcTicks step_start; // as all times, from the beginning of the score
  RcTicks step_end;
  Hold hold;
} Player;

// --------------------------------------------------------------------------------------------------- what is held

static const RcStep *
step_at(const Player *p, guint index)
{
  return &g_array_index(p->route->steps, RcStep, index);
}

static const RcSymbol *
symbol_of(const Player *p, const RcStep *step)
{
  return rc_tune_symbol(p->tune, step->played.symbol);
}

static Hold
hold_grip(const Player *p, const RcStep *step)
{
  const RcRouteSettings *settings = rc_planner_settings(p->planner);
  const RcSecondBass second = rc_second_bass(&settings->fingers, p->layout, settings->hand.reach,
                                             &symbol_of(p, step)->chord, &step->grip, &step->fingers);
  const RcPcSet basses = rc_grip_basses(p->layout, &step->grip);
  const RcPcSet other = second.found ? rc_layout_button(p->layout, second.button)->sound.tones : basses;
  Hold hold = { TRUE, step->verdict != RC_NATIVE, basses, other, 0, 0 };
  for (guint i = 0; i < step->grip.n_chords; ++i) {
    hold.chord |= rc_layout_button(p->layout, step->grip.chords[i])->sound.tones;
  }
  return hold;
}

// The tones themselves, with the fifth as the second bass where there is one.
static Hold
hold_tones(const RcChord *chord)
{
  const RcChord upper = { chord->root, chord->root, chord->degrees }; // a bass that is written is no tone of the chord
  guint other = rc_note_pc(chord->bass);
  for (guint degree = 0; degree < RC_N_DEGREES; ++degree) {
    if (chord->degrees & RC_FIFTHS & (1U << degree)) {
      other = rc_chord_degree_pc(chord, (RcDegree)degree);
      break;
    }
  }
  return (Hold){ TRUE, FALSE, (RcPcSet)(1U << rc_note_pc(chord->bass)), (RcPcSet)(1U << other), rc_wanted_tones(&upper),
                 0 };
}

static Hold
hold_of(const Player *p, const RcStep *step)
{
  const RcSymbol *symbol = symbol_of(p, step);
  if (step->held && (p->playing.play == RC_PLAY_GRIPS || step->verdict == RC_NATIVE)) {
    return hold_grip(p, step);
  }
  if (p->playing.play == RC_PLAY_WANTED && symbol->kind == RC_SYMBOL_CHORD) {
    return hold_tones(&symbol->chord);
  }
  return (Hold){ .sounds = FALSE };
}

static void
tell_silence(const Player *p)
{
  const RcSymbol *symbol = symbol_of(p, step_at(p, p->step));
  const gboolean unread = symbol->kind == RC_SYMBOL_UNREAD;
  if (!p->hold.sounds && (unread || symbol->kind == RC_SYMBOL_CHORD)) {
    char *text = g_strdup_printf("%s: silent, %s", symbol->text, unread ? "it is no chord symbol" : "no grip");
    rc_score_tell(p->score, p->step_start, p->step_end - p->step_start, TRUE, text);
    g_free(text);
  }
}

static void
enter_step(Player *p, guint index)
{
  const RcStep *step = step_at(p, index);
  p->step = index;
  p->step_start = p->step_end;
  p->step_end += step->played.length;
  p->hold = hold_of(p, step);
  tell_silence(p);
}

// Moves to the step that sounds at `at`.
static void
move_to(Player *p, RcTicks at)
{
  while (at >= p->step_end && p->step + 1 < p->route->steps->len) {
    enter_step(p, p->step + 1);
  }
}

// ----------------------------------------------------------------------------------------------------------- strokes

static void
add_note(const Player *p, RcTicks start, RcTicks length, guint pitch, RcVoice voice, guint level)
{
  const RcScoreNote note = { start, length, (guint8)pitch, (guint8)voice, (guint8)level };
  if (length > 0) {
    g_array_append_val(p->score->notes, note);
  }
}

static void
sound_bass(Player *p, RcTicks at, RcTicks length)
{
  const RcPcSet basses = p->hold.bass_ones++ % 2 ? p->hold.second : p->hold.basses;
  const guint level = p->hold.stand_in ? STAND_IN_BASS_LEVEL : BASS_LEVEL;
  for (guint pc = 0; pc < 12; ++pc) {
    if (rc_pcs_has(basses, pc)) {
      add_note(p, at, length, rc_bass_pitch(p->layout, pc), RC_VOICE_BASS, level);
    }
  }
}

static void
sound_chord(const Player *p, RcTicks at, RcTicks length)
{
  const guint level = p->hold.stand_in ? STAND_IN_CHORD_LEVEL : CHORD_LEVEL;
  const guint each = level * FULL_TONES / MAX(rc_pcs_count(p->hold.chord), FULL_TONES);
  for (guint pc = 0; pc < 12; ++pc) {
    if (rc_pcs_has(p->hold.chord, pc)) {
      add_note(p, at, length, rc_chord_pitch(p->layout, pc), RC_VOICE_CHORD, each);
    }
  }
}

// A stroke at `at` until `next`. A chord that begins here is heard with its bass, and whole where it has no other
// stroke.
static void
sound_stroke(Player *p, const RcPattern *pattern, const RcStroke *stroke, RcTicks at, RcTicks next)
{
  move_to(p, at);
  if (!p->hold.sounds) {
    return;
  }
  const gboolean begins = p->step_start == at;
  const RcTicks left = MIN(next, p->step_end) - at;
  if (stroke->bass || begins) {
    sound_bass(p, at, left * pattern->bass_percent / 100);
  }
  if (stroke->chord || (begins && p->step_end <= next)) {
    sound_chord(p, at, left * pattern->chord_percent / 100);
  }
}

// The chords that begin between two strokes have a stroke of their own.
static void
sound_between(Player *p, const RcPattern *pattern, const RcStroke *stroke, RcTicks at, RcTicks next)
{
  move_to(p, at);
  RcTicks until = MIN(next, p->step_end);
  sound_stroke(p, pattern, stroke, at, until);
  while (until < next) {
    const RcTicks from = until;
    move_to(p, from);
    until = MIN(next, p->step_end);
    if (until <= from) { // the end of the tune
      break;
    }
    sound_stroke(p, pattern, &whole, from, until);
  }
}

// A bar from `start` to `end` of which the first `missing` ticks of its pattern are not played; a bar that is longer
// than its meter has the pattern again.
static void
sound_bar(Player *p, const RcPattern *pattern, RcTicks start, RcTicks end, RcTicks missing)
{
  RcTicks at = start;
  const RcStroke *stroke = &whole;
  for (RcTicks bar = start - missing; bar < end; bar += pattern->bar) {
    for (guint i = 0; i < pattern->n; ++i) {
      const RcTicks next = bar + pattern->strokes[i].at;
      if (next >= end) {
        break;
      }
      if (next > at) {
        sound_between(p, pattern, stroke, at, next);
      }
      if (next >= start) {
        at = next;
        stroke = &pattern->strokes[i];
      }
    }
  }
  sound_between(p, pattern, stroke, at, end);
}

// ------------------------------------------------------------------------------------------------------------- tempi

static RcTempo
tempo_of(const Player *p, guint setting)
{
  const RcTempo tempo = rc_roll_tempo(&rc_planner_settings(p->planner)->roll, p->tune, setting);
  return tempo.quarters > 0 ? tempo : rc_tune_usual_tempo(p->tune, rc_tune_setting(p->tune, setting)->meter);
}

static void
set_tempo(const Player *p, RcTicks at, guint setting)
{
  const RcScoreTempo tempo = { at, rc_score_seconds(p->score, at), tempo_of(p, setting).quarters,
                               rc_tune_setting(p->tune, setting)->meter };
  GArray *tempi = p->score->tempi;
  const RcScoreTempo *last = tempi->len ? &g_array_index(tempi, RcScoreTempo, tempi->len - 1) : NULL;
  if (!last || last->quarters != tempo.quarters || last->meter.beats != tempo.meter.beats ||
      last->meter.unit != tempo.meter.unit) {
    g_array_set_size(tempi, tempi->len - (last && last->at == at ? 1 : 0));
    g_array_append_val(tempi, tempo);
  }
}

// ------------------------------------------------------------------------------------------------------------ melody

static guint
first_note_of(const RcTune *tune, guint bar)
{
  guint low = 0;
  guint high = tune->notes->len;
  while (low < high) {
    const guint middle = low + (high - low) / 2;
    if (g_array_index(tune->notes, RcTuneNote, middle).bar < bar) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return low;
}

static void
sound_melody(const Player *p, guint bar, RcTicks start)
{
  for (guint i = first_note_of(p->tune, bar); i < p->tune->notes->len; ++i) {
    const RcTuneNote *note = &g_array_index(p->tune->notes, RcTuneNote, i);
    if (note->bar != bar) {
      break;
    }
    add_note(p, start + note->start, note->length, note->pitch, RC_VOICE_MELODY, MELODY_LEVEL);
  }
}

// -------------------------------------------------------------------------------------------------------------- bars

static RcTicks
bar_length(const Player *p, const RcBar *bar)
{
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += g_array_index(p->tune->events, RcEvent, bar->first + i).length;
  }
  return length;
}

static void
set_tempi_of(const Player *p, const RcBar *bar, RcTicks at)
{
  for (guint i = 0; i < bar->count; ++i) {
    const RcEvent *event = &g_array_index(p->tune->events, RcEvent, bar->first + i);
    set_tempo(p, at, event->setting);
    at += event->length;
  }
}

static void
play_bar(Player *p, guint index, gboolean first)
{
  const RcBar *bar = &g_array_index(p->tune->bars, RcBar, index);
  const RcTicks start = p->score->length;
  const RcTicks length = bar_length(p, bar);
  if (!bar->count || length <= 0) {
    return;
  }
  const guint setting = g_array_index(p->tune->events, RcEvent, bar->first).setting;
  const RcPattern pattern =
    rc_pattern(rc_tune_setting(p->tune, setting)->meter, p->tune->rhythm, tempo_of(p, setting).quarters);
  set_tempi_of(p, bar, start);
  p->score->length += length;
  if (rc_score_seconds(p->score, start) > RC_SOUND_MAX_SECONDS) {
    return;
  }
  sound_bar(p, &pattern, start, start + length, first ? MAX(pattern.bar - length, 0) : 0);
  if (p->playing.melody) {
    sound_melody(p, index, start);
  }
}

static gboolean
is_in_part(const RcPart *part, guint bar)
{
  return bar >= part->first && bar < part->first + part->count;
}

static const RcPart *
part_of(const RcTune *tune, guint bar)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (is_in_part(part, bar)) {
      return part;
    }
  }
  return NULL;
}

// "A, bars 1-8", "B, bars 9-16 with the pickup", "bar 3" or "the pickup", as players count; a new string.
static char *
run_text(const RcTune *tune, const RcPart *part, guint first, guint last)
{
  const gboolean pickup = rc_tune_bar_is_pickup(tune, first);
  const guint from = rc_tune_bar_number(tune, first) + (pickup ? 1 : 0);
  const guint to = rc_tune_bar_number(tune, last);
  GString *text = g_string_new(part->label);
  g_string_append(text, *part->label ? ", " : "");
  if (pickup && first == last) {
    g_string_append(text, "the pickup");
  } else if (from == to) {
    g_string_append_printf(text, "bar %u%s", from, pickup ? " with the pickup" : "");
  } else {
    g_string_append_printf(text, "bars %u-%u%s", from, to, pickup ? " with the pickup" : "");
  }
  return g_string_free(text, FALSE);
}

// Plays the bars from `index` of the played ones on that follow each other in one part; returns the one after them.
static guint
play_run(Player *p, guint index)
{
  const guint *played = &g_array_index(p->tune->played, guint, 0);
  const RcPart *part = part_of(p->tune, played[index]);
  const RcTicks start = p->score->length;
  guint end = index;
  do {
    play_bar(p, played[end], !end || !played[end]);
    ++end;
  } while (end < p->tune->played->len && played[end] == played[end - 1] + 1 &&
           (!part || is_in_part(part, played[end])));
  if (part) {
    char *text = run_text(p->tune, part, played[index], played[end - 1]);
    rc_score_tell(p->score, start, p->score->length - start, FALSE, text);
    g_free(text);
  }
  return end;
}

static int
by_start(gconstpointer a, gconstpointer b)
{
  const RcScoreNote *left = a;
  const RcScoreNote *right = b;
  if (left->start != right->start) {
    return left->start < right->start ? -1 : 1;
  }
  return left->voice != right->voice ? (int)left->voice - right->voice : (int)left->pitch - right->pitch;
}

void
rc_score_add(RcScore *score, const RcPlanner *planner, const RcRoute *route, const RcTune *tune, RcPlaying playing)
{
  Player p = { score, planner, rc_planner_layout(planner), route, tune, playing, 0, 0, score->length, { 0 } };
  if (!route->steps->len) {
    return;
  }
  enter_step(&p, 0);
  for (guint i = 0; i < tune->played->len;) {
    i = play_run(&p, i);
  }
  g_array_sort(score->notes, by_start);
}
