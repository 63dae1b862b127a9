// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file sound.h
/// Hearing it: the notes of an accompaniment along a route, the reeds that sound them, and files of both. Nothing is
/// played here; all answers are bytes in memory.

#ifndef ROWCALL_SOUND_H
#define ROWCALL_SOUND_H

#include "rowcall/music.h"
#include "rowcall/route.h"

RC_BEGIN_API

// ---------------------------------------------------------------------------------------------------------- pitches

/// Pitches are counted in semitones as MIDI does, 60 being middle C and 69 A at 440 Hz.
enum {
  RC_LOWEST_BASS = 28, ///< E1: an octave of basses begins with the first of its lowest note from here up
  RC_LOWEST_CHORD = 52 ///< E3: the same of chords
};

/// Returns the pitch of the bass of pitch class @p pc on @p layout. Basses span one octave only, so the lowest reeds
/// follow the highest again: Hans Palm, The bass side (accordionpage.com); German Wikipedia, Stradella-Bass. Where a
/// layout does not say with which note the octave begins it is E, from memory. A second reed sounds an octave higher.
guint rc_bass_pitch(const RcLayout *layout, guint pc);

/// Returns the pitch of the tone of pitch class @p pc in the chords of @p layout, which come from one octave too, so
/// that most sound in some inversion: Rod Stradling, Notes on the Stradella bass. From memory it begins with G.
guint rc_chord_pitch(const RcLayout *layout, guint pc);

// ------------------------------------------------------------------------------------------------------------ scores

/// Who plays a note.
typedef enum { RC_VOICE_BASS, RC_VOICE_CHORD, RC_VOICE_MELODY, RC_N_VOICES } RcVoice;

/// A note to be heard.
typedef struct {
  RcTicks start;
  RcTicks length;
  guint8 pitch; ///< see above
  guint8 voice; ///< an RcVoice
  guint8 level; ///< 1 to 127; the amplitude follows it in proportion
} RcScoreNote;

/// A tempo from some place on.
typedef struct {
  RcTicks at;
  double seconds;  ///< when that is
  double quarters; ///< quarter notes a minute
  RcMeter meter;
} RcScoreTempo;

/// What is heard in some stretch, for people.
typedef struct {
  RcTicks start;
  RcTicks length;
  char *text;      ///< owned by the score
  gboolean silent; ///< a chord is wanted there and nothing is heard of it
} RcPassage;

/// What is to be heard, in the order it is heard.
typedef struct {
  GArray *notes;    ///< of RcScoreNote, by their start
  GArray *tempi;    ///< of RcScoreTempo; the first is at 0 as soon as anything was added
  GArray *passages; ///< of RcPassage
  RcTicks length;
} RcScore;

/// Returns an empty score; free with rc_score_free().
RcScore *rc_score_new(void);

/// Frees @p score; NULL is allowed.
void rc_score_free(RcScore *score);

/// Whose sound of a route is heard.
typedef enum {
  RC_PLAY_GRIPS, ///< the grips; where none is held the left hand is silent
  RC_PLAY_WANTED ///< native grips, and for other chords the tones they ask for, each where the board's reeds have it
} RcPlay;

/// How a tune is added to a score.
typedef struct {
  RcPlay play;
  gboolean melody; ///< with the notes of the melody, where the tune has them
} RcPlaying;

/// Adds to the end of @p score what the left hand plays of @p tune along @p route, which was just planned for it by
/// @p planner: basses and chords in turn as its meter and rhythm have it, the bass alternating with that of
/// rc_second_bass(), held where the tune is slow. These patterns are common practice, from memory. The bass of a
/// stand-in is a little louder and its chord lighter, as players do. A tune that is not timed is played at its usual
/// tempo. A bar shorter than its meter at the start of a tune is taken for an upbeat. Adds a passage for each part as
/// it comes, and a silent one for each chord that nothing is heard of. After #RC_SOUND_MAX_SECONDS no more notes are
/// added.
void rc_score_add(RcScore *score, const RcPlanner *planner, const RcRoute *route, const RcTune *tune,
                  RcPlaying playing);

/// Adds a rest of @p length to the end.
void rc_score_rest(RcScore *score, RcTicks length);

/// Adds a passage; @p text is copied.
void rc_score_tell(RcScore *score, RcTicks start, RcTicks length, gboolean silent, const char *text);

/// Returns when @p at is heard, in seconds from the beginning.
double rc_score_seconds(const RcScore *score, RcTicks at);

// ------------------------------------------------------------------------------------------------------------- sound

enum {
  RC_SOUND_RATE = 44100,         ///< samples a second
  RC_SOUND_BLOCK = 1024,         ///< samples rendered at once
  RC_SOUND_MAX_SECONDS = 30 * 60 ///< the limit of a file
};

/// A score being rendered.
typedef struct RcRender RcRender;

/// Starts rendering @p score, which must outlive it. Reeds are made of the 12 harmonics of rc_spectral_similarity(), of
/// weight i^-0.75, as far as the rate carries them; a bass has two reeds an octave apart, and so has a chord's tone.
/// They are tuned to equal temperament at A 440 but for at most a cent and a half. Notes begin and end softly, within
/// their length. However many sound, a score of rc_score_add() stays under full scale. Free with rc_render_free().
RcRender *rc_render_new(const RcScore *score);

/// Frees @p render; NULL is allowed.
void rc_render_free(RcRender *render);

/// Renders the next samples, at most #RC_SOUND_BLOCK, full scale being 1, and returns their number; 0 at the end. There
/// is one channel. In all there are as many as the length of the score at its tempi has, rounded.
guint rc_render_next(RcRender *render, float samples[RC_SOUND_BLOCK]);

/// The kinds of files.
typedef enum {
  RC_SOUND_WAV,  ///< 16 bits, one channel
  RC_SOUND_FLAC, ///< the same, compressed without loss
  RC_SOUND_MIDI  ///< a Standard MIDI File, format 1: a track of tempi and one for each voice
} RcSoundFile;

/// Returns the kind of file that the ending of @p path names; FALSE when it names none.
gboolean rc_sound_file_kind(const char *path, RcSoundFile *kind);

/// Returns whether this library writes @p kind: MIDI always, the others unless it was built without sound, or with a
/// libsndfile that has no FLAC.
gboolean rc_sound_file_can(RcSoundFile kind);

/// Returns @p score as a file. The same score gives the same bytes: no dates are written. Sets @p error
/// (#RC_ERROR_LIMIT) where it is longer than #RC_SOUND_MAX_SECONDS, or (#RC_ERROR_IO) where encoding fails. A bass is
/// one note of a MIDI file, without its octave.
GBytes *rc_sound_file(const RcScore *score, RcSoundFile kind, GError **error);

RC_END_API

#endif
