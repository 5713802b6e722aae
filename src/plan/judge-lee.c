/* The lee: what hides sky, preheater or spill from the target, and by how much its sheltered joints come
 * out colder. Shares are of the hemisphere (heat/shadow.h), worst of eight points on the body's rim. */
#include "plan/judge.h"

#include <glib/gi18n.h>
#include <math.h>
#include <stdint.h>

#include "heat/shadow.h"

/* A share hidden that is worth a look; the program's own choice, no source. For scale: a long wall as
 * high as it is far away hides 0.146. */
#define SHARE_WATCH 0.15
#define OWN_SOURCE N_("share of the hemisphere, computed; 0.15 is the program’s own threshold")
#define COLD_WATCH_K 3.0

typedef struct {
  HeatBox *boxes;
  guint *parts; /* index in the job of each box */
  size_t n;
} Boxes;

static HeatBox
box_of (const LwPart *part, const LwPackage *package)
{
  LwPoint at = lw_part_body_center (part, package);

  return (HeatBox){ { at.x_mm / 1e3, at.y_mm / 1e3 },
                    lw_part_turn_deg (part) * G_PI / 180,
                    package->length_mm / 1e3,
                    package->width_mm / 1e3,
                    lw_part_height_mm (part, package, NULL) / 1e3,
                    package->round };
}

/* Of all boxes on that side those that may hide anything from the target's rim. */
static Boxes
boxes_of (const LwJudge *judge, LwSide side)
{
  guint n = judge->job->parts->len;
  Boxes out = { g_new0 (HeatBox, MAX (n, 1)), g_new0 (guint, MAX (n, 1)), 0 };
  HeatBox own = box_of (judge->target, judge->package);
  double reach = 0.51 * hypot (own.length_m, own.width_m);

  for (guint i = 0; i < n; i++) {
    const LwPart *part = g_ptr_array_index (judge->job->parts, i);
    const LwPackage *package = lw_judge_package (judge, part);
    if (package == NULL || !part->placed || part->side != side || part == judge->target)
      continue;
    HeatBox box = box_of (part, package);
    out.parts[out.n] = i;
    out.n += heat_boxes_near (own.center, reach, 0, &box, 1, SIZE_MAX, &out.boxes[out.n]);
  }
  return out;
}

static void
boxes_drop (Boxes *boxes)
{
  g_free (boxes->boxes);
  g_free (boxes->parts);
}

/* The eight rim points: corners and middles of the body box's sides. */
static void
rim_of (const LwJudge *judge, LwPoint rim[8])
{
  LwPoint corners[4];
  lw_part_body_corners (judge->target, judge->package, corners);
  for (guint i = 0; i < 4; i++) {
    LwPoint a = corners[i], b = corners[(i + 1) % 4];
    rim[2 * i] = a;
    rim[2 * i + 1] = (LwPoint){ (a.x_mm + b.x_mm) / 2, (a.y_mm + b.y_mm) / 2 };
  }
}

/* The rim point that sees least, its hidden share, and the box that hides most of it. */
typedef struct {
  double share;
  LwPoint at;
  size_t box; /* SIZE_MAX: none */
} Shadow;

static Shadow
worst_shadow (const LwJudge *judge, const Boxes *boxes, double z_m)
{
  Shadow worst = { 0, { 0, 0 }, SIZE_MAX };
  LwPoint rim[8];
  double most = 0;

  rim_of (judge, rim);
  for (guint i = 0; i < 8; i++) {
    HeatXY at = { rim[i].x_mm / 1e3, rim[i].y_mm / 1e3 };
    double share = heat_sky_hidden (at, z_m, boxes->boxes, boxes->n, SIZE_MAX);
    if (share > worst.share)
      worst = (Shadow){ share, rim[i], SIZE_MAX };
  }
  for (size_t i = 0; i < boxes->n; i++) {
    double share = heat_sky_hidden ((HeatXY){ worst.at.x_mm / 1e3, worst.at.y_mm / 1e3 }, z_m,
                                    &boxes->boxes[i], 1, SIZE_MAX);
    if (share > most) {
      most = share;
      worst.box = i;
    }
  }
  return worst;
}

/* How much colder than the opposite side the joints towards AT are when the coldest is at its peak, K
 * (> 0: colder); NaN without a prediction. Sides are the outer thirds along the line from the centre. */
static double
colder_towards (const LwJudge *judge, LwPoint at)
{
  const LwPrediction *p = judge->prediction;
  LwPoint center = lw_part_body_center (judge->target, judge->package);
  double dx = at.x_mm - center.x_mm, dy = at.y_mm - center.y_mm, far = hypot (dx, dy);
  double sum[2] = { 0, 0 };
  guint number[2] = { 0, 0 }, when = 0;

  if (p == NULL || judge->trace == NULL || judge->trace->joint_min == NULL || p->target_joints == NULL
      || !(far > 0))
    return NAN;
  for (guint i = 1; i < p->n_times; i++)
    if (judge->trace->joint_min[i] > judge->trace->joint_min[when])
      when = i;
  for (guint j = 0; j < p->target_joint_at->len; j++) {
    const LwPoint *q = &g_array_index (p->target_joint_at, LwPoint, j);
    double along = ((q->x_mm - center.x_mm) * dx + (q->y_mm - center.y_mm) * dy) / (far * far);
    if (fabs (along) < 1.0 / 3)
      continue;
    sum[along > 0] += p->target_joints[(gsize)when * p->target_joint_at->len + j];
    number[along > 0]++;
  }
  return number[0] > 0 && number[1] > 0 ? sum[0] / number[0] - sum[1] / number[1] : NAN;
}

/* PLACES: "%s hides %.0f %% of ... %s" texts, with and without a consequence. */
static void
add_shadow (LwJudge *judge, const char *kind, const Boxes *boxes, const Shadow *shadow,
            const char *plain, const char *colder_text, const char *free_text, const char *advice)
{
  const char *ref = judge->target->ref;
  gboolean any = shadow->box != SIZE_MAX && shadow->share >= 0.01;
  double colder = any ? colder_towards (judge, shadow->at) : NAN;
  gboolean watch = shadow->share >= SHARE_WATCH && !(colder < COLD_WATCH_K);
  LwFinding *finding = lw_judge_add (judge, watch ? LW_GRADE_WATCH : LW_GRADE_FINE, kind, ref,
                                     shadow->share, SHARE_WATCH, TRUE, "", _(OWN_SOURCE));
  if (!any) {
    lw_finding_say (finding, g_strdup_printf (free_text, ref), "");
    return;
  }
  const LwPart *by = g_ptr_array_index (judge->job->parts, boxes->parts[shadow->box]);
  double percent = 100 * shadow->share;
  lw_finding_say (finding,
                  colder > 0.05 ? g_strdup_printf (colder_text, percent, ref, by->ref, colder)
                                : g_strdup_printf (plain, percent, ref, by->ref),
                  watch ? advice : "");
}

static void
judge_sky (LwJudge *judge)
{
  Boxes boxes = boxes_of (judge, judge->target->side);
  Shadow shadow = worst_shadow (judge, &boxes, 0);

  add_shadow (judge, "lee-sky", &boxes, &shadow,
              _("%.0f %% of the sky over the edge of %s is hidden, most of it by %s."),
              _("%.0f %% of the sky over the edge of %s is hidden, most of it by %s; the joints on "
                 "that side come "
                 "out %.1f K colder."),
              _("Nothing hides the sky over %s."),
              _("Give the sheltered side more time: a slower, longer heating stage, or the nozzle "
                 "moved towards it."));
  boxes_drop (&boxes);
}

static void
judge_preheat_shadow (LwJudge *judge)
{
  LwSide under = judge->target->side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
  Boxes boxes = boxes_of (judge, under);
  Shadow shadow = worst_shadow (judge, &boxes, 0);

  add_shadow (
      judge, "lee-preheat", &boxes, &shadow,
      _("%.0f %% of the preheater is hidden from the board under the edge of %s, most of it by %s."),
      _("%.0f %% of the preheater is hidden from the board under the edge of %s, most of it by %s; the "
         "joints "
         "on that side come out %.1f K colder."),
      _("Nothing hides the preheater from the board under %s."),
      _("Preheat longer, or a little hotter, so that the site behind it catches up."));
  boxes_drop (&boxes);
}

/* Neighbours in the lee of the spill: they stay cooler, which is worth knowing but no danger; and the
 * tall parts that stand right in it. */
static void
judge_spill (LwJudge *judge)
{
  for (guint i = 0; i < judge->prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (judge->prediction->parts, i);
    if (trace->is_target || !(trace->spill_sheltered >= SHARE_WATCH))
      continue;
    LwFinding *finding = lw_judge_add (judge, LW_GRADE_FINE, "lee-spill", trace->ref,
                                       trace->spill_sheltered, NAN, TRUE, "", "");
    lw_finding_say (
        finding,
        g_strdup_printf (_("%s stands in the lee of a taller part, which keeps %.0f %% of the "
                            "spill from it."),
                         trace->ref, 100 * trace->spill_sheltered),
        "");
  }
}

void
lw_judge_lee (LwJudge *judge)
{
  if (judge->target == NULL || judge->package == NULL)
    return;
  judge_sky (judge);
  if (judge->job->station->preheater.kind != LW_PREHEATER_NONE)
    judge_preheat_shadow (judge);
  if (judge->prediction != NULL)
    judge_spill (judge);
}
