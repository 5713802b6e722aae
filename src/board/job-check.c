/* Contradictions within a job: order of work, and the ranges that every member has by itself. */
#include "board/job-check.h"

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

static void check_struct (LwCheck *check, const LwType *type, gconstpointer self, gconstpointer since, GString *path);

/* SINCE is the same member of the job before, or NULL: elements that are its own are sound. */
static void
check_many (LwCheck *check, const LwField *field, const GPtrArray *all, const GPtrArray *since, GString *path)
{
  gsize length = path->len;

  if (all->len > field->max)
    lw_check_stop (check, g_strdup (path->str), _("has %u elements; at most %.0f are read"), all->len, field->max);
  for (guint i = 0; i < all->len; i++)
    {
      gconstpointer before = since != NULL && i < since->len ? g_ptr_array_index (since, i) : NULL;

      if (g_ptr_array_index (all, i) == before)
        continue;
      g_string_append_printf (path, "[%u]", i);
      check_struct (check, field->type, g_ptr_array_index (all, i), before, path);
      g_string_truncate (path, length);
    }
}

static void
check_plain (LwCheck *check, const LwField *field, const GArray *all, GString *path)
{
  guint n = all != NULL ? all->len : 0;
  gsize length = path->len;

  if (n > field->max)
    lw_check_stop (check, g_strdup (path->str), _("has %u elements; at most %.0f are read"), n, field->max);
  for (guint i = 0; i < n; i++)
    {
      g_string_append_printf (path, "[%u]", i);
      check_struct (check, field->type, all->data + i * field->type->size, NULL, path);
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

/* The pointer that is a member of that kind. */
static gconstpointer
pointer_at (gconstpointer member)
{
  return member != NULL ? *(gconstpointer const *) member : NULL;
}

static char *
refusal_of (const LwField *field, gconstpointer member)
{
  switch (field->kind)
    {
    case LW_FIELD_NUMBER:
      return lw_field_refuses (field, *(const double *) member);
    case LW_FIELD_COUNT:
      return lw_field_refuses (field, *(const guint *) member);
    case LW_FIELD_TEXT:
      return field->flags & LW_FIELD_REQUIRED && (*(char *const *) member)[0] == '\0' ? g_strdup (_("must not be empty"))
                                                                                      : NULL;
    default:
      return NULL;
    }
}

static void
check_field (LwCheck *check, const LwField *field, gconstpointer member, gconstpointer since, GString *path)
{
  g_autofree char *reason = refusal_of (field, member);

  if (field->kind == LW_FIELD_GROUP)
    check_struct (check, field->type, member, since, path);
  else if (field->kind == LW_FIELD_ONE && pointer_at (member) != NULL && pointer_at (member) != pointer_at (since))
    check_struct (check, field->type, pointer_at (member), pointer_at (since), path);
  else if (field->kind == LW_FIELD_MANY)
    check_many (check, field, pointer_at (member), pointer_at (since), path);
  else if (field->kind == LW_FIELD_PLAIN)
    check_plain (check, field, pointer_at (member), path);
  else if (field->kind == LW_FIELD_SERIES)
    check_series (check, field, pointer_at (member), path);
  if (reason != NULL)
    lw_check_stop (check, g_strdup (path->str), "%s", reason);
}

static void
check_struct (LwCheck *check, const LwType *type, gconstpointer self, gconstpointer since, GString *path)
{
  gsize length = path->len;

  for (guint i = 0; i < type->n_fields; i++)
    {
      const LwField *field = &type->fields[i];

      if (length > 0)
        g_string_append_c (path, '.');
      g_string_append (path, field->key);
      check_field (check, field, (const char *) self + field->offset,
                   since != NULL ? (const char *) since + field->offset : NULL, path);
      g_string_truncate (path, length);
    }
}

/* Numbers against the ranges of the field tables. */
static void
check_ranges (LwCheck *check)
{
  g_autoptr (GString) path = g_string_new (NULL);

  check_struct (check, &lw_job_type, check->job, check->since, path);
}

static gboolean
same_elements (const GPtrArray *a, const GPtrArray *b)
{
  return a->len == b->len && (a->len == 0 || memcmp (a->pdata, b->pdata, a->len * sizeof (gpointer)) == 0);
}

/* What stands outside its range is not looked at any further: later checks may rely on ranges. */
GPtrArray *
lw_job_check_since (const LwJob *job, const LwJob *since)
{
  g_autoptr (GHashTable) parts = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GHashTable) packages = g_hash_table_new (g_str_hash, g_str_equal);
  LwCheck check = { .job = job,
                    .since = since,
                    .same_packages = since != NULL && same_elements (job->packages, since->packages),
                    .faults = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_fault_free),
                    .parts = parts,
                    .packages = packages };

  check_ranges (&check);
  if (check.faults->len > 0)
    return check.faults;
  if (since == NULL || job->board != since->board)
    lw_check_board (&check);
  lw_check_packages (&check);
  lw_check_parts (&check);
  lw_check_station (&check);
  lw_check_plans (&check);
  lw_check_history (&check);
  lw_check_pasts (&check);
  return check.faults;
}

GPtrArray *
lw_job_check (const LwJob *job)
{
  return lw_job_check_since (job, NULL);
}
