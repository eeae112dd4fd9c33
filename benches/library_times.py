"""One library on one mesh, as a process of its own: prints one JSON object.

    python library_times.py LIBRARY MESH.ply CRACK_MM LIMIT_MM REACH_MM...

The crack runs through the pole at 20 degrees to the grid. The libraries take vertices only: it is
given to them as the vertices nearest to 20 places along it. Areas are those of the triangles cut
straight where the distances at their corners say.
"""
import json
import sys
import time

import numpy as np


def read(path):
    raw = open(path, "rb").read()
    end = raw.index(b"end_header\n") + 11
    head = raw[:end].decode().split("\n")
    count = {line.split()[1]: int(line.split()[2]) for line in head if line.startswith("element")}
    rows = np.frombuffer(raw, "<f8", 5 * count["vertex"], end).reshape(-1, 5)
    faces = np.frombuffer(raw, [("n", "u1"), ("v", "<i4", 3)], count["face"], end + 40 * count["vertex"])
    return rows[:, :3].copy(), rows[:, 3:].copy(), faces["v"].astype(np.int32)


def area_within(places, triangles, distance, reach):
    """Area where the distance, taken as linear in each triangle, is at most the reach."""
    corners = places[triangles]
    area = 0.5 * np.linalg.norm(
        np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
    )
    f = np.sort(np.minimum(distance[triangles], 1e9) - reach, axis=1)
    a, b, c = f.T
    with np.errstate(divide="ignore", invalid="ignore"):
        one = a * a / ((b - a) * (c - a))
        two = 1 - c * c / ((c - a) * (c - b))
    share = np.where(c <= 0, 1, np.where(a > 0, 0, np.where(b > 0, one, two)))
    return float((area * share).sum())


def main():
    library, path = sys.argv[1:3]
    crack, limit, *reaches = map(float, sys.argv[3:])
    places, grid, triangles = read(path)
    turn = np.radians(20)
    along = np.linspace(-crack / 2, crack / 2, 20)
    wanted = np.stack([along * np.cos(turn), along * np.sin(turn)], axis=1)
    source = np.unique([np.argmin(((grid - w) ** 2).sum(axis=1)) for w in wanted]).astype(np.int32)
    start, cpu = time.perf_counter(), time.process_time()
    if library == "gdist":
        import gdist

        build = 0.0  # Its structure is built inside the call.
        distance = gdist.compute_gdist(places, triangles, source_indices=source, max_distance=limit)
    elif library == "pygeodesic":
        from pygeodesic import geodesic

        solver = geodesic.PyGeodesicAlgorithmExact(places, triangles)
        build = time.perf_counter() - start
        start, cpu = time.perf_counter(), time.process_time()
        distance = solver.geodesicDistances(source, None)[0]
    elif library == "libigl":
        import igl

        build = 0.0  # Its structure is built inside the call.
        none, all_of_them = np.array([], np.int64), np.arange(len(places))
        distance = igl.exact_geodesic(places, triangles.astype(np.int64), source.astype(np.int64), none, all_of_them, none)
    else:
        import potpourri3d

        solver = potpourri3d.MeshHeatMethodDistanceSolver(places, triangles)
        build = time.perf_counter() - start
        start, cpu = time.perf_counter(), time.process_time()
        distance = solver.compute_distance_multisource(source.tolist())
    field, field_cpu = time.perf_counter() - start, time.process_time() - cpu
    start = time.perf_counter()
    areas = [area_within(places, triangles, np.asarray(distance), reach) for reach in reaches]
    record = {"build_s": build, "field_s": field, "field_cpu_s": field_cpu}
    record["areas_s"] = time.perf_counter() - start
    print(json.dumps(record | {"areas_mm2": areas, "numpy": np.__version__}))


main()
