#include "widgets/target-chooser.h"

#include <string.h>

#include <glib/gi18n.h>

#include "widgets/late-rows.h"
#include "widgets/template.h"
#include "widgets/text-scale.h"
#include "widgets/words.h"
#include "widgets/spoken.h"
#include "widgets/whole-text.h"

struct _LwTargetChooser {
  GtkWidget parent_instance;

  GtkMenuButton *button;
  GtkLabel *label;
  GtkPopover *popover;
  GtkSearchEntry *search;
  GtkListView *list;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  GtkStringList *refs;
  GtkFilterListModel *offers;
  GtkCustomFilter *filter;
  char *needle;
};

G_DEFINE_FINAL_TYPE (LwTargetChooser, lw_target_chooser, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];

static int
compare_refs (gconstpointer a, gconstpointer b)
{
  g_autofree char *left = g_utf8_collate_key_for_filename (*(const char *const *) a, -1);
  g_autofree char *right = g_utf8_collate_key_for_filename (*(const char *const *) b, -1);

  return strcmp (left, right);
}

/* Plans in their order, then all other placed parts by reference. */
static GPtrArray *
references (const LwJob *job)
{
  GPtrArray *refs = g_ptr_array_new ();
  guint plans;

  for (guint i = 0; i < job->plans->len; i++)
    if (lw_job_find_plan (job, ((LwPlan *) g_ptr_array_index (job->plans, i))->ref) == (int) i)
      g_ptr_array_add (refs, ((LwPlan *) g_ptr_array_index (job->plans, i))->ref);
  plans = refs->len;
  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = g_ptr_array_index (job->parts, i);

    if (part->placed && lw_job_find_plan (job, part->ref) < 0)
      g_ptr_array_add (refs, part->ref);
  }
  qsort (refs->pdata + plans, refs->len - plans, sizeof (gpointer), compare_refs);
  g_ptr_array_add (refs, NULL);
  return refs;
}

/* What is cut first is the operation, which stands before the reference or behind it, as the language has it. A reference of
 * more characters than MOST is rare: most are a letter or two and a number. */
static void
keep_reference (LwTargetChooser *self, const char *text, const char *ref)
{
  enum { MOST = 5, ELLIPSIS = 2 };
  gboolean first = g_str_has_prefix (text, ref);

  gtk_label_set_ellipsize (self->label, first ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_START);
  lw_label_keep_room (self->label, (int) MIN (g_utf8_strlen (ref, -1), MOST) + ELLIPSIS);
}

static void
show_label (LwTargetChooser *self)
{
  const LwJob *job = lw_desk_job (self->desk);
  int plan = lw_desk_plan (self->desk);
  g_autofree char *text = NULL;

  if (job == NULL || plan < 0) {
    text = g_strdup (_("Choose Target"));
    keep_reference (self, text, "");
  }
  else {
    const LwPlan *active = g_ptr_array_index (job->plans, plan);

    /* Translators: what is done (Remove, Place) and the part's reference. */
    text = g_strdup_printf (C_ ("operation and part", "%s %s"), lw_operation_label (active->operation),
                            active->ref);
    keep_reference (self, text, active->ref);
  }
  gtk_label_set_text (self->label, text);
  gtk_widget_set_sensitive (GTK_WIDGET (self->button), job != NULL && job->parts->len > 0);
}

static void
refresh (LwTargetChooser *self)
{
  const LwJob *job = lw_desk_job (self->desk);

  show_label (self);
  /* The list is made when it is opened; a big board has thousands of parts. */
  if (job == NULL || !gtk_widget_get_visible (GTK_WIDGET (self->popover)))
    return;
  gtk_popover_popdown (self->popover);
}

static void
fill (LwTargetChooser *self)
{
  const LwJob *job = self->desk == NULL ? NULL : lw_desk_job (self->desk);
  g_autoptr (GPtrArray) refs = job == NULL ? NULL : references (job);

  gtk_string_list_splice (self->refs, 0, g_list_model_get_n_items (G_LIST_MODEL (self->refs)),
                          refs == NULL ? NULL : (const char *const *) refs->pdata);
}

static void
on_show (GtkPopover *popover, LwTargetChooser *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->search), "");
  fill (self);
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

static gboolean
is_in_hand (LwTargetChooser *self, const char *ref)
{
  int plan = lw_desk_plan (self->desk);

  return plan >= 0 && strcmp (((const LwPlan *) g_ptr_array_index (lw_desk_job (self->desk)->plans, plan))->ref, ref) == 0;
}

static char *
offer_text (LwTargetChooser *self, const char *ref)
{
  const LwJob *job = lw_desk_job (self->desk);
  int plan = lw_job_find_plan (job, ref), part = lw_job_find_part (job, ref);
  const char *package = part < 0 ? "" : ((const LwPart *) g_ptr_array_index (job->parts, part))->package;
  g_autofree char *name = g_markup_escape_text (ref, -1), *detail = g_markup_escape_text (package, -1);

  if (plan < 0)
    return g_strdup_printf ("%s   <small>%s</small>", name, detail);
  return g_strdup_printf ("<b>%s</b>   <small>%s · %s</small>", name, detail,
                          is_in_hand (self, ref) ? _("being reworked") : _("has a plan"));
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  lw_tell_whole_text (label);
  gtk_list_item_set_child (cell, label);
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  LwTargetChooser *self = user;
  const char *ref = gtk_string_object_get_string (gtk_list_item_get_item (cell));
  g_autofree char *text = lw_desk_job (self->desk) == NULL ? g_strdup ("") : offer_text (self, ref);

  gtk_label_set_markup (GTK_LABEL (gtk_list_item_get_child (cell)), text);
  lw_spoken_name_row (cell, gtk_label_get_text (GTK_LABEL (gtk_list_item_get_child (cell))));
}

static gboolean
match_cb (gpointer object, gpointer user)
{
  LwTargetChooser *self = user;
  const char *ref = gtk_string_object_get_string (object);
  const LwJob *job = self->desk == NULL ? NULL : lw_desk_job (self->desk);
  g_autofree char *all = NULL, *folded = NULL;
  int part;

  if (self->needle == NULL || *self->needle == '\0' || job == NULL)
    return TRUE;
  part = lw_job_find_part (job, ref);
  all = g_strdup_printf ("%s %s", ref,
                         part < 0 ? "" : ((const LwPart *) g_ptr_array_index (job->parts, part))->package);
  folded = g_utf8_casefold (all, -1);
  return strstr (folded, self->needle) != NULL;
}

static void
on_search (GtkSearchEntry *search, LwTargetChooser *self)
{
  g_free (self->needle);
  self->needle = g_utf8_casefold (gtk_editable_get_text (GTK_EDITABLE (search)), -1);
  gtk_filter_changed (GTK_FILTER (self->filter), GTK_FILTER_CHANGE_DIFFERENT);
}

static void
choose (LwTargetChooser *self, guint position)
{
  g_autoptr (GtkStringObject) offer = g_list_model_get_item (G_LIST_MODEL (self->offers), position);

  if (offer == NULL)
    return;
  gtk_popover_popdown (self->popover);
  gtk_widget_activate_action (GTK_WIDGET (self), "win.rework-part", "s", gtk_string_object_get_string (offer));
}

static void
on_search_activate (GtkSearchEntry *search, LwTargetChooser *self)
{
  on_search (search, self);
  choose (self, 0);
}

/* Escape: GTK gives it to the entry, whose popover would stay. */
static void
on_stop_search (GtkSearchEntry *search, LwTargetChooser *self)
{
  gtk_popover_popdown (self->popover);
}

static void
on_activate (GtkListView *list, guint position, LwTargetChooser *self)
{
  choose (self, position);
}

void
lw_target_chooser_popup (LwTargetChooser *self)
{
  g_return_if_fail (LW_IS_TARGET_CHOOSER (self));
  gtk_menu_button_popup (self->button);
}

GListModel *
lw_target_chooser_offers (LwTargetChooser *self)
{
  g_return_val_if_fail (LW_IS_TARGET_CHOOSER (self), NULL);
  fill (self);
  return G_LIST_MODEL (self->offers);
}

void
lw_target_chooser_set_desk (LwTargetChooser *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_TARGET_CHOOSER (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

static void
lw_target_chooser_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_TARGET_CHOOSER (object)->desk);
}

static void
lw_target_chooser_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_target_chooser_set_desk (LW_TARGET_CHOOSER (object), g_value_get_object (value));
}

static void
lw_target_chooser_dispose (GObject *object)
{
  LwTargetChooser *self = LW_TARGET_CHOOSER (object);

  g_clear_object (&self->desk_signals);
  if (self->list != NULL)
    gtk_list_view_set_model (self->list, NULL);
  g_clear_object (&self->offers);
  g_clear_object (&self->refs);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_TARGET_CHOOSER);
  G_OBJECT_CLASS (lw_target_chooser_parent_class)->dispose (object);
}

static void
lw_target_chooser_finalize (GObject *object)
{
  g_free (LW_TARGET_CHOOSER (object)->needle);
  G_OBJECT_CLASS (lw_target_chooser_parent_class)->finalize (object);
}

static void
bind_template (GtkWidgetClass *widget_class)
{
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "targetchooser");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/target-chooser.ui");
  gtk_widget_class_bind_template_child (widget_class, LwTargetChooser, button);
  gtk_widget_class_bind_template_child (widget_class, LwTargetChooser, label);
  gtk_widget_class_bind_template_child (widget_class, LwTargetChooser, popover);
  gtk_widget_class_bind_template_child (widget_class, LwTargetChooser, search);
  gtk_widget_class_bind_template_child (widget_class, LwTargetChooser, list);
  gtk_widget_class_bind_template_callback (widget_class, on_show);
  gtk_widget_class_bind_template_callback (widget_class, on_search);
  gtk_widget_class_bind_template_callback (widget_class, on_search_activate);
  gtk_widget_class_bind_template_callback (widget_class, on_stop_search);
  gtk_widget_class_bind_template_callback (widget_class, on_activate);
}

static void
lw_target_chooser_class_init (LwTargetChooserClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);

  object_class->dispose = lw_target_chooser_dispose;
  object_class->finalize = lw_target_chooser_finalize;
  object_class->get_property = lw_target_chooser_get_property;
  object_class->set_property = lw_target_chooser_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  bind_template (GTK_WIDGET_CLASS (class));
}

static void
lw_target_chooser_init (LwTargetChooser *self)
{
  g_autoptr (GtkListItemFactory) factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkSelectionModel) selection = NULL;

  gtk_widget_init_template (GTK_WIDGET (self));
  lw_tell_whole_text (GTK_WIDGET (self->search));
  lw_label_keep_width (self->label, 9);
  self->refs = gtk_string_list_new (NULL);
  self->filter = gtk_custom_filter_new (match_cb, self, NULL);
  self->offers = gtk_filter_list_model_new (g_object_ref (G_LIST_MODEL (self->refs)), GTK_FILTER (self->filter));
  selection = GTK_SELECTION_MODEL (gtk_no_selection_new (g_object_ref (G_LIST_MODEL (self->offers))));
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), self);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), self);
  gtk_list_view_set_factory (self->list, factory);
  lw_late_rows (GTK_WIDGET (self->list), selection);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::document", G_CALLBACK (refresh), self);
}
