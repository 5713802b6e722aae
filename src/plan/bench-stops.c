/* When the operator is to act: limits of the findings brought to the thermocouples that are there. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "board/apart.h"
#include "plan/bench.h"
#include "plan/gauge.h"
#include "plan/unsure.h"

#define RAMP_WINDOW_S 5.0
/* Longest that a heating stage is drawn out while the joints are waited for; the program's own choice, no source. */
#define WAIT_MOST_S 20.0

typedef struct {
  const LwJob *job;
  const LwPlan *plan;
  const LwPrediction *prediction;
  const GPtrArray *findings;
  const LwBenchReadings *readings;
  GPtrArray *before; /* LwFinding */
  GPtrArray *out;
} Stops;

/* A limit as a thermocouple would show it. */
typedef struct {
  const LwFinding *finding; /* NULL = none */
  double level_c, highest_c;
  gboolean direct;
} Level;

static void
stop_free (gpointer data)
{
  LwBenchStop *stop = data;

  g_free (stop->ref);
  g_free (stop->text);
  g_free (stop);
}

static void
add (Stops *s, int thermocouple, double level_c, const char *ref, LwGrade grade, char *text)
{
  LwBenchStop *stop = g_new (LwBenchStop, 1);

  *stop = (LwBenchStop){ thermocouple, level_c, g_strdup (ref), grade, text };
  g_ptr_array_add (s->out, stop);
}

static const LwThermocouple *
couple_at (const Stops *s, guint index)
{
  return g_ptr_array_index (s->plan->thermocouples, index);
}

/* "T2 (beside the site)" */
static char *
name_of (const Stops *s, guint index)
{
  const LwThermocouple *couple = couple_at (s, index);

  return *couple->name != '\0' ? g_strdup_printf ("T%u (%s)", index + 1, couple->name)
                               : g_strdup_printf ("T%u", index + 1);
}

static const LwFinding *
finding_of_kind (const Stops *s, const char *kind)
{
  for (guint i = 0; i < s->findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (s->findings, i);

    if (g_str_equal (finding->kind, kind))
      return finding;
  }
  return NULL;
}

/* ---- limits from above ---- */

/* Cautions and alarms stop nothing. */
static gboolean
is_soft (const LwFinding *finding)
{
  return g_str_has_suffix (finding->kind, "-caution")
         || (finding->grade != LW_GRADE_STOP
             && (g_str_equal (finding->kind, "joint-center") || g_str_equal (finding->kind, "joint-corner")));
}

static gboolean
is_hot_limit (const LwFinding *finding)
{
  return !is_soft (finding) && g_str_equal (finding->unit, "°C") && finding->upper && isfinite (finding->limit)
         && isfinite (finding->value) && finding->body >= 0;
}

static gboolean
is_of_body (const LwFinding *finding)
{
  return strstr (finding->kind, "body") != NULL;
}

static gboolean
part_place (const LwJob *job, const char *ref, LwPoint *at)
{
  int index = lw_job_find_part (job, ref);
  const LwPart *part = index < 0 ? NULL : g_ptr_array_index (job->parts, index);
  const LwPackage *package = part != NULL ? lw_job_package_of (job, part) : NULL;

  if (part == NULL)
    return FALSE;
  *at = package != NULL ? lw_part_body_center (part, package) : (LwPoint){ part->x_mm, part->y_mm };
  return TRUE;
}

/* What is to be taken off (or shielded) before heat, by the list that stands on the same sheet. */
static gboolean
comes_off (const Stops *s, const char *ref)
{
  for (guint i = 0; i < s->before->len; i++) {
    const LwFinding *entry = g_ptr_array_index (s->before, i);

    if (g_str_equal (entry->kind, "readiness-take-off") && g_str_equal (entry->ref, ref))
      return TRUE;
  }
  return FALSE;
}

/* A board's thermocouple speaks for what the same heater decides: near the nozzle, or far from it. */
static gboolean
speaks_for (const Stops *s, const LwThermocouple *couple, const LwFinding *finding)
{
  LwPoint at;
  gboolean near = lw_bench_is_near (s->job, s->plan, (LwPoint){ couple->x_mm, couple->y_mm });

  if (*finding->ref == '\0')
    return TRUE;
  if (!part_place (s->job, finding->ref, &at) || comes_off (s, finding->ref))
    return FALSE;
  return lw_bench_is_near (s->job, s->plan, at) == near;
}

static double
scaled (const Stops *s, double shown_c, const LwFinding *finding)
{
  double room = s->job->ambient_c;

  return room + (shown_c - room) * (finding->limit - room) / fmax (finding->value - room, 1.0);
}

static void
consider (const Stops *s, const LwThermocouple *couple, const LwFinding *finding, Level *best)
{
  LwTouch touch = lw_bench_touch (s->job, couple);
  gboolean own = touch != LW_TOUCH_BOARD && g_str_equal (finding->ref, couple->ref)
                 && is_of_body (finding) == (touch == LW_TOUCH_BODY);
  double level;

  if (!is_hot_limit (finding) || (best->direct && !own) || (!own && !speaks_for (s, couple, finding)))
    return;
  level = own ? finding->limit : scaled (s, best->highest_c, finding);
  if (best->finding != NULL && own == best->direct && level >= best->level_c)
    return;
  *best = (Level){ finding, level, best->highest_c, own };
}

static const char *
action_for (const Stops *s, const LwThermocouple *couple, const LwFinding *finding)
{
  LwPoint at = { couple->x_mm, couple->y_mm };

  if (*finding->ref != '\0')
    part_place (s->job, finding->ref, &at);
  if (g_str_equal (finding->ref, s->plan->ref))
    return _("raise the nozzle and end the heating");
  return lw_bench_is_near (s->job, s->plan, at) ? _("raise the nozzle and lower the gas") : _("lower the preheater");
}

static void
add_hot (Stops *s, guint index)
{
  const LwThermocouple *couple = couple_at (s, index);
  Level best = { NULL, NAN, lw_bench_readings_highest (s->readings, index), FALSE };
  g_autofree char *name = name_of (s, index);

  if (isnan (best.highest_c))
    return;
  if (lw_bench_touch (s->job, couple) != LW_TOUCH_BOARD && comes_off (s, couple->ref)) {
    add (s, (int) index, NAN, couple->ref, LW_GRADE_WATCH,
         g_strdup_printf (_("%s sits on %s: where that comes off before heat, fix it to the board in its place."), name,
                          couple->ref));
    return;
  }
  for (guint i = 0; i < s->findings->len; i++)
    consider (s, couple, g_ptr_array_index (s->findings, i), &best);
  if (best.finding == NULL)
    return;
  double level = floor (best.level_c - lw_unsure_thermocouple_k (best.level_c));
  const char *what = *best.finding->ref != '\0' ? best.finding->ref : _("the board");
  gboolean passed = best.highest_c >= level;
  /* Translators: thermocouple, temperature, what to do, part, its limit, what the plan predicts. */
  const char *format = passed
      ? _("If %s passes %.0f °C, %s: %s then comes to its limit of %.0f °C. By plan it already gets to "
          "%.0f °C.")
      : _("If %s passes %.0f °C, %s: %s then comes to its limit of %.0f °C. By plan it stays below %.0f °C.");
  add (s, (int) index, level, best.finding->ref, passed ? LW_GRADE_STOP : LW_GRADE_FINE,
       g_strdup_printf (format, name, level, action_for (s, couple, best.finding), what, best.finding->limit,
                        passed ? best.highest_c : ceil (best.highest_c)));
}

/* ---- the target ---- */

/* The thermocouple that tells most about the target's joints: on them, else nearest of those near; -1 = none. */
static int
witness (const Stops *s)
{
  int best = -1;

  for (guint i = 0; i < s->plan->thermocouples->len; i++) {
    const LwThermocouple *couple = couple_at (s, i);
    LwTouch touch = lw_bench_touch (s->job, couple);

    if (touch == LW_TOUCH_JOINTS && g_str_equal (couple->ref, s->plan->ref))
      return (int) i;
    if (best < 0 && touch == LW_TOUCH_BOARD
        && lw_bench_is_near (s->job, s->plan, (LwPoint){ couple->x_mm, couple->y_mm }))
      best = (int) i;
  }
  return best;
}

/* Seconds the heating may be drawn out for: what the time above liquidus leaves. */
static double
wait_s (const Stops *s)
{
  const LwFinding *longest = finding_of_kind (s, "target-long");

  return longest == NULL || isnan (longest->headroom) ? 0 : floor (CLAMP (longest->headroom, 0, WAIT_MOST_S));
}

static void
add_lift (Stops *s)
{
  const LwFinding *liquid = finding_of_kind (s, "target-liquid");
  int index = witness (s);
  double wait = wait_s (s), end = lw_plan_heating_end_s (s->plan);
  gboolean place = s->plan->operation == LW_OP_PLACE;

  if (liquid == NULL && !isnan (end))
    add (s, -1, NAN, s->plan->ref, LW_GRADE_WATCH,
         g_strdup_printf (_("The joints of %s are not known: nothing here says when they are liquid. Never use force."),
                          s->plan->ref));
  if (liquid == NULL || isnan (end))
    return;
  if (index < 0) {
    add (s, -1, NAN, s->plan->ref, liquid->grade == LW_GRADE_STOP ? LW_GRADE_STOP : LW_GRADE_FINE,
         g_strdup_printf (place ? _("No thermocouple tells about the joints of %s: do not end the heating before "
                                    "%.0f s, and look at the joints through a lens.")
                                : _("No thermocouple tells about the joints of %s: do not lift before %.0f s, and "
                                    "never with force."),
                          s->plan->ref, end));
    return;
  }
  double shown = lw_bench_readings_at (s->readings, (guint) index, liquid->moment_s);
  double level = scaled (s, shown, liquid);
  g_autofree char *name = name_of (s, (guint) index);
  if (isnan (level))
    return;
  level = ceil (level + lw_unsure_thermocouple_k (level));
  add (s, index, level, s->plan->ref, shown < level ? LW_GRADE_WATCH : LW_GRADE_FINE,
       g_strdup_printf (place ? _("Do not end the heating before %s shows %.0f °C (plan: %.0f °C at %.0f s). If it does "
                                  "not within %.0f s after that: gas off, and look for the cause.")
                              : _("Do not lift before %s shows %.0f °C (plan: %.0f °C at %.0f s), and never with force. "
                                  "If it does not within %.0f s after that: gas off, and look for the cause."),
                        name, level, shown, liquid->moment_s, wait));
}

static void
add_times (Stops *s)
{
  const LwFinding *longest = finding_of_kind (s, "target-long"), *ramp = finding_of_kind (s, "target-ramp");

  if (longest != NULL && s->prediction->target >= 0) {
    const LwPartTrace *trace = g_ptr_array_index (s->prediction->parts, s->prediction->target);
    LwApart told = lw_apart (longest->value, longest->limit, 0);

    add (s, -1, trace->joint_liquidus_c, s->plan->ref, longest->grade == LW_GRADE_STOP ? LW_GRADE_STOP : LW_GRADE_FINE,
         g_strdup_printf (_("Let the joints of %s be liquid (above %.0f °C) for %s s at most; the plan takes %s s."),
                          s->plan->ref, trace->joint_liquidus_c, told.limit, told.value));
  }
  if (ramp != NULL)
    add (s, -1, NAN, s->plan->ref, ramp->grade == LW_GRADE_STOP ? LW_GRADE_STOP : LW_GRADE_FINE,
         g_strdup_printf (_("If a thermocouple rises by more than %.0f °C in %.0f s (%.1f °C/s), lower the gas."),
                          floor (RAMP_WINDOW_S * ramp->limit), RAMP_WINDOW_S, ramp->limit));
}

GPtrArray *
lw_bench_stops (const LwJob *job, guint plan, const LwPrediction *prediction, const GPtrArray *findings,
                const LwBenchReadings *readings)
{
  Stops s = { job, g_ptr_array_index (job->plans, plan), prediction, findings, readings,
              lw_bench_before (job, plan, findings), g_ptr_array_new_with_free_func (stop_free) };

  for (guint i = 0; i < s.plan->thermocouples->len; i++)
    add_hot (&s, i);
  add_lift (&s);
  add_times (&s);
  /* Common practice, no source. */
  add (&s, -1, NAN, "", LW_GRADE_FINE,
       g_strdup (_("If anything smokes, swells, smells burnt or moves that should not: gas and preheater off.")));
  g_ptr_array_unref (s.before);
  return s.out;
}
