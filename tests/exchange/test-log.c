/* Temperature logs. No standard lays them down; the dialects are those of files as loggers write them, and each text
 * says what it stands for. Voltages of type K are those of NIST Monograph 175, table for type K (ITS-90), as IEC 60584-1
 * prints them too. */
#include <locale.h>
#include <math.h>
#include <string.h>

#include "exchange/log.h"
#include "exchange/type-k.h"

/* ---- type K ---- */

/* NIST Monograph 175, reference table of type K: C and mV as printed, to a microvolt. */
static const struct {
  double c, mv;
} nist[] = { { -270, -6.458 }, { -200, -5.891 }, { -100, -3.554 }, { -50, -1.889 }, { 0, 0.000 },   { 25, 1.000 },
             { 50, 2.023 },    { 100, 4.096 },   { 150, 6.138 },   { 200, 8.138 },  { 250, 10.153 }, { 300, 12.209 },
             { 400, 16.397 },  { 500, 20.644 },  { 1000, 41.276 }, { 1372, 54.886 } };

static void
test_type_k_mv (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (nist); i++)
    g_assert_cmpfloat_with_epsilon (lw_type_k_mv (nist[i].c), nist[i].mv, 0.00051);
  g_assert_true (isnan (lw_type_k_mv (1373)));
  g_assert_true (isnan (lw_type_k_mv (-271)));
}

/* Half a microvolt of the table is 0.02 C at -200 C and less above. */
static void
test_type_k_c (void)
{
  for (guint i = 1; i < G_N_ELEMENTS (nist); i++)
    if (nist[i].c < 1372)
      g_assert_cmpfloat_with_epsilon (lw_type_k_c (nist[i].mv), nist[i].c, nist[i].c < -150 ? 0.05 : 0.025);
  g_assert_true (isnan (lw_type_k_c (55)));
  g_assert_true (isnan (lw_type_k_c (-6)));
}

/* The approximate inverse functions of the same publication (0 to 500 C: within -0.05 and 0.04 C; 500 to 1372 C:
 * within -0.05 and 0.06 C), which share nothing with the program. */
static void
test_type_k_inverse (void)
{
  static const double low[] = { 0, 2.508355e1, 7.860106e-2, -2.503131e-1, 8.315270e-2, -1.228034e-2, 9.804036e-4, -4.413030e-5, 1.057734e-6, -1.052755e-8 };
  static const double high[] = { -1.318058e2, 4.830222e1, -1.646031, 5.464731e-2, -9.650715e-4, 8.802193e-6, -3.110810e-8 };

  for (double mv = 0.05; mv < 54.8; mv += 0.05)
    {
      const double *d = mv < 20.644 ? low : high;
      int n = mv < 20.644 ? G_N_ELEMENTS (low) : G_N_ELEMENTS (high);
      double c = 0;

      while (n-- > 0)
        c = c * mv + d[n];
      g_assert_cmpfloat_with_epsilon (lw_type_k_c (mv), c, 0.061);
    }
}

/* 100 C against a cold junction at 25 C: 4.096 - 1.000 mV. */
static void
test_cold_junction (void)
{
  g_assert_cmpfloat_with_epsilon (lw_type_k_with_cold_c (3.096, 25), 100, 0.03);
}

/* ---- reading ---- */

static LwLogMapping
guess (const char *text)
{
  g_autoptr (GError) error = NULL;
  LwLogMapping m;

  lw_log_guess ("t.csv", text, strlen (text), &m, &error);
  g_assert_no_error (error);
  return m;
}

static LwLog *
read_by (const char *text, gsize size, const LwLogMapping *m)
{
  g_autoptr (GError) error = NULL;
  LwLog *log = lw_log_read ("t.csv", text, size, m, &error);

  g_assert_no_error (error);
  g_assert_nonnull (log);
  return log;
}

static LwLog *
read_text (const char *text)
{
  LwLogMapping m = guess (text);

  return read_by (text, strlen (text), &m);
}

static double
t_at (const LwLog *log, guint i)
{
  g_assert_cmpuint (i, <, log->t_s->len);
  return g_array_index (log->t_s, double, i);
}

static const LwLogColumn *
column_at (const LwLog *log, guint k)
{
  g_assert_cmpuint (k, <, log->columns->len);
  return log->columns->pdata[k];
}

static double
c_at (const LwLog *log, guint k, guint i)
{
  g_assert_cmpuint (i, <, column_at (log, k)->c->len);
  return g_array_index (column_at (log, k)->c, double, i);
}

static gboolean
tells (const LwLog *log, guint line, const char *text)
{
  for (guint i = 0; i < log->dropped->len; i++)
    {
      const LwImportWarning *note = log->dropped->pdata[i];

      if (note->line == line && strstr (note->text, text) != NULL)
        return TRUE;
    }
  return FALSE;
}

/* Every row: what a logger writes, and what must come of its second line of readings. All hold two thermocouples. */
static const struct {
  const char *what, *text;
  double t1_s, a1_c, b1_c;
} dialects[] = {
  { "commas", "Time (s),T1 (°C),T2 (°C)\n0,25.0,24.5\n0.5,26.0,25.5\n1,27,26\n", 0.5, 26, 25.5 },
  { "semicolons and decimal commas, CR LF", "Zeit [s];T1 [°C];T2 [°C]\r\n0;25,0;24,5\r\n0,5;26,0;25,5\r\n1;27;26\r\n", 0.5, 26, 25.5 },
  { "tabs, no heading", "0\t25.0\t24.5\n0.5\t26.0\t25.5\n1\t27\t26\n1.5\t28\t27\n", 0.5, 26, 25.5 },
  { "tabs, decimal commas", "t/s\tT1\tT2\n0\t25,0\t24,5\n0,5\t26,0\t25,5\n1\t27,0\t26,0\n", 0.5, 26, 25.5 },
  { "bars", "time s|T1|T2\n0|25.0|24.5\n0.5|26.0|25.5\n1|27|26\n", 0.5, 26, 25.5 },
  { "blanks in columns", "  0.0   25.0   24.5\n  0.5   26.0   25.5\n  1.0   27.0   26.0\n", 0.5, 26, 25.5 },
  { "old Macintosh line ends", "Time (s),T1,T2\r0,25.0,24.5\r0.5,26.0,25.5\r1,27,26\r", 0.5, 26, 25.5 },
  { "quoted decimal commas", "\"Time (s)\",\"T1\",\"T2\"\n\"0\",\"25,0\",\"24,5\"\n\"0,5\",\"26,0\",\"25,5\"\n\"1\",\"27,0\",\"26,0\"\n", 0.5, 26, 25.5 },
  { "a preamble and a row of units",
    "Logger 8 channels\nSerial: 1234\nStart: 2026-03-01\n\nElapsed,Ch 1,Ch 2\nmin,°C,°C\n0,25.0,24.5\n0.5,26.0,25.5\n1,27,26\n", 30, 26, 25.5 },
  { "milliseconds", "Time (ms),T1,T2\n0,25,24\n500,26,25.5\n1000,27,26\n", 0.5, 26, 25.5 },
  { "clock", "Time,T1,T2\n10:00:00,25,24\n10:00:02,26,25.5\n10:00:04,27,26\n", 2, 26, 25.5 },
  { "clock with fractions", "Time,T1,T2\n10:00:00.250,25,24\n10:00:00.750,26,25.5\n10:00:01.250,27,26\n", 0.5, 26, 25.5 },
  { "clock in twelve hours past noon", "Time,T1,T2\n11:59:59 AM,25,24\n12:00:01 PM,26,25.5\n12:00:03 PM,27,26\n", 2, 26, 25.5 },
  { "clock past midnight", "Time;T1;T2\n23:59:59;25;24\n00:00:01;26;25,5\n00:00:03;27;26\n", 2, 26, 25.5 },
  { "elapsed minutes and seconds", "Time mm:ss,T1,T2\n00:00,25,24\n00:02,26,25.5\n00:04,27,26\n", 2, 26, 25.5 },
  { "date and time in one column", "Timestamp,T1,T2\n2026-03-01 10:00:00,25,24\n2026-03-01 10:00:02,26,25.5\n2026-03-01 10:00:04,27,26\n", 2, 26, 25.5 },
  { "ISO 8601 with a zone", "time,T1,T2\n2026-03-01T23:59:59+01:00,25,24\n2026-03-02T00:00:01+01:00,26,25.5\n2026-03-02T00:00:03+01:00,27,26\n", 2, 26, 25.5 },
  { "date and clock apart, past midnight", "Date;Time;T1;T2\n31.12.2025;23:59:59;25;24\n01.01.2026;00:00:01;26;25,5\n01.01.2026;00:00:03;27;26\n", 2, 26, 25.5 },
  { "month first", "Date,Time,T1,T2\n12/31/2025,23:59:59,25,24\n01/01/2026,00:00:01,26,25.5\n01/01/2026,00:00:03,27,26\n", 2, 26, 25.5 },
  { "numbered lines beside the clock", "No.,Time,T1,T2\n1,10:00:00,25,24\n2,10:00:02,26,25.5\n3,10:00:04,27,26\n", 2, 26, 25.5 },
  { "seconds since 1970", "timestamp,T1,T2\n1772359200,25,24\n1772359202,26,25.5\n1772359204,27,26\n", 2, 26, 25.5 },
  { "Fahrenheit", "Time (s),T1 (°F),T2 (°F)\n0,77,75.2\n2,78.8,77.9\n4,80.6,78.8\n", 2, 26, 25.5 },
  { "kelvin", "Time (s),T1 (K),T2 (K)\n0,298.15,297.15\n2,299.15,298.65\n4,300.15,299.15\n", 2, 26, 25.5 },
  { "units behind the numbers", "Time (s),T1,T2\n0,25.0 C,24.0 C\n2,26.0 C,25.5 C\n4,27.0 C,26.0 C\n", 2, 26, 25.5 },
  { "a column of units for each", "Time,T1,Unit,T2,Unit\n00:00:00,77,F,75.2,F\n00:00:02,78.8,F,77.9,F\n00:00:04,80.6,F,78.8,F\n", 2, 26, 25.5 },
  /* 1.041 mV is 26.0 C, 1.020 mV 25.5 C at a cold junction of 0 C (NIST table: 25 C 1.000, 26 C 1.041 mV). */
  { "millivolts and a column of cold junctions", "Time (s),T1 (mV),T2 (mV),CJC\n0,1.000,0.960,0\n2,1.041,1.0205,0\n4,1.081,1.041,0\n", 2, 26, 25.5 },
  { "Latin-1 degree sign", "Time (s),T1 (\xb0" "C),T2 (\xb0" "C)\n0,25,24\n2,26,25.5\n4,27,26\n", 2, 26, 25.5 },
  { "UTF-8 with a mark", "\xef\xbb\xbfTime (s),T1,T2\n0,25,24\n2,26,25.5\n4,27,26\n", 2, 26, 25.5 },
  { "set points beside", "Time (s),T1,T2,Set point\n0,25,24,150\n2,26,25.5,150\n4,27,26,150\n", 2, 26, 25.5 },
};

static void
test_dialects (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (dialects); i++)
    {
      g_test_message ("%s", dialects[i].what);
      g_autoptr (LwLog) log = read_text (dialects[i].text);

      g_assert_cmpuint (log->columns->len, ==, 2);
      g_assert_cmpuint (log->n_lines, >=, 3);
      g_assert_cmpfloat (t_at (log, 0), ==, 0);
      g_assert_cmpfloat_with_epsilon (t_at (log, 1), dialects[i].t1_s, 1e-9);
      g_assert_cmpfloat_with_epsilon (c_at (log, 0, 1), dialects[i].a1_c, 0.021);
      g_assert_cmpfloat_with_epsilon (c_at (log, 1, 1), dialects[i].b1_c, 0.021);
    }
}

static void
test_utf16 (void)
{
  const char *text = dialects[1].text;

  for (guint i = 0; i < 2; i++)
    {
      gsize size;
      g_autofree char *wide = g_convert (text, -1, i == 0 ? "UTF-16LE" : "UTF-16BE", "UTF-8", NULL, &size, NULL);
      LwLogMapping m;

      g_assert_true (lw_log_guess ("t.csv", wide, size, &m, NULL));
      g_autoptr (LwLog) log = read_by (wide, size, &m);
      g_assert_cmpfloat (c_at (log, 0, 1), ==, 26);
    }
}

/* The first word of a date is kept. */
static void
test_date (void)
{
  g_autoptr (LwLog) one = read_text (dialects[15].text);
  g_autoptr (LwLog) two = read_text (dialects[17].text);
  g_autoptr (LwLog) unix_time = read_text ("timestamp,T1\n1772359200,25\n1772359202,26\n1772359204,27\n");

  g_assert_cmpstr (one->date, ==, "2026-03-01T10:00:00");
  g_assert_cmpstr (two->date, ==, "2025-12-31T23:59:59");
  g_assert_cmpstr (unix_time->date, ==, "2026-03-01T10:00:00"); /* date -u -d @1772359200 */
}

/* Two columns as written for nothing connected: the gap, and that it is told. */
static void
test_open (void)
{
  static const char *const codes[] = { "OPEN", "Open", "NaN", "---", "9999", "9999.9", "-9999", "1372", "1372.0", "1370.5", "32767", "3276.7",
                                       "ERR", "OL", "N/A", "#N/A", "****", "Burnout", "", "-270", "1e38", "inf" };

  for (guint i = 0; i < G_N_ELEMENTS (codes); i++)
    {
      g_autofree char *text = g_strdup_printf ("Time (s),T1,T2\n0,25,24\n1,26,%s\n2,27,26\n3,28,27\n", codes[i]);
      g_autoptr (LwLog) log = read_text (text);

      g_assert_cmpuint (log->columns->len, ==, 2);
      g_assert_cmpuint (log->t_s->len, ==, 4);
      g_assert_true (isnan (c_at (log, 1, 1)));
      g_assert_cmpfloat (c_at (log, 0, 1), ==, 26);
      g_assert_cmpuint (column_at (log, 1)->n_open + column_at (log, 1)->n_empty, ==, 1);
      g_assert_true (tells (log, 0, "T2: 1 of 4 readings left out"));
    }
}

/* A column that is open from end to end is there, and empty. */
static void
test_all_open (void)
{
  g_autoptr (LwLog) log = read_text ("Time (s),T1,T2\n0,25,OPEN\n1,26,OPEN\n2,27,OPEN\n");

  g_assert_cmpuint (log->columns->len, ==, 2);
  g_assert_cmpuint (column_at (log, 1)->n_open, ==, 3);
  g_assert_true (isnan (c_at (log, 1, 2)));
}

static void
test_dropped (void)
{
  setlocale (LC_NUMERIC, "C"); /* as the words below have their figures */
  g_autoptr (LwLog) log = read_text ("Time (s),T1,T2\n0,25,24\n1,26,25\nTime (s),T1,T2\n2,27,26\n# paused\n3,28\n"
                                     "4,twenty,28\nlunch,29,28\n5,30,29\n4.5,31,30\n6,31,30\n");

  g_assert_true (tells (log, 4, "a heading or a remark"));
  g_assert_true (tells (log, 6, "a comment"));
  g_assert_true (tells (log, 9, "its time does not read"));
  g_assert_true (tells (log, 11, "the time goes back from 5.000 s to 4.500 s"));
  g_assert_cmpuint (log->t_s->len, ==, 7);
  g_assert_cmpfloat (t_at (log, 6), ==, 6);
  g_assert_true (isnan (c_at (log, 1, 3))); /* the line that ends early */
  g_assert_true (isnan (c_at (log, 0, 4))); /* "twenty" */
  g_assert_cmpuint (column_at (log, 0)->n_odd, ==, 1);
  setlocale (LC_NUMERIC, "");
}

static void
test_second_recording (void)
{
  g_autoptr (GString) text = g_string_new ("Time (s),T1\n");

  for (guint i = 0; i < 2; i++)
    for (guint k = 0; k < 20; k++)
      g_string_append_printf (text, "%u,%u\n", k, 25 + k);
  g_autoptr (LwLog) log = read_text (text->str);
  g_assert_cmpuint (log->t_s->len, ==, 20);
  g_assert_true (tells (log, 22, "the 20 lines from here on are another recording"));
}

/* Four lines a second under a clock without fractions. */
static void
test_standing_clock (void)
{
  g_autoptr (LwLog) log = read_text ("Time,T1\n10:00:00,25\n10:00:00,25.5\n10:00:01,26\n10:00:01,26.5\n10:00:02,27\n10:00:02,27.5\n");

  g_assert_cmpuint (log->t_s->len, ==, 6);
  for (guint i = 0; i < 6; i++)
    g_assert_cmpfloat_with_epsilon (t_at (log, i), 0.5 * i, 1e-9);
  g_assert_true (tells (log, 0, "3 lines have the time of the line before"));
}

static void
refused (const char *text, const LwLogMapping *m, const char *reason)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (lw_log_read ("t.csv", text, strlen (text), m, &error));
  g_assert_error (error, LW_IMPORT_ERROR, error->code);
  g_assert_true (g_str_has_prefix (error->message, "t.csv"));
  if (strstr (error->message, reason) == NULL)
    g_error ("“%s” does not say “%s”", error->message, reason);
}

/* Without times it is refused, until somebody says the interval. */
static void
test_no_times (void)
{
  const char *text = "T1,T2\n25,24.9\n26,25.2\n27,26\n28,31\n29,30\n";
  LwLogMapping m = guess (text);

  g_assert_true (m.open & LW_LOG_OPEN_TIME);
  refused (text, &m, "no column of times");
  m.interval_s = 0.25;
  g_autoptr (LwLog) log = read_by (text, strlen (text), &m);
  g_assert_cmpfloat (t_at (log, 4), ==, 1.0);
  g_assert_cmpfloat (c_at (log, 1, 4), ==, 30);
}

static void
test_stated_interval (void)
{
  g_autoptr (LwLog) log = read_text ("Sample interval;0,5;s\nNo;T1;T2\n1;25;24\n2;26;25\n3;27;26\n");

  g_assert_cmpfloat (t_at (log, 2), ==, 1.0);
  g_assert_cmpuint (log->columns->len, ==, 2);
}

static void
test_one_column (void)
{
  const char *text = "25.0\n26.5\n26.0\n28\n27\n";
  LwLogMapping m = guess (text);

  m.interval_s = 1;
  g_autoptr (LwLog) log = read_by (text, strlen (text), &m);
  g_assert_cmpfloat (c_at (log, 0, 1), ==, 26.5);
}

static void
test_refused (void)
{
  const char *mv = "Time (s),T1 (mV)\n0,1\n1,1.1\n2,1.2\n";
  const char *back = "Time (s),T1\n0,25\n5,26\n1,27\n6,28\n2,29\n7,30\n3,31\n8,32\n";
  const char *still = "Time (s),T1\n3,25\n3,26\n3,27\n";
  LwLogMapping m = guess (mv);
  GError *error = NULL;

  refused (mv, &m, "cold junction");
  m.cold_c = 23;
  lw_log_free (read_by (mv, strlen (mv), &m));
  m = guess (back);
  m.role[0] = LW_LOG_TIME;
  m.role[1] = LW_LOG_READING;
  refused (back, &m, "t.csv:4: the time goes back here");
  m = guess (still);
  m.role[0] = LW_LOG_TIME;
  m.role[1] = LW_LOG_READING;
  refused (still, &m, "all lines have the same time");
  m.role[1] = LW_LOG_SKIP;
  refused (still, &m, "no column holds readings");
  g_assert_false (lw_log_guess ("t.csv", "hello\nworld\n", 12, &m, &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
  g_clear_error (&error);
  g_assert_false (lw_log_guess ("t.csv", "a\0b", 3, &m, &error));
  g_assert_error (error, LW_IMPORT_ERROR, LW_IMPORT_ERROR_SYNTAX);
  g_clear_error (&error);
  g_assert_false (lw_log_guess ("t.csv", "", 0, &m, &error));
  g_assert_nonnull (error);
  g_clear_error (&error);
}

/* A long log is put together by means: 200,000 lines at 100 a second become at most 20,000 moments. */
static void
test_long (void)
{
  g_autoptr (GString) text = g_string_new ("Time (s),T1\n");

  for (guint i = 0; i < 200000; i++)
    g_string_append_printf (text, "%u.%02u,%u.5\n", i / 100, i % 100, 25 + i % 2);
  g_autoptr (LwLog) log = read_text (text->str);
  g_assert_cmpuint (log->thinned, ==, 10);
  g_assert_cmpuint (log->t_s->len, ==, 20000);
  g_assert_cmpfloat (c_at (log, 0, 77), ==, 26.0);
  g_assert_true (tells (log, 0, "each 10 were put together"));
}

/* Bytes changed at random: read or refused with a reason, never a crash; what is read is sane. */
static void
test_hostile (void)
{
  static const char pieces[] = "0123456789.,;:\t\n\r\"-+eE|#*NaN/ \xff\x00\xc3";
  g_autoptr (GRand) random = g_rand_new_with_seed (20260301);

  for (guint round = 0; round < 3000; round++)
    {
      const char *from = dialects[round % G_N_ELEMENTS (dialects)].text;
      gsize size = strlen (from);
      g_autofree char *copy = g_memdup2 (from, size);
      g_autoptr (GError) error = NULL;
      LwLogMapping m;

      for (guint k = 0; k < 1 + round % 9; k++)
        copy[g_rand_int_range (random, 0, (gint) size)] = pieces[g_rand_int_range (random, 0, sizeof pieces - 1)];
      if (round % 3 == 0)
        size = (gsize) g_rand_int_range (random, 0, (gint) size);
      if (!lw_log_guess ("t.csv", copy, size, &m, &error))
        {
          g_assert_true (g_str_has_prefix (error->message, "t.csv"));
          continue;
        }
      g_autoptr (LwLog) log = lw_log_read ("t.csv", copy, size, &m, &error);
      if (log == NULL)
        {
          g_assert_true (g_str_has_prefix (error->message, "t.csv"));
          continue;
        }
      for (guint i = 1; i < log->t_s->len; i++)
        g_assert_cmpfloat (t_at (log, i), >, t_at (log, i - 1));
      for (guint k = 0; k < log->columns->len; k++)
        {
          g_assert_cmpuint (column_at (log, k)->c->len, ==, log->t_s->len);
          for (guint i = 0; i < log->t_s->len; i++)
            g_assert_true (isnan (c_at (log, k, i)) || (c_at (log, k, i) >= -270 && c_at (log, k, i) <= 1372));
        }
    }
}

/* ---- a run of it ---- */

static LwPlan *
plan_with (const char *const *names)
{
  LwPlan *plan = lw_plan_new ();

  g_free (plan->ref);
  plan->ref = g_strdup ("U1");
  for (guint i = 0; names[i] != NULL; i++)
    {
      LwThermocouple *couple = lw_thermocouple_new ();

      g_free (couple->name);
      couple->name = g_strdup (names[i]);
      g_ptr_array_add (plan->thermocouples, couple);
    }
  return plan;
}

static void
test_couples (void)
{
  static const char *const numbered[] = { "T1", "T2", NULL }, *const worded[] = { "U1 corner", "C7", NULL };
  g_autoptr (LwPlan) a = plan_with (numbered), b = plan_with (worded);

  g_assert_cmpstr (lw_log_couple_for (a, "T2 (°C)"), ==, "T2");
  g_assert_cmpstr (lw_log_couple_for (a, "Ch 1"), ==, "T1");
  g_assert_cmpstr (lw_log_couple_for (a, "TC-2"), ==, "T2");
  g_assert_cmpstr (lw_log_couple_for (a, "Ch 3"), ==, "");
  g_assert_cmpstr (lw_log_couple_for (a, "gas"), ==, "");
  g_assert_cmpstr (lw_log_couple_for (b, "u1 CORNER [degC]"), ==, "U1 corner");
  g_assert_cmpstr (lw_log_couple_for (b, "Channel 2"), ==, "C7");
  g_assert_cmpstr (lw_log_couple_for (b, "C7"), ==, "C7");
}

static void
test_run (void)
{
  static const char *const names[] = { "T1", "T2", NULL };
  g_autoptr (LwPlan) plan = plan_with (names);
  g_autoptr (LwLog) log = read_text ("Timestamp,TC1,TC2,gas\n2026-03-01 10:00:00,25,24,30\n2026-03-01 10:00:02,26,OPEN,31\n"
                                     "2026-03-01 10:00:04,27,26,32\n");
  static const char *const chosen[] = { "T2", NULL, "" };
  g_autoptr (LwRun) by_name = lw_log_to_run (log, plan, NULL), by_hand = lw_log_to_run (log, plan, chosen);
  const LwRunColumn *first = by_name->columns->pdata[0], *last = by_hand->columns->pdata[1];

  g_assert_cmpstr (by_name->name, ==, "t");
  g_assert_cmpstr (by_name->date, ==, "2026-03-01T10:00:00");
  g_assert_cmpstr (by_name->ref, ==, "U1");
  g_assert_cmpuint (by_name->columns->len, ==, 3);
  g_assert_cmpstr (first->thermocouple, ==, "T1");
  g_assert_nonnull (strstr (by_name->notes, "TC2: 1 of 3 readings left out"));
  g_assert_cmpuint (by_hand->columns->len, ==, 2);
  g_assert_cmpstr (((LwRunColumn *) by_hand->columns->pdata[0])->thermocouple, ==, "T2");
  g_assert_cmpstr (last->name, ==, "gas");
  g_assert_cmpstr (last->thermocouple, ==, "");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/exchange/log/type-k-mv", test_type_k_mv);
  g_test_add_func ("/exchange/log/type-k-c", test_type_k_c);
  g_test_add_func ("/exchange/log/type-k-inverse", test_type_k_inverse);
  g_test_add_func ("/exchange/log/cold-junction", test_cold_junction);
  g_test_add_func ("/exchange/log/dialects", test_dialects);
  g_test_add_func ("/exchange/log/utf16", test_utf16);
  g_test_add_func ("/exchange/log/date", test_date);
  g_test_add_func ("/exchange/log/open", test_open);
  g_test_add_func ("/exchange/log/all-open", test_all_open);
  g_test_add_func ("/exchange/log/dropped", test_dropped);
  g_test_add_func ("/exchange/log/second-recording", test_second_recording);
  g_test_add_func ("/exchange/log/standing-clock", test_standing_clock);
  g_test_add_func ("/exchange/log/no-times", test_no_times);
  g_test_add_func ("/exchange/log/stated-interval", test_stated_interval);
  g_test_add_func ("/exchange/log/one-column", test_one_column);
  g_test_add_func ("/exchange/log/refused", test_refused);
  g_test_add_func ("/exchange/log/long", test_long);
  g_test_add_func ("/exchange/log/hostile", test_hostile);
  g_test_add_func ("/exchange/log/couples", test_couples);
  g_test_add_func ("/exchange/log/run", test_run);
  return g_test_run ();
}
