/* A dragged part comes to lie in line with its neighbours. Bodies are those of the library's R0603, 1.6 x 0.8 mm (EIA
 * chip 0603); the lines follow by adding and taking halves of them. */
#include "board/align.h"
#include "board/edits.h"

static LwJob *
job_of (const double (*places)[3], guint n)
{
  LwJob *job = lw_job_new ();

  for (guint i = 0; i < n; i++)
    {
      LwPart *part = lw_part_new ();

      part->ref = (g_free (part->ref), g_strdup_printf ("R%u", i + 1));
      part->package = (g_free (part->package), g_strdup ("R0603"));
      part->x_mm = places[i][0];
      part->y_mm = places[i][1];
      part->rotation_deg = places[i][2];
      g_ptr_array_add (job->parts, part);
    }
  return job;
}

static void
assert_near (double a, double b)
{
  g_assert_cmpfloat_with_epsilon (a, b, 1e-9);
}

static double
length_of (const LwJob *job)
{
  LwBox box = lw_job_part_box (job, 0);

  return box.x1_mm - box.x0_mm;
}

/* Middles share a line in x, 0.2 mm off; the gap between the bodies is what lies between them in y. */
static void
test_middles (void)
{
  const double places[][3] = { { 10.2, 20, 0 }, { 10, 10, 0 } };
  g_autoptr (LwJob) job = job_of (places, 2);
  LwBox own = lw_job_part_box (job, 0);
  LwAlignment upright, lying;

  lw_job_align_part (job, 0, NULL, (LwPoint){ 0, 0 }, 0.5, &upright, &lying);
  g_assert_true (upright.found && upright.middles && upright.apart);
  assert_near (upright.at_mm, 10);
  assert_near (upright.shift_mm, -0.2);
  g_assert_cmpuint (upright.neighbour, ==, 1);
  assert_near (upright.gap_mm, 10 - (own.y1_mm - own.y0_mm));
  g_assert_false (lying.found);
}

/* Turned by 90 degrees its edge meets the other's edge; both ways at once. */
static void
test_edges (void)
{
  const double places[][3] = { { 0, 0, 0 }, { 10, 0, 90 } };
  g_autoptr (LwJob) job = job_of (places, 2);
  double length = length_of (job);
  LwBox other = lw_job_part_box (job, 1);
  LwAlignment upright, lying;

  /* brought beside it, so that its left edge is 0.1 mm right of the other's left edge and its middle 0.15 below */
  lw_job_align_part (job, 0, NULL, (LwPoint){ other.x0_mm + 0.1 + 0.5 * length, -0.15 }, 0.35, &upright, &lying);
  g_assert_true (upright.found && !upright.middles);
  assert_near (upright.at_mm, other.x0_mm);
  assert_near (upright.shift_mm, -0.1);
  g_assert_false (upright.apart); /* they lie over one another */
  g_assert_true (lying.found && lying.middles);
  assert_near (lying.shift_mm, 0.15);
}

/* Out of reach, on the other side, not placed, or dragged along: none of them counts. */
static void
test_none (void)
{
  const double places[][3] = { { 10.2, 20, 0 }, { 10, 10, 0 }, { 10, 5, 0 }, { 10, 0, 0 }, { 10.2, 12, 0 } };
  g_autoptr (LwJob) job = job_of (places, 5);
  g_autoptr (GArray) skip = g_array_new (FALSE, FALSE, sizeof (guint));
  guint dragged = 4;
  LwAlignment upright, lying;

  g_array_append_val (skip, dragged);
  ((LwPart *) job->parts->pdata[2])->side = LW_SIDE_BOTTOM;
  ((LwPart *) job->parts->pdata[3])->placed = FALSE;
  lw_job_align_part (job, 0, skip, (LwPoint){ 0, 0 }, 0.15, &upright, &lying);
  g_assert_false (upright.found);
  lw_job_align_part (job, 0, skip, (LwPoint){ 0, 0 }, 0.25, &upright, &lying);
  g_assert_true (upright.found);
  g_assert_cmpuint (upright.neighbour, ==, 1);
  lw_job_align_part (job, 0, skip, (LwPoint){ 0, 0 }, 0, &upright, &lying);
  g_assert_false (upright.found || lying.found);
}

/* Of two that share the line the nearer one is named. */
static void
test_nearest (void)
{
  const double places[][3] = { { 10, 20, 0 }, { 10, 0, 0 }, { 10, 12, 0 } };
  g_autoptr (LwJob) job = job_of (places, 3);
  LwAlignment upright, lying;

  lw_job_align_part (job, 0, NULL, (LwPoint){ 0.05, 0 }, 0.2, &upright, &lying);
  g_assert_cmpuint (upright.neighbour, ==, 2);
  assert_near (upright.shift_mm, -0.05);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/align/middles", test_middles);
  g_test_add_func ("/align/edges", test_edges);
  g_test_add_func ("/align/none", test_none);
  g_test_add_func ("/align/nearest", test_nearest);
  return g_test_run ();
}
