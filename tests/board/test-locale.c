/* Documents do not depend on the locale: read and written under one with a decimal comma. */
#include <gio/gio.h>
#include <glib/gstdio.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#include "board/edits.h"
#include "board/job-file.h"
#include "board/library.h"
#include "board/typed-number.h"
#include "job-fixture.h"

/* Builds a comma locale in a folder of our own: the machine need not have one. localedef ends with 1
 * because the locale defines nothing but numbers. */
static char *
build_locale (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *source = g_test_build_filename (G_TEST_DIST, "board", "comma-locale.src", NULL);
  char *folder = g_dir_make_tmp ("leeward-locale-XXXXXX", &error);
  g_assert_no_error (error);
  g_autofree char *out = g_build_filename (folder, "comma.utf8", NULL);
  const char *command[] = { "localedef", "--quiet", "-c", "-i", source, "-f", "UTF-8", out, NULL };

  g_spawn_sync (NULL, (char **) command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, &error);
  g_assert_no_error (error);
  return folder;
}

static void
remove_folder (const char *path)
{
  g_autoptr (GDir) dir = g_dir_open (path, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *child = g_build_filename (path, name, NULL);

      if (g_remove (child) != 0)
        remove_folder (child);
    }
  g_rmdir (path);
}

/* Typed, and what it is: NaN where it is refused. */
typedef struct {
  const char *text;
  double plain, comma, pasted_comma;
} Typed;

static double
typed (const char *text, gboolean point)
{
  double value = NAN;

  return lw_typed_number (text, point, &value) ? value : NAN;
}

static gboolean
same (double a, double b)
{
  return isnan (a) ? isnan (b) : a == b;
}

/* 1.600 is 1.6 in one country and 1600 in the next (the CLDR's number symbols of en and de): never a silent guess. */
static void
check_typed (gboolean comma)
{
  static const Typed all[] = {
    { "1,6", 1.6, 1.6, 1.6 },       { "1.6", 1.6, 1.6, 1.6 },       { "1.600", 1.6, NAN, 1.6 },
    { "1,600", NAN, 1.6, 1.6 },     { "-12.345", -12.345, NAN, -12.345 }, { "0.600", 0.6, 0.6, 0.6 },
    { "0,600", 0.6, 0.6, 0.6 },     { "1234.567", 1234.567, 1234.567, 1234.567 }, { "1.6000", 1.6, 1.6, 1.6 },
    { "1.234,5", NAN, NAN, NAN },   { "1,234.5", NAN, NAN, NAN },   { "1.234.567", NAN, NAN, NAN },
    { " 25 ", 25, 25, 25 },         { ".5", 0.5, 0.5, 0.5 },        { ",500", 0.5, 0.5, 0.5 },
    { "1e3", 1000, 1000, 1000 },    { "nan", NAN, NAN, NAN },       { "0x10", NAN, NAN, NAN },
    { "", NAN, NAN, NAN },          { "five", NAN, NAN, NAN },
  };

  for (guint i = 0; i < G_N_ELEMENTS (all); i++)
    if (!same (typed (all[i].text, FALSE), comma ? all[i].comma : all[i].plain)
        || (comma && !same (typed (all[i].text, TRUE), all[i].pasted_comma)))
      g_error ("“%s” is read as %g", all[i].text, typed (all[i].text, FALSE));
}

static void
test_comma (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = build_locale ();
  char shown[16];

  setlocale (LC_NUMERIC, "C");
  check_typed (FALSE);
  g_autoptr (LwJob) plain_job = lw_job_from_data ("x", fixture, strlen (fixture), NULL);
  g_autofree char *plain = lw_job_to_data (plain_job, NULL);
  g_setenv ("LOCPATH", folder, TRUE);
  g_assert_nonnull (setlocale (LC_NUMERIC, "comma.utf8"));
  g_snprintf (shown, sizeof shown, "%.1f", 1.5);
  g_assert_cmpstr (shown, ==, "1,5"); /* the locale is really in force */
  check_typed (TRUE);

  g_autoptr (LwJob) job = lw_job_from_data ("x", fixture, strlen (fixture), &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (job->ambient_c, ==, 23.5);
  g_autofree char *text = lw_job_to_data (job, NULL);
  g_assert_cmpstr (text, ==, plain);
  g_autoptr (LwJob) back = lw_job_from_data ("x", text, strlen (text), &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (lw_job_number (back, "parts[1].height_mm"), ==, 0.85);
  g_assert_nonnull (lw_library_alloy ("SAC305"));
  g_assert_cmpstr (lw_library_warnings (), ==, "");
  g_assert_null (lw_edit_number (job, "board.stack_up[0].cover", 1.25, &error));
  g_assert_cmpstr (error->message, ==, "must not be above 1, is 1.25");

  setlocale (LC_NUMERIC, "C");
  remove_folder (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/locale/comma", test_comma);
  return g_test_run ();
}
