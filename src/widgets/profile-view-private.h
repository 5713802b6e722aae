/* Inside of the profile view, for its files and its tests. */
#ifndef LW_PROFILE_VIEW_PRIVATE_H
#define LW_PROFILE_VIEW_PRIVATE_H

#include "widgets/canvas.h"
#include "widgets/easel.h"
#include "widgets/profile-view.h"

G_BEGIN_DECLS

/* One drag. The axes are held while it lasts, so that the pointer keeps its meaning. */
typedef struct {
  LwPull pull;
  guint stage;
  LwJob *before;
  char *key;
  double x0, y0;
  double value;          /* of what is pulled when the drag began: C or s */
  double end_s, high_c;  /* axes held; 0 = free */
  gboolean moved, edited;
  char *refusal;
} LwProfileDrag;

struct _LwProfileView {
  GtkWidget parent_instance;

  LwDesk *desk;
  LwKept base;
  LwEasel easel;         /* paints the base while a hand moves */
  LwProfileDrag drag;
  guint drags;
  guint tick;            /* while playing */
  gint64 played_us;      /* frame time of the last step */
  guint telling;         /* until the moment has rested */
  char *told;            /* the description as it was given last */
  double speed;          /* seconds of the job per second */
};

/* All that the desk and the preferences say of how the plan is shown; borrowed from them. */
void lw_profile_view_fill_picture (LwProfileView *self, LwProfilePicture *picture);
/* LAYERS are to be painted anew with the next frame. */
void lw_profile_view_redraw (LwProfileView *self, LwProfileLayers layers);
/* profile-view-base.c: what does not move with time, painted when something in it has changed */
void lw_profile_view_paint_base (LwProfileView *self, cairo_t *cr, const LwProfilePicture *picture);
void lw_profile_view_drop_base (LwProfileView *self);
double lw_profile_view_end (LwProfileView *self); /* of the time axis, s */

/* A pull on whatever lies under (x, y), widget coordinates; dx, dy are from there. FREE: without rounding. Edits of one
 * pull are one step; cancel takes them back. */
void lw_profile_view_drag_begin (LwProfileView *self, double x, double y);
void lw_profile_view_drag_update (LwProfileView *self, double dx, double dy, gboolean free);
void lw_profile_view_drag_end (LwProfileView *self);
void lw_profile_view_drag_cancel (LwProfileView *self);
/* A click where nothing was pulled: selects stage or set point, else sets the moment. */
void lw_profile_view_click (LwProfileView *self, double x, double y);

/* Whether the moment runs by itself; play begins anew at the end. */
gboolean lw_profile_view_playing (LwProfileView *self);
void lw_profile_view_play (LwProfileView *self, gboolean play);

/* Pointer and keys, once at its making; actions with their keys, once for the class. */
void lw_profile_view_add_controllers (LwProfileView *self);
void lw_profile_view_install_actions (GtkWidgetClass *widget_class);

G_END_DECLS

#endif
