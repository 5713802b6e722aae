#include "board/job-file.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/file-replace.h"
#include "board/job-json.h"
#include "board/json-scan.h"

G_DEFINE_QUARK (lw-file-error-quark, lw_file_error)

/* ---- reading ---- */

static gboolean
check_format (JsonObject *root, LwReadContext *c)
{
  JsonNode *node = json_object_get_member (root, "leeward_format");

  if (node == NULL)
    lw_read_fault (c, LW_FILE_ERROR_FORMAT, NULL, _("is no Leeward document: leeward_format is missing"));
  else if (!JSON_NODE_HOLDS_VALUE (node) || json_node_get_value_type (node) != G_TYPE_INT64
           || json_node_get_int (node) < 1)
    lw_read_fault (c, LW_FILE_ERROR_FORMAT, "leeward_format", _("must be the number %d"), LW_JOB_FORMAT);
  else if (json_node_get_int (node) > LW_JOB_FORMAT)
    lw_read_fault (c, LW_FILE_ERROR_FORMAT, "leeward_format",
                   _("is %lld: written by a newer Leeward; this one reads up to %d"),
                   (long long) json_node_get_int (node), LW_JOB_FORMAT);
  return c->error == NULL;
}

/* "parts[3].height_mm" -> "parts", "[3]", "height_mm" */
static void
enter_path (LwReadContext *c, const char *path)
{
  while (*path != '\0')
    {
      gsize length = *path == '[' ? strcspn (path, "]") + 1 : strcspn (path, ".[");
      g_autofree char *component = g_strndup (path, length);

      lw_read_enter_member (c, component);
      path += MIN (length, strlen (path));
      path += *path == '.';
    }
}

static void
refuse_contradictions (const LwJob *job, LwReadContext *c)
{
  g_autoptr (GPtrArray) faults = lw_job_check (job);

  for (guint i = 0; i < faults->len; i++)
    {
      const LwFault *fault = g_ptr_array_index (faults, i);

      if (!fault->fatal)
        continue;
      enter_path (c, fault->path);
      lw_read_fault (c, LW_FILE_ERROR_CONFLICT, NULL, "%s", fault->text);
      return;
    }
}

LwJob *
lw_job_from_data (const char *name, const char *data, gsize length, GError **error)
{
  static const char mark[] = "\xef\xbb\xbf"; /* some editors put it in front */
  LwReadContext c;
  g_autoptr (LwJob) job = NULL;

  if (length >= 3 && memcmp (data, mark, 3) == 0)
    {
      data += 3;
      length -= 3;
    }
  g_autoptr (JsonNode) root = lw_json_parse (name, data, length, error);
  if (root == NULL)
    return NULL;
  lw_read_begin (&c, name, data, length);
  if (check_format (json_node_get_object (root), &c))
    job = lw_job_from_json (json_node_get_object (root), &c);
  if (job != NULL)
    refuse_contradictions (job, &c);
  return lw_read_end (&c, error) ? g_steal_pointer (&job) : NULL;
}

/* All of a stream, up to the limit: a device or pipe that never ends must not fill the memory. */
static GByteArray *
read_limited (GFile *file, GCancellable *cancellable, GError **error)
{
  enum { CHUNK = 1 << 16 };
  g_autoptr (GFileInputStream) stream = g_file_read (file, cancellable, error);
  g_autoptr (GByteArray) bytes = g_byte_array_new ();
  gssize n = -1;

  if (stream == NULL)
    return NULL;
  while (bytes->len <= LW_JOB_MAX_BYTES)
    {
      guint start = bytes->len;

      g_byte_array_set_size (bytes, start + CHUNK);
      n = g_input_stream_read (G_INPUT_STREAM (stream), bytes->data + start, CHUNK, cancellable, error);
      g_byte_array_set_size (bytes, start + (guint) MAX (n, 0));
      if (n <= 0)
        break;
    }
  return n < 0 ? NULL : g_steal_pointer (&bytes);
}

static char *
display_name (GFile *file)
{
  g_autofree char *base = g_file_get_basename (file);

  return base != NULL ? g_filename_display_name (base) : g_file_get_parse_name (file);
}

LwJob *
lw_job_load (GFile *file, GCancellable *cancellable, GError **error)
{
  g_autofree char *name = display_name (file);
  g_autoptr (GByteArray) bytes = read_limited (file, cancellable, error);

  if (bytes == NULL)
    {
      g_prefix_error (error, "%s: ", name);
      return NULL;
    }
  return lw_job_from_data (name, (const char *) bytes->data, bytes->len, error);
}

/* ---- writing ---- */

static guint
weight_of (JsonNode *node)
{
  guint weight = 1;

  if (JSON_NODE_HOLDS_ARRAY (node))
    {
      JsonArray *array = json_node_get_array (node);

      weight += LW_JSON_WEIGHT_CONTAINER;
      for (guint i = 0; i < json_array_get_length (array); i++)
        weight += weight_of (json_array_get_element (array, i));
    }
  else if (JSON_NODE_HOLDS_OBJECT (node))
    {
      JsonObjectIter iter;
      const char *name;
      JsonNode *member;

      weight += LW_JSON_WEIGHT_CONTAINER;
      json_object_iter_init (&iter, json_node_get_object (node));
      while (json_object_iter_next (&iter, &name, &member))
        weight += LW_JSON_WEIGHT_NAME + weight_of (member);
    }
  return weight;
}

/* More than any job of so many things weighs: spares most the making of a tree. */
static guint
rough_weight (const LwJob *job)
{
  enum { EACH = 60, PLACE = 12 }; /* of a part, a package, a loop; of a joint, a corner */
  guint weight = 100000 + EACH * (job->parts->len + job->packages->len + job->board->outline->len);

  for (guint i = 0; i < job->packages->len; i++)
    {
      const LwPackage *package = g_ptr_array_index (job->packages, i);

      weight += package->joints.positions != NULL ? PLACE * package->joints.positions->len : 0;
    }
  for (guint i = 0; i < job->board->outline->len; i++)
    weight += PLACE * ((const LwLoop *) g_ptr_array_index (job->board->outline, i))->corners->len;
  return weight;
}

gboolean
lw_job_fits (const LwJob *job)
{
  g_autoptr (JsonNode) root = NULL;

  if (rough_weight (job) < LW_JSON_WEIGHT_MAX / 2)
    return TRUE;
  root = json_node_new (JSON_NODE_OBJECT);
  json_node_take_object (root, lw_job_to_json (job));
  return weight_of (root) <= LW_JSON_WEIGHT_MAX;
}

char *
lw_job_to_data (const LwJob *job, gsize *length)
{
  JsonObject *root = lw_job_to_json (job);
  char *text = lw_json_print (root, length);

  json_object_unref (root);
  return text;
}

gboolean
lw_job_save (const LwJob *job, GFile *file, GCancellable *cancellable, GError **error)
{
  g_autofree char *path = g_file_get_path (file);
  gsize length;

  if (path == NULL)
    {
      g_autofree char *name = g_file_get_parse_name (file);

      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED, _("%s: only files of this machine can be written"),
                   name);
      return FALSE;
    }
  g_autofree char *text = lw_job_to_data (job, &length);
  return lw_file_replace (path, text, length, cancellable, error);
}
