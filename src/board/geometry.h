/* Plane geometry of boards: points, loops with arcs, boxes. Millimetres and degrees, x right, y up,
 * seen from the top side, angles counter-clockwise. */
#ifndef LW_GEOMETRY_H
#define LW_GEOMETRY_H

#include <glib.h>

G_BEGIN_DECLS

typedef struct {
  double x_mm, y_mm;
} LwPoint;

/* A corner of a loop and the included angle of the arc that leads to it from the corner before
 * (0 = straight, > 0 counter-clockwise, |arc| < 360). The first corner's arc closes the loop. */
typedef struct {
  double x_mm, y_mm, arc_deg;
} LwVertex;

typedef struct {
  double x0_mm, y0_mm, x1_mm, y1_mm;
} LwBox;

/* A closed outline; the last corner joins the first. */
typedef struct _LwLoop LwLoop;
struct _LwLoop {
  GArray *corners; /* of LwVertex */
};

/* Empty, a rectangle between two corners counter-clockwise when the second is right of and above the first, a circle
 * of two half arcs, or the same corners anew (all transfer full). */
LwLoop *lw_loop_new (void);
LwLoop *lw_loop_new_rectangle (double x0_mm, double y0_mm, double x1_mm, double y1_mm);
LwLoop *lw_loop_new_circle (double x_mm, double y_mm, double radius_mm);
LwLoop *lw_loop_copy (const LwLoop *loop);
/* A reference more, returned. */
LwLoop *lw_loop_ref (LwLoop *loop);
/* Appends a corner to a loop nobody else sees yet. ARC_DEG: included angle of the edge that leads to it, 0 = straight
 * (LwVertex). */
void lw_loop_add (LwLoop *loop, double x_mm, double y_mm, double arc_deg);
void lw_loop_unref (LwLoop *loop); /* NULL allowed */

/* The loop as a polygon (GArray of LwPoint, no repeated last point); arcs are cut so that the chord
 * stays within tolerance_mm of the arc. (transfer full) */
GArray *lw_loop_flatten (const LwLoop *loop, double tolerance_mm);
/* The same; EDGES (GArray of guint, may be NULL) receives for each point the number of the edge that
 * starts there, an edge being named by its end corner. */
GArray *lw_loop_flatten_edges (const LwLoop *loop, double tolerance_mm, GArray *edges);
/* Signed area, arcs exact; > 0 when counter-clockwise. mm2. */
double lw_loop_area (const LwLoop *loop);
/* Exact bounding box, arcs included; all zero for an empty loop. */
LwBox lw_loop_box (const LwLoop *loop);
gboolean lw_loop_contains (const LwLoop *loop, double x_mm, double y_mm);
/* TRUE when two edges cross or touch other than at a shared corner; EDGE_A and EDGE_B (may be NULL) name
 * them by the number of their end corner. O(n log n) or better for ordinary loops. */
gboolean lw_loop_crosses_itself (const LwLoop *loop, guint *edge_a, guint *edge_b);
/* TRUE when edges of two different loops (GPtrArray of LwLoop) cross or touch; LOOP_A < LOOP_B (may be
 * NULL) name them. */
gboolean lw_loops_cross (const GPtrArray *loops, guint *loop_a, guint *loop_b);

/* Polygons without arcs (GArray of LwPoint). */
gboolean lw_polygon_contains (const GArray *polygon, double x_mm, double y_mm);

double lw_angle_normalise (double deg); /* to [0, 360) */
/* Makes the box hold the point too; one from +INFINITY to -INFINITY holds nothing yet. */
void lw_box_extend (LwBox *box, double x_mm, double y_mm);

G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwLoop, lw_loop_unref)

G_END_DECLS

#endif
