/* A small form that comes up over a widget and asks for a few figures: names, entries with units, choices, what
 * is wrong in words under them, and one button that does it. Enter does it too, Escape closes. */
#ifndef LW_FORM_H
#define LW_FORM_H

#include <gtk/gtk.h>

G_BEGIN_DECLS

#define LW_TYPE_FORM (lw_form_get_type ())
G_DECLARE_FINAL_TYPE (LwForm, lw_form, LW, FORM, GtkPopover)

/* Does it; FALSE with ERROR when something typed is refused: the form stays and shows why. */
typedef gboolean (*LwFormDo) (LwForm *form, gpointer user, GError **error);

/* Parented to PARENT until it closes. */
LwForm *lw_form_new (GtkWidget *parent, const char *title, const char *button, LwFormDo act, gpointer user);
/* Rows in order; KEY names them. INITIAL may be NULL or NaN. */
GtkWidget *lw_form_add_text (LwForm *self, const char *key, const char *title, const char *initial);
void lw_form_add_number (LwForm *self, const char *key, const char *title, const char *unit, int digits,
                         double initial);
void lw_form_add_choice (LwForm *self, const char *key, const char *title, const char *const *labels, guint chosen);
/* Any widget across the form. */
void lw_form_add_widget (LwForm *self, GtkWidget *widget);

/* What is typed into or chosen from the row KEY, which there must be; the text is GTK's until it is typed on. */
const char *lw_form_text (LwForm *self, const char *key);
void lw_form_set_text (LwForm *self, const char *key, const char *text);
guint lw_form_choice (LwForm *self, const char *key);
/* FALSE with ERROR naming the row when no number stands there. */
gboolean lw_form_number (LwForm *self, const char *key, double *value, GError **error);
void lw_form_focus (LwForm *self, const char *key);
/* Stays open after it has done it, for the next one. */
void lw_form_keep_open (LwForm *self);
void lw_form_say (LwForm *self, const char *text, gboolean wrong);
/* Takes a closed form off its parent, as soon as it is done with closing. */
void lw_form_put_away (LwForm *self);
/* Takes all forms off PARENT at once, for its dispose. */
void lw_forms_drop (GtkWidget *parent);
/* Widget of a row: GtkEntry or GtkDropDown. */
GtkWidget *lw_form_widget (LwForm *self, const char *key);

G_END_DECLS

#endif
