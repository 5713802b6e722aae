#include "heat/status.h"

const char *
heat_status_text (HeatStatus status)
{
  switch (status) {
#define HEAT_STATUS_CASE(name, text)                                                                   \
  case name:                                                                                           \
    return text;
    HEAT_STATUS_LIST (HEAT_STATUS_CASE)
#undef HEAT_STATUS_CASE
  }
  return "unknown status";
}
