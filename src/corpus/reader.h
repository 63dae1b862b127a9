// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The readers, one a format: each yields the tunes of the text that is open in a source.

#ifndef ROWCALL_SRC_CORPUS_READER_H
#define ROWCALL_SRC_CORPUS_READER_H

#include "rowcall/corpus.h"
#include "corpus/source.h"

/// Adds to the message of @p error which tune is left out for it; @p title may be NULL or empty.
void rc_reader_left_out(GError **error, const char *title);

/// Returns what comes behind the last tune: the end, or, once, the failure of @p source, said of @p place. @p told is
/// whether that was said.
RcReadResult rc_reader_end(const RcSource *source, RcPlace place, gboolean *told, GError **error);

typedef struct RcYamlReader RcYamlReader;

RcYamlReader *rc_yaml_reader_new(RcSource *source, RcCorpusOptions options);
void rc_yaml_reader_free(RcYamlReader *reader);

/// As rc_corpus_next(), for this text.
RcReadResult rc_yaml_reader_next(RcYamlReader *reader, RcTune *tune, GError **error);

typedef struct RcAbcReader RcAbcReader;

RcAbcReader *rc_abc_reader_new(RcSource *source, RcCorpusOptions options);
void rc_abc_reader_free(RcAbcReader *reader);

/// As rc_corpus_next(), for this text.
RcReadResult rc_abc_reader_next(RcAbcReader *reader, RcTune *tune, GError **error);

typedef struct RcMusicxmlReader RcMusicxmlReader;

RcMusicxmlReader *rc_musicxml_reader_new(RcSource *source, RcCorpusOptions options);
void rc_musicxml_reader_free(RcMusicxmlReader *reader);

/// As rc_corpus_next(), for this text.
RcReadResult rc_musicxml_reader_next(RcMusicxmlReader *reader, RcTune *tune, GError **error);

typedef struct RcChordproReader RcChordproReader;

RcChordproReader *rc_chordpro_reader_new(RcSource *source, RcCorpusOptions options);
void rc_chordpro_reader_free(RcChordproReader *reader);

/// As rc_corpus_next(), for this text.
RcReadResult rc_chordpro_reader_next(RcChordproReader *reader, RcTune *tune, GError **error);

#endif
