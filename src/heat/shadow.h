/* Thermal shadow: what share of the hemisphere above a point boxes standing on the same plane hide.
 * For upright boxes the hidden share of a level element is (1/2pi) times the integral over azimuth of
 * sin^2 of the horizon's elevation; it is integrated exactly between box corners. */
#ifndef HEAT_SHADOW_H
#define HEAT_SHADOW_H

#include "heat/scene.h"

/* A box standing on the plane: outline as in HeatBody, from the plane up to height_m. */
typedef struct {
  HeatXY center;
  double angle_rad, length_m, width_m, height_m;
  bool round;
} HeatBox;

/* Hidden share (0..1, cosine-weighted) seen from (at, z_m); boxes no higher than z_m, and the one with
 * index SKIP (SIZE_MAX: none), hide nothing. A point inside a taller box's outline sees nothing: 1. */
double heat_sky_hidden (HeatXY at, double z_m, const HeatBox *boxes, size_t n, size_t skip);

/* The boxes but SKIP that may hide anything from (at, z_m) or a point within WITHIN_M of it: the others change nothing
 * in heat_sky_hidden(). NEAR has room for N; how many were written. */
size_t heat_boxes_near (HeatXY at, double within_m, double z_m, const HeatBox *boxes, size_t n, size_t skip,
                        HeatBox *near);

/* Share (0..1) by which boxes shelter a point from a flow that runs along the plane from FROM to AT:
 * the tallest box crossed by the segment, seen over its lee length (eight heights, common practice for
 * windbreaks, from memory), with the point's own height z_m subtracted. */
double heat_flow_sheltered (HeatXY from, HeatXY at, double z_m, const HeatBox *boxes, size_t n, size_t skip);

#endif
