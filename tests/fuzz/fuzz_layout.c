// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Any text as a layout file: a layout or an error, and what is made can be asked.

#include "rowcall/coverage.h"
#include "rowcall/error.h"

#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
  GError *error = NULL;
  RcLayout *layout = rc_layout_parse((const char *)data, size, "fuzz.yaml", &error);
  g_assert_true((layout == NULL) == (error != NULL));
  if (layout && layout->buttons->len <= 48) {
    RcCatalogue *catalogue = rc_catalogue_new(layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
    const RcRequest request = { { 5, 5, RC_CHORD_MINOR }, 0, 0, FALSE };
    GArray *ranked = rc_catalogue_rank(catalogue, &request);
    g_assert_true(ranked->len == 0 ||
                  g_array_index(ranked, RcAnswer, 0).verdict == rc_catalogue_best(catalogue, &request).verdict);
    g_array_unref(ranked);
    rc_catalogue_free(catalogue);
  }
  rc_layout_free(layout);
  g_clear_error(&error);
  return 0;
}
