/* The inspector's pages of what stands before heat, and of the operations of the part in hand. */
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits.h"
#include "board/library.h"
#include "board/operations.h"
#include "plan/ready.h"
#include "widgets/choice-row.h"
#include "widgets/field-row.h"
#include "widgets/inspector-private.h"
#include "widgets/operation-list.h"
#include "widgets/ready-list.h"
#include "widgets/words.h"

#define MOMENT_CHARS 16

static const LwJob *
job_of (LwInspector *self)
{
  return lw_desk_job (lw_inspector_desk (self));
}

static const LwPlan *
plan_of (LwInspector *self)
{
  return g_ptr_array_index (job_of (self)->plans, lw_desk_plan (lw_inspector_desk (self)));
}

/* ---- rows ---- */

static const char *
read_text (const LwJob *job, const char *path)
{
  const char *text = lw_job_text (job, path);

  return text != NULL ? text : "";
}

static void
text_row (LwInspector *self, const char *path, const char *title, int chars, const char *hint)
{
  GtkWidget *row = lw_field_row_new_text (lw_inspector_desk (self), path, title, read_text);
  GtkEditable *editable = lw_field_row_editable (LW_FIELD_ROW (row));

  gtk_editable_set_width_chars (editable, chars);
  gtk_editable_set_max_width_chars (editable, chars);
  if (hint != NULL)
    gtk_entry_set_placeholder_text (GTK_ENTRY (editable), hint);
  lw_inspector_add_row (self, path, row);
}

static void
moment_row (LwInspector *self, const char *path, const char *title)
{
  /* Translators: how a moment is typed: year-month-day, T, hours:minutes. */
  text_row (self, path, title, MOMENT_CHARS, _("2026-03-01T09:30"));
}

static void
choice (LwInspector *self, const char *path, const char *title, const char *const *words, const char *const *labels)
{
  lw_inspector_add_row (self, path, lw_choice_row_new (lw_inspector_desk (self), path, title, words, labels, read_text));
}

static void
kept_row (LwInspector *self, const char *path)
{
  static const char *const words[] = { "unknown", "room", "dry-cabinet", "dry-pack", NULL };
  const char *labels[] = { _("Unknown"), _("In the room"), _("Dry cabinet"), _("Sealed dry pack"), NULL };

  choice (self, path, C_ ("readiness", "Kept since"), words, labels);
}

/* The level as the standard writes it. */
static void
level_row (LwInspector *self, const char *path, gboolean spare)
{
  static const char *const words[] = { "unknown", "1", "2", "2a", "3", "4", "5", "5a", "6", "none", NULL };
  const char *labels[] = { spare ? _("As the old one") : _("Unknown"), "1", "2", "2a", "3", "4", "5", "5a", "6", _("Not sensitive"), NULL };

  choice (self, path, _("Moisture level"), words, labels);
}

/* ---- readiness ---- */

typedef struct {
  const char *member, *title, *unit;
  int digits;
  double step;
  const char *absent;
} Number;

static void
numbers (LwInspector *self, const char *prefix, const Number *all, guint n)
{
  for (guint i = 0; i < n; i++) {
    g_autofree char *path = g_strdup_printf ("%s.%s", prefix, all[i].member);

    lw_inspector_number (self, path, g_dpgettext2 (NULL, "readiness", all[i].title), all[i].unit, all[i].digits, all[i].step, _(all[i].absent));
  }
}

static void
past_rows (LwInspector *self, guint part, gboolean spare)
{
  static const Number figures[] = {
    { "exposure_h", NC_ ("readiness", "Open before that"), "h", 1, 1, N_("unknown") },
    { "room_c", NC_ ("readiness", "Room it lay in"), "°C", 0, 1, "30" },
    { "room_rh_percent", NC_ ("readiness", "Humidity there"), "%", 0, 5, "60" },
    { "label_life_h", NC_ ("readiness", "Floor life on its label"), "h", 1, 1, N_("by level") },
    { "cycles_used", NC_ ("readiness", "Reflows it has seen"), "", 0, 1, N_("unknown") },
  };
  g_autofree char *prefix = g_strdup_printf ("parts[%u].%s", part, spare ? "spare" : "past");
  g_autofree char *level = g_strconcat (prefix, ".level", NULL), *kept = g_strconcat (prefix, ".kept", NULL);
  g_autofree char *sealed = g_strconcat (prefix, ".sealed", NULL), *opened = g_strconcat (prefix, ".opened", NULL);

  level_row (self, level, spare);
  moment_row (self, sealed, _("Dry pack sealed"));
  moment_row (self, opened, _("Opened, or bake ended"));
  kept_row (self, kept);
  numbers (self, prefix, figures, G_N_ELEMENTS (figures));
}

static void
part_rows (LwInspector *self, guint part)
{
  static const char *const yes_no[] = { "false", "true", NULL };
  const char *labels[] = { _("Thrown away"), _("Used or looked into"), NULL };
  static const Number figures[] = {
    { "cycles_allowed", NC_ ("readiness", "Reflows its maker allows"), "", 0, 1, "3" },
    { "site_cycles_used", NC_ ("readiness", "Reflows the lands have seen"), "", 0, 1, N_("unknown") },
  };
  g_autofree char *prefix = g_strdup_printf ("parts[%u]", part);
  g_autofree char *coating = g_strconcat (prefix, ".coating", NULL), *underfill = g_strconcat (prefix, ".underfill", NULL);
  g_autofree char *kept = g_strconcat (prefix, ".kept_after", NULL);

  numbers (self, prefix, figures, G_N_ELEMENTS (figures));
  choice (self, kept, _("After it came off"), yes_no, labels);
  text_row (self, coating, _("Coating"), MOMENT_CHARS, _("none"));
  text_row (self, underfill, _("Underfill"), MOMENT_CHARS, _("none"));
}

static void
board_rows (LwInspector *self)
{
  static const char *const words[] = { "unknown", "no", "yes", NULL };
  const char *labels[] = { _("Unknown"), _("No"), _("Yes"), NULL };
  static const Number figures[] = {
    { "bake_c", NC_ ("readiness", "Baked at"), "°C", 0, 5, N_("unknown") },
    { "bake_h", NC_ ("readiness", "Baked for"), "h", 1, 1, N_("unknown") },
    { "absorbed_percent", NC_ ("readiness", "Moisture by weight"), "%", 2, 0.05, N_("not measured") },
    { "absorbed_max_percent", NC_ ("readiness", "Moisture allowed"), "%", 2, 0.05, N_("unknown") },
    { "cycles_used", NC_ ("readiness", "Reflows it has seen"), "", 0, 1, N_("unknown") },
    { "cycles_allowed", NC_ ("readiness", "Reflows allowed"), "", 0, 1, "6" },
    { "age_years", NC_ ("readiness", "Age"), "a", 1, 1, N_("unknown") },
  };

  choice (self, "board.past.baked", _("Baked for this work"), words, labels);
  moment_row (self, "board.past.baked_until", _("Bake ended"));
  kept_row (self, "board.past.kept");
  numbers (self, "board.past", figures, G_N_ELEMENTS (figures));
}

static void
schedule_rows (LwInspector *self)
{
  static const Number figures[] = {
    { "bake_c", NC_ ("readiness", "Bake at"), "°C", 0, 5, N_("by part") },
    { "cool_min", NC_ ("readiness", "Cooling after a bake"), "min", 0, 5, "60" },
    { "set_up_min", NC_ ("readiness", "Fixing the board"), "min", 0, 5, "20" },
  };

  moment_row (self, "schedule.start", _("Wanted start"));
  numbers (self, "schedule", figures, G_N_ELEMENTS (figures));
  lw_inspector_number (self, "station.warm_up_min", _("Station warms up"), "min", 0, 5, "15");
}

/* Whether any of the part's operations solders a new one. */
static gboolean
any_spare (LwInspector *self, const char *ref)
{
  const LwJob *job = job_of (self);
  g_autoptr (GArray) all = lw_job_operations (job, ref);

  for (guint i = 0; i < all->len; i++)
    if (lw_ready_uses_spare (job, g_ptr_array_index (job->plans, g_array_index (all, guint, i))))
      return TRUE;
  return FALSE;
}

void
lw_inspector_build_readiness (LwInspector *self)
{
  const LwPlan *plan = plan_of (self);
  int part = lw_job_find_part (job_of (self), plan->ref);
  /* Translators: what is done (Remove, Place) and the part's reference. */
  g_autofree char *subtitle = g_strdup_printf (C_ ("operation and part", "%s %s"), lw_operation_label (plan->operation), plan->ref);
  g_autofree char *on_board = g_strdup_printf (_("%s on the board"), plan->ref);
  g_autofree char *fresh = g_strdup_printf (_("The new %s"), plan->ref);

  lw_inspector_set_heading (self, _("Readiness"), subtitle);
  lw_inspector_add_row (self, "readiness", lw_ready_list_new (lw_inspector_desk (self)));
  lw_inspector_section (self, _("Times"));
  schedule_rows (self);
  if (part >= 0) {
    lw_inspector_section (self, on_board);
    past_rows (self, (guint) part, FALSE);
    part_rows (self, (guint) part);
  }
  if (part >= 0 && any_spare (self, plan->ref)) {
    lw_inspector_section (self, fresh);
    past_rows (self, (guint) part, TRUE);
  }
  lw_inspector_section (self, _("Board"));
  board_rows (self);
}

/* A neighbour's own facts, on its page. */
void
lw_inspector_build_past (LwInspector *self, guint index)
{
  static const Number figures[] = {
    { "past.exposure_h", NC_ ("readiness", "Lay open"), "h", 1, 1, N_("unknown") },
    { "past.cycles_used", NC_ ("readiness", "Reflows it has seen"), "", 0, 1, N_("unknown") },
  };
  g_autofree char *prefix = g_strdup_printf ("parts[%u]", index), *level = g_strconcat (prefix, ".past.level", NULL);
  g_autofree char *coating = g_strconcat (prefix, ".coating", NULL);

  lw_inspector_section (self, _("Before heat"));
  level_row (self, level, FALSE);
  numbers (self, prefix, figures, G_N_ELEMENTS (figures));
  text_row (self, coating, _("Coating"), MOMENT_CHARS, _("none"));
}

void
lw_inspector_tell_readiness (LwInspector *self)
{
  lw_inspector_note (self, _("The part maker’s data, the standards in force and the shop’s own procedures come before what is said here; local codes and licensed "
                             "practice govern."));
}

/* ---- operations ---- */

static void
alloy_row (LwInspector *self, const char *path)
{
  g_autofree const char **names = lw_library_names ("alloys");
  g_autoptr (GPtrArray) words = g_ptr_array_new (), labels = g_ptr_array_new ();

  g_ptr_array_add (words, (gpointer) "");
  g_ptr_array_add (labels, (gpointer) _("As the joints"));
  for (guint i = 0; names != NULL && names[i] != NULL; i++) {
    g_ptr_array_add (words, (gpointer) names[i]);
    g_ptr_array_add (labels, (gpointer) names[i]);
  }
  g_ptr_array_add (words, NULL);
  g_ptr_array_add (labels, NULL);
  choice (self, path, _("Solder of the paste"), (const char *const *) words->pdata, (const char *const *) labels->pdata);
}

void
lw_inspector_build_operations (LwInspector *self)
{
  const LwPlan *plan = plan_of (self);
  int index = lw_desk_plan (lw_inspector_desk (self));
  g_autofree char *material = g_strdup_printf ("plans[%d].material", index), *notes = g_strdup_printf ("plans[%d].notes", index);
  g_autofree char *alloy = g_strdup_printf ("plans[%d].alloy", index);

  lw_inspector_set_heading (self, _("Operations"), plan->ref);
  lw_inspector_add_row (self, "operations", lw_operation_list_new (lw_inspector_desk (self)));
  lw_inspector_section (self, lw_operation_label (plan->operation));
  if (plan->operation == LW_OP_PLACE || plan->operation == LW_OP_REFLOW)
    alloy_row (self, alloy);
  if (plan->operation != LW_OP_REMOVE && plan->operation != LW_OP_REFLOW)
    text_row (self, material, plan->operation == LW_OP_CLEAN ? _("Tool, cleaner") : _("Paste, flux"), MOMENT_CHARS, NULL);
  text_row (self, notes, _("Note"), MOMENT_CHARS, NULL);
}

void
lw_inspector_tell_operations (LwInspector *self)
{
  LwOperation operation = plan_of (self)->operation;

  for (guint i = 0; lw_ready_step (operation, i) != NULL; i++) {
    g_autofree char *step = g_strdup_printf ("%u. %s", i + 1, lw_ready_step (operation, i));

    lw_inspector_note (self, step);
  }
}

char *
lw_inspector_operations_shape (LwInspector *self)
{
  const LwJob *job = job_of (self);
  int plan = lw_desk_plan (lw_inspector_desk (self));
  const LwPlan *of = plan < 0 ? NULL : g_ptr_array_index (job->plans, plan);

  if (of == NULL)
    return g_strdup ("");
  return g_strdup_printf ("%s %s %d", of->ref, lw_operation_word (of->operation), any_spare (self, of->ref));
}
