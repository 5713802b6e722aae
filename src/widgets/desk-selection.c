/* What of the job is selected: a thing for the inspector, and beside it one part or several, and a stage. */
#include "widgets/desk-private.h"

static guint
count_of (LwDesk *self, LwThing thing)
{
  const LwPlan *plan = lw_desk_active_plan (self);

  if (plan == NULL)
    return 0;
  if (thing == LW_THING_STAGE)
    return plan->stages->len;
  return thing == LW_THING_SHIELD ? plan->shields->len : plan->thermocouples->len;
}

static void
set_part (LwDesk *self, int part)
{
  const LwJob *job = lw_desk_job (self);

  if (job == NULL || part >= (int) job->parts->len)
    part = -1;
  g_clear_pointer (&self->part_ref, g_free);
  if (part >= 0)
    self->part_ref = g_strdup (((const LwPart *) g_ptr_array_index (job->parts, part))->ref);
  if (part == self->selected_part)
    return;
  self->selected_part = part;
  lw_desk_notify (self, LW_DESK_PROP_SELECTED_PART);
}

static void
set_stage (LwDesk *self, int stage)
{
  if (stage >= (int) count_of (self, LW_THING_STAGE))
    stage = -1;
  if (stage == self->selected_stage)
    return;
  self->selected_stage = stage;
  lw_desk_notify (self, LW_DESK_PROP_SELECTED_STAGE);
}

/* PART, one of the group, is now the selected one. */
static void
lead_with (LwDesk *self, int part, LwThing thing)
{
  gboolean other = self->selection != thing || self->selected_other != part;

  self->selection = thing;
  self->selected_other = part;
  set_part (self, part);
  if (other)
    lw_desk_notify (self, LW_DESK_PROP_SELECTION);
}

static void
set_group (LwDesk *self, const guint *parts, guint n)
{
  if (lw_desk_group_set (&self->group, lw_desk_job (self), parts, n))
    lw_desk_emit (self, LW_DESK_GROUP_CHANGED);
}

/* Keeps the selection on the same part after parts came or went, and off stages that are gone. */
void
lw_desk_mend_selection (LwDesk *self)
{
  const LwJob *job = lw_desk_job (self);
  int part = job == NULL || self->part_ref == NULL ? -1 : lw_job_find_part (job, self->part_ref);
  gboolean others = lw_desk_group_mend (&self->group, job);

  if (part < 0 && self->selected_part >= 0 && self->group.indices->len > 0)
    part = (int) g_array_index (self->group.indices, guint, 0);
  if (self->selected_part >= 0 && part != self->selected_part) {
    if (part < 0)
      lw_desk_select (self, LW_THING_BOARD, -1);
    else
      lead_with (self, part, self->selection == LW_THING_STAGE ? LW_THING_STAGE : LW_THING_PART);
  }
  if (others)
    lw_desk_emit (self, LW_DESK_GROUP_CHANGED);
  if (self->selected_stage >= (int) count_of (self, LW_THING_STAGE))
    lw_desk_select (self, LW_THING_BOARD, -1);
  if ((self->selection == LW_THING_SHIELD || self->selection == LW_THING_THERMOCOUPLE)
      && self->selected_other >= (int) count_of (self, self->selection))
    lw_desk_select (self, LW_THING_BOARD, -1);
}

/* A thing that comes in numbers is one of those there are: a menu may offer the first stage of a plan that has none. */
static gboolean
is_there (LwDesk *self, LwThing thing, int index)
{
  const LwJob *job = lw_desk_job (self);

  switch (thing) {
  case LW_THING_PART:
    return index >= 0 && job != NULL && index < (int) job->parts->len;
  case LW_THING_STAGE:
  case LW_THING_SHIELD:
  case LW_THING_THERMOCOUPLE:
    return index >= 0 && index < (int) count_of (self, thing);
  default:
    return TRUE;
  }
}

/* A stage is chosen beside a part: its plot shows both. */
void
lw_desk_select (LwDesk *self, LwThing thing, int index)
{
  LwThing before = self->selection;
  int other_before = self->selected_other;

  g_return_if_fail (LW_IS_DESK (self));

  if (!is_there (self, thing, index)) {
    thing = LW_THING_BOARD;
    index = -1;
  }
  self->selection = thing;
  self->selected_other = index;
  if (thing == LW_THING_PART) {
    set_part (self, index);
    set_group (self, &(guint){ (guint) index }, 1);
  }
  else if (thing != LW_THING_STAGE) {
    set_part (self, -1);
    set_group (self, NULL, 0);
  }
  set_stage (self, thing == LW_THING_STAGE ? index : -1);
  if (before != self->selection || other_before != self->selected_other)
    lw_desk_notify (self, LW_DESK_PROP_SELECTION);
}

LwThing
lw_desk_selection (LwDesk *self, int *index)
{
  g_return_val_if_fail (LW_IS_DESK (self), LW_THING_BOARD);

  if (index != NULL)
    *index = self->selection == LW_THING_PART    ? self->selected_part
             : self->selection == LW_THING_STAGE ? self->selected_stage
                                                 : self->selected_other;
  return self->selection;
}

int
lw_desk_selected_part (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), -1);
  return self->selected_part;
}

void
lw_desk_select_part (LwDesk *self, int part)
{
  lw_desk_select (self, LW_THING_PART, part);
}

const GArray *
lw_desk_selected_parts (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), NULL);
  return self->group.indices;
}

gboolean
lw_desk_has_selected (LwDesk *self, int part)
{
  g_return_val_if_fail (LW_IS_DESK (self), FALSE);
  return lw_desk_group_has (&self->group, part);
}

void
lw_desk_select_parts (LwDesk *self, const GArray *parts, int lead)
{
  g_return_if_fail (LW_IS_DESK (self));

  if (parts->len == 0) {
    lw_desk_select (self, LW_THING_BOARD, -1);
    return;
  }
  set_stage (self, -1);
  set_group (self, (const guint *) parts->data, parts->len);
  if (self->group.indices->len == 0)
    lw_desk_select (self, LW_THING_BOARD, -1);
  else
    lead_with (self,
               lw_desk_group_has (&self->group, lead) ? lead : (int) g_array_index (self->group.indices, guint, 0),
               LW_THING_PART);
}

void
lw_desk_toggle_part (LwDesk *self, int part)
{
  g_autoptr (GArray) next = NULL;

  g_return_if_fail (LW_IS_DESK (self));
  next = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < self->group.indices->len; i++) {
    guint index = g_array_index (self->group.indices, guint, i);

    if ((int) index != part)
      g_array_append_val (next, index);
  }
  if (!lw_desk_group_has (&self->group, part) && part >= 0) {
    guint index = (guint) part;

    g_array_append_val (next, index);
    lw_desk_select_parts (self, next, part);
  }
  else
    lw_desk_select_parts (self, next, self->selected_part);
}

int
lw_desk_selected_stage (LwDesk *self)
{
  g_return_val_if_fail (LW_IS_DESK (self), -1);
  return self->selected_stage;
}

void
lw_desk_select_stage (LwDesk *self, int stage)
{
  lw_desk_select (self, LW_THING_STAGE, stage);
}
