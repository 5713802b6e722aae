/* Stands in until the library is there: it knows nothing. */
#include "board/library.h"

const LwPackage *
lw_library_package (const char *name)
{
  return NULL;
}

const LwLaminate *
lw_library_laminate (const char *name)
{
  return NULL;
}

const LwShieldMaterial *
lw_library_shield (const char *name)
{
  return NULL;
}

const LwAlloy *
lw_library_alloy (const char *name)
{
  return NULL;
}
