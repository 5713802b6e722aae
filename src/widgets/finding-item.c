#include "widgets/finding-item.h"

struct _LwFindingItem {
  GObject parent_instance;
  GPtrArray *findings;
  const LwFinding *finding;
};

G_DEFINE_FINAL_TYPE (LwFindingItem, lw_finding_item, G_TYPE_OBJECT)

static void
lw_finding_item_finalize (GObject *object)
{
  g_ptr_array_unref (LW_FINDING_ITEM (object)->findings);
  G_OBJECT_CLASS (lw_finding_item_parent_class)->finalize (object);
}

static void
lw_finding_item_class_init (LwFindingItemClass *class)
{
  G_OBJECT_CLASS (class)->finalize = lw_finding_item_finalize;
}

static void
lw_finding_item_init (LwFindingItem *self)
{
}

LwFindingItem *
lw_finding_item_new (GPtrArray *findings, const LwFinding *finding)
{
  LwFindingItem *self = g_object_new (LW_TYPE_FINDING_ITEM, NULL);

  self->findings = g_ptr_array_ref (findings);
  self->finding = finding;
  return self;
}

const LwFinding *
lw_finding_item_finding (LwFindingItem *self)
{
  g_return_val_if_fail (LW_IS_FINDING_ITEM (self), NULL);
  return self->finding;
}

gboolean
lw_finding_item_same (LwFindingItem *self, const LwFinding *other)
{
  g_return_val_if_fail (LW_IS_FINDING_ITEM (self), FALSE);
  return g_strcmp0 (self->finding->kind, other->kind) == 0 && g_strcmp0 (self->finding->ref, other->ref) == 0;
}
