/* What names say about packages. The IPC-7351 names follow the standard's own naming rules (family,
 * pins, pitch, grid or lead span, sizes in hundredths of a millimetre); the others are names of the
 * sample boards. */
#include <math.h>

#include "exchange/package-words.h"

static LwPackage *
package_from (const char *name, const char *number, const char *ref, double length_mm, double width_mm)
{
  LwPackageWords words = lw_package_words_read (name, number, ref);
  LwPackage *package = lw_package_new ();

  package->length_mm = length_mm;
  package->width_mm = width_mm;
  lw_package_words_apply (&words, package);
  return package;
}

typedef struct {
  const char *name, *number, *ref;
  LwPackageKind kind;
} KindCase;

static const KindCase kinds[] = {
  { "BGA324_15SQX1P5_P8MMP", "X", "U1", LW_KIND_AREA_ARRAY },
  { "TQFP-144_20x20mm_P0.5mm", "X", "U1", LW_KIND_LEADED },
  { "QFN-56-1EP_7x7mm_P0.4mm_EP3.2x3.2mm", "X", "U6", LW_KIND_LEADLESS },
  { "C_0805_2012Metric", "100nF", "C1", LW_KIND_CERAMIC_CAPACITOR },
  { "C0402_BGA", "CAP0402_0P47UF_X5R", "C283", LW_KIND_CERAMIC_CAPACITOR },
  { "C1206", "CAP_TANTA_100UF_6P3V", "C9", LW_KIND_TANTALUM },
  { "CP_Radial_D8.0mm_P5.00mm", "10uF", "C2", LW_KIND_ELECTROLYTIC },
  { "R_0603_1608Metric", "1M", "R1", LW_KIND_RESISTOR },
  { "R_1206_3216Metric_Pad1.30x1.75mm_HandSolder", "10uH", "L1", LW_KIND_INDUCTOR },
  { "CAPC1608X90N", "", "C1", LW_KIND_CERAMIC_CAPACITOR },
  { "RESC1005X40N", "", "R1", LW_KIND_RESISTOR },
  { "LED_0603_1608Metric", "Yellow", "D1", LW_KIND_LED },
  { "Crystal_SMD_3225-4Pin_3.2x2.5mm", "12 MHz", "Y1", LW_KIND_CRYSTAL },
  { "PinHeader_1x04_P2.54mm_Vertical", "x", "J1", LW_KIND_CONNECTOR },
  { "MountingHole_3.2mm_M3", "x", "H1", LW_KIND_MECHANICAL },
  /* The designator alone. */
  { "434121025816", "434121025816", "SW1", LW_KIND_SWITCH },
  { "XYZ", "", "J4", LW_KIND_CONNECTOR },
  /* Nothing that leaves no choice. */
  { "XYZ", "", "C4", LW_KIND_OTHER },
  { "XYZ", "", "U4", LW_KIND_OTHER },
  { "C_Disc_D3.0mm_W2.0mm_P2.50mm", "47pF", "C2", LW_KIND_OTHER },
  { "Rotor", "", "X1", LW_KIND_OTHER },
  { "", "", "", LW_KIND_OTHER },
};

static void
test_kinds (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      LwPackageWords words = lw_package_words_read (kinds[i].name, kinds[i].number, kinds[i].ref);

      if (words.kind != kinds[i].kind)
        g_error ("%s, %s: %s", kinds[i].name, kinds[i].ref, lw_kind_word (words.kind));
      g_assert_true ((words.from != NULL) == (words.kind != LW_KIND_OTHER));
    }
}

static void
test_ipc_grid (void)
{
  g_autoptr (LwPackage) package = package_from ("BGA289C80P17X17_1500X1500X140", "", "U1", 15, 15);

  g_assert_cmpint (package->joints.pattern, ==, LW_JOINTS_GRID);
  g_assert_cmpuint (package->joints.columns, ==, 17);
  g_assert_cmpuint (package->joints.rows, ==, 17);
  g_assert_cmpfloat (package->joints.pitch_mm, ==, 0.8);
  g_assert_cmpuint (package->joints.hole_columns, ==, 0);
  g_assert_true (isnan (package->height_mm)); /* the name's height is a largest one: not taken */
}

static void
test_grids (void)
{
  /* 18 x 18 at 0.8 mm; 20 x 20 less a hole of 12 x 12 leaves 256; 16 balls on 2 x 2 mm. */
  g_autoptr (LwPackage) full = package_from ("BGA324_15SQX1P5_P8MMP", "", "U1", 15, 15);
  g_autoptr (LwPackage) hole =
    package_from ("BGA-256_17.0x17.0mm_Layout20x20_P0.8mm_Ball0.5mm_Pad0.4mm", "", "U1", 17, 17);
  g_autoptr (LwPackage) small = package_from ("WLCSP16_1P76X1P96XP629H_P4MMP", "", "U1", 1.76, 1.96);
  g_autoptr (GArray) joints = NULL;
  g_autoptr (LwPart) part = lw_part_new ();

  g_assert_cmpuint (full->joints.columns, ==, 18);
  g_assert_cmpfloat (full->joints.pitch_mm, ==, 0.8);
  g_assert_cmpuint (hole->joints.hole_columns, ==, 12);
  joints = lw_part_joints (part, hole);
  g_assert_cmpuint (joints->len, ==, 256);
  g_assert_cmpuint (small->joints.columns, ==, 4);
  g_assert_cmpfloat_with_epsilon (small->joints.pitch_mm, 0.4, 1e-12);
}

/* A count that makes no square, a pitch that is not said or a body too small: no joints are made up. */
static void
test_no_guess (void)
{
  const struct {
    const char *name;
    double length_mm, width_mm;
  } cases[] = {
    { "FBGA136_11X14X1P1_P8MMP", 11, 14 },   { "BGA324_15SQ", 15, 15 },
    { "BGA324_15SQX1P5_P8MMP", 10, 10 },     { "TQFP-144_20x20mm", 22, 22 },
    { "TQFP-146_20x20mm_P0.5mm", 22, 22 },   { "TQFP-144_20x20mm_P0.5mm", 22, 12 },
    { "SOIC-8_3.9x4.9mm_P1.27mm", 6, 2 },    { "C_0805_2012Metric", 0.5, 0.5 },
    { "XYZ-8_3.9x4.9mm_P1.27mm", 6, 5 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (LwPackage) package =
        package_from (cases[i].name, "", "U1", cases[i].length_mm, cases[i].width_mm);

      if (package->joints.pattern != LW_JOINTS_NONE)
        g_error ("%s has joints", cases[i].name);
    }
}

/* Feet of 0.6 mm: rows lie 22 - 0.6 apart, whether the drawing shows the leads, or the body alone, or
 * the name says the span over the tips. */
static void
test_quad_leads (void)
{
  g_autoptr (LwPackage) with_leads = package_from ("TQFP-144_20x20mm_P0.5mm", "", "U1", 22, 22);
  g_autoptr (LwPackage) body = package_from ("TQFP-144_20x20mm_P0.5mm", "", "U1", 20, 20);
  g_autoptr (LwPackage) ipc = package_from ("QFP50P2200X2200X120-144N", "", "U1", 20, 20);
  LwPackage *all[] = { with_leads, body, ipc };

  for (guint i = 0; i < G_N_ELEMENTS (all); i++)
    {
      g_assert_cmpint (all[i]->joints.pattern, ==, LW_JOINTS_FOUR_SIDES);
      g_assert_cmpuint (all[i]->joints.columns, ==, 36);
      g_assert_cmpuint (all[i]->joints.rows, ==, 36);
      g_assert_cmpfloat (all[i]->joints.pitch_mm, ==, 0.5);
      g_assert_cmpfloat_with_epsilon (all[i]->joints.span_x_mm, 21.4, 1e-9);
      g_assert_cmpfloat_with_epsilon (all[i]->joints.span_y_mm, 21.4, 1e-9);
    }
}

static void
test_leadless (void)
{
  g_autoptr (LwPackage) package = package_from ("QFN-56-1EP_7x7mm_P0.4mm_EP3.2x3.2mm", "", "U1", 7, 7);
  g_autoptr (LwPackage) ipc = package_from ("QFN50P500X500X100-33N", "", "U1", 5, 5);

  g_assert_cmpuint (package->joints.columns, ==, 14);
  g_assert_cmpfloat_with_epsilon (package->joints.span_x_mm, 6.6, 1e-9);
  g_assert_cmpfloat (package->joints.thermal_pad_length_mm, ==, 3.2);
  g_assert_cmpuint (ipc->joints.rows, ==, 8); /* the 33rd is the pad */
}

static void
test_two_rows (void)
{
  g_autoptr (LwPackage) package = package_from ("SOIC-8_3.9x4.9mm_P1.27mm", "", "U1", 6, 4.9);
  g_autoptr (LwPackage) ipc = package_from ("SOIC127P600X175-8N", "", "U1", 3.9, 4.9);

  g_assert_cmpint (package->joints.pattern, ==, LW_JOINTS_TWO_SIDES);
  g_assert_cmpuint (package->joints.rows, ==, 4);
  g_assert_cmpfloat_with_epsilon (package->joints.span_x_mm, 5.4, 1e-9);
  g_assert_cmpfloat_with_epsilon (ipc->joints.span_x_mm, 5.4, 1e-9);
}

/* A chip drawn across has its terminals across. */
static void
test_chips (void)
{
  g_autoptr (LwPackage) along = package_from ("C_0402_1005Metric", "", "C1", 1.0, 0.5);
  g_autoptr (LwPackage) across = package_from ("F0603", "FUSE", "F1", 1.52, 3.58);
  g_autoptr (LwPart) part = lw_part_new ();
  g_autoptr (GArray) joints = lw_part_joints (part, across);

  g_assert_cmpint (along->joints.pattern, ==, LW_JOINTS_TWO_ENDS);
  g_assert_cmpfloat_with_epsilon (along->joints.span_x_mm, 0.78, 1e-9);
  g_assert_cmpfloat (along->joints.width_mm, ==, 0.5);
  g_assert_cmpint (across->joints.pattern, ==, LW_JOINTS_LISTED);
  g_assert_cmpuint (joints->len, ==, 2);
  g_assert_cmpfloat_with_epsilon (
    g_array_index (joints, LwPoint, 1).y_mm - g_array_index (joints, LwPoint, 0).y_mm, 0.78 * 1.6, 1e-9);
}

/* Families that only names of the land-pattern standard describe, on the body that the outline has or its box with the
 * leads; a drawing of another size gets no joints. Outlines: MO-178, MS-018, MS-001, TO-261, from memory. */
static void
test_standard_names (void)
{
  const struct {
    const char *name;
    double length_mm, width_mm;
    guint joints;
  } cases[] = {
    { "SOT95P280X145-5N", 1.6, 2.9, 5 },       { "SOT95P280X145-5N", 2.8, 2.9, 5 },
    { "PLCC127P990X990X457-20N", 8.97, 8.97, 20 }, { "DIP762W52P254L1905H508Q14", 6.6, 19.05, 14 },
    { "SOT230P700X180-4N", 3.5, 6.5, 4 },      { "CAPMP7343X310N", 7.3, 4.3, 2 },
    { "SOT95P280X145-5N", 5, 2.9, 0 },         { "PLCC127P990X990X457-20N", 20, 20, 0 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (LwPackage) package =
        package_from (cases[i].name, "", "U1", cases[i].length_mm, cases[i].width_mm);
      g_autoptr (LwPart) part = lw_part_new ();
      g_autoptr (GArray) joints = lw_part_joints (part, package);

      g_test_message ("%s on %g x %g mm", cases[i].name, cases[i].length_mm, cases[i].width_mm);
      g_assert_cmpuint (joints->len, ==, cases[i].joints);
    }
}

/* Names are text from anywhere. */
static void
test_odd_names (void)
{
  const char *names[] = { "BGA99999999999999999999C80P17X17_1X1",
                          "BGA_P1e9mm",
                          "QFN-_-_-",
                          "P.....mm",
                          "Layout0x0",
                          "EPxmm",
                          "QFP50P-",
                          "BGA256C0P0X0_",
                          "PPPPPPMMP",
                          "MMP",
                          "QFN4294967295",
                          "Ball",
                          "C",
                          "R_" };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autoptr (LwPackage) package = package_from (names[i], names[i], names[i], 10, 10);

      g_assert_cmpint (package->joints.pattern, ==, LW_JOINTS_NONE);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/words/kinds", test_kinds);
  g_test_add_func ("/words/ipc-grid", test_ipc_grid);
  g_test_add_func ("/words/grids", test_grids);
  g_test_add_func ("/words/no-guess", test_no_guess);
  g_test_add_func ("/words/quad-leads", test_quad_leads);
  g_test_add_func ("/words/leadless", test_leadless);
  g_test_add_func ("/words/two-rows", test_two_rows);
  g_test_add_func ("/words/chips", test_chips);
  g_test_add_func ("/words/standard-names", test_standard_names);
  g_test_add_func ("/words/odd-names", test_odd_names);
  return g_test_run ();
}
