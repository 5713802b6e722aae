/* The user's own packages: kept, replaced, given up; a file that cannot be read is never written over. */
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "board/job-file.h"
#include "board/library.h"
#include "board/sheet.h"

static char *own_file;

static char *
text_of (void)
{
  char *text = NULL;

  return g_file_get_contents (own_file, &text, NULL, NULL) ? text : NULL;
}

static void
put (const char *text)
{
  g_autoptr (GError) error = NULL;

  g_file_set_contents (own_file, text, -1, &error);
  g_assert_no_error (error);
}

static LwPackage *
package_new (const char *name, double height_mm)
{
  LwDatasheet sheet;

  lw_datasheet_example (&sheet, LW_SHEET_QUAD_FLAT);
  sheet.figure[LW_FIGURE_HEIGHT] = height_mm;
  return lw_datasheet_package (&sheet, name, "a data sheet");
}

static void
keep (const char *name, double height_mm)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwPackage) package = package_new (name, height_mm);

  g_assert_true (lw_library_keep_package (package, &error));
  g_assert_no_error (error);
}

static void
kept (void)
{
  g_autofree char *text = NULL;
  guint before, after;

  g_assert_null (lw_library_package ("House QFN"));
  g_autofree const char **names = lw_library_names ("packages");
  before = g_strv_length ((char **) names);
  keep ("House QFN", 0.8);
  g_assert_cmpfloat (lw_library_package ("house qfn")->height_mm, ==, 0.8);
  g_assert_true (lw_library_is_users ("House QFN"));
  text = text_of ();
  g_assert_nonnull (text);
  g_assert_nonnull (strstr (text, "\"leeward_library\": 1"));
  g_assert_nonnull (strstr (text, "\"House QFN\""));
  g_autofree const char **more = lw_library_names ("packages");
  after = g_strv_length ((char **) more);
  g_assert_cmpuint (after, ==, before + 1);
}

/* What somebody holds stays what it was when the user keeps another one of that name. */
static void
replaced (void)
{
  const LwPackage *old = lw_library_package ("House QFN");
  g_autofree char *text = NULL;

  keep ("HOUSE qfn", 1.0);
  g_assert_cmpfloat (old->height_mm, ==, 0.8);
  g_assert_cmpfloat (lw_library_package ("House QFN")->height_mm, ==, 1.0);
  text = text_of ();
  g_assert_null (strstr (text, "\"House QFN\"")); /* in the place of the one before */
}

/* A package of ours gives way. */
static void
over_ours (void)
{
  g_assert_false (lw_library_is_users ("QFN-48-7x7-0.50"));
  keep ("QFN-48-7x7-0.50", 0.65);
  g_assert_cmpfloat (lw_library_package ("QFN-48-7x7-0.50")->height_mm, ==, 0.65);
}

/* Entries and members of a later program, and faulty entries the user may want to mend, stay as they are. */
static void
foreign_members (void)
{
  g_autofree char *text = NULL;

  put ("{\"leeward_library\": 1, \"shelf\": 4, \"alloys\": [{\"name\": \"X\"}],\n"
       " \"packages\": [{\"name\": \"Bad\", \"length_mm\": -1}, 7, {\"name\": \"Good\", \"length_mm\": 2, \"colour\": \"red\"}]}");
  keep ("Another", 0.9);
  text = text_of ();
  g_assert_nonnull (strstr (text, "\"shelf\": 4"));
  g_assert_nonnull (strstr (text, "\"Bad\""));
  g_assert_nonnull (strstr (text, "\"colour\": \"red\""));
  g_assert_nonnull (strstr (text, "\"X\""));
  g_assert_nonnull (strstr (text, "\"Another\""));
}

static void
never_overwritten (void)
{
  static const char *const bad[] = {
    "{\"leeward_library\": 1, \"packages\": [{\"name\":", "", "\xff\xfe", "[]", "{\"leeward_library\": 2, \"packages\": []}",
    "{\"packages\": []}", "{\"leeward_library\": 1, \"packages\": {}}",
  };
  g_autoptr (LwPackage) package = package_new ("Late", 0.9);

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++) {
    g_autoptr (GError) error = NULL;
    g_autofree char *after = NULL;

    put (bad[i]);
    g_assert_false (lw_library_keep_package (package, &error));
    g_test_message ("%s", error->message);
    g_assert_nonnull (strstr (error->message, LW_LIBRARY_OWN)); /* the file is named */
    after = text_of ();
    g_assert_cmpstr (after, ==, bad[i]);
    g_assert_null (lw_library_package ("Late"));
  }
}

static void
cannot_be_written (void)
{
  g_autoptr (LwPackage) package = package_new ("Late", 0.9);
  g_autoptr (GError) error = NULL;

  g_unlink (own_file);
  g_assert_cmpint (g_mkdir (own_file, 0700), ==, 0); /* something else has the name */
  g_assert_false (lw_library_keep_package (package, &error));
  g_assert_nonnull (error);
  g_assert_null (lw_library_package ("Late"));
  g_assert_cmpint (g_rmdir (own_file), ==, 0);
}

/* Two programs keep packages at the same time: each finds its own in the file, and the other's. */
static void
two_programs (void)
{
  enum { EACH = 8 };
  g_autofree char *text = NULL;
  pid_t child[2];

  for (int i = 0; i < 2; i++) {
    child[i] = fork ();
    g_assert_cmpint (child[i], >=, 0);
    for (int k = 0; child[i] == 0 && k < EACH; k++) {
      g_autofree char *name = g_strdup_printf ("Of %d, number %d", i, k);

      keep (name, 0.8);
      if (k == EACH - 1)
        _exit (0);
    }
  }
  for (int i = 0; i < 2; i++) {
    int status;

    g_assert_cmpint (waitpid (child[i], &status, 0), ==, child[i]);
    g_assert_cmpint (status, ==, 0);
  }
  text = text_of ();
  for (int i = 0; i < 2 * EACH; i++) {
    g_autofree char *name = g_strdup_printf ("\"Of %d, number %d\"", i % 2, i / 2);

    g_assert_nonnull (strstr (text, name));
  }
}

int
main (int argc, char **argv)
{
  g_autofree char *home = g_dir_make_tmp ("leeward-own-XXXXXX", NULL);
  g_autofree char *folder = g_build_filename (home, "leeward", "libraries", NULL);
  g_autofree char *between = g_build_filename (home, "leeward", NULL);
  int status;

  g_setenv ("XDG_DATA_HOME", home, TRUE);
  own_file = g_build_filename (folder, LW_LIBRARY_OWN, NULL);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/own/kept", kept);
  g_test_add_func ("/own/replaced", replaced);
  g_test_add_func ("/own/over-ours", over_ours);
  g_test_add_func ("/own/foreign-members", foreign_members);
  g_test_add_func ("/own/two-programs", two_programs);
  g_test_add_func ("/own/never-overwritten", never_overwritten);
  g_test_add_func ("/own/cannot-be-written", cannot_be_written);
  status = g_test_run ();
  g_unlink (own_file);
  g_rmdir (folder);
  g_rmdir (between);
  g_rmdir (home);
  g_free (own_file);
  return status;
}
