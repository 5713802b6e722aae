#include "widgets/package-maker.h"

#include <glib/gi18n.h>
#include <math.h>

#include "board/edits.h"
#include "board/land-name.h"
#include "board/library.h"
#include "draw/package-picture.h"
#include "widgets/canvas.h"
#include "widgets/figure-row.h"
#include "widgets/spoken.h"
#include "widgets/text-scale.h"
#include "widgets/whole-text.h"
#include "widgets/words.h"

struct _LwPackageMaker {
  GtkWindow parent_instance;
  GtkDropDown *family, *kind;
  GtkLabel *standard, *summary, *note;
  GtkBox *figures, *beside;
  GtkDrawingArea *picture;
  GtkEntry *name;
  GtkEntry *source;
  GtkCheckButton *in_job, *in_library;
  GtkWidget *make;
  LwFigureRow *rows[LW_N_FIGURES], *mass;

  LwDesk *desk;
  char *ref;             /* of the part, or NULL */
  LwDatasheet sheet;
  LwPackage *package;    /* of the sheet; NULL while it is at fault */
  LwDatasheet last_sheet; /* the last one that went together, and its package */
  LwPackage *last;
  double mass_g;
  gboolean unreadable;   /* something typed is no number */
  gboolean filling;
  int marked;            /* figure that has the keyboard, -1 = none */
};

G_DEFINE_FINAL_TYPE (LwPackageMaker, lw_package_maker, GTK_TYPE_WINDOW)

static LwJob *
job_of (LwPackageMaker *self)
{
  return self->desk != NULL && lw_desk_document (self->desk) != NULL ? lw_desk_job (self->desk) : NULL;
}

/* ---- what the sheet gives ---- */

static char *
name_of (LwPackageMaker *self)
{
  g_autofree char *typed = g_strstrip (g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->name))));

  return *typed != '\0' ? g_steal_pointer (&typed) : lw_datasheet_name (&self->sheet);
}

static const char *
source_of (LwPackageMaker *self)
{
  const char *typed = gtk_editable_get_text (GTK_EDITABLE (self->source));

  return *typed != '\0' ? typed : _("outline drawing of a data sheet");
}

static gboolean
is_in_job (const LwJob *job, const char *name)
{
  for (guint i = 0; job != NULL && i < job->packages->len; i++)
    if (g_strcmp0 (((const LwPackage *) job->packages->pdata[i])->name, name) == 0)
      return TRUE;
  return FALSE;
}

static void
set_note (LwPackageMaker *self, const char *text, gboolean wrong)
{
  gboolean news = text != NULL && !g_str_equal (text, gtk_label_get_text (self->note));

  gtk_label_set_text (self->note, text != NULL ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (self->note), text != NULL);
  if (wrong)
    gtk_widget_add_css_class (GTK_WIDGET (self->note), "field-message");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self->note), "field-message");
  if (news)
    lw_spoken_tell (GTK_WIDGET (self), text);
}

/* What pressing the button would replace, or why it cannot be pressed. */
static void
tell (LwPackageMaker *self)
{
  g_autofree char *name = name_of (self);
  gboolean job = gtk_check_button_get_active (self->in_job), library = gtk_check_button_get_active (self->in_library);

  if (!job && !library)
    set_note (self, _("Choose where to put it."), TRUE);
  else if (library && lw_library_is_users (name))
    set_note (self, _("Takes the place of the package of this name in your library."), FALSE);
  else if (library && lw_library_package (name) != NULL)
    set_note (self, _("From now on used instead of the built-in package of this name."), FALSE);
  else if (job && is_in_job (job_of (self), name))
    set_note (self, _("Takes the place of the package of this name in this job."), FALSE);
  else
    set_note (self, NULL, FALSE);
  gtk_widget_set_sensitive (self->make, self->package != NULL && (job || library));
}

static void
tell_summary (LwPackageMaker *self)
{
  g_autofree char *length = NULL, *width = NULL, *height = NULL, *text = NULL;
  g_autoptr (LwPart) part = NULL;
  g_autoptr (GArray) joints = NULL;

  if (self->package == NULL) {
    gtk_label_set_text (self->summary, _("The figures marked on the left do not go together yet."));
    return;
  }
  part = lw_part_new ();
  joints = lw_part_joints (part, self->package);
  length = lw_figure (self->package->length_mm, 2);
  width = lw_figure (self->package->width_mm, 2);
  height = lw_figure (self->package->height_mm, 2);
  /* Translators: %u is a count of solder joints, then length, width and height in millimetres. */
  text = g_strdup_printf (ngettext ("%u joint · %s × %s × %s mm", "%u joints · %s × %s × %s mm", joints->len),
                          joints->len, length, width, height);
  gtk_label_set_text (self->summary, text);
}

static void
update (LwPackageMaker *self)
{
  g_autofree char *name = lw_datasheet_name (&self->sheet);

  g_clear_pointer (&self->package, lw_package_unref);
  if (!self->unreadable)
    self->package = lw_datasheet_package (&self->sheet, name, source_of (self));
  if (self->package != NULL) {
    g_clear_pointer (&self->last, lw_package_unref);
    self->last = lw_package_ref (self->package);
    self->last_sheet = self->sheet;
  }
  gtk_entry_set_placeholder_text (self->name, name);
  tell_summary (self);
  tell (self);
  gtk_widget_queue_draw (GTK_WIDGET (self->picture));
}

/* ---- figures ---- */

static void
judge_figures (LwPackageMaker *self)
{
  for (guint i = 0; i < LW_N_FIGURES; i++) {
    LwDatasheet without = self->sheet;
    g_autofree char *fault = NULL;
    double typed;

    if (self->rows[i] == NULL)
      continue;
    without.figure[i] = NAN;
    lw_figure_row_set_usual (self->rows[i], lw_datasheet_value (&without, i));
    if (!lw_figure_row_read (self->rows[i], &typed))
      fault = g_strdup (_("Is not a number."));
    else
      fault = lw_datasheet_fault (&self->sheet, i);
    lw_figure_row_set_message (self->rows[i], fault);
  }
}

static void
read_figures (LwPackageMaker *self)
{
  double mass;
  gboolean weighed = lw_figure_row_read (self->mass, &mass) && !(mass <= 0);

  self->unreadable = !weighed;
  for (guint i = 0; i < LW_N_FIGURES; i++)
    if (self->rows[i] != NULL && !lw_figure_row_read (self->rows[i], &self->sheet.figure[i]))
      self->unreadable = TRUE;
  self->mass_g = mass;
  judge_figures (self);
  lw_figure_row_set_message (self->mass, weighed ? NULL : _("Must be a number above 0."));
}

static void
changed_cb (LwPackageMaker *self)
{
  if (self->filling)
    return;
  read_figures (self);
  update (self);
}

static void
focused_cb (LwFigureRow *row, LwPackageMaker *self)
{
  self->marked = -1;
  for (guint i = 0; i < LW_N_FIGURES; i++)
    if (self->rows[i] == row)
      self->marked = (int) i;
  gtk_widget_queue_draw (GTK_WIDGET (self->picture));
}

static gboolean
is_count (LwFigure figure)
{
  return figure == LW_FIGURE_COLUMNS || figure == LW_FIGURE_ROWS || figure == LW_FIGURE_COUNT;
}

static LwFigureRow *
add_row (LwPackageMaker *self, GtkBox *into, const char *letter, const char *title, const char *unit)
{
  GtkWidget *row = lw_figure_row_new (letter, title, unit);

  g_signal_connect_object (row, "changed", G_CALLBACK (changed_cb), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (row, "focused", G_CALLBACK (focused_cb), self, 0);
  gtk_box_append (into, row);
  return LW_FIGURE_ROW (row);
}

static void
build_figures (LwPackageMaker *self)
{
  GtkWidget *old;

  while ((old = gtk_widget_get_first_child (GTK_WIDGET (self->figures))) != NULL)
    gtk_box_remove (self->figures, old);
  for (guint i = 0; i < LW_N_FIGURES; i++)
    self->rows[i] = NULL;
  for (const LwDatasheetRow *row = lw_datasheet_info (self->sheet.family)->rows; row->letter != NULL; row++) {
    self->rows[row->figure]
      = add_row (self, self->figures, row->letter, _(row->title), is_count (row->figure) ? "" : "mm");
    lw_figure_row_set_value (self->rows[row->figure], self->sheet.figure[row->figure]);
  }
}

/* ---- family and kind ---- */

static void
build_kinds (LwPackageMaker *self)
{
  const LwPackageKind *kinds = lw_datasheet_info (self->sheet.family)->kinds;
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);
  guint selected = 0, n = 0;

  for (; kinds[n] != LW_N_KINDS; n++) {
    gtk_string_list_append (list, lw_kind_label (kinds[n]));
    if (kinds[n] == self->sheet.kind)
      selected = n;
  }
  gtk_drop_down_set_model (self->kind, G_LIST_MODEL (list));
  gtk_drop_down_set_selected (self->kind, selected);
  gtk_widget_set_visible (GTK_WIDGET (self->kind), n > 1);
  self->sheet.kind = kinds[selected];
}

static void
show_sheet (LwPackageMaker *self)
{
  const LwDatasheetInfo *info = lw_datasheet_info (self->sheet.family);
  g_autofree char *letters = NULL;

  self->filling = TRUE;
  gtk_drop_down_set_selected (self->family, self->sheet.family);
  build_kinds (self);
  build_figures (self);
  self->filling = FALSE;
  /* Translators: %s are standards, such as JEDEC MS-034. */
  letters = g_strdup_printf (_("Letters of %s. Grey figures are usual ones, taken where a field is left empty."),
                             info->standard);
  gtk_label_set_text (self->standard, info->standard[0] != '\0'
                                        ? letters : _("Grey figures are usual ones, taken where a field is left empty."));
  self->marked = -1;
  read_figures (self);
  update (self);
}

static void
on_family (LwPackageMaker *self)
{
  guint selected = gtk_drop_down_get_selected (self->family);

  if (self->filling || selected >= LW_SHEET_N_FAMILIES || selected == self->sheet.family)
    return;
  lw_datasheet_example (&self->sheet, selected);
  show_sheet (self);
}

static void
on_kind (LwPackageMaker *self)
{
  guint selected = gtk_drop_down_get_selected (self->kind);

  if (self->filling || selected == GTK_INVALID_LIST_POSITION)
    return;
  self->sheet.kind = lw_datasheet_info (self->sheet.family)->kinds[selected];
  changed_cb (self);
}

static void
on_name (LwPackageMaker *self)
{
  if (!self->filling)
    tell (self);
}

/* The trade name stands first: the list is searched by how its lines begin. */
static char *
family_label (GtkStringObject *item, gpointer user)
{
  return g_strdup (gtk_string_object_get_string (item));
}

static void
build_families (LwPackageMaker *self)
{
  g_autoptr (GtkStringList) list = gtk_string_list_new (NULL);
  g_autoptr (GtkExpression) label
    = gtk_cclosure_expression_new (G_TYPE_STRING, NULL, 0, NULL, G_CALLBACK (family_label), NULL, NULL);

  for (guint i = 0; i < LW_SHEET_N_FAMILIES; i++) {
    const LwDatasheetInfo *info = lw_datasheet_info (i);
    g_auto (GStrv) names = g_strsplit (info->names, " ", 0);
    g_autofree char *text = g_strdup_printf ("%s · %s", names[0], _(info->title));

    gtk_string_list_append (list, text);
  }
  gtk_drop_down_set_model (self->family, G_LIST_MODEL (list));
  gtk_drop_down_set_expression (self->family, label);
}

/* ---- making it ---- */

static LwPackage *
finished (LwPackageMaker *self)
{
  g_autofree char *name = name_of (self);
  LwPackage *package = lw_datasheet_package (&self->sheet, name, source_of (self));

  if (package != NULL && self->mass_g > 0)
    package->mass_g = self->mass_g;
  return package;
}

/* A job carries what it was planned with: it gets the package also when it already uses one of that name. */
static gboolean
put_in_job (LwPackageMaker *self, LwPackage *package)
{
  LwJob *job = job_of (self);
  int part = job != NULL && self->ref != NULL ? lw_job_find_part (job, self->ref) : -1;
  GError *error = NULL;

  if (job == NULL)
    return TRUE;
  return lw_desk_edit (self->desk, lw_edit_use_package (job, package, part, &error), _("Package from a data sheet"),
                       NULL, error);
}

static gboolean
is_used (const LwJob *job, const char *name)
{
  for (guint i = 0; job != NULL && i < job->parts->len; i++)
    if (g_strcmp0 (((const LwPart *) job->parts->pdata[i])->package, name) == 0)
      return TRUE;
  return FALSE;
}

static void
on_make (LwPackageMaker *self)
{
  g_autoptr (LwPackage) package = finished (self);
  g_autoptr (GError) error = NULL;
  gboolean job = gtk_check_button_get_active (self->in_job);

  if (package == NULL || self->unreadable)
    return;
  if (gtk_check_button_get_active (self->in_library)) {
    if (!lw_library_keep_package (package, &error)) {
      set_note (self, error->message, TRUE);
      return;
    }
    job |= is_used (job_of (self), package->name) || self->ref != NULL;
  }
  if (job && !put_in_job (self, package))
    return;
  gtk_window_close (GTK_WINDOW (self));
}

/* ---- the window ---- */

static void
draw_cb (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user)
{
  LwPackageMaker *self = user;
  LwPackagePicture picture = { lw_widget_look (GTK_WIDGET (area)), &self->sheet, self->package, self->marked };
  LwPackagePicture before = { picture.look, &self->last_sheet, self->last, -1 };

  lw_draw_package (cr, width, height, &picture);
  if (self->package != NULL || self->last == NULL)
    return;
  /* While the figures do not go together, what they were before stays faintly there. */
  cairo_push_group (cr);
  lw_draw_package (cr, width, height, &before);
  cairo_pop_group_to_source (cr);
  cairo_paint_with_alpha (cr, 0.3);
}

static void
lw_package_maker_dispose (GObject *object)
{
  LwPackageMaker *self = LW_PACKAGE_MAKER (object);

  self->filling = TRUE;
  gtk_window_set_default_widget (GTK_WINDOW (self), NULL); /* it goes before the window looks at it */
  gtk_widget_dispose_template (GTK_WIDGET (object), LW_TYPE_PACKAGE_MAKER);
  g_clear_object (&self->desk);
  g_clear_pointer (&self->ref, g_free);
  g_clear_pointer (&self->package, lw_package_unref);
  g_clear_pointer (&self->last, lw_package_unref);
  G_OBJECT_CLASS (lw_package_maker_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *class)
{
  gtk_widget_class_bind_template_child (class, LwPackageMaker, family);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, kind);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, standard);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, summary);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, note);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, figures);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, beside);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, picture);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, name);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, in_job);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, in_library);
  gtk_widget_class_bind_template_child (class, LwPackageMaker, make);
}

static void
lw_package_maker_class_init (LwPackageMakerClass *class)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (class);

  G_OBJECT_CLASS (class)->dispose = lw_package_maker_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/leeward/Leeward/ui/package-maker.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, on_family);
  gtk_widget_class_bind_template_callback (widget_class, on_kind);
  gtk_widget_class_bind_template_callback (widget_class, on_name);
  gtk_widget_class_bind_template_callback (widget_class, on_make);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
build_beside (LwPackageMaker *self)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *label = gtk_label_new (_("Source"));

  self->mass = add_row (self, self->beside, "", _("Mass, if it says"), "g");
  self->source = GTK_ENTRY (gtk_entry_new ());
  gtk_entry_set_placeholder_text (self->source, _("maker, sheet, page"));
  gtk_entry_set_activates_default (self->source, TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self->source), TRUE);
  lw_tell_whole_text (GTK_WIDGET (self->source));
  gtk_label_set_mnemonic_widget (GTK_LABEL (label), GTK_WIDGET (self->source));
  gtk_box_append (GTK_BOX (line), label);
  gtk_box_append (GTK_BOX (line), GTK_WIDGET (self->source));
  gtk_box_append (self->beside, line);
}

static void
lw_package_maker_init (LwPackageMaker *self)
{
  self->filling = TRUE;
  self->marked = -1;
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_window_set_default_widget (GTK_WINDOW (self), self->make);
  gtk_drawing_area_set_draw_func (self->picture, draw_cb, self, NULL);
  lw_label_keep_width (self->standard, 38);
  lw_tell_whole_text (GTK_WIDGET (self->name));
  build_families (self);
  build_beside (self);
  lw_datasheet_example (&self->sheet, LW_SHEET_BALLS);
}

/* Figures start from what the part's package is known to be. */
static void
start_from (LwPackageMaker *self, const char *ref)
{
  LwJob *job = job_of (self);
  int index = job != NULL && ref != NULL ? lw_job_find_part (job, ref) : -1;
  const LwPart *part = index >= 0 ? job->parts->pdata[index] : NULL;
  const LwPackage *package = part != NULL ? lw_job_package_of (job, part) : NULL;
  g_autofree char *title = NULL;

  if (part == NULL)
    return;
  self->ref = g_strdup (ref);
  /* Translators: %s is the reference of a part. */
  title = g_strdup_printf (_("Package of %s from a Data Sheet"), ref);
  gtk_window_set_title (GTK_WINDOW (self), title);
  if (package != NULL && !lw_land_name_read (part->package, &self->sheet))
    lw_datasheet_guess (&self->sheet, package);
}

GtkWidget *
lw_package_maker_new (GtkWindow *parent, LwDesk *desk, const char *ref)
{
  LwPackageMaker *self = g_object_new (LW_TYPE_PACKAGE_MAKER, "transient-for", parent, NULL);
  gboolean job;

  g_set_object (&self->desk, desk);
  job = job_of (self) != NULL;
  start_from (self, ref);
  gtk_check_button_set_active (self->in_job, job);
  gtk_check_button_set_active (self->in_library, !job);
  gtk_widget_set_sensitive (GTK_WIDGET (self->in_job), job && self->ref == NULL);
  show_sheet (self);
  return GTK_WIDGET (self);
}

void
lw_package_maker_set_sheet (LwPackageMaker *self, const LwDatasheet *sheet)
{
  self->sheet = *sheet;
  show_sheet (self);
}

const LwDatasheet *
lw_package_maker_sheet (LwPackageMaker *self)
{
  return &self->sheet;
}

GtkEditable *
lw_package_maker_field (LwPackageMaker *self, LwFigure figure)
{
  return self->rows[figure] != NULL ? lw_figure_row_editable (self->rows[figure]) : NULL;
}

const char *
lw_package_maker_message (LwPackageMaker *self, LwFigure figure)
{
  return self->rows[figure] != NULL ? lw_figure_row_message (self->rows[figure]) : NULL;
}
