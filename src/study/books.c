// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Books beside each other on one keyboard: a book is the tunes of one file.

#include "rowcall/study.h"

#include <string.h>

// A book while its tunes are added.
typedef struct {
  RcRoll *roll;
  GPtrArray *one_short; // of RcTune *, borrowed
  GPtrArray *left_out;  // the others that are not playable
  RcBook book;
} Gathered;

static Gathered *
find_book(GPtrArray *books, const RcRolled *rolled, const char *file)
{
  for (guint i = books->len; i-- > 0;) { // tunes come file after file
    Gathered *book = g_ptr_array_index(books, i);
    if (!strcmp(book->book.file, file)) {
      return book;
    }
  }
  Gathered *book = g_new0(Gathered, 1);
  book->roll = rc_roll_new(rolled->boards->panel, rolled->boards->settings.route.roll);
  book->one_short = g_ptr_array_new();
  book->left_out = g_ptr_array_new();
  book->book.file = file;
  g_ptr_array_add(books, book);
  return book;
}

static void
add_tune(Gathered *book, const RcBoards *boards, const RcTune *tune)
{
  RcCounts *counts = g_new(RcCounts, boards->n);
  rc_roll_add(book->roll, tune);
  ++book->book.n_tunes;
  rc_panel_counts(boards->panel, &boards->settings.route.roll, tune, counts);
  if (counts[0].tunes && !counts[0].playable) {
    g_ptr_array_add(counts[0].one_short ? book->one_short : book->left_out, (gpointer)tune);
  }
  g_free(counts);
}

// What the book comes to; frees what it was gathered in.
static RcBook
end_book(Gathered *gathered)
{
  RcBook book = gathered->book;
  book.counts = rc_roll_counts(gathered->roll, 0);
  book.lacks = rc_lacks_unplayable(gathered->roll, 0, &book.n_lacks);
  book.n_one_short = gathered->one_short->len;
  g_ptr_array_extend_and_steal(gathered->one_short, gathered->left_out);
  book.n_left_out = gathered->one_short->len;
  book.left_out = (const RcTune **)g_ptr_array_free(gathered->one_short, FALSE);
  rc_roll_free(gathered->roll);
  g_free(gathered);
  return book;
}

static double
share(guint64 part, guint64 whole)
{
  return whole ? (double)part / (double)whole : 2; // books without chords last
}

// Books of which fewer tunes play come first, of these the ones of whose time less is carried.
static int
compare_books(gconstpointer a, gconstpointer b, gpointer data)
{
  const RcVerdict accept = *(const RcVerdict *)data;
  const RcCounts *left = &((const RcBook *)a)->counts;
  const RcCounts *right = &((const RcBook *)b)->counts;
  const double tunes = share(left->playable, left->tunes) - share(right->playable, right->tunes);
  const double time = share((guint64)rc_counts_carried(left, accept), (guint64)rc_counts_whole(left)) -
                      share((guint64)rc_counts_carried(right, accept), (guint64)rc_counts_whole(right));
  return tunes < 0 || tunes > 0 ? (tunes > 0) - (tunes < 0) : (time > 0) - (time < 0);
}

static void
find_wide(RcBooks *books)
{
  const RcRolled *rolled = books->rolled;
  RcWideTally *tally = rc_wide_tally_new(rolled->boards->layouts, 1, &rolled->boards->settings);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    rc_wide_tally_add(tally, rolled->tunes[i]);
  }
  books->wide = rc_wide_tally_grips(tally, 0, &books->n_wide);
  rc_wide_tally_free(tally);
}

RcBooks *
rc_books_new(const RcRolled *rolled)
{
  RcVerdict accept = rc_roll_accept(rolled->roll);
  GPtrArray *gathered = g_ptr_array_new();
  RcBooks *books = g_new0(RcBooks, 1);
  for (guint i = 0; i < rolled->n_tunes; ++i) {
    add_tune(find_book(gathered, rolled, rolled->tunes[i]->file), rolled->boards, rolled->tunes[i]);
  }
  books->rolled = rolled;
  books->n = gathered->len;
  books->books = g_new0(RcBook, MAX(books->n, 1));
  for (guint i = 0; i < books->n; ++i) {
    books->books[i] = end_book(g_ptr_array_index(gathered, i));
  }
  g_qsort_with_data(books->books, (int)books->n, sizeof *books->books, compare_books, &accept);
  find_wide(books);
  g_ptr_array_unref(gathered);
  return books;
}

void
rc_books_free(RcBooks *books)
{
  if (books) {
    for (guint i = 0; i < books->n; ++i) {
      g_free(books->books[i].lacks);
      g_free(books->books[i].left_out);
    }
    g_free(books->books);
    g_free(books->wide);
    g_free(books);
  }
}
