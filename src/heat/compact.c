/* Building and running a compact model. */
#include "heat/compact-internal.h"

#include <string.h>

#include "heat/reduced-drive.h"

enum { N = HEAT_COMPACT_N, LANES = HEAT_COMPACT_LANES, LESSONS_MOST = 64, CLASSES = 8 };

static double
now_s (const HeatCompact *c)
{
  return c->options.clock_s ? c->options.clock_s () : 0;
}

static bool
goes_on (const HeatCompact *c, double done)
{
  return !c->options.progress || c->options.progress (done, c->options.user);
}

/* ---- lessons ---- */

typedef struct {
  HeatCompact *c;
  const HeatDrive *drives;
  HeatArena *arena; /* one per lesson */
  HeatLesson *lesson;
  HeatStatus *status;
  size_t n;
} School;

static void
learn_one (School *s, size_t i, HeatReducedRun *run)
{
  if (s->c->options.stopped && s->c->options.stopped (s->c->options.user))
    s->status[i] = HEAT_CANCELLED;
  else
    s->status[i] = heat_compact_learn (s->c, run, &s->drives[i], &s->arena[i], &s->lesson[i]);
}

/* Every CLASSES-th lesson, with one run: with thousands of bodies its memory is most of what a lesson costs. */
static void
learn_class (void *data, size_t first)
{
  School *s = data;
  HeatReducedRun *run = heat_reduced_run_new_counted (s->c->of, s->c->arena.countdown);
  for (size_t i = first; i < s->n; i += CLASSES)
    if (run)
      learn_one (s, i, run);
    else
      s->status[i] = HEAT_NO_MEMORY;
  heat_reduced_run_free (run);
}

static HeatStatus
learn_all (School *s, size_t n)
{
  const HeatParallel *p = s->c->options.parallel;
  size_t classes = n < CLASSES ? n : CLASSES;
  s->n = n;
  if (p)
    p->run (p->pool, classes, learn_class, s);
  else
    for (size_t i = 0; i < classes; i++)
      learn_class (s, i);
  for (size_t i = 0; i < n; i++) {
    if (s->status[i] == HEAT_NO_MEMORY || s->status[i] == HEAT_CANCELLED || (i == 0 && s->status[i] != HEAT_OK))
      return s->status[i];
    s->c->report.n_lessons += s->status[i] == HEAT_OK;
  }
  return HEAT_OK;
}

static HeatStatus
find_basis (School *s, size_t n)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = s->c->arena.countdown;
  size_t stride = s->c->of->stride, all = 0;
  for (size_t i = 0; i < n; i++)
    all += s->lesson[i].n;
  double *states = HEAT_TAKE (&scratch, double, all * stride);
  HeatCompactStates list = { states, 0 };
  for (size_t i = 0; states && i < n; i++) {
    if (s->lesson[i].n)
      memcpy (states + list.n * stride, s->lesson[i].states, s->lesson[i].n * stride * sizeof (double));
    list.n += s->lesson[i].n;
  }
  bool ok = states && heat_compact_basis (s->c, &list);
  heat_arena_clear (&scratch);
  return ok ? HEAT_OK : HEAT_NO_MEMORY;
}

static HeatStatus
teach (School *s, size_t n)
{
  HeatCompact *c = s->c;
  double start = now_s (c);
  if (!heat_compact_rows_list (c))
    return HEAT_NO_MEMORY;
  HeatStatus status = learn_all (s, n);
  c->report.lessons_s = now_s (c) - start;
  if (status != HEAT_OK)
    return status;
  if (!goes_on (c, 0.8))
    return HEAT_CANCELLED;
  start = now_s (c);
  status = find_basis (s, n);
  if (status == HEAT_OK
      && !(heat_compact_zones_new (c) && heat_compact_sources_new (c, s->drives, n) && heat_compact_project (c)
           && heat_compact_fit (c, s->drives, s->lesson, n)))
    status = HEAT_NO_MEMORY;
  c->report.fit_s = now_s (c) - start;
  return status;
}

static HeatStatus
build (HeatCompact *c, const HeatDrive *drives, size_t n)
{
  HeatArena scratch = HEAT_ARENA_INIT;
  scratch.countdown = c->arena.countdown;
  School s = { .c = c, .drives = drives };
  s.arena = HEAT_TAKE (&scratch, HeatArena, n);
  s.lesson = HEAT_TAKE (&scratch, HeatLesson, n);
  s.status = HEAT_TAKE (&scratch, HeatStatus, n);
  HeatStatus status = s.arena && s.lesson && s.status ? HEAT_OK : HEAT_NO_MEMORY;
  for (size_t i = 0; status == HEAT_OK && i < n; i++)
    s.arena[i] = (HeatArena){ NULL, c->arena.countdown, 0, NULL, heat_answers_large (c->of) };
  if (status == HEAT_OK)
    status = teach (&s, n);
  for (size_t i = 0; s.arena && i < n; i++)
    heat_arena_clear (&s.arena[i]);
  heat_arena_clear (&scratch);
  c->report.n_zones = c->zones.n;
  c->report.bytes = c->arena.bytes;
  return status;
}

HeatStatus
heat_compact_new_counted (const HeatReduced *model, const HeatDrive *drives, size_t n_drives,
                          const HeatCompactOptions *options, long countdown, HeatCompact **compact)
{
  *compact = NULL;
  if (n_drives < 1 || n_drives > LESSONS_MOST)
    return HEAT_BAD_SCENE;
  HeatArena arena = HEAT_ARENA_INIT;
  arena.countdown = countdown;
  HeatCompact *c = HEAT_TAKE (&arena, HeatCompact, 1);
  if (!c)
    return HEAT_NO_MEMORY;
  c->arena = arena;
  c->of = model;
  c->options = options ? *options : (HeatCompactOptions){ 0 };
  c->whole = c->options.whole;
  HeatStatus status = build (c, drives, n_drives);
  c->options = (HeatCompactOptions){ 0 }; /* borrowed for the build alone */
  if (status == HEAT_OK)
    *compact = c;
  else
    heat_compact_free (c);
  return status;
}

HeatStatus
heat_compact_new (const HeatReduced *model, const HeatDrive *drives, size_t n_drives, const HeatCompactOptions *options,
                  HeatCompact **compact)
{
  return heat_compact_new_counted (model, drives, n_drives, options, -1, compact);
}

void
heat_compact_free (HeatCompact *compact)
{
  if (!compact)
    return;
  HeatArena arena = compact->arena; /* which holds the model itself */
  heat_arena_clear (&arena);
}

const HeatCompactReport *
heat_compact_report (const HeatCompact *compact)
{
  return &compact->report;
}

/* ---- runs ---- */

static bool
take_run (HeatCompactRun *run)
{
  const HeatCompact *c = run->model;
  float **small[] = { &run->y, &run->y0, &run->rhs, &run->force, &run->force0 };
  for (size_t i = 0; i < sizeof small / sizeof small[0]; i++)
    if (!(*small[i] = HEAT_TAKE (&run->arena, float, N)))
      return false;
  run->inverses = HEAT_TAKE (&run->arena, float, HEAT_COMPACT_INVERSES * N * N);
  run->spill_t = HEAT_TAKE (&run->arena, float, HEAT_GAS_TEMPS * 2 * c->zones.padded);
  run->peaks = HEAT_TAKE (&run->arena, float, c->rows.blocks * LANES);
  run->up = HEAT_TAKE (&run->arena, float, c->rows.ramp_blocks * LANES);
  run->down = HEAT_TAKE (&run->arena, float, c->rows.ramp_blocks * LANES);
  return run->inverses && run->spill_t && run->peaks && run->up && run->down && heat_compact_zones_take (run)
         && heat_compact_grow (run);
}

HeatCompactRun *
heat_compact_run_new_counted (const HeatCompact *compact, long countdown)
{
  HeatArena arena = HEAT_ARENA_INIT;
  arena.countdown = countdown;
  HeatCompactRun *run = HEAT_TAKE (&arena, HeatCompactRun, 1);
  if (!run)
    return NULL;
  run->arena = arena;
  run->model = compact;
  if (take_run (run))
    return run;
  heat_compact_run_free (run);
  return NULL;
}

HeatCompactRun *
heat_compact_run_new (const HeatCompact *compact)
{
  return heat_compact_run_new_counted (compact, -1);
}

void
heat_compact_run_free (HeatCompactRun *run)
{
  if (!run)
    return;
  HeatArena arena = run->arena; /* which holds the run itself */
  heat_arena_clear (&arena);
}

HeatStatus
heat_compact_solve (const HeatCompact *c, HeatCompactRun *run, const HeatDrive *drive, const HeatReducedWants *wants)
{
  run->solved = run->read = false;
  if (heat_drive_fault (c->of, drive))
    return HEAT_BAD_SCENE;
  run->drive = *drive;
  run->linear = wants && wants->linear;
  run->capacity = drive->scale_capacity / c->of->scene->scale_capacity;
  HeatStatus status = heat_compact_march (run);
  run->solved = status == HEAT_OK;
  return status;
}
