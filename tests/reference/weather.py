"""Reference evapotranspiration of the published example days by two general libraries (outside check 8).

    python3 -m venv .venv
    .venv/bin/pip install refet pyet
    .venv/bin/python tests/reference/weather.py tests/reference/weather.csv

The days are Examples 18 and 19 of Allen et al. 1998 (FAO-56) and four more of our own choice; a row is one library's answer.
"""

import csv
import sys

import numpy as np
import pandas as pd
import pyet
import refet

# latitude deg, elevation m, day of year, tmin, tmax, rhmin, rhmax, wind m/s, measured at m, solar MJ/m2
DAYS = {
    "example 18": (50.80, 100.0, 187, 12.3, 21.5, 63.0, 84.0, 2.78, 10.0, 22.07),
    "hot and dry": (30.0, 300.0, 200, 22.0, 38.0, 15.0, 45.0, 4.0, 2.0, 28.0),
    "dull and damp": (55.0, 20.0, 300, 6.0, 10.0, 80.0, 98.0, 1.0, 2.0, 3.0),
    "spring": (45.0, 50.0, 100, 5.0, 17.0, 40.0, 90.0, 2.0, 2.0, 17.0),
    "south": (-20.0, 1000.0, 15, 17.0, 29.0, 50.0, 90.0, 1.5, 2.0, 24.0),
}


def e0(t):
    return 0.6108 * np.exp(17.27 * t / (t + 237.3))


def main(path):
    rows = []
    for name, (lat, z, doy, tmin, tmax, rhmin, rhmax, wind, at, rs) in DAYS.items():
        ea = 0.5 * (e0(tmin) * rhmax + e0(tmax) * rhmin) / 100.0
        day = refet.Daily(tmin=tmin, tmax=tmax, ea=ea, rs=rs, uz=wind, zw=at, elev=z, lat=lat, doy=doy, method="asce")
        rows.append([name, "refet asce", lat, z, doy, tmin, tmax, rhmin, rhmax, wind, at, rs, float(np.squeeze(day.eto()))])
        u2 = wind * 4.87 / np.log(67.8 * at - 5.42)
        index = pd.DatetimeIndex([pd.Timestamp("2023-01-01") + pd.Timedelta(days=doy - 1)])
        series = lambda v: pd.Series([v], index=index)
        fao = pyet.pm_fao56(
            tmean=series(0.5 * (tmin + tmax)), wind=series(u2), rs=series(rs), elevation=z, lat=np.radians(lat),
            tmax=series(tmax), tmin=series(tmin), rhmax=series(rhmax), rhmin=series(rhmin),
        )
        rows.append([name, "pyet pm_fao56", lat, z, doy, tmin, tmax, rhmin, rhmax, wind, at, rs, float(fao.iloc[0])])
    with open(path, "w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow("day,library,latitude,elevation_m,day_of_year,t_min,t_max,rh_min,rh_max,wind,wind_at_m,solar_mj,eto_mm".split(","))
        writer.writerows(rows)


main(sys.argv[1])
