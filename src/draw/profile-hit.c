/* What of the profile lies under a picture point. */
#include <math.h>

#include "draw/profile-painter.h"

#define HANDLE 8.0
#define LINE 5.0

static gboolean
near_handle (const LwProfileLayout *l, const GArray *lines, gboolean gas, double px, double py, guint *stage)
{
  double least = HANDLE;
  gboolean found = FALSE;

  for (guint i = 0; i < lines->len; i++) {
    LwPoint at;
    double distance;

    if (!lw_profile_handle (l, &g_array_index (lines, LwSetLine, i), gas, &at))
      continue;
    distance = hypot (px - at.x_mm, py - at.y_mm);
    if (distance < least) {
      least = distance;
      *stage = i;
      found = TRUE;
    }
  }
  return found;
}

static gboolean
near_line (const LwProfileLayout *l, const GArray *lines, gboolean gas, double px, double py, guint *stage)
{
  for (guint i = 0; i < lines->len; i++) {
    const LwSetLine *line = &g_array_index (lines, LwSetLine, i);
    double a = gas ? line->gas0_c : line->warm0_c, b = gas ? line->gas1_c : line->warm1_c;
    double x0 = lw_layout_x (l, line->t0_s), x1 = lw_layout_x (l, line->t1_s), share;

    if (!isfinite (a) || !isfinite (b) || px < x0 || px > x1 || !(x1 > x0))
      continue;
    share = (px - x0) / (x1 - x0);
    if (fabs (lw_layout_y (l, a + share * (b - a)) - py) < LINE) {
      *stage = i;
      return TRUE;
    }
  }
  return FALSE;
}

static gboolean
near_stage_end (const LwProfileLayout *l, const GArray *lines, double px, guint *stage)
{
  double least = LINE;
  gboolean found = FALSE;

  for (guint i = 0; i < lines->len; i++) {
    double distance = fabs (lw_layout_x (l, g_array_index (lines, LwSetLine, i).t1_s) - px);

    if (distance <= least) {
      least = distance;
      *stage = i;
      found = TRUE;
    }
  }
  return found;
}

static LwPull
hit (const LwProfilePicture *picture, double px, double py, guint *stage)
{
  const LwPlan *plan = lw_profile_plan (picture);
  g_autoptr (GArray) lines = NULL;
  LwProfileLayout l;
  double cursor;
  guint found = 0;
  LwPull pull = LW_PULL_NONE;

  lw_profile_layout (picture, &l);
  lines = plan && !plan->table ? lw_profile_set_lines (picture) : g_array_new (FALSE, FALSE, sizeof (LwSetLine));
  cursor = isfinite (picture->t_s) ? lw_layout_x (&l, picture->t_s) : -1e9;
  if (px < l.x0 - HANDLE || px > l.x1 + HANDLE)
    pull = LW_PULL_NONE;
  else if (py > l.y1 && py < l.y1 + 22.0)
    pull = LW_PULL_CURSOR;
  else if (py < l.y0 - l.strip || py > l.y1)
    pull = LW_PULL_NONE;
  else if (near_handle (&l, lines, TRUE, px, py, &found))
    pull = LW_PULL_GAS;
  else if (near_handle (&l, lines, FALSE, px, py, &found))
    pull = LW_PULL_PREHEAT;
  else if (py >= l.y0 && fabs (px - cursor) < LINE)
    pull = LW_PULL_CURSOR;
  else if (near_stage_end (&l, lines, px, &found))
    pull = LW_PULL_STAGE_END;
  else if (near_line (&l, lines, TRUE, px, py, &found))
    pull = LW_PULL_GAS;
  else if (near_line (&l, lines, FALSE, px, py, &found))
    pull = LW_PULL_PREHEAT;
  if (stage)
    *stage = found;
  return pull;
}

LwPull
lw_profile_hit (const LwProfilePicture *picture, double px, double py, guint *stage)
{
  LwProfilePicture lettered = lw_profile_lettered (picture);
  double letters = lw_letters (picture->letters);

  return hit (&lettered, px / letters, py / letters, stage);
}
