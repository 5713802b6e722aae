/* Which package a part has: of the job, of the library, of its name; and what the part says instead. */
#include <math.h>
#include <string.h>

#include "board/document.h"
#include "board/edits.h"
#include "board/library.h"

static LwJob *
job_new (const char *package)
{
  LwJob *job = lw_job_new ();
  LwPart *part = lw_part_new ();

  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 50, 50));
  g_free (part->ref);
  part->ref = g_strdup ("U1");
  g_free (part->package);
  part->package = g_strdup (package);
  part->x_mm = part->y_mm = 25;
  g_ptr_array_add (job->parts, part);
  return job;
}

static const LwPart *
part_of (const LwJob *job)
{
  return job->parts->pdata[0];
}

static const LwPackage *
package_of (const LwJob *job)
{
  return lw_job_package_of (job, part_of (job));
}

static LwJob *
edit (LwJob *job, const char *member, double value)
{
  g_autofree char *path = g_strconcat ("parts[0].", member, NULL);
  g_autoptr (GError) error = NULL;
  LwJob *after = lw_edit_number (job, path, value, &error);

  g_assert_no_error (error);
  lw_job_unref (job);
  return after;
}

static void
from_the_name (void)
{
  g_autoptr (LwJob) job = job_new ("BGA289C80P17X17_1500X1500X140");
  g_autoptr (LwJob) copy = lw_job_copy (job);
  g_autoptr (LwJob) unknown = job_new ("no such thing"), none = job_new ("");
  g_autoptr (GArray) joints = lw_part_joints (part_of (job), package_of (job));
  gboolean known = FALSE;

  g_assert_cmpuint (joints->len, ==, 289);
  g_assert_nonnull (strstr (package_of (job)->source, "its name"));
  g_assert_cmpfloat (lw_part_height_mm (part_of (job), package_of (job), &known), ==, 1.4);
  g_assert_true (known);
  g_assert_true (package_of (copy) == package_of (job)); /* read once */
  g_assert_null (package_of (unknown));
  g_assert_null (package_of (none));
}

static void
job_before_library_before_name (void)
{
  g_autoptr (LwJob) job = job_new ("SOIC-8");
  LwPackage *own = lw_package_new ();

  g_assert_true (package_of (job) == lw_library_package ("SOIC-8"));
  g_free (own->name);
  own->name = g_strdup ("SOIC-8");
  own->length_mm = 7;
  g_ptr_array_add (job->packages, own); /* a job still being put together */
  g_assert_true (package_of (job) == own);
  lw_job_edit_package (job, 0)->length_mm = 8;
  g_assert_cmpfloat (package_of (job)->length_mm, ==, 8);
}

/* Ten thousand packages of ten thousand names, each found; renamed in a copy, each copy knows its own. */
static void
thousands (void)
{
  g_autoptr (LwJob) job = job_new ("p9999"), after = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwPart) part = lw_part_new ();

  for (guint i = 0; i < 10000; i++) {
    LwPackage *package = lw_package_new ();

    g_free (package->name);
    package->name = g_strdup_printf ("p%u", i);
    package->length_mm = 1 + i / 1000.0;
    g_ptr_array_add (job->packages, package);
  }
  for (guint i = 0; i < 10000; i++) {
    g_free (part->package);
    part->package = g_strdup_printf ("p%u", i);
    g_assert_true (lw_job_package_of (job, part) == job->packages->pdata[i]);
  }
  after = lw_edit_text (job, "packages[9999].name", "renamed", &error);
  g_assert_no_error (error);
  g_assert_cmpstr (package_of (after)->name, ==, "renamed");
  g_assert_cmpstr (package_of (job)->name, ==, "p9999");
  g_assert_null (lw_job_package_of (after, part)); /* p9999 is no more */
}

static void
instead (void)
{
  g_autoptr (LwJob) job = job_new ("BGA-256-17x17-1.00");
  const LwPackage *base = lw_library_package ("BGA-256-17x17-1.00");

  job = edit (job, "overrides.length_mm", 18);
  job = edit (job, "overrides.columns", 10);
  job = edit (job, "overrides.rows", 10);
  job = edit (job, "overrides.pitch_mm", 1.2);
  job = edit (job, "overrides.standoff_mm", 0.33);
  job = edit (job, "overrides.emissivity", 0.5);
  job = edit (job, "overrides.mass_g", 1.41);
  const LwPackage *own = package_of (job);
  g_autoptr (GArray) joints = lw_part_joints (part_of (job), own);
  g_assert_true (own != base);
  g_assert_true (own == package_of (job)); /* made once */
  g_assert_cmpfloat (own->length_mm, ==, 18);
  g_assert_cmpfloat (own->width_mm, ==, base->width_mm);
  g_assert_cmpfloat (own->joints.pitch_mm, ==, 1.2);
  g_assert_cmpfloat (own->joints.standoff_mm, ==, 0.33);
  g_assert_cmpuint (joints->len, ==, 100);
  g_assert_cmpfloat (own->emissivity, ==, 0.5);
  /* 0.705 g hold 0.5 J/K: twice the mass, twice the heat */
  g_assert_cmpfloat_with_epsilon (own->heat_capacity_j_per_k, 2 * base->heat_capacity_j_per_k, 1e-9);
  job = edit (job, "overrides.heat_capacity_j_per_k", 0.9);
  g_assert_cmpfloat (package_of (job)->heat_capacity_j_per_k, ==, 0.9);
  /* the body really is that large on the board */
  LwPoint corners[4];
  lw_part_body_corners (part_of (job), package_of (job), corners);
  g_assert_cmpfloat_with_epsilon (fabs (corners[0].x_mm - corners[2].x_mm), 18, 1e-9);
}

static void
kind_instead (void)
{
  g_autoptr (LwJob) job = job_new ("C0603"), after = NULL;
  g_autoptr (GError) error = NULL;

  after = lw_edit_text (job, "parts[0].overrides.kind", "polymer-capacitor", &error);
  g_assert_no_error (error);
  g_assert_cmpint (package_of (after)->kind, ==, LW_KIND_POLYMER_CAPACITOR);
  g_assert_cmpint (package_of (job)->kind, ==, LW_KIND_CERAMIC_CAPACITOR);
}

static void
undone (void)
{
  g_autoptr (LwDocument) document = lw_document_new (job_new ("C0603"), NULL);
  g_autoptr (GError) error = NULL;

  lw_document_edit (document, lw_edit_number (lw_document_job (document), "parts[0].overrides.length_mm", 3, &error),
                    "Body", NULL);
  g_assert_no_error (error);
  g_assert_cmpfloat (package_of (lw_document_job (document))->length_mm, ==, 3);
  g_assert_true (lw_document_undo (document));
  g_assert_true (package_of (lw_document_job (document)) == lw_library_package ("C0603"));
  g_assert_true (lw_document_redo (document));
  g_assert_cmpfloat (package_of (lw_document_job (document))->length_mm, ==, 3);
}

/* Threads that ask the same job at once get the same answers. */
static gpointer
ask (gpointer data)
{
  const LwPackage *found = NULL;

  for (guint i = 0; i < 2000; i++) {
    const LwPackage *now = package_of (data);

    g_assert_true (found == NULL || found == now);
    found = now;
  }
  return (gpointer) found;
}

static void
asked_at_once (void)
{
  g_autoptr (LwJob) job = job_new ("CAPC1608X90");
  GThread *threads[4];
  gpointer first = NULL;

  job = edit (job, "overrides.width_mm", 1);
  for (guint i = 0; i < G_N_ELEMENTS (threads); i++)
    threads[i] = g_thread_new (NULL, ask, job);
  for (guint i = 0; i < G_N_ELEMENTS (threads); i++) {
    gpointer found = g_thread_join (threads[i]);

    g_assert_true (first == NULL || found == first);
    first = found;
  }
  g_assert_cmpfloat (((const LwPackage *) first)->width_mm, ==, 1);
}

int
main (int argc, char **argv)
{
  g_setenv ("XDG_DATA_HOME", "/nonexistent", TRUE);
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/part-package/from-the-name", from_the_name);
  g_test_add_func ("/part-package/job-before-library-before-name", job_before_library_before_name);
  g_test_add_func ("/part-package/thousands", thousands);
  g_test_add_func ("/part-package/instead", instead);
  g_test_add_func ("/part-package/kind-instead", kind_instead);
  g_test_add_func ("/part-package/undone", undone);
  g_test_add_func ("/part-package/asked-at-once", asked_at_once);
  return g_test_run ();
}
