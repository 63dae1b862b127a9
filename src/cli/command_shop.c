// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

enum { USUAL_TARGET = 95000 }; // thousandths of a percent

static gboolean
read_target(const char *text, guint *target)
{
  char *end = NULL;
  const double percent = text ? g_ascii_strtod(text, &end) : 0;
  *target = USUAL_TARGET;
  if (text && (end == text || *end || !(percent >= 0.001 && percent <= 100))) {
    cli_complain("--target %s: expected a percentage of the playing time, above 0 and at most 100", text);
    return FALSE;
  }
  if (text) {
    *target = (guint)(percent * 1000 + 0.5);
  }
  return TRUE;
}

// Takes the offer file, which comes first, out of the arguments; a new string, or NULL, having said why.
static char *
take_offers(CliOptions *options)
{
  if (!options->arguments) {
    cli_complain("name the file of offers and then the tunes; see `rowcall shop --help`");
    return NULL;
  }
  char *path = options->arguments[0];
  const guint n = g_strv_length(options->arguments);
  if (n == 1) {
    cli_complain("no tunes are named: give files, folders or - for standard input behind the file of offers");
    return NULL;
  }
  memmove(options->arguments, options->arguments + 1, n * sizeof *options->arguments);
  return path;
}

static GPtrArray *
layouts_of(const RcShop *shop)
{
  GPtrArray *layouts = g_ptr_array_new();
  for (guint i = 0; i < shop->offers->len; ++i) {
    g_ptr_array_add(layouts, rc_shop_offer(shop, i)->layout);
  }
  return layouts;
}

static void
tally_tune(const RcTune *tune, gpointer data)
{
  rc_tally_add(data, tune);
}

static gboolean
write_picture(const CliOptions *options, const RcShop *shop, const RcTally *tally, const RcStandings *standings,
              RcPicture picture)
{
  GError *error = NULL;
  RcImprint imprint = cli_imprint(*shop->title ? shop->title : "Instruments on offer");
  GBytes *bytes = rc_report_shop_picture(shop, tally, standings, picture, &imprint, &error);
  g_free((char *)imprint.date);
  return cli_write_bytes(options->output, bytes, error);
}

static gboolean
write_answer(const CliOptions *options, RcTextFormat format, const RcShop *shop, const RcTally *tally,
             const RcStandings *standings, const RcIntake *intake)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    return write_picture(options, shop, tally, standings, picture);
  }
  GString *out = g_string_new(NULL);
  rc_report_shop(out, format, shop, tally, standings, intake);
  const gboolean good = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  return good;
}

static int
read_and_write(const CliOptions *options, RcTextFormat format, const RcShop *shop, RcPanel *panel, guint target)
{
  CliReading reading;
  RcRollSettings settings;
  int status = CLI_NOTHING;
  if (!cli_roll_settings(options, &settings)) {
    return status;
  }
  RcTally *tally = rc_tally_new(panel, settings);
  if (cli_read(options, tally_tune, tally, &reading)) {
    RcStandings standings = rc_shop_judge(shop, tally, target);
    if (write_answer(options, format, shop, tally, &standings, &reading.intake)) {
      status = cli_reading_status(&reading);
    }
    rc_standings_clear(&standings);
  }
  rc_tally_free(tally);
  return status;
}

static int
shop(CliOptions *options, const char *wanted)
{
  RcTextFormat format;
  guint target = 0;
  GError *error = NULL;
  CliBoards boards = { 0 };
  int status = CLI_NOTHING;
  char *path = take_offers(options);
  if (!path || !cli_format(options, &format) || !read_target(wanted, &target) || !cli_spares(options, path)) {
    g_free(path);
    return status;
  }
  RcShop *offers = rc_shop_read(path, &error);
  if (!offers) {
    cli_complain_error(error);
  } else if (cli_boards_make(&boards, layouts_of(offers), options)) {
    status = read_and_write(options, format, offers, boards.panel, target);
  }
  cli_boards_clear(&boards);
  rc_shop_free(offers);
  g_free(path);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *target = NULL;
  const GOptionEntry entries[] = {
    { "target", 0, 0, G_OPTION_ARG_STRING, &target, "Playing time to carry, in percent (default 95)", "PERCENT" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_shop, CLI_HAND | CLI_REPERTOIRE | CLI_FORMAT | CLI_OUTPUT, &options, entries, argc, argv,
                &status)) {
    status = shop(&options, target);
  }
  cli_options_clear(&options);
  g_free(target);
  return status;
}

const CliCommand cli_shop = {
  "shop",
  "OFFERS TUNES...",
  "Which instruments on offer no other beats",
  "OFFERS is a YAML file of instruments with layout, price and weight;\n"
  "`man rowcall-offers` shows one. TUNES are files, folders or - for standard\n"
  "input. With -o and a name that ends in .pdf, .svg or .png the offers are drawn\n"
  "by price.\n\n"
  "Example: what should we buy for the club's books?\n"
  "  rowcall shop corpus/window.offers corpus",
  run,
};
