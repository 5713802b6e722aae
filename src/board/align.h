/* How a dragged part comes to lie in line with its neighbours: left, middle and right over left, middle and right,
 * and the same along y. */
#ifndef LW_ALIGN_H
#define LW_ALIGN_H

#include "board/job.h"

G_BEGIN_DECLS

/* One line that two bodies share. */
typedef struct {
  gboolean found;
  double at_mm;        /* x of an upright line, y of a lying one */
  double shift_mm;     /* what brings the part onto it */
  guint neighbour;     /* part index */
  gboolean middles;    /* the middles share it, else two edges */
  gboolean apart;      /* the bodies do not overlap along the line: GAP_MM is between them, from ... to */
  double gap_mm, from_mm, to_mm;
} LwAlignment;

/* PART, whose body lies SHIFT away from where the job has it, against all placed parts of its side that are not in
 * SKIP (GArray of guint, NULL = none): for each way the nearest line within REACH_MM, of equally near ones that of the
 * nearest neighbour. UPRIGHT is shared in x, LYING in y; gaps are those after both shifts. */
void lw_job_align_part (const LwJob *job, guint part, const GArray *skip, LwPoint shift, double reach_mm,
                        LwAlignment *upright, LwAlignment *lying);
/* The box of a part's body on the board. */
LwBox lw_job_part_box (const LwJob *job, guint part);

G_END_DECLS

#endif
