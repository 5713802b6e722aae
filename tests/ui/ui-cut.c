#include "ui-cut.h"

#include "ui-fixture.h"

static guint faults, labels;
static const char *where; /* what is on the screen */
static GHashTable *told;  /* a fault is told once, not on every page */

/* The widget's ancestors, innermost last. */
static char *
path_of (GtkWidget *widget)
{
  GString *path = g_string_new (NULL);

  for (GtkWidget *w = widget; w != NULL; w = gtk_widget_get_parent (w)) {
    g_string_prepend (path, G_OBJECT_TYPE_NAME (w));
    if (gtk_widget_get_parent (w) != NULL)
      g_string_prepend (path, " > ");
  }
  return g_string_free (path, FALSE);
}

static void
tell (GtkWidget *widget, const char *text, const char *fault)
{
  g_autofree char *path = path_of (widget);
  char *key = g_strdup_printf ("%s: \"%s\" (%s)", fault, text, path);

  if (told == NULL)
    told = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  if (g_hash_table_contains (told, key)) {
    g_free (key);
    return;
  }
  faults++;
  g_test_message ("%s: %s", where, key);
  g_hash_table_add (told, key);
}

/* What scrolls may be larger than what is seen of it. */
static void
directions_that_scroll (GtkWidget *widget, gboolean *across, gboolean *down)
{
  GtkWidget *scroller = GTK_IS_SCROLLABLE (widget) ? gtk_widget_get_ancestor (widget, GTK_TYPE_SCROLLED_WINDOW) : NULL;
  GtkPolicyType h, v;

  if (scroller == NULL)
    return;
  gtk_scrolled_window_get_policy (GTK_SCROLLED_WINDOW (scroller), &h, &v);
  *across |= h != GTK_POLICY_NEVER && h != GTK_POLICY_EXTERNAL;
  *down |= v != GTK_POLICY_NEVER && v != GTK_POLICY_EXTERNAL;
}

/* Whether the widget sticks out of one of its ancestors, by more than a pixel of rounding. */
static void
check_inside (GtkWidget *widget, const char *text)
{
  gboolean across = FALSE, down = FALSE;

  for (GtkWidget *w = gtk_widget_get_parent (widget); w != NULL; w = gtk_widget_get_parent (w)) {
    graphene_rect_t box;

    directions_that_scroll (w, &across, &down);
    if (!gtk_widget_compute_bounds (widget, w, &box))
      continue;
    if (!across && (box.origin.x < -1 || box.origin.x + box.size.width > gtk_widget_get_width (w) + 1))
      tell (widget, text, "sticks out sideways");
    if (!down && (box.origin.y < -1 || box.origin.y + box.size.height > gtk_widget_get_height (w) + 1))
      tell (widget, text, "sticks out above or below");
    if (GTK_IS_NATIVE (w)) /* a popover may be larger than what it hangs on */
      return;
  }
}

static gboolean
has_tooltip (GtkWidget *widget)
{
  g_autoptr (GObject) tooltip = g_object_new (GTK_TYPE_TOOLTIP, NULL);
  gboolean shows = FALSE;

  for (GtkWidget *w = widget; w != NULL && !shows; w = gtk_widget_get_parent (w))
    if (gtk_widget_get_has_tooltip (w))
      g_signal_emit_by_name (w, "query-tooltip", 0, 0, FALSE, tooltip, &shows);
  return shows;
}

static void
check_label (GtkLabel *label)
{
  GtkWidget *widget = GTK_WIDGET (label);
  const char *text = gtk_label_get_text (label);
  PangoLayout *layout = gtk_label_get_layout (label);
  int width, height;

  if (*text == '\0')
    return;
  labels++;
  pango_layout_get_pixel_size (layout, &width, &height);
  if (width > gtk_widget_get_width (widget) + 1)
    tell (widget, text, "narrower than its words");
  if (height > gtk_widget_get_height (widget) + 1)
    tell (widget, text, "lower than its words");
  if (pango_layout_is_ellipsized (layout) && !has_tooltip (widget))
    tell (widget, text, "cut short, and no tooltip");
  check_inside (widget, text);
}

static void
check_tree (GtkWidget *widget)
{
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child)) {
    if (!gtk_widget_get_mapped (child))
      continue;
    if (GTK_IS_LABEL (child))
      check_label (GTK_LABEL (child));
    else if (GTK_IS_BUTTON (child))
      check_inside (child, gtk_button_get_label (GTK_BUTTON (child)));
    check_tree (child);
  }
}

static void
painted_cb (gboolean *painted)
{
  *painted = TRUE;
}

static gboolean
is_painted (gpointer painted)
{
  return *(gboolean *) painted;
}

/* Until everything has its place: on a busy machine that may take a while. */
static void
settle (GtkWidget *window)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);

  ui_spin (100);
  for (int i = 0; i < 2 && clock != NULL; i++) {
    gboolean painted = FALSE;
    gulong id = g_signal_connect_swapped (clock, "after-paint", G_CALLBACK (painted_cb), &painted);

    gtk_widget_queue_draw (window);
    ui_wait (is_painted, &painted, 5000);
    g_signal_handler_disconnect (clock, id);
  }
}

void
ui_cut_words (GtkWidget *window, const char *name)
{
  where = name;
  settle (window);
  check_tree (window);
}

void
ui_cut_fits (GtkWidget *window, const char *name)
{
  int width = 0, height = 0;
  g_autofree char *needs = NULL;

  gtk_widget_measure (window, GTK_ORIENTATION_HORIZONTAL, -1, &width, NULL, NULL, NULL);
  gtk_widget_measure (window, GTK_ORIENTATION_VERTICAL, MAX (width, 1024), &height, NULL, NULL, NULL);
  needs = g_strdup_printf ("at least %d x %d", width, height);
  where = name;
  if (width > 1024 || height > 700)
    tell (window, needs, "larger than 1024 x 700");
}

void
ui_cut_begin (void)
{
  faults = labels = 0;
}

void
ui_cut_end (void)
{
  g_test_message ("%u labels looked at, %u faults", labels, faults);
  g_assert_cmpuint (labels, >, 0);
  if (faults > 0)
    g_test_fail ();
}
