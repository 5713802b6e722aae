#include "widgets/part-list.h"

#include <glib/gi18n.h>

#include "board/edits-group.h"
#include "board/part-text.h"
#include "widgets/column-heads.h"
#include "widgets/grade-mark.h"
#include "widgets/late-rows.h"
#include "widgets/part-columns.h"
#include "widgets/part-item.h"
#include "widgets/part-paste.h"
#include "widgets/shown-units.h"
#include "widgets/table-cell.h"
#include "widgets/template.h"
#include "widgets/whole-text.h"
#include "widgets/words.h"

struct _LwPartList {
  GtkWidget parent_instance;

  GtkSearchEntry *search;
  GtkLabel *count;
  GtkColumnView *view;

  LwDesk *desk;
  GSignalGroup *desk_signals;
  GListStore *store;
  GtkFilterListModel *filtered;
  GtkMultiSelection *selection;
  GtkCustomFilter *filter;
  char *needle;
  GtkWidget *nothing; /* over an empty table */
  gboolean refreshing, choosing;

  /* What the rows were read from: after an edit the same is told twice, by the job and by its findings. */
  LwJob *read_job;
  int read_plan;
  LwPrediction *read_prediction;
  GPtrArray *read_findings;
};

G_DEFINE_FINAL_TYPE (LwPartList, lw_part_list, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];
static guint show_part_signal;

static void
cell_refresh (GtkListItem *item_cell)
{
  LwPartItem *item = gtk_list_item_get_item (item_cell);
  const LwPartColumn *column = g_object_get_data (G_OBJECT (item_cell), "column");
  GtkWidget *child = gtk_list_item_get_child (item_cell);
  g_autofree char *text = NULL;

  if (item == NULL)
    return;
  text = column->text (lw_part_item_figures (item));
  if (LW_IS_TABLE_CELL (child)) {
    gboolean unknown = column->unknown != NULL && column->unknown (lw_part_item_figures (item));

    lw_table_cell_set_text (LW_TABLE_CELL (child), text, unknown ? "" : NULL);
    return;
  }
  gtk_label_set_text (GTK_LABEL (gtk_widget_get_last_child (child)), text);
  lw_grade_mark_set_grade (LW_GRADE_MARK (gtk_widget_get_first_child (child)), lw_part_item_figures (item)->grade);
}

/* PART's cell, and those of all others that are selected with it, in one step. *N is how many. */
static LwJob *
edit_selected (LwPartList *self, const LwPartColumn *column, guint part, const char *text, guint *n, GError **error)
{
  const GArray *parts = lw_desk_selected_parts (self->desk);
  gboolean alone = parts->len < 2 || !column->many || !lw_desk_has_selected (self->desk, (int) part);
  g_autoptr (LwJob) job = column->edit (lw_desk_job (self->desk), part, text, error);

  *n = 1;
  for (guint i = 0; job != NULL && !alone && i < parts->len; i++) {
    guint other = g_array_index (parts, guint, i);
    LwJob *next;

    if (other == part)
      continue;
    next = column->edit (job, other, text, error);
    lw_job_unref (job);
    job = next;
    *n += 1;
  }
  return g_steal_pointer (&job);
}

static gboolean
commit_cb (LwTableCell *cell, const char *text, gpointer user, GError **error)
{
  GtkListItem *item_cell = user;
  const LwPartColumn *column = g_object_get_data (G_OBJECT (item_cell), "column");
  LwPartList *self = g_object_get_data (G_OBJECT (item_cell), "list");
  LwPartItem *item = gtk_list_item_get_item (item_cell);
  g_autofree char *label = NULL;
  guint n = 1;
  LwJob *job;

  if (item == NULL || self->desk == NULL || lw_desk_job (self->desk) == NULL)
    return TRUE;
  job = edit_selected (self, column, lw_part_item_figures (item)->part, text, &n, error);
  /* Translators: %s is the reference of a part. */
  label = n == 1 ? g_strdup_printf (_("Change %s"), lw_part_item_figures (item)->ref)
                 : g_strdup_printf (ngettext ("Change %u part", "Change %u parts", n), n);
  return job != NULL && lw_desk_edit (self->desk, job, label, NULL, NULL);
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  const LwPartColumn *column = user;
  GtkWidget *child;

  g_object_set_data (G_OBJECT (cell), "column", user);
  g_object_set_data (G_OBJECT (cell), "list", g_object_get_data (G_OBJECT (factory), "list"));
  if (column->graded) {
    GtkWidget *label = gtk_label_new (NULL);

    child = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
    gtk_label_set_xalign (GTK_LABEL (label), 0);
    gtk_box_append (GTK_BOX (child), lw_grade_mark_new ());
    gtk_box_append (GTK_BOX (child), label);
  }
  else {
    child = lw_table_cell_new (column->numeric, column->edit == NULL ? NULL : commit_cb, cell);
    lw_table_cell_set_ellipsize (LW_TABLE_CELL (child), column->expand);
  }
  gtk_list_item_set_child (cell, child);
  /* The figures stay what they are when other units are chosen, so no item tells. */
  g_signal_connect_object (lw_shown_units_signal (), "changed", G_CALLBACK (cell_refresh), cell, G_CONNECT_SWAPPED);
}

static void
bind_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  g_signal_connect_object (gtk_list_item_get_item (cell), "changed", G_CALLBACK (cell_refresh), cell,
                           G_CONNECT_SWAPPED);
  cell_refresh (cell);
}

static void
unbind_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  g_signal_handlers_disconnect_by_func (gtk_list_item_get_item (cell), cell_refresh, cell);
}

static int
compare_cb (gconstpointer a, gconstpointer b, gpointer user)
{
  const LwPartColumn *column = user;

  return column->order (lw_part_item_figures ((LwPartItem *) a), lw_part_item_figures ((LwPartItem *) b));
}

static void
add_column (LwPartList *self, const LwPartColumn *description)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkSorter) sorter = GTK_SORTER (gtk_custom_sorter_new (compare_cb, (gpointer) description, NULL));
  g_autoptr (GtkColumnViewColumn) column = NULL;

  g_object_set_data (G_OBJECT (factory), "list", self);
  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), (gpointer) description);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), (gpointer) description);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind_cb), (gpointer) description);
  column = lw_column_new (description->title, factory);
  gtk_column_view_column_set_sorter (column, sorter);
  gtk_column_view_column_set_resizable (column, TRUE);
  gtk_column_view_column_set_expand (column, description->expand);
  gtk_column_view_append_column (self->view, column);
  if (description->numeric)
    lw_column_head_at_end (self->view);
}

static gboolean
match_cb (gpointer object, gpointer user)
{
  LwPartList *self = user;
  const LwPartFigures *figures = lw_part_item_figures (object);
  g_autofree char *all = NULL, *folded = NULL;

  if (self->needle == NULL || *self->needle == '\0')
    return TRUE;
  all = g_strdup_printf ("%s %s %s %s", figures->ref, figures->package, figures->value,
                         lw_kind_label (figures->kind));
  folded = g_utf8_casefold (all, -1);
  return strstr (folded, self->needle) != NULL;
}

static void
show_count (LwPartList *self)
{
  guint all = g_list_model_get_n_items (G_LIST_MODEL (self->store));
  guint shown = g_list_model_get_n_items (G_LIST_MODEL (self->filtered));
  g_autofree char *text = NULL;

  if (shown == all)
    text = g_strdup_printf (ngettext ("%u part", "%u parts", all), all);
  else
    /* Translators: how many of all parts a search has found. */
    text = g_strdup_printf (_("%u of %u"), shown, all);
  gtk_label_set_text (self->count, text);
  gtk_widget_set_visible (self->nothing, all == 0);
}

static void
show_selection (LwPartList *self)
{
  int lead = lw_desk_selected_part (self->desk);
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->selection)), found = GTK_INVALID_LIST_POSITION;
  g_autoptr (GtkBitset) chosen = gtk_bitset_new_empty (), all = gtk_bitset_new_range (0, n);

  for (guint i = 0; lead >= 0 && i < n; i++) {
    g_autoptr (LwPartItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), i);
    guint part = lw_part_item_figures (item)->part;

    if (lw_desk_has_selected (self->desk, (int) part))
      gtk_bitset_add (chosen, i);
    if ((int) part == lead)
      found = i;
  }
  self->refreshing = TRUE;
  gtk_selection_model_set_selection (GTK_SELECTION_MODEL (self->selection), chosen, all);
  self->refreshing = FALSE;
  if (found != GTK_INVALID_LIST_POSITION && gtk_widget_get_mapped (GTK_WIDGET (self)) && !self->choosing)
    gtk_widget_activate_action (gtk_widget_get_last_child (GTK_WIDGET (self->view)), "list.scroll-to-item", "u",
                                found);
}

static void
set_length (LwPartList *self, guint n)
{
  guint before = g_list_model_get_n_items (G_LIST_MODEL (self->store));

  if (before > n)
    g_list_store_splice (self->store, n, before - n, NULL, 0);
}

/* Items are read again in place, so that scrolling and selection stay where they are. Whether anything is another
 * now. */
static gboolean
read_items (LwPartList *self, const LwJob *job)
{
  guint n = job->parts->len, before = g_list_model_get_n_items (G_LIST_MODEL (self->store));
  g_autoptr (LwPartSource) source = lw_part_source_new (job, lw_desk_plan (self->desk), lw_desk_prediction (self->desk),
                                                        lw_desk_findings (self->desk));
  g_autoptr (GPtrArray) more = g_ptr_array_new_with_free_func (g_object_unref);
  gboolean other = n != before;

  set_length (self, n);
  before = MIN (before, n);
  for (guint i = 0; i < n; i++) {
    g_autoptr (LwPartItem) item
      = i < before ? g_list_model_get_item (G_LIST_MODEL (self->store), i) : lw_part_item_new ();

    other = lw_part_item_read (item, source, i) || other;
    if (i >= before)
      g_ptr_array_add (more, g_steal_pointer (&item));
  }
  g_list_store_splice (self->store, before, 0, more->pdata, more->len);
  return other;
}

static void
forget_read (LwPartList *self)
{
  g_clear_pointer (&self->read_job, lw_job_unref);
  g_clear_pointer (&self->read_prediction, lw_prediction_unref);
  g_clear_pointer (&self->read_findings, g_ptr_array_unref);
}

/* Whether the rows were read from what the desk has now. Noted as read either way: the caller reads. */
static gboolean
read_before (LwPartList *self)
{
  LwJob *job = lw_desk_job (self->desk);
  LwPrediction *prediction = lw_desk_prediction (self->desk);
  GPtrArray *findings = (GPtrArray *) lw_desk_findings (self->desk);
  int plan = lw_desk_plan (self->desk);

  if (job != NULL && job == self->read_job && plan == self->read_plan && prediction == self->read_prediction
      && findings == self->read_findings)
    return TRUE;
  forget_read (self);
  self->read_job = job != NULL ? lw_job_ref (job) : NULL;
  self->read_plan = plan;
  self->read_prediction = prediction != NULL ? lw_prediction_ref (prediction) : NULL;
  self->read_findings = findings != NULL ? g_ptr_array_ref (findings) : NULL;
  return FALSE;
}

static void
refresh (LwPartList *self)
{
  const LwJob *job = lw_desk_job (self->desk);
  gboolean other = TRUE;

  if (lw_desk_may_wait (self->desk, GTK_WIDGET (self)) || read_before (self))
    return;
  self->refreshing = TRUE;
  if (job == NULL)
    set_length (self, 0);
  else
    other = read_items (self, job);
  if (other)
    gtk_sorter_changed (gtk_column_view_get_sorter (self->view), GTK_SORTER_CHANGE_DIFFERENT);
  self->refreshing = FALSE;
  if (other)
    show_selection (self);
  show_count (self);
}

/* What is chosen here is chosen on the desk; the side looked at follows when all of it lies there. */
static void
selected_cb (LwPartList *self)
{
  g_autoptr (GArray) parts = NULL;
  g_autoptr (GtkBitset) chosen = NULL;
  guint n;
  gboolean other_side = TRUE;

  if (self->refreshing || self->desk == NULL)
    return;
  parts = g_array_new (FALSE, FALSE, sizeof (guint));
  chosen = gtk_selection_model_get_selection (GTK_SELECTION_MODEL (self->selection));
  n = (guint) gtk_bitset_get_size (chosen);
  for (guint i = 0; i < n; i++) {
    g_autoptr (LwPartItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), gtk_bitset_get_nth (chosen, i));
    const LwPartFigures *figures = lw_part_item_figures (item);
    guint part = figures->part;

    other_side = other_side && figures->side != lw_desk_side (self->desk);
    g_array_append_val (parts, part);
  }
  if (n > 0 && other_side)
    lw_desk_set_side (self->desk, lw_desk_side (self->desk) == LW_SIDE_TOP ? LW_SIDE_BOTTOM : LW_SIDE_TOP);
  self->choosing = TRUE;
  lw_desk_select_parts (self->desk, parts, lw_desk_selected_part (self->desk));
  self->choosing = FALSE;
}

static void
on_activate (GtkColumnView *view, guint position, LwPartList *self)
{
  g_autoptr (LwPartItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), position);

  if (item == NULL)
    return;
  lw_desk_set_side (self->desk, lw_part_item_figures (item)->side);
  lw_desk_select_part (self->desk, lw_part_item_figures (item)->part);
  g_signal_emit (self, show_part_signal, 0, (int) lw_part_item_figures (item)->part);
}

static void
on_search (GtkSearchEntry *search, LwPartList *self)
{
  g_free (self->needle);
  self->needle = g_utf8_casefold (gtk_editable_get_text (GTK_EDITABLE (search)), -1);
  self->refreshing = TRUE;
  gtk_filter_changed (GTK_FILTER (self->filter), GTK_FILTER_CHANGE_DIFFERENT);
  self->refreshing = FALSE;
  if (self->desk != NULL)
    show_selection (self);
  show_count (self);
}

static void
on_stop_search (GtkSearchEntry *search, LwPartList *self)
{
  gtk_editable_set_text (GTK_EDITABLE (search), "");
  gtk_widget_grab_focus (GTK_WIDGET (self->view));
}

/* ---- clipboard and keys ---- */

static void
copy_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwPartList *self = LW_PART_LIST (widget);
  g_autofree char *text = NULL, *told = NULL;
  const GArray *parts;

  if (self->desk == NULL || lw_desk_job (self->desk) == NULL)
    return;
  parts = lw_desk_selected_parts (self->desk);
  if (parts->len == 0)
    return;
  text = lw_parts_to_table (lw_desk_job (self->desk), parts);
  gdk_clipboard_set_text (gtk_widget_get_clipboard (widget), text);
  told = g_strdup_printf (ngettext ("%u row in the clipboard", "%u rows in the clipboard", parts->len), parts->len);
  lw_desk_tell (self->desk, told, FALSE);
}

static void
paste_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwPartList *self = LW_PART_LIST (widget);

  if (self->desk != NULL && lw_desk_job (self->desk) != NULL)
    lw_parts_paste_clipboard (self->desk, widget, NULL);
}

static void
delete_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  LwPartList *self = LW_PART_LIST (widget);
  GError *error = NULL;

  if (self->desk == NULL || lw_desk_job (self->desk) == NULL || lw_desk_selected_parts (self->desk)->len == 0)
    return;
  if (lw_desk_edit (self->desk, lw_edit_remove_parts (lw_desk_job (self->desk), lw_desk_selected_parts (self->desk), &error),
                    _("Remove parts"), NULL, error))
    lw_desk_tell (self->desk, _("Parts removed"), TRUE);
}

static LwTableCell *
first_cell (GtkWidget *widget)
{
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child)) {
    LwTableCell *found = LW_IS_TABLE_CELL (child) ? LW_TABLE_CELL (child) : first_cell (child);

    if (found != NULL)
      return found;
  }
  return NULL;
}

/* F2 on a row opens its first cell; Tab goes on from there. */
static void
edit_cb (GtkWidget *widget, const char *name, GVariant *parameter)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (gtk_widget_get_root (widget)));
  LwTableCell *cell = focus == NULL || !gtk_widget_is_ancestor (focus, GTK_WIDGET (LW_PART_LIST (widget)->view))
                        ? NULL
                        : first_cell (focus);

  if (cell != NULL)
    lw_table_cell_edit (cell);
}

void
lw_part_list_search (LwPartList *self)
{
  g_return_if_fail (LW_IS_PART_LIST (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

GtkSelectionModel *
lw_part_list_selection (LwPartList *self)
{
  g_return_val_if_fail (LW_IS_PART_LIST (self), NULL);
  return GTK_SELECTION_MODEL (self->selection);
}

void
lw_part_list_set_desk (LwPartList *self, LwDesk *desk)
{
  g_return_if_fail (LW_IS_PART_LIST (self));

  if (!g_set_object (&self->desk, desk))
    return;
  g_signal_group_set_target (self->desk_signals, desk);
  if (desk != NULL)
    refresh (self);
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_DESK]);
}

static void
lw_part_list_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  g_value_set_object (value, LW_PART_LIST (object)->desk);
}

static void
lw_part_list_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  lw_part_list_set_desk (LW_PART_LIST (object), g_value_get_object (value));
}

static void
lw_part_list_dispose (GObject *object)
{
  LwPartList *self = LW_PART_LIST (object);

  self->refreshing = TRUE;
  g_clear_object (&self->desk_signals);
  if (self->view != NULL)
    gtk_column_view_set_model (self->view, NULL);
  g_clear_object (&self->selection);
  g_clear_object (&self->filtered);
  g_clear_object (&self->store);
  forget_read (self);
  g_clear_object (&self->desk);
  lw_template_dispose (GTK_WIDGET (self), LW_TYPE_PART_LIST);
  G_OBJECT_CLASS (lw_part_list_parent_class)->dispose (object);
}

static void
lw_part_list_finalize (GObject *object)
{
  g_free (LW_PART_LIST (object)->needle);
  G_OBJECT_CLASS (lw_part_list_parent_class)->finalize (object);
}

static void
lw_part_list_class_init (LwPartListClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->dispose = lw_part_list_dispose;
  object_class->finalize = lw_part_list_finalize;
  object_class->get_property = lw_part_list_get_property;
  object_class->set_property = lw_part_list_set_property;
  props[PROP_DESK] = g_param_spec_object ("desk", NULL, NULL, LW_TYPE_DESK,
                                          G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  show_part_signal = g_signal_new ("show-part", G_TYPE_FROM_CLASS (class), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                   NULL, G_TYPE_NONE, 1, G_TYPE_INT);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "partlist");
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/part-list.ui");
  gtk_widget_class_bind_template_child (widget_class, LwPartList, search);
  gtk_widget_class_bind_template_child (widget_class, LwPartList, count);
  gtk_widget_class_bind_template_child (widget_class, LwPartList, view);
  gtk_widget_class_bind_template_child (widget_class, LwPartList, nothing);
  gtk_widget_class_install_action (widget_class, "parts.copy", NULL, copy_cb);
  gtk_widget_class_install_action (widget_class, "parts.paste", NULL, paste_cb);
  gtk_widget_class_install_action (widget_class, "parts.delete", NULL, delete_cb);
  gtk_widget_class_install_action (widget_class, "parts.edit", NULL, edit_cb);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_c, GDK_CONTROL_MASK, "parts.copy", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_v, GDK_CONTROL_MASK, "parts.paste", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Delete, 0, "parts.delete", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_F2, 0, "parts.edit", NULL);
  gtk_widget_class_bind_template_callback (widget_class, on_activate);
  gtk_widget_class_bind_template_callback (widget_class, on_search);
  gtk_widget_class_bind_template_callback (widget_class, on_stop_search);
}

static void
build_model (LwPartList *self)
{
  GtkSortListModel *sorted;

  self->store = g_list_store_new (LW_TYPE_PART_ITEM);
  self->filter = gtk_custom_filter_new (match_cb, self, NULL);
  self->filtered
    = gtk_filter_list_model_new (g_object_ref (G_LIST_MODEL (self->store)), GTK_FILTER (self->filter));
  sorted = gtk_sort_list_model_new (g_object_ref (G_LIST_MODEL (self->filtered)),
                                    g_object_ref (gtk_column_view_get_sorter (self->view)));
  self->selection = gtk_multi_selection_new (G_LIST_MODEL (sorted));
  g_signal_connect_object (self->selection, "selection-changed", G_CALLBACK (selected_cb), self, G_CONNECT_SWAPPED);
}

static void
lw_part_list_init (LwPartList *self)
{
  g_autoptr (GtkColumnViewColumn) first = NULL;
  guint n;
  const LwPartColumn *columns = lw_part_columns (&n);

  gtk_widget_init_template (GTK_WIDGET (self));
  lw_tell_whole_text (GTK_WIDGET (self->search));
  for (guint i = 0; i < n; i++)
    add_column (self, &columns[i]);
  build_model (self);
  lw_late_rows (GTK_WIDGET (self->view), GTK_SELECTION_MODEL (self->selection));
  first = g_list_model_get_item (gtk_column_view_get_columns (self->view), 0);
  gtk_column_view_sort_by_column (self->view, first, GTK_SORT_ASCENDING);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::dragging", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selected-part", G_CALLBACK (show_selection),
                                  self);
  g_signal_group_connect_swapped (self->desk_signals, "group-changed", G_CALLBACK (show_selection), self);
}
