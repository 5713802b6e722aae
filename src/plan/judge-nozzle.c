/* The nozzle against the part it heats and the parts around it. The skirt hangs down to skirt_gap_mm
 * above the board, so only parts taller than that can be in its way. */
#include "board/apart.h"
#include "plan/judge.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/outline-gap.h"
#include "plan/rules.h"

#define COVER_SOURCE                                                                                    \
  N_("gap of 0.5 mm each side in a chip-scale rework study (weak source); 0.5-1.5 mm is common "       \
      "practice")
#define HEIGHT_SOURCE N_("1 to 6 mm above the part, common practice, from memory")
#define CLEARANCE_SOURCE                                                                                \
  N_("2.5 mm from the nozzle’s outside to a neighbour: article on array spacing (weak source)")
#define SKIRT_SOURCE N_("0.3 mm under the skirt, common practice, no source")
#define GAP_SNUG_MM 0.5
#define GAP_LOOSE_MM 3.0 /* beyond it the gas passes beside the part: common practice, no source */
#define HEIGHT_LOW_MM 1.0
#define HEIGHT_HIGH_MM 6.0
#define CLEARANCE_MM 2.5
#define CLEARANCE_SHOWN_MM 10.0 /* farther parts are not worth a line */
#define SKIRT_MARGIN_MM 0.3

/* Smallest gap between what must be under the gas (body and joints) and the inner outline. */
static double
cover_gap (const LwJudge *judge)
{
  LwPatch inner = lw_patch_of_nozzle (judge->plan, judge->target, judge->package, judge->nozzle, 0);
  g_autoptr (GArray) body = lw_part_polygon (judge->target, judge->package);
  g_autoptr (GArray) joints = lw_part_joints (judge->target, judge->package);
  double gap = INFINITY;

  for (guint i = 0; i < body->len; i++)
    gap = fmin (gap, lw_patch_inside_mm (&inner, g_array_index (body, LwPoint, i)));
  for (guint i = 0; i < joints->len; i++)
    gap = fmin (gap, lw_patch_inside_mm (&inner, g_array_index (joints, LwPoint, i)));
  return gap;
}

static void
judge_cover (LwJudge *judge)
{
  double gap = cover_gap (judge);
  const char *ref = judge->target->ref;
  LwGrade grade = gap < 0                                          ? LW_GRADE_STOP
                  : gap < GAP_SNUG_MM - 1e-6 || gap > GAP_LOOSE_MM ? LW_GRADE_WATCH
                                                                   : LW_GRADE_FINE;
  LwFinding *finding
      = lw_judge_add (judge, grade, "nozzle-cover", ref, gap, 0, FALSE, "mm", _(COVER_SOURCE));

  if (gap < 0)
    lw_finding_say (finding, g_strdup_printf (_("The nozzle leaves %.1f mm of %s outside."), -gap, ref),
                    _("Choose a larger nozzle or centre it."));
  else if (gap < GAP_SNUG_MM)
    lw_finding_say (finding, g_strdup_printf (_("The nozzle clears %s by only %.2f mm."), ref, gap),
                    _("Choose a slightly larger nozzle or centre it."));
  else if (gap > GAP_LOOSE_MM)
    lw_finding_say (
        finding,
        g_strdup_printf (_("The nozzle is %.1f mm wider than %s even where it is closest."), gap, ref),
        _("A smaller nozzle would heat the neighbours less."));
  else
    lw_finding_say (finding,
                    g_strdup_printf (_("The nozzle covers %s with %.2f mm to spare."), ref, gap), "");
}

static void
judge_height (LwJudge *judge)
{
  double height = judge->plan->nozzle_height_mm;
  gboolean low = height<HEIGHT_LOW_MM, high = height> HEIGHT_HIGH_MM;
  LwFinding *finding = lw_judge_add (
      judge, low || high ? LW_GRADE_WATCH : LW_GRADE_FINE, "nozzle-height", judge->target->ref, height,
      low ? HEIGHT_LOW_MM : HEIGHT_HIGH_MM, !low, "mm", _(HEIGHT_SOURCE));
  lw_finding_say (
      finding,
      g_strdup_printf (low    ? _("The nozzle stands only %.1f mm above %s.")
                       : high ? _("The nozzle stands %.1f mm above %s; much of its gas will pass by.")
                              : _("The nozzle stands %.1f mm above %s."),
                       height, judge->target->ref),
      low    ? _("Raise it to at least 1 mm.")
      : high ? _("Lower it to 6 mm or less.")
             : "");
}

/* A part whose outline lies under the wall but stands lower than the skirt. */
static void
judge_under_skirt (LwJudge *judge, const LwPart *part, double height)
{
  double room = judge->nozzle->skirt_gap_mm - height;
  LwFinding *finding
      = lw_judge_add (judge, lw_rule_at_most_watch (lw_rule_lower (room, SKIRT_MARGIN_MM, 0)),
                      "nozzle-skirt", part->ref, room, SKIRT_MARGIN_MM, FALSE, "mm", _(SKIRT_SOURCE));
  lw_finding_say (finding,
                  g_strdup_printf (_("%s stands under the nozzle’s wall with %.1f mm between them."),
                                   part->ref, room),
                  finding->grade == LW_GRADE_FINE
                      ? ""
                      : _("Raise the skirt a little, or check the height on the board."));
}

static void
judge_inside (LwJudge *judge, const LwPart *part)
{
  LwFinding *finding
      = lw_judge_add (judge, LW_GRADE_WATCH, "nozzle-inside", part->ref, NAN, NAN, TRUE, "", "");
  lw_finding_say (finding,
                  g_strdup_printf (_("%s stands inside the nozzle and is heated with %s."), part->ref,
                                   judge->target->ref),
                  _("Choose a closer-fitting nozzle, or expect this part’s joints to melt too."));
}

static void
judge_clearance (LwJudge *judge, const LwPart *part, double gap, double height, gboolean known)
{
  LwGrade grade = gap <= 0 ? LW_GRADE_STOP : gap < CLEARANCE_MM ? LW_GRADE_WATCH : LW_GRADE_FINE;
  LwFinding *finding;

  if (gap > CLEARANCE_SHOWN_MM)
    return;
  if (!known)
    grade = lw_rule_at_most_watch (grade); /* an assumed height proves nothing */
  finding = lw_judge_add (judge, grade, "nozzle-clash", part->ref, gap, gap <= 0 ? 0 : CLEARANCE_MM,
                          FALSE, "mm", _(CLEARANCE_SOURCE));
  LwApart told = lw_apart (height, judge->nozzle->skirt_gap_mm, 1);
  if (gap <= 0)
    lw_finding_say (
        finding,
        g_strdup_printf (
            known
                ? _("The nozzle runs into %s, which is %s mm tall; the skirt comes down to %s mm.")
                : _("The nozzle may run into %s: its height is not known (%s mm assumed), and the "
                     "skirt comes down to %s mm."),
            part->ref, told.value, told.limit),
        _("Choose a narrower nozzle, turn it, raise the skirt above the part, or take the part off "
           "first."));
  else
    lw_finding_say (finding,
                    g_strdup_printf (_("%s, %.1f mm tall, stands %.1f mm from the nozzle’s outside."),
                                     part->ref, height, gap),
                    grade == LW_GRADE_FINE ? ""
                                           : _("Line the nozzle up with care, and shield the part."));
}

/* A circle round the nozzle's outside. */
typedef struct {
  LwPoint center;
  double radius_mm;
} Reach;

static Reach
reach_of (const GArray *outer)
{
  Reach reach = { { 0, 0 }, 0 };

  for (guint i = 0; i < outer->len; i++) {
    const LwPoint *p = &g_array_index (outer, LwPoint, i);
    reach.center.x_mm += p->x_mm / outer->len;
    reach.center.y_mm += p->y_mm / outer->len;
  }
  for (guint i = 0; i < outer->len; i++) {
    const LwPoint *p = &g_array_index (outer, LwPoint, i);
    reach.radius_mm = fmax (reach.radius_mm, hypot (p->x_mm - reach.center.x_mm, p->y_mm - reach.center.y_mm));
  }
  return reach;
}

/* Farther away than is worth a line, by the circles round both; a body of its own shape is looked at itself. */
static gboolean
is_far (const Reach *reach, const LwPart *part, const LwPackage *package)
{
  LwPoint at = lw_part_body_center (part, package);

  if (package == NULL || package->outline != NULL)
    return FALSE;
  return hypot (at.x_mm - reach->center.x_mm, at.y_mm - reach->center.y_mm) - reach->radius_mm
           - hypot (package->length_mm, package->width_mm)
         > CLEARANCE_SHOWN_MM;
}

static void
judge_neighbour (LwJudge *judge, const LwPart *part, const GArray *outer, const LwPatch *inner)
{
  const LwPackage *package = lw_judge_package (judge, part);
  gboolean known = FALSE;

  g_autoptr (GArray) outline = lw_part_polygon (part, package);
  double gap = lw_polygon_gap_mm (outer, outline), height = lw_part_height_mm (part, package, &known);
  double inside = INFINITY;
  for (guint i = 0; i < outline->len; i++)
    inside = fmin (inside, lw_patch_inside_mm (inner, g_array_index (outline, LwPoint, i)));
  if (inside >= 0)
    judge_inside (judge, part);
  else if (height > judge->nozzle->skirt_gap_mm)
    judge_clearance (judge, part, gap, height, known);
  else if (gap <= 0)
    judge_under_skirt (judge, part, height);
}

void
lw_judge_nozzle (LwJudge *judge)
{
  if (judge->nozzle == NULL) {
    LwFinding *finding
        = lw_judge_add (judge, LW_GRADE_STOP, "nozzle-missing", "", NAN, NAN, TRUE, "", "");
    lw_finding_say (finding,
                    g_strdup_printf (_("The station has no nozzle “%s”."), judge->plan->nozzle),
                    _("Choose one of the station’s nozzles."));
    return;
  }
  if (judge->target == NULL || judge->package == NULL)
    return;
  judge_cover (judge);
  judge_height (judge);
  LwPatch inner = lw_patch_of_nozzle (judge->plan, judge->target, judge->package, judge->nozzle, 0);
  LwPatch grown = lw_patch_of_nozzle (judge->plan, judge->target, judge->package, judge->nozzle,
                                      judge->nozzle->wall_mm);
  g_autoptr (GArray) outer = lw_patch_polygon (&grown);
  Reach reach = reach_of (outer);
  for (guint i = 0; i < judge->job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (judge->job->parts, i);

    if (part->placed && part != judge->target && part->side == judge->target->side
        && !is_far (&reach, part, lw_judge_package (judge, part)))
      judge_neighbour (judge, part, outer, &inner);
  }
}
