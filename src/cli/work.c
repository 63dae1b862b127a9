// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading repertoires and writing answers.

#include "cli.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PROBLEMS_SHOWN = 30 };

void
cli_complain(const char *format, ...)
{
  va_list args;
  va_start(args, format);
  char *message = g_strdup_vprintf(format, args);
  va_end(args);
  fprintf(stderr, "rowcall: %s\n", message);
  g_free(message);
}

void
cli_complain_error(GError *error)
{
  cli_complain("%s", error->message);
  g_error_free(error);
}

// --------------------------------------------------------------------------------------------------------- boards

gboolean
cli_boards_load(CliBoards *boards, const char *const *names, RcHand hand)
{
  boards->layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  boards->catalogues = g_ptr_array_new_with_free_func((GDestroyNotify)rc_catalogue_free);
  for (; *names; ++names) {
    RcLayout *layout = cli_layout(*names);
    if (!layout) {
      return FALSE;
    }
    g_ptr_array_add(boards->layouts, layout);
    g_ptr_array_add(boards->catalogues, rc_catalogue_new(layout, hand));
  }
  return TRUE;
}

void
cli_boards_clear(CliBoards *boards)
{
  g_clear_pointer(&boards->catalogues, g_ptr_array_unref);
  g_clear_pointer(&boards->layouts, g_ptr_array_unref);
}

RcRoll *
cli_boards_roll(const CliBoards *boards, RcRollSettings settings)
{
  return rc_roll_new((RcCatalogue *const *)boards->catalogues->pdata, boards->catalogues->len, settings);
}

// -------------------------------------------------------------------------------------------------------- reading

typedef struct {
  gboolean all;
  guint64 n;
} Problems;

static void
show_problem(Problems *problems, const char *message)
{
  if (problems->all || problems->n < PROBLEMS_SHOWN) {
    cli_complain("%s", message);
  }
  ++problems->n;
}

static const RcEvent *
first_event_of(const RcTune *tune, guint symbol)
{
  for (guint i = 0; i < tune->events->len; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    if (event->symbol == symbol) {
      return event;
    }
  }
  return NULL;
}

static void
show_unread(const RcTune *tune, CliReading *reading, Problems *problems)
{
  for (guint i = 0; i < tune->symbols->len; ++i) {
    const RcSymbol *symbol = &g_array_index(tune->symbols, RcSymbol, i);
    const RcEvent *event = symbol->kind == RC_SYMBOL_UNREAD ? first_event_of(tune, i) : NULL;
    if (event) {
      char *message =
        g_strdup_printf("%s:%u:%u: `%s` is no chord symbol: `%.20s` was not understood; counted as unread", tune->file,
                        event->line, event->column, symbol->text, symbol->text + symbol->stopped_at);
      show_problem(problems, message);
      g_free(message);
      ++reading->unread;
    }
  }
}

static void
read_all(RcCorpus *corpus, CliTuneFunc each, gpointer data, CliReading *reading, Problems *problems)
{
  RcTune *tune = rc_tune_new();
  GError *error = NULL;
  for (RcReadResult result; (result = rc_corpus_next(corpus, tune, &error)) != RC_READ_END;) {
    if (result == RC_READ_PROBLEM) {
      show_problem(problems, error->message);
      g_clear_error(&error);
      ++reading->intake.problems;
    } else {
      show_unread(tune, reading, problems);
      ++reading->intake.tunes;
      each(tune, data);
    }
  }
  reading->intake.files = rc_corpus_files(corpus);
  rc_tune_free(tune);
}

gboolean
cli_read(const CliOptions *options, CliTuneFunc each, gpointer data, CliReading *reading)
{
  RcCorpusOptions corpus_options;
  Problems problems = { options->all_problems, 0 };
  *reading = (CliReading){ 0 };
  if (!options->arguments) {
    cli_complain("no tunes are named: give files, folders or - for standard input");
    return FALSE;
  }
  if (!cli_corpus_options(options, &corpus_options)) {
    return FALSE;
  }
  RcCorpus *corpus = rc_corpus_new((const char *const *)options->arguments, corpus_options);
  read_all(corpus, each, data, reading, &problems);
  rc_corpus_free(corpus);
  if (!problems.all && problems.n > PROBLEMS_SHOWN) {
    cli_complain("and %" G_GUINT64_FORMAT " more problems; --all-problems prints them", problems.n - PROBLEMS_SHOWN);
  }
  if (!reading->intake.tunes) {
    cli_complain("nothing was read");
  }
  return reading->intake.tunes > 0;
}

int
cli_reading_status(const CliReading *reading)
{
  return reading->intake.problems || reading->unread ? CLI_PARTLY : CLI_DONE;
}

// -------------------------------------------------------------------------------------------------------- writing

gboolean
cli_picture(const char *path, RcPicture *picture)
{
  static const char *const endings[] = { ".pdf", ".svg", ".png" };
  for (guint i = 0; path && i < G_N_ELEMENTS(endings); ++i) {
    if (g_str_has_suffix(path, endings[i])) {
      *picture = (RcPicture)i;
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
write_data(const char *path, const char *data, gsize length)
{
  GError *error = NULL;
  if (path && strcmp(path, "-") != 0) {
    if (!g_file_set_contents(path, data, (gssize)length, &error)) {
      cli_complain("%s; nothing was written", error->message);
      g_error_free(error);
      return FALSE;
    }
    return TRUE;
  }
  if (fwrite(data, 1, length, stdout) != length || fflush(stdout)) {
    cli_complain("writing to standard output failed: %s", g_strerror(errno));
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_write_text(const char *path, const GString *text)
{
  return write_data(path, text->str, text->len);
}

gboolean
cli_write_bytes(const char *path, GBytes *bytes, GError *error)
{
  if (!bytes) {
    cli_complain_error(error);
    return FALSE;
  }
  gsize length = 0;
  const char *data = g_bytes_get_data(bytes, &length);
  const gboolean good = write_data(path, data, length);
  g_bytes_unref(bytes);
  return good;
}

RcImprint
cli_imprint(const char *title)
{
  RcImprint imprint = { title, NULL };
  const char *epoch = g_getenv("SOURCE_DATE_EPOCH");
  GDateTime *date = epoch ? g_date_time_new_from_unix_utc(g_ascii_strtoll(epoch, NULL, 10)) : NULL;
  if (date) {
    imprint.date = g_date_time_format(date, "%Y-%m-%dT%H:%M:%SZ");
    g_date_time_unref(date);
  }
  return imprint;
}
