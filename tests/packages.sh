# shellcheck shell=bash
# Installs what is missing of the sections of tests/packages.txt that are named:
#   source tests/packages.sh; install_missing build demo
# Calls the package manager only when something is missing, and says plainly what stands in the way.

packages_of() {  # packages_of SECTION
  sed -nE "/^# \[$1\]/,/^# \[/{/^#/d;/^[[:space:]]*$/d;p}" "$(dirname "${BASH_SOURCE[0]}")/packages.txt"
}

missing_packages() {  # missing_packages SECTION…: one a line
  local section package
  for section in "$@"; do
    for package in $(packages_of "$section"); do
      [ "$(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null || true)" = installed ] || echo "$package"
    done
  done
}

install_missing() {  # install_missing SECTION…
  if ! command -v dpkg-query >/dev/null; then
    echo "This is no Debian system, so nothing is installed; what stillwell needs is listed in tests/packages.txt." >&2
    return 0
  fi
  local missing as_root=()
  mapfile -t missing < <(missing_packages "$@")
  [ "${#missing[@]}" -gt 0 ] || return 0
  if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null; then
      echo "These packages are missing: ${missing[*]}. Installing them needs root: run this as root, or install sudo." >&2
      return 1
    fi
    as_root=(sudo)
  fi
  echo "Installing ${#missing[@]} packages that are missing: ${missing[*]}"
  local log
  log=$(mktemp)
  if ! { "${as_root[@]}" apt-get update && "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get install -y --no-install-recommends "${missing[@]}"; } >"$log" 2>&1 </dev/null; then
    tail -n 15 "$log" >&2
    rm -f "$log"
    echo "The packages could not be installed: is there a network, and does 'apt-get update' work? Missing: ${missing[*]}" >&2
    return 1
  fi
  rm -f "$log"
}
