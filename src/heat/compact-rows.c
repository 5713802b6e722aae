/* Which readings a compact model has, and what the lessons say of them. */
#include "heat/compact-internal.h"

#include <string.h>

enum { LANES = HEAT_COMPACT_LANES };
/* Moments of a lesson are this far apart at least, s; a state is as good as its neighbour's. */
static const double APART_S = 0.45;

static unsigned
asked_of (const HeatCompact *c, size_t body)
{
  const HeatScene *scene = c->of->scene;
  unsigned all = HEAT_COMPACT_RAMPS | HEAT_COMPACT_SHAPE | HEAT_COMPACT_JOINTS;
  unsigned asked = c->options.asked && !c->whole && body != scene->target ? c->options.asked[body] : all;
  return scene->bodies[body].n_joints ? asked : asked & HEAT_COMPACT_RAMPS;
}

/* Whether a body's hottest spot and the middle of its far face are one and the same node. */
static bool
is_lump (const HeatCompact *c, size_t body)
{
  return c->of->net.bodies[body].block == HEAT_NO_BLOCK;
}

static void
list_ramps (HeatCompact *c)
{
  HeatCompactRows *r = &c->rows;
  for (size_t b = 0; b < c->of->scene->n_bodies; b++) {
    if (!(asked_of (c, b) & HEAT_COMPACT_RAMPS))
      continue;
    uint32_t row = (uint32_t) r->n++;
    r->of[b * HEAT_N_SERIES + HEAT_SERIES_BODY_TOP] = row;
    if (is_lump (c, b))
      r->of[b * HEAT_N_SERIES + HEAT_SERIES_BODY_MAX] = row;
    if (b == c->of->scene->target && c->of->scene->bodies[b].n_joints)
      r->of[b * HEAT_N_SERIES + HEAT_SERIES_JOINT_MEAN] = (uint32_t) r->n++;
  }
  r->ramp_blocks = (r->n + LANES - 1) / LANES;
}

static void
add_row (HeatCompact *c, size_t body, HeatSeries series)
{
  uint32_t *of = &c->rows.of[body * HEAT_N_SERIES + series];
  if (*of == UINT32_MAX)
    *of = (uint32_t) c->rows.n++;
}

static void
list_body (HeatCompact *c, size_t body)
{
  unsigned asked = asked_of (c, body);
  add_row (c, body, HEAT_SERIES_BODY_MAX);
  if (!c->of->scene->bodies[body].n_joints)
    return;
  add_row (c, body, HEAT_SERIES_JOINT_MAX);
  if (asked & HEAT_COMPACT_SHAPE) {
    add_row (c, body, HEAT_SERIES_JOINT_CENTER);
    add_row (c, body, HEAT_SERIES_JOINT_CORNER);
  }
  if (asked & HEAT_COMPACT_JOINTS) {
    add_row (c, body, HEAT_SERIES_JOINT_MIN);
    add_row (c, body, HEAT_SERIES_JOINT_MEAN);
  }
}

bool
heat_compact_rows_list (HeatCompact *c)
{
  HeatCompactRows *r = &c->rows;
  size_t n = c->of->scene->n_bodies * HEAT_N_SERIES;
  r->of = HEAT_TAKE (&c->arena, uint32_t, n);
  if (!r->of)
    return false;
  memset (r->of, 0xff, n * sizeof (uint32_t));
  list_ramps (c);
  for (size_t b = 0; b < c->of->scene->n_bodies; b++)
    list_body (c, b);
  r->board = (uint32_t) r->n++;
  r->board_mean = (uint32_t) r->n++;
  return true;
}

/* ---- lessons ---- */

static const double *
series_of (const HeatTrace *t, HeatSeries series)
{
  const double *all[] = { [HEAT_SERIES_BODY_MAX] = t->body_max,         [HEAT_SERIES_JOINT_MAX] = t->joint_max,
                          [HEAT_SERIES_BODY_TOP] = t->body_top,         [HEAT_SERIES_JOINT_CENTER] = t->joint_center,
                          [HEAT_SERIES_JOINT_CORNER] = t->joint_corner, [HEAT_SERIES_JOINT_MIN] = t->joint_min,
                          [HEAT_SERIES_JOINT_MEAN] = t->joint_mean };
  return all[series];
}

/* Moments worth keeping: not too close, but for those at which something is switched. */
static size_t
choose_moments (const HeatReducedRun *run, size_t *at)
{
  size_t n = 0;
  for (size_t i = 0; i < run->n_times; i++) {
    bool last = i + 1 == run->n_times;
    bool turns = !last && run->envs[i].gas_on != run->envs[i + 1].gas_on;
    if (i == 0 || last || turns || run->times[i] - run->times[at[n - 1]] > APART_S)
      at[n++] = i;
  }
  return n;
}

static void
keep_series (const double *v, const size_t *at, size_t n, double air_c, float *to)
{
  for (size_t i = 0; i < n; i++)
    to[i] = (float) (v[at[i]] - air_c);
}

static void
keep_values (const HeatCompact *c, const HeatResult *r, const size_t *at, HeatLesson *lesson)
{
  size_t n = lesson->n, bodies = c->of->scene->n_bodies, target = c->of->scene->target;
  for (size_t b = 0; b < bodies; b++)
    for (size_t s = 0; s < HEAT_N_SERIES; s++) {
      uint32_t row = c->rows.of[b * HEAT_N_SERIES + s];
      const double *v = series_of (&r->bodies[b], (HeatSeries) s);
      if (row != UINT32_MAX && v)
        keep_series (v, at, n, lesson->air_c, lesson->value + row * n);
    }
  keep_series (r->board_max, at, n, lesson->air_c, lesson->value + c->rows.board * n);
  keep_series (r->board_mean, at, n, lesson->air_c, lesson->value + c->rows.board_mean * n);
  size_t joints = target < bodies ? c->of->scene->bodies[target].n_joints : 0;
  for (size_t j = 0; j < joints; j++)
    for (size_t i = 0; i < n; i++)
      lesson->value[(c->rows.n + j) * n + i] = (float) (r->joints[at[i] * joints + j] - lesson->air_c);
}

static bool
keep_lesson (const HeatCompact *c, HeatReducedRun *run, HeatArena *arena, HeatLesson *lesson)
{
  const HeatReduced *m = c->of;
  const HeatResult *r = heat_reduced_series (m, run);
  size_t target = m->scene->target, joints = target < m->scene->n_bodies ? m->scene->bodies[target].n_joints : 0;
  size_t *at = HEAT_TAKE (arena, size_t, run->n_times);
  if (!r || !at)
    return false;
  size_t n = lesson->n = choose_moments (run, at);
  lesson->air_c = run->drive.air_c;
  lesson->t_s = HEAT_TAKE (arena, double, n);
  lesson->states = HEAT_TAKE (arena, double, n * m->stride);
  lesson->value = HEAT_TAKE_OPEN (arena, float, n * (c->rows.n + joints));
  if (!lesson->t_s || !lesson->states || !lesson->value)
    return false;
  for (size_t i = 0; i < n; i++) {
    lesson->t_s[i] = run->times[at[i]];
    memcpy (lesson->states + i * m->stride, run->states + at[i] * m->stride, m->stride * sizeof (double));
  }
  keep_values (c, r, at, lesson);
  lesson->solved = true;
  return true;
}

HeatStatus
heat_compact_learn (const HeatCompact *c, HeatReducedRun *run, const HeatDrive *drive, HeatArena *arena, HeatLesson *lesson)
{
  HeatStatus status = heat_reduced_solve (c->of, run, drive, NULL);
  if (status == HEAT_OK && !keep_lesson (c, run, arena, lesson))
    status = HEAT_NO_MEMORY;
  return status;
}
