#include "widgets/package-list.h"

#include <glib/gi18n.h>

#include "widgets/late-rows.h"
#include "widgets/package-names.h"
#include "widgets/spoken.h"
#include "widgets/tab-out.h"
#include "widgets/whole-text.h"

struct _LwPackageList {
  GtkWidget parent_instance;

  GtkWidget *box, *search, *view;
  GtkStringList *names;
  GtkSingleSelection *selection;
  LwDesk *desk;
  GSignalGroup *desk_signals;
};

G_DEFINE_FINAL_TYPE (LwPackageList, lw_package_list, GTK_TYPE_WIDGET)

enum { PROP_DESK = 1, N_PROPS };
static GParamSpec *props[N_PROPS];
static guint chosen_signal;

static LwJob *
job_of (LwPackageList *self)
{
  return self->desk == NULL ? NULL : lw_desk_job (self->desk);
}

/* Names are gathered from all libraries: only when somebody looks. */
static void
refresh (LwPackageList *self)
{
  g_autoptr (GPtrArray) names = NULL;
  guint before;

  if (!gtk_widget_get_mapped (GTK_WIDGET (self)))
    return;
  names = lw_package_names (job_of (self), gtk_editable_get_text (GTK_EDITABLE (self->search)), 0);
  before = g_list_model_get_n_items (G_LIST_MODEL (self->names));
  /* The same again is left alone: scrolling stays. */
  if (before == names->len) {
    guint same = 0;

    while (same < before && g_strcmp0 (gtk_string_list_get_string (self->names, same), g_ptr_array_index (names, same)) == 0)
      same++;
    if (same == before)
      return;
  }
  g_ptr_array_add (names, NULL);
  gtk_string_list_splice (self->names, 0, before, (const char *const *) names->pdata);
}

static const char *
name_of (GtkListItem *item)
{
  return gtk_string_object_get_string (gtk_list_item_get_item (item));
}

static GdkContentProvider *
prepare_cb (GtkDragSource *source, double x, double y, GtkListItem *item)
{
  g_autofree char *text = NULL;

  if (gtk_list_item_get_item (item) == NULL)
    return NULL;
  text = g_strconcat (LW_PACKAGE_DRAG, name_of (item), NULL);
  return gdk_content_provider_new_typed (G_TYPE_STRING, text);
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *item, LwPackageList *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *name = gtk_label_new (NULL), *about = gtk_label_new (NULL);
  GtkDragSource *source = gtk_drag_source_new ();

  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_xalign (GTK_LABEL (about), 1);
  gtk_label_set_ellipsize (GTK_LABEL (about), PANGO_ELLIPSIZE_END);
  gtk_label_set_ellipsize (GTK_LABEL (name), PANGO_ELLIPSIZE_MIDDLE);
  lw_tell_whole_text (about);
  lw_tell_whole_text (name);
  gtk_widget_set_hexpand (name, TRUE);
  gtk_widget_add_css_class (about, "quiet");
  gtk_box_append (GTK_BOX (row), name);
  gtk_box_append (GTK_BOX (row), about);
  g_signal_connect_object (source, "prepare", G_CALLBACK (prepare_cb), item, 0);
  gtk_widget_add_controller (row, GTK_EVENT_CONTROLLER (source));
  gtk_list_item_set_child (item, row);
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *item, LwPackageList *self)
{
  GtkWidget *row = gtk_list_item_get_child (item);
  const LwPackage *package = lw_package_named (job_of (self), name_of (item));
  g_autofree char *about = package == NULL ? g_strdup ("") : lw_package_about (package);

  gtk_label_set_text (GTK_LABEL (gtk_widget_get_first_child (row)), name_of (item));
  gtk_label_set_text (GTK_LABEL (gtk_widget_get_last_child (row)), about);
  g_autofree char *spoken = g_strdup_printf ("%s, %s", name_of (item), about);
  lw_spoken_name_row (item, spoken);
}

static void
activate_cb (GtkListView *view, guint position, LwPackageList *self)
{
  g_signal_emit (self, chosen_signal, 0, gtk_string_list_get_string (self->names, position));
}

static void
search_activate_cb (LwPackageList *self)
{
  if (g_list_model_get_n_items (G_LIST_MODEL (self->names)) > 0)
    g_signal_emit (self, chosen_signal, 0, gtk_string_list_get_string (self->names, 0));
}

GtkWidget *
lw_package_list_search (LwPackageList *self)
{
  return self->search;
}

void
lw_package_list_set_desk (LwPackageList *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_PACKAGE_LIST (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

static void
lw_package_list_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_PACKAGE_LIST (object)->desk);
}

static void
lw_package_list_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_package_list_set_desk (LW_PACKAGE_LIST (object), g_value_get_object (value));
}

static void
lw_package_list_dispose (GObject *object)
{
  LwPackageList *self = LW_PACKAGE_LIST (object);

  g_clear_object (&self->desk_signals);
  if (self->view != NULL)
    gtk_list_view_set_model (GTK_LIST_VIEW (self->view), NULL);
  self->view = NULL;
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->selection);
  g_clear_object (&self->names);
  g_clear_object (&self->desk);
  G_OBJECT_CLASS (lw_package_list_parent_class)->dispose (object);
}

static void
lw_package_list_class_init (LwPackageListClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);

  object_class->dispose = lw_package_list_dispose;
  object_class->get_property = lw_package_list_get_property;
  object_class->set_property = lw_package_list_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  chosen_signal = g_signal_new ("chosen", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                1, G_TYPE_STRING);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "packagelist");
}

/* Escape: to the list, from where it leads out of the page. */
static void
stop_search_cb (LwPackageList *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  gtk_widget_grab_focus (self->view);
}

static void
lw_package_list_init (LwPackageList *self)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkWidget *scroller = gtk_scrolled_window_new ();

  self->names = gtk_string_list_new (NULL);
  self->selection = gtk_single_selection_new (g_object_ref (G_LIST_MODEL (self->names)));
  self->search = gtk_search_entry_new ();
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_object_set (self->search, "placeholder-text", _("Find a package; drag it onto the board"), NULL);
  lw_tell_whole_text (self->search);
  gtk_widget_set_margin_start (self->search, 10);
  gtk_widget_set_margin_end (self->search, 10);
  gtk_widget_set_margin_top (self->search, 6);
  gtk_widget_set_margin_bottom (self->search, 6);
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), self);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), self);
  self->view = gtk_list_view_new (NULL, factory);
  lw_late_rows (self->view, GTK_SELECTION_MODEL (self->selection));
  gtk_widget_add_css_class (self->view, "packages");
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL, _("Packages"), -1);
  lw_tab_out_of (self->view);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), self->view);
  gtk_widget_set_vexpand (scroller, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->search);
  gtk_box_append (GTK_BOX (self->box), scroller);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  g_signal_connect (self->view, "activate", G_CALLBACK (activate_cb), self);
  g_signal_connect_swapped (self->search, "search-changed", G_CALLBACK (refresh), self);
  g_signal_connect_swapped (self->search, "activate", G_CALLBACK (search_activate_cb), self);
  g_signal_connect_swapped (self->search, "stop-search", G_CALLBACK (stop_search_cb), self);
  g_signal_connect_after (self, "map", G_CALLBACK (refresh), NULL);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "notify::document", G_CALLBACK (refresh), self);
}
