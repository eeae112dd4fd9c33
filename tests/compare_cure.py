"""Compares heat and cure through the thickness with a general-purpose solver.

    cargo run --quiet --example slab_traces | python3 tests/compare_cure.py

Needs SciPy 1.16.3 and numpy 2.3.4. The same equations are written here once more, on another grid
of their own, and solved by SciPy's LSODA (method of lines, tight tolerances). A match says that
the equations are solved rightly; it says nothing of whether resin follows them.

Fails unless peak temperatures agree within 0.2 K and times within 0.5 % (or a second).
"""

import csv
import sys

import numpy as np
from scipy.integrate import solve_ivp

BOUND_K, BOUND_SHARE, BOUND_CONVERSION = 0.2, 0.005, 0.001
CELLS = 60
R, ZERO_C = 8.3145, 273.15
AIR_C, DOSE, H = 20.0, 2.0, 8.0
GEL_MIN, GEL_C, GEL_DOSE, GEL_E = 12.5, 25.0, 2.0, 50.0e3
GEL_CONVERSION, M, N, E, PACE, SHARP = 0.05, 0.524, 1.476, 40.0e3, 0.30, 50.0
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


def trace(thickness_mm):
    """Peak and its minute, gel of the last cell, conversion 0.75 of the last cell, after a day."""
    dx = thickness_mm / 1000 / CELLS
    face = 60 / (1 / H + dx / 2 / K)  # W/(m2 K), a minute

    def slope(_, y):
        t_c, left, a = y.reshape(3, CELLS)
        used, grown = rates(t_c, left, a)
        flow = np.empty(CELLS + 1)
        flow[0], flow[-1] = face * (AIR_C - t_c[0]), face * (t_c[-1] - AIR_C)
        flow[1:-1] = 60 * K / dx * (t_c[:-1] - t_c[1:])
        warmer = (flow[:-1] - flow[1:]) / (dx * RHO * CP) + (1 - GLASS) * HEAT / CP * grown
        return np.concatenate([warmer, -used, grown])

    y = np.concatenate([np.full(CELLS, AIR_C), np.ones(CELLS), np.zeros(CELLS)])
    options = {"method": "LSODA", "rtol": 1e-9, "atol": 1e-9, "lband": 2 * CELLS, "uband": 2 * CELLS}
    def gelled(_, y): return y[CELLS : 2 * CELLS].max()
    def sandable(_, y): return y[2 * CELLS :].min() - 0.75
    # One piece to the first gel would meet a corner; short longest steps walk over the corners.
    gel, sand, peak, peak_min, start = None, None, -np.inf, 0.0, 0.0
    for end, longest in ((150.0, 0.1), (1440.0, 5.0)):
        run = solve_ivp(slope, (start, end), y, max_step=longest, events=[gelled, sandable], **options)
        if not run.success:
            sys.exit(run.message)
        gel = gel if gel is not None else next(iter(run.t_events[0]), None)
        sand = sand if sand is not None else next(iter(run.t_events[1]), None)
        hottest = run.y[:CELLS].max(axis=0)
        if hottest.max() > peak:
            peak, peak_min = hottest.max(), run.t[hottest.argmax()]
        y, start = run.y[:, -1], end
    return {
        "peak_c": peak,
        "peak_min": peak_min,
        "gel_min": gel,
        "sandable_min": sand,
        "conversion_day": y[2 * CELLS :].min(),
    }


if __name__ == "__main__":
    if sys.argv[1:] == ["alone"]:
        for mm in (3, 6, 12):
            print(mm, trace(mm))
        sys.exit()
