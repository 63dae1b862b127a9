// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Offer files, and which offers no other beats.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/corpus.h"
#include "rowcall/error.h"
#include "rowcall/shop.h"
#include "rowcall/study.h"

#include <glib/gstdio.h>
#include <string.h>

// ------------------------------------------------------------------------------------------------------ good files

static RcShop *
parse(const char *text)
{
  GError *error = NULL;
  RcShop *shop = rc_shop_parse(text, strlen(text), "window.offers", &error);
  if (!shop) {
    fail_msg("%s", error->message);
  }
  return shop;
}

// As sellers write them. One pound is 0.45359237 kg exactly (international yard and pound agreement, 1959).
static void
test_signs_of_currencies_and_pounds(void **state)
{
  (void)state;
  static const struct {
    const char *price;
    const char *currency;
    gint64 cents;
    const char *weight;
    gint64 grams;
    gboolean in_pounds;
  } rows[] = {
    { "450 €", "EUR", 45000, "21 lb", 9525, TRUE },         // 9525.43977 g
    { "€450", "EUR", 45000, "11.5 lb", 5216, TRUE },        // 5216.312255 g
    { "€ 419.50", "EUR", 41950, "9.525 kg", 9525, FALSE },  //
    { "EUR 12", "EUR", 1200, "21lbs", 9525, TRUE },         //
    { "£99", "GBP", 9900, "5.125", 5125, FALSE },           //
    { "1200\u00a0£", "GBP", 120000, "55 lb", 24948, TRUE }, // 24947.58035 g
  };
  for (guint i = 0; i < G_N_ELEMENTS(rows); ++i) {
    char *text =
      g_strdup_printf("offers:\n- {name: a, layout: '8', price: %s, weight: %s}\n", rows[i].price, rows[i].weight);
    RcShop *shop = parse(text);
    const RcOffer *offer = rc_shop_offer(shop, 0);
    assert_string_equal(offer->currency, rows[i].currency);
    assert_int_equal(offer->cents, rows[i].cents);
    assert_int_equal(offer->grams, rows[i].grams);
    assert_int_equal(offer->in_pounds, rows[i].in_pounds);
    rc_shop_free(shop);
    g_free(text);
  }
}

// Prices and weights at the ends of what is allowed, and in the ways people write them.
static void
test_prices_at_their_limits(void **state)
{
  (void)state;
  static const struct {
    const char *text;
    gint64 cents;
  } rows[] = {
    { "1000000 EUR", 100000000 },
    { "1000000.00 EUR", 100000000 },
    { "0.01 EUR", 1 },
    { "7EUR", 700 },
    { "EUR7", 700 },
    { "  12.3  EUR ", 1230 },
    { "012 EUR", 1200 },
    { "420.1000 EUR", 42010 },
    { "€420.09", 42009 },
    { "9.99€", 999 },
  };
  static const char *const bad[] = { "1000000.01 EUR",
                                     "1000001 EUR",
                                     "0.001 EUR",
                                     "0.00 EUR",
                                     "12.3456 EUR",
                                     "420 eur",
                                     "420 EURO",
                                     "420 EU",
                                     "EUR 4 EUR",
                                     "€ 4 €",
                                     "€ 4 EUR",
                                     "4.5.6 EUR",
                                     "EUR",
                                     "4 0 EUR",
                                     "420 EUR x",
                                     "99999999999999999999 EUR" };
  for (guint i = 0; i < G_N_ELEMENTS(rows); ++i) {
    char *text = g_strdup_printf("offers:\n- {name: a, layout: '8', price: '%s'}\n", rows[i].text);
    RcShop *shop = parse(text);
    assert_string_equal(rc_shop_offer(shop, 0)->currency, "EUR");
    assert_true(rc_shop_offer(shop, 0)->cents == rows[i].cents);
    assert_true(rc_shop_offer(shop, 0)->cost == rows[i].cents * (RC_COST_UNIT / 100));
    rc_shop_free(shop);
    g_free(text);
  }
  for (guint i = 0; i < G_N_ELEMENTS(bad); ++i) {
    GError *error = NULL;
    char *text = g_strdup_printf("offers:\n- {name: a, layout: '8', price: '%s'}\n", bad[i]);
    assert_null(rc_shop_parse(text, strlen(text), "window.offers", &error));
    assert_true(g_str_has_prefix(error->message, "window.offers:2:33: found price `"));
    g_error_free(error);
    g_free(text);
  }
}

// A pound is 453.59237 g.
static void
test_weights_at_their_limits(void **state)
{
  (void)state;
  static const struct {
    const char *text;
    gint64 grams;
    gboolean in_pounds;
  } rows[] = {
    { "0.5", 500, FALSE },       { "25.000 kg", 25000, FALSE }, { "5.1000", 5100, FALSE },
    { "5kg", 5000, FALSE },      { "6.82 lb", 3093, TRUE }, // 3093.49996 g
    { "1.103 lb", 500, TRUE },                              // 500.3 g
    { "1.104 lb", 501, TRUE },                              // 500.77 g
    { "55.116 lb", 25000, TRUE }                            // 25000.2 g
  };
  static const char *const bad[] = { "0.4999", "25.0001", "5.1234", "1.101 lb", "55.118 lb", "lb",
                                     "5 kgs",  "5 lb s",  "5 Lb",   "kg 5",     "5 g",       "5 kg lb" };
  for (guint i = 0; i < G_N_ELEMENTS(rows); ++i) {
    char *text = g_strdup_printf("offers:\n- {name: a, layout: '8', weight: '%s'}\n", rows[i].text);
    RcShop *shop = parse(text);
    assert_int_equal(rc_shop_offer(shop, 0)->grams, rows[i].grams);
    assert_int_equal(rc_shop_offer(shop, 0)->in_pounds, rows[i].in_pounds);
    rc_shop_free(shop);
    g_free(text);
  }
  for (guint i = 0; i < G_N_ELEMENTS(bad); ++i) {
    GError *error = NULL;
    char *text = g_strdup_printf("offers:\n- {name: a, layout: '8', weight: '%s'}\n", bad[i]);
    assert_null(rc_shop_parse(text, strlen(text), "window.offers", &error));
    assert_true(g_str_has_prefix(error->message, "window.offers:2:34: found weight `"));
    g_error_free(error);
    g_free(text);
  }
}

// A name of 80 characters, a title and remarks of 2000; letters count, not bytes.
static void
test_texts_at_their_limits(void **state)
{
  (void)state;
  static const struct {
    guint name, title, remarks;
    const char *message;
  } cases[] = {
    { 80, 2000, 2000, NULL },
    { 81, 2000, 2000, "`name` has 81 characters; shorten it to 80" },
    { 80, 2001, 2000, "`title` has 2001 characters; shorten it to 2000" },
    { 80, 2000, 2001, "`remarks` has 2001 characters; shorten it to 2000" },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    GError *error = NULL;
    GString *text = g_string_new("title: ");
    const guint lengths[] = { cases[i].title, cases[i].name, cases[i].remarks };
    static const char *const before[] = { "", "\noffers:\n- layout: '8'\n  name: ", "\n  remarks: " };
    for (guint j = 0; j < G_N_ELEMENTS(lengths); ++j) {
      g_string_append(text, before[j]);
      for (guint n = 0; n < lengths[j]; ++n) {
        g_string_append(text, "\u00e4");
      }
    }
    RcShop *shop = rc_shop_parse(text->str, text->len, "window.offers", &error);
    assert_int_equal(shop != NULL, cases[i].message == NULL);
    assert_true(shop || strstr(error->message, cases[i].message));
    g_clear_error(&error);
    rc_shop_free(shop);
    g_string_free(text, TRUE);
  }
}

static void
test_a_whole_file(void **state)
{
  (void)state;
  RcShop *shop = parse("title: |\n  Two\n  lines\n"
                       "currency: EUR\n"
                       "rates: {GBP: 1.17, SEK: 0.087500}\n"
                       "offers:\n"
                       "- {name: '  Old  48 ', layout: 48-8x6, price: 419.5, weight: 5.125 kg, remarks: worn}\n"
                       "- {name: Second, layout: '72', dead: [minor C], price: 100.01 GBP, weight: 25}\n"
                       "- name: Third\n"
                       "  layout:\n"
                       "    columns: C..D\n"
                       "    rows: [fundamental, major]\n"
                       "    retuned: {major D: D minor}\n"
                       "    dead: [major G]\n"
                       "  dead: [fundamental C]\n"
                       "  price: 0.01 SEK\n"
                       "  weight: 0.5\n");
  assert_string_equal(shop->title, "Two lines");
  assert_string_equal(shop->currency, "EUR");
  assert_int_equal(shop->offers->len, 3);
  const RcOffer *first = rc_shop_offer(shop, 0);
  assert_string_equal(first->name, "Old 48");
  assert_string_equal(first->layout->name, "48-8x6");
  assert_int_equal(first->cents, 41950);
  assert_string_equal(first->currency, "EUR");
  assert_int_equal(first->cost, 41950 * (RC_COST_UNIT / 100));
  assert_int_equal(first->grams, 5125);
  assert_string_equal(first->remarks, "worn");
  const RcOffer *second = rc_shop_offer(shop, 1);
  assert_int_equal(rc_layout_count_buttons(second->layout), 71);
  assert_string_equal(second->currency, "GBP");
  assert_true(second->cost == 11701170000); // 100.01 times 1.17 is 117.0117
  assert_int_equal(second->grams, 25000);
  assert_string_equal(second->remarks, "");
  const RcOffer *third = rc_shop_offer(shop, 2);
  assert_int_equal(third->layout->buttons->len, 6);
  assert_int_equal(rc_layout_count_buttons(third->layout), 4);
  assert_int_equal(rc_layout_button(third->layout, 5)->sound.kind, RC_SOUND_MINOR);
  assert_true(third->layout->column_mm == 16 && third->layout->row_mm == 12.5 && third->layout->slant_mm == 8);
  assert_int_equal(third->cost, 87500); // 0.01 times 0.0875 is 0.000875
  assert_int_equal(third->grams, 500);
  rc_shop_free(shop);
}

// What is unknown is left out, empty or said to be unknown; it is never a number.
static void
test_unknown(void **state)
{
  (void)state;
  RcShop *shop =
    parse("offers:\n- {name: a, layout: '8'}\n- {name: b, layout: '8', price: unknown, weight: unknown}\n"
          "- {name: c, layout: '8', price: , weight: }\n- {name: d, layout: '8', price: ~, weight: null}\n");
  for (guint i = 0; i < shop->offers->len; ++i) {
    const RcOffer *offer = rc_shop_offer(shop, i);
    assert_int_equal(offer->cents, 0);
    assert_int_equal(offer->cost, 0);
    assert_int_equal(offer->grams, 0);
    assert_string_equal(offer->currency, "");
  }
  assert_string_equal(shop->currency, "");
  rc_shop_free(shop);
}

// A price may come to as much as one may be asked.
static void
test_rates_at_their_limits(void **state)
{
  (void)state;
  RcShop *shop = parse("currency: EUR\nrates: {GBP: 10000, SEK: 0.000001}\noffers:\n"
                       "- {name: a, layout: '8', price: 100 GBP}\n- {name: b, layout: '8', price: 1 SEK}\n"
                       "- {name: c, layout: '8', price: 5}\n");
  assert_true(rc_shop_offer(shop, 0)->cost == 1000000 * RC_COST_UNIT);
  assert_true(rc_shop_offer(shop, 1)->cost == 100);
  assert_string_equal(rc_shop_offer(shop, 2)->currency, "EUR");
  rc_shop_free(shop);
}

static void
test_the_first_currency_counts_where_none_is_stated(void **state)
{
  (void)state;
  RcShop *shop = parse("offers:\n- {name: a, layout: '8'}\n- {name: b, layout: '8', price: 90 CHF}\n"
                       "- {name: c, layout: '8', price: 80 CHF}\n");
  assert_string_equal(shop->currency, "CHF");
  assert_int_equal(rc_shop_offer(shop, 2)->cost, 80 * RC_COST_UNIT);
  rc_shop_free(shop);
}

// Paths of layouts begin at the folder of the offer file.
static void
test_layouts_beside_the_file(void **state)
{
  (void)state;
  GError *error = NULL;
  char *folder = g_dir_make_tmp("rowcall-offers-XXXXXX", NULL);
  char *board = g_build_filename(folder, "board.yaml", NULL);
  char *offers = g_build_filename(folder, "window.offers", NULL);
  assert_true(g_file_set_contents(board,
                                  "name: little\ntitle: two\ncolumns: [C, G]\nrows: [fundamental]\n"
                                  "spacing: {column: 16, row: 12}\n",
                                  -1, NULL));
  assert_true(g_file_set_contents(offers, "offers: [{name: a, layout: board.yaml}, {name: b, layout: ./board.yaml}]\n",
                                  -1, NULL));
  RcShop *shop = rc_shop_read(offers, &error);
  assert_null(error);
  assert_string_equal(rc_shop_offer(shop, 0)->layout->name, "little");
  assert_string_equal(rc_shop_offer(shop, 1)->layout->name, "little");
  rc_shop_free(shop);
  assert_true(g_file_set_contents(board, "name: little\n", -1, NULL));
  assert_null(rc_shop_read(offers, &error));
  assert_non_null(strstr(error->message, "window.offers:1:28: "));
  assert_non_null(strstr(error->message, "board.yaml:1:1: a layout needs a line `columns: Eb..E`"));
  g_clear_error(&error);
  assert_null(rc_shop_read(folder, &error));
  assert_int_equal(error->code, RC_ERROR_IO);
  g_clear_error(&error);
  g_unlink(board);
  g_unlink(offers);
  g_rmdir(folder);
  g_free(board);
  g_free(offers);
  g_free(folder);
}

// ------------------------------------------------------------------------------------------------------- bad files

typedef struct {
  const char *text;
  const char *message; // after "window.offers:"
} BadFile;

#define ONE "offers:\n- {name: a, layout: '8', "
#define EURO "currency: EUR\n"
#define WRONG_PRICE                                                                                                    \
  "; expected a number such as 420 or 419.50, above 0 and at most 1000000, alone or with its currency (`420 EUR`), "   \
  "or "                                                                                                                \
  "`unknown`"
#define WRONG_WEIGHT "; expected 0.5 to 25 kilograms, such as 5.1, or pounds, such as `21 lb`, or `unknown`"
#define MANY_DIGITS(whole)                                                                                             \
  ": three digits after a point or comma may be thousands or decimals; write thousands without one (`" whole "`) and " \
  "at most two decimals"
#define WRONG_RATE                                                                                                     \
  "; expected what one GBP costs in EUR: a number above 0, at most 10000, with at most 6 decimals after a point"
#define NEEDS_OFFERS "an offer file needs `offers:`, a list of offers each of which begins with `- name: ...`"
#define NEEDS_LAYOUT                                                                                                   \
  "an offer needs a line `layout: ...`: a name of `rowcall layouts`, the path of a layout file, or `{columns: ..., "   \
  "rows: ...}`"

static const BadFile bad_files[] = {
  { "", "1:1: an offer file is a list of `key: value` lines; found nothing" },
  { "- a\n", "1:1: an offer file is a list of `key: value` lines; found something else" },
  { "title: a\n", "1:1: " NEEDS_OFFERS },
  { "offers:\n", "1:8: " NEEDS_OFFERS },
  { "offers: []\n", "1:9: " NEEDS_OFFERS },
  { "offers: {name: a}\n", "1:9: " NEEDS_OFFERS },
  { "ofers: []\n", "1:1: unknown key `ofers`; did you mean `offers`?" },
  { "key: D\n", "1:1: unknown key `key`; expected one of: title, currency, rates, offers" },
  { "offers: []\noffers: []\n", "2:1: the key `offers` is given twice; keep one" },
  { "title: [a]\n", "1:8: `title` is a text; found a list" },
  { "offers: [a]\n",
    "1:10: found `a`; expected an offer: lines `name: ...`, `layout: ...`, `price: ...`, `weight: ...`" },
  { ONE "price: 1 EUR}\n---\noffers: []\n",
    "3:1: a second document begins here; a file of this kind holds one, so remove the line `---`" },
  // names
  { "offers:\n- {layout: '8'}\n", "2:3: an offer needs a line `name: ...`" },
  { "offers:\n- {name: ' ', layout: '8'}\n", "2:10: an offer needs a line `name: ...`" },
  { "offers:\n- {name: [a], layout: '8'}\n", "2:10: `name` is a text; found a list" },
  { "offers:\n- {name: \"a\\x07\", layout: '8'}\n",
    "2:10: the control character U+0007 is not allowed in a text; remove it" },
  { "offers:\n- {name: aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa, layout: "
    "'8'}\n",
    "2:10: `name` has 81 characters; shorten it to 80" },
  { "offers:\n- {name: a b, layout: '8'}\n- {name: a  b, layout: '12'}\n",
    "3:10: the offer `a b` is listed twice, first in line 2; give each a name of its own" },
  // layouts
  { "offers:\n- {name: a}\n", "2:3: " NEEDS_LAYOUT },
  { "offers:\n- {name: a, layout: }\n", "2:21: " NEEDS_LAYOUT },
  { "offers:\n- {name: a, layout: [8]}\n", "2:21: " NEEDS_LAYOUT },
  { "offers:\n- {name: a, layout: {columns: C..D}}\n",
    "2:21: a layout needs `rows:`, a list such as [fundamental, major], from the bellows outwards" },
  { "offers:\n- {name: a, layout: {columns: C..D, rows: [fundamental], colour: red}}\n",
    "2:58: unknown key `colour`; expected one of: name, title, source, columns, rows, spacing, reeds, dead, "
    "retuned, buttons, mirrored" },
  { "offers:\n- {name: a, layout: {columns: C..D, rows: [fundamental], spacing: {column: 16}}}\n",
    "2:67: `spacing` names column and row in mm, as {column: 16, row: 12.5, slant: 8}; or leave it out" },
  { ONE "dead: minor C}\n", "2:32: `dead` is a list such as [minor E, seventh E]" },
  { ONE "dead: [minor C]}\n",
    "2:33: found button `minor C`, but no row `minor`; the rows here are fundamental, major" },
  { "offers:\n- {name: a, layout: /dev/null}\n", "2:21: the layout /dev/null is a folder or a device; name a file" },
  { "offers:\n- {name: a, layout: ./nowhere.yaml}\n",
    "2:21: ./nowhere.yaml: cannot be read: No such file or directory" },
  // prices
  { EURO ONE "price: dear}\n", "3:33: found price `dear`" WRONG_PRICE },
  { EURO ONE "price: [420]}\n", "3:33: found price `(a list)`" WRONG_PRICE },
  { EURO ONE "price: 0}\n", "3:33: found price `0`" WRONG_PRICE },
  { EURO ONE "price: -5}\n", "3:33: found price `-5`" WRONG_PRICE },
  { EURO ONE "price: 1e3}\n", "3:33: found price `1e3`" WRONG_PRICE },
  { EURO ONE "price: 420.}\n", "3:33: found price `420.`" WRONG_PRICE },
  { EURO ONE "price: .5}\n", "3:33: found price `.5`" WRONG_PRICE },
  { EURO ONE "price: 1.001}\n", "3:33: found price `1.001`" MANY_DIGITS("1001") },
  { EURO ONE "price: 1.200}\n", "3:33: found price `1.200`" MANY_DIGITS("1200") },
  { EURO ONE "price: '1,200'}\n", "3:33: found price `1,200`" MANY_DIGITS("1200") },
  { EURO ONE "price: '€ 12.500'}\n", "3:33: found price `€ 12.500`" MANY_DIGITS("12500") },
  { ONE "price: 1.200 EUR}\n", "2:33: found price `1.200 EUR`" MANY_DIGITS("1200") },
  { ONE "price: '1,200.50 EUR'}\n", "2:33: found price `1,200.50 EUR`" MANY_DIGITS("1200") },
  { ONE "price: $450}\n", "2:33: found price `$450`" WRONG_PRICE },
  { ONE "price: €450 EUR}\n", "2:33: found price `€450 EUR`" WRONG_PRICE },
  { ONE "price: €}\n", "2:33: found price `€`" WRONG_PRICE },
  { EURO ONE "price: '420,50'}\n", "3:33: found price `420,50`" WRONG_PRICE },
  { EURO ONE "price: 420 euro}\n", "3:33: found price `420 euro`" WRONG_PRICE },
  { EURO ONE "price: 1000000.01}\n", "3:33: found price `1000000.01`" WRONG_PRICE },
  { EURO ONE "price: 99999999999999999999999}\n", "3:33: found price `99999999999999999999999`" WRONG_PRICE },
  { ONE "price: 420}\n", "2:33: found the price 420 without a currency; write it as `420 EUR`, or `currency: EUR` for "
                         "all prices at the head of the file" },
  // currencies
  { "currency: euro\n", "1:11: found currency `euro`; expected its three capital letters, such as EUR" },
  { "currency: [EUR]\n", "1:11: found currency `(a list)`; expected its three capital letters, such as EUR" },
  { EURO ONE "price: 420 GBP}\n",
    "3:33: found a price in GBP where prices are counted in EUR; write `rates: {GBP: ...}` with what one GBP costs in "
    "EUR, or give all prices in one currency" },
  { ONE "price: 420 GBP}\n- {name: b, layout: '8', price: 3 EUR}\n",
    "3:33: found a price in EUR where prices are counted in GBP; write `currency: ...` and `rates: {EUR: ...}` with "
    "what one EUR costs in that currency, or give all prices in one currency" },
  { "rates: {GBP: 2}\n", "1:8: `rates` need a line `currency: EUR` that says in which currency they are counted" },
  { EURO "rates: 2\n", "2:8: `rates` is a list of lines such as `GBP: ...`: what one of that currency costs in EUR" },
  { EURO "rates: {EUR: 1}\n",
    "2:9: found a rate of `EUR`; expected another currency than EUR, in three capital letters" },
  { EURO "rates: {pound: 1}\n",
    "2:9: found a rate of `pound`; expected another currency than EUR, in three capital letters" },
  { EURO "rates: {GBP: 0}\n", "2:14: found `0`" WRONG_RATE },
  { EURO "rates: {GBP: 1.1234567}\n", "2:14: found `1.1234567`" WRONG_RATE },
  { EURO "rates: {GBP: 10001}\n", "2:14: found `10001`" WRONG_RATE },
  { EURO "rates: {GBP: 2 EUR}\n", "2:14: found `2 EUR`" WRONG_RATE },
  { EURO "rates: {GBP: 2, GBP: 3}\n", "2:17: the key `GBP` is given twice; keep one" },
  { EURO "rates: {GBP: 10000}\n" ONE "price: 101 GBP}\n",
    "4:33: the price comes to more than 1000000 EUR; look at the rate of GBP" },
  // weights
  { ONE "weight: heavy}\n", "2:34: found weight `heavy`" WRONG_WEIGHT },
  { ONE "weight: 0}\n", "2:34: found weight `0`" WRONG_WEIGHT },
  { ONE "weight: 0.499}\n", "2:34: found weight `0.499`" WRONG_WEIGHT },
  { ONE "weight: 25.001}\n", "2:34: found weight `25.001`" WRONG_WEIGHT },
  { ONE "weight: '5,1'}\n", "2:34: found weight `5,1`" WRONG_WEIGHT },
  { ONE "weight: 11 pf}\n", "2:34: found weight `11 pf`" WRONG_WEIGHT },
  { ONE "weight: 1.1 lb}\n", "2:34: found weight `1.1 lb`" WRONG_WEIGHT }, // 499 g
  { ONE "weight: 56 lb}\n", "2:34: found weight `56 lb`" WRONG_WEIGHT },   // 25401 g
  { ONE "weight: [5]}\n", "2:34: found weight `(a list)`" WRONG_WEIGHT },
  // the rest
  { ONE "remarks: {a: b}}\n", "2:35: `remarks` is a text; found a list" },
  { ONE "wieght: 5}\n", "2:26: unknown key `wieght`; did you mean `weight`?" },
};

static gboolean
fails_as_said(const BadFile *bad)
{
  GError *error = NULL;
  RcShop *shop = rc_shop_parse(bad->text, strlen(bad->text), "window.offers", &error);
  char *expected = g_strconcat("window.offers:", bad->message, NULL);
  const char *found = error ? error->message : "a shop";
  const gboolean same = !shop && !strcmp(found, expected);
  if (!same) {
    print_error("found    %s\nexpected %s\n", found, expected);
  }
  g_free(expected);
  g_clear_error(&error);
  rc_shop_free(shop);
  return same;
}

static void
test_bad_files(void **state)
{
  (void)state;
  guint wrong = 0;
  for (guint i = 0; i < G_N_ELEMENTS(bad_files); ++i) {
    wrong += fails_as_said(&bad_files[i]) ? 0 : 1;
  }
  assert_int_equal(wrong, 0);
}

static void
test_a_layout_that_is_unknown(void **state)
{
  (void)state;
  GError *error = NULL;
  const char text[] = "offers:\n- {name: a, layout: 48-8x7}\n";
  assert_null(rc_shop_parse(text, strlen(text), "window.offers", &error));
  assert_true(
    g_str_has_prefix(error->message, "window.offers:2:21: no layout is called `48-8x7`; did you mean `48-8x6`? "));
  assert_int_equal(error->code, RC_ERROR_UNKNOWN);
  g_error_free(error);
}

static void
test_as_many_offers_as_there_may_be(void **state)
{
  (void)state;
  GError *error = NULL;
  GString *text = g_string_new("offers:\n");
  for (guint i = 0; i < RC_MAX_OFFERS; ++i) {
    g_string_append_printf(text, "- {name: %u, layout: '8'}\n", i);
  }
  RcShop *shop = parse(text->str);
  assert_int_equal(shop->offers->len, RC_MAX_OFFERS);
  rc_shop_free(shop);
  g_string_append(text, "- {name: more, layout: '8'}\n");
  assert_null(rc_shop_parse(text->str, text->len, "window.offers", &error));
  assert_string_equal(error->message, "window.offers:502:3: more than 500 offers; split the file");
  g_error_free(error);
  g_string_free(text, TRUE);
}

// Of a hundred dead buttons it is worked out what their repair brings; the others are counted.
static void
test_as_many_repairs_as_are_tried(void **state)
{
  (void)state;
  static const char *const columns[] = { "Eb", "Bb", "F", "C", "G", "D", "A", "E" };
  static const char *const rows[] = { "counterbass", "minor", "seventh" };
  for (guint n = 4; n <= 5; ++n) { // offers with 24 each
    GString *text = g_string_new("offers:\n");
    for (guint i = 0; i < n; ++i) {
      g_string_append_printf(text, "- {name: %u, layout: 48-8x6, dead: [", i);
      for (guint j = 0; j < 24; ++j) {
        g_string_append_printf(text, "%s%s %s", j ? ", " : "", rows[j / 8], columns[j % 8]);
      }
      g_string_append(text, "]}\n");
    }
    RcShop *shop = parse(text->str);
    assert_int_equal(shop->repairs->len, n == 4 ? 96 : 100);
    assert_int_equal(shop->untried, n == 4 ? 0 : 20);
    assert_int_equal(g_array_index(shop->repairs, RcRepair, 95).offer, 3);
    rc_shop_free(shop);
    g_string_free(text, TRUE);
  }
}

// On a box for G and C the button E is E major on push and A minor on pull, C is C major and G major, F is F major both
// ways: `dead` may silence one direction alone, and the places of all other buttons in the list move.
static void
test_repairs_of_a_push_and_pull_box(void **state)
{
  (void)state;
  static const struct {
    const char *dead;
    const char *repaired[2];
  } cases[] = {
    { "[chord E, chord C]", { "E major", "C major" } },
    { "[chord F pull, chord C pull]", { "F major", "G major (in the C column)" } },
    { "[chord E pull]", { "A minor (in the E column)", NULL } },
    { "[bass C push]", { "C bass", NULL } },
  };
  for (guint i = 0; i < G_N_ELEMENTS(cases); ++i) {
    char *text = g_strdup_printf("offers:\n- {name: One, layout: push-pull-8-gc, dead: %s}\n", cases[i].dead);
    RcShop *shop = parse(text);
    RcLayout *whole = rc_layout_find("push-pull-8-gc", NULL);
    assert_int_equal(shop->repairs->len, cases[i].repaired[1] ? 2 : 1);
    for (guint j = 0; j < shop->repairs->len; ++j) {
      const RcRepair *repair = &g_array_index(shop->repairs, RcRepair, j);
      char *name = rc_button_name(repair->layout, rc_layout_button(repair->layout, repair->button), RC_SIGNS_ASCII);
      assert_string_equal(name, cases[i].repaired[j]);
      g_free(name);
    }
    if (!cases[i].repaired[1]) { // then all sounds again
      const RcLayout *repaired = g_array_index(shop->repairs, RcRepair, 0).layout;
      assert_int_equal(repaired->buttons->len, whole->buttons->len);
      for (guint j = 0; j < whole->buttons->len; ++j) {
        const RcButton *button = rc_layout_button(repaired, j);
        assert_int_equal(button->bellows, rc_layout_button(whole, j)->bellows);
        assert_int_equal(button->sound.tones, rc_layout_button(whole, j)->sound.tones);
      }
    }
    rc_layout_free(whole);
    rc_shop_free(shop);
    g_free(text);
  }
}

static void
test_nothing_can_be_freed(void **state)
{
  (void)state;
  rc_shop_free(NULL);
  rc_tally_free(NULL);
}

// ------------------------------------------------------------------------------------------------ which beats which

typedef struct {
  RcWorth a;
  RcWorth b;
  gboolean beats;
} Pair;

static const Pair pairs[] = {
  { { 5, 5, 5 }, { 5, 5, 5 }, FALSE }, // equal in all
  { { 4, 5, 5 }, { 5, 5, 5 }, TRUE },  // cheaper
  { { 5, 4, 5 }, { 5, 5, 5 }, TRUE },  // lighter
  { { 5, 5, 6 }, { 5, 5, 5 }, TRUE },  // carries more
  { { 4, 4, 6 }, { 5, 5, 5 }, TRUE },  // all of these
  { { 4, 6, 6 }, { 5, 5, 5 }, FALSE }, // heavier
  { { 4, 4, 4 }, { 5, 5, 5 }, FALSE }, // carries less
  { { 0, 4, 6 }, { 5, 5, 5 }, FALSE }, // no price is not a low one
  { { 4, 0, 6 }, { 5, 5, 5 }, FALSE }, // no weight is not a low one
  { { 4, 4, 6 }, { 0, 5, 5 }, FALSE }, // the other might be cheaper
  { { 4, 4, 6 }, { 5, 0, 5 }, FALSE }, // or lighter
  { { 0, 4, 6 }, { 0, 5, 5 }, FALSE }, // unknown is not equal
};

static void
test_pairs_by_hand(void **state)
{
  (void)state;
  for (guint i = 0; i < G_N_ELEMENTS(pairs); ++i) {
    assert_int_equal(rc_worth_beats(&pairs[i].a, &pairs[i].b), pairs[i].beats);
    assert_false(rc_worth_beats(&pairs[i].b, &pairs[i].a));
  }
}

// -------------------------------------------------------------------------------------------------- random windows

// Keyboards of known coverage: catalogues that are made once.
static const char *const board_names[] = { "8", "12", "24", "32", "48-8x6", "48-12x4", "72" };
enum { N_BOARDS = G_N_ELEMENTS(board_names) };

typedef struct {
  RcLayout *layouts[N_BOARDS];
  RcCatalogue *catalogues[N_BOARDS];
  gint64 carried[N_BOARDS]; // quarter notes
  RcTune *tune;
  RcCorpus *corpus; // owns the tune's file name
} Boards;

// A bar of 4/4 for each, at a tempo at which nothing is brisk.
static const char tune_text[] = "title: t\nmeter: 4/4\ntempo: 60\n"
                                "parts: {A: '| C | Dm | G7 | Bm | Ab | Cdim | D | F#7 | Eb |'}\n";
static const char *const tune_chords[] = { "C", "Dm", "G7", "Bm", "Ab", "Cdim", "D", "F#7", "Eb" };
enum { QUARTERS_A_BAR = 4, TUNE_QUARTERS = QUARTERS_A_BAR * G_N_ELEMENTS(tune_chords) };

// Counted without the roll: each chord asked by itself.
static gint64
count_carried(const RcCatalogue *catalogue)
{
  gint64 quarters = 0;
  for (guint i = 0; i < G_N_ELEMENTS(tune_chords); ++i) {
    RcRequest request = { 0 };
    assert_int_equal(rc_chord_parse(tune_chords[i], strlen(tune_chords[i]), RC_NAMES_ENGLISH, &request.chord, NULL),
                     RC_SYMBOL_CHORD);
    quarters += rc_catalogue_best(catalogue, rc_taste(), &request).verdict <= RC_LEANER ? QUARTERS_A_BAR : 0;
  }
  return quarters;
}

static void
read_tune(Boards *b)
{
  char *path = NULL;
  const int file = g_file_open_tmp("rowcall-tune-XXXXXX.yaml", &path, NULL);
  assert_true(file >= 0);
  g_close(file, NULL);
  assert_true(g_file_set_contents(path, tune_text, -1, NULL));
  const char *const paths[] = { path, NULL };
  b->corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  b->tune = rc_tune_new();
  assert_int_equal(rc_corpus_next(b->corpus, b->tune, NULL), RC_READ_TUNE);
  g_unlink(path);
  g_free(path);
}

static void
start_boards(Boards *b)
{
  for (guint i = 0; i < N_BOARDS; ++i) {
    b->layouts[i] = rc_layout_find(board_names[i], NULL);
    b->catalogues[i] = rc_catalogue_new(b->layouts[i], (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
    b->carried[i] = count_carried(b->catalogues[i]);
  }
  read_tune(b);
}

static void
clear_boards(Boards *b)
{
  for (guint i = 0; i < N_BOARDS; ++i) {
    rc_catalogue_free(b->catalogues[i]);
    rc_layout_free(b->layouts[i]);
  }
  rc_tune_free(b->tune);
  rc_corpus_free(b->corpus);
}

enum { MOST_OFFERS = 14 };

// An offer as it was thought up; 0 is unknown.
typedef struct {
  guint board;
  gint64 price; // in EUR
  gint64 kg;
} Idea;

typedef struct {
  Idea ideas[MOST_OFFERS];
  guint n;
  gint64 target; // percent
} Window;

// Small numbers, so that many are equal; a third of the prices are written in a currency worth two EUR.
static char *
think_up(GRand *random, Window *w)
{
  GString *text = g_string_new("currency: EUR\nrates: {GBP: 2}\noffers:\n");
  w->n = (guint)g_rand_int_range(random, 1, MOST_OFFERS + 1);
  w->target = g_rand_int_range(random, 20, 101);
  for (guint i = 0; i < w->n; ++i) {
    Idea *idea = &w->ideas[i];
    const gboolean pounds = g_rand_int_range(random, 0, 3) == 0;
    const gint64 number = g_rand_int_range(random, 0, 7);
    *idea = (Idea){ (guint)g_rand_int_range(random, 0, N_BOARDS), pounds ? 2 * number : number,
                    g_rand_int_range(random, 0, 6) };
    g_string_append_printf(text, "- {name: offer %u, layout: '%s'", i, board_names[idea->board]);
    if (idea->price) {
      g_string_append_printf(text, ", price: %d %s", (int)number, pounds ? "GBP" : "EUR");
    }
    if (idea->kg) {
      g_string_append_printf(text, ", weight: %d", (int)idea->kg);
    }
    g_string_append(text, "}\n");
  }
  return g_string_free(text, FALSE);
}

// The definition, word by word: whether another offer is known to be at least as good in price, in weight and in
// playing time, and better in one of them.
static gboolean
is_beaten(const Boards *b, const Window *w, guint i)
{
  const Idea *one = &w->ideas[i];
  for (guint j = 0; j < w->n; ++j) {
    const Idea *other = &w->ideas[j];
    const gboolean known = one->price && one->kg && other->price && other->kg;
    const gint64 more = b->carried[other->board] - b->carried[one->board];
    const gboolean as_good = other->price <= one->price && other->kg <= one->kg && more >= 0;
    const gboolean better = other->price < one->price || other->kg < one->kg || more > 0;
    if (known && as_good && better) {
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
idea_reaches(const Boards *b, const Window *w, guint i)
{
  return b->carried[w->ideas[i].board] * 100 >= TUNE_QUARTERS * w->target;
}

// The least known price (or weight) among those that reach the target; 0 for none.
static gint64
least_known(const Boards *b, const Window *w, gboolean weight)
{
  gint64 least = 0;
  for (guint i = 0; i < w->n; ++i) {
    const gint64 size = weight ? w->ideas[i].kg : w->ideas[i].price;
    if (idea_reaches(b, w, i) && size && (!least || size < least)) {
      least = size;
    }
  }
  return least;
}

static void
check_rows(const Boards *b, const Window *w, const RcStandings *s)
{
  guint seen = 0;
  assert_int_equal(s->n, w->n);
  for (guint i = 0; i < s->n; ++i) {
    const RcStanding *row = &s->rows[i];
    const Idea *idea = &w->ideas[row->offer];
    seen |= 1U << row->offer;
    assert_true(row->worth.cost == idea->price * RC_COST_UNIT);
    assert_int_equal(row->worth.grams, idea->kg * 1000);
    assert_true(row->worth.carried == b->carried[idea->board] * RC_QUARTER);
    assert_int_equal(row->judged, idea->price && idea->kg);
    assert_int_equal(row->beaten, is_beaten(b, w, row->offer));
    assert_int_equal(row->reaches, idea_reaches(b, w, row->offer));
    if (i) { // by price, unknown ones last
      const gint64 before = w->ideas[s->rows[i - 1].offer].price;
      assert_true(before ? !idea->price || before <= idea->price : !idea->price);
    }
  }
  assert_int_equal(seen, (1U << w->n) - 1);
}

static void
check_choices(const Boards *b, const Window *w, const RcStandings *s)
{
  const gint64 price = least_known(b, w, FALSE);
  const gint64 kg = least_known(b, w, TRUE);
  gint64 most = 0;
  for (guint i = 0; i < w->n; ++i) {
    most = MAX(most, b->carried[w->ideas[i].board]);
  }
  assert_int_equal(s->cheapest >= 0, price != 0);
  assert_int_equal(s->lightest >= 0, kg != 0);
  assert_true(s->cheapest < 0 || w->ideas[s->rows[s->cheapest].offer].price == price);
  assert_true(s->lightest < 0 || w->ideas[s->rows[s->lightest].offer].kg == kg);
  assert_true(b->carried[w->ideas[s->rows[s->nearest].offer].board] == most);
}

static void
check_window(const Boards *b, GRand *random)
{
  Window w;
  RcCatalogue *catalogues[MOST_OFFERS];
  char *text = think_up(random, &w);
  RcShop *shop = parse(text);
  for (guint i = 0; i < w.n; ++i) {
    assert_string_equal(rc_shop_offer(shop, i)->layout->name, board_names[w.ideas[i].board]);
    catalogues[i] = b->catalogues[w.ideas[i].board];
  }
  RcPanel *panel = rc_panel_new(catalogues, w.n, (RcTaste){ RC_PREFER_PLAIN, RC_LEANER });
  RcTally *tally = rc_tally_new(panel, rc_roll_settings());
  rc_tally_add(tally, b->tune);
  RcStandings standings = rc_shop_judge(shop, tally, (guint)w.target * (RC_TARGET_ALL / 100));
  check_rows(b, &w, &standings);
  check_choices(b, &w, &standings);
  rc_standings_clear(&standings);
  assert_true(!standings.rows && !standings.n);
  rc_tally_free(tally);
  rc_panel_free(panel);
  rc_shop_free(shop);
  g_free(text);
}

static void
test_random_windows(void **state)
{
  (void)state;
  enum { WINDOWS = 1000 / THINNED, SEED = 48 };
  Boards boards;
  start_boards(&boards);
  for (guint i = 1; i < N_BOARDS; ++i) { // so that there is something to tell apart
    assert_true(boards.carried[i] >= boards.carried[0] && boards.carried[i] <= TUNE_QUARTERS);
  }
  assert_true(boards.carried[0] < boards.carried[N_BOARDS - 1]);
  GRand *random = g_rand_new_with_seed(SEED);
  for (guint i = 0; i < WINDOWS; ++i) {
    check_window(&boards, random);
  }
  g_rand_free(random);
  clear_boards(&boards);
}

// Of two at one price and weight the one that carries more is named, whichever comes first.
static void
test_a_tie_is_for_what_carries_more(void **state)
{
  (void)state;
  Boards b;
  start_boards(&b);
  for (guint larger = 0; larger < 2; ++larger) {
    char *text = g_strdup_printf("currency: EUR\noffers:\n"
                                 "- {name: One, layout: \"%s\", price: 100, weight: 5 kg}\n"
                                 "- {name: Two, layout: \"%s\", price: 100, weight: 5 kg}\n",
                                 board_names[larger ? 0 : N_BOARDS - 1], board_names[larger ? N_BOARDS - 1 : 0]);
    RcShop *shop = parse(text);
    RcCatalogue *catalogues[] = { b.catalogues[larger ? 0 : N_BOARDS - 1], b.catalogues[larger ? N_BOARDS - 1 : 0] };
    RcPanel *panel = rc_panel_new(catalogues, 2, (RcTaste){ RC_PREFER_PLAIN, RC_LEANER });
    RcTally *tally = rc_tally_new(panel, rc_roll_settings());
    rc_tally_add(tally, b.tune);
    RcStandings standings = rc_shop_judge(shop, tally, 1);
    assert_int_equal(standings.rows[standings.cheapest].offer, larger);
    assert_int_equal(standings.rows[standings.lightest].offer, larger);
    rc_standings_clear(&standings);
    rc_tally_free(tally);
    rc_panel_free(panel);
    rc_shop_free(shop);
    g_free(text);
  }
  clear_boards(&b);
}

// ---------------------------------------------------------------------------------------------------------- repairs

static RcTune *
add_tune(RcTally *tally, const char *bars)
{
  char *path = NULL;
  const int file = g_file_open_tmp("rowcall-tune-XXXXXX.yaml", &path, NULL);
  char *text = g_strdup_printf("title: t\nmeter: 4/4\ntempo: 60\nparts: {A: '%s'}\n", bars);
  const char *const paths[] = { path, NULL };
  RcTune *tune = rc_tune_new();
  assert_true(file >= 0);
  g_close(file, NULL);
  assert_true(g_file_set_contents(path, text, -1, NULL));
  RcCorpus *corpus = rc_corpus_new(paths, (RcCorpusOptions){ 0 });
  assert_int_equal(rc_corpus_next(corpus, tune, NULL), RC_READ_TUNE);
  rc_tally_add(tally, tune);
  rc_corpus_free(corpus);
  g_unlink(path);
  g_free(text);
  g_free(path);
  return tune;
}

// Of four 24s two lack the button of A minor and one that of E minor. They carry as much, but of the tunes others.
static void
test_who_leaves_out_other_tunes_is_not_alike(void **state)
{
  (void)state;
  static const char *const tunes[] = { "| C | Am |", "| C | Em |", "| G | Dm |" };
  static const guint alike[] = { 0, 1, 0, 3 };
  RcShop *shop = parse("offers:\n- {name: a, layout: '24', dead: [minor A]}\n"
                       "- {name: b, layout: '24', dead: [minor E]}\n- {name: c, layout: '24', dead: [minor A]}\n"
                       "- {name: d, layout: '24'}\n");
  enum { N = G_N_ELEMENTS(alike) };
  RcCatalogue *catalogues[N] = { NULL };
  RcTune *added[G_N_ELEMENTS(tunes)] = { NULL };
  for (guint i = 0; i < N; ++i) {
    catalogues[i] = rc_catalogue_new(rc_shop_offer(shop, i)->layout, (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  }
  RcPanel *panel = rc_panel_new(catalogues, N, (RcTaste){ RC_PREFER_PLAIN, RC_SAME });
  RcTally *tally = rc_tally_new(panel, rc_roll_settings());
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    added[i] = add_tune(tally, tunes[i]);
  }
  RcStandings s = rc_shop_judge(shop, tally, RC_TARGET_ALL);
  for (guint i = 0; i < N; ++i) {
    assert_int_equal(s.rows[i].offer, i);
    assert_int_equal(s.rows[i].alike, alike[i]);
  }
  rc_standings_clear(&s);
  rc_tally_free(tally);
  rc_panel_free(panel);
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    rc_tune_free(added[i]);
  }
  for (guint i = 0; i < N; ++i) {
    rc_catalogue_free(catalogues[i]);
  }
  rc_shop_free(shop);
}

// A 24 without its button of A minor: of three tunes one plays all the same, and two more with it. Accepted are chords
// with a button of their own and those of the same notes.
static void
test_a_repair_brings_what_was_left_out(void **state)
{
  (void)state;
  static const char *const tunes[] = { "| C | G |", "| C | Am | Am |", "| Am | F |" };
  RcShop *shop = parse("currency: EUR\noffers:\n- {name: One, layout: \"24\", price: 100, dead: [minor A]}\n");
  RcCatalogue *catalogues[2] = { NULL };
  const RcLayout *layouts[] = { ((const RcOffer *)g_ptr_array_index(shop->offers, 0))->layout,
                                g_array_index(shop->repairs, RcRepair, 0).layout };
  RcTune *added[G_N_ELEMENTS(tunes)] = { NULL };
  assert_int_equal(shop->repairs->len, 1);
  for (guint i = 0; i < 2; ++i) {
    catalogues[i] = rc_catalogue_new(layouts[i], (RcHand){ RC_GRIP_REACH, RC_GRIP_PRESS });
  }
  RcPanel *panel = rc_panel_new(catalogues, 2, (RcTaste){ RC_PREFER_PLAIN, RC_SAME });
  RcTally *tally = rc_tally_new(panel, rc_roll_settings());
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    added[i] = add_tune(tally, tunes[i]);
  }
  const RcRepairGain gain = rc_repair_gain(shop, tally, 0);
  assert_int_equal(gain.tunes, 2);
  assert_true(gain.ticks == (RcTicks)3 * 4 * RC_QUARTER);
  assert_int_equal(gain.native_chords, 2);
  assert_true(gain.native_ticks == (RcTicks)3 * 4 * RC_QUARTER);
  rc_tally_free(tally);
  rc_panel_free(panel);
  for (guint i = 0; i < G_N_ELEMENTS(tunes); ++i) {
    rc_tune_free(added[i]);
  }
  for (guint i = 0; i < 2; ++i) {
    rc_catalogue_free(catalogues[i]);
  }
  rc_shop_free(shop);
}

// ------------------------------------------------------------------------------------------------- what is left out

static void
test_what_is_left_out(void **state)
{
  (void)state;
  Boards boards;
  start_boards(&boards);
  RcPanel *panel = rc_panel_new(boards.catalogues, N_BOARDS, (RcTaste){ RC_PREFER_PLAIN, RC_LEANER });
  RcTally *tally = rc_tally_new(panel, rc_roll_settings());
  rc_tally_add(tally, boards.tune);
  rc_tally_add(tally, boards.tune);
  assert_string_equal(rc_tally_title(tally, 1), "t");
  assert_int_equal(rc_tally_place(tally, 1).line, 1);
  for (guint i = 0; i < N_BOARDS; ++i) {
    const GArray *left = rc_tally_left_out(tally, i);
    const gint64 missing = TUNE_QUARTERS - boards.carried[i];
    assert_int_equal(left->len, missing ? 2 : 0);
    for (guint n = 0; n < left->len; ++n) {
      assert_int_equal(g_array_index(left, RcLeftOut, n).tune, n);
      assert_true(g_array_index(left, RcLeftOut, n).missing == missing * RC_QUARTER);
    }
  }
  rc_tally_free(tally);
  rc_panel_free(panel);
  clear_boards(&boards);
}

int
main(void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test(test_signs_of_currencies_and_pounds),
    cmocka_unit_test(test_prices_at_their_limits),
    cmocka_unit_test(test_weights_at_their_limits),
    cmocka_unit_test(test_texts_at_their_limits),
    cmocka_unit_test(test_a_whole_file),
    cmocka_unit_test(test_unknown),
    cmocka_unit_test(test_rates_at_their_limits),
    cmocka_unit_test(test_the_first_currency_counts_where_none_is_stated),
    cmocka_unit_test(test_layouts_beside_the_file),
    cmocka_unit_test(test_bad_files),
    cmocka_unit_test(test_a_layout_that_is_unknown),
    cmocka_unit_test(test_as_many_offers_as_there_may_be),
    cmocka_unit_test(test_as_many_repairs_as_are_tried),
    cmocka_unit_test(test_repairs_of_a_push_and_pull_box),
    cmocka_unit_test(test_nothing_can_be_freed),
    cmocka_unit_test(test_pairs_by_hand),
    cmocka_unit_test(test_random_windows),
    cmocka_unit_test(test_a_tie_is_for_what_carries_more),
    cmocka_unit_test(test_who_leaves_out_other_tunes_is_not_alike),
    cmocka_unit_test(test_a_repair_brings_what_was_left_out),
    cmocka_unit_test(test_what_is_left_out),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
