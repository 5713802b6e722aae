#include "plan/seek-confirm.h"

#include "plan/quick.h"

enum { BEFORE, AFTER, N_CONFIRMED };

/* Both plans' full solutions at once: each needs a processor for itself. */
typedef struct {
  LwSeek *out;
  LwJob *job; /* with the given plan */
  const LwWatch *watch;
  GMutex lock; /* guards done, and the telling */
  double done[N_CONFIRMED];
  LwPrediction *full[N_CONFIRMED], *reduced; /* the last: of what was found */
  GError *error[N_CONFIRMED];
} Confirmation;

/* One of them. */
typedef struct {
  Confirmation *of;
  guint which;
} Confirming;

static void
pass_on (double done, gpointer user)
{
  Confirming *one = user;
  Confirmation *c = one->of;

  g_mutex_lock (&c->lock);
  c->done[one->which] = done;
  lw_watch_tell (c->watch, (c->done[BEFORE] + c->done[AFTER]) / N_CONFIRMED);
  g_mutex_unlock (&c->lock);
}

static LwPrediction *
reduced_answer (const Confirmation *c, GError **error)
{
  LwJob *job = c->out->job;
  guint plan = c->out->plan;
  g_autoptr (LwQuick) quick = lw_quick_new (job, plan, NULL, c->watch->cancellable, NULL, NULL, error);

  if (quick == NULL)
    return NULL;
  g_autoptr (LwQuickRun) run = lw_quick_run_new (quick);
  return lw_quick_answer (quick, run, job, plan, error);
}

static void
confirm_one (void *data, size_t i)
{
  Confirmation *c = data;
  LwJob *job = i == BEFORE ? c->job : c->out->job;
  Confirming one = { c, (guint) i };
  LwPredictOptions full = { .no_doubt = TRUE };

  c->full[i] = lw_predict (job, c->out->plan, &full, c->watch->cancellable, pass_on, &one, &c->error[i]);
  if (i == AFTER && c->full[i] != NULL)
    c->reduced = reduced_answer (c, &c->error[i]);
}

/* Where nothing better was found, what there was is all there is. */
static void
confirm_both (Confirmation *c)
{
  const HeatParallel *parallel = lw_quick_parallel ();

  if (c->out->better) {
    parallel->run (parallel->pool, N_CONFIRMED, confirm_one, c);
    return;
  }
  c->done[BEFORE] = 1;
  confirm_one (c, AFTER);
  c->full[BEFORE] = c->full[AFTER] != NULL ? lw_prediction_ref (c->full[AFTER]) : NULL;
}

/* The first of them; TRUE when there is any. */
static gboolean
take_errors (Confirmation *c, GError **error)
{
  GError *first = NULL;

  for (guint i = 0; i < N_CONFIRMED; i++)
    if (first == NULL)
      first = g_steal_pointer (&c->error[i]);
    else
      g_clear_error (&c->error[i]);
  if (first == NULL)
    return FALSE;
  g_propagate_error (error, first);
  return TRUE;
}

gboolean
lw_seek_confirm (LwSeek *out, LwJob *job, const LwWatch *watch, GError **error)
{
  Confirmation c = { .out = out, .job = job, .watch = watch };

  g_mutex_init (&c.lock);
  confirm_both (&c);
  g_mutex_clear (&c.lock);
  out->before = c.full[BEFORE];
  out->after = c.full[AFTER];
  if (c.reduced != NULL)
    out->apart_k = lw_prediction_apart_k (c.reduced, out->after, NULL);
  g_clear_pointer (&c.reduced, lw_prediction_unref);
  return !take_errors (&c, error);
}
