/* J-STD-020 Tables 4-1 and 4-2: the temperature a body of a size is qualified for. A thickness or volume
 * on an edge belongs to the thicker row and, for 350 mm3, to the larger column; 2000 mm3 belongs to the
 * middle one, as the tables' "<", ">=" and ">" say. */
#include "plan/classify.h"

/* Lead-free, Table 4-2: rows < 1.6, 1.6 to < 2.5, >= 2.5 mm; columns < 350, 350 to 2000, > 2000 mm3.
 * Read in revision C (2004) and a capacitor maker's sheet of revision D; E and F unchanged (from
 * memory). */
static const double LEAD_FREE_C[3][3] = {
  { 260, 260, 260 },
  { 260, 250, 245 },
  { 250, 245, 245 },
};

/* Tin-lead, Table 4-1, revision D and later, from memory: rows < 2.5, >= 2.5 mm; columns < 350, >= 350.
 */
static const double TIN_LEAD_C[2][2] = {
  { 235, 220 },
  { 220, 220 },
};

double
lw_classify_body_c (double thickness_mm, double volume_mm3, gboolean lead_free)
{
  if (!lead_free)
    return TIN_LEAD_C[thickness_mm >= 2.5][volume_mm3 >= 350];
  int row = (thickness_mm >= 1.6) + (thickness_mm >= 2.5);
  int column = (volume_mm3 >= 350) + (volume_mm3 > 2000);
  return LEAD_FREE_C[row][column];
}
