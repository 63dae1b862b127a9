// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include "base/load.h"

#include <string.h>

enum { MOST_BYTES = 64 << 20 }; // of the page, and of each file in it

typedef struct {
  GArray *files; // of RcPageFile
  GHashTable *names;
} Packing;

static void
clear_file(gpointer data)
{
  RcPageFile *file = data;
  g_free((char *)file->name);
  g_bytes_unref(file->content);
}

// The file's name without its folder, and a number where another file has it.
static char *
free_name(GHashTable *names, const char *path)
{
  char *base = g_path_get_basename(path);
  char *name = g_strdup(base);
  const char *dot = strchr(base + 1, '.');
  for (guint n = 2; g_hash_table_contains(names, name); ++n) {
    g_free(name);
    name = g_strdup_printf("%.*s (%u)%s", (int)(dot ? dot - base : (gssize)strlen(base)), base, n, dot ? dot : "");
  }
  g_free(base);
  g_hash_table_add(names, g_strdup(name));
  return name;
}

static gboolean
pack_file(Packing *packing, const char *path)
{
  gsize length = 0;
  GError *error = NULL;
  char *content = rc_load_file(path, MOST_BYTES, "a file of a page", &length, &error);
  if (!content) {
    cli_complain_error(error);
    return FALSE;
  }
  const RcPageFile file = { free_name(packing->names, path), g_bytes_new_take(content, length) };
  g_array_append_val(packing->files, file);
  return TRUE;
}

static void
count_tune(const RcTune *tune, gpointer data)
{
  (void)tune;
  ++*(guint *)data;
}

// What was given or is kept, as the command lines of the page have it; free with g_strfreev().
static char **
option_texts(const CliOptions *options)
{
  GPtrArray *texts = g_ptr_array_new();
  for (guint i = 0; options->given && i < options->given->len; ++i) {
    const CliSetting *given = &g_array_index(options->given, CliSetting, i);
    if (strcmp(given->name, "threads") != 0) {
      g_ptr_array_add(texts, g_strconcat("--", given->name, given->text ? "=" : NULL, given->text, NULL));
    }
  }
  g_ptr_array_add(texts, NULL);
  return (char **)g_ptr_array_free(texts, FALSE);
}

static gboolean
write_page(const CliOptions *options, const char *template, const char *layout, const Packing *packing)
{
  gsize length = 0;
  GError *error = NULL;
  char *own = layout ? rc_load_file(layout, RC_MAX_LAYOUT_BYTES, "a layout file", &length, &error) : NULL;
  char *whole = error ? NULL : rc_load_file(template, MOST_BYTES, "a page", &length, &error);
  if (!whole) {
    g_free(own);
    cli_complain("%s; `sh src/page/build.sh` builds the page, and --template names it", error->message);
    g_error_free(error);
    return FALSE;
  }
  char **texts = option_texts(options);
  const RcPageGiven held = { .files = (const RcPageFile *)(gpointer)packing->files->data,
                             .n = packing->files->len,
                             .board = options->on,
                             .own = own,
                             .without = options->without,
                             .options = (const char *const *)texts };
  GString *filled = rc_report_page(whole, template, &held, &error);
  GBytes *bytes = filled ? g_string_free_to_bytes(filled) : NULL;
  g_strfreev(texts);
  g_free(whole);
  g_free(own);
  return cli_write_bytes(options->output, bytes, error);
}

static gboolean
pack_files(Packing *packing, char *const *paths)
{
  gboolean good = TRUE;
  GPtrArray *problems = g_ptr_array_new_with_free_func((GDestroyNotify)g_error_free); // said when they were read
  char **files = rc_corpus_expand((const char *const *)paths, problems);
  for (char **file = files; good && *file; ++file) {
    good = pack_file(packing, *file);
  }
  g_strfreev(files);
  g_ptr_array_unref(problems);
  return good;
}

static int
write_checked(const CliOptions *options, const char *template, const char *layout, int status)
{
  Packing packing = { g_array_new(FALSE, FALSE, sizeof(RcPageFile)),
                      g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL) };
  g_array_set_clear_func(packing.files, clear_file);
  const gboolean good = pack_files(&packing, options->arguments) && write_page(options, template, layout, &packing);
  g_array_unref(packing.files);
  g_hash_table_unref(packing.names);
  return good ? status : CLI_NOTHING;
}

static gboolean
names_stdin(char *const *arguments)
{
  for (; arguments && *arguments; ++arguments) {
    if (!strcmp(*arguments, "-")) {
      return TRUE;
    }
  }
  return FALSE;
}

// The page that src/page/build.sh left in the tree where this program was built, or the installed one; a new string.
static char *
find_template(void)
{
  char *program = g_file_read_link("/proc/self/exe", NULL);
  char *folder = program ? g_path_get_dirname(program) : NULL;
  char *built = folder ? g_build_filename(folder, "..", "..", "build-page", "rowcall.html", NULL) : NULL;
  g_free(folder);
  g_free(program);
  if (built && g_file_test(built, G_FILE_TEST_IS_REGULAR)) {
    return built;
  }
  g_free(built);
  return g_strdup(ROWCALL_PAGE);
}

static int
page(CliOptions *options, const char *template)
{
  guint tunes = 0;
  RcIntake intake;
  if (!options->output) {
    cli_complain("name the page to write with -o, such as -o my-tunes.html");
    return CLI_NOTHING;
  }
  if (names_stdin(options->arguments)) {
    cli_complain("-: a page holds files; name them");
    return CLI_NOTHING;
  }
  RcBoards *boards = cli_board_on(options);
  const int status = boards && cli_read(options, count_tune, &tunes, &intake)
                       ? write_checked(options, template, boards->layouts[0]->file, cli_reading_status(&intake))
                       : CLI_NOTHING;
  rc_boards_free(boards);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  char *template = NULL;
  const GOptionEntry entries[] = {
    { "template", 0, 0, G_OPTION_ARG_FILENAME, &template, "The page to fill (default: the one built or installed)",
      "FILE" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_page, CLI_HAND | CLI_REPERTOIRE | CLI_OUTPUT | CLI_PAGE | CLI_ON, &options, entries, argc, argv,
                &status)) {
    template = template ? template : find_template();
    status = page(&options, template);
  }
  cli_options_clear(&options);
  g_free(template);
  return status;
}

const CliCommand cli_page = {
  "page",
  "TUNES... --on LAYOUT -o FILE",
  "The browser page with these tunes inside, to open anywhere and to send",
  "TUNES are files or folders, which are kept in the page whole. It opens in any\n"
  "browser, without network and without rowcall, and sends nothing.\n\n"
  "Example: our waltzes and our keyboard, for the club's phones\n"
  "  rowcall page corpus/waltzes.yaml --on 48-8x6 -o my-tunes.html",
  run,
};
