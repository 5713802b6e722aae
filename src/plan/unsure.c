#include "plan/unsure.h"

#include <glib/gi18n.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

/* 97.5 % point of the standard normal distribution: a spread is the middle 95 %. */
#define Z_95 1.959963984540054

static const LwUnsureInput inputs[LW_N_UNSURE] = {
  { LW_UNSURE_NOZZLE_FILM, "nozzle-film", N_("Nozzle’s film"),
    N_("Blow on a metal block of known weight and take the slope of its temperature."), LW_SHAPE_LOGNORMAL,
    0.25, "",
    "errors of convection correlations up to 25 %, Incropera and DeWitt; scatter of jet data about Martin "
    "(1977): from memory" },
  { LW_UNSURE_SPILL_FILM, "spill-film", N_("Film of the spill"),
    N_("Fix a thermocouple to a scrap board 10 mm outside the nozzle and compare."), LW_SHAPE_LOGNORMAL, 0.40,
    "", "wall jets behind a nozzle of any shape: common practice, no source" },
  { LW_UNSURE_PREHEAT_FILM, "preheat-film", N_("Preheater’s film"),
    N_("Run the preheat alone and compare the board’s temperature at its end."), LW_SHAPE_LOGNORMAL, 0.25, "",
    "errors of convection correlations up to 25 %, Incropera and DeWitt: from memory" },
  { LW_UNSURE_ROOM_FILM, "room-film", N_("Film of the room’s air"),
    N_("Let the warm board cool with everything off and compare; keep draughts away."), LW_SHAPE_LOGNORMAL,
    0.20, "", "free convection about flat plates, 15-20 %: from memory" },
  { LW_UNSURE_CONDUCTIVITY, "conductivity", N_("Board’s conductivity"),
    N_("Get the copper cover of each layer from the board’s data."), LW_SHAPE_LOGNORMAL, 0.20, "",
    "copper cover as drawn against as etched: common practice, no source" },
  { LW_UNSURE_CAPACITY, "capacity", N_("Heat capacities"), N_("Weigh the board."), LW_SHAPE_LOGNORMAL, 0.10, "",
    "makers’ content sheets scatter by 7 % (one deviation) about the package model; what is common to all "
    "parts and the board is less: no source" },
  { LW_UNSURE_JOINT, "joint", N_("Joints’ conductance"),
    N_("X-ray the joints for voids, or measure a ball’s height and pad."), LW_SHAPE_LOGNORMAL, 0.30, "",
    "voids up to 30 % of a ball’s picture pass IPC-A-610: from memory; the spread itself has no source" },
  { LW_UNSURE_EMISSIVITY, "emissivity", N_("Emissivities"),
    N_("Compare an infrared reading with a thermocouple on the same place."), LW_SHAPE_LOGNORMAL, 0.06, "",
    "solder mask 0.85-0.95: handbooks, from memory" },
  { LW_UNSURE_AMBIENT, "ambient", N_("Room’s temperature"), N_("Read a thermometer beside the station."),
    LW_SHAPE_NORMAL, 3, "°C", "a room as it comes: common practice, no source" },
  { LW_UNSURE_GAS, "gas", N_("Gas, delivered against asked for"),
    N_("Hold a thermocouple in the outlet and compare with the set point."), LW_SHAPE_NORMAL, 5, "°C",
    "the station’s own figure, else 5 K: common practice, no source" },
  { LW_UNSURE_PREHEAT, "preheat", N_("Preheater, delivered against asked for"),
    N_("Fix a thermocouple to the preheater and compare with the set point."), LW_SHAPE_NORMAL, 5, "°C",
    "common practice, no source" },
  { LW_UNSURE_THERMOCOUPLE, "thermocouple", N_("Station’s thermocouples"),
    N_("Compare them with a calibrated one at two temperatures."), LW_SHAPE_UNIFORM, 1.5, "°C",
    "type K, class 1: IEC 60584-1, 1.5 K or 0.4 %; within a tolerance every value is as likely: JCGM 100:2008, "
    "4.3.7" },
};

const LwUnsureInput *
lw_unsure_inputs (void)
{
  return inputs;
}

const char *
lw_unsure_key (LwUnsure input)
{
  return inputs[input].key;
}

const char *
lw_unsure_name (LwUnsure input)
{
  return _(inputs[input].name);
}

const char *
lw_unsure_measure (LwUnsure input)
{
  return _(inputs[input].measure);
}

void
lw_unsure_defaults (LwUnsureSpreads *out)
{
  for (guint i = 0; i < LW_N_UNSURE; i++)
    out->spread[i] = inputs[i].spread;
  for (guint a = 0; a < LW_N_UNSURE; a++)
    for (guint b = 0; b < LW_N_UNSURE; b++)
      out->ties[a * LW_N_UNSURE + b] = lw_unsure_correlation (a, b);
}

double
lw_unsure_value (LwUnsure input, double spread, double z)
{
  switch (inputs[input].shape) {
  case LW_SHAPE_LOGNORMAL:
    return exp (z * log1p (spread) / Z_95);
  case LW_SHAPE_UNIFORM:
    return spread > 0 ? gsl_cdf_flat_Pinv (gsl_cdf_ugaussian_P (z), -spread, spread) : 0;
  case LW_SHAPE_NORMAL:
  default:
    return z * spread / Z_95;
  }
}

/* The jet makes both films: a flow that reads low, a nozzle that is worn, make both stronger. How much of the
 * doubt they share is not known; 0.7 is half of the variance. The films of preheater and room both rest on
 * free convection about the same plate. Common practice, no source. */
double
lw_unsure_correlation (LwUnsure a, LwUnsure b)
{
  if (a == b)
    return 1;
  if (MIN (a, b) == LW_UNSURE_NOZZLE_FILM && MAX (a, b) == LW_UNSURE_SPILL_FILM)
    return 0.7;
  if (MIN (a, b) == LW_UNSURE_PREHEAT_FILM && MAX (a, b) == LW_UNSURE_ROOM_FILM)
    return 0.5;
  return 0;
}

double
lw_unsure_thermocouple_k (double t_c)
{
  return fmax (1.5, 0.004 * fabs (t_c));
}
