// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "report/ladder_text.h"

#include "report/format.h"

enum { FAR_COLUMNS = 3 }; // a move so far is practised slowly first (common practice)

const char *
rc_ladder_rule(void)
{
  return "Each step is the tune that needs the fewest new things: buttons, stand-ins, stretches beyond comfort, and "
         "moves "
         "of the hand by so many columns; then come the tunes that need nothing more. No order of these tunes has a "
         "smaller largest step.";
}

const char *
rc_ladder_advice(void)
{
  return "Within a step (common practice): bass and chord of one column first, then neighbouring columns; the "
         "alternating bass last. A grip that hurts is a wrong grip: rest, and ask a teacher or doctor.";
}

// ------------------------------------------------------------------------------------------------------ what is new

static const char *
row_word(const RcLayout *layout, guint button)
{
  const char *row = rc_button_row(layout, rc_layout_button(layout, button));
  return g_str_equal(row, "fundamental") ? "bass" : row;
}

// "the C column's bass, major and minor", the buttons from `first` to before `end`, which lie in one column.
static void
append_column(GString *text, const RcLayout *layout, const RcThing *things, guint first, guint end, RcSigns signs)
{
  const RcNote column = rc_button_column(layout, rc_layout_button(layout, things[first].button));
  g_string_append_printf(text, "%sthe %s column's ", text->len ? "; " : "", rc_note_name(column, signs));
  for (guint i = first; i < end; ++i) {
    g_string_append_printf(text, "%s%s",
                           i == first     ? ""
                           : i + 1 == end ? " and "
                                          : ", ",
                           row_word(layout, things[i].button));
  }
}

static guint
column_of(const RcLayout *layout, const RcThing *thing)
{
  return rc_layout_button(layout, thing->button)->column;
}

static void
append_buttons(GString *text, const RcLayout *layout, const RcRung *rung, RcSigns signs)
{
  const guint n = rung->kinds[RC_THING_BUTTON];
  for (guint first = 0; first < n;) {
    guint end = first + 1;
    while (end < n && column_of(layout, &rung->things[end]) == column_of(layout, &rung->things[first])) {
      ++end;
    }
    append_column(text, layout, rung->things, first, end, signs);
    first = end;
  }
}

static void
append_other(GString *text, const RcLayout *layout, const RcThing *thing, RcSigns signs)
{
  g_string_append(text, text->len ? "; " : "");
  if (thing->kind == RC_THING_STAND_IN) {
    char *name = rc_chord_name(&thing->chord, signs);
    char *grip = rc_grip_describe(layout, &thing->grip, signs);
    g_string_append_printf(text, "%s as %s", name, grip);
    g_free(name);
    g_free(grip);
  } else if (thing->kind == RC_THING_STRETCH) {
    char *grip = rc_grip_describe(layout, &thing->grip, signs);
    g_string_append_printf(text, "the stretch of %.0f mm to %s, never forced", rc_grip_span(layout, &thing->grip),
                           grip);
    g_free(grip);
  }
}

// "moves of 4, 5 and 7 columns", of those from @p least to @p most columns, which are short ones first.
static guint
append_moves(GString *text, const RcRung *rung, guint least, guint most)
{
  guint told = 0;
  guint n = 0;
  for (guint i = rung->n_things - rung->kinds[RC_THING_MOVE]; i < rung->n_things; ++i) {
    n += rung->things[i].columns >= least && rung->things[i].columns <= most ? 1 : 0;
  }
  for (guint i = rung->n_things - rung->kinds[RC_THING_MOVE]; i < rung->n_things; ++i) {
    const guint columns = rung->things[i].columns;
    if (columns >= least && columns <= most) {
      ++told;
      g_string_append_printf(text, "%s%u%s",
                             told > 1    ? ""
                             : text->len ? "; moves of "
                                         : "moves of ",
                             columns,
                             told == n       ? " columns"
                             : told + 1 == n ? " and "
                                             : ", ");
    }
  }
  return n;
}

static void
append_all_moves(GString *text, const RcRung *rung)
{
  const guint first = rung->n_things - rung->kinds[RC_THING_MOVE];
  if (first < rung->n_things && rung->things[first].columns == 1) {
    g_string_append_printf(text, "%smoves to the next column", text->len ? "; " : "");
  }
  append_moves(text, rung, 2, FAR_COLUMNS - 1);
  if (append_moves(text, rung, FAR_COLUMNS, G_MAXUINT)) {
    g_string_append(text, ", slow first");
  }
}

char *
rc_rung_text(const RcLadder *ladder, const RcRung *rung, RcSigns signs)
{
  GString *text = g_string_new(NULL);
  append_buttons(text, ladder->layout, rung, signs);
  for (guint i = rung->kinds[RC_THING_BUTTON]; i < rung->n_things - rung->kinds[RC_THING_MOVE]; ++i) {
    append_other(text, ladder->layout, &rung->things[i], signs);
    if (i + 1 == rung->kinds[RC_THING_BUTTON] + rung->kinds[RC_THING_STAND_IN]) {
      g_string_append(text, rung->kinds[RC_THING_STAND_IN] == 1 ? ", slow first" : " (these slow first)");
    }
  }
  append_all_moves(text, rung);
  return g_string_free(text, FALSE);
}

char *
rc_rung_count_text(const RcLadder *ladder, const RcRung *rung, RcSigns signs)
{
  char *fresh = rc_rung_text(ladder, rung, signs);
  char *text = rung->n_things ? g_strdup_printf("%u new: %s", rung->n_things, fresh) : g_strdup("nothing new");
  g_free(fresh);
  return text;
}

// ------------------------------------------------------------------------------------------------------------ table

static void
append_indented(GString *out, const char *text)
{
  g_string_append(out, "    ");
  rc_append_wrapped(out, text, 4);
}

static void
append_free_tunes(GString *out, const RcRung *rung)
{
  for (guint i = 1; i < rung->n_tunes; ++i) {
    g_string_append(out, "    = ");
    rc_append_padded(out, rung->tunes[i]->title, 74);
    rc_end_line(out);
  }
}

static void
append_rung(GString *out, const RcLadder *ladder, guint number)
{
  const RcRung *rung = &ladder->rungs[number];
  char *heading = g_strdup_printf("%2u. %s", number + 1, rung->tunes[0]->title);
  char *things = rc_rung_count_text(ladder, rung, RC_SIGNS_ASCII);
  rc_append_padded(out, heading, 80);
  rc_end_line(out);
  append_indented(out, things);
  append_free_tunes(out, rung);
  g_free(heading);
  g_free(things);
}

static void
append_left_out(GString *out, const char *begins, const RcTune *const *tunes, guint n)
{
  enum { MOST = 20 };
  GString *text = g_string_new(begins);
  for (guint i = 0; i < MIN(n, MOST); ++i) {
    g_string_append_printf(text, "%s%s", i ? "; " : "", tunes[i]->title);
  }
  if (n > MOST) {
    g_string_append_printf(text, "; and %u more", n - MOST);
  }
  g_string_append_c(text, '.');
  if (n) {
    rc_append_wrapped(out, text->str, 0);
  }
  g_string_free(text, TRUE);
}

// What was known before the first step.
static void
append_known(GString *out, const RcLadder *ladder)
{
  append_left_out(out, "Known, and so left out: ", ladder->known_tunes, ladder->n_known_tunes);
  if (ladder->n_known) {
    GString *text = g_string_new("Known from the start: ");
    for (guint i = 0; i < ladder->n_known; ++i) {
      char *word = rc_thing_word(ladder->layout, &ladder->known[i]);
      g_string_append_printf(text, "%s%s", i ? ", " : "", word);
      g_free(word);
    }
    g_string_append_c(text, '.');
    rc_append_wrapped(out, text->str, 0);
    g_string_free(text, TRUE);
  }
  if (*ladder->unneeded) {
    char *all = g_strjoinv(", ", ladder->unneeded);
    char *text = g_strdup_printf("Nothing here needs %s.", all);
    rc_append_wrapped(out, text, 0);
    g_free(text);
    g_free(all);
  }
}

// Adds the stand-ins from the first on, each chord once, as many as there is room for.
static void
append_lessons(GString *text, const GPtrArray *stand_ins, guint letters, RcSigns signs)
{
  GHashTable *named = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  gboolean room = TRUE;
  for (guint i = 0; i < stand_ins->len && room; ++i) {
    const RcThing *thing = g_ptr_array_index(stand_ins, i);
    char *name = rc_chord_name(&thing->chord, signs);
    char *entry = text->len ? g_strdup_printf(", %s (%u)", name, thing->tunes)
                            : g_strdup_printf("%s (for %u tune%s)", name, thing->tunes, thing->tunes == 1 ? "" : "s");
    const gboolean known = g_hash_table_contains(named, name);
    room = known || g_utf8_strlen(text->str, -1) + g_utf8_strlen(entry, -1) + 5 <= (glong)letters;
    g_string_append(text, known ? "" : room ? entry : signs == RC_SIGNS_ASCII ? ", ..." : ", …");
    g_hash_table_add(named, name);
    g_free(entry);
  }
  g_hash_table_unref(named);
}

char *
rc_lessons_text(const RcLadder *ladder, guint letters, RcSigns signs, guint *n)
{
  GPtrArray *stand_ins = rc_ladder_stand_ins(ladder);
  GString *text = g_string_new(NULL);
  append_lessons(text, stand_ins, letters, signs);
  *n = stand_ins->len;
  g_ptr_array_unref(stand_ins);
  return g_string_free(text, FALSE);
}

char *
rc_lessons_sentence(const RcLadder *ladder, guint letters, RcSigns signs)
{
  guint n;
  char *needed = rc_lessons_text(ladder, letters, signs, &n);
  char *text = n > 1   ? g_strdup_printf("Of %u stand-ins the most needed: %s.", n, needed)
               : n > 0 ? g_strdup_printf("One stand-in: %s.", needed)
                       : NULL;
  g_free(needed);
  return text;
}

static guint
count_tunes(const RcLadder *ladder)
{
  guint n = 0;
  for (guint i = 0; i < ladder->n; ++i) {
    n += ladder->rungs[i].n_tunes;
  }
  return n;
}

// How many tunes and steps, and what the order rests on.
static void
append_rules(GString *out, const RcLadder *ladder)
{
  enum { LETTERS = 150 };
  const guint tunes = count_tunes(ladder);
  char *lessons = rc_lessons_sentence(ladder, LETTERS, RC_SIGNS_ASCII);
  char *text = g_strdup_printf("%u tune%s on %s in %u step%s, %u things to learn, at most %u at once; = needs nothing "
                               "new.",
                               tunes, tunes == 1 ? "" : "s", ladder->layout->name, ladder->n, ladder->n == 1 ? "" : "s",
                               ladder->things, ladder->largest);
  rc_append_wrapped(out, text, 0);
  if (lessons) {
    rc_append_wrapped(out, lessons, 0);
  }
  rc_append_wrapped(out, rc_ladder_rule(), 0);
  rc_append_wrapped(out, rc_ladder_advice(), 0);
  g_free(lessons);
  g_free(text);
}

static void
append_table(GString *out, const RcLadder *ladder)
{
  for (guint i = 0; i < ladder->n; ++i) {
    append_rung(out, ladder, i);
  }
  if (ladder->n) {
    g_string_append_c(out, '\n');
    append_rules(out, ladder);
  } else {
    char *text =
      g_strdup_printf("None of these tunes plays on %s, so there is nothing to put in order.", ladder->layout->name);
    rc_append_wrapped(out, text, 0);
    g_free(text);
  }
  append_known(out, ladder);
  append_left_out(out, "Left out, since they do not play (`rowcall list` says why): ", ladder->unplayable,
                  ladder->n_unplayable);
  append_left_out(out, "Left out, since they have no chords: ", ladder->chordless, ladder->n_chordless);
}

// ------------------------------------------------------------------------------------------------------ CSV and JSON

static void
append_csv_row(GString *out, const RcLadder *ladder, guint order, guint number, guint nth)
{
  const RcRung *rung = &ladder->rungs[number];
  const RcTune *tune = rung->tunes[nth];
  char *key = rc_short_key(rc_tune_setting(tune, 0)->key, RC_SIGNS_ASCII);
  char *fresh = nth ? g_strdup("") : rc_rung_text(ladder, rung, RC_SIGNS_ASCII);
  char *fields[] = { g_strdup_printf("%u", order),
                     g_strdup_printf("%u", number + 1),
                     g_strdup_printf("%u", tune->line),
                     g_strdup_printf("%u", nth ? 0 : rung->kinds[RC_THING_BUTTON]),
                     g_strdup_printf("%u", nth ? 0 : rung->kinds[RC_THING_STAND_IN]),
                     g_strdup_printf("%u", nth ? 0 : rung->kinds[RC_THING_STRETCH]),
                     g_strdup_printf("%u", nth ? 0 : rung->kinds[RC_THING_MOVE]) };
  rc_append_csv(out, fields[0], fields[1], tune->file, fields[2], tune->title, ladder->layout->name, key,
                rc_tune_key_source(tune), fields[3], fields[4], fields[5], fields[6], fresh, NULL);
  for (guint i = 0; i < G_N_ELEMENTS(fields); ++i) {
    g_free(fields[i]);
  }
  g_free(fresh);
  g_free(key);
}

static void
append_csv(GString *out, const RcLadder *ladder)
{
  guint order = 0;
  rc_append_csv(out, "order", "step", "file", "line", "title", "layout", "key", "key_source", "buttons", "stand_ins",
                "stretches", "moves", "new", NULL);
  for (guint i = 0; i < ladder->n; ++i) {
    for (guint j = 0; j < ladder->rungs[i].n_tunes; ++j) {
      append_csv_row(out, ladder, ++order, i, j);
    }
  }
}

static void
add_thing(GString *json, const RcLadder *ladder, const RcThing *thing)
{
  rc_json_begin_object(json, NULL);
  switch (thing->kind) {
  case RC_THING_BUTTON:
    rc_json_button(json, "button", ladder->layout, thing->button);
    break;
  case RC_THING_STAND_IN: {
    char *name = rc_chord_name(&thing->chord, RC_SIGNS_ASCII);
    char *press = rc_grip_describe(ladder->layout, &thing->grip, RC_SIGNS_UNICODE);
    rc_json_text(json, "chord", name);
    rc_json_text(json, "press", press);
    rc_json_grip(json, ladder->layout, &thing->grip);
    g_free(press);
    g_free(name);
    break;
  }
  case RC_THING_STRETCH:
    rc_json_grip(json, ladder->layout, &thing->grip);
    rc_json_number(json, "mm", (gint64)(rc_grip_span(ladder->layout, &thing->grip) + 0.5));
    break;
  default:
    rc_json_number(json, "columns", thing->columns);
  }
  char *word = rc_thing_word(ladder->layout, thing);
  rc_json_text(json, "word", word);
  g_free(word);
  rc_json_number(json, "needed_by", thing->tunes);
  rc_json_end_object(json);
}

static void
add_things(GString *json, const char *name, const RcLadder *ladder, const RcThing *things, guint n)
{
  rc_json_begin_array(json, name);
  for (guint i = 0; i < n; ++i) {
    add_thing(json, ladder, &things[i]);
  }
  rc_json_end_array(json);
}

static void
add_places(GString *json, const char *name, const RcTune *const *tunes, guint n)
{
  rc_json_begin_array(json, name);
  for (guint i = 0; i < n; ++i) {
    rc_json_begin_object(json, NULL);
    rc_json_text(json, "title", tunes[i]->title);
    rc_json_text(json, "file", tunes[i]->file);
    rc_json_number(json, "line", tunes[i]->line);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
}

static void
append_json(GString *json, const RcLadder *ladder)
{
  rc_json_begin_object(json, NULL);
  rc_json_text(json, "layout", ladder->layout->name);
  rc_json_begin_array(json, "steps");
  for (guint i = 0; i < ladder->n; ++i) {
    const RcRung *rung = &ladder->rungs[i];
    rc_json_begin_object(json, NULL);
    add_things(json, "new", ladder, rung->things, rung->n_things);
    add_places(json, "tunes", rung->tunes, rung->n_tunes);
    rc_json_end_object(json);
  }
  rc_json_end_array(json);
  add_things(json, "known", ladder, ladder->known, ladder->n_known);
  add_places(json, "known_tunes", ladder->known_tunes, ladder->n_known_tunes);
  rc_json_begin_array(json, "unneeded");
  for (char **said = ladder->unneeded; *said; ++said) {
    rc_json_text(json, NULL, *said);
  }
  rc_json_end_array(json);
  add_places(json, "unplayable", ladder->unplayable, ladder->n_unplayable);
  add_places(json, "chordless", ladder->chordless, ladder->n_chordless);
  rc_json_end_object(json);
  g_string_append_c(json, '\n');
}

void
rc_report_ladder(GString *out, RcTextFormat format, const RcLadder *ladder)
{
  switch (format) {
  case RC_TEXT_TABLE:
    append_table(out, ladder);
    break;
  case RC_TEXT_CSV:
    append_csv(out, ladder);
    break;
  case RC_TEXT_JSON:
    append_json(out, ladder);
    break;
  }
}
