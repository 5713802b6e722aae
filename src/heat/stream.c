/* Gas in a finite amount: what it gives up it cools by. One fluid, the other side of unlimited capacity:
 * effectiveness 1 - exp (-NTU) (Kays and London, "Compact Heat Exchangers"; Incropera, section 11.4). */
#include "heat/films.h"

#include <math.h>

double
heat_stream_effectiveness (double ntu)
{
  return -expm1 (-fmax (ntu, 0));
}

double
heat_stream_weakening (double ntu)
{
  return ntu > 1e-12 ? heat_stream_effectiveness (ntu) / ntu : 1;
}
