// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

/// @file error.h
/// The one error domain. Every message is a whole sentence for the user: place, what was found, what was expected, how
/// to mend it. Places are `file:line:column:`, lines and columns counted from 1, columns in characters.
///
/// A function that can fail takes a `GError **error` as its last argument, which may be NULL; where it fails it sets
/// it, to be freed with g_error_free(), and returns NULL or FALSE.

#ifndef ROWCALL_ERROR_H
#define ROWCALL_ERROR_H

#include "rowcall/api.h"

RC_BEGIN_API

/// The kinds of failure, the `code` of a #GError in #RC_ERROR.
typedef enum {
  RC_ERROR_IO,       ///< a file could not be read or written
  RC_ERROR_ENCODING, ///< the text is not UTF-8
  RC_ERROR_SYNTAX,   ///< the text does not follow the format's grammar
  RC_ERROR_VALUE,    ///< the grammar holds, but a value makes no sense
  RC_ERROR_LIMIT,    ///< a named limit was reached
  RC_ERROR_UNKNOWN,  ///< a name (layout, row, option value) that is not known
  RC_ERROR_PASSED,   ///< no failure: something that holds no music, or was read already, was passed over
  RC_ERROR_FURTHER   ///< a further mistake of the tune that the failure before left out
} RcErrorCode;

/// The error domain of the library.
#define RC_ERROR (rc_error_quark())

/// Returns the domain as a number; #RC_ERROR is the name to use.
GQuark rc_error_quark(void);

/// A place in an input.
typedef struct {
  const char *file; ///< as the user named it; borrowed
  guint line;       ///< from 1; 0 when the place is the file as a whole
  guint column;     ///< from 1, in characters; 0 when the place is the line as a whole
} RcPlace;

/// Sets @p error to "file:line:column: MESSAGE" with the printf-like @p format, and returns FALSE, so that reporting
/// and failing is one line. Where the file of @p place is NULL the message is given alone. @p error may be NULL.
gboolean rc_fail(GError **error, RcErrorCode code, RcPlace place, const char *format, ...) G_GNUC_PRINTF(4, 5);

/// Returns the name in the NULL-terminated list @p names that is most like @p found, or NULL when none is near. The
/// result is borrowed from @p names. Nearness is the number of letters to insert, drop, replace or swap (optimal string
/// alignment distance), 0 where @p found is how the name begins, at most a third of the length of the longer name,
/// rounded up.
const char *rc_nearest_name(const char *found, const char *const *names);

RC_END_API

#endif
