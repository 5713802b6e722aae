/* Films against published formulas and tables. Where no other source is named, the expected figure was
 * computed independently from the published formula, and its formula is named at the table. */
#include "heat/films.h"

#include <glib.h>
#include <math.h>

#define assert_near(value, expected, tolerance) g_assert_cmpfloat_with_epsilon (value, expected, tolerance)
#define assert_share(value, expected, share)                                                           \
  g_assert_cmpfloat_with_epsilon ((value) / (expected), 1.0, share)

/* Incropera Table A.4, straight lines over K between its knots; the expected figures are rounded. */
static void
test_air_table (void)
{
  static const double rows[][8] = {
    { 25, 1.170, 1007, 183.7, 15.73, 26.15, 22.26, 0.708 },  { 50, 1.084, 1008, 195.5, 18.22, 28.01, 25.93, 0.704 },
    { 100, 0.938, 1011, 218.3, 23.46, 31.76, 33.79, 0.695 }, { 150, 0.826, 1017, 239.6, 29.18, 35.42, 42.42, 0.688 },
    { 200, 0.738, 1025, 259.7, 35.35, 38.87, 51.60, 0.685 }, { 250, 0.667, 1035, 278.6, 41.93, 42.18, 61.33, 0.684 },
    { 300, 0.609, 1045, 296.5, 48.87, 45.29, 71.42, 0.684 }, { 350, 0.560, 1057, 313.5, 56.17, 48.20, 81.72, 0.687 },
    { 400, 0.518, 1069, 330.0, 63.86, 50.95, 92.25, 0.692 },
  };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++) {
    HeatAir air = heat_air (rows[i][0]);
    assert_near (air.rho, rows[i][1], 0.00051);
    assert_near (air.cp, rows[i][2], 0.51);
    assert_near (air.mu * 1e7, rows[i][3], 0.051);
    assert_near (air.nu * 1e6, rows[i][4], 0.0051);
    assert_near (air.k * 1e3, rows[i][5], 0.0051);
    assert_near (air.alpha * 1e6, rows[i][6], 0.0051);
    assert_near (air.pr, rows[i][7], 0.001); /* the knots themselves are to 0.001 */
  }
}

/* Sutherland's law for dry air (mu0 1.716e-5 Pa s, S 110.4 K; k0 0.0241 W/mK, S 194 K at 273.15 K) and the
 * ideal gas (287.05 J/kgK; a chord lies above the hyperbola). */
static void
test_air_sutherland (void)
{
  for (double c = -40; c <= 400; c += 20) {
    double t = c + 273.15, ratio = pow (t / 273.15, 1.5);
    HeatAir air = heat_air (c);
    assert_share (air.mu, 1.716e-5 * ratio * 383.55 / (t + 110.4), 0.016);
    assert_share (air.k, 0.0241 * ratio * 467.15 / (t + 194), 0.016);
    assert_share (air.rho, 1e5 / (287.05 * t), 0.016);
    assert_share (air.nu, air.mu / air.rho, 0.02);
  }
}

static void
test_air_clamped (void)
{
  g_assert_cmpfloat (heat_air (-300).k, ==, heat_air (-50).k);
  g_assert_cmpfloat (heat_air (5000).k, ==, heat_air (800).k);
  g_assert_cmpfloat (heat_air (800).k, >, heat_air (799).k);
}

/* Martin 1977. */
static const struct {
  double re, pr, h_over_d, r_over_d, nu;
} jets[] = {
  { 10000, 0.7, 6, 5, 35.960 },
  { 10000, 0.7, 2, 2.5, 61.470 },
  { 23000, 0.7, 2, 5, 66.457 },
  { 5000, 0.69, 4, 3, 33.982 },
};

static void
test_jets (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (jets); i++) {
    bool in_range = false;
    double nu = heat_jet_round (jets[i].re, jets[i].pr, jets[i].h_over_d, jets[i].r_over_d, &in_range);
    assert_share (nu, jets[i].nu, 5e-5);
    g_assert_true (in_range);
  }
}

/* 10 mm disc, D 2 mm, 20 m/s, 10 mm away, nu 18.2e-6, k 0.0281, Pr 0.704: the kind of problem set in
 * Incropera, section 7.7. */
static void
test_jet_worked (void)
{
  double re = 20 * 0.002 / 18.2e-6;
  bool in_range = false;
  double nu = heat_jet_round (re, 0.704, 5, 2.5, &in_range);
  double h = nu * 0.0281 / 0.002;
  g_assert_true (in_range);
  assert_near (re, 2197.8, 0.05);
  assert_near (nu, 21.890, 0.001);
  assert_near (h, 307.6, 0.05);
  assert_near (h * G_PI / 4 * 0.01 * 0.01 * 70, 1.691, 0.001);
}

static void
assert_moved (const double given[3], const double nearest[3])
{
  bool in_range = true;
  double nu = heat_jet_round (given[0], 0.7, given[1], given[2], &in_range);
  g_assert_false (in_range);
  double at_nearest = heat_jet_round (nearest[0], 0.7, nearest[1], nearest[2], &in_range);
  g_assert_true (in_range);
  g_assert_cmpfloat (nu, ==, at_nearest);
  g_assert_cmpfloat (heat_jet_round (given[0], 0.7, given[1], given[2], NULL), ==, nu);
}

/* Every end of every published range. */
static void
test_jets_out_of_range (void)
{
  assert_moved ((double[]){ 10000, 1, 2.5 }, (double[]){ 10000, 2, 2.5 });
  assert_moved ((double[]){ 300, 13, 1 }, (double[]){ 2000, 12, 2.5 });
  assert_moved ((double[]){ 5e5, 6, 9 }, (double[]){ 4e5, 6, 7.5 });
}

/* Free convection: McAdams; Churchill and Chu; the worked figures of the open library "ht". */
static void
test_free_numbers (void)
{
  bool in_range = false;
  assert_share (heat_free_vertical_laminar (1e6, 0.7), 16.916, 5e-5);
  assert_share (heat_free_up (5.54 * 3.21e8, &in_range), 181.7312, 1e-6);
  g_assert_true (in_range);
  assert_share (heat_free_down (5.54 * 3.21e8, &in_range), 55.4456, 1e-6);
  g_assert_true (in_range);
  assert_share (heat_free_up (1e6, NULL), 17.0763, 5e-6);
  assert_share (heat_free_down (1e6, NULL), 8.5381, 1e-5);
  assert_share (heat_free_up (1e8, NULL), 69.6238, 5e-6);
}

static void
test_free_out_of_range (void)
{
  bool in_range = true;
  g_assert_cmpfloat (heat_free_up (10, &in_range), ==, heat_free_up (1e4, NULL));
  g_assert_false (in_range);
  in_range = true;
  g_assert_cmpfloat (heat_free_up (1e13, &in_range), ==, heat_free_up (1e11, NULL));
  g_assert_false (in_range);
  in_range = true;
  g_assert_cmpfloat (heat_free_down (1e4, &in_range), ==, heat_free_down (1e5, NULL));
  g_assert_false (in_range);
  in_range = true;
  g_assert_cmpfloat (heat_free_down (1e12, &in_range), ==, heat_free_down (1e10, NULL));
  g_assert_false (in_range);
}

/* Duct of Incropera's chapter 9: 0.75 m wide, 0.30 m high, 45 C in air of 15 C. */
static void
test_free_duct (void)
{
  const double nu = 16.2e-6, alpha = 22.9e-6, k = 0.0265, pr = 0.71, per_m3 = 9.8 * 0.0033 * 30 / (nu * alpha);
  double side = heat_free_vertical_laminar (per_m3 * pow (0.3, 3), pr) * k / 0.3;
  double length = 0.75 / 2; /* area / perimeter of a long strip */
  double top = heat_free_up (per_m3 * pow (length, 3), NULL) * k / length;
  double bottom = heat_free_down (per_m3 * pow (length, 3), NULL) * k / length;
  assert_near (side, 4.23, 0.011);
  assert_near (top, 5.47, 0.011);
  assert_near (bottom, 2.07, 0.005);
  assert_near (30 * (2 * 0.3 * side + 0.75 * (top + bottom)), 246, 0.5);
}

/* Board 100 x 150 mm in air of 25 C, length A/P = 0.03 m. */
static void
test_free_board (void)
{
  static const double rows[][3] = { { 150, 10.55, 5.28 }, { 100, 9.47, 4.74 }, { 200, 11.28, 5.64 } };
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++) {
    assert_near (heat_free_film_up (rows[i][0], 25, 0.03), rows[i][1], 0.006);
    assert_near (heat_free_film_down (rows[i][0], 25, 0.03), rows[i][2], 0.006);
  }
}

/* The films vanish with the temperature difference, and small faces do not take absurd values. */
static void
test_free_small (void)
{
  g_assert_cmpfloat (heat_free_film_up (25, 25, 0.03), ==, 0);
  g_assert_cmpfloat (heat_free_film_down (25, 25, 0.03), ==, 0);
  assert_share (heat_free_film_up (25, 150, 0.03), 10.55, 0.001); /* cold face down, same mean */
  double h = heat_free_film_up (150, 25, 0.001);
  assert_share (h, 0.54 * pow (1.3115e5 * pow (1.0 / 30, 3), 0.25) * heat_air (87.5).k / 0.001, 0.001);
  g_assert_cmpfloat (h, <, 30);
}

/* 30 L/min at 20 C and 1 atm, delivered at 350 C through 20 x 20 mm: 0.602 g/s; 201.5 W above 25 C with
 * cp 1030 J/kgK; 2.657 m/s with the ideal-gas density (the table, of 1 bar, gives 2.69). */
static void
test_gas_power (void)
{
  HeatNozzleFilm film = heat_nozzle_film (false, 0.02, 0.02, 0.05, 0.5e-3, 350, 0.05);
  assert_near (film.mass_kg_s * 1e3, 0.602, 0.0005);
  assert_near (film.mass_kg_s * 1030 * 325, 201.5, 0.05);
  assert_share (film.speed_m_s, 2.657, 0.015);
}

static void
test_stream (void)
{
  g_assert_cmpfloat (heat_stream_effectiveness (0), ==, 0);
  assert_near (heat_stream_effectiveness (1), 1 - 1 / G_E, 1e-15);
  assert_near (heat_stream_effectiveness (50), 1, 1e-15);
  g_assert_cmpfloat (heat_stream_weakening (0), ==, 1);
  assert_near (heat_stream_weakening (1e-6), 1 - 0.5e-6, 1e-12);
  assert_near (heat_stream_weakening (2), (1 - exp (-2)) / 2, 1e-15);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/films/air/table", test_air_table);
  g_test_add_func ("/films/air/sutherland", test_air_sutherland);
  g_test_add_func ("/films/air/clamped", test_air_clamped);
  g_test_add_func ("/films/jets/published", test_jets);
  g_test_add_func ("/films/jets/worked", test_jet_worked);
  g_test_add_func ("/films/jets/out-of-range", test_jets_out_of_range);
  g_test_add_func ("/films/free/numbers", test_free_numbers);
  g_test_add_func ("/films/free/out-of-range", test_free_out_of_range);
  g_test_add_func ("/films/free/duct", test_free_duct);
  g_test_add_func ("/films/free/board", test_free_board);
  g_test_add_func ("/films/free/small", test_free_small);
  g_test_add_func ("/films/gas-power", test_gas_power);
  g_test_add_func ("/films/stream", test_stream);
  return g_test_run ();
}
