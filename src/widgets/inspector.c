#include "widgets/inspector.h"

#include <glib/gi18n.h>

#include "widgets/field-row.h"
#include "widgets/inspector-private.h"
#include "widgets/template.h"
#include "widgets/whole-text.h"

struct _LwInspector {
  GtkWidget parent_instance;

  GtkLabel *heading, *subtitle;
  GtkMenuButton *chooser;
  GtkScrolledWindow *scroller;
  GtkBox *rows, *buttons;
  GtkGrid *facts;
  GtkBox *into; /* where rows are put: rows, or the last fold's */

  LwDesk *desk;
  GSignalGroup *desk_signals;
  GHashTable *by_path; /* char * -> row (borrowed) */
  GArray *told;  /* Fact: the rows of the facts, kept from one telling to the next */
  guint n_facts; /* told so far */
  char *shape; /* what the page was built for; another one means another page */
};

/* A title and its figure, or a note over both columns. */
typedef struct {
  GtkWidget *name, *figure; /* figure NULL = a note */
} Fact;

G_DEFINE_FINAL_TYPE (LwInspector, lw_inspector, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];

LwDesk *
lw_inspector_desk (LwInspector *self)
{
  return self->desk;
}

void
lw_inspector_set_heading (LwInspector *self, const char *heading, const char *subtitle)
{
  gtk_label_set_text (self->heading, heading);
  gtk_label_set_text (self->subtitle, subtitle == NULL ? "" : subtitle);
  gtk_widget_set_visible (GTK_WIDGET (self->subtitle), subtitle != NULL && *subtitle != '\0');
}

void
lw_inspector_section (LwInspector *self, const char *title)
{
  GtkWidget *label = gtk_label_new (title);

  self->into = self->rows;
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_widget_add_css_class (label, "section-title");
  gtk_box_append (self->rows, label);
}

void
lw_inspector_fold (LwInspector *self, const char *title, gboolean open)
{
  GtkWidget *fold = gtk_expander_new (title), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);

  gtk_widget_add_css_class (fold, "fold");
  gtk_expander_set_expanded (GTK_EXPANDER (fold), open);
  gtk_expander_set_child (GTK_EXPANDER (fold), box);
  gtk_box_append (self->rows, fold);
  self->into = GTK_BOX (box);
}

void
lw_inspector_add_row (LwInspector *self, const char *path, GtkWidget *row)
{
  gtk_box_append (self->into, row);
  g_hash_table_insert (self->by_path, g_strdup (path), row);
}

void
lw_inspector_number (LwInspector *self, const char *path, const char *title, const char *unit, int digits,
                     double step, const char *absent)
{
  lw_inspector_add_row (self, path,
                        lw_field_row_new_number (self->desk, path, title, unit, digits, step, absent));
}

void
lw_inspector_number_within (LwInspector *self, const char *path, const char *title, const char *unit, int digits,
                            double step, const char *absent, double low, double high)
{
  lw_inspector_number (self, path, title, unit, digits, step, absent);
  lw_field_row_set_range (LW_FIELD_ROW (lw_inspector_row (self, path)), low, high);
}

void
lw_inspector_button (LwInspector *self, const char *label, const char *action, GVariant *target)
{
  GtkWidget *button = gtk_button_new_with_label (label);

  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), action);
  if (target != NULL)
    gtk_actionable_set_action_target_value (GTK_ACTIONABLE (button), target);
  gtk_box_append (self->buttons, button);
}

static GtkWidget *
new_name (const char *title)
{
  GtkWidget *name = gtk_label_new (title);

  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_wrap (GTK_LABEL (name), TRUE);
  gtk_widget_set_valign (name, GTK_ALIGN_START);
  gtk_widget_add_css_class (name, "quiet");
  return name;
}

static GtkWidget *
new_figure (const char *value)
{
  GtkWidget *figure = gtk_label_new (value);

  gtk_label_set_xalign (GTK_LABEL (figure), 1);
  gtk_label_set_wrap (GTK_LABEL (figure), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (figure), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_justify (GTK_LABEL (figure), GTK_JUSTIFY_RIGHT);
  gtk_label_set_selectable (GTK_LABEL (figure), TRUE);
  gtk_widget_set_can_focus (figure, FALSE); /* a selectable label that merely is not focusable keeps Tab for itself */
  gtk_widget_set_hexpand (figure, TRUE);
  gtk_widget_add_css_class (figure, "numeric");
  return figure;
}

static GtkWidget *
new_note (const char *text)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 40);
  gtk_widget_add_css_class (label, "quiet");
  return label;
}

/* Rows from FIRST on are taken away. */
static void
drop_facts (LwInspector *self, guint first)
{
  for (guint i = first; i < self->told->len; i++) {
    const Fact *fact = &g_array_index (self->told, Fact, i);

    gtk_grid_remove (self->facts, fact->name);
    if (fact->figure != NULL)
      gtk_grid_remove (self->facts, fact->figure);
  }
  g_array_set_size (self->told, MIN (first, self->told->len));
}

/* The next row, when it is of the wanted kind, to be told something else; NULL: one has to be made. */
static const Fact *
next_fact (LwInspector *self, gboolean note)
{
  const Fact *fact = self->n_facts < self->told->len ? &g_array_index (self->told, Fact, self->n_facts) : NULL;

  if (fact != NULL && note != (fact->figure == NULL)) {
    drop_facts (self, self->n_facts);
    fact = NULL;
  }
  self->n_facts++;
  return fact;
}

void
lw_inspector_fact (LwInspector *self, const char *title, const char *value)
{
  const Fact *known = next_fact (self, FALSE);
  Fact fact;

  if (known != NULL) {
    gtk_label_set_text (GTK_LABEL (known->name), title);
    gtk_label_set_text (GTK_LABEL (known->figure), value);
    return;
  }
  fact = (Fact){ new_name (title), new_figure (value) };
  gtk_grid_attach (self->facts, fact.name, 0, (int) self->told->len, 1, 1);
  gtk_grid_attach (self->facts, fact.figure, 1, (int) self->told->len, 1, 1);
  g_array_append_val (self->told, fact);
}

void
lw_inspector_note (LwInspector *self, const char *text)
{
  const Fact *known = next_fact (self, TRUE);
  Fact fact;

  if (known != NULL) {
    gtk_label_set_text (GTK_LABEL (known->name), text);
    return;
  }
  fact = (Fact){ new_note (text), NULL };
  gtk_grid_attach (self->facts, fact.name, 0, (int) self->told->len, 2, 1);
  g_array_append_val (self->told, fact);
}

GtkWidget *
lw_inspector_row (LwInspector *self, const char *path)
{
  g_return_val_if_fail (LW_IS_INSPECTOR (self), NULL);
  return g_hash_table_lookup (self->by_path, path);
}

gboolean
lw_inspector_enter (LwInspector *self)
{
  g_return_val_if_fail (LW_IS_INSPECTOR (self), FALSE);
  return gtk_widget_child_focus (GTK_WIDGET (self->rows), GTK_DIR_TAB_FORWARD);
}

static void
clear_box (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)) != NULL)
    gtk_widget_unparent (child);
}

/* What was typed a moment ago must not be lost because something else was clicked. */
static void
commit_rows (LwInspector *self)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func (g_object_unref);
  GHashTableIter iter;
  gpointer row;

  g_hash_table_iter_init (&iter, self->by_path);
  while (g_hash_table_iter_next (&iter, NULL, &row))
    if (LW_IS_FIELD_ROW (row))
      g_ptr_array_add (rows, g_object_ref (row));
  for (guint i = 0; i < rows->len; i++)
    lw_field_row_commit (g_ptr_array_index (rows, i));
}

static void
build (LwInspector *self, LwThing thing, int index)
{
  switch (thing) {
  case LW_THING_PART: lw_inspector_build_part (self, index); break;
  case LW_THING_NOZZLE: lw_inspector_build_nozzle (self); break;
  case LW_THING_PREHEAT: lw_inspector_build_preheat (self); break;
  case LW_THING_STAGE: lw_inspector_build_stage (self, index); break;
  case LW_THING_SHIELD: lw_inspector_build_shield (self, index); break;
  case LW_THING_THERMOCOUPLE: lw_inspector_build_thermocouple (self, index); break;
  case LW_THING_STATION: lw_inspector_build_station (self); break;
  case LW_THING_READINESS: lw_inspector_build_readiness (self); break;
  case LW_THING_OPERATIONS: lw_inspector_build_operations (self); break;
  default: lw_inspector_build_board (self);
  }
}

static void
tell (LwInspector *self, LwThing thing, int index)
{
  self->n_facts = 0;
  switch (thing) {
  case LW_THING_PART: lw_inspector_tell_part (self, index); break;
  case LW_THING_NOZZLE: lw_inspector_tell_nozzle (self); break;
  case LW_THING_PREHEAT: lw_inspector_tell_preheat (self); break;
  case LW_THING_THERMOCOUPLE: lw_inspector_tell_thermocouple (self, index); break;
  case LW_THING_STATION: lw_inspector_tell_station (self); break;
  case LW_THING_READINESS: lw_inspector_tell_readiness (self); break;
  case LW_THING_OPERATIONS: lw_inspector_tell_operations (self); break;
  case LW_THING_STAGE:
  case LW_THING_SHIELD: break;
  default: lw_inspector_tell_board (self);
  }
  drop_facts (self, self->n_facts);
}

/* Without a plan there is no nozzle, area or stage to look at. */
static LwThing
selection (LwInspector *self, int *index)
{
  LwThing thing = lw_desk_selection (self->desk, index);
  gboolean needs_plan = thing != LW_THING_BOARD && thing != LW_THING_PART && thing != LW_THING_STATION;

  return needs_plan && lw_desk_plan (self->desk) < 0 ? LW_THING_BOARD : thing;
}

static char *
shape_of (LwInspector *self, LwThing thing, int index)
{
  const LwJob *job = lw_desk_job (self->desk);
  const char *ref = thing == LW_THING_PART ? ((const LwPart *) g_ptr_array_index (job->parts, index))->ref : "";

  g_autofree char *operations = thing == LW_THING_READINESS || thing == LW_THING_OPERATIONS ? lw_inspector_operations_shape (self)
                                                                                            : g_strdup ("");

  return g_strdup_printf ("%p %d %d %d %s %s", (gpointer) lw_desk_document (self->desk), thing, index,
                          lw_desk_plan (self->desk), ref, operations);
}

static void
refresh_facts (LwInspector *self)
{
  int index = -1;
  LwThing thing;

  if (lw_desk_job (self->desk) == NULL)
    return;
  thing = selection (self, &index);
  tell (self, thing, index);
}

static void
refresh (LwInspector *self)
{
  g_autofree char *shape = NULL;
  int index = -1;
  LwThing thing;

  gtk_widget_set_visible (GTK_WIDGET (self->scroller), lw_desk_job (self->desk) != NULL);
  if (lw_desk_job (self->desk) == NULL)
    return;
  thing = selection (self, &index);
  shape = shape_of (self, thing, index);
  if (g_strcmp0 (shape, self->shape) != 0) {
    g_free (self->shape);
    self->shape = g_steal_pointer (&shape);
    commit_rows (self);
    g_hash_table_remove_all (self->by_path);
    clear_box (GTK_WIDGET (self->rows));
    self->into = self->rows;
    clear_box (GTK_WIDGET (self->buttons));
    build (self, thing, index);
    gtk_widget_set_visible (GTK_WIDGET (self->buttons),
                            gtk_widget_get_first_child (GTK_WIDGET (self->buttons)) != NULL);
    gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (self->scroller), 0);
  }
  tell (self, thing, index);
}

/* ---- the chooser: what cannot be pointed at can be named ---- */

static void
inspect_cb (GtkWidget *widget, const char *action, GVariant *parameter)
{
  LwInspector *self = LW_INSPECTOR (widget);
  int target;

  if (self->desk == NULL || lw_desk_job (self->desk) == NULL)
    return;
  if (g_variant_get_int32 (parameter) != LW_THING_PART) {
    lw_desk_select (self->desk, g_variant_get_int32 (parameter), 0);
    return;
  }
  target = lw_desk_plan (self->desk) < 0
             ? -1
             : lw_job_find_part (lw_desk_job (self->desk),
                                 ((const LwPlan *) g_ptr_array_index (lw_desk_job (self->desk)->plans,
                                                                      lw_desk_plan (self->desk)))
                                   ->ref);
  lw_desk_select_part (self->desk, target);
}

static void
add_choice (GMenu *menu, const char *label, LwThing thing)
{
  g_autoptr (GMenuItem) item = g_menu_item_new (label, NULL);

  g_menu_item_set_action_and_target (item, "inspector.show", "i", thing);
  g_menu_append_item (menu, item);
}

static GMenuModel *
chooser_menu (void)
{
  GMenu *menu = g_menu_new ();

  add_choice (menu, _("_Board"), LW_THING_BOARD);
  add_choice (menu, _("_Target part"), LW_THING_PART);
  add_choice (menu, _("_Nozzle"), LW_THING_NOZZLE);
  add_choice (menu, _("_Preheat area"), LW_THING_PREHEAT);
  add_choice (menu, _("First _stage"), LW_THING_STAGE);
  add_choice (menu, _("St_ation"), LW_THING_STATION);
  add_choice (menu, _("_Readiness"), LW_THING_READINESS);
  add_choice (menu, _("_Operations"), LW_THING_OPERATIONS);
  return G_MENU_MODEL (menu);
}

/* ---- the object ---- */

void
lw_inspector_set_desk (LwInspector *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_INSPECTOR (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

static void
lw_inspector_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_INSPECTOR (object)->desk);
}

static void
lw_inspector_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_inspector_set_desk (LW_INSPECTOR (object), g_value_get_object (value));
}

static void
lw_inspector_dispose (GObject *object)
{
  LwInspector *self = LW_INSPECTOR (object);

  g_clear_object (&self->desk_signals);
  g_clear_pointer (&self->by_path, g_hash_table_unref);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_INSPECTOR);
  G_OBJECT_CLASS (lw_inspector_parent_class)->dispose (object);
}

static void
lw_inspector_finalize (GObject *object)
{
  g_free (LW_INSPECTOR (object)->shape);
  g_array_unref (LW_INSPECTOR (object)->told);
  G_OBJECT_CLASS (lw_inspector_parent_class)->finalize (object);
}

static void
lw_inspector_class_init (LwInspectorClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_inspector_dispose;
  object_class->finalize = lw_inspector_finalize;
  object_class->get_property = lw_inspector_get_property;
  object_class->set_property = lw_inspector_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "inspector");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/inspector.ui");
  gtk_widget_class_bind_template_child (widget_class, LwInspector, heading);
  gtk_widget_class_bind_template_child (widget_class, LwInspector, subtitle);
  gtk_widget_class_bind_template_child (widget_class, LwInspector, chooser);
  gtk_widget_class_bind_template_child (widget_class, LwInspector, scroller);
  gtk_widget_class_bind_template_child (widget_class, LwInspector, rows);
  gtk_widget_class_bind_template_child (widget_class, LwInspector, buttons);
  gtk_widget_class_bind_template_child (widget_class, LwInspector, facts);
  gtk_widget_class_install_action (widget_class, "inspector.show", "i", inspect_cb);
}

static void
lw_inspector_init (LwInspector *self)
{
  g_autoptr (GMenuModel) menu = chooser_menu ();

  gtk_widget_init_template (GTK_WIDGET (self));
  self->into = self->rows;
  lw_tell_whole_text (GTK_WIDGET (self->heading));
  lw_tell_whole_text (GTK_WIDGET (self->subtitle));
  gtk_menu_button_set_menu_model (self->chooser, menu);
  self->told = g_array_new (FALSE, FALSE, sizeof (Fact));
  self->by_path = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selection", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selected-part", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selected-stage", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (refresh_facts), self);
}
