/* From the command to a drawn window with the demo in it: wall and processor time, memory. Prints a table, each row a
 * start of its own. Without arguments it starts itself so many times; with --child it is the program, all but main(). */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "app/application.h"
#include "app/window-private.h"
#include "widgets/board-view-private.h"

#define STARTS 5
#define LIMIT_S 0.7
#define LIMIT_MB 120.0

static double
now_s (clockid_t clock)
{
  struct timespec t;

  clock_gettime (clock, &t);
  return (double) t.tv_sec + 1e-9 * (double) t.tv_nsec;
}

/* "VmRSS" or "VmHWM" of this process, MB. */
static double
memory_mb (const char *key)
{
  g_autofree char *status = NULL;
  const char *at;

  if (!g_file_get_contents ("/proc/self/status", &status, NULL, NULL))
    return NAN;
  at = strstr (status, key);
  return at == NULL ? NAN : g_ascii_strtod (at + strlen (key) + 1, NULL) / 1024.0;
}

static void
report (const char *what)
{
  double started = g_ascii_strtod (g_getenv ("LW_STARTED_S"), NULL);

  g_print ("%s %.3f %.3f %.1f %.1f\n", what, now_s (CLOCK_MONOTONIC) - started, now_s (CLOCK_PROCESS_CPUTIME_ID),
           memory_mb ("VmRSS"), memory_mb ("VmHWM"));
}

static LwWindow *
window_now (void)
{
  GtkWindow *window = gtk_application_get_active_window (GTK_APPLICATION (g_application_get_default ()));

  return LW_IS_WINDOW (window) ? LW_WINDOW (window) : NULL;
}

/* The board is painted, and the window can be worked with; later on, the first answer is painted. */
static gboolean
painted_cb (GSignalInvocationHint *hint, guint n, const GValue *values, gpointer user)
{
  static gboolean drawn;
  LwWindow *window = window_now ();

  if (window == NULL || lw_desk_job (lw_window_desk (window)) == NULL || window->board_view->sheets.flat == NULL)
    return TRUE;
  if (!drawn)
    report ("drawn");
  drawn = TRUE;
  if (lw_desk_prediction (lw_window_desk (window)) == NULL)
    return TRUE;
  report ("answer");
  _exit (0);
}

static int
be_the_program (char *name)
{
  char *argv[] = { name, "--demo", NULL };
  g_autoptr (LwApplication) application = lw_application_new ();
  gpointer clock = g_type_class_ref (GDK_TYPE_FRAME_CLOCK);

  g_signal_add_emission_hook (g_signal_lookup ("after-paint", GDK_TYPE_FRAME_CLOCK), 0, painted_cb, NULL, NULL);
  g_type_class_unref (clock);
  return g_application_run (G_APPLICATION (application), 2, argv);
}

static gboolean
print_start (const char *name, guint row)
{
  char *argv[] = { (char *) name, "--child", NULL };
  g_autofree char *out = NULL, *started = g_strdup_printf ("%.6f", now_s (CLOCK_MONOTONIC));
  g_auto (GStrv) lines = NULL;
  double drawn[4], answer[4];

  g_setenv ("LW_STARTED_S", started, TRUE);
  if (!g_spawn_sync (NULL, argv, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &out, NULL, NULL, NULL))
    return FALSE;
  lines = g_strsplit (out, "\n", -1);
  if (g_strv_length (lines) < 2
      || sscanf (lines[0], "drawn %lf %lf %lf %lf", &drawn[0], &drawn[1], &drawn[2], &drawn[3]) != 4
      || sscanf (lines[1], "answer %lf %lf %lf %lf", &answer[0], &answer[1], &answer[2], &answer[3]) != 4)
    return FALSE;
  g_print ("| %u | %.2f | %.1f | %s | %.2f | %.0f | %.0f | %s | %.2f | %.2f | %.0f |\n", row, drawn[0], LIMIT_S,
           drawn[0] <= LIMIT_S ? "kept" : "missed", drawn[1], drawn[2], LIMIT_MB, drawn[2] <= LIMIT_MB ? "kept" : "missed",
           answer[0], answer[1], answer[3]);
  return TRUE;
}

int
main (int argc, char **argv)
{
  if (argc > 1 && strcmp (argv[1], "--child") == 0)
    return be_the_program (argv[0]);
  g_print ("\n| start | drawn after, s | limit | | of it processor, s | memory then, MB | limit | | first answer after, s "
           "| processor, s | most memory, MB |\n|---|---|---|---|---|---|---|---|---|---|---|\n");
  for (guint i = 1; i <= STARTS; i++)
    if (!print_start (argv[0], i)) {
      g_printerr ("the program did not start\n");
      return 1;
    }
  return 0;
}
