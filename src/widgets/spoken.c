#include "widgets/spoken.h"

static gboolean
is_named (GtkWidget *widget)
{
  return gtk_test_accessible_has_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL)
         || gtk_test_accessible_has_relation (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_RELATION_LABELLED_BY);
}

static void
name (GtkWidget *widget, const char *text)
{
  if (text != NULL && *text != '\0' && !is_named (widget))
    gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

void
lw_spoken_name_icon (GtkWidget *button, const char *text)
{
  gtk_accessible_reset_relation (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_RELATION_LABELLED_BY);
  gtk_accessible_update_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

static void
name_icon (GtkWidget *button, const char *text)
{
  if (text != NULL && !gtk_test_accessible_has_property (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_PROPERTY_LABEL))
    lw_spoken_name_icon (button, text);
}

/* The words of the label that leads here, its mnemonic's mark left out. */
static const char *
words_before (GtkWidget *widget)
{
  GList *labels = gtk_widget_list_mnemonic_labels (widget);
  const char *words = labels != NULL && GTK_IS_LABEL (labels->data) ? gtk_label_get_text (labels->data) : NULL;

  g_list_free (labels);
  return words;
}

static void
name_by_property (GtkWidget *widget, const char *property)
{
  g_autofree char *text = NULL;

  g_object_get (widget, property, &text, NULL);
  name (widget, text);
}

/* A menu button is worked by a button inside it, which GTK gives no name when it shows an icon. */
static void
name_menu_button (GtkMenuButton *button)
{
  GtkWidget *inside = gtk_widget_get_first_child (GTK_WIDGET (button));
  const char *label = gtk_menu_button_get_label (button);

  if (label == NULL || *label == '\0')
    name_icon (inside, gtk_widget_get_tooltip_text (GTK_WIDGET (button)));
}

static void
name_one (GtkWidget *widget)
{
  if (GTK_IS_MENU_BUTTON (widget))
    name_menu_button (GTK_MENU_BUTTON (widget));
  else if (GTK_IS_BUTTON (widget) && gtk_button_get_label (GTK_BUTTON (widget)) == NULL)
    name_icon (widget, gtk_widget_get_tooltip_text (widget));
  else if (GTK_IS_EDITABLE (widget) || GTK_IS_DROP_DOWN (widget) || GTK_IS_SWITCH (widget))
    name (widget, words_before (widget));
  if (GTK_IS_ENTRY (widget))
    name (widget, gtk_entry_get_placeholder_text (GTK_ENTRY (widget)));
  else if (GTK_IS_SEARCH_ENTRY (widget))
    name_by_property (widget, "placeholder-text");
  if (GTK_IS_EDITABLE (widget) || GTK_IS_DROP_DOWN (widget))
    name (widget, gtk_widget_get_tooltip_text (widget));
}

void
lw_spoken_name_all (GtkWidget *root)
{
  g_return_if_fail (GTK_IS_WIDGET (root));
  name_one (root);
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    lw_spoken_name_all (child);
}

static void
windows_cb (GListModel *windows, guint position, guint removed, guint added)
{
  for (guint i = 0; i < added; i++) {
    g_autoptr (GtkWidget) window = g_list_model_get_item (windows, position + i);

    g_signal_connect (window, "map", G_CALLBACK (lw_spoken_name_all), NULL);
  }
}

void
lw_spoken_watch (void)
{
  g_signal_connect (gtk_window_get_toplevels (), "items-changed", G_CALLBACK (windows_cb), NULL);
}

void
lw_spoken_name_row (GtkListItem *item, const char *text)
{
  GtkWidget *child = gtk_list_item_get_child (item);
  GtkWidget *row = child != NULL ? gtk_widget_get_parent (child) : NULL;

  if (row == NULL || g_strcmp0 (g_object_get_data (G_OBJECT (row), "spoken"), text) == 0)
    return; /* each telling is a message on the bus */
  g_object_set_data_full (G_OBJECT (row), "spoken", g_strdup (text), g_free);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}
