/* What a prediction rests on and nobody knows exactly: each input with its distribution and where that comes
 * from. docs/doubt.md has the same table in words; data beside code, because no user can improve on a width
 * without measuring. */
#ifndef LW_UNSURE_H
#define LW_UNSURE_H

#include <glib.h>

G_BEGIN_DECLS

typedef enum {
  LW_UNSURE_NOZZLE_FILM,
  LW_UNSURE_SPILL_FILM,
  LW_UNSURE_PREHEAT_FILM,
  LW_UNSURE_ROOM_FILM,
  LW_UNSURE_CONDUCTIVITY,
  LW_UNSURE_CAPACITY,
  LW_UNSURE_JOINT,
  LW_UNSURE_EMISSIVITY,
  LW_UNSURE_AMBIENT,
  LW_UNSURE_GAS,
  LW_UNSURE_PREHEAT,
  LW_UNSURE_THERMOCOUPLE,
  LW_N_UNSURE
} LwUnsure;

typedef enum {
  LW_SHAPE_NORMAL,    /* SPREAD is added: half-width of the middle 95 % */
  LW_SHAPE_LOGNORMAL, /* factors: the middle 95 % lie between 1 / (1 + SPREAD) and 1 + SPREAD; median 1 */
  LW_SHAPE_UNIFORM    /* SPREAD is added: half-width of all of it */
} LwShape;

/* One input. The unit of a lognormal spread is a share of the value, of the others as given. */
typedef struct {
  LwUnsure input;
  const char *key;     /* file word */
  const char *name;    /* to be translated */
  const char *measure; /* what would settle it, one sentence, to be translated */
  LwShape shape;
  double spread;
  const char *unit; /* "", "°C" or "" */
  const char *source;
} LwUnsureInput;

/* The table, LW_N_UNSURE rows in the order of the enumeration. */
const LwUnsureInput *lw_unsure_inputs (void);
const char *lw_unsure_key (LwUnsure input);
const char *lw_unsure_name (LwUnsure input);    /* translated */
const char *lw_unsure_measure (LwUnsure input); /* translated */

/* Spreads of one job: the table's, but for what the station itself says and a fit has told; 0 leaves an input as it is.
 * Correlations of the standard normal numbers behind them [a * LW_N_UNSURE + b]. */
typedef struct {
  double spread[LW_N_UNSURE];
  double ties[LW_N_UNSURE * LW_N_UNSURE];
} LwUnsureSpreads;
void lw_unsure_defaults (LwUnsureSpreads *out);

/* Value of an input at a standard normal number Z: a factor around 1 (lognormal), else what is added. */
double lw_unsure_value (LwUnsure input, double spread, double z);

/* Correlation of the standard normal numbers behind two inputs: 1 with itself, 0 where nothing ties them. */
double lw_unsure_correlation (LwUnsure a, LwUnsure b);

/* Widest error of a type K thermocouple of class 1 at T_C, K: 1.5 K or 0.4 % (IEC 60584-1). */
double lw_unsure_thermocouple_k (double t_c);

G_END_DECLS

#endif
