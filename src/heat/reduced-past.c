#include "heat/reduced-past.h"

#include <math.h>
#include <string.h>

#include "heat/reduced-laws.h"
#include "heat/reduced-lumps.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-rows.h"
#include "heat/vector.h"
#include "heat/narrow.h"
#include "heat/reduced-pieces.h"

enum { FIRST_TIMES = 128, RATE_STEPS = 4 };
static const double RATE_SPAN_S = 0.8;

static bool
grow_one (HeatArena *arena, void **array, size_t size, size_t used, size_t room)
{
  void *now = heat_take (arena, room, size);
  if (!now)
    return false;
  if (*array && used)
    memcpy (now, *array, used * size);
  *array = now;
  return true;
}

/* Room for twice as many moments; what was there stays in the arena until the run is freed. */
static bool
grow (HeatReducedRun *run)
{
  const HeatReduced *m = run->model;
  size_t room = run->max_times ? 2 * run->max_times : FIRST_TIMES, used = run->n_times;
  struct {
    void **array;
    size_t size;
  } all[] = { { (void **) &run->times, sizeof (double) },
              { (void **) &run->states, m->stride * sizeof (double) },
              { (void **) &run->rates, m->stride * sizeof (double) },
              { (void **) &run->breaks, sizeof (bool) },
              { (void **) &run->devs, m->cells.n * sizeof (double) },
              { (void **) &run->body_devs, m->cells.n * sizeof (double) },
              { (void **) &run->excesses, m->zones.faces.n * sizeof (double) },
              { (void **) &run->envs, sizeof (HeatEnvironment) },
              { (void **) &run->moments, sizeof (HeatMoment) },
              { (void **) &run->flows_dt, 5 * sizeof (double) } };
  for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
    if (!grow_one (&run->arena, all[i].array, all[i].size, used, room))
      return false;
  run->max_times = room;
  return true;
}

/* How the state changes. While joints melt steps are short and what the stages leave unsettled shows in their
 * differences: then over the last few steps, if nothing was switched between. */
static void
note_rate (HeatReducedRun *run, size_t at)
{
  const HeatReduced *m = run->model;
  double *rate = run->rates + at * m->stride;
  size_t from = at >= RATE_STEPS ? at - RATE_STEPS : 0;
  double span = run->t_s - run->times[from];
  bool apart = from == 0 || span > RATE_SPAN_S || run->envs[from].gas_on != run->env.gas_on
               || run->envs[from].pre_on != run->env.pre_on;
  for (size_t k = 0; k < m->stride; k++)
    if (at == 0)
      rate[k] = 0;
    else if (apart)
      rate[k] = (run->x[k] - run->base[k]) / run->gdt;
    else
      rate[k] = (run->x[k] - run->states[from * m->stride + k]) / span;
}

bool
heat_past_note (HeatReducedRun *run, const double flows[5], bool breaks)
{
  const HeatReduced *m = run->model;
  if (run->n_times == run->max_times && !grow (run))
    return false;
  size_t at = run->n_times++, cells = m->cells.n, zones = m->zones.faces.n;
  run->times[at] = run->t_s;
  run->breaks[at] = breaks;
  memcpy (run->states + at * m->stride, run->x, m->stride * sizeof (double));
  note_rate (run, at);
  memcpy (run->devs + at * cells, run->dev, cells * sizeof (double));
  memcpy (run->body_devs + at * cells, run->body_dev, cells * sizeof (double));
  memcpy (run->excesses + at * zones, run->excess, zones * sizeof (double));
  run->envs[at] = run->env;
  run->moments[at] = run->moment;
  memcpy (run->flows_dt[at], flows, 5 * sizeof (double));
  return true;
}

enum { FIELDS_MOST = 32 };
typedef struct {
  const HeatReduced *m;
  size_t n;
  double coef[HEAT_VECTORS_MAX * FIELDS_MOST];
  float *out;
} Fields;

static void
fill_piece (void *data, size_t i)
{
  const Fields *f = data;
  size_t from = heat_piece (f->m->n, i), to = heat_piece (f->m->n, i + 1);
  for (size_t k = 0; k < f->n && to > from; k++)
    memset (f->out + k * f->m->n + from, 0, (to - from) * sizeof (float));
  heat_cross_take (f->m->v, f->m->r, f->out, f->n, f->m->n, f->coef, f->n, from, to);
}

void
heat_past_fields (const HeatReducedRun *run, bool rate, const size_t *at, size_t n, float *out)
{
  const HeatReduced *m = run->model;
  const double *x = rate ? run->rates : run->states;
  for (size_t from = 0; from < n; from += FIELDS_MOST) {
    Fields f = { .m = m, .n = n - from < FIELDS_MOST ? n - from : FIELDS_MOST, .out = out + from * m->n };
    for (size_t j = 0; j < f.n; j++)
      for (size_t k = 0; k < m->r; k++)
        f.coef[k * f.n + j] = -x[at[from + j] * m->stride + k];
    heat_do_pieces (m->options.parallel, HEAT_PIECES, fill_piece, &f);
  }
}

/* What cells differ by from the basis, and with them their bodies, in T. */
static void
mend_cells (const HeatReducedRun *run, size_t at, double *t)
{
  const HeatReduced *m = run->model;
  for (size_t i = 0; i < m->cells.n; i++) {
    const HeatCell *cell = &m->cells.items[i];
    double dev = run->devs[at * m->cells.n + i];
    t[cell->melt.node] += dev != 0 ? dev : heat_cell_lag (m, i, run->rates + at * m->stride);
    if (cell->body != SIZE_MAX)
      t[m->net.bodies[cell->body].node] += run->body_devs[at * m->cells.n + i];
  }
}

/* What cells and small bodies differ by from the basis, in T. */
static void
mend_nodes (const HeatReducedRun *run, size_t at, double *scratch, double *t)
{
  mend_cells (run, at, t);
  if (at) /* the start is as it was given, and nothing is known yet of how it changes */
    heat_lumps_mend (run, at, scratch, t);
}

/* In runs that stay in the cache while vectors are added. */
void
heat_past_run (const HeatReducedRun *run, size_t at, size_t from, size_t n, double *t)
{
  enum { RUN = 1024 };
  const HeatReduced *m = run->model;
  for (size_t to = from + n; from < to; from += RUN) {
    size_t some = to - from < RUN ? to - from : RUN;
    for (size_t i = 0; i < some; i++)
      t[from + i] = run->scene.room.air_c;
    heat_add_narrow_all (t + from, m->v + from, m->n, run->states + at * m->stride, m->r, some);
  }
}

void
heat_past_nodes (const HeatReducedRun *run, size_t at, double *t)
{
  heat_past_run (run, at, 0, run->model->n, t);
  mend_nodes (run, at, run->lump_out, t);
}

double
heat_past_face (const HeatReducedRun *run, size_t at, size_t face, const double *t)
{
  const HeatReduced *m = run->model;
  double node = t[m->faces.node[face]], excess = run->excesses[at * m->zones.faces.n + m->zones.of[face]];
  double q = heat_law_flux (&m->laws, face, &run->moments[at], node - run->scene.room.air_c);
  return node - m->faces.half[face] * (q + excess);
}

static void
past_faces (const HeatReducedRun *run, size_t at, const double *t, double *ts)
{
  for (size_t i = 0; i < run->model->faces.n; i++)
    ts[i] = heat_past_face (run, at, i, t);
}

void
heat_past_sheet (const HeatReducedRun *run, size_t at, bool up, double *t, double *ts)
{
  const HeatReduced *m = run->model;
  const HeatLayout *layout = &m->net.stencil.layout;
  size_t columns = m->net.mesh.nx * m->net.mesh.ny;
  const uint32_t *map = up ? m->faces.up : m->faces.down;
  heat_past_run (run, at, up ? (layout->blocks[0].nz - 1) * columns : 0, columns, t);
  for (size_t k = 1; k < layout->n_blocks; k++)
    if (layout->blocks[k].below != up)
      heat_past_run (run, at, layout->blocks[k].at, layout->blocks[k].nx * layout->blocks[k].ny, t);
  mend_cells (run, at, t);
  for (size_t i = 0; i < columns; i++)
    if (map[i] != UINT32_MAX)
      ts[map[i]] = heat_past_face (run, at, map[i], t);
}

/* Flow out through all faces, at the temperatures T. */
static void
subtract_fluxes (const HeatReducedRun *run, size_t at, HeatFaces *f, const double *t, double *left)
{
  past_faces (run, at, t, f->ts);
  f->fresh = false;
  heat_faces_refresh (run->model->scene, &run->envs[at], f);
  for (int k = 0; k < 2; k++)
    heat_faces_flux (run->model->scene, &run->envs[at], f, t);
  for (size_t i = 0; i < f->n; i++)
    left[f->node[i]] -= f->area[i] * f->q[i];
}

void
heat_past_left (const HeatReducedRun *run, size_t at, const float *rate, HeatFaces *faces, double *t, double *wide,
                float *left)
{
  const HeatReduced *m = run->model;
  const HeatStencil *s = &m->net.stencil;
  for (size_t i = 0; i < m->n; i++)
    t[i] = run->scene.room.air_c + left[i];
  mend_nodes (run, at, wide, t);
  heat_stencil_apply (s, s->gsum, t, wide);
  for (size_t i = 0; i < m->n; i++)
    wide[i] = -wide[i] - m->net.capacity[i] * rate[i];
  subtract_fluxes (run, at, faces, t, wide);
  for (size_t i = 0; i < m->cells.n; i++) { /* cells are balanced by themselves */
    const HeatCell *cell = &m->cells.items[i];
    wide[cell->melt.node] = 0;
    if (cell->body != SIZE_MAX)
      wide[m->net.bodies[cell->body].node] = 0;
  }
  for (size_t i = 0; i < m->n; i++)
    left[i] = (float) wide[i];
}

/* RUN's state at a moment, straight between the kept ones, into X [stride]; AT: where to look from. */
static void
state_at (const HeatReducedRun *run, double t_s, size_t *at, double *x)
{
  while (*at + 2 < run->n_times && run->times[*at + 1] < t_s)
    (*at)++;
  const double *a = run->states + *at * run->stride, *b = a + run->stride;
  double share = (t_s - run->times[*at]) / (run->times[*at + 1] - run->times[*at]);
  share = fmin (fmax (share, 0), 1);
  for (size_t k = 0; k < run->stride; k++)
    x[k] = a[k] + share * (b[k] - a[k]);
}

double
heat_past_apart (const HeatReducedRun *earlier, const HeatReducedRun *later)
{
  const HeatReduced *m = later->model;
  double x[HEAT_VECTORS_MAX + 8] = { 0 }, most = 0;
  size_t from = 0;
  for (size_t t = 0; t < later->n_times && earlier->n_times > 1; t++) {
    state_at (earlier, later->times[t], &from, x);
    for (size_t k = 0; k < m->stride; k++)
      x[k] = later->states[t * m->stride + k] - x[k];
    heat_rows_read (m->zones.row, m->zones.faces.n, m->stride, x, later->zone_far);
    most = fmax (most, heat_largest (later->zone_far, m->zones.faces.n));
    heat_rows_read (m->cells.row, m->cells.n, m->stride, x, later->tau_base);
    most = fmax (most, heat_largest (later->tau_base, m->cells.n));
    memset (x, 0, sizeof x);
  }
  return most;
}
