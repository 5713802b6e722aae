#include "widgets/stack-panel.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits-stack.h"
#include "board/edits.h"
#include "draw/stack-picture.h"
#include "widgets/canvas.h"
#include "widgets/words.h"
#include "widgets/wrap-row.h"

struct _LwStackPanel {
  GtkWidget parent_instance;

  GtkWidget *paned, *picture, *table, *start;
  LwDesk *desk;
  GSignalGroup *desk_signals;
};

G_DEFINE_FINAL_TYPE (LwStackPanel, lw_stack_panel, GTK_TYPE_WIDGET)

enum { PROP_DESK = 1, N_PROPS };
static GParamSpec *props[N_PROPS];

static const char *const kind_labels[] = { N_ ("copper"), N_ ("laminate"), N_ ("solder mask") };
static const char *const kind_words[] = { "copper", "laminate", "mask" };

static LwJob *
job_of (LwStackPanel *self)
{
  return self->desk == NULL ? NULL : lw_desk_job (self->desk);
}

static guint
n_layers (LwStackPanel *self)
{
  return job_of (self) == NULL ? 0 : job_of (self)->board->layers->len;
}

static const LwLayer *
layer_at (LwStackPanel *self, guint row)
{
  return row < n_layers (self) ? g_ptr_array_index (job_of (self)->board->layers, row) : NULL;
}

/* ---- cells ---- */

static char *
name_text (gpointer user, guint row)
{
  return g_strdup (layer_at (user, row) == NULL ? "" : layer_at (user, row)->name);
}

static char *
kind_text (gpointer user, guint row)
{
  return g_strdup (layer_at (user, row) == NULL ? "" : _(kind_labels[layer_at (user, row)->kind]));
}

static char *
thickness_text (gpointer user, guint row)
{
  const LwLayer *layer = layer_at (user, row);

  if (layer == NULL)
    return g_strdup ("");
  return lw_figure_in (isnan (layer->thickness_mm) ? layer->copper_weight_oz * 0.0348 : layer->thickness_mm, 4, "mm");
}

static char *
weight_text (gpointer user, guint row)
{
  const LwLayer *layer = layer_at (user, row);

  if (layer == NULL || layer->kind != LW_LAYER_COPPER)
    return g_strdup ("");
  return lw_figure (isnan (layer->thickness_mm) ? layer->copper_weight_oz : layer->thickness_mm / 0.0348, 3);
}

static char *
cover_text (gpointer user, guint row)
{
  const LwLayer *layer = layer_at (user, row);

  return layer == NULL || layer->kind != LW_LAYER_COPPER ? g_strdup ("") : lw_figure (layer->cover * 100, 1);
}

static char *
material_text (gpointer user, guint row)
{
  const LwLayer *layer = layer_at (user, row);

  return g_strdup (layer == NULL || layer->kind != LW_LAYER_LAMINATE ? "" : *layer->material != '\0' ? layer->material : "FR-4");
}

static gboolean
put (LwStackPanel *self, LwJob *job, const char *label)
{
  return job != NULL && lw_desk_edit (self->desk, job, label, NULL, NULL);
}

static gboolean
put_text (LwStackPanel *self, guint row, const char *member, const char *text, GError **error)
{
  g_autofree char *path = g_strdup_printf ("board.stack_up[%u].%s", row, member);

  return layer_at (self, row) != NULL && put (self, lw_edit_text (job_of (self), path, text, error), _("Change layer"));
}

static gboolean
put_number (LwStackPanel *self, guint row, const char *member, double value, GError **error)
{
  g_autofree char *path = g_strdup_printf ("board.stack_up[%u].%s", row, member);

  return layer_at (self, row) != NULL && put (self, lw_edit_number (job_of (self), path, value, error), _("Change layer"));
}

static gboolean
read_number (const char *text, const char *unit, double *value, GError **error)
{
  if (lw_figure_parse_in (text, unit, value))
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("“%s” is no number"), text);
  return FALSE;
}

static gboolean
copper_only (LwStackPanel *self, guint row, GError **error)
{
  if (layer_at (self, row) != NULL && layer_at (self, row)->kind == LW_LAYER_COPPER)
    return TRUE;
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("only a copper layer has this"));
  return FALSE;
}

static gboolean
name_commit (gpointer user, guint row, const char *text, GError **error)
{
  return put_text (user, row, "name", text, error);
}

/* The kind's word in a file, or its name in the person's language, whatever the capitals. */
static gboolean
names_kind (const char *text, guint kind)
{
  g_autofree char *typed = g_utf8_casefold (text, -1), *name = g_utf8_casefold (_(kind_labels[kind]), -1);

  return strcmp (typed, name) == 0 || strcmp (typed, kind_words[kind]) == 0;
}

static gboolean
kind_commit (gpointer user, guint row, const char *text, GError **error)
{
  for (guint k = 0; k < G_N_ELEMENTS (kind_words); k++)
    if (names_kind (text, k))
      return put_text (user, row, "kind", kind_words[k], error);
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("must be copper, laminate or solder mask"));
  return FALSE;
}

static gboolean
thickness_commit (gpointer user, guint row, const char *text, GError **error)
{
  double value;

  return read_number (text, "mm", &value, error) && put_number (user, row, "thickness_mm", value, error);
}

/* From now on the weight tells the thickness. */
static gboolean
weight_commit (gpointer user, guint row, const char *text, GError **error)
{
  g_autofree char *thick = g_strdup_printf ("board.stack_up[%u].thickness_mm", row);
  g_autofree char *weight = g_strdup_printf ("board.stack_up[%u].copper_weight_oz", row);
  g_autoptr (LwJob) first = NULL;
  double value;

  if (!copper_only (user, row, error) || !read_number (text, "", &value, error))
    return FALSE;
  first = lw_edit_number (job_of (user), weight, value, error);
  return first != NULL && put (user, lw_edit_number (first, thick, NAN, error), _("Change layer"));
}

static gboolean
cover_commit (gpointer user, guint row, const char *text, GError **error)
{
  double value;

  if (!copper_only (user, row, error) || !read_number (text, "", &value, error))
    return FALSE;
  if (value >= 0.0 && value <= 100.0)
    return put_number (user, row, "cover", value / 100, error);
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("must be between 0 and 100 %"));
  return FALSE;
}

static gboolean
material_commit (gpointer user, guint row, const char *text, GError **error)
{
  return put_text (user, row, "material", text, error);
}

static const LwTableColumn columns[] = {
  { NC_ ("column", "Layer"), name_text, name_commit, FALSE, FALSE },
  { NC_ ("column", "Kind"), kind_text, kind_commit, FALSE, FALSE },
  { NC_ ("column", "Thick, mm"), thickness_text, thickness_commit, TRUE, FALSE },
  { NC_ ("column", "oz/ft²"), weight_text, weight_commit, TRUE, FALSE },
  { NC_ ("column", "Cover, %"), cover_text, cover_commit, TRUE, FALSE },
  { NC_ ("column", "Laminate"), material_text, material_commit, FALSE, TRUE },
  { NULL }
};

/* ---- picture ---- */

static LwStackPicture
picture_of (LwStackPanel *self, int width, int height)
{
  PangoContext *context = gtk_widget_get_pango_context (self->picture);
  double size = pango_font_description_get_size (pango_context_get_font_description (context)) / (double) PANGO_SCALE;
  GtkSettings *settings = gtk_widget_get_settings (self->picture);
  int dpi = 0;

  g_object_get (settings, "gtk-xft-dpi", &dpi, NULL);
  if (dpi > 0)
    size *= dpi / 1024.0 / 72.0;
  return (LwStackPicture){ .look = lw_widget_look (self->picture), .units = lw_shown_units (), .board = job_of (self)->board,
                           .selected = lw_edit_table_chosen (LW_EDIT_TABLE (self->table)), .width = width,
                           .height = height, .text_size = CLAMP (0.78 * size, 9.0, 24.0) };
}

static void
draw_cb (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user)
{
  LwStackPanel *self = user;
  LwStackPicture picture;

  if (job_of (self) == NULL)
    return;
  picture = picture_of (self, width, height);
  lw_draw_stack (cr, &picture);
}

static void
pressed_cb (GtkGestureClick *gesture, int n, double x, double y, LwStackPanel *self)
{
  LwStackPicture picture;

  if (job_of (self) == NULL)
    return;
  picture = picture_of (self, gtk_widget_get_width (self->picture), gtk_widget_get_height (self->picture));
  lw_edit_table_choose (LW_EDIT_TABLE (self->table), lw_stack_hit (&picture, x, y));
  gtk_widget_queue_draw (self->picture);
}

static void
refresh (LwStackPanel *self)
{
  if (lw_desk_may_wait (self->desk, GTK_WIDGET (self)))
    return;
  lw_edit_table_refresh (LW_EDIT_TABLE (self->table), n_layers (self));
  gtk_widget_set_visible (self->start, job_of (self) != NULL && n_layers (self) == 0);
  gtk_widget_queue_draw (self->picture);
}

/* ---- actions ---- */

static void
start_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwStackPanel *self = LW_STACK_PANEL (widget);
  GError *error = NULL;

  if (job_of (self) != NULL)
    lw_desk_edit (self->desk, lw_edit_start_stack (job_of (self), g_variant_get_uint32 (parameter), &error),
                  _("Start stack-up"), NULL, error);
}

static void
add_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwStackPanel *self = LW_STACK_PANEL (widget);
  int row = lw_edit_table_chosen (LW_EDIT_TABLE (self->table));
  guint at = row < 0 ? n_layers (self) : (guint) row + 1;
  GError *error = NULL;

  if (job_of (self) == NULL)
    return;
  if (lw_desk_edit (self->desk,
                    lw_edit_add_layer (job_of (self), at, (LwLayerKind) CLAMP (g_variant_get_int32 (parameter), 0, 2), &error),
                    _("Add layer"), NULL, error))
    lw_edit_table_choose (LW_EDIT_TABLE (self->table), (int) at);
}

static void
remove_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwStackPanel *self = LW_STACK_PANEL (widget);
  int row = lw_edit_table_chosen (LW_EDIT_TABLE (self->table));
  GError *error = NULL;

  if (job_of (self) == NULL)
    return;
  if (row < 0)
    lw_desk_tell (self->desk, _("Choose a layer first"), FALSE);
  else
    lw_desk_edit (self->desk, lw_edit_remove_layer (job_of (self), (guint) row, &error), _("Remove layer"), NULL, error);
}

static void
move_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwStackPanel *self = LW_STACK_PANEL (widget);
  int row = lw_edit_table_chosen (LW_EDIT_TABLE (self->table));
  int to = row + (g_str_has_suffix (name, "raise") ? -1 : 1);
  GError *error = NULL;

  if (job_of (self) == NULL || row < 0 || to < 0 || to >= (int) n_layers (self))
    return;
  if (lw_desk_edit (self->desk, lw_edit_move_layer (job_of (self), (guint) row, (guint) to, &error), _("Move layer"), NULL,
                    error))
    lw_edit_table_choose (LW_EDIT_TABLE (self->table), to);
  gtk_widget_queue_draw (self->picture);
}

static void
thickness_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwStackPanel *self = LW_STACK_PANEL (widget);
  GError *error = NULL;

  if (job_of (self) != NULL)
    lw_desk_edit (self->desk, lw_edit_thickness_from_layers (job_of (self), &error), _("Board as thick as its layers"), NULL,
                  error);
}

/* ---- the object ---- */

void
lw_stack_panel_set_desk (LwStackPanel *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_STACK_PANEL (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

static void
lw_stack_panel_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_STACK_PANEL (object)->desk);
}

static void
lw_stack_panel_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_stack_panel_set_desk (LW_STACK_PANEL (object), g_value_get_object (value));
}

static void
lw_stack_panel_dispose (GObject *object)
{
  LwStackPanel *self = LW_STACK_PANEL (object);

  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  g_clear_pointer (&self->paned, gtk_widget_unparent);
  G_OBJECT_CLASS (lw_stack_panel_parent_class)->dispose (object);
}

static void
lw_stack_panel_class_init (LwStackPanelClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_stack_panel_dispose;
  object_class->get_property = lw_stack_panel_get_property;
  object_class->set_property = lw_stack_panel_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "stackpanel");
  gtk_widget_class_install_action (widget_class, "stack.start", "u", start_cb);
  gtk_widget_class_install_action (widget_class, "stack.add", "i", add_cb);
  gtk_widget_class_install_action (widget_class, "stack.remove", NULL, remove_cb);
  gtk_widget_class_install_action (widget_class, "stack.raise", NULL, move_cb);
  gtk_widget_class_install_action (widget_class, "stack.lower", NULL, move_cb);
  gtk_widget_class_install_action (widget_class, "stack.thickness", NULL, thickness_cb);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Delete, 0, "stack.remove", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Up, GDK_ALT_MASK, "stack.raise", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Down, GDK_ALT_MASK, "stack.lower", NULL);
}

static GtkWidget *
add_menu_new (void)
{
  static const char *const labels[] = { N_ ("_Copper"), N_ ("_Laminate"), N_ ("_Solder Mask") };
  GtkWidget *button = gtk_menu_button_new ();
  g_autoptr (GMenu) menu = g_menu_new ();

  for (int kind = 0; kind < (int) G_N_ELEMENTS (labels); kind++) {
    g_autoptr (GMenuItem) item = g_menu_item_new (_(labels[kind]), NULL);

    g_menu_item_set_action_and_target (item, "stack.add", "i", kind);
    g_menu_append_item (menu, item);
  }
  gtk_menu_button_set_label (GTK_MENU_BUTTON (button), _("_Add"));
  gtk_menu_button_set_use_underline (GTK_MENU_BUTTON (button), TRUE);
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (button), G_MENU_MODEL (menu));
  gtk_widget_set_tooltip_text (button, _("Add a layer under the chosen one"));
  return button;
}

static GtkWidget *
tools_new (LwStackPanel *self)
{
  static const struct {
    const char *label, *icon, *action;
  } all[] = { { N_ ("Remove the chosen layer"), "list-remove-symbolic", "stack.remove" },
              { N_ ("Move the layer up (Alt+Up)"), "go-up-symbolic", "stack.raise" },
              { N_ ("Move the layer down (Alt+Down)"), "go-down-symbolic", "stack.lower" },
              { N_ ("_Thickness From Layers"), NULL, "stack.thickness" } };
  LwWrapRow *tools = LW_WRAP_ROW (lw_wrap_row_new ());

  lw_wrap_row_append (tools, add_menu_new ());
  for (guint i = 0; i < G_N_ELEMENTS (all); i++) {
    GtkWidget *button = all[i].icon == NULL ? gtk_button_new_with_mnemonic (_(all[i].label))
                                            : gtk_button_new_from_icon_name (all[i].icon);

    if (all[i].icon != NULL) {
      gtk_widget_set_tooltip_text (button, _(all[i].label));
      gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, _(all[i].label), -1);
    }
    gtk_actionable_set_action_name (GTK_ACTIONABLE (button), all[i].action);
    lw_wrap_row_append (tools, button);
  }
  gtk_widget_add_css_class (GTK_WIDGET (tools), "list-tools");
  return GTK_WIDGET (tools);
}

static GtkWidget *
start_new (void)
{
  static const guint counts[] = { 1, 2, 4, 6, 8 };
  LwWrapRow *row = LW_WRAP_ROW (lw_wrap_row_new ());

  lw_wrap_row_append (row, gtk_label_new (_("None yet. Copper layers to start with:")));
  for (guint i = 0; i < G_N_ELEMENTS (counts); i++) {
    g_autofree char *text = g_strdup_printf ("%u", counts[i]);
    g_autofree char *about = g_strdup_printf (ngettext ("%u copper layer", "%u copper layers", counts[i]), counts[i]);
    GtkWidget *button = gtk_button_new_with_label (text);

    gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "stack.start");
    gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "u", counts[i]);
    gtk_widget_set_tooltip_text (button, about);
    lw_wrap_row_append (row, button);
  }
  gtk_widget_add_css_class (GTK_WIDGET (row), "list-tools");
  return GTK_WIDGET (row);
}

static void
lw_stack_panel_init (LwStackPanel *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkGesture *click = gtk_gesture_click_new ();

  self->picture = gtk_drawing_area_new ();
  self->table = lw_edit_table_new (columns, _("Layers"), self);
  self->start = start_new ();
  self->paned = gtk_paned_new (GTK_ORIENTATION_HORIZONTAL);
  gtk_widget_set_size_request (self->picture, 150, 90);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->picture), draw_cb, self, NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->picture), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Section of the board"), -1);
  gtk_box_append (GTK_BOX (box), tools_new (self));
  gtk_box_append (GTK_BOX (box), self->start);
  gtk_box_append (GTK_BOX (box), self->table);
  gtk_paned_set_start_child (GTK_PANED (self->paned), self->picture);
  gtk_paned_set_end_child (GTK_PANED (self->paned), box);
  gtk_paned_set_resize_start_child (GTK_PANED (self->paned), FALSE);
  gtk_paned_set_shrink_start_child (GTK_PANED (self->paned), FALSE);
  gtk_paned_set_shrink_end_child (GTK_PANED (self->paned), FALSE);
  gtk_paned_set_position (GTK_PANED (self->paned), 236);
  gtk_widget_set_parent (self->paned, GTK_WIDGET (self));
  g_signal_connect (click, "pressed", G_CALLBACK (pressed_cb), self);
  gtk_widget_add_controller (self->picture, GTK_EVENT_CONTROLLER (click));
  g_signal_connect_swapped (self->table, "row-chosen", G_CALLBACK (gtk_widget_queue_draw), self->picture);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
}
