#include <glib/gi18n.h>
#include <math.h>

#include "exchange/listed.h"

/* Bodies larger than this cannot be kept (board/types.c); the largest real ones are a tenth of it. */
#define MAX_BODY_MM 1000.0
#define SAME_MM 1e-6

static const LwListedLoop *
largest_loop (const GPtrArray *loops)
{
  const LwListedLoop *best = NULL;
  double best_area = 0;

  for (guint i = 0; loops != NULL && i < loops->len; i++)
    {
      const LwListedLoop *loop = loops->pdata[i];
      double area = fabs (lw_loop_area (loop->loop));

      if (area > best_area)
        {
          best = loop;
          best_area = area;
        }
    }
  return best;
}

/* TRUE for a rectangle along the axes: the box then says it all. */
static gboolean
is_box (const LwLoop *loop, const LwBox *box)
{
  double area = (box->x1_mm - box->x0_mm) * (box->y1_mm - box->y0_mm);

  return fabs (fabs (lw_loop_area (loop)) - area) <= SAME_MM * area;
}

gboolean
lw_listed_set_body (LwPackage *package, const LwListedBody *entry, const char *library_file, GPtrArray *notes)
{
  const LwListedLoop *loop = largest_loop (entry->loops);
  LwBox box;

  if (loop == NULL)
    {
      lw_notes_add (notes, library_file, entry->line, _("%.60s has no usable body outline"),
                    entry->geometry);
      return FALSE;
    }
  box = lw_loop_box (loop->loop);
  package->length_mm = box.x1_mm - box.x0_mm;
  package->width_mm = box.y1_mm - box.y0_mm;
  package->center_x_mm = (box.x0_mm + box.x1_mm) / 2;
  package->center_y_mm = (box.y0_mm + box.y1_mm) / 2;
  if (!(package->length_mm > 0 && package->width_mm > 0)
      || MAX (package->length_mm, package->width_mm) > MAX_BODY_MM
      || MAX (fabs (package->center_x_mm), fabs (package->center_y_mm)) > MAX_BODY_MM)
    {
      lw_notes_add (notes, library_file, loop->line,
                    _("%.60s: a body of %.6g x %.6g mm cannot be, and is left out"), entry->geometry,
                    package->length_mm, package->width_mm);
      return FALSE;
    }
  package->round = loop->circle;
  if (loop->circle)
    return TRUE;
  if (is_box (loop->loop, &box))
    return TRUE;
  if (lw_loop_crosses_itself (loop->loop, NULL, NULL))
    lw_notes_add (notes, library_file, loop->line,
                  _("%.60s: the body outline crosses itself; its box is used"), entry->geometry);
  else
    package->outline = lw_listed_loop_wound (loop, TRUE);
  return TRUE;
}
