// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/musicxml/element.h"

#include <math.h>
#include <string.h>

#define MOST_DURATION ((double)MX_LONGEST_BAR * MX_MAX_DIVISIONS)

const MxElement mx_elements[MX_N_NAMES] = {
  [MX_MEASURE] = { .name = "" },

  [MX_ATTRIBUTES] = { .name = "attributes", .within = { MX_MEASURE } },
  [MX_DIVISIONS] = { "divisions",
                     { MX_ATTRIBUTES },
                     MX_NUMBER,
                     1.0 / 64,
                     MX_MAX_DIVISIONS,
                     "how many divisions a quarter note has, a number above 0 and at most 65536",
                     FALSE },
  [MX_KEY] = { .name = "key", .within = { MX_ATTRIBUTES } },
  [MX_FIFTHS] = { "fifths", { MX_KEY }, MX_WHOLE, -11, 11, NULL, FALSE },
  [MX_MODE] = { .name = "mode", .within = { MX_KEY }, .content = MX_TEXT },
  [MX_KEY_STEP] = { .name = "key-step", .within = { MX_KEY }, .content = MX_TEXT },
  [MX_KEY_ALTER] = { "key-alter", { MX_KEY }, MX_WHOLE, -3, 3, NULL, FALSE },
  [MX_TIME] = { .name = "time", .within = { MX_ATTRIBUTES } },
  [MX_BEATS] = { .name = "beats", .within = { MX_TIME }, .content = MX_TEXT },
  [MX_BEAT_TYPE] = { .name = "beat-type", .within = { MX_TIME }, .content = MX_TEXT },
  [MX_TRANSPOSE] = { .name = "transpose", .within = { MX_ATTRIBUTES } },
  [MX_CHROMATIC] = { "chromatic", { MX_TRANSPOSE }, MX_WHOLE, -96, 96, NULL, FALSE },
  [MX_DIATONIC] = { "diatonic", { MX_TRANSPOSE }, MX_WHOLE, -56, 56, NULL, FALSE },
  [MX_OCTAVE_CHANGE] = { "octave-change", { MX_TRANSPOSE }, MX_WHOLE, -9, 9, NULL, FALSE },

  [MX_NOTE] = { .name = "note", .within = { MX_MEASURE } },
  [MX_CHORD] = { .name = "chord", .within = { MX_NOTE } },
  [MX_GRACE] = { .name = "grace", .within = { MX_NOTE } },
  [MX_CUE] = { .name = "cue", .within = { MX_NOTE } },
  [MX_PITCH] = { .name = "pitch", .within = { MX_NOTE } },
  [MX_STEP] = { "step", { MX_PITCH }, MX_LETTER, 0, 0, "a step from A to G", FALSE },
  [MX_ALTER] = { "alter", { MX_PITCH }, MX_WHOLE, -3, 3, NULL, FALSE },
  [MX_OCTAVE] = { "octave", { MX_PITCH }, MX_WHOLE, 0, 9, NULL, FALSE },
  [MX_STAFF] = { .name = "staff", .within = { MX_NOTE }, .content = MX_TEXT },
  [MX_DURATION] = { "duration",
                    { MX_NOTE, MX_BACKUP, MX_FORWARD },
                    MX_NUMBER,
                    0,
                    MOST_DURATION,
                    "a duration, a number above 0",
                    FALSE },
  [MX_BACKUP] = { .name = "backup", .within = { MX_MEASURE } },
  [MX_FORWARD] = { .name = "forward", .within = { MX_MEASURE } },

  [MX_HARMONY] = { .name = "harmony", .within = { MX_MEASURE }, .attributes = TRUE },
  [MX_ROOT] = { .name = "root", .within = { MX_HARMONY } },
  [MX_ROOT_STEP] = { "root-step", { MX_ROOT }, MX_LETTER, 0, 0, "a root from A to G", FALSE },
  [MX_ROOT_ALTER] = { "root-alter", { MX_ROOT }, MX_WHOLE, -2, 2, NULL, FALSE },
  [MX_FUNCTION] = { .name = "function", .within = { MX_HARMONY }, .content = MX_TEXT },
  [MX_NUMERAL] = { .name = "numeral", .within = { MX_HARMONY } },
  [MX_NUMERAL_ROOT] = { .name = "numeral-root", .within = { MX_NUMERAL }, .content = MX_TEXT },
  [MX_KIND] = { .name = "kind", .within = { MX_HARMONY }, .content = MX_TEXT, .attributes = TRUE },
  [MX_INVERSION] = { .name = "inversion", .within = { MX_HARMONY }, .content = MX_TEXT },
  [MX_BASS] = { .name = "bass", .within = { MX_HARMONY } },
  [MX_BASS_STEP] = { "bass-step", { MX_BASS }, MX_LETTER, 0, 0, "a bass from A to G", FALSE },
  [MX_BASS_ALTER] = { "bass-alter", { MX_BASS }, MX_WHOLE, -2, 2, NULL, FALSE },
  [MX_DEGREE] = { .name = "degree", .within = { MX_HARMONY } },
  [MX_DEGREE_VALUE] = { "degree-value", { MX_DEGREE }, MX_WHOLE, 1, 14, NULL, FALSE },
  [MX_DEGREE_ALTER] = { "degree-alter", { MX_DEGREE }, MX_WHOLE, -3, 3, NULL, FALSE },
  [MX_DEGREE_TYPE] = { .name = "degree-type", .within = { MX_DEGREE }, .content = MX_TEXT },
  [MX_OFFSET] = { "offset", { MX_HARMONY }, MX_NUMBER, -MOST_DURATION, MOST_DURATION, "an offset in divisions", FALSE },

  [MX_DIRECTION] = { .name = "direction", .within = { MX_MEASURE } },
  [MX_DIRECTION_TYPE] = { .name = "direction-type", .within = { MX_DIRECTION } },
  [MX_METRONOME] = { .name = "metronome", .within = { MX_DIRECTION_TYPE } },
  [MX_BEAT_UNIT] = { .name = "beat-unit", .within = { MX_METRONOME }, .content = MX_TEXT },
  [MX_BEAT_UNIT_DOT] = { .name = "beat-unit-dot", .within = { MX_METRONOME } },
  [MX_PER_MINUTE] = { .name = "per-minute", .within = { MX_METRONOME }, .content = MX_TEXT },
  [MX_SOUND] = { .name = "sound", .within = { MX_MEASURE, MX_DIRECTION }, .attributes = TRUE },
  [MX_SEGNO] = { .name = "segno", .within = { MX_DIRECTION_TYPE, MX_BARLINE } },
  [MX_CODA] = { .name = "coda", .within = { MX_DIRECTION_TYPE, MX_BARLINE } },
  [MX_WORDS] = { .name = "words", .within = { MX_DIRECTION_TYPE }, .content = MX_TEXT },
  [MX_REHEARSAL] = { .name = "rehearsal", .within = { MX_DIRECTION_TYPE }, .content = MX_TEXT },
  [MX_BARLINE] = { .name = "barline", .within = { MX_MEASURE }, .attributes = TRUE },
  [MX_BAR_STYLE] = { .name = "bar-style", .within = { MX_BARLINE }, .content = MX_TEXT },
  [MX_REPEAT] = { .name = "repeat", .within = { MX_BARLINE }, .attributes = TRUE },
  [MX_ENDING] = { .name = "ending", .within = { MX_BARLINE }, .attributes = TRUE },
};

// ---------------------------------------------------------------------------------------------------------- finding

enum { SLOTS = 256 };

static guint8 name_slots[SLOTS]; // MxName by slot_of() of its text, or in the next free slot, which has MX_NONE

// The slot with this name, or the free one where it would go.
static guint8 *
slot_of(const char *text)
{
  guint slot = 0;
  for (const char *at = text; *at; ++at) {
    slot = slot * 33 + (guchar)*at;
  }
  slot %= SLOTS;
  while (name_slots[slot] && strcmp(mx_elements[name_slots[slot]].name, text) != 0) {
    slot = (slot + 1) % SLOTS;
  }
  return &name_slots[slot];
}

static void
fill_slots(void)
{
  static gsize filled = 0;
  if (g_once_init_enter(&filled)) {
    for (guint name = MX_MEASURE + 1; name < MX_N_NAMES; ++name) {
      *slot_of(mx_elements[name].name) = (guint8)name;
    }
    g_once_init_leave(&filled, 1);
  }
}

// For each element of a file: with a GHashTable `compare` of the bench's MusicXML takes 4 % more instructions.
MxName
mx_element_find(const char *name)
{
  fill_slots();
  return (MxName)*slot_of(name);
}

// ----------------------------------------------------------------------------------------------------------- values

int
mx_step(const char *text)
{
  static const char letters[] = "FCGDAEB";
  const char *at = text[0] && !text[1] ? strchr(letters, text[0]) : NULL;
  return at ? (int)(at - letters) - 1 : G_MININT;
}

gboolean
mx_read_number(const char *text, double *number)
{
  if (g_ascii_isdigit(text[0]) && !text[1]) { // most of them
    *number = text[0] - '0';
    return TRUE;
  }
  char *end = NULL;
  const double value = g_ascii_strtod(text, &end);
  if (end == text || *end || !isfinite(value)) {
    return FALSE;
  }
  *number = value;
  return TRUE;
}

guint
mx_read_count(const char *text, guint other)
{
  const guint64 number = text ? g_ascii_strtoull(text, NULL, 10) : 0;
  return number ? (guint)MIN(number, G_MAXUINT16) : other;
}

gboolean
mx_element_value(const MxElement *element, const char *text, double *value)
{
  if (element->content == MX_LETTER) {
    const int step = mx_step(text);
    *value = step;
    return step != G_MININT;
  }
  if (!mx_read_number(text, value) || *value < element->least || *value > element->most) {
    return FALSE;
  }
  *value = element->content == MX_WHOLE ? round(*value) : *value;
  return TRUE;
}

char *
mx_element_expected(const MxElement *element)
{
  return element->expected ? g_strdup(element->expected)
                           : g_strdup_printf("a number from %g to %g", element->least, element->most);
}

// --------------------------------------------------------------------------------------------------------- the tree

const MxNode *
mx_child(const MxNode *node, MxName name)
{
  for (MX_EACH(child, node)) {
    if (child->name == name) {
      return child;
    }
  }
  return NULL;
}

int
mx_child_whole(const MxNode *node, MxName name, int other)
{
  const MxNode *child = mx_child(node, name);
  return child ? (int)child->value : other;
}

const char *
mx_child_text(const MxNode *node, MxName name)
{
  const MxNode *child = mx_child(node, name);
  return child ? child->text : "";
}

const char *
mx_attribute(const MxNode *node, const char *name)
{
  for (const char *at = node->attributes; *at;) {
    const char *value = at + strlen(at) + 1;
    if (!strcmp(at, name)) {
      return value;
    }
    at = value + strlen(value) + 1;
  }
  return NULL;
}
