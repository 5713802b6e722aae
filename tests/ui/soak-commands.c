#include "soak-commands.h"

#include "board/edits-group.h"
#include "board/edits.h"
#include "board/geometry.h"

SoakCommand *
soak_command_new (SoakKind kind, const GArray *parts, double x, double y, const char *key)
{
  SoakCommand *self = g_new0 (SoakCommand, 1);

  *self = (SoakCommand){ kind, g_array_new (FALSE, FALSE, sizeof (guint)), x, y, g_strdup (key) };
  if (parts != NULL)
    g_array_append_vals (self->parts, parts->data, parts->len);
  return self;
}

void
soak_command_free (SoakCommand *self)
{
  g_array_unref (self->parts);
  g_free (self->key);
  g_free (self);
}

static gboolean
all_locked (const SoakCommand *self, const LwJob *job)
{
  for (guint i = 0; i < self->parts->len; i++)
    if (!((const LwPart *) g_ptr_array_index (job->parts, g_array_index (self->parts, guint, i)))->locked)
      return FALSE;
  return TRUE;
}

static LwJob *
retarget (const LwJob *job, const char *ref)
{
  const LwPlan *plan = job->plans->len == 0 ? NULL : g_ptr_array_index (job->plans, job->active_plan);

  return plan != NULL && g_str_equal (plan->ref, ref) ? NULL : lw_edit_choose_target (job, ref, NULL);
}

static LwJob *
on_part (const SoakCommand *self, const LwJob *job)
{
  guint index = g_array_index (self->parts, guint, 0), plan = job->active_plan;
  const LwPart *part = g_ptr_array_index (job->parts, index);

  switch (self->kind) {
  case SOAK_MOVE_TO:
    return lw_edit_move_part (job, index, self->x, self->y, NULL);
  case SOAK_TURN:
    return lw_edit_rotate_part (job, index, lw_angle_normalise (part->rotation_deg + self->x), NULL);
  case SOAK_FLIP:
    return lw_edit_flip_part (job, index, NULL);
  case SOAK_TARGET:
    return retarget (job, part->ref);
  case SOAK_THERMOCOUPLE:
    return lw_edit_add_thermocouple (job, plan, part->ref, part->x_mm, part->y_mm, part->side, NULL);
  case SOAK_SHIELD:
    return lw_edit_add_shield (job, plan, part->x_mm, part->y_mm, NULL);
  default:
    g_assert_not_reached ();
  }
}

static LwJob *
edited (const SoakCommand *self, const LwJob *job)
{
  switch (self->kind) {
  case SOAK_MOVE_BY:
    return lw_edit_move_parts (job, self->parts, self->x, self->y, NULL);
  case SOAK_TURN_GROUP:
    return lw_edit_turn_parts (job, self->parts, self->x, NULL);
  case SOAK_FLIP_GROUP:
    return lw_edit_flip_parts (job, self->parts, NULL);
  case SOAK_LOCK:
    return lw_edit_lock_parts (job, self->parts, !all_locked (self, job), NULL);
  case SOAK_REMOVE:
    return lw_edit_remove_parts (job, self->parts, NULL);
  case SOAK_NUMBER:
    return lw_edit_number (job, self->key, self->x, NULL);
  default:
    return on_part (self, job);
  }
}

void
soak_command_do (const SoakCommand *self, LwDocument *document)
{
  LwJob *job;

  if (self->kind == SOAK_UNDO) {
    lw_document_undo (document);
    return;
  }
  if (self->kind == SOAK_REDO) {
    lw_document_redo (document);
    return;
  }
  job = edited (self, lw_document_job (document));
  if (job != NULL)
    lw_document_edit (document, job, "again", self->key);
  if (self->kind == SOAK_MOVE_TO)
    lw_document_seal (document);
}
