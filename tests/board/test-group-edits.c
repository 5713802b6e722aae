/* Groups of parts: each edit against hand-made figures, and random ones undone and redone to the byte. */
#include <gio/gio.h>
#include <math.h>
#include <string.h>

#include "board/document.h"
#include "board/edits-group.h"
#include "board/edits-outline.h"
#include "board/edits.h"
#include "board/job-file.h"
#include "board/library.h"
#include "board/loop-edits.h"
#include "board/part-text.h"
#include "board/usual-station.h"

#define NEAR 1e-9

static LwPackage *
package_new (const char *name, double length, double width)
{
  LwPackage *package = lw_package_new ();

  g_free (package->name);
  package->name = g_strdup (name);
  package->length_mm = length;
  package->width_mm = width;
  package->height_mm = 1;
  return package;
}

static void
add_part (LwJob *job, const char *ref, const char *package, double x, double y, LwSide side)
{
  LwPart *part = lw_part_new ();

  g_free (part->ref);
  g_free (part->package);
  part->ref = g_strdup (ref);
  part->package = g_strdup (package);
  part->x_mm = x;
  part->y_mm = y;
  part->placed = TRUE;
  part->side = side;
  g_ptr_array_add (job->parts, part);
}

/* Three 2 x 1 mm bodies and one of 10 x 10 mm on the other side. */
static LwJob *
small_job (void)
{
  g_autoptr (LwJob) made = lw_job_new_rectangle (100, 80, 0, 1.6, NULL);
  LwJob *job = lw_job_copy (made);

  g_ptr_array_add (job->packages, package_new ("CHIP", 2, 1));
  g_ptr_array_add (job->packages, package_new ("BIG", 10, 10));
  add_part (job, "C1", "CHIP", 10, 10, LW_SIDE_TOP);
  add_part (job, "C2", "CHIP", 20, 12, LW_SIDE_TOP);
  add_part (job, "C5", "CHIP", 40, 11, LW_SIDE_TOP);
  add_part (job, "U1", "BIG", 60, 40, LW_SIDE_BOTTOM);
  return job;
}

static void
test_usual_station (void)
{
  g_autofree const char **names = lw_library_names ("stations");

  g_assert_cmpuint (g_strv_length ((char **) names), >=, 2);
  for (guint i = 0; names[i] != NULL; i++) {
    lw_usual_station_set (names[i]);
    g_autoptr (LwJob) job = small_job ();

    g_assert_cmpstr (job->station->name, ==, names[i]);
  }
  lw_usual_station_set ("a station nobody has");
  {
    g_autoptr (LwJob) job = small_job ();

    g_assert_cmpstr (job->station->name, ==, names[0]);
  }
  lw_usual_station_set (NULL);
}

static GArray *
some (guint first, guint n)
{
  GArray *parts = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = first; i < first + n; i++)
    g_array_append_val (parts, i);
  return parts;
}

static const LwPart *
part (const LwJob *job, guint i)
{
  return g_ptr_array_index (job->parts, i);
}

static void
at (const LwJob *job, guint i, double x, double y)
{
  g_assert_cmpfloat_with_epsilon (part (job, i)->x_mm, x, NEAR);
  g_assert_cmpfloat_with_epsilon (part (job, i)->y_mm, y, NEAR);
}

static void
take (LwJob **job, LwJob *after, GError **error)
{
  g_assert_no_error (*error);
  g_assert_nonnull (after);
  lw_job_unref (*job);
  *job = after;
}

static void
refused (LwJob *after, GError **error, const char *text)
{
  g_assert_null (after);
  g_assert_nonnull (*error);
  if (strstr ((*error)->message, text) == NULL)
    g_error ("“%s” does not say “%s”", (*error)->message, text);
  g_clear_error (error);
}

static void
test_move (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) all = some (0, 4), none = some (0, 0), wrong = some (3, 2);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_move_parts (job, all, 1.5, -2, &error), &error);
  at (job, 0, 11.5, 8);
  at (job, 3, 61.5, 38);
  refused (lw_edit_move_parts (job, none, 1, 1, &error), &error, "no part is selected");
  refused (lw_edit_move_parts (job, wrong, 1, 1, &error), &error, "no part 4");
  refused (lw_edit_move_parts (job, all, 500, 0, &error), &error, "lies outside the board");
}

static void
test_locked_stay (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) two = some (0, 2), one = some (0, 1);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_lock_parts (job, one, TRUE, &error), &error);
  take (&job, lw_edit_move_parts (job, two, 1, 1, &error), &error);
  at (job, 0, 10, 10);
  at (job, 1, 21, 13);
  refused (lw_edit_move_parts (job, one, 1, 1, &error), &error, "C1 is locked");
  take (&job, lw_edit_align_parts (job, two, LW_ALIGN_LOW, &error), &error);
  at (job, 1, 21, 10); /* the locked one sets the line */
  take (&job, lw_edit_lock_parts (job, two, TRUE, &error), &error);
  refused (lw_edit_turn_parts (job, two, 90, &error), &error, "all selected parts are locked");
  take (&job, lw_edit_lock_parts (job, two, FALSE, &error), &error);
  take (&job, lw_edit_move_parts (job, one, 1, 1, &error), &error);
}

/* About the middle of the box round the bodies: x 9 to 21, y 9.5 to 12.5, so (15, 11). */
static void
test_turn (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) two = some (0, 2), big = some (3, 1);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_turn_parts (job, two, 90, &error), &error);
  at (job, 0, 16, 6);
  at (job, 1, 14, 16);
  g_assert_cmpfloat (part (job, 0)->rotation_deg, ==, 90);
  take (&job, lw_edit_turn_parts (job, two, -90, &error), &error);
  at (job, 0, 10, 10);
  take (&job, lw_edit_turn_parts (job, big, 30, &error), &error);
  g_assert_cmpfloat_with_epsilon (lw_part_turn_deg (part (job, 3)), 30, NEAR); /* seen from the top */
}

static void
test_flip (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) all = some (0, 4);
  g_autoptr (GError) error = NULL;
  LwBox before = lw_parts_box (job, all), after;

  take (&job, lw_edit_flip_parts (job, all, &error), &error);
  after = lw_parts_box (job, all);
  g_assert_cmpfloat_with_epsilon (after.x0_mm, before.x0_mm, NEAR);
  g_assert_cmpfloat_with_epsilon (after.y1_mm, before.y1_mm, NEAR);
  g_assert_cmpint (part (job, 0)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpint (part (job, 3)->side, ==, LW_SIDE_TOP);
  at (job, 0, 9 + 65 - 10, 10);
  take (&job, lw_edit_flip_parts (job, all, &error), &error);
  at (job, 0, 10, 10);
}

static void
test_align (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) all = some (0, 4);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_align_parts (job, all, LW_ALIGN_LEFT, &error), &error);
  at (job, 1, 10, 12);
  at (job, 3, 14, 40); /* its body is 10 mm long */
  take (&job, lw_edit_align_parts (job, all, LW_ALIGN_HIGH, &error), &error);
  at (job, 0, 10, 44.5);
  take (&job, lw_edit_align_parts (job, all, LW_ALIGN_MIDDLE_X, &error), &error);
  at (job, 0, 14, 44.5);
}

/* Bodies 2 mm long at 10, 20 and 40: from 9 to 41 there are 26 mm for two gaps. */
static void
test_spread (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) three = some (0, 3), two = some (0, 2);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_spread_parts (job, three, FALSE, &error), &error);
  at (job, 0, 10, 10);
  at (job, 1, 25, 12);
  at (job, 2, 40, 11);
  refused (lw_edit_spread_parts (job, two, FALSE, &error), &error, "three parts");
}

static void
test_repeat (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) one = some (0, 1), made = NULL;
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_repeat_parts (job, one, 3, 2, 4, -3, &made, &error), &error);
  g_assert_cmpuint (made->len, ==, 5);
  g_assert_cmpuint (job->parts->len, ==, 9);
  at (job, 4, 14, 10);
  at (job, 8, 18, 7);
  g_assert_cmpstr (part (job, 4)->ref, ==, "C3"); /* C1 and C2 are taken, C5 too */
  g_assert_cmpstr (part (job, 5)->ref, ==, "C4");
  g_assert_cmpstr (part (job, 6)->ref, ==, "C6");
  refused (lw_edit_repeat_parts (job, one, 1, 1, 4, 4, NULL, &error), &error, "two places");
  refused (lw_edit_repeat_parts (job, one, 2, 1, 0, 4, NULL, &error), &error, "not be 0");
  refused (lw_edit_repeat_parts (job, one, 100000, 100000, 1, 1, NULL, &error), &error, "10,000");
  refused (lw_edit_repeat_parts (job, one, 2, 1, 500, 4, NULL, &error), &error, "outside the board");
}

static void
test_remove (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) three = some (0, 3);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_choose_target (job, "C2", &error), &error);
  take (&job, lw_edit_choose_target (job, "U1", &error), &error);
  take (&job, lw_edit_add_thermocouple (job, 1, "C1", 10, 10, LW_SIDE_TOP, &error), &error);
  take (&job, lw_edit_remove_parts (job, three, &error), &error);
  g_assert_cmpuint (job->parts->len, ==, 1);
  g_assert_cmpuint (job->plans->len, ==, 1);
  g_assert_cmpuint (job->active_plan, ==, 0);
  g_assert_cmpuint (((LwPlan *) g_ptr_array_index (job->plans, 0))->thermocouples->len, ==, 0);
}

/* By rows from the top: C2 (y 12), C5 (11), C1 (10); plans follow their parts. */
static void
test_renumber (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) three = some (0, 3), two = some (0, 2);
  g_autoptr (GError) error = NULL;

  take (&job, lw_edit_choose_target (job, "C1", &error), &error);
  take (&job, lw_edit_renumber_parts (job, three, 1, FALSE, &error), &error);
  g_assert_cmpstr (part (job, 1)->ref, ==, "C1");
  g_assert_cmpstr (part (job, 2)->ref, ==, "C2");
  g_assert_cmpstr (part (job, 0)->ref, ==, "C3");
  g_assert_cmpstr (((LwPlan *) g_ptr_array_index (job->plans, 0))->ref, ==, "C3");
  take (&job, lw_edit_renumber_parts (job, two, 1, TRUE, &error), &error); /* C2 is another's: passed over */
  g_assert_cmpstr (part (job, 0)->ref, ==, "C1");
  g_assert_cmpstr (part (job, 1)->ref, ==, "C3");
  g_autofree char *free_ref = lw_job_free_ref (job, "C1"), *free_new = lw_job_free_ref (job, "R7");
  g_assert_cmpstr (free_ref, ==, "C4");
  g_assert_cmpstr (free_new, ==, "R7");
}

/* ---- text ---- */

static void
test_clipboard (void)
{
  g_autoptr (LwJob) job = small_job (), other = lw_job_new_rectangle (50, 50, 0, 1, NULL);
  g_autoptr (GArray) two = some (2, 2), made = NULL;
  g_autofree char *text = lw_parts_to_text (job, two);
  g_autoptr (GPtrArray) parts = NULL, packages = NULL;
  g_autoptr (GError) error = NULL;
  gboolean read;

  g_assert_true (lw_parts_text_is_ours (text));
  read = lw_parts_from_text (text, &parts, &packages, &error);
  g_assert_no_error (error);
  g_assert_true (read);
  g_assert_cmpuint (parts->len, ==, 2);
  take (&other, lw_edit_add_parts (other, parts, packages, -20, 0, &made, &error), &error);
  g_assert_cmpuint (other->packages->len, ==, 2);
  at (other, 1, 40, 40);
  take (&job, lw_edit_add_parts (job, parts, packages, 1, 1, NULL, &error), &error);
  g_assert_cmpstr (part (job, 4)->ref, ==, "C6");
  g_assert_cmpuint (job->packages->len, ==, 2); /* both were there */
}

static void
test_clipboard_damaged (void)
{
  static const char *const bad[] = { "", "{", "[]", "hello", "{\"leeward_parts\": 1", "{\"leeward_parts\": 1, \"parts\": 3}",
                                     "{\"leeward_parts\": 1, \"parts\": [3]}",
                                     "{\"leeward_parts\": 1, \"parts\": [{\"ref\": \"A\", \"x_mm\": \"wide\"}]}" };

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_autoptr (GError) error = NULL;
      GPtrArray *parts = NULL, *packages = NULL;

      g_assert_false (lw_parts_from_text (bad[i], &parts, &packages, &error));
      g_assert_nonnull (error);
      g_assert_null (parts);
    }
}

static void
test_table (void)
{
  g_autoptr (LwJob) job = small_job ();
  g_autoptr (GArray) all = some (0, 4), touched = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *out = lw_parts_to_table (job, all), *before = lw_job_to_data (job, NULL), *after = NULL;

  g_assert_true (g_str_has_prefix (out, "ref\tpackage\tvalue\tx\ty\trotation\tside\theight\tlocked\nC1\tCHIP\t\t10\t10\t0\ttop\t\tno\n"));
  take (&job, lw_edit_paste_table (job, out, &touched, &error), &error);
  g_assert_cmpuint (touched->len, ==, 4);
  after = lw_job_to_data (job, NULL);
  g_assert_cmpstr (before, ==, after); /* out and in again changes nothing */
  take (&job, lw_edit_paste_table (job, "C1\tCHIP\t100n\t11,5\t12.5\t90\tbottom\r\nR1\tCHIP\t1k\t30\t30\r\n", NULL, &error),
        &error);
  at (job, 0, 11.5, 12.5);
  g_assert_cmpint (part (job, 0)->side, ==, LW_SIDE_BOTTOM);
  g_assert_cmpstr (part (job, 0)->value, ==, "100n");
  g_assert_cmpuint (job->parts->len, ==, 5);
  at (job, 4, 30, 30);
  take (&job, lw_edit_paste_table (job, "Y (mm)\tDesignator\tNotes\tX (mm)\n\"41\"\tC5\thello\t42\n", NULL, &error), &error);
  at (job, 2, 42, 41);
}

static void
test_table_faults (void)
{
  static const struct
  {
    const char *text, *why;
  } bad[] = { { "C1\tCHIP\t\tabc\t10", "row 1, column “x”: “abc” is no number" },
              { "ref\tx\ty\nC1\t1\t2\nC2\t3\tfar", "row 3, column “y”: “far” is no number" },
              { "ref\tside\nC1\tleft", "row 2, column “side”: “left” is neither top nor bottom" },
              { "ref\theight\nC1\t-1", "row 2, column “height”: “-1” must be above 0" },
              { "ref\tlocked\nC1\tmaybe", "row 2, column “locked”: “maybe” is neither yes nor no" },
              { "ref\tx\nC9\t1", "row 2, column “y”" },
              { "ref\tx\n\t1", "row 2, column “ref”: “” names no part" },
              { "ref\tvalue\nC1\ta\nC1\tb", "row 3, column “ref”: “C1” stands in the table twice" },
              { "ref\tx\ty\nC1\t1000\t2", "C1 lies outside the board" },
              { "ref\tx\ty", "no row below" },
              { "C1 CHIP", "no table" } };
  g_autoptr (LwJob) job = small_job ();

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      GError *error = NULL;

      refused (lw_edit_paste_table (job, bad[i].text, NULL, &error), &error, bad[i].why);
    }
}

/* ---- any order of them ---- */

static LwJob *
random_edit (GRand *rand, const LwJob *job)
{
  guint n = job->parts->len, first = n == 0 ? 0 : (guint) g_rand_int_range (rand, 0, (gint) n);
  g_autoptr (GArray) parts = some (first, n == 0 ? 0 : (guint) g_rand_int_range (rand, 1, (gint) MIN (n - first, 5u) + 1));
  LwLoopPlace place = { LW_LOOP_OUTLINE, (guint) g_rand_int_range (rand, 0, (gint) job->board->outline->len) };
  const LwLoop *loop = lw_job_loop (job, place);
  double x = g_rand_double_range (rand, -10, 110), y = g_rand_double_range (rand, -10, 90);
  guint k = (guint) g_rand_int_range (rand, 0, (gint) loop->corners->len);
  LwLoop *next = NULL;

  switch (g_rand_int_range (rand, 0, 13))
    {
    case 0: return lw_edit_move_parts (job, parts, x - 50, y - 40, NULL);
    case 1: return lw_edit_turn_parts (job, parts, x * 3, NULL);
    case 2: return lw_edit_flip_parts (job, parts, NULL);
    case 3: return n > 40 ? lw_edit_remove_parts (job, parts, NULL) : NULL;
    case 4: return lw_edit_align_parts (job, parts, (LwAlign) g_rand_int_range (rand, 0, 6), NULL);
    case 5: return lw_edit_spread_parts (job, parts, x > 50, NULL);
    case 6: return n > 60 ? NULL : lw_edit_repeat_parts (job, parts, 2, 2, x / 10, y / 10, NULL, NULL);
    case 7: return lw_edit_renumber_parts (job, parts, 3, x > 50, NULL);
    case 8: return lw_edit_add_cut_out (job, lw_loop_new_circle (x, y, 1), NULL);
    case 9: next = lw_loop_move_corner (loop, k, x, y, NULL); break;
    case 10: next = lw_loop_insert_corner (loop, k, 0.3, NULL); break;
    case 11: next = lw_loop_round_corner (loop, k, 1 + fabs (x) / 20, NULL); break;
    default: next = lw_loop_set_arc (loop, k, x - 50, NULL);
    }
  return next == NULL ? NULL : lw_edit_set_loop (job, place, next, NULL);
}

static void
test_undo_redo (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20240607);
  LwJob *job = small_job ();
  g_autofree char *first = lw_job_to_data (job, NULL);
  g_autoptr (LwDocument) document = lw_document_new (job, NULL);
  g_autofree char *last = NULL;
  guint done = 0;

  for (guint i = 0; i < 900 && done < 300; i++)
    {
      LwJob *after = random_edit (rand, lw_document_job (document));
      g_autoptr (GPtrArray) faults = NULL;

      if (after == NULL)
        continue;
      faults = lw_job_check (after);
      for (guint k = 0; k < faults->len; k++)
        g_assert_false (((LwFault *) g_ptr_array_index (faults, k))->fatal);
      lw_document_edit (document, after, "edit", NULL);
      done++;
    }
  g_assert_cmpuint (done, >, 150);
  last = lw_job_to_data (lw_document_job (document), NULL);
  while (lw_document_undo (document))
    ;
  g_autofree char *undone = lw_job_to_data (lw_document_job (document), NULL);
  g_assert_cmpstr (undone, ==, first);
  while (lw_document_redo (document))
    ;
  g_autofree char *redone = lw_job_to_data (lw_document_job (document), NULL);
  g_assert_cmpstr (redone, ==, last);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/group-edits/move", test_move);
  g_test_add_func ("/group-edits/locked-stay", test_locked_stay);
  g_test_add_func ("/group-edits/turn", test_turn);
  g_test_add_func ("/group-edits/flip", test_flip);
  g_test_add_func ("/group-edits/align", test_align);
  g_test_add_func ("/group-edits/spread", test_spread);
  g_test_add_func ("/group-edits/repeat", test_repeat);
  g_test_add_func ("/group-edits/remove", test_remove);
  g_test_add_func ("/group-edits/renumber", test_renumber);
  g_test_add_func ("/group-edits/clipboard", test_clipboard);
  g_test_add_func ("/group-edits/clipboard-damaged", test_clipboard_damaged);
  g_test_add_func ("/group-edits/table", test_table);
  g_test_add_func ("/group-edits/table-faults", test_table_faults);
  g_test_add_func ("/group-edits/undo-redo", test_undo_redo);
  g_test_add_func ("/group-edits/usual-station", test_usual_station);
  return g_test_run ();
}
