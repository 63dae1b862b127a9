// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Degrees that chord symbols name by their number: altered ones, and those after "add" and "no".

#include "music/symbol_reader.h"

#include <string.h>

// --------------------------------------------------------------------------------------------------------- alterations

typedef struct {
  const char *text;
  int sharps;
} AlterationSign;

static const AlterationSign alteration_signs[] = { { "b", -1 }, { "♭", -1 }, { "-", -1 }, { "−", -1 },
                                                   { "–", -1 }, { "#", 1 },  { "♯", 1 },  { "+", 1 } };

typedef struct {
  int sharps;
  const char *number;
  RcDegree degree;
  RcDegrees replaces;
} Alteration;

static const Alteration alterations[] = {
  { -1, "13", RC_DEGREE_FLAT_13, RC_BIT(13) },
  { 1, "11", RC_DEGREE_SHARP_11, RC_BIT(11) },
  { -1, "9", RC_DEGREE_FLAT_9, RC_BIT(9) },
  { 1, "9", RC_DEGREE_SHARP_9, RC_BIT(9) },
  { -1, "5", RC_DEGREE_FLAT_5, RC_BIT(5) },
  { 1, "5", RC_DEGREE_SHARP_5, RC_BIT(5) },
  { -1, "6", RC_DEGREE_FLAT_13, RC_BIT(6) },
  { 1, "4", RC_DEGREE_SHARP_11, RC_BIT(11) },
  { -1, "2", RC_DEGREE_FLAT_9, RC_BIT(9) },
  { 1, "2", RC_DEGREE_SHARP_9, RC_BIT(9) },
  { 1, "7", RC_DEGREE_7, 0 },
};

static gsize
read_alteration_sign(const char *at, gsize length, int *sharps)
{
  for (guint i = 0; i < G_N_ELEMENTS(alteration_signs); ++i) {
    const gsize n = strlen(alteration_signs[i].text);
    if (n <= length && !memcmp(at, alteration_signs[i].text, n)) {
      *sharps = alteration_signs[i].sharps;
      return n;
    }
  }
  return 0;
}

// Directly after the root "+" and "-" are qualities, unless a fifth follows: C-9 is a minor ninth, C-5 a flat fifth.
static gboolean
sign_is_quality(const RcSymbolReader *r)
{
  const gboolean either = *r->at == '+' || *r->at == '-';
  return either && !r->words && !r->brackets && (rc_symbol_left(r) < 2 || r->at[1] != '5');
}

// The alteration whose number begins at `at`.
static const Alteration *
find_alteration(const char *at, gsize length, int sharps)
{
  for (guint i = 0; i < G_N_ELEMENTS(alterations); ++i) {
    const Alteration *a = &alterations[i];
    const gsize n = strlen(a->number);
    if (a->sharps == sharps && n <= length && !memcmp(at, a->number, n)) {
      return a;
    }
  }
  return NULL;
}

// Applies an alteration, if it is one that was not there before, and goes on after it.
static gboolean
apply_alteration(RcSymbolReader *r, const Alteration *a, gsize sign)
{
  if (!a || !rc_symbol_say(r, 1U << a->degree)) {
    return FALSE;
  }
  rc_symbol_replace(r, a->replaces, 1U << a->degree);
  r->at += sign + strlen(a->number);
  return TRUE;
}

gboolean
rc_read_alteration(RcSymbolReader *r)
{
  int sharps = 0;
  const gsize sign = read_alteration_sign(r->at, rc_symbol_left(r), &sharps);
  if (!sign || sign_is_quality(r)) {
    return FALSE;
  }
  return apply_alteration(r, find_alteration(r->at + sign, rc_symbol_left(r) - sign, sharps), sign);
}

RcSignLast
rc_find_sign_last(const RcSymbolReader *r, gboolean apart)
{
  RcSignLast found = { 0 };
  while (found.digits < rc_symbol_left(r) && g_ascii_isdigit(r->at[found.digits])) {
    ++found.digits;
  }
  const char *sign = r->at + found.digits;
  const gsize n = found.digits ? read_alteration_sign(sign, rc_symbol_left(r) - found.digits, &found.sharps) : 0;
  const gboolean fifth = found.digits == 1 && *r->at == '5' && !r->words;
  const gboolean ends = sign + n == r->end || strchr(")],/ ", sign[n]);
  found.sign = ends && (apart || fifth) ? n : 0;
  return found;
}

// C(7+) is a major seventh to some and an augmented chord to others.
gboolean
rc_read_sign_last(RcSymbolReader *r, RcSignLast found)
{
  const Alteration *a = find_alteration(r->at, rc_symbol_left(r), found.sharps);
  return a && strlen(a->number) == found.digits && *r->at != '7' && apply_alteration(r, a, found.sign);
}

// ------------------------------------------------------------------------------------------------------ "add" and "no"

typedef struct {
  const char *text;
  RcDegrees adds;  // 0: cannot be added
  RcDegrees takes; // 0: cannot be taken away
} NamedDegree;

// Longer names first.
static const NamedDegree named_degrees[] = {
  { "maj7", RC_BIT(7), 0 },
  { "root", 0, RC_BIT(1) },
  { "bb7", RC_BIT(DOUBLE_FLAT_7), 0 },
  { "b13", RC_BIT(FLAT_13), 0 },
  { "#11", RC_BIT(SHARP_11), 0 },
  { "M7", RC_BIT(7), 0 },
  { "b3", RC_BIT(FLAT_3), 0 },
  { "b5", RC_BIT(FLAT_5), 0 },
  { "#5", RC_BIT(SHARP_5), 0 },
  { "b6", RC_BIT(FLAT_13), 0 },
  { "b7", RC_BIT(FLAT_7), 0 },
  { "b9", RC_BIT(FLAT_9), 0 },
  { "#9", RC_BIT(SHARP_9), 0 },
  { "#4", RC_BIT(SHARP_11), 0 },
  { "11", RC_BIT(11), RC_BIT(11) | RC_BIT(SHARP_11) },
  { "13", RC_BIT(13), RC_BIT(13) | RC_BIT(FLAT_13) },
  { "1", RC_BIT(1), RC_BIT(1) },
  { "2", RC_BIT(9), RC_BIT(SUS_2) | RC_BIT(9) },
  { "3", RC_BIT(3), RC_THIRDS },
  { "4", RC_BIT(11), RC_BIT(SUS_4) | RC_BIT(11) },
  { "5", RC_BIT(5), RC_FIFTHS },
  { "6", RC_BIT(6), RC_BIT(6) },
  { "7", RC_BIT(FLAT_7), RC_SEVENTHS },
  { "9", RC_BIT(9), RC_BIT(FLAT_9) | RC_BIT(9) | RC_BIT(SHARP_9) },
};

static gsize
ordinal_ending(const char *at, gsize length)
{
  return length >= 2 && (!memcmp(at, "rd", 2) || !memcmp(at, "th", 2)) ? 2 : 0;
}

// Copies the start of a listed degree with its signs as `b` or `#`, and returns how many bytes shorter the copy is.
static gsize
fold_signs(const char *at, gsize length, char *folded, gsize size)
{
  GString *copy = g_string_sized_new(size);
  gsize read = 0;
  int sharps = 0;
  for (gsize sign; (sign = read_alteration_sign(at + read, length - read, &sharps)) > 1; read += sign) {
    g_string_append_c(copy, sharps < 0 ? 'b' : '#');
  }
  const gsize signs = copy->len;
  g_string_append_len(copy, at + read, (gssize)MIN(length - read, 6));
  g_strlcpy(folded, copy->str, size);
  g_string_free(copy, TRUE);
  return read - signs;
}

gboolean
rc_read_listed_degree(RcSymbolReader *r)
{
  char text[16];
  const gsize extra = fold_signs(r->at, rc_symbol_left(r), text, sizeof text);
  for (guint i = 0; i < G_N_ELEMENTS(named_degrees); ++i) {
    const NamedDegree *named = &named_degrees[i];
    const RcDegrees change = r->verb == RC_WORD_ADD ? named->adds : named->takes;
    if (change && g_str_has_prefix(text, named->text)) {
      r->degrees = r->verb == RC_WORD_ADD ? r->degrees | change : r->degrees & ~change;
      r->at += strlen(named->text) + extra;
      r->at += ordinal_ending(r->at, rc_symbol_left(r));
      return TRUE;
    }
  }
  return FALSE;
}
