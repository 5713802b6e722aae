#!/bin/sh
# comma.sh FOLDER MODULE PROGRAM [ARGUMENTS]: runs PROGRAM with German numbers and the words of LW_LANGUAGE (English), in a locale made in FOLDER
# if need be: what a machine has installed does not matter. MODULE makes the programs take the locale that would not by
# themselves. The test setup "comma" puts this before every test program.
set -eu
folder=$1
module=$2
shift 2
if [ ! -d "$folder/de_DE.UTF-8" ]; then
  mkdir -p "$folder"
  made=$(mktemp -d "$folder/made-XXXXXX")
  localedef -i de_DE -f UTF-8 "$made/de_DE.UTF-8"
  mv -T "$made/de_DE.UTF-8" "$folder/de_DE.UTF-8" 2>/dev/null || [ -d "$folder/de_DE.UTF-8" ] # another may be quicker
  rm -rf "$made"
fi
# by its name alone: LD_PRELOAD parts names at blanks, which a folder may have
export LOCPATH="$folder" LC_ALL=de_DE.UTF-8 LANGUAGE="${LW_LANGUAGE:-C}" LD_PRELOAD="${module##*/}"
export LD_LIBRARY_PATH="${module%/*}${LD_LIBRARY_PATH:+:$LD_LIBRARY_PATH}"
# the address sanitizer may come after the module
export ASAN_OPTIONS="verify_asan_link_order=0${ASAN_OPTIONS:+:$ASAN_OPTIONS}"
exec "$@"
