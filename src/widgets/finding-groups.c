#include "widgets/finding-groups.h"

#include <string.h>

#include <glib/gi18n.h>

#define NAMES_SHOWN 8

/* Findings of one kind and grade, in their order: the worst first. */
typedef struct {
  GPtrArray *members;
  guint at[LW_GROUP_LEAST]; /* where the first of them stand among all */
} Group;

/* What gets a row, and where it stands among all findings. */
typedef struct {
  guint at;
  const LwFinding *finding;
  GPtrArray *members; /* NULL: it stands alone */
} Row;

static guint
hash_of (gconstpointer finding)
{
  return g_str_hash (((const LwFinding *) finding)->kind) * 3 + ((const LwFinding *) finding)->grade;
}

static gboolean
alike (gconstpointer a, gconstpointer b)
{
  const LwFinding *f = a, *g = b;

  return f->grade == g->grade && strcmp (f->kind, g->kind) == 0;
}

static void
group_free (gpointer data)
{
  Group *group = data;

  g_ptr_array_unref (group->members);
  g_free (group);
}

static GHashTable *
gather (const GPtrArray *findings)
{
  GHashTable *groups = g_hash_table_new_full (hash_of, alike, NULL, group_free);
  Group *group = NULL;

  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    LwFinding *finding = g_ptr_array_index (findings, i);

    if (group == NULL || !alike (group->members->pdata[0], finding)) /* most often like the one before */
      group = g_hash_table_lookup (groups, finding);
    if (group == NULL) {
      group = g_new0 (Group, 1);
      group->members = g_ptr_array_new ();
      g_hash_table_insert (groups, finding, group);
    }
    if (group->members->len < LW_GROUP_LEAST)
      group->at[group->members->len] = i;
    g_ptr_array_add (group->members, finding);
  }
  return groups;
}

static int
earlier (gconstpointer a, gconstpointer b)
{
  const Row *x = a, *y = b;

  return x->at < y->at ? -1 : x->at > y->at;
}

static GArray *
rows_of (GHashTable *groups)
{
  GArray *rows = g_array_new (FALSE, FALSE, sizeof (Row));
  GHashTableIter iter;
  gpointer value;

  g_hash_table_iter_init (&iter, groups);
  while (g_hash_table_iter_next (&iter, NULL, &value)) {
    const Group *group = value;
    gboolean folded = group->members->len >= LW_GROUP_LEAST;

    for (guint i = 0; i < (folded ? 1 : group->members->len); i++) {
      Row row = { group->at[i], g_ptr_array_index (group->members, i), folded ? group->members : NULL };

      g_array_append_val (rows, row);
    }
  }
  g_array_sort (rows, earlier);
  return rows;
}

char *
lw_finding_group_key (const LwFinding *finding)
{
  return g_strdup_printf ("%s %s", lw_grade_word (finding->grade), finding->kind);
}

static void
add_row (GPtrArray *items, GPtrArray *findings, const Row *row, GHashTable *opened)
{
  LwFindingItem *item = lw_finding_item_new (findings, row->finding);
  g_autofree char *key = lw_finding_group_key (row->finding);

  g_ptr_array_add (items, item);
  if (row->members == NULL)
    return;
  lw_finding_item_lead (item, row->members);
  if (g_hash_table_contains (opened, key)) {
    lw_finding_item_set_open (item, TRUE);
    g_ptr_array_extend_and_steal (items, lw_finding_item_unfold (item));
  }
}

GPtrArray *
lw_finding_groups (GPtrArray *findings, GHashTable *opened)
{
  GPtrArray *items = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GHashTable) groups = gather (findings);
  g_autoptr (GArray) rows = rows_of (groups);

  for (guint i = 0; i < rows->len; i++)
    add_row (items, findings, &g_array_index (rows, Row, i), opened);
  return items;
}

char *
lw_finding_group_names (LwFindingItem *head)
{
  GString *names = g_string_new (NULL);
  const GPtrArray *members = lw_finding_item_members (head);
  guint shown = MIN (members->len, members->len == NAMES_SHOWN + 1 ? members->len : NAMES_SHOWN);

  for (guint i = 0; i < shown; i++) {
    const LwFinding *finding = g_ptr_array_index (members, i);
    g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", *finding->ref != '\0' ? finding->ref : _("Board"));
  }
  if (shown < members->len)
    /* Translators: after a list of parts. */
    g_string_append_printf (names, ngettext (" and %u more", " and %u more", members->len - shown),
                            members->len - shown);
  return g_string_free (names, FALSE);
}
