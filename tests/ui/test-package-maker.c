/* A package from a data sheet: typed with a real keyboard, judged while it is typed, put where the person says. */
#include <math.h>
#include <string.h>

#include <glib/gstdio.h>

#include "board/library.h"
#include "ui-fixture.h"
#include "widgets/package-maker.h"

typedef struct {
  LwDesk *desk;
  LwPackageMaker *maker;
  gboolean gone;
} Bench;

static void
gone_cb (gpointer data, GObject *object)
{
  ((Bench *) data)->gone = TRUE;
}

static void
open_bench (Bench *bench, const char *ref)
{
  g_autoptr (LwDocument) document = lw_document_new (ui_planned_job (), NULL);

  *bench = (Bench){ .desk = lw_desk_new () };
  lw_desk_set_document (bench->desk, document);
  bench->maker = LW_PACKAGE_MAKER (lw_package_maker_new (NULL, bench->desk, ref));
  g_object_weak_ref (G_OBJECT (bench->maker), gone_cb, bench);
  gtk_window_present (GTK_WINDOW (bench->maker));
  ui_spin (200);
}

static void
close_bench (Bench *bench)
{
  if (!bench->gone)
    gtk_window_destroy (GTK_WINDOW (bench->maker));
  ui_spin (50);
  g_assert_true (bench->gone); /* nobody kept it */
  g_assert_finalize_object (bench->desk);
}

static void
type_into (Bench *bench, LwFigure figure, const char *text)
{
  GtkEditable *field = lw_package_maker_field (bench->maker, figure);

  g_assert_nonnull (field);
  gtk_editable_set_text (field, text);
}

static GtkWidget *
find_named (GtkWidget *under, GType type, const char *label)
{
  for (GtkWidget *child = gtk_widget_get_first_child (under); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    GtkWidget *found = NULL;

    if (G_TYPE_CHECK_INSTANCE_TYPE (child, type)) {
      const char *text = GTK_IS_BUTTON (child) ? gtk_button_get_label (GTK_BUTTON (child))
                         : GTK_IS_CHECK_BUTTON (child) ? gtk_check_button_get_label (GTK_CHECK_BUTTON (child)) : NULL;

      if (g_strcmp0 (text, label) == 0)
        return child;
    }
    found = find_named (child, type, label);
    if (found != NULL)
      return found;
  }
  return NULL;
}

static GtkWidget *
make_button (Bench *bench)
{
  return gtk_window_get_default_widget (GTK_WINDOW (bench->maker));
}

static const LwPackage *
own_package (Bench *bench, const char *name)
{
  const LwJob *job = lw_desk_job (bench->desk);

  for (guint i = 0; i < job->packages->len; i++)
    if (g_strcmp0 (((const LwPackage *) job->packages->pdata[i])->name, name) == 0)
      return job->packages->pdata[i];
  return NULL;
}

static void
test_every_family_is_sound (void)
{
  Bench bench;

  open_bench (&bench, NULL);
  for (guint family = 0; family < LW_SHEET_N_FAMILIES; family++) {
    LwDatasheet sheet;

    lw_datasheet_example (&sheet, family);
    lw_package_maker_set_sheet (bench.maker, &sheet);
    ui_spin (30);
    g_assert_true (gtk_widget_get_sensitive (make_button (&bench)));
    for (guint i = 0; i < LW_N_FIGURES; i++)
      g_assert_null (lw_package_maker_message (bench.maker, i));
  }
  close_bench (&bench);
}

static void
test_faults_are_told (void)
{
  static const char *const bad[] = { "x", "-1", "1e999", "0", "", "3,4,5" };
  Bench bench;

  open_bench (&bench, NULL);
  for (guint i = 0; i < G_N_ELEMENTS (bad); i++) {
    type_into (&bench, LW_FIGURE_PITCH, bad[i]);
    g_assert_nonnull (lw_package_maker_message (bench.maker, LW_FIGURE_PITCH));
    g_assert_false (gtk_widget_get_sensitive (make_button (&bench)));
  }
  type_into (&bench, LW_FIGURE_PITCH, "0,8"); /* a comma is a point where one is written so */
  g_assert_null (lw_package_maker_message (bench.maker, LW_FIGURE_PITCH));
  g_assert_cmpfloat (lw_package_maker_sheet (bench.maker)->figure[LW_FIGURE_PITCH], ==, 0.8);
  type_into (&bench, LW_FIGURE_JOINT, "0.9"); /* a ball larger than the pitch */
  g_assert_nonnull (lw_package_maker_message (bench.maker, LW_FIGURE_JOINT));
  g_assert_false (gtk_widget_get_sensitive (make_button (&bench)));
  type_into (&bench, LW_FIGURE_JOINT, "");
  g_assert_true (gtk_widget_get_sensitive (make_button (&bench)));
  ui_spin (50);
  close_bench (&bench);
}

static void
test_into_the_job (void)
{
  Bench bench;
  const LwPackage *made;

  open_bench (&bench, "U1");
  g_assert_cmpint (lw_package_maker_sheet (bench.maker)->family, ==, LW_SHEET_QUAD_FLAT); /* as U1 is now */
  type_into (&bench, LW_FIGURE_HEIGHT, "0.77");
  g_signal_emit_by_name (make_button (&bench), "clicked");
  ui_spin (100);
  g_assert_true (bench.gone);
  const LwJob *job = lw_desk_job (bench.desk);
  const LwPart *u1 = job->parts->pdata[lw_job_find_part (job, "U1")];
  made = lw_job_package_of (job, u1);
  g_assert_cmpfloat (made->height_mm, ==, 0.77);
  g_assert_true (made == own_package (&bench, u1->package));
  g_assert_true (g_str_has_prefix (u1->package, "QFN"));
  g_assert_true (lw_document_undo (lw_desk_document (bench.desk))); /* one step */
  job = lw_desk_job (bench.desk);
  u1 = job->parts->pdata[lw_job_find_part (job, "U1")];
  g_assert_cmpfloat (lw_job_package_of (job, u1)->height_mm, !=, 0.77);
  close_bench (&bench);
}

static void
test_into_the_library (void)
{
  g_autofree char *path
    = g_build_filename (g_get_user_data_dir (), "leeward", "libraries", LW_LIBRARY_OWN, NULL);
  g_autofree char *text = NULL;
  Bench bench;

  open_bench (&bench, NULL);
  gtk_check_button_set_active (GTK_CHECK_BUTTON (find_named (GTK_WIDGET (bench.maker), GTK_TYPE_CHECK_BUTTON, "this _job")),
                               FALSE);
  g_assert_false (gtk_widget_get_sensitive (make_button (&bench))); /* nowhere to go */
  gtk_check_button_set_active (
    GTK_CHECK_BUTTON (find_named (GTK_WIDGET (bench.maker), GTK_TYPE_CHECK_BUTTON, "my _library")), TRUE);
  /* a file that cannot be read stops it, and the window stays with what was typed */
  g_autofree char *folder = g_path_get_dirname (path);
  g_assert_cmpint (g_mkdir_with_parents (folder, 0700), ==, 0);
  g_assert_true (g_file_set_contents (path, "{ broken", -1, NULL));
  g_signal_emit_by_name (make_button (&bench), "clicked");
  ui_spin (100);
  g_assert_false (bench.gone);
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  g_assert_cmpstr (text, ==, "{ broken");
  g_assert_cmpint (g_unlink (path), ==, 0);
  g_signal_emit_by_name (make_button (&bench), "clicked");
  ui_spin (100);
  g_assert_true (bench.gone);
  g_assert_true (lw_library_is_users ("BGA256C100P16X16_1700X1700X160"));
  g_assert_null (own_package (&bench, "BGA256C100P16X16_1700X1700X160"));
  close_bench (&bench);
}

static void
press (const char *verb, const char *what)
{
  const char *argv[] = { g_getenv ("LW_XDOTOOL"), verb, what, NULL };
  g_autoptr (GError) error = NULL;
  g_autoptr (GSubprocess) process = g_subprocess_newv (argv, G_SUBPROCESS_FLAGS_NONE, &error);

  g_assert_no_error (error);
  g_assert_true (g_subprocess_wait_check (process, NULL, &error));
  g_assert_no_error (error);
  ui_spin (150);
}

/* The drawing's figures in the order of the drawing, Tab between them, Enter at the end. */
static void
test_by_keyboard (void)
{
  static const char *const figures[] = { "13", "13", "1.4", "0.36", "0.8", "0.5", "15", "15" };
  const LwPackage *made;
  Bench bench;

  g_assert_nonnull (g_getenv ("LW_XDOTOOL"));
  open_bench (&bench, NULL);
  gtk_widget_grab_focus (GTK_WIDGET (lw_package_maker_field (bench.maker, LW_FIGURE_BODY_X)));
  ui_spin (200);
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++) {
    press ("key", "ctrl+a");
    press ("type", figures[i]);
    press ("key", "Tab");
  }
  press ("key", "Return");
  ui_spin (300);
  g_assert_true (bench.gone);
  made = own_package (&bench, "BGA225C80P15X15_1300X1300X140");
  g_assert_nonnull (made);
  g_assert_cmpfloat (made->joints.standoff_mm, ==, 0.36);
  g_assert_cmpuint (made->joints.columns, ==, 15);
  close_bench (&bench);
}

int
main (int argc, char **argv)
{
  ui_test_init (&argc, &argv);
  g_test_add_func ("/package-maker/every-family", test_every_family_is_sound);
  g_test_add_func ("/package-maker/faults", test_faults_are_told);
  g_test_add_func ("/package-maker/into-the-job", test_into_the_job);
  g_test_add_func ("/package-maker/into-the-library", test_into_the_library);
  g_test_add_func ("/package-maker/by-keyboard", test_by_keyboard);
  return g_test_run ();
}
