#include "widgets/page-row.h"

#include <glib/gi18n.h>

struct _LwPageRow {
  GtkWidget parent_instance;

  GtkStack *stack;
  GPtrArray *tabs; /* of GtkWidget, children of the row; one for each page, in their order */
  GtkWidget *more; /* the menu button */
};

G_DEFINE_FINAL_TYPE (LwPageRow, lw_page_row, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_STACK, N_PROPS };
static GParamSpec *props[N_PROPS];

static const char *
name_of (LwPageRow *self, guint k)
{
  return g_object_get_data (g_ptr_array_index (self->tabs, k), "page-name");
}

static gboolean
is_shown (LwPageRow *self, guint k)
{
  return g_strcmp0 (name_of (self, k), gtk_stack_get_visible_child_name (self->stack)) == 0;
}

static int
width_of (GtkWidget *child)
{
  int natural;

  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &natural, NULL, NULL);
  return natural;
}

static int
width_of_all (LwPageRow *self)
{
  int sum = 0;

  for (guint k = 0; k < self->tabs->len; k++)
    sum += width_of (g_ptr_array_index (self->tabs, k));
  return sum;
}

/* How many of the first tabs find room in WIDTH beside the one in view and the menu button. */
static guint
n_that_fit (LwPageRow *self, int width)
{
  int room = width - width_of (self->more);
  guint n = 0;

  for (guint k = 0; k < self->tabs->len; k++)
    if (is_shown (self, k))
      room -= width_of (g_ptr_array_index (self->tabs, k));
  for (; n < self->tabs->len; n++) {
    int wide = is_shown (self, n) ? 0 : width_of (g_ptr_array_index (self->tabs, n));

    if (wide > room)
      break;
    room -= wide;
  }
  return n;
}

static void
lw_page_row_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                     int *minimum_baseline, int *natural_baseline)
{
  LwPageRow *self = LW_PAGE_ROW (widget);

  *minimum = *natural = 0;
  for (guint k = 0; k < self->tabs->len; k++) {
    int least, usual;

    gtk_widget_measure (g_ptr_array_index (self->tabs, k), orientation, -1, &least, &usual, NULL, NULL);
    *minimum = MAX (*minimum, least);
    *natural = MAX (*natural, usual);
  }
  if (orientation == GTK_ORIENTATION_HORIZONTAL) {
    *minimum += width_of (self->more);
    *natural = MAX (width_of_all (self), *minimum);
  }
}

/* What is out of sight is out of Tab's way. */
static void
set_in_sight (GtkWidget *child, gboolean in_sight)
{
  gtk_widget_set_child_visible (child, in_sight);
  gtk_widget_set_can_focus (child, in_sight);
}

static int
put (GtkWidget *child, int x, int height)
{
  int wide = width_of (child);

  set_in_sight (child, TRUE);
  gtk_widget_allocate (child, wide, height, -1,
                       gsk_transform_translate (NULL, &GRAPHENE_POINT_INIT ((float) x, 0)));
  return x + wide;
}

/* From the right in a script that is written so. */
static int
put_next (LwPageRow *self, GtkWidget *child, int x, int width, int height)
{
  if (gtk_widget_get_direction (GTK_WIDGET (self)) != GTK_TEXT_DIR_RTL)
    return put (child, x, height);
  put (child, width - x - width_of (child), height);
  return x + width_of (child);
}

static void
lw_page_row_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  LwPageRow *self = LW_PAGE_ROW (widget);
  bool all = width_of_all (self) <= width;
  guint fit = all ? self->tabs->len : n_that_fit (self, width);
  int x = 0;

  for (guint k = 0; k < self->tabs->len; k++) {
    GtkWidget *tab = g_ptr_array_index (self->tabs, k);

    if (k < fit || is_shown (self, k))
      x = put_next (self, tab, x, width, height);
    else
      set_in_sight (tab, FALSE);
  }
  if (all)
    set_in_sight (self->more, FALSE);
  else
    put_next (self, self->more, x, width, height);
}

/* The pages without a tab in sight, told when the menu opens. */
static void
fill_menu (GtkMenuButton *button, gpointer user)
{
  LwPageRow *self = user;
  g_autoptr (GMenu) menu = g_menu_new ();

  for (guint k = 0; k < self->tabs->len; k++) {
    GtkWidget *tab = g_ptr_array_index (self->tabs, k);
    g_autoptr (GMenuItem) item = NULL;

    if (gtk_widget_get_child_visible (tab))
      continue;
    item = g_menu_item_new (gtk_button_get_label (GTK_BUTTON (tab)), NULL);
    g_menu_item_set_action_and_target (item, "pages.show", "s", name_of (self, k));
    g_menu_append_item (menu, item);
  }
  gtk_menu_button_set_menu_model (button, G_MENU_MODEL (menu));
}

static void
on_show (GSimpleAction *action, GVariant *name, gpointer user)
{
  LwPageRow *self = user;

  gtk_stack_set_visible_child_name (self->stack, g_variant_get_string (name, NULL));
}

static void
on_clicked (GtkWidget *tab, LwPageRow *self)
{
  gtk_stack_set_visible_child_name (self->stack, g_object_get_data (G_OBJECT (tab), "page-name"));
  /* a tab that was in already stays in */
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (tab), TRUE);
}

static void
show_which (LwPageRow *self)
{
  for (guint k = 0; k < self->tabs->len; k++) {
    GtkWidget *tab = g_ptr_array_index (self->tabs, k);

    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (tab), is_shown (self, k));
    gtk_accessible_update_state (GTK_ACCESSIBLE (tab), GTK_ACCESSIBLE_STATE_SELECTED, (gboolean) is_shown (self, k), -1);
  }
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

static void
add_tab (LwPageRow *self, GtkStackPage *page)
{
  GtkWidget *tab = g_object_new (GTK_TYPE_TOGGLE_BUTTON, "accessible-role", GTK_ACCESSIBLE_ROLE_TAB, NULL);

  g_object_set_data_full (G_OBJECT (tab), "page-name", g_strdup (gtk_stack_page_get_name (page)), g_free);
  g_object_bind_property (page, "title", tab, "label", G_BINDING_SYNC_CREATE);
  g_signal_connect (tab, "clicked", G_CALLBACK (on_clicked), self);
  gtk_widget_insert_before (tab, GTK_WIDGET (self), self->more);
  g_ptr_array_add (self->tabs, tab);
}

static void
set_stack (LwPageRow *self, GtkStack *stack)
{
  g_autoptr (GtkSelectionModel) pages = NULL;

  g_return_if_fail (self->stack == NULL);
  self->stack = g_object_ref (stack);
  pages = gtk_stack_get_pages (stack);
  for (guint k = 0; k < g_list_model_get_n_items (G_LIST_MODEL (pages)); k++) {
    g_autoptr (GObject) page = g_list_model_get_item (G_LIST_MODEL (pages), k);

    add_tab (self, GTK_STACK_PAGE (page));
  }
  g_signal_connect_object (stack, "notify::visible-child", G_CALLBACK (show_which), self, G_CONNECT_SWAPPED);
  show_which (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_STACK]);
}

static void
lw_page_row_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_PAGE_ROW (object)->stack);
}

static void
lw_page_row_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (g_value_get_object (value) != NULL)
    set_stack (LW_PAGE_ROW (object), g_value_get_object (value));
}

static void
lw_page_row_dispose (GObject *object)
{
  LwPageRow *self = LW_PAGE_ROW (object);
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self))) != NULL)
    gtk_widget_unparent (child);
  g_clear_pointer (&self->tabs, g_ptr_array_unref);
  g_clear_object (&self->stack);
  G_OBJECT_CLASS (lw_page_row_parent_class)->dispose (object);
}

static void
lw_page_row_class_init (LwPageRowClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_page_row_dispose;
  object_class->get_property = lw_page_row_get_property;
  object_class->set_property = lw_page_row_set_property;
  props[PROP_STACK]
    = g_param_spec_object ("stack", NULL, NULL, GTK_TYPE_STACK, G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  widget_class->measure = lw_page_row_measure;
  widget_class->size_allocate = lw_page_row_size_allocate;
  gtk_widget_class_set_css_name (widget_class, "pagerow");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_TAB_LIST);
}

static void
lw_page_row_init (LwPageRow *self)
{
  static const GActionEntry entries[] = { { .name = "show", .activate = on_show, .parameter_type = "s" } };
  g_autoptr (GSimpleActionGroup) actions = g_simple_action_group_new ();

  self->tabs = g_ptr_array_new ();
  self->more = gtk_menu_button_new ();
  gtk_menu_button_set_label (GTK_MENU_BUTTON (self->more), _("More"));
  gtk_widget_set_tooltip_text (self->more, _("Pages that find no room in this row"));
  gtk_menu_button_set_create_popup_func (GTK_MENU_BUTTON (self->more), fill_menu, self, NULL);
  gtk_widget_set_parent (self->more, GTK_WIDGET (self));
  g_action_map_add_action_entries (G_ACTION_MAP (actions), entries, G_N_ELEMENTS (entries), self);
  gtk_widget_insert_action_group (GTK_WIDGET (self), "pages", G_ACTION_GROUP (actions));
}
