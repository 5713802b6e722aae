/* A plan on paper: what goes where, and the lines that stand on every page. */
#include <gio/gio.h>
#include <glib/gi18n.h>

#include "board/job-hash.h"
#include "draw/sheet-inside.h"

#define PAPER_LEAST_PT 360.0
#define PAPER_MOST_PT 4000.0
#define HASH_DIGITS 16
#define REVISION_DIGITS 8

G_DEFINE_QUARK (lw-sheet-error-quark, lw_sheet_error)

const LwPlan *
lw_sheet_plan (const LwBenchSheet *self)
{
  return g_ptr_array_index (self->job->plans, self->input.plan);
}

gboolean
lw_sheet_heats (const LwBenchSheet *self)
{
  return self->input.prediction != NULL;
}

const LwPart *
lw_sheet_target (const LwBenchSheet *self)
{
  int index = lw_job_find_part (self->job, lw_sheet_plan (self)->ref);

  return index < 0 ? NULL : g_ptr_array_index (self->job->parts, index);
}

/* ---- the layout ---- */

/* Translators: %s is the reference of a part. */
static const char *const heads[LW_N_OPS] = {
  [LW_OP_REMOVE] = N_("Bench sheet: remove %s"),
  [LW_OP_CLEAN] = N_("Bench sheet: clean the site of %s"),
  [LW_OP_PRINT] = N_("Bench sheet: print paste for %s"),
  [LW_OP_DISPENSE] = N_("Bench sheet: dispense for %s"),
  [LW_OP_PLACE] = N_("Bench sheet: place %s"),
  [LW_OP_REFLOW] = N_("Bench sheet: reflow %s"),
};

static void
lay_header (LwBenchSheet *self, LwSheetFlow *flow, guint page)
{
  const LwPlan *plan = lw_sheet_plan (self);
  double width = flow->right - flow->left, y = LW_SHEET_MARGIN_PT - 6.0;
  g_autofree char *head = g_strdup_printf (_(heads[plan->operation]), plan->ref);
  g_autofree char *count = g_strdup_printf (_("Page %u of %u"), page + 1, self->n_pages);
  g_autofree char *stamp
      = g_strdup_printf (_("Revision %s · %s · Plan %s"), self->revision, self->date, self->plan_hash);
  const char *title = self->job->title[0] != '\0' ? self->job->title : self->job->board->name;

  y += lw_flow_line_at (flow, page, head, flow->left, y, 0.78 * width, 0.0, 14.0, TRUE);
  lw_flow_line_at (flow, page, count, flow->right, LW_SHEET_MARGIN_PT - 6.0, 0.2 * width, 1.0, LW_SHEET_RUN_PT, TRUE);
  lw_flow_line_at (flow, page, title, flow->left, y, 0.405 * width, 0.0, LW_SHEET_TEXT_PT, FALSE);
  y += lw_flow_line_at (flow, page, stamp, flow->right, y, 0.585 * width, 1.0, LW_SHEET_TEXT_PT, FALSE);
  lw_flow_rule_at (flow, page, flow->left, y + 3.0, flow->right, y + 3.0, 1.2);
}

static void
lay_run (LwBenchSheet *self, LwSheetFlow *flow)
{
  lw_sheet_lay_stages (self, flow);
  lw_sheet_lay_seen (self, flow);
  lw_sheet_lay_stops (self, flow);
  lw_sheet_lay_profile (self, flow);
}

/* What is read before heat, then what is looked at during the run: on a page of its own when there are two. */
static void
lay (LwBenchSheet *self, gboolean parted)
{
  LwSheetFlow flow;

  lw_flow_begin (&flow, self->input.width_pt, self->input.height_pt);
  if (self->tight)
    lw_flow_tighten (&flow);
  lw_sheet_lay_facts (self, &flow);
  lw_sheet_lay_map (self, &flow);
  lw_sheet_lay_places (self, &flow);
  lw_sheet_lay_before (self, &flow);
  if (!lw_sheet_heats (self))
    lw_sheet_lay_steps (self, &flow);
  lw_sheet_lay_cautions (self, &flow);
  lw_sheet_lay_lots (self, &flow);
  self->n_before = flow.page + 1;
  if (parted && lw_sheet_heats (self))
    lw_flow_page (&flow);
  if (lw_sheet_heats (self))
    lay_run (self, &flow);
  lw_sheet_lay_record (self, &flow);
  self->n_pages = flow.page + 1;
  if (!lw_sheet_heats (self))
    self->n_before = self->n_pages;
  for (guint page = 0; page < self->n_pages; page++)
    lay_header (self, &flow, page);
  g_clear_pointer (&self->items, g_array_unref);
  self->items = lw_flow_end (&flow);
}

/* Each picture as large as its page allows. */
static void
lay_pictures (LwBenchSheet *self)
{
  static const double shares[] = { 1.0, 0.92, 0.84, 0.76, 0.69, 0.62 };
  const guint last = G_N_ELEMENTS (shares) - 1;
  guint map = 0, profile = 0;

  for (;;) {
    self->map_share = shares[map];
    self->profile_share = shares[profile];
    lay (self, TRUE);
    gboolean map_more = self->n_before > 1 && map < last;
    gboolean profile_more = self->n_pages - self->n_before > 1 && profile < last;
    if (!map_more && !profile_more)
      break;
    map += map_more;
    profile += profile_more;
  }
}

/* With rows closer together where that saves a page, as Letter is shorter than A4; then, if that is still too long, all in
 * one run. */
static void
lay_to_fit (LwBenchSheet *self, guint most)
{
  guint loose, parted;

  lay_pictures (self);
  loose = self->n_pages;
  self->tight = TRUE;
  if (self->n_before > 1 || loose - self->n_before > 1)
    lay_pictures (self);
  if (self->n_pages == loose) {
    self->tight = FALSE;
    lay_pictures (self);
  }
  parted = self->n_pages;
  lay (self, FALSE);
  if (self->n_pages > 1 && parted <= most)
    lay (self, TRUE); /* the run on a page of its own */
}

static void
take_input (LwBenchSheet *self, const LwSheetInput *input)
{
  self->input = *input;
  self->job = self->input.job = lw_job_ref (input->job);
  self->input.prediction = input->prediction != NULL ? lw_prediction_ref (input->prediction) : NULL;
  self->input.findings = g_ptr_array_ref (input->findings);
  self->input.readiness = input->readiness != NULL ? g_ptr_array_ref (input->readiness) : NULL;
  self->input.date = self->date = g_strdup (input->date);
  self->plan_hash = lw_plan_hash (lw_sheet_plan (self));
  self->plan_hash[HASH_DIGITS] = '\0';
  if (input->revision != NULL) {
    self->revision = g_strdup (input->revision);
  } else {
    self->revision = lw_job_hash (self->job);
    self->revision[REVISION_DIGITS] = '\0';
  }
  self->input.revision = self->revision;
  if (input->prediction != NULL) {
    self->readings = lw_bench_readings_new (self->job, lw_sheet_plan (self), self->input.prediction);
    self->stops = lw_bench_stops (self->job, input->plan, self->input.prediction, self->input.findings, self->readings);
  }
  self->before = lw_bench_before (self->job, input->plan, self->input.findings);
}

static gboolean
check_paper (const LwSheetInput *input, GError **error)
{
  if (input->width_pt >= PAPER_LEAST_PT && input->height_pt >= PAPER_LEAST_PT && input->width_pt <= PAPER_MOST_PT
      && input->height_pt <= PAPER_MOST_PT)
    return TRUE;
  g_set_error (error, LW_SHEET_ERROR, LW_SHEET_ERROR_PAPER,
               _("A bench sheet does not fit on paper of %.0f × %.0f mm: use A4 or Letter."),
               input->width_pt * 25.4 / 72.0, input->height_pt * 25.4 / 72.0);
  return FALSE;
}

LwBenchSheet *
lw_bench_sheet_new (const LwSheetInput *input, GError **error)
{
  guint most = input->pages_most == 0 ? LW_SHEET_PAGES : MIN (input->pages_most, LW_SHEET_PAGES_MOST);
  g_autoptr (LwBenchSheet) self = NULL;

  if (!check_paper (input, error))
    return NULL;
  self = g_new0 (LwBenchSheet, 1);
  take_input (self, input);
  lay_to_fit (self, most);
  if (self->n_pages > most) {
    g_set_error (error, LW_SHEET_ERROR, LW_SHEET_ERROR_LONG,
                 ngettext ("The bench sheet needs %u pages and %u is allowed: allow more, or shorten the notes and "
                           "names, or use fewer stages, shields and thermocouples.",
                           "The bench sheet needs %u pages and %u are allowed: allow more, or shorten the notes and "
                           "names, or use fewer stages, shields and thermocouples.",
                           most),
                 self->n_pages, most);
    return NULL;
  }
  return g_steal_pointer (&self);
}

void
lw_bench_sheet_free (LwBenchSheet *self)
{
  if (self == NULL)
    return;
  g_clear_pointer (&self->items, g_array_unref);
  lw_job_unref (self->job);
  g_clear_pointer (&self->input.prediction, lw_prediction_unref);
  g_clear_pointer (&self->input.findings, g_ptr_array_unref);
  g_clear_pointer (&self->input.readiness, g_ptr_array_unref);
  lw_bench_readings_free (self->readings);
  g_clear_pointer (&self->stops, g_ptr_array_unref);
  g_clear_pointer (&self->before, g_ptr_array_unref);
  g_free (self->date);
  g_free (self->revision);
  g_free (self->plan_hash);
  g_free (self);
}

guint
lw_bench_sheet_pages (const LwBenchSheet *self)
{
  return self->n_pages;
}
