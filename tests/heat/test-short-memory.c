/* Memory that runs short, at the linker: the n-th request of heat/ (each goes through heat_take() or heat_take_open()) fails, alone or with
 * all after it, for every n. Each call then says so and gives nothing, and whatever was taken from the system is given
 * back. */
#include <stdlib.h>

#include "bench-job.h"
#include "heat/alloc.h"
#include "heat/compact.h"
#include "heat/reduced.h"
#include "plain-scene.h"

void *__real_heat_take (HeatArena *arena, size_t n, size_t size);
void *__real_heat_take_open (HeatArena *arena, size_t n, size_t size);
void *__real_calloc (size_t n, size_t size);
void __real_free (void *block);
void *__real_heat_pages_new (size_t bytes);
void __real_heat_pages_free (void *piece, size_t bytes);
void *__wrap_heat_take (HeatArena *arena, size_t n, size_t size);
void *__wrap_heat_take_open (HeatArena *arena, size_t n, size_t size);
void *__wrap_calloc (size_t n, size_t size);
void __wrap_free (void *block);
void *__wrap_heat_pages_new (size_t bytes);
void __wrap_heat_pages_free (void *piece, size_t bytes);

static struct {
  long asked, fails_at; /* < 0: never */
  bool and_after;
  long held; /* blocks and large pieces not given back */
} memory;

static bool
fails (void)
{
  long at = memory.asked++;
  return memory.fails_at >= 0 && (at == memory.fails_at || (memory.and_after && at > memory.fails_at));
}

void *
__wrap_heat_take (HeatArena *arena, size_t n, size_t size)
{
  return fails () ? NULL : __real_heat_take (arena, n, size);
}

void *
__wrap_heat_take_open (HeatArena *arena, size_t n, size_t size)
{
  return fails () ? NULL : __real_heat_take_open (arena, n, size);
}

void *
__wrap_calloc (size_t n, size_t size)
{
  void *block = __real_calloc (n, size);
  memory.held += block != NULL;
  return block;
}

void
__wrap_free (void *block)
{
  memory.held -= block != NULL;
  __real_free (block);
}

void *
__wrap_heat_pages_new (size_t bytes)
{
  void *piece = __real_heat_pages_new (bytes);
  memory.held += piece != NULL;
  return piece;
}

void
__wrap_heat_pages_free (void *piece, size_t bytes)
{
  memory.held -= piece != NULL;
  __real_heat_pages_free (piece, bytes);
}

static void
start (long fails_at, bool and_after)
{
  memory.asked = 0;
  memory.fails_at = fails_at;
  memory.and_after = and_after;
  g_assert_cmpint (memory.held, ==, 0);
}

/* The usual job on coarse cells, with one of everything a scene can hold. */
typedef struct {
  BenchJob job;
  HeatXY corners[3];
  HeatPatch patch;
  float sheet_values[3][4];
  HeatSheet sheet;
  HeatRaster raster;
  HeatClamp clamp;
  HeatShield shield;
} Full;

static void
full_scene (Full *f)
{
  HeatScene *s = &f->job.scene;
  bench_job (&f->job, 0.05, 0.05, true);
  s->end_s = 1;
  f->job.bodies[0].n_joints = 9;
  f->job.flow_t[0] = f->job.flow_t[1] = 0.5;
  f->job.bodies[0].lead_g_w_k = 0.5;
  f->corners[0] = (HeatXY){ 0, 0 };
  f->corners[1] = (HeatXY){ 0.02, 0 };
  f->corners[2] = (HeatXY){ 0.02, 0.02 };
  f->patch = (HeatPatch){ { f->corners, 3 }, 1, 5, 0.1, 1e4 };
  f->sheet = (HeatSheet){ 2, f->sheet_values[0], f->sheet_values[1], f->sheet_values[2] };
  f->raster = (HeatRaster){ { 0, 0 }, 0.02, 2, 2, &f->sheet, 1 };
  f->clamp = (HeatClamp){ { f->corners, 3 }, 100, 5 };
  f->shield = (HeatShield){ { f->corners, 3 }, 0.1 };
  s->board.patches = &f->patch;
  s->board.n_patches = 1;
  s->board.raster = &f->raster;
  s->clamps = &f->clamp;
  s->n_clamps = 1;
  s->shields = &f->shield;
  s->n_shields = 1;
  s->nozzle.lag_s = s->preheat.lag_s = 1;
}

#if defined(__SANITIZE_ADDRESS__)
enum { EACH = 4 }; /* of the building of a model, which takes long there */
#else
enum { EACH = 1 };
#endif

/* Whether it came to its end. */
typedef bool (*Story) (const HeatScene *scene);

static bool
full_story (const HeatScene *scene)
{
  HeatOptions o = { .cell_m = 5e-3, .coarse_m = 8e-3 };
  HeatSolver *solver = NULL;
  HeatResult *result = NULL;
  HeatStatus status = heat_solver_new (scene, &o, &solver);
  g_assert_true ((status == HEAT_OK) == (solver != NULL));
  if (status == HEAT_OK) {
    status = heat_solver_run (solver, &result);
    g_assert_true ((status == HEAT_OK) == (result != NULL));
    if (status != HEAT_OK)
      g_assert_nonnull (heat_solver_detail (solver));
  }
  g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
  heat_result_free (result);
  heat_solver_free (solver);
  return status == HEAT_OK;
}

/* A run that ran short of memory is of use again when there is some. */
static HeatStatus
solve_and_again (const HeatReduced *model, HeatReducedRun *run, const HeatDrive *drive)
{
  HeatStatus status = heat_reduced_solve (model, run, drive, NULL);
  if (status != HEAT_NO_MEMORY)
    return status;
  g_assert_nonnull (heat_reduced_detail (run));
  long at = memory.fails_at;
  memory.fails_at = -1;
  g_assert_cmpint (heat_reduced_solve (model, run, drive, NULL), ==, HEAT_OK);
  memory.fails_at = at;
  return status;
}

static bool
read_answer (const HeatReduced *model, HeatReducedRun *run)
{
  HeatFigures figures[5];
  HeatResult *result = NULL;
  float top[2000], bottom[2000];
  heat_reduced_figures (model, run, figures);
  heat_reduced_target_figures (model, run, figures);
  HeatStatus status = heat_reduced_result (model, run, &result);
  g_assert_true ((status == HEAT_OK) == (result != NULL));
  g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
  HeatReducedPast *past = heat_reduced_past_new (model, run);
  bool fine = result != NULL && past != NULL;
  if (fine) {
    g_assert_cmpuint (result->nx * result->ny, <=, G_N_ELEMENTS (top));
    heat_reduced_field (model, past, 0.5, top, bottom);
    size_t middle = result->ny / 2 * result->nx + result->nx / 2;
    fine = isfinite (top[middle]) && isfinite (bottom[middle]); /* else all NaN: memory was short */
  }
  heat_reduced_past_free (past);
  heat_result_free (result);
  return fine;
}

static const HeatReduced *lent; /* a model that is there already */

static bool
run_story (const HeatScene *scene)
{
  const HeatReduced *model = lent;
  HeatDrive drive = heat_drive_of (scene);
  HeatReducedRun *run = heat_reduced_run_new (model);
  if (run == NULL)
    return false;
  HeatStatus status = solve_and_again (model, run, &drive);
  g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
  drive.end_s = 60; /* the run grows */
  if (status == HEAT_OK)
    status = solve_and_again (model, run, &drive);
  bool fine = status == HEAT_OK && read_answer (model, run);
  heat_reduced_run_free (run);
  return fine;
}

static bool
reduced_story_of (const HeatScene *scene, bool vary)
{
  HeatReducedOptions o = { .cell_m = 10e-3, .coarse_m = 20e-3, .vary_conductance = vary };
  HeatReduced *model = NULL;
  HeatStatus status = heat_reduced_new (scene, &o, &model);
  g_assert_true ((status == HEAT_OK) == (model != NULL));
  g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
  heat_reduced_free (model);
  return status == HEAT_OK;
}

static bool
reduced_story (const HeatScene *scene)
{
  return reduced_story_of (scene, false);
}

/* Two builds in the memory of one workspace. */
static bool
workspace_story (const HeatScene *scene)
{
  HeatWorkspace *workspace = heat_workspace_new (0);
  HeatReducedOptions o = { .cell_m = 10e-3, .coarse_m = 20e-3, .workspace = workspace };
  bool fine = workspace != NULL;
  for (int k = 0; fine && k < 2; k++) {
    HeatReduced *model = NULL;
    HeatStatus status = heat_reduced_new (scene, &o, &model);
    g_assert_true ((status == HEAT_OK) == (model != NULL));
    g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
    heat_reduced_free (model);
    fine = status == HEAT_OK;
  }
  heat_workspace_free (workspace);
  return fine;
}

static bool
varied_story (const HeatScene *scene)
{
  return reduced_story_of (scene, true);
}

static bool
learn_and_ask (const HeatReduced *model, const HeatDrive *drives, size_t n)
{
  HeatCompact *compact = NULL;
  HeatFigures figures[5];
  HeatStatus status = heat_compact_new (model, drives, n, NULL, &compact);
  g_assert_true ((status == HEAT_OK) == (compact != NULL));
  g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
  HeatCompactRun *run = compact != NULL ? heat_compact_run_new (compact) : NULL;
  bool fine = run != NULL;
  for (size_t i = 0; i < n && fine; i++) {
    status = heat_compact_solve (compact, run, &drives[i], NULL);
    g_assert_true (status == HEAT_OK || status == HEAT_NO_MEMORY);
    fine = status == HEAT_OK;
    if (fine)
      heat_compact_figures (compact, run, figures);
  }
  heat_compact_run_free (run);
  heat_compact_free (compact);
  return fine;
}

static bool
compact_story (const HeatScene *scene)
{
  HeatDrive drives[3] = { heat_drive_of (scene), heat_drive_of (scene), heat_drive_of (scene) };
  drives[1].scale_nozzle_film = 1.3;
  drives[2].end_s = 30; /* the run grows */
  return learn_and_ask (lent, drives, 3);
}

static void
fail_each (Story story, const HeatScene *scene, bool and_after, long n, long stride)
{
  for (long i = 0; i < n; i += stride) {
    start (i, and_after);
    if (story (scene))
      g_error ("request %ld failed and nobody noticed", i);
  }
}

static void
tell_each (Story story, long stride, long stride_after, long least)
{
  Full *f = g_new0 (Full, 1);
  full_scene (f);
  g_assert_null (heat_scene_fault (&f->job.scene));
  start (-1, false);
  g_assert_true (story (&f->job.scene));
  long n = memory.asked;
  g_test_message ("%ld requests", n);
  g_assert_cmpint (n, >, least);
  fail_each (story, &f->job.scene, false, n, stride);
  fail_each (story, &f->job.scene, true, n, stride_after);
  start (-1, false);
  g_assert_true (story (&f->job.scene)); /* nothing was spoilt */
  g_assert_cmpint (memory.held, ==, 0);
  g_free (f);
}

static void
test_full (void)
{
  tell_each (full_story, 1, 5, 50);
}

static void
test_reduced (void)
{
  tell_each (reduced_story, EACH, 20, 100);
}

static void
test_workspace (void)
{
  tell_each (workspace_story, 5 * EACH, 20, 20);
}

static void
test_varied (void)
{
  tell_each (varied_story, 7 * EACH, 100, 100);
}

/* A model that stays, its own blocks not among those counted. */
static void
tell_on_model (Story story, bool vary, long least)
{
  Full *f = g_new0 (Full, 1);
  HeatReducedOptions o = { .cell_m = 10e-3, .coarse_m = 20e-3, .vary_conductance = vary };
  HeatReduced *model = NULL;
  full_scene (f);
  memory.fails_at = -1;
  g_assert_cmpint (heat_reduced_new (&f->job.scene, &o, &model), ==, HEAT_OK);
  lent = model;
  memory.held = 0;
  tell_each (story, 1, 5, least);
  heat_reduced_free (model);
  memory.held = 0;
  g_free (f);
}

static void
test_run (void)
{
  tell_on_model (run_story, false, 50);
}

static void
test_varied_run (void)
{
  tell_on_model (run_story, true, 50);
}

static void
test_compact (void)
{
  tell_on_model (compact_story, false, 50);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/short-memory/full", test_full);
  g_test_add_func ("/short-memory/reduced", test_reduced);
  g_test_add_func ("/short-memory/workspace", test_workspace);
  g_test_add_func ("/short-memory/varied", test_varied);
  g_test_add_func ("/short-memory/run", test_run);
  g_test_add_func ("/short-memory/varied-run", test_varied_run);
  g_test_add_func ("/short-memory/compact", test_compact);
  return g_test_run ();
}
