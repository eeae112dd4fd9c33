"""Compares the dew points of `cargo run --example dew_points` with psychrolib.

    cargo run --quiet --example dew_points | python3 tests/compare_dew_points.py

Needs psychrolib 2.5.0 (`pip install psychrolib==2.5.0`), which follows the ASHRAE Handbook -
Fundamentals (2017). Two different saturation forms are compared, so they do not agree exactly:
0.0324 C was the largest difference measured above 0 C, hence the bound of 0.04 C. Below 0 C the
library gives the frost point over ice and this crate the dew point over water (colder by up to
about 0.8 C on this grid): two definitions, so those rows are counted and not judged.
"""

import csv
import sys

import psychrolib

BOUND_C = 0.04
EXPECTED_ROWS = 25 * 20

psychrolib.SetUnitSystem(psychrolib.SI)
worst, worst_row, rows, frost = 0.0, None, 0, 0
for row in csv.DictReader(sys.stdin):
    t_c, rh, ours_c = float(row["t_c"]), float(row["rh"]), float(row["dew_point_c"])
    theirs_c = psychrolib.GetTDewPointFromRelHum(t_c, rh / 100.0)
    rows += 1
    if theirs_c < 0.01:
        frost += 1
        continue
    difference = abs(ours_c - theirs_c)
    # Written so that a value that is no number counts as the worst.
    if not difference <= worst:
        worst, worst_row = difference, (t_c, rh, ours_c, theirs_c)

print(f"{rows} rows, {frost} of them frost points left out")
print(f"largest difference {worst:.4f} C at {worst_row}")
if rows != EXPECTED_ROWS:
    sys.exit(f"expected {EXPECTED_ROWS} rows")
if frost > 30:
    sys.exit("too many rows left out")
if not worst <= BOUND_C:
    sys.exit(f"more than {BOUND_C} C apart")
