# Shared by the scripts: where things are, and how they speak. Sourced, never run.

ROOT=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
cd "$ROOT"
export CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-$ROOT/target}
export CARGO_TERM_QUIET=${CARGO_TERM_QUIET:-true}

say() { printf '%s\n' "$*"; }

# Stops with one plain sentence.
stop() {
  printf '%s\n' "$*" >&2
  exit 1
}

have() { command -v "$1" >/dev/null 2>&1; }

# Installs Debian packages when this machine can: it is Debian, and we are root.
# Says nothing and fails when it cannot; the caller knows what to tell the user.
apt_install() {
  have apt-get && [ "$(id -u)" = 0 ] || return 1
  say "Installing $* (Debian packages) …"
  local log
  log=$(mktemp)
  # Debian allows one installation at a time; who comes second waits.
  if ! (
    flock 9
    apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -qy --no-install-recommends "$@"
  ) >"$log" 2>&1 9>"${TMPDIR:-/tmp}/platewright-apt.lock"; then
    tail -n 5 "$log" >&2
    rm -f "$log"
    return 1
  fi
  rm -f "$log"
}
