// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The weights in the invented shop window against the published ones in weights.tsv, which names their source.

#undef NDEBUG

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "rowcall/shop.h"

#include "table.h"

static RcShop *
shop_window(void)
{
  GError *error = NULL;
  const char *tests = g_getenv("ROWCALL_TEST_DATA");
  char *path = g_build_filename(tests ? tests : "", "..", "corpus", "window.offers", NULL);
  RcShop *shop = rc_shop_read(path, &error);
  if (!shop) {
    fail_msg("%s", error->message);
  }
  g_free(path);
  return shop;
}

// The row of the table for a number of basses, dead ones counted: they weigh as much.
static char **
published_row(const GPtrArray *sizes, const RcLayout *layout)
{
  for (guint i = 0; i < sizes->len; ++i) {
    if (number_of(cell(sizes, i, 1)) == layout->buttons->len) {
      return g_ptr_array_index(sizes, i);
    }
  }
  return NULL;
}

// Outside source: Prime Sound, in weights.tsv. For sizes without a published weight only the greatest of any accordion
// is held against; that range begins at a size that is not stated, so its lower end says nothing of small ones.
static void
test_weights(void **state)
{
  (void)state;
  Check c = { "weights of the shop window", 0, 0 };
  guint unpublished = 0;
  RcShop *shop = shop_window();
  GPtrArray *sizes = table_read("weights.tsv", "size", 5, 4);
  GPtrArray *any = table_read("weights.tsv", "any", 5, 1);
  for (guint i = 0; i < shop->offers->len; ++i) {
    const RcOffer *offer = rc_shop_offer(shop, i);
    char **row = published_row(sizes, offer->layout);
    unpublished += offer->grams && !row ? 1 : 0;
    check(&c, offer->grams <= number_of(cell(any, 0, 3)), "%s is heavier than any accordion", offer->name);
    if (row && offer->grams) {
      check(&c, offer->grams >= number_of(row[2]) && offer->grams <= number_of(row[3]), "%s: %d g, published %s to %s",
            offer->name, (int)offer->grams, row[2], row[3]);
    }
  }
  print_message("no weight is published for the sizes of %u of %u offers\n", unpublished, shop->offers->len);
  assert_true(c.compared > shop->offers->len);
  g_ptr_array_unref(sizes);
  g_ptr_array_unref(any);
  rc_shop_free(shop);
  check_finish(&c);
}

int
main(void)
{
  const struct CMUnitTest tests[] = { cmocka_unit_test(test_weights) };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
