/* From the two files of a pair to a job: packages and parts, then the board. */
#ifndef LW_IDF_PARTS_H
#define LW_IDF_PARTS_H

#include "exchange/idf-file.h"

G_BEGIN_DECLS

/* Fills JOB's packages and parts; LIBRARY may be NULL. FILE is the board file's name. */
void lw_idf_add_parts (LwJob *job, const LwIdfBoard *board, const LwIdfLibrary *library,
                       const char *file, GPtrArray *notes);

/* A package's box, circle or outline from an entry's loops. FALSE when there is none that can be
 * used. */
gboolean lw_idf_set_body (LwPackage *package, const LwIdfEntry *entry, const char *library_file,
                          GPtrArray *notes);

/* Sets the outline, thickness and name of JOB's board; needs the parts. OUTLINE_LINES (guint) gets the
 * line each loop of the job's outline begins on. */
gboolean lw_idf_set_board (LwJob *job, const LwIdfBoard *board, GArray *outline_lines, const char *file,
                           GPtrArray *notes, GError **error);

/* Last: makes JOB pass lw_job_check(), with a warning for each thing that had to give way. */
gboolean lw_idf_settle (LwJob *job, const LwIdfBoard *board, GArray *outline_lines, const char *file,
                        GPtrArray *notes, GError **error);

G_END_DECLS

#endif
