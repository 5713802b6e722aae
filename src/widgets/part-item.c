#include "widgets/part-item.h"

#include <math.h>

#include "plan/ready.h"

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

/* ---- what is read from ---- */

/* Of one part's findings. */
typedef struct {
  double headroom;
  int grade;
} Judged;

struct LwPartSource {
  const LwJob *job;
  const char *target;  /* NULL = no plan */
  double *peaks;       /* by part, NaN = none */
  GHashTable *judged;  /* ref -> Judged; NULL before a judgement */
};

static void
read_finding (GHashTable *judged, const LwFinding *finding)
{
  gboolean kelvin = g_strcmp0 (finding->unit, "°C") == 0 || g_strcmp0 (finding->unit, "K") == 0;
  Judged *of = g_hash_table_lookup (judged, finding->ref);

  if (of == NULL) {
    of = g_new (Judged, 1);
    *of = (Judged){ NAN, LW_GRADE_FINE };
    g_hash_table_insert (judged, finding->ref, of);
  }
  of->grade = MIN (of->grade, (int) finding->grade);
  if (kelvin && isfinite (finding->headroom) && !lw_ready_is_finding (finding)) /* 200 °C without a bake is no limit */
    of->headroom = isnan (of->headroom) ? finding->headroom : MIN (of->headroom, finding->headroom);
}

LwPartSource *
lw_part_source_new (const LwJob *job, int plan, const LwPrediction *prediction, const GPtrArray *findings)
{
  LwPartSource *self = g_new0 (LwPartSource, 1);

  self->job = job;
  self->target = plan < 0 ? NULL : ((const LwPlan *) g_ptr_array_index (job->plans, plan))->ref;
  self->peaks = g_new (double, MAX (job->parts->len, 1));
  for (guint i = 0; i < job->parts->len; i++)
    self->peaks[i] = NAN;
  for (guint i = 0; prediction != NULL && i < prediction->parts->len; i++) {
    const LwPartTrace *trace = g_ptr_array_index (prediction->parts, i);

    if (trace->part < job->parts->len)
      self->peaks[trace->part] = trace->body_peak_c;
  }
  if (findings != NULL)
    self->judged = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, g_free);
  for (guint i = 0; findings != NULL && i < findings->len; i++)
    read_finding (self->judged, g_ptr_array_index (findings, i));
  return self;
}

void
lw_part_source_free (LwPartSource *self)
{
  g_clear_pointer (&self->judged, g_hash_table_unref);
  g_free (self->peaks);
  g_free (self);
}

/* ---- reading ---- */

static gboolean
replace (char **to, const char *from)
{
  if (g_strcmp0 (*to, from) == 0)
    return FALSE;
  g_free (*to);
  *to = g_strdup (from);
  return TRUE;
}

/* The figures that are no strings; those stay as they are. */
static LwPartFigures
figures_of (const LwPartSource *from, guint index, const LwPartFigures *strings)
{
  const LwPart *part = g_ptr_array_index (from->job->parts, index);
  const LwPackage *package = lw_job_package_of (from->job, part);
  const Judged *judged = from->judged == NULL ? NULL : g_hash_table_lookup (from->judged, part->ref);
  gboolean known = FALSE;
  double height = lw_part_height_mm (part, package, &known);

  return (LwPartFigures){
    .part = index,
    .ref = strings->ref,
    .package = strings->package,
    .value = strings->value,
    .ref_key = strings->ref_key,
    .x_mm = part->placed ? part->x_mm : NAN,
    .y_mm = part->placed ? part->y_mm : NAN,
    .rotation_deg = part->rotation_deg,
    .locked = part->locked,
    .side = part->side,
    .kind = package == NULL ? LW_KIND_OTHER : package->kind,
    .height_mm = known ? height : NAN,
    .level = part->past.level,
    .reflows = part->past.cycles_used,
    .peak_c = from->peaks[index],
    .headroom = judged == NULL ? NAN : judged->headroom,
    .grade = from->judged == NULL ? -1 : judged == NULL ? LW_GRADE_FINE : judged->grade,
    .is_target = g_strcmp0 (from->target, part->ref) == 0,
  };
}

static gboolean
same_number (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

static gboolean
same_figures (const LwPartFigures *a, const LwPartFigures *b)
{
  return a->part == b->part && a->locked == b->locked && a->side == b->side && a->kind == b->kind
         && a->grade == b->grade && a->level == b->level && same_number (a->reflows, b->reflows) && a->is_target == b->is_target && same_number (a->x_mm, b->x_mm)
         && same_number (a->y_mm, b->y_mm) && same_number (a->rotation_deg, b->rotation_deg)
         && same_number (a->height_mm, b->height_mm) && same_number (a->peak_c, b->peak_c)
         && same_number (a->headroom, b->headroom);
}

gboolean
lw_part_item_read (LwPartItem *self, const LwPartSource *from, guint index)
{
  const LwPart *part = g_ptr_array_index (from->job->parts, index);
  LwPartFigures now;
  gboolean other = FALSE;

  if (replace (&self->figures.ref, part->ref)) {
    g_free (self->figures.ref_key);
    self->figures.ref_key = g_utf8_collate_key_for_filename (part->ref, -1);
    other = TRUE;
  }
  other = replace (&self->figures.package, part->package) || other;
  other = replace (&self->figures.value, part->value) || other;
  now = figures_of (from, index, &self->figures);
  other = other || !same_figures (&now, &self->figures);
  self->figures = now;
  if (other)
    g_signal_emit (self, changed_signal, 0);
  return other;
}
