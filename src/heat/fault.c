/* What is wrong with a scene. */
#include <math.h>

#include "heat/clip.h"
#include "heat/solve.h"

/* Written so that a NaN is out of every range. */
static bool
within (double v, double low, double high)
{
  return v >= low && v <= high;
}

static bool
positive (double v)
{
  return v > 0 && v < 1e12;
}

static const char *
loop_fault (const HeatLoop *loop)
{
  if (!loop->xy || loop->n < 3)
    return "a polygon has fewer than three corners";
  for (size_t i = 0; i < loop->n; i++)
    if (!within (loop->xy[i].x, -100, 100) || !within (loop->xy[i].y, -100, 100))
      return "a corner of a polygon is not a place";
  return NULL;
}

static const char *
layer_fault (const HeatLayer *l)
{
  if (!positive (l->thickness_m) || l->thickness_m > 1)
    return "a layer's thickness is not above zero";
  if (!positive (l->k_in_w_mk) || !positive (l->k_thr_w_mk))
    return "a layer's conductivity is not above zero";
  if (!within (l->off_middle, -0.5, 0.5))
    return "a layer's node lies outside it";
  return positive (l->rho_c_j_m3k) ? NULL : "a layer's heat capacity is not above zero";
}

static const char *
sheet_fault (const HeatSheet *sheet, size_t n_cells, size_t n_layers)
{
  if (sheet->layer >= n_layers)
    return "a sheet of the raster names a layer that does not exist";
  if (!sheet->add_k_in_w_mk || !sheet->add_k_thr_w_mk || !sheet->add_rho_c_j_m3k)
    return "a sheet of the raster has no values";
  for (size_t i = 0; i < n_cells; i++)
    if (!isfinite (sheet->add_k_in_w_mk[i]) || !isfinite (sheet->add_k_thr_w_mk[i])
        || !isfinite (sheet->add_rho_c_j_m3k[i]))
      return "a value of the raster is not a number";
  return NULL;
}

static const char *
raster_fault (const HeatRaster *r, size_t n_layers)
{
  const char *fault = NULL;
  if (!r)
    return NULL;
  if (!within (r->origin.x, -100, 100) || !within (r->origin.y, -100, 100)
      || !within (r->cell_m, 1e-6, 1))
    return "the raster's place or cell size is out of range";
  if (!r->nx || !r->ny || r->nx > 10000000 / r->ny || (r->n_sheets && !r->sheets))
    return "the raster has no cells, or too many";
  for (size_t i = 0; i < r->n_sheets && !fault; i++)
    fault = sheet_fault (&r->sheets[i], r->nx * r->ny, n_layers);
  return fault;
}

static const char *
board_fault (const HeatBoard *b)
{
  const char *fault = NULL;
  if (!b->loops || !b->n_loops)
    return "the board has no outline";
  for (size_t i = 0; i < b->n_loops && !fault; i++)
    fault = loop_fault (&b->loops[i]);
  if (fault)
    return fault;
  if (fabs (heat_loop_area (&b->loops[0])) < 1e-8)
    return "the board has no area";
  if (!b->layers || !b->n_layers)
    return "the board has no layers";
  for (size_t i = 0; i < b->n_layers && !fault; i++)
    fault = layer_fault (&b->layers[i]);
  for (size_t i = 0; i < b->n_patches && !fault; i++) {
    fault = loop_fault (&b->patches[i].area);
    if (!fault && b->patches[i].layer >= b->n_layers)
      fault = "a patch names a layer that does not exist";
    if (!fault
        && !(isfinite (b->patches[i].add_k_in_w_mk) && isfinite (b->patches[i].add_k_thr_w_mk)
             && isfinite (b->patches[i].add_rho_c_j_m3k)))
      fault = "a patch's value is not a number";
  }
  if (!fault)
    fault = raster_fault (b->raster, b->n_layers);
  if (!fault && !within (b->emissivity, 0, 1))
    fault = "the board's emissivity is not between 0 and 1";
  return fault;
}

static const char *
joints_fault (const HeatBody *b)
{
  if (b->n_joints && !b->joints)
    return "a body's joints are missing";
  for (size_t i = 0; i < b->n_joints; i++)
    if (!within (b->joints[i].x, -100, 100) || !within (b->joints[i].y, -100, 100))
      return "a joint's place is not a place";
  if (!within (b->joint_g_w_k, 0, 1e6) || !within (b->joint_c_j_k, 0, 1e6)
      || !within (b->joint_latent_j, 0, 1e9) || !within (b->gap_h_w_m2k, 0, 1e9)
      || !within (b->prescribed_h_w_m2k, 0, 1e9))
    return "a joint's value is negative or not a number";
  if (b->joint_latent_j > 0 && !(b->joint_c_j_k > 0))
    return "a joint that melts must hold sensible heat";
  if (b->joint_latent_j > 0
      && !(within (b->solidus_c, -200, 2000) && within (b->liquidus_c, b->solidus_c, 2000)))
    return "a joint's melting range is not a range";
  return NULL;
}

static const char *
body_fault (const HeatBody *b)
{
  if (!within (b->center.x, -100, 100) || !within (b->center.y, -100, 100) || !isfinite (b->angle_rad))
    return "a body's place is not a place";
  if (!within (b->length_m, 1e-5, 10) || (!b->round && !within (b->width_m, 1e-5, 10)))
    return "a body's size is not above zero";
  if (!within (b->standoff_m, 0, 10) || !within (b->height_m, 0, 10) || !(b->height_m > b->standoff_m))
    return "a body's height is not above its stand-off";
  if (!b->n_layers || b->n_layers > HEAT_BODY_LAYERS_MAX)
    return "a body has no layers, or too many";
  for (size_t i = 0; i < b->n_layers; i++)
    if (layer_fault (&b->layers[i]))
      return layer_fault (&b->layers[i]);
  if (!within (b->emissivity, 0, 1))
    return "a body's emissivity is not between 0 and 1";
  return joints_fault (b);
}

static const char *
table_fault (const HeatTable *t, double low, double high)
{
  if (t->n && (!t->t_s || !t->v))
    return "a table is missing";
  for (size_t i = 0; i < t->n; i++) {
    if (!within (t->t_s[i], -1e7, 1e7) || !within (t->v[i], low, high))
      return "a table's value is out of range";
    if (i && t->t_s[i] < t->t_s[i - 1])
      return "a table's times do not ascend";
  }
  return NULL;
}

static const char *
nozzle_fault (const HeatNozzle *n)
{
  if (!n->present)
    return NULL;
  if (!within (n->center.x, -100, 100) || !within (n->center.y, -100, 100) || !isfinite (n->angle_rad))
    return "the nozzle's place is not a place";
  if (!within (n->length_m, 1e-4, 10) || (!n->round && !within (n->width_m, 1e-4, 10)))
    return "the nozzle's size is not above zero";
  if (!within (n->wall_m, 0, 1) || !within (n->lag_s, 0, 1e6) || !within (n->add_k, -200, 200))
    return "the nozzle's wall or lag is negative";
  if (!within (n->prescribed_h_w_m2k, 0, 1e9) || !within (n->spill_h_w_m2k, 0, 1e6)
      || !within (n->spill_reach_m, 0, 1e3))
    return "the nozzle's film is negative";
  if (!(n->prescribed_h_w_m2k > 0) && !(positive (n->height_m) && positive (n->skirt_gap_m)))
    return "the nozzle's height or skirt gap is not above zero";
  const char *fault = table_fault (&n->set_c, -100, 1200);
  return fault ? fault : table_fault (&n->flow_m3_s, 0, 10);
}

static const char *
preheat_fault (const HeatPreheat *p)
{
  if (p->kind == HEAT_PREHEAT_NONE)
    return NULL;
  if (p->kind != HEAT_PREHEAT_AIR && p->kind != HEAT_PREHEAT_INFRARED)
    return "the preheater's kind is unknown";
  if (!within (p->center.x, -100, 100) || !within (p->center.y, -100, 100)
      || !within (p->length_m, 1e-4, 1e4) || !within (p->width_m, 1e-4, 1e4))
    return "the preheater's place or size is out of range";
  if (!(p->prescribed_h_w_m2k > 0) && !positive (p->gap_m))
    return "the preheater's gap is not above zero";
  if (!within (p->emissivity, 0, 1) || !within (p->speed_m_s, 0, 100) || !within (p->lag_s, 0, 1e6) || !within (p->add_k, -200, 200)
      || !within (p->prescribed_h_w_m2k, 0, 1e6))
    return "the preheater's emissivity, speed, lag or film is out of range";
  return table_fault (&p->set_c, -100, 1200);
}

static const char *
surroundings_fault (const HeatScene *s)
{
  const HeatRoom *r = &s->room;
  if (!within (r->air_c, -60, 800) || !within (r->prescribed_up_w_m2k, 0, 1e6)
      || !within (r->prescribed_down_w_m2k, 0, 1e6) || !within (r->prescribed_side_w_m2k, 0, 1e6))
    return "the room's temperature or a film is out of range";
  for (size_t i = 0; i < s->n_clamps; i++) {
    const char *fault = loop_fault (&s->clamps[i].area);
    if (fault)
      return fault;
    if (!within (s->clamps[i].h_w_m2k, 0, 1e9) || !within (s->clamps[i].rise_k, -300, 1200))
      return "a clamp's value is out of range";
  }
  for (size_t i = 0; i < s->n_shields; i++) {
    const char *fault = loop_fault (&s->shields[i].area);
    if (fault)
      return fault;
    if (!within (s->shields[i].share, 0, 1))
      return "a shield's share is not between 0 and 1";
  }
  return NULL;
}

static const char *
run_fault (const HeatScene *s)
{
  if (!within (s->start_c, -60, 800))
    return "the start temperature is out of range";
  if (!positive (s->end_s) || s->end_s > 1e7)
    return "the length of the job is not above zero";
  const double scales[] = { s->scale_nozzle_film, s->scale_preheat_film, s->scale_room_film,
                            s->scale_conductivity, s->scale_capacity };
  for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++)
    if (!within (scales[i], i < 3 ? 0 : 1e-6, 1e6))
      return "a scale is out of range";
  return NULL;
}

const char *
heat_scene_fault (const HeatScene *s)
{
  const char *fault = board_fault (&s->board);
  if (!fault && s->n_bodies && !s->bodies)
    fault = "the bodies are missing";
  for (size_t i = 0; i < s->n_bodies && !fault; i++)
    fault = body_fault (&s->bodies[i]);
  if (!fault && s->target != (size_t) -1 && s->target >= s->n_bodies)
    fault = "the target is not one of the bodies";
  if (!fault)
    fault = nozzle_fault (&s->nozzle);
  if (!fault)
    fault = preheat_fault (&s->preheat);
  if (!fault)
    fault = surroundings_fault (s);
  return fault ? fault : run_fault (s);
}
