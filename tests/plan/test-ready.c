/* Readiness: the tables against their published values (the source beside each), the arithmetic of exposure, reflows and
 * schedule, and what becomes a finding. Predictions are made by hand. */
#include <math.h>
#include <string.h>

#include "board/library.h"
#include "board/moment.h"
#include "board/operations.h"
#include "plan/bench.h"
#include "plan/prediction.h"
#include "plan/ready.h"

/* ---- tables ---- */

/* J-STD-033 at 30 °C and 60 %: 2a four weeks (Avago AFBR-1012 sheet), 3 one week (Avago ACPM-1403 sheet); 2, 4, 5, 5a from
 * memory, which the figures say themselves. */
static void
floor_life (void)
{
  static const struct {
    LwMoistureLevel level;
    double hours;
    gboolean memory;
  } rows[] = { { LW_MSL_2, 8760, TRUE }, { LW_MSL_2A, 672, FALSE }, { LW_MSL_3, 168, FALSE },
               { LW_MSL_4, 72, TRUE },   { LW_MSL_5, 48, TRUE },    { LW_MSL_5A, 24, TRUE } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    LwReadyFigure f = lw_ready_floor_life (rows[i].level, NAN, NAN, FALSE, NAN);

    g_assert_cmpfloat (f.hours, ==, rows[i].hours);
    g_assert_cmpint (strstr (f.source, "from memory") != NULL, ==, rows[i].memory);
    g_assert_cmpfloat (lw_ready_floor_life (rows[i].level, 25, 60, FALSE, NAN).hours, ==, rows[i].hours);
    g_assert_true (isnan (lw_ready_floor_life (rows[i].level, 31, 50, TRUE, NAN).hours)); /* no column at hand */
  }
  g_assert_true (isinf (lw_ready_floor_life (LW_MSL_1, 30, 85, FALSE, NAN).hours));
  g_assert_true (isnan (lw_ready_floor_life (LW_MSL_1, 30, 86, FALSE, NAN).hours));
  g_assert_true (isnan (lw_ready_floor_life (LW_MSL_6, NAN, NAN, FALSE, NAN).hours));
  g_assert_cmpfloat (lw_ready_floor_life (LW_MSL_6, NAN, NAN, FALSE, 6).hours, ==, 6); /* the label's */
  g_assert_true (isnan (lw_ready_floor_life (LW_MSL_3, 25, 70, FALSE, NAN).hours)); /* thin: no figure at hand */
}

/* J-STD-033 Table 7-1 at 30 °C for thick bodies, days, as printed at akfcx.com/news/industry/1274.html; 0 = unlimited. */
static void
derating (void)
{
  static const struct {
    LwMoistureLevel level;
    double days[9];
  } rows[] = { { LW_MSL_2A, { 0, 124, 60, 41, 33, 28, 10, 7, 6 } },
               { LW_MSL_3, { 0, 10, 9, 8, 7, 7, 5, 4, 4 } },
               { LW_MSL_4, { 5, 4, 4, 4, 3, 3, 3, 2, 2 } },
               { LW_MSL_5, { 4, 3, 3, 2, 2, 2, 2, 1, 1 } },
               { LW_MSL_5A, { 2, 1, 1, 1, 1, 1, 1, 1, 1 } } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    for (guint c = 0; c < 9; c++) {
      LwReadyFigure f = lw_ready_floor_life (rows[i].level, 30, 10.0 * (c + 1), TRUE, NAN);

      if (rows[i].days[c] == 0)
        g_assert_true (isinf (f.hours));
      else
        g_assert_cmpfloat (f.hours, ==, 24 * rows[i].days[c]);
      g_assert_nonnull (strstr (f.source, "Table 7-1"));
    }
  /* between two columns the more humid one holds; a cooler room counts as 30 °C */
  g_assert_cmpfloat (lw_ready_floor_life (LW_MSL_3, 22, 61, TRUE, NAN).hours, ==, 120);
  g_assert_true (isnan (lw_ready_floor_life (LW_MSL_3, 30, 91, TRUE, NAN).hours));
}

/* J-STD-033 Table 4-1, rev B.1 to D, from memory: thickness up to 1.4, 2.0, 4.5 mm; passed by more than 72 h / by less. */
static void
bakes (void)
{
  static const struct {
    LwMoistureLevel level;
    double thickness_mm;
    gboolean late;
    guint row;
    double hours;
  } rows[] = {
    { LW_MSL_2, 1.0, TRUE, 0, 5 },        { LW_MSL_2, 1.4, FALSE, 1, 11 },     { LW_MSL_2, 1.5, TRUE, 1, 63 },
    { LW_MSL_2A, 1.4, TRUE, 2, 9 * 24 },  { LW_MSL_3, 1.4, TRUE, 0, 9 },       { LW_MSL_3, 1.41, TRUE, 0, 27 },
    { LW_MSL_3, 2.0, FALSE, 0, 17 },      { LW_MSL_3, 2.01, TRUE, 0, 48 },     { LW_MSL_3, 3.0, FALSE, 1, 8 * 24 },
    { LW_MSL_4, 1.8, TRUE, 2, 47 * 24 },  { LW_MSL_5, 2.0, TRUE, 1, 6 * 24 },  { LW_MSL_5A, 1.0, FALSE, 0, 10 },
    { LW_MSL_5A, 2.0, FALSE, 2, 56 * 24 }, { LW_MSL_5A, 4.5, TRUE, 2, 79 * 24 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    LwReadyFigure f = lw_ready_bake (rows[i].level, rows[i].thickness_mm, FALSE, rows[i].late, rows[i].row);

    g_assert_cmpfloat (f.hours, ==, rows[i].hours);
    g_assert_nonnull (strstr (f.source, "from memory"));
  }
  /* area arrays above 17 x 17 mm: 96 h at 125 °C when late, else by thickness */
  g_assert_cmpfloat (lw_ready_bake (LW_MSL_3, 1.0, TRUE, TRUE, 0).hours, ==, 96);
  g_assert_cmpfloat (lw_ready_bake (LW_MSL_3, 1.0, TRUE, FALSE, 0).hours, ==, 7);
  g_assert_cmpfloat (lw_ready_bake (LW_MSL_3, 1.0, TRUE, TRUE, 1).hours, ==, 33);
  g_assert_true (isnan (lw_ready_bake (LW_MSL_3, 4.6, FALSE, TRUE, 0).hours));
  g_assert_true (isnan (lw_ready_bake (LW_MSL_1, 1.0, FALSE, TRUE, 0).hours));
  g_assert_true (isnan (lw_ready_bake (LW_MSL_3, NAN, FALSE, TRUE, 0).hours));
}

static void
bake_rows (void)
{
  g_assert_cmpint (lw_ready_bake_row (150), ==, 0);
  g_assert_cmpint (lw_ready_bake_row (125), ==, 0);
  g_assert_cmpint (lw_ready_bake_row (124), ==, 1);
  g_assert_cmpint (lw_ready_bake_row (85), ==, 2);
  g_assert_cmpint (lw_ready_bake_row (39), ==, -1);
  /* IPC-1601, from memory: 105 to 125 °C for 4 to 6 h */
  LwReadyBoardBake b = lw_ready_board_bake ();
  g_assert_true (b.low_c == 105 && b.high_c == 125 && b.low_h == 4 && b.high_h == 6);
  g_assert_nonnull (strstr (b.source, "from memory"));
  /* three reflows: Microchip's profile page, KEMET T494/T496 */
  g_assert_cmpfloat (lw_ready_part_cycles ().hours, ==, 3);
}

/* ---- a job ---- */

static LwPart *
new_part (const char *ref, const char *package, double x_mm, LwSide side)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  part->ref = g_strdup (ref);
  g_free (part->package);
  part->package = g_strdup (package);
  part->x_mm = x_mm;
  part->y_mm = 50;
  part->side = side;
  g_assert_nonnull (lw_library_package (package));
  return part;
}

/* U1 to be removed and N1, an area array of 9 x 13 mm, 40 mm beside it. */
static LwJob *
new_job (void)
{
  LwJob *job = lw_job_new ();
  g_autoptr (GError) error = NULL;

  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 120, 100));
  g_ptr_array_add (job->parts, new_part ("U1", "BGA-484-23x23-1.00", 60, LW_SIDE_TOP));
  g_ptr_array_add (job->parts, new_part ("N1", "FBGA-96-9x13-0.80", 100, LW_SIDE_TOP));
  lw_station_unref (job->station);
  job->station = lw_station_ref (lw_library_station ("Harbour bench 1"));
  LwJob *planned = lw_edit_add_operation (job, "U1", LW_OP_REMOVE, &error);
  g_assert_no_error (error);
  lw_job_unref (job);
  return planned;
}

static LwPart *
part_of (LwJob *job, guint index)
{
  return lw_job_edit_part (job, index);
}

static void
set (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

static guint
add_operation (LwJob **job, LwOperation operation)
{
  g_autoptr (GError) error = NULL;
  LwJob *after = lw_edit_add_operation (*job, "U1", operation, &error);

  g_assert_no_error (error);
  lw_job_unref (*job);
  *job = after;
  return after->active_plan;
}

static void
add_trace (LwPrediction *p, const LwJob *job, guint index, double joints_c, double body_c)
{
  LwPartTrace *t = g_new0 (LwPartTrace, 1);

  t->ref = g_strdup (((LwPart *) job->parts->pdata[index])->ref);
  t->part = index;
  t->is_target = index == 0;
  t->joint_peak_c = t->joint_center_peak_c = t->joint_corner_peak_c = joints_c;
  t->body_peak_c = body_c;
  t->joint_liquidus_c = 220;
  t->joint_doubt_k = t->body_doubt_k = NAN;
  g_ptr_array_add (p->parts, t);
}

static GPtrArray *
judge (const LwJob *job, guint plan, double target_c, double neighbour_c)
{
  g_autoptr (LwPrediction) p = lw_prediction_new ();

  p->plan = plan;
  p->board_peak_c = p->board_tg_c = p->board_td_c = p->board_above_tg_s = NAN;
  add_trace (p, job, 0, target_c - 5, target_c);
  add_trace (p, job, 1, neighbour_c - 5, neighbour_c);
  p->target = 0;
  return lw_judge (job, plan, p);
}

static const LwFinding *
find (const GPtrArray *findings, const char *kind, const char *ref)
{
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *f = g_ptr_array_index (findings, i);

    if (strcmp (f->kind, kind) == 0 && strcmp (f->ref, ref) == 0)
      return f;
  }
  return NULL;
}

static const LwFinding *
expect (const GPtrArray *findings, const char *kind, const char *ref, LwGrade grade)
{
  const LwFinding *f = find (findings, kind, ref);

  g_test_message ("%s %s", kind, ref);
  g_assert_nonnull (f);
  g_test_message ("  %s: %s %s", lw_grade_word (f->grade), f->text, f->advice);
  g_assert_cmpint (f->grade, ==, grade);
  g_assert_true (*f->text != '\0' && *f->source != '\0');
  return f;
}

/* ---- exposure ---- */

static void
exposure (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *u1 = part_of (job, 0);
  LwMoisture m = lw_ready_moisture (job, u1, FALSE);

  g_assert_cmpint (m.wet, ==, LW_WET_UNKNOWN);
  g_assert_nonnull (strstr (m.missing, "level"));
  u1->past.level = LW_MSL_3;
  g_assert_cmpint (lw_ready_moisture (job, u1, FALSE).wet, ==, LW_WET_UNKNOWN);
  u1->past.exposure_h = 168; /* the last hour of a week still counts */
  g_assert_cmpint (lw_ready_moisture (job, u1, FALSE).wet, ==, LW_WET_WITHIN);
  u1->past.exposure_h = 169;
  g_assert_cmpint (lw_ready_moisture (job, u1, FALSE).wet, ==, LW_WET_PAST);
  /* 100 h before, and from 1 March 08:00 to 3 March 20:30 (60.5 h) */
  u1->past.exposure_h = 100;
  set (&u1->past.opened, "2026-03-01T08:00");
  g_assert_nonnull (strstr (lw_ready_moisture (job, u1, FALSE).missing, "start"));
  set (&job->schedule.start, "2026-03-03T20:30");
  g_assert_cmpfloat (lw_ready_moisture (job, u1, FALSE).exposure_h, ==, 160.5);
  u1->past.kept = LW_STORED_DRY_CABINET; /* the clock stands */
  g_assert_cmpfloat (lw_ready_moisture (job, u1, FALSE).exposure_h, ==, 100);
}

/* The new part's level is that of the old one until somebody says otherwise; an unopened dry pack is no exposure. */
static void
spare (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *u1 = part_of (job, 0);

  u1->past.level = LW_MSL_4;
  u1->past.exposure_h = 5000;
  u1->spare.kept = LW_STORED_DRY_PACK;
  LwMoisture m = lw_ready_moisture (job, u1, TRUE);
  g_assert_cmpint (m.level, ==, LW_MSL_4);
  g_assert_cmpint (m.wet, ==, LW_WET_WITHIN);
  g_assert_cmpfloat (m.exposure_h, ==, 0);
  u1->spare.level = LW_MSL_1;
  g_assert_cmpint (lw_ready_moisture (job, u1, TRUE).wet, ==, LW_WET_FREE);
  g_assert_cmpint (lw_ready_moisture (job, u1, FALSE).wet, ==, LW_WET_PAST);
}

/* ---- the rule of 200 °C ---- */

/* J-STD-033, rework (as the ACPM-1403 and WS1102 sheets quote it): a level 3 neighbour past its floor life needs no bake
 * at 199 °C and is baked first at 201 °C. */
static void
two_hundred (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *n1 = part_of (job, 1);

  n1->past.level = LW_MSL_3;
  n1->past.exposure_h = 400;
  g_autoptr (GPtrArray) cool = judge (job, 0, 245, 199), at = judge (job, 0, 245, 200), hot = judge (job, 0, 245, 201);
  expect (cool, "readiness-bake", "N1", LW_GRADE_FINE);
  expect (at, "readiness-bake", "N1", LW_GRADE_FINE);
  const LwFinding *f = expect (hot, "readiness-bake", "N1", LW_GRADE_STOP);
  g_assert_cmpfloat (f->value, ==, 201);
  g_assert_cmpfloat (f->limit, ==, 200);
  g_assert_cmpfloat (f->headroom, ==, -1);
  g_assert_cmpstr (f->unit, ==, "°C");
  g_assert_nonnull (strstr (f->source, "J-STD-033"));
  /* 9 x 13 mm, at most 1.4 mm thick, level 3, 232 h too late: 9 h at 125 °C (Table 4-1, from memory) */
  g_assert_nonnull (strstr (f->advice, "9 h at 125 °C"));
  g_assert_nonnull (strstr (f->advice, "from memory"));
  n1->past.exposure_h = 100; /* parts inside their floor life may go up to their class */
  g_autoptr (GPtrArray) within = judge (job, 0, 245, 240);
  g_assert_null (find (within, "readiness-bake", "N1"));
}

/* Unknown is to be found out, where it matters. */
static void
unknown (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (GPtrArray) hot = judge (job, 0, 245, 210), cool = judge (job, 0, 245, 190);

  const LwFinding *f = expect (hot, "readiness-unknown", "", LW_GRADE_WATCH);
  g_assert_nonnull (strstr (f->text, "N1"));
  g_assert_null (find (cool, "readiness-unknown", ""));
  f = expect (cool, "readiness-dry", "N1", LW_GRADE_FINE);
  g_assert_cmpfloat (f->headroom, ==, 10);
  expect (cool, "readiness-unknown", "U1", LW_GRADE_WATCH);
}

/* J-STD-033: a part that is used again or looked into is baked before it comes off; else it spoils only itself. */
static void
kept_after (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *u1 = part_of (job, 0);

  u1->past.level = LW_MSL_5;
  u1->past.exposure_h = 1000;
  g_autoptr (GPtrArray) thrown = judge (job, 0, 245, 150);
  expect (thrown, "readiness-bake", "U1", LW_GRADE_WATCH);
  u1->kept_after = TRUE;
  g_autoptr (GPtrArray) kept = judge (job, 0, 245, 150);
  /* 23 x 23 mm, an area array above 17 x 17, more than 72 h late: 96 h at 125 °C */
  g_assert_nonnull (strstr (expect (kept, "readiness-bake", "U1", LW_GRADE_STOP)->advice, "96 h at 125 °C"));
}

/* Electrolytics take a cooler row (J-STD-033 for populated boards). */
static void
bake_limit (void)
{
  g_autoptr (LwJob) job = new_job ();
  const LwPart *weakest = NULL;

  g_assert_cmpfloat (lw_ready_bake_limit_c (job, &weakest), ==, 125);
  g_assert_null (weakest);
  g_ptr_array_add (job->parts, new_part ("C1", "ELCAP-8x10.2", 20, LW_SIDE_TOP));
  g_assert_cmpfloat (lw_ready_bake_limit_c (job, &weakest), ==, 90);
  g_assert_cmpstr (weakest->ref, ==, "C1");
  g_ptr_array_add (job->parts, new_part ("BT1", "COIN-HOLDER-20-CELL", 20, LW_SIDE_BOTTOM)); /* it comes off first */
  g_assert_cmpfloat (lw_ready_bake_limit_c (job, NULL), ==, 90);
  LwPart *n1 = part_of (job, 1);
  n1->past.level = LW_MSL_3;
  n1->past.exposure_h = 400;
  LwReadyBake bake = lw_ready_bake_of (job, n1, FALSE, FALSE);
  g_assert_true (bake.c == 90 && bake.hours == 33);
  job->schedule.bake_c = 60; /* the planner's wish: the next cooler row */
  bake = lw_ready_bake_of (job, n1, FALSE, FALSE);
  g_assert_true (bake.c == 40 && bake.hours == 13 * 24);
  job->schedule.bake_c = NAN;
  bake = lw_ready_bake_of (job, n1, FALSE, TRUE); /* alone in its tray */
  g_assert_true (bake.c == 125 && bake.hours == 9);
}

static void
board_bake (void)
{
  g_autoptr (LwJob) job = new_job ();
  g_autoptr (GPtrArray) nobody = judge (job, 0, 245, 150);

  expect (nobody, "readiness-board-bake", "", LW_GRADE_WATCH);
  LwBoard *board = lw_job_edit_board (job);
  board->past.baked = LW_BAKED_YES;
  board->past.absorbed_percent = 0.25;
  board->past.absorbed_max_percent = 0.2;
  g_autoptr (GPtrArray) wet = judge (job, 0, 245, 150);
  expect (wet, "readiness-board-bake", "", LW_GRADE_FINE);
  expect (wet, "readiness-board-moisture", "", LW_GRADE_STOP);
}

/* ---- reflows ---- */

/* Two sides assembled: the lands have seen 2. Off, cleaned, on again: 3, 4, 5. The new part sees its first. */
static void
cycles (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *u1 = part_of (job, 0);

  u1->past.cycles_used = u1->site_cycles_used = 2;
  guint reflow = add_operation (&job, LW_OP_REFLOW);
  guint clean = add_operation (&job, LW_OP_CLEAN);
  add_operation (&job, LW_OP_PRINT);
  add_operation (&job, LW_OP_PLACE);
  reflow = (guint) lw_job_find_operation (job, "U1", LW_OP_REFLOW);
  clean = (guint) lw_job_find_operation (job, "U1", LW_OP_CLEAN);
  LwReadyCycles c = lw_ready_cycles (job, 0);
  g_assert_true (c.part_after == 3 && c.site_after == 3 && !c.spare);
  c = lw_ready_cycles (job, clean);
  g_assert_cmpfloat (c.site_after, ==, 4);
  c = lw_ready_cycles (job, reflow);
  g_assert_true (c.spare && c.part_used == 0 && c.part_after == 1 && c.site_after == 5);
  g_autoptr (GPtrArray) findings = judge (job, reflow, 245, 150);
  expect (findings, "readiness-cycles", "U1", LW_GRADE_FINE);
  const LwFinding *f = expect (findings, "readiness-site-cycles", "U1", LW_GRADE_FINE);
  g_assert_true (f->value == 5 && f->limit == 6);
}

static void
cycles_used_up (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *u1 = part_of (job, 0);

  u1->kept_after = TRUE;
  u1->past.cycles_used = 3; /* Microchip, KEMET: three in all */
  u1->site_cycles_used = 6;
  g_autoptr (GPtrArray) over = judge (job, 0, 245, 150);
  g_assert_cmpfloat (expect (over, "readiness-cycles", "U1", LW_GRADE_STOP)->headroom, ==, -1);
  expect (over, "readiness-site-cycles", "U1", LW_GRADE_WATCH); /* the program's own figure stops nothing */
  lw_job_edit_board (job)->past.cycles_allowed = 6;
  g_autoptr (GPtrArray) said = judge (job, 0, 245, 150);
  expect (said, "readiness-site-cycles", "U1", LW_GRADE_STOP);
  u1 = part_of (job, 0);
  u1->past.cycles_used = 2;
  g_autoptr (GPtrArray) last = judge (job, 0, 245, 150);
  expect (last, "readiness-cycles", "U1", LW_GRADE_WATCH); /* none is left */
  part_of (job, 1)->past.cycles_used = 3;
  g_autoptr (GPtrArray) along = judge (job, 0, 245, 230); /* its joints reach 225 °C: they melt along */
  expect (along, "readiness-cycles", "N1", LW_GRADE_STOP);
  g_autoptr (GPtrArray) apart = judge (job, 0, 245, 215);
  g_assert_null (find (apart, "readiness-cycles", "N1"));
}

/* ---- the site ---- */

/* Acrylic bears about 125 °C, silicone 200 °C (makers' sheets, from memory). Renata: cells at most 85 °C. */
static void
site (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *n1 = part_of (job, 1), *u1 = part_of (job, 0);

  set (&n1->coating, "Acrylic, 50 µm");
  g_autoptr (GPtrArray) hot = judge (job, 0, 245, 126);
  g_assert_cmpfloat (expect (hot, "readiness-coating", "N1", LW_GRADE_WATCH)->limit, ==, 125);
  set (&n1->coating, "silicone");
  g_autoptr (GPtrArray) far = judge (job, 0, 245, 126);
  g_assert_null (find (far, "readiness-coating", "N1"));
  set (&u1->coating, "urethane");
  set (&u1->underfill, "epoxy");
  set (&n1->underfill, "epoxy");
  g_autoptr (GPtrArray) target = judge (job, 0, 245, 228);
  expect (target, "readiness-coating", "U1", LW_GRADE_WATCH);
  expect (target, "readiness-underfill", "U1", LW_GRADE_WATCH);
  expect (target, "readiness-underfill", "N1", LW_GRADE_WATCH); /* its joints melt */
  g_ptr_array_add (job->parts, new_part ("BT1", "COIN-HOLDER-20-CELL", 20, LW_SIDE_BOTTOM));
  g_autoptr (GPtrArray) unseen = lw_judge (job, 0, NULL);
  expect (unseen, "readiness-take-off", "BT1", LW_GRADE_WATCH);
  g_autoptr (GPtrArray) ticks = lw_bench_before (job, 0, target);
  g_assert_nonnull (find (ticks, "readiness-coating", "U1"));
}

/* ---- schedule ---- */

static gint64
minute (const char *text)
{
  gint64 minutes = 0;

  g_assert_true (lw_moment_parse (text, &minutes));
  return minutes;
}

static const LwDue *
due_of (const GPtrArray *dues, LwDueKind kind)
{
  for (guint i = 0; i < dues->len; i++)
    if (((const LwDue *) dues->pdata[i])->kind == kind)
      return dues->pdata[i];
  return NULL;
}

/* By hand: heat on Monday 2 March 2026 at 09:00; 30 min to fix the board -> 08:30; 45 min to cool -> the bake ends 07:45;
 * 9 h (level 3, up to 1.4 mm, late, 125 °C) -> it begins on Sunday at 22:45; 20 min to warm up -> 08:40. */
static void
schedule (void)
{
  g_autoptr (LwJob) job = new_job ();
  LwPart *n1 = part_of (job, 1);

  n1->past.level = LW_MSL_3;
  n1->past.exposure_h = 400;
  lw_job_edit_board (job)->past.baked = LW_BAKED_YES;
  lw_job_edit_station (job)->warm_up_min = 20;
  set (&job->schedule.start, "2026-03-02T09:00");
  job->schedule.set_up_min = 30;
  job->schedule.cool_min = 45;
  g_autoptr (GPtrArray) findings = judge (job, 0, 245, 210);
  g_autoptr (GPtrArray) dues = lw_ready_schedule (job, 0, findings);
  g_assert_cmpuint (dues->len, ==, 5);
  g_assert_cmpint (due_of (dues, LW_DUE_START)->at_min, ==, minute ("2026-03-02T09:00"));
  g_assert_cmpint (due_of (dues, LW_DUE_SET_UP)->at_min, ==, minute ("2026-03-02T08:30"));
  g_assert_cmpint (due_of (dues, LW_DUE_WARM_UP)->at_min, ==, minute ("2026-03-02T08:40"));
  g_assert_cmpint (due_of (dues, LW_DUE_COOL)->at_min, ==, minute ("2026-03-02T07:45"));
  g_assert_cmpint (due_of (dues, LW_DUE_BAKE)->at_min, ==, minute ("2026-03-01T22:45"));
  for (guint i = 1; i < dues->len; i++)
    g_assert_cmpint (((LwDue *) dues->pdata[i - 1])->at_min, <=, ((LwDue *) dues->pdata[i])->at_min);
  g_assert_nonnull (strstr (expect (findings, "readiness-schedule", "", LW_GRADE_FINE)->text, "2026-03-01 22:45"));
  set (&job->schedule.start, "");
  g_autoptr (GPtrArray) none = lw_ready_schedule (job, 0, findings);
  g_assert_cmpuint (none->len, ==, 0);
}

/* Level 3: opened on 1 March at 08:00 with 20 h used before: 148 h are left, until 7 March 12:00. */
static void
use_by (void)
{
  g_autoptr (LwJob) job = new_job ();
  guint place = add_operation (&job, LW_OP_REFLOW);
  LwPart *u1 = part_of (job, 0);

  u1->spare.level = LW_MSL_3;
  u1->spare.exposure_h = 20;
  set (&u1->spare.opened, "2026-03-01T08:00");
  set (&job->schedule.start, "2026-03-02T09:00");
  g_autoptr (GPtrArray) dues = lw_ready_schedule (job, place, NULL);
  const LwDue *due = due_of (dues, LW_DUE_USE_BY);
  g_assert_nonnull (due);
  g_assert_cmpint (due->at_min, ==, minute ("2026-03-07T12:00"));
  g_assert_true (due_of (dues, LW_DUE_WARM_UP)->assumed);
}

/* ---- operations ---- */

static void
operations (void)
{
  g_autoptr (LwJob) job = new_job ();
  guint print = add_operation (&job, LW_OP_PRINT);
  g_autoptr (GPtrArray) findings = lw_judge (job, print, NULL);
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < findings->len; i++) /* no nozzle, no heat: nothing is found about them */
    g_assert_true (lw_ready_is_finding (findings->pdata[i]));
  g_assert_null (lw_predict (job, print, NULL, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
  for (int op = 0; op < LW_N_OPS; op++) {
    guint n = 0;

    while (lw_ready_step (op, n) != NULL)
      n++;
    g_assert_cmpuint (n, >=, 3);
  }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plan/ready/floor-life", floor_life);
  g_test_add_func ("/plan/ready/derating", derating);
  g_test_add_func ("/plan/ready/bakes", bakes);
  g_test_add_func ("/plan/ready/bake-rows", bake_rows);
  g_test_add_func ("/plan/ready/exposure", exposure);
  g_test_add_func ("/plan/ready/spare", spare);
  g_test_add_func ("/plan/ready/two-hundred", two_hundred);
  g_test_add_func ("/plan/ready/unknown", unknown);
  g_test_add_func ("/plan/ready/kept-after", kept_after);
  g_test_add_func ("/plan/ready/bake-limit", bake_limit);
  g_test_add_func ("/plan/ready/board-bake", board_bake);
  g_test_add_func ("/plan/ready/cycles", cycles);
  g_test_add_func ("/plan/ready/cycles-used-up", cycles_used_up);
  g_test_add_func ("/plan/ready/site", site);
  g_test_add_func ("/plan/ready/schedule", schedule);
  g_test_add_func ("/plan/ready/use-by", use_by);
  g_test_add_func ("/plan/ready/operations", operations);
  return g_test_run ();
}
