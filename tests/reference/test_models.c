// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The two models of hearing against published numbers, and published rules for comparing chord symbols: first the rules
// themselves on published pairs, then what they say of every grip that is graded. models.tsv names a source for each
// row.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"
#include "rowcall/keyboard.h"
#include "rowcall/music.h"

#include "table.h"

#include <math.h>

enum { PITCH_CLASSES = 12, N_DISTANCES = 8, N_AMBIGUITIES = 47, N_SUPPORTS = 10, N_ROOTS = 14, N_PAIRS = 80 };

// ----------------------------------------------------------------------------------------------------- the two models

// Half a unit of the last place that is printed, and a hair.
static double
tolerance_of(const char *printed)
{
  const char *point = strchr(printed, '.');
  return 0.5 * pow(10, -(double)(point ? strlen(point + 1) : 0)) + 1e-9;
}

static void
check_decimal(Check *c, const char *what, double found, const char *printed)
{
  check(c, fabs(found - decimal_of(printed)) <= tolerance_of(printed), "%s: found %f, printed %s", what, found,
        printed);
}

static void
count_each(const char *tones, guint counts[PITCH_CLASSES])
{
  const RcPcSet set = tones_of(tones);
  for (guint pc = 0; pc < PITCH_CLASSES; ++pc) {
    counts[pc] = rc_pcs_has(set, pc) ? 1 : 0;
  }
}

// Outside source: the test values of the package hrep for the spectral model, as named in models.tsv, to four decimals.
static void
test_spectral_distances(void **state)
{
  (void)state;
  Check c = { "spectral distances", 0, 0 };
  GPtrArray *rows = table_read("models.tsv", "distance", 5, N_DISTANCES);
  for (guint i = 0; i < rows->len; ++i) {
    guint a[PITCH_CLASSES];
    guint b[PITCH_CLASSES];
    count_each(cell(rows, i, 1), a);
    count_each(cell(rows, i, 2), b);
    check_decimal(&c, cell(rows, i, 2), 1 - rc_spectral_similarity(a, b), cell(rows, i, 3));
    check_decimal(&c, cell(rows, i, 2), 1 - rc_spectral_similarity(b, a), cell(rows, i, 3));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// "1/3" or "5".
static double
fraction_of(const char *text)
{
  char **parts = g_strsplit(text, "/", 2);
  const double value = decimal_of(parts[0]) / (parts[1] ? decimal_of(parts[1]) : 1);
  g_strfreev(parts);
  return value;
}

static void
read_weights(const char *year, double weights[PITCH_CLASSES])
{
  GPtrArray *rows = table_read("models.tsv", "weights", 4, 2);
  const guint row = !strcmp(cell(rows, 0, 1), year) ? 0 : 1;
  assert_string_equal(cell(rows, row, 1), year);
  char **parts = parts_of(cell(rows, row, 2), ",");
  assert_int_equal(g_strv_length(parts), PITCH_CLASSES);
  for (guint i = 0; i < PITCH_CLASSES; ++i) {
    weights[i] = fraction_of(parts[i]);
  }
  g_strfreev(parts);
  g_ptr_array_unref(rows);
}

// Returns the root; `year` names the weights.
static guint
supports_of(const char *year, const char *tones, double support[PITCH_CLASSES])
{
  double weights[PITCH_CLASSES];
  read_weights(year, weights);
  return rc_root_supports(weights, tones_of(tones), support);
}

// Outside source: the weights of 1988 as the package parn88 holds them, as named in models.tsv.
static void
test_root_weights(void **state)
{
  (void)state;
  Check c = { "root weights", 0, 0 };
  double weights[PITCH_CLASSES];
  read_weights("1988", weights);
  for (guint i = 0; i < PITCH_CLASSES; ++i) {
    check(&c, fabs(rc_root_weights_1988[i] - weights[i]) < 1e-12, "interval %u: %f", i, rc_root_weights_1988[i]);
  }
  check_finish(&c);
}

// Outside sources: as named in section `ambiguity` of models.tsv: the printed table of 1988, the values of parn88 with
// the weights of 2006, and more places of both worked out elsewhere.
static void
test_ambiguity(void **state)
{
  (void)state;
  Check c = { "ambiguity", 0, 0 };
  GPtrArray *rows = table_read("models.tsv", "ambiguity", 5, N_AMBIGUITIES);
  for (guint i = 0; i < rows->len; ++i) {
    double support[PITCH_CLASSES];
    supports_of(cell(rows, i, 1), cell(rows, i, 2), support);
    check_decimal(&c, cell(rows, i, 2), rc_root_ambiguity(support), cell(rows, i, 3));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// Outside sources: as named in section `support` of models.tsv.
static void
test_supports(void **state)
{
  (void)state;
  Check c = { "root supports", 0, 0 };
  GPtrArray *rows = table_read("models.tsv", "support", 5, N_SUPPORTS);
  for (guint i = 0; i < rows->len; ++i) {
    double support[PITCH_CLASSES];
    supports_of(cell(rows, i, 1), cell(rows, i, 2), support);
    char **parts = parts_of(cell(rows, i, 3), ",");
    assert_int_equal(g_strv_length(parts), PITCH_CLASSES);
    for (guint root = 0; root < PITCH_CLASSES; ++root) {
      check_decimal(&c, cell(rows, i, 2), support[root], parts[root]);
    }
    g_strfreev(parts);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// Outside sources: as named in section `root` of models.tsv.
static void
test_roots(void **state)
{
  (void)state;
  Check c = { "roots", 0, 0 };
  GPtrArray *rows = table_read("models.tsv", "root", 5, N_ROOTS);
  for (guint i = 0; i < rows->len; ++i) {
    double support[PITCH_CLASSES];
    const guint root = supports_of(cell(rows, i, 1), cell(rows, i, 2), support);
    check_number(&c, cell(rows, i, 2), root, number_of(cell(rows, i, 3)));
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------------------- labels to compare

typedef enum { LABEL_CHORD, LABEL_NONE, LABEL_UNKNOWN } LabelKind;

// A chord as the pairs write it: "C:maj7/5", "N" for no chord, "X" for an unknown one.
typedef struct {
  LabelKind kind;
  RcChord chord;
} Label;

static RcNote
bass_at_degree(RcNote root, const char *degree)
{
  RcDegrees degrees = 0;
  assert_true(rc_degrees_parse(degree, &degrees, NULL));
  return rc_note_up(root, rc_degree_fifths((RcDegree)g_bit_nth_lsf(degrees, -1)));
}

static Label
label_of(const char *text)
{
  if (!strcmp(text, "N") || !strcmp(text, "X")) {
    return (Label){ *text == 'N' ? LABEL_NONE : LABEL_UNKNOWN, { 0, 0, 0 } };
  }
  char **halves = g_strsplit(text, "/", 2);
  char **words = g_strsplit(halves[0], ":", 2);
  char *symbol = g_strconcat(words[0], words[1], NULL);
  Label label = { LABEL_CHORD, chord_of(symbol) };
  if (halves[1]) {
    label.chord.bass = bass_at_degree(label.chord.root, halves[1]);
  }
  g_free(symbol);
  g_strfreev(words);
  g_strfreev(halves);
  return label;
}

// ---------------------------------------------------------------------------------------------------------- the rules

#define UP_TO_THE_FIFTH 0x1FF // semitones 0 to 8, the raised fifth among them
#define MAJOR_TRIAD 0x091
#define MINOR_TRIAD 0x089

// The tones above the root, ninths and higher left out.
static RcPcSet
quality(const Label *label)
{
  return rc_degrees_tones(label->chord.degrees & ~RC_TENSIONS, 0);
}

static RcPcSet
triad(const Label *label)
{
  return quality(label) & UP_TO_THE_FIFTH;
}

static gboolean
same_root(const Label *a, const Label *b)
{
  return rc_note_pc(a->chord.root) == rc_note_pc(b->chord.root);
}

static gboolean
same_third(const Label *a, const Label *b)
{
  return same_root(a, b) && !((a->chord.degrees ^ b->chord.degrees) & RC_BIT(FLAT_3));
}

static gboolean
same_triad(const Label *a, const Label *b)
{
  return same_root(a, b) && triad(a) == triad(b);
}

static gboolean
same_tetrad(const Label *a, const Label *b)
{
  return same_root(a, b) && quality(a) == quality(b);
}

static gboolean
three_in_common(const Label *a, const Label *b)
{
  return count_tones(rc_chord_tones(&a->chord) & rc_chord_tones(&b->chord)) >= 3;
}

static gboolean
is_any(const Label *label)
{
  (void)label;
  return TRUE;
}

static gboolean
has_three_tones(const Label *label)
{
  return count_tones(rc_chord_tones(&label->chord)) >= 3;
}

static gboolean
is_major_or_minor(const Label *label)
{
  return triad(label) == MAJOR_TRIAD || triad(label) == MINOR_TRIAD;
}

static gboolean
is_usual_seventh(const Label *label)
{
  static const char *const usual[] = { "C", "Cm", "Cmaj7", "C7", "Cm7" };
  for (guint i = 0; i < G_N_ELEMENTS(usual); ++i) {
    if (quality(label) == chord_tones_of(usual[i])) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
bass_in_triad(const Label *label)
{
  const guint above = (rc_note_pc(label->chord.bass) + PITCH_CLASSES - rc_note_pc(label->chord.root)) % PITCH_CLASSES;
  return rc_pcs_has(triad(label), above);
}

typedef struct {
  const char *name;
  gboolean (*comparable)(const Label *right);
  gboolean (*matches)(const Label *right, const Label *found);
} Rule;

// Each has a form with `_inv` after its name that needs the same bass as well.
static const Rule rules[] = {
  { "root", is_any, same_root },
  { "thirds", is_any, same_third },
  { "triads", is_any, same_triad },
  { "tetrads", is_any, same_tetrad },
  { "majmin", is_major_or_minor, same_triad },
  { "sevenths", is_usual_seventh, same_tetrad },
  { "mirex", has_three_tones, three_in_common },
};

static const Rule *
rule_named(const char *name)
{
  const gsize length = strlen(name) - (g_str_has_suffix(name, "_inv") ? 4 : 0);
  for (guint i = 0; i < G_N_ELEMENTS(rules); ++i) {
    if (strlen(rules[i].name) == length && !strncmp(rules[i].name, name, length)) {
      return &rules[i];
    }
  }
  fail_msg("no rule is called %s", name);
  return NULL;
}

// "1", "0" or "-".
static const char *
compare_labels(const char *name, const Label *right, const Label *found)
{
  const Rule *rule = rule_named(name);
  const gboolean inverted = g_str_has_suffix(name, "_inv");
  if (right->kind == LABEL_UNKNOWN) {
    return "-";
  }
  if (right->kind == LABEL_NONE) {
    return found->kind == LABEL_NONE ? "1" : "0";
  }
  if (!rule->comparable(right) || (inverted && rule->matches == same_triad && !bass_in_triad(right))) {
    return "-";
  }
  const gboolean bass = !inverted || rc_note_pc(right->chord.bass) == rc_note_pc(found->chord.bass);
  return found->kind == LABEL_CHORD && bass && rule->matches(right, found) ? "1" : "0";
}

// Outside source: the tests of the library mir_eval, as named in section `pair` of models.tsv.
static void
test_pairs(void **state)
{
  (void)state;
  Check c = { "pairs of chords", 0, 0 };
  GPtrArray *rows = table_read("models.tsv", "pair", 6, N_PAIRS);
  for (guint i = 0; i < rows->len; ++i) {
    char **row = g_ptr_array_index(rows, i);
    const Label right = label_of(row[2]);
    const Label found = label_of(row[3]);
    char *what = g_strdup_printf("%s: %s and %s", row[1], row[2], row[3]);
    check_text(&c, what, compare_labels(row[1], &right, &found), row[4]);
    g_free(what);
  }
  g_ptr_array_unref(rows);
  check_finish(&c);
}

// ------------------------------------------------------------------------------------ what the rules say of the grades

static const char *const qualities[] = {
  "",    "m",   "7",    "maj7", "m7",   "dim",  "dim7",  "m7b5",  "aug",  "6",
  "m6",  "9",   "maj9", "m9",   "sus4", "sus2", "7sus4", "9sus4", "add9", "m(maj7)",
  "7b9", "7#9", "11",   "m11",  "13",   "7#5",  "7b5",   "6/9",   "5",    "m(add9)",
};

// Small and large boards; on the large ones two buttons at a time, so that the test stays quick.
static const struct {
  const char *layout;
  RcHand hand;
} boards[] = {
  { "12", { RC_GRIP_REACH, RC_GRIP_PRESS } }, { "24", { RC_GRIP_REACH, RC_GRIP_PRESS } },
  { "32", { RC_GRIP_REACH, RC_GRIP_PRESS } }, { "48-8x6", { RC_GRIP_REACH, RC_GRIP_PRESS } },
  { "60-rootless-7", { RC_GRIP_REACH, 2 } },  { "120-3x3", { RC_GRIP_REACH, 2 } },
  { "140-augmented", { RC_GRIP_REACH, 2 } },
};

typedef struct {
  Check check;
  guint met[RC_N_VERDICTS];
  const char *board;
  char *symbol;
} Grades;

// The third or what is in its place: suspended tones, or the eleventh of a dominant chord that is named after it.
static RcPcSet
third_of(const RcChord *chord)
{
  const RcDegrees eleventh = RC_BIT(3) | RC_BIT(FLAT_7) | RC_BIT(11);
  if ((chord->degrees & eleventh) == eleventh && !(chord->degrees & RC_BIT(13))) {
    return rc_degrees_tones(RC_BIT(11), rc_note_pc(chord->root));
  }
  return rc_degrees_tones(chord->degrees & (RC_THIRDS | RC_SUSPENDED), rc_note_pc(chord->root));
}

static gboolean
keeps_third(const RcChord *chord, RcPcSet sounded)
{
  return (third_of(chord) & ~sounded) == 0;
}

// The `thirds` rule on what sounds; a raised ninth sounds as a minor third, so chords with one cannot be judged by it,
// and a sus chord may resolve to either third, as a chord without one may have either.
static gboolean
same_third_class(const RcChord *chord, RcPcSet sounded)
{
  const gboolean minor = (chord->degrees & RC_BIT(FLAT_3)) != 0;
  const gboolean sounds_minor = rc_pcs_has(sounded, rc_chord_degree_pc(chord, RC_DEGREE_FLAT_3));
  const gboolean told = (chord->degrees & RC_THIRDS) && !(chord->degrees & (RC_BIT(SHARP_9) | RC_SUSPENDED));
  return !told || minor == sounds_minor;
}

static void
check_graded(Grades *g, const RcLayout *layout, const RcRequest *request, const RcAnswer *answer)
{
  const RcChord *chord = &request->chord;
  const RcPcSet sounded = rc_grip_tones(layout, &answer->grip);
  const RcPcSet basses = rc_grip_basses(layout, &answer->grip);
  const gboolean root = (sounded >> rc_note_pc(chord->root)) & 1U;
  const char *grade = rc_verdict_name(answer->verdict);
  ++g->met[answer->verdict];
  if (answer->verdict >= RC_SAME && answer->verdict <= RC_LEANER) {
    check(&g->check, keeps_third(chord, sounded), "%s on %s: %s without its third", g->symbol, g->board, grade);
    check(&g->check, same_third_class(chord, sounded), "%s on %s: %s with another third", g->symbol, g->board, grade);
  }
  if (answer->verdict >= RC_SAME && answer->verdict <= RC_BARE) {
    check(&g->check, root, "%s on %s: %s without its root", g->symbol, g->board, grade);
    const RcPcSet given_up = (RcPcSet)(answer->verdict == RC_LEANER ? 1U << rc_note_pc(chord->root) : 0U);
    const RcPcSet wanted = (RcPcSet)(given_up | 1U << rc_note_pc(chord->bass));
    check(&g->check, (basses & wanted) != 0, "%s on %s: %s with another bass", g->symbol, g->board, grade);
    check(&g->check, rc_pcs_has(sounded, rc_note_pc(chord->bass)), "%s on %s: %s without its bass", g->symbol, g->board,
          grade);
  }
  if (answer->verdict == RC_BARE) {
    const gboolean passes = request->brisk || keeps_third(chord, sounded | request->melody);
    check(&g->check, !keeps_third(chord, sounded), "%s on %s: D with its third", g->symbol, g->board);
    check(&g->check, passes, "%s on %s: D though it is long", g->symbol, g->board);
  }
}

static void
check_request(Grades *g, const RcCatalogue *catalogue, const RcRequest *request)
{
  GArray *answers = rc_catalogue_rank(catalogue, rc_taste(), request);
  for (guint i = 0; i < answers->len; ++i) {
    check_graded(g, rc_catalogue_layout(catalogue), request, &g_array_index(answers, RcAnswer, i));
  }
  g_array_unref(answers);
}

// In no key and long, with the third in the melody or without it; brisk in no key, as dominant of a major key, as tonic
// of a minor key, and over its fifth.
static void
check_chord(Grades *g, const RcCatalogue *catalogue, RcChord chord)
{
  const RcKey major = { RC_MODE_MAJOR, rc_note_up(chord.root, -1) };
  const RcKey minor = { RC_MODE_MINOR, chord.root };
  RcRequest requests[] = {
    { .chord = chord },
    { .chord = chord, .melody = third_of(&chord) },
    { .chord = chord, .brisk = TRUE },
    { .chord = chord, .key = rc_key_scale(major, rc_key_tones(major)), .brisk = TRUE },
    { .chord = chord, .key = rc_key_scale(minor, rc_key_tones(minor)), .brisk = TRUE },
    { .chord = chord, .brisk = TRUE },
  };
  requests[G_N_ELEMENTS(requests) - 1].chord.bass = rc_note_up(chord.root, 1);
  for (guint i = 0; i < G_N_ELEMENTS(requests); ++i) {
    check_request(g, catalogue, &requests[i]);
  }
}

static void
check_board(Grades *g, const RcLayout *layout, RcHand hand)
{
  RcCatalogue *catalogue = rc_catalogue_new(layout, hand);
  g->board = layout->name;
  for (guint i = 0; i < G_N_ELEMENTS(qualities) * PITCH_CLASSES; ++i) {
    g->symbol = g_strconcat(root_name(i), qualities[i / PITCH_CLASSES], NULL);
    check_chord(g, catalogue, chord_of(g->symbol));
    g_free(g->symbol);
  }
  rc_catalogue_free(catalogue);
}

// Outside source: the rules `root` and `thirds` of the library mir_eval, as in test_pairs(). Every grip graded A to C
// sounds the wanted third or suspended tone, and no other third; A to D sound the root over the wanted bass; D lacks
// the third, by its definition.
static void
test_grades_keep_the_third(void **state)
{
  (void)state;
  Grades g = { { "grades by rules", 0, 0 }, { 0 }, NULL, NULL };
  for (guint i = 0; i < G_N_ELEMENTS(boards); ++i) {
    RcLayout *layout = shipped(boards[i].layout);
    check_board(&g, layout, boards[i].hand);
    rc_layout_free(layout);
  }
  for (RcVerdict verdict = RC_NATIVE; verdict <= RC_BORROWED; ++verdict) {
    check(&g.check, g.met[verdict] > 0, "no grip is graded %s", rc_verdict_name(verdict));
  }
  check_finish(&g.check);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_spectral_distances),
    cmocka_unit_test(test_root_weights),
    cmocka_unit_test(test_ambiguity),
    cmocka_unit_test(test_supports),
    cmocka_unit_test(test_roots),
    cmocka_unit_test(test_pairs),
    cmocka_unit_test(test_grades_keep_the_third),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
