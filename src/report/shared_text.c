// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What two repertoires, A and B, share: the tunes, keys and chords of both and of each alone, by name.

#include "report/format.h"

#define U64 G_GUINT64_FORMAT

enum { MOST_NAMES = 40 };

static const char *const sides[RC_PAIR] = { "A", "B" };

// Where a name stands: in both lists, or in one alone.
typedef enum { IN_A, IN_B, IN_BOTH } Where;

static Where
where(const guint64 counts[RC_PAIR])
{
  return counts[0] && counts[1] ? IN_BOTH : counts[0] ? IN_A : IN_B;
}

// ------------------------------------------------------------------------------------------------------------ names

// A sentence of names: "Keys in both: G, D and 3 more."
typedef struct {
  GString *text;
  guint n;
} Names;

static void
append_name(Names *names, const char *between, const char *name)
{
  if (++names->n <= MOST_NAMES) {
    g_string_append_printf(names->text, "%s%s", names->n > 1 ? between : "", name);
  }
}

static void
append_names(GString *out, const char *begins, Names *names)
{
  GString *line = g_string_new(begins);
  g_string_append_printf(line, "%s", names->n ? names->text->str : "none");
  if (names->n > MOST_NAMES) {
    g_string_append_printf(line, " and %u more", names->n - MOST_NAMES);
  }
  g_string_append_c(line, '.');
  rc_append_wrapped(out, line->str, 2);
  g_string_free(line, TRUE);
  g_string_free(names->text, TRUE);
}

static char *
key_name(RcKey key)
{
  return key.mode == RC_MODE_NONE ? g_strdup("no key") : rc_short_key(key, RC_SIGNS_ASCII);
}

// "G 4 and 7" of both, "E 2" of one alone: how many tunes.
static Names
name_keys(const RcShared *shared, Where wanted)
{
  Names names = { g_string_new(NULL), 0 };
  for (guint i = 0; i < shared->n_keys; ++i) {
    const RcKeyOfBoth *key = &shared->keys[i];
    if (where(key->tunes) != wanted) {
      continue;
    }
    char *name = key_name(key->key);
    char *text = wanted == IN_BOTH ? g_strdup_printf("%s %" U64 " and %" U64, name, key->tunes[0], key->tunes[1])
                                   : g_strdup_printf("%s %" U64, name, key->tunes[wanted == IN_A ? 0 : 1]);
    append_name(&names, ", ", text);
    g_free(name);
    g_free(text);
  }
  return names;
}

// "Bm" of both, "F#7 x4" of one alone.
static Names
name_chords(const RcShared *shared, Where wanted)
{
  Names names = { g_string_new(NULL), 0 };
  for (guint i = 0; i < shared->n_chords; ++i) {
    const RcChordOfBoth *chord = &shared->chords[i];
    if (where(chord->times) != wanted) {
      continue;
    }
    const guint64 times = MAX(chord->times[0], chord->times[1]);
    char *name = rc_chord_name(&chord->chord, RC_SIGNS_ASCII);
    char *text = wanted == IN_BOTH || times == 1 ? g_strdup(name) : g_strdup_printf("%s x%" U64, name, times);
    append_name(&names, ", ", text);
    g_free(name);
    g_free(text);
  }
  return names;
}

// ------------------------------------------------------------------------------------------------------------ table

static void
append_heading(GString *out, const RcShared *shared, const char *const names[RC_PAIR])
{
  for (guint side = 0; side < RC_PAIR; ++side) {
    const RcIntake *intake = &shared->rolled[side]->intake;
    char *line = g_strdup_printf("%s: %s, %" U64 " tune%s", sides[side], names[side], intake->tunes,
                                 intake->tunes == 1 ? "" : "s");
    rc_append_wrapped(out, line, 3);
    g_free(line);
  }
  g_string_append_c(out, '\n');
}

static void
append_tune(GString *out, const RcTuneInBoth *tune)
{
  char *keys[RC_PAIR] = { NULL, NULL };
  for (guint side = 0; side < RC_PAIR; ++side) {
    keys[side] = rc_tune_short_key(tune->of[side], RC_SIGNS_ASCII);
  }
  g_string_append(out, "  ");
  rc_append_padded(out, tune->of[0]->title, 50);
  g_string_append_printf(out, " %s", keys[0]);
  if (!g_str_equal(keys[0], keys[1])) {
    g_string_append_printf(out, ", in B %s", *keys[1] ? keys[1] : "no key");
  }
  rc_end_line(out);
  g_free(keys[0]);
  g_free(keys[1]);
}

static void
append_tunes(GString *out, const RcShared *shared)
{
  g_string_append_printf(out, "Tunes in both%s\n", shared->n_tunes ? ", by title:" : ", by title: none.");
  for (guint i = 0; i < shared->n_tunes; ++i) {
    append_tune(out, &shared->tunes[i]);
  }
}

static void
append_keys(GString *out, const RcShared *shared)
{
  Names both = name_keys(shared, IN_BOTH);
  Names only_a = name_keys(shared, IN_A);
  Names only_b = name_keys(shared, IN_B);
  append_names(out, "Keys in both, with how many tunes of A and of B begin in them: ", &both);
  g_string_append(out, "  ");
  append_names(out, "Only in A: ", &only_a);
  g_string_append(out, "  ");
  append_names(out, "Only in B: ", &only_b);
}

// "Chords in both, 81.2 % of the time of A and 93.0 % of B: "
static char *
shares_text(const RcShared *shared)
{
  char percents[RC_PAIR][8];
  const char *what[RC_PAIR] = { NULL, NULL };
  for (guint side = 0; side < RC_PAIR; ++side) {
    const RcCounts counts = rc_roll_counts(shared->rolled[side]->roll, 0);
    const gboolean measured = rc_counts_measured(&counts);
    gint64 common = 0;
    for (guint i = 0; i < shared->n_chords; ++i) {
      const RcChordOfBoth *chord = &shared->chords[i];
      if (where(chord->times) == IN_BOTH) {
        common += measured ? chord->ticks[side] : (gint64)chord->times[side];
      }
    }
    rc_percent_text(percents[side], common, rc_counts_read(&counts));
    what[side] = measured ? "time" : "chords";
  }
  return g_strdup_printf("Chords in both, %s %% of the %s of A and %s %% of the %s of B: ", percents[0], what[0],
                         percents[1], what[1]);
}

static void
append_chords(GString *out, const RcShared *shared)
{
  char *shares = shares_text(shared);
  Names both = name_chords(shared, IN_BOTH);
  Names only_a = name_chords(shared, IN_A);
  Names only_b = name_chords(shared, IN_B);
  append_names(out, shares, &both);
  g_string_append(out, "  ");
  append_names(out, "Only in A: ", &only_a);
  g_string_append(out, "  ");
  append_names(out, "Only in B: ", &only_b);
  g_free(shares);
}

static void
append_board(GString *out, const RcShared *shared, guint index)
{
  const RcLayout *layout = shared->rolled[0]->boards->layouts[index];
  rc_append_padded(out, layout->name, 16);
  for (guint side = 0; side < RC_PAIR; ++side) {
    char percent[8];
    char tunes[48];
    const RcCounts counts = rc_roll_counts(shared->rolled[side]->roll, index);
    rc_percent_text(percent, rc_counts_carried(&counts, rc_roll_accept(shared->rolled[side]->roll)),
                    rc_counts_whole(&counts));
    g_snprintf(tunes, sizeof tunes, "%" U64 " of %" U64, counts.playable, counts.tunes);
    g_string_append_printf(out, " %15s %6s", tunes, percent);
  }
  g_string_append_c(out, '\n');
}

static void
append_boards(GString *out, const RcShared *shared)
{
  g_string_append(out, "layout                   A plays  time%         B plays  time%\n");
  for (guint i = 0; i < shared->rolled[0]->boards->n; ++i) {
    append_board(out, shared, i);
  }
}

static void
append_table(GString *out, const RcShared *shared, const char *const names[RC_PAIR])
{
  append_heading(out, shared, names);
  append_tunes(out, shared);
  g_string_append_c(out, '\n');
  append_keys(out, shared);
  g_string_append_c(out, '\n');
  append_chords(out, shared);
  g_string_append_c(out, '\n');
  append_boards(out, shared);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv_tunes(GString *out, const RcShared *shared)
{
  for (guint i = 0; i < shared->n_tunes; ++i) {
    const RcTuneInBoth *tune = &shared->tunes[i];
    char *keys[] = { rc_short_key(rc_tune_setting(tune->of[0], 0)->key, RC_SIGNS_ASCII),
                     rc_short_key(rc_tune_setting(tune->of[1], 0)->key, RC_SIGNS_ASCII) };
    rc_append_csv(out, "tune", tune->of[0]->title, keys[0], keys[1], "", "", NULL);
    g_free(keys[0]);
    g_free(keys[1]);
  }
}

static void
append_csv_counts(GString *out, const char *what, const char *name, const guint64 counts[RC_PAIR], const char *quarters,
                  const char *other_quarters)
{
  char *fields[] = { g_strdup_printf("%" U64, counts[0]), g_strdup_printf("%" U64, counts[1]) };
  rc_append_csv(out, what, name, fields[0], fields[1], quarters, other_quarters, NULL);
  g_free(fields[0]);
  g_free(fields[1]);
}

static void
append_csv(GString *out, const RcShared *shared)
{
  rc_append_csv(out, "what", "name", "a", "b", "a_quarters", "b_quarters", NULL);
  append_csv_tunes(out, shared);
  for (guint i = 0; i < shared->n_keys; ++i) {
    char *name = rc_short_key(shared->keys[i].key, RC_SIGNS_ASCII);
    append_csv_counts(out, "key", name, shared->keys[i].tunes, "", "");
    g_free(name);
  }
  for (guint i = 0; i < shared->n_chords; ++i) {
    const RcChordOfBoth *chord = &shared->chords[i];
    char *name = rc_chord_name(&chord->chord, RC_SIGNS_ASCII);
    char *quarters[] = { rc_quarters_text(chord->ticks[0]), rc_quarters_text(chord->ticks[1]) };
    append_csv_counts(out, "chord", name, chord->times, quarters[0], quarters[1]);
    g_free(name);
    g_free(quarters[0]);
    g_free(quarters[1]);
  }
}

static void
add_repertoires(GString *json, const RcShared *shared, const char *const names[RC_PAIR])
{
  rc_json_begin_array(json, "repertoires");
  for (guint side = 0; side < RC_PAIR; ++side) {
    const RcRolled *rolled = shared->rolled[side];
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "name", names[side]);
    rc_json_number(json, "tunes", (gint64)rolled->intake.tunes);
    rc_json_begin_array(json, "layouts");
    for (guint i = 0; i < rolled->boards->n; ++i) {
      const RcCounts counts = rc_roll_counts(rolled->roll, i);
      rc_json_begin_object(json, NULL);
      rc_json_text(json, "layout", rolled->boards->layouts[i]->name);
      rc_json_counts(json, &counts);
      rc_json_tunes(json, &counts);
      rc_json_end_object(json);
    }
    rc_json_end_array(json);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
add_tune(GString *json, const RcTuneInBoth *tune)
{
  rc_json_begin_array(json, NULL);
  for (guint side = 0; side < RC_PAIR; ++side) {
    char *key = rc_short_key(rc_tune_setting(tune->of[side], 0)->key, RC_SIGNS_ASCII);
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "title", tune->of[side]->title);
    rc_json_text(json, "file", tune->of[side]->file);
    rc_json_number(json, "line", tune->of[side]->line);
    rc_json_text(json, "key", key);
    rc_json_end_object(json);
    g_free(key);
  }
  rc_json_end_array(json);
}

static void
add_pair(GString *json, const char *name, const guint64 counts[RC_PAIR])
{
  rc_json_begin_array(json, name);
  rc_json_number(json, NULL, (gint64)counts[0]);
  rc_json_number(json, NULL, (gint64)counts[1]);
  rc_json_end_array(json);
}

static void
add_key(GString *json, const RcKeyOfBoth *key)
{
  char *name = rc_short_key(key->key, RC_SIGNS_ASCII);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "key", *name ? name : NULL);
  add_pair(json, "tunes", key->tunes);
  rc_json_end_object(json);
  g_free(name);
}

static void
add_chord(GString *json, const RcChordOfBoth *chord)
{
  char *name = rc_chord_name(&chord->chord, RC_SIGNS_ASCII);
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "chord", name);
  add_pair(json, "times", chord->times);
  rc_json_begin_array(json, "quarters");
  rc_json_quarters(json, NULL, chord->ticks[0]);
  rc_json_quarters(json, NULL, chord->ticks[1]);
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_free(name);
}

static void
append_json(GString *json, const RcShared *shared, const char *const names[RC_PAIR])
{
  rc_json_begin_object(json, NULL);
  add_repertoires(json, shared, names);
  rc_json_begin_array(json, "tunes");
  for (guint i = 0; i < shared->n_tunes; ++i) {
    add_tune(json, &shared->tunes[i]);
  }
  rc_json_end_array(json);
  rc_json_begin_array(json, "keys");
  for (guint i = 0; i < shared->n_keys; ++i) {
    add_key(json, &shared->keys[i]);
  }
  rc_json_end_array(json);
  rc_json_begin_array(json, "chords");
  for (guint i = 0; i < shared->n_chords; ++i) {
    add_chord(json, &shared->chords[i]);
  }
  rc_json_end_array(json);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_shared(GString *out, RcTextFormat format, const RcShared *shared, const char *const names[RC_PAIR])
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, shared, names);
    break;
  case RC_TEXT_CSV:
    append_csv(out, shared);
    break;
  case RC_TEXT_JSON:
    append_json(out, shared, names);
    break;
  }
}
