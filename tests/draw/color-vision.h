/* Colours as they are seen, and how far apart: CIE 1976 L*a*b*, the differences of 1976 and 2000, and three kinds of colour
 * blindness. */
#ifndef COLOR_VISION_H
#define COLOR_VISION_H

#include <math.h>

#include "draw/draw.h"

typedef struct {
  double l, a, b;
} Lab;

#define N_VISIONS 4 /* usual, without long, without middle, without short wavelengths */

/* IEC 61966-2-1. */
static inline double
vision_linear (double coded)
{
  return coded <= 0.04045 ? coded / 12.92 : pow ((coded + 0.055) / 1.055, 2.4);
}

/* CIE 15:2004, 8.2.1. */
static inline double
vision_curve (double t)
{
  return t > pow (6.0 / 29.0, 3) ? cbrt (t) : t / (3.0 * pow (6.0 / 29.0, 2)) + 4.0 / 29.0;
}

/* sRGB primaries with white D65. */
static inline Lab
vision_lab (const double rgb[3])
{
  double x = (0.4124564 * rgb[0] + 0.3575761 * rgb[1] + 0.1804375 * rgb[2]) / 0.95047;
  double y = 0.2126729 * rgb[0] + 0.7151522 * rgb[1] + 0.0721750 * rgb[2];
  double z = (0.0193339 * rgb[0] + 0.1191920 * rgb[1] + 0.9503041 * rgb[2]) / 1.08883;

  return (Lab){ 116.0 * vision_curve (y) - 16.0, 500.0 * (vision_curve (x) - vision_curve (y)),
                200.0 * (vision_curve (y) - vision_curve (z)) };
}

/* Severity 1.0 matrices of Machado, Oliveira & Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009), 1291, to six places as they are
 * commonly reproduced; they act on linear light. */
static const double vision_matrices[N_VISIONS][3][3] = {
  { { 1, 0, 0 }, { 0, 1, 0 }, { 0, 0, 1 } },
  { { 0.152286, 1.052583, -0.204868 }, { 0.114503, 0.786281, 0.099216 }, { -0.003882, -0.048116, 1.051998 } },
  { { 0.367322, 0.860646, -0.227968 }, { 0.280085, 0.672501, 0.047413 }, { -0.011820, 0.042940, 0.968881 } },
  { { 1.255528, -0.076749, -0.178779 }, { -0.078411, 0.930809, 0.147602 }, { 0.004733, 0.691367, 0.303900 } },
};

static inline Lab
vision_seen (LwColor c, int vision)
{
  double in[3] = { vision_linear (c.r), vision_linear (c.g), vision_linear (c.b) }, out[3];

  for (int i = 0; i < 3; i++) {
    const double *m = vision_matrices[vision][i];

    out[i] = CLAMP (m[0] * in[0] + m[1] * in[1] + m[2] * in[2], 0.0, 1.0);
  }
  return vision_lab (out);
}

static inline double
difference_1976 (Lab p, Lab q)
{
  return sqrt ((p.l - q.l) * (p.l - q.l) + (p.a - q.a) * (p.a - q.a) + (p.b - q.b) * (p.b - q.b));
}

static inline double
vision_hue (double a, double b)
{
  double hue = a == 0 && b == 0 ? 0 : atan2 (b, a) * 180.0 / G_PI;

  return hue < 0 ? hue + 360.0 : hue;
}

static inline double
vision_cos (double degrees)
{
  return cos (degrees * G_PI / 180.0);
}

/* What hue weighs at a mean hue, and what turns blue: the T and R_T of ISO/CIE 11664-6. */
static inline double
vision_hue_weight (double h)
{
  return 1.0 - 0.17 * vision_cos (h - 30.0) + 0.24 * vision_cos (2.0 * h) + 0.32 * vision_cos (3.0 * h + 6.0)
         - 0.20 * vision_cos (4.0 * h - 63.0);
}

static inline double
vision_share_7 (double chroma)
{
  return sqrt (pow (chroma, 7) / (pow (chroma, 7) + pow (25.0, 7)));
}

/* ISO/CIE 11664-6:2014 (CIEDE2000), all factors 1. */
static inline double
difference_2000 (Lab p, Lab q)
{
  double g = 0.5 * (1.0 - vision_share_7 (0.5 * (hypot (p.a, p.b) + hypot (q.a, q.b))));
  double pa = (1.0 + g) * p.a, qa = (1.0 + g) * q.a;
  double pc = hypot (pa, p.b), qc = hypot (qa, q.b), ph = vision_hue (pa, p.b), qh = vision_hue (qa, q.b);
  double turn = pc * qc == 0 ? 0 : qh - ph, l = 0.5 * (p.l + q.l) - 50.0, c = 0.5 * (pc + qc);
  double h = pc * qc == 0 ? ph + qh : fabs (turn) <= 180 ? 0.5 * (ph + qh) : 0.5 * (ph + qh + (ph + qh < 360 ? 360 : -360));
  double dh, sl, sc, sh, rt;

  turn += turn > 180 ? -360 : turn < -180 ? 360 : 0;
  dh = 2.0 * sqrt (pc * qc) * sin (0.5 * turn * G_PI / 180.0);
  sl = (q.l - p.l) / (1.0 + 0.015 * l * l / sqrt (20.0 + l * l));
  sc = (qc - pc) / (1.0 + 0.045 * c);
  sh = dh / (1.0 + 0.015 * c * vision_hue_weight (h));
  rt = -2.0 * vision_share_7 (c) * sin (60.0 * exp (-pow ((h - 275.0) / 25.0, 2)) * G_PI / 180.0);
  return sqrt (sl * sl + sc * sc + sh * sh + rt * sc * sh);
}

#endif
