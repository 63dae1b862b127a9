// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "coverage/panel.h"

#include "coverage/catalogue.h"
#include "coverage/sounds.h"
#include "coverage/sweep.h"

#include <string.h>

struct RcPanel {
  const RcLayout **layouts; // of the keyboards
  RcHand *hands;            // that play them
  const RcSweep *sweep;     // in place of both, or NULL
  guint n;
  RcTaste taste;
  GMutex lock;      // over what follows
  RcSounds *sounds; // of all keyboards; NULL until something is asked
  int *next;        // see rc_panel_next(); UNKNOWN until it is asked for
  RcCodeMap codes;  // to indices of `asked`
  RcKnownCodes known;
  GPtrArray *asked; // of RcAsked *, which do not change any more; NULL while some thread is asking
  GCond answered;   // one of them is not NULL any more
  guint waiting;    // threads that wait for that
};

enum { NONE = -1, UNKNOWN = -2 };

static void
free_asked(gpointer data)
{
  RcAsked *asked = data;
  g_free(asked->verdicts);
  g_free(asked->answers);
  g_free(asked->sets);
  g_free(asked);
}

static RcPanel *
make_panel(guint n, RcTaste taste)
{
  RcPanel *panel = g_new0(RcPanel, 1);
  panel->n = n;
  panel->taste = taste;
  panel->asked = g_ptr_array_new_with_free_func(free_asked);
  panel->next = g_new(int, MAX(n, 1));
  for (guint i = 0; i < n; ++i) {
    panel->next[i] = UNKNOWN;
  }
  g_mutex_init(&panel->lock);
  g_cond_init(&panel->answered);
  rc_code_map_init(&panel->codes);
  rc_known_codes_init(&panel->known);
  return panel;
}

RcPanel *
rc_panel_new(RcCatalogue *const *catalogues, guint n, RcTaste taste)
{
  RcPanel *panel = make_panel(n, taste);
  panel->layouts = g_new(const RcLayout *, MAX(n, 1));
  panel->hands = g_new(RcHand, MAX(n, 1));
  for (guint i = 0; i < n; ++i) {
    panel->layouts[i] = rc_catalogue_layout(catalogues[i]);
    panel->hands[i] = rc_catalogue_hand(catalogues[i]);
  }
  return panel;
}

RcPanel *
rc_panel_new_sweep(const RcSweep *sweep, RcTaste taste)
{
  RcPanel *panel = make_panel(rc_sweep_n_sizes(sweep), taste);
  panel->sweep = sweep;
  return panel;
}

void
rc_panel_free(RcPanel *panel)
{
  if (panel) {
    g_free(panel->layouts);
    g_free(panel->hands);
    g_free(panel->next);
    rc_sounds_free(panel->sounds);
    g_mutex_clear(&panel->lock);
    g_cond_clear(&panel->answered);
    rc_code_map_clear(&panel->codes);
    rc_known_codes_clear(&panel->known);
    g_ptr_array_unref(panel->asked);
    g_free(panel);
  }
}

guint
rc_panel_size(const RcPanel *panel)
{
  return panel->n;
}

RcVerdict
rc_panel_accept(const RcPanel *panel)
{
  return panel->taste.accept;
}

const RcLayout *
rc_panel_layout(const RcPanel *panel, guint index)
{
  return panel->layouts[index];
}

// ------------------------------------------------------------------------------------------------------ the next one

static gboolean
sounds_same(const RcSound *a, const RcSound *b)
{
  return a->kind == b->kind && a->tones == b->tones && rc_note_pc(a->root) == rc_note_pc(b->root);
}

// The button of `layout` in the row and column of `wanted`, which is one of `of`, where it sounds the same; else NULL.
static const RcButton *
find_button(const RcLayout *layout, const RcLayout *of, const RcButton *wanted)
{
  for (guint i = 0; i < layout->buttons->len; ++i) {
    const RcButton *button = rc_layout_button(layout, i);
    if (sounds_same(&button->sound, &wanted->sound) &&
        (button->bellows == wanted->bellows || button->bellows == RC_BELLOWS_BOTH) &&
        rc_button_column(layout, button) == rc_button_column(of, wanted) &&
        !strcmp(rc_button_row(layout, button), rc_button_row(of, wanted))) {
      return button;
    }
  }
  return NULL;
}

// Whether `layout` has all buttons of `of` and more, as many columns apart, so that a hand reaches what it reached.
static gboolean
has_buttons(const RcLayout *layout, const RcLayout *of)
{
  enum { ANY = G_MAXINT };
  int shift = ANY;
  for (guint i = 0; i < of->buttons->len; ++i) {
    const RcButton *wanted = rc_layout_button(of, i);
    if (wanted->sound.kind == RC_SOUND_DEAD) {
      continue;
    }
    const RcButton *found = find_button(layout, of, wanted);
    if (!found || (shift != ANY && (int)found->column - (int)wanted->column != shift)) {
      return FALSE;
    }
    shift = (int)found->column - (int)wanted->column;
  }
  return rc_layout_count_buttons(layout) > rc_layout_count_buttons(of);
}

static int
find_next(const RcPanel *panel, guint index)
{
  for (guint i = index + 1; !panel->sweep && i < panel->n; ++i) {
    if (has_buttons(rc_panel_layout(panel, i), rc_panel_layout(panel, index))) {
      return (int)i;
    }
  }
  return NONE;
}

int
rc_panel_next(RcPanel *panel, guint index)
{
  g_mutex_lock(&panel->lock);
  if (panel->next[index] == UNKNOWN) {
    panel->next[index] = find_next(panel, index);
  }
  const int next = panel->next[index];
  g_mutex_unlock(&panel->lock);
  return next;
}

// --------------------------------------------------------------------------------------------------------- answers

static const RcAsked *ask(RcPanel *panel, RcRequestCode code, const RcRequest *request);

static RcSounds *
find_sounds(const RcPanel *panel)
{
  RcSounds *sounds = rc_sounds_new(panel->layouts, panel->n);
  for (guint i = 0; i < panel->n; ++i) {
    rc_sounds_add_all(sounds, i, panel->hands[i]);
  }
  rc_sounds_close(sounds);
  return sounds;
}

static void
answer_all(const RcPanel *panel, RcAsked *asked, const RcRequest *request)
{
  asked->answers = g_new(RcAnswer, MAX(panel->n, 1));
  rc_sounds_best(panel->sounds, panel->taste, request, asked->answers);
  for (guint i = 0; i < panel->n; ++i) {
    asked->verdicts[i] = (guint8)asked->answers[i].verdict;
  }
}

// Of eight verdicts, a byte each, a bit each for those no worse than `worst`.
static guint64
eight_within(const guint8 *verdicts, RcVerdict worst)
{
  const guint64 ones = G_GUINT64_CONSTANT(0x0101010101010101);
  const guint64 gather = G_GUINT64_CONSTANT(0x0102040810204080); // bit 8 i times this has bit 56 + i
  guint64 eight = 0;
  memcpy(&eight, verdicts, sizeof eight);
  const guint64 worse = (GUINT64_FROM_LE(eight) + (0x7F - (guint)worst) * ones) >> 7U & ones;
  return (worse ^ ones) * gather >> 56U;
}

// Puts into `set`, which is empty, the keyboards whose verdicts, of which there is a multiple of eight, are no worse
// than `worst`. A sweep has a thousand of them, so they are not looked at one by one.
static void
set_within(guint64 *set, const guint8 *verdicts, guint n, RcVerdict worst)
{
  for (guint i = 0; i < n; i += 8) {
    set[i / RC_SET_BITS] |= eight_within(verdicts + i, worst) << (i % RC_SET_BITS);
  }
}

static gboolean
lacks_some(const guint64 *accepted, guint n)
{
  gboolean lacks = FALSE;
  for (guint i = 0; i < n; i += RC_SET_BITS) {
    const guint64 all = n - i < RC_SET_BITS ? (G_GUINT64_CONSTANT(1) << (n - i)) - 1 : ~G_GUINT64_CONSTANT(0);
    lacks |= accepted[i / RC_SET_BITS] != all;
  }
  return lacks;
}

// The sets of keyboards; `alone` are the answers without the melody, or NULL.
static void
gather_sets(const RcPanel *panel, RcAsked *asked, const RcAsked *alone)
{
  const RcVerdict accept = panel->taste.accept;
  const guint words = rc_set_words(panel->n);
  asked->sets = g_new0(guint64, 3 * (gsize)words);
  asked->native = asked->sets;
  asked->accepted = asked->native + words;
  asked->accepted_alone = asked->accepted + words;
  set_within(asked->native, asked->verdicts, panel->n, RC_NATIVE);
  set_within(asked->accepted, asked->verdicts, panel->n, accept);
  set_within(asked->accepted_alone, alone ? alone->verdicts : asked->verdicts, panel->n, accept);
  asked->lacking = lacks_some(asked->accepted, panel->n);
}

// The same request without the melody, where it has one.
static const RcAsked *
ask_alone(RcPanel *panel, RcRequestCode code, RcRequest request)
{
  if (!request.melody) {
    return NULL;
  }
  request.melody = 0;
  return ask(panel, code, &request);
}

static RcAsked *
answer(const RcPanel *panel, const RcRequest *request, const RcAsked *alone)
{
  const gsize room = (gsize)rc_set_words(panel->n) * RC_SET_BITS; // a whole number of eights
  RcAsked *asked = g_new0(RcAsked, 1);
  asked->verdicts = g_malloc(room);
  memset(asked->verdicts, RC_UNREAD, room); // which no keyboard has for a verdict
  if (panel->sweep) {
    rc_sweep_ask(panel->sweep, panel->taste, request, asked->verdicts);
  } else {
    answer_all(panel, asked, request);
  }
  gather_sets(panel, asked, alone);
  return asked;
}

// Called with the lock held, which is let go while the keyboards are asked what nobody has asked yet: so threads ask
// different things at once, and none asks the same.
static const RcAsked *
ask(RcPanel *panel, RcRequestCode code, const RcRequest *request)
{
  guint index = 0;
  const guint64 number = rc_request_code_at(code, request->melody, request->brisk);
  if (rc_code_map_find(&panel->codes, number, &index)) {
    ++panel->waiting;
    while (!g_ptr_array_index(panel->asked, index)) {
      g_cond_wait(&panel->answered, &panel->lock);
    }
    --panel->waiting;
    return g_ptr_array_index(panel->asked, index);
  }
  index = panel->asked->len;
  rc_code_map_add(&panel->codes, number, index);
  g_ptr_array_add(panel->asked, NULL);
  const RcAsked *alone = ask_alone(panel, code, *request);
  if (!panel->sounds && !panel->sweep) {
    panel->sounds = find_sounds(panel);
  }
  g_mutex_unlock(&panel->lock);
  RcAsked *asked = answer(panel, request, alone);
  g_mutex_lock(&panel->lock);
  g_ptr_array_index(panel->asked, index) = asked;
  if (panel->waiting) {
    g_cond_broadcast(&panel->answered);
  }
  return asked;
}

RcRequestCode
rc_panel_code(RcPanel *panel, const RcRequest *request)
{
  g_mutex_lock(&panel->lock);
  const RcRequestCode code = rc_known_code(&panel->known, request);
  g_mutex_unlock(&panel->lock);
  return code;
}

const RcAsked *
rc_panel_ask(RcPanel *panel, RcRequestCode code, const RcRequest *request)
{
  RcRequest useful = *request;
  useful.melody &= code.melody;
  g_mutex_lock(&panel->lock);
  const RcAsked *asked = ask(panel, code, &useful);
  g_mutex_unlock(&panel->lock);
  return asked;
}

RcVerdict
rc_panel_verdict(RcPanel *panel, const RcRequest *request, guint index)
{
  return (RcVerdict)rc_panel_ask(panel, rc_panel_code(panel, request), request)->verdicts[index];
}
