#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Compares this library with the TEOS-10 toolbox (Debian package python3-gsw) at 20,000 random points.

usage: compare_with_gsw.py PROGRAM      PROGRAM is water_values_tool; exit 77 (skip) without python3-gsw

The points cover the ocean: practical salinity 0 to 42, -2 to 35 degC, 0 to 10,000 dbar, all latitudes. Quantities of
the older equations (EOS-80, UNESCO 44) have no counterpart in the toolbox; they are asked only to stay as near the
new ones as is known of ocean water.
"""
import subprocess
import sys

try:
    import gsw
    import numpy as np
except ImportError as missing:
    print("python3-gsw is not installed:", missing)
    sys.exit(77)

rng = np.random.default_rng(2010)
COUNT = 20000
salinity = rng.uniform(0.01, 42, COUNT)
t = rng.uniform(-2, 35, COUNT)
p = rng.uniform(0, 10000, COUNT)
latitude = rng.uniform(-90, 90, COUNT)
c = gsw.C_from_SP(salinity, t, p)

text = "\n".join("%.17g %.17g %.17g %.17g" % row for row in zip(c, t, p, latitude))
answer = subprocess.run([sys.argv[1]], input=text, capture_output=True, text=True, check=True).stdout
ours = np.array([line.split() for line in answer.splitlines()], dtype=float).T
assert ours.shape == (14, COUNT), ours.shape

sp = gsw.SP_from_C(c, t, p)
sa = gsw.SR_from_SP(sp)
ct = gsw.CT_from_t(sa, t, p)
checks = [  # name, ours, theirs, largest difference allowed
    ("practical salinity", ours[0], sp, 1e-11),
    ("conductivity, mS/cm", ours[1], c, 1e-11),
    ("depth, m", ours[2], -gsw.z_from_p(p, latitude), 1e-10),
    ("pressure from depth, dbar", ours[3], gsw.p_from_z(gsw.z_from_p(p, latitude), latitude), 1e-8),
    ("Conservative Temperature, degC", ours[4], ct, 1e-11),
    ("potential temperature, degC", ours[5], gsw.pt0_from_t(sa, t, p), 1e-11),
    ("density, kg/m3", ours[6], gsw.rho(sa, ct, p), 1e-10),
    ("sigma0, kg/m3", ours[7], gsw.sigma0(sa, ct), 1e-10),
    ("sound speed, m/s", ours[8], gsw.sound_speed_t_exact(sa, t, p), 1e-10),
    ("freezing point, degC", ours[9], gsw.t_freezing(sa, p, 0), 1e-10),
    ("oxygen solubility, umol/kg", ours[10], gsw.O2sol_SP_pt(sp, t), 1e-11),
]
ocean = (sp > 33) & (sp < 37) & (p < 6500) & (t < 30)
cold_when_deep = ocean & (t < 28 * np.exp(-p / 800.0) + 4)
near = [
    ("EOS-80 sigma0 near TEOS-10", ours[11], ours[7], 0.006),
    ("Chen-Millero near TEOS-10", ours[12], ours[8], 0.8),
    ("UNESCO 44 depth near TEOS-10", ours[13], ours[2], 0.3),
]
failed = False
for name, a, b, limit in checks:
    worst = float(np.nanmax(np.abs(a - b)))
    holes = int(np.sum(np.isnan(a) != np.isnan(b)))
    bad = worst > limit or holes > 0
    failed |= bad
    print(f"{name:34s} largest difference {worst:9.2e}, allowed {limit:7.0e}, missing on one side {holes}"
          + ("   WRONG" if bad else ""))
for name, a, b, limit in near:
    worst = float(np.max(np.abs(a - b)[cold_when_deep]))
    failed |= worst > limit
    print(f"{name:34s} largest difference {worst:9.4f}, allowed {limit}" + ("   WRONG" if worst > limit else ""))
sys.exit(1 if failed else 0)
