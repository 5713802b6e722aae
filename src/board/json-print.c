/* JSON trees as text, the same on every machine and in every locale. json-glib's own generator writes 0.1
 * as 0.10000000000000001; here a number takes the fewest digits that read back exactly. */
#include "board/job-json.h"

#include <math.h>

enum { WIDTH = 104 }; /* objects of scalars stay on one line up to this column */

static void print_node (GString *out, JsonNode *node, guint depth);

static void
print_string (GString *out, const char *text)
{
  g_string_append_c (out, '"');
  for (const char *p = text; *p != '\0'; p++)
    switch (*p)
      {
      case '"':
        g_string_append (out, "\\\"");
        break;
      case '\\':
        g_string_append (out, "\\\\");
        break;
      case '\n':
        g_string_append (out, "\\n");
        break;
      case '\t':
        g_string_append (out, "\\t");
        break;
      default:
        if ((unsigned char) *p < 0x20)
          g_string_append_printf (out, "\\u%04x", (unsigned char) *p);
        else
          g_string_append_c (out, *p);
      }
  g_string_append_c (out, '"');
}

static void
print_double (GString *out, double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  static const char *const formats[] = { "%.15g", "%.16g", "%.17g" };

  if (!isfinite (value))
    {
      g_string_append (out, "null");
      return;
    }
  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    {
      g_ascii_formatd (text, sizeof text, formats[i], value + 0.0); /* + 0.0: no "-0" */
      if (g_ascii_strtod (text, NULL) == value)
        break;
    }
  g_string_append (out, text);
}

static void
print_scalar (GString *out, JsonNode *node)
{
  GType type = json_node_is_null (node) ? G_TYPE_NONE : json_node_get_value_type (node);

  if (type == G_TYPE_STRING)
    print_string (out, json_node_get_string (node));
  else if (type == G_TYPE_BOOLEAN)
    g_string_append (out, json_node_get_boolean (node) ? "true" : "false");
  else if (type == G_TYPE_INT64)
    g_string_append_printf (out, "%" G_GINT64_FORMAT, json_node_get_int (node));
  else if (type == G_TYPE_DOUBLE)
    print_double (out, json_node_get_double (node));
  else
    g_string_append (out, "null");
}

static void
new_line (GString *out, guint depth)
{
  g_string_append_c (out, '\n');
  for (guint i = 0; i < depth; i++)
    g_string_append (out, "  ");
}

/* Tries "{ "a": 1, "b": 2 }"; takes back what does not fit. */
static gboolean
print_object_flat (GString *out, JsonObject *object, guint depth)
{
  gsize start = out->len;
  JsonObjectIter iter;
  const char *key;
  JsonNode *node;
  gboolean first = TRUE, fits = TRUE;

  json_object_iter_init_ordered (&iter, object);
  while (fits && json_object_iter_next_ordered (&iter, &key, &node))
    {
      g_string_append (out, first ? "{ " : ", ");
      first = FALSE;
      print_string (out, key);
      g_string_append (out, ": ");
      fits = !JSON_NODE_HOLDS_OBJECT (node) && !JSON_NODE_HOLDS_ARRAY (node);
      if (fits)
        print_scalar (out, node);
      fits = fits && out->len - start + 2 * depth + 2 <= WIDTH;
    }
  if (fits)
    {
      g_string_append (out, " }");
      return TRUE;
    }
  g_string_truncate (out, start);
  return FALSE;
}

static void
print_object (GString *out, JsonObject *object, guint depth)
{
  JsonObjectIter iter;
  const char *key;
  JsonNode *node;
  gboolean first = TRUE;

  if (json_object_get_size (object) == 0)
    {
      g_string_append (out, "{}");
      return;
    }
  if (depth > 0 && print_object_flat (out, object, depth))
    return;
  json_object_iter_init_ordered (&iter, object);
  while (json_object_iter_next_ordered (&iter, &key, &node))
    {
      g_string_append_c (out, first ? '{' : ',');
      first = FALSE;
      new_line (out, depth + 1);
      print_string (out, key);
      g_string_append (out, ": ");
      print_node (out, node, depth + 1);
    }
  new_line (out, depth);
  g_string_append_c (out, '}');
}

static gboolean
all_scalars (JsonArray *array)
{
  for (guint i = 0; i < json_array_get_length (array); i++)
    {
      JsonNode *node = json_array_get_element (array, i);

      if (JSON_NODE_HOLDS_OBJECT (node) || JSON_NODE_HOLDS_ARRAY (node))
        return FALSE;
    }
  return TRUE;
}

/* Scalars one behind the other, a new line where the column is reached. */
static void
print_scalars (GString *out, JsonArray *array, guint depth)
{
  gsize line = out->len;

  while (line > 0 && out->str[line - 1] != '\n')
    line--;
  for (guint i = 0; i < json_array_get_length (array); i++)
    {
      gsize start = out->len;

      g_string_append (out, i == 0 ? "[" : ", ");
      print_scalar (out, json_array_get_element (array, i));
      if (i == 0 || out->len - line + 2 <= WIDTH)
        continue;
      g_autofree char *moved = g_strdup (out->str + start + 2);
      g_string_truncate (out, start + 1);
      line = out->len + 1;
      new_line (out, depth + 1);
      g_string_append (out, moved);
    }
  g_string_append_c (out, ']');
}

static void
print_array (GString *out, JsonArray *array, guint depth)
{
  guint n = json_array_get_length (array);

  if (n == 0)
    {
      g_string_append (out, "[]");
      return;
    }
  if (all_scalars (array))
    {
      print_scalars (out, array, depth);
      return;
    }
  for (guint i = 0; i < n; i++)
    {
      g_string_append_c (out, i == 0 ? '[' : ',');
      new_line (out, depth + 1);
      print_node (out, json_array_get_element (array, i), depth + 1);
    }
  new_line (out, depth);
  g_string_append_c (out, ']');
}

static void
print_node (GString *out, JsonNode *node, guint depth)
{
  if (JSON_NODE_HOLDS_OBJECT (node))
    print_object (out, json_node_get_object (node), depth);
  else if (JSON_NODE_HOLDS_ARRAY (node))
    print_array (out, json_node_get_array (node), depth);
  else
    print_scalar (out, node);
}

char *
lw_json_print (JsonObject *root, gsize *length)
{
  GString *out = g_string_new (NULL);

  print_object (out, root, 0);
  g_string_append_c (out, '\n');
  if (length != NULL)
    *length = out->len;
  return g_string_free (out, FALSE);
}
