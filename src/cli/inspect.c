/* inspect: what a file holds. */
#include <glib/gi18n.h>
#include <math.h>

#include "board/copper-map.h"
#include "board/names.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/verbs.h"

/* ---- counting ---- */

/* What is printed. */
typedef struct {
  const LwImport *import;
  const LwJob *job;
} Subject;

typedef struct {
  guint top, bottom, unplaced, heights;
} Counts;

static double
own_height (const Subject *self, const LwPart *part)
{
  gboolean known;
  double height = lw_part_height_mm (part, lw_job_package_of (self->job, part), &known);

  return known ? height - part->offset_mm : NAN;
}

static Counts
count_parts (const Subject *self)
{
  Counts counts = { 0 };

  for (guint i = 0; i < self->job->parts->len; i++)
    {
      const LwPart *part = self->job->parts->pdata[i];

      if (!part->placed)
        counts.unplaced++;
      else if (part->side == LW_SIDE_TOP)
        counts.top++;
      else
        counts.bottom++;
      counts.heights += !isnan (own_height (self, part));
    }
  return counts;
}

static LwBox
edge_box (const LwBoard *board)
{
  return board->outline->len > 0 ? lw_loop_box (board->outline->pdata[0]) : (LwBox) { 0 };
}

/* What is left of the board: the edge's area less the cut-outs'. */
static double
net_area (const LwBoard *board)
{
  double area = 0;

  for (guint i = 0; i < board->outline->len; i++)
    area += (i == 0 ? 1 : -1) * fabs (lw_loop_area (board->outline->pdata[i]));
  return area;
}

/* ---- JSON ---- */

static JsonObject *
outline_json (const LwBoard *board)
{
  JsonObject *object = json_object_new ();
  LwBox box = edge_box (board);

  lw_cli_set_rounded (object, "min_x_mm", box.x0_mm, 6);
  lw_cli_set_rounded (object, "min_y_mm", box.y0_mm, 6);
  lw_cli_set_rounded (object, "width_mm", box.x1_mm - box.x0_mm, 6);
  lw_cli_set_rounded (object, "height_mm", box.y1_mm - box.y0_mm, 6);
  lw_cli_set_rounded (object, "area_mm2", net_area (board), 6);
  json_object_set_int_member (object, "cut_outs", board->outline->len > 0 ? board->outline->len - 1 : 0);
  json_object_set_boolean_member (object, "assumed", board->outline_assumed);
  return object;
}

static JsonObject *
part_json (const Subject *self, const LwPart *part)
{
  JsonObject *object = json_object_new ();
  const LwPackage *package = lw_job_package_of (self->job, part);

  json_object_set_string_member (object, "ref", part->ref);
  json_object_set_string_member (object, "package", part->package);
  json_object_set_string_member (object, "value", part->value);
  lw_cli_set_rounded (object, "x_mm", part->x_mm, 6);
  lw_cli_set_rounded (object, "y_mm", part->y_mm, 6);
  lw_cli_set_rounded (object, "rotation_deg", lw_angle_normalise (part->rotation_deg), 6);
  json_object_set_string_member (object, "side", lw_side_word (part->side));
  lw_cli_set_rounded (object, "height_mm", own_height (self, part), 6);
  lw_cli_set_rounded (object, "offset_mm", part->offset_mm, 6);
  lw_cli_set_rounded (object, "length_mm", package != NULL ? package->length_mm : NAN, 6);
  lw_cli_set_rounded (object, "width_mm", package != NULL ? package->width_mm : NAN, 6);
  json_object_set_string_member (object, "kind",
                                 lw_kind_word (package != NULL ? package->kind : LW_KIND_OTHER));
  json_object_set_boolean_member (object, "placed", part->placed);
  return object;
}

static JsonArray *
parts_json (const Subject *self)
{
  JsonArray *array = json_array_sized_new (self->job->parts->len);

  for (guint i = 0; i < self->job->parts->len; i++)
    json_array_add_object_element (array, part_json (self, self->job->parts->pdata[i]));
  return array;
}

static JsonArray *
warnings_json (const LwImport *import)
{
  JsonArray *array = json_array_sized_new (import->warnings->len);

  for (guint i = 0; i < import->warnings->len; i++)
    {
      const LwImportWarning *warning = import->warnings->pdata[i];
      JsonObject *object = json_object_new ();

      json_object_set_string_member (object, "file", warning->file);
      json_object_set_int_member (object, "line", warning->line);
      json_object_set_string_member (object, "text", warning->text);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonArray *
unknowns_json (const LwImport *import)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; import->unknowns != NULL && i < import->unknowns->len; i++)
    json_array_add_string_element (array, ((LwImportUnknown *) import->unknowns->pdata[i])->text);
  return array;
}

static void
set_text (JsonObject *object, const char *key, const char *text)
{
  if (text != NULL)
    json_object_set_string_member (object, key, text);
  else
    json_object_set_null_member (object, key);
}

static JsonArray *
sources_json (const LwImport *import)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; import->sources != NULL && i < import->sources->len; i++)
    {
      const LwImportSource *source = import->sources->pdata[i];
      JsonObject *object = json_object_new ();

      set_text (object, "file", source->file);
      set_text (object, "format", source->format);
      set_text (object, "taken", source->taken);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonArray *
copper_json (const LwBoard *board)
{
  JsonArray *array = json_array_new ();

  for (guint i = 0; i < board->layers->len; i++)
    {
      const LwLayer *layer = board->layers->pdata[i];
      JsonObject *object;

      if (layer->kind != LW_LAYER_COPPER)
        continue;
      object = json_object_new ();
      json_object_set_string_member (object, "layer", layer->name);
      lw_cli_set_rounded (object, "cover", layer->cover, 6);
      json_object_set_boolean_member (object, "mapped",
                                      board->copper_map != NULL
                                        && lw_copper_map_find (board->copper_map, layer->name) >= 0);
      json_array_add_object_element (array, object);
    }
  return array;
}

static JsonArray *
plans_json (const LwJob *job)
{
  JsonArray *array = json_array_sized_new (job->plans->len);

  for (guint i = 0; i < job->plans->len; i++)
    json_array_add_string_element (array, ((LwPlan *) job->plans->pdata[i])->ref);
  return array;
}

static void
print_json (const Subject *self)
{
  const LwImport *import = self->import;
  const LwJob *job = self->job;
  JsonObject *root = json_object_new ();

  json_object_set_string_member (root, "format", import->format);
  json_object_set_string_member (root, "title", job->title);
  json_object_set_object_member (root, "outline", outline_json (job->board));
  lw_cli_set_rounded (root, "thickness_mm", job->board->thickness_known ? job->board->thickness_mm : NAN,
                      6);
  json_object_set_array_member (root, "copper", copper_json (job->board));
  json_object_set_int_member (root, "via_fields", job->board->via_fields->len);
  json_object_set_array_member (root, "parts", parts_json (self));
  json_object_set_array_member (root, "plans", plans_json (job));
  json_object_set_array_member (root, "sources", sources_json (import));
  json_object_set_array_member (root, "unknowns", unknowns_json (import));
  json_object_set_array_member (root, "warnings", warnings_json (import));
  lw_cli_print_json (root);
}

/* ---- text ---- */

static void
print_copper (const LwBoard *board)
{
  for (guint i = 0; i < board->layers->len; i++)
    {
      const LwLayer *layer = board->layers->pdata[i];
      gboolean mapped = board->copper_map != NULL && lw_copper_map_find (board->copper_map, layer->name) >= 0;

      if (layer->kind == LW_LAYER_COPPER)
        g_print (mapped ? _("Copper     %s, %.1f %% (plotted)\n") : _("Copper     %s, %.1f %%\n"), layer->name,
                 100 * layer->cover);
    }
}

static void
print_sources (const LwImport *import)
{
  for (guint i = 0; import->sources != NULL && i < import->sources->len; i++)
    {
      const LwImportSource *source = import->sources->pdata[i];

      g_print (_("File       %s: %s; %s\n"), source->file,
               source->format != NULL ? source->format : _("not a board’s file"),
               source->taken != NULL ? source->taken : _("nothing taken"));
    }
}

static void
print_unknowns (const LwImport *import)
{
  for (guint i = 0; import->unknowns != NULL && i < import->unknowns->len; i++)
    g_print (_("To measure %s\n"), ((LwImportUnknown *) import->unknowns->pdata[i])->text);
}

static void
print_summary (const Subject *self)
{
  const LwImport *import = self->import;
  const LwJob *job = self->job;
  const LwBoard *board = job->board;
  LwBox box = edge_box (board);
  Counts counts = count_parts (self);
  g_autofree char *thickness =
    lw_cli_number_text (board->thickness_known ? board->thickness_mm : NAN, 3);

  g_print (_("Format     %s\n"), import->format);
  g_print (_("Board      %s\n"), board->name);
  g_print (board->outline_assumed ? _("Outline    %.3f x %.3f mm at %.3f, %.3f (assumed)\n")
                                  : _("Outline    %.3f x %.3f mm at %.3f, %.3f\n"),
           box.x1_mm - box.x0_mm, box.y1_mm - box.y0_mm, box.x0_mm, box.y0_mm);
  g_print (_("Cut-outs   %u\n"), MAX (board->outline->len, 1) - 1);
  g_print (_("Area       %.2f mm²\n"), net_area (board));
  g_print (_("Thickness  %s mm\n"), thickness);
  print_copper (board);
  g_print (_("Parts      %u: %u on top, %u on the bottom, %u not placed\n"), job->parts->len,
           counts.top, counts.bottom, counts.unplaced);
  g_print (_("Heights    %u known, %u not known\n"), counts.heights, job->parts->len - counts.heights);
  g_print (_("Plans      %u\n"), job->plans->len);
  print_sources (import);
  print_unknowns (import);
  g_print (_("Warnings   %u\n"), import->warnings->len);
}

static void
print_parts (const Subject *self)
{
  static const int widths[] = { -12, 10, 10, 9, -8, 8, 0, 0 };

  g_print ("\n");
  lw_cli_print_row (widths, _("Part"), "x mm", "y mm", _("turn °"), _("side"), _("height mm"), "", _("package"), NULL);
  for (guint i = 0; i < self->job->parts->len; i++)
    {
      const LwPart *part = self->job->parts->pdata[i];
      g_autofree char *x = lw_cli_number_text (part->x_mm, 3), *y = lw_cli_number_text (part->y_mm, 3);
      g_autofree char *turn = lw_cli_number_text (part->rotation_deg, 3), *height = lw_cli_number_text (own_height (self, part), 3);
      g_autofree char *package = g_strconcat (part->package, part->placed ? "" : _(" (not placed)"), NULL);

      lw_cli_print_row (widths, part->ref, x, y, turn, lw_side_label (part->side), height, "", package, NULL);
    }
}

static void
report (const LwImport *import, gboolean json, gboolean parts)
{
  Subject self = { import, import->job };

  if (json)
    {
      print_json (&self);
      return;
    }
  print_summary (&self);
  if (parts)
    print_parts (&self);
  lw_cli_warn (import);
}

int
lw_cli_inspect (char **argv)
{
  gboolean parts = FALSE;
  g_auto (LwCliInput) input = { 0 };
  const GOptionEntry entries[] = { { "parts", 0, 0, G_OPTION_ARG_NONE, &parts,
                                     N_("List every part (text only; JSON always does)"), NULL },
                                   LW_CLI_SALVAGE_ENTRY (input),
                                   { NULL } };
  g_auto (GStrv) files = NULL;
  g_autoptr (LwImport) import = NULL;

  if (!lw_cli_parse (argv, _("FILE…"),
                     _("Reads a board or a job and reports what it holds. Several files of one board, a "
                       "folder or an archive are taken together."),
                     entries, &input, NULL, LW_CLI_SOME, &files))
    return LW_CLI_REFUSED;
  import = lw_cli_open_some (files, g_strv_length (files), &input);
  if (import == NULL)
    return LW_CLI_REFUSED;
  report (import, input.json, parts);
  return LW_CLI_DONE;
}
