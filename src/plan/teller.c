#include "plan/teller.h"

struct LwTeller {
  LwPredictProgress progress;
  gpointer user;
  GMainContext *context;
};

typedef struct {
  LwPredictProgress progress;
  gpointer user;
  double done;
} News;

LwTeller *
lw_teller_new (LwPredictProgress progress, gpointer user)
{
  LwTeller *self = g_new (LwTeller, 1);

  *self = (LwTeller){ progress, user, g_main_context_ref_thread_default () };
  return self;
}

void
lw_teller_free (LwTeller *self)
{
  g_main_context_unref (self->context);
  g_free (self);
}

static gboolean
deliver (gpointer data)
{
  News *news = data;

  news->progress (news->done, news->user);
  return G_SOURCE_REMOVE;
}

/* An own source, since g_main_context_invoke() may run the call at once in the worker. */
void
lw_teller_tell (double done, gpointer teller)
{
  const LwTeller *self = teller;
  News *news = g_new (News, 1);
  g_autoptr (GSource) source = g_idle_source_new ();

  *news = (News){ self->progress, self->user, done };
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, deliver, news, g_free);
  g_source_attach (source, self->context);
}
