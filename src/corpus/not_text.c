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
  const char *bytes;
  gsize n;
  const char *is;
} Beginning;

// As the standards of these formats say: RFC 8118 for PDF, RFC 2083 for PNG, RFC 3533 for Ogg, RFC 9639 for FLAC, those
// of the MIDI Association and of Unicode; the others from memory.
static const Beginning beginnings[] = {
  { "\xFF\xFE", 2, utf_16 },
  { "\xFE\xFF", 2, utf_16 },
  { "{\\rtf", 5, document },
  { "\xD0\xCF\x11\xE0", 4, document },
  { "%PDF-", 5, paper },
  { "\x89PNG", 4, picture },
  { "\xFF\xD8\xFF", 3, picture },
  { "GIF8", 4, picture },
  { "RIFF", 4, sound },
  { "OggS", 4, sound },
  { "fLaC", 4, sound },
  { "ID3", 3, sound },
  { "MThd", 4, midi },
};

const char *
rc_not_text(const char *head, gsize length)
{
  for (guint i = 0; i < G_N_ELEMENTS(beginnings); ++i) {
    if (length >= beginnings[i].n && !memcmp(head, beginnings[i].bytes, beginnings[i].n)) {
      return beginnings[i].is;
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
