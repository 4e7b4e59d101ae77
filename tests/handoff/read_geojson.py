#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads GeoJSON with a library that is not this project's (python3-geojson), and what the library does not look at by
RFC 7946: no "crs" (4), nothing across the antimeridian (3.1.9), every position in its bounding box, whose west may be
greater than its east (5.2). read_geojson.py FILE..."""
import sys

import geojson

geojson.geometry.DEFAULT_PRECISION = 15  # else it rounds what it reads
wrong = []


def within(box, position):
    west, south, east, north = box
    longitude, latitude = position[:2]
    inside = west <= longitude <= east if west <= east else longitude >= west or longitude <= east
    return inside and south <= latitude <= north


for name in sys.argv[1:]:
    with open(name, encoding="utf-8") as f:
        collection = geojson.load(f)
    if not isinstance(collection, geojson.FeatureCollection) or "crs" in collection:
        wrong.append(f"{name}: no FeatureCollection of RFC 7946")
        continue
    wrong += [f"{name}: {e}" for e in collection.errors()]
    for feature in collection.features:
        if feature.geometry is None:
            continue
        lines = {"Point": lambda c: [[c]], "LineString": lambda c: [c], "MultiLineString": lambda c: c}
        for line in lines[feature.geometry.type](feature.geometry.coordinates):
            for a, b in zip(line, line[1:]):
                if abs(a[0] - b[0]) > 180:
                    wrong.append(f"{name}: {feature.id} crosses the antimeridian from {a} to {b}")
            for box in filter(None, (collection.get("bbox"), feature.get("bbox"))):
                wrong += [f"{name}: {feature.id}: {p} is not in {box}" for p in line if not within(box, p)]
print("\n".join(wrong[:20]) or "sound")
sys.exit(1 if wrong else 0)
