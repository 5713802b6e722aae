/* The screen becomes smaller and larger again while the program computes, as when a laptop is taken off its dock: through the X
 * server (RandR) and a window manager. The window follows, nothing in it is cut, and the answer is the one it was. */
#include <X11/extensions/Xrandr.h>
#include <signal.h>

#include "ui-cut.h"
#include "ui-fixture.h"

#define LONG_MS 90000

typedef struct {
  int width, height;
} Size;

static const Size large = { 1280, 800 }, small = { 1024, 700 };

/* ---- the screen ---- */

/* A mode of SIZE on OUTPUT; the server's own when it has one. */
static RRMode
mode_of (Display *display, Window root, XRRScreenResources *all, RROutput output, Size size)
{
  g_autofree char *name = g_strdup_printf ("leeward-%dx%d", size.width, size.height);
  XRRModeInfo made = { .width = size.width, .height = size.height, .name = name, .nameLength = strlen (name),
                       .dotClock = 1000000, .hTotal = size.width, .vTotal = size.height };
  RRMode mode;

  for (int i = 0; i < all->nmode; i++)
    if ((int) all->modes[i].width == size.width && (int) all->modes[i].height == size.height)
      return all->modes[i].id;
  mode = XRRCreateMode (display, root, &made);
  XRRAddOutputMode (display, output, mode);
  return mode;
}

/* The display's only output is off while the screen changes, since no part of it may lie outside. */
static void
set_screen (Size size)
{
  Display *display = XOpenDisplay (NULL);
  Window root = DefaultRootWindow (display);
  XRRScreenResources *all = XRRGetScreenResources (display, root);
  RROutput output = all->outputs[0];
  RRMode mode = mode_of (display, root, all, output, size);

  g_assert_cmpint (XRRSetCrtcConfig (display, all, all->crtcs[0], CurrentTime, 0, 0, None, RR_Rotate_0, NULL, 0), ==, 0);
  XRRSetScreenSize (display, root, size.width, size.height, size.width / 4, size.height / 4);
  XSync (display, False);
  XRRFreeScreenResources (all);
  all = XRRGetScreenResources (display, root); /* as of now */
  g_assert_cmpint (XRRSetCrtcConfig (display, all, all->crtcs[0], CurrentTime, 0, 0, mode, RR_Rotate_0, &output, 1), ==, 0);
  XRRFreeScreenResources (all);
  XCloseDisplay (display);
}

/* What the program has been told. */
static gboolean
has_screen (gpointer size)
{
  const Size *wanted = size;
  g_autoptr (GdkMonitor) monitor = g_list_model_get_item (gdk_display_get_monitors (gdk_display_get_default ()), 0);
  GdkRectangle is = { 0 };

  if (monitor != NULL)
    gdk_monitor_get_geometry (monitor, &is);
  return is.width == wanted->width && is.height == wanted->height;
}

/* ---- the window ---- */

typedef struct {
  LwWindow *window;
  const Size *size;
} Fit;

static gboolean
fits (gpointer data)
{
  const Fit *fit = data;

  return gtk_widget_get_width (GTK_WIDGET (fit->window)) <= fit->size->width
         && gtk_widget_get_height (GTK_WIDGET (fit->window)) <= fit->size->height;
}

static void
begin_run (LwWindow *window)
{
  gtk_widget_activate_action (GTK_WIDGET (window), "win.run-again", NULL);
  g_assert_true (ui_wait (ui_is_busy, lw_window_desk (window), LONG_MS));
}

/* Of all parts, the hottest the body gets, one after another. */
static GArray *
peaks (LwDesk *desk)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (double));
  const LwPrediction *p = lw_desk_prediction (desk);

  for (guint i = 0; i < p->parts->len; i++)
    g_array_append_val (out, ((LwPartTrace *) g_ptr_array_index (p->parts, i))->body_peak_c);
  return out;
}

static void
assert_same (const GArray *a, const GArray *b)
{
  g_assert_cmpuint (a->len, ==, b->len);
  g_assert_cmpuint (a->len, >, 0);
  for (guint i = 0; i < a->len; i++)
    g_assert_cmpfloat (g_array_index (a, double, i), ==, g_array_index (b, double, i));
}

/* The program on the demo, which computes for some seconds, as large as the screen. */
static LwWindow *
open_demo (void)
{
  LwWindow *window = lw_window_new (ui_application ());

  gtk_window_present (GTK_WINDOW (window));
  gtk_window_maximize (GTK_WINDOW (window));
  lw_window_open_demo (window);
  g_assert_true (ui_wait (ui_is_answered, lw_window_desk (window), LONG_MS));
  return window;
}

static void
change_in_a_run (LwWindow *window, const Size *size)
{
  g_autofree char *name = g_strdup_printf ("%d x %d", size->width, size->height);

  begin_run (window);
  set_screen (*size);
  g_assert_true (ui_wait (has_screen, (gpointer) size, 20000));
  g_assert_true (ui_wait (fits, &(Fit){ window, size }, 20000));
  g_assert_true (lw_desk_busy (lw_window_desk (window)));
  ui_cut_words (GTK_WIDGET (window), name);
}

static void
test_screen (void)
{
  const char *manager[] = { "openbox", NULL };
  g_autoptr (GArray) before = NULL, after = NULL;
  LwWindow *window;
  GPid wm = 0;

  g_assert_true (g_spawn_async (NULL, (char **) manager, NULL,
                                G_SPAWN_SEARCH_PATH | G_SPAWN_DO_NOT_REAP_CHILD | G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, &wm, NULL));
  ui_spin (500);
  window = open_demo ();
  before = peaks (lw_window_desk (window));
  ui_cut_begin ();
  for (guint i = 0; i < 4; i++)
    change_in_a_run (window, i % 2 == 0 ? &small : &large);
  ui_cut_end ();
  g_assert_true (ui_wait (ui_is_answered, lw_window_desk (window), LONG_MS));
  after = peaks (lw_window_desk (window));
  assert_same (before, after);
  ui_close (window);
  kill (wm, SIGTERM);
  g_spawn_close_pid (wm);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/screen/changes", test_screen);
  return g_test_run ();
}
