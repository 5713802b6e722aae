/* What became of each file. */
#include "exchange/plot-set.h"

static void
source_free (gpointer data)
{
  LwImportSource *self = data;

  g_free (self->file);
  g_free (self->format);
  g_free (self->taken);
  g_free (self);
}

GPtrArray *
lw_sources_new (void)
{
  return g_ptr_array_new_with_free_func (source_free);
}

void
lw_sources_add (GPtrArray *sources, const char *file, const char *format, const char *taken)
{
  LwImportSource *self;

  if (sources == NULL)
    return;
  self = g_new0 (LwImportSource, 1);
  self->file = g_strdup (file);
  self->format = g_strdup (format);
  self->taken = g_strdup (taken);
  g_ptr_array_add (sources, self);
}
