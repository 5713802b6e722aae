#include "widgets/find-bar.h"

#include <math.h>

#include <glib/gi18n.h>

#include "plan/find-parts.h"
#include "widgets/words.h"

struct _LwFindBar {
  GtkWidget parent_instance;

  GtkWidget *bar, *entry, *side, *kind, *limit, *count;
  LwDesk *desk;
};

G_DEFINE_FINAL_TYPE (LwFindBar, lw_find_bar, GTK_TYPE_WIDGET)

static guint show_part_signal;

static gboolean
read_query (LwFindBar *self, LwPartQuery *query)
{
  const char *limit = gtk_editable_get_text (GTK_EDITABLE (self->limit));
  gboolean good = *limit == '\0' || lw_figure_parse (limit, &query->limit_at_most_c);

  query->text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  query->side = (int) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->side)) - 1;
  query->kind = (int) gtk_drop_down_get_selected (GTK_DROP_DOWN (self->kind)) - 1;
  if (good)
    gtk_widget_remove_css_class (self->limit, "error");
  else
    gtk_widget_add_css_class (self->limit, "error");
  return good;
}

static gboolean
asks_nothing (const LwPartQuery *query)
{
  return *query->text == '\0' && query->side < 0 && query->kind < 0 && isnan (query->limit_at_most_c);
}

static void
find (LwFindBar *self)
{
  LwPartQuery query = LW_PART_QUERY_ANY;
  g_autoptr (GArray) parts = NULL;
  g_autofree char *told = NULL;
  const LwPart *first;

  if (lw_desk_job (self->desk) == NULL || !gtk_widget_get_visible (GTK_WIDGET (self)))
    return;
  if (!read_query (self, &query)) {
    gtk_label_set_text (GTK_LABEL (self->count), _("The limit is no number"));
    return;
  }
  if (asks_nothing (&query)) {
    gtk_label_set_text (GTK_LABEL (self->count), _("For instance C1, R10-R25, U*"));
    return;
  }
  parts = lw_find_parts (lw_desk_job (self->desk), &query);
  told = parts->len == 0 ? g_strdup (_("No part fits"))
                         : g_strdup_printf (ngettext ("%u part selected", "%u parts selected", parts->len), parts->len);
  gtk_label_set_text (GTK_LABEL (self->count), told);
  lw_desk_select_parts (self->desk, parts, -1);
  if (parts->len == 0)
    return;
  first = g_ptr_array_index (lw_desk_job (self->desk)->parts, g_array_index (parts, guint, 0));
  lw_desk_set_side (self->desk, first->side);
  g_signal_emit (self, show_part_signal, 0, (int) g_array_index (parts, guint, 0));
}

void
lw_find_bar_open (LwFindBar *self)
{
  g_return_if_fail (LW_IS_FIND_BAR (self));
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  gtk_widget_grab_focus (self->entry);
  gtk_editable_select_region (GTK_EDITABLE (self->entry), 0, -1);
  find (self);
}

static void
close_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  gtk_widget_set_visible (widget, FALSE);
  gtk_widget_activate_action (widget, "win.focus-board", NULL);
}

static GtkWidget *
kinds_new (void)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) labels = NULL;

  g_strv_builder_add (builder, _("Any kind"));
  for (guint kind = 0; kind < LW_N_KINDS; kind++)
    g_strv_builder_add (builder, lw_kind_label (kind));
  labels = g_strv_builder_end (builder);
  return gtk_drop_down_new_from_strings ((const char *const *) labels);
}

static void
lw_find_bar_dispose (GObject *object)
{
  LwFindBar *self = LW_FIND_BAR (object);

  g_clear_pointer (&self->bar, gtk_widget_unparent);
  g_clear_object (&self->desk);
  G_OBJECT_CLASS (lw_find_bar_parent_class)->dispose (object);
}

static void
lw_find_bar_class_init (LwFindBarClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_find_bar_dispose;
  show_part_signal = g_signal_new ("show-part", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 1, G_TYPE_INT);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "findbar");
  gtk_widget_class_install_action (widget_class, "find.close", NULL, close_cb);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "find.close", NULL);
}

static void
name (GtkWidget *widget, const char *label)
{
  gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_widget_set_tooltip_text (widget, label);
}

static void
lw_find_bar_init (LwFindBar *self)
{
  const char *sides[] = { _("Both sides"), lw_side_label (LW_SIDE_TOP), lw_side_label (LW_SIDE_BOTTOM), NULL };
  GtkWidget *close = gtk_button_new_from_icon_name ("window-close-symbolic");
  GtkWidget *end = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->bar = gtk_flow_box_new ();
  self->entry = gtk_entry_new ();
  self->side = gtk_drop_down_new_from_strings (sides);
  self->kind = kinds_new ();
  self->limit = gtk_entry_new ();
  self->count = gtk_label_new (NULL);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), 10);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->limit), 10);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), _("References"));
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->limit), _("Limit, °C"));
  name (self->entry, _("References, ranges or patterns; packages and values too"));
  name (self->side, _("Side"));
  name (self->kind, _("Kind"));
  name (self->limit, _("Body limit at or below, °C"));
  name (close, _("Close (Esc)"));
  gtk_actionable_set_action_name (GTK_ACTIONABLE (close), "find.close");
  gtk_widget_set_hexpand (self->count, TRUE);
  gtk_label_set_xalign (GTK_LABEL (self->count), 0);
  gtk_widget_set_valign (close, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (close, "flat");
  gtk_box_append (GTK_BOX (end), self->count);
  gtk_box_append (GTK_BOX (end), close);
  GtkWidget *all[] = { self->entry, self->side, self->kind, self->limit, end };
  gtk_flow_box_set_selection_mode (GTK_FLOW_BOX (self->bar), GTK_SELECTION_NONE);
  gtk_flow_box_set_max_children_per_line (GTK_FLOW_BOX (self->bar), G_N_ELEMENTS (all));
  for (guint i = 0; i < G_N_ELEMENTS (all); i++) {
    gtk_flow_box_insert (GTK_FLOW_BOX (self->bar), all[i], -1);
    gtk_widget_set_focusable (gtk_widget_get_parent (all[i]), FALSE);
  }
  gtk_widget_add_css_class (self->bar, "find-bar");
  gtk_widget_set_parent (self->bar, GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (find), self);
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (find), self);
  g_signal_connect_swapped (self->limit, "changed", G_CALLBACK (find), self);
  g_signal_connect_swapped (self->side, "notify::selected", G_CALLBACK (find), self);
  g_signal_connect_swapped (self->kind, "notify::selected", G_CALLBACK (find), self);
}

GtkWidget *
lw_find_bar_new (LwDesk *desk)
{
  LwFindBar *self = g_object_new (LW_TYPE_FIND_BAR, NULL);

  self->desk = g_object_ref (desk);
  return GTK_WIDGET (self);
}
