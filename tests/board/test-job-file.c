/* Documents: round trips, unknown members, faults with their lines. */
#include <gio/gio.h>
#include <locale.h>
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "board/job-json.h"
#include "job-fixture.h"

static LwJob *
load_text (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwJob *job = lw_job_from_data ("test", text, strlen (text), &error);

  g_assert_no_error (error);
  g_assert_nonnull (job);
  return job;
}

static char *
again (const char *text)
{
  g_autoptr (LwJob) job = load_text (text);

  return lw_job_to_data (job, NULL);
}

static void
test_stable (void)
{
  g_autofree char *first = again (fixture);
  g_autofree char *second = again (first);
  g_autofree char *third = again (second);

  g_assert_cmpstr (first, ==, second);
  g_assert_cmpstr (second, ==, third);
}

/* Collects "path=value" of every member whose key begins with x_, but is no known member. */
static void
collect_unknown (JsonNode *node, const char *path, GPtrArray *found)
{
  if (JSON_NODE_HOLDS_ARRAY (node))
    {
      JsonArray *array = json_node_get_array (node);

      for (guint i = 0; i < json_array_get_length (array); i++)
        {
          g_autofree char *child = g_strdup_printf ("%s[%u]", path, i);
          collect_unknown (json_array_get_element (array, i), child, found);
        }
    }
  if (!JSON_NODE_HOLDS_OBJECT (node))
    return;
  g_autoptr (GList) keys = json_object_get_members (json_node_get_object (node));
  for (GList *l = keys; l != NULL; l = l->next)
    {
      JsonNode *child_node = json_object_get_member (json_node_get_object (node), l->data);
      g_autofree char *child = g_strdup_printf ("%s.%s", path, (char *) l->data);

      if (g_str_has_prefix (l->data, "x_") && strcmp (l->data, "x_mm") != 0)
        {
          g_autofree char *value = json_to_string (child_node, FALSE);
          g_ptr_array_add (found, g_strdup_printf ("%s=%s", child, value));
        }
      else
        collect_unknown (child_node, child, found);
    }
}

static int
by_text (gconstpointer a, gconstpointer b)
{
  return strcmp (*(char *const *) a, *(char *const *) b);
}

static char *
unknown_members (const char *text)
{
  g_autoptr (GPtrArray) found = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (JsonNode) root = json_from_string (text, NULL);

  collect_unknown (root, "", found);
  g_ptr_array_sort (found, by_text);
  g_ptr_array_add (found, NULL);
  return g_strjoinv ("\n", (char **) found->pdata);
}

static void
test_unknown_survive (void)
{
  g_autofree char *saved = again (fixture);
  g_autofree char *before = unknown_members (fixture);
  g_autofree char *after = unknown_members (saved);

  g_assert_cmpstr (before, ==, after);
  g_auto (GStrv) lines = g_strsplit (before, "\n", -1);
  g_assert_cmpuint (g_strv_length (lines), ==, 31);
}

static void
test_values (void)
{
  g_autoptr (LwJob) job = load_text (fixture);
  const LwPart *u1 = g_ptr_array_index (job->parts, 0), *c1 = g_ptr_array_index (job->parts, 1);
  const LwPlan *plan = g_ptr_array_index (job->plans, 0), *table = g_ptr_array_index (job->plans, 1);
  const LwStage *warm = g_ptr_array_index (plan->stages, 0), *heat = g_ptr_array_index (plan->stages, 1);
  const LwPackage *array = lw_job_package_of (job, u1);

  g_assert_cmpstr (job->title, ==, "Bench é \"one\"");
  g_assert_cmpstr (job->author, ==, "");
  g_assert_cmpfloat (job->ambient_c, ==, 23.5);
  g_assert_cmpfloat (job->board->emissivity, ==, 0.9); /* default */
  g_assert_true (job->board->thickness_known);
  g_assert_cmpfloat (job->board->prescribed_k_in_plane_w_per_mk, ==, 20.0);
  g_assert_true (isnan (job->board->prescribed_k_through_w_per_mk));
  g_assert_true (isnan (u1->height_mm));
  g_assert_cmpfloat (c1->height_mm, ==, 0.85);
  g_assert_cmpint (c1->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpfloat (c1->prescribed_joint_h_w_per_m2k, ==, 30000.0);
  g_assert_cmpuint (array->joints.columns, ==, 4);
  g_assert_cmpuint (array->limits->len, ==, 2);
  g_assert_cmpfloat (g_array_index (array->limits, LwLimit, 1).at_c, ==, 240.0);
  g_assert_true (job->station->holder.present);
  g_assert_false (job->station->films.given);
  g_assert_cmpfloat (job->station->films.nozzle_w_per_m2k, ==, 80.0);
  g_assert_true (isnan (warm->gas_c));
  g_assert_cmpint (heat->shape, ==, LW_SHAPE_RAMP);
  g_assert_null (plan->table);
  g_assert_true (isnan (g_array_index (table->table, LwKnot, 0).gas_c));
  g_assert_cmpuint (job->active_plan, ==, 1);
}

static void
test_minimal (void)
{
  g_autoptr (LwJob) job = load_text ("{\"leeward_format\": 1, \"board\": {\"thickness_mm\": 1, \"outline\": [{\"corners\": "
                                     "[{\"x_mm\": 0, \"y_mm\": 0}, {\"x_mm\": 9, \"y_mm\": 0}, {\"x_mm\": 9, \"y_mm\": 9}]}]}}");

  g_assert_cmpuint (job->parts->len, ==, 0);
  g_assert_cmpfloat (job->ambient_c, ==, 25.0);
  g_assert_cmpstr (job->alloy, ==, "SAC305");
}

/* Numbers: every double reads back as itself, in the fewest digits. */
static void
test_numbers (void)
{
  static const double samples[] = { 0.1, 1.0 / 3.0, 1e-7, 6543.21, 9999.999999999998, 0.30000000000000004, 5e-324 };
  g_autoptr (LwJob) job = load_text (fixture);
  g_autoptr (GRand) random = g_rand_new_with_seed (7);

  for (guint i = 0; i < 2000; i++)
    {
      double value = i < G_N_ELEMENTS (samples) ? samples[i] : g_rand_double_range (random, -9999.0, 9999.0);
      LwPart *part = lw_job_edit_part (job, 1);

      part->placed = FALSE;
      part->x_mm = value;
      if (i % 100 > 10)
        continue;
      g_autofree char *text = lw_job_to_data (job, NULL);
      g_autoptr (LwJob) back = load_text (text);
      g_assert_cmpfloat (((LwPart *) g_ptr_array_index (back->parts, 1))->x_mm, ==, value);
    }
  lw_job_edit_part (job, 1)->x_mm = 0.1;
  g_autofree char *text = lw_job_to_data (job, NULL);
  g_assert_nonnull (strstr (text, "\"x_mm\": 0.1,"));
}

/* One job in many hands: some write it, some edit copies and drop them. */
static gpointer
use_job (gpointer data)
{
  for (int i = 0; i < 40000; i++)
    {
      g_autoptr (LwJob) copy = lw_job_copy (data);

      lw_job_edit_part (copy, 0)->x_mm = i % 50;
      lw_job_edit_plan (copy, 0);
      lw_job_edit_board (copy);
      lw_job_edit_station (copy);
      lw_job_edit_package (copy, 0);
      if (i % 500 == 0)
        {
          g_autofree char *text = lw_job_to_data (copy, NULL);
          g_assert_nonnull (strstr (text, "\"x_part\": 0.1"));
        }
    }
  return NULL;
}

static void
test_threads (void)
{
  g_autoptr (LwJob) job = load_text (fixture);
  g_autofree char *before = lw_job_to_data (job, NULL);
  GThread *threads[4];

  for (guint i = 0; i < G_N_ELEMENTS (threads); i++)
    threads[i] = g_thread_new ("job", use_job, job);
  for (guint i = 0; i < G_N_ELEMENTS (threads); i++)
    g_thread_join (threads[i]);
  g_autofree char *after = lw_job_to_data (job, NULL);
  g_assert_cmpstr (before, ==, after);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/board/file/stable", test_stable);
  g_test_add_func ("/board/file/unknown-survive", test_unknown_survive);
  g_test_add_func ("/board/file/values", test_values);
  g_test_add_func ("/board/file/minimal", test_minimal);
  g_test_add_func ("/board/file/numbers", test_numbers);
  g_test_add_func ("/board/file/threads", test_threads);
  return g_test_run ();
}
