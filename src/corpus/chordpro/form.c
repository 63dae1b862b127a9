// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/chordpro/form.h"

#include <string.h>

void
cp_form_start(CpForm *form)
{
  g_free(form->label);
  GArray *labelled = form->labelled ? form->labelled : g_array_new(FALSE, FALSE, sizeof(CpLabelled));
  GArray *played = form->played ? form->played : g_array_new(FALSE, FALSE, sizeof(CpBars));
  g_array_set_size(labelled, 0);
  g_array_set_size(played, 0);
  *form = (CpForm){ .labelled = labelled, .played = played };
}

void
cp_form_clear(CpForm *form)
{
  g_free(form->label);
  g_array_unref(form->labelled);
  g_array_unref(form->played);
}

// ------------------------------------------------------------------------------------------------------------ parts

static void
end_part(CpForm *form, const CpSong *song)
{
  rc_add_part(song->tune, form->label ? form->label : "Song", form->part, song->tune->bars->len);
  g_clear_pointer(&form->label, g_free);
  form->part = song->tune->bars->len;
}

static void
play(CpForm *form, CpBars bars)
{
  if (bars.end > bars.first) {
    g_array_append_val(form->played, bars);
  }
}

// Plays what was read since this was done last.
static void
play_read(CpForm *form, const CpSong *song)
{
  play(form, (CpBars){ form->unplayed, song->tune->bars->len });
  form->unplayed = song->tune->bars->len;
}

// Plays bars so often once more, after what was read so far.
static void
play_again(CpForm *form, const CpSong *song, CpBars bars, guint times)
{
  play_read(form, song);
  for (guint i = 0; i < times; ++i) {
    play(form, bars);
  }
}

static void
remark_times(CpSong *song, guint line, const char *what, guint times)
{
  if (cp_is_news(song, RC_REMARK_TIMES)) {
    rc_tune_remark(song->tune, RC_REMARK_TIMES, line, 0, "`x%u`: %s is played %u times", times, what, times);
  }
}

void
cp_form_repeat(CpForm *form, CpSong *song, guint first, const char *line)
{
  const CpBars bars = { first, song->tune->bars->len };
  const guint times = cp_times(line);
  if (times < 2 || bars.end == bars.first) {
    return;
  }
  RcBarMarks *last = &g_array_index(song->marks, RcBarMarks, bars.end - 1);
  if (last->closes) { // ":| x3"
    last->closes = times;
    remark_times(song, song->line, "the repeat", times);
  } else {
    play_again(form, song, bars, times - 1);
    remark_times(song, song->line, "the line", times);
  }
}

// ----------------------------------------------------------------------------------------------------------- labels

// Something is to be played again that is not there.
static void
remark_unwritten(CpSong *song, guint line, const char *what)
{
  if (cp_is_news(song, RC_REMARK_UNWRITTEN)) {
    rc_tune_remark(song->tune, RC_REMARK_UNWRITTEN, line, 0,
                   "nothing follows `%s` here, and no such part is written before; nothing is played for it", what);
  }
}

// The part that had the current one's label before; NULL where none had.
static CpLabelled *
find_labelled(const CpForm *form)
{
  for (guint i = 0; i < form->labelled->len; ++i) {
    CpLabelled *labelled = &g_array_index(form->labelled, CpLabelled, i);
    if (!g_ascii_strcasecmp(labelled->label, form->current.label)) {
      return labelled;
    }
  }
  return NULL;
}

// The bars that a label alone asks for, of the part that had it before, or of the last {start_of_chorus}.
static CpBars
bars_to_recall(const CpForm *form)
{
  const CpLabelled *before = find_labelled(form);
  const char *label = form->current.label;
  const gboolean chorus = !g_ascii_strcasecmp(label, "chorus") || !g_ascii_strcasecmp(label, "refrain");
  return before ? before->bars : chorus ? form->chorus : (CpBars){ 0, 0 };
}

// A label that nothing follows: the part that had it before is played again.
static void
settle_label(CpForm *form, CpSong *song)
{
  if (!form->fresh) {
    return;
  }
  const CpLabelled *current = &form->current;
  const CpBars bars = bars_to_recall(form);
  form->fresh = form->in_label = FALSE;
  g_clear_pointer(&form->label, g_free);
  if (bars.end <= bars.first) {
    remark_unwritten(song, current->line, current->label);
    return;
  }
  play_again(form, song, bars, form->times);
  cp_keep_line(song, "");
  if (cp_is_news(song, RC_REMARK_RECALLS)) {
    rc_tune_remark(song->tune, RC_REMARK_RECALLS, current->line, 0,
                   "nothing follows `%s` here; the part that had this label before is played again", current->label);
  }
}

// The next part of this label is the one to recall.
static void
keep_labelled(CpForm *form)
{
  CpLabelled *before = find_labelled(form);
  if (before) {
    *before = form->current;
  } else if (form->labelled->len < RC_MAX_PARTS) {
    g_array_append_val(form->labelled, form->current);
  }
}

static void
end_labelled(CpForm *form, CpSong *song)
{
  settle_label(form, song);
  if (!form->in_label) {
    return;
  }
  CpBars *bars = &form->current.bars;
  form->in_label = FALSE;
  bars->end = song->tune->bars->len;
  end_part(form, song);
  if (bars->end == bars->first) {
    return;
  }
  keep_labelled(form);
  if (form->times > 1) {
    play_again(form, song, *bars, form->times - 1);
    remark_times(song, form->current.line, "the part", form->times);
  }
}

void
cp_form_label(CpForm *form, CpSong *song, CpLabel label)
{
  end_labelled(form, song);
  end_part(form, song);
  form->current = (CpLabelled){ .label = rc_tune_text(song->tune, label.text, label.name),
                                .bars = { song->tune->bars->len, 0 },
                                .line = song->line };
  song->label = rc_tune_text(song->tune, label.text, strlen(label.text));
  form->label = g_strndup(label.text, label.name);
  form->times = label.times;
  g_free(label.text);
  form->in_label = form->fresh = TRUE;
}

// Where labels of this name are not followed by a blank line elsewhere, the words after it are the next part's.
void
cp_form_words(CpForm *form, CpSong *song)
{
  const CpLabelled *before = form->fresh && form->current.blank ? find_labelled(form) : NULL;
  if (before && !before->blank) {
    settle_label(form, song);
  }
  form->fresh = FALSE;
}

void
cp_form_blank(CpForm *form, CpSong *song)
{
  if (form->fresh) {
    form->current.blank = TRUE;
  } else {
    end_labelled(form, song);
  }
}

// --------------------------------------------------------------------------------------------------------- sections

// The label of a section is its value, or label="..." in it; else its name.
static char *
section_label(const char *value, const char *name)
{
  const char *label = strstr(value, "label=\"");
  if (label) {
    label += strlen("label=\"");
    return g_strndup(label, strcspn(label, "\""));
  }
  char *given = g_strdup(*value && !strchr(value, '=') ? value : name);
  given[0] = g_ascii_toupper(given[0]);
  return given;
}

static CpEnvironment
environment_of(const char *section)
{
  static const char *const others[] = { "tab", "abc", "ly", "svg", "textblock", NULL };
  return !strcmp(section, "grid") ? CP_IN_GRID : g_strv_contains(others, section) ? CP_IN_TAB : CP_IN_WORDS;
}

// Whatever is being read ends; a label right before is that of what follows.
static void
end_what_is_read(CpForm *form, CpSong *song)
{
  form->fresh = FALSE;
  end_labelled(form, song);
  end_part(form, song);
}

void
cp_form_start_section(CpForm *form, CpSong *song, const char *name, const char *value)
{
  end_what_is_read(form, song);
  form->environment = environment_of(name);
  form->label = section_label(form->environment == CP_IN_GRID ? "" : value, name);
  if (form->environment != CP_IN_TAB) { // the next line of words has the label
    song->label = rc_tune_text(song->tune, form->label, strlen(form->label));
  }
  if (!strcmp(name, "chorus")) {
    form->chorus = (CpBars){ song->tune->bars->len, 0 };
  }
}

void
cp_form_end_section(CpForm *form, CpSong *song, const char *name)
{
  end_labelled(form, song);
  end_part(form, song);
  form->environment = CP_IN_WORDS;
  if (!strcmp(name, "chorus")) {
    form->chorus.end = song->tune->bars->len;
  }
}

// How often "{chorus: Chorus x2}" and "{chorus: x2}" play it.
static guint
times_of_value(const char *value)
{
  char *line = g_strconcat("Chorus ", value, NULL);
  const guint times = cp_times(line);
  g_free(line);
  return times;
}

void
cp_form_recall_chorus(CpForm *form, CpSong *song, const char *value)
{
  const guint times = times_of_value(value);
  end_what_is_read(form, song);
  if (form->chorus.end <= form->chorus.first) {
    remark_unwritten(song, song->line, "{chorus}");
    return;
  }
  play_again(form, song, form->chorus, times);
  if (times > 1) {
    remark_times(song, song->line, "the chorus", times);
  }
  song->label = "Chorus";
  cp_keep_line(song, "");
}

// -------------------------------------------------------------------------------------------------------- the order

gboolean
cp_form_end(CpForm *form, CpSong *song, GError **error)
{
  RcTune *tune = song->tune;
  end_labelled(form, song);
  end_part(form, song);
  play_read(form, song);
  rc_link_marks(song->marks);
  for (guint i = 0; i < form->played->len; ++i) {
    const CpBars *bars = &g_array_index(form->played, CpBars, i);
    if (!rc_unroll(song->marks, bars->first, bars->end, tune->played)) {
      return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ song->file, tune->line, 0 }, "the song plays more than %d bars",
                     RC_MAX_PLAYED_BARS);
    }
  }
  rc_remark_unplayed(tune);
  return TRUE;
}
