/* Parts found by what is known of them. */
#include <math.h>

#include "plan/find-parts.h"

static void
add (LwJob *job, const char *ref, const char *package, const char *value, LwSide side)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  g_free (part->value);
  part->ref = g_strdup (ref);
  part->package = g_strdup (package);
  part->value = g_strdup (value);
  part->side = side;
  part->placed = TRUE;
  g_ptr_array_add (job->parts, part);
}

/* C1, C10, C12 and R1 on the top, C2 and a coin cell below; C12 has a limit of its own. */
static LwJob *
small_job (void)
{
  LwJob *job = lw_job_new ();

  add (job, "C1", "C0603", "100n", LW_SIDE_TOP);
  add (job, "C10", "C0603", "10u", LW_SIDE_TOP);
  add (job, "C12", "C0805", "100n", LW_SIDE_TOP);
  add (job, "R1", "R0603", "10k", LW_SIDE_TOP);
  add (job, "C2", "C0603", "100n", LW_SIDE_BOTTOM);
  add (job, "BT1", "COIN-HOLDER-20-CELL", "", LW_SIDE_BOTTOM);
  lw_limits_add (((LwPart *) g_ptr_array_index (job->parts, 2))->limits, LW_LIMIT_BODY_PEAK_C, 150, NAN, "sheet");
  return job;
}

static char *
found (const LwJob *job, LwPartQuery query)
{
  g_autoptr (GArray) parts = lw_find_parts (job, &query);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < parts->len; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? " " : "",
                            ((const LwPart *) g_ptr_array_index (job->parts, g_array_index (parts, guint, i)))->ref);
  return g_string_free (text, FALSE);
}

static void
finds (const LwJob *job, const char *text, const char *wanted)
{
  LwPartQuery query = LW_PART_QUERY_ANY;
  g_autofree char *is = NULL;

  query.text = text;
  is = found (job, query);
  g_assert_cmpstr (is, ==, wanted);
}

static void
test_text (void)
{
  g_autoptr (LwJob) job = small_job ();

  finds (job, NULL, "C1 C10 C12 R1 C2 BT1");
  finds (job, "  ", "C1 C10 C12 R1 C2 BT1");
  finds (job, "C1", "C1");
  finds (job, "c1", "C1");
  finds (job, "C*", "C1 C10 C12 C2");
  finds (job, "C1?", "C10 C12");
  finds (job, "C2-C11", "C10 C2");
  finds (job, "C2-11", "C10 C2");
  finds (job, "C11-C2", "C10 C2");
  finds (job, "C1, R1", "C1 R1");
  finds (job, "100n", "C1 C12 C2");
  finds (job, "0603", "C1 C10 R1 C2");
  finds (job, "10", "");      /* two letters are not looked for inside names */
  finds (job, "C2-R9", "");   /* no range */
  finds (job, "-", "");
  finds (job, "C-", "");
}

static void
test_others (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autofree char *below = found (job, (LwPartQuery){ NULL, LW_SIDE_BOTTOM, -1, NAN });
  g_autofree char *resistors = found (job, (LwPartQuery){ NULL, -1, LW_KIND_RESISTOR, NAN });
  g_autofree char *both = found (job, (LwPartQuery){ "C*", LW_SIDE_TOP, LW_KIND_CERAMIC_CAPACITOR, NAN });
  g_autofree char *tender = found (job, (LwPartQuery){ NULL, -1, -1, 150 });

  g_assert_cmpstr (below, ==, "C2 BT1");
  g_assert_cmpstr (resistors, ==, "R1");
  g_assert_cmpstr (both, ==, "C1 C10 C12");
  g_assert_cmpstr (tender, ==, "C12 BT1"); /* a lithium cell bears no more than 85 C: makers' sheets */
  g_assert_cmpfloat (lw_part_body_limit_c (job, g_ptr_array_index (job->parts, 2)), ==, 150);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/find-parts/text", test_text);
  g_test_add_func ("/find-parts/others", test_others);
  return g_test_run ();
}
