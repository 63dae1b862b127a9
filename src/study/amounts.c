// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "study/amounts.h"

#include <string.h>

enum { CENT_PLACES = 2, GRAM_PLACES = 3, CENTS = 100 };

gboolean
rc_decimal_read(const char **text, guint places, gint64 most, gint64 *value)
{
  const char *at = *text;
  gboolean after_point = FALSE;
  guint decimals = 0;
  gint64 sum = 0;
  for (; g_ascii_isdigit(*at) || (*at == '.' && at > *text && !after_point); ++at) {
    if (*at == '.') {
      after_point = TRUE;
    } else if (decimals < places) {
      sum = sum * 10 + (*at - '0');
      decimals += after_point ? 1 : 0;
    } else if (*at != '0') {
      return FALSE;
    }
    if (sum > most) {
      return FALSE;
    }
  }
  const gboolean whole = at > *text && at[-1] != '.';
  for (; decimals < places; ++decimals) {
    sum *= 10;
  }
  *text = at;
  *value = sum;
  return whole && sum <= most;
}

// ------------------------------------------------------------------------------------------------------------ price

gboolean
rc_is_currency(const char *text)
{
  return text && strlen(text) == RC_CURRENCY_LETTERS && strspn(text, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == strlen(text);
}

void
rc_currency_set(char currency[RC_CURRENCY_LETTERS + 1], const char *text)
{
  g_strlcpy(currency, text, RC_CURRENCY_LETTERS + 1);
}

typedef struct {
  const char *written;
  const char *currency;
} Sign;

static const Sign signs[] = { { "€", "EUR" }, { "£", "GBP" } }; // a dollar may be any of several

// Those that keep a line from breaking too.
static const char *
skip_blanks(const char *text)
{
  while (g_unichar_isspace(g_utf8_get_char(text))) {
    text = g_utf8_next_char(text);
  }
  return text;
}

// Takes a currency's sign or letters from the beginning of @p text, with the blanks around; FALSE where there is none.
static gboolean
take_currency(const char **text, char currency[RC_CURRENCY_LETTERS + 1])
{
  *text = skip_blanks(*text);
  gsize length = 0;
  for (guint i = 0; i < G_N_ELEMENTS(signs) && !length; ++i) {
    if (g_str_has_prefix(*text, signs[i].written)) {
      rc_currency_set(currency, signs[i].currency);
      length = strlen(signs[i].written);
    }
  }
  char letters[RC_CURRENCY_LETTERS + 1];
  rc_currency_set(letters, *text);
  if (!length && rc_is_currency(letters)) {
    rc_currency_set(currency, letters);
    length = RC_CURRENCY_LETTERS;
  }
  *text = skip_blanks(*text + length);
  return length > 0;
}

gboolean
rc_price_parse(const char *text, gint64 *cents, char currency[RC_CURRENCY_LETTERS + 1])
{
  rc_currency_set(currency, "");
  const gboolean named = take_currency(&text, currency);
  if (!rc_decimal_read(&text, CENT_PLACES, (gint64)RC_MAX_PRICE * CENTS, cents) || !*cents) {
    return FALSE;
  }
  return (!take_currency(&text, currency) || !named) && !*text;
}

// ------------------------------------------------------------------------------------------------------------ weight

// Thousandths of a pound as grams: 453.59237 g each, by the international agreement of 1959.
static gint64
grams_of(gint64 thousandths)
{
  return (thousandths * 45359237 + 50000000) / 100000000;
}

gboolean
rc_weight_parse(const char *text, gint64 *grams, gboolean *in_pounds)
{
  if (!rc_decimal_read(&text, GRAM_PLACES, 4 * (gint64)RC_MOST_GRAMS, grams)) {
    return FALSE;
  }
  text = skip_blanks(text);
  *in_pounds = !strcmp(text, "lb") || !strcmp(text, "lbs");
  if (*in_pounds) {
    *grams = grams_of(*grams);
  }
  return *grams >= RC_LEAST_GRAMS && *grams <= RC_MOST_GRAMS && (*in_pounds || !*text || !strcmp(text, "kg"));
}
