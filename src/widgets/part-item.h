/* One part of the job with its predicted figures, as an item of a list model. */
#ifndef LW_PART_ITEM_H
#define LW_PART_ITEM_H

#include <gio/gio.h>

#include "board/job.h"
#include "plan/findings.h"

G_BEGIN_DECLS

#define LW_TYPE_PART_ITEM (lw_part_item_get_type ())
G_DECLARE_FINAL_TYPE (LwPartItem, lw_part_item, LW, PART_ITEM, GObject)

typedef struct {
  guint part; /* index in the job */
  char *ref, *package, *value, *ref_key; /* ref_key sorts U2 before U10 */
  double x_mm, y_mm, rotation_deg; /* NaN when it is not on the board */
  gboolean locked;
  LwSide side;
  LwPackageKind kind;
  double height_mm; /* NaN unknown */
  double peak_c;    /* body peak; NaN before an answer */
  double headroom;  /* least of its findings' in kelvin; NaN none */
  int grade;        /* LwGrade; -1 before a judgement */
  gboolean is_target;
  LwMoistureLevel level;
  double reflows;   /* its body has seen; NaN unknown */
} LwPartFigures;

/* A job with what was predicted and found for each of its parts, to be read from; PREDICTION and FINDINGS may be
 * NULL. It borrows everything. */
typedef struct LwPartSource LwPartSource;
LwPartSource *lw_part_source_new (const LwJob *job, int plan, const LwPrediction *prediction, const GPtrArray *findings);
void lw_part_source_free (LwPartSource *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (LwPartSource, lw_part_source_free)

/* Signal "changed": the figures are others now. */
LwPartItem *lw_part_item_new (void);
const LwPartFigures *lw_part_item_figures (LwPartItem *self);
/* Reads part INDEX of the job; whether a figure is another one now. */
gboolean lw_part_item_read (LwPartItem *self, const LwPartSource *from, guint index);

G_END_DECLS

#endif
