// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A layout explained in words: what its rows sound by rule, which buttons are exceptions, and which board it resembles.

#include "report/format.h"

// ------------------------------------------------------------------------------------------------------------- words

// "Cm (C Eb G)", or "E" for a bass.
static char *
sound_text(const RcSound *sound)
{
  const RcChord chord = { sound->root, sound->root, 0 };
  char *label = rc_sound_label(sound, RC_SIGNS_ASCII);
  char *tones = rc_tones_text(&chord, (RcKey){ RC_MODE_NONE, 0 }, sound->tones, RC_SIGNS_ASCII, " ");
  char *text = sound->kind == RC_SOUND_DEAD   ? g_strdup("nothing")
               : sound->kind == RC_SOUND_BASS ? g_strdup(label)
                                              : g_strdup_printf("%s (%s)", label, tones);
  g_free(label);
  g_free(tones);
  return text;
}

static char *
place_text(const RcLayout *layout, const RcButton *button)
{
  return g_strdup_printf("%s %s", rc_button_row(layout, button),
                         rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII));
}

static void
append_row(GString *out, const RcLayoutStudy *study, guint row)
{
  const RcLayout *layout = study->layout;
  const RcRowRule rule = study->rules[row];
  g_string_append(out, "  ");
  rc_append_padded(out, g_ptr_array_index(layout->rows, row), 12);
  if (!rule.alike) {
    g_string_append_printf(out, " %2u sound, each as listed\n", rule.sounding);
    return;
  }
  const RcNote root = rc_note_up(0, rule.fifths);
  const RcSound in_c = { rule.kind, root, rc_pcs_transpose(rule.above, (int)rc_note_pc(root)) };
  char *text = sound_text(&in_c);
  g_string_append_printf(out, " %2u sound, by the rule that C has %s\n", rule.sounding, text);
  g_free(text);
}

static void
append_listed(GString *text, const char *heading, const char *item)
{
  g_string_append_printf(text, "%s%s", text->len ? ", " : heading, item);
}

static void
end_listed(GString *out, GString *text, const char *end)
{
  if (text->len) {
    g_string_append(text, end);
    rc_append_wrapped(out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

static void
append_dead(GString *out, const RcLayout *layout)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    char *place = place_text(layout, button);
    char *item = button->bellows == RC_BELLOWS_BOTH
                   ? g_strdup(place)
                   : g_strdup_printf("%s on %s", place, rc_bellows_name(button->bellows));
    if (button->sound.kind == RC_SOUND_DEAD) {
      append_listed(text, "Silent, or no button there: ", item);
    }
    g_free(item);
    g_free(place);
  }
  end_listed(out, text, ".");
}

// "bass E sounds E on push and A on pull"
static char *
exception_text(const RcLayout *layout, guint index)
{
  const gboolean two = rc_layout_entries_at(layout, index) == 2;
  char *place = place_text(layout, rc_layout_button(layout, index));
  char *push = sound_text(&rc_layout_button(layout, index)->sound);
  char *pull = sound_text(&rc_layout_button(layout, two ? index + 1 : index)->sound);
  char *text = two ? g_strdup_printf("%s sounds %s on push and %s on pull", place, push, pull)
                   : g_strdup_printf("%s sounds %s", place, push);
  g_free(place);
  g_free(push);
  g_free(pull);
  return text;
}

static void
append_parts(GString *out, const RcLayoutStudy *study, RcButtonPart part, const char *heading)
{
  const RcLayout *layout = study->layout;
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    if (study->parts[i] == part) {
      char *item = exception_text(layout, i);
      append_listed(text, heading, item);
      g_free(item);
    }
  }
  end_listed(out, text, ".");
}

static char *
mm_text(double mm)
{
  const int tenths = (int)(mm * 10 + 0.5);
  return tenths % 10 ? g_strdup_printf("%d.%d", tenths / 10, tenths % 10) : g_strdup_printf("%d", tenths / 10);
}

static void
append_spacing(GString *out, const RcLayout *layout)
{
  char *column = mm_text(layout->column_mm);
  char *row = mm_text(layout->row_mm);
  char *slant = mm_text(layout->slant_mm);
  char *text =
    layout->slant_mm > 0
      ? g_strdup_printf("Columns are %s mm apart, rows %s mm, and each row outwards lies %s mm further to the %s.",
                        column, row, slant, layout->mirrored ? "knee" : "chin")
      : g_strdup_printf("Columns are %s mm apart, rows %s mm, without a slant.", column, row);
  rc_append_wrapped(out, text, 0);
  if (layout->mirrored) {
    rc_append_wrapped(out, "The board is mirrored: its sharp end lies towards the knee.", 0);
  }
  g_free(column);
  g_free(row);
  g_free(slant);
  g_free(text);
}

// ------------------------------------------------------------------------------------------ what it is like, doubts

static void
append_nearest(GString *out, const RcLayoutStudy *study)
{
  const guint buttons = rc_layout_count_buttons(study->layout);
  char *text = !study->nearest ? g_strdup("It resembles none of the layouts that ship.")
               : study->alike == buttons && study->alike == study->nearest_buttons
                 ? g_strdup_printf("It sounds as %s does, button for button.", study->nearest)
                 : g_strdup_printf("It resembles %s most: %u of its %u buttons sound as they do there, which has %u.",
                                   study->nearest, study->alike, buttons, study->nearest_buttons);
  rc_append_wrapped(out, text, 0);
  g_free(text);
}

// What the file does not say.
static void
append_taken(GString *out, const RcLayout *layout)
{
  GString *text = g_string_new(NULL);
  if (layout->taken & RC_TAKEN_NAME) {
    g_string_append_printf(text, "; the name %s, from the file's", layout->name);
  }
  g_string_append(text, layout->taken & RC_TAKEN_TITLE ? "; the title" : "");
  g_string_append(text, layout->taken & RC_TAKEN_SPACING
                          ? "; the spacing, which is from memory: measure yours, for stretches are judged by it"
                          : "");
  if (layout->taken) {
    text->str[0] = ':'; // in place of the first semicolon
    g_string_prepend(text, "Not in the file, so taken");
    g_string_append_c(text, '.');
    rc_append_wrapped(out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

static void
append_doubts(GString *out, const RcLayoutStudy *study)
{
  if (study->no_bass) {
    rc_append_wrapped(out, "No button sounds a single note, so no chord can be gripped: add a row of basses.", 0);
  }
  if (study->no_chord) {
    rc_append_wrapped(out, "No button sounds a chord: add a row such as major.", 0);
  }
  if (!study->layout->sources->len) {
    rc_append_wrapped(out, "No source is named; a line `source:` says where its facts come from, or \"from memory\".",
                      0);
  }
}

void
rc_report_layout_study(GString *out, const RcLayoutStudy *study)
{
  rc_report_layout(out, RC_TEXT_TABLE, study->layout);
  g_string_append(out, "\nRow by row, from the bellows outwards:\n");
  for (guint row = 0; row < study->layout->rows->len; ++row) {
    append_row(out, study, row);
  }
  append_parts(out, study, RC_BUTTON_LISTED, "Button by button: ");
  append_parts(out, study, RC_BUTTON_RETUNED, "Retuned, other than its row: ");
  append_dead(out, study->layout);
  append_spacing(out, study->layout);
  append_taken(out, study->layout);
  append_nearest(out, study);
  append_doubts(out, study);
}
