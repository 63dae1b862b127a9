// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// What cairo leaves out of a PNG.

#ifndef ROWCALL_SRC_REPORT_PNG_CHUNKS_H
#define ROWCALL_SRC_REPORT_PNG_CHUNKS_H

#include <glib.h>

/// Adds to @p png, a whole file, how many dots it has to the inch, and its @p title and @p description, unless they are
/// empty: the chunks pHYs and iTXt of the PNG specification (ISO/IEC 15948), after the header.
void rc_png_complete(GByteArray *png, guint dots, const char *title, const char *description);

#endif
