"""Reading large scans against libraries; many marks on a large body; cost that follows the reach.

Called by against_libraries.sh: WORK_FOLDER TARGET_FOLDER RECORD.json [reading] [marks] [reach]
"""
import hashlib
import json
import os
import re
import statistics
import subprocess
import sys
import time

import numpy as np

import make_meshes

HERE = os.path.dirname(os.path.abspath(__file__))
LIBRARIES = ["trimesh", "trimesh merged", "meshio", "libigl"]
READ_AIM_S = {"large.stl": 0.5, "large.ply": 0.35, "large.obj": 0.6}
READ_AIM_MIB, MARKS_AIM_S, REACH_AIM = 350, 2.0, 0.2
BODY_SIDE_MM, BODY_RADIUS_MM = 2500, 2000
# Cells a side of bodies with the same fineness: 100k, 400k, 1M and 4M triangles.
GROWING = [224, 447, 707, 1414]


def run(command):
    """Text, wall seconds, processor seconds and peak MiB of a process; nothing when it fails."""
    start = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    text, told = child.stdout.read(), child.stderr.read()
    _, status, used = os.wait4(child.pid, 0)
    # Exit code 1 is an estimate that needs a person.
    if os.waitstatus_to_exitcode(status) not in (0, 1) or not text:
        print(f"  failed: {' '.join(command)[:90]}: {told[-200:]}")
        return None
    return text, time.monotonic() - start, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def digest(path):
    return hashlib.sha256(open(path, "rb").read()).hexdigest()


def said(what, got, aim, unit):
    verdict = "reached" if got <= aim else "not reached"
    print(f"  aim: {what} {aim:g} {unit}: {got:.4g} {unit}, {verdict}")
    return {"what": what, "aim": aim, "got": got, "unit": unit, "verdict": verdict}


def reading(work, target):
    timing = os.path.join(target, "release/examples/scan_timing")
    if not os.path.exists(os.path.join(work, "large.obj")):
        subprocess.run([timing, "write", work], check=True)
    rows = []
    for name, aim in READ_AIM_S.items():
        path = os.path.join(work, name)
        print(f"{name}, {os.path.getsize(path) / 1e6:.0f} MB, sha256 {digest(path)}")
        runs = [one for one in (run([timing, path]) for _ in range(5)) if one]
        if not runs:
            sys.exit("plymend itself did not come through")
        together = [float(re.search(r"together ([0-9.]+) s", one[0]).group(1)) for one in runs]
        own = statistics.median(together)
        peak = statistics.median(one[3] for one in runs)
        row = {"file": name, "sha256": digest(path), "plymend_s": together, "cpu_s": [one[2] for one in runs], "peak_mib": peak, "others": {}}
        print(f"  {'plymend, welded and checked':28} {own:8.3f} s {peak:7.0f} MiB")
        for library in LIBRARIES:
            python = os.path.join(work, "newer/bin/python")
            got = [one for one in (run([python, os.path.join(HERE, "library_reading.py"), library, path]) for _ in range(3)) if one]
            if not got:
                continue
            told = [json.loads(one[0]) for one in got]
            middle = statistics.median(each["read_s"] for each in told)
            row["others"][library] = {"read_s": [each["read_s"] for each in told], "version": told[0]["version"], "peak_mib": got[0][3]}
            print(f"  {library + ' ' + told[0]['version']:28} {middle:8.3f} s {got[0][3]:7.0f} MiB {middle / own:6.1f}x of plymend's time")
        row["aims"] = [said("reading", own, aim, "s"), said("peak memory", peak, READ_AIM_MIB, "MiB")]
        rows.append(row)
    return rows


def marks(work, target):
    """A hundred marks on a scan of a million triangles; reading and laying out is taken off.

    The scan is thinned as any other is: a skin has at most 60 000 triangles.
    """
    folder = os.path.join(work, "marks")
    os.makedirs(folder, exist_ok=True)
    mesh = os.path.join(folder, "body.ply")
    # Large enough that a hundred prepared areas, with backings, stand apart.
    make_meshes.write_ply(mesh, *make_meshes.panel(707, side=BODY_SIDE_MM, radius=BODY_RADIUS_MM))
    with open(os.path.join(folder, "panel.ron"), "w") as out:
        out.write(
            '(format: 1, name: "body", surface: Scan(file: "body.ply", unit: mm, turn_flipped: true), '
            "laminate: (thickness_mm: 2.5), material: hand_laid_polyester, roles: [skin], back: reached, fixings: none_seen)"
        )
    rows, kinds = [], ["hole", "crazing", "delamination"]
    for number in range(100):
        u, v = (BODY_SIDE_MM / 10 * (each - 4.5) for each in (number % 10, number // 10))
        far = np.hypot(u, v)
        x, y = (np.sin(far / BODY_RADIUS_MM) * BODY_RADIUS_MM / far * w for w in (u, v))
        z = BODY_RADIUS_MM * np.cos(far / BODY_RADIUS_MM)
        rows.append(
            f'(id: {number + 1}, panel: "body", kind: {kinds[number % 3]}, edges_move: no, '
            f"place: Xyz({x:.3f}, {y:.3f}, {z:.3f}), shape: Patch(length_mm: 30, width_mm: 30, outline: oval))"
        )
    survey = os.path.join(folder, "survey.ron")
    with open(survey, "w") as out:
        out.write(
            '(format: 1, air_c: 20, humidity_percent: 55, panels: [(name: "body", file: "panel.ron")], '
            f"marks: [{', '.join(rows)}])"
        )
    binary = os.path.join(target, "release/plymend")
    print(f"100 marks on a scan of 1M triangles, sha256 {digest(mesh)}")
    panel = run([binary, "panel", os.path.join(folder, "panel.ron")])
    whole = run([binary, "estimate", survey, "--format", "json"])
    if not panel or not whole:
        return {"failed": True}
    triangles = re.search(r"mesh: (\d+) triangles", panel[0]).group(1)
    record = json.loads(whole[0])
    print(f"  mesh after thinning {triangles} triangles; {len(record['repairs'])} repairs")
    print(f"  panel alone {panel[1]:.2f} s (cpu {panel[2]:.2f}); estimate {whole[1]:.2f} s (cpu {whole[2]:.2f}), {whole[3]:.0f} MiB")
    aim = said("100 marks after reading and laying out", whole[1] - panel[1], MARKS_AIM_S, "s")
    return {"panel_s": panel[1:], "estimate_s": whole[1:], "triangles": triangles, "aims": [aim]}


def reach(work, target):
    """The same crack on bodies that grow while the fineness and the crack stay."""
    binary = os.path.join(target, "release/examples/spread_mesh")
    rows, paths = [], []
    for cells in GROWING:
        path = os.path.join(work, f"sheet-{cells}.ply")
        if not os.path.exists(path):
            make_meshes.write_ply(path, *make_meshes.panel(cells, side=1000 * cells / GROWING[0], radius=1e7))
        paths.append(path)
    # Turn and turn about, so that other work on the machine falls on all alike.
    asked = ["400", "250", "50", "100", "200"]
    rounds = [[run([binary, path, *asked]) for path in paths] for _ in range(7)]
    for number, path in enumerate(paths):
        if not all(each[number] for each in rounds):
            sys.exit("plymend itself did not come through")
        told = [json.loads(each[number][0]) for each in rounds]
        # Least of several: other work on the machine only adds.
        cost = min(each["field_cpu_s"] + each["areas_cpu_s"] for each in told)
        rows.append({"triangles": told[0]["triangles"], "sha256": digest(path), "cpu_s": cost, "windows": told[0]["windows_kept"]})
        print(f"sheet of {told[0]['triangles']} triangles: field and areas {cost:.4f} s cpu, {told[0]['windows_kept']} windows, sha256 {rows[-1]['sha256']}")
    spread = max(row["cpu_s"] for row in rows) / min(row["cpu_s"] for row in rows) - 1
    return {"rows": rows, "aims": [said("most over least cost, less 1", spread, REACH_AIM, "")]}


def main():
    work, target, written, *asked = sys.argv[1:]
    record = {"load_before": os.getloadavg()}
    for name, job in (("reading", reading), ("marks", marks), ("reach", reach)):
        if name in asked:
            record[name] = job(work, target)
    record["load_after"] = os.getloadavg()
    with open(written, "w") as out:
        json.dump(record, out, indent=1)
    print(f"written: {os.path.basename(written)}")


main()
