#include "widgets/words.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

#include "board/typed-number.h"

#define NO_FIGURE "–"
#define THIN_SPACE "\u202f"

static const char *kind_labels[LW_N_KINDS] = {
  [LW_KIND_OTHER] = N_ ("Other"),
  [LW_KIND_AREA_ARRAY] = N_ ("Area array"),
  [LW_KIND_LEADED] = N_ ("Leaded"),
  [LW_KIND_LEADLESS] = N_ ("Leadless"),
  [LW_KIND_CERAMIC_CAPACITOR] = N_ ("Ceramic capacitor"),
  [LW_KIND_RESISTOR] = N_ ("Resistor"),
  [LW_KIND_ELECTROLYTIC] = N_ ("Aluminium electrolytic"),
  [LW_KIND_POLYMER_CAPACITOR] = N_ ("Polymer capacitor"),
  [LW_KIND_TANTALUM] = N_ ("Tantalum capacitor"),
  [LW_KIND_FILM_CAPACITOR] = N_ ("Film capacitor"),
  [LW_KIND_SUPERCAPACITOR] = N_ ("Supercapacitor"),
  [LW_KIND_INDUCTOR] = N_ ("Inductor"),
  [LW_KIND_CRYSTAL] = N_ ("Crystal"),
  [LW_KIND_LED] = N_ ("Light-emitting diode"),
  [LW_KIND_CONNECTOR] = N_ ("Connector"),
  [LW_KIND_SWITCH] = N_ ("Switch"),
  [LW_KIND_RELAY] = N_ ("Relay"),
  [LW_KIND_COIN_CELL] = N_ ("Coin cell"),
  [LW_KIND_CELL_HOLDER] = N_ ("Cell holder"),
  [LW_KIND_MICROPHONE] = N_ ("Microphone"),
  [LW_KIND_MODULE] = N_ ("Module"),
  [LW_KIND_FUSE] = N_ ("Fuse"),
  [LW_KIND_TRANSFORMER] = N_ ("Transformer"),
  [LW_KIND_OPTOCOUPLER] = N_ ("Optocoupler"),
  [LW_KIND_SHIELD_CAN] = N_ ("Shield can"),
  [LW_KIND_MECHANICAL] = N_ ("Mechanical"),
};

static const char *limit_labels[LW_N_LIMITS] = {
  [LW_LIMIT_BODY_PEAK_C] = N_ ("Body peak"),
  [LW_LIMIT_JOINT_PEAK_C] = N_ ("Joint peak"),
  [LW_LIMIT_JOINT_CENTER_PEAK_C] = N_ ("Centre joint peak"),
  [LW_LIMIT_JOINT_CORNER_PEAK_C] = N_ ("Corner joint peak"),
  [LW_LIMIT_RAMP_UP_C_PER_S] = N_ ("Heating rate"),
  [LW_LIMIT_RAMP_DOWN_C_PER_S] = N_ ("Cooling rate"),
  [LW_LIMIT_BODY_TIME_ABOVE_S] = N_ ("Body time above"),
};

const char *
lw_kind_label (LwPackageKind kind)
{
  return kind < LW_N_KINDS && kind_labels[kind] != NULL ? _(kind_labels[kind]) : _("Other");
}

const char *
lw_grade_label (LwGrade grade)
{
  switch (grade) {
  case LW_GRADE_STOP: return C_ ("grade", "Stop");
  case LW_GRADE_WATCH: return C_ ("grade", "Watch");
  default: return C_ ("grade", "Fine");
  }
}

const char *
lw_limit_label (LwLimitKind kind)
{
  return kind < LW_N_LIMITS ? _(limit_labels[kind]) : "";
}

char *
lw_findings_counts (const GPtrArray *findings)
{
  guint n[LW_GRADE_FINE + 1] = { 0 };

  if (findings == NULL)
    return g_strdup ("");
  for (guint i = 0; i < findings->len; i++)
    n[((const LwFinding *) g_ptr_array_index (findings, i))->grade]++;
  /* Translators: how many findings there are of each grade. */
  return g_strdup_printf (_("%u stop · %u watch · %u fine"), n[LW_GRADE_STOP], n[LW_GRADE_WATCH], n[LW_GRADE_FINE]);
}

char *
lw_figure (double value, int digits)
{
  g_autofree char *text = NULL;

  if (!isfinite (value))
    return g_strdup (NO_FIGURE);
  text = g_strdup_printf ("%.*f", digits, value);
  if (digits > 0) {
    gsize end = strlen (text);

    while (end > 1 && text[end - 1] == '0')
      text[--end] = '\0';
    if (end > 1 && !g_ascii_isdigit (text[end - 1])) /* the locale's decimal sign */
      text[--end] = '\0';
  }
  return g_strdup (strcmp (text, "-0") == 0 ? "0" : text);
}

char *
lw_figure_in (double value, int digits, const char *unit)
{
  return lw_figure (lw_units_shown (lw_shown_units (), value, unit), lw_units_digits (lw_shown_units (), digits, unit));
}

char *
lw_figure_unit (double value, int digits, const char *unit)
{
  g_autofree char *figure = lw_figure_in (value, digits, unit);

  if (!isfinite (value) || unit == NULL || *unit == '\0')
    return g_steal_pointer (&figure);
  return g_strconcat (figure, THIN_SPACE, lw_units_word (lw_shown_units (), unit), NULL);
}

char *
lw_figure_doubt (double value, double doubt, int digits, const char *unit)
{
  const char *step = g_strcmp0 (unit, "°C") == 0 ? "K" : unit;
  g_autofree char *figure = lw_figure_in (value, digits, unit), *band = NULL, *both = NULL;

  if (!isfinite (value) || !isfinite (doubt))
    return lw_figure_unit (value, digits, unit);
  band = lw_figure_in (doubt, digits, step);
  both = g_strconcat (figure, THIN_SPACE, "±", THIN_SPACE, band, NULL);
  return unit == NULL || *unit == '\0' ? g_steal_pointer (&both)
                                       : g_strconcat (both, THIN_SPACE, lw_units_word (lw_shown_units (), unit), NULL);
}

gboolean
lw_figure_parse_in (const char *text, const char *unit, double *value)
{
  if (!lw_figure_parse (text, value))
    return FALSE;
  *value = lw_units_kept (lw_shown_units (), *value, unit);
  return TRUE;
}

gboolean
lw_figure_parse (const char *text, double *value)
{
  return lw_typed_number (text, FALSE, value);
}
