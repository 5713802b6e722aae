/* Edits: what each does and refuses, and that random edits undo and redo to the byte. */
#include <gio/gio.h>
#include <math.h>
#include <string.h>

#include "board/document.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "job-fixture.h"

static LwJob *
fixture_job (void)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("fixture", fixture, strlen (fixture), &error);

  g_assert_no_error (error);
  return job;
}

/* Puts the outcome of an edit in the place of the job. */
static void
take (LwJob **job, LwJob *after, GError *error)
{
  g_assert_no_error (error);
  g_assert_nonnull (after);
  lw_job_unref (*job);
  *job = after;
}

static void
refused (LwJob *after, GError **error, int code, const char *text)
{
  g_assert_null (after);
  g_assert_error (*error, LW_EDIT_ERROR, code);
  if (strstr ((*error)->message, text) == NULL)
    g_error ("“%s” does not say “%s”", (*error)->message, text);
  g_clear_error (error);
}

static LwPart *
part_at (const LwJob *job, guint index)
{
  return g_ptr_array_index (job->parts, index);
}

static void
test_number (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;
  g_autofree char *before = lw_job_to_data (job, NULL);
  g_autoptr (LwJob) old = lw_job_ref (job);

  take (&job, lw_edit_number (job, "plans[0].stages[1].gas_c", 320, &error), error);
  g_assert_cmpfloat (lw_job_number (job, "plans[0].stages[1].gas_c"), ==, 320);
  take (&job, lw_edit_number (job, "parts[1].height_mm", NAN, &error), error);
  g_assert_true (isnan (lw_job_number (job, "parts[1].height_mm")));
  take (&job, lw_edit_number (job, "plans[0].preheat_area.length_mm", 70, &error), error);
  g_assert_cmpfloat (((LwPlan *) g_ptr_array_index (job->plans, 0))->preheat_length_mm, ==, 70);
  take (&job, lw_edit_number (job, "board.prescribed.k_through_w_per_mk", 0.4, &error), error);
  g_assert_cmpfloat (job->board->prescribed_k_through_w_per_mk, ==, 0.4);
  take (&job, lw_edit_number (job, "plans[1].table[1].gas_c", 250, &error), error);
  take (&job, lw_edit_number (job, "packages[0].joints.columns", 6, &error), error);
  g_assert_cmpfloat (lw_job_number (job, "packages[0].joints.columns"), ==, 6);
  take (&job, lw_edit_number (job, "board.outline[0].corners[1].x_mm", 110, &error), error);
  take (&job, lw_edit_number (job, "station.holder.present", 0, &error), error);
  g_assert_false (job->station->holder.present);
  take (&job, lw_edit_number (job, "active_plan", 0, &error), error);
  /* The old job has not noticed any of it. */
  g_autofree char *after = lw_job_to_data (old, NULL);
  g_assert_cmpstr (before, ==, after);
}

static void
test_number_refused (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  GError *error = NULL;

  refused (lw_edit_number (job, "plans[0].stages[1].gas_c", 500, &error), &error, LW_EDIT_ERROR_RANGE,
           "500 °C is outside the station’s range of 50 to 450 °C");
  refused (lw_edit_number (job, "board.thickness_mm", 0, &error), &error, LW_EDIT_ERROR_RANGE, "must be above 0, is 0");
  refused (lw_edit_number (job, "board.thickness_mm", NAN, &error), &error, LW_EDIT_ERROR_RANGE, "must be a number");
  refused (lw_edit_number (job, "board.thickness_mm", INFINITY, &error), &error, LW_EDIT_ERROR_RANGE, "finite");
  refused (lw_edit_number (job, "parts[0].height_mm", -2, &error), &error, LW_EDIT_ERROR_RANGE, "must be above 0, is -2");
  refused (lw_edit_number (job, "station.nozzles[0].length_mm", 0, &error), &error, LW_EDIT_ERROR_RANGE, "must be above 0");
  refused (lw_edit_number (job, "station.gas_max_c", 250, &error), &error, LW_EDIT_ERROR_RANGE,
           "plans[0].stages[1].gas_c: 300 °C is outside"); /* the fault is elsewhere: it says where */
  refused (lw_edit_number (job, "board.outline[0].corners[1].x_mm", -1, &error), &error, LW_EDIT_ERROR_RANGE,
           "board.outline[0]: crosses or touches itself");
  refused (lw_edit_number (job, "packages[0].joints.columns", 2.5, &error), &error, LW_EDIT_ERROR_RANGE, "whole");
  static const char *const wrong[] = { "", "nothing", "parts", "parts[0]", "parts[9].x_mm", "parts[0].ref", "parts[-1].x_mm",
                                       "parts[0]x_mm", "parts.x_mm", "parts[99999999999].x_mm", "board..name", "board.",
                                       "ambient_c.x", "plans[0].table[0].t_s", "packages[0].outline.corners[0].x_mm" };
  for (guint i = 0; i < G_N_ELEMENTS (wrong); i++)
    {
      refused (lw_edit_number (job, wrong[i], 1, &error), &error, LW_EDIT_ERROR_REFERENCE, "no member");
      g_assert_true (isnan (lw_job_number (job, wrong[i])));
    }
}

/* A job that already has a fault can still be mended step by step. */
static void
test_mending (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  lw_job_edit_part (job, 0)->x_mm = 500;
  take (&job, lw_edit_number (job, "ambient_c", 21, &error), error);
  take (&job, lw_edit_move_part (job, 0, 45, 30, &error), error);
  g_autoptr (GPtrArray) faults = lw_job_check (job);
  for (guint i = 0; i < faults->len; i++)
    g_assert_false (((LwFault *) g_ptr_array_index (faults, i))->fatal);
}

static void
test_text (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  GError *error = NULL;

  take (&job, lw_edit_text (job, "title", "Ofen – neu", &error), error);
  g_assert_cmpstr (job->title, ==, "Ofen – neu");
  take (&job, lw_edit_text (job, "plans[0].operation", "place", &error), error);
  g_assert_cmpint (((LwPlan *) g_ptr_array_index (job->plans, 0))->operation, ==, LW_OP_PLACE);
  take (&job, lw_edit_text (job, "parts[0].locked", "true", &error), error);
  refused (lw_edit_move_part (job, 0, 1, 1, &error), &error, LW_EDIT_ERROR_REFERENCE, "U1 is locked");
  refused (lw_edit_text (job, "plans[0].operation", "burn", &error), &error, LW_EDIT_ERROR_RANGE, "remove, place");
  refused (lw_edit_text (job, "title", "\xff", &error), &error, LW_EDIT_ERROR_RANGE, "UTF-8");
  refused (lw_edit_text (job, "ambient_c", "warm", &error), &error, LW_EDIT_ERROR_REFERENCE, "no member");
  refused (lw_edit_text (job, "parts[0].ref", "C1", &error), &error, LW_EDIT_ERROR_RANGE, "given twice");
  refused (lw_edit_text (job, "parts[0].ref", "", &error), &error, LW_EDIT_ERROR_RANGE, "must not be empty");
}

/* New names are taken up by those who use them. */
static void
test_renaming (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_text (job, "parts[1].ref", "C77", &error), error);
  take (&job, lw_edit_text (job, "packages[0].name", "A-16", &error), error);
  take (&job, lw_edit_text (job, "station.nozzles[0].name", "twelve", &error), error);
  const LwPlan *plan = g_ptr_array_index (job->plans, 0), *second = g_ptr_array_index (job->plans, 1);
  g_assert_cmpstr (second->ref, ==, "C77");
  g_assert_cmpstr (((LwThermocouple *) g_ptr_array_index (plan->thermocouples, 0))->ref, ==, "C77");
  g_assert_cmpstr (part_at (job, 0)->package, ==, "A-16");
  g_assert_cmpstr (plan->nozzle, ==, "twelve");
}

static void
test_parts (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  GError *error = NULL;

  take (&job, lw_edit_rotate_part (job, 0, -30, &error), error);
  g_assert_cmpfloat (part_at (job, 0)->rotation_deg, ==, 330);
  refused (lw_edit_move_part (job, 0, 300, 30, &error), &error, LW_EDIT_ERROR_RANGE, "U1 lies outside the board");
  refused (lw_edit_move_part (job, 0, NAN, 30, &error), &error, LW_EDIT_ERROR_RANGE, "must be a number");
  refused (lw_edit_move_part (job, 9, 0, 0, &error), &error, LW_EDIT_ERROR_REFERENCE, "no part 9");
  take (&job, without_part (job, 1, &error), error); /* C1, which has a plan and a thermocouple */
  g_assert_cmpuint (job->parts->len, ==, 1);
  g_assert_cmpuint (job->plans->len, ==, 1);
  g_assert_cmpuint (job->active_plan, ==, 0);
  g_assert_cmpuint (((LwPlan *) g_ptr_array_index (job->plans, 0))->thermocouples->len, ==, 0);
  take (&job, without_part (job, 0, &error), error);
  g_assert_cmpuint (job->plans->len, ==, 0);
}

/* Turned over: the body stays where it is, each joint is mirrored left to right about its middle, and twice
 * is nothing. */
static void
test_flip (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  g_autoptr (GError) error = NULL;

  lw_job_edit_package (job, 0)->center_x_mm = 2;
  lw_job_edit_package (job, 0)->center_y_mm = 1;
  lw_job_edit_part (job, 0)->rotation_deg = 37;
  g_autoptr (LwJob) start = lw_job_ref (job);
  take (&job, lw_edit_flip_part (job, 0, &error), error);
  const LwPackage *package = g_ptr_array_index (job->packages, 0);
  LwPoint a = lw_part_body_center (part_at (start, 0), package), b = lw_part_body_center (part_at (job, 0), package);
  g_assert_cmpint (part_at (job, 0)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat_with_epsilon (a.x_mm, b.x_mm, 1e-9);
  g_assert_cmpfloat_with_epsilon (a.y_mm, b.y_mm, 1e-9);
  g_autoptr (GArray) top = lw_part_joints (part_at (start, 0), package);
  g_autoptr (GArray) bottom = lw_part_joints (part_at (job, 0), package);
  for (guint i = 0; i < top->len; i++)
    {
      LwPoint p = g_array_index (top, LwPoint, i), q = g_array_index (bottom, LwPoint, i);

      g_assert_cmpfloat_with_epsilon (p.x_mm - a.x_mm, -(q.x_mm - a.x_mm), 1e-9);
      g_assert_cmpfloat_with_epsilon (p.y_mm, q.y_mm, 1e-9);
    }
  take (&job, lw_edit_flip_part (job, 0, &error), error);
  g_assert_cmpint (part_at (job, 0)->side, ==, LW_SIDE_TOP);
  g_assert_cmpfloat_with_epsilon (part_at (job, 0)->x_mm, part_at (start, 0)->x_mm, 1e-9);
}

/* ---- plans ---- */

static void
add_nozzle (LwStation *station, const char *name, gboolean round, double length, double width)
{
  LwNozzle *nozzle = lw_nozzle_new ();

  g_free (nozzle->name);
  nozzle->name = g_strdup (name);
  nozzle->round = round;
  nozzle->length_mm = length;
  nozzle->width_mm = width;
  g_ptr_array_add (station->nozzles, nozzle);
}

static LwJob *
without_plans (void)
{
  LwJob *job = fixture_job ();

  g_ptr_array_set_size (job->plans, 0);
  job->active_plan = 0;
  g_ptr_array_set_size (lw_job_edit_station (job)->nozzles, 0);
  return job;
}

static const LwPlan *
choose (LwJob **job, const char *ref)
{
  g_autoptr (GError) error = NULL;

  take (job, lw_edit_choose_target (*job, ref, &error), error);
  return g_ptr_array_index ((*job)->plans, (*job)->active_plan);
}

/* The body is 10 x 10 mm: a gap of 0.5 to 1.5 mm a side is wanted (0.5 mm in a published chip-scale study, the
 * rest common practice). */
static void
test_nozzle_choice (void)
{
  static const struct
  {
    double length, width;
    const char *nozzle;
    double turn;
  } cases[] = { { 10, 10, "11 x 11", 0 },  { 12, 8, "16 x 11", 0 }, { 8, 12, "16 x 11", 90 },
                { 11, 11, "14 x 14", 0 },  { 13.5, 13.5, "16 x 16", 0 }, { 15.5, 15.5, "16 x 16", 0 },
                { 30, 30, "16 x 16", 0 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (LwJob) job = without_plans ();
      LwStation *station = lw_job_edit_station (job);
      LwPackage *package = lw_job_edit_package (job, 0);

      add_nozzle (station, "16 x 16", FALSE, 16, 16);
      add_nozzle (station, "11 x 11", FALSE, 11, 11);
      add_nozzle (station, "14 x 14", FALSE, 14, 14);
      add_nozzle (station, "16 x 11", FALSE, 16, 11);
      add_nozzle (station, "round 14", TRUE, 14, 14);
      package->length_mm = cases[i].length;
      package->width_mm = cases[i].width;
      const LwPlan *plan = choose (&job, "U1");
      g_assert_cmpstr (plan->nozzle, ==, cases[i].nozzle);
      g_assert_cmpfloat (plan->nozzle_turn_deg, ==, cases[i].turn);
    }
}

static void
test_round_nozzle (void)
{
  g_autoptr (LwJob) job = without_plans ();
  LwStation *station = lw_job_edit_station (job);

  add_nozzle (station, "square 12", FALSE, 12, 12);
  add_nozzle (station, "round 12", TRUE, 12, 12);
  lw_job_edit_package (job, 0)->round = TRUE; /* 10 mm across: the round one is the smaller that covers it */
  g_assert_cmpstr (choose (&job, "U1")->nozzle, ==, "round 12");
}

static void
test_first_plan (void)
{
  g_autoptr (LwJob) job = without_plans ();
  const LwPlan *plan = choose (&job, "U1");

  g_assert_cmpstr (plan->nozzle, ==, ""); /* the station has none */
  g_assert_cmpuint (plan->stages->len, ==, 4);
  /* The preheater, 300 x 200 mm, takes the whole board of 100 x 60 mm. */
  g_assert_cmpfloat (plan->preheat_length_mm, ==, 100);
  g_assert_cmpfloat (plan->preheat_width_mm, ==, 60);
  g_assert_cmpfloat (plan->preheat_x_mm, ==, 50);
  g_assert_cmpfloat (plan->preheat_y_mm, ==, 30);
  const LwStage *first = g_ptr_array_index (plan->stages, 0), *lift = g_ptr_array_index (plan->stages, 2);
  const LwStage *last = g_ptr_array_index (plan->stages, 3);
  g_assert_true (isnan (first->gas_c));
  g_assert_cmpfloat (lift->gas_c, >, 183); /* the job's tin-lead melts there */
  g_assert_cmpfloat (lift->flow_l_per_min, ==, 30);
  g_assert_true (isnan (last->gas_c) && isnan (last->preheat_c));
  /* A second choice brings the same plan back. */
  choose (&job, "C1");
  g_assert_cmpuint (job->plans->len, ==, 2);
  g_assert_cmpuint (job->active_plan, ==, 1);
  choose (&job, "U1");
  g_assert_cmpuint (job->plans->len, ==, 2);
  g_assert_cmpuint (job->active_plan, ==, 0);
}

/* The board of 100 x 60 mm lies over the preheater the long way, however the preheater's own sides are called. */
static void
test_first_plan_long_way (void)
{
  for (int turned = 0; turned < 2; turned++)
    {
      g_autoptr (LwJob) job = without_plans ();
      LwStation *s = lw_job_edit_station (job);

      s->preheater.max_length_mm = turned ? 20 : 50;
      s->preheater.max_width_mm = turned ? 50 : 20;
      const LwPlan *plan = choose (&job, "U1");
      g_assert_cmpfloat (plan->preheat_length_mm, ==, 50);
      g_assert_cmpfloat (plan->preheat_width_mm, ==, 20);
    }
}

/* A small station: every set point stays inside its range, the area inside its plate and about the part. */
static void
test_first_plan_small_station (void)
{
  g_autoptr (LwJob) job = without_plans ();
  LwStation *s = lw_job_edit_station (job);

  s->gas_min_c = 100;
  s->gas_max_c = 200;
  s->flow_min_l_per_min = 1;
  s->flow_max_l_per_min = 8;
  s->preheater.max_c = 120;
  s->preheater.max_length_mm = 40;
  s->preheater.max_width_mm = 40;
  const LwPlan *plan = choose (&job, "U1");
  g_assert_cmpfloat (plan->preheat_length_mm, ==, 40);
  g_assert_cmpfloat (plan->preheat_x_mm, ==, 40); /* U1 stands at (40, 30) */
  for (guint i = 0; i < plan->stages->len; i++)
    {
      const LwStage *stage = g_ptr_array_index (plan->stages, i);

      g_assert_false (stage->gas_c > 200 || stage->gas_c < 100);
      g_assert_false (stage->preheat_c > 120);
      g_assert_cmpfloat (stage->flow_l_per_min, <=, 8);
    }
}

static void
test_plan_parts (void)
{
  g_autoptr (LwJob) job = fixture_job ();
  GError *error = NULL;

  refused (lw_edit_choose_target (job, "U9", &error), &error, LW_EDIT_ERROR_REFERENCE, "no part is named U9");
  take (&job, lw_edit_add_stage (job, 0, 1, &error), error);
  const LwPlan *plan = g_ptr_array_index (job->plans, 0);
  g_assert_cmpuint (plan->stages->len, ==, 3);
  g_assert_cmpfloat (((LwStage *) g_ptr_array_index (plan->stages, 1))->preheat_c, ==, 150);
  g_assert_null (((LwStage *) g_ptr_array_index (plan->stages, 1))->extra);
  take (&job, lw_edit_remove_stage (job, 0, 1, &error), error);
  refused (lw_edit_remove_stage (job, 0, 2, &error), &error, LW_EDIT_ERROR_REFERENCE, "no stage 2");
  refused (lw_edit_remove_stage (job, 5, 0, &error), &error, LW_EDIT_ERROR_REFERENCE, "no plan 5");

  take (&job, lw_edit_add_shield (job, 0, 41, 31, &error), error); /* over U1, 10 x 10 mm */
  plan = g_ptr_array_index (job->plans, 0);
  const LwShield *shield = g_ptr_array_index (plan->shields, 1);
  g_assert_cmpstr (shield->name, ==, "S2"); /* S1 is taken */
  g_assert_cmpfloat_with_epsilon (lw_loop_area (shield->loop), 121, 1e-9);
  take (&job, lw_edit_add_shield (job, 0, 10, 50, &error), error); /* over bare board */
  take (&job, lw_edit_remove_shield (job, 0, 0, &error), error);
  refused (lw_edit_remove_shield (job, 0, 2, &error), &error, LW_EDIT_ERROR_REFERENCE, "no shield 2");

  take (&job, lw_edit_add_thermocouple (job, 0, "U1", 40, 30, LW_SIDE_TOP, &error), error);
  take (&job, lw_edit_add_thermocouple (job, 0, "", 5, 5, LW_SIDE_BOTTOM, &error), error);
  refused (lw_edit_add_thermocouple (job, 0, "U9", 5, 5, LW_SIDE_TOP, &error), &error, LW_EDIT_ERROR_REFERENCE, "U9");
  take (&job, lw_edit_remove_thermocouple (job, 0, 0, &error), error);
  plan = g_ptr_array_index (job->plans, 0);
  g_assert_cmpuint (plan->thermocouples->len, ==, 2);
}

/* ---- random edits ---- */

static LwJob *
edit_number_somewhere (const LwJob *job, GRand *random, GError **error)
{
  static const char *const paths[] = { "ambient_c", "board.thickness_mm", "parts[1].height_mm", "board.emissivity",
                                       "plans[0].stages[1].gas_c", "plans[0].stages[0].preheat_c", "station.gas_max_c",
                                       "plans[0].preheat_area.x_mm", "plans[0].nozzle_height_mm", "active_plan",
                                       "packages[0].height_mm", "board.outline[0].corners[2].y_mm", "plans[0].wanted.joint_max_c",
                                       "station.nozzles[0].length_mm", "plans[1].table[1].gas_c", "station.holder.present" };

  return lw_edit_number (job, paths[g_rand_int_range (random, 0, G_N_ELEMENTS (paths))],
                         g_rand_int_range (random, -100, 5000) / 10.0, error);
}

static LwJob *
edit_somehow (const LwJob *job, GRand *random, GError **error)
{
  guint part = (guint) g_rand_int_range (random, 0, 3), plan = (guint) g_rand_int_range (random, 0, 2);
  guint n = (guint) g_rand_int_range (random, 0, 4);
  double x = g_rand_double_range (random, 0, 110), y = g_rand_double_range (random, 0, 70);
  g_autofree char *word = g_strdup_printf ("w%u", n);

  switch (g_rand_int_range (random, 0, 14))
    {
    case 0:
      return lw_edit_move_part (job, part, x, y, error);
    case 1:
      return lw_edit_rotate_part (job, part, x * 5, error);
    case 2:
      return lw_edit_flip_part (job, part, error);
    case 3:
      return n == 0 ? without_part (job, part, error) : edit_number_somewhere (job, random, error);
    case 4:
      return lw_edit_text (job, n % 2 ? "title" : "parts[0].ref", word, error);
    case 5:
      return lw_edit_choose_target (job, part == 0 ? "U1" : "C1", error);
    case 6:
      return lw_edit_add_stage (job, plan, n, error);
    case 7:
      return lw_edit_remove_stage (job, plan, n, error);
    case 8:
      return lw_edit_add_shield (job, plan, x, y, error);
    case 9:
      return lw_edit_remove_shield (job, plan, n, error);
    case 10:
      return lw_edit_add_thermocouple (job, plan, part == 0 ? "U1" : "", x, y, LW_SIDE_TOP, error);
    case 11:
      return lw_edit_remove_thermocouple (job, plan, n, error);
    default:
      return edit_number_somewhere (job, random, error);
    }
}

static void
test_random (void)
{
  for (guint32 seed = 1; seed <= 12; seed++)
    {
      g_autoptr (GRand) random = g_rand_new_with_seed (seed);
      g_autoptr (LwDocument) document = lw_document_new (fixture_job (), NULL);
      g_autofree char *start = lw_job_to_data (lw_document_job (document), NULL);
      guint done = 0, refusals = 0;

      for (int i = 0; i < 400; i++)
        {
          g_autoptr (GError) error = NULL;
          LwJob *after = edit_somehow (lw_document_job (document), random, &error);

          if (after == NULL)
            g_assert_true (error != NULL && error->domain == LW_EDIT_ERROR);
          else
            lw_document_edit (document, after, "Edit", i % 3 == 0 ? "merge" : NULL);
          after == NULL ? refusals++ : done++;
          if (after != NULL && i % 20 == 0) /* whatever the edits made can be saved and read */
            {
              gsize length;
              g_autofree char *text = lw_job_to_data (after, &length);
              g_autoptr (LwJob) back = lw_job_from_data ("edited", text, length, &error);
              g_assert_no_error (error);
              g_autofree char *again = lw_job_to_data (back, NULL);
              g_assert_cmpstr (text, ==, again);
            }
        }
      g_assert_cmpuint (done, >, 30);
      g_assert_cmpuint (refusals, >, 20);
      g_autofree char *end = lw_job_to_data (lw_document_job (document), NULL);
      while (lw_document_undo (document))
        ;
      g_autofree char *undone = lw_job_to_data (lw_document_job (document), NULL);
      g_assert_cmpstr (undone, ==, start);
      while (lw_document_redo (document))
        ;
      g_autofree char *redone = lw_job_to_data (lw_document_job (document), NULL);
      g_assert_cmpstr (redone, ==, end);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/edits/number", test_number);
  g_test_add_func ("/board/edits/number-refused", test_number_refused);
  g_test_add_func ("/board/edits/mending", test_mending);
  g_test_add_func ("/board/edits/text", test_text);
  g_test_add_func ("/board/edits/renaming", test_renaming);
  g_test_add_func ("/board/edits/parts", test_parts);
  g_test_add_func ("/board/edits/flip", test_flip);
  g_test_add_func ("/board/edits/nozzle-choice", test_nozzle_choice);
  g_test_add_func ("/board/edits/round-nozzle", test_round_nozzle);
  g_test_add_func ("/board/edits/first-plan", test_first_plan);
  g_test_add_func ("/board/edits/first-plan-long-way", test_first_plan_long_way);
  g_test_add_func ("/board/edits/first-plan-small-station", test_first_plan_small_station);
  g_test_add_func ("/board/edits/plan-parts", test_plan_parts);
  g_test_add_func ("/board/edits/random", test_random);
  return g_test_run ();
}
