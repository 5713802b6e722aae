/* Every curve of a prediction as comma-separated values. */
#ifndef LW_CLI_PREDICT_TABLE_H
#define LW_CLI_PREDICT_TABLE_H

#include "plan/predict.h"

G_BEGIN_DECLS

/* One line per moment; the first line names the columns; a field is empty where nothing is known.
 * Numbers have a decimal point in every locale. */
gboolean lw_cli_predict_table (const LwPrediction *prediction, const char *path, GError **error);

G_END_DECLS

#endif
