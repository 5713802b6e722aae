#include "exchange/unknowns.h"

#include <glib/gi18n.h>

#include "board/assume.h"

#define MAX_REFS 12 /* named one by one; the count tells the rest */

static void
unknown_free (gpointer data)
{
  LwImportUnknown *self = data;

  g_free (self->what);
  g_free (self->refs);
  g_free (self->text);
  g_free (self);
}

static LwImportUnknown *
add (LwImport *import, LwUnknownKind kind, char *text)
{
  LwImportUnknown *self = g_new0 (LwImportUnknown, 1);

  self->kind = kind;
  self->text = text;
  g_ptr_array_add (import->unknowns, self);
  return self;
}

/* ---- the board ---- */

static gboolean
has_copper (const LwBoard *board)
{
  for (guint i = 0; i < board->layers->len; i++)
    if (((const LwLayer *) board->layers->pdata[i])->kind == LW_LAYER_COPPER)
      return TRUE;
  return FALSE;
}

/* Figures without a plot are assumptions, but for a document, whose owner has seen them. */
static gboolean
cover_is_known (const LwImport *import)
{
  return import->job->board->copper_map != NULL || g_str_has_prefix (import->format, "Leeward");
}

static void
list_board (LwImport *import)
{
  const LwBoard *board = import->job->board;

  if (board->outline->len == 0 || board->outline_assumed)
    add (import, LW_UNKNOWN_OUTLINE, g_strdup (_("The board’s outline: measure length and width.")));
  if (!board->thickness_known)
    add (import, LW_UNKNOWN_THICKNESS, g_strdup (_("The board’s thickness: measure it at the edge.")));
  if (!has_copper (board))
    add (import, LW_UNKNOWN_STACK_UP,
         g_strdup (_("The stack-up: number of copper layers and their weight.")));
  else if (!cover_is_known (import))
    add (import, LW_UNKNOWN_COPPER,
         g_strdup (_("How much of each copper layer is copper: plotted copper layers tell it.")));
  if (import->job->parts->len == 0)
    add (import, LW_UNKNOWN_PARTS, g_strdup (_("The parts: no file lists any.")));
}

/* ---- the parts ---- */

typedef struct {
  const char *package;
  gboolean no_body;
  guint n;
  GString *refs;
} Group;

static void
group_free (gpointer data)
{
  Group *self = data;

  g_string_free (self->refs, TRUE);
  g_free (self);
}

static gboolean
height_matters (const LwPart *part, const LwPackage *package)
{
  return part->placed && (package == NULL || package->kind != LW_KIND_MECHANICAL);
}

/* Of some parts the files draw only the space they keep free round them. */
static gboolean
body_is_courtyard (const LwPackage *package)
{
  JsonNode *node = package->extra != NULL ? json_object_get_member (package->extra, "properties") : NULL;
  JsonObject *list = node != NULL && JSON_NODE_HOLDS_OBJECT (node) ? json_node_get_object (node) : NULL;

  return list != NULL && json_object_has_member (list, "body_from");
}

/* Parts of one package lack the same. */
static void
group_part (GHashTable *groups, GPtrArray *order, const LwPart *part, const LwPackage *package)
{
  Group *group = g_hash_table_lookup (groups, part->package);

  if (group == NULL)
    {
      group = g_new0 (Group, 1);
      group->package = part->package;
      group->no_body = package == NULL || lw_package_is_assumed (package) || body_is_courtyard (package);
      group->refs = g_string_new (NULL);
      g_hash_table_insert (groups, (gpointer) part->package, group);
      g_ptr_array_add (order, group);
    }
  if (group->n++ < MAX_REFS)
    g_string_append_printf (group->refs, "%s%s", group->refs->len > 0 ? ", " : "", part->ref);
  else if (group->n == MAX_REFS + 1)
    g_string_append (group->refs, ", …");
}

static void
add_group (LwImport *import, const Group *group)
{
  const char *text = group->no_body ? _("Size and height of %s (%s): measure the body.")
                                    : _("Height of %s (%s): measure it above the board.");
  const char *package = *group->package != '\0' ? group->package : _("parts without a package");
  LwImportUnknown *unknown = add (import, group->no_body ? LW_UNKNOWN_BODY : LW_UNKNOWN_HEIGHT,
                                  g_strdup_printf (text, package, group->refs->str));

  unknown->what = g_strdup (group->package);
  unknown->refs = g_strdup (group->refs->str);
  unknown->n_parts = group->n;
}

static void
list_parts (LwImport *import)
{
  g_autoptr (GHashTable) groups = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GPtrArray) order = g_ptr_array_new_with_free_func (group_free);

  for (guint i = 0; i < import->job->parts->len; i++)
    {
      const LwPart *part = import->job->parts->pdata[i];
      const LwPackage *package = lw_job_package_of (import->job, part);
      gboolean known;

      lw_part_height_mm (part, package, &known);
      known = known && !(package != NULL && body_is_courtyard (package));
      if ((package == NULL || !known) && height_matters (part, package))
        group_part (groups, order, part, package);
    }
  for (guint i = 0; i < order->len; i++)
    add_group (import, order->pdata[i]);
}

void
lw_import_list_unknowns (LwImport *import)
{
  g_clear_pointer (&import->unknowns, g_ptr_array_unref);
  import->unknowns = g_ptr_array_new_with_free_func (unknown_free);
  list_board (import);
  list_parts (import);
}
