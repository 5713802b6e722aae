/* The first page's recent files: newest first, one that is pressed opens, one that has vanished is dropped. */
#include <glib/gstdio.h>
#include <string.h>

#include "ui-find.h"
#include "ui-fixture.h"
#include "widgets/welcome.h"

static GtkWidget *
page_of (LwWindow *window)
{
  return ui_child_of_type (GTK_WIDGET (window), LW_TYPE_WELCOME, 0);
}

/* The N-th button of the list; NULL when it is not there or not shown. */
static GtkWidget *
recent (LwWindow *window, guint n)
{
  GtkWidget *first = ui_of_class (page_of (window), "recent-file");

  while (n-- > 0 && first != NULL)
    first = gtk_widget_get_next_sibling (first);
  return first != NULL && gtk_widget_get_mapped (first) ? first : NULL;
}

typedef struct {
  LwWindow *window;
  const char *first; /* label of the first button; NULL = the list is gone */
} Wanted;

static gboolean
is_first (gpointer data)
{
  Wanted *wanted = data;
  GtkWidget *button = recent (wanted->window, 0);

  if (button == NULL || wanted->first == NULL)
    return button == NULL && wanted->first == NULL;
  return g_strcmp0 (gtk_button_get_label (GTK_BUTTON (button)), wanted->first) == 0;
}

static void
assert_first (LwWindow *window, const char *label)
{
  Wanted wanted = { window, label };

  g_assert_true (ui_wait (is_first, &wanted, 5000));
}

static gboolean
is_read (gpointer window)
{
  return lw_desk_document (lw_window_desk (window)) != NULL && !lw_window_reading (window);
}

/* Opened by hand, so that it is remembered; two in one second would be equally new. */
static void
open_and_close (GFile *file)
{
  LwWindow *window = ui_window (NULL);

  lw_window_open (window, file, NULL);
  g_assert_true (ui_wait (is_read, window, 5000));
  ui_close (window);
  ui_spin (1100);
}

static void
test_recent (void)
{
  g_autoptr (GFile) older = ui_job_file ("older.leeward"), newer = ui_job_file ("newer.leeward");
  g_autofree char *path = g_file_get_path (newer), *tip = NULL;
  LwWindow *window = ui_window (NULL);

  assert_first (window, NULL); /* nothing was opened yet */
  ui_close (window);
  open_and_close (older);
  open_and_close (newer);

  window = ui_window (NULL);
  assert_first (window, "newer.leeward");
  g_assert_cmpstr (gtk_button_get_label (GTK_BUTTON (recent (window, 1))), ==, "older.leeward");
  tip = g_strdup (gtk_widget_get_tooltip_text (recent (window, 0)));
  g_assert_nonnull (strstr (tip, path)); /* which of two of a name it is */
  g_signal_emit_by_name (recent (window, 1), "clicked");
  g_assert_true (ui_wait (is_read, window, 5000));
  g_assert_cmpstr (gtk_label_get_text (window->title), ==, "older.leeward");
  ui_close (window);

  g_assert_cmpint (g_unlink (path), ==, 0);
  window = ui_window (NULL);
  assert_first (window, "older.leeward");
  g_assert_null (recent (window, 1));
  ui_close (window);
}

static gboolean
is_told (gpointer window)
{
  return ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG) != NULL && !lw_window_reading (window);
}

/* The file goes while its button is there to be pressed: that is said with its name and the reason, nothing opens, and the button goes. */
static void
test_gone_meanwhile (void)
{
  g_autoptr (GFile) stays = ui_job_file ("stays.leeward"), goes = ui_job_file ("goes.leeward");
  g_autofree char *path = g_file_get_path (goes), *title = NULL, *why = NULL;
  LwWindow *window;
  GtkWidget *dialog;

  open_and_close (stays);
  open_and_close (goes);
  window = ui_window (NULL);
  assert_first (window, "goes.leeward");
  g_assert_cmpint (g_unlink (path), ==, 0);
  g_signal_emit_by_name (recent (window, 0), "clicked");
  g_assert_true (ui_wait (is_told, window, 5000));
  dialog = ui_top_of_type (GTK_TYPE_MESSAGE_DIALOG);
  g_object_get (dialog, "text", &title, "secondary-text", &why, NULL);
  g_assert_nonnull (strstr (title, "goes.leeward"));
  g_assert_nonnull (strstr (why, "No such file"));
  gtk_dialog_response (GTK_DIALOG (dialog), GTK_RESPONSE_CLOSE);
  g_assert_null (lw_desk_document (lw_window_desk (window)));
  assert_first (window, "stays.leeward");
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/first-page/recent", test_recent);
  g_test_add_func ("/first-page/gone-meanwhile", test_gone_meanwhile);
  return g_test_run ();
}
