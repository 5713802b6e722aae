#include "widgets/finding-groups.h"

#include <glib/gi18n.h>

#define NAMES_SHOWN 8

static gboolean
same_group (const LwFinding *a, const LwFinding *b)
{
  return a->grade == b->grade && g_strcmp0 (a->kind, b->kind) == 0;
}

static guint
count_group (const GPtrArray *findings, const LwFinding *of)
{
  guint n = 0;

  for (guint i = 0; i < findings->len; i++)
    n += same_group (g_ptr_array_index (findings, i), of);
  return n;
}

/* Whether an earlier finding already brought this one's group in. */
static gboolean
came_before (const GPtrArray *findings, guint at)
{
  for (guint i = 0; i < at; i++)
    if (same_group (g_ptr_array_index (findings, i), g_ptr_array_index (findings, at)))
      return TRUE;
  return FALSE;
}

static void
add_group (GPtrArray *items, GPtrArray *findings, guint first)
{
  const LwFinding *worst = g_ptr_array_index (findings, first);
  LwFindingItem *head = lw_finding_item_new (findings, worst);

  g_ptr_array_add (items, head);
  for (guint i = first; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    LwFindingItem *member;

    if (!same_group (finding, worst))
      continue;
    member = lw_finding_item_new (findings, finding);
    lw_finding_item_fold (member, head);
    g_ptr_array_add (items, member);
  }
}

GPtrArray *
lw_finding_groups (GPtrArray *findings)
{
  GPtrArray *items = g_ptr_array_new_with_free_func (g_object_unref);

  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (count_group (findings, finding) < LW_GROUP_LEAST)
      g_ptr_array_add (items, lw_finding_item_new (findings, finding));
    else if (!came_before (findings, i))
      add_group (items, findings, i);
  }
  return items;
}

char *
lw_finding_group_names (LwFindingItem *head)
{
  GString *names = g_string_new (NULL);
  const GPtrArray *members = lw_finding_item_members (head);
  guint shown = MIN (members->len, members->len == NAMES_SHOWN + 1 ? members->len : NAMES_SHOWN);

  for (guint i = 0; i < shown; i++) {
    const LwFinding *finding = lw_finding_item_finding (g_ptr_array_index (members, i));
    g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", *finding->ref != '\0' ? finding->ref : _("Board"));
  }
  if (shown < members->len)
    /* Translators: after a list of parts. */
    g_string_append_printf (names, ngettext (" and %u more", " and %u more", members->len - shown),
                            members->len - shown);
  return g_string_free (names, FALSE);
}
