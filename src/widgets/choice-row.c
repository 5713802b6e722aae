#include "widgets/choice-row.h"

#include <glib/gi18n.h>

#include "board/edits.h"
#include "widgets/template.h"

struct _LwChoiceRow {
  GtkWidget parent_instance;

  GtkLabel *title, *message;
  GtkDropDown *drop_down;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  char *path;
  char **words;
  LwReadWord read;
  gboolean filling;
};

G_DEFINE_FINAL_TYPE (LwChoiceRow, lw_choice_row, GTK_TYPE_WIDGET)

static void
show_message (LwChoiceRow *self, const char *text)
{
  gtk_label_set_text (self->message, text == NULL ? "" : text);
  gtk_widget_set_visible (GTK_WIDGET (self->message), text != NULL);
}

static void
fill (LwChoiceRow *self)
{
  const LwJob *job = lw_desk_job (self->desk);
  const char *word = job == NULL ? NULL : self->read (job, self->path);
  guint selected = GTK_INVALID_LIST_POSITION;

  for (guint i = 0; self->words[i] != NULL; i++)
    if (g_strcmp0 (word, self->words[i]) == 0)
      selected = i;
  self->filling = TRUE;
  gtk_drop_down_set_selected (self->drop_down, selected);
  self->filling = FALSE;
  show_message (self, NULL);
}

static void
on_selected (GtkDropDown *drop_down, GParamSpec *pspec, LwChoiceRow *self)
{
  guint selected = gtk_drop_down_get_selected (drop_down);
  const LwJob *job = self->desk == NULL ? NULL : lw_desk_job (self->desk);
  g_autoptr (GError) error = NULL;
  g_autofree char *label = NULL;
  LwJob *edited;

  if (self->filling || job == NULL || selected == GTK_INVALID_LIST_POSITION)
    return;
  edited = lw_edit_text (job, self->path, self->words[selected], &error);
  if (edited == NULL) {
    fill (self);
    show_message (self, error == NULL ? _("That choice was refused.") : error->message);
    return;
  }
  label = g_strdup_printf (_("Change “%s”"), gtk_label_get_text (self->title));
  lw_desk_edit (self->desk, edited, label, NULL, NULL);
}

static void
lw_choice_row_dispose (GObject *object)
{
  LwChoiceRow *self = LW_CHOICE_ROW (object);

  self->filling = TRUE;
  g_clear_object (&self->desk_signals);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_CHOICE_ROW);
  G_OBJECT_CLASS (lw_choice_row_parent_class)->dispose (object);
}

static void
lw_choice_row_finalize (GObject *object)
{
  LwChoiceRow *self = LW_CHOICE_ROW (object);

  g_free (self->path);
  g_strfreev (self->words);
  G_OBJECT_CLASS (lw_choice_row_parent_class)->finalize (object);
}

static void
lw_choice_row_class_init (LwChoiceRowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_choice_row_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_choice_row_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "choicerow");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/choice-row.ui");
  gtk_widget_class_bind_template_child (widget_class, LwChoiceRow, title);
  gtk_widget_class_bind_template_child (widget_class, LwChoiceRow, message);
  gtk_widget_class_bind_template_child (widget_class, LwChoiceRow, drop_down);
  gtk_widget_class_bind_template_callback (widget_class, on_selected);
}

static void
lw_choice_row_init (LwChoiceRow *self)
{
  self->filling = TRUE;
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
lw_choice_row_new (LwDesk *desk, const char *path, const char *title, const char *const *words,
                   const char *const *labels, LwReadWord read)
{
  LwChoiceRow *self = g_object_new (LW_TYPE_CHOICE_ROW, NULL);
  g_autoptr (GtkStringList) names = gtk_string_list_new (labels);

  self->desk = g_object_ref (desk);
  self->path = g_strdup (path);
  self->words = g_strdupv ((char **) words);
  self->read = read;
  gtk_label_set_text (self->title, title);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->drop_down), GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
  gtk_drop_down_set_model (self->drop_down, G_LIST_MODEL (names));
  fill (self);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (fill), self);
  g_signal_group_set_target (self->desk_signals, desk);
  return GTK_WIDGET (self);
}

GtkDropDown *
lw_choice_row_drop_down (LwChoiceRow *self)
{
  g_return_val_if_fail (LW_IS_CHOICE_ROW (self), NULL);
  return self->drop_down;
}
