#include "widgets/toast.h"

#include "widgets/spoken.h"
#include "widgets/template.h"

#define SHOWN_S 7

struct _LwToast {
  GtkWidget parent_instance;
  GtkRevealer *revealer;
  GtkLabel *label;
  GtkButton *button;
  guint timeout;
};

G_DEFINE_FINAL_TYPE (LwToast, lw_toast, GTK_TYPE_WIDGET)

void
lw_toast_hide (LwToast *self)
{
  g_return_if_fail (LW_IS_TOAST (self));
  g_clear_handle_id (&self->timeout, g_source_remove);
  gtk_revealer_set_reveal_child (self->revealer, FALSE);
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
}

static gboolean
timeout_cb (gpointer user)
{
  LwToast *self = user;

  self->timeout = 0;
  lw_toast_hide (self);
  return G_SOURCE_REMOVE;
}

static void
on_close (GtkButton *button, LwToast *self)
{
  lw_toast_hide (self);
}

void
lw_toast_show (LwToast *self, const char *text, const char *button, const char *action)
{
  g_return_if_fail (LW_IS_TOAST (self));

  gtk_label_set_text (self->label, text);
  lw_spoken_tell (GTK_WIDGET (self), text);
  gtk_widget_set_visible (GTK_WIDGET (self->button), button != NULL);
  if (button != NULL)
    gtk_button_set_label (self->button, button);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self->button), action);
  gtk_widget_set_can_target (GTK_WIDGET (self), TRUE);
  gtk_revealer_set_reveal_child (self->revealer, TRUE);
  g_clear_handle_id (&self->timeout, g_source_remove);
  self->timeout = g_timeout_add_seconds (SHOWN_S, timeout_cb, self);
}

const char *
lw_toast_text (LwToast *self)
{
  g_return_val_if_fail (LW_IS_TOAST (self), NULL);
  return gtk_revealer_get_reveal_child (self->revealer) ? gtk_label_get_text (self->label) : NULL;
}

static void
lw_toast_dispose (GObject *object)
{
  LwToast *self = LW_TOAST (object);

  g_clear_handle_id (&self->timeout, g_source_remove);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_TOAST);
  G_OBJECT_CLASS (lw_toast_parent_class)->dispose (object);
}

static void
lw_toast_class_init (LwToastClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_toast_dispose;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "toastarea");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_STATUS);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/toast.ui");
  gtk_widget_class_bind_template_child (widget_class, LwToast, revealer);
  gtk_widget_class_bind_template_child (widget_class, LwToast, label);
  gtk_widget_class_bind_template_child (widget_class, LwToast, button);
  gtk_widget_class_bind_template_callback (widget_class, on_close);
}

static void
lw_toast_init (LwToast *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
}
