#include "draw/pdf-pages.h"

#include <cairo-pdf.h>

static cairo_status_t
write_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

cairo_status_t
lw_pdf_pages (GByteArray *bytes, double width_pt, double height_pt, guint n_pages, LwPdfPaint paint, gconstpointer data)
{
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (write_bytes, bytes, width_pt, height_pt);
  cairo_t *cr = cairo_create (surface);
  cairo_status_t status;

  for (guint page = 0; page < n_pages; page++) {
    paint (cr, page, data);
    cairo_show_page (cr);
  }
  status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  return status;
}
