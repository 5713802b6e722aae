/* Edits of single members and of parts. */
#include "board/edits.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edit-finish.h"
#include "board/edits-names.h"
#include "board/job-check.h"
#include "board/job-file.h"
#include "board/job-json.h"
#include "board/job-path.h"

G_DEFINE_QUARK (lw-edit-error-quark, lw_edit_error)

/* ---- the end of every edit ---- */

static gboolean
same_fault (gconstpointer a, gconstpointer b)
{
  const LwFault *f = a, *g = b;

  return f->fatal == g->fatal && strcmp (f->path, g->path) == 0 && strcmp (f->text, g->text) == 0;
}

static const LwFault *
first_new_fault (const LwJob *before, GPtrArray *faults)
{
  g_autoptr (GPtrArray) old = NULL;

  for (guint i = 0; i < faults->len; i++)
    {
      const LwFault *fault = g_ptr_array_index (faults, i);

      if (!fault->fatal)
        continue;
      if (old == NULL)
        old = lw_job_check (before);
      if (!g_ptr_array_find_with_equal_func (old, fault, same_fault, NULL))
        return fault;
    }
  return NULL;
}

LwJob *
lw_edit_finish (const LwJob *before, LwJob *after, const char *path, GError **error)
{
  g_autoptr (GPtrArray) faults = lw_job_check_since (after, before);
  const LwFault *fault = first_new_fault (before, faults);

  if (fault == NULL)
    return after;
  if (path != NULL && strcmp (fault->path, path) == 0)
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, fault->text);
  else
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, "%s: %s", fault->path, fault->text);
  lw_job_unref (after);
  return NULL;
}

gboolean
lw_edit_has_part (const LwJob *job, guint part, gboolean free, GError **error)
{
  if (part >= job->parts->len)
    {
      g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is no part %u"), part);
      return FALSE;
    }
  const LwPart *p = g_ptr_array_index (job->parts, part);
  if (free && p->locked)
    {
      g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("%s is locked in its place"), p->ref);
      return FALSE;
    }
  return TRUE;
}

gboolean
lw_edit_has_plan (const LwJob *job, guint plan, GError **error)
{
  if (plan < job->plans->len)
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is no plan %u"), plan);
  return FALSE;
}

/* ---- one member ---- */

/* Index when PATH is HEAD[index]TAIL, else -1. */
static int
index_in (const char *path, const char *head, const char *tail)
{
  char *end;

  if (!g_str_has_prefix (path, head))
    return -1;
  guint64 index = g_ascii_strtoull (path + strlen (head), &end, 10);
  return strcmp (end, tail) == 0 && index <= G_MAXINT ? (int) index : -1;
}

static gboolean
no_such_member (const char *path, GError **error)
{
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("there is no member %s of that type"), path);
  return FALSE;
}

static gboolean
refuse (char *reason, GError **error)
{
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, reason);
  g_free (reason);
  return FALSE;
}

static gboolean
set_number (LwMember *m, const char *path, double value, GError **error)
{
  gboolean whole = m->field->kind == LW_FIELD_COUNT;

  if (m->field->kind == LW_FIELD_FLAG)
    {
      *(gboolean *) m->member = value != 0.0;
      return TRUE;
    }
  if (m->field->kind != LW_FIELD_NUMBER && !whole)
    return no_such_member (path, error);
  if (isinf (value) || (whole && value != floor (value)))
    return refuse (g_strdup (whole ? _("must be a whole number") : _("must be a finite number")), error);
  char *reason = lw_field_refuses (m->field, value);
  if (reason != NULL)
    return refuse (reason, error);
  if (whole)
    *(guint *) m->member = (guint) value;
  else
    *(double *) m->member = value;
  return TRUE;
}

LwJob *
lw_edit_number (const LwJob *job, const char *path, double value, GError **error)
{
  g_autoptr (LwJob) after = lw_job_copy (job);
  LwMember m;

  if (!lw_job_member (after, path, TRUE, &m))
    {
      no_such_member (path, error);
      return NULL;
    }
  if (!set_number (&m, path, value, error))
    return NULL;
  if (strcmp (path, "board.thickness_mm") == 0)
    after->board->thickness_known = TRUE; /* somebody has just said it; the board is already our own copy */
  return lw_edit_finish (job, g_steal_pointer (&after), path, error);
}

static gboolean
set_word (LwMember *m, const char *value, GError **error)
{
  for (guint i = 0; m->field->words[i] != NULL; i++)
    if (strcmp (m->field->words[i], value) == 0)
      {
        *(guint *) m->member = i;
        return TRUE;
      }
  g_autofree char *list = g_strjoinv (", ", (char **) m->field->words);
  return refuse (g_strdup_printf (_("must be one of %s"), list), error);
}

static gboolean
set_text (LwMember *m, const char *path, const char *value, GError **error)
{
  if (m->field->kind == LW_FIELD_WORD)
    return set_word (m, value, error);
  if (m->field->kind == LW_FIELD_FLAG && (strcmp (value, "true") == 0 || strcmp (value, "false") == 0))
    {
      *(gboolean *) m->member = value[0] == 't';
      return TRUE;
    }
  if (m->field->kind != LW_FIELD_TEXT)
    return no_such_member (path, error);
  if (!g_utf8_validate (value, -1, NULL))
    return refuse (g_strdup (_("must be UTF-8 text")), error);
  g_free (*(char **) m->member);
  *(char **) m->member = g_strdup (value);
  return TRUE;
}

static void
rename_text (char **text, const char *from, const char *to)
{
  if (strcmp (*text, from) != 0)
    return;
  g_free (*text);
  *text = g_strdup (to);
}

/* A new name is taken up wherever the old one is used. */
static void
rename_part (LwJob *job, const char *from, const char *to)
{
  g_autoptr (GHashTable) names = g_hash_table_new (g_str_hash, g_str_equal);

  g_hash_table_insert (names, (gpointer) from, (gpointer) to);
  lw_names_rename (job, names);
}

static void
rename_package (LwJob *job, const char *from, const char *to)
{
  for (guint i = 0; i < job->parts->len; i++)
    if (strcmp (((const LwPart *) g_ptr_array_index (job->parts, i))->package, from) == 0)
      rename_text (&lw_job_edit_part (job, i)->package, from, to);
}

static void
rename_nozzle (LwJob *job, const char *from, const char *to)
{
  for (guint i = 0; i < job->plans->len; i++)
    rename_text (&lw_job_edit_plan (job, i)->nozzle, from, to);
}

static void
rename_run (LwJob *job, const char *from, const char *to)
{
  for (guint i = 0; i < job->fits->len; i++)
    {
      GArray *runs = lw_job_edit_fit (job, i)->runs;

      for (guint k = 0; k < runs->len; k++)
        rename_text (&g_array_index (runs, LwFitRun, k).run, from, to);
    }
}

static void
rename_couple (LwJob *job, const char *ref, const char *from, const char *to)
{
  for (guint i = 0; i < job->runs->len; i++)
    {
      if (strcmp (((const LwRun *) g_ptr_array_index (job->runs, i))->ref, ref) != 0)
        continue;
      GPtrArray *columns = lw_job_edit_run (job, i)->columns;
      for (guint k = 0; k < columns->len; k++)
        {
          LwRunColumn *old = g_ptr_array_index (columns, k), *new;

          if (strcmp (old->thermocouple, from) != 0)
            continue;
          new = lw_run_column_copy (old);
          rename_text (&new->thermocouple, from, to);
          columns->pdata[k] = new;
          lw_run_column_unref (old);
        }
    }
}

static gboolean
couple_in (const char *path, guint *plan)
{
  char *end;

  if (!g_str_has_prefix (path, "plans["))
    return FALSE;
  *plan = (guint) g_ascii_strtoull (path + strlen ("plans["), &end, 10);
  return g_str_has_prefix (end, "].thermocouples[") && g_str_has_suffix (end, "].name");
}

static void
carry_name (LwJob *after, const char *path, const char *from, const char *to)
{
  guint plan;

  if (from[0] == '\0')
    return;
  if (index_in (path, "parts[", "].ref") >= 0)
    rename_part (after, from, to);
  else if (index_in (path, "packages[", "].name") >= 0)
    rename_package (after, from, to);
  else if (index_in (path, "station.nozzles[", "].name") >= 0)
    rename_nozzle (after, from, to);
  else if (index_in (path, "runs[", "].name") >= 0)
    rename_run (after, from, to);
  else if (couple_in (path, &plan))
    rename_couple (after, ((const LwPlan *) g_ptr_array_index (after->plans, plan))->ref, from, to);
}

LwJob *
lw_edit_text (const LwJob *job, const char *path, const char *value, GError **error)
{
  g_autoptr (LwJob) after = lw_job_copy (job);
  g_autofree char *from = NULL;
  LwMember m;

  if (!lw_job_member (after, path, TRUE, &m))
    {
      no_such_member (path, error);
      return NULL;
    }
  if (m.field->kind == LW_FIELD_TEXT)
    from = g_strdup (*(char **) m.member);
  if (!set_text (&m, path, value, error))
    return NULL;
  if (from != NULL)
    carry_name (after, path, from, value);
  return lw_edit_finish (job, g_steal_pointer (&after), path, error);
}

/* ---- parts ---- */

static LwJob *
finish_part (const LwJob *job, LwJob *after, guint part, GError **error)
{
  g_autofree char *path = g_strdup_printf ("parts[%u]", part);

  return lw_edit_finish (job, after, path, error);
}

LwJob *
lw_edit_move_part (const LwJob *job, guint part, double x_mm, double y_mm, GError **error)
{
  if (!lw_edit_has_part (job, part, TRUE, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  LwPart *moved = lw_job_edit_part (after, part);
  moved->x_mm = x_mm;
  moved->y_mm = y_mm;
  moved->placed = TRUE;
  return finish_part (job, after, part, error);
}

LwJob *
lw_edit_rotate_part (const LwJob *job, guint part, double rotation_deg, GError **error)
{
  if (!lw_edit_has_part (job, part, TRUE, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  lw_job_edit_part (after, part)->rotation_deg = isfinite (rotation_deg) ? lw_angle_normalise (rotation_deg) : NAN;
  return finish_part (job, after, part, error);
}

/* Turned over about the board's y direction through the body's middle: the body stays where it is, seen from
 * the top it is mirrored left to right; by the rule of LwPart the rotation keeps its number. */
LwJob *
lw_edit_flip_part (const LwJob *job, guint part, GError **error)
{
  if (!lw_edit_has_part (job, part, TRUE, error))
    return NULL;
  LwJob *after = lw_job_copy (job);
  LwPart *flipped = lw_job_edit_part (after, part);
  LwPoint center = lw_part_body_center (flipped, lw_job_package_of (after, flipped));
  flipped->x_mm += 2.0 * (center.x_mm - flipped->x_mm);
  flipped->side = flipped->side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
  return finish_part (job, after, part, error);
}
