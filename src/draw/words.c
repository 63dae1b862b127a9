// Copyright 2026 the rowcall developers
// SPDX-License-Identifier: MIT

#include "draw/words.h"

#include <hb-ot.h>
#include <math.h>
#include <string.h>

#define FAMILY "DejaVu Sans, sans-serif"

// Signs that stand among Latin letters as among figures.
#define SIGNS "\u00a0♯♭·×–—−…“”‘’°•"

// What is set beyond these takes no room here.
enum { MOST_SIZES = 64, MOST_WORDS = 4096, MOST_BYTES = 64 };

enum { MANY_NUMBERS = 50 }; // shaped one by one, before it pays to look at the figures

// The size at which words are shaped, in points: since finding a font takes far longer than shaping, and does so for
// each size, what is found at this one is scaled to the others.
enum { SHAPED = 64 };

typedef enum { FIGURES_UNSEEN, FIGURES_PLAIN, FIGURES_JOINED } Figures;

// A glyph in a word, in units of its font.
typedef struct {
  PangoGlyph glyph;
  int advance; // of the glyph alone
  int kern;    // and what is added to it before the next one
  int x;
  int y;
} Letter;

// A word that was shaped.
typedef struct {
  guint n; // letters, each of them one glyph; 0 where it is none to be put between others
  Letter *letters;
} Word;

// A face in one size.
typedef struct {
  int units;   // the size in Pango units
  gint64 mult; // by which HarfBuzz multiplies the units of the font to get Pango units, in 1/65536
  cairo_scaled_font_t *font;
  int height;
  int baseline;
} Size;

// A weight, and the words shaped in it, by their texts: in a line with a Latin letter, or in one of figures and signs,
// for which a font may have other rules.
typedef struct {
  gboolean bold;
  gboolean latin;
  PangoItem *item; // of all letters of ASCII and the signs, as far as they are in one font
  int em;          // in units of the font
  int above;       // the height of a line above its baseline, in units of the font
  int below;
  Letter space;
  GArray *sizes; // of Size
  GHashTable *words;
  guint numbers; // so many of them are words
  Figures seen;  // plain: a number is its figures, put next to each other
  Letter figures[10];
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
rc_words_attributes(const char *text)
{
  PangoAttrList *attributes = pango_attr_list_new();
  pango_attr_list_insert(attributes, pango_attr_font_features_new("liga 0"));
  for (const char *at = strstr(text, " %"); at; at = strstr(at + 1, " %")) {
    PangoAttribute *whole = pango_attr_allow_breaks_new(FALSE);
    whole->start_index = (guint)(at - text);
    whole->end_index = whole->start_index + (guint)strlen(" %");
    pango_attr_list_insert(attributes, whole);
  }
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
itemize(const Setter *setter, gboolean bold, const char *text)
{
  PangoAttrList *attributes = rc_words_attributes(text);
  PangoFontDescription *font = rc_words_font((RcFace){ SHAPED, bold });
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

// Of what was shaped: there is more than one Pango unit to a unit of the font, so that none is lost.
static int
font_units(const Setting *setting, int pango_units)
{
  return (int)floor((double)pango_units * setting->em / (SHAPED * PANGO_SCALE) + 0.5);
}

static int
width_alone(const Setting *setting, PangoGlyph glyph)
{
  PangoRectangle box;
  pango_font_get_glyph_extents(setting->item->analysis.font, glyph, NULL, &box);
  return font_units(setting, box.width);
}

static Letter
make_letter(const Setting *setting, const PangoGlyphInfo *info)
{
  Letter letter = { info->glyph, width_alone(setting, info->glyph), 0, 0, 0 };
  letter.kern = font_units(setting, info->geometry.width) - letter.advance;
  letter.x = font_units(setting, info->geometry.x_offset);
  letter.y = font_units(setting, info->geometry.y_offset);
  return letter;
}

static gboolean
is_same_letter(const Letter *a, const Letter *b)
{
  return a->glyph == b->glyph && a->advance == b->advance && a->kern == b->kern && a->x == b->x && a->y == b->y;
}

static gboolean
is_space(const Setting *setting, const PangoGlyphInfo *info)
{
  const Letter letter = make_letter(setting, info);
  return is_same_letter(&letter, &setting->space);
}

static void
free_word(gpointer data)
{
  Word *word = data;
  g_free(word->letters);
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
  PangoItem *item = usual ? NULL : itemize(setter, setting->bold, sample);
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
    const Letter letter = make_letter(setting, &glyphs->glyphs[i]);
    Letter *known = text[i] == ' ' ? &setting->space : &setting->figures[text[i] - '0'];
    if (!known->glyph) {
      *known = letter;
    }
    plain = is_same_letter(&letter, known);
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
  word->letters = g_new(Letter, word->n);
  for (guint i = 0; i < word->n; ++i) {
    word->letters[i] = setting->figures[text[i] - '0'];
  }
}

// Shapes a word between spaces, after a letter where the line has one. What is not the same elsewhere is no word.
static void
shape_word(Word *word, const Setter *setter, const Setting *setting, const char *text)
{
  char *sample = g_strconcat(setting->latin ? "a " : " ", text, " ", NULL);
  const guint before = setting->latin ? 2 : 1;
  PangoGlyphString *glyphs = is_in_font(setter, setting, text, sample) ? shape(setting->item, sample) : NULL;
  const guint n = glyphs ? (guint)glyphs->num_glyphs - before - 1 : 0;
  if (n && is_space(setting, &glyphs->glyphs[before - 1]) && is_space(setting, &glyphs->glyphs[before + n])) {
    word->letters = g_new(Letter, n);
    for (guint i = 0; i < n; ++i) {
      word->letters[i] = make_letter(setting, &glyphs->glyphs[before + i]);
    }
    word->n = word->letters[n - 1].kern ? 0 : n;
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
clear_size(gpointer size)
{
  cairo_scaled_font_destroy(((Size *)size)->font);
}

static void
free_setting(gpointer data)
{
  Setting *setting = data;
  g_clear_pointer(&setting->item, pango_item_free);
  g_array_unref(setting->sizes);
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
find_run(const Setter *setter, gboolean bold, gboolean latin)
{
  GString *sample = g_string_new(SIGNS);
  for (char letter = ' '; letter < 0x7F; ++letter) {
    if (latin || !g_ascii_isalpha(letter)) {
      g_string_append_c(sample, letter);
    }
  }
  PangoItem *item = itemize(setter, bold, sample->str);
  g_string_free(sample, TRUE);
  return item;
}

// The units of the em of a font of which each size is the other scaled; 0 where some may look different.
static int
find_em(const PangoItem *item)
{
  hb_face_t *face = hb_font_get_face(pango_font_get_hb_font(item->analysis.font));
  const guint em = hb_face_get_upem(face);
  return hb_ot_var_has_data(face) || em > SHAPED * PANGO_SCALE ? 0 : (int)em;
}

// What all glyphs of the font have in common.
static void
measure_font(Setting *setting)
{
  hb_font_extents_t extents;
  hb_font_get_extents_for_direction(pango_font_get_hb_font(setting->item->analysis.font), HB_DIRECTION_LTR, &extents);
  setting->above = font_units(setting, extents.ascender);
  setting->below = -font_units(setting, extents.descender);
}

// Where not all of that is in one font, or a space is not plain, its item is NULL.
static Setting *
new_setting(const Setter *setter, gboolean bold, gboolean latin)
{
  Setting *setting = g_new0(Setting, 1);
  setting->bold = bold;
  setting->latin = latin;
  setting->words = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, free_word);
  setting->sizes = g_array_new(FALSE, FALSE, sizeof(Size));
  g_array_set_clear_func(setting->sizes, clear_size);
  setting->item = find_run(setter, bold, latin);
  setting->em = setting->item ? find_em(setting->item) : 0;
  PangoGlyphString *space = setting->em ? shape(setting->item, " ") : NULL;
  if (space) {
    measure_font(setting);
    setting->space = make_letter(setting, &space->glyphs[0]);
    pango_glyph_string_free(space);
  } else {
    g_clear_pointer(&setting->item, pango_item_free);
  }
  return setting;
}

static Setting *
find_setting(const Setter *setter, gboolean bold, gboolean latin)
{
  for (guint i = 0; i < setter->settings->len; ++i) {
    Setting *known = g_ptr_array_index(setter->settings, i);
    if (known->bold == bold && known->latin == latin) {
      return known->item ? known : NULL;
    }
  }
  g_ptr_array_add(setter->settings, new_setting(setter, bold, latin));
  return find_setting(setter, bold, latin);
}

// In Pango units, rounded as HarfBuzz does: down from the middle on.
static int
scaled(const Size *size, int font_units)
{
  const gint64 product = font_units * size->mult + 32768;
  return (int)(product >> 16);
}

// The font of a setting, scaled, and its height as Pango has it.
static Size
make_size(const Setting *setting, int units)
{
  cairo_scaled_font_t *shaped = pango_cairo_font_get_scaled_font((PangoCairoFont *)setting->item->analysis.font);
  const double scale = (double)units / PANGO_SCALE / SHAPED;
  cairo_font_options_t *options = cairo_font_options_create();
  cairo_matrix_t matrix;
  cairo_matrix_t upright;
  cairo_matrix_init_identity(&upright);
  cairo_scaled_font_get_font_matrix(shaped, &matrix);
  cairo_matrix_scale(&matrix, scale, scale);
  cairo_scaled_font_get_font_options(shaped, options);
  Size size = { .units = units, .mult = ((gint64)units << 16) / setting->em };
  size.font = cairo_scaled_font_create(cairo_scaled_font_get_font_face(shaped), &matrix, &upright, options);
  size.baseline = scaled(&size, setting->above);
  size.height = size.baseline - scaled(&size, -setting->below);
  cairo_font_options_destroy(options);
  return size;
}

// NULL where there are too many.
static const Size *
find_size(const Setting *setting, double points)
{
  const int units = (int)(points * PANGO_SCALE);
  for (guint i = 0; i < setting->sizes->len; ++i) {
    const Size *size = &g_array_index(setting->sizes, Size, i);
    if (size->units == units) {
      return size;
    }
  }
  if (setting->sizes->len == MOST_SIZES) {
    return NULL;
  }
  const Size size = make_size(setting, units);
  g_array_append_val(setting->sizes, size);
  return find_size(setting, points);
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
add_letter(RcWords *words, const Size *size, const Letter *letter, int bytes)
{
  words->glyphs[words->n] =
    (cairo_glyph_t){ letter->glyph, (double)(words->width + scaled(size, letter->x)) / PANGO_SCALE,
                     (double)scaled(size, letter->y) / PANGO_SCALE };
  words->places[words->n] = words->width;
  words->clusters[words->n] = (cairo_text_cluster_t){ bytes, 1 };
  words->width += scaled(size, letter->advance) + scaled(size, letter->kern);
  ++words->n;
}

// Adds a word, which is `text`'s next `bytes`.
static gboolean
add_word(RcWords *words, const Setter *setter, Setting *setting, const Size *size, const char *text, gsize bytes)
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
    add_letter(words, size, &word->letters[i], (int)(next - text));
    text = next;
  }
  return word->n > 0;
}

static gboolean
add_words(RcWords *words, const Setter *setter, Setting *setting, const Size *size)
{
  gboolean plain = TRUE;
  for (const char *text = words->text; plain && *text;) {
    const gsize bytes = strcspn(text, " ");
    if (bytes) {
      plain = add_word(words, setter, setting, size, text, bytes);
      text += bytes;
    } else {
      add_letter(words, size, &setting->space, 1);
      ++text;
    }
  }
  return plain;
}

// The setting for a text that is plain, else NULL.
static Setting *
setting_for(const Setter *setter, gboolean bold, const char *text)
{
  gboolean latin;
  return *text && is_plain(text, &latin) ? find_setting(setter, bold, latin) : NULL;
}

gboolean
rc_words_set(RcWords *words, RcFace face, const char *text)
{
  const Setter *setter = own_setter();
  Setting *setting = setting_for(setter, face.bold, text);
  const Size *size = setting ? find_size(setting, face.points) : NULL;
  if (!size) {
    return FALSE;
  }
  const gsize letters = (gsize)g_utf8_strlen(text, -1);
  *words = (RcWords){ .face = face,
                      .text = g_strdup(text),
                      .font = size->font,
                      .glyphs = g_new(cairo_glyph_t, letters),
                      .clusters = g_new(cairo_text_cluster_t, letters),
                      .places = g_new(int, letters),
                      .height = size->height,
                      .baseline = size->baseline };
  const gboolean plain = add_words(words, setter, setting, size);
  if (!plain) {
    rc_words_clear(words);
  }
  return plain;
}

gboolean
rc_words_shorten(RcWords *words, int width)
{
  const Setter *setter = own_setter();
  Setting *setting = setting_for(setter, words->face.bold, words->text);
  const Size *size = find_size(setting, words->face.points);
  const Word *ellipsis = find_word(setter, setting, "…");
  if (ellipsis->n != 1) {
    return FALSE;
  }
  const int dots = scaled(size, ellipsis->letters[0].advance);
  int kept = words->n - 1;
  int bytes = 0;
  while (kept > 0 && words->places[kept] + dots > width) {
    --kept;
  }
  if (kept <= 0) {
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
  add_letter(words, size, &ellipsis->letters[0], (int)strlen("…"));
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

// No line begins with the percent sign of a number.
static void
keep_percents(const char *text, PangoLogAttr *attributes)
{
  for (const char *at = strstr(text, " %"); at; at = strstr(at + 1, " %")) {
    attributes[g_utf8_pointer_to_offset(text, at + 1)].is_line_break = FALSE;
  }
}

gboolean
rc_words_wrap(RcWords *words, int width, guint most)
{
  PangoLogAttr *attributes = g_new0(PangoLogAttr, (gsize)words->n + 1);
  gboolean fits = TRUE;
  pango_default_break(words->text, -1, NULL, attributes, words->n + 1);
  keep_percents(words->text, attributes);
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
