#include "plan/same-case.h"

#include <string.h>

/* Member by member: padding says nothing, and pointers are of two memories. */
#define SAME(member) (a->member == b->member)

static gboolean
same_points (const HeatXY *a, size_t n, const HeatXY *b, size_t m)
{
  return n == m && (n == 0 || memcmp (a, b, n * sizeof *a) == 0);
}

static gboolean
same_loop (const HeatLoop *a, const HeatLoop *b)
{
  return same_points (a->xy, a->n, b->xy, b->n);
}

static gboolean
same_layers (const HeatLayer *a, const HeatLayer *b, size_t n)
{
  return n == 0 || memcmp (a, b, n * sizeof *a) == 0; /* doubles throughout */
}

static gboolean
same_board (const HeatBoard *a, const HeatBoard *b)
{
  if (!SAME (n_loops) || !SAME (n_layers) || !SAME (n_patches) || !SAME (emissivity)
      || !same_layers (a->layers, b->layers, a->n_layers))
    return FALSE;
  for (size_t i = 0; i < a->n_loops; i++)
    if (!same_loop (&a->loops[i], &b->loops[i]))
      return FALSE;
  for (size_t i = 0; i < a->n_patches; i++) {
    const HeatPatch *p = &a->patches[i], *q = &b->patches[i];
    if (!same_loop (&p->area, &q->area) || p->layer != q->layer || p->add_k_in_w_mk != q->add_k_in_w_mk
        || p->add_k_thr_w_mk != q->add_k_thr_w_mk || p->add_rho_c_j_m3k != q->add_rho_c_j_m3k)
      return FALSE;
  }
  return TRUE;
}

static gboolean
same_place (const HeatBody *a, const HeatBody *b)
{
  return SAME (below) && SAME (meshed) && SAME (round) && SAME (center.x) && SAME (center.y)
         && SAME (angle_rad) && SAME (length_m) && SAME (width_m) && SAME (standoff_m) && SAME (height_m);
}

static gboolean
same_body (const HeatBody *a, const HeatBody *b)
{
  return same_place (a, b) && SAME (n_layers) && same_layers (a->layers, b->layers, a->n_layers)
         && SAME (emissivity) && same_points (a->joints, a->n_joints, b->joints, b->n_joints)
         && SAME (joint_g_w_k) && SAME (lead_g_w_k) && SAME (joint_c_j_k) && SAME (joint_latent_j)
         && SAME (solidus_c) && SAME (liquidus_c) && SAME (gap_h_w_m2k) && SAME (prescribed_h_w_m2k);
}

static gboolean
same_names (const LwCase *a, const LwCase *b)
{
  for (guint i = 0; i < a->n_bodies; i++) {
    const LwCaseBody *p = &a->body_of[i], *q = &b->body_of[i];
    if (p->part != q->part || p->side != q->side || p->height_known != q->height_known
        || g_strcmp0 (((const LwPart *) g_ptr_array_index (a->job->parts, p->part))->ref,
                      ((const LwPart *) g_ptr_array_index (b->job->parts, q->part))->ref)
               != 0)
      return FALSE;
  }
  return TRUE;
}

static gboolean
same_nozzle (const HeatNozzle *a, const HeatNozzle *b)
{
  if (!b->present) /* blows nothing: a flow of 0 */
    return TRUE;
  return SAME (present) && SAME (round) && SAME (center.x) && SAME (center.y) && SAME (angle_rad)
         && SAME (length_m) && SAME (width_m) && SAME (wall_m) && SAME (height_m) && SAME (skirt_gap_m)
         && SAME (lag_s) && SAME (add_k) && SAME (prescribed_h_w_m2k) && SAME (spill_h_w_m2k) && SAME (spill_reach_m);
}

static gboolean
same_preheat (const HeatPreheat *a, const HeatPreheat *b)
{
  return SAME (kind) && SAME (center.x) && SAME (center.y) && SAME (length_m) && SAME (width_m)
         && SAME (gap_m) && SAME (emissivity) && SAME (speed_m_s) && SAME (lag_s) && SAME (add_k)
         && SAME (prescribed_h_w_m2k);
}

static gboolean
same_room (const HeatRoom *a, const HeatRoom *b)
{
  return SAME (prescribed) && SAME (prescribed_up_w_m2k) && SAME (prescribed_down_w_m2k)
         && SAME (prescribed_side_w_m2k);
}

static gboolean
same_surroundings (const HeatScene *a, const HeatScene *b)
{
  if (!SAME (n_clamps) || !SAME (n_shields) || !same_room (&a->room, &b->room))
    return FALSE;
  for (size_t i = 0; i < a->n_clamps; i++)
    if (!same_loop (&a->clamps[i].area, &b->clamps[i].area) || !SAME (clamps[i].h_w_m2k)
        || !SAME (clamps[i].rise_k))
      return FALSE;
  for (size_t i = 0; i < a->n_shields; i++)
    if (!same_loop (&a->shields[i].area, &b->shields[i].area) || !SAME (shields[i].share))
      return FALSE;
  return TRUE;
}

static gboolean
same_scales (const HeatScene *a, const HeatScene *b)
{
  return SAME (scale_nozzle_film) && SAME (scale_preheat_film) && SAME (scale_room_film)
         && SAME (scale_conductivity) && SAME (scale_capacity) && SAME (scale_spill);
}

gboolean
lw_case_same (const LwCase *a, const LwCase *b)
{
  const HeatScene *p = &a->scene, *q = &b->scene;

  if (!SAME (flipped) || !SAME (n_bodies) || !SAME (box.x0_mm) || !SAME (box.y0_mm)
      || p->target != q->target || !same_scales (p, q) || !same_names (a, b))
    return FALSE;
  for (guint i = 0; i < a->n_bodies; i++)
    if (!same_body (&p->bodies[i], &q->bodies[i]))
      return FALSE;
  return same_board (&p->board, &q->board) && same_nozzle (&p->nozzle, &q->nozzle)
         && same_preheat (&p->preheat, &q->preheat) && same_surroundings (p, q);
}
