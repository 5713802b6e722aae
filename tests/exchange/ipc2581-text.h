/* IPC-2581 texts for tests. */
#ifndef IPC2581_TEXT_H
#define IPC2581_TEXT_H

#include <string.h>

#include "board/job-file.h"
#include "exchange/ipc2581.h"

#define IPC_HEAD "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<IPC-2581 revision=\"C\" xmlns=\"http://webstds.ipc.org/2581\">\n"
#define IPC_CONTENT(step, more) \
  "<Content roleRef=\"o\"><FunctionMode mode=\"ASSEMBLY\"/><StepRef name=\"" step "\"/>" more "</Content>\n"
#define IPC_LAYERS                                                                   \
  "<Layer name=\"T\" layerFunction=\"CONDUCTOR\" side=\"TOP\" polarity=\"POSITIVE\"/>\n" \
  "<Layer name=\"D\" layerFunction=\"DIELCORE\" side=\"INTERNAL\"/>\n"                 \
  "<Layer name=\"I\" layerFunction=\"PLANE\" side=\"INTERNAL\"/>\n"                    \
  "<Layer name=\"B\" layerFunction=\"SIGNAL\" side=\"BOTTOM\"/>\n"
#define IPC_ECAD(unit, data) "<Ecad name=\"e\"><CadHeader units=\"" unit "\"/><CadData>\n" IPC_LAYERS data "</CadData></Ecad>\n"
/* 50 x 40, lower left corner at 0, 0. */
#define IPC_EDGE                                                                                             \
  "<Profile><Polygon><PolyBegin x=\"0\" y=\"0\"/><PolyStepSegment x=\"50\" y=\"0\"/>"                          \
  "<PolyStepSegment x=\"50\" y=\"40\"/><PolyStepSegment x=\"0\" y=\"40\"/><PolyStepSegment x=\"0\" y=\"0\"/>" \
  "</Polygon></Profile>\n"
#define IPC_BOX(w, h)                                                                                           \
  "<Outline><Polygon><PolyBegin x=\"-" w "\" y=\"-" h "\"/><PolyStepSegment x=\"" w "\" y=\"-" h "\"/>"             \
  "<PolyStepSegment x=\"" w "\" y=\"" h "\"/><PolyStepSegment x=\"-" w "\" y=\"" h "\"/></Polygon></Outline>"
#define IPC_STEP(name, inside) "<Step name=\"" name "\">" inside "</Step>\n"
#define IPC_TAIL "</IPC-2581>\n"
#define IPC_BOARD(step) IPC_HEAD IPC_CONTENT ("s", "") IPC_ECAD ("MILLIMETER", IPC_STEP ("s", step)) IPC_TAIL

static inline LwImport *
ipc_read (const char *text, GError **error)
{
  return lw_import_ipc2581 ("b.xml", text, strlen (text), error);
}

static inline LwImport *
ipc_good (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = ipc_read (text, &error);

  g_assert_no_error (error);
  g_assert_nonnull (import);
  return import;
}

static inline gboolean
ipc_warns (const LwImport *import, const char *text)
{
  for (guint i = 0; i < import->warnings->len; i++)
    if (strstr (((const LwImportWarning *) import->warnings->pdata[i])->text, text) != NULL)
      return TRUE;
  return FALSE;
}

static inline const LwPart *
ipc_part (const LwImport *import, const char *ref)
{
  int i = lw_job_find_part (import->job, ref);

  g_assert_cmpint (i, >=, 0);
  return import->job->parts->pdata[i];
}

#endif
