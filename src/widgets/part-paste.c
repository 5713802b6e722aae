#include "widgets/part-paste.h"

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/part-text.h"
#include "widgets/canvas.h"
#include "widgets/sketch.h"

static LwJob *
add_at (LwDesk *desk, const GPtrArray *parts, const GPtrArray *packages, const LwPoint *to, GArray **made, GError **error)
{
  LwBox box = { 0, 0, 0, 0 };
  double grid = lw_sketch_grid_mm (lw_desk_sketch (desk));
  LwJob *job = NULL;

  for (guint i = 0; i < parts->len; i++) {
    const LwPart *part = g_ptr_array_index (parts, i);

    if (i == 0)
      box = (LwBox){ part->x_mm, part->y_mm, part->x_mm, part->y_mm };
    lw_box_extend (&box, part->x_mm, part->y_mm);
  }
  if (to != NULL)
    job = lw_edit_add_parts (lw_desk_job (desk), parts, packages,
                             lw_snap (to->x_mm - 0.5 * (box.x0_mm + box.x1_mm), grid),
                             lw_snap (to->y_mm - 0.5 * (box.y0_mm + box.y1_mm), grid), made, NULL);
  return job != NULL ? job : lw_edit_add_parts (lw_desk_job (desk), parts, packages, 0, 0, made, error);
}

gboolean
lw_parts_paste (LwDesk *desk, const char *text, const LwPoint *to)
{
  g_autoptr (GPtrArray) parts = NULL, packages = NULL;
  g_autoptr (GArray) made = NULL;
  g_autofree char *told = NULL;
  GError *error = NULL;
  LwJob *job = NULL;

  if (!lw_parts_text_is_ours (text))
    job = lw_edit_paste_table (lw_desk_job (desk), text, &made, &error);
  else if (lw_parts_from_text (text, &parts, &packages, &error))
    job = add_at (desk, parts, packages, to, &made, &error);
  if (!lw_desk_edit (desk, job, _("Paste parts"), NULL, error))
    return FALSE;
  lw_desk_select_parts (desk, made, -1);
  told = g_strdup_printf (ngettext ("%u part pasted", "%u parts pasted", made->len), made->len);
  lw_desk_tell (desk, told, TRUE);
  return TRUE;
}

typedef struct {
  LwDesk *desk;
  LwPoint to;
  gboolean has_to;
} Wish;

static void
read_cb (GObject *clipboard, GAsyncResult *result, gpointer user)
{
  Wish *wish = user;
  g_autofree char *text = gdk_clipboard_read_text_finish (GDK_CLIPBOARD (clipboard), result, NULL);

  if (lw_desk_job (wish->desk) != NULL) {
    if (text == NULL)
      lw_desk_tell (wish->desk, _("There is no text in the clipboard"), FALSE);
    else
      lw_parts_paste (wish->desk, text, wish->has_to ? &wish->to : NULL);
  }
  g_object_unref (wish->desk);
  g_free (wish);
}

void
lw_parts_paste_clipboard (LwDesk *desk, GtkWidget *widget, const LwPoint *to)
{
  Wish *wish = g_new0 (Wish, 1);

  wish->desk = g_object_ref (desk);
  wish->has_to = to != NULL;
  if (to != NULL)
    wish->to = *to;
  gdk_clipboard_read_text_async (gtk_widget_get_clipboard (widget), NULL, read_cb, wish);
}
