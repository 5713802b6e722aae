/* Reflows: what parts and lands have seen, and what the operations add. */
#include <math.h>
#include <string.h>

#include "board/operations.h"
#include "plan/ready.h"

/* Cleaning melts what solder is left on the lands, whatever it is done with. */
guint
lw_ready_melts (const LwPlan *plan)
{
  return lw_plan_heats (plan) || plan->operation == LW_OP_CLEAN ? 1 : 0;
}

/* Of the operations of PLAN's part up to and with PLAN: all that melt, or only those that melt the part with it. */
static guint
count (const LwJob *job, guint plan, gboolean of_part, gboolean spare)
{
  const LwPlan *of = g_ptr_array_index (job->plans, plan);
  guint n = 0;

  for (guint i = 0; i <= plan; i++) {
    const LwPlan *other = g_ptr_array_index (job->plans, i);

    if (strcmp (other->ref, of->ref) != 0)
      continue;
    if (!of_part || (other->operation != LW_OP_CLEAN && lw_ready_uses_spare (job, other) == spare))
      n += lw_ready_melts (other);
  }
  return n;
}

LwReadyCycles
lw_ready_cycles (const LwJob *job, guint plan)
{
  const LwPlan *of = g_ptr_array_index (job->plans, plan);
  int at = lw_job_find_part (job, of->ref);
  LwReadyCycles out = { NAN, NAN, lw_ready_part_cycles ().hours, NAN, NAN, lw_ready_site_cycles ().hours, FALSE, FALSE, FALSE };

  if (at < 0)
    return out;
  const LwPart *part = g_ptr_array_index (job->parts, at);
  out.spare = lw_ready_uses_spare (job, of);
  out.part_used = out.spare ? part->spare.cycles_used : part->past.cycles_used;
  if (out.spare && isnan (out.part_used))
    out.part_used = 0; /* a new part, unless somebody says otherwise */
  out.part_after = out.part_used + count (job, plan, TRUE, out.spare);
  out.site_used = isnan (part->site_cycles_used) ? job->board->past.cycles_used : part->site_cycles_used;
  out.site_after = out.site_used + count (job, plan, FALSE, FALSE);
  out.part_allowed_said = !isnan (part->cycles_allowed);
  out.site_allowed_said = !isnan (job->board->past.cycles_allowed);
  if (out.part_allowed_said)
    out.part_allowed = part->cycles_allowed;
  if (out.site_allowed_said)
    out.site_allowed = job->board->past.cycles_allowed;
  return out;
}
