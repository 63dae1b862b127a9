// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What is heard, taken from the samples themselves: how high every reed sounds, in which inversion, for how long, and
// whether the spectrum ranks stand-ins as the model of hearing does. Fourier transforms here know nothing of how the
// sound was made.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"
#include "rowcall/error.h"
#include "rowcall/route.h"
#include "rowcall/sound.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PITCH_CLASSES = 12, RATE = RC_SOUND_RATE };

static const double cents_allowed = 2;

// ------------------------------------------------------------------------------------------------------------ helpers

static GArray *
render(const RcScore *score)
{
  GArray *samples = g_array_new(FALSE, FALSE, sizeof(float));
  float block[RC_SOUND_BLOCK];
  RcRender *r = rc_render_new(score);
  for (guint n; (n = rc_render_next(r, block));) {
    g_array_append_vals(samples, block, n);
  }
  assert_int_equal(rc_render_next(r, block), 0);
  rc_render_free(r);
  return samples;
}

static double
sample(const GArray *samples, guint index)
{
  return (double)g_array_index(samples, float, index);
}

static RcLayout *
layout_of(const char *name)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_find(name, &error);
  assert_non_null(layout);
  return layout;
}

typedef struct {
  RcLayout *layout;
  RcPlanner *planner;
  RcRoute *route;
} Board;

static Board
open_board(const char *name)
{
  const RcRouteSettings settings = rc_route_settings();
  Board board = { layout_of(name), NULL, NULL };
  board.planner = rc_planner_new(board.layout, &settings);
  board.route = rc_route_new(board.planner);
  return board;
}

static void
close_board(Board *board)
{
  rc_route_free(board->route);
  rc_planner_free(board->planner);
  rc_layout_free(board->layout);
}

// A tune of one symbol.
static RcTune *
tune_of(const char *symbol, const char *meter_text, double quarters, guint bars)
{
  RcMeter meter;
  assert_true(rc_meter_parse(meter_text, &meter));
  return rc_tune_new_symbol(symbol, RC_NAMES_ENGLISH, meter, (RcTempo){ RC_TEMPO_STATED, quarters }, bars);
}

static RcScore *
play(const Board *board, const RcTune *tune, RcPlay how)
{
  RcScore *score = rc_score_new();
  rc_route_plan(board->route, tune);
  rc_score_add(score, board->planner, board->route, tune, (RcPlaying){ how, FALSE });
  return score;
}

// ------------------------------------------------------------------------------------------------------------- pitches

// The phase at `frequency` of `n` samples from `from` on, under a Hann window: one line of a Fourier transform.
static double
phase_at(const GArray *samples, guint from, guint n, double frequency)
{
  double real = 0;
  double imaginary = 0;
  for (guint i = 0; i < n; ++i) {
    const double window = 0.5 - 0.5 * cos(2 * G_PI * i / n);
    const double angle = 2 * G_PI * frequency * i / RATE;
    real += window * sample(samples, from + i) * cos(angle);
    imaginary -= window * sample(samples, from + i) * sin(angle);
  }
  return atan2(imaginary, real);
}

// The frequency near `expected`: by how much the phase turns from one second to a little later.
static double
frequency_near(const GArray *samples, double expected)
{
  enum { FROM = RATE / 4, LATER = 4410 };
  const double before = phase_at(samples, FROM, RATE, expected);
  const double after = phase_at(samples, FROM + LATER, RATE, expected);
  const double turned = after - before - 2 * G_PI * expected * LATER / RATE;
  const double wrapped = turned - 2 * G_PI * round(turned / (2 * G_PI));
  return expected + wrapped / (2 * G_PI) * RATE / LATER;
}

// A score of one note at 60 quarter notes a minute.
static RcScore *
held_note(guint pitch, RcVoice voice, guint seconds)
{
  RcScore *score = rc_score_new();
  const RcScoreTempo tempo = { 0, 0, 60, { 4, 4 } };
  const RcScoreNote note = { 0, seconds * RC_QUARTER, (guint8)pitch, (guint8)voice, 100 };
  g_array_append_val(score->tempi, tempo);
  g_array_append_val(score->notes, note);
  rc_score_rest(score, note.length);
  return score;
}

static double
cents_off(guint pitch, RcVoice voice)
{
  RcScore *score = held_note(pitch, voice, 2);
  GArray *samples = render(score);
  const double expected = 440 * pow(2, ((double)pitch - 69) / 12);
  const double cents = 1200 * log2(frequency_near(samples, expected) / expected);
  g_array_unref(samples);
  rc_score_free(score);
  return fabs(cents);
}

static void
test_every_reed_is_in_tune(void **state)
{
  (void)state;
  RcLayout *layout = layout_of("120");
  double worst = 0;
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    worst = MAX(worst, cents_off(rc_bass_pitch(layout, pc), RC_VOICE_BASS));
    worst = MAX(worst, cents_off(rc_chord_pitch(layout, pc), RC_VOICE_CHORD));
  }
  for (guint pitch = 55; pitch <= 96; pitch += 5) {
    worst = MAX(worst, cents_off(pitch, RC_VOICE_MELODY));
  }
  printf("fundamentals of 12 basses, 12 chord tones and 9 of melody: at most %.2f cents from equal temperament\n",
         worst);
  assert_true(worst < cents_allowed);
  assert_true(worst > 0.01); // slightly detuned, or the measurement is blind
  rc_layout_free(layout);
}

// Outside source: German Wikipedia, Stradella-Bass: because of the wrap four of the twelve counterbasses sound a minor
// sixth below their fundamental; the others a major third above.
static void
test_four_counterbasses_sound_below(void **state)
{
  (void)state;
  static const char text[] = "name: t\ntitle: t\nsource: [none]\ncolumns: C..G\nrows: [fundamental]\n"
                             "spacing: {column: 16, row: 12}\nreeds: {bass: C, chord: Eb}\n";
  RcLayout *layouts[] = { layout_of("120"), rc_layout_parse(text, sizeof text - 1, "t.yaml", NULL) };
  for (guint i = 0; i < G_N_ELEMENTS(layouts); ++i) {
    guint below = 0;
    for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
      const int up = (int)rc_bass_pitch(layouts[i], (pc + 4) % 12) - (int)rc_bass_pitch(layouts[i], pc);
      assert_true(up == 4 || up == -8);
      below += up < 0 ? 1 : 0;
    }
    assert_int_equal(below, 4);
  }
  assert_int_equal(rc_bass_pitch(layouts[0], 4), 28); // E1 the lowest
  assert_int_equal(rc_bass_pitch(layouts[0], 3), 39); // D#2 the highest
  assert_int_equal(rc_bass_pitch(layouts[1], 0), 36); // C2
  assert_int_equal(rc_bass_pitch(layouts[1], 11), 47);
  assert_int_equal(rc_chord_pitch(layouts[0], 7), 55); // G3
  assert_int_equal(rc_chord_pitch(layouts[0], 6), 66);
  assert_int_equal(rc_chord_pitch(layouts[1], 3), 63); // Eb4
  rc_layout_free(layouts[0]);
  rc_layout_free(layouts[1]);
}

static char *
notes_of(const RcScore *score)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < score->notes->len; ++i) {
    const RcScoreNote *note = &g_array_index(score->notes, RcScoreNote, i);
    const gint64 eighths = note->start * 2 / RC_QUARTER;
    g_string_append_printf(text, "%s%" G_GINT64_FORMAT ":%u", i ? " " : "", eighths, note->pitch);
  }
  return g_string_free(text, FALSE);
}

typedef struct {
  const char *symbol;
  const char *board;
  const char *meter;
  guint bars;
  double quarters;
  const char *notes; // eighth:pitch, worked out by hand from E1 to D#2 and G3 to F#4
} Pattern;

static const Pattern patterns[] = {
  // C2, C E G as G3 C4 E4; the second bass is G1
  { "C", "120", "3/4", 2, 140, "0:36 2:55 2:60 2:64 4:55 4:60 4:64 6:31 8:55 8:60 8:64 10:55 10:60 10:64" },
  { "C", "120", "4/4", 1, 120, "0:36 2:55 2:60 2:64 4:31 6:55 6:60 6:64" },
  { "F", "120", "6/8", 1, 160, "0:29 2:57 2:60 2:65 3:36 5:57 5:60 5:65" },
  { "G7", "120", "2/4", 1, 112, "0:31 1:55 1:59 1:65 2:38 3:55 3:59 3:65" }, // its button lacks the fifth
  { "G", "120", "5/4", 1, 140, "0:31 2:55 2:59 2:62 4:55 4:59 4:62 6:38 8:55 8:59 8:62" },
  { "C", "120", "4/4", 1, 50, "0:36 0:55 0:60 0:64" }, // slow: held
  // B1 and D major over it: A3 D4 F#4
  { "Bm", "48-8x6", "3/4", 1, 140, "0:35 2:57 2:62 2:66 4:57 4:62 4:66" },
  { "F#dim", "12", "3/4", 1, 140, "" },
};

static void
test_patterns_and_inversions(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(patterns); ++i) {
    const Pattern *p = &patterns[i];
    Board board = open_board(p->board);
    RcTune *tune = tune_of(p->symbol, p->meter, p->quarters, p->bars);
    RcScore *score = play(&board, tune, RC_PLAY_GRIPS);
    char *notes = notes_of(score);
    assert_string_equal(notes, p->notes);
    assert_int_equal(score->passages->len, *p->notes ? 0 : 1);
    assert_int_equal(score->length, p->bars * rc_meter_bar(rc_tune_setting(tune, 0)->meter));
    g_free(notes);
    rc_score_free(score);
    rc_tune_free(tune);
    close_board(&board);
  }
}

// ------------------------------------------------------------------------------------------------------------- samples

static const char *const heavy[] = {
  "C13", "F#13", "Bb7#9", "Ebmaj13", "Am11", "G13b9", "Dm9", "Cmaj7", "Abdim7", "E"
};

static void
test_no_sample_clips_and_ends_are_soft(void **state)
{
  (void)state;
  Board board = open_board("120");
  double peak = 0;
  for (guint i = 0; i < G_N_ELEMENTS(heavy); ++i) {
    RcTune *tune = tune_of(heavy[i], "4/4", 55, 2);
    const RcTuneNote melody = { 0, 0, 4 * RC_QUARTER, 81 };
    g_array_append_val(tune->notes, melody);
    RcScore *score = rc_score_new();
    rc_route_plan(board.route, tune);
    rc_score_add(score, board.planner, board.route, tune, (RcPlaying){ i % 2 ? RC_PLAY_GRIPS : RC_PLAY_WANTED, TRUE });
    GArray *samples = render(score);
    for (guint s = 0; s < samples->len; ++s) {
      peak = MAX(peak, fabs(sample(samples, s)));
      assert_true(s < 1 || fabs(sample(samples, s) - sample(samples, s - 1)) < 0.25);
    }
    assert_true(fabs(sample(samples, 0)) < 0.001);
    assert_true(fabs(sample(samples, samples->len - 1)) < 0.001);
    g_array_unref(samples);
    rc_score_free(score);
    rc_tune_free(tune);
  }
  printf("loudest sample of chords of up to 7 tones with bass and melody: %.2f of full scale\n", peak);
  assert_true(peak < 1);
  close_board(&board);
}

static void
test_length_is_what_the_tempo_makes_it(void **state)
{
  (void)state;
  static const double tempi[] = { 61, 96, 143.5, 288 };
  Board board = open_board("48-8x6");
  for (guint i = 0; i < G_N_ELEMENTS(tempi); ++i) {
    RcTune *tune = tune_of("Bm", "3/4", tempi[i], 7);
    RcScore *score = play(&board, tune, RC_PLAY_GRIPS);
    GArray *samples = render(score);
    assert_true(fabs((double)samples->len - 21 * 60 / tempi[i] * RATE) <= 1);
    g_array_unref(samples);
    rc_score_free(score);
    rc_tune_free(tune);
  }
  close_board(&board);
}

static void
test_the_same_bytes_twice(void **state)
{
  (void)state;
  Board board = open_board("48-8x6");
  RcTune *tune = tune_of("Bm", "6/8", 168, 2);
  RcScore *score = play(&board, tune, RC_PLAY_GRIPS);
  for (guint kind = RC_SOUND_WAV; kind <= RC_SOUND_MIDI; ++kind) {
    GBytes *first = rc_sound_file(score, (RcSoundFile)kind, NULL);
    GBytes *second = rc_sound_file(score, (RcSoundFile)kind, NULL);
    assert_non_null(first);
    assert_true(g_bytes_equal(first, second));
    g_bytes_unref(first);
    g_bytes_unref(second);
  }
  GError *error = NULL;
  rc_score_rest(score, 200 * 60 * RC_QUARTER);
  assert_null(rc_sound_file(score, RC_SOUND_WAV, &error));
  assert_true(g_error_matches(error, RC_ERROR, RC_ERROR_LIMIT));
  g_clear_error(&error);
  rc_score_free(score);
  rc_tune_free(tune);
  close_board(&board);
}

// ------------------------------------------------------------------------------------------- likeness by the spectrum

enum { BINS = 1200, LOG_N = 18, N = 1 << LOG_N };

// Fast Fourier transform, in place; radix 2 (J. W. Cooley and J. W. Tukey, 1965).
static void
transform(double *real, double *imaginary)
{
  for (guint i = 1, j = 0; i < N; ++i) {
    guint bit = N >> 1;
    for (; j & bit; bit >>= 1) {
      j ^= bit;
    }
    j ^= bit;
    if (i < j) {
      const double r = real[i], m = imaginary[i];
      real[i] = real[j];
      imaginary[i] = imaginary[j];
      real[j] = r;
      imaginary[j] = m;
    }
  }
  for (guint size = 2; size <= N; size *= 2) {
    for (guint k = 0; k < size / 2; ++k) {
      const double c = cos(2 * G_PI * k / size), s = -sin(2 * G_PI * k / size);
      for (guint i = k; i < N; i += size) {
        const guint j = i + size / 2;
        const double r = real[j] * c - imaginary[j] * s, m = real[j] * s + imaginary[j] * c;
        real[j] = real[i] - r;
        imaginary[j] = imaginary[i] - m;
        real[i] += r;
        imaginary[i] += m;
      }
    }
  }
}

static double *
magnitudes(const GArray *samples)
{
  double *real = g_new0(double, N);
  double *imaginary = g_new0(double, N);
  assert_true(samples->len >= N);
  for (guint i = 0; i < N; ++i) {
    real[i] = sample(samples, i) * (0.5 - 0.5 * cos(2 * G_PI * i / N));
  }
  transform(real, imaginary);
  for (guint i = 0; i < N / 2; ++i) {
    real[i] = hypot(real[i], imaginary[i]);
  }
  g_free(imaginary);
  return real;
}

// Adds a peak of the magnitude spectrum to the circle of an octave, smoothed as the model does, by 6.83 cents.
static void
fold_peak(double spectrum[BINS], double frequency, double weight)
{
  const double cents = fmod(1200 * log2(frequency / 440) + 120000 + 900, BINS);
  for (int away = -40; away <= 40; ++away) {
    const double bin = floor(cents) + away;
    const double off = (bin - cents) / 6.83;
    spectrum[((int)bin + BINS) % BINS] += weight * exp(-0.5 * off * off);
  }
}

static void
fold(const GArray *samples, double spectrum[BINS])
{
  double *m = magnitudes(samples);
  double most = 0;
  for (guint i = 1; i < N / 2; ++i) {
    most = MAX(most, m[i]);
  }
  memset(spectrum, 0, BINS * sizeof *spectrum);
  for (guint i = 20; i + 1 < N / 2; ++i) {
    if (m[i] > m[i - 1] && m[i] >= m[i + 1] && m[i] > 0.002 * most) {
      const double bend = m[i - 1] - 2 * m[i] + m[i + 1];
      fold_peak(spectrum, (i + 0.5 * (m[i - 1] - m[i + 1]) / bend) * RATE / N, m[i]);
    }
  }
  g_free(m);
}

static double
cosine(const double a[BINS], const double b[BINS])
{
  double ab = 0, aa = 0, bb = 0;
  for (guint i = 0; i < BINS; ++i) {
    ab += a[i] * b[i];
    aa += a[i] * a[i];
    bb += b[i] * b[i];
  }
  return ab / sqrt(aa * bb);
}

// The spectrum of a chord held for six seconds, a bar of 1/4 at 10 quarter notes a minute: with @p grip, or as wanted.
static void
hear(const Board *board, const RcTune *tune, const RcGrip *grip, double spectrum[BINS])
{
  RcScore *score = rc_score_new();
  rc_route_plan(board->route, tune);
  if (grip) {
    RcStep *step = &g_array_index(board->route->steps, RcStep, 0);
    RcFingering ways[RC_FINGERINGS];
    assert_true(rc_fingers_ways(&rc_planner_settings(board->planner)->fingers, board->layout, grip, ways) > 0);
    step->held = TRUE;
    step->fingers = ways[0];
    step->grip = *grip;
    step->verdict = RC_SAME;
  }
  rc_score_add(score, board->planner, board->route, tune, (RcPlaying){ grip ? RC_PLAY_GRIPS : RC_PLAY_WANTED, FALSE });
  GArray *samples = render(score);
  fold(samples, spectrum);
  g_array_unref(samples);
  rc_score_free(score);
}

// The spectra of the twelve basses and the twelve tones of chords, each heard alone and made equally loud.
typedef struct {
  double bass[PITCH_CLASSES][BINS];
  double chord[PITCH_CLASSES][BINS];
} Tones;

static void
hear_alone(guint pitch, RcVoice voice, double spectrum[BINS])
{
  RcScore *score = held_note(pitch, voice, 6);
  GArray *samples = render(score);
  double sum = 0;
  fold(samples, spectrum);
  for (guint i = 0; i < BINS; ++i) {
    sum += spectrum[i] * spectrum[i];
  }
  for (guint i = 0; i < BINS; ++i) {
    spectrum[i] /= sqrt(sum);
  }
  g_array_unref(samples);
  rc_score_free(score);
}

// What the model adds up: each tone once, and the bass once more.
static void
add_up(const Tones *tones, RcPcSet set, guint bass, double spectrum[BINS])
{
  memcpy(spectrum, tones->bass[bass], BINS * sizeof *spectrum);
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    for (guint i = 0; rc_pcs_has(set, pc) && i < BINS; ++i) {
      spectrum[i] += tones->chord[pc][i];
    }
  }
}

typedef struct {
  double model;
  double heard;
} Pair;

// Grips of different likeness, best first.
static guint
pick_stand_ins(const RcCatalogue *catalogue, const RcChord *chord, guint most, RcAnswer *picked)
{
  const RcRequest request = { .chord = *chord };
  const RcFingers fingers = rc_fingers();
  RcFingering fingerings[RC_FINGERINGS];
  GArray *ways = rc_catalogue_rank(catalogue, &request);
  guint n = 0;
  for (guint i = 0; i < ways->len && n < most; ++i) {
    const RcAnswer *way = &g_array_index(ways, RcAnswer, i);
    gboolean skip =
      way->verdict == RC_NATIVE || !rc_fingers_ways(&fingers, rc_catalogue_layout(catalogue), &way->grip, fingerings);
    for (guint j = 0; j < n; ++j) {
      skip |= picked[j].likeness == way->likeness;
    }
    if (!skip) {
      picked[n++] = *way;
    }
  }
  g_array_unref(ways);
  assert_true(n >= 3);
  return n;
}

static double
rank_of(const Pair *pairs, guint n, guint index, gboolean heard)
{
  double rank = 0;
  for (guint i = 0; i < n; ++i) {
    rank += heard ? pairs[i].heard > pairs[index].heard : pairs[i].model > pairs[index].model;
  }
  return rank;
}

// Spearman's coefficient; no two values are the same.
static double
rank_correlation(const Pair *pairs, guint n)
{
  double sum = 0;
  for (guint i = 0; i < n; ++i) {
    const double d = rank_of(pairs, n, i, FALSE) - rank_of(pairs, n, i, TRUE);
    sum += d * d;
  }
  return 1 - 6 * sum / ((double)n * ((double)n * n - 1));
}

static const char *const wanted[] = { "Bm", "F#m", "F#dim", "Cmaj7", "Am7", "Dsus4", "Ebm", "Em7", "Fmaj7", "C6" };

typedef struct {
  double least;
  double sum;
  guint stand_ins;
} Agreement;

static void
agree(Agreement *a, const Pair *pairs, guint n)
{
  const double rho = rank_correlation(pairs, n);
  a->least = MIN(a->least, rho);
  a->sum += rho;
  a->stand_ins += n;
}

static void
tell_agreement(const Agreement *a, const char *what)
{
  printf(
    "likeness by spectrum, %s: %u stand-ins of %u chords; rank correlation with the model %.3f on average, %.3f at "
    "least\n",
    what, a->stand_ins, (guint)G_N_ELEMENTS(wanted), a->sum / G_N_ELEMENTS(wanted), a->least);
}

// With every tone as loud as the model takes it, what is heard stands all but in the order of the model.
static void
test_the_tones_rank_as_the_model(void **state)
{
  (void)state;
  enum { MOST = 200 };
  RcLayout *layout = layout_of("48-8x6");
  RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  Tones *tones = g_new0(Tones, 1);
  Agreement agreement = { 1, 0, 0 };
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    hear_alone(rc_bass_pitch(layout, pc), RC_VOICE_BASS, tones->bass[pc]);
    hear_alone(rc_chord_pitch(layout, pc), RC_VOICE_CHORD, tones->chord[pc]);
  }
  for (guint c = 0; c < G_N_ELEMENTS(wanted); ++c) {
    RcChord chord;
    RcAnswer picked[MOST];
    Pair pairs[MOST];
    double real[BINS];
    double stand_in[BINS];
    assert_int_equal(rc_chord_parse(wanted[c], strlen(wanted[c]), RC_NAMES_ENGLISH, &chord, NULL), RC_SYMBOL_CHORD);
    const guint n = pick_stand_ins(catalogue, &chord, MOST, picked);
    add_up(tones, rc_chord_tones(&chord), rc_note_pc(chord.bass), real);
    for (guint i = 0; i < n; ++i) {
      const RcGrip *grip = &picked[i].grip;
      add_up(tones, rc_grip_tones(layout, grip), rc_note_pc(rc_layout_button(layout, grip->bass)->sound.root),
             stand_in);
      pairs[i] = (Pair){ picked[i].likeness / 100.0, 100 * cosine(real, stand_in) };
    }
    agree(&agreement, pairs, n);
  }
  tell_agreement(&agreement, "its tones as loud as the model takes them");
  assert_true(agreement.least > 0.95);
  g_free(tones);
  rc_catalogue_free(catalogue);
  rc_layout_free(layout);
}

// As it is played the bass is louder and sounds in two octaves, and a stand-in's chord is lighter, so that the order is
// nearly but not quite the model's.
static void
test_the_sound_ranks_nearly_as_the_model(void **state)
{
  (void)state;
  enum { MOST = 8 };
  Board full = open_board("120");
  Board small = open_board("48-8x6");
  RcCatalogue *catalogue = rc_catalogue_new(small.layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  Agreement agreement = { 1, 0, 0 };
  for (guint c = 0; c < G_N_ELEMENTS(wanted); ++c) {
    double real[BINS];
    double stand_in[BINS];
    RcAnswer picked[MOST];
    Pair pairs[MOST];
    RcTune *tune = tune_of(wanted[c], "1/4", 10, 1);
    const guint n = pick_stand_ins(catalogue, &g_array_index(tune->symbols, RcSymbol, 0).chord, MOST, picked);
    hear(&full, tune, NULL, real);
    for (guint i = 0; i < n; ++i) {
      hear(&small, tune, &picked[i].grip, stand_in);
      pairs[i] = (Pair){ picked[i].likeness / 100.0, 100 * cosine(real, stand_in) };
    }
    agree(&agreement, pairs, n);
    rc_tune_free(tune);
  }
  tell_agreement(&agreement, "as it is played");
  assert_true(agreement.sum / G_N_ELEMENTS(wanted) > 0.85);
  assert_true(agreement.least > 0.7);
  rc_catalogue_free(catalogue);
  close_board(&full);
  close_board(&small);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_every_reed_is_in_tune),
    cmocka_unit_test(test_four_counterbasses_sound_below),
    cmocka_unit_test(test_patterns_and_inversions),
    cmocka_unit_test(test_no_sample_clips_and_ends_are_soft),
    cmocka_unit_test(test_length_is_what_the_tempo_makes_it),
    cmocka_unit_test(test_the_same_bytes_twice),
    cmocka_unit_test(test_the_tones_rank_as_the_model),
    cmocka_unit_test(test_the_sound_ranks_nearly_as_the_model),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
