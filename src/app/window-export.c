/* Pictures of the board and the profile, and the board in formats of other programs, as files. */
#include <glib/gi18n.h>

#include "app/window-private.h"
#include "draw/draw.h"
#include "exchange/export.h"

#define BOARD_WIDTH 1600
#define BOARD_HEIGHT 1100
#define PROFILE_WIDTH 1200
#define PROFILE_HEIGHT 700
#define MAX_TOLD 12 /* lines that a dialog shows at once */

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
  picture.show_copper = lw_desk_shows (desk, "show-copper");
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
  lw_window_remember_folder (file);
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

/* ---- the board for other programs ---- */

/* What the format has no place for, told at once: it cannot be seen in the file. */
static void
tell_left_out (LwWindow *self, const char *name, const GPtrArray *left_out)
{
  g_autofree char *title = g_strdup_printf (_("“%s” was written, but not all of the job"), name);
  g_autoptr (GString) text = g_string_new (_("The format has no place for:"));
  guint n = MIN (left_out->len, MAX_TOLD), more = left_out->len - n;
  GtkWidget *dialog
    = gtk_message_dialog_new (GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT, GTK_MESSAGE_INFO,
                              GTK_BUTTONS_CLOSE, "%s", title);

  for (guint i = 0; i < n; i++)
    g_string_append_printf (text, "\n• %s", (const char *) g_ptr_array_index (left_out, i));
  if (more > 0)
    g_string_append_printf (text, ngettext ("\nand %u thing more", "\nand %u things more", more), more);
  gtk_message_dialog_format_secondary_text (GTK_MESSAGE_DIALOG (dialog), "%s", text->str);
  g_signal_connect (dialog, "response", G_CALLBACK (gtk_window_destroy), NULL);
  gtk_window_present (GTK_WINDOW (dialog));
}

/* The name decides the format, so it must be of the one that was asked for. No ending is added behind the
 * person's back: a file of that other name would be replaced without a question. */
static gboolean
check_name (LwExportKind kind, const char *name, GError **error)
{
  if (lw_export_kind (name) == kind)
    return TRUE;
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_FILENAME, _("The name “%s” must end in %s."), name,
               kind == LW_EXPORT_IDF ? ".emn" : ".csv");
  return FALSE;
}

static void
write_board (LwWindow *self, LwExportKind kind, GFile *file)
{
  g_autofree char *base = g_file_get_basename (file), *name = g_filename_display_name (base);
  g_autoptr (GPtrArray) left_out = lw_export_notes_new ();
  g_autoptr (GError) error = NULL;

  if (!check_name (kind, name, &error)
      || !lw_export (lw_desk_job (lw_window_desk (self)), file, left_out, NULL, &error))
    lw_window_report (self, _("The board was not written"), error->message);
  else if (left_out->len > 0)
    tell_left_out (self, name, left_out);
  else
    lw_toast_show (self->toast, _("Board written"), NULL, NULL);
}

/* What a question waits with; freed with it. */
typedef struct {
  LwWindow *window;
  GFile *file;
} Pending;

static void
pending_free (gpointer data, GClosure *closure)
{
  Pending *pending = data;

  g_object_unref (pending->window);
  g_object_unref (pending->file);
  g_free (pending);
}

static void
replace_answered_cb (GtkDialog *dialog, int response, Pending *pending)
{
  LwWindow *window = pending->window;

  if (response == GTK_RESPONSE_ACCEPT && window->session != NULL && lw_desk_job (lw_window_desk (window)) != NULL)
    write_board (window, LW_EXPORT_IDF, pending->file);
  gtk_window_destroy (GTK_WINDOW (dialog));
}

/* The chooser has asked about the board's file alone. */
static void
ask_to_replace (LwWindow *self, GFile *file, GFile *beside)
{
  g_autofree char *base = g_file_get_basename (beside), *name = g_filename_display_name (base);
  g_autofree char *title = g_strdup_printf (_("Replace “%s”?"), name);
  Pending *pending = g_new0 (Pending, 1);
  GtkWidget *dialog
    = gtk_message_dialog_new (GTK_WINDOW (self), GTK_DIALOG_MODAL | GTK_DIALOG_DESTROY_WITH_PARENT, GTK_MESSAGE_QUESTION,
                              GTK_BUTTONS_NONE, "%s", title);

  *pending = (Pending){ g_object_ref (self), g_object_ref (file) };
  gtk_message_dialog_format_secondary_text (
    GTK_MESSAGE_DIALOG (dialog), _("The library of an IDF board is written beside it, and a file of that name is there "
                                   "already. What it holds is lost."));
  gtk_dialog_add_buttons (GTK_DIALOG (dialog), _("_Cancel"), GTK_RESPONSE_CANCEL, _("_Replace"), GTK_RESPONSE_ACCEPT, NULL);
  gtk_dialog_set_default_response (GTK_DIALOG (dialog), GTK_RESPONSE_CANCEL);
  g_signal_connect_data (dialog, "response", G_CALLBACK (replace_answered_cb), pending, pending_free, 0);
  gtk_window_present (GTK_WINDOW (dialog));
}

void
lw_window_write_board (LwWindow *self, LwExportKind kind, GFile *file)
{
  g_autoptr (GFile) beside = lw_export_beside (file);

  if (kind == LW_EXPORT_IDF && beside != NULL && g_file_query_exists (beside, NULL))
    ask_to_replace (self, file, beside);
  else
    write_board (self, kind, file);
}

static void
write_answered (LwWindow *self, GtkNativeDialog *dialog, int response, LwExportKind kind)
{
  g_autoptr (GFile) file
    = response == GTK_RESPONSE_ACCEPT ? gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog)) : NULL;

  if (file == NULL)
    return;
  lw_window_remember_folder (file);
  lw_window_write_board (self, kind, file);
}

static void
idf_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  write_answered (self, dialog, response, LW_EXPORT_IDF);
}

static void
table_answered_cb (GtkNativeDialog *dialog, int response, LwWindow *self)
{
  write_answered (self, dialog, response, LW_EXPORT_CENTROID);
}

void
lw_window_choose_write_board (LwWindow *self, LwExportKind kind)
{
  static const char *idf[] = { "emn", NULL }, *table[] = { "csv", NULL };
  gboolean pair = kind == LW_EXPORT_IDF;
  GtkFileChooser *chooser = lw_window_new_chooser (
    self, pair ? _("Board as IDF, with its library beside it") : _("Placement table"), GTK_FILE_CHOOSER_ACTION_SAVE,
    _("_Save"), pair ? G_CALLBACK (idf_answered_cb) : G_CALLBACK (table_answered_cb));

  if (pair)
    lw_window_add_filter (chooser, _("IDF boards (.emn)"), idf);
  else
    lw_window_add_filter (chooser, _("Tables (.csv)"), table);
  gtk_file_chooser_set_current_name (chooser, pair ? _("board.emn") : _("placement.csv"));
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}
