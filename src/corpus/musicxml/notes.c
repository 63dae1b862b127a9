// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Notes, rests and the way back and forth between voices.

#include "corpus/musicxml/body.h"

static void
start_note(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->note = (MxNote){ .step = G_MININT, .staff = 1 };
}

static void
start_chord(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->note.chord = TRUE;
}

static void
start_grace(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->note.grace = TRUE;
}

static void
start_cue(RcMusicxmlReader *r, const char **attributes)
{
  (void)attributes;
  r->note.cue = TRUE;
}

static void
end_step(RcMusicxmlReader *r)
{
  r->note.step = mx_step(r->text);
  if (r->note.step == G_MININT) {
    mx_fail_found(r, "a step from A to G");
  }
}

static void
end_alter(RcMusicxmlReader *r)
{
  mx_read_whole(r, -3, 3, &r->note.alter);
}

static void
end_octave(RcMusicxmlReader *r)
{
  mx_read_whole(r, 0, 9, &r->note.octave);
}

static void
end_staff(RcMusicxmlReader *r)
{
  r->note.staff = mx_read_count(r->text, 1);
}

// A duration of a note, a backup or a forward. That of a note must be above 0.
static void
end_duration(RcMusicxmlReader *r)
{
  if (!mx_read_number(r->text, &r->duration) || r->duration < 0 ||
      r->duration > (double)MX_LONGEST_BAR * MX_MAX_DIVISIONS) {
    mx_fail_found(r, "a duration, a number above 0");
  } else if (mx_part(r)->divisions <= 0) {
    mx_fail(r, RC_ERROR_SYNTAX,
            "a duration, but no `divisions` before it say what it counts; write them into the "
            "attributes of the part's first measure");
  }
  r->has_duration = TRUE;
}

// How high a note sounds, in semitones from middle C's 60.
static guint8
pitch_of(const MxPart *part, const MxNote *note)
{
  const int letter = (int)rc_note_pc((RcNote)note->step);
  const int pitch = 12 * (note->octave + 1 + part->octaves) + letter + note->alter + part->semitones;
  return (guint8)CLAMP(pitch, 0, 127);
}

// The melody is the first part's, and in it what stands on the staff of its first note.
static void
sound_note(RcMusicxmlReader *r, double start, double end)
{
  MxPart *part = mx_part(r);
  const MxNote *note = &r->note;
  const RcNote written = rc_note_up((RcNote)note->step, 7 * note->alter);
  MxNoteAt sounding = { .measure = r->measure, .start = MAX(mx_ticks_at(r, start), 0), .end = mx_ticks_at(r, end) };
  sounding.tone = rc_pcs_transpose((RcPcSet)(1U << rc_note_pc(written)), part->semitones);
  sounding.pitch = pitch_of(part, note);
  part->staff = part->staff ? part->staff : note->staff;
  if (part->staff == note->staff) {
    mx_track_add(&r->score.notes, r->part, &sounding);
  }
  if (r->score.notes.items->len > RC_MAX_NOTES) {
    mx_fail_limit(r, "notes", RC_MAX_NOTES);
  }
}

static void
end_note(RcMusicxmlReader *r)
{
  const MxNote *note = &r->note;
  const double duration = r->has_duration ? r->duration : 0;
  const gboolean timed = r->has_duration;
  r->has_duration = FALSE;
  if (note->grace) {
    return;
  }
  if (!timed || duration <= 0) {
    mx_fail(r, RC_ERROR_VALUE, "a note %s; only grace notes have none",
            timed ? "with a duration of 0" : "without duration");
    return;
  }
  if (!note->chord) {
    r->before = r->pos;
    mx_advance(r, duration);
  }
  if (note->step != G_MININT && !note->cue) {
    sound_note(r, r->before, r->before + duration);
  }
}

static void
end_backup(RcMusicxmlReader *r)
{
  r->pos -= r->has_duration ? r->duration : 0;
  if (mx_ticks_at(r, r->pos) < 0) { // a few divisions too far, by rounding
    r->base = 0;
    r->pos = 0;
  }
  r->has_duration = FALSE;
}

static void
end_forward(RcMusicxmlReader *r)
{
  mx_advance(r, r->has_duration ? r->duration : 0);
  r->has_duration = FALSE;
}

// ------------------------------------------------------------------------------------------------------- the table

const MxElement mx_note_elements[] = {
  { "note", MX_IN_MEASURE, start_note, end_note, FALSE },
  { "chord", "note", start_chord, NULL, FALSE },
  { "grace", "note", start_grace, NULL, FALSE },
  { "cue", "note", start_cue, NULL, FALSE },
  { "pitch", "note", NULL, NULL, FALSE },
  { "step", "pitch", NULL, end_step, TRUE },
  { "alter", "pitch", NULL, end_alter, TRUE },
  { "octave", "pitch", NULL, end_octave, TRUE },
  { "staff", "note", NULL, end_staff, TRUE },
  { "duration", NULL, NULL, end_duration, TRUE },
  { "backup", MX_IN_MEASURE, NULL, end_backup, FALSE },
  { "forward", MX_IN_MEASURE, NULL, end_forward, FALSE },
  { NULL, NULL, NULL, NULL, FALSE },
};
