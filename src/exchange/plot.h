/* A plotted layer as a list of shapes in drawing order, and how much of each cell of a grid they cover.
 * What is drawn twice counts once; a clear shape takes away what was drawn before it. Millimetres. */
#ifndef LW_PLOT_H
#define LW_PLOT_H

#include <gio/gio.h>

#include "board/geometry.h"

G_BEGIN_DECLS

/* Shapes and corners of one plot at most; a dense layer of a large board has some 200,000. */
#define LW_PLOT_SHAPES_MAX 2000000u

typedef struct _LwPlot LwPlot;

/* Without shapes (transfer full). */
LwPlot *lw_plot_new (void);
void lw_plot_free (LwPlot *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwPlot, lw_plot_free)

/* All within RADIUS of the line from A to B; A equal to B gives a disc. */
void lw_plot_capsule (LwPlot *self, gboolean dark, LwPoint a, LwPoint b, double radius);
/* A polygon of N corners, closed by itself, filled wherever its edge winds round (so that a hole may be cut
 * in along a doubled line). */
void lw_plot_polygon (LwPlot *self, gboolean dark, const LwPoint *corners, guint n);

/* Number of shapes so far. */
guint lw_plot_length (const LwPlot *self);
/* TRUE once more was added than LW_PLOT_SHAPES_MAX; what is beyond is not there. */
gboolean lw_plot_is_full (const LwPlot *self);

/* How a copy is made: mirrored, scaled, turned, shifted, in this order. */
typedef struct {
  gboolean mirror_x, mirror_y; /* x to -x, y to -y */
  double scale, turn_deg, dx_mm, dy_mm;
} LwPlotPlace;

/* Appends FROM's shapes [first, end) as PLACE says (FROM may be SELF). DARK: with their own polarity, else
 * with the opposite one. */
void lw_plot_append (LwPlot *self, const LwPlot *from, guint first, guint end, const LwPlotPlace *place,
                     gboolean dark);
/* The same for a stamp whose clear shapes take away only what the stamp itself has drawn. */
void lw_plot_stamp (LwPlot *self, const LwPlot *from, const LwPlotPlace *place, gboolean dark);

/* Box of all shapes, dark or clear; all zero when there are none. */
LwBox lw_plot_box (const LwPlot *self);

typedef struct {
  double x_mm, y_mm, cell_mm; /* low corner, edge of a cell */
  guint columns, rows;
} LwPlotGrid;

/* For each cell, the share of what BOARD covers of it that SELF covers too, 0..1 (0 where there is no
 * board); rows from the lowest up (transfer full). BOARD may be NULL: the whole cell then. TOTAL (may be
 * NULL) gets the area covered, mm2. Lines across the board 1/32 of a cell apart, and at every level edge,
 * are cut exactly into covered pieces. NULL with ERROR when cancelled or too much is drawn. */
double *lw_plot_cover (const LwPlot *self, const LwPlot *board, const LwPlotGrid *grid, double *total,
                       GCancellable *cancellable, GError **error);

/* An arc from A about CENTER by SWEEP_DEG (> 0 counter-clockwise) as points appended to POINTS (GArray of
 * LwPoint), its start left out, within TOLERANCE_MM of the arc. */
void lw_plot_add_arc (GArray *points, LwPoint a, LwPoint center, double sweep_deg, double tolerance_mm);

G_END_DECLS

#endif
