#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Times the TEOS-10 toolbox (Debian package python3-gsw, vectorised C) on the arrays of water_bench.cpp.

usage: water_reference.py [PROGRAM]     PROGRAM is water_bench: it is run first, and the ratios are printed

Processor time on one core, best of five, for 1,036,800 scans. Exits with 77 (skip) without the package.
"""
import json
import subprocess
import sys
import time

try:
    import gsw
    import numpy as np
except ImportError as missing:
    print("python3-gsw is not installed:", missing)
    sys.exit(77)

SCANS = 1036800
x = np.arange(SCANS, dtype=float)
p = 620.0 - 620.0 * np.cos(x * 6.2e-6)
t = 2.4 + 17.0 * np.exp(-p / 400.0)
c = 31.0 + 0.93 * t + 0.0006 * np.sin(x * 0.7)
LATITUDE = -31.27


def best(work):
    times = []
    for _ in range(5):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times) * 1e3


salinity = gsw.SP_from_C(c, t, p)
sa = gsw.SR_from_SP(salinity)
ct = gsw.CT_from_t(sa, t, p)


def everything(exact):
    s = gsw.SP_from_C(c, t, p)
    gsw.z_from_p(p, LATITUDE)
    absolute = gsw.SR_from_SP(s)
    conservative = gsw.CT_from_t(absolute, t, p)
    gsw.sigma0(absolute, conservative)
    if exact:
        gsw.sound_speed_t_exact(absolute, t, p)
    else:
        gsw.sound_speed(absolute, conservative, p)


ours = {}
if len(sys.argv) > 1:
    answer = subprocess.run([sys.argv[1], "--benchmark_format=json"], capture_output=True, text=True, check=True)
    for entry in json.loads(answer.stdout)["benchmarks"]:
        ours[entry["name"]] = (entry["cpu_time"], entry["time_unit"])
    print("water_bench:")
    for name, (value, unit) in ours.items():
        print(f"{name:52s} {value:9.1f} {unit}")

print(f"\nreference: gsw {gsw.__version__}, numpy {np.__version__}, {SCANS} scans")
for name, work in [
    ("salinity (SP_from_C)", lambda: gsw.SP_from_C(c, t, p)),
    ("depth (z_from_p)", lambda: gsw.z_from_p(p, LATITUDE)),
    ("Conservative Temperature (CT_from_t)", lambda: gsw.CT_from_t(sa, t, p)),
    ("sigma0, from SA and CT", lambda: gsw.sigma0(sa, ct)),
    ("sound_speed, 75 terms, from SA and CT", lambda: gsw.sound_speed(sa, ct, p)),
    ("sound_speed_t_exact, from SA and t", lambda: gsw.sound_speed_t_exact(sa, t, p)),
]:
    print(f"{name:52s} {best(work):9.1f} ms")
fast, exact = best(lambda: everything(False)), best(lambda: everything(True))
print(f"{'all four from C, T, P (75-term sound speed)':52s} {fast:9.1f} ms")
print(f"{'all four from C, T, P (exact sound speed)':52s} {exact:9.1f} ms")
if ours:
    print("\nall four columns, reference time over ours:")
    print(f"default methods (EOS-80, Chen-Millero): {fast / ours['DeriveColumns/0'][0]:5.1f} times")
    print(f"TEOS-10 throughout, exact sound speed:  {exact / ours['DeriveColumns/1'][0]:5.1f} times")
