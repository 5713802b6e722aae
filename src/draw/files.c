/* Pictures to files: PNG as pixels, SVG as points, by the name's ending. */
#include "draw/draw.h"

#include <gio/gio.h>
#include <glib/gi18n.h>
#include <math.h>
#ifdef CAIRO_HAS_SVG_SURFACE
#include <cairo-svg.h>
#endif

#include "board/file-replace.h"

#define SIZE_MAX_PX 16384

typedef void (*Paint) (cairo_t *cr, gconstpointer data);

static cairo_status_t
write_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

static gboolean
has_ending (const char *path, const char *ending)
{
  g_autofree char *lower = g_ascii_strdown (path, -1);

  return g_str_has_suffix (lower, ending);
}

static cairo_surface_t *
surface_for (const char *path, int width, int height, GByteArray *bytes, GError **error)
{
  if (width < 1 || height < 1 || width > SIZE_MAX_PX || height > SIZE_MAX_PX) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT, _ ("A picture of %d × %d cannot be made"), width,
                 height);
    return NULL;
  }
  if (has_ending (path, ".png"))
    return cairo_image_surface_create (CAIRO_FORMAT_ARGB32, width, height);
#ifdef CAIRO_HAS_SVG_SURFACE
  if (has_ending (path, ".svg"))
    return cairo_svg_surface_create_for_stream (write_bytes, bytes, width, height);
#endif
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED, _ ("%s: the name must end in .png or .svg"), path);
  return NULL;
}

/* The bytes are made first and the file replaced in one go, so a failure leaves the old file. */
static gboolean
paint_to_file (const char *path, int width, int height, Paint paint, gconstpointer data, GError **error)
{
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  cairo_surface_t *surface = surface_for (path, width, height, bytes, error);
  cairo_status_t status;
  cairo_t *cr;

  if (!surface)
    return FALSE;
  cr = cairo_create (surface);
  paint (cr, data);
  status = cairo_status (cr);
  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS && has_ending (path, ".png"))
    status = cairo_surface_write_to_png_stream (surface, write_bytes, bytes);
  cairo_surface_finish (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    status = cairo_surface_status (surface);
  cairo_surface_destroy (surface);
  if (status != CAIRO_STATUS_SUCCESS) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, "%s: %s", path, cairo_status_to_string (status));
    return FALSE;
  }
  return lw_file_replace (path, (const char *) bytes->data, bytes->len, NULL, error);
}

typedef struct {
  LwBoardPicture picture;
  LwViewport view;
} BoardPage;

static void
paint_board_page (cairo_t *cr, gconstpointer data)
{
  const BoardPage *page = data;
  double width = page->view.width, height = page->view.height;

  lw_draw_board (cr, &page->view, &page->picture);
  if (page->picture.prediction && page->picture.show_field && width > 300.0 && height > 200.0)
    lw_draw_heat_scale (cr, width - 50.0, 16.0, 40.0, MIN (0.5 * height, 320.0), &page->picture);
}

gboolean
lw_picture_board_to_file (const LwBoardPicture *picture, LwSide side, const char *path, int width, int height,
                          GError **error)
{
  BoardPage page = { *picture, { .width = width, .height = height, .side = side, .scale = 1.0 } };

  page.picture.still = TRUE; /* nobody drags in a file */
  lw_viewport_fit (&page.view, lw_board_scene (picture->job, picture->plan), MIN (56.0, 0.1 * MIN (width, height)));
  return paint_to_file (path, width, height, paint_board_page, &page, error);
}

static void
paint_profile_page (cairo_t *cr, gconstpointer data)
{
  LwProfilePicture picture = *(const LwProfilePicture *) data;

  picture.still = TRUE;
  lw_draw_profile (cr, &picture);
}

gboolean
lw_picture_profile_to_file (const LwProfilePicture *picture, const char *path, GError **error)
{
  double width = CLAMP (picture->width, 0.0, SIZE_MAX_PX + 1.0);
  double height = CLAMP (picture->height, 0.0, SIZE_MAX_PX + 1.0);

  return paint_to_file (path, isnan (width) ? 0 : (int) ceil (width), isnan (height) ? 0 : (int) ceil (height),
                        paint_profile_page, picture, error);
}
