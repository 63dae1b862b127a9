// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Files that are read whole: all their bytes and a zero after them, or none and why.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/load.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

enum { BLOCK = 64 << 10 }; // bytes read at once, on which a file may end

static char *
temporary_file(void)
{
  char *path = NULL;
  const int fd = g_file_open_tmp("rowcall-load-XXXXXX", &path, NULL);
  assert_true(fd != -1 && g_close(fd, NULL));
  return path;
}

static void
all_bytes_and_a_zero(void **state)
{
  (void)state;
  static const gsize lengths[] = { 0, 1, 100, BLOCK - 1, BLOCK, BLOCK + 1, 3 * BLOCK };
  char *path = temporary_file();
  for (guint i = 0; i < G_N_ELEMENTS(lengths); ++i) {
    char *written = g_strnfill(lengths[i], 'x');
    assert_true(g_file_set_contents(path, written, (gssize)lengths[i], NULL));
    gsize length = 0;
    errno = EACCES; // of something before
    char *read = rc_load_file(path, 3 * BLOCK, "a book", &length, NULL);
    assert_int_equal(length, lengths[i]);
    assert_string_equal(read, written); // to the zero
    g_free(read);
    g_free(written);
  }
  g_remove(path);
  g_free(path);
}

static void
assert_not_loaded(const char *path, gsize most, RcErrorCode code, const char *why)
{
  GError *error = NULL;
  gsize length = 0;
  char *message = g_strconcat(path, ": ", why, NULL);
  assert_null(rc_load_file(path, most, "a book", &length, &error));
  assert_int_equal(error->code, code);
  assert_string_equal(error->message, message);
  g_error_free(error);
  g_free(message);
}

static void
what_is_too_large_or_not_there(void **state)
{
  (void)state;
  char *path = temporary_file();
  assert_true(g_file_set_contents(path, "five!", -1, NULL));
  assert_not_loaded(path, 4, RC_ERROR_LIMIT, "is larger than a book may be (4 bytes)");
  g_remove(path);
  assert_not_loaded(path, 4, RC_ERROR_IO, "cannot be read: No such file or directory");
  g_free(path);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(all_bytes_and_a_zero),
    cmocka_unit_test(what_is_too_large_or_not_there),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
