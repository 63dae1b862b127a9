// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Two published models of hearing: spectral similarity and root supports.

#include "rowcall/coverage.h"

#include <math.h>

enum { BINS = 1200, SEMITONE = 100, HARMONICS = 12, PITCH_CLASSES = 12 };

static const double roll_off = 0.75;
static const double smoothing = 6.83; // cents, standard deviation

static double
gaussian(double cents)
{
  return exp(-0.5 * (cents / smoothing) * (cents / smoothing));
}

// Adds a smoothed peak of `weight` at `cents` on the circle of an octave.
static void
add_peak(double spectrum[BINS], int cents, double weight)
{
  for (int bin = 0; bin < BINS; ++bin) {
    const int away = abs(bin - cents);
    spectrum[bin] += weight * gaussian(MIN(away, BINS - away));
  }
}

// The spectrum of a tone is that of C turned by its semitones. So the product of two chords' spectra is a sum over
// pairs of tones of the product of two tones' spectra, which depends on their interval only.
static const double *
tone_products(void)
{
  static double products[PITCH_CLASSES];
  static gsize ready = 0;
  if (g_once_init_enter(&ready)) {
    double spectrum[BINS] = { 0 };
    for (int i = 1; i <= HARMONICS; ++i) {
      add_peak(spectrum, (int)lround(BINS * log2(i)) % BINS, pow(i, -roll_off));
    }
    for (int interval = 0; interval < PITCH_CLASSES; ++interval) {
      for (int bin = 0; bin < BINS; ++bin) {
        products[interval] += spectrum[bin] * spectrum[(bin + SEMITONE * interval) % BINS];
      }
    }
    g_once_init_leave(&ready, 1);
  }
  return products;
}

static double
spectrum_product(const guint a[12], const guint b[12])
{
  const double *products = tone_products();
  guint sounding[PITCH_CLASSES];
  guint n = 0;
  double sum = 0;
  for (guint j = 0; j < PITCH_CLASSES; ++j) {
    sounding[n] = j;
    n += b[j] ? 1 : 0;
  }
  for (guint i = 0; i < PITCH_CLASSES; ++i) {
    for (guint k = 0; a[i] && k < n; ++k) {
      const guint j = sounding[k];
      sum += a[i] * b[j] * products[j >= i ? j - i : j + PITCH_CLASSES - i];
    }
  }
  return sum;
}

double
rc_spectral_similarity(const guint a[12], const guint b[12])
{
  const double norm = spectrum_product(a, a) * spectrum_product(b, b);
  return norm > 0 ? spectrum_product(a, b) / sqrt(norm) : 0;
}

static void
count_tones(RcPcSet tones, RcPcSet basses, guint counts[12])
{
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    counts[pc] = ((guint)tones >> pc & 1U) + ((guint)basses >> pc & 1U);
  }
}

guint
rc_likeness(RcPcSet a, RcPcSet a_basses, RcPcSet b, RcPcSet b_basses)
{
  guint a_counts[12];
  guint b_counts[12];
  count_tones(a, a_basses, a_counts);
  count_tones(b, b_basses, b_counts);
  return (guint)lround(100 * 1e6 * rc_spectral_similarity(a_counts, b_counts));
}

guint
rc_likeness_hundredths(guint likeness)
{
  enum { A_HUNDREDTH = 10000 };
  return (likeness + A_HUNDREDTH / 2) / A_HUNDREDTH;
}

const double rc_root_weights_1988[12] = {
  [0] = 1, [7] = 1.0 / 2, [4] = 1.0 / 3, [10] = 1.0 / 4, [2] = 1.0 / 5, [3] = 1.0 / 10,
};

guint
rc_root_supports(const double weights[12], RcPcSet tones, double support[12])
{
  guint best = 0;
  for (guint root = 0; root < PITCH_CLASSES; ++root) {
    support[root] = 0;
    for (guint above = 0; above < PITCH_CLASSES; ++above) {
      support[root] += rc_pcs_has(tones, (root + above) % PITCH_CLASSES) ? weights[above] : 0;
    }
    best = support[root] > support[best] ? root : best;
  }
  return best;
}

double
rc_root_ambiguity(const double support[12])
{
  double sum = 0;
  double most = 0;
  for (guint root = 0; root < PITCH_CLASSES; ++root) {
    sum += support[root];
    most = MAX(most, support[root]);
  }
  return most > 0 ? sqrt(sum / most) : 0;
}
