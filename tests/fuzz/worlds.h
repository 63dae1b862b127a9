// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Boards and books of tunes drawn from bytes and written as their files are, so that the real readers read them. The
// same bytes give the same board and the same book, but for what is asked to be different.

#ifndef ROWCALL_TESTS_FUZZ_WORLDS_H
#define ROWCALL_TESTS_FUZZ_WORLDS_H

#include "rowcall/music.h"

#include <stdint.h>
#include <string.h>

typedef struct {
  const uint8_t *at;
  const uint8_t *end;
} Bytes;

// A whole number from 0 to n - 1, n at most 256; 0 after the last byte.
static guint
take(Bytes *bytes, guint n)
{
  return bytes->at < bytes->end ? *bytes->at++ % n : 0;
}

#define TAKE_OF(bytes, list) ((list)[take((bytes), G_N_ELEMENTS(list))])

static const char *
name_of(int note)
{
  return rc_note_name((RcNote)note, RC_SIGNS_ASCII);
}

// --------------------------------------------------------------------------------------------------------- boards

// How a board differs from the one that is drawn.
typedef struct {
  int up;            // fifths by which all of it sounds sharper
  gboolean mirrored; // the other way round
  gboolean more;     // no button dead, a further row outermost and a further column at the sharp end
  gboolean shuffled; // every second column before the others
} Change;

enum { MOST_COLUMNS = 8, MOST_ROWS = 6, N_KINDS = 8 };

typedef struct {
  const char *name;
  const char *sounds[3];
} Kind;

static const Kind kinds[N_KINDS] = {
  { "fundamental", { NULL } },
  { "major", { NULL, "1 3" } },
  { "minor", { NULL, "1 b3", "1 b3 5 b7" } },
  { "counterbass", { NULL } },
  { "seventh", { NULL, "3 5 b7", "1 3 5 b7" } },
  { "diminished", { NULL, "1 b3 b5 bb7", "1 b3 b5" } },
  { "minor-third", { NULL } },
  { "augmented", { NULL } },
};

static const char *const chord_sounds[] = { "major", "minor", "seventh", "1 5", "1 3 5 7", "diminished" };

// What is drawn of a board. Columns and rows beyond its own are those that it may have more.
typedef struct {
  gboolean push_and_pull; // two rows, every button listed
  int first;              // the flattest column, on the line of fifths
  guint columns;
  guint rows[N_KINDS]; // indices of `kinds`, from the bellows outwards
  guint n_rows;
} Plan;

static void
draw_rows(Bytes *bytes, Plan *plan)
{
  const guint wanted = take(bytes, 256);
  const guint first = take(bytes, N_KINDS);
  plan->n_rows = 0;
  for (guint i = 0; i < N_KINDS; ++i) {
    const guint kind = (first + i) % N_KINDS;
    if ((kind < 2 || wanted >> kind & 1U) && plan->n_rows < MOST_ROWS) { // fundamental and major always
      plan->rows[plan->n_rows++] = kind;
    }
  }
  gboolean used[N_KINDS] = { FALSE };
  for (guint i = 0; i < plan->n_rows; ++i) {
    used[plan->rows[i]] = TRUE;
  }
  for (guint kind = 0, next = plan->n_rows; kind < N_KINDS && next < N_KINDS; ++kind) {
    if (!used[kind]) {
      plan->rows[next++] = kind;
    }
  }
}

static Plan
draw_plan(Bytes *bytes)
{
  Plan plan = { .push_and_pull = take(bytes, 4) == 3 };
  plan.first = (int)take(bytes, 7) - 5;
  plan.columns = 1 + take(bytes, MOST_COLUMNS);
  draw_rows(bytes, &plan);
  return plan;
}

static const char *
row_name(const Plan *plan, guint row)
{
  static const char *const pair[] = { "bass", "chord" };
  return plan->push_and_pull ? pair[row % 2] : kinds[plan->rows[row]].name;
}

static void
write_rows(GString *out, Bytes *bytes, const Plan *plan, Change change)
{
  g_string_append(out, "rows: [");
  for (guint i = 0; i < N_KINDS; ++i) {
    const Kind *kind = &kinds[plan->rows[i]];
    const char *sounds = TAKE_OF(bytes, kind->sounds);
    const int shift = take(bytes, 6) ? 0 : (int)take(bytes, 5) - 2;
    if (i < plan->n_rows + (change.more ? 1 : 0)) {
      g_string_append_printf(out, "%s{row: %s%s%s, shift: %d}", i ? ", " : "", kind->name, sounds ? ", sounds: " : "",
                             sounds ? sounds : "", shift);
    }
  }
  g_string_append(out, "]\n");
}

// A note, or a chord above one.
static void
write_sound(GString *out, Bytes *bytes, gboolean chord, int up)
{
  const int note = (int)take(bytes, 9) - 3 + up;
  g_string_append(out, name_of(note));
  if (chord) {
    g_string_append_printf(out, " %s", TAKE_OF(bytes, chord_sounds));
  }
}

// What a button sounds, most often one thing on push and another on pull, or nothing in one of them.
static void
write_both_sounds(GString *out, Bytes *bytes, gboolean chord, int up)
{
  const guint how = take(bytes, 6);
  g_string_append(out, how == 0 ? "" : how == 1 ? "{push: " : how == 2 ? "{pull: " : "{push: ");
  write_sound(out, bytes, chord, up);
  if (how > 2) {
    g_string_append(out, ", pull: ");
    write_sound(out, bytes, chord, up);
  }
  g_string_append(out, how ? "}" : "");
}

static void
write_pairs(GString *out, Bytes *bytes, const Plan *plan, Change change)
{
  g_string_append(out, "rows: [bass, chord]\nbuttons:\n");
  for (guint i = 0; i <= plan->columns; ++i) {
    const gsize before = out->len;
    for (guint row = 0; row < 2; ++row) {
      g_string_append_printf(out, "  %s %s: ", row_name(plan, row), name_of(plan->first + change.up + (int)i));
      write_both_sounds(out, bytes, row == 1, change.up);
      g_string_append_c(out, '\n');
    }
    g_string_truncate(out, i < plan->columns || change.more ? out->len : before);
  }
}

// A button such as "minor E", of those that are not more.
static void
write_button(GString *out, Bytes *bytes, const Plan *plan, int up, char between)
{
  const guint row = take(bytes, plan->push_and_pull ? 2 : plan->n_rows);
  const guint column = take(bytes, plan->columns);
  g_string_append_printf(out, "%s%c%s", row_name(plan, row), between, name_of(plan->first + up + (int)column));
}

static void
write_retuned(GString *out, Bytes *bytes, const Plan *plan, int up)
{
  if (take(bytes, 3) == 1) {
    g_string_append(out, "retuned:\n  ");
    write_button(out, bytes, plan, up, ' ');
    g_string_append(out, ": ");
    write_both_sounds(out, bytes, take(bytes, 2) == 1, up);
    g_string_append_c(out, '\n');
  }
}

static void
write_dead(GString *out, Bytes *bytes, const Plan *plan, Change change)
{
  const gsize before = out->len;
  const guint n = take(bytes, 4);
  g_string_append(out, "dead: [");
  for (guint i = 0; i < n; ++i) {
    g_string_append(out, i ? ", " : "");
    write_button(out, bytes, plan, change.up, ' ');
    g_string_append(out, take(bytes, 4) == 3 ? " pull" : "");
  }
  g_string_append(out, "]\n");
  g_string_truncate(out, change.more ? before : out->len);
}

static void
write_measures(GString *out, Bytes *bytes)
{
  g_string_append_printf(out, "spacing: {column: %u", 10 + take(bytes, 12));
  g_string_append_printf(out, ".%u, ", take(bytes, 10));
  g_string_append_printf(out, "row: %u.5, ", 9 + take(bytes, 8));
  g_string_append_printf(out, "slant: %u.25}\n", take(bytes, 12));
  g_string_append_printf(out, "reeds: {bass: %s, ", name_of((int)take(bytes, 12) - 5));
  g_string_append_printf(out, "chord: %s}\n", name_of((int)take(bytes, 12) - 5));
}

static void
write_columns(GString *out, int first, guint n, gboolean shuffled)
{
  if (!shuffled) {
    g_string_append_printf(out, "columns: %s..%s\n", name_of(first), name_of(first + (int)n - 1));
    return;
  }
  g_string_append(out, "columns: [");
  for (guint i = 0; i < n; ++i) {
    const guint column = i < (n + 1) / 2 ? 2 * i : 2 * (i - (n + 1) / 2) + 1;
    g_string_append_printf(out, "%s%s", i ? ", " : "", name_of(first + (int)column));
  }
  g_string_append(out, "]\n");
}

// Writes a board. `kill` gets the name of one of its buttons, as rc_layout_silence() reads it.
static void
write_board(GString *out, Bytes *bytes, Change change, GString *kill)
{
  static const char *const titles[] = { "An invented board", "Großmutters Baß, zwei Knöpfe stumm",
                                        "A board with a title much longer than anything that fits into a column" };
  const Plan plan = draw_plan(bytes);
  const guint columns = plan.columns + (change.more ? 1 : 0);
  g_string_append_printf(out, "name: board\ntitle: %s\n", TAKE_OF(bytes, titles));
  write_columns(out, plan.first + change.up, columns, change.shuffled);
  if (plan.push_and_pull) {
    write_pairs(out, bytes, &plan, change);
  } else {
    write_rows(out, bytes, &plan, change);
  }
  write_measures(out, bytes);
  g_string_append_printf(out, "mirrored: %s\n", (take(bytes, 2) == 1) != change.mirrored ? "true" : "false");
  write_retuned(out, bytes, &plan, change.up);
  write_dead(out, bytes, &plan, change);
  write_button(kill, bytes, &plan, change.up, ':');
}

// ---------------------------------------------------------------------------------------------------------- books

enum { MOST_FILES = 3, MOST_TUNES = 3, MOST_PARTS = 3, MOST_BARS = 4, MOST_CHORDS = 4 };

static const char *const chord_kinds[] = { "",     "",    "",     "m",    "m",    "7",       "7",     "m7",
                                           "maj7", "dim", "dim7", "aug",  "m7b5", "sus4",    "7sus4", "6",
                                           "m6",   "9",   "7b9",  "add9", "5",    "m(maj7)", "13",    "7#5#9",
                                           "sus2", "dim", "alt",  "no3",  "6/9" }; // "Do" is no chord to all

// German names say H for B and B for B flat.
static void
write_note(GString *out, int note, gboolean german)
{
  const char *name = name_of(note);
  if (german && g_str_has_prefix(name, "Bb")) {
    g_string_append(out, name[2] ? "Hbb" : "B");
  } else if (german && *name == 'B') {
    g_string_append_printf(out, "H%s", name + 1);
  } else {
    g_string_append(out, name);
  }
}

static void
write_chord(GString *out, Bytes *bytes, int up, gboolean german)
{
  const guint rare = take(bytes, 24);
  const int root = (int)take(bytes, 11) - 4 + up;
  const int bass = (int)take(bytes, 11) - 4 + up;
  const char *kind = TAKE_OF(bytes, chord_kinds);
  if (rare > 21) {
    g_string_append(out, rare == 22 ? "N.C." : "huh");
    return;
  }
  write_note(out, root, german);
  g_string_append(out, kind);
  if (rare > 17) {
    g_string_append_c(out, '/');
    write_note(out, bass, german);
  }
}

static void
write_bars(GString *out, Bytes *bytes, int up, gboolean german)
{
  const guint n = 1 + take(bytes, MOST_BARS);
  for (guint bar = 0; bar < n; ++bar) {
    g_string_append(out, "| ");
    if (bar && !take(bytes, 5)) {
      g_string_append(out, "% ");
      continue;
    }
    const guint chords = 1 + take(bytes, MOST_CHORDS);
    for (guint i = 0; i < chords; ++i) {
      if (i && !take(bytes, 4)) {
        g_string_append_c(out, '.');
      } else {
        write_chord(out, bytes, up, german);
      }
      g_string_append_c(out, ' ');
    }
  }
  g_string_append_c(out, '|');
}

static const char *const tune_titles[] = {
  "Lantern", "Das Mühlrad am \\\"Ried\\\"", "Five, six",
  "A title that goes on for much longer than a line of a narrow table has room for"
};
static const char *const modes[] = { "", "m", " dorian", " mixolydian", " phrygian", " lydian", " locrian" };
static const char *const meters[] = { "4/4", "3/4", "6/8", "2/2", "C|", "5/8", "12/8", "1/4", "3/2" };
static const char *const rhythms[] = { "waltz", "jig", "slow air", "polka", "tango", "gallop" };

static void
write_head(GString *out, Bytes *bytes, int up, gboolean german)
{
  const guint given = take(bytes, 16);
  const int tonic = (int)take(bytes, 7) - 3 + up;
  const char *mode = TAKE_OF(bytes, modes);
  g_string_append_printf(out, "title: \"%s\"\n%s", TAKE_OF(bytes, tune_titles), german ? "names: german\n" : "");
  if (!(given & 1U)) {
    g_string_append(out, "key: ");
    write_note(out, tonic, german);
    g_string_append_printf(out, "%s\n", mode);
  }
  g_string_append_printf(out, "meter: %s\n", TAKE_OF(bytes, meters));
  const guint tempo = 40 + take(bytes, 200);
  const char *rhythm = TAKE_OF(bytes, rhythms);
  if (given & 2U) {
    g_string_append_printf(out, "tempo: 1/4=%u\n", tempo);
  }
  if (given & 4U) {
    g_string_append_printf(out, "rhythm: %s\n", rhythm);
  }
}

static void
write_tune(GString *out, Bytes *bytes, int up)
{
  const gboolean german = take(bytes, 5) == 1;
  const guint parts = 1 + take(bytes, MOST_PARTS);
  write_head(out, bytes, up, german);
  g_string_append(out, "parts:\n");
  for (guint i = 0; i < parts; ++i) {
    g_string_append_printf(out, "  %c: \"", 'A' + (int)i);
    write_bars(out, bytes, up, german);
    g_string_append(out, "\"\n");
  }
  const guint order = take(bytes, 5);
  g_string_append(out, order ? "order:" : "");
  for (guint i = 0; i < order; ++i) {
    g_string_append_printf(out, " %c", 'A' + (int)take(bytes, parts));
  }
  g_string_append(out, order ? "\n" : "");
}

// A song of ChordPro, whose chords have no length.
static void
write_song(GString *out, Bytes *bytes, int up)
{
  const guint lines = 1 + take(bytes, 3);
  g_string_append_printf(out, "{title: Song}\n{key: %s}\n", name_of((int)take(bytes, 7) - 3 + up));
  for (guint line = 0; line < lines; ++line) {
    const guint chords = take(bytes, 4);
    g_string_append(out, take(bytes, 3) ? "" : "{start_of_chorus}\n");
    for (guint i = 0; i < chords; ++i) {
      g_string_append_c(out, '[');
      write_chord(out, bytes, up, FALSE);
      g_string_append(out, "]la ");
    }
    g_string_append(out, "la\n");
    g_string_append(out, take(bytes, 4) ? "" : "{chorus}\n");
  }
}

// Writes a file of tunes, or of one song, and returns how many there are.
static guint
write_file(GString *out, Bytes *bytes, int up)
{
  const guint n = 1 + take(bytes, MOST_TUNES);
  if (take(bytes, 5) == 4) {
    write_song(out, bytes, up);
    return 1;
  }
  for (guint i = 0; i < n; ++i) {
    g_string_append(out, i ? "---\n" : "");
    write_tune(out, bytes, up);
  }
  return n;
}

#endif
