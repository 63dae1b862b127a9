// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The notes of a MusicXML part.

#include "corpus/musicxml/values.h"

static void
read_pitch(const MxNode *pitch, MxNote *note)
{
  note->step = mx_child_whole(pitch, MX_STEP, G_MININT);
  note->alter = mx_child_whole(pitch, MX_ALTER, 0);
  note->octave = mx_child_whole(pitch, MX_OCTAVE, 0);
}

MxNote
mx_read_note(const MxNode *node)
{
  MxNote note = { .step = G_MININT, .staff = 1 };
  for (MX_EACH(child, node)) {
    if (child->name == MX_PITCH) {
      read_pitch(child, &note);
    } else if (child->name == MX_DURATION) {
      note.timed = TRUE;
      note.duration = child->value;
    } else if (child->name == MX_STAFF) {
      note.staff = mx_read_count(child->text, 1);
    } else if (child->name == MX_CHORD) {
      note.chord = TRUE;
    } else if (child->name == MX_GRACE) {
      note.grace = TRUE;
    } else if (child->name == MX_CUE) {
      note.cue = TRUE;
    }
  }
  return note;
}

guint8
mx_note_pitch(const MxNote *note, const MxTransposition *transposition)
{
  const int letter = (int)rc_note_pc((RcNote)note->step);
  const int octave = note->octave + 1 + transposition->octaves;
  return (guint8)CLAMP(12 * octave + letter + note->alter + transposition->semitones, 0, 127);
}

RcPcSet
mx_note_tone(const MxNote *note, const MxTransposition *transposition)
{
  const RcNote written = rc_note_up((RcNote)note->step, 7 * note->alter);
  return rc_pcs_transpose((RcPcSet)(1U << rc_note_pc(written)), transposition->semitones);
}
