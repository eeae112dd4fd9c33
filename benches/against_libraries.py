"""Runs plymend and the libraries on the meshes, writes what was measured, prints the table.

Called by against_libraries.sh: WORK_FOLDER SPREAD_MESH_BINARY RECORD.json [SIZE...]
"""
import hashlib
import json
import math
import os
import platform
import statistics
import subprocess
import sys
import threading
import time

HERE = os.path.dirname(os.path.abspath(__file__))
RADIUS, CRACK, LIMIT = 800.0, 400.0, 250.0
REACHES = [6, 12, 25, 50, 100, 200]
PINNED = {
    "gdist": ("older", "2.1.0"),
    "pygeodesic": ("newer", "0.1.11"),
    "libigl": ("newer", "2.6.3"),
    "potpourri3d": ("newer", "1.4.0"),
}
# They know no limit and would take the whole mesh.
WHOLE_MESH = {"pygeodesic": ["10k", "100k"], "libigl": ["10k"]}
# What was aimed at: seconds of field and areas, worst area error in %, MiB of the whole process.
AIMED = {"10k": (0.005, 0.02, None), "100k": (0.150, 0.01, None), "1M": (8.0, 0.01, 200)}
PATIENCE_S = 240


def truth(reach):
    """Closed form: a band along the great circle and a cap split over both ends."""
    t = reach / RADIUS
    return 2 * CRACK * RADIUS * math.sin(t) + 2 * math.pi * RADIUS**2 * (1 - math.cos(t))


def run(command):
    """Record, wall seconds and peak MiB of a process, or nothing when it fails."""
    start = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    timer = threading.Timer(PATIENCE_S, child.kill)
    timer.start()
    out = child.stdout.read()
    _, status, used = os.wait4(child.pid, 0)
    timer.cancel()
    wall = time.monotonic() - start
    if status != 0:
        return None
    record = json.loads(out)
    record |= {"process_s": wall, "peak_mib": used.ru_maxrss / 1024}
    off = [100 * abs(area / truth(reach) - 1) for area, reach in zip(record["areas_mm2"], REACHES)]
    record |= {"area_percent": off, "worst_area_percent": max(off)}
    return record


def several(command, times):
    """The run with the median field time of several."""
    runs = [one for one in (run(command) for _ in range(times)) if one]
    if not runs:
        return None
    middle = statistics.median_low(one["field_s"] for one in runs)
    chosen = next(one for one in runs if one["field_s"] == middle)
    return chosen | {"field_s_of_each_process": [one["field_s"] for one in runs]}


def main():
    work, binary, written, *sizes = sys.argv[1:]
    sizes = sizes or ["10k", "100k"]
    record = {
        "machine": {"processors": os.cpu_count(), "load_before": os.getloadavg(), "python": platform.python_version()},
        "versions": {name: version for name, (_, version) in PINNED.items()},
        "crack_mm": CRACK, "limit_mm": LIMIT, "reaches_mm": REACHES, "rows": [],
    }
    asked = [str(CRACK), str(LIMIT), *map(str, REACHES)]
    print("versions: " + ", ".join(f"{name} {version}" for name, (_, version) in PINNED.items()))
    print(f"sphere panel R 0.8 m, crack 0.4 m, reach limit 0.25 m; load {os.getloadavg()[0]:.1f}")
    print("area errors in %: the worst of all reaches, and of those from 50 mm up, where 20 points make a line")
    print(
        f"{'mesh':6} {'who':12} {'build s':>9} {'field s':>9} {'cpu s':>9} {'areas s':>9} {'worst %':>9}"
        f" {'50 up %':>9} {'peak MiB':>9} {'cpu ratio':>10}"
    )
    for size in sizes:
        mesh = os.path.join(work, f"sphere-{size}.ply")
        digest = hashlib.sha256(open(mesh, "rb").read()).hexdigest()
        print(f"{size:6} sha256 {digest}")
        times = 1 if size == "1M" else 5
        rows = [("plymend", several([binary, mesh, *asked], times))]
        for name, (env, _) in PINNED.items():
            if size not in WHOLE_MESH.get(name, size):
                print(f"{size:6} {name:12} not run: it knows no limit and would take the whole mesh")
                continue
            python = os.path.join(work, env, "bin", "python")
            command = [python, os.path.join(HERE, "library_times.py"), name, mesh, *asked]
            rows.append((name, several(command, 1 if size == "1M" else 3)))
        own = rows[0][1]
        if own is None:
            sys.exit("plymend itself did not come through")
        for name, row in rows:
            record["rows"].append({"mesh": size, "sha256": digest, "who": name, "measured": row})
            if row is None:
                print(f"{size:6} {name:12} skipped: not installed, failed or over {PATIENCE_S} s")
                continue
            # Processor time: other work on the machine does not count.
            ratio = row["field_cpu_s"] / own["field_cpu_s"] if own["field_cpu_s"] else float("nan")
            print(
                f"{size:6} {name:12} {row['build_s']:9.4f} {row['field_s']:9.4f} {row['field_cpu_s']:9.4f}"
                f" {row['areas_s']:9.4f} {row['worst_area_percent']:9.4f} {max(row['area_percent'][3:]):9.4f}"
                f" {row['peak_mib']:9.0f} {ratio:9.1f}x"
            )
        seconds, percent, mib = AIMED[size]
        checks = [("field and all areas", own["field_s"] + own["areas_s"], seconds, "s"), ("worst area error", own["worst_area_percent"], percent, "%")]
        if mib:
            checks.append(("peak memory", own["peak_mib"], mib, "MiB"))
        for what, got, aim, unit in checks:
            verdict = "reached" if got <= aim else "not reached"
            print(f"{size:6} aim: {what} {aim:g} {unit}: {got:.4g} {unit}, {verdict}")
    record["machine"]["load_after"] = os.getloadavg()
    with open(written, "w") as out:
        json.dump(record, out, indent=1)
    print(f"written: {os.path.basename(written)}")


main()
