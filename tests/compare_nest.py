"""Cut plans against spyrrow (lengths) and Shapely (overlaps, gaps, areas).

    cargo run --quiet --example nest_pieces -- tests/nest/pieces.json |
        python3 tests/compare_nest.py tests/nest/pieces.json

Needs spyrrow 0.9.0 and Shapely 2.2.0. The same set of pieces is laid out twice, turned any way and
by quarter turns. spyrrow gets 5 s a case, seed 1, and the same task: pieces grown by half the gap
on a roll a gap wider, its length less one gap. Fails where a piece overlaps another, comes nearer
than the gap (held to 0.01 mm), leaves the roll, has changed its area or is missing, where an offcut
touches a piece, or where the length is more than 5 % over spyrrow's. WRONG=overlap, WRONG=gap,
WRONG=turn or WRONG=length in the environment puts a slip in, to see that the comparison notices.
"""

import json
import os
import sys
from itertools import combinations

import spyrrow
from shapely import Polygon, affinity, box

LONGER_BOUND = 0.05
HELD_TO_MM = 0.01
SECONDS = 5
TURNS = {"mat": None, "cloth": [0.0, 90.0, 180.0, 270.0]}
WRONG = os.environ.get("WRONG", "")


def spyrrow_length(pieces, roll_mm, gap_mm, turns):
    """Length that spyrrow needs; its own spacing also keeps pieces off the roll's edges."""
    items = []
    for name, shape in pieces.items():
        grown = shape.buffer(gap_mm / 2, quad_segs=4)
        items.append(spyrrow.Item(name, list(grown.exterior.coords[:-1]), 1, turns))
    instance = spyrrow.StripPackingInstance("plies", roll_mm + gap_mm, items)
    config = spyrrow.StripPackingConfig(total_computation_time=SECONDS, seed=1)
    return instance.solve(config).width - gap_mm


def put(shape, placed):
    """A drawing where the cut plan says it lies."""
    if placed["turned_over"]:
        shape = affinity.scale(shape, xfact=-1, origin=(0, 0))
    turned = affinity.rotate(shape, placed["rotation_deg"], origin=(0, 0))
    return affinity.translate(turned, placed["x_mm"], placed["y_mm"])


def slip(case):
    """A fault put in on purpose."""
    first, second = case["placed"][:2]
    if WRONG == "overlap":
        first["x_mm"], first["y_mm"] = second["x_mm"], second["y_mm"]
    elif WRONG == "gap":
        for placed in case["placed"]:
            placed["x_mm"] *= 0.9995
    elif WRONG == "turn":
        first["rotation_deg"] += 1.0
    elif WRONG == "length":
        case["used_length_mm"] *= 1.1


def faults_of(case, pieces, roll_mm, gap_mm):
    """Everything about a cut plan that does not hold."""
    faults = []
    if [placed["id"] for placed in case["placed"]] != list(pieces):
        faults.append("pieces are missing, or there are too many")
    laid = {placed["id"]: put(pieces[placed["id"]], placed) for placed in case["placed"]}
    nearest = min(one.distance(other) for one, other in combinations(laid.values(), 2))
    overlap = sum(one.intersection(other).area for one, other in combinations(laid.values(), 2))
    if overlap > 0:
        faults.append(f"overlaps of {overlap:.3f} mm2")
    if nearest < gap_mm - HELD_TO_MM:
        faults.append(f"two pieces are {nearest:.4f} mm apart")
    right = max(shape.bounds[2] for shape in laid.values())
    low = min(min(shape.bounds[0], shape.bounds[1]) for shape in laid.values())
    top = max(shape.bounds[3] for shape in laid.values())
    if low < -HELD_TO_MM or top > roll_mm + HELD_TO_MM:
        faults.append(f"a piece leaves the roll: {low:.4f}, {top:.4f}")
    if abs(right - case["used_length_mm"]) > HELD_TO_MM:
        faults.append(f"the last piece ends at {right:.3f}, said {case['used_length_mm']:.3f}")
    for name, shape in laid.items():
        if abs(shape.area - pieces[name].area) > 1e-6 * shape.area:
            faults.append(f"{name} has another area")
    for x, y, along, across in case["offcuts"]:
        kept = box(x, y, x + along, y + across)
        if min(kept.distance(shape) for shape in laid.values()) < gap_mm - HELD_TO_MM:
            faults.append(f"the offcut at ({x:.0f}, {y:.0f}) is not free")
    if TURNS[case["case"]] and any(p["rotation_deg"] not in TURNS["cloth"] for p in case["placed"]):
        faults.append("a piece of cloth is turned aslant")
    bound = sum(shape.area for shape in pieces.values()) / roll_mm
    if abs(bound - case["area_bound_mm"]) > 1e-6 * bound:
        faults.append(f"the area bound is {bound:.3f}")
    return faults, nearest


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        data = json.load(file)
    roll_mm, gap_mm = data["roll_mm"], data["gap_mm"]
    pieces = {piece["id"]: Polygon(piece["outline_mm"]) for piece in data["pieces"]}
    cases = json.load(sys.stdin)
    failed = [case["case"] for case in cases] != list(TURNS)
    print(f"{len(pieces)} pieces, roll {roll_mm} mm, gap {gap_mm} mm; lengths in mm")
    for case in cases:
        slip(case)
        own = case["used_length_mm"]
        theirs = spyrrow_length(pieces, roll_mm, gap_mm, TURNS[case["case"]])
        faults, nearest = faults_of(case, pieces, roll_mm, gap_mm)
        longer = own / theirs - 1
        if longer > LONGER_BOUND:
            faults.append(f"more than {100 * LONGER_BOUND:.0f} % longer than spyrrow's")
        print(
            f"{case['case']:>6}: own {own:.1f}, spyrrow {theirs:.1f} ({100 * longer:+.1f} %), "
            f"rows {case['shelf_length_mm']:.1f}, area bound {case['area_bound_mm']:.1f}, "
            f"nearest pieces {nearest:.4f} apart"
        )
        for fault in faults:
            failed = True
            print(f"        WRONG: {fault}")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
