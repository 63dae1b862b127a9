// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The whole program as its commands use it: a board and a book of tunes are drawn from bytes, read, rolled, routed,
// reported and set to sound, and what the rules promise is checked:
//
// - counts add up, and are those of the chords as played;
// - neither the order of files nor the number of threads matters;
// - a board with more buttons answers each request at least as well, and carries at least as much; of routes that put
//   sound first the sound and then the ease of the whole is at least as good. It has all buttons of the smaller one at
//   the same distances, so that a hand reaches all it reached there; which grip it takes of several that are as good is
//   not promised, nor are any native for being nearer;
// - tunes and board moved together along the line of fifths, and a mirrored board, give the same;
// - each grip of a route is among the answers, and a player who takes the nearest each time does no better; steady
//   bellows turn too soon no more often than others;
// - what the next size buys is never less than nothing;
// - CSV and JSON can be read, their sums agree, tables fit 80 columns, pictures and sheets are drawn; notes to be heard
//   are in range and in order.
//
// Built twice: for libFuzzer, and as a test that draws its bytes itself: fuzz_whole CASES SEED. Without DRAWS, for a
// build without pictures, nothing is drawn on paper.

#define _GNU_SOURCE

#include "rowcall/rowcall.h"

#include "outputs.h"
#include "worlds.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <unistd.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// --------------------------------------------------------------------------------------------------------- the case

enum { N_THREADS = 3, N_MELODIES = 4 };

static const double tolerance = 0.0005; // mm for each grip; the library sums whole sixths of a micrometre

// The boards that are compared. All but the last two are asked by the book as it is written.
typedef enum {
  BOARD_DRAWN,
  BOARD_LESS, // a button silenced
  BOARD_MORE,
  BOARD_MIRRORED,
  BOARD_SHUFFLED, // one that has more, with its columns in another order
  BOARD_UP,       // written so many fifths sharper
  BOARD_MOVED,    // the drawn one, moved as many by the library
  N_BOARDS
} BoardKind;

enum { N_HERE = BOARD_UP };

// The book, as drawn and moved.
typedef struct {
  GString *texts[MOST_FILES];
  int files[MOST_FILES];
  char *paths[MOST_FILES];
  guint n_files;
  guint n_tunes;
  GPtrArray *tunes; // of RcTune *
} Book;

typedef struct {
  int up;            // fifths
  gboolean words;    // all answers are written and read too, which takes most of the time
  gboolean pictures; // and drawn
  RcRouteSettings settings;
  RcPcSet melodies[N_MELODIES];
  Bytes board; // bytes of the board and of the book
  Bytes book;
  GString *texts[N_BOARDS]; // of boards that were written
  RcLayout *layouts[N_BOARDS];
  RcCatalogue *catalogues[N_BOARDS];
  Book here;
  Book there; // moved
} Case;

static const Case *at_hand;  // to be printed where something does not hold
static guint32 seed_at_hand; // where the bytes are drawn by a test

static void
print_book(const Book *book, const char *name)
{
  for (guint i = 0; i < book->n_files; ++i) {
    fprintf(stderr, "---- %s, file %u\n%s\n", name, i + 1, book->texts[i]->str);
  }
}

G_GNUC_NORETURN static void
fail(const char *what, int line)
{
  for (guint i = 0; at_hand && i < N_BOARDS; ++i) {
    if (at_hand->texts[i]) {
      fprintf(stderr, "---- board %u\n%s\n", i, at_hand->texts[i]->str);
    }
  }
  static const char *const prefers[] = { "plain", "sound", "ease" };
  if (at_hand) {
    print_book(&at_hand->here, "book");
    print_book(&at_hand->there, "moved book");
    fprintf(stderr, "---- %d fifths up, reach %u, press %u, turns %g apart, accept %s, prefer %s\n", at_hand->up,
            at_hand->settings.hand.reach, at_hand->settings.hand.press, at_hand->settings.turns_apart,
            rc_verdict_name(at_hand->settings.taste.accept), prefers[at_hand->settings.taste.prefer]);
  }
  fprintf(stderr, "fuzz_whole.c:%d: does not hold with seed %u: %s\n", line, seed_at_hand, what);
  abort();
}

#define HOLDS(condition) ((condition) ? (void)0 : fail(#condition, __LINE__))

// -------------------------------------------------------------------------------------------------------- the boards

static RcLayout *
read_board(Case *c, BoardKind kind, Change change, GString *kill)
{
  GError *error = NULL;
  Bytes bytes = c->board;
  c->texts[kind] = g_string_new(NULL);
  write_board(c->texts[kind], &bytes, change, kill);
  c->book = bytes;
  RcLayout *layout = rc_layout_parse(c->texts[kind]->str, c->texts[kind]->len, "board.yaml", &error);
  if (error) {
    fail(error->message, __LINE__);
  }
  return layout;
}

static void
make_boards(Case *c)
{
  GString *kill = g_string_new(NULL);
  GString *unused = g_string_new(NULL);
  c->layouts[BOARD_DRAWN] = read_board(c, BOARD_DRAWN, (Change){ 0 }, unused);
  c->layouts[BOARD_LESS] = read_board(c, BOARD_LESS, (Change){ 0 }, kill);
  c->layouts[BOARD_MORE] = read_board(c, BOARD_MORE, (Change){ .more = TRUE }, unused);
  c->layouts[BOARD_MIRRORED] = read_board(c, BOARD_MIRRORED, (Change){ .mirrored = TRUE }, unused);
  c->layouts[BOARD_SHUFFLED] = read_board(c, BOARD_SHUFFLED, (Change){ .more = TRUE, .shuffled = TRUE }, unused);
  c->layouts[BOARD_UP] = read_board(c, BOARD_UP, (Change){ .up = c->up }, unused);
  c->layouts[BOARD_MOVED] = rc_layout_moved(c->layouts[BOARD_DRAWN], 7 * c->up);
  HOLDS(rc_layout_silence(c->layouts[BOARD_LESS], kill->str, NULL));
  for (guint i = 0; i < N_BOARDS; ++i) {
    c->catalogues[i] = rc_catalogue_new(c->layouts[i], c->settings.hand);
  }
  g_string_free(kill, TRUE);
  g_string_free(unused, TRUE);
}

// --------------------------------------------------------------------------------------------------------- the books

static RcTicks
length_of(const RcTune *tune)
{
  RcPlayed played;
  RcTicks sum = 0;
  for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
    sum += played.length;
  }
  return sum;
}

// Bars are as long as their meter, and what is played is all of them, one after another.
static void
check_lengths(const RcTune *tune)
{
  const RcTicks bar = rc_meter_bar(rc_tune_setting(tune, 0)->meter);
  HOLDS(length_of(tune) == (tune->unmeasured ? 0 : tune->played->len * bar));
}

// As if the right hand played along: the same tones at the same places, moved with the tune.
static void
add_melody(const Case *c, RcTune *tune, int up)
{
  for (guint i = 0; i < tune->events->len; ++i) {
    g_array_index(tune->events, RcEvent, i).melody =
      rc_pcs_transpose(c->melodies[(i + tune->line) % N_MELODIES], 7 * up);
  }
}

typedef void (*TuneFunc)(const RcTune *tune, gpointer data);

// Reads one file of a book, all of whose tunes are good.
static void
read_file(const Case *c, const Book *book, guint file, TuneFunc each, gpointer data)
{
  const char *const paths[] = { book->paths[file], NULL };
  GError *error = NULL;
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  RcTune *tune = rc_tune_new();
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (error) {
      fail(error->message, __LINE__);
    }
    check_lengths(tune);
    add_melody(c, tune, book == &c->there ? c->up : 0);
    each(tune, data);
  }
  rc_tune_free(tune);
  rc_corpus_free(corpus);
}

static void
keep_tune(const RcTune *tune, gpointer data)
{
  Book *book = data;
  g_ptr_array_add(book->tunes, rc_tune_copy(tune));
}

// A file that lasts as long as this program, and its path, to be freed; in memory, where the system has such.
static int
open_passing(char **path)
{
#ifdef __EMSCRIPTEN__
  return g_file_open_tmp("rowcall-XXXXXX", path, NULL);
#else
  const int file = memfd_create("tunes", 0);
  *path = g_strdup_printf("/proc/self/fd/%d", file);
  return file;
#endif
}

static void
close_passing(int file, char *path)
{
#ifdef __EMSCRIPTEN__
  unlink(path);
#endif
  close(file);
  g_free(path);
}

static void
make_book(const Case *c, Book *book, int up)
{
  Bytes bytes = c->book;
  book->n_files = 1 + take(&bytes, MOST_FILES);
  book->tunes = g_ptr_array_new_with_free_func((GDestroyNotify)rc_tune_free);
  for (guint i = 0; i < book->n_files; ++i) {
    GString *text = book->texts[i] = g_string_new(NULL);
    book->n_tunes += write_file(text, &bytes, up);
    book->files[i] = open_passing(&book->paths[i]);
    HOLDS(write(book->files[i], text->str, text->len) == (ssize_t)text->len);
  }
  for (guint i = 0; i < book->n_files; ++i) {
    read_file(c, book, i, keep_tune, book);
  }
  HOLDS(book->tunes->len == book->n_tunes);
}

static void
clear_book(Book *book)
{
  for (guint i = 0; i < book->n_files; ++i) {
    close_passing(book->files[i], book->paths[i]);
    g_string_free(book->texts[i], TRUE);
  }
  g_ptr_array_unref(book->tunes);
}

// ------------------------------------------------------------------------------------------------------------ rolls

static void
add_to_roll(const RcTune *tune, gpointer roll)
{
  rc_roll_add(roll, tune);
}

// One roll of all files, in their order or from the last to the first.
static RcRoll *
roll_book(const Case *c, RcPanel *panel, const Book *book, gboolean backwards)
{
  RcRoll *roll = rc_roll_new(panel, c->settings.roll);
  rc_roll_keep_tunes(roll);
  for (guint i = 0; i < book->n_files; ++i) {
    read_file(c, book, backwards ? book->n_files - 1 - i : i, add_to_roll, roll);
  }
  return roll;
}

// A file that is read on a thread of its own.
typedef struct {
  const Case *c;
  guint file;
  RcRoll *roll;
} Job;

static void
run_job(gpointer data, gpointer user)
{
  const Job *job = data;
  (void)user;
  read_file(job->c, &job->c->here, job->file, add_to_roll, job->roll);
}

// A roll of each file, on several threads, merged in the order of the files.
static RcRoll *
roll_on_threads(const Case *c, RcPanel *panel)
{
  Job jobs[MOST_FILES];
  RcRoll *whole = rc_roll_new(panel, c->settings.roll);
  for (guint i = 0; i < c->here.n_files; ++i) {
    jobs[i] = (Job){ c, i, rc_roll_new(panel, c->settings.roll) };
  }
#ifdef __EMSCRIPTEN__ // which has one thread
  for (guint i = 0; i < c->here.n_files; ++i) {
    run_job(&jobs[i], NULL);
  }
#else
  GThreadPool *pool = g_thread_pool_new(run_job, NULL, N_THREADS, FALSE, NULL);
  for (guint i = 0; i < c->here.n_files; ++i) {
    g_thread_pool_push(pool, &jobs[i], NULL);
  }
  g_thread_pool_free(pool, FALSE, TRUE);
#endif
  for (guint i = 0; i < c->here.n_files; ++i) {
    rc_roll_merge(whole, jobs[i].roll);
    rc_roll_free(jobs[i].roll);
  }
  return whole;
}

static gboolean
same_counts(const RcCounts *a, const RcCounts *b)
{
  gboolean same = a->tunes == b->tunes && a->native == b->native && a->playable == b->playable &&
                  a->playable_alone == b->playable_alone && a->one_short == b->one_short;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    same = same && a->chords[i] == b->chords[i] && a->ticks[i] == b->ticks[i];
  }
  return same;
}

// Orders two answers by what is promised of them: how they sound, not which of several grips is taken.
static int
compare_sound(const RcAnswer *a, const RcAnswer *b)
{
  return a->rank != b->rank ? a->rank < b->rank ? -1 : 1 : (int)b->likeness - (int)a->likeness;
}

// What a book holds, walked through once more.
static void
check_read(const Case *c, const RcRoll *roll, guint board)
{
  guint64 chords[2] = { 0, 0 }; // read, unread
  RcTicks ticks[2] = { 0, 0 };
  guint64 tunes = 0;
  for (guint i = 0; i < c->here.tunes->len; ++i) {
    const RcTune *tune = g_ptr_array_index(c->here.tunes, i);
    gboolean any = FALSE;
    RcPlayed played;
    for (RcWalk walk = rc_walk_start(tune); rc_walk_next(&walk, &played);) {
      const RcSymbolKind kind = g_array_index(tune->symbols, RcSymbol, played.symbol).kind;
      if (kind != RC_SYMBOL_SILENT) {
        chords[kind == RC_SYMBOL_UNREAD] += 1;
        ticks[kind == RC_SYMBOL_UNREAD] += played.length;
        any = TRUE;
      }
    }
    tunes += any ? 1 : 0;
  }
  const RcCounts counts = rc_roll_counts(roll, board);
  HOLDS(rc_counts_chords(&counts) == chords[0] + chords[1] && counts.chords[RC_UNREAD] == chords[1]);
  HOLDS(rc_counts_ticks(&counts) == ticks[0] + ticks[1] && counts.ticks[RC_UNREAD] == ticks[1]);
  HOLDS(counts.tunes == tunes && rc_roll_timing(roll).tunes == c->here.n_tunes);
  HOLDS(counts.native <= counts.playable && counts.playable <= counts.tunes);
  HOLDS(counts.playable_alone <= counts.playable && counts.playable + counts.one_short <= counts.tunes);
}

// The roll is the sum of its tunes.
static void
check_sum(const Case *c, RcPanel *panel, const RcRoll *roll, guint board)
{
  RcCounts sum = { 0 };
  RcCounts *counts = g_new(RcCounts, rc_panel_size(panel));
  const RcCounts whole = rc_roll_counts(roll, board);
  for (guint i = 0; i < c->here.tunes->len; ++i) {
    rc_panel_counts(panel, &c->settings.roll, g_ptr_array_index(c->here.tunes, i), counts);
    for (guint v = 0; v < RC_N_VERDICTS; ++v) {
      sum.chords[v] += counts[board].chords[v];
      sum.ticks[v] += counts[board].ticks[v];
    }
    sum.tunes += counts[board].tunes;
    sum.native += counts[board].native;
    sum.playable += counts[board].playable;
    sum.one_short += counts[board].one_short;
  }
  sum.playable_alone = whole.playable_alone;
  HOLDS(same_counts(&sum, &whole));
  g_free(counts);
}

// `large` has all the buttons of `small`.
static void
check_more(const Case *c, const RcRoll *roll, BoardKind small, BoardKind large)
{
  const RcCounts less = rc_roll_counts(roll, small);
  const RcCounts more = rc_roll_counts(roll, large);
  for (guint i = 0; i < rc_roll_n_entries(roll); ++i) {
    const RcAnswer a = rc_roll_answer(roll, i, small);
    const RcAnswer b = rc_roll_answer(roll, i, large);
    HOLDS(compare_sound(&b, &a) <= 0);
  }
  const RcTaste taste = c->settings.taste; // a plain grip may come before a better one of three buttons, but carries
  for (guint accept = taste.prefer == RC_PREFER_SOUND ? RC_NATIVE : taste.accept; accept < RC_IMPOSSIBLE; ++accept) {
    HOLDS(rc_counts_carried(&less, (RcVerdict)accept) <= rc_counts_carried(&more, (RcVerdict)accept));
  }
  HOLDS(less.native <= more.native && less.playable <= more.playable && less.playable_alone <= more.playable_alone);
  HOLDS(rc_roll_accept(roll) == c->settings.taste.accept);
}

// The next size, whichever it is, buys no less than nothing.
static void
check_gains(const RcRoll *roll)
{
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcGain gain = rc_roll_gain(roll, i);
    const RcCounts counts = rc_roll_counts(roll, i);
    HOLDS(gain.next < 0 || (gain.next > (int)i && gain.next < (int)rc_roll_n_layouts(roll)));
    HOLDS(gain.tunes <= counts.tunes && gain.explained <= gain.tunes && gain.n_chords <= G_N_ELEMENTS(gain.chords));
    HOLDS(gain.ticks >= 0 && gain.ticks <= rc_counts_whole(&counts));
  }
}

// Two rolls have the same requests in the same order, which sound the same on these keyboards.
static void
check_alike(const RcRoll *a, guint a_board, const RcRoll *b, guint b_board)
{
  const RcCounts left = rc_roll_counts(a, a_board);
  const RcCounts right = rc_roll_counts(b, b_board);
  HOLDS(same_counts(&left, &right));
  HOLDS(rc_roll_n_entries(a) == rc_roll_n_entries(b));
  for (guint i = 0; i < rc_roll_n_entries(a); ++i) {
    const RcAnswer x = rc_roll_answer(a, i, a_board);
    const RcAnswer y = rc_roll_answer(b, i, b_board);
    HOLDS(compare_sound(&x, &y) == 0);
    HOLDS(rc_roll_entry(a, i).chords == rc_roll_entry(b, i).chords);
    HOLDS(rc_roll_entry(a, i).ticks == rc_roll_entry(b, i).ticks);
  }
}

// ---------------------------------------------------------------------------------------------------------- outputs

// Checks the text by its format and empties it.
static void
check_output(GString *text, RcTextFormat format)
{
  HOLDS(format == RC_TEXT_TABLE ? is_table(text) : format == RC_TEXT_CSV ? is_csv(text) : is_json(text));
  g_string_truncate(text, 0);
}

// `total` is the sum of the verdicts.
static double
check_json_sum(const json_t *counts)
{
  double sum = 0;
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    sum += json_number_value(json_object_get(counts, rc_verdict_name((RcVerdict)i)));
  }
  HOLDS(fabs(sum - json_number_value(json_object_get(counts, "total"))) < 1e-6 * (1 + sum));
  return sum;
}

static void
check_compare_json(const RcRoll *roll, const GString *text)
{
  json_t *whole = parse_json(text);
  HOLDS(whole);
  const json_t *layouts = json_object_get(whole, "layouts");
  HOLDS(json_array_size(layouts) == rc_roll_n_layouts(roll));
  for (guint i = 0; i < rc_roll_n_layouts(roll); ++i) {
    const RcCounts counts = rc_roll_counts(roll, i);
    const json_t *layout = json_array_get(layouts, i);
    const double chords = check_json_sum(json_object_get(layout, "chords"));
    const double quarters = check_json_sum(json_object_get(layout, "quarters"));
    HOLDS(chords == (double)rc_counts_chords(&counts));
    HOLDS(fabs(quarters - (double)rc_counts_ticks(&counts) / (double)RC_QUARTER) < 1e-6 * (1 + quarters));
  }
  json_decref(whole);
}

// A comparison and what it borrows.
typedef struct {
  RcBoards boards;
  RcRolled rolled;
  RcComparison *comparison;
} Compared;

static void
start_comparison(Compared *compared, const Case *c, const RcRoll *roll)
{
  const guint n = rc_roll_n_layouts(roll);
  *compared = (Compared){ .boards = { .settings = rc_settings(), .n = n, .layouts = g_new(RcLayout *, n) } };
  for (guint i = 0; i < n; ++i) {
    compared->boards.layouts[i] = (RcLayout *)rc_roll_layout(roll, i);
  }
  compared->rolled = (RcRolled){ .boards = &compared->boards,
                                 .roll = (RcRoll *)roll,
                                 .intake = { .tunes = c->here.n_tunes, .files = c->here.n_files } };
  compared->comparison = rc_compare(&compared->rolled);
}

static void
end_comparison(Compared *compared)
{
  rc_comparison_free(compared->comparison);
  g_free(compared->boards.layouts);
}

static GString *
compare_text(const Case *c, const RcRoll *roll, RcTextFormat format)
{
  Compared compared;
  GString *out = g_string_new(NULL);
  start_comparison(&compared, c, roll);
  rc_report_compare(out, format, compared.comparison, RC_SHARE_TIME);
  end_comparison(&compared);
  return out;
}

// Both rolls say the same; with `words`, also in words and in JSON, where of chords the first to come is named first.
static void
check_same_answer(const Case *c, const RcRoll *a, const RcRoll *b, gboolean words)
{
  for (guint format = words ? RC_TEXT_TABLE : RC_TEXT_CSV; format <= RC_TEXT_JSON; ++format) {
    GString *left = compare_text(c, a, (RcTextFormat)format);
    GString *right = compare_text(c, b, (RcTextFormat)format);
    HOLDS(g_string_equal(left, right) || (format == RC_TEXT_JSON && !words));
    if (format == RC_TEXT_JSON) {
      check_compare_json(a, left);
    }
    check_output(left, (RcTextFormat)format);
    g_string_free(left, TRUE);
    g_string_free(right, TRUE);
  }
}

static void
check_chords(const Case *c, const RcRoll *roll)
{
  RcLayout *layout = c->layouts[BOARD_DRAWN];
  RcCatalogue *catalogue = c->catalogues[BOARD_DRAWN];
  const RcBoards boards = {
    .settings = { .route = c->settings }, .n = 1, .layouts = &layout, .catalogues = &catalogue
  };
  const RcRollEntry entry = rc_roll_n_entries(roll) ? rc_roll_entry(roll, 0) : (RcRollEntry){ 0 };
  char *name = entry.chords ? rc_chord_name(&entry.request.chord, RC_SIGNS_ASCII) : NULL;
  const char *const symbols[] = { "N.C.", "huh", name };
  RcRanking *rankings[G_N_ELEMENTS(symbols)];
  const guint n = name ? 3 : 2;
  GString *out = g_string_new(NULL);
  for (guint i = 0; i < n; ++i) {
    const RcSurroundings around = { .melody = entry.request.melody, .brisk = entry.request.brisk };
    rankings[i] = rc_ranking_new(&boards, 0, symbols[i], &around);
  }
  HOLDS(!name || rankings[2]->kind == RC_SYMBOL_CHORD);
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_chord(out, (RcTextFormat)format, layout, rankings, n, 3);
    check_output(out, (RcTextFormat)format);
  }
  for (guint i = 0; i < n; ++i) {
    rc_ranking_free(rankings[i]);
  }
  g_free(name);
  g_string_free(out, TRUE);
}

static void
check_layout_words(const Case *c)
{
  GString *out = g_string_new(NULL);
  for (guint i = 0; i < N_BOARDS; ++i) {
    for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
      rc_report_layout(out, (RcTextFormat)format, c->layouts[i]);
      check_output(out, (RcTextFormat)format);
    }
    RcLayout *first = c->layouts[0];
    RcLayoutStudy *study = rc_layout_study_on(c->layouts[i], &(RcLayouts){ &first, 1 });
    rc_report_layout_study(out, study);
    rc_layout_study_free(study);
    check_output(out, RC_TEXT_TABLE);
  }
  g_string_free(out, TRUE);
}

// The keys of all tunes: as written each counts as in the roll.
static void
check_keys(const RcRolled *rolled)
{
  RcKeys *keys = rc_keys_judge(rolled, NULL);
  GString *out = g_string_new(NULL);
  for (guint i = 0; i < keys->n; ++i) {
    RcCounts written;
    rc_panel_counts(rolled->boards->panel, &rolled->boards->settings.route.roll, keys->tunes[i].tune, &written);
    HOLDS(same_counts(&written, &keys->tunes[i].moves.counts[RC_AS_WRITTEN]));
  }
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_keys(out, (RcTextFormat)format, keys);
    check_output(out, (RcTextFormat)format);
  }
  g_string_free(out, TRUE);
  rc_keys_free(keys);
}

// The rows of a list add up to the roll.
static void
check_list(const RcRolled *rolled)
{
  RcTuneList *list = rc_tune_list_new(rolled, rolled->boards, RC_LIST_TIME);
  GString *out = g_string_new(NULL);
  const RcCounts counts = rc_roll_counts(rolled->roll, 0);
  guint64 fares[RC_N_FARES] = { 0 };
  for (guint i = 0; i < list->n; ++i) {
    ++fares[list->tunes[i].on[0].fares];
    HOLDS((list->tunes[i].smallest == 0) == (list->tunes[i].on[0].fares == RC_FARES_PLAYS));
  }
  HOLDS(fares[RC_FARES_PLAYS] == counts.playable && fares[RC_FARES_ONE_SHORT] == counts.one_short);
  HOLDS(list->n == counts.tunes && list->n + list->n_chordless == rolled->n_tunes);
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_tune_list(out, (RcTextFormat)format, list, RC_SHOW_ALL);
    check_output(out, (RcTextFormat)format);
  }
  g_string_free(out, TRUE);
  rc_tune_list_free(list);
}

// Each tune is on one rung or left out, and each rung has something new.
static void
check_ladder(const RcRolled *rolled)
{
  RcLadder *ladder = rc_ladder_new(rolled, 0, NULL, NULL);
  GString *out = g_string_new(NULL);
  guint n = ladder->n_unplayable + ladder->n_chordless;
  for (guint i = 0; i < ladder->n; ++i) {
    n += ladder->rungs[i].n_tunes;
    HOLDS(ladder->rungs[i].n_things && ladder->rungs[i].n_things <= ladder->largest);
  }
  HOLDS(n == rolled->n_tunes);
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_ladder(out, (RcTextFormat)format, ladder);
    check_output(out, (RcTextFormat)format);
  }
  g_string_free(out, TRUE);
  rc_ladder_free(ladder);
}

static void
check_tunes(const Case *c)
{
  RcSettings settings = rc_settings();
  settings.route = c->settings;
  RcBoards *boards = rc_boards_new(&c->layouts[BOARD_DRAWN], 1, &settings);
  RcRolled rolled = { .boards = boards,
                      .roll = roll_book(c, boards->panel, &c->here, FALSE),
                      .tunes = (RcTune **)c->here.tunes->pdata,
                      .n_tunes = c->here.tunes->len };
  check_keys(&rolled);
  check_list(&rolled);
  check_ladder(&rolled);
  rc_roll_free(rolled.roll);
  rc_boards_free(boards);
}

static void
check_rolls(const Case *c)
{
  RcPanel *panel = rc_panel_new((RcCatalogue *const *)c->catalogues, N_HERE, c->settings.taste);
  RcPanel *other = rc_panel_new((RcCatalogue *const *)c->catalogues + N_HERE, N_BOARDS - N_HERE, c->settings.taste);
  RcRoll *roll = roll_book(c, panel, &c->here, FALSE);
  RcRoll *backwards = roll_book(c, panel, &c->here, TRUE);
  RcRoll *threads = roll_on_threads(c, panel);
  RcRoll *moved = roll_book(c, other, &c->there, FALSE);
  for (guint i = 0; i < N_HERE; ++i) {
    check_read(c, roll, i);
    check_sum(c, panel, roll, i);
    check_alike(roll, i, threads, i);
  }
  check_gains(roll);
  check_more(c, roll, BOARD_LESS, BOARD_DRAWN);
  check_more(c, roll, BOARD_DRAWN, BOARD_MORE);
  check_alike(roll, BOARD_DRAWN, roll, BOARD_MIRRORED);
  check_alike(roll, BOARD_DRAWN, moved, BOARD_UP - N_HERE);
  check_alike(roll, BOARD_DRAWN, moved, BOARD_MOVED - N_HERE);
  check_same_answer(c, roll, threads, c->words);
  check_same_answer(c, roll, backwards, FALSE);
  if (c->words) {
    check_chords(c, roll);
  }
  rc_roll_free(roll);
  rc_roll_free(backwards);
  rc_roll_free(threads);
  rc_roll_free(moved);
  rc_panel_free(panel);
  rc_panel_free(other);
}

// ----------------------------------------------------------------------------------------------------------- routes

// A way through each tune, on one board and by one preference.
typedef struct {
  RcPlanner *planner;
  RcRoute *route;
} Routing;

static Routing
new_routing(const Case *c, BoardKind board, RcPrefer prefer, double turns_apart)
{
  RcRouteSettings settings = c->settings;
  settings.taste.prefer = prefer;
  settings.turns_apart = turns_apart;
  RcPlanner *planner = rc_planner_new(c->layouts[board], &settings);
  return (Routing){ planner, rc_route_new(planner) };
}

static void
free_routing(Routing *routing)
{
  rc_route_free(routing->route);
  rc_planner_free(routing->planner);
}

// What a route comes to.
typedef struct {
  gint64 ranks;    // by time
  gint64 verdicts; // by time
  gint64 likeness; // of all grips
  guint64 apart;   // the buttons of all grips, then their columns
  guint wide;
  guint turns; // of the bellows
  double travel;
  double unusual; // mm that are charged for chords held now one way and now another
  guint grips;
} Total;

// A chord as it is held.
typedef struct {
  guint chord;
  RcGrip grip;
  RcFingering fingers;
  guint times;
} Held;

static gboolean
is_held_alike(const Held *a, const Held *b)
{
  return a->chord == b->chord && rc_grip_equal(&a->grip, &b->grip) &&
         !memcmp(&a->fingers, &b->fingers, sizeof a->fingers);
}

static void
add_held(GArray *held, Held one)
{
  guint i = 0;
  while (i < held->len && !is_held_alike(&g_array_index(held, Held, i), &one)) {
    ++i;
  }
  if (i == held->len) {
    g_array_append_val(held, one);
  }
  ++g_array_index(held, Held, i).times;
}

// What is charged: once for each time in the second most frequent way of a chord, twice for rarer ways.
static double
unusual_mm(const GArray *held)
{
  double sum = 0;
  for (guint i = 0; i < held->len; ++i) {
    const Held *one = &g_array_index(held, Held, i);
    guint more_usual = 0;
    for (guint j = 0; j < held->len; ++j) {
      const Held *other = &g_array_index(held, Held, j);
      more_usual += other->chord == one->chord && (other->times > one->times || (other->times == one->times && j < i));
    }
    sum += MIN(more_usual, 2) * RC_CLEARLY_MM * (double)one->times;
  }
  return sum;
}

// The order of a route that puts rank first.
static int
compare_totals(const Total *a, const Total *b)
{
  if (a->ranks != b->ranks) {
    return a->ranks < b->ranks ? -1 : 1;
  }
  if (a->likeness != b->likeness) {
    return a->likeness > b->likeness ? -1 : 1;
  }
  if (a->apart != b->apart) {
    return a->apart < b->apart ? -1 : 1;
  }
  if (a->wide != b->wide) {
    return a->wide < b->wide ? -1 : 1;
  }
  if (a->turns != b->turns) {
    return a->turns < b->turns ? -1 : 1;
  }
  const double near = tolerance * (1 + MAX(a->grips, b->grips));
  const double further = a->travel + a->unusual - b->travel - b->unusual;
  return fabs(further) < near ? 0 : further < 0 ? -1 : 1;
}

// Where a hand is.
typedef struct {
  gboolean somewhere;
  double x;
  double y;
  RcBellows bellows;
} Hand;

static Hand
hand_at(const RcLayout *layout, const RcGrip *grip, const RcFingering *fingers, RcBellows bellows)
{
  Hand hand = { TRUE, 0, 0, bellows };
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    const RcButton *button = rc_layout_button(layout, rc_grip_button(grip, i));
    hand.x += (button->x + layout->column_mm * rc_grip_finger(grip, fingers, i)) / rc_grip_count(grip);
    hand.y += button->y / rc_grip_count(grip);
  }
  return hand;
}

static guint
apart_of(const RcLayout *layout, const RcGrip *grip)
{
  return 10000 * rc_grip_count(grip) + rc_grip_reach(layout, grip);
}

static Total
total_of(const RcLayout *layout, const RcFingers *fingers, const RcTune *tune, const RcRoute *route)
{
  Total total = { 0 };
  Hand before = { 0 };
  GArray *held = g_array_new(FALSE, FALSE, sizeof(Held));
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    const RcTicks length = MAX(step->played.length, 1);
    total.verdicts += (gint64)step->verdict * length;
    total.ranks += step->held ? 0 : (gint64)G_MAXINT32 * length;
    if (step->held) {
      const Hand hand = hand_at(layout, &step->grip, &step->fingers, step->bellows);
      total.ranks += (gint64)step->rank * length;
      total.likeness +=
        rc_grip_likeness(layout, &g_array_index(tune->symbols, RcSymbol, step->played.symbol).chord, &step->grip);
      total.apart += apart_of(layout, &step->grip);
      total.wide += rc_grip_stretch(fingers, layout, &step->grip, &step->fingers) > 0;
      total.turns += before.somewhere && before.bellows != hand.bellows;
      total.travel += before.somewhere ? hypot(hand.x - before.x, hand.y - before.y) : 0;
      total.travel += 2 * rc_grip_spread(layout, &step->grip, &step->fingers);
      total.grips += 1;
      add_held(
        held, (Held){ g_array_index(tune->symbols, RcSymbol, step->played.symbol).same, step->grip, step->fingers, 0 });
      before = hand;
    }
  }
  total.unusual = unusual_mm(held);
  g_array_unref(held);
  HOLDS(total.wide == route->wide && total.turns == route->reversals);
  HOLDS(fabs(total.travel - route->travel) < tolerance * (1 + total.grips));
  return total;
}

// Whether a route may take a grip of this verdict in place of a better one: ease where no tone is left out and there
// are at most two buttons, else steady bellows where it is accepted.
static gboolean
is_free(RcTaste taste, gboolean steady, RcVerdict verdict, const RcGrip *grip)
{
  const gboolean easy = verdict <= RC_RICHER && rc_grip_count(grip) <= 2;
  return verdict <= taste.accept && (taste.prefer == RC_PREFER_EASE ? easy : steady);
}

static gboolean
all_free(RcTaste taste, gboolean steady, const RcRoute *route)
{
  gboolean all = TRUE;
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    all = all && (!step->held || is_free(taste, steady, step->verdict, &step->grip));
  }
  return all;
}

// The grip is one of the answers that fingers can hold, and none of them is of better rank, unless ease or steady
// bellows come first: ease takes nothing worse than B where there is a way that is not. No grip is held only where
// there are none.
static void
check_step(const RcPlanner *planner, const RcCatalogue *catalogue, const RcTune *tune, const RcStep *step)
{
  RcFingering ways[RC_FINGERINGS];
  guint found = 0;
  const RcRouteSettings *settings = rc_planner_settings(planner);
  const RcTaste taste = settings->taste;
  const gboolean steady = settings->turns_apart > 0 && rc_layout_has_bellows(rc_catalogue_layout(catalogue));
  const RcRequest request = rc_roll_request(&settings->roll, tune, &step->played);
  GArray *answers = rc_catalogue_rank(catalogue, settings->taste, &request);
  for (guint i = 0; i < answers->len; ++i) {
    const RcAnswer *answer = &g_array_index(answers, RcAnswer, i);
    if (rc_fingers_ways(&settings->fingers, rc_catalogue_layout(catalogue), &answer->grip, ways)) {
      HOLDS(step->held && (is_free(taste, steady, step->verdict, &step->grip) ||
                           (step->rank <= answer->rank && !is_free(taste, steady, answer->verdict, &answer->grip))));
      found +=
        rc_grip_equal(&answer->grip, &step->grip) && answer->verdict == step->verdict && answer->rank == step->rank;
    }
  }
  HOLDS(step->held ? found == 1 : step->verdict == RC_IMPOSSIBLE);
  g_array_unref(answers);
}

static void
check_steps(const RcPlanner *planner, const RcCatalogue *catalogue, const RcTune *tune, const RcRoute *route)
{
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    if (g_array_index(tune->symbols, RcSymbol, step->played.symbol).kind == RC_SYMBOL_CHORD) {
      check_step(planner, catalogue, tune, step);
    }
  }
}

// What a player does who sees one chord at a time.
typedef struct {
  const RcCatalogue *catalogue;
  const RcFingers *fingers;
  RcTaste taste;
  gboolean has_bellows;
  Hand hand;
  Total total;
  GArray *held; // of Held
} Greedy;

// Adds a grip to what is best of one chord, in each direction in which it sounds.
static void
consider(const Greedy *g, const RcAnswer *answer, gboolean *any, Total *best, Hand *reached, Held *held)
{
  RcFingering ways[RC_FINGERINGS];
  const RcGrip *grip = &answer->grip;
  const RcLayout *layout = rc_catalogue_layout(g->catalogue);
  const RcBellows of = rc_grip_bellows(layout, grip);
  const guint n = rc_fingers_ways(g->fingers, layout, grip, ways);
  for (guint i = 0; i < 2 * n; ++i) {
    const RcBellows turned = i % 2 ? RC_BELLOWS_PULL : RC_BELLOWS_PUSH;
    const Hand hand = hand_at(layout, grip, &ways[i / 2], g->has_bellows ? turned : RC_BELLOWS_BOTH);
    Total total = { .likeness = answer->likeness, .apart = apart_of(layout, grip) };
    total.wide = rc_grip_stretch(g->fingers, layout, grip, &ways[i / 2]) > 0;
    total.turns = g->hand.somewhere && g->hand.bellows != hand.bellows;
    total.travel = 2 * rc_grip_spread(layout, grip, &ways[i / 2]);
    total.travel += g->hand.somewhere ? hypot(hand.x - g->hand.x, hand.y - g->hand.y) : 0;
    const gboolean sounds = of == RC_BELLOWS_BOTH || of == turned;
    if (sounds && (!*any || compare_totals(&total, best) < 0)) {
      *any = TRUE;
      *best = total;
      *reached = hand;
      *held = (Held){ held->chord, *grip, ways[i / 2], 0 };
    }
  }
}

// Goes on to a step's chord, by the nearest of the grips of the planned one's rank. Those with more buttons only where
// no others will do: what a further button is good for is the planner's to say.
static void
go_on(Greedy *g, const RcRequest *request, const RcStep *step, guint chord)
{
  gboolean any = FALSE;
  Total best = { 0 };
  Hand reached = { 0 };
  Held held = { .chord = chord };
  GArray *answers = rc_catalogue_rank(g->catalogue, g->taste, request);
  for (guint buttons = 1; buttons <= RC_GRIP_PRESS && !any; ++buttons) {
    for (guint i = 0; i < answers->len; ++i) {
      const RcAnswer *answer = &g_array_index(answers, RcAnswer, i);
      if (answer->rank == step->rank && rc_grip_count(&answer->grip) == buttons) {
        consider(g, answer, &any, &best, &reached, &held);
      }
    }
  }
  HOLDS(any);
  add_held(g->held, held);
  g->hand = reached;
  g->total.likeness += best.likeness;
  g->total.apart += best.apart;
  g->total.wide += best.wide;
  g->total.turns += best.turns;
  g->total.travel += best.travel;
  g_array_unref(answers);
}

static void
check_greedy(const RcPlanner *planner, const RcCatalogue *catalogue, const RcTune *tune, const RcRoute *route)
{
  const RcRouteSettings *settings = rc_planner_settings(planner);
  Greedy g = { .catalogue = catalogue, .fingers = &settings->fingers, .taste = settings->taste };
  g.held = g_array_new(FALSE, FALSE, sizeof(Held));
  Total planned = total_of(rc_catalogue_layout(catalogue), &settings->fingers, tune, route);
  g.has_bellows = rc_layout_has_bellows(rc_catalogue_layout(catalogue));
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    const RcRequest request = rc_roll_request(&settings->roll, tune, &step->played);
    if (step->held) {
      go_on(&g, &request, step, g_array_index(tune->symbols, RcSymbol, step->played.symbol).same);
    }
  }
  g.total.unusual = unusual_mm(g.held);
  g_array_unref(g.held);
  planned.ranks = planned.verdicts = 0;
  HOLDS(compare_totals(&planned, &g.total) <= 0);
}

// ------------------------------------------------------------------------------------------------- charts and sound

static void
check_notes(const RcScore *score)
{
  RcTicks now = 0;
  for (guint i = 0; i < score->notes->len; ++i) {
    const RcScoreNote *note = &g_array_index(score->notes, RcScoreNote, i);
    HOLDS(note->start >= now && note->length > 0 && note->start + note->length <= score->length);
    HOLDS(note->voice < RC_N_VOICES && note->level >= 1 && note->level <= 127);
    HOLDS(note->voice != RC_VOICE_BASS || (note->pitch >= RC_LOWEST_BASS && note->pitch < RC_LOWEST_BASS + 23));
    HOLDS(note->voice != RC_VOICE_CHORD || (note->pitch >= RC_LOWEST_CHORD && note->pitch < RC_LOWEST_CHORD + 23));
    now = note->start;
  }
}

static void
check_score(const Routing *routing, const RcTune *tune)
{
  for (guint play = RC_PLAY_GRIPS; play <= RC_PLAY_WANTED; ++play) {
    RcScore *score = rc_score_new();
    rc_score_add(score, routing->planner, routing->route, tune, (RcPlaying){ .play = (RcPlay)play, .melody = TRUE });
    check_notes(score);
    HOLDS(tune->unmeasured || score->length == length_of(tune));
    GBytes *midi = rc_sound_file(score, RC_SOUND_MIDI, NULL);
    HOLDS(midi && g_bytes_get_size(midi) > 14 && !memcmp(g_bytes_get_data(midi, NULL), "MThd", 4));
    g_bytes_unref(midi);
    rc_score_free(score);
  }
}

static void
check_listening(const Case *c)
{
  const RcSettings settings = { .route = c->settings };
  RcBoards *boards = rc_boards_new(&c->layouts[BOARD_DRAWN], 1, &settings);
  RcListening *listening = rc_listening_new(boards, 0);
  for (guint i = 0; i < 2 * c->here.tunes->len; ++i) {
    const RcHearing hearing = { .wanted = i % 2 > 0, .melody = TRUE };
    HOLDS(rc_listening_add_tune(listening, &hearing, g_ptr_array_index(c->here.tunes, i / 2), NULL));
  }
  GString *out = g_string_new(NULL);
  rc_report_listening(out, listening);
  check_output(out, RC_TEXT_TABLE);
  g_string_free(out, TRUE);
  rc_listening_free(listening);
  rc_boards_free(boards);
}

static void
check_tune_json(const RcTune *tune, const RcChart *chart, const GString *text)
{
  json_t *whole = parse_json(text);
  HOLDS(whole);
  const json_t *said = json_array_get(json_object_get(whole, "tunes"), 1);
  const double chords = check_json_sum(json_object_get(said, "chords"));
  check_json_sum(json_object_get(said, "quarters"));
  HOLDS(!strcmp(json_string_value(json_object_get(said, "title")), tune->title));
  HOLDS(chords == (double)rc_counts_chords(&chart->counts));
  HOLDS(json_array_size(json_object_get(said, "ways")) == chart->needs->len);
  json_decref(whole);
}

static void
check_chart(const Routing *routing, const RcRoute *sound, const RcTune *tune)
{
  const RcRoute *route = routing->route;
  const RcLayout *layout = rc_planner_layout(routing->planner);
  RcChart *chart = rc_chart_new(routing->planner, route, sound, tune);
  GString *out = g_string_new(NULL);
  guint64 times = 0;
  guint64 unread = 0;
  for (guint i = 0; i < chart->needs->len; ++i) {
    times += g_array_index(chart->needs, RcNeed, i).times;
  }
  for (guint i = 0; i < route->steps->len; ++i) {
    unread += g_array_index(route->steps, RcStep, i).verdict == RC_UNREAD;
  }
  HOLDS(times == rc_counts_chords(&chart->counts) && unread == chart->counts.chords[RC_UNREAD]);
  HOLDS(chart->travel == route->travel && chart->reversals == route->reversals);
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_tune_start(out, (RcTextFormat)format, layout);
    rc_report_tune(out, (RcTextFormat)format, layout, tune, chart, TRUE);
    rc_report_tune(out, (RcTextFormat)format, layout, tune, chart, FALSE);
    rc_report_tune_end(out, (RcTextFormat)format, layout);
    if (format == RC_TEXT_JSON) {
      check_tune_json(tune, chart, out);
    }
    check_output(out, (RcTextFormat)format);
  }
  g_string_free(out, TRUE);
  rc_chart_free(chart);
}

#ifdef DRAWS

static const RcImprint imprint = { "An invented club", NULL, NULL };

// A picture is drawn, whatever the board.
static void
check_picture(GBytes *picture)
{
  HOLDS(picture);
  gsize length = 0;
  const char *text = g_bytes_get_data(picture, &length);
  HOLDS(g_strstr_len(text, (gssize)length, "</svg>"));
  g_bytes_unref(picture);
}

static void
check_pictures(const Case *c, const RcUse *use, const RcRoll *roll)
{
  Compared compared;
  for (guint i = 0; i < N_BOARDS; ++i) {
    check_picture(rc_report_layout_picture(c->layouts[i], RC_PICTURE_SVG, &imprint, NULL));
  }
  check_picture(rc_report_heat_picture(use, roll, RC_PAPER_A4, RC_PICTURE_SVG, &imprint, NULL));
  RcHeatPair *pair = rc_heat_pair_new(use, use);
  const RcHeatBeside beside = { pair, { "here", "there" }, { roll, roll } };
  check_picture(rc_report_heat_pair_picture(&beside, RC_PAPER_LETTER, RC_PICTURE_SVG, &imprint, NULL));
  rc_heat_pair_free(pair);
  start_comparison(&compared, c, roll);
  check_picture(rc_report_compare_picture(compared.comparison, RC_PICTURE_SVG, &imprint, NULL));
  end_comparison(&compared);
}

static void
check_sheets(const Routing *routing, const RcTune *tune)
{
  RcChart *chart = rc_chart_new(routing->planner, routing->route, NULL, tune);
  RcSheets *sheets = rc_sheets_start(rc_planner_layout(routing->planner), RC_PICTURE_PDF, RC_PAPER_A4, &imprint);
  rc_sheets_add(sheets, tune, chart);
  HOLDS(rc_sheets_pages(sheets) > 0);
  GBytes *pages = rc_sheets_finish(sheets, NULL);
  HOLDS(pages && g_bytes_get_size(pages) > 4 && !memcmp(g_bytes_get_data(pages, NULL), "%PDF", 4));
  g_bytes_unref(pages);
  rc_chart_free(chart);
}

#else

static void
check_pictures(const Case *c G_GNUC_UNUSED, const RcUse *use G_GNUC_UNUSED, const RcRoll *roll G_GNUC_UNUSED)
{
}

static void
check_sheets(const Routing *routing G_GNUC_UNUSED, const RcTune *tune G_GNUC_UNUSED)
{
}

#endif

// What the tunes press is all that is pressed.
static void
check_tunes_of_use(const RcUse *use)
{
  const guint n = use->layout->buttons->len;
  guint64 *presses = g_new0(guint64, n);
  for (guint i = 0; i < use->by_tune->len; ++i) {
    const RcTunePress *press = &g_array_index(use->by_tune, RcTunePress, i);
    HOLDS(press->tune < use->titles->len);
    presses[press->button] += press->presses;
  }
  HOLDS(!memcmp(presses, use->presses, n * sizeof *presses));
  g_free(presses);
}

// Nothing tells a use from itself.
static void
check_pair(const RcUse *use, const RcRoll *roll)
{
  RcHeatPair *pair = rc_heat_pair_new(use, use);
  const RcHeatBeside beside = { pair, { "here", "there" }, { roll, roll } };
  GString *out = g_string_new(NULL);
  HOLDS(pair->alike == use->layout->buttons->len);
  HOLDS(!pair->sides[0].n_own && !pair->sides[1].n_own && !pair->n_shifts);
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_heat_pair(out, (RcTextFormat)format, &beside);
    check_output(out, (RcTextFormat)format);
  }
  g_string_free(out, TRUE);
  rc_heat_pair_free(pair);
}

static void
check_use(const Case *c, const RcUse *use, const RcRoll *roll)
{
  const RcCounts counts = rc_roll_counts(roll, 0);
  GString *out = g_string_new(NULL);
  gboolean unmeasured = FALSE;
  for (guint i = 0; i < c->here.tunes->len; ++i) {
    unmeasured = unmeasured || ((const RcTune *)g_ptr_array_index(c->here.tunes, i))->unmeasured;
  }
  HOLDS(rc_counts_chords(&use->counts) == rc_counts_chords(&counts));
  HOLDS(unmeasured || use->played + use->silent == rc_counts_ticks(&counts));
  for (guint format = RC_TEXT_TABLE; format <= RC_TEXT_JSON; ++format) {
    rc_report_heat(out, (RcTextFormat)format, use, roll);
    check_output(out, (RcTextFormat)format);
  }
  g_string_free(out, TRUE);
  check_tunes_of_use(use);
  check_pair(use, roll);
}

// ------------------------------------------------------------------------------------------------------- all routes

static Total
plan(const Case *c, const Routing *routing, BoardKind board, const RcTune *tune)
{
  rc_route_plan(routing->route, tune);
  check_steps(routing->planner, c->catalogues[board], tune, routing->route);
  return total_of(c->layouts[board], &rc_planner_settings(routing->planner)->fingers, tune, routing->route);
}

static void
check_ease(const Routing *sound, const Routing *ease, Total by_sound, Total by_ease)
{
  const RcTaste taste = rc_planner_settings(sound->planner)->taste;
  const RcTaste easy = rc_planner_settings(ease->planner)->taste;
  HOLDS(taste.prefer == RC_PREFER_PLAIN ? by_sound.ranks <= by_ease.ranks : by_sound.verdicts <= by_ease.verdicts);
  if (all_free(easy, FALSE, sound->route)) {
    by_sound.ranks = by_ease.ranks = 0;
    by_sound.apart = by_ease.apart = 0;
    by_sound.likeness = by_ease.likeness = 0;
    HOLDS(compare_totals(&by_ease, &by_sound) <= 0);
  }
  for (guint i = 0; i < sound->route->steps->len; ++i) {
    const RcStep *best = &g_array_index(sound->route->steps, RcStep, i);
    const RcStep *other = &g_array_index(ease->route->steps, RcStep, i);
    HOLDS(!best->held || !is_free(easy, FALSE, best->verdict, &best->grip) ||
          is_free(easy, FALSE, other->verdict, &other->grip));
  }
  HOLDS(sound->route->steps->len == ease->route->steps->len);
}

// Turns of the bellows that come too soon after the one before, counted anew: a turn falls on the start of a chord.
static guint
count_hasty(const RcRoute *route, double turns_apart, double quarters_a_minute)
{
  guint hasty = 0;
  double now = 0;
  double turned = -turns_apart;
  const RcStep *before = NULL;
  for (guint i = 0; i < route->steps->len; ++i) {
    const RcStep *step = &g_array_index(route->steps, RcStep, i);
    if (step->held) {
      const gboolean turns = before && before->bellows != step->bellows;
      hasty += turns && now - turned < turns_apart - 1e-6;
      turned = turns ? now : turned;
      before = step;
    }
    now += (double)step->played.length / (double)RC_QUARTER * 60 / quarters_a_minute;
  }
  return hasty;
}

// Where each chord has its time, steady bellows turn too soon no more often than those that may turn at any chord and
// whose grips are all accepted.
static void
check_steady(const Routing *free, const Routing *steady, const RcTune *tune)
{
  const RcRouteSettings *settings = rc_planner_settings(steady->planner);
  const double apart = settings->turns_apart;
  const RcTempo tempo = rc_roll_tempo(&settings->roll, tune, 0);
  const gboolean timed = !tune->unmeasured && tempo.source != RC_TEMPO_NONE;
  HOLDS(steady->route->hasty <= steady->route->reversals);
  HOLDS(steady->route->hasty == (timed ? count_hasty(steady->route, apart, tempo.quarters) : 0));
  if (apart > 0 && timed && all_free(settings->taste, TRUE, free->route)) {
    HOLDS(steady->route->hasty <= count_hasty(free->route, apart, tempo.quarters));
  }
}

// What is planned: for sound on each board; on the one that is drawn for ease, and as the player wants it.
typedef struct {
  Routing sound[N_BOARDS];
  Routing ease;
  Routing wanted;
  RcUse *use;
} Routings;

static void
check_boards(const Case *c, const Routings *r, guint index)
{
  Total totals[N_BOARDS];
  const RcTune *tune = g_ptr_array_index(c->here.tunes, index);
  for (guint i = 0; i < N_BOARDS; ++i) {
    totals[i] = plan(c, &r->sound[i], (BoardKind)i, i < N_HERE ? tune : g_ptr_array_index(c->there.tunes, index));
  }
  HOLDS(compare_totals(&totals[BOARD_DRAWN], &totals[BOARD_LESS]) <= 0);
  HOLDS(compare_totals(&totals[BOARD_MORE], &totals[BOARD_DRAWN]) <= 0);
  HOLDS(compare_totals(&totals[BOARD_DRAWN], &totals[BOARD_MIRRORED]) == 0);
  HOLDS(compare_totals(&totals[BOARD_DRAWN], &totals[BOARD_UP]) == 0);
  HOLDS(compare_totals(&totals[BOARD_DRAWN], &totals[BOARD_MOVED]) == 0);
  check_greedy(r->sound[BOARD_DRAWN].planner, c->catalogues[BOARD_DRAWN], tune, r->sound[BOARD_DRAWN].route);
  check_ease(&r->sound[BOARD_DRAWN], &r->ease, totals[BOARD_DRAWN], plan(c, &r->ease, BOARD_DRAWN, tune));
}

static void
check_tune(const Case *c, const Routings *r, guint index)
{
  const RcTune *tune = g_ptr_array_index(c->here.tunes, index);
  const Routing *sound = &r->sound[BOARD_DRAWN];
  const gboolean compared = c->settings.taste.prefer == RC_PREFER_EASE || c->settings.turns_apart > 0;
  check_boards(c, r, index);
  plan(c, &r->wanted, BOARD_DRAWN, tune);
  check_steady(sound, &r->wanted, tune);
  rc_use_add(r->use, r->wanted.route, tune, c->settings.taste.accept);
  if (c->words) {
    check_chart(&r->wanted, compared ? sound->route : NULL, tune);
    check_score(&r->wanted, tune);
  }
  if (c->pictures) {
    check_sheets(&r->wanted, tune);
  }
}

static void
check_routes(const Case *c)
{
  Routings r = { .ease = new_routing(c, BOARD_DRAWN, RC_PREFER_EASE, 0), .use = rc_use_new(c->layouts[BOARD_DRAWN]) };
  const RcPrefer first = c->settings.taste.prefer == RC_PREFER_SOUND ? RC_PREFER_SOUND : RC_PREFER_PLAIN;
  r.wanted = new_routing(c, BOARD_DRAWN, c->settings.taste.prefer, c->settings.turns_apart);
  rc_use_keep_tunes(r.use);
  RcPanel *panel = rc_panel_new((RcCatalogue *const *)&c->catalogues[BOARD_DRAWN], 1, c->settings.taste);
  RcRoll *roll = roll_book(c, panel, &c->here, FALSE);
  for (guint i = 0; i < N_BOARDS; ++i) {
    r.sound[i] = new_routing(c, (BoardKind)i, first, 0);
  }
  for (guint i = 0; i < c->here.tunes->len; ++i) {
    check_tune(c, &r, i);
  }
  check_use(c, r.use, roll);
  if (c->words && c->pictures) { // which takes a while
    check_listening(c);
  }
  if (c->pictures) {
    check_pictures(c, r.use, roll);
  }
  for (guint i = 0; i < N_BOARDS; ++i) {
    free_routing(&r.sound[i]);
  }
  free_routing(&r.ease);
  free_routing(&r.wanted);
  rc_use_free(r.use);
  rc_roll_free(roll);
  rc_panel_free(panel);
}

// ---------------------------------------------------------------------------------------------------------- a case

static void
draw_settings(Case *c, Bytes *bytes)
{
  RcRollSettings *roll = &c->settings.roll;
  *roll = rc_roll_settings();
  const guint much = take(bytes, 16);
  c->words = much < 4;
  c->pictures = much == 0;
  c->up = (int)take(bytes, 12) - 5;
  c->settings.hand = (RcHand){ take(bytes, 6), 3 - take(bytes, 3) };
  c->settings.fingers = rc_fingers();
  c->settings.fingers.school = take(bytes, 2) ? RC_SCHOOL_3_2 : RC_SCHOOL_4_3;
  c->settings.taste.prefer = (RcPrefer)take(bytes, 1 + RC_PREFER_EASE);
  c->settings.turns_apart = take(bytes, 3) ? 0 : 0.5 * take(bytes, 16);
  c->settings.taste.accept = (RcVerdict)(RC_SAME + take(bytes, 5));
  roll->brisk = 1 + (double)take(bytes, 4) - (double)take(bytes, 2);
  roll->untimed = take(bytes, 4) == 3 ? RC_UNTIMED_LEAVE : RC_UNTIMED_ASSUME;
  roll->no_melody = take(bytes, 4) == 3;
  if (take(bytes, 4) == 3) {
    roll->given = (RcTempo){ RC_TEMPO_GIVEN, 30 + take(bytes, 200) };
  }
  for (guint i = 0; i < N_MELODIES; ++i) {
    const guint some = take(bytes, 256);
    c->melodies[i] = take(bytes, 2) ? (RcPcSet)(some | (take(bytes, 16) << 8U)) : 0;
  }
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  Case c = { .up = 0 };
  Bytes bytes = { data, data + size };
  at_hand = &c;
  draw_settings(&c, &bytes);
  c.board = bytes;
  make_boards(&c);
  make_book(&c, &c.here, 0);
  make_book(&c, &c.there, c.up);
  check_rolls(&c);
  if (c.words) {
    check_layout_words(&c);
    check_tunes(&c);
  }
  check_routes(&c);
  clear_book(&c.here);
  clear_book(&c.there);
  for (guint i = 0; i < N_BOARDS; ++i) {
    rc_catalogue_free(c.catalogues[i]);
    rc_layout_free(c.layouts[i]);
    if (c.texts[i]) {
      g_string_free(c.texts[i], TRUE);
    }
  }
  at_hand = NULL;
  return 0;
}

#ifdef DRAWN_HERE

int
main(int argc, char **argv)
{
  enum { MOST_BYTES = 800 };
  const guint cases = argc > 1 ? (guint)strtoul(argv[1], NULL, 10) : 100;
  const guint32 seed = argc > 2 ? (guint32)strtoul(argv[2], NULL, 10) : 1;
  for (guint i = 0; i < cases; ++i) {
    uint8_t bytes[MOST_BYTES];
    GRand *random = g_rand_new_with_seed(seed + i);
    const guint n = (guint)g_rand_int_range(random, MOST_BYTES / 10, MOST_BYTES);
    for (guint b = 0; b < n; ++b) {
      bytes[b] = (uint8_t)g_rand_int_range(random, 0, 256);
    }
    g_rand_free(random);
    seed_at_hand = seed + i;
    LLVMFuzzerTestOneInput(bytes, n);
  }
  printf("%u cases hold\n", cases);
  return 0;
}

#endif
