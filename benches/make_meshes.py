#!/usr/bin/env python3
"""Sphere panels for the comparison: a jittered grid over 1 m x 1 m, R 0.8 m, written as PLY.

The grid (u, v) is azimuthal equidistant about the pole, so a straight grid line through the pole
is a great circle. Places are moved by up to 0.3 cell and every quad takes a random diagonal; where
that one would fold a triangle over on the grid, the other one. The same file comes out everywhere:
the shifts are whole numbers from a 64-bit generator written out below.

    python3 benches/make_meshes.py FOLDER
"""
import os
import sys

import numpy as np

RADIUS_MM = 800.0
SIDE_MM = 1000.0
CELLS = {"sphere-10k": 71, "sphere-100k": 224, "sphere-1M": 707}


def rolls(seed, count):
    """Numbers from 0 to 1: SplitMix64 (published: Steele, Lea and Flood 2014)."""
    state = np.uint64(seed) + np.arange(1, count + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    mixed = (state ^ (state >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    mixed = (mixed ^ (mixed >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    mixed = mixed ^ (mixed >> np.uint64(31))
    return (mixed >> np.uint64(11)).astype(np.float64) / 2.0**53


def panel(cells, seed=1, jitter=0.3, side=SIDE_MM, radius=RADIUS_MM):
    """Places in space, places on the grid and triangles."""
    step = side / cells
    across = np.arange(cells + 1) * step - side / 2
    u, v = np.meshgrid(across, across)
    shift = (rolls(seed, 2 * (cells + 1) ** 2).reshape(cells + 1, cells + 1, 2) - 0.5) * 2 * jitter * step
    u[:, 1:-1] += shift[:, 1:-1, 0]
    v[1:-1, :] += shift[1:-1, :, 1]
    u, v = u.ravel(), v.ravel()
    reach = np.hypot(u, v)
    ratio = np.where(reach > 0, radius * np.sin(reach / radius) / np.where(reach > 0, reach, 1), 1)
    places = np.stack([u * ratio, v * ratio, radius * np.cos(reach / radius)], axis=1)
    j, i = np.divmod(np.arange(cells * cells), cells)
    a = j * (cells + 1) + i
    b, d = a + 1, a + cells + 1
    c = d + 1
    rising = np.stack([a, b, c, a, c, d], axis=1).reshape(-1, 2, 3)
    falling = np.stack([a, b, d, b, c, d], axis=1).reshape(-1, 2, 3)

    def least_area(quads):
        p, q, r = quads[..., 0], quads[..., 1], quads[..., 2]
        return ((u[q] - u[p]) * (v[r] - v[p]) - (v[q] - v[p]) * (u[r] - u[p])).min(axis=1)

    low_rising, low_falling = least_area(rising), least_area(falling)
    least = 1e-3 * step * step
    take = rolls(seed + 1, cells * cells) < 0.5
    take = np.where(low_rising < least, False, np.where(low_falling < least, True, take))
    return places, np.stack([u, v], axis=1), np.where(take[:, None, None], rising, falling).reshape(-1, 3)


def write_ply(path, places, grid, triangles):
    head = "ply\nformat binary_little_endian 1.0\ncomment lengths in mm\n"
    head += f"element vertex {len(places)}\n" + "".join(f"property double {n}\n" for n in "xyzuv")
    head += f"element face {len(triangles)}\nproperty list uchar int vertex_indices\nend_header\n"
    faces = np.empty(len(triangles), dtype=[("n", "u1"), ("v", "<i4", 3)])
    faces["n"], faces["v"] = 3, triangles
    with open(path, "wb") as out:
        out.write(head.encode())
        out.write(np.concatenate([places, grid], axis=1).astype("<f8").tobytes())
        out.write(faces.tobytes())


if __name__ == "__main__":
    os.makedirs(sys.argv[1], exist_ok=True)
    for name, cells in CELLS.items():
        write_ply(os.path.join(sys.argv[1], name + ".ply"), *panel(cells))
