/* A laid-out sheet onto a context, and into a PDF. */
#include <cairo-pdf.h>
#include <gio/gio.h>
#include <glib/gi18n.h>

#include "board/file-replace.h"
#include "draw/lettering.h"
#include "draw/palette.h"
#include "draw/pdf-pages.h"
#include "draw/sheet-inside.h"

static const LwColor no_halo = { 0, 0, 0, 0 };

static void
paint_picture (cairo_t *cr, const LwSheetItem *item)
{
  cairo_save (cr);
  cairo_translate (cr, item->box.x0_mm, item->box.y0_mm);
  item->paint (cr, item->box.x1_mm - item->box.x0_mm, item->box.y1_mm - item->box.y0_mm, item->data);
  cairo_restore (cr);
}

static void
paint_shape (cairo_t *cr, const LwSheetItem *item, LwColor ink)
{
  const LwBox *b = &item->box;

  if (item->kind == LW_SHEET_RULE) {
    cairo_move_to (cr, b->x0_mm, b->y0_mm);
    cairo_line_to (cr, b->x1_mm, b->y1_mm);
  } else {
    cairo_rectangle (cr, b->x0_mm, b->y0_mm, b->x1_mm - b->x0_mm, b->y1_mm - b->y0_mm);
  }
  if (item->kind == LW_SHEET_TINT) {
    cairo_set_source_rgb (cr, item->weight, item->weight, item->weight);
    cairo_fill (cr);
    return;
  }
  lw_color_set (cr, ink);
  cairo_set_line_width (cr, item->weight);
  cairo_stroke (cr);
}

void
lw_draw_sheet (cairo_t *cr, const LwBenchSheet *self, guint page)
{
  const LwPalette *ink = lw_palette (LW_LOOK_PRINT);
  LwLettering type;

  cairo_save (cr);
  lw_letter_begin (&type, cr);
  for (guint i = 0; i < self->items->len; i++) {
    const LwSheetItem *item = &g_array_index (self->items, LwSheetItem, i);

    if (item->page != page)
      continue;
    if (item->kind == LW_SHEET_PICTURE) {
      paint_picture (cr, item);
    } else if (item->kind == LW_SHEET_WORDS) {
      lw_letter_face (&type, item->size, item->bold);
      lw_letter_draw (&type, item->text, item->box.x0_mm, item->box.y0_mm, 0, 0, 0, ink->ink, no_halo);
    } else {
      paint_shape (cr, item, ink->ink);
    }
  }
  lw_letter_end (&type);
  cairo_restore (cr);
}

GArray *
lw_bench_sheet_boxes (const LwBenchSheet *self)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (LwSheetBox));

  for (guint i = 0; i < self->items->len; i++) {
    const LwSheetItem *item = &g_array_index (self->items, LwSheetItem, i);
    LwSheetBox box = { item->page, item->box, item->size, item->text };

    if (item->kind == LW_SHEET_WORDS || item->kind == LW_SHEET_PICTURE)
      g_array_append_val (out, box);
  }
  return out;
}

/* ---- PDF ---- */

static void
describe (cairo_surface_t *surface, const LwBenchSheet *self)
{
  const LwPlan *plan = lw_sheet_plan (self);
  g_autofree char *title = g_strdup_printf ("%s: %s", self->job->title, plan->ref);
  g_autofree char *subject = g_strdup_printf ("plan %s", self->plan_hash);

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, title);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_SUBJECT, subject);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Leeward");
  /* The sheet's date stands on it; the file's own is its time stamp. */
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATE_DATE, "2000-01-01T00:00:00Z");
}

static void
paint_page (cairo_t *cr, guint page, gconstpointer data)
{
  if (page == 0)
    describe (cairo_get_target (cr), data);
  lw_draw_sheet (cr, data, page);
}

gboolean
lw_bench_sheet_to_pdf (const LwBenchSheet *self, const char *path, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  cairo_status_t status
      = lw_pdf_pages (bytes, self->input.width_pt, self->input.height_pt, self->n_pages, paint_page, self);

  if (status != CAIRO_STATUS_SUCCESS) {
    g_set_error (error, LW_SHEET_ERROR, LW_SHEET_ERROR_WRITE, "%s: %s", path, cairo_status_to_string (status));
    return FALSE;
  }
  return lw_file_replace (path, (const char *) bytes->data, bytes->len, NULL, error);
}
