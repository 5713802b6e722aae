/* What the drawn widgets share: kept layers, the look, the mark of the focus. */
#ifndef LW_CANVAS_H
#define LW_CANVAS_H

#include <gtk/gtk.h>

#include "draw/draw.h"

G_BEGIN_DECLS

/* A picture of the widget's size that is painted anew only when something in it has changed. */
typedef struct {
  cairo_surface_t *surface;
  int width, height, scale;
  gboolean dirty;
} LwKept;

/* A context to paint on when the layer is dirty or of another size, already clear; else NULL. */
cairo_t *lw_kept_begin (LwKept *self, GtkWidget *widget, gboolean opaque);
void lw_kept_end (LwKept *self, cairo_t *cr);
void lw_kept_paint (const LwKept *self, cairo_t *cr);
void lw_kept_clear (LwKept *self);

/* Work that an answer makes in several places while a hand moves: each takes its turn in a frame of its own. */
typedef struct {
  guint tick, left;
  void (*work) (gpointer widget);
} LwTurn;

/* WORK on WIDGET in so many frames from now; nothing when it is waiting for its turn already. */
void lw_turn_take (LwTurn *self, GtkWidget *widget, guint frames, void (*work) (gpointer widget));
/* For dispose. */
void lw_turn_drop (LwTurn *self, GtkWidget *widget);

/* From its theme: light or dark, strong with high contrast. */
LwLook lw_widget_look (GtkWidget *widget);
/* A ring just inside the edge when the keyboard is here. */
void lw_canvas_paint_focus (cairo_t *cr, GtkWidget *widget);
/* VALUE to the nearest multiple of STEP; as it is when STEP is 0. */
double lw_snap (double value, double step);

G_END_DECLS

#endif
