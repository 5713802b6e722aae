#include "widgets/outline-panel.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits-outline.h"
#include "board/edits.h"
#include "board/loop-edits.h"
#include "widgets/field-row.h"
#include "widgets/sketch.h"
#include "widgets/words.h"
#include "widgets/wrap-row.h"

struct _LwOutlinePanel {
  GtkWidget parent_instance;

  GtkWidget *box, *table, *loops, *about, *members;
  GArray *places; /* LwLoopPlace, as the drop-down lists them */
  LwDesk *desk;
  GSignalGroup *desk_signals, *sketch_signals;
  char *shape;    /* what the rows of figures were built for */
  gboolean refreshing;
};

G_DEFINE_FINAL_TYPE (LwOutlinePanel, lw_outline_panel, GTK_TYPE_WIDGET)

enum { PROP_DESK = 1, N_PROPS };
static GParamSpec *props[N_PROPS];

static LwJob *
job_of (LwOutlinePanel *self)
{
  return self->desk == NULL ? NULL : lw_desk_job (self->desk);
}

static LwLoopPlace
place_of (LwOutlinePanel *self)
{
  return lw_sketch_place (lw_desk_sketch (self->desk));
}

static const LwLoop *
loop_of (LwOutlinePanel *self)
{
  return job_of (self) == NULL ? NULL : lw_job_loop (job_of (self), place_of (self));
}

/* ---- cells ---- */

static const LwVertex *
corner_at (LwOutlinePanel *self, guint row)
{
  const LwLoop *loop = loop_of (self);

  return loop == NULL || row >= loop->corners->len ? NULL : &g_array_index (loop->corners, LwVertex, row);
}

static char *
number_text (gpointer user, guint row)
{
  return g_strdup_printf ("%u", row + 1);
}

static char *
x_text (gpointer user, guint row)
{
  const LwVertex *v = corner_at (user, row);

  return v == NULL ? g_strdup ("") : lw_figure_in (v->x_mm, 3, "mm");
}

static char *
y_text (gpointer user, guint row)
{
  const LwVertex *v = corner_at (user, row);

  return v == NULL ? g_strdup ("") : lw_figure_in (v->y_mm, 3, "mm");
}

static char *
length_text (gpointer user, guint row)
{
  return corner_at (user, row) == NULL ? g_strdup ("") : lw_figure_in (lw_loop_edge_length (loop_of (user), row), 3, "mm");
}

static char *
arc_text (gpointer user, guint row)
{
  const LwVertex *v = corner_at (user, row);

  return v == NULL ? g_strdup ("") : v->arc_deg == 0.0 ? g_strdup (_("straight")) : lw_figure (v->arc_deg, 3);
}

/* Takes LOOP over, which may be NULL after a refusal. */
static gboolean
put_loop (LwOutlinePanel *self, LwLoop *loop, const char *label, GError **error)
{
  LwJob *job = loop == NULL ? NULL : lw_edit_set_loop (job_of (self), place_of (self), loop, error);

  return job != NULL && lw_desk_edit (self->desk, job, label, NULL, NULL);
}

static gboolean
number_in (const char *text, const char *unit, double *value, GError **error)
{
  if (lw_figure_parse_in (text, unit, value))
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("“%s” is no number"), text);
  return FALSE;
}

static gboolean
x_commit (gpointer user, guint row, const char *text, GError **error)
{
  const LwVertex *v = corner_at (user, row);
  double value;

  return v != NULL && number_in (text, "mm", &value, error)
         && put_loop (user, lw_loop_move_corner (loop_of (user), row, value, v->y_mm, error), _("Move corner"), error);
}

static gboolean
y_commit (gpointer user, guint row, const char *text, GError **error)
{
  const LwVertex *v = corner_at (user, row);
  double value;

  return v != NULL && number_in (text, "mm", &value, error)
         && put_loop (user, lw_loop_move_corner (loop_of (user), row, v->x_mm, value, error), _("Move corner"), error);
}

static gboolean
length_commit (gpointer user, guint row, const char *text, GError **error)
{
  double value;

  return corner_at (user, row) != NULL && number_in (text, "mm", &value, error)
         && put_loop (user, lw_loop_set_edge_length (loop_of (user), row, value, error), _("Set length"), error);
}

static gboolean
arc_commit (gpointer user, guint row, const char *text, GError **error)
{
  double value = 0.0;

  if (corner_at (user, row) == NULL)
    return FALSE;
  if (*text != '\0' && g_strcmp0 (text, _("straight")) != 0 && !number_in (text, "°", &value, error))
    return FALSE;
  return put_loop (user, lw_loop_set_arc (loop_of (user), row, value, error), _("Bend edge"), error);
}

static const LwTableColumn columns[] = {
  { NC_ ("column", "Corner"), number_text, NULL, TRUE, FALSE },
  { NC_ ("column", "x, mm"), x_text, x_commit, TRUE, TRUE },
  { NC_ ("column", "y, mm"), y_text, y_commit, TRUE, TRUE },
  { NC_ ("column", "Edge to it, mm"), length_text, length_commit, TRUE, TRUE },
  { NC_ ("column", "Its arc, °"), arc_text, arc_commit, TRUE, TRUE },
  { NULL }
};

/* ---- which loop ---- */

static char *
name_of (const LwJob *job, LwLoopPlace place)
{
  if (place.owner == LW_LOOP_OUTLINE && place.index == 0)
    return g_strdup (_("Board edge"));
  if (place.owner == LW_LOOP_OUTLINE)
    return g_strdup_printf (_("Cut-out %u"), place.index);
  if (place.owner == LW_LOOP_VIAS)
    return g_strdup_printf (_("Via field %u"), place.index + 1);
  /* Translators: a copper region, its number and its layer. */
  return g_strdup_printf (_("Copper %u, %s"), place.index + 1,
                          ((const LwCopperRegion *) g_ptr_array_index (job->board->copper_regions, place.index))->layer);
}

static void
list_loops (LwOutlinePanel *self)
{
  const LwJob *job = job_of (self);
  GtkStringList *names = GTK_STRING_LIST (gtk_drop_down_get_model (GTK_DROP_DOWN (self->loops)));
  guint chosen = 0, at = 0;
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) all = NULL;

  g_array_set_size (self->places, 0);
  for (guint owner = 0; owner < LW_N_LOOP_OWNERS; owner++)
    for (guint i = 0; job != NULL && i < lw_job_n_loops (job, owner) && at < 2000; i++, at++) {
      LwLoopPlace place = { owner, i };
      g_autofree char *name = name_of (job, place);

      if (place.owner == place_of (self).owner && place.index == place_of (self).index)
        chosen = at;
      g_strv_builder_add (builder, name);
      g_array_append_val (self->places, place);
    }
  all = g_strv_builder_end (builder);
  self->refreshing = TRUE;
  gtk_string_list_splice (names, 0, g_list_model_get_n_items (G_LIST_MODEL (names)), (const char *const *) all);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->loops), chosen);
  self->refreshing = FALSE;
}

static void
loop_chosen_cb (LwOutlinePanel *self)
{
  guint at = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->loops));

  if (self->refreshing || self->desk == NULL || at >= self->places->len)
    return;
  lw_sketch_choose (lw_desk_sketch (self->desk), g_array_index (self->places, LwLoopPlace, at), -1, -1);
  lw_sketch_set_tool (lw_desk_sketch (self->desk), LW_TOOL_SHAPE);
}

/* Cover of a region; pitch, hole and plating of a field. */
static void
build_members (LwOutlinePanel *self)
{
  LwLoopPlace place = place_of (self);
  g_autofree char *shape = g_strdup_printf ("%d %u", place.owner, place.index);
  static const struct {
    LwLoopOwner owner;
    const char *member, *title, *unit;
  } rows[] = { { LW_LOOP_COPPER, "cover", N_ ("Copper cover"), "" },
               { LW_LOOP_VIAS, "pitch_mm", N_ ("Pitch"), "mm" },
               { LW_LOOP_VIAS, "drill_mm", N_ ("Hole"), "mm" },
               { LW_LOOP_VIAS, "plating_um", N_ ("Plating"), "µm" } };
  GtkWidget *child;

  if (g_strcmp0 (shape, self->shape) == 0)
    return;
  g_free (self->shape);
  self->shape = g_steal_pointer (&shape);
  while ((child = gtk_widget_get_first_child (self->members)) != NULL)
    gtk_box_remove (GTK_BOX (self->members), child);
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++) {
    g_autofree char *path = g_strdup_printf ("board.%s[%u].%s", place.owner == LW_LOOP_COPPER ? "copper_regions" : "via_fields",
                                             place.index, rows[i].member);

    if (rows[i].owner == place.owner)
      gtk_box_append (GTK_BOX (self->members), lw_field_row_new_number (self->desk, path, _(rows[i].title), rows[i].unit, 3,
                                                                        0.1, NULL));
  }
  gtk_widget_set_visible (self->members, gtk_widget_get_first_child (self->members) != NULL);
}

static void
tell_figures (LwOutlinePanel *self)
{
  const LwLoop *loop = loop_of (self);
  g_autofree char *area = NULL, *way = NULL, *text = NULL;

  if (loop != NULL) {
    area = lw_figure_unit (fabs (lw_loop_area (loop)), 2, "mm²");
    way = lw_figure_unit (lw_loop_perimeter (loop), 2, "mm");
    text = g_strdup_printf (_("%s · %s round"), area, way);
  }
  gtk_label_set_text (GTK_LABEL (self->about), text == NULL ? "" : text);
}

static void
show_choice (LwOutlinePanel *self)
{
  const LwLoop *loop = loop_of (self);
  int corner = lw_sketch_corner (lw_desk_sketch (self->desk)), edge = lw_sketch_edge (lw_desk_sketch (self->desk));

  list_loops (self);
  if (loop != NULL)
    build_members (self);
  tell_figures (self);
  lw_edit_table_refresh (LW_EDIT_TABLE (self->table), loop == NULL ? 0 : loop->corners->len);
  lw_edit_table_choose (LW_EDIT_TABLE (self->table), corner >= 0 ? corner : edge);
}

static void
refresh (LwOutlinePanel *self)
{
  LwSketch *sketch = lw_desk_sketch (self->desk);
  const LwLoop *loop = loop_of (self);

  if (lw_desk_may_wait (self->desk, GTK_WIDGET (self)))
    return;
  if (job_of (self) != NULL && loop == NULL)
    lw_sketch_choose (sketch, (LwLoopPlace){ LW_LOOP_OUTLINE, 0 }, -1, -1);
  else if (loop != NULL && lw_sketch_corner (sketch) >= (int) loop->corners->len)
    lw_sketch_choose (sketch, place_of (self), -1, -1);
  show_choice (self);
}

static void
row_chosen_cb (LwOutlinePanel *self, int row)
{
  if (self->desk == NULL || row < 0)
    return;
  lw_sketch_choose (lw_desk_sketch (self->desk), place_of (self), row, -1);
  lw_sketch_set_tool (lw_desk_sketch (self->desk), LW_TOOL_SHAPE);
}

/* ---- actions ---- */

static void
insert_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwOutlinePanel *self = LW_OUTLINE_PANEL (widget);
  int row = lw_edit_table_chosen (LW_EDIT_TABLE (self->table));
  g_autoptr (GError) error = NULL;

  if (loop_of (self) == NULL)
    return;
  if (!put_loop (self, lw_loop_insert_corner (loop_of (self), (guint) MAX (row, 0), 0.5, &error), _("Insert corner"), &error)
      && error != NULL)
    lw_desk_tell (self->desk, error->message, FALSE);
}

static void
remove_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwOutlinePanel *self = LW_OUTLINE_PANEL (widget);
  int row = lw_edit_table_chosen (LW_EDIT_TABLE (self->table));
  g_autoptr (GError) error = NULL;

  if (loop_of (self) == NULL)
    return;
  if (row < 0)
    lw_desk_tell (self->desk, _("Choose a corner first"), FALSE);
  else if (!put_loop (self, lw_loop_remove_corner (loop_of (self), (guint) row, &error), _("Remove corner"), &error)
           && error != NULL)
    lw_desk_tell (self->desk, error->message, FALSE);
}

static void
remove_shape_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwOutlinePanel *self = LW_OUTLINE_PANEL (widget);
  GError *error = NULL;

  if (loop_of (self) != NULL)
    lw_desk_edit (self->desk, lw_edit_remove_loop (job_of (self), place_of (self), &error), _("Remove shape"), NULL, error);
}

/* ---- the object ---- */

void
lw_outline_panel_set_desk (LwOutlinePanel *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_OUTLINE_PANEL (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  g_signal_group_set_target (self->sketch_signals, desk == NULL ? NULL : lw_desk_sketch (desk));
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

static void
lw_outline_panel_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_OUTLINE_PANEL (object)->desk);
}

static void
lw_outline_panel_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_outline_panel_set_desk (LW_OUTLINE_PANEL (object), g_value_get_object (value));
}

static void
lw_outline_panel_dispose (GObject *object)
{
  LwOutlinePanel *self = LW_OUTLINE_PANEL (object);

  self->refreshing = TRUE;
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->sketch_signals);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->desk);
  G_OBJECT_CLASS (lw_outline_panel_parent_class)->dispose (object);
}

static void
lw_outline_panel_finalize (GObject *object)
{
  g_array_unref (LW_OUTLINE_PANEL (object)->places);
  g_free (LW_OUTLINE_PANEL (object)->shape);
  G_OBJECT_CLASS (lw_outline_panel_parent_class)->finalize (object);
}

static void
lw_outline_panel_class_init (LwOutlinePanelClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_outline_panel_dispose;
  object_class->finalize = lw_outline_panel_finalize;
  object_class->get_property = lw_outline_panel_get_property;
  object_class->set_property = lw_outline_panel_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "outlinepanel");
  gtk_widget_class_install_action (widget_class, "outline.insert", NULL, insert_cb);
  gtk_widget_class_install_action (widget_class, "outline.remove", NULL, remove_cb);
  gtk_widget_class_install_action (widget_class, "outline.remove-shape", NULL, remove_shape_cb);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Insert, 0, "outline.insert", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Delete, 0, "outline.remove", NULL);
}

static GtkWidget *
corner_menu_new (void)
{
  GtkWidget *button = gtk_menu_button_new ();
  g_autoptr (GMenu) menu = g_menu_new ();

  g_menu_append (menu, _("_Insert Before It"), "outline.insert");
  g_menu_append (menu, _("_Cut…"), "win.board::form.cut");
  g_menu_append (menu, _("_Remove"), "outline.remove");
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _("_Corner"));
  gtk_menu_button_set_use_underline (GTK_MENU_BUTTON (button), TRUE);
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (button), G_MENU_MODEL (menu));
  return button;
}

static GtkWidget *
shape_menu_new (void)
{
  GtkWidget *button = gtk_menu_button_new ();
  g_autoptr (GMenu) menu = g_menu_new ();

  g_menu_append (menu, _("_Add by Figures…"), "win.board::form.shape");
  g_menu_append (menu, _("_Remove This One"), "outline.remove-shape");
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _("S_hape"));
  gtk_menu_button_set_use_underline (GTK_MENU_BUTTON (button), TRUE);
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (button), G_MENU_MODEL (menu));
  return button;
}

static GtkWidget *
tools_new (LwOutlinePanel *self)
{
  LwWrapRow *tools = LW_WRAP_ROW (lw_wrap_row_new ());

  lw_wrap_row_append (tools, self->loops);
  lw_wrap_row_append (tools, shape_menu_new ());
  lw_wrap_row_append (tools, corner_menu_new ());
  lw_wrap_row_append (tools, self->about);
  gtk_widget_add_css_class (GTK_WIDGET (tools), "list-tools");
  return GTK_WIDGET (tools);
}

static void
lw_outline_panel_init (LwOutlinePanel *self)
{
  self->places = g_array_new (FALSE, FALSE, sizeof (LwLoopPlace));
  self->loops = gtk_drop_down_new_from_strings ((const char *[]){ NULL });
  self->table = lw_edit_table_new (columns, _("Corners"), self);
  self->about = gtk_label_new (NULL);
  self->members = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->loops), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Shape"), -1);
  gtk_label_set_xalign (GTK_LABEL (self->about), 0);
  gtk_widget_add_css_class (self->about, "quiet");
  gtk_widget_add_css_class (self->about, "numeric");
  gtk_widget_set_margin_start (self->about, 8);
  gtk_widget_add_css_class (self->members, "list-tools");
  gtk_box_append (GTK_BOX (self->box), tools_new (self));
  gtk_box_append (GTK_BOX (self->box), self->members);
  gtk_box_append (GTK_BOX (self->box), self->table);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  g_signal_connect_swapped (self->loops, "notify::selected", G_CALLBACK (loop_chosen_cb), self);
  g_signal_connect_swapped (self->table, "row-chosen", G_CALLBACK (row_chosen_cb), self);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  self->sketch_signals = g_signal_group_new (LW_TYPE_SKETCH);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->sketch_signals, "changed", G_CALLBACK (show_choice), self);
}
