/* What drilled holes mean to a board: cut-outs, and fields of plated holes. */
#ifndef LW_HOLES_H
#define LW_HOLES_H

#include "exchange/excellon.h"
#include "exchange/listed.h"

G_BEGIN_DECLS

/* Unplated holes and slots from this width on are cut-outs: smaller ones change no temperature. */
#define LW_HOLE_CUT_OUT_MM 2.0

/* Appends the cut-outs among HOLES (GArray of LwHole) to LOOPS (of LwListedLoop); returns how many. */
guint lw_holes_cut_outs (const GArray *holes, GPtrArray *loops);
/* Groups of four plated holes and more, none farther from its next than three drill diameters, become via
 * fields of BOARD that hold as much copper; returns how many fields, *N_HOLES the holes in them. */
guint lw_holes_via_fields (const GArray *holes, LwBoard *board, guint *n_holes);

G_END_DECLS

#endif
