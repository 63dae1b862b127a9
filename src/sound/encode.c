// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Encoding in memory, through the virtual files of libsndfile.

#include "sound/encode.h"

#include "rowcall/error.h"

#include <math.h>
#include <sndfile.h>
#include <stdio.h>
#include <string.h>

// ------------------------------------------------------------------------------------------------------ virtual files

typedef struct {
  GByteArray *bytes;
  sf_count_t at;
} Memory;

static sf_count_t
get_length(void *data)
{
  return ((const Memory *)data)->bytes->len;
}

static sf_count_t
seek(sf_count_t offset, int whence, void *data)
{
  Memory *memory = data;
  const sf_count_t from = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? memory->at : get_length(data);
  memory->at = MAX(from + offset, 0);
  return memory->at;
}

static sf_count_t
write_bytes(const void *from, sf_count_t n, void *data)
{
  Memory *memory = data;
  const sf_count_t end = memory->at + n;
  if (end > get_length(data)) {
    const guint length = memory->bytes->len;
    g_byte_array_set_size(memory->bytes, (guint)end);
    memset(memory->bytes->data + length, 0, (gsize)end - length);
  }
  if (n) {
    memcpy(memory->bytes->data + memory->at, from, (gsize)n);
  }
  memory->at = end;
  return n;
}

static sf_count_t
tell(void *data)
{
  return ((const Memory *)data)->at;
}

static SF_VIRTUAL_IO virtual_file = { get_length, seek, NULL, write_bytes, tell }; // written only

// ---------------------------------------------------------------------------------------------------------- encoding

static gboolean
write_samples(SNDFILE *file, const RcScore *score)
{
  enum { FULL = 32767 };
  float samples[RC_SOUND_BLOCK];
  short rounded[RC_SOUND_BLOCK];
  RcRender *render = rc_render_new(score);
  gboolean good = TRUE;
  for (guint n; good && (n = rc_render_next(render, samples));) {
    for (guint i = 0; i < n; ++i) {
      rounded[i] = (short)lrintf(CLAMP(samples[i], -1.0F, 1.0F) * FULL);
    }
    good = sf_write_short(file, rounded, n) == n;
  }
  rc_render_free(render);
  return good;
}

static int
format_of(RcSoundFile kind)
{
  return kind == RC_SOUND_FLAC ? SF_FORMAT_FLAC : SF_FORMAT_WAV;
}

gboolean
rc_can_encode(RcSoundFile kind)
{
  int n = 0;
  gboolean found = FALSE;
  sf_command(NULL, SFC_GET_FORMAT_MAJOR_COUNT, &n, sizeof n);
  for (int i = 0; i < n && !found; ++i) {
    SF_FORMAT_INFO info = { .format = i };
    found = !sf_command(NULL, SFC_GET_FORMAT_MAJOR, &info, sizeof info) && info.format == format_of(kind);
  }
  return found;
}

GBytes *
rc_encode(const RcScore *score, RcSoundFile kind, GError **error)
{
  Memory memory = { g_byte_array_new(), 0 };
  SF_INFO info = { .samplerate = RC_SOUND_RATE, .channels = 1, .format = format_of(kind) | SF_FORMAT_PCM_16 };
  SNDFILE *file = sf_open_virtual(&virtual_file, SFM_WRITE, &info, &memory);
  const gboolean written = file && write_samples(file, score);
  const gboolean closed = file && !sf_close(file);
  if (!written || !closed) {
    rc_fail(error, RC_ERROR_IO, (RcPlace){ 0 }, "the sound could not be encoded: %s", sf_strerror(NULL));
    g_byte_array_unref(memory.bytes);
    return NULL;
  }
  return g_byte_array_free_to_bytes(memory.bytes);
}
