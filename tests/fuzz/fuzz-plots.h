/* One file as a whole set of plots, with a square profile beside it so that copper is laid on something. */
#ifndef FUZZ_PLOTS_H
#define FUZZ_PLOTS_H

#include "exchange/plot-set.h"
#include "fuzz-import.h"

static const char fuzz_profile[] = "%FSLAX46Y46*%\n%MOMM*%\n%TF.FileFunction,Profile,NP*%\n%ADD10C,0.1*%\nD10*\n"
                                   "X0Y0D02*\nX50000000D01*\nY40000000D01*\nX0D01*\nY0D01*\nM02*\n";

static inline void
fuzz_read_set (const char *name, const uint8_t *data, size_t size)
{
  LwPlotFile files[] = { { name, (const char *) data, size }, { "edge.gbr", fuzz_profile, sizeof fuzz_profile - 1 } };
  g_autoptr (GPtrArray) sources = lw_sources_new ();
  GError *error = NULL;
  LwImport *import = lw_import_plots (files, G_N_ELEMENTS (files), sources, NULL, NULL, NULL, &error);

  fuzz_take_import (import, error);
}

#endif
