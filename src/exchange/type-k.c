#include "exchange/type-k.h"

#include <math.h>

/* NIST Monograph 175 (1993), table of reference functions: sums of c[i] t^i in mV, above 0 C with a bump about
 * 127 C added. */
static const double below[] = { 0.0,
                                0.394501280250e-01,
                                0.236223735980e-04,
                                -0.328589067840e-06,
                                -0.499048287770e-08,
                                -0.675090591730e-10,
                                -0.574103274280e-12,
                                -0.310888728940e-14,
                                -0.104516093650e-16,
                                -0.198892668780e-19,
                                -0.163226974860e-22 };
static const double above[] = { -0.176004136860e-01, 0.389212049750e-01,  0.185587700320e-04, -0.994575928740e-07,
                                0.318409457190e-09,  -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18,
                                0.971511471520e-22,  -0.121047212750e-25 };
static const double bump_mv = 0.118597600000e+00, bump_per_c2 = -0.118343200000e-03, bump_c = 0.126968600000e+03;

#define COLDEST_BACK_C (-200.0) /* below it the voltage hardly changes any more */

double
lw_type_k_mv (double t_c)
{
  const double *c = t_c < 0 ? below : above;
  int n = t_c < 0 ? G_N_ELEMENTS (below) : G_N_ELEMENTS (above);
  double mv = 0;

  if (!(t_c >= LW_TYPE_K_MIN_C && t_c <= LW_TYPE_K_MAX_C))
    return NAN;
  while (n-- > 0)
    mv = mv * t_c + c[n];
  return t_c < 0 ? mv : mv + bump_mv * exp (bump_per_c2 * (t_c - bump_c) * (t_c - bump_c));
}

/* The voltage rises with temperature all the way: halving finds the one that gives it, to the last bit but a few. */
double
lw_type_k_c (double mv)
{
  double low = COLDEST_BACK_C, high = LW_TYPE_K_MAX_C;

  if (!(mv >= lw_type_k_mv (low) && mv <= lw_type_k_mv (high)))
    return NAN;
  for (int i = 0; i < 48; i++)
    {
      double middle = 0.5 * (low + high);

      if (lw_type_k_mv (middle) < mv)
        low = middle;
      else
        high = middle;
    }
  return 0.5 * (low + high);
}

/* Voltages of a loop add up (law of intermediate temperatures). */
double
lw_type_k_with_cold_c (double mv, double cold_c)
{
  return lw_type_k_c (mv + lw_type_k_mv (cold_c));
}
