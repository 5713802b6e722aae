/* Units on the screen. Factors: NIST Special Publication 811 (2008), appendix B.8: 1 in = 25.4 mm exactly;
 * t/°F = 1.8 t/°C + 32. Fixed points: water boils at 212 °F = 100 °C; -40 is the same on both scales (facts). */
#include <locale.h>
#include <glib.h>

#include "draw/units.h"

static const LwUnits metric, us = { TRUE, TRUE };

static void
test_figures (void)
{
  g_assert_cmpfloat_with_epsilon (lw_units_shown (us, 25.4, "mm"), 1.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_units_shown (us, 645.16, "mm²"), 1.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_units_shown (us, 100.0, "°C"), 212.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_units_shown (us, -40.0, "°C"), -40.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_units_shown (us, 10.0, "K"), 18.0, 1e-12);
  g_assert_cmpfloat_with_epsilon (lw_units_shown (us, 3.0, "°C/s"), 5.4, 1e-12);
  g_assert_cmpfloat (lw_units_shown (us, 3.0, "s"), ==, 3.0);
  g_assert_cmpfloat (lw_units_shown (metric, 3.0, "°C"), ==, 3.0);
  g_assert_cmpstr (lw_units_word (us, "°C"), ==, "°F");
  g_assert_cmpstr (lw_units_word (us, "L/min"), ==, "L/min");
  g_assert_cmpstr (lw_units_word ((LwUnits){ TRUE, FALSE }, "°C"), ==, "°C");
}

static void
test_there_and_back (void)
{
  static const char *const units[] = { "mm", "mm²", "°C", "K", "°C/s", "s", "" };

  for (guint i = 0; i < G_N_ELEMENTS (units); i++)
    for (double value = -300.0; value < 400.0; value += 7.3)
      g_assert_cmpfloat_with_epsilon (lw_units_kept (us, lw_units_shown (us, value, units[i]), units[i]), value, 1e-9);
}

static void
test_sentences (void)
{
  static const struct {
    const char *metric, *us;
  } cases[] = {
    { "U1 reaches 100 °C at 90 s", "U1 reaches 212 °F at 90 s" },
    { "Joints 20 to 30 °C", "Joints 68 to 86 °F" },
    { "241 ± 5 °C", "466 ± 9 °F" },
    { "4 × 12.7 mm, 3 mm up", "0.16 × 0.500 in, 0.12 in up" },
    { "10 K over; 2.0 °C/s", "18 °F over; 3.6 °F/s" },
    { "type K, 0.9 W/(m·K), 5 mm²", "type K, 0.9 W/(m·K), 0.008 in²" },
    { "R10 mm", "R10 mm" },
    { "8.5 W/mK and 1.5 kK", "8.5 W/mK and 1.5 kK" },
    { "", "" },
  };

  setlocale (LC_NUMERIC, "C"); /* as the words above have their figures */
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++) {
    g_autofree char *same = lw_units_sentence (metric, cases[i].metric);
    g_autofree char *shown = lw_units_sentence (us, cases[i].metric);

    g_assert_cmpstr (same, ==, cases[i].metric);
    g_assert_cmpstr (shown, ==, cases[i].us);
  }
  g_assert_null (lw_units_sentence (us, NULL));
  setlocale (LC_NUMERIC, "");
}

static void
test_paragraphs (void)
{
  g_autofree char *tied = lw_units_paragraph (metric, "BT1 reaches 85 °C at 301 s; 2 parts in 3 mm");
  g_autofree char *shown = lw_units_paragraph (us, "at 100 °C");

  g_assert_cmpstr (tied, ==, "BT1 reaches 85\u00a0°C at 301\u00a0s; 2 parts in 3\u00a0mm");
  g_assert_cmpstr (shown, ==, "at 212\u00a0°F");
}

static void
test_headings (void)
{
  g_autofree char *height = lw_units_heading (us, "Height, mm"), *peak = lw_units_heading (us, "Peak (°C)");
  g_autofree char *flow = lw_units_heading (us, "Flow, L/min"), *name = lw_units_heading (us, "Film");
  g_autofree char *plain = lw_units_heading (metric, "Height, mm");

  g_assert_cmpstr (height, ==, "Height, in");
  g_assert_cmpstr (peak, ==, "Peak (°F)");
  g_assert_cmpstr (flow, ==, "Flow, L/min");
  g_assert_cmpstr (name, ==, "Film");
  g_assert_cmpstr (plain, ==, "Height, mm");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/units/figures", test_figures);
  g_test_add_func ("/units/there-and-back", test_there_and_back);
  g_test_add_func ("/units/sentences", test_sentences);
  g_test_add_func ("/units/paragraphs", test_paragraphs);
  g_test_add_func ("/units/headings", test_headings);
  return g_test_run ();
}
