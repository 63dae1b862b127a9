// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

static GPtrArray *
shipped_layouts(const CliOptions *options)
{
  char **names = rc_layout_all_names();
  GPtrArray *layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  for (guint i = 0; names[i]; ++i) {
    RcLayout *layout = cli_layout(options, names[i]);
    if (layout) {
      g_ptr_array_add(layouts, layout);
    }
  }
  g_strfreev(names);
  return layouts;
}

static int
write_list(const CliOptions *options, RcTextFormat format)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    cli_complain("name one layout to draw, such as `rowcall layouts 48-8x6 -o %s`", options->output);
    return CLI_NOTHING;
  }
  GPtrArray *layouts = shipped_layouts(options);
  GString *out = g_string_new(NULL);
  rc_report_layouts(out, format, (RcLayout *const *)layouts->pdata, layouts->len);
  const gboolean good = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  g_ptr_array_unref(layouts);
  return good ? CLI_DONE : CLI_NOTHING;
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

static int
write_layouts(const CliOptions *options, RcTextFormat format)
{
  RcPicture picture;
  if (options->arguments[1] && cli_picture(options->output, &picture)) {
    cli_complain("%s: a picture shows one layout; name one", options->output);
    return CLI_NOTHING;
  }
  GString *out = g_string_new(NULL);
  gboolean good = TRUE;
  for (guint i = 0; options->arguments[i] && good; ++i) {
    RcLayout *layout = cli_layout(options, options->arguments[i]);
    good = layout != NULL;
    if (good && cli_picture(options->output, &picture)) {
      good = draw_layout(layout, options->output, picture);
    } else if (good) {
      g_string_append(out, i && format == RC_TEXT_TABLE ? "\n" : "");
      rc_report_layout(out, format, layout);
    }
    rc_layout_free(layout);
  }
  if (good && !cli_picture(options->output, &picture)) {
    good = cli_write_text(options->output, out);
  }
  g_string_free(out, TRUE);
  return good ? CLI_DONE : CLI_NOTHING;
}

// Prints every problem of a layout; returns what could be made out of it, or NULL.
static RcLayout *
check_layout(const char *name, int *status)
{
  GPtrArray *problems = g_ptr_array_new();
  RcLayout *layout = rc_layout_check(name, problems);
  for (guint i = 0; i < problems->len; ++i) {
    cli_complain_error(g_ptr_array_index(problems, i));
  }
  *status = !layout ? CLI_NOTHING : problems->len ? CLI_PARTLY : CLI_DONE;
  g_ptr_array_unref(problems);
  return layout;
}

static void
explain(GString *out, const RcLayout *layout, const CliOptions *options)
{
  GPtrArray *others = shipped_layouts(options);
  rc_report_layout(out, RC_TEXT_TABLE, layout);
  rc_report_layout_words(out, layout, (RcLayout *const *)others->pdata, others->len);
  g_ptr_array_unref(others);
}

static int
write_check(const CliOptions *options)
{
  RcPicture picture;
  int status = CLI_NOTHING;
  if (!options->arguments || options->arguments[1]) {
    cli_complain("name one layout to check, such as `rowcall layouts --check my-old-48.yaml`");
    return status;
  }
  if (rc_layout_is_file(options->arguments[0]) && !cli_spares(options, options->arguments[0])) {
    return status;
  }
  RcLayout *layout = check_layout(options->arguments[0], &status);
  if (layout && cli_picture(options->output, &picture)) {
    status = draw_layout(layout, options->output, picture) ? status : CLI_NOTHING;
  } else if (layout) {
    GString *out = g_string_new(NULL);
    explain(out, layout, options);
    status = cli_write_text(options->output, out) ? status : CLI_NOTHING;
    g_string_free(out, TRUE);
  }
  rc_layout_free(layout);
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
  "NAME is a layout of the list or the path of a layout file. With -o and a name\n"
  "that ends in .pdf, .svg or .png it is drawn to scale. --check explains a file of\n"
  "your own: what its rows sound, what is dead or retuned, what it is like.\n\n"
  "Example: what is on which button of a 48?\n"
  "  rowcall layouts 48-8x6",
  run,
};
