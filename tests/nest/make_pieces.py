"""Writes pieces.json, the set of 24 plies on which the cut plan is compared, beside this file.

    python3 tests/nest/make_pieces.py

Needs Shapely 2.2.0. Invented shapes: everything within four reaches of three bent cracks, eight
discs, and four outlines that are not convex. Arcs are 32 chords a full turn, points lie on a
hundredth of a millimetre.
"""

import json
import math
import pathlib

from shapely import LineString, Point, Polygon

REACHES_MM = [30, 55, 80, 110]
CRACKS = {
    "bow": [(0, 0), (70, 18), (128, 62), (172, 96)],
    "hook": [(0, 0), (150, 12), (212, 84), (206, 176)],
    "zigzag": [(0, 0), (104, 70), (206, 24), (310, 100), (336, 94)],
}
DISC_RADII_MM = [40, 55, 70, 85, 100, 115, 130, 150]
OUTLINES = {
    "ell": [(0, 0), (300, 0), (290, 110), (118, 124), (104, 330), (0, 322)],
    "kidney": [(0, 60), (46, 6), (130, 0), (190, 44), (250, 52), (316, 12), (380, 40), (392, 120), (330, 176), (240, 186), (140, 182), (44, 150)],
    "arrow": [(0, 0), (140, 62), (284, 6), (214, 136), (262, 266), (138, 208), (22, 280), (74, 140)],
    "comma": [(0, 120), (22, 44), (96, 0), (182, 16), (226, 84), (214, 176), (160, 262), (72, 330), (92, 250), (110, 196), (44, 186)],
}


def piece(name, shape):
    outline = [(round(x, 2), round(y, 2)) for x, y in shape.exterior.coords[:-1]]
    assert Polygon(outline).is_valid and not shape.interiors
    return {"id": name, "outline_mm": outline}


def main():
    pieces = [
        piece(f"{name}-{reach}", LineString(line).buffer(reach, quad_segs=8))
        for name, line in CRACKS.items()
        for reach in REACHES_MM
    ]
    pieces += [piece(f"disc-{radius}", Point(0, 0).buffer(radius, quad_segs=8)) for radius in DISC_RADII_MM]
    pieces += [piece(name, Polygon(outline)) for name, outline in OUTLINES.items()]
    for name, line in CRACKS.items():
        assert 180 <= sum(math.dist(a, b) for a, b in zip(line, line[1:])) <= 420, name
    lines = ",\n".join("    " + json.dumps(each) for each in pieces)
    text = '{\n  "roll_mm": 1270,\n  "gap_mm": 5,\n  "pieces": [\n' + lines + "\n  ]\n}\n"
    (pathlib.Path(__file__).parent / "pieces.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
