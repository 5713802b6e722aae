/* Groups of parts: moved, turned, flipped, lined up, repeated. Names are in edits-names.c. */
#include "board/edits-group.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edit-finish.h"
#include "board/edits-names.h"
#include "board/library.h"

enum { COPIES_MAX = 10000 };

static guint
index_at (const GArray *parts, guint i)
{
  return g_array_index (parts, guint, i);
}

static const LwPart *
part_at (const LwJob *job, guint index)
{
  return g_ptr_array_index (job->parts, index);
}

static LwJob *
refuse (GError **error, const char *text)
{
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, text);
  return NULL;
}

/* All there, and at least one of them not locked when FREE. */
static gboolean
may_edit (const LwJob *job, const GArray *parts, gboolean free, GError **error)
{
  guint loose = 0;

  if (parts->len == 0)
    return refuse (error, _("no part is selected")) != NULL;
  for (guint i = 0; i < parts->len; i++)
    {
      if (!lw_edit_has_part (job, index_at (parts, i), FALSE, error))
        return FALSE;
      loose += !part_at (job, index_at (parts, i))->locked;
    }
  if (free && loose == 0)
    return parts->len == 1 ? lw_edit_has_part (job, index_at (parts, 0), TRUE, error)
                           : refuse (error, _("all selected parts are locked in their places")) != NULL;
  return TRUE;
}

static LwBox
body_box (const LwJob *job, const LwPart *part)
{
  LwPoint c[4];
  LwBox box;

  lw_part_body_corners (part, lw_job_package_of (job, part), c);
  box = (LwBox){ c[0].x_mm, c[0].y_mm, c[0].x_mm, c[0].y_mm };
  for (guint i = 1; i < 4; i++)
    lw_box_extend (&box, c[i].x_mm, c[i].y_mm);
  return box;
}

LwBox
lw_parts_box (const LwJob *job, const GArray *parts)
{
  LwBox all = { 0.0, 0.0, 0.0, 0.0 };

  for (guint i = 0; i < parts->len; i++)
    {
      LwBox box = body_box (job, part_at (job, index_at (parts, i)));

      if (i == 0)
        all = box;
      lw_box_extend (&all, box.x0_mm, box.y0_mm);
      lw_box_extend (&all, box.x1_mm, box.y1_mm);
    }
  return all;
}

/* ---- moving ---- */

LwJob *
lw_edit_move_parts (const LwJob *job, const GArray *parts, double dx, double dy, GError **error)
{
  if (!may_edit (job, parts, TRUE, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < parts->len; i++)
    if (!part_at (job, index_at (parts, i))->locked)
      {
        LwPart *part = lw_job_edit_part (after, index_at (parts, i));

        part->x_mm += dx;
        part->y_mm += dy;
        part->placed = TRUE;
      }
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_turn_parts (const LwJob *job, const GArray *parts, double turn_deg, GError **error)
{
  if (!may_edit (job, parts, TRUE, error))
    return NULL;
  if (!isfinite (turn_deg))
    return refuse (error, _("must be a finite number"));
  LwBox box = lw_parts_box (job, parts);
  double cx = 0.5 * (box.x0_mm + box.x1_mm), cy = 0.5 * (box.y0_mm + box.y1_mm);
  double turn = turn_deg * G_PI / 180.0, c = cos (turn), s = sin (turn);
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < parts->len; i++)
    if (!part_at (job, index_at (parts, i))->locked)
      {
        LwPart *part = lw_job_edit_part (after, index_at (parts, i));
        double dx = part->x_mm - cx, dy = part->y_mm - cy;
        double own = part->side == LW_SIDE_BOTTOM ? -turn_deg : turn_deg; /* seen from its own side */

        part->x_mm = cx + c * dx - s * dy;
        part->y_mm = cy + s * dx + c * dy;
        part->rotation_deg = lw_angle_normalise (part->rotation_deg + own);
      }
  return lw_edit_finish (job, after, NULL, error);
}

/* Mirrored about x = cx in the board's plane and moved to the other side, a placement point goes to 2 cx - x; by
 * the rule of LwPart the rotation, counted from the part's own side, keeps its number. */
LwJob *
lw_edit_flip_parts (const LwJob *job, const GArray *parts, GError **error)
{
  if (!may_edit (job, parts, TRUE, error))
    return NULL;
  LwBox box = lw_parts_box (job, parts);
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < parts->len; i++)
    if (!part_at (job, index_at (parts, i))->locked)
      {
        LwPart *part = lw_job_edit_part (after, index_at (parts, i));

        part->x_mm = box.x0_mm + box.x1_mm - part->x_mm;
        part->side = part->side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
      }
  return lw_edit_finish (job, after, NULL, error);
}

LwJob *
lw_edit_lock_parts (const LwJob *job, const GArray *parts, gboolean locked, GError **error)
{
  if (!may_edit (job, parts, FALSE, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < parts->len; i++)
    lw_job_edit_part (after, index_at (parts, i))->locked = locked;
  return lw_edit_finish (job, after, NULL, error);
}

static int
falling (gconstpointer a, gconstpointer b)
{
  guint x = *(const guint *) a, y = *(const guint *) b;

  return x > y ? -1 : x < y;
}

LwJob *
lw_edit_remove_parts (const LwJob *job, const GArray *parts, GError **error)
{
  if (!may_edit (job, parts, FALSE, error))
    return NULL;
  g_autoptr (GArray) last_first = g_array_copy ((GArray *) parts);
  g_array_sort (last_first, falling);
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < last_first->len; i++)
    lw_names_take_out (after, index_at (last_first, i));
  return lw_edit_finish (job, after, NULL, error);
}

/* ---- lining up ---- */

static double
line_of (const LwBox *box, LwAlign align)
{
  switch (align)
    {
    case LW_ALIGN_LEFT: return box->x0_mm;
    case LW_ALIGN_MIDDLE_X: return 0.5 * (box->x0_mm + box->x1_mm);
    case LW_ALIGN_RIGHT: return box->x1_mm;
    case LW_ALIGN_LOW: return box->y0_mm;
    case LW_ALIGN_MIDDLE_Y: return 0.5 * (box->y0_mm + box->y1_mm);
    default: return box->y1_mm;
    }
}

static LwBox
anchor_box (const LwJob *job, const GArray *parts)
{
  for (guint i = 0; i < parts->len; i++)
    if (part_at (job, index_at (parts, i))->locked)
      return body_box (job, part_at (job, index_at (parts, i)));
  return lw_parts_box (job, parts);
}

LwJob *
lw_edit_align_parts (const LwJob *job, const GArray *parts, LwAlign align, GError **error)
{
  if (!may_edit (job, parts, TRUE, error))
    return NULL;
  LwBox anchor = anchor_box (job, parts);
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < parts->len; i++)
    if (!part_at (job, index_at (parts, i))->locked)
      {
        LwPart *part = lw_job_edit_part (after, index_at (parts, i));
        LwBox box = body_box (job, part);
        double shift = line_of (&anchor, align) - line_of (&box, align);

        *(align <= LW_ALIGN_RIGHT ? &part->x_mm : &part->y_mm) += shift;
      }
  return lw_edit_finish (job, after, NULL, error);
}

typedef struct {
  guint index;
  double low, high;
} Span;

static int
by_middle (gconstpointer a, gconstpointer b)
{
  const Span *x = a, *y = b;
  double d = (x->low + x->high) - (y->low + y->high);

  return d != 0.0 ? (d > 0.0) - (d < 0.0) : (x->index > y->index) - (x->index < y->index);
}

static GArray *
spans_of (const LwJob *job, const GArray *parts, gboolean upwards)
{
  GArray *spans = g_array_new (FALSE, FALSE, sizeof (Span));

  for (guint i = 0; i < parts->len; i++)
    {
      LwBox box = body_box (job, part_at (job, index_at (parts, i)));
      Span span = { index_at (parts, i), upwards ? box.y0_mm : box.x0_mm, upwards ? box.y1_mm : box.x1_mm };

      g_array_append_val (spans, span);
    }
  g_array_sort (spans, by_middle);
  return spans;
}

LwJob *
lw_edit_spread_parts (const LwJob *job, const GArray *parts, gboolean upwards, GError **error)
{
  if (!may_edit (job, parts, TRUE, error))
    return NULL;
  if (parts->len < 3)
    return refuse (error, _("spreading evenly needs three parts or more"));
  g_autoptr (GArray) spans = spans_of (job, parts, upwards);
  const Span *first = &g_array_index (spans, Span, 0), *last = &g_array_index (spans, Span, spans->len - 1);
  double bodies = 0.0, at = first->low;
  for (guint i = 0; i < spans->len; i++)
    bodies += g_array_index (spans, Span, i).high - g_array_index (spans, Span, i).low;
  double gap = (last->high - first->low - bodies) / (spans->len - 1);
  LwJob *after = lw_job_copy (job);
  for (guint i = 0; i < spans->len; i++)
    {
      const Span *span = &g_array_index (spans, Span, i);

      if (i > 0 && i + 1 < spans->len && !part_at (job, span->index)->locked)
        {
          LwPart *part = lw_job_edit_part (after, span->index);
          *(upwards ? &part->y_mm : &part->x_mm) += at - span->low;
        }
      at += span->high - span->low + gap;
    }
  return lw_edit_finish (job, after, NULL, error);
}

/* ---- more of them ---- */

static gboolean
has_package (const LwJob *job, const char *name)
{
  for (guint i = 0; i < job->packages->len; i++)
    if (strcmp (((const LwPackage *) g_ptr_array_index (job->packages, i))->name, name) == 0)
      return TRUE;
  return lw_library_package (name) != NULL;
}

/* A free copy of FROM at the end of the job. */
static void
append_copy (LwJob *after, LwNames *names, const LwPart *from, double dx, double dy, GArray *made)
{
  LwPart *part = lw_part_copy (from);
  guint index = after->parts->len;

  g_free (part->ref);
  part->ref = lw_names_take_free (names, from->ref);
  part->x_mm += dx;
  part->y_mm += dy;
  part->locked = FALSE;
  g_ptr_array_add (after->parts, part);
  g_array_append_val (made, index);
}

static LwJob *
finish_made (const LwJob *job, LwJob *after, GArray *list, GArray **made, GError **error)
{
  LwJob *finished = lw_edit_finish (job, after, NULL, error);

  if (finished != NULL && made != NULL)
    *made = list;
  else
    g_array_unref (list);
  return finished;
}

LwJob *
lw_edit_repeat_parts (const LwJob *job, const GArray *parts, guint columns, guint rows, double pitch_x,
                      double pitch_y, GArray **made, GError **error)
{
  if (!may_edit (job, parts, FALSE, error))
    return NULL;
  if (columns == 0 || rows == 0 || (guint64) columns * rows < 2)
    return refuse (error, _("an array needs at least two places"));
  if ((guint64) columns * rows * parts->len > COPIES_MAX)
    return refuse (error, _("an array may hold at most 10,000 parts"));
  if ((columns > 1 && !(fabs (pitch_x) > 0.0)) || (rows > 1 && !(fabs (pitch_y) > 0.0)))
    return refuse (error, _("the pitch must not be 0"));
  LwJob *after = lw_job_copy (job);
  g_autoptr (LwNames) names = lw_names_new (job);
  GArray *list = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint row = 0; row < rows; row++)
    for (guint column = 0; column < columns; column++)
      for (guint i = 0; i < parts->len && (row > 0 || column > 0); i++)
        append_copy (after, names, part_at (job, index_at (parts, i)), column * pitch_x, row * pitch_y, list);
  return finish_made (job, after, list, made, error);
}

LwJob *
lw_edit_add_parts (const LwJob *job, const GPtrArray *parts, const GPtrArray *packages, double dx, double dy,
                   GArray **made, GError **error)
{
  if (parts->len == 0)
    return refuse (error, _("there is no part to add"));
  if (parts->len > COPIES_MAX)
    return refuse (error, _("at most 10,000 parts are added at once"));
  LwJob *after = lw_job_copy (job);
  g_autoptr (LwNames) names = lw_names_new (job);
  GArray *list = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; packages != NULL && i < packages->len; i++)
    {
      LwPackage *package = g_ptr_array_index (packages, i);

      if (!has_package (after, package->name))
        g_ptr_array_add (after->packages, lw_package_ref (package));
    }
  for (guint i = 0; i < parts->len; i++)
    append_copy (after, names, g_ptr_array_index (parts, i), dx, dy, list);
  return finish_made (job, after, list, made, error);
}
