/* Stages and tables of set points, as the plan asks for them and as the scene takes them. */
#include "plan/compile.h"

#include <math.h>

static double
stages_end (const LwPlan *plan)
{
  double end = 0;

  for (guint i = 0; i < plan->stages->len; i++)
    end += fmax (((const LwStage *) g_ptr_array_index (plan->stages, i))->duration_s, 0);
  return end;
}

static gboolean
has_table (const LwPlan *plan)
{
  return plan->table != NULL && plan->table->len > 0;
}

static double
job_end (const LwPlan *plan)
{
  double end = stages_end (plan);

  if (has_table (plan))
    end = fmax (end, g_array_index (plan->table, LwKnot, plan->table->len - 1).t_s);
  return end;
}

/* ---- what is asked for ---- */

static LwSetPoints
new_set_points (LwCase *self, guint most)
{
  return (LwSetPoints){ lw_case_alloc (self, most, sizeof (double)),
                        lw_case_alloc (self, most, sizeof (double)), 0 };
}

static void
append (LwSetPoints *to, double t_s, double v)
{
  to->t_s[to->n] = t_s;
  to->v[to->n++] = v;
}

/* A ramp starts from what was asked before, or from the room when that was off. */
static double
stage_start (const LwStage *stage, double before, double value, double room_c)
{
  if (isnan (value) || stage->shape == LW_SHAPE_STEP)
    return value;
  return isnan (before) ? room_c : before;
}

static void
from_stages (LwCase *self, const LwPlan *plan)
{
  double t = 0, gas = NAN, preheat = NAN;

  for (guint i = 0; i < plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (plan->stages, i);
    double end = t + stage->duration_s;
    if (!(end > t))
      continue;
    append (&self->gas_asked, t, stage_start (stage, gas, stage->gas_c, self->job->ambient_c));
    append (&self->gas_asked, end, stage->gas_c);
    append (&self->preheat_asked, t,
            stage_start (stage, preheat, stage->preheat_c, self->job->ambient_c));
    append (&self->preheat_asked, end, stage->preheat_c);
    gas = stage->gas_c;
    preheat = stage->preheat_c;
    t = end;
  }
}

static void
from_table (LwCase *self, const LwPlan *plan, double end_s)
{
  const LwKnot *knots = (const LwKnot *) (gpointer) plan->table->data;
  guint n = plan->table->len;

  if (knots[0].t_s > 0) {
    append (&self->gas_asked, 0, knots[0].gas_c);
    append (&self->preheat_asked, 0, knots[0].preheat_c);
  }
  for (guint i = 0; i < n; i++) {
    append (&self->gas_asked, knots[i].t_s, knots[i].gas_c);
    append (&self->preheat_asked, knots[i].t_s, knots[i].preheat_c);
  }
  if (knots[n - 1].t_s < end_s) {
    append (&self->gas_asked, end_s, knots[n - 1].gas_c);
    append (&self->preheat_asked, end_s, knots[n - 1].preheat_c);
  }
}

double
lw_set_points_at (const LwSetPoints *self, double t_s)
{
  guint i = 0;

  if (self->n == 0)
    return NAN;
  while (i + 1 < self->n && self->t_s[i + 1] <= t_s)
    i++;
  if (i + 1 == self->n)
    return self->v[i];
  if (isnan (self->v[i]) || isnan (self->v[i + 1]))
    return NAN;
  return self->v[i]
         + (self->v[i + 1] - self->v[i]) * (t_s - self->t_s[i]) / (self->t_s[i + 1] - self->t_s[i]);
}

/* ---- what the scene takes ---- */

/* Flow of a moment: of the stage that runs, else of the first stage that blows, else half-way through
 * the station's range. m3/s. */
static double
flow_at (const LwCase *self, double t_s)
{
  const GPtrArray *stages = lw_case_plan (self)->stages;
  const LwStation *station = self->job->station;
  double end = 0, first = NAN, flow;

  for (guint i = 0; i < stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (stages, i);
    double start = end;
    end += fmax (stage->duration_s, 0);
    if (!(stage->flow_l_per_min > 0))
      continue;
    if (t_s >= start && t_s < end)
      return stage->flow_l_per_min / 60e3;
    if (isnan (first))
      first = stage->flow_l_per_min;
  }
  flow = isnan (first) ? 0.5 * (station->flow_min_l_per_min + station->flow_max_l_per_min) : first;
  if (!(flow > 0) && station->films.given)
    flow = 1; /* a prescribed film asks for no flow, only for gas that is on */
  return flow > 0 ? flow / 60e3 : 0;
}

typedef struct {
  double *t, *v, *flow;
  size_t n;
} Knots;

static void
add_knot (Knots *knots, double t, double v, double flow)
{
  knots->t[knots->n] = t;
  knots->v[knots->n] = v;
  knots->flow[knots->n++] = flow;
}

/* Each piece becomes two knots, so that pieces that are off stand apart: they ask for the room and blow
 * nothing. A heater with a lag starts from the room too. FLOW may be NULL. */
static void
to_tables (LwCase *self, const LwSetPoints *asked, double lag_s, HeatTable *set, HeatTable *flow)
{
  guint most = 2 * asked->n + 1;
  double room = self->job->ambient_c;
  Knots to = { lw_case_alloc (self, most, sizeof (double)), lw_case_alloc (self, most, sizeof (double)),
               lw_case_alloc (self, most, sizeof (double)), 0 };

  if (lag_s > 0 && asked->n > 0)
    add_knot (&to, 0, room, 0);
  for (guint i = 0; i + 1 < asked->n; i++) {
    double t0 = asked->t_s[i], t1 = asked->t_s[i + 1];
    gboolean on = !isnan (asked->v[i]) && !isnan (asked->v[i + 1]);
    double blown = on && flow != NULL ? flow_at (self, 0.5 * (t0 + t1)) : 0;
    if (!(t1 > t0))
      continue;
    add_knot (&to, t0, on ? asked->v[i] : room, blown);
    add_knot (&to, t1, on ? asked->v[i + 1] : room, blown);
  }
  *set = (HeatTable){ to.t, to.v, to.n };
  if (flow != NULL)
    *flow = (HeatTable){ to.t, to.flow, to.n };
}

static gboolean
ever_on (const LwSetPoints *asked)
{
  for (guint i = 0; i < asked->n; i++)
    if (!isnan (asked->v[i]))
      return TRUE;
  return FALSE;
}

void
lw_case_add_set_points (LwCase *self)
{
  const LwPlan *plan = lw_case_plan (self);
  guint most = 2 * plan->stages->len + (has_table (plan) ? plan->table->len : 0) + 2;
  HeatScene *scene = &self->scene;

  scene->end_s = job_end (plan);
  self->gas_asked = new_set_points (self, most);
  self->preheat_asked = new_set_points (self, most);
  if (has_table (plan)) {
    from_table (self, plan, scene->end_s);
    scene->nozzle.lag_s = scene->preheat.lag_s = 0;
  } else
    from_stages (self, plan);
  to_tables (self, &self->gas_asked, scene->nozzle.lag_s, &scene->nozzle.set_c,
             &scene->nozzle.flow_m3_s);
  to_tables (self, &self->preheat_asked, scene->preheat.lag_s, &scene->preheat.set_c, NULL);
  if (!ever_on (&self->gas_asked))
    scene->nozzle.present = FALSE;
  if (!ever_on (&self->preheat_asked))
    scene->preheat.kind = HEAT_PREHEAT_NONE;
}
