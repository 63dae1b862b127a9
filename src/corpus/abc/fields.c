// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/fields.h"

#include "corpus/unroll.h"

#include <string.h>

// The place of a letter among those that may mean a decoration; ABC_LETTERS where it is none.
static guint
letter_place(char letter)
{
  return g_ascii_isalpha(letter) ? (guint)(letter - 'A') : ABC_LETTERS;
}

AbcState
abc_state_start(void)
{
  return (AbcState){ .setting = { .meter = { 4, 4 } }, .jumps = { ['O' - 'A'] = RC_JUMP_CODA } };
}

// ----------------------------------------------------------------------------------------------------------- text

static gboolean
read_number(AbcText *text, guint *number)
{
  const char *start = text->at;
  guint value = 0;
  for (; text->at < text->end && g_ascii_isdigit(*text->at) && value < 100000; ++text->at) {
    value = 10 * value + (guint)(*text->at - '0');
  }
  *number = value;
  return text->at > start && value > 0;
}

static gboolean
read_char(AbcText *text, char what)
{
  const gboolean there = text->at < text->end && *text->at == what;
  text->at += there;
  return there;
}

static void
skip_blanks(AbcText *text)
{
  while (text->at < text->end && (*text->at == ' ' || *text->at == '\t')) {
    ++text->at;
  }
}

// --------------------------------------------------------------------------------------------------- length and meter

static gboolean
is_unit(guint n)
{
  return n && n <= 512 && !(n & (n - 1));
}

gboolean
abc_read_length(AbcText text, AbcState *state)
{
  guint beats = 0;
  guint unit = 1;
  text = abc_trim(text);
  if (!read_number(&text, &beats)) {
    return FALSE;
  }
  if (read_char(&text, '/') && !read_number(&text, &unit)) {
    return FALSE;
  }
  if (!is_unit(unit) || beats > 64) {
    return FALSE;
  }
  state->unit = RC_QUARTER * 4 * beats / unit;
  return TRUE;
}

// "4", "2+3" or "(2+3)"
static gboolean
read_sum(AbcText *text, guint *sum)
{
  guint more = 0;
  *sum = 0;
  read_char(text, '(');
  do {
    skip_blanks(text);
    if (!read_number(text, &more)) {
      return FALSE;
    }
    *sum += more;
    skip_blanks(text);
  } while (read_char(text, '+'));
  read_char(text, ')');
  return *sum <= 256;
}

static void
set_meter(AbcState *state, guint beats, guint unit)
{
  state->setting.meter = (RcMeter){ beats, unit };
  state->free_meter = FALSE;
}

gboolean
abc_read_meter(AbcText text, AbcState *state)
{
  guint beats = 0;
  guint unit = 0;
  text = abc_trim(text);
  if (abc_starts_with(text, "none") || text.at == text.end) {
    state->free_meter = TRUE;
    return TRUE;
  }
  if (abc_starts_with(text, "C|")) {
    set_meter(state, 2, 2);
    return TRUE;
  }
  if (abc_starts_with(text, "C")) {
    set_meter(state, 4, 4);
    return TRUE;
  }
  if (!read_sum(&text, &beats) || !read_char(&text, '/') || !read_number(&text, &unit) || !is_unit(unit)) {
    return FALSE;
  }
  set_meter(state, beats, unit);
  return TRUE;
}

RcTicks
abc_unit(const AbcState *state)
{
  const RcMeter meter = state->setting.meter;
  if (state->unit) {
    return state->unit;
  }
  return !state->free_meter && 4 * meter.beats < 3 * meter.unit ? RC_QUARTER / 4 : RC_QUARTER / 2;
}

// ---------------------------------------------------------------------------------------------------------- tempo

static void
skip_quoted(AbcText *text)
{
  skip_blanks(text);
  if (read_char(text, '"')) {
    const char *close = memchr(text->at, '"', (gsize)(text->end - text->at));
    text->at = close ? close + 1 : text->end;
  }
  skip_blanks(text);
}

// "1/4" or "1/4 3/8 1/4": the length of the beat.
static gboolean
read_beat(AbcText *text, double *quarters)
{
  guint beats = 0;
  guint unit = 0;
  *quarters = 0;
  while (text->at < text->end && g_ascii_isdigit(*text->at)) {
    if (!read_number(text, &beats) || !read_char(text, '/') || !read_number(text, &unit)) {
      return FALSE;
    }
    *quarters += 4.0 * beats / unit;
    skip_blanks(text);
  }
  return *quarters > 0;
}

// The old forms: "120" and "C=120" count units, "C3=40" three of them.
static gboolean
read_old_beat(AbcText *text, const AbcState *state, double *quarters)
{
  guint units = 1;
  const double unit = (double)abc_unit(state) / (double)RC_QUARTER;
  if (read_char(text, 'C') || read_char(text, 'c')) {
    const gboolean many = text->at < text->end && g_ascii_isdigit(*text->at);
    if ((many && !read_number(text, &units)) || !read_char(text, '=')) {
      return FALSE;
    }
  }
  *quarters = units * unit;
  return TRUE;
}

gboolean
abc_read_tempo(AbcText text, AbcState *state)
{
  guint per_minute = 0;
  double quarters = 0;
  text = abc_trim(text);
  skip_quoted(&text);
  if (text.at == text.end) {
    return TRUE;
  }
  AbcText rest = text;
  if (memchr(text.at, '/', (gsize)(text.end - text.at)) && memchr(text.at, '=', (gsize)(text.end - text.at))) {
    if (!read_beat(&rest, &quarters)) {
      return FALSE;
    }
    skip_blanks(&rest);
    if (!read_char(&rest, '=')) {
      return FALSE;
    }
  } else if (!read_old_beat(&rest, state, &quarters)) {
    return FALSE;
  }
  skip_blanks(&rest);
  if (!read_number(&rest, &per_minute)) {
    return FALSE;
  }
  const double tempo = quarters * per_minute;
  if (tempo >= 5 && tempo <= 1000) {
    state->setting.tempo = (RcTempo){ RC_TEMPO_STATED, tempo };
  }
  return tempo >= 5 && tempo <= 1000;
}

// ------------------------------------------------------------------------------------------------------------ key

static const char letters[] = "CDEFGAB";
static const guint letter_pcs[] = { 0, 2, 4, 5, 7, 9, 11 };

// Sharps or flats by letter for a key's relative major on the line of fifths.
static void
sign_letters(AbcState *state, int fifths)
{
  memset(state->accidentals, 0, sizeof state->accidentals);
  for (int i = 0; i < 7; ++i) { // F C G D A E B get sharp in this order
    static const guchar order[] = { 3, 0, 4, 1, 5, 2, 6 };
    const int sharps = (fifths - i + 6 + 70) / 7 - 10;
    state->accidentals[order[i]] = (gint8)sharps;
  }
}

static int
mode_offset(RcMode mode)
{
  switch (mode) {
  case RC_MODE_MINOR:
    return 3;
  case RC_MODE_DORIAN:
    return 2;
  case RC_MODE_PHRYGIAN:
    return 4;
  case RC_MODE_LYDIAN:
    return -1;
  case RC_MODE_MIXOLYDIAN:
    return 1;
  case RC_MODE_LOCRIAN:
    return 5;
  case RC_MODE_NONE:
  case RC_MODE_MAJOR:
    break;
  }
  return 0;
}

static void
set_key(AbcState *state, RcKey key)
{
  state->setting.key = key;
  state->setting.tones = rc_key_tones(key);
  sign_letters(state, key.mode == RC_MODE_NONE ? 0 : key.tonic - mode_offset(key.mode));
}

static RcPcSet
signed_tones(const AbcState *state)
{
  guint tones = 0;
  for (guint i = 0; i < 7; ++i) {
    tones |= 1U << ((guint)((int)letter_pcs[i] + 12 + state->accidentals[i]) % 12);
  }
  return (RcPcSet)tones;
}

static gsize
word_length(AbcText text)
{
  gsize n = 0;
  while (text.at + n < text.end && text.at[n] != ' ' && text.at[n] != '\t') {
    ++n;
  }
  return n;
}

// "^f" or "=c" or "__b" after the mode, also several without blanks between, "^f^c".
static gboolean
read_accidental(AbcText *word, AbcState *state)
{
  int semitones = 0;
  const char *at = word->at;
  while (at < word->end && (*at == '^' || *at == '_' || *at == '=')) {
    semitones += *at == '^' ? 1 : *at == '_' ? -1 : 0;
    ++at;
  }
  const char *letter = at > word->at && at < word->end ? strchr(letters, g_ascii_toupper(*at)) : NULL;
  if (!letter || !*letter) {
    return FALSE;
  }
  word->at = at + 1;
  state->accidentals[letter - letters] = (gint8)semitones;
  return TRUE;
}

static void
read_accidentals(AbcText text, AbcState *state)
{
  gboolean any = FALSE;
  while (text.at < text.end) {
    skip_blanks(&text);
    const gsize n = word_length(text);
    AbcText word = { text.at, text.at + n };
    if (abc_starts_with(word, "exp") && n == 3) {
      memset(state->accidentals, 0, sizeof state->accidentals);
      any = TRUE;
    } else {
      while (read_accidental(&word, state)) {
        any = TRUE;
      }
    }
    text.at += n;
  }
  if (any) {
    state->setting.tones = signed_tones(state);
  }
}

// The Highland pipes' scale, whether its sharps are printed (Hp) or not (HP): that of A mixolydian.
static gboolean
read_pipes(AbcText text, AbcState *state)
{
  if (!abc_starts_with(text, "HP") || word_length(text) != 2) {
    return FALSE;
  }
  set_key(state, (RcKey){ RC_MODE_MIXOLYDIAN, 3 });
  return TRUE;
}

static gboolean
is_clef_word(AbcText text)
{
  enum { SHORTEST = 4 };
  static const char *const words[] = { "clef",   "treble", "bass",      "alto",       "tenor", "perc",
                                       "octave", "middle", "transpose", "stafflines", "shift", "score" };
  for (guint i = 0; i < G_N_ELEMENTS(words) && text.end - text.at >= SHORTEST; ++i) {
    if (abc_starts_with(text, words[i])) {
      return TRUE;
    }
  }
  return FALSE;
}

// The mode directly after the tonic or as the next word; anything else there is a clef or an accidental.
static RcMode
read_mode(AbcText *text)
{
  AbcText rest = *text;
  skip_blanks(&rest);
  gsize n = 0;
  while (rest.at + n < rest.end && g_ascii_isalpha(rest.at[n])) {
    ++n;
  }
  if (!n || is_clef_word(rest) || (abc_starts_with(rest, "exp") && n == 3)) {
    return RC_MODE_MAJOR;
  }
  char name[] = "C ................";
  const gsize room = sizeof name - 3;
  memcpy(name + 2, rest.at, MIN(n, room));
  name[2 + MIN(n, room)] = '\0';
  if (n > 1) {
    name[2] = g_ascii_tolower(name[2]);
  }
  RcKey key;
  if (!rc_key_parse(name, RC_NAMES_ENGLISH, &key, NULL)) {
    return RC_MODE_MAJOR;
  }
  text->at = rest.at + n;
  return key.mode;
}

static gsize
read_tonic(AbcText text, RcNote *tonic)
{
  return is_clef_word(text) ? 0 : rc_note_parse(text.at, abc_length(text), RC_NAMES_ENGLISH, tonic);
}

// The bytes of a tonic in a small letter, after which there is nothing but a mode, or other words; 0 where it is none.
static gsize
read_small_tonic(AbcText text, RcNote *tonic)
{
  if (text.at == text.end || *text.at < 'a' || *text.at > 'g' || is_clef_word(text)) {
    return 0;
  }
  const char name[] = { g_ascii_toupper(*text.at), text.at + 1 < text.end ? text.at[1] : '\0' };
  const gsize n = rc_note_parse(name, MIN(abc_length(text), sizeof name), RC_NAMES_ENGLISH, tonic);
  AbcText rest = { text.at + n, text.end };
  read_mode(&rest);
  return rest.at == rest.end || *rest.at == ' ' ? n : 0;
}

gboolean
abc_is_small_key(AbcText text)
{
  RcNote tonic = 0;
  return read_small_tonic(abc_trim(text), &tonic) > 0;
}

gboolean
abc_read_key(AbcText text, AbcState *state)
{
  text = abc_trim(text);
  if (read_pipes(text, state)) {
    return TRUE;
  }
  RcNote tonic = 0;
  const gsize capital = read_tonic(text, &tonic);
  const gsize n = capital ? capital : read_small_tonic(text, &tonic);
  if (n) {
    text.at += n;
    const RcMode mode = read_mode(&text);
    set_key(state, (RcKey){ mode, tonic });
  } else if (text.at == text.end || abc_starts_with(text, "none")) {
    set_key(state, (RcKey){ RC_MODE_NONE, 0 });
  } else if (!is_clef_word(text) && !strchr("^_=", *text.at) && !abc_starts_with(text, "exp")) {
    return FALSE;
  }
  read_accidentals(text, state);
  return TRUE;
}

// ------------------------------------------------------------------------------------- directives and user symbols

void
abc_read_directive(AbcText text, AbcState *state)
{
  text = abc_trim(text);
  if (!abc_starts_with(text, "propagate-accidentals")) {
    return;
  }
  text.at += strlen("propagate-accidentals");
  skip_blanks(&text);
  if (abc_starts_with(text, "pitch")) {
    state->propagation = ABC_HOLDS_IN_ALL_OCTAVES;
  } else if (abc_starts_with(text, "octave")) {
    state->propagation = ABC_HOLDS_IN_ITS_OCTAVE;
  } else if (abc_starts_with(text, "not")) {
    state->propagation = ABC_HOLDS_FOR_ITS_NOTE;
  }
}

// "D.C." may mean "da coda" too, section 4.14; what other signs a tune has tells.
guint
abc_jump(AbcText decoration)
{
  static const struct {
    const char *name;
    RcJump jump;
  } jumps[] = { { "D.C.", RC_JUMP_DA_CAPO },   { "D.S.", RC_JUMP_DAL_SEGNO }, { "dacapo", RC_JUMP_DA_CAPO },
                { "dacoda", RC_JUMP_TO_CODA }, { "tocoda", RC_JUMP_TO_CODA }, { "fine", RC_JUMP_FINE },
                { "coda", RC_JUMP_CODA },      { "segno", RC_JUMP_SEGNO } };
  const char first = decoration.at < decoration.end ? *decoration.at : '\0'; // most chords differ in it
  for (guint i = 0; i < G_N_ELEMENTS(jumps); ++i) {
    if (g_ascii_tolower(first) == g_ascii_tolower(*jumps[i].name) && abc_starts_with(decoration, jumps[i].name)) {
      return jumps[i].jump;
    }
  }
  return 0;
}

guint
abc_letter_jump(const AbcState *state, char letter)
{
  const guint place = letter_place(letter);
  return place < ABC_LETTERS ? state->jumps[place] : 0;
}

void
abc_read_user_symbol(AbcText text, AbcState *state)
{
  text = abc_trim(text);
  const guint place = text.at < text.end ? letter_place(*text.at) : ABC_LETTERS;
  const char *equals = memchr(text.at, '=', (gsize)(text.end - text.at));
  if (!equals || place == ABC_LETTERS) {
    return;
  }
  text.at = equals + 1;
  skip_blanks(&text);
  if (!read_char(&text, '!')) {
    read_char(&text, '+'); // as decorations were written once
  }
  state->jumps[place] = (guint8)abc_jump(text);
}
