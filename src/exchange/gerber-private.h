/* Inside the Gerber reader: its state, and the pieces it is made of. */
#ifndef LW_GERBER_PRIVATE_H
#define LW_GERBER_PRIVATE_H

#include "exchange/gerber.h"

G_BEGIN_DECLS

/* How far curves are cut short: 2 um, a tenth of what is plotted and etched true. */
#define LW_GERBER_CHORD_MM 0.002

/* ---- commands ---- */

typedef struct {
  const char *p, *end;
  guint line;
  guint signs; /* percent signs so far: odd = between two */
} LwGerberLexer;

typedef struct {
  GString *text; /* without the star and without line breaks */
  guint line;    /* it begins on */
  guint signs;   /* percent signs before it: odd = an extended one; equal = of one pair */
} LwGerberCommand;

/* The next command; FALSE at the end, with *CUT set when a command has no end. */
gboolean lw_gerber_next (LwGerberLexer *lexer, LwGerberCommand *command, gboolean *cut);

/* ---- aperture macros ---- */

typedef struct {
  GPtrArray *blocks; /* char *, without the stars */
  guint line;
} LwGerberMacro;

/* Draws MACRO with its parameters onto SHAPE, lengths times UNIT_MM; the reason (transfer full), or NULL
 * when it could. *STAMP: some of it takes away. */
char *lw_gerber_macro_draw (const LwGerberMacro *macro, const double *parameters, guint n, double unit_mm,
                            LwPlot *shape, gboolean *stamp);

/* ---- apertures ---- */

typedef struct {
  LwPlot *shape;     /* about its middle */
  gboolean stamp;    /* clear parts take away only what is its own */
  gboolean is_block;
  double diameter;   /* of a round one, else 0 */
  double width, height; /* of a rectangle, else 0 */
  double size;       /* across, whatever it is */
  char *function;    /* ".AperFunction", "" = none */
} LwAperture;

/* Without shape or function (transfer full). */
LwAperture *lw_aperture_new (void);
void lw_aperture_free (LwAperture *self);
/* A standard one; the reason (transfer full), or NULL. */
char *lw_aperture_standard (LwAperture *self, char kind, const double *mm, guint n);

/* ---- the state ---- */

typedef struct {
  guint first;  /* shape of the plot it begins with */
  guint nx, ny; /* 0: not open */
  double dx, dy;
} LwGerberRepeat;

enum { LW_GERBER_BLOCKS_MAX = 16 };

typedef struct {
  LwGerber *file;
  GPtrArray *notes;
  GCancellable *cancellable;
  GHashTable *apertures, *macros; /* by number, by name */
  GHashTable *aperture_attributes, *object_attributes;
  GHashTable *parts;              /* by designator, borrowed */
  GHashTable *told;               /* what has been remarked on */
  double unit_mm;                 /* 0 = not said */
  guint decimals_x, decimals_y, digits_x, digits_y; /* digits: 0 = not said */
  gboolean trailing, relative, multi_quadrant;
  int mode; /* 1 line, 2 clockwise, 3 counter-clockwise */
  int operation; /* last D01, D02, D03 */
  LwPoint at;
  guint n_defined; /* apertures so far, one defined again counted again */
  LwAperture *aperture;
  gboolean clear, region;
  LwPlotPlace place; /* mirror, scale, turn in force */
  GArray *contour;   /* LwPoint */
  LwPlot *plot;      /* being drawn on: the file's, or a block's */
  LwAperture *blocks[LW_GERBER_BLOCKS_MAX];
  guint block_numbers[LW_GERBER_BLOCKS_MAX];
  guint n_blocks;
  LwGerberRepeat repeat;
  LwGerberMacro *macro; /* being read, NULL = none */
  guint macro_signs;
  guint line, signs; /* of the command in hand */
  gboolean ended;
  char *fault;
} LwGerberState;

/* Ends the reading with a reason. Always FALSE. */
gboolean lw_gerber_stop (LwGerberState *self, const char *format, ...) G_GNUC_PRINTF (2, 3);
/* Remarks once on each KEY (a literal; NULL: always). */
void lw_gerber_note (LwGerberState *self, const char *key, const char *format, ...) G_GNUC_PRINTF (3, 4);

/* Empty: name -> macro, both owned by the table (transfer full). */
GHashTable *lw_gerber_macros_new (void);
/* One between percent signs; one of the plain kind. FALSE: stopped. */
gboolean lw_gerber_extended (LwGerberState *self, const char *text);
gboolean lw_gerber_plain (LwGerberState *self, const char *text);
/* "TF.name,value", with or without percent signs. */
void lw_gerber_attribute (LwGerberState *self, const char *text);

/* A flash, a stroke or a region's edge goes to the parts it speaks of. */
void lw_gerber_part_flash (LwGerberState *self);
void lw_gerber_part_stroke (LwGerberState *self, const LwStroke *stroke);

/* D01, D02, D03 to a place. */
gboolean lw_gerber_operate (LwGerberState *self, int operation, LwPoint to, LwPoint offset);
gboolean lw_gerber_end_region (LwGerberState *self);
gboolean lw_gerber_end_repeat (LwGerberState *self);

G_END_DECLS

#endif
