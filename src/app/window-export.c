/* Pictures of the board and the profile, as files. */
#include <glib/gi18n.h>

#include "app/window-private.h"
#include "draw/draw.h"

#define BOARD_WIDTH 1600
#define BOARD_HEIGHT 1100
#define PROFILE_WIDTH 1200
#define PROFILE_HEIGHT 700

static gboolean
export_board (LwWindow *self, const char *path, GError **error)
{
  LwDesk *desk = lw_window_desk (self);
  const LwJob *job = lw_desk_job (desk);
  LwBoardPicture picture;

  lw_board_picture_init (&picture, job);
  picture.look = LW_LOOK_PRINT;
  picture.plan = lw_desk_plan (desk);
  picture.prediction = lw_desk_prediction (desk);
  picture.findings = lw_desk_findings (desk);
  picture.t_s = lw_desk_moment (desk);
  picture.show_field = lw_desk_shows (desk, "show-field");
  picture.show_isotherms = lw_desk_shows (desk, "show-isotherms");
  picture.show_names = lw_desk_shows (desk, "show-names");
  picture.show_other_side = lw_desk_shows (desk, "show-other-side");
  return lw_picture_board_to_file (&picture, lw_desk_side (desk), path, BOARD_WIDTH, BOARD_HEIGHT, error);
}

static gboolean
export_profile (LwWindow *self, const char *path, GError **error)
{
  LwDesk *desk = lw_window_desk (self);
  LwProfilePicture picture;

  lw_profile_picture_init (&picture, lw_desk_job (desk), PROFILE_WIDTH, PROFILE_HEIGHT);
  picture.look = LW_LOOK_PRINT;
  picture.plan = lw_desk_plan (desk);
  picture.prediction = lw_desk_prediction (desk);
  picture.findings = lw_desk_findings (desk);
  picture.selected_part = lw_desk_selected_part (desk);
  return lw_picture_profile_to_file (&picture, path, error);
}

gboolean
lw_window_export (LwWindow *self, LwPicture picture, GFile *file, GError **error)
{
  g_autofree char *path = g_file_get_path (file);

  if (path == NULL) {
    g_set_error_literal (error, G_IO_ERROR, G_IO_ERROR_NOT_SUPPORTED, _("Pictures can only be written to local files."));
    return FALSE;
  }
  return picture == LW_PICTURE_BOARD ? export_board (self, path, error) : export_profile (self, path, error);
}

static void
answered (LwWindow *self, GtkNativeDialog *dialog, int response, LwPicture picture)
{
  g_autoptr (GFile) file
    = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;
  g_autoptr (GError) error = NULL;

  if (file == NULL)
    return;
  lw_window_remember_folder (GTK_FILE_CHOOSER (dialog), file);
  if (lw_window_export (self, picture, file, &error))
    lw_toast_show (self->toast, _("Picture written"), NULL, NULL);
  else
    lw_window_report (self, _("The picture was not written"), error->message);
}

static void
board_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  answered (self, dialog, response, LW_PICTURE_BOARD);
}

static void
profile_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  answered (self, dialog, response, LW_PICTURE_PROFILE);
}

void
lw_window_choose_export (LwWindow *self, LwPicture picture)
{
  gboolean board = picture == LW_PICTURE_BOARD;
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  g_clear_object (&self->chooser);
  self->chooser = gtk_file_chooser_native_new (board ? _("Picture of the board") : _("Picture of the profile"),
                                               GTK_WINDOW (self), GTK_FILE_CHOOSER_ACTION_SAVE, _("_Save"),
                                               _("_Cancel"));
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->chooser), TRUE);
  lw_window_restore_folder (GTK_FILE_CHOOSER (self->chooser));
  gtk_file_filter_set_name (filter, _("Pictures (.png, .svg)"));
  gtk_file_filter_add_suffix (filter, "png");
  gtk_file_filter_add_suffix (filter, "svg");
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), filter);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->chooser), board ? _("board.png") : _("profile.png"));
  g_signal_connect_object (self->chooser, "response",
                           board ? G_CALLBACK (board_answered_cb) : G_CALLBACK (profile_answered_cb), self, 0);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}
