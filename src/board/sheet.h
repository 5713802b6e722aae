/* A package as the outline drawing of its data sheet gives it: a family of the standard outlines and the figures
 * that family's drawing carries, by the letters JEDEC and IEC use for them. A sheet becomes a complete package;
 * what the drawing leaves open takes the family's usual value. Names of the land-pattern standard are read into
 * the same struct (land-name.h). */
#ifndef LW_SHEET_H
#define LW_SHEET_H

#include "board/job.h"

G_BEGIN_DECLS

typedef enum {
  LW_SHEET_BALLS,    /* ball grid array */
  LW_SHEET_COLUMNS,  /* ceramic array on solder columns */
  LW_SHEET_LANDS,    /* land grid array */
  LW_SHEET_QUAD_GULL,
  LW_SHEET_DUAL_GULL,
  LW_SHEET_SMALL,    /* small outline transistor: three to eight leads, one side may have fewer */
  LW_SHEET_QUAD_J,
  LW_SHEET_DUAL_J,
  LW_SHEET_QUAD_FLAT,
  LW_SHEET_DUAL_FLAT,
  LW_SHEET_CARRIER,  /* ceramic, castellated on four sides */
  LW_SHEET_CHIP,
  LW_SHEET_MOULDED,  /* two strips folded under a moulded body */
  LW_SHEET_CAN,      /* upright can on a square base */
  LW_SHEET_CORNERS,  /* four lands in the corners */
  LW_SHEET_DUAL_PIN, /* two rows of pins through the board */
  LW_SHEET_RADIAL,   /* two pins through the board */
  LW_SHEET_N_FAMILIES
} LwDatasheetFamily;

typedef enum {
  LW_FIGURE_HEIGHT,    /* above the board */
  LW_FIGURE_STANDOFF,
  LW_FIGURE_BODY_X,    /* across the rows of a two-row package, along a chip */
  LW_FIGURE_BODY_Y,
  LW_FIGURE_SPAN_X,    /* over the tips of the leads; centre to centre for pins through the board */
  LW_FIGURE_SPAN_Y,
  LW_FIGURE_PITCH,
  LW_FIGURE_PITCH_Y,   /* of an array whose rows lie at another pitch than its columns */
  LW_FIGURE_COLUMNS,   /* of an array; leads along the top and the bottom */
  LW_FIGURE_ROWS,      /* of an array; leads along the left and the right */
  LW_FIGURE_COUNT,     /* all joints, a thermal pad not among them */
  LW_FIGURE_JOINT,     /* length of the joint towards the body; diameter of a ball */
  LW_FIGURE_JOINT_WIDTH,
  LW_FIGURE_PAD_X,     /* thermal pad, 0 = none */
  LW_FIGURE_PAD_Y,
  LW_N_FIGURES
} LwFigure;

typedef struct {
  LwDatasheetFamily family;
  LwPackageKind kind;
  gboolean ceramic;              /* body of alumina instead of the family's usual matter */
  gboolean staggered;            /* an array with every second place empty */
  double figure[LW_N_FIGURES];   /* mm or a count; NaN = the drawing does not say */
} LwDatasheet;

/* One figure of a family's drawing. */
typedef struct {
  LwFigure figure;
  const char *letter; /* on the drawing, "" = none of the standard's */
  const char *title;  /* N_() */
  gboolean needed;
  double example;     /* of the family's example, NaN = left to the usual value */
} LwDatasheetRow;

typedef struct {
  const char *title;      /* N_() */
  const char *names;      /* trade names, for searching: "BGA, CSP" */
  const char *standard;   /* whose letters these are */
  LwPackageKind kinds[10]; /* that come in this family, LW_N_KINDS ends; the first is the usual one */
  LwDatasheetRow rows[12];    /* letter NULL ends */
} LwDatasheetInfo;

/* What there is to know of a family, one of LwDatasheetFamily (static). */
const LwDatasheetInfo *lw_datasheet_info (LwDatasheetFamily family);
/* The family's row for FIGURE, or NULL when its drawing has none. */
const LwDatasheetRow *lw_datasheet_row (LwDatasheetFamily family, LwFigure figure);

/* Every figure unknown, the family's usual kind. */
void lw_datasheet_clear (LwDatasheet *self, LwDatasheetFamily family);
/* A usual package of the family, complete. */
void lw_datasheet_example (LwDatasheet *self, LwDatasheetFamily family);

/* The figure, or the usual value where the drawing does not say; NaN when even that is not known. */
double lw_datasheet_value (const LwDatasheet *self, LwFigure figure);
/* What is wrong with the figure as the sheet stands (transfer full, translated), or NULL. */
char *lw_datasheet_fault (const LwDatasheet *self, LwFigure figure);
/* The first figure at fault, or -1. */
int lw_datasheet_first_fault (const LwDatasheet *self);

/* The joints alone, about the middle of the body, into JOINTS whose positions are NULL or given up. FALSE and
 * untouched when a figure is at fault. */
gboolean lw_datasheet_joints (const LwDatasheet *self, LwJoints *joints);
/* The package (transfer full), or NULL while a figure is at fault. SOURCE says where the figures were read;
 * the figures nobody gave are named behind it. */
LwPackage *lw_datasheet_package (const LwDatasheet *self, const char *name, const char *source);

/* The sheet that would give such a package, as far as its pattern of joints and its kind say which family it is of. */
void lw_datasheet_guess (LwDatasheet *self, const LwPackage *package);

/* What the land-pattern standard would call it (transfer full); a plain name where it has no rule. */
char *lw_datasheet_name (const LwDatasheet *self);

G_END_DECLS

#endif
