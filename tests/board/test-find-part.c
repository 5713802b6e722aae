/* A part is found by its name in a job of any size, as looking through the list would find it. */
#include <glib.h>
#include <string.h>

#include "board/edits-group.h"
#include "board/edits.h"

#define N_PARTS 3000

static LwJob *
job_of (guint n)
{
  LwJob *job = lw_job_new ();

  g_ptr_array_add (job->board->outline, lw_loop_new_rectangle (0, 0, 200, 200));
  for (guint i = 0; i < n; i++) {
    LwPart *part = lw_part_new ();

    g_free (part->ref);
    part->ref = g_strdup_printf ("%c%u", "CRUL"[i % 4], i + 1);
    part->x_mm = 1 + i % 190;
    part->y_mm = 1 + i / 190;
    part->placed = TRUE;
    g_ptr_array_add (job->parts, part);
  }
  return job;
}

static const char *
ref_at (const LwJob *job, guint i)
{
  return ((const LwPart *) g_ptr_array_index (job->parts, i))->ref;
}

static int
look_through (const LwJob *job, const char *ref)
{
  for (guint i = 0; i < job->parts->len; i++)
    if (strcmp (ref_at (job, i), ref) == 0)
      return (int) i;
  return -1;
}

static void
all_are_found (const LwJob *job)
{
  for (guint i = 0; i < job->parts->len; i += 7)
    g_assert_cmpint (lw_job_find_part (job, ref_at (job, i)), ==, look_through (job, ref_at (job, i)));
  g_assert_cmpint (lw_job_find_part (job, "X1"), ==, -1);
  g_assert_cmpint (lw_job_find_part (job, ""), ==, -1);
}

static void
test_sizes (void)
{
  const guint sizes[] = { 0, 1, 199, 200, 201, N_PARTS };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++) {
    g_autoptr (LwJob) job = job_of (sizes[i]);

    all_are_found (job);
  }
}

/* Every edit makes a job of its own: the one before still finds what it had. */
static void
test_edits (void)
{
  g_autoptr (LwJob) job = job_of (N_PARTS);
  g_autoptr (GArray) some = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GError) error = NULL;
  guint first = 5, second = 2000;
  g_autofree char *name = g_strdup (ref_at (job, 42));

  all_are_found (job);
  g_autoptr (LwJob) renamed = lw_edit_text (job, "parts[42].ref", "J7", &error);
  g_assert_no_error (error);
  g_assert_cmpint (lw_job_find_part (renamed, "J7"), ==, 42);
  g_assert_cmpint (lw_job_find_part (renamed, name), ==, -1);
  g_assert_cmpint (lw_job_find_part (job, name), ==, 42);
  g_array_append_val (some, first);
  g_array_append_val (some, second);
  g_autoptr (LwJob) fewer = lw_edit_remove_parts (renamed, some, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (fewer->parts->len, ==, N_PARTS - 2);
  g_assert_cmpint (lw_job_find_part (fewer, "J7"), ==, 41);
  all_are_found (fewer);
  all_are_found (renamed);
}

/* The first of a name counts, and a job that is being put together may grow, shrink and rename between two questions. */
static void
test_being_made (void)
{
  g_autoptr (LwJob) job = job_of (N_PARTS);
  LwPart *part = NULL;

  all_are_found (job);
  part = lw_job_edit_part (job, 100);
  g_free (part->ref);
  part->ref = g_strdup (ref_at (job, 1000));
  g_assert_cmpint (lw_job_find_part (job, ref_at (job, 1000)), ==, 100);
  part = lw_part_new ();
  g_free (part->ref);
  part->ref = g_strdup ("NEW1");
  g_ptr_array_add (job->parts, part);
  g_assert_cmpint (lw_job_find_part (job, "NEW1"), ==, N_PARTS);
  g_ptr_array_remove_index (job->parts, 0);
  g_assert_cmpint (lw_job_find_part (job, "NEW1"), ==, N_PARTS - 1);
  all_are_found (job);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/find-part/sizes", test_sizes);
  g_test_add_func ("/find-part/edits", test_edits);
  g_test_add_func ("/find-part/being-made", test_being_made);
  return g_test_run ();
}
