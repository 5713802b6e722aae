/* Stands in for the board and profile views until they are here. */
#include "widgets/board-view.h"
#include "widgets/profile-view.h"

struct _LwBoardView {
  GtkWidget parent_instance;
};
struct _LwProfileView {
  GtkWidget parent_instance;
};
G_DEFINE_FINAL_TYPE (LwBoardView, lw_board_view, GTK_TYPE_WIDGET)
G_DEFINE_FINAL_TYPE (LwProfileView, lw_profile_view, GTK_TYPE_WIDGET)

static void
lw_board_view_class_init (LwBoardViewClass *class)
{
}

static void
lw_board_view_init (LwBoardView *self)
{
}

static void
lw_profile_view_class_init (LwProfileViewClass *class)
{
}

static void
lw_profile_view_init (LwProfileView *self)
{
}

GtkWidget *
lw_board_view_new (LwDesk *desk)
{
  return g_object_new (LW_TYPE_BOARD_VIEW, NULL);
}

void
lw_board_view_show_part (LwBoardView *self, int part)
{
}

void
lw_profile_view_set_desk (LwProfileView *self, LwDesk *desk)
{
}
