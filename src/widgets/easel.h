/* A painter beside the window's thread. While a hand moves things, what takes longer than a frame may is painted there
 * and shown when it is done; the window goes on showing what it had. Painters need nothing of GTK, so they may. */
#ifndef LW_EASEL_H
#define LW_EASEL_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* One for each widget, zeroed at first. At most one order is out: what has changed meanwhile goes into the next. */
typedef struct {
  gpointer out; /* order that is being painted; NULL = none */
} LwEasel;

typedef struct {
  void (*paint) (gpointer order);                  /* in the painter's thread: reads and writes only the order */
  void (*show) (gpointer widget, gpointer order);  /* in the window's, unless the order was dropped */
  GDestroyNotify free;                             /* in the window's */
} LwEaselKind;

/* Takes ORDER; nothing may be out. Its KIND is static. */
void lw_easel_order (LwEasel *self, GtkWidget *widget, gpointer order, const LwEaselKind *kind);
gboolean lw_easel_busy (const LwEasel *self);
/* What is out is not shown: for another document, and for dispose. */
void lw_easel_drop (LwEasel *self);

G_END_DECLS

#endif
