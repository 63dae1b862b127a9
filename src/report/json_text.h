// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// JSON (RFC 8259) appended to a text, value after value on one line without blanks, in the order of the calls. Within
// an object a value is a member and has a name; the name of an element of an array, and of what is in neither, is NULL.
// The code that begins an object or an array ends it. Commas come of themselves: before every value but the first of an
// object, an array or a line.

#ifndef ROWCALL_SRC_REPORT_JSON_TEXT_H
#define ROWCALL_SRC_REPORT_JSON_TEXT_H

#include <glib.h>

void rc_json_begin_object(GString *json, const char *name);
void rc_json_end_object(GString *json);

void rc_json_begin_array(GString *json, const char *name);
void rc_json_end_array(GString *json);

/// Appends a string: what rc_is_hidden() names as `\u001b`, and U+FFFD for a byte that is no UTF-8, so that any reader
/// takes it; null where @p value is NULL.
void rc_json_text(GString *json, const char *name, const char *value);

void rc_json_number(GString *json, const char *name, gint64 value);

/// Appends a finite number with the fewest digits that say it (94.82).
void rc_json_decimal(GString *json, const char *name, double value);

void rc_json_boolean(GString *json, const char *name, gboolean value);

void rc_json_null(GString *json, const char *name);

#endif
