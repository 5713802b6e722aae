#include "app/show-window.h"

#include <glib/gi18n.h>
#include <math.h>

#include "app/loose-parent.h"
#include "app/show-list.h"
#include "draw/show-page.h"
#include "widgets/canvas.h"
#include "widgets/shown-units.h"
#include "widgets/text-scale.h"

static const double speeds[] = { 1, 2, 5, 10, 20, 50 };
#define USUAL_SPEED 3 /* index: three minutes in less than twenty seconds */

/* One plan with what is predicted for it. */
typedef struct {
  LwJob *job;
  int plan;
  LwPrediction *prediction;
  GPtrArray *findings, *story;
} Shown;

struct _LwShowWindow {
  GtkWindow parent_instance;
  GtkDrawingArea *page;
  GtkButton *play;
  GtkScale *moment;
  GtkAdjustment *range;
  GtkDropDown *speed, *beside;
  GtkToggleButton *figures, *over, *as_list;
  GtkWidget *list_side; /* where the list is, when it is wanted */
  GtkMenuButton *save;
  GtkProgressBar *bar;
  GtkLabel *message;

  LwDesk *desk;
  Shown main, other;
  int *plans;               /* of the drop-down "beside": [0] = none */
  LwShowPainter *painter;   /* for the size, look and choices it was made for */
  int painted_width, painted_height, painted_scale;
  LwLook painted_look;
  guint tick;
  gint64 last_us, told_us; /* when the clock was read, and the list told, last */
  LwToldList *list;
  gboolean filling;
  GCancellable *computing;  /* the other plan's prediction */
  GtkNativeDialog *chooser;
  gboolean leave;           /* pictures are being made, and are to stop */
  guint n_painted;
  double longest_ms, sum_ms;
};

G_DEFINE_FINAL_TYPE (LwShowWindow, lw_show_window, GTK_TYPE_WINDOW)

/* ---- what is shown ---- */

static void
shown_clear (Shown *self)
{
  g_clear_pointer (&self->story, g_ptr_array_unref);
  g_clear_pointer (&self->findings, g_ptr_array_unref);
  g_clear_pointer (&self->prediction, lw_prediction_unref);
  g_clear_pointer (&self->job, lw_job_unref);
}

static void
shown_set (Shown *self, LwJob *job, int plan, LwPrediction *prediction, const GPtrArray *findings)
{
  shown_clear (self);
  self->job = lw_job_ref (job);
  self->plan = plan;
  self->prediction = lw_prediction_ref (prediction);
  self->findings = findings != NULL ? g_ptr_array_ref ((GPtrArray *) findings) : NULL;
  self->story = lw_story_new (job, prediction);
}

/* References of its own to what another holds. */
static Shown
shown_copy (const Shown *from)
{
  Shown copy = *from;

  if (copy.job == NULL)
    return (Shown){ 0 };
  lw_job_ref (copy.job);
  lw_prediction_ref (copy.prediction);
  if (copy.findings != NULL)
    g_ptr_array_ref (copy.findings);
  g_ptr_array_ref (copy.story);
  return copy;
}

static LwShown
borrowed (const Shown *self)
{
  return (LwShown){ self->job, self->plan, self->prediction, self->findings, self->story };
}

/* By the size of the page, and by the desktop's text. */
static double
letters_of (LwShowWindow *self, double height)
{
  return lw_text_scale (GTK_WIDGET (self->page)) * lw_show_letters (height);
}

static LwShowPage
page_of (LwShowWindow *self, double width, double height)
{
  const LwPlan *plan = self->main.plan >= 0 ? g_ptr_array_index (self->main.job->plans, self->main.plan) : NULL;
  int target = plan != NULL ? lw_job_find_part (self->main.job, plan->ref) : -1;
  LwSide side = target >= 0 ? ((const LwPart *) g_ptr_array_index (self->main.job->parts, target))->side : LW_SIDE_TOP;

  if (gtk_toggle_button_get_active (self->over))
    side = side == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP;
  return (LwShowPage){ .look = lw_widget_look (GTK_WIDGET (self->page)), .width = width, .height = height, .letters = letters_of (self, height),
                       .side = side,
                       .units = lw_shown_units (), .show_figures = gtk_toggle_button_get_active (self->figures),
                       .main = borrowed (&self->main), .other = borrowed (&self->other) };
}

/* The list says what the picture shows; while it plays, twice a second is as often as it can be read. */
static void
tell_list (LwShowWindow *self)
{
  enum { APART_US = 500000 };
  gint64 now = g_get_monotonic_time ();
  LwShowPage page;

  if (self->main.prediction == NULL || !gtk_widget_get_visible (self->list_side)
      || (self->tick != 0 && now - self->told_us < APART_US))
    return;
  self->told_us = now;
  page = page_of (self, 1, 1);
  lw_show_list_tell (self->list, &page, gtk_adjustment_get_value (self->range));
}

static void
forget_page (LwShowWindow *self)
{
  g_clear_pointer (&self->painter, lw_show_painter_free);
  tell_list (self);
  gtk_widget_queue_draw (GTK_WIDGET (self->page));
}

static void
draw_cb (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user)
{
  LwShowWindow *self = user;
  gint64 start = g_get_monotonic_time ();
  double ms;

  if (self->main.prediction == NULL)
    return;
  if (self->painter == NULL || width != self->painted_width || height != self->painted_height
      || lw_widget_look (GTK_WIDGET (area)) != self->painted_look) {
    LwShowPage page = page_of (self, width, height);

    g_clear_pointer (&self->painter, lw_show_painter_free);
    self->painter = lw_show_painter_new (&page);
    self->painted_width = width;
    self->painted_height = height;
    self->painted_look = page.look;
    start = g_get_monotonic_time (); /* what is drawn once does not count as a frame */
  }
  lw_show_paint (self->painter, cr, gtk_adjustment_get_value (self->range));
  ms = (double) (g_get_monotonic_time () - start) * 1e-3;
  self->n_painted++;
  self->sum_ms += ms;
  self->longest_ms = fmax (self->longest_ms, ms);
}

/* ---- playing ---- */

double
lw_show_window_moment (LwShowWindow *self)
{
  return gtk_adjustment_get_value (self->range);
}

void
lw_show_window_go (LwShowWindow *self, double t_s)
{
  gtk_adjustment_set_value (self->range, t_s);
}

gboolean
lw_show_window_playing (LwShowWindow *self)
{
  return self->tick != 0;
}

guint
lw_show_window_painted (LwShowWindow *self, double *longest_ms, double *mean_ms)
{
  if (longest_ms != NULL)
    *longest_ms = self->longest_ms;
  if (mean_ms != NULL)
    *mean_ms = self->n_painted > 0 ? self->sum_ms / self->n_painted : 0.0;
  return self->n_painted;
}

static void
show_playing (LwShowWindow *self)
{
  gboolean playing = self->tick != 0;

  gtk_button_set_icon_name (self->play, playing ? "media-playback-pause-symbolic" : "media-playback-start-symbolic");
  gtk_widget_set_tooltip_text (GTK_WIDGET (self->play), playing ? _("Pause (space)") : _("Play (space)"));
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->play), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  playing ? _("Pause") : _("Play"), -1);
}

static void
pause_playing (LwShowWindow *self)
{
  if (self->tick != 0)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self->page), self->tick);
  self->tick = 0;
  show_playing (self);
  tell_list (self);
}

static gboolean
tick_cb (GtkWidget *widget, GdkFrameClock *clock, gpointer user)
{
  LwShowWindow *self = user;
  gint64 now = gdk_frame_clock_get_frame_time (clock);
  double speed = speeds[MIN (gtk_drop_down_get_selected (self->speed), G_N_ELEMENTS (speeds) - 1)];
  double t = gtk_adjustment_get_value (self->range) + (double) (now - self->last_us) * 1e-6 * speed;

  self->last_us = now;
  gtk_adjustment_set_value (self->range, t);
  if (t < gtk_adjustment_get_upper (self->range))
    return G_SOURCE_CONTINUE;
  self->tick = 0;
  show_playing (self);
  tell_list (self);
  return G_SOURCE_REMOVE;
}

static void
on_play (LwShowWindow *self)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (GTK_WIDGET (self->page));

  if (self->tick != 0) {
    pause_playing (self);
    return;
  }
  if (clock == NULL || self->main.prediction == NULL)
    return;
  if (gtk_adjustment_get_value (self->range) >= gtk_adjustment_get_upper (self->range) - 0.05)
    gtk_adjustment_set_value (self->range, 0.0);
  self->last_us = g_get_monotonic_time ();
  self->tick = gtk_widget_add_tick_callback (GTK_WIDGET (self->page), tick_cb, self, NULL);
  show_playing (self);
}

static void
on_moment (LwShowWindow *self)
{
  g_autofree char *text = g_strdup_printf (_("%.0f s"), gtk_adjustment_get_value (self->range));

  gtk_accessible_update_property (GTK_ACCESSIBLE (self->moment), GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT, text, -1);
  tell_list (self);
  gtk_widget_queue_draw (GTK_WIDGET (self->page));
}

static void
on_list (LwShowWindow *self)
{
  gtk_widget_set_visible (self->list_side, gtk_toggle_button_get_active (self->as_list));
  tell_list (self);
}

static void
on_choice (LwShowWindow *self)
{
  if (!self->filling)
    forget_page (self);
}

/* ---- a second plan ---- */

static void
set_range (LwShowWindow *self)
{
  LwShowPage page = page_of (self, 1, 1);

  gtk_adjustment_set_upper (self->range, fmax (lw_show_end_s (&page), 1.0));
  forget_page (self);
}

static void
say (LwShowWindow *self, const char *text)
{
  gtk_label_set_text (self->message, text != NULL ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (self->message), text != NULL);
}

static void
progress_cb (double done, gpointer user)
{
  gtk_progress_bar_set_fraction (((LwShowWindow *) user)->bar, done);
}

typedef struct {
  LwShowWindow *window;
  LwJob *job;
  int plan;
} Asked;

static void
computed_cb (GObject *source, GAsyncResult *result, gpointer user)
{
  Asked *asked = user;
  LwShowWindow *self = asked->window;
  g_autoptr (GError) error = NULL;
  g_autoptr (LwPrediction) prediction = lw_predict_finish (result, &error);

  if (self->desk != NULL && !g_error_matches (error, G_IO_ERROR, G_IO_ERROR_CANCELLED)) {
    g_clear_object (&self->computing);
    gtk_widget_set_visible (GTK_WIDGET (self->bar), FALSE);
    if (prediction != NULL) {
      g_autoptr (GPtrArray) findings = lw_judge (asked->job, (guint) asked->plan, prediction);

      shown_set (&self->other, asked->job, asked->plan, prediction, findings);
    }
    say (self, error != NULL ? error->message : NULL);
    set_range (self);
  }
  lw_job_unref (asked->job);
  g_object_unref (asked->window);
  g_free (asked);
}

static void
on_beside (LwShowWindow *self)
{
  guint row = gtk_drop_down_get_selected (self->beside);
  LwPredictOptions options = { .no_doubt = TRUE };
  Asked *asked;

  if (self->filling)
    return;
  if (self->computing != NULL)
    g_cancellable_cancel (self->computing);
  g_clear_object (&self->computing);
  shown_clear (&self->other);
  say (self, NULL);
  gtk_widget_set_visible (GTK_WIDGET (self->bar), row > 0);
  set_range (self);
  if (row == 0 || row == GTK_INVALID_LIST_POSITION)
    return;
  asked = g_new (Asked, 1);
  *asked = (Asked){ g_object_ref (self), lw_job_ref (self->main.job), self->plans[row] };
  self->computing = g_cancellable_new ();
  lw_predict_async (asked->job, (guint) asked->plan, &options, self->computing, progress_cb, self, computed_cb, asked);
}

/* Every other plan of the job. */
static void
list_plans (LwShowWindow *self)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  const GPtrArray *plans = self->main.job->plans;
  guint n = 1;

  self->plans = g_new0 (int, plans->len + 1);
  gtk_string_list_append (names, _("Alone"));
  for (guint i = 0; i < plans->len; i++) {
    const LwPlan *plan = g_ptr_array_index (plans, i);

    if ((int) i == self->main.plan)
      continue;
    self->plans[n++] = (int) i;
    gtk_string_list_take (names, g_strdup_printf (plan->operation == LW_OP_REMOVE ? _("Beside: remove %s") : _("Beside: place %s"),
                                                  plan->ref));
  }
  self->filling = TRUE;
  gtk_drop_down_set_model (self->beside, G_LIST_MODEL (names));
  self->filling = FALSE;
  gtk_widget_set_visible (GTK_WIDGET (self->beside), n > 1);
}

/* ---- pictures ---- */

static gboolean
making_cb (double done, gpointer user)
{
  LwShowWindow *self = user;

  gtk_progress_bar_set_fraction (self->bar, done);
  while (g_main_context_iteration (NULL, FALSE)) /* the window stays alive, and its close button */
    ;
  return !self->leave;
}

static void
make_pictures (LwShowWindow *self, const char *path, gboolean animated)
{
  Shown main = shown_copy (&self->main), other = shown_copy (&self->other); /* the window may go while they are made */
  LwShowPage page = page_of (self, 1280, 720);
  double speed = speeds[MIN (gtk_drop_down_get_selected (self->speed), G_N_ELEMENTS (speeds) - 1)];
  LwShowFrames frames = { .to_s = lw_show_end_s (&page), .step_s = speed / 10.0, .per_s = 10.0, .progress = making_cb,
                          .user = self, .folder = animated ? NULL : path, .animation = animated ? path : NULL };
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  guint n;

  page.letters = 0; /* a picture's own, whatever the desktop's text */
  g_object_ref (self);
  pause_playing (self);
  say (self, NULL);
  gtk_widget_set_visible (GTK_WIDGET (self->bar), TRUE);
  gtk_widget_set_sensitive (GTK_WIDGET (self->save), FALSE);
  n = lw_show_to_files (&page, &frames, &error);
  if (!self->leave) {
    text = error != NULL ? g_strdup (error->message) : g_strdup_printf (ngettext ("%u picture made", "%u pictures made", n), n);
    say (self, text);
    gtk_widget_set_visible (GTK_WIDGET (self->bar), FALSE);
    gtk_widget_set_sensitive (GTK_WIDGET (self->save), TRUE);
  }
  shown_clear (&main);
  shown_clear (&other);
  g_object_unref (self);
}

static void
chosen_cb (GtkNativeDialog *dialog, int response, LwShowWindow *self)
{
  g_autoptr (GFile) file = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  gboolean animated = gtk_file_chooser_get_action (GTK_FILE_CHOOSER (dialog)) == GTK_FILE_CHOOSER_ACTION_SAVE;

  g_clear_object (&self->chooser);
  if (path != NULL)
    make_pictures (self, path, animated);
  else if (file != NULL)
    say (self, _("Pictures can be made only on this machine’s own disks."));
}

static void
choose (LwShowWindow *self, GtkFileChooserAction action, const char *title)
{
  g_clear_object (&self->chooser);
  self->chooser = GTK_NATIVE_DIALOG (gtk_file_chooser_native_new (title, GTK_WINDOW (self), action, _("_Make"), NULL));
  if (action == GTK_FILE_CHOOSER_ACTION_SAVE)
    gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), _("profile.webp"));
  g_signal_connect (self->chooser, "response", G_CALLBACK (chosen_cb), self);
  gtk_native_dialog_show (self->chooser);
}

static void
frames_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  choose (LW_SHOW_WINDOW (widget), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, _("Folder for the pictures"));
}

static void
animation_action (GtkWidget *widget, const char *name, GVariant *parameter)
{
  choose (LW_SHOW_WINDOW (widget), GTK_FILE_CHOOSER_ACTION_SAVE, _("Save the animation"));
}

/* ---- keys ---- */

static gboolean
on_key (GtkEventControllerKey *keys, guint key, guint code, GdkModifierType state, LwShowWindow *self)
{
  double step = (state & GDK_SHIFT_MASK) != 0 ? 10.0 : 1.0, t = gtk_adjustment_get_value (self->range);

  if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  switch (key) {
  case GDK_KEY_space: on_play (self); return TRUE;
  case GDK_KEY_Left: gtk_adjustment_set_value (self->range, t - step); return TRUE;
  case GDK_KEY_Right: gtk_adjustment_set_value (self->range, t + step); return TRUE;
  case GDK_KEY_Home: gtk_adjustment_set_value (self->range, 0.0); return TRUE;
  case GDK_KEY_End: gtk_adjustment_set_value (self->range, gtk_adjustment_get_upper (self->range)); return TRUE;
  case GDK_KEY_f: gtk_toggle_button_set_active (self->figures, !gtk_toggle_button_get_active (self->figures)); return TRUE;
  case GDK_KEY_b: gtk_toggle_button_set_active (self->over, !gtk_toggle_button_get_active (self->over)); return TRUE;
  case GDK_KEY_l: gtk_toggle_button_set_active (self->as_list, !gtk_toggle_button_get_active (self->as_list)); return TRUE;
  case GDK_KEY_F11:
    if (gtk_window_is_fullscreen (GTK_WINDOW (self)))
      gtk_window_unfullscreen (GTK_WINDOW (self));
    else
      gtk_window_fullscreen (GTK_WINDOW (self));
    return TRUE;
  case GDK_KEY_Escape:
    if (gtk_window_is_fullscreen (GTK_WINDOW (self)))
      gtk_window_unfullscreen (GTK_WINDOW (self));
    else
      gtk_window_close (GTK_WINDOW (self));
    return TRUE;
  default: return FALSE;
  }
}

/* ---- life ---- */

static void
lw_show_window_dispose (GObject *object)
{
  LwShowWindow *self = LW_SHOW_WINDOW (object);

  self->leave = TRUE;
  if (self->computing != NULL)
    g_cancellable_cancel (self->computing);
  g_clear_object (&self->computing);
  g_clear_object (&self->chooser);
  g_clear_pointer (&self->painter, lw_show_painter_free);
  shown_clear (&self->main);
  shown_clear (&self->other);
  g_clear_pointer (&self->plans, g_free);
  g_clear_object (&self->desk);
  gtk_widget_dispose_template (GTK_WIDGET (self), LW_TYPE_SHOW_WINDOW);
  G_OBJECT_CLASS (lw_show_window_parent_class)->dispose (object);
}

static gboolean
lw_show_window_close_request (GtkWindow *window)
{
  LW_SHOW_WINDOW (window)->leave = TRUE;
  pause_playing (LW_SHOW_WINDOW (window));
  return GTK_WINDOW_CLASS (lw_show_window_parent_class)->close_request (window);
}

static void
bind_children (GtkWidgetClass *class)
{
#define CHILD(name) gtk_widget_class_bind_template_child (class, LwShowWindow, name)
  CHILD (page);
  CHILD (play);
  CHILD (moment);
  CHILD (range);
  CHILD (speed);
  CHILD (beside);
  CHILD (figures);
  CHILD (over);
  CHILD (as_list);
  CHILD (list_side);
  CHILD (save);
  CHILD (bar);
  CHILD (message);
#undef CHILD
}

static void
lw_show_window_class_init (LwShowWindowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_show_window_dispose;
  GTK_WINDOW_CLASS (class)->close_request = lw_show_window_close_request;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/show-window.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_play);
  gtk_widget_class_bind_template_callback (widget_class, on_moment);
  gtk_widget_class_bind_template_callback (widget_class, on_choice);
  gtk_widget_class_bind_template_callback (widget_class, on_list);
  gtk_widget_class_bind_template_callback (widget_class, on_beside);
  gtk_widget_class_bind_template_callback (widget_class, on_key);
  gtk_widget_class_install_action (widget_class, "show.pictures", NULL, frames_action);
  gtk_widget_class_install_action (widget_class, "show.animation", NULL, animation_action);
}

static void
lw_show_window_init (LwShowWindow *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_drop_down_set_selected (self->speed, USUAL_SPEED);
  gtk_drawing_area_set_draw_func (self->page, draw_cb, self, NULL);
  self->list = LW_TOLD_LIST (lw_told_list_new (_("Parts at this moment")));
  gtk_widget_set_margin_start (GTK_WIDGET (self->list), 8);
  gtk_widget_set_margin_end (GTK_WIDGET (self->list), 8);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->list_side), GTK_WIDGET (self->list));
  show_playing (self);
}

/* The first answer that is there; later ones would pull the page away under the speaker. */
static void
take_answer (LwShowWindow *self)
{
  LwPrediction *prediction = lw_desk_prediction (self->desk);
  gboolean ready = prediction != NULL && lw_desk_plan (self->desk) >= 0 && !lw_desk_stale (self->desk);

  if (self->main.prediction != NULL)
    return;
  say (self, ready ? NULL : _("The answer is being computed."));
  gtk_widget_set_sensitive (GTK_WIDGET (self->play), ready);
  gtk_widget_set_sensitive (GTK_WIDGET (self->save), ready);
  gtk_widget_set_visible (GTK_WIDGET (self->beside), ready);
  if (!ready)
    return;
  shown_set (&self->main, lw_desk_job (self->desk), lw_desk_plan (self->desk), prediction, lw_desk_findings (self->desk));
  list_plans (self);
  set_range (self);
}

GtkWidget *
lw_show_window_new (GtkWindow *parent, LwDesk *desk)
{
  LwShowWindow *self = g_object_new (LW_TYPE_SHOW_WINDOW, "transient-for", parent, NULL);

  lw_hold_parent_loosely (GTK_WINDOW (self), parent, &self->computing);
  self->desk = g_object_ref (desk);
  g_signal_connect_object (desk, "answer-changed", G_CALLBACK (take_answer), self, G_CONNECT_SWAPPED);
  take_answer (self);
  return GTK_WIDGET (self);
}
