#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Validates JSON files by JSON Schema with a library that is not this project's: validate_json.py SCHEMA FILE..."""
import json
import sys

import jsonschema

with open(sys.argv[1], encoding="utf-8") as f:
    schema = json.load(f)
# The schema itself by the meta-schema of its draft, which comes with the library.
checker = jsonschema.validators.validator_for(schema)
checker.check_schema(schema)
wrong = 0
for name in sys.argv[2:]:
    with open(name, encoding="utf-8") as f:
        document = json.load(f)
    for e in checker(schema).iter_errors(document):
        wrong += 1
        print(f"{name}: {'/'.join(str(p) for p in e.absolute_path)}: {e.message[:300]}")
sys.exit(1 if wrong else 0)
