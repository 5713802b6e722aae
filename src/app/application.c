#include "app/application.h"

#include <glib/gi18n.h>

#include "app/habits.h"
#include "app/help-topics.h"
#include "app/manual-window.h"
#include "app/preferences.h"
#include "app/recovery.h"
#include "app/reopen.h"
#include "app/settings.h"
#include "app/theme.h"
#include "app/window-private.h"
#include "widgets/widgets.h"

struct _LwApplication {
  GtkApplication parent_instance;
  gboolean recovery_offered;
};

G_DEFINE_FINAL_TYPE (LwApplication, lw_application, GTK_TYPE_APPLICATION)

const LwAccel lw_accels[] = {
  { "app.new-window", { "<Control>n" } },
  { "app.quit", { "<Control>q" } },
  { "app.help", { "F1" } },
  { "app.preferences", { "<Control>comma" } },
  { "win.open", { "<Control>o" } },
  { "win.save", { "<Control>s" } },
  { "win.save-as", { "<Control><Shift>s" } },
  { "win.print", { "<Control>p" } },
  { "win.close", { "<Control>w" } },
  { "win.undo", { "<Control>z" } },
  { "win.redo", { "<Control><Shift>z", "<Control>y" } },
  { "win.find", { "<Control>f" } },
  { "win.choose-target", { "<Control>t" } },
  { "win.turn-over", { "<Control>b" } },
  { "win.zoom-in", { "<Control>plus", "<Control>equal" } },
  { "win.zoom-out", { "<Control>minus" } },
  { "win.fit", { "<Control>0" } },
  { "win.page::profile", { "<Alt>1" } },
  { "win.page::doubt", { "<Alt>2" } },
  { "win.page::runs", { "<Alt>3" } },
  { "win.page::history", { "<Alt>4" } },
  { "win.page::parts", { "<Alt>5" } },
  { "win.page::stages", { "<Alt>6" } },
  { "win.page::thermocouples", { "<Alt>7" } },
  { "win.page::shields", { "<Alt>8" } },
  { "win.page::outline", { "<Alt>9" } },
  { "win.page::stack-up", { "<Alt>0" } },
  { "win.next-panel", { "F6" } },
  { "win.previous-panel", { "<Shift>F6" } },
  { "win.new-board", { "<Control><Shift>n" } },
  { "win.find-on-board", { "<Control><Shift>f" } },
  { "win.run-again", { "F5" } },
  { "win.show", { "F11" } },
  { "win.show-shortcuts", { "<Control>question" } },
  { NULL }
};

static LwWindow *
new_window (LwApplication *self)
{
  LwWindow *window = lw_window_new (GTK_APPLICATION (self));

  gtk_window_present (GTK_WINDOW (window));
  return window;
}

static LwWindow *
window_at_hand (LwApplication *self)
{
  GtkWindow *active = gtk_application_get_active_window (GTK_APPLICATION (self));

  return LW_IS_WINDOW (active) ? LW_WINDOW (active) : new_window (self);
}

/* One copy is offered at each start; the next start offers the next. */
static void
offer_recovery (LwApplication *self, LwWindow *window)
{
  g_autoptr (GPtrArray) leftovers = NULL;

  if (self->recovery_offered)
    return;
  self->recovery_offered = TRUE;
  leftovers = lw_recovery_leftovers ();
  if (leftovers->len > 0)
    lw_window_offer_recovery (window, g_ptr_array_steal_index (leftovers, 0));
}

/* ---- actions ---- */

static void
new_window_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  new_window (user);
}

static void
preferences_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  gtk_window_present (GTK_WINDOW (lw_preferences_new (gtk_application_get_active_window (user))));
}

/* Of what has the keyboard; in the manual itself there is nothing to explain. */
static void
help_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  GtkWindow *active = gtk_application_get_active_window (user);
  g_autofree char *topic = LW_IS_MANUAL_WINDOW (active) ? NULL : lw_help_topic (active);

  if (topic != NULL)
    lw_manual_window_open (user, topic);
}

static void
manual_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  lw_manual_window_open (user, g_variant_get_string (parameter, NULL));
}

static void
about_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  static const char *authors[] = { "The Leeward authors", NULL };

  gtk_show_about_dialog (gtk_application_get_active_window (user), "program-name", _("Leeward"), "version",
                         LEEWARD_VERSION, "logo-icon-name", LW_APP_ID, "license-type", GTK_LICENSE_GPL_3_0,
                         "authors", authors, "comments",
                         _("Plans hot-gas rework of soldered parts, and says which neighbours stand in the heat."),
                         "copyright", _("© The Leeward authors"), "translator-credits", _("translator-credits"),
                         NULL);
}

/* Every window is asked; one that stays keeps the program. */
static void
quit_cb (GSimpleAction *action, GVariant *parameter, gpointer user)
{
  g_autoptr (GList) windows = g_list_copy (gtk_application_get_windows (user));

  lw_reopen_leave (user);
  for (GList *l = windows; l != NULL; l = l->next)
    if (LW_IS_WINDOW (l->data))
      gtk_window_close (l->data);
}

/* The manual does not stay behind when nothing is left that it could tell of. */
static void
lw_application_window_removed (GtkApplication *application, GtkWindow *window)
{
  GtkWindow *manual = NULL;

  GTK_APPLICATION_CLASS (lw_application_parent_class)->window_removed (application, window);
  for (GList *l = gtk_application_get_windows (application); l != NULL; l = l->next) {
    if (LW_IS_WINDOW (l->data))
      return;
    if (LW_IS_MANUAL_WINDOW (l->data))
      manual = l->data;
  }
  if (manual != NULL)
    gtk_window_destroy (manual);
}

static const GActionEntry entries[] = {
  { "new-window", new_window_cb }, { "preferences", preferences_cb }, { "help", help_cb },
  { "manual", manual_cb, "s" },    { "about", about_cb },           { "quit", quit_cb },
};

/* ---- starting ---- */

static void
lw_application_startup (GApplication *application)
{
  G_APPLICATION_CLASS (lw_application_parent_class)->startup (application);
  lw_widgets_init ();
  gtk_icon_theme_add_resource_path (gtk_icon_theme_get_for_display (gdk_display_get_default ()),
                                    "/org/leeward/Leeward/icons");
  gtk_window_set_default_icon_name (LW_APP_ID);
  lw_theme_follow ();
  lw_habits_follow ();
  g_action_map_add_action_entries (G_ACTION_MAP (application), entries, G_N_ELEMENTS (entries), application);
  for (const LwAccel *accel = lw_accels; accel->action != NULL; accel++)
    gtk_application_set_accels_for_action (GTK_APPLICATION (application), accel->action,
                                           (const char *const[]){ accel->keys[0], accel->keys[1], NULL });
}

static void
lw_application_activate (GApplication *application)
{
  LwApplication *self = LW_APPLICATION (application);
  gboolean first = gtk_application_get_windows (GTK_APPLICATION (self)) == NULL;
  LwWindow *window = window_at_hand (self);

  gtk_window_present (GTK_WINDOW (window));
  if (first)
    lw_reopen (window);
  offer_recovery (self, window);
}

static void
lw_application_open (GApplication *application, GFile **files, int n, const char *hint)
{
  LwApplication *self = LW_APPLICATION (application);
  LwWindow *first = window_at_hand (self);

  lw_window_open_many (first, files, (guint) n);
  offer_recovery (self, first);
}

static int
lw_application_command_line (GApplication *application, GApplicationCommandLine *line)
{
  LwApplication *self = LW_APPLICATION (application);
  g_auto (GStrv) arguments = g_application_command_line_get_arguments (line, NULL);
  g_autoptr (GPtrArray) files = g_ptr_array_new_with_free_func (g_object_unref);
  gboolean demo = g_variant_dict_contains (g_application_command_line_get_options_dict (line), "demo");

  for (guint i = 1; arguments[0] != NULL && arguments[i] != NULL; i++)
    g_ptr_array_add (files, g_application_command_line_create_file_for_arg (line, arguments[i]));
  if (demo) {
    LwWindow *window = window_at_hand (self);

    lw_window_open_demo (window);
    offer_recovery (self, window);
  }
  if (files->len > 0)
    lw_application_open (application, (GFile **) files->pdata, files->len, "");
  else if (!demo)
    lw_application_activate (application);
  return 0;
}

static int
lw_application_local_options (GApplication *application, GVariantDict *options)
{
  if (!g_variant_dict_contains (options, "version"))
    return -1;
  g_print ("leeward %s\n", LEEWARD_VERSION);
  return 0;
}

static void
lw_application_class_init (LwApplicationClass *class)
{
  GApplicationClass *application_class = G_APPLICATION_CLASS (class);

  application_class->startup = lw_application_startup;
  application_class->activate = lw_application_activate;
  application_class->open = lw_application_open;
  application_class->command_line = lw_application_command_line;
  application_class->handle_local_options = lw_application_local_options;
  GTK_APPLICATION_CLASS (class)->window_removed = lw_application_window_removed;
}

static const GOptionEntry options[] = {
  { "demo", 0, 0, G_OPTION_ARG_NONE, NULL, N_ ("Open the demo job"), NULL },
  { "version", 0, 0, G_OPTION_ARG_NONE, NULL, N_ ("Show the version and exit"), NULL },
  { NULL }
};

static void
lw_application_init (LwApplication *self)
{
  g_application_add_main_option_entries (G_APPLICATION (self), options);
  g_application_set_option_context_parameter_string (G_APPLICATION (self), _("[FILE…]"));
  g_application_set_option_context_summary (G_APPLICATION (self),
                                            _("Plans hot-gas rework of soldered parts on printed circuit boards."));
}

LwApplication *
lw_application_new (void)
{
  return g_object_new (LW_TYPE_APPLICATION, "application-id", LW_APP_ID, "resource-base-path",
                       "/org/leeward/Leeward", "flags",
                       G_APPLICATION_HANDLES_OPEN | G_APPLICATION_HANDLES_COMMAND_LINE, NULL);
}
