// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Repeats, endings, jumps and parts as written, into the order in which bars are played. For every format that has
// them.

#ifndef ROWCALL_SRC_CORPUS_UNROLL_H
#define ROWCALL_SRC_CORPUS_UNROLL_H

#include "rowcall/music.h"

/// Where players are sent, or from where. A segno and a coda are at the beginning of their bar, the others at its end.
typedef enum {
  RC_JUMP_SEGNO = 1 << 0,
  RC_JUMP_CODA = 1 << 1,      ///< the coda sign: the coda begins, or, where it is printed twice, the first is the leave
  RC_JUMP_TO_CODA = 1 << 2,   ///< after a jump on from here to the coda
  RC_JUMP_FINE = 1 << 3,      ///< after a jump it ends here
  RC_JUMP_DA_CAPO = 1 << 4,   ///< back to the beginning
  RC_JUMP_DAL_SEGNO = 1 << 5, ///< back to the segno
  RC_JUMP_AL_FINE = 1 << 6,   ///< such a jump that says it needs a fine
  RC_JUMP_AL_CODA = 1 << 7    ///< or a coda
} RcJump;

/// Those at the end of their bar.
#define RC_JUMP_ENDS                                                                                                   \
  (guint)(RC_JUMP_TO_CODA | RC_JUMP_FINE | RC_JUMP_DA_CAPO | RC_JUMP_DAL_SEGNO | RC_JUMP_AL_FINE | RC_JUMP_AL_CODA)

/// What is written at the lines of a bar.
typedef struct {
  gboolean opens;  ///< a repeat begins before it
  guint closes;    ///< how often its repeat is played, where one ends after it; 0 where none does
  gboolean again;  ///< that repeat is played after a jump, too
  gboolean breaks; ///< a double or thick line follows it
  guint64 endings; ///< bit n: an ending for the nth time begins with it; bit 0: an ending without a number
  guint jumps;     ///< set of RcJump
  guint64 times;   ///< bit n: its jumps count the nth time its repeat is played; 0: as usual
  guint next;      ///< the next bar at which anything is written, or the number of bars; see rc_link_marks()
} RcBarMarks;

/// Returns whether nothing is written at a bar.
static inline gboolean
rc_is_plain_bar(const RcBarMarks *marks)
{
  return !((guint)marks->opens | marks->closes | (guint)marks->again | (guint)marks->breaks | marks->jumps) &&
         !(marks->endings | marks->times);
}

/// Links the bars at which anything is written, which are few. The functions below need it, once all is written.
void rc_link_marks(GArray *marks);

/// Returns the first bar from @p bar on at which anything is written, or the number of bars.
static inline guint
rc_marked_bar(const GArray *marks, guint bar)
{
  if (bar >= marks->len) {
    return marks->len;
  }
  const RcBarMarks *here = &g_array_index(marks, RcBarMarks, bar);
  return rc_is_plain_bar(here) ? here->next : bar;
}

/// Appends to @p played the bars from @p first to before @p end, in playing order, without jumps. Endings whose numbers
/// make no series, such as 1 and 3 or 2 and 2, are numbered anew in their order, in @p marks. Returns FALSE when that
/// would be more than RC_MAX_PLAYED_BARS in all.
gboolean rc_unroll(GArray *marks, guint first, guint end, GArray *played);

/// Sets the order in which all bars of @p tune are played. Each jump back is followed once, without repeats and with
/// the last endings, up to the fine or on to the coda; a jump to a segno goes to the last one before it, a coda is the
/// next one after the jump. A jump that does not say where it leads is not followed, with a remark; so are endings that
/// are numbered anew and bars that are never played. Returns FALSE as rc_unroll().
gboolean rc_unroll_all(GArray *marks, RcTune *tune);

/// Returns the set of RcJump written at any bar.
guint rc_all_jumps(const GArray *marks);

/// Remarks which bars of @p tune are never played, if any.
void rc_remark_unplayed(RcTune *tune);

/// Adds a part of @p tune, if it holds bars.
void rc_add_part(RcTune *tune, const char *label, guint first, guint end);

/// Names the parts of a tune that names none: each stretch between repeats and double lines is one, A, B and so on; a
/// pickup before a repeat is one without a name.
void rc_name_sections(RcTune *tune, const GArray *marks);

#endif
