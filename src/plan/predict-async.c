#include "plan/predict.h"

/* What a run in a thread needs; the job is held, so that it stays what it was. */
typedef struct {
  LwJob *job;
  guint plan;
  gboolean has_options;
  LwPredictOptions options;
  LwPredictProgress progress;
  gpointer user;
  GMainContext *context;
} Order;

typedef struct {
  LwPredictProgress progress;
  gpointer user;
  double done;
} News;

static void
order_free (gpointer data)
{
  Order *order = data;

  lw_job_unref (order->job);
  g_main_context_unref (order->context);
  g_free (order);
}

static gboolean
deliver (gpointer data)
{
  News *news = data;

  news->progress (news->done, news->user);
  return G_SOURCE_REMOVE;
}

/* In the worker. An own source, since g_main_context_invoke() may run the call at once here. */
static void
post (double done, gpointer user)
{
  Order *order = user;
  News *news = g_new (News, 1);
  g_autoptr (GSource) source = g_idle_source_new ();

  *news = (News){ order->progress, order->user, done };
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, deliver, news, g_free);
  g_source_attach (source, order->context);
}

static void
run (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Order *order = data;
  GError *error = NULL;
  LwPrediction *prediction
      = lw_predict (order->job, order->plan, order->has_options ? &order->options : NULL, cancellable,
                    order->progress != NULL ? post : NULL, order, &error);

  if (prediction != NULL)
    g_task_return_pointer (task, prediction, (GDestroyNotify) lw_prediction_unref);
  else
    g_task_return_error (task, error);
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
  order->progress = progress;
  order->user = user;
  order->context = g_main_context_ref_thread_default ();
  g_task_set_source_tag (task, lw_predict_async);
  g_task_set_task_data (task, order, order_free);
  g_task_run_in_thread (task, run);
}

LwPrediction *
lw_predict_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
