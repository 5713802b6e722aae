#include "app/remarks.h"
#include "widgets/spoken.h"

#include <glib/gi18n.h>

/* ---- the lines ---- */

static GtkStringList *
warning_lines (const GPtrArray *warnings)
{
  GtkStringList *list = gtk_string_list_new (NULL);

  for (guint i = 0; i < warnings->len; i++) {
    const LwImportWarning *warning = g_ptr_array_index (warnings, i);

    if (warning->line > 0)
      gtk_string_list_take (list, g_strdup_printf ("%s:%u: %s", warning->file, warning->line, warning->text));
    else
      gtk_string_list_take (list, g_strdup_printf ("%s: %s", warning->file, warning->text));
  }
  return list;
}

static GtkStringList *
unknown_lines (const GPtrArray *unknowns)
{
  GtkStringList *list = gtk_string_list_new (NULL);

  for (guint i = 0; i < unknowns->len; i++)
    gtk_string_list_append (list, ((const LwImportUnknown *) g_ptr_array_index (unknowns, i))->text);
  return list;
}

static GtkStringList *
source_lines (const GPtrArray *sources)
{
  GtkStringList *list = gtk_string_list_new (NULL);

  for (guint i = 0; i < sources->len; i++) {
    const LwImportSource *source = g_ptr_array_index (sources, i);
    const char *taken = source->taken != NULL ? source->taken : _("nothing");

    if (source->format == NULL)
      gtk_string_list_take (list, g_strdup_printf (_("%s: not in a format that is read here"), source->file));
    else
      /* Translators: name of a file, its format, and what was taken from it. */
      gtk_string_list_take (list, g_strdup_printf (_("%s (%s): %s"), source->file, source->format, taken));
  }
  return list;
}

/* ---- the lists ---- */

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_list_item_set_child (cell, label);
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  gtk_label_set_text (GTK_LABEL (gtk_list_item_get_child (cell)),
                      gtk_string_object_get_string (gtk_list_item_get_item (cell)));
  lw_spoken_name_row (cell, gtk_string_object_get_string (gtk_list_item_get_item (cell)));
}

static GtkWidget *
new_list (const char *title, GtkStringList *lines)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkSelectionModel *model = GTK_SELECTION_MODEL (gtk_no_selection_new (G_LIST_MODEL (lines)));
  GtkWidget *list, *scroller = gtk_scrolled_window_new ();

  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), NULL);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), NULL);
  list = gtk_list_view_new (model, factory);
  gtk_list_view_set_show_separators (GTK_LIST_VIEW (list), TRUE);
  gtk_widget_add_css_class (list, "remarks");
  gtk_accessible_update_property (GTK_ACCESSIBLE (list), GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), list);
  gtk_widget_set_vexpand (scroller, TRUE);
  return scroller;
}

/* A page only when it has something to say; its title says how much. */
static void
add_page (GtkStack *stack, const char *name, const char *title, GtkStringList *lines)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (lines));
  /* Translators: title of a page and how many lines it has. */
  g_autofree char *counted = g_strdup_printf (_("%s (%u)"), title, n);

  if (n > 0)
    gtk_stack_add_titled (stack, new_list (title, lines), name, counted);
  else
    g_object_unref (lines);
}

static void
close_by_escape (GtkWidget *window)
{
  GtkEventController *keys = gtk_shortcut_controller_new ();

  gtk_shortcut_controller_add_shortcut (GTK_SHORTCUT_CONTROLLER (keys),
                                        gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0),
                                                          gtk_named_action_new ("window.close")));
  gtk_widget_add_controller (window, keys);
}

void
lw_remarks_show (GtkWindow *parent, LwSession *session)
{
  GtkWidget *window = gtk_window_new (), *header = gtk_header_bar_new ();
  GtkWidget *stack = gtk_stack_new (), *switcher = gtk_stack_switcher_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  const char *format = lw_session_format (session);
  g_autofree char *title = NULL;

  /* Translators: %s is the format of a file, such as IDF 3.0. */
  title = format == NULL ? g_strdup (_("What was read")) : g_strdup_printf (_("What was read (%s)"), format);
  add_page (GTK_STACK (stack), "unknowns", _("To measure"), unknown_lines (lw_session_unknowns (session)));
  add_page (GTK_STACK (stack), "warnings", _("Remarks"), warning_lines (lw_session_warnings (session)));
  add_page (GTK_STACK (stack), "sources", _("Files"), source_lines (lw_session_sources (session)));
  gtk_stack_switcher_set_stack (GTK_STACK_SWITCHER (switcher), GTK_STACK (stack));
  gtk_widget_set_halign (switcher, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (switcher, "page-switcher");
  gtk_box_append (GTK_BOX (box), switcher);
  gtk_box_append (GTK_BOX (box), stack);
  gtk_window_set_title (GTK_WINDOW (window), title);
  gtk_window_set_titlebar (GTK_WINDOW (window), header);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  gtk_window_set_destroy_with_parent (GTK_WINDOW (window), TRUE);
  gtk_window_set_default_size (GTK_WINDOW (window), 640, 440);
  gtk_window_set_child (GTK_WINDOW (window), box);
  close_by_escape (window);
  gtk_window_present (GTK_WINDOW (window));
}
