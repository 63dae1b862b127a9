// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The user's own settings, kept as YAML in their configuration folder: XDG Base Directory Specification 0.8, of
// freedesktop.org, which says where that is and that a folder made there is for its owner alone.

#include "cli/cli.h"

#include "base/load.h"
#include "base/yaml_tree.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

enum { MOST_BYTES = 64 * 1024 };

// In the order in which they are written: the keyboard, the hand, the taste, the rest.
static const char *const names[] = { "on",     "without",   "reach", "press",   "spans", "school", "turns-apart",
                                     "prefer", "accept",    "brisk", "target",  "tunes", "tempo",  "key",
                                     "names",  "no-melody", "paper", "threads", NULL };

gboolean
cli_kept_knows(const char *name)
{
  return g_strv_contains(names, name);
}

char *
cli_kept_path(void)
{
  return g_build_filename(g_get_user_config_dir(), "rowcall", "settings.yaml", NULL);
}

void
cli_setting_clear(gpointer data)
{
  CliSetting *setting = data;
  g_free(setting->name);
  g_free(setting->text);
}

// ---------------------------------------------------------------------------------------------------- one by its name

static int
index_of(const GArray *kept, const char *name)
{
  for (guint i = 0; i < kept->len; ++i) {
    if (!strcmp(g_array_index(kept, CliSetting, i).name, name)) {
      return (int)i;
    }
  }
  return -1;
}

const CliSetting *
cli_kept_find(const GArray *kept, const char *name)
{
  const int index = index_of(kept, name);
  return index < 0 ? NULL : &g_array_index(kept, CliSetting, (guint)index);
}

gboolean
cli_kept_remove(GArray *kept, const char *name)
{
  const int index = index_of(kept, name);
  if (index >= 0) {
    g_array_remove_index(kept, (guint)index);
  }
  return index >= 0;
}

void
cli_kept_set(GArray *kept, const char *name, const char *text)
{
  const CliSetting setting = { g_strdup(name), g_strdup(text ? text : "yes"), 0, 0 };
  cli_kept_remove(kept, name);
  g_array_append_val(kept, setting);
}

// ------------------------------------------------------------------------------------------------------------ reading

static gboolean
add_settings(GArray *kept, RcYamlTree *tree, const yaml_node_t *root, GError **error)
{
  const yaml_node_pair_t *pair = root->data.mapping.pairs.start;
  for (; pair < root->data.mapping.pairs.top; ++pair) {
    const yaml_node_t *node = rc_yaml_node(tree, pair->value);
    const char *name = rc_yaml_text(rc_yaml_node(tree, pair->key));
    const char *text = rc_yaml_text(node);
    const RcPlace place = rc_yaml_place(tree, node);
    if (!text || !*text) {
      return rc_fail(error, RC_ERROR_VALUE, place,
                     "found %s for `%s`; write its value, as --%s takes it, or no such line",
                     text ? "nothing" : "a list", name, name);
    }
    const CliSetting setting = { g_strdup(name), g_strdup(text), place.line, place.column };
    g_array_append_val(kept, setting);
  }
  return TRUE;
}

static gboolean
read_text(GArray *kept, const char *text, gsize length, const char *path, GError **error)
{
  RcYamlTree tree;
  if (!rc_yaml_tree_load(&tree, text, length, path, error)) {
    return FALSE;
  }
  gboolean good = TRUE;
  if (yaml_document_get_root_node(&tree.document)) { // else the file is empty: nothing is kept
    const yaml_node_t *root = rc_yaml_tree_root(&tree, "a file of settings", error);
    good = root && rc_yaml_check_keys(&tree, root, names, error) && add_settings(kept, &tree, root, error);
  }
  rc_yaml_tree_clear(&tree);
  return good;
}

static gboolean
read_file(GArray *kept, const char *path, GError **error)
{
  GStatBuf file;
  gsize length = 0;
  if (g_stat(path, &file) && (errno == ENOENT || errno == ENOTDIR)) {
    return TRUE;
  }
  char *text = rc_load_file(path, MOST_BYTES, "a file of settings", &length, error);
  const gboolean good = text && read_text(kept, text, length, path, error);
  g_free(text);
  return good;
}

GArray *
cli_kept_read(void)
{
  GError *error = NULL;
  GArray *kept = g_array_new(FALSE, FALSE, sizeof(CliSetting));
  char *path = cli_kept_path();
  g_array_set_clear_func(kept, cli_setting_clear);
  if (!read_file(kept, path, &error)) {
    cli_complain("%s (--no-settings leaves the file out, `rowcall settings --forget all` removes it)", error->message);
    g_error_free(error);
    g_clear_pointer(&kept, g_array_unref);
  }
  g_free(path);
  return kept;
}

// ----------------------------------------------------------------------------------------------------------- checking

// Says what is wrong with a setting, in its file or as given; frees @p error and returns FALSE.
static gboolean
complain_of(const CliSetting *setting, GError *error)
{
  char *path = cli_kept_path();
  GError *whole = NULL;
  if (setting->line) {
    rc_fail(
      &whole, RC_ERROR_VALUE, (RcPlace){ path, setting->line, setting->column },
      "found %s `%s`: %s (mend the line; --no-settings leaves the file out, and `rowcall settings --forget %s` the "
      "line)",
      setting->name, setting->text, error->message, setting->name);
  } else {
    rc_fail(&whole, RC_ERROR_VALUE, (RcPlace){ NULL, 0, 0 }, "--%s %s: %s", setting->name, setting->text,
            error->message);
  }
  cli_complain_error(whole);
  g_error_free(error);
  g_free(path);
  return FALSE;
}

// Whether it is an option but no member of RcSettings.
static gboolean
is_text(const char *name)
{
  return !strcmp(name, "on") || !strcmp(name, "without") || !strcmp(name, "paper");
}

static gboolean
check_value(const CliSetting *setting, GError **error)
{
  RcSettings settings = rc_settings();
  RcPaper paper;
  if (!strcmp(setting->name, "paper")) {
    return cli_paper_read(setting->text, &paper, error);
  }
  return is_text(setting->name) || rc_settings_set(&settings, setting->name, setting->text, error);
}

static gboolean
check_together(const GArray *kept)
{
  static const RcPlace nowhere = { NULL, 0, 0 };
  const CliSetting *without = cli_kept_find(kept, "without");
  const CliSetting *tunes = cli_kept_find(kept, "tunes");
  GError *error = NULL;
  if (without && !cli_kept_find(kept, "on")) {
    rc_fail(&error, RC_ERROR_VALUE, nowhere, "name the keyboard that lacks these buttons too, as `on`");
    return complain_of(without, error);
  }
  if (tunes && cli_kept_find(kept, "target")) {
    rc_fail(&error, RC_ERROR_VALUE, nowhere, "a target counts either the time or the tunes; keep one of both");
    return complain_of(tunes, error);
  }
  return TRUE;
}

gboolean
cli_kept_check(const GArray *kept)
{
  for (guint i = 0; i < kept->len; ++i) {
    const CliSetting *setting = &g_array_index(kept, CliSetting, i);
    GError *error = NULL;
    if (!check_value(setting, &error)) {
      return complain_of(setting, error);
    }
  }
  return check_together(kept);
}

// ----------------------------------------------------------------------------------------------------------- applying

static gboolean
takes(const GArray *entries, const char *name)
{
  for (guint i = 0; i < entries->len; ++i) {
    if (!strcmp(g_array_index(entries, GOptionEntry, i).long_name, name)) {
      return TRUE;
    }
  }
  return FALSE;
}

// The user's own keyboard, unless another is named: dead buttons are those of one keyboard.
static gboolean
apply_keyboard(CliOptions *options, const GArray *kept)
{
  GError *error = NULL;
  const CliSetting *on = cli_kept_find(kept, "on");
  const CliSetting *without = cli_kept_find(kept, "without");
  if (!on || options->on || options->ons) {
    return TRUE;
  }
  const char *const name[] = { on->text, NULL };
  RcLayouts *found = rc_layouts_find(name, &error);
  if (!found) {
    return complain_of(on, error);
  }
  rc_layouts_free(found);
  options->on = g_strdup(on->text);
  if (without && !options->without_lists) {
    options->without_lists = g_new0(char *, 2);
    options->without_lists[0] = g_strdup(without->text);
  }
  return TRUE;
}

static gboolean
apply(CliOptions *options, const GArray *entries, const GArray *kept)
{
  for (guint i = 0; i < kept->len; ++i) {
    const CliSetting *setting = &g_array_index(kept, CliSetting, i);
    if (!is_text(setting->name) && takes(entries, setting->name)) {
      rc_settings_set(&options->settings, setting->name, setting->text, NULL); // checked
    }
  }
  const CliSetting *paper = cli_kept_find(kept, "paper");
  if (paper && !options->paper) {
    options->paper = g_strdup(paper->text);
  }
  return !takes(entries, "on") || apply_keyboard(options, kept);
}

gboolean
cli_kept_apply(CliOptions *options, const GArray *entries)
{
  GArray *kept = cli_kept_read();
  const gboolean good = kept && cli_kept_check(kept) && apply(options, entries, kept);
  if (kept) {
    g_array_unref(kept);
  }
  return good;
}

// ------------------------------------------------------------------------------------------------------------ writing

// YAML takes it as it is; else it is put in quotes. What a terminal would obey is escaped where it is written.
static gboolean
is_plain(const char *text)
{
  return !text[strspn(text, G_CSET_a_2_z G_CSET_A_2_Z G_CSET_DIGITS "/._=,:-")];
}

static void
append_value(GString *out, const char *text)
{
  if (is_plain(text)) {
    g_string_append(out, text);
    return;
  }
  g_string_append_c(out, '"');
  for (; *text; ++text) {
    if (strchr("\"\\", *text)) {
      g_string_append_c(out, '\\');
    }
    g_string_append_c(out, *text);
  }
  g_string_append_c(out, '"');
}

GString *
cli_kept_text(const GArray *kept)
{
  GString *out = g_string_new(NULL);
  for (guint i = 0; names[i]; ++i) {
    const CliSetting *setting = cli_kept_find(kept, names[i]);
    if (setting) {
      g_string_append_printf(out, "%s: ", setting->name);
      append_value(out, setting->text);
      g_string_append_c(out, '\n');
    }
  }
  return out;
}

static gboolean
remove_file(const char *path)
{
  if (g_unlink(path) && errno != ENOENT && errno != ENOTDIR) {
    cli_complain("%s: cannot be removed: %s", path, g_strerror(errno));
    return FALSE;
  }
  return TRUE;
}

static gboolean
make_folder_of(const char *path)
{
  enum { FOR_THE_OWNER = 0700 };
  char *folder = g_path_get_dirname(path);
  const gboolean good = !g_mkdir_with_parents(folder, FOR_THE_OWNER);
  if (!good) {
    cli_complain("%s: cannot be made: %s; nothing was written", folder, g_strerror(errno));
  }
  g_free(folder);
  return good;
}

gboolean
cli_kept_write(const GArray *kept)
{
  char *path = cli_kept_path();
  gboolean good = kept->len ? make_folder_of(path) : remove_file(path);
  if (kept->len && good) {
    GString *text = cli_kept_text(kept);
    good = cli_write_text(path, text);
    g_string_free(text, TRUE);
  }
  g_free(path);
  return good;
}
