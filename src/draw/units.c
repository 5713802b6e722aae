#include "draw/units.h"

#include <string.h>

#define MM_PER_INCH 25.4

typedef struct {
  const char *unit, *word;
  gboolean length; /* else a temperature */
  double factor, offset; /* shown = kept * factor + offset */
  int more_digits;
} Unit;

/* "°C/s" before "°C": a sentence is searched for the longest unit that fits. */
static const Unit known[] = {
  { "°C/s", "°F/s", FALSE, 1.8, 0.0, 0 },
  { "K/s", "°F/s", FALSE, 1.8, 0.0, 0 },
  { "°C", "°F", FALSE, 1.8, 32.0, 0 },
  { "K", "°F", FALSE, 1.8, 0.0, 0 },
  { "mm²", "in²", TRUE, 1.0 / (MM_PER_INCH * MM_PER_INCH), 0.0, 3 },
  { "mm", "in", TRUE, 1.0 / MM_PER_INCH, 0.0, 2 },
};

static const Unit *
find_unit (LwUnits units, const char *unit)
{
  for (guint i = 0; unit != NULL && i < G_N_ELEMENTS (known); i++)
    if (strcmp (unit, known[i].unit) == 0)
      return (known[i].length ? units.inches : units.fahrenheit) ? &known[i] : NULL;
  return NULL;
}

const char *
lw_units_word (LwUnits units, const char *unit)
{
  const Unit *found = find_unit (units, unit);

  return found == NULL ? unit : found->word;
}

double
lw_units_shown (LwUnits units, double value, const char *unit)
{
  const Unit *found = find_unit (units, unit);

  return found == NULL ? value : value * found->factor + found->offset;
}

double
lw_units_kept (LwUnits units, double typed, const char *unit)
{
  const Unit *found = find_unit (units, unit);

  return found == NULL ? typed : (typed - found->offset) / found->factor;
}

int
lw_units_digits (LwUnits units, int digits, const char *unit)
{
  const Unit *found = find_unit (units, unit);

  return found == NULL ? digits : digits + found->more_digits;
}

/* ---- sentences ---- */

/* One or more numbers that share a unit: "12", "-3.5", "20 to 30", "4 × 5 × 1.2", "241 ± 6". What stands between them
 * is short and holds no digit; the words are the translations of "to" and "and". */
#define NUMBER "-?[0-9]+(?:[.,][0-9]+)?"
#define SPACE "[ \\x{a0}\\x{202f}]?"
#define BETWEEN SPACE "(?:×|±|–|…|/|to|and|bis|und|a|y|至|和|到)" SPACE
#define FIGURES "(?<![\\p{L}\\d.,])(" NUMBER "(?:" BETWEEN NUMBER ")*)(" SPACE ")(°C/s|K/s|°C|K|mm²|mm)(?![\\p{L}\\d²³/·])"

static GRegex *
sentence_pattern (void)
{
  static gsize made;
  static GRegex *pattern;

  if (g_once_init_enter (&made)) {
    pattern = g_regex_new (FIGURES, G_REGEX_OPTIMIZE, 0, NULL);
    g_once_init_leave (&made, 1);
  }
  return pattern;
}

static GRegex *
number_pattern (void)
{
  static gsize made;
  static GRegex *pattern;

  if (g_once_init_enter (&made)) {
    pattern = g_regex_new (NUMBER, G_REGEX_OPTIMIZE, 0, NULL);
    g_once_init_leave (&made, 1);
  }
  return pattern;
}

typedef struct {
  LwUnits units;
  const char *unit;
} Sentence;

static gboolean
follows_doubt (const char *text)
{
  return g_str_has_suffix (text, "±") || g_str_has_suffix (text, "± ") || g_str_has_suffix (text, "±\u202f");
}

static gboolean
put_number (const GMatchInfo *match, GString *out, gpointer user)
{
  Sentence *self = user;
  const Unit *unit = find_unit (self->units, self->unit);
  g_autofree char *text = g_match_info_fetch (match, 0);
  char *mark = strpbrk (text, ".,");
  int digits = mark == NULL ? 0 : (int) strlen (mark + 1);
  gboolean difference = follows_doubt (out->str); /* whatever its unit */
  double value;

  if (mark != NULL)
    *mark = '.';
  value = g_ascii_strtod (text, NULL) * unit->factor + (difference ? 0.0 : unit->offset);
  g_string_append_printf (out, "%.*f", digits + unit->more_digits, value);
  return FALSE;
}

static gboolean
put_figures (const GMatchInfo *match, GString *out, gpointer user)
{
  Sentence *self = user;
  g_autofree char *numbers = g_match_info_fetch (match, 1), *space = g_match_info_fetch (match, 2);
  g_autofree char *unit = g_match_info_fetch (match, 3), *shown = NULL;

  self->unit = unit;
  if (find_unit (self->units, unit) == NULL) {
    g_autofree char *all = g_match_info_fetch (match, 0);

    g_string_append (out, all);
    return FALSE;
  }
  shown = g_regex_replace_eval (number_pattern (), numbers, -1, 0, 0, put_number, self, NULL);
  g_string_append_printf (out, "%s%s%s", shown, space, lw_units_word (self->units, unit));
  return FALSE;
}

char *
lw_units_sentence (LwUnits units, const char *text)
{
  Sentence self = { .units = units };

  if (text == NULL || !(units.inches || units.fahrenheit) || !g_utf8_validate (text, -1, NULL))
    return g_strdup (text);
  return g_regex_replace_eval (sentence_pattern (), text, -1, 0, 0, put_figures, &self, NULL);
}

char *
lw_units_paragraph (LwUnits units, const char *text)
{
  static gsize made;
  static GRegex *gap;
  g_autofree char *sentence = lw_units_sentence (units, text);

  if (g_once_init_enter (&made)) {
    gap = g_regex_new ("(?<=\\d) (?=(?:°C|°F|K|mm|in|s|min|%|L/min|W)(?:[^\\p{L}]|$))", G_REGEX_OPTIMIZE, 0, NULL);
    g_once_init_leave (&made, 1);
  }
  if (sentence == NULL || !g_utf8_validate (sentence, -1, NULL))
    return g_steal_pointer (&sentence);
  return g_regex_replace_literal (gap, sentence, -1, 0, "\u00a0", 0, NULL);
}

char *
lw_units_heading (LwUnits units, const char *text)
{
  for (guint i = 0; i < G_N_ELEMENTS (known); i++) {
    const Unit *unit = find_unit (units, known[i].unit);
    g_autofree char *ending = g_strconcat (" ", known[i].unit, NULL);
    g_autofree char *bracket = g_strconcat ("(", known[i].unit, ")", NULL);

    if (unit == NULL)
      continue;
    if (g_str_has_suffix (text, ending))
      return g_strdup_printf ("%.*s%s", (int) (strlen (text) - strlen (unit->unit)), text, unit->word);
    if (g_str_has_suffix (text, bracket))
      return g_strdup_printf ("%.*s%s)", (int) (strlen (text) - strlen (unit->unit) - 1), text, unit->word);
  }
  return g_strdup (text);
}
