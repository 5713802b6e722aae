/* Recorded runs of a document as a fit takes them, here and in a thread. */
#include <glib/gi18n.h>
#include <math.h>

#include "plan/fit.h"
#include "plan/teller.h"

/* What lw_fit() borrows. */
typedef struct {
  LwJob *job;
  double *t_s, *c;
  GPtrArray *couples; /* LwThermocouple */
} Held;

static void
held_clear (gpointer data)
{
  Held *self = data;

  lw_job_unref (self->job);
  g_free (self->t_s);
  g_free (self->c);
  g_ptr_array_unref (self->couples);
}

static gboolean
refuse (GError **error, const LwRun *run, const char *text)
{
  /* Translators: name of a recorded run, then what is wrong with it. */
  g_set_error (error, LW_FIT_ERROR, LW_FIT_ERROR_RUN, _("Run “%s”: %s"), run->name, text);
  return FALSE;
}

/* JOB with the plan as it stood when RUN was made, where a revision says so. */
static LwJob *
job_then (LwJob *job, const LwRun *run, guint plan)
{
  for (guint i = job->revisions->len; i-- > 0;) {
    const LwRevision *revision = g_ptr_array_index (job->revisions, i);
    LwJob *out;
    if (*run->plan_hash == '\0' || !g_str_equal (revision->hash, run->plan_hash)
        || !g_str_equal (revision->plan->ref, run->ref))
      continue;
    out = lw_job_copy (job);
    lw_plan_unref (g_ptr_array_index (out->plans, plan));
    out->plans->pdata[plan] = lw_plan_ref (revision->plan);
    return out;
  }
  return lw_job_ref (job);
}

static LwThermocouple *
couple_named (const LwPlan *plan, const char *name)
{
  for (guint i = 0; *name != '\0' && i < plan->thermocouples->len; i++)
    if (g_str_equal (((LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->name, name))
      return g_ptr_array_index (plan->thermocouples, i);
  return NULL;
}

static gboolean
take_run (LwJob *job, const LwRun *run, Held *held, LwFitRecord *out, GError **error)
{
  int plan = lw_job_find_plan (job, run->ref);
  const LwPlan *then;

  *held = (Held){ .couples = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_thermocouple_unref) };
  if (plan < 0)
    return refuse (error, run, _("there is no plan for its part any more."));
  held->job = job_then (job, run, (guint) plan);
  then = g_ptr_array_index (held->job->plans, plan);
  held->t_s = g_new (double, MAX (run->t_s->len, 1));
  held->c = g_new (double, MAX (run->t_s->len * run->columns->len, 1));
  for (guint i = 0; i < run->columns->len; i++) {
    const LwRunColumn *column = g_ptr_array_index (run->columns, i);
    LwThermocouple *couple = couple_named (then, column->thermocouple);
    if (couple == NULL || column->c->len != run->t_s->len)
      continue;
    for (guint k = 0; k < run->t_s->len; k++)
      held->c[(gsize) held->couples->len * run->t_s->len + k] = g_array_index (column->c, double, k);
    g_ptr_array_add (held->couples, lw_thermocouple_ref (couple));
  }
  if (held->couples->len == 0)
    return refuse (error, run, _("none of its columns belongs to a thermocouple of the plan."));
  *out = (LwFitRecord){ held->job, (guint) plan, run->t_s->len, held->t_s, held->couples->len,
                        (LwThermocouple *const *) held->couples->pdata, held->c, isnan (run->shift_s) };
  for (guint k = 0; k < run->t_s->len; k++)
    held->t_s[k] = g_array_index (run->t_s, double, k) + (isnan (run->shift_s) ? 0 : run->shift_s);
  return TRUE;
}

LwFitAnswer *
lw_fit_job_runs (LwJob *job, const guint *runs, guint n_runs, const LwFitOptions *options, GCancellable *cancellable,
                 LwPredictProgress progress, gpointer user, GError **error)
{
  g_autoptr (GArray) held = g_array_new (FALSE, TRUE, sizeof (Held));
  g_autofree LwFitRecord *records = g_new0 (LwFitRecord, MAX (n_runs, 1));
  gboolean ok = TRUE;

  g_array_set_clear_func (held, held_clear);
  g_array_set_size (held, n_runs);
  for (guint i = 0; i < n_runs; i++)
    g_array_index (held, Held, i).couples = g_ptr_array_new ();
  for (guint i = 0; ok && i < n_runs; i++) {
    g_ptr_array_unref (g_array_index (held, Held, i).couples);
    ok = take_run (job, g_ptr_array_index (job->runs, runs[i]), &g_array_index (held, Held, i), &records[i], error);
  }
  return ok ? lw_fit (records, n_runs, options, cancellable, progress, user, error) : NULL;
}

/* ---- in a thread ---- */

typedef struct {
  LwJob *job;
  guint *runs, n_runs;
  LwFitOptions options;
  LwTeller *teller; /* NULL: nobody asks for progress */
} Order;

static void
order_free (gpointer data)
{
  Order *order = data;

  lw_job_unref (order->job);
  g_free (order->runs);
  g_clear_pointer (&order->teller, lw_teller_free);
  g_free (order);
}

static void
run (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Order *order = data;
  GError *error = NULL;
  LwFitAnswer *answer
      = lw_fit_job_runs (order->job, order->runs, order->n_runs, &order->options, cancellable,
                         order->teller != NULL ? lw_teller_tell : NULL, order->teller, &error);

  if (answer != NULL)
    g_task_return_pointer (task, answer, (GDestroyNotify) lw_fit_answer_free);
  else
    g_task_return_error (task, error);
}

void
lw_fit_job_runs_async (LwJob *job, const guint *runs, guint n_runs, const LwFitOptions *options,
                       GCancellable *cancellable, LwPredictProgress progress, gpointer user,
                       GAsyncReadyCallback callback, gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, callback, user_data);
  Order *order = g_new0 (Order, 1);

  order->job = lw_job_ref (job);
  order->runs = g_memdup2 (runs, n_runs * sizeof *runs);
  order->n_runs = n_runs;
  order->options = options != NULL ? *options : (LwFitOptions){ 0 };
  order->teller = progress != NULL ? lw_teller_new (progress, user) : NULL;
  g_task_set_source_tag (task, lw_fit_job_runs_async);
  g_task_set_task_data (task, order, order_free);
  g_task_run_in_thread (task, run);
}

LwFitAnswer *
lw_fit_job_runs_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
