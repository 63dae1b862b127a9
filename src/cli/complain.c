// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include "base/visible.h"

#include <stdio.h>

void
cli_complain(const char *format, ...)
{
  va_list args;
  va_start(args, format);
  char *message = g_strdup_vprintf(format, args);
  va_end(args);
  char *shown = rc_visible(message);
  fprintf(stderr, "rowcall: %s\n", shown);
  g_free(shown);
  g_free(message);
}

void
cli_complain_error(GError *error)
{
  cli_complain("%s", error->message);
  g_error_free(error);
}
