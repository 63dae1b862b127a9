// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/format.h"

#include "base/visible.h"

#include <string.h>

#define U64 G_GUINT64_FORMAT

// ----------------------------------------------------------------------------------------------------------- text

char *
rc_quarters_text(RcTicks ticks)
{
  const gint64 millionths = (ticks % RC_QUARTER * 1000000 + RC_QUARTER / 2) / RC_QUARTER;
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%" G_GINT64_FORMAT, ticks / RC_QUARTER);
  if (millionths) {
    g_string_append_printf(text, ".%06" G_GINT64_FORMAT, millionths);
    while (text->str[text->len - 1] == '0') {
      g_string_truncate(text, text->len - 1);
    }
  }
  return g_string_free(text, FALSE);
}

void
rc_percent(char text[8], gint64 part, gint64 whole, guint decimals, guint target)
{
  const gint64 unit = decimals ? 10 : 1;
  const double exact = whole ? (double)part / (double)whole * (double)(100 * unit) : 0;
  gint64 rounded = (gint64)(exact + 0.5);
  if (target && rounded * (RC_TARGET_ALL / 100 / unit) >= target && !rc_reaches(part, whole, target)) {
    rounded = (gint64)exact;
  }
  if (!part) {
    g_strlcpy(text, "-", 8);
  } else if (!rounded) {
    g_strlcpy(text, decimals ? "<0.1" : "<1", 8);
  } else if (part >= whole) {
    g_strlcpy(text, "100", 8);
  } else if (rounded >= 100 * unit) {
    g_strlcpy(text, decimals ? "99.9" : ">99", 8);
  } else if (decimals) {
    g_snprintf(text, 8, "%d.%d", (int)(rounded / unit), (int)(rounded % unit));
  } else {
    g_snprintf(text, 8, "%d", (int)rounded);
  }
}

void
rc_percent_text(char text[8], gint64 part, gint64 whole)
{
  rc_percent(text, part, whole, 1, 0);
}

char *
rc_target_text(guint millionths)
{
  enum { PERCENT = RC_TARGET_ALL / 100 };
  GString *text = g_string_new(NULL);
  g_string_append_printf(text, "%u", millionths / PERCENT);
  if (millionths % PERCENT) {
    g_string_append_printf(text, ".%04u", millionths % PERCENT);
    while (text->str[text->len - 1] == '0') {
      g_string_truncate(text, text->len - 1);
    }
  }
  return g_string_free(text, FALSE);
}

char *
rc_short_key(RcKey key, RcSigns signs)
{
  if (key.mode == RC_MODE_NONE) {
    return g_strdup("");
  }
  if (key.mode == RC_MODE_MAJOR || key.mode == RC_MODE_MINOR) {
    return g_strdup_printf("%s%s", rc_note_name(key.tonic, signs), key.mode == RC_MODE_MINOR ? "m" : "");
  }
  char *name = rc_key_name(key, signs);
  name[strcspn(name, " ") + 4] = '\0'; // modes by their first three letters
  return name;
}

char *
rc_tune_key(const RcTune *tune, RcSigns signs)
{
  char *name = rc_key_name(rc_tune_setting(tune, 0)->key, signs);
  char *text = g_strconcat(name, rc_tune_setting(tune, 0)->key_assumed ? ", assumed from its chords" : "", NULL);
  g_free(name);
  return text;
}

char *
rc_tune_short_key(const RcTune *tune, RcSigns signs)
{
  char *name = rc_short_key(rc_tune_setting(tune, 0)->key, signs);
  char *text = rc_tune_setting(tune, 0)->key_assumed ? g_strdup_printf("(%s)", name) : g_strdup(name);
  g_free(name);
  return text;
}

const char *
rc_tune_key_source(const RcTune *tune)
{
  const RcSetting *start = rc_tune_setting(tune, 0);
  return start->key_assumed ? "assumed" : start->tones ? "stated" : "none";
}

void
rc_append_padded(GString *out, const char *raw, guint width)
{
  char *text = rc_visible(raw); // before it is measured
  const glong length = g_utf8_strlen(text, -1);
  if (length > (glong)width) {
    const char *end = g_utf8_offset_to_pointer(text, (glong)width - 1);
    g_string_append_len(out, text, end - text);
    g_string_append(out, "…");
  } else {
    g_string_append_printf(out, "%s%*s", text, (int)((glong)width - length), "");
  }
  g_free(text);
}

void
rc_end_line(GString *out)
{
  while (out->len && out->str[out->len - 1] == ' ') {
    g_string_truncate(out, out->len - 1);
  }
  g_string_append_c(out, '\n');
}

// The letters of a word and, where one follows, of the percent sign that stays on its line.
static guint
length_of_word(char *const *word)
{
  const gboolean percent = word[1] && *word[1] == '%';
  return (guint)g_utf8_strlen(*word, -1) + (percent ? 1 + (guint)g_utf8_strlen(word[1], -1) : 0);
}

void
rc_append_wrapped(GString *out, const char *raw, guint indent)
{
  char *text = rc_visible(raw);
  char **words = g_strsplit(text, " ", -1);
  guint column = indent;
  for (guint i = 0; words[i]; ++i) {
    const guint length = length_of_word(words + i);
    if (i && column + 1 + length > RC_COLUMNS) {
      g_string_append_printf(out, "\n%*s", (int)indent, "");
      column = indent;
    } else if (i) {
      g_string_append_c(out, ' ');
      ++column;
    }
    g_string_append(out, words[i]);
    column += (guint)g_utf8_strlen(words[i], -1);
  }
  g_string_append_c(out, '\n');
  g_strfreev(words);
  g_free(text);
}

// Such as -3 or 1.25.
static gboolean
is_number(const char *text)
{
  const char *digits = text + strspn(text, "+-");
  return digits - text <= 1 && g_ascii_isdigit(*digits) && !digits[strspn(digits, "0123456789.")];
}

// A spreadsheet takes a cell that begins so for a formula, unless an apostrophe says that it is text.
static gboolean
is_formula(const char *field)
{
  return *field && strchr("=+-@\t\r", *field) && !is_number(field) && strcmp(field, "-") != 0;
}

static void
append_csv_field(GString *out, const char *field)
{
  char *shown = rc_visible(field);
  const gboolean quoted = strpbrk(shown, ",\"") != NULL;
  g_string_append(out, quoted ? "\"" : "");
  g_string_append(out, is_formula(field) ? "'" : "");
  for (const char *c = shown; *c; ++c) {
    g_string_append(out, *c == '"' ? "\"" : "");
    g_string_append_c(out, *c);
  }
  g_string_append(out, quoted ? "\"" : "");
  g_free(shown);
}

void
rc_append_csv(GString *out, ...)
{
  va_list fields;
  va_start(fields, out);
  const char *between = "";
  for (const char *field; (field = va_arg(fields, const char *)); between = ",") {
    g_string_append(out, between);
    append_csv_field(out, field);
  }
  va_end(fields);
  g_string_append(out, "\r\n");
}

const char *
rc_tone_name(const RcChord *chord, RcKey key, guint pc, RcSigns signs)
{
  enum { FLATTEST = -8, SHARPEST = 12 }; // Fb and B#
  const RcNote note = rc_chord_spell(chord, key, pc);
  return rc_note_name((RcNote)(note < FLATTEST ? note + 12 : note > SHARPEST ? note - 12 : note), signs);
}

char *
rc_tones_text(const RcChord *chord, RcKey key, RcPcSet set, RcSigns signs, const char *between)
{
  GString *text = g_string_new(NULL);
  for (guint above = 0; above < 12; ++above) {
    const guint pc = (rc_note_pc(chord->root) + above) % 12;
    if (rc_pcs_has(set, pc)) {
      g_string_append_printf(text, "%s%s", text->len ? between : "", rc_tone_name(chord, key, pc, signs));
    }
  }
  return g_string_free(text, FALSE);
}

// The note value that lasts for `beat`; a quarter note where none does, and then `beat` is set to one.
static const char *
beat_name(RcTicks *beat)
{
  static const char *const plain[] = { "whole notes", "half notes", "quarter notes", "eighth notes",
                                       "sixteenth notes" };
  static const char *const dotted[] = { "dotted wholes", "dotted halves", "dotted quarters", "dotted eighths",
                                        "dotted sixteenths" };
  for (guint i = 0; i < G_N_ELEMENTS(plain); ++i) {
    const RcTicks length = 4 * RC_QUARTER >> i;
    if (*beat == length || 2 * *beat == 3 * length) {
      return *beat == length ? plain[i] : dotted[i];
    }
  }
  *beat = RC_QUARTER;
  return plain[2];
}

char *
rc_tempo_text(RcTempo tempo, RcMeter meter)
{
  RcTicks beat = rc_meter_beat(meter);
  const char *name = beat_name(&beat);
  const int tenths = (int)(tempo.quarters * (double)RC_QUARTER / (double)beat * 10 + 0.5);
  return tenths % 10 ? g_strdup_printf("%d.%d %s a minute", tenths / 10, tenths % 10, name)
                     : g_strdup_printf("%d %s a minute", tenths / 10, name);
}

const char *
rc_share_of(const RcCounts *counts)
{
  return rc_counts_measured(counts) ? "playing time" : "chords";
}

const char *
rc_share_of_short(const RcCounts *counts)
{
  return rc_counts_measured(counts) ? "time" : "chords";
}

void
rc_append_music(GString *text, const RcIntake *intake, const RcCounts *counts)
{
  const guint64 chords = rc_counts_chords(counts);
  g_string_append_printf(text, "%" U64 " tune%s from %" U64 " file%s: %" U64 " chord%s", intake->tunes,
                         intake->tunes == 1 ? "" : "s", intake->files, intake->files == 1 ? "" : "s", chords,
                         chords == 1 ? "" : "s");
  if (rc_counts_measured(counts)) {
    char *quarters = rc_quarters_text(rc_counts_ticks(counts));
    g_string_append_printf(text, " in %s quarter notes", quarters);
    g_free(quarters);
  }
  g_string_append(text, " as played.");
}

void
rc_append_left_out(GString *text, const RcIntake *intake)
{
  const char *plural = intake->problems == 1 ? "" : "s";
  if (intake->problems) {
    g_string_append_printf(text, " %" U64 " tune%s or file%s could not be read.", intake->problems, plural, plural);
  }
}

RcTicks
rc_measured_ticks(const RcCounts *counts, RcTicks ticks)
{
  return rc_counts_measured(counts) ? ticks : 0;
}

// "The tune states ...", "1 of 9 tunes states ...", "3 of 9 tunes state ..."; a new string.
static char *
of_tunes(guint64 n, guint64 whole, const char *one, const char *several)
{
  return whole == 1 ? g_strconcat("The tune ", one, NULL)
                    : g_strdup_printf("%" G_GUINT64_FORMAT " of %" G_GUINT64_FORMAT " tunes %s", n, whole,
                                      n == 1 ? one : several);
}

// How the tunes with lengths are timed.
static char *
tempo_text(const RcRoll *roll)
{
  const RcTiming timing = rc_roll_timing(roll);
  if (rc_roll_get_settings(roll).given.source != RC_TEMPO_NONE) {
    return g_strdup("All tunes are timed by the tempo given. ");
  }
  if (timing.assumed) {
    return of_tunes(timing.assumed, timing.tunes,
                    "states no tempo and is timed by the usual one of its rhythm or meter (common practice). ",
                    "state no tempo and are timed by the usual one of their rhythm or meter (common practice). ");
  }
  if (timing.untimed) {
    return of_tunes(timing.untimed, timing.tunes, "states no tempo and is left untimed: nothing in it is brisk. ",
                    "state no tempo and are left untimed: nothing in them is brisk. ");
  }
  return g_strdup("");
}

// Where the keys of tunes that state none come from.
static char *
keys_text(const RcRoll *roll)
{
  const RcTiming timing = rc_roll_timing(roll);
  if (timing.keys_assumed) {
    return of_tunes(timing.keys_assumed, timing.tunes, "states no key; it is assumed from its chords. ",
                    "state no key; it is assumed from their chords. ");
  }
  if (timing.unkeyed) {
    return of_tunes(timing.unkeyed, timing.tunes, "states no key and is left without one. ",
                    "state no key and are left without one. ");
  }
  return g_strdup("");
}

// What is said of tunes whose chords stand over words, without lengths.
static char *
lengths_text(const RcRoll *roll)
{
  const RcTiming timing = rc_roll_timing(roll);
  const RcCounts counts = rc_roll_counts(roll, 0);
  if (!timing.unmeasured) {
    return g_strdup("");
  }
  if (!rc_counts_measured(&counts)) {
    return g_strdup("The chords are written without lengths: shares are of the chords, not of the playing time. ");
  }
  return g_strdup_printf("%" G_GUINT64_FORMAT " of %" G_GUINT64_FORMAT
                         " tunes write chords without lengths, which count "
                         "by chords and by tunes, but not by time. ",
                         timing.unmeasured, timing.tunes);
}

char *
rc_unmeasured_text(guint64 n)
{
  return !n ? g_strdup("")
            : g_strdup_printf("%" U64 " of the tunes %s", n,
                              n == 1 ? "has chords without lengths: its shares are of the chords."
                                     : "have chords without lengths: their shares are of the chords.");
}

char *
rc_timing_text(const RcRoll *roll)
{
  char *tempo = tempo_text(roll);
  char *keys = keys_text(roll);
  char *lengths = lengths_text(roll);
  char *text = g_strconcat(tempo, keys, lengths, NULL);
  g_free(tempo);
  g_free(keys);
  g_free(lengths);
  return text;
}

// ----------------------------------------------------------------------------------------------------------- JSON

void
rc_json_quarters(GString *json, const char *name, RcTicks ticks)
{
  if (ticks % RC_QUARTER) {
    rc_json_decimal(json, name, (double)ticks / (double)RC_QUARTER);
  } else {
    rc_json_number(json, name, ticks / RC_QUARTER);
  }
}

void
rc_json_tones(GString *json, const char *name, const RcChord *chord, RcKey key, RcPcSet set)
{
  rc_json_begin_array(json, name);
  for (guint above = 0; above < 12; ++above) {
    const guint pc = (rc_note_pc(chord->root) + above) % 12;
    if (rc_pcs_has(set, pc)) {
      rc_json_text(json, NULL, rc_tone_name(chord, key, pc, RC_SIGNS_ASCII));
    }
  }
  rc_json_end_array(json);
}

const char *
rc_bellows_arrow(guint bellows)
{
  static const char *const arrows[] = { "", ">", "<", "<>" };
  return arrows[bellows];
}

void
rc_json_bellows(GString *json, RcBellows bellows)
{
  if (bellows != RC_BELLOWS_BOTH) {
    rc_json_text(json, "bellows", rc_bellows_name(bellows));
  }
}

void
rc_json_button(GString *json, const char *name, const RcLayout *layout, guint index)
{
  const RcButton *button = rc_layout_button(layout, index);
  rc_json_begin_object(json, name);
  rc_json_text(json, "row", rc_button_row(layout, button));
  rc_json_text(json, "column", rc_note_name(rc_button_column(layout, button), RC_SIGNS_ASCII));
  rc_json_bellows(json, button->bellows);
  rc_json_end_object(json);
}

static void
add_fingers(GString *json, const char *name, const RcLayout *layout, const guint8 *fingers, guint n)
{
  rc_json_begin_array(json, name);
  for (guint i = 0; i < n; ++i) {
    rc_json_number(json, NULL, rc_finger_of_player(layout, fingers[i]));
  }
  rc_json_end_array(json);
}

void
rc_json_fingers(GString *json, const RcLayout *layout, const RcGrip *grip, const RcFingering *fingers)
{
  rc_json_begin_object(json, "fingers");
  add_fingers(json, "basses", layout, fingers->basses, grip->n_basses);
  add_fingers(json, "chords", layout, fingers->chords, grip->n_chords);
  rc_json_end_object(json);
}

void
rc_json_grip(GString *json, const RcLayout *layout, const RcGrip *grip)
{
  rc_json_begin_array(json, "basses");
  for (guint i = 0; i < grip->n_basses; ++i) {
    rc_json_button(json, NULL, layout, grip->basses[i]);
  }
  rc_json_end_array(json);
  rc_json_begin_array(json, "chords");
  for (guint i = 0; i < grip->n_chords; ++i) {
    rc_json_button(json, NULL, layout, grip->chords[i]);
  }
  rc_json_end_array(json);
}

void
rc_json_likeness(GString *json, guint likeness)
{
  rc_json_decimal(json, "likeness", rc_likeness_hundredths(likeness) / 100.0);
}

void
rc_json_counts(GString *json, const RcCounts *counts)
{
  rc_json_begin_object(json, "chords");
  rc_json_number(json, "total", (gint64)rc_counts_chords(counts));
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    rc_json_number(json, rc_verdict_name((RcVerdict)i), (gint64)counts->chords[i]);
  }
  rc_json_end_object(json);
  rc_json_begin_object(json, "quarters");
  rc_json_quarters(json, "total", rc_counts_ticks(counts));
  for (guint i = 0; i < RC_N_VERDICTS; ++i) {
    rc_json_quarters(json, rc_verdict_name((RcVerdict)i), counts->ticks[i]);
  }
  rc_json_end_object(json);
}

void
rc_json_tunes(GString *json, const RcCounts *counts)
{
  rc_json_begin_object(json, "tunes");
  rc_json_number(json, "total", (gint64)counts->tunes);
  rc_json_number(json, "native", (gint64)counts->native);
  rc_json_number(json, "playable", (gint64)counts->playable);
  rc_json_number(json, "one_short", (gint64)counts->one_short);
  rc_json_end_object(json);
}
