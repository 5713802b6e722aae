/* What would help: one plain sentence, by what the part is and where it stands. */
#include <glib/gi18n.h>
#include <math.h>

#include "plan/judge.h"

/* Beyond it the gas hardly matters and the preheater decides; common practice, no source. */
#define NEAR_MM 25.0

static gboolean
is_near (const LwJudge *judge, const LwPart *part, const LwPackage *package)
{
  if (judge->target == NULL || judge->package == NULL || package == NULL)
    return FALSE;
  LwPoint a = lw_part_body_center (part, package),
          b = lw_part_body_center (judge->target, judge->package);
  double half = fmax (judge->package->length_mm, judge->package->width_mm) / 2;
  return hypot (a.x_mm - b.x_mm, a.y_mm - b.y_mm) - half < NEAR_MM;
}

const char *
lw_advice_by_kind (LwPackageKind kind)
{
  switch (kind) {
  case LW_KIND_COIN_CELL:
    return _("Take the cell out before heating.");
  case LW_KIND_SUPERCAPACITOR:
  case LW_KIND_FILM_CAPACITOR:
    return _("Take it off before heating and put it back by hand afterwards.");
  default:
    return NULL;
  }
}

char *
lw_advice_hot (const LwJudge *judge, const LwPart *part)
{
  const LwPackage *package = lw_judge_package (judge, part);
  const char *by_kind = package != NULL ? lw_advice_by_kind (package->kind) : NULL;
  gboolean under = judge->target != NULL && part->side != judge->target->side;

  if (by_kind != NULL)
    return g_strdup (by_kind);
  if (part == judge->target)
    return g_strdup (_("Lower the gas or end the heating stage sooner."));
  if (under && is_near (judge, part, package))
    return g_strdup (
        _("Shorten the heating stage, shield the part from the preheater, or leave more of the work to "
           "the preheat."));
  if (under)
    return g_strdup (_("Lower the preheater, or shield the part from it."));
  if (is_near (judge, part, package))
    return g_strdup (_("Shield it from the spill, or lower the gas and preheat longer."));
  return g_strdup (_("Lower the preheater, or keep its area away from this part."));
}

char *
lw_advice_ramp (const LwJudge *judge, const LwPart *part)
{
  if (part == judge->target)
    return g_strdup (_("Raise the gas in two steps, or along a ramp."));
  if (is_near (judge, part, lw_judge_package (judge, part)))
    return g_strdup (_("Raise the gas more slowly, or shield the part."));
  return g_strdup (_("Raise the preheater more slowly."));
}
