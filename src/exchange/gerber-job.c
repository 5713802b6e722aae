/* The job file of a Gerber set: JSON with the board's thickness, its layers and the list of files. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/job-json.h"
#include "exchange/plot-set.h"
#include "exchange/text.h"

#define MAX_ENTRIES 1000

gboolean
lw_gerber_job_sniff (const char *data, gsize size)
{
  g_autofree char *start = g_strndup (data, MIN (size, 65536));

  return strchr (start, '{') != NULL
         && (strstr (start, "\"GeneralSpecs\"") != NULL || strstr (start, "\"FilesAttributes\"") != NULL);
}

static void
file_free (gpointer data)
{
  LwGerberJobFile *self = data;

  g_free (self->path);
  g_free (self->function);
  g_free (self);
}

void
lw_gerber_job_free (LwGerberJob *self)
{
  if (self == NULL)
    return;
  g_free (self->name);
  g_free (self->title);
  g_ptr_array_unref (self->files);
  g_ptr_array_unref (self->layers);
  g_free (self);
}

const LwGerberJobFile *
lw_gerber_job_find (const LwGerberJob *self, const char *name)
{
  for (guint i = 0; self != NULL && i < self->files->len; i++)
    {
      const LwGerberJobFile *file = self->files->pdata[i];

      if (strcmp (file->path, name) == 0)
        return file;
    }
  return NULL;
}

/* ---- members, all optional and of any type ---- */

static JsonObject *
object_in (JsonObject *object, const char *key)
{
  JsonNode *node = object != NULL ? json_object_get_member (object, key) : NULL;

  return node != NULL && JSON_NODE_HOLDS_OBJECT (node) ? json_node_get_object (node) : NULL;
}

static double
number_in (JsonObject *object, const char *key)
{
  JsonNode *node = object != NULL ? json_object_get_member (object, key) : NULL;
  GType type = node != NULL && JSON_NODE_HOLDS_VALUE (node) ? json_node_get_value_type (node) : G_TYPE_INVALID;

  return type == G_TYPE_DOUBLE || type == G_TYPE_INT64 ? json_node_get_double (node) : NAN;
}

static const char *
text_in (JsonObject *object, const char *key)
{
  JsonNode *node = object != NULL ? json_object_get_member (object, key) : NULL;

  return node != NULL && JSON_NODE_HOLDS_VALUE (node) && json_node_get_value_type (node) == G_TYPE_STRING
           ? json_node_get_string (node)
           : "";
}

/* The objects of an array, at most MAX_ENTRIES (transfer container). */
static GPtrArray *
objects_in (JsonObject *object, const char *key)
{
  GPtrArray *list = g_ptr_array_new ();
  JsonNode *node = json_object_get_member (object, key);
  JsonArray *array = node != NULL && JSON_NODE_HOLDS_ARRAY (node) ? json_node_get_array (node) : NULL;

  for (guint i = 0; array != NULL && i < json_array_get_length (array) && list->len < MAX_ENTRIES; i++)
    if (JSON_NODE_HOLDS_OBJECT (json_array_get_element (array, i)))
      g_ptr_array_add (list, json_array_get_object_element (array, i));
  return list;
}

/* ---- sections ---- */

static void
read_files (LwGerberJob *self, JsonObject *root)
{
  g_autoptr (GPtrArray) list = objects_in (root, "FilesAttributes");

  for (guint i = 0; i < list->len; i++)
    {
      LwGerberJobFile *file = g_new0 (LwGerberJobFile, 1);

      file->path = g_path_get_basename (text_in (list->pdata[i], "Path"));
      file->function = g_strdup (text_in (list->pdata[i], "FileFunction"));
      file->negative = g_ascii_strcasecmp (text_in (list->pdata[i], "FilePolarity"), "Negative") == 0;
      g_ptr_array_add (self->files, file);
    }
}

/* Materials as the library calls them: any glass-epoxy is "FR-4" unless its name says more. */
static const char *
laminate_of (const char *material)
{
  return g_ascii_strcasecmp (material, "FR4") == 0 ? "FR-4" : material;
}

static void
add_layer (LwGerberJob *self, JsonObject *from)
{
  const char *type = text_in (from, "Type");
  double thickness = number_in (from, "Thickness");
  LwLayer *layer;
  LwLayerKind kind;

  if (g_ascii_strcasecmp (type, "Copper") == 0)
    kind = LW_LAYER_COPPER;
  else if (g_ascii_strcasecmp (type, "Dielectric") == 0)
    kind = LW_LAYER_LAMINATE;
  else if (g_ascii_strcasecmp (type, "SolderMask") == 0)
    kind = LW_LAYER_MASK;
  else
    return;
  if (!(thickness > 0 && thickness <= 20))
    thickness = NAN;
  if (isnan (thickness) && kind != LW_LAYER_COPPER)
    return; /* of a thickness nobody told: fitting the laminate to the board's makes up for it */
  layer = lw_layer_new ();
  g_free (layer->name);
  layer->name = g_strdup (text_in (from, "Name"));
  layer->kind = kind;
  layer->thickness_mm = thickness;
  if (kind == LW_LAYER_LAMINATE)
    {
      g_free (layer->material);
      layer->material = g_strdup (laminate_of (text_in (from, "Material")));
    }
  g_ptr_array_add (self->layers, layer);
}

static void
read_stack (LwGerberJob *self, JsonObject *root)
{
  g_autoptr (GPtrArray) list = objects_in (root, "MaterialStackup");

  for (guint i = 0; i < list->len && self->layers->len < 200; i++)
    add_layer (self, list->pdata[i]);
}

static void
read_specs (LwGerberJob *self, JsonObject *root, GPtrArray *notes)
{
  JsonObject *specs = object_in (root, "GeneralSpecs");
  double layers = number_in (specs, "LayerNumber");

  g_free (self->title);
  self->title = g_strdup (text_in (object_in (specs, "ProjectId"), "Name"));
  self->thickness_mm = number_in (specs, "BoardThickness");
  if (!isnan (self->thickness_mm) && !(self->thickness_mm > 0 && self->thickness_mm <= 100))
    {
      lw_notes_add (notes, self->name, 0, _("a board thickness of %.6g mm cannot be; taken as not known"),
                    self->thickness_mm);
      self->thickness_mm = NAN;
    }
  self->n_layers = layers >= 1 && layers <= 100 ? (guint) layers : 0;
}

LwGerberJob *
lw_gerber_job_read (const char *name, const char *data, gsize size, GPtrArray *notes, GError **error)
{
  gsize length;
  g_autofree char *text = lw_text_decode (name, data, size, &length, error);
  g_autoptr (JsonNode) root = text != NULL ? lw_json_parse (name, text, length, error) : NULL;
  LwGerberJob *self;

  if (root == NULL)
    return NULL;
  self = g_new0 (LwGerberJob, 1);
  self->name = g_strdup (name);
  self->files = g_ptr_array_new_with_free_func (file_free);
  self->layers = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_layer_unref);
  read_specs (self, json_node_get_object (root), notes);
  read_files (self, json_node_get_object (root));
  read_stack (self, json_node_get_object (root));
  return self;
}
