// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// JSON as text (RFC 8259).

#ifndef ROWCALL_SRC_REPORT_JSON_TEXT_H
#define ROWCALL_SRC_REPORT_JSON_TEXT_H

#include <json-glib/json-glib.h>

/// Appends @p node on one line without blanks: members in their order, a number with the fewest digits that say it
/// (94.82), what rc_is_hidden() names as `\u001b`, and U+FFFD for a byte that is no UTF-8, so that any reader takes the
/// text.
void rc_append_json(GString *out, JsonNode *node);

#endif
