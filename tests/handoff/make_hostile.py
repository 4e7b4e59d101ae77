#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes zips that must be refused, out of a sound package zip: make_hostile.py SOUND.zip FOLDER"""
import os
import stat
import struct
import sys
import zipfile

sound, folder = sys.argv[1], sys.argv[2]
with zipfile.ZipFile(sound) as z:
    members = [(i.filename, z.read(i)) for i in z.infolist()]
top = members[0][0].split("/")[0]


def make(name, extra, rename=lambda n: n):
    with zipfile.ZipFile(os.path.join(folder, name + ".zip"), "w", zipfile.ZIP_DEFLATED) as z:
        for path, data in members:
            z.writestr(rename(path), data)
        extra(z)


def member(path, data=b"x", mode=None):
    info = zipfile.ZipInfo(path)
    info.compress_type = zipfile.ZIP_DEFLATED
    if mode is not None:
        info.create_system = 3
        info.external_attr = mode << 16
    return info, data


def twice(path):
    def add(z):
        import warnings
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            z.writestr(*member(path))
    return add


make("climbs", lambda z: z.writestr(*member(f"{top}/data/../../../escaped.txt")))
make("climbs-top", lambda z: z.writestr(*member("../escaped.txt")))
make("absolute", lambda z: z.writestr(*member("/holdfast-escaped.txt")))
make("backslash", lambda z: z.writestr(*member(f"{top}/data/..\\..\\escaped.txt")))
make("drive", lambda z: z.writestr(*member("C:/escaped.txt")))
make("link", lambda z: z.writestr(*member(f"{top}/data/link", b"/etc/passwd", stat.S_IFLNK | 0o777)))
make("device", lambda z: z.writestr(*member(f"{top}/data/pipe", b"", stat.S_IFIFO | 0o644)))
make("twice", twice(f"{top}/data/README.txt"))
make("case", lambda z: z.writestr(*member(f"{top}/data/readme.TXT")))
make("form", lambda z: (z.writestr(*member(f"{top}/data/\u00e9.txt")), z.writestr(*member(f"{top}/data/e\u0301.txt"))))
make("fetch", lambda z: z.writestr(*member(f"{top}/fetch.txt", b"https://example.org/x - data/README.txt\n")))
make("bomb", lambda z: z.writestr(*member(f"{top}/data/zeros", b"\0" * (300 << 20))))
make("extra", lambda z: z.writestr(*member(f"{top}/data/unlisted.txt")))

# A file that is shorter in its header than its bytes unpack to.
with zipfile.ZipFile(os.path.join(folder, "lies.zip"), "w", zipfile.ZIP_DEFLATED) as z:
    for path, data in members:
        z.writestr(path, data)
with open(os.path.join(folder, "lies.zip"), "r+b") as f:
    data = bytearray(f.read())
    name = f"{top}/data/README.txt".encode()
    for signature, size_at, name_at in ((b"PK\x03\x04", 22, 30), (b"PK\x01\x02", 24, 46)):
        at = 0
        while (at := data.find(signature, at)) >= 0:
            if data[at + name_at:at + name_at + len(name)] == name:
                struct.pack_into("<I", data, at + size_at, 10)
            at += 4
    f.seek(0)
    f.write(data)

# Cut off in the middle.
with open(sound, "rb") as f, open(os.path.join(folder, "cut.zip"), "wb") as out:
    whole = f.read()
    out.write(whole[:len(whole) // 2])
with open(os.path.join(folder, "text.zip"), "wb") as out:
    out.write(b"this is no zip")

# A member that states 2**63 bytes (ZIP64: the sizes stand in an extra field, header 0x0001).
name = f"{top}/data/README.txt".encode()
sizes = struct.pack("<HHQQ", 1, 16, 1 << 63, 1)
head = struct.pack("<IHHHHHIIIHH", 0x04034b50, 45, 0, 0, 0, 0x21, 0, 0xffffffff, 0xffffffff, len(name), len(sizes))
central = struct.pack("<IHHHHHHIIIHHHHHII", 0x02014b50, 45, 45, 0, 0, 0, 0x21, 0, 0xffffffff, 0xffffffff,
                      len(name), len(sizes), 0, 0, 0, 0, 0) + name + sizes
local = head + name + sizes + b"x"
end = struct.pack("<IHHHHIIH", 0x06054b50, 0, 0, 1, 1, len(central), len(local), 0)
with open(os.path.join(folder, "huge.zip"), "wb") as out:
    out.write(local + central + end)
