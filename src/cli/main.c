/* leeward-cli: everything but editing by hand. */
#include <fcntl.h>
#include <glib/gi18n.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/options.h"
#include "cli/output.h"
#include "cli/verbs.h"

static const LwCliVerb verbs[] = {
  { "inspect", N_("FILE…"), N_("reads a board or a job and reports what it holds"), lw_cli_inspect },
  { "convert", N_("IN… OUT"), N_("board in any supported format to a document, .emn or .csv"), lw_cli_convert },
  { "predict", N_("JOB"), N_("temperatures over time of every part"), lw_cli_predict },
  { "judge", N_("JOB"), N_("the findings"), lw_cli_judge },
  { "seek", N_("JOB -o OUT"), N_("searches for the plan with the most headroom"), lw_cli_seek },
  { "fit", N_("JOB [LOG…] -o OUT"), N_("fits uncertain figures to recorded runs"), lw_cli_fit },
  { "picture", N_("JOB -o OUT"), N_("board map or profile, as .png or .svg"), lw_cli_picture },
  { "show", N_("JOB -o OUT"), N_("the job as it runs, as .webp or pictures in a folder"), lw_cli_show },
  { "sheet", N_("JOB -o OUT"), N_("the plan on paper, as .pdf"), lw_cli_sheet },
  { "compare", N_("JOB LOG"), N_("a recorded run laid over its plan"), lw_cli_compare },
  { "history", N_("JOB"), N_("runs, fits and revisions that a job keeps"), lw_cli_history },
};

/* As many columns as the longest arguments take in the person's language. */
static int
arguments_width (void)
{
  int width = 0;

  for (guint i = 0; i < G_N_ELEMENTS (verbs); i++)
    width = MAX (width, lw_cli_columns (_(verbs[i].arguments)));
  return width;
}

static void
print_usage (void)
{
  const int widths[] = { 1, -8, -arguments_width (), 0 };

  g_print (_("Usage: leeward-cli VERB [OPTION…] ARGUMENTS\n\n"));
  for (guint i = 0; i < G_N_ELEMENTS (verbs); i++)
    lw_cli_print_row (widths, "", verbs[i].name, _(verbs[i].arguments), _(verbs[i].summary), NULL);
  g_print (_("\n"
             "leeward-cli VERB --help tells a verb’s options.\n"
             "Exit status: 0 done and no finding at stop, 1 done with findings at stop, 2 refused.\n"));
}

static const LwCliVerb *
find_verb (const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS (verbs); i++)
    if (strcmp (verbs[i].name, name) == 0)
      return &verbs[i];
  return NULL;
}

/* A full disk must not look like a job well done; at exit, since --help exits from within. */
static void
check_output (void)
{
  if (fflush (stdout) == 0 && !ferror (stdout))
    return;
  lw_cli_refuse (_("leeward-cli: standard output cannot be written"));
  _exit (LW_CLI_REFUSED);
}

/* Where a stream is closed, the next file opened would get its number, and what is printed. What is open for reading
 * alone refuses to be printed to. */
static void
hold_streams (void)
{
  for (int fd = STDIN_FILENO; fd <= STDERR_FILENO; fd++)
    if (fcntl (fd, F_GETFD) < 0)
      open ("/dev/null", fd == STDERR_FILENO ? O_WRONLY : O_RDONLY); /* gets the lowest number that is free */
}

int
main (int argc, char **argv)
{
  const LwCliVerb *verb;

  hold_streams ();
  atexit (check_output);
  setlocale (LC_ALL, "");
  bindtextdomain (GETTEXT_PACKAGE, LW_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  g_set_prgname ("leeward-cli");
  if (argc < 2)
    {
      print_usage ();
      return lw_cli_refuse (_("leeward-cli: a verb is missing"));
    }
  if (strcmp (argv[1], "--help") == 0 || strcmp (argv[1], "-h") == 0 || strcmp (argv[1], "help") == 0)
    {
      print_usage ();
      return LW_CLI_DONE;
    }
  if (strcmp (argv[1], "--version") == 0)
    {
      g_print ("leeward-cli %s\n", LW_VERSION);
      return LW_CLI_DONE;
    }
  verb = find_verb (argv[1]);
  if (verb == NULL)
    return lw_cli_refuse (_("leeward-cli: unknown verb “%s”; see leeward-cli --help"), argv[1]);
  return verb->run (argv + 1);
}
