/* J-STD-020 classes of worked bodies and of the tables' edges, and the bare rules. */
#include <glib.h>
#include <math.h>

#include "plan/classify.h"
#include "plan/rules.h"

/* Length, width, thickness mm; lead-free and tin-lead (revision D on) class, C. Read off Tables 4-1
 * and 4-2 by hand. */
static const struct {
  double l, w, t, lead_free, tin_lead;
} BODIES[] = {
  { 5, 5, 0.9, 260, 235 },    { 10, 10, 1.1, 260, 235 },   { 17, 17, 1.25, 260, 220 },
  { 17, 17, 1.7, 250, 220 },  { 20, 20, 1.4, 260, 220 },   { 27, 27, 1.73, 250, 220 },
  { 35, 35, 1.73, 245, 220 }, { 35, 35, 2.8, 245, 220 },   { 8, 8, 3.0, 250, 220 },
  { 10, 9.2, 4.4, 245, 220 },
};

static void
worked_bodies (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (BODIES); i++)
    {
      double volume = BODIES[i].l * BODIES[i].w * BODIES[i].t;
      g_assert_cmpfloat (lw_classify_body_c (BODIES[i].t, volume, TRUE), ==, BODIES[i].lead_free);
      g_assert_cmpfloat (lw_classify_body_c (BODIES[i].t, volume, FALSE), ==, BODIES[i].tin_lead);
    }
}

static void
edges (void)
{
  double below_16 = nextafter (1.6, 0), below_25 = nextafter (2.5, 0);
  double below_350 = nextafter (350, 0), above_2000 = nextafter (2000, 1e9);

  g_assert_cmpfloat (lw_classify_body_c (below_16, 3000, TRUE), ==, 260);
  g_assert_cmpfloat (lw_classify_body_c (1.6, 349, TRUE), ==, 260);
  g_assert_cmpfloat (lw_classify_body_c (1.6, below_350, TRUE), ==, 260);
  g_assert_cmpfloat (lw_classify_body_c (1.6, 350, TRUE), ==, 250);
  g_assert_cmpfloat (lw_classify_body_c (1.6, 2000, TRUE), ==, 250);
  g_assert_cmpfloat (lw_classify_body_c (1.6, above_2000, TRUE), ==, 245);
  g_assert_cmpfloat (lw_classify_body_c (below_25, 2000, TRUE), ==, 250);
  g_assert_cmpfloat (lw_classify_body_c (2.5, below_350, TRUE), ==, 250);
  g_assert_cmpfloat (lw_classify_body_c (2.5, 350, TRUE), ==, 245);
  g_assert_cmpfloat (lw_classify_body_c (2.5, above_2000, TRUE), ==, 245);
  g_assert_cmpfloat (lw_classify_body_c (below_25, below_350, FALSE), ==, 235);
  g_assert_cmpfloat (lw_classify_body_c (2.5, below_350, FALSE), ==, 220);
  g_assert_cmpfloat (lw_classify_body_c (below_25, 350, FALSE), ==, 220);
}

/* Neighbour alarm from the published damage data (Ismail et al. 2022); floor life from J-STD-033
 * section 6; coin cell from Renata's page; polypropylene film from KEMET F3072. */
static void
published_rules (void)
{
  g_assert_cmpint (lw_rule_array_alarm (194, 209, 195, 210), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_array_alarm (196, 209, 195, 210), ==, LW_GRADE_WATCH);
  g_assert_cmpint (lw_rule_array_alarm (194, 211, 195, 210), ==, LW_GRADE_WATCH);
  g_assert_false (lw_rule_bake_first (199, TRUE));
  g_assert_true (lw_rule_bake_first (201, TRUE));
  g_assert_false (lw_rule_bake_first (201, FALSE));
  g_assert_cmpint (lw_rule_upper (84, 85, 0), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_upper (86, 85, 0), ==, LW_GRADE_STOP);
  g_assert_cmpint (lw_rule_upper (109, 110, 0), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_upper (111, 110, 0), ==, LW_GRADE_STOP);
}

static void
rule_edges (void)
{
  g_assert_cmpint (lw_rule_upper (85, 85, 0), ==, LW_GRADE_STOP);
  g_assert_cmpint (lw_rule_upper (84, 85, 3), ==, LW_GRADE_WATCH);
  g_assert_cmpint (lw_rule_upper (82, 85, 3), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_upper (NAN, 85, 3), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_upper (84, 85, NAN), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_lower (29.9, 30, 0), ==, LW_GRADE_STOP);
  g_assert_cmpint (lw_rule_lower (30, 30, 0), ==, LW_GRADE_FINE);
  g_assert_cmpint (lw_rule_lower (31, 30, 2), ==, LW_GRADE_WATCH);
  g_assert_cmpint (lw_rule_at_most_watch (LW_GRADE_STOP), ==, LW_GRADE_WATCH);
  g_assert_cmpint (lw_rule_at_most_watch (LW_GRADE_FINE), ==, LW_GRADE_FINE);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/classify/worked-bodies", worked_bodies);
  g_test_add_func ("/classify/edges", edges);
  g_test_add_func ("/rules/published", published_rules);
  g_test_add_func ("/rules/edges", rule_edges);
  return g_test_run ();
}
