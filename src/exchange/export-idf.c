/* An IDF 3.0 pair. Field orders as board-file and library-file readers expect them; strings in double
 * quotes, which have no escape. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/export-text.h"

/* Of a string; lines are limited and some readers' fields too. */
#define MAX_BYTES 200

static void
tell_changed (GPtrArray *left_out, const char *text)
{
  if (left_out != NULL)
    g_ptr_array_add (
        left_out, g_strdup_printf (
                      _ ("\"%.60s\" is written without quotation marks, line ends or its end"), text));
}

static void
add_string (GString *out, const char *text, GPtrArray *left_out)
{
  g_autofree char *clean = g_utf8_make_valid (text, -1);
  gsize length = strlen (clean);

  while (length > MAX_BYTES)
    length = (gsize)(g_utf8_find_prev_char (clean, clean + length) - clean);
  clean[length] = '\0';
  for (char *p = clean; *p != '\0'; p++)
    if (*p == '"')
      *p = '\'';
    else if ((guchar)*p < 0x20)
      *p = ' ';
  if (strcmp (clean, text) != 0)
    tell_changed (left_out, text);
  g_string_append_printf (out, "\"%s\"", clean);
}

static void
add_header (GString *out, const char *kind)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_utc ();
  g_autofree char *date = g_date_time_format (now, "%Y/%m/%d.%H:%M:%S");

  g_string_append_printf (out, ".HEADER\n%s 3.0 \"Leeward\" %s 1\n", kind, date);
}

static void
add_numbers (GString *out, const double *values, guint n)
{
  for (guint i = 0; i < n; i++) {
    if (i > 0)
      g_string_append_c (out, ' ');
    lw_export_number (out, values[i]);
  }
}

/* ---- outlines ---- */

static void
add_point (GString *out, guint label, double x, double y, double arc)
{
  const double values[] = { x, y, arc };

  g_string_append_printf (out, "%u ", label);
  add_numbers (out, values, 3);
  g_string_append_c (out, '\n');
}

/* The angle stands with the point an arc leads to; the first point comes once more and carries that of
 * the closing edge. */
static void
add_loop (GString *out, guint label, const LwLoop *loop)
{
  const LwVertex *first = &g_array_index (loop->corners, LwVertex, 0);

  for (guint i = 0; i < loop->corners->len; i++) {
    const LwVertex *at = &g_array_index (loop->corners, LwVertex, i);

    add_point (out, label, at->x_mm, at->y_mm, i > 0 ? at->arc_deg : 0);
  }
  add_point (out, label, first->x_mm, first->y_mm, first->arc_deg);
}

static void
add_board_outline (GString *out, const LwBoard *board, GPtrArray *left_out)
{
  g_string_append (out, ".BOARD_OUTLINE ECAD\n");
  lw_export_number (out, board->thickness_known ? board->thickness_mm : 0);
  g_string_append_c (out, '\n');
  for (guint i = 0; i < board->outline->len; i++) {
    const LwLoop *loop = board->outline->pdata[i];

    if (loop->corners->len > 1)
      add_loop (out, i, loop);
  }
  g_string_append (out, ".END_BOARD_OUTLINE\n");
  if (board->outline_assumed && left_out != NULL)
    g_ptr_array_add (left_out, g_strdup (_ ("the outline is an assumed one; IDF cannot say so")));
}

/* ---- the board file ---- */

static void
add_notes (GString *out, const char *notes, GPtrArray *left_out)
{
  g_auto (GStrv) lines = g_strsplit (notes, "\n", -1);

  if (*notes == '\0')
    return;
  g_string_append (out, ".NOTES\n");
  for (guint i = 0; lines[i] != NULL; i++) {
    g_string_append (out, "0 0 1 50 ");
    add_string (out, lines[i], left_out);
    g_string_append_c (out, '\n');
  }
  g_string_append (out, ".END_NOTES\n");
}

static void
add_part (GString *out, const LwJob *job, const LwPart *part, GPtrArray *left_out)
{
  g_autofree char *geometry = lw_export_geometry (job, part);
  const double place[]
      = { part->x_mm, part->y_mm, part->offset_mm, lw_angle_normalise (part->rotation_deg) };

  add_string (out, geometry, left_out);
  g_string_append_c (out, ' ');
  add_string (out, part->value, left_out);
  g_string_append_c (out, ' ');
  add_string (out, part->ref, left_out);
  g_string_append_c (out, '\n');
  add_numbers (out, place, G_N_ELEMENTS (place));
  g_string_append_printf (out, " %s %s\n", part->side == LW_SIDE_TOP ? "TOP" : "BOTTOM",
                          part->placed ? "PLACED" : "UNPLACED");
}

static void
tell_what_idf_lacks (const LwJob *job, GPtrArray *left_out)
{
  const LwBoard *board = job->board;

  if (left_out == NULL)
    return;
  if (board->layers->len > 0 || board->copper_regions->len > 0 || board->via_fields->len > 0)
    g_ptr_array_add (left_out, g_strdup (_ ("IDF has no place for stack-up, copper and vias")));
  if (job->packages->len > 0)
    g_ptr_array_add (left_out,
                     g_strdup (_ ("IDF has no place for joints, materials and limits of parts")));
  if (job->plans->len > 0)
    g_ptr_array_add (left_out, g_strdup (_ ("IDF has no place for plans")));
}

char *
lw_export_idf_board (const LwJob *job, GPtrArray *left_out)
{
  GString *out = g_string_new (NULL);
  const char *name = *job->board->name != '\0' ? job->board->name : job->title;

  add_header (out, "BOARD_FILE");
  add_string (out, name, left_out);
  g_string_append (out, " MM\n.END_HEADER\n");
  add_board_outline (out, job->board, left_out);
  add_notes (out, job->notes, left_out);
  g_string_append (out, ".PLACEMENT\n");
  for (guint i = 0; i < job->parts->len; i++)
    add_part (out, job, job->parts->pdata[i], left_out);
  g_string_append (out, ".END_PLACEMENT\n");
  tell_what_idf_lacks (job, left_out);
  return g_string_free (out, FALSE);
}

/* ---- the library file ---- */

static void
add_body (GString *out, const LwPackage *package)
{
  double x = package->center_x_mm, y = package->center_y_mm;

  if (package->outline != NULL && package->outline->corners->len > 1) {
    add_loop (out, 0, package->outline);
    return;
  }
  if (package->round) {
    add_point (out, 0, x, y, 0);
    add_point (out, 0, x + package->length_mm / 2, y, 360);
    return;
  }
  g_autoptr (LwLoop) box = lw_loop_new_rectangle (x - package->length_mm / 2, y - package->width_mm / 2,
                                                  x + package->length_mm / 2, y + package->width_mm / 2);
  add_loop (out, 0, box);
}

/* Those a library file once gave: they are kept with the package. */
static void
add_properties (GString *out, const LwPackage *package)
{
  JsonNode *node = package->extra != NULL ? json_object_get_member (package->extra, "properties") : NULL;
  JsonObject *list = node != NULL && JSON_NODE_HOLDS_OBJECT (node) ? json_node_get_object (node) : NULL;
  g_autoptr (GList) names = list != NULL ? json_object_get_members (list) : NULL;

  for (GList *at = names; at != NULL; at = at->next) {
    const char *value = json_object_get_string_member_with_default (list, at->data, NULL);

    if (value == NULL)
      continue;
    g_string_append (out, "PROP ");
    add_string (out, at->data, NULL);
    g_string_append_c (out, ' ');
    add_string (out, value, NULL);
    g_string_append_c (out, '\n');
  }
}

static void
add_entry (GString *out, const LwPart *part, const LwPackage *package, const char *geometry,
           GPtrArray *left_out)
{
  const char *section = package->kind == LW_KIND_MECHANICAL ? "MECHANICAL" : "ELECTRICAL";
  double height = isnan (part->height_mm) ? package->height_mm : part->height_mm;

  g_string_append_printf (out, ".%s\n", section);
  add_string (out, geometry, left_out);
  g_string_append_c (out, ' ');
  add_string (out, "any", NULL);
  g_string_append (out, " MM ");
  lw_export_number (out, isnan (height) ? 0 : height);
  g_string_append_c (out, '\n');
  add_body (out, package);
  if (package->kind != LW_KIND_MECHANICAL)
    add_properties (out, package);
  g_string_append_printf (out, ".END_%s\n", section);
}

char *
lw_export_idf_library (const LwJob *job, GPtrArray *left_out)
{
  GString *out = g_string_new (NULL);
  g_autoptr (GHashTable) written = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  add_header (out, "LIBRARY_FILE");
  g_string_append (out, ".END_HEADER\n");
  for (guint i = 0; i < job->parts->len; i++) {
    const LwPart *part = job->parts->pdata[i];
    const LwPackage *package = lw_job_package_of (job, part);
    char *geometry = lw_export_geometry (job, part);

    if (package == NULL && !isnan (part->height_mm) && left_out != NULL)
      g_ptr_array_add (
          left_out, g_strdup_printf (_ ("the height of %.60s: a body must be known for it"), part->ref));
    if (package == NULL || g_hash_table_contains (written, geometry)) {
      g_free (geometry);
      continue;
    }
    add_entry (out, part, package, geometry, left_out);
    g_hash_table_add (written, geometry);
  }
  return g_string_free (out, FALSE);
}
