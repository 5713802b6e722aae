#include "heat/reduced-readers.h"

#include <math.h>
#include <string.h>

#include "heat/narrow.h"
#include "heat/reduced-laws.h"
#include "heat/reduced-lumps.h"
#include "heat/reduced-melt.h"
#include "heat/reduced-past.h"
#include "heat/reduced-rows.h"
#include "heat/solve-internal.h"
#include "heat/trace.h"
#include "heat/vector.h"

/* Moments of the scene's own job at which all squares, or all columns, are looked at, and how many of the hottest
 * are kept each time: of a body, of a side of the board. */
enum { BODY_LOOKS = 48, BOARD_LOOKS = 24, HOT_OF_BODY = 3, HOT_OF_SIDE = 10 };
static const double SURFACE_K = 15;

typedef struct {
  HeatReduced *m;
  HeatArena scratch;
  bool *node, *face; /* wanted */
  bool *column;
  bool **window; /* per body: [slabs * columns of the block], the far face last; NULL: one node */
  const HeatReducedRun *run;
  double *t, *ts, *value;
} Look;

/* ---- squares ---- */

static double
window_mean (const HeatWindows *w, size_t i, const double *t)
{
  double sum = 0;
  for (size_t k = w->first[i]; k < w->first[i + 1]; k++)
    sum += w->w[k] * t[w->column[k]];
  return sum;
}

static const HeatBlock *
block_of (const HeatReduced *m, size_t body)
{
  const HeatPlaced *p = &m->net.bodies[body];
  return p->block == HEAT_NO_BLOCK ? NULL : &m->net.stencil.layout.blocks[p->block];
}

/* Temperatures over which square I of slab IZ lies; the far face's are gathered into VALUE. */
static const double *
slab_values (const HeatReduced *m, size_t body, size_t iz, const double *t, const double *ts, double *value)
{
  const HeatBlock *b = block_of (m, body);
  size_t nxy = b->nx * b->ny;
  if (iz < b->nz)
    return t + b->at + iz * nxy;
  const uint32_t *far = m->faces.far[body];
  for (size_t i = 0; i < nxy; i++)
    value[i] = far[i] != UINT32_MAX ? ts[far[i]] : 0;
  return value;
}

/* Index of a column within a block, or SIZE_MAX. */
static size_t
within (const HeatReduced *m, const HeatBlock *b, size_t column)
{
  size_t ix = column % m->net.mesh.nx - b->ix0, iy = column / m->net.mesh.nx - b->iy0; /* wrap when left of it */
  return ix < b->nx && iy < b->ny ? iy * b->nx + ix : SIZE_MAX;
}

/* As heat_board_surface(), of one column. */
static double
surface_of (const HeatReduced *m, const HeatMarch *march, size_t column, bool up)
{
  const HeatLayout *layout = &m->net.stencil.layout;
  size_t columns = m->net.mesh.nx * m->net.mesh.ny, base = up ? (layout->blocks[0].nz - 1) * columns : 0;
  uint32_t face = (up ? m->faces.up : m->faces.down)[column];
  double cell = march->t[base + column], area = m->net.board.area[column], out = cell;
  if (face != UINT32_MAX)
    out += m->faces.area[face] / area * (march->faces->ts[face] - cell);
  for (size_t k = 1; k < layout->n_blocks; k++) {
    const HeatBlock *b = &layout->blocks[k];
    size_t j = b->below == up ? SIZE_MAX : within (m, b, column);
    if (j != SIZE_MAX)
      out -= m->net.stencil.gc[b->couple + j] * (cell - march->t[b->at + j])
             * (up ? m->net.half_up : m->net.half_down)[column] / area;
  }
  return out;
}

/* Keeps the hottest N of COUNT in FLAG, by repeated search: N is small. */
static void
flag_hottest (double *value, size_t count, size_t n, bool *flag)
{
  for (size_t k = 0; k < n; k++) {
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < count; i++)
      if (!isnan (value[i]) && (best == SIZE_MAX || value[i] > value[best]))
        best = i;
    if (best == SIZE_MAX)
      return;
    flag[best] = true;
    value[best] = NAN;
  }
}

static bool
look_at_body (Look *l, size_t body)
{
  const HeatBlock *b = block_of (l->m, body);
  const HeatWindows *w = &l->m->net.bodies[body].windows;
  size_t nxy = b->nx * b->ny, count = nxy * (b->nz + 1);
  double *mean = HEAT_TAKE (&l->scratch, double, count);
  if (!mean)
    return false;
  for (size_t iz = 0; iz <= b->nz; iz++) {
    const double *t = slab_values (l->m, body, iz, l->t, l->ts, l->value);
    for (size_t i = 0; i < nxy; i++)
      mean[iz * nxy + i] = iz > 0 && w->first[i + 1] > w->first[i] ? window_mean (w, i, t) : NAN;
  }
  flag_hottest (mean, count, HOT_OF_BODY, l->window[body]);
  return true;
}

/* Nodes and far face of one body at a kept moment; its joints need not be right. */
static void
fill_body (Look *l, size_t body, size_t at)
{
  const HeatReduced *m = l->m;
  const HeatBlock *b = block_of (m, body);
  size_t nxy = b->nx * b->ny;
  heat_past_run (l->run, at, b->at, nxy * b->nz, l->t);
  for (size_t i = 0; i < nxy; i++)
    if (m->faces.far[body][i] != UINT32_MAX)
      l->ts[m->faces.far[body][i]] = heat_past_face (l->run, at, m->faces.far[body][i], l->t);
}

static bool
look_at_bodies (Look *l, size_t at)
{
  for (size_t body = 0; body < l->m->scene->n_bodies; body++) {
    if (!block_of (l->m, body))
      continue;
    fill_body (l, body, at);
    if (!look_at_body (l, body))
      return false;
  }
  return true;
}

/* Notes where a side is hottest at a kept moment, its nodes being in L->t: among columns whose cells are not far from
 * the warmest, for a surface differs from its cell by some kelvins. */
static void
look_at_side (Look *l, size_t at, bool up)
{
  const HeatReduced *m = l->m;
  size_t columns = m->net.mesh.nx * m->net.mesh.ny;
  const double *cell = l->t + (up ? (m->net.stencil.layout.blocks[0].nz - 1) * columns : 0);
  const uint32_t *face = up ? m->faces.up : m->faces.down;
  HeatFaces faces = m->faces;
  faces.ts = l->ts;
  const HeatMarch march = { .faces = &faces, .t = l->t };
  double warmest = -INFINITY;
  for (size_t i = 0; i < columns; i++)
    if (m->net.board.area[i] > 0)
      warmest = fmax (warmest, cell[i]);
  for (size_t i = 0; i < columns; i++) {
    l->value[i] = NAN;
    if (!(m->net.board.area[i] > 0) || cell[i] < warmest - SURFACE_K)
      continue;
    if (face[i] != UINT32_MAX)
      l->ts[face[i]] = heat_past_face (l->run, at, face[i], l->t);
    l->value[i] = surface_of (m, &march, i, up);
  }
  flag_hottest (l->value, columns, HOT_OF_SIDE, l->column);
}

/* Moments at which the board is looked at: some evenly over the march, and where sources may have jumped, a step and
 * three steps on, as what was coolest may then be hottest. Returns how many. */
static size_t
choose_looks (const HeatReducedRun *run, size_t at[BOARD_LOOKS])
{
  size_t last = run->n_times - 1, n = 0;
  for (size_t k = 1; k <= BOARD_LOOKS / 2; k++)
    at[n++] = last * k / (BOARD_LOOKS / 2);
  for (size_t i = 0; i <= last && n + 3 <= BOARD_LOOKS; i++)
    if (run->breaks[i])
      for (size_t k = 0; k < 3; k++)
        at[n++] = i + k * (k + 1) / 2 < last ? i + k * (k + 1) / 2 : last;
  return n;
}

/* Evenly over the march's own moments, which are closest where most happens; the last among them. */
static bool
look_at_run (Look *l)
{
  const HeatReduced *m = l->m;
  size_t last = l->run->n_times - 1, at[BOARD_LOOKS], n = choose_looks (l->run, at);
  for (size_t k = 1; k <= BODY_LOOKS; k++)
    if (!look_at_bodies (l, last * k / BODY_LOOKS))
      return false;
  float *field = m->n_room >= BOARD_LOOKS ? m->room : HEAT_TAKE (&l->scratch, float, BOARD_LOOKS * m->n);
  if (!field)
    return false;
  heat_past_fields (l->run, false, at, n, field);
  for (size_t k = 0; k < n; k++) {
    for (size_t i = 0; i < m->n; i++)
      l->t[i] = l->run->scene.room.air_c + field[k * m->n + i];
    look_at_side (l, at[k], false);
    look_at_side (l, at[k], true);
  }
  return true;
}

/* ---- what they lie on ---- */

static void
want_face (Look *l, uint32_t face)
{
  if (face == UINT32_MAX)
    return;
  l->face[face] = true;
  l->node[l->m->faces.node[face]] = true;
}

static void
want_reader (Look *l, const HeatReader *reader)
{
  for (size_t i = 0; i < 4; i++)
    if (reader->w[i] != 0)
      l->node[reader->node[i]] = true;
}

static void
want_window (Look *l, size_t body, size_t iz, size_t i)
{
  const HeatBlock *b = block_of (l->m, body);
  const HeatWindows *w = &l->m->net.bodies[body].windows;
  for (size_t k = w->first[i]; k < w->first[i + 1]; k++)
    if (iz < b->nz)
      l->node[b->at + iz * b->nx * b->ny + w->column[k]] = true;
    else
      want_face (l, l->m->faces.far[body][w->column[k]]);
}

static void
want_body (Look *l, size_t body)
{
  const HeatPlaced *p = &l->m->net.bodies[body];
  const HeatBlock *b = block_of (l->m, body);
  for (size_t i = 0; i < l->m->scene->bodies[body].n_joints; i++)
    want_reader (l, &p->joints[i]);
  if (l->m->scene->bodies[body].n_joints)
    want_reader (l, &p->center);
  if (p->joint_node != UINT32_MAX)
    l->node[p->joint_node] = true;
  if (!b) {
    l->node[p->node] = true;
    return;
  }
  for (size_t i = 0; i < 4; i++)
    if (p->top.w[i] > 0)
      want_face (l, l->m->faces.far[body][p->top.node[i] - b->at - b->nx * b->ny * (b->nz - 1)]);
  for (size_t k = 0; k < b->nx * b->ny * (b->nz + 1); k++)
    if (l->window[body][k])
      want_window (l, body, k / (b->nx * b->ny), k % (b->nx * b->ny));
}

static void
want_column (Look *l, size_t column)
{
  const HeatReduced *m = l->m;
  const HeatLayout *layout = &m->net.stencil.layout;
  size_t columns = m->net.mesh.nx * m->net.mesh.ny;
  l->node[column] = l->node[(layout->blocks[0].nz - 1) * columns + column] = true;
  want_face (l, m->faces.up[column]);
  want_face (l, m->faces.down[column]);
  for (size_t k = 1; k < layout->n_blocks; k++) {
    size_t j = within (m, &layout->blocks[k], column);
    if (j != SIZE_MAX)
      l->node[layout->blocks[k].at + j] = true;
  }
}

static void
want_all (Look *l)
{
  const HeatReduced *m = l->m;
  for (size_t body = 0; body < m->scene->n_bodies; body++)
    want_body (l, body);
  for (size_t i = 0; i < m->net.mesh.nx * m->net.mesh.ny; i++)
    if (l->column[i])
      want_column (l, i);
  for (size_t i = 0; i < m->cells.n; i++)
    l->node[m->cells.items[i].melt.node] = true;
}

/* ---- kept ---- */

/* The flagged of N as a list; false when memory is short. */
static bool
list_of (HeatArena *arena, const bool *flag, size_t n, uint32_t **list, size_t *count)
{
  *count = 0;
  for (size_t i = 0; i < n; i++)
    *count += flag[i];
  *list = HEAT_TAKE (arena, uint32_t, *count);
  if (!*list)
    return false;
  for (size_t i = 0, k = 0; i < n; i++)
    if (flag[i])
      (*list)[k++] = (uint32_t) i;
  return true;
}

static bool
keep_rows (HeatReduced *m, HeatReaders *r)
{
  r->row = HEAT_TAKE (&m->small, float, r->n_nodes * m->stride);
  if (!r->row)
    return false;
  for (size_t k = 0; k < m->r; k++)
    for (size_t i = 0; i < r->n_nodes; i++)
      r->row[i * m->stride + k] = m->v[k * m->n + r->node[i]];
  return true;
}

/* Mean over nodes FROM..TO by capacity. */
static void
mean_row (const HeatReduced *m, size_t from, size_t to, double *row)
{
  double capacity = 0;
  for (size_t i = from; i < to; i++)
    capacity += m->net.capacity[i];
  for (size_t k = 0; k < m->r && capacity > 0; k++)
    {
    const float *v = m->v + k * m->n;
    for (size_t i = from; i < to; i++)
      row[k] += m->net.capacity[i] * v[i];
    row[k] /= capacity;
  }
}

static bool
keep_means (HeatReduced *m, HeatReaders *r)
{
  size_t columns = m->net.mesh.nx * m->net.mesh.ny;
  r->board = HEAT_TAKE (&m->small, double, m->stride);
  r->mean = HEAT_TAKE (&m->small, double, m->scene->n_bodies * m->stride);
  r->heat = HEAT_TAKE (&m->small, double, m->stride);
  if (!r->board || !r->mean || !r->heat)
    return false;
  mean_row (m, 0, columns * m->scene->board.n_layers, r->board);
  mean_row (m, 0, m->n, r->heat);
  for (size_t i = 0; i < m->n; i++)
    r->capacity += m->net.capacity[i];
  for (size_t body = 0; body < m->scene->n_bodies; body++) {
    const HeatBlock *b = block_of (m, body);
    if (b)
      mean_row (m, b->at + b->nx * b->ny, b->at + b->nx * b->ny * b->nz, r->mean + body * m->stride);
  }
  return true;
}

static bool
keep (Look *l)
{
  HeatReduced *m = l->m;
  HeatReaders *r = &m->readers;
  r->hot = HEAT_TAKE (&m->small, uint32_t *, m->scene->n_bodies);
  r->n_hot = HEAT_TAKE (&m->small, size_t, m->scene->n_bodies);
  if (!r->hot || !r->n_hot)
    return false;
  for (size_t body = 0; body < m->scene->n_bodies; body++) {
    const HeatBlock *b = block_of (m, body);
    if (b && !list_of (&m->small, l->window[body], b->nx * b->ny * (b->nz + 1), &r->hot[body], &r->n_hot[body]))
      return false;
  }
  return list_of (&m->small, l->node, m->n, &r->node, &r->n_nodes)
         && list_of (&m->small, l->face, m->faces.n, &r->face, &r->n_faces)
         && list_of (&m->small, l->column, m->net.mesh.nx * m->net.mesh.ny, &r->column, &r->n_columns)
         && keep_rows (m, r) && keep_means (m, r);
}

static bool
take_look (Look *l)
{
  const HeatReduced *m = l->m;
  size_t columns = m->net.mesh.nx * m->net.mesh.ny;
  l->node = HEAT_TAKE (&l->scratch, bool, m->n);
  l->face = HEAT_TAKE (&l->scratch, bool, m->faces.n);
  l->column = HEAT_TAKE (&l->scratch, bool, columns);
  l->window = HEAT_TAKE (&l->scratch, bool *, m->scene->n_bodies);
  l->t = HEAT_TAKE (&l->scratch, double, m->n);
  l->ts = HEAT_TAKE (&l->scratch, double, m->faces.n);
  l->value = HEAT_TAKE (&l->scratch, double, columns);
  if (!l->node || !l->face || !l->column || !l->window || !l->t || !l->ts || !l->value)
    return false;
  for (size_t body = 0; body < m->scene->n_bodies; body++) {
    const HeatBlock *b = block_of (m, body);
    if (b && !(l->window[body] = HEAT_TAKE (&l->scratch, bool, b->nx * b->ny * (b->nz + 1))))
      return false;
  }
  return true;
}

bool
heat_readers_new (HeatReduced *m, const HeatReducedRun *run)
{
  Look l = { .m = m, .run = run, .scratch = heat_arena_beside (&m->arena) };
  bool ok = take_look (&l) && look_at_run (&l);
  if (ok) {
    want_all (&l);
    ok = keep (&l);
  }
  heat_arena_clear (&l.scratch);
  return ok;
}

/* ---- reading ---- */

bool
heat_ahead_new (HeatArena *arena, const HeatReduced *m, HeatAhead *ahead)
{
  ahead->read = HEAT_TAKE_OPEN (arena, double, HEAT_ROWS_SOME * m->readers.n_nodes);
  return ahead->read && heat_lumps_ahead_new (arena, m, &ahead->lumps);
}

void
heat_ahead_read (const HeatReducedRun *run, size_t at, size_t n, HeatAhead *ahead)
{
  const HeatReduced *m = run->model;
  heat_rows_read_some (m->readers.row, m->readers.n_nodes, m->stride, run->states + at * m->stride, n, ahead->read);
  heat_lumps_ahead_read (run, at, n, &ahead->lumps);
}

void
heat_readers_fill (HeatReducedRun *run, size_t at, const HeatAhead *ahead, size_t k, double *t, double *ts)
{
  const HeatReduced *m = run->model;
  const HeatReaders *r = &m->readers;
  const double *rate = run->rates + at * m->stride, *read = ahead->read + k * r->n_nodes;
  double air = run->scene.room.air_c;
  for (size_t i = 0; i < r->n_nodes; i++)
    t[r->node[i]] = air + read[i];
  for (size_t i = 0; i < m->cells.n; i++) {
    const HeatCell *cell = &m->cells.items[i];
    double dev = run->devs[at * m->cells.n + i];
    t[cell->melt.node] += dev != 0 ? dev : heat_cell_lag (m, i, rate);
    if (cell->body != SIZE_MAX)
      t[m->net.bodies[cell->body].node] += run->body_devs[at * m->cells.n + i];
  }
  heat_lumps_follow (run, at, &ahead->lumps, k, t);
  for (size_t i = 0; i < r->n_faces; i++)
    ts[r->face[i]] = heat_past_face (run, at, r->face[i], t);
}

static double
square_value (const HeatReduced *m, size_t body, size_t square, const HeatMarch *march)
{
  const HeatBlock *b = block_of (m, body);
  const HeatWindows *w = &m->net.bodies[body].windows;
  size_t nxy = b->nx * b->ny, iz = square / nxy, i = square % nxy;
  if (iz < b->nz)
    return window_mean (w, i, march->t + b->at + iz * nxy);
  double sum = 0;
  for (size_t k = w->first[i]; k < w->first[i + 1]; k++) {
    uint32_t face = m->faces.far[body][w->column[k]];
    sum += face != UINT32_MAX ? w->w[k] * march->faces->ts[face] : 0;
  }
  return sum;
}

void
heat_readers_body (const HeatReducedRun *run, const HeatMarch *march, size_t body, size_t at, HeatResult *result)
{
  const HeatReduced *m = run->model;
  const HeatPlaced *p = &m->net.bodies[body];
  const HeatBlock *b = block_of (m, body);
  HeatTrace *trace = &result->bodies[body];
  if (!b) {
    trace->body_top[at] = trace->body_mean[at] = trace->body_max[at] = march->t[p->node];
    return;
  }
  double most = -INFINITY, top = 0;
  for (size_t k = 0; k < m->readers.n_hot[body]; k++)
    most = fmax (most, square_value (m, body, m->readers.hot[body][k], march));
  for (size_t i = 0; i < 4; i++)
    if (p->top.w[i] > 0)
      top += p->top.w[i]
             * march->faces->ts[m->faces.far[body][p->top.node[i] - b->at - b->nx * b->ny * (b->nz - 1)]];
  trace->body_top[at] = top;
  trace->body_mean[at] = run->scene.room.air_c
                         + heat_dot (m->readers.mean + body * m->stride, run->states + at * m->stride, m->stride);
  trace->body_max[at] = most;
}

void
heat_readers_board (const HeatReducedRun *run, const HeatMarch *march, size_t at, HeatResult *result)
{
  const HeatReduced *m = run->model;
  double most = -INFINITY;
  for (size_t k = 0; k < m->readers.n_columns; k++)
    for (int up = 0; up < 2; up++)
      most = fmax (most, surface_of (m, march, m->readers.column[k], up));
  result->board_max[at] = most;
  result->board_mean[at]
      = run->scene.room.air_c + heat_dot (m->readers.board, run->states + at * m->stride, m->stride);
}
