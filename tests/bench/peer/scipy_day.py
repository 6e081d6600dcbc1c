"""The day of tests/reference/day.py at several tolerances, for the bench beside it.

Prints, between tabs, a line `run`, setting, seconds for every run, and after it for every ten minutes the time, the water content of
every layer and the EC of every layer. A run is timed without anything but its end being asked for, and made again for the values.
"""

import pathlib
import sys
import time

import numpy as np

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[2] / "reference"))

import day  # noqa: E402

INSTANTS = [600.0 * k for k in range(145)]
# The default tolerances with either Jacobian, and tighter ones with the faster.
RUNS = [(1e-3, 1e-6, "dense"), (1e-3, 1e-6, "sparse"), (1e-4, 1e-7, "sparse"), (1e-5, 1e-8, "sparse"), (1e-6, 1e-9, "sparse")]


def main():
    for rtol, atol, jacobian in RUNS:
        pattern = day.sparsity() if jacobian == "sparse" else None
        begun = time.perf_counter()
        day.run(rtol, atol, [day.DAY], pattern)
        setting = f"{rtol:.0e} {jacobian}".replace("e-0", "e-")
        print(f"run\t{setting}\t{time.perf_counter() - begun}")
        states, _ = day.run(rtol, atol, INSTANTS, pattern)
        for t, y in zip(INSTANTS, states):
            theta = day.retention(y[: day.N])[1]
            ec = y[day.N : 2 * day.N] / (theta * day.VOLUME)
            print("\t".join(f"{v:.10g}" for v in np.concatenate([[t], theta, ec])))


if __name__ == "__main__":
    main()
