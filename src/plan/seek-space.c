#include "plan/seek-space.h"

#include <math.h>

#include "plan/gauge.h"

static void
add (LwSeekSpace *self, LwVary what, guint stage, double low, double high)
{
  LwSeekVariable variable = { what, stage, low, high };
  if (high > low)
    g_array_append_val (self->variables, variable);
}

static void
add_duration (LwSeekSpace *self, guint stage, double now)
{
  add (self, LW_VARY_DURATION, stage, LW_SEEK_SHORTEST_S, fmax (LW_SEEK_LONGEST_S, now));
}

static void
add_stage (LwSeekSpace *self, const LwStation *station, const LwStage *stage, guint at, gboolean heats)
{
  gboolean gas = !isnan (stage->gas_c) && stage->flow_l_per_min > 0, preheat = !isnan (stage->preheat_c);
  if (!gas && !preheat)
    return;
  add_duration (self, at, stage->duration_s);
  if (!heats)
    return;
  if (gas) {
    add (self, LW_VARY_GAS, at, station->gas_min_c, station->gas_max_c);
    add (self, LW_VARY_FLOW, at, station->flow_min_l_per_min, station->flow_max_l_per_min);
  }
  if (preheat && station->preheater.kind != LW_PREHEATER_NONE)
    add (self, LW_VARY_PREHEAT, at, station->preheater.min_c, station->preheater.max_c);
}

LwSeekSpace *
lw_seek_space_new (const LwJob *job, const LwPlan *plan)
{
  LwSeekSpace *self = g_new0 (LwSeekSpace, 1);
  double heating_end = lw_plan_heating_end_s (plan), t = 0;

  self->variables = g_array_new (FALSE, FALSE, sizeof (LwSeekVariable));
  self->left_out = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; plan->table == NULL && i < plan->stages->len; i++) {
    const LwStage *stage = g_ptr_array_index (plan->stages, i);
    if (!(stage->duration_s > 0))
      continue;
    t += stage->duration_s;
    add_stage (self, job->station, stage, i, !(t > heating_end + 1e-6));
  }
  return self;
}

void
lw_seek_space_free (LwSeekSpace *self)
{
  if (self == NULL)
    return;
  g_array_unref (self->variables);
  g_array_unref (self->left_out);
  g_free (self);
}

guint
lw_seek_space_n (const LwSeekSpace *self)
{
  return self->variables->len;
}

static double *
place_of (LwStage *stage, LwVary what)
{
  switch (what) {
  case LW_VARY_GAS:
    return &stage->gas_c;
  case LW_VARY_FLOW:
    return &stage->flow_l_per_min;
  case LW_VARY_PREHEAT:
    return &stage->preheat_c;
  case LW_VARY_DURATION:
  default:
    return &stage->duration_s;
  }
}

static double
grain_of (const LwSeekVariable *variable)
{
  return variable->what == LW_VARY_FLOW ? 0.5 : 1;
}

double
lw_seek_space_grain (const LwSeekSpace *self, guint i)
{
  const LwSeekVariable *v = &g_array_index (self->variables, LwSeekVariable, i);

  return grain_of (v) / (v->high - v->low);
}

static double
rounded (const LwSeekVariable *variable, double value)
{
  double grain = grain_of (variable);
  return CLAMP (grain * round (value / grain), variable->low, variable->high);
}

void
lw_seek_space_put (const LwSeekSpace *self, const double *shares, gboolean round_off, LwPlan *plan)
{
  for (guint i = 0; i < self->variables->len; i++) {
    const LwSeekVariable *v = &g_array_index (self->variables, LwSeekVariable, i);
    double value = v->low + CLAMP (shares[i], 0, 1) * (v->high - v->low);
    *place_of (g_ptr_array_index (plan->stages, v->stage), v->what) = round_off ? rounded (v, value) : value;
  }
}

void
lw_seek_space_take (const LwSeekSpace *self, const LwPlan *plan, double *shares)
{
  for (guint i = 0; i < self->variables->len; i++) {
    const LwSeekVariable *v = &g_array_index (self->variables, LwSeekVariable, i);
    double value = *place_of (g_ptr_array_index (plan->stages, v->stage), v->what);
    shares[i] = CLAMP ((value - v->low) / (v->high - v->low), 0, 1);
  }
}

LwPlan *
lw_seek_plan_own (const LwPlan *plan)
{
  LwPlan *own = lw_plan_copy (plan);
  for (guint i = 0; i < own->stages->len; i++) {
    LwStage *stage = g_ptr_array_index (own->stages, i);
    own->stages->pdata[i] = lw_stage_copy (stage);
    lw_stage_unref (stage);
  }
  return own;
}
