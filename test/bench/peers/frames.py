# The job with data frames: python3 frames.py LOG TABLE [CLEANED]
import json
import math
import sys

import numpy as np
import pandas as pd

log, table = sys.argv[1:3]
cleaned = sys.argv[3] if len(sys.argv) > 3 else None
MINUTE = 60_000
JOINED = 2 * MINUTE
P = 1013.25
LAG = 3 * 60 * MINUTE
counts = {}

frame = pd.read_csv(log, na_values=["nan"], dtype={"temperature": "float64", "humidity": "float64"})
when = pd.to_datetime(frame["time"], format="%Y-%m-%dT%H:%M:%SZ")
frame["ms"] = when.to_numpy().astype("datetime64[ms]").astype("int64")
frame.drop(columns="time", inplace=True)
frame.columns = ["t", "u", "ms"]
newest = frame["ms"].cummax().shift(fill_value=np.iinfo("int64").min)
counts["late"] = int((frame["ms"] < newest).sum())
values = frame[["t", "u"]].to_numpy()
missing = np.isnan(values)
stand_in = values == -999
beyond = ~missing & ~stand_in & ((values < [-40, 1]) | (values > [60, 104]))
counts["missing"] = int(missing.sum())
counts["standIn"] = int(stand_in.sum())
counts["range"] = int(beyond.sum())
values[stand_in | beyond] = np.nan
frame[["t", "u"]] = values

frame.sort_values("ms", kind="stable", inplace=True, ignore_index=True)
again = frame["ms"].duplicated(keep="first")
first = frame.groupby("ms", sort=False)[["t", "u"]].transform("first") if again.any() else frame
same = ((first["t"] == frame["t"]) | (first["t"].isna() & frame["t"].isna())) & (
    (first["u"] == frame["u"]) | (first["u"].isna() & frame["u"].isna())
)
counts["duplicate"] = int((again & same).sum())
counts["conflict"] = int((again & ~same).sum())
frame = frame[~again].reset_index(drop=True)
ms, t, u = (frame[name].to_numpy() for name in ["ms", "t", "u"])
counts["gap"] = int((np.diff(ms) > 1.5 * MINUTE).sum())
counts["step"] = 0
counts["flat"] = 0
for column, most in [(t, 3), (u, 15)]:
    good = ~np.isnan(column)
    at, value = ms[good], column[good]
    change = np.diff(value)
    counts["step"] += int(((np.diff(at) <= JOINED) & (np.abs(change) > most)).sum())
    moved = np.concatenate([[True], change != 0])
    since = at[np.maximum.accumulate(np.where(moved, np.arange(len(at)), 0))]
    counts["flat"] += int((~moved & (at - since >= 6 * 60 * MINUTE)).sum())


def saturation(x):
    return 6.1121 * np.exp((18.678 - x / 234.5) * x / (257.14 + x))


def slope(x):
    return (18.678 * 257.14 - (2 * 257.14 * x + x * x) / 234.5) / (257.14 + x) ** 2


FACTOR = 1.0016 + 3.15e-6 * P - 0.074 / P


def ratio(x):
    return 0.621945 * x / (P - x)


full = saturation(t)
e = np.minimum(u, 100) / 100 * full
s = np.log(e / 6.1121)
half = 18.678 - s
dew = 2 * 257.14 * s / (half + np.sqrt(half * half - 4 * 257.14 * s / 234.5))
deficit = full - e
absolute = 216.679 * FACTOR * e / (t + 273.15)
r = ratio(FACTOR * e)
bulb = t - (t - dew) / 3
for _ in range(3):
    over = FACTOR * saturation(bulb)
    heat = (2501 - 2.326 * bulb) * ratio(over)
    excess = heat - 1.006 * (t - bulb) - r * (2501 + 1.86 * t - 4.186 * bulb)
    growth = heat * slope(bulb) * P / (P - over) - 2.326 * ratio(over) + 1.006 + 4.186 * r
    bulb = bulb - excess / growth
columns = {"dew": dew, "wetBulb": bulb, "vapour": e, "deficit": deficit, "absolute": absolute, "mixing": 1000 * r}

good = np.flatnonzero(~np.isnan(t))
span = np.diff(ms[good])
behind = np.diff(t[good]) / span * LAG
left = np.exp(-span / LAG)
goal = t[good][1:] - behind + (behind - t[good][:-1]) * left
left[span > 120 * MINUTE] = 0.0
goal[span > 120 * MINUTE] = t[good][1:][span > 120 * MINUTE]
course = [float(t[good][0])]
last = course[0]
for factor, step in zip(left.tolist(), goal.tolist()):
    last = last * factor + step
    course.append(last)
surface = np.full(len(t), np.nan)
surface[good] = course

day = pd.DatetimeIndex(ms.astype("datetime64[ms]")).tz_localize("UTC").tz_convert("Europe/Berlin")
number = (day.tz_localize(None).to_numpy().astype("datetime64[D]")).astype("int64")
first_day = number.min()
number = number - first_day
days = int(number.max()) + 1


def means(column):
    good = np.flatnonzero(~np.isnan(column))
    at, value, where = ms[good], column[good], number[good]
    span = np.diff(at).astype("float64")
    joined = span <= JOINED
    area = (value[:-1] + value[1:]) / 2 * span
    sums = np.bincount(where[:-1][joined], area[joined], days)
    return sums / np.bincount(where[:-1][joined], span[joined], days)


result = {"readings": np.bincount(number[~(np.isnan(t) & np.isnan(u))], minlength=days)}
groups = pd.Series(t).groupby(number)
low, high = groups.idxmin(), groups.idxmax()
result["t_min"], result["t_min_at"] = t[low], ms[low] // MINUTE
result["t_max"], result["t_max_at"] = t[high], ms[high] // MINUTE
result["t_mean"] = means(t)
damp = pd.Series(u).groupby(number)
result["u_min"], result["u_max"], result["u_mean"] = damp.min(), damp.max(), means(u)
names = ["dew", "wet_bulb", "vapour", "deficit", "absolute", "mixing"]
for name, column in zip(names, columns.values()):
    result[name] = means(column)

margin = surface - dew
good = np.flatnonzero(~np.isnan(margin))
at, value = ms[good], margin[good]
span = np.diff(at).astype("float64")
begin, end = value[:-1], value[1:]
lowest = np.minimum(begin, end)
crossing = (begin <= 0) != (end <= 0)
part = np.where(crossing, -lowest / np.where(crossing, np.abs(end - begin), 1), np.where(lowest <= 0, 1, 0))
known = (span <= JOINED) & (at[:-1] - ms[0] >= 3 * LAG)
result["wet_hours"] = np.bincount(number[good][:-1][known], (part * span)[known], days) / 3_600_000

summary = pd.DataFrame(result)
summary.insert(0, "day", (np.arange(days) + first_day).astype("datetime64[D]").astype(str))
summary.to_csv(table, index=False)
if cleaned is not None:
    out = pd.DataFrame({"time": pd.DatetimeIndex(ms.astype("datetime64[ms]")).strftime("%Y-%m-%dT%H:%M:%SZ"), "t": t, "u": u})
    for name, column in columns.items():
        out[name] = np.round(column, 2)
    out.to_csv(cleaned, index=False)
print(json.dumps(counts))
