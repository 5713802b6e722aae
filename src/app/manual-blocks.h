/* A block of the manual as a widget. */
#ifndef LW_MANUAL_BLOCKS_H
#define LW_MANUAL_BLOCKS_H

#include <gtk/gtk.h>

#include "app/manual.h"

G_BEGIN_DECLS

/* WORDS (NULL or a vector) are marked; FOLDER is where pictures are looked for; a link that is activated is handed
 * to LINK with USER. */
GtkWidget *lw_manual_block_widget (const LwManualBlock *block, const char *folder, char **words,
                                   gboolean (*link) (GtkLabel *label, const char *target, gpointer user), gpointer user);

G_END_DECLS

#endif
