#include "widgets/part-item.h"

#include <math.h>

struct _LwPartItem {
  GObject parent_instance;
  LwPartFigures figures;
};

G_DEFINE_FINAL_TYPE (LwPartItem, lw_part_item, G_TYPE_OBJECT)

static guint changed_signal;

static void
lw_part_item_finalize (GObject *object)
{
  LwPartFigures *figures = &LW_PART_ITEM (object)->figures;

  g_free (figures->ref);
  g_free (figures->package);
  g_free (figures->value);
  g_free (figures->ref_key);
  G_OBJECT_CLASS (lw_part_item_parent_class)->finalize (object);
}

static void
lw_part_item_class_init (LwPartItemClass *class)
{
  G_OBJECT_CLASS (class)->finalize = lw_part_item_finalize;
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 0);
}

static void
lw_part_item_init (LwPartItem *self)
{
}

LwPartItem *
lw_part_item_new (void)
{
  return g_object_new (LW_TYPE_PART_ITEM, NULL);
}

const LwPartFigures *
lw_part_item_figures (LwPartItem *self)
{
  g_return_val_if_fail (LW_IS_PART_ITEM (self), NULL);
  return &self->figures;
}

static void
replace (char **to, const char *from)
{
  if (g_strcmp0 (*to, from) == 0)
    return;
  g_free (*to);
  *to = g_strdup (from);
}

static double
peak_of (const LwPrediction *prediction, guint index)
{
  for (guint i = 0; prediction != NULL && i < prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);

    if (trace->part == index)
      return trace->body_peak_c;
  }
  return NAN;
}

static double
headroom_of (const GPtrArray *findings, const char *ref)
{
  double least = NAN;

  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    gboolean kelvin = g_strcmp0 (finding->unit, "°C") == 0 || g_strcmp0 (finding->unit, "K") == 0;

    if (kelvin && g_strcmp0 (finding->ref, ref) == 0 && isfinite (finding->headroom))
      least = isnan (least) ? finding->headroom : MIN (least, finding->headroom);
  }
  return least;
}

void
lw_part_item_read (LwPartItem *self, const LwJob *job, int plan, guint index, const LwPrediction *prediction,
                   const GPtrArray *findings)
{
  LwPartFigures *figures = &self->figures;
  const LwPart *part = g_ptr_array_index (job->parts, index);
  const LwPackage *package = lw_job_package_of (job, part);
  gboolean known = FALSE;
  double height;

  if (g_strcmp0 (figures->ref, part->ref) != 0) {
    replace (&figures->ref, part->ref);
    g_free (figures->ref_key);
    figures->ref_key = g_utf8_collate_key_for_filename (part->ref, -1);
  }
  replace (&figures->package, part->package);
  replace (&figures->value, part->value);
  figures->x_mm = part->placed ? part->x_mm : NAN;
  figures->y_mm = part->placed ? part->y_mm : NAN;
  figures->rotation_deg = part->rotation_deg;
  figures->locked = part->locked;
  height = lw_part_height_mm (part, package, &known);
  figures->part = index;
  figures->side = part->side;
  figures->kind = package == NULL ? LW_KIND_OTHER : package->kind;
  figures->height_mm = known ? height : NAN;
  figures->peak_c = peak_of (prediction, index);
  figures->headroom = headroom_of (findings, part->ref);
  figures->grade = findings == NULL ? -1 : (int) lw_findings_grade_of (findings, part->ref);
  figures->is_target
    = plan >= 0 && g_strcmp0 (((const LwPlan *) g_ptr_array_index (job->plans, plan))->ref, part->ref) == 0;
  g_signal_emit (self, changed_signal, 0);
}
