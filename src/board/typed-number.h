/* Numbers that people type or paste, which come with a point or a comma. */
#ifndef LW_TYPED_NUMBER_H
#define LW_TYPED_NUMBER_H

#include <glib.h>

G_BEGIN_DECLS

/* Reads TEXT, spaces around it allowed. The locale's decimal sign is always one; the other of point and comma is taken for
 * one only where it cannot divide thousands: in a locale with commas "1.6" is 1.6 and "1.600" is refused. With POINT a point
 * is the decimal sign in every locale, as in a table of another program. FALSE when TEXT is no finite number. */
gboolean lw_typed_number (const char *text, gboolean point, double *value);

G_END_DECLS

#endif
