#include "widgets/told-list.h"

#include <string.h>

#include <glib/gi18n.h>

#include "widgets/cell-row.h"

struct _LwToldList {
  GtkWidget parent_instance;

  GtkWidget *box, *head;
  GtkListBox *list;
  GtkSizeGroup *widths[LW_TOLD_COLUMNS_MOST]; /* of the columns, their heads too; [0] only where there are words last too */
  char **heads;
  guint told; /* rows of this telling so far */
  gboolean follows, words_last;
};

G_DEFINE_FINAL_TYPE (LwToldList, lw_told_list, GTK_TYPE_WIDGET)

/* ---- rows ---- */

static const char *
base_class (gboolean words, gboolean head)
{
  return head ? "quiet" : words ? "told" : "numeric";
}

static GtkWidget *
new_label (LwToldList *self, gboolean words, guint column, gboolean head)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), words ? 0 : 1);
  gtk_label_set_yalign (GTK_LABEL (label), 0);
  gtk_widget_set_hexpand (label, words);
  if (words) {
    gtk_label_set_wrap (GTK_LABEL (label), TRUE);
    gtk_label_set_width_chars (GTK_LABEL (label), 8);
    gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  }
  if (head && !words) {
    gtk_label_set_wrap (GTK_LABEL (label), TRUE);
    gtk_label_set_justify (GTK_LABEL (label), GTK_JUSTIFY_RIGHT);
  }
  if (!words || self->words_last)
    gtk_size_group_add_widget (self->widths[column], label);
  gtk_widget_add_css_class (label, base_class (words, head));
  return label;
}

static gboolean
is_words (LwToldList *self, guint column, guint n)
{
  return column == 0 || (self->words_last && column + 1 == n);
}

static GtkWidget *
new_cells (LwToldList *self, guint n, gboolean head)
{
  GtkWidget *box = lw_cell_row_new ();

  for (guint i = 0; i < n; i++)
    gtk_box_append (GTK_BOX (box), new_label (self, is_words (self, i, n), i, head));
  return box;
}

static guint
count (GtkWidget *box)
{
  guint n = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (box); child != NULL; child = gtk_widget_get_next_sibling (child))
    n++;
  return n;
}

static GtkWidget *
label_at (GtkWidget *box, guint column)
{
  GtkWidget *child = gtk_widget_get_first_child (box);

  while (child != NULL && column-- > 0)
    child = gtk_widget_get_next_sibling (child);
  return child;
}

/* Row ROW when it has N cells; one with another number goes, and what comes after it. */
static GtkListBoxRow *
row_with (LwToldList *self, guint row, guint n)
{
  GtkListBoxRow *found = gtk_list_box_get_row_at_index (self->list, (int) row);

  while (found != NULL && count (gtk_list_box_row_get_child (found)) != n) {
    gtk_list_box_remove (self->list, GTK_WIDGET (found));
    found = gtk_list_box_get_row_at_index (self->list, (int) row);
  }
  if (found == NULL) {
    found = GTK_LIST_BOX_ROW (gtk_list_box_row_new ());
    gtk_list_box_row_set_child (found, new_cells (self, n, FALSE));
    gtk_list_box_append (self->list, GTK_WIDGET (found));
  }
  return found;
}

/* "Peak, °C: Plan 231.2, Run 233.0" */
static char *
heard (LwToldList *self, const char *const *cells)
{
  GString *out = g_string_new (cells[0]);

  for (guint i = 1; cells[i] != NULL; i++) {
    g_string_append (out, i == 1 ? ": " : C_ ("between members of a list", ", "));
    if (self->heads[i] != NULL && *self->heads[i] != '\0')
      g_string_append_printf (out, "%s ", self->heads[i]);
    g_string_append (out, cells[i]);
  }
  return g_string_free (out, FALSE);
}

void
lw_told_list_begin (LwToldList *self, const char *const *heads)
{
  guint n;

  g_return_if_fail (LW_IS_TOLD_LIST (self) && heads != NULL);
  n = g_strv_length ((char **) heads);
  g_return_if_fail (n > 0 && n <= LW_TOLD_COLUMNS_MOST);
  if (self->heads == NULL || g_strv_length (self->heads) != n) {
    g_clear_pointer (&self->head, gtk_widget_unparent);
    self->head = new_cells (self, n, TRUE);
    gtk_widget_add_css_class (self->head, "told-head");
    gtk_widget_insert_before (self->head, self->box, GTK_WIDGET (self->list));
  }
  g_strfreev (self->heads);
  self->heads = g_strdupv ((char **) heads);
  for (guint i = 0; i < n; i++)
    gtk_label_set_text (GTK_LABEL (label_at (self->head, i)), heads[i]);
  gtk_widget_set_visible (self->head, !self->follows && n > 1);
  self->told = 0;
}

void
lw_told_list_add (LwToldList *self, const char *const *cells)
{
  GtkListBoxRow *row;
  g_autofree char *text = NULL;
  guint n = g_strv_length ((char **) cells);

  g_return_if_fail (LW_IS_TOLD_LIST (self) && self->heads != NULL);
  g_return_if_fail (n <= g_strv_length (self->heads));
  row = row_with (self, self->told++, n);
  for (guint i = 0; i < n; i++) {
    GtkWidget *label = label_at (gtk_list_box_row_get_child (row), i);

    gtk_label_set_text (GTK_LABEL (label), cells[i]);
    gtk_widget_set_css_classes (label, (const char *[]){ base_class (is_words (self, i, n), FALSE), NULL }); /* no mark of another telling */
  }
  text = heard (self, cells);
  gtk_accessible_update_property (GTK_ACCESSIBLE (row), GTK_ACCESSIBLE_PROPERTY_LABEL, text, -1);
}

void
lw_told_list_add_text (LwToldList *self, const char *text)
{
  lw_told_list_add (self, (const char *const[]){ text, NULL });
}

void
lw_told_list_mark (LwToldList *self, guint column, const char *class)
{
  GtkWidget *label;

  g_return_if_fail (LW_IS_TOLD_LIST (self) && self->told > 0);
  label = label_at (gtk_list_box_row_get_child (gtk_list_box_get_row_at_index (self->list, (int) self->told - 1)), column);
  g_return_if_fail (label != NULL);
  gtk_widget_add_css_class (label, class);
}

void
lw_told_list_end (LwToldList *self)
{
  GtkListBoxRow *left;

  g_return_if_fail (LW_IS_TOLD_LIST (self));
  while ((left = gtk_list_box_get_row_at_index (self->list, (int) self->told)) != NULL)
    gtk_list_box_remove (self->list, GTK_WIDGET (left));
  gtk_widget_set_visible (GTK_WIDGET (self), self->told > 0);
}

void
lw_told_list_follow (LwToldList *self, LwToldList *other)
{
  g_return_if_fail (LW_IS_TOLD_LIST (self) && LW_IS_TOLD_LIST (other) && self->heads == NULL);
  for (guint i = 0; i < LW_TOLD_COLUMNS_MOST; i++)
    g_set_object (&self->widths[i], other->widths[i]);
  self->follows = TRUE;
}

void
lw_told_list_end_in_words (LwToldList *self)
{
  g_return_if_fail (LW_IS_TOLD_LIST (self) && self->heads == NULL);
  self->words_last = TRUE;
}

const char *
lw_told_list_cell (LwToldList *self, guint row, guint column)
{
  GtkListBoxRow *at = gtk_list_box_get_row_at_index (self->list, (int) row);
  GtkWidget *label = at != NULL ? label_at (gtk_list_box_row_get_child (at), column) : NULL;

  return label != NULL ? gtk_label_get_text (GTK_LABEL (label)) : "";
}

guint
lw_told_list_length (LwToldList *self)
{
  guint n = 0;

  while (gtk_list_box_get_row_at_index (self->list, (int) n) != NULL)
    n++;
  return n;
}

/* ---- the object ---- */

static GtkSizeRequestMode
lw_told_list_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

/* As wide as its words, whatever the height: asked for the width at a height, rows that wrap would have each of its columns at its
 * widest. */
static void
lw_told_list_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
                      int *natural_baseline)
{
  gtk_widget_measure (LW_TOLD_LIST (widget)->box, orientation, orientation == GTK_ORIENTATION_HORIZONTAL ? -1 : for_size, minimum, natural,
                      minimum_baseline, natural_baseline);
}

static void
lw_told_list_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  gtk_widget_size_allocate (LW_TOLD_LIST (widget)->box, &(GtkAllocation){ 0, 0, width, height }, baseline);
}

static void
lw_told_list_dispose (GObject *object)
{
  LwToldList *self = LW_TOLD_LIST (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  self->head = NULL;
  for (guint i = 0; i < LW_TOLD_COLUMNS_MOST; i++)
    g_clear_object (&self->widths[i]);
  G_OBJECT_CLASS (lw_told_list_parent_class)->dispose (object);
}

static void
lw_told_list_finalize (GObject *object)
{
  g_strfreev (LW_TOLD_LIST (object)->heads);
  G_OBJECT_CLASS (lw_told_list_parent_class)->finalize (object);
}

static void
lw_told_list_class_init (LwToldListClass *class)
{
  G_OBJECT_CLASS (class)->dispose = lw_told_list_dispose;
  G_OBJECT_CLASS (class)->finalize = lw_told_list_finalize;
  GTK_WIDGET_CLASS (class)->get_request_mode = lw_told_list_get_request_mode;
  GTK_WIDGET_CLASS (class)->measure = lw_told_list_measure;
  GTK_WIDGET_CLASS (class)->size_allocate = lw_told_list_size_allocate;
  gtk_widget_class_set_css_name (GTK_WIDGET_CLASS (class), "toldlist");
}

static void
lw_told_list_init (LwToldList *self)
{
  for (guint i = 0; i < LW_TOLD_COLUMNS_MOST; i++)
    self->widths[i] = gtk_size_group_new (GTK_SIZE_GROUP_HORIZONTAL);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  self->list = GTK_LIST_BOX (gtk_list_box_new ());
  gtk_list_box_set_selection_mode (self->list, GTK_SELECTION_NONE);
  gtk_widget_add_css_class (GTK_WIDGET (self->list), "told-rows");
  gtk_box_append (GTK_BOX (self->box), GTK_WIDGET (self->list));
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
lw_told_list_new (const char *name)
{
  LwToldList *self = g_object_new (LW_TYPE_TOLD_LIST, NULL);

  gtk_accessible_update_property (GTK_ACCESSIBLE (self->list), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  return GTK_WIDGET (self);
}
