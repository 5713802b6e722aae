#include "plan/seek-tell.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

enum { LIMITS_TOLD = 5, HELP_TOLD = 4 };
/* A part is worth naming when the job would gain this many steps without it; the program's own choice. */
#define WORTH_STEPS 0.25
#define AT_END 5e-3 /* of a range */

char *
lw_seek_say_steps (double steps)
{
  if (steps >= 0)
    /* Translators: how far a figure is from its limit, in times of its doubt. */
    return g_strdup_printf (_("%.1f times its doubt left"), steps);
  /* Translators: how far a figure is past its limit, in times of its doubt. */
  return g_strdup_printf (_("passed by %.1f times its doubt"), -steps);
}

static void
limit_free (gpointer data)
{
  LwSeekLimit *limit = data;
  g_free (limit->kind);
  g_free (limit->ref);
  g_free (limit->unit);
  g_free (limit->text);
  g_free (limit);
}

static void
change_free (gpointer data)
{
  LwSeekChange *change = data;
  g_free (change->what);
  g_free (change->before);
  g_free (change->after);
  g_free (change);
}

/* ---- limits ---- */

static const char *
unit_of (LwFigure figure)
{
  switch (figure) {
  case LW_FIGURE_RAMP_UP:
  case LW_FIGURE_RAMP_DOWN:
  case LW_FIGURE_FASTEST_RAMP_UP:
    return "°C/s";
  case LW_FIGURE_SPREAD:
    return "K";
  case LW_FIGURE_ABOVE_LIQUIDUS:
  case LW_FIGURE_ABOVE_LIQUIDUS_HOT:
    return "s";
  default:
    return "°C";
  }
}

static const char *
ref_of (const LwTrial *trial, const LwGaugeRule *rule)
{
  const LwCase *compiled = lw_quick_case (trial->quick);
  if (rule->figure == LW_FIGURE_BOARD_PEAK)
    return "";
  return ((LwPart *) g_ptr_array_index (compiled->job->parts, compiled->body_of[rule->body].part))->ref;
}

static const char *
sentence_of (const GPtrArray *findings, const char *kind, const char *ref)
{
  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    if (strcmp (finding->kind, kind) == 0 && strcmp (finding->ref, ref) == 0)
      return finding->text;
  }
  return "";
}

static LwSeekLimit *
limit_of (const LwTrial *trial, const LwGaugeRule *rule, const GPtrArray *findings)
{
  LwSeekLimit *limit = g_new0 (LwSeekLimit, 1);
  limit->kind = g_strdup (rule->kind);
  limit->ref = g_strdup (ref_of (trial, rule));
  limit->value = lw_gauge_figure (rule, trial->figures, trial->board_peak_c);
  limit->limit = rule->limit;
  limit->unit = g_strdup (unit_of (rule->figure));
  limit->headroom = lw_gauge_headroom (rule, trial->figures, trial->board_peak_c);
  limit->steps = lw_gauge_steps (rule, trial->figures, trial->board_peak_c);
  limit->text = g_strdup (sentence_of (findings, limit->kind, limit->ref));
  return limit;
}

static int
by_steps (gconstpointer pa, gconstpointer pb)
{
  const LwSeekLimit *a = *(LwSeekLimit *const *) pa, *b = *(LwSeekLimit *const *) pb;
  return a->steps < b->steps ? -1 : a->steps > b->steps;
}

GPtrArray *
lw_seek_tell_limits (const LwTrial *trial, const GPtrArray *findings)
{
  GPtrArray *limits = g_ptr_array_new_with_free_func (limit_free);
  for (guint i = 0; i < trial->gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (trial->gauge->rules, LwGaugeRule, i);
    if (!isnan (lw_gauge_steps (rule, trial->figures, trial->board_peak_c)))
      g_ptr_array_add (limits, limit_of (trial, rule, findings));
  }
  g_ptr_array_sort (limits, by_steps);
  if (limits->len > LIMITS_TOLD)
    g_ptr_array_set_size (limits, LIMITS_TOLD);
  return limits;
}

/* ---- changes ---- */

static void
add_change (GPtrArray *changes, char *what, char *before, char *after)
{
  LwSeekChange *change = g_new (LwSeekChange, 1);
  *change = (LwSeekChange){ what, before, after };
  if (strcmp (before, after) == 0)
    change_free (change);
  else
    g_ptr_array_add (changes, change);
}

static char *
number (double value, const char *format)
{
  return isnan (value) ? g_strdup (_("off")) : g_strdup_printf (format, value);
}

static char *
area_text (const LwPlan *plan)
{
  return g_strdup_printf (_("%.0f × %.0f mm about %.0f, %.0f"), plan->preheat_length_mm, plan->preheat_width_mm,
                          plan->preheat_x_mm, plan->preheat_y_mm);
}

static char *
shields_text (const LwPlan *plan)
{
  g_autoptr (GString) names = g_string_new (NULL);
  for (guint i = 0; i < plan->shields->len; i++)
    g_string_append_printf (names, "%s%s", i > 0 ? ", " : "",
                            ((LwShield *) g_ptr_array_index (plan->shields, i))->name);
  return names->len > 0 ? g_string_free (g_steal_pointer (&names), FALSE) : g_strdup (_("none"));
}

static void
tell_stage (GPtrArray *changes, const LwStage *a, const LwStage *b)
{
  add_change (changes, g_strdup_printf (_("%s: duration"), a->name), number (a->duration_s, _("%.0f s")),
              number (b->duration_s, _("%.0f s")));
  add_change (changes, g_strdup_printf (_("%s: gas"), a->name), number (a->gas_c, _("%.0f °C")),
              number (b->gas_c, _("%.0f °C")));
  add_change (changes, g_strdup_printf (_("%s: flow"), a->name), number (a->flow_l_per_min, _("%.1f L/min")),
              number (b->flow_l_per_min, _("%.1f L/min")));
  add_change (changes, g_strdup_printf (_("%s: preheat"), a->name), number (a->preheat_c, _("%.0f °C")),
              number (b->preheat_c, _("%.0f °C")));
}

GPtrArray *
lw_seek_tell_changes (const LwPlan *a, const LwPlan *b)
{
  GPtrArray *changes = g_ptr_array_new_with_free_func (change_free);
  add_change (changes, g_strdup (_("Nozzle")), g_strdup (a->nozzle), g_strdup (b->nozzle));
  add_change (changes, g_strdup (_("Nozzle height")), number (a->nozzle_height_mm, _("%.1f mm")),
              number (b->nozzle_height_mm, _("%.1f mm")));
  add_change (changes, g_strdup (_("Preheat area")), area_text (a), area_text (b));
  add_change (changes, g_strdup (_("Shields")), shields_text (a), shields_text (b));
  for (guint i = 0; i < MIN (a->stages->len, b->stages->len); i++)
    tell_stage (changes, g_ptr_array_index (a->stages, i), g_ptr_array_index (b->stages, i));
  return changes;
}

/* ---- what would help ---- */

/* Least steps when nothing is asked of one body. */
static double
least_without (const LwTrial *trial, guint body)
{
  double least = INFINITY;
  for (guint i = 0; i < trial->gauge->rules->len; i++) {
    const LwGaugeRule *rule = &g_array_index (trial->gauge->rules, LwGaugeRule, i);
    double steps = lw_gauge_steps (rule, trial->figures, trial->board_peak_c);
    if ((rule->body != body || rule->figure == LW_FIGURE_BOARD_PEAK) && steps < least)
      least = steps;
  }
  return least;
}

static void
tell_part (GPtrArray *help, const LwTrial *trial)
{
  guint rule = G_MAXUINT;
  double least = lw_trial_least (trial, &rule);
  if (rule == G_MAXUINT)
    return;
  const LwGaugeRule *tight = &g_array_index (trial->gauge->rules, LwGaugeRule, rule);
  if (tight->figure == LW_FIGURE_BOARD_PEAK || tight->body == trial->gauge->target)
    return;
  double without = least_without (trial, tight->body);
  if (without - least > WORTH_STEPS) {
    g_autofree char *now = lw_seek_say_steps (least), *then = lw_seek_say_steps (without);
    g_ptr_array_add (help,
                     /* Translators: a part; then twice "2.1 times its doubt left" or "passed by 0.7 times its doubt". */
                     g_strdup_printf (_("With %s taken off first it would be, at the tightest limit: %s instead of %s."),
                                      ref_of (trial, tight), then, now));
  }
}

static char *
end_text (const LwSeekVariable *v, const char *stage, double value)
{
  switch (v->what) {
  case LW_VARY_GAS:
    return g_strdup_printf (_("The gas of “%s” stands at the end of the station’s range, %.0f °C."), stage, value);
  case LW_VARY_FLOW:
    return g_strdup_printf (_("The flow of “%s” stands at the end of the station’s range, %.0f L/min."), stage,
                            value);
  case LW_VARY_PREHEAT:
    return g_strdup_printf (_("The preheat of “%s” stands at the end of the station’s range, %.0f °C."), stage,
                            value);
  case LW_VARY_DURATION:
  default:
    return g_strdup_printf (_("“%s” stands at the longest the search allows, %.0f s."), stage, value);
  }
}

static void
tell_ends (GPtrArray *help, const LwTrial *trial, const double *shares)
{
  for (guint i = 0; i < lw_seek_space_n (trial->space) && help->len < HELP_TOLD; i++) {
    const LwSeekVariable *v = &g_array_index (trial->space->variables, LwSeekVariable, i);
    const LwStage *stage = g_ptr_array_index (trial->plan->stages, v->stage);
    gboolean low = shares[i] < AT_END && v->what != LW_VARY_DURATION;
    if (low || shares[i] > 1 - AT_END)
      g_ptr_array_add (help, end_text (v, stage->name, low ? v->low : v->high));
  }
}

GPtrArray *
lw_seek_tell_help (const LwTrial *trial, const double *shares)
{
  GPtrArray *help = g_ptr_array_new_with_free_func (g_free);
  tell_part (help, trial);
  tell_ends (help, trial, shares);
  return help;
}
