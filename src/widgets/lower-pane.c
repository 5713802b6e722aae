#include "widgets/lower-pane.h"

#include "widgets/doubt-view.h"
#include "widgets/history-panel.h"
#include "widgets/page-row.h"
#include "widgets/profile-view.h"
#include "widgets/template.h"

struct _LwLowerPane {
  GtkWidget parent_instance;

  GtkStack *pages;
  LwProfileView *profile_view;
  LwDoubtView *doubt_view;
  LwRunPanel *run_panel;
  LwHistoryPanel *history_panel;
  LwPartList *part_list;
  LwThingList *stage_list, *thermocouple_list, *shield_list;
  LwOutlinePanel *outline_panel;
  LwStackPanel *stack_panel;
  LwPackageList *package_list;

  LwDesk *desk;
};

G_DEFINE_FINAL_TYPE (LwLowerPane, lw_lower_pane, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];
static guint show_part_signal, package_chosen_signal, import_run_signal;

static void
package_chosen_cb (LwPackageList *list, const char *name, LwLowerPane *self)
{
  g_signal_emit (self, package_chosen_signal, 0, name);
}

static void
import_run_cb (LwRunPanel *panel, GFile *file, LwLowerPane *self)
{
  g_signal_emit (self, import_run_signal, 0, file);
}

static void
on_show_part (LwPartList *list, int part, LwLowerPane *self)
{
  g_signal_emit (self, show_part_signal, 0, part);
}

void
lw_lower_pane_set_desk (LwLowerPane *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_LOWER_PANE (self));

  if (!g_set_object (&self->desk, desk))
    return;
  lw_profile_view_set_desk (self->profile_view, desk);
  lw_doubt_view_set_desk (self->doubt_view, desk);
  lw_run_panel_set_desk (self->run_panel, desk);
  lw_history_panel_set_desk (self->history_panel, desk);
  lw_part_list_set_desk (self->part_list, desk);
  lw_thing_list_set_desk (self->stage_list, desk);
  lw_thing_list_set_desk (self->thermocouple_list, desk);
  lw_thing_list_set_desk (self->shield_list, desk);
  lw_outline_panel_set_desk (self->outline_panel, desk);
  lw_stack_panel_set_desk (self->stack_panel, desk);
  lw_package_list_set_desk (self->package_list, desk);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

void
lw_lower_pane_show_page (LwLowerPane *self, const char *name)
{
  g_return_if_fail (LW_IS_LOWER_PANE (self));
  gtk_stack_set_visible_child_name (self->pages, name);
}

const char *
lw_lower_pane_page (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return gtk_stack_get_visible_child_name (self->pages);
}

GtkWidget *
lw_lower_pane_child (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return gtk_stack_get_visible_child (self->pages);
}

LwPartList *
lw_lower_pane_parts (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return self->part_list;
}

LwOutlinePanel *
lw_lower_pane_outline (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return self->outline_panel;
}

LwStackPanel *
lw_lower_pane_stack (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return self->stack_panel;
}

LwPackageList *
lw_lower_pane_packages (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return self->package_list;
}

LwRunPanel *
lw_lower_pane_runs (LwLowerPane *self)
{
  g_return_val_if_fail (LW_IS_LOWER_PANE (self), NULL);
  return self->run_panel;
}

static void
lw_lower_pane_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_LOWER_PANE (object)->desk);
}

static void
lw_lower_pane_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_lower_pane_set_desk (LW_LOWER_PANE (object), g_value_get_object (value));
}

static void
lw_lower_pane_dispose (GObject *object)
{
  LwLowerPane *self = LW_LOWER_PANE (object);

  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_LOWER_PANE);
  G_OBJECT_CLASS (lw_lower_pane_parent_class)->dispose (object);
}

static void
lw_lower_pane_class_init (LwLowerPaneClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_lower_pane_dispose;
  object_class->get_property = lw_lower_pane_get_property;
  object_class->set_property = lw_lower_pane_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  show_part_signal = g_signal_new ("show-part", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                   NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "lowerpane");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/lower-pane.ui");
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, pages);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, profile_view);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, doubt_view);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, run_panel);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, history_panel);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, part_list);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, stage_list);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, thermocouple_list);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, shield_list);
  import_run_signal = g_signal_new ("import-run", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                    G_TYPE_NONE, 1, G_TYPE_FILE);
  package_chosen_signal = g_signal_new ("package-chosen", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                        NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, outline_panel);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, stack_panel);
  gtk_widget_class_bind_template_child (widget_class, LwLowerPane, package_list);
  gtk_widget_class_bind_template_callback (widget_class, on_show_part);
}

static void
lw_lower_pane_init (LwLowerPane *self)
{
  g_type_ensure (LW_TYPE_PAGE_ROW);
  g_type_ensure (LW_TYPE_RUN_PANEL);
  g_type_ensure (LW_TYPE_HISTORY_PANEL);
  gtk_widget_init_template (GTK_WIDGET (self));
  g_signal_connect (self->run_panel, "import", G_CALLBACK (import_run_cb), self);
  g_signal_connect (self->package_list, "chosen", G_CALLBACK (package_chosen_cb), self);
}
