"""Compares heat and cure through the thickness with a general-purpose solver.

    cargo run --quiet --example slab_traces | python3 tests/compare_cure.py

Needs SciPy 1.16.3 and numpy 2.3.4. The same equations are written here once more, on another grid
of their own, and solved by SciPy's VODE (backward differences, method of lines, tight
tolerances). A match says that
the equations are solved rightly; it says nothing of whether resin follows them.

Fails unless peak temperatures agree within 0.2 K and times within 0.5 %. `PACE=0.31` in the
environment makes it fail: the rate constant here is then another one.
"""

import csv
import os
import sys

import numpy as np
from scipy.integrate import ode

BOUND_K, BOUND_SHARE, BOUND_CONVERSION = 0.2, 0.005, 0.001
TRACE_BOUND_K = 1.0
CELLS, DAY_MIN = 45, 1440.0
R, ZERO_C = 8.3145, 273.15
AIR_C, DOSE, H = 20.0, 2.0, 8.0
GEL_MIN, GEL_C, GEL_DOSE, GEL_E = 12.5, 25.0, 2.0, 50.0e3
GEL_CONVERSION, M, N, E, SHARP = 0.05, 0.524, 1.476, 40.0e3, 50.0
PACE = float(os.environ.get("PACE", "0.30"))
TG_LOW, TG_HIGH, LAMBDA = -60.0, 95.0, 0.40
GLASS, HEAT = 0.30, 320.0e3
RHO_GLASS, RHO_RESIN = 2560.0, 1200.0
CP_GLASS, CP_RESIN = 800.0, 1700.0
K_GLASS, K_RESIN = 1.03, 0.19

VF = (GLASS / RHO_GLASS) / (GLASS / RHO_GLASS + (1 - GLASS) / RHO_RESIN)
RHO = VF * RHO_GLASS + (1 - VF) * RHO_RESIN
CP = GLASS * CP_GLASS + (1 - GLASS) * CP_RESIN
K = K_RESIN * ((K_GLASS + K_RESIN) + VF * (K_GLASS - K_RESIN)) / (
    (K_GLASS + K_RESIN) - VF * (K_GLASS - K_RESIN)
)


def faster(energy, t_c):
    return np.exp(-energy / R * (1 / (t_c + ZERO_C) - 1 / (GEL_C + ZERO_C)))


def rates(t_c, left, a):
    """Per minute: inhibitor used, conversion grown."""
    clock = (DOSE / GEL_DOSE) * faster(GEL_E, t_c) / GEL_MIN
    x = np.clip((t_c - TG_LOW) / (TG_HIGH - TG_LOW), 0.0, 1.0)
    brake = 1 / (1 + np.exp(SHARP * (a - x / (LAMBDA + (1 - LAMBDA) * x))))
    a = np.clip(a, 0.0, 1.0)
    after = PACE / GEL_MIN * (DOSE / GEL_DOSE) ** 0.5 * faster(E, t_c) * a**M * (1 - a) ** N * brake
    liquid = left > 0.0
    return np.where(liquid, clock, 0.0), np.where(liquid, GEL_CONVERSION * clock, after)


def crossing(minutes, values, target):
    """When a rising value first reaches the target, straight between its neighbours."""
    at = int(np.argmax(values >= target))
    share = (target - values[at - 1]) / (values[at] - values[at - 1])
    return minutes[at - 1] + share * (minutes[at] - minutes[at - 1])


def trace(thickness_mm):
    """Peak and its minute, gel of the last cell, conversion 0.75 of the last cell, after a day.

    The state is written cell by cell (temperature, inhibitor, conversion), so that the Jacobian is
    a narrow band."""
    dx = thickness_mm / 1000 / CELLS
    face = 60 / (1 / H + dx / 2 / K)  # J/(m2 K) a minute

    def slope(_, y):
        t_c, left, a = y[0::3], y[1::3], y[2::3]
        used, grown = rates(t_c, left, a)
        flow = np.empty(CELLS + 1)
        flow[0], flow[-1] = face * (AIR_C - t_c[0]), face * (t_c[-1] - AIR_C)
        flow[1:-1] = 60 * K / dx * (t_c[:-1] - t_c[1:])
        change = np.empty_like(y)
        change[0::3] = (flow[:-1] - flow[1:]) / (dx * RHO * CP) + (1 - GLASS) * HEAT / CP * grown
        change[1::3], change[2::3] = -used, grown
        return change

    solver = ode(slope).set_integrator(
        "vode", method="bdf", rtol=1e-8, atol=1e-9, lband=3, uband=3, nsteps=200_000
    )
    solver.set_initial_value(np.tile([AIR_C, 1.0, 0.0], CELLS), 0.0)
    # Short steps walk over the corner that every cell's rate has at its gel.
    minutes = np.concatenate([np.arange(1, 2501) * 0.1, np.arange(51, 289) * 5.0])
    hottest, mid_c, left, least = [], [], [], []
    for minute in minutes:
        y = solver.integrate(minute)
        if not solver.successful():
            sys.exit(f"SciPy gave up at {minute} min")
        hottest.append(y[0::3].max())
        mid_c.append(y[3 * (CELLS // 2)])
        left.append(y[1::3].max())
        least.append(y[2::3].min())
    top = int(np.argmax(hottest))
    # The vertex of the parabola through the three highest.
    bend = np.polyfit(minutes[top - 1 : top + 2] - minutes[top], hottest[top - 1 : top + 2], 2)
    peak_min = minutes[top] - bend[1] / (2 * bend[0])
    peak = np.polyval(bend, peak_min - minutes[top])
    # The inhibitor stops at nothing, so the slope before it tells when.
    at = int(np.argmax(np.array(left) < 1e-7))
    gel = minutes[at - 1] + left[at - 1] * 0.1 / (left[at - 2] - left[at - 1])
    sand = crossing(minutes, np.array(least), 0.75)
    theirs = {
        "peak_c": peak,
        "peak_min": peak_min,
        "gel_min": gel,
        "sandable_min": sand,
        "conversion_day": least[-1],
    }
    return theirs, (minutes, mid_c)


def main():
    rows = list(csv.DictReader(sys.stdin))
    by_thickness = {}
    for row in rows:
        by_thickness.setdefault(float(row["thickness_mm"]), []).append(row)
    if sorted(by_thickness) != [3.0, 6.0, 12.0]:
        sys.exit(f"expected 3, 6 and 12 mm, found {sorted(by_thickness)}")
    wrong = 0
    for thickness_mm, ours in by_thickness.items():
        theirs, (minutes, mid_c) = trace(thickness_mm)
        compared, traced, furthest = set(), 0, 0.0
        for row in ours:
            what, value = row["what"], float(row["value"])
            if what.startswith("mid_c at "):
                there = np.interp(float(what.removeprefix("mid_c at ")), minutes, mid_c)
                # Written so that a value that is no number counts as the furthest.
                if not abs(value - there) <= furthest:
                    furthest = abs(value - there)
                traced += 1
                continue
            compared.add(what)
            there = theirs[what]
            if what.endswith("_c"):
                bound = BOUND_K
            elif what.endswith("_min"):
                bound = BOUND_SHARE * there
            else:
                bound = BOUND_CONVERSION
            holds = abs(value - there) <= bound
            wrong += not holds
            mark = "  " if holds else "OFF"
            print(f"{mark} {thickness_mm:g} mm {what}: {value:.4f} here, {there:.4f} by SciPy")
        # The trace is steep where a thick slab runs away: a second there is more than 1 K.
        print(f"   {thickness_mm:g} mm: {traced} temperatures of the trace, {furthest:.3f} K apart at most")
        if compared != set(theirs) or traced < 20:
            sys.exit(f"rows have gone missing at {thickness_mm:g} mm")
        if not furthest <= TRACE_BOUND_K:
            wrong += 1
    if wrong:
        sys.exit(f"{wrong} figures are off")


if __name__ == "__main__":
    main()
