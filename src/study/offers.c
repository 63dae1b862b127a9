// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// Reading an offer file.

#include "rowcall/shop.h"

#include "rowcall/error.h"

#include "keyboard/layout_file.h"
#include "base/load.h"
#include "study/amounts.h"
#include "study/repairs.h"

#include <string.h>

enum { MILLIONTH_PLACES = 6, MILLIONTHS = 1000000 };

static const char own_layout[] = "own"; // the name of a layout given in its offer

static const char *const shop_keys[] = { "title", "currency", "rates", "offers", NULL };
static const char *const offer_keys[] = { "name", "layout", "dead", "price", "weight", "remarks", NULL };

typedef struct {
  RcYamlTree tree;
  RcShop *shop;
  gboolean stated;   // the shop's currency is that of `currency:`, not of the first price
  char *folder;      // of the file
  GHashTable *lines; // of the offers' names, borrowed
} OfferReader;

static RcPlace
place_of(const OfferReader *r, const yaml_node_t *node)
{
  return rc_yaml_place(&r->tree, node);
}

// What a message shows of a value.
static const char *
shown(const yaml_node_t *node)
{
  const char *text = rc_yaml_text(node);
  return text ? text : "(a list)";
}

// --------------------------------------------------------------------------------------------------- text and numbers

// The text without outer blanks, each run of blanks and line ends within being one; a new string.
static char *
tidy(const char *text)
{
  GString *out = g_string_new(NULL);
  for (; *text; ++text) {
    if (!g_ascii_isspace(*text)) {
      g_string_append_c(out, *text);
    } else if (out->len && out->str[out->len - 1] != ' ') {
      g_string_append_c(out, ' ');
    }
  }
  return g_strchomp(g_string_free(out, FALSE));
}

static gboolean
check_controls(const char *text, RcPlace place, GError **error)
{
  for (; *text; text = g_utf8_next_char(text)) {
    const gunichar code = g_utf8_get_char(text);
    if (g_unichar_iscntrl(code)) {
      return rc_yaml_fail_control(place, code, error);
    }
  }
  return TRUE;
}

// Reads the text of @p node, a line of at most @p most characters; NULL where it is none, with @p error set.
static char *
read_line(const OfferReader *r, const yaml_node_t *node, const char *key, guint most, GError **error)
{
  if (!rc_yaml_text(node)) {
    rc_fail(error, RC_ERROR_VALUE, place_of(r, node), "`%s` is a text; found a list", key);
    return NULL;
  }
  char *text = tidy(rc_yaml_text(node));
  const glong length = g_utf8_strlen(text, -1);
  if (length > (glong)most) {
    rc_fail(error, RC_ERROR_LIMIT, place_of(r, node), "`%s` has %ld characters; shorten it to %u", key, length, most);
    g_clear_pointer(&text, g_free);
  } else if (!check_controls(text, place_of(r, node), error)) {
    g_clear_pointer(&text, g_free);
  }
  return text;
}

// Whether a value is left out, empty, or said to be unknown.
static gboolean
is_unknown(const yaml_node_t *node)
{
  static const char *const words[] = { "", "~", "null", "unknown", NULL };
  const char *text = rc_yaml_text(node);
  return !node || (text && g_strv_contains(words, text));
}

// -------------------------------------------------------------------------------------------------------- currencies

static gboolean
read_currency(OfferReader *r, const yaml_node_t *node, GError **error)
{
  const char *text = rc_yaml_text(node);
  if (node && !rc_is_currency(text)) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                   "found currency `%s`; expected its three capital letters, such as EUR", shown(node));
  }
  rc_currency_set(r->shop->currency, node ? text : "");
  r->stated = node != NULL;
  return TRUE;
}

static gboolean
read_rate(OfferReader *r, const yaml_node_t *key, const yaml_node_t *value, GError **error)
{
  RcRate rate = { "", 0 };
  const char *name = rc_yaml_text(key);
  const char *text = rc_yaml_text(value);
  if (!rc_is_currency(name) || !strcmp(name, r->shop->currency)) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, key),
                   "found a rate of `%s`; expected another currency than %s, in three capital letters", shown(key),
                   r->shop->currency);
  }
  if (!text || !rc_decimal_read(&text, MILLIONTH_PLACES, (gint64)RC_MAX_RATE * MILLIONTHS, &rate.millionths) || *text ||
      !rate.millionths) {
    return rc_fail(
      error, RC_ERROR_VALUE, place_of(r, value),
      "found `%s`; expected what one %s costs in %s: a number above 0, at most %d, with at most %d decimals "
      "after a point",
      shown(value), name, r->shop->currency, RC_MAX_RATE, MILLIONTH_PLACES);
  }
  rc_currency_set(rate.currency, name);
  g_array_append_val(r->shop->rates, rate);
  return TRUE;
}

static gboolean
read_rates(OfferReader *r, const yaml_node_t *map, GError **error)
{
  if (!map) {
    return TRUE;
  }
  if (!r->stated) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, map),
                   "`rates` need a line `currency: EUR` that says in which currency they are counted");
  }
  if (map->type != YAML_MAPPING_NODE) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, map),
                   "`rates` is a list of lines such as `GBP: ...`: what one of that currency costs in %s",
                   r->shop->currency);
  }
  const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
  for (; pair < map->data.mapping.pairs.top; ++pair) {
    if (!read_rate(r, rc_yaml_node(&r->tree, pair->key), rc_yaml_node(&r->tree, pair->value), error)) {
      return FALSE;
    }
  }
  return rc_yaml_check_once(&r->tree, map, error);
}

// What one unit of @p currency costs in the shop's, in millionths; 0 where that is not known.
static gint64
rate_of(const RcShop *shop, const char *currency)
{
  for (guint i = 0; i < shop->rates->len; ++i) {
    const RcRate *rate = &g_array_index(shop->rates, RcRate, i);
    if (!strcmp(rate->currency, currency)) {
      return rate->millionths;
    }
  }
  return strcmp(shop->currency, currency) ? 0 : MILLIONTHS;
}

// ------------------------------------------------------------------------------------------------------------- price

static gboolean
fail_mixed(const OfferReader *r, const yaml_node_t *node, const char *currency, GError **error)
{
  const char *counted = r->shop->currency;
  return rc_fail(
    error, RC_ERROR_VALUE, place_of(r, node),
    "found a price in %s where prices are counted in %s; write `%srates: {%s: ...}` with what one %s costs "
    "in %s, or give all prices in one currency",
    currency, counted, r->stated ? "" : "currency: ...` and `", currency, currency,
    r->stated ? counted : "that currency");
}

static gboolean
convert(OfferReader *r, const yaml_node_t *node, RcOffer *offer, GError **error)
{
  if (!*r->shop->currency) {
    rc_currency_set(r->shop->currency, offer->currency);
  }
  const gint64 rate = rate_of(r->shop, offer->currency);
  if (!rate) {
    return fail_mixed(r, node, offer->currency, error);
  }
  offer->cost = offer->cents * rate; // 1/100 by 1/1000000 is 1/RC_COST_UNIT
  return offer->cost <= RC_MAX_PRICE * RC_COST_UNIT ||
         rc_fail(error, RC_ERROR_LIMIT, place_of(r, node), "the price comes to more than %d %s; look at the rate of %s",
                 RC_MAX_PRICE, r->shop->currency, offer->currency);
}

// 1.200 is twelve hundred to one seller and one and a fifth to another.
static gboolean
check_digits(const OfferReader *r, const yaml_node_t *node, GError **error)
{
  static const char digits[] = "0123456789";
  const char *first = strpbrk(shown(node), digits);
  const gsize before = first ? strspn(first, digits) : 0;
  if (!before || !strchr(".,", first[before]) || strspn(first + before + 1, digits) != 3) {
    return TRUE;
  }
  return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                 "found price `%s`: three digits after a point or comma may be thousands or decimals; write thousands "
                 "without one (`%.*s%.3s`) and at most two decimals",
                 shown(node), (int)before, first, first + before + 1);
}

static gboolean
read_price(OfferReader *r, const yaml_node_t *node, RcOffer *offer, GError **error)
{
  char currency[RC_CURRENCY_LETTERS + 1];
  if (is_unknown(node)) {
    return TRUE;
  }
  if (!check_digits(r, node, error)) {
    return FALSE;
  }
  if (!rc_yaml_text(node) || !rc_price_parse(rc_yaml_text(node), &offer->cents, currency)) {
    return rc_fail(
      error, RC_ERROR_VALUE, place_of(r, node),
      "found price `%s`; expected a number such as 420 or 419.50, above 0 and at most %d, alone or with its "
      "currency (`420 EUR`), or `unknown`",
      shown(node), RC_MAX_PRICE);
  }
  if (!*currency && !r->stated) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                   "found the price %s without a currency; write it as `%s EUR`, or `currency: EUR` for all prices at "
                   "the head of the file",
                   shown(node), shown(node));
  }
  rc_currency_set(offer->currency, *currency ? currency : r->shop->currency);
  return convert(r, node, offer, error);
}

// ------------------------------------------------------------------------------------------------------------ weight

static gboolean
read_weight(const OfferReader *r, const yaml_node_t *node, RcOffer *offer, GError **error)
{
  return is_unknown(node) ||
         (rc_yaml_text(node) && rc_weight_parse(rc_yaml_text(node), &offer->grams, &offer->in_pounds)) ||
         rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                 "found weight `%s`; expected 0.5 to 25 kilograms, such as 5.1, or pounds, such as `21 lb`, or "
                 "`unknown`",
                 shown(node));
}

// ------------------------------------------------------------------------------------------------------------ layout

// The path or name by which a layout is found: paths begin at the folder of the offer file.
static char *
layout_name(const OfferReader *r, const char *name)
{
  const gboolean is_elsewhere = rc_layout_is_file(name) && !g_path_is_absolute(name) && strcmp(r->folder, ".") != 0;
  return is_elsewhere ? g_build_filename(r->folder, name, NULL) : g_strdup(name);
}

static RcLayout *
find_layout(const OfferReader *r, const yaml_node_t *node, GError **error)
{
  GError *cause = NULL;
  RcLayout *layout = NULL;
  char *name = layout_name(r, rc_yaml_text(node));
  if (g_file_test(name, G_FILE_TEST_EXISTS) && !g_file_test(name, G_FILE_TEST_IS_REGULAR) && strchr(name, '/')) {
    rc_fail(error, RC_ERROR_IO, place_of(r, node), "the layout %s is a folder or a device; name a file", name);
  } else {
    layout = rc_layout_find(name, &cause);
  }
  if (cause) {
    rc_fail(error, (RcErrorCode)cause->code, place_of(r, node), "%s", cause->message);
    g_error_free(cause);
  }
  g_free(name);
  return layout;
}

static gboolean
read_offer_layout(OfferReader *r, const yaml_node_t *map, RcOffer *offer, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(&r->tree, map, "layout");
  if (node && node->type == YAML_MAPPING_NODE) {
    offer->layout = rc_layout_read(&r->tree, node, own_layout, error);
  } else if (rc_yaml_text(node) && *rc_yaml_text(node)) {
    offer->layout = find_layout(r, node, error);
  } else {
    rc_fail(error, RC_ERROR_VALUE, place_of(r, node ? node : map),
            "an offer needs a line `layout: ...`: a name of `rowcall layouts`, the path of a layout file, or "
            "`{columns: ..., rows: ...}`");
  }
  return offer->layout != NULL;
}

static gboolean
read_dead(OfferReader *r, const yaml_node_t *map, RcOffer *offer, GError **error)
{
  RcLayout *whole = rc_layout_moved(offer->layout, 0);
  const gboolean good = rc_layout_read_dead(offer->layout, &r->tree, rc_yaml_get(&r->tree, map, "dead"), error);
  if (good) {
    rc_shop_add_repairs(r->shop, whole, offer->layout);
  }
  rc_layout_free(whole);
  return good;
}

// ------------------------------------------------------------------------------------------------------------ offers

static gboolean
read_name(OfferReader *r, const yaml_node_t *map, RcOffer *offer, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(&r->tree, map, "name");
  offer->name = node ? read_line(r, node, "name", RC_MAX_OFFER_NAME, error) : g_strdup("");
  if (!offer->name) {
    return FALSE;
  }
  if (!*offer->name) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node ? node : map), "an offer needs a line `name: ...`");
  }
  const guint line = GPOINTER_TO_UINT(g_hash_table_lookup(r->lines, offer->name));
  if (line) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, node),
                   "the offer `%s` is listed twice, first in line %u; give each a name of its own", offer->name, line);
  }
  g_hash_table_insert(r->lines, offer->name, GUINT_TO_POINTER(place_of(r, node).line));
  return TRUE;
}

static gboolean
read_remarks(OfferReader *r, const yaml_node_t *map, RcOffer *offer, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(&r->tree, map, "remarks");
  offer->remarks = node ? read_line(r, node, "remarks", RC_MAX_OFFER_REMARKS, error) : g_strdup("");
  return offer->remarks != NULL;
}

static void
clear_repair(gpointer data)
{
  rc_layout_free(((RcRepair *)data)->layout);
}

static void
free_offer(gpointer data)
{
  RcOffer *offer = data;
  g_free(offer->name);
  rc_layout_free(offer->layout);
  g_free(offer->remarks);
  g_free(offer);
}

static gboolean
read_offer(OfferReader *r, const yaml_node_t *map, GError **error)
{
  if (map->type != YAML_MAPPING_NODE) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, map),
                   "found `%s`; expected an offer: lines `name: ...`, `layout: ...`, `price: ...`, `weight: ...`",
                   shown(map));
  }
  if (r->shop->offers->len == RC_MAX_OFFERS) {
    return rc_fail(error, RC_ERROR_LIMIT, place_of(r, map), "more than %d offers; split the file", RC_MAX_OFFERS);
  }
  RcOffer *offer = g_new0(RcOffer, 1);
  g_ptr_array_add(r->shop->offers, offer);
  return rc_yaml_check_keys(&r->tree, map, offer_keys, error) && read_name(r, map, offer, error) &&
         read_offer_layout(r, map, offer, error) && read_dead(r, map, offer, error) &&
         read_price(r, rc_yaml_get(&r->tree, map, "price"), offer, error) &&
         read_weight(r, rc_yaml_get(&r->tree, map, "weight"), offer, error) && read_remarks(r, map, offer, error);
}

static gboolean
read_offers(OfferReader *r, const yaml_node_t *root, GError **error)
{
  const yaml_node_t *list = rc_yaml_get(&r->tree, root, "offers");
  if (!list || list->type != YAML_SEQUENCE_NODE || list->data.sequence.items.start == list->data.sequence.items.top) {
    return rc_fail(error, RC_ERROR_VALUE, place_of(r, list ? list : root),
                   "an offer file needs `offers:`, a list of offers each of which begins with `- name: ...`");
  }
  const yaml_node_item_t *item = list->data.sequence.items.start;
  for (; item < list->data.sequence.items.top; ++item) {
    if (!read_offer(r, rc_yaml_node(&r->tree, *item), error)) {
      return FALSE;
    }
  }
  return TRUE;
}

// -------------------------------------------------------------------------------------------------------------- shop

static gboolean
read_title(OfferReader *r, const yaml_node_t *root, GError **error)
{
  const yaml_node_t *node = rc_yaml_get(&r->tree, root, "title");
  r->shop->title = node ? read_line(r, node, "title", RC_MAX_OFFER_REMARKS, error) : g_strdup("");
  return r->shop->title != NULL;
}

static gboolean
read_shop(OfferReader *r, GError **error)
{
  const yaml_node_t *root = rc_yaml_tree_root(&r->tree, "an offer file", error);
  return root && rc_yaml_check_keys(&r->tree, root, shop_keys, error) && read_title(r, root, error) &&
         read_currency(r, rc_yaml_get(&r->tree, root, "currency"), error) &&
         read_rates(r, rc_yaml_get(&r->tree, root, "rates"), error) && read_offers(r, root, error);
}

RcShop *
rc_shop_parse(const char *text, gsize length, const char *file, GError **error)
{
  OfferReader r = { 0 };
  if (!rc_yaml_tree_load(&r.tree, text, length, file, error)) {
    return NULL;
  }
  RcShop *shop = g_new0(RcShop, 1);
  shop->rates = g_array_new(FALSE, FALSE, sizeof(RcRate));
  shop->offers = g_ptr_array_new_with_free_func(free_offer);
  shop->repairs = g_array_new(FALSE, FALSE, sizeof(RcRepair));
  g_array_set_clear_func(shop->repairs, clear_repair);
  r.shop = shop;
  r.folder = g_path_get_dirname(file);
  r.lines = g_hash_table_new(g_str_hash, g_str_equal);
  if (!read_shop(&r, error)) {
    g_clear_pointer(&shop, rc_shop_free);
  }
  g_hash_table_unref(r.lines);
  g_free(r.folder);
  rc_yaml_tree_clear(&r.tree);
  return shop;
}

RcShop *
rc_shop_read(const char *path, GError **error)
{
  gsize length = 0;
  char *text = rc_load_file(path, RC_MAX_OFFER_FILE_BYTES, "an offer file", &length, error);
  RcShop *shop = text ? rc_shop_parse(text, length, path, error) : NULL;
  g_free(text);
  return shop;
}

void
rc_shop_free(RcShop *shop)
{
  if (shop) {
    g_free(shop->title);
    g_array_unref(shop->rates);
    g_ptr_array_unref(shop->offers);
    g_array_unref(shop->repairs);
    g_free(shop);
  }
}

const RcOffer *
rc_shop_offer(const RcShop *shop, guint index)
{
  return g_ptr_array_index(shop->offers, index);
}
