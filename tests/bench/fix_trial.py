#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes invented dives of several kinds, fixes their collections by both methods and prints the table of README.md.

  fix_trial.py GENERATOR FIX_TRIAL FOLDER [SEEDS]

GENERATOR is a script that writes position.csv, collections.csv (sample_id,time_utc), collections_truth.csv
(sample_id,...,latitude_deg,longitude_deg) and, with --dvl, dvl.csv into the folder given by --out, and takes --seed,
--hours, --nav-hz, --nav-correlation-s, --antimeridian. FIX_TRIAL is the program built from fix_trial.cpp. FOLDER
keeps the dives for the next time. SEEDS: how many dives of each kind, 40 unless given.
"""
import csv
import math
import os
import subprocess
import sys

KINDS = [
    ("4 h, 0.5 Hz, white", "white-05", "--hours 4 --nav-hz 0.5"),
    ("4 h, 0.2 Hz, white", "white-02", "--hours 4 --nav-hz 0.2"),
    ("4 h, 0.5 Hz, half slow over 30 s", "slow-05", "--hours 4 --nav-hz 0.5 --nav-correlation-s 30"),
    ("4 h, 0.5 Hz, across 180 degrees", "turn-05", "--hours 4 --nav-hz 0.5 --antimeridian"),
    ("12 h, 1 Hz, white", "long-1", "--hours 12 --nav-hz 1"),
    ("4 h, 0.5 Hz, white, velocities", "velocity", "--hours 4 --nav-hz 0.5 --dvl"),
    ("4 h, 0.5 Hz, half slow, velocities", "velocity-slow", "--hours 4 --nav-hz 0.5 --dvl --nav-correlation-s 30"),
]


def distance(lat1, lon1, lat2, lon2):
    """Metres on WGS 84 by the radii of curvature at the middle; good to millimetres over a few kilometres."""
    e2 = 0.0066943799901413165
    s = math.sin(math.radians((lat1 + lat2) / 2))
    w = math.sqrt(1 - e2 * s * s)
    north = math.radians(lat2 - lat1) * 6378137.0 * (1 - e2) / w ** 3
    turn = (lon2 - lon1 + 540.0) % 360.0 - 180.0
    return math.hypot(north, math.radians(turn) * 6378137.0 / w * math.sqrt(1 - s * s))


def rows(path):
    with open(path, newline="") as file:
        return list(csv.DictReader(file))


def quantile(values, q):
    position = q * (len(values) - 1)
    low = int(position)
    high = min(low + 1, len(values) - 1)
    return values[low] + (position - low) * (values[high] - values[low])


def score(folders, method):
    errors, inside, missing = [], 0, 0
    for folder in folders:
        truth = {r["sample_id"]: r for r in rows(os.path.join(folder, "collections_truth.csv"))}
        for fix in rows(os.path.join(folder, "fixes_%s.csv" % method)):
            if not fix["latitude"]:
                missing += 1
                continue
            known = truth[fix["sample_id"]]
            error = distance(float(known["latitude_deg"]), float(known["longitude_deg"]),
                             float(fix["latitude"]), float(fix["longitude"]))
            errors.append(error)
            inside += error <= float(fix["uncertainty_m"])
    errors.sort()
    return errors, inside / max(1, len(errors)), missing


def main():
    if len(sys.argv) < 4:
        sys.exit(__doc__)
    generator, program, root = sys.argv[1:4]
    seeds = int(sys.argv[4]) if len(sys.argv) > 4 else 40
    print("| dives | method | samples | none | median m | p95 m | max m | inside 95 % radius |")
    print("|---|---|---|---|---|---|---|---|")
    for title, name, arguments in KINDS:
        folders = [os.path.join(root, name, str(seed)) for seed in range(1, seeds + 1)]
        for seed, folder in enumerate(folders, 1):
            if not os.path.exists(os.path.join(folder, "collections_truth.csv")):
                subprocess.run([sys.executable, generator, "--out", folder, "--seed", str(seed), "--ctd-hz", "0.1",
                                "--no-truth"] + arguments.split(), check=True, stdout=subprocess.DEVNULL)
        for method in ("linear", "smooth"):
            subprocess.run([program, method] + folders, check=True, stdout=subprocess.DEVNULL)
            errors, inside, missing = score(folders, method)
            print("| %s | %s | %d | %d | %.2f | %.2f | %.1f | %.3f |"
                  % (title, method, len(errors), missing, quantile(errors, 0.5), quantile(errors, 0.95), errors[-1],
                     inside))
        sys.stdout.flush()


if __name__ == "__main__":
    main()
