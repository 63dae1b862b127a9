// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/source.h"

#include "corpus/container.h"
#include "corpus/inputs.h"
#include "corpus/packed.h"
#include "base/load.h"
#include "rowcall/corpus.h"

#include <archive.h>
#include <archive_entry.h>
#include <errno.h>
#include <stdio.h>
#include <string.h>

enum { BLOCK = 64 << 10, HEAD = 4096 };

static const char packed_score[] = "compressed MusicXML";

struct RcSource {
  const char *path; // as given; borrowed
  char *name;       // of the open text
  char *format_name;
  FILE *file; // or
  struct archive *archive;
  GHashTable *damaged;    // members of the archive, see rc_packed_check()
  gboolean is_container;  // the file is compressed MusicXML
  RcContainer *container; // the open text is its score
  char head[HEAD];        // the open text's first bytes, read before they are asked for
  gsize head_length;
  gsize head_at;
  guint texts;   // opened so far
  guint members; // seen so far
  guint64 bytes;
  char *failure;
};

// ------------------------------------------------------------------------------------------------------ recognizing

typedef struct {
  gsize offset;
  gsize length;
  const char *bytes;
} Magic;

static const Magic magics[] = {
  { 0, 4, "PK\x03\x04" },       { 0, 4, "PK\x05\x06" },  { 257, 5, "ustar" }, { 0, 2, "\x1F\x8B" },
  { 0, 4, "\x28\xB5\x2F\xFD" }, { 0, 6, "\xFD\x37zXZ" }, { 0, 3, "BZh" },
};

static gboolean
is_packed(const RcSource *source)
{
  for (guint i = 0; i < G_N_ELEMENTS(magics); ++i) {
    const Magic *magic = &magics[i];
    if (magic->offset + magic->length <= source->head_length &&
        !memcmp(source->head + magic->offset, magic->bytes, magic->length)) {
      return TRUE;
    }
  }
  return FALSE;
}

// --------------------------------------------------------------------------------------------------------- opening

static gboolean
fail_archive(const RcSource *source, GError **error)
{
  const char *why = archive_error_string(source->archive);
  return rc_fail(error, RC_ERROR_IO, (RcPlace){ source->path, 0, 0 }, "cannot be unpacked: %s",
                 why ? why : "it is damaged");
}

static gboolean
open_archive(RcSource *source, GError **error)
{
  source->archive = archive_read_new();
  archive_read_support_filter_all(source->archive);
  archive_read_support_format_zip(source->archive);
  archive_read_support_format_tar(source->archive);
  archive_read_support_format_raw(source->archive);
  if (archive_read_open_filename(source->archive, source->path, BLOCK) != ARCHIVE_OK) {
    return fail_archive(source, error);
  }
  return TRUE;
}

static void
close_file(RcSource *source)
{
  if (source->file && source->file != stdin) {
    fclose(source->file);
  }
  source->file = NULL;
}

// Opens again, as an archive, what turned out to be one.
static gboolean
open_packed(RcSource *source, GError **error)
{
  if (!strcmp(source->path, "-") || !g_file_test(source->path, G_FILE_TEST_IS_REGULAR)) {
    return rc_fail(error, RC_ERROR_IO, (RcPlace){ source->path, 0, 0 },
                   "is an archive or compressed, which is read from files only; save it and name the file");
  }
  close_file(source);
  source->is_container = rc_container_is_named(source->path);
  return source->is_container ||
         (rc_packed_check(source->path, source->head, source->head_length, &source->damaged, error) &&
          open_archive(source, error));
}

static gboolean
open_file(RcSource *source, GError **error)
{
  const RcPlace place = { source->path, 0, 0 };
  source->file = strcmp(source->path, "-") != 0 ? fopen(source->path, "rb") : stdin;
  if (!source->file) {
    return rc_fail(error, RC_ERROR_IO, place, "cannot be opened: %s; check the name and its rights", g_strerror(errno));
  }
  source->head_length = fread(source->head, 1, sizeof source->head, source->file); // pipes cannot be read again
  if (ferror(source->file)) {
    return rc_fail(error, RC_ERROR_IO, place, "cannot be read: %s", g_strerror(errno));
  }
  if (is_packed(source)) {
    return open_packed(source, error);
  }
  source->bytes = source->head_length;
  return TRUE;
}

RcSource *
rc_source_open(const char *path, GError **error)
{
  RcSource *source = g_new0(RcSource, 1);
  source->path = path;
  if (!open_file(source, error)) {
    rc_source_free(source);
    return NULL;
  }
  return source;
}

void
rc_source_free(RcSource *source)
{
  if (source) {
    close_file(source);
    if (source->archive) {
      archive_read_free(source->archive);
    }
    g_clear_pointer(&source->container, rc_container_free);
    g_free(source->name);
    g_free(source->format_name);
    g_free(source->failure);
    g_clear_pointer(&source->damaged, g_hash_table_unref);
    g_free(source);
  }
}

// ---------------------------------------------------------------------------------------------------- text after text

static void
name_text(RcSource *source, const char *member)
{
  g_free(source->name);
  g_free(source->format_name);
  g_clear_pointer(&source->failure, g_free);
  g_clear_pointer(&source->container, rc_container_free);
  ++source->texts;
  source->head_length = source->file ? source->head_length : 0; // that of a file was read when it was opened
  source->head_at = 0;
  if (member) {
    source->name = g_strdup_printf("%s!%s", source->path, member);
    source->format_name = g_strdup(member);
    return;
  }
  source->name = g_strdup(source->path);
  source->format_name = g_strdup(source->path);
  char *dot = source->archive ? strrchr(source->format_name, '.') : NULL;
  if (dot) {
    *dot = '\0'; // club.abc.gz is club.abc
  }
}

static RcSourceStep
next_file(RcSource *source)
{
  if (source->texts) {
    return RC_SOURCE_END;
  }
  name_text(source, NULL);
  return RC_SOURCE_TEXT;
}

// -------------------------------------------------------------------------------------------- compressed MusicXML

// Opens the score of an archive, a file or a member of one; the archive's bytes are its own from now on.
static RcSourceStep
open_container(RcSource *source, char *bytes, gsize length, const char *name, GError **error)
{
  RcContainer *container = rc_container_open(bytes, length, name, error);
  if (!container) {
    ++source->texts;
    return RC_SOURCE_PROBLEM;
  }
  name_text(source, NULL);
  g_free(source->name);
  g_free(source->format_name);
  source->name = g_strdup_printf("%s!%s", name, rc_container_score(container));
  source->format_name = g_strdup(rc_container_score(container));
  source->container = container;
  return RC_SOURCE_TEXT;
}

static RcSourceStep
fail_container(RcSource *source, const char *name, GError **error)
{
  rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ name, 0, 0 }, "is larger than %s may be (%d bytes)", packed_score,
          RC_MAX_CONTAINER_BYTES);
  ++source->texts;
  return RC_SOURCE_PROBLEM;
}

static RcSourceStep
next_container(RcSource *source, GError **error)
{
  gsize length = 0;
  if (source->texts) {
    return RC_SOURCE_END;
  }
  char *bytes = rc_load_file(source->path, RC_MAX_CONTAINER_BYTES, packed_score, &length, error);
  return bytes ? open_container(source, bytes, length, source->path, error) : RC_SOURCE_FAILED;
}

static RcSourceStep
next_member_container(RcSource *source, const char *member, gint64 said, GError **error)
{
  char *name = g_strdup_printf("%s!%s", source->path, member);
  GByteArray *packed = g_byte_array_new();
  gssize n = 1;
  if (said <= RC_MAX_CONTAINER_BYTES) {
    char block[8 << 10];
    while (packed->len <= RC_MAX_CONTAINER_BYTES && (n = archive_read_data(source->archive, block, sizeof block)) > 0) {
      g_byte_array_append(packed, (const guint8 *)block, (guint)n);
    }
    source->bytes += packed->len;
  }
  RcSourceStep step = RC_SOURCE_PROBLEM;
  if (n == 0) {
    gsize length = packed->len;
    step = open_container(source, (char *)g_byte_array_free(packed, FALSE), length, name, error);
    packed = NULL;
  } else if (n > 0) {
    fail_container(source, name, error);
  } else {
    fail_archive(source, error);
    step = RC_SOURCE_FAILED;
  }
  g_clear_pointer(&packed, g_byte_array_unref);
  g_free(name);
  return step;
}

// ----------------------------------------------------------------------------------------------------------- members

static RcSourceStep
fail_size(RcSource *source, const char *member, gint64 size, GError **error)
{
  char *name = g_strdup_printf("%s!%s", source->path, member);
  rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ name, 0, 0 },
          "the member is said to hold %" G_GINT64_FORMAT " bytes; at most %d are unpacked", size,
          RC_MAX_UNPACKED_BYTES);
  g_free(name);
  ++source->texts;
  return RC_SOURCE_PROBLEM;
}

static RcSourceStep
fail_limit(const RcSource *source, GError **error)
{
  rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ source->path, 0, 0 }, "the archive has more than %d members",
          RC_MAX_MEMBERS);
  return RC_SOURCE_FAILED;
}

static RcSourceStep
fail_damaged(RcSource *source, const char *member, const char *why, GError **error)
{
  char *name = g_strdup_printf("%s!%s", source->path, member);
  rc_fail(error, RC_ERROR_IO, (RcPlace){ name, 0, 0 }, "is damaged and left out whole: %s; fetch it again", why);
  g_free(name);
  ++source->texts;
  return RC_SOURCE_PROBLEM;
}

static RcSourceStep
next_text(RcSource *source, const char *member, gint64 size, GError **error)
{
  const char *why = source->damaged ? g_hash_table_lookup(source->damaged, GUINT_TO_POINTER(source->members)) : NULL;
  if (why) {
    return fail_damaged(source, member, why, error);
  }
  if (size > RC_MAX_UNPACKED_BYTES) {
    return fail_size(source, member, size, error);
  }
  name_text(source, member);
  return RC_SOURCE_TEXT;
}

// Whether a member lies where systems keep their own, or is one of those files: "__MACOSX/weir.abc", "._weir.abc".
static gboolean
is_of_system(const char *member)
{
  gboolean found = FALSE;
  char **parts = g_strsplit(member, "/", -1);
  for (char **part = parts; *part && !found; ++part) {
    found = strcmp(*part, ".") != 0 && strcmp(*part, "..") != 0 && rc_name_is_of_system(*part);
  }
  g_strfreev(parts);
  return found;
}

static RcSourceStep
fail_nested(RcSource *source, const char *member, GError **error)
{
  char *name = g_strdup_printf("%s!%s", source->path, member);
  rc_fail(error, RC_ERROR_IO, (RcPlace){ name, 0, 0 },
          "an archive or compressed file within an archive is not unpacked; unpack it and name what it holds");
  g_free(name);
  ++source->texts;
  return RC_SOURCE_PROBLEM;
}

static RcSourceStep
next_member(RcSource *source, gboolean (*wanted)(const char *name), GError **error)
{
  for (struct archive_entry *entry;;) {
    const int result = archive_read_next_header(source->archive, &entry);
    if (result == ARCHIVE_EOF) {
      return RC_SOURCE_END;
    }
    if (result < ARCHIVE_WARN) {
      fail_archive(source, error);
      return RC_SOURCE_FAILED;
    }
    if (archive_format(source->archive) == ARCHIVE_FORMAT_RAW) {
      name_text(source, NULL);
      return RC_SOURCE_TEXT;
    }
    if (++source->members > RC_MAX_MEMBERS) {
      return fail_limit(source, error);
    }
    const char *name = archive_entry_pathname_utf8(entry);
    name = name ? name : archive_entry_pathname(entry);
    if (!name || archive_entry_filetype(entry) != AE_IFREG || is_of_system(name)) {
      continue;
    }
    if (rc_container_is_named(name)) {
      return next_member_container(source, name, archive_entry_size(entry), error);
    }
    if (wanted(name)) {
      return next_text(source, name, archive_entry_size(entry), error);
    }
    if (rc_name_is_archive(name)) {
      return fail_nested(source, name, error);
    }
  }
}

RcSourceStep
rc_source_next(RcSource *source, gboolean (*wanted)(const char *name), GError **error)
{
  return source->is_container ? next_container(source, error)
         : source->archive    ? next_member(source, wanted, error)
                              : next_file(source);
}

const char *
rc_source_name(const RcSource *source)
{
  return source->name;
}

const char *
rc_source_format_name(const RcSource *source)
{
  return source->format_name;
}

const char *
rc_source_note(const RcSource *source)
{
  return source->container ? rc_container_note(source->container) : NULL;
}

const char *
rc_source_failure(const RcSource *source)
{
  return source->failure;
}

gboolean
rc_source_is_member(const RcSource *source)
{
  return source->members > 0;
}

gboolean
rc_source_is_single(const RcSource *source)
{
  return source->file && source->texts;
}

guint
rc_source_texts(const RcSource *source)
{
  return source->texts;
}

// --------------------------------------------------------------------------------------------------------- reading

static gsize
read_archive(RcSource *source, char *bytes, gsize size)
{
  if (source->bytes > RC_MAX_UNPACKED_BYTES) {
    source->failure = g_strdup_printf("more than %d bytes unpacked; split the archive", RC_MAX_UNPACKED_BYTES);
    return 0;
  }
  const char *why = NULL;
  gssize n = 0;
  if (source->container) {
    n = rc_container_read(source->container, bytes, size, &why);
  } else {
    n = archive_read_data(source->archive, bytes, size);
    why = n < 0 ? archive_error_string(source->archive) : NULL;
  }
  if (n < 0) {
    source->failure = g_strdup(why ? why : "it is damaged");
  }
  return n < 0 ? 0 : (gsize)n;
}

static gsize
read_file(RcSource *source, char *bytes, gsize size)
{
  const gsize n = fread(bytes, 1, size, source->file);
  if (ferror(source->file)) {
    source->failure = g_strdup(g_strerror(errno ? errno : EIO));
  }
  return n;
}

static gsize
read_on(RcSource *source, char *bytes, gsize size)
{
  if (source->failure) {
    return 0;
  }
  const gsize n =
    source->archive || source->container ? read_archive(source, bytes, size) : read_file(source, bytes, size);
  source->bytes += n;
  return n;
}

gsize
rc_source_read(RcSource *source, char *bytes, gsize size)
{
  if (source->head_at == source->head_length) {
    return read_on(source, bytes, size);
  }
  const gsize n = MIN(size, source->head_length - source->head_at);
  memcpy(bytes, source->head + source->head_at, n);
  source->head_at += n;
  return n;
}

const char *
rc_source_head(RcSource *source, gsize *length)
{
  if (!source->file && !source->head_length) {
    source->head_length = read_on(source, source->head, sizeof source->head);
  }
  *length = source->head_length;
  return source->head;
}
