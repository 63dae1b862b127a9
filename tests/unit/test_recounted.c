// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Answers about whole books, counted again over random ones. What one chord is worth on one keyboard is asked of the
// catalogue, chord after chord as a tune is played; all that is concluded of it is counted here from these verdicts by
// the words of study.h and shop.h: sums by loops, the best of several by looking at all, orders pair by pair, moves to
// other keys by moving the tune and not the keyboard.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/shop.h"
#include "rowcall/study.h"

#include <math.h>
#include <string.h>

enum { N_FILES = 3, MOST_TUNES = 12, MOST_BOARDS = 13, WORLDS = 16, SEED = 15 };

#include "scratch_files.h"

// ------------------------------------------------------------------------------------------------------ random books

static const char *
pick(GRand *random, const char *const *words, guint n)
{
  return words[g_rand_int_range(random, 0, (int)n)];
}

#define PICK(random, words) pick(random, words, G_N_ELEMENTS(words))

static const char *const titles[] = { "Weir", "weir",  "Mill", "Lock",   "The Lock",     "Lock, The",
                                      "Reed", "Spout", "Peat", "A Ford", "Sluice Gate!", "sluice gate" };
static const char *const keys[] = { "G", "D", "C", "A", "Em", "Bm", "A dorian", "Bb", "Eb", "F# minor" };
static const char *const meters[] = { "4/4", "3/4", "6/8", "2/2" };
static const char *const chords[] = { "G",    "D",   "C",    "A",    "F",   "E",   "Bb",    "Eb",   "B",
                                      "Am",   "Em",  "Dm",   "Bm",   "F#m", "Gbm", "C#m",   "Gm",   "Cm",
                                      "D7",   "G7",  "A7",   "E7",   "B7",  "F#7", "C7",    "Am7",  "Gsus4",
                                      "Cdim", "G/B", "D/F#", "Gaug", "C6",  "G9",  "Cmaj7", "Bm7b5" };

// A bar of one or two chords, of the few that the tune has.
static void
append_bar(GString *text, GRand *random, const char *const *palette, guint n)
{
  const guint odd = (guint)g_rand_int_range(random, 0, 40);
  g_string_append_printf(text, " %s",
                         odd == 0   ? "N.C."
                         : odd == 1 ? "Xq"
                         : odd == 2 ? "Zork"
                                    : pick(random, palette, n));
  if (g_rand_int_range(random, 0, 3) == 0) {
    g_string_append_printf(text, " %s", pick(random, palette, n));
  }
  g_string_append(text, " |");
}

static void
append_tune(GString *text, GRand *random, gboolean silent)
{
  const char *palette[6];
  const guint n = (guint)g_rand_int_range(random, 1, 7);
  for (guint i = 0; i < n; ++i) {
    palette[i] = PICK(random, chords);
  }
  g_string_append_printf(text, "title: %s\nmeter: %s\n", PICK(random, titles), PICK(random, meters));
  if (g_rand_int_range(random, 0, 4)) {
    g_string_append_printf(text, "key: %s\n", PICK(random, keys));
  }
  if (g_rand_boolean(random)) {
    g_string_append_printf(text, "tempo: %d\n", g_rand_int_range(random, 60, 300));
  }
  g_string_append(text, "parts:\n");
  silent |= g_rand_int_range(random, 0, 15) == 0;
  for (guint part = 0; part < 2; ++part) {
    g_string_append_printf(text, "  %c: \"|", 'A' + (int)part);
    for (int bars = g_rand_int_range(random, 1, 5); bars && !silent; --bars) {
      append_bar(text, random, palette, n);
    }
    g_string_append(text, silent ? " N.C. |\"\n" : "\"\n");
  }
  g_string_append_printf(text, "order: %s\n", g_rand_boolean(random) ? "A A B" : "A B A");
}

// Of several rounds the first has no chord at all.
static void
write_files(GRand *random, guint round)
{
  for (guint i = 0; i < N_FILES; ++i) {
    GString *text = g_string_new(NULL);
    for (int n = g_rand_int_range(random, 1, MOST_TUNES + 1); n; --n) {
      append_tune(text, random, round == 0);
      g_string_append(text, n > 1 ? "---\n" : "");
    }
    g_remove(files[i]);
    assert_true(g_file_set_contents(files[i], text->str, (gssize)text->len, NULL));
    g_string_free(text, TRUE);
  }
}

// ------------------------------------------------------------------------------------------------- tunes, chord by
// chord

// A chord as played, or a text that is none.
typedef struct {
  RcChord chord;
  guint symbol; // the first of this text or chord
  guint event;
  RcTicks length;
  gboolean unread;
  RcVerdict verdicts[MOST_BOARDS];
} Heard;

typedef struct {
  const RcTune *tune;
  GArray *heard; // of Heard
  RcVerdict accept;
} Told;

static gboolean
sounds_the_same(const RcChord *a, const RcChord *b)
{
  return rc_note_pc(a->root) == rc_note_pc(b->root) && rc_note_pc(a->bass) == rc_note_pc(b->bass) &&
         a->degrees == b->degrees;
}

static Told
tell(const RcTune *tune, RcCatalogue *const *catalogues, guint n, const RcRouteSettings *settings)
{
  Told told = { tune, g_array_new(FALSE, FALSE, sizeof(Heard)), settings->taste.accept };
  RcPlayed played;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, played.symbol);
    Heard heard = { .symbol = played.symbol, .event = played.event, .length = played.length };
    heard.unread = symbol->kind == RC_SYMBOL_UNREAD;
    if (symbol->kind == RC_SYMBOL_CHORD) {
      const RcRequest request = rc_roll_request(&settings->roll, tune, &played);
      heard.chord = symbol->chord;
      for (guint i = 0; i < n; ++i) {
        heard.verdicts[i] = rc_catalogue_best(catalogues[i], settings->taste, &request).verdict;
      }
    }
    if (heard.unread || symbol->kind == RC_SYMBOL_CHORD) {
      g_array_append_val(told.heard, heard);
    }
  }
  return told;
}

static const Heard *
heard_at(const Told *told, guint index)
{
  return &g_array_index(told->heard, Heard, index);
}

static RcTicks
carried(const Told *told, guint board, RcVerdict accept)
{
  RcTicks sum = 0;
  for (guint i = 0; i < told->heard->len; ++i) {
    const Heard *heard = heard_at(told, i);
    sum += !heard->unread && heard->verdicts[board] <= accept ? heard->length : 0;
  }
  return sum;
}

// The time of chords and, if `whole`, of texts that are none.
static RcTicks
lasts(const Told *told, gboolean whole)
{
  RcTicks sum = 0;
  for (guint i = 0; i < told->heard->len; ++i) {
    sum += whole || !heard_at(told, i)->unread ? heard_at(told, i)->length : 0;
  }
  return sum;
}

static gboolean
is_lacking(const Told *told, guint board, const Heard *heard)
{
  return !heard->unread && heard->verdicts[board] > told->accept;
}

// Whether an earlier chord of the tune lacks and sounds the same.
static gboolean
lacked_before(const Told *told, guint board, guint index)
{
  for (guint i = 0; i < index; ++i) {
    if (is_lacking(told, board, heard_at(told, i)) &&
        sounds_the_same(&heard_at(told, i)->chord, &heard_at(told, index)->chord)) {
      return TRUE;
    }
  }
  return FALSE;
}

static guint
count_lacking(const Told *told, guint board)
{
  guint n = 0;
  for (guint i = 0; i < told->heard->len; ++i) {
    n += is_lacking(told, board, heard_at(told, i)) && !lacked_before(told, board, i) ? 1 : 0;
  }
  return n;
}

static gboolean
has_unread(const Told *told)
{
  return lasts(told, TRUE) > lasts(told, FALSE);
}

static gboolean
is_playable(const Told *told, guint board)
{
  return told->heard->len && !has_unread(told) && !count_lacking(told, board);
}

static gboolean
is_native(const Told *told, guint board)
{
  return told->heard->len && carried(told, board, RC_NATIVE) == lasts(told, TRUE);
}

static RcFares
fares(const Told *told, guint board)
{
  const guint n = count_lacking(told, board);
  return n + (has_unread(told) ? 1 : 0) > 1 ? RC_FARES_NOT
         : has_unread(told)                 ? RC_FARES_UNREAD
         : n                                ? RC_FARES_ONE_SHORT
                                            : RC_FARES_PLAYS;
}

// The sign of a / b - c / d, exactly.
static int
compare_shares(gint64 a, gint64 b, gint64 c, gint64 d)
{
  const gint64 left = a * d;
  const gint64 right = c * b;
  return (left > right) - (left < right);
}

static int
by_time(const Told *a, const Told *b, guint board)
{
  return compare_shares(carried(a, board, a->accept), lasts(a, TRUE), carried(b, board, b->accept), lasts(b, TRUE));
}

static int
by_title(const RcTune *a, const RcTune *b)
{
  char *left = g_utf8_casefold(a->title, -1);
  char *right = g_utf8_casefold(b->title, -1);
  const int order = strcmp(left, right);
  g_free(left);
  g_free(right);
  return order;
}

// -------------------------------------------------------------------------------------------------------- the worlds

typedef struct {
  RcSettings settings;
  RcBoards *boards;
  RcRolled *rolled;
  Told *told; // beside the tunes rolled
  guint n;
} World;

static RcSettings
random_settings(GRand *random)
{
  static const char *const grades[] = { "A", "C", "D", "D", "E" };
  static const char *const targets[] = { "50", "80", "95", "100", "66.6667" };
  static const char *const kinds[] = { "target", "tunes" };
  static const char *const tastes[] = { "plain", "sound" };
  RcSettings settings = rc_settings();
  assert_true(rc_settings_set(&settings, "accept", PICK(random, grades), NULL));
  assert_true(rc_settings_set(&settings, PICK(random, kinds), PICK(random, targets), NULL));
  assert_true(rc_settings_set(&settings, "prefer", PICK(random, tastes), NULL));
  settings.threads = 1;
  return settings;
}

// Rolls what is in the files from `first` on, so many, on the boards, which are taken over.
static World
make_world(RcBoards *boards, guint first, guint n_files)
{
  const char *paths[N_FILES + 1] = { NULL };
  for (guint i = 0; i < n_files; ++i) {
    paths[i] = files[first + i];
  }
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  World w = { .settings = boards->settings, .boards = boards };
  w.rolled = rc_repertoire_roll(&repertoire, boards, TRUE, NULL);
  w.n = w.rolled->n_tunes;
  w.told = g_new(Told, MAX(w.n, 1));
  for (guint i = 0; i < w.n; ++i) {
    w.told[i] = tell(w.rolled->tunes[i], boards->catalogues, boards->n, &w.settings.route);
  }
  return w;
}

static void
clear_world(World *w)
{
  for (guint i = 0; i < w->n; ++i) {
    g_array_unref(w->told[i].heard);
  }
  g_free(w->told);
  rc_rolled_free(w->rolled);
  rc_boards_free(w->boards);
}

static const Told *
told_of(const World *w, const RcTune *tune)
{
  for (guint i = 0; i < w->n; ++i) {
    if (w->rolled->tunes[i] == tune) {
      return &w->told[i];
    }
  }
  fail();
  return NULL;
}

static RcTicks
carried_in_all(const World *w, guint board)
{
  RcTicks sum = 0;
  for (guint i = 0; i < w->n; ++i) {
    sum += carried(&w->told[i], board, w->settings.route.taste.accept);
  }
  return sum;
}

static RcTicks
read_in_all(const World *w)
{
  RcTicks sum = 0;
  for (guint i = 0; i < w->n; ++i) {
    sum += lasts(&w->told[i], FALSE);
  }
  return sum;
}

static guint
playable_in_all(const World *w, guint board)
{
  guint n = 0;
  for (guint i = 0; i < w->n; ++i) {
    n += is_playable(&w->told[i], board) ? 1 : 0;
  }
  return n;
}

static guint
tunes_with_chords(const World *w)
{
  guint n = 0;
  for (guint i = 0; i < w->n; ++i) {
    n += w->told[i].heard->len ? 1 : 0;
  }
  return n;
}

static gboolean
reaches(const World *w, guint board, gboolean by_tunes)
{
  const gint64 part = by_tunes ? (gint64)playable_in_all(w, board) : carried_in_all(w, board);
  const gint64 whole = by_tunes ? (gint64)tunes_with_chords(w) : read_in_all(w);
  return whole && part * 1000 >= whole * (gint64)(w->settings.target.millionths / 1000) &&
         (double)part >= (double)whole * w->settings.target.millionths / RC_TARGET_ALL - 1e-9 * (double)whole;
}

// ---------------------------------------------------------------------------------------------- keyboards side by side

// Whether keyboard `a` is named before `b`: it has fewer buttons, or as many and carries more.
static gboolean
is_smaller(const World *w, guint a, guint b, gboolean by_tunes)
{
  const guint left = rc_layout_count_buttons(w->boards->layouts[a]);
  const guint right = rc_layout_count_buttons(w->boards->layouts[b]);
  if (left != right) {
    return left < right;
  }
  return by_tunes ? playable_in_all(w, a) > playable_in_all(w, b) : carried_in_all(w, a) > carried_in_all(w, b);
}

static int
smallest(const World *w, gboolean by_tunes)
{
  int best = -1;
  for (guint i = 0; i < w->boards->n; ++i) {
    if (reaches(w, i, by_tunes) && (best < 0 || is_smaller(w, i, (guint)best, by_tunes))) {
      best = (int)i;
    }
  }
  return best;
}

// The time of a chord, however spelled, that a stand-in gives on keyboard `here`, and on `there` its own button.
static RcTicks
own_time(const World *w, guint here, guint there, const RcChord *chord)
{
  RcTicks sum = 0;
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; j < w->told[i].heard->len; ++j) {
      const Heard *heard = heard_at(&w->told[i], j);
      const gboolean gained = !heard->unread && heard->verdicts[here] <= w->told[i].accept &&
                              heard->verdicts[here] > RC_NATIVE && heard->verdicts[there] == RC_NATIVE;
      sum += gained && (!chord || sounds_the_same(chord, &heard->chord)) ? heard->length : 0;
    }
  }
  return sum;
}

static RcTicks
better_time(const World *w, guint here, guint there)
{
  RcTicks sum = 0;
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; j < w->told[i].heard->len; ++j) {
      const Heard *heard = heard_at(&w->told[i], j);
      sum += !heard->unread && heard->verdicts[here] <= w->told[i].accept &&
                 heard->verdicts[there] < heard->verdicts[here] && heard->verdicts[there] > RC_NATIVE
               ? heard->length
               : 0;
    }
  }
  return sum;
}

static gboolean
is_named(const RcStepUp *step, const RcChord *chord)
{
  for (guint i = 0; i < step->n_chords; ++i) {
    if (sounds_the_same(&step->chords[i], chord)) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
check_step(const World *w, guint here, const RcStepUp *step)
{
  const guint there = (guint)step->gain.next;
  guint native = 0;
  RcTicks least = G_MAXINT64;
  for (guint i = 0; i < w->n; ++i) {
    native += is_native(&w->told[i], there) ? 1 : 0;
    native -= is_native(&w->told[i], here) ? 1 : 0;
  }
  assert_int_equal(step->native, native);
  assert_true(step->own == own_time(w, here, there, NULL));
  assert_true(step->better == better_time(w, here, there));
  for (guint i = 0; i < step->n_chords; ++i) { // those held longest first
    const RcTicks time = own_time(w, here, there, &step->chords[i]);
    assert_true(time > 0 && time <= least);
    least = time;
  }
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; j < w->told[i].heard->len; ++j) {
      const Heard *heard = heard_at(&w->told[i], j);
      if (!heard->unread && !is_named(step, &heard->chord)) {
        const RcTicks time = own_time(w, here, there, &heard->chord);
        assert_true(step->n_chords == RC_STEP_CHORDS ? time <= least : !time);
      }
    }
  }
}

static void
check_comparison(const World *w)
{
  RcComparison *c = rc_compare(w->rolled);
  guint most_time = 0;
  guint most_tunes = 0;
  assert_int_equal(c->n, w->boards->n);
  for (guint i = 0; i < c->n; ++i) {
    assert_int_equal(c->sizes[i].counts.playable, playable_in_all(w, i));
    assert_int_equal(c->sizes[i].counts.tunes, tunes_with_chords(w));
    most_time = carried_in_all(w, i) > carried_in_all(w, most_time) ? i : most_time;
    most_tunes = MAX(most_tunes, playable_in_all(w, i));
    if (c->sizes[i].step.gain.next >= 0) {
      check_step(w, i, &c->sizes[i].step);
    }
  }
  assert_int_equal(c->by_time, smallest(w, FALSE));
  assert_int_equal(c->by_tunes, smallest(w, TRUE));
  assert_int_equal(c->most_time, most_time);
  assert_int_equal(c->most_tunes, most_tunes);
  rc_comparison_free(c);
}

// --------------------------------------------------------------------------------------------------- a tune's lacks

// What a tune lacks of one chord.
typedef struct {
  guint first; // of what is heard
  guint64 times;
  RcTicks ticks;
} Lacking;

static Lacking
lacking_like(const Told *told, guint board, guint index)
{
  const Heard *wanted = heard_at(told, index);
  Lacking lacking = { G_MAXUINT, 0, 0 };
  for (guint i = 0; i < told->heard->len; ++i) {
    const Heard *heard = heard_at(told, i);
    const gboolean same = wanted->unread
                            ? heard->unread && heard->symbol == wanted->symbol
                            : is_lacking(told, board, heard) && sounds_the_same(&heard->chord, &wanted->chord);
    if (same) {
      lacking.first = MIN(lacking.first, i);
      ++lacking.times;
      lacking.ticks += heard->length;
    }
  }
  return lacking;
}

// The worst verdict of a chord of the tune, however spelled.
static RcVerdict
worst_of(const Told *told, guint board, guint index)
{
  const Heard *wanted = heard_at(told, index);
  RcVerdict worst = wanted->unread ? RC_UNREAD : RC_NATIVE;
  for (guint i = 0; i < told->heard->len && !wanted->unread; ++i) {
    const Heard *heard = heard_at(told, i);
    if (!heard->unread && sounds_the_same(&heard->chord, &wanted->chord)) {
      worst = MAX(worst, heard->verdicts[board]);
    }
  }
  return worst;
}

// The place in what is heard that a lack names.
static guint
place_of(const Told *told, const RcTuneLack *lack)
{
  for (guint i = 0; i < told->heard->len; ++i) {
    const Heard *heard = heard_at(told, i);
    if (heard->symbol == lack->symbol && rc_tune_bar_of(told->tune, heard->event) == lack->bar) {
      return i;
    }
  }
  fail();
  return 0;
}

static void
check_lacks(const Told *told, guint board, const RcTuneOn *on)
{
  RcTicks before = G_MAXINT64;
  gboolean unread = FALSE;
  guint n_unread = 0;
  for (guint i = 0; i < on->n_lacks; ++i) {
    const RcTuneLack *lack = &on->lacks[i];
    const guint place = place_of(told, lack);
    const Lacking lacking = lacking_like(told, board, place);
    const Heard *first = heard_at(told, lacking.first);
    assert_int_equal(first->symbol, lack->symbol);
    assert_int_equal(rc_tune_bar_of(told->tune, first->event), lack->bar);
    assert_int_equal(lack->times, lacking.times);
    assert_true(lack->ticks == lacking.ticks);
    assert_int_equal(lack->verdict, worst_of(told, board, place));
    assert_true(first->unread || !unread); // texts that are no chords come last
    assert_true(first->unread || lack->ticks <= before);
    unread |= first->unread;
    n_unread += first->unread ? 1 : 0;
    before = lack->ticks;
  }
  assert_int_equal(on->n_lacks - n_unread, count_lacking(told, board));
  assert_int_equal(n_unread > 0, has_unread(told));
}

static void
check_on(const Told *told, guint board, const RcTuneOn *on)
{
  assert_int_equal(on->fares, fares(told, board));
  assert_true(rc_counts_carried(&on->counts, told->accept) == carried(told, board, told->accept));
  check_lacks(told, board, on);
}

// -------------------------------------------------------------------------------------------------------------- lists

static int
list_order(const RcListed *a, const RcListed *b, const World *w, RcListOrder order)
{
  const Told *left = told_of(w, a->tune);
  const Told *right = told_of(w, b->tune);
  const int time = by_time(left, right, 0);
  const int how = (int)fares(left, 0) - (int)fares(right, 0);
  switch (order) {
  case RC_LIST_WORST:
    return how ? how : time ? time : by_title(a->tune, b->tune);
  case RC_LIST_LACK:
    return how ? how : a->on[0].n_lacks != b->on[0].n_lacks ? (int)b->on[0].n_lacks - (int)a->on[0].n_lacks : time;
  case RC_LIST_TIME:
    return time;
  default:
    return by_title(a->tune, b->tune);
  }
}

// A tune in all keys on the first keyboard, moved by itself.
typedef struct {
  gboolean native[RC_N_MOVES];
  gboolean playable[RC_N_MOVES];
  RcTicks native_time[RC_N_MOVES];
  gboolean customary[RC_N_MOVES];
} Moved;

static Moved
move_tune(const World *w, const RcTune *tune, RcPcSet custom)
{
  Moved m = { .native = { FALSE } };
  for (int i = 0; i < RC_N_MOVES; ++i) {
    RcTune *moved = rc_tune_moved(tune, i + RC_MOVE_LOWEST);
    const RcKey key = rc_tune_setting(moved, 0)->key;
    Told told = tell(moved, w->boards->catalogues, 1, &w->settings.route);
    m.native[i] = is_native(&told, 0);
    m.playable[i] = is_playable(&told, 0);
    m.native_time[i] = carried(&told, 0, RC_NATIVE);
    m.customary[i] = key.mode != RC_MODE_NONE && rc_pcs_has(custom, rc_note_pc(rc_key_major(key)));
    g_array_unref(told.heard);
    rc_tune_free(moved);
  }
  return m;
}

// Whether move `a` is smaller than `b`, of as many semitones the one with more native time, then the one upwards.
static gboolean
is_nearer(const Moved *m, int a, int b)
{
  const int left = ABS(a - RC_AS_WRITTEN);
  const int right = ABS(b - RC_AS_WRITTEN);
  if (left != right) {
    return left < right;
  }
  return m->native_time[a] != m->native_time[b] ? m->native_time[a] > m->native_time[b] : a > b;
}

static gboolean
is_better_move(const Moved *m, int a, int b)
{
  if (m->native[a] != m->native[b]) {
    return m->native[a];
  }
  return m->customary[a] != m->customary[b] ? m->customary[a] : is_nearer(m, a, b);
}

// The best of those of which `among` is true, by a relation; RC_NO_MOVE for none.
static int
best_move(const Moved *m, const gboolean *among, const gboolean *also, gboolean (*better)(const Moved *m, int a, int b))
{
  int best = RC_NO_MOVE;
  for (int i = 0; i < RC_N_MOVES; ++i) {
    if (among[i] && also[i] && (best == RC_NO_MOVE || better(m, i, best))) {
      best = i;
    }
  }
  return best;
}

static void
check_moves(const World *w, const RcTune *tune, const RcTuneMoves *moves, RcPcSet custom)
{
  const Moved m = move_tune(w, tune, custom);
  const int best = best_move(&m, m.playable, m.playable, is_better_move);
  for (guint i = 0; i < RC_N_MOVES; ++i) {
    assert_int_equal(moves->counts[i].native, m.native[i]);
    assert_int_equal(moves->counts[i].playable, m.playable[i]);
  }
  assert_int_equal(moves->native, best_move(&m, m.native, m.native, is_nearer));
  assert_int_equal(moves->playable, best_move(&m, m.playable, m.playable, is_nearer));
  assert_int_equal(moves->customary, best_move(&m, m.playable, m.customary, is_better_move));
  assert_int_equal(moves->best, m.native[RC_AS_WRITTEN] ? RC_AS_WRITTEN : best);
}

static void
take_signature(RcCustom *custom, guint signature)
{
  if (!rc_pcs_has(custom->majors, signature)) {
    custom->order[custom->n++] = (guint8)signature;
    custom->majors |= (RcPcSet)(1U << signature);
  }
}

// The signatures that the tunes are used to: of those that as many tunes have the one with fewest sharps or flats
// first.
static RcCustom
find_custom(const World *w)
{
  static const guint order[] = { 0, 7, 5, 2, 10, 9, 3, 4, 8, 11, 1, 6 }; // C, G, F, D, B flat, A, E flat, ...
  static const guint common[] = { 0, 7, 5, 2, 9 };                       // one flat to three sharps
  guint counts[12] = { 0 };
  guint keyed = 0;
  guint covered = 0;
  RcCustom custom = { .majors = 0 };
  for (guint i = 0; i < w->n; ++i) {
    const RcKey key = rc_tune_setting(w->rolled->tunes[i], 0)->key;
    if (key.mode != RC_MODE_NONE) {
      ++counts[rc_note_pc(rc_key_major(key))];
      ++keyed;
    }
  }
  while (covered * 10 < keyed * (keyed < RC_CUSTOM_ENOUGH ? 10 : 9)) {
    guint best = order[0];
    for (guint i = 0; i < 12; ++i) {
      best = counts[order[i]] > counts[best] ? order[i] : best;
    }
    covered += counts[best];
    counts[best] = 0;
    take_signature(&custom, best);
  }
  for (guint i = 0; i < G_N_ELEMENTS(common) && keyed < RC_CUSTOM_ENOUGH; ++i) {
    take_signature(&custom, common[i]);
  }
  custom.keyed = keyed;
  custom.tunes = covered;
  return custom;
}

static void
check_list(const World *w, const RcBoards *usual, RcListOrder order)
{
  RcTuneList *list = rc_tune_list_new(w->rolled, usual, order);
  const RcCustom custom = find_custom(w);
  assert_int_equal(list->n, tunes_with_chords(w));
  assert_int_equal(list->n + list->n_chordless, w->n);
  assert_int_equal(list->custom.majors, custom.majors);
  assert_int_equal(list->custom.n, custom.n);
  assert_memory_equal(list->custom.order, custom.order, custom.n);
  assert_true(list->custom.keyed == custom.keyed && list->custom.tunes == custom.tunes);
  for (guint i = 0; i < list->n; ++i) {
    const RcListed *listed = &list->tunes[i];
    const Told *told = told_of(w, listed->tune);
    int plays = -1;
    for (guint j = 0; j < usual->n && plays < 0; ++j) {
      plays = is_playable(told, j) ? (int)j : -1;
    }
    assert_int_equal(listed->smallest, plays);
    check_on(told, 0, &listed->on[0]);
    check_on(told, 1, &listed->on[1]);
    assert_int_equal(listed->moves == NULL, is_playable(told, 0));
    if (listed->moves) {
      check_moves(w, listed->tune, listed->moves, custom.majors);
    }
    if (i) {
      const RcListed *before = &list->tunes[i - 1];
      const int by = list_order(before, listed, w, order);
      assert_true(by < 0 || (by == 0 && told_of(w, before->tune) < told));
    }
  }
  rc_tune_list_free(list);
}

// ----------------------------------------------------------------------------------------------------------- all keys

static void
check_keys(const World *w)
{
  RcKeys *found = rc_keys_judge(w->rolled, NULL);
  const RcPcSet custom = find_custom(w).majors;
  guint native = 0;
  guint playable = 0;
  guint easier = 0;
  guint nowhere = 0;
  guint unread = 0;
  guint to_move = 0;
  guint outside = 0;
  assert_int_equal(found->n, tunes_with_chords(w));
  for (guint i = 0; i < found->n; ++i) {
    const RcTuneKeys *tune = &found->tunes[i];
    const Told *told = told_of(w, tune->tune);
    const gboolean plays = is_playable(told, 0);
    check_moves(w, tune->tune, &tune->moves, custom);
    native += is_native(told, 0) ? 1 : 0;
    playable += plays ? 1 : 0;
    easier += plays && !is_native(told, 0) && tune->moves.native != RC_NO_MOVE ? 1 : 0;
    nowhere += tune->moves.playable == RC_NO_MOVE ? 1 : 0;
    unread += tune->moves.playable == RC_NO_MOVE && has_unread(told) ? 1 : 0;
    to_move += !plays && tune->moves.playable != RC_NO_MOVE ? 1 : 0;
    outside += !plays && tune->moves.playable != RC_NO_MOVE && tune->moves.best != tune->moves.customary ? 1 : 0;
  }
  assert_int_equal(found->native, native);
  assert_int_equal(found->playable, playable);
  assert_int_equal(found->easier, easier);
  assert_int_equal(found->nowhere, nowhere);
  assert_int_equal(found->unread, unread);
  assert_int_equal(found->n_to_move, to_move);
  assert_int_equal(found->outside, outside);
  for (guint i = 1; i < found->n_to_move; ++i) { // what gains most first
    const Told *before = told_of(w, found->tunes[found->to_move[i - 1]].tune);
    const Told *told = told_of(w, found->tunes[found->to_move[i]].tune);
    const int by = by_time(before, told, 0);
    assert_true(by < 0 || (by == 0 && before < told));
  }
  rc_keys_free(found);
}

// -------------------------------------------------------------------------------------------------------------- books

static int
compare_books(const World *w, const RcBook *a, const RcBook *b)
{
  gint64 n[2] = { 0, 0 };
  gint64 plays[2] = { 0, 0 };
  RcTicks whole[2] = { 0, 0 };
  RcTicks time[2] = { 0, 0 };
  for (guint i = 0; i < w->n; ++i) {
    const Told *told = &w->told[i];
    const guint side = !strcmp(told->tune->file, b->file);
    if (side || !strcmp(told->tune->file, a->file)) {
      n[side] += told->heard->len ? 1 : 0;
      plays[side] += is_playable(told, 0) ? 1 : 0;
      whole[side] += lasts(told, TRUE);
      time[side] += carried(told, 0, told->accept);
    }
  }
  if (!n[0] || !n[1]) {
    return !n[0] - !n[1];
  }
  const int tunes = compare_shares(plays[0], n[0], plays[1], n[1]);
  return tunes ? tunes : compare_shares(time[0], whole[0], time[1], whole[1]);
}

static void
check_book(const World *w, const RcBook *book)
{
  guint at = 0;
  guint n_tunes = 0;
  for (guint pass = 0; pass < 2; ++pass) { // those one short first
    for (guint i = 0; i < w->n; ++i) {
      const Told *told = &w->told[i];
      const gboolean one_short = fares(told, 0) == RC_FARES_ONE_SHORT;
      if (strcmp(told->tune->file, book->file) != 0) {
        continue;
      }
      n_tunes += pass ? 0 : 1;
      if (told->heard->len && !is_playable(told, 0) && one_short == (pass == 0)) {
        assert_ptr_equal(book->left_out[at], told->tune);
        ++at;
      }
    }
    assert_true(pass || book->n_one_short == at);
  }
  assert_int_equal(book->n_left_out, at);
  assert_int_equal(book->n_tunes, n_tunes);
}

static void
check_books(const World *w)
{
  RcBooks *books = rc_books_new(w->rolled);
  assert_int_equal(books->n, N_FILES);
  for (guint i = 0; i < books->n; ++i) {
    check_book(w, &books->books[i]);
    const int by = i ? compare_books(w, &books->books[i - 1], &books->books[i]) : -1;
    assert_true(by < 0 || (by == 0 && strcmp(books->books[i - 1].file, books->books[i].file) < 0));
  }
  rc_books_free(books);
}

// ------------------------------------------------------------------------------------------------------------- report

// Which keyboard a report looks at.
static guint
chosen_of(const World *w)
{
  const int best = smallest(w, FALSE);
  return w->boards->own >= 0 ? (guint)w->boards->own : best >= 0 ? (guint)best : w->boards->n - 1;
}

static RcEnough
enough_of(const World *w, guint board)
{
  const guint all = tunes_with_chords(w);
  const guint plays = playable_in_all(w, board);
  if (plays == all) {
    return RC_ENOUGH_WHOLE;
  }
  if (!reaches(w, board, w->settings.target.by == RC_TARGET_TUNES)) {
    return RC_ENOUGH_NOT;
  }
  return plays * 100 >= all * 90 ? RC_ENOUGH_NEARLY : RC_ENOUGH_TIME;
}

static void
check_advice(const World *w, const RcReport *r)
{
  guint best = 0;
  guint counts[3] = { 0 }; // playable elsewhere; but for unread texts; the others
  for (guint i = 1; i < w->boards->n; ++i) {
    best = playable_in_all(w, i) > playable_in_all(w, best) ? i : best;
  }
  for (guint i = 0; i < w->n; ++i) {
    const Told *told = &w->told[i];
    gboolean plays = FALSE;
    gboolean but_unread = FALSE;
    for (guint j = 0; j < w->boards->n; ++j) {
      plays |= is_playable(told, j);
      but_unread |= fares(told, j) == RC_FARES_UNREAD;
    }
    if (told->heard->len && !is_playable(told, best)) {
      ++counts[plays ? 0 : but_unread ? 1 : 2];
    }
  }
  assert_int_equal(r->advice.best, best);
  assert_int_equal(r->advice.elsewhere, counts[0]);
  assert_int_equal(r->advice.unread, counts[1]);
  assert_int_equal(r->advice.nowhere, counts[2]);
  assert_int_equal(r->advice.enough, enough_of(w, r->chosen));
  const int least = smallest(w, FALSE); // or the player's own, of as many buttons, where it is enough
  const gboolean own =
    least >= 0 && enough_of(w, r->chosen) != RC_ENOUGH_NOT &&
    rc_layout_count_buttons(w->boards->layouts[least]) == rc_layout_count_buttons(w->boards->layouts[r->chosen]);
  assert_int_equal(r->advice.by_time, own ? (int)r->chosen : least);
  RcTicks lacking = read_in_all(w);
  for (guint i = 0; i < w->n; ++i) {
    lacking -= carried(&w->told[i], r->chosen, RC_NATIVE);
  }
  for (guint i = 0; i < r->advice.n_lacks; ++i) {
    lacking -= r->advice.lacks[i].ticks;
  }
  assert_true(lacking == 0); // what has no button of its own, chord by chord
}

// Tunes that play elsewhere in the scale of keys, those first that carry the least of what could be read.
static void
check_moved(const World *w, const RcReport *r)
{
  const RcPcSet custom = find_custom(w).majors;
  RcLayout *layouts[] = { w->boards->layouts[r->chosen] };
  RcBoards *one = rc_boards_new(layouts, 1, &w->settings);
  const World alone = { .settings = w->settings, .boards = one };
  guint n = 0;
  for (guint i = 0; i < w->n; ++i) {
    const Moved m = move_tune(&alone, w->rolled->tunes[i], custom);
    const int best = best_move(&m, m.playable, m.playable, is_better_move);
    n += w->told[i].heard->len && !is_playable(&w->told[i], r->chosen) && best != RC_NO_MOVE ? 1 : 0;
  }
  assert_int_equal(r->advice.n_moved, n);
  for (guint i = 0; i < n; ++i) {
    const RcMoved *moved = &r->advice.moved[i];
    const Told *told = told_of(w, moved->tune);
    const Moved m = move_tune(&alone, moved->tune, custom);
    assert_int_equal(moved->move, best_move(&m, m.playable, m.playable, is_better_move));
    assert_int_equal(moved->native, m.native[moved->move]);
    assert_true(moved->carried == carried(told, r->chosen, told->accept) && moved->read == lasts(told, FALSE));
    if (i) {
      const Told *before = told_of(w, r->advice.moved[i - 1].tune);
      const int by = by_time(before, told, r->chosen);
      assert_true(by < 0 || (by == 0 && before < told));
    }
  }
  rc_boards_free(one);
}

static int
index_order(const World *w, const RcReport *r, guint a, guint b)
{
  static const int group[RC_N_FARES] = {
    [RC_FARES_PLAYS] = 1, [RC_FARES_ONE_SHORT] = 2, [RC_FARES_NOT] = 3, [RC_FARES_UNREAD] = 4
  };
  const Told *left = &w->told[a];
  const Told *right = &w->told[b];
  const int how = group[fares(left, r->chosen)] - group[fares(right, r->chosen)];
  const int file = strcmp(left->tune->file, right->tune->file);
  const RcTicks time[] = { MAX(lasts(left, FALSE), 1), MAX(lasts(right, FALSE), 1) };
  const int by =
    compare_shares(carried(left, r->chosen, left->accept), time[0], carried(right, r->chosen, right->accept), time[1]);
  const int native =
    compare_shares(carried(left, r->chosen, RC_NATIVE), time[0], carried(right, r->chosen, RC_NATIVE), time[1]);
  return how ? how : file ? file : by ? by : native;
}

static void
check_index(const World *w, const RcReport *r)
{
  guint fare[RC_N_FARES] = { 0 };
  assert_int_equal(r->index->n, tunes_with_chords(w));
  assert_int_equal(r->index->n_chordless, w->n - tunes_with_chords(w));
  for (guint i = 0; i < r->index->n; ++i) {
    const RcIndexed *tune = &r->index->tunes[i];
    check_on(&w->told[tune->number], r->chosen, &tune->on);
    ++fare[tune->on.fares];
    for (guint j = 0; j < w->boards->n; ++j) {
      assert_int_equal(tune->sizes[j], fares(&w->told[tune->number], j));
    }
    if (i) {
      const guint before = r->index->tunes[i - 1].number;
      const int by = index_order(w, r, before, tune->number);
      assert_true(by < 0 || (by == 0 && before < tune->number));
    }
  }
  assert_memory_equal(fare, r->index->fare, sizeof fare);
}

// How long all tunes have a chord, however spelled.
static RcTicks
time_of_chord(const World *w, const RcChord *chord)
{
  RcTicks sum = 0;
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; j < w->told[i].heard->len; ++j) {
      const Heard *heard = heard_at(&w->told[i], j);
      sum += !heard->unread && (!chord || sounds_the_same(&heard->chord, chord)) ? heard->length : 0;
    }
  }
  return sum;
}

static void
check_wanted(const World *w, const RcReport *r)
{
  RcTicks all = 0;
  for (guint i = 0; i < r->advice.n_wanted; ++i) {
    const RcChordSum *sum = &r->advice.wanted[i];
    assert_true(sum->length == time_of_chord(w, &sum->chord));
    assert_true(!i || sum->length < sum[-1].length || (sum->length == sum[-1].length && sum->first > sum[-1].first));
    all += sum->length;
  }
  assert_true(all == time_of_chord(w, NULL));
}

// -------------------------------------------------------------------------------------------------------------- sizes

static gint64
part_of(const RcSwept *s, guint size, gboolean by_tunes)
{
  const RcCounts *counts = &s->sizes[size].counts;
  return by_tunes ? (gint64)counts->playable : rc_counts_carried(counts, s->accept);
}

// Half columns between the middle of a size and that between C and G, 0 and 1 on the line of fifths.
static int
off_centre(const RcSwept *s, guint size)
{
  const GArray *columns = rc_sweep_full(s->sweep)->columns;
  const RcSize *of = s->sizes[size].size;
  return ABS(g_array_index(columns, RcNote, of->first) - 0 + g_array_index(columns, RcNote, of->last) - 1);
}

// Whether size `a` is better than `b` of as many buttons.
static gboolean
is_better_size(const RcSwept *s, guint a, guint b)
{
  const gboolean by_tunes = s->target.by == RC_TARGET_TUNES;
  for (guint pass = 0; pass < 2; ++pass) {
    const gint64 more = part_of(s, a, by_tunes == (pass == 0)) - part_of(s, b, by_tunes == (pass == 0));
    if (more) {
      return more > 0;
    }
  }
  return off_centre(s, a) < off_centre(s, b);
}

static int
best_size(const RcSwept *s, guint first, guint n, gboolean usual, guint columns)
{
  int best = -1;
  for (guint i = first; i < first + n; ++i) {
    const RcSize *size = s->sizes[i].size;
    const gboolean taken =
      columns ? size->last - size->first + 1 == columns : s->sizes[i].reaches && (!usual || size->usual);
    const guint buttons = best < 0 ? G_MAXUINT : s->sizes[best].size->buttons;
    if (taken &&
        (best < 0 || size->buttons < buttons || (size->buttons == buttons && is_better_size(s, i, (guint)best)))) {
      best = (int)i;
    }
  }
  return best;
}

static void
check_sizes(const World *w, const RcSwept *s)
{
  const RcTarget target = w->settings.target;
  const gboolean by_tunes = target.by == RC_TARGET_TUNES;
  assert_true(s->target.by == target.by && s->target.millionths == target.millionths);
  for (guint i = 0; i < s->n; ++i) {
    const gint64 whole = by_tunes ? (gint64)tunes_with_chords(w) : read_in_all(w);
    const double share = whole ? (double)part_of(s, i, by_tunes) / (double)whole : 0;
    const double wanted = (double)target.millionths / RC_TARGET_ALL;
    assert_true(fabs(rc_swept_share(s, i) - share) < 1e-12);
    assert_true(fabs(share - wanted) < 1e-9 || s->sizes[i].reaches == (share > wanted));
  }
  assert_int_equal(s->smallest, best_size(s, 0, s->n, FALSE, 0));
  assert_int_equal(s->usual, best_size(s, 0, s->n, TRUE, 0));
  for (guint i = 0; i < s->n_rows; ++i) {
    const RcSweptRows *rows = &s->rows[i];
    guint others = 0;
    assert_int_equal(rows->smallest, best_size(s, rows->first, rows->n, FALSE, 0));
    for (guint j = rows->first; j < rows->first + rows->n; ++j) {
      others += rows->smallest >= 0 && (int)j != rows->smallest && s->sizes[j].reaches &&
                    s->sizes[j].size->buttons == s->sizes[rows->smallest].size->buttons
                  ? 1
                  : 0;
    }
    assert_int_equal(rows->others, others);
    for (guint columns = 1; columns <= rows->n_best; ++columns) {
      assert_int_equal(rows->best[columns - 1], best_size(s, rows->first, rows->n, FALSE, columns));
    }
  }
}

// ------------------------------------------------------------------------------------------------- two repertoires

// Which titles name one tune: all but for case, accents, punctuation and an article are the same.
static guint
class_of(const char *title)
{
  static const guint classes[G_N_ELEMENTS(titles)] = { 0, 0, 1, 2, 2, 2, 3, 4, 5, 6, 7, 7 };
  for (guint i = 0; i < G_N_ELEMENTS(titles); ++i) {
    if (!strcmp(titles[i], title)) {
      return classes[i];
    }
  }
  fail();
  return 0;
}

static void
check_shared_tunes(const RcShared *shared, const World *one, const World *other)
{
  guint taken = 0; // a bit for each class
  guint n = 0;
  for (guint i = 0; i < one->n; ++i) {
    const guint class = class_of(one->rolled->tunes[i]->title);
    const RcTune *found = NULL;
    for (guint j = 0; j < other->n && !found; ++j) {
      found = class_of(other->rolled->tunes[j]->title) == class ? other->rolled->tunes[j] : NULL;
    }
    if (found && !(taken & 1U << class)) {
      assert_in_range(n, 0, shared->n_tunes - 1);
      assert_ptr_equal(shared->tunes[n].of[0], one->rolled->tunes[i]);
      assert_ptr_equal(shared->tunes[n].of[1], found);
      ++n;
    }
    taken |= 1U << class;
  }
  assert_int_equal(shared->n_tunes, n);
}

static guint64
tunes_in_key(const World *w, RcKey key)
{
  guint64 n = 0;
  for (guint i = 0; i < w->n; ++i) {
    const RcKey found = rc_tune_setting(w->rolled->tunes[i], 0)->key;
    gboolean chord = FALSE; // beside texts that are none
    for (guint j = 0; j < w->told[i].heard->len; ++j) {
      chord |= !heard_at(&w->told[i], j)->unread;
    }
    n += chord && found.mode == key.mode && rc_note_pc(found.tonic) == rc_note_pc(key.tonic) ? 1 : 0;
  }
  return n;
}

static guint64
times_of_chord(const World *w, const RcChord *chord)
{
  guint64 n = 0;
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; j < w->told[i].heard->len; ++j) {
      const Heard *heard = heard_at(&w->told[i], j);
      n += !heard->unread && sounds_the_same(&heard->chord, chord) ? 1 : 0;
    }
  }
  return n;
}

// Whether what both have `a` of may come before what they have `b` of.
static gboolean
may_come_first(const guint64 a[RC_PAIR], const guint64 b[RC_PAIR])
{
  const guint64 left = MIN(a[0], a[1]);
  const guint64 right = MIN(b[0], b[1]);
  return left > right || (left == right && a[0] + a[1] >= b[0] + b[1]);
}

static void
check_shared(const World *one, const World *other)
{
  RcShared *shared = rc_shared_new(one->rolled, other->rolled);
  RcTicks time = 0;
  guint64 tunes = 0;
  check_shared_tunes(shared, one, other);
  for (guint i = 0; i < shared->n_keys; ++i) {
    const RcKeyOfBoth *key = &shared->keys[i];
    assert_int_equal(key->tunes[0], tunes_in_key(one, key->key));
    assert_int_equal(key->tunes[1], tunes_in_key(other, key->key));
    assert_true(key->tunes[0] + key->tunes[1] > 0);
    assert_true(!i || may_come_first(key[-1].tunes, key->tunes));
    tunes += key->tunes[0];
  }
  for (guint i = 0; i < shared->n_chords; ++i) {
    const RcChordOfBoth *chord = &shared->chords[i];
    assert_int_equal(chord->times[0], times_of_chord(one, &chord->chord));
    assert_int_equal(chord->times[1], times_of_chord(other, &chord->chord));
    assert_true(chord->ticks[0] == time_of_chord(one, &chord->chord));
    assert_true(chord->ticks[1] == time_of_chord(other, &chord->chord));
    assert_true(!i || may_come_first(chord[-1].times, chord->times));
    time += chord->ticks[1];
  }
  assert_true(time == read_in_all(other));
  assert_true(tunes <= tunes_with_chords(one));
  rc_shared_free(shared);
}

static void
test_two_repertoires(void **state)
{
  (void)state;
  GRand *random = g_rand_new_with_seed(SEED + 2);
  for (guint i = 0; i < WORLDS; ++i) {
    write_files(random, i);
    const RcSettings settings = random_settings(random);
    const RcBoardName name = { "48-8x6", NULL };
    World one = make_world(rc_boards_find(&name, 1, &settings, NULL), 0, 2);
    World other = make_world(rc_boards_find(&name, 1, &settings, NULL), 1, 2); // one file is in both
    check_shared(&one, &other);
    clear_world(&one);
    clear_world(&other);
  }
  g_rand_free(random);
}

// -------------------------------------------------------------------------------------------------------------- shops

enum { N_OFFERS = 7 };

// What an offer is judged by, 0 being unknown.
typedef struct {
  gint64 price;
  gint64 kg;
} Asked;

static RcShop *
think_up(GRand *random, Asked *asked)
{
  static const char *const layouts[] = {
    "8", "12", "24", "24, dead: [minor A]", "32, dead: [seventh G]", "32", "48-8x6", "48-12x4", "72"
  };
  GError *error = NULL;
  GString *text = g_string_new("currency: EUR\noffers:\n");
  for (guint i = 0; i < N_OFFERS; ++i) {
    asked[i] = (Asked){ g_rand_int_range(random, 0, 4), g_rand_int_range(random, 0, 4) };
    g_string_append_printf(text, "- {name: %u, layout: %s", i, PICK(random, layouts));
    if (asked[i].price) {
      g_string_append_printf(text, ", price: %d00", (int)asked[i].price);
    }
    if (asked[i].kg) {
      g_string_append_printf(text, ", weight: %d", (int)asked[i].kg);
    }
    g_string_append(text, "}\n");
  }
  RcShop *shop = rc_shop_parse(text->str, text->len, "window.yaml", &error);
  if (!shop) {
    fail_msg("%s", error->message);
  }
  g_string_free(text, TRUE);
  return shop;
}

// Unknown ones last.
static int
compare_asked(gint64 a, gint64 b)
{
  return a && b ? (a > b) - (a < b) : !a - !b;
}

static int
compare_offers(const Asked *asked, guint a, guint b)
{
  const int price = compare_asked(asked[a].price, asked[b].price);
  const int kg = compare_asked(asked[a].kg, asked[b].kg);
  return price ? price : kg ? kg : (int)a - (int)b;
}

static gboolean
carry_alike(const World *w, guint a, guint b)
{
  RcTicks native[2] = { 0, 0 };
  gboolean same = carried_in_all(w, a) == carried_in_all(w, b);
  int native_tunes = 0;
  for (guint i = 0; i < w->n; ++i) {
    native[0] += carried(&w->told[i], a, RC_NATIVE);
    native[1] += carried(&w->told[i], b, RC_NATIVE);
    native_tunes += is_native(&w->told[i], a) - is_native(&w->told[i], b);
    same &= is_playable(&w->told[i], a) == is_playable(&w->told[i], b);
  }
  return same && native[0] == native[1] && !native_tunes;
}

static void
check_left_out(const World *w, const RcTally *tally, guint board)
{
  const GArray *left_out = rc_tally_left_out(tally, board);
  GArray *sorted = rc_tally_worst_first(tally, board);
  guint n = 0;
  for (guint i = 0; i < w->n; ++i) {
    const Told *told = &w->told[i];
    if (told->heard->len && !is_playable(told, board)) {
      const RcLeftOut *left = &g_array_index(left_out, RcLeftOut, n++);
      assert_int_equal(left->tune, i);
      assert_true(left->missing == lasts(told, TRUE) - carried(told, board, told->accept));
      assert_int_equal(left->fares, fares(told, board));
      assert_true(fabs(left->carried * (double)lasts(told, TRUE) - (double)carried(told, board, told->accept)) < 1);
      assert_string_equal(rc_tally_title(tally, i), told->tune->title);
      assert_int_equal(rc_tally_place(tally, i).line, told->tune->line);
      assert_string_equal(rc_tally_place(tally, i).file, told->tune->file);
    }
  }
  assert_int_equal(left_out->len, n);
  assert_int_equal(sorted->len, n);
  for (guint i = 1; i < sorted->len; ++i) {
    const Told *before = &w->told[g_array_index(sorted, RcLeftOut, i - 1).tune];
    const Told *told = &w->told[g_array_index(sorted, RcLeftOut, i).tune];
    const int how = (int)fares(before, board) - (int)fares(told, board);
    const int time = by_time(before, told, board);
    const int by = how ? how : time ? time : by_title(before->tune, told->tune);
    assert_true(by < 0 || (by == 0 && before < told));
  }
  g_array_unref(sorted);
}

static gboolean
carries_target(const World *w, guint board, guint percent)
{
  return read_in_all(w) && carried_in_all(w, board) * 100 >= read_in_all(w) * percent;
}

// The least known price, or weight, of what carries the target, of several the one that carries most, then the first
// row.
static int
find_least(const World *w, const RcStandings *s, const Asked *asked, guint percent, gboolean weight)
{
  int best = -1;
  for (guint i = 0; i < s->n; ++i) {
    const guint offer = s->rows[i].offer;
    const guint known = best < 0 ? 0 : s->rows[best].offer;
    const gint64 size = weight ? asked[offer].kg : asked[offer].price;
    const gint64 least = weight ? asked[known].kg : asked[known].price;
    if (size && carries_target(w, offer, percent) &&
        (best < 0 || size < least || (size == least && carried_in_all(w, offer) > carried_in_all(w, known)))) {
      best = (int)i;
    }
  }
  return best;
}

static void
check_standings(const World *w, const RcStandings *s, const Asked *asked, guint percent)
{
  RcTicks most = 0;
  int nearest = -1;
  assert_true(s->read == read_in_all(w));
  for (guint i = 0; i < s->n; ++i) {
    const RcStanding *row = &s->rows[i];
    guint alike = 0;
    while (alike < i && !carry_alike(w, s->rows[alike].offer, row->offer)) {
      ++alike;
    }
    assert_true(!i || compare_offers(asked, row[-1].offer, row->offer) < 0);
    assert_true(row->worth.carried == carried_in_all(w, row->offer));
    assert_int_equal(row->judged, asked[row->offer].price && asked[row->offer].kg && read_in_all(w));
    assert_int_equal(row->reaches, carries_target(w, row->offer, percent));
    assert_int_equal(row->alike, alike);
    nearest = row->worth.carried > most ? (int)i : nearest;
    most = MAX(most, row->worth.carried);
  }
  assert_int_equal(s->nearest, nearest);
  assert_int_equal(s->cheapest, find_least(w, s, asked, percent, FALSE));
  assert_int_equal(s->lightest, find_least(w, s, asked, percent, TRUE));
}

static void
test_shops(void **state)
{
  (void)state;
  GRand *random = g_rand_new_with_seed(SEED + 3);
  for (guint i = 0; i < WORLDS; ++i) {
    Asked asked[N_OFFERS];
    RcLayout *layouts[N_OFFERS];
    const RcSettings settings = random_settings(random);
    const guint percent = (guint)g_rand_int_range(random, 20, 101);
    RcShop *shop = think_up(random, asked);
    for (guint j = 0; j < N_OFFERS; ++j) {
      layouts[j] = rc_shop_offer(shop, j)->layout;
    }
    write_files(random, i);
    World w = make_world(rc_boards_new(layouts, N_OFFERS, &settings), 0, N_FILES);
    RcTally *tally = rc_tally_new(w.boards->panel, settings.route.roll);
    for (guint j = 0; j < w.n; ++j) {
      rc_tally_add(tally, w.rolled->tunes[j]);
    }
    RcStandings s = rc_shop_judge(shop, tally, percent * (RC_TARGET_ALL / 100));
    check_standings(&w, &s, asked, percent);
    for (guint j = 0; j < N_OFFERS; ++j) {
      check_left_out(&w, tally, j);
    }
    rc_standings_clear(&s);
    rc_tally_free(tally);
    clear_world(&w);
    rc_shop_free(shop);
  }
  g_rand_free(random);
}

// ----------------------------------------------------------------------------------------- buttons, held along routes

// The routes of a repertoire along one keyboard.
typedef struct {
  RcPlanner *planner;
  RcRoute **routes; // beside the tunes
} Routes;

static Routes
plan_routes(const World *w, guint board)
{
  Routes r = { rc_planner_new(w->boards->layouts[board], &w->settings.route), g_new(RcRoute *, MAX(w->n, 1)) };
  for (guint i = 0; i < w->n; ++i) {
    r.routes[i] = rc_route_new(r.planner);
    rc_route_plan(r.routes[i], w->rolled->tunes[i]);
  }
  return r;
}

static void
clear_routes(Routes *r, guint n)
{
  for (guint i = 0; i < n; ++i) {
    rc_route_free(r->routes[i]);
  }
  g_free(r->routes);
  rc_planner_free(r->planner);
}

static const RcStep *
step_at(const RcRoute *route, guint index)
{
  return &g_array_index(route->steps, RcStep, index);
}

// How often, and in how many tunes, a wide grip is held for a chord.
static RcWideGrip
count_wide(const World *w, const Routes *r, const RcLayout *layout, const RcWideGrip *wanted)
{
  RcWideGrip found = { .times = 0 };
  for (guint i = 0; i < w->n; ++i) {
    const guint64 before = found.times;
    for (guint j = 0; j < r->routes[i]->steps->len; ++j) {
      const RcStep *step = step_at(r->routes[i], j);
      const RcSymbol *symbol = &g_array_index(w->rolled->tunes[i]->symbols, RcSymbol, step->played.symbol);
      if (step->held && step->verdict <= w->settings.route.taste.accept &&
          rc_grip_stretch(&w->settings.route.fingers, layout, &step->grip, &step->fingers) > 0) {
        found.times +=
          !wanted || (sounds_the_same(&symbol->chord, &wanted->chord) && rc_grip_equal(&step->grip, &wanted->grip)) ? 1
                                                                                                                    : 0;
      }
    }
    found.tunes += found.times > before ? 1 : 0;
  }
  return found;
}

// Whether `a` may come before `b`: pressed more often, or as often and as wide or wider.
static gboolean
may_be_wider(const RcWideGrip *a, const RcWideGrip *b)
{
  return a->times > b->times || (a->times == b->times && a->mm >= b->mm);
}

static guint64
check_wide(const World *w, guint board, const RcWideGrip *grips, guint n)
{
  const RcLayout *layout = w->boards->layouts[board];
  Routes r = plan_routes(w, board);
  guint64 times = 0;
  for (guint i = 0; i < n; ++i) {
    const RcWideGrip found = count_wide(w, &r, layout, &grips[i]);
    assert_int_equal(grips[i].times, found.times);
    assert_int_equal(grips[i].tunes, found.tunes);
    assert_true(fabs(grips[i].mm - rc_grip_span(layout, &grips[i].grip)) < 1e-9);
    assert_true(!i || may_be_wider(&grips[i - 1], &grips[i]));
    times += grips[i].times;
  }
  assert_int_equal(times, count_wide(w, &r, layout, NULL).times);
  clear_routes(&r, w->n);
  return times;
}

// How often the best grip for a chord is this one and a stretch, wherever routes lead.
static guint64
count_wide_alone(const World *w, guint board, const RcWideGrip *wanted)
{
  const RcRouteSettings *route = &w->settings.route;
  guint64 times = 0;
  for (guint i = 0; i < w->n; ++i) {
    RcPlayed played;
    for (RcWalk walk = rc_walk_start(w->told[i].tune); rc_walk_next(&walk, &played);) {
      const RcSymbol *symbol = &g_array_index(w->told[i].tune->symbols, RcSymbol, played.symbol);
      if (symbol->kind != RC_SYMBOL_CHORD) {
        continue;
      }
      const RcRequest request = rc_roll_request(&route->roll, w->told[i].tune, &played);
      const RcAnswer best = rc_catalogue_best(w->boards->catalogues[board], route->taste, &request);
      RcFingering ways[RC_FINGERINGS];
      const gboolean held = best.verdict <= route->taste.accept &&
                            rc_fingers_ways(&route->fingers, w->boards->layouts[board], &best.grip, ways) > 0;
      times +=
        held && rc_grip_stretch(&route->fingers, w->boards->layouts[board], &best.grip, &ways[0]) > 0 &&
            (!wanted || (rc_grip_equal(&best.grip, &wanted->grip) && sounds_the_same(&symbol->chord, &wanted->chord)))
          ? 1
          : 0;
    }
  }
  return times;
}

static void
check_wide_alone(const World *w, guint board)
{
  guint n = 0;
  guint64 times = 0;
  RcWideGrip *grips = rc_wide_in_roll(w->rolled->roll, board, &w->settings, &n);
  for (guint i = 0; i < n; ++i) {
    assert_int_equal(grips[i].times, count_wide_alone(w, board, &grips[i]));
    assert_true(!i || may_be_wider(&grips[i - 1], &grips[i]));
    times += grips[i].times;
  }
  assert_int_equal(times, count_wide_alone(w, board, NULL));
  g_free(grips);
}

// A small hand on keyboards of which some are the same but for their names, or for a dead button.
static void
test_stretches(void **state)
{
  (void)state;
  static const RcBoardName names[] = {
    { "48-8x6", NULL }, { "48-12x4", NULL }, { "48-8x6", "minor:A" }, { "48-8x6", NULL }, { "24", NULL }
  };
  guint64 times = 0;
  GRand *random = g_rand_new_with_seed(SEED + 4);
  for (guint i = 0; i < WORLDS / 2; ++i) {
    RcSettings settings = random_settings(random);
    assert_true(rc_settings_set(&settings, "spans", i % 2 ? "40,32,40,56,56,80" : "45,41,45,42,42,43", NULL));
    write_files(random, i);
    World w = make_world(rc_boards_find(names, G_N_ELEMENTS(names), &settings, NULL), 0, N_FILES);
    RcWideTally *tally = rc_wide_tally_new(w.boards->layouts, w.boards->n, &settings);
    for (guint j = 0; j < w.n; ++j) {
      rc_wide_tally_add(tally, w.rolled->tunes[j]);
    }
    for (guint board = 0; board < w.boards->n; ++board) {
      guint n = 0;
      RcWideGrip *grips = rc_wide_tally_grips(tally, board, &n);
      times += check_wide(&w, board, grips, n);
      check_wide_alone(&w, board);
      g_free(grips);
    }
    rc_wide_tally_free(tally);
    clear_world(&w);
  }
  assert_true(times > 100);
  g_rand_free(random);
}

// For how long routes hold a button of a row, or of a column where `row` is -1; how often they press one.
static RcButtonSum
count_held(const World *w, const Routes *r, const RcLayout *layout, int row, int column)
{
  RcButtonSum sum = { 0, 0, 0, 0 };
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; j < r->routes[i]->steps->len; ++j) {
      const RcStep *step = step_at(r->routes[i], j);
      guint pressed = 0;
      for (guint n = 0; step->held && n < rc_grip_count(&step->grip); ++n) {
        const RcButton *button = rc_layout_button(layout, rc_grip_button(&step->grip, n));
        pressed += (row < 0 || (int)button->row == row) && (column < 0 || (int)button->column == column) ? 1 : 0;
      }
      sum.presses += pressed;
      sum.ticks += pressed * step->played.length;
      sum.held += pressed ? step->played.length : 0;
    }
  }
  return sum;
}

static void
assert_sum(const RcButtonSum *found, RcButtonSum expected)
{
  assert_int_equal(found->presses, expected.presses);
  assert_true(found->ticks == expected.ticks && found->held == expected.held && found->made_up == 0);
}

static void
check_heat(const World *w, guint board, const RcUse *use)
{
  const RcLayout *layout = use->layout;
  Routes r = plan_routes(w, board);
  RcHeat *heat = rc_heat_new(use);
  RcTicks whole = 0;
  for (guint i = 0; i < w->n; ++i) {
    whole += lasts(&w->told[i], TRUE);
  }
  assert_true(heat->whole == whole);
  assert_sum(&heat->all, count_held(w, &r, layout, -1, -1));
  assert_true(rc_heat_share(heat, whole) == (whole ? 1 : 0));
  guint first = 0;
  guint last = 0;
  RcTicks ticks = 0;
  assert_int_equal(heat->rows, heat->all.held ? rc_use_rows(use, 0.9, &ticks) : 0);
  assert_true(heat->rows_ticks == ticks);
  ticks = heat->all.held ? rc_use_columns(use, 0.95, &first, &last) : 0;
  assert_true(heat->columns_ticks == ticks && heat->first == first && heat->last == last);
  for (guint row = 0; row < layout->rows->len; ++row) {
    assert_sum(&heat->by_row[row], count_held(w, &r, layout, (int)row, -1));
    gboolean sounds = FALSE;
    for (guint i = 0; i < layout->buttons->len; ++i) {
      const RcButton *button = rc_layout_button(layout, i);
      sounds |= button->row == row && button->sound.kind != RC_SOUND_DEAD;
    }
    assert_int_equal((heat->idle & 1U << row) != 0, sounds && heat->by_row[row].presses == 0);
  }
  for (guint column = 0; column < layout->columns->len; ++column) {
    const RcButtonSum sum = count_held(w, &r, layout, -1, (int)column);
    assert_sum(&heat->by_column[column], sum);
    assert_true(!sum.held || (heat->flattest <= column && column <= heat->sharpest));
  }
  assert_true(!heat->all.held || (heat->by_column[heat->flattest].held && heat->by_column[heat->sharpest].held));
  rc_heat_free(heat);
  clear_routes(&r, w->n);
}

static void
test_heat(void **state)
{
  (void)state;
  static const RcBoardName names[] = {
    { "48-8x6", "counterbass:Eb,counterbass:Bb,counterbass:F,counterbass:C,counterbass:G,counterbass:D,counterbass:A,"
                "counterbass:E" },
    { "24", NULL },
    { "96", NULL },
    { "48-8x6", "minor:A" }
  };
  static const guint asked[] = { 3, 0, 2 };
  GRand *random = g_rand_new_with_seed(SEED + 5);
  for (guint i = 0; i < WORLDS / 2; ++i) {
    RcSettings settings = random_settings(random);
    RcBoards *boards = rc_boards_find(names, G_N_ELEMENTS(names), &settings, NULL);
    write_files(random, i);
    for (guint j = 0; j < G_N_ELEMENTS(asked); ++j) {
      rc_boards_plan(boards, asked[j]);
    }
    World w = make_world(boards, 0, N_FILES);
    for (guint j = 0; j < G_N_ELEMENTS(asked); ++j) {
      const RcUse *use = boards->uses[asked[j]];
      assert_ptr_equal(use->layout, w.boards->layouts[asked[j]]);
      assert_int_equal(use->counts.tunes, tunes_with_chords(&w));
      check_heat(&w, asked[j], use);
    }
    clear_world(&w);
  }
  g_rand_free(random);
}

// For how long the route of one tune holds a button, or of all where it is -1, and how often it presses it.
static RcButtonSum
count_button(const World *w, const Routes *r, int tune, guint button)
{
  RcButtonSum sum = { 0, 0, 0, 0 };
  for (guint i = 0; i < w->n; ++i) {
    for (guint j = 0; (tune < 0 || (int)i == tune) && j < r->routes[i]->steps->len; ++j) {
      const RcStep *step = step_at(r->routes[i], j);
      for (guint n = 0; step->held && n < rc_grip_count(&step->grip); ++n) {
        const gboolean pressed = rc_grip_button(&step->grip, n) == button;
        sum.presses += pressed ? 1 : 0;
        sum.ticks += pressed ? step->played.length : 0;
      }
    }
  }
  return sum;
}

// The button of another board in the row and column of the same names; -1 for none.
static int
button_like(const RcLayout *of, guint button, const RcLayout *in)
{
  const RcButton *wanted = rc_layout_button(of, button);
  for (guint i = 0; i < in->buttons->len; ++i) {
    const RcButton *other = rc_layout_button(in, i);
    if (!strcmp(rc_button_row(of, wanted), rc_button_row(in, other)) &&
        rc_button_column(of, wanted) == rc_button_column(in, other) && wanted->bellows == other->bellows) {
      return (int)i;
    }
  }
  return -1;
}

// A repertoire on one of two keyboards beside each other.
typedef struct {
  World world;
  Routes routes;
  const RcLayout *layout;
  RcTicks whole;
} Side;

static Side
make_side(const char *on, const RcSettings *settings, guint first, guint n_files)
{
  const RcBoardName name = { on, NULL };
  RcBoards *boards = rc_boards_find(&name, 1, settings, NULL);
  rc_boards_plan_tunes(boards, 0);
  Side side = { .world = make_world(boards, first, n_files), .layout = boards->layouts[0] };
  side.routes = plan_routes(&side.world, 0);
  for (guint i = 0; i < side.world.n; ++i) {
    side.whole += lasts(&side.world.told[i], TRUE);
  }
  return side;
}

static void
clear_side(Side *side)
{
  clear_routes(&side->routes, side->world.n);
  clear_world(&side->world);
}

static RcButtonSum
count_side(const Side *side, guint button)
{
  return count_button(&side->world, &side->routes, -1, button);
}

// The tune that holds a button longest but for `n` others; of several the one read first.
static guint
nth_longest(const Side *side, guint button, guint n)
{
  for (guint i = 0; i < side->world.n; ++i) {
    const RcTicks ticks = count_button(&side->world, &side->routes, (int)i, button).ticks;
    guint before = 0;
    for (guint j = 0; j < side->world.n; ++j) {
      const RcTicks other = count_button(&side->world, &side->routes, (int)j, button).ticks;
      before += other > ticks || (other == ticks && j < i) ? 1 : 0;
    }
    if (before == n) {
      return i;
    }
  }
  fail();
  return 0;
}

static void
check_own(const RcHeatSide *found, const Side *side, const Side *other)
{
  guint n = 0;
  for (guint i = 0; i < side->layout->buttons->len; ++i) {
    const int there = button_like(side->layout, i, other->layout);
    const gboolean both = there >= 0 && count_side(other, (guint)there).presses;
    assert_int_equal(found->others[i], there);
    n += count_side(side, i).presses && !both ? 1 : 0;
  }
  assert_int_equal(found->n_own, n);
  for (guint i = 0; i < n; ++i) {
    const RcOwnButton *own = &found->own[i];
    const RcButtonSum all = count_side(side, own->button);
    RcTicks sum = 0;
    assert_int_equal(own->presses, all.presses);
    assert_true(own->ticks == all.ticks && all.presses);
    assert_true(!i || own[-1].ticks > own->ticks || (own[-1].ticks == own->ticks && own[-1].button < own->button));
    for (guint j = 0; j < own->n_tunes; ++j) {
      const guint tune = nth_longest(side, own->button, j);
      const RcButtonSum held = count_button(&side->world, &side->routes, (int)tune, own->button);
      assert_string_equal(own->tunes[j].title, side->world.rolled->tunes[tune]->title);
      assert_int_equal(own->tunes[j].presses, held.presses);
      assert_true(own->tunes[j].ticks == held.ticks);
      sum += held.ticks;
    }
    assert_true(sum == own->ticks);
  }
}

static double
difference_of(const Side *one, const Side *other, guint button, guint there)
{
  return (double)count_side(one, button).ticks / (double)MAX(one->whole, 1) -
         (double)count_side(other, there).ticks / (double)MAX(other->whole, 1);
}

// The title of the tune that holds a button longest, of several the first.
static const char *
longest(const Side *side, guint button)
{
  const char *title = "";
  RcTicks most = 0;
  for (guint i = 0; i < side->world.n; ++i) {
    const RcTicks ticks = count_button(&side->world, &side->routes, (int)i, button).ticks;
    title = ticks > most ? side->world.rolled->tunes[i]->title : title;
    most = MAX(most, ticks);
  }
  return title;
}

static void
check_shifts(const RcHeatPair *pair, const Side *one, const Side *other)
{
  for (guint i = 0; i < pair->n_shifts; ++i) {
    const RcHeatShift *shift = &pair->shifts[i];
    const guint there = (guint)pair->sides[0].others[shift->button];
    const double difference = difference_of(one, other, shift->button, there);
    assert_true(fabs(shift->difference - difference) < 1e-12);
    assert_true(!i || fabs(shift[-1].difference) > fabs(difference) - 1e-12);
    assert_string_equal(shift->title, difference > 0 ? longest(one, shift->button) : longest(other, there));
  }
}

static void
check_pair(const Side *one, const Side *other)
{
  RcHeatPair *pair = rc_heat_pair_new(one->world.boards->uses[0], other->world.boards->uses[0]);
  const double least = pair->n_shifts ? fabs(pair->shifts[pair->n_shifts - 1].difference) : 0;
  guint alike = 0;
  guint shared = 0;
  guint changed = 0;
  guint larger = 0; // differences above the least that is told
  check_own(&pair->sides[0], one, other);
  check_own(&pair->sides[1], other, one);
  for (guint i = 0; i < one->layout->buttons->len; ++i) {
    const int there = pair->sides[0].others[i];
    alike += there >= 0 ? 1 : 0;
    if (there >= 0 && count_side(one, i).presses && count_side(other, (guint)there).presses) {
      const double change = fabs(difference_of(one, other, i, (guint)there));
      ++shared;
      changed += change > 0 ? 1 : 0;
      larger += change > least + 1e-12 ? 1 : 0;
    }
  }
  assert_int_equal(pair->alike, alike);
  assert_int_equal(pair->shared, shared);
  assert_int_equal(pair->n_shifts, MIN(changed, RC_HEAT_SHIFTS));
  assert_true(larger < RC_HEAT_SHIFTS);
  check_shifts(pair, one, other);
  rc_heat_pair_free(pair);
}

static void
test_heat_of_two(void **state)
{
  (void)state;
  static const char *const names[][2] = {
    { "48-8x6", "48-8x6" }, { "24", "72" }, { "8", "12" }, { "push-pull-8-gc", "push-pull-8-dg" }
  };
  GRand *random = g_rand_new_with_seed(SEED + 6);
  for (guint i = 0; i < WORLDS / 2; ++i) {
    const char *const *pair = names[i % G_N_ELEMENTS(names)];
    const RcSettings settings = random_settings(random);
    write_files(random, i);
    Side one = make_side(pair[0], &settings, 0, 2);
    Side other = make_side(pair[1], &settings, 1, 2);
    check_pair(&one, &other);
    clear_side(&one);
    clear_side(&other);
  }
  g_rand_free(random);
}

// --------------------------------------------------------------------------------------------------- what is learned

static RcThing
button_thing(const RcLayout *layout, guint entry)
{
  return (RcThing){ .kind = RC_THING_BUTTON,
                    .button = rc_layout_button(layout, entry)->bellows == RC_BELLOWS_PULL ? entry - 1 : entry };
}

static gboolean
is_same_thing(const RcThing *a, const RcThing *b)
{
  if (a->kind != b->kind) {
    return FALSE;
  }
  switch (a->kind) {
  case RC_THING_BUTTON:
    return a->button == b->button;
  case RC_THING_STAND_IN:
    return sounds_the_same(&a->chord, &b->chord) && rc_grip_equal(&a->grip, &b->grip);
  case RC_THING_STRETCH:
    return rc_grip_equal(&a->grip, &b->grip);
  default:
    return a->columns == b->columns;
  }
}

static gboolean
has_thing(const RcThing *things, guint n, const RcThing *wanted)
{
  for (guint i = 0; i < n; ++i) {
    if (is_same_thing(&things[i], wanted)) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
add_thing(GArray *things, RcThing thing)
{
  if (!has_thing((const RcThing *)(gpointer)things->data, things->len, &thing)) {
    g_array_append_val(things, thing);
  }
}

// All that the route of a tune needs, each once.
static GArray *
find_things(const World *w, const Routes *r, const RcLayout *layout, guint tune)
{
  GArray *things = g_array_new(FALSE, TRUE, sizeof(RcThing));
  const RcStep *before = NULL;
  for (guint i = 0; i < r->routes[tune]->steps->len; ++i) {
    const RcStep *step = step_at(r->routes[tune], i);
    const RcSymbol *symbol = &g_array_index(w->rolled->tunes[tune]->symbols, RcSymbol, step->played.symbol);
    if (symbol->kind != RC_SYMBOL_CHORD || !step->held) {
      continue;
    }
    for (guint j = 0; j < rc_grip_count(&step->grip); ++j) {
      add_thing(things, button_thing(layout, rc_grip_button(&step->grip, j)));
    }
    if (step->verdict > RC_NATIVE) {
      add_thing(things, (RcThing){ .kind = RC_THING_STAND_IN, .chord = symbol->chord, .grip = step->grip });
    }
    if (rc_grip_stretch(&w->settings.route.fingers, layout, &step->grip, &step->fingers) > 0) {
      add_thing(things, (RcThing){ .kind = RC_THING_STRETCH, .grip = step->grip });
    }
    const int columns = before ? (int)rc_layout_button(layout, step->grip.basses[0])->column -
                                   (int)rc_layout_button(layout, before->grip.basses[0])->column
                               : 0;
    if (columns) {
      add_thing(things, (RcThing){ .kind = RC_THING_MOVE, .columns = (guint)ABS(columns) });
    }
    before = step;
  }
  return things;
}

// Whether all chords of a tune are held well enough along its route.
static gboolean
plays_along(const World *w, const Routes *r, guint tune)
{
  gboolean plays = w->told[tune].heard->len > 0;
  for (guint i = 0; i < r->routes[tune]->steps->len; ++i) {
    plays &= step_at(r->routes[tune], i)->verdict <= w->settings.route.taste.accept;
  }
  return plays;
}

static guint
index_of(const World *w, const RcTune *tune)
{
  return (guint)(told_of(w, tune) - w->told);
}

// How many of the tunes that play need a thing.
static guint
count_users(const World *w, const Routes *r, GArray *const *things, const RcThing *thing)
{
  guint n = 0;
  for (guint i = 0; i < w->n; ++i) {
    n += plays_along(w, r, i) && has_thing((const RcThing *)(gpointer)things[i]->data, things[i]->len, thing) ? 1 : 0;
  }
  return n;
}

// What a set of things has that is not known, and, where `learn` says so, then is.
static guint
count_new(GArray *known, const GArray *things, gboolean learn)
{
  guint n = 0;
  for (guint i = 0; i < things->len; ++i) {
    const RcThing *thing = &g_array_index(things, RcThing, i);
    const gboolean is_new = !has_thing((const RcThing *)(gpointer)known->data, known->len, thing);
    n += is_new ? 1 : 0;
    if (is_new && learn) {
      g_array_append_vals(known, thing, 1);
    }
  }
  return n;
}

static void
check_rungs(const World *w, const Routes *r, GArray *const *things, const RcLadder *ladder)
{
  GArray *known = g_array_new(FALSE, TRUE, sizeof(RcThing));
  gboolean *learned = g_new0(gboolean, MAX(w->n, 1));
  guint n_tunes = 0;
  for (guint i = 0; i < ladder->n; ++i) {
    const RcRung *rung = &ladder->rungs[i];
    guint fewest = G_MAXUINT; // new things of the tunes that are left
    for (guint j = 0; j < w->n; ++j) {
      fewest = plays_along(w, r, j) && !learned[j] ? MIN(fewest, count_new(known, things[j], FALSE)) : fewest;
    }
    assert_int_equal(rung->n_things, fewest);
    for (guint j = 0; j < rung->n_things; ++j) {
      assert_false(has_thing((const RcThing *)(gpointer)known->data, known->len, &rung->things[j]));
      assert_int_equal(rung->things[j].tunes, count_users(w, r, things, &rung->things[j]));
    }
    for (guint j = 0; j < rung->n_tunes; ++j, ++n_tunes) {
      const guint tune = index_of(w, rung->tunes[j]);
      assert_true(plays_along(w, r, tune) && !learned[tune]);
      assert_int_equal(count_new(known, things[tune], TRUE), j ? 0 : rung->n_things);
      assert_true(j < 2 || index_of(w, rung->tunes[j - 1]) < tune);
      learned[tune] = TRUE;
    }
    for (guint j = 0; j < w->n; ++j) { // whatever needs nothing more is there
      assert_true(!plays_along(w, r, j) || learned[j] || count_new(known, things[j], FALSE));
    }
  }
  assert_int_equal(known->len, ladder->things);
  for (guint i = 0; i < w->n; ++i) {
    assert_int_equal(learned[i], plays_along(w, r, i));
  }
  assert_int_equal(n_tunes + ladder->n_unplayable + ladder->n_chordless, w->n);
  assert_int_equal(ladder->n_chordless, w->n - tunes_with_chords(w));
  g_free(learned);
  g_array_unref(known);
}

static void
test_ladders(void **state)
{
  (void)state;
  static const RcBoardName names[] = { { "24", NULL }, { "48-8x6", NULL }, { "push-pull-8-gc", NULL } };
  GRand *random = g_rand_new_with_seed(SEED + 7);
  for (guint i = 0; i < WORLDS; ++i) {
    RcSettings settings = random_settings(random);
    assert_true(rc_settings_set(&settings, "spans", i % 2 ? "40,32,40,56,56,80" : "45,41,45,42,42,43", NULL));
    write_files(random, i);
    World w = make_world(rc_boards_find(names, G_N_ELEMENTS(names), &settings, NULL), 0, N_FILES);
    for (guint board = 0; board < w.boards->n; ++board) {
      Routes r = plan_routes(&w, board);
      GArray **things = g_new(GArray *, MAX(w.n, 1));
      for (guint j = 0; j < w.n; ++j) {
        things[j] = find_things(&w, &r, w.boards->layouts[board], j);
      }
      RcLadder *ladder = rc_ladder_new(w.rolled, board, NULL, NULL);
      check_rungs(&w, &r, things, ladder);
      rc_ladder_free(ladder);
      for (guint j = 0; j < w.n; ++j) {
        g_array_unref(things[j]);
      }
      g_free(things);
      clear_routes(&r, w.n);
    }
    clear_world(&w);
  }
  g_rand_free(random);
}

// -------------------------------------------------------------------------------------------- what all tunes lack

// All that is said of the chords that lack adds up to what the tunes lack, chord by chord.
static void
check_all_lacks(const World *w, guint board, gboolean unplayable)
{
  const RcVerdict from = unplayable ? w->settings.route.taste.accept : RC_NATIVE;
  guint n = 0;
  RcLack *lacks =
    unplayable ? rc_lacks_unplayable(w->rolled->roll, board, &n) : rc_lacks_find(w->rolled->roll, board, &n);
  RcTicks all = 0;
  for (guint i = 0; i < n; ++i) {
    RcTicks expected[RC_N_VERDICTS] = { 0 };
    RcTicks said[RC_N_VERDICTS] = { 0 };
    guint64 times[2] = { 0, 0 };
    for (guint j = 0; j < w->n; ++j) {
      for (guint k = 0; k < w->told[j].heard->len; ++k) {
        const Heard *heard = heard_at(&w->told[j], k);
        if (!heard->unread && heard->verdicts[board] > from && sounds_the_same(&heard->chord, &lacks[i].chord)) {
          expected[heard->verdicts[board]] += heard->length;
          ++times[0];
        }
      }
    }
    for (guint j = 0; j < n; ++j) { // of other grips too
      for (guint v = 0; v < RC_N_VERDICTS && sounds_the_same(&lacks[i].chord, &lacks[j].chord); ++v) {
        said[v] += lacks[j].graded_ticks[v];
        times[1] += lacks[j].graded_times[v];
      }
      assert_true(!unplayable || i == j || !sounds_the_same(&lacks[i].chord, &lacks[j].chord));
    }
    assert_memory_equal(said, expected, sizeof said);
    assert_int_equal(times[0], times[1]);
    assert_true(!i || lacks[i - 1].ticks >= lacks[i].ticks);
    const RcAnswer best = rc_catalogue_best(w->boards->catalogues[board], w->settings.route.taste, &lacks[i].request);
    assert_int_equal(best.verdict, lacks[i].answer.verdict); // the request is the one that is answered so
    assert_int_equal(best.grading.missing, lacks[i].answer.grading.missing);
    assert_int_equal(best.grading.helped, lacks[i].answer.grading.helped);
    assert_int_equal(best.rank, lacks[i].answer.rank);
    for (guint v = 0; v < RC_N_VERDICTS; ++v) { // the grade for longest
      assert_true(lacks[i].graded_ticks[v] <= lacks[i].graded_ticks[lacks[i].answer.verdict]);
    }
    all += lacks[i].ticks;
  }
  RcTicks lacking = 0;
  for (guint i = 0; i < w->n; ++i) {
    lacking += lasts(&w->told[i], FALSE) - carried(&w->told[i], board, from);
  }
  assert_true(all == lacking);
  g_free(lacks);
}

// A report shows the use of the chosen keyboard, of the next step and of the largest, each once.
static void
check_uses(const World *w, const RcReport *r)
{
  guint largest = 0;
  const int next = rc_roll_gain(w->rolled->roll, r->chosen).next;
  guint expected[RC_REPORT_USES] = { r->chosen, 0, 0 };
  guint n = 1;
  for (guint i = 1; i < w->boards->n; ++i) {
    largest = rc_layout_count_buttons(w->boards->layouts[i]) > rc_layout_count_buttons(w->boards->layouts[largest])
                ? i
                : largest;
  }
  if (next >= 0) {
    expected[n++] = (guint)next;
  }
  if (largest != r->chosen && (int)largest != next) {
    expected[n++] = largest;
  }
  assert_int_equal(r->n_uses, n);
  for (guint i = 0; i < n; ++i) {
    assert_int_equal(r->used[i], expected[i]);
    assert_int_equal(r->uses[i]->counts.tunes, tunes_with_chords(w));
    check_heat(w, r->used[i], r->uses[i]);
  }
}

static void
test_reports(void **state)
{
  (void)state;
  static const char *const own[] = { NULL, "8", "24", "32", "48-8x6", "72", "120-shifted", "piano-60" };
  GRand *random = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < WORLDS; ++i) {
    write_files(random, i);
    const RcSettings settings = random_settings(random);
    const RcBoardName name = { PICK(random, own), "fundamental:C" };
    const RcBoardName usual = { name.name, NULL };
    RcBoards *boards = rc_boards_find_usual(!name.name               ? NULL
                                            : g_rand_boolean(random) ? &usual
                                                                     : &name,
                                            &settings, NULL);
    if (!boards) {
      boards = rc_boards_find_usual(NULL, &settings, NULL);
    }
    World w = make_world(boards, 0, N_FILES);
    RcReport *r = rc_report_new(w.rolled);
    assert_int_equal(r->chosen, chosen_of(&w));
    assert_int_equal(r->owned, w.boards->own >= 0);
    assert_int_equal(r->n_tunes, w.n);
    assert_memory_equal(&r->rolled_again->intake, &w.rolled->intake, sizeof w.rolled->intake);
    check_comparison(&w);
    check_advice(&w, r);
    check_moved(&w, r);
    check_index(&w, r);
    check_wanted(&w, r);
    check_sizes(&w, r->swept);
    check_uses(&w, r);
    rc_report_free(r);
    clear_world(&w);
  }
  g_rand_free(random);
}

static void
test_lists_books_and_keys(void **state)
{
  (void)state;
  static const char *const names[][2] = { { "24", "48-12x4" }, { "48-8x6", "48-12x4" }, { "12", "8" }, { "72", "32" } };
  GRand *random = g_rand_new_with_seed(SEED + 1);
  for (guint i = 0; i < WORLDS; ++i) {
    write_files(random, i);
    const RcSettings settings = random_settings(random);
    const char *const *pair = names[i % G_N_ELEMENTS(names)];
    const RcBoardName both[] = { { pair[0], NULL }, { pair[1], NULL } };
    World w = make_world(rc_boards_find(both, 2, &settings, NULL), 0, N_FILES);
    for (guint order = RC_LIST_WORST; order <= RC_LIST_TITLE; ++order) {
      check_list(&w, w.boards, (RcListOrder)order);
    }
    check_comparison(&w);
    check_all_lacks(&w, i % 2, FALSE);
    check_all_lacks(&w, i % 2, TRUE);
    check_keys(&w);
    check_books(&w);
    clear_world(&w);
  }
  g_rand_free(random);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_reports),         cmocka_unit_test(test_lists_books_and_keys),
    cmocka_unit_test(test_two_repertoires), cmocka_unit_test(test_shops),
    cmocka_unit_test(test_stretches),       cmocka_unit_test(test_heat),
    cmocka_unit_test(test_heat_of_two),     cmocka_unit_test(test_ladders),
  };
  return cmocka_run_group_tests(tests, make_scratch_files, remove_scratch_files);
}
