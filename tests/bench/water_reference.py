#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Times the TEOS-10 toolbox (Debian package python3-gsw, vectorised C) on the arrays of water_bench.cpp.

One core, best of five; prints milliseconds for 1,036,800 scans. Exits with 77 (skip) without the package.
"""
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
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times) * 1e3


salinity = gsw.SP_from_C(c, t, p)
sa = gsw.SR_from_SP(salinity)
ct = gsw.CT_from_t(sa, t, p)


def everything():
    s = gsw.SP_from_C(c, t, p)
    gsw.z_from_p(p, LATITUDE)
    absolute = gsw.SR_from_SP(s)
    conservative = gsw.CT_from_t(absolute, t, p)
    gsw.sigma0(absolute, conservative)
    gsw.sound_speed(absolute, conservative, p)


rows = [
    ("salinity (SP_from_C)", lambda: gsw.SP_from_C(c, t, p)),
    ("depth (z_from_p)", lambda: gsw.z_from_p(p, LATITUDE)),
    ("CT_from_t", lambda: gsw.CT_from_t(sa, t, p)),
    ("sigma0 from SA, CT", lambda: gsw.sigma0(sa, ct)),
    ("sound_speed from SA, CT", lambda: gsw.sound_speed(sa, ct, p)),
    ("sound_speed_t_exact", lambda: gsw.sound_speed_t_exact(sa, t, p)),
    ("all four, from C, T, P", everything),
]
print(f"reference: gsw {gsw.__version__}, numpy {np.__version__}, {SCANS} scans, one core, best of five")
for name, work in rows:
    print(f"{name:28s} {best(work):9.1f} ms")
