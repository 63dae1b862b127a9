// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The smallest keyboards that carry a repertoire.

#include "report/sizes_text.h"

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

// ----------------------------------------------------------------------------------------------------- one keyboard

const char *
rc_swept_column(const RcSwept *s, guint column, RcSigns signs)
{
  return rc_note_name(g_array_index(rc_sweep_full(s->sweep)->columns, RcNote, column), signs);
}

char *
rc_swept_rows_text(const RcSwept *s, guint rows)
{
  GString *text = g_string_new(NULL);
  const RcLayout *full = rc_sweep_full(s->sweep);
  for (guint row = 0; row < full->rows->len; ++row) {
    if (rows & 1U << row) {
      g_string_append_printf(text, "%s%s", text->len ? ", " : "", (const char *)g_ptr_array_index(full->rows, row));
    }
  }
  return g_string_free(text, FALSE);
}

// "48 buttons: 8 columns Eb to E"
char *
rc_swept_size_text(const RcSwept *s, const RcSize *size, RcSigns signs)
{
  const guint columns = size->last - size->first + 1;
  return columns == 1
           ? g_strdup_printf("%u buttons: the column %s", size->buttons, rc_swept_column(s, size->first, signs))
           : g_strdup_printf("%u buttons: %u columns %s to %s", size->buttons, columns,
                             rc_swept_column(s, size->first, signs), rc_swept_column(s, size->last, signs));
}

static char *
goal_text(const RcSwept *s)
{
  char *percent = rc_target_text(s->target.millionths);
  const RcCounts *counts = &s->sizes[0].counts;
  const gboolean tunes = s->target.by == RC_TARGET_TUNES;
  char *text =
    g_strdup_printf("%s %% of the %s%s at grade %s or better", percent, tunes ? "tunes" : rc_share_of(counts),
                    counts->chords[RC_UNREAD] && !tunes ? " that could be read," : "", rc_verdict_name(s->accept));
  g_free(percent);
  return text;
}

// The answer in a sentence without its full stop.
char *
rc_swept_finding(const RcSwept *s, RcSigns signs)
{
  if (!rc_counts_read(&s->sizes[0].counts)) {
    return g_strdup("There is nothing to judge: no chord that could be read is asked for");
  }
  char *goal = goal_text(s);
  const char *verb = s->target.by == RC_TARGET_TUNES ? "play" : "carry"; // time is carried, tunes are played
  GString *text = g_string_new(NULL);
  if (s->smallest < 0) {
    g_string_append_printf(text, "No keyboard up to %u buttons %s %s", rc_layout_count_buttons(rc_sweep_full(s->sweep)),
                           s->target.by == RC_TARGET_TUNES ? "plays" : "carries", goal);
  } else {
    const RcSize *size = s->sizes[s->smallest].size;
    char *words = rc_swept_size_text(s, size, signs);
    g_string_append_printf(text, "The smallest keyboard to %s %s has %s", verb, goal, words);
    if (s->usual < 0) {
      g_string_append(text, "; none of the usual sizes does");
    } else {
      g_string_append_printf(text, "; the smallest usual size is %s", s->sizes[s->usual].size->usual);
    }
    g_free(words);
  }
  g_free(goal);
  return g_string_free(text, FALSE);
}

// ------------------------------------------------------------------------------------------------------------ table

static void
append_rows(GString *out, const RcSwept *s, const RcSweptRows *rows)
{
  char *names = rc_swept_rows_text(s, s->sizes[rows->first].size->rows);
  g_string_append_printf(out, "%s\n", names);
  g_free(names);
  if (rows->smallest < 0) {
    g_string_append(out, "  none\n");
    return;
  }
  const RcSize *size = s->sizes[rows->smallest].size;
  const RcCounts *counts = &s->sizes[rows->smallest].counts;
  char percent[8];
  char *words = rc_swept_size_text(s, size, RC_SIGNS_ASCII);
  rc_percent(percent, rc_counts_carried(counts, s->accept), rc_counts_read(counts), 1, s->target.millionths);
  char *line = g_strdup_printf("%s; %s %% of the %s, %" U64 " of %" U64 " tunes%s%s", words, percent,
                               rc_share_of_short(counts), counts->playable, counts->tunes,
                               size->usual ? "; it is the usual " : "", size->usual ? size->usual : "");
  char *more = rows->others ? g_strdup_printf("%s; %u other range%s of %u columns reach%s it", line, rows->others,
                                              rows->others == 1 ? "" : "s", size->last - size->first + 1,
                                              rows->others == 1 ? "es" : "")
                            : g_strdup(line);
  g_string_append(out, "  ");
  rc_append_wrapped(out, more, 2);
  g_free(more);
  g_free(line);
  g_free(words);
}

static void
append_table(GString *out, const RcSwept *s)
{
  char *words = rc_swept_finding(s, RC_SIGNS_ASCII);
  char *sentence = g_strconcat(words, ".", NULL);
  char *timing = rc_timing_text(s->rolled->roll);
  rc_append_wrapped(out, sentence, 0);
  if (rc_counts_read(&s->sizes[0].counts)) {
    g_string_append(out, "\nThe smallest with each set of rows that makers build:\n\n");
    for (guint i = 0; i < s->n_rows; ++i) {
      append_rows(out, s, &s->rows[i]);
    }
  }
  char *scope = g_strdup_printf("Looked at: all %u ranges of the %u columns %s to %s with these rows, each rolled as "
                                "a keyboard of its own. %s",
                                s->n / MAX(s->n_rows, 1), rc_sweep_full(s->sweep)->columns->len,
                                rc_swept_column(s, 0, RC_SIGNS_ASCII),
                                rc_swept_column(s, rc_sweep_full(s->sweep)->columns->len - 1, RC_SIGNS_ASCII), timing);
  g_string_append_c(out, '\n');
  rc_append_wrapped(out, g_strchomp(scope), 0);
  g_free(scope);
  g_free(timing);
  g_free(sentence);
  g_free(words);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv(GString *out, const RcSwept *s)
{
  rc_append_csv(out, "rows", "first", "last", "columns", "buttons", "usual", "quarters", "carried", "tunes", "native",
                "playable", "reaches", NULL);
  for (guint i = 0; i < s->n; ++i) {
    const RcSize *size = s->sizes[i].size;
    const RcCounts counts = s->sizes[i].counts;
    char *rows = rc_swept_rows_text(s, size->rows);
    char *quarters = rc_quarters_text(rc_counts_ticks(&counts));
    char *done = rc_quarters_text(rc_measured_ticks(&counts, rc_counts_carried(&counts, s->accept)));
    char *numbers[] = { g_strdup_printf("%u", size->last - size->first + 1), g_strdup_printf("%u", size->buttons),
                        g_strdup_printf("%" U64, counts.tunes), g_strdup_printf("%" U64, counts.native),
                        g_strdup_printf("%" U64, counts.playable) };
    rc_append_csv(out, rows, rc_swept_column(s, size->first, RC_SIGNS_ASCII),
                  rc_swept_column(s, size->last, RC_SIGNS_ASCII), numbers[0], numbers[1],
                  size->usual ? size->usual : "", quarters, done, numbers[2], numbers[3], numbers[4],
                  s->sizes[i].reaches ? "yes" : "no", NULL);
    for (guint j = 0; j < G_N_ELEMENTS(numbers); ++j) {
      g_free(numbers[j]);
    }
    g_free(rows);
    g_free(quarters);
    g_free(done);
  }
}

static void
add_size(GString *json, const char *name, const RcSwept *s, guint index)
{
  const RcSize *size = s->sizes[index].size;
  const RcCounts counts = s->sizes[index].counts;
  char *rows = rc_swept_rows_text(s, size->rows);
  char **names = g_strsplit(rows, ", ", -1);
  rc_json_begin_object(json, name);
  rc_json_begin_array(json, "rows");
  for (char **row = names; *row; ++row) {
    rc_json_text(json, NULL, *row);
  }
  rc_json_end_array(json);
  rc_json_text(json, "first", rc_swept_column(s, size->first, RC_SIGNS_ASCII));
  rc_json_text(json, "last", rc_swept_column(s, size->last, RC_SIGNS_ASCII));
  rc_json_number(json, "buttons", size->buttons);
  rc_json_text(json, "usual", size->usual);
  rc_json_quarters(json, "quarters", rc_counts_ticks(&counts));
  rc_json_quarters(json, "carried", rc_measured_ticks(&counts, rc_counts_carried(&counts, s->accept)));
  rc_json_number(json, "tunes", (gint64)counts.tunes);
  rc_json_number(json, "native", (gint64)counts.native);
  rc_json_number(json, "playable", (gint64)counts.playable);
  rc_json_end_object(json);
  g_strfreev(names);
  g_free(rows);
}

static void
append_json(GString *json, const RcSwept *s)
{
  char *words = rc_swept_finding(s, RC_SIGNS_ASCII);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "finding", words);
  if (s->smallest < 0) {
    rc_json_null(json, "smallest");
  } else {
    add_size(json, "smallest", s, (guint)s->smallest);
  }
  rc_json_begin_array(json, "sizes");
  for (guint i = 0; i < s->n; ++i) {
    add_size(json, NULL, s, i);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
  g_free(words);
}

void
rc_report_sizes(GString *out, RcTextFormat format, const RcSwept *swept)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, swept);
    break;
  case RC_TEXT_CSV:
    append_csv(out, swept);
    break;
  case RC_TEXT_JSON:
    append_json(out, swept);
    break;
  }
}
