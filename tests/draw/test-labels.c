/* No label on another, whatever the crowd. */
#include <math.h>

#include "draw/labels.h"

static void
crowd (GRand *rand, LwLabel *labels, LwBox *bodies, guint n)
{
  for (guint i = 0; i < n; i++) {
    double x = g_rand_double_range (rand, 0, 800), y = g_rand_double_range (rand, 0, 500);
    double w = g_rand_double_range (rand, 1, i % 9 ? 30 : 120), h = g_rand_double_range (rand, 1, i % 7 ? 30 : 90);

    labels[i] = (LwLabel){ .body = { x, y, x + w, y + h }, .width = g_rand_double_range (rand, 8, 30),
                           .height = 13, .priority = i % 5 == 0, .wanted = i % 5 == 0 };
    bodies[i] = labels[i].body;
  }
}

static void
test_none_overlap (void)
{
  for (int seed = 1; seed <= 10; seed++) {
    GRand *rand = g_rand_new_with_seed (seed);
    g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (LwBox));
    LwBox frame = { 0, 0, 800, 500 }, flag = { 300, 200, 340, 230 };
    LwLabel labels[300];
    LwBox bodies[300];
    guint placed = 0;

    crowd (rand, labels, bodies, 300);
    g_array_append_val (taken, flag);
    lw_labels_place (labels, 300, bodies, 300, taken, frame);
    for (guint i = 0; i < 300; i++) {
      if (!labels[i].placed)
        continue;
      placed++;
      g_assert_cmpfloat (labels[i].size, >=, 8.5);
      g_assert_false (lw_boxes_overlap (&labels[i].taken, &flag));
      g_assert_true (labels[i].taken.x0_mm >= 0 && labels[i].taken.x1_mm <= 800);
      for (guint j = 0; j < i; j++)
        g_assert_false (labels[j].placed && lw_boxes_overlap (&labels[i].taken, &labels[j].taken));
    }
    g_assert_cmpuint (placed, >, 60);
    g_assert_cmpuint (taken->len, ==, placed + 1);
    g_rand_free (rand);
  }
}

static void
test_inside_beside_upright (void)
{
  LwLabel labels[] = {
    { .body = { 100, 100, 200, 160 }, .width = 20, .height = 13 },
    { .body = { 300, 100, 306, 106 }, .width = 20, .height = 13 },
    { .body = { 400, 100, 414, 180 }, .width = 40, .height = 13 },
    { .body = { 500, 100, 504, 104 }, .width = 20, .height = 13, .inside_only = TRUE },
  };
  LwBox bodies[4] = { labels[0].body, labels[1].body, labels[2].body, labels[3].body };
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (LwBox));

  lw_labels_place (labels, 4, bodies, 4, taken, (LwBox){ 0, 0, 800, 500 });
  g_assert_true (labels[0].placed && labels[0].inside && !labels[0].upright);
  g_assert_cmpfloat_with_epsilon (labels[0].x, 150, 1e-9);
  g_assert_true (labels[1].placed && !labels[1].inside);
  g_assert_false (lw_boxes_overlap (&labels[1].taken, &labels[1].body));
  g_assert_true (labels[2].placed && labels[2].inside && labels[2].upright);
  g_assert_false (labels[3].placed);
}

/* The first in rank gets the place when there is one only. */
static void
test_priority (void)
{
  LwLabel labels[] = {
    { .body = { 100, 100, 120, 120 }, .width = 19, .height = 13, .priority = 0 },
    { .body = { 101, 101, 121, 121 }, .width = 19, .height = 13, .priority = 3 },
  };
  LwBox bodies[2] = { labels[0].body, labels[1].body };
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (LwBox));

  lw_labels_place (labels, 2, bodies, 2, taken, (LwBox){ 90, 95, 130, 125 });
  g_assert_true (labels[1].placed);
  g_assert_false (labels[0].placed);
}

/* A body larger than the picture carries its name where it is seen. */
static void
test_partly_seen (void)
{
  LwLabel label = { .body = { -5000, -5000, 100, 80 }, .width = 20, .height = 13 };
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (LwBox));

  lw_labels_place (&label, 1, &label.body, 1, taken, (LwBox){ 0, 0, 800, 500 });
  g_assert_true (label.placed && label.inside);
  g_assert_cmpfloat_with_epsilon (label.x, 50, 1e-9);
  g_assert_cmpfloat_with_epsilon (label.y, 40, 1e-9);
}

static void
test_degenerate (void)
{
  LwLabel labels[] = {
    { .body = { NAN, 0, 10, 10 }, .width = 20, .height = 13 },
    { .body = { 0, 0, 0, 0 }, .width = 0, .height = 13 },
    { .body = { 5, 5, 5, 5 }, .width = 20, .height = 13 },
    { .body = { -1e30, -1e30, 1e30, 1e30 }, .width = 20, .height = 13 },
  };
  LwBox bodies[4] = { labels[0].body, labels[1].body, labels[2].body, labels[3].body };
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (LwBox));

  lw_labels_place (labels, 4, bodies, 4, taken, (LwBox){ 0, 0, 800, 500 });
  g_assert_false (labels[0].placed);
  g_assert_false (labels[1].placed);
  g_assert_true (labels[3].placed);
  lw_labels_place (labels, 0, NULL, 0, taken, (LwBox){ 0, 0, 0, 0 });
}

/* A name that fits on the board stays on it, even where one more place beside it were free; a connector at the edge may have its
 * name beyond it. */
static void
test_edge (void)
{
  LwBox edge = { 100, 100, 400, 300 }, frame = { 0, 0, 500, 400 };
  LwLabel labels[] = {
    { .body = { 200, 102, 206, 108 }, .edge = &edge, .width = 20, .height = 13 },
    { .body = { 300, 90, 306, 96 }, .edge = &edge, .width = 20, .height = 13 },
  };
  LwBox bodies[2] = { labels[0].body, labels[1].body };
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (LwBox));

  lw_labels_place (labels, 2, bodies, 2, taken, frame);
  g_assert_true (labels[0].placed && labels[1].placed);
  g_assert_cmpfloat (labels[0].taken.y0_mm, >=, edge.y0_mm);
  g_assert_cmpfloat (labels[1].taken.y1_mm, <=, labels[1].body.y0_mm);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/draw/labels/none-overlap", test_none_overlap);
  g_test_add_func ("/draw/labels/inside-beside-upright", test_inside_beside_upright);
  g_test_add_func ("/draw/labels/priority", test_priority);
  g_test_add_func ("/draw/labels/partly-seen", test_partly_seen);
  g_test_add_func ("/draw/labels/edge", test_edge);
  g_test_add_func ("/draw/labels/degenerate", test_degenerate);
  return g_test_run ();
}
