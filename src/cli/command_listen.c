// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

static const char full_board[] = "120";

typedef struct {
  char *meter;
  char *tempo; // may count beats where there is one meter: of chord symbols
  char *part;
  char *bars;
  gboolean wanted;
  gboolean melody;
} ListenOptions;

typedef struct {
  const CliOptions *options;
  const ListenOptions *own;
  CliRouting on;
  CliRouting full; // what is wanted is heard as it has it
  RcScore *score;
  guint added;
} Listening;

// ------------------------------------------------------------------------------------------------------ chord symbols

static void
add_chord(Listening *l, const CliRouting *routing, const RcTune *tune, RcPlay play)
{
  const RcTicks from = l->score->length;
  rc_route_plan(routing->route, tune);
  const guint told = l->score->passages->len;
  rc_score_add(l->score, routing->planner, routing->route, tune, (RcPlaying){ play, FALSE });
  if (l->score->passages->len == told) { // else it is silent, and that was told
    char *heard = rc_report_heard(routing->layout, tune, routing->route, play);
    rc_score_tell(l->score, from, l->score->length - from, FALSE, heard);
    g_free(heard);
  }
}

// What is wanted, the stand-in, and both again, with a beat between.
static void
add_comparison(Listening *l, const RcTune *tune)
{
  enum { TIMES = 2 };
  const RcTicks beat = rc_meter_beat(rc_tune_setting(tune, 0)->meter);
  for (guint i = 0; i < TIMES; ++i) {
    rc_score_rest(l->score, l->score->length ? beat : 0);
    add_chord(l, &l->full, tune, RC_PLAY_WANTED);
    rc_score_rest(l->score, beat);
    add_chord(l, &l->on, tune, RC_PLAY_GRIPS);
  }
}

static gboolean
read_time(const char *meter_text, const char *tempo_text, RcMeter *meter, RcTempo *tempo)
{
  *meter = (RcMeter){ 4, 4 };
  if (meter_text && !rc_meter_parse(meter_text, meter)) {
    cli_complain("--meter %s: expected a meter such as 3/4 or 6/8", meter_text);
    return FALSE;
  }
  *tempo = rc_tempo_assume(NULL, *meter);
  if (tempo_text && !rc_tempo_parse(tempo_text, *meter, tempo)) {
    cli_complain("--tempo %s: expected beats a minute, such as 96, or a note value and a number, such as 1/4=96",
                 tempo_text);
    return FALSE;
  }
  return TRUE;
}

// As many whole bars as fit into a few seconds.
static guint
bars_to_hear(RcMeter meter, RcTempo tempo)
{
  static const double seconds = 2.5;
  const double bar = (double)rc_meter_bar(meter) / (double)RC_QUARTER * 60 / tempo.quarters;
  return bar < seconds ? (guint)(seconds / bar) : 1;
}

static gboolean
add_symbols(Listening *l)
{
  RcMeter meter;
  RcTempo tempo;
  gboolean good = read_time(l->own->meter, l->own->tempo, &meter, &tempo);
  for (char **text = l->options->arguments; good && *text; ++text) {
    RcTune *tune =
      rc_tune_new_symbol(*text, l->options->settings.corpus.names, meter, tempo, bars_to_hear(meter, tempo));
    good = g_array_index(tune->symbols, RcSymbol, 0).kind == RC_SYMBOL_CHORD;
    if (good) {
      add_comparison(l, tune);
    } else {
      cli_complain("`%s` is neither a file nor a chord symbol", *text);
    }
    rc_tune_free(tune);
  }
  return good;
}

// -------------------------------------------------------------------------------------------------------------- tunes

static gboolean
find_part(const RcTune *tune, const char *label, guint *first, guint *count)
{
  for (guint i = 0; i < tune->parts->len; ++i) {
    const RcPart *part = &g_array_index(tune->parts, RcPart, i);
    if (!g_ascii_strcasecmp(part->label, label)) {
      *first = part->first;
      *count = part->count;
      return TRUE;
    }
  }
  return FALSE;
}

// "5-8" or "5", counted from 1.
static gboolean
read_bars(const char *text, guint *first, guint *last)
{
  char *end = NULL;
  if (!g_ascii_isdigit(*text)) {
    return FALSE;
  }
  const guint64 from = g_ascii_strtoull(text, &end, 10);
  guint64 to = from;
  if (*end == '-' && g_ascii_isdigit(end[1])) {
    to = g_ascii_strtoull(end + 1, &end, 10);
  }
  *first = (guint)MIN(from, RC_MAX_BARS);
  *last = (guint)MIN(to, RC_MAX_BARS);
  return !*end && from && from <= to && to <= RC_MAX_BARS;
}

// The bars asked for; FALSE where the tune has none of them, having said so.
static gboolean
find_stretch(const ListenOptions *own, const RcTune *tune, guint *first, guint *count)
{
  guint from = 1;
  guint to = RC_MAX_BARS;
  *first = 0;
  *count = tune->bars->len;
  if (own->part && !find_part(tune, own->part, first, count)) {
    cli_complain("%s:%u: %s has no part %s", tune->file, tune->line, tune->title, own->part);
    return FALSE;
  }
  if (own->bars) {
    read_bars(own->bars, &from, &to);
  }
  if (from > *count) {
    cli_complain("%s:%u: %s has no bar %u%s", tune->file, tune->line, tune->title, from, own->part ? " there" : "");
    return FALSE;
  }
  *first += from - 1;
  *count = MIN(to, *count) - (from - 1);
  return TRUE;
}

static void
tell_tune(Listening *l, const CliRouting *routing, const RcTune *tune)
{
  const RcTempo tempo = rc_roll_tempo(&rc_planner_settings(routing->planner)->roll, tune, 0);
  GString *text = g_string_new(tune->title);
  g_string_append_printf(text, ", %s%s", l->own->wanted ? "as wanted" : "on ",
                         l->own->wanted ? "" : routing->layout->name);
  if (tempo.quarters > 0) {
    g_string_append_printf(text, ", %d quarter notes a minute", (int)(tempo.quarters + 0.5));
  }
  if (l->own->melody && !tune->notes->len) {
    g_string_append(text, " (its melody is not in the file)");
  }
  if (!l->own->wanted && rc_layout_has_bellows(routing->layout)) {
    g_string_append(text, "; the bellows are planned for the left hand alone");
  }
  rc_score_tell(l->score, l->score->length, 0, FALSE, text->str);
  g_string_free(text, TRUE);
}

static void
add_tune(Listening *l, const RcTune *tune)
{
  const CliRouting *routing = l->own->wanted ? &l->full : &l->on;
  const RcPlaying playing = { l->own->wanted ? RC_PLAY_WANTED : RC_PLAY_GRIPS, l->own->melody };
  rc_score_rest(l->score, l->score->length ? 2 * rc_meter_beat(rc_tune_setting(tune, 0)->meter) : 0);
  const guint told = l->score->passages->len;
  tell_tune(l, routing, tune);
  rc_route_plan(routing->route, tune);
  rc_score_add(l->score, routing->planner, routing->route, tune, playing);
  RcPassage *whole = &g_array_index(l->score->passages, RcPassage, told);
  whole->length = l->score->length - whole->start;
  rc_report_bellows(l->score, whole->start, tune, routing->route);
  ++l->added;
}

static void
take_tune(const RcTune *tune, gpointer data)
{
  Listening *l = data;
  guint first = 0;
  guint count = 0;
  if (rc_score_seconds(l->score, l->score->length) > RC_SOUND_MAX_SECONDS) {
    return; // there is too much already
  }
  if (tune->unmeasured) {
    cli_complain("%s:%u: note: %s has chords without lengths, which are not heard", tune->file, tune->line,
                 tune->title);
  }
  if (!l->own->part && !l->own->bars) {
    add_tune(l, tune);
  } else if (find_stretch(l->own, tune, &first, &count)) {
    RcTune *stretch = rc_tune_stretch(tune, first, count);
    add_tune(l, stretch);
    rc_tune_free(stretch);
  }
}

// ------------------------------------------------------------------------------------------------------------ writing

static gboolean
write_answer(const Listening *l, RcSoundFile kind)
{
  GError *error = NULL;
  if (l->score->length <= 0) {
    cli_complain("there is nothing to hear");
    return FALSE;
  }
  GBytes *bytes = rc_sound_file(l->score, kind, &error);
  if (!cli_write_bytes(l->options->output, bytes, error)) {
    return FALSE;
  }
  GString *text = g_string_new(NULL);
  rc_report_score(text, l->score);
  g_string_append(text, "\nThe accompaniment is a sketch; your ears decide.\n");
  const gboolean good = cli_write_text(NULL, text);
  g_string_free(text, TRUE);
  return good;
}

static gboolean
start(Listening *l)
{
  CliOptions full = *l->options;
  const RcRouteSettings usual = rc_route_settings();
  full.on = (char *)full_board;
  full.without = NULL;
  full.settings.route.prefer = usual.prefer; // whatever the player's hand, the real chord is meant
  full.settings.route.hand = usual.hand;
  l->score = rc_score_new();
  return cli_routing_start(&l->on, l->options) && cli_routing_start(&l->full, &full);
}

static void
stop(Listening *l)
{
  cli_routing_clear(&l->on);
  cli_routing_clear(&l->full);
  rc_score_free(l->score);
}

static int
listen_to_tunes(Listening *l, RcSoundFile kind)
{
  RcIntake intake;
  if (!start(l) || !cli_read(l->options, take_tune, l, &intake) || !l->added || !write_answer(l, kind)) {
    return CLI_NOTHING;
  }
  return cli_reading_status(&intake);
}

static int
listen_to_symbols(Listening *l, RcSoundFile kind)
{
  return start(l) && add_symbols(l) && write_answer(l, kind) ? CLI_DONE : CLI_NOTHING;
}

// ----------------------------------------------------------------------------------------------------------- options

static gboolean
is_file(const char *argument)
{
  return !strcmp(argument, "-") || g_file_test(argument, G_FILE_TEST_EXISTS);
}

static guint
count_files(char *const *arguments)
{
  guint n = 0;
  for (; *arguments; ++arguments) {
    n += is_file(*arguments) ? 1 : 0;
  }
  return n;
}

static gboolean
check_chord_options(const CliOptions *options, const ListenOptions *own)
{
  if (own->wanted || own->melody || own->part || own->bars || options->title) {
    cli_complain("--wanted, --with-melody, --part, --bars and --title are for tunes");
    return FALSE;
  }
  return TRUE;
}

static gboolean
check_tune_options(const CliOptions *options, const ListenOptions *own, guint files)
{
  guint first = 0;
  guint last = 0;
  if (files < g_strv_length(options->arguments)) {
    cli_complain("give either files or chord symbols; what exists as a file or folder is one");
  } else if (own->meter) {
    cli_complain("--meter is for chord symbols; tunes have their own");
  } else if (own->bars && !read_bars(own->bars, &first, &last)) {
    cli_complain("--bars %s: expected bars counted from 1, such as 5-8", own->bars);
  } else {
    return TRUE;
  }
  return FALSE;
}

static int
listen(CliOptions *options, const ListenOptions *own)
{
  RcSoundFile kind = RC_SOUND_WAV;
  Listening l = { .options = options, .own = own };
  int status = CLI_NOTHING;
  if (!options->arguments) {
    cli_complain("name a chord or tunes, such as `rowcall listen Bm --on 48-8x6 -o bm.wav`");
  } else if (!options->output || !rc_sound_file_kind(options->output, &kind)) {
    cli_complain("name the file to write with -o; its ending is .wav, .flac or .mid");
  } else {
    const guint files = count_files(options->arguments);
    options->settings.corpus.melody_notes = own->melody;
    if (files && check_tune_options(options, own, files) && (!own->tempo || cli_set(options, "tempo", own->tempo))) {
      status = listen_to_tunes(&l, kind);
    } else if (!files && check_chord_options(options, own)) {
      status = listen_to_symbols(&l, kind);
    }
  }
  stop(&l);
  return status;
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  ListenOptions own = { 0 };
  const GOptionEntry entries[] = {
    { "meter", 0, 0, G_OPTION_ARG_STRING, &own.meter, "Of chord symbols: 4/4 (default), 3/4, 6/8 ...", "METER" },
    { "tempo", 0, 0, G_OPTION_ARG_STRING, &own.tempo, "One for all, or `none` to time only stated ones", "1/4=N" },
    { "wanted", 0, 0, G_OPTION_ARG_NONE, &own.wanted, "As the tune wants it, on a full board", NULL },
    { "with-melody", 0, 0, G_OPTION_ARG_NONE, &own.melody, "With the tune, where the file has it", NULL },
    { "part", 0, 0, G_OPTION_ARG_STRING, &own.part, "Only this part, once", "LABEL" },
    { "bars", 0, 0, G_OPTION_ARG_STRING, &own.bars, "Only these bars as written, of the part or the tune", "N-N" },
    { 0 },
  };
  int status = CLI_DONE;
  if (cli_parse(&cli_listen, CLI_HAND | CLI_REPERTOIRE | CLI_SOUND | CLI_OUTPUT | CLI_ON | CLI_ROUTE | CLI_TITLE,
                &options, entries, argc, argv, &status)) {
    status = listen(&options, &own);
  }
  cli_options_clear(&options);
  g_free(own.meter);
  g_free(own.tempo);
  g_free(own.part);
  g_free(own.bars);
  return status;
}

const CliCommand cli_listen = {
  "listen",
  "SYMBOL...|TUNES... --on LAYOUT -o FILE",
  "Hear the real chord and its stand-in, or a whole accompaniment",
  "What exists as a file or folder is read as tunes, all else is a chord symbol.\n"
  "A chord is heard as a full-size board plays it, then as this one does, then\n"
  "both again. FILE ends in .wav, .flac or .mid. With chord symbols --tempo may\n"
  "count beats (96). Your ears decide.\n\n"
  "Example: will the stand-in for B minor pass in this waltz?\n"
  "  rowcall listen Bm --on 48-8x6 --meter 3/4 --tempo 96 -o bm.wav",
  run,
};
