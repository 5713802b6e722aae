/* The whole job in the real program, with a real keyboard: opened, found, changed, saved, closed. */
#include <errno.h>
#include <signal.h>
#include <string.h>

#include <glib/gstdio.h>

#include "board/job-file.h"
#include "ui-fixture.h"

static const char *program; /* the executable under test */

static gboolean
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
  return g_spawn_check_wait_status (status, NULL);
}

static GPid
start (const char *path, const char *argument)
{
  const char *argv[] = { path, argument, NULL };
  g_autoptr (GError) error = NULL;
  GPid pid = 0;

  g_spawn_async (NULL, (char **) argv, NULL, G_SPAWN_SEARCH_PATH | G_SPAWN_DO_NOT_REAP_CHILD, NULL, NULL, &pid,
                 &error);
  g_assert_no_error (error);
  return pid;
}

typedef struct {
  GFile *file;
  const char *wanted;
} Content;

static gboolean
has_content (gpointer data)
{
  Content *content = data;
  g_autofree char *text = ui_read (content->file);

  return strstr (text, content->wanted) != NULL;
}

static void
exited_cb (GPid pid, int status, gpointer code)
{
  *(int *) code = status;
}

static gboolean
has_exited (gpointer code)
{
  return *(int *) code >= 0;
}

static gboolean
window_is_there (gpointer name)
{
  return run ("search", "--onlyvisible", "--name", name, NULL);
}

/* Keys reach whatever has the focus; a pause lets the window take each. */
/* The program under test cannot be asked whether it has done what a key asked for. */
static void
let_work (guint ms)
{
  ui_spin ((guint) ui_patience () * ms);
}

static void
key (const char *keys)
{
  g_assert_true (run ("key", "--clearmodifiers", keys, NULL));
  let_work (250);
}

static void
type (const char *text)
{
  g_assert_true (run ("type", "--delay", "40", text, NULL));
  let_work (250);
}

static void
focus_window (void)
{
  g_assert_true (run ("search", "--onlyvisible", "--name", "small.leeward", "windowfocus", NULL));
  let_work (400);
}

/* Finds C1 by typing, selects it, flips it to the other side, saves and closes. */
static void
test_whole_job (void)
{
  g_autoptr (GFile) file = ui_job_file ("small.leeward");
  g_autofree char *path = g_file_get_path (file), *manager = g_find_program_in_path ("openbox");
  GPid wm = manager == NULL ? 0 : start (manager, NULL);
  Content thermocouple = { file, "\"thermocouples\": [\n        {\n" };
  int code = -1;
  GPid pid;

  let_work (500);
  g_assert_false (has_content (&thermocouple));
  pid = start (program, path);
  g_child_watch_add (pid, exited_cb, &code);
  g_assert_true (ui_wait (window_is_there, (gpointer) "small.leeward", 20000));
  focus_window ();
  key ("ctrl+f");
  type ("C1");
  let_work (400);
  key ("alt+7"); /* thermocouples */
  key ("ctrl+t");
  type ("C2");
  let_work (300);
  key ("Return");
  key ("ctrl+s");
  {
    Content second_plan = { file, "\"ref\": \"C2\",\n      \"operation\"" };

    g_assert_true (ui_wait (has_content, &second_plan, 5000));
  }
  key ("ctrl+z");
  key ("ctrl+s");
  key ("ctrl+w");
  g_assert_true (ui_wait (has_exited, &code, 10000));
  g_assert_cmpint (code, ==, 0);
  {
    Content second_plan = { file, "\"ref\": \"C2\",\n      \"operation\"" };

    g_assert_false (has_content (&second_plan)); /* undone, then saved */
  }
  if (wm != 0)
    kill (wm, SIGTERM);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  program = argv[argc - 1];
  g_test_add_func ("/whole-job", test_whole_job);
  return g_test_run ();
}
