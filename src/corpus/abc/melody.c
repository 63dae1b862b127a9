// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "corpus/abc/melody.h"

#include "corpus/abc/music.h"

// Gives the chords of a bar the tones of the notes from `note` to before `end`, which follow each other.
static void
attach_to_bar(RcTune *tune, const RcBar *bar, const AbcNote *note, const AbcNote *end)
{
  RcTicks start = 0;
  for (guint i = bar->first; i < bar->first + bar->count; ++i) {
    RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    const RcTicks stop = start + event->length;
    event->melody = 0;
    while (note < end && note->end <= start) {
      ++note; // so that each is looked at once or twice
    }
    for (const AbcNote *n = note; n < end && n->start < stop; ++n) {
      event->melody |= n->tones;
    }
    start = stop;
  }
}

void
abc_attach_melody(RcTune *tune, const GArray *notes)
{
  const AbcNote *next = (const AbcNote *)(gconstpointer)notes->data;
  const AbcNote *last = notes->len ? next + notes->len : next;
  for (guint i = 0; i < tune->bars->len; ++i) {
    const AbcNote *first = next;
    while (next < last && next->bar <= i) {
      ++next;
    }
    attach_to_bar(tune, &g_array_index(tune->bars, RcBar, i), first, next);
  }
}

static gboolean
follows(const AbcNote *note, const AbcNote *before)
{
  return note->bar == before->bar ? note->start == before->end : note->bar == before->bar + 1 && !note->start;
}

void
abc_keep_melody(RcTune *tune, const GArray *notes)
{
  g_array_set_size(tune->notes, 0);
  for (guint i = 0; i < notes->len; ++i) {
    const AbcNote *note = &g_array_index(notes, AbcNote, i);
    const RcTicks length = note->end - note->start;
    if (i && note[-1].tied && note[-1].pitch == note->pitch && follows(note, note - 1)) {
      g_array_index(tune->notes, RcTuneNote, tune->notes->len - 1).length += length;
    } else {
      const RcTuneNote kept = { note->bar, note->start, length, note->pitch };
      g_array_append_val(tune->notes, kept);
    }
  }
}
