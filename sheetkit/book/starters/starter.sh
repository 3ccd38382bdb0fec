#!/bin/sh
# Works out the workbook that stands beside this file, or that is dropped on it.
# Made by sheetkit for this computer; copy it into any folder of a job.
python=@PYTHON@
engine=@ENGINE@
watch=@WATCH@
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
what=${1:-$here}
case $what in /*) ;; *) what=$PWD/$what ;; esac

work() {
  cd "$engine" 2>/dev/null
  if ! "$python" -c 'import sheetkit.terminal.cli' >/dev/null 2>&1; then
    echo "sheetkit is no longer where it was when this file was made:"
    echo "$python"
    echo "Install it again as its README says, then make this file again: sheetkit open --starter"
    return 2
  fi
  "$python" -m sheetkit open "$what" $watch
}

if [ -t 0 ] && [ -t 1 ]; then
  trap : INT
  work
  code=$?
  printf '\nPress Enter to close this window. '
  read -r _
  exit $code
fi

# Started without a window, as many file managers do: open one.
if [ -z "$SHEETKIT_WINDOW" ] && [ -n "$DISPLAY$WAYLAND_DISPLAY" ]; then
  set -- env SHEETKIT_WINDOW=1 sh "$here/$(basename -- "$0")" "$what"
  for terminal in xdg-terminal-exec 'x-terminal-emulator -e' 'gnome-terminal --' 'kgx --' 'konsole -e' \
    'xfce4-terminal -x' 'mate-terminal -x' 'xterm -e'; do
    command -v "${terminal%% *}" >/dev/null 2>&1 && exec $terminal "$@"
  done
fi

# There is none: what is said is shown as a text.
watch=
said=$(mktemp "${TMPDIR:-/tmp}/sheetkit-XXXXXX") || exit
work >"$said" 2>&1 </dev/null
code=$?
xdg-open "$said" >/dev/null 2>&1 || cat "$said"
exit $code
