/* The laminate, the holder's span, and what the answer rests on that is not known. */
#include "board/apart.h"
#include "board/assume.h"
#include "plan/judge.h"

#include <glib/gi18n.h>
#include <math.h>

#include "plan/rules.h"
#include "plan/target-limits.h"

#define TD_SOURCE N_("decomposition temperature of the laminate")
#define TG_TIME_S 180.0
#define TG_SOURCE N_("common practice, no source")
#define SPAN_SOURCE N_("the holder’s own greatest unsupported span")
#define FILM_SOURCE N_("Martin, Advances in Heat Transfer 13 (1977)")
#define NAMES_SHOWN 5

static void
judge_peak (LwJudge *judge)
{
  const LwPrediction *p = judge->prediction;
  gboolean td = p->board_td_c < LW_LAMINATE_C;
  double limit = td ? p->board_td_c : LW_LAMINATE_C;
  LwWeighing w = { LW_FIGURE_BOARD_PEAK, NULL, p->board_peak_c, limit, NAN, TRUE, FALSE };
  LwGrade plain = lw_rule_upper (p->board_peak_c, limit, lw_judge_margin_k (judge, limit, NAN));
  LwFinding *finding = lw_judge_add_weighed (judge, &w, plain, "laminate-peak", "°C", td ? _(TD_SOURCE) : _(LW_LAMINATE_SOURCE));
  LwApart told = lw_apart (p->board_peak_c, limit, 0);

  lw_finding_say (
      finding,
      g_strdup_printf (
          _("The board’s hottest place, at x %.0f mm, y %.0f mm, reaches %s °C; the limit is "
             "%s °C."),
          p->board_peak_at.x_mm, p->board_peak_at.y_mm, told.value, told.limit),
      finding->grade == LW_GRADE_FINE ? "" : _("Lower the gas, or leave more of the work to the preheat."));
}

static void
judge_glass (LwJudge *judge)
{
  const LwPrediction *p = judge->prediction;
  if (isnan (p->board_above_tg_s) || isnan (p->board_tg_c))
    return;
  LwGrade grade = lw_rule_at_most_watch (lw_rule_upper (p->board_above_tg_s, TG_TIME_S, 0));
  LwFinding *finding = lw_judge_add (judge, grade, "laminate-tg", "", p->board_above_tg_s, TG_TIME_S,
                                     TRUE, "s", _(TG_SOURCE));
  lw_finding_say (
      finding,
      g_strdup_printf (_("The board spends %.0f s above its glass transition of %.0f °C at its hottest "
                          "place."),
                       p->board_above_tg_s, p->board_tg_c),
      grade == LW_GRADE_FINE
          ? ""
          : _("Preheat more gently, support the board, and let it cool in the holder."));
}

static void
judge_span (LwJudge *judge)
{
  const LwHolder *holder = &judge->job->station->holder;
  if (!holder->present || isnan (holder->span_support_mm) || judge->job->board->outline->len == 0)
    return;
  LwBox box = lw_loop_box (g_ptr_array_index (judge->job->board->outline, 0));
  /* rails hold the two long edges: what hangs free lies between them */
  double span = fmin (box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm) - 2 * holder->rail_width_mm;
  LwGrade grade = lw_rule_at_most_watch (lw_rule_upper (span, holder->span_support_mm, 0));
  LwFinding *finding = lw_judge_add (judge, grade, "holder-span", "", span, holder->span_support_mm,
                                     TRUE, "mm", _(SPAN_SOURCE));
  LwApart told = lw_apart (span, holder->span_support_mm, 0);

  lw_finding_say (
      finding,
      g_strdup_printf (_("The board spans %s mm between the rails; the holder carries %s mm "
                          "without a support."),
                       told.value, told.limit),
      grade == LW_GRADE_FINE ? "" : _("Put a support under the middle."));
}

typedef gboolean (*PartTest) (const LwJudge *judge, const LwPart *part);

static gboolean
lacks_package (const LwJudge *judge, const LwPart *part)
{
  const LwPackage *package = lw_judge_package (judge, part);

  return package == NULL || lw_package_is_assumed (package);
}

static gboolean
lacks_height (const LwJudge *judge, const LwPart *part)
{
  const LwPackage *package = lw_judge_package (judge, part);
  gboolean known = TRUE;

  if (package != NULL)
    lw_part_height_mm (part, package, &known);
  return !known;
}

/* How many placed parts pass a test, and the first few of them by name. */
static guint
list_parts (const LwJudge *judge, PartTest test, GString *names)
{
  guint n = 0;

  for (guint i = 0; i < judge->job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (judge->job->parts, i);
    if (!part->placed || !test (judge, part))
      continue;
    if (n < NAMES_SHOWN)
      g_string_append_printf (names, "%s%s", n > 0 ? ", " : "", part->ref);
    n++;
  }
  if (n > NAMES_SHOWN)
    g_string_append (names, ", …");
  return n;
}

/* One line for all parts with a default height, one for all without a package. */
static void
note_parts (LwJudge *judge)
{
  g_autoptr (GString) flat = g_string_new (NULL), bare = g_string_new (NULL);
  guint n = list_parts (judge, lacks_height, flat);

  if (n > 0)
    lw_finding_say (
        lw_judge_add (judge, LW_GRADE_WATCH, "height-unknown", "", n, NAN, TRUE, "", ""),
        g_strdup_printf (
            ngettext ("The height of %u part is not known (%s); a default for its kind is used.",
                      "The heights of %u parts are not known (%s); defaults for their kinds are used.",
                      n),
            n, flat->str),
        _("Measure the tall ones near the site and enter their heights."));
  n = list_parts (judge, lacks_package, bare);
  if (n > 0)
    lw_finding_say (
        lw_judge_add (judge, LW_GRADE_WATCH, "package-unknown", "", n, NAN, TRUE, "", ""),
        g_strdup_printf (
            ngettext ("The package of %u part is not known (%s); nothing is known of its limits.",
                      "The packages of %u parts are not known (%s); nothing is known of their limits.",
                      n),
            n, bare->str),
        _("Choose a package of the library for those near the site."));
}

static void
note_board (LwJudge *judge)
{
  if (judge->job->board->outline_assumed) {
    LwFinding *finding
        = lw_judge_add (judge, LW_GRADE_WATCH, "outline-assumed", "", NAN, NAN, TRUE, "", "");
    lw_finding_say (finding,
                    g_strdup (_("The board’s outline is a substitute for a missing or broken one.")),
                    _("Draw or import the true outline: heat spreads only where there is board."));
  }
  if (!judge->job->board->thickness_known) {
    LwFinding *finding = lw_judge_add (judge, LW_GRADE_WATCH, "thickness-assumed", "",
                                       judge->job->board->thickness_mm, NAN, TRUE, "mm", "");
    lw_finding_say (finding,
                    g_strdup_printf (_("The board’s thickness is not known; %.1f mm is used."),
                                     judge->job->board->thickness_mm),
                    _("Measure it and enter it."));
  }
}

/* The band of doubt already holds what this costs; hence no more than a line. */
static void
note_film (LwJudge *judge)
{
  const LwPrediction *p = judge->prediction;
  if (p->nozzle_in_range || isnan (p->nozzle_h_w_m2k) || judge->job->station->films.given)
    return;
  LwFinding *finding = lw_judge_add (judge, LW_GRADE_FINE, "film-range", "", p->nozzle_h_w_m2k, NAN,
                                     TRUE, "W/m²K", _(FILM_SOURCE));
  lw_finding_say (
      finding,
      g_strdup_printf (
          _("The nozzle’s film, %.0f W/m²K, lies outside the published range (Reynolds number "
             "%.0f, height ratio %.1f); the nearest valid point is used and the doubt is "
             "wider."),
          p->nozzle_h_w_m2k, p->nozzle_reynolds, p->nozzle_height_ratio),
      _("Confirm with a thermocouple on a scrap board."));
}

void
lw_judge_board (LwJudge *judge)
{
  note_board (judge);
  note_parts (judge);
  judge_span (judge);
  if (judge->prediction == NULL)
    return;
  judge_peak (judge);
  judge_glass (judge);
  note_film (judge);
}
