/* Where reading stands and what went wrong first. */
#include "board/job-json.h"

#include <glib/gi18n.h>

#include "board/job-file.h"
#include "board/json-scan.h"

void
lw_read_begin (LwReadContext *context, const char *name, const char *data, gsize length)
{
  context->name = name;
  context->data = data;
  context->length = length;
  context->path = g_ptr_array_new_with_free_func (g_free);
  context->error = NULL;
}

void
lw_read_enter_member (LwReadContext *context, const char *key)
{
  g_ptr_array_add (context->path, g_strdup (key));
}

void
lw_read_enter_index (LwReadContext *context, guint index)
{
  g_ptr_array_add (context->path, g_strdup_printf ("[%u]", index));
}

void
lw_read_leave (LwReadContext *context)
{
  g_ptr_array_set_size (context->path, (gint) context->path->len - 1);
}

/* "parts", "[3]", "height_mm" -> "parts[3].height_mm" */
static char *
join_path (const GPtrArray *path)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < path->len; i++)
    {
      const char *component = g_ptr_array_index (path, i);

      if (i > 0 && component[0] != '[')
        g_string_append_c (text, '.');
      g_string_append (text, component);
    }
  return g_string_free (text, FALSE);
}

void
lw_read_fault (LwReadContext *context, int code, const char *key, const char *format, ...)
{
  if (context->error != NULL)
    return;
  if (key != NULL)
    lw_read_enter_member (context, key);
  va_list arguments;
  va_start (arguments, format);
  g_autofree char *reason = g_strdup_vprintf (format, arguments);
  va_end (arguments);

  g_autofree char *path = join_path (context->path);
  guint line = context->data != NULL ? lw_json_line_of (context->data, context->length, context->path) : 0;
  if (line > 0)
    g_set_error (&context->error, LW_FILE_ERROR, code, "%s:%u: %s%s%s", context->name, line, path,
                 path[0] != '\0' ? ": " : "", reason);
  else
    g_set_error (&context->error, LW_FILE_ERROR, code, "%s: %s%s%s", context->name, path,
                 path[0] != '\0' ? ": " : "", reason);
  if (key != NULL)
    lw_read_leave (context);
}

gboolean
lw_read_end (LwReadContext *context, GError **error)
{
  g_clear_pointer (&context->path, g_ptr_array_unref);
  if (context->error == NULL)
    return TRUE;
  g_propagate_error (error, g_steal_pointer (&context->error));
  return FALSE;
}

/* ---- text to tree ---- */

static guint
line_at (const char *text, const char *position)
{
  guint line = 1;

  for (const char *p = text; p < position; p++)
    line += *p == '\n' || (*p == '\r' && p[1] != '\n');
  return line;
}

/* What is wrong with the text before its grammar is looked at. */
static char *
refuse_bytes (const char *text, gsize length, guint *line)
{
  const char *end;

  *line = 0;
  if (length > LW_JOB_MAX_BYTES)
    return g_strdup_printf (_("is larger than %u MB"), LW_JOB_MAX_BYTES / (1024u * 1024u));
  if (length == 0)
    return g_strdup (_("is empty"));
  if (g_utf8_validate_len (text, length, &end))
    return NULL;
  *line = line_at (text, end);
  if (*end == '\0')
    return g_strdup (_("a NUL byte: this is no text file in UTF-8"));
  return g_strdup (_("bytes that are not UTF-8"));
}

JsonNode *
lw_json_parse (const char *name, const char *text, gsize length, GError **error)
{
  guint line = 0;
  int code = length > LW_JOB_MAX_BYTES ? LW_FILE_ERROR_TOO_LARGE : LW_FILE_ERROR_SYNTAX;
  g_autofree char *reason = refuse_bytes (text, length, &line);

  if (reason == NULL)
    reason = lw_json_scan (text, length, &line);
  if (reason != NULL)
    {
      if (line > 0)
        g_set_error (error, LW_FILE_ERROR, code, "%s:%u: %s", name, line, reason);
      else
        g_set_error (error, LW_FILE_ERROR, code, "%s: %s", name, reason);
      return NULL;
    }

  g_autoptr (JsonParser) parser = json_parser_new ();
  g_autoptr (GError) parse_error = NULL;
  if (!json_parser_load_from_data (parser, text, (gssize) length, &parse_error))
    {
      g_set_error (error, LW_FILE_ERROR, LW_FILE_ERROR_SYNTAX, "%s: %s", name, parse_error->message);
      return NULL;
    }
  JsonNode *root = json_parser_steal_root (parser);
  if (JSON_NODE_HOLDS_OBJECT (root))
    return root;
  json_node_unref (root);
  g_set_error (error, LW_FILE_ERROR, LW_FILE_ERROR_FORMAT, _("%s:1: must be a JSON object"), name);
  return NULL;
}
