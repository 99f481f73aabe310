# Runs the checks one by one: each is named and timed, the first failure stops everything.
# Sourced after common.sh.

PASSED=0 FAILED=0 SKIPPED=0

# step NAME MENDS COMMAND…  runs a command; its output is shown only when it fails, with the
# sentence that says what to do. Tests that it reports are added up.
step() {
  local name=$1 mends=$2 log=test-results/${1//[^A-Za-z0-9]/-}.log began=$SECONDS status=0
  shift 2
  mkdir -p test-results
  printf '%-46s' "$name"
  "$@" >"$log" 2>&1 || status=$?
  local passed failed skipped
  passed=$(count passed pass "$log")
  failed=$(count failed fail "$log")
  skipped=$(( $(count ignored skipped "$log") + $(count skipped todo "$log") ))
  PASSED=$((PASSED + passed)) SKIPPED=$((SKIPPED + skipped))
  if [ "$status" = 0 ] && [ "$failed" = 0 ]; then
    printf 'ok %5s s' $((SECONDS - began))
    [ "$passed" = 0 ] || printf '   %s tests' "$passed"
    [ "$skipped" = 0 ] || printf '   %s NOT RUN' "$skipped"
    printf '\n'
    return
  fi
  FAILED=$((FAILED + (failed > 0 ? failed : 1)))
  printf 'FAILED %s s\n\n' $((SECONDS - began))
  cat "$log"
  printf '\n%s failed. %s\n' "$name" "$mends"
  close
  exit 1
}

# beside KEY COMMAND…  begins a command beside the steps that follow: builds for the browser keep one core busy,
# so does Python. `step NAME MENDS finished KEY` waits for it and counts as a step.
declare -A BESIDE=()
beside() {
  local key=$1
  shift
  mkdir -p test-results
  (
    began=$SECONDS status=0
    "$@" || status=$?
    printf 'It took %s s beside other steps.\n' $((SECONDS - began))
    exit "$status"
  ) >"test-results/beside-$key.log" 2>&1 &
  BESIDE[$key]=$!
}
# Nothing outlives the run.
trap 'jobs -p | xargs -r kill 2>/dev/null || true' EXIT

finished() {
  local status=0
  wait "${BESIDE[$1]}" || status=$?
  cat "test-results/beside-$1.log"
  return "$status"
}

# A check that cannot be made here is said aloud and counted.
not_run() {
  printf '%-46sNOT RUN: %s\n' "$1" "$2"
  SKIPPED=$((SKIPPED + 1))
}

close() {
  if [ "$SKIPPED" = 0 ]; then
    printf '%s passed, %s failed\n' "$PASSED" "$FAILED"
  else
    printf '%s passed, %s failed, %s skipped\n' "$PASSED" "$FAILED" "$SKIPPED"
  fi
}

# count WORD NODE_WORD LOG  adds up what the runners' closing lines say: cargo's and pytest's
# "3 passed", Node's "pass 3".
count() {
  awk -v word="$1" -v node="$2" '
    /^test result:/ || /^=*[ ]*[0-9]+ (passed|failed|skipped).* in [0-9.]+s/ {
      for (i = 2; i <= NF; i++) { said = $i; gsub(/[;,.]/, "", said); if (said == word) sum += $(i - 1) }
    }
    NF == 3 && ($1 == "#" || $1 == "ℹ") && $2 == node { sum += $3 }
    END { print sum + 0 }
  ' "$3"
}
