// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/request_code.h"

#include "coverage/wanted.h"

enum { KEY_BITS = 28 };

// Besides the chord only what can change the answer: what of the key matters to its tensions, and wanted tones that the
// melody may fill.
RcRequestCode
rc_request_code(const RcRequest *request)
{
  const guint bass = rc_note_pc(request->chord.bass);
  guint64 code = request->chord.degrees;
  code = code << 4U | rc_note_pc(request->chord.root);
  code = code << 4U | bass;
  code = code << 15U | rc_wanted_key_code(&request->chord, &request->key);
  return (RcRequestCode){ code << 13U, (RcPcSet)(rc_wanted_tones(&request->chord) & ~(1U << bass)) };
}

guint64
rc_request_code_at(RcRequestCode code, RcPcSet melody, gboolean brisk)
{
  return code.base | (guint64)(melody & code.melody) << 1U | (brisk ? 1U : 0U);
}

guint64
rc_key_number(const RcScale *key)
{
  return (guint64)key->tones << 16U | (guint64)key->minors << 4U | (guint)(1 + g_bit_nth_lsf(key->fifth, -1));
}

// 19 bits of degrees, root and bass as spelled, and the bits of the key.
guint64
rc_chord_number(const RcChord *chord, guint64 key)
{
  guint64 number = chord->degrees;
  number = number << 8U | (guint8)chord->root;
  number = number << 8U | (guint8)chord->bass;
  return number << KEY_BITS | key;
}

void
rc_known_codes_init(RcKnownCodes *known)
{
  rc_code_map_init(&known->places);
  known->codes = g_array_new(FALSE, FALSE, sizeof(RcRequestCode));
}

void
rc_known_codes_clear(RcKnownCodes *known)
{
  rc_code_map_clear(&known->places);
  g_array_unref(known->codes);
}

RcRequestCode
rc_known_code(RcKnownCodes *known, const RcRequest *request)
{
  guint index = 0;
  const guint64 number = rc_chord_number(&request->chord, rc_key_number(&request->key));
  if (!rc_code_map_find(&known->places, number, &index)) {
    const RcRequestCode code = rc_request_code(request);
    index = known->codes->len;
    g_array_append_val(known->codes, code);
    rc_code_map_add(&known->places, number, index);
  }
  return g_array_index(known->codes, RcRequestCode, index);
}
