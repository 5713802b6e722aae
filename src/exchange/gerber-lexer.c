/* The text of a Gerber file as commands: each ends with a star; extended ones stand between percent
 * signs, which may hold several. Line breaks mean nothing. */
#include <string.h>

#include "exchange/gerber-private.h"

/* A percent sign also ends a command whose star is missing, but a comment may hold one. */
static gboolean
is_comment (const GString *text)
{
  return strncmp (text->str, "G04", 3) == 0 || strncmp (text->str, "G4 ", 3) == 0;
}

gboolean
lw_gerber_next (LwGerberLexer *lexer, LwGerberCommand *command, gboolean *cut)
{
  GString *text = command->text;

  g_string_truncate (text, 0);
  for (; lexer->p < lexer->end; lexer->p++)
    {
      char c = *lexer->p;

      if (c == '\n' || c == '\r')
        lexer->line += c == '\n' || lexer->p + 1 == lexer->end || lexer->p[1] != '\n';
      else if (c == '%' && text->len == 0)
        lexer->signs++;
      else if (c == '%' && !is_comment (text))
        return TRUE;
      else if (c == '*')
        {
          lexer->p++;
          if (text->len > 0)
            return TRUE;
        }
      else if (text->len > 0 || (c != ' ' && c != '\t'))
        {
          if (text->len == 0)
            {
              command->line = lexer->line;
              command->signs = lexer->signs;
            }
          g_string_append_c (text, c);
        }
    }
  *cut = text->len > 0 || lexer->signs % 2 == 1;
  return FALSE;
}
