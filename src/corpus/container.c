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
  struct archive *archive;
  char *score;
  char *note; // NULL: the list names it
};

static const RcPlace nowhere = { NULL, 0, 0 }; // the archive, which is put before the message at the end

static const char *
reason(const RcContainer *c)
{
  const char *why = archive_error_string(c->archive);
  return why ? why : "it is damaged";
}

static gboolean
fail_unpacking(const RcContainer *c, GError **error)
{
  return rc_fail(error, RC_ERROR_IO, nowhere, "cannot be unpacked: %s", reason(c));
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

// Goes on to the next member; FALSE at the end, and with @p error set where the archive is damaged.
static gboolean
next_member(const RcContainer *c, struct archive_entry **entry, GError **error)
{
  const int result = archive_read_next_header(c->archive, entry);
  return result != ARCHIVE_EOF && (result >= ARCHIVE_WARN || fail_unpacking(c, error));
}

// Moves from the archive's beginning to a member.
static gboolean
seek(RcContainer *c, const char *member, GError **error)
{
  if (!start(c, error)) {
    return FALSE;
  }
  GError *problem = NULL;
  struct archive_entry *entry = NULL;
  for (guint members = 0; members < RC_MAX_MEMBERS && next_member(c, &entry, &problem); ++members) {
    if (!g_strcmp0(archive_entry_pathname_utf8(entry), member)) {
      return archive_entry_size(entry) <= RC_MAX_UNPACKED_BYTES ||
             rc_fail(error, RC_ERROR_LIMIT, nowhere,
                     "the member `%s` is said to hold %" G_GINT64_FORMAT " bytes; at most %d are unpacked", member,
                     (gint64)archive_entry_size(entry), RC_MAX_UNPACKED_BYTES);
    }
  }
  if (problem) {
    g_propagate_error(error, problem);
    return FALSE;
  }
  return c->score ? rc_fail(error, RC_ERROR_SYNTAX, nowhere, "has a %s that names `%.80s`, which it does not hold",
                            LIST, member)
                  : rc_fail(error, RC_ERROR_SYNTAX, nowhere, "holds no `%s`, which names the score", LIST);
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
    return rc_fail(error, RC_ERROR_LIMIT, nowhere, "has a %s of %d bytes or more, too many for a list", LIST,
                   MAX_LIST_BYTES);
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
    return rc_fail(error, RC_ERROR_SYNTAX, nowhere,
                   "has a %s that names no score; it needs a `rootfile` with its `full-path`", LIST);
  }
  return good || rc_fail(error, RC_ERROR_SYNTAX, nowhere, "has a %s that is broken in line %u (%s)", LIST, line, what);
}

// ------------------------------------------------------------------------------------------------------ the only score

// A member that may be the score: not the list, nor what a system adds beside each file.
static gboolean
is_score(struct archive_entry *entry)
{
  const char *name = archive_entry_pathname_utf8(entry);
  if (!name || archive_entry_filetype(entry) != AE_IFREG || g_str_has_prefix(name, "META-INF/") ||
      g_str_has_prefix(name, "__MACOSX/")) {
    return FALSE;
  }
  const char *slash = strrchr(name, '/');
  const gboolean hidden = (slash ? slash + 1 : name)[0] == '.';
  return !hidden && (rc_name_ends_in(name, ".xml") || rc_name_ends_in(name, ".musicxml"));
}

// The names of the scores, at most so many; NULL with `error` set where the archive is damaged.
static GPtrArray *
find_scores(RcContainer *c, guint most, GError **error)
{
  GError *problem = NULL;
  struct archive_entry *entry = NULL;
  GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
  if (start(c, &problem)) {
    for (guint members = 0; members < RC_MAX_MEMBERS && names->len < most && next_member(c, &entry, &problem);
         ++members) {
      if (is_score(entry)) {
        g_ptr_array_add(names, g_strdup(archive_entry_pathname_utf8(entry)));
      }
    }
  }
  if (problem) {
    g_propagate_error(error, problem);
    g_clear_pointer(&names, g_ptr_array_unref);
  }
  return names;
}

static gboolean
fail_several(const GPtrArray *names, const GError *cause, GError **error)
{
  return rc_fail(error, RC_ERROR_SYNTAX, nowhere,
                 "%s; it holds several scores (`%.80s`, `%.80s`): unpack it and name the one that is meant",
                 cause->message, (const char *)g_ptr_array_index(names, 0), (const char *)g_ptr_array_index(names, 1));
}

// Takes the only score where the list, for this cause, does not name it.
static gboolean
take_only_score(RcContainer *c, const GError *cause, GError **error)
{
  GPtrArray *names = find_scores(c, 2, error);
  gboolean good = FALSE;
  if (names && !names->len) {
    rc_fail(error, RC_ERROR_SYNTAX, nowhere, "%s, and it holds no score", cause->message);
  } else if (names && names->len > 1) {
    fail_several(names, cause, error);
  } else if (names) {
    g_free(c->score);
    c->score = g_strdup(g_ptr_array_index(names, 0));
    c->note = g_strdup_printf("the archive %s; its only score was read", cause->message);
    good = seek(c, c->score, error);
  }
  g_clear_pointer(&names, g_ptr_array_unref);
  return good;
}

static gboolean
open_score(RcContainer *c, GError **error)
{
  GError *cause = NULL;
  if (seek(c, LIST, &cause) && read_list(c, &cause) && seek(c, c->score, &cause)) {
    return TRUE;
  }
  if (cause->code != RC_ERROR_SYNTAX) {
    g_propagate_error(error, cause);
    return FALSE;
  }
  const gboolean good = take_only_score(c, cause, error);
  g_error_free(cause);
  return good;
}

RcContainer *
rc_container_open(char *bytes, gsize length, const char *name, GError **error)
{
  RcContainer *c = g_new0(RcContainer, 1);
  GError *problem = NULL;
  *c = (RcContainer){ .bytes = bytes, .length = length };
  if (open_score(c, &problem)) {
    return c;
  }
  if (problem) {
    rc_fail(error, (RcErrorCode)problem->code, (RcPlace){ name, 0, 0 }, "%s", problem->message);
  }
  g_clear_error(&problem);
  rc_container_free(c);
  return NULL;
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
    g_free(c->note);
    g_free(c);
  }
}

const char *
rc_container_score(const RcContainer *c)
{
  return c->score;
}

const char *
rc_container_note(const RcContainer *c)
{
  return c->note;
}
