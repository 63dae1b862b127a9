// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/not_text.h"

#include "corpus/format.h"

#include <string.h>

static const char utf_16[] = "text in UTF-16; save the file as UTF-8";
static const char document[] = "a document of an office program; save it as plain text, in UTF-8";
static const char paper[] = "a PDF; export the tune as MusicXML or ABC, or type its chords";
static const char picture[] = "a picture; type the chords into a text file";
static const char sound[] = "sound; type the chords into a text file";
static const char midi[] = "MIDI, which names no chords; export the tune as MusicXML or ABC, or type its chords";

typedef struct {
  gsize at;
  const char *bytes;
  gsize n;
  const char *is;
} Sign;

// As the standards of these formats say: RFC 8118 for PDF, RFC 2083 for PNG, RFC 3533 for Ogg, RFC 9639 for FLAC, those
// of the MIDI Association and of Unicode; the others from memory. A song may begin with the word RIFF, as WAVE does.
static const Sign signs[] = {
  { 0, "\xFF\xFE", 2, utf_16 },      { 0, "\xFE\xFF", 2, utf_16 },
  { 0, "{\\rtf", 5, document },      { 0, "\xD0\xCF\x11\xE0", 4, document },
  { 0, "%PDF-", 5, paper },          { 0, "\x89PNG", 4, picture },
  { 0, "\xFF\xD8\xFF", 3, picture }, { 0, "GIF87a", 6, picture },
  { 0, "GIF89a", 6, picture },       { 8, "WAVEfmt ", 8, sound },
  { 0, "OggS\0", 5, sound },         { 0, "fLaC", 4, sound },
  { 0, "ID3\2", 4, sound },          { 0, "ID3\3", 4, sound },
  { 0, "ID3\4", 4, sound },          { 0, "MThd\0", 5, midi },
};

const char *
rc_not_text(const char *head, gsize length)
{
  for (guint i = 0; i < G_N_ELEMENTS(signs); ++i) {
    const Sign *sign = &signs[i];
    if (length >= sign->at + sign->n && !memcmp(head + sign->at, sign->bytes, sign->n)) {
      return sign->is;
    }
  }
  return NULL;
}

const char *
rc_not_text_by_name(const char *name)
{
  static const char *const endings[] = { ".doc", ".docx", ".odt", ".pages" };
  for (guint i = 0; i < G_N_ELEMENTS(endings); ++i) {
    if (rc_name_ends_in(name, endings[i])) {
      return document;
    }
  }
  return NULL;
}
