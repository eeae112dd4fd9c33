#!/usr/bin/env bash
# Time and peak memory of reading, welding and checking a scan of two million triangles, release
# build: seven runs of each format, the median of each; then the skin of one of them.
#
#     bash benches/scan_reading.sh
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
cargo build --release --locked --quiet --example scan_timing
TIMING=${CARGO_TARGET_DIR:-target}/release/examples/scan_timing
FOLDER=$(mktemp -d)
trap 'rm -rf "$FOLDER"' EXIT
"$TIMING" write "$FOLDER"
python3 - "$TIMING" "$FOLDER" <<'PY'
import os, re, statistics, subprocess, sys

timing, folder = sys.argv[1:]
for name in ["large.stl", "large.ply", "large.obj"]:
    seconds, cpu, peak = [], [], []
    for _ in range(7):
        run = subprocess.Popen([timing, f"{folder}/{name}"], stdout=subprocess.PIPE, text=True)
        text = run.stdout.read()
        _, status, used = os.wait4(run.pid, 0)
        assert status == 0, text
        seconds.append(float(re.search(r"together ([0-9.]+) s", text).group(1)))
        cpu.append(used.ru_utime + used.ru_stime)
        peak.append(used.ru_maxrss / 1024)
    print(
        f"{name}: {statistics.median(seconds):.2f} s, CPU {statistics.median(cpu):.2f} s, "
        f"peak memory {statistics.median(peak):.0f} MiB (median of 7)"
    )
PY
"$TIMING" "$FOLDER/large.ply" whole
