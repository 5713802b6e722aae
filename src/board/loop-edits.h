/* Drawing by hand, one loop at a time: shapes to start from, and changes to corners and edges. Edge i leads to
 * corner i (geometry.h). Every change gives a new loop (transfer full), or NULL with ERROR (LW_EDIT_ERROR) when
 * the figures do not fit; whether a loop may stand on a board is decided by the edits of edits-outline.h. */
#ifndef LW_LOOP_EDITS_H
#define LW_LOOP_EDITS_H

#include "board/geometry.h"

G_BEGIN_DECLS

/* Corners rounded by RADIUS (0 = sharp); counter-clockwise. NULL when the radius is more than half a side. */
LwLoop *lw_loop_new_rounded (double x0_mm, double y0_mm, double x1_mm, double y1_mm, double radius_mm, GError **error);
/* Half circles of WIDTH about the two ends, joined. */
LwLoop *lw_loop_new_slot (double x0_mm, double y0_mm, double x1_mm, double y1_mm, double width_mm, GError **error);

/* Along the edge, arcs included. */
double lw_loop_edge_length (const LwLoop *loop, guint edge);
double lw_loop_perimeter (const LwLoop *loop);
/* Point at SHARE (0..1) of an edge, from its beginning. */
LwPoint lw_loop_edge_point (const LwLoop *loop, guint edge, double share);
/* Nearest point of the loop: its distance, and its edge, share and place (each may be NULL). */
double lw_loop_nearest (const LwLoop *loop, double x_mm, double y_mm, guint *edge, double *share, LwPoint *at);
/* Included angle of the arc from A to B whose middle has the same distance from the chord as P has;
 * positive when P lies to the right of the way from A to B. */
double lw_arc_by_bulge (LwPoint a, LwPoint b, LwPoint p);

/* By so much, whole; cannot fail. */
LwLoop *lw_loop_moved (const LwLoop *loop, double dx_mm, double dy_mm);
/* To a place; the arcs beside it keep their angle. */
LwLoop *lw_loop_move_corner (const LwLoop *loop, guint corner, double x_mm, double y_mm, GError **error);
/* Both edges beside a straight edge's ends move with it, sideways. */
LwLoop *lw_loop_move_edge (const LwLoop *loop, guint edge, double dx_mm, double dy_mm, GError **error);
/* A new corner on the edge; both pieces of an arc stay on the arc. It gets the number of the edge. */
LwLoop *lw_loop_insert_corner (const LwLoop *loop, guint edge, double share, GError **error);
/* The edges beside it become one straight edge. */
LwLoop *lw_loop_remove_corner (const LwLoop *loop, guint corner, GError **error);
LwLoop *lw_loop_set_arc (const LwLoop *loop, guint edge, double arc_deg, GError **error);
/* The end corner moves along the chord until the edge is LENGTH long. */
LwLoop *lw_loop_set_edge_length (const LwLoop *loop, guint edge, double length_mm, GError **error);
/* A corner between two straight edges becomes an arc of that radius, or a slope that takes that much of both. */
LwLoop *lw_loop_round_corner (const LwLoop *loop, guint corner, double radius_mm, GError **error);
LwLoop *lw_loop_chamfer_corner (const LwLoop *loop, guint corner, double leg_mm, GError **error);

G_END_DECLS

#endif
