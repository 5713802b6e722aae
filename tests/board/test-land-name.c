/* Names of the land-pattern naming standard, against names whose dimensions are published beside them. */
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "board/land-name.h"

#define ANY NAN

typedef struct {
  const char *name, *from; /* where name and dimensions are published */
  LwPackageKind kind;
  double x_mm, y_mm, height_mm; /* body */
  double pitch_mm, span_x_mm;   /* of the sheet: over the leads' tips */
  guint joints;
} Known;

/* Convention: "IPC-7351B Naming Convention for Standard SMT Land Patterns" and "Library Expert Footprint Naming
 * Convention" (PCB Libraries, 2016), as found on the web. Forum: pcblibraries.com, topic 2030. Libraries: public board
 * libraries whose entries state the body in words. Outlines: JEDEC, from memory. */
static const Known known[] = {
  { "BGA400C80P20X20_1700X1700X160", "Xilinx CLG400: 17 x 17 mm, 0.8 mm", LW_KIND_AREA_ARRAY, 17, 17, 1.6, 0.8, ANY, 400 },
  { "BGA484C100P22X22_2300X2300X260", "Xilinx FGG484: 23 x 23 mm, 1.0 mm", LW_KIND_AREA_ARRAY, 23, 23, 2.6, 1, ANY, 484 },
  { "BGA289C80P17X17_1500X1500X140", "convention's order of figures", LW_KIND_AREA_ARRAY, 15, 15, 1.4, 0.8, ANY, 289 },
  { "BGA96C80P9X16_800X1400X120", "JESD79-3: 96 balls on 9 x 16", LW_KIND_AREA_ARRAY, 8, 14, 1.2, 0.8, ANY, 96 },
  { "BGA78C80P9X13_800X1050X120N", "JESD79-3: 78 balls on 9 x 13", LW_KIND_AREA_ARRAY, 8, 10.5, 1.2, 0.8, ANY, 78 },
  { "BGA256CP100_16X16_1700X1700X160B60", "later draft: letter before, ball behind", LW_KIND_AREA_ARRAY, 17, 17, 1.6, 1, ANY, 256 },
  { "BGA48C75X80P6X8_600X800X100", "convention: dual pitch", LW_KIND_AREA_ARRAY, 6, 8, 1, 0.75, ANY, 48 },
  { "BGAS13C100P5X5_600X600X120", "convention: staggered", LW_KIND_AREA_ARRAY, 6, 6, 1.2, 1, ANY, 13 },
  { "CGA624C127P25X25_3250X3250X540", "convention: columns", LW_KIND_AREA_ARRAY, 32.5, 32.5, 5.4, 1.27, ANY, 625 },
  { "LGA36C127P6X6_900X900X230", "convention: lands", LW_KIND_AREA_ARRAY, 9, 9, 2.3, 1.27, ANY, 36 },
  { "RESC3408X60", "forum: RESC 3.4 0.8 x 0.6", LW_KIND_RESISTOR, 3.4, 0.8, 0.6, ANY, ANY, 2 },
  { "OSCCC670X420X150", "forum: OSCCC 6.7 x 4.2 x 1.5", LW_KIND_CRYSTAL, 6.7, 4.2, 1.5, ANY, ANY, 4 },
  { "CAPC1608X90N", "IEC 60384: 1.6 x 0.8 mm", LW_KIND_CERAMIC_CAPACITOR, 1.6, 0.8, 0.9, ANY, ANY, 2 },
  { "CAPC2012X140M", "IEC 60384: 2.0 x 1.25 mm", LW_KIND_CERAMIC_CAPACITOR, 2.0, 1.25, 1.4, ANY, ANY, 2 },
  { "RESC0402X15L", "01005: 0.4 x 0.2 mm", LW_KIND_RESISTOR, 0.4, 0.2, 0.15, ANY, ANY, 2 },
  { "RESC6332X70", "2512: 6.3 x 3.2 mm", LW_KIND_RESISTOR, 6.3, 3.2, 0.7, ANY, ANY, 2 },
  { "RESC100X50X40L25N", "later draft: three sizes", LW_KIND_RESISTOR, 1.0, 0.5, 0.4, ANY, ANY, 2 },
  { "INDC3225X240", "1210: 3.2 x 2.5 mm", LW_KIND_INDUCTOR, 3.2, 2.5, 2.4, ANY, ANY, 2 },
  { "INDM125125X800", "convention: two sizes of three digits", LW_KIND_INDUCTOR, 12.5, 12.5, 8, ANY, 12.5, 2 },
  { "DIOMELF3515N", "mini MELF: 3.5 x 1.5 mm", LW_KIND_LEADLESS, 3.5, 1.5, 1.5, ANY, ANY, 2 },
  { "CAPMP7343X310N", "libraries: 7.30 x 4.30 x 3.10 mm", LW_KIND_TANTALUM, 7.3, 4.3, 3.1, ANY, 7.3, 2 },
  { "CAPMP7343X310_HS", "libraries: the same", LW_KIND_TANTALUM, 7.3, 4.3, 3.1, ANY, 7.3, 2 },
  { "DIOM5226X290N", "libraries: 5.20 x 2.60 x 2.90; SMA body 4.3", LW_KIND_LEADED, 4.3, 2.6, 2.9, ANY, 5.2, 2 },
  { "SOD2512X110N", "SOD-323: 2.5 over leads, 1.25 wide", LW_KIND_LEADED, ANY, 1.2, 1.1, ANY, 2.5, 2 },
  { "SODFL1608X70N", "SC-79: 1.6 over leads, 0.8 wide", LW_KIND_LEADED, ANY, 0.8, 0.7, ANY, 1.6, 2 },
  { "CAPAE660X770N", "6.6 mm base, 7.7 mm", LW_KIND_ELECTROLYTIC, 6.6, 6.6, 7.7, ANY, ANY, 2 },
  { "CAPAE660X580DD180L260N", "libraries: a maker's addition", LW_KIND_ELECTROLYTIC, 6.6, 6.6, 5.8, ANY, ANY, 2 },
  { "XTAL320X150X90", "convention: body by body by height", LW_KIND_CRYSTAL, 3.2, 1.5, 0.9, ANY, ANY, 2 },
  { "SOIC127P600X175-8N", "MS-012 AA: 3.9 x 4.9 mm", LW_KIND_LEADED, 3.9, 4.9, 1.75, 1.27, 6, 8 },
  { "SOIC127P1030X265-16N", "MS-013 AA: 7.5 x 10.3 mm", LW_KIND_LEADED, 7.5, 10.3, 2.65, 1.27, 10.3, 16 },
  { "SOP65P640X120-20N", "MO-153 AC: 4.4 x 6.5 mm", LW_KIND_LEADED, 4.4, 6.5, 1.2, 0.65, 6.4, 20 },
  { "SOP65P640X120-29N", "TI PWP: 28 leads and a pad, 4.4 x 9.7", LW_KIND_LEADED, 4.4, 9.7, 1.2, 0.65, 6.4, 28 },
  { "SOT95P280X145-5N", "MO-178 AA: 1.6 x 2.9 mm", LW_KIND_LEADED, 1.6, 2.9, 1.45, 0.95, 2.8, 5 },
  { "SOT95P237X112-3N", "TO-236 AB: 1.3 x 2.9 mm", LW_KIND_LEADED, 1.3, 2.9, 1.12, 0.95, 2.37, 3 },
  { "SOT65P210X110-6N", "MO-203: 1.25 x 2.0 mm", LW_KIND_LEADED, 1.25, 2.0, 1.1, 0.65, 2.1, 6 },
  { "SOT230P700X180-4N", "TO-261 AA: 3.5 x 6.5 mm", LW_KIND_LEADED, 3.5, 6.5, 1.8, 2.3, 7, 4 },
  { "SOJ127P851X351-26N", "MS-027: 0.300 in, 17.15 mm", LW_KIND_LEADED, 7.57, 17.15, 3.51, 1.27, 8.51, 26 },
  { "QFP50P1600X1600X160-100N", "MS-026 BED: 14 x 14 mm", LW_KIND_LEADED, 14, 14, 1.6, 0.5, 16, 100 },
  { "QFP65P2200X1600X160-100N", "MS-026 BHA: 20 x 14 mm", LW_KIND_LEADED, 20, 14, 1.6, 0.65, 22, 100 },
  { "CQFP127P1500X1500X300-24", "convention: ceramic", LW_KIND_LEADED, 13, 13, 3, 1.27, 15, 24 },
  { "PLCC127P990X990X457-20N", "MS-018 AA: 8.97 mm", LW_KIND_LEADED, 8.97, 8.97, 4.57, 1.27, 9.9, 20 },
  { "QFN50P500X500X100-33N", "MO-220: 32 terminals and a pad", LW_KIND_LEADLESS, 5, 5, 1, 0.5, ANY, 32 },
  { "TI-QFN50P350X350X100-19_15T205X205", "convention: TI RHL, 14 and a pad", LW_KIND_LEADLESS, 3.5, 3.5, 1, 0.5, ANY, 14 },
  { "SON65P300X300X100-8N", "MO-229", LW_KIND_LEADLESS, 3, 3, 1, 0.65, ANY, 8 },
  { "LCC127P889X889X200-20", "MS-002: 8.89 mm, ceramic", LW_KIND_LEADLESS, 8.89, 8.89, 2, 1.27, ANY, 20 },
  { "RESCAV50P200X100X45-8N", "convention: length along the rows", LW_KIND_RESISTOR, 1, 2, 0.45, 0.5, ANY, 8 },
  { "DIP762W53P254L3500H508Q28B", "libraries: 28-DIP, 7.62 span, 35.00 x 6.60 x 5.08", LW_KIND_LEADED, 6.6, 35, 5.08, 2.54, 7.62, 28 },
  { "DIP762W52P254L1905H508Q14", "IPC-7251: 14 pins, 19.05 mm", LW_KIND_LEADED, 6.6, 19.05, 5.08, 2.54, 7.62, 14 },
  { "DIP254P762X533-8", "libraries: DIP-8, the older way", LW_KIND_LEADED, 6.6, ANY, 5.33, 2.54, 7.62, 8 },
  { "CAPPRD500W60D1000H1250", "IPC-7251: radial, 10 mm", LW_KIND_ELECTROLYTIC, 10, 10, 12.5, ANY, 5, 2 },
  { "CAPRR1000W60L1300T600H1200", "IPC-7251: radial box", LW_KIND_FILM_CAPACITOR, 13, 6, 12, ANY, 10, 2 },
  { "SDBox:CAPMP7343X430N", "libraries: with a library before it", LW_KIND_TANTALUM, 7.3, 4.3, 4.3, ANY, 7.3, 2 },
  { "capc1005x55n", "in small letters", LW_KIND_CERAMIC_CAPACITOR, 1, 0.5, 0.55, ANY, ANY, 2 },
};

static void
expect (const char *what, double is, double wanted, double within)
{
  if (!isnan (wanted) && !(fabs (is - wanted) <= within))
    g_error ("%s is %g, published %g", what, is, wanted);
}

/* What the name states is exact; the body that a name with leads leaves open is within a tenth and 0.15 mm. */
static void
published (void)
{
  double furthest = 0;

  for (guint i = 0; i < G_N_ELEMENTS (known); i++) {
    const Known *k = &known[i];
    LwDatasheet sheet;
    g_autoptr (LwPackage) package = lw_land_name_package (k->name);
    g_autoptr (LwPart) part = lw_part_new ();

    g_test_message ("%s (%s)", k->name, k->from);
    g_assert_nonnull (package);
    g_assert_true (lw_land_name_read (k->name, &sheet));
    g_assert_cmpstr (package->name, ==, k->name);
    g_assert_cmpint (package->kind, ==, k->kind);
    gboolean stated = isnan (k->span_x_mm) || sheet.family == LW_SHEET_RADIAL;
    expect ("length", package->length_mm, k->x_mm, stated ? 1e-9 : 0.15);
    expect ("width", package->width_mm, k->y_mm, stated ? 1e-9 : 0.1 * k->y_mm);
    if (!isnan (k->y_mm))
      furthest = fmax (furthest, fabs (package->width_mm / k->y_mm - 1));
    expect ("height", package->height_mm, k->height_mm, 1e-9);
    expect ("pitch", sheet.figure[LW_FIGURE_PITCH], k->pitch_mm, 1e-9);
    expect ("span", sheet.figure[LW_FIGURE_SPAN_X], k->span_x_mm, 1e-9);
    g_autoptr (GArray) joints = lw_part_joints (part, package);
    g_assert_cmpuint (joints->len, ==, k->joints);
    g_assert_nonnull (strstr (package->source, "IPC-7351"));
    g_assert_cmpfloat (package->height_mm, >, package->joints.standoff_mm);
  }
  g_test_message ("largest deviation of a body length the name does not state: %.1f %%", 100 * furthest);
}

static void
details (void)
{
  g_autoptr (LwPackage) hard = lw_land_name_package ("BGA256N127P16X16_2500X2500X300");
  g_autoptr (LwPackage) soft = lw_land_name_package ("BGA256C127P16X16_2500X2500X300");
  g_autoptr (LwPackage) pad = lw_land_name_package ("QFN50P500X500X100-33T345X350N");
  g_autoptr (LwPackage) ceramic = lw_land_name_package ("LCC127P889X889X200-20");
  g_autoptr (LwPackage) can = lw_land_name_package ("CAPAE660X770N");
  g_autoptr (LwPackage) hole = lw_land_name_package ("BGA256C80P20X20_1700X1700X160");
  g_autoptr (LwPackage) dual = lw_land_name_package ("BGA48C75X80P6X8_600X800X100");

  g_assert_cmpfloat (hard->joints.standoff_mm, >, soft->joints.standoff_mm); /* balls that do not collapse */
  g_assert_cmpfloat (pad->joints.thermal_pad_length_mm, ==, 3.45);
  g_assert_cmpfloat (pad->joints.thermal_pad_width_mm, ==, 3.5);
  g_assert_cmpuint (ceramic->body->len, ==, 1); /* alumina, which the kind would not say */
  g_assert_true (can->round);
  g_assert_cmpuint (hole->joints.hole_columns, ==, 12);
  g_assert_cmpuint (hole->joints.hole_rows, ==, 12);
  const LwPoint *first = &g_array_index (dual->joints.positions, LwPoint, 0);
  g_assert_cmpfloat_with_epsilon (first->x_mm, -2.5 * 0.75, 1e-12);
  g_assert_cmpfloat_with_epsilon (first->y_mm, -3.5 * 0.8, 1e-12);
}

/* Not of the standard, cut short, or against themselves: nothing is made up. */
static void
refused (void)
{
  static const char *const names[] = {
    "", "BGA", "U1", "SOIC-8", "R0603", "TQFP-144_20x20mm_P0.5mm", "BGA289", "BGA289C80P17X17", "BGA289C80P17X17_",
    "BGA289C80P17X17_1500", "BGA289C80P17X17_500X500X140", "BGA500C80P17X17_1500X1500X140", "BGA289X80P17X17_1500X1500X140",
    "BGA0C80P0X0_1500X1500X140", "BGA99999999C80P17X17_1500X1500X140", "CAPC160X90", "CAPC16080X90X1X1X1", "CAPC", "CAPCX90",
    "CAPC0000X00", "RESC1608X", "RESC1608X55N5%", "SOIC127P600X175", "SOIC127P600X175-", "SOIC127P600X175-7X9", "QFN50P500X500X100-2", "LCC127P889X889X200-2A",
    "QFN50P100X100X100-64", "QFP50P160X160X160-100", "DIP762W52P254L1905Q14", "DIP", "CAPAE660", "CAPAE0X0", "SOT95P280X145-2",
    "XTAL320", "BGA\n289C80P17X17_1500X1500X140", "BGA256N127P16X16_2500X2500X30",
  };

  for (guint i = 0; i < G_N_ELEMENTS (names); i++) {
    LwDatasheet sheet;

    if (lw_land_name_read (names[i], &sheet))
      g_error ("“%s” was taken", names[i]);
  }
}

/* Whatever the standard calls a sheet of ours is read back as the same package. */
static void
there_and_back (void)
{
  for (guint family = 0; family < LW_SHEET_N_FAMILIES; family++) {
    LwDatasheet sheet, back;
    lw_datasheet_example (&sheet, family);
    g_autofree char *name = lw_datasheet_name (&sheet);
    g_autofree char *again = NULL;
    g_autoptr (LwPackage) a = lw_datasheet_package (&sheet, name, "x"), b = NULL;

    g_test_message ("%s", name);
    g_assert_true (lw_land_name_read (name, &back));
    again = lw_datasheet_name (&back);
    b = lw_datasheet_package (&back, name, "x");
    g_assert_cmpstr (again, ==, name);
    g_assert_cmpint (b->kind, ==, a->kind);
    g_assert_cmpfloat_with_epsilon (b->length_mm, a->length_mm, 0.15);
    g_assert_cmpfloat_with_epsilon (b->width_mm, a->width_mm, 0.1 * a->width_mm);
    g_assert_cmpfloat_with_epsilon (b->height_mm, a->height_mm, 0.0051);
    g_assert_cmpint (b->joints.pattern, ==, a->joints.pattern);
    g_assert_cmpuint (b->joints.rows, ==, a->joints.rows);
  }
}

/* Names are text from anywhere: each is refused or becomes a package that a document accepts. */
static void
mutated (void)
{
  static const char letters[] = "0123456789ABCDEGHLNPQRSTUWX_-:. ";
  g_autoptr (GRand) rand = g_rand_new_with_seed (7351);
  guint taken = 0;

  for (guint i = 0; i < 40000; i++) {
    g_autofree char *name = g_strdup (known[g_rand_int_range (rand, 0, G_N_ELEMENTS (known))].name);
    int edits = g_rand_int_range (rand, 1, 4);

    for (int e = 0; e < edits; e++)
      name[g_rand_int_range (rand, 0, (int) strlen (name))] = letters[g_rand_int_range (rand, 0, sizeof letters - 1)];
    g_autoptr (LwPackage) package = lw_land_name_package (name);
    if (package == NULL)
      continue;
    taken++;
    if (taken % 20 != 0)
      continue;
    g_autoptr (LwJob) job = lw_job_new ();
    g_ptr_array_add (job->packages, lw_package_ref (package));
    g_autoptr (GPtrArray) faults = lw_job_check (job);
    for (guint f = 0; f < faults->len; f++)
      if (g_str_has_prefix (((LwFault *) faults->pdata[f])->path, "packages"))
        g_error ("%s: %s %s", name, ((LwFault *) faults->pdata[f])->path, ((LwFault *) faults->pdata[f])->text);
  }
  g_test_message ("%u of 40000 mutated names were read", taken);
  g_assert_cmpuint (taken, >, 400);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/land-name/published", published);
  g_test_add_func ("/land-name/details", details);
  g_test_add_func ("/land-name/refused", refused);
  g_test_add_func ("/land-name/there-and-back", there_and_back);
  g_test_add_func ("/land-name/mutated", mutated);
  return g_test_run ();
}
