#include "widgets/widgets.h"

#include <gtk/gtk.h>

#include "widgets/board-view.h"
#include "widgets/choice-row.h"
#include "widgets/doubt-view.h"
#include "widgets/field-row.h"
#include "widgets/finding-row.h"
#include "widgets/findings-panel.h"
#include "widgets/grade-mark.h"
#include "widgets/inspector.h"
#include "widgets/lower-pane.h"
#include "widgets/package-maker.h"
#include "widgets/outline-panel.h"
#include "widgets/package-list.h"
#include "widgets/part-list.h"
#include "widgets/profile-view.h"
#include "widgets/run-state.h"
#include "widgets/popover-focus.h"
#include "widgets/spoken.h"
#include "widgets/stack-panel.h"
#include "widgets/target-chooser.h"
#include "widgets/thing-list.h"
#include "widgets/toast.h"
#include "widgets/welcome.h"
#include "widgets/wrap-row.h"
#include "leeward-ui.h"

static void
ensure_types (void)
{
  g_type_ensure (LW_TYPE_BOARD_VIEW);
  g_type_ensure (LW_TYPE_PROFILE_VIEW);
  g_type_ensure (LW_TYPE_CHOICE_ROW);
  g_type_ensure (LW_TYPE_DOUBT_VIEW);
  g_type_ensure (LW_TYPE_FIELD_ROW);
  g_type_ensure (LW_TYPE_FINDING_ROW);
  g_type_ensure (LW_TYPE_FINDINGS_PANEL);
  g_type_ensure (LW_TYPE_GRADE_MARK);
  g_type_ensure (LW_TYPE_INSPECTOR);
  g_type_ensure (LW_TYPE_LOWER_PANE);
  g_type_ensure (LW_TYPE_PACKAGE_MAKER);
  g_type_ensure (LW_TYPE_OUTLINE_PANEL);
  g_type_ensure (LW_TYPE_PACKAGE_LIST);
  g_type_ensure (LW_TYPE_PART_LIST);
  g_type_ensure (LW_TYPE_RUN_STATE);
  g_type_ensure (LW_TYPE_STACK_PANEL);
  g_type_ensure (LW_TYPE_TARGET_CHOOSER);
  g_type_ensure (LW_TYPE_THING_LIST);
  g_type_ensure (LW_TYPE_TOAST);
  g_type_ensure (LW_TYPE_WELCOME);
  g_type_ensure (LW_TYPE_WRAP_ROW);
}

static void
load_style (void)
{
  g_autoptr (GtkCssProvider) provider = gtk_css_provider_new ();

  gtk_css_provider_load_from_resource (provider, "/org/leeward/Leeward/ui/style.css");
  gtk_style_context_add_provider_for_display (gdk_display_get_default (), GTK_STYLE_PROVIDER (provider),
                                              GTK_STYLE_PROVIDER_PRIORITY_APPLICATION);
}

void
lw_widgets_init (void)
{
  static gboolean done;

  if (done)
    return;
  done = TRUE;
  g_resources_register (leeward_ui_get_resource ());
  ensure_types ();
  load_style ();
  lw_spoken_watch ();
  lw_popovers_give_back ();
}
