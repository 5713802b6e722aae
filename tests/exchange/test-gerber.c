/* Gerber files, command by command, against areas and places by plain geometry; and files that are wrong.
 * The commands are those of the published Gerber format (RS-274X with the X2 and X3 attributes). */
#include <math.h>
#include <string.h>

#include "exchange/gerber.h"
#include "exchange/plot-set.h"

#define HEAD "%FSLAX46Y46*%\n%MOMM*%\n"

static LwGerber *
read_text (const char *text)
{
  g_autoptr (GPtrArray) notes = lw_notes_new ();
  g_autoptr (GError) error = NULL;
  LwGerber *gerber = lw_gerber_read ("a.gbr", text, strlen (text), notes, NULL, &error);

  g_assert_no_error (error);
  return gerber;
}

static double
plotted (const char *text)
{
  static const LwPlotGrid grid = { -20, -20, 0.5, 80, 80 };
  g_autoptr (LwGerber) gerber = read_text (text);
  g_autoptr (GError) error = NULL;
  double total;
  g_autofree double *cover = NULL;

  g_assert_cmpstr (gerber->fault, ==, NULL);
  cover = lw_plot_cover (gerber->plot, NULL, &grid, &total, NULL, &error);
  g_assert_no_error (error);
  return total;
}

/* Text of commands, and the area they cover. */
static const struct {
  const char *name, *text;
  double area;
} areas[] = {
  { "circle", "%ADD10C,4*%D10*X0Y0D03*M02*", 12.566 },
  { "circle with a hole", "%ADD10C,4X2*%D10*X0Y0D03*M02*", 9.4248 },
  { "rectangle", "%ADD10R,3X2*%D10*X1000000Y0D03*M02*", 6 },
  { "obround", "%ADD10O,5X2*%D10*X0Y0D03*M02*", 6 + 3.1416 },
  { "hexagon", "%ADD10P,4X6*%D10*X0Y0D03*M02*", 10.392 }, /* 3 sqrt(3)/2 r^2 */
  { "stroke", "%ADD10C,1*%D10*X0Y0D02*X10000000Y0D01*M02*", 10 + 0.7854 },
  { "modal coordinates", "%ADD10C,1*%D10*X0Y0D02*X10000000D01*Y0D01*M02*", 10 + 0.7854 },
  { "rectangle swept", "%ADD10R,2X1*%D10*X0Y0D02*X3000000Y4000000D01*M02*", 2 + 3 * 1 + 4 * 2 },
  { "region", "G36*X0Y0D02*X4000000D01*Y3000000D01*X0Y0D01*G37*M02*", 6 },
  { "region with arcs", "G75*G36*X-3000000Y0D02*G03*X3000000Y0I3000000J0D01*G01*X-3000000Y0D01*G37*M02*", 14.137 },
  { "full circle in a region", "G75*G36*X3000000Y0D02*G02*X3000000Y0I-3000000J0D01*G37*M02*", 28.274 },
  { "quarter ring, single quadrant", "%ADD10C,1*%D10*G74*X5000000Y0D02*G03*X0Y5000000I5000000J0D01*M02*",
    1.5708 * 5 + 0.7854 },
  { "clear polarity", "%ADD10R,6X6*%%ADD11R,2X2*%D10*X0Y0D03*%LPC*%D11*X0Y0D03*%LPD*%M02*", 32 },
  { "repeats", "%ADD10R,1X1*%D10*%SRX3Y2I2J3*%X0Y0D03*%SR*%M02*", 6 },
  { "repeats that overlap", "%ADD10R,1X1*%D10*%SRX3Y1I0.5J0*%X0Y0D03*%SR*%M02*", 2 },
  { "block", "%ADD10R,1X1*%%ABD12*%D10*X0Y0D03*X2000000Y0D03*%AB*%D12*X0Y0D03*X0Y5000000D03*M02*", 4 },
  { "block flashed clear", "%ADD10R,1X1*%%ADD11R,9X9*%%ABD12*%D10*X0Y0D03*%AB*%D11*X0Y0D03*%LPC*%D12*X0Y0D03*M02*", 80 },
  { "block in a block",
    "%ADD10R,1X1*%%ABD12*%%ABD13*%D10*X0Y0D03*%AB*%D13*X0Y0D03*X3000000Y0D03*%AB*%D12*X0Y0D03*X0Y3000000D03*M02*", 4 },
  { "scaled and turned", "%ADD10R,3X1*%D10*%LS2*%%LR90*%X0Y0D03*M02*", 12 },
  { "macro: circle, vector, centre line",
    "%AMA*1,1,2,-5,0*20,1,1,0,0,0,4,0*21,1,3,2,6,0,0*%%ADD10A*%D10*X0Y0D03*M02*", 3.1416 + 4 + 6 },
  /* each of these lies upon its twin, so that a place or a turn that is off shows as area */
  { "macro: vector line runs from start to end", "%AMA*20,1,1,0,0,4,0,0*21,1,4,1,2,0,0*%%ADD10A*%D10*X0Y0D03*M02*", 4 },
  { "macro: vector line turned", "%AMA*20,1,1,0,0,4,0,90*21,1,1,4,0,2,0*%%ADD10A*%D10*X0Y0D03*M02*", 4 },
  { "macro: circle turned", "%AMA*1,1,2,-5,0,90*21,1,2,2,0,-5,0*%%ADD10A*%D10*X0Y0D03*M02*", 4 },
  { "turned counter-clockwise", "%AMA*21,1,1,1,2,0,0*%%ADD10A*%%ADD11R,1X1*%D10*%LR90*%X0Y0D03*%LR0*%D11*X0Y2000000D03*M02*", 1 },
  { "mirrored, then turned",
    "%AMA*21,1,1,1,2,0,0*%%ADD10A*%%ADD11R,1X1*%D10*%LMX*%%LR90*%X0Y0D03*%LMN*%%LR0*%D11*X0Y-2000000D03*M02*", 1 },
  { "macro: outline", "%AMA*4,1,3,0,0,4,0,0,3,0,0,0*%%ADD10A*%D10*X0Y0D03*M02*", 6 },
  { "macro: exposure off", "%AMA*21,1,4,4,0,0,0*1,0,2,0,0*%%ADD10A*%D10*X0Y0D03*M02*", 16 - 3.1416 },
  { "macro: polygon", "%AMA*5,1,6,0,0,4,0*%%ADD10A*%D10*X0Y0D03*M02*", 10.392 },
  { "macro: variables",
    "%AMA*$3=$1x2-(1+$2/2)*21,1,$3,$2,0,0,0*%%ADD10A,3X2*%D10*X0Y0D03*M02*", 8 }, /* 3 x 2 - (1 + 2/2) = 4, by 2 */
  { "macro: thermal without a gap", "%AMA*7,0,0,6,4,0,0*%%ADD10A*%D10*X0Y0D03*M02*", 15.708 },
  { "no leading zeros, comment", "G04 hello*%ADD10R,1X1*%G54D10*X0Y0D3*M02*", 1 },
  { "attributes in comments", "G04 #@! TF.FileFunction,Copper,L1,Top*%ADD10R,1X1*%D10*X0Y0D03*M02*", 1 },
};

static void
test_areas (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (areas); i++)
    {
      g_autofree char *text = g_strconcat (HEAD, areas[i].text, NULL);
      double is = plotted (text);

      g_test_message ("%s: %.4f mm2, by geometry %.4f", areas[i].name, is, areas[i].area);
      g_assert_cmpfloat (fabs (is - areas[i].area), <, 2e-3 * areas[i].area);
    }
}

/* A thermal of four pieces: the ring less a cross, by integration of its width:
 * pi (ro^2 - ri^2) less four bars from about ri to ro. */
static void
test_thermal (void)
{
  double bar = 0, step = 1e-5, r_out = 3, r_in = 2, half = 0.25, ring = G_PI * (r_out * r_out - r_in * r_in);

  for (double v = -half + step / 2; v < half; v += step)
    bar += step * (sqrt (r_out * r_out - v * v) - sqrt (r_in * r_in - v * v));
  g_assert_cmpfloat (fabs (plotted (HEAD "%AMA*7,0,0,6,4,0.5,45*%%ADD10A*%D10*X0Y0D03*M02*") - (ring - 4 * bar)), <,
                     2e-3 * ring);
}

/* 2.5 digits in inches; zeros dropped at the end. */
static void
test_units (void)
{
  g_assert_cmpfloat (fabs (plotted ("%MOIN*%%FSLAX25Y25*%%ADD10R,0.1X0.2*%D10*X10000Y0D03*M02*") - 0.02 * 645.16), <, 1e-6);
  g_assert_cmpfloat (fabs (plotted ("%MOMM*%%FSTAX33Y33*%%ADD10R,1X1*%D10*X001Y0D02*X003D01*M02*") - 3), <, 1e-6);
}

static void
test_parts (void)
{
  g_autoptr (LwGerber) gerber = read_text (
    HEAD "%TF.FileFunction,Component,L1,Top*%%TA.AperFunction,ComponentMain*%%ADD10C,0.3*%%TD*%"
         "%TA.AperFunction,ComponentOutline,Body*%%ADD11C,0.1*%%TD*%%TA.AperFunction,ComponentPin*%%ADD12C,0.1*%%TD*%"
         "D10*%TO.C,R\\u00e41*%%TO.CRot,90*%%TO.CHgt,1.25*%%TO.CFtp,F\\u002cX*%%TO.CVal,10k*%X1000000Y2000000D03*"
         "D11*X0Y0D02*X2000000Y0D01*D12*%TO.P,R\\u00e41,1,A*%X500000Y2000000D03*X1500000Y2000000D03*M02*");
  const LwGerberPart *part;

  g_assert_cmpstr (gerber->fault, ==, NULL);
  g_assert_cmpuint (gerber->parts->len, ==, 1);
  part = gerber->parts->pdata[0];
  g_assert_cmpstr (part->ref, ==, "Rä1");
  g_assert_cmpstr (part->footprint, ==, "F,X");
  g_assert_cmpstr (part->value, ==, "10k");
  g_assert_cmpfloat (part->x_mm, ==, 1);
  g_assert_cmpfloat (part->rotation_deg, ==, 90);
  g_assert_cmpfloat (part->height_mm, ==, 1.25);
  g_assert_cmpuint (part->pins->len, ==, 2);
  g_assert_cmpint (part->outline, ==, LW_GERBER_BODY);
}

/* ---- what is wrong ---- */

static const struct {
  const char *text, *says;
} faults[] = {
  { "%MOMM*%\nX0Y0D02*", ":2: a coordinate comes before the number format" },
  { "%FSLAX46Y46*%\nX0Y0D02*", ":2: a coordinate comes before the unit" },
  { "%FSLAX46*%", ":1: the number format has no X and Y" },
  { "%MOFT*%", "neither MM nor IN" },
  { HEAD "D10*", ":3: aperture D10 is not defined" },
  { HEAD "%ADD10C,x*%", "not a size" },
  { HEAD "%ADD10C,-1*%", "below zero" },
  { HEAD "%ADD10Q,1*%", "no aperture macro" },
  { HEAD "%ADD10P,1X99*%", "3 to 12 corners" },
  { HEAD "%AMA*21,1,$1/0,1,0,0,0*%%ADD10A,1*%", "division by zero" },
  { HEAD "%AMA*21,1,((((((((((((((((((((((((((((((((((((((((((1*%%ADD10A,1*%", "nested too deep" },
  { HEAD "%AMA*99,1,1*%%ADD10A*%", "is not known" },
  { HEAD "%AMA*4,1,99999,0,0*%%ADD10A*%", "too few figures" },
  { HEAD "%AMA*4,1,1e9,0,0*%%ADD10A*%", "operator" },
  { HEAD "X99999999999999Y0D02*", "lies" },
  { HEAD "X9999999999999999999999Y0D02*", "not a coordinate" },
  { HEAD "X12*", "without an operation" },
  { HEAD "X1Y1D01*", "before an aperture" },
  { HEAD "%SRX99999Y99999I1J1*%", "too many" },
  { HEAD "%ADD10C,1*%D10*%SRX1000Y2000I0J0*%X0Y0D03*X1Y1D03*%SR*%M02*", "more than can be drawn" },
  { HEAD "%AB*%", "has not begun" },
  { HEAD "G36*X0Y0D02*X1Y0D01*", "inside a region" },
  { HEAD "%ADD10C,1*%D10*X0Y0D0", "cut off" },
  { HEAD "%LPQ*%", "neither D nor C" },
  { HEAD "~~~*", "not a command" },
};

static void
test_faults (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (faults); i++)
    {
      g_autoptr (LwGerber) gerber = read_text (faults[i].text);

      g_test_message ("%s -> %s", faults[i].text, gerber->fault);
      g_assert_nonnull (gerber->fault);
      g_assert_nonnull (strstr (gerber->fault, faults[i].says));
      g_assert_true (g_str_has_prefix (gerber->fault, "a.gbr:"));
    }
}

/* Blocks that hold twice the block before: bounded by the number of shapes, not by patience. */
static void
test_block_bomb (void)
{
  g_autoptr (GString) text = g_string_new (HEAD "%ADD10C,1*%%ABD11*%D10*X0Y0D03*%AB*%");
  g_autoptr (LwGerber) gerber = NULL;

  for (guint i = 12; i < 60; i++)
    g_string_append_printf (text, "%%ABD%u*%%D%u*X0Y0D03*X1Y1D03*%%AB*%%", i, i - 1);
  g_string_append (text, "D59*X0Y0D03*M02*");
  gerber = read_text (text->str);
  g_assert_nonnull (gerber->fault);
  g_assert_nonnull (strstr (gerber->fault, "shapes are drawn"));
}

static void
test_missing_end (void)
{
  g_autoptr (GPtrArray) notes = lw_notes_new ();
  const char *text = HEAD "%ADD10C,1*%D10*X0Y0D03*";
  g_autoptr (LwGerber) gerber = lw_gerber_read ("a.gbr", text, strlen (text), notes, NULL, NULL);

  g_assert_cmpstr (gerber->fault, ==, NULL);
  g_assert_true (gerber->no_end);
  g_assert_cmpuint (lw_plot_length (gerber->plot), ==, 1);
}

/* ---- a whole set from spoilt files ---- */

/* Bytes changed, dropped and cut at random from a fixed seed: never a crash, always an import or a reason. */
static void
test_spoilt (void)
{
  static const char *const files[] = { "ecc83_v2/gerber/ecc83v2-Dessus.gbr", "ecc83_v2/gerber/ecc83v2-Edge_Cuts.gbr",
                                       "ecc83_v2/gerber/ecc83v2-pnp_top.gbr", "ecc83_v2/gerber/ecc83v2-job.gbrjob",
                                       "ecc83_v2/drill/ecc83v2-PTH.drl" };
  g_autoptr (GRand) random = g_rand_new_with_seed (20260704);
  guint read = 0;

  for (guint round = 0; round < 300; round++)
    {
      char *data[G_N_ELEMENTS (files)];
      LwPlotFile set[G_N_ELEMENTS (files)];
      g_autoptr (GError) error = NULL;
      g_autoptr (LwImport) import = NULL;

      for (guint i = 0; i < G_N_ELEMENTS (files); i++)
        {
          g_autofree char *path = g_build_filename (DATA_DIR, files[i], NULL);
          gsize size;

          g_assert_true (g_file_get_contents (path, &data[i], &size, NULL));
          for (guint k = 0; k < (guint) g_rand_int_range (random, 0, 4); k++)
            data[i][g_rand_int_range (random, 0, (gint32) size)] = "0123456789XYDGM%*.,-$()=\n\xff"[g_rand_int_range (random, 0, 26)];
          if (g_rand_boolean (random))
            size = (gsize) g_rand_int_range (random, 1, (gint32) size);
          set[i] = (LwPlotFile) { files[i], data[i], size };
        }
      import = lw_import_plots (set, G_N_ELEMENTS (files), NULL, NULL, NULL, NULL, &error);
      g_assert_true ((import != NULL) != (error != NULL));
      read += import != NULL;
      for (guint i = 0; i < G_N_ELEMENTS (files); i++)
        g_free (data[i]);
    }
  g_test_message ("%u of 300 were still a board", read);
  g_assert_cmpuint (read, >, 30);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/gerber/areas", test_areas);
  g_test_add_func ("/gerber/thermal", test_thermal);
  g_test_add_func ("/gerber/units", test_units);
  g_test_add_func ("/gerber/parts", test_parts);
  g_test_add_func ("/gerber/faults", test_faults);
  g_test_add_func ("/gerber/block-bomb", test_block_bomb);
  g_test_add_func ("/gerber/missing-end", test_missing_end);
  g_test_add_func ("/gerber/spoilt", test_spoilt);
  return g_test_run ();
}
