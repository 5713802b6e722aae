#include "widgets/wrap-row.h"

#define GAP 8     /* px between two in a line */
#define LINE_GAP 4 /* px between lines */

struct _LwWrapRow {
  GtkWidget parent_instance;
};

G_DEFINE_FINAL_TYPE (LwWrapRow, lw_wrap_row, GTK_TYPE_WIDGET)

/* Those of one line, from FIRST up to and without END. */
typedef struct {
  GtkWidget *first, *end;
  guint n;
  int minimum, natural; /* width with gaps, px */
} Line;

static GtkWidget *
next_shown (GtkWidget *child)
{
  while (child != NULL && !gtk_widget_should_layout (child))
    child = gtk_widget_get_next_sibling (child);
  return child;
}

static void
widths_of (GtkWidget *child, int *minimum, int *natural)
{
  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, minimum, natural, NULL, NULL);
}

/* As many as find room in WIDTH, but one at least. WIDTH < 0: all. */
static Line
line_from (GtkWidget *first, int width)
{
  Line line = { .first = first };

  for (line.end = first; line.end != NULL; line.end = next_shown (gtk_widget_get_next_sibling (line.end))) {
    int minimum, natural, gap = line.n > 0 ? GAP : 0;

    widths_of (line.end, &minimum, &natural);
    if (width >= 0 && line.n > 0 && line.minimum + gap + minimum > width)
      break;
    line.n++;
    line.minimum += gap + minimum;
    line.natural += gap + natural;
  }
  return line;
}

/* ---- sizes ---- */

static GtkSizeRequestMode
lw_wrap_row_get_request_mode (GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

/* Each its minimum, then towards its natural width, then those that expand the rest. */
static GtkRequestedSize *
share (const Line *line, int width)
{
  GtkRequestedSize *sizes = g_new0 (GtkRequestedSize, line->n);
  int left = width - GAP * ((int) line->n - 1), expanding = 0;
  guint k = 0;

  for (GtkWidget *child = line->first; child != line->end; child = next_shown (gtk_widget_get_next_sibling (child)), k++) {
    sizes[k].data = child;
    widths_of (child, &sizes[k].minimum_size, &sizes[k].natural_size);
    left -= sizes[k].minimum_size;
    expanding += gtk_widget_compute_expand (child, GTK_ORIENTATION_HORIZONTAL);
  }
  left = gtk_distribute_natural_allocation (MAX (left, 0), line->n, sizes);
  for (k = 0; k < line->n && expanding > 0; k++)
    if (gtk_widget_compute_expand (sizes[k].data, GTK_ORIENTATION_HORIZONTAL)) {
      sizes[k].minimum_size += left / expanding;
      left -= left / expanding--;
    }
  return sizes;
}

/* Of LINE's children with the widths of SIZES. */
static int
line_height (const Line *line, const GtkRequestedSize *sizes)
{
  int height = 0;

  for (guint k = 0; k < line->n; k++) {
    int minimum, natural;

    gtk_widget_measure (sizes[k].data, GTK_ORIENTATION_VERTICAL, sizes[k].minimum_size, &minimum, &natural, NULL, NULL);
    height = MAX (height, natural);
  }
  return height;
}

static int
height_for (GtkWidget *widget, int width)
{
  int height = 0;
  Line line = { .end = next_shown (gtk_widget_get_first_child (widget)) };

  while (line.end != NULL) {
    g_autofree GtkRequestedSize *sizes = NULL;

    line = line_from (line.end, width);
    sizes = share (&line, width >= 0 ? width : line.natural);
    height += line_height (&line, sizes) + (height > 0 ? LINE_GAP : 0);
  }
  return height;
}

static void
lw_wrap_row_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural, int *minimum_baseline,
                     int *natural_baseline)
{
  GtkWidget *first = next_shown (gtk_widget_get_first_child (widget));

  *minimum = *natural = 0;
  if (orientation == GTK_ORIENTATION_VERTICAL) {
    *minimum = *natural = height_for (widget, for_size);
    return;
  }
  *natural = line_from (first, -1).natural;
  for (GtkWidget *child = first; child != NULL; child = next_shown (gtk_widget_get_next_sibling (child))) {
    int least, usual;

    widths_of (child, &least, &usual);
    *minimum = MAX (*minimum, least);
  }
}

/* ---- places ---- */

/* From the right in a script that is written so. */
static void
place (GtkWidget *widget, const GtkRequestedSize *sizes, guint n, int y, int width, int height)
{
  gboolean from_right = gtk_widget_get_direction (widget) == GTK_TEXT_DIR_RTL;
  int x = 0;

  for (guint k = 0; k < n; k++) {
    int wide = sizes[k].minimum_size, left = from_right ? width - x - wide : x;

    gtk_widget_size_allocate (sizes[k].data, &(GtkAllocation){ left, y, wide, height }, -1);
    x += wide + GAP;
  }
}

static void
lw_wrap_row_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  Line line = { .end = next_shown (gtk_widget_get_first_child (widget)) };
  int y = 0;

  while (line.end != NULL) {
    g_autofree GtkRequestedSize *sizes = NULL;
    int high;

    line = line_from (line.end, width);
    sizes = share (&line, width);
    high = line_height (&line, sizes);
    place (widget, sizes, line.n, y, width, high);
    y += high + LINE_GAP;
  }
}

/* ---- the object ---- */

static void
lw_wrap_row_dispose (GObject *object)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (lw_wrap_row_parent_class)->dispose (object);
}

static void
lw_wrap_row_class_init (LwWrapRowClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_wrap_row_dispose;
  widget_class->get_request_mode = lw_wrap_row_get_request_mode;
  widget_class->measure = lw_wrap_row_measure;
  widget_class->size_allocate = lw_wrap_row_size_allocate;
  gtk_widget_class_set_css_name (widget_class, "wraprow");
}

static void
lw_wrap_row_init (LwWrapRow *self)
{
}

GtkWidget *
lw_wrap_row_new (void)
{
  return g_object_new (LW_TYPE_WRAP_ROW, NULL);
}

void
lw_wrap_row_append (LwWrapRow *self, GtkWidget *child)
{
  g_return_if_fail (LW_IS_WRAP_ROW (self) && GTK_IS_WIDGET (child));
  gtk_widget_insert_before (child, GTK_WIDGET (self), NULL);
}
