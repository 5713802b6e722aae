#include "app/log-window.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "app/column-grid.h"
#include "app/window-private.h"
#include "board/edits-history.h"
#include "exchange/log.h"
#include "exchange/read-file.h"
#include "widgets/words.h"

struct _LwLogWindow {
  GtkWindow parent_instance;

  GtkDropDown *delimiter, *unit, *scale, *date_order;
  GtkCheckButton *comma;
  GtkSpinButton *first_line;
  GtkEntry *interval, *cold;
  GtkLabel *interval_title, *cold_title;
  GtkGrid *grid;
  GtkLabel *outcome, *dropped;
  GtkButton *use;

  LwWindow *window;
  char *name, *ref;
  GBytes *bytes;
  LwLogMapping mapping;
  char *couples[LW_LOG_MAX_COLUMNS]; /* of readings: a thermocouple, "" = recorded alone */
  LwLog *log; /* what the mapping gives, or NULL */
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwLogWindow, lw_log_window, GTK_TYPE_WINDOW)

/* Choices of a column before the thermocouples. */
enum { CHOICE_SKIP, CHOICE_TIME, CHOICE_DATE, CHOICE_COLD, CHOICE_ALONE, N_CHOICES };

static const LwPlan *
plan_of (const LwLogWindow *self)
{
  LwJob *job = self->window != NULL ? lw_desk_job (lw_window_desk (self->window)) : NULL;
  int plan = job != NULL ? lw_job_find_plan (job, self->ref) : -1;

  return plan >= 0 ? g_ptr_array_index (job->plans, plan) : NULL;
}

/* ---- the answer ---- */

static void
show_dropped (LwLogWindow *self)
{
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; self->log != NULL && i < self->log->dropped->len && i < 40; i++) {
    const LwImportWarning *note = g_ptr_array_index (self->log->dropped, i);

    if (text->len > 0)
      g_string_append_c (text, '\n');
    if (note->line > 0)
      g_string_append_printf (text, _("Line %u: %s"), note->line, note->text);
    else
      g_string_append (text, note->text);
  }
  gtk_label_set_text (self->dropped, text->str);
  gtk_widget_set_visible (GTK_WIDGET (self->dropped), text->len > 0);
}

static void
show_outcome (LwLogWindow *self, const GError *error)
{
  g_autofree char *text = NULL;

  if (self->log == NULL)
    text = g_strdup (error->message);
  else {
    guint n = self->log->columns->len;
    g_autofree char *columns = g_strdup_printf (ngettext ("%u column", "%u columns", n), n);

    /* Translators: "5 columns, 720 moments over 360 s". */
    text = g_strdup_printf (_("%s, %u moments over %.0f s"), columns, self->log->t_s->len,
                            g_array_index (self->log->t_s, double, self->log->t_s->len - 1));
  }
  lw_outcome_show (self->outcome, text, self->log == NULL);
  gtk_widget_set_sensitive (GTK_WIDGET (self->use), self->log != NULL);
  show_dropped (self);
}

static gboolean
has_role (const LwLogWindow *self, LwLogRole role)
{
  for (guint i = 0; i < self->mapping.n_columns; i++)
    if (self->mapping.role[i] == role)
      return TRUE;
  return FALSE;
}

/* The interval is asked for where there are no times, the cold junction where there are millivolts. */
static void
show_fields (LwLogWindow *self)
{
  gboolean interval = !has_role (self, LW_LOG_TIME);
  gboolean cold = self->mapping.unit == LW_LOG_TYPE_K_MV && !has_role (self, LW_LOG_COLD_JUNCTION);

  gtk_widget_set_sensitive (GTK_WIDGET (self->interval), interval);
  gtk_widget_set_sensitive (GTK_WIDGET (self->interval_title), interval);
  gtk_widget_set_sensitive (GTK_WIDGET (self->cold), cold);
  gtk_widget_set_sensitive (GTK_WIDGET (self->cold_title), cold);
  gtk_widget_set_sensitive (GTK_WIDGET (self->scale), !interval);
}

static void
read_again (LwLogWindow *self)
{
  g_autoptr (GError) error = NULL;
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);

  g_clear_pointer (&self->log, lw_log_free);
  self->log = lw_log_read (self->name, data != NULL ? data : "", size, &self->mapping, &error);
  show_fields (self);
  show_outcome (self, error);
}

/* ---- the columns ---- */

static guint
choice_of (const LwLogWindow *self, guint column)
{
  const LwPlan *plan = plan_of (self);
  guint choice = N_CHOICES;

  switch (column < self->mapping.n_columns ? self->mapping.role[column] : LW_LOG_SKIP) {
  case LW_LOG_TIME:
    return CHOICE_TIME;
  case LW_LOG_DATE:
    return CHOICE_DATE;
  case LW_LOG_COLD_JUNCTION:
    return CHOICE_COLD;
  case LW_LOG_READING:
    break;
  default:
    return CHOICE_SKIP;
  }
  for (guint i = 0; plan != NULL && i < plan->thermocouples->len; i++)
    {
      const char *name = ((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->name;

      if (name[0] == '\0')
        continue;
      if (g_strcmp0 (self->couples[column], name) == 0)
        return choice;
      choice++;
    }
  return CHOICE_ALONE;
}

static void
show_columns (LwLogWindow *self)
{
  self->filling = TRUE;
  lw_column_grid_show_choices (self->grid, (LwColumnChoice) choice_of, self);
  self->filling = FALSE;
}

static void
set_couple (LwLogWindow *self, guint column, const char *name)
{
  g_free (self->couples[column]);
  self->couples[column] = g_strdup (name);
}

/* What one column takes, another loses. */
static void
take_role (LwLogWindow *self, guint column, LwLogRole role)
{
  for (guint i = 0; i < self->mapping.n_columns; i++)
    if (role != LW_LOG_READING && role != LW_LOG_SKIP && self->mapping.role[i] == role)
      self->mapping.role[i] = LW_LOG_SKIP;
  self->mapping.role[column] = role;
}

static void
column_chosen_cb (GtkDropDown *drop_down, GParamSpec *pspec, LwLogWindow *self)
{
  static const LwLogRole roles[] = { LW_LOG_SKIP, LW_LOG_TIME, LW_LOG_DATE, LW_LOG_COLD_JUNCTION, LW_LOG_READING };
  guint column = lw_column_grid_column (drop_down), chosen = gtk_drop_down_get_selected (drop_down);
  GtkStringList *names = GTK_STRING_LIST (gtk_drop_down_get_model (drop_down));

  if (self->filling || column >= self->mapping.n_columns)
    return;
  take_role (self, column, chosen < N_CHOICES ? roles[chosen] : LW_LOG_READING);
  if (chosen >= N_CHOICES)
    for (guint i = 0; i < self->mapping.n_columns; i++)
      if (g_strcmp0 (self->couples[i], gtk_string_list_get_string (names, chosen)) == 0)
        set_couple (self, i, "");
  set_couple (self, column, chosen >= N_CHOICES ? gtk_string_list_get_string (names, chosen) : "");
  show_columns (self);
  read_again (self);
}

static GtkStringList *
column_names (const LwPlan *plan)
{
  GtkStringList *names = gtk_string_list_new (NULL);
  const char *const first[N_CHOICES] = { lw_log_role_name (LW_LOG_SKIP), lw_log_role_name (LW_LOG_TIME), lw_log_role_name (LW_LOG_DATE),
                                         lw_log_role_name (LW_LOG_COLD_JUNCTION), _("reading, no thermocouple of the plan") };

  for (guint i = 0; i < N_CHOICES; i++)
    gtk_string_list_append (names, first[i]);
  for (guint i = 0; plan != NULL && i < plan->thermocouples->len; i++) {
    const char *name = ((const LwThermocouple *) g_ptr_array_index (plan->thermocouples, i))->name;

    if (name[0] != '\0')
      gtk_string_list_append (names, name);
  }
  return names;
}

/* The line to show first: the heading, or one before the first readings. */
static guint
first_shown (const LwLogMapping *mapping)
{
  if (mapping->header_line > 0 && mapping->header_line < mapping->first_line)
    return mapping->header_line;
  return MAX (mapping->first_line, 2) - 1;
}

static void
fill_grid (LwLogWindow *self)
{
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);
  guint most = self->mapping.first_line + LW_COLUMN_GRID_ROWS, columns, from = 0;
  g_autoptr (GPtrArray) rows = lw_log_rows (self->name, data != NULL ? data : "", size, self->mapping.delimiter, most, NULL);

  while (rows != NULL && from < rows->len && ((LwCentroidRow *) g_ptr_array_index (rows, from))->line < first_shown (&self->mapping))
    from++;
  self->filling = TRUE;
  columns = lw_column_grid_fill (self->grid, rows, from, self->mapping.first_line);
  for (guint i = 0; i < MIN (columns, self->mapping.n_columns); i++)
    lw_column_grid_add_choice (self->grid, i, column_names (plan_of (self)), choice_of (self, i), G_CALLBACK (column_chosen_cb), self);
  self->filling = FALSE;
}

/* ---- the rest of the mapping ---- */

static void
set_entry (GtkEntry *entry, double value)
{
  g_autofree char *text = isnan (value) ? g_strdup ("") : g_strdup_printf ("%g", value);

  gtk_editable_set_text (GTK_EDITABLE (entry), text);
}

static void
fill_choices (LwLogWindow *self)
{
  self->filling = TRUE;
  lw_delimiter_list_set (self->delimiter, self->mapping.delimiter);
  gtk_drop_down_set_selected (self->unit, self->mapping.unit);
  gtk_drop_down_set_selected (self->scale, self->mapping.scale);
  gtk_drop_down_set_selected (self->date_order, self->mapping.date_order);
  gtk_check_button_set_active (self->comma, self->mapping.decimal_comma);
  gtk_spin_button_set_value (self->first_line, self->mapping.first_line);
  set_entry (self->interval, self->mapping.interval_s);
  set_entry (self->cold, self->mapping.cold_c);
  self->filling = FALSE;
}

/* Columns to thermocouples by their headings, until somebody says otherwise. */
static void
match_couples (LwLogWindow *self)
{
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);
  g_autoptr (GPtrArray) rows = lw_log_rows (self->name, data != NULL ? data : "", size, self->mapping.delimiter,
                                            MAX (self->mapping.header_line, 1), NULL);
  const LwCentroidRow *header = NULL;

  for (guint i = 0; rows != NULL && i < rows->len; i++)
    if (((const LwCentroidRow *) g_ptr_array_index (rows, i))->line == self->mapping.header_line)
      header = g_ptr_array_index (rows, i);
  for (guint k = 0; k < LW_LOG_MAX_COLUMNS; k++) {
    const char *name = header != NULL && k < header->n_fields && plan_of (self) != NULL
                           ? lw_log_couple_for (plan_of (self), header->fields[k])
                           : "";
    gboolean taken = FALSE;

    for (guint i = 0; i < k; i++)
      taken |= name[0] != '\0' && strcmp (self->couples[i], name) == 0;
    set_couple (self, k, taken || k >= self->mapping.n_columns || self->mapping.role[k] != LW_LOG_READING ? "" : name);
  }
}

/* Another separator makes other columns: the guess starts anew within it. */
static void
on_delimiter (LwLogWindow *self)
{
  char chosen = lw_delimiter_list_get (self->delimiter);
  LwLogMapping before = self->mapping;
  gsize size;
  const char *data = g_bytes_get_data (self->bytes, &size);

  if (self->filling || chosen == '\0')
    return;
  if (!lw_log_guess_with (self->name, data, size, chosen, &self->mapping, NULL)) {
    self->mapping = before;
    self->mapping.delimiter = chosen;
  }
  match_couples (self);
  fill_choices (self);
  fill_grid (self);
  read_again (self);
}

static double
entry_value (GtkEntry *entry)
{
  double value = NAN;

  return lw_figure_parse (gtk_editable_get_text (GTK_EDITABLE (entry)), &value) ? value : NAN;
}

static void
on_changed (LwLogWindow *self)
{
  if (self->filling)
    return;
  self->mapping.unit = gtk_drop_down_get_selected (self->unit);
  self->mapping.scale = gtk_drop_down_get_selected (self->scale);
  self->mapping.date_order = gtk_drop_down_get_selected (self->date_order);
  self->mapping.decimal_comma = gtk_check_button_get_active (self->comma);
  self->mapping.interval_s = entry_value (self->interval);
  self->mapping.cold_c = entry_value (self->cold);
  read_again (self);
}

static void
on_first_line (LwLogWindow *self)
{
  if (self->filling)
    return;
  self->mapping.first_line = (guint) gtk_spin_button_get_value_as_int (self->first_line);
  fill_grid (self);
  read_again (self);
}

static void
on_use (LwLogWindow *self)
{
  const char *couples[LW_LOG_MAX_COLUMNS];
  LwDesk *desk = self->window != NULL ? lw_window_desk (self->window) : NULL;
  const LwPlan *plan = plan_of (self);
  g_autoptr (GError) error = NULL;

  if (self->log == NULL || plan == NULL)
    return;
  for (guint i = 0; i < self->log->columns->len; i++)
    couples[i] = self->couples[((const LwLogColumn *) g_ptr_array_index (self->log->columns, i))->column];
  LwJob *job = lw_edit_add_run (lw_desk_job (desk), lw_log_to_run (self->log, plan, couples), &error);
  if (job != NULL) {
    int run = (int) job->runs->len - 1;

    lw_desk_edit (desk, job, _("Import Run"), NULL, NULL);
    lw_window_show_run (self->window, run);
    gtk_window_close (GTK_WINDOW (self));
    return;
  }
  lw_outcome_show (self->outcome, error->message, TRUE);
}

/* ---- life ---- */

static void
lw_log_window_dispose (GObject *object)
{
  LwLogWindow *self = LW_LOG_WINDOW (object);

  self->filling = TRUE;
  g_clear_weak_pointer (&self->window);
  g_clear_pointer (&self->log, lw_log_free);
  g_clear_pointer (&self->bytes, g_bytes_unref);
  g_clear_pointer (&self->name, g_free);
  g_clear_pointer (&self->ref, g_free);
  for (guint i = 0; i < LW_LOG_MAX_COLUMNS; i++)
    g_clear_pointer (&self->couples[i], g_free);
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_LOG_WINDOW);
  G_OBJECT_CLASS (lw_log_window_parent_class)->dispose (object);
}

static void
lw_log_window_class_init (LwLogWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_log_window_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/log-window.ui");
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, delimiter);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, unit);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, scale);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, date_order);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, comma);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, first_line);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, interval);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, interval_title);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, cold);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, cold_title);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, grid);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, outcome);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, dropped);
  gtk_widget_class_bind_template_child (widget_class, LwLogWindow, use);
  gtk_widget_class_bind_template_callback (widget_class, on_delimiter);
  gtk_widget_class_bind_template_callback (widget_class, on_changed);
  gtk_widget_class_bind_template_callback (widget_class, on_first_line);
  gtk_widget_class_bind_template_callback (widget_class, on_use);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static GtkStringList *
names_of (guint n, const char *(*name) (guint))
{
  GtkStringList *list = gtk_string_list_new (NULL);

  for (guint i = 0; i < n; i++)
    gtk_string_list_append (list, name (i));
  return list;
}

static void
lw_log_window_init (LwLogWindow *self)
{
  g_autoptr (GtkStringList) units = names_of (LW_LOG_N_UNITS, (const char *(*) (guint)) lw_log_unit_name);
  g_autoptr (GtkStringList) scales = names_of (LW_LOG_N_SCALES, (const char *(*) (guint)) lw_log_scale_name);
  g_autoptr (GtkStringList) orders = names_of (LW_LOG_N_DATE_ORDERS, (const char *(*) (guint)) lw_log_date_order_name);

  self->filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_drop_down_set_model (self->unit, G_LIST_MODEL (units));
  gtk_drop_down_set_model (self->scale, G_LIST_MODEL (scales));
  gtk_drop_down_set_model (self->date_order, G_LIST_MODEL (orders));
  self->filling = FALSE;
}

static gboolean
load (LwLogWindow *self, GFile *file, GError **error)
{
  g_autofree char *base = g_file_get_basename (file);
  GByteArray *bytes;
  gsize size;
  const char *data;

  self->name = base != NULL ? g_filename_display_name (base) : g_strdup ("");
  bytes = lw_read_file (file, self->name, LW_LOG_MAX_BYTES, NULL, error);
  if (bytes == NULL)
    return FALSE;
  self->bytes = g_byte_array_free_to_bytes (bytes);
  data = g_bytes_get_data (self->bytes, &size);
  return lw_log_guess (self->name, data != NULL ? data : "", size, &self->mapping, error);
}

GtkWidget *
lw_log_window_new (LwWindow *parent, GFile *file, GError **error)
{
  LwDesk *desk = lw_window_desk (parent);
  LwLogWindow *self;

  if (lw_desk_plan (desk) < 0) {
    g_set_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_UNSUPPORTED, _("Choose a part to rework first: runs belong to its plan."));
    return NULL;
  }
  self = g_object_new (LW_TYPE_LOG_WINDOW, "transient-for", parent, NULL);
  g_set_weak_pointer (&self->window, parent);
  self->ref = g_strdup (((const LwPlan *) g_ptr_array_index (lw_desk_job (desk)->plans, lw_desk_plan (desk)))->ref);
  if (!load (self, file, error)) {
    gtk_window_destroy (GTK_WINDOW (self));
    return NULL;
  }
  match_couples (self);
  fill_choices (self);
  fill_grid (self);
  read_again (self);
  return GTK_WIDGET (self);
}
