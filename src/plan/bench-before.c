/* What is to be done or measured before heat. */
#include <glib/gi18n.h>
#include <math.h>

#include "plan/bench.h"
#include "plan/ready.h"

#define NAMES_MOST 12 /* listed by name; the rest is counted */

static void
add (GPtrArray *out, LwGrade grade, const char *kind, const char *ref, char *text)
{
  LwFinding *finding = g_new0 (LwFinding, 1);

  *finding = (LwFinding){ .grade = grade, .kind = g_strdup (kind), .ref = g_strdup (ref), .value = NAN, .limit = NAN,
                          .unit = g_strdup (""), .headroom = NAN, .doubt = NAN, .low = NAN, .high = NAN, .chance = NAN,
                          .body = -1, .figure = -1, .moment_s = NAN,
                          .source = g_strdup (_("common practice, no source")), .text = text, .advice = g_strdup ("") };
  g_ptr_array_add (out, finding);
}

/* On paper there is room for what is to be done, or for what is wrong, not for both. */
static const char *
tick_text (const LwFinding *finding)
{
  static const char *const to_do[] = { "readiness-board-bake", "readiness-board-moisture", "readiness-seal",
                                       "readiness-floor-life", "readiness-support", NULL };

  return g_strv_contains (to_do, finding->kind) && *finding->advice != '\0' ? finding->advice : finding->text;
}

/* All that ask for a bake in one line, with the longest bake. */
static void
add_bake (GPtrArray *out, const LwJob *job, guint plan, const GPtrArray *findings)
{
  g_autoptr (GString) names = g_string_new (NULL);
  LwReadyBake bake = lw_ready_longest_bake (job, plan, findings);
  LwGrade worst = LW_GRADE_FINE;

  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (!g_str_equal (finding->kind, "readiness-bake") || finding->grade == LW_GRADE_FINE
        || lw_ready_bake_wanted (job, plan, finding).hours == 0)
      continue;
    g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", finding->ref);
    worst = MIN (worst, finding->grade);
  }
  if (names->len > 0)
    add (out, worst, "readiness-bake", "",
         bake.hours > 0 ? g_strdup_printf (_("Bake dry, as floor life is passed: %s. %.0f h at %.0f °C (%s)."), names->str,
                                           bake.hours, bake.c, bake.source)
                        : g_strdup_printf (_("Bake dry, as floor life is passed: %s. How long, its maker says."), names->str));
}

/* What the findings of readiness ask for; the schedule is no box to tick. */
static void
add_readiness (GPtrArray *out, const LwJob *job, guint plan, const GPtrArray *findings)
{
  add_bake (out, job, plan, findings);
  for (guint i = 0; i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);

    if (!lw_ready_is_finding (finding) || finding->grade == LW_GRADE_FINE || g_str_equal (finding->kind, "readiness-bake"))
      continue;
    add (out, finding->grade, finding->kind, finding->ref, g_strdup (tick_text (finding)));
    LwFinding *added = g_ptr_array_index (out, out->len - 1);
    g_free (added->source);
    added->source = g_strdup (finding->source);
  }
}

static void
add_heights (GPtrArray *out, const LwJob *job, const LwPlan *plan)
{
  g_autoptr (GString) names = g_string_new (NULL);
  guint near = 0, far = 0;

  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);
    const LwPackage *package = lw_job_package_of (job, part);
    gboolean known = TRUE;

    if (part->placed)
      lw_part_height_mm (part, package, &known);
    if (known)
      continue;
    if (!lw_bench_is_near (job, plan, (LwPoint){ part->x_mm, part->y_mm })) {
      far++;
    } else if (near++ < NAMES_MOST) {
      g_string_append_printf (names, "%s%s", names->len > 0 ? ", " : "", part->ref);
    }
  }
  if (near > NAMES_MOST)
    /* Translators: after a list of names: how many more there are. */
    g_string_append_printf (names, ngettext (" and %u more", " and %u more", near - NAMES_MOST), near - NAMES_MOST);
  if (near > 0)
    add (out, LW_GRADE_WATCH, "height-unknown", "",
         g_strdup_printf (_("Measure the heights near the nozzle that nobody knows: %s."), names->str));
  if (far > 0)
    add (out, LW_GRADE_WATCH, "height-unknown", "",
         g_strdup_printf (ngettext ("%u part farther off has no known height: look that nothing stands in the way.",
                                    "%u parts farther off have no known height: look that nothing stands in the way.",
                                    far),
                          far));
}

GPtrArray *
lw_bench_before (const LwJob *job, guint plan, const GPtrArray *findings)
{
  GPtrArray *out = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_finding_free);
  const LwPlan *of = g_ptr_array_index (job->plans, plan);

  g_autoptr (GPtrArray) own = findings == NULL ? lw_judge (job, plan, NULL) : NULL;

  add_readiness (out, job, plan, findings != NULL ? findings : own);
  add_heights (out, job, of);
  if (job->board->outline_assumed)
    add (out, LW_GRADE_WATCH, "outline-assumed", "",
         g_strdup (_("Measure the board: its outline was not in the file, and a box stands in for it.")));
  if (!job->board->thickness_known)
    add (out, LW_GRADE_WATCH, "thickness-unknown", "",
         g_strdup_printf (_("Measure the board’s thickness: %.2f mm is assumed."), job->board->thickness_mm));
  return out;
}
