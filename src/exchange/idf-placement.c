/* The placement section: two lines for each part. */
#include <glib/gi18n.h>

#include "exchange/idf-sections.h"

gboolean lw_idf_placement_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error);
gboolean lw_idf_placement_end (LwIdfReading *reading, GError **error);
void lw_idf_placement_drop (LwIdfReading *reading);

/* The three names. */
static gboolean
read_names (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfBoard *board = reading->target;
  const char *geometry = lw_idf_field (reading->lexer, record, 0, _("geometry name"), error);
  const char *number =
    geometry ? lw_idf_field (reading->lexer, record, 1, _("part number"), error) : NULL;
  const char *ref =
    number ? lw_idf_field (reading->lexer, record, 2, _("reference designator"), error) : NULL;
  LwListedPart *part;

  if (ref == NULL)
    return FALSE;
  if (board->listed.parts->len >= LW_LISTED_MAX_PARTS)
    return lw_notes_fail (error, LW_IMPORT_ERROR_TOO_LARGE, reading->lexer->name, record->line,
                          _("more than %d parts"), LW_LISTED_MAX_PARTS);
  part = lw_listed_part_new (geometry, number, ref, record->line);
  g_ptr_array_add (board->listed.parts, part);
  reading->open = part;
  lw_idf_expect_fields (reading->lexer, record, 3);
  return TRUE;
}

static gboolean
read_side (LwIdfReading *reading, const LwIdfRecord *record, guint i, LwListedPart *part,
           GError **error)
{
  static const char *const sides[] = { "TOP", "BOTTOM", NULL };
  int side = lw_idf_word (reading->lexer, record, i, _("side"), sides, error);

  if (side < 0)
    return FALSE;
  part->side = side == 0 ? LW_SIDE_TOP : LW_SIDE_BOTTOM;
  return TRUE;
}

static gboolean
read_status (LwIdfReading *reading, const LwIdfRecord *record, guint i, LwListedPart *part,
             GError **error)
{
  static const char *const words2[] = { "UNPLACED", "PLACED", "FIXED", NULL };
  static const char *const words3[] = { "UNPLACED", "PLACED", "MCAD", "ECAD", NULL };
  int status = lw_idf_word (reading->lexer, record, i, _("status"),
                            reading->header->version == 2 ? words2 : words3, error);

  part->placed = status > 0;
  return status >= 0;
}

/* Version 2.0 has no mounting offset. */
static gboolean
read_place (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfLexer *lexer = reading->lexer;
  LwListedPart *part = reading->open;
  double unit = reading->header->unit_mm;
  guint next = 2;

  if (!lw_idf_length (lexer, record, 0, _("x"), unit, &part->x_mm, error)
      || !lw_idf_length (lexer, record, 1, _("y"), unit, &part->y_mm, error))
    return FALSE;
  if (reading->header->version == 3
      && !lw_idf_length (lexer, record, next++, _("mounting offset"), unit, &part->offset_mm, error))
    return FALSE;
  if (!lw_idf_number (lexer, record, next, _("rotation"), &part->rotation_deg, error)
      || !read_side (reading, record, next + 1, part, error)
      || !read_status (reading, record, next + 2, part, error))
    return FALSE;
  lw_idf_expect_fields (lexer, record, next + 3);
  part->rotation_deg = lw_angle_normalise (part->rotation_deg);
  if (part->offset_mm < 0)
    {
      lw_notes_add (lexer->notes, lexer->name, record->line,
                    _("%.60s: a mounting offset below zero is taken as 0"), part->ref);
      part->offset_mm = 0;
    }
  reading->open = NULL;
  return TRUE;
}

gboolean
lw_idf_placement_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfBoard *board = reading->target;

  board->has_placement = TRUE;
  return reading->open == NULL ? read_names (reading, record, error)
                               : read_place (reading, record, error);
}

gboolean
lw_idf_placement_end (LwIdfReading *reading, GError **error)
{
  LwIdfBoard *board = reading->target;
  const LwListedPart *part = reading->open;

  board->has_placement = TRUE;
  if (part == NULL)
    return TRUE;
  return lw_idf_fail (reading->lexer, part->line, error,
                      _("%.60s has no second line: position and side expected"), part->ref);
}

/* The last part, when only its first line was good. */
void
lw_idf_placement_drop (LwIdfReading *reading)
{
  LwIdfBoard *board = reading->target;

  if (reading->open != NULL)
    g_ptr_array_set_size (board->listed.parts, (int) board->listed.parts->len - 1);
  reading->open = NULL;
}
