#include <glib/gi18n.h>

#include "exchange/idf-sections.h"

/* Records of the placement section: see idf-placement.c. */
gboolean lw_idf_placement_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error);
gboolean lw_idf_placement_end (LwIdfReading *reading, GError **error);
void lw_idf_placement_drop (LwIdfReading *reading);

static void
warn (LwIdfReading *reading, guint line, const char *text)
{
  lw_notes_add (reading->lexer->notes, reading->lexer->name, line, "%s", text);
}

/* ---- the board's edge ---- */

static void
outline_lead (LwIdfReading *reading, double thickness_mm, const char *word, guint line)
{
  LwIdfBoard *board = reading->target;

  if (board->has_outline)
    {
      warn (reading, reading->section_line,
            _("a second .BOARD_OUTLINE: its loops are added to the first"));
      return;
    }
  board->has_outline = TRUE;
  board->listed.outline_line = reading->section_line;
  board->listed.thickness_mm = thickness_mm;
  if (thickness_mm == 0)
    warn (reading, line, _("board thickness 0: taken as not known"));
  else if (thickness_mm < 0.2 || thickness_mm > 6)
    lw_notes_add (reading->lexer->notes, reading->lexer->name, line,
                  _("board thickness %.3f mm is unusual: is the unit right?"), thickness_mm);
}

static void
outline_loops (LwIdfReading *reading, GPtrArray *loops)
{
  LwIdfBoard *board = reading->target;

  g_ptr_array_extend_and_steal (board->listed.outline, loops);
}

/* ---- what a job has no place for ---- */

static void
other_outline_lead (LwIdfReading *reading, double thickness_mm, const char *name, guint line)
{
  lw_notes_add (
    reading->lexer->notes, reading->lexer->name, line,
    _("the shape “%.60s”, %.2f mm thick, is no part and is left out: mind it at the bench"), name,
    thickness_mm);
}

static gboolean
hole_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  static const char *const plating[] = { "PTH", "NPTH", NULL };
  LwIdfBoard *board = reading->target;
  double unit = reading->header->unit_mm, diameter, x, y;

  if (!lw_idf_length (reading->lexer, record, 0, _("hole diameter"), unit, &diameter, error)
      || !lw_idf_length (reading->lexer, record, 1, _("x"), unit, &x, error)
      || !lw_idf_length (reading->lexer, record, 2, _("y"), unit, &y, error)
      || lw_idf_word (reading->lexer, record, 3, _("plating"), plating, error) < 0
      || lw_idf_field (reading->lexer, record, 4, _("part the hole belongs to"), error) == NULL)
    return FALSE;
  if (reading->header->version == 3
      && lw_idf_field (reading->lexer, record, 5, _("type of hole"), error) == NULL)
    return FALSE;
  board->n_holes++;
  return TRUE;
}

/* In some 2.0 files field 4 is the type of hole; nothing of a hole is kept, so only the numbers
 * matter. */
static gboolean
hole_record_any_version (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  static const char *const types[] = { "PIN", "VIA", "MTG", "TOOL", NULL };

  if (reading->header->version == 2 && record->n_fields > 3)
    for (guint i = 0; types[i] != NULL; i++)
      if (g_ascii_strcasecmp (record->field[3], types[i]) == 0)
        {
          LwIdfRecord plated = *record;
          char pth[] = "PTH";

          plated.field[3] = pth;
          return hole_record (reading, &plated, error);
        }
  return hole_record (reading, record, error);
}

static gboolean
note_record (LwIdfReading *reading, const LwIdfRecord *record, GError **error)
{
  LwIdfBoard *board = reading->target;
  double unit = reading->header->unit_mm, number;
  const char *text;

  for (guint i = 0; i < 4; i++)
    if (!lw_idf_length (reading->lexer, record, i, _("position or size of a note"), unit, &number,
                        error))
      return FALSE;
  text = lw_idf_field (reading->lexer, record, 4, _("text of a note"), error);
  if (text == NULL)
    return FALSE;
  if (board->notes->len < 64 * 1024)
    g_string_append_printf (board->notes, "%s\n", text);
  return TRUE;
}

/* Fields of versions 2.0 and 3.0, as their documents order them and real files have them. */
static const LwIdfSection board_sections[] = {
  { "BOARD_OUTLINE", "n", "n", NULL, outline_lead, outline_loops, NULL },
  { "OTHER_OUTLINE", "wn", "wns", NULL, other_outline_lead, NULL, NULL },
  { "ROUTE_OUTLINE", "", "L", NULL, NULL, NULL, NULL },
  { "PLACE_OUTLINE", "", "Sh", NULL, NULL, NULL, NULL },
  { "ROUTE_KEEPOUT", "L", "L", NULL, NULL, NULL, NULL },
  { "VIA_KEEPOUT", "", "", NULL, NULL, NULL, NULL },
  { "PLACE_KEEPOUT", "Sh", "Sh", NULL, NULL, NULL, NULL },
  { "PLACE_REGION", "Sw", "Sw", NULL, NULL, NULL, NULL },
  { "DRILLED_HOLES", NULL, NULL, hole_record_any_version, NULL, NULL, NULL },
  { "NOTES", NULL, NULL, note_record, NULL, NULL, NULL },
  { "PLACEMENT", NULL, NULL, lw_idf_placement_record, NULL, NULL, lw_idf_placement_end,
    lw_idf_placement_drop },
  { NULL }
};

void
lw_idf_board_free (LwIdfBoard *self)
{
  if (self == NULL)
    return;
  lw_idf_header_clear (&self->header);
  lw_listed_board_clear (&self->listed);
  g_string_free (self->notes, TRUE);
  g_free (self);
}

LwIdfBoard *
lw_idf_board_read (LwIdfLexer *lexer, gboolean salvage, GError **error)
{
  g_autoptr (LwIdfBoard) board = g_new0 (LwIdfBoard, 1);
  LwIdfReading reading = { .lexer = lexer, .header = &board->header, .target = board, .salvage = salvage };
  g_autoptr (GError) damage = NULL;
  gboolean fine;

  lw_listed_board_init (&board->listed);
  board->notes = g_string_new (NULL);
  fine = lw_idf_header_read (lexer, TRUE, &board->header, error)
         && lw_idf_sections_read (&reading, board_sections, error);
  damage = reading.damage;
  if (fine && damage != NULL && board->listed.parts->len == 0 && board->listed.outline->len == 0)
    {
      g_propagate_error (error, g_steal_pointer (&damage));
      fine = FALSE;
    }
  if (!fine)
    return NULL;
  g_free (board->listed.name);
  board->listed.name = g_strdup (board->header.board_name);
  if (!board->has_placement)
    warn (&reading, 0, _("there is no .PLACEMENT section: the board has no parts"));
  return g_steal_pointer (&board);
}
