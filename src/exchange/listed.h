/* A board as a file lists it, before a job is made of it: mm, degrees, names as written. Every reader of
 * this room fills this in; what becomes of it is the same for all formats. */
#ifndef LW_LISTED_H
#define LW_LISTED_H

#include "exchange/notes.h"

G_BEGIN_DECLS

/* Limits that no honest file reaches. */
#define LW_LISTED_MAX_PARTS 50000  /* with what else a document holds of them (board/json-scan.h) */
#define LW_LISTED_MAX_BODIES 20000 /* a document holds no more packages (board/types.c) */

typedef struct {
  guint label;
  guint line;    /* of its first point */
  LwLoop *loop;  /* as written: winding not yet put right */
  GArray *lines; /* guint, of each corner; empty for a circle */
  gboolean circle;
  double radius_mm; /* circle only */
} LwListedLoop;

/* Without corners. LABEL: the file's number for it; LINE: where it begins (transfer full). */
LwListedLoop *lw_listed_loop_new (guint label, guint line);
void lw_listed_loop_free (LwListedLoop *self);
GPtrArray *lw_listed_loops_new (void); /* of LwListedLoop, freed with the array */
/* FALSE for what has no area and is not even a figure of eight. */
gboolean lw_listed_loop_encloses (const LwListedLoop *self);
/* A loop with the wanted winding (transfer full). */
LwLoop *lw_listed_loop_wound (const LwListedLoop *self, gboolean counter_clockwise);

typedef struct {
  char *geometry, *number, *ref;
  /* By the rule of LwPart, whatever the file's own rule; the rotation in [0, 360). */
  double x_mm, y_mm, offset_mm, rotation_deg;
  double height_mm; /* of this part; NaN = its body's */
  LwSide side;
  gboolean placed;
  guint line;
} LwListedPart;

/* GEOMETRY and NUMBER name its body in the library; not placed, of unknown height (transfer full; strings are copied). */
LwListedPart *lw_listed_part_new (const char *geometry, const char *number, const char *ref, guint line);
void lw_listed_part_free (LwListedPart *self);

typedef struct {
  char *name; /* of the board, "" = none */
  guint outline_line;
  double thickness_mm; /* 0 = not known */
  GPtrArray *outline;  /* LwListedLoop */
  GPtrArray *parts;    /* LwListedPart */
} LwListedBoard;

/* Makes an empty board of what need not be cleared before; clear frees what it holds. */
void lw_listed_board_init (LwListedBoard *self);
void lw_listed_board_clear (LwListedBoard *self);

typedef struct {
  char *name, *value;
} LwListedProperty;

typedef struct {
  double x_mm, y_mm;          /* about the placement point */
  double length_mm, width_mm; /* of the land along x and y; 0 = not known */
} LwListedPin;

typedef struct {
  char *geometry, *number;
  double height_mm;   /* as written, in mm; 0 = not known, NaN = not given */
  GPtrArray *loops;   /* LwListedLoop, or NULL */
  GArray *properties; /* LwListedProperty */
  GArray *pins;       /* LwListedPin; empty = not known */
  LwPackageKind kind; /* LW_KIND_OTHER = the file does not say */
  gboolean mechanical;
  guint line;
} LwListedBody;

/* Without pins and properties, of kind LW_KIND_OTHER. HEIGHT_MM may be NaN (transfer full; strings are copied). */
LwListedBody *lw_listed_body_new (const char *geometry, const char *number, double height_mm,
                                  guint line);
void lw_listed_body_free (LwListedBody *self);

typedef struct {
  char *name;         /* of the file */
  GPtrArray *entries; /* LwListedBody */
  /* private: finding */
  GHashTable *by_key, *by_geometry;
} LwListedLibrary;

/* Makes an empty library of zeros, called NAME in messages; clear frees what it holds. */
void lw_listed_library_init (LwListedLibrary *self, const char *name);
void lw_listed_library_clear (LwListedLibrary *self);
/* Once, when all bodies are in: the first of several with one key counts, the others are told. */
void lw_listed_library_index (LwListedLibrary *self, GPtrArray *notes);
/* The body of a part: by geometry and part number, else by geometry alone, else NULL. */
const LwListedBody *lw_listed_library_find (const LwListedLibrary *self, const char *geometry,
                                            const char *number);

/* ---- to a job ---- */

/* First. Fills JOB's packages and parts, the parts in the list's order; LIBRARY may be NULL. FILE is the
 * board file's name. */
void lw_listed_add_parts (LwJob *job, const LwListedBoard *board, const LwListedLibrary *library,
                          const char *file, GPtrArray *notes);

/* A package's box, circle or outline from a body's loops. FALSE when there is none that can be used. */
gboolean lw_listed_set_body (LwPackage *package, const LwListedBody *entry, const char *library_file,
                             GPtrArray *notes);

/* A package's joints from a body's pins: kept when the package has them just there, else the pattern the
 * pins make, else a list. A land that is much larger than the others under the body is its thermal pad.
 */
void lw_listed_set_joints (LwPackage *package, const LwListedBody *entry);

/* Sets the outline, thickness and name of JOB's board; needs the parts. OUTLINE_LINES (guint) gets the
 * line each loop of the job's outline begins on. */
gboolean lw_listed_set_board (LwJob *job, const LwListedBoard *board, GArray *outline_lines,
                              const char *file, GPtrArray *notes, GError **error);

/* Last: makes JOB pass lw_job_check(), with a warning for each thing that had to give way. */
gboolean lw_listed_settle (LwJob *job, const LwListedBoard *board, GArray *outline_lines,
                           const char *file, GPtrArray *notes, GError **error);

/* The three steps and the first station of the library. */
gboolean lw_listed_to_job (LwJob *job, const LwListedBoard *board, const LwListedLibrary *library,
                           const char *file, GPtrArray *notes, GError **error);

G_END_DECLS

#endif
