// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "keyboard/spot.h"
#include "keyboard/row_kind.h"

#include <string.h>

gboolean
rc_note_read(const char *text, RcNote *note)
{
  const gsize length = strlen(text);
  return length && rc_note_parse(text, length, RC_NAMES_ENGLISH, note) == length;
}

static char *
column_names(const RcLayout *layout)
{
  GString *names = g_string_new(NULL);
  for (guint i = 0; i < layout->columns->len; ++i) {
    const RcNote column = g_array_index(layout->columns, RcNote, i);
    g_string_append_printf(names, "%s%s", i ? ", " : "", rc_note_name(column, RC_SIGNS_ASCII));
  }
  return g_string_free(names, FALSE);
}

static gboolean
find_row(const RcLayout *layout, const char *text, const char *name, RcPlace place, guint *row, GError **error)
{
  const int found = rc_layout_find_row(layout, name);
  if (found >= 0) {
    *row = (guint)found;
    return TRUE;
  }
  GPtrArray *names = g_ptr_array_new();
  for (guint i = 0; i < layout->rows->len; ++i) {
    g_ptr_array_add(names, g_ptr_array_index(layout->rows, i));
  }
  g_ptr_array_add(names, NULL);
  char *all = g_strjoinv(", ", (char **)names->pdata);
  rc_fail(error, RC_ERROR_UNKNOWN, place, "found button `%s`, but no row `%s`; the rows here are %s", text, name, all);
  g_free(all);
  g_ptr_array_unref(names);
  return FALSE;
}

static gboolean
find_column(const RcLayout *layout, const char *text, const char *name, RcPlace place, guint *column, GError **error)
{
  RcNote note = 0;
  const int found = rc_note_read(name, &note) ? rc_layout_find_column(layout, note) : -1;
  if (found >= 0) {
    *column = (guint)found;
    return TRUE;
  }
  char *all = column_names(layout);
  rc_fail(error, RC_ERROR_UNKNOWN, place, "found button `%s`, but no column `%s`; the columns here are %s", text, name,
          all);
  g_free(all);
  return FALSE;
}

static gboolean
find_direction(const char *text, const char *name, RcPlace place, RcBellows *bellows, GError **error)
{
  *bellows = !name                   ? RC_BELLOWS_BOTH
             : !strcmp(name, "push") ? RC_BELLOWS_PUSH
             : !strcmp(name, "pull") ? RC_BELLOWS_PULL
                                     : RC_BELLOWS_PUSH | RC_BELLOWS_PULL;
  return rc_bellows_agree(*bellows, RC_BELLOWS_PUSH) || rc_bellows_agree(*bellows, RC_BELLOWS_PULL) ||
         rc_fail(error, RC_ERROR_UNKNOWN, place,
                 "found button `%s`, but no direction `%s`; a button may be followed by push or pull", text, name);
}

static gboolean
fail_button(const RcLayout *layout, const char *found, const char *else_expected, RcPlace place, GError **error)
{
  return rc_fail(error, RC_ERROR_UNKNOWN, place,
                 "found button `%s`; expected a row and a column of this layout, such as `%s %s`%s", found,
                 (const char *)g_ptr_array_index(layout->rows, 0),
                 rc_note_name(g_array_index(layout->columns, RcNote, 0), RC_SIGNS_ASCII), else_expected);
}

gboolean
rc_spot_find(const RcLayout *layout, const char *text, RcPlace place, RcSpot *spot, GError **error)
{
  guint row = 0;
  guint column = 0;
  char **words = g_strsplit(text ? text : "", " ", 3);
  gboolean good = FALSE;
  if (!words[0] || !words[1]) {
    fail_button(layout, text ? text : "(a list)", "", place, error);
  } else {
    good = find_row(layout, text, words[0], place, &row, error) &&
           find_column(layout, text, words[1], place, &column, error) &&
           find_direction(text, words[2], place, &spot->bellows, error);
  }
  spot->index = good ? rc_layout_entry(layout, row, column) : 0;
  g_strfreev(words);
  return good;
}

// ----------------------------------------------------------------------------------------------------------- chords

static const char or_chord[] = ", or a chord that has a button of its own here";

// What a text calls a button by what it sounds.
typedef struct {
  RcSoundKind kind; // of a chord
  RcNote root;
  gboolean bass; // a note alone may be a bass too
} Called;

// FALSE where the text is no chord that any button has to itself.
static gboolean
read_called(const char *text, Called *called)
{
  RcChord chord = { 0, 0, 0 };
  RcNote note = 0;
  const gboolean good = rc_chord_parse(text, strlen(text), RC_NAMES_ENGLISH, &chord, NULL) == RC_SYMBOL_CHORD;
  *called = (Called){ rc_native_kind(chord.degrees), chord.root, rc_note_read(text, &note) };
  return good && chord.bass == chord.root && called->kind != RC_SOUND_DEAD;
}

static gboolean
is_called(const RcSound *sound, const Called *called)
{
  return (sound->kind == called->kind || (called->bass && sound->kind == RC_SOUND_BASS)) &&
         rc_note_pc(sound->root) == rc_note_pc(called->root);
}

// The buttons of which a text speaks, of RcSpot: those whose root is spelled so, or all that sound alike.
static GArray *
find_called(const RcLayout *layout, const Called *called, gboolean spelled)
{
  GArray *spots = g_array_new(FALSE, FALSE, sizeof(RcSpot));
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    const RcSound sound = rc_button_meant(layout, button);
    if (is_called(&sound, called) && (!spelled || sound.root == called->root)) {
      const RcSpot spot = { rc_layout_entry(layout, button->row, button->column), button->bellows };
      g_array_append_val(spots, spot);
    }
  }
  if (spelled && !spots->len) {
    g_array_unref(spots);
    return find_called(layout, called, FALSE);
  }
  return spots;
}

// "`seventh A`, `chord D`"; a new string.
static char *
spot_names(const RcLayout *layout, const GArray *spots)
{
  GString *names = g_string_new(NULL);
  for (guint i = 0; i < spots->len; ++i) {
    char *name = rc_spot_name(layout, g_array_index(spots, RcSpot, i));
    g_string_append_printf(names, "%s`%s`", !i ? "" : i + 1 == spots->len ? " or " : ", ", name);
    g_free(name);
  }
  return g_string_free(names, FALSE);
}

// Takes the one button of which a text speaks.
static gboolean
choose_called(const RcLayout *layout, const char *text, const GArray *spots, RcPlace place, RcSpot *spot,
              GError **error)
{
  if (spots->len == 1) {
    *spot = g_array_index(spots, RcSpot, 0);
    return TRUE;
  }
  if (!spots->len) {
    return fail_button(layout, text, or_chord, place, error);
  }
  char *names = spot_names(layout, spots);
  rc_fail(error, RC_ERROR_UNKNOWN, place, "found button `%s`, which is %u buttons here; write %s", text, spots->len,
          names);
  g_free(names);
  return FALSE;
}

gboolean
rc_spot_find_called(const RcLayout *layout, const char *text, RcPlace place, RcSpot *spot, GError **error)
{
  Called called;
  if (!text || strchr(text, ' ')) {
    return rc_spot_find(layout, text, place, spot, error);
  }
  if (!read_called(text, &called)) {
    return fail_button(layout, text, or_chord, place, error);
  }
  GArray *spots = find_called(layout, &called, TRUE);
  const gboolean good = choose_called(layout, text, spots, place, spot, error);
  g_array_unref(spots);
  return good;
}

char *
rc_spot_name(const RcLayout *layout, RcSpot spot)
{
  const RcButton *button = rc_layout_button(layout, spot.index);
  const gboolean both = spot.bellows == RC_BELLOWS_BOTH;
  return g_strdup_printf("%s %s%s%s", rc_button_row(layout, button),
                         rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII), both ? "" : " ",
                         both ? "" : rc_bellows_name(spot.bellows));
}
