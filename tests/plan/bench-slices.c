/* How much depends on how a stack-up is cut into slices: every job is solved with the slices it gets by default and with
 * others (nodes in their middle), and compared with one in which every copper layer is a slice of its own and laminate is in pieces of at
 * most 0.4 mm. Copper regions, via fields and maps are left out, since they name slices.
 * usage: bench-slices [CELL_MM COARSE_MM [NAME]]; 2 and 8 mm unless said, since columns do not matter here; NAME: only jobs
 * whose name has it in it. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "agree-jobs.h"
#include "bench.h"
#include "heat/solve.h"
#include "plan/compile.h"

enum { SLICES_MAX = 64 };

/* Depths from the top face, m. */
typedef struct {
  guint n;
  double cut[SLICES_MAX + 1];
} Cuts;

static void
cut_at (Cuts *self, double to_m, guint pieces)
{
  double from_m = self->cut[self->n];

  if (to_m - from_m < 1e-7)
    return;
  for (guint i = 1; i <= pieces && self->n < SLICES_MAX; i++)
    self->cut[++self->n] = from_m + (to_m - from_m) * i / pieces;
}

static double
sheet_m (const LwStack *stack, guint i)
{
  return g_array_index (stack->sheets, LwSheet, i).thickness_m;
}

static gboolean
is_copper (const LwStack *stack, guint i)
{
  return g_array_index (stack->sheets, LwSheet, i).cover > 0;
}

/* Copper by itself; what lies outside the outermost copper, a mask, with it. */
static Cuts
cut_sheets (const LwStack *stack)
{
  Cuts self = { 0 };
  double deep_m = 0;

  for (guint i = 0; i < stack->sheets->len; i++) {
    double thick_m = sheet_m (stack, i);
    deep_m += thick_m;
    if (i > 0 && i + 1 < stack->sheets->len)
      cut_at (&self, deep_m, is_copper (stack, i) ? 1 : (guint) ceil (thick_m / 0.4e-3));
    else if (is_copper (stack, i))
      cut_at (&self, deep_m, 1);
  }
  self.cut[self.n] = stack->thickness_m;
  return self;
}

/* As many as the default, each RATIO times as thick as the one below. */
static Cuts
cut_graded (const LwStack *stack, guint n, double ratio)
{
  Cuts self = { 0 };
  double sum = 0, part = 0;

  for (guint i = 0; i < n; i++)
    sum += pow (ratio, i);
  for (guint i = 0; i < n; i++) {
    part += pow (ratio, n - 1 - i);
    cut_at (&self, stack->thickness_m * part / sum, 1);
  }
  self.cut[self.n] = stack->thickness_m;
  return self;
}

static double
face_m (const LwStack *stack, gboolean top, double least_m)
{
  double deep_m = 0;

  for (guint i = 0; i < stack->sheets->len; i++) {
    guint at = top ? i : stack->sheets->len - 1 - i;
    deep_m += sheet_m (stack, at);
    if (is_copper (stack, at))
      break;
  }
  return fmax (deep_m, least_m);
}

/* A slice LEAST thick for the copper of either face, and between them two to four equal ones. */
static Cuts
cut_faces (const LwStack *stack, double least_m)
{
  Cuts self = { 0 };
  double above_m = face_m (stack, TRUE, least_m), below_m = face_m (stack, FALSE, least_m), whole_m = stack->thickness_m;

  cut_at (&self, above_m, 1);
  cut_at (&self, whole_m - below_m, (guint) CLAMP (ceil ((whole_m - above_m - below_m) / 0.8e-3), 2, 4));
  cut_at (&self, whole_m, 1);
  self.cut[self.n] = whole_m;
  return self;
}

/* The scene's layers anew, with nodes in their MIDDLE or where their copper lies; LAYERS holds them. */
static void
lay (LwCase *compiled, const LwStack *stack, const Cuts *cuts, gboolean middle, HeatLayer *layers)
{
  for (guint i = 0; i < cuts->n; i++) {
    const double *cut = cuts->cut + (compiled->flipped ? i : cuts->n - 1 - i);
    layers[i] = lw_stack_slice (stack, cut[0], cut[1], -1, 0);
    if (compiled->flipped)
      layers[i].off_middle = -layers[i].off_middle;
    if (middle)
      layers[i].off_middle = 0;
  }
  compiled->scene.board.layers = layers;
  compiled->scene.board.n_layers = cuts->n;
}

typedef struct {
  HeatResult *result;
  double cpu_s;
} Solved;

static Solved
solve (const LwCase *compiled, double cell_m, double coarse_m)
{
  HeatOptions how = { .cell_m = cell_m, .coarse_m = coarse_m, .step_s = 1, .adaptive = true, .frame_s = 1e4 };
  HeatSolver *solver = NULL;
  Solved out = { NULL, 0 };
  clock_t start = clock ();

  if (heat_solver_new (&compiled->scene, &how, &solver) != HEAT_OK || heat_solver_run (solver, &out.result) != HEAT_OK)
    g_error ("no solution");
  out.cpu_s = (double) (clock () - start) / CLOCKS_PER_SEC;
  heat_solver_free (solver);
  return out;
}

static double
apart (const HeatResult *a, const double *sa, const HeatResult *b, const double *sb)
{
  double pa = -INFINITY, pb = -INFINITY;

  if (sa == NULL || sb == NULL)
    return 0;
  for (size_t i = 0; i < a->n_times; i++)
    pa = fmax (pa, sa[i]);
  for (size_t i = 0; i < b->n_times; i++)
    pb = fmax (pb, sb[i]);
  return fabs (pa - pb);
}

/* How far peaks lie apart: of the coldest and the hottest joint, and of bodies. */
static void
print_apart (const char *name, const char *how, const LwCase *compiled, const Solved *s, const Solved *exact)
{
  double most[2][3] = { { 0 } };

  for (size_t i = 0; i < s->result->n_bodies; i++) {
    const HeatTrace *p = &s->result->bodies[i], *q = &exact->result->bodies[i];
    double *to = most[i == compiled->scene.target ? 0 : 1];
    to[0] = fmax (to[0], apart (s->result, p->joint_min, exact->result, q->joint_min));
    to[1] = fmax (to[1], apart (s->result, p->joint_max, exact->result, q->joint_max));
    to[2] = fmax (to[2], apart (s->result, p->body_max, exact->result, q->body_max));
  }
  printf ("%-12s %-8s %3zu %7zu %6.2f %7.2f %7.2f %7.2f   %7.2f %7.2f %7.2f\n", name, how, compiled->scene.board.n_layers,
          s->result->n_nodes, s->cpu_s, most[0][0], most[0][1], most[0][2], most[1][0], most[1][1], most[1][2]);
  fflush (stdout);
}

static void
measure (const char *name, LwJob *job, double cell_m, double coarse_m)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwCase) compiled = lw_case_new (job, 0, &error);
  g_assert_no_error (error);
  g_autoptr (LwStack) stack = lw_stack_new (job->board);
  guint n = (guint) compiled->scene.board.n_layers;
  HeatLayer layers[SLICES_MAX];
  Solved plain = { NULL, 0 }, exact;
  const Cuts own = cut_sheets (stack);
  const struct {
    const char *how;
    gboolean middle;
    Cuts cuts;
  } others[] = { { "even", TRUE, cut_graded (stack, n, 1) },
                 { "x 0.7", TRUE, cut_graded (stack, n, 0.7) },
                 { "thin", TRUE, cut_faces (stack, 0.04e-3) } };

  compiled->scene.board.n_patches = 0;
  compiled->scene.board.raster = NULL;
  plain = solve (compiled, cell_m, coarse_m);
  lay (compiled, stack, &own, FALSE, layers);
  exact = solve (compiled, cell_m, coarse_m);
  print_apart (name, "sheets", compiled, &exact, &exact);
  compiled->scene.board.n_layers = n;
  print_apart (name, "default", compiled, &plain, &exact);
  heat_result_free (plain.result);
  for (guint i = 0; i < G_N_ELEMENTS (others); i++) {
    lay (compiled, stack, &others[i].cuts, others[i].middle, layers);
    plain = solve (compiled, cell_m, coarse_m);
    print_apart (name, others[i].how, compiled, &plain, &exact);
    heat_result_free (plain.result);
  }
  heat_result_free (exact.result);
}

static LwJob *
ordinary_job (void)
{
  return bench_job (LW_SIDE_TOP, 0, 0);
}

static LwJob *
find_job (guint n, const char **name)
{
  static const char *const boards[][3] = { { "coldfire", "coldfire_kit/coldfire.emn", "U301" },
                                           { "ecc83", "ecc83_v2/ecc83v2.emn", "R1" },
                                           { "parallella", "parallella_gen0/parallella_gen0.emn", "U26" } };
  static const char *const made[] = { "made 0", "made 1", "made 2", "made 3" };

  *name = n == 0 ? "demo" : n == 1 ? "ordinary" : n < 5 ? boards[n - 2][0] : made[n - 5];
  return n == 0   ? agree_demo ()
         : n == 1 ? ordinary_job ()
         : n < 5  ? agree_board (boards[n - 2][1], boards[n - 2][2])
                  : agree_made (n - 5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  double cell_m = argc > 2 ? atof (argv[1]) * 1e-3 : 2e-3, coarse_m = argc > 2 ? atof (argv[2]) * 1e-3 : 8e-3;

  printf ("peaks apart from \"sheets\", K\n%-12s %-8s %3s %7s %6s %7s %7s %7s   %7s %7s %7s\n", "job", "slices", "n", "nodes",
          "cpu s", "coldest", "hottest", "body", "others'", "hottest", "bodies");
  for (guint i = 0; i < 9; i++) {
    const char *name;
    LwJob *job = find_job (i, &name);

    if (argc < 4 || strstr (name, argv[3]) != NULL)
      measure (name, job, cell_m, coarse_m);
    lw_job_unref (job);
  }
  return 0;
}
