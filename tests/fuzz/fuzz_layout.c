// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Any text as a layout file: a layout or an error, and what is made can be asked.

#include "rowcall/coverage.h"
#include "rowcall/error.h"
#include "rowcall/report.h"

#include <stdint.h>

// Every word of it can be said, and its entries step from button to button.
static void
explain(RcLayout *layout)
{
  GString *out = g_string_new(NULL);
  guint places = 0;
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    const RcButton *button = rc_layout_button(layout, i);
    g_assert_true(button->row * layout->columns->len + button->column == places++);
  }
  g_assert_true(places == layout->rows->len * layout->columns->len);
  RcLayoutStudy *study = rc_layout_study_on(layout, &(RcLayouts){ &layout, 1 });
  rc_report_layout_study(out, study);
  rc_layout_study_free(study);
  g_string_free(out, TRUE);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse((const char *)data, size, "fuzz.yaml", &error);
  g_assert_true((layout == NULL) == (error != NULL));
  if (layout && layout->buttons->len <= 48) {
    RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
    const RcRequest request = { .chord = { 5, 5, RC_CHORD_MINOR } };
    GArray *ranked = rc_catalogue_rank(catalogue, rc_taste(), &request);
    g_assert_true(ranked->len == 0 || g_array_index(ranked, RcAnswer, 0).verdict ==
                                        rc_catalogue_best(catalogue, rc_taste(), &request).verdict);
    g_array_unref(ranked);
    rc_catalogue_free(catalogue);
  }
  if (layout && layout->buttons->len <= 96) {
    explain(layout);
  }
  rc_layout_free(layout);
  g_clear_error(&error);
  return 0;
}
