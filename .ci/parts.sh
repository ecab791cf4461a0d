# The parts of .ci/run, to be sourced.

step() { printf '\n== %s (%d s)\n' "$1" "$SECONDS"; }

system_packages() {
  if command -v chromium >/dev/null && command -v pdfinfo >/dev/null && compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null; then return; fi
  if [ "$(id -u)" != 0 ]; then
    echo "PostgreSQL, Chromium or pdfinfo is absent, and only root can install them: expect failures"
    return
  fi
  export DEBIAN_FRONTEND=noninteractive
  apt-get update -qq
  apt-get install -qq -y --no-install-recommends chromium poppler-utils postgresql >/dev/null
}

# A clone with nothing in it but the commit; the public routing instances lie beside it, if they do here.
clone_to() {
  mkdir -p "$1"
  git clone --quiet . "$1/jointmap"
  if [ -d ../shared ]; then ln -s "$(cd ../shared && pwd)" "$1/shared"; fi
}

# Runs the very command that README gives under the mark <!-- NAME -->.
readme() {
  local command
  command=$(awk -v mark="<!-- $1 -->" '$0 == mark {on = 1} on && /^```/ {if (n++) exit; next} on && n' README.md)
  printf '%s\n' "$command"
  bash -euo pipefail -c "$command"
}

# The demo once more, from a folder in which there is nothing of the checkout.
demo_again() {
  local jointmap=$PWD/.venv/bin/jointmap pages=$PWD/out/pages
  mkdir -p "$1"
  (cd "$1" && "$jointmap" demo out >/dev/null)
  diff -r "$pages" "$1/out/pages"
}
