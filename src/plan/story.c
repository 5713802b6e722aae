#include "plan/story.h"

#include <glib/gi18n.h>
#include <math.h>

/* A lag worth telling, and how much a neighbour must go on warming to be told: the program's own choice. */
#define LAG_K 12.0
#define AFTER_K 1.5
/* Passages shorter than this are not told: nobody could read them. */
#define LEAST_S 2.0

typedef struct {
  const LwJob *job;
  const LwPrediction *p;
  const LwPartTrace *target;
  gboolean lifts;                               /* remove, else the part stays */
  double gas_on_s, melt_s, liquid_s, gas_off_s; /* INFINITY where it never comes */
  double lag_k, lag_s;                          /* largest before anything melts */
  const LwPartTrace *late;                      /* the neighbour that warms most after the gas is off, or NULL */
  double late_from_c, late_to_c, late_s;
} Facts;

static void
passage_free (gpointer data)
{
  LwPassage *self = data;

  g_free (self->title);
  g_free (self->text);
  g_free (self);
}

/* ---- facts ---- */

static gboolean
gas_asked (const LwPrediction *p, guint i)
{
  const double *gas = p->gas_set_c != NULL ? p->gas_set_c : p->gas_c;

  return gas != NULL && isfinite (gas[i]);
}

static void
find_gas (Facts *f)
{
  f->gas_on_s = f->gas_off_s = INFINITY;
  for (guint i = 0; i < f->p->n_times; i++)
    if (gas_asked (f->p, i)) {
      f->gas_on_s = fmin (f->gas_on_s, f->p->t_s[i]);
      f->gas_off_s = i + 1 < f->p->n_times ? f->p->t_s[i + 1] : f->p->t_s[i];
    }
}

static double
first_at (const LwPrediction *p, const double *series, double level)
{
  for (guint i = 0; i < p->n_times; i++)
    if (series[i] >= level)
      return p->t_s[i];
  return INFINITY;
}

static void
find_melting (Facts *f)
{
  double liquidus = f->target->joint_liquidus_c;

  f->melt_s = first_at (f->p, f->target->joint_max, liquidus);
  f->liquid_s = first_at (f->p, f->target->joint_min, liquidus);
  for (guint i = 0; i < f->p->n_times && f->p->t_s[i] < f->melt_s; i++) {
    double lag = f->target->body_top != NULL ? f->target->body_top[i] - f->target->joint_min[i] : 0.0;

    if (f->p->t_s[i] >= f->gas_on_s && lag > f->lag_k) {
      f->lag_k = lag;
      f->lag_s = f->p->t_s[i];
    }
  }
}

static void
find_late (Facts *f)
{
  double most = AFTER_K;

  for (guint i = 0; i < f->p->parts->len && isfinite (f->gas_off_s); i++) {
    const LwPartTrace *trace = g_ptr_array_index (f->p->parts, i);
    const double *series = trace->joint_max != NULL ? trace->joint_max : trace->body_top;
    double at_off, peak, peak_s;

    if (series == NULL || trace == f->target)
      continue;
    at_off = lw_prediction_at (f->p, series, f->gas_off_s);
    peak = trace->joint_max != NULL ? trace->joint_peak_c : trace->body_peak_c;
    peak_s = trace->joint_max != NULL ? trace->joint_peak_s : trace->body_peak_s;
    if (peak_s > f->gas_off_s && peak - at_off > most) {
      most = peak - at_off;
      f->late = trace;
      f->late_from_c = at_off;
      f->late_to_c = peak;
      f->late_s = peak_s;
    }
  }
}

/* ---- words ---- */

static void
add (GPtrArray *story, LwPassageKind kind, double from_s, double to_s, const char *title, char *text)
{
  LwPassage *last = story->len > 0 ? g_ptr_array_index (story, story->len - 1) : NULL;
  LwPassage *passage;

  if (!(to_s - from_s >= LEAST_S)) {
    if (last != NULL && to_s > last->to_s)
      last->to_s = to_s; /* no gap */
    g_free (text);
    return;
  }
  passage = g_new (LwPassage, 1);
  *passage = (LwPassage){ kind, last != NULL ? last->to_s : from_s, to_s, g_strdup (title), text };
  g_ptr_array_add (story, passage);
}

static void
add_preheat (GPtrArray *story, const Facts *f)
{
  double to = fmin (f->gas_on_s, f->p->t_s[f->p->n_times - 1]);

  add (story, LW_PASSAGE_PREHEAT, 0.0, to, _("Warming the whole board"),
       g_strdup_printf (_("The preheater brings the board up slowly from below: the joints of %s reach %.0f °C before the gas "
                          "comes on. A warm board bends less, asks less of the gas, and spares laminate and ceramics a "
                          "sudden rise."),
                        f->target->ref, lw_prediction_at (f->p, f->target->joint_mean, to)));
}

/* The gas until something melts; from the largest lag's rise on the lag is the matter. */
static void
add_gas (GPtrArray *story, const Facts *f, double end)
{
  double to = fmin (fmin (f->melt_s, f->gas_off_s), end), lag_from = to;

  for (guint i = 0; i < f->p->n_times && f->lag_k >= LAG_K; i++)
    if (f->p->t_s[i] >= f->gas_on_s && f->target->body_top[i] - f->target->joint_min[i] >= 0.5 * f->lag_k) {
      lag_from = fmin (f->p->t_s[i], to);
      break;
    }
  add (story, LW_PASSAGE_GAS, f->gas_on_s, lag_from, _("Gas from above"),
       g_strdup_printf (_("Hot gas now meets the top of %s. What it does not give up there runs off along the board: that "
                          "spill is what the nearest neighbours feel."),
                        f->target->ref));
  add (story, LW_PASSAGE_LAG, lag_from, to, _("The joints lag the body"),
       g_strdup_printf (_("Heat goes in at the top and has to pass through the body to reach the joints, while the board "
                          "draws it away: the coldest joint is up to %.0f K behind the top. The top can be too hot before "
                          "the joints are hot enough, so the last step is never rushed."),
                        f->lag_k));
}

static void
add_melting (GPtrArray *story, const Facts *f, double end)
{
  double to = fmin (fmin (f->liquid_s, f->gas_off_s), end);

  add (story, LW_PASSAGE_MELTING, f->melt_s, to, _("The plateau: joints melt"),
       g_strdup_printf (_("At %.0f °C the solder takes up heat without growing warmer. The outer and the inner joints do not "
                          "get there together; the curve of the coldest bends flat until it is through. A part pulled now "
                          "takes pads with it."),
                        f->target->joint_liquidus_c));
  add (story, LW_PASSAGE_LIQUID, f->liquid_s, fmin (f->gas_off_s, end),
       f->lifts ? _("Every joint is liquid: lift now") : _("Every joint is liquid: the part settles"),
       f->lifts
         ? g_strdup (_("The coldest joint has passed the liquidus as well. The part comes off straight up and without "
                       "force; every further second only warms the neighbours."))
         : g_strdup (_("The coldest joint has passed the liquidus as well. Surface tension centres the part; nothing may "
                       "touch it until the joints are solid again.")));
}

static void
add_cooling (GPtrArray *story, const Facts *f, double end)
{
  double late_to = f->late != NULL ? fmin (f->late_s, end) : f->gas_off_s;

  if (f->late != NULL)
    add (story, LW_PASSAGE_NEIGHBOUR, f->gas_off_s, late_to, _("The gas is off, a neighbour still warms"),
         g_strdup_printf (_("Heat that is already in the board goes on spreading: %s rises from %.0f °C to %.0f °C after the "
                            "gas has stopped. Its highest temperature comes late, and a thermocouple on it is read to the "
                            "end."),
                          f->late->ref, f->late_from_c, f->late_to_c));
  if (isfinite (f->liquid_s))
    add (story, LW_PASSAGE_COOLING, late_to, end, _("Cooling"),
         g_strdup (_("The board gives its heat to the room. It is left alone: a draught or a cold tool now makes cracks, and "
                     "everything is still hot enough to burn.")));
  else
    add (story, LW_PASSAGE_COLD, late_to, end, _("Not every joint was liquid"),
         g_strdup_printf (_("The coldest joint stayed below %.0f °C. With this plan the part must not be pulled: more preheat "
                            "or more time is needed."),
                          f->target->joint_liquidus_c));
}

GPtrArray *
lw_story_new (const LwJob *job, const LwPrediction *prediction)
{
  GPtrArray *story = g_ptr_array_new_with_free_func (passage_free);
  Facts f = { .job = job, .p = prediction };
  double end;

  if (prediction->target < 0 || prediction->n_times < 2 || prediction->plan >= job->plans->len)
    return story;
  f.target = g_ptr_array_index (prediction->parts, prediction->target);
  if (f.target->joint_min == NULL || f.target->joint_mean == NULL || f.target->body_top == NULL)
    return story;
  f.lifts = ((const LwPlan *) g_ptr_array_index (job->plans, prediction->plan))->operation == LW_OP_REMOVE;
  end = prediction->t_s[prediction->n_times - 1];
  find_gas (&f);
  find_melting (&f);
  find_late (&f);
  add_preheat (story, &f);
  if (isfinite (f.gas_on_s)) {
    add_gas (story, &f, end);
    if (isfinite (f.melt_s))
      add_melting (story, &f, end);
    add_cooling (story, &f, end);
  }
  return story;
}

const LwPassage *
lw_story_at (const GPtrArray *story, double t_s)
{
  for (guint i = 0; i < story->len; i++)
    if (t_s < ((const LwPassage *) g_ptr_array_index (story, i))->to_s || i + 1 == story->len)
      return g_ptr_array_index (story, i);
  return NULL;
}
