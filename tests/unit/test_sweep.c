// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Keyboards and sizes asked at once answer what each answers as a keyboard of its own; moved keyboards answer what
// moved tunes ask.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/coverage.h"

#include <string.h>

enum { REQUESTS = 60, RANGES = 40 / THINNED, SEED = 20261125 };

static guint64 random_state = SEED;

// A whole number from 0 to n - 1: a linear congruential generator with the constants of Knuth's MMIX.
static guint
draw(guint n)
{
  random_state = random_state * G_GUINT64_CONSTANT(6364136223846793005) + G_GUINT64_CONSTANT(1442695040888963407);
  return (guint)((random_state >> 33U) % n);
}

static const char *const symbols[] = { "C",   "Bm",    "F#m7",  "Eb7", "Ab",  "Gdim7", "A7sus4", "Dmaj7",
                                       "G/B", "Em7b5", "F#7b9", "C6",  "Bbm", "E9",    "Db",     "B+" };

static RcRequest
draw_request(RcKey *key)
{
  RcRequest request = { .brisk = draw(2) == 1, .melody = draw(3) ? 0 : (RcPcSet)draw(4096) };
  const char *text = symbols[draw(G_N_ELEMENTS(symbols))];
  assert_int_equal(rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &request.chord, NULL), RC_SYMBOL_CHORD);
  *key = (RcKey){ draw(4) ? draw(2) ? RC_MODE_MAJOR : RC_MODE_MINOR : RC_MODE_NONE, (RcNote)((int)draw(9) - 4) };
  request.key = rc_key_scale(*key, rc_key_tones(*key));
  return request;
}

// A tune of one chord that asks for `request` as far as tunes can.
static RcTune *
make_tune(const RcRequest *request, RcKey key)
{
  RcTune *tune = rc_tune_new();
  const RcSetting setting = { key, request->key.tones, { 4, 4 }, { RC_TEMPO_STATED, 60 }, FALSE, FALSE };
  const RcBar bar = { 0, 1 };
  const guint first = 0;
  const RcSymbol symbol = { .text = "x", .kind = RC_SYMBOL_CHORD, .chord = request->chord };
  const RcEvent event = { .length = request->brisk ? RC_QUARTER / 2 : 4 * RC_QUARTER, .melody = request->melody };
  tune->title = "t";
  g_array_set_size(tune->settings, 0);
  g_array_append_val(tune->settings, setting);
  g_array_append_val(tune->bars, bar);
  g_array_append_val(tune->played, first);
  g_array_append_val(tune->symbols, symbol);
  g_array_append_val(tune->events, event);
  return tune;
}

static RcVerdict
only_verdict(const RcCounts *counts)
{
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    if (counts->chords[i]) {
      return (RcVerdict)i;
    }
  }
  fail_msg("no chord was counted");
  return RC_UNREAD;
}

static const RcHand hand = { RC_GRIP_REACH, RC_GRIP_PRESS };

static RcVerdict
alone(const RcLayout *layout, RcTaste taste, const RcRequest *request)
{
  RcCatalogue *catalogue = rc_catalogue_new(layout, hand);
  const RcVerdict verdict = rc_catalogue_best(catalogue, taste, request).verdict;
  rc_catalogue_free(catalogue);
  return verdict;
}

static RcLayout *
cut(const RcLayout *full, const RcSize *size)
{
  GError *error = NULL;
  GString *text = g_string_new("name: t\ntitle: t\nspacing: {column: 16, row: 12.5, slant: 8}\nrows: [");
  for (guint row = 0, named = 0; row < full->rows->len; ++row) {
    if (size->rows & 1U << row) {
      g_string_append_printf(text, "%s%s", named++ ? ", " : "", (const char *)g_ptr_array_index(full->rows, row));
    }
  }
  g_string_append_printf(text, "]\ncolumns: %s..%s\n",
                         rc_note_name(g_array_index(full->columns, RcNote, size->first), RC_SIGNS_ASCII),
                         rc_note_name(g_array_index(full->columns, RcNote, size->last), RC_SIGNS_ASCII));
  RcLayout *layout = rc_layout_parse(text->str, text->len, "t.yaml", &error);
  assert_null(error);
  g_string_free(text, TRUE);
  return layout;
}

// The sweep of boards, whose catalogues are freed with it.
typedef struct {
  RcCatalogue **catalogues;
  guint n;
  RcSweep *sweep;
} Swept;

static Swept
sweep_boards(RcLayout *const *layouts, guint n)
{
  Swept swept = { g_new(RcCatalogue *, n), n, NULL };
  for (guint i = 0; i < n; ++i) {
    swept.catalogues[i] = rc_catalogue_new(layouts[i], hand);
  }
  swept.sweep = rc_sweep_new(swept.catalogues, n);
  return swept;
}

static void
clear_swept(const Swept *swept)
{
  rc_sweep_free(swept->sweep);
  for (guint i = 0; i < swept->n; ++i) {
    rc_catalogue_free(swept->catalogues[i]);
  }
  g_free(swept->catalogues);
}

typedef struct {
  GPtrArray *usual;
  Swept swept;
  const RcSweep *sweep; // of the usual ones
} World;

static int
make_world(void **state)
{
  World *world = g_new0(World, 1);
  world->usual = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  for (const char *const *name = rc_layout_usual_names(); *name; ++name) {
    g_ptr_array_add(world->usual, rc_layout_find(*name, NULL));
  }
  world->swept = sweep_boards((RcLayout *const *)world->usual->pdata, world->usual->len);
  world->sweep = world->swept.sweep;
  *state = world;
  return 0;
}

static int
free_world(void **state)
{
  World *world = *state;
  clear_swept(&world->swept);
  g_ptr_array_unref(world->usual);
  g_free(world);
  return 0;
}

// 20 columns make 210 ranges; the usual sizes have six different sets of rows, and each is found once.
static void
sweep_holds_every_range_of_every_set_of_rows(void **state)
{
  const World *world = *state;
  guint usual = 0;
  assert_int_equal(rc_sweep_n_row_sets(world->sweep), 6);
  assert_int_equal(rc_sweep_n_sizes(world->sweep), 6 * 210);
  for (guint i = 0; i < rc_sweep_n_sizes(world->sweep); ++i) {
    usual += rc_sweep_size(world->sweep, i)->usual != NULL;
  }
  assert_int_equal(usual, world->usual->len);
}

static RcLayout *
make_board(const char *name, const char *columns, const char *rows)
{
  char *text = g_strdup_printf(
    "name: %s\ntitle: t\nspacing: {column: 16, row: 12.5, slant: 8}\ncolumns: %s\nrows: [%s]\n", name, columns, rows);
  RcLayout *layout = rc_layout_parse(text, strlen(text), "t.yaml", NULL);
  assert_non_null(layout);
  g_free(text);
  return layout;
}

static void
free_boards(RcLayout **boards, guint n)
{
  for (guint i = 0; i < n; ++i) {
    rc_layout_free(boards[i]);
  }
}

enum { OWN = 6, FULL = 1, COLUMNS = 5 };

// The largest of these has three rows of five columns. Rows that it lacks make no set; sets of two rows come before the
// three, and of the two that with the rows nearer to the bellows.
static const guint sets[] = { 3, 5, 7 };
static const struct {
  const char *name, *columns, *rows;
  guint set, first, last; // of the full keyboard
} own[OWN] = {
  { "pair", "C..G", "fundamental, major", 3, 0, 1 },       { "full", "C..E", "fundamental, major, minor", 7, 0, 4 },
  { "flat", "F..G", "fundamental, major", 0, 0, 0 },       { "small", "G..D", "fundamental, minor", 5, 1, 2 },
  { "sevenths", "C..E", "fundamental, seventh", 0, 0, 0 }, { "wide", "G..A", "fundamental, major", 3, 1, 3 },
};

static const char *
own_name(guint set, guint first, guint last)
{
  for (guint i = 0; i < OWN; ++i) {
    if (own[i].set == set && own[i].first == first && own[i].last == last) {
      return own[i].name;
    }
  }
  return NULL;
}

static void
check_sizes(const RcSweep *sweep)
{
  guint index = 0;
  for (guint set = 0; set < G_N_ELEMENTS(sets); ++set) {
    for (guint width = 1; width <= COLUMNS; ++width) {
      for (guint first = 0; first + width <= COLUMNS; ++first) {
        const RcSize *size = rc_sweep_size(sweep, index++);
        assert_int_equal(size->rows, sets[set]);
        assert_int_equal(size->first, first);
        assert_int_equal(size->last, first + width - 1);
        assert_int_equal(size->buttons, width * (set < 2 ? 2 : 3));
        const char *name = own_name(sets[set], first, size->last);
        assert_true(name ? size->usual && !strcmp(size->usual, name) : !size->usual);
      }
    }
  }
  assert_int_equal(rc_sweep_n_sizes(sweep), index);
}

// In whatever order the usual sizes are given.
static void
sizes_come_set_after_set_and_wider_after_narrower(void **state)
{
  (void)state;
  for (guint turned = 0; turned < OWN; ++turned) {
    RcLayout *layouts[OWN];
    for (guint i = 0; i < OWN; ++i) {
      const guint at = (i + turned) % OWN;
      layouts[i] = make_board(own[at].name, own[at].columns, own[at].rows);
    }
    const Swept swept = sweep_boards(layouts, OWN);
    const RcSweep *sweep = swept.sweep;
    assert_string_equal(rc_sweep_full(sweep)->name, own[FULL].name);
    assert_int_equal(rc_sweep_n_row_sets(sweep), G_N_ELEMENTS(sets));
    check_sizes(sweep);
    clear_swept(&swept);
    free_boards(layouts, OWN);
  }
}

// Of five rows there are 31 sets, of six 63; of these the first 32 are kept.
static void
most_sets_of_rows_are_kept(void **state)
{
  (void)state;
  enum { N = 63, MOST = 32 };
  static const char *const rows[] = { "fundamental", "major", "minor", "seventh", "diminished", "augmented" };
  RcLayout *layouts[N];
  for (guint set = 1; set <= N; ++set) {
    GString *named = g_string_new(NULL);
    for (guint row = 0; row < G_N_ELEMENTS(rows); ++row) {
      g_string_append_printf(named, "%s%s", named->len && set >> row & 1U ? ", " : "",
                             set >> row & 1U ? rows[row] : "");
    }
    layouts[set - 1] = make_board("t", "C..G", named->str);
    g_string_free(named, TRUE);
  }
  const Swept swept = sweep_boards(layouts, N);
  const RcSweep *sweep = swept.sweep;
  assert_int_equal(rc_sweep_n_row_sets(sweep), MOST);
  assert_int_equal(rc_sweep_n_sizes(sweep), MOST * 3);
  for (guint i = 3; i < rc_sweep_n_sizes(sweep); ++i) {
    assert_true(rc_count_bits(rc_sweep_size(sweep, i)->rows) >= rc_count_bits(rc_sweep_size(sweep, i - 3)->rows));
  }
  clear_swept(&swept);
  free_boards(layouts, N);
}

static void
sizes_answer_as_keyboards_of_their_own(void **state)
{
  const World *world = *state;
  const guint n = rc_sweep_n_sizes(world->sweep);
  RcCounts *counts = g_new(RcCounts, n);
  const RcRollSettings settings = rc_roll_settings();
  for (guint i = 0; i < REQUESTS; ++i) {
    RcKey key;
    const RcRequest request = draw_request(&key);
    const RcTaste taste = { draw(2) ? RC_PREFER_PLAIN : RC_PREFER_SOUND, RC_SAME + (RcVerdict)draw(5) };
    RcPanel *panel = rc_panel_new_sweep(world->sweep, taste);
    RcTune *tune = make_tune(&request, key);
    rc_panel_counts(panel, &settings, tune, counts);
    for (guint j = 0; j < RANGES; ++j) {
      const guint index = draw(n);
      RcLayout *layout = cut(rc_sweep_full(world->sweep), rc_sweep_size(world->sweep, index));
      assert_int_equal(only_verdict(&counts[index]), alone(layout, taste, &request));
      rc_layout_free(layout);
    }
    rc_tune_free(tune);
    rc_panel_free(panel);
  }
  g_free(counts);
}

// Six hands on each of the usual sizes: more keyboards than a word has bits.
enum { HANDS = 6, MOST_TOGETHER = 100 };

static guint
make_catalogues(const World *world, RcCatalogue **catalogues)
{
  guint n = 0;
  for (guint reach = 1; reach <= HANDS; ++reach) {
    for (guint i = 0; i < world->usual->len; ++i) {
      assert_true(n < MOST_TOGETHER);
      catalogues[n++] = rc_catalogue_new(g_ptr_array_index(world->usual, i), (RcHand){ reach, 1 + reach % 3 });
    }
  }
  return n;
}

static void
check_together(RcCatalogue *const *catalogues, guint n, RcTaste taste, const RcRequest *request, RcKey key)
{
  RcPanel *panel = rc_panel_new(catalogues, n, taste);
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  RcTune *tune = make_tune(request, key);
  rc_roll_add(roll, tune);
  const RcRequest asked = rc_roll_entry(roll, 0).request; // without what of the melody changes nothing
  for (guint i = 0; i < n; ++i) {
    const RcAnswer together = rc_roll_answer(roll, 0, i);
    const RcAnswer best = rc_catalogue_best(catalogues[i], taste, &asked);
    assert_int_equal(together.verdict, best.verdict);
    assert_int_equal(together.rank, best.rank);
    assert_int_equal(together.likeness, best.likeness);
    assert_true(best.verdict == RC_IMPOSSIBLE || rc_grip_equal(&together.grip, &best.grip));
    const RcCounts counts = rc_roll_counts(roll, i); // of a tune of this one chord
    assert_int_equal(counts.native, best.verdict == RC_NATIVE);
    assert_int_equal(counts.playable, best.verdict <= taste.accept);
    assert_int_equal(counts.one_short, best.verdict > taste.accept);
  }
  rc_tune_free(tune);
  rc_roll_free(roll);
  rc_panel_free(panel);
}

static void
keyboards_answer_together_as_alone(void **state)
{
  RcCatalogue *catalogues[MOST_TOGETHER];
  const guint n = make_catalogues(*state, catalogues);
  for (guint i = 0; i < REQUESTS / 3; ++i) {
    RcKey key;
    const RcRequest request = draw_request(&key);
    const RcTaste taste = { draw(2) ? RC_PREFER_PLAIN : RC_PREFER_SOUND, RC_SAME + (RcVerdict)draw(5) };
    check_together(catalogues, n, taste, &request, key);
  }
  for (guint i = 0; i < n; ++i) {
    rc_catalogue_free(catalogues[i]);
  }
}

// The last of a word, and the first of the next, among many that sound little.
static void
one_large_keyboard_is_found_among_many_small_ones(void **state)
{
  const World *world = *state;
  enum { LARGE = 63, N = 66 };
  RcCatalogue *catalogues[N];
  for (guint large = LARGE; large <= LARGE + 1; ++large) {
    for (guint i = 0; i < N; ++i) {
      const guint size = i == large ? world->usual->len - 1 : 0;
      catalogues[i] = rc_catalogue_new(g_ptr_array_index(world->usual, size), hand);
    }
    for (guint i = 0; i < REQUESTS / 4; ++i) {
      RcKey key;
      const RcRequest request = draw_request(&key);
      check_together(catalogues, N, rc_taste(), &request, key);
    }
    for (guint i = 0; i < N; ++i) {
      rc_catalogue_free(catalogues[i]);
    }
  }
}

enum { THREADS = 8, ASKED = 800 / THINNED };

typedef struct {
  RcTune *tunes[ASKED];
  GMutex gate; // closed until all threads are there
} Asking;

static void
roll_all(const Asking *asking, RcRoll *roll)
{
  for (guint i = 0; i < ASKED; ++i) {
    rc_roll_add(roll, asking->tunes[i]);
  }
}

typedef struct {
  Asking *asking;
  RcRoll *roll;
} Thread;

static gpointer
run_thread(gpointer data)
{
  const Thread *thread = data;
  g_mutex_lock(&thread->asking->gate);
  g_mutex_unlock(&thread->asking->gate);
  roll_all(thread->asking, thread->roll);
  return NULL;
}

static void
run_threads(Asking *asking, Thread threads[THREADS])
{
  GThread *running[THREADS];
  g_mutex_init(&asking->gate);
  g_mutex_lock(&asking->gate);
  for (guint i = 0; i < THREADS; ++i) {
    running[i] = g_thread_try_new("ask", run_thread, &threads[i], NULL);
  }
  g_mutex_unlock(&asking->gate);
  for (guint i = 0; i < THREADS; ++i) {
    if (running[i]) {
      g_thread_join(running[i]);
    } else {
      run_thread(&threads[i]); // the program for the browser has one thread
    }
  }
  g_mutex_clear(&asking->gate);
}

// Threads that ask a panel the same at once get the same answers. That of all sizes thinks long enough for others to
// ask meanwhile.
static void
threads_share_a_panel(void **state)
{
  const World *world = *state;
  RcPanel *panel = rc_panel_new_sweep(world->sweep, rc_taste());
  RcPanel *apart = rc_panel_new_sweep(world->sweep, rc_taste());
  RcRoll *alone = rc_roll_new(apart, rc_roll_settings());
  Asking asking;
  Thread threads[THREADS];
  for (guint i = 0; i < ASKED; ++i) {
    RcKey key;
    const RcRequest request = draw_request(&key);
    asking.tunes[i] = make_tune(&request, key);
  }
  roll_all(&asking, alone);
  for (guint i = 0; i < THREADS; ++i) {
    threads[i] = (Thread){ &asking, rc_roll_new(panel, rc_roll_settings()) };
  }
  run_threads(&asking, threads);
  for (guint i = 0; i < THREADS; ++i) {
    for (guint size = 0; size < rc_sweep_n_sizes(world->sweep); ++size) {
      const RcCounts expected = rc_roll_counts(alone, size);
      const RcCounts found = rc_roll_counts(threads[i].roll, size);
      assert_memory_equal(found.chords, expected.chords, sizeof found.chords);
      assert_int_equal(found.playable, expected.playable);
      assert_int_equal(found.playable_alone, expected.playable_alone);
    }
    rc_roll_free(threads[i].roll);
  }
  rc_roll_free(alone);
  for (guint i = 0; i < ASKED; ++i) {
    rc_tune_free(asking.tunes[i]);
  }
  rc_panel_free(panel);
  rc_panel_free(apart);
}

static void
moved_keyboards_answer_moved_requests(void **state)
{
  const World *world = *state;
  for (guint i = 0; i < 200; ++i) {
    const RcLayout *layout = g_ptr_array_index(world->usual, draw(world->usual->len));
    const int up = (int)draw(23) - 11;
    RcKey key;
    const RcRequest request = draw_request(&key);
    RcRequest moved = request;
    moved.chord.root = rc_note_near(0, (rc_note_pc(request.chord.root) + 24U + (guint)(up + 12)) % 12U);
    moved.chord.bass = rc_note_near(0, (rc_note_pc(request.chord.bass) + 24U + (guint)(up + 12)) % 12U);
    key = rc_key_moved(key, up);
    moved.key = rc_key_scale(key, rc_key_tones(key));
    moved.melody = rc_pcs_transpose(request.melody, up);
    RcLayout *other = rc_layout_moved(layout, up);
    assert_int_equal(alone(layout, rc_taste(), &request), alone(other, rc_taste(), &moved));
    rc_layout_free(other);
  }
}

// FBC Accordion Club, Stradella Bass: a 72 (12 columns by 6 rows) already holds every bass and chord.
static void
twelve_columns_hold_every_chord_and_twenty_add_none(void **state)
{
  (void)state;
  static const RcDegrees kinds[] = { RC_CHORD_MAJOR, RC_CHORD_MINOR, RC_CHORD_DOMINANT, RC_CHORD_DIMINISHED_7 };
  RcLayout *small = rc_layout_find("72", NULL);
  RcLayout *large = rc_layout_find("120", NULL);
  for (guint pc = 0; pc < 12; ++pc) {
    for (guint kind = 0; kind < G_N_ELEMENTS(kinds); ++kind) {
      const RcNote root = rc_note_near(0, pc);
      const RcRequest request = { .chord = { root, root, kinds[kind] } };
      assert_int_equal(alone(small, rc_taste(), &request), RC_NATIVE);
      assert_int_equal(alone(large, rc_taste(), &request), RC_NATIVE);
    }
  }
  rc_layout_free(small);
  rc_layout_free(large);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(sweep_holds_every_range_of_every_set_of_rows),
    cmocka_unit_test(sizes_come_set_after_set_and_wider_after_narrower),
    cmocka_unit_test(most_sets_of_rows_are_kept),
    cmocka_unit_test(sizes_answer_as_keyboards_of_their_own),
    cmocka_unit_test(keyboards_answer_together_as_alone),
    cmocka_unit_test(one_large_keyboard_is_found_among_many_small_ones),
    cmocka_unit_test(threads_share_a_panel),
    cmocka_unit_test(moved_keyboards_answer_moved_requests),
    cmocka_unit_test(twelve_columns_hold_every_chord_and_twenty_add_none),
  };
  return cmocka_run_group_tests(tests, make_world, free_world);
}
