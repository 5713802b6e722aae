#include "widgets/part-list.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "widgets/grade-mark.h"
#include "widgets/part-item.h"
#include "widgets/template.h"
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
  GtkSingleSelection *selection;
  GtkCustomFilter *filter;
  char *needle;
  gboolean refreshing;
};

G_DEFINE_FINAL_TYPE (LwPartList, lw_part_list, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_DESK, N_PROPS };
static GParamSpec *props[N_PROPS];
static guint show_part_signal;

typedef char *(*CellText) (const LwPartFigures *figures);
typedef int (*CellOrder) (const LwPartFigures *a, const LwPartFigures *b);

typedef struct {
  const char *title;
  CellText text;
  CellOrder order;
  gboolean numeric, expand;
} Column;

static char *
ref_text (const LwPartFigures *figures)
{
  return g_strdup (figures->ref);
}

static char *
package_text (const LwPartFigures *figures)
{
  return g_strdup (figures->package);
}

static char *
side_text (const LwPartFigures *figures)
{
  return g_strdup (lw_side_label (figures->side));
}

static char *
kind_text (const LwPartFigures *figures)
{
  return g_strdup (lw_kind_label (figures->kind));
}

static char *
height_text (const LwPartFigures *figures)
{
  return isfinite (figures->height_mm) ? lw_figure (figures->height_mm, 2) : g_strdup (_("unknown"));
}

static char *
peak_text (const LwPartFigures *figures)
{
  return lw_figure (figures->peak_c, 0);
}

static char *
headroom_text (const LwPartFigures *figures)
{
  return lw_figure (figures->headroom, 0);
}

static char *
grade_text (const LwPartFigures *figures)
{
  const char *grade = figures->grade < 0 ? "" : lw_grade_label (figures->grade);

  /* Translators: the part being reworked, in a list; %s is its grade or nothing. */
  return figures->is_target ? g_strdup_printf (_("%s (target)"), grade) : g_strdup (grade);
}

/* Unknown figures go last. */
static int
compare_figures (double a, double b)
{
  if (isnan (a) || isnan (b))
    return isnan (a) - isnan (b);
  return (a > b) - (a < b);
}

static int
ref_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return g_strcmp0 (a->ref_key, b->ref_key);
}

static int
package_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return g_utf8_collate (a->package, b->package);
}

static int
side_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return (int) a->side - (int) b->side;
}

static int
kind_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return g_utf8_collate (lw_kind_label (a->kind), lw_kind_label (b->kind));
}

static int
height_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->height_mm, b->height_mm);
}

static int
peak_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->peak_c, b->peak_c);
}

static int
headroom_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->headroom, b->headroom);
}

static int
grade_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return a->grade - b->grade;
}

static const Column columns[] = {
  { NC_ ("column", "Ref"), ref_text, ref_order, FALSE, FALSE },
  { NC_ ("column", "Grade"), grade_text, grade_order, FALSE, FALSE },
  { NC_ ("column", "Package"), package_text, package_order, FALSE, TRUE },
  { NC_ ("column", "Kind"), kind_text, kind_order, FALSE, TRUE },
  { NC_ ("column", "Side"), side_text, side_order, FALSE, FALSE },
  { NC_ ("column", "Height, mm"), height_text, height_order, TRUE, FALSE },
  { NC_ ("column", "Body peak, °C"), peak_text, peak_order, TRUE, FALSE },
  { NC_ ("column", "Headroom, K"), headroom_text, headroom_order, TRUE, FALSE },
};

static void
cell_refresh (GtkListItem *cell)
{
  LwPartItem *item = gtk_list_item_get_item (cell);
  const Column *column = g_object_get_data (G_OBJECT (cell), "column");
  GtkWidget *box = gtk_list_item_get_child (cell);
  GtkWidget *label = gtk_widget_get_last_child (box);
  g_autofree char *text = NULL;

  if (item == NULL)
    return;
  text = column->text (lw_part_item_figures (item));
  gtk_label_set_text (GTK_LABEL (label), text);
  if (column->text == grade_text)
    lw_grade_mark_set_grade (LW_GRADE_MARK (gtk_widget_get_first_child (box)),
                             lw_part_item_figures (item)->grade);
}

static void
setup_cb (GtkSignalListItemFactory *factory, GtkListItem *cell, gpointer user)
{
  const Column *column = user;
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  GtkWidget *label = gtk_label_new (NULL);

  g_object_set_data (G_OBJECT (cell), "column", user);
  if (column->text == grade_text)
    gtk_box_append (GTK_BOX (box), lw_grade_mark_new ());
  gtk_label_set_xalign (GTK_LABEL (label), column->numeric ? 1 : 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), column->expand ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
  gtk_widget_set_hexpand (label, TRUE);
  if (column->numeric)
    gtk_widget_add_css_class (label, "numeric");
  gtk_box_append (GTK_BOX (box), label);
  gtk_list_item_set_child (cell, box);
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
  const Column *column = user;

  return column->order (lw_part_item_figures ((LwPartItem *) a), lw_part_item_figures ((LwPartItem *) b));
}

static void
add_column (LwPartList *self, const Column *description)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  g_autoptr (GtkSorter) sorter = GTK_SORTER (gtk_custom_sorter_new (compare_cb, (gpointer) description, NULL));
  g_autoptr (GtkColumnViewColumn) column = NULL;

  g_signal_connect (factory, "setup", G_CALLBACK (setup_cb), (gpointer) description);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_cb), (gpointer) description);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind_cb), (gpointer) description);
  column = gtk_column_view_column_new (g_dpgettext2 (NULL, "column", description->title), factory);
  gtk_column_view_column_set_sorter (column, sorter);
  gtk_column_view_column_set_resizable (column, TRUE);
  gtk_column_view_column_set_expand (column, description->expand);
  gtk_column_view_append_column (self->view, column);
}

static gboolean
match_cb (gpointer object, gpointer user)
{
  LwPartList *self = user;
  const LwPartFigures *figures = lw_part_item_figures (object);
  g_autofree char *all = NULL, *folded = NULL;

  if (self->needle == NULL || *self->needle == '\0')
    return TRUE;
  all = g_strdup_printf ("%s %s %s", figures->ref, figures->package, lw_kind_label (figures->kind));
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
}

static void
show_selection (LwPartList *self)
{
  int part = lw_desk_selected_part (self->desk);
  guint n = g_list_model_get_n_items (G_LIST_MODEL (self->selection));
  guint found = GTK_INVALID_LIST_POSITION;

  for (guint i = 0; part >= 0 && i < n; i++) {
    g_autoptr (LwPartItem) item = g_list_model_get_item (G_LIST_MODEL (self->selection), i);

    if ((int) lw_part_item_figures (item)->part == part) {
      found = i;
      break;
    }
  }
  self->refreshing = TRUE;
  gtk_single_selection_set_selected (self->selection, found);
  self->refreshing = FALSE;
  if (found != GTK_INVALID_LIST_POSITION && gtk_widget_get_mapped (GTK_WIDGET (self)))
    gtk_widget_activate_action (gtk_widget_get_last_child (GTK_WIDGET (self->view)), "list.scroll-to-item", "u",
                                found);
}

static void
set_length (LwPartList *self, guint n)
{
  guint before = g_list_model_get_n_items (G_LIST_MODEL (self->store));

  while (before > n)
    g_list_store_remove (self->store, --before);
}

/* Items are read again in place, so that scrolling and selection stay where they are. */
static void
refresh (LwPartList *self)
{
  const LwJob *job = lw_desk_job (self->desk);
  guint n = job == NULL ? 0 : job->parts->len, before;

  self->refreshing = TRUE;
  set_length (self, n);
  before = g_list_model_get_n_items (G_LIST_MODEL (self->store));
  for (guint i = 0; i < n; i++) {
    g_autoptr (LwPartItem) item
      = i < before ? g_list_model_get_item (G_LIST_MODEL (self->store), i) : lw_part_item_new ();

    lw_part_item_read (item, job, lw_desk_plan (self->desk), i, lw_desk_prediction (self->desk),
                       lw_desk_findings (self->desk));
    if (i >= before)
      g_list_store_append (self->store, item);
  }
  gtk_sorter_changed (gtk_column_view_get_sorter (self->view), GTK_SORTER_CHANGE_DIFFERENT);
  self->refreshing = FALSE;
  show_selection (self);
  show_count (self);
}

static void
selected_cb (LwPartList *self)
{
  LwPartItem *item = gtk_single_selection_get_selected_item (self->selection);

  if (self->refreshing || item == NULL || self->desk == NULL)
    return;
  lw_desk_set_side (self->desk, lw_part_item_figures (item)->side);
  lw_desk_select_part (self->desk, lw_part_item_figures (item)->part);
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

void
lw_part_list_search (LwPartList *self)
{
  g_return_if_fail (LW_IS_PART_LIST (self));
  gtk_widget_grab_focus (GTK_WIDGET (self->search));
}

GtkSingleSelection *
lw_part_list_selection (LwPartList *self)
{
  g_return_val_if_fail (LW_IS_PART_LIST (self), NULL);
  return self->selection;
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
  self->selection = gtk_single_selection_new (G_LIST_MODEL (sorted));
  gtk_single_selection_set_autoselect (self->selection, FALSE);
  gtk_single_selection_set_can_unselect (self->selection, TRUE);
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (selected_cb), self,
                           G_CONNECT_SWAPPED);
}

static void
lw_part_list_init (LwPartList *self)
{
  g_autoptr (GtkColumnViewColumn) first = NULL;

  gtk_widget_init_template (GTK_WIDGET (self));
  for (guint i = 0; i < G_N_ELEMENTS (columns); i++)
    add_column (self, &columns[i]);
  build_model (self);
  gtk_column_view_set_model (self->view, GTK_SELECTION_MODEL (self->selection));
  first = g_list_model_get_item (gtk_column_view_get_columns (self->view), 0);
  gtk_column_view_sort_by_column (self->view, first, GTK_SORT_ASCENDING);
  self->desk_signals = g_signal_group_new (LW_TYPE_DESK);
  g_signal_group_connect_swapped (self->desk_signals, "job-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "answer-changed", G_CALLBACK (refresh), self);
  g_signal_group_connect_swapped (self->desk_signals, "notify::selected-part", G_CALLBACK (show_selection),
                                  self);
}
