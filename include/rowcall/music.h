// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file music.h
/// The ground floor: notes, pitch classes, chord symbols, keys, time and tunes. No instrument is known here.

#ifndef ROWCALL_MUSIC_H
#define ROWCALL_MUSIC_H

#include "rowcall/api.h"

RC_BEGIN_API

// ---------------------------------------------------------------------------------------------------------- notes

/// A set of pitch classes: bit n is pitch class n, C = 0 to B = 11.
typedef guint16 RcPcSet;

/// A spelled note as its place on the line of fifths: ... Bb -2, F -1, C 0, G 1, D 2 ... B 5, F# 6 ... From Fbb (-15)
/// to B## (19). Intervals are differences of places, so spelling a chord is adding.
typedef gint8 RcNote;

enum {
  RC_NOTE_LOWEST = -15, ///< F double flat
  RC_NOTE_HIGHEST = 19  ///< B double sharp
};

/// How accidentals are written.
typedef enum {
  RC_SIGNS_ASCII,  ///< `b` and `#`
  RC_SIGNS_UNICODE ///< the real flat and sharp signs, doubled where needed, since few fonts have the double signs
} RcSigns;

/// Which language names the notes of chord symbols.
typedef enum {
  RC_NAMES_ENGLISH, ///< B is B natural, Bb is B flat
  RC_NAMES_GERMAN ///< H is B natural, B is B flat; Fis, Es, As and so on are read as well; a chord or key whose root is
                  ///< a small letter is minor
} RcNames;

/// Returns the pitch class of @p note, 0 to 11.
static inline guint
rc_note_pc(RcNote note)
{
  enum { PITCH_CLASSES = 12, FIFTH = 7, ABOVE_ZERO = 10 * PITCH_CLASSES };
  return (guint)(FIFTH * (note + ABOVE_ZERO)) % PITCH_CLASSES;
}

/// Returns @p set moved up by @p semitones (any sign).
RcPcSet rc_pcs_transpose(RcPcSet set, int semitones);

/// Returns whether pitch class @p pc is in @p set.
static inline gboolean
rc_pcs_has(RcPcSet set, guint pc)
{
  return ((guint)set >> pc & 1U) != 0;
}

/// Returns the number of pitch classes in @p set.
guint rc_pcs_count(RcPcSet set);

/// Returns the number of members of a small set of anything, kept as bits.
guint rc_count_bits(guint set);

/// Returns the note @p fifths further along the line of fifths, respelled by an enharmonic step where it would need
/// more than a double accidental.
RcNote rc_note_up(RcNote note, int fifths);

/// Returns the name of @p note, such as `F#` or `Bb`: a constant string.
const char *rc_note_name(RcNote note, RcSigns signs);

/// Reads a note name at the start of @p text (at most @p length bytes): a capital letter and accidentals `b`, `bb`,
/// `#`, `##`, or the Unicode signs. Returns the number of bytes read, 0 when there is no note, and sets @p note only
/// when there is one.
gsize rc_note_parse(const char *text, gsize length, RcNames names, RcNote *note);

// --------------------------------------------------------------------------------------------------- chord symbols

/// The tones a chord symbol can ask for, each with its own role and spelling.
typedef enum {
  RC_DEGREE_1,
  RC_DEGREE_FLAT_3,
  RC_DEGREE_3,
  RC_DEGREE_SUS_2,
  RC_DEGREE_SUS_4,
  RC_DEGREE_FLAT_5,
  RC_DEGREE_5,
  RC_DEGREE_SHARP_5,
  RC_DEGREE_6,
  RC_DEGREE_DOUBLE_FLAT_7,
  RC_DEGREE_FLAT_7,
  RC_DEGREE_7,
  RC_DEGREE_FLAT_9,
  RC_DEGREE_9,
  RC_DEGREE_SHARP_9,
  RC_DEGREE_11,
  RC_DEGREE_SHARP_11,
  RC_DEGREE_FLAT_13,
  RC_DEGREE_13,
  RC_N_DEGREES
} RcDegree;

/// A set of degrees: bit n is RcDegree n.
typedef guint32 RcDegrees;

/// The bit of a degree, for building RcDegrees constants: RC_BIT(3) is the major third.
#define RC_BIT(degree) (1U << RC_DEGREE_##degree)

/// The degrees by their part in the chord.
#define RC_THIRDS (RC_BIT(FLAT_3) | RC_BIT(3))
#define RC_SUSPENDED (RC_BIT(SUS_2) | RC_BIT(SUS_4))
#define RC_FIFTHS (RC_BIT(FLAT_5) | RC_BIT(5) | RC_BIT(SHARP_5))
#define RC_ALTERED_FIFTHS (RC_BIT(FLAT_5) | RC_BIT(SHARP_5))
#define RC_SEVENTHS (RC_BIT(DOUBLE_FLAT_7) | RC_BIT(FLAT_7) | RC_BIT(7))
#define RC_TENSIONS                                                                                                    \
  (RC_BIT(FLAT_9) | RC_BIT(9) | RC_BIT(SHARP_9) | RC_BIT(11) | RC_BIT(SHARP_11) | RC_BIT(FLAT_13) | RC_BIT(13))

/// The chords that have a button of their own on some board.
#define RC_CHORD_MAJOR (RC_BIT(1) | RC_BIT(3) | RC_BIT(5))
#define RC_CHORD_MINOR (RC_BIT(1) | RC_BIT(FLAT_3) | RC_BIT(5))
#define RC_CHORD_DOMINANT (RC_CHORD_MAJOR | RC_BIT(FLAT_7))
#define RC_CHORD_DIMINISHED (RC_BIT(1) | RC_BIT(FLAT_3) | RC_BIT(FLAT_5))
#define RC_CHORD_DIMINISHED_7 (RC_CHORD_DIMINISHED | RC_BIT(DOUBLE_FLAT_7))
#define RC_CHORD_AUGMENTED (RC_BIT(1) | RC_BIT(3) | RC_BIT(SHARP_5))

/// Returns the distance of @p degree above the root on the line of fifths (add it to an RcNote to spell the tone).
int rc_degree_fifths(RcDegree degree);

/// Returns the distance of @p degree above the root in semitones, 0 to 11.
guint rc_degree_semitones(RcDegree degree);

/// Reads a list of degree names separated by spaces or commas, such as `1 3 b7`, and sets @p degrees. Returns FALSE
/// when a word is no degree, and sets @p stopped_at (may be NULL) to its byte offset.
gboolean rc_degrees_parse(const char *text, RcDegrees *degrees, gsize *stopped_at);

/// A chord as a tune sheet asks for it.
typedef struct {
  RcNote root;
  RcNote bass;       ///< the root unless the symbol writes a bass after a slash
  RcDegrees degrees; ///< the tones above the root
} RcChord;

/// What a text turned out to be.
typedef enum {
  RC_SYMBOL_CHORD,  ///< a chord
  RC_SYMBOL_SILENT, ///< "N.C.": no chord is wanted
  RC_SYMBOL_HELD,   ///< nothing is written: what sounded before goes on
  RC_SYMBOL_UNREAD  ///< no chord symbol
} RcSymbolKind;

/// Reads a chord symbol that fills the whole of @p text (@p length bytes). On #RC_SYMBOL_CHORD sets @p chord. On
/// #RC_SYMBOL_UNREAD sets @p stopped_at (may be NULL) to the byte offset of the first character not understood. The
/// grammar and every spelling read are described at the top of src/music/symbol.c.
RcSymbolKind rc_chord_parse(const char *text, gsize length, RcNames names, RcChord *chord, gsize *stopped_at);

/// Returns the chord's name in English note names, a new string. Reading the ASCII name again gives the same chord.
char *rc_chord_name(const RcChord *chord, RcSigns signs);

/// Returns @p degrees with the sixth of a diminished triad as the diminished seventh that it is: Cm6b5 is Cdim7.
RcDegrees rc_degrees_settle(RcDegrees degrees);

/// Returns the pitch classes of @p degrees above pitch class @p root.
RcPcSet rc_degrees_tones(RcDegrees degrees, guint root);

/// Returns all pitch classes the symbol asks for, a written bass included.
RcPcSet rc_chord_tones(const RcChord *chord);

/// Returns the pitch class of the one degree of @p chord's root.
guint rc_chord_degree_pc(const RcChord *chord, RcDegree degree);

// ----------------------------------------------------------------------------------------------------------- keys

/// The modes a tune's key may have.
typedef enum {
  RC_MODE_NONE, ///< the key is not known
  RC_MODE_MAJOR,
  RC_MODE_MINOR,
  RC_MODE_DORIAN,
  RC_MODE_PHRYGIAN,
  RC_MODE_LYDIAN,
  RC_MODE_MIXOLYDIAN,
  RC_MODE_LOCRIAN
} RcMode;

/// A key: `{0}` is "not known".
typedef struct {
  RcMode mode;
  RcNote tonic;
} RcKey;

/// Reads a key such as `D`, `Bm`, `F# minor`, `E dorian`, `A mix` (modes by their first three letters or more, any
/// case) and sets @p key. The tonic may be a small letter where a mode follows; where none does it is minor among
/// German names. Returns FALSE when the text is no key and sets @p stopped_at (may be NULL) to the offset of what was
/// not understood.
gboolean rc_key_parse(const char *text, RcNames names, RcKey *key, gsize *stopped_at);

/// Returns the key's name, such as `D major` or `E dorian`, a new string; "no key" when it is not known.
char *rc_key_name(RcKey key, RcSigns signs);

/// Returns @p key moved up by @p semitones (any sign), named as players write it: no more than six accidentals, F sharp
/// rather than G flat, but E flat minor rather than D sharp minor. A key that is not known stays so.
RcKey rc_key_moved(RcKey key, int semitones);

/// Returns the tonic of the major key with the key signature of @p key, which must be known: G for Em and A dorian.
RcNote rc_key_major(RcKey key);

/// Returns the pitch classes of @p key: the seven of its mode; for minor the natural, harmonic and melodic forms
/// together (nine); 0 when the key is not known.
RcPcSet rc_key_tones(RcKey key);

/// What grading asks of a key: its tones, and where dominants lead.
typedef struct {
  RcPcSet tones;  ///< 0 when the key is not known
  RcPcSet minors; ///< the roots of its minor triads
  RcPcSet fifth;  ///< its fifth degree
} RcScale;

/// Returns the scale of @p key with the tones @p tones: those of rc_key_tones(), or with written accidentals among
/// them. The triads of a minor key are those of one of its forms, i, ii, iv and v: the raised and the natural tones do
/// not mix.
RcScale rc_key_scale(RcKey key, RcPcSet tones);

/// Spells pitch class @p pc as the key does: F# in D, Gb in Db, the raised sixth and seventh in minor; tones outside
/// the key by the nearest place on the line of fifths, from five flatter to six sharper than the tonic of the key's
/// relative major.
RcNote rc_key_spell(RcKey key, guint pc);

/// Spells pitch class @p pc around @p centre: from five fifths flatter to six sharper.
RcNote rc_note_near(RcNote centre, guint pc);

/// Spells pitch class @p pc as heard in @p chord: its own tones by their degree; others as a natural where there is
/// one, else as a sharp or a flat like the chord's root, or where that is a natural as the key does, or around the root
/// where the key is not known.
RcNote rc_chord_spell(const RcChord *chord, RcKey key, guint pc);

// ----------------------------------------------------------------------------------------------------------- time

/// Musical time in ticks. Whole numbers, so that sums are exact and never depend on their order.
typedef gint64 RcTicks;

/// Ticks in a quarter note: divisible by every number up to 16, so that a bar shared by up to 16 chords is exact.
#define RC_QUARTER G_GINT64_CONSTANT(720720)

/// A meter as written, 6 over 8 being {6, 8}.
typedef struct {
  guint beats; ///< the upper figure
  guint unit;  ///< the lower figure
} RcMeter;

/// Reads a meter such as `3/4`, `6/8`, `C` (4/4) or `C|` (2/2). Beats 1 to 64, unit a power of two up to 64. Returns
/// FALSE where the text is none.
gboolean rc_meter_parse(const char *text, RcMeter *meter);

/// Returns the length of one bar of @p meter.
RcTicks rc_meter_bar(RcMeter meter);

/// Returns the length of the beat that tempo marks count in @p meter: three eighths in 6/8, 9/8 and 12/8 (and three of
/// the lower figure in such meters), a half note in 2/2, else one of the lower figure.
RcTicks rc_meter_beat(RcMeter meter);

/// Where a tune's tempo comes from.
typedef enum {
  RC_TEMPO_NONE,   ///< the tune states none and none is assumed: it is untimed
  RC_TEMPO_STATED, ///< the tune states it
  RC_TEMPO_RHYTHM, ///< assumed from the rhythm, common practice
  RC_TEMPO_TITLE,  ///< assumed from a dance that the title names, common practice
  RC_TEMPO_GROUP,  ///< the same of the group
  RC_TEMPO_FILE,   ///< the same of the file's name
  RC_TEMPO_METER,  ///< assumed from the meter, common practice
  RC_TEMPO_GIVEN   ///< the user set one for all tunes
} RcTempoSource;

enum { RC_MIN_QUARTERS = 5, RC_MAX_QUARTERS = 1000 }; ///< of a tempo, a minute

/// A tempo: `{0}` is untimed.
typedef struct {
  RcTempoSource source;
  double quarters; ///< quarter notes a minute; 0 when untimed
} RcTempo;

/// Reads a tempo: a number of beats a minute in @p meter, or a note value and a number such as `1/4=138`, where
/// `q` and the sign of a quarter note stand for 1/4. The result's source is #RC_TEMPO_STATED. From #RC_MIN_QUARTERS to
/// #RC_MAX_QUARTERS; returns FALSE otherwise.
gboolean rc_tempo_parse(const char *text, RcMeter meter, RcTempo *tempo);

/// Returns how many seconds @p ticks last at @p tempo, which must not be untimed.
double rc_ticks_seconds(RcTicks ticks, RcTempo tempo);

/// Returns the usual tempo of @p rhythm (any case; may be NULL) in @p meter, or of @p meter when the rhythm is not
/// known: a march has as many beats a minute in 6/8 as in 2/4, a waltz as many bars in 3/8 as in 3/4. The table, in
/// src/music/time.c, is common practice from memory.
RcTempo rc_tempo_assume(const char *rhythm, RcMeter meter);

/// Returns whether a tempo was assumed, from whatever.
static inline gboolean
rc_tempo_is_assumed(RcTempo tempo)
{
  return tempo.source >= RC_TEMPO_RHYTHM && tempo.source <= RC_TEMPO_METER;
}

/// Returns the name, in small letters, of the dance that @p text names as a word of its own, singular or plural, and
/// that is danced in @p meter: "reel" of "The Reels of Weir" in 4/4, but none in 6/8. Of several the longest name, then
/// the first. NULL where there is none.
const char *rc_find_dance(const char *text, RcMeter meter);

// ---------------------------------------------------------------------------------------------------------- tunes

/// A text of a tune in the place of a chord symbol, read once however often it is written.
typedef struct {
  const char *text; ///< as written; owned by the tune
  RcSymbolKind kind;
  RcChord chord;    ///< when kind is #RC_SYMBOL_CHORD
  guint stopped_at; ///< when kind is #RC_SYMBOL_UNREAD: byte offset of the first character not understood
  guint same; ///< index of the tune's first symbol that asks for the same: the same chord, however spelled, or the
              ///< same unread text
} RcSymbol;

/// Key, meter and tempo from some place in a tune on.
typedef struct {
  RcKey key;     ///< for names and spelling
  RcPcSet tones; ///< the tones of the key, those of written accidentals among them; 0 when it is not known
  RcMeter meter;
  RcTempo tempo;        ///< source is #RC_TEMPO_STATED or #RC_TEMPO_NONE
  gboolean key_assumed; ///< the tune states none, or only its signs; see rc_tune_assume_key()
  gboolean signs_only;  ///< the tune states the signs of the key alone, which is given as the major one
} RcSetting;

/// One chord as written: it sounds for @p length from where the one before it ends.
typedef struct {
  guint symbol;   ///< index into the tune's symbols
  guint setting;  ///< index into the tune's settings
  guint line;     ///< place in the file, from 1
  guint column;   ///< from 1, in characters
  RcTicks length; ///< 0 where none is written
  RcPcSet melody; ///< the tones the melody sounds meanwhile; 0 where there is none
  guint over;     ///< over which letter of its line of words it is written, from 0
} RcEvent;

/// A note of the melody, as written.
typedef struct {
  guint bar;     ///< index into the tune's bars
  RcTicks start; ///< from the start of its bar
  RcTicks length;
  guint8 pitch; ///< in semitones, 60 being middle C
} RcTuneNote;

/// One written bar: a run of events.
typedef struct {
  guint first; ///< index of its first event
  guint count; ///< number of events
} RcBar;

/// A line of a song's words.
typedef struct {
  const char *text;  ///< owned by the tune; empty for a blank line, or where nothing is sung to the chords
  const char *label; ///< of the part that begins with it, owned by the tune; NULL where none does
  guint bar;         ///< index of the bar whose chords are over it, or of the next one where none are
  gboolean sung;     ///< that bar's chords are over it
} RcLine;

/// A named stretch of bars.
typedef struct {
  const char *label; ///< owned by the tune
  guint first;       ///< index of its first bar
  guint count;       ///< number of bars
} RcPart;

/// The limits of one tune; a reader reports a tune that reaches one and leaves it out.
enum {
  RC_MAX_SYMBOLS = 4096,       ///< different chord symbols
  RC_MAX_EVENTS = 1000000,     ///< chords written
  RC_MAX_BARS = 1000000,       ///< bars written
  RC_MAX_PARTS = 1024,         ///< parts
  RC_MAX_NOTES = 4000000,      ///< notes of a melody that is kept
  RC_MAX_PLAYED_BARS = 1000000 ///< bars played, repeats unrolled
};

/// What a reader read otherwise than it is written, or had to guess.
typedef enum {
  RC_REMARK_JUMPS,          ///< a D.S., D.C., coda or fine does not say enough to be followed
  RC_REMARK_HABIT,          ///< chords are spelled as old collections do (`D/f+`, `Cd`)
  RC_REMARK_PARTS,          ///< an order of parts names parts that are not there
  RC_REMARK_OLD_CHORDS,     ///< notes at once are written as old collections do (`+CEG+`)
  RC_REMARK_UNPLAYED,       ///< some bars are never played
  RC_REMARK_ENDINGS,        ///< the numbers of endings make no series
  RC_REMARK_ALTERNATIVES,   ///< several chords are written on one note: one is read
  RC_REMARK_BASS_NOTES,     ///< a small letter beside a chord is read as its bass (`"D""f#"`)
  RC_REMARK_BASS_RUNS,      ///< a small letter alone is passed over as a note for the bass
  RC_REMARK_LATE_CHORDS,    ///< chords after the last note of a bar share its time
  RC_REMARK_LOST_CHORDS,    ///< a chord has no note, and so no time
  RC_REMARK_REPEATS,        ///< a repeat ends in more colons than it begins with
  RC_REMARK_OPEN_ENDINGS,   ///< an ending is followed by the next one without a repeat sign
  RC_REMARK_ORDER,          ///< an order of parts counts the repeats that the parts have as well
  RC_REMARK_SHARED_TIME,    ///< chords that are written at one place share its time
  RC_REMARK_WORDS,          ///< a text where chords are written is read as words
  RC_REMARK_RECALLS,        ///< a label without words of its own plays the part again that had it before
  RC_REMARK_TIMES,          ///< "x2" plays a line or part several times
  RC_REMARK_ARCHIVE,        ///< an archive does not say which of its members is the score: its only one was read
  RC_REMARK_UNWRITTEN,      ///< a part is to be played again that is not written before
  RC_REMARK_VALUES,         ///< a key, tempo or the like makes no sense and is passed over
  RC_REMARK_SPACED_SLASHES, ///< `D / F#` is read as D over F#
  RC_REMARK_SMALL,          ///< a chord is written with a small letter
  RC_REMARK_ANNOTATIONS,    ///< an annotation, which sounds nothing, holds a chord
  RC_REMARK_HELD_SLASHES,   ///< `D / F#` is read as D held, then F#
  RC_REMARK_SMALL_KEY,      ///< the tonic of a key is a small letter
  RC_REMARK_SYLLABLES,      ///< notes are named do re mi, which is not read
  RC_REMARK_ROUND,          ///< a chord is written in round brackets, where others are in square ones
  RC_REMARK_UNCLOSED,       ///< a bracket or brace does not close on its line
  RC_N_REMARKS
} RcRemarkKind;

/// A reader's remark on a tune.
typedef struct {
  RcRemarkKind kind;
  guint line;       ///< where, from 1
  guint column;     ///< from 1; 0: of the whole line or tune
  const char *text; ///< what was found and what was done about it; owned by the tune
} RcRemark;

/// One tune as written, and the order in which its bars are played. Made by rc_tune_new(), filled by a reader, reused
/// from tune to tune.
typedef struct {
  const char *file;   ///< where it was read; borrowed from the reader
  guint line;         ///< line of its first word, from 1
  const char *title;  ///< never NULL; owned by the tune
  const char *rhythm; ///< NULL when not stated; owned by the tune
  const char *group;  ///< what the tune is filed under, such as "reels"; NULL when not stated; owned by the tune
  const char *dance;  ///< a dance that rhythm, title, group or file names, where the rhythm is none that has a usual
                      ///< tempo; NULL where none does, too. By rc_tune_find_dance()
  RcTempoSource dance_source; ///< which of them names it: its tempo's source
  GArray *remarks;            ///< of RcRemark
  gboolean unmeasured;        ///< some of its chords are written without lengths; theirs is 0
  GArray *settings;           ///< of RcSetting, the first that of the tune's beginning
  GArray *symbols;            ///< of RcSymbol
  GArray *events;             ///< of RcEvent
  GArray *bars;               ///< of RcBar
  GArray *parts;              ///< of RcPart
  GArray *notes;              ///< of RcTuneNote, by bar and start, where a reader was asked for them; else empty
  GArray *lines;              ///< of RcLine, in their order, where a reader was asked for words; else empty
  GArray *played;             ///< of guint: indices into bars, in playing order
  GArray *numbers;     ///< of const char *: by bar the number that is written at it, owned by the tune; empty where the
                       ///< format writes none
  GStringChunk *texts; ///< owns the strings above
  gsize text_bytes;    ///< bytes in it, those of tunes before among them
} RcTune;

/// Returns a new empty tune, to be freed with rc_tune_free().
RcTune *rc_tune_new(void);

/// Empties @p tune for the next one, keeping its memory.
void rc_tune_clear(RcTune *tune);

/// Copies @p text into the strings that @p tune owns and returns the copy, which stays until the tune is emptied.
const char *rc_tune_text(RcTune *tune, const char *text, gsize length);

/// Returns the index of the bar that holds the event with this index.
guint rc_tune_bar_of(const RcTune *tune, guint event);

/// Returns whether a bar of @p tune is a line of words, whose chords have no lengths.
gboolean rc_tune_bar_is_line(const RcTune *tune, guint bar);

/// Returns whether a bar of @p tune is a pickup: shorter than its meter, at the beginning of the tune or of a part.
gboolean rc_tune_bar_is_pickup(const RcTune *tune, guint bar);

/// Returns the number of a bar of @p tune as players count, from 1 and without pickups; that of a pickup is the number
/// of the bar before it, 0 at the beginning.
guint rc_tune_bar_number(const RcTune *tune, guint bar);

/// Returns how messages call a bar: "measure 12" by the number that is written at it, else "bar 13" by
/// rc_tune_bar_number(), "the pickup to bar 1", or "line 13" where it is a line of words. A new string.
char *rc_tune_bar_name(const RcTune *tune, guint bar);

/// Adds a remark of this kind on @p tune, at @p line, or at the tune's own line where that is 0, and @p column (0:
/// none), with the printf-like @p format.
void rc_tune_remark(RcTune *tune, RcRemarkKind kind, guint line, guint column, const char *format, ...)
  G_GNUC_PRINTF(5, 6);

/// Returns a copy of @p tune that borrows nothing from it or from its reader, to be freed with rc_tune_free().
RcTune *rc_tune_copy(const RcTune *tune);

/// Looks for a dance that @p tune names, for its usual tempo, and sets it.
void rc_tune_find_dance(RcTune *tune);

/// Returns the usual tempo of @p tune where it is in @p meter: of its rhythm, else of a dance that it names, else of
/// the meter.
RcTempo rc_tune_usual_tempo(const RcTune *tune, RcMeter meter);

/// Returns a copy of @p tune as rc_tune_copy() makes it, @p semitones (any sign) higher: its keys are named as
/// rc_key_moved() does, and its chords, in English names, are spelled as far along the line of fifths from the key as
/// they were. Texts that are no chord stay. To be freed with rc_tune_free().
RcTune *rc_tune_moved(const RcTune *tune, int semitones);

/// Frees @p tune; NULL is allowed.
void rc_tune_free(RcTune *tune);

/// Returns a tune in which @p text is the only symbol: @p bars bars of it in @p meter at @p tempo, its notes named as
/// @p names says. Free with rc_tune_free().
RcTune *rc_tune_new_symbol(const char *text, RcNames names, RcMeter meter, RcTempo tempo, guint bars);

/// Returns @p tune with only @p count bars from bar @p first on, as written, played once; what sounds before them goes
/// on into them where nothing new is written. Its strings are those of @p tune, which must outlive it unchanged. Free
/// with rc_tune_free().
RcTune *rc_tune_stretch(const RcTune *tune, guint first, guint count);

/// Returns the symbol of @p tune with this index; borrowed.
static inline const RcSymbol *
rc_tune_symbol(const RcTune *tune, guint index)
{
  return &g_array_index(tune->symbols, RcSymbol, index);
}

/// Returns @p symbol as it is written, the signs of a chord as @p signs has them: "Abm7b5", or with the real flats and
/// sharps. A new string.
char *rc_symbol_shown(const RcSymbol *symbol, RcSigns signs);

/// Returns the setting of @p tune with this index, 0 being that of its beginning; borrowed.
const RcSetting *rc_tune_setting(const RcTune *tune, guint index);

/// Returns the major or minor key that the chords of @p tune suggest, of those that stand where its key is @p stated (a
/// key that is not known is `{0}`): by their tones, the share of time of the tonic chord, where dominants lead, the
/// first chord and the last. Returns `{0}` where there is no such chord. The rule, our own, is described in
/// src/music/key_guess.c.
RcKey rc_tune_guess_key(const RcTune *tune, RcKey stated);

/// Gives @p tune, wherever it states neither a key nor the tones of one, the key of rc_tune_guess_key(), as assumed;
/// where it states the signs alone, the better by the same rule of the major and the minor key that have them.
void rc_tune_assume_key(RcTune *tune);

/// Gives @p tune no key wherever it states none; where it states the signs alone, their tones are left.
void rc_tune_leave_key(RcTune *tune);

/// A chord as heard: one or more events in a row that ask for the same chord.
typedef struct {
  guint event;    ///< index of the first event
  guint symbol;   ///< index of its symbol
  guint setting;  ///< index of its setting
  RcTicks length; ///< the whole length
  RcPcSet melody; ///< all tones the melody sounds meanwhile
} RcPlayed;

/// Returns whether a chord is shorter than @p below; one without a length is not.
static inline gboolean
rc_played_is_brisk(const RcPlayed *played, RcTicks below)
{
  return played->length && played->length < below;
}

/// Walks a tune in playing order. Keep it on the stack; valid while the tune is unchanged. Events of bars that are
/// played as they are written, one after the other, are one run.
typedef struct {
  const RcTune *tune;
  guint bar;   ///< index into the played bars, of the first that is not yet in a run
  guint event; ///< index of the next event; at the end of the tune it is `end`
  guint end;   ///< after the last event of the run
} RcWalk;

/// Starts a walk through @p tune.
RcWalk rc_walk_start(const RcTune *tune);

/// Gets the index of the next event as written, each time it is played. Returns FALSE at the end.
gboolean rc_walk_event(RcWalk *walk, guint *event);

/// Gets the next chord as heard: a chord held or written again right after itself is one chord of the whole length.
/// Silence ("N.C.") is a step of its own. Returns FALSE at the end.
gboolean rc_walk_next(RcWalk *walk, RcPlayed *played);

RC_END_API

#endif
