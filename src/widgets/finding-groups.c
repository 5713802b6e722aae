#include "widgets/finding-groups.h"

#include <glib/gi18n.h>

#define NAMES_SHOWN 8

/* Findings of one kind and grade, in their order: the worst first. */
static char *
group_of (const LwFinding *finding)
{
  return g_strdup_printf ("%d %s", (int) finding->grade, finding->kind);
}

static void
gather (GHashTable *groups, const LwFinding *finding)
{
  g_autofree char *name = group_of (finding);
  GPtrArray *group = g_hash_table_lookup (groups, name);

  if (group == NULL) {
    group = g_ptr_array_new ();
    g_hash_table_insert (groups, g_steal_pointer (&name), group);
  }
  g_ptr_array_add (group, (gpointer) finding);
}

static void
add_group (GPtrArray *items, GPtrArray *findings, const GPtrArray *group)
{
  LwFindingItem *head = lw_finding_item_new (findings, g_ptr_array_index (group, 0));

  g_ptr_array_add (items, head);
  for (guint i = 0; i < group->len; i++) {
    LwFindingItem *member = lw_finding_item_new (findings, g_ptr_array_index (group, i));

    lw_finding_item_fold (member, head);
    g_ptr_array_add (items, member);
  }
}

GPtrArray *
lw_finding_groups (GPtrArray *findings)
{
  GPtrArray *items = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GHashTable) groups
    = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_ptr_array_unref);

  for (guint i = 0; findings != NULL && i < findings->len; i++)
    gather (groups, g_ptr_array_index (findings, i));
  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    g_autofree char *name = group_of (finding);
    const GPtrArray *group = g_hash_table_lookup (groups, name);

    if (group->len < LW_GROUP_LEAST)
      g_ptr_array_add (items, lw_finding_item_new (findings, finding));
    else if (g_ptr_array_index (group, 0) == finding)
      add_group (items, findings, group);
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
