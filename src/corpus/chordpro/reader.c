// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// ChordPro, read line by line: directives in braces, words with chords in brackets, grids. A file holds one song or
// several, divided by {new_song}. Chords over words have no lengths, and none are made up.

#include "corpus/chordpro/chordpro.h"
#include "corpus/format.h"
#include "corpus/reader.h"

#include <string.h>

#define NO_PART G_MAXUINT

enum { BLOCK = 64 << 10, MOST_CAPO = 24, MOST_TRANSPOSE = 48 };

// Where in a song a line stands.
typedef enum { IN_WORDS, IN_GRID, IN_TAB } Environment;

// Bars that are played one behind the other.
typedef struct {
  guint first;
  guint end;
} Segment;

typedef struct {
  RcSource *source;
  const char *name;
  RcCorpusOptions options;
  GString *buffer; // read and not yet used up to `at`
  gsize at;
  guint line;
  gboolean ended;
  gboolean failed; // reading failed, and that was reported

  CpSong song;
  GString *text; // of the line
  gsize bytes;   // of the song
  gboolean any;  // something stands in it
  char *title;
  Environment environment;
  RcKey key; // as written
  int capo;
  GArray *moves;  // of int: transpositions, the one in force last
  GArray *played; // of Segment
  Segment chorus;
  guint segment; // first bar of the one being read
  guint part;    // first bar of the part being read
  char *label;   // of it
} RcChordproReader;

static gpointer
start_reading(RcSource *source, RcCorpusOptions options)
{
  RcChordproReader *r = g_new0(RcChordproReader, 1);
  r->source = source;
  r->name = rc_source_name(source);
  r->options = options;
  r->buffer = g_string_new(NULL);
  r->text = g_string_new(NULL);
  r->moves = g_array_new(FALSE, FALSE, sizeof(int));
  r->played = g_array_new(FALSE, FALSE, sizeof(Segment));
  r->song.marks = g_array_new(FALSE, TRUE, sizeof(RcBarMarks));
  r->song.symbols = rc_symbols_new();
  return r;
}

static void
end_reading(gpointer reader)
{
  RcChordproReader *r = reader;
  if (r) {
    g_string_free(r->buffer, TRUE);
    g_string_free(r->text, TRUE);
    g_array_unref(r->moves);
    g_array_unref(r->played);
    g_array_unref(r->song.marks);
    rc_symbols_free(r->song.symbols);
    g_free(r->title);
    g_free(r->label);
    g_free(r);
  }
}

// ------------------------------------------------------------------------------------------------------------ lines

// Reads more behind what is there; FALSE at the end.
static gboolean
fill(RcChordproReader *r)
{
  g_string_erase(r->buffer, 0, (gssize)r->at);
  r->at = 0;
  const gsize before = r->buffer->len;
  g_string_set_size(r->buffer, before + BLOCK);
  const gsize n = rc_source_read(r->source, r->buffer->str + before, BLOCK);
  g_string_set_size(r->buffer, before + n);
  r->ended = !n;
  return n > 0;
}

// The line as UTF-8: it is Latin-1 where it is not. Zero bytes are no text.
static void
set_line(RcChordproReader *r, const char *text, gsize length)
{
  g_string_truncate(r->text, 0);
  g_string_append_len(r->text, text, (gssize)length);
  for (gsize i = 0; i < r->text->len; ++i) {
    r->text->str[i] = r->text->str[i] ? r->text->str[i] : '?';
  }
  if (!g_utf8_validate(r->text->str, (gssize)r->text->len, NULL)) {
    char *utf8 = g_convert(r->text->str, (gssize)r->text->len, "UTF-8", "ISO-8859-1", NULL, NULL, NULL);
    g_string_assign(r->text, utf8 ? utf8 : "");
    g_free(utf8);
  }
  g_strchomp(r->text->str);
  r->text->len = strlen(r->text->str);
}

// Reads the next line, of at most so many bytes as a tune may have; FALSE at the end.
static gboolean
next_line(RcChordproReader *r)
{
  gsize searched = 0;
  for (;;) {
    const char *start = r->buffer->str + r->at;
    const gsize there = r->buffer->len - r->at;
    const char *newline = memchr(start + searched, '\n', there - searched);
    if (newline || r->ended || there > RC_MAX_TUNE_BYTES) {
      const gsize length = newline ? (gsize)(newline - start) : there;
      if (!there && r->ended) {
        return FALSE;
      }
      set_line(r, start, length);
      r->at += length + (newline ? 1 : 0);
      r->bytes += length + 1;
      ++r->line;
      return TRUE;
    }
    searched = there;
    fill(r);
  }
}

// ------------------------------------------------------------------------------------------------------------ parts

static void
end_part(RcChordproReader *r)
{
  rc_add_part(r->song.tune, r->label ? r->label : "Song", r->part, r->song.tune->bars->len);
  g_clear_pointer(&r->label, g_free);
  r->part = r->song.tune->bars->len;
}

static void
play(RcChordproReader *r, guint first, guint end)
{
  const Segment segment = { first, end };
  if (end > first) {
    g_array_append_val(r->played, segment);
  }
}

static void
end_segment(RcChordproReader *r)
{
  play(r, r->segment, r->song.tune->bars->len);
  r->segment = r->song.tune->bars->len;
}

// ------------------------------------------------------------------------------------------------------- directives

static int
transposition(const RcChordproReader *r)
{
  return r->moves->len ? g_array_index(r->moves, int, r->moves->len - 1) : 0;
}

// Chords and key sound higher by the capo and the transposition together.
static void
settle_shift(RcChordproReader *r)
{
  CpSong *song = &r->song;
  song->shift = r->capo + transposition(r);
  song->setting.key = song->shift ? rc_key_moved(r->key, song->shift) : r->key;
  song->setting.tones = rc_key_tones(song->setting.key);
  cp_change_setting(song);
}

static gboolean
fail_value(const RcChordproReader *r, const char *what, const char *found, const char *expected, GError **error)
{
  enum { SHOWN = 40 };
  char *shown = g_utf8_substring(found, 0, MIN(g_utf8_strlen(found, -1), SHOWN));
  rc_fail(error, RC_ERROR_VALUE, (RcPlace){ r->name, r->line, 0 }, "found %s `%s`; expected %s", what, shown, expected);
  g_free(shown);
  return FALSE;
}

static gboolean
read_title(RcChordproReader *r, const char *value, GError **error)
{
  (void)error;
  if (!r->title && *value) {
    r->title = g_strdup(value);
  }
  return TRUE;
}

static gboolean
read_key(RcChordproReader *r, const char *value, GError **error)
{
  if (!rc_key_parse(value, r->options.names, &r->key, NULL)) {
    return fail_value(r, "the key", value, "a tonic and a mode, such as D, Bm, E dorian", error);
  }
  settle_shift(r);
  return TRUE;
}

static gboolean
read_time(RcChordproReader *r, const char *value, GError **error)
{
  if (!rc_meter_parse(value, &r->song.setting.meter)) {
    return fail_value(r, "the time", value, "beats and note value, such as 3/4 or 6/8", error);
  }
  cp_change_setting(&r->song);
  return TRUE;
}

static gboolean
read_tempo(RcChordproReader *r, const char *value, GError **error)
{
  if (!rc_tempo_parse(value, r->song.setting.meter, &r->song.setting.tempo)) {
    return fail_value(r, "the tempo", value, "beats a minute such as 138, 5 to 1000 quarter notes a minute", error);
  }
  cp_change_setting(&r->song);
  return TRUE;
}

// A whole number, with whatever letter behind it says how to spell.
static gboolean
read_semitones(const char *value, int most, int *number)
{
  char *end = NULL;
  const gint64 read = g_ascii_strtoll(value, &end, 10);
  *number = (int)CLAMP(read, -most - 1, most + 1);
  return end > value && (!*end || !end[1]) && ABS(*number) <= most;
}

static gboolean
read_capo(RcChordproReader *r, const char *value, GError **error)
{
  if (!read_semitones(value, MOST_CAPO, &r->capo) || r->capo < 0) {
    return fail_value(r, "the capo", value, "the number of a fret, 0 to 24", error);
  }
  settle_shift(r);
  return TRUE;
}

// Without a value the transposition before is in force again.
static gboolean
read_transpose(RcChordproReader *r, const char *value, GError **error)
{
  int semitones = 0;
  if (!*value && r->moves->len) {
    g_array_set_size(r->moves, r->moves->len - 1);
  } else if (*value && !read_semitones(value, MOST_TRANSPOSE, &semitones)) {
    return fail_value(r, "to transpose by", value, "semitones, -48 to 48", error);
  } else if (*value) {
    g_array_append_val(r->moves, semitones);
  }
  settle_shift(r);
  return TRUE;
}

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

static gboolean
start_section(RcChordproReader *r, const char *name, const char *value)
{
  const gboolean grid = !strcmp(name, "grid");
  const gboolean words = !strcmp(name, "verse") || !strcmp(name, "chorus") || !strcmp(name, "bridge");
  const gboolean skipped = !strcmp(name, "tab") || !strcmp(name, "abc") || !strcmp(name, "ly") ||
                           !strcmp(name, "svg") || !strcmp(name, "textblock");
  end_part(r);
  r->label = section_label(grid ? "" : value, name);
  r->environment = grid ? IN_GRID : skipped && !words ? IN_TAB : IN_WORDS;
  if (!strcmp(name, "chorus")) {
    r->chorus = (Segment){ r->song.tune->bars->len, 0 };
  }
  return TRUE;
}

static gboolean
end_section(RcChordproReader *r, const char *name)
{
  end_part(r);
  r->environment = IN_WORDS;
  if (!strcmp(name, "chorus")) {
    r->chorus.end = r->song.tune->bars->len;
  }
  return TRUE;
}

// Plays the chorus again; one that was not written yet is none.
static gboolean
recall_chorus(RcChordproReader *r, const char *value, GError **error)
{
  (void)value;
  (void)error;
  end_part(r);
  end_segment(r);
  play(r, r->chorus.first, r->chorus.end);
  return TRUE;
}

typedef struct {
  const char *name;
  const char *other;
  gboolean (*read)(RcChordproReader *r, const char *value, GError **error);
} Directive;

static const Directive directives[] = {
  { "title", "t", read_title },          { "key", "key", read_key },    { "time", "time", read_time },
  { "tempo", "tempo", read_tempo },      { "capo", "capo", read_capo }, { "transpose", "transpose", read_transpose },
  { "chorus", "chorus", recall_chorus },
};

typedef struct {
  const char *abbreviation;
  const char *name;
} Abbreviation;

static const Abbreviation sections[] = {
  { "soc", "start_of_chorus" }, { "eoc", "end_of_chorus" }, { "sov", "start_of_verse" }, { "eov", "end_of_verse" },
  { "sob", "start_of_bridge" }, { "eob", "end_of_bridge" }, { "sot", "start_of_tab" },   { "eot", "end_of_tab" },
  { "sog", "start_of_grid" },   { "eog", "end_of_grid" },
};

static const char *
section_name(const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS(sections); ++i) {
    if (!strcmp(sections[i].abbreviation, name)) {
      return sections[i].name;
    }
  }
  return name;
}

// What the directive says; those that are for print only, and unknown ones, say nothing.
static gboolean
apply_directive(RcChordproReader *r, const char *name, const char *value, GError **error)
{
  name = section_name(name);
  if (g_str_has_prefix(name, "start_of_")) {
    return start_section(r, name + strlen("start_of_"), value);
  }
  if (g_str_has_prefix(name, "end_of_")) {
    return end_section(r, name + strlen("end_of_"));
  }
  for (guint i = 0; i < G_N_ELEMENTS(directives); ++i) {
    if (!strcmp(directives[i].name, name) || !strcmp(directives[i].other, name)) {
      return directives[i].read(r, value, error);
    }
  }
  return TRUE;
}

// "name: value" or "name value"
static void
split_directive(char *text, char **name, char **value)
{
  *name = g_strstrip(text);
  const gsize length = strcspn(*name, ": \t");
  char *rest = *name + length;
  *value = rest + (*rest ? 1 : 0);
  *rest = '\0';
  *value = g_strstrip(*value);
  if (**value == ':') {
    *value = g_strstrip(*value + 1);
  }
  for (char *at = *name; *at; ++at) {
    *at = g_ascii_tolower(*at);
  }
}

// Reads a line that begins with a brace; sets `ends` where a new song begins.
static gboolean
read_directive(RcChordproReader *r, const char *open, gboolean *ends, GError **error)
{
  const char *close = strrchr(open, '}');
  if (!close) {
    return cp_fail(&r->song, open, RC_ERROR_SYNTAX, "a directive begins here and has no closing brace on its line",
                   error);
  }
  char *text = g_strndup(open + 1, (gsize)(close - open) - 1);
  char *name = NULL;
  char *value = NULL;
  split_directive(text, &name, &value);
  if (!strcmp(name, "meta") && *value) { // "{meta: name value}"
    split_directive(value, &name, &value);
  }
  *ends = !strcmp(name, "new_song") || !strcmp(name, "ns");
  const gboolean good = *ends || (r->environment == IN_TAB && !g_str_has_prefix(section_name(name), "end_of_")) ||
                        apply_directive(r, name, value, error);
  r->any |= !*ends;
  g_free(text);
  return good;
}

// ------------------------------------------------------------------------------------------------------------ songs

static gboolean
read_line(RcChordproReader *r, gboolean *ends, GError **error)
{
  const char *text = r->text->str;
  const char *first = text + strspn(text, " \t\r");
  r->song.line = r->line;
  r->song.text = text;
  if (!*first || *first == '#') {
    return TRUE;
  }
  if (*first == '{') {
    return read_directive(r, first, ends, error);
  }
  r->any = TRUE;
  r->song.tune->line = r->song.tune->line ? r->song.tune->line : r->line;
  if (r->environment == IN_TAB) {
    return TRUE;
  }
  return r->environment == IN_GRID ? cp_read_grid(&r->song, error) : cp_read_words(&r->song, error);
}

static void
start_song(RcChordproReader *r, RcTune *tune)
{
  rc_tune_clear(tune);
  tune->file = r->name;
  tune->line = r->line + 1;
  g_array_set_size(r->song.marks, 0);
  r->song = (CpSong){ .tune = tune,
                      .symbols = r->song.symbols,
                      .marks = r->song.marks,
                      .file = r->name,
                      .names = r->options.names,
                      .setting = *rc_tune_setting(tune, 0) };
  rc_symbols_start(r->song.symbols, tune, RC_NAMES_ENGLISH);
  g_array_set_size(r->moves, 0);
  g_array_set_size(r->played, 0);
  g_clear_pointer(&r->title, g_free);
  g_clear_pointer(&r->label, g_free);
  r->environment = IN_WORDS;
  r->key = (RcKey){ RC_MODE_NONE, 0 };
  r->capo = 0;
  r->chorus = (Segment){ 0, 0 };
  r->segment = 0;
  r->part = 0;
  r->bytes = 0;
  r->any = FALSE;
}

// Reads up to the next song or the end; a mistake is kept until then.
static gboolean
read_song(RcChordproReader *r, GError **error)
{
  gboolean good = TRUE;
  gboolean ends = FALSE;
  while (!ends && next_line(r)) {
    GError *problem = NULL;
    read_line(r, &ends, &problem);
    if (!problem && r->bytes > RC_MAX_TUNE_BYTES) {
      rc_fail(&problem, RC_ERROR_LIMIT, (RcPlace){ r->name, r->line, 0 },
              "a song of more than %d bytes; {new_song} divides songs", RC_MAX_TUNE_BYTES);
    }
    if (problem && good) {
      g_propagate_error(error, problem);
      good = FALSE;
    } else {
      g_clear_error(&problem);
    }
  }
  return good;
}

static gboolean
play_song(RcChordproReader *r, GError **error)
{
  RcTune *tune = r->song.tune;
  end_part(r);
  end_segment(r);
  for (guint i = 0; i < r->played->len; ++i) {
    const Segment *segment = &g_array_index(r->played, Segment, i);
    if (!rc_unroll(r->song.marks, segment->first, segment->end, tune->played)) {
      return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->name, tune->line, 0 }, "the song plays more than %d bars",
                     RC_MAX_PLAYED_BARS);
    }
  }
  const char *title = r->title ? r->title : "(no title)";
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
      rc_reader_left_out(error, r->title);
      return RC_READ_PROBLEM;
    }
  } while (!r->any && !(r->ended && r->at == r->buffer->len));
  const gboolean cut = r->ended && r->at == r->buffer->len && rc_source_failure(r->source); // at who knows which place
  if (cut || !r->any) {
    const RcReadResult result = rc_reader_end(r->source, (RcPlace){ r->name, r->line, 0 }, &r->failed, error);
    rc_reader_left_out(error, r->title);
    return result;
  }
  if (play_song(r, error)) {
    return RC_READ_TUNE;
  }
  rc_reader_left_out(error, r->title);
  return RC_READ_PROBLEM;
}

// ------------------------------------------------------------------------------------------------------- the format

// A directive alone on its line, "{title: Weir}", which is no YAML tune, or a chord in brackets.
static gboolean
recognizes(const char *line, const char *end)
{
  const char *stop = line;
  while (stop < end && *stop != '\n' && *stop != '\r') {
    ++stop;
  }
  while (stop > line && stop[-1] == ' ') {
    --stop;
  }
  const gsize length = (gsize)(stop - line);
  if (length > 2 && *line == '{') {
    return g_ascii_isalpha(line[1]) && stop[-1] == '}' && !memchr(line + 1, '{', length - 1);
  }
  return length > 2 && *line == '[' && line[1] >= 'A' && line[1] <= 'H' && memchr(line, ']', length);
}

static const char *const endings[] = { ".cho", ".chopro", ".chordpro", ".crd", NULL };

const RcFormat rc_chordpro_format = { .name = "chordpro",
                                      .endings = endings,
                                      .tune_begins = "{title: ...}",
                                      .recognizes = recognizes,
                                      .start = start_reading,
                                      .next = read_next,
                                      .free = end_reading };
