/* A window with one widget in it, a desk behind it, and ways to act on it. */
#ifndef STAGE_H
#define STAGE_H

#include <gtk/gtk.h>

#include "../draw/sample.h"
#include "widgets/desk.h"

/* Runs the main loop until CONDITION holds or five seconds have passed. */
#define STAGE_WAIT(condition)                                                                          \
  G_STMT_START                                                                                         \
  {                                                                                                    \
    gint64 stage_until = g_get_monotonic_time () + 5 * G_USEC_PER_SEC;                                 \
    while (!(condition) && g_get_monotonic_time () < stage_until)                                      \
      g_main_context_iteration (NULL, FALSE);                                                          \
    g_assert_true (condition);                                                                         \
  }                                                                                                    \
  G_STMT_END

typedef struct {
  LwDesk *desk;
  LwDocument *document;
  LwPrediction *prediction;
  GPtrArray *findings;
  GtkWidget *window, *widget;
  char *told; /* the last message */
  guint painted;
} Stage;

static inline void
stage_told_cb (Stage *stage, const char *text, gboolean offer_undo)
{
  g_free (stage->told);
  stage->told = g_strdup (text);
}

static inline void
stage_painted_cb (Stage *stage)
{
  stage->painted++;
}

/* Waits until the widget has been drawn once more. */
static inline void
stage_settle (Stage *stage)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (stage->widget);
  gulong id = g_signal_connect_swapped (clock, "after-paint", G_CALLBACK (stage_painted_cb), stage);
  guint before = stage->painted;

  gtk_widget_queue_draw (stage->widget);
  STAGE_WAIT (stage->painted > before);
  g_signal_handler_disconnect (clock, id);
}

static inline void
stage_open (Stage *stage, GtkWidget *(*make) (LwDesk *desk), int width, int height)
{
  *stage = (Stage){ .desk = lw_desk_new () };
  stage->document = lw_document_new (sample_job_new (), NULL);
  stage->prediction = sample_prediction_new (lw_document_job (stage->document));
  stage->findings = sample_findings_new ();
  g_signal_connect_swapped (stage->desk, "message", G_CALLBACK (stage_told_cb), stage);
  lw_desk_set_document (stage->desk, stage->document);
  g_assert_true (lw_desk_take_answer (stage->desk, lw_document_revision (stage->document), stage->prediction,
                                      stage->findings));
  stage->widget = make (stage->desk);
  stage->window = gtk_window_new ();
  gtk_window_set_decorated (GTK_WINDOW (stage->window), FALSE);
  gtk_window_set_default_size (GTK_WINDOW (stage->window), width, height);
  gtk_window_set_child (GTK_WINDOW (stage->window), stage->widget);
  gtk_window_present (GTK_WINDOW (stage->window));
  STAGE_WAIT (gtk_widget_get_mapped (stage->widget) && gtk_widget_get_width (stage->widget) > 0);
  stage_settle (stage);
}

static inline void
stage_close (Stage *stage)
{
  GtkWidget *widget = stage->widget;
  LwDesk *desk = stage->desk;

  g_object_add_weak_pointer (G_OBJECT (widget), (gpointer *) &widget);
  gtk_window_destroy (GTK_WINDOW (stage->window));
  STAGE_WAIT (widget == NULL);
  g_assert_finalize_object (desk);
  g_assert_finalize_object (stage->document);
  lw_prediction_unref (stage->prediction);
  g_ptr_array_unref (stage->findings);
  g_free (stage->told);
}

static inline LwJob *
stage_job (Stage *stage)
{
  return lw_desk_job (stage->desk);
}

/* The n-th controller of a type on the widget. */
static inline GtkEventController *
stage_controller (Stage *stage, GType type, guint n)
{
  g_autoptr (GListModel) list = gtk_widget_observe_controllers (stage->widget);
  GtkEventController *found = NULL;

  for (guint i = 0; i < g_list_model_get_n_items (list); i++) {
    g_autoptr (GtkEventController) controller = g_list_model_get_item (list, i);

    if (G_TYPE_CHECK_INSTANCE_TYPE (controller, type) && n-- == 0)
      found = controller;
  }
  g_assert_nonnull (found);
  return found;
}

/* Real input through the X server. */
static inline void
stage_xdotool (const char *const *args)
{
  const char *tool = g_getenv ("LW_XDOTOOL");
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) argv = NULL;
  g_autoptr (GSubprocess) process = NULL;

  g_assert_true (tool != NULL && tool[0] != '\0'); /* without xdotool nothing is tested */
  g_strv_builder_add (builder, tool);
  g_strv_builder_addv (builder, (const char **) args);
  argv = g_strv_builder_end (builder);
  process = g_subprocess_newv ((const char *const *) argv, G_SUBPROCESS_FLAGS_NONE, NULL);
  g_assert_nonnull (process);
  g_assert_true (g_subprocess_wait_check (process, NULL, NULL));
}

#endif
