#!/usr/bin/env bash
# Puts each fault of mutations.txt into a copy of the tree, one at a time, and expects a proof to find it.
#
#   tests/proof/mutate.sh              all of them
#   tests/proof/mutate.sh FIRST LAST   those from the FIRST to the LAST, counted from 1
#
# Says of each what found it, and ends with one line "N of N caught". Exits 0 only when all were; a fault whose old
# text does not stand in its file exactly once is an error (2).
set -euo pipefail
cd "$(dirname "$0")/../.."

table=tests/proof/mutations.txt
mapfile -t faults < <(grep -v '^#' "$table")
first=${1:-1}
last=${2:-${#faults[@]}}

work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir "$work/tree"
cp -a CMakeLists.txt daemon include tests config "$work/tree"
tree=$work/tree
export CCACHE_NOHASHDIR=1 CCACHE_BASEDIR=$tree

build() { cmake --build "$work/build" -j "$(nproc)" --target test_proof test_pump >"$work/build.log" 2>&1; }
broken_build() {
  tail -n 20 "$work/build.log" >&2
  echo "$1 does not build" >&2
  exit 2
}

# put_in FILE OLD NEW: the fault, where the old text stands.
put_in() {
  local text rest
  text=$(cat "$tree/$1")
  rest=${text#*"$2"}
  if [ "$rest" = "$text" ] || [ "${rest#*"$2"}" != "$rest" ]; then
    echo "$table: this does not stand in $1 exactly once: $2" >&2
    exit 2
  fi
  printf '%s\n' "${text%%"$2"*}$3$rest" >"$tree/$1"
}

# The proofs from the quickest, the histories with three seeds before they are given up; what found the fault, or
# nothing.
find_fault() {
  local proof seed
  for proof in 'test_pump pump: its invariants hold in any history' \
    'test_proof proof: no history of any site breaks a promise' \
    'test_proof proof: every state of every small pump keeps every promise' \
    '2 test_proof proof: no history of any site breaks a promise' \
    '3 test_proof proof: no history of any site breaks a promise'; do
    seed=
    if [[ $proof == [0-9]* ]]; then
      seed=${proof%% *}
      proof=${proof#* }
    fi
    # A history that never ends is a fault that was found, too.
    if ! env ${seed:+STILLWELL_SEED="$seed"} timeout 600 "$work/build/tests/${proof%% *}" "${proof#* }" >"$work/found.log" 2>&1; then
      if grep -q '^explore' "$work/found.log"; then
        grep '^explore' "$work/found.log" | tail -n 1
      else
        grep -m 1 -oE '(history|site) [0-9]+, scan [0-9]+: .*' "$work/found.log" || echo "a cause that never spoke"
      fi
      return
    fi
  done
}

cmake -S "$tree" -B "$work/build" -DCMAKE_BUILD_TYPE=RelWithDebInfo -DSTILLWELL_JOIN=OFF \
  -DCMAKE_CXX_FLAGS_RELWITHDEBINFO="-O2 -g1 -DNDEBUG -w" -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=gold >"$work/build.log" 2>&1 || broken_build "the tree"
build || broken_build "the tree without a fault"
found=$(find_fault)
if [ -n "$found" ]; then
  echo "the tree without a fault does not pass: $found" >&2
  exit 2
fi

caught=0
for ((number = first; number <= last; ++number)); do
  fault=${faults[number - 1]}
  file=${fault%% | *}
  change=${fault#* | }
  old=${change%% | *}
  new=${change#* | }
  put_in "$file" "$old" "$new"
  build || broken_build "fault $number"
  found=$(find_fault)
  [ -z "$found" ] || caught=$((caught + 1))
  printf '%2d %s: %s -> %s\n   %s\n' "$number" "$file" "$old" "$new" "${found:-NOT CAUGHT}"
  cp -p "$file" "$tree/$file"
  touch "$tree/$file"
done

echo "$caught of $((last - first + 1)) caught"
[ "$caught" -eq $((last - first + 1)) ]
