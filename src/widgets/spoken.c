#include "widgets/spoken.h"

/* WORDS without the mark of a mnemonic. (transfer full) */
static char *
without_mark (const char *words)
{
  g_auto (GStrv) parts = g_strsplit (words, "_", -1);

  return g_strjoinv ("", parts);
}

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

/* A menu button is worked by a button inside it, which GTK gives no name when it shows an icon; the one around it has none at all. */
static void
name_menu_button (GtkMenuButton *button)
{
  GtkWidget *inside = gtk_widget_get_first_child (GTK_WIDGET (button));
  const char *label = gtk_menu_button_get_label (button);
  g_autofree char *words = without_mark (label != NULL && *label != '\0' ? label : "");

  if (*words == '\0')
    name_icon (inside, gtk_widget_get_tooltip_text (GTK_WIDGET (button)));
  name (GTK_WIDGET (button), *words != '\0' ? words : gtk_widget_get_tooltip_text (GTK_WIDGET (button)));
}

/* ---- mnemonics ---- */

static gboolean
is_named_as (GtkWidget *widget, const char *text)
{
  g_autofree char *other = gtk_test_accessible_check_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, text);

  return other == NULL;
}

/* GTK 4.8 names what is labelled with a mnemonic by the label as it is written, mark and all, and a button by the words it shows
 * besides: "_Keep Keep" is heard. The words it shows are enough; a check button, which is not named by them, is told its own without the
 * mark. A name that somebody gave stays. */
static void
name_without_mark (GtkWidget *widget)
{
  g_autofree char *label = NULL, *bare = NULL;
  gboolean marked = FALSE;

  g_object_get (widget, "label", &label, "use-underline", &marked, NULL);
  if (label == NULL || !marked || !is_named_as (widget, label))
    return;
  bare = without_mark (label);
  if (GTK_IS_BUTTON (widget))
    gtk_accessible_reset_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL);
  else
    gtk_accessible_update_property (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_PROPERTY_LABEL, bare, -1);
}

/* Now, and each time it is labelled anew. */
static void
keep_without_mark (GtkWidget *widget)
{
  static const char watched[] = "named-without-mark";

  if (g_object_get_data (G_OBJECT (widget), watched) != NULL)
    return;
  g_object_set_data (G_OBJECT (widget), watched, (gpointer) watched);
  name_without_mark (widget);
  g_signal_connect (widget, "notify::label", G_CALLBACK (name_without_mark), NULL);
  g_signal_connect (widget, "notify::use-underline", G_CALLBACK (name_without_mark), NULL);
}

/* Whatever is shown, in popovers and in what a window is filled with later too. */
static gboolean
mapped_cb (GSignalInvocationHint *hint, guint n, const GValue *values, gpointer user)
{
  GtkWidget *widget = g_value_get_object (values);

  if (GTK_IS_BUTTON (widget) || GTK_IS_CHECK_BUTTON (widget))
    keep_without_mark (widget);
  else if (GTK_IS_MENU_BUTTON (widget))
    name_menu_button (GTK_MENU_BUTTON (widget));
  else if (GTK_IS_EXPANDER (widget))
    name (widget, gtk_expander_get_label (GTK_EXPANDER (widget)));
  return TRUE;
}

/* ---- what shows no word ---- */

/* Text that fills a page, as in what GTK says about a program, is named by the page. */
static void
name_by_page (GtkWidget *text)
{
  GtkWidget *page = text, *stack = gtk_widget_get_ancestor (text, GTK_TYPE_STACK);

  if (stack == NULL)
    return;
  while (gtk_widget_get_parent (page) != stack)
    page = gtk_widget_get_parent (page);
  name (text, gtk_stack_page_get_title (gtk_stack_get_page (GTK_STACK (stack), page)));
}

static void
name_one (GtkWidget *widget)
{
  if (GTK_IS_BUTTON (widget) || GTK_IS_CHECK_BUTTON (widget)) /* on pages that do not show yet too */
    keep_without_mark (widget);
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
  if (GTK_IS_TEXT_VIEW (widget))
    name_by_page (widget);
}

/* A dialog of one message has no title: it is named by the message. */
static void
name_message (GtkWidget *dialog)
{
  const char *title = gtk_window_get_title (GTK_WINDOW (dialog));
  g_autofree char *text = NULL;

  g_object_get (dialog, "text", &text, NULL);
  if ((title == NULL || *title == '\0') && text != NULL)
    gtk_accessible_update_property (GTK_ACCESSIBLE (dialog), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

void
lw_spoken_name_all (GtkWidget *root)
{
  g_return_if_fail (GTK_IS_WIDGET (root));
  if (GTK_IS_MESSAGE_DIALOG (root))
    name_message (root);
  name_one (root);
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    lw_spoken_name_all (child);
}

/* ---- what is said once ---- */

/* A window is named by its title again, before it can come to the front another time. */
static void
front_cb (GtkWindow *window)
{
  const char *untold = g_object_get_data (G_OBJECT (window), "untold"), *title = gtk_window_get_title (window);

  if (!gtk_widget_get_realized (GTK_WIDGET (window)))
    return; /* closed meanwhile */
  if (!gtk_window_is_active (window))
    gtk_accessible_update_property (GTK_ACCESSIBLE (window), GTK_ACCESSIBLE_PROPERTY_LABEL, title != NULL ? title : "", -1);
  else if (untold != NULL) {
    gtk_accessible_update_property (GTK_ACCESSIBLE (window), GTK_ACCESSIBLE_PROPERTY_LABEL, untold, -1);
    g_object_set_data (G_OBJECT (window), "untold", NULL);
  }
}

/* After all else that follows from what has happened, a new title too. */
static gboolean
tell_cb (gpointer user)
{
  GtkWindow *window = user;

  g_signal_handlers_disconnect_by_func (window, front_cb, NULL);
  g_signal_connect (window, "notify::is-active", G_CALLBACK (front_cb), NULL);
  front_cb (window);
  return G_SOURCE_REMOVE;
}

/* GTK has no word for this before 4.14. What a screen reader then says of its own accord is that the window in front has another name;
 * a status bar whose words change, or an alert that comes up inside a window, it does not hear of. */
void
lw_spoken_tell (GtkWidget *within, const char *text)
{
  GtkRoot *root;

  g_return_if_fail (GTK_IS_WIDGET (within) && text != NULL);
  root = gtk_widget_get_root (within);
  if (!GTK_IS_WINDOW (root) || *text == '\0')
    return;
  g_object_set_data_full (G_OBJECT (root), "untold", g_strdup (text), g_free);
  g_idle_add_full (G_PRIORITY_LOW, tell_cb, g_object_ref (root), g_object_unref);
}

/* ---- whatever comes up ---- */

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
  g_type_class_ref (GTK_TYPE_WIDGET); /* whose signals are there only then */
  g_signal_add_emission_hook (g_signal_lookup ("map", GTK_TYPE_WIDGET), 0, mapped_cb, NULL, NULL);
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
