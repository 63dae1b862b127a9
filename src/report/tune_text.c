// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/doubt_text.h"
#include "report/format.h"
#include "report/need_text.h"
#include "report/song_lines.h"
#include "report/written_json.h"

#include <math.h>
#include <string.h>

#define U64 G_GUINT64_FORMAT

static gboolean
is_substitute(RcVerdict verdict)
{
  return verdict >= RC_SAME && verdict <= RC_BORROWED;
}

// ------------------------------------------------------------------------------------------------------- the heading

static const char *const tempo_sources[] = {
  [RC_TEMPO_NONE] = "untimed",
  [RC_TEMPO_STATED] = "as stated",
  [RC_TEMPO_RHYTHM] = "assumed from the rhythm",
  [RC_TEMPO_TITLE] = "assumed from the title",
  [RC_TEMPO_GROUP] = "assumed from the group",
  [RC_TEMPO_FILE] = "assumed from the file's name",
  [RC_TEMPO_METER] = "assumed from the meter",
  [RC_TEMPO_GIVEN] = "as given for all tunes",
};

static const char *const tempo_names[] = {
  [RC_TEMPO_NONE] = "none",   [RC_TEMPO_STATED] = "stated", [RC_TEMPO_RHYTHM] = "rhythm", [RC_TEMPO_TITLE] = "title",
  [RC_TEMPO_GROUP] = "group", [RC_TEMPO_FILE] = "file",     [RC_TEMPO_METER] = "meter",   [RC_TEMPO_GIVEN] = "given",
};

static void
append_heading(GString *out, const RcTune *tune, const RcChart *chart)
{
  char *key = rc_tune_key(tune, RC_SIGNS_ASCII);
  char *place = g_strdup_printf("%s:%u", tune->file, tune->line);
  GString *line = g_string_new(NULL);
  g_string_append_printf(line, "%s, %u/%u, ", key, rc_tune_setting(tune, 0)->meter.beats,
                         rc_tune_setting(tune, 0)->meter.unit);
  if (chart->tempo.source != RC_TEMPO_NONE && !tune->unmeasured) {
    char *tempo = rc_tempo_text(chart->tempo, rc_tune_setting(tune, 0)->meter);
    g_string_append_printf(line, "%s, ", tempo);
    g_free(tempo);
  }
  g_string_append(line, tune->unmeasured ? "chords without lengths" : tempo_sources[chart->tempo.source]);
  if (!tune->unmeasured && rc_tempo_is_assumed(chart->tempo) && tune->dance) {
    g_string_append_printf(line, " (%s)", tune->dance);
  }
  rc_append_wrapped(out, tune->title, 0);
  rc_append_wrapped(out, line->str, 0);
  g_string_append_printf(out, "%s\n", place);
  g_string_free(line, TRUE);
  g_free(place);
  g_free(key);
}

static void
append_verdict(GString *out, const RcLayout *layout, const RcChart *chart)
{
  const RcCounts *counts = &chart->counts;
  const guint64 chords = rc_counts_chords(counts);
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "On %s: ", layout->name);
  if (!counts->tunes) {
    g_string_append(text, "the tune holds no chord.");
  } else if (counts->native) {
    g_string_append_printf(text, "%" U64 " chord%s as played, %s.", chords, chords == 1 ? "" : "s",
                           chords == 1 ? "native" : "all native");
  } else {
    g_string_append_printf(text, "%" U64 " chord%s as played", chords, chords == 1 ? "" : "s");
    const char *between = ": ";
    for (guint i = 0; i < RC_N_VERDICTS; ++i) {
      if (counts->chords[i]) {
        g_string_append_printf(text, "%s%" U64 " %s", between, counts->chords[i], rc_verdict_name((RcVerdict)i));
        between = ", ";
      }
    }
    g_string_append(text, counts->playable ? ". Playable." : ". Not playable throughout.");
  }
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
}

// ------------------------------------------------------------------------------------------------------- bar by bar

typedef struct {
  GString *chords;
  GString *marks; // under the chords
} Cell;

static const char *
mark_of(RcVerdict verdict)
{
  switch (verdict) {
  case RC_NATIVE:
    return "";
  case RC_IMPOSSIBLE:
    return "x";
  case RC_UNREAD:
    return "?";
  default:
    return rc_verdict_name(verdict);
  }
}

static RcTicks
common_share(const RcTune *tune, const RcBar *bar)
{
  RcTicks share = 0;
  for (guint i = 0; i < bar->count; ++i) {
    RcTicks a = g_array_index(tune->events, RcEvent, bar->first + i).length;
    while (a) { // greatest common divisor
      const RcTicks rest = share % a;
      share = a;
      a = rest;
    }
  }
  return share;
}

static void
append_column(GString *text, const char *word, gsize column)
{
  const gsize length = (gsize)g_utf8_strlen(text->str, -1);
  if (!*word) {
    return;
  }
  g_string_append_printf(text, "%*s%s", (int)(column > length ? column - length : 0), "", word);
}

// Chords as they share the bar: a dot for each further share, unless that would be many.
static Cell
make_cell(const RcTune *tune, const RcChart *chart, const RcBar *bar)
{
  enum { MANY_SHARES = 8, MOST_CHORDS = 200 };
  Cell cell = { g_string_new(NULL), g_string_new(NULL) };
  if (bar->count > MOST_CHORDS) { // they do not fit on a line
    g_string_printf(cell.chords, "%u chords", bar->count);
    return cell;
  }
  const RcTicks share = common_share(tune, bar);
  RcTicks length = 0;
  for (guint i = 0; i < bar->count; ++i) {
    length += g_array_index(tune->events, RcEvent, bar->first + i).length;
  }
  const gboolean dots = bar->count > 1 && share && length / share <= MANY_SHARES;
  for (guint i = 0; i < bar->count; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, bar->first + i);
    g_string_append(cell.chords, cell.chords->len ? " " : "");
    while (cell.marks->len && g_utf8_strlen(cell.chords->str, -1) <= g_utf8_strlen(cell.marks->str, -1)) {
      g_string_append_c(cell.chords, ' ');
    }
    char *mark =
      g_strconcat(mark_of(chart->verdicts[bar->first + i]), rc_bellows_arrow(chart->bellows[bar->first + i]), NULL);
    append_column(cell.marks, mark, (gsize)g_utf8_strlen(cell.chords->str, -1));
    g_free(mark);
    g_string_append(cell.chords, rc_tune_symbol(tune, event->symbol)->text);
    for (RcTicks more = 1; dots && more < event->length / share; ++more) {
      g_string_append(cell.chords, " .");
    }
  }
  return cell;
}

static void
free_cell(gpointer data)
{
  Cell *cell = data;
  g_string_free(cell->chords, TRUE);
  g_string_free(cell->marks, TRUE);
}

static gboolean
any_mark(const GArray *cells)
{
  for (guint i = 0; i < cells->len; ++i) {
    if (g_array_index(cells, Cell, i).marks->len) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_cells(GString *out, const char *label, const GArray *cells, guint width)
{
  rc_append_padded(out, label, 5);
  for (guint i = 0; i < cells->len; ++i) {
    g_string_append(out, "| ");
    rc_append_padded(out, g_array_index(cells, Cell, i).chords->str, width + 1);
  }
  g_string_append(out, "|\n");
  if (any_mark(cells)) {
    rc_append_padded(out, "", 5);
    for (guint i = 0; i < cells->len; ++i) {
      g_string_append(out, "  ");
      rc_append_padded(out, g_array_index(cells, Cell, i).marks->str, width + 1);
    }
    while (out->str[out->len - 1] == ' ') {
      g_string_truncate(out, out->len - 1);
    }
    g_string_append_c(out, '\n');
  }
}

static guint
bars_a_line(guint width)
{
  const guint fit = MAX((RC_COLUMNS - 6) / (width + 3), 1);
  return fit >= 8 ? 8 : fit >= 4 ? 4 : fit;
}

static Cell
cell_of(const RcTune *tune, const RcChart *chart, const RcPart *part, guint bar)
{
  return make_cell(tune, chart, &g_array_index(tune->bars, RcBar, part->first + bar));
}

static guint
widest_cell(const RcTune *tune, const RcChart *chart, const RcPart *part)
{
  guint width = 3;
  for (guint i = 0; i < part->count; ++i) {
    Cell cell = cell_of(tune, chart, part, i);
    width = MAX(width, (guint)g_utf8_strlen(cell.chords->str, -1));
    free_cell(&cell);
  }
  return MIN(width, RC_COLUMNS - 9);
}

// Cells are made twice and kept for a line, since a part may have a million.
static void
append_part(GString *out, const RcTune *tune, const RcChart *chart, const RcPart *part)
{
  GArray *cells = g_array_new(FALSE, FALSE, sizeof(Cell));
  g_array_set_clear_func(cells, free_cell);
  const guint width = widest_cell(tune, chart, part);
  const guint step = bars_a_line(width);
  for (guint i = 0; i < part->count; i += step) {
    for (guint j = i; j < MIN(i + step, part->count); ++j) {
      const Cell cell = cell_of(tune, chart, part, j);
      g_array_append_val(cells, cell);
    }
    append_cells(out, i ? "" : part->label, cells, width);
    g_array_set_size(cells, 0);
  }
  g_array_unref(cells);
}

// ------------------------------------------------------------------------------------------------------------ words

enum { SONG_INDENT = 5, SONG_WIDTH = RC_COLUMNS - SONG_INDENT - 1 };

// Rows of a line of words, one above another.
typedef struct {
  GString *chords;
  GString *marks;
  GString *words;
  gboolean cut; // the last word goes on
} Rows;

static void
append_row(GString *out, GString *row)
{
  while (row->len && row->str[row->len - 1] == ' ') {
    g_string_truncate(row, row->len - 1);
  }
  if (row->len) {
    g_string_append_printf(out, "%*s%s\n", SONG_INDENT, "", row->str);
  }
  g_string_truncate(row, 0);
}

static void
append_rows(GString *out, Rows *rows)
{
  append_row(out, rows->chords);
  append_row(out, rows->marks);
  append_row(out, rows->words);
  rows->cut = FALSE;
}

static gsize
letters(const char *text, gsize length)
{
  return (gsize)g_utf8_strlen(text, (gssize)length);
}

// Fills the row up to a column; within a word with dashes.
static void
fill_row(GString *row, gsize column, char filler)
{
  for (gsize n = letters(row->str, row->len); n < column; ++n) {
    g_string_append_c(row, filler);
  }
}

// The column after what is in a row, and after a blank where there is anything.
static gsize
free_column(const GString *row)
{
  return row->len ? letters(row->str, row->len) + 1 : 0;
}

static void
append_chord_over(Rows *rows, const RcTune *tune, const RcChart *chart, guint event, gsize column)
{
  const char *mark = mark_of(chart->verdicts[event]);
  const char *arrow = rc_bellows_arrow(chart->bellows[event]);
  fill_row(rows->chords, column, ' ');
  g_string_append(rows->chords, rc_tune_symbol(tune, g_array_index(tune->events, RcEvent, event).symbol)->text);
  if (*mark || *arrow) {
    fill_row(rows->marks, column, ' ');
    g_string_append_printf(rows->marks, "%s%s", mark, arrow);
  }
}

// Where a word goes that needs so much room; begins new rows where there is too little.
static gsize
find_column(GString *out, Rows *rows, gboolean chord, gsize needed)
{
  gsize column = letters(rows->words->str, rows->words->len);
  if (chord) {
    column = MAX(column, MAX(free_column(rows->chords), free_column(rows->marks)));
  }
  if (column && column + needed > SONG_WIDTH) {
    append_rows(out, rows);
    return 0;
  }
  return column;
}

static void
append_stretch(GString *out, Rows *rows, const RcTune *tune, const RcChart *chart, const RcStretch *stretch)
{
  const gboolean chord = stretch->event != RC_NO_CHORD;
  const char *symbol =
    chord ? rc_tune_symbol(tune, g_array_index(tune->events, RcEvent, stretch->event).symbol)->text : "";
  char *word = g_strchomp(g_strndup(stretch->words, stretch->length));
  const gsize needed = MAX(letters(symbol, strlen(symbol)), letters(word, strlen(word)));
  const gsize column = find_column(out, rows, chord, needed);
  if (chord) {
    append_chord_over(rows, tune, chart, stretch->event, column);
  }
  fill_row(rows->words, column, rows->cut ? '-' : ' ');
  g_string_append_len(rows->words, stretch->words, (gssize)stretch->length);
  rows->cut = stretch->cut;
  g_free(word);
}

static void
append_line(GString *out, const RcTune *tune, const RcChart *chart, const RcLine *line)
{
  Rows rows = { g_string_new(NULL), g_string_new(NULL), g_string_new(NULL), FALSE };
  GArray *stretches = rc_line_stretches(tune, line);
  if (line->label) {
    rc_append_wrapped(out, line->label, 0);
  }
  for (guint i = 0; i < stretches->len; ++i) {
    append_stretch(out, &rows, tune, chart, &g_array_index(stretches, RcStretch, i));
  }
  append_rows(out, &rows);
  if (!stretches->len && !line->label) {
    g_string_append_c(out, '\n');
  }
  g_array_unref(stretches);
  g_string_free(rows.chords, TRUE);
  g_string_free(rows.marks, TRUE);
  g_string_free(rows.words, TRUE);
}

static void
append_song(GString *out, const RcTune *tune, const RcChart *chart)
{
  for (guint i = 0; i <= tune->lines->len; ++i) {
    const RcPart bars = rc_bars_before_line(tune, i);
    append_part(out, tune, chart, &bars);
    if (i < tune->lines->len) {
      append_line(out, tune, chart, &g_array_index(tune->lines, RcLine, i));
    }
  }
}

static void
append_chart(GString *out, const RcTune *tune, const RcChart *chart)
{
  if (tune->lines->len) {
    append_song(out, tune, chart);
    return;
  }
  for (guint i = 0; i < tune->parts->len; ++i) {
    append_part(out, tune, chart, &g_array_index(tune->parts, RcPart, i));
  }
}

static void
append_order(GString *out, const RcTune *tune)
{
  char *order = rc_order_text(tune);
  rc_append_wrapped(out, order, 0);
  g_free(order);
}

// --------------------------------------------------------------------------------------------------- what to press

static void
append_clause(GString *text, const char *before, char *clause)
{
  if (clause && *clause) {
    g_string_append_printf(text, "; %s%s", before, clause);
  }
  g_free(clause);
}

static char *
advice(const RcLayout *layout, const RcTune *tune, const RcNeed *need)
{
  const RcSymbol *symbol = rc_tune_symbol(tune, need->symbol);
  GString *text = g_string_new(NULL);
  if (need->answer.verdict == RC_UNREAD) {
    g_string_append_printf(text, "no chord symbol: not understood from character %ld on",
                           g_utf8_strlen(symbol->text, (gssize)symbol->stopped_at) + 1);
    return g_string_free(text, FALSE);
  }
  if (need->answer.verdict == RC_IMPOSSIBLE) {
    char *last = rc_last_resort_text(layout, &symbol->chord, RC_SIGNS_ASCII);
    g_string_append_printf(text, "no grip: %s", last);
    g_free(last);
    return g_string_free(text, FALSE);
  }
  char *press = rc_need_press(layout, need, RC_SIGNS_ASCII);
  g_string_append(text, press);
  g_free(press);
  append_clause(text, "", rc_need_differences(layout, tune, need, RC_SIGNS_ASCII));
  append_clause(text, "alternating: ", rc_need_second(layout, need, RC_SIGNS_ASCII));
  if (need->sounds.verdict < RC_IMPOSSIBLE) {
    append_clause(text, need->sounds.verdict == RC_NATIVE ? "in place of the native " : "in place of ",
                  rc_grip_describe(layout, &need->sounds.grip, RC_SIGNS_ASCII));
  }
  return g_string_free(text, FALSE);
}

static guint
longest_symbol(const RcTune *tune, const RcCards *cards)
{
  guint longest = 5;
  for (guint i = 0; i < cards->n; ++i) {
    if (cards->cards[i].lacking) {
      longest = MAX(longest, (guint)g_utf8_strlen(rc_tune_symbol(tune, cards->cards[i].symbol)->text, -1));
    }
  }
  return MIN(longest, 16);
}

// A line for each way to play the chord; where there are several, with the bars that are played so.
static void
append_card(GString *out, const RcLayout *layout, const RcTune *tune, const RcCard *card, guint width)
{
  for (guint i = 0; i < card->n; ++i) {
    const RcNeed *need = card->cases[i];
    char *what = advice(layout, tune, need);
    GString *text = g_string_new(what);
    if (card->n > 1) {
      append_clause(text, "", rc_bars_text(tune, need->bars, need->n_bars));
    }
    g_string_append(out, "  ");
    rc_append_padded(out, i ? "" : rc_tune_symbol(tune, card->symbol)->text, width);
    g_string_append_printf(out, "  %-5s %4" U64 "  ", mark_of(need->answer.verdict), need->times);
    rc_append_wrapped(out, text->str, 2 + width + 2 + 5 + 1 + 4 + 2);
    g_string_free(text, TRUE);
    g_free(what);
  }
}

static void
append_cards(GString *out, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  if (chart->counts.native || !chart->counts.tunes) {
    return;
  }
  RcCards *cards = rc_cards_new(tune, chart);
  const guint width = longest_symbol(tune, cards);
  g_string_append(out, "\n  ");
  rc_append_padded(out, "chord", width);
  g_string_append(out, "  grade times press\n");
  for (guint i = 0; i < cards->n; ++i) {
    if (cards->cards[i].lacking) {
      append_card(out, layout, tune, &cards->cards[i], width);
    }
  }
  rc_cards_free(cards);
}

// ---------------------------------------------------------------------------------------------------------- the hand

static gboolean
same_fingers(const RcNeed *a, const RcNeed *b)
{
  return a->fingers.basses[0] == b->fingers.basses[0] && a->fingers.chords[0] == b->fingers.chords[0];
}

// The native chords from `first` on that are held by the same fingers, unless one before it has said so.
static void
append_alike(GString *text, const RcLayout *layout, const RcTune *tune, const RcChart *chart, guint first)
{
  const RcNeed *needs = &g_array_index(chart->needs, RcNeed, 0);
  for (guint i = 0; i < first; ++i) {
    if (needs[i].answer.verdict == RC_NATIVE && same_fingers(&needs[i], &needs[first])) {
      return;
    }
  }
  g_string_append_printf(text, "%s %u and %u:", text->str[text->len - 1] == ':' ? "" : ";",
                         rc_finger_of_player(layout, needs[first].fingers.basses[0]),
                         rc_finger_of_player(layout, needs[first].fingers.chords[0]));
  for (guint i = first; i < chart->needs->len; ++i) {
    if (needs[i].answer.verdict == RC_NATIVE && same_fingers(&needs[i], &needs[first])) {
      g_string_append_printf(text, " %s%s", rc_tune_symbol(tune, needs[i].symbol)->text,
                             rc_bellows_arrow(rc_grip_bellows(layout, &needs[i].answer.grip)));
    }
  }
}

static void
append_native_fingers(GString *out, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  GString *text = g_string_new("Native, fingers of bass and chord:");
  for (guint i = 0; i < chart->needs->len; ++i) {
    if (g_array_index(chart->needs, RcNeed, i).answer.verdict == RC_NATIVE) {
      append_alike(text, layout, tune, chart, i);
    }
  }
  if (chart->counts.chords[RC_NATIVE]) {
    rc_append_wrapped(out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

// "1.5 m", or "48 cm" of less than a metre; a new string.
static char *
way_text(double mm)
{
  char metres[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(metres, sizeof metres, "%.1f", mm / 1000);
  return mm < 1000 ? g_strdup_printf("%.0f cm", mm / 10) : g_strdup_printf("%s m", metres);
}

static void
append_travel(GString *out, const RcLayout *layout, const RcChart *chart)
{
  GString *text = g_string_new(NULL);
  if (chart->longest > 0) {
    char *way = way_text(chart->travel);
    g_string_append_printf(text, "The hand travels %s, at most %.0f mm at once", way, chart->longest);
    g_free(way);
  } else {
    g_string_append(text, "The hand stays where it is");
  }
  if (fabs(chart->sounds - chart->travel) >= 50) {
    char *way = way_text(chart->sounds);
    g_string_append_printf(text, "; by sound alone it would travel %s", way);
    g_free(way);
  }
  g_string_append_c(text, '.');
  if (rc_layout_has_bellows(layout)) {
    char *turns = rc_turns_text(chart);
    g_string_append_printf(text, " %s", turns);
    g_free(turns);
  }
  rc_append_wrapped(out, text->str, 0);
  g_string_free(text, TRUE);
}

static gboolean
is_wide(const RcChart *chart)
{
  for (guint i = 0; i < chart->hard->len; ++i) {
    if (g_array_index(chart->hard, RcHardSpot, i).kind == RC_HARD_WIDE) {
      return TRUE;
    }
  }
  return FALSE;
}

static void
append_note(GString *out, const RcLayout *layout, const RcChart *chart)
{
  char *note = rc_board_note(layout, chart->melody);
  if (*note) {
    rc_append_wrapped(out, note, 0);
  }
  g_free(note);
}

static void
append_hard(GString *out, const RcTune *tune, const RcChart *chart)
{
  enum { MOST = 8 };
  GPtrArray *texts = rc_hard_texts(tune, chart, RC_SIGNS_ASCII);
  for (guint i = 0; i < MIN(texts->len, MOST); ++i) {
    g_string_append(out, i ? "            " : "Hard spots: ");
    rc_append_wrapped(out, g_ptr_array_index(texts, i), 12);
  }
  if (texts->len > MOST) {
    g_string_append_printf(out, "            ... and %u more; json holds all\n", texts->len - MOST);
  }
  if (is_wide(chart)) {
    rc_append_wrapped(out, rc_hint_text(RC_HINT_WIDE), 0);
  }
  g_ptr_array_unref(texts);
}

static void
append_doubts(GString *out, const RcTune *tune)
{
  enum { MOST = 8 };
  GPtrArray *texts = rc_doubt_texts(tune, TRUE, RC_SIGNS_ASCII);
  for (guint i = 0; i < MIN(texts->len, MOST); ++i) {
    g_string_append(out, i ? "         " : "Remarks: ");
    rc_append_wrapped(out, g_ptr_array_index(texts, i), 9);
  }
  if (texts->len > MOST) {
    g_string_append_printf(out, "         ... and %u more; json holds all\n", texts->len - MOST);
  }
  g_ptr_array_unref(texts);
}

static void
append_table(GString *out, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  append_heading(out, tune, chart);
  append_verdict(out, layout, chart);
  g_string_append_c(out, '\n');
  append_chart(out, tune, chart);
  append_order(out, tune);
  append_doubts(out, tune);
  append_cards(out, layout, tune, chart);
  if (chart->counts.tunes) {
    g_string_append_c(out, '\n');
    append_native_fingers(out, layout, tune, chart);
    append_travel(out, layout, chart);
    append_hard(out, tune, chart);
    append_note(out, layout, chart);
  }
}

// ------------------------------------------------------------------------------------------------------------ CSV

static void
append_csv_need(GString *out, const RcLayout *layout, const RcTune *tune, const RcNeed *need)
{
  const RcChord *chord = &rc_tune_symbol(tune, need->symbol)->chord;
  const gboolean has_grip = need->answer.verdict < RC_IMPOSSIBLE;
  char *line = g_strdup_printf("%u", tune->line);
  char *times = g_strdup_printf("%" U64, need->times);
  char *quarters = rc_quarters_text(need->ticks);
  char *press = has_grip ? rc_need_press(layout, need, RC_SIGNS_ASCII) : g_strdup("");
  char *second = rc_need_second(layout, need, RC_SIGNS_ASCII);
  char *missing =
    rc_tones_text(chord, rc_tune_setting(tune, 0)->key, need->answer.grading.missing, RC_SIGNS_ASCII, " ");
  char *added = rc_tones_text(chord, rc_tune_setting(tune, 0)->key, need->answer.grading.foreign, RC_SIGNS_ASCII, " ");
  rc_append_csv(out, tune->file, line, tune->title, layout->name, rc_tune_symbol(tune, need->symbol)->text, times,
                quarters, rc_verdict_name(need->answer.verdict), press, missing, added, second ? second : "", NULL);
  g_free(line);
  g_free(times);
  g_free(quarters);
  g_free(press);
  g_free(second);
  g_free(missing);
  g_free(added);
}

// ----------------------------------------------------------------------------------------------------------- JSON

static void
add_fingers(GString *json, const RcLayout *layout, const RcNeed *need)
{
  rc_json_fingers(json, layout, &need->answer.grip, &need->fingers);
  if (!need->second.found) {
    rc_json_null(json, "alternating");
    return;
  }
  rc_json_begin_object(json, "alternating");
  rc_json_button(json, "bass", layout, need->second.button);
  rc_json_number(json, "finger", rc_finger_of_player(layout, need->second.finger));
  rc_json_end_object(json);
}

static void
add_hard(GString *json, const RcTune *tune, const RcChart *chart)
{
  rc_json_begin_array(json, "hard");
  for (guint i = 0; i < chart->hard->len; ++i) {
    static const char *const kinds[] = { [RC_HARD_LEAP] = "leap", [RC_HARD_WIDE] = "wide", [RC_HARD_TURN] = "turn" };
    const RcHardSpot *spot = &g_array_index(chart->hard, RcHardSpot, i);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "kind", kinds[spot->kind]);
    rc_json_number(json, "bar", spot->bar + 1);
    rc_json_text(json, "chord", rc_tune_symbol(tune, spot->to)->text);
    if (spot->kind == RC_HARD_TURN) {
      rc_json_number(json, "milliseconds", (gint64)(spot->seconds * 1000 + 0.5));
    } else {
      rc_json_number(json, "mm", (gint64)(spot->mm + 0.5));
    }
    rc_json_number(json, "times", (gint64)spot->times);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
add_need(GString *json, const RcLayout *layout, const RcTune *tune, const RcNeed *need)
{
  const RcSymbol *symbol = rc_tune_symbol(tune, need->symbol);
  const RcAnswer *answer = &need->answer;
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", symbol->text);
  rc_json_begin_array(json, "bars");
  for (guint i = 0; i < need->n_bars; ++i) {
    rc_json_number(json, NULL, need->bars[i] + 1);
  }
  rc_json_end_array(json);
  rc_json_text(json, "verdict", is_substitute(answer->verdict) ? "substitutable" : rc_verdict_name(answer->verdict));
  rc_json_number(json, "times", (gint64)need->times);
  rc_json_quarters(json, "quarters", need->ticks);
  if (need->pushed || need->pulled) {
    rc_json_number(json, "pushed", (gint64)need->pushed);
    rc_json_number(json, "pulled", (gint64)need->pulled);
  }
  if (answer->verdict < RC_IMPOSSIBLE) {
    char *press = rc_grip_describe(layout, &answer->grip, RC_SIGNS_UNICODE);
    rc_json_text(json, "press", press);
    g_free(press);
    rc_json_grip(json, layout, &answer->grip);
    rc_json_text(json, "grade", rc_verdict_name(answer->verdict));
    rc_json_likeness(json, answer->likeness);
    rc_json_tones(json, "kept", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.kept);
    rc_json_tones(json, "missing", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.missing);
    rc_json_tones(json, "added", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.foreign);
    rc_json_tones(json, "melody", &symbol->chord, rc_tune_setting(tune, 0)->key, answer->grading.helped);
    add_fingers(json, layout, need);
  }
  rc_json_end_object(json);
}

// By written bar, "push", "pull", "both" where the playings differ, or null, for each chord of it.
static void
add_bellows(GString *json, const RcTune *tune, const RcChart *chart)
{
  rc_json_begin_array(json, "bellows");
  for (guint i = 0; i < tune->bars->len; ++i) {
    const RcBar *bar = &g_array_index(tune->bars, RcBar, i);
    rc_json_begin_array(json, NULL);
    for (guint j = 0; j < bar->count; ++j) {
      const guint bellows = chart->bellows[bar->first + j];
      if (bellows) {
        rc_json_text(json, NULL, rc_bellows_name((RcBellows)bellows));
      } else {
        rc_json_null(json, NULL);
      }
    }
    rc_json_end_array(json);
  }
  rc_json_end_array(json);
}

// What may be meant otherwise.
static void
add_remarks(GString *json, const RcTune *tune)
{
  GArray *doubts = rc_tune_doubts(tune);
  rc_json_begin_array(json, "remarks");
  for (guint i = 0; i < doubts->len; ++i) {
    const RcDoubt *doubt = &g_array_index(doubts, RcDoubt, i);
    const gboolean of_key = doubt->kind == RC_DOUBT_KEY;
    char *meant = of_key ? rc_key_name(doubt->key, RC_SIGNS_ASCII) : rc_chord_name(&doubt->meant, RC_SIGNS_ASCII);
    char *text = rc_doubt_text(tune, doubt, RC_SIGNS_ASCII);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "kind", of_key ? "key" : "chord");
    rc_json_number(json, "line", doubt->line);
    rc_json_number(json, "column", doubt->column);
    rc_json_number(json, "bar", doubt->bar + 1);
    rc_json_text(json, "chord", rc_tune_symbol(tune, doubt->symbol)->text);
    rc_json_text(json, "meant", meant);
    rc_json_text(json, "text", text);
    rc_json_end_object(json);
    g_free(text);
    g_free(meant);
  }
  rc_json_end_array(json);
  g_array_unref(doubts);
}

static void
append_json(GString *json, const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  char *key = rc_key_name(rc_tune_setting(tune, 0)->key, RC_SIGNS_ASCII);
  char *meter = g_strdup_printf("%u/%u", rc_tune_setting(tune, 0)->meter.beats, rc_tune_setting(tune, 0)->meter.unit);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "title", tune->title);
  rc_json_text(json, "file", tune->file);
  rc_json_number(json, "line", tune->line);
  rc_json_text(json, "key", key);
  rc_json_text(json, "key_source", rc_tune_key_source(tune));
  rc_json_text(json, "meter", meter);
  rc_json_quarters(json, "beat", rc_meter_beat(rc_tune_setting(tune, 0)->meter));
  rc_json_decimal(json, "beats_a_minute",
                  chart->tempo.quarters * (double)RC_QUARTER / (double)rc_meter_beat(rc_tune_setting(tune, 0)->meter));
  rc_json_decimal(json, "quarters_a_minute", chart->tempo.quarters);
  rc_json_text(json, "tempo", tempo_names[chart->tempo.source]);
  rc_json_boolean(json, "lengths", !tune->unmeasured);
  rc_json_counts(json, &chart->counts);
  rc_json_boolean(json, "native", chart->counts.native > 0);
  rc_json_boolean(json, "playable", chart->counts.playable > 0);
  rc_json_number(json, "travel_mm", (gint64)(chart->travel + 0.5));
  if (rc_layout_has_bellows(layout)) {
    rc_json_number(json, "reversals", chart->reversals);
    rc_json_number(json, "hasty", chart->hasty);
    add_bellows(json, tune, chart);
  }
  rc_json_written(json, tune, chart);
  add_hard(json, tune, chart);
  add_remarks(json, tune);
  rc_json_begin_array(json, "ways");
  for (guint i = 0; i < chart->needs->len; ++i) {
    add_need(json, layout, tune, &g_array_index(chart->needs, RcNeed, i));
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
  g_free(meter);
  g_free(key);
}

// --------------------------------------------------------------------------------------------------- tune after tune

void
rc_report_tune_start(GString *out, RcTextFormat format, const RcLayout *layout)
{
  if (format == RC_TEXT_CSV) {
    rc_append_csv(out, "file", "line", "title", "layout", "chord", "times", "quarters", "verdict", "press", "missing",
                  "added", "alternating", NULL);
  } else if (format == RC_TEXT_JSON) {
    rc_json_begin_object(out, NULL);
    rc_json_text(out, "layout", layout->name);
    rc_json_begin_array(out, "tunes");
    g_string_append_c(out, '\n');
  }
}

void
rc_report_tune(GString *out, RcTextFormat format, const RcLayout *layout, const RcTune *tune, const RcChart *chart,
               gboolean first)
{
  switch (format) {
  case RC_TEXT_TABLE:
    g_string_append(out, first ? "" : "\n");
    append_table(out, layout, tune, chart);
    break;
  case RC_TEXT_CSV:
    for (guint i = 0; i < chart->needs->len; ++i) {
      append_csv_need(out, layout, tune, &g_array_index(chart->needs, RcNeed, i));
    }
    break;
  case RC_TEXT_JSON:
    g_string_append(out, first ? "" : ",");
    append_json(out, layout, tune, chart);
    break;
  }
}

void
rc_report_tune_end(GString *out, RcTextFormat format, const RcLayout *layout)
{
  if (format == RC_TEXT_TABLE) {
    g_string_append(out, "\nUnder a chord: A same notes, B richer, C leaner, D bare, E borrowed, x no grip,\n"
                         "? no chord symbol; nothing: native, it has a button of its own.\n");
    g_string_append(out, rc_layout_has_bellows(layout)
                           ? "After it the bellows: > push, < pull, <> now one and now the other.\n"
                           : "");
  } else if (format == RC_TEXT_JSON) {
    g_string_append(out, "]}\n");
  }
}
