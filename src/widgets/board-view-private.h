/* Inside of the board view, for its files and its tests. */
#ifndef LW_BOARD_VIEW_PRIVATE_H
#define LW_BOARD_VIEW_PRIVATE_H

#include "widgets/board-view.h"
#include "widgets/canvas.h"

G_BEGIN_DECLS

typedef enum {
  LW_DRAG_NONE,
  LW_DRAG_PAN,
  LW_DRAG_PART,
  LW_DRAG_GRIP
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
} LwBoardDrag;

struct _LwBoardView {
  GtkWidget parent_instance;

  LwDesk *desk;
  LwViewport view;
  gboolean fitted;        /* the whole board is shown, and again after a change of size */
  int hovered;
  double pointer_x, pointer_y;
  gboolean space_held;
  double pinch_scale;     /* when a pinch began */
  LwKept ground, parts, plan;
  LwBoardDrag drag;
  guint drags;            /* so far, for merge keys */
  int show_pending;       /* part to bring into view once there is a size, or -1 */
};

LwJob *lw_board_view_job (LwBoardView *self); /* or NULL */
void lw_board_view_fill_picture (LwBoardView *self, LwBoardPicture *picture);
/* What a tooltip or a screen reader is told about a part (transfer full). */
char *lw_board_view_describe (LwBoardView *self, int part);
void lw_board_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot);
/* Something drawn has changed: LAYERS of LwBoardLayers are painted anew. */
void lw_board_view_redraw (LwBoardView *self, LwBoardLayers layers);
void lw_board_view_fit (LwBoardView *self);
void lw_board_view_zoom_at (LwBoardView *self, double factor, double px, double py);
void lw_board_view_pan (LwBoardView *self, double dx, double dy);

/* The drag: begin at a press, update at a motion by (dx, dy) since, end at release. FREE = no snapping. */
void lw_board_view_drag_begin (LwBoardView *self, double x, double y, gboolean pan_only);
void lw_board_view_drag_update (LwBoardView *self, double dx, double dy, gboolean free);
void lw_board_view_drag_end (LwBoardView *self);
void lw_board_view_drag_cancel (LwBoardView *self);
void lw_board_view_click (LwBoardView *self, double x, double y, int n_press);

void lw_board_view_add_controllers (LwBoardView *self);
void lw_board_view_install_actions (GtkWidgetClass *widget_class);
void lw_board_view_update_actions (LwBoardView *self);

G_END_DECLS

#endif
