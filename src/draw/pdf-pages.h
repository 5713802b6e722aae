/* Pages painted into a PDF in memory, so that a file is replaced whole or not at all. Inside draw/. */
#ifndef LW_PDF_PAGES_H
#define LW_PDF_PAGES_H

#include <cairo.h>
#include <glib.h>

G_BEGIN_DECLS

/* Paints PAGE, counted from 0; 1 unit = 1 pt. */
typedef void (*LwPdfPaint) (cairo_t *cr, guint page, gconstpointer data);
/* What went wrong, or CAIRO_STATUS_SUCCESS with the whole file in BYTES. */
cairo_status_t lw_pdf_pages (GByteArray *bytes, double width_pt, double height_pt, guint n_pages, LwPdfPaint paint,
                             gconstpointer data);

G_END_DECLS

#endif
