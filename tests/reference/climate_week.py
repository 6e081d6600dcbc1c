"""Writes demo/climate-week-under-glass.csv: an invented week in spring under glass, every 10 minutes.

    python3 tests/reference/climate_week.py > demo/climate-week-under-glass.csv

Nothing in it was measured. Each day has a share of the clear sky's light, from overcast to bright, with clouds that pass by
a fixed seed; air follows light with a lag, heating holds the night, vents open on bright noons. Standard library only.
"""

import datetime
import math
import random

STEP_MIN = 10
PER_DAY = 24 * 60 // STEP_MIN
FIRST = datetime.datetime(2026, 4, 13)
SUNRISE, SUNSET = 6.3, 19.9
CLEAR_NOON = 540.0  # W/m² above the canopy, after glass and frame
# Share of clear light, how broken the clouds are, mean temperature outside (°C).
DAYS = [(0.22, 0.25, 8.0), (0.35, 0.45, 9.0), (0.62, 0.55, 11.0), (0.95, 0.05, 14.0), (0.98, 0.04, 16.0), (0.70, 0.60, 14.0), (0.48, 0.40, 11.0)]


def saturation(celsius):
    return 0.6108 * math.exp(17.27 * celsius / (celsius + 237.3))


def main():
    chance = random.Random(20260413)
    cloud, celsius, vapour = 0.0, 18.0, 1.6
    print("time,light_w_m2,temperature_c,humidity_pct")
    for k in range(len(DAYS) * PER_DAY):
        share, broken, outside = DAYS[k // PER_DAY]
        hour = (k % PER_DAY) * STEP_MIN / 60.0
        cloud = 0.82 * cloud + 0.57 * chance.gauss(0.0, 1.0)
        height = max(0.0, math.sin(math.pi * (hour - SUNRISE) / (SUNSET - SUNRISE))) if SUNRISE < hour < SUNSET else 0.0
        sky = min(1.05, max(0.08, share * (1.0 + broken * math.tanh(cloud))))
        light = CLEAR_NOON * height**1.2 * sky
        air_outside = outside + 4.0 * math.sin(2.0 * math.pi * (hour - 9.5) / 24.0)
        heated = 17.5 if light < 5.0 else 19.5
        target = max(heated, min(air_outside + 6.0 + 0.022 * light, 27.5))
        celsius += 0.18 * (target - celsius) + 0.05 * chance.gauss(0.0, 1.0)
        # Plants give vapour by light, vents and cold glass take it.
        wet = min(0.88, 0.80 - 0.00038 * light)
        vapour += 0.15 * (wet * saturation(celsius) - vapour)
        humidity = min(95.0, max(45.0, 100.0 * vapour / saturation(celsius) + 0.4 * chance.gauss(0.0, 1.0)))
        time = FIRST + datetime.timedelta(minutes=STEP_MIN * k)
        print(f"{time:%Y-%m-%dT%H:%M},{light:.0f},{celsius:.1f},{humidity:.0f}")


if __name__ == "__main__":
    main()
