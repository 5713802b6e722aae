/* Centroid ("pick and place") tables: where each part's middle lies, as text with columns. No standard
 * says which columns, in which unit, with which separator; a mapping says it. lw_centroid_guess() makes
 * one from the text alone, a person may change it, lw_import_centroid() reads by it. All three are pure:
 * bytes in, answer out, so that a preview can be made anew for each change. */
#ifndef LW_CENTROID_H
#define LW_CENTROID_H

#include "exchange/import.h"

G_BEGIN_DECLS

typedef enum {
  LW_CENTROID_REF,
  LW_CENTROID_VALUE,
  LW_CENTROID_PACKAGE,
  LW_CENTROID_X,
  LW_CENTROID_Y,
  LW_CENTROID_ROTATION,
  LW_CENTROID_SIDE,
  LW_CENTROID_HEIGHT,
  LW_CENTROID_N_COLUMNS
} LwCentroidColumn;

typedef enum {
  LW_CENTROID_MM,
  LW_CENTROID_UM,
  LW_CENTROID_THOU,
  LW_CENTROID_INCH,
  LW_CENTROID_N_UNITS
} LwCentroidUnit;

/* How a bottom part's angle f is meant, a point (u, v) of its drawing being seen from its own side. R(a)
 * turns counter-clockwise as seen from the top. */
typedef enum {
  LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_Y, /* P + R(f)(u, -v): flipped top to bottom, counted from the top */
  LW_CENTROID_BOTTOM_TOP_VIEW_FLIP_X, /* P + R(f)(-u, v): flipped left to right, counted from the top */
  LW_CENTROID_BOTTOM_OWN_VIEW_FLIP_X, /* P + R(-f)(-u, v): counted as seen from below; as in IDF */
  LW_CENTROID_BOTTOM_OWN_VIEW_FLIP_Y, /* P + R(-f)(u, -v) */
  LW_CENTROID_N_BOTTOMS
} LwCentroidBottom;

/* What the text left open and the guess had to decide: ask, with the guess as the first answer. */
typedef enum {
  LW_CENTROID_OPEN_UNIT = 1 << 0,    /* no unit is stated anywhere */
  LW_CENTROID_OPEN_COLUMNS = 1 << 1, /* no header, or one that does not fit: columns are guessed */
  LW_CENTROID_OPEN_SIDE = 1 << 2,    /* no column of sides: default_side is used */
  LW_CENTROID_OPEN_BOTTOM = 1 << 3   /* there are bottom parts: no file states the rule of their angle */
} LwCentroidOpen;

typedef struct {
  char delimiter; /* ',' ';' '|' a tab, or ' ' = runs of blanks */
  gboolean decimal_comma;
  guint header_line;                 /* 1-based line of the column names, 0 = none */
  guint first_line;                  /* line of the first part */
  int column[LW_CENTROID_N_COLUMNS]; /* 0-based, -1 = none; reference, x and y are needed */
  LwCentroidUnit unit;               /* of numbers that do not carry one themselves */
  gboolean y_down;                   /* y counts downward in the file */
  gboolean side_is_mirror;           /* the column of sides answers "mirrored?" and not "which side?" */
  LwSide default_side;               /* without a column of sides */
  LwCentroidBottom bottom;
  gboolean bottom_x_negated; /* x of bottom parts is counted as seen from below */
  guint open;                /* LwCentroidOpen bits; lw_import_centroid() does not look at it */
} LwCentroidMapping;

/* One line of the table (a quoted field may span several). */
typedef struct {
  guint line;
  char **fields; /* UTF-8, unquoted, blanks around them dropped; NULL-terminated */
  guint n_fields;
  gboolean comment; /* fields are those of the text behind the comment mark */
} LwCentroidRow;
void lw_centroid_row_free (LwCentroidRow *row);

/* TRUE with a whole MAPPING when at least one line reads as a part by it; else FALSE with what is
 * missing. NAME is the file's, for messages. */
gboolean lw_centroid_guess (const char *name, const char *data, gsize size, LwCentroidMapping *mapping,
                            GError **error);
/* A quick look at the first bytes: could this be a centroid table at all? */
gboolean lw_centroid_sniff (const char *data, gsize size);

/* The first LIMIT lines that are not empty, split by DELIMITER: GPtrArray of LwCentroidRow (transfer
 * full). NULL with ERROR when the bytes are no text. */
GPtrArray *lw_centroid_rows (const char *name, const char *data, gsize size, char delimiter, guint limit,
                             GError **error);

/* The table as a job: parts without bodies, on an assumed outline. Lines that do not read as a part are
 * warnings; when fewer than half read, or none, it is refused. */
LwImport *lw_import_centroid (const char *name, const char *data, gsize size,
                              const LwCentroidMapping *mapping, GError **error);

/* Guess and read in one, with a warning for everything the guess had to decide. */
LwImport *lw_import_centroid_guessed (const char *name, const char *data, gsize size, GError **error);

/* Millimetres of one unit. */
double lw_centroid_unit_mm (LwCentroidUnit unit);
/* "mm", "µm", "thou", "inch", untranslated. */
const char *lw_centroid_unit_word (LwCentroidUnit unit);
/* What a column holds, translated: "reference", "x", "side", ... */
const char *lw_centroid_column_name (LwCentroidColumn column);

G_END_DECLS

#endif
