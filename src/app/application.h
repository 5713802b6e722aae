/* The application: windows, command line, and what belongs to none of the windows. */
#ifndef LW_APPLICATION_H
#define LW_APPLICATION_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_APPLICATION (lw_application_get_type ())
G_DECLARE_FINAL_TYPE (LwApplication, lw_application, LW, APPLICATION, GtkApplication)

/* The one of this process (transfer full). */
LwApplication *lw_application_new (void);

/* Every accelerator of the program: detailed action and its keys. Ends with a NULL action. */
typedef struct {
  const char *action;
  const char *keys[3];
} LwAccel;
extern const LwAccel lw_accels[];

G_END_DECLS

#endif
