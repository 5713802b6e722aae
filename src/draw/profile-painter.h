/* What the painters of one profile picture share. */
#ifndef LW_PROFILE_PAINTER_H
#define LW_PROFILE_PAINTER_H

#include "draw/draw.h"
#include "draw/lettering.h"
#include "draw/palette.h"
#include "plan/doubt.h"

G_BEGIN_DECLS

#define LW_COLUMN_SAMPLE 34.0 /* of the column at the right, beside the words */
#define LW_PROFILE_LOW 150.0   /* a picture as low as this has no line of its own for the legend */

/* Set points of one stage as straight lines from start to end; NaN = off. */
typedef struct {
  double t0_s, t1_s;
  double gas0_c, gas1_c, warm0_c, warm1_c;
  gboolean ramp;
} LwSetLine;

/* A pure function of the picture: the same for painting and for pointers. */
typedef struct {
  double x0, y0, x1, y1;   /* plot area, y0 the top */
  double end_s;            /* time axis from 0 */
  double low_c, high_c;
  double column;           /* width of the label column at the right, 0 = none */
  double strip;            /* height of the stage strip above the plot */
  gboolean small;          /* low and narrow: the strip is the readout's while there is one */
} LwProfileLayout;

/* Text for the right-hand column and where it belongs. */
typedef struct {
  double y_wanted, y;
  char *text;
  LwColor color;
  const double *dash;
  int n_dash;
  double weight;           /* of the sample line, 0 = none */
  int priority;            /* lower goes first when there is no room */
  const double *values;    /* of the prediction's moments, that it names; or NULL */
  gboolean level;          /* or a line at one temperature all along */
} LwColumnLabel;

typedef struct {
  cairo_t *cr;
  const LwProfilePicture *picture;
  const LwPalette *ink;
  const LwPlan *plan;      /* or NULL */
  LwProfileLayout layout;
  LwLettering type;
  GArray *set_lines;       /* LwSetLine */
  GArray *column;          /* LwColumnLabel */
} LwProfilePainter;

/* The plan that is shown (transfer none); NULL = none. */
const LwPlan *lw_profile_plan (const LwProfilePicture *picture);
/* As painters take it: in units as large as its letters are. */
LwProfilePicture lw_profile_lettered (const LwProfilePicture *picture);
/* Where everything goes, from size and data alone: what painters and hit tests share. PICTURE is in such units. */
void lw_profile_layout (const LwProfilePicture *picture, LwProfileLayout *layout);
/* Picture units of a time and of a temperature; linear, so they go on beyond the plot. */
double lw_layout_x (const LwProfileLayout *layout, double t_s);
double lw_layout_y (const LwProfileLayout *layout, double temp_c);
/* The same, kept near enough to the plot for a path (cairo counts in 24.8 fixed point). */
double lw_layout_y_near (const LwProfileLayout *layout, double temp_c);
/* GArray of LwSetLine, from the table when there is one (transfer full); empty without a plan. */
GArray *lw_profile_set_lines (const LwProfilePicture *picture);
/* Where a stage's handles sit, picture units; FALSE when that set point is off. */
gboolean lw_profile_handle (const LwProfileLayout *layout, const LwSetLine *line, gboolean gas, LwPoint *at);

/* Curves of the target, of part PART of the job (transfer none); NULL = not predicted. */
const LwPartTrace *lw_profile_target (const LwProfilePicture *picture);
const LwPartTrace *lw_profile_trace (const LwProfilePicture *picture, int part);

/* The neighbours whose curves are drawn, hottest first, but for the selected part (LwPartTrace *, borrowed;
 * transfer container). */
GPtrArray *lw_profile_neighbours (const LwProfilePicture *picture);

/* Ground, axes and grid; stages with their names; what gas and preheater deliver, the set points, and the handles that
 * move them. */
void lw_profile_paint_frame (LwProfilePainter *self);
void lw_profile_paint_stages (LwProfilePainter *self);
void lw_profile_paint_delivered (LwProfilePainter *self);
void lw_profile_paint_set_points (LwProfilePainter *self);
void lw_profile_paint_handles (LwProfilePainter *self);
/* Doubt around the target's curves, the same as a swatch in a legend; the curves of target and neighbours; limits as
 * level lines, findings as marks on the time axis. */
void lw_profile_paint_bands (LwProfilePainter *self);
void lw_profile_paint_band_sample (LwProfilePainter *self, double x, double y, double width, double height);
void lw_profile_paint_target (LwProfilePainter *self);
void lw_profile_paint_neighbours (LwProfilePainter *self);
void lw_profile_paint_limits (LwProfilePainter *self);
void lw_profile_paint_findings (LwProfilePainter *self);
/* Beside and below the plot: the labels that were added, the legend; in its middle, what is missing; over all, the cursor
 * at the picture's moment. */
void lw_profile_paint_column (LwProfilePainter *self);
/* Where there is no column: the same labels along their curves, as many as find a place, and before them those of the set
 * points if SET_TOO. */
void lw_profile_paint_beside (LwProfilePainter *self, gboolean set_too);
void lw_profile_paint_legend (LwProfilePainter *self);
void lw_profile_paint_empty (LwProfilePainter *self);
void lw_profile_paint_cursor (LwProfilePainter *self);

/* What is written beside a limit's line, for a reference designator and the limit; NULL for limits without one. */
const char *lw_profile_limit_name (LwLimitKind kind);

/* A label for the column beside TEMP_C (NaN: the lowest place), with a sample of its line: COLOR, WEIGHT, DASH (static,
 * N_DASH long). Takes TEXT. PRIORITY decides who stays when there is too little room; 10 and above is bold. Borrowed, till the next. */
LwColumnLabel *lw_profile_add_label (LwProfilePainter *self, double temp_c, char *text, LwColor color,
                                     const double *dash, int n_dash, double weight, int priority);
/* Spreads labels so that none touch; those that find no room are dropped from the array, least priority
 * first. Pure. */
void lw_column_spread (GArray *labels, double top, double bottom, double pitch);
/* "95 s" or "1:35". */
char *lw_profile_time_text (const LwProfileLayout *layout, double t_s);

extern const double lw_dash_gas[2], lw_dash_warm[4], lw_dash_limit[2], lw_dash_liquidus[2], lw_dash_selected_body[6];
/* Dash of the k-th neighbour. */
const double *lw_dash_neighbour (guint k, int *n);

G_END_DECLS

#endif
