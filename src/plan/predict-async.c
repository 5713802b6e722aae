#include "plan/predict.h"

#include "plan/background.h"
#include "plan/teller.h"

/* What a run in a thread needs; the job is held, so that it stays what it was. */
typedef struct {
  LwJob *job;
  guint plan;
  gboolean has_options;
  LwPredictOptions options;
  LwTeller *teller; /* NULL: nobody asks for progress */
} Order;

static void
order_free (gpointer data)
{
  Order *order = data;

  lw_job_unref (order->job);
  g_clear_pointer (&order->teller, lw_teller_free);
  g_free (order);
}

/* A thread of its own, not one of the pool's: it steps back. */
static gpointer
run (gpointer data)
{
  g_autoptr (GTask) task = data;
  GCancellable *cancellable = g_task_get_cancellable (task);
  Order *order = g_task_get_task_data (task);
  GError *error = NULL;

  lw_background_thread ();
  LwPrediction *prediction
      = lw_predict (order->job, order->plan, order->has_options ? &order->options : NULL, cancellable,
                    order->teller != NULL ? lw_teller_tell : NULL, order->teller, &error);

  if (prediction != NULL)
    g_task_return_pointer (task, prediction, (GDestroyNotify) lw_prediction_unref);
  else
    g_task_return_error (task, error);
  return NULL;
}

void
lw_predict_async (LwJob *job, guint plan, const LwPredictOptions *options, GCancellable *cancellable,
                  LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback,
                  gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, callback, user_data);
  Order *order = g_new0 (Order, 1);

  order->job = lw_job_ref (job);
  order->plan = plan;
  order->has_options = options != NULL;
  if (options != NULL)
    order->options = *options;
  order->teller = progress != NULL ? lw_teller_new (progress, user) : NULL;
  g_task_set_source_tag (task, lw_predict_async);
  g_task_set_task_data (task, order, order_free);
  g_thread_unref (g_thread_new ("full solution", run, g_object_ref (task)));
}

LwPrediction *
lw_predict_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
