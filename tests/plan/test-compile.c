/* The compile of a job into a scene: stack-up, bodies, joints, frame, set points. */
#include <math.h>
#include <string.h>

#include "bench.h"
#include "board/land-name.h"
#include "plan/bodies.h"
#include "plan/compile.h"
#include "plan/slices.h"
#include "plan/stack.h"

/* ---- stack-up ---- */

typedef struct {
  double copper_mm, cover;
} Copper;

/* Copper layers between equal sheets of resin, kd 0.3 W/mK, the whole THICKNESS_MM. */
static LwStack *
stack_of (const Copper *copper, guint n, double thickness_mm)
{
  LwStack *stack = g_new0 (LwStack, 1);
  double metal = 0;

  stack->sheets = g_array_new (FALSE, FALSE, sizeof (LwSheet));
  stack->thickness_m = thickness_mm * 1e-3;
  for (guint i = 0; i < n; i++)
    metal += copper[i].copper_mm;
  for (guint i = 0; i < n; i++) {
    LwSheet sheet = { "", copper[i].copper_mm * 1e-3, copper[i].cover, 0.3, 0.3, 1.9e6 };
    LwSheet resin = { "", (thickness_mm - metal) * 1e-3 / MAX (n - 1, 1), 0, 0.3, 0.3, 1.9e6 };
    g_array_append_val (stack->sheets, sheet);
    if (i + 1 < n || n == 1)
      g_array_append_val (stack->sheets, resin);
  }
  return stack;
}

/* Sums as printed in stack.h, kCu 385, kd 0.3: values worked from the formula by hand for common
 * boards (2s2p and 1s as in JESD51-7 and JESD51-3, four and eight layers). */
static void
test_stack_values (void)
{
  static const Copper s2p2[] = { { 0.07, 0.2 }, { 0.035, 1 }, { 0.035, 1 }, { 0.07, 0.2 } };
  static const Copper s1[] = { { 0.07, 0.2 } };
  static const Copper four[] = { { 0.035, 0.3 }, { 0.035, 0.9 }, { 0.035, 0.9 }, { 0.035, 0.3 } };
  static const Copper eight[] = { { 0.035, 0.3 },   { 0.0175, 0.85 }, { 0.0175, 0.85 }, { 0.0175, 0.85 },
                                  { 0.0175, 0.85 }, { 0.0175, 0.85 }, { 0.0175, 0.85 }, { 0.035, 0.3 } };
  static const struct {
    const Copper *copper;
    guint n;
    double thickness_mm, k_in, k_thr;
  } cases[] = { { s2p2, 4, 1.6, 23.863, 0.34518 },
                { s1, 1, 1.6, 3.6661, 0.31367 },
                { four, 4, 1.6, 20.497, 0.32871 },
                { eight, 8, 1.435, 29.856, 0.34159 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_autoptr (LwStack) stack = stack_of (cases[i].copper, cases[i].n, cases[i].thickness_mm);
    HeatLayer whole = lw_stack_slice (stack, 0, stack->thickness_m, -1, 0);
    g_assert_cmpfloat_with_epsilon (whole.k_in_w_mk, cases[i].k_in, 0.001 * 0.5 + 1e-9);
    g_assert_cmpfloat_with_epsilon (whole.k_thr_w_mk, cases[i].k_thr, 0.6e-5);
  }
}

/* Slices put together again are the whole: parallel in plane, series through, heat by volume. */
static void
test_slices_sum (void)
{
  static const Copper copper[] = { { 0.07, 0.2 }, { 0.035, 1 }, { 0.035, 1 }, { 0.07, 0.2 } };
  g_autoptr (LwStack) stack = stack_of (copper, 4, 1.6);
  HeatLayer whole = lw_stack_slice (stack, 0, 1.6e-3, -1, 0);
  double in = 0, across = 0, heat = 0;

  for (int i = 0; i < 3; i++) {
    HeatLayer s = lw_stack_slice (stack, 1.6e-3 * i / 3, 1.6e-3 * (i + 1) / 3, -1, 0);
    in += s.k_in_w_mk / 3;
    across += 1 / s.k_thr_w_mk / 3;
    heat += s.rho_c_j_m3k / 3;
  }
  g_assert_cmpfloat_with_epsilon (in, whole.k_in_w_mk, 1e-9 * in);
  g_assert_cmpfloat_with_epsilon (1 / across, whole.k_thr_w_mk, 1e-9);
  g_assert_cmpfloat_with_epsilon (heat, whole.rho_c_j_m3k, 1e-9 * heat);
}

/* A slice of 0.035 mm of copper and 0.265 of resin has its node in the copper: what lies above it is half the copper's
 * resistance, 0.0175 / (0.5 385 + 0.5 0.3), of 0.035 / 192.65 + 0.265 / 0.3. Turned over, as much lies below. */
static void
test_node_in_copper (void)
{
  static const Copper copper[] = { { 0.035, 0.5 }, { 0.035, 0.5 } };
  g_autoptr (LwStack) stack = stack_of (copper, 2, 1.6);
  HeatLayer top = lw_stack_slice (stack, 0, 0.3e-3, -1, 0), bottom = lw_stack_slice (stack, 1.3e-3, 1.6e-3, -1, 0);
  HeatLayer resin = lw_stack_slice (stack, 0.3e-3, 0.7e-3, -1, 0);

  g_assert_cmpfloat_with_epsilon (top.off_middle, 0.5, 0.004);
  g_assert_cmpfloat_with_epsilon (bottom.off_middle, -top.off_middle, 1e-9);
  g_assert_cmpfloat_with_epsilon (resin.off_middle, 0, 1e-9);
}

/* The copper of either face has a slice to itself; thickness is kept; a board of one material is cut evenly. */
static void
test_cuts (void)
{
  static const Copper four[] = { { 0.035, 0.3 }, { 0.035, 0.9 }, { 0.035, 0.9 }, { 0.035, 0.3 } };
  static const Copper dense[] = { { 0.035, 0.3 }, { 0.0175, 0.85 }, { 0.0175, 0.85 }, { 0.0175, 0.85 },
                                  { 0.0175, 0.85 }, { 0.0175, 0.85 }, { 0.0175, 0.85 }, { 0.035, 0.3 } };
  static const struct {
    const Copper *copper;
    guint n;
    double thickness_mm;
  } cases[] = { { four, 4, 1.6 }, { four, 4, 1.0 }, { four, 2, 0.8 }, { dense, 8, 2.4 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_autoptr (LwStack) stack = stack_of (cases[i].copper, cases[i].n, cases[i].thickness_mm);
    LwSlices cut = lw_slices_of (stack, FALSE), even = lw_slices_of (stack, TRUE);
    double inner_m = g_array_index (stack->sheets, LwSheet, 0).thickness_m + g_array_index (stack->sheets, LwSheet, 1).thickness_m;
    g_assert_cmpuint (cut.n, >=, 4);
    g_assert_cmpuint (cut.n, <=, LW_SLICES_MAX);
    g_assert_cmpfloat (cut.cut_m[1], >=, cases[i].copper[0].copper_mm * 1e-3);
    g_assert_cmpfloat (cut.cut_m[1], <, inner_m);
    g_assert_cmpfloat_with_epsilon (cut.cut_m[1], stack->thickness_m - cut.cut_m[cut.n - 1], 1e-9);
    g_assert_cmpfloat (cut.cut_m[cut.n], ==, stack->thickness_m);
    for (guint k = 0; k < even.n; k++)
      g_assert_cmpfloat_with_epsilon (even.cut_m[k + 1] - even.cut_m[k], stack->thickness_m / even.n, 1e-9);
  }
}

/* Annulus pi/4 (0.30^2 - 0.25^2) mm2 per mm2, times 385, beside 0.3: 0.02160 and 8.615. */
static void
test_via (void)
{
  double share = lw_via_copper_share (1, 0.3, 25);

  g_assert_cmpfloat_with_epsilon (share, 0.02160, 0.5e-5);
  g_assert_cmpfloat_with_epsilon (0.3 + share * LW_COPPER_K_W_MK, 8.615, 0.5e-3);
}

static void
test_default_stack (void)
{
  static const struct {
    double thickness_mm;
    guint layers;
  } cases[] = { { 0.6, 2 }, { 1.6, 4 }, { 2.4, 8 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_autoptr (LwBoard) board = lw_board_new ();
    board->thickness_mm = cases[i].thickness_mm;
    g_autoptr (LwStack) stack = lw_stack_new (board);
    g_assert_true (stack->assumed);
    g_assert_cmpuint (stack->copper_layers, ==, cases[i].layers);
    g_assert_cmpfloat_with_epsilon (stack->thickness_m, cases[i].thickness_mm * 1e-3, 1e-12);
  }
}

/* A stack is good for what its weakest laminate stands (data/laminates.json names the makers' sheets). */
static void
test_weakest_laminate (void)
{
  g_autoptr (LwBoard) board = lw_board_new ();
  const char *names[] = { "FR-4 high Tg", "FR-4", "Polyimide laminate" };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    LwLayer *layer = lw_layer_new ();
    layer->kind = LW_LAYER_LAMINATE;
    layer->thickness_mm = 0.5;
    g_free (layer->material);
    layer->material = g_strdup (names[i]);
    g_ptr_array_add (board->layers, layer);
  }
  g_autoptr (LwStack) stack = lw_stack_new (board);
  const LwLaminate *plain = lw_library_laminate ("FR-4");
  g_assert_cmpfloat (stack->tg_c, ==, plain->tg_c);
  g_assert_cmpfloat (stack->td_c, ==, plain->td_c);
}

/* ---- joints and bodies ---- */

/* Against the integrals they stand for, by the midpoint rule. */
static void
test_ball (void)
{
  double pad = 0.45e-3, height = 0.4e-3, radius2 = 0.25 * (pad * pad + height * height);
  double resistance = 0, volume = 0;
  LwJoint ball = lw_ball (pad, height, 58);
  int n = 20000;

  for (int i = 0; i < n; i++) {
    double z = height * ((i + 0.5) / n - 0.5), area = G_PI * (radius2 - z * z);
    resistance += height / n / (58 * area);
    volume += height / n * area;
  }
  g_assert_cmpfloat_with_epsilon (ball.g_w_k, 1 / resistance, 1e-6 * ball.g_w_k);
  g_assert_cmpfloat_with_epsilon (ball.volume_m3, volume, 1e-6 * volume);
}

/* A moulded array's block, 1.17 mm of mould on 0.56 mm of BT with two 27 um copper layers at 70 %:
 * 9.11 W/mK in plane and 1.09 through with its vias (the sums of stack.h with handbook values). */
static void
test_array_block (void)
{
  g_autoptr (LwPackage) package = lw_package_new ();
  HeatBody body = { 0 };
  double along = 0, across = 0;

  package->kind = LW_KIND_AREA_ARRAY;
  lw_body_layers (package, 1.73e-3, 27e-3 * 27e-3, 0, &body);
  for (size_t i = 0; i < body.n_layers; i++) {
    along += body.layers[i].thickness_m * body.layers[i].k_in_w_mk / 1.73e-3;
    across += body.layers[i].thickness_m / body.layers[i].k_thr_w_mk / 1.73e-3;
  }
  g_assert_cmpfloat_with_epsilon (along, 9.11, 0.03);
  g_assert_cmpfloat_with_epsilon (1 / across, 1.09, 0.01);
}

/* Heat capacity of moulded arrays from their makers' material content sheets (masses by material times
 * cp); outlines after MS-034 (from memory): mould cap 1.17 on 0.56 mm, balls 0.6 mm. */
static void
test_array_capacity (void)
{
  static const struct {
    double size_mm, thickness_mm;
    guint balls;
    double sheet_j_k;
  } cases[] = { { 23, 1.73, 388, 1.312 },
                { 31, 1.73, 900, 2.752 },
                { 35, 1.73, 680, 3.470 },
                { 35, 1.73, 1152, 3.467 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_autoptr (LwPackage) package = lw_package_new ();
    double area = cases[i].size_mm * cases[i].size_mm * 1e-6;
    double balls = cases[i].balls * lw_ball (0.5e-3, 0.45e-3, 58).volume_m3 * 7380 * 220;
    HeatBody body = { 0 };
    package->kind = LW_KIND_AREA_ARRAY;
    lw_body_layers (package, cases[i].thickness_mm * 1e-3, area, balls, &body);
    double ours = lw_body_capacity (&body, area) + balls;
    g_test_message ("%g mm, %u balls: %.3f J/K, sheet %.3f", cases[i].size_mm, cases[i].balls, ours,
                    cases[i].sheet_j_k);
    g_assert_cmpfloat_with_epsilon (ours, cases[i].sheet_j_k, 0.15 * cases[i].sheet_j_k);
  }
}

/* Arrays of the library against the makers' content sheets (whole packages, balls included): as the
 * library describes them, and as the kind alone would make their bodies. */
static void
test_library_arrays (void)
{
  static const struct {
    const char *name;
    double sheet_j_k;
  } cases[] = { { "ucBGA-64-4x4-0.40", 0.0216 },  { "BGA-144-13x13-1.00", 0.305 },
                { "BGA-256-17x17-1.00", 0.499 },  { "BGA-324-19x19-1.00", 0.692 },
                { "BGA-484-23x23-1.00", 1.312 },  { "BGA-900-31x31-1.00", 2.752 },
                { "BGA-1152-35x35-1.00", 3.467 } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    const LwPackage *ours = lw_library_package (cases[i].name);
    g_assert_nonnull (ours);
    g_autoptr (LwPackage) package = lw_package_copy (ours);
    g_autoptr (LwPart) part = lw_part_new ();
    g_autoptr (GArray) joints = lw_part_joints (part, package);
    double standoff = package->joints.standoff_mm * 1e-3, thickness = package->height_mm * 1e-3 - standoff;
    double area = package->length_mm * package->width_mm * 1e-6, described, by_kind;
    double balls = joints->len * lw_joint_of (package, standoff, 58).volume_m3 * 7380 * 230;
    HeatBody body = { 0 };
    lw_body_layers (package, thickness, area, balls, &body);
    described = lw_body_capacity (&body, area) + balls;
    package->heat_capacity_j_per_k = package->mass_g = NAN;
    g_ptr_array_set_size (package->body, 0);
    lw_body_layers (package, thickness, area, balls, &body);
    by_kind = lw_body_capacity (&body, area) + balls;
    g_test_message ("%s: %.4f J/K, by kind %.4f, sheet %.4f", cases[i].name, described, by_kind,
                    cases[i].sheet_j_k);
    g_assert_cmpfloat_with_epsilon (described, cases[i].sheet_j_k, 0.15 * cases[i].sheet_j_k);
    g_assert_cmpfloat_with_epsilon (by_kind, cases[i].sheet_j_k, 0.15 * cases[i].sheet_j_k);
  }
}

/* Arrays that nothing but their name describes, against the same sheets: size, height, pitch and count are all that is
 * known of them. Heights of MS-034, from memory. */
static void
test_named_arrays (void)
{
  static const struct {
    const char *name;
    double sheet_j_k;
  } cases[] = { { "BGA144C100P12X12_1300X1300X160", 0.305 },  { "BGA256C100P16X16_1700X1700X160", 0.499 },
                { "BGA324C100P18X18_1900X1900X170", 0.692 },  { "BGA388C100P22X22_2300X2300X220", 1.312 },
                { "BGA900C100P30X30_3100X3100X230", 2.752 },  { "BGA680C100P34X34_3500X3500X230", 3.470 },
                { "BGA1152C100P34X34_3500X3500X230", 3.467 }, { "BGA64C40P8X8_400X400X100", 0.0216 } };
  double worst = 0;

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_autoptr (LwPackage) package = lw_land_name_package (cases[i].name);
    g_autoptr (LwPart) part = lw_part_new ();
    g_assert_nonnull (package);
    g_autoptr (GArray) joints = lw_part_joints (part, package);
    double standoff = package->joints.standoff_mm * 1e-3;
    double area = package->length_mm * package->width_mm * 1e-6;
    double balls = joints->len * lw_joint_of (package, standoff, 58).volume_m3 * 7380 * 230;
    HeatBody body = { 0 };
    lw_body_layers (package, package->height_mm * 1e-3 - standoff, area, balls, &body);
    double off = (lw_body_capacity (&body, area) + balls) / cases[i].sheet_j_k - 1;
    g_test_message ("%s: %+.1f %% off its sheet", cases[i].name, 100 * off);
    worst = fmax (worst, fabs (off));
    g_assert_cmpfloat (fabs (off), <=, 0.15);
  }
  g_test_message ("largest deviation: %.1f %%", 100 * worst);
}

static void
test_capacity_given (void)
{
  g_autoptr (LwPackage) package = lw_package_new ();
  HeatBody body = { 0 };

  package->kind = LW_KIND_LEADED;
  package->heat_capacity_j_per_k = 0.7;
  lw_body_layers (package, 1.4e-3, 14e-3 * 14e-3, 0.1, &body);
  g_assert_cmpfloat_with_epsilon (lw_body_capacity (&body, 14e-3 * 14e-3), 0.6, 1e-9);
  g_assert_cmpfloat_with_epsilon (body.layers[0].thickness_m + body.layers[1].thickness_m
                                      + body.layers[2].thickness_m,
                                  1.4e-3, 1e-12);
}

/* ---- the whole ---- */

static void
assert_same_bodies (const LwCase *a, const LwCase *b)
{
  g_assert_cmpuint (a->n_bodies, ==, b->n_bodies);
  for (guint i = 0; i < a->n_bodies; i++) {
    const HeatBody *p = &a->bodies[i], *q = &b->bodies[i];
    g_assert_cmpint (p->below, ==, q->below);
    g_assert_cmpint (p->meshed, ==, q->meshed);
    g_assert_cmpfloat_with_epsilon (p->center.x, q->center.x, 1e-12);
    g_assert_cmpfloat_with_epsilon (p->center.y, q->center.y, 1e-12);
    g_assert_cmpfloat_with_epsilon (sin (p->angle_rad - q->angle_rad), 0, 1e-12);
    g_assert_cmpuint (p->n_joints, ==, q->n_joints);
    for (size_t k = 0; k < p->n_joints; k++) {
      g_assert_cmpfloat_with_epsilon (p->joints[k].x, q->joints[k].x, 1e-12);
      g_assert_cmpfloat_with_epsilon (p->joints[k].y, q->joints[k].y, 1e-12);
    }
    g_assert_cmpfloat (p->joint_g_w_k, ==, q->joint_g_w_k);
  }
}

static LwCase *
compile (LwJob *job)
{
  g_autoptr (GError) error = NULL;
  LwCase *compiled = lw_case_new (job, 0, &error);

  g_assert_no_error (error);
  return compiled;
}

/* Worked on from the bottom, a mirrored board is the same scene. */
static void
test_flip (void)
{
  g_autoptr (LwJob) top = bench_job (LW_SIDE_TOP, 0, 0), bottom = bench_job (LW_SIDE_BOTTOM, 0, 0);
  g_autoptr (LwCase) a = compile (top), b = compile (bottom);

  g_assert_false (a->flipped);
  g_assert_true (b->flipped);
  assert_same_bodies (a, b);
  g_assert_cmpfloat_with_epsilon (a->scene.nozzle.center.x, b->scene.nozzle.center.x, 1e-12);
  g_assert_cmpfloat_with_epsilon (a->scene.preheat.center.x, b->scene.preheat.center.x, 1e-12);
}

static void
test_shift (void)
{
  g_autoptr (LwJob) here = bench_job (LW_SIDE_TOP, 0, 0),
                    there = bench_job (LW_SIDE_TOP, -317.3, 1044.9);
  g_autoptr (LwCase) a = compile (here), b = compile (there);

  assert_same_bodies (a, b);
  g_assert_cmpfloat_with_epsilon (a->scene.nozzle.center.y, b->scene.nozzle.center.y, 1e-12);
}

static const HeatBody *
body_of (const LwCase *compiled, const char *ref)
{
  for (guint i = 0; i < compiled->n_bodies; i++)
    if (strcmp (((LwPart *) g_ptr_array_index (compiled->job->parts, compiled->body_of[i].part))->ref, ref) == 0)
      return &compiled->bodies[i];
  g_assert_not_reached ();
}

/* A slab warmed steadily from one face lags there behind it by q L / 3k in the mean (the parabola of Carslaw and Jaeger,
 * Conduction of Heat in Solids, 2nd ed., section 3.8): that third stands between a small body's node and its joints. */
static void
test_small_body_lags (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwCase) compiled = compile (job);
  const HeatBody *chip = body_of (compiled, "C1");
  double r = 0, area = chip->length_m * chip->width_m;

  g_assert_false (chip->meshed);
  for (size_t i = 0; i < chip->n_layers; i++)
    r += chip->layers[i].thickness_m / chip->layers[i].k_thr_w_mk;
  g_assert_cmpfloat_with_epsilon (chip->lead_g_w_k * (double) chip->n_joints, 3 * area / r, 1e-9 * area / r);
}

/* One node does while film times inner resistance is small (Biot number below 0.15): far off a block of plastic is meshed, one
 * of metal is not; near the target it is. */
static void
test_meshed_bodies (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);

  bench_add_package (job, "plastic", LW_KIND_CONNECTOR, 10, 8, 10);
  bench_add_package (job, "metal", LW_KIND_MECHANICAL, 10, 8, 10);
  bench_add_part (job, "J9", "plastic", 90, 8, LW_SIDE_TOP);
  bench_add_part (job, "M9", "metal", 8, 8, LW_SIDE_TOP);
  bench_add_part (job, "M1", "metal", 46, 58, LW_SIDE_TOP);
  g_autoptr (LwCase) compiled = compile (job);
  g_assert_true (body_of (compiled, "J9")->meshed);
  g_assert_false (body_of (compiled, "M9")->meshed);
  g_assert_true (body_of (compiled, "M1")->meshed);
}

/* What lifts a part off the board lifts its body. */
static void
test_lifted_part (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwCase) flat = compile (job);

  ((LwPart *) g_ptr_array_index (job->parts, 1))->offset_mm = 0.5; /* C1 */
  g_autoptr (LwCase) lifted = compile (job);
  const HeatBody *a = body_of (flat, "C1"), *b = body_of (lifted, "C1");
  g_assert_cmpfloat_with_epsilon (b->standoff_m - a->standoff_m, 0.5e-3, 1e-12);
  g_assert_cmpfloat_with_epsilon (b->height_m - a->height_m, 0.5e-3, 1e-12);
}

static void
test_round_trip (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_BOTTOM, 12, -7);
  g_autoptr (LwCase) compiled = compile (job);
  LwPoint p = lw_case_point_mm (compiled, lw_case_point (compiled, 33.5, 21.25));

  g_assert_cmpfloat_with_epsilon (p.x_mm, 33.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (p.y_mm, 21.25, 1e-9);
}

static void
test_set_points (void)
{
  g_autoptr (LwJob) job = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwCase) compiled = compile (job);
  const HeatTable *flow = &compiled->scene.nozzle.flow_m3_s;

  g_assert_cmpfloat (compiled->scene.end_s, ==, 240);
  g_assert_true (isnan (lw_set_points_at (&compiled->set.gas_asked, 50)));
  /* The ramp starts from the room, half-way is (25 + 400) / 2. */
  g_assert_cmpfloat_with_epsilon (lw_set_points_at (&compiled->set.gas_asked, 120), 212.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (lw_set_points_at (&compiled->set.gas_asked, 140), 400, 1e-9);
  g_assert_true (isnan (lw_set_points_at (&compiled->set.gas_asked, 190)));
  g_assert_true (isnan (lw_set_points_at (&compiled->set.preheat_asked, 200)));
  for (size_t i = 0; i < flow->n; i++) {
    gboolean on = flow->t_s[i] >= 100 && flow->t_s[i] <= 190 && flow->v[i] > 0;
    g_assert_cmpfloat_with_epsilon (flow->v[i], on ? 35 / 60e3 : 0, 1e-15);
  }
  g_assert_cmpfloat (compiled->scene.nozzle.lag_s, ==, 4);
}

static void
test_table (void)
{
  g_autoptr (LwJob) job = bench_prescribed (20, 1000);
  g_autoptr (LwCase) compiled = compile (job);

  g_assert_cmpfloat (compiled->scene.end_s, ==, 120);
  g_assert_cmpfloat (compiled->scene.nozzle.lag_s, ==, 0);
  g_assert_cmpfloat (compiled->scene.preheat.lag_s, ==, 0);
  g_assert_true (isnan (lw_set_points_at (&compiled->set.gas_asked, 59.9)));
  g_assert_cmpfloat_with_epsilon (lw_set_points_at (&compiled->set.gas_asked, 60), 300, 1e-9);
}

/* Prescribed figures reach the scene to the digit. */
static void
test_prescribed (void)
{
  g_autoptr (LwJob) job = bench_prescribed (17.25, 1234);
  g_autoptr (LwCase) compiled = compile (job);
  const HeatScene *scene = &compiled->scene;
  const HeatBody *body = &compiled->bodies[0];
  double thickness = 0;

  g_assert_cmpuint (scene->board.n_layers, >=, 3);
  for (size_t i = 0; i < scene->board.n_layers; i++) {
    g_assert_cmpfloat_with_epsilon (scene->board.layers[i].thickness_m, 2e-3 / (double) scene->board.n_layers,
                                    1e-15);
    g_assert_cmpfloat (scene->board.layers[i].k_in_w_mk, ==, 17.25);
    g_assert_cmpfloat (scene->board.layers[i].k_thr_w_mk, ==, 17.25);
    g_assert_cmpfloat (scene->board.layers[i].rho_c_j_m3k, ==, 2e6);
  }
  for (size_t i = 0; i < body->n_layers; i++) {
    g_assert_cmpfloat (body->layers[i].k_in_w_mk, ==, 17.25);
    g_assert_cmpfloat (body->layers[i].rho_c_j_m3k, ==, 1.8e6);
    thickness += body->layers[i].thickness_m;
  }
  g_assert_cmpfloat_with_epsilon (thickness, 1.5e-3, 1e-15);
  g_assert_cmpfloat (body->standoff_m, ==, 0);
  g_assert_cmpfloat (body->prescribed_h_w_m2k, ==, 1234);
  g_assert_cmpfloat (scene->board.emissivity, ==, 0);
  g_assert_cmpfloat (scene->nozzle.prescribed_h_w_m2k, ==, 80);
  g_assert_true (scene->room.prescribed);
  g_assert_cmpfloat (scene->room.prescribed_side_w_m2k, ==, 0);
}

/* ---- refusals ---- */

static void
assert_refused (LwJob *job, guint plan)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (lw_case_new (job, plan, &error));
  g_assert_error (error, LW_PREDICT_ERROR, LW_PREDICT_ERROR_JOB);
  g_assert_cmpuint (strlen (error->message), >, 0);
}

static void
test_refused (void)
{
  g_autoptr (LwJob) no_plan = bench_job (LW_SIDE_TOP, 0, 0), lost = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwJob) lifted = bench_job (LW_SIDE_TOP, 0, 0), bare = bench_job (LW_SIDE_TOP, 0, 0);
  g_autoptr (LwJob) idle = bench_job (LW_SIDE_TOP, 0, 0), flat = bench_job (LW_SIDE_TOP, 0, 0);
  LwPlan *plan = g_ptr_array_index (lost->plans, 0);

  assert_refused (no_plan, 1);
  g_free (plan->ref);
  plan->ref = g_strdup ("U99");
  assert_refused (lost, 0);
  ((LwPart *) g_ptr_array_index (lifted->parts, 0))->placed = FALSE;
  assert_refused (lifted, 0);
  g_ptr_array_set_size (bare->station->nozzles, 0);
  assert_refused (bare, 0);
  g_ptr_array_set_size (((LwPlan *) g_ptr_array_index (idle->plans, 0))->stages, 0);
  assert_refused (idle, 0);
  flat->board->thickness_mm = 0;
  assert_refused (flat, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/compile/stack/values", test_stack_values);
  g_test_add_func ("/compile/stack/slices", test_slices_sum);
  g_test_add_func ("/compile/stack/node-in-copper", test_node_in_copper);
  g_test_add_func ("/compile/stack/cuts", test_cuts);
  g_test_add_func ("/compile/stack/via", test_via);
  g_test_add_func ("/compile/stack/default", test_default_stack);
  g_test_add_func ("/compile/stack/weakest-laminate", test_weakest_laminate);
  g_test_add_func ("/compile/joints/ball", test_ball);
  g_test_add_func ("/compile/bodies/array-block", test_array_block);
  g_test_add_func ("/compile/bodies/array-capacity", test_array_capacity);
  g_test_add_func ("/compile/bodies/library-arrays", test_library_arrays);
  g_test_add_func ("/compile/bodies/named-arrays", test_named_arrays);
  g_test_add_func ("/compile/bodies/capacity-given", test_capacity_given);
  g_test_add_func ("/compile/scene/flip", test_flip);
  g_test_add_func ("/compile/scene/shift", test_shift);
  g_test_add_func ("/compile/scene/small-body-lags", test_small_body_lags);
  g_test_add_func ("/compile/scene/meshed-bodies", test_meshed_bodies);
  g_test_add_func ("/compile/scene/lifted-part", test_lifted_part);
  g_test_add_func ("/compile/scene/round-trip", test_round_trip);
  g_test_add_func ("/compile/scene/set-points", test_set_points);
  g_test_add_func ("/compile/scene/table", test_table);
  g_test_add_func ("/compile/scene/prescribed", test_prescribed);
  g_test_add_func ("/compile/refused", test_refused);
  return g_test_run ();
}
