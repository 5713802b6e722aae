/* A person's hands on the real window: keys, typing and the pointer go through the X server. */
#ifndef HANDS_H
#define HANDS_H

#include <math.h>
#include <signal.h>

#include "ui-fixture.h"
#include "widgets/board-view-private.h"

static guint actions; /* keys pressed, fields typed and drags so far */

static inline void
run (const char *first, ...)
{
  g_autoptr (GPtrArray) argv = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;
  va_list args;
  int status = 0;

  g_ptr_array_add (argv, (gpointer) "xdotool");
  va_start (args, first);
  for (const char *arg = first; arg != NULL; arg = va_arg (args, const char *))
    g_ptr_array_add (argv, (gpointer) arg);
  va_end (args);
  g_ptr_array_add (argv, NULL);
  g_spawn_sync (NULL, (char **) argv->pdata, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_true (g_spawn_check_wait_status (status, NULL));
}

/* What the X server was told has come to the program and was taken in, however busy the machine is, and MS went by. */
static inline void
settle (guint ms)
{
  gdk_display_sync (gdk_display_get_default ());
  ui_spin (ms);
  for (guint i = 0; i < 1000 && g_main_context_pending (NULL); i++)
    g_main_context_iteration (NULL, FALSE);
}

static inline void
key (const char *keys)
{
  run ("key", "--clearmodifiers", keys, NULL);
  settle (30);
  actions++;
}

static inline void
type (const char *text)
{
  run ("type", "--delay", "4", text, NULL);
  settle (30);
  actions++;
}

/* Fields one after another, parted by Tab, the last by Enter. NULL leaves a field as it is. */
static inline void
fill (const char *const *fields, guint n)
{
  for (guint i = 0; i < n; i++) {
    if (fields[i] != NULL)
      type (fields[i]);
    key (i + 1 < n ? "Tab" : "Return");
  }
}

#define FILL(...) fill ((const char *const[]){ __VA_ARGS__ }, G_N_ELEMENTS (((const char *const[]){ __VA_ARGS__ })))

/* Of the window that has the focus, on the screen. */
static inline void
window_corner (int *x, int *y)
{
  g_autofree char *out = NULL;

  g_assert_true (g_spawn_command_line_sync ("xdotool getactivewindow getwindowgeometry --shell", &out, NULL, NULL, NULL));
  g_assert_cmpint (sscanf (strstr (out, "X=") + 2, "%d", x), ==, 1);
  g_assert_cmpint (sscanf (strstr (out, "Y=") + 2, "%d", y), ==, 1);
}

static inline void
to_screen (LwWindow *window, double x_mm, double y_mm, int *sx, int *sy)
{
  double px, py, wx, wy, ox, oy;
  GtkWidget *view = GTK_WIDGET (window->board_view);
  int x, y;

  lw_viewport_to_picture (&window->board_view->view, x_mm, y_mm, &px, &py);
  g_assert_true (gtk_widget_translate_coordinates (view, GTK_WIDGET (window), px, py, &wx, &wy));
  gtk_native_get_surface_transform (GTK_NATIVE (window), &ox, &oy);
  window_corner (&x, &y);
  *sx = x + (int) round (wx + ox);
  *sy = y + (int) round (wy + oy);
}

static inline void
move_to (LwWindow *window, double x_mm, double y_mm)
{
  int x, y;
  g_autofree char *sx = NULL, *sy = NULL;

  to_screen (window, x_mm, y_mm, &x, &y);
  sx = g_strdup_printf ("%d", x);
  sy = g_strdup_printf ("%d", y);
  run ("mousemove", sx, sy, NULL);
  settle (40);
}

static inline void
drag (LwWindow *window, double x0, double y0, double x1, double y1)
{
  move_to (window, x0, y0);
  run ("mousedown", "1", NULL);
  settle (40);
  move_to (window, 0.5 * (x0 + x1), 0.5 * (y0 + y1));
  move_to (window, x1, y1);
  run ("mouseup", "1", NULL);
  settle (30);
  actions++;
}

/* Onto the middle of a widget that can be seen. */
static inline void
point_at (LwWindow *window, GtkWidget *widget)
{
  GtkRoot *root = gtk_widget_get_root (widget);
  double wx, wy, ox, oy;
  g_autofree char *sx = NULL, *sy = NULL;
  int x, y;

  g_assert_true (gtk_widget_get_mapped (widget));
  g_assert_true (gtk_widget_translate_coordinates (widget, GTK_WIDGET (root), 0.5 * gtk_widget_get_width (widget),
                                                   0.5 * gtk_widget_get_height (widget), &wx, &wy));
  gtk_native_get_surface_transform (GTK_NATIVE (root), &ox, &oy);
  window_corner (&x, &y);
  sx = g_strdup_printf ("%d", x + (int) round (wx + ox));
  sy = g_strdup_printf ("%d", y + (int) round (wy + oy));
  run ("mousemove", sx, sy, NULL);
  settle (60);
}

static inline void
press (const char *button, const char *times)
{
  run ("click", "--repeat", times, "--delay", "40", button, NULL);
  settle (80);
  actions++;
}

/* ---- windows that come up ---- */

/* In sight; types by name, since those of dialogs are known once there was one. */
static inline GtkWidget *
top_named (const char *type)
{
  GListModel *tops = gtk_window_get_toplevels ();

  for (guint i = 0; i < g_list_model_get_n_items (tops); i++) {
    g_autoptr (GtkWidget) top = g_list_model_get_item (tops, i);

    if (g_str_equal (G_OBJECT_TYPE_NAME (top), type) && gtk_widget_get_mapped (top))
      return top;
  }
  return NULL;
}

static inline gboolean
is_up (gpointer type)
{
  return top_named (type) != NULL;
}

static inline gboolean
is_not_up (gpointer type)
{
  return !is_up (type);
}

/* The window of TYPE that the keys before have asked for. */
static inline GtkWidget *
wait_for (const char *type)
{
  if (!ui_wait (is_up, (gpointer) type, 10000))
    g_error ("no %s came up", type);
  ui_spin (400);
  return top_named (type);
}

/* ---- beginning and end ---- */

/* A window manager: keyboard focus and the place of windows are its work. */
static inline GPid
hands_start (void)
{
  g_autofree char *manager = g_find_program_in_path ("openbox");
  g_autoptr (GError) error = NULL;
  GPid wm = 0;

  g_assert_nonnull (manager);
  g_spawn_async (NULL, (char *[]){ manager, NULL }, NULL,
                 G_SPAWN_DO_NOT_REAP_CHILD | G_SPAWN_STDOUT_TO_DEV_NULL | G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &wm, &error);
  g_assert_no_error (error);
  ui_spin (600);
  return wm;
}

/* The same for keys alone: nothing slides, and the pointer is out of the way. */
static inline GPid
hands_start_still (void)
{
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
  run ("mousemove", "1279", "799", NULL);
  return hands_start ();
}

/* The tests that were added, and the end of the window manager. What main() returns. */
static inline int
hands_run (GPid wm)
{
  int result = g_test_run ();

  kill (wm, SIGTERM);
  return result;
}

#endif
