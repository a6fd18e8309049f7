#!/usr/bin/env bash
# Random input to the real window for a while: what happens to it, and does its memory grow?
#
#   tests/soak.sh [MINUTES] [SEED]      (60 minutes, seed 1)
#
# Needs Xvfb and xdotool (Debian: apt-get install xvfb xdotool). Settings, recovery copies and the project
# live in a folder of their own that is thrown away; nothing outside it is touched. Ends with 0 when the
# window lived to the end, said nothing of an internal fault and took no more than MB_MORE more memory
# from its fifth part on.
set -euo pipefail
cd "$(dirname "$0")/.."
minutes=${1:-60} seed=${2:-1}
MB_MORE=${MB_MORE:-64}
display=${SOAK_DISPLAY:-:97}
program=${HUEGAUGE:-target/release/huegauge}
[ -x "$program" ] || cargo build --release --locked

work=$(mktemp -d)
pids=()
finish() {
  # Only what was started here, by its own number.
  for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null || true; done
  rm -rf "$work"
}
trap finish EXIT

Xvfb "$display" -screen 0 1280x900x24 -nolisten tcp -noreset >/dev/null 2>&1 &
pids+=($!)
export DISPLAY=$display HUEGAUGE_CONFIG_DIR=$work/config
for _ in $(seq 50); do xdotool getdisplaygeometry >/dev/null 2>&1 && break; sleep 0.1; done

cp demo-projects/quovvle-yoke.ron "$work/project.ron"
# One arena: with several the allocator keeps room in each of them, which would look as if the program did.
MALLOC_ARENA_MAX=1 RUST_BACKTRACE=1 "$program" "$work/project.ron" >"$work/out" 2>"$work/err" &
window_pid=$!
pids+=("$window_pid")
for _ in $(seq 200); do
  window=$(xdotool search --pid "$window_pid" --onlyvisible 2>/dev/null | tail -1) && [ -n "$window" ] && break
  sleep 0.1
done
xdotool windowfocus "$window" 2>/dev/null || true

resident_kb() { awk '/^VmRSS/ { print $2 }' "/proc/$window_pid/status" 2>/dev/null || echo 0; }

# A burst of random input as one script for xdotool. Quitting keys are left out: a soak must go on.
burst() {
  awk -v seed="$1" 'BEGIN {
    srand(seed)
    n = split("a b d e f g m p r t x z 1 2 3 plus minus space Tab Return Escape Delete Left Right Up Down Home End Page_Up Page_Down F1 F2 ctrl+z ctrl+y ctrl+shift+z ctrl+c ctrl+v ctrl+a ctrl+s ctrl+n ctrl+plus ctrl+minus ctrl+0 shift+Tab shift+Left shift+Up", keys, " ")
    for (i = 0; i < 200; i++) {
      what = rand()
      x = int(rand() * 1280); y = int(rand() * 800)
      if (what < 0.35) printf "mousemove %d %d\nclick 1\n", x, y
      else if (what < 0.45) printf "mousemove %d %d\nmousedown 1\nmousemove %d %d\nmouseup 1\n", x, y, int(rand() * 1280), int(rand() * 800)
      else if (what < 0.50) printf "mousemove %d %d\nclick 3\n", x, y
      else if (what < 0.62) printf "click %d\n", (rand() < 0.5 ? 4 : 5)
      else if (what < 0.75) printf "mousemove %d %d\n", x, y
      else if (what < 0.80) printf "type --delay 1 \"%d.%d\"\n", int(rand() * 1000), int(rand() * 10)
      else printf "key %s\n", keys[1 + int(rand() * n)]
    }
  }'
}

start=$(date +%s) end=$(($(date +%s) + minutes * 60)) events=0 round=0
first=$(resident_kb) settled=0 most=0
echo "minute  events     resident"
while [ "$(date +%s)" -lt "$end" ]; do
  round=$((round + 1))
  burst $((seed * 1000003 + round)) | timeout 60 xdotool - >/dev/null 2>&1 || true
  events=$((events + 200))
  if ! kill -0 "$window_pid" 2>/dev/null; then
    echo "the window ended after $events events (seed $seed, round $round):"; tail -40 "$work/err"; exit 1
  fi
  now=$(resident_kb) passed=$(($(date +%s) - start))
  [ "$now" -gt "$most" ] && most=$now
  [ "$settled" -eq 0 ] && [ $((passed * 5)) -ge $((minutes * 60)) ] && settled=$now
  [ $((round % 25)) -eq 0 ] && printf '%6s  %9s  %d MB\n' "$((passed / 60))" "$events" "$((now / 1024))"
done
last=$(resident_kb)
[ "$settled" -eq 0 ] && settled=$first
echo "$events events in $minutes min: $((first / 1024)) MB at the start, $((settled / 1024)) MB after a fifth," \
  "$((last / 1024)) MB at the end, $((most / 1024)) MB at most"
if grep -qiE "internal fault|panicked" "$work/err"; then
  echo "faults:"; grep -iE "internal fault|panicked" "$work/err" | head -20; exit 1
fi
if [ $(((last - settled) / 1024)) -gt "$MB_MORE" ]; then
  echo "memory grew by more than $MB_MORE MB"; exit 1
fi
