/* The inspector's pages of the board and the station. */
#include <math.h>

#include <glib/gi18n.h>

#include "widgets/field-row.h"
#include "widgets/inspector-private.h"
#include "widgets/words.h"

static const LwJob *
job_of (LwInspector *self)
{
  return lw_desk_job (lw_inspector_desk (self));
}

static void
fact (LwInspector *self, const char *title, double value, int digits, const char *unit)
{
  g_autofree char *text = lw_figure_unit (value, digits, unit);

  if (isfinite (value))
    lw_inspector_fact (self, title, text);
}

static const char *
read_title (const LwJob *job, const char *path)
{
  return job->title;
}

void
lw_inspector_build_board (LwInspector *self)
{
  lw_inspector_set_heading (self, _("Board"), job_of (self)->board->name);
  lw_inspector_add_row (self, "title", lw_field_row_new_text (lw_inspector_desk (self), "title", _("Job title"),
                                                              read_title));
  lw_inspector_number (self, "board.thickness_mm", _("Thickness"), "mm", 2, 0.1, NULL);
  lw_inspector_number (self, "ambient_c", _("Room"), "°C", 1, 1, NULL);
}

static void
tell_extent (LwInspector *self, const LwBoard *board)
{
  LwBox box;
  g_autofree char *length = NULL, *width = NULL, *extent = NULL;

  if (board->outline->len == 0)
    return;
  box = lw_loop_box (g_ptr_array_index (board->outline, 0));
  length = lw_figure_in (box.x1_mm - box.x0_mm, 1, "mm");
  width = lw_figure_in (box.y1_mm - box.y0_mm, 1, "mm");
  extent = g_strdup_printf ("%s × %s %s", length, width, lw_units_word (lw_shown_units (), "mm"));
  lw_inspector_fact (self, C_ ("size of the board", "Extent"), extent);
}

static void
tell_layers (LwInspector *self, const LwBoard *board)
{
  guint copper = 0;
  g_autofree char *text = NULL;

  for (guint i = 0; i < board->layers->len; i++)
    copper += ((const LwLayer *) g_ptr_array_index (board->layers, i))->kind == LW_LAYER_COPPER;
  if (copper == 0)
    text = g_strdup (_("not given, a stated default is used"));
  else
    text = g_strdup_printf (ngettext ("%u copper layer", "%u copper layers", copper), copper);
  lw_inspector_fact (self, _("Stack-up"), text);
}

static void
tell_answer (LwInspector *self, const LwPrediction *prediction)
{
  g_autofree char *run = NULL;

  fact (self, _("Board peak"), prediction->board_peak_c, 0, "°C");
  if (isfinite (prediction->board_tg_c)) {
    g_autofree char *tg = lw_figure_unit (prediction->board_tg_c, 0, "°C");
    g_autofree char *title = g_strdup_printf (_("Above glass transition (%s)"), tg);

    fact (self, title, prediction->board_above_tg_s, 0, "s");
  }
  /* Translators: size and cost of a computation. */
  run = g_strdup_printf (_("%u nodes, %u steps, %.1f s"), prediction->n_nodes, prediction->n_steps,
                         prediction->seconds);
  lw_inspector_fact (self, _("Computed with"), run);
  if (isfinite (prediction->energy_imbalance))
    fact (self, _("Energy imbalance"), prediction->energy_imbalance * 100, 3, "%");
  for (guint i = 0; i < prediction->notes->len; i++)
    lw_inspector_note (self, g_ptr_array_index (prediction->notes, i));
}

void
lw_inspector_tell_board (LwInspector *self)
{
  const LwJob *job = job_of (self);
  const LwPrediction *prediction = lw_desk_prediction (lw_inspector_desk (self));
  guint top = 0, bottom = 0;
  g_autofree char *parts = NULL;

  for (guint i = 0; i < job->parts->len; i++)
    *(((const LwPart *) g_ptr_array_index (job->parts, i))->side == LW_SIDE_TOP ? &top : &bottom) += 1;
  parts = g_strdup_printf (_("%u top, %u bottom"), top, bottom);
  tell_extent (self, job->board);
  tell_layers (self, job->board);
  lw_inspector_fact (self, _("Parts"), parts);
  lw_inspector_fact (self, _("Alloy"), job->alloy);
  if (job->board->outline_assumed)
    lw_inspector_note (self, _("The outline is a substitute: the file’s own was missing or broken."));
  if (prediction != NULL)
    tell_answer (self, prediction);
}

void
lw_inspector_build_station (LwInspector *self)
{
  lw_inspector_set_heading (self, _("Station"), job_of (self)->station->name);
  lw_inspector_section (self, _("Gas"));
  lw_inspector_number (self, "station.gas_min_c", C_ ("gas of the station", "Coolest"), "°C", 0, 5, NULL);
  lw_inspector_number (self, "station.gas_max_c", C_ ("gas of the station", "Hottest"), "°C", 0, 5, NULL);
  lw_inspector_number (self, "station.flow_min_l_per_min", _("Least flow"), "L/min", 1, 1, NULL);
  lw_inspector_number (self, "station.flow_max_l_per_min", _("Greatest flow"), "L/min", 1, 1, NULL);
  lw_inspector_number (self, "station.gas_lag_s", _("Heater lag"), "s", 1, 1, NULL);
  if (job_of (self)->station->preheater.kind == LW_PREHEATER_NONE)
    return;
  lw_inspector_section (self, _("Preheater"));
  lw_inspector_number (self, "station.preheater.max_c", C_ ("preheater of the station", "Hottest"), "°C", 0, 5, NULL);
  lw_inspector_number (self, "station.preheater.gap_mm", _("Gap to the board"), "mm", 1, 1, NULL);
  lw_inspector_number (self, "station.preheater.lag_s", _("Lag"), "s", 1, 1, NULL);
}

void
lw_inspector_tell_station (LwInspector *self)
{
  static const char *kinds[] = { N_ ("none"), N_ ("warm air"), N_ ("infrared") };
  const LwStation *station = job_of (self)->station;
  g_autofree char *nozzles
    = g_strdup_printf (ngettext ("%u nozzle", "%u nozzles", station->nozzles->len), station->nozzles->len);

  lw_inspector_fact (self, _("Preheater"), _(kinds[station->preheater.kind]));
  lw_inspector_fact (self, _("Nozzles"), nozzles);
  if (station->source != NULL && *station->source != '\0')
    lw_inspector_note (self, station->source);
}
