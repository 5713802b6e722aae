/* What the clipboard brings: parts of our own, or a table. */
#include <string.h>

#include "board/job-file.h"
#include "board/part-text.h"
#include "fuzz.h"

static void
read_parts (const char *text)
{
  g_autoptr (GPtrArray) parts = NULL, packages = NULL;
  g_autoptr (GError) error = NULL;
  gboolean read = lw_parts_from_text (text, &parts, &packages, &error);

  fuzz_check (read, error);
}

/* Tables come to a board. */
static const char board[] = "{\"leeward_format\": 1, \"board\": {\"thickness_mm\": 1.6, \"outline\": [{\"corners\": [{\"x_mm\": 0, \"y_mm\": 0}, "
                            "{\"x_mm\": 50, \"y_mm\": 0}, {\"x_mm\": 50, \"y_mm\": 40}]}]}, "
                            "\"parts\": [{\"ref\": \"C1\", \"package\": \"0402\"}]}";

static void
read_table (const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) bare = lw_job_from_data ("board", board, sizeof board - 1, &error), job = NULL, back = NULL;
  g_autoptr (GArray) touched = NULL;
  g_autofree char *written = NULL;
  gsize length;

  g_assert_no_error (error);
  job = lw_edit_paste_table (bare, text, &touched, &error);
  g_assert_true ((job != NULL) == (error == NULL));
  if (job == NULL)
    return;
  g_assert_cmpuint (touched->len, <=, job->parts->len);
  written = lw_job_to_data (job, &length);
  back = lw_job_from_data ("written", written, length, &error);
  g_assert_no_error (error);
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autofree char *text = g_strndup ((const char *) data, size); /* the clipboard gives valid text without NULs */

  if (!g_utf8_validate (text, -1, NULL))
    return 0;
  if (lw_parts_text_is_ours (text))
    read_parts (text);
  else
    read_table (text);
  return 0;
}
