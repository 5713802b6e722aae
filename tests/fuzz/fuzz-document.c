/* Documents. */
#include "board/job-file.h"
#include "fuzz.h"

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (LwJob) job = lw_job_from_data ("job", (const char *) data, size, &error);
  gsize length, again_length;

  fuzz_check (job != NULL, error);
  if (job == NULL)
    return 0;
  g_autofree char *text = lw_job_to_data (job, &length);
  g_autoptr (LwJob) back = lw_job_from_data ("written", text, length, &error);
  g_assert_no_error (error);
  g_autofree char *again = lw_job_to_data (back, &again_length);
  g_assert_cmpmem (text, length, again, again_length);
  return 0;
}
