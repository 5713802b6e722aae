/* What is remembered between starts. Works without an installed schema: then nothing is remembered, and
 * every key has the value given as FALLBACK until it is set. */
#ifndef LW_SETTINGS_H
#define LW_SETTINGS_H

#include <gio/gio.h>

#include "plan/findings.h"

G_BEGIN_DECLS

#define LW_APP_ID "org.leeward.Leeward"

/* NULL when the schema is not there. (transfer none) */
GSettings *lw_settings (void);

/* From which chances on findings stop a job or are to be watched. */
LwChances lw_settings_chances (void);

/* KEY as in the schema, of the type that is asked for. */
int lw_settings_int (const char *key, int fallback);
gboolean lw_settings_flag (const char *key, gboolean fallback);
char *lw_settings_text (const char *key, const char *fallback); /* transfer full */
char **lw_settings_list (const char *key); /* transfer full; never NULL */
/* Remembered at once; values are copied. */
void lw_settings_set_int (const char *key, int value);
void lw_settings_set_flag (const char *key, gboolean value);
void lw_settings_set_text (const char *key, const char *value);
void lw_settings_set_list (const char *key, const char *const *values);

G_END_DECLS

#endif
