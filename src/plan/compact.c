#include "plan/compact.h"

#include "plan/solve-scene.h"

struct LwCompact {
  gint ref_count;
  LwQuick *quick;
  HeatCompact *model;
};

static unsigned char
bits_of (LwFigure figure)
{
  switch (figure) {
  case LW_FIGURE_JOINT_PEAK:
  case LW_FIGURE_BODY_PEAK:
  case LW_FIGURE_BOARD_PEAK:
    return 0;
  case LW_FIGURE_JOINT_CENTER:
  case LW_FIGURE_JOINT_CORNER:
    return HEAT_COMPACT_SHAPE;
  case LW_FIGURE_RAMP_UP:
  case LW_FIGURE_RAMP_DOWN:
    return HEAT_COMPACT_RAMPS;
  default:
    return HEAT_COMPACT_RAMPS | HEAT_COMPACT_JOINTS;
  }
}

static unsigned char *
asked_by (const LwGauge *gauge, guint n_bodies)
{
  unsigned char *asked = g_new0 (unsigned char, MAX (n_bodies, 1));

  for (guint i = 0; i < gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (gauge->rules, LwGaugeRule, i);
    asked[rule->body] |= bits_of (rule->figure);
  }
  return asked;
}

LwCompact *
lw_compact_new (LwQuick *quick, const HeatDrive *drives, guint n, const LwGauge *gauge, GCancellable *cancellable,
                GError **error)
{
  g_autofree unsigned char *asked = gauge != NULL ? asked_by (gauge, lw_quick_n_bodies (quick)) : NULL;
  LwWatch watch = { cancellable, NULL, NULL, 0, 1 };
  HeatCompactOptions how = { .asked = asked, .parallel = lw_quick_parallel (), .progress = lw_watch_progress, .user = &watch };
  HeatCompact *model = NULL;
  HeatStatus status;

  if (g_cancellable_set_error_if_cancelled (cancellable, error))
    return NULL;
  status = heat_compact_new (lw_quick_model (quick), drives, n, &how, &model);
  if (status != HEAT_OK) {
    lw_set_heat_error (error, status, "");
    return NULL;
  }
  LwCompact *self = g_new0 (LwCompact, 1);
  *self = (LwCompact){ 1, lw_quick_ref (quick), model };
  return self;
}

LwCompact *
lw_compact_ref (LwCompact *self)
{
  g_atomic_int_inc (&self->ref_count);
  return self;
}

void
lw_compact_unref (LwCompact *self)
{
  if (self == NULL || !g_atomic_int_dec_and_test (&self->ref_count))
    return;
  heat_compact_free (self->model);
  lw_quick_unref (self->quick);
  g_free (self);
}

const HeatCompact *
lw_compact_model (const LwCompact *self)
{
  return self->model;
}
