#include "widgets/cell-row.h"

#define SPACING 12
#define CELLS_MOST 32

static guint
widths (GtkWidget *row, GtkRequestedSize *sizes)
{
  guint n = 0;

  for (GtkWidget *cell = gtk_widget_get_first_child (row); cell != NULL && n < CELLS_MOST; cell = gtk_widget_get_next_sibling (cell)) {
    sizes[n].data = cell;
    gtk_widget_measure (cell, GTK_ORIENTATION_HORIZONTAL, -1, &sizes[n].minimum_size, &sizes[n].natural_size, NULL, NULL);
    n++;
  }
  return n;
}

static int
gaps (guint n)
{
  return n > 0 ? SPACING * (int) (n - 1) : 0;
}

/* Makes the minimum sizes what each cell gets of WIDTH. */
static void
share (GtkRequestedSize *sizes, guint n, int width)
{
  int left = width - gaps (n), expand = 0;

  for (guint i = 0; i < n; i++) {
    left -= sizes[i].minimum_size;
    expand += gtk_widget_get_hexpand (sizes[i].data) ? 1 : 0;
  }
  left = gtk_distribute_natural_allocation (MAX (left, 0), n, sizes);
  for (guint i = 0; i < n && expand > 0; i++)
    if (gtk_widget_get_hexpand (sizes[i].data)) {
      sizes[i].minimum_size += left / expand;
      left -= left / expand--;
    }
}

static int
height_at (GtkWidget *row, int width, gboolean natural)
{
  GtkRequestedSize sizes[CELLS_MOST];
  guint n = widths (row, sizes);
  int most = 0;

  if (width >= 0)
    share (sizes, n, width);
  for (guint i = 0; i < n; i++) {
    int least, usual;

    gtk_widget_measure (sizes[i].data, GTK_ORIENTATION_VERTICAL, width < 0 ? -1 : sizes[i].minimum_size, &least, &usual, NULL, NULL);
    most = MAX (most, natural ? usual : least);
  }
  return most;
}

static void
measure (GtkWidget *row, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline, int *natural_baseline)
{
  GtkRequestedSize sizes[CELLS_MOST];
  guint n;

  if (orientation == GTK_ORIENTATION_VERTICAL) {
    *minimum = height_at (row, for_size, FALSE);
    *natural = height_at (row, for_size, TRUE);
    return;
  }
  n = widths (row, sizes);
  *minimum = *natural = gaps (n);
  for (guint i = 0; i < n; i++) {
    *minimum += sizes[i].minimum_size;
    *natural += sizes[i].natural_size;
  }
}

static void
allocate (GtkWidget *row, int width, int height, int baseline)
{
  GtkRequestedSize sizes[CELLS_MOST];
  guint n = widths (row, sizes);
  int x = 0;

  share (sizes, n, width);
  for (guint i = 0; i < n; i++) {
    int at = gtk_widget_get_direction (row) == GTK_TEXT_DIR_RTL ? width - x - sizes[i].minimum_size : x;

    gtk_widget_size_allocate (sizes[i].data, &(GtkAllocation){ at, 0, sizes[i].minimum_size, height }, -1);
    x += sizes[i].minimum_size + SPACING;
  }
}

static GtkSizeRequestMode
request_mode (GtkWidget *row)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

GtkWidget *
lw_cell_row_new (void)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);

  gtk_widget_set_layout_manager (row, gtk_custom_layout_new (request_mode, measure, allocate));
  return row;
}
