#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks a bag again apart from the program under test (python3 alone): manifests, tag manifests, Oxum."""
import hashlib
import os
import sys

bag = sys.argv[1]
wrong = []


def sums(path):
    s256, s512, size = hashlib.sha256(), hashlib.sha512(), 0
    with open(path, "rb") as f:
        while piece := f.read(1 << 20):
            s256.update(piece)
            s512.update(piece)
            size += len(piece)
    return {"sha256": s256.hexdigest(), "sha512": s512.hexdigest()}, size


payload, octets = set(), 0
for folder, _, names in os.walk(os.path.join(bag, "data")):
    for name in names:
        path = os.path.join(folder, name)
        payload.add(os.path.relpath(path, bag))
        octets += os.path.getsize(path)
for kind in ("manifest", "tagmanifest"):
    for algorithm in ("sha256", "sha512"):
        listed = set()
        with open(os.path.join(bag, f"{kind}-{algorithm}.txt"), encoding="utf-8", newline="") as manifest:
            for line in manifest.read().split("\n")[:-1]:
                checksum, path = line.split("  ", 1)
                if path in listed:
                    wrong.append(f"{path} twice in {kind}-{algorithm}")
                listed.add(path)
                if sums(os.path.join(bag, path))[0][algorithm] != checksum:
                    wrong.append(f"{path} has another {algorithm}")
        should = payload if kind == "manifest" else {
            n for n in os.listdir(bag) if os.path.isfile(os.path.join(bag, n)) and not n.startswith("tagmanifest")}
        if listed != should:
            wrong.append(f"{kind}-{algorithm} lists {sorted(listed ^ should)} otherwise")
with open(os.path.join(bag, "bag-info.txt"), encoding="utf-8") as info:
    oxum = [line.split(": ", 1)[1].strip() for line in info if line.startswith("Payload-Oxum")]
if oxum != [f"{octets}.{len(payload)}"]:
    wrong.append(f"Payload-Oxum {oxum}, not {octets}.{len(payload)}")
with open(os.path.join(bag, "bagit.txt"), "rb") as declaration:
    if declaration.read() != b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n":
        wrong.append("bagit.txt")
print("\n".join(wrong) or f"{len(payload)} payload files, {octets} octets: sound")
sys.exit(1 if wrong else 0)
