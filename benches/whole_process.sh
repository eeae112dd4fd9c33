#!/usr/bin/env bash
# Whole-process time and peak memory of the demo, release build: five runs, the median of each.
#
#     bash benches/whole_process.sh
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
cargo build --release --locked --quiet
python3 - <<'PY'
import os, statistics, subprocess, time

seconds, peak = [], []
for _ in range(5):
    start = time.monotonic()
    run = subprocess.Popen(
        ["target/release/plymend", "estimate", "examples/harbour-shuttle/survey-a.ron"],
        stdout=subprocess.DEVNULL,
    )
    _, status, used = os.wait4(run.pid, 0)
    seconds.append(time.monotonic() - start)
    peak.append(used.ru_maxrss / 1024)
    assert status >> 8 == 1, f"the demo ends with exit code 1, not {status >> 8}"
print(f"wall {statistics.median(seconds):.2f} s, peak memory {statistics.median(peak):.0f} MiB (median of 5)")
PY
