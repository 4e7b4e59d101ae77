#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the manifests, Oxum and tag manifests of a bag anew over whatever is in it: what a forger would do."""
import hashlib
import os
import sys

bag = sys.argv[1]


def digest(path, algorithm):
    with open(os.path.join(bag, path), "rb") as f:
        return hashlib.new(algorithm, f.read()).hexdigest()


payload = sorted(os.path.relpath(os.path.join(d, n), bag) for d, _, names in os.walk(os.path.join(bag, "data")) for n in names)
for algorithm in ("sha256", "sha512"):
    with open(os.path.join(bag, f"manifest-{algorithm}.txt"), "w") as f:
        f.writelines(f"{digest(p, algorithm)}  {p}\n" for p in payload)
size = sum(os.path.getsize(os.path.join(bag, p)) for p in payload)
with open(os.path.join(bag, "bag-info.txt")) as f:
    lines = [f"Payload-Oxum: {size}.{len(payload)}\n" if line.startswith("Payload-Oxum") else line for line in f]
with open(os.path.join(bag, "bag-info.txt"), "w") as f:
    f.writelines(lines)
tags = sorted(n for n in os.listdir(bag) if os.path.isfile(os.path.join(bag, n)) and not n.startswith("tagmanifest"))
for algorithm in ("sha256", "sha512"):
    with open(os.path.join(bag, f"tagmanifest-{algorithm}.txt"), "w") as f:
        f.writelines(f"{digest(t, algorithm)}  {t}\n" for t in tags)
