/* Boards in: one door for every format the program reads. */
#ifndef LW_IMPORT_H
#define LW_IMPORT_H

#include <gio/gio.h>

#include "board/job.h"

G_BEGIN_DECLS

typedef enum {
  LW_IMPORT_ERROR_SYNTAX,
  LW_IMPORT_ERROR_UNSUPPORTED,
  LW_IMPORT_ERROR_TOO_LARGE
} LwImportError;
#define LW_IMPORT_ERROR (lw_import_error_quark ())
GQuark lw_import_error_quark (void);

typedef struct {
  char *file; /* base name */
  guint line; /* 1-based; 0 = the file as a whole */
  char *text; /* translated */
  gboolean damage; /* the file is damaged here, and something of it is missing: these come first */
  char *reason;    /* of damage: what is wrong, without what became of it; else NULL */
} LwImportWarning;

/* What the files do not say, to be measured or looked up. */
typedef enum
{
  LW_UNKNOWN_OUTLINE,   /* none, or a stated substitute */
  LW_UNKNOWN_THICKNESS,
  LW_UNKNOWN_STACK_UP,  /* layers */
  LW_UNKNOWN_COPPER,    /* how much of the layers is copper */
  LW_UNKNOWN_PARTS,     /* none at all */
  LW_UNKNOWN_BODY,      /* size of a part's body */
  LW_UNKNOWN_HEIGHT     /* of a part */
} LwUnknownKind;

typedef struct {
  LwUnknownKind kind;
  char *what; /* body and height: the package, else NULL */
  char *refs; /* of the parts concerned, "C1, C2, C7"; NULL with the board itself */
  guint n_parts;
  char *text; /* translated: what to measure */
} LwImportUnknown;

/* What became of a file. */
typedef struct {
  char *file;   /* base name */
  char *format; /* "IDF 3.0", "Gerber X2", ...; NULL: not a format that is read */
  char *taken;  /* translated: what the job has from it; NULL: nothing */
} LwImportSource;

typedef struct {
  LwJob *job;
  GPtrArray *warnings; /* LwImportWarning */
  char *format;        /* "IDF 3.0", "Leeward 1"; several are joined by " + " */
  GPtrArray *unknowns; /* LwImportUnknown; filled in by lw_import() and lw_import_many() */
  GPtrArray *sources;  /* LwImportSource; filled in by lw_import_many() alone, else NULL */
} LwImport;

/* Called now and then from the calling thread, with 0..1. */
typedef void (*LwImportProgress) (double done, gpointer user_data);

/* With its job and remarks; NULL allowed. */
void lw_import_free (LwImport *import);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwImport, lw_import_free)

/* Opens FILE by its content (a Leeward document, an IDF board file, IPC-2581, IPC-D-356 or a placement
 * table; a plot, drill or job file as lw_import_many() has them); PARTNER is the second file of a pair or
 * NULL: then one of the same base name is looked for beside it. On error - a damaged file is one - the
 * message is "NAME:LINE: reason" and nothing is returned. */
LwImport *lw_import (GFile *file, GFile *partner, GCancellable *cancellable, GError **error);
/* The same, telling how far it is (IPC-2581, the one format whose files are large); PROGRESS may be NULL. */
LwImport *lw_import_told (GFile *file, GFile *partner, LwImportProgress progress, gpointer user_data,
                          GCancellable *cancellable, GError **error);
/* Opens several files of one board together. Each of FILES may be a file, a folder (looked through, four
 * deep), an archive (.zip, .tar and its packed forms, .7z) or a packed file (.gz, .xz); files that no
 * reader knows are listed in `sources` and passed over. What each file tells is taken by this order, an
 * assumed value coming last:
 *
 *   outline     Gerber profile, IPC-2581, IDF, IPC-D-356
 *   thickness   IPC-2581, Gerber job file, IDF
 *   stack-up    IPC-2581, Gerber job file
 *   copper      Gerber, IPC-2581
 *   parts       IPC-2581, Gerber component layers, IDF, centroid table, IPC-D-356; parts that the first
 *               lacks are added from the others (not from IPC-D-356, which cuts names)
 *   bodies      IDF, IPC-2581, Gerber component layers
 *   heights     IDF, IPC-2581, centroid table, Gerber component layers
 *
 * Boards with another origin are shifted onto the first by their parts or outlines, which is told. Where
 * two files contradict each other a warning names both values. When one file, or an archive, is damaged
 * the whole is refused with the first damage's file, line and reason. PROGRESS may be NULL. */
LwImport *lw_import_many (GFile *const *files, guint n_files, LwImportProgress progress,
                          gpointer user_data, GCancellable *cancellable, GError **error);
/* What a damaged file still gives: as lw_import_told(), but
 *
 *   IPC-2581            up to the damage, when it has come to parts
 *   IDF                 of a damaged section what stands before the fault, and all whole sections
 *   centroid table      the lines that read as a part
 *   IPC-D-356           the records that can be read
 *   Gerber              parts and holes before the fault, a profile whose edge stands whole; a copper layer
 *                       with a fault is left out, since half of one would be wrong
 *   Excellon            the holes before the fault
 *
 * Each damage is a warning (`damage`) with file, line and reason, and these come first. A document, and
 * files that give nothing, fail as in lw_import(); an undamaged file is read as there. */
LwImport *lw_import_salvage (GFile *file, GFile *partner, LwImportProgress progress, gpointer user_data,
                             GCancellable *cancellable, GError **error);
/* The same of several files, as lw_import_many(); of a damaged archive what was unpacked before. */
LwImport *lw_import_salvage_many (GFile *const *files, guint n_files, LwImportProgress progress,
                                  gpointer user_data, GCancellable *cancellable, GError **error);
/* The IDF reader on text already in memory (LIBRARY may be NULL). */
LwImport *lw_import_idf (const char *board_name, const char *board, gsize board_length,
                         const char *library_name, const char *library, gsize library_length,
                         GError **error);
/* The same, salvaging. */
LwImport *lw_import_idf_salvage (const char *board_name, const char *board, gsize board_length,
                                 const char *library_name, const char *library, gsize library_length,
                                 GError **error);

G_END_DECLS

#endif
