#!/usr/bin/env bash
# The whole orchard, live, on this machine: builds stillwell, starts a private broker, the simulated site and the
# daemon, and shows what the daemon sees. Nothing outside its own temporary directory is touched.
#
#   daemon/demo.sh              until interrupted
#   daemon/demo.sh --for 60s    ends by itself with a summary; exits 0 only when the story was told whole, which takes
#                               45 s at least
#   daemon/demo.sh --keep       leaves the temporary directory (logs, journal, what the subscriber received)
#   daemon/demo.sh --port 1884  the broker's port on 127.0.0.1; by default a free one is found
set -euo pipefail
cd "$(dirname "$0")/.."

say() { printf '%s\n' "$*"; }
fail() {
  printf 'demo: %s\n' "$*" >&2
  exit "${code:-1}"
}
usage() { code=2 fail "$1; usage: daemon/demo.sh [--for 60s] [--keep] [--port PORT]"; }

# From the times of config/demo: the cistern runs low after some 8 s and trips the lift; the bore waits 14 s and needs
# 5 s to bring the cistern back; then the lift needs 13 s to its stop level. The rest is for a slow machine.
shortest=45

run_for=''
keep=''
port=''
while [ $# -gt 0 ]; do
  case "$1" in
    --help | -h)
      sed -nE '2,/^set /{/^#/s/^# ?//p}' daemon/demo.sh
      exit 0
      ;;
    --for | --port) [ $# -ge 2 ] || usage "$1 wants a value" ;;&
    --for)
      [[ $2 =~ ^([1-9][0-9]{0,4})(s|m|min)?$ ]] || usage "--for wants a time such as 60s or 2m, not '$2'"
      run_for=${BASH_REMATCH[1]}
      [[ ${BASH_REMATCH[2]} != m* ]] || run_for=$((run_for * 60))
      [ "$run_for" -ge "$shortest" ] || code=2 fail "--for $2 is too short: until the lift has tripped, come back and stopped on level takes $shortest s; give --for ${shortest}s or more."
      shift 2
      ;;
    --port)
      if ! [[ $2 =~ ^[1-9][0-9]{0,4}$ ]] || [ "$2" -gt 65535 ]; then usage "--port wants a number up to 65535, not '$2'"; fi
      port=$2
      shift 2
      ;;
    --keep)
      keep=yes
      shift
      ;;
    *) usage "'$1' is no option" ;;
  esac
done

# --- what it takes -----------------------------------------------------------------------------------------------

# shellcheck source=tests/packages.sh
source tests/packages.sh
install_missing build demo || exit 1
PATH=$PATH:/usr/sbin # where Debian keeps mosquitto
for tool in cmake g++ mosquitto mosquitto_sub sed awk setsid timeout; do
  command -v "$tool" >/dev/null || fail "'$tool' is not installed; tests/packages.txt names the packages that are needed."
done

build=${BUILD_ROOT:-build}/demo
mkdir -p "$build"
build_all() {
  cmake -S . -B "$build" -DCMAKE_BUILD_TYPE=Release -DSTILLWELL_TESTS=OFF &&
    cmake --build "$build" -j "$(nproc)" --target stillwell stillwell-orchard
}
# How far it is, on a terminal: "[ 42%] Building …" of make, "[21/50] Building …" of ninja.
show_progress() {
  local line
  while IFS= read -r line; do
    if [ -t 1 ] && [[ $line =~ ^\[\ *([0-9]+%|[0-9]+/[0-9]+)\] ]]; then printf '\r  %s built ' "${BASH_REMATCH[1]}"; fi
  done
  [ ! -t 1 ] || printf '\r\033[K'
}
first=''
[ -x "$build/stillwell" ] || first=yes
[ -z "$first" ] || say "Building stillwell in $build; the first time this takes several minutes."
if ! build_all 2>&1 | tee "$build/demo-build.log" | show_progress; then
  tail -n 40 "$build/demo-build.log" >&2
  fail "the build failed; all of its output is in $build/demo-build.log."
fi
[ -z "$first" ] || say "Built."

# --- everything that is started is stopped again, the daemon first ------------------------------------------------

run=$(mktemp -d "${TMPDIR:-/tmp}/stillwell-demo.XXXXXX")
mkdir "$run/state"
started=() # pids, the newest first: the daemon is stopped before what it depends on
interrupted=''

stop() { # stop PID: asks, waits at most 15 s, then insists
  kill -TERM "$1" 2>/dev/null || return 0
  local turn
  for ((turn = 0; turn < 150; turn++)); do
    kill -0 "$1" 2>/dev/null || return 0
    sleep 0.1
  done
  kill -KILL "$1" 2>/dev/null || true
}
stop_all() {
  local pid
  for pid in "${started[@]}"; do stop "$pid"; done
  started=()
}
# shellcheck disable=SC2317 # called by the trap
tidy() {
  stop_all
  if [ -n "$keep" ]; then
    say "Everything of this run is kept in $run"
  else
    rm -rf "$run"
  fi
}
trap tidy EXIT
trap 'interrupted=yes' INT TERM HUP

# In a session of its own, so that an interrupt from the keyboard does not stop everything at once in no order.
launch() { # launch NAME COMMAND…: its output goes to NAME.log; sets $pid
  local name=$1
  shift
  setsid "$@" </dev/null >"$run/$name.out" 2>"$run/$name.log" &
  pid=$!
  started=("$pid" "${started[@]}")
}
alive() { kill -0 "$1" 2>/dev/null; }
give_up() { # give_up NAME SENTENCE
  tail -n 15 "$run/$1.log" >&2
  fail "$2"
}
wait_for() { # wait_for SECONDS PID COMMAND…: false when the time is over or the process has gone
  local turns=$(($1 * 10)) watched=$2
  shift 2
  while ((turns-- > 0)); do
    "$@" >/dev/null 2>&1 && return 0
    alive "$watched" && [ -z "$interrupted" ] || return 1
    sleep 0.1
  done
  return 1
}

# --- broker --------------------------------------------------------------------------------------------------------

listening() { (exec 3<>"/dev/tcp/127.0.0.1/$1") 2>/dev/null; }

start_broker() { # start_broker PORT: false when it cannot have it
  listening "$1" && return 1
  printf '%s\n' "listener $1 127.0.0.1" 'allow_anonymous true' 'persistence false' "user $(id -un)" \
    'log_dest stderr' >"$run/mosquitto.conf"
  launch mosquitto mosquitto -c "$run/mosquitto.conf"
  broker=$pid
  wait_for 10 "$broker" listening "$1" && alive "$broker"
}

if [ -n "$port" ]; then
  start_broker "$port" || fail "port $port of 127.0.0.1 is taken or refused; name another with --port, or leave it out to have a free one found."
else
  for _ in 1 2 3 4 5 6 7 8 9 10; do
    port=$((20000 + RANDOM % 12000)) # below the ports that the system hands out to clients
    start_broker "$port" && break
    port=''
  done
  [ -n "$port" ] || give_up mosquitto "no free port was found for the broker."
fi

launch readings mosquitto_sub -h 127.0.0.1 -p "$port" -v -t 'homie/5/#'
launch events mosquitto_sub -h 127.0.0.1 -p "$port" -q 1 -t stillwell/orchard/events
readings=$run/readings.out
events=$run/events.out

# --- orchard and daemon --------------------------------------------------------------------------------------------

config=$run/stillwell.yaml
sed -e "s|/run/stillwell-demo|$run|g" -e "s|127\.0\.0\.1:18830|127.0.0.1:$port|g" config/demo/stillwell.yaml >"$config"

launch orchard "$build/stillwell-orchard" --config "$config" --scenario config/demo/scenario.yaml
wait_for 20 "$pid" grep -qx ready "$run/orchard.out" || give_up orchard "the simulated orchard did not start."

launch daemon "$build/stillwell" run --config "$config" --state "$run/state" --socket "$run/stillwell.sock"
daemon=$pid
status=("$build/stillwell" status --socket "$run/stillwell.sock")
answers() { # 1: it answers, and something needs attention
  local code=0
  "${status[@]}" || code=$?
  ((code <= 1))
}
wait_for 30 "$daemon" answers || give_up daemon "the daemon did not start."

# --- the show ------------------------------------------------------------------------------------------------------

# The newest of what the subscriber received, on one line.
status_line() {
  awk -v seconds="$SECONDS" '
    { at[$1] = $2 }
    function percent(tank) { return sprintf("%s %5.1f %%", tank, at["homie/5/orchard-" tank "/water/percent"]) }
    function state(pump) { return pump " " at["homie/5/orchard-" pump "/pump/state"] }
    END {
      printf "%3d s   %s   %s   %s   %s   %s   %s   %s\n", seconds, percent("header"), percent("cistern"),
        percent("bore-well"), percent("sump"), state("lift"), state("bore"), state("drain")
    }' "$readings"
}

SECONDS=0
if [ -t 1 ] && [ -z "$run_for" ]; then
  "${status[@]}" --watch || true
elif [ -t 1 ]; then
  timeout --foreground "$run_for" "${status[@]}" --watch || true
else
  say "The orchard runs${run_for:+ for $run_for s}; broker on 127.0.0.1:$port, everything else in $run."
  next=5
  while [ -z "$interrupted" ] && alive "$daemon" && { [ -z "$run_for" ] || [ "$SECONDS" -lt "$run_for" ]; }; do
    sleep 1 || true
    [ "$SECONDS" -ge "$next" ] || continue
    status_line
    next=$((next + 5))
  done
fi
alive "$daemon" || give_up daemon "the daemon ended before its time."
stop_all

# --- the story, as the subscriber received it ------------------------------------------------------------------------

value() { sed -nE "s/.*\"$1\": ?\"(([^\"\\\\]|\\\\.)*)\".*/\1/p" <<<"$2"; }
told() { # told KIND OF CAUSE (extended regular expressions): how many such events were received
  grep -E "\"kind\": ?\"$1\"" "$events" | grep -E "\"of\": ?\"$2\"" | grep -cE "\"cause\": ?\"$3\"" || true
}

say
say "What a subscriber was told:"
while IFS= read -r line; do
  kind=$(value kind "$line")
  case "$kind" in start | stop | trip | lockout | alarm) ;; *) continue ;; esac
  at=$(value at "$line")
  printf '  %s  %-7s %-14s %s\n' "${at:11:8}" "$kind" "$(value of "$line")" "$(value text "$line")"
done <"$events"

level='^homie/5/orchard-header/water/level -?[0-9]+(\.[0-9]+)?$'
levels=$(grep -cE "$level" "$readings" || true)
starts=$(told start lift start-level)
stops=$(told stop lift stop-level)
trips=$(told trip lift source-low)
low_alarms=$(told alarm '[a-z0-9-]+/low' unacknowledged)
say
say "readings of the header: $levels   starts on level: $starts   stops on level: $stops   dry-run trips: $trips   low alarms: $low_alarms"

lacking=''
need() { [ "$1" -gt 0 ] || lacking+="${lacking:+, }$2"; } # need COUNT WHAT
need "$levels" "a reading of the header at the subscriber"
need "$starts" "a start of the lift on level"
need "$stops" "a stop of the lift on level"
need "$trips" "a source-low trip of the lift"
need "$low_alarms" "a low alarm"
if [ -z "$lacking" ]; then
  say "The story is whole: from bytes on a wire to a subscriber, and back to a contact."
  exit 0
fi
[ -n "$run_for" ] || { say "Not seen before it was stopped: $lacking."; exit 0; }
keep=yes
fail "not seen${interrupted:+ before it was interrupted}: $lacking."
