#include "board/job-path.h"

#include <math.h>
#include <string.h>

#include "board/edits.h"
#include "board/package-book.h"
#include "board/part-names.h"
#include "board/types.h"

typedef struct {
  const LwType *type;
  gpointer self;
} Place;

/* Takes "[12]" off the front of *PATH. */
static gboolean
take_index (const char **path, guint *index)
{
  guint64 value = 0;
  const char *p = *path;

  if (*p++ != '[' || !g_ascii_isdigit (*p))
    return FALSE;
  for (; g_ascii_isdigit (*p); p++)
    if ((value = value * 10 + (guint64) (*p - '0')) > G_MAXUINT)
      return FALSE;
  if (*p++ != ']')
    return FALSE;
  *index = (guint) value;
  *path = p;
  return TRUE;
}

static const LwField *
take_field (const char **path, const LwType *type)
{
  gsize length = strcspn (*path, ".[");
  g_autofree char *key = g_strndup (*path, length);

  *path += length;
  return lw_type_find (type, key);
}

/* The counted struct in SLOT, made our own first when it is to be written to. */
static gpointer
own (gpointer *slot, const LwType *type, gboolean writable)
{
  if (*slot != NULL && writable)
    {
      gpointer copy = lw_type_dup (type, *slot);

      type->unref (*slot);
      *slot = copy;
    }
  return *slot;
}

static gpointer
enter_element (const char **path, const LwField *field, gpointer member, gboolean writable)
{
  guint index;

  if (!take_index (path, &index))
    return NULL;
  if (field->kind == LW_FIELD_MANY)
    {
      GPtrArray *array = *(GPtrArray **) member;

      return index < array->len ? own (&array->pdata[index], field->type, writable) : NULL;
    }
  GArray *plain = *(GArray **) member;
  return plain != NULL && index < plain->len ? plain->data + index * field->type->size : NULL;
}

/* Into the struct that a member holds; self = NULL when it holds none. */
static Place
enter (const char **path, const LwField *field, gpointer member, gboolean writable)
{
  Place place = { field->type, NULL };

  if (field->kind == LW_FIELD_GROUP)
    place.self = member;
  else if (field->kind == LW_FIELD_ONE)
    place.self = own (member, field->type, writable);
  else if (field->kind == LW_FIELD_MANY || field->kind == LW_FIELD_PLAIN)
    place.self = enter_element (path, field, member, writable);
  if (**path != '.')
    place.self = NULL;
  else
    (*path)++;
  return place;
}

gboolean
lw_job_member (LwJob *job, const char *path, gboolean writable, LwMember *member)
{
  Place place = { &lw_job_type, job };

  if (writable)
    {
      lw_package_book_drop (job);
      lw_part_names_drop (job);
    }
  while (place.self != NULL)
    {
      const LwField *field = take_field (&path, place.type);

      if (field == NULL)
        return FALSE;
      member->field = field;
      member->member = (char *) place.self + field->offset;
      if (*path == '\0')
        return TRUE;
      place = enter (&path, field, member->member, writable);
    }
  return FALSE;
}

double
lw_job_number (const LwJob *job, const char *path)
{
  LwMember m;

  if (!lw_job_member ((LwJob *) job, path, FALSE, &m))
    return NAN;
  if (m.field->kind == LW_FIELD_NUMBER)
    return *(double *) m.member;
  if (m.field->kind == LW_FIELD_COUNT)
    return *(guint *) m.member;
  if (m.field->kind == LW_FIELD_FLAG)
    return *(gboolean *) m.member ? 1.0 : 0.0;
  return NAN;
}

const char *
lw_job_text (const LwJob *job, const char *path)
{
  LwMember m;

  if (!lw_job_member ((LwJob *) job, path, FALSE, &m))
    return NULL;
  if (m.field->kind == LW_FIELD_TEXT)
    return *(char **) m.member;
  if (m.field->kind == LW_FIELD_WORD)
    return m.field->words[*(guint *) m.member];
  if (m.field->kind == LW_FIELD_FLAG)
    return *(gboolean *) m.member ? "true" : "false";
  return NULL;
}
