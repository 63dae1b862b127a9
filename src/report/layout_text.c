// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// A layout explained in words: what its rows sound by rule, which buttons are exceptions, and which board it resembles.

#include "report/format.h"

#include <string.h>

// What most buttons of a row have in common.
typedef struct {
  guint sounding; // buttons of the row that sound
  guint alike;    // of these that follow the rule; 0 where there is none
  int fifths;     // from the column to the root
  RcSoundKind kind;
  RcPcSet above; // tones above the root
} Rule;

static int
fifths_above_column(const RcLayout *layout, const RcButton *button)
{
  return button->sound.root - rc_button_column(layout, button);
}

static RcPcSet
tones_above_root(const RcSound *sound)
{
  return rc_pcs_transpose(sound->tones, -(int)rc_note_pc(sound->root));
}

static gboolean
follows(const RcLayout *layout, const RcButton *button, const Rule *rule)
{
  return button->bellows == RC_BELLOWS_BOTH && button->sound.kind == rule->kind &&
         fifths_above_column(layout, button) == rule->fifths && tones_above_root(&button->sound) == rule->above;
}

static Rule
rule_like(const RcLayout *layout, guint row, const RcButton *button)
{
  Rule rule = { 0, 0, fifths_above_column(layout, button), button->sound.kind, tones_above_root(&button->sound) };
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    const RcButton *other = rc_layout_button(layout, i);
    const gboolean here = other->row == row && other->sound.kind != RC_SOUND_DEAD;
    rule.sounding += here ? 1 : 0;
    rule.alike += here && follows(layout, other, &rule) ? 1 : 0;
  }
  return rule;
}

// The rule that more than half of a row's sounding buttons follow.
static Rule
rule_of(const RcLayout *layout, guint row)
{
  Rule best = { 0 };
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (button->row == row && button->sound.kind != RC_SOUND_DEAD) {
      const Rule rule = rule_like(layout, row, button);
      best = rule.alike > best.alike || !best.sounding ? rule : best;
    }
  }
  best.alike = best.alike > 1 && 2 * best.alike > best.sounding ? best.alike : 0;
  return best;
}

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
append_row(GString *out, const RcLayout *layout, guint row)
{
  const Rule rule = rule_of(layout, row);
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

// Buttons that do not do as their row does, or whose row has no rule.
static void
append_exceptions(GString *out, const RcLayout *layout, gboolean ruled)
{
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    const RcButton *button = rc_layout_button(layout, i);
    const Rule rule = rule_of(layout, button->row);
    const gboolean silent = rc_layout_entries_at(layout, i) == 1 && button->sound.kind == RC_SOUND_DEAD;
    if (silent || ruled != (rule.alike > 0) || (ruled && follows(layout, button, &rule))) {
      continue;
    }
    char *item = exception_text(layout, i);
    append_listed(text, ruled ? "Retuned, other than its row: " : "Button by button: ", item);
    g_free(item);
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

// ------------------------------------------------------------------------------------------------------ what it is
// like

static gboolean
has_alike(const RcLayout *layout, const RcLayout *of, const RcButton *wanted)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (button->sound.kind == wanted->sound.kind && button->sound.tones == wanted->sound.tones &&
        button->bellows == wanted->bellows && rc_button_column(layout, button) == rc_button_column(of, wanted) &&
        !strcmp(rc_button_row(layout, button), rc_button_row(of, wanted))) {
      return TRUE;
    }
  }
  return FALSE;
}

// Buttons that sound the same on both, at the same row and column.
static guint
count_alike(const RcLayout *a, const RcLayout *b)
{
  guint n = 0;
  for (guint i = 0; i < a->buttons->len; i += rc_layout_entries_at(a, i)) {
    gboolean alike = FALSE;
    gboolean same = TRUE;
    for (guint j = i; j < i + rc_layout_entries_at(a, i); ++j) {
      alike |= rc_layout_button(a, j)->sound.kind != RC_SOUND_DEAD;
      same &= has_alike(b, a, rc_layout_button(a, j));
    }
    n += alike && same;
  }
  return n;
}

static void
append_nearest(GString *out, const RcLayout *layout, RcLayout *const *others, guint n)
{
  const RcLayout *nearest = NULL;
  double share = 0;
  for (guint i = 0; i < n; ++i) {
    const guint alike = count_alike(layout, others[i]);
    const guint all = rc_layout_count_buttons(layout) + rc_layout_count_buttons(others[i]) - alike;
    if (all && (double)alike / all > share && layout->mirrored == others[i]->mirrored) {
      share = (double)alike / all;
      nearest = others[i];
    }
  }
  const guint alike = nearest ? count_alike(layout, nearest) : 0;
  char *text =
    !nearest ? g_strdup("It resembles none of the layouts that ship.")
    : alike == rc_layout_count_buttons(layout) && alike == rc_layout_count_buttons(nearest)
      ? g_strdup_printf("It sounds as %s does, button for button.", nearest->name)
      : g_strdup_printf("It resembles %s most: %u of its %u buttons sound as they do there, which has %u.",
                        nearest->name, alike, rc_layout_count_buttons(layout), rc_layout_count_buttons(nearest));
  rc_append_wrapped(out, text, 0);
  g_free(text);
}

// -------------------------------------------------------------------------------------------------------- what to
// doubt

static guint
count_kinds(const RcLayout *layout, gboolean basses)
{
  guint n = 0;
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcSoundKind kind = rc_layout_button(layout, i)->sound.kind;
    n += kind != RC_SOUND_DEAD && (kind == RC_SOUND_BASS) == basses;
  }
  return n;
}

static void
append_doubts(GString *out, const RcLayout *layout)
{
  if (!count_kinds(layout, TRUE)) {
    rc_append_wrapped(out, "No button sounds a single note, so no chord can be gripped: add a row of basses.", 0);
  }
  if (!count_kinds(layout, FALSE)) {
    rc_append_wrapped(out, "No button sounds a chord: add a row such as major.", 0);
  }
  if (!layout->sources->len) {
    rc_append_wrapped(out, "No source is named; a line `source:` says where its facts come from, or \"from memory\".",
                      0);
  }
}

void
rc_report_layout_words(GString *out, const RcLayout *layout, RcLayout *const *others, guint n)
{
  g_string_append(out, "\nRow by row, from the bellows outwards:\n");
  for (guint row = 0; row < layout->rows->len; ++row) {
    append_row(out, layout, row);
  }
  append_exceptions(out, layout, FALSE);
  append_exceptions(out, layout, TRUE);
  append_dead(out, layout);
  append_spacing(out, layout);
  append_nearest(out, layout, others, n);
  append_doubts(out, layout);
}
