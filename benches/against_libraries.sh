#!/usr/bin/env bash
# Distances from a crack and areas within reaches of it, reading of scans, many marks and the cost
# of a growing body, against public libraries where they do the same, in one run on the same meshes.
# Raw times, versions and mesh hashes go to target/against-libraries.json and target/whole-jobs.json.
#
#     bash benches/against_libraries.sh [10k] [100k] [1M] [reading] [marks] [reach]
#
# Default: 10k 100k reading reach. `1M` and `marks` take minutes and 2 GiB.
# Python packages are pinned and put into environments of their own under target/; a package that
# cannot be had is skipped with a line that says so.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
target="${CARGO_TARGET_DIR:-target}"
cargo build --release --locked --quiet --bin plymend --example spread_mesh --example scan_timing
[ $# -gt 0 ] || set -- 10k 100k reading reach
sizes=() jobs=()
for word in "$@"; do
    case $word in
        10k | 100k | 1M) sizes+=("$word") ;;
        reading | marks | reach) jobs+=("$word") ;;
        *) echo "unknown: $word" >&2 && exit 2 ;;
    esac
done

work="$target/against-libraries"
mkdir -p "$work"
# gdist needs an older numpy than the others: two environments.
have() {
    local env="$work/$1" package
    shift
    [ -x "$env/bin/python" ] || python3 -m venv "$env"
    for package in "$@"; do
        "$env/bin/python" -m pip install --quiet --prefer-binary "$package" 2>/dev/null ||
            "$env/bin/python" -m pip install --quiet --no-cache-dir --only-binary :all: "$package" 2>/dev/null ||
            echo "skipped: $package cannot be installed"
    done
}
have older numpy==1.26.4 gdist==2.1.0
have newer numpy==2.4.6 scipy==1.17.1 pygeodesic==0.1.11 potpourri3d==1.4.0 libigl==2.6.3 trimesh==5.2.0 meshio==5.3.5
"$work/newer/bin/python" benches/make_meshes.py "$work"
if [ ${#sizes[@]} -gt 0 ]; then
    "$work/newer/bin/python" benches/against_libraries.py "$work" "$target/release/examples/spread_mesh" \
        "$target/against-libraries.json" "${sizes[@]}"
fi
if [ ${#jobs[@]} -gt 0 ]; then
    "$work/newer/bin/python" benches/whole_jobs.py "$work" "$target" "$target/whole-jobs.json" "${jobs[@]}"
fi
