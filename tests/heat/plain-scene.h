/* A bare board in a prescribed room, for cases with an exact solution, and ways to solve and read it. */
#ifndef PLAIN_SCENE_H
#define PLAIN_SCENE_H

#include <glib.h>
#include <math.h>
#include <string.h>

#include "heat/solve-internal.h"

#define LAYERS_MAX 40

typedef struct {
  HeatXY edge[256];
  HeatLoop loop;
  HeatLayer layers[LAYERS_MAX];
  HeatBody bodies[4];
  HeatXY joint[4];
  double knot_t[4], knot_v[4], flow_t[1], flow_v[1], pre_t[1], pre_v[1];
  HeatScene scene;
} Plain;

/* Rectangle [x0,x1] x [y0,y1], N equal layers; adiabatic until told otherwise. */
static inline void
plain_board (Plain *p, double x0, double x1, double y0, double y1, size_t n, HeatLayer whole)
{
  memset (p, 0, sizeof *p);
  const HeatXY edge[4] = { { x0, y0 }, { x1, y0 }, { x1, y1 }, { x0, y1 } };
  memcpy (p->edge, edge, sizeof edge);
  p->loop = (HeatLoop){ p->edge, 4 };
  whole.thickness_m /= n;
  for (size_t i = 0; i < n; i++)
    p->layers[i] = whole;
  HeatScene *s = &p->scene;
  s->board = (HeatBoard){ .loops = &p->loop, .n_loops = 1, .layers = p->layers, .n_layers = n };
  s->bodies = p->bodies;
  s->target = SIZE_MAX;
  s->room.prescribed = true;
  s->end_s = 1;
  s->scale_nozzle_film = s->scale_preheat_film = s->scale_room_film = 1;
  s->scale_conductivity = s->scale_capacity = 1;
}

/* A prescribed nozzle film on upward faces, on from the start. */
static inline void
plain_nozzle (Plain *p, HeatXY center, double length, double width, bool round, double h, double gas_c)
{
  p->knot_v[0] = gas_c;
  p->flow_v[0] = 1e-3;
  p->scene.nozzle = (HeatNozzle){ .present = true,
                                  .round = round,
                                  .center = center,
                                  .length_m = length,
                                  .width_m = width,
                                  .prescribed_h_w_m2k = h,
                                  .set_c = { p->knot_t, p->knot_v, 1 },
                                  .flow_m3_s = { p->flow_t, p->flow_v, 1 } };
}

static inline HeatSolver *
plain_solver (const HeatScene *scene, const HeatOptions *options)
{
  HeatSolver *solver = NULL;
  g_assert_null (heat_scene_fault (scene));
  g_assert_cmpint (heat_solver_new (scene, options, &solver), ==, HEAT_OK);
  return solver;
}

static inline HeatResult *
plain_run (HeatSolver *solver)
{
  HeatResult *result = NULL;
  HeatStatus status = heat_solver_run (solver, &result);
  if (status != HEAT_OK)
    g_error ("%s: %s", heat_status_text (status), heat_solver_detail (solver));
  return result;
}

static inline HeatResult *
plain_solve (const HeatScene *scene, const HeatOptions *options)
{
  HeatSolver *solver = plain_solver (scene, options);
  HeatResult *result = plain_run (solver);
  heat_solver_free (solver);
  return result;
}

static inline size_t
plain_lower (const double *edges, size_t n, double v)
{
  size_t i = 0;
  while (i + 2 < n && v >= (edges[i + 1] + edges[i + 2]) / 2)
    i++;
  return i;
}

/* Upper surface at a point of the last frame, bilinear between cell centres. */
static inline double
plain_at (const HeatResult *r, double x, double y)
{
  size_t ix = plain_lower (r->x_edges, r->nx, x), iy = plain_lower (r->y_edges, r->ny, y);
  const float *top = r->frames[r->n_frames - 1].top;
  double x0 = (r->x_edges[ix] + r->x_edges[ix + 1]) / 2,
         x1 = (r->x_edges[ix + 1] + r->x_edges[ix + 2]) / 2;
  double y0 = (r->y_edges[iy] + r->y_edges[iy + 1]) / 2,
         y1 = (r->y_edges[iy + 1] + r->y_edges[iy + 2]) / 2;
  double u = (x - x0) / (x1 - x0), v = (y - y0) / (y1 - y0);
  const float *low = top + iy * r->nx + ix, *high = low + r->nx;
  return (1 - v) * ((1 - u) * low[0] + u * low[1]) + v * ((1 - u) * high[0] + u * high[1]);
}

/* A series at a moment, linear between steps. */
static inline double
plain_when (const HeatResult *r, const double *series, double t_s)
{
  for (size_t i = 1; i < r->n_times; i++)
    if (r->t_s[i] >= t_s - 1e-9) {
      double share = (t_s - r->t_s[i - 1]) / (r->t_s[i] - r->t_s[i - 1]);
      return series[i - 1] + share * (series[i] - series[i - 1]);
    }
  return series[r->n_times - 1];
}

#endif
