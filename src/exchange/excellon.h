/* Excellon drill files and their strict subset XNC. Millimetres. */
#ifndef LW_EXCELLON_H
#define LW_EXCELLON_H

#include "board/geometry.h"
#include "exchange/notes.h"

G_BEGIN_DECLS

#define LW_EXCELLON_MAX_HOLES 500000

typedef enum
{
  LW_HOLE_UNKNOWN,
  LW_HOLE_PLATED,
  LW_HOLE_UNPLATED
} LwHolePlating;

/* A round hole, or a slot whose middle runs from A to B. */
typedef struct {
  LwPoint a, b;
  double diameter_mm;
  LwHolePlating plating;
  gboolean via; /* the file says so */
  guint line;
  guint from, to; /* copper layers it goes through, counted from the top; 0 = all */
} LwHole;

typedef struct {
  char *name;
  GArray *holes;    /* LwHole */
  gboolean guessed; /* unit or zeros were not stated */
  guint no_end_line; /* the last line, when the end mark (M30) is missing there; 0: it is not */
  char *fault;      /* why reading stopped before the end, "NAME:LINE: reason"; NULL: it did not */
} LwExcellon;

/* The layers in a ".FileFunction" of drills, "Plated,1,4,PTH"; 0, 0 when it names none. */
void lw_hole_span (const char *function, guint *from, guint *to);
/* Whether the text looks like a drill file. */
gboolean lw_excellon_sniff (const char *data, gsize size);
/* What the file leaves open (unit, dropped zeros) is chosen so that the holes fall inside BOARD, which may
 * be NULL. Reads to the first fault, which is kept. NULL when the bytes are no text. */
LwExcellon *lw_excellon_read (const char *name, const char *data, gsize size, const LwBox *board,
                              GPtrArray *notes, GError **error);
void lw_excellon_free (LwExcellon *self); /* NULL allowed */
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwExcellon, lw_excellon_free)

G_END_DECLS

#endif
