#include "widgets/findings-panel.h"

#include <math.h>

#include <glib/gi18n.h>

#include "widgets/canvas.h"
#include "widgets/finding-groups.h"
#include "widgets/finding-item.h"
#include "widgets/finding-row.h"
#include "widgets/shown-units.h"
#include "widgets/spoken.h"
#include "widgets/tab-out.h"
#include "widgets/words.h"
#include "widgets/template.h"

struct _LwFindingsPanel {
  GtkWidget parent_instance;

  GtkLabel *counts, *notice, *empty;
  GtkRevealer *notice_revealer;
  GtkStack *stack;
  GtkListView *list;
  GtkToggleButton *show_fine;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  GListStore *store;
  GtkCustomFilter *filter; /* leaves out what is fine, unless asked for; owned by the filtered list */
  GtkSingleSelection *selection;
  GHashTable *opened; /* kind and grade of the groups the person has opened */
  gboolean refreshing; /* the program, not the person, moves the selection */
  LwTurn turn, rows_turn; /* to show an answer while a hand moves */
  GHashTable *late;    /* GtkListItem (borrowed): rows whose figures are older than the answer -> since which count */
  guint counted;
};

G_DEFINE_FINAL_TYPE (LwFindingsPanel, lw_findings_panel, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];
static guint show_part_signal;

static void
show_counts (LwFindingsPanel *self, const GPtrArray *findings)
{
  g_autofree char *text = lw_findings_counts (findings);
  gboolean fine = FALSE;

  for (guint i = 0; findings != NULL && i < findings->len && !fine; i++)
    fine = ((const LwFinding *) g_ptr_array_index (findings, i))->grade == LW_GRADE_FINE;
  gtk_label_set_text (self->counts, text);
  gtk_widget_set_visible (GTK_WIDGET (self->counts), findings != NULL);
  gtk_widget_set_visible (GTK_WIDGET (self->show_fine), fine);
}

static void
show_notice (LwFindingsPanel *self)
{
  const char *failure = lw_desk_failure (self->desk);
  gboolean stale = lw_desk_stale (self->desk);
  g_autofree char *text = NULL;

  if (failure != NULL)
    /* Translators: %s is a reason. */
    text = g_strdup_printf (_("This version was not computed: %s"), failure);
  else if (stale)
    text = g_strdup (_("Temperatures are for an earlier version of the job."));
  if (text != NULL)
    gtk_label_set_text (self->notice, text);
  gtk_revealer_set_reveal_child (self->notice_revealer, text != NULL);
  if (failure != NULL)
    gtk_widget_add_css_class (GTK_WIDGET (self->notice), "failure");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self->notice), "failure");
  if (stale)
    gtk_widget_add_css_class (GTK_WIDGET (self->list), "stale");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self->list), "stale");
}

static void
show_empty (LwFindingsPanel *self, const GPtrArray *findings)
{
  gboolean any = g_list_model_get_n_items (G_LIST_MODEL (self->selection)) > 0;

  gtk_stack_set_visible_child_name (self->stack, any ? "list" : "empty");
  if (any)
    return;
  if (lw_desk_plan (self->desk) < 0)
    gtk_label_set_text (self->empty, _("Choose the part to rework, and its findings appear here."));
  else
    gtk_label_set_text (self->empty, findings == NULL ? _("Nothing has been judged yet.")
                                                      : _("Nothing to stop or to watch."));
}

/* Puts the selection back on the same matter; when it is gone, on nothing. */
static void
restore_selection (LwFindingsPanel *self, LwFindingItem *before)
{
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->selection));
  guint found = GTK_INVALID_LIST_POSITION;

  for (guint i = 0; before != NULL && i < n; i++) {
    g_autoptr (LwFindingItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), i);

    if (lw_finding_item_same (before, lw_finding_item_finding (item))
        && (lw_finding_item_head (before) == NULL) == (lw_finding_item_head (item) == NULL)) {
      found = i;
      break;
    }
  }
  gtk_single_selection_set_selected (self->selection, found);
}

static void
remember (LwFindingsPanel *self, LwFindingItem *head)
{
  char *key = lw_finding_group_key (lw_finding_item_finding (head));

  if (lw_finding_item_open (head)) {
    g_hash_table_add (self->opened, key);
    return;
  }
  g_hash_table_remove (self->opened, key);
  g_free (key);
}

/* The members of HEAD, which stands AT, come or go; its own row is told anew. */
static void
list_members (LwFindingsPanel *self, LwFindingItem *head, guint at)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func (g_object_unref);
  gboolean open = lw_finding_item_open (head);

  g_ptr_array_add (rows, g_object_ref (head));
  if (open)
    g_ptr_array_extend_and_steal (rows, lw_finding_item_unfold (head));
  g_list_store_splice (self->store, at, open ? 1 : 1 + lw_finding_item_members (head)->len, rows->pdata, rows->len);
}

static void
turn_group (LwFindingsPanel *self, LwFindingItem *head)
{
  LwFindingItem *before = gtk_single_selection_get_selected_item (self->selection);
  g_autoptr (LwFindingItem) selected = before == NULL ? NULL : g_object_ref (before);
  guint at;

  if (!g_list_store_find (self->store, head, &at))
    return;
  g_object_ref (head); /* the list lets go of it for a moment */
  lw_finding_item_set_open (head, !lw_finding_item_open (head));
  remember (self, head);
  self->refreshing = TRUE;
  list_members (self, head, at);
  restore_selection (self, selected);
  self->refreshing = FALSE;
  g_object_unref (head);
}

static void
fold_changed_cb (GtkWidget *row, GtkListItem *item)
{
  LwFindingsPanel *self = LW_FINDINGS_PANEL (gtk_widget_get_ancestor (row, LW_TYPE_FINDINGS_PANEL));

  if (gtk_list_item_get_item (item) != NULL)
    turn_group (self, gtk_list_item_get_item (item));
}

/* The rows there are tell the new findings, so that an answer that follows a hand makes and drops as few as it can. */
static void
follow (LwFindingsPanel *self, GPtrArray *findings, const GPtrArray *fresh)
{
  guint before = g_list_model_get_n_items (G_LIST_MODEL (self->store)), n = MIN (before, fresh->len);
  g_autoptr (GPtrArray) kept = g_ptr_array_new_with_free_func (g_object_unref);

  if (before > n)
    g_list_store_splice (self->store, n, before - n, NULL, 0);
  for (guint i = 0; i < fresh->len; i++)
    g_ptr_array_add (kept, i < n ? g_list_model_get_item (G_LIST_MODEL (self->store), i)
                                 : (gpointer) lw_finding_item_new (findings, g_ptr_array_index (findings, 0)));
  if (lw_finding_items_follow (kept, fresh))
    gtk_filter_changed (GTK_FILTER (self->filter), GTK_FILTER_CHANGE_DIFFERENT);
  if (fresh->len > n)
    g_list_store_splice (self->store, n, 0, kept->pdata + n, fresh->len - n);
}

static void
refresh (LwFindingsPanel *self)
{
  GPtrArray *findings = (GPtrArray *) lw_desk_findings (self->desk);
  g_autoptr (GPtrArray) items = lw_finding_groups (findings, self->opened);
  LwFindingItem *selected = gtk_single_selection_get_selected_item (self->selection);
  g_autoptr (LwFindingItem) before = selected == NULL ? NULL : lw_finding_item_copy (selected);

  self->refreshing = TRUE;
  follow (self, findings, items);
  restore_selection (self, before);
  self->refreshing = FALSE;
  show_counts (self, findings);
  show_empty (self, findings);
  show_notice (self);
}

static gboolean
is_target (LwFindingsPanel *self, const char *ref)
{
  int plan = lw_desk_plan (self->desk);

  return plan >= 0 && g_strcmp0 (((const LwPlan *) g_ptr_array_index (lw_desk_job (self->desk)->plans, plan))->ref, ref) == 0;
}

static void
turn_cb (gpointer panel)
{
  LwFindingsPanel *self = panel;

  if (self->desk != NULL)
    refresh (self);
}

static void
answer_cb (LwFindingsPanel *self)
{
  if (lw_desk_dragging (self->desk) && gtk_widget_get_mapped (GTK_WIDGET (self)))
    lw_turn_take (&self->turn, GTK_WIDGET (self), 3, turn_cb);
  else
    refresh (self);
}

static void
show_finding (LwFindingsPanel *self, const LwFinding *finding)
{
  const LwJob *job = lw_desk_job (self->desk);
  int part = job == NULL || *finding->ref == '\0' ? -1 : lw_job_find_part (job, finding->ref);

  if (isfinite (finding->moment_s))
    lw_desk_set_moment (self->desk, finding->moment_s);
  if (g_str_has_prefix (finding->kind, "readiness-") && (part < 0 || is_target (self, finding->ref))) {
    /* where its facts are typed */
    lw_desk_select (self->desk, LW_THING_READINESS, -1);
    return;
  }
  if (part < 0) {
    lw_desk_select (self->desk, LW_THING_BOARD, -1);
    return;
  }
  lw_desk_set_side (self->desk, ((const LwPart *) g_ptr_array_index (job->parts, part))->side);
  lw_desk_select_part (self->desk, part);
  g_signal_emit (self, show_part_signal, 0, part);
}

static void
selected_cb (LwFindingsPanel *self)
{
  LwFindingItem *item = gtk_single_selection_get_selected_item (self->selection);

  if (!self->refreshing && item != NULL && self->desk != NULL)
    show_finding (self, lw_finding_item_finding (item));
}

static void
on_activate (GtkListView *list, guint position, LwFindingsPanel *self)
{
  g_autoptr (LwFindingItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), position);

  if (item == NULL)
    return;
  show_finding (self, lw_finding_item_finding (item));
  if (lw_finding_item_members (item)->len > 0)
    turn_group (self, item);
}

static gboolean
match_cb (gpointer item, gpointer user)
{
  LwFindingsPanel *self = user;

  return lw_finding_item_finding (item)->grade != LW_GRADE_FINE || gtk_toggle_button_get_active (self->show_fine);
}

static void
on_show_fine (GtkToggleButton *button, LwFindingsPanel *self)
{
  self->refreshing = TRUE;
  gtk_filter_changed (GTK_FILTER (self->filter), GTK_FILTER_CHANGE_DIFFERENT);
  self->refreshing = FALSE;
  if (self->desk != NULL)
    show_empty (self, lw_desk_findings (self->desk));
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *item, LwFindingsPanel *self)
{
  GtkWidget *row = lw_finding_row_new ();

  g_signal_connect (row, "fold-changed", G_CALLBACK (fold_changed_cb), item);
  gtk_list_item_set_child (item, row);
  lw_spoken_name_all (row);
}

static void
tell_row (GtkListItem *item)
{
  LwFindingItem *of = gtk_list_item_get_item (item);

  if (of == NULL)
    return;
  lw_finding_row_set_item (LW_FINDING_ROW (gtk_list_item_get_child (item)), of);
  const LwFinding *finding = lw_finding_item_finding (of);
  g_autofree char *spoken = g_strdup_printf ("%s: %s", lw_grade_label (finding->grade), finding->text);
  lw_spoken_name_row (item, spoken);
}

static gboolean
in_sight (LwFindingsPanel *self, GtkWidget *row)
{
  graphene_rect_t bounds, sight = GRAPHENE_RECT_INIT (0, 0, gtk_widget_get_width (GTK_WIDGET (self->list)),
                                                      gtk_widget_get_height (GTK_WIDGET (self->list)));

  return gtk_widget_compute_bounds (row, GTK_WIDGET (self->list), &bounds)
         && graphene_rect_intersection (&bounds, &sight, NULL);
}

/* ROWS_A_FRAME rows tell their figures anew while a hand moves things: each costs as much as a tenth of a frame. */
#define ROWS_A_FRAME 2

/* The row in sight that has waited longest, or NULL. */
static GtkListItem *
latest_in_sight (LwFindingsPanel *self)
{
  GtkListItem *found = NULL;
  guint since = G_MAXUINT;
  GHashTableIter iter;
  gpointer item, count;

  g_hash_table_iter_init (&iter, self->late);
  while (g_hash_table_iter_next (&iter, &item, &count))
    if (GPOINTER_TO_UINT (count) < since && in_sight (self, gtk_list_item_get_child (item))) {
      found = item;
      since = GPOINTER_TO_UINT (count);
    }
  return found;
}

static void
tell_some (gpointer panel)
{
  LwFindingsPanel *self = panel;
  GtkListItem *item = NULL;

  for (guint i = 0; i < ROWS_A_FRAME && (item = latest_in_sight (self)) != NULL; i++) {
    g_hash_table_remove (self->late, item);
    tell_row (item);
  }
  if (item != NULL)
    lw_turn_take (&self->rows_turn, GTK_WIDGET (self), 1, tell_some);
}

static void
changed_cb (GtkListItem *item)
{
  GtkWidget *row = gtk_list_item_get_child (item);
  LwFindingsPanel *self = LW_FINDINGS_PANEL (gtk_widget_get_ancestor (row, LW_TYPE_FINDINGS_PANEL));

  if (self == NULL || self->desk == NULL || !lw_desk_dragging (self->desk)) {
    tell_row (item);
    return;
  }
  if (!g_hash_table_contains (self->late, item))
    g_hash_table_insert (self->late, item, GUINT_TO_POINTER (self->counted++));
  if (gtk_widget_get_mapped (GTK_WIDGET (self)))
    lw_turn_take (&self->rows_turn, GTK_WIDGET (self), 1, tell_some);
}

/* Those that scrolled into sight, or all when the hand has let go. */
static void
tell_late (LwFindingsPanel *self)
{
  g_autoptr (GList) late = self->late == NULL || self->desk == NULL ? NULL : g_hash_table_get_keys (self->late);

  for (GList *at = late; at != NULL; at = at->next)
    if (!lw_desk_dragging (self->desk) || in_sight (self, gtk_list_item_get_child (at->data))) {
      g_hash_table_remove (self->late, at->data);
      tell_row (at->data);
    }
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *item, LwFindingsPanel *self)
{
  g_signal_connect_object (gtk_list_item_get_item (item), "changed", G_CALLBACK (changed_cb), item, G_CONNECT_SWAPPED);
  g_signal_connect_object (lw_shown_units_signal (), "changed", G_CALLBACK (changed_cb), item, G_CONNECT_SWAPPED);
  tell_row (item);
}

static void
unbind_cb (GtkSignalListItemFactory *factory, GtkListItem *item, LwFindingsPanel *self)
{
  g_hash_table_remove (self->late, item);
  g_signal_handlers_disconnect_by_func (gtk_list_item_get_item (item), changed_cb, item);
  g_signal_handlers_disconnect_by_func (lw_shown_units_signal (), changed_cb, item);
}

void
lw_findings_panel_set_desk (LwFindingsPanel *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_FINDINGS_PANEL (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

GtkSingleSelection *
lw_findings_panel_selection (LwFindingsPanel *self)
{
  g_return_val_if_fail (LW_IS_FINDINGS_PANEL (self), NULL);
  return self->selection;
}

static void
lw_findings_panel_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_FINDINGS_PANEL (object)->desk);
}

static void
lw_findings_panel_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_findings_panel_set_desk (LW_FINDINGS_PANEL (object), g_value_get_object (value));
}

static void
lw_findings_panel_dispose (GObject *object)
{
  LwFindingsPanel *self = LW_FINDINGS_PANEL (object);

  g_clear_object (&self->desk_signals);
  lw_turn_drop (&self->turn, GTK_WIDGET (self));
  lw_turn_drop (&self->rows_turn, GTK_WIDGET (self));
  if (self->list != NULL)
    gtk_list_view_set_model (self->list, NULL);
  g_clear_object (&self->selection);
  g_clear_object (&self->store);
  g_clear_pointer (&self->opened, g_hash_table_unref);
  g_clear_pointer (&self->late, g_hash_table_unref);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_FINDINGS_PANEL);
  G_OBJECT_CLASS (lw_findings_panel_parent_class)->dispose (object);
}

static void
lw_findings_panel_class_init (LwFindingsPanelClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_findings_panel_dispose;
  object_class->get_property = lw_findings_panel_get_property;
  object_class->set_property = lw_findings_panel_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  show_part_signal = g_signal_new ("show-part", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                   NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "findingspanel");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/findings-panel.ui");
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, counts);
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, notice);
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, notice_revealer);
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, empty);
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, stack);
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, list);
  gtk_widget_class_bind_template_child (widget_class, LwFindingsPanel, show_fine);
  gtk_widget_class_bind_template_callback (widget_class, on_activate);
  gtk_widget_class_bind_template_callback (widget_class, on_show_fine);
}

static void
lw_findings_panel_init (LwFindingsPanel *self)
{
  g_autoptr (GtkListItemFactory) factory = gtk_signal_list_item_factory_new ();
  GtkFilterListModel *filtered;

  gtk_widget_init_template (GTK_WIDGET (self));
  self->opened = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->late = g_hash_table_new (NULL, NULL);
  self->store = g_list_store_new (LW_TYPE_FINDING_ITEM);
  self->filter = gtk_custom_filter_new (match_cb, self, NULL);
  filtered
    = gtk_filter_list_model_new (g_object_ref (G_LIST_MODEL (self->store)), GTK_FILTER (self->filter));
  self->selection = gtk_single_selection_new (G_LIST_MODEL (filtered));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  gtk_single_selection_set_can_unselect (self->selection, TRUE);
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (selected_cb), self,
                           G_CONNECT_SWAPPED);
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), self);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), self);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind_cb), self);
  gtk_list_view_set_factory (self->list, factory);
  gtk_list_view_set_model (self->list, GTK_SELECTION_MODEL (self->selection));
  lw_tab_out_of (GTK_WIDGET (self->list));
  g_signal_connect_swapped (gtk_scrollable_get_vadjustment (GTK_SCROLLABLE (self->list)), "value-changed",
                            G_CALLBACK (tell_late), self);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (answer_cb), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (tell_late), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::stale", G_CALLBACK (show_notice), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::failure", G_CALLBACK (show_notice), self);
}
