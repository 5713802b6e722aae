/* What a package's name says about it. Trade names such as "TQFP-144_20x20mm_P0.5mm" state family, pins and pitch, and
 * those of the land-pattern standard (board/land-name.h) nearly all; a reference designator's
 * letters state the class of the part (ASME Y14.44, formerly IEEE 315). Only hints that leave no choice
 * are taken. */
#ifndef LW_PACKAGE_WORDS_H
#define LW_PACKAGE_WORDS_H

#include "board/sheet.h"

G_BEGIN_DECLS

typedef struct {
  LwPackageKind kind;
  const char *from;      /* translated: what the kind was read from, NULL = nothing said so */
  LwJointPattern family; /* how the family's joints lie, NONE = not known */
  gboolean leads;        /* gull wings: joints lie outside the body */
  guint pins;            /* 0 = not said */
  guint columns, rows;   /* of a grid, 0 = not said */
  double pitch_mm;       /* 0 = not said, as below */
  double body_x_mm, body_y_mm;
  double lead_span_x_mm, lead_span_y_mm; /* over the leads' tips */
  double ball_mm;
  double pad_length_mm, pad_width_mm;    /* thermal pad */
  double chip_length_mm, chip_width_mm;  /* of a two-terminal chip's size code */
  gboolean standard;                     /* a name of the land-pattern standard: SHEET says the rest */
  LwDatasheet sheet;
} LwPackageWords;

/* NUMBER is a part number or value ("" = none), REF a reference designator. */
LwPackageWords lw_package_words_read (const char *name, const char *number, const char *ref);

/* Gives PACKAGE, whose body box is set, the kind and, when name and body agree, the joints. */
void lw_package_words_apply (const LwPackageWords *words, LwPackage *package);

/* Height of an area array's collapsed ball from the diameter of its land. */
double lw_collapsed_ball_mm (double land_mm);

G_END_DECLS

#endif
