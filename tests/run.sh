#!/usr/bin/env bash
# Builds stillwell and passes every test, on a fresh Debian 12 as root or through sudo.
#
#   tests/run.sh           plain build, sanitizer builds, format and static analysis (what CI does)
#   tests/run.sh --quick   plain build and its tests only
#   tests/run.sh --all     as without options, with the full-size random campaigns, clang's static analyzer and an
#                          emulated board for the pins
#
# Ends with one line "N passed, N failed" and exits 0 only when nothing failed.
set -euo pipefail
cd "$(dirname "$0")/.."

mode=${1:-}
case "$mode" in
  '' | --quick | --all) ;;
  *) echo "usage: tests/run.sh [--quick|--all]" >&2; exit 2 ;;
esac
[ "$mode" = --all ] && export STILLWELL_FULL=1

source tests/packages.sh
install_missing build demo test

# One object for all builds where the command is the same, but for the folder: the tests are compiled once.
export CCACHE_NOHASHDIR=1 CCACHE_BASEDIR=$PWD

build_root=${BUILD_ROOT:-build}
logs=$build_root/logs
mkdir -p "$logs"
passed=0
failed=0

count() {  # count NAME PASSED FAILED
  passed=$((passed + $2))
  failed=$((failed + $3))
  printf '%s: %d passed, %d failed, %d s after the start\n\n' "$1" "$2" "$3" "$SECONDS"
}

# A step that is one test of its own: it passes when the command does.
check() {  # check NAME COMMAND…
  local name=$1
  shift
  if "$@" >"$logs/$name.log" 2>&1; then
    count "$name" 1 0
  else
    tail -n 60 "$logs/$name.log"
    count "$name" 0 1
  fi
}

# -g1: names and lines for a backtrace; more makes every file a third slower to compile. gold links in half the time.
configure() {  # configure FOLDER BUILD_TYPE SANITIZERS [JOIN]
  cmake -S . -B "$1" -DCMAKE_BUILD_TYPE="$2" -DSTILLWELL_SANITIZE="$3" \
    -DCMAKE_CXX_FLAGS_RELWITHDEBINFO="-O2 -g1 -DNDEBUG" -DSTILLWELL_JOIN="${4:-ON}" \
    -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=gold
}

# Of programs that run as a whole, the cases beyond the one test that ctest counts: "PASSED FAILED".
cases_beyond_one() {  # cases_beyond_one LOG
  sed -nE -e 's/^All tests passed \([0-9]+ assertions? in ([0-9]+) test cases?\)$/\1 \1 0/p' \
    -e 's/^test cases: *([0-9]+) *\| *([0-9]+) passed *\| *([0-9]+) failed.*$/\1 \2 \3/p' "$1" |
    awk '{ passed += $3 > 0 ? $2 : $2 - 1; failed += $3 > 0 ? $3 - 1 : 0 } END { print passed + 0, failed + 0 }'
}

# How many tests run at once for each core, and a pattern of tests that are left out.
at_once=2
skip=
# Configure, build and run the tests of one kind of build; with TARGETS only those test programs.
suite() {  # suite NAME BUILD_TYPE SANITIZERS [TARGETS…]
  local name=$1 type=$2 sanitizers=$3
  shift 3
  local build=$build_root/$name
  local join=ON
  [ "$mode$name" != --allplain ] || join=OFF  # each file by itself once, for the includes that are missing
  if ! { configure "$build" "$type" "$sanitizers" "$join" &&
    cmake --build "$build" -j "$(nproc)" ${1:+--target "$@"}; } >"$logs/$name-build.log" 2>&1; then
    grep -E 'error|Error' -A 5 "$logs/$name-build.log" | head -n 60
    count "$name (build)" 0 1
    return
  fi
  local result=0
  local only=()
  [ $# -eq 0 ] || only=(-R "^($(IFS='|'; echo "$*")):")
  # Most of the long tests wait for a wire or a clock, so more run at once than there are cores.
  ctest --test-dir "$build" --output-on-failure --no-tests=error -j "$((at_once * $(nproc)))" "${only[@]}" ${skip:+-E "$skip"} \
    >"$logs/$name.log" 2>&1 || result=$?
  local total bad
  total=$(sed -nE 's/^[0-9]+% tests passed, ([0-9]+) tests failed out of ([0-9]+)$/\2/p' "$logs/$name.log")
  bad=$(sed -nE 's/^[0-9]+% tests passed, ([0-9]+) tests failed out of ([0-9]+)$/\1/p' "$logs/$name.log")
  if [ -z "$total" ] || { [ "$result" -ne 0 ] && [ "$bad" -eq 0 ]; }; then
    tail -n 60 "$logs/$name.log"
    count "$name (run)" 0 1
    return
  fi
  [ "$bad" -eq 0 ] || grep -vE '^ *[0-9]+/[0-9]+ Test .* Passed' "$logs/$name.log" | tail -n 200
  local more
  read -ra more < <(cases_beyond_one "$build/Testing/Temporary/LastTest.log")
  count "$name" $((total - bad + more[0])) $((bad + more[1]))
}

sources() { git ls-files -co --exclude-standard 'daemon/*.cpp' 'tests/*.cpp'; }
headers() { git ls-files -co --exclude-standard 'include/*.hpp' 'tests/*.hpp'; }

format_is_clean() { { sources; headers; } | xargs clang-format --dry-run -Werror; }
# The files that a build with sanitizers compiles as one are looked at as one, which is four times as fast; the rest of
# daemon/ each by itself. The analyzer takes longer than all other checks together and is left to the full run.
tidy_is_clean() {
  local joined=$build_root/address
  local analyzer=,-clang-analyzer-*
  [ "$mode" != --all ] || analyzer=
  find "$PWD/$joined/daemon" -path '*/Unity/*.cxx' >"$logs/tidy-joined"
  xargs grep -ho 'daemon/.*\.cpp' <"$logs/tidy-joined" | sort >"$logs/tidy-members"
  sources | grep '^daemon/' | sort | comm -23 - "$logs/tidy-members" >"$logs/tidy-others"
  local result=0
  xargs -P "$(nproc)" -n 1 chrt --idle 0 clang-tidy -p "$joined" --quiet \
    --checks="-bugprone-suspicious-include$analyzer" <"$logs/tidy-joined" || result=$?
  xargs -P "$(nproc)" -n 4 chrt --idle 0 clang-tidy -p "$joined" --quiet \
    --checks="-bugprone-suspicious-include$analyzer" <"$logs/tidy-others" || result=$?
  return "$result"
}
# It runs beside all else, in the time in which tests wait for wires and clocks and the cores are idle.
start_tidy() {
  # Before both, for two that configure one folder at a time break each other.
  configure "$build_root/address" RelWithDebInfo address,undefined >"$logs/tidy-configure.log" 2>&1 || true
  set -m  # a process group of its own, so that all of it can be ended
  tidy_is_clean >"$logs/tidy-files.log" 2>&1 &
  tidy=$!
  set +m
  trap 'kill -- "-$tidy" 2>/dev/null || true' EXIT
}
tidy_ended_well() {
  local result=0
  wait "$tidy" || result=$?
  trap - EXIT
  cat "$logs/tidy-files.log"
  return "$result"
}

# What it needs is large and may not be to be had: then it counts neither way, and the last lines say so.
skipped=
board_keeps_its_promises() {
  local result=0
  install_missing board >"$logs/board.log" 2>&1 || true
  tests/board/run.sh "$build_root/board" >>"$logs/board.log" 2>&1 || result=$?
  case "$result" in
    0) count board 1 0 ;;
    3) skipped="board: $(grep '^not run:' "$logs/board.log" | tail -n 1)" ;;
    *) tail -n 60 "$logs/board.log"; count board 0 1 ;;
  esac
}

[ "$mode" = --quick ] || start_tidy
at_once=3 suite plain RelWithDebInfo ""
if [ "$mode" != --quick ]; then
  check format format_is_clean
  # What brings about one cause of the rules after another on the wire shows a sanitizer nothing that the rest does not;
  # nor do commands that have no threads, to the one that watches those.
  causes='causes|rule|pump set|floats|meters|alarms|accounts'
  skip="^test_e2e: ?($causes)" STILLWELL_BRIEF=1 \
    LSAN_OPTIONS="suppressions=$PWD/tests/support/lsan.supp:print_suppressions=0" suite address RelWithDebInfo address,undefined
  skip="^test_e2e: ?($causes|prove|chart|check|matrix|observe|help|mistakes|names|manual|completion|schema|rehearse)" STILLWELL_BRIEF=1 \
    TSAN_OPTIONS="suppressions=$PWD/tests/support/tsan.supp" suite thread RelWithDebInfo thread \
    test_field test_report_threads test_service test_e2e
  check tidy tidy_ended_well
fi
[ "$mode" != --all ] || board_keeps_its_promises

[ -z "$skipped" ] || echo "$skipped"
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
