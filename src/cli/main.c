// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <locale.h>
#include <stdio.h>
#include <string.h>

static const CliCommand *const commands[] = { &cli_compare, &cli_list,    &cli_tune,   &cli_chord, &cli_keys,
                                              &cli_learn,   &cli_sizes,   &cli_shop,   &cli_heat,  &cli_sheet,
                                              &cli_listen,  &cli_layouts, &cli_report, &cli_page,  &cli_settings };

static void
print_help(void)
{
  printf("rowcall: can this bass keyboard carry these tunes?\n\nUsage: rowcall COMMAND [OPTION...] ...\n\n");
  for (guint i = 0; i < G_N_ELEMENTS(commands); ++i) {
    printf("  %-9s %s\n", commands[i]->name, commands[i]->summary);
  }
  printf("\n`rowcall COMMAND --help` explains each, with an example. Exit status: 0 all read,\n"
         "1 some tunes or chords could not be read, 2 wrong use or nothing done.\n\n"
         "A grip that hurts is a wrong grip: rest, and ask a teacher or doctor.\n");
  if (g_file_test(ROWCALL_CORPUS, G_FILE_TEST_IS_DIR)) {
    printf("\nTunes to try, `corpus` in the examples: %s\n", ROWCALL_CORPUS);
  }
}

static const CliCommand *
find_command(const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS(commands); ++i) {
    if (!strcmp(commands[i]->name, name)) {
      return commands[i];
    }
  }
  return NULL;
}

static int
complain_command(const char *name)
{
  const char *names[G_N_ELEMENTS(commands) + 1] = { NULL };
  for (guint i = 0; i < G_N_ELEMENTS(commands); ++i) {
    names[i] = commands[i]->name;
  }
  const char *nearest = rc_nearest_name(name, names);
  if (nearest) {
    cli_complain("no command is called `%s`; did you mean `%s`?", name, nearest);
  } else {
    cli_complain("no command is called `%s`; `rowcall --help` lists them", name);
  }
  return CLI_NOTHING;
}

static int
run_command(const CliCommand *command, int argc, char **argv)
{
  char *name = g_strdup_printf("rowcall %s", command->name);
  g_set_prgname(name);
  g_free(name);
  return command->run(argc - 1, argv + 1);
}

static int
run(int argc, char **argv)
{
  if (argc < 2) {
    print_help();
    return CLI_NOTHING;
  }
  if (!strcmp(argv[1], "--help") || !strcmp(argv[1], "-h") || !strcmp(argv[1], "help")) {
    print_help();
    return CLI_DONE;
  }
  if (!strcmp(argv[1], "--version")) {
    printf("rowcall %s\n", ROWCALL_VERSION);
    return CLI_DONE;
  }
  const CliCommand *command = find_command(argv[1]);
  return command ? run_command(command, argc, argv) : complain_command(argv[1]);
}

int
main(int argc, char **argv)
{
  setlocale(LC_ALL, "");
  cli_guard_files();
  const int status = run(argc, argv);
  return cli_end_help() ? status : CLI_NOTHING;
}
