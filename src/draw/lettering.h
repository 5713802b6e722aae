/* Text on a cairo context: sizes in picture units, placed by an anchor, with a halo when it crosses lines. */
#ifndef LW_LETTERING_H
#define LW_LETTERING_H

#include "draw/draw.h"

G_BEGIN_DECLS

#define LW_LETTER_MIN 8.5 /* smallest legible size, picture units */

typedef struct {
  cairo_t *cr;
  double size;
  gboolean bold;
} LwLettering;

/* For CR, which is borrowed until the end; regular letters of 10 units. */
void lw_letter_begin (LwLettering *self, cairo_t *cr);
void lw_letter_end (LwLettering *self);
/* Letters of SIZE picture units from now on. */
void lw_letter_face (LwLettering *self, double size, gboolean bold);
/* Room that TEXT takes up in one line, picture units. */
void lw_letter_measure (LwLettering *self, const char *text, double *width, double *height);
/* As much of TEXT as ROOM holds, with an ellipsis where it is cut; nothing when not even three letters
 * fit. */
char *lw_letter_cut (LwLettering *self, const char *text, double room);
/* (x, y) is the point of the text's box at shares (ax, ay) of its width and height; turned by TURN_RAD
 * about that point. HALO with a = 0 draws none. */
void lw_letter_draw (LwLettering *self, const char *text, double x, double y, double ax, double ay,
                   double turn_rad, LwColor color, LwColor halo);
/* The same in the middle, on a soft plate of the ground's colour: cheaper than a halo, and it cuts lines
 * cleanly. */
void lw_letter_draw_plate (LwLettering *self, const char *text, double x, double y, double turn_rad,
                           LwColor color, LwColor plate);

G_END_DECLS

#endif
