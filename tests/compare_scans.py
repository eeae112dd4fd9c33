"""Reads the scans of `cargo run --example scan_shapes -- FOLDER` with trimesh and compares.

    cargo run --quiet --example scan_shapes -- FOLDER > FOLDER/read.csv
    python3 tests/compare_scans.py FOLDER

Needs trimesh 5.2.0 and numpy 2.3.4. Counts of triangles have to be the same, counts of corners
too where both name them after equal ones have become one, and areas within a millionth: binary
STL and PLY with single floats hold seven digits, which both readers take as they stand. Binary PLY
with lists of unlike length in an element that is passed over is more than trimesh reads; those
four files are counted and not judged.
"""

import csv
import sys

import trimesh

BOUND = 1e-6
EXPECTED_FILES = 10
LEFT_OUT = ("little.ply", "big.ply")

folder = sys.argv[1]
worst, files, left_out = 0.0, 0, 0
with open(f"{folder}/read.csv", newline="") as rows:
    for row in csv.DictReader(rows):
        if row["file"].endswith(LEFT_OUT):
            left_out += 1
            continue
        mesh = trimesh.load(f"{folder}/{row['file']}", process=False, force="mesh")
        if row["file"].endswith(".stl"):
            mesh.merge_vertices(digits_vertex=9)
        files += 1
        if len(mesh.faces) != int(row["triangles"]):
            sys.exit(f"{row['file']}: {len(mesh.faces)} triangles, expected {row['triangles']}")
        if len(mesh.vertices) != int(row["corners"]):
            sys.exit(f"{row['file']}: {len(mesh.vertices)} corners, expected {row['corners']}")
        off = abs(mesh.area / float(row["area_mm2"]) - 1)
        # Written so that a value that is no number counts as the worst.
        if not off <= worst:
            worst = off

print(f"{files} files and {left_out} left out, largest difference of area {worst:.1e}")
if files != EXPECTED_FILES:
    sys.exit(f"expected {EXPECTED_FILES} files")
if not worst <= BOUND:
    sys.exit(f"areas more than {BOUND} apart")
