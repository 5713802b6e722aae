/* Stands in until the library is there: no packages. */
#include "board/library.h"

const LwPackage *
lw_library_package (const char *name)
{
  return NULL;
}
