// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Songs, read line by line: directives in braces, words with chords in brackets or under a line of chords, grids,
// labels. A file holds one song or several, divided by {new_song}. Chords over words have no lengths, and none are made
// up.

#include "corpus/chordpro/chordpro.h"
#include "corpus/format.h"
#include "corpus/reader.h"

#include <string.h>

#define NO_PART G_MAXUINT

enum { BLOCK = 64 << 10, MOST_CAPO = 24, MOST_TRANSPOSE = 48 };

// Where in a song a line is.
typedef enum { IN_WORDS, IN_GRID, IN_TAB } Environment;

// Bars that are played one after another.
typedef struct {
  guint first;
  guint end;
} Segment;

// A part that singers have labelled, "Chorus".
typedef struct {
  const char *label; // owned by the tune
  Segment bars;
  guint line;     // of the label
  gboolean blank; // a blank line follows it
} Labelled;

typedef struct {
  RcPiece *piece;
  const char *name;
  RcCorpusOptions options;
  GString *buffer; // read and not yet used up to `at`
  gsize at;
  guint line;
  gsize done; // bytes of the line that belong to the song before; 0 where the line is read
  gboolean ended;
  gboolean failed; // reading failed, and that was reported

  CpSong song;
  GString *text; // of the line
  gsize bytes;   // of the song
  gboolean any;  // there is something in it
  char *title;
  char *first_words; // its first line, if that is words before any chord
  gboolean typed;    // it has lines of chords
  GString *above;    // a line of chords that waits for the words below it
  guint above_line;  // 0: none waits
  gsize above_from;  // where its chords begin, after a label
  GArray *labelled;  // of Labelled, those that have bars
  Labelled current;  // the one being read, if any
  guint times;       // it is played so often
  gboolean in_label; // there is one
  gboolean fresh;    // nothing but a blank line has followed its label
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
start_reading(RcPiece *piece, RcCorpusOptions options)
{
  RcChordproReader *r = g_new0(RcChordproReader, 1);
  r->piece = piece;
  r->name = piece->text->name;
  r->options = options;
  r->buffer = g_string_new(NULL);
  r->text = g_string_new(NULL);
  r->moves = g_array_new(FALSE, FALSE, sizeof(int));
  r->played = g_array_new(FALSE, FALSE, sizeof(Segment));
  r->above = g_string_new(NULL);
  r->labelled = g_array_new(FALSE, FALSE, sizeof(Labelled));
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
    g_string_free(r->above, TRUE);
    g_array_unref(r->labelled);
    g_array_unref(r->song.marks);
    rc_symbols_free(r->song.symbols);
    g_free(r->title);
    g_free(r->first_words);
    g_free(r->label);
    g_free(r);
  }
}

// ------------------------------------------------------------------------------------------------------------ lines

// Reads more after what is there; FALSE at the end.
static gboolean
fill(RcChordproReader *r)
{
  g_string_erase(r->buffer, 0, (gssize)r->at);
  r->at = 0;
  const gsize before = r->buffer->len;
  g_string_set_size(r->buffer, before + BLOCK);
  const gsize n = rc_piece_read(r->piece, r->buffer->str + before, BLOCK);
  g_string_set_size(r->buffer, before + n);
  r->ended = !n;
  return n > 0;
}

// The blanks of web pages, which no line breaks at, are blanks.
static void
make_blanks_plain(GString *text)
{
  static const char unbroken[] = "\u00A0";
  char *to = text->str;
  for (const char *at = text->str; *at; ++at) {
    const gboolean blank = !strncmp(at, unbroken, strlen(unbroken));
    *to++ = blank ? ' ' : *at;
    at += blank;
  }
  g_string_truncate(text, (gsize)(to - text->str));
}

// The line as UTF-8: it is Latin-1 where it is not. Zero bytes are no text.
static void
set_line(RcChordproReader *r, const char *text, gsize length)
{
  static const char mark[] = "\xEF\xBB\xBF"; // of the byte order
  const gboolean marked = !r->line && length >= strlen(mark) && !memcmp(text, mark, strlen(mark));
  text += marked ? strlen(mark) : 0;
  length -= marked ? strlen(mark) : 0;
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
  make_blanks_plain(r->text);
  g_strchomp(r->text->str);
  r->text->len = strlen(r->text->str);
}

// Reads the next line, of at most so many bytes as a tune may have; FALSE at the end.
static gboolean
next_line(RcChordproReader *r)
{
  if (r->done) { // the rest of it
    return TRUE;
  }
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

// Plays bars so often once more, after what was read so far.
static void
play_again(RcChordproReader *r, Segment bars, guint times)
{
  end_segment(r);
  for (guint i = 0; i < times; ++i) {
    play(r, bars.first, bars.end);
  }
}

// ----------------------------------------------------------------------------------------------------------- labels

static void
remark_times(RcChordproReader *r, guint line, guint times)
{
  if (cp_is_news(&r->song, RC_REMARK_TIMES)) {
    rc_tune_remark(r->song.tune, RC_REMARK_TIMES, line, 0, "`x%u`: what it belongs to is played %u times", times,
                   times);
  }
}

// Something is to be played again that is not there.
static void
remark_unwritten(RcChordproReader *r, guint line, const char *what)
{
  if (cp_is_news(&r->song, RC_REMARK_UNWRITTEN)) {
    rc_tune_remark(r->song.tune, RC_REMARK_UNWRITTEN, line, 0,
                   "nothing follows `%s` here, and no such part is written before; nothing is played for it", what);
  }
}

// The part that had the current one's label before; NULL where none had.
static Labelled *
find_labelled(const RcChordproReader *r)
{
  for (guint i = 0; i < r->labelled->len; ++i) {
    Labelled *labelled = &g_array_index(r->labelled, Labelled, i);
    if (!g_ascii_strcasecmp(labelled->label, r->current.label)) {
      return labelled;
    }
  }
  return NULL;
}

// The bars that a label alone asks for, of the part that had it before, or of the last {start_of_chorus}.
static Segment
bars_to_recall(const RcChordproReader *r)
{
  const Labelled *before = find_labelled(r);
  const gboolean chorus =
    !g_ascii_strcasecmp(r->current.label, "chorus") || !g_ascii_strcasecmp(r->current.label, "refrain");
  return before ? before->bars : chorus ? r->chorus : (Segment){ 0, 0 };
}

// The next line of words has the label of its part.
static void
keep_label(RcChordproReader *r)
{
  r->song.label = rc_tune_text(r->song.tune, r->label, strlen(r->label));
}

// A label that nothing follows: the part that had it before is played again.
static void
settle_label(RcChordproReader *r)
{
  if (!r->fresh) {
    return;
  }
  const Segment bars = bars_to_recall(r);
  r->fresh = FALSE;
  r->in_label = FALSE;
  g_clear_pointer(&r->label, g_free);
  if (bars.end <= bars.first) {
    remark_unwritten(r, r->current.line, r->current.label);
    return;
  }
  play_again(r, bars, r->times);
  cp_keep_line(&r->song, "");
  if (cp_is_news(&r->song, RC_REMARK_RECALLS)) {
    rc_tune_remark(r->song.tune, RC_REMARK_RECALLS, r->current.line, 0,
                   "nothing follows `%s` here; the part that had this label before is played again", r->current.label);
  }
}

static void
end_labelled(RcChordproReader *r)
{
  settle_label(r);
  if (!r->in_label) {
    return;
  }
  r->in_label = FALSE;
  r->current.bars.end = r->song.tune->bars->len;
  end_part(r);
  if (r->current.bars.end == r->current.bars.first) {
    return;
  }
  Labelled *before = find_labelled(r);
  if (before) {
    *before = r->current;
  } else if (r->labelled->len < RC_MAX_PARTS) {
    g_array_append_val(r->labelled, r->current);
  }
  if (r->times > 1) {
    play_again(r, r->current.bars, r->times - 1);
    remark_times(r, r->current.line, r->times);
  }
}

// Begins a part; takes the label over. What "x2" says is its times, and no part of its name.
static void
begin_labelled(RcChordproReader *r, CpLabel label)
{
  end_labelled(r);
  end_part(r);
  r->current = (Labelled){ .label = rc_tune_text(r->song.tune, label.text, label.name),
                           .bars = { r->song.tune->bars->len, 0 },
                           .line = r->line };
  r->song.label = rc_tune_text(r->song.tune, label.text, strlen(label.text));
  r->label = g_strndup(label.text, label.name);
  r->times = label.times;
  g_free(label.text);
  r->in_label = r->fresh = TRUE;
}

// Words or chords follow a label, perhaps after a blank line. Where such labels are not followed by one elsewhere, they
// are the next part's.
static void
meet_words(RcChordproReader *r)
{
  const Labelled *before = r->fresh && r->current.blank ? find_labelled(r) : NULL;
  if (before && !before->blank) {
    settle_label(r);
  }
  r->fresh = FALSE;
}

// A part ends at a blank line.
static void
meet_blank(RcChordproReader *r)
{
  if (r->fresh) {
    r->current.blank = TRUE;
  } else {
    end_labelled(r);
  }
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

// Nothing at all is no mistake, but a form that was not filled in. The error has no place; the song's remark has.
static gboolean
fail_value(const char *what, const char *found, const char *expected, GError **error)
{
  enum { SHOWN = 40 };
  if (!*found) {
    return TRUE;
  }
  char *shown = g_utf8_substring(found, 0, MIN(g_utf8_strlen(found, -1), SHOWN));
  rc_fail(error, RC_ERROR_VALUE, (RcPlace){ 0 }, "found %s `%s`; expected %s", what, shown, expected);
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
  char *key = g_strchomp(g_strndup(value, strcspn(value, "("))); // "D (2 sharps)"
  const gboolean good = rc_key_parse(key, r->options.names, &r->key, NULL);
  g_free(key);
  if (!good) {
    return fail_value("the key", value, "a tonic and a mode, such as D, Bm, E dorian", error);
  }
  settle_shift(r);
  return TRUE;
}

static gboolean
read_time(RcChordproReader *r, const char *value, GError **error)
{
  if (!rc_meter_parse(value, &r->song.setting.meter)) {
    return fail_value("the time", value, "beats and note value, such as 3/4 or 6/8", error);
  }
  cp_change_setting(&r->song);
  return TRUE;
}

// Also "120 bpm".
static gboolean
read_tempo(RcChordproReader *r, const char *value, GError **error)
{
  const gsize digits = strspn(value, "0123456789");
  const char *unit = value + digits + strspn(value + digits, " ");
  const gboolean beats = digits && !g_ascii_strcasecmp(unit, "bpm");
  char *tempo = g_strndup(value, beats ? digits : strlen(value));
  const gboolean good = rc_tempo_parse(tempo, r->song.setting.meter, &r->song.setting.tempo);
  g_free(tempo);
  if (!good) {
    return fail_value("the tempo", value, "beats a minute such as 138, 5 to 1000 quarter notes a minute", error);
  }
  cp_change_setting(&r->song);
  return TRUE;
}

// A whole number, with whatever letter after it says how to spell.
static gboolean
read_semitones(const char *value, int most, int *number)
{
  char *end = NULL;
  const gint64 read = g_ascii_strtoll(value, &end, 10);
  *number = (int)CLAMP(read, -most - 1, most + 1);
  return end > value && (!*end || !end[1]) && ABS(*number) <= most;
}

// "2", "2nd", "2nd fret", "fret 2"
static gboolean
read_fret(const char *value, int *fret)
{
  char **words = g_strsplit(value, " ", 3);
  const guint first = words[0] && !g_ascii_strcasecmp(words[0], "fret");
  char *number = words[0] ? words[first] : NULL;
  const gsize digits = number ? strspn(number, "0123456789") : 0;
  static const char *const ordinals[] = { "", "st", "nd", "rd", "th", NULL };
  gboolean good = digits && g_strv_contains(ordinals, number + digits) &&
                  (!number || !words[first + 1] || !g_ascii_strcasecmp(words[first + 1], "fret"));
  if (good) {
    number[digits] = '\0';
    good = read_semitones(number, MOST_CAPO, fret);
  }
  g_strfreev(words);
  return good;
}

static gboolean
read_capo(RcChordproReader *r, const char *value, GError **error)
{
  int fret = 0; // "no capo"
  if (g_ascii_strncasecmp(value, "no", 2) != 0 && !read_fret(value, &fret)) {
    return fail_value("the capo", value, "the number of a fret, 0 to 24", error);
  }
  r->capo = fret;
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
    return fail_value("to transpose by", value, "semitones, -48 to 48", error);
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
  r->fresh = FALSE; // a label before it is its own
  end_labelled(r);
  end_part(r);
  r->label = section_label(grid ? "" : value, name);
  if (!skipped) {
    keep_label(r);
  }
  r->environment = grid ? IN_GRID : skipped && !words ? IN_TAB : IN_WORDS;
  if (!strcmp(name, "chorus")) {
    r->chorus = (Segment){ r->song.tune->bars->len, 0 };
  }
  return TRUE;
}

static gboolean
end_section(RcChordproReader *r, const char *name)
{
  end_labelled(r);
  end_part(r);
  r->environment = IN_WORDS;
  if (!strcmp(name, "chorus")) {
    r->chorus.end = r->song.tune->bars->len;
  }
  return TRUE;
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

// Plays the chorus again, if it is written before.
static gboolean
recall_chorus(RcChordproReader *r, const char *value, GError **error)
{
  const guint times = times_of_value(value);
  (void)error;
  r->fresh = FALSE; // a label before it is its own
  end_labelled(r);
  end_part(r);
  if (r->chorus.end <= r->chorus.first) {
    remark_unwritten(r, r->line, "{chorus}");
    return TRUE;
  }
  play_again(r, r->chorus, times);
  if (times > 1) {
    remark_times(r, r->line, times);
  }
  r->song.label = "Chorus";
  cp_keep_line(&r->song, "");
  return TRUE;
}

// A comment that is a label, "Chorus" or "Intro x2"; others are for people.
static gboolean
read_comment(RcChordproReader *r, const char *value, GError **error)
{
  (void)error;
  const CpLabel label = cp_comment_label(value);
  if (label.text) {
    begin_labelled(r, label);
  }
  return TRUE;
}

typedef struct {
  const char *name;
  const char *other;
  gboolean (*read)(RcChordproReader *r, const char *value, GError **error);
} Directive;

static const Directive directives[] = {
  { "title", "t", read_title },
  { "key", "key", read_key },
  { "time", "time", read_time },
  { "tempo", "tempo", read_tempo },
  { "capo", "capo", read_capo },
  { "transpose", "transpose", read_transpose },
  { "chorus", "chorus", recall_chorus },
  { "comment", "c", read_comment },
  { "comment_italic", "ci", read_comment },
  { "comment_box", "cb", read_comment },
  { "highlight", "highlight", read_comment },
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

static gboolean
is_directive(const char *text, gsize length)
{
  static const char *const others[] = { "meta", "new_song", "ns" };
  char *given = g_ascii_strdown(text, (gssize)length);
  const char *name = section_name(given);
  gboolean found = g_str_has_prefix(name, "start_of_") || g_str_has_prefix(name, "end_of_");
  for (guint i = 0; i < G_N_ELEMENTS(directives); ++i) {
    found = found || !strcmp(directives[i].name, name) || !strcmp(directives[i].other, name);
  }
  for (guint i = 0; i < G_N_ELEMENTS(others); ++i) {
    found = found || !strcmp(others[i], name);
  }
  g_free(given);
  return found;
}

// A value that makes no sense costs itself only.
static void
follow_directive(RcChordproReader *r, const char *name, const char *value)
{
  GError *error = NULL;
  if (!apply_directive(r, name, value, &error)) {
    rc_tune_remark(r->song.tune, RC_REMARK_VALUES, r->line, 0, "%s; it is passed over", error->message);
    g_error_free(error);
  }
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

static void
remark_open_brace(RcChordproReader *r, const char *open)
{
  if (cp_is_news(&r->song, RC_REMARK_UNCLOSED)) {
    char *shown = cp_shown((CpText){ open, open + strlen(open) });
    rc_tune_remark(r->song.tune, RC_REMARK_UNCLOSED, r->line, cp_column(&r->song, open),
                   "`%s` has no closing brace on its line: it is read as if it closed at the end", shown);
    g_free(shown);
  }
}

// The brace that closes the one at `open`; the line's end where none does.
static const char *
closing_brace(const char *open)
{
  guint depth = 0;
  for (const char *at = open; *at; ++at) {
    depth += *at == '{';
    depth -= *at == '}';
    if (!depth) {
      return at;
    }
  }
  return open + strlen(open);
}

// Reads the directive that begins with a brace, and returns what is after it; sets `ends` where a new song begins.
static const char *
read_directive(RcChordproReader *r, const char *open, gboolean *ends)
{
  const char *close = closing_brace(open);
  if (!*close) {
    remark_open_brace(r, open);
  }
  char *text = g_strndup(open + 1, (gsize)(close - open) - 1);
  char *name = NULL;
  char *value = NULL;
  split_directive(text, &name, &value);
  if (!strcmp(name, "meta") && *value) { // "{meta: name value}"
    split_directive(value, &name, &value);
  }
  *ends = !strcmp(name, "new_song") || !strcmp(name, "ns");
  if (!*ends && (r->environment != IN_TAB || g_str_has_prefix(section_name(name), "end_of_"))) {
    follow_directive(r, name, value);
  }
  r->any |= !*ends;
  g_free(text);
  return close + (*close == '}');
}

// ------------------------------------------------------------------------------------------------------------ songs

// Plays a line that ends in "x2" so often.
static void
repeat_line(RcChordproReader *r, guint bar, guint line, const char *text)
{
  const Segment bars = { bar, r->song.tune->bars->len };
  const guint times = cp_times(text);
  if (times > 1 && bars.end > bars.first) {
    play_again(r, bars, times - 1);
    remark_times(r, line, times);
  }
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

// Reads the line of chords that waits, over these words.
static gboolean
read_above(RcChordproReader *r, const char *words, GError **error)
{
  if (!r->above_line) {
    return TRUE;
  }
  const guint bar = r->song.tune->bars->len;
  cp_start_line(&r->song, r->above->str, r->above_line);
  r->song.from = r->above->str + r->above_from;
  const gboolean good = cp_read_chords(&r->song, words, error);
  repeat_line(r, bar, r->above_line, r->above->str);
  r->above_line = 0;
  cp_start_line(&r->song, r->text->str, r->line);
  return good;
}

// What people call a directive who type without braces.
typedef struct {
  const char *name;
  const char *directive;
  gboolean bare; // a value may follow it without a colon, "Capo 2"
} Fact;

static const Fact facts[] = {
  { "title", "title", FALSE }, { "key of", "key", TRUE },  { "key", "key", TRUE },
  { "time", "time", FALSE },   { "meter", "time", FALSE }, { "tempo", "tempo", TRUE },
  { "q", "tempo", FALSE },     { "bpm", "tempo", FALSE },  { "capo", "capo", TRUE },
};

// The fact that a line states, and its value; NULL where it states none.
static const Fact *
fact_of(const char *text, const char **value, gboolean *divided)
{
  for (guint i = 0; i < G_N_ELEMENTS(facts); ++i) {
    const gsize n = strlen(facts[i].name);
    if (!g_ascii_strncasecmp(text, facts[i].name, n) && !g_ascii_isalnum(text[n])) {
      const char *rest = text + n + strspn(text + n, " ");
      *divided = *rest == ':' || *rest == '=';
      *value = rest + strspn(rest, ":= ");
      return **value && (*divided || facts[i].bare) ? &facts[i] : NULL;
    }
  }
  return NULL;
}

// "q=72" and "72 bpm", which are tempos in any place.
static gboolean
is_bare_tempo(const char *text)
{
  const char *unit = text + strspn(text, "0123456789 ");
  return strchr(text, '=') || (unit > text && !g_ascii_strcasecmp(unit, "bpm"));
}

static void
remark_fact(RcChordproReader *r, const GError *error)
{
  if (error) {
    rc_tune_remark(r->song.tune, RC_REMARK_VALUES, r->line, 0, "%s; it is read as words", error->message);
  }
}

// The pieces of a line that two blanks or a sign separate.
static char **
split_pieces(const char *text)
{
  char *lines = g_strdup(text);
  for (char *at = lines; *at; ++at) {
    *at = strchr("|;,\t", *at) || (*at == ' ' && (at[1] == ' ' || (at > lines && at[-1] == '\n'))) ? '\n' : *at;
  }
  char **pieces = g_strsplit(lines, "\n", 0);
  g_free(lines);
  return pieces;
}

static gboolean
states_fact(const char *text)
{
  const char *value = NULL;
  gboolean divided = FALSE;
  return fact_of(text, &value, &divided) || is_bare_tempo(text);
}

// Reads one fact; FALSE where the text is none. One with a colon that makes no sense is remarked on.
static gboolean
read_fact(RcChordproReader *r, const char *text)
{
  const char *value = NULL;
  gboolean divided = FALSE;
  GError *error = NULL;
  if (is_bare_tempo(text) && apply_directive(r, "tempo", text, NULL)) {
    return TRUE;
  }
  const Fact *fact = fact_of(text, &value, &divided);
  const gboolean good = fact && apply_directive(r, fact->directive, value, divided ? &error : NULL);
  remark_fact(r, error);
  g_clear_error(&error);
  return good;
}

// "Key: D", "Capo 2", "q=72", "Key: D  Capo: 2" above a song that is typed without braces. What cannot be read so is
// words.
static gboolean
read_facts(RcChordproReader *r, const char *text)
{
  if (r->song.tune->bars->len) {
    return FALSE;
  }
  char **pieces = split_pieces(text);
  gboolean all = TRUE;
  for (guint i = 0; pieces[i]; ++i) {
    all = all && (!*g_strstrip(pieces[i]) || states_fact(pieces[i]));
  }
  gboolean good = all || read_fact(r, text);
  for (guint i = 0; all && pieces[i]; ++i) {
    good = (!*pieces[i] || read_fact(r, pieces[i])) && good;
  }
  g_strfreev(pieces);
  return good;
}

static void
keep_words(RcChordproReader *r, const char *text)
{
  const RcTune *tune = r->song.tune;
  if (!r->first_words && !tune->bars->len && !r->in_label) {
    r->first_words = g_strstrip(g_strdup(text));
  }
  if (tune->bars->len) {
    cp_remark_lone_bracket(&r->song, text);
  }
  cp_keep_line(&r->song, text);
}

static gboolean
read_words(RcChordproReader *r, GError **error)
{
  const char *text = r->song.from;
  const guint bar = r->song.tune->bars->len;
  const gboolean bracketed = cp_has_brackets(&r->song, text);
  if (!bracketed && !r->above_line && read_facts(r, text + strspn(text, " \t"))) {
    return TRUE;
  }
  meet_words(r);
  if (cp_is_line_of_chords(&r->song, text)) {
    if (!read_above(r, "", error)) {
      return FALSE;
    }
    g_string_assign(r->above, r->text->str);
    r->above_from = (gsize)(text - r->text->str);
    r->above_line = r->line;
    r->typed = TRUE;
    return TRUE;
  }
  if (!bracketed) {
    if (r->above_line) {
      return read_above(r, text, error);
    }
    keep_words(r, text);
    return TRUE;
  }
  if (!read_above(r, "", error) || !cp_read_words(&r->song, error)) {
    return FALSE;
  }
  repeat_line(r, bar, r->line, text);
  return TRUE;
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
  begin_labelled(r, label);
  r->song.from = rest;
  return !*rest || read_words(r, error);
}

static gboolean
read_blank(RcChordproReader *r, GError **error)
{
  const gboolean good = read_above(r, "", error);
  if (r->environment == IN_WORDS) {
    meet_blank(r);
    keep_blank(r);
  }
  return good;
}

// Reads words, chords or a grid from a place of the line on.
static gboolean
read_text(RcChordproReader *r, const char *first, GError **error)
{
  r->any = TRUE;
  r->song.tune->line = r->song.tune->line ? r->song.tune->line : r->line;
  if (r->environment == IN_TAB) {
    return TRUE;
  }
  r->song.from = first;
  return r->environment == IN_GRID ? cp_read_grid(&r->song, error) : read_labelled_words(r, first, error);
}

// The next directive after words; NULL where there is none. "{laughs}" is words.
static char *
find_directive(char *at)
{
  for (; (at = strchr(at, '{')); ++at) {
    const gsize length = strcspn(at + 1, ":{} \t");
    const char *close = at + 1 + strcspn(at + 1, "{}");
    if (*close == '}' && is_directive(at + 1, length)) {
      return at;
    }
  }
  return NULL;
}

// Reads words up to the next directive, and returns what is left.
static char *
read_up_to_directive(RcChordproReader *r, char *at, GError **error)
{
  char *brace = find_directive(at);
  char *rest = brace ? brace : at + strlen(at);
  const char kept = *rest;
  *rest = '\0';
  const gboolean good = read_text(r, at, error);
  *rest = kept;
  return good ? rest : NULL;
}

// Most lines are words or a directive; some people write several of them on a line. What follows {new_song} is kept
// for that song.
static gboolean
read_line(RcChordproReader *r, gboolean *ends, GError **error)
{
  char *text = r->text->str + r->done;
  char *first = text + strspn(text, " \t\r");
  cp_start_line(&r->song, r->text->str, r->line);
  r->done = 0;
  if (*first == '#') {
    return TRUE;
  }
  if (!*first) {
    return read_blank(r, error);
  }
  char *at = *first == '{' ? first : text; // the blanks before words are theirs: chords may be above them
  while (at && *at && !*ends) {
    if (*at == '{') {
      if (!read_above(r, "", error)) {
        return FALSE;
      }
      at = r->text->str + (read_directive(r, at, ends) - r->text->str);
    } else {
      at = read_up_to_directive(r, at, error);
    }
    at = at ? at + strspn(at, " \t\r") : NULL;
  }
  if (at && *at) {
    r->done = (gsize)(at - r->text->str);
  }
  return at != NULL;
}

static void
start_song(RcChordproReader *r, RcTune *tune)
{
  rc_tune_clear(tune);
  tune->file = r->name;
  tune->line = r->line + (r->done ? 0 : 1);
  g_array_set_size(r->song.marks, 0);
  g_array_set_size(r->labelled, 0);
  r->song = (CpSong){ .tune = tune,
                      .symbols = r->song.symbols,
                      .marks = r->song.marks,
                      .file = r->name,
                      .names = r->options.names,
                      .keeps_words = r->options.words,
                      .setting = *rc_tune_setting(tune, 0) };
  rc_symbols_start(r->song.symbols, tune, RC_NAMES_ENGLISH);
  g_array_set_size(r->moves, 0);
  g_array_set_size(r->played, 0);
  g_clear_pointer(&r->title, g_free);
  g_clear_pointer(&r->first_words, g_free);
  g_clear_pointer(&r->label, g_free);
  r->typed = r->in_label = r->fresh = FALSE;
  r->above_line = 0;
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
  if (!r->title && r->first_words) {
    take_title_out(r->song.tune->lines, r->typed);
  }
  return r->title ? r->title : r->first_words ? r->first_words : "(no title)";
}

static gboolean
play_song(RcChordproReader *r, GError **error)
{
  RcTune *tune = r->song.tune;
  end_labelled(r);
  end_part(r);
  end_segment(r);
  for (guint i = 0; i < r->played->len; ++i) {
    const Segment *segment = &g_array_index(r->played, Segment, i);
    if (!rc_unroll(r->song.marks, segment->first, segment->end, tune->played)) {
      return rc_fail(error, RC_ERROR_LIMIT, (RcPlace){ r->name, tune->line, 0 }, "the song plays more than %d bars",
                     RC_MAX_PLAYED_BARS);
    }
  }
  rc_remark_unplayed(tune);
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
      rc_reader_left_out(error, r->title);
      return RC_READ_PROBLEM;
    }
  } while (!r->any && !(r->ended && r->at == r->buffer->len));
  const gboolean cut = r->ended && r->at == r->buffer->len && rc_piece_failure(r->piece); // at who knows which place
  if (cut || !r->any) {
    const RcReadResult result = rc_reader_end(r->piece, (RcPlace){ r->name, r->line, 0 }, &r->failed, error);
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

static const char *const endings[] = { ".cho", ".chopro", ".chordpro", ".crd", ".pro", NULL };

const RcFormat rc_chordpro_format = { .name = "chordpro",
                                      .endings = endings,
                                      .tune_begins = "{title: ...}",
                                      .recognizes = recognizes,
                                      .start = start_reading,
                                      .next = read_next,
                                      .free = end_reading };

// ------------------------------------------------------------------------------------------- chords over words alone

// What of a text shows that it is a song.
typedef struct {
  gboolean line; // of chords
  guint touching;
} Signs;

static void
find_signs(Signs *signs, const char *line, gsize length, RcNames names)
{
  char *text = g_strndup(line, length);
  const CpSong song = { .names = names };
  if (g_utf8_validate(text, -1, NULL)) {
    signs->line = signs->line || cp_is_line_of_chords(&song, text);
    signs->touching += cp_count_touching(&song, text);
  }
  g_free(text);
}

// Somewhere at the beginning there is a line of chords, or some are in brackets before words; but the parts of a YAML
// tune may have such lines too.
static gboolean
recognizes_words(const char *line, const char *end)
{
  enum { LEAST_TOUCHING = 2 }; // prose may have one, "[A]ll"
  static const char parts[] = "parts:";
  Signs english = { FALSE, 0 };
  Signs german = { FALSE, 0 };
  while (line < end) {
    const char *newline = memchr(line, '\n', (gsize)(end - line));
    const char *stop = newline ? newline : end;
    if ((gsize)(end - line) >= strlen(parts) && !memcmp(line, parts, strlen(parts))) {
      return FALSE;
    }
    find_signs(&english, line, (gsize)(stop - line), RC_NAMES_ENGLISH);
    find_signs(&german, line, (gsize)(stop - line), RC_NAMES_GERMAN);
    line = stop + (newline != NULL);
  }
  return english.line || german.line || MAX(english.touching, german.touching) >= LEAST_TOUCHING;
}

static const char *const text_endings[] = { ".txt", NULL };

const RcFormat rc_words_format = { .name = "words",
                                   .endings = text_endings,
                                   .any_text = TRUE,
                                   .tune_begins = "a title, and chords over words below it",
                                   .recognizes = recognizes_words,
                                   .start = start_reading,
                                   .next = read_next,
                                   .free = end_reading };
