#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads a Darwin Core Archive again apart from the program under test (python3 alone): recheck_archive.py data/dwca.
Files, columns and ids by the Darwin Core text guide (TDWG, 2023-09-13); values by the Darwin Core quick reference and
the OBIS manual (required terms, Event core, Occurrence and eMoF tables)."""
import datetime
import re
import sys
import xml.etree.ElementTree as xml

folder = sys.argv[1]
guide = "{http://rs.tdwg.org/dwc/text/}"
wrong = []


def need(holds, what):
    if not holds:
        wrong.append(what)


def rows_of(element):
    name = element.find(f"{guide}files/{guide}location").text
    with open(f"{folder}/{name}", "rb") as f:
        raw = f.read()
    need(not raw.startswith(b"\xef\xbb\xbf") and b"\r" not in raw and raw.endswith(b"\n"), f"{name}: bytes")
    head, *lines = [line.split("\t") for line in raw.decode("utf-8").split("\n")[:-1]]
    fields = {int(f.get("index")): f.get("term").rsplit("/", 1)[1] for f in element.findall(f"{guide}field")}
    ident = element.find(f"{guide}id")
    ident = int((element.find(f"{guide}coreid") if ident is None else ident).get("index"))
    need(set(range(len(head))) == set(fields) | {ident}, f"{name}: a column that is not mapped")
    need(all(head[i] == term for i, term in fields.items()), f"{name}: the header is {head}")
    rows = []
    for number, line in enumerate(lines, 2):
        need(len(line) == len(head), f"{name}, line {number}: {len(line)} columns")
        need(not re.search(r"[\x00-\x1f\x7f]", "".join(line)), f"{name}, line {number}: a control character")
        rows.append({"coreid": line[ident]} | {term: line[i] for i, term in fields.items()})
    return rows


instant = r"\d{4}-\d\d-\d\d(T\d\d:\d\d:\d\d(\.\d+)?Z)?"


def span(text, of):
    if not re.fullmatch(f"{instant}(/{instant})?", text):
        wrong.append(f"{of}: the time {text!r}")
        return None
    ends = [datetime.datetime.fromisoformat(e.replace("Z", "+00:00")).replace(tzinfo=datetime.timezone.utc)
            for e in text.split("/")]
    need(ends[0] <= ends[-1], f"{of}: {text} ends before it begins")
    return ends[0], ends[-1]


tables = {table.get("rowType").rsplit("/", 1)[1]: rows_of(table) for table in xml.parse(f"{folder}/meta.xml").getroot()}
events = {row["eventID"]: row for row in tables["Event"]}
need(len(events) == len(tables["Event"]), "an eventID is there twice")
spans = {name: span(row["eventDate"], name) for name, row in events.items()}
for name, row in events.items():
    parent = row["parentEventID"]
    need(row["coreid"] == name and not re.search(r"\s", name), f"{name}: its id")
    need(parent in events or (not parent and row is tables["Event"][0]), f"{name}: no parent {parent!r}")
    if parent in events and spans[name] and spans[parent]:
        need(spans[parent][0] <= spans[name][0] and spans[name][1] <= spans[parent][1], f"{name}: not within {parent}")
    place = [row[t] for t in ("decimalLatitude", "decimalLongitude", "geodeticDatum", "coordinateUncertaintyInMeters")]
    if any(place):
        need(all(place), f"{name}: half a place {place}")
        latitude, longitude, uncertainty = float(place[0]), float(place[1]), float(place[3])
        need(abs(latitude) <= 90 and abs(longitude) <= 180 and (latitude or longitude), f"{name}: the place {place}")
        need(place[2] == "EPSG:4326" and 0 < uncertainty <= 10_000_000, f"{name}: {place}")
    depths = [row["minimumDepthInMeters"], row["maximumDepthInMeters"]]
    if any(depths):
        need(all(depths) and float(depths[0]) <= float(depths[1]), f"{name}: depths {depths}")
occurrences = {row["occurrenceID"] for row in tables["Occurrence"]}
need(len(occurrences) == len(tables["Occurrence"]), "an occurrenceID is there twice")
kinds = "PreservedSpecimen FossilSpecimen LivingSpecimen MaterialSample HumanObservation MachineObservation".split()
for row in tables["Occurrence"]:
    name = row["occurrenceID"]
    need(row["coreid"] in events, f"{name}: no event {row['coreid']}")
    need(row["occurrenceStatus"] in ("present", "absent"), f"{name}: {row['occurrenceStatus']!r}")
    need(row["basisOfRecord"] in kinds, f"{name}: {row['basisOfRecord']!r}")
    need(row["scientificName"] and not re.search(r"\b(cf|aff|spp?|indet)\.|\?", row["scientificName"]),
         f"{name}: the name {row['scientificName']!r}")
    need(re.fullmatch(r"(urn:lsid:marinespecies\.org:taxname:\d+)?", row["scientificNameID"]), f"{name}: its LSID")
    for other in filter(None, row["associatedOccurrences"].split(" | ")):
        match = re.fullmatch(r'"[^"]+":"([^"]+)"', other)
        need(match and match[1] in occurrences, f"{name}: {other}")
facts = tables["ExtendedMeasurementOrFact"]
need(len({row["measurementID"] for row in facts}) == len(facts), "a measurementID is there twice")
for row in facts:
    name = row["measurementID"]
    need(row["coreid"] in events, f"{name}: no event {row['coreid']}")
    need(not row["occurrenceID"] or row["occurrenceID"] in occurrences, f"{name}: no occurrence")
    need(re.fullmatch(r"-?\d+(\.\d+)?", row["measurementValue"]), f"{name}: {row['measurementValue']!r}")
    for term, collection in (("measurementTypeID", "P01"), ("measurementUnitID", "P06")):
        need(re.fullmatch(rf"http://vocab\.nerc\.ac\.uk/collection/{collection}/current/[A-Z0-9]+/", row[term]),
             f"{name}: {row[term]!r}")
    span(row["measurementDeterminedDate"], name)
print("\n".join(wrong) or f"{len(events)} events, {len(occurrences)} occurrences, {len(facts)} facts: sound")
sys.exit(1 if wrong else 0)
