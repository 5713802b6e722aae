/* IDF texts for tests. */
#ifndef IDF_TEXT_H
#define IDF_TEXT_H

#include <string.h>

#include "exchange/import.h"

#define HEAD3(unit) ".HEADER\nBOARD_FILE 3.0 \"tests\" 2026/01/02.03:04:05 1\n\"a board\" " unit "\n.END_HEADER\n"
#define HEAD2(unit) ".HEADER\nBOARD_FILE 2.0 \"tests\" 2026/01/02.03:04:05 1\n\"a board\" " unit "\n.END_HEADER\n"
#define LIBRARY(body) ".HEADER\nLIBRARY_FILE 3.0 \"tests\" 2026/01/02 1\n.END_HEADER\n" body

/* 50 x 40 mm, lower left corner at 0, 0. */
#define EDGE                                                                                                        \
  ".BOARD_OUTLINE ECAD\n1.6\n0 0 0 0\n0 50 0 0\n0 50 40 0\n0 0 40 0\n0 0 0 0\n.END_BOARD_OUTLINE\n"
#define PLACE(parts) ".PLACEMENT\n" parts ".END_PLACEMENT\n"
/* 4 x 2 mm, one corner at the placement point, 1.5 mm tall. */
#define ENTRY(name, number) \
  ".ELECTRICAL\n" name " " number " MM 1.5\n0 0 0 0\n0 4 0 0\n0 4 2 0\n0 0 2 0\n0 0 0 0\n.END_ELECTRICAL\n"

static inline LwImport *
read_pair (const char *board, const char *library, GError **error)
{
  return lw_import_idf ("b.emn", board, strlen (board), "b.emp", library, library != NULL ? strlen (library) : 0, error);
}

/* The pair must be read. */
static inline LwImport *
read_good (const char *board, const char *library)
{
  g_autoptr (GError) error = NULL;
  LwImport *import = read_pair (board, library, &error);

  g_assert_no_error (error);
  g_assert_nonnull (import);
  return import;
}

/* Whether a warning at LINE (0 = any) holds TEXT. */
static inline gboolean
warns (const LwImport *import, guint line, const char *text)
{
  for (guint i = 0; i < import->warnings->len; i++)
    {
      const LwImportWarning *warning = import->warnings->pdata[i];

      if ((line == 0 || warning->line == line) && strstr (warning->text, text) != NULL)
        return TRUE;
    }
  return FALSE;
}

static inline const LwPart *
part_at (const LwImport *import, guint i)
{
  return import->job->parts->pdata[i];
}

#endif
