// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/yaml/mistakes.h"

void
rc_mistakes_add(RcMistakes *mistakes, GError *error)
{
  if (mistakes->found < RC_MAX_MISTAKES) {
    mistakes->errors[mistakes->found] = error;
  } else {
    g_error_free(error);
  }
  ++mistakes->found;
}

GError *
rc_mistakes_take(RcMistakes *mistakes, RcPlace place)
{
  GError *error = NULL;
  const guint index = mistakes->given;
  if (index == MIN(mistakes->found, RC_MAX_MISTAKES + 1)) {
    return NULL;
  }
  if (index < RC_MAX_MISTAKES) {
    error = g_steal_pointer(&mistakes->errors[index]);
  } else {
    rc_fail(&error, RC_ERROR_FURTHER, place, "and %u more mistakes in this tune", mistakes->found - RC_MAX_MISTAKES);
  }
  if (index) {
    error->code = RC_ERROR_FURTHER;
  }
  ++mistakes->given;
  return error;
}

void
rc_mistakes_clear(RcMistakes *mistakes)
{
  for (guint i = 0; i < MIN(mistakes->found, RC_MAX_MISTAKES); ++i) {
    g_clear_error(&mistakes->errors[i]);
  }
  mistakes->found = 0;
  mistakes->given = 0;
}
