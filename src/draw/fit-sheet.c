#include "draw/fit-sheet.h"

#include <math.h>

#include <gio/gio.h>
#include <glib/gi18n.h>

#include "board/file-replace.h"
#include "draw/fit-picture.h"
#include "draw/fit-words.h"
#include "draw/palette.h"
#include "draw/pdf-pages.h"

#define MARGIN 42.0
#define LETTER 8.5
#define LEAST_STRIP 46.0 /* shorter ones go onto a page of their own */
#define N_COLUMNS 5

/* Words are set from the top down; PAINT FALSE only measures. */
typedef struct {
  cairo_t *cr;
  const LwFitSheet *sheet;
  gboolean paint;
  double y;
} Setter;

/* Text in a column; its height. */
static double
words (Setter *s, const char *text, double x, double width, double size, gboolean bold)
{
  PangoLayout *layout = pango_cairo_create_layout (s->cr);
  PangoFontDescription *font = pango_font_description_from_string ("Sans");
  int height;

  pango_font_description_set_absolute_size (font, size * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_layout_set_width (layout, (int) (width * PANGO_SCALE));
  pango_layout_set_text (layout, text, -1);
  pango_layout_get_pixel_size (layout, NULL, &height);
  if (s->paint) {
    cairo_move_to (s->cr, x, s->y);
    lw_color_set (s->cr, lw_palette (LW_LOOK_PRINT)->ink);
    pango_cairo_show_layout (s->cr, layout);
  }
  pango_font_description_free (font);
  g_object_unref (layout);
  return height;
}

static double
inner_width (const LwFitSheet *sheet)
{
  return sheet->width_pt - 2 * MARGIN;
}

static void
line (Setter *s, const char *text, double size, gboolean bold)
{
  g_autofree char *shown = lw_units_paragraph (s->sheet->units, text);

  s->y += words (s, shown, MARGIN, inner_width (s->sheet), size, bold) + 0.35 * size;
}

static void
row (Setter *s, const char *const cells[N_COLUMNS], gboolean bold)
{
  static const double at[N_COLUMNS + 1] = { 0, 0.30, 0.45, 0.55, 0.69, 1 };
  double most = 0, width = inner_width (s->sheet);

  for (guint i = 0; i < N_COLUMNS; i++)
    most = fmax (most, words (s, cells[i], MARGIN + at[i] * width, (at[i + 1] - at[i]) * width - 6, LETTER, bold));
  s->y += most + 1.5;
  if (!s->paint)
    return;
  cairo_move_to (s->cr, MARGIN, s->y - 0.5);
  cairo_line_to (s->cr, MARGIN + width, s->y - 0.5);
  lw_color_set (s->cr, lw_palette (LW_LOOK_PRINT)->grid);
  cairo_set_line_width (s->cr, 0.4);
  cairo_stroke (s->cr);
}

static void
set_figure (Setter *s, const LwFitted *figure)
{
  LwUnits units = s->sheet->units;
  gboolean told = lw_fit_is_told (figure);
  g_autofree char *before = lw_fit_range (figure, figure->before_low, figure->before_high, units);
  g_autofree char *value = told ? lw_fit_amount (figure, figure->value, units) : g_strdup ("–");
  g_autofree char *after = told ? lw_fit_range (figure, figure->low, figure->high, units) : g_strdup ("–");
  g_autofree char *by = lw_fit_told_by (s->sheet->fit, figure);
  const char *cells[N_COLUMNS] = { lw_fit_figure_name (figure->figure), before, value, after, by };

  row (s, cells, FALSE);
}

static void
set_figures (Setter *s)
{
  const char *heads[N_COLUMNS] = { _("Figure"), _("Before"), _("Fitted"), _("95 of 100"), _("Told by") };

  s->y += 4;
  row (s, heads, TRUE);
  for (guint told = 2; told-- > 0;)
    for (guint i = 0; i < LW_N_FIT; i++)
      if (s->sheet->fit->figures[i].verdict != LW_VERDICT_GIVEN && lw_fit_is_told (&s->sheet->fit->figures[i]) == (gboolean) told)
        set_figure (s, &s->sheet->fit->figures[i]);
  s->y += 6;
}

static void
set_places (Setter *s)
{
  const LwSuggestions *next = s->sheet->suggestions;

  if (next == NULL || next->next->len == 0)
    return;
  line (s, _("Where the next thermocouples tell most"), LETTER + 1, TRUE);
  for (guint i = 0; i < next->next->len; i++) {
    const LwSuggestion *suggestion = g_ptr_array_index (next->next, i);
    g_autofree char *half = lw_fit_half (next, suggestion->half, s->sheet->units);
    /* Translators: number, place, how sure a figure would be then. */
    g_autofree char *text = g_strdup_printf (_("%u. %s: leaves %s"), i + 1, suggestion->text, half);
    line (s, text, LETTER, FALSE);
  }
  s->y += 4;
}

static void
set_text (Setter *s)
{
  const LwFitAnswer *fit = s->sheet->fit;
  g_autofree char *title = g_strdup_printf (_("Fit to recorded runs of %s"), fit->ref);
  g_autofree char *headline = lw_fit_headline (fit), *apart = lw_fit_apart (fit, s->sheet->units);
  g_autofree char *about = g_strdup_printf (_("%s. Chi-square %.0f for %u readings. %s"), headline, fit->chi2, fit->n_data,
                                            s->sheet->date != NULL ? s->sheet->date : "");

  s->y = MARGIN;
  line (s, title, 14, TRUE);
  line (s, about, LETTER, FALSE);
  line (s, apart, LETTER, FALSE);
  for (guint i = 0; i < fit->remarks->len; i++)
    line (s, ((const LwFitRemark *) g_ptr_array_index (fit->remarks, i))->text, LETTER, TRUE);
  set_figures (s);
  set_places (s);
}

/* Where the text of the first page ends. */
static double
text_end (const LwFitSheet *sheet)
{
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
  cairo_t *cr = cairo_create (surface);
  Setter setter = { cr, sheet, FALSE, 0 };

  set_text (&setter);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return setter.y;
}

static gboolean
fits_below (const LwFitSheet *sheet)
{
  return sheet->height_pt - MARGIN - text_end (sheet) >= LEAST_STRIP * MAX (sheet->fit->channels->len, 1) + 42;
}

guint
lw_fit_sheet_pages (const LwFitSheet *sheet)
{
  return fits_below (sheet) ? 1 : 2;
}

static void
paint_picture (cairo_t *cr, const LwFitSheet *sheet, double y)
{
  double room = sheet->height_pt - MARGIN - y;
  LwFitPicture picture = { LW_LOOK_PRINT, sheet->units, sheet->fit, inner_width (sheet),
                           fmin (room, 1.3 * lw_fit_picture_height (sheet->fit)) };

  cairo_save (cr);
  cairo_translate (cr, MARGIN, y);
  lw_draw_fit (cr, &picture);
  cairo_restore (cr);
}

void
lw_draw_fit_sheet (cairo_t *cr, const LwFitSheet *sheet, guint page)
{
  Setter setter = { cr, sheet, TRUE, 0 };

  cairo_save (cr);
  if (page == 0)
    set_text (&setter);
  if (page + 1 == lw_fit_sheet_pages (sheet))
    paint_picture (cr, sheet, page == 0 ? setter.y : MARGIN);
  cairo_restore (cr);
}

/* ---- PDF ---- */

static void
paint_page (cairo_t *cr, guint page, gconstpointer data)
{
  lw_draw_fit_sheet (cr, data, page);
}

gboolean
lw_fit_sheet_to_pdf (const LwFitSheet *sheet, const char *path, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  cairo_status_t status
      = lw_pdf_pages (bytes, sheet->width_pt, sheet->height_pt, lw_fit_sheet_pages (sheet), paint_page, sheet);

  if (status != CAIRO_STATUS_SUCCESS) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, "%s: %s", path, cairo_status_to_string (status));
    return FALSE;
  }
  return lw_file_replace (path, (const char *) bytes->data, bytes->len, NULL, error);
}
