// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/png_chunks.h"

#include <string.h>
#include <zlib.h>

enum { HEADER = 8 + 25 }; // bytes of the signature and of the chunk IHDR

static void
append_number(GByteArray *bytes, guint32 number)
{
  const guint8 high_first[] = { (guint8)(number >> 24), (guint8)(number >> 16), (guint8)(number >> 8), (guint8)number };
  g_byte_array_append(bytes, high_first, sizeof high_first);
}

// Appends a chunk of `data`, which begins with the four letters of its type.
static void
append_chunk(GByteArray *bytes, const GByteArray *data)
{
  append_number(bytes, data->len - 4);
  g_byte_array_append(bytes, data->data, data->len);
  append_number(bytes, (guint32)crc32(0, data->data, data->len));
}

static void
append_resolution(GByteArray *bytes, guint dots)
{
  static const guint8 metre = 1; // the unit
  const double inches = 1 / 0.0254;
  GByteArray *data = g_byte_array_new();
  g_byte_array_append(data, (const guint8 *)"pHYs", 4);
  append_number(data, (guint32)(dots * inches + 0.5));
  append_number(data, (guint32)(dots * inches + 0.5));
  g_byte_array_append(data, &metre, 1);
  append_chunk(bytes, data);
  g_byte_array_unref(data);
}

static void
append_text(GByteArray *bytes, const char *keyword, const char *text)
{
  static const guint8 plain[5] = { 0 }; // the end of the keyword, no compression, no language, no translation
  if (*text) {
    GByteArray *data = g_byte_array_new();
    g_byte_array_append(data, (const guint8 *)"iTXt", 4);
    g_byte_array_append(data, (const guint8 *)keyword, (guint)strlen(keyword));
    g_byte_array_append(data, plain, sizeof plain);
    g_byte_array_append(data, (const guint8 *)text, (guint)strlen(text));
    append_chunk(bytes, data);
    g_byte_array_unref(data);
  }
}

void
rc_png_complete(GByteArray *png, guint dots, const char *title, const char *description)
{
  GByteArray *added = g_byte_array_new();
  append_resolution(added, dots);
  append_text(added, "Title", title);
  append_text(added, "Description", description);
  const guint old = png->len;
  g_byte_array_set_size(png, old + added->len);
  memmove(png->data + HEADER + added->len, png->data + HEADER, old - HEADER);
  memcpy(png->data + HEADER, added->data, added->len);
  g_byte_array_unref(added);
}
