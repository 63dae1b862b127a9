// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Books beside each other: a row a book, what it lacks and which of its tunes it leaves out.

#include "report/format.h"
#include "report/lack_text.h"
#include "report/wide_text.h"

#define U64 G_GUINT64_FORMAT

enum { MOST_LACKS = 12, MOST_TITLES = 6, BOOK_WIDTH = 42 };

static const char *
layout_name(const RcBooks *books)
{
  return books->rolled->boards->layouts[0]->name;
}

static RcTicks
carried(const RcBooks *books, const RcCounts *counts)
{
  return rc_counts_carried(counts, rc_roll_accept(books->rolled->roll));
}

// ------------------------------------------------------------------------------------------------------------ table

// The end of a long name tells more than its beginning.
static void
append_file(GString *out, const char *file)
{
  const glong length = g_utf8_strlen(file, -1);
  char *end = length > BOOK_WIDTH ? g_strconcat("\u2026", g_utf8_offset_to_pointer(file, length - BOOK_WIDTH + 1), NULL)
                                  : g_strdup(file);
  rc_append_padded(out, end, BOOK_WIDTH);
  g_free(end);
}

static void
append_row(GString *out, const RcBooks *books, const char *name, const RcCounts *counts)
{
  char percent[8];
  rc_percent_text(percent, carried(books, counts), rc_counts_whole(counts));
  append_file(out, name);
  g_string_append_printf(out, " %5" U64 " %6" U64 " %5" U64 " %5" U64 " %4" U64 " %5s\n", counts->tunes, counts->native,
                         counts->playable, counts->one_short, counts->tunes - counts->playable - counts->one_short,
                         percent);
}

// "B7 x4, G#m", at most `most`.
static char *
lacks_text(const RcBook *book, guint most)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < MIN(book->n_lacks, most); ++i) {
    const RcLack *lack = &book->lacks[i];
    char *name = rc_lack_name(lack, RC_SIGNS_ASCII);
    g_string_append_printf(text, "%s%s", i ? ", " : "", name);
    if (lack->times > 1) {
      g_string_append_printf(text, " x%" U64, lack->times);
    }
    g_free(name);
  }
  if (book->n_lacks > most) {
    g_string_append_printf(text, " and %u more", book->n_lacks - most);
  }
  return g_string_free(text, FALSE);
}

// The tunes from `from` on and before `to`.
static char *
titles_text(const RcTune **tunes, guint from, guint to, guint most)
{
  GString *text = g_string_new(NULL);
  const guint end = to - from > most ? from + most : to;
  for (guint i = from; i < end; ++i) {
    g_string_append_printf(text, "%s%s", i > from ? "; " : "", tunes[i]->title);
  }
  if (end < to) {
    g_string_append_printf(text, "; and %u more", to - end);
  }
  return g_string_free(text, FALSE);
}

static void
append_line(GString *out, const char *begins, char *rest)
{
  if (*rest) {
    char *line = g_strconcat(begins, rest, NULL);
    g_string_append(out, "    ");
    rc_append_wrapped(out, line, 6);
    g_free(line);
  }
  g_free(rest);
}

static void
append_book(GString *out, const RcBooks *books, const RcBook *book)
{
  append_row(out, books, book->file, &book->counts);
  append_line(out, "lacks ", lacks_text(book, MOST_LACKS));
  append_line(out, "one short: ", titles_text(book->left_out, 0, book->n_one_short, MOST_TITLES));
  append_line(out, "does not play: ", titles_text(book->left_out, book->n_one_short, book->n_left_out, MOST_TITLES));
}

static void
append_notes(GString *out, const RcBooks *books)
{
  const RcTiming timing = rc_roll_timing(books->rolled->roll);
  char *timed = g_strchomp(rc_timing_text(books->rolled->roll));
  GString *text = g_string_new(NULL);
  g_string_append_printf(
    text,
    "On %s; the book with the smallest share of tunes that play comes first. A tune plays when "
    "each of its chords has grade %s or better; it is one short where a single different chord keeps it from that. A "
    "chord is counted as often as it is played where it is lacking, the one lacking longest "
    "first.",
    layout_name(books), rc_verdict_name(rc_roll_accept(books->rolled->roll)));
  if (timing.chordless) {
    g_string_append_printf(text, " %" U64 " tune%s without chords %s not counted.", timing.chordless,
                           timing.chordless == 1 ? "" : "s", timing.chordless == 1 ? "is" : "are");
  }
  rc_append_left_out(text, &books->rolled->intake);
  rc_append_wrapped(out, text->str, 0);
  if (*timed) {
    rc_append_wrapped(out, timed, 0);
  }
  g_string_free(text, TRUE);
  g_free(timed);
}

static void
append_table(GString *out, const RcBooks *books)
{
  const RcCounts all = rc_roll_counts(books->rolled->roll, 0);
  rc_append_padded(out, "book", BOOK_WIDTH);
  g_string_append(out, " tunes native plays short  not time%\n");
  for (guint i = 0; i < books->n; ++i) {
    append_book(out, books, &books->books[i]);
  }
  if (books->n > 1) {
    append_row(out, books, "all", &all);
  }
  g_string_append_c(out, '\n');
  rc_append_wide(out, books->rolled->boards->layouts[0], books->wide, books->n_wide);
  append_notes(out, books);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv(GString *out, const RcBooks *books)
{
  rc_append_csv(out, "book", "layout", "tunes", "native", "playable", "one_short", "quarters", "carried", "lacking",
                "lacks", "left_out", NULL);
  for (guint i = 0; i < books->n; ++i) {
    const RcBook *book = &books->books[i];
    char *fields[] = {
      g_strdup_printf("%" U64, book->counts.tunes),
      g_strdup_printf("%" U64, book->counts.native),
      g_strdup_printf("%" U64, book->counts.playable),
      g_strdup_printf("%" U64, book->counts.one_short),
      rc_quarters_text(rc_counts_ticks(&book->counts)),
      rc_quarters_text(rc_measured_ticks(&book->counts, carried(books, &book->counts))),
      g_strdup_printf("%u", book->n_lacks),
      lacks_text(book, book->n_lacks),
      titles_text(book->left_out, 0, book->n_left_out, book->n_left_out),
    };
    rc_append_csv(out, book->file, layout_name(books), fields[0], fields[1], fields[2], fields[3], fields[4], fields[5],
                  fields[6], fields[7], fields[8], NULL);
    for (guint j = 0; j < G_N_ELEMENTS(fields); ++j) {
      g_free(fields[j]);
    }
  }
}

static void
add_lack(GString *json, const RcLack *lack)
{
  char *name = rc_lack_name(lack, RC_SIGNS_ASCII);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", name);
  rc_json_number(json, "times", (gint64)lack->times);
  rc_json_quarters(json, "quarters", lack->ticks);
  rc_json_text(json, "grade", rc_verdict_name(lack->answer.verdict));
  rc_json_end_object(json);
  g_free(name);
}

static void
add_book(GString *json, const RcBooks *books, const RcBook *book)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "book", book->file);
  rc_json_counts(json, &book->counts);
  rc_json_tunes(json, &book->counts);
  rc_json_quarters(json, "carried", rc_measured_ticks(&book->counts, carried(books, &book->counts)));
  rc_json_begin_array(json, "lacks");
  for (guint i = 0; i < book->n_lacks; ++i) {
    add_lack(json, &book->lacks[i]);
  }
  rc_json_end_array(json);
  rc_json_begin_array(json, "left_out");
  for (guint i = 0; i < book->n_left_out; ++i) {
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "title", book->left_out[i]->title);
    rc_json_number(json, "line", book->left_out[i]->line);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
}

static void
append_json(GString *json, const RcBooks *books)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "layout", layout_name(books));
  rc_json_begin_array(json, "books");
  for (guint i = 0; i < books->n; ++i) {
    add_book(json, books, &books->books[i]);
  }
  rc_json_end_array(json);
  rc_json_wide(json, books->rolled->boards->layouts[0], books->wide, books->n_wide);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_books(GString *out, RcTextFormat format, const RcBooks *books)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, books);
    break;
  case RC_TEXT_CSV:
    append_csv(out, books);
    break;
  case RC_TEXT_JSON:
    append_json(out, books);
    break;
  }
}
