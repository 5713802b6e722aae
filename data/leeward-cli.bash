# bash completion for leeward-cli. Verbs and options are asked of the program itself, so that they are never out of date.

_leeward_cli_verbs() {
  LC_ALL=C leeward-cli --help 2>/dev/null | sed -n 's/^  \([a-z][a-z-]*\)  *.*/\1/p'
}

_leeward_cli_options() {
  LC_ALL=C leeward-cli "$1" --help 2>/dev/null | grep -o -- '--[a-z][a-z-]*'
}

_leeward_cli() {
  local word=${COMP_WORDS[COMP_CWORD]}
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "$(_leeward_cli_verbs) --help --version" -- "$word"))
  elif [ "${word#-}" != "$word" ]; then
    COMPREPLY=($(compgen -W "$(_leeward_cli_options "${COMP_WORDS[1]}")" -- "$word"))
  else
    compopt -o filenames 2>/dev/null
    mapfile -t COMPREPLY < <(compgen -f -- "$word")
  fi
}

complete -F _leeward_cli leeward-cli
