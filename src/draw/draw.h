/* Painters onto a cairo context the caller gives: the same for screen, print, PDF, SVG, PNG and tests. */
#ifndef LW_DRAW_H
#define LW_DRAW_H

#include <cairo.h>
#include <pango/pangocairo.h>

#include "board/job.h"
#include "draw/units.h"
#include "plan/findings.h"
#include "plan/predict.h"

G_BEGIN_DECLS

/* The strong ones are the light and the dark one for a theme of high contrast: black on white, white on black. */
typedef enum { LW_LOOK_LIGHT, LW_LOOK_DARK, LW_LOOK_PRINT, LW_LOOK_LIGHT_STRONG, LW_LOOK_DARK_STRONG } LwLook;

typedef struct {
  double r, g, b, a;
} LwColor;

/* ---- viewport: board millimetres to picture units ---- */

typedef struct {
  double width, height;       /* picture */
  double center_x_mm, center_y_mm;
  double scale;               /* picture units per mm, > 0 */
  LwSide side;                /* seen from; bottom mirrors x */
} LwViewport;

/* Shows BOX whole, in the middle, with MARGIN picture units around it; width, height and side must be set. An empty box is
 * shown at the largest scale. */
void lw_viewport_fit (LwViewport *self, LwBox box, double margin);
/* The same, but so that BOX is not under any of the N (at most 4) boxes TAKEN, which lie at the picture's edges (picture units):
 * it moves aside and shrinks as little as that takes. Where that would be by more than 0.7, it is shown under them. */
void lw_viewport_fit_beside (LwViewport *self, LwBox box, double margin, const LwBox *taken, guint n);
/* Between the board's frame, mm, and picture units from the upper left corner, y down; any point, shown or not. */
void lw_viewport_to_picture (const LwViewport *self, double x_mm, double y_mm, double *px, double *py);
void lw_viewport_to_board (const LwViewport *self, double px, double py, double *x_mm, double *y_mm);
/* Multiplies the scale by FACTOR keeping the board point under (px, py) where it is; clamped to 0.2..400. */
void lw_viewport_zoom (LwViewport *self, double factor, double px, double py);
void lw_viewport_pan (LwViewport *self, double dpx, double dpy);

/* ---- large letters ---- */

/* Pictures have a member LETTERS: how large what is written is beside the usual, 0 = as usual. Lines, marks and gaps grow
 * with it, so that nothing comes to lie on another; what has a size of its own in millimetres or seconds does not. */
double lw_letters (double letters); /* 1 for 0 */
/* The same view in units that are LETTERS times as large. */
LwViewport lw_viewport_lettered (const LwViewport *self, double letters);

/* ---- temperature colours ---- */

/* Perceptually uniform, readable by colour-blind people; 0..1 (clamped). */
LwColor lw_heat_color (double share, LwLook look);

/* ---- board map ---- */

typedef struct {
  LwLook look;
  const LwJob *job;
  int plan;                        /* -1 = none */
  const LwPrediction *prediction;  /* or NULL */
  const GPtrArray *findings;       /* or NULL */
  double t_s;                      /* moment of the field */
  gboolean show_field, show_isotherms, show_names, show_other_side;
  gboolean show_copper;            /* regions and via fields drawn by hand or derived */
  gboolean show_nozzle, show_preheat, show_thermocouples, show_shields, show_grid;
  double margin;                   /* painted beyond each edge of the view, so that a picture that is moved a little has no gap */
  gboolean still;                  /* nobody drags anything here: no grips */
  gboolean nozzle_told;            /* beside the picture: no words at the nozzle */
  gboolean show_far_thermocouples; /* those of the other side too, hollow */
  const guint *selected;           /* part indices */
  guint n_selected;
  const LwThermocouple *proposed;  /* a place for another one, or NULL */
  int hovered;                     /* part index or -1 */
  double low_c, high_c;            /* colour range; equal = from the data */
  const LwBox *clear;              /* places in picture units that no words may take: something is drawn there later */
  guint n_clear;
  LwUnits units;                   /* of everything written; all FALSE = metric, as on paper */
  double letters;                  /* see lw_letters() */
} LwBoardPicture;

/* The active plan of JOB (borrowed, may be NULL), no prediction, all shown, nothing hovered. */
void lw_board_picture_init (LwBoardPicture *self, const LwJob *job);
/* All layers, clipped to the viewport; CR is left as it was. */
void lw_draw_board (cairo_t *cr, const LwViewport *viewport, const LwBoardPicture *picture);
/* The same in layers, for a view that keeps what has not changed: the bare board with field and isotherms;
 * the bodies on it; the plan's objects, marks and all words; hovered and selected parts. One after another
 * they give what lw_draw_board() gives. */
typedef enum {
  LW_BOARD_LAYER_GROUND = 1,
  LW_BOARD_LAYER_PARTS = 2,
  LW_BOARD_LAYER_PLAN = 4,
  LW_BOARD_LAYER_OVER = 8,
  LW_BOARD_LAYER_ALL = 15
} LwBoardLayers;
void lw_draw_board_layers (cairo_t *cr, const LwViewport *viewport, const LwBoardPicture *picture,
                           LwBoardLayers layers);
/* Colour scale with labels in the given box (picture units). */
void lw_draw_heat_scale (cairo_t *cr, double x, double y, double width, double height,
                         const LwBoardPicture *picture);
LwBox lw_board_extent (const LwJob *job); /* outline and parts, mm */
/* What to fit into a picture: the extent, and the plan's preheat area with it when that is not much larger. */
LwBox lw_board_scene (const LwJob *job, int plan);
/* Topmost part of the viewport's side at a picture point, or -1. */
int lw_board_hit_part (const LwJob *job, const LwViewport *viewport, double px, double py);

/* What of nozzle and preheat area lies under a picture point. */
typedef enum {
  LW_GRIP_NONE,
  LW_GRIP_NOZZLE,
  LW_GRIP_PREHEAT_MOVE,
  LW_GRIP_PREHEAT_LEFT,
  LW_GRIP_PREHEAT_RIGHT,
  LW_GRIP_PREHEAT_LOW,
  LW_GRIP_PREHEAT_HIGH,
  LW_GRIP_SHIELD,
  LW_GRIP_THERMOCOUPLE
} LwGrip;
LwGrip lw_board_hit_grip (const LwJob *job, int plan, const LwViewport *viewport, double px, double py,
                          guint *index);

/* ---- profile ---- */

typedef struct {
  LwLook look;
  const LwJob *job;
  int plan;
  const LwPrediction *prediction; /* or NULL: set points only */
  const GPtrArray *findings;      /* or NULL */
  double t_s;                     /* cursor; NaN = none */
  int selected_part;              /* part index of the job whose curve stands out, -1 = none */
  int selected_stage;             /* -1 = none */
  guint n_neighbours;             /* hottest neighbours drawn, default 3 */
  gboolean show_limits, show_stage_names, show_legend;
  gboolean still;                 /* nobody drags anything here: no handles */
  gboolean show_bands;            /* how sure the curves are, where that is known; default TRUE */
  double width, height;
  double end_s, high_c;           /* ends of the axes; 0 = from the data (held during a drag) */
  LwUnits units;                  /* of everything written; all FALSE = metric, as on paper */
  const struct LwComparison *run; /* measured curves over it, or NULL (plan/run-compare.h) */
  double letters;                 /* see lw_letters() */
} LwProfilePicture;

/* The active plan of JOB (borrowed, may be NULL), no prediction, all shown; WIDTH and HEIGHT in picture units. */
void lw_profile_picture_init (LwProfilePicture *self, const LwJob *job, double width, double height);
/* All layers; CR is left as it was. */
void lw_draw_profile (cairo_t *cr, const LwProfilePicture *picture);
/* The same in layers: everything that does not move with time, and the cursor with its readout. */
typedef enum { LW_PROFILE_LAYER_BASE = 1, LW_PROFILE_LAYER_CURSOR = 2 } LwProfileLayers;
void lw_draw_profile_layers (cairo_t *cr, const LwProfilePicture *picture, LwProfileLayers layers);
/* What the readout says of the picture's moment but its time, a reading a line: of the target, and of the part selected. NULL at its
 * end, empty without a prediction. (transfer full) */
char **lw_profile_readings (const LwProfilePicture *picture);
/* Where the axes end. */
void lw_profile_range (const LwProfilePicture *picture, double *end_s, double *high_c);
/* Plot-area mapping, for pointers: time and temperature at a picture point and back. */
double lw_profile_time_at (const LwProfilePicture *picture, double px);
double lw_profile_temp_at (const LwProfilePicture *picture, double py);
double lw_profile_x_of (const LwProfilePicture *picture, double t_s);
double lw_profile_y_of (const LwProfilePicture *picture, double temp_c);
/* A draggable point of the set-point lines near a picture point. */
typedef enum { LW_PULL_NONE, LW_PULL_GAS, LW_PULL_PREHEAT, LW_PULL_STAGE_END, LW_PULL_CURSOR } LwPull;
LwPull lw_profile_hit (const LwProfilePicture *picture, double px, double py, guint *stage);

/* ---- what a finding depends on ---- */

/* Bars of what each uncertain input alone makes of a finding's figure, the longest first: what to measure. */
typedef struct {
  LwLook look;
  const LwFinding *finding; /* NULL: says that nothing is known */
  const LwDoubt *doubt;     /* of the prediction the finding was judged by, or NULL */
  double width, height;
  double letters;           /* see lw_letters() */
} LwTornadoPicture;

/* As many bars as fit, widest first; CR is left as it was. */
void lw_draw_tornado (cairo_t *cr, const LwTornadoPicture *picture);
/* How many bars fit; 0 when there is nothing to show. */
guint lw_tornado_rows (const LwTornadoPicture *picture);
/* Height in which every bar fits. */
double lw_tornado_height (const LwTornadoPicture *picture);

/* ---- grades ---- */

/* Colour and shape go together: stop = octagon, watch = triangle, fine = ring. */
LwColor lw_grade_color (LwGrade grade, LwLook look);
void lw_draw_grade_mark (cairo_t *cr, double x, double y, double size, LwGrade grade, LwLook look);

/* ---- pictures to files ---- */

/* Board map or profile as PNG (by ".png") or SVG (".svg"); size in pixels or points. */
gboolean lw_picture_board_to_file (const LwBoardPicture *picture, LwSide side, const char *path, int width,
                                   int height, GError **error);
gboolean lw_picture_profile_to_file (const LwProfilePicture *picture, const char *path, GError **error);

G_END_DECLS

#endif
