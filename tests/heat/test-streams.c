/* Films of gas in motion near a part: nozzle, spill, warm-air bath. */
#include "heat/environment.h"

#include <glib.h>
#include <math.h>

#include "plain-scene.h"

#define assert_near(value, expected, tolerance) g_assert_cmpfloat_with_epsilon (value, expected, tolerance)
#define assert_share(value, expected, share)                                                           \
  g_assert_cmpfloat_with_epsilon ((value) / (expected), 1.0, share)

/* Exact similarity solution, solved with SciPy's solve_bvp (tolerance 1e-7, Pr 0.70); the reference suite
 * repeats that. Laminar stagnation film for large R: Sibulkin 1952. */
static void
test_gap (void)
{
  static const double rows[][2] = { { 0.01, 1.00105 }, { 1, 1.10745 },  { 3, 1.33300 },   { 10, 2.10634 },
                                    { 30, 3.63832 },   { 90, 6.30725 }, { 300, 11.52007 }, { 3000, 36.43995 } };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_share (heat_gap_nusselt (rows[i][0], 0.70), rows[i][1], 0.04);
  g_assert_cmpfloat (heat_gap_nusselt (0, 0.7), ==, 1);
}

/* Inside the published range the nozzle is Martin's, whatever its shape, on the hydraulic diameter. */
static void
test_nozzle_in_range (void)
{
  HeatNozzleFilm film = heat_nozzle_film (true, 0.01, 0, 0.04, 1.2e-3, 300, 0.03);
  HeatAir air = heat_air (300);
  bool in_range = false;
  double nu = heat_jet_round (film.reynolds, air.pr, 4, 3, &in_range);
  g_assert_true (in_range && film.in_range);
  assert_share (film.reynolds, 4 * 1.2e-3 * 1.2041 / (G_PI * 0.01 * air.rho * air.nu), 1e-12);
  assert_share (film.h_w_m2k, nu * air.k / 0.01, 1e-12);
  HeatNozzleFilm box = heat_nozzle_film (false, 0.015, 0.0075, 0.04, 1.2e-3, 300, 0.03);
  assert_near (box.height_ratio, 4, 1e-12); /* hydraulic diameter 10 mm */
  g_assert_true (box.in_range);
}

/* A matched box, 27 x 27 mm, 3 mm above its part: the film of the gap, flagged. */
static void
test_nozzle_matched_box (void)
{
  HeatNozzleFilm film = heat_nozzle_film (false, 0.027, 0.027, 0.003, 0.5e-3, 240, 0.0135);
  HeatAir air = heat_air (240);
  g_assert_false (film.in_range);
  g_assert_cmpfloat (film.reynolds, >, 300);
  g_assert_cmpfloat (film.reynolds, <, 2000);
  assert_share (film.h_w_m2k, heat_gap_nusselt (film.speed_m_s * 0.003 / air.nu, air.pr) * air.k / 0.003, 1e-9);
  /* The stagnation film at the gap's strain, written out. */
  assert_share (film.h_w_m2k, 0.763 * pow (air.pr, 0.4) * air.k * sqrt (film.speed_m_s / 0.003 / air.nu), 0.01);
  g_test_message ("h %.1f W/m2K, Re %.0f, H/D %.3f", film.h_w_m2k, film.reynolds, film.height_ratio);
}

/* Monotonous in flow, no jump in height, radius or flow, nothing without flow. */
static void
test_nozzle_smooth (void)
{
  double before = 0;
  for (double flow = 0; flow < 3e-3; flow += 2e-5) {
    double h = heat_nozzle_film (false, 0.027, 0.025, 0.003, flow, 300, 0.014).h_w_m2k;
    if (flow > 0)
      g_assert_cmpfloat (h, >, before);
    else
      g_assert_cmpfloat (h, ==, 0);
    before = h;
  }
  for (double height = 0.002; height < 0.2; height *= 1.02) {
    double h = heat_nozzle_film (true, 0.01, 0, height, 1e-3, 300, 0.012).h_w_m2k;
    double next = heat_nozzle_film (true, 0.01, 0, height * 1.02, 1e-3, 300, 0.012).h_w_m2k;
    assert_share (next, h, 0.025);
  }
  for (double radius = 0.002; radius < 0.1; radius *= 1.02) {
    double h = heat_nozzle_film (true, 0.01, 0, 0.02, 1e-3, 300, radius).h_w_m2k;
    double next = heat_nozzle_film (true, 0.01, 0, 0.02, 1e-3, 300, radius * 1.02).h_w_m2k;
    assert_share (next, h, 0.03);
  }
}

/* Decay laws of the plane wall jet far from the gap (Rajaratnam 1976): near a very long gap the speed,
 * and with it the film to a small power, falls with the root of the distance. */
static void
test_spill_decay (void)
{
  const double gap = 0.001, perimeter = 1e4, mass = 1e4 * 5e-3;
  HeatSpill near = heat_spill (perimeter, gap, mass, 25, 25, 0.1);
  HeatSpill far = heat_spill (perimeter, gap, mass, 25, 25, 0.4);
  assert_share (near.excess_share / far.excess_share, 2, 0.1);
  /* h ~ speed * (speed * distance)^-0.182 ~ distance^(-0.5 - 0.091). */
  assert_share (near.h_w_m2k / far.h_w_m2k, pow (4, 0.591), 0.06);
}

/* The warm jet's heat flow is that of the gap at any distance: with the far laws written out. */
static void
test_spill_energy (void)
{
  const double gap = 0.001, x = 0.3, perimeter = 1e5, speed0 = 5, rho = heat_air (200).rho;
  double excess = heat_spill (perimeter, gap, speed0 * rho * perimeter * gap, 200, 199.99, x).excess_share;
  double speed = speed0 * 3.5 * sqrt (gap / x), half_width = 0.068 * x;
  /* Integral of the speed profile 1.48 n^1/7 erfc (0.68 n) times exp (-ln 2 n^2). */
  double integral = 0;
  for (int i = 0; i < 4000; i++) {
    double n = (i + 0.5) * 1e-3;
    integral += 1.48 * pow (n, 1.0 / 7) * erfc (0.68 * n) * exp (-G_LN2 * n * n) * 1e-3;
  }
  assert_share (speed * half_width * integral * excess, speed0 * gap, 0.05);
}

/* The film's size, against what the program does not use: friction of the plane wall jet by A. Sigalla, J. Roy. Aero. Soc. 62
 * (1958) 873, cf = 0.0565 Re_m^-1/4 (from memory), made a film by the Chilton-Colburn analogy, St Pr^2/3 = cf / 2 (Bergman
 * et al., Fundamentals of Heat and Mass Transfer, 7th ed., eq. 6.70), with air of that book's table A.4 at 300 K: density
 * 1.1614 kg/m3, heat 1007 J/kgK, viscosity 15.89e-6 m2/s, Pr 0.707. Largest speed and half width as above, its height
 * 0.16 of that. Bradshaw and Gee's law differs from Sigalla's by some 5 % over these Reynolds numbers. */
static void
test_spill_size (void)
{
  const double gap = 0.001, perimeter = 1e5, x = 1;
  for (double speed0 = 40; speed0 < 400; speed0 *= 2) { /* Re_m 3,000 to 30,000 */
    double speed = speed0 * 3.5 * sqrt (gap / x), re = speed * 0.16 * 0.068 * x / 15.89e-6;
    double stanton = 0.5 * 0.0565 * pow (re, -0.25) / pow (0.707, 2.0 / 3);
    double h = 1.1614 * 1007 * speed * stanton;
    double mass = speed0 * 1.1614 * perimeter * gap;
    assert_share (heat_spill (perimeter, gap, mass, 26.85, 26.85, x).h_w_m2k, h, 0.1);
  }
}

/* Gas of 300 C over a plate of 200 C in a room of 25 C: it leaves at what a single stream over a surface of one temperature
 * does, T = Ts + (Tin - Ts) exp (-NTU), NTU = h A / (m cp) (Bergman et al., 7th ed., eq. 11.35a), and the plate gets what
 * the gas has lost. 20 L/min of 20 C and 1 atm, 1.204 kg/m3; heat of air at 573 K 1045 J/kgK (the same, table A.4). */
static void
test_gas_leaves_by_the_surface (void)
{
  Plain p;
  const double plate = 200, gas = 300, side = 0.03, mc = 20e-3 / 60 * 1.204 * 1045;
  HeatOptions o = { .cell_m = 1e-3, .coarse_m = 1e-3, .step_s = 0.1 };

  plain_board (&p, 0, side, 0, side, 3, (HeatLayer){ 5e-3, 400, 400, 4e7 });
  plain_nozzle (&p, (HeatXY){ side / 2, side / 2 }, side, side, false, 0, gas);
  p.flow_v[0] = 20e-3 / 60;
  p.scene.nozzle.height_m = 3e-3;
  p.scene.nozzle.skirt_gap_m = 1e-3;
  p.scene.start_c = plate;
  p.scene.room.air_c = 25;
  HeatResult *r = plain_solve (&p.scene, &o);
  const HeatFilmReport *f = &r->films;
  double ntu = f->nozzle_h_w_m2k * side * side / mc;
  double out = plate + (gas - plate) * exp (-ntu);
  g_assert_cmpfloat (gas - out, >, 3);
  g_assert_cmpfloat_with_epsilon (f->gas_out_c, out, 0.05 * (gas - out));
  assert_share (r->energy.in_nozzle, mc * (gas - out) * p.scene.end_s, 0.05);
  heat_result_free (r);
}

static void
test_spill_bounds (void)
{
  double h = INFINITY, excess = 1;
  for (double x = 0; x < 0.3; x += 0.001) {
    HeatSpill spill = heat_spill (0.112, 0.001, 0.6e-3, 240, 25, x);
    g_assert_cmpfloat (spill.h_w_m2k, <, h);
    g_assert_cmpfloat (spill.h_w_m2k, >, 0);
    g_assert_cmpfloat (spill.excess_share, <=, excess);
    h = spill.h_w_m2k;
    excess = spill.excess_share;
  }
  assert_near (heat_spill (0.112, 0.001, 0.6e-3, 240, 25, 0).excess_share, 1, 1e-12);
  g_assert_cmpfloat (heat_spill (0.112, 0.001, 0, 240, 25, 0.01).h_w_m2k, ==, 0);
  g_assert_cmpfloat (excess, <, 0.1); /* 30 cm away little is left */
}

/* Plausible range of warm-air baths: 8 to 40 W/m2K (common practice, no source). */
static void
test_bath (void)
{
  bool in_range = false;
  for (double speed = 0.2; speed <= 1.5; speed += 0.1) {
    double h = heat_preheat_air_film (speed, 0.2, 0.03, 150, &in_range);
    g_assert_true (in_range);
    g_assert_cmpfloat (h, >, 8);
    g_assert_cmpfloat (h, <, 40);
  }
  g_assert_cmpfloat (heat_preheat_air_film (0, 0.2, 0.03, 150, &in_range), ==, 0);
  g_assert_false (in_range);
  heat_preheat_air_film (30, 0.2, 0.03, 150, &in_range);
  g_assert_false (in_range);
  /* A narrow area far away acts as a jet of its own width. */
  g_assert_cmpfloat (heat_preheat_air_film (1, 0.02, 0.2, 150, NULL), ==, heat_preheat_air_film (1, 0.02, 0.02, 150, NULL));
}

static double
bath_film (double speed_m_s, double below_c, double air_c)
{
  const double start[] = { 0 };
  HeatScene scene = { .scale_preheat_film = 1 };
  HeatSeen seen = { .below_c = below_c };
  HeatEnvironment env;
  scene.preheat = (HeatPreheat){ .kind = HEAT_PREHEAT_AIR, .length_m = 0.13, .width_m = 0.1, .gap_m = 0.02,
                                 .speed_m_s = speed_m_s, .set_c = { start, &air_c, 1 } };
  heat_environment_at (&scene, &seen, 10, HEAT_AFTER, &env);
  return env.pre_h;
}

/* Still air under a plate of 130 x 100 mm, area over perimeter 28.26 mm, mean of plate and air 350 K (Incropera Table A.4: nu
 * 20.92e-6, alpha 29.9e-6, k 0.0300), 146.3 K apart: Ra 1.479e5. A cold face over warm air is one of McAdams' lively ones, Nu
 * 0.54 Ra^1/4, 11.24 W/m2K; a warm one over cold air is not, 0.27 Ra^1/4, 5.62. Forced and free: third powers add (Bergman et
 * al., section 9.9). */
static void
test_bath_free (void)
{
  double still = bath_film (0, 3.7, 150), forced = heat_preheat_air_film (0.5, 0.1, 0.02, 150, NULL);
  assert_share (still, 11.242, 5e-3);
  assert_share (bath_film (0, 150, 3.7), 5.621, 5e-3);
  assert_share (pow (bath_film (0.5, 3.7, 150), 3), pow (still, 3) + pow (forced, 3), 1e-9);
}

/* What the bath's film depends on is the board's warmth over the bath, not beside it. */
static void
test_bath_below (void)
{
  double area[] = { 2, 2, 1 }, ts[] = { 50, 10, 80 }, at = 0, air = 150;
  float over[] = { 1, 0, 1 };
  HeatFaceClass down = { .kind = HEAT_FACE_DOWN, .from = 0, .to = 3 };
  HeatFaces faces = { .n = 3, .n_classes = 1, .classes = &down, .area = area, .ts = ts, .pre_area = over };
  HeatScene scene = { .preheat = { .kind = HEAT_PREHEAT_AIR, .set_c = { &at, &air, 1 } } };
  assert_near (heat_faces_seen (&scene, &faces, 0).below_c, 60, 1e-12);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/streams/gap", test_gap);
  g_test_add_func ("/streams/nozzle/in-range", test_nozzle_in_range);
  g_test_add_func ("/streams/nozzle/matched-box", test_nozzle_matched_box);
  g_test_add_func ("/streams/nozzle/smooth", test_nozzle_smooth);
  g_test_add_func ("/streams/spill/decay", test_spill_decay);
  g_test_add_func ("/streams/spill/energy", test_spill_energy);
  g_test_add_func ("/streams/spill/size", test_spill_size);
  g_test_add_func ("/streams/spill/bounds", test_spill_bounds);
  g_test_add_func ("/streams/gas-leaves-by-the-surface", test_gas_leaves_by_the_surface);
  g_test_add_func ("/streams/bath", test_bath);
  g_test_add_func ("/streams/bath-free", test_bath_free);
  g_test_add_func ("/streams/bath-below", test_bath_below);
  return g_test_run ();
}
