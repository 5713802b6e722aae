/* Structs from JSON by their tables (fields.h); those that files hold, by name. */
#include "board/job-json.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/job-file.h"
#include "board/types.h"

#define AT(Type, self, field) ((Type *) (void *) ((char *) (self) + (field)->offset))

/* Unknown members of structs that keep none themselves: an object in the owner's `extra` under the
 * member's key (and the index, for arrays). */
static gboolean read_members (LwReadContext *c, const LwType *type, gpointer self, JsonObject *object,
                              const char *const *known, JsonObject **extra);

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

/* The document's first member says what it is. */
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
