#include "plan/seek.h"
#include "plan/teller.h"

/* What a search in a thread needs; the job is held, so that it stays what it was. */
typedef struct {
  LwJob *job;
  guint plan;
  gboolean has_options;
  LwSeekOptions options;
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

static void
run (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Order *order = data;
  GError *error = NULL;
  LwSeek *seek = lw_seek (order->job, order->plan, order->has_options ? &order->options : NULL, cancellable,
                          order->teller != NULL ? lw_teller_tell : NULL, order->teller, &error);

  if (seek != NULL)
    g_task_return_pointer (task, seek, (GDestroyNotify) lw_seek_free);
  else
    g_task_return_error (task, error);
}

void
lw_seek_async (LwJob *job, guint plan, const LwSeekOptions *options, GCancellable *cancellable,
               LwPredictProgress progress, gpointer user, GAsyncReadyCallback callback, gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, callback, user_data);
  Order *order = g_new0 (Order, 1);

  order->job = lw_job_ref (job);
  order->plan = plan;
  order->has_options = options != NULL;
  if (options != NULL)
    order->options = *options;
  order->teller = progress != NULL ? lw_teller_new (progress, user) : NULL;
  g_task_set_source_tag (task, lw_seek_async);
  g_task_set_task_data (task, order, order_free);
  g_task_run_in_thread (task, run);
}

LwSeek *
lw_seek_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_task_is_valid (result, NULL), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
