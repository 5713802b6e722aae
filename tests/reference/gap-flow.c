/* Prints heat_gap_nusselt() for each "Re Pr" line, for gap-flow.py. */
#include "heat/films.h"

#include <stdio.h>

int
main (void)
{
  double re, pr;
  while (scanf ("%lf %lf", &re, &pr) == 2)
    printf ("%.17g\n", heat_gap_nusselt (re, pr));
  return 0;
}
