// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "draw/words.h"

#include <string.h>

#define FAMILY "DejaVu Sans, sans-serif"

// Signs that stand among Latin letters as among figures.
#define SIGNS "\u00a0♯♭·×–—−…“”‘’°•"

// What is set beyond these takes no room here.
enum { MOST_SETTINGS = 64, MOST_WORDS = 4096, MOST_BYTES = 64 };

enum { MANY_NUMBERS = 50 }; // shaped one by one, before it pays to look at the figures

typedef enum { FIGURES_UNSEEN, FIGURES_PLAIN, FIGURES_JOINED } Figures;

// A word that was shaped.
typedef struct {
  guint n; // letters, each of them one glyph; 0 where it is none to be put between others
  int width;
  PangoGlyphInfo *glyphs;
} Word;

// A face, and the words shaped in it, by their texts: in a line with a Latin letter, or in one of figures and signs,
// for which a font may have other rules.
typedef struct {
  RcFace face;
  gboolean latin;
  PangoItem *item; // of all letters of ASCII and the signs, as far as they are in one font
  PangoGlyphInfo space;
  PangoRectangle box; // of any letter, from the baseline
  GHashTable *words;
  guint numbers; // so many of them are words
  Figures seen;  // plain: a number is its figures, put next to each other
  PangoGlyphInfo figures[10];
} Setting;

// What one thread has set so far.
typedef struct {
  PangoContext *context;
  GPtrArray *settings; // which stay while the thread does
} Setter;

// ------------------------------------------------------------------------------------------------------------- fonts

void
rc_words_unhint(PangoContext *context)
{
  cairo_font_options_t *options = cairo_font_options_create();
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  pango_cairo_context_set_font_options(context, options);
  pango_cairo_context_set_resolution(context, 72); // so that a point is a point
  pango_context_set_round_glyph_positions(context, FALSE);
  cairo_font_options_destroy(options);
}

// No letters joined into one sign, which a search or a reader aloud would stumble over.
PangoAttrList *
rc_words_attributes(void)
{
  PangoAttrList *attributes = pango_attr_list_new();
  pango_attr_list_insert(attributes, pango_attr_font_features_new("liga 0"));
  return attributes;
}

PangoFontDescription *
rc_words_font(RcFace face)
{
  PangoFontDescription *font = pango_font_description_new();
  pango_font_description_set_family_static(font, FAMILY);
  pango_font_description_set_size(font, (int)(face.points * PANGO_SCALE));
  pango_font_description_set_weight(font, face.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  return font;
}

// ----------------------------------------------------------------------------------------------------------- shaping

// The one run of letters of a text that is all in one font and script, left to right; NULL where it is not.
static PangoItem *
itemize(const Setter *setter, RcFace face, const char *text)
{
  PangoAttrList *attributes = rc_words_attributes();
  PangoFontDescription *font = rc_words_font(face);
  pango_attr_list_insert_before(attributes, pango_attr_font_desc_new(font));
  GList *items = pango_itemize(setter->context, text, 0, (int)strlen(text), attributes, NULL);
  const gboolean one = items && !items->next && ((PangoItem *)items->data)->analysis.level == 0;
  PangoItem *item = one ? items->data : NULL;
  if (!one) {
    g_list_free_full(g_steal_pointer(&items), (GDestroyNotify)pango_item_free);
  }
  g_list_free(items);
  pango_font_description_free(font);
  pango_attr_list_unref(attributes);
  return item;
}

// The glyphs of `text`, one for each letter; NULL where they are others.
static PangoGlyphString *
shape(const PangoItem *item, const char *text)
{
  PangoGlyphString *glyphs = pango_glyph_string_new();
  pango_shape_with_flags(text, -1, text, -1, &item->analysis, glyphs, PANGO_SHAPE_NONE);
  gboolean plain = glyphs->num_glyphs == g_utf8_strlen(text, -1);
  const char *letter = text;
  for (int i = 0; plain && i < glyphs->num_glyphs; ++i, letter = g_utf8_next_char(letter)) {
    const PangoGlyph glyph = glyphs->glyphs[i].glyph;
    plain =
      glyphs->log_clusters[i] == letter - text && glyph != PANGO_GLYPH_EMPTY && !(glyph & PANGO_GLYPH_UNKNOWN_FLAG);
  }
  if (!plain) {
    g_clear_pointer(&glyphs, pango_glyph_string_free);
  }
  return glyphs;
}

static int
width_alone(const Setting *setting, PangoGlyph glyph)
{
  PangoRectangle box;
  pango_font_get_glyph_extents(setting->item->analysis.font, glyph, NULL, &box);
  return box.width;
}

static gboolean
is_same_glyph(const PangoGlyphInfo *a, const PangoGlyphInfo *b)
{
  return a->glyph == b->glyph && a->geometry.width == b->geometry.width &&
         a->geometry.x_offset == b->geometry.x_offset && a->geometry.y_offset == b->geometry.y_offset;
}

// Whether the `n` glyphs between two spaces are what they would be elsewhere.
static gboolean
stands_alone(const Setting *setting, const PangoGlyphInfo *glyphs, guint n)
{
  return is_same_glyph(&glyphs[-1], &setting->space) && is_same_glyph(&glyphs[n], &setting->space) &&
         glyphs[n - 1].geometry.width == width_alone(setting, glyphs[n - 1].glyph);
}

static void
free_word(gpointer data)
{
  Word *word = data;
  g_free(word->glyphs);
  g_free(word);
}

// Whether all letters are in the font of the setting, in a line with what it stands for.
static gboolean
is_in_font(const Setter *setter, const Setting *setting, const char *text, const char *sample)
{
  gboolean usual = TRUE;
  for (; usual && *text; text = g_utf8_next_char(text)) {
    const gunichar letter = g_utf8_get_char(text);
    usual = letter < 0x7F || g_utf8_strchr(SIGNS, -1, letter);
  }
  PangoItem *item = usual ? NULL : itemize(setter, setting->face, sample);
  usual |= item && item->analysis.font == setting->item->analysis.font;
  g_clear_pointer(&item, pango_item_free);
  return usual;
}

// Every figure after a space, before each figure and before a space, and figures in a long row.
static char *
every_pair_of_figures(gboolean latin)
{
  GString *text = g_string_new(latin ? "a " : " ");
  for (guint i = 0; i < 100; ++i) {
    g_string_append_printf(text, "%u%u ", i / 10, i % 10);
  }
  return g_string_free(g_string_append(text, "0123456789012345678901234567890 "), FALSE);
}

// Finds the glyph of each figure; FALSE where it is not the same in every number.
static gboolean
find_figures(Setting *setting)
{
  char *text = every_pair_of_figures(setting->latin);
  PangoGlyphString *glyphs = shape(setting->item, text);
  gboolean plain = glyphs != NULL;
  for (guint i = setting->latin ? 1 : 0; plain && text[i]; ++i) {
    const PangoGlyphInfo *glyph = &glyphs->glyphs[i];
    PangoGlyphInfo *known = text[i] == ' ' ? &setting->space : &setting->figures[text[i] - '0'];
    if (!known->glyph) {
      *known = *glyph;
    }
    plain = is_same_glyph(glyph, known);
  }
  g_clear_pointer(&glyphs, pango_glyph_string_free);
  g_free(text);
  return plain;
}

static gboolean
has_plain_figures(Setting *setting)
{
  if (setting->seen == FIGURES_UNSEEN) {
    setting->seen = find_figures(setting) ? FIGURES_PLAIN : FIGURES_JOINED;
  }
  return setting->seen == FIGURES_PLAIN;
}

// A number without shaping it: documents hold more different numbers than words.
static void
set_figures(Word *word, const Setting *setting, const char *text)
{
  word->n = (guint)strlen(text);
  word->glyphs = g_new(PangoGlyphInfo, word->n);
  for (guint i = 0; i < word->n; ++i) {
    word->glyphs[i] = setting->figures[text[i] - '0'];
    word->width += word->glyphs[i].geometry.width;
  }
}

// Shapes a word between spaces, after a letter where the line has one.
static void
shape_word(Word *word, const Setter *setter, const Setting *setting, const char *text)
{
  char *sample = g_strconcat(setting->latin ? "a " : " ", text, " ", NULL);
  const guint before = setting->latin ? 2 : 1;
  PangoGlyphString *glyphs = is_in_font(setter, setting, text, sample) ? shape(setting->item, sample) : NULL;
  const guint n = glyphs ? (guint)glyphs->num_glyphs - before - 1 : 0;
  if (n && stands_alone(setting, glyphs->glyphs + before, n)) {
    word->n = n;
    word->glyphs = g_memdup2(glyphs->glyphs + before, n * sizeof *word->glyphs);
    for (guint i = 0; i < n; ++i) {
      word->width += word->glyphs[i].geometry.width;
    }
  }
  g_clear_pointer(&glyphs, pango_glyph_string_free);
  g_free(sample);
}

static Word *
set_word(const Setter *setter, Setting *setting, const char *text)
{
  Word *word = g_new0(Word, 1);
  const gboolean number = text[strspn(text, "0123456789")] == '\0';
  setting->numbers += number ? 1 : 0;
  if (number && setting->numbers > MANY_NUMBERS && has_plain_figures(setting)) {
    set_figures(word, setting, text);
  } else {
    shape_word(word, setter, setting, text);
  }
  return word;
}

static const Word *
find_word(const Setter *setter, Setting *setting, const char *text)
{
  Word *word = g_hash_table_lookup(setting->words, text);
  if (!word) {
    if (g_hash_table_size(setting->words) == MOST_WORDS) {
      g_hash_table_remove_all(setting->words);
    }
    word = set_word(setter, setting, text);
    g_hash_table_insert(setting->words, g_strdup(text), word);
  }
  return word;
}

// ----------------------------------------------------------------------------------------------------------- settings

static void
free_setting(gpointer data)
{
  Setting *setting = data;
  g_clear_pointer(&setting->item, pango_item_free);
  g_hash_table_unref(setting->words);
  g_free(setting);
}

static void
free_setter(gpointer data)
{
  Setter *setter = data;
  g_ptr_array_unref(setter->settings);
  g_object_unref(setter->context);
  g_free(setter);
}

static Setter *
own_setter(void)
{
  static GPrivate own = G_PRIVATE_INIT(free_setter); // as Pango's fonts, a thread's own
  Setter *setter = g_private_get(&own);
  if (!setter) {
    setter = g_new(Setter, 1);
    setter->context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    setter->settings = g_ptr_array_new_with_free_func(free_setting);
    rc_words_unhint(setter->context);
    g_private_set(&own, setter);
  }
  return setter;
}

// A run of all that is plain but letters beyond ASCII.
static PangoItem *
find_run(const Setter *setter, RcFace face, gboolean latin)
{
  GString *sample = g_string_new(SIGNS);
  for (char letter = ' '; letter < 0x7F; ++letter) {
    if (latin || !g_ascii_isalpha(letter)) {
      g_string_append_c(sample, letter);
    }
  }
  PangoItem *item = itemize(setter, face, sample->str);
  g_string_free(sample, TRUE);
  return item;
}

// Where not all of that is in one font, or a space is not plain, its item is NULL.
static Setting *
new_setting(const Setter *setter, RcFace face, gboolean latin)
{
  Setting *setting = g_new0(Setting, 1);
  setting->face = face;
  setting->latin = latin;
  setting->words = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, free_word);
  setting->item = find_run(setter, face, latin);
  PangoGlyphString *space = setting->item ? shape(setting->item, " ") : NULL;
  if (space) {
    setting->space = space->glyphs[0];
    pango_font_get_glyph_extents(setting->item->analysis.font, space->glyphs[0].glyph, NULL, &setting->box);
    pango_glyph_string_free(space);
  } else {
    g_clear_pointer(&setting->item, pango_item_free);
  }
  return setting;
}

static Setting *
find_setting(const Setter *setter, RcFace face, gboolean latin)
{
  for (guint i = 0; i < setter->settings->len; ++i) {
    Setting *known = g_ptr_array_index(setter->settings, i);
    if ((int)(known->face.points * PANGO_SCALE) == (int)(face.points * PANGO_SCALE) && known->face.bold == face.bold &&
        known->latin == latin) {
      return known->item ? known : NULL;
    }
  }
  if (setter->settings->len == MOST_SETTINGS) {
    return NULL;
  }
  g_ptr_array_add(setter->settings, new_setting(setter, face, latin));
  return find_setting(setter, face, latin);
}

// --------------------------------------------------------------------------------------------------------------- lines

static gboolean
is_latin(gunichar letter)
{
  return letter < 0x80 ? g_ascii_isalpha((char)letter) : g_unichar_get_script(letter) == G_UNICODE_SCRIPT_LATIN;
}

// Letters, figures and signs that are in no text what they are not in all. Sets `latin` where there is a letter.
static gboolean
is_plain(const char *text, gboolean *latin)
{
  *latin = FALSE;
  for (; *text; text = g_utf8_next_char(text)) {
    const gunichar letter = g_utf8_get_char(text);
    const gboolean common = letter < 0x7F ? letter >= ' ' : letter > 0x7F && g_utf8_strchr(SIGNS, -1, letter);
    const gboolean part = is_latin(letter) && letter < 0x250;
    *latin |= part;
    if (!common && !part) {
      return FALSE;
    }
  }
  return TRUE;
}

static void
add_glyph(RcWords *words, const PangoGlyphInfo *glyph, int bytes)
{
  words->glyphs[words->n] =
    (cairo_glyph_t){ glyph->glyph, (double)(words->width + glyph->geometry.x_offset) / PANGO_SCALE,
                     (double)glyph->geometry.y_offset / PANGO_SCALE };
  words->places[words->n] = words->width;
  words->clusters[words->n] = (cairo_text_cluster_t){ bytes, 1 };
  words->width += glyph->geometry.width;
  ++words->n;
}

// Adds a word, which is `text`'s next `bytes`.
static gboolean
add_word(RcWords *words, const Setter *setter, Setting *setting, const char *text, gsize bytes)
{
  char copy[MOST_BYTES];
  if (bytes >= sizeof copy) {
    return FALSE;
  }
  memcpy(copy, text, bytes);
  copy[bytes] = '\0';
  const Word *word = find_word(setter, setting, copy);
  for (guint i = 0; i < word->n; ++i) {
    const char *next = g_utf8_next_char(text);
    add_glyph(words, &word->glyphs[i], (int)(next - text));
    text = next;
  }
  return word->n > 0;
}

static gboolean
add_words(RcWords *words, const Setter *setter, Setting *setting)
{
  gboolean plain = TRUE;
  for (const char *text = words->text; plain && *text;) {
    const gsize bytes = strcspn(text, " ");
    if (bytes) {
      plain = add_word(words, setter, setting, text, bytes);
      text += bytes;
    } else {
      add_glyph(words, &setting->space, 1);
      ++text;
    }
  }
  return plain;
}

// The setting for a text that is plain, else NULL.
static Setting *
setting_for(const Setter *setter, RcFace face, const char *text)
{
  gboolean latin;
  return *text && is_plain(text, &latin) ? find_setting(setter, face, latin) : NULL;
}

gboolean
rc_words_set(RcWords *words, RcFace face, const char *text)
{
  const Setter *setter = own_setter();
  Setting *setting = setting_for(setter, face, text);
  if (!setting) {
    return FALSE;
  }
  const gsize letters = (gsize)g_utf8_strlen(text, -1);
  *words = (RcWords){ .face = face,
                      .text = g_strdup(text),
                      .font = pango_cairo_font_get_scaled_font((PangoCairoFont *)setting->item->analysis.font),
                      .glyphs = g_new(cairo_glyph_t, letters),
                      .clusters = g_new(cairo_text_cluster_t, letters),
                      .places = g_new(int, letters),
                      .height = setting->box.height,
                      .baseline = -setting->box.y };
  const gboolean plain = add_words(words, setter, setting);
  if (!plain) {
    rc_words_clear(words);
  }
  return plain;
}

gboolean
rc_words_shorten(RcWords *words, int width)
{
  const Setter *setter = own_setter();
  const Word *ellipsis = find_word(setter, setting_for(setter, words->face, words->text), "…");
  int kept = words->n - 1;
  int bytes = 0;
  while (kept > 0 && words->places[kept] + ellipsis->width > width) {
    --kept;
  }
  if (kept <= 0 || ellipsis->n != 1) {
    return FALSE;
  }
  for (int i = 0; i < kept; ++i) {
    bytes += words->clusters[i].num_bytes;
  }
  char *text = g_strdup_printf("%.*s…", bytes, words->text);
  g_free(words->text);
  words->text = text;
  words->width = words->places[kept];
  words->n = kept;
  add_glyph(words, &ellipsis->glyphs[0], (int)strlen("…"));
  return TRUE;
}

// The letter with which the line after that of `first` begins: after the last word that fits, whatever is the width of
// the space after it. `n` where nothing follows, `first` where no word fits.
static int
next_line(const RcWords *words, const PangoLogAttr *attributes, int first, int width)
{
  int next = first;
  for (int i = first + 1; i <= words->n; ++i) {
    const int space = attributes[i - 1].is_white ? 1 : 0;
    const int end = i - space == words->n ? words->width : words->places[i - space];
    if (end - words->places[first] > width) {
      break;
    }
    next = i == words->n || attributes[i].is_line_break ? i : next;
  }
  return next;
}

gboolean
rc_words_wrap(RcWords *words, int width, guint most)
{
  PangoLogAttr *attributes = g_new0(PangoLogAttr, (gsize)words->n + 1);
  gboolean fits = TRUE;
  pango_default_break(words->text, -1, NULL, attributes, words->n + 1);
  words->starts = g_array_new(FALSE, FALSE, sizeof(int));
  for (int first = 0; fits && first < words->n;) {
    const int next = next_line(words, attributes, first, width);
    g_array_append_val(words->starts, first);
    fits = next > first && (!most || words->starts->len <= most);
    first = next;
  }
  words->height *= (int)words->starts->len;
  g_free(attributes);
  return fits;
}

// Shows the letters from `first` to before `end`, the first of them at `x`. Returns the bytes of their text.
static int
show_letters(cairo_t *cairo, const RcWords *words, const char *text, int first, int end, double x, double y)
{
  const int n = end - first;
  cairo_glyph_t *glyphs = g_memdup2(words->glyphs + first, (gsize)n * sizeof *glyphs);
  const double from = (double)words->places[first] / PANGO_SCALE;
  int bytes = 0;
  for (int i = 0; i < n; ++i) {
    glyphs[i].x = x + (glyphs[i].x - from);
    glyphs[i].y += y;
    bytes += words->clusters[first + i].num_bytes;
  }
  cairo_show_text_glyphs(cairo, text, bytes, glyphs, n, words->clusters + first, n, 0);
  g_free(glyphs);
  return bytes;
}

void
rc_words_show(cairo_t *cairo, const RcWords *words, int indent)
{
  double x = 0;
  double y = 0;
  const char *text = words->text;
  const guint lines = words->starts ? words->starts->len : 1;
  cairo_get_current_point(cairo, &x, &y);
  cairo_set_scaled_font(cairo, words->font);
  for (guint i = 0; i < lines; ++i) {
    const int first = words->starts ? g_array_index(words->starts, int, i) : 0;
    const int end = i + 1 < lines ? g_array_index(words->starts, int, i + 1) : words->n;
    const int below = words->baseline + (int)i * (words->height / (int)lines);
    text +=
      show_letters(cairo, words, text, first, end, x + (double)indent / PANGO_SCALE, y + (double)below / PANGO_SCALE);
  }
}

void
rc_words_clear(RcWords *words)
{
  g_clear_pointer(&words->text, g_free);
  g_clear_pointer(&words->glyphs, g_free);
  g_clear_pointer(&words->clusters, g_free);
  g_clear_pointer(&words->places, g_free);
  g_clear_pointer(&words->starts, g_array_unref);
}
