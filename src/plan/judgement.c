#include "plan/judgement.h"

#include <string.h>

#include "plan/doubt.h"
#include "plan/judge.h"

/* What was judged of one part, and by what. */
typedef struct {
  const LwPart *part;       /* NULL: not on the board any more */
  const LwPackage *package;
  guint first, n;           /* of `of_parts` */
  gboolean kept;            /* they are those of the judgement before */
} Trace;

struct _LwJudgement {
  LwJob *job; /* keeps parts and packages */
  LwPrediction *prediction;
  LwDoubt *doubt; /* when it was judged: a prediction may get another one */
  LwChances chances;
  const LwPart *target;
  const LwPackage *package; /* of the target */
  GPtrArray *findings; /* in order */
  GPtrArray *of_parts; /* those of neighbours, trace by trace; `findings` holds them */
  GPtrArray *others;   /* all the rest; likewise */
  Trace *traces;
  guint n_traces, n_kept;
};

/* ---- life ---- */

static void
judgement_clear (gpointer data)
{
  LwJudgement *self = data;

  g_ptr_array_unref (self->findings);
  g_ptr_array_unref (self->of_parts);
  g_ptr_array_unref (self->others);
  g_free (self->traces);
  lw_doubt_unref (self->doubt);
  g_clear_pointer (&self->prediction, lw_prediction_unref);
  lw_job_unref (self->job);
}

LwJudgement *
lw_judgement_ref (LwJudgement *self)
{
  return g_atomic_rc_box_acquire (self);
}

void
lw_judgement_unref (LwJudgement *self)
{
  if (self != NULL)
    g_atomic_rc_box_release_full (self, judgement_clear);
}

GPtrArray *
lw_judgement_findings (const LwJudgement *self)
{
  return self->findings;
}

guint
lw_judgement_n_kept (const LwJudgement *self)
{
  return self->n_kept;
}

/* ---- what may be kept ---- */

/* Whether figures, limits and texts of a part that is the same can have changed. */
static gboolean
same_ground (const LwJudgement *before, const LwJudge *judge)
{
  const LwJob *then = before->job, *now = judge->job;
  LwSide side_then = before->target != NULL ? before->target->side : LW_SIDE_TOP;
  LwSide side_now = judge->target != NULL ? judge->target->side : LW_SIDE_TOP;

  return before->prediction == judge->prediction && before->doubt == judge->prediction->doubt
         && before->chances.stop == judge->chances.stop && before->chances.watch == judge->chances.watch
         && then->ambient_c == now->ambient_c && strcmp (then->alloy, now->alloy) == 0
         && (before->target == NULL) == (judge->target == NULL) && side_then == side_now;
}

static gboolean
all_fine (const LwJudgement *self, const Trace *trace)
{
  for (guint i = 0; i < trace->n; i++)
    if (((const LwFinding *) g_ptr_array_index (self->of_parts, trace->first + i))->grade != LW_GRADE_FINE)
      return FALSE;
  return TRUE;
}

/* What would help a part that is not fine depends on where the target is. */
static gboolean
may_keep (const LwJudgement *before, const LwJudge *judge, guint number, const Trace *now)
{
  const Trace *then = &before->traces[number];

  return then->part == now->part && then->package == now->package
         && ((before->target == judge->target && before->package == judge->package) || all_fine (before, then));
}

/* ---- judging ---- */

/* One judgement in the making. JUDGE's array gets all findings, since some rest on others; FRESH borrows the new ones. */
typedef struct {
  LwJudgement *self;
  LwJudge judge;
  const LwJudgement *before;
  GPtrArray *fresh;
} Making;

/* What came since there were FIRST findings is new, and is one of OF. */
static void
note_fresh (Making *m, guint first, GPtrArray *of)
{
  for (guint i = first; i < m->judge.out->len; i++) {
    g_ptr_array_add (m->fresh, g_ptr_array_index (m->judge.out, i));
    g_ptr_array_add (of, g_ptr_array_index (m->judge.out, i));
  }
}

static void
keep (Making *m, guint number)
{
  const Trace *then = &m->before->traces[number];

  for (guint i = 0; i < then->n; i++) {
    LwFinding *finding = g_ptr_array_index (m->before->of_parts, then->first + i);

    g_ptr_array_add (m->judge.out, lw_finding_ref (finding));
    g_ptr_array_add (m->self->of_parts, finding);
  }
  m->self->traces[number].kept = TRUE;
  m->self->n_kept++;
}

static void
judge_anew (Making *m, guint number)
{
  guint first = m->judge.out->len;

  lw_judge_part (&m->judge, number);
  note_fresh (m, first, m->self->of_parts);
}

static void
judge_parts (Making *m)
{
  const GPtrArray *traces = m->judge.prediction->parts;
  LwJudgement *self = m->self;

  self->n_traces = traces->len;
  self->traces = g_new0 (Trace, MAX (traces->len, 1));
  for (guint i = 0; i < traces->len; i++) {
    Trace *trace = &self->traces[i];

    trace->part = lw_judge_part_of (&m->judge, g_ptr_array_index (traces, i));
    trace->package = trace->part != NULL ? lw_judge_package (&m->judge, trace->part) : NULL;
    trace->first = self->of_parts->len;
    if (m->before != NULL && may_keep (m->before, &m->judge, i, trace))
      keep (m, i);
    else
      judge_anew (m, i);
    trace->n = self->of_parts->len - trace->first;
  }
}

static void
judge_all (Making *m)
{
  guint first;

  lw_judge_before_parts (&m->judge);
  note_fresh (m, 0, m->self->others);
  if (m->judge.prediction != NULL)
    judge_parts (m);
  first = m->judge.out->len;
  lw_judge_after_parts (&m->judge);
  note_fresh (m, first, m->self->others);
  for (guint i = 0; i < m->fresh->len; i++)
    lw_judge_say_chance (g_ptr_array_index (m->fresh, i), m->judge.chances.watch);
}

/* ---- the order ---- */

/* What BEFORE has that is not kept: little, as a rule. */
static GHashTable *
gone_since (const LwJudgement *before, const LwJudgement *self)
{
  GHashTable *gone = g_hash_table_new (NULL, NULL);

  for (guint i = 0; i < before->others->len; i++)
    g_hash_table_add (gone, g_ptr_array_index (before->others, i));
  for (guint i = 0; i < self->n_traces; i++)
    for (guint k = 0; !self->traces[i].kept && k < before->traces[i].n; k++)
      g_hash_table_add (gone, g_ptr_array_index (before->of_parts, before->traces[i].first + k));
  return gone;
}

/* Before which of FINDINGS, which are in order, FINDING comes. */
static guint
place_of (const GPtrArray *findings, gconstpointer finding)
{
  guint from = 0, to = findings->len;

  while (from < to) {
    guint middle = from + (to - from) / 2;

    if (lw_findings_compare (&finding, &g_ptr_array_index (findings, middle)) < 0)
      to = middle;
    else
      from = middle + 1;
  }
  return from;
}

/* FRESH, in order, between those of BEFORE that stay, which are so already. */
static GPtrArray *
merged (const LwJudgement *before, const LwJudgement *self, const GPtrArray *fresh)
{
  g_autoptr (GHashTable) gone = gone_since (before, self);
  GPtrArray *out = g_ptr_array_new_full (before->findings->len + fresh->len, (GDestroyNotify) lw_finding_free);

  for (guint i = 0, at = 0; i < fresh->len || at < before->findings->len; i++) {
    guint to = i < fresh->len ? place_of (before->findings, g_ptr_array_index (fresh, i)) : before->findings->len;

    for (; at < to; at++)
      if (!g_hash_table_contains (gone, g_ptr_array_index (before->findings, at)))
        g_ptr_array_add (out, lw_finding_ref (g_ptr_array_index (before->findings, at)));
    if (i < fresh->len)
      g_ptr_array_add (out, lw_finding_ref (g_ptr_array_index (fresh, i)));
  }
  return out;
}

static void
note_ground (LwJudgement *self, LwJob *job, LwPrediction *prediction, const LwJudge *judge)
{
  self->job = lw_job_ref (job);
  self->chances = judge->chances;
  self->target = judge->target;
  self->package = judge->package;
  if (judge->prediction == NULL)
    return;
  self->prediction = lw_prediction_ref (prediction);
  self->doubt = prediction->doubt != NULL ? lw_doubt_ref (prediction->doubt) : NULL;
}

LwJudgement *
lw_judgement_new (LwJob *job, guint plan, LwPrediction *prediction, const LwChances *chances, const LwJudgement *before)
{
  LwJudgement *self = g_atomic_rc_box_new0 (LwJudgement);
  g_autoptr (GPtrArray) fresh = g_ptr_array_new (), all = NULL;
  Making m = { .self = self, .before = before, .fresh = fresh };
  gboolean begun = lw_judge_begin (&m.judge, job, plan, prediction);

  all = m.judge.out;
  if (chances != NULL)
    m.judge.chances = *chances;
  if (before != NULL && (m.judge.prediction == NULL || before->prediction == NULL || !same_ground (before, &m.judge)))
    m.before = NULL;
  self->of_parts = g_ptr_array_new ();
  self->others = g_ptr_array_new ();
  if (begun)
    judge_all (&m);
  g_ptr_array_sort (m.before != NULL ? fresh : all, lw_findings_compare);
  self->findings = m.before != NULL ? merged (m.before, self, fresh) : g_ptr_array_ref (all);
  note_ground (self, job, prediction, &m.judge);
  return self;
}
