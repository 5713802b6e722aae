/* Attributes, and the parts they make of flashes and strokes. */
#include <glib/gi18n.h>
#include <math.h>
#include <string.h>

#include "exchange/gerber-private.h"

/* ---- attributes ---- */

/* \uXXXX stands for what the syntax keeps for itself. */
static char *
decode (const char *value)
{
  GString *text = g_string_new (NULL);

  for (const char *p = value; *p != '\0'; p++)
    {
      guint code = 0;

      if (p[0] == '\\' && p[1] == 'u' && strspn (p + 2, "0123456789abcdefABCDEF") >= 4)
        {
          for (guint i = 2; i < 6; i++)
            code = code * 16 + (guint) g_ascii_xdigit_value (p[i]);
          if (code > 0 && g_unichar_validate (code))
            g_string_append_unichar (text, code);
          p += 5;
        }
      else
        g_string_append_c (text, *p);
    }
  if (!g_utf8_validate (text->str, (gssize) text->len, NULL))
    {
      char *valid = g_utf8_make_valid (text->str, (gssize) text->len);

      g_string_free (text, TRUE);
      return valid;
    }
  return g_string_free (text, FALSE);
}

char *
lw_gerber_field (const char *value, guint index)
{
  const char *p = value, *end;

  for (guint i = 0; p != NULL && i < index; i++)
    {
      p = strchr (p, ',');
      p = p != NULL ? p + 1 : NULL;
    }
  if (p == NULL)
    return g_strdup ("");
  end = strchr (p, ',');
  return g_strstrip (end != NULL ? g_strndup (p, (gsize) (end - p)) : g_strdup (p));
}

/* ".Name,value": stored without the dot. */
static void
store (GHashTable *table, const char *text)
{
  const char *comma = strchr (text, ',');
  char *name = comma != NULL ? g_strndup (text, (gsize) (comma - text)) : g_strdup (text);

  g_hash_table_insert (table, name, g_strdup (comma != NULL ? comma + 1 : ""));
}

void
lw_gerber_attribute (LwGerberState *self, const char *text)
{
  const char *name;

  while (*text == ' ')
    text++;
  if (text[0] != 'T' || text[1] == '\0')
    return;
  name = text[2] == '.' ? text + 3 : text + 2;
  if (text[1] == 'F')
    store (self->file->attributes, name);
  else if (text[1] == 'A')
    store (self->aperture_attributes, name);
  else if (text[1] == 'O')
    store (self->object_attributes, name);
  else if (text[1] == 'D' && *name != '\0')
    {
      g_hash_table_remove (self->aperture_attributes, name);
      g_hash_table_remove (self->object_attributes, name);
    }
  else if (text[1] == 'D')
    {
      g_hash_table_remove_all (self->aperture_attributes);
      g_hash_table_remove_all (self->object_attributes);
    }
}

/* Value of an attribute in force, "" when there is none. */
static const char *
object_attribute (const LwGerberState *self, const char *name)
{
  const char *value = g_hash_table_lookup (self->object_attributes, name);

  return value != NULL ? value : "";
}

/* ---- parts ---- */

static double
number_of (const LwGerberState *self, const char *name, double fallback)
{
  const char *text = object_attribute (self, name);
  char *end;
  double value = g_ascii_strtod (text, &end);

  return end > text && isfinite (value) && fabs (value) < 1e6 ? value : fallback;
}

static LwGerberPart *
part_of_flash (LwGerberState *self)
{
  LwGerberPart *part = g_new0 (LwGerberPart, 1);

  part->ref = decode (object_attribute (self, "C"));
  part->package = decode (object_attribute (self, "CPkg"));
  part->footprint = decode (object_attribute (self, "CFtp"));
  part->value = decode (object_attribute (self, "CVal"));
  part->number = decode (object_attribute (self, "CMPN"));
  part->mount = decode (object_attribute (self, "CMnt"));
  part->x_mm = self->at.x_mm;
  part->y_mm = self->at.y_mm;
  part->rotation_deg = number_of (self, "CRot", 0);
  part->height_mm = number_of (self, "CHgt", NAN) * self->unit_mm;
  part->pins = g_array_new (FALSE, FALSE, sizeof (LwGerberPin));
  part->strokes = g_array_new (FALSE, FALSE, sizeof (LwStroke));
  part->outline = LW_GERBER_NO_OUTLINE;
  part->line = self->line;
  return part;
}

static void
add_part (LwGerberState *self)
{
  LwGerberPart *part;

  if (self->file->parts->len >= LW_GERBER_MAX_PARTS)
    {
      lw_gerber_stop (self, _("more than %d parts"), LW_GERBER_MAX_PARTS);
      return;
    }
  part = part_of_flash (self);
  if (*part->ref == '\0')
    lw_gerber_note (self, NULL, _("a part has no reference designator (.C)"));
  g_ptr_array_add (self->file->parts, part);
  g_hash_table_insert (self->parts, part->ref, part);
}

static void
add_pin (LwGerberState *self)
{
  g_autofree char *field = lw_gerber_field (object_attribute (self, "P"), 0), *ref = decode (field);
  LwGerberPart *part = g_hash_table_lookup (self->parts, ref);
  LwGerberPin pin = { self->at.x_mm, self->at.y_mm, self->aperture->size };

  if (part != NULL)
    g_array_append_val (part->pins, pin);
  else
    lw_gerber_note (self, "pin", _("a pin belongs to %.60s, which is no part of this layer"), ref);
}

void
lw_gerber_part_flash (LwGerberState *self)
{
  if (self->n_blocks > 0)
    return;
  if (g_str_has_prefix (self->aperture->function, "ComponentMain"))
    add_part (self);
  else if (g_str_has_prefix (self->aperture->function, "ComponentPin"))
    add_pin (self);
}

static LwGerberOutline
outline_of (const char *function)
{
  static const char *const words[] = { "Body", "Lead2Lead", "Footprint", "Courtyard" };
  g_autofree char *word = lw_gerber_field (function, 1);

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (g_ascii_strcasecmp (word, words[i]) == 0)
      return i;
  return LW_GERBER_NO_OUTLINE;
}

void
lw_gerber_part_stroke (LwGerberState *self, const LwStroke *stroke)
{
  g_autofree char *ref = NULL;
  LwGerberPart *part;
  LwGerberOutline outline;

  if (self->n_blocks > 0 || self->aperture == NULL
      || !g_str_has_prefix (self->aperture->function, "ComponentOutline"))
    return;
  ref = decode (object_attribute (self, "C"));
  part = g_hash_table_lookup (self->parts, ref);
  outline = outline_of (self->aperture->function);
  if (part == NULL || outline > part->outline || outline == LW_GERBER_NO_OUTLINE)
    return;
  if (outline < part->outline)
    g_array_set_size (part->strokes, 0);
  part->outline = outline;
  g_array_append_val (part->strokes, *stroke);
}
