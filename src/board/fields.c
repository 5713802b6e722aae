#include "board/fields.h"

#include <string.h>

#define AT(Type, self, field) ((Type *) (void *) ((char *) (self) + (field)->offset))
#define AT_CONST(Type, self, field) ((const Type *) (const void *) ((const char *) (self) + (field)->offset))

static GMutex extra_lock;

static JsonObject *
extra_ref (JsonObject *extra)
{
  g_mutex_lock (&extra_lock);
  json_object_ref (extra);
  g_mutex_unlock (&extra_lock);
  return extra;
}

void
lw_extra_unref (JsonObject *extra)
{
  g_mutex_lock (&extra_lock);
  json_object_unref (extra);
  g_mutex_unlock (&extra_lock);
}

GArray *
lw_type_new_array (const LwType *element)
{
  GArray *array = g_array_new (FALSE, TRUE, (guint) element->size);

  if (element->clear_element != NULL)
    g_array_set_clear_func (array, element->clear_element);
  return array;
}

static void
init_field (const LwField *field, gpointer self)
{
  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      *AT (double, self, field) = field->fallback;
      break;
    case LW_FIELD_COUNT:
    case LW_FIELD_WORD:
      *AT (guint, self, field) = (guint) field->fallback;
      break;
    case LW_FIELD_FLAG:
      *AT (gboolean, self, field) = field->fallback != 0.0;
      break;
    case LW_FIELD_TEXT:
      *AT (char *, self, field) = g_strdup (field->text != NULL ? field->text : "");
      break;
    case LW_FIELD_GROUP:
      lw_type_init (field->type, AT (char, self, field));
      break;
    case LW_FIELD_ONE:
      *AT (gpointer, self, field) = field->flags & LW_FIELD_NULLABLE ? NULL : lw_type_new (field->type);
      break;
    case LW_FIELD_MANY:
      *AT (GPtrArray *, self, field) = g_ptr_array_new_with_free_func (field->type->unref);
      break;
    case LW_FIELD_PLAIN:
      *AT (GArray *, self, field) = field->flags & LW_FIELD_NULLABLE ? NULL : lw_type_new_array (field->type);
      break;
    case LW_FIELD_SERIES:
      *AT (GArray *, self, field) = g_array_new (FALSE, FALSE, sizeof (double));
      break;
    }
}

void
lw_type_init (const LwType *type, gpointer self)
{
  for (guint i = 0; i < type->n_fields; i++)
    init_field (&type->fields[i], self);
}

static GPtrArray *
share_elements (const LwField *field, const GPtrArray *source)
{
  GPtrArray *array = g_ptr_array_new_full (source->len, field->type->unref);

  for (guint i = 0; i < source->len; i++)
    g_ptr_array_add (array, g_atomic_rc_box_acquire (g_ptr_array_index (source, i)));
  return array;
}

static void copy_fields (const LwType *type, gpointer self, gconstpointer source);

static GArray *
copy_elements (const LwType *element, const GArray *source)
{
  GArray *array = lw_type_new_array (element);

  if (element->clear_element == NULL)
    return g_array_append_vals (array, source->data, source->len);
  g_array_set_size (array, source->len);
  for (guint i = 0; i < source->len; i++)
    copy_fields (element, array->data + i * element->size, source->data + i * element->size);
  return array;
}

static void
copy_field (const LwField *field, gpointer self, gconstpointer source)
{
  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      *AT (double, self, field) = *AT_CONST (double, source, field);
      break;
    case LW_FIELD_COUNT:
    case LW_FIELD_WORD:
    case LW_FIELD_FLAG:
      *AT (guint, self, field) = *AT_CONST (guint, source, field);
      break;
    case LW_FIELD_TEXT:
      *AT (char *, self, field) = g_strdup (*AT_CONST (char *, source, field));
      break;
    case LW_FIELD_GROUP:
      copy_fields (field->type, AT (char, self, field), AT_CONST (char, source, field));
      break;
    case LW_FIELD_ONE:
      if (*AT_CONST (gpointer, source, field) != NULL)
        *AT (gpointer, self, field) = g_atomic_rc_box_acquire (*AT_CONST (gpointer, source, field));
      break;
    case LW_FIELD_MANY:
      *AT (GPtrArray *, self, field) = share_elements (field, *AT_CONST (GPtrArray *, source, field));
      break;
    case LW_FIELD_PLAIN:
      if (*AT_CONST (GArray *, source, field) != NULL)
        *AT (GArray *, self, field) = copy_elements (field->type, *AT_CONST (GArray *, source, field));
      break;
    case LW_FIELD_SERIES:
      *AT (GArray *, self, field) = g_array_copy (*AT (GArray *, source, field));
      break;
    }
}

/* On memory that is zero: takes over copies of what SOURCE owns; counted children are shared. */
static void
copy_fields (const LwType *type, gpointer self, gconstpointer source)
{
  for (guint i = 0; i < type->n_fields; i++)
    copy_field (&type->fields[i], self, source);
  if (type->extra != LW_NO_EXTRA)
    {
      JsonObject *extra = G_STRUCT_MEMBER (JsonObject *, (gpointer) source, type->extra);

      if (extra != NULL)
        G_STRUCT_MEMBER (JsonObject *, self, type->extra) = extra_ref (extra);
    }
}

void
lw_type_clear (const LwType *type, gpointer self)
{
  for (guint i = 0; i < type->n_fields; i++)
    {
      const LwField *field = &type->fields[i];

      if (field->kind == LW_FIELD_TEXT)
        g_clear_pointer (AT (char *, self, field), g_free);
      else if (field->kind == LW_FIELD_GROUP)
        lw_type_clear (field->type, AT (char, self, field));
      else if (field->kind == LW_FIELD_ONE)
        g_clear_pointer (AT (gpointer, self, field), field->type->unref);
      else if (field->kind == LW_FIELD_MANY)
        g_clear_pointer (AT (GPtrArray *, self, field), g_ptr_array_unref);
      else if (field->kind == LW_FIELD_PLAIN || field->kind == LW_FIELD_SERIES)
        g_clear_pointer (AT (GArray *, self, field), g_array_unref);
    }
  if (type->extra != LW_NO_EXTRA)
    g_clear_pointer (&G_STRUCT_MEMBER (JsonObject *, self, type->extra), lw_extra_unref);
}

gpointer
lw_type_new (const LwType *type)
{
  gpointer self = g_atomic_rc_box_alloc0 (type->size);

  lw_type_init (type, self);
  return self;
}

gpointer
lw_type_dup (const LwType *type, gconstpointer source)
{
  gpointer self = g_atomic_rc_box_alloc0 (type->size);

  copy_fields (type, self, source);
  return self;
}

const LwField *
lw_type_find (const LwType *type, const char *key)
{
  for (guint i = 0; i < type->n_fields; i++)
    if (strcmp (type->fields[i].key, key) == 0)
      return &type->fields[i];
  return NULL;
}
