#include "widgets/field-row.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/edits.h"
#include "widgets/spoken.h"
#include "widgets/template.h"
#include "widgets/whole-text.h"
#include "widgets/words.h"

/* A pause in typing after which the value is handed over, so that 2, 24 and 240 are not three jobs. */
#define PAUSE_MS 350

struct _LwFieldRow {
  GtkWidget parent_instance;

  GtkLabel *title, *unit, *message;
  GtkEntry *entry;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  char *path, *unit_text, *absent;
  LwReadText read;
  int digits;
  double step, low, high;
  guint pause;
  gboolean filling; /* the program, not the person, sets the text */
  gboolean typed;   /* the text holds something not handed over yet */
};

G_DEFINE_FINAL_TYPE (LwFieldRow, lw_field_row, GTK_TYPE_WIDGET)

static char *
current_text (LwFieldRow *self)
{
  LwJob *job = lw_desk_job (self->desk);
  double value;

  if (job == NULL)
    return g_strdup ("");
  if (self->read != NULL)
    return g_strdup (self->read (job, self->path));
  value = lw_job_number (job, self->path);
  return isfinite (value) ? lw_figure_in (value, self->digits, self->unit_text) : g_strdup ("");
}

static void
show_message (LwFieldRow *self, const char *text)
{
  if (text != NULL && !g_str_equal (text, gtk_label_get_text (self->message)))
    lw_spoken_tell (GTK_WIDGET (self), text); /* the keyboard stays in the field */
  gtk_label_set_text (self->message, text == NULL ? "" : text);
  gtk_widget_set_visible (GTK_WIDGET (self->message), text != NULL);
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_STATE_INVALID,
                               text == NULL ? GTK_ACCESSIBLE_INVALID_FALSE : GTK_ACCESSIBLE_INVALID_TRUE, -1);
  if (text != NULL)
    gtk_widget_add_css_class (GTK_WIDGET (self->entry), "error");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self->entry), "error");
}

static void
fill (LwFieldRow *self)
{
  g_autofree char *text = current_text (self);

  if (self->unit_text != NULL)
    gtk_label_set_text (self->unit, lw_units_word (lw_shown_units (), self->unit_text));
  g_clear_handle_id (&self->pause, g_source_remove);
  self->typed = FALSE;
  show_message (self, NULL);
  if (g_strcmp0 (text, gtk_editable_get_text (GTK_EDITABLE (self->entry))) == 0)
    return;
  self->filling = TRUE;
  gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  self->filling = FALSE;
}

static GError *
out_of_range (LwFieldRow *self)
{
  g_autofree char *low = lw_figure_unit (self->low, self->digits, self->unit_text);
  g_autofree char *high = lw_figure_unit (self->high, self->digits, self->unit_text);

  if (!isfinite (self->high))
    return g_error_new (LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("At least %s."), low);
  /* Translators: two limits with their units. */
  return g_error_new (LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("Between %s and %s."), low, high);
}

/* The job with the typed value, or NULL and why not. */
static LwJob *
edited_number (LwFieldRow *self, const LwJob *job, const char *text, GError **error)
{
  double value = NAN;

  if (*text == '\0') {
    if (self->absent != NULL)
      return lw_edit_number (job, self->path, NAN, error);
    g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("A number is needed here."));
    return NULL;
  }
  if (!lw_figure_parse_in (text, self->unit_text, &value)) {
    g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("“%s” is not a number."), text);
    return NULL;
  }
  if (value < self->low || value > self->high) {
    g_propagate_error (error, out_of_range (self));
    return NULL;
  }
  return lw_edit_number (job, self->path, value, error);
}

static LwJob *
edited (LwFieldRow *self, GError **error)
{
  const LwJob *job = lw_desk_job (self->desk);
  g_autofree char *text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->entry))));

  if (job == NULL)
    return NULL;
  return self->read != NULL ? lw_edit_text (job, self->path, text, error)
                            : edited_number (self, job, text, error);
}

/* The job's messages may start with a member's path, which the field's own title already says; their limits
 * are bare numbers, which need the field's unit. */
static char *
reason (LwFieldRow *self, const GError *error)
{
  const char *text = error->message;
  gsize path = strspn (text, "abcdefghijklmnopqrstuvwxyz0123456789_.[]");
  g_autofree char *rest = NULL, *first = NULL;

  if (path > 0 && text[path] == ':')
    text += path + 1 + strspn (text + path + 1, " ");
  first = g_utf8_substring (text, 0, 1);
  rest = g_utf8_strup (first, -1);
  if (self->unit_text == NULL || *self->unit_text == '\0' || strpbrk (text, "0123456789") == NULL
      || strstr (text, lw_units_word (lw_shown_units (), self->unit_text)) != NULL)
    return g_strconcat (rest, g_utf8_next_char (text), NULL);
  return g_strdup_printf ("%s%s (%s)", rest, g_utf8_next_char (text), self->unit_text);
}

static void
show_reason (LwFieldRow *self, const GError *error)
{
  g_autofree char *text = error == NULL ? NULL : reason (self, error);

  show_message (self, text);
}

void
lw_field_row_commit (LwFieldRow *self)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *label = NULL;
  LwJob *job;

  g_return_if_fail (LW_IS_FIELD_ROW (self));

  g_clear_handle_id (&self->pause, g_source_remove);
  if (!self->typed)
    return;
  job = edited (self, &error);
  if (job == NULL) {
    if (error != NULL)
      show_reason (self, error);
    return;
  }
  self->typed = FALSE;
  show_message (self, NULL);
  /* Translators: an entry of the undo list; %s is the name of a value, such as Height. */
  label = g_strdup_printf (_("Change “%s”"), gtk_label_get_text (self->title));
  lw_desk_edit (self->desk, job, label, self->path, NULL);
}

static gboolean
pause_over_cb (gpointer user)
{
  LwFieldRow *self = user;

  self->pause = 0;
  lw_field_row_commit (self);
  return G_SOURCE_REMOVE;
}

static void
on_changed (GtkEditable *editable, LwFieldRow *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = NULL;

  if (self->filling)
    return;
  self->typed = TRUE;
  job = edited (self, &error);
  show_reason (self, error);
  g_clear_handle_id (&self->pause, g_source_remove);
  if (job != NULL)
    self->pause = g_timeout_add (PAUSE_MS, pause_over_cb, self);
}

static void
seal (LwFieldRow *self)
{
  LwDocument *document = lw_desk_document (self->desk);

  lw_field_row_commit (self);
  if (document != NULL)
    lw_document_seal (document);
}

static void
on_activate (GtkEntry *entry, LwFieldRow *self)
{
  seal (self);
}

/* A refused text does not stay behind when the person goes elsewhere: the last good value comes back. */
static void
on_left (GtkEventControllerFocus *focus, LwFieldRow *self)
{
  if (self->desk == NULL)
    return;
  seal (self);
  fill (self);
}

static void
step_by (LwFieldRow *self, double steps)
{
  double value;
  g_autofree char *text = NULL;

  if (!lw_figure_parse_in (gtk_editable_get_text (GTK_EDITABLE (self->entry)), self->unit_text, &value))
    return;
  text = lw_figure_in (CLAMP (value + steps * self->step, self->low, self->high), self->digits, self->unit_text);
  gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  gtk_editable_set_position (GTK_EDITABLE (self->entry), -1);
}

static gboolean
on_key (GtkEventControllerKey *keys, guint key, guint code, GdkModifierType state, LwFieldRow *self)
{
  if (key == GDK_KEY_Escape && self->typed) {
    fill (self);
    return TRUE;
  }
  if (self->read != NULL || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (key == GDK_KEY_Up || key == GDK_KEY_Down) {
    step_by (self, key == GDK_KEY_Up ? 1 : -1);
    return TRUE;
  }
  if (key == GDK_KEY_Page_Up || key == GDK_KEY_Page_Down) {
    step_by (self, key == GDK_KEY_Page_Up ? 10 : -10);
    return TRUE;
  }
  return FALSE;
}

/* Another's edit or an undo: show it, unless the person is in the middle of typing something else. */
static void
job_changed_cb (LwFieldRow *self)
{
  if (!self->typed)
    fill (self);
}

static void
lw_field_row_dispose (GObject *object)
{
  LwFieldRow *self = LW_FIELD_ROW (object);

  g_clear_handle_id (&self->pause, g_source_remove);
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_FIELD_ROW);
  G_OBJECT_CLASS (lw_field_row_parent_class)->dispose (object);
}

static void
lw_field_row_finalize (GObject *object)
{
  LwFieldRow *self = LW_FIELD_ROW (object);

  g_free (self->path);
  g_free (self->unit_text);
  g_free (self->absent);
  G_OBJECT_CLASS (lw_field_row_parent_class)->finalize (object);
}

static void
lw_field_row_class_init (LwFieldRowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_field_row_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_field_row_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "fieldrow");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/field-row.ui");
  gtk_widget_class_bind_template_child (widget_class, LwFieldRow, title);
  gtk_widget_class_bind_template_child (widget_class, LwFieldRow, unit);
  gtk_widget_class_bind_template_child (widget_class, LwFieldRow, message);
  gtk_widget_class_bind_template_child (widget_class, LwFieldRow, entry);
  gtk_widget_class_bind_template_callback (widget_class, on_changed);
  gtk_widget_class_bind_template_callback (widget_class, on_activate);
  gtk_widget_class_bind_template_callback (widget_class, on_left);
  gtk_widget_class_bind_template_callback (widget_class, on_key);
}

static void
lw_field_row_init (LwFieldRow *self)
{
  self->low = -INFINITY;
  self->high = INFINITY;
  gtk_widget_init_template (GTK_WIDGET (self));
}

static LwFieldRow *
row_new (LwDesk *desk, const char *path, const char *title)
{
  LwFieldRow *self = g_object_new (LW_TYPE_FIELD_ROW, NULL);

  self->desk = g_object_ref (desk);
  self->path = g_strdup (path);
  gtk_label_set_text (self->title, title);
  lw_tell_whole_text (GTK_WIDGET (self->entry));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (job_changed_cb), self);
  g_signal_group_set_target (self->desk_signals, desk);
  return self;
}

GtkWidget *
lw_field_row_new_number (LwDesk *desk, const char *path, const char *title, const char *unit, int digits,
                         double step, const char *absent)
{
  LwFieldRow *self = row_new (desk, path, title);

  self->unit_text = g_strdup (unit);
  self->digits = digits;
  self->step = step;
  self->absent = g_strdup (absent);
  if (absent != NULL)
    gtk_entry_set_placeholder_text (self->entry, absent);
  fill (self);
  return GTK_WIDGET (self);
}

GtkWidget *
lw_field_row_new_text (LwDesk *desk, const char *path, const char *title, LwReadText read)
{
  LwFieldRow *self = row_new (desk, path, title);

  self->read = read;
  gtk_editable_set_alignment (GTK_EDITABLE (self->entry), 0);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), 12);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entry), 20);
  gtk_widget_set_hexpand (GTK_WIDGET (self->entry), TRUE); /* words take what their title leaves */
  gtk_widget_set_hexpand (GTK_WIDGET (self->title), FALSE);
  gtk_widget_set_visible (GTK_WIDGET (self->unit), FALSE);
  fill (self);
  return GTK_WIDGET (self);
}

void
lw_field_row_set_range (LwFieldRow *self, double low, double high)
{
  g_return_if_fail (LW_IS_FIELD_ROW (self));
  self->low = isnan (low) ? -INFINITY : low;
  self->high = isnan (high) ? INFINITY : high;
}

const char *
lw_field_row_message (LwFieldRow *self)
{
  g_return_val_if_fail (LW_IS_FIELD_ROW (self), NULL);
  return gtk_widget_get_visible (GTK_WIDGET (self->message)) ? gtk_label_get_text (self->message) : NULL;
}

GtkEditable *
lw_field_row_editable (LwFieldRow *self)
{
  g_return_val_if_fail (LW_IS_FIELD_ROW (self), NULL);
  return GTK_EDITABLE (self->entry);
}

const char *
lw_field_row_path (LwFieldRow *self)
{
  g_return_val_if_fail (LW_IS_FIELD_ROW (self), NULL);
  return self->path;
}
