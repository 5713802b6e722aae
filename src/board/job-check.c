/* Contradictions within a job: order of work, and the ranges that every member has by itself. */
#include "board/job-check.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/job-json.h"
#include "board/types.h"

void
lw_fault_free (LwFault *fault)
{
  if (fault == NULL)
    return;
  g_free (fault->path);
  g_free (fault->text);
  g_free (fault);
}

static void
add_fault (LwCheck *check, gboolean fatal, char *path, const char *text, va_list arguments)
{
  LwFault *fault = g_new0 (LwFault, 1);

  fault->fatal = fatal;
  fault->path = path;
  fault->text = g_strdup_vprintf (text, arguments);
  g_ptr_array_add (check->faults, fault);
}

void
lw_check_stop (LwCheck *check, char *path, const char *text, ...)
{
  va_list arguments;

  va_start (arguments, text);
  add_fault (check, TRUE, path, text, arguments);
  va_end (arguments);
}

void
lw_check_note (LwCheck *check, char *path, const char *text, ...)
{
  va_list arguments;

  va_start (arguments, text);
  add_fault (check, FALSE, path, text, arguments);
  va_end (arguments);
}

const char *
lw_number_text (LwNumberText *buffer, double value)
{
  return g_ascii_formatd (buffer->text, sizeof buffer->text, "%.10g", value);
}

/* ---- ranges ---- */

static void check_struct (LwCheck *check, const LwType *type, gconstpointer self, GString *path);

static void
check_elements (LwCheck *check, const LwField *field, gconstpointer member, GString *path)
{
  gboolean many = field->kind == LW_FIELD_MANY;
  const GPtrArray *pointers = many ? *(GPtrArray *const *) member : NULL;
  const GArray *plain = many ? NULL : *(GArray *const *) member;
  guint n = many ? pointers->len : plain != NULL ? plain->len : 0;
  gsize length = path->len;

  if (n > field->max)
    lw_check_stop (check, g_strdup (path->str), _("has %u elements; at most %.0f are read"), n, field->max);
  for (guint i = 0; i < n; i++)
    {
      g_string_append_printf (path, "[%u]", i);
      check_struct (check, field->type,
                    many ? g_ptr_array_index (pointers, i)
                         : (gconstpointer) (plain->data + i * field->type->size),
                    path);
      g_string_truncate (path, length);
    }
}

/* Many numbers, looked at after every edit. */
static void
check_series (LwCheck *check, const LwField *field, const GArray *series, GString *path)
{
  gsize length = path->len;

  if (series->len > field->fallback)
    lw_check_stop (check, g_strdup (path->str), _("has %u elements; at most %.0f are read"), series->len, field->fallback);
  for (guint i = 0; i < series->len; i++)
    {
      double value = g_array_index (series, double, i);

      if (value >= field->min && value <= field->max)
        continue;
      g_autofree char *reason = lw_field_refuses (field, value);
      if (reason == NULL)
        continue;
      g_string_append_printf (path, "[%u]", i);
      lw_check_stop (check, g_strdup (path->str), "%s", reason);
      g_string_truncate (path, length);
      return;
    }
}

static void
check_field (LwCheck *check, const LwField *field, gconstpointer member, GString *path)
{
  g_autofree char *reason = NULL;

  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      reason = lw_field_refuses (field, *(const double *) member);
      break;
    case LW_FIELD_COUNT:
      reason = lw_field_refuses (field, *(const guint *) member);
      break;
    case LW_FIELD_GROUP:
      check_struct (check, field->type, member, path);
      break;
    case LW_FIELD_ONE:
      if (*(gconstpointer const *) member != NULL)
        check_struct (check, field->type, *(gconstpointer const *) member, path);
      break;
    case LW_FIELD_MANY:
    case LW_FIELD_PLAIN:
      check_elements (check, field, member, path);
      break;
    case LW_FIELD_SERIES:
      check_series (check, field, *(GArray *const *) member, path);
      break;
    case LW_FIELD_TEXT:
      if (field->flags & LW_FIELD_REQUIRED && (*(char *const *) member)[0] == '\0')
        reason = g_strdup (_("must not be empty"));
      break;
    case LW_FIELD_FLAG:
    case LW_FIELD_WORD:
      break;
    }
  if (reason != NULL)
    lw_check_stop (check, g_strdup (path->str), "%s", reason);
}

static void
check_struct (LwCheck *check, const LwType *type, gconstpointer self, GString *path)
{
  gsize length = path->len;

  for (guint i = 0; i < type->n_fields; i++)
    {
      const LwField *field = &type->fields[i];

      if (length > 0)
        g_string_append_c (path, '.');
      g_string_append (path, field->key);
      check_field (check, field, (const char *) self + field->offset, path);
      g_string_truncate (path, length);
    }
}

void
lw_check_ranges (LwCheck *check)
{
  g_autoptr (GString) path = g_string_new (NULL);

  check_struct (check, &lw_job_type, check->job, path);
}

/* What stands outside its range is not looked at any further: later checks may rely on ranges. */
GPtrArray *
lw_job_check (const LwJob *job)
{
  g_autoptr (GHashTable) parts = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GHashTable) packages = g_hash_table_new (g_str_hash, g_str_equal);
  LwCheck check = { job, g_ptr_array_new_with_free_func ((GDestroyNotify) lw_fault_free), parts, packages };

  lw_check_ranges (&check);
  if (check.faults->len > 0)
    return check.faults;
  lw_check_board (&check);
  lw_check_packages (&check);
  lw_check_parts (&check);
  lw_check_station (&check);
  lw_check_plans (&check);
  lw_check_history (&check);
  lw_check_pasts (&check);
  return check.faults;
}
