/* Packages dragged from their list onto the board. */
#include "widgets/board-view-private.h"

#include <string.h>

#include <glib/gi18n.h>

#include "widgets/package-list.h"
#include "widgets/part-entry.h"

/* TRUE when TEXT was a dragged package; a refusal is told. */
static gboolean
drop (LwBoardView *self, const char *text, double x, double y)
{
  double grid;
  LwPoint at;
  g_autoptr (GError) error = NULL;

  if (self->desk == NULL || lw_board_view_job (self) == NULL || !g_str_has_prefix (text, LW_PACKAGE_DRAG))
    return FALSE;
  grid = lw_sketch_grid_mm (lw_desk_sketch (self->desk));
  lw_viewport_to_board (&self->view, x, y, &at.x_mm, &at.y_mm);
  at = (LwPoint){ lw_snap (at.x_mm, grid), lw_snap (at.y_mm, grid) };
  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (lw_part_entry_place (self->desk, NULL, text + strlen (LW_PACKAGE_DRAG), "", at, 0, self->view.side, &error))
    return TRUE;
  lw_desk_tell (self->desk, error->message, FALSE);
  return TRUE;
}

static gboolean
drop_cb (GtkDropTarget *target, const GValue *value, double x, double y, LwBoardView *self)
{
  return drop (self, g_value_get_string (value), x, y);
}

void
lw_board_view_add_drop (LwBoardView *self)
{
  GtkDropTarget *target = gtk_drop_target_new (G_TYPE_STRING, GDK_ACTION_COPY);

  g_signal_connect (target, "drop", G_CALLBACK (drop_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (target));
}
