#include "app/remarks.h"

#include <glib/gi18n.h>

#include "exchange/import.h"

static GtkStringList *
lines (const GPtrArray *warnings)
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
}

static GtkWidget *
new_list (const GPtrArray *warnings)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  GtkSelectionModel *model = GTK_SELECTION_MODEL (gtk_no_selection_new (G_LIST_MODEL (lines (warnings))));
  GtkWidget *list;

  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), NULL);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), NULL);
  list = gtk_list_view_new (model, factory);
  gtk_list_view_set_show_separators (GTK_LIST_VIEW (list), TRUE);
  gtk_widget_add_css_class (list, "remarks");
  return list;
}

void
lw_remarks_show (GtkWindow *parent, const char *format, const GPtrArray *warnings)
{
  GtkWidget *window = gtk_window_new (), *scroller = gtk_scrolled_window_new ();
  GtkWidget *header = gtk_header_bar_new ();
  g_autofree char *title = NULL;

  /* Translators: %s is the format of a file, such as IDF 3.0. */
  title = format == NULL ? g_strdup (_("Remarks on the file")) : g_strdup_printf (_("Remarks on the file (%s)"), format);
  gtk_window_set_title (GTK_WINDOW (window), title);
  gtk_window_set_titlebar (GTK_WINDOW (window), header);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  gtk_window_set_destroy_with_parent (GTK_WINDOW (window), TRUE);
  gtk_window_set_default_size (GTK_WINDOW (window), 620, 420);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), new_list (warnings));
  gtk_window_set_child (GTK_WINDOW (window), scroller);
  gtk_window_present (GTK_WINDOW (window));
}
