/* The operations of one site: what is done to it, one after the other. */
#include "board/operations.h"

#include <string.h>

#include <glib/gi18n.h>

#include "board/default-plan.h"
#include "board/edit-finish.h"
#include "board/fields.h"
#include "board/names.h"
#include "board/types.h"

/* Their order in the work, by LwOperation. */
static const guint rank_of[LW_N_OPS] = {
  [LW_OP_REMOVE] = 0, [LW_OP_CLEAN] = 1, [LW_OP_PRINT] = 2, [LW_OP_DISPENSE] = 3, [LW_OP_PLACE] = 4, [LW_OP_REFLOW] = 5
};

GArray *
lw_job_operations (const LwJob *job, const char *ref)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < job->plans->len; i++)
    if (strcmp (((const LwPlan *) g_ptr_array_index (job->plans, i))->ref, ref) == 0)
      g_array_append_val (out, i);
  return out;
}

int
lw_job_find_operation (const LwJob *job, const char *ref, LwOperation operation)
{
  for (guint i = 0; i < job->plans->len; i++)
    {
      const LwPlan *plan = g_ptr_array_index (job->plans, i);

      if (plan->operation == operation && strcmp (plan->ref, ref) == 0)
        return (int) i;
    }
  return -1;
}

gboolean
lw_plan_heats (const LwPlan *plan)
{
  gboolean course = plan->stages->len > 0 || plan->table != NULL;

  switch (plan->operation)
    {
    case LW_OP_REMOVE:
    case LW_OP_REFLOW:
      return TRUE;
    case LW_OP_PLACE:
    case LW_OP_CLEAN:
      return course;
    default:
      return FALSE;
    }
}

int
lw_operation_from_word (const char *word)
{
  for (int i = 0; lw_operation_words[i] != NULL; i++)
    if (strcmp (lw_operation_words[i], word) == 0)
      return i;
  return -1;
}

const char *
lw_msl_word (LwMoistureLevel level)
{
  g_return_val_if_fail (level < LW_N_MSL, "unknown");
  return lw_msl_words[level];
}

/* None of these edits can bring a fault of its own, but all move plans to other places, where a fault they had would look
 * new: hence they do not end in lw_edit_finish(). */

/* ---- adding ---- */

/* A heating plan of the same part to take the set-up from, or NULL. */
static const LwPlan *
model_for (const LwJob *job, const char *ref)
{
  for (guint i = 0; i < job->plans->len; i++)
    {
      const LwPlan *plan = g_ptr_array_index (job->plans, i);

      if (strcmp (plan->ref, ref) == 0 && lw_plan_heats (plan))
        return plan;
    }
  return NULL;
}

/* Only what always heats starts with stages: placing and cleaning have them when the planner says so. */
static LwPlan *
new_plan (const LwJob *job, const LwPart *part, LwOperation operation)
{
  const LwPlan *model = model_for (job, part->ref);
  LwPlan *plan = model != NULL ? lw_plan_copy (model) : lw_default_plan (job, part);

  plan->operation = operation;
  g_ptr_array_set_size (plan->stages, 0);
  g_clear_pointer (&plan->table, g_array_unref);
  plan->material[0] = plan->notes[0] = '\0'; /* these and what is unknown belong to the model */
  g_clear_pointer (&plan->extra, lw_extra_unref);
  if (lw_plan_heats (plan))
    lw_default_stages (plan, job, part);
  return plan;
}

/* Behind the last plan of the part that comes before it in the work; at the end of the job where it has none. */
static guint
place_for (const LwJob *job, const char *ref, LwOperation operation)
{
  guint at = job->plans->len;

  for (guint i = job->plans->len; i-- > 0;)
    {
      const LwPlan *plan = g_ptr_array_index (job->plans, i);

      if (strcmp (plan->ref, ref) != 0)
        continue;
      if (rank_of[plan->operation] < rank_of[operation])
        return i + 1;
      at = i;
    }
  return at;
}

static gboolean
may_add (const LwJob *job, const char *ref, LwOperation operation, GError **error)
{
  int part = lw_job_find_part (job, ref);

  if (part < 0)
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("no part is named %s"), ref);
  else if (!((const LwPart *) g_ptr_array_index (job->parts, part))->placed)
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("%s is not on the board"), ref);
  else if (lw_job_find_operation (job, ref, operation) >= 0)
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE, _("%s already has a plan for “%s”"), ref,
                 lw_operation_label (operation));
  else
    return TRUE;
  return FALSE;
}

LwJob *
lw_edit_add_operation (const LwJob *job, const char *ref, LwOperation operation, GError **error)
{
  if (!may_add (job, ref, operation, error))
    return NULL;
  const LwPart *part = g_ptr_array_index (job->parts, lw_job_find_part (job, ref));
  guint at = place_for (job, ref, operation);
  LwJob *after = lw_job_copy (job);

  g_ptr_array_insert (after->plans, (gint) at, new_plan (job, part, operation));
  after->active_plan = at;
  return after;
}

/* ---- taking away, moving ---- */

LwJob *
lw_edit_remove_operation (const LwJob *job, guint plan, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error))
    return NULL;
  LwJob *after = lw_job_copy (job);

  g_ptr_array_remove_index (after->plans, plan);
  if (after->active_plan > plan || after->active_plan == after->plans->len)
    after->active_plan = after->active_plan > 0 ? after->active_plan - 1 : 0;
  return after;
}

/* The plan of the same part before or after it in the job; -1 = none. */
static int
neighbour (const LwJob *job, guint plan, gboolean later)
{
  g_autoptr (GArray) all = lw_job_operations (job, ((const LwPlan *) g_ptr_array_index (job->plans, plan))->ref);

  for (guint i = 0; i < all->len; i++)
    if (g_array_index (all, guint, i) == plan)
      {
        if (later)
          return i + 1 < all->len ? (int) g_array_index (all, guint, i + 1) : -1;
        return i > 0 ? (int) g_array_index (all, guint, i - 1) : -1;
      }
  return -1;
}

LwJob *
lw_edit_move_operation (const LwJob *job, guint plan, gboolean later, GError **error)
{
  if (!lw_edit_has_plan (job, plan, error))
    return NULL;
  int other = neighbour (job, plan, later);

  if (other < 0)
    {
      g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_REFERENCE,
                           later ? _("it is the last of its part") : _("it is the first of its part"));
      return NULL;
    }
  LwJob *after = lw_job_copy (job);
  gpointer *plans = after->plans->pdata, moved = plans[plan];

  plans[plan] = plans[other];
  plans[other] = moved;
  if (after->active_plan == plan)
    after->active_plan = (guint) other;
  else if (after->active_plan == (guint) other)
    after->active_plan = plan;
  return after;
}
