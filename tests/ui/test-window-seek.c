/* The search in the window, by its own controls: begun, cancelled midway, begun again, its outcome read, taken over and undone. The
 * search is the program's own, on the small board; only how good its plan is, is not asked here (tests/plan). */
#include <string.h>

#include "app/seek-window.h"
#include "ui-cut.h"
#include "ui-find.h"
#include "ui-fixture.h"

#define LONG_MS 90000

static GtkWidget *dialog;

static LwWindow *
open_seek (void)
{
  LwWindow *window = ui_window (ui_planned_job ());

  gtk_widget_activate_action (GTK_WIDGET (window), "win.seek", NULL);
  ui_spin (50);
  dialog = ui_top_of_type (LW_TYPE_SEEK_WINDOW);
  g_assert_nonnull (dialog);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (ui_child_of_type (dialog, GTK_TYPE_DROP_DOWN, 0)), 0); /* a brief one */
  return window;
}

static void
press (const char *label)
{
  GtkWidget *found = ui_button (dialog, label);

  g_assert_nonnull (found);
  g_assert_true (gtk_widget_is_sensitive (found));
  g_signal_emit_by_name (found, "clicked");
}

static gboolean
is_idle (gpointer data)
{
  return ui_button (dialog, "_Cancel") == NULL;
}

static double
done (void)
{
  return gtk_progress_bar_get_fraction (GTK_PROGRESS_BAR (ui_child_of_type (dialog, GTK_TYPE_PROGRESS_BAR, 0)));
}

static gboolean
is_midway (gpointer data)
{
  return done () > 0.02;
}

static gboolean
says (GtkWidget *root, const char *words)
{
  if (GTK_IS_LABEL (root) && strstr (gtk_label_get_text (GTK_LABEL (root)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (root); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

/* Cancelled midway nothing is found and nothing is changed; it can be begun again. */
static void
test_cancel (void)
{
  LwWindow *window = open_seek ();
  guint64 before = lw_document_revision (lw_desk_document (lw_window_desk (window)));

  g_assert_false (gtk_widget_is_sensitive (ui_button (dialog, "_Use This Plan")));
  press ("_Begin");
  g_assert_true (ui_wait (is_midway, NULL, LONG_MS));
  g_assert_cmpfloat (done (), <, 1);
  press ("_Cancel");
  g_assert_true (ui_wait (is_idle, NULL, LONG_MS));
  g_assert_nonnull (ui_button (dialog, "_Begin"));
  g_assert_false (gtk_widget_is_sensitive (ui_button (dialog, "_Use This Plan")));
  g_assert_false (says (dialog, "At the tightest limit"));
  g_assert_cmpuint (lw_document_revision (lw_desk_document (lw_window_desk (window))), ==, before);
  press ("_Begin"); /* and closed while it runs */
  gtk_window_close (GTK_WINDOW (dialog));
  ui_spin (50);
  g_assert_null (ui_top_of_type (LW_TYPE_SEEK_WINDOW));
  ui_close (window);
}

static void
assert_large_text_fits (void)
{
  GtkSettings *settings = gtk_settings_get_default ();
  int usual = 0;

  g_object_get (settings, "gtk-xft-dpi", &usual, NULL);
  g_object_set (settings, "gtk-xft-dpi", 2 * 96 * 1024, NULL);
  ui_cut_begin ();
  ui_cut_fits (dialog, "outcome");
  ui_cut_words (dialog, "outcome");
  ui_cut_end ();
  g_object_set (settings, "gtk-xft-dpi", usual, NULL);
}

/* The plan found takes the place of the one that was there, in one step of undo. */
static void
test_take_over (void)
{
  LwWindow *window = open_seek ();
  LwDesk *desk = lw_window_desk (window);
  LwDocument *document = lw_desk_document (desk);
  g_autoptr (LwJob) before = lw_job_ref (lw_desk_job (desk));

  press ("_Begin");
  g_assert_true (ui_wait (is_idle, NULL, LONG_MS));
  g_assert_nonnull (ui_button (dialog, "_Begin Again"));
  g_assert_true (says (dialog, "At the tightest limit"));
  g_assert_true (says (dialog, "What changes"));
  g_assert_true (says (dialog, "Plans tried"));
  assert_large_text_fits ();
  press ("_Use This Plan");
  ui_spin (50);
  g_assert_null (ui_top_of_type (LW_TYPE_SEEK_WINDOW));
  g_assert_true (lw_desk_job (desk) != before);
  g_assert_cmpuint (lw_desk_job (desk)->plans->len, ==, before->plans->len);
  g_assert_cmpstr (lw_document_undo_label (document), ==, "Seek a Better Plan");
  g_assert_true (lw_document_undo (document));
  g_assert_true (lw_desk_job (desk) == before);
  g_assert_false (lw_document_undo (document));
  ui_close (window);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/ui/seek/cancel", test_cancel);
  g_test_add_func ("/ui/seek/take-over", test_take_over);
  return g_test_run ();
}
