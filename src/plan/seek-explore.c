#include "plan/seek-explore.h"

#include <math.h>
#include <string.h>

#include "plan/seek-ascend.h"
#include "plan/seek-final.h"
#include "plan/seek-learn.h"

/* Coarse models rank places; the best is looked at again in the default mesh. */
#define SCOUT_CELL_MM 3.0
#define SCOUT_COARSE_MM 10.0
/* Of what is scattered over the plan's own place half lies this near to the given plan (a share of each range), half
 * anywhere. */
#define NEAR_SHARE 0.2
/* What is learned once more lies this near to the best found, and other places' climbs start from there. */
#define AGAIN_SHARE 0.15
/* Hills of the plan's own place that are climbed. */
#define HILLS 3
/* How a climb begins, of how far it may go. */
#define STEP_OF_BOX 0.5
/* A place by itself must gain this many steps to be put together with others. */
#define WORTH_STEPS 0.05
/* Places that are given lessons of their own after the first look. */
#define CONTENDERS 4

/* A place and what was found there. */
typedef struct {
  LwSeekPick pick;
  LwJob *job;
  LwSpot best;
  LwTrial *trial; /* NULL: it cannot be computed */
  gboolean again; /* lessons of its own were learned round the best */
} Camp;

typedef struct {
  const LwSeekExplorer *of;
  GPtrArray *camps; /* Camp */
  guint from_camp;
  guint done;
  GMutex lock; /* guards done, and the telling */
  double from, to;
} Field;

static LwSpot
spot_new (guint n, const double *shares)
{
  LwSpot spot = { g_new0 (double, MAX (n, 1)), -INFINITY };
  memcpy (spot.shares, shares, n * sizeof (double));
  return spot;
}

static void
camp_free (gpointer data)
{
  Camp *camp = data;
  lw_trial_free (camp->trial);
  lw_job_unref (camp->job);
  g_free (camp->best.shares);
  g_free (camp);
}

/* NULL when the place cannot stand. */
static Camp *
camp_new (const LwSeekExplorer *of, LwSeekPick pick, const double *start)
{
  LwJob *job = lw_seek_places_make (of->places, pick);
  if (job == NULL)
    return NULL;
  Camp *camp = g_new0 (Camp, 1);
  camp->pick = pick;
  camp->job = job;
  camp->best = spot_new (lw_seek_space_n (of->space), start);
  return camp;
}

LwQuick *
lw_seek_scout (LwJob *job, guint plan, LwQuick *near, GCancellable *cancellable, GError **error)
{
  LwQuickOptions options = { .cell_mm = SCOUT_CELL_MM, .coarse_mm = SCOUT_COARSE_MM, .scout = TRUE, .keep = TRUE, .near = near };

  return lw_quick_new (job, plan, &options, cancellable, NULL, NULL, error);
}

static LwSeekReach
reach_of (double box, guint most)
{
  return (LwSeekReach){ STEP_OF_BOX * box, box, most };
}

/* ---- the plan's own place ---- */

/* Takes over SPOT (shares and all) when the reduced model says that it is better. */
static void
settle (Camp *camp, LwSpot spot)
{
  LwSeekPair pair = { .sure = camp->trial, .worth = -INFINITY };

  if (!lw_seek_mark (&pair, &spot) || !(spot.least > camp->best.least)) {
    g_free (spot.shares);
    return;
  }
  g_free (camp->best.shares);
  camp->best = spot;
}

/* Lessons round the camp's best, and up from there. What was learned stays with the camp. */
static void
climb_again (const LwSeekExplorer *of, Camp *camp)
{
  const LwSeekPlanOfWork *w = of->work;
  g_auto (LwSpots) round = lw_seek_spread (of->space, camp->best.shares, w->again, w->seed % 1024, AGAIN_SHARE, FALSE);
  LwSeekReach reach = reach_of (AGAIN_SHARE, w->climb);
  LwSeekPair pair = { .sure = camp->trial, .worth = -INFINITY, .cancellable = of->watch.cancellable };

  if (!lw_trial_learn (camp->trial, &round, of->watch.cancellable) || !lw_seek_mark (&pair, &camp->best))
    return;
  pair.guide = lw_trial_twin (camp->trial);
  lw_seek_ascend (&pair, &camp->best, &reach, w->cycles);
  camp->trial->n_tried += pair.guide->n_tried;
  lw_trial_free (pair.guide);
  camp->again = TRUE;
}

static void
scatter (const LwSeekExplorer *of, Camp *camp, const double *start)
{
  const LwSeekPlanOfWork *w = of->work;
  GCancellable *cancellable = of->watch.cancellable;
  g_auto (LwSpots) lessons = lw_seek_spread (of->space, start, w->lessons, w->seed % 1024, NEAR_SHARE, TRUE);
  g_auto (LwSpots) samples = lw_seek_spread (of->space, start, w->samples, w->seed % 1024, NEAR_SHARE, TRUE);
  LwSeekReach reach = reach_of (NEAR_SHARE, w->climb);
  LwSpot hills[HILLS];

  if (!lw_trial_learn (camp->trial, &lessons, cancellable))
    return;
  lw_watch_tell (&of->watch, 0.1);
  guint n = lw_trial_look_over (camp->trial, &samples, hills, HILLS, cancellable);
  lw_trial_climb_all (camp->trial, hills, n, &reach, cancellable);
  for (guint i = 0; i < n; i++)
    settle (camp, hills[i]);
  lw_watch_tell (&of->watch, 0.2);
  climb_again (of, camp);
}

/* The set points where the plan stands; the first camp. */
static Camp *
explore_own (const LwSeekExplorer *of)
{
  LwSeekPick own = { { 0 } };
  Camp *camp = camp_new (of, own, of->start);

  camp->trial = lw_trial_twin (of->own);
  settle (camp, spot_new (lw_seek_space_n (of->space), of->start));
  if (lw_seek_space_n (of->space) > 0)
    scatter (of, camp, of->start);
  return camp;
}

/* ---- the others ---- */

/* What the plan's own place has learned guides the climb at another, put right by each march there. */
static void
follow (const Field *field, Camp *camp)
{
  const LwSeekExplorer *of = field->of;
  const Camp *own = g_ptr_array_index (field->camps, 0);
  g_autoptr (LwQuick) quick = lw_seek_scout (camp->job, of->plan, own->trial->quick, of->watch.cancellable, NULL);

  camp->trial = quick != NULL ? lw_trial_new (quick, of->space, of->doubts) : NULL;
  if (camp->trial == NULL)
    return;
  g_autoptr (LwTrial) guide = lw_trial_twin (own->trial);
  LwSeekPair pair = { camp->trial, guide, FALSE, own->best.least + WORTH_STEPS, of->watch.cancellable };
  LwSeekReach reach = reach_of (AGAIN_SHARE, of->work->single_climb);
  if (lw_seek_mark (&pair, &camp->best) && guide->compact != NULL)
    lw_seek_ascend (&pair, &camp->best, &reach, of->work->cycles);
  camp->trial->n_tried += guide->n_tried;
}

static void
work_on (void *data, size_t i)
{
  Field *field = data;
  const LwSeekExplorer *of = field->of;

  if (g_cancellable_is_cancelled (of->watch.cancellable))
    return;
  follow (field, g_ptr_array_index (field->camps, field->from_camp + i));
  g_mutex_lock (&field->lock);
  field->done++;
  double share = field->done / (double) (field->camps->len - field->from_camp);
  lw_watch_tell (&of->watch, field->from + share * (field->to - field->from));
  g_mutex_unlock (&field->lock);
}

/* ---- the best few ---- */

static int
by_least (gconstpointer a, gconstpointer b)
{
  const Camp *p = *(Camp *const *) a, *q = *(Camp *const *) b;
  return (p->best.least < q->best.least) - (p->best.least > q->best.least);
}

/* The best places that have not learned by themselves, best first. */
static GPtrArray *
contenders (const Field *field)
{
  GPtrArray *best = g_ptr_array_new ();

  for (guint i = 0; i < field->camps->len; i++) {
    Camp *camp = g_ptr_array_index (field->camps, i);
    if (camp->trial != NULL && !camp->again)
      g_ptr_array_add (best, camp);
  }
  g_ptr_array_sort (best, by_least);
  g_ptr_array_set_size (best, MIN ((int) best->len, CONTENDERS));
  return best;
}

typedef struct {
  const LwSeekExplorer *of;
  GPtrArray *camps;
} Contest;

static void
contend (void *data, size_t i)
{
  Contest *contest = data;

  climb_again (contest->of, g_ptr_array_index (contest->camps, i));
}

/* All camps from the given one on, at once. */
static void
work_on_all (Field *field, guint from_camp, double from, double to)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  field->from_camp = from_camp;
  field->done = 0;
  field->from = from;
  field->to = to;
  parallel->run (parallel->pool, field->camps->len - from_camp, work_on, field);
}

static void
add_camp (Field *field, LwSeekPick pick, const double *start)
{
  Camp *camp = camp_new (field->of, pick, start);
  if (camp != NULL)
    g_ptr_array_add (field->camps, camp);
}

/* Of each kind of choice the one that gained most by itself, all together. */
static LwSeekPick
together (const Field *field, guint *n_kinds)
{
  const Camp *own = g_ptr_array_index (field->camps, 0);
  LwSeekPick pick = { { 0 } };
  *n_kinds = 0;
  for (guint kind = 0; kind < LW_SEEK_N_KINDS; kind++) {
    double least = own->best.least + WORTH_STEPS;
    for (guint i = 1; i < field->camps->len; i++) {
      const Camp *camp = g_ptr_array_index (field->camps, i);
      if (camp->pick.pick[kind] == 0 || !(camp->best.least > least))
        continue;
      least = camp->best.least;
      pick.pick[kind] = camp->pick.pick[kind];
    }
    *n_kinds += pick.pick[kind] > 0;
  }
  return pick;
}

static Camp *
best_camp (const Field *field)
{
  Camp *best = g_ptr_array_index (field->camps, 0);
  for (guint i = 1; i < field->camps->len; i++) {
    Camp *camp = g_ptr_array_index (field->camps, i);
    if (camp->best.least > best->best.least)
      best = camp;
  }
  return best;
}

/* Where the guide came from elsewhere a climb may halt early, so who is best is settled by lessons of their own. */
static void
settle_best (Field *field)
{
  const HeatParallel *parallel = lw_quick_parallel ();
  g_autoptr (GPtrArray) best = contenders (field);
  Contest contest = { field->of, best };

  parallel->run (parallel->pool, best->len, contend, &contest);
  lw_watch_tell (&field->of->watch, 0.7);
}

static void
explore_others (Field *field)
{
  const Camp *own = g_ptr_array_index (field->camps, 0);
  g_autoptr (GArray) singles = lw_seek_places_singles (field->of->places);
  guint n_kinds;

  for (guint i = 1; i < singles->len; i++)
    add_camp (field, g_array_index (singles, LwSeekPick, i), own->best.shares);
  work_on_all (field, 1, 0.3, 0.6);
  LwSeekPick all = together (field, &n_kinds);
  guint n = field->camps->len;
  if (n_kinds > 1)
    add_camp (field, all, best_camp (field)->best.shares);
  work_on_all (field, n, 0.6, 0.65);
  settle_best (field);
}

static gboolean
explore (const LwSeekExplorer *self, Field *field, LwSeekFound *found, GError **error)
{
  g_ptr_array_add (field->camps, explore_own (self));
  explore_others (field);
  for (guint i = 0; i < field->camps->len; i++) {
    const Camp *camp = g_ptr_array_index (field->camps, i);
    found->n_tried += camp->trial != NULL ? camp->trial->n_tried : 0;
  }
  found->n_places = field->camps->len;
  if (g_cancellable_set_error_if_cancelled (self->watch.cancellable, error))
    return FALSE;
  const Camp *best = best_camp (field);
  return lw_seek_final (self, best->job, best->trial, &best->best, found, error);
}

gboolean
lw_seek_explore (const LwSeekExplorer *self, LwSeekFound *found, GError **error)
{
  Field field = { .of = self };
  gboolean done;

  *found = (LwSeekFound){ .spot = { NULL, -INFINITY } };
  field.camps = g_ptr_array_new_with_free_func (camp_free);
  g_mutex_init (&field.lock);
  done = explore (self, &field, found, error);
  g_mutex_clear (&field.lock);
  g_ptr_array_unref (field.camps);
  if (!done)
    lw_seek_found_clear (found);
  return done;
}

void
lw_seek_found_clear (LwSeekFound *found)
{
  g_clear_pointer (&found->spot.shares, g_free);
  g_clear_pointer (&found->trial, lw_trial_free);
  g_clear_pointer (&found->given, lw_trial_free);
  g_clear_pointer (&found->job, lw_job_unref);
}
