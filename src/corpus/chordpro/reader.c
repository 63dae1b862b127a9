// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Songs, read line by line: directives in braces, words with chords in brackets or under a line of chords, grids,
// labels. A file holds one song or several, divided by {new_song}. Chords over words have no lengths, and none are made
// up.

#include "corpus/chordpro/directives.h"
#include "corpus/chordpro/input.h"
#include "corpus/chordpro/signs.h"
#include "corpus/format.h"
#include "corpus/reader.h"

#include <string.h>

typedef struct {
  RcCorpusOptions options;
  CpInput input;
  gboolean failed; // reading failed, and that was reported

  CpSong song;
  CpHeading heading;
  CpForm form;
  gsize before;      // bytes of the text before the song
  gboolean any;      // there is something in it
  char *first_words; // its first line, if that is words before any chord
  gboolean typed;    // it has lines of chords
  GString *above;    // a line of chords that waits for the words below it
  guint above_line;  // 0: none waits
  gsize above_from;  // where its chords begin, after a label
} RcChordproReader;

static gpointer
start_reading(RcPiece *piece, RcCorpusOptions options)
{
  RcChordproReader *r = g_new0(RcChordproReader, 1);
  r->options = options;
  cp_input_start(&r->input, piece);
  cp_heading_start(&r->heading);
  cp_form_start(&r->form);
  r->above = g_string_new(NULL);
  r->song.marks = g_array_new(FALSE, TRUE, sizeof(RcBarMarks));
  r->song.symbols = rc_symbols_new();
  return r;
}

static void
end_reading(gpointer reader)
{
  RcChordproReader *r = reader;
  if (r) {
    cp_input_clear(&r->input);
    cp_heading_clear(&r->heading);
    cp_form_clear(&r->form);
    g_string_free(r->above, TRUE);
    g_array_unref(r->song.marks);
    rc_symbols_free(r->song.symbols);
    g_free(r->first_words);
    g_free(r);
  }
}

// ------------------------------------------------------------------------------------------------------------ lines

static void
start_line(RcChordproReader *r)
{
  cp_start_line(&r->song, r->input.text->str, r->input.line);
}

// Reads the line of chords that waits, over these words.
static gboolean
read_above(RcChordproReader *r, const char *words, GError **error)
{
  CpSong *song = &r->song;
  if (!r->above_line) {
    return TRUE;
  }
  const guint bar = song->tune->bars->len;
  cp_start_line(song, r->above->str, r->above_line);
  song->from = r->above->str + r->above_from;
  const gboolean good = cp_read_chords(song, words, error);
  cp_form_repeat(&r->form, song, bar, r->above->str);
  r->above_line = 0;
  start_line(r);
  return good;
}

// Keeps a line of chords until the words below it are read.
static gboolean
keep_above(RcChordproReader *r, const char *chords, GError **error)
{
  if (!read_above(r, "", error)) {
    return FALSE;
  }
  g_string_assign(r->above, r->input.text->str);
  r->above_from = (gsize)(chords - r->input.text->str);
  r->above_line = r->input.line;
  r->typed = TRUE;
  return TRUE;
}

// Reads words with chords in brackets.
static gboolean
read_bracketed(RcChordproReader *r, const char *text, GError **error)
{
  const guint bar = r->song.tune->bars->len;
  if (!read_above(r, "", error) || !cp_read_words(&r->song, error)) {
    return FALSE;
  }
  cp_form_repeat(&r->form, &r->song, bar, text);
  return TRUE;
}

// Reads words without chords, or those to a line of chords above them.
static gboolean
read_plain(RcChordproReader *r, const char *text, GError **error)
{
  if (r->above_line) {
    return read_above(r, text, error);
  }
  const gboolean begun = r->song.tune->bars->len > 0;
  if (!r->first_words && !begun && !r->form.in_label) {
    r->first_words = g_strstrip(g_strndup(text, cp_read_last_facts(&r->heading, &r->song, text)));
  }
  if (begun) {
    cp_remark_lone_bracket(&r->song, text);
  }
  cp_keep_line(&r->song, text);
  return TRUE;
}

// "[Capo 2]" alone on a line.
static gboolean
is_enclosed(const char *text)
{
  const char *close = *text == '[' ? strchr(text, ']') : NULL;
  return close && !close[1 + strspn(close + 1, " \t\r")];
}

// "Chords: G C D7" and "Tuning: E A D" are lists; returns whether the line is one.
static gboolean
is_list(CpSong *song, const char *text)
{
  const gsize label = cp_list_label(text);
  if (label && cp_is_news(song, RC_REMARK_WORDS)) {
    char *shown = cp_shown((CpText){ text + strspn(text, " \t"), text + label });
    rc_tune_remark(song->tune, RC_REMARK_WORDS, song->line, 0, "what `%s` lists is not played: it is read as words",
                   shown);
    g_free(shown);
  }
  return label > 0;
}

static gboolean
read_words(RcChordproReader *r, GError **error)
{
  CpSong *song = &r->song;
  const char *text = song->from;
  const gboolean bracketed = cp_has_brackets(song, text);
  if ((!bracketed || is_enclosed(text)) && !r->above_line &&
      cp_read_facts(&r->heading, song, text + strspn(text, " \t"))) {
    return TRUE;
  }
  cp_form_words(&r->form, song);
  if (cp_is_line_of_chords(song, text) && !is_list(song, text)) {
    return keep_above(r, text, error);
  }
  return bracketed ? read_bracketed(r, text, error) : read_plain(r, text, error);
}

static gboolean
read_labelled_words(RcChordproReader *r, const char *first, GError **error)
{
  CpLabel label;
  const char *rest = cp_take_label(first, &label);
  if (!label.text) {
    return read_words(r, error);
  }
  if (!read_above(r, "", error)) {
    g_free(label.text);
    return FALSE;
  }
  cp_form_label(&r->form, &r->song, label);
  r->song.from = rest;
  return !*rest || read_words(r, error);
}

// One blank line between words, of several.
static void
keep_blank(RcChordproReader *r)
{
  const GArray *lines = r->song.tune->lines;
  const RcLine *last = lines->len ? &g_array_index(lines, RcLine, lines->len - 1) : NULL;
  if (last && !r->song.label && (last->sung || last->label || *last->text)) {
    cp_keep_line(&r->song, "");
  }
}

static gboolean
read_blank(RcChordproReader *r, GError **error)
{
  const gboolean good = read_above(r, "", error);
  if (r->form.environment == CP_IN_WORDS) {
    cp_form_blank(&r->form, &r->song);
    keep_blank(r);
  }
  return good;
}

// Reads words, chords or a grid from a place of the line on.
static gboolean
read_text(RcChordproReader *r, const char *first, GError **error)
{
  r->any = TRUE;
  r->song.tune->line = r->song.tune->line ? r->song.tune->line : r->input.line;
  if (r->form.environment == CP_IN_TAB) {
    return TRUE;
  }
  r->song.from = first;
  return r->form.environment == CP_IN_GRID ? cp_read_grid(&r->song, error) : read_labelled_words(r, first, error);
}

// Reads words up to the next directive, and returns what is left.
static char *
read_up_to_directive(RcChordproReader *r, char *at, GError **error)
{
  char *brace = cp_find_directive(at);
  char *rest = brace ? brace : at + strlen(at);
  const char kept = *rest;
  *rest = '\0';
  const gboolean good = read_text(r, at, error);
  *rest = kept;
  return good ? rest : NULL;
}

// Follows a directive, and returns what is left.
static char *
read_directive(RcChordproReader *r, char *open, gboolean *ends, GError **error)
{
  if (!read_above(r, "", error)) {
    return NULL;
  }
  const char *rest = cp_read_directive(&r->form, &r->heading, &r->song, open, ends);
  r->any |= !*ends;
  return open + (rest - open);
}

// Most lines are words or a directive; some people write several of them on a line. What follows {new_song} is kept
// for that song.
static gboolean
read_line(RcChordproReader *r, gboolean *ends, GError **error)
{
  char *text = r->input.text->str + r->input.rest;
  char *first = text + strspn(text, " \t\r");
  start_line(r);
  r->input.rest = 0;
  if (*first == '#') {
    return TRUE;
  }
  if (!*first) {
    return read_blank(r, error);
  }
  char *at = *first == '{' ? first : text; // the blanks before words are theirs: chords may be above them
  while (at && *at && !*ends) {
    at = *at == '{' ? read_directive(r, at, ends, error) : read_up_to_directive(r, at, error);
    at = at ? at + strspn(at, " \t\r") : NULL;
  }
  if (at && *at) {
    r->input.rest = (gsize)(at - r->input.text->str);
  }
  return at != NULL;
}

// ------------------------------------------------------------------------------------------------------------ songs

static void
start_song(RcChordproReader *r, RcTune *tune)
{
  rc_tune_clear(tune);
  tune->file = r->input.piece->text->name;
  tune->line = r->input.line + (r->input.rest ? 0 : 1);
  g_array_set_size(r->song.marks, 0);
  r->song = (CpSong){ .tune = tune,
                      .symbols = r->song.symbols,
                      .marks = r->song.marks,
                      .file = tune->file,
                      .names = r->options.names,
                      .keeps_words = r->options.words,
                      .setting = *rc_tune_setting(tune, 0) };
  rc_symbols_start(r->song.symbols, tune, RC_NAMES_ENGLISH);
  cp_heading_start(&r->heading);
  cp_form_start(&r->form);
  g_clear_pointer(&r->first_words, g_free);
  r->typed = r->any = FALSE;
  r->above_line = 0;
  r->before = r->input.bytes;
}

// Reads up to the next song or the end; a mistake is kept until then.
static gboolean
read_song(RcChordproReader *r, GError **error)
{
  gboolean good = TRUE;
  gboolean ends = FALSE;
  while (!ends && cp_input_next(&r->input)) {
    GError *problem = NULL;
    read_line(r, &ends, &problem);
    if (!problem && r->input.bytes - r->before > RC_MAX_TUNE_BYTES) {
      rc_fail(&problem, RC_ERROR_LIMIT, (RcPlace){ r->song.file, r->input.line, 0 },
              "a song of more than %d bytes; {new_song} separates songs", RC_MAX_TUNE_BYTES);
    }
    if (problem && good) {
      g_propagate_error(error, problem);
      good = FALSE;
    } else {
      g_clear_error(&problem);
    }
  }
  return read_above(r, "", good ? error : NULL) && good;
}

static gboolean
is_blank_line(const RcLine *line)
{
  return !*line->text && !line->sung && !line->label;
}

// Removes the title from the words that are sung, and the blank lines after it: that of a song with lines of chords, or
// one that a blank line follows.
static void
take_title_out(GArray *lines, gboolean typed)
{
  if (!lines->len || (!typed && (lines->len < 2 || !is_blank_line(&g_array_index(lines, RcLine, 1))))) {
    return;
  }
  do {
    g_array_remove_index(lines, 0);
  } while (lines->len && is_blank_line(&g_array_index(lines, RcLine, 0)));
}

// The title that is stated; else the words above all chords.
static const char *
title_of(RcChordproReader *r)
{
  if (!r->heading.title && r->first_words) {
    take_title_out(r->song.tune->lines, r->typed);
  }
  return r->heading.title ? r->heading.title : r->first_words ? r->first_words : "(no title)";
}

// Some write [1] or [IV] for chords of any key.
static void
remark_chordless(const CpSong *song)
{
  if (song->words && !song->tune->events->len) {
    char *shown = cp_shown((CpText){ song->words, song->words + strlen(song->words) });
    rc_tune_remark(song->tune, RC_REMARK_WORDS, song->words_at.line, song->words_at.column,
                   "`[%s]` is no chord, nor is anything else in the song; a chord is written with its root, such as "
                   "[G] or [Em7]",
                   shown);
    g_free(shown);
  }
}

static gboolean
end_song(RcChordproReader *r, GError **error)
{
  RcTune *tune = r->song.tune;
  if (!cp_form_end(&r->form, &r->song, error)) {
    return FALSE;
  }
  remark_chordless(&r->song);
  const char *title = title_of(r);
  tune->title = rc_tune_text(tune, title, strlen(title));
  return TRUE;
}

static RcReadResult
read_next(gpointer reader, RcTune *tune, GError **error)
{
  RcChordproReader *r = reader;
  do {
    start_song(r, tune);
    if (!read_song(r, error)) {
      rc_reader_left_out(error, r->heading.title);
      return RC_READ_PROBLEM;
    }
  } while (!r->any && !cp_input_is_over(&r->input));
  const gboolean cut = cp_input_is_over(&r->input) && rc_piece_failure(r->input.piece); // at who knows which place
  if (cut || !r->any) {
    const RcReadResult result =
      rc_reader_end(r->input.piece, (RcPlace){ r->song.file, r->input.line, 0 }, &r->failed, error);
    rc_reader_left_out(error, r->heading.title);
    return result;
  }
  if (end_song(r, error)) {
    return RC_READ_TUNE;
  }
  rc_reader_left_out(error, r->heading.title);
  return RC_READ_PROBLEM;
}

// ------------------------------------------------------------------------------------------------------- the formats

static const char *const endings[] = { ".cho", ".chopro", ".chordpro", ".crd", ".pro", NULL };

const RcFormat rc_chordpro_format = { .name = "chordpro",
                                      .endings = endings,
                                      .tune_begins = "{title: ...}",
                                      .recognizes = cp_has_directive,
                                      .start = start_reading,
                                      .next = read_next,
                                      .free = end_reading };

static const char *const text_endings[] = { ".txt", NULL };

const RcFormat rc_words_format = { .name = "words",
                                   .endings = text_endings,
                                   .any_text = TRUE,
                                   .tune_begins = "a title, and chords over words below it",
                                   .recognizes = cp_has_chords,
                                   .start = start_reading,
                                   .next = read_next,
                                   .free = end_reading };
