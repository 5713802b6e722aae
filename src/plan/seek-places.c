#include "plan/seek-places.h"

#include <math.h>
#include <string.h>

#include "board/library.h"
#include "plan/findings.h"

/* Heights tried besides the plan's own, within the 1 to 6 mm of common practice. */
static const double heights_mm[] = { 1.5, 3, 5 };
/* A shield reaches this far over its part on every side; the program's own choice. */
#define SHIELD_REACH_MM 0.5
#define SHIELDS_MOST 4
/* Board left warm round the target by the small area; the program's own choice. */
#define AREA_ROUND_MM 40.0

struct LwSeekPlaces {
  const LwJob *job;
  guint plan;
  GPtrArray *nozzles;   /* const char *, the plan's own first */
  GArray *heights;      /* double */
  GArray *areas;        /* LwBox */
  GPtrArray *to_shield; /* char * */
};
typedef struct LwSeekPlaces Choices;

static const LwPlan *
plan_of (const Choices *c)
{
  return g_ptr_array_index (c->job->plans, c->plan);
}

/* ---- the choices ---- */

static void
choose_nozzles (Choices *c, gboolean keep)
{
  c->nozzles = g_ptr_array_new ();
  g_ptr_array_add (c->nozzles, plan_of (c)->nozzle);
  for (guint i = 0; !keep && i < c->job->station->nozzles->len; i++) {
    const LwNozzle *nozzle = g_ptr_array_index (c->job->station->nozzles, i);
    if (strcmp (nozzle->name, plan_of (c)->nozzle) != 0)
      g_ptr_array_add (c->nozzles, nozzle->name);
  }
}

static void
choose_heights (Choices *c, gboolean keep)
{
  double own = plan_of (c)->nozzle_height_mm;
  c->heights = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_val (c->heights, own);
  for (guint i = 0; !keep && i < G_N_ELEMENTS (heights_mm); i++)
    if (fabs (heights_mm[i] - own) > 0.25)
      g_array_append_val (c->heights, heights_mm[i]);
}

static LwBox
own_area (const LwPlan *plan)
{
  double l = plan->preheat_length_mm / 2, w = plan->preheat_width_mm / 2;
  return (LwBox){ plan->preheat_x_mm - l, plan->preheat_y_mm - w, plan->preheat_x_mm + l, plan->preheat_y_mm + w };
}

static LwBox
grown (LwBox box, double by_mm)
{
  return (LwBox){ box.x0_mm - by_mm, box.y0_mm - by_mm, box.x1_mm + by_mm, box.y1_mm + by_mm };
}

/* No larger than the preheater, about its own middle. */
static LwBox
fitted (const LwJob *job, LwBox box)
{
  const LwPreheater *p = &job->station->preheater;
  double x = (box.x0_mm + box.x1_mm) / 2, y = (box.y0_mm + box.y1_mm) / 2;
  double l = fmin (box.x1_mm - box.x0_mm, p->max_length_mm) / 2;
  double w = fmin (box.y1_mm - box.y0_mm, p->max_width_mm) / 2;
  return (LwBox){ x - l, y - w, x + l, y + w };
}

static void
add_area (Choices *c, LwBox box)
{
  LwBox fits = fitted (c->job, box);
  for (guint i = 0; i < c->areas->len; i++) {
    LwBox *other = &g_array_index (c->areas, LwBox, i);
    if (fabs (other->x0_mm - fits.x0_mm) + fabs (other->x1_mm - fits.x1_mm) + fabs (other->y0_mm - fits.y0_mm)
            + fabs (other->y1_mm - fits.y1_mm) < 10)
      return;
  }
  g_array_append_val (c->areas, fits);
}

static void
choose_areas (Choices *c, gboolean keep)
{
  int target = lw_job_find_part (c->job, plan_of (c)->ref);
  LwBox own = own_area (plan_of (c));

  c->areas = g_array_new (FALSE, FALSE, sizeof (LwBox));
  g_array_append_val (c->areas, own);
  if (keep || c->job->station->preheater.kind == LW_PREHEATER_NONE || target < 0)
    return;
  add_area (c, grown (lw_loop_box (g_ptr_array_index (c->job->board->outline, 0)), 6));
  const LwPart *part = g_ptr_array_index (c->job->parts, target);
  g_autoptr (LwLoop) outline = lw_part_outline (part, lw_job_package_of (c->job, part));
  add_area (c, grown (lw_loop_box (outline), AREA_ROUND_MM));
}

/* ---- shields over the neighbours at risk ---- */

static const LwShieldMaterial *
shield_material (void)
{
  const LwShieldMaterial *tape = lw_library_shield ("Copper tape");
  g_autofree const char **names = tape == NULL ? lw_library_names ("shields") : NULL;
  return tape != NULL ? tape : names != NULL && names[0] != NULL ? lw_library_shield (names[0]) : NULL;
}

static gboolean
has_shield (const LwPlan *plan, const char *name)
{
  for (guint i = 0; i < plan->shields->len; i++)
    if (strcmp (((LwShield *) g_ptr_array_index (plan->shields, i))->name, name) == 0)
      return TRUE;
  return FALSE;
}

static void
shield_part (LwJob *job, LwPlan *plan, const char *ref, const LwShieldMaterial *material)
{
  int at = lw_job_find_part (job, ref);
  g_autofree char *name = g_strdup (ref);

  if (at < 0 || has_shield (plan, name))
    return;
  const LwPart *part = g_ptr_array_index (job->parts, at);
  g_autoptr (LwLoop) outline = lw_part_outline (part, lw_job_package_of (job, part));
  LwBox box = grown (lw_loop_box (outline), SHIELD_REACH_MM);
  LwShield *shield = lw_shield_new ();
  g_free (shield->name);
  shield->name = g_steal_pointer (&name);
  g_free (shield->material);
  shield->material = g_strdup (material->name);
  shield->share = material->share;
  lw_loop_unref (shield->loop);
  shield->loop = lw_loop_new_rectangle (box.x0_mm, box.y0_mm, box.x1_mm, box.y1_mm);
  g_ptr_array_add (plan->shields, shield);
}

static void
shield_all (const Choices *c, LwJob *job, LwPlan *plan)
{
  const LwShieldMaterial *material = shield_material ();
  for (guint i = 0; material != NULL && i < c->to_shield->len && i < SHIELDS_MOST; i++)
    shield_part (job, plan, g_ptr_array_index (c->to_shield, i), material);
}

/* ---- the product of the choices ---- */

/* Nothing about nozzle, preheat area and station stops the job. */
static gboolean
stands (const LwJob *job, guint plan)
{
  g_autoptr (GPtrArray) findings = lw_judge_geometry (job, plan);
  for (guint i = 0; i < findings->len; i++)
    if (((LwFinding *) g_ptr_array_index (findings, i))->grade == LW_GRADE_STOP)
      return FALSE;
  return TRUE;
}

static LwJob *
make (const Choices *c, const char *nozzle, double height, LwBox area, gboolean shields)
{
  LwJob *job = lw_job_copy (c->job);
  LwPlan *plan = lw_job_edit_plan (job, c->plan);

  if (strcmp (plan->nozzle, nozzle) != 0) {
    g_free (plan->nozzle);
    plan->nozzle = g_strdup (nozzle);
    plan->nozzle_dx_mm = plan->nozzle_dy_mm = 0; /* centred: what the other one had to avoid is unknown */
  }
  plan->nozzle_height_mm = height;
  plan->preheat_x_mm = (area.x0_mm + area.x1_mm) / 2;
  plan->preheat_y_mm = (area.y0_mm + area.y1_mm) / 2;
  plan->preheat_length_mm = area.x1_mm - area.x0_mm;
  plan->preheat_width_mm = area.y1_mm - area.y0_mm;
  if (shields)
    shield_all (c, job, plan);
  return job;
}

LwJob *
lw_seek_places_make (const LwSeekPlaces *self, LwSeekPick pick)
{
  LwJob *job = make (self, g_ptr_array_index (self->nozzles, pick.pick[LW_SEEK_NOZZLE]),
                     g_array_index (self->heights, double, pick.pick[LW_SEEK_HEIGHT]),
                     g_array_index (self->areas, LwBox, pick.pick[LW_SEEK_AREA]), pick.pick[LW_SEEK_SHIELDING] > 0);
  gboolean own = TRUE;

  for (guint kind = 0; kind < LW_SEEK_N_KINDS; kind++)
    own = own && pick.pick[kind] == 0;
  if (own || stands (job, self->plan)) /* the plan's own is where the search begins, whatever stops it */
    return job;
  lw_job_unref (job);
  return NULL;
}

guint
lw_seek_places_n (const LwSeekPlaces *self, guint kind)
{
  switch (kind) {
  case LW_SEEK_NOZZLE:
    return self->nozzles->len;
  case LW_SEEK_HEIGHT:
    return self->heights->len;
  case LW_SEEK_AREA:
    return self->areas->len;
  case LW_SEEK_SHIELDING:
  default:
    return self->to_shield->len > 0 ? 2 : 1;
  }
}

GArray *
lw_seek_places_singles (const LwSeekPlaces *self)
{
  GArray *picks = g_array_new (FALSE, FALSE, sizeof (LwSeekPick));
  LwSeekPick own = { { 0 } };

  g_array_append_val (picks, own);
  for (guint kind = 0; kind < LW_SEEK_N_KINDS; kind++)
    for (guint i = 1; i < lw_seek_places_n (self, kind); i++) {
      LwSeekPick one = own;
      one.pick[kind] = i;
      g_array_append_val (picks, one);
    }
  return picks;
}

static GPtrArray *
copy_of (const GPtrArray *refs)
{
  GPtrArray *copy = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; refs != NULL && i < refs->len; i++)
    g_ptr_array_add (copy, g_strdup (g_ptr_array_index (refs, i)));
  return copy;
}

LwSeekPlaces *
lw_seek_places_new (const LwJob *job, guint plan, const LwSeekFreedom *freedom)
{
  LwSeekPlaces *self = g_new0 (LwSeekPlaces, 1);

  self->job = job;
  self->plan = plan;
  choose_nozzles (self, freedom->keep_nozzle);
  choose_heights (self, freedom->keep_height);
  choose_areas (self, freedom->keep_area);
  self->to_shield = copy_of (freedom->keep_shields ? NULL : freedom->to_shield);
  return self;
}

void
lw_seek_places_free (LwSeekPlaces *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->nozzles);
  g_array_unref (self->heights);
  g_array_unref (self->areas);
  g_ptr_array_unref (self->to_shield);
  g_free (self);
}
