/* Structs to JSON by their tables (fields.h): what stands at its default is left out, unknown members stand as they came. */
#include <math.h>
#include <string.h>

#include "board/job-file.h"
#include "board/job-json.h"
#include "board/types.h"

#define AT_CONST(Type, self, field) ((const Type *) (const void *) ((const char *) (self) + (field)->offset))

static void write_members (const LwType *type, gconstpointer self, JsonObject *extra, JsonObject *out);

static gboolean
is_default (const LwField *field, gconstpointer self)
{
  double number;

  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      number = *AT_CONST (double, self, field);
      return isnan (number) ? isnan (field->fallback) : number == field->fallback;
    case LW_FIELD_COUNT:
    case LW_FIELD_WORD:
    case LW_FIELD_FLAG:
      return *AT_CONST (guint, self, field) == (guint) field->fallback;
    case LW_FIELD_TEXT:
      return strcmp (*AT_CONST (char *, self, field), field->text != NULL ? field->text : "") == 0;
    case LW_FIELD_GROUP:
      for (guint i = 0; i < field->type->n_fields; i++)
        if (!is_default (&field->type->fields[i], AT_CONST (char, self, field)))
          return FALSE;
      return TRUE;
    case LW_FIELD_ONE:
      return *AT_CONST (gpointer, self, field) == NULL;
    case LW_FIELD_MANY:
      return (*AT_CONST (GPtrArray *, self, field))->len == 0;
    case LW_FIELD_PLAIN:
      if (field->flags & LW_FIELD_NULLABLE)
        return *AT_CONST (GArray *, self, field) == NULL;
      return (*AT_CONST (GArray *, self, field))->len == 0;
    case LW_FIELD_SERIES:
      return (*AT_CONST (GArray *, self, field))->len == 0;
    }
  g_return_val_if_reached (FALSE);
}

static JsonNode *
number_node (const LwField *field, double value)
{
  if (isnan (value) && field->flags & LW_FIELD_NULLABLE)
    return json_node_new (JSON_NODE_NULL);
  return json_node_init_double (json_node_alloc (), value);
}

static JsonObject *
extra_child (JsonObject *extra, const char *key)
{
  JsonNode *node = extra != NULL ? json_object_get_member (extra, key) : NULL;

  return node != NULL && JSON_NODE_HOLDS_OBJECT (node) ? json_node_get_object (node) : NULL;
}

static JsonNode *
struct_node (const LwType *type, gconstpointer self, JsonObject *extra)
{
  JsonObject *out = json_object_new ();

  if (type->extra != LW_NO_EXTRA)
    extra = G_STRUCT_MEMBER (JsonObject *, (gpointer) self, type->extra);
  write_members (type, self, extra, out);
  return json_node_init_object (json_node_alloc (), out);
}

static JsonNode *
take_object (JsonNode *node)
{
  json_object_unref (json_node_get_object (node)); /* the node holds its own reference */
  return node;
}

static JsonNode *
group_node (const LwField *field, gconstpointer group, JsonObject *extra)
{
  JsonNode *node = take_object (struct_node (field->type, group, extra));

  if (field->flags & LW_FIELD_PRESENCE)
    {
      const LwField *flag = &field->type->fields[0];

      if (*AT_CONST (gboolean, group, flag))
        json_object_remove_member (json_node_get_object (node), flag->key);
      else
        json_object_set_boolean_member (json_node_get_object (node), flag->key, FALSE);
    }
  return node;
}

static JsonNode *
array_node (const LwField *field, gconstpointer self, JsonObject *extra)
{
  JsonArray *array = json_array_new ();
  gboolean many = field->kind == LW_FIELD_MANY;
  const GPtrArray *pointers = many ? *AT_CONST (GPtrArray *, self, field) : NULL;
  const GArray *plain = many ? NULL : *AT_CONST (GArray *, self, field);
  guint n = many ? pointers->len : plain != NULL ? plain->len : 0;

  for (guint i = 0; i < n; i++)
    {
      gconstpointer element = many ? g_ptr_array_index (pointers, i) : plain->data + i * field->type->size;
      char index[16];

      g_snprintf (index, sizeof index, "%u", i);
      json_array_add_element (array, take_object (struct_node (field->type, element, extra_child (extra, index))));
    }
  JsonNode *node = json_node_init_array (json_node_alloc (), array);
  json_array_unref (array);
  return node;
}

static JsonNode *
series_node (const LwField *field, const GArray *series)
{
  JsonArray *array = json_array_sized_new (series->len);

  for (guint i = 0; i < series->len; i++)
    json_array_add_element (array, number_node (field, g_array_index (series, double, i)));
  JsonNode *node = json_node_init_array (json_node_alloc (), array);
  json_array_unref (array);
  return node;
}

static JsonNode *
field_node (const LwField *field, gconstpointer self, JsonObject *extra)
{
  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      return number_node (field, *AT_CONST (double, self, field));
    case LW_FIELD_COUNT:
      return json_node_init_int (json_node_alloc (), *AT_CONST (guint, self, field));
    case LW_FIELD_FLAG:
      return json_node_init_boolean (json_node_alloc (), *AT_CONST (gboolean, self, field));
    case LW_FIELD_TEXT:
      return json_node_init_string (json_node_alloc (), *AT_CONST (char *, self, field));
    case LW_FIELD_WORD:
      return json_node_init_string (json_node_alloc (), field->words[*AT_CONST (guint, self, field)]);
    case LW_FIELD_GROUP:
      return group_node (field, AT_CONST (char, self, field), extra);
    case LW_FIELD_ONE:
      return take_object (struct_node (field->type, *AT_CONST (gpointer, self, field), extra));
    case LW_FIELD_MANY:
    case LW_FIELD_PLAIN:
      return array_node (field, self, extra);
    case LW_FIELD_SERIES:
      return series_node (field, *AT_CONST (GArray *, self, field));
    }
  g_return_val_if_reached (NULL);
}

/* A tree that shares nothing with NODE: json-glib's counts are not atomic, and a job may be written in one
 * thread while another edits a copy of it. */
static JsonNode *
deep_copy (JsonNode *node)
{
  JsonNode *copy = json_node_alloc ();

  if (JSON_NODE_HOLDS_OBJECT (node))
    {
      JsonObject *object = json_object_new ();
      JsonObjectIter iter;
      const char *key;
      JsonNode *child;

      json_object_iter_init_ordered (&iter, json_node_get_object (node));
      while (json_object_iter_next_ordered (&iter, &key, &child))
        json_object_set_member (object, key, deep_copy (child));
      return take_object (json_node_init_object (copy, object));
    }
  if (JSON_NODE_HOLDS_ARRAY (node))
    {
      JsonArray *from = json_node_get_array (node), *array = json_array_new ();

      for (guint i = 0; i < json_array_get_length (from); i++)
        json_array_add_element (array, deep_copy (json_array_get_element (from, i)));
      json_node_init_array (copy, array);
      json_array_unref (array);
      return copy;
    }
  if (JSON_NODE_HOLDS_NULL (node))
    return json_node_init_null (copy);
  if (json_node_get_value_type (node) == G_TYPE_STRING)
    return json_node_init_string (copy, json_node_get_string (node));
  if (json_node_get_value_type (node) == G_TYPE_BOOLEAN)
    return json_node_init_boolean (copy, json_node_get_boolean (node));
  if (json_node_get_value_type (node) == G_TYPE_INT64)
    return json_node_init_int (copy, json_node_get_int (node));
  return json_node_init_double (copy, json_node_get_double (node));
}

static void
write_unknown (const LwType *type, JsonObject *extra, JsonObject *out)
{
  JsonObjectIter iter;
  const char *key;
  JsonNode *node;

  if (extra == NULL)
    return;
  json_object_iter_init_ordered (&iter, extra);
  while (json_object_iter_next_ordered (&iter, &key, &node))
    if (lw_type_find (type, key) == NULL)
      json_object_set_member (out, key, deep_copy (node));
}

static void
write_members (const LwType *type, gconstpointer self, JsonObject *extra, JsonObject *out)
{
  for (guint i = 0; i < type->n_fields; i++)
    {
      const LwField *field = &type->fields[i];
      JsonObject *child = extra_child (extra, field->key);

      if (field->kind == LW_FIELD_ONE && *AT_CONST (gpointer, self, field) == NULL)
        continue;
      if (field->flags & LW_FIELD_ESSENTIAL || child != NULL || !is_default (field, self))
        json_object_set_member (out, field->key, field_node (field, self, child));
    }
  write_unknown (type, extra, out);
}

static JsonObject *
write_struct (const LwType *type, gconstpointer self)
{
  JsonObject *out = json_object_new ();

  write_members (type, self, G_STRUCT_MEMBER (JsonObject *, (gpointer) self, type->extra), out);
  return out;
}

/* ---- the structs by name ---- */

JsonObject *
lw_package_to_json (const LwPackage *package)
{
  return write_struct (&lw_package_type, package);
}

JsonObject *
lw_part_to_json (const LwPart *part)
{
  return write_struct (&lw_part_type, part);
}

JsonObject *
lw_plan_to_json (const LwPlan *plan)
{
  return write_struct (&lw_plan_type, plan);
}

JsonObject *
lw_job_to_json (const LwJob *job)
{
  JsonObject *out = json_object_new ();

  json_object_set_int_member (out, "leeward_format", LW_JOB_FORMAT);
  write_members (&lw_job_type, job, job->extra, out);
  return out;
}
