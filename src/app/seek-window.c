#include "app/seek-window.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/loose-parent.h"
#include "plan/seek.h"
#include "widgets/shown-units.h"

struct _LwSeekWindow {
  GtkWindow parent_instance;

  GtkCheckButton *nozzle, *height, *area, *shields;
  GtkDropDown *effort;
  GtkProgressBar *bar;
  GtkButton *start, *use;
  GtkBox *outcome;

  LwDesk *desk;
  GCancellable *cancellable; /* of the search in flight */
  LwSeek *found;
};

G_DEFINE_FINAL_TYPE (LwSeekWindow, lw_seek_window, GTK_TYPE_WINDOW)

static const guint efforts[] = { 1, 3, 9 };

/* ---- what is shown ---- */

static GtkWidget *
add_text (LwSeekWindow *self, const char *text, const char *class)
{
  g_autofree char *shown = lw_units_paragraph (lw_shown_units (), text);
  GtkWidget *label = gtk_label_new (shown);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 64);
  gtk_label_set_selectable (GTK_LABEL (label), FALSE);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  gtk_box_append (self->outcome, label);
  return label;
}

static void
clear_outcome (LwSeekWindow *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self->outcome))) != NULL)
    gtk_box_remove (self->outcome, child);
}

static void
show_limits (LwSeekWindow *self, const LwSeek *found)
{
  add_text (self,
            found->satisfies ? _("What limits it now")
                             : _("No plan within reach keeps every limit; these stand against each other"),
            "section-title");
  add_text (self, _("Before each: its headroom, in times of its doubt; below nought the limit is passed."), "quiet");
  for (guint i = 0; i < found->limits_after->len; i++) {
    const LwSeekLimit *limit = g_ptr_array_index (found->limits_after, i);
    double steps = round (10 * limit->steps) / 10 + 0.0; /* no "-0.0" */
    /* Translators: steps of headroom, then the sentence of the finding. */
    g_autofree char *text = g_strdup_printf (_("%.1f  %s"), steps, limit->text);

    add_text (self, text, NULL);
  }
}

static void
put (GtkGrid *grid, const char *text, int column, int row, const char *class)
{
  g_autofree char *shown = lw_units_paragraph (lw_shown_units (), text);
  GtkWidget *label = gtk_label_new (shown);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_set_hexpand (label, column > 0);
  if (class != NULL)
    gtk_widget_add_css_class (label, class);
  gtk_grid_attach (grid, label, column, row, 1, 1);
}

static void
show_changes (LwSeekWindow *self, const LwSeek *found)
{
  GtkGrid *grid = GTK_GRID (gtk_grid_new ());

  add_text (self, _("What changes"), "section-title");
  gtk_grid_set_column_spacing (grid, 18);
  gtk_grid_set_row_spacing (grid, 2);
  put (grid, _("Was"), 1, 0, "quiet");
  put (grid, _("Becomes"), 2, 0, "quiet");
  for (guint i = 0; i < found->changes->len; i++) {
    const LwSeekChange *change = g_ptr_array_index (found->changes, i);

    put (grid, change->what, 0, (int) i + 1, NULL);
    put (grid, change->before, 1, (int) i + 1, "numeric");
    put (grid, change->after, 2, (int) i + 1, "numeric");
  }
  gtk_box_append (self->outcome, GTK_WIDGET (grid));
}

static void
show_off_first (LwSeekWindow *self, const LwSeek *found)
{
  for (guint i = 0; i < found->off_first->len; i++) {
    g_autofree char *text = g_strdup_printf (_("It counts on %s being taken off first."),
                                             (const char *) g_ptr_array_index (found->off_first, i));

    add_text (self, text, NULL);
  }
}

static void
show_help (LwSeekWindow *self, const LwSeek *found)
{
  if (found->would_help->len == 0)
    return;
  add_text (self, _("What would buy more headroom"), "section-title");
  for (guint i = 0; i < found->would_help->len; i++)
    add_text (self, g_ptr_array_index (found->would_help, i), NULL);
}

static void
show_effort (LwSeekWindow *self, const LwSeek *found)
{
  g_autofree char *text
      = g_strdup_printf (_("Plans tried: %u, places: %u, %.1f s. The full solution agrees within %.1f K."), found->n_tried,
                         found->n_places, found->seconds_search, found->apart_k);

  add_text (self, text, "quiet");
}

static void
show_found (LwSeekWindow *self)
{
  const LwSeek *found = self->found;
  g_autofree char *before = lw_seek_say_steps (found->steps_before), *after = lw_seek_say_steps (found->steps_after);
  g_autofree char *headline
      /* Translators: both are "2.1 times its doubt left" or "passed by 0.7 times its doubt". */
      = found->better ? g_strdup_printf (_("At the tightest limit: %s; before: %s"), after, before)
                      : g_strdup_printf (_("No better plan was found; at the tightest limit: %s"), before);

  clear_outcome (self);
  add_text (self, headline, "panel-title");
  show_limits (self, found);
  if (found->better)
    show_changes (self, found);
  show_off_first (self, found);
  show_help (self, found);
  show_effort (self, found);
}

static void
refresh (LwSeekWindow *self)
{
  gboolean busy = self->cancellable != NULL, ready = lw_desk_plan (self->desk) >= 0;
  GtkWidget *choices[] = { GTK_WIDGET (self->nozzle), GTK_WIDGET (self->height), GTK_WIDGET (self->area),
                           GTK_WIDGET (self->shields), GTK_WIDGET (self->effort) };

  for (guint i = 0; i < G_N_ELEMENTS (choices); i++)
    gtk_widget_set_sensitive (choices[i], !busy);
  gtk_button_set_label (self->start, busy ? _("_Cancel") : self->found != NULL ? _("_Begin Again") : _("_Begin"));
  gtk_button_set_use_underline (self->start, TRUE);
  gtk_widget_set_sensitive (GTK_WIDGET (self->start), busy || ready);
  gtk_widget_set_sensitive (GTK_WIDGET (self->use), !busy && self->found != NULL && self->found->better);
  gtk_widget_set_opacity (GTK_WIDGET (self->bar), busy ? 1 : 0);
}

/* ---- the search ---- */

static void
on_progress (double done, gpointer user)
{
  LwSeekWindow *self = user;

  gtk_progress_bar_set_fraction (self->bar, done);
}

static void
on_found (GObject *source, GAsyncResult *result, gpointer user)
{
  g_autoptr (LwSeekWindow) self = user;
  g_autoptr (GError) error = NULL;
  LwSeek *found = lw_seek_finish (result, &error);

  g_clear_object (&self->cancellable);
  if (found != NULL) {
    g_clear_pointer (&self->found, lw_seek_free);
    self->found = found;
  }
  if (self->desk == NULL)
    return; /* closed meanwhile */
  if (found != NULL)
    show_found (self);
  else if (!g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED)) {
    clear_outcome (self);
    add_text (self, error->message, "field-message");
  }
  refresh (self);
}

static void
on_start (LwSeekWindow *self)
{
  LwJob *job = lw_desk_job (self->desk);
  guint effort = gtk_drop_down_get_selected (self->effort);
  LwSeekOptions options = { .effort = efforts[MIN (effort, G_N_ELEMENTS (efforts) - 1)],
                            .keep_nozzle = !gtk_check_button_get_active (self->nozzle),
                            .keep_height = !gtk_check_button_get_active (self->height),
                            .keep_area = !gtk_check_button_get_active (self->area),
                            .keep_shields = !gtk_check_button_get_active (self->shields) };

  if (self->cancellable != NULL) {
    g_cancellable_cancel (self->cancellable);
    return;
  }
  if (job == NULL || lw_desk_plan (self->desk) < 0)
    return;
  gtk_progress_bar_set_fraction (self->bar, 0);
  self->cancellable = g_cancellable_new ();
  lw_seek_async (job, (guint) lw_desk_plan (self->desk), &options, self->cancellable, on_progress, self, on_found,
                 g_object_ref (self));
  refresh (self);
}

static void
on_use (LwSeekWindow *self)
{
  GError *error = NULL;
  LwJob *job = lw_seek_apply (self->found, lw_desk_job (self->desk), &error);

  if (lw_desk_edit (self->desk, job, _("Seek a Better Plan"), NULL, error))
    gtk_window_close (GTK_WINDOW (self));
}

/* ---- life ---- */

static void
lw_seek_window_dispose (GObject *object)
{
  LwSeekWindow *self = LW_SEEK_WINDOW (object);

  if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
  g_clear_object (&self->desk);
  g_clear_pointer (&self->found, lw_seek_free);
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_SEEK_WINDOW);
  G_OBJECT_CLASS (lw_seek_window_parent_class)->dispose (object);
}

/* A search in flight holds the window; it ends, and its outcome is dropped. */
static gboolean
lw_seek_window_close_request (GtkWindow *window)
{
  LwSeekWindow *self = LW_SEEK_WINDOW (window);

  if (self->cancellable != NULL)
    g_cancellable_cancel (self->cancellable);
  return GTK_WINDOW_CLASS (lw_seek_window_parent_class)->close_request (window);
}

static void
lw_seek_window_class_init (LwSeekWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_seek_window_dispose;
  GTK_WINDOW_CLASS (class)->close_request = lw_seek_window_close_request;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/seek-window.ui");
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, nozzle);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, height);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, area);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, shields);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, effort);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, bar);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, start);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, use);
  gtk_widget_class_bind_template_child (widget_class, LwSeekWindow, outcome);
  gtk_widget_class_bind_template_callback (widget_class, on_start);
  gtk_widget_class_bind_template_callback (widget_class, on_use);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
lw_seek_window_init (LwSeekWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
lw_seek_window_new (GtkWindow *parent, LwDesk *desk)
{
  LwSeekWindow *self = g_object_new (LW_TYPE_SEEK_WINDOW, "transient-for", parent, NULL);

  lw_hold_parent_loosely (GTK_WINDOW (self), parent, &self->cancellable);
  self->desk = g_object_ref (desk);
  refresh (self);
  return GTK_WIDGET (self);
}
