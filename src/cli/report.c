// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli.h"

#include <string.h>

// The usual sizes, and the chosen layout behind them where it is none of these.
static GPtrArray *
layout_names(const char *on)
{
  GPtrArray *names = g_ptr_array_new();
  for (const char *const *name = rc_layout_usual_names(); *name; ++name) {
    g_ptr_array_add(names, (gpointer)*name);
  }
  if (on && !g_strv_contains(rc_layout_usual_names(), on)) {
    g_ptr_array_add(names, (gpointer)on);
  }
  g_ptr_array_add(names, NULL);
  return names;
}

// Where no layout is named, the one looked at is known after reading only.
static void
plan_boards(CliBoards *boards, const char *on, const RcRouteSettings *settings)
{
  for (guint i = 0; i < boards->layouts->len; ++i) {
    const RcLayout *layout = g_ptr_array_index(boards->layouts, i);
    if (!on || !strcmp(layout->name, on) || i >= g_strv_length((char **)rc_layout_usual_names())) {
      cli_boards_plan(boards, i, settings);
    }
  }
}

// The layout named by the player, else the smallest that carries nearly everything, else the largest.
static guint
choose(const RcRoll *roll, const char *on)
{
  const guint last = rc_roll_n_layouts(roll) - 1;
  if (!on) {
    const int smallest = rc_report_smallest(roll, 0.95);
    return smallest < 0 ? last : (guint)smallest;
  }
  for (guint i = 0; i < last; ++i) {
    if (!strcmp(rc_layout_usual_names()[i], on)) {
      return i;
    }
  }
  return last;
}

static int
roll_and_write(const CliOptions *options, const char *title, CliBoards *boards)
{
  CliReading reading;
  GError *error = NULL;
  RcRoll *roll = cli_roll(options, boards, &reading);
  int status = CLI_NOTHING;
  if (roll) {
    RcImprint imprint = cli_imprint(title ? title : "Can this keyboard carry these tunes?");
    const guint chosen = choose(roll, options->on);
    const RcUse *use = g_ptr_array_index(boards->uses, chosen);
    GBytes *bytes = rc_report_pdf(roll, use, &reading.intake, chosen, &imprint, &error);
    g_free((char *)imprint.date);
    if (cli_write_bytes(options->output, bytes, error)) {
      status = cli_reading_status(&reading);
    }
  }
  rc_roll_free(roll);
  return status;
}

static int
report(const CliOptions *options, const char *title)
{
  RcPicture picture;
  CliBoards boards = { 0 };
  RcRouteSettings settings;
  int status = CLI_NOTHING;
  if (!cli_route_settings(options, &settings)) {
    return CLI_NOTHING;
  }
  if (!cli_picture(options->output, &picture) || picture != RC_PICTURE_PDF) {
    cli_complain("name the report with -o, such as -o report.pdf; it is written as PDF");
    return CLI_NOTHING;
  }
  GPtrArray *names = layout_names(options->on);
  if (cli_boards_load(&boards, (const char *const *)names->pdata, options)) {
    plan_boards(&boards, options->on, &settings);
    status = roll_and_write(options, title, &boards);
  }
  cli_boards_clear(&boards);
  g_ptr_array_unref(names);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *title = NULL;
  const GOptionEntry entries[] = {
    { "title", 0, 0, G_OPTION_ARG_STRING, &title, "The report's title", "TEXT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_report, CLI_HAND | CLI_REPERTOIRE | CLI_OUTPUT | CLI_ON | CLI_ROUTE, &options, entries, argc, argv,
                &status)) {
    status = report(&options, title);
  }
  cli_options_clear(&options);
  g_free(title);
  return status;
}

const CliCommand cli_report = {
  "report",
  "TUNES... -o FILE.pdf",
  "The answer on paper: all sizes, button use, what to press",
  "TUNES are files, folders or - for standard input. --on names the keyboard whose\n"
  "buttons are looked at; else it is the smallest that carries 95 % of the playing\n"
  "time.\n\n"
  "Example:\n"
  "  rowcall report corpus --on 48-8x6 --title \"The club's books\" -o report.pdf",
  run,
};
