/* The board: pan, zoom, select, move, turn and flip parts, drag and size nozzle and preheat area. */
#ifndef LW_BOARD_VIEW_H
#define LW_BOARD_VIEW_H

#include "widgets/desk.h"

G_BEGIN_DECLS

#define LW_TYPE_BOARD_VIEW (lw_board_view_get_type ())
G_DECLARE_FINAL_TYPE (LwBoardView, lw_board_view, LW, BOARD_VIEW, GtkWidget)

/* Property "desk" (LwDesk), settable. Widget actions: "view.fit", "view.zoom-in", "view.zoom-out",
 * "part.rotate" (90 degrees), "part.rotate-back", "part.flip", "part.nudge-left/-right/-up/-down" (0.5 mm),
 * "part.next", "part.previous", "part.unselect", "part.delete". */
GtkWidget *lw_board_view_new (LwDesk *desk);
void lw_board_view_set_desk (LwBoardView *self, LwDesk *desk);
/* TOOLS (borrowed, must live as long) lies over the upper left corner: the board is fitted beside it, and no words go under
 * it. NULL = nothing does. */
void lw_board_view_set_tools (LwBoardView *self, GtkWidget *tools);
/* Centres a part without changing the scale unless it is off view. */
void lw_board_view_show_part (LwBoardView *self, int part);
/* Topmost part of the shown side at a point of the widget, or -1. */
int lw_board_view_part_at (LwBoardView *self, double x, double y);
/* The middle of a part's body as a point of the widget. */
void lw_board_view_place_of (LwBoardView *self, int part, double *x, double *y);

G_END_DECLS

#endif
