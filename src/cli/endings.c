// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What the ending of the output's name says, in any case of its letters.

#include "cli/cli.h"

#include <string.h>

typedef struct {
  const char *text;
  CliTakes takes; // what a command takes that can write such a file
  int value;      // an RcTextFormat, RcPicture or RcSoundFile
} Ending;

static const Ending endings[] = {
  { ".txt", CLI_FORMAT, RC_TEXT_TABLE },   { ".csv", CLI_FORMAT, RC_TEXT_CSV },
  { ".json", CLI_FORMAT, RC_TEXT_JSON },   { ".pdf", CLI_PICTURE, RC_PICTURE_PDF },
  { ".svg", CLI_PICTURE, RC_PICTURE_SVG }, { ".png", CLI_PICTURE, RC_PICTURE_PNG },
  { ".wav", CLI_SOUND, RC_SOUND_WAV },     { ".flac", CLI_SOUND, RC_SOUND_FLAC },
  { ".mid", CLI_SOUND, RC_SOUND_MIDI },    { ".html", CLI_PAGE, 0 },
};

// The ending of the name of @p path, its dot first; NULL where it has none.
static const char *
ending_of(const char *path)
{
  const char *slash = path ? strrchr(path, '/') : NULL;
  const char *name = slash ? slash + 1 : path;
  const char *dot = name ? strrchr(name, '.') : NULL;
  return dot && dot > name ? dot : NULL;
}

static const Ending *
find_ending(const char *path)
{
  const char *text = ending_of(path);
  for (guint i = 0; text && i < G_N_ELEMENTS(endings); ++i) {
    if (!g_ascii_strcasecmp(text, endings[i].text)) {
      return &endings[i];
    }
  }
  return NULL;
}

gboolean
cli_picture(const char *path, RcPicture *picture)
{
  const Ending *ending = find_ending(path);
  const gboolean found = ending && ending->takes == CLI_PICTURE;
  if (found) {
    *picture = (RcPicture)ending->value;
  }
  return found;
}

RcTextFormat
cli_format_of(const char *path)
{
  const Ending *ending = find_ending(path);
  return ending && ending->takes == CLI_FORMAT ? (RcTextFormat)ending->value : RC_TEXT_TABLE;
}

static gboolean
complain_of_ending(const CliOptions *options, CliTakes takes)
{
  GString *list = g_string_new(NULL);
  for (guint i = 0; i < G_N_ELEMENTS(endings); ++i) {
    if (takes & endings[i].takes) {
      g_string_append_printf(list, "%s%s", list->len ? ", " : "", endings[i].text);
    }
  }
  cli_complain("%s: this command writes no %s; its files end in one of %s", options->output, ending_of(options->output),
               list->str);
  g_string_free(list, TRUE);
  return FALSE;
}

static gboolean
complain_of_format(const CliOptions *options)
{
  cli_complain("--format %s: %s ends as another kind of file; leave one of them out", options->format, options->output);
  return FALSE;
}

// Whether this build writes such a file; prints that it does not.
static gboolean
is_built_in(const Ending *ending, const char *path)
{
  if (ending->takes == CLI_PICTURE && !rc_draws_pictures()) {
    cli_complain("%s: this build draws no pictures", path);
    return FALSE;
  }
  if (ending->takes == CLI_SOUND && !rc_sound_file_can((RcSoundFile)ending->value)) {
    const gboolean wav = rc_sound_file_can(RC_SOUND_WAV);
    cli_complain("%s: this build writes no sound but %s", path,
                 wav ? "WAV and MIDI; name a .wav" : "MIDI; name a .mid");
    return FALSE;
  }
  return TRUE;
}

gboolean
cli_ending_fits(const CliOptions *options, CliTakes takes)
{
  static const char plain[] = ".txt"; // any text
  const Ending *ending = find_ending(options->output);
  if (!ending_of(options->output)) {
    return TRUE;
  }
  if (!ending || !(takes & ending->takes)) {
    return complain_of_ending(options, takes);
  }
  if (!is_built_in(ending, options->output)) {
    return FALSE;
  }
  return !options->format || !strcmp(ending->text, plain) || !g_ascii_strcasecmp(ending->text + 1, options->format) ||
         complain_of_format(options);
}
