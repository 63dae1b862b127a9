// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/packed.h"

#include "rowcall/corpus.h"
#include "rowcall/error.h"

#include <archive.h>
#include <archive_entry.h>
#include <errno.h>
#include <string.h>
#include <zlib.h>

enum { BLOCK = 64 << 10 };

static gboolean
fail_damaged(const char *path, const char *why, GError **error)
{
  return rc_fail(error, RC_ERROR_IO, (RcPlace){ path, 0, 0 }, "is damaged and left out whole: %s; fetch it again",
                 why ? why : "it cannot be unpacked");
}

// ---------------------------------------------------------------------------------------------------------------- gzip

static gboolean
fail_reading(const char *path, int number, GError **error)
{
  return rc_fail(error, RC_ERROR_IO, (RcPlace){ path, 0, 0 }, "cannot be unpacked: %s", g_strerror(number));
}

// Says why unpacking ended. libarchive passes over gzip's checksums, zlib does not.
static gboolean
end_gzip(gzFile file, const char *path, GError **error)
{
  int number = Z_OK;
  const char *why = gzerror(file, &number);
  return number == Z_OK || number == Z_STREAM_END ||
         (number == Z_ERRNO ? fail_reading(path, errno, error) : fail_damaged(path, why, error));
}

static gboolean
check_gzip(const char *path, GError **error)
{
  char block[BLOCK];
  guint64 sum = 0;
  int n = 1;
  gzFile file = gzopen(path, "rb");
  if (!file) {
    return fail_reading(path, errno, error);
  }
  while (n > 0 && sum <= RC_MAX_UNPACKED_BYTES) {
    n = gzread(file, block, sizeof block);
    sum += (guint64)MAX(n, 0);
  }
  const gboolean good = n > 0 || end_gzip(file, path, error);
  gzclose(file);
  return good;
}

// --------------------------------------------------------------------------------------------------- other
// compressions

// Unpacks what is open, and adds its bytes to @p sum; FALSE where it is damaged.
static gboolean
unpack(struct archive *archive, guint64 *sum)
{
  char block[BLOCK];
  la_ssize_t n = 1;
  while (n > 0 && *sum <= RC_MAX_UNPACKED_BYTES) {
    n = archive_read_data(archive, block, sizeof block);
    *sum += (guint64)MAX(n, 0);
  }
  return n >= 0;
}

static gboolean
check_stream(const char *path, GError **error)
{
  struct archive *archive = archive_read_new();
  struct archive_entry *entry = NULL;
  guint64 sum = 0;
  archive_read_support_filter_all(archive);
  archive_read_support_format_raw(archive);
  const gboolean good = archive_read_open_filename(archive, path, BLOCK) == ARCHIVE_OK &&
                        archive_read_next_header(archive, &entry) >= ARCHIVE_WARN && unpack(archive, &sum);
  if (!good) {
    fail_damaged(path, archive_error_string(archive), error);
  }
  archive_read_free(archive);
  return good;
}

// ----------------------------------------------------------------------------------------------------------------- zip

// What is wrong with the archive as a whole is said when it is read.
static GHashTable *
damaged_members(const char *path)
{
  GHashTable *damaged = g_hash_table_new_full(NULL, NULL, NULL, g_free);
  struct archive *archive = archive_read_new();
  struct archive_entry *entry = NULL;
  guint64 sum = 0;
  archive_read_support_format_zip(archive);
  archive_read_open_filename(archive, path, BLOCK);
  for (guint number = 1; number <= RC_MAX_MEMBERS; ++number) {
    const int result = archive_read_next_header(archive, &entry);
    if (result == ARCHIVE_EOF || result < ARCHIVE_WARN) {
      break;
    }
    if (archive_entry_size(entry) <= RC_MAX_UNPACKED_BYTES && !unpack(archive, &sum)) {
      const char *why = archive_error_string(archive);
      g_hash_table_insert(damaged, GUINT_TO_POINTER(number), g_strdup(why ? why : "it cannot be unpacked"));
    }
  }
  archive_read_free(archive);
  return damaged;
}

static gboolean
begins(const char *head, gsize length, const char *magic)
{
  return length >= strlen(magic) && !memcmp(head, magic, strlen(magic));
}

gboolean
rc_packed_check(const char *path, const char *head, gsize head_length, GHashTable **damaged, GError **error)
{
  static const char *const streams[] = { "\xFD\x37zXZ", "BZh", "\x28\xB5\x2F\xFD" };
  *damaged = NULL;
  if (begins(head, head_length, "PK")) {
    *damaged = damaged_members(path);
    return TRUE;
  }
  if (begins(head, head_length, "\x1F\x8B")) {
    return check_gzip(path, error);
  }
  for (guint i = 0; i < G_N_ELEMENTS(streams); ++i) {
    if (begins(head, head_length, streams[i])) {
      return check_stream(path, error);
    }
  }
  return TRUE;
}
