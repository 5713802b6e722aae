#include "widgets/late-rows.h"

#define MODEL "late-rows"

static void
mapped_cb (GtkWidget *view)
{
  GtkSelectionModel *model = g_object_steal_data (G_OBJECT (view), MODEL);

  g_signal_handlers_disconnect_by_func (view, mapped_cb, NULL);
  g_object_set (view, "model", model, NULL);
  g_object_unref (model);
}

void
lw_late_rows (GtkWidget *view, GtkSelectionModel *model)
{
  g_return_if_fail (GTK_IS_LIST_VIEW (view) || GTK_IS_COLUMN_VIEW (view));
  g_object_set_data_full (G_OBJECT (view), MODEL, g_object_ref (model), g_object_unref);
  if (gtk_widget_get_mapped (view))
    mapped_cb (view);
  else
    g_signal_connect (view, "map", G_CALLBACK (mapped_cb), NULL);
}
