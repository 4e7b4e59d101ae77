#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads PROV-JSON with a library that is not this project's (python3-prov, which follows the PROV-JSON submission to
W3C of 24 April 2013): every record must be taken, every relation must lead to something recorded, what is written again
must be the same document. The library does not look at the order of things, so that is done here: no activity has ended
before what it uses was made (PROV-CONSTRAINTS, W3C 30 April 2013: constraints 33, 34 and 37), none ends before it
began (30), and none begins to use what is no more (38)."""
import json
import sys

from prov.model import ProvActivity, ProvDocument, ProvGeneration, ProvInvalidation, ProvUsage, QualifiedName

with open(sys.argv[1], encoding="utf-8") as f:
    text = f.read()
written = {kind: records for kind, records in json.loads(text).items() if kind != "prefix"}
count = sum(len(entry) if isinstance(entry, list) else 1 for records in written.values() for entry in records.values())
document = ProvDocument.deserialize(content=text, format="json")
wrong = []
if len(document.records) != count:
    wrong.append(f"{len(document.records)} of {count} records were taken")
known = {str(record.identifier) for record in document.records if record.is_element()}
for record in document.records:
    if record.is_relation():
        for attribute, value in record.formal_attributes:
            if isinstance(value, QualifiedName) and str(value) not in known:
                wrong.append(f"{record}: {attribute} {value} is not recorded")
activities = {str(a.identifier): a for a in document.get_records(ProvActivity)}
for activity in activities.values():
    begin, end = activity.get_startTime(), activity.get_endTime()
    if begin and end and end < begin:
        wrong.append(f"{activity.identifier} ends before it begins")
made = {str(g.args[0]): activities.get(str(g.args[1])) for g in document.get_records(ProvGeneration)}
for use in document.get_records(ProvUsage):
    activity, maker = activities.get(str(use.args[0])), made.get(str(use.args[1]))
    if activity and maker and activity.get_endTime() and maker.get_startTime():
        if activity.get_endTime() < maker.get_startTime():
            wrong.append(f"{activity.identifier} has ended before {use.args[1]} was made")
ended = {str(i.args[0]): i.args[2] for i in document.get_records(ProvInvalidation)}
for use in document.get_records(ProvUsage):
    activity, end = activities.get(str(use.args[0])), ended.get(str(use.args[1]))
    if activity and end and activity.get_startTime() and activity.get_startTime() > end:
        wrong.append(f"{activity.identifier} began when {use.args[1]} was no more")
if ProvDocument.deserialize(content=document.serialize(format="json"), format="json") != document:
    wrong.append("written again, it is another document")
try:
    document.unified()  # two records of one thing must not contradict each other
except Exception as e:  # the library has no narrower one
    wrong.append(f"contradicting records: {e}")
print("\n".join(wrong) or f"{count} records: sound")
sys.exit(1 if wrong else 0)
