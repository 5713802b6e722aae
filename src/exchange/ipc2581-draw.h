/* Copper as an IPC-2581 file draws it. Internal to the room. */
#ifndef LW_IPC2581_DRAW_H
#define LW_IPC2581_DRAW_H

#include "exchange/ipc2581-file.h"
#include "exchange/plot.h"

G_BEGIN_DECLS

/* What is being drawn: one entry of a dictionary, one land, one set of features. */
typedef struct {
  LwPlot *plot; /* what is drawn so far, about its own origin; NULL = nothing is wanted */
  LwPlotPlace place;
  gboolean mirrored;
  double unit_mm;
  /* The element that is open: */
  GArray *points; /* LwPoint */
  LwIpcShape box;
  double radius_mm; /* of a rounded corner */
  double width_mm;  /* of the pen */
  gboolean hollow, clear;
  char *name;
} LwIpcPen;

/* Nothing drawn yet, UNIT_MM to the unit of the file; what the pen held is freed first, so it must be cleared or all
 * zero. Clear frees it and leaves all zero. */
void lw_ipc_pen_start (LwIpcPen *self, double unit_mm);
void lw_ipc_pen_clear (LwIpcPen *self);

/* An element begins / ends; what is not drawn is passed over. WIDTHS: name -> double *, pens of the
 * dictionary. */
void lw_ipc_pen_element (LwIpcPen *self, const LwXmlTag *tag);
void lw_ipc_pen_point (LwIpcPen *self, const LwXmlTag *tag);
void lw_ipc_pen_line (LwIpcPen *self, const LwXmlTag *tag, GHashTable *widths);
void lw_ipc_pen_fill (LwIpcPen *self, const LwXmlTag *tag);
void lw_ipc_pen_place (LwIpcPen *self, const LwXmlTag *tag);
void lw_ipc_pen_end (LwIpcPen *self);
/* A drawing of the dictionary. */
void lw_ipc_pen_stamp (LwIpcPen *self, const LwPlot *drawing);
/* Puts what is drawn where it belongs on the layer. */
void lw_ipc_pen_finish (LwIpcPen *self, LwPlot *layer, gboolean dark);

G_END_DECLS

#endif
