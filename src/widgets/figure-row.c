#include "widgets/figure-row.h"

#include <math.h>
#include <string.h>

#include "widgets/spoken.h"
#include "widgets/words.h"

struct _LwFigureRow {
  GtkBox parent_instance;
  GtkEntry *entry;
  GtkLabel *message;
};

G_DEFINE_FINAL_TYPE (LwFigureRow, lw_figure_row, GTK_TYPE_BOX)

enum { CHANGED, FOCUSED, N_SIGNALS };
static guint signals[N_SIGNALS];

enum { DIGITS = 4 };

static void
changed_cb (LwFigureRow *self)
{
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
focused_cb (LwFigureRow *self)
{
  g_signal_emit (self, signals[FOCUSED], 0);
}

static void
lw_figure_row_class_init (LwFigureRowClass *class)
{
  signals[CHANGED] = g_signal_new ("changed", LW_TYPE_FIGURE_ROW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[FOCUSED] = g_signal_new ("focused", LW_TYPE_FIGURE_ROW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *
label_new (const char *text, const char *style)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  if (style != NULL)
    gtk_widget_add_css_class (label, style);
  return label;
}

static void
lw_figure_row_init (LwFigureRow *self)
{
  GtkEventController *focus = gtk_event_controller_focus_new ();
  GtkWidget *message = label_new (NULL, "field-message");

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 2);
  self->entry = GTK_ENTRY (gtk_entry_new ());
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), 8);
  gtk_editable_set_max_width_chars (GTK_EDITABLE (self->entry), 10);
  gtk_entry_set_alignment (self->entry, 1);
  gtk_entry_set_activates_default (self->entry, TRUE);
  gtk_entry_set_input_purpose (self->entry, GTK_INPUT_PURPOSE_NUMBER);
  gtk_widget_add_css_class (GTK_WIDGET (self->entry), "numeric");
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (changed_cb), self);
  g_signal_connect_swapped (focus, "enter", G_CALLBACK (focused_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self->entry), focus);
  self->message = GTK_LABEL (message);
  gtk_label_set_wrap (self->message, TRUE);
  gtk_label_set_max_width_chars (self->message, 30);
  gtk_widget_set_visible (message, FALSE);
}

GtkWidget *
lw_figure_row_new (const char *letter, const char *title, const char *unit)
{
  LwFigureRow *self = g_object_new (LW_TYPE_FIGURE_ROW, NULL);
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *sign, *name, *measure;

  sign = label_new (letter, "figure-letter");
  gtk_label_set_width_chars (GTK_LABEL (sign), 3);
  name = label_new (title, NULL);
  gtk_label_set_mnemonic_widget (GTK_LABEL (name), GTK_WIDGET (self->entry));
  gtk_label_set_wrap (GTK_LABEL (name), TRUE);
  gtk_widget_set_hexpand (name, TRUE);
  measure = label_new (unit, "quiet");
  gtk_widget_set_size_request (measure, 30, -1); /* entries stay in one line whatever the unit */
  gtk_box_append (GTK_BOX (line), sign);
  gtk_box_append (GTK_BOX (line), name);
  gtk_box_append (GTK_BOX (line), GTK_WIDGET (self->entry));
  gtk_box_append (GTK_BOX (line), measure);
  gtk_box_append (GTK_BOX (self), line);
  gtk_box_append (GTK_BOX (self), GTK_WIDGET (self->message));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
  return GTK_WIDGET (self);
}

void
lw_figure_row_set_value (LwFigureRow *self, double value)
{
  g_autofree char *text = isnan (value) ? g_strdup ("") : lw_figure (value, DIGITS);

  g_signal_handlers_block_by_func (self->entry, changed_cb, self);
  gtk_editable_set_text (GTK_EDITABLE (self->entry), text);
  g_signal_handlers_unblock_by_func (self->entry, changed_cb, self);
}

void
lw_figure_row_set_usual (LwFigureRow *self, double value)
{
  g_autofree char *text = isnan (value) ? NULL : lw_figure (value, 2);

  gtk_entry_set_placeholder_text (self->entry, text);
}

gboolean
lw_figure_row_read (LwFigureRow *self, double *value)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));

  *value = NAN;
  return text[strspn (text, " \t")] == '\0' || lw_figure_parse (text, value);
}

void
lw_figure_row_set_message (LwFigureRow *self, const char *text)
{
  if (text != NULL && !g_str_equal (text, gtk_label_get_text (self->message)))
    lw_spoken_tell (GTK_WIDGET (self), text);
  gtk_label_set_text (self->message, text != NULL ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (self->message), text != NULL);
  if (text != NULL)
    gtk_widget_add_css_class (GTK_WIDGET (self->entry), "error");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self->entry), "error");
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_STATE_INVALID,
                               text != NULL ? GTK_ACCESSIBLE_INVALID_TRUE : GTK_ACCESSIBLE_INVALID_FALSE, -1);
}

const char *
lw_figure_row_message (LwFigureRow *self)
{
  return gtk_widget_get_visible (GTK_WIDGET (self->message)) ? gtk_label_get_text (self->message) : NULL;
}

GtkEditable *
lw_figure_row_editable (LwFigureRow *self)
{
  return GTK_EDITABLE (self->entry);
}
