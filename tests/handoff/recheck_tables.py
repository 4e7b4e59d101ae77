#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads the tables of a package again apart from the program under test (python3 alone) by their own description:
recheck_tables.py data/tables. Frictionless Data, Table Schema version 1: types and formats, constraints, missing
values, primary and foreign keys."""
import csv
import datetime
import json
import re
import sys

folder = sys.argv[1]
with open(f"{folder}/datapackage.json", encoding="utf-8") as f:
    package = json.load(f)
wrong, tables = [], {}


def is_of_type(cell, field):
    kind = field["type"]
    if kind == "integer":
        return re.fullmatch(r"-?\d+", cell)
    if kind == "number":
        return re.fullmatch(r"-?\d+(\.\d+)?([eE][-+]?\d+)?", cell)
    if kind == "boolean":
        return cell in field["trueValues"] + field["falseValues"]
    if kind == "datetime":
        try:
            datetime.datetime.strptime(cell, field["format"])
        except ValueError:
            return False
    return True


for resource in package["resources"]:
    name, schema = resource["name"], resource["schema"]
    with open(f"{folder}/{resource['path']}", encoding="utf-8", newline="") as f:
        head, *rows = csv.reader(f, strict=True)
    if head != [field["name"] for field in schema["fields"]]:
        wrong.append(f"{name}: the header is {head}")
        continue
    tables[name] = [dict(zip(head, row, strict=True)) for row in rows]
    for number, row in enumerate(tables[name], 2):
        for field in schema["fields"]:
            cell, constraints = row[field["name"]], field.get("constraints", {})
            place = f"{name}, line {number}, {field['name']}: {cell!r}"
            if cell in schema["missingValues"]:
                if constraints.get("required"):
                    wrong.append(f"{place} is required")
                continue
            if not is_of_type(cell, field):
                wrong.append(f"{place} is no {field['type']}")
            if "enum" in constraints and cell not in constraints["enum"]:
                wrong.append(f"{place} is none of {constraints['enum']}")
    seen = set()
    for row in tables[name]:
        key = tuple(row[column] for column in schema.get("primaryKey", []))
        if key and key in seen:
            wrong.append(f"{name}: {key} is there twice")
        seen.add(key)

foreign = 0
for resource in package["resources"]:
    for key in resource["schema"].get("foreignKeys", []):
        there = key["reference"]
        known = {tuple(row[column] for column in there["fields"]) for row in tables[there["resource"]]}
        for row in tables[resource["name"]]:
            value = tuple(row[column] for column in key["fields"])
            foreign += 1
            if any(value) and value not in known:
                wrong.append(f"{resource['name']}: {value} is not in {there['resource']}")
print("\n".join(wrong) or f"{len(tables)} tables, {sum(map(len, tables.values()))} rows, {foreign} references: sound")
sys.exit(1 if wrong else 0)
