/* What the sources do at a moment, and the flows it makes through the faces. */
#ifndef HEAT_ENVIRONMENT_H
#define HEAT_ENVIRONMENT_H

#include "heat/faces.h"
#include "heat/films.h"
#include "heat/table.h"

typedef struct {
  bool gas_on, pre_on;
  double gas_c, gas_out_c, gas_h, gas_h_bare; /* film after and before the finite stream */
  double mass_kg_s;
  double spill_h[HEAT_SPILL_N], spill_c[HEAT_SPILL_N];
  double spill_of_c; /* leaving gas the films were computed for; NAN: not computed */
  double pre_c, pre_h, pre_scale; /* pre_scale: of the infrared exchange, 0 when off */
  HeatNozzleFilm film;            /* computed mode */
} HeatEnvironment;

/* Flows out of the network, W, by where they go (negative: in). */
typedef struct {
  double nozzle, spill, preheat, room, clamps;
} HeatFlows;

/* What the sources feel of the surfaces, and how far what they deliver is off what the scene says. */
typedef struct {
  double inside_m2; /* area inside the nozzle's inner outline */
  double inside_c;  /* its mean surface temperature */
  double below_c;   /* mean of the lower faces over a preheater, where its film depends on it */
  double gas_add_k, preheat_add_k;
  const HeatEnvironment *last; /* NULL, or one whose spill's films will do where hardly anything has changed */
} HeatSeen;

/* What the sources must know of the surfaces as they are now. INSIDE_C: mean of the faces inside the nozzle, degrees C. */
HeatSeen heat_faces_seen (const HeatScene *scene, const HeatFaces *faces, double inside_c);
/* State of the sources at T. */
void heat_environment_at (const HeatScene *scene, const HeatSeen *seen, double t_s, HeatSide side,
                          HeatEnvironment *env);
/* Of a table of the spill, at a place in it. */
double heat_spill_value (const double *table, double at);
/* Puts it into the faces' hl, ht, wc, er, where anything they see has changed. */
void heat_faces_refresh (const HeatScene *scene, const HeatEnvironment *env, HeatFaces *faces);
/* Surface temperatures (one Newton step from those stored), flux and slope for node temperatures T. */
void heat_faces_flux (const HeatScene *scene, const HeatEnvironment *env, HeatFaces *faces,
                      const double *temperature);
/* Carries fluxes along their slopes to node temperatures a little further on. */
void heat_faces_follow (HeatFaces *faces, const double *temperature);
/* Splits the flows of the last heat_faces_flux(). */
HeatFlows heat_faces_flows (const HeatEnvironment *env, const HeatFaces *faces);
/* Area-mean surface temperature inside the nozzle. */
double heat_faces_inside_c (const HeatFaces *faces);
/* Equivalent films at the surface as it is: mean over the area of q / (Ts - Tref). */
double heat_faces_preheat_film (const HeatEnvironment *env, const HeatFaces *faces);
double heat_faces_room_film (const HeatScene *scene, const HeatFaces *faces, HeatFaceKind kind);

#endif
