#include "widgets/form.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits.h"
#include "widgets/spoken.h"
#include "widgets/words.h"

struct _LwForm {
  GtkPopover parent_instance;

  GtkGrid *grid;
  GtkWidget *message, *button;
  GHashTable *rows;   /* key -> entry or drop-down (borrowed) */
  GHashTable *titles; /* key -> title */
  int n_rows;
  gboolean keep_open;
  LwFormDo act;
  gpointer user;
};

G_DEFINE_FINAL_TYPE (LwForm, lw_form, GTK_TYPE_POPOVER)

void
lw_form_say (LwForm *self, const char *text, gboolean wrong)
{
  gtk_label_set_text (GTK_LABEL (self->message), text == NULL ? "" : text);
  gtk_widget_set_visible (self->message, text != NULL && *text != '\0');
  if (wrong)
    gtk_widget_add_css_class (self->message, "field-message");
  else
    gtk_widget_remove_css_class (self->message, "field-message");
  if (text != NULL)
    lw_spoken_tell (GTK_WIDGET (self), text); /* the keyboard stays in the field */
}

static void
on_act (LwForm *self)
{
  g_autoptr (GError) error = NULL;

  g_object_ref (self);
  lw_form_say (self, NULL, FALSE);
  if (!self->act (self, self->user, &error))
    lw_form_say (self, error != NULL ? error->message : _("this cannot be done"), TRUE);
  else if (!self->keep_open)
    gtk_popover_popdown (GTK_POPOVER (self));
  g_object_unref (self);
}

static void
add_row (LwForm *self, const char *key, const char *title, GtkWidget *widget, const char *unit)
{
  GtkWidget *name = gtk_label_new_with_mnemonic (title);

  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_mnemonic_widget (GTK_LABEL (name), widget);
  gtk_widget_set_hexpand (widget, TRUE);
  gtk_grid_attach (self->grid, name, 0, self->n_rows, 1, 1);
  gtk_grid_attach (self->grid, widget, 1, self->n_rows, unit == NULL ? 2 : 1, 1);
  if (unit != NULL) {
    GtkWidget *label = gtk_label_new (unit);

    gtk_label_set_xalign (GTK_LABEL (label), 0);
    gtk_widget_add_css_class (label, "quiet");
    gtk_grid_attach (self->grid, label, 2, self->n_rows, 1, 1);
  }
  gtk_accessible_update_relation (GTK_ACCESSIBLE (widget), GTK_ACCESSIBLE_RELATION_LABELLED_BY, name, NULL, -1);
  g_hash_table_insert (self->rows, g_strdup (key), widget);
  g_hash_table_insert (self->titles, g_strdup (key), g_strdup (gtk_label_get_text (GTK_LABEL (name))));
  self->n_rows++;
}

GtkWidget *
lw_form_add_text (LwForm *self, const char *key, const char *title, const char *initial)
{
  GtkWidget *entry = gtk_entry_new ();

  gtk_editable_set_text (GTK_EDITABLE (entry), initial == NULL ? "" : initial);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 14);
  g_signal_connect_swapped (entry, "activate", G_CALLBACK (on_act), self);
  add_row (self, key, title, entry, NULL);
  return entry;
}

void
lw_form_add_number (LwForm *self, const char *key, const char *title, const char *unit, int digits, double initial)
{
  GtkWidget *entry = gtk_entry_new ();
  g_autofree char *text = isnan (initial) ? g_strdup ("") : lw_figure_in (initial, digits, unit);

  g_object_set_data_full (G_OBJECT (entry), "unit", g_strdup (unit), g_free);
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  gtk_editable_set_width_chars (GTK_EDITABLE (entry), 9);
  gtk_editable_set_alignment (GTK_EDITABLE (entry), 1);
  gtk_entry_set_input_purpose (GTK_ENTRY (entry), GTK_INPUT_PURPOSE_NUMBER);
  g_signal_connect_swapped (entry, "activate", G_CALLBACK (on_act), self);
  add_row (self, key, title, entry, unit == NULL ? NULL : lw_units_word (lw_shown_units (), unit));
}

void
lw_form_add_choice (LwForm *self, const char *key, const char *title, const char *const *labels, guint chosen)
{
  GtkWidget *choice = gtk_drop_down_new_from_strings (labels);

  gtk_drop_down_set_selected (GTK_DROP_DOWN (choice), chosen);
  add_row (self, key, title, choice, NULL);
}

void
lw_form_add_widget (LwForm *self, GtkWidget *widget)
{
  gtk_grid_attach (self->grid, widget, 0, self->n_rows++, 3, 1);
}

GtkWidget *
lw_form_widget (LwForm *self, const char *key)
{
  return g_hash_table_lookup (self->rows, key);
}

const char *
lw_form_text (LwForm *self, const char *key)
{
  return gtk_editable_get_text (GTK_EDITABLE (lw_form_widget (self, key)));
}

void
lw_form_set_text (LwForm *self, const char *key, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (lw_form_widget (self, key)), text);
}

guint
lw_form_choice (LwForm *self, const char *key)
{
  return gtk_drop_down_get_selected (GTK_DROP_DOWN (lw_form_widget (self, key)));
}

gboolean
lw_form_number (LwForm *self, const char *key, double *value, GError **error)
{
  const char *text = lw_form_text (self, key);
  const char *unit = g_object_get_data (G_OBJECT (lw_form_widget (self, key)), "unit");

  if (lw_figure_parse_in (text, unit, value))
    return TRUE;
  /* Translators: %s names a field of a form, the second what was typed there. */
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("%s: “%s” is no number"),
               (const char *) g_hash_table_lookup (self->titles, key), text);
  lw_form_focus (self, key);
  return FALSE;
}

void
lw_form_focus (LwForm *self, const char *key)
{
  GtkWidget *widget = lw_form_widget (self, key);

  gtk_widget_grab_focus (widget);
  if (GTK_IS_EDITABLE (widget))
    gtk_editable_select_region (GTK_EDITABLE (widget), 0, -1);
}

void
lw_form_keep_open (LwForm *self)
{
  self->keep_open = TRUE;
}

static void
put_away_cb (gpointer form)
{
  if (gtk_widget_get_parent (form) != NULL)
    gtk_widget_unparent (form);
  g_object_unref (form);
}

void
lw_form_put_away (LwForm *self)
{
  g_idle_add_once (put_away_cb, g_object_ref (self));
}

void
lw_forms_drop (GtkWidget *parent)
{
  GtkWidget *next;

  for (GtkWidget *child = gtk_widget_get_first_child (parent); child != NULL; child = next) {
    next = gtk_widget_get_next_sibling (child);
    if (LW_IS_FORM (child))
      gtk_widget_unparent (child);
  }
}

static void
lw_form_finalize (GObject *object)
{
  g_hash_table_unref (LW_FORM (object)->rows);
  g_hash_table_unref (LW_FORM (object)->titles);
  G_OBJECT_CLASS (lw_form_parent_class)->finalize (object);
}

static void
lw_form_class_init (LwFormClass *class)
{
  G_OBJECT_CLASS (class)->finalize = lw_form_finalize;
}

static void
lw_form_init (LwForm *self)
{
  self->rows = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->titles = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
}

/* With large letters a form may be taller than the window: its rows then scroll, the button stays in sight. */
static GtkWidget *
scrolled (GtkWidget *grid, GtkWidget *parent)
{
  GtkWidget *scroller = gtk_scrolled_window_new (), *root = GTK_WIDGET (gtk_widget_get_root (parent));
  int height = root == NULL ? 0 : gtk_widget_get_height (root);

  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scroller), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (scroller), TRUE);
  gtk_scrolled_window_set_max_content_height (GTK_SCROLLED_WINDOW (scroller), MAX (height - 240, 180));
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scroller), grid);
  return scroller;
}

LwForm *
lw_form_new (GtkWidget *parent, const char *title, const char *button, LwFormDo act, gpointer user)
{
  LwForm *self = g_object_new (LW_TYPE_FORM, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *head = gtk_label_new (title);

  self->act = act;
  self->user = user;
  self->grid = GTK_GRID (gtk_grid_new ());
  self->message = gtk_label_new (NULL);
  self->button = gtk_button_new_with_mnemonic (button);
  gtk_grid_set_row_spacing (self->grid, 6);
  gtk_grid_set_column_spacing (self->grid, 10);
  gtk_label_set_xalign (GTK_LABEL (head), 0);
  gtk_widget_add_css_class (head, "panel-title");
  gtk_label_set_xalign (GTK_LABEL (self->message), 0);
  gtk_label_set_wrap (GTK_LABEL (self->message), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->message), 34);
  gtk_widget_set_visible (self->message, FALSE);
  gtk_widget_add_css_class (self->button, "suggested-action");
  gtk_widget_set_halign (self->button, GTK_ALIGN_END);
  gtk_widget_add_css_class (box, "form");
  g_signal_connect_swapped (self->button, "clicked", G_CALLBACK (on_act), self);
  gtk_box_append (GTK_BOX (box), head);
  gtk_box_append (GTK_BOX (box), scrolled (GTK_WIDGET (self->grid), parent));
  gtk_box_append (GTK_BOX (box), self->message);
  gtk_box_append (GTK_BOX (box), self->button);
  gtk_popover_set_child (GTK_POPOVER (self), box);
  gtk_widget_set_parent (GTK_WIDGET (self), parent);
  return self;
}
