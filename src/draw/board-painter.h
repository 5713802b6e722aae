/* What the painters of one board picture share. One painter lives for one drawing. */
#ifndef LW_BOARD_PAINTER_H
#define LW_BOARD_PAINTER_H

#include "draw/draw.h"
#include "draw/labels.h"
#include "draw/lettering.h"
#include "draw/palette.h"

G_BEGIN_DECLS

/* Words beside an object of the plan: above or below its edge, or standing off with a leader. */
typedef enum { LW_NOTE_ABOVE, LW_NOTE_BELOW, LW_NOTE_LEADER } LwNoteHabit;
typedef struct _LwBoardNote LwBoardNote;

/* A placed part as it is drawn. */
typedef struct {
  guint index; /* in the job */
  const LwPart *part;
  const LwPackage *package;   /* NULL when no such package is known */
  const LwPartTrace *trace;   /* or NULL */
  LwPoint corners[4];         /* body box, mm */
  GArray *shape;              /* LwPoint, picture units; NULL where it is not seen */
  LwBox box;                  /* of the shape, picture units */
  double small_side;          /* shorter side of the body, picture units */
  gboolean seen;              /* touches the picture */
  gboolean this_side, target, selected, graded;
  LwGrade grade;
} LwBoardItem;

typedef struct {
  cairo_t *cr;
  const LwViewport *view;
  const LwBoardPicture *picture;
  const LwPalette *ink;
  LwLettering type;
  const LwPlan *plan;         /* or NULL */
  GArray *items;              /* LwBoardItem, tall ones last */
  int target;                 /* in items, -1 = none */
  gboolean has_field;         /* prediction with at least one field */
  float *field;               /* nx * ny of the seen side at the moment, holes filled; or NULL */
  double low_c, high_c;
  GArray *taken;              /* LwBox: places no label may use */
  GArray *notes;              /* LwBoardNote: words yet to be placed */
  LwBox frame; /* what is painted: the view and the margin about it */
} LwBoardPainter;

/* CR, VIEW and PICTURE are borrowed till the end, which frees what the painter holds. CR's state is not saved. */
void lw_board_painter_begin (LwBoardPainter *self, cairo_t *cr, const LwViewport *view,
                             const LwBoardPicture *picture);
void lw_board_painter_end (LwBoardPainter *self);
/* Fills in ITEMS and TARGET. */
void lw_board_collect_items (LwBoardPainter *self);

/* The layers, bottom to top. */
void lw_board_paint_ground (LwBoardPainter *self);     /* desk, board, cut-outs */
void lw_board_paint_grid (LwBoardPainter *self);
void lw_board_paint_scale_bar (LwBoardPainter *self);
void lw_board_paint_field (LwBoardPainter *self);
void lw_board_paint_edge (LwBoardPainter *self);
void lw_board_paint_copper (LwBoardPainter *self);
void lw_board_paint_other_side (LwBoardPainter *self); /* parts of the other side, dashed */
void lw_board_paint_parts (LwBoardPainter *self); /* bodies with what marks them; the three below are their pieces */
/* Pieces of a part: what tells its kind, leads or lands, balls. BODY is the colour under them. */
void lw_board_paint_ornament (LwBoardPainter *self, const LwBoardItem *item, LwColor body);
void lw_board_paint_joints (LwBoardPainter *self, const LwBoardItem *item);
void lw_board_paint_balls (LwBoardPainter *self, const LwBoardItem *item, LwColor body);
void lw_board_paint_isotherms (LwBoardPainter *self);        /* lines */
void lw_board_paint_isotherm_figures (LwBoardPainter *self); /* their temperatures */
/* The objects of the plan: the preheated area, the nozzle's outline, shields, thermocouples with their names, the place
 * that is proposed for one. */
void lw_board_paint_preheat (LwBoardPainter *self);
void lw_board_paint_nozzle (LwBoardPainter *self);
void lw_board_paint_shields (LwBoardPainter *self);
void lw_board_paint_thermocouples (LwBoardPainter *self);
void lw_board_paint_proposed (LwBoardPainter *self);
/* Marks on parts: the ring round the one in hand, grades of findings. */
void lw_board_paint_target (LwBoardPainter *self);
void lw_board_paint_marks (LwBoardPainter *self);
void lw_board_paint_notes (LwBoardPainter *self);      /* words kept by the objects' painters */
void lw_board_paint_names (LwBoardPainter *self); /* reference designators where there is room */
void lw_board_paint_selection (LwBoardPainter *self); /* and what the pointer is over */

/* Paths. */
void lw_board_loop_path (LwBoardPainter *self, const LwLoop *loop); /* appended to the path */
LwBox lw_board_loop_box (const LwBoardPainter *self, const LwLoop *loop); /* about it, picture units */
void lw_board_outline_path (LwBoardPainter *self);     /* edge and cut-outs, for even-odd fill */
void lw_board_shape_path (cairo_t *cr, const GArray *points, double round_corners);
/* Fills and strokes in the painter's own weights; PRINT and zoom aware. */
double lw_board_hairline (const LwBoardPainter *self);
/* A body-frame point of an item in picture units. */
LwPoint lw_board_item_point (const LwBoardPainter *self, const LwBoardItem *item, double u_mm, double v_mm);
/* A line that holds on any ground: halo first, then COLOR; keeps no dash and no path. */
void lw_board_stroke_haloed (LwBoardPainter *self, LwColor color, double weight, const double *dash,
                             int n_dash);
/* Keeps TEXT to be placed beside the current path, which it clears. */
void lw_board_note_path (LwBoardPainter *self, const char *text, LwColor color, LwNoteHabit habit);
GArray *lw_board_notes_new (void);
/* What lies under a point where no part is: the field's colour, bare board, or desk. */
LwColor lw_board_ground_at (const LwBoardPainter *self, double px, double py);
/* Fill of an item's body: by kind, or by its temperature when the field is shown. */
LwColor lw_board_body_color (const LwBoardPainter *self, const LwBoardItem *item);
/* DARK or LIGHT, whichever stands out from the ground; the palette's own where no field is shown. */
LwColor lw_board_ink_on (const LwBoardPainter *self, LwColor ground, LwColor own);
/* Text with an ink and a halo that suit the ground. */
void lw_board_write (LwBoardPainter *self, const char *text, double x, double y, double turn, LwColor ground,
                     LwColor own);

/* Prediction cells with the holes filled and a rim added, so that pictures reach the board's edge: XS has
 * nx + 2 entries. Freed with g_free. */
float *lw_field_padded (const LwPrediction *prediction, const float *field, double **xs, double **ys);
/* Fills NaN cells from their neighbours, nearest first. */
void lw_field_fill (float *field, guint nx, guint ny);

/* Geometry shared with the hit tests, mm. FALSE when there is no such thing. */
typedef struct {
  const LwNozzle *nozzle;
  LwPoint center;
  double turn_deg;
  LwPoint inner[4], outer[4];   /* rectangles; round ones use the radii */
  double inner_radius_mm, outer_radius_mm;
} LwNozzlePlace;
gboolean lw_nozzle_place (const LwJob *job, const LwPlan *plan, LwNozzlePlace *place);
gboolean lw_preheat_box (const LwPlan *plan, LwBox *box);
const LwPlan *lw_job_plan_at (const LwJob *job, int plan);
/* Heat range of a picture, C. */
void lw_board_range (const LwBoardPicture *picture, double *low_c, double *high_c);

G_END_DECLS

#endif
