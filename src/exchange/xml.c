#include "exchange/xml.h"

#include <glib/gi18n.h>
#include <libxml/parser.h>
#include <libxml/SAX2.h>
#include <math.h>
#include <string.h>

#include "exchange/notes.h"

#define CHUNK_BYTES 65536

typedef struct {
  const char *name;
  const LwXmlHandler *handler;
  gpointer user_data;
  xmlParserCtxtPtr parser;
  guint depth;
  GError *error;
} Reading;

static guint
line_of (const Reading *self)
{
  int line = xmlSAX2GetLineNumber (self->parser);

  return line > 0 ? (guint)line : 0;
}

/* Keeps the first reason. */
static void
stop (Reading *self, const char *text)
{
  if (self->error == NULL)
    lw_notes_fail (&self->error, LW_IMPORT_ERROR_SYNTAX, self->name, line_of (self), "%s", text);
  xmlStopParser (self->parser);
}

/* ---- the parser's calls ---- */

static void
on_start (void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri,
          int n_namespaces, const xmlChar **namespaces, int n_attributes, int n_defaulted,
          const xmlChar **attributes)
{
  Reading *self = ((xmlParserCtxtPtr)context)->_private;
  LwXmlTag tag = { (const char *)name, line_of (self), attributes, (guint)MAX (n_attributes, 0) };

  if (self->error != NULL)
    return;
  if (++self->depth > LW_XML_MAX_DEPTH) {
    g_autofree char *text
        = g_strdup_printf (_ ("elements are nested more than %d deep"), LW_XML_MAX_DEPTH);

    stop (self, text);
  } else if (!self->handler->start (self->user_data, &tag, &self->error))
    xmlStopParser (self->parser);
}

static void
on_end (void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri)
{
  Reading *self = ((xmlParserCtxtPtr)context)->_private;

  if (self->error != NULL)
    return;
  self->depth--;
  if (!self->handler->end (self->user_data, (const char *)name, &self->error))
    xmlStopParser (self->parser);
}

static void
on_doctype (void *context, const xmlChar *name, const xmlChar *public_id, const xmlChar *system_id)
{
  stop (((xmlParserCtxtPtr)context)->_private,
        _ ("a document type (DOCTYPE) stands here: it could define entities and is not accepted"));
}

/* Reasons a user can do something about, in words of our own. */
static const char *
reason_of (int code)
{
  switch (code) {
  case XML_ERR_DOCUMENT_END:
  case XML_ERR_DOCUMENT_EMPTY:
  case XML_ERR_TAG_NOT_FINISHED:
  case XML_ERR_GT_REQUIRED:
  case XML_ERR_ATTRIBUTE_NOT_FINISHED:
    return _ ("the file ends or breaks off inside an element");
  case XML_ERR_TAG_NAME_MISMATCH:
    return _ ("an end tag does not belong to the element that is open");
  case XML_ERR_UNDECLARED_ENTITY:
  case XML_WAR_UNDECLARED_ENTITY:
    return _ ("an entity that is not defined");
  case XML_ERR_INVALID_CHAR:
  case XML_ERR_INVALID_ENCODING:
  case XML_ERR_UNSUPPORTED_ENCODING:
  case XML_ERR_UNKNOWN_ENCODING:
  case XML_I18N_CONV_FAILED:
    return _ ("bytes that are not text in the encoding the file states");
  case XML_ERR_ATTRIBUTE_REDEFINED:
    return _ ("an attribute is given twice");
  default:
    return NULL;
  }
}

#if LIBXML_VERSION >= 21200
static void
on_error (void *context, const xmlError *problem)
#else
static void
on_error (void *context, xmlErrorPtr problem)
#endif
{
  Reading *self = ((xmlParserCtxtPtr)context)->_private;
  const char *reason = reason_of (problem->code);
  g_autofree char *text = NULL;

  /* Prefixes without a namespace do no harm: names alone count. */
  if (self->error != NULL || problem->domain == XML_FROM_NAMESPACE
      || (problem->level != XML_ERR_FATAL && reason == NULL))
    return;
  if (reason == NULL) {
    g_autofree char *theirs = g_utf8_make_valid (problem->message != NULL ? problem->message : "", -1);

    text = g_strdup_printf (_ ("not well-formed XML: %s"), g_strstrip (theirs));
  }
  stop (self, text != NULL ? text : reason);
}

/* ---- feeding ---- */

static gboolean
feed (Reading *self, GInputStream *stream, LwXmlTick tick, GCancellable *cancellable, GError **error)
{
  g_autofree char *chunk = g_malloc (CHUNK_BYTES);
  goffset total = 0;
  gsize got = 1;

  while (got > 0 && self->error == NULL) {
    if (g_cancellable_set_error_if_cancelled (cancellable, error)
        || !g_input_stream_read_all (stream, chunk, CHUNK_BYTES, &got, cancellable, error)) {
      g_prefix_error (error, "%s: ", self->name);
      return FALSE;
    }
    total += (goffset)got;
    xmlParseChunk (self->parser, chunk, (int)got, got == 0);
    if (self->error == NULL && tick != NULL && !tick (self->user_data, total, error))
      return FALSE;
  }
  if (self->error == NULL && !self->parser->wellFormed)
    stop (self, _ ("not well-formed XML"));
  return self->error == NULL;
}

gboolean
lw_xml_read (GInputStream *stream, const char *name, const LwXmlHandler *handler, LwXmlTick tick,
             gpointer user_data, GCancellable *cancellable, GError **error)
{
  Reading self = { .name = name, .handler = handler, .user_data = user_data };
  xmlSAXHandler calls = { .initialized = XML_SAX2_MAGIC,
                          .startElementNs = on_start,
                          .endElementNs = on_end,
                          .internalSubset = on_doctype,
                          .serror = on_error };
  gboolean ok;

  xmlInitParser ();
  self.parser = xmlCreatePushParserCtxt (&calls, NULL, NULL, 0, NULL);
  self.parser->_private = &self;
  xmlCtxtUseOptions (self.parser, XML_PARSE_NONET);
  ok = feed (&self, stream, tick, cancellable, error);
  if (self.error != NULL)
    g_propagate_error (error, self.error);
  if (self.parser->myDoc != NULL)
    xmlFreeDoc (self.parser->myDoc);
  xmlFreeParserCtxt (self.parser);
  xmlResetLastError ();
  return ok;
}

/* ---- attributes ---- */

/* Five pointers each: name, prefix, namespace, begin and end of the value. */
static const char *
find (const LwXmlTag *tag, const char *attribute, gsize *length)
{
  for (guint i = 0; i < tag->n_attributes; i++) {
    const unsigned char **at = tag->attributes + 5 * (gsize)i;

    if (strcmp ((const char *)at[0], attribute) != 0)
      continue;
    *length = (gsize)(at[4] - at[3]);
    return (const char *)at[3];
  }
  return NULL;
}

char *
lw_xml_text (const LwXmlTag *tag, const char *attribute)
{
  gsize length;
  const char *value = find (tag, attribute, &length);

  return value != NULL ? g_strndup (value, length) : NULL;
}

gboolean
lw_xml_has (const LwXmlTag *tag, const char *attribute)
{
  gsize length;

  return find (tag, attribute, &length) != NULL;
}

gboolean
lw_xml_is (const LwXmlTag *tag, const char *attribute, const char *value)
{
  gsize length;
  const char *have = find (tag, attribute, &length);

  return have != NULL && strlen (value) == length && g_ascii_strncasecmp (have, value, length) == 0;
}

/* No "inf", no hexadecimal, no rubbish behind. */
static gboolean
is_decimal (const char *text)
{
  gboolean digits = FALSE;

  for (const char *p = text; *p != '\0'; p++) {
    digits |= g_ascii_isdigit (*p);
    if (!g_ascii_isdigit (*p) && strchr ("+-.eE", *p) == NULL)
      return FALSE;
  }
  return digits;
}

int
lw_xml_number (const LwXmlTag *tag, const char *attribute, double *value)
{
  gsize length;
  const char *have = find (tag, attribute, &length);
  char text[64], *start, *end;

  if (have == NULL)
    return 0;
  if (length >= sizeof text)
    return -1;
  memcpy (text, have, length);
  text[length] = '\0';
  start = g_strstrip (text);
  if (!is_decimal (start))
    return -1;
  *value = g_ascii_strtod (start, &end);
  return *end == '\0' && isfinite (*value) ? 1 : -1;
}
