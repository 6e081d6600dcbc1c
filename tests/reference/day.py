"""The day of tests/cases/reference-day.ron, integrated by SciPy instead of by Slakeline (outside check 12).

The same equations on the same 35 layers, written down a second time: mixed-form Richards with the mean conductivity over the heads
between two layers and one head where the media touch, a seepage face, drips into the top layer, uptake with water stress and compensation, evaporation from the block's top; salt by
central advection, dispersion and capped uptake. Integrated by `solve_ivp(method="BDF")` in heads and salt amounts, piecewise
between the edges of drips and light.

Make an environment and write the table that the test reads:

    python3 -m venv .venv
    .venv/bin/pip install numpy scipy
    .venv/bin/python tests/reference/day.py tests/reference/day.csv

One thing differs from the engine, to keep dtheta/dh above zero where a layer is just full: elastic storage sets in at h = -1 cm
instead of at h = 0. It adds at most 1e-5 to a water content.
"""

import math
import sys
import time

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

DAY = 86400.0
# Layers: slab 15 x 0.5 cm on 500 cm2 a plant, block 20 x 0.5 cm on 100 cm2, base first.
DZ = 0.5
N = 35
SLAB = np.arange(N) < 15
AREA = np.where(SLAB, 100.0 * 15.0 / 3.0, 100.0)
VOLUME = AREA * DZ
Z = (np.arange(N) + 0.5) * DZ
CONTACT = np.minimum(AREA[:-1], AREA[1:])
ROOTS = VOLUME / VOLUME.sum()  # uniform density
# Media.
THETA_S, THETA_R, KS = 0.95, 0.02, 4320.0 / DAY
ALPHA = np.where(SLAB, 0.065, 0.080)
VGN = np.where(SLAB, 3.5, 3.2)
VGM = 1.0 - 1.0 / VGN
DISPERSIVITY, DIFFUSION, STORAGE = 1.0, 1e-5, 1e-5
# Crop, demand, light, evaporation, feed.
UPTAKE_EC, BEGINS, STOPS, OMEGA_C = 2.6, -7.0, -40.0, 0.97
ML_PER_DAY, STEADY, ON, OFF = 1300.0, 0.08, 6 * 3600.0, 20 * 3600.0
EVAPORATION_CM, EXPOSED = 0.2, 100.0
FEED_EC = 2.4
START_WATER, START_EC = 0.84, 3.4
DRIPS = [
    ("08:15", 120), ("08:45", 120), ("09:15", 120), ("10:15", 170), ("11:15", 190), ("12:15", 210),
    ("13:15", 210), ("14:15", 200), ("15:00", 180), ("15:40", 170), ("16:45", 160),
]
DRIP_SECONDS = 300.0


def spans():
    """Start and end of every stretch with one supply, and its rate in mL/s."""
    edges = []
    for start, ml in DRIPS:
        hours, minutes = start.split(":")
        begin = int(hours) * 3600.0 + int(minutes) * 60.0
        edges.append((begin, begin + DRIP_SECONDS, ml / DRIP_SECONDS))
    marks = sorted({0.0, ON, OFF, DAY, *(e[0] for e in edges), *(e[1] for e in edges)})
    for begin, end in zip(marks, marks[1:]):
        rate = sum(e[2] for e in edges if e[0] <= begin < e[1])
        yield begin, end, rate


def retention(h):
    """Effective saturation, water content and its derivative by head."""
    suction = np.maximum(-h, 0.0)
    xn = (ALPHA * suction) ** VGN
    se = (1.0 + xn) ** -VGM
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(suction > 0.0, VGM * VGN * se * xn / ((1.0 + xn) * np.where(suction > 0.0, suction, 1.0)), 0.0)
    theta = THETA_R + (THETA_S - THETA_R) * se + STORAGE * np.maximum(h + 1.0, 0.0)
    return se, theta, (THETA_S - THETA_R) * slope + STORAGE * (h > -1.0)


def conductivity(se):
    """Mualem, l = 0.5, cm/s."""
    full = -np.expm1(VGM * np.log1p(-np.minimum(se ** (1.0 / VGM), 1.0 - 1e-16)))
    return KS * np.sqrt(se) * np.where(se >= 1.0, 1.0, full) ** 2


def one_conductivity(head, layer):
    """Conductivity of one layer's medium at a head, cm/s."""
    if head >= 0.0:
        return KS
    m = VGM[layer]
    se = (1.0 + (-ALPHA[layer] * head) ** VGN[layer]) ** -m
    full = -math.expm1(m * math.log1p(-min(se ** (1.0 / m), 1.0 - 1e-16)))
    return KS * math.sqrt(se) * full**2


# Suction from which on conductivity has lost a fifth, cm, by medium; ratio of two conductivities from which on a face counts as a front.
FALLS_FROM = np.array([brentq(lambda s, i=i: one_conductivity(-s, i) - 0.8 * KS, 1e-6, 1e3) for i in range(N)])
FRONT = 4.0


def front_mean(h, k, i):
    """Mean conductivity between layers i and i + 1 where it falls as a power of suction beyond a plateau."""
    wet, dry = (i, i + 1) if k[i] >= k[i + 1] else (i + 1, i)
    s_wet, s_dry = -h[wet], -h[dry]
    begins = max(s_wet, FALLS_FROM[i])
    power = math.log(k[wet] / k[dry]) / math.log(s_dry / begins)
    flank = (k[wet] * begins - k[dry] * s_dry) / (power - 1.0)
    return ((begins - s_wet) * k[wet] + flank) / (s_dry - s_wet)


def contact_flow(h, k):
    """Upward flow where the media touch: one head there, equal flow through the half layer on either side, each with its own area."""
    i, half = SLAB.sum() - 1, 0.5 * DZ

    def lower(at):
        return 0.5 * (one_conductivity(at, i) + k[i]) * AREA[i] * ((at - h[i]) / half + 1.0)

    def upper(at):
        return 0.5 * (one_conductivity(at, i + 1) + k[i + 1]) * AREA[i + 1] * ((h[i + 1] - at) / half + 1.0)

    ends = sorted((h[i] - half, h[i + 1] + half))
    if ends[1] - ends[0] < 1e-12:
        return 0.0
    at = brentq(lambda x: lower(x) - upper(x), *ends, xtol=1e-13, rtol=1e-14)
    return -0.5 * (lower(at) + upper(at))


def faces(h, k):
    """Upward flow between layers, mL/s: with the mean conductivity over the heads between them, a third of the arithmetic and two thirds of
    the geometric mean, or, at fronts, that of a power of suction."""
    mean = (0.5 * (k[:-1] + k[1:]) + 2.0 * np.sqrt(k[:-1] * k[1:])) / 3.0
    ratio = np.maximum(k[:-1], k[1:]) / np.minimum(k[:-1], k[1:])
    for i in np.flatnonzero(ratio > FRONT):
        mean[i] = front_mean(h, k, i)
    face = -mean * CONTACT * ((h[1:] - h[:-1]) / DZ + 1.0)
    face[SLAB.sum() - 1] = contact_flow(h, k)
    return face


def day_shape(t):
    """Share of the day's demand per second."""
    lit = 0.5 * np.pi / (OFF - ON) * np.sin(np.pi * (t - ON) / (OFF - ON)) if ON < t < OFF else 0.0
    return STEADY / DAY + (1.0 - STEADY) * lit


def rates(t, y, rate):
    """d/dt of heads, salt per layer, and what left: drain mL, drain salt, uptake mL, uptake salt, evaporation mL."""
    h, salt = y[:N], y[N : 2 * N]
    se, theta, capacity = retention(h)
    k = conductivity(se)
    ec = salt / (theta * VOLUME)

    face = faces(h, k)
    above = h[0] + Z[0]
    drain = k[0] * AREA[0] * max(above, 0.0) / (0.5 * DZ)
    most = KS * AREA[-1] * (1.0 - h[-1] / (0.5 * DZ))
    if rate > most:
        raise ValueError("the top ponds, which this script does not know")
    shape = day_shape(t)
    stress = np.clip((h - STOPS) / (BEGINS - STOPS), 0.0, 1.0)
    weighted = ROOTS * stress
    uptake = ML_PER_DAY * shape * weighted / max(weighted.sum(), OMEGA_C)
    evaporation = EXPOSED * EVAPORATION_CM * shape * min(10.0 * se[-1], 1.0)

    water = -uptake
    water[:-1] -= face
    water[1:] += face
    water[0] -= drain
    water[-1] += rate - evaporation

    spread = (DISPERSIVITY * np.abs(face) + DIFFUSION * 0.5 * (theta[:-1] + theta[1:]) * CONTACT) / DZ
    spread = np.maximum(spread, 0.5 * np.abs(face))
    carried = 0.5 * face * (ec[:-1] + ec[1:]) + spread * (ec[:-1] - ec[1:])
    taken = uptake * np.minimum(ec, UPTAKE_EC)
    moved = -taken
    moved[:-1] -= carried
    moved[1:] += carried
    moved[0] -= drain * ec[0]
    moved[-1] += rate * FEED_EC

    passed = [drain, drain * ec[0], uptake.sum(), taken.sum(), evaporation]
    return np.concatenate([water / (VOLUME * capacity), moved, passed])


def sparsity():
    """Which rates depend on which states: neighbours, their heads and salts."""
    near = np.abs(np.subtract.outer(np.arange(N), np.arange(N))) <= 1
    pattern = np.zeros((2 * N + 5, 2 * N + 5), dtype=bool)
    pattern[:N, :N] = near
    pattern[N : 2 * N, :N] = near
    pattern[N : 2 * N, N : 2 * N] = near
    pattern[2 * N :, : 2 * N] = True
    return pattern


def run(rtol, atol, outputs, pattern=None):
    """The day; states at `outputs` (s)."""
    level = brentq(lambda v: (retention(v - Z)[1] * VOLUME).sum() / VOLUME.sum() - START_WATER, -200.0, 17.5)
    h = level - Z
    theta = retention(h)[1]
    y = np.concatenate([h, START_EC * theta * VOLUME, np.zeros(5)])
    kept = {0.0: y}
    calls = 0
    for begin, end, rate in spans():
        inside = [t for t in outputs if begin < t <= end]
        times = sorted({*inside, end})
        done = solve_ivp(
            rates, (begin, end), y, method="BDF", t_eval=times, args=(rate,), rtol=rtol, atol=atol, jac_sparsity=pattern,
            first_step=min(1e-3, 1.0), max_step=1800.0,
        )
        if not done.success:
            raise RuntimeError(f"{begin}: {done.message}")
        calls += done.nfev
        for t, state in zip(done.t, done.y.T):
            kept[t] = state
        y = done.y[:, -1]
    return [kept[t] for t in outputs], calls


def row(t, y):
    """One line of the table."""
    _, theta, _ = retention(y[:N])
    ec = y[N : 2 * N] / (theta * VOLUME)

    def mean(values, where):
        return (values * VOLUME)[where].sum() / VOLUME[where].sum()

    return [
        t, mean(theta, SLAB | ~SLAB), mean(theta, SLAB), mean(theta, ~SLAB), theta[0], theta[-1],
        (ROOTS * theta * ec).sum() / (ROOTS * theta).sum(), mean(ec, SLAB), mean(ec, ~SLAB), ec[0], ec[-1], *y[2 * N :],
    ]


HEADER = (
    "seconds,theta,theta_slab,theta_block,theta_base,theta_top,root_zone_ec,ec_slab,ec_block,ec_base,ec_top,"
    "drain_ml,drain_salt,uptake_ml,uptake_salt,evaporation_ml"
)


def main():
    outputs = [600.0 * k for k in range(145)]
    # The performance figure: default tolerances, the faster of a dense and a sparse Jacobian.
    for name, pattern in [("dense", None), ("sparse", sparsity())]:
        begun = time.perf_counter()
        _, calls = run(1e-3, 1e-6, [DAY], pattern)
        print(f"default tolerances (rtol 1e-3, atol 1e-6), {name} Jacobian: {time.perf_counter() - begun:.2f} s a day, {calls} calls")
    begun = time.perf_counter()
    states, calls = run(1e-8, 1e-10, outputs)
    print(f"rtol 1e-8, atol 1e-10: {time.perf_counter() - begun:.2f} s, {calls} calls")
    rows = [row(t, y) for t, y in zip(outputs, states)]
    given = sum(ml for _, ml in DRIPS)
    stored = [r[1] * VOLUME.sum() for r in rows]
    print(f"water not accounted for: {stored[0] + given - stored[-1] - rows[-1][11] - rows[-1][13] - rows[-1][15]:.2e} mL of {given}")
    print(f"uptake met: {rows[-1][13] / ML_PER_DAY:.4f}; largest head {max(s[:N].max() for s in states):.3f} cm")
    text = HEADER + "\n" + "".join(",".join(f"{v:.7g}" for v in r) + "\n" for r in rows)
    if len(sys.argv) > 1:
        with open(sys.argv[1], "w", encoding="utf-8") as out:
            out.write(text)
    else:
        print(text)


if __name__ == "__main__":
    main()
