/* Several parts at once on the board: bands, clicks that add, and what is done to the selected ones. */
#include "widgets/board-view-private.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/part-text.h"
#include "plan/find-parts.h"
#include "widgets/part-paste.h"

/* ---- selecting ---- */

static LwBox
band_box (LwBoardView *self)
{
  LwBox box;
  double x, y;

  lw_viewport_to_board (&self->view, self->drag.x0, self->drag.y0, &box.x0_mm, &box.y0_mm);
  lw_viewport_to_board (&self->view, self->drag.x0 + self->drag.dx, self->drag.y0 + self->drag.dy, &x, &y);
  box.x1_mm = box.x0_mm;
  box.y1_mm = box.y0_mm;
  lw_box_extend (&box, x, y);
  return box;
}

/* Parts of the side looked at whose bodies lie wholly inside, added to those selected before. */
void
lw_board_view_band_end (LwBoardView *self)
{
  LwJob *job = lw_board_view_job (self);
  LwBox band = band_box (self);
  g_autoptr (GArray) parts = g_array_copy ((GArray *) lw_desk_selected_parts (self->desk));
  int lead = lw_desk_selected_part (self->desk);

  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    LwPoint c[4];
    gboolean inside = part->placed && part->side == self->view.side;

    lw_part_body_corners (part, lw_job_package_of (job, part), c);
    for (guint k = 0; k < 4 && inside; k++)
      inside = c[k].x_mm >= band.x0_mm && c[k].x_mm <= band.x1_mm && c[k].y_mm >= band.y0_mm && c[k].y_mm <= band.y1_mm;
    if (inside)
      g_array_append_val (parts, i);
  }
  lw_desk_select_parts (self->desk, parts, lead);
}

void
lw_board_view_click_part (LwBoardView *self, int part)
{
  if ((self->press_state & (GDK_SHIFT_MASK | GDK_CONTROL_MASK)) != 0)
    lw_desk_toggle_part (self->desk, part);
  else
    lw_desk_select_part (self->desk, part);
}

static void
select_all_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwPartQuery query = LW_PART_QUERY_ANY;
  g_autoptr (GArray) parts = NULL;

  if (lw_board_view_job (self) == NULL)
    return;
  query.side = (int) self->view.side;
  parts = lw_find_parts (lw_board_view_job (self), &query);
  lw_desk_select_parts (self->desk, parts, lw_desk_selected_part (self->desk));
}

/* All that are like the selected part in one respect: "package", "kind", "side", "letters" or "limit". */
static void
select_like_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwJob *job = lw_board_view_job (self);
  const char *respect = g_variant_get_string (parameter, NULL);
  int lead = lw_desk_selected_part (self->desk);
  LwPartQuery query = LW_PART_QUERY_ANY;
  g_autoptr (GArray) parts = NULL;
  const LwPart *like;
  const LwPackage *package;

  if (job == NULL || lead < 0)
    return;
  like = g_ptr_array_index (job->parts, lead);
  package = lw_job_package_of (job, like);
  if (strcmp (respect, "side") == 0)
    query.side = (int) like->side;
  if (strcmp (respect, "kind") == 0)
    query.kind = (int) (package == NULL ? LW_KIND_OTHER : package->kind);
  if (strcmp (respect, "limit") == 0)
    query.limit_at_most_c = lw_part_body_limit_c (job, like);
  parts = lw_find_parts (job, &query);
  for (guint i = parts->len; i-- > 0;) {
    const LwPart *part = g_ptr_array_index (job->parts, g_array_index (parts, guint, i));
    gsize letters = lw_ref_prefix (like->ref, NULL);

    if ((strcmp (respect, "package") == 0 && strcmp (part->package, like->package) != 0)
        || (strcmp (respect, "letters") == 0
            && (lw_ref_prefix (part->ref, NULL) != letters || strncmp (part->ref, like->ref, letters) != 0)))
      g_array_remove_index (parts, i);
  }
  lw_desk_select_parts (self->desk, parts, lead);
}

/* ---- doing ---- */

static const GArray *
selected (LwBoardView *self)
{
  return self->desk != NULL ? lw_desk_selected_parts (self->desk) : NULL;
}

static void
edit (LwBoardView *self, LwJob *job, const char *label, GError *error)
{
  lw_desk_edit (self->desk, job, label, NULL, error);
}

static void
lock_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwJob *job = lw_board_view_job (self);
  const GArray *parts = selected (self);
  GError *error = NULL;
  gboolean all = TRUE;

  if (job == NULL || parts->len == 0)
    return;
  for (guint i = 0; i < parts->len; i++)
    all = all && ((const LwPart *) g_ptr_array_index (job->parts, g_array_index (parts, guint, i)))->locked;
  edit (self, lw_edit_lock_parts (job, parts, !all, &error), all ? _("Unlock parts") : _("Lock parts"), error);
  lw_desk_tell (self->desk, all ? _("Free to be moved again") : _("Locked in place"), TRUE);
}

static void
align_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  GError *error = NULL;
  gint32 align = CLAMP (g_variant_get_int32 (parameter), LW_ALIGN_LEFT, LW_ALIGN_HIGH);

  if (lw_board_view_job (self) == NULL)
    return;
  /* Seen from below, left is at high x. */
  if (self->view.side == LW_SIDE_BOTTOM && (align == LW_ALIGN_LEFT || align == LW_ALIGN_RIGHT))
    align = align == LW_ALIGN_LEFT ? LW_ALIGN_RIGHT : LW_ALIGN_LEFT;
  edit (self, lw_edit_align_parts (lw_board_view_job (self), selected (self), (LwAlign) align, &error),
        _("Align parts"), error);
}

static void
spread_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  GError *error = NULL;

  if (lw_board_view_job (self) == NULL)
    return;
  edit (self,
        lw_edit_spread_parts (lw_board_view_job (self), selected (self), g_variant_get_boolean (parameter), &error),
        _("Spread parts evenly"), error);
}

/* ---- clipboard ---- */

static void
copy_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwJob *job = lw_board_view_job (self);
  const GArray *parts = selected (self);
  gboolean cut = strcmp (name, "group.cut") == 0, table = strcmp (name, "group.copy-table") == 0;
  g_autofree char *text = NULL, *told = NULL;
  GError *error = NULL;

  if (job == NULL || parts->len == 0)
    return;
  text = table ? lw_parts_to_table (job, parts) : lw_parts_to_text (job, parts);
  gdk_clipboard_set_text (gtk_widget_get_clipboard (widget), text);
  told = g_strdup_printf (ngettext ("%u part in the clipboard", "%u parts in the clipboard", parts->len), parts->len);
  if (cut)
    edit (self, lw_edit_remove_parts (job, parts, &error), _("Cut parts"), error);
  lw_desk_tell (self->desk, told, cut);
}

LwPoint
lw_board_view_spot (LwBoardView *self)
{
  double x = 0.5 * self->view.width, y = 0.5 * self->view.height, grid = lw_sketch_grid_mm (lw_desk_sketch (self->desk));
  LwPoint at;

  if (self->pointer_x > 0 && self->pointer_y > 0 && self->pointer_x < self->view.width
      && self->pointer_y < self->view.height) {
    x = self->pointer_x;
    y = self->pointer_y;
  }
  lw_viewport_to_board (&self->view, x, y, &at.x_mm, &at.y_mm);
  return (LwPoint){ lw_snap (at.x_mm, grid), lw_snap (at.y_mm, grid) };
}

static void
paste_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwBoardView *self = LW_BOARD_VIEW (widget);
  LwPoint to;

  if (lw_board_view_job (self) == NULL)
    return;
  to = lw_board_view_spot (self);
  lw_parts_paste_clipboard (self->desk, widget, &to);
}

/* ---- the actions ---- */

static const struct {
  const char *name, *parameter;
  GtkWidgetActionActivateFunc activate;
  guint least; /* selected parts */
} actions[] = {
  { "group.select-all", NULL, select_all_action, 0 },
  { "group.select-like", "s", select_like_action, 1 },
  { "group.lock", NULL, lock_action, 1 },
  { "group.align", "i", align_action, 2 },
  { "group.spread", "b", spread_action, 3 },
  { "group.copy", NULL, copy_action, 1 },
  { "group.copy-table", NULL, copy_action, 1 },
  { "group.cut", NULL, copy_action, 1 },
  { "group.paste", NULL, paste_action, 0 },
};

static const struct {
  guint key;
  GdkModifierType modifiers;
  const char *action;
} keys[] = {
  { GDK_KEY_a, GDK_CONTROL_MASK, "group.select-all" }, { GDK_KEY_l, 0, "group.lock" },
  { GDK_KEY_c, GDK_CONTROL_MASK, "group.copy" },       { GDK_KEY_x, GDK_CONTROL_MASK, "group.cut" },
  { GDK_KEY_v, GDK_CONTROL_MASK, "group.paste" },      { GDK_KEY_c, GDK_CONTROL_MASK | GDK_SHIFT_MASK, "group.copy-table" },
};

/* Alt with an arrow lines up: "i" of LwAlign, as seen. */
static const struct {
  guint key;
  int align;
} align_keys[] = {
  { GDK_KEY_Left, LW_ALIGN_LEFT },
  { GDK_KEY_Right, LW_ALIGN_RIGHT },
  { GDK_KEY_Down, LW_ALIGN_LOW },
  { GDK_KEY_Up, LW_ALIGN_HIGH },
};

void
lw_board_view_install_group_actions (GtkWidgetClass *widget_class)
{
  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_class_install_action (widget_class, actions[i].name, actions[i].parameter, actions[i].activate);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    gtk_widget_class_add_binding_action (widget_class, keys[i].key, keys[i].modifiers, keys[i].action, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (align_keys); i++)
    gtk_widget_class_add_binding_action (widget_class, align_keys[i].key, GDK_ALT_MASK, "group.align", "i",
                                         align_keys[i].align);
}

void
lw_board_view_update_group_actions (LwBoardView *self)
{
  gboolean job = lw_board_view_job (self) != NULL;
  guint n = job ? selected (self)->len : 0;

  for (guint i = 0; i < G_N_ELEMENTS (actions); i++)
    gtk_widget_action_set_enabled (GTK_WIDGET (self), actions[i].name, job && n >= actions[i].least);
}
