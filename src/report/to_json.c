// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Answers as JSON for programs in other languages, which know structs only by their address.

#include "rowcall/report.h"

char *
rc_layout_to_json(const RcLayout *layout)
{
  GString *text = g_string_new(NULL);
  rc_report_layout(text, RC_TEXT_JSON, layout);
  return g_string_free(text, FALSE);
}

char *
rc_rolled_to_json(const RcRolled *rolled)
{
  GString *text = g_string_new(NULL);
  RcComparison *comparison = rc_compare(rolled);
  rc_report_compare(text, RC_TEXT_JSON, comparison, RC_SHARE_TIME);
  rc_comparison_free(comparison);
  return g_string_free(text, FALSE);
}

char *
rc_chart_to_json(const RcLayout *layout, const RcTune *tune, const RcChart *chart)
{
  GString *text = g_string_new(NULL);
  rc_report_tune(text, RC_TEXT_JSON, layout, tune, chart, TRUE);
  return g_string_free(text, FALSE);
}
