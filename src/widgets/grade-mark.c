#include "widgets/grade-mark.h"

#include "draw/draw.h"
#include "widgets/desk.h"
#include "widgets/words.h"

struct _LwGradeMark {
  GtkWidget parent_instance;
  int grade;
  int size;
};

G_DEFINE_FINAL_TYPE (LwGradeMark, lw_grade_mark, GTK_TYPE_WIDGET)

enum { PROP_0, PROP_GRADE, PROP_SIZE, N_PROPS };
static GParamSpec *props[N_PROPS];

static void
lw_grade_mark_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = LW_GRADE_MARK (widget)->size;
}

static void
lw_grade_mark_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  LwGradeMark *self = LW_GRADE_MARK (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr;

  if (self->grade < 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  lw_draw_grade_mark (cr, width / 2.0, height / 2.0, self->size - 2, self->grade,
                      lw_widget_is_dark (widget) ? LW_LOOK_DARK : LW_LOOK_LIGHT);
  cairo_destroy (cr);
}

static void
lw_grade_mark_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  LwGradeMark *self = LW_GRADE_MARK (object);

  switch (id) {
  case PROP_GRADE: g_value_set_int (value, self->grade); break;
  case PROP_SIZE: g_value_set_int (value, self->size); break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_grade_mark_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  LwGradeMark *self = LW_GRADE_MARK (object);

  switch (id) {
  case PROP_GRADE: lw_grade_mark_set_grade (self, g_value_get_int (value)); break;
  case PROP_SIZE:
    self->size = g_value_get_int (value);
    gtk_widget_queue_resize (GTK_WIDGET (self));
    break;
  default: G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  }
}

static void
lw_grade_mark_class_init (LwGradeMarkClass *class)
{
  GObjectClass *object_class = G_OBJECT_CLASS (class);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  object_class->get_property = lw_grade_mark_get_property;
  object_class->set_property = lw_grade_mark_set_property;
  widget_class->measure = lw_grade_mark_measure;
  widget_class->snapshot = lw_grade_mark_snapshot;
  props[PROP_GRADE] = g_param_spec_int ("grade", NULL, NULL, -1, LW_GRADE_FINE, -1,
                                        G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
  props[PROP_SIZE] = g_param_spec_int ("size", NULL, NULL, 4, 256, 16,
                                       G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_css_name (widget_class, "grademark");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
lw_grade_mark_init (LwGradeMark *self)
{
  self->grade = -1;
  self->size = 16;
}

GtkWidget *
lw_grade_mark_new (void)
{
  return g_object_new (LW_TYPE_GRADE_MARK, NULL);
}

void
lw_grade_mark_set_grade (LwGradeMark *self, int grade)
{
  g_return_if_fail (LW_IS_GRADE_MARK (self));

  if (grade == self->grade)
    return;
  self->grade = grade;
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  grade < 0 ? "" : lw_grade_label (grade), -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_GRADE]);
}
