/* What a tired hand does while the program computes: each of it in the middle of a run of the program's own solver, again and
 * again, at moments that a seed decides. Nothing of it may harm; at the end the answer is there and the document is what it
 * was. And windows are closed in the middle of everything that computes. */
#include "app/seek-window.h"
#include "app/settings.h"
#include "app/show-window.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "ui-find.h"
#include "ui-fixture.h"

#define LONG_MS 90000

typedef struct {
  LwWindow *window;
  LwDesk *desk;
  GFile *file; /* another job */
} Bench;

static GRand *rand_;

/* Up to MS later. */
static void
moment (gint32 ms)
{
  ui_spin ((guint) g_rand_int_range (rand_, 0, ms));
}

static void
act (Bench *bench, const char *action)
{
  gtk_widget_activate_action (GTK_WIDGET (bench->window->board_view), action, NULL);
}

static LwWindow *
open_window (LwJob *job)
{
  LwWindow *window = lw_window_new (ui_application ());
  g_autoptr (LwDocument) document = lw_document_new (job, NULL);

  gtk_window_present (GTK_WINDOW (window));
  lw_session_take_document (lw_window_session (window), document);
  return window;
}

/* ---- acts: each leaves the document as it was ---- */

static void
edit (Bench *bench, LwJob *job)
{
  g_assert_nonnull (job);
  lw_document_edit (lw_desk_document (bench->desk), job, "Change", NULL);
}

static void
move_and_undo (Bench *bench)
{
  edit (bench, lw_edit_move_part (lw_desk_job (bench->desk), 1, 30, 8, NULL));
  moment (60);
  act (bench, "win.undo");
  act (bench, "win.redo");
  moment (20);
  act (bench, "win.undo");
}

/* The part under the nozzle goes to the other side; then to a place off the board. */
static void
move_target_and_undo (Bench *bench)
{
  edit (bench, lw_edit_flip_part (lw_desk_job (bench->desk), 0, NULL));
  moment (30);
  edit (bench, lw_edit_move_part (lw_desk_job (bench->desk), 0, 36, 26, NULL));
  moment (60);
  act (bench, "win.undo");
  act (bench, "win.undo");
}

/* What is on this side: all but R1, and the plan with U1. */
static void
clear_and_undo (Bench *bench)
{
  gtk_widget_grab_focus (GTK_WIDGET (bench->window->board_view));
  act (bench, "group.select-all");
  act (bench, "group.cut");
  g_assert_cmpuint (lw_desk_job (bench->desk)->parts->len, ==, 1);
  moment (40);
  act (bench, "win.undo");
}

/* In another window, whose own run is under way when it is closed. */
static void
open_another (Bench *bench)
{
  GtkApplication *app = GTK_APPLICATION (ui_application ());
  guint before = g_list_length (gtk_application_get_windows (app));

  lw_window_open (bench->window, bench->file, NULL);
  moment (400);
  for (GList *l = gtk_application_get_windows (app), *next; l != NULL; l = next) {
    next = l->next;
    if (LW_IS_WINDOW (l->data) && l->data != (gpointer) bench->window)
      gtk_window_close (l->data);
  }
  g_assert_cmpuint (g_list_length (gtk_application_get_windows (app)), <=, before);
}

static void
change_units (Bench *bench)
{
  lw_settings_set_text ("length-unit", "inch");
  lw_settings_set_text ("temperature-unit", "fahrenheit");
  moment (60);
  lw_settings_set_text ("length-unit", "mm");
  lw_settings_set_text ("temperature-unit", "celsius");
}

static void
change_theme (Bench *bench)
{
  lw_settings_set_text ("theme", "dark");
  moment (60);
  lw_settings_set_text ("theme", "follow");
}

static void
change_size (Bench *bench)
{
  gtk_window_set_default_size (GTK_WINDOW (bench->window), 640, 480);
  moment (60);
  gtk_window_maximize (GTK_WINDOW (bench->window));
  moment (60);
  gtk_window_unmaximize (GTK_WINDOW (bench->window));
  gtk_window_set_default_size (GTK_WINDOW (bench->window), 1200, 760);
}

/* To 200 % and back. */
static void
change_text (Bench *bench)
{
  GtkSettings *settings = gtk_settings_get_default ();
  int usual;

  g_object_get (settings, "gtk-xft-dpi", &usual, NULL);
  g_object_set (settings, "gtk-xft-dpi", 2 * 96 * 1024, NULL);
  moment (200);
  g_object_set (settings, "gtk-xft-dpi", usual, NULL);
}

static void
look_around (Bench *bench)
{
  act (bench, "win.turn-over");
  moment (30);
  for (guint i = 0; i < 4; i++)
    act (bench, "win.next-panel");
  act (bench, "win.turn-over");
}

static void
run_again (Bench *bench)
{
  act (bench, "win.run-again");
  moment (30);
  act (bench, "win.cancel-run");
  act (bench, "win.run-again");
}

static void
test_acts (void)
{
  static void (*const acts[]) (Bench *) = { move_and_undo, move_target_and_undo, clear_and_undo, open_another, change_units,
                                            change_theme,  change_size,          change_text,    look_around,  run_again };
  Bench bench = { .window = open_window (ui_planned_job ()), .file = ui_job_file ("another.leeward") };
  g_autofree char *before = NULL, *after = NULL;

  bench.desk = lw_window_desk (bench.window);
  before = lw_job_to_data (lw_desk_job (bench.desk), NULL);
  for (guint i = 0; i < 2 * G_N_ELEMENTS (acts); i++) {
    act (&bench, "win.run-again");
    g_assert_true (ui_wait (ui_is_busy, bench.desk, LONG_MS));
    moment (120);
    acts[i % G_N_ELEMENTS (acts)](&bench);
  }
  act (&bench, "win.run-again");
  g_assert_true (ui_wait (ui_is_answered, bench.desk, LONG_MS));
  after = lw_job_to_data (lw_desk_job (bench.desk), NULL);
  g_assert_cmpstr (after, ==, before);
  ui_close_dialogs ();
  ui_close (bench.window);
  g_object_unref (bench.file);
}

/* ---- closed in the middle ---- */

static gboolean
is_gone (gpointer window)
{
  return *(gpointer *) window == NULL;
}

/* Each gives the window of its own that it opened over WINDOW, or NULL. */
typedef GtkWidget *(*Begin) (LwWindow *window);

static GtkWidget *
begin_run (LwWindow *window)
{
  gtk_widget_activate_action (GTK_WIDGET (window), "win.run-again", NULL);
  return NULL;
}

/* After the answer what lies in doubt is computed by itself. */
static GtkWidget *
begin_doubt (LwWindow *window)
{
  begin_run (window);
  g_assert_true (ui_wait (ui_is_answered, lw_window_desk (window), LONG_MS));
  return NULL;
}

static GtkWidget *
begin_seek (LwWindow *window)
{
  GtkWidget *dialog;

  gtk_widget_activate_action (GTK_WIDGET (window), "win.seek", NULL);
  ui_spin (50);
  dialog = ui_top_of_type (LW_TYPE_SEEK_WINDOW);
  g_signal_emit_by_name (ui_button (dialog, "_Begin"), "clicked");
  return dialog;
}

/* Presenting, with a second plan computed beside the first. */
static GtkWidget *
begin_beside (LwWindow *window)
{
  LwDesk *desk = lw_window_desk (window);
  GtkWidget *dialog, *choice = NULL;

  lw_document_edit (lw_desk_document (desk), lw_edit_choose_target (lw_desk_job (desk), "C2", NULL), "Change", NULL);
  begin_doubt (window);
  gtk_widget_activate_action (GTK_WIDGET (window), "win.show", NULL);
  ui_spin (50);
  dialog = ui_top_of_type (LW_TYPE_SHOW_WINDOW);
  for (guint i = 0; choice == NULL; i++) {
    GtkWidget *down = ui_child_of_type (dialog, GTK_TYPE_DROP_DOWN, i);
    GListModel *names = gtk_drop_down_get_model (GTK_DROP_DOWN (down));

    if (g_list_model_get_n_items (names) == 2
        && g_str_equal (gtk_string_list_get_string (GTK_STRING_LIST (names), 0), "Alone"))
      choice = down;
  }
  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), 1);
  return dialog;
}

typedef struct {
  const char *path;
  Begin begin;
} Close;

/* The upper window first, or only the one below, with which it goes; both are freed as soon as what computes has ended. */
static void
test_close (gconstpointer data)
{
  const Close *close = data;
  gboolean more = TRUE;

  for (guint i = 0; more; i++) {
    LwWindow *window = open_window (ui_planned_job ());
    gpointer upper = close->begin (window), lower = window;

    more = upper != NULL && i == 0;
    g_object_add_weak_pointer (G_OBJECT (window), &lower);
    if (upper != NULL)
      g_object_add_weak_pointer (upper, &upper);
    moment (200);
    if (more)
      gtk_window_close (upper);
    ui_close (window);
    g_assert_true (ui_wait (is_gone, &lower, LONG_MS));
    g_assert_true (ui_wait (is_gone, &upper, LONG_MS));
  }
}

static const Close closes[] = { { "/mid-run/close/run", begin_run },
                                { "/mid-run/close/doubt", begin_doubt },
                                { "/mid-run/close/seek", begin_seek },
                                { "/mid-run/close/beside", begin_beside } };

int
main (int argc, char **argv)
{
  int status;

  ui_test_init (&argc, &argv);
  rand_ = g_rand_new_with_seed (7);
  g_test_add_func ("/mid-run/acts", test_acts);
  for (guint i = 0; i < G_N_ELEMENTS (closes); i++)
    g_test_add_data_func (closes[i].path, &closes[i], test_close);
  status = g_test_run ();
  g_rand_free (rand_);
  return status;
}
