/* One Gerber file (RS-274X, X2, X3) as it stands: what is drawn, and what its attributes say of it.
 * Millimetres, degrees counter-clockwise. */
#ifndef LW_GERBER_H
#define LW_GERBER_H

#include "exchange/notes.h"
#include "exchange/plot.h"

G_BEGIN_DECLS

#define LW_GERBER_MAX_PARTS 20000 /* each a package of its own: see LW_LISTED_MAX_BODIES */

/* What is drawn along a line, with the pen's middle. */
typedef struct {
  LwPoint from, to;
  double sweep_deg; /* 0 = straight, > 0 counter-clockwise; 360: a full circle about CENTER */
  LwPoint center;
  guint line;
} LwStroke;

typedef struct {
  double x_mm, y_mm;
  double size_mm; /* of the aperture that marks it, 0 = not known */
} LwGerberPin;

/* How an outline of a part was meant, the better first. */
typedef enum
{
  LW_GERBER_BODY,
  LW_GERBER_LEAD_TO_LEAD,
  LW_GERBER_FOOTPRINT,
  LW_GERBER_COURTYARD,
  LW_GERBER_NO_OUTLINE
} LwGerberOutline;

typedef struct {
  char *ref, *package, *footprint, *value, *number, *mount; /* "" = not said */
  double x_mm, y_mm;
  double rotation_deg; /* as written */
  double height_mm;    /* NaN = not said */
  GArray *pins;        /* LwGerberPin, on the board */
  GArray *strokes;     /* LwStroke of the best outline, on the board */
  LwGerberOutline outline;
  guint line;
} LwGerberPart;

typedef struct {
  char *name;             /* base name of the file */
  GHashTable *attributes; /* of the file: "FileFunction" -> "Copper,L1,Top" */
  gboolean negative;      /* the image shows what is not there */
  LwPlot *plot;
  GArray *strokes;   /* LwStroke; drawn lines and the edges of regions */
  GPtrArray *parts;  /* LwGerberPart */
  gboolean has_tools; /* apertures were defined: it is a plot at all */
  guint n_flashes;
  gboolean no_end;   /* there is no fault, but no end mark (M02) either */
  char *fault;       /* why reading stopped before the end, "NAME:LINE: reason"; NULL: it did not */
} LwGerber;

/* Reads to the first fault, which is kept beside what was read until then. NULL only when cancelled or
 * when the bytes are no text. */
LwGerber *lw_gerber_read (const char *name, const char *data, gsize size, GPtrArray *notes,
                          GCancellable *cancellable, GError **error);
void lw_gerber_free (LwGerber *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwGerber, lw_gerber_free)

/* Field INDEX of a comma-separated attribute (transfer full), "" when there are not as many. */
char *lw_gerber_field (const char *value, guint index);

G_END_DECLS

#endif
