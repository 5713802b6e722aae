#include "widgets/table-cell.h"

#include "widgets/spoken.h"
#include "widgets/whole-text.h"

struct _LwTableCell {
  GtkWidget parent_instance;

  GtkWidget *label, *entry;     /* entry only while open */
  GtkWidget *popover, *message; /* only while something is refused */
  char *edited;
  gboolean numeric, closing;
  LwCellCommit commit;
  gpointer user;
};

G_DEFINE_FINAL_TYPE (LwTableCell, lw_table_cell, GTK_TYPE_WIDGET)

static void
hide_message (LwTableCell *self)
{
  if (self->popover == NULL)
    return;
  gtk_popover_popdown (GTK_POPOVER (self->popover));
  g_clear_pointer (&self->popover, gtk_widget_unparent);
  self->message = NULL;
  if (self->entry != NULL)
    gtk_widget_remove_css_class (self->entry, "error");
}

static void
show_message (LwTableCell *self, const char *text)
{
  if (self->popover == NULL) {
    self->popover = gtk_popover_new ();
    self->message = gtk_label_new (NULL);
    gtk_label_set_wrap (GTK_LABEL (self->message), TRUE);
    gtk_label_set_max_width_chars (GTK_LABEL (self->message), 44);
    gtk_widget_add_css_class (self->message, "field-message");
    gtk_popover_set_child (GTK_POPOVER (self->popover), self->message);
    gtk_popover_set_autohide (GTK_POPOVER (self->popover), FALSE);
    gtk_popover_set_position (GTK_POPOVER (self->popover), GTK_POS_BOTTOM);
    gtk_widget_set_can_focus (self->popover, FALSE);
    gtk_widget_set_parent (self->popover, GTK_WIDGET (self));
  }
  gtk_label_set_text (GTK_LABEL (self->message), text);
  lw_spoken_tell (GTK_WIDGET (self), text); /* the keyboard stays in the cell */
  gtk_widget_add_css_class (self->entry, "error");
  gtk_accessible_update_state (GTK_ACCESSIBLE (self->entry), GTK_ACCESSIBLE_STATE_INVALID, GTK_ACCESSIBLE_INVALID_TRUE,
                               -1);
  gtk_popover_popup (GTK_POPOVER (self->popover));
}

static void
close_entry (LwTableCell *self, gboolean focus)
{
  if (self->entry == NULL)
    return;
  self->closing = TRUE;
  hide_message (self);
  if (focus)
    gtk_widget_grab_focus (GTK_WIDGET (self));
  g_clear_pointer (&self->entry, gtk_widget_unparent);
  gtk_widget_set_visible (self->label, TRUE);
  self->closing = FALSE;
}

/* FALSE: refused, and still open. */
static gboolean
take (LwTableCell *self, gboolean focus)
{
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  if (self->entry == NULL)
    return TRUE;
  text = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->entry))));
  if (g_strcmp0 (text, self->edited) == 0 || self->commit (self, text, self->user, &error)) {
    close_entry (self, focus);
    return TRUE;
  }
  if (self->entry != NULL)
    show_message (self, error != NULL ? error->message : "");
  return FALSE;
}

/* The next cell of the row that can be edited. */
static LwTableCell *
neighbour (LwTableCell *self, gboolean back)
{
  GtkWidget *box = gtk_widget_get_parent (GTK_WIDGET (self));

  while (box != NULL && (box = back ? gtk_widget_get_prev_sibling (box) : gtk_widget_get_next_sibling (box)) != NULL) {
    GtkWidget *child = gtk_widget_get_first_child (box);

    if (LW_IS_TABLE_CELL (child) && LW_TABLE_CELL (child)->commit != NULL && gtk_widget_get_mapped (child))
      return LW_TABLE_CELL (child);
  }
  return NULL;
}

static gboolean
entry_key_cb (GtkEventControllerKey *keys, guint keyval, guint code, GdkModifierType state, LwTableCell *self)
{
  gboolean back = keyval == GDK_KEY_ISO_Left_Tab || (state & GDK_SHIFT_MASK) != 0;
  LwTableCell *next;

  if (keyval == GDK_KEY_Escape) {
    close_entry (self, TRUE);
    return TRUE;
  }
  if (keyval != GDK_KEY_Tab && keyval != GDK_KEY_ISO_Left_Tab)
    return FALSE;
  next = neighbour (self, back);
  if (take (self, TRUE) && next != NULL)
    lw_table_cell_edit (next);
  return TRUE;
}

/* Leaving takes what was typed when it can be taken, and drops it otherwise: nothing stays half open. */
static void
entry_left_cb (LwTableCell *self)
{
  if (self->closing || self->entry == NULL || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    return;
  if (!take (self, FALSE))
    close_entry (self, FALSE);
}

static void
entry_activate_cb (LwTableCell *self)
{
  take (self, TRUE);
}

void
lw_table_cell_edit (LwTableCell *self)
{
  GtkEventController *keys, *focus;

  g_return_if_fail (LW_IS_TABLE_CELL (self));
  if (self->commit == NULL || self->entry != NULL)
    return;
  self->entry = gtk_entry_new ();
  keys = gtk_event_controller_key_new ();
  focus = gtk_event_controller_focus_new ();
  gtk_editable_set_text (GTK_EDITABLE (self->entry), self->edited);
  gtk_editable_set_width_chars (GTK_EDITABLE (self->entry), self->numeric ? 6 : 8);
  gtk_editable_set_alignment (GTK_EDITABLE (self->entry), self->numeric ? 1 : 0);
  gtk_widget_set_hexpand (self->entry, TRUE);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (entry_key_cb), self);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (entry_left_cb), self);
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (entry_activate_cb), self);
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (hide_message), self);
  gtk_widget_add_controller (self->entry, keys);
  gtk_widget_add_controller (self->entry, focus);
  gtk_widget_set_visible (self->label, FALSE);
  gtk_widget_set_parent (self->entry, GTK_WIDGET (self));
  gtk_widget_grab_focus (self->entry);
  gtk_editable_select_region (GTK_EDITABLE (self->entry), 0, -1);
}

gboolean
lw_table_cell_editing (LwTableCell *self)
{
  return self->entry != NULL;
}

GtkEditable *
lw_table_cell_editable (LwTableCell *self)
{
  return self->entry == NULL ? NULL : GTK_EDITABLE (self->entry);
}

const char *
lw_table_cell_message (LwTableCell *self)
{
  return self->message == NULL ? NULL : gtk_label_get_text (GTK_LABEL (self->message));
}

void
lw_table_cell_set_text (LwTableCell *self, const char *text, const char *edited)
{
  g_return_if_fail (LW_IS_TABLE_CELL (self));
  gtk_label_set_text (GTK_LABEL (self->label), text);
  g_free (self->edited);
  self->edited = g_strdup (edited != NULL ? edited : text);
}

void
lw_table_cell_set_ellipsize (LwTableCell *self, gboolean ellipsize)
{
  gtk_label_set_ellipsize (GTK_LABEL (self->label), ellipsize ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
}

static void
pressed_cb (GtkGestureClick *gesture, int n, double x, double y, LwTableCell *self)
{
  if (n != 2 || self->commit == NULL || self->entry != NULL)
    return;
  gtk_gesture_set_state (GTK_GESTURE (gesture), GTK_EVENT_SEQUENCE_CLAIMED);
  lw_table_cell_edit (self);
}

static gboolean
key_cb (GtkEventControllerKey *keys, guint keyval, guint code, GdkModifierType state, LwTableCell *self)
{
  if (self->commit == NULL || self->entry != NULL)
    return FALSE;
  if (keyval != GDK_KEY_F2 && keyval != GDK_KEY_Return && keyval != GDK_KEY_KP_Enter)
    return FALSE;
  lw_table_cell_edit (self);
  return TRUE;
}

static void
lw_table_cell_dispose (GObject *object)
{
  LwTableCell *self = LW_TABLE_CELL (object);

  self->closing = TRUE;
  g_clear_pointer (&self->popover, gtk_widget_unparent);
  g_clear_pointer (&self->entry, gtk_widget_unparent);
  g_clear_pointer (&self->label, gtk_widget_unparent);
  G_OBJECT_CLASS (lw_table_cell_parent_class)->dispose (object);
}

static void
lw_table_cell_finalize (GObject *object)
{
  g_free (LW_TABLE_CELL (object)->edited);
  G_OBJECT_CLASS (lw_table_cell_parent_class)->finalize (object);
}

static void
lw_table_cell_class_init (LwTableCellClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_table_cell_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_table_cell_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "tablecell");
}

static void
lw_table_cell_init (LwTableCell *self)
{
  GtkGesture *click = gtk_gesture_click_new ();
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->label = gtk_label_new (NULL);
  self->edited = g_strdup ("");
  lw_tell_whole_text (self->label);
  gtk_widget_set_parent (self->label, GTK_WIDGET (self));
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  g_signal_connect (click, "pressed", G_CALLBACK (pressed_cb), self);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_cb), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
}

GtkWidget *
lw_table_cell_new (gboolean numeric, LwCellCommit commit, gpointer user)
{
  LwTableCell *self = g_object_new (LW_TYPE_TABLE_CELL, NULL);

  self->numeric = numeric;
  self->commit = commit;
  self->user = user;
  gtk_label_set_xalign (GTK_LABEL (self->label), numeric ? 1 : 0);
  if (numeric)
    gtk_widget_add_css_class (self->label, "numeric");
  gtk_widget_set_focusable (GTK_WIDGET (self), commit != NULL);
  return GTK_WIDGET (self);
}
