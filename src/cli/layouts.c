// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli.h"

static int
write_list(const CliOptions *options, RcFormat format)
{
  RcPicture picture;
  if (cli_picture(options->output, &picture)) {
    cli_complain("name one layout to draw, such as `rowcall layouts 48-8x6 -o %s`", options->output);
    return CLI_NOTHING;
  }
  char **names = rc_layout_all_names();
  GPtrArray *layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  for (guint i = 0; names[i]; ++i) {
    RcLayout *layout = cli_layout(names[i]);
    if (layout) {
      g_ptr_array_add(layouts, layout);
    }
  }
  GString *out = g_string_new(NULL);
  rc_report_layouts(out, format, (RcLayout *const *)layouts->pdata, layouts->len);
  const gboolean good = cli_write_text(options->output, out);
  g_string_free(out, TRUE);
  g_ptr_array_unref(layouts);
  g_strfreev(names);
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
write_layouts(const CliOptions *options, RcFormat format)
{
  RcPicture picture;
  GString *out = g_string_new(NULL);
  gboolean good = TRUE;
  for (guint i = 0; options->arguments[i] && good; ++i) {
    RcLayout *layout = cli_layout(options->arguments[i]);
    good = layout != NULL;
    if (good && cli_picture(options->output, &picture)) {
      good = draw_layout(layout, options->output, picture);
    } else if (good) {
      g_string_append(out, i && format == RC_FORMAT_TABLE ? "\n" : "");
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

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  RcFormat format;
  int status = CLI_DONE;
  if (cli_parse(&cli_layouts, CLI_FORMAT | CLI_OUTPUT, &options, NULL, argc, argv, &status)) {
    status = CLI_NOTHING;
    if (cli_format(&options, &format)) {
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
  "that ends in .pdf, .svg or .png it is drawn to scale.\n\n"
  "Example: what is on which button of a 48?\n"
  "  rowcall layouts 48-8x6",
  run,
};
