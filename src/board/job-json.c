/* Structs from and to JSON by their tables (fields.h). */
#include "board/job-json.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/job-file.h"
#include "board/types.h"

#define AT(Type, self, field) ((Type *) (void *) ((char *) (self) + (field)->offset))
#define AT_CONST(Type, self, field) ((const Type *) (const void *) ((const char *) (self) + (field)->offset))

/* Unknown members of structs that keep none themselves: an object in the owner's `extra` under the
 * member's key (and the index, for arrays). */
static gboolean read_members (LwReadContext *c, const LwType *type, gpointer self, JsonObject *object,
                              const char *const *known, JsonObject **extra);
static void write_members (const LwType *type, gconstpointer self, JsonObject *extra, JsonObject *out);

static const char *
number_text (double value, char text[G_ASCII_DTOSTR_BUF_SIZE])
{
  return g_ascii_formatd (text, G_ASCII_DTOSTR_BUF_SIZE, "%.10g", value);
}

static const char *
type_word (JsonNode *node)
{
  if (JSON_NODE_HOLDS_OBJECT (node))
    return _("an object");
  if (JSON_NODE_HOLDS_ARRAY (node))
    return _("an array");
  if (JSON_NODE_HOLDS_NULL (node))
    return _("null");
  GType type = json_node_get_value_type (node);
  return type == G_TYPE_STRING ? _("a text") : type == G_TYPE_BOOLEAN ? _("true or false") : _("a number");
}

static gboolean
holds (JsonNode *node, GType type)
{
  return JSON_NODE_HOLDS_VALUE (node) && json_node_get_value_type (node) == type;
}

static gboolean
wrong_type (LwReadContext *c, const char *wanted, JsonNode *node)
{
  lw_read_fault (c, LW_FILE_ERROR_VALUE, NULL, _("must be %s, is %s"), wanted, type_word (node));
  return FALSE;
}

/* ---- reading ---- */

char *
lw_field_refuses (const LwField *field, double value)
{
  char is[G_ASCII_DTOSTR_BUF_SIZE], low[G_ASCII_DTOSTR_BUF_SIZE], high[G_ASCII_DTOSTR_BUF_SIZE];

  if (isnan (value))
    return field->flags & LW_FIELD_NULLABLE ? NULL : g_strdup (_("must be a number"));
  if (field->flags & LW_FIELD_ABOVE ? value <= field->min : value < field->min)
    return g_strdup_printf (field->flags & LW_FIELD_ABOVE ? _("must be above %s, is %s")
                                                          : _("must not be below %s, is %s"),
                            number_text (field->min, low), number_text (value, is));
  if (value > field->max)
    return g_strdup_printf (_("must not be above %s, is %s"), number_text (field->max, high),
                            number_text (value, is));
  return NULL;
}

static gboolean
read_number (LwReadContext *c, const LwField *field, double *value, JsonNode *node)
{
  if (JSON_NODE_HOLDS_NULL (node) && field->flags & LW_FIELD_NULLABLE)
    {
      *value = NAN;
      return TRUE;
    }
  if (!holds (node, G_TYPE_DOUBLE) && !holds (node, G_TYPE_INT64))
    return wrong_type (c, field->flags & LW_FIELD_NULLABLE ? _("a number or null") : _("a number"), node);
  double read = json_node_get_double (node);
  g_autofree char *reason = lw_field_refuses (field, read);
  if (reason != NULL)
    {
      lw_read_fault (c, LW_FILE_ERROR_VALUE, NULL, "%s", reason);
      return FALSE;
    }
  *value = read;
  return TRUE;
}

static gboolean
read_count (LwReadContext *c, const LwField *field, guint *value, JsonNode *node)
{
  if (!holds (node, G_TYPE_INT64))
    return wrong_type (c, _("a whole number"), node);
  double read = 0.0;
  if (!read_number (c, field, &read, node))
    return FALSE;
  *value = (guint) read;
  return TRUE;
}

static gboolean
read_flag (LwReadContext *c, gboolean *value, JsonNode *node)
{
  if (!holds (node, G_TYPE_BOOLEAN))
    return wrong_type (c, _("true or false"), node);
  *value = json_node_get_boolean (node);
  return TRUE;
}

static gboolean
read_text (LwReadContext *c, const LwField *field, char **value, JsonNode *node)
{
  if (!holds (node, G_TYPE_STRING))
    return wrong_type (c, _("a text"), node);
  const char *text = json_node_get_string (node);
  if (field->flags & LW_FIELD_REQUIRED && text[0] == '\0')
    {
      lw_read_fault (c, LW_FILE_ERROR_VALUE, NULL, _("must not be empty"));
      return FALSE;
    }
  g_free (*value);
  *value = g_strdup (text);
  return TRUE;
}

static gboolean
read_word (LwReadContext *c, const LwField *field, guint *value, JsonNode *node)
{
  if (!holds (node, G_TYPE_STRING))
    return wrong_type (c, _("a text"), node);
  for (guint i = 0; field->words[i] != NULL; i++)
    if (strcmp (field->words[i], json_node_get_string (node)) == 0)
      {
        *value = i;
        return TRUE;
      }
  g_autofree char *list = g_strjoinv (", ", (char **) field->words);
  lw_read_fault (c, LW_FILE_ERROR_VALUE, NULL, _("must be one of %s; is “%s”"), list,
                 json_node_get_string (node));
  return FALSE;
}

static void
keep_extra (JsonObject **extra, const char *key, JsonObject *child)
{
  if (child == NULL)
    return;
  if (*extra == NULL)
    *extra = json_object_new ();
  json_object_set_object_member (*extra, key, child);
}

/* A struct that may keep its own unknown members, else hands them back. */
static gboolean
read_struct_node (LwReadContext *c, const LwType *type, gpointer self, JsonNode *node, JsonObject **extra)
{
  if (!JSON_NODE_HOLDS_OBJECT (node))
    return wrong_type (c, _("an object"), node);
  if (type->extra != LW_NO_EXTRA)
    extra = &G_STRUCT_MEMBER (JsonObject *, self, type->extra);
  return read_members (c, type, self, json_node_get_object (node), NULL, extra);
}

static gboolean
read_group (LwReadContext *c, const LwField *field, gpointer group, JsonNode *node, JsonObject **extra)
{
  if (field->flags & LW_FIELD_PRESENCE)
    *AT (gboolean, group, &field->type->fields[0]) = TRUE;
  return read_struct_node (c, field->type, group, node, extra);
}

static gboolean
read_one (LwReadContext *c, const LwField *field, gpointer *child, JsonNode *node, JsonObject **extra)
{
  if (JSON_NODE_HOLDS_NULL (node) && field->flags & LW_FIELD_NULLABLE)
    return TRUE;
  if (*child == NULL)
    *child = lw_type_new (field->type);
  return read_struct_node (c, field->type, *child, node, extra);
}

/* Element I of an array: a fresh struct appended, filled in. */
static gboolean
read_element (LwReadContext *c, const LwField *field, gpointer array, JsonNode *node, JsonObject **extra)
{
  if (field->kind == LW_FIELD_MANY)
    {
      gpointer element = lw_type_new (field->type);

      g_ptr_array_add (array, element);
      return read_struct_node (c, field->type, element, node, extra);
    }
  GArray *plain = array;
  g_array_set_size (plain, plain->len + 1);
  gpointer element = plain->data + (plain->len - 1) * field->type->size;
  lw_type_init (field->type, element);
  return read_struct_node (c, field->type, element, node, extra);
}

static gboolean
read_elements (LwReadContext *c, const LwField *field, gpointer array, JsonNode *node, JsonObject **extra)
{
  if (!JSON_NODE_HOLDS_ARRAY (node))
    return wrong_type (c, _("an array"), node);
  JsonArray *elements = json_node_get_array (node);
  if (json_array_get_length (elements) > field->max)
    {
      lw_read_fault (c, LW_FILE_ERROR_TOO_LARGE, NULL, _("has %u elements; at most %.0f are read"),
                     json_array_get_length (elements), field->max);
      return FALSE;
    }
  for (guint i = 0; i < json_array_get_length (elements); i++)
    {
      JsonObject *child_extra = NULL;
      char index[16];

      lw_read_enter_index (c, i);
      gboolean fine = read_element (c, field, array, json_array_get_element (elements, i), &child_extra);
      lw_read_leave (c);
      g_snprintf (index, sizeof index, "%u", i);
      keep_extra (extra, index, child_extra);
      if (!fine)
        return FALSE;
    }
  return TRUE;
}

static gboolean
read_series (LwReadContext *c, const LwField *field, GArray *series, JsonNode *node)
{
  if (!JSON_NODE_HOLDS_ARRAY (node))
    return wrong_type (c, _("an array"), node);
  JsonArray *elements = json_node_get_array (node);
  guint n = json_array_get_length (elements);
  if (n > field->fallback)
    {
      lw_read_fault (c, LW_FILE_ERROR_TOO_LARGE, NULL, _("has %u elements; at most %.0f are read"), n, field->fallback);
      return FALSE;
    }
  g_array_set_size (series, n);
  for (guint i = 0; i < n; i++)
    {
      lw_read_enter_index (c, i);
      gboolean fine = read_number (c, field, &g_array_index (series, double, i), json_array_get_element (elements, i));
      lw_read_leave (c);
      if (!fine)
        return FALSE;
    }
  return TRUE;
}

static gboolean
read_plain (LwReadContext *c, const LwField *field, GArray **array, JsonNode *node, JsonObject **extra)
{
  if (JSON_NODE_HOLDS_NULL (node) && field->flags & LW_FIELD_NULLABLE)
    return TRUE;
  if (*array == NULL)
    *array = lw_type_new_array (field->type);
  return read_elements (c, field, *array, node, extra);
}

static gboolean
read_field (LwReadContext *c, const LwField *field, gpointer self, JsonNode *node, JsonObject **extra)
{
  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      return read_number (c, field, AT (double, self, field), node);
    case LW_FIELD_COUNT:
      return read_count (c, field, AT (guint, self, field), node);
    case LW_FIELD_FLAG:
      return read_flag (c, AT (gboolean, self, field), node);
    case LW_FIELD_TEXT:
      return read_text (c, field, AT (char *, self, field), node);
    case LW_FIELD_WORD:
      return read_word (c, field, AT (guint, self, field), node);
    case LW_FIELD_GROUP:
      return read_group (c, field, AT (char, self, field), node, extra);
    case LW_FIELD_ONE:
      return read_one (c, field, AT (gpointer, self, field), node, extra);
    case LW_FIELD_MANY:
      return read_elements (c, field, *AT (GPtrArray *, self, field), node, extra);
    case LW_FIELD_PLAIN:
      return read_plain (c, field, AT (GArray *, self, field), node, extra);
    case LW_FIELD_SERIES:
      return read_series (c, field, *AT (GArray *, self, field), node);
    }
  g_return_val_if_reached (FALSE);
}

static void
keep_unknown (const LwType *type, JsonObject *object, const char *const *known, JsonObject **extra)
{
  JsonObjectIter iter;
  const char *key;
  JsonNode *node;

  json_object_iter_init_ordered (&iter, object);
  while (json_object_iter_next_ordered (&iter, &key, &node))
    {
      if (lw_type_find (type, key) != NULL || (known != NULL && g_strv_contains (known, key)))
        continue;
      if (*extra == NULL)
        *extra = json_object_new ();
      json_object_set_member (*extra, key, json_node_copy (node));
    }
}

static gboolean
read_members (LwReadContext *c, const LwType *type, gpointer self, JsonObject *object,
              const char *const *known, JsonObject **extra)
{
  for (guint i = 0; i < type->n_fields; i++)
    {
      const LwField *field = &type->fields[i];
      JsonNode *node = json_object_get_member (object, field->key);
      JsonObject *child_extra = NULL;

      if (node == NULL && field->flags & LW_FIELD_REQUIRED)
        {
          lw_read_fault (c, LW_FILE_ERROR_VALUE, field->key, _("is missing"));
          return FALSE;
        }
      if (node == NULL)
        continue;
      lw_read_enter_member (c, field->key);
      gboolean fine = read_field (c, field, self, node, &child_extra);
      lw_read_leave (c);
      keep_extra (extra, field->key, child_extra);
      if (!fine)
        return FALSE;
    }
  keep_unknown (type, object, known, extra);
  return TRUE;
}

gboolean
lw_read_struct (LwReadContext *context, const LwType *type, gpointer self, JsonObject *object,
                const char *const *known_elsewhere)
{
  JsonObject *extra = NULL;

  lw_type_init (type, self);
  gboolean fine = read_members (context, type, self, object, known_elsewhere, &extra);
  if (type->extra != LW_NO_EXTRA)
    G_STRUCT_MEMBER (JsonObject *, self, type->extra) = extra;
  else
    g_clear_pointer (&extra, json_object_unref);
  return fine;
}

/* ---- writing ---- */

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

JsonObject *
lw_write_struct (const LwType *type, gconstpointer self)
{
  JsonObject *out = json_object_new ();

  write_members (type, self, G_STRUCT_MEMBER (JsonObject *, (gpointer) self, type->extra), out);
  return out;
}

/* ---- the structs by name ---- */

static gpointer
read_counted (LwReadContext *c, const LwType *type, JsonObject *object)
{
  gpointer self = g_atomic_rc_box_alloc0 (type->size);

  if (lw_read_struct (c, type, self, object, NULL))
    return self;
  type->unref (self);
  return NULL;
}

LwPackage *
lw_package_from_json (JsonObject *object, LwReadContext *context)
{
  return read_counted (context, &lw_package_type, object);
}

LwPart *
lw_part_from_json (JsonObject *object, LwReadContext *context)
{
  return read_counted (context, &lw_part_type, object);
}

JsonObject *
lw_package_to_json (const LwPackage *package)
{
  return lw_write_struct (&lw_package_type, package);
}

JsonObject *
lw_part_to_json (const LwPart *part)
{
  return lw_write_struct (&lw_part_type, part);
}

JsonObject *
lw_plan_to_json (const LwPlan *plan)
{
  return lw_write_struct (&lw_plan_type, plan);
}

/* The document's first member says what it is. */
JsonObject *
lw_job_to_json (const LwJob *job)
{
  JsonObject *out = json_object_new ();

  json_object_set_int_member (out, "leeward_format", LW_JOB_FORMAT);
  write_members (&lw_job_type, job, job->extra, out);
  return out;
}

LwJob *
lw_job_from_json (JsonObject *object, LwReadContext *context)
{
  static const char *const known[] = { "leeward_format", NULL };
  LwJob *job = g_atomic_rc_box_new0 (LwJob);

  if (lw_read_struct (context, &lw_job_type, job, object, known))
    return job;
  lw_job_unref (job);
  return NULL;
}

/* ---- plain values ---- */

double
lw_read_number (LwReadContext *context, JsonObject *object, const char *key, double min, double max,
                double fallback)
{
  LwField field = { .key = key, .kind = LW_FIELD_NUMBER, .flags = LW_FIELD_NULLABLE, .min = min, .max = max };
  JsonNode *node = json_object_get_member (object, key);
  double value = fallback;

  if (node == NULL || JSON_NODE_HOLDS_NULL (node))
    return fallback;
  lw_read_enter_member (context, key);
  read_number (context, &field, &value, node);
  lw_read_leave (context);
  return value;
}

JsonArray *
lw_read_array (LwReadContext *context, JsonObject *object, const char *key)
{
  JsonNode *node = json_object_get_member (object, key);

  if (node == NULL)
    return NULL;
  if (JSON_NODE_HOLDS_ARRAY (node))
    return json_node_get_array (node);
  lw_read_enter_member (context, key);
  wrong_type (context, _("an array"), node);
  lw_read_leave (context);
  return NULL;
}

JsonObject *
lw_read_object_at (LwReadContext *context, JsonArray *array, guint index)
{
  JsonNode *node = json_array_get_element (array, index);

  if (JSON_NODE_HOLDS_OBJECT (node))
    return json_node_get_object (node);
  lw_read_enter_index (context, index);
  wrong_type (context, _("an object"), node);
  lw_read_leave (context);
  return NULL;
}
