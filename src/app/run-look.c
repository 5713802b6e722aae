#include "app/run-look.h"

#include "plan/background.h"
#include "plan/doubt.h"

void
lw_look_compare (const LwLook *look)
{
  LwPrediction *answer = look->answer;
  const LwPrediction *before = look->before;
  const char *ref = NULL;

  if (before == NULL)
    return;
  if (answer->doubt == NULL && before->doubt != NULL)
    lw_prediction_set_doubt (answer, before->doubt);
  if (!look->same_version)
    return;
  g_free (answer->apart_ref);
  answer->apart_k = before->full ? before->apart_k : lw_prediction_apart_k (before, answer, &ref);
  answer->apart_ref = g_strdup (before->full ? before->apart_ref : ref);
}

static void
look_free (gpointer data)
{
  LwLook *look = data;

  lw_job_unref (look->job);
  lw_prediction_unref (look->answer);
  g_clear_pointer (&look->before, lw_prediction_unref);
  g_free (look);
}

static gpointer
run (gpointer data)
{
  g_autoptr (GTask) task = data;
  const LwLook *look = g_task_get_task_data (task);

  lw_background_thread ();
  lw_look_compare (look);
  g_task_return_pointer (task, lw_judgement_new (look->job, look->plan, look->answer, &look->chances, NULL),
                         (GDestroyNotify) lw_judgement_unref);
  return NULL;
}

void
lw_look_async (const LwLook *look, GAsyncReadyCallback callback, gpointer user_data)
{
  g_autoptr (GTask) task = g_task_new (NULL, NULL, callback, user_data);
  LwLook *own = g_memdup2 (look, sizeof *look);

  lw_job_ref (own->job);
  lw_prediction_ref (own->answer);
  if (own->before != NULL)
    lw_prediction_ref (own->before);
  g_task_set_source_tag (task, lw_look_async);
  g_task_set_task_data (task, own, look_free);
  g_thread_unref (g_thread_new ("first look", run, g_object_ref (task)));
}

LwJudgement *
lw_look_finish (GAsyncResult *result, LwPrediction **answer)
{
  *answer = lw_prediction_ref (((const LwLook *) g_task_get_task_data (G_TASK (result)))->answer);
  return g_task_propagate_pointer (G_TASK (result), NULL);
}
