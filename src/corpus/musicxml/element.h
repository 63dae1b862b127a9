// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The elements of a MusicXML score that count, and what is directly in a measure of a part as a small tree: a note, a
// harmony or a direction with all that counts in it. The reader builds one tree at a time; the other files take values
// from it. Values are checked while the tree is built, so that those who take them cannot fail.

#ifndef ROWCALL_SRC_CORPUS_MUSICXML_ELEMENT_H
#define ROWCALL_SRC_CORPUS_MUSICXML_ELEMENT_H

#include <glib.h>

enum {
  MX_MAX_TEXT = 4096,       // bytes of text of an element that is read
  MX_MAX_DIVISIONS = 65536, // of a quarter note
  MX_LONGEST_BAR = 65536,   // in quarter notes, so that no sum of lengths can overflow
  MX_MAX_NODES = 1024,      // elements in a tree
  MX_MAX_BYTES = 64 << 10   // of text and attributes in a tree
};

typedef enum {
  MX_NONE,
  MX_MEASURE, // of a part, partwise or timewise
  MX_ATTRIBUTES,
  MX_DIVISIONS,
  MX_KEY,
  MX_FIFTHS,
  MX_MODE,
  MX_KEY_STEP,
  MX_KEY_ALTER,
  MX_TIME,
  MX_BEATS,
  MX_BEAT_TYPE,
  MX_TRANSPOSE,
  MX_CHROMATIC,
  MX_DIATONIC,
  MX_OCTAVE_CHANGE,
  MX_NOTE,
  MX_CHORD,
  MX_GRACE,
  MX_CUE,
  MX_PITCH,
  MX_STEP,
  MX_ALTER,
  MX_OCTAVE,
  MX_STAFF,
  MX_DURATION,
  MX_BACKUP,
  MX_FORWARD,
  MX_HARMONY,
  MX_ROOT,
  MX_ROOT_STEP,
  MX_ROOT_ALTER,
  MX_FUNCTION,
  MX_NUMERAL,
  MX_NUMERAL_ROOT,
  MX_KIND,
  MX_INVERSION,
  MX_BASS,
  MX_BASS_STEP,
  MX_BASS_ALTER,
  MX_DEGREE,
  MX_DEGREE_VALUE,
  MX_DEGREE_ALTER,
  MX_DEGREE_TYPE,
  MX_OFFSET,
  MX_DIRECTION,
  MX_DIRECTION_TYPE,
  MX_METRONOME,
  MX_BEAT_UNIT,
  MX_BEAT_UNIT_DOT,
  MX_PER_MINUTE,
  MX_SOUND,
  MX_SEGNO,
  MX_CODA,
  MX_WORDS,
  MX_REHEARSAL,
  MX_BARLINE,
  MX_BAR_STYLE,
  MX_REPEAT,
  MX_ENDING,
  MX_N_NAMES
} MxName;

/// What an element holds beside other elements.
typedef enum {
  MX_NOTHING,
  MX_TEXT,   // any
  MX_NUMBER, // within bounds
  MX_WHOLE,  // rounded to a whole number: a microtone sounds as the note beside it
  MX_LETTER  // A to G, as its place on the line of fifths
} MxContent;

typedef struct {
  const char *name;
  MxName within[3]; // the elements it may be directly in, elsewhere it does not count; the rest is MX_NONE
  MxContent content;
  double least;
  double most;
  const char *expected; // what is, where the bounds do not say it
  gboolean attributes;  // some of them count
} MxElement;

/// Returns the element called @p name, MX_NONE where it does not count.
MxName mx_element_find(const char *name);

/// The elements, by name.
extern const MxElement mx_elements[MX_N_NAMES];

/// Whether it may be directly in an element called @p parent. In each element of a file.
static inline gboolean
mx_element_is_within(const MxElement *element, MxName parent)
{
  return parent != MX_NONE &&
         (element->within[0] == parent || element->within[1] == parent || element->within[2] == parent);
}

/// Reads the text of an element that holds a number or a letter. FALSE where it is none or is out of bounds.
gboolean mx_element_value(const MxElement *element, const char *text, double *value);

/// Returns what such an element holds, for messages. A new string.
char *mx_element_expected(const MxElement *element);

// --------------------------------------------------------------------------------------------------------- the tree

/// An element in a tree; those in it follow it.
typedef struct {
  MxName name;
  guint span;             // elements of its own tree, itself included
  double value;           // of a number or a letter
  const char *text;       // never NULL, without the blanks at its ends
  const char *attributes; // each a name and a value, both ended by a zero byte; an empty name at the end
  guint line;             // where it begins, of a harmony
  guint column;
} MxNode;

/// Walks the elements directly in @p parent.
// NOLINTBEGIN(bugprone-macro-parentheses): a declared name cannot stand in brackets
#define MX_EACH(child, parent)                                                                                         \
  const MxNode *child = (parent) + 1;                                                                                  \
  child < (parent) + (parent)->span;                                                                                   \
  child += child->span
// NOLINTEND(bugprone-macro-parentheses)

/// Returns the first element called @p name directly in @p node, or NULL.
const MxNode *mx_child(const MxNode *node, MxName name);

/// Returns the number or the letter in such an element, rounded, @p other where there is none.
int mx_child_whole(const MxNode *node, MxName name, int other);

/// Returns the text of such an element, an empty one where there is none.
const char *mx_child_text(const MxNode *node, MxName name);

/// Returns the value of an attribute, or NULL.
const char *mx_attribute(const MxNode *node, const char *name);

// ----------------------------------------------------------------------------------------------------------- values

/// Returns the place on the line of fifths of a letter A to G, G_MININT where there is none.
int mx_step(const char *text);

/// Reads a decimal number that fills the text.
gboolean mx_read_number(const char *text, double *number);

/// Returns the whole number at the start of a text, @p other where it is none or 0.
guint mx_read_count(const char *text, guint other);

#endif
