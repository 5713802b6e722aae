/* The plot and drill files of one board, with the job file that lists them. */
#ifndef LW_PLOT_SET_H
#define LW_PLOT_SET_H

#include "exchange/excellon.h"
#include "exchange/gerber.h"
#include "exchange/import.h"
#include "exchange/listed.h"

G_BEGIN_DECLS

/* A file's text. */
typedef struct {
  const char *name; /* base name */
  const char *data;
  gsize size;
} LwPlotFile;

typedef enum
{
  LW_ROLE_OTHER, /* mask, paste, legend, ... */
  LW_ROLE_PROFILE,
  LW_ROLE_COPPER,
  LW_ROLE_PARTS,
  LW_ROLE_DRILL,
  LW_ROLE_UNKNOWN
} LwPlotRole;

/* What a plot is for. */
typedef struct {
  LwPlotRole role;
  guint layer;        /* copper and parts: counted from the top, 1...; 0 = not said */
  LwSide side;        /* parts, and outer copper */
  gboolean inner;     /* copper: neither outer side */
  gboolean unplated;  /* drill */
  gboolean by_name;   /* the file's name alone says so */
} LwPlotUse;

/* From ".FileFunction" ("Copper,L1,Top"); UNKNOWN when it says nothing. */
LwPlotUse lw_plot_use_of_function (const char *function);
/* From a file's name: for files that say nothing themselves. */
LwPlotUse lw_plot_use_of_name (const char *name);

/* Whether the text looks like a plot or drill file. */
gboolean lw_plots_sniff (const char *data, gsize size);

/* ---- the job file ---- */

typedef struct {
  char *path, *function; /* base name; ".FileFunction" */
  gboolean negative;
} LwGerberJobFile;

typedef struct {
  char *name;            /* of the file */
  char *title;           /* of the board, "" = none */
  double thickness_mm;   /* NaN = not said */
  guint n_layers;        /* copper layers, 0 = not said */
  GPtrArray *files;      /* LwGerberJobFile */
  GPtrArray *layers;     /* LwLayer, top to bottom; empty = not said */
} LwGerberJob;

/* Whether the text looks like one. */
gboolean lw_gerber_job_sniff (const char *data, gsize size);
LwGerberJob *lw_gerber_job_read (const char *name, const char *data, gsize size, GPtrArray *notes,
                                 GError **error);
void lw_gerber_job_free (LwGerberJob *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwGerberJob, lw_gerber_job_free)
const LwGerberJobFile *lw_gerber_job_find (const LwGerberJob *self, const char *name); /* NULL if absent */

/* ---- the set ---- */

/* Parts of a component layer as the list has them, and their bodies; SIDE is the layer's. */
void lw_plot_parts_list (const LwGerber *gerber, LwSide side, LwListedBoard *board,
                         LwListedLibrary *library);

/* A copper layer of a set. */
typedef struct {
  LwGerber *gerber;
  LwPlotUse use;
  gboolean negative;
  guint number; /* from the top, 1... */
} LwPlotCopper;

/* Gives BOARD, whose outline is set, its stack-up (JOB may be NULL) and the cover of the layers in COPPER
 * (GArray of LwPlotCopper, numbered here), less the HOLES (GArray of LwHole) drilled through them. FALSE when
 * cancelled. */
gboolean lw_plot_copper_set (LwBoard *board, GArray *copper, const GArray *holes, const LwGerberJob *job, GPtrArray *notes,
                             LwImportProgress progress, gpointer user_data, GCancellable *cancellable,
                             GError **error);

/* The same for a single layer, for other readers: the grid of a board whose outline is set, an empty map on it, the
 * board's area as a plot, and the cover of PLOT, which goes into LAYER and MAP. */
LwPlotGrid lw_plot_board_grid (const LwBoard *board);
LwCopperMap *lw_plot_board_map (const LwPlotGrid *grid);
LwPlot *lw_plot_board_edge (const LwBoard *board);
void lw_plot_drill (LwPlot *plot, gboolean negative, const LwHole *hole); /* takes its disc or slot from the copper */
gboolean lw_plot_layer_cover (const LwBoard *board, LwLayer *layer, LwCopperMap *map, const LwPlot *plot,
                              gboolean negative, const LwPlot *edge, const LwPlotGrid *grid,
                              GCancellable *cancellable, GError **error);

/* The whole: LwImport with what the files tell. SOURCES (of LwImportSource, may be NULL) gets an entry for
 * each file. Files that cannot be read are told and left out; an error only when nothing is left. */
LwImport *lw_import_plots (const LwPlotFile *files, guint n_files, GPtrArray *sources,
                           LwImportProgress progress, gpointer user_data, GCancellable *cancellable,
                           GError **error);

/* Appends an entry; FORMAT and TAKEN may be NULL. */
void lw_sources_add (GPtrArray *sources, const char *file, const char *format, const char *taken);
GPtrArray *lw_sources_new (void);

G_END_DECLS

#endif
