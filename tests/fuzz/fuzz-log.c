/* Temperature logs: the guess, the preview, the reading, and the run that a plan gets of it. */
#include <math.h>

#include "exchange/log.h"
#include "fuzz.h"

static void
check_log (const LwLog *log)
{
  double last = -1;

  g_assert_cmpuint (log->t_s->len, >, 0);
  for (guint i = 0; i < log->t_s->len; i++)
    {
      double t = g_array_index (log->t_s, double, i);

      g_assert_true (isfinite (t) && t >= last); /* rising */
      last = t;
    }
  for (guint i = 0; i < log->columns->len; i++)
    {
      const LwLogColumn *column = log->columns->pdata[i];

      g_assert_cmpuint (column->c->len, ==, log->t_s->len);
      g_assert_true (g_utf8_validate (column->name, -1, NULL));
    }
  for (guint i = 0; i < log->dropped->len; i++)
    g_assert_true (g_utf8_validate (((LwImportWarning *) log->dropped->pdata[i])->text, -1, NULL));
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  const char *text = (const char *) data;
  LwLogMapping mapping;
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) rows = NULL;
  g_autoptr (LwLog) log = NULL;

  if (!lw_log_guess ("a.csv", text, size, &mapping, &error))
    {
      fuzz_check (FALSE, error);
      return 0;
    }
  rows = lw_log_rows ("a.csv", text, size, mapping.delimiter, 30, &error);
  g_assert_nonnull (rows);
  if (mapping.open & LW_LOG_OPEN_TIME)
    mapping.interval_s = 1;
  log = lw_log_read ("a.csv", text, size, &mapping, &error);
  fuzz_check (log != NULL, error);
  if (log != NULL)
    {
      g_autoptr (LwPlan) plan = lw_plan_new ();
      g_autoptr (LwRun) run = lw_log_to_run (log, plan, NULL);

      check_log (log);
      g_assert_nonnull (run);
    }
  return 0;
}
