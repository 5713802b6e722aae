#include "heat/trace.h"

#include <math.h>
#include <string.h>

/* Room for N moments in place of *SERIES, of which USED are kept. */
static bool
take_longer (HeatArena *arena, double **series, size_t n, size_t used)
{
  double *longer = HEAT_TAKE_OPEN (arena, double, n);
  if (longer && used)
    memcpy (longer, *series, used * sizeof (double));
  *series = longer;
  return longer != NULL;
}

/* A body of one node has one temperature: then its series are one and the same. */
static bool
take_trace (HeatArena *arena, HeatTrace *trace, size_t n, size_t used, bool joints, bool one)
{
  double **bodies[] = { &trace->body_top, &trace->body_mean, &trace->body_max };
  double **solder[] = { &trace->joint_min,    &trace->joint_mean,   &trace->joint_max,
                        &trace->joint_center, &trace->joint_corner, &trace->liquid_share };
  for (size_t i = 0; i < 3; i++)
    if (one && i)
      *bodies[i] = trace->body_top;
    else if (!take_longer (arena, bodies[i], n, used))
      return false;
  for (size_t i = 0; i < 6 && joints; i++)
    if (!take_longer (arena, solder[i], n, used))
      return false;
  return true;
}

static double *
copy_of (HeatArena *arena, const double *from, size_t n)
{
  double *to = HEAT_TAKE (arena, double, n);
  for (size_t i = 0; to && i < n; i++)
    to[i] = from[i];
  return to;
}

/* All series, of rec->room moments; what there is of them already is kept. */
static bool
take_series (HeatRecorder *rec)
{
  HeatResult *r = rec->result;
  const HeatScene *scene = rec->march->scene;
  size_t room = rec->room, used = r->n_times;
  double **series[] = { &r->t_s, &r->gas_c, &r->preheat_c, &r->board_max, &r->board_mean };
  for (size_t i = 0; i < sizeof series / sizeof series[0]; i++)
    if (!take_longer (rec->arena, series[i], room, used))
      return false;
  if (r->n_joints && !take_longer (rec->arena, &r->joints, room * r->n_joints, used * r->n_joints))
    return false;
  for (size_t i = 0; i < r->n_bodies; i++)
    if (!take_trace (rec->arena, &r->bodies[i], room, used, scene->bodies[i].n_joints > 0,
                     rec->march->net->bodies[i].block == HEAT_NO_BLOCK))
      return false;
  return true;
}

static bool
take_first_series (HeatRecorder *rec)
{
  HeatResult *r = rec->result;
  const HeatScene *scene = rec->march->scene;
  r->n_times = 0;
  r->n_joints = scene->target < scene->n_bodies ? scene->bodies[scene->target].n_joints : 0;
  if (scene->target < scene->n_bodies && !(r->joints = HEAT_TAKE (rec->arena, double, 0)))
    return false;
  r->n_bodies = scene->n_bodies;
  r->bodies = HEAT_TAKE (rec->arena, HeatTrace, scene->n_bodies);
  return r->bodies && take_series (rec);
}

/* Most marches take little more than the fixed steps; thousands of bodies have no room for what a few may take. */
static bool
make_room (HeatRecorder *rec)
{
  if (rec->result->n_times < rec->room)
    return true;
  if (rec->room >= rec->max_times)
    return false;
  rec->room = 2 * rec->room < rec->max_times ? 2 * rec->room : rec->max_times;
  return take_series (rec);
}

static bool
take_fields (HeatRecorder *rec)
{
  HeatResult *r = rec->result;
  const HeatMesh *mesh = &rec->march->net->mesh;
  size_t columns = mesh->nx * mesh->ny;
  r->nx = mesh->nx;
  r->ny = mesh->ny;
  r->x_edges = copy_of (rec->arena, mesh->xe, mesh->nx + 1);
  r->y_edges = copy_of (rec->arena, mesh->ye, mesh->ny + 1);
  r->cell_peak_top = HEAT_TAKE (rec->arena, double, columns);
  r->cell_peak_bottom = HEAT_TAKE (rec->arena, double, columns);
  r->frames = HEAT_TAKE (rec->arena, HeatFrame, rec->max_frames);
  if (!r->x_edges || !r->y_edges || !r->cell_peak_top || !r->cell_peak_bottom || !r->frames)
    return false;
  for (size_t i = 0; i < columns; i++)
    r->cell_peak_top[i] = r->cell_peak_bottom[i] = NAN;
  return true;
}

bool
heat_recorder_new (HeatArena *scratch, HeatArena *arena, const HeatMarch *march, double frame_s,
                   size_t room, size_t max_times, double end_s, HeatResult *result, HeatRecorder *rec)
{
  size_t columns = march->net->mesh.nx * march->net->mesh.ny;
  double frames = fmin (floor (end_s / frame_s) + 3, (double) max_times);
  *rec = (HeatRecorder){ .result = result,
                         .arena = arena,
                         .march = march,
                         .frame_s = frame_s,
                         .room = room < max_times ? room : max_times,
                         .max_times = max_times,
                         .max_frames = (size_t) frames };
  rec->top = HEAT_TAKE (scratch, double, columns);
  rec->bottom = HEAT_TAKE (scratch, double, columns);
  rec->face = HEAT_TAKE (scratch, double, columns);
  return rec->top && rec->bottom && rec->face && take_first_series (rec) && take_fields (rec);
}

/* Surface temperatures of one side: free faces, contacts under meshed bodies, and where single-node
 * bodies stand the outer layer itself; means by area. */
void
heat_board_surface (const HeatMarch *m, bool up, double *out)
{
  const HeatNetwork *net = m->net;
  const HeatLayout *layout = &net->stencil.layout;
  size_t columns = net->mesh.nx * net->mesh.ny, base = up ? (layout->blocks[0].nz - 1) * columns : 0;
  const uint32_t *map = up ? m->faces->up : m->faces->down;
  const double *half = up ? net->half_up : net->half_down;
  for (size_t i = 0; i < columns; i++) {
    double cell = m->t[base + i], area = net->board.area[i];
    out[i] = area > 0 ? cell : NAN;
    if (area > 0 && map[i] != UINT32_MAX)
      out[i] += m->faces->area[map[i]] / area * (m->faces->ts[map[i]] - cell);
  }
  for (size_t k = 1; k < layout->n_blocks; k++) {
    const HeatBlock *b = &layout->blocks[k];
    for (size_t j = 0; b->below != up && j < b->nx * b->ny; j++) {
      size_t i = (b->iy0 + j / b->nx) * net->mesh.nx + b->ix0 + j % b->nx;
      double flow = net->stencil.gc[b->couple + j] * (m->t[base + i] - m->t[b->at + j]);
      if (net->board.area[i] > 0)
        out[i] -= flow * half[i] / net->board.area[i];
    }
  }
}

static void
note_board (HeatRecorder *rec, size_t at)
{
  const HeatMarch *m = rec->march;
  const HeatNetwork *net = m->net;
  HeatResult *r = rec->result;
  size_t columns = net->mesh.nx * net->mesh.ny, layers = net->scene->board.n_layers;
  double most = -INFINITY, heat = 0, capacity = 0;
  heat_board_surface (m, true, rec->top);
  heat_board_surface (m, false, rec->bottom);
  for (size_t i = 0; i < columns; i++) {
    if (!(net->board.area[i] > 0))
      continue;
    most = fmax (most, fmax (rec->top[i], rec->bottom[i]));
    r->cell_peak_top[i] = fmax (r->cell_peak_top[i], rec->top[i]);
    r->cell_peak_bottom[i] = fmax (r->cell_peak_bottom[i], rec->bottom[i]);
  }
  for (size_t i = 0; i < columns * layers; i++) {
    heat += net->capacity[i] * rec->march->t[i];
    capacity += net->capacity[i];
  }
  r->board_max[at] = most;
  r->board_mean[at] = heat / capacity;
}

/* A body's own figures: its far face's centre, its mean and its hottest place. */
static void
note_body (const HeatRecorder *rec, size_t index, size_t at)
{
  const HeatMarch *m = rec->march;
  const HeatPlaced *p = &m->net->bodies[index];
  HeatTrace *trace = &rec->result->bodies[index];
  if (p->block == HEAT_NO_BLOCK) {
    trace->body_top[at] = trace->body_mean[at] = trace->body_max[at] = m->t[p->node];
    return;
  }
  const HeatBlock *b = &m->net->stencil.layout.blocks[p->block];
  size_t nxy = b->nx * b->ny;
  double heat = 0, capacity = 0, most = -INFINITY, top = 0;
  for (size_t i = b->at + nxy; i < b->at + nxy * b->nz; i++) {
    if (!(m->net->capacity[i] > 0))
      continue;
    heat += m->net->capacity[i] * m->t[i];
    capacity += m->net->capacity[i];
  }
  for (size_t iz = 1; iz < b->nz; iz++)
    most = fmax (most, heat_windows_hottest (&p->windows, m->t + b->at + iz * nxy));
  const uint32_t *far = m->faces->far[index];
  for (size_t i = 0; i < nxy; i++)
    rec->face[i] = far[i] != UINT32_MAX ? m->faces->ts[far[i]] : 0;
  most = fmax (most, heat_windows_hottest (&p->windows, rec->face));
  for (size_t i = 0; i < 4; i++) {
    size_t column = p->top.node[i] - b->at - nxy * (b->nz - 1);
    if (p->top.w[i] > 0)
      top += p->top.w[i] * m->faces->ts[far[column]];
  }
  trace->body_top[at] = top;
  trace->body_mean[at] = heat / capacity;
  trace->body_max[at] = most;
}

double
heat_board_share (const HeatBody *body)
{
  double lead = body->lead_g_w_k, half = 2 * body->joint_g_w_k;
  if (!(lead > 0 && half > 0))
    return 0.5;
  return (1 / half + 1 / lead) / (2 / half + 1 / lead);
}

/* Of the drop from a single-node body to a board cell, the share lost in the half layer under the
 * surface. */
static double
layer_share (const HeatNetwork *net, size_t index, size_t column)
{
  const HeatBody *body = &net->scene->bodies[index];
  double half = (body->below ? net->half_down : net->half_up)[column];
  double film = body->prescribed_h_w_m2k > 0
                    ? body->prescribed_h_w_m2k
                    : body->joint_g_w_k * (double) body->n_joints / net->bodies[index].foot_m2;
  double lead = body->lead_g_w_k * (double) body->n_joints / net->bodies[index].foot_m2;
  return half / (half + 1 / film + (lead > 0 && !(body->prescribed_h_w_m2k > 0) ? 1 / lead : 0));
}

/* Joints of a single-node body: their common node shifted by as much of the board's difference under
 * each joint from the mean as reaches it; without a node of their own between body and board's surface.
 */
static double
joint_value (const HeatMarch *m, size_t index, const HeatReader *reader, double board_mean, double share)
{
  const HeatPlaced *p = &m->net->bodies[index];
  double under = heat_read (reader, m->t);
  if (p->block != HEAT_NO_BLOCK)
    return under;
  if (p->joint_node != UINT32_MAX)
    return m->t[p->joint_node] + share * (under - board_mean);
  size_t column = reader->node[0] % (m->net->mesh.nx * m->net->mesh.ny);
  double surface = under + layer_share (m->net, index, column) * (m->t[p->node] - under);
  return m->t[p->node] + share * (surface - m->t[p->node]);
}

static double
liquid_of (const HeatMarch *m, const HeatPlaced *p)
{
  double liquid = 0, whole = 0;
  for (size_t i = p->first_melt; i < p->first_melt + p->n_melts; i++) {
    const HeatMelt *melt = &m->net->melts.items[i];
    liquid += melt->latent * heat_melt_liquid (melt, m->t[melt->node]);
    whole += melt->latent;
  }
  return whole > 0 ? liquid / whole : 0;
}

/* Hottest and coldest of all joints and of the corners, and the mean. */
typedef struct {
  double low, high, mean, corner;
} Seen;

/* Without knowing more of them; ALL [n]: each. */
static Seen
see_all (const HeatMarch *m, size_t index, double board, double share, double *all)
{
  const HeatPlaced *p = &m->net->bodies[index];
  size_t n = m->scene->bodies[index].n_joints;
  Seen s = { INFINITY, -INFINITY, 0, -INFINITY };
  for (size_t i = 0; i < n; i++) {
    double v = joint_value (m, index, &p->joints[i], board, share);
    s.low = fmin (s.low, v);
    s.high = fmax (s.high, v);
    s.mean += v / (double) n;
    if (p->corner[i])
      s.corner = fmax (s.corner, v);
    if (all)
      all[i] = v;
  }
  return s;
}

/* By the few that can be hottest or coldest; what is read under them is raised alike. */
static Seen
see_ends (const HeatMarch *m, size_t index, double board, double share)
{
  const HeatPlaced *p = &m->net->bodies[index];
  const HeatEnds *e = &p->ends;
  Seen s = { INFINITY, -INFINITY, board, -INFINITY };
  for (size_t i = 0; i < e->n; i++) {
    double v = heat_read (&e->end[i], m->t);
    s.low = v < s.low ? v : s.low;
    s.high = v > s.high ? v : s.high;
  }
  for (size_t i = 0; i < e->n_corners; i++)
    s.corner = fmax (s.corner, heat_read (&e->corner[i], m->t));
  if (p->block != HEAT_NO_BLOCK)
    return s;
  double joint = m->t[p->joint_node];
  return (Seen){ joint + share * (s.low - board), joint + share * (s.high - board), joint, joint + share * (s.corner - board) };
}

static double
mean_read (const HeatMarch *m, size_t index)
{
  const HeatPlaced *p = &m->net->bodies[index];
  double sum = 0;
  size_t n = m->scene->bodies[index].n_joints;
  for (size_t i = 0; i < p->ends.n_nodes; i++)
    sum += p->ends.w[i] * m->t[p->ends.node[i]];
  for (size_t i = 0; i < n && !p->ends.n; i++)
    sum += heat_read (&p->joints[i], m->t) / (double) n;
  return sum;
}

void
heat_trace_joints (const HeatMarch *m, size_t index, size_t at, HeatResult *result)
{
  const HeatPlaced *p = &m->net->bodies[index];
  size_t n = m->scene->bodies[index].n_joints;
  HeatTrace *trace = &result->bodies[index];
  double *all = index == m->scene->target ? result->joints + at * n : NULL;
  double share = heat_board_share (&m->scene->bodies[index]), board = mean_read (m, index);
  Seen s = p->ends.n && !all ? see_ends (m, index, board, share) : see_all (m, index, board, share, all);
  trace->joint_min[at] = s.low;
  trace->joint_max[at] = s.high;
  trace->joint_mean[at] = s.mean;
  trace->joint_corner[at] = s.corner;
  trace->joint_center[at] = joint_value (m, index, &p->center, board, share);
  trace->liquid_share[at] = liquid_of (m, p);
}

static bool
note_frame (HeatRecorder *rec)
{
  HeatResult *r = rec->result;
  size_t columns = r->nx * r->ny;
  if (r->n_frames == rec->max_frames)
    return true;
  HeatFrame *f = &r->frames[r->n_frames];
  f->t_s = rec->march->t_s;
  f->top = HEAT_TAKE (rec->arena, float, columns);
  f->bottom = HEAT_TAKE (rec->arena, float, columns);
  if (!f->top || !f->bottom)
    return false;
  for (size_t i = 0; i < columns; i++) {
    f->top[i] = (float) rec->top[i];
    f->bottom[i] = (float) rec->bottom[i];
  }
  r->n_frames++;
  return true;
}

static void
note_films (HeatRecorder *rec)
{
  const HeatMarch *m = rec->march;
  const HeatEnvironment *env = &m->env;
  HeatFilmReport *f = &rec->result->films;
  if (env->gas_on) {
    f->gas_out_c = env->gas_out_c;
    double flow = heat_table_at (&m->scene->nozzle.flow_m3_s, m->t_s, HEAT_BEFORE);
    if (flow >= rec->gas_flow_most) {
      rec->gas_flow_most = flow;
      f->nozzle_h_w_m2k = env->gas_h_bare;
      f->nozzle_h_eff_w_m2k = env->gas_h;
      f->nozzle_reynolds = env->film.reynolds;
      f->nozzle_height_ratio = env->film.height_ratio;
      f->nozzle_radius_ratio = env->film.radius_ratio;
      f->nozzle_in_range = env->film.in_range;
      f->gas_power_w = env->mass_kg_s * heat_air (env->gas_c).cp * (env->gas_c - m->scene->room.air_c);
      f->spill_h_w_m2k = env->spill_h[0];
    }
  }
}

size_t
heat_recorder_moment (HeatRecorder *rec)
{
  const HeatMarch *m = rec->march;
  HeatResult *r = rec->result;
  size_t at = r->n_times++;
  r->t_s[at] = m->t_s;
  r->gas_c[at] = m->env.gas_c;
  r->preheat_c[at] = m->env.pre_on ? m->env.pre_c : NAN;
  note_films (rec);
  return at;
}

bool
heat_recorder_note (HeatRecorder *rec, bool last)
{
  const HeatMarch *m = rec->march;
  HeatResult *r = rec->result;
  if (!make_room (rec))
    return false;
  size_t at = heat_recorder_moment (rec);
  note_board (rec, at);
  for (size_t i = 0; i < r->n_bodies; i++) {
    note_body (rec, i, at);
    if (m->scene->bodies[i].n_joints)
      heat_trace_joints (m, i, at, r);
  }
  if (last) {
    r->films.preheat_h_w_m2k = heat_faces_preheat_film (&m->env, m->faces);
    r->films.room_up_h_w_m2k = heat_faces_room_film (m->scene, m->faces, HEAT_FACE_UP);
    r->films.room_down_h_w_m2k = heat_faces_room_film (m->scene, m->faces, HEAT_FACE_DOWN);
  }
  if (!last && m->t_s < rec->next_frame_s - 1e-9)
    return true;
  rec->next_frame_s = (floor (m->t_s / rec->frame_s + 1e-9) + 1) * rec->frame_s;
  return note_frame (rec);
}
