/* What is read before heat: the job's facts, what to tick off, cautions; and what is written afterwards. */
#include <glib/gi18n.h>

#include "draw/sheet-inside.h"
#include "plan/bench.h"
#include "plan/ready.h"

#define SPARE_TICKS 2 /* for what only the shop knows */
#define MANY_TICKS 4  /* beyond it one spare is enough */

static void
fact (GString *text, const char *format, ...) G_GNUC_PRINTF (2, 3);

static void
fact (GString *text, const char *format, ...)
{
  g_autofree char *one = NULL;
  va_list args;

  va_start (args, format);
  one = g_strdup_vprintf (format, args);
  va_end (args);
  g_string_append_printf (text, "%s%s", text->len > 0 ? " · " : "", one);
}

static char *
facts_of (const LwBenchSheet *self)
{
  const LwPlan *plan = lw_sheet_plan (self);
  const LwPart *target = lw_sheet_target (self);
  g_autoptr (GString) text = g_string_new (NULL);

  if (target != NULL) {
    fact (text, _("Part %s"), target->ref);
    if (*target->value != '\0')
      g_string_append_printf (text, " %s", target->value);
    if (*target->package != '\0')
      fact (text, _("package %s"), target->package);
  }
  if (lw_sheet_heats (self)) {
    fact (text, _("station %s"), self->job->station->name);
    fact (text, _("nozzle %s"), plan->nozzle);
  }
  fact (text, _("alloy %s"), target != NULL && *target->alloy != '\0' ? target->alloy : self->job->alloy);
  fact (text, _("room %.0f °C"), self->job->ambient_c);
  if (*self->job->author != '\0')
    fact (text, _("planned by %s"), self->job->author);
  return g_string_free (g_steal_pointer (&text), FALSE);
}

void
lw_sheet_lay_facts (LwBenchSheet *self, LwSheetFlow *flow)
{
  g_autofree char *facts = facts_of (self);
  g_autofree char *stamp = g_strdup_printf (_("Job revision %s, dated %s."), self->revision, self->date);

  if (*self->job->title != '\0')
    lw_flow_words (flow, self->job->title, LW_SHEET_RUN_PT, TRUE);
  lw_flow_words (flow, facts, LW_SHEET_TEXT_PT, FALSE);
  if (*self->job->notes != '\0')
    lw_flow_words (flow, self->job->notes, LW_SHEET_TEXT_PT, FALSE);
  if (g_utf8_strlen (self->revision, -1) > 16 || g_utf8_strlen (self->date, -1) > 24)
    lw_flow_words (flow, stamp, LW_SHEET_TEXT_PT, FALSE); /* the header may have cut it */
}

static void
lay_ticks (LwSheetFlow *flow, const GPtrArray *findings)
{
  for (guint i = 0; findings != NULL && i < findings->len; i++) {
    const LwFinding *finding = g_ptr_array_index (findings, i);
    g_autofree char *text = g_strjoin (*finding->advice != '\0' ? " " : "", finding->text, finding->advice, NULL);

    lw_flow_tick (flow, text, LW_SHEET_TEXT_PT);
  }
}

void
lw_sheet_lay_before (LwBenchSheet *self, LwSheetFlow *flow)
{
  double from = flow->left + 20.0;

  lw_flow_heading (flow, lw_sheet_heats (self) ? _("Before heat: tick off") : _("Before the work: tick off"));
  lay_ticks (flow, self->before);
  lay_ticks (flow, self->input.readiness);
  if (lw_sheet_heats (self))
    lw_flow_tick (flow, _("Nozzle, height, preheat area, shields and thermocouples as on the map."), LW_SHEET_TEXT_PT);
  for (guint i = 0; i < (self->before->len > MANY_TICKS || self->tight ? 1 : SPARE_TICKS); i++) {
    lw_flow_tick (flow, "", LW_SHEET_TEXT_PT);
    lw_flow_rule_at (flow, flow->page, from, flow->y - 3.0, flow->right, flow->y - 3.0, 0.5);
  }
}

void
lw_sheet_lay_steps (LwBenchSheet *self, LwSheetFlow *flow)
{
  LwOperation operation = lw_sheet_plan (self)->operation;

  lw_flow_heading (flow, _("The work, step by step: tick off"));
  for (guint i = 0; lw_ready_step (operation, i) != NULL; i++)
    lw_flow_tick (flow, lw_ready_step (operation, i), LW_SHEET_RUN_PT);
}

static const char *
model_text (const LwPrediction *prediction)
{
  return prediction->full
             ? _("Predicted figures on this sheet are from the full solution.")
             : _("Predicted figures on this sheet are from the quick reduced model; the full solution was not there.");
}

void
lw_sheet_lay_cautions (LwBenchSheet *self, LwSheetFlow *flow)
{
  lw_flow_heading (flow, _("Cautions"));
  if (lw_sheet_heats (self))
    lw_flow_point (flow, "•", model_text (self->input.prediction), LW_SHEET_TEXT_PT);
  for (guint i = 0; lw_bench_caution (i) != NULL; i++)
    lw_flow_point (flow, "•", lw_bench_caution (i), LW_SHEET_TEXT_PT);
}

void
lw_sheet_lay_lots (LwBenchSheet *self, LwSheetFlow *flow)
{
  const double third = 1.0 / 3.0;
  const LwSheetField lots[]
      = { { _("Board: lot, serial number"), third }, { _("Part: lot"), third }, { _("Paste, flux: lot"), third } };

  lw_flow_gap (flow, 4.0);
  lw_flow_fields (flow, lots, G_N_ELEMENTS (lots));
}

void
lw_sheet_lay_record (LwBenchSheet *self, LwSheetFlow *flow)
{
  const LwSheetField measured[] = { { _("s above liquidus"), 0.19 },
                                    { _("fastest rise, °C/s"), 0.21 },
                                    { _("What was different from the plan"), 0.60 } };
  const LwSheetField signs[] = { { _("Run by: name, signature"), 0.38 },
                                 { _("Date, time"), 0.24 },
                                 { _("Checked by: name, signature"), 0.38 } };
  const LwSheetField seen[] = { { _("What was different from the plan"), 1.0 } };

  lw_flow_heading (flow, lw_sheet_heats (self) ? _("Measured, and signed") : _("Done, and signed"));
  if (lw_sheet_heats (self))
    lw_flow_fields (flow, measured, G_N_ELEMENTS (measured));
  else
    lw_flow_fields (flow, seen, G_N_ELEMENTS (seen));
  lw_flow_fields (flow, signs, G_N_ELEMENTS (signs));
}
