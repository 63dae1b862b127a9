// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/container.h"

#include "corpus/format.h"
#include "rowcall/error.h"

#include <archive.h>
#include <archive_entry.h>
#include <expat.h>
#include <string.h>

#define LIST "META-INF/container.xml"

enum { MAX_LIST_BYTES = 64 << 10 };

gboolean
rc_container_is_named(const char *name)
{
  return rc_name_ends_in(name, ".mxl");
}

struct RcContainer {
  char *bytes;
  gsize length;
  const char *name; // borrowed, while it is opened
  struct archive *archive;
  char *score;
};

static const char *
reason(const RcContainer *c)
{
  const char *why = archive_error_string(c->archive);
  return why ? why : "it is damaged";
}

static gboolean
fail_unpacking(const RcContainer *c, GError **error)
{
  return rc_fail(error, RC_ERROR_IO, (RcPlace){ c->name, 0, 0 }, "cannot be unpacked: %s", reason(c));
}

static gboolean
start(RcContainer *c, GError **error)
{
  if (c->archive) {
    archive_read_free(c->archive);
  }
  c->archive = archive_read_new();
  archive_read_support_format_zip(c->archive);
  return archive_read_open_memory(c->archive, c->bytes, c->length) == ARCHIVE_OK || fail_unpacking(c, error);
}

// Moves from the archive's beginning to a member.
static gboolean
seek(RcContainer *c, const char *member, GError **error)
{
  if (!start(c, error)) {
    return FALSE;
  }
  struct archive_entry *entry = NULL;
  for (guint members = 0; members < RC_MAX_MEMBERS; ++members) {
    const int result = archive_read_next_header(c->archive, &entry);
    if (result == ARCHIVE_EOF) {
      break;
    }
    if (result < ARCHIVE_WARN) {
      return fail_unpacking(c, error);
    }
    const char *name = archive_entry_pathname_utf8(entry);
    if (!g_strcmp0(name, member)) {
      return archive_entry_size(entry) <= RC_MAX_UNPACKED_BYTES ||
             rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ c->name, 0, 0 },
                     "the member `%s` is said to hold %" G_GINT64_FORMAT " bytes; at most %d are unpacked", member,
                     (gint64)archive_entry_size(entry), RC_MAX_UNPACKED_BYTES);
    }
  }
  return c->score ? rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ c->name, 0, 0 },
                            "%s names `%.80s`, which the archive does not hold", LIST, member)
                  : rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ c->name, 0, 0 },
                            "is no compressed MusicXML: it holds no `%s`, which names the score", LIST);
}

gssize
rc_container_read(RcContainer *c, char *bytes, gsize size, const char **why)
{
  const la_ssize_t n = archive_read_data(c->archive, bytes, size);
  *why = n < 0 ? reason(c) : NULL;
  return (gssize)n;
}

// ---------------------------------------------------------------------------------------------------------- the list

// The first `rootfile` is the score.
static void XMLCALL
start_element(void *data, const char *element, const char **attributes)
{
  RcContainer *c = data;
  for (; !c->score && !strcmp(element, "rootfile") && *attributes; attributes += 2) {
    if (!strcmp(attributes[0], "full-path")) {
      c->score = g_strdup(attributes[1]);
      return;
    }
  }
}

static gboolean
read_list(RcContainer *c, GError **error)
{
  const char *why = NULL;
  char *text = g_malloc(MAX_LIST_BYTES);
  gsize length = 0;
  gssize n = 0;
  while (length < MAX_LIST_BYTES && (n = rc_container_read(c, text + length, MAX_LIST_BYTES - length, &why)) > 0) {
    length += (gsize)n;
  }
  if (length == MAX_LIST_BYTES) {
    g_free(text);
    return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ c->name, 0, 0 }, "%s has %d bytes or more, too many for a list",
                   LIST, MAX_LIST_BYTES);
  }
  XML_Parser parser = XML_ParserCreate(NULL);
  XML_SetUserData(parser, c);
  XML_SetStartElementHandler(parser, start_element);
  const gboolean good = n >= 0 && XML_Parse(parser, text, (int)length, 1) == XML_STATUS_OK;
  const guint line = (guint)XML_GetCurrentLineNumber(parser);
  const char *what = why ? why : XML_ErrorString(XML_GetErrorCode(parser));
  XML_ParserFree(parser);
  g_free(text);
  if (good && !c->score) {
    return rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ c->name, 0, 0 },
                   "%s names no score; it needs a `rootfile` with its `full-path`", LIST);
  }
  return good ||
         rc_fail(error, RC_ERROR_SYNTAX, (RcPlace){ c->name, 0, 0 }, "%s, line %u, is broken: %s", LIST, line, what);
}

RcContainer *
rc_container_open(char *bytes, gsize length, const char *name, GError **error)
{
  RcContainer *c = g_new0(RcContainer, 1);
  *c = (RcContainer){ .bytes = bytes, .length = length, .name = name };
  if (!seek(c, LIST, error) || !read_list(c, error) || !seek(c, c->score, error)) {
    rc_container_free(c);
    return NULL;
  }
  return c;
}

void
rc_container_free(RcContainer *c)
{
  if (c) {
    if (c->archive) {
      archive_read_free(c->archive);
    }
    g_free(c->bytes);
    g_free(c->score);
    g_free(c);
  }
}

const char *
rc_container_score(const RcContainer *c)
{
  return c->score;
}
