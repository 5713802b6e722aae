/* Contrast of lines and words against what they lie on: relative luminance and ratio as WCAG 2.1 defines them. Words of the ordinary
 * looks have 4.5:1 (1.4.3), of the strong ones, which a theme of high contrast gets, 7:1 (1.4.6); lines that carry meaning have 3:1
 * (1.4.11) in the ordinary looks and 7:1 in the strong ones, which is our own choice. */
#include <math.h>

#include "draw/palette.h"

static double
linear (double coded)
{
  return coded <= 0.03928 ? coded / 12.92 : pow ((coded + 0.055) / 1.055, 2.4);
}

static double
luminance (LwColor c)
{
  return 0.2126 * linear (c.r) + 0.7152 * linear (c.g) + 0.0722 * linear (c.b);
}

static double
ratio (LwColor a, LwColor b)
{
  double la = luminance (a), lb = luminance (b);

  return (fmax (la, lb) + 0.05) / (fmin (la, lb) + 0.05);
}

static void
check (const char *what, LwColor color, const LwPalette *on, double least)
{
  double board = ratio (lw_color_mix (on->board, color, color.a), on->board);
  double desk = ratio (lw_color_mix (on->desk, color, color.a), on->desk);

  if (fmin (board, desk) < least) {
    g_test_message ("%s: %.2f:1 on the board, %.2f:1 beside it, less than %.1f:1", what, board, desk, least);
    g_test_fail ();
  }
}

static void
check_look (LwLook look, double words, double lines)
{
  const LwPalette *p = lw_palette (look);

  check ("ink", p->ink, p, words);
  check ("soft ink", p->ink_soft, p, words);
  check ("edge of bodies", p->body_edge, p, lines);
  check ("edge of the board", p->board_edge, p, lines);
  check ("selection", p->accent, p, lines);
  check ("nozzle", p->nozzle, p, lines);
  check ("preheat area", p->preheat, p, lines);
  check ("shield", p->shield, p, lines);
  check ("thermocouple", p->thermocouple, p, lines);
  check ("gas", p->gas, p, lines);
  check ("preheater", p->warmth, p, lines);
  check ("joints", p->joints, p, lines);
  check ("body", p->body, p, lines);
  check ("limit", p->limit, p, lines);
  check ("liquidus", p->liquidus, p, lines);
  for (int i = 0; i < LW_PALETTE_NEIGHBOURS; i++)
    check ("neighbour", p->neighbour[i], p, lines);
}

/* Black on white is 21:1 by the definition. */
static void
test_ratio (void)
{
  g_assert_cmpfloat_with_epsilon (ratio ((LwColor){ 0, 0, 0, 1 }, (LwColor){ 1, 1, 1, 1 }), 21, 1e-9);
}

static void
test_ordinary (void)
{
  check_look (LW_LOOK_LIGHT, 4.5, 3);
  check_look (LW_LOOK_DARK, 4.5, 3);
}

static void
test_strong (void)
{
  check_look (LW_LOOK_LIGHT_STRONG, 7, 7);
  check_look (LW_LOOK_DARK_STRONG, 7, 7);
  check ("faint ink", lw_palette (LW_LOOK_LIGHT_STRONG)->ink_faint, lw_palette (LW_LOOK_LIGHT_STRONG), 7);
  check ("faint ink", lw_palette (LW_LOOK_DARK_STRONG)->ink_faint, lw_palette (LW_LOOK_DARK_STRONG), 7);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/palette/ratio", test_ratio);
  g_test_add_func ("/palette/ordinary", test_ordinary);
  g_test_add_func ("/palette/strong", test_strong);
  return g_test_run ();
}
