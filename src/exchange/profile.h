/* The edge of a board from the lines it is drawn with. */
#ifndef LW_PROFILE_LOOPS_H
#define LW_PROFILE_LOOPS_H

#include "exchange/gerber.h"
#include "exchange/listed.h"

G_BEGIN_DECLS

/* Chains STROKES (GArray of LwStroke, in any order and direction) into closed loops, arcs kept, and appends
 * them to LOOPS (of LwListedLoop). Gaps of 0.01 mm are none; wider ones are closed with a warning up to
 * 0.5 mm, beyond that the open line is left out with one. */
void lw_profile_loops (const GArray *strokes, const char *file, GPtrArray *loops, GPtrArray *notes);

G_END_DECLS

#endif
