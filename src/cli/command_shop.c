// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

// The offer file, by its ending, where it comes after tunes; else NULL.
static const char *
find_misplaced(char *const *arguments)
{
  const char *ending = ".offers";
  for (char *const *later = arguments + 1; !g_str_has_suffix(arguments[0], ending) && *later; ++later) {
    if (g_str_has_suffix(*later, ending)) {
      return *later;
    }
  }
  return NULL;
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
  const char *offers = find_misplaced(options->arguments);
  if (offers) {
    cli_complain("`%s` comes after `%s`; name the file of offers first and then the tunes", offers, path);
    return NULL;
  }
  if (n == 1) {
    cli_complain("no tunes are named: give files, folders or - for standard input after the file of offers");
    return NULL;
  }
  memmove(options->arguments, options->arguments + 1, n * sizeof *options->arguments);
  return path;
}

// The keyboards of the offers, and after them those with one dead button repaired.
static RcBoards *
boards_of(const RcShop *shop, const RcSettings *settings)
{
  const guint n = shop->offers->len + shop->repairs->len;
  RcLayout **layouts = g_new(RcLayout *, n);
  for (guint i = 0; i < n; ++i) {
    layouts[i] = i < shop->offers->len ? rc_shop_offer(shop, i)->layout
                                       : g_array_index(shop->repairs, RcRepair, i - shop->offers->len).layout;
  }
  RcBoards *boards = rc_boards_new(layouts, n, settings);
  g_free(layouts);
  return boards;
}

// What is counted while tunes are read.
typedef struct {
  RcTally *tally;
  RcWideTally *wide;
} Counting;

static void
count_tune(const RcTune *tune, gpointer data)
{
  const Counting *counting = data;
  rc_tally_add(counting->tally, tune);
  rc_wide_tally_add(counting->wide, tune);
}

typedef struct {
  const RcShop *shop;
  const RcTally *tally;
  const RcStandings *standings;
  const RcWideTally *wide;
  const RcIntake *intake;
} Judged;

static void
append_text(GString *out, RcTextFormat format, gconstpointer data)
{
  const Judged *judged = data;
  rc_report_shop(out, format, judged->shop, judged->tally, judged->standings, judged->wide, judged->intake);
}

static GBytes *
draw(gconstpointer data, RcPicture picture, const RcImprint *imprint, GError **error)
{
  const Judged *judged = data;
  return rc_report_shop_picture(judged->shop, judged->tally, judged->standings, picture, imprint, error);
}

static int
read_and_write(const CliOptions *options, RcTextFormat format, const RcShop *shop)
{
  RcIntake intake;
  int status = CLI_NOTHING;
  RcBoards *boards = boards_of(shop, &options->settings);
  RcTally *tally = rc_tally_new(boards->panel, options->settings.route.roll);
  RcWideTally *wide = rc_wide_tally_new(boards->layouts, shop->offers->len, &options->settings);
  Counting counting = { tally, wide };
  if (cli_read(options, count_tune, &counting, &intake)) {
    RcStandings standings = rc_shop_judge(shop, tally, options->settings.target.millionths);
    const Judged judged = { shop, tally, &standings, wide, &intake };
    const CliAnswer answer = { *shop->title ? shop->title : "Instruments on offer", append_text, draw, &judged };
    if (cli_write_answer(options, format, &answer)) {
      status = cli_reading_status(&intake);
    }
    rc_standings_clear(&standings);
  }
  rc_wide_tally_free(wide);
  rc_tally_free(tally);
  rc_boards_free(boards);
  return status;
}

// No file that an offer names as its layout may be written over either.
static gboolean
spares_layouts(const CliOptions *options, const RcShop *shop)
{
  gboolean spared = TRUE;
  for (guint i = 0; i < shop->offers->len && spared; ++i) {
    const char *file = rc_shop_offer(shop, i)->layout->file;
    spared = !file || cli_spares(options, file);
  }
  return spared;
}

static int
shop_from(const CliOptions *options, RcTextFormat format, const char *path)
{
  GError *error = NULL;
  RcShop *offers = rc_shop_read(path, &error);
  int status = CLI_NOTHING;
  if (!offers) {
    cli_complain_error(error);
  } else if (spares_layouts(options, offers)) {
    status = read_and_write(options, format, offers);
  }
  rc_shop_free(offers);
  return status;
}

static int
shop(CliOptions *options)
{
  RcTextFormat format;
  char *path = take_offers(options);
  const gboolean good = path && cli_format(options, &format) && cli_spares(options, path);
  const int status = good ? shop_from(options, format, path) : CLI_NOTHING;
  g_free(path);
  return status;
}

static int
run(int argc, char **argv)
{
  return cli_run(&cli_shop, CLI_HAND | CLI_ROUTE | CLI_REPERTOIRE | CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT | CLI_TARGET,
                 shop, argc, argv);
}

const CliCommand cli_shop = {
  "shop",
  "OFFERS TUNES...",
  "Which instruments on offer no other beats",
  "OFFERS is a YAML file of instruments with layout, price and weight;\n"
  "`man rowcall-offers` shows one. TUNES are files, folders or - for standard\n"
  "input.\n\n"
  "Example: what should we buy for the club's books?\n"
  "  rowcall shop corpus/window.offers corpus",
  run,
};
