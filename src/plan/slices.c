#include "plan/slices.h"

#include <math.h>

/* Slices of equal thickness, each under 0.42 mm but three to six of them. Against twelve slices of a 1.6 mm board
 * of one material (k 20 and 0.35 W/mK, a 20 mm part on a joint layer of 5000 W/m2K, films of 80 and 30 W/m2K), three
 * moved the coldest joint by 0.9 K at most over a whole profile, four by 0.5 K. */
static const double even_most_m = 0.42e-3;
enum { EVEN_FEWEST = 3 };

/* The slice of a face's copper is no thicker than this where other copper follows: laminate in it conducts along the board as if it
 * lay in that copper, too. */
static const double face_most_m = 0.2e-3;

/* Between the slices of the faces: none thicker than this, but two to four of them. */
static const double inside_most_m = 0.8e-3;
enum { INSIDE_FEWEST = 2, INSIDE_MOST = 4 };

static void
add_even (LwSlices *self, double to_m, guint n)
{
  double from_m = self->cut_m[self->n];

  for (guint i = 1; i <= n; i++)
    self->cut_m[self->n + i] = i == n ? to_m : from_m + (to_m - from_m) * i / n;
  self->n += n;
}

/* Depth of the slice that holds the outermost copper of a face and no other copper: half-way to the next, and no
 * thicker than FACE_MOST; 0 when there is no copper so near to the face. */
static double
face_slice (const LwStack *stack, gboolean top)
{
  double deep_m = 0, outer_m = 0;

  for (guint i = 0; i < stack->sheets->len; i++) {
    const LwSheet *sheet = &g_array_index (stack->sheets, LwSheet, top ? i : stack->sheets->len - 1 - i);

    if (sheet->cover > 0 && outer_m > 0)
      return fmin ((outer_m + deep_m) / 2, fmax (outer_m, face_most_m));
    deep_m += sheet->thickness_m;
    if (sheet->cover > 0)
      outer_m = deep_m;
    if (outer_m <= 0 && deep_m > even_most_m)
      return 0;
  }
  return outer_m > 0 ? fmin (even_most_m, stack->thickness_m / 4) : 0;
}

static guint
count (double thickness_m, double most_m, guint fewest, guint most)
{
  return CLAMP ((guint) ceil (thickness_m / most_m - 1e-9), fewest, most);
}

LwSlices
lw_slices_of (const LwStack *stack, gboolean even)
{
  LwSlices self = { 0 };
  double whole_m = stack->thickness_m, above_m = face_slice (stack, TRUE), below_m = face_slice (stack, FALSE);
  double inside_m = whole_m - above_m - below_m;

  if (even || above_m + below_m <= 0 || inside_m < whole_m / 10) {
    add_even (&self, whole_m, count (whole_m, even_most_m, EVEN_FEWEST, LW_SLICES_MAX));
    return self;
  }
  if (above_m > 0)
    add_even (&self, above_m, 1);
  add_even (&self, whole_m - below_m, count (inside_m, inside_most_m, INSIDE_FEWEST, INSIDE_MOST));
  if (below_m > 0)
    add_even (&self, whole_m, 1);
  return self;
}
