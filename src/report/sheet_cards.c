// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/sheet_cards.h"

#include "report/need_text.h"

#include <string.h>

// ------------------------------------------------------------------------------------------------------------- words

// "adds A", "bare: without F♯"; nothing where the notes are the same.
static char *
difference_text(const RcSheet *s, const RcNeed *need)
{
  char *differences = rc_need_differences(s->layout, s->tune, need, RC_SIGNS_UNICODE);
  const gboolean named = need->answer.verdict >= RC_BARE;
  char *text = g_strdup_printf("%s%s%s", named ? rc_verdict_word(need->answer.verdict) : "",
                               named && *differences ? ": " : "", differences);
  g_free(differences);
  return text;
}

static char *
chord_name(const RcSheet *s, const RcNeed *need)
{
  return rc_symbol_shown(rc_tune_symbol(s->tune, need->symbol), RC_SIGNS_UNICODE);
}

// "C13, C7♯5"; of many the first.
static char *
names_text(const RcSheet *s, const RcStandIn *stand_in)
{
  enum { MOST_NAMES = 8 };
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < MIN(stand_in->n, MOST_NAMES); ++i) {
    char *name = chord_name(s, stand_in->needs[i]);
    g_string_append_printf(text, "%s%s", i ? ", " : "", name);
    g_free(name);
  }
  g_string_append(text, stand_in->n > MOST_NAMES ? ", …" : "");
  return g_string_free(text, FALSE);
}

static gboolean
all_equal(char *const *texts)
{
  guint i = 1;
  while (texts[0] && texts[i] && !strcmp(texts[0], texts[i])) {
    ++i;
  }
  return !texts[0] || !texts[i];
}

// Adds what sounds otherwise than written, for each chord that it concerns; of many for the first.
static void
append_each(GString *text, const RcSheet *s, const RcStandIn *stand_in, char *const *texts)
{
  enum { MOST_TOLD = 6 };
  guint told = 0;
  for (guint i = 0; i < stand_in->n && told <= MOST_TOLD; ++i) {
    char *name = chord_name(s, stand_in->needs[i]);
    told += *texts[i] ? 1 : 0;
    if (told > MOST_TOLD) {
      g_string_append(text, "; …");
    } else if (*texts[i]) {
      g_string_append_printf(text, "%s%s %s", text->len ? "; " : "", name, texts[i]);
    }
    g_free(name);
  }
}

// Once where it is so of all chords.
static char *
differences_text(const RcSheet *s, const RcStandIn *stand_in)
{
  char **texts = g_new0(char *, stand_in->n + 1);
  GString *text = g_string_new(NULL);
  for (guint i = 0; i < stand_in->n; ++i) {
    texts[i] = difference_text(s, stand_in->needs[i]);
  }
  if (all_equal(texts)) {
    g_string_append(text, texts[0]);
  } else {
    append_each(text, s, stand_in, texts);
  }
  g_strfreev(texts);
  return g_string_free(text, FALSE);
}

static char *
card_note(const RcSheet *s, const RcStandIn *stand_in)
{
  static const char *const arrows[] = { "", "▸\u00a0push", "◂\u00a0pull" };
  const char *arrow = arrows[rc_grip_bellows(s->layout, &stand_in->needs[0]->answer.grip)];
  char *differences = differences_text(s, stand_in);
  char *note = g_strconcat(differences, *differences && *arrow ? ", " : "", arrow, NULL);
  g_free(differences);
  return note;
}

// "C7"
static char *
plain_name(const RcSheet *s, const RcNeed *need)
{
  static const char *const kinds[] = { [RC_SOUND_MAJOR] = "",
                                       [RC_SOUND_MINOR] = "m",
                                       [RC_SOUND_SEVENTH] = "7",
                                       [RC_SOUND_DIMINISHED] = "dim",
                                       [RC_SOUND_AUGMENTED] = "aug" };
  const RcChord *chord = &rc_tune_symbol(s->tune, need->symbol)->chord;
  const RcSound *sound = &rc_layout_button(s->layout, need->answer.grip.chords[0])->sound;
  return g_strconcat(rc_note_name(chord->root, RC_SIGNS_UNICODE), kinds[sound->kind], NULL);
}

static void
append_button(GString *text, const RcLayout *layout, guint index, guint finger)
{
  const RcButton *button = rc_layout_button(layout, index);
  const char *row = rc_button_row(layout, button);
  const char *word = button->sound.kind != RC_SOUND_BASS ? "" : strcmp(row, "fundamental") ? row : "bass";
  char *name = rc_drawn_name(&button->sound);
  g_string_append_printf(text, "%s%s%s%s %u", text->len ? ", " : "", name, *word ? " " : "", word,
                         rc_finger_of_player(layout, finger));
  g_free(name);
}

// "G counterbass 4, B♭M 2; adds A"
static char *
press_text(const RcSheet *s, const RcStandIn *stand_in)
{
  const RcNeed *need = stand_in->needs[0];
  const RcGrip *grip = &need->answer.grip;
  GString *text = g_string_new(NULL);
  char *note = card_note(s, stand_in);
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    append_button(text, s->layout, rc_grip_button(grip, i), rc_grip_finger(grip, &need->fingers, i));
  }
  g_string_append_printf(text, "%s%s", *note ? "; " : "", note);
  g_free(note);
  return g_string_free(text, FALSE);
}

char *
rc_sheet_stand_in_text(const RcSheet *sheet, const RcStandIn *stand_in)
{
  if (!stand_in->plain) {
    return press_text(sheet, stand_in);
  }
  char *name = plain_name(sheet, stand_in->needs[0]);
  char *text = g_strconcat("as ", name, NULL);
  g_free(name);
  return text;
}

// ------------------------------------------------------------------------------------------------------------- cards

GArray *
rc_sheet_cards(const RcSheetPlan *plan)
{
  const RcSheet *s = plan->sheet;
  GArray *cards = rc_grip_cards_new();
  for (guint i = 0; i < plan->stand_ins->n; ++i) {
    const RcStandIn *stand_in = &plan->stand_ins->list[i];
    const RcNeed *need = stand_in->needs[0];
    const RcGripCard card = { .layout = s->layout,
                              .number = i + 1,
                              .name = names_text(s, stand_in),
                              .note = card_note(s, stand_in),
                              .press = rc_need_press(s->layout, need, RC_SIGNS_UNICODE) };
    rc_grip_cards_add(cards, card, &need->answer.grip, &need->fingers, &need->second);
  }
  return cards;
}

// Which of two stand-ins gives up its card first.
static int
by_need_of_card(gconstpointer a, gconstpointer b, gpointer data)
{
  const RcStandIns *all = data;
  const guint first = *(const guint *)a;
  const guint second = *(const guint *)b;
  const RcStandIn *left = &all->list[first];
  const RcStandIn *right = &all->list[second];
  if (left->plain != right->plain) {
    return left->plain ? -1 : 1;
  }
  if (left->ticks != right->ticks) {
    return left->ticks < right->ticks ? -1 : 1;
  }
  if (left->times != right->times) {
    return left->times < right->times ? -1 : 1;
  }
  return (first < second) - (first > second);
}

guint *
rc_sheet_card_ranks(const RcStandIns *stand_ins)
{
  guint *ranks = g_new0(guint, MAX(stand_ins->n, 1));
  GArray *order = g_array_new(FALSE, FALSE, sizeof(guint));
  for (guint i = 0; i < stand_ins->n; ++i) {
    g_array_append_val(order, i);
  }
  g_array_sort_with_data(order, by_need_of_card, (gpointer)stand_ins);
  for (guint i = 0; i < order->len; ++i) {
    ranks[g_array_index(order, guint, i)] = i;
  }
  g_array_unref(order);
  return ranks;
}

// ------------------------------------------------------------------------------------------------- the whole keyboard

static guint
finger_bit(const RcLayout *layout, guint finger)
{
  const guint of_player = rc_finger_of_player(layout, finger);
  return of_player ? 1U << of_player : 0;
}

// Notes what a need does with its buttons.
static void
touch(const RcLayout *layout, const RcNeed *need, RcFingerMark *marks)
{
  const RcGrip *grip = &need->answer.grip;
  for (guint i = 0; i < rc_grip_count(grip); ++i) {
    RcFingerMark *mark = &marks[rc_grip_button(grip, i)];
    mark->fingers = (mark->held ? mark->fingers : 0) | finger_bit(layout, rc_grip_finger(grip, &need->fingers, i));
    mark->held = TRUE;
  }
}

static void
touch_second(const RcLayout *layout, const RcNeed *need, RcFingerMark *marks, gboolean *alternating)
{
  RcFingerMark *mark = &marks[need->second.button];
  if (need->second.found && !mark->held) {
    mark->fingers |= finger_bit(layout, need->second.finger);
    alternating[need->second.button] = TRUE;
  }
}

GArray *
rc_sheet_marks_on_board(const RcSheet *sheet)
{
  const guint n = sheet->layout->buttons->len;
  RcFingerMark *marks = g_new0(RcFingerMark, MAX(n, 1));
  gboolean *alternating = g_new0(gboolean, MAX(n, 1));
  GArray *all = g_array_new(FALSE, FALSE, sizeof(RcFingerMark));
  for (guint i = 0; i < sheet->chart->needs->len; ++i) {
    touch(sheet->layout, &g_array_index(sheet->chart->needs, RcNeed, i), marks);
  }
  for (guint i = 0; i < sheet->chart->needs->len; ++i) {
    touch_second(sheet->layout, &g_array_index(sheet->chart->needs, RcNeed, i), marks, alternating);
  }
  for (guint i = 0; i < n; ++i) {
    marks[i].button = i;
    if (marks[i].held || alternating[i]) {
      g_array_append_val(all, marks[i]);
    }
  }
  g_free(alternating);
  g_free(marks);
  return all;
}
