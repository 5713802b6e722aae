/* What findings are about, for people. */
#include "plan/findings.h"

#include <glib/gi18n.h>

static const struct {
  const char *kind, *label;
} labels[] = {
  { "body-peak", N_("Body temperature") },
  { "body-caution", N_("Body temperature, caution") },
  { "body-time", N_("Body’s time at temperature") },
  { "joint-peak", N_("Joint temperature") },
  { "joint-caution", N_("Joint temperature, caution") },
  { "joint-center", N_("Joints in the middle") },
  { "joint-corner", N_("Corner joints") },
  { "ramp-up", N_("Heating rate") },
  { "ramp-down", N_("Cooling rate") },
  { "target-liquid", N_("Coldest joint") },
  { "target-joint-peak", N_("Hottest joint") },
  { "target-spread", N_("Spread of the joints") },
  { "target-long", N_("Longest time liquid") },
  { "target-short", N_("Shortest time liquid") },
  { "target-body", N_("Body temperature") },
  { "target-ramp", N_("Heating rate") },
  { "target-cooling", N_("Cooling rate") },
  { "nozzle-missing", N_("Nozzle at the station") },
  { "nozzle-cover", N_("Nozzle over the part") },
  { "nozzle-height", N_("Height of the nozzle") },
  { "nozzle-clash", N_("Nozzle against parts") },
  { "nozzle-skirt", N_("Room under the nozzle’s wall") },
  { "nozzle-inside", N_("Inside the nozzle") },
  { "gas-range", N_("Reach of the gas") },
  { "flow-range", N_("Reach of the flow") },
  { "preheat-range", N_("Reach of the preheater") },
  { "preheat-size", N_("Size of the preheat area") },
  { "preheat-area", N_("Board over the preheat area") },
  { "preheat-place", N_("Part over the preheat area") },
  { "preheat-even", N_("Evenness of the preheat") },
  { "holder-span", N_("Span of the holder") },
  { "lee-sky", N_("Sky hidden by a taller part") },
  { "lee-preheat", N_("Preheater hidden by a taller part") },
  { "lee-spill", N_("In the lee of the spill") },
  { "laminate-peak", N_("Laminate’s temperature") },
  { "laminate-tg", N_("Laminate above its glass transition") },
  { "height-unknown", N_("Height not known") },
  { "package-unknown", N_("Package not known") },
  { "outline-assumed", N_("Outline assumed") },
  { "thickness-assumed", N_("Thickness assumed") },
  { "film-range", N_("Nozzle’s film") },
  { "readiness-bake", N_("Bake before heating") },
  { "readiness-floor-life", N_("Floor life") },
  { "readiness-dry", N_("Neighbours dry") },
  { "readiness-seal", N_("Age of the dry pack") },
  { "readiness-unknown", N_("Fact missing") },
  { "readiness-board-bake", N_("Bake of the board") },
  { "readiness-board-moisture", N_("Moisture of the board") },
  { "readiness-cycles", N_("Reflows of a body") },
  { "readiness-site-cycles", N_("Reflows of the lands") },
  { "readiness-coating", N_("Coating") },
  { "readiness-underfill", N_("Underfill") },
  { "readiness-take-off", N_("To be taken off first") },
  { "readiness-support", N_("Support of the board") },
  { "readiness-schedule", N_("Schedule") },
  { "attach-soak", N_("Soak") },
  { "attach-to-peak", N_("Time to the peak") },
  { "attach-cold", N_("Wetting of the coldest joint") },
};

const char *
lw_finding_kind_label (const char *kind)
{
  for (guint i = 0; i < G_N_ELEMENTS (labels); i++)
    if (g_strcmp0 (labels[i].kind, kind) == 0)
      return _(labels[i].label);
  return kind;
}
