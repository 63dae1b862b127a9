// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "cli/cli.h"

#include <string.h>

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
  RcHearing hearing;
  RcListening *listening;
  guint added; // tunes
} ListenJob;

// ------------------------------------------------------------------------------------------------------ chord symbols

// Prints and frees what is wrong with the option --NAME.
static gboolean
complain_of(const char *name, const char *text, GError *error)
{
  cli_complain("--%s %s: %s", name, text, error->message);
  g_error_free(error);
  return FALSE;
}

static gboolean
add_symbols(ListenJob *job, const ListenOptions *own)
{
  GError *error = NULL;
  if (own->meter && !rc_listening_set_meter(job->listening, own->meter, &error)) {
    return complain_of("meter", own->meter, error);
  }
  if (own->tempo && !rc_listening_set_tempo(job->listening, own->tempo, &error)) {
    return complain_of("tempo", own->tempo, error);
  }
  for (char **text = job->options->arguments; *text; ++text) {
    if (!rc_listening_add_chord(job->listening, *text, job->options->settings.corpus.names)) {
      cli_complain("`%s` is neither a file nor a chord symbol", *text);
      return FALSE;
    }
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------------- tunes

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

static void
take_tune(const RcTune *tune, gpointer data)
{
  ListenJob *job = data;
  GError *error = NULL;
  if (tune->unmeasured) {
    cli_complain("%s:%u: note: %s has chords without lengths, which are not heard", tune->file, tune->line,
                 tune->title);
  }
  if (rc_listening_add_tune(job->listening, &job->hearing, tune, &error)) {
    ++job->added;
  } else {
    cli_complain_error(error);
  }
}

// ------------------------------------------------------------------------------------------------------------ writing

static gboolean
write_answer(const ListenJob *job, RcSoundFile kind)
{
  GError *error = NULL;
  const RcScore *score = rc_listening_score(job->listening);
  if (score->length <= 0) {
    cli_complain("there is nothing to hear");
    return FALSE;
  }
  GBytes *bytes = rc_sound_file(score, kind, &error);
  if (!cli_write_bytes(job->options->output, bytes, error)) {
    return FALSE;
  }
  GString *text = g_string_new(NULL);
  rc_report_listening(text, job->listening);
  const gboolean good = cli_write_text(NULL, text);
  g_string_free(text, TRUE);
  return good;
}

static int
listen_to_tunes(ListenJob *job, RcSoundFile kind)
{
  RcIntake intake;
  if (!cli_read(job->options, take_tune, job, &intake) || !job->added || !write_answer(job, kind)) {
    return CLI_NOTHING;
  }
  return cli_reading_status(&intake);
}

static int
hear(const CliOptions *options, const ListenOptions *own, gboolean tunes, RcSoundFile kind)
{
  RcBoards *boards = cli_board_on(options);
  if (!boards) {
    return CLI_NOTHING;
  }
  ListenJob job = { options, { .wanted = own->wanted, .melody = own->melody, .part = own->part }, NULL, 0 };
  if (own->bars) {
    read_bars(own->bars, &job.hearing.first_bar, &job.hearing.last_bar);
  }
  job.listening = rc_listening_new(boards, 0);
  const int status = tunes                                                ? listen_to_tunes(&job, kind)
                     : add_symbols(&job, own) && write_answer(&job, kind) ? CLI_DONE
                                                                          : CLI_NOTHING;
  rc_listening_free(job.listening);
  rc_boards_free(boards);
  return status;
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
  if (own->wanted || own->melody || own->part || own->bars || options->title || options->line || options->move) {
    cli_complain("--wanted, --with-melody, --part, --bars, --title, --line and --move are for tunes");
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
  if (!options->arguments) {
    cli_complain("name a chord or tunes, such as `rowcall listen Bm --on 48-8x6 -o bm.wav`");
    return CLI_NOTHING;
  }
  if (!options->output || !rc_sound_file_kind(options->output, &kind)) {
    cli_complain("name the file to write with -o; its ending is %s",
                 rc_sound_file_can(RC_SOUND_WAV) ? ".wav, .flac or .mid" : ".mid");
    return CLI_NOTHING;
  }
  const guint files = count_files(options->arguments);
  options->settings.corpus.melody_notes = own->melody;
  if (files ? !check_tune_options(options, own, files) || (own->tempo && !cli_set(options, "tempo", own->tempo))
            : !check_chord_options(options, own)) {
    return CLI_NOTHING;
  }
  return hear(options, own, files > 0, kind);
}

static int
run(int argc, char **argv)
{
  CliOptions options = cli_options();
  ListenOptions own = { 0 };
  const GOptionEntry entries[] = {
    { "meter", 0, 0, G_OPTION_ARG_STRING, &own.meter, "Of chord symbols: 4/4 (default), 3/4, 6/8 ...", "METER" },
    { "tempo", 0, 0, G_OPTION_ARG_STRING, &own.tempo, "All: 112 beats, 1/4=112, 80%; `none`: stated only", "N" },
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
  "both again. Your ears decide.\n\n"
  "Example: will the stand-in for B minor pass in this waltz?\n"
  "  rowcall listen Bm --on 48-8x6 --meter 3/4 --tempo 96 -o bm.wav",
  run,
};
