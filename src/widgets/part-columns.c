/* What the table of parts shows of a part, how it sorts it, and what typing into it does. */
#include "widgets/part-columns.h"

#include <math.h>

#include <glib/gi18n.h>

#include "board/edits.h"
#include "board/names.h"
#include "board/operations.h"
#include "board/part-text.h"
#include "widgets/words.h"

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
  return isfinite (figures->height_mm) ? lw_figure_in (figures->height_mm, 2, "mm") : g_strdup (_("unknown"));
}

static char *
level_text (const LwPartFigures *figures)
{
  return g_strdup (figures->level == LW_MSL_UNKNOWN ? "" : lw_msl_word (figures->level));
}

static char *
reflows_text (const LwPartFigures *figures)
{
  return isfinite (figures->reflows) ? g_strdup_printf ("%.0f", figures->reflows) : g_strdup ("");
}

static char *
peak_text (const LwPartFigures *figures)
{
  return lw_figure_in (figures->peak_c, 0, "°C");
}

static char *
headroom_text (const LwPartFigures *figures)
{
  return lw_figure_in (figures->headroom, 0, "K");
}

static char *
grade_text (const LwPartFigures *figures)
{
  const char *grade = figures->grade < 0 ? "" : lw_grade_label (figures->grade);

  /* Translators: the part being reworked, in a list; %s is its grade or nothing. */
  return figures->is_target ? g_strdup_printf (_("%s (target)"), grade) : g_strdup (grade);
}

static char *
value_text (const LwPartFigures *figures)
{
  return g_strdup (figures->value);
}

static char *
x_text (const LwPartFigures *figures)
{
  return lw_figure_in (figures->x_mm, 3, "mm");
}

static char *
y_text (const LwPartFigures *figures)
{
  return lw_figure_in (figures->y_mm, 3, "mm");
}

static char *
rotation_text (const LwPartFigures *figures)
{
  return lw_figure (figures->rotation_deg, 2);
}

static char *
locked_text (const LwPartFigures *figures)
{
  return g_strdup (figures->locked ? _("yes") : _("no"));
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
level_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return (int) a->level - (int) b->level;
}

static int
reflows_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->reflows, b->reflows);
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

static int
value_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return g_utf8_collate (a->value, b->value);
}

static int
x_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->x_mm, b->x_mm);
}

static int
y_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->y_mm, b->y_mm);
}

static int
rotation_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return compare_figures (a->rotation_deg, b->rotation_deg);
}

static int
locked_order (const LwPartFigures *a, const LwPartFigures *b)
{
  return (int) a->locked - (int) b->locked;
}

/* ---- edits in place ---- */

static LwJob *
edit_text (const LwJob *job, guint index, const char *member, const char *text, GError **error)
{
  g_autofree char *path = g_strdup_printf ("parts[%u].%s", index, member);

  return lw_edit_text (job, path, text, error);
}

static LwJob *
ref_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  if (*text != '\0')
    return edit_text (job, index, "ref", text, error);
  g_set_error_literal (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("a part needs a reference"));
  return NULL;
}

static LwJob *
package_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  return edit_text (job, index, "package", text, error);
}

static LwJob *
value_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  return edit_text (job, index, "value", text, error);
}

static LwJob *
side_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  LwSide side;

  if (lw_side_from_text (text, &side))
    return edit_text (job, index, "side", lw_side_word (side), error);
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("“%s” is neither top nor bottom"), text);
  return NULL;
}

static gboolean
read_number (const char *text, const char *unit, double *value, GError **error)
{
  if (lw_figure_parse_in (text, unit, value))
    return TRUE;
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("“%s” is no number"), text);
  return FALSE;
}

static LwJob *
place_edit (const LwJob *job, guint index, const char *text, gboolean along_y, GError **error)
{
  const LwPart *part = g_ptr_array_index (job->parts, index);
  double value;

  if (!read_number (text, "mm", &value, error))
    return NULL;
  return lw_edit_move_part (job, index, along_y ? part->x_mm : value, along_y ? value : part->y_mm, error);
}

static LwJob *
x_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  return place_edit (job, index, text, FALSE, error);
}

static LwJob *
y_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  return place_edit (job, index, text, TRUE, error);
}

static LwJob *
rotation_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  double value;

  return read_number (text, "°", &value, error) ? lw_edit_rotate_part (job, index, value, error) : NULL;
}

/* Nothing typed: the package's own height again. */
static LwJob *
height_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  g_autofree char *path = g_strdup_printf ("parts[%u].height_mm", index);
  double value = NAN;

  if (*text != '\0' && !read_number (text, "mm", &value, error))
    return NULL;
  return lw_edit_number (job, path, value, error);
}

/* Nothing typed: nobody knows. */
static LwJob *
level_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  return edit_text (job, index, "past.level", *text == '\0' ? "unknown" : text, error);
}

static LwJob *
reflows_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  g_autofree char *path = g_strdup_printf ("parts[%u].past.cycles_used", index);
  double value = NAN;

  if (*text != '\0' && !read_number (text, "", &value, error))
    return NULL;
  return lw_edit_number (job, path, value, error);
}

static LwJob *
locked_edit (const LwJob *job, guint index, const char *text, GError **error)
{
  gboolean yes = g_strcmp0 (text, _("yes")) == 0 || g_ascii_strcasecmp (text, "y") == 0 || g_strcmp0 (text, "1") == 0;
  gboolean no = g_strcmp0 (text, _("no")) == 0 || g_ascii_strcasecmp (text, "n") == 0 || g_strcmp0 (text, "0") == 0;

  if (yes || no)
    return edit_text (job, index, "locked", yes ? "true" : "false", error);
  g_set_error (error, LW_EDIT_ERROR, LW_EDIT_ERROR_RANGE, _("“%s” is neither yes nor no"), text);
  return NULL;
}

static gboolean
is_height_unknown (const LwPartFigures *figures)
{
  return !isfinite (figures->height_mm);
}

static const LwPartColumn columns[] = {
  { NC_ ("column", "Ref"), ref_text, ref_order, .edit = ref_edit },
  { NC_ ("column", "Grade"), grade_text, grade_order, .graded = TRUE },
  { NC_ ("column", "Package"), package_text, package_order, .expand = TRUE, .edit = package_edit, .many = TRUE },
  { NC_ ("column", "Value"), value_text, value_order, .edit = value_edit, .many = TRUE },
  { NC_ ("column", "Side"), side_text, side_order, .edit = side_edit },
  { NC_ ("column", "x, mm"), x_text, x_order, .numeric = TRUE, .edit = x_edit },
  { NC_ ("column", "y, mm"), y_text, y_order, .numeric = TRUE, .edit = y_edit },
  { NC_ ("column", "Turn, °"), rotation_text, rotation_order, .numeric = TRUE, .edit = rotation_edit },
  { NC_ ("column", "Height, mm"), height_text, height_order, .numeric = TRUE, .edit = height_edit, .many = TRUE,
    .unknown = is_height_unknown },
  { NC_ ("column", "Body peak, °C"), peak_text, peak_order, .numeric = TRUE },
  { NC_ ("column", "Headroom, K"), headroom_text, headroom_order, .numeric = TRUE },
  { NC_ ("column", "Kind"), kind_text, kind_order, .expand = TRUE },
  { NC_ ("column", "Locked"), locked_text, locked_order, .edit = locked_edit, .many = TRUE },
  { NC_ ("column", "Moisture level"), level_text, level_order, .edit = level_edit },
  { NC_ ("column", "Reflows"), reflows_text, reflows_order, .numeric = TRUE, .edit = reflows_edit },
};

const LwPartColumn *
lw_part_columns (guint *n)
{
  *n = G_N_ELEMENTS (columns);
  return columns;
}
