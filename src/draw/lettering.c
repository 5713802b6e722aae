#include "draw/lettering.h"

#include <math.h>
#include <string.h>

#include "draw/palette.h"

/* ---- words that were set before ---- */

#define WORDS_MAX 2000

/* Shaping a word costs more than drawing it, and a view draws the same words again and again. */
typedef struct {
  PangoContext *context;
  GHashTable *words; /* Word -> itself */
} Shop;

typedef struct {
  PangoLayout *layout;
  double width, height;
  double size;
  gboolean bold;
  char text[];
} Word;

static guint
word_hash (gconstpointer key)
{
  const Word *word = key;

  return g_str_hash (word->text) ^ (guint) (word->size * 64.0) << 1 ^ (guint) word->bold;
}

static gboolean
word_equal (gconstpointer a, gconstpointer b)
{
  const Word *wa = a, *wb = b;

  return wa->size == wb->size && wa->bold == wb->bold && strcmp (wa->text, wb->text) == 0;
}

static void
word_free (gpointer data)
{
  Word *word = data;

  g_clear_object (&word->layout);
  g_free (word);
}

static void
shop_free (gpointer data)
{
  Shop *shop = data;

  g_hash_table_unref (shop->words);
  g_object_unref (shop->context);
  g_free (shop);
}

/* A thread's own: Pango's objects are not shared between threads. */
static GPrivate shops = G_PRIVATE_INIT (shop_free);

static Shop *
shop_new (void)
{
  Shop *shop = g_new0 (Shop, 1);
  cairo_font_options_t *options = cairo_font_options_create ();

  /* The same advance widths at every zoom, on screen and on paper. */
  cairo_font_options_set_hint_metrics (options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_hint_style (options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_antialias (options, CAIRO_ANTIALIAS_GRAY);
  shop->context = pango_font_map_create_context (pango_cairo_font_map_get_default ());
  pango_cairo_context_set_font_options (shop->context, options);
  cairo_font_options_destroy (options);
  shop->words = g_hash_table_new_full (word_hash, word_equal, word_free, NULL);
  return shop;
}

static Shop *
shop (void)
{
  Shop *own = g_private_get (&shops);

  if (!own) {
    own = shop_new ();
    g_private_set (&shops, own);
  }
  return own;
}

static void
set_word (Word *word, PangoContext *context)
{
  PangoFontDescription *font = pango_font_description_new ();
  int w, h;

  pango_font_description_set_family_static (font, "sans-serif");
  pango_font_description_set_weight (font, word->bold ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size (font, CLAMP (word->size, 1.0, 400.0) * PANGO_SCALE);
  word->layout = pango_layout_new (context);
  pango_layout_set_font_description (word->layout, font);
  pango_layout_set_text (word->layout, word->text, -1);
  pango_layout_get_size (word->layout, &w, &h);
  word->width = (double) w / PANGO_SCALE;
  word->height = (double) h / PANGO_SCALE;
  pango_font_description_free (font);
}

/* Stays as it is until the next word is asked for. */
static const Word *
word_of (const LwLettering *self, const char *text)
{
  Shop *own = shop ();
  gsize length = strlen (text) + 1;
  Word *word = g_malloc0 (sizeof (Word) + length), *known;

  word->size = self->size;
  word->bold = self->bold;
  memcpy (word->text, text, length);
  known = g_hash_table_lookup (own->words, word);
  if (known) {
    g_free (word);
    return known;
  }
  if (g_hash_table_size (own->words) >= WORDS_MAX)
    g_hash_table_remove_all (own->words);
  set_word (word, own->context);
  g_hash_table_add (own->words, word);
  return word;
}

/* ---- lettering ---- */

void
lw_letter_begin (LwLettering *self, cairo_t *cr)
{
  self->cr = cr;
  lw_letter_face (self, 10.0, FALSE);
}

void
lw_letter_end (LwLettering *self)
{
  self->cr = NULL;
}

void
lw_letter_face (LwLettering *self, double size, gboolean bold)
{
  self->size = size;
  self->bold = bold;
}

void
lw_letter_measure (LwLettering *self, const char *text, double *width, double *height)
{
  const Word *word = word_of (self, text);

  *width = word->width;
  *height = word->height;
}

char *
lw_letter_cut (LwLettering *self, const char *text, double room)
{
  double w, h;

  lw_letter_measure (self, text, &w, &h);
  if (w <= room)
    return g_strdup (text);
  for (glong n = g_utf8_strlen (text, -1) - 1; n >= 3; n--) {
    g_autofree char *head = g_utf8_substring (text, 0, n), *cut = g_strconcat (g_strchomp (head), "…", NULL);

    lw_letter_measure (self, cut, &w, &h);
    if (w <= room)
      return g_steal_pointer (&cut);
  }
  return g_strdup ("");
}

void
lw_letter_draw (LwLettering *self, const char *text, double x, double y, double ax, double ay, double turn_rad,
              LwColor color, LwColor halo)
{
  cairo_t *cr = self->cr;
  const Word *word;

  /* A place that is no number would spoil the whole context. */
  if (!(fabs (x) < 1e6) || !(fabs (y) < 1e6) || !isfinite (turn_rad))
    return;
  word = word_of (self, text);
  cairo_save (cr);
  cairo_translate (cr, x, y);
  if (turn_rad != 0.0)
    cairo_rotate (cr, turn_rad);
  cairo_move_to (cr, -ax * word->width, -ay * word->height);
  if (halo.a > 0.0) {
    pango_cairo_layout_path (cr, word->layout);
    lw_color_set (cr, halo);
    cairo_set_line_width (cr, 0.32 * self->size);
    cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_dash (cr, NULL, 0, 0.0);
    cairo_stroke (cr);
    cairo_move_to (cr, -ax * word->width, -ay * word->height);
  }
  lw_color_set (cr, color);
  pango_cairo_show_layout (cr, word->layout);
  cairo_restore (cr);
  cairo_new_path (cr);
}

void
lw_letter_draw_plate (LwLettering *self, const char *text, double x, double y, double turn_rad, LwColor color,
                      LwColor plate)
{
  cairo_t *cr = self->cr;
  double width, height, pad = 0.18 * self->size;
  const Word *word;

  if (!(fabs (x) < 1e6) || !(fabs (y) < 1e6) || !isfinite (turn_rad))
    return;
  word = word_of (self, text);
  width = word->width;
  height = word->height;
  cairo_save (cr);
  cairo_translate (cr, x, y);
  if (turn_rad != 0.0)
    cairo_rotate (cr, turn_rad);
  /* Capitals fill about the middle three fifths of the text's box. */
  cairo_rectangle (cr, -0.5 * width - pad, -0.32 * height, width + 2.0 * pad, 0.64 * height);
  lw_color_set (cr, plate);
  cairo_fill (cr);
  cairo_move_to (cr, -0.5 * width, -0.5 * height);
  lw_color_set (cr, color);
  pango_cairo_show_layout (cr, word->layout);
  cairo_restore (cr);
  cairo_new_path (cr);
}
