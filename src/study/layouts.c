// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Layouts looked at: what each row sounds by rule, which buttons are exceptions, what board it is like, what is
// doubtful.

#include "rowcall/study.h"

#include <string.h>

// ---------------------------------------------------------------------------------------------------- many layouts

static void
find_all(RcLayouts *layouts, const char *const *names, GError **error)
{
  layouts->layouts = g_new0(RcLayout *, g_strv_length((char **)names));
  for (; *names; ++names) {
    RcLayout *layout = rc_layout_find(*names, error);
    if (!layout) {
      return;
    }
    layouts->layouts[layouts->n++] = layout;
  }
}

RcLayouts *
rc_layouts_find(const char *const *names, GError **error)
{
  RcLayouts *layouts = g_new0(RcLayouts, 1);
  GError *failed = NULL;
  char **shipped = names ? NULL : rc_layout_all_names();
  find_all(layouts, names ? names : (const char *const *)shipped, &failed);
  g_strfreev(shipped);
  if (failed) {
    g_propagate_error(error, failed);
    g_clear_pointer(&layouts, rc_layouts_free);
  }
  return layouts;
}

void
rc_layouts_free(RcLayouts *layouts)
{
  if (layouts) {
    for (guint i = 0; i < layouts->n; ++i) {
      rc_layout_free(layouts->layouts[i]);
    }
    g_free(layouts->layouts);
    g_free(layouts);
  }
}

// ------------------------------------------------------------------------------------------------------------- rows

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
follows(const RcLayout *layout, const RcButton *button, const RcRowRule *rule)
{
  return button->bellows == RC_BELLOWS_BOTH && button->sound.kind == rule->kind &&
         fifths_above_column(layout, button) == rule->fifths && tones_above_root(&button->sound) == rule->above;
}

static RcRowRule
rule_like(const RcLayout *layout, guint row, const RcButton *button)
{
  RcRowRule rule = { 0, 0, fifths_above_column(layout, button), button->sound.kind, tones_above_root(&button->sound) };
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    const RcButton *other = rc_layout_button(layout, i);
    const gboolean here = other->row == row && other->sound.kind != RC_SOUND_DEAD;
    rule.sounding += here ? 1 : 0;
    rule.alike += here && follows(layout, other, &rule) ? 1 : 0;
  }
  return rule;
}

// The rule that more than half of a row's sounding buttons follow.
static RcRowRule
rule_of(const RcLayout *layout, guint row)
{
  RcRowRule best = { 0 };
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (button->row == row && button->sound.kind != RC_SOUND_DEAD) {
      const RcRowRule rule = rule_like(layout, row, button);
      best = rule.alike > best.alike || !best.sounding ? rule : best;
    }
  }
  best.alike = best.alike > 1 && 2 * best.alike > best.sounding ? best.alike : 0;
  return best;
}

static RcButtonPart
part_of(const RcLayout *layout, guint index, const RcRowRule *rules)
{
  const RcButton *button = rc_layout_button(layout, index);
  const RcRowRule *rule = &rules[button->row];
  if (rc_layout_entries_at(layout, index) == 1 && button->sound.kind == RC_SOUND_DEAD) {
    return RC_BUTTON_SILENT;
  }
  return !rule->alike ? RC_BUTTON_LISTED : follows(layout, button, rule) ? RC_BUTTON_RULED : RC_BUTTON_RETUNED;
}

// ------------------------------------------------------------------------------------------------------- what it is
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
find_nearest(RcLayoutStudy *study, const RcLayout *layout, const RcLayouts *others)
{
  double share = 0;
  for (guint i = 0; i < others->n; ++i) {
    const RcLayout *other = others->layouts[i];
    const guint alike = count_alike(layout, other);
    const guint all = rc_layout_count_buttons(layout) + rc_layout_count_buttons(other) - alike;
    if (all && (double)alike / all > share && layout->mirrored == other->mirrored) {
      share = (double)alike / all;
      g_free(study->nearest);
      study->nearest = g_strdup(other->name);
      study->alike = alike;
      study->nearest_buttons = rc_layout_count_buttons(other);
    }
  }
}

// ---------------------------------------------------------------------------------------------------------- the whole

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

// What is made of a layout that could be read.
static void
describe(RcLayoutStudy *study, const RcLayouts *others)
{
  const RcLayout *layout = study->layout;
  study->rules = g_new(RcRowRule, layout->rows->len);
  study->parts = g_new0(RcButtonPart, layout->buttons->len);
  for (guint row = 0; row < layout->rows->len; ++row) {
    study->rules[row] = rule_of(layout, row);
  }
  for (guint i = 0; i < layout->buttons->len; i += rc_layout_entries_at(layout, i)) {
    study->parts[i] = part_of(layout, i, study->rules);
  }
  find_nearest(study, layout, others);
  study->no_bass = !count_kinds(layout, TRUE);
  study->no_chord = !count_kinds(layout, FALSE);
}

RcLayoutStudy *
rc_layout_study_on(const RcLayout *layout, const RcLayouts *others)
{
  RcLayoutStudy *study = g_new0(RcLayoutStudy, 1);
  study->layout = layout;
  describe(study, others);
  return study;
}

RcLayoutStudy *
rc_layout_study_new(const char *name)
{
  RcLayoutStudy *study = g_new0(RcLayoutStudy, 1);
  GPtrArray *problems = g_ptr_array_new();
  study->layout = rc_layout_check(name, problems);
  study->owned = TRUE;
  study->n_problems = problems->len;
  study->problems = (GError **)g_ptr_array_free(problems, FALSE);
  if (study->layout) {
    RcLayouts *shipped = rc_layouts_find(NULL, NULL);
    describe(study, shipped);
    rc_layouts_free(shipped);
  }
  return study;
}

void
rc_layout_study_free(RcLayoutStudy *study)
{
  if (study) {
    for (guint i = 0; i < study->n_problems; ++i) {
      g_error_free(study->problems[i]);
    }
    g_free(study->problems);
    g_free(study->rules);
    g_free(study->parts);
    g_free(study->nearest);
    if (study->owned) {
      rc_layout_free((RcLayout *)study->layout);
    }
    g_free(study);
  }
}
