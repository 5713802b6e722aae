/* J-STD-020 classes of worked bodies and of the tables' edges, and the bare rules. */
#include <glib.h>
#include <math.h>
#include <string.h>

#include "board/library.h"
#include "plan/classify.h"
#include "plan/part-limits.h"
#include "plan/rules.h"

/* Length, width, thickness mm; lead-free and tin-lead (revision D on) class, C. Read off Tables 4-1
 * and 4-2 by hand. */
static const struct {
  double l, w, t, lead_free, tin_lead;
} BODIES[] = {
  { 5, 5, 0.9, 260, 235 },    { 10, 10, 1.1, 260, 235 }, { 17, 17, 1.25, 260, 220 },
  { 17, 17, 1.7, 250, 220 },  { 20, 20, 1.4, 260, 220 }, { 27, 27, 1.73, 250, 220 },
  { 35, 35, 1.73, 245, 220 }, { 35, 35, 2.8, 245, 220 }, { 8, 8, 3.0, 250, 220 },
  { 10, 9.2, 4.4, 245, 220 },
};

static void
worked_bodies (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (BODIES); i++) {
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

/* Floor life from J-STD-033 section 6; coin cell from Renata's page; polypropylene film from KEMET F3072. */
static void
published_rules (void)
{
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

/* ---- limits of whole parts ---- */

static double
limit_of (const char *package, LwLimitKind kind)
{
  g_autoptr (LwJob) job = lw_job_new ();
  g_autoptr (LwPart) part = lw_part_new ();
  g_free (part->package);
  part->package = g_strdup (package);
  g_autoptr (GArray) limits = lw_limits_of (job, part);
  const LwLimit *limit = lw_limits_find (limits, kind);
  return limit != NULL ? limit->value : NAN;
}

/* Cans: kjelec V-chip after J-STD-020C, 250 °C and 90 s for 6.3 mm and for 8 x 6.2, 240 and 90 for 8 x
 * 10, 235 and 60 for 10 x 10. Bodies: J-STD-020 Table 4-2 by hand, e.g. LQFP 14 x 14 x 1.5 = 294 mm3:
 * 260; 20 x 20 x 1.5: 260; SOIC wide 2.55 mm thick, 195 mm3: 250; tantalum D 2.77 mm, 87 mm3: 250;
 * tantalum A: 260. */
static void
by_size (void)
{
  g_assert_cmpfloat (limit_of ("ELCAP-6.3x5.4", LW_LIMIT_BODY_PEAK_C), ==, 250);
  g_assert_cmpfloat (limit_of ("ELCAP-6.3x7.9", LW_LIMIT_BODY_PEAK_C), ==, 250);
  g_assert_cmpfloat (limit_of ("ELCAP-8x6.2", LW_LIMIT_BODY_PEAK_C), ==, 250);
  g_assert_cmpfloat (limit_of ("ELCAP-8x10.2", LW_LIMIT_BODY_PEAK_C), ==, 240);
  g_assert_cmpfloat (limit_of ("ELCAP-10x10.2", LW_LIMIT_BODY_PEAK_C), ==, 235);
  g_assert_cmpfloat (limit_of ("ELCAP-8x10.2", LW_LIMIT_BODY_TIME_ABOVE_S), ==, 90);
  g_assert_cmpfloat (limit_of ("ELCAP-10x10.2", LW_LIMIT_BODY_TIME_ABOVE_S), ==, 60);
  g_assert_cmpfloat (limit_of ("LQFP-100-14x14-0.50", LW_LIMIT_BODY_PEAK_C), ==, 260);
  g_assert_cmpfloat (limit_of ("LQFP-144-20x20-0.50", LW_LIMIT_BODY_PEAK_C), ==, 260);
  g_assert_cmpfloat (limit_of ("SOIC-16W", LW_LIMIT_BODY_PEAK_C), ==, 250);
  g_assert_cmpfloat (limit_of ("BGA-676-27x27-1.00", LW_LIMIT_BODY_PEAK_C), ==, 250);
  g_assert_cmpfloat (limit_of ("BGA-1152-35x35-1.00", LW_LIMIT_BODY_PEAK_C), ==, 245);
  g_assert_cmpfloat (limit_of ("TANTALUM-D", LW_LIMIT_BODY_PEAK_C), ==, 250);
  g_assert_cmpfloat (limit_of ("TANTALUM-A", LW_LIMIT_BODY_PEAK_C), ==, 260);
}

/* A round body's volume is a cylinder's: a polymer can of 8.3 mm and 6.4 mm above its standoff is 346 mm3, below the 350 of
 * J-STD-020 Table 4-2 (thicker than 2.5 mm: 250 °C below, 245 from there on); its box would be 441. */
static void
round_body (void)
{
  g_autoptr (LwJob) job = lw_job_new ();
  g_autoptr (LwPart) part = lw_part_new ();
  LwPackage *can = lw_package_new ();

  g_free (can->name);
  can->name = g_strdup ("CAN");
  can->kind = LW_KIND_POLYMER_CAPACITOR;
  can->round = TRUE;
  can->length_mm = can->width_mm = 8.3;
  can->height_mm = 6.4;
  g_ptr_array_add (job->packages, can);
  g_free (part->package);
  part->package = g_strdup ("CAN");
  g_autoptr (GArray) limits = lw_limits_of (job, part);
  g_assert_cmpfloat (lw_limits_find (limits, LW_LIMIT_BODY_PEAK_C)->value, ==, 250);
}

/* Every package of the library has a body limit (but bare metal), each kind of limit at most once, and a
 * source with every figure. */
static void
every_package (void)
{
  g_autofree const char **names = lw_library_names ("packages");
  g_autoptr (LwJob) job = lw_job_new ();

  for (guint i = 0; names[i] != NULL; i++) {
    const LwPackage *package = lw_library_package (names[i]);
    g_autoptr (LwPart) part = lw_part_new ();
    gboolean seen[LW_N_LIMITS] = { FALSE };
    g_free (part->package);
    part->package = g_strdup (names[i]);
    g_autoptr (GArray) limits = lw_limits_of (job, part);
    g_test_message ("%s", names[i]);
    for (guint j = 0; j < limits->len; j++) {
      const LwLimit *limit = &g_array_index (limits, LwLimit, j);
      g_assert_false (seen[limit->kind]);
      seen[limit->kind] = TRUE;
      g_assert_cmpuint (strlen (limit->source), >, 8);
      g_assert_cmpint (isnan (limit->at_c), ==, limit->kind != LW_LIMIT_BODY_TIME_ABOVE_S);
    }
    const LwLimit *peak = lw_limits_find (limits, LW_LIMIT_BODY_PEAK_C);
    g_assert_cmpfloat (lw_limits_body_peak_c (job, part), ==, peak != NULL ? peak->value : INFINITY);
    g_assert_true (seen[LW_LIMIT_JOINT_PEAK_C]);
    g_assert_cmpint (seen[LW_LIMIT_BODY_PEAK_C], ==, package->kind != LW_KIND_SHIELD_CAN && package->kind != LW_KIND_MECHANICAL);
  }
}

/* A part's own figure goes before its package's, that before what its kind stands; a part of no known package stands anything. */
static void
own_first (void)
{
  g_autoptr (LwJob) job = lw_job_new ();
  g_autoptr (LwPart) part = lw_part_new ();
  LwPackage *package = lw_package_new ();

  g_free (part->package);
  part->package = g_strdup ("OWN");
  g_assert_cmpfloat (lw_limits_body_peak_c (job, part), ==, INFINITY);
  g_free (package->name);
  package->name = g_strdup ("OWN");
  package->kind = LW_KIND_RELAY;
  g_ptr_array_add (job->packages, package);
  double by_kind = lw_limits_body_peak_c (job, part);
  lw_limits_add (package->limits, LW_LIMIT_BODY_PEAK_C, by_kind - 10, NAN, "the package's sheet");
  g_assert_cmpfloat (lw_limits_body_peak_c (job, part), ==, by_kind - 10);
  lw_limits_add (part->limits, LW_LIMIT_BODY_PEAK_C, by_kind - 5, NAN, "the part's label");
  g_assert_cmpfloat (lw_limits_body_peak_c (job, part), ==, by_kind - 5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/classify/worked-bodies", worked_bodies);
  g_test_add_func ("/classify/edges", edges);
  g_test_add_func ("/rules/published", published_rules);
  g_test_add_func ("/rules/edges", rule_edges);
  g_test_add_func ("/limits/by-size", by_size);
  g_test_add_func ("/limits/round-body", round_body);
  g_test_add_func ("/limits/every-package", every_package);
  g_test_add_func ("/limits/own-first", own_first);
  return g_test_run ();
}
