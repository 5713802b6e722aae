#include "widgets/operation-list.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits.h"
#include "board/operations.h"
#include "plan/ready.h"
#include "widgets/words.h"

struct _LwOperationList {
  GtkWidget parent_instance;

  GtkBox *box;
  GtkListBox *rows;
  GtkMenuButton *add;
  LwDesk *desk;
  GSignalGroup *desk_signals;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwOperationList, lw_operation_list, GTK_TYPE_WIDGET)

static const LwPlan *
active (LwOperationList *self)
{
  int plan = self->desk == NULL || lw_desk_job (self->desk) == NULL ? -1 : lw_desk_plan (self->desk);

  return plan < 0 ? NULL : g_ptr_array_index (lw_desk_job (self->desk)->plans, plan);
}

static GtkWidget *
line (const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  if (style != NULL)
    gtk_widget_add_css_class (label, style);
  return label;
}

/* How it heats, and which reflow of the lands it is. */
static char *
detail_of (const LwJob *job, guint plan)
{
  const LwPlan *of = g_ptr_array_index (job->plans, plan);
  LwReadyCycles c = lw_ready_cycles (job, plan);
  const char *heat = lw_plan_heats (of)         ? _("gas, preheat")
                     : lw_ready_melts (of) > 0 ? _("hand tool")
                                               : _("no heat");

  if (lw_ready_melts (of) == 0)
    return g_strdup (heat);
  if (isnan (c.site_after))
    return g_strdup_printf (_("%s · lands: reflow ? of %.0f"), heat, c.site_allowed);
  return g_strdup_printf (_("%s · lands: reflow %.0f of %.0f"), heat, c.site_after, c.site_allowed);
}

static GtkWidget *
row_of (LwOperationList *self, guint number, guint plan)
{
  const LwJob *job = lw_desk_job (self->desk);
  const LwPlan *of = g_ptr_array_index (job->plans, plan);
  GtkWidget *row = gtk_list_box_row_new (), *across = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *place = g_strdup_printf ("%u", number), *detail = detail_of (job, plan);
  g_autofree char *told = g_strdup_printf ("%u, %s, %s", number, lw_operation_label (of->operation), detail);
  GtkWidget *count = line (place, "numeric");

  gtk_widget_set_valign (count, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (words), line (lw_operation_label (of->operation), (int) plan == lw_desk_plan (self->desk) ? "chosen" : NULL));
  gtk_box_append (GTK_BOX (words), line (detail, "quiet"));
  gtk_box_append (GTK_BOX (across), count);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (across), words);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), across);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, told, -1);
  g_object_set_data (G_OBJECT (row), "plan", GUINT_TO_POINTER (plan));
  return row;
}

/* What the part has no plan for yet. */
static void
fill_menu (LwOperationList *self, const LwPlan *of)
{
  static const LwOperation order[] = { LW_OP_REMOVE, LW_OP_CLEAN, LW_OP_PRINT, LW_OP_DISPENSE, LW_OP_PLACE, LW_OP_REFLOW };
  g_autoptr (GMenu) menu = g_menu_new ();

  for (guint i = 0; i < G_N_ELEMENTS (order); i++) {
    g_autoptr (GMenuItem) item = g_menu_item_new (lw_operation_label (order[i]), NULL);

    if (lw_job_find_operation (lw_desk_job (self->desk), of->ref, order[i]) >= 0)
      continue;
    g_menu_item_set_action_and_target (item, "operations.add", "s", lw_operation_word (order[i]));
    g_menu_append_item (menu, item);
  }
  gtk_menu_button_set_menu_model (self->add, G_MENU_MODEL (menu));
  gtk_widget_set_sensitive (GTK_WIDGET (self->add), g_menu_model_get_n_items (G_MENU_MODEL (menu)) > 0);
}

static void
enable_actions (LwOperationList *self, const GArray *all)
{
  guint plan = (guint) MAX (lw_desk_plan (self->desk), 0), n = all->len;

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "operations.earlier", n > 1 && g_array_index (all, guint, 0) != plan);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "operations.later", n > 1 && g_array_index (all, guint, n - 1) != plan);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "operations.take-away", n > 0);
}

static gboolean
holds_focus (LwOperationList *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root == NULL ? NULL : gtk_root_get_focus (root);

  return focus != NULL && gtk_widget_is_ancestor (focus, GTK_WIDGET (self->rows));
}

static void
refresh (LwOperationList *self)
{
  const LwPlan *of = active (self);
  g_autoptr (GArray) all = of == NULL ? g_array_new (FALSE, FALSE, sizeof (guint)) : lw_job_operations (lw_desk_job (self->desk), of->ref);
  gboolean focused = holds_focus (self);
  GtkListBoxRow *old;

  self->filling = TRUE;
  while ((old = gtk_list_box_get_row_at_index (self->rows, 0)) != NULL)
    gtk_list_box_remove (self->rows, GTK_WIDGET (old));
  for (guint i = 0; i < all->len; i++) {
    guint plan = g_array_index (all, guint, i);
    GtkWidget *row = row_of (self, i + 1, plan);

    gtk_list_box_append (self->rows, row);
    if ((int) plan != lw_desk_plan (self->desk))
      continue;
    gtk_list_box_select_row (self->rows, GTK_LIST_BOX_ROW (row));
    if (focused)
      gtk_widget_grab_focus (row);
  }
  self->filling = FALSE;
  enable_actions (self, all);
  if (of != NULL)
    fill_menu (self, of);
}

/* ---- what the person does ---- */

static void
activated_cb (GtkListBox *rows, GtkListBoxRow *row, LwOperationList *self)
{
  guint plan = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (row), "plan"));
  GError *error = NULL;

  if (self->filling || (int) plan == lw_desk_plan (self->desk))
    return;
  LwJob *after = lw_edit_number (lw_desk_job (self->desk), "active_plan", plan, &error);
  lw_desk_edit (self->desk, after, _("Choose an operation"), NULL, error);
}

static void
add_cb (GtkWidget *widget, const char *action, GVariant *parameter)
{
  LwOperationList *self = LW_OPERATION_LIST (widget);
  const LwPlan *of = active (self);
  int operation = lw_operation_from_word (g_variant_get_string (parameter, NULL));
  g_autofree char *label = NULL;
  GError *error = NULL;

  if (of == NULL || operation < 0)
    return;
  label = g_strdup_printf (_("Add “%s”"), lw_operation_label (operation));
  LwJob *after = lw_edit_add_operation (lw_desk_job (self->desk), of->ref, operation, &error);
  lw_desk_edit (self->desk, after, label, NULL, error);
}

static void
move_cb (GtkWidget *widget, const char *action, GVariant *parameter)
{
  LwOperationList *self = LW_OPERATION_LIST (widget);
  gboolean later = strcmp (action, "operations.later") == 0;
  GError *error = NULL;

  if (active (self) == NULL)
    return;
  LwJob *after = lw_edit_move_operation (lw_desk_job (self->desk), (guint) lw_desk_plan (self->desk), later, &error);
  lw_desk_edit (self->desk, after, _("Move an operation"), NULL, error);
}

/* The part stays in hand while it has another operation. */
static void
take_away_cb (GtkWidget *widget, const char *action, GVariant *parameter)
{
  LwOperationList *self = LW_OPERATION_LIST (widget);
  const LwPlan *of = active (self);
  g_autofree char *label = NULL, *ref = NULL;
  GError *error = NULL;

  if (of == NULL)
    return;
  label = g_strdup_printf (_("Remove “%s”"), lw_operation_label (of->operation));
  ref = g_strdup (of->ref);
  LwJob *after = lw_edit_remove_operation (lw_desk_job (self->desk), (guint) lw_desk_plan (self->desk), &error);
  int next = after == NULL ? -1 : lw_job_find_plan (after, ref);
  if (next >= 0)
    after->active_plan = (guint) next;
  lw_desk_edit (self->desk, after, label, NULL, error);
}

/* ---- the object ---- */

static GtkWidget *
button (const char *icon, const char *action, const char *tip)
{
  GtkWidget *made = gtk_button_new_from_icon_name (icon);

  gtk_actionable_set_action_name (GTK_ACTIONABLE (made), action);
  gtk_widget_set_tooltip_text (made, tip);
  gtk_accessible_update_property (GTK_ACCESSIBLE (made), GTK_ACCESSIBLE_PROPERTY_LABEL, tip, -1);
  return made;
}

static GtkWidget *
buttons (LwOperationList *self)
{
  GtkWidget *bar = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *gap = gtk_label_new (NULL);

  self->add = GTK_MENU_BUTTON (gtk_menu_button_new ());
  gtk_menu_button_set_label (self->add, _("Add Operation"));
  gtk_widget_set_hexpand (gap, TRUE);
  gtk_box_append (GTK_BOX (bar), GTK_WIDGET (self->add));
  gtk_box_append (GTK_BOX (bar), gap);
  gtk_box_append (GTK_BOX (bar), button ("go-up-symbolic", "operations.earlier", _("Earlier")));
  gtk_box_append (GTK_BOX (bar), button ("go-down-symbolic", "operations.later", _("Later")));
  gtk_box_append (GTK_BOX (bar), button ("list-remove-symbolic", "operations.take-away", _("Take away")));
  return bar;
}

static void
lw_operation_list_dispose (GObject *object)
{
  LwOperationList *self = LW_OPERATION_LIST (object);

  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  if (self->box != NULL)
    gtk_widget_unparent (GTK_WIDGET (self->box));
  self->box = NULL;
  G_OBJECT_CLASS (lw_operation_list_parent_class)->dispose (object);
}

static void
lw_operation_list_class_init (LwOperationListClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_operation_list_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "operationlist");
  gtk_widget_class_install_action (widget_class, "operations.add", "s", add_cb);
  gtk_widget_class_install_action (widget_class, "operations.earlier", NULL, move_cb);
  gtk_widget_class_install_action (widget_class, "operations.later", NULL, move_cb);
  gtk_widget_class_install_action (widget_class, "operations.take-away", NULL, take_away_cb);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Up, GDK_ALT_MASK, "operations.earlier", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Down, GDK_ALT_MASK, "operations.later", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Delete, 0, "operations.take-away", NULL);
}

static void
lw_operation_list_init (LwOperationList *self)
{
  self->box = GTK_BOX (gtk_box_new (GTK_ORIENTATION_VERTICAL, 8));
  gtk_widget_set_parent (GTK_WIDGET (self->box), GTK_WIDGET (self));
  self->rows = GTK_LIST_BOX (gtk_list_box_new ());
  gtk_list_box_set_selection_mode (self->rows, GTK_SELECTION_BROWSE);
  gtk_widget_add_css_class (GTK_WIDGET (self->rows), "operation-rows");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->rows), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Operations"), -1);
  g_signal_connect (self->rows, "row-activated", G_CALLBACK (activated_cb), self);
  gtk_box_append (self->box, GTK_WIDGET (self->rows));
  gtk_box_append (self->box, buttons (self));
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
}

GtkWidget *
lw_operation_list_new (LwDesk *desk)
{
  LwOperationList *self = g_object_new (LW_TYPE_OPERATION_LIST, NULL);

  self->desk = g_object_ref (desk);
  g_signal_group_set_target (self->desk_signals, desk);
  refresh (self);
  return GTK_WIDGET (self);
}

GtkListBox *
lw_operation_list_rows (LwOperationList *self)
{
  g_return_val_if_fail (LW_IS_OPERATION_LIST (self), NULL);
  return self->rows;
}
