#include "widgets/finding-item.h"

struct _LwFindingItem {
  GObject parent_instance;
  GPtrArray *findings;
  const LwFinding *finding;
  GPtrArray *members; /* of a head, borrowed items that live as long as it is listed; else empty */
  LwFindingItem *head; /* of a member */
  gboolean open;
};

G_DEFINE_FINAL_TYPE (LwFindingItem, lw_finding_item, G_TYPE_OBJECT)

static void
lw_finding_item_dispose (GObject *object)
{
  LwFindingItem *self = LW_FINDING_ITEM (object);

  if (self->head != NULL)
    g_ptr_array_remove (self->head->members, self);
  g_clear_object (&self->head);
  G_OBJECT_CLASS (lw_finding_item_parent_class)->dispose (object);
}

static void
lw_finding_item_finalize (GObject *object)
{
  g_ptr_array_unref (LW_FINDING_ITEM (object)->findings);
  g_ptr_array_unref (LW_FINDING_ITEM (object)->members);
  G_OBJECT_CLASS (lw_finding_item_parent_class)->finalize (object);
}

static void
lw_finding_item_class_init (LwFindingItemClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_finding_item_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_finding_item_finalize;
}

static void
lw_finding_item_init (LwFindingItem *self)
{
  self->members = g_ptr_array_new ();
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

void
lw_finding_item_fold (LwFindingItem *self, LwFindingItem *head)
{
  g_return_if_fail (LW_IS_FINDING_ITEM (self) && LW_IS_FINDING_ITEM (head));
  g_set_object (&self->head, head);
  g_ptr_array_add (head->members, self);
}

LwFindingItem *
lw_finding_item_head (LwFindingItem *self)
{
  g_return_val_if_fail (LW_IS_FINDING_ITEM (self), NULL);
  return self->head;
}

const GPtrArray *
lw_finding_item_members (LwFindingItem *self)
{
  g_return_val_if_fail (LW_IS_FINDING_ITEM (self), NULL);
  return self->members;
}

gboolean
lw_finding_item_open (LwFindingItem *self)
{
  g_return_val_if_fail (LW_IS_FINDING_ITEM (self), FALSE);
  return self->open;
}

void
lw_finding_item_set_open (LwFindingItem *self, gboolean open)
{
  g_return_if_fail (LW_IS_FINDING_ITEM (self));
  self->open = open;
}
