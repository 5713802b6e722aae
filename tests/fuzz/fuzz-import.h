/* What every board that was read must bear. */
#ifndef FUZZ_IMPORT_H
#define FUZZ_IMPORT_H

#include "board/job-file.h"
#include "exchange/import.h"
#include "fuzz.h"

static inline void
fuzz_check_notes (const LwImport *import)
{
  for (guint i = 0; i < import->warnings->len; i++)
    {
      const LwImportWarning *warning = import->warnings->pdata[i];

      g_assert_true (g_utf8_validate (warning->text, -1, NULL)); /* it is shown */
    }
}

/* Takes IMPORT (transfer full): it can be written as a document, and what is written reads again to the same bytes. */
static inline void
fuzz_take_import (LwImport *import, GError *error)
{
  g_autoptr (LwJob) back = NULL;
  g_autofree char *text = NULL, *again = NULL;
  gsize length, again_length;

  fuzz_check (import != NULL, error);
  if (import != NULL)
    {
      fuzz_check_notes (import);
      text = lw_job_to_data (import->job, &length);
      back = lw_job_from_data ("written", text, length, &error);
      g_assert_no_error (error);
      again = lw_job_to_data (back, &again_length);
      g_assert_cmpmem (text, length, again, again_length);
    }
  g_clear_error (&error);
  lw_import_free (import);
}

#endif
