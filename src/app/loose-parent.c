#include "app/loose-parent.h"

typedef struct {
  GtkWindow *self;
  GCancellable **running;
} Hold;

static void
parent_gone_cb (GtkWindow *parent, Hold *hold)
{
  if (*hold->running != NULL)
    g_cancellable_cancel (*hold->running);
  gtk_window_set_transient_for (hold->self, NULL);
}

static void
hold_free (gpointer hold, GClosure *closure)
{
  g_free (hold);
}

void
lw_hold_parent_loosely (GtkWindow *self, GtkWindow *parent, GCancellable **running)
{
  Hold *hold;
  GClosure *closure;

  if (parent == NULL)
    return;
  hold = g_new (Hold, 1);
  *hold = (Hold){ self, running };
  closure = g_cclosure_new (G_CALLBACK (parent_gone_cb), hold, hold_free);
  g_object_watch_closure (G_OBJECT (self), closure); /* not told once SELF is gone */
  g_signal_connect_closure (parent, "destroy", closure, FALSE);
}
