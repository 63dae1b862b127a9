// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "rowcall/keyboard.h"

#include "keyboard/row_kind.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------- kinds of rows

enum { MAJOR_THIRD = 4, MINOR_THIRD = -3 }; // on the line of fifths

static const RcRowKind row_kinds[] = {
  { "counterbass", RC_SOUND_BASS, MAJOR_THIRD, RC_BIT(1) },
  { "fundamental", RC_SOUND_BASS, 0, RC_BIT(1) },
  { "minor-third", RC_SOUND_BASS, MINOR_THIRD, RC_BIT(1) },
  { "major", RC_SOUND_MAJOR, 0, RC_CHORD_MAJOR },
  { "minor", RC_SOUND_MINOR, 0, RC_CHORD_MINOR },
  { "seventh", RC_SOUND_SEVENTH, 0, RC_BIT(1) | RC_BIT(3) | RC_BIT(FLAT_7) },
  { "diminished", RC_SOUND_DIMINISHED, 0, RC_BIT(1) | RC_BIT(FLAT_3) | RC_BIT(DOUBLE_FLAT_7) },
  { "augmented", RC_SOUND_AUGMENTED, 0, RC_CHORD_AUGMENTED },
  { "bass", RC_SOUND_DEAD, 0, 0 }, // what these two sound is listed button by button
  { "chord", RC_SOUND_DEAD, 0, 0 },
};

G_STATIC_ASSERT(G_N_ELEMENTS(row_kinds) == RC_MAX_ROWS);

const char *const rc_row_names[] = { "counterbass", "fundamental", "minor-third", "major", "minor", "seventh",
                                     "diminished",  "augmented",   "bass",        "chord", NULL };

const RcRowKind *
rc_row_kind(const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS(row_kinds); ++i) {
    if (!strcmp(row_kinds[i].name, name)) {
      return &row_kinds[i];
    }
  }
  return NULL;
}

// The tones without which a button is no longer heard as its kind.
static gboolean
keeps_kind(RcSoundKind kind, RcDegrees degrees)
{
  switch (kind) {
  case RC_SOUND_MAJOR:
    return (degrees & ~RC_CHORD_MAJOR) == 0 && (degrees & RC_BIT(3)) && (degrees & RC_BIT(1));
  case RC_SOUND_MINOR:
    return (degrees & ~RC_CHORD_MINOR) == 0 && (degrees & RC_BIT(FLAT_3)) && (degrees & RC_BIT(1));
  case RC_SOUND_SEVENTH:
    return (degrees & ~RC_CHORD_DOMINANT) == 0 && (degrees & RC_BIT(3)) && (degrees & RC_BIT(FLAT_7));
  case RC_SOUND_DIMINISHED:
    return (degrees & ~RC_CHORD_DIMINISHED_7) == 0 && (degrees & RC_BIT(FLAT_3)) &&
           (degrees & (RC_BIT(FLAT_5) | RC_BIT(DOUBLE_FLAT_7)));
  case RC_SOUND_AUGMENTED:
    return degrees == RC_CHORD_AUGMENTED;
  case RC_SOUND_BASS:
    return degrees == RC_BIT(1);
  case RC_SOUND_DEAD:
  case RC_SOUND_OTHER:
    break;
  }
  return FALSE;
}

RcSoundKind
rc_sound_kind(RcDegrees degrees)
{
  if (degrees == RC_BIT(1)) {
    return RC_SOUND_BASS;
  }
  for (guint i = RC_SOUND_MAJOR; i <= RC_SOUND_AUGMENTED; ++i) {
    if (keeps_kind((RcSoundKind)i, degrees)) {
      return (RcSoundKind)i;
    }
  }
  return RC_SOUND_OTHER;
}

RcSoundKind
rc_native_kind(RcDegrees degrees)
{
  switch (degrees) {
  case RC_CHORD_MAJOR:
    return RC_SOUND_MAJOR;
  case RC_CHORD_MINOR:
    return RC_SOUND_MINOR;
  case RC_CHORD_DOMINANT:
    return RC_SOUND_SEVENTH;
  case RC_CHORD_DIMINISHED:
  case RC_CHORD_DIMINISHED_7:
    return RC_SOUND_DIMINISHED;
  case RC_CHORD_AUGMENTED:
    return RC_SOUND_AUGMENTED;
  default:
    return RC_SOUND_DEAD;
  }
}

RcSound
rc_sound_make(RcSoundKind kind, RcNote root, RcDegrees degrees)
{
  const RcSoundKind kept = keeps_kind(kind, degrees) ? kind : RC_SOUND_OTHER;
  return (RcSound){ kept, root, rc_degrees_tones(degrees, rc_note_pc(root)) };
}

// -------------------------------------------------------------------------------------------------------- layout

static GPtrArray *
copy_texts(const GPtrArray *texts)
{
  GPtrArray *copy = g_ptr_array_new_with_free_func(g_free);
  for (guint i = 0; i < texts->len; ++i) {
    g_ptr_array_add(copy, g_strdup(g_ptr_array_index(texts, i)));
  }
  return copy;
}

RcLayout *
rc_layout_moved(const RcLayout *layout, int semitones)
{
  RcLayout *moved = g_new(RcLayout, 1);
  *moved = *layout;
  moved->name = g_strdup(layout->name);
  moved->title = g_strdup(layout->title);
  moved->file = g_strdup(layout->file);
  moved->sources = copy_texts(layout->sources);
  moved->rows = copy_texts(layout->rows);
  moved->columns = g_array_copy(layout->columns);
  moved->buttons = g_array_copy(layout->buttons);
  moved->first_bass = (layout->first_bass + (guint)(semitones % 12 + 12)) % 12U;
  moved->first_chord = (layout->first_chord + (guint)(semitones % 12 + 12)) % 12U;
  for (guint i = 0; i < moved->buttons->len; ++i) {
    RcSound *sound = &g_array_index(moved->buttons, RcButton, i).sound;
    const guint pc = (rc_note_pc(sound->root) + 12U + (guint)(semitones % 12 + 12)) % 12U;
    sound->root = rc_note_near(0, pc);
    sound->tones = rc_pcs_transpose(sound->tones, semitones);
  }
  return moved;
}

void
rc_layout_free(RcLayout *layout)
{
  if (layout) {
    g_free(layout->name);
    g_free(layout->title);
    g_free(layout->file);
    g_ptr_array_unref(layout->sources);
    g_array_unref(layout->columns);
    g_ptr_array_unref(layout->rows);
    g_array_unref(layout->buttons);
    g_free(layout);
  }
}

int
rc_layout_find_row(const RcLayout *layout, const char *name)
{
  for (guint row = 0; row < layout->rows->len; ++row) {
    if (!strcmp(g_ptr_array_index(layout->rows, row), name)) {
      return (int)row;
    }
  }
  return -1;
}

int
rc_layout_find_column(const RcLayout *layout, RcNote note)
{
  for (guint column = 0; column < layout->columns->len; ++column) {
    if (g_array_index(layout->columns, RcNote, column) == note) {
      return (int)column;
    }
  }
  return -1;
}

guint
rc_layout_entries_at(const RcLayout *layout, guint index)
{
  return rc_layout_button(layout, index)->bellows == RC_BELLOWS_PUSH ? 2 : 1;
}

guint
rc_layout_entry(const RcLayout *layout, guint row, guint column)
{
  guint i = row * layout->columns->len + column; // or after it, where buttons before it are two entries
  while (rc_layout_button(layout, i)->row != row || rc_layout_button(layout, i)->column != column) {
    ++i;
  }
  return i;
}

guint
rc_layout_column_at(const RcLayout *layout, guint nth)
{
  return layout->mirrored ? layout->columns->len - 1 - nth : nth;
}

guint
rc_layout_count_buttons(const RcLayout *layout)
{
  guint n = 0;
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    const guint last = i + rc_layout_entries_at(layout, i) - 1;
    n += rc_layout_button(layout, i)->sound.kind != RC_SOUND_DEAD ||
         rc_layout_button(layout, last)->sound.kind != RC_SOUND_DEAD;
  }
  return n;
}

gboolean
rc_layout_has_bellows(const RcLayout *layout)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    if (rc_layout_button(layout, i)->bellows != RC_BELLOWS_BOTH) {
      return TRUE;
    }
  }
  return FALSE;
}

const char *
rc_button_row(const RcLayout *layout, const RcButton *button)
{
  return g_ptr_array_index(layout->rows, button->row);
}

// Players find their place by these three, which are dimpled or rough.
gboolean
rc_button_marked(const RcLayout *layout, const RcButton *button)
{
  const RcNote column = rc_button_column(layout, button);
  return !strcmp(rc_button_row(layout, button), "fundamental") && (column == 0 || column == 4 || column == -4);
}

RcNote
rc_button_column(const RcLayout *layout, const RcButton *button)
{
  return g_array_index(layout->columns, RcNote, button->column);
}

// ------------------------------------------------------------------------------------------------- buttons in words

static const char *const kind_words[] = {
  [RC_SOUND_DEAD] = "dead",           [RC_SOUND_BASS] = "bass",       [RC_SOUND_MAJOR] = "major",
  [RC_SOUND_MINOR] = "minor",         [RC_SOUND_SEVENTH] = "seventh", [RC_SOUND_DIMINISHED] = "diminished",
  [RC_SOUND_AUGMENTED] = "augmented", [RC_SOUND_OTHER] = "chord",
};

static const char *const kind_suffixes[] = {
  [RC_SOUND_DEAD] = "",     [RC_SOUND_BASS] = "",          [RC_SOUND_MAJOR] = "M",       [RC_SOUND_MINOR] = "m",
  [RC_SOUND_SEVENTH] = "7", [RC_SOUND_DIMINISHED] = "dim", [RC_SOUND_AUGMENTED] = "aug", [RC_SOUND_OTHER] = "*",
};

const char *
rc_bellows_name(RcBellows bellows)
{
  return bellows == RC_BELLOWS_PUSH ? "push" : bellows == RC_BELLOWS_PULL ? "pull" : "both";
}

// Takes `text` over.
static char *
with_bellows(char *text, RcBellows bellows)
{
  char *longer =
    bellows == RC_BELLOWS_BOTH || !*text ? g_strdup(text) : g_strconcat(text, " on ", rc_bellows_name(bellows), NULL);
  g_free(text);
  return longer;
}

char *
rc_button_name(const RcLayout *layout, const RcButton *button, RcSigns signs)
{
  const char *row = rc_button_row(layout, button);
  const char *root = rc_note_name(button->sound.root, signs);
  const char *column = rc_note_name(rc_button_column(layout, button), signs);
  const char *word = kind_words[button->sound.kind];
  const gboolean plain = rc_button_column(layout, button) == button->sound.root && strcmp(row, "counterbass") != 0;
  if (plain) {
    return g_strdup_printf("%s %s", root, word);
  }
  if (button->sound.kind == RC_SOUND_BASS && strcmp(row, "bass") != 0) {
    return g_strdup_printf("%s bass (%s of %s)", root, row, column);
  }
  return g_strdup_printf("%s %s (in the %s column)", root, word, column);
}

static RcSound
sound_of_row(const RcLayout *layout, const RcButton *button)
{
  const RcRowKind *kind = rc_row_kind(rc_button_row(layout, button));
  return rc_sound_make(kind->kind, (RcNote)(rc_button_column(layout, button) + kind->fifths), kind->degrees);
}

static void
append_tones(GString *text, const RcSound *sound)
{
  static const char *const names[] = { "1", "b9", "2", "b3", "3", "4", "b5", "5", "#5", "6", "b7", "7" };
  const guint root = rc_note_pc(sound->root);
  for (guint i = 0; i < G_N_ELEMENTS(names); ++i) {
    if (sound->tones & 1U << (root + i) % 12) {
      const gboolean doubly_flat = i == 9 && sound->kind == RC_SOUND_DIMINISHED;
      g_string_append_printf(text, " %s", doubly_flat ? "bb7" : names[i]);
    }
  }
}

char *
rc_button_retuned(const RcLayout *layout, const RcButton *button)
{
  const RcSound *sound = &button->sound;
  const RcSound usual = sound_of_row(layout, button);
  const gboolean same =
    sound->kind == usual.kind && sound->root == usual.root && sound->tones == usual.tones && !button->bellows;
  if (same || sound->kind == RC_SOUND_DEAD) {
    return NULL;
  }
  GString *text = g_string_new(rc_note_name(sound->root, RC_SIGNS_ASCII));
  if (sound->kind != RC_SOUND_BASS) {
    append_tones(text, sound);
  }
  return g_string_free(text, FALSE);
}

char *
rc_button_describe(const RcLayout *layout, const RcButton *button, RcSigns signs)
{
  return with_bellows(rc_button_name(layout, button, signs), button->bellows);
}

char *
rc_sound_label(const RcSound *sound, RcSigns signs)
{
  if (sound->kind == RC_SOUND_DEAD) {
    return g_strdup("");
  }
  return g_strconcat(rc_note_name(sound->root, signs), kind_suffixes[sound->kind], NULL);
}

RcSound
rc_button_meant(const RcLayout *layout, const RcButton *button)
{
  const RcRowKind *kind = rc_row_kind(rc_button_row(layout, button));
  return button->sound.kind == RC_SOUND_DEAD && kind->degrees
           ? rc_sound_make(kind->kind, button->sound.root, kind->degrees)
           : button->sound;
}

char *
rc_button_label(const RcButton *button, RcSigns signs)
{
  return with_bellows(rc_sound_label(&button->sound, signs), button->bellows);
}
