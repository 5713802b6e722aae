#include "widgets/finding-item.h"

#include <math.h>

struct _LwFindingItem {
  GObject parent_instance;
  GPtrArray *findings;
  const LwFinding *finding;
  GPtrArray *members; /* of a head, LwFinding of its array; NULL for all others */
  LwFindingItem *head; /* of a member */
  gboolean open;
};

G_DEFINE_FINAL_TYPE (LwFindingItem, lw_finding_item, G_TYPE_OBJECT)

static guint changed_signal;

static void
lw_finding_item_dispose (GObject *object)
{
  LwFindingItem *self = LW_FINDING_ITEM (object);

  g_clear_object (&self->head);
  G_OBJECT_CLASS (lw_finding_item_parent_class)->dispose (object);
}

static void
lw_finding_item_finalize (GObject *object)
{
  g_ptr_array_unref (LW_FINDING_ITEM (object)->findings);
  g_clear_pointer (&LW_FINDING_ITEM (object)->members, g_ptr_array_unref);
  G_OBJECT_CLASS (lw_finding_item_parent_class)->finalize (object);
}

static void
lw_finding_item_class_init (LwFindingItemClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_finding_item_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_finding_item_finalize;
  changed_signal = g_signal_new ("changed", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 0);
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

LwFindingItem *
lw_finding_item_copy (LwFindingItem *self)
{
  LwFindingItem *copy = lw_finding_item_new (self->findings, self->finding);

  g_set_object (&copy->head, self->head);
  return copy;
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

static void
put_under (LwFindingItem *self, LwFindingItem *head)
{
  g_set_object (&self->head, head);
}

void
lw_finding_item_lead (LwFindingItem *self, GPtrArray *members)
{
  g_return_if_fail (LW_IS_FINDING_ITEM (self) && members != NULL);
  g_ptr_array_ref (members);
  g_clear_pointer (&self->members, g_ptr_array_unref);
  self->members = members;
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
  static const GPtrArray none = { NULL, 0 };

  g_return_val_if_fail (LW_IS_FINDING_ITEM (self), NULL);
  return self->members != NULL ? self->members : &none;
}

GPtrArray *
lw_finding_item_unfold (LwFindingItem *self)
{
  const GPtrArray *members = lw_finding_item_members (self);
  GPtrArray *items = g_ptr_array_new_full (members->len, g_object_unref);

  for (guint i = 0; i < members->len; i++) {
    LwFindingItem *member = lw_finding_item_new (self->findings, g_ptr_array_index (members, i));

    put_under (member, self);
    g_ptr_array_add (items, member);
  }
  return items;
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

/* ---- following ---- */

static gboolean
same_number (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

static gboolean
reads_the_same (const LwFinding *a, const LwFinding *b)
{
  return g_strcmp0 (a->ref, b->ref) == 0 && g_strcmp0 (a->kind, b->kind) == 0 && g_strcmp0 (a->text, b->text) == 0
         && g_strcmp0 (a->unit, b->unit) == 0 && g_strcmp0 (a->source, b->source) == 0
         && g_strcmp0 (a->advice, b->advice) == 0 && same_number (a->value, b->value) && same_number (a->limit, b->limit)
         && same_number (a->headroom, b->headroom) && same_number (a->doubt, b->doubt)
         && same_number (a->moment_s, b->moment_s);
}

/* Where it stands in a group. */
typedef struct {
  LwGrade grade;
  gboolean member, open;
  guint n_members;
} Role;

static Role
role_of (const LwFindingItem *self)
{
  return (Role){ self->finding->grade, self->head != NULL, self->head != NULL ? self->head->open : self->open,
                 self->members != NULL ? self->members->len : 0 };
}

static gboolean
same_role (const Role *a, const Role *b)
{
  return a->grade == b->grade && a->member == b->member && a->open == b->open && a->n_members == b->n_members;
}

/* Its finding is another one; TRUE when that reads otherwise. */
static gboolean
take_finding (LwFindingItem *self, const LwFindingItem *from)
{
  gboolean same = reads_the_same (self->finding, from->finding);
  GPtrArray *before = self->findings;

  g_clear_object (&self->head);
  g_clear_pointer (&self->members, g_ptr_array_unref);
  self->members = from->members != NULL ? g_ptr_array_ref (from->members) : NULL;
  self->findings = g_ptr_array_ref (from->findings);
  self->finding = from->finding;
  self->open = from->open;
  g_ptr_array_unref (before);
  return !same;
}

gboolean
lw_finding_items_follow (const GPtrArray *kept, const GPtrArray *fresh)
{
  g_autoptr (GHashTable) stand_in = g_hash_table_new (NULL, NULL); /* fresh -> kept */
  g_autofree Role *before = g_new (Role, MAX (kept->len, 1));
  g_autofree gboolean *told = g_new (gboolean, MAX (kept->len, 1));
  gboolean moved = FALSE;

  g_return_val_if_fail (kept->len == fresh->len, FALSE);
  for (guint i = 0; i < kept->len; i++) {
    before[i] = role_of (g_ptr_array_index (kept, i));
    g_hash_table_insert (stand_in, g_ptr_array_index (fresh, i), g_ptr_array_index (kept, i));
  }
  for (guint i = 0; i < kept->len; i++)
    told[i] = take_finding (g_ptr_array_index (kept, i), g_ptr_array_index (fresh, i));
  for (guint i = 0; i < kept->len; i++) {
    LwFindingItem *head = ((LwFindingItem *) g_ptr_array_index (fresh, i))->head;

    if (head != NULL)
      put_under (g_ptr_array_index (kept, i), g_hash_table_lookup (stand_in, head));
  }
  for (guint i = 0; i < kept->len; i++) {
    LwFindingItem *item = g_ptr_array_index (kept, i);
    Role now = role_of (item);
    gboolean other = !same_role (&before[i], &now);

    moved = moved || other;
    if (other || told[i] || now.n_members > 0) /* heads name their members */
      g_signal_emit (item, changed_signal, 0);
  }
  return moved;
}
