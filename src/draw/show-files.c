/* A job as a sequence of pictures: PNG files in a folder, and an animated WebP (libwebp). */
#include <errno.h>
#include <gio/gio.h>
#include <glib/gi18n.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <webp/encode.h>
#include <webp/mux.h>

#include "board/file-replace.h"
#include "draw/show-page.h"

#define SIDE_MAX_PX 4096
/* Of WebP's 0..100: edges of letters stay clean. */
#define QUALITY 85.0f

typedef struct {
  const LwShowPage *page;
  const LwShowFrames *frames;
  LwShowPainter *painter;
  cairo_surface_t *surface;
  WebPAnimEncoder *encoder; /* NULL: no animation */
  WebPConfig config;
  guint n;
} Making;

static gboolean
refuse (GError **error, const char *reason)
{
  g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT, reason);
  return FALSE;
}

static gboolean
check (const LwShowPage *page, const LwShowFrames *f, guint *n, GError **error)
{
  double many = floor ((f->to_s - f->from_s) / f->step_s + 1e-9) + 1.0;

  if (!(f->step_s > 0.0) || !(f->to_s >= f->from_s) || !(f->from_s >= 0.0))
    return refuse (error, _("the moments of the pictures do not make sense"));
  if (!(many <= LW_SHOW_FRAMES_MAX)) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_ARGUMENT, _("%.0f pictures are too many: at most %d"), many,
                 LW_SHOW_FRAMES_MAX);
    return FALSE;
  }
  if (!(page->width >= 64 && page->height >= 64 && page->width <= SIDE_MAX_PX && page->height <= SIDE_MAX_PX))
    return refuse (error, _("pictures are 64 to 4096 pixels wide and high"));
  if (page->main.job == NULL || page->main.prediction == NULL)
    return refuse (error, _("there is no prediction to show"));
  *n = (guint) many;
  return TRUE;
}

/* ---- one frame ---- */

static void
paint (Making *m, guint i)
{
  cairo_t *cr = cairo_create (m->surface);

  lw_show_paint (m->painter, cr, m->frames->from_s + i * m->frames->step_s);
  cairo_destroy (cr);
  cairo_surface_flush (m->surface);
}

static char *
frame_path (const Making *m, guint i)
{
  g_autofree char *name = g_strdup_printf ("frame-%04u.png", i + 1);

  return g_build_filename (m->frames->folder, name, NULL);
}

static gboolean
write_png (Making *m, guint i, GError **error)
{
  g_autofree char *path = frame_path (m, i);
  cairo_status_t status = cairo_surface_write_to_png (m->surface, path);

  if (status == CAIRO_STATUS_SUCCESS)
    return TRUE;
  g_unlink (path);
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, "%s: %s", path, cairo_status_to_string (status));
  return FALSE;
}

static gboolean
encoder_failed (Making *m, GError **error)
{
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_FAILED, "%s: %s", m->frames->animation, WebPAnimEncoderGetError (m->encoder));
  return FALSE;
}

/* Cairo's pixels are what libwebp calls ARGB, one 32-bit word each, but for the alpha of an opaque picture. */
static gboolean
add_to_animation (Making *m, guint i, GError **error)
{
  WebPPicture picture;
  const unsigned char *from = cairo_image_surface_get_data (m->surface);
  int stride = cairo_image_surface_get_stride (m->surface), good;

  if (!WebPPictureInit (&picture))
    return refuse (error, _("the WebP library is of another version"));
  picture.use_argb = 1;
  picture.width = cairo_image_surface_get_width (m->surface);
  picture.height = cairo_image_surface_get_height (m->surface);
  if (!WebPPictureAlloc (&picture)) {
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_FAILED, _("out of memory"));
    return FALSE;
  }
  for (int y = 0; y < picture.height; y++)
    for (int x = 0; x < picture.width; x++)
      picture.argb[(gsize) y * picture.argb_stride + x] = 0xff000000u | ((const guint32 *) (from + (gsize) y * stride))[x];
  good = WebPAnimEncoderAdd (m->encoder, &picture, (int) lround (i * 1000.0 / m->frames->per_s), &m->config);
  WebPPictureFree (&picture);
  return good || encoder_failed (m, error);
}

/* A part of a job looks like the whole of a shorter one: it does not stay. */
static void
remove_frames (const Making *m, guint n)
{
  for (guint i = 0; m->frames->folder != NULL && i < n; i++) {
    g_autofree char *path = frame_path (m, i);

    g_unlink (path);
  }
}

/* ---- all of them ---- */

static gboolean
begin_animation (Making *m, GError **error)
{
  WebPAnimEncoderOptions options;

  if (m->frames->animation == NULL)
    return TRUE;
  if (!g_str_has_suffix (m->frames->animation, ".webp")) {
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED, _("%s: the name must end in .webp"), m->frames->animation);
    return FALSE;
  }
  if (!(m->frames->per_s > 0.0 && m->frames->per_s <= 60.0))
    return refuse (error, _("an animation has up to 60 pictures a second"));
  if (!WebPAnimEncoderOptionsInit (&options) || !WebPConfigInit (&m->config))
    return refuse (error, _("the WebP library is of another version"));
  m->config.quality = QUALITY;
  m->config.method = 2;
  m->encoder = WebPAnimEncoderNew ((int) m->page->width, (int) m->page->height, &options);
  return m->encoder != NULL || refuse (error, _("out of memory"));
}

static gboolean
end_animation (Making *m, GError **error)
{
  WebPData data;
  gboolean good;

  if (m->encoder == NULL)
    return TRUE;
  WebPDataInit (&data);
  if (!WebPAnimEncoderAdd (m->encoder, NULL, (int) lround (m->n * 1000.0 / m->frames->per_s), NULL)
      || !WebPAnimEncoderAssemble (m->encoder, &data))
    return encoder_failed (m, error);
  good = lw_file_replace (m->frames->animation, (const char *) data.bytes, data.size, NULL, error);
  WebPDataClear (&data);
  return good;
}

static gboolean
make_all (Making *m, GError **error)
{
  for (guint i = 0; i < m->n; i++) {
    paint (m, i);
    if ((m->frames->folder != NULL && !write_png (m, i, error)) || (m->encoder != NULL && !add_to_animation (m, i, error))) {
      remove_frames (m, i);
      return FALSE;
    }
    if (m->frames->progress != NULL && !m->frames->progress ((i + 1.0) / m->n, m->frames->user)) {
      g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_CANCELLED, _("cancelled"));
      remove_frames (m, i + 1);
      return FALSE;
    }
  }
  return end_animation (m, error);
}

guint
lw_show_to_files (const LwShowPage *page, const LwShowFrames *frames, GError **error)
{
  Making m = { .page = page, .frames = frames };
  gboolean good = check (page, frames, &m.n, error) && begin_animation (&m, error);

  if (good && frames->folder != NULL && g_mkdir_with_parents (frames->folder, 0777) != 0) {
    g_set_error (error, G_IO_ERROR, g_io_error_from_errno (errno), "%s: %s", frames->folder, g_strerror (errno));
    good = FALSE;
  }
  if (good) {
    m.painter = lw_show_painter_new (page);
    m.surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) page->width, (int) page->height);
    good = make_all (&m, error);
    cairo_surface_destroy (m.surface);
  }
  lw_show_painter_free (m.painter);
  WebPAnimEncoderDelete (m.encoder);
  return good ? m.n : 0;
}
