#include "app/manual-page.h"

#include "app/manual-blocks.h"

#define COLUMN 720 /* px: lines longer than some 90 letters are hard to read */
#define LATEST 120 /* frames until a place that is to be scrolled to must have been laid out */

struct _LwManualPage {
  GtkWidget parent_instance;
  GtkWidget *scroll, *column, *body;
  GPtrArray *widgets; /* of GtkWidget, borrowed: one for each block */
  int wanted;         /* block to scroll to; -1 = the top */
  guint tick, frames;
};

G_DEFINE_FINAL_TYPE (LwManualPage, lw_manual_page, GTK_TYPE_WIDGET)

static guint link_signal;

/* ---- the column: as wide as there is room, but no wider than can be read ---- */

static GtkSizeRequestMode
column_mode (GtkWidget *column)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
column_measure (GtkWidget *column, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (gtk_widget_get_first_child (column), orientation,
                      orientation == GTK_ORIENTATION_VERTICAL && for_size >= 0 ? MIN (for_size, COLUMN) : -1, minimum,
                      natural, NULL, NULL);
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    *natural = MAX (*minimum, COLUMN);
  else
    *minimum = *natural;
}

static void
column_allocate (GtkWidget *column, int width, int height, int baseline)
{
  int wide = MIN (width, COLUMN);

  gtk_widget_size_allocate (gtk_widget_get_first_child (column),
                            &(GtkAllocation){ (width - wide) / 2, 0, wide, height }, baseline);
}

/* ---- scrolling ---- */

GtkAdjustment *
lw_manual_page_scroll (LwManualPage *self)
{
  g_return_val_if_fail (LW_IS_MANUAL_PAGE (self), NULL);
  return gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scroll));
}

static GtkWidget *
widget_of (LwManualPage *self, guint block)
{
  return block < self->widgets->len ? g_ptr_array_index (self->widgets, block) : NULL;
}

/* Once it has been laid out. */
static gboolean
scroll_cb (GtkWidget *widget, GdkFrameClock *clock, gpointer user)
{
  LwManualPage *self = user;
  GtkWidget *place = widget_of (self, (guint) self->wanted);
  graphene_rect_t bounds;

  if (place != NULL && gtk_widget_get_height (place) == 0 && ++self->frames < LATEST)
    return G_SOURCE_CONTINUE;
  if (place != NULL && gtk_widget_compute_bounds (place, self->column, &bounds))
    gtk_adjustment_set_value (lw_manual_page_scroll (self), bounds.origin.y - 10);
  self->tick = 0;
  return G_SOURCE_REMOVE;
}

static void
scroll_to (LwManualPage *self, int block)
{
  self->wanted = block;
  self->frames = 0;
  gtk_adjustment_set_value (lw_manual_page_scroll (self), 0);
  if (block > 0 && self->tick == 0)
    self->tick = gtk_widget_add_tick_callback (self->scroll, scroll_cb, self, NULL);
}

static gboolean
key_cb (GtkEventControllerKey *controller, guint key, guint code, GdkModifierType state, LwManualPage *self)
{
  GtkAdjustment *scroll = lw_manual_page_scroll (self);
  double at = gtk_adjustment_get_value (scroll), page = 0.9 * gtk_adjustment_get_page_size (scroll), step = 48;

  if ((state & gtk_accelerator_get_default_mod_mask ()) == GDK_SHIFT_MASK && key == GDK_KEY_space)
    key = GDK_KEY_Page_Up;
  else if ((state & gtk_accelerator_get_default_mod_mask ()) != 0)
    return FALSE;
  switch (key) {
  case GDK_KEY_Tab: /* to the first link: GTK itself would leave */
    return gtk_widget_is_focus (self->scroll) && gtk_widget_child_focus (self->column, GTK_DIR_TAB_FORWARD);
  case GDK_KEY_Down: at += step; break;
  case GDK_KEY_Up: at -= step; break;
  case GDK_KEY_space:
  case GDK_KEY_Page_Down: at += page; break;
  case GDK_KEY_Page_Up: at -= page; break;
  case GDK_KEY_Home: at = 0; break;
  case GDK_KEY_End: at = gtk_adjustment_get_upper (scroll); break;
  default: return FALSE;
  }
  gtk_adjustment_set_value (scroll, at);
  return TRUE;
}

/* ---- contents ---- */

static gboolean
link_cb (GtkLabel *label, const char *target, gpointer user)
{
  g_autofree char *kept = g_strdup (target); /* the label may be gone when it is followed */

  g_signal_emit (user, link_signal, 0, kept);
  return TRUE;
}

static void
clear (LwManualPage *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->body)) != NULL)
    gtk_box_remove (GTK_BOX (self->body), child);
  g_ptr_array_set_size (self->widgets, 0);
}

static GtkWidget *
add_plain (LwManualPage *self, const char *text, const char *class)
{
  GtkWidget *label = gtk_label_new (text);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_selectable (GTK_LABEL (label), TRUE);
  gtk_widget_add_css_class (label, class);
  gtk_box_append (GTK_BOX (self->body), label);
  g_ptr_array_add (self->widgets, label);
  return label;
}

void
lw_manual_page_show_problem (LwManualPage *self, const char *title, const char *detail)
{
  g_return_if_fail (LW_IS_MANUAL_PAGE (self));
  clear (self);
  add_plain (self, title, "manual-h2");
  add_plain (self, detail, "manual-text");
  scroll_to (self, -1);
}

void
lw_manual_page_show (LwManualPage *self, const LwManualChapter *chapter, int block, const char *needle)
{
  g_autofree char *folder = NULL;
  g_auto (GStrv) words = needle == NULL ? NULL : g_strsplit_set (needle, " \t\n", -1);

  g_return_if_fail (LW_IS_MANUAL_PAGE (self));
  folder = g_path_get_dirname (chapter->file);
  clear (self);
  for (guint i = 0; i < chapter->blocks->len; i++) {
    GtkWidget *widget = lw_manual_block_widget (g_ptr_array_index (chapter->blocks, i), folder, words, link_cb, self);

    gtk_box_append (GTK_BOX (self->body), widget);
    g_ptr_array_add (self->widgets, widget);
  }
  scroll_to (self, block);
}

/* ---- the object ---- */

static gboolean
lw_manual_page_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (LW_MANUAL_PAGE (widget)->scroll);
}

static void
lw_manual_page_dispose (GObject *object)
{
  LwManualPage *self = LW_MANUAL_PAGE (object);

  if (self->tick != 0)
    gtk_widget_remove_tick_callback (self->scroll, self->tick);
  self->tick = 0;
  g_clear_pointer (&self->scroll, gtk_widget_unparent);
  g_clear_pointer (&self->widgets, g_ptr_array_unref);
  G_OBJECT_CLASS (lw_manual_page_parent_class)->dispose (object);
}

static void
lw_manual_page_class_init (LwManualPageClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_manual_page_dispose;
  GTK_WIDGET_CLASS (class)->grab_focus = lw_manual_page_grab_focus;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (class), GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "manualpage");
  link_signal = g_signal_new ("link", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                              G_TYPE_STRING);
}

static void
lw_manual_page_init (LwManualPage *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->widgets = g_ptr_array_new ();
  self->body = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_add_css_class (self->body, "manual-body");
  self->column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_box_append (GTK_BOX (self->column), self->body);
  gtk_widget_set_layout_manager (self->column, gtk_custom_layout_new (column_mode, column_measure, column_allocate));
  self->scroll = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scroll), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroll), self->column);
  gtk_widget_set_focusable (self->scroll, TRUE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_cb), self);
  gtk_widget_add_controller (self->scroll, keys);
  gtk_widget_set_parent (self->scroll, GTK_WIDGET (self));
}

GtkWidget *
lw_manual_page_new (void)
{
  return g_object_new (LW_TYPE_MANUAL_PAGE, NULL);
}
