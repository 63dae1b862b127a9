// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Answers as text, where the whole has once been found to say something else than it should.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/report.h"

#include "scratch.h"

#include <string.h>

// Whatever was asked, JSON gives it one of the five verdicts that README.md names.
static void
every_text_has_a_verdict_in_json(void **state)
{
  (void)state;
  static const char *const asked[][2] = { { "C", "native" },    { "Am7", "substitutable" }, { "F#", "impossible" },
                                          { "N.C.", "silent" }, { "Xq", "unread" },         { "", "unread" } };
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "8", NULL }, 1, NULL, NULL);
  for (guint i = 0; i < G_N_ELEMENTS(asked); ++i) {
    RcRanking *ranking = rc_ranking_new(boards, 0, asked[i][0], &(RcSurroundings){ .brisk = FALSE });
    GString *out = g_string_new(NULL);
    rc_report_chord(out, RC_TEXT_JSON, boards->layouts[0], &ranking, 1, 0);
    char *expected = g_strdup_printf("\"verdict\":\"%s\"", asked[i][1]);
    if (!strstr(out->str, expected)) {
      fail_msg("found %s; expected %s", out->str, expected);
    }
    g_free(expected);
    g_string_free(out, TRUE);
    rc_ranking_free(ranking);
  }
  rc_boards_free(boards);
}

// A full C major: C, E and G, heard as a chord of C, and its own button first. On an 8 there is nothing better for D
// minor than F major over D, which has all of its tones and a C, nor anything at all for F sharp minor.
static void
a_chord_is_asked_for_by_itself(void **state)
{
  (void)state;
  enum { C = 1 << 0, D = 1 << 2, E = 1 << 4, F = 1 << 5, G = 1 << 7, A = 1 << 9 };
  RcSurroundings around = { .brisk = FALSE };
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "8", NULL }, 1, NULL, NULL);
  RcRanking *ranking = rc_ranking_new(boards, 0, "C", &around);
  assert_string_equal(ranking->text, "C");
  assert_int_equal(ranking->kind, RC_SYMBOL_CHORD);
  assert_int_equal(ranking->tones, C | E | G);
  assert_int_equal(ranking->root, 0);
  assert_int_equal(ranking->ways[0].answer.verdict, RC_NATIVE);
  assert_int_equal(ranking->ways[0].root, 0);
  assert_true(ranking->ways[0].held);
  RcFingering fingers[RC_FINGERINGS];
  for (guint i = 0; i < ranking->n; ++i) { // the handiest
    const RcRanked *way = &ranking->ways[i];
    const guint n = rc_fingers_ways(&boards->settings.route.fingers, boards->layouts[0], &way->answer.grip, fingers);
    assert_int_equal(way->held, n > 0);
    assert_true(!n || !memcmp(&way->fingers, &fingers[0], sizeof fingers[0]));
  }
  rc_ranking_free(ranking);
  assert_true(rc_surroundings_set_key(&around, "D", RC_NAMES_ENGLISH, NULL)); // which has no C
  ranking = rc_ranking_new(boards, 0, "Dm", &around);
  assert_int_equal(ranking->tones, D | F | A);
  assert_int_equal(ranking->key.mode, RC_MODE_MAJOR);
  assert_int_equal(ranking->ways[0].answer.verdict, RC_BORROWED);
  rc_ranking_free(ranking);
  around.brisk = TRUE; // then the D alone will do
  ranking = rc_ranking_new(boards, 0, "Dm", &around);
  assert_int_equal(ranking->ways[0].answer.verdict, RC_BARE);
  assert_int_equal(rc_grip_count(&ranking->ways[0].answer.grip), 1);
  rc_ranking_free(ranking);
  around = (RcSurroundings){ .melody = F }; // and with the F above, which is not missing then
  ranking = rc_ranking_new(boards, 0, "Dm", &around);
  guint helped = 0;
  for (guint i = 0; i < ranking->n; ++i) {
    helped += ranking->ways[i].answer.grading.helped == F ? 1 : 0;
  }
  assert_true(helped > 0);
  rc_ranking_free(ranking);
  ranking = rc_ranking_new(boards, 0, "F#m", &around);
  assert_int_equal(ranking->kind, RC_SYMBOL_CHORD);
  assert_int_equal(ranking->n, 0);
  rc_ranking_free(ranking);
  ranking = rc_ranking_new(boards, 0, "C6(6)", &around);
  assert_int_equal(ranking->kind, RC_SYMBOL_UNREAD);
  assert_int_equal(ranking->stopped_at, 3); // at the second 6
  assert_int_equal(ranking->n, 0);
  rc_ranking_free(ranking);
  rc_boards_free(boards);
}

// Fingers that reach 20 mm hold C and its own chord, 8 mm along and 12.5 mm further out; not D with F major for D
// minor, which are 40 mm apart along the board.
static void
a_way_that_no_fingers_hold_is_listed_as_such(void **state)
{
  (void)state;
  RcSettings settings = rc_settings();
  const RcSurroundings around = { .brisk = FALSE };
  assert_true(rc_settings_set(&settings, "spans", "20,20,20,20,20,20", NULL));
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "8", NULL }, 1, &settings, NULL);
  RcRanking *ranking = rc_ranking_new(boards, 0, "C", &around);
  assert_true(ranking->n > 0 && ranking->ways[0].held);
  rc_ranking_free(ranking);
  ranking = rc_ranking_new(boards, 0, "Dm", &around);
  assert_true(ranking->n > 0 && !ranking->ways[0].held);
  rc_ranking_free(ranking);
  rc_boards_free(boards);
}

// Whatever fingers can hold of the best grade is what a player is shown.
static void
the_best_that_fingers_hold_is_found(void **state)
{
  (void)state;
  static const char *const boards[] = { "8", "24", "48-8x6", "72" };
  static const char *const symbols[] = { "C",  "Dm", "Bm",   "F#m",   "Ab",   "G7",  "E7",   "Cdim",
                                         "C9", "F6", "Gaug", "Dsus4", "D/F#", "Am7", "Cmaj7" };
  guint found = 0;
  guint seconds = 0;
  for (guint i = 0; i < 2 * G_N_ELEMENTS(boards); ++i) {
    RcLayout *layout = rc_layout_find(boards[i / 2], NULL);
    RcRouteSettings settings = rc_route_settings();
    settings.taste.prefer = i % 2 ? RC_PREFER_EASE : settings.taste.prefer; // where more ways are as good
    RcCatalogue *catalogue = rc_catalogue_new(layout, settings.hand);
    RcPlanner *planner = rc_planner_new(layout, &settings);
    for (guint j = 0; j < G_N_ELEMENTS(symbols); ++j) {
      RcRequest request = { .brisk = FALSE };
      assert_int_equal(rc_chord_parse(symbols[j], strlen(symbols[j]), RC_NAMES_ENGLISH, &request.chord, NULL),
                       RC_SYMBOL_CHORD);
      const RcHold hold = rc_hold(planner, &request);
      const RcAnswer best = rc_catalogue_best(catalogue, settings.taste, &request);
      assert_int_equal(hold.found, best.verdict < RC_IMPOSSIBLE);
      if (hold.found) {
        RcFingering ways[RC_FINGERINGS];
        assert_true(rc_fingers_ways(&settings.fingers, layout, &hold.answer.grip, ways));
        assert_memory_equal(&hold.fingers, &ways[0], sizeof ways[0]); // the handiest
        assert_int_equal(hold.answer.verdict, best.verdict);
        assert_int_equal(hold.answer.grading.missing, best.grading.missing);
        assert_int_equal(hold.answer.grading.foreign, best.grading.foreign);
        assert_int_equal(hold.answer.likeness, rc_grip_likeness(layout, &request.chord, &hold.answer.grip));
        assert_int_equal(hold.wide, rc_grip_stretch(&settings.fingers, layout, &hold.answer.grip, &hold.fingers) > 0);
        seconds += hold.second.found ? 1 : 0;
        ++found;
      }
    }
    rc_planner_free(planner);
    rc_catalogue_free(catalogue);
    rc_layout_free(layout);
  }
  assert_true(found > 80 && seconds > 40 && seconds <= found);
}

// Counts the chords of which a player is told what would sound better.
static void
count_better(const RcTune *tune, gpointer data)
{
  gpointer *given = data;
  const RcChart *chart = rc_player_chart(given[0], tune);
  for (guint i = 0; i < chart->needs->len; ++i) {
    *(guint *)given[1] += g_array_index(chart->needs, RcNeed, i).sounds.verdict != RC_IMPOSSIBLE ? 1 : 0;
  }
}

// On a 120 B minor has a button three columns from D; who prefers ease takes the B beside D major, and is told what
// would sound better. Who does not is told nothing, nor is who keeps the bellows steady of a keyboard that sounds the
// same either way.
static void
what_ease_costs_is_told(void **state)
{
  (void)state;
  static const char peat[] = "title: Peat\nkey: D\nmeter: 4/4\ntempo: 60\nparts: {A: '| D | Bm | D | A7 |'}\n";
  static const struct {
    const char *prefer, *apart;
    guint told;
  } cases[] = { { "plain", "0", 0 }, { "ease", "0", 1 }, { "plain", "3", 0 } };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    RcSettings settings = rc_settings();
    RcIntake intake;
    guint told = 0;
    const char *const paths[] = { path, NULL };
    const RcRepertoire repertoire = { paths, NULL, 0, 0 };
    assert_true(rc_settings_set(&settings, "prefer", cases[i].prefer, NULL));
    assert_true(rc_settings_set(&settings, "turns-apart", cases[i].apart, NULL));
    assert_true(g_file_set_contents(path, peat, -1, NULL));
    RcBoards *boards = rc_boards_find(&(RcBoardName){ "120", NULL }, 1, &settings, NULL);
    RcPlayer *player = rc_player_new(boards, 0);
    gpointer given[] = { player, &told };
    assert_string_equal(rc_player_layout(player)->name, "120");
    assert_true(rc_repertoire_read(&repertoire, &settings, NULL, count_better, given, &intake));
    assert_int_equal(intake.tunes, 1);
    assert_int_equal(told, cases[i].told);
    rc_player_free(player);
    rc_boards_free(boards);
  }
}

static void
check_one_route(const RcTune *tune, gpointer player)
{
  const RcChart *chart = rc_player_chart(player, tune);
  assert_float_equal(chart->sounds, chart->travel, 0);
}

// Who prefers the best sound, with three buttons where that is better, is held against nobody else's way.
static void
the_best_sound_is_not_compared(void **state)
{
  (void)state;
  static const char text[] = "title: Sedge\nkey: D\nmeter: 4/4\ntempo: 60\nparts: {A: '| D | Cmaj9 | C6/9 | A13 |'}\n";
  const char *const paths[] = { path, NULL };
  const RcRepertoire repertoire = { paths, NULL, 0, 0 };
  RcSettings settings = rc_settings();
  RcIntake intake;
  assert_true(rc_settings_set(&settings, "prefer", "sound", NULL));
  assert_true(rc_settings_set(&settings, "turns-apart", "3", NULL));
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcBoards *boards = rc_boards_find(&(RcBoardName){ "48-8x6", NULL }, 1, &settings, NULL);
  RcPlayer *player = rc_player_new(boards, 0);
  assert_true(rc_repertoire_read(&repertoire, &settings, NULL, check_one_route, player, &intake));
  assert_int_equal(intake.tunes, 1);
  rc_player_free(player);
  rc_boards_free(boards);
}

static int
make_file(void **state)
{
  (void)state;
  return make_scratch("tune");
}

static RcLayout *
make_board(const char *lines)
{
  GError *error = NULL;
  char *text = g_strdup_printf("name: t\ntitle: t\nspacing: {column: 16, row: 12.5, slant: 8}\n%s", lines);
  RcLayout *layout = rc_layout_parse(text, strlen(text), "t.yaml", &error);
  if (error) {
    fail_msg("%s in %s", error->message, text);
  }
  g_free(text);
  return layout;
}

// Whether the second of two keyboards counts as the next size of the first.
static gboolean
is_next(const char *small, const char *large)
{
  RcLayout *layouts[] = { make_board(small), make_board(large) };
  RcCatalogue *catalogues[] = { rc_catalogue_new(layouts[0], (RcHand){ 2, 3 }),
                                rc_catalogue_new(layouts[1], (RcHand){ 2, 3 }) };
  RcPanel *panel = rc_panel_new(catalogues, 2, (RcTaste){ RC_PREFER_PLAIN, RC_SAME });
  RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
  const RcGain gain = rc_roll_gain(roll, 0);
  rc_roll_free(roll);
  rc_panel_free(panel);
  for (guint i = 0; i < 2; ++i) {
    rc_catalogue_free(catalogues[i]);
    rc_layout_free(layouts[i]);
  }
  return gain.next == 1;
}

// With C and E side by side a hand that reaches two columns holds C bass + E minor, C major seventh; with three columns
// between them it does not, so that the larger keyboard carries less.
static void
next_size_has_its_buttons_within_the_same_reach(void **state)
{
  (void)state;
  assert_true(is_next("columns: C..E\nrows: [fundamental, minor]", "columns: F..E\nrows: [fundamental, minor]"));
  assert_true(is_next("columns: [C, E]\nrows: [fundamental]", "columns: [F, C, E]\nrows: [fundamental, minor]"));
  assert_false(is_next("columns: [C, E]\nrows: [fundamental, minor]", "columns: C..E\nrows: [fundamental, minor]"));
  assert_false(is_next("columns: [C, E]\nrows: [fundamental]", "columns: [C, F, E]\nrows: [fundamental, minor]"));
}

// C augmented and E augmented are the same tones and not the same native chord.
static void
next_size_has_buttons_of_the_same_root(void **state)
{
  (void)state;
  static const char small[] = "columns: C..G\nrows: [fundamental, augmented]\n";
  assert_true(is_next(small, "columns: C..D\nrows: [fundamental, augmented]"));
  assert_false(is_next(small, "columns: C..D\nrows: [fundamental, augmented]\nretuned: {augmented C: E augmented}"));
}

// A button that sounds C on the push alone has its like where C sounds on the push, or both ways; not on the pull.
static void
next_size_has_buttons_of_the_same_bellows(void **state)
{
  (void)state;
  static const char small[] = "columns: [C]\nrows: [bass]\nbuttons:\n  bass C: {push: C, pull: G}\n";
#define LARGER "columns: [C, G]\nrows: [bass]\nbuttons:\n  bass G: {push: G, pull: D}\n  bass C: "
  assert_true(is_next(small, LARGER "{push: C, pull: G}\n"));
  assert_false(is_next(small, LARGER "{push: G, pull: C}\n"));
#undef LARGER
  static const char push_alone[] =
    "columns: [C]\nrows: [bass]\nbuttons:\n  bass C: {push: C, pull: G}\ndead: [bass C pull]\n";
  static const char both[] = "columns: [C]\nrows: [bass]\nbuttons:\n  bass C: C\n";
  assert_true(is_next(push_alone, "columns: [C, G]\nrows: [bass]\nbuttons:\n  bass C: C\n  bass G: G\n"));
  assert_false(is_next(both, "columns: [C, G]\nrows: [bass]\nbuttons:\n  bass C: {push: C, pull: G}\n  bass G: G\n"));
}

enum { BOARDS = 24, ROUNDS = 40 / THINNED + 4 };

static guint64 random_state = 20261126;

// A whole number from 0 to n - 1: a linear congruential generator with the constants of Knuth's MMIX.
static guint
draw(guint n)
{
  random_state = random_state * G_GUINT64_CONSTANT(6364136223846793005) + G_GUINT64_CONSTANT(1442695040888963407);
  return (guint)((random_state >> 33U) % n);
}

// C and some of the columns F to E, turned about, and some rows, of which one sounds in two ways; buttons may be dead,
// and one may sound something else.
static RcLayout *
draw_board(void)
{
  static const char *const columns[] = { "F", "C", "G", "D", "E" };
  static const char *const rows[] = { "major",     "seventh", "{row: seventh, sounds: 3 5 b7}",
                                      "augmented", "minor",   "{row: diminished, sounds: 1 5}" };
  const guint turned = draw(3) ? 0 : draw(5);
  const guint other_seventh = 1 + draw(2);
  GString *lines = g_string_new("columns: [");
  for (guint i = 0; i < G_N_ELEMENTS(columns); ++i) {
    const char *column = columns[(i + turned) % G_N_ELEMENTS(columns)];
    const gboolean taken = *column == 'C' || draw(3) > 0;
    g_string_append_printf(lines, "%s%s", taken && !g_str_has_suffix(lines->str, "[") ? ", " : "", taken ? column : "");
  }
  g_string_append(lines, "]\nrows: [fundamental");
  for (guint i = 0; i < G_N_ELEMENTS(rows); ++i) {
    const gboolean taken = i != other_seventh && draw(4) > 0;
    g_string_append_printf(lines, "%s%s", taken ? ", " : "", taken ? rows[i] : "");
  }
  g_string_append(lines, "]\n");
  g_string_append(lines, draw(4) ? "" : "retuned: {fundamental C: A}\n");
  RcLayout *layout = make_board(lines->str);
  if (draw(4) == 0) {
    assert_true(rc_layout_silence(layout, "fundamental:C", NULL));
  }
  g_string_free(lines, TRUE);
  return layout;
}

// What a board answers to a request.
typedef struct {
  RcRequest request;
  RcTaste taste;
  const RcLayout *layout;
  RcCatalogue *catalogue;
  GArray *ways;  // of RcAnswer, by rc_catalogue_each()
  guint n_grips; // that answer the request
  RcAnswer best;
} Ranked;

// Native is one bass button that sounds the wanted bass, with one chord button of the chord's own root and kind.
static gboolean
is_own_button(const RcLayout *layout, const RcGrip *grip, const RcChord *chord)
{
  static const struct {
    RcDegrees degrees;
    RcSoundKind kind;
  } own[] = { { RC_CHORD_MAJOR, RC_SOUND_MAJOR },
              { RC_CHORD_MINOR, RC_SOUND_MINOR },
              { RC_CHORD_DOMINANT, RC_SOUND_SEVENTH },
              { RC_CHORD_AUGMENTED, RC_SOUND_AUGMENTED } };
  if (grip->n_basses != 1 || grip->n_chords != 1) {
    return FALSE;
  }
  const RcSound *bass = &rc_layout_button(layout, grip->basses[0])->sound;
  const RcSound *button = &rc_layout_button(layout, grip->chords[0])->sound;
  for (guint i = 0; i < G_N_ELEMENTS(own); ++i) {
    if (own[i].degrees == chord->degrees && own[i].kind == button->kind) {
      return rc_note_pc(bass->root) == rc_note_pc(chord->bass) && rc_note_pc(button->root) == rc_note_pc(chord->root);
    }
  }
  return FALSE;
}

static const RcAnswer *
find_way(const GArray *ways, const RcGrip *grip)
{
  const RcAnswer *found = NULL;
  for (guint i = 0; i < ways->len; ++i) {
    const RcAnswer *way = &g_array_index(ways, RcAnswer, i);
    if (rc_grip_equal(&way->grip, grip)) {
      assert_null(found); // each grip once
      found = way;
    }
  }
  return found;
}

// A grip of the board, graded alone.
static void
check_grip(const RcGrip *grip, gpointer data)
{
  Ranked *r = data;
  const RcSounding sounding = rc_grip_sounding(r->layout, grip);
  const RcGrading grading = rc_grade(&r->request, &sounding);
  const gboolean native = is_own_button(r->layout, grip, &r->request.chord);
  const RcAnswer *way = find_way(r->ways, grip);
  assert_int_equal(way != NULL, native || grading.verdict != RC_IMPOSSIBLE);
  if (way) {
    ++r->n_grips;
    assert_int_equal(way->verdict, native ? RC_NATIVE : grading.verdict);
    assert_int_equal(way->grading.missing, grading.missing);
    assert_int_equal(way->grading.foreign, grading.foreign);
    assert_int_equal(way->grading.helped, grading.helped);
    assert_int_equal(way->grading.kept, grading.kept);
  }
}

static void
add_way(const RcAnswer *way, gpointer data)
{
  Ranked *r = data;
  g_array_append_val(r->ways, *way);
}

// Whether a grip is one bass and one chord button of that root; with its name, which says what it sounds.
static gboolean
is_chord_of(const Ranked *r, const RcGrip *grip, guint root, RcSoundKind first, RcSoundKind last)
{
  if (grip->n_basses != 1 || grip->n_chords != 1) {
    return FALSE;
  }
  const RcSound *sound = &rc_layout_button(r->layout, grip->chords[0])->sound;
  return rc_note_pc(sound->root) == root && sound->kind >= first && sound->kind <= last;
}

enum { CRITERIA = 10 };

// What puts one way before another but for likeness and grip, in the order of coverage.h; less is better.
static void
judge(const Ranked *r, const RcAnswer *way, guint criteria[CRITERIA])
{
  const RcSounding s = rc_grip_sounding(r->layout, &way->grip);
  const RcChord *chord = &r->request.chord;
  const guint root = rc_note_pc(chord->root);
  const RcPcSet third = rc_degrees_tones(chord->degrees & (RC_THIRDS | RC_SUSPENDED), root);
  const gboolean two = s.n_basses + s.n_chords <= 2;
  const gboolean borrowed = way->verdict == RC_BORROWED;
  const gboolean plain =
    r->taste.prefer != RC_PREFER_SOUND && two && way->verdict <= RC_LEANER && way->verdict <= r->taste.accept;
  const RcPcSet outside = r->request.key.tones ? (RcPcSet)(way->grading.foreign & ~r->request.key.tones) : 0;
  gboolean over_own_root = FALSE;
  for (guint pc = 0; pc < 12; ++pc) {
    over_own_root =
      over_own_root || (rc_pcs_has(s.basses, pc) && is_chord_of(r, &way->grip, pc, RC_SOUND_MAJOR, RC_SOUND_AUGMENTED));
  }
  const gboolean own = is_chord_of(r, &way->grip, root, RC_SOUND_MAJOR, RC_SOUND_SEVENTH);
  const guint all[CRITERIA] = { !plain,
                                way->verdict,
                                !rc_pcs_has(s.basses, rc_note_pc(chord->bass)),
                                borrowed && !rc_pcs_has(s.basses, root),
                                borrowed && (third & ~s.tones),
                                borrowed ? rc_pcs_count(outside) : 0,
                                rc_pcs_count(way->grading.foreign),
                                rc_pcs_count(way->grading.missing | way->grading.helped),
                                s.n_basses,
                                (way->verdict == RC_LEANER && !own) || (borrowed && !over_own_root) };
  memcpy(criteria, all, sizeof all);
}

// Less than 0 where the first is better.
static int
compare_ways(const Ranked *r, const RcAnswer *a, const RcAnswer *b)
{
  guint one[CRITERIA];
  guint two[CRITERIA];
  judge(r, a, one);
  judge(r, b, two);
  for (guint i = 0; i < CRITERIA; ++i) {
    if (one[i] != two[i]) {
      return one[i] < two[i] ? -1 : 1;
    }
  }
  return a->likeness != b->likeness ? a->likeness > b->likeness ? -1 : 1
                                    : rc_grip_compare(r->layout, &a->grip, &b->grip);
}

// The first of a ranking, in which no way comes after a worse one.
static void
check_order(const Ranked *r)
{
  GArray *ranked = rc_catalogue_rank(r->catalogue, r->taste, &r->request);
  assert_int_equal(ranked->len, r->ways->len);
  assert_int_equal(r->best.verdict == RC_IMPOSSIBLE, ranked->len == 0);
  for (guint i = 0; i < ranked->len; ++i) {
    const RcAnswer *way = &g_array_index(ranked, RcAnswer, i);
    assert_int_equal(way->likeness, rc_grip_likeness(r->layout, &r->request.chord, &way->grip));
    if (!i) {
      assert_true(rc_grip_equal(&way->grip, &r->best.grip));
      assert_int_equal(way->likeness, r->best.likeness);
      assert_int_equal(way->rank, r->best.rank);
      continue;
    }
    assert_true(compare_ways(r, way - 1, way) < 0);
    assert_true((way - 1)->rank <= way->rank);
  }
  g_array_unref(ranked);
}

static const char *const asked_for[] = { "C",     "G7",    "Am",    "Em/G",  "C/E",    "D5",   "Caug",  "Gsus4",
                                         "Fm7",   "C6",    "Cmaj7", "G9",    "Edim",   "F5/C", "G",     "C5",
                                         "Cadd9", "Cmaj9", "Am7",   "Dm9",   "A7sus4", "C7b5", "Bm7b5", "Cdim7",
                                         "C13",   "D7b9",  "Gm6",   "Csus2", "F6/9",   "Em/C", "G7/B" };

static void
every_grip_is_graded_as_it_sounds(void **state)
{
  (void)state;
  guint found = 0;
  for (guint round = 0; round < 40 * ROUNDS; ++round) {
    Ranked r = { .layout = draw_board(), .ways = g_array_new(FALSE, FALSE, sizeof(RcAnswer)) };
    const char *symbol = asked_for[draw(G_N_ELEMENTS(asked_for))];
    const RcHand hand = { 1 + draw(4), 1 + draw(3) };
    r.taste = (RcTaste){ draw(2) ? RC_PREFER_PLAIN : RC_PREFER_SOUND, RC_SAME + (RcVerdict)draw(5) };
    r.catalogue = rc_catalogue_new(r.layout, hand);
    assert_int_equal(rc_chord_parse(symbol, strlen(symbol), RC_NAMES_ENGLISH, &r.request.chord, NULL), RC_SYMBOL_CHORD);
    const RcKey key = { draw(2) ? RC_MODE_NONE : RC_MODE_MAJOR, (RcNote)((int)draw(7) - 3) };
    r.request.key = rc_key_scale(key, rc_key_tones(key));
    r.request.brisk = draw(2) == 1;
    r.request.melody = draw(2) ? 0 : (RcPcSet)(1U << draw(12));
    rc_catalogue_each(r.catalogue, r.taste, &r.request, add_way, &r);
    r.best = rc_catalogue_best(r.catalogue, r.taste, &r.request);
    rc_layout_each_grip(r.layout, hand, check_grip, &r);
    assert_int_equal(r.ways->len, r.n_grips);
    check_order(&r);
    found += r.n_grips;
    g_array_unref(r.ways);
    rc_catalogue_free(r.catalogue);
    rc_layout_free((RcLayout *)r.layout);
  }
  assert_true(found > 4 * ROUNDS);
}

static const RcButton *
button_at(const RcLayout *layout, const char *row, RcNote column)
{
  const int r = rc_layout_find_row(layout, row);
  const int c = rc_layout_find_column(layout, column);
  return r < 0 || c < 0 ? NULL : rc_layout_button(layout, rc_layout_entry(layout, (guint)r, (guint)c));
}

// Whether a hand that lies as many columns further on finds every button.
static gboolean
has_all_at(const RcLayout *small, const RcLayout *large, int further)
{
  for (guint i = 0; i < small->buttons->len; ++i) {
    const RcButton *wanted = rc_layout_button(small, i);
    const RcButton *found = button_at(large, rc_button_row(small, wanted), rc_button_column(small, wanted));
    if (wanted->sound.kind != RC_SOUND_DEAD &&
        (!found || (int)found->column != (int)wanted->column + further || found->sound.kind != wanted->sound.kind ||
         found->sound.tones != wanted->sound.tones || found->sound.root != wanted->sound.root)) {
      return FALSE;
    }
  }
  return TRUE;
}

static gboolean
is_larger(const RcLayout *small, const RcLayout *large)
{
  gboolean has_all = FALSE;
  for (int further = -5; further <= 5; ++further) {
    has_all = has_all || has_all_at(small, large, further);
  }
  return has_all && rc_layout_count_buttons(large) > rc_layout_count_buttons(small);
}

// The first after it that has all its buttons and more.
static void
next_size_is_the_first_that_has_more(void **state)
{
  (void)state;
  guint found = 0;
  for (guint round = 0; round < ROUNDS; ++round) {
    RcLayout *layouts[BOARDS];
    RcCatalogue *catalogues[BOARDS];
    for (guint i = 0; i < BOARDS; ++i) {
      layouts[i] = draw_board();
      catalogues[i] = rc_catalogue_new(layouts[i], (RcHand){ 2, 3 });
    }
    RcPanel *panel = rc_panel_new(catalogues, BOARDS, rc_taste());
    RcRoll *roll = rc_roll_new(panel, rc_roll_settings());
    for (guint i = 0; i < BOARDS; ++i) {
      int next = -1;
      for (guint j = i + 1; j < BOARDS && next < 0; ++j) {
        next = is_larger(layouts[i], layouts[j]) ? (int)j : -1;
      }
      assert_int_equal(rc_roll_gain(roll, i).next, next);
      found += next >= 0 ? 1 : 0;
    }
    rc_roll_free(roll);
    rc_panel_free(panel);
    for (guint i = 0; i < BOARDS; ++i) {
      rc_catalogue_free(catalogues[i]);
      rc_layout_free(layouts[i]);
    }
  }
  assert_true(found > ROUNDS);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_text_has_a_verdict_in_json),
    cmocka_unit_test(a_chord_is_asked_for_by_itself),
    cmocka_unit_test(a_way_that_no_fingers_hold_is_listed_as_such),
    cmocka_unit_test(the_best_that_fingers_hold_is_found),
    cmocka_unit_test_setup_teardown(what_ease_costs_is_told, make_file, remove_scratch),
    cmocka_unit_test_setup_teardown(the_best_sound_is_not_compared, make_file, remove_scratch),
    cmocka_unit_test(next_size_has_its_buttons_within_the_same_reach),
    cmocka_unit_test(next_size_has_buttons_of_the_same_root),
    cmocka_unit_test(next_size_has_buttons_of_the_same_bellows),
    cmocka_unit_test(next_size_is_the_first_that_has_more),
    cmocka_unit_test(every_grip_is_graded_as_it_sounds),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
