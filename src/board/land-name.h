/* Names of the land-pattern naming standard (IPC-7351B for surface mount, IPC-7251 for pins through the board):
 * "BGA289C80P17X17_1500X1500X140" says body, height, pitch and count. Sizes stand in hundredths of a millimetre, those
 * of two-ended chips in tenths, length and width in one run ("CAPC1608X90"). */
#ifndef LW_LAND_NAME_H
#define LW_LAND_NAME_H

#include "board/sheet.h"

G_BEGIN_DECLS

/* FALSE when NAME is no such name or contradicts itself; SHEET is then of no use. A library's or a maker's name
 * before it ("house:QFN...", "TI-QFN...") is passed over. */
gboolean lw_land_name_read (const char *name, LwDatasheet *sheet);
/* The package NAME describes, under that name, or NULL (transfer full). */
LwPackage *lw_land_name_package (const char *name);

G_END_DECLS

#endif
