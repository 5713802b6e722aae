/* A map of plotted copper against the same copper drawn by hand as regions, whose effect on the full
 * solution is checked elsewhere against an independent solver; and what a pour does to joints: copper
 * carries heat away (k 385 against 0.8 W/mK), so joints above it stay colder. */
#include <math.h>

#include "bench.h"
#include "board/copper-map.h"
#include "plan/predict.h"

#define X0 10.0
#define Y0 20.0
#define MIDDLE (X0 + 50)
#define POUR_END (X0 + 90)
#define THIN 0.2 /* 51 of 255 */

static LwLayer *
layer (LwLayerKind kind, const char *name, double mm, double cover)
{
  LwLayer *self = lw_layer_new ();

  g_free (self->name);
  self->name = g_strdup (name);
  self->kind = kind;
  self->thickness_mm = mm;
  self->cover = cover;
  return self;
}

static LwJob *
job_with_layers (LwSide side, double inner_cover)
{
  LwJob *job = bench_job (side, X0, Y0);
  GPtrArray *layers = job->board->layers;

  g_ptr_array_set_size (layers, 0);
  g_ptr_array_add (layers, layer (LW_LAYER_COPPER, "L1", 0.035, THIN));
  g_ptr_array_add (layers, layer (LW_LAYER_LAMINATE, "", 0.2, 1));
  g_ptr_array_add (layers, layer (LW_LAYER_COPPER, "L2", 0.07, inner_cover));
  g_ptr_array_add (layers, layer (LW_LAYER_LAMINATE, "", 1.225, 1));
  g_ptr_array_add (layers, layer (LW_LAYER_COPPER, "L3", 0.07, THIN));
  return job;
}

/* The pour: full copper on L2 right of the array's middle. */
static void
draw_pour (LwJob *job)
{
  LwCopperRegion *region = lw_copper_region_new ();

  g_free (region->layer);
  region->layer = g_strdup ("L2");
  region->cover = 1;
  lw_loop_unref (region->loop);
  region->loop = lw_loop_new_rectangle (MIDDLE, Y0 + 10, POUR_END, Y0 + 70);
  g_ptr_array_add (job->board->copper_regions, region);
}

static void
add_map (LwJob *job, gboolean with_pour)
{
  LwCopperMap *map = lw_copper_map_new ();
  g_autofree guint8 *cells = NULL;

  map->x_mm = X0;
  map->y_mm = Y0;
  map->cell_mm = 0.5;
  map->columns = 200;
  map->rows = 160;
  cells = g_malloc (200 * 160);
  for (guint i = 0; i < 200 * 160; i++)
    {
      double x = X0 + (i % 200 + 0.5) * 0.5, y = Y0 + (i / 200 + 0.5) * 0.5;
      gboolean in = x > MIDDLE && x < POUR_END && y > Y0 + 10 && y < Y0 + 70;

      cells[i] = in && with_pour ? 255 : 51;
    }
  lw_copper_map_add (map, "L2", cells);
  job->board->copper_map = map;
}

static LwPrediction *
solve (LwJob *job)
{
  LwPredictOptions options = { .cell_mm = 2, .no_doubt = TRUE };
  g_autoptr (GError) error = NULL;
  LwPrediction *prediction = lw_predict (job, 0, &options, NULL, NULL, NULL, &error);

  g_assert_no_error (error);
  return prediction;
}

static double
largest_difference (const LwPrediction *a, const LwPrediction *b)
{
  double most = 0;
  guint n = a->target_joint_at->len;

  g_assert_cmpuint (a->n_times, ==, b->n_times);
  g_assert_cmpuint (n, ==, b->target_joint_at->len);
  for (guint i = 0; i < a->n_times * n; i++)
    most = fmax (most, fabs (a->target_joints[i] - b->target_joints[i]));
  return most;
}

/* Mean peak of the joints on one half of the array. */
static double
half_peak (const LwPrediction *p, gboolean right)
{
  double sum = 0;
  guint n = p->target_joint_at->len, counted = 0;

  for (guint j = 0; j < n; j++)
    {
      double peak = 0;

      if ((g_array_index (p->target_joint_at, LwPoint, j).x_mm > MIDDLE) != right)
        continue;
      for (guint t = 0; t < p->n_times; t++)
        peak = fmax (peak, p->target_joints[t * n + j]);
      sum += peak;
      counted++;
    }
  return sum / counted;
}

/* By hand and by map; the map's layer has another figure of its own, which must not count. */
static void
solve_both (LwSide side, LwPrediction **by_hand, LwPrediction **by_map)
{
  g_autoptr (LwJob) drawn = job_with_layers (side, THIN), plotted = job_with_layers (side, 0.6);

  draw_pour (drawn);
  add_map (plotted, TRUE);
  *by_hand = solve (drawn);
  *by_map = solve (plotted);
  g_test_message ("map and region differ by %.4f K at most", largest_difference (*by_hand, *by_map));
  g_assert_cmpfloat (largest_difference (*by_hand, *by_map), <, 0.05);
}

static void
test_top (void)
{
  g_autoptr (LwJob) both = job_with_layers (LW_SIDE_TOP, 0.6), bare = job_with_layers (LW_SIDE_TOP, THIN);
  g_autoptr (LwPrediction) by_hand = NULL, by_map = NULL, over_map = NULL, none = NULL;
  double pulled;

  solve_both (LW_SIDE_TOP, &by_hand, &by_map);
  add_map (both, FALSE);
  draw_pour (both);
  over_map = solve (both);
  none = solve (bare);
  g_assert_cmpfloat (largest_difference (by_hand, over_map), <, 0.05);
  pulled = half_peak (by_map, FALSE) - half_peak (by_map, TRUE) - (half_peak (none, FALSE) - half_peak (none, TRUE));
  g_test_message ("the pour pulls its half's joints %.2f K below the other half's", pulled);
  g_assert_cmpfloat (pulled, >, 2);
}

/* The board is turned over for this one: the map has to turn with it. */
static void
test_bottom (void)
{
  g_autoptr (LwPrediction) by_hand = NULL, by_map = NULL;

  solve_both (LW_SIDE_BOTTOM, &by_hand, &by_map);
}

/* A damaged map is refused, not left out. */
static void
test_damaged_map (void)
{
  g_autoptr (LwJob) job = job_with_layers (LW_SIDE_TOP, THIN);
  LwPredictOptions options = { .cell_mm = 2, .no_doubt = TRUE };
  g_autoptr (GError) error = NULL;

  add_map (job, TRUE);
  job->board->copper_map->rows = 159;
  g_assert_null (lw_predict (job, 0, &options, NULL, NULL, NULL, &error));
  g_assert_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
  g_test_message ("%s", error->message);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/copper/top", test_top);
  g_test_add_func ("/copper/bottom", test_bottom);
  g_test_add_func ("/copper/damaged-map", test_damaged_map);
  return g_test_run ();
}
