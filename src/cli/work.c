// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Keyboards to be asked, and answers written.

#include "cli.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// --------------------------------------------------------------------------------------------------------- boards

// Room beside the layouts for what is planned on them.
static void
make_room(CliBoards *boards)
{
  boards->planners = g_ptr_array_new_with_free_func((GDestroyNotify)rc_planner_free);
  boards->uses = g_ptr_array_new_with_free_func((GDestroyNotify)rc_use_free);
  g_ptr_array_set_size(boards->planners, (int)boards->layouts->len);
  g_ptr_array_set_size(boards->uses, (int)boards->layouts->len);
}

gboolean
cli_boards_make(CliBoards *boards, GPtrArray *layouts, const CliOptions *options)
{
  RcHand hand;
  RcVerdict accept;
  boards->layouts = layouts;
  if (!cli_hand(options, &hand) || !cli_accept(options, &accept)) {
    return FALSE;
  }
  boards->catalogues = g_ptr_array_new_with_free_func((GDestroyNotify)rc_catalogue_free);
  for (guint i = 0; i < layouts->len; ++i) {
    g_ptr_array_add(boards->catalogues, rc_catalogue_new(g_ptr_array_index(layouts, i), hand));
  }
  make_room(boards);
  boards->panel = rc_panel_new((RcCatalogue *const *)boards->catalogues->pdata, boards->catalogues->len, accept);
  return TRUE;
}

static GPtrArray *
load_layouts(const char *const *names, const CliOptions *options)
{
  GPtrArray *layouts = g_ptr_array_new_with_free_func((GDestroyNotify)rc_layout_free);
  for (; *names; ++names) {
    RcLayout *layout = cli_layout(*names);
    if (layout) {
      g_ptr_array_add(layouts, layout);
    }
    const gboolean touched = !options->on || *names == options->on;
    if (!layout || (touched && !cli_silence(options, layout))) {
      g_ptr_array_unref(layouts);
      return NULL;
    }
  }
  return layouts;
}

gboolean
cli_boards_load(CliBoards *boards, const char *const *names, const CliOptions *options)
{
  GPtrArray *layouts = load_layouts(names, options);
  return layouts && cli_boards_make(boards, layouts, options);
}

RcSweep *
cli_boards_sweep(CliBoards *boards, const CliOptions *options)
{
  RcHand hand;
  RcVerdict accept;
  if (!cli_hand(options, &hand) || !cli_accept(options, &accept)) {
    return NULL;
  }
  boards->layouts = load_layouts(rc_layout_usual_names(), options);
  if (!boards->layouts) {
    return NULL;
  }
  make_room(boards);
  RcSweep *sweep = rc_sweep_new((RcLayout *const *)boards->layouts->pdata, boards->layouts->len, hand);
  boards->panel = rc_panel_new_sweep(sweep, accept);
  return sweep;
}

void
cli_boards_plan(CliBoards *boards, guint index, const RcRouteSettings *settings)
{
  const RcLayout *layout = g_ptr_array_index(boards->layouts, index);
  g_ptr_array_index(boards->planners, index) = rc_planner_new(layout, settings);
  g_ptr_array_index(boards->uses, index) = rc_use_new(layout);
}

void
cli_boards_clear(CliBoards *boards)
{
  g_clear_pointer(&boards->planners, g_ptr_array_unref);
  g_clear_pointer(&boards->uses, g_ptr_array_unref);
  g_clear_pointer(&boards->tunes, g_ptr_array_unref);
  g_clear_pointer(&boards->panel, rc_panel_free);
  g_clear_pointer(&boards->catalogues, g_ptr_array_unref);
  g_clear_pointer(&boards->layouts, g_ptr_array_unref);
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
    if (g_file_test(path, G_FILE_TEST_EXISTS) && !g_file_test(path, G_FILE_TEST_IS_REGULAR)) {
      cli_complain("%s: is a folder or a device; name a file to write to", path);
      return FALSE;
    }
    if (g_file_test(path, G_FILE_TEST_IS_SYMLINK)) {
      char *target = g_canonicalize_filename(path, NULL);
      char *real = realpath(target, NULL);
      const gboolean good = real && write_data(real, data, length);
      free(real);
      g_free(target);
      return good;
    }
    if (!g_file_set_contents(path, data, (gssize)length, &error)) {
      const char *reason = strrchr(error->message, ':'); // without the name of a file never asked for
      cli_complain("%s: cannot be written:%s; nothing was written", path, reason ? reason + 1 : error->message);
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
  RcPicture picture;
  if (cli_picture(path, &picture)) {
    cli_complain("%s: this answer is text, not a picture; choose another ending", path);
    return FALSE;
  }
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
  RcImprint imprint = { .title = title };
  const char *epoch = g_getenv("SOURCE_DATE_EPOCH");
  GDateTime *date = epoch ? g_date_time_new_from_unix_utc(g_ascii_strtoll(epoch, NULL, 10)) : NULL;
  if (date) {
    imprint.date = g_date_time_format(date, "%Y-%m-%dT%H:%M:%SZ");
    g_date_time_unref(date);
  }
  return imprint;
}
