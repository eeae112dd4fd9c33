"""Distances against pygeodesic and planar areas against Shapely, on meshes of this program.

    python3 tests/compare_distances.py cargo run --quiet --example mesh_distances --

Needs trimesh 5.2.0, numpy 2.3.4, pygeodesic 0.1.11 and Shapely 2.2.0. Both programs measure the
same triangles from the same vertex. Where all edges are 6 mm or longer, every vertex has to agree
within a thousand millionth; where edges are shorter, this program joins paths that all but agree,
and the bound is a millionth. On a flat sheet the area
within a reach is that of a buffer cut by the sheet, within 0.05 %. WRONG=fine, WRONG=distance or
WRONG=area in the environment puts a small slip in, to see that the comparison notices.
"""

import json
import math
import os
import subprocess
import sys
import tempfile

import numpy as np
import trimesh
from pygeodesic import geodesic
from shapely import LineString, MultiPoint, Point, Polygon, box, union_all

# Shortest edge from which paths are never joined, and the bounds above and below it.
FINE_MM = 6.0
PLAIN_BOUND, FINE_BOUND = 1e-9, 1e-6
SLIPS = {"fine": 2e-9, "distance": 2e-6}
AREA_BOUND = 5e-4
WRONG = os.environ.get("WRONG", "")
PROGRAM = sys.argv[1:]
HATCH = [(250, 200), (330, 200), (330, 300), (250, 300)]
PANELS = {
    "flat": "Flat(length_mm: 700, width_mm: 500)",
    "lid": "Moulding(kind: lid, length_mm: 900, width_mm: 700, crown_along_mm: 60, "
    "crown_across_mm: 45, edge_return_mm: 28, corner_radius_mm: 60)",
    "saddle": "Sections(sections: [%s])"
    % ", ".join(
        "(at_mm: %d, points: [%s])"
        % (x, ", ".join(f"({y}, {150 + (x - 400) ** 2 / 1600 - (y - 300) ** 2 / 1200:.3f})" for y in range(0, 601, 50)))
        for x in range(0, 801, 100)
    ),
    "scan": 'Scan(file: "scan.ply", unit: mm, thin_mm: 0.005)',
}


def scan(folder):
    """A crowned panel with a swage as a scanner sees it: 9800 uneven triangles."""
    rolls = np.random.default_rng(5)
    columns, rows = 80, 61
    s, t = np.meshgrid(np.linspace(0, 1, columns + 1), np.linspace(0, 1, rows + 1))
    s[:, 1:-1] += rolls.uniform(-0.3, 0.3, s[:, 1:-1].shape) / columns
    t[1:-1, :] += rolls.uniform(-0.3, 0.3, t[1:-1, :].shape) / rows
    x, y = 800 * (s - 0.5).ravel(), 600 * (t - 0.5).ravel()
    z = 60 * (1 - (x / 400) ** 2) * (1 - (y / 300) ** 2) + 12 * np.exp(-(((y - 90) / 30) ** 2))
    j, i = np.divmod(np.arange(columns * rows), columns)
    a = j * (columns + 1) + i
    b, d = a + 1, a + columns + 1
    faces = np.concatenate([np.stack([a, b, d + 1], 1), np.stack([a, d + 1, d], 1)])
    mesh = trimesh.Trimesh(np.stack([x, y, z], 1), faces, process=False)
    mesh.export(os.path.join(folder, "scan.ply"))


def ask(folder, surface, questions, more=""):
    path = os.path.join(folder, "panel.ron")
    with open(path, "w") as out:
        out.write(f'(format: 1, name: "panel", surface: {surface}{more})')
    run = subprocess.run([*PROGRAM, path], input="\n".join(questions), capture_output=True, text=True)
    if run.returncode != 0:
        sys.exit(f"{surface[:30]}: {run.stderr}")
    return json.loads(run.stdout)


def open_triangles(record):
    keep = np.ones(len(record["faces"]), bool)
    keep[record["in_openings"]] = False
    return np.array(record["faces"])[keep]


def compare_distances(name, folder, surface, more=""):
    places = np.array(ask(folder, surface, [], more)["positions"])
    middle = places.mean(axis=0)
    # Near the middle, at the farthest corner and in between.
    order = np.argsort(np.linalg.norm(places - middle, axis=1))
    sources = [int(order[0]), int(order[len(order) // 2]), int(order[-1])]
    record = ask(folder, surface, [f"vertex {v}" for v in sources], more)
    triangles = open_triangles(record)
    # An opening's inner vertices have no triangle left and no distance.
    used = np.unique(triangles)
    fresh = np.full(len(places), -1)
    fresh[used] = np.arange(len(used))
    solver = geodesic.PyGeodesicAlgorithmExact(places[used], fresh[triangles].astype(np.int32))
    worst = 0.0
    for source, answer in zip(sources, record["answers"]):
        ours = np.array([answer[v] for v in used], float)
        ours[len(ours) // 3] *= 1 + SLIPS.get(WRONG, 0)
        theirs = solver.geodesicDistances(np.array([fresh[source]], np.int32), None)[0]
        off = np.abs(ours - theirs) / np.maximum(theirs, 1.0)
        # Written so that a value that is no number counts as the worst.
        if not off.max() <= worst:
            worst = float(off.max())
    corners = places[triangles]
    shortest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).min()
    bound = PLAIN_BOUND if shortest >= FINE_MM else FINE_BOUND
    print(
        f"{name}: {len(triangles)} triangles, shortest edge {shortest:.1f} mm, 3 x {len(used)} vertices, "
        f"largest difference {worst:.1e}, bound {bound:.0e}"
    )
    if not worst <= bound:
        sys.exit(f"distances more than {bound} apart")
    return len(triangles), bound


def seen_round(hatch, place, sheet):
    """What a straight way reaches from a place: the sheet less the hatch and what it hides."""
    far = 1e4
    hidden = []
    corners = list(hatch.exterior.coords)
    for a, b in zip(corners, corners[1:]):
        beyond = [(place[0] + far * (x - place[0]), place[1] + far * (y - place[1])) for x, y in (a, b)]
        hidden.append(Polygon([a, b, beyond[1], beyond[0]]).buffer(0))
    return sheet.difference(union_all(hidden).union(hatch))


def round_hatch(hatch, start, reach, sheet):
    """Area within a reach of a place by the shortest way round the hatch."""
    corners = list(hatch.exterior.coords)[:-1]
    clear = lambda a, b: LineString([a, b]).intersection(hatch.buffer(-1e-6)).length < 1e-9
    length = {k: math.dist(start, c) if clear(start, c) else math.inf for k, c in enumerate(corners)}
    for _ in corners:
        for k, c in enumerate(corners):
            for m, other in enumerate(corners):
                if clear(c, other):
                    length[m] = min(length[m], length[k] + math.dist(c, other))
    parts = [Point(start).buffer(reach, quad_segs=720).intersection(seen_round(hatch, start, sheet))]
    for k, c in enumerate(corners):
        if length[k] < reach:
            around = Point(c).buffer(reach - length[k], quad_segs=720)
            # A hair off the corner, so that the sides that meet there hide nothing of themselves.
            off = [c[i] + 1e-7 * (c[i] - hatch.centroid.coords[0][i]) for i in (0, 1)]
            parts.append(around.intersection(seen_round(hatch, off, sheet)))
    return union_all(parts).area


def compare_areas(folder):
    sheet, hatch = box(0, 0, 700, 500), Polygon(HATCH)
    numbers = lambda places: " ".join(f"{x} {y}" for x, y in places)
    crack = [(430, 90), (560, 210)]
    bent = [(480, 420), (600, 420), (600, 330)]
    nearby = [(20, 30), (140, 10), (170, 120), (60, 150)]
    over_edge = [(-30, 440), (90, 440), (90, 530), (-30, 530)]
    round_it = [(230, 180), (350, 180), (350, 320), (230, 320)]
    near_hatch = (300, 150)
    wide = lambda shape, reach: shape.buffer(reach, quad_segs=720).intersection(sheet).area
    rows = []
    for reach in (6, 25, 60, 120):
        rows += [
            ("crack", f"line {reach} {numbers(crack)}", wide(LineString(crack), reach), reach <= 60),
            ("L-shaped crack", f"line {reach} {numbers(bent)}", wide(LineString(bent), reach), True),
            ("patch near two edges", f"patch {reach} {numbers(nearby)}", wide(Polygon(nearby), reach), reach <= 60),
            ("patch over a corner", f"patch {reach} {numbers(over_edge)}", wide(Polygon(over_edge), reach), True),
            (
                "patch round an opening",
                f"patch {reach} {numbers(round_it)}",
                Polygon(round_it).buffer(reach, quad_segs=720).intersection(sheet).area - hatch.area,
                True,
            ),
            ("point past an opening", f"point {2 * reach} {numbers([near_hatch])}", round_hatch(hatch, near_hatch, 2 * reach, sheet), True),
        ]
    rows = [row for row in rows if row[3]]
    opening = f', openings: [(name: "hatch", outline: {HATCH})]'
    record = ask(folder, PANELS["flat"], [row[1] for row in rows], opening)
    worst = 0.0
    for (what, question, expected, _), got in zip(rows, record["answers"]):
        if WRONG == "area":
            got *= 1.0006
        off = abs(got / expected - 1)
        print(f"  {what}, reach {question.split()[1]} mm: {got:.1f} mm2, expected {expected:.1f}, {100 * off:.4f} %")
        if not off <= worst:
            worst = off
    return len(rows), worst


def main():
    bounds, largest = [], 0
    with tempfile.TemporaryDirectory() as folder:
        scan(folder)
        cases = [(name, surface, "") for name, surface in PANELS.items()]
        cases.append(("flat with an opening", PANELS["flat"], f', openings: [(name: "hatch", outline: {HATCH})]'))
        for name, surface, more in cases:
            triangles, bound = compare_distances(name, folder, surface, more)
            bounds.append(bound)
            largest = max(largest, triangles)
        areas, area_off = compare_areas(folder)
    print(f"{len(bounds)} meshes; {areas} areas, by {100 * area_off:.4f} % at most")
    if len(bounds) != 5 or bounds.count(PLAIN_BOUND) < 2 or largest < 5000 or areas != 22:
        sys.exit(f"bounds {bounds}, the largest mesh of {largest} triangles, {areas} areas: not all was compared")
    if not area_off <= AREA_BOUND:
        sys.exit(f"areas more than {100 * AREA_BOUND} % apart")


main()
