/* A fit on paper: its figures and what is left unexplained. A failure is reported and changes nothing. */
#ifndef LW_FIT_PRINT_H
#define LW_FIT_PRINT_H

#include <gtk/gtk.h>

#include "plan/fit-suggest.h"

G_BEGIN_DECLS

/* PATH is for GTK_PRINT_OPERATION_ACTION_EXPORT, else NULL. FIT and SUGGESTIONS (may be NULL) are read before it returns. */
void lw_fit_print (GtkWindow *parent, const LwFitAnswer *fit, const LwSuggestions *suggestions, GtkPrintOperationAction action,
                   const char *path);

G_END_DECLS

#endif
