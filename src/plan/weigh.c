#include "plan/weigh.h"

#include <string.h>

#include <glib/gi18n.h>

#include "plan/background.h"
#include "plan/doubt-sample.h"
#include "plan/lee.h"
#include "plan/prediction.h"
#include "plan/teller.h"

/* ---- the same figures once more ---- */

/* Fields are large and never written to: they are asked of whoever has them. */
typedef struct {
  LwFieldMaker maker;
  LwPrediction *owner;
} Borrowed;

static void
borrowed_field (LwFieldMaker *maker, LwSide side, double t_s, float *out)
{
  lw_prediction_field (((Borrowed *) maker)->owner, side, t_s, out);
}

static void
borrowed_free (LwFieldMaker *maker)
{
  Borrowed *self = (Borrowed *) maker;

  lw_prediction_unref (self->owner);
  g_free (self);
}

static LwFieldMaker *
borrow_fields (LwPrediction *from)
{
  Borrowed *self = g_new0 (Borrowed, 1);

  self->maker = (LwFieldMaker){ borrowed_field, borrowed_free, NULL };
  self->owner = lw_prediction_ref (from);
  return &self->maker;
}

static void
own (double **series, gsize n)
{
  *series = g_memdup2 (*series, n * sizeof **series);
}

static LwPartTrace *
copy_trace (const LwPartTrace *from, guint n, gboolean shared)
{
  LwPartTrace *to = g_memdup2 (from, sizeof *from);
  double **series[] = { &to->joint_min, &to->joint_mean, &to->joint_max, &to->joint_center, &to->joint_corner,
                        &to->body_top, &to->body_max, &to->liquid_share };

  to->ref = g_strdup (from->ref);
  for (guint i = 0; i < G_N_ELEMENTS (series) && !shared; i++)
    own (series[i], n);
  return to;
}

static void
own_series (LwPrediction *self)
{
  double **series[] = { &self->t_s, &self->gas_c, &self->preheat_c, &self->gas_set_c, &self->preheat_set_c,
                        &self->board_max, &self->board_mean };

  for (guint i = 0; i < G_N_ELEMENTS (series); i++)
    own (series[i], self->n_times);
  own (&self->target_joints, (gsize) self->n_times * (self->target_joint_at != NULL ? self->target_joint_at->len : 0));
  own (&self->x_edges_mm, self->nx + 1);
  own (&self->y_edges_mm, self->ny + 1);
}

G_STATIC_ASSERT (G_STRUCT_OFFSET (LwPrediction, ref_count) == 0); /* else what stands before it would not be copied */

static LwPrediction *
copy (LwPrediction *from)
{
  const gsize past = sizeof from->ref_count;
  LwPrediction *out = from->held != NULL ? lw_prediction_new_sharing (from) : lw_prediction_new (), empty = *out;

  /* all but the count of holders, which other threads write meanwhile */
  memcpy ((char *) out + past, (const char *) from + past, sizeof *out - past);
  out->doubt = NULL;
  out->lee = from->lee != NULL ? lw_lee_ref (from->lee) : NULL;
  out->apart_ref = g_strdup (from->apart_ref);
  out->parts = empty.parts;
  out->fields = empty.fields;
  out->notes = empty.notes;
  out->target_joint_at = empty.target_joint_at;
  if (from->target_joint_at != NULL)
    g_array_append_vals (out->target_joint_at, from->target_joint_at->data, from->target_joint_at->len);
  for (guint i = 0; i < from->parts->len; i++)
    g_ptr_array_add (out->parts, copy_trace (g_ptr_array_index (from->parts, i), from->n_times, from->held != NULL));
  for (guint i = 0; i < from->notes->len; i++)
    g_ptr_array_add (out->notes, g_strdup (g_ptr_array_index (from->notes, i)));
  own_series (out);
  out->maker = lw_prediction_has_field (from) ? borrow_fields (from) : NULL;
  return out;
}

LwPrediction *
lw_prediction_with_doubt (LwPrediction *answer, LwDoubt *doubt)
{
  LwPrediction *out = copy (answer);

  if (lw_prediction_set_doubt (out, doubt))
    return out;
  lw_prediction_unref (out);
  return NULL;
}

/* ---- in a thread ---- */

typedef struct {
  LwJob *job;
  guint plan;
  LwPrediction *answer;
  LwTeller *teller; /* NULL: nobody asks for progress */
} Order;

static void
order_free (gpointer data)
{
  Order *order = data;

  lw_job_unref (order->job);
  lw_prediction_unref (order->answer);
  g_clear_pointer (&order->teller, lw_teller_free);
  g_free (order);
}

static LwPrediction *
weigh (const Order *order, GCancellable *cancellable, GError **error)
{
  LwWatch watch = { cancellable, order->teller != NULL ? lw_teller_tell : NULL, order->teller, 0, 1 };
  g_autoptr (LwCase) compiled = lw_case_new (order->job, order->plan, error);
  g_autoptr (LwDoubt) doubt = NULL;
  LwPrediction *out;

  if (compiled == NULL)
    return NULL;
  doubt = lw_doubt_of_plan (order->job, order->plan, order->answer->nozzle_in_range || !compiled->scene.nozzle.present,
                            NULL, &watch, error);
  if (doubt == NULL)
    return NULL;
  out = lw_prediction_with_doubt (order->answer, doubt);
  if (out == NULL)
    g_set_error_literal (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB, _("the answer is for other parts"));
  return out;
}

/* A thread of its own, not one of the pool's: it steps back. */
static gpointer
run (gpointer data)
{
  g_autoptr (GTask) task = data;
  GError *error = NULL;
  LwPrediction *prediction;

  lw_background_thread ();
  prediction = weigh (g_task_get_task_data (task), g_task_get_cancellable (task), &error);
  if (prediction != NULL)
    g_task_return_pointer (task, prediction, (GDestroyNotify) lw_prediction_unref);
  else
    g_task_return_error (task, error);
  return NULL;
}

void
lw_weigh_async (LwJob *job, guint plan, LwPrediction *answer, GCancellable *cancellable, LwPredictProgress progress,
                gpointer user, GAsyncReadyCallback callback, gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, callback, user_data);
  Order *order = g_new0 (Order, 1);

  order->job = lw_job_ref (job);
  order->plan = plan;
  order->answer = lw_prediction_ref (answer);
  order->teller = progress != NULL ? lw_teller_new (progress, user) : NULL;
  g_task_set_source_tag (task, lw_weigh_async);
  g_task_set_task_data (task, order, order_free);
  g_thread_unref (g_thread_new ("doubt", run, g_object_ref (task)));
}
