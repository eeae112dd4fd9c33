"""A public mesh that nobody here made, through the whole program: `check`, `panel`, `estimate`.

    python3 tests/compare_public_mesh.py PLYMEND MESH_DISTANCES

Both arguments are programs of this project. Needs pyvista 0.49.1 (MIT licence), whose wheel ships
the meshes, installed without what it needs itself and never imported; trimesh, numpy and
pygeodesic. An aeroplane of 2452 triangles in 8 pieces is refused as a whole, with the right areas
of its two largest pieces; its fuselage, 1.2 m of thin shell, is a body skin and goes right
through. Two closed meshes are refused. Nothing is kept.
"""

import importlib.metadata
import json
import os
import re
import subprocess
import sys
import tempfile

import numpy as np
import trimesh
from pygeodesic import geodesic

PLYMEND, DISTANCES = sys.argv[1:]
SURVEY = """(format: 1, air_c: 20, humidity_percent: 55, topcoat: brush_enamel,
    old_paint: Clear(by: "a laboratory", date: "May 2026"),
    panels: [(name: "fuselage", file: "panel.ron")],
    marks: [(id: 1, panel: "fuselage", kind: hole, edges_move: no, place: Xyz(%f, %f, %f),
             shape: Patch(length_mm: 40, width_mm: 40, outline: oval))])"""
MAKE_UP = """, laminate: (thickness_mm: 2.5), material: hand_laid_polyester, roles: [skin],
    back: reached, fixings: none_seen"""


def expect(holds, what):
    if not holds:
        sys.exit(what)
    print(f"  {what}: so it is")


def mesh_file(name):
    files = importlib.metadata.files("pyvista")
    return next(str(file.locate()) for file in files if str(file) == f"pyvista/examples/{name}")


def pieces(mesh):
    """The pieces of a mesh, most area first."""
    linked = np.arange(len(mesh.faces))
    # The least number spreads from neighbour to neighbour until nothing changes.
    for _ in linked:
        before = linked.copy()
        for one, other in (mesh.face_adjacency.T, mesh.face_adjacency.T[::-1]):
            np.minimum.at(linked, one, before[other])
        if (linked == before).all():
            break
    parts = [mesh.submesh([np.nonzero(linked == one)[0]], append=True) for one in np.unique(linked)]
    return sorted(parts, key=lambda part: -part.area)


def run(*words):
    return subprocess.run(words, capture_output=True, text=True, timeout=120)


def write_panel(folder, scan, unit, more=""):
    path = os.path.join(folder, "panel.ron")
    with open(path, "w") as out:
        out.write(
            f'(format: 1, name: "fuselage", surface: Scan(file: "{scan}", unit: {unit}, '
            f"thin_mm: 0.005, turn_flipped: true){more})"
        )
    return path


def refused(folder):
    aeroplane = trimesh.load(mesh_file("airplane.ply"), process=False)
    aeroplane.export(os.path.join(folder, "whole.ply"))
    done = run(PLYMEND, "check", write_panel(folder, "whole.ply", "mm"))
    expect(done.returncode == 1 and "SCAN-PART" in done.stderr, "the whole aeroplane is refused for its pieces")
    told = [float(area) for area in re.findall(r"([0-9.]+) m²", done.stderr)]
    # The program welds corners within 0.01 mm; trimesh merges equal ones.
    aeroplane.merge_vertices()
    parts = pieces(aeroplane)
    two = [1e-6 * part.area for part in parts[:2]]
    expect(len(told) == 2 and np.allclose(told, two, atol=6e-5), f"its two largest pieces measure {told} m²")
    for name, unit in (("nut.ply", "cm"), ("sphere.ply", "mm")):
        closed = trimesh.load(mesh_file(name), process=False)
        closed.merge_vertices()
        closed.export(os.path.join(folder, name))
        done = run(PLYMEND, "check", write_panel(folder, name, unit))
        told = done.returncode == 1 and "closed all round" in done.stderr
        expect(closed.is_watertight and told, f"{name} is closed and refused for it")
    return parts[0]


def through(folder, fuselage):
    fuselage.export(os.path.join(folder, "fuselage.ply"))
    panel = write_panel(folder, "fuselage.ply", "mm", MAKE_UP)
    done = run(PLYMEND, "check", panel)
    expect(done.returncode == 0, "the fuselage passes the check")
    exported = os.path.join(folder, "out.ply")
    done = run(PLYMEND, "panel", panel, "--export", exported)
    told = float(re.search(r"outer side: ([0-9.]+) m²", done.stdout).group(1))
    area = 1e-6 * fuselage.area
    expect(abs(told - area) <= 6e-4, f"panel says {told} m², trimesh {area:.6f} m²")
    out = trimesh.load(exported, process=False)
    expect(abs(out.area / fuselage.area - 1) <= 1e-5, f"trimesh measures {1e-6 * out.area:.6f} m² on the exported mesh")
    # On the crest, halfway along.
    crest = np.abs(out.vertices[:, 1] - 650) < 250
    place = out.vertices[np.argmax(np.where(crest, out.vertices[:, 2], -np.inf))]
    distances(panel, place)
    survey = os.path.join(folder, "survey.ron")
    with open(survey, "w") as file:
        file.write(SURVEY % tuple(place))
    done = run(PLYMEND, "estimate", survey, "--format", "json")
    expect(done.returncode in (0, 1), f"the estimate is made (exit code {done.returncode}) {done.stderr}")
    record = json.loads(done.stdout)
    got = record["panels"][0]["area_m2"]
    expect(abs(got / area - 1) <= 1e-3, f"its panel measures {got} m²")
    check_repair(record, out, place)


def cut_finely(mesh, place):
    """The triangles round a place cut in four again and again: the same surface, closer corners."""
    near = np.linalg.norm(mesh.vertices[mesh.faces] - place, axis=2).min(axis=1) < 150
    part = trimesh.Trimesh(mesh.vertices, mesh.faces[near], process=False)
    while len(part.faces) < 2_000:
        part = part.subdivide()
    part.merge_vertices()
    return part


def area_within(mesh, distance, reach):
    """Area within a reach, m2, by the middles of 576 parts of every triangle.

    In between corners the squared distance has the curvature it has round a point in the plane,
    which is what it has on flat triangles a straight way off.
    """
    count = 24
    rows = [(i + s, j + s) for s in (1 / 3, 2 / 3) for i in range(count) for j in range(count) if i + j + 2 * s < count]
    b = np.array([(x / count, y / count, 1 - (x + y) / count) for x, y in rows])
    squared = distance[mesh.faces] ** 2 @ b.T
    corners = mesh.vertices[mesh.faces]
    for i, j in ((0, 1), (1, 2), (2, 0)):
        squared -= np.outer(((corners[:, i] - corners[:, j]) ** 2).sum(axis=1), b[:, i] * b[:, j])
    return 1e-6 * float((mesh.area_faces * (squared <= reach * reach).mean(axis=1)).sum())


def check_repair(record, mesh, place):
    """Removal is a disc over the skin, every ply and coat a wider one: all of them measured.

    The hole is 20 mm from its middle to its rim; what is taken off lies 10, 25 and 40 mm beyond
    (MOVE-HOLE and MOVE-CAP).
    """
    expect(len(record["repairs"]) == 1, "the hole is one repair")
    fine = cut_finely(mesh, place)
    source = int(np.argmin(np.linalg.norm(fine.vertices - place, axis=1)))
    solver = geodesic.PyGeodesicAlgorithmExact(fine.vertices, fine.faces.astype(np.int32))
    distance = solver.geodesicDistances(np.array([source], np.int32), None)[0]
    worst, count = 0.0, 0
    for case, half_mm in (("low", 30), ("likely", 45), ("high", 60)):
        scenario = record["repairs"][0]["scenarios"][case]
        discs = [(0.0, scenario["removal_area_m2"])]
        discs += [(ply["reach_mm"], ply["area_m2"]) for ply in scenario["plies"]]
        for reach, got in discs:
            expected = area_within(fine, distance, half_mm + reach)
            off = abs(got / expected - 1)
            print(f"    {case}, reach {reach:.1f} mm: {got:.6f} m², pygeodesic {expected:.6f} m², {100 * off:.3f} %")
            count += 1
            # Written so that a value that is no number counts as the worst.
            if not off <= worst:
                worst = off
    expect(count >= 12 and worst <= 4e-3, f"{count} areas of the repair differ by {100 * worst:.3f} % at most")


def distances(panel, place):
    """Distances and areas round the place, against pygeodesic on the same triangles."""
    record = json.loads(subprocess.run([DISTANCES, panel], input="", capture_output=True, text=True).stdout)
    places, faces = np.array(record["positions"]), np.array(record["faces"])
    source = int(np.argmin(np.linalg.norm(places - place, axis=1)))
    asked = f"vertex {source}"
    record = json.loads(subprocess.run([DISTANCES, panel], input=asked, capture_output=True, text=True).stdout)
    ours = np.array(record["answers"][0], float)
    solver = geodesic.PyGeodesicAlgorithmExact(places, faces.astype(np.int32))
    theirs = solver.geodesicDistances(np.array([source], np.int32), None)[0]
    off = float((np.abs(ours - theirs) / np.maximum(theirs, 1.0)).max())
    expect(off <= 5e-6, f"{len(ours)} distances up to {theirs.max():.0f} mm differ by {off:.1e} at most")


def main():
    with tempfile.TemporaryDirectory() as folder:
        through(folder, refused(folder))


main()
