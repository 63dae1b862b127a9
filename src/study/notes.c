// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/notes.h"

#include <string.h>

// The remarks of tunes are kinds of their own.
enum { UNREAD = RC_N_REMARKS, N_KINDS, PROBLEM = N_KINDS, FILE_BEGINS };

enum { MOST_NAMED = 12 };

typedef struct {
  guint kind;
  guint64 times; // of a remark or a problem
  char *message; // NULL: a problem that is only counted, or an unread symbol after others of its file
  char *text;    // of an unread symbol
  char *named;   // the same with its place, where it may be one of those that are named
} Note;

struct RcNotes {
  guint most;
  GArray *notes; // of Note
  guint problems;
  // of the file
  guint remarks[RC_N_REMARKS]; // 1 + index of the note; 0: there is none
  GHashTable *unread;          // set of char *: texts of unread symbols, borrowed from the notes
};

static void
clear_note(gpointer data)
{
  Note *note = data;
  g_free(note->message);
  g_free(note->text);
  g_free(note->named);
}

RcNotes *
rc_notes_new(guint most)
{
  RcNotes *notes = g_new0(RcNotes, 1);
  notes->most = most;
  notes->notes = g_array_new(FALSE, FALSE, sizeof(Note));
  notes->unread = g_hash_table_new(g_str_hash, g_str_equal);
  g_array_set_clear_func(notes->notes, clear_note);
  return notes;
}

void
rc_notes_free(RcNotes *notes)
{
  if (notes) {
    g_hash_table_unref(notes->unread);
    g_array_unref(notes->notes);
    g_free(notes);
  }
}

static void
add_note(RcNotes *notes, Note note)
{
  g_array_append_val(notes->notes, note);
}

void
rc_notes_begin_file(RcNotes *notes)
{
  memset(notes->remarks, 0, sizeof notes->remarks);
  g_hash_table_remove_all(notes->unread);
  add_note(notes, (Note){ .kind = FILE_BEGINS });
}

// A problem is told by itself; those that nobody wants are counted together.
void
rc_notes_add_problem(RcNotes *notes, const char *message)
{
  const guint n = notes->notes->len;
  Note *last = n ? &g_array_index(notes->notes, Note, n - 1) : NULL;
  if (!notes->most || notes->problems < notes->most) {
    ++notes->problems;
    add_note(notes, (Note){ .kind = PROBLEM, .times = 1, .message = g_strdup(message) });
  } else if (last && last->kind == PROBLEM && !last->message) {
    ++last->times;
  } else {
    add_note(notes, (Note){ .kind = PROBLEM, .times = 1 });
  }
}

// ------------------------------------------------------------------------------------------------------------- tunes

// "measure 12: " where the bars of the format have numbers, which tell more than the lines of a score.
static char *
measure_of(const RcTune *tune, const RcEvent *event)
{
  if (!tune->numbers->len) {
    return g_strdup("");
  }
  const guint index = (guint)(event - &g_array_index(tune->events, RcEvent, 0));
  char *name = rc_tune_bar_name(tune, rc_tune_bar_of(tune, index));
  char *before = g_strdup_printf("%s: ", name);
  g_free(name);
  return before;
}

// Whether a text is a small letter, which is a major chord to some and a minor one to others.
static gboolean
is_small_letter(const char *text)
{
  return *text >= 'a' && *text <= 'h' && !text[1];
}

static gboolean
is_german(const char *text)
{
  RcChord chord;
  return rc_chord_parse(text, strlen(text), RC_NAMES_GERMAN, &chord, NULL) == RC_SYMBOL_CHORD;
}

// Whether a text is what follows a chord's root, as "7" of "C 7" is.
static gboolean
is_torn_off(const char *text)
{
  RcChord chord;
  char *whole = g_strconcat("C", text, NULL);
  const gboolean quality = rc_chord_parse(whole, strlen(whole), RC_NAMES_ENGLISH, &chord, NULL) == RC_SYMBOL_CHORD;
  g_free(whole);
  return quality;
}

// " (--names german reads it)", a new string.
static char *
why_unread(const RcSymbol *symbol)
{
  const char *rest = symbol->text + symbol->stopped_at;
  if (strpbrk(symbol->text, " ;|")) {
    return g_strdup(" (of several chords each is written where it begins)");
  }
  if (is_small_letter(symbol->text)) {
    return g_strdup(" (a small letter alone may be a major or a minor chord; --names german takes it for minor)");
  }
  if (is_german(symbol->text)) {
    return g_strdup_printf(" (%s--names german reads it)", *symbol->text == 'H' ? "where H is B natural, " : "");
  }
  if (!symbol->stopped_at && is_torn_off(symbol->text)) {
    return g_strdup_printf(" (no blank is within a chord: `C%.20s`)", symbol->text);
  }
  return symbol->stopped_at && *rest ? g_strdup_printf(", `%.20s` was not understood", rest) : g_strdup("");
}

static char *
unread_message(const RcTune *tune, const RcEvent *event, const RcSymbol *symbol)
{
  char *why = why_unread(symbol);
  char *measure = measure_of(tune, event);
  char *message = g_strdup_printf("%s:%u:%u: %s`%.40s` is no chord symbol%s; it counts as unread", tune->file,
                                  event->line, event->column, measure, symbol->text, why);
  g_free(measure);
  g_free(why);
  return message;
}

static guint
count_unread(const RcTune *tune)
{
  guint n = 0;
  for (guint i = 0; i < tune->symbols->len; ++i) {
    n += rc_tune_symbol(tune, i)->kind == RC_SYMBOL_UNREAD;
  }
  return n;
}

// "`Gsus9y` (5:37 at `y`)"
static char *
unread_name(const RcEvent *event, const RcSymbol *symbol)
{
  const char *rest = symbol->text + symbol->stopped_at;
  char *at = symbol->stopped_at && *rest ? g_strdup_printf(" at `%.20s`", rest) : g_strdup("");
  char *name = g_strdup_printf("`%.40s` (%u:%u%s)", symbol->text, event->line, event->column, at);
  g_free(at);
  return name;
}

static void
note_symbol(RcNotes *notes, const RcTune *tune, const RcEvent *event, const RcSymbol *symbol)
{
  if (!g_hash_table_contains(notes->unread, symbol->text)) {
    const guint before = g_hash_table_size(notes->unread);
    const Note note = { .kind = UNREAD,
                        .message = before ? NULL : unread_message(tune, event, symbol),
                        .text = g_strdup(symbol->text),
                        .named = before > MOST_NAMED ? NULL : unread_name(event, symbol) };
    g_hash_table_add(notes->unread, note.text);
    add_note(notes, note);
  }
}

// Each at the place where it is written first.
static guint
note_unread(RcNotes *notes, const RcTune *tune)
{
  const guint unread = count_unread(tune);
  gboolean *noted = unread ? g_new0(gboolean, tune->symbols->len) : NULL;
  for (guint i = 0, left = unread; i < tune->events->len && left; ++i) {
    const RcEvent *event = &g_array_index(tune->events, RcEvent, i);
    const RcSymbol *symbol = rc_tune_symbol(tune, event->symbol);
    if (symbol->kind == RC_SYMBOL_UNREAD && !noted[event->symbol]) {
      noted[event->symbol] = TRUE;
      --left;
      note_symbol(notes, tune, event, symbol);
    }
  }
  g_free(noted);
  return unread;
}

static void
note_remarks(RcNotes *notes, const RcTune *tune)
{
  for (guint i = 0; i < tune->remarks->len; ++i) {
    const RcRemark *remark = &g_array_index(tune->remarks, RcRemark, i);
    guint *index = &notes->remarks[remark->kind];
    if (*index) {
      ++g_array_index(notes->notes, Note, *index - 1).times;
      continue;
    }
    char *column = remark->column ? g_strdup_printf(":%u", remark->column) : g_strdup("");
    char *message = g_strdup_printf("%s:%u%s: note: %s", tune->file, remark->line, column, remark->text);
    add_note(notes, (Note){ .kind = remark->kind, .times = 1, .message = message });
    *index = notes->notes->len;
    g_free(column);
  }
}

guint
rc_notes_add_tune(RcNotes *notes, const RcTune *tune)
{
  const guint unread = note_unread(notes, tune);
  note_remarks(notes, tune);
  return unread;
}

// ----------------------------------------------------------------------------------------------------------- telling

#define NO_MESSAGE G_MAXUINT

struct RcTeller {
  const RcWatcher *watcher;
  GMutex *lock;
  guint64 told; // messages of the files before, and those of this one that are not wanted
  // of the file
  GPtrArray *messages;    // of char *: those that are wanted
  guint first[N_KINDS];   // index of the message; NO_MESSAGE where it is not wanted
  guint64 found[N_KINDS]; // of this kind
  GHashTable *unread;     // set of char *: texts of unread symbols
  GString *others;        // those after the first, with their places
};

RcTeller *
rc_teller_new(const RcWatcher *watcher, GMutex *lock)
{
  RcTeller *teller = g_new0(RcTeller, 1);
  teller->watcher = watcher;
  teller->lock = lock;
  teller->messages = g_ptr_array_new_with_free_func(g_free);
  teller->unread = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
  teller->others = g_string_new(NULL);
  return teller;
}

void
rc_teller_free(RcTeller *teller)
{
  if (teller) {
    g_ptr_array_unref(teller->messages);
    g_hash_table_unref(teller->unread);
    g_string_free(teller->others, TRUE);
    g_free(teller);
  }
}

guint64
rc_teller_count(const RcTeller *teller)
{
  return teller->told;
}

// Keeps a message where it is wanted; returns its index or NO_MESSAGE.
static guint
add_message(RcTeller *teller, const char *message)
{
  const guint most = teller->watcher->most;
  if (most && teller->told + teller->messages->len >= most) {
    ++teller->told;
    return NO_MESSAGE;
  }
  g_ptr_array_add(teller->messages, g_strdup(message));
  return teller->messages->len - 1;
}

// Adds to the message of this kind what else there was.
static void
complete_message(const RcTeller *teller, guint kind, char *rest)
{
  const guint index = teller->first[kind];
  if (index != NO_MESSAGE) {
    char **message = (char **)&g_ptr_array_index(teller->messages, index);
    char *whole = g_strconcat(*message, rest, NULL);
    g_free(*message);
    *message = whole;
  }
  g_free(rest);
}

static void
complete_messages(const RcTeller *teller)
{
  for (guint kind = 0; kind < UNREAD; ++kind) {
    if (teller->found[kind] > 1) {
      complete_message(teller, kind,
                       g_strdup_printf(" (and %" G_GUINT64_FORMAT " more in this file)", teller->found[kind] - 1));
    }
  }
  const guint64 texts = teller->found[UNREAD];
  if (texts > MOST_NAMED + 1) {
    complete_message(
      teller, UNREAD,
      g_strdup_printf("; so do %s and %" G_GUINT64_FORMAT " more", teller->others->str, texts - MOST_NAMED - 1));
  } else if (texts > 1) {
    complete_message(teller, UNREAD, g_strdup_printf("; so %s %s", texts > 2 ? "do" : "does", teller->others->str));
  }
}

void
rc_teller_end_file(RcTeller *teller)
{
  complete_messages(teller);
  g_mutex_lock(teller->lock);
  for (guint i = 0; i < teller->messages->len && teller->watcher->tell; ++i) {
    teller->watcher->tell(g_ptr_array_index(teller->messages, i), teller->watcher->data);
  }
  g_mutex_unlock(teller->lock);
  teller->told += teller->messages->len;
  g_ptr_array_set_size(teller->messages, 0);
  memset(teller->found, 0, sizeof teller->found);
  g_hash_table_remove_all(teller->unread);
  g_string_truncate(teller->others, 0);
}

static void
take_unread(RcTeller *teller, const Note *note)
{
  if (!g_hash_table_add(teller->unread, g_strdup(note->text))) {
    return; // reported of another tune of the file
  }
  if (!teller->found[UNREAD]++) {
    teller->first[UNREAD] = add_message(teller, note->message);
  } else if (teller->found[UNREAD] <= MOST_NAMED + 1) {
    g_string_append_printf(teller->others, "%s%s", teller->others->len ? ", " : "", note->named);
  }
}

static void
take_note(RcTeller *teller, const Note *note)
{
  if (note->kind == FILE_BEGINS) {
    rc_teller_end_file(teller);
  } else if (note->kind == UNREAD) {
    take_unread(teller, note);
  } else if (note->kind != PROBLEM) {
    if (!teller->found[note->kind]) {
      teller->first[note->kind] = add_message(teller, note->message);
    }
    teller->found[note->kind] += note->times;
  } else if (note->message) {
    add_message(teller, note->message);
  } else {
    teller->told += note->times;
  }
}

void
rc_teller_take(RcTeller *teller, const RcNotes *notes)
{
  for (guint i = 0; i < notes->notes->len; ++i) {
    take_note(teller, &g_array_index(notes->notes, Note, i));
  }
}
