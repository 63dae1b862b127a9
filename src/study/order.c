// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

// The order in which sets of things are learned with the fewest new things each time.

#include "rowcall/study.h"
#include "base/order.h"

typedef struct {
  GArray *const *needs;
  guint n;
  guint *users;    // thing after thing: the sets that hold it
  guint *first;    // by thing, and one more: place of its first user
  gboolean *known; // by thing
  gboolean *taken; // by set
  guint *left;     // by set: things not known
  guint *order;
  guint n_taken;
} Ordering;

static guint
thing_at(const GArray *needs, guint nth)
{
  return g_array_index(needs, guint, nth);
}

// Finds the users of each thing.
static void
find_users(Ordering *o, guint n_things)
{
  for (guint i = 0; i < o->n; ++i) {
    for (guint j = 0; j < o->needs[i]->len; ++j) {
      ++o->first[thing_at(o->needs[i], j)];
    }
  }
  for (guint i = 1; i <= n_things; ++i) {
    o->first[i] += o->first[i - 1]; // the end of its users, which are put before it, the last one first
  }
  o->users = g_new(guint, MAX(o->first[n_things], 1));
  for (guint i = o->n; i-- > 0;) {
    for (guint j = 0; j < o->needs[i]->len; ++j) {
      o->users[--o->first[thing_at(o->needs[i], j)]] = i;
    }
  }
}

static void
start(Ordering *o, guint n_things)
{
  for (guint i = 0; i < o->n; ++i) {
    o->left[i] = o->needs[i]->len;
  }
  find_users(o, n_things);
}

static void
learn(Ordering *o, guint thing)
{
  for (guint i = o->first[thing]; i < o->first[thing + 1] && !o->known[thing]; ++i) {
    --o->left[o->users[i]];
  }
  o->known[thing] = TRUE;
}

static void
take(Ordering *o, guint set)
{
  o->taken[set] = TRUE;
  o->order[o->n_taken++] = set;
  for (guint i = 0; i < o->needs[set]->len; ++i) {
    learn(o, thing_at(o->needs[set], i));
  }
}

// Takes the sets that need nothing new.
static void
take_free(Ordering *o)
{
  for (guint i = 0; i < o->n; ++i) {
    if (!o->taken[i] && !o->left[i]) {
      take(o, i);
    }
  }
}

static guint
fewest_left(const Ordering *o)
{
  guint fewest = G_MAXUINT;
  for (guint i = 0; i < o->n; ++i) {
    fewest = o->taken[i] ? fewest : MIN(fewest, o->left[i]);
  }
  return fewest;
}

static int
compare_things(gconstpointer a, gconstpointer b)
{
  const guint left = *(const guint *)a;
  const guint right = *(const guint *)b;
  return rc_order(left, right);
}

// The things of a set that are not known, in their order, as bytes that are equal where they are.
static GBytes *
list_left(const Ordering *o, guint set)
{
  GArray *things = g_array_new(FALSE, FALSE, sizeof(guint));
  for (guint i = 0; i < o->needs[set]->len; ++i) {
    const guint thing = thing_at(o->needs[set], i);
    if (!o->known[thing]) {
      g_array_append_val(things, thing);
    }
  }
  g_array_sort(things, compare_things);
  const gsize size = things->len * sizeof(guint);
  return g_bytes_new_take(g_array_free(things, FALSE), size);
}

// Of the sets with the fewest unknown things the first of those that most others are like.
static guint
find_next(const Ordering *o)
{
  const guint fewest = fewest_left(o);
  GHashTable *alike = g_hash_table_new_full(g_bytes_hash, g_bytes_equal, (GDestroyNotify)g_bytes_unref, NULL);
  guint most = 0;
  guint next = o->n;
  for (guint i = o->n; i-- > 0;) {
    if (!o->taken[i] && o->left[i] == fewest) {
      GBytes *left = list_left(o, i);
      const guint many = GPOINTER_TO_UINT(g_hash_table_lookup(alike, left)) + 1;
      g_hash_table_insert(alike, left, GUINT_TO_POINTER(many));
      next = many >= most ? i : next;
      most = MAX(most, many);
    }
  }
  g_hash_table_unref(alike);
  return next;
}

guint *
rc_learning_order(GArray *const *needs, guint n, guint n_things, const gboolean *known)
{
  Ordering o = { .needs = needs,
                 .n = n,
                 .first = g_new0(guint, n_things + 1),
                 .known = g_new0(gboolean, MAX(n_things, 1)),
                 .taken = g_new0(gboolean, MAX(n, 1)),
                 .left = g_new(guint, MAX(n, 1)),
                 .order = g_new(guint, MAX(n, 1)) };
  start(&o, n_things);
  for (guint i = 0; known && i < n_things; ++i) {
    if (known[i]) {
      learn(&o, i);
    }
  }
  for (take_free(&o); o.n_taken < n; take_free(&o)) {
    take(&o, find_next(&o));
  }
  g_free(o.users);
  g_free(o.first);
  g_free(o.known);
  g_free(o.taken);
  g_free(o.left);
  return o.order;
}
