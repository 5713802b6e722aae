/* Common practice as a range check (no source): a 25 mm, 289-ball tin-lead array on an ordinary four-layer
 * board, warm-air preheater at 150 C from the start, gas at 240 C through a matched nozzle 3 mm above the
 * part for the last 90 s of 210 s. Practice has the site at 120-130 C after preheating and every joint liquid
 * by the end. The computed physics does not get there with these inputs, and docs/physics.md says why and
 * what decides; nothing is tuned to it. Asserted here: what does hold, which way and how far each uncertain
 * input moves the outcome, and which settings do melt every joint.
 *
 * Board 150 x 120 x 1.6 mm, copper 35 um at 0.3, 0.9, 0.9, 0.3 (in-plane 20.5 W/mK), FR-4 1850 kg/m3, 1100
 * J/kgK hot (handbooks), through 0.33. Part: 0.56 mm substrate, 1.17 mm mould, outline of MS-034, 2.85
 * kJ/m2K with its balls as published composition sheets of such packages add up to; balls 0.75 mm, necks
 * of 0.6 mm over 0.5 mm, Sn63Pb37 183 C, 8.4 g/cm3, 176 J/kgK, 46 J/g. Nozzle 27 x 27 mm, 30 L/min, skirt
 * 1 mm above the board; warm air over 130 x 100 mm, 20 mm below, 1.5 m/s (invented bench). */
#include "heat/films.h"
#include "heat/solve.h"

#include <glib.h>
#include <math.h>

enum { ROW = 17, BALLS = ROW * ROW };

typedef struct {
  HeatXY outline[4], balls[BALLS];
  HeatLoop edge;
  HeatBody part;
  double gas_t[1], gas_v[1], flow_t[4], flow_v[4], pre_t[1], pre_v[1];
  HeatScene scene;
} Job;

/* Five layers: copper of an outer or an inner plane in 0.2 mm each, a bare core between. */
static const HeatLayer stack[] = {
  { 0.2e-3, 20.5, 0.33, 2.10e6 }, { 0.2e-3, 61, 0.36, 2.26e6 }, { 0.8e-3, 0.8, 0.30, 2.04e6 },
  { 0.2e-3, 61, 0.36, 2.26e6 },   { 0.2e-3, 20.5, 0.33, 2.10e6 },
};

static void
job_part (Job *job)
{
  const double ball_kg = 8400 * G_PI / 6 * pow (0.75e-3, 3), neck_m2 = G_PI / 4 * pow (0.6e-3, 2);
  job->part = (HeatBody){
    .meshed = true, .center = { 0.075, 0.060 }, .length_m = 0.025, .width_m = 0.025, .standoff_m = 0.5e-3,
    .height_m = 2.23e-3, .layers = { { 0.56e-3, 9.1, 0.58, 1.9e6 }, { 1.17e-3, 0.9, 0.9, 1.4e6 } }, .n_layers = 2,
    .emissivity = 0.9, .joints = job->balls, .n_joints = BALLS, .joint_g_w_k = 50 * neck_m2 / 0.5e-3,
    .joint_c_j_k = 176 * ball_kg, .joint_latent_j = 46e3 * ball_kg, .solidus_c = 183, .liquidus_c = 183,
    .gap_h_w_m2k = 0.035 / 0.5e-3,
  };
  for (int i = 0; i < BALLS; i++)
    job->balls[i] = (HeatXY){ 0.075 + (i % ROW - 8) * 1.27e-3, 0.060 + (i / ROW - 8) * 1.27e-3 };
}

static void
job_profile (Job *job, double flow_m3_s)
{
  job->gas_t[0] = 120, job->gas_v[0] = 240;
  job->pre_t[0] = 0, job->pre_v[0] = 150;
  for (int i = 0; i < 4; i++) {
    job->flow_t[i] = (double[]){ 0, 120, 120, 210 }[i];
    job->flow_v[i] = i < 2 ? 0 : flow_m3_s;
  }
}

static Job *
job_new (void)
{
  Job *job = g_new0 (Job, 1);
  const HeatXY corners[] = { { 0, 0 }, { 0.15, 0 }, { 0.15, 0.12 }, { 0, 0.12 } };
  for (int i = 0; i < 4; i++)
    job->outline[i] = corners[i];
  job->edge = (HeatLoop){ job->outline, 4 };
  job_part (job);
  job_profile (job, 0.5e-3);
  job->scene = (HeatScene){
    .board = { .loops = &job->edge, .n_loops = 1, .layers = stack, .n_layers = G_N_ELEMENTS (stack), .emissivity = 0.9 },
    .bodies = &job->part, .n_bodies = 1, .target = 0,
    .nozzle = { .present = true, .center = job->part.center, .length_m = 0.027, .width_m = 0.027, .wall_m = 1e-3,
                .height_m = 3e-3, .skirt_gap_m = 1e-3, .set_c = { job->gas_t, job->gas_v, 1 },
                .flow_m3_s = { job->flow_t, job->flow_v, 4 } },
    .preheat = { .kind = HEAT_PREHEAT_AIR, .center = job->part.center, .length_m = 0.13, .width_m = 0.10,
                 .gap_m = 0.02, .emissivity = 0.9, .speed_m_s = 1.5, .set_c = { job->pre_t, job->pre_v, 1 } },
    .room = { .air_c = 25 }, .start_c = 25, .end_s = 210, .scale_nozzle_film = 1, .scale_preheat_film = 1,
    .scale_room_film = 1, .scale_conductivity = 1, .scale_capacity = 1,
  };
  return job;
}

typedef struct {
  double site_120, coldest, hottest, body, liquid, liquid_s, ramp, top_ramp, far_120, far_210;
  HeatFilmReport films;
} Outcome;

static gsize
index_at (const HeatResult *r, double t_s)
{
  gsize i = 0;
  while (i + 1 < r->n_times && r->t_s[i + 1] <= t_s + 1e-9)
    i++;
  return i;
}

/* Steepest rise over 5 s windows, K/s. */
static double
steepest (const HeatResult *r, const double *v)
{
  double most = 0;
  for (gsize i = 0; i < r->n_times; i++) {
    gsize j = index_at (r, r->t_s[i] + 5);
    if (r->t_s[j] - r->t_s[i] > 4.9)
      most = fmax (most, (v[j] - v[i]) / (r->t_s[j] - r->t_s[i]));
  }
  return most;
}

/* Top of the board 45 mm beside the part's centre, inside the preheated area. */
static double
away_from_site (const HeatResult *r, double t_s)
{
  gsize f = 0, ix = 0, iy = 0;
  while (f + 1 < r->n_frames && r->frames[f + 1].t_s <= t_s + 1e-6)
    f++;
  while (r->x_edges[ix + 1] < 0.120)
    ix++;
  while (r->y_edges[iy + 1] < 0.060)
    iy++;
  return r->frames[f].top[iy * r->nx + ix];
}

static Outcome
outcome_of (const Job *job)
{
  HeatSolver *solver = NULL;
  HeatResult *r = NULL;
  g_assert_cmpint (heat_solver_new (&job->scene, NULL, &solver), ==, HEAT_OK);
  g_assert_cmpint (heat_solver_run (solver, &r), ==, HEAT_OK);
  const HeatTrace *t = &r->bodies[0];
  gsize last = r->n_times - 1;
  Outcome o = { t->joint_center[index_at (r, 120)], t->joint_min[last], t->joint_max[last], t->body_max[last],
                t->liquid_share[last], INFINITY, steepest (r, t->joint_max), steepest (r, t->body_top),
                away_from_site (r, 120), away_from_site (r, 210), r->films };
  for (gsize i = last + 1; i-- > 0 && t->liquid_share[i] > 0.999;)
    o.liquid_s = r->t_s[i];
  heat_result_free (r);
  heat_solver_free (solver);
  return o;
}

static void
tell (const char *what, const Outcome *o)
{
  g_test_message ("%-30s site at 120 s %5.1f | at 210 s joints %5.1f .. %5.1f, body %5.1f, liquid %3.0f %%", what,
                  o->site_120, o->coldest, o->hottest, o->body, 100 * o->liquid);
  g_test_message ("  all liquid at %.1f s, ramp of joints %.2f, of body top %.2f K/s, 45 mm away %.1f and %.1f at 120 and "
                  "210 s, films: nozzle %.1f (%.1f after the stream), spill %.1f, bath %.1f, room up %.1f W/m2K",
                  o->liquid_s, o->ramp, o->top_ramp, o->far_120, o->far_210, o->films.nozzle_h_w_m2k,
                  o->films.nozzle_h_eff_w_m2k, o->films.spill_h_w_m2k, o->films.preheat_h_w_m2k,
                  o->films.room_up_h_w_m2k);
}

static Outcome
run (const char *what, const Job *job)
{
  Outcome o = outcome_of (job);
  tell (what, &o);
  return o;
}

/* Holds: joints within 4 K/s, the board beside the site at the site's preheat level and below the bath's
 * temperature to the end, films where such films lie. Does not hold: 120-130 C, liquid joints. */
static void
test_nominal (void)
{
  g_autofree Job *job = job_new ();
  Outcome o = run ("nominal", job);
  g_assert_cmpfloat (o.ramp, <, 4);
  g_assert_cmpfloat (fabs (o.far_120 - o.site_120), <, 5);
  g_assert_cmpfloat (o.far_210, <, 150);
  g_assert_cmpfloat (o.films.nozzle_h_w_m2k, >, 50);
  g_assert_cmpfloat (o.films.nozzle_h_w_m2k, <, 130);
  g_assert_cmpfloat (o.films.preheat_h_w_m2k, >, 10);
  g_assert_cmpfloat (o.films.preheat_h_w_m2k, <, 60);
  g_assert_false (o.films.nozzle_in_range);
}

/* The coldest joint at the end must move by at least LEAST K (negative: down) from its nominal value. */
static void
vary (const char *what, double *input, double value, const Job *job, double nominal_c, double least)
{
  double before = *input;
  *input = value;
  Outcome o = run (what, job);
  *input = before;
  if (least > 0)
    g_assert_cmpfloat (o.coldest - nominal_c, >, least);
  else
    g_assert_cmpfloat (o.coldest - nominal_c, <, least);
}

static void
test_one_at_a_time (void)
{
  g_autofree Job *job = job_new ();
  HeatScene *s = &job->scene;
  double nominal = outcome_of (job).coldest;
  vary ("nozzle and spill films x 1.4", &s->scale_nozzle_film, 1.4, job, nominal, 5);
  vary ("nozzle and spill films x 0.6", &s->scale_nozzle_film, 0.6, job, nominal, -8);
  vary ("gas 250 C", &job->gas_v[0], 250, job, nominal, 3);
  vary ("conductivity x 0.4", &s->scale_conductivity, 0.4, job, nominal, 8);
  vary ("bath film x 2", &s->scale_preheat_film, 2, job, nominal, 4);
  vary ("air above the board 60 C", &s->room.air_c, 60, job, nominal, 2);
  vary ("heat capacity x 0.85", &s->scale_capacity, 0.85, job, nominal, 1);
}

/* Hotter gas, or everything uncertain at the end that favours melting, gets there. */
static void
test_what_melts (void)
{
  g_autofree Job *job = job_new ();
  job->gas_v[0] = 320;
  Outcome o = run ("gas 320 C, else nominal", job);
  g_assert_cmpfloat (o.liquid, >, 0.999);
  g_assert_cmpfloat (o.liquid_s, <, 210);
  job->gas_v[0] = 240;
  job->scene.scale_nozzle_film = 1.4;
  job->scene.scale_preheat_film = 2;
  job->scene.scale_conductivity = 0.4;
  job->scene.room.air_c = 60;
  o = run ("240 C, all doubts favourable", job);
  g_assert_cmpfloat (o.coldest, >, 180);
  g_assert_cmpfloat (o.liquid, >, 0.5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/practice/nominal", test_nominal);
  g_test_add_func ("/practice/one-at-a-time", test_one_at_a_time);
  g_test_add_func ("/practice/what-melts", test_what_melts);
  return g_test_run ();
}
