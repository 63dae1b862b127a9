// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Texts of ABC tunes, such as titles: section 8.2 of the standard tells how letters are written that ASCII lacks.

#include "corpus/abc/text.h"

#include <string.h>

enum { LONGEST_ENTITY = 8 };

static gboolean
is_escaped(const char *at, const char *start)
{
  return at > start && at[-1] == '\\';
}

AbcText
abc_trim(AbcText text)
{
  const char *remark = memchr(text.at, '%', (gsize)(text.end - text.at));
  if (remark && !is_escaped(remark, text.at)) {
    text.end = remark;
  }
  while (text.at < text.end && g_ascii_isspace(*text.at)) {
    ++text.at;
  }
  while (text.end > text.at && g_ascii_isspace(text.end[-1])) {
    --text.end;
  }
  return text;
}

gboolean
abc_starts_with(AbcText text, const char *word)
{
  const gsize n = strlen(word);
  return abc_length(text) >= n && !g_ascii_strncasecmp(text.at, word, n);
}

// Without a way out in the middle, so that it is fast.
gboolean
abc_is_plain(AbcText text)
{
  guint strange = 0;
  for (; text.at < text.end; ++text.at) {
    const guchar c = (guchar)*text.at;
    strange |= (guint)(c >= 0x80) | (guint)(c == '\\') | (guint)(c == '&') | (guint)(c == '\n');
  }
  return !strange;
}

// --------------------------------------------------------------------------------------------------------- letters

// "\'e" and "&eacute;" are e and this.
typedef struct {
  char sign;
  const char *entity;
  const char *combining;
} Accent;

static const Accent accents[] = {
  { '`', "grave", "\u0300" }, { '\'', "acute", "\u0301" }, { '^', "circ", "\u0302" }, { '~', "tilde", "\u0303" },
  { '"', "uml", "\u0308" },   { 'c', "cedil", "\u0327" },  { 'o', "ring", "\u030A" }, { 'u', "breve", "\u0306" },
  { 'v', "caron", "\u030C" }, { 'H', "dblac", "\u030B" },
};

// "\ae" and "&aelig;" are this.
typedef struct {
  const char *written; // after a backslash; "" where there is only the entity
  const char *entity;
  const char *letter;
} Letter;

static const Letter letters[] = {
  { "AA", "Aring", "\u00C5" },
  { "aa", "aring", "\u00E5" },
  { "/O", "Oslash", "\u00D8" },
  { "/o", "oslash", "\u00F8" },
  { "AE", "AElig", "\u00C6" },
  { "ae", "aelig", "\u00E6" },
  { "OE", "OElig", "\u0152" },
  { "oe", "oelig", "\u0153" },
  { "ss", "szlig", "\u00DF" },
  { "DH", "ETH", "\u00D0" },
  { "dh", "eth", "\u00F0" },
  { "TH", "THORN", "\u00DE" },
  { "th", "thorn", "\u00FE" },
  { "", "amp", "&" },
  { "", "lt", "<" },
  { "", "gt", ">" },
  { "", "quot", "\"" },
  { "", "nbsp", " " },
  { "", "copy", "\u00A9" },
  { "", "reg", "\u00AE" },
  { "", "iexcl", "\u00A1" },
  { "", "iquest", "\u00BF" },
  { "", "ndash", "\u2013" },
  { "", "hellip", "\u2026" },
};

static gboolean
append_code(GString *out, const char *digits, gsize length, guint base)
{
  char number[LONGEST_ENTITY + 1] = { 0 };
  char *end = NULL;
  memcpy(number, digits, MIN(length, LONGEST_ENTITY));
  const guint64 code = g_ascii_isxdigit(*number) ? g_ascii_strtoull(number, &end, base) : 0;
  if (code < ' ' || *end || code > 0x10FFFF || !g_unichar_validate((gunichar)code) ||
      g_unichar_iscntrl((gunichar)code)) {
    return FALSE;
  }
  g_string_append_unichar(out, (gunichar)code);
  return TRUE;
}

// What follows a backslash; returns how many bytes of it. A sign of the format means itself.
static gsize
append_escaped(GString *out, const char *at)
{
  enum { HEX = 16, DIGITS = 4 };
  for (guint i = 0; i < G_N_ELEMENTS(letters); ++i) {
    if (*letters[i].written && g_str_has_prefix(at, letters[i].written)) {
      g_string_append(out, letters[i].letter);
      return strlen(letters[i].written);
    }
  }
  if (*at == 'u' && strlen(at) > DIGITS && append_code(out, at + 1, DIGITS, HEX)) {
    return 1 + DIGITS;
  }
  for (guint i = 0; i < G_N_ELEMENTS(accents) && g_ascii_isalpha(at[0] ? at[1] : '\0'); ++i) {
    if (accents[i].sign == *at) {
      g_string_append_printf(out, "%c%s", at[1], accents[i].combining);
      return 2;
    }
  }
  g_string_append_len(out, at, *at ? 1 : 0);
  return *at ? 1 : 0;
}

static gboolean
append_named(GString *out, const char *name, gsize length)
{
  for (guint i = 0; i < G_N_ELEMENTS(letters); ++i) {
    if (strlen(letters[i].entity) == length && !memcmp(letters[i].entity, name, length)) {
      g_string_append(out, letters[i].letter);
      return TRUE;
    }
  }
  for (guint i = 0; i < G_N_ELEMENTS(accents) && g_ascii_isalpha(*name); ++i) {
    if (strlen(accents[i].entity) + 1 == length && !memcmp(accents[i].entity, name + 1, length - 1)) {
      g_string_append_printf(out, "%c%s", *name, accents[i].combining);
      return TRUE;
    }
  }
  return FALSE;
}

// An entity, after its "&"; returns how many bytes of it, 0 where there is none.
static gsize
append_entity(GString *out, const char *at)
{
  enum { DECIMAL = 10, HEX = 16 };
  const gsize length = strcspn(at, ";");
  if (at[length] != ';' || !length || length > LONGEST_ENTITY) {
    return 0;
  }
  const gboolean hex = at[0] == '#' && (at[1] == 'x' || at[1] == 'X');
  const gsize head = hex ? 2 : 1;
  const gboolean known =
    at[0] == '#' ? append_code(out, at + head, length - head, hex ? HEX : DECIMAL) : append_named(out, at, length);
  return known ? length + 1 : 0;
}

// ----------------------------------------------------------------------------------------------------------- lines

// Goes to the text of the next line of a field, after its "+:", with one blank between.
static const char *
join_line(GString *out, const char *at)
{
  while (out->len && g_ascii_isspace(out->str[out->len - 1])) {
    g_string_truncate(out, out->len - 1);
  }
  g_string_append_c(out, ' ');
  at += g_str_has_prefix(at, "\n+:") ? 3 : 1;
  return at + strspn(at, " \t");
}

static char *
plain_text(const char *text)
{
  GString *out = g_string_new(NULL);
  for (const char *at = text; *at;) {
    const gsize entity = *at == '&' ? append_entity(out, at + 1) : 0;
    if (entity) {
      at += 1 + entity;
    } else if (*at == '\\') {
      at += 1 + append_escaped(out, at + 1);
    } else if (*at == '\n') {
      at = join_line(out, at);
    } else if (*at == '%') {
      at += strcspn(at, "\n"); // a remark
    } else {
      g_string_append_c(out, *at++);
    }
  }
  char *composed = g_utf8_normalize(out->str, -1, G_NORMALIZE_DEFAULT_COMPOSE);
  g_string_free(out, TRUE);
  return g_strchomp(composed);
}

char *
abc_text_to_utf8(AbcText text)
{
  const gssize length = text.end - text.at;
  char *utf8 = g_utf8_validate(text.at, length, NULL)
                 ? g_strndup(text.at, (gsize)length)
                 : g_convert(text.at, length, "UTF-8", "ISO-8859-1", NULL, NULL, NULL);
  if (!utf8) {
    utf8 = g_utf8_make_valid(text.at, length);
  }
  if (strpbrk(utf8, "\\&\n")) {
    char *plain = plain_text(utf8);
    g_free(utf8);
    utf8 = plain;
  }
  return utf8;
}
