#include "plan/set-tables.h"

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

/* ---- the caller's memory, handed out from the front ---- */

static double *
take (double **room, gsize n)
{
  double *taken = *room;

  *room += n;
  return taken;
}

/* Most set points a plan asks for, and most knots they become. */
static guint
most_points (const LwPlan *plan)
{
  return 2 * plan->stages->len + (has_table (plan) ? plan->table->len : 0) + 2;
}

static guint
most_knots (const LwPlan *plan)
{
  return 2 * most_points (plan) + 1;
}

gsize
lw_set_tables_room (const LwPlan *plan)
{
  return 4 * most_points (plan) + 5 * most_knots (plan);
}

/* ---- what is asked for ---- */

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
from_stages (LwSetTables *self, const LwPlan *plan, double room_c)
{
  double t = 0, gas = NAN, preheat = NAN;

  for (guint i = 0; i < plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (plan->stages, i);
    double end = t + stage->duration_s;
    if (!(end > t))
      continue;
    append (&self->gas_asked, t, stage_start (stage, gas, stage->gas_c, room_c));
    append (&self->gas_asked, end, stage->gas_c);
    append (&self->preheat_asked, t,
            stage_start (stage, preheat, stage->preheat_c, room_c));
    append (&self->preheat_asked, end, stage->preheat_c);
    gas = stage->gas_c;
    preheat = stage->preheat_c;
    t = end;
  }
}

static void
from_table (LwSetTables *self, const LwPlan *plan, double end_s)
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
flow_at (const LwPlan *plan, const LwStation *station, double t_s)
{
  const GPtrArray *stages = plan->stages;
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
 * nothing. A heater with a lag starts from the room too. FLOW_OF NULL: nothing blows. */
static void
to_knots (Knots *to, const LwSetPoints *asked, double lag_s, double room_c, const LwPlan *flow_of,
          const LwStation *station)
{
  if (lag_s > 0 && asked->n > 0)
    add_knot (to, 0, room_c, 0);
  for (guint i = 0; i + 1 < asked->n; i++) {
    double t0 = asked->t_s[i], t1 = asked->t_s[i + 1];
    gboolean on = !isnan (asked->v[i]) && !isnan (asked->v[i + 1]);
    double blown = on && flow_of != NULL ? flow_at (flow_of, station, 0.5 * (t0 + t1)) : 0;
    if (!(t1 > t0))
      continue;
    add_knot (to, t0, on ? asked->v[i] : room_c, blown);
    add_knot (to, t1, on ? asked->v[i + 1] : room_c, blown);
  }
}

gboolean
lw_set_points_on (const LwSetPoints *self)
{
  for (guint i = 0; i < self->n; i++)
    if (!isnan (self->v[i]))
      return TRUE;
  return FALSE;
}

void
lw_set_tables_fill (LwSetTables *self, double *room, const LwPlan *plan, const LwSetBench *bench)
{
  guint points = most_points (plan), knots = most_knots (plan);
  self->gas_asked = (LwSetPoints){ take (&room, points), take (&room, points), 0 };
  self->preheat_asked = (LwSetPoints){ take (&room, points), take (&room, points), 0 };
  Knots gas = { take (&room, knots), take (&room, knots), take (&room, knots), 0 };
  Knots preheat = { take (&room, knots), take (&room, knots), gas.flow, 0 };

  self->end_s = job_end (plan);
  self->followed = has_table (plan);
  if (self->followed)
    from_table (self, plan, self->end_s);
  else
    from_stages (self, plan, bench->room_c);
  /* the preheater's knots bring no flow: they are filled first, and the gas's flow over theirs */
  to_knots (&preheat, &self->preheat_asked, self->followed ? 0 : bench->preheat_lag_s, bench->room_c, NULL,
            bench->station);
  to_knots (&gas, &self->gas_asked, self->followed ? 0 : bench->gas_lag_s, bench->room_c, plan,
            bench->station);
  self->preheat_c = (HeatTable){ preheat.t, preheat.v, preheat.n };
  self->gas_c = (HeatTable){ gas.t, gas.v, gas.n };
  self->flow_m3_s = (HeatTable){ gas.t, gas.flow, gas.n };
}
