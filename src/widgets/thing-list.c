#include "widgets/thing-list.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits.h"
#include "widgets/column-heads.h"
#include "widgets/late-rows.h"
#include "widgets/template.h"
#include "widgets/words.h"

struct _LwThingList {
  GtkWidget parent_instance;

  GtkLabel *hint;
  GtkColumnView *view;

  LwThing thing;
  LwDesk *desk;
  GSignalGroup *desk_signals;
  GtkStringList *rows; /* one per thing; the cells read the job itself */
  GtkSingleSelection *selection;
  gboolean refreshing;
};

G_DEFINE_FINAL_TYPE (LwThingList, lw_thing_list, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, PROP_THING, N_PROPS };
static GParamSpec *props[N_PROPS];

/* What a cell says of thing INDEX of the plan. */
typedef char *(*CellText) (const LwPlan *plan, guint index);

typedef struct {
  const char *title;
  CellText text;
  gboolean numeric;
} Column;

/* ---- stages ---- */

static const LwStage *
stage_at (const LwPlan *plan, guint index)
{
  return g_ptr_array_index (plan->stages, index);
}

static char *
stage_name (const LwPlan *plan, guint index)
{
  return g_strdup (stage_at (plan, index)->name);
}

static char *
stage_duration (const LwPlan *plan, guint index)
{
  return lw_figure (stage_at (plan, index)->duration_s, 1);
}

static char *
or_off (double value)
{
  return isnan (value) ? g_strdup (_("off")) : lw_figure_in (value, 1, "°C");
}

static char *
stage_gas (const LwPlan *plan, guint index)
{
  return or_off (stage_at (plan, index)->gas_c);
}

static char *
stage_flow (const LwPlan *plan, guint index)
{
  return lw_figure (stage_at (plan, index)->flow_l_per_min, 1);
}

static char *
stage_preheat (const LwPlan *plan, guint index)
{
  return or_off (stage_at (plan, index)->preheat_c);
}

static char *
stage_shape (const LwPlan *plan, guint index)
{
  return g_strdup (stage_at (plan, index)->shape == LW_SHAPE_STEP ? _("at once") : _("along a line"));
}

/* ---- thermocouples ---- */

static const LwThermocouple *
thermocouple_at (const LwPlan *plan, guint index)
{
  return g_ptr_array_index (plan->thermocouples, index);
}

static char *
thermocouple_name (const LwPlan *plan, guint index)
{
  return g_strdup (thermocouple_at (plan, index)->name);
}

static char *
thermocouple_on (const LwPlan *plan, guint index)
{
  const char *ref = thermocouple_at (plan, index)->ref;

  return g_strdup (*ref == '\0' ? _("board") : ref);
}

static char *
thermocouple_side (const LwPlan *plan, guint index)
{
  return g_strdup (lw_side_label (thermocouple_at (plan, index)->side));
}

static char *
thermocouple_x (const LwPlan *plan, guint index)
{
  return lw_figure_in (thermocouple_at (plan, index)->x_mm, 1, "mm");
}

static char *
thermocouple_y (const LwPlan *plan, guint index)
{
  return lw_figure_in (thermocouple_at (plan, index)->y_mm, 1, "mm");
}

/* ---- shields ---- */

static const LwShield *
shield_at (const LwPlan *plan, guint index)
{
  return g_ptr_array_index (plan->shields, index);
}

static char *
shield_name (const LwPlan *plan, guint index)
{
  return g_strdup (shield_at (plan, index)->name);
}

static char *
shield_material (const LwPlan *plan, guint index)
{
  return g_strdup (shield_at (plan, index)->material);
}

static char *
shield_passes (const LwPlan *plan, guint index)
{
  return lw_figure (shield_at (plan, index)->share * 100, 0);
}

static char *
shield_extent (const LwPlan *plan, guint index)
{
  LwBox box = lw_loop_box (shield_at (plan, index)->loop);
  g_autofree char *length = lw_figure_in (box.x1_mm - box.x0_mm, 1, "mm");
  g_autofree char *width = lw_figure_in (box.y1_mm - box.y0_mm, 1, "mm");

  return g_strdup_printf ("%s × %s", length, width);
}

static const Column stage_columns[] = {
  { NC_ ("column", "Stage"), stage_name, FALSE },
  { NC_ ("column", "Lasts, s"), stage_duration, TRUE },
  { NC_ ("column", "Gas, °C"), stage_gas, TRUE },
  { NC_ ("column", "Flow, L/min"), stage_flow, TRUE },
  { NC_ ("column", "Preheat, °C"), stage_preheat, TRUE },
  { NC_ ("column", "Reached"), stage_shape, FALSE },
  { NULL }
};
static const Column thermocouple_columns[] = {
  { NC_ ("column", "Name"), thermocouple_name, FALSE },
  { NC_ ("column", "Fixed to"), thermocouple_on, FALSE },
  { NC_ ("column", "Side"), thermocouple_side, FALSE },
  { NC_ ("column", "x, mm"), thermocouple_x, TRUE },
  { NC_ ("column", "y, mm"), thermocouple_y, TRUE },
  { NULL }
};
static const Column shield_columns[] = {
  { NC_ ("column", "Name"), shield_name, FALSE },
  { NC_ ("column", "Material"), shield_material, FALSE },
  { NC_ ("column", "Size, mm"), shield_extent, TRUE },
  { NC_ ("column", "Lets through, %"), shield_passes, TRUE },
  { NULL }
};

static const Column *
columns_of (LwThing thing)
{
  return thing == LW_THING_STAGE ? stage_columns : thing == LW_THING_SHIELD ? shield_columns : thermocouple_columns;
}

static const LwPlan *
active_plan (LwThingList *self)
{
  int plan = self->desk == NULL ? -1 : lw_desk_plan (self->desk);

  return plan < 0 ? NULL : g_ptr_array_index (lw_desk_job (self->desk)->plans, plan);
}

static guint
count (LwThingList *self)
{
  const LwPlan *plan = active_plan (self);

  if (plan == NULL)
    return 0;
  return self->thing == LW_THING_STAGE    ? plan->stages->len
         : self->thing == LW_THING_SHIELD ? plan->shields->len
                                          : plan->thermocouples->len;
}

/* ---- cells ---- */

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  const Column *column = user;
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), column->numeric ? 1 : 0);
  if (column->numeric)
    gtk_widget_add_css_class (label, "numeric");
  gtk_list_item_set_child (cell, label);
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  GtkWidget *view = g_object_get_data (G_OBJECT (factory), "list");
  const LwPlan *plan = active_plan (LW_THING_LIST (view));
  guint index = gtk_list_item_get_position (cell);
  g_autofree char *text = NULL;

  if (plan == NULL || index >= count (LW_THING_LIST (view)))
    return;
  text = ((const Column *) user)->text (plan, index);
  gtk_label_set_text (GTK_LABEL (gtk_list_item_get_child (cell)), text);
}

static void
add_column (LwThingList *self, const Column *description)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkColumnViewColumn) column = NULL;

  g_object_set_data (G_OBJECT (factory), "list", self);
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), (gpointer) description);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), (gpointer) description);
  column = lw_column_new (description->title, factory);
  gtk_column_view_column_set_expand (column, !description->numeric);
  gtk_column_view_column_set_resizable (column, TRUE);
  gtk_column_view_append_column (self->view, column);
  if (description->numeric)
    lw_column_head_at_end (self->view);
}

static void
update_actions (LwThingList *self)
{
  gboolean selected = gtk_single_selection_get_selected_item (self->selection) != NULL;
  gboolean last_stage = self->thing == LW_THING_STAGE && count (self) <= 1;

  gtk_widget_action_set_enabled (GTK_WIDGET (self), "things.add", active_plan (self) != NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "things.remove", selected && !last_stage);
}

static void
show_selection (LwThingList *self)
{
  int index = -1;

  if (lw_desk_selection (self->desk, &index) != self->thing)
    index = -1;
  self->refreshing = TRUE;
  gtk_single_selection_set_selected (self->selection,
                                     index < 0 ? GTK_INVALID_LIST_POSITION : (guint) index);
  self->refreshing = FALSE;
  update_actions (self);
}

static const char *
hint_of (LwThingList *self)
{
  if (active_plan (self) == NULL)
    return _("Choose the part to rework first.");
  switch (self->thing) {
  case LW_THING_STAGE: return _("What the station is told to do, in order.");
  case LW_THING_SHIELD: return _("What is laid over neighbours to keep the gas off them.");
  default: return _("Where the run is to be measured.");
  }
}

static void
refresh (LwThingList *self)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new ();

  if (lw_desk_may_wait (self->desk, GTK_WIDGET (self)))
    return;
  for (guint i = 0; i < count (self); i++)
    g_ptr_array_add (rows, (gpointer) "");
  g_ptr_array_add (rows, NULL);
  self->refreshing = TRUE;
  gtk_string_list_splice (self->rows, 0, g_list_model_get_n_items (G_LIST_MODEL (self->rows)),
                          (const char *const *) rows->pdata);
  self->refreshing = FALSE;
  gtk_label_set_text (self->hint, hint_of (self));
  show_selection (self);
}

static void
selected_cb (LwThingList *self)
{
  guint selected = gtk_single_selection_get_selected (self->selection);

  if (self->refreshing || self->desk == NULL || selected == GTK_INVALID_LIST_POSITION)
    return;
  lw_desk_select (self->desk, self->thing, selected);
}

/* Enter or a double click: to its figures in the inspector. */
static void
activate_cb (GtkColumnView *view, guint position, LwThingList *self)
{
  if (self->desk == NULL || position >= count (self))
    return;
  lw_desk_select (self->desk, self->thing, (int) position);
  gtk_widget_activate_action (GTK_WIDGET (self), "win.inspect", NULL);
}

/* ---- add and remove ---- */

static LwJob *
with_one_more (LwThingList *self, const LwJob *job, guint plan_index, GError **error)
{
  const LwPlan *plan = g_ptr_array_index (job->plans, plan_index);
  int target = lw_job_find_part (job, plan->ref);
  int chosen = lw_desk_selected_part (self->desk);
  const LwPart *part = chosen < 0 && target < 0 ? NULL : g_ptr_array_index (job->parts, chosen < 0 ? target : chosen);
  guint selected = gtk_single_selection_get_selected (self->selection);

  if (self->thing == LW_THING_STAGE)
    return lw_edit_add_stage (job, plan_index,
                              selected == GTK_INVALID_LIST_POSITION ? plan->stages->len : selected + 1, error);
  if (self->thing == LW_THING_SHIELD)
    return lw_edit_add_shield (job, plan_index, part == NULL ? plan->preheat_x_mm : part->x_mm,
                               part == NULL ? plan->preheat_y_mm : part->y_mm, error);
  if (part == NULL)
    return lw_edit_add_thermocouple (job, plan_index, "", plan->preheat_x_mm, plan->preheat_y_mm, LW_SIDE_TOP,
                                     error);
  return lw_edit_add_thermocouple (job, plan_index, part->ref, part->x_mm, part->y_mm, part->side, error);
}

static void
add_cb (GtkWidget *widget, const char *action, GVariant *parameter)
{
  LwThingList *self = LW_THING_LIST (widget);
  int plan = self->desk == NULL ? -1 : lw_desk_plan (self->desk);
  GError *error = NULL;
  guint selected = gtk_single_selection_get_selected (self->selection), at = count (self);
  LwJob *job;

  if (plan < 0)
    return;
  job = with_one_more (self, lw_desk_job (self->desk), plan, &error);
  if (!lw_desk_edit (self->desk, job,
                     self->thing == LW_THING_STAGE    ? _("Add stage")
                     : self->thing == LW_THING_SHIELD ? _("Add shield")
                                                      : _("Add thermocouple"),
                     NULL, error))
    return;
  if (self->thing == LW_THING_STAGE && selected != GTK_INVALID_LIST_POSITION)
    at = selected + 1;
  lw_desk_select (self->desk, self->thing, at);
}

static void
remove_cb (GtkWidget *widget, const char *action, GVariant *parameter)
{
  LwThingList *self = LW_THING_LIST (widget);
  guint selected = gtk_single_selection_get_selected (self->selection);
  int plan = self->desk == NULL ? -1 : lw_desk_plan (self->desk);
  GError *error = NULL;
  const LwJob *job;

  if (plan < 0 || selected == GTK_INVALID_LIST_POSITION)
    return;
  job = lw_desk_job (self->desk);
  if (self->thing == LW_THING_STAGE) {
    if (lw_desk_edit (self->desk, lw_edit_remove_stage (job, plan, selected, &error), _("Remove stage"), NULL,
                      error))
      lw_desk_tell (self->desk, _("Stage removed"), TRUE);
  }
  else if (self->thing == LW_THING_SHIELD) {
    if (lw_desk_edit (self->desk, lw_edit_remove_shield (job, plan, selected, &error), _("Remove shield"), NULL,
                      error))
      lw_desk_tell (self->desk, _("Shield removed"), TRUE);
  }
  else if (lw_desk_edit (self->desk, lw_edit_remove_thermocouple (job, plan, selected, &error),
                         _("Remove thermocouple"), NULL, error))
    lw_desk_tell (self->desk, _("Thermocouple removed"), TRUE);
}

/* ---- the object ---- */

void
lw_thing_list_set_desk (LwThingList *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_THING_LIST (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

GtkSingleSelection *
lw_thing_list_selection (LwThingList *self)
{
  g_return_val_if_fail (LW_IS_THING_LIST (self), NULL);
  return self->selection;
}

static void
lw_thing_list_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  LwThingList *self = LW_THING_LIST (object);

  switch (id) {
  case PROP_DESK: g_value_set_object (value, self->desk); break;
  case PROP_THING: g_value_set_int (value, self->thing); break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_thing_list_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  LwThingList *self = LW_THING_LIST (object);

  switch (id) {
  case PROP_DESK: lw_thing_list_set_desk (self, g_value_get_object (value)); break;
  case PROP_THING: self->thing = g_value_get_int (value); break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_thing_list_constructed (GObject *object)
{
  LwThingList *self = LW_THING_LIST (object);

  G_OBJECT_CLASS (lw_thing_list_parent_class)->constructed (object);
  for (const Column *column = columns_of (self->thing); column->title != NULL; column++)
    add_column (self, column);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  self->thing == LW_THING_STAGE    ? _("Stages")
                                  : self->thing == LW_THING_SHIELD ? _("Shields")
                                                                   : _("Thermocouples"),
                                  -1);
}

static void
lw_thing_list_dispose (GObject *object)
{
  LwThingList *self = LW_THING_LIST (object);

  self->refreshing = TRUE;
  g_clear_object (&self->desk_signals);
  if (self->view != NULL)
    gtk_column_view_set_model (self->view, NULL);
  g_clear_object (&self->selection);
  g_clear_object (&self->rows);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_THING_LIST);
  G_OBJECT_CLASS (lw_thing_list_parent_class)->dispose (object);
}

static void
lw_thing_list_class_init (LwThingListClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->constructed = lw_thing_list_constructed;
  object_class->dispose = lw_thing_list_dispose;
  object_class->get_property = lw_thing_list_get_property;
  object_class->set_property = lw_thing_list_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  props[PROP_THING]
    = g_param_spec_int ("thing", NULL, NULL, LW_THING_STAGE, LW_THING_THERMOCOUPLE, LW_THING_STAGE,
                        G_PARAM_READWRITE | G_PARAM_CONSTRUCT_ONLY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "thinglist");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/thing-list.ui");
  gtk_widget_class_bind_template_child (widget_class, LwThingList, hint);
  gtk_widget_class_bind_template_child (widget_class, LwThingList, view);
  gtk_widget_class_install_action (widget_class, "things.add", NULL, add_cb);
  gtk_widget_class_install_action (widget_class, "things.remove", NULL, remove_cb);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Delete, 0, "things.remove", NULL);
}

static void
lw_thing_list_init (LwThingList *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  self->rows = gtk_string_list_new (NULL);
  self->selection = gtk_single_selection_new (g_object_ref (G_LIST_MODEL (self->rows)));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  gtk_single_selection_set_can_unselect (self->selection, TRUE);
  g_signal_connect (self->view, "activate", G_CALLBACK (activate_cb), self);
  lw_late_rows (GTK_WIDGET (self->view), GTK_SELECTION_MODEL (self->selection));
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (selected_cb), self,
                           G_CONNECT_SWAPPED);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selection", G_CALLBACK (show_selection), self);
}
