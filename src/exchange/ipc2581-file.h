/* An IPC-2581 file as it stands, before a job is made of it: numbers in mm, names as written. Internal
 * to the room. Element names and their nesting follow the revision C schema and the files read; a file
 * need not pass it. */
#ifndef LW_IPC2581_FILE_H
#define LW_IPC2581_FILE_H

#include "exchange/listed.h"
#include "exchange/xml.h"

G_BEGIN_DECLS

/* Limits that no honest file reaches. */
#define LW_IPC_MAX_STEPS 1000
#define LW_IPC_MAX_HOLES 500000
#define LW_IPC_MAX_POINTS 2000000
#define LW_IPC_MAX_LOOP_POINTS 50000
#define LW_IPC_MAX_PINS 2000000
#define LW_IPC_MAX_ENTRIES 200000 /* of a dictionary, of the layers, of the bill of materials */

/* How a bottom part's drawing is laid onto the board; f is the file's angle. */
typedef enum {
  LW_IPC_TURN_FLIP_X, /* P + R(-f)(-u, v): the book's rule, turned first and then mirrored */
  LW_IPC_TURN_FLIP_Y, /* P + R(-f)(u, -v) */
  LW_IPC_FLIP_X_TURN, /* P + R(f)(-u, v) */
  LW_IPC_FLIP_Y_TURN, /* P + R(f)(u, -v) */
  LW_IPC_N_RULES
} LwIpcRule;

/* Size of a land's shape: its box. */
typedef struct {
  double length_mm, width_mm;
} LwIpcShape;

typedef struct {
  char *function;    /* "CONDUCTOR", ... */
  char *side;        /* "TOP", ... */
  gboolean negative; /* what is drawn is the absence of copper */
  char *from, *to;   /* of drills: the layers at either end, NULL = not said */
} LwIpcLayer;

/* A drilled hole. */
typedef struct {
  double x_mm, y_mm, diameter_mm;
  const LwIpcLayer *layer; /* the file's, whose span it has */
} LwIpcHole;

typedef struct {
  char *layer, *spec;
  double thickness_mm; /* NaN = not given */
  double sequence;
  guint line;
} LwIpcStackLayer;

typedef struct {
  char *material;   /* NULL = none */
  double weight_oz; /* NaN = not given */
} LwIpcSpec;

typedef struct {
  char *ref, *package, *number, *layer;
  double x_mm, y_mm, rotation_deg;
  double height_mm, standoff_mm; /* NaN = not given */
  gboolean mirror, has_place;
  guint line;
} LwIpcComponent;

/* A land of a package, kept with its shape's name until all dictionaries are in. */
typedef struct {
  double x_mm, y_mm, rotation_deg;
  LwIpcShape shape;       /* written out in place */
  const char *shape_name; /* of the file's chunk, NULL = in place */
} LwIpcPin;

typedef struct {
  LwListedBody *body;
  GPtrArray *assembly; /* LwListedLoop: the outline on the assembly drawing */
  GArray *pins;        /* LwIpcPin */
  char *type;
} LwIpcPackage;

typedef struct {
  char *name;
  guint line, profile_line;
  GPtrArray *outline;    /* LwListedLoop */
  GPtrArray *packages;   /* LwIpcPackage */
  GPtrArray *components; /* LwIpcComponent */
  GPtrArray *repeats;    /* names of the steps it repeats */
  guint n_repeats;       /* copies all in all */
  /* For checking the turn of parts against the lands on the board: */
  GHashTable *by_ref; /* designator -> LwIpcComponent */
  GHashTable *by_pin; /* package, pin -> number of the LwIpcPin + 1; 0 = several */
  GHashTable *by_package;
  guint votes[LW_IPC_N_RULES], n_votes;
  guint n_top_fit, n_top_miss;
  GHashTable *plots; /* copper layer -> LwPlot */
  GArray *holes;     /* LwIpcHole */
  GHashTable *slots; /* LwIpcLayer of drills -> LwPlot of its slots */
} LwIpcStep;

typedef struct {
  char *name; /* of the file */
  char *revision, *mode;
  double unit_mm; /* of everything in Ecad; 0 = not stated yet */
  GPtrArray *step_refs;
  GHashTable *shapes;   /* name -> LwIpcShape */
  GHashTable *drawings; /* name -> LwPlot of the same shape */
  GHashTable *widths;   /* name -> double *, pens in mm */
  GHashTable *layers;   /* name -> LwIpcLayer */
  GHashTable *specs;    /* name -> LwIpcSpec */
  GPtrArray *stack;     /* LwIpcStackLayer, of the first stack-up */
  guint n_stacks;
  double overall_mm;    /* NaN = not given */
  GHashTable *unfitted; /* designators, set */
  GHashTable *values;   /* part -> its value */
  GPtrArray *steps;     /* LwIpcStep */
  GStringChunk *words;
  GPtrArray *notes;  /* LwImportWarning, not owned */
  double n_meetings; /* spent on counting copper */
  guint n_points, n_pins, n_parts, n_packages, n_slots;
} LwIpcFile;

/* Empty, called NAME in messages. NOTES (of LwImportWarning) is borrowed and must outlive it (transfer full). */
LwIpcFile *lw_ipc_file_new (const char *name, GPtrArray *notes);
void lw_ipc_file_free (LwIpcFile *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwIpcFile, lw_ipc_file_free)

/* Reads the whole file. On error what has been read before stays in SELF. */
gboolean lw_ipc_file_read (LwIpcFile *self, GInputStream *stream, LwXmlTick tick, gpointer tick_data,
                           GCancellable *cancellable, GError **error);

/* A land on the board belongs to pin PIN of part REF: which rule brings it there? */
void lw_ipc_vote (LwIpcFile *self, LwIpcStep *step, const char *ref, const char *pin, double x_mm,
                  double y_mm);
/* The file's angle by the rule of LwPart. */
double lw_ipc_rotation (LwIpcRule rule, double file_deg);

/* TRUE for the bottom; the layer decides, "INTERNAL" comes back in *EMBEDDED. */
gboolean lw_ipc_on_bottom (const LwIpcFile *self, const LwIpcComponent *component, gboolean *embedded);

/* ---- to a job ---- */

/* The step that is the board: named by the content and with parts, panels resolved. NULL = none. */
LwIpcStep *lw_ipc_choose_step (LwIpcFile *self);
void lw_ipc_set_stack (LwIpcFile *self, LwJob *job);
/* The cover of what the step draws; needs stack-up and outline. FALSE when cancelled. */
gboolean lw_ipc_set_copper (LwIpcFile *self, const LwIpcStep *step, LwBoard *board,
                            GCancellable *cancellable, GError **error);
gboolean lw_ipc_is_copper (const LwIpcLayer *layer);
void lw_ipc_list_packages (LwIpcFile *self, LwIpcStep *step, LwListedLibrary *library);
void lw_ipc_list_parts (LwIpcFile *self, LwIpcStep *step, LwListedBoard *board);

G_END_DECLS

#endif
