// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static int
write_text(const CliOptions *options, GString *text)
{
  const gboolean good = cli_write_text(options->output, text);
  g_string_free(text, TRUE);
  return good ? CLI_DONE : CLI_NOTHING;
}

static int
write_list(const CliOptions *options, RcTextFormat format)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    cli_complain("name one layout to draw, such as `rowcall layouts 48-8x6 -o %s`", options->output);
    return CLI_NOTHING;
  }
  RcLayouts *shipped = rc_layouts_find(NULL, NULL);
  GString *out = g_string_new(NULL);
  rc_report_layouts(out, format, shipped->layouts, shipped->n);
  rc_layouts_free(shipped);
  return write_text(options, out);
}

static gboolean
draw_layout(const RcLayout *layout, const char *path, RcPicture picture)
{
  GError *error = NULL;
  RcImprint imprint = cli_imprint(layout->title);
  GBytes *bytes = rc_report_layout_picture(layout, picture, &imprint, &error);
  g_free((char *)imprint.date);
  return cli_write_bytes(path, bytes, error);
}

// The layouts named; prints what is wrong and returns NULL.
static RcLayouts *
find_layouts(const CliOptions *options)
{
  GError *error = NULL;
  RcLayouts *layouts = rc_layouts_find((const char *const *)options->arguments, &error);
  if (!layouts) {
    cli_complain_error(error);
  }
  for (guint i = 0; layouts && i < layouts->n; ++i) {
    if (layouts->layouts[i]->file && !cli_spares(options, layouts->layouts[i]->file)) {
      g_clear_pointer(&layouts, rc_layouts_free);
    }
  }
  return layouts;
}

static int
write_found(const CliOptions *options, RcTextFormat format, const RcLayouts *layouts)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    return draw_layout(layouts->layouts[0], options->output, picture) ? CLI_DONE : CLI_NOTHING;
  }
  GString *out = g_string_new(NULL);
  for (guint i = 0; i < layouts->n; ++i) {
    g_string_append(out, i && format == RC_TEXT_TABLE ? "\n" : "");
    rc_report_layout(out, format, layouts->layouts[i]);
  }
  return write_text(options, out);
}

static int
write_layouts(const CliOptions *options, RcTextFormat format)
{
  RcPicture picture;
  if (options->arguments[1] && cli_picture(options->output, &picture)) {
    cli_complain("%s: a picture shows one layout; name one", options->output);
    return CLI_NOTHING;
  }
  RcLayouts *layouts = find_layouts(options);
  const int status = layouts ? write_found(options, format, layouts) : CLI_NOTHING;
  rc_layouts_free(layouts);
  return status;
}

static gboolean
write_study(const CliOptions *options, const RcLayoutStudy *study)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    return draw_layout(study->layout, options->output, picture);
  }
  GString *out = g_string_new(NULL);
  rc_report_layout_study(out, study);
  return write_text(options, out) == CLI_DONE;
}

static int
write_check(const CliOptions *options)
{
  int status = CLI_NOTHING;
  if (!options->arguments || options->arguments[1]) {
    cli_complain("name one layout to check, such as `rowcall layouts --check my-old-48.yaml`");
    return status;
  }
  RcLayoutStudy *study = rc_layout_study_new(options->arguments[0]);
  for (guint i = 0; i < study->n_problems; ++i) {
    cli_complain("%s", study->problems[i]->message);
  }
  const char *file = study->layout ? study->layout->file : NULL;
  if (study->layout && (!file || cli_spares(options, file)) && write_study(options, study)) {
    status = study->n_problems ? CLI_PARTLY : CLI_DONE;
  }
  rc_layout_study_free(study);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  gboolean check = FALSE;
  const GOptionEntry entries[] = {
    { "check", 0, 0, G_OPTION_ARG_NONE, &check, "Explain a layout in words and say all that is wrong", NULL },
    { 0 },
  };
  RcTextFormat format;
  int status = CLI_DONE;
  if (cli_parse(&cli_layouts, CLI_FORMAT | CLI_PICTURE | CLI_OUTPUT, &options, entries, argc, argv, &status)) {
    status = CLI_NOTHING;
    if (check) {
      status = write_check(&options);
    } else if (cli_format(&options, &format)) {
      status = options.arguments ? write_layouts(&options, format) : write_list(&options, format);
    }
  }
  cli_options_clear(&options);
  return status;
}

const CliCommand cli_layouts = {
  "layouts",
  "[NAME]",
  "The layouts there are, or one of them drawn",
  "NAME is a layout of the list or the path of a layout file. --check explains a\n"
  "file of your own: what its rows sound, what is dead or retuned, what it is like.\n\n"
  "Example: what is on which button of a 48?\n"
  "  rowcall layouts 48-8x6",
  run,
};
