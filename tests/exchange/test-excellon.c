/* Drill files in the ways they are written: with and without unit, zeros, points and header. Each text
 * states the same holes; which is which follows from the formats' published descriptions (leading zeros kept:
 * the missing digits stand at the end). */
#include <math.h>
#include <string.h>

#include "exchange/excellon.h"
#include "exchange/holes.h"

/* A board of 100 x 50 mm with its low corner at the origin, for what a file leaves open. */
static const LwBox board = { 0, 0, 100, 50 };

static LwExcellon *
read_text (const char *text, GPtrArray **notes)
{
  g_autoptr (GPtrArray) own = lw_notes_new ();
  g_autoptr (GError) error = NULL;
  LwExcellon *file = lw_excellon_read ("a.drl", text, strlen (text), &board, own, &error);

  g_assert_no_error (error);
  if (notes != NULL)
    *notes = g_steal_pointer (&own);
  return file;
}

/* Every text: a hole of 1 mm at 12.7, 25.4 and one at 38.1, 25.4 mm. */
static const char *const same[] = {
  "M48\nMETRIC\nT1C1.0\n%\nT1\nX12.7Y25.4\nX38.1\nM30\n",
  "M48\nINCH\nT1C0.03937\n%\nT1\nX0.5Y1.0\nX1.5\nM30\n",
  "M48\nINCH,TZ\nT1C0.03937\n%\nT1\nX5000Y10000\nX15000\nM30\n",           /* 2.4, zeros dropped at the front */
  "M48\nINCH,LZ\nT1C0.03937\n%\nT1\nX005Y01\nX015\nM30\n",                 /* 2.4, zeros dropped at the end */
  "M48\nINCH\nT1C0.03937\n%\nT1\nX005000Y010000\nX015000\nM30\n",          /* six digits: both the same */
  "M48\nMETRIC,TZ,000.000\nT1C1.0\n%\nT1\nX12700Y25400\nX38100\nM30\n",
  "M48\nMETRIC,LZ,000.000\nT1C1.0\n%\nT1\nX0127Y0254\nX0381\nM30\n",
  "M48\n; FORMAT={3:2/ absolute / metric / suppress leading zeros}\nMETRIC,TZ\nT1C1.0\n%\nT1\nX1270Y2540\nX3810\nM30\n",
  "M48\nM71\nT01C1.0F200S65\n%\nG90\nG05\nT01\nX12.7Y25.4\nX38.1\nM30\n",
  "M48\r\nMETRIC\r\nT1C1.0\r\n%\r\nT1\r\nX12.7Y25.4\r\nR1X25.4\r\nM30\r\n",
  "M48\nMETRIC\nT1C1.0\n%\nG91\nT1\nX12.7Y25.4\nX25.4\nM30\n",
  "M48\nT1C0.03937\n%\nT1\nX005Y01\nX015\nM30\n", /* nothing said: only this reading lies on the board */
};

static void
test_same (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (same); i++)
    {
      g_autoptr (LwExcellon) file = read_text (same[i], NULL);
      const LwHole *hole;

      g_test_message ("%u: %s", i, file->fault != NULL ? file->fault : "fine");
      g_assert_cmpstr (file->fault, ==, NULL);
      g_assert_cmpuint (file->holes->len, ==, 2);
      hole = &g_array_index (file->holes, LwHole, 1);
      g_test_message ("%.4f, %.4f, %.4f", hole->a.x_mm, hole->a.y_mm, hole->diameter_mm);
      g_assert_cmpfloat (fabs (hole->a.x_mm - 38.1), <, 1e-6);
      g_assert_cmpfloat (fabs (hole->a.y_mm - 25.4), <, 1e-6);
      g_assert_cmpfloat (fabs (hole->diameter_mm - 1), <, 1e-3);
    }
}

static void
test_guess_is_told (void)
{
  g_autoptr (GPtrArray) notes = NULL;
  g_autoptr (LwExcellon) file = read_text (same[G_N_ELEMENTS (same) - 1], &notes);

  g_assert_true (file->guessed);
  g_assert_cmpuint (notes->len, ==, 2); /* unit, zeros */
}

static void
test_slots_and_plating (void)
{
  g_autoptr (LwExcellon) file = read_text ("M48\n; #@! TF.FileFunction,NonPlated,1,2,NPTH\nMETRIC\nT1C3\nT2C0.5\n%\nT1\n"
                                           "X10.0Y10.0G85X15.0Y10.0\nX30.0Y20.0\nT2\nX40.0Y20.0\nG00X50.0Y30.0\nM15\nG01X56.0Y30.0\nM16\n"
                                           "G05\nM30\n",
                                           NULL);
  g_autoptr (GPtrArray) loops = lw_listed_loops_new ();

  g_assert_cmpstr (file->fault, ==, NULL);
  g_assert_cmpuint (file->holes->len, ==, 4);
  g_assert_cmpint (g_array_index (file->holes, LwHole, 0).plating, ==, LW_HOLE_UNPLATED);
  g_assert_cmpfloat (g_array_index (file->holes, LwHole, 3).b.x_mm, ==, 56);
  g_assert_cmpuint (lw_holes_cut_outs (file->holes, loops), ==, 2); /* the small ones are none */
  /* A slot 5 mm long, 3 mm wide: 15 + pi 1.5^2; a hole of 3 mm. */
  g_assert_cmpfloat (fabs (fabs (lw_loop_area (((LwListedLoop *) loops->pdata[0])->loop)) - (15 + G_PI * 2.25)), <, 1e-6);
  g_assert_cmpfloat (fabs (fabs (lw_loop_area (((LwListedLoop *) loops->pdata[1])->loop)) - G_PI * 2.25), <, 1e-6);
}

/* A grid of 6 x 4 vias 1 mm apart becomes one field of that pitch; lone ones become none. */
static void
test_via_field (void)
{
  g_autoptr (GString) text = g_string_new ("M48\n;TYPE=PLATED\nMETRIC\nT1C0.4\n%\nT1\n");
  g_autoptr (LwExcellon) file = NULL;
  g_autoptr (LwBoard) job_board = lw_board_new ();
  const LwViaField *field;
  guint n;

  for (guint i = 0; i < 24; i++)
    g_string_append_printf (text, "X%u.0Y%u.0\n", 20 + i % 6, 10 + i / 6);
  g_string_append (text, "X60.0Y40.0\nX70.0Y40.0\nM30\n");
  file = read_text (text->str, NULL);
  g_assert_cmpuint (lw_holes_via_fields (file->holes, job_board, &n), ==, 1);
  g_assert_cmpuint (n, ==, 24);
  field = job_board->via_fields->pdata[0];
  g_assert_cmpfloat (fabs (field->pitch_mm - 1), <, 1e-9);
  g_assert_cmpfloat (fabs (field->drill_mm - 0.4), <, 1e-9);
  g_assert_cmpfloat (fabs (fabs (lw_loop_area (field->loop)) - 24), <, 1e-9);
}

static const struct {
  const char *text, *says;
} faults[] = {
  { "M48\nMETRIC\n%\nT1\nM30\n", ":4: tool 1 is not defined" },
  { "M48\nMETRIC\nT1C0\n%\n", ":3: the diameter" },
  { "M48\nMETRIC\n%\nX1.0Y1.0\n", "before a tool" },
  { "M48\nMETRIC\nT1C1\n%\nT1\nX1.0Yz\n", ":6:" },
  { "M48\nMETRIC\nT1C1\n%\nT1\nX1e9Y1\n", "not a coordinate" },
  { "M48\nMETRIC\nT1C1\n%\nT1\nX99999999.0Y1.0\n", "lies" },
  { "M48\nMETRIC\nT1C1\n%\nT1\nX1.0Y1.0\nR99999999X1.0\n", "too many" },
  { "M48\nMETRIC\n@@@\n", ":3:" },
};

static void
test_faults (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (faults); i++)
    {
      g_autoptr (LwExcellon) file = read_text (faults[i].text, NULL);

      g_test_message ("%s", file->fault);
      g_assert_nonnull (file->fault);
      g_assert_nonnull (strstr (file->fault, faults[i].says));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/excellon/same", test_same);
  g_test_add_func ("/excellon/guess-is-told", test_guess_is_told);
  g_test_add_func ("/excellon/slots-and-plating", test_slots_and_plating);
  g_test_add_func ("/excellon/via-field", test_via_field);
  g_test_add_func ("/excellon/faults", test_faults);
  return g_test_run ();
}
