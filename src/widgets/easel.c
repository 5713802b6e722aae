#include "widgets/easel.h"

typedef struct {
  LwEasel *easel; /* NULL = dropped; the window's thread alone looks at it */
  GtkWidget *widget; /* borrowed while EASEL is there */
  gpointer order;
  const LwEaselKind *kind;
  GMainContext *context;
} Task;

static void
task_free (gpointer data)
{
  Task *task = data;

  task->kind->free (task->order);
  g_main_context_unref (task->context);
  g_free (task);
}

static gboolean
done_cb (gpointer data)
{
  Task *task = data;

  if (task->easel != NULL) {
    task->easel->out = NULL;
    task->kind->show (task->widget, task->order);
  }
  return G_SOURCE_REMOVE;
}

static void
paint_cb (gpointer data, gpointer user)
{
  Task *task = data;
  g_autoptr (GSource) source = g_idle_source_new ();

  task->kind->paint (task->order);
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, done_cb, task, task_free);
  g_source_attach (source, task->context);
}

/* One thread for all widgets, kept: letters that were set once are there for the next order. */
static GThreadPool *
painter (void)
{
  static gsize pool;

  if (g_once_init_enter (&pool))
    g_once_init_leave (&pool, (gsize) g_thread_pool_new (paint_cb, NULL, 1, TRUE, NULL));
  return (GThreadPool *) pool;
}

void
lw_easel_order (LwEasel *self, GtkWidget *widget, gpointer order, const LwEaselKind *kind)
{
  Task *task = g_new (Task, 1);

  g_return_if_fail (self->out == NULL);
  *task = (Task){ self, widget, order, kind, g_main_context_ref_thread_default () };
  self->out = task;
  g_thread_pool_push (painter (), task, NULL);
}

gboolean
lw_easel_busy (const LwEasel *self)
{
  return self->out != NULL;
}

void
lw_easel_drop (LwEasel *self)
{
  if (self->out != NULL)
    ((Task *) self->out)->easel = NULL;
  self->out = NULL;
}
