/* A set of plots and drills to one import. */
#include "exchange/plot-set.h"

#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/holes.h"
#include "exchange/plot-private.h"
#include "exchange/profile.h"

typedef struct {
  LwImport *import;
  GPtrArray *notes, *sources;
  LwGerberJob *job;
  GPtrArray *gerbers; /* LwGerber */
  GArray *copper;     /* LwPlotCopper */
  GArray *holes;      /* LwHole */
  LwListedBoard board;
  LwListedLibrary library;
  char *label;        /* what messages about the whole are headed by */
  char *profile;      /* name of the profile's file */
  gboolean x2, x3;
  char *first_fault;
  LwImportProgress progress;
  gpointer user_data;
  GCancellable *cancellable;
} Set;

/* ---- faults ---- */

/* FAULT is "NAME:LINE: reason", or "NAME: reason". */
static const char *
reason_of (const char *name, const char *fault, guint *line)
{
  const char *p = g_str_has_prefix (fault, name) ? fault + strlen (name) : fault;

  *line = 0;
  if (p != fault && *p == ':' && g_ascii_isdigit (p[1]))
    {
      char *end;

      *line = (guint) g_ascii_strtoull (p + 1, &end, 10);
      p = end;
    }
  while (*p == ':' || *p == ' ')
    p++;
  return p;
}

/* WHAT says what becomes of the file. */
static void
tell_fault (Set *self, const char *name, const char *fault, const char *what)
{
  guint line;
  const char *reason = reason_of (name, fault, &line);

  lw_notes_add_loss (self->notes, name, line, reason, what);
  if (self->first_fault == NULL)
    self->first_fault = g_strdup (fault);
}

/* All commands are whole, but nothing says that they are all. */
static void
tell_no_end (Set *self, const LwGerber *gerber)
{
  if (gerber->no_end)
    lw_notes_add_loss (self->notes, gerber->name, 0, _("the end of the file (M02) is missing: it may be cut short"),
                       _("what stands there is used"));
}

/* ---- roles ---- */

static LwPlotUse
use_of (Set *self, const LwGerber *gerber)
{
  const char *function = g_hash_table_lookup (gerber->attributes, "FileFunction");
  LwPlotUse use = lw_plot_use_of_function (function != NULL ? function : "");
  const LwGerberJobFile *listed = lw_gerber_job_find (self->job, gerber->name);

  if (use.role == LW_ROLE_UNKNOWN && listed != NULL)
    use = lw_plot_use_of_function (listed->function);
  if (use.role != LW_ROLE_UNKNOWN)
    return use;
  use = lw_plot_use_of_name (gerber->name);
  if (use.role == LW_ROLE_PROFILE || use.role == LW_ROLE_COPPER)
    lw_notes_add (self->notes, gerber->name, 0,
                  _("nothing in the file says what it shows; by its name it is taken as %s"),
                  use.role == LW_ROLE_PROFILE ? _("the board’s profile")
                  : use.inner                 ? _("an inner copper layer")
                  : use.side == LW_SIDE_TOP   ? _("the top copper layer")
                                              : _("the bottom copper layer"));
  else if (use.role == LW_ROLE_UNKNOWN)
    lw_notes_add (self->notes, gerber->name, 0, _("nothing says what this plot shows: it is not used"));
  return use;
}

static gboolean
is_negative (const Set *self, const LwGerber *gerber)
{
  const char *polarity = g_hash_table_lookup (gerber->attributes, "FilePolarity");
  const LwGerberJobFile *listed = lw_gerber_job_find (self->job, gerber->name);

  if (polarity != NULL)
    return g_ascii_strcasecmp (polarity, "Negative") == 0;
  return gerber->negative || (listed != NULL && listed->negative);
}

/* ---- one file each ---- */

static const char *
format_of (const LwGerber *gerber)
{
  if (gerber->parts->len > 0)
    return "Gerber X3";
  return g_hash_table_size (gerber->attributes) > 0 ? "Gerber X2" : "Gerber";
}

static void
extend_by_strokes (const GArray *strokes, LwBox *box)
{
  for (guint i = 0; i < strokes->len; i++)
    {
      const LwStroke *s = &g_array_index (strokes, LwStroke, i);

      lw_box_extend (box, s->from.x_mm, s->from.y_mm);
      lw_box_extend (box, s->to.x_mm, s->to.y_mm);
    }
}

/* Of a profile that breaks off, its edge when that stands whole: no line then lies outside the loops that
 * close. A cut-out must not be taken for the edge. */
static gboolean
edge_is_whole (const LwGerber *gerber)
{
  g_autoptr (GPtrArray) loops = lw_listed_loops_new (), quiet = lw_notes_new ();
  LwBox box, all;

  lw_profile_loops (gerber->strokes, gerber->name, loops, quiet);
  if (loops->len == 0)
    return FALSE;
  box = lw_loop_box (((LwListedLoop *) loops->pdata[0])->loop);
  for (guint i = 1; i < loops->len; i++)
    {
      LwBox own = lw_loop_box (((LwListedLoop *) loops->pdata[i])->loop);

      lw_box_extend (&box, own.x0_mm, own.y0_mm);
      lw_box_extend (&box, own.x1_mm, own.y1_mm);
    }
  all = box;
  extend_by_strokes (gerber->strokes, &all);
  return hypot (all.x0_mm - box.x0_mm, all.y0_mm - box.y0_mm) + hypot (all.x1_mm - box.x1_mm, all.y1_mm - box.y1_mm)
         < 0.01;
}

static void
take_profile (Set *self, const LwGerber *gerber)
{
  guint before = self->board.outline->len;
  gboolean whole = gerber->fault == NULL || edge_is_whole (gerber);
  g_autofree char *taken = NULL;

  if (gerber->fault != NULL)
    tell_fault (self, gerber->name, gerber->fault,
                whole ? _("the closed lines before are taken, cut-outs may be missing") : _("the profile is left out"));
  if (!whole)
    {
      lw_sources_add (self->sources, gerber->name, format_of (gerber), NULL);
      return;
    }
  tell_no_end (self, gerber);
  if (before > 0)
    lw_notes_add (self->notes, gerber->name, 0, _("a second profile: its loops are added to those of %s"),
                  self->profile);
  lw_profile_loops (gerber->strokes, gerber->name, self->board.outline, self->notes);
  if (self->board.outline->len == before)
    {
      lw_notes_add (self->notes, gerber->name, 0, _("the profile has no closed line"));
      lw_sources_add (self->sources, gerber->name, format_of (gerber), NULL);
      return;
    }
  if (self->profile == NULL)
    self->profile = g_strdup (gerber->name);
  taken = g_strdup_printf (_("outline, %u loops"), self->board.outline->len - before);
  lw_sources_add (self->sources, gerber->name, format_of (gerber), taken);
}

static void
take_parts (Set *self, const LwGerber *gerber, const LwPlotUse *use)
{
  g_autofree char *taken = g_strdup_printf (_("%u parts on the %s"), gerber->parts->len,
                                            use->side == LW_SIDE_TOP ? _("top") : _("bottom"));

  if (gerber->fault != NULL)
    tell_fault (self, gerber->name, gerber->fault, _("the parts listed before are taken, others may be missing"));
  tell_no_end (self, gerber);
  lw_plot_parts_list (gerber, use->side, &self->board, &self->library);
  self->x3 |= gerber->parts->len > 0;
  lw_sources_add (self->sources, gerber->name, format_of (gerber), taken);
}

static void
take_copper (Set *self, LwGerber *gerber, const LwPlotUse *use)
{
  LwPlotCopper copper = { gerber, *use, is_negative (self, gerber), 0 };

  if (gerber->fault != NULL)
    {
      tell_fault (self, gerber->name, gerber->fault, _("this copper layer is left out"));
      lw_sources_add (self->sources, gerber->name, format_of (gerber), NULL);
      return;
    }
  tell_no_end (self, gerber);
  g_array_append_val (self->copper, copper);
  lw_sources_add (self->sources, gerber->name, format_of (gerber), _("copper"));
}

/* Drill data in Gerber form: round flashes are holes, round strokes slots. */
static void
take_drill_plot (Set *self, const LwGerber *gerber, const LwPlotUse *use)
{
  const GArray *shapes = gerber->plot->shapes;
  const char *function = g_hash_table_lookup (gerber->attributes, "FileFunction");
  guint from, to;
  g_autofree char *taken = g_strdup_printf (_("%u holes"), shapes->len);

  lw_hole_span (function != NULL ? function : "", &from, &to);
  if (gerber->fault != NULL)
    tell_fault (self, gerber->name, gerber->fault, _("the holes before it are taken, others may be missing"));
  tell_no_end (self, gerber);
  for (guint i = 0; i < shapes->len && self->holes->len < LW_EXCELLON_MAX_HOLES; i++)
    {
      const LwShape *s = &g_array_index (shapes, LwShape, i);
      LwHole hole = { { s->ax, s->ay }, { s->bx, s->by }, 2 * s->r,
                      use->unplated ? LW_HOLE_UNPLATED : LW_HOLE_PLATED, FALSE, 0, from, to };

      if (s->kind == LW_SHAPE_CAPSULE)
        g_array_append_val (self->holes, hole);
    }
  lw_sources_add (self->sources, gerber->name, format_of (gerber), taken);
}

/* Nothing is lost with a mask: a remark, no damage. */
static void
tell_unwanted (Set *self, const LwGerber *gerber)
{
  guint line;
  const char *reason = reason_of (gerber->name, gerber->fault, &line);

  lw_notes_add (self->notes, gerber->name, line, "%s; %s", reason, _("nothing is wanted of it"));
}

static void
take_gerber (Set *self, LwGerber *gerber)
{
  LwPlotUse use = use_of (self, gerber);

  self->x2 |= g_hash_table_size (gerber->attributes) > 0;
  switch (use.role)
    {
    case LW_ROLE_PROFILE:
      take_profile (self, gerber);
      break;
    case LW_ROLE_COPPER:
      take_copper (self, gerber, &use);
      break;
    case LW_ROLE_PARTS:
      take_parts (self, gerber, &use);
      break;
    case LW_ROLE_DRILL:
      take_drill_plot (self, gerber, &use);
      break;
    case LW_ROLE_OTHER:
    case LW_ROLE_UNKNOWN:
    default:
      if (gerber->fault != NULL && use.role == LW_ROLE_UNKNOWN && gerber->has_tools)
        tell_fault (self, gerber->name, gerber->fault, _("the file is left out"));
      else if (gerber->fault != NULL)
        tell_unwanted (self, gerber);
      lw_sources_add (self->sources, gerber->name, format_of (gerber), NULL);
    }
}

/* ---- reading ---- */

static gboolean
read_job (Set *self, const LwPlotFile *file)
{
  g_autoptr (GError) error = NULL;
  LwGerberJob *job = lw_gerber_job_read (file->name, file->data, file->size, self->notes, &error);

  if (job == NULL)
    tell_fault (self, file->name, error->message, _("the job file is left out"));
  else if (self->job != NULL)
    {
      lw_notes_add (self->notes, file->name, 0, _("a second job file: %s is taken"), self->job->name);
      lw_gerber_job_free (job);
      job = NULL;
    }
  else
    self->job = job;
  lw_sources_add (self->sources, file->name, "Gerber job", job != NULL ? _("thickness, stack-up, list of files") : NULL);
  return job != NULL;
}

static gboolean
read_gerber (Set *self, const LwPlotFile *file, GError **error)
{
  g_autoptr (GError) own = NULL;
  LwGerber *gerber = lw_gerber_read (file->name, file->data, file->size, self->notes, self->cancellable, &own);

  if (gerber != NULL)
    g_ptr_array_add (self->gerbers, gerber);
  else if (g_error_matches (own, G_IO_ERROR, G_IO_ERROR_CANCELLED))
    {
      g_propagate_error (error, g_steal_pointer (&own));
      return FALSE;
    }
  else
    {
      tell_fault (self, file->name, own->message, _("the file is left out"));
      lw_sources_add (self->sources, file->name, NULL, NULL);
    }
  return TRUE;
}

static void
tell_progress (const Set *self, guint done, guint of)
{
  if (self->progress != NULL)
    self->progress (0.5 * done / MAX (of, 1), self->user_data);
}

static gboolean
read_plots (Set *self, const LwPlotFile *files, guint n, GError **error)
{
  for (guint i = 0; i < n; i++)
    if (lw_gerber_job_sniff (files[i].data, files[i].size))
      read_job (self, &files[i]);
  for (guint i = 0; i < n; i++)
    {
      tell_progress (self, i, n);
      if (!lw_gerber_job_sniff (files[i].data, files[i].size) && !lw_excellon_sniff (files[i].data, files[i].size)
          && !read_gerber (self, &files[i], error))
        return FALSE;
    }
  for (guint i = 0; i < self->gerbers->len; i++)
    take_gerber (self, self->gerbers->pdata[i]);
  return TRUE;
}

/* Box of what is known of the board by now, for drill files that leave their unit open. */
static gboolean
known_box (const Set *self, LwBox *box)
{
  gboolean any = FALSE;

  for (guint i = 0; i < self->board.outline->len + self->copper->len; i++)
    {
      LwBox own = i < self->board.outline->len
                    ? lw_loop_box (((LwListedLoop *) self->board.outline->pdata[i])->loop)
                    : lw_plot_box (g_array_index (self->copper, LwPlotCopper, i - self->board.outline->len).gerber->plot);

      if (!any)
        *box = own;
      any = TRUE;
      lw_box_extend (box, own.x0_mm, own.y0_mm);
      lw_box_extend (box, own.x1_mm, own.y1_mm);
    }
  return any;
}

static void
read_drill (Set *self, const LwPlotFile *file, const LwBox *box)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwExcellon) drill = lw_excellon_read (file->name, file->data, file->size, box, self->notes, &error);
  g_autofree char *taken = NULL;

  if (drill == NULL)
    {
      tell_fault (self, file->name, error->message, _("the file is left out"));
      lw_sources_add (self->sources, file->name, NULL, NULL);
      return;
    }
  if (drill->fault != NULL)
    tell_fault (self, file->name, drill->fault, _("the holes before it are taken, others may be missing"));
  else if (drill->no_end_line > 0)
    lw_notes_add_loss (self->notes, file->name, drill->no_end_line,
                       _("the end of the file (M30) is missing: it may be cut short"), _("what stands there is used"));
  if (drill->holes->len > 0)
    g_array_append_vals (self->holes, drill->holes->data, drill->holes->len);
  taken = g_strdup_printf (_("%u holes"), drill->holes->len);
  lw_sources_add (self->sources, file->name, "Excellon", taken);
}

static void
read_drills (Set *self, const LwPlotFile *files, guint n)
{
  LwBox box;
  gboolean known = known_box (self, &box);

  for (guint i = 0; i < n; i++)
    if (lw_excellon_sniff (files[i].data, files[i].size))
      read_drill (self, &files[i], known ? &box : NULL);
}

/* ---- to a job ---- */

/* Without a profile the copper shows how far the board reaches. */
static gboolean
outline_from_copper (Set *self)
{
  LwBox box;
  LwListedLoop *loop;

  if (self->board.outline->len > 0 || self->board.parts->len > 0 || !known_box (self, &box)
      || !(box.x1_mm > box.x0_mm) || !(box.y1_mm > box.y0_mm))
    return FALSE;
  loop = lw_listed_loop_new (0, 0);
  lw_loop_unref (loop->loop);
  loop->loop = lw_loop_new_rectangle (box.x0_mm, box.y0_mm, box.x1_mm, box.y1_mm);
  g_ptr_array_add (self->board.outline, loop);
  lw_notes_add (self->notes, self->label, 0,
                _("there is no profile: the box of what is plotted is used instead, %.5g × %.5g mm"),
                box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm);
  return TRUE;
}

static void
add_holes (Set *self)
{
  LwBoard *board = self->import->job->board;
  guint plated = 0, in_fields, fields = lw_holes_via_fields (self->holes, board, &in_fields);
  g_autofree char *taken = NULL;

  for (guint i = 0; i < self->holes->len; i++)
    plated += g_array_index (self->holes, LwHole, i).plating == LW_HOLE_PLATED;
  taken = g_strdup_printf (_("%u plated holes, %u of them in %u via fields"), plated, in_fields, fields);
  if (self->holes->len > 0)
    lw_sources_add (self->sources, self->label, "Excellon", taken);
}

/* Line numbers mean something only while one file is spoken of. */
static void
forget_lines (Set *self)
{
  for (guint i = 0; i < self->board.parts->len; i++)
    ((LwListedPart *) self->board.parts->pdata[i])->line = 0;
  for (guint i = 0; i < self->board.outline->len; i++)
    ((LwListedLoop *) self->board.outline->pdata[i])->line = 0;
}

static gboolean
make_job (Set *self, GError **error)
{
  LwImport *import = self->import;
  gboolean assumed;

  if (self->job != NULL)
    {
      g_free (self->board.name);
      self->board.name = g_strdup (self->job->title);
      self->board.thickness_mm = isnan (self->job->thickness_mm) ? 0 : self->job->thickness_mm;
    }
  if (self->profile != NULL)
    lw_holes_cut_outs (self->holes, self->board.outline);
  assumed = outline_from_copper (self);
  if (self->board.outline->len == 0 && self->board.parts->len == 0)
    return FALSE;
  forget_lines (self);
  lw_listed_library_index (&self->library, self->notes);
  if (!lw_listed_to_job (import->job, &self->board, &self->library, self->label, self->notes, error))
    return FALSE;
  import->job->board->outline_assumed |= assumed;
  if (self->job != NULL && *self->job->title != '\0')
    {
      g_free (import->job->title);
      import->job->title = g_strdup (self->job->title);
    }
  if ((self->copper->len > 0 || self->job != NULL)
      && !lw_plot_copper_set (import->job->board, self->copper, self->holes, self->job, self->notes, self->progress,
                              self->user_data, self->cancellable, error))
    return FALSE;
  add_holes (self);
  return TRUE;
}

static void
set_init (Set *self, const LwPlotFile *files, guint n)
{
  self->import = g_new0 (LwImport, 1);
  self->import->job = lw_job_new ();
  self->import->warnings = self->notes = lw_notes_new ();
  self->gerbers = g_ptr_array_new_with_free_func ((GDestroyNotify) lw_gerber_free);
  self->copper = g_array_new (FALSE, FALSE, sizeof (LwPlotCopper));
  self->holes = g_array_new (FALSE, FALSE, sizeof (LwHole));
  self->label = n == 1 ? g_strdup (files[0].name) : g_strdup (_("plots"));
  lw_listed_board_init (&self->board);
  lw_listed_library_init (&self->library, self->label);
}

static void
set_clear (Set *self)
{
  lw_import_free (self->import);
  lw_gerber_job_free (self->job);
  g_ptr_array_unref (self->gerbers);
  g_array_unref (self->copper);
  g_array_unref (self->holes);
  lw_listed_board_clear (&self->board);
  lw_listed_library_clear (&self->library);
  g_free (self->label);
  g_free (self->profile);
  g_free (self->first_fault);
}

LwImport *
lw_import_plots (const LwPlotFile *files, guint n_files, GPtrArray *sources, LwImportProgress progress,
                 gpointer user_data, GCancellable *cancellable, GError **error)
{
  Set self = { .sources = sources, .progress = progress, .user_data = user_data, .cancellable = cancellable };
  g_autoptr (GError) own = NULL;
  LwImport *import = NULL;

  set_init (&self, files, n_files);
  if (read_plots (&self, files, n_files, &own))
    {
      read_drills (&self, files, n_files);
      if (make_job (&self, &own))
        import = g_steal_pointer (&self.import);
    }
  if (import != NULL)
    import->format = g_strdup (self.x3 ? "Gerber X3" : self.x2 ? "Gerber X2" : "Gerber");
  else if (own != NULL)
    g_propagate_error (error, g_steal_pointer (&own));
  else if (self.first_fault != NULL)
    g_set_error_literal (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX, self.first_fault);
  else
    lw_notes_fail (error, LW_IMPORT_ERROR_UNSUPPORTED, self.label, 0,
                   _("no profile, copper or component layer: there is no board in it"));
  set_clear (&self);
  return import;
}
