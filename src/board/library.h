/* Libraries compiled into the program (the JSON files of data/) and extended by the user's own files of the same
 * form in the user's data folder (leeward/libraries). Loaded once, on first use. What was handed out stays valid until
 * the end of the program, also when the user keeps another package of that name. */
#ifndef LW_LIBRARY_H
#define LW_LIBRARY_H

#include "board/job.h"

G_BEGIN_DECLS

typedef struct {
  char *name;
  double solidus_c, liquidus_c, density_kg_per_m3, k_w_per_mk, cp_j_per_kgk, latent_j_per_kg;
  char *source;
} LwAlloy;

typedef struct {
  char *name;
  double density_kg_per_m3, cp_j_per_kgk, k_in_plane_w_per_mk, k_through_w_per_mk;
  double tg_c, td_c;
  char *source;
} LwLaminate;

typedef struct {
  char *name;
  double k_w_per_mk, thickness_mm, share; /* share of the film that passes */
  char *source;
} LwShieldMaterial;

/* All (transfer none): NULL when there is no such name. Names compare without regard to case. */
const LwAlloy *lw_library_alloy (const char *name);
const LwLaminate *lw_library_laminate (const char *name);
const LwPackage *lw_library_package (const char *name);
const LwShieldMaterial *lw_library_shield (const char *name);
LwStation *lw_library_station (const char *name); /* transfer none */

/* Names in library order (NULL-terminated, transfer container). KIND is "alloys", "laminates",
 * "packages", "shields" or "stations". */
const char **lw_library_names (const char *kind);
/* ---- the user's own packages ---- */

/* Keeps a copy of PACKAGE in the user's library: in LW_LIBRARY_OWN of the user's folder, where it takes the place of one
 * of the same name, and for this program at once. The file is replaced whole or not at all; whatever else stands in it
 * is kept. FALSE with ERROR (LW_FILE_ERROR, G_IO_ERROR), and nothing changed, when the file is damaged or of a later
 * version, or cannot be written. */
#define LW_LIBRARY_OWN "own-packages.json"
gboolean lw_library_keep_package (const LwPackage *package, GError **error);
/* Whether the package of that name comes from a file of the user's. */
gboolean lw_library_is_users (const char *name);

/* Faults met in the user's own files, one per line, or "" (transfer none). */
const char *lw_library_warnings (void);

G_END_DECLS

#endif
