/* The bench sheet of a window's plan. A failure is reported and changes nothing. */
#ifndef LW_WINDOW_PRINT_H
#define LW_WINDOW_PRINT_H

#include "app/window.h"

G_BEGIN_DECLS

/* PATH is for GTK_PRINT_OPERATION_ACTION_EXPORT, else NULL. Returns at once where the platform can print so. */
void lw_window_print (LwWindow *self, GtkPrintOperationAction action, const char *path);

typedef enum { LW_SHEET_FILE_PDF, LW_SHEET_FILE_STAGES, LW_SHEET_FILE_FIELD } LwSheetFile;

/* The file is replaced whole or not at all. */
gboolean lw_window_write_sheet (LwWindow *self, LwSheetFile what, const char *path, GError **error);
/* Asks where to. */
void lw_window_choose_sheet (LwWindow *self, LwSheetFile what);

G_END_DECLS

#endif
