/* Findings from hand-made predictions: each test sets one figure against a limit whose source is named
 * in docs/manual/findings.md, and looks at the grade, the numbers and the sentence. */
#include "../as-shown.h"
#include "findings-fixture.h"

/* A whole judgement with one neighbour of PACKAGE whose figures TUNE sets. */
typedef void (*Tune) (LwPartTrace *trace);

static GPtrArray *
judge_neighbour (const char *package, LwSide side, double joint_peak, double body_peak, Tune tune)
{
  g_autoptr (LwJob) job = new_job ();
  g_ptr_array_add (job->parts, new_part ("N1", package, 100, 50, side));
  g_autoptr (LwPrediction) p = new_prediction (job);
  LwPartTrace *t = add_trace (p, job, 1, joint_peak, body_peak);
  if (tune != NULL)
    tune (t);
  return lw_judge (job, 0, p);
}

/* ---- neighbours ---- */

/* Renata: at most 85 °C. */
static void
coin_cell (void)
{
  g_autoptr (GPtrArray) hot = judge_neighbour ("COIN-HOLDER-20-CELL", LW_SIDE_TOP, 110, 112, NULL);
  g_autoptr (GPtrArray) close = judge_neighbour ("COIN-HOLDER-20-CELL", LW_SIDE_TOP, 80, 82, NULL);
  g_autoptr (GPtrArray) cool = judge_neighbour ("COIN-HOLDER-20-CELL", LW_SIDE_TOP, 70, 72, NULL);
  const LwFinding *f = expect (hot, "body-peak", "N1", LW_GRADE_STOP);

  g_assert_cmpfloat (f->value, ==, 112);
  g_assert_cmpfloat (f->limit, ==, 85);
  g_assert_cmpfloat (f->headroom, ==, -27);
  g_assert_cmpfloat (f->doubt, ==, 4);
  g_assert_cmpfloat (f->moment_s, ==, 190);
  g_assert_cmpstr (f->unit, ==, "°C");
  g_assert_nonnull (strstr (f->source, "Renata"));
  g_assert_cmpstr (f->text, ==, "N1 reaches 112 °C at 190 s; its limit is 85 °C.");
  g_assert_cmpstr (f->advice, ==, "Take the cell out before heating.");
  expect (close, "body-peak", "N1", LW_GRADE_WATCH); /* 3 K left, 4 K of doubt */
  f = expect (cool, "body-peak", "N1", LW_GRADE_FINE);
  g_assert_cmpstr (f->advice, ==, "");
}

static void
hot_center (LwPartTrace *t)
{
  t->joint_center_peak_c = 196;
  t->joint_corner_peak_c = 150;
}

static void
hot_corner (LwPartTrace *t)
{
  t->joint_center_peak_c = 150;
  t->joint_corner_peak_c = 211;
}

/* Ismail et al. 2022: centre 195 °C, corner 210 °C; solidus 217 °C. */
static void
neighbour_array (void)
{
  g_autoptr (GPtrArray) middle = judge_neighbour ("FBGA-96-9x13-0.80", LW_SIDE_BOTTOM, 190, 190, hot_center);
  g_autoptr (GPtrArray) edge = judge_neighbour ("FBGA-96-9x13-0.80", LW_SIDE_BOTTOM, 190, 190, hot_corner);
  g_autoptr (GPtrArray) cool = judge_neighbour ("FBGA-96-9x13-0.80", LW_SIDE_BOTTOM, 180, 180, NULL);
  g_autoptr (GPtrArray) corner = judge_neighbour ("FBGA-96-9x13-0.80", LW_SIDE_BOTTOM, 211, 212, NULL);
  g_autoptr (GPtrArray) molten = judge_neighbour ("FBGA-96-9x13-0.80", LW_SIDE_BOTTOM, 218, 219, NULL);

  expect (cool, "joint-center", "N1", LW_GRADE_FINE);
  expect (cool, "joint-corner", "N1", LW_GRADE_FINE);
  expect (cool, "joint-peak", "N1", LW_GRADE_FINE);
  expect (corner, "joint-center", "N1", LW_GRADE_WATCH);
  expect (corner, "joint-corner", "N1", LW_GRADE_WATCH);
  expect (corner, "joint-peak", "N1", LW_GRADE_WATCH);
  const LwFinding *f = expect (molten, "joint-peak", "N1", LW_GRADE_STOP);
  g_assert_cmpfloat (f->limit, ==, 217);
  g_assert_nonnull (strstr (f->text, "drop off"));
  g_assert_cmpfloat (expect (middle, "joint-center", "N1", LW_GRADE_WATCH)->limit, ==, 195);
  expect (middle, "joint-corner", "N1", LW_GRADE_FINE);
  g_assert_cmpfloat (expect (edge, "joint-corner", "N1", LW_GRADE_WATCH)->limit, ==, 210);
  expect (edge, "joint-center", "N1", LW_GRADE_FINE);
  /* alarms never stop by themselves */
  expect (molten, "joint-corner", "N1", LW_GRADE_WATCH);
}

static void
ramp_19 (LwPartTrace *t)
{
  t->ramp_up_c_per_s = 1.9;
}

static void
ramp_31 (LwPartTrace *t)
{
  t->ramp_up_c_per_s = 3.1;
}

static void
ramp_404 (LwPartTrace *t)
{
  t->ramp_up_c_per_s = 4.04;
}

static void
ramp_40 (LwPartTrace *t)
{
  t->ramp_up_c_per_s = 4.0;
  t->ramp_up_s = 105;
}

/* TDK: 2 °C/s, at most 4. */
static void
ceramic_ramp (void)
{
  g_autoptr (GPtrArray) slow = judge_neighbour ("C0402", LW_SIDE_TOP, 150, 150, ramp_19);
  g_autoptr (GPtrArray) quick = judge_neighbour ("C0402", LW_SIDE_TOP, 150, 150, ramp_31);
  g_autoptr (GPtrArray) fast = judge_neighbour ("C0402", LW_SIDE_TOP, 150, 150, ramp_40);

  expect (slow, "ramp-up", "N1", LW_GRADE_FINE);
  expect (quick, "ramp-up", "N1", LW_GRADE_WATCH);
  const LwFinding *f = expect (fast, "ramp-up", "N1", LW_GRADE_STOP);
  g_assert_cmpfloat (f->moment_s, ==, 105);
}

/* A limit that is passed by less than a sentence's last digit still reads as passed: limits as above and below. */
static void
hardly_passed (void)
{
  g_autoptr (GPtrArray) fast = judge_neighbour ("C0402", LW_SIDE_TOP, 150, 150, ramp_404);
  g_autoptr (GPtrArray) met = judge_neighbour ("C0402", LW_SIDE_TOP, 150, 150, ramp_40);
  g_autoptr (GPtrArray) hot = judge_neighbour ("COIN-HOLDER-20-CELL", LW_SIDE_TOP, 85.3, 85.3, NULL);
  g_autoptr (GPtrArray) short_of = judge_neighbour ("COIN-HOLDER-20-CELL", LW_SIDE_TOP, 84.96, 84.96, NULL);

  g_assert_cmpstr (expect (fast, "ramp-up", "N1", LW_GRADE_STOP)->text, ==,
                   as_shown ("N1 heats by 4.04 °C/s at most; 4.00 °C/s is the limit."));
  g_assert_cmpstr (expect (met, "ramp-up", "N1", LW_GRADE_STOP)->text, ==,
                   as_shown ("N1 heats by 4.0 °C/s at most; 4.0 °C/s is the limit."));
  g_assert_cmpstr (expect (hot, "body-peak", "N1", LW_GRADE_STOP)->text, ==,
                   as_shown ("N1 reaches 85.3 °C at 190 s; its limit is 85.0 °C."));
  g_assert_cmpstr (expect (short_of, "body-peak", "N1", LW_GRADE_WATCH)->text, ==,
                   as_shown ("N1 reaches 84.96 °C at 190 s, close to its limit of 85.00 °C."));
}

/* Cans: 240 °C for 8 x 10.2 (kjelec); 150 °C is practice and no more than a caution. Housings: 170 °C. Tantalums: 220 °C
 * inside (nemco). */
static void
cautions (void)
{
  g_autoptr (GPtrArray) can = judge_neighbour ("ELCAP-8x10.2", LW_SIDE_TOP, 160, 158, NULL);
  g_autoptr (GPtrArray) cool = judge_neighbour ("ELCAP-8x10.2", LW_SIDE_TOP, 140, 138, NULL);
  g_autoptr (GPtrArray) plug = judge_neighbour ("CONN-B2B-40-0.80-PA", LW_SIDE_TOP, 172, 171, NULL);
  g_autoptr (GPtrArray) tantalum = judge_neighbour ("TANTALUM-A", LW_SIDE_TOP, 210, 221, NULL);
  g_autoptr (GPtrArray) lcp = judge_neighbour ("CONN-B2B-60-0.50", LW_SIDE_TOP, 180, 178, NULL);

  const LwFinding *f = expect (can, "body-peak", "N1", LW_GRADE_FINE);
  g_assert_cmpfloat (f->limit, ==, 240);
  f = expect (can, "body-caution", "N1", LW_GRADE_WATCH);
  g_assert_nonnull (strstr (f->source, "from memory"));
  g_assert_null (find (cool, "body-caution", "N1"));
  f = expect (plug, "body-peak", "N1", LW_GRADE_STOP); /* the package's own limit */
  g_assert_cmpfloat (f->limit, ==, 170);
  g_assert_null (
      find (plug, "body-caution", "N1")); /* what is known of the part comes before practice */
  g_assert_cmpfloat (expect (tantalum, "body-caution", "N1", LW_GRADE_WATCH)->limit, ==, 220);
  expect (lcp, "body-peak", "N1", LW_GRADE_FINE);
  g_assert_null (find (lcp, "body-caution", "N1"));
}

/* KEMET F3072: polypropylene 110 °C inside. Cans: 90 s above 217 °C. */
static void
film_and_time (void)
{
  g_autoptr (GPtrArray) ok = judge_neighbour ("FILM-BOX-10-PP", LW_SIDE_TOP, 100, 100, NULL);
  g_autoptr (GPtrArray) hot = judge_neighbour ("FILM-BOX-10-PP", LW_SIDE_TOP, 111, 111, NULL);
  g_autoptr (GPtrArray) can = judge_neighbour ("ELCAP-6.3x5.4", LW_SIDE_TOP, 160, 238, NULL);

  expect (ok, "body-peak", "N1", LW_GRADE_FINE);
  expect (hot, "body-peak", "N1", LW_GRADE_STOP);
  /* by hand: 217 is passed up at 160 s + 30 (217 - 218) < 160, i.e. on the way from 104 at 100 s to 218
   * at 160 s: 159.474 s; and down on the way from 238 at 190 s to 64 at 300 s: 203.276 s */
  const LwFinding *f = expect (can, "body-time", "N1", LW_GRADE_FINE);
  g_assert_cmpfloat_with_epsilon (f->value, 203.276 - 159.474, 0.01);
  g_assert_cmpfloat (f->limit, ==, 90);
}

/* A part's own limit comes before its package's, and that before its kind's. */
static void
own_limits (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *part = new_part ("N1", "CONN-B2B-40-0.80-PA", 100, 50, LW_SIDE_TOP);
  lw_limits_add (part->limits, LW_LIMIT_BODY_PEAK_C, 220, NAN, "the maker's sheet");
  g_ptr_array_add (job->parts, part);
  g_autoptr (LwPrediction) p = new_prediction (job);
  add_trace (p, job, 1, 172, 171);
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, p);
  const LwFinding *f = expect (findings, "body-peak", "N1", LW_GRADE_FINE);

  g_assert_cmpfloat (f->limit, ==, 220);
  g_assert_cmpstr (f->source, ==, "the maker's sheet");
}

/* What a part brings itself is a limit even where its words are those of the program's alarm (Ismail et al. 2022). */
static void
own_limit_is_no_alarm (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *part = new_part ("N1", "FBGA-96-9x13-0.80", 100, 50, LW_SIDE_BOTTOM);
  g_ptr_array_add (job->parts, part);
  g_autoptr (LwPrediction) p = new_prediction (job);
  hot_center (add_trace (p, job, 1, 190, 190));
  g_autoptr (GPtrArray) alarmed = lw_judge (job, 0, p);
  const LwFinding *alarm = expect (alarmed, "joint-center", "N1", LW_GRADE_WATCH);

  lw_limits_add (part->limits, LW_LIMIT_JOINT_CENTER_PEAK_C, alarm->limit, NAN, alarm->source);
  g_autoptr (GPtrArray) own = lw_judge (job, 0, p);
  expect (own, "joint-center", "N1", LW_GRADE_STOP);
}

/* Tin-lead neighbours: solidus 183 °C; 160 °C is what a customer asked for. */
static void
tin_lead (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_free (job->alloy);
  job->alloy = g_strdup ("Sn63Pb37");
  g_ptr_array_add (job->parts, new_part ("N1", "FBGA-96-9x13-0.80", 100, 50, LW_SIDE_TOP));
  g_autoptr (LwPrediction) p = new_prediction (job);
  add_trace (p, job, 1, 165, 165);
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, p);

  g_assert_cmpfloat (expect (findings, "joint-peak", "N1", LW_GRADE_FINE)->limit, ==, 183);
  expect (findings, "joint-caution", "N1", LW_GRADE_WATCH);
  g_assert_null (find (findings, "joint-center", "N1"));
  /* 9 x 13 x 0.85 mm = 99 mm3, tin-lead below 2.5 mm: 235 °C (J-STD-020 Table 4-1) */
  g_assert_cmpfloat (expect (findings, "body-peak", "N1", LW_GRADE_FINE)->limit, ==, 235);
}

/* ---- target ---- */

static GPtrArray *
judge_target (double joint_min, double joint_max, double body, double above_s)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) p = new_prediction (job);
  LwPartTrace *t = g_ptr_array_index (p->parts, 0);
  t->joint_min[3] = joint_min;
  t->joint_max[3] = t->joint_peak_c = joint_max;
  t->body_max[3] = t->body_peak_c = body;
  t->above_liquidus_s = above_s;
  return lw_judge (job, 0, p);
}

/* Liquidus 220 °C; spread 7 and 10 K (Lattice TN1076); 23 x 23 x 1.7 mm = 899 mm3: 250 °C. */
static void
target (void)
{
  g_autoptr (GPtrArray) good = judge_target (232, 238, 241, 50);
  g_autoptr (GPtrArray) cold = judge_target (219, 238, 241, 0);
  g_autoptr (GPtrArray) near = judge_target (223, 231, 251, 20);

  expect (good, "target-liquid", "U1", LW_GRADE_FINE);
  expect (good, "target-spread", "U1", LW_GRADE_FINE);
  g_assert_cmpfloat (expect (good, "target-body", "U1", LW_GRADE_FINE)->limit, ==, 250);
  expect (good, "target-short", "U1", LW_GRADE_FINE);
  const LwFinding *f = expect (cold, "target-liquid", "U1", LW_GRADE_STOP);
  g_assert_cmpfloat (f->value, ==, 219);
  g_assert_cmpfloat (f->headroom, ==, -1);
  g_assert_cmpfloat (expect (cold, "target-spread", "U1", LW_GRADE_STOP)->value, ==, 19);
  expect (cold, "target-short", "U1", LW_GRADE_WATCH);
  expect (near, "target-liquid", "U1", LW_GRADE_WATCH);
  expect (near, "target-spread", "U1", LW_GRADE_WATCH);
  expect (near, "target-body", "U1", LW_GRADE_STOP);
  /* a target's joints are meant to melt: no neighbour's finding on it */
  g_assert_null (find (good, "joint-peak", "U1"));
}

/* What melts only after the gas has ended does not count. */
static void
target_too_late (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) p = new_prediction (job);
  LwPlan *plan = lw_job_edit_plan (job, 0);
  g_ptr_array_set_size (plan->stages, 1);
  g_ptr_array_add (plan->stages, new_stage (60, 330, 40, 300)); /* gas ends at 160 s, before the peak */
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, p);

  g_assert_cmpfloat (expect (findings, "target-liquid", "U1", LW_GRADE_STOP)->value, ==, 208);
}

/* ---- the list ---- */

static void
order_and_words (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_ptr_array_add (job->parts, new_part ("BT1", "COIN-HOLDER-20-CELL", 100, 50, LW_SIDE_TOP));
  g_ptr_array_add (job->parts, new_part ("C1", "ELCAP-8x10.2", 20, 50, LW_SIDE_TOP));
  g_autoptr (LwPrediction) p = new_prediction (job);
  add_trace (p, job, 1, 110, 112);
  add_trace (p, job, 2, 160, 158);
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, p);

  g_assert_cmpuint (findings->len, >, 10);
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *f = g_ptr_array_index (findings, i);
    g_assert_cmpstr (f->text, !=, "");
    g_assert_nonnull (f->advice);
    if (i > 0)
      g_assert_cmpint (f->grade, >=, ((LwFinding *)g_ptr_array_index (findings, i - 1))->grade);
  }
  expect (findings, "body-peak", "BT1", LW_GRADE_STOP);
  expect (findings, "body-caution", "C1", LW_GRADE_WATCH);
  g_assert_cmpstr (lw_grade_word (LW_GRADE_STOP), ==, "stop");
  g_assert_cmpstr (lw_grade_word (LW_GRADE_WATCH), ==, "watch");
  g_assert_cmpstr (lw_grade_word (LW_GRADE_FINE), ==, "fine");
  g_autoptr (GPtrArray) no_plan = lw_judge (job, 7, p);
  g_assert_cmpuint (no_plan->len, ==, 0);
}

/* A prediction that is older than the job, or was made for another plan, must not be read wrongly. */
static void
stale (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_ptr_array_add (job->parts, new_part ("C1", "C0402", 20, 50, LW_SIDE_TOP));
  g_ptr_array_add (job->parts, new_part ("BT1", "COIN-HOLDER-20-CELL", 100, 50, LW_SIDE_TOP));
  g_autoptr (LwPrediction) p = new_prediction (job);
  add_trace (p, job, 1, 150, 150);
  add_trace (p, job, 2, 110, 112);
  g_ptr_array_remove_index (job->parts, 1);
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, p);

  g_assert_null (find (findings, "body-peak", "C1"));
  g_assert_cmpfloat (expect (findings, "body-peak", "BT1", LW_GRADE_STOP)->limit, ==, 85);
  p->plan = 1;
  g_autoptr (GPtrArray) other = lw_judge (job, 0, p);
  g_assert_null (find (other, "body-peak", NULL));
  g_assert_nonnull (find (other, "nozzle-cover", "U1"));
}

static void
laminate (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (LwPrediction) p = new_prediction (job);
  g_autoptr (GPtrArray) good = lw_judge (job, 0, p);
  p->board_peak_c = 261;
  p->board_above_tg_s = 200;
  g_autoptr (GPtrArray) hot = lw_judge (job, 0, p);

  expect (good, "laminate-peak", "", LW_GRADE_FINE);
  expect (good, "laminate-tg", "", LW_GRADE_FINE);
  expect (hot, "laminate-peak", "", LW_GRADE_STOP);
  expect (hot, "laminate-tg", "", LW_GRADE_WATCH);
}

static void
unknowns (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPackage *package = lw_package_copy (lw_library_package ("SOIC-8"));
  g_free (package->name);
  package->name = g_strdup ("HEIGHTLESS");
  package->height_mm = NAN;
  g_ptr_array_add (job->packages, package);
  LwPart *part = lw_part_new ();
  g_free (part->ref);
  part->ref = g_strdup ("U7");
  g_free (part->package);
  part->package = g_strdup ("HEIGHTLESS");
  part->x_mm = 20;
  part->y_mm = 20;
  g_ptr_array_add (job->parts, part);
  LwPart *stranger = lw_part_new ();
  g_free (stranger->ref);
  stranger->ref = g_strdup ("X9");
  g_free (stranger->package);
  stranger->package = g_strdup ("NOBODY KNOWS");
  stranger->x_mm = 74.5; /* 0.25 mm from the nozzle's outside at 73.25 mm, were it 2 mm wide */
  stranger->y_mm = 50;
  g_ptr_array_add (job->parts, stranger);
  lw_job_edit_board (job)->outline_assumed = TRUE;
  g_autoptr (GPtrArray) findings = lw_judge (job, 0, NULL);

  const LwFinding *f = expect (findings, "height-unknown", "", LW_GRADE_WATCH);
  g_assert_nonnull (strstr (f->text, "U7"));
  g_assert_null (strstr (f->text, "X9"));
  expect (findings, "outline-assumed", "", LW_GRADE_WATCH);
  f = expect (findings, "package-unknown", "", LW_GRADE_WATCH);
  g_assert_nonnull (strstr (f->text, "X9"));
  f = expect (findings, "nozzle-clash", "X9", LW_GRADE_WATCH);
  g_assert_cmpfloat_with_epsilon (f->value, 0.25, 1e-9);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/findings/coin-cell", coin_cell);
  g_test_add_func ("/findings/neighbour-array", neighbour_array);
  g_test_add_func ("/findings/ceramic-ramp", ceramic_ramp);
  g_test_add_func ("/findings/hardly-passed", hardly_passed);
  g_test_add_func ("/findings/own-limit-is-no-alarm", own_limit_is_no_alarm);
  g_test_add_func ("/findings/cautions", cautions);
  g_test_add_func ("/findings/film-and-time", film_and_time);
  g_test_add_func ("/findings/own-limits", own_limits);
  g_test_add_func ("/findings/tin-lead", tin_lead);
  g_test_add_func ("/findings/target", target);
  g_test_add_func ("/findings/target-too-late", target_too_late);
  g_test_add_func ("/findings/order-and-words", order_and_words);
  g_test_add_func ("/findings/stale", stale);
  g_test_add_func ("/findings/laminate", laminate);
  g_test_add_func ("/findings/unknowns", unknowns);
  return g_test_run ();
}
