#include "app/shortcuts-window.h"

#define LINE_GAP 4     /* px between lines of a group */
#define TITLE_CHARS 12 /* of a title, before a column goes below the other */

struct _LwShortcutsWindow {
  GtkWindow parent_instance;
  GtkWidget *groups;
};

G_DEFINE_FINAL_TYPE (LwShortcutsWindow, lw_shortcuts_window, GTK_TYPE_WINDOW)

/* "Ctrl+Shift+Z Ctrl+Y" of "<Control><Shift>z <Control>y", as GTK words it. */
static char *
words_of (const char *keys)
{
  g_auto (GStrv) each = g_strsplit (keys, " ", -1);

  for (guint i = 0; each[i] != NULL; i++) {
    guint key = 0;
    GdkModifierType modifiers = 0;

    if (!gtk_accelerator_parse (each[i], &key, &modifiers))
      continue; /* a range is shown as it is */
    g_free (each[i]);
    each[i] = gtk_accelerator_get_label (key, modifiers);
  }
  return g_strjoinv (" ", each);
}

/* A title goes on in a second line; keys of all lines of a group share a column. */
static void
arrange (GtkWidget *widget)
{
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    if (GTK_IS_LABEL (child) && !gtk_widget_has_css_class (child, "keycap") && !gtk_widget_has_css_class (child, "dim-label")) {
      gtk_label_set_wrap (GTK_LABEL (child), TRUE);
      gtk_label_set_width_chars (GTK_LABEL (child), TITLE_CHARS);
    }
    arrange (child);
  }
}

/* One that can be reached by Tab and is heard with its keys. */
static void
set_up (GtkWidget *shortcut, GtkApplication *app)
{
  g_autofree char *action = NULL, *title = NULL, *keys = NULL, *words = NULL, *heard = NULL;

  g_object_get (shortcut, "action-name", &action, NULL);
  if (action != NULL) {
    g_auto (GStrv) accels = gtk_application_get_accels_for_action (app, action);
    g_autofree char *joined = g_strjoinv (" ", accels);

    g_object_set (shortcut, "accelerator", joined, NULL);
  }
  g_object_get (shortcut, "title", &title, "accelerator", &keys, NULL);
  words = words_of (keys != NULL ? keys : "");
  heard = g_strdup_printf ("%s: %s", title, words);
  gtk_accessible_update_property (GTK_ACCESSIBLE (shortcut), GTK_ACCESSIBLE_PROPERTY_LABEL, heard, -1);
  gtk_widget_set_focusable (shortcut, TRUE);
  arrange (shortcut);
}

static void
set_up_all (GtkWidget *widget, GtkApplication *app)
{
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    if (GTK_IS_SHORTCUTS_GROUP (child)) {
      g_autoptr (GtkSizeGroup) keys = gtk_size_group_new (GTK_SIZE_GROUP_HORIZONTAL);

      g_object_set (child, "accel-size-group", keys, NULL);
      gtk_box_set_spacing (GTK_BOX (child), LINE_GAP);
    }
    if (GTK_IS_SHORTCUTS_SHORTCUT (child))
      set_up (child, app);
    else
      set_up_all (child, app);
  }
}

static void
lw_shortcuts_window_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), LW_TYPE_SHORTCUTS_WINDOW);
  G_OBJECT_CLASS (lw_shortcuts_window_parent_class)->dispose (object);
}

static void
lw_shortcuts_window_class_init (LwShortcutsWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_shortcuts_window_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/shortcuts-window.ui");
  gtk_widget_class_bind_template_child (widget_class, LwShortcutsWindow, groups);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
lw_shortcuts_window_init (LwShortcutsWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
lw_shortcuts_window_new (GtkWindow *parent, GtkApplication *app)
{
  LwShortcutsWindow *self = g_object_new (LW_TYPE_SHORTCUTS_WINDOW, "transient-for", parent, NULL);

  set_up_all (self->groups, app);
  return GTK_WIDGET (self);
}
