/* Whole parts through the clipboard. */
#include "board/part-text.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/job-file.h"
#include "board/job-json.h"

#define MARK "leeward_parts"
enum { TEXT_MAX = 64 << 20, PARTS_MAX = 10000 };

static void
add_package (JsonArray *packages, GHashTable *seen, const LwJob *job, const LwPart *part)
{
  for (guint i = 0; i < job->packages->len; i++)
    {
      const LwPackage *package = g_ptr_array_index (job->packages, i);

      if (strcmp (package->name, part->package) == 0 && g_hash_table_add (seen, (gpointer) package))
        json_array_add_object_element (packages, lw_package_to_json (package));
    }
}

char *
lw_parts_to_text (const LwJob *job, const GArray *parts)
{
  JsonObject *root = json_object_new ();
  JsonArray *list = json_array_new (), *packages = json_array_new ();
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  char *text;

  for (guint i = 0; i < parts->len; i++)
    {
      const LwPart *part = g_ptr_array_index (job->parts, g_array_index (parts, guint, i));

      json_array_add_object_element (list, lw_part_to_json (part));
      add_package (packages, seen, job, part);
    }
  json_object_set_int_member (root, MARK, 1);
  json_object_set_array_member (root, "parts", list);
  json_object_set_array_member (root, "packages", packages);
  text = lw_json_print (root, NULL);
  json_object_unref (root);
  return text;
}

gboolean
lw_parts_text_is_ours (const char *text)
{
  while (g_ascii_isspace (*text))
    text++;
  if (*text++ != '{')
    return FALSE;
  while (g_ascii_isspace (*text))
    text++;
  return g_str_has_prefix (text, "\"" MARK "\"");
}

typedef gpointer (*ReadOne) (JsonObject *object, LwReadContext *context);

/* Every element of an array by READ, until the first fault. */
static GPtrArray *
read_all (LwReadContext *context, JsonObject *root, const char *key, ReadOne read, GDestroyNotify unref)
{
  GPtrArray *all = g_ptr_array_new_with_free_func (unref);
  JsonArray *array = lw_read_array (context, root, key);
  guint n = array == NULL ? 0 : json_array_get_length (array);

  if (n > PARTS_MAX)
    lw_read_fault (context, LW_FILE_ERROR_VALUE, key, _("holds more than %d"), PARTS_MAX);
  lw_read_enter_member (context, key);
  for (guint i = 0; i < n && context->error == NULL; i++)
    {
      JsonObject *object = lw_read_object_at (context, array, i);
      gpointer one = NULL;

      lw_read_enter_index (context, i);
      if (object != NULL)
        one = read (object, context);
      if (one != NULL)
        g_ptr_array_add (all, one);
      lw_read_leave (context);
    }
  lw_read_leave (context);
  return all;
}

gboolean
lw_parts_from_text (const char *text, GPtrArray **parts, GPtrArray **packages, GError **error)
{
  gsize length = strlen (text);
  g_autoptr (JsonNode) root = NULL;
  JsonObject *object;
  LwReadContext context;

  if (length > TEXT_MAX || !lw_parts_text_is_ours (text))
    {
      g_set_error_literal (error, LW_FILE_ERROR, LW_FILE_ERROR_FORMAT, _("these are no parts of Leeward"));
      return FALSE;
    }
  root = lw_json_parse (_("clipboard"), text, length, error);
  if (root == NULL)
    return FALSE;
  object = json_node_get_object (root);
  lw_read_begin (&context, _("clipboard"), text, length);
  *parts = read_all (&context, object, "parts", (ReadOne) lw_part_from_json, (GDestroyNotify) lw_part_unref);
  *packages
    = read_all (&context, object, "packages", (ReadOne) lw_package_from_json, (GDestroyNotify) lw_package_unref);
  if (lw_read_end (&context, error))
    return TRUE;
  g_clear_pointer (parts, g_ptr_array_unref);
  g_clear_pointer (packages, g_ptr_array_unref);
  return FALSE;
}
