// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "base/load.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <unistd.h>

enum { BLOCK = 64 << 10 };

// Reads until the end, or beyond `most`; 0, or why it failed.
static int
read_all(int fd, gsize most, GByteArray *bytes)
{
  for (gssize n = 1; n && bytes->len <= most;) {
    const guint before = bytes->len;
    g_byte_array_set_size(bytes, before + BLOCK);
    n = read(fd, bytes->data + before, BLOCK);
    g_byte_array_set_size(bytes, before + (guint)MAX(n, 0));
    if (n < 0 && errno != EINTR) {
      return errno;
    }
  }
  return 0;
}

char *
rc_load_file(const char *path, gsize most, const char *what, gsize *length, GError **error)
{
  const RcPlace place = { path, 0, 0 };
  GByteArray *bytes = g_byte_array_new();
  const int fd = g_open(path, O_RDONLY | O_CLOEXEC, 0);
  const int number = fd == -1 ? errno : read_all(fd, most, bytes);
  if (fd != -1) {
    close(fd);
  }
  *length = bytes->len;
  if (number) {
    rc_fail(error, RC_ERROR_IO, place, "cannot be read: %s", g_strerror(number));
  } else if (bytes->len > most) {
    rc_fail(error, RC_ERROR_LIMIT, place, "is larger than %s may be (%" G_GSIZE_FORMAT " bytes)", what, most);
  } else {
    g_byte_array_append(bytes, (const guint8 *)"", 1);
    return (char *)g_byte_array_free(bytes, FALSE);
  }
  g_byte_array_unref(bytes);
  return NULL;
}
