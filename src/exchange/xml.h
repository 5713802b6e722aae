/* Large XML files, element by element, as they are read. Only elements and attributes count; a document
 * type, and with it every entity a file could define, is refused. Internal to the room. */
#ifndef LW_XML_H
#define LW_XML_H

#include "exchange/import.h"

G_BEGIN_DECLS

/* Honest files stay far below; the library's own limits (10 MB for one name, value or text) hold beside.
 */
#define LW_XML_MAX_DEPTH 100

typedef struct {
  const char *name; /* without its prefix */
  guint line;
  /* private */
  const unsigned char **attributes;
  guint n_attributes;
} LwXmlTag;

typedef struct {
  /* FALSE with ERROR ends the reading. */
  gboolean (*start) (gpointer user_data, const LwXmlTag *tag, GError **error);
  gboolean (*end) (gpointer user_data, const char *name, GError **error);
} LwXmlHandler;

/* Called now and then with the bytes read so far. FALSE with ERROR ends the reading. */
typedef gboolean (*LwXmlTick) (gpointer user_data, goffset bytes, GError **error);

/* Reads STREAM to its end. NAME is the file's; errors are "NAME:LINE: reason". TICK may be NULL. */
gboolean lw_xml_read (GInputStream *stream, const char *name, const LwXmlHandler *handler,
                      LwXmlTick tick, gpointer user_data, GCancellable *cancellable, GError **error);

/* An attribute as text (transfer full), NULL when the tag has none of that name. */
char *lw_xml_text (const LwXmlTag *tag, const char *attribute);
gboolean lw_xml_has (const LwXmlTag *tag, const char *attribute);
/* TRUE when the attribute is there and equals VALUE, whatever the case. */
gboolean lw_xml_is (const LwXmlTag *tag, const char *attribute, const char *value);
/* An attribute as a finite decimal number: 1 it is, 0 it is not there, -1 it is something else. */
int lw_xml_number (const LwXmlTag *tag, const char *attribute, double *value);

G_END_DECLS

#endif
