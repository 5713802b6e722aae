/* Inside of the board view, for its files and its tests. */
#ifndef LW_BOARD_VIEW_PRIVATE_H
#define LW_BOARD_VIEW_PRIVATE_H

#include "board/align.h"
#include "widgets/board-view.h"
#include "widgets/canvas.h"
#include "widgets/easel.h"
#include "widgets/sketch.h"

G_BEGIN_DECLS

typedef enum {
  LW_DRAG_NONE,
  LW_DRAG_PAN,
  LW_DRAG_PART,
  LW_DRAG_GRIP,
  LW_DRAG_BAND,  /* round parts that are to be selected */
  LW_DRAG_SKETCH /* with a tool of drawing by hand */
} LwDragKind;

/* One drag from press to release. Every motion makes a job anew from the one before the drag, under one
 * merge key, so the history holds one step. */
typedef struct {
  LwDragKind kind;
  LwGrip grip;
  guint index;            /* part, shield or thermocouple */
  LwJob *before;
  char *key;
  double x0, y0;          /* press, picture units */
  double panned_x, panned_y;
  gboolean moved;         /* beyond the threshold */
  gboolean edited;
  char *refusal;          /* why the last motion changed nothing */
  GArray *group;          /* PART: all that are dragged, of guint */
  double dx, dy;          /* so far, picture units */
  gboolean snapped;       /* PART: its middle lies on something: there */
  LwPoint snapped_at;
  LwAlignment upright, lying; /* PART: the lines it shares with neighbours */
} LwBoardDrag;

/* A shape being drawn, or what a tool is doing to a loop (board-view-sketch.c). */
typedef struct {
  LwLoopPlace place;
  int corner, edge;       /* grabbed, -1 = none */
  LwPoint from, to;       /* press and pointer, snapped, mm */
  gboolean snapped;       /* TO lies on something */
  LwSnapKind snap;
  GArray *points;         /* LwPoint: corners of a polygon so far; NULL = none */
} LwBoardSketch;

#define LW_BOARD_SHEETS 4
/* Painted beyond each edge of the view, so that one that is moved shows no gap until it is painted anew: as far as a quick
 * hand goes in a tenth of a second. Of the hatching's and the field's pitch, so that these run on through the edge. */
#define LW_BOARD_MARGIN 66

/* The layers as they were painted last, and the lower three on one another: what a frame shows. */
typedef struct {
  cairo_surface_t *layers[LW_BOARD_SHEETS]; /* NULL while they are with the easel */
  cairo_surface_t *flat, *over;             /* OVER: hovered and selected parts, NULL = none */
  LwViewport view;                          /* that they were painted for */
  int scale;                                /* device pixels per unit */
  LwPrediction *prediction;                 /* that they show, or NULL */
} LwBoardSheets;

/* The whole board as small as it fits, which stands in where the view has left its sheets. */
typedef struct {
  cairo_surface_t *sheet; /* NULL = none yet */
  LwViewport view;
  guint of;               /* the view's content that it shows, or is being painted of */
  LwEasel easel;
} LwBoardWhole;

struct _LwBoardView {
  GtkWidget parent_instance;

  LwDesk *desk;
  LwViewport view;
  GtkWidget *tools;       /* over the upper left corner, borrowed, or NULL */
  gboolean fitted;        /* the whole board is shown, and again after a change of size */
  int hovered;
  double pointer_x, pointer_y;
  gboolean space_held;
  double pinch_scale;     /* when a pinch began */
  LwBoardSheets sheets;
  LwBoardLayers dirty;    /* what has changed since they were painted or ordered */
  LwEasel easel;
  LwBoardWhole whole;
  guint content;          /* goes up when ground or bodies change, not when the view does */
  gint64 moved_us;        /* last pan, zoom or motion of a drag */
  gint64 travelled_us, panned_us; /* last pan or zoom; last pan */
  double speed_x, speed_y; /* of panning, units a microsecond */
  gint64 took_us;         /* to paint the sheets last */
  LwBoardDrag drag;
  guint drags;            /* so far, for merge keys */
  int show_pending;       /* part to bring into view once there is a size, or -1 */
  GdkModifierType press_state; /* modifiers of the press that a drag or click began with */
  LwBoardSketch sketch;
  gboolean was_sketching; /* when last painted */
  GtkWidget *form;        /* popover that asks for figures, or NULL */
};

LwJob *lw_board_view_job (LwBoardView *self); /* or NULL */
/* What of nozzle, preheat area, shields and thermocouples lies under a point. */
LwGrip lw_board_view_grip_at (LwBoardView *self, double x, double y, guint *index);
/* What a tooltip or a screen reader is told about a part (transfer full). */
char *lw_board_view_describe (LwBoardView *self, int part);
void lw_board_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot);
/* Something drawn has changed: LAYERS of LwBoardLayers are painted anew. */
void lw_board_view_redraw (LwBoardView *self, LwBoardLayers layers);
/* board-view-sheets.c: the layers, painted when something in them has changed */
void lw_board_view_paint_sheets (LwBoardView *self, cairo_t *cr, const LwBoardPicture *picture);
void lw_board_view_drop_sheets (LwBoardView *self);
/* How wide the widest strip of the view is that the sheets, moved with it, do not cover; 0 = none. */
double lw_board_view_gap (const LwBoardView *self);
/* Whether there is something to show there meanwhile. */
gboolean lw_board_view_stands_in (const LwBoardView *self);
/* The view or something in it follows a hand: frames do not wait for what has to be painted. */
void lw_board_view_hurry (LwBoardView *self);
void lw_board_view_fit (LwBoardView *self);
/* The places at the view's edges that the tools and the colour scale lie over; how many. */
#define LW_BOARD_COVERED 2
guint lw_board_view_covered (LwBoardView *self, LwBox boxes[LW_BOARD_COVERED]);
LwBox lw_board_view_scale_box (LwBoardView *self); /* of the colour scale; empty when there is no room for one */
void lw_board_view_zoom_at (LwBoardView *self, double factor, double px, double py);
void lw_board_view_pan (LwBoardView *self, double dx, double dy);

/* The drag: begin at a press, update at a motion by (dx, dy) since, end at release. FREE = no snapping. */
void lw_board_view_drag_begin (LwBoardView *self, double x, double y, gboolean pan_only);
void lw_board_view_drag_update (LwBoardView *self, double dx, double dy, gboolean free);
void lw_board_view_drag_end (LwBoardView *self);
void lw_board_view_drag_cancel (LwBoardView *self);
void lw_board_view_click (LwBoardView *self, double x, double y, int n_press);

/* board-view-group.c: bands, several parts at once, the clipboard */
void lw_board_view_band_end (LwBoardView *self);
void lw_board_view_click_part (LwBoardView *self, int part);
void lw_board_view_install_group_actions (GtkWidgetClass *widget_class);
void lw_board_view_update_group_actions (LwBoardView *self);
/* Where new parts go: the pointer when it is over the board, else the middle of the view; on the grid. */
LwPoint lw_board_view_spot (LwBoardView *self);

/* board-view-drop.c: takes packages dragged onto it */
void lw_board_view_add_drop (LwBoardView *self);

/* board-view-forms.c: what is asked for in figures */
void lw_board_view_install_forms (GtkWidgetClass *widget_class);

/* board-view-sketch.c: tools of drawing by hand */
LwTool lw_board_view_sketch_tool (LwBoardView *self); /* in hand; the plan's without a document */
gboolean lw_board_view_sketching (LwBoardView *self); /* a tool other than the plan's is in hand */
void lw_board_view_sketch_begin (LwBoardView *self, double x, double y);
void lw_board_view_sketch_update (LwBoardView *self, double x, double y, gboolean free);
void lw_board_view_sketch_end (LwBoardView *self);
void lw_board_view_sketch_click (LwBoardView *self, double x, double y, int n_press);
void lw_board_view_sketch_motion (LwBoardView *self, double x, double y);
/* TRUE when there was something to put down. */
gboolean lw_board_view_sketch_cancel (LwBoardView *self);
void lw_board_view_paint_sketch (LwBoardView *self, cairo_t *cr);
/* Makes a loop of the corners put down so far, or tells that they are too few. */
void lw_board_view_sketch_close (LwBoardView *self);
const char *lw_board_view_sketch_cursor (LwBoardView *self, double x, double y);
/* Takes LOOP over; FALSE with ERROR when it may not lie there. */
gboolean lw_board_view_add_loop (LwBoardView *self, LwLoop *loop, GError **error);
/* board-view-sketch-keys.c. What Delete, arrows and the keys for next and previous mean while corners are in hand; FALSE = not theirs. */
gboolean lw_board_view_sketch_delete (LwBoardView *self);
gboolean lw_board_view_sketch_nudge (LwBoardView *self, double dx_mm, double dy_mm);
gboolean lw_board_view_sketch_step (LwBoardView *self, int step);
void lw_board_view_install_sketch_actions (GtkWidgetClass *widget_class);

/* Pointer, keys and focus, once at its making; actions with their keys, once for the class; which of them can be done
 * now. */
void lw_board_view_add_controllers (LwBoardView *self);
void lw_board_view_install_actions (GtkWidgetClass *widget_class);
void lw_board_view_update_actions (LwBoardView *self);

G_END_DECLS

#endif
