// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Writing chord symbols: the nearest named chord, then what it has too little or too much.

#include "rowcall/music.h"

#include "music/degree.h"

#include <string.h>

typedef struct {
  const char *suffix;
  RcDegrees degrees;
} NamedChord;

#define MINOR_7 (RC_CHORD_MINOR | RC_BIT(FLAT_7))
#define MAJOR_7 (RC_CHORD_MAJOR | RC_BIT(7))
#define ROOT_5 (RC_BIT(1) | RC_BIT(5))

// In order of preference where two lie equally near.
static const NamedChord named_chords[] = {
  { "", RC_CHORD_MAJOR },
  { "m", RC_CHORD_MINOR },
  { "7", RC_CHORD_DOMINANT },
  { "maj7", MAJOR_7 },
  { "m7", MINOR_7 },
  { "dim", RC_CHORD_DIMINISHED },
  { "dim7", RC_CHORD_DIMINISHED_7 },
  { "m7b5", RC_CHORD_DIMINISHED | RC_BIT(FLAT_7) },
  { "aug", RC_CHORD_AUGMENTED },
  { "6", RC_CHORD_MAJOR | RC_BIT(6) },
  { "m6", RC_CHORD_MINOR | RC_BIT(6) },
  { "m(maj7)", RC_CHORD_MINOR | RC_BIT(7) },
  { "dim(maj7)", RC_CHORD_DIMINISHED | RC_BIT(7) },
  { "9", RC_CHORD_DOMINANT | RC_BIT(9) },
  { "maj9", MAJOR_7 | RC_BIT(9) },
  { "m9", MINOR_7 | RC_BIT(9) },
  { "6/9", RC_CHORD_MAJOR | RC_BIT(6) | RC_BIT(9) },
  { "m6/9", RC_CHORD_MINOR | RC_BIT(6) | RC_BIT(9) },
  { "11", RC_CHORD_DOMINANT | RC_BIT(9) | RC_BIT(11) },
  { "maj11", MAJOR_7 | RC_BIT(9) | RC_BIT(11) },
  { "m11", MINOR_7 | RC_BIT(9) | RC_BIT(11) },
  { "13", RC_CHORD_DOMINANT | RC_BIT(9) | RC_BIT(11) | RC_BIT(13) },
  { "maj13", MAJOR_7 | RC_BIT(9) | RC_BIT(11) | RC_BIT(13) },
  { "m13", MINOR_7 | RC_BIT(9) | RC_BIT(11) | RC_BIT(13) },
  { "aug7", RC_CHORD_AUGMENTED | RC_BIT(FLAT_7) },
  { "sus2", ROOT_5 | RC_BIT(SUS_2) },
  { "sus4", ROOT_5 | RC_BIT(SUS_4) },
  { "sus24", ROOT_5 | RC_SUSPENDED },
  { "7sus2", ROOT_5 | RC_BIT(SUS_2) | RC_BIT(FLAT_7) },
  { "7sus4", ROOT_5 | RC_BIT(SUS_4) | RC_BIT(FLAT_7) },
  { "9sus4", ROOT_5 | RC_BIT(SUS_4) | RC_BIT(FLAT_7) | RC_BIT(9) },
  { "13sus4", ROOT_5 | RC_BIT(SUS_4) | RC_BIT(FLAT_7) | RC_BIT(9) | RC_BIT(11) | RC_BIT(13) },
  { "5", ROOT_5 },
  { "ped", RC_BIT(1) },
};

// The fifth, ninth, eleventh or thirteenth that an altered one stands for in a symbol.
static RcDegrees
natural_of(RcDegree degree)
{
  switch (degree) {
  case RC_DEGREE_FLAT_5:
  case RC_DEGREE_SHARP_5:
    return RC_BIT(5);
  case RC_DEGREE_FLAT_9:
  case RC_DEGREE_SHARP_9:
    return RC_BIT(9);
  case RC_DEGREE_SHARP_11:
    return RC_BIT(11);
  case RC_DEGREE_FLAT_13:
    return RC_BIT(13);
  default:
    return 0;
  }
}

// An altered degree is written bare (7b9) where the chord lacks the natural one, with "add" where it has both.
static gboolean
written_bare(RcDegree degree, RcDegrees wanted)
{
  return natural_of(degree) && !(natural_of(degree) & wanted);
}

static RcDegrees
naturals_implied_away(RcDegrees extra, RcDegrees wanted)
{
  RcDegrees away = 0;
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    if ((extra & (1U << i)) && written_bare((RcDegree)i, wanted)) {
      away |= natural_of((RcDegree)i);
    }
  }
  return away;
}

// "sus" takes the third away, so a chord that has both must be named from a suspended one.
static gboolean
can_name(const NamedChord *base, RcDegrees wanted)
{
  return !((wanted & ~base->degrees & RC_SUSPENDED) && (wanted & RC_THIRDS));
}

static const NamedChord *
nearest_named_chord(RcDegrees wanted)
{
  const NamedChord *best = NULL;
  guint best_edits = G_MAXUINT;
  for (guint i = 0; best_edits && i < G_N_ELEMENTS(named_chords); ++i) {
    const RcDegrees extra = wanted & ~named_chords[i].degrees;
    const RcDegrees lack = named_chords[i].degrees & ~wanted & ~naturals_implied_away(extra, wanted);
    const guint edits = rc_count_bits(extra) + rc_count_bits(lack);
    if (edits < best_edits && can_name(&named_chords[i], wanted)) {
      best = &named_chords[i];
      best_edits = edits;
    }
  }
  return best;
}

static void
append_extra(GString *name, RcDegree degree, RcDegrees wanted)
{
  if (written_bare(degree, wanted)) {
    g_string_append(name, rc_degree_info[degree].name);
  } else if (degree == RC_DEGREE_SUS_2 || degree == RC_DEGREE_SUS_4) {
    g_string_append_printf(name, "sus%s", rc_degree_info[degree].name);
  } else {
    g_string_append_printf(name, "add%s", degree == RC_DEGREE_7 ? "M7" : rc_degree_info[degree].name);
  }
}

static void
append_lack(GString *name, RcDegree degree)
{
  const char *number = rc_degree_info[degree].name;
  g_string_append_printf(name, "(no%s)", number + strspn(number, "b#"));
}

static void
append_suffix(GString *name, RcDegrees wanted)
{
  const NamedChord *base = nearest_named_chord(wanted);
  const RcDegrees extra = wanted & ~base->degrees;
  const RcDegrees lack = base->degrees & ~wanted & ~naturals_implied_away(extra, wanted);
  g_string_append(name, base->suffix);
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    if (lack & (1U << i)) {
      append_lack(name, (RcDegree)i);
    }
  }
  const gboolean bracket = !*base->suffix && !lack;
  for (guint i = 0; i < RC_N_DEGREES; ++i) {
    if (!(extra & (1U << i))) {
      continue;
    }
    const gboolean bare = written_bare((RcDegree)i, wanted);
    g_string_append(name, bracket && bare ? "(" : "");
    append_extra(name, (RcDegree)i, wanted);
    g_string_append(name, bracket && bare ? ")" : "");
  }
}

// "b" and "#" before a digit, or before a "b" that is, become the real signs.
static void
append_with_real_signs(GString *name, const char *suffix)
{
  for (const char *at = suffix; *at; ++at) {
    const char *next = at + strspn(at, "b#");
    if (next == at || !g_ascii_isdigit(*next)) {
      g_string_append_c(name, *at);
    } else {
      g_string_append(name, *at == 'b' ? "♭" : "♯");
    }
  }
}

char *
rc_chord_name(const RcChord *chord, RcSigns signs)
{
  GString *name = g_string_new(rc_note_name(chord->root, signs));
  GString *suffix = g_string_new(NULL);
  append_suffix(suffix, chord->degrees);
  if (signs == RC_SIGNS_UNICODE) {
    append_with_real_signs(name, suffix->str);
  } else {
    g_string_append(name, suffix->str);
  }
  g_string_free(suffix, TRUE);
  if (chord->bass != chord->root) {
    g_string_append_printf(name, "/%s", rc_note_name(chord->bass, signs));
  }
  return g_string_free(name, FALSE);
}

// What the last slash separates, where a bass may begin. NULL without a slash.
static const char *
after_slash(const char *text)
{
  const char *slash = strrchr(text, '/');
  return slash ? slash + 1 + strspn(slash + 1, " \u00A0") : NULL;
}

// In a chord symbol a `b` is a flat but where it is the bass: that of "C/b", not of "C7/b9".
static const char *
real_sign(const char *at, const char *bass)
{
  const gboolean flat = *at == 'b' && (at != bass || g_ascii_isdigit(at[1]));
  return *at == '#' ? "♯" : flat ? "♭" : NULL;
}

char *
rc_symbol_shown(const RcSymbol *symbol, RcSigns signs)
{
  if (symbol->kind != RC_SYMBOL_CHORD || signs == RC_SIGNS_ASCII) {
    return g_strdup(symbol->text);
  }
  const char *bass = after_slash(symbol->text);
  GString *shown = g_string_new(NULL);
  for (const char *at = symbol->text; *at; ++at) {
    const char *sign = real_sign(at, bass);
    g_string_append_len(shown, sign ? sign : at, sign ? -1 : 1);
  }
  return g_string_free(shown, FALSE);
}
