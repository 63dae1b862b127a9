// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Whether answers are what their format promises, found without the code that writes them.

#ifndef ROWCALL_TESTS_FUZZ_OUTPUTS_H
#define ROWCALL_TESTS_FUZZ_OUTPUTS_H

#include <glib.h>
#include <jansson.h>
#include <stdio.h>
#include <string.h>

enum { TABLE_COLUMNS = 80 };

// Goes over one cell of CSV (RFC 4180).
static const char *
skip_cell(const char *at)
{
  if (*at != '"') {
    return at + strcspn(at, ",\r\n");
  }
  for (++at; *at; ++at) {
    if (*at == '"' && *++at != '"') {
      break;
    }
  }
  return at;
}

// Lines end, and every row has as many cells as the first.
static gboolean
is_csv(const GString *text)
{
  guint width = 0;
  guint cells = 0;
  gboolean good = text->len && g_utf8_validate(text->str, (gssize)text->len, NULL);
  for (const char *at = text->str; *at && good; ++at) {
    at = skip_cell(at);
    ++cells;
    at += *at == '\r';
    good = *at == '\n' || (*at == ',' && at[1]);
    if (*at == '\n') {
      width = width ? width : cells;
      good = cells == width;
      cells = 0;
    }
  }
  return good && !cells;
}

// Fits a terminal of 80 columns; says which line does not.
static gboolean
is_table(const GString *text)
{
  char **lines = g_strsplit(text->str, "\n", -1);
  gboolean good = g_utf8_validate(text->str, (gssize)text->len, NULL);
  for (char **line = lines; *line && good; ++line) {
    good = g_utf8_strlen(*line, -1) <= TABLE_COLUMNS;
    if (!good) {
      fprintf(stderr, "too long: %s\n", *line);
    }
  }
  g_strfreev(lines);
  return good;
}

// Returns what the text says, to be given to json_decref(); NULL where it is no JSON, or names a member twice.
static json_t *
parse_json(const GString *text)
{
  return json_loadb(text->str, text->len, JSON_REJECT_DUPLICATES, NULL);
}

static gboolean
is_json(const GString *text)
{
  json_t *parsed = parse_json(text);
  const gboolean good = parsed != NULL;
  json_decref(parsed);
  return good;
}

#endif
