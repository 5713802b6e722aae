/* Stand-ins for packages nobody knows, by the class letters of IEEE 315 clause 22: R resistor, C capacitor, L inductor,
 * D diode, Q transistor, Y crystal, J connector, U integrated circuit, K relay, BT battery. */
#include <math.h>

#include "board/assume.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "board/library.h"

static void
add_part (LwJob *job, const char *ref, const char *package)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  part->ref = g_strdup (ref);
  part->package = g_strdup (package);
  part->x_mm = 10.0 * job->parts->len;
  g_ptr_array_add (job->parts, part);
}

static const LwPackage *
package_of (const LwJob *job, guint i)
{
  return lw_job_package_of (job, job->parts->pdata[i]);
}

static void
test_letters (void)
{
  static const struct {
    const char *ref;
    LwPackageKind kind;
  } cases[] = { { "R12", LW_KIND_RESISTOR }, { "C3", LW_KIND_CERAMIC_CAPACITOR }, { "L1", LW_KIND_INDUCTOR },
                { "Y2", LW_KIND_CRYSTAL },   { "J7", LW_KIND_CONNECTOR },         { "K1", LW_KIND_RELAY },
                { "SW4", LW_KIND_SWITCH },   { "LED2", LW_KIND_LED },             { "led3", LW_KIND_LED },
                { "F1", LW_KIND_FUSE },      { "MK1", LW_KIND_MICROPHONE },       { "U9", LW_KIND_LEADED } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const LwPackage *package = lw_library_package (lw_assumed_name (cases[i].ref));

      g_assert_nonnull (package);
      g_assert_cmpint (package->kind, ==, cases[i].kind);
    }
  g_assert_nonnull (lw_library_package (lw_assumed_name ("")));
  g_assert_nonnull (lw_library_package (lw_assumed_name ("\xc3\xa4" "1")));
}

/* Every package of the table is in the library. */
static void
test_all_there (void)
{
  for (char a = 'A'; a <= 'Z'; a++)
    for (char b = 'A' - 1; b <= 'Z'; b++)
      {
        const char ref[] = { a, b < 'A' ? '1' : b, '1', '\0' };

        g_assert_nonnull (lw_library_package (lw_assumed_name (ref)));
      }
}

/* Parts without a package and with unknown ones get stand-ins that say so; what is known stays. */
static void
test_job (void)
{
  g_autoptr (LwJob) job = lw_job_new ();

  add_part (job, "R1", "");
  add_part (job, "R2", "R 0.25W");
  add_part (job, "U1", "QFN-48-7x7-0.50");
  add_part (job, "R3", "R 0.25W");
  g_assert_true (lw_part_lacks_package (job, job->parts->pdata[1]));
  g_assert_false (lw_part_lacks_package (job, job->parts->pdata[2]));
  g_assert_cmpuint (lw_job_assume_packages (job), ==, 3);
  g_assert_cmpstr (((LwPart *) job->parts->pdata[0])->package, ==, "R0603 (assumed)");
  g_assert_cmpstr (((LwPart *) job->parts->pdata[1])->package, ==, "R 0.25W");
  g_assert_true (lw_package_is_assumed (package_of (job, 0)));
  g_assert_true (lw_package_is_assumed (package_of (job, 1)));
  g_assert_false (lw_package_is_assumed (package_of (job, 2)));
  g_assert_true (isnan (package_of (job, 1)->height_mm));
  g_assert_nonnull (strstr (package_of (job, 1)->source, "IEEE 315"));
  g_assert_cmpuint (lw_job_count_assumed (job), ==, 3);
  g_assert_cmpuint (lw_job_assume_packages (job), ==, 0);
  g_assert_cmpuint (job->packages->len, ==, 2);
}

/* The first choice of such a part brings the stand-ins along, in the same step; choosing a known one does not. */
static void
test_choose (void)
{
  g_autoptr (LwJob) job = lw_job_new (), other = NULL, chosen = NULL;
  g_autoptr (GError) error = NULL;

  add_part (job, "C1", "");
  add_part (job, "U1", "QFN-48-7x7-0.50");
  other = lw_edit_choose_target (job, "U1", &error);
  g_assert_no_error (error);
  g_assert_cmpuint (lw_job_count_assumed (other), ==, 0);
  chosen = lw_edit_choose_target (job, "C1", &error);
  g_assert_no_error (error);
  g_assert_cmpuint (lw_job_count_assumed (chosen), ==, 1);
  g_assert_cmpuint (lw_job_count_assumed (job), ==, 0);
  g_assert_cmpuint (chosen->plans->len, ==, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/assume/letters", test_letters);
  g_test_add_func ("/assume/all-there", test_all_there);
  g_test_add_func ("/assume/job", test_job);
  g_test_add_func ("/assume/choose", test_choose);
  return g_test_run ();
}
