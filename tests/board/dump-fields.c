/* Prints the tables of members as JSON, for check_format.py, which compares them with the schema and the
 * written description of the format. */
#include <math.h>
#include <stdio.h>

#include "board/types.h"

static const char *const kinds[] = { "number", "count", "flag", "text", "word", "group", "one", "many", "plain", "series" };

static void
dump_number (const char *name, double value)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  if (isnan (value))
    printf (", \"%s\": null", name);
  else
    printf (", \"%s\": %s", name, g_ascii_formatd (text, sizeof text, "%.17g", value));
}

static void
dump_flag (const char *name, const LwField *field, guint bit)
{
  printf (", \"%s\": %s", name, field->flags & bit ? "true" : "false");
}

static void
dump_default (const LwField *field)
{
  if (field->kind == LW_FIELD_NUMBER || field->kind == LW_FIELD_COUNT)
    dump_number ("default", field->fallback);
  else if (field->kind == LW_FIELD_FLAG)
    printf (", \"default\": %s", field->fallback != 0.0 ? "true" : "false");
  else if (field->kind == LW_FIELD_TEXT)
    printf (", \"default\": \"%s\"", field->text);
  else if (field->kind == LW_FIELD_WORD)
    printf (", \"default\": \"%s\"", field->words[(guint) field->fallback]);
}

static void
dump_type (const LwType *type)
{
  printf ("[");
  for (guint i = 0; i < type->n_fields; i++)
    {
      const LwField *field = &type->fields[i];

      printf ("%s\n{\"key\": \"%s\", \"kind\": \"%s\"", i > 0 ? "," : "", field->key, kinds[field->kind]);
      dump_flag ("nullable", field, LW_FIELD_NULLABLE);
      dump_flag ("above", field, LW_FIELD_ABOVE);
      dump_flag ("required", field, LW_FIELD_REQUIRED);
      dump_flag ("presence", field, LW_FIELD_PRESENCE);
      dump_number ("min", field->min);
      dump_number ("max", field->max);
      dump_default (field);
      if (field->kind == LW_FIELD_SERIES)
        dump_number ("most", field->fallback);
      for (guint w = 0; field->words != NULL && field->words[w] != NULL; w++)
        printf ("%s\"%s\"", w == 0 ? ", \"words\": [" : ", ", field->words[w]);
      printf ("%s", field->words != NULL ? "]" : "");
      if (field->type != NULL)
        {
          printf (", \"members\": ");
          dump_type (field->type);
        }
      printf ("}");
    }
  printf ("]");
}

int
main (void)
{
  dump_type (&lw_job_type);
  printf ("\n");
  return 0;
}
