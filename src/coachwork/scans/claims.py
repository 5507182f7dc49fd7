"""What a mesh file claims to hold, checked against its size before anything is made of it."""

from __future__ import annotations

import json
import re
import struct
import zipfile
from pathlib import Path
from typing import Any

from coachwork.errors import ScanRefused

MOST_BYTES = 250_000_000  # five million triangles of a binary STL; a scan of a shell has one or two
MOST_TRIANGLES = 5_000_000
MOST_UNZIPPED = 100_000_000  # bytes of a 3MF's inside, some 900,000 triangles; reading it takes 14 times as much
MOST_PARTS = 20  # components a 3MF may put together; a scan is one
_CHUNK = 1 << 20


def size_of(path: Path) -> int:
    """Bytes. Raises ScanRefused for a file too small or too large to be a scan, OSError where there is none."""
    size = path.stat().st_size
    if size == 0:
        raise ScanRefused(f"{path.name} is empty")
    if size > MOST_BYTES:
        raise ScanRefused(f"{path.name} has {size / 1e6:,.0f} MB; at most {MOST_BYTES / 1e6:,.0f} MB are read. "
                          "Reduce it to two million triangles; no dimension gets worse by that")  # fmt: skip
    return size


def too_many(path: Path, triangles: int) -> ScanRefused:
    """The refusal of a mesh of more triangles than we take on."""
    return ScanRefused(f"{path.name} makes some {triangles:,} triangles; at most {MOST_TRIANGLES:,} are read. "
                       "Reduce it to two million in your scanner's program")  # fmt: skip


def stl_is_binary(path: Path, size: int) -> bool:
    """Whether an STL is binary. Raises ScanRefused for one that is cut off, and for what is no STL."""
    with path.open("rb") as file:
        head = file.read(2048)
    claimed = struct.unpack_from("<I", head, 80)[0] if len(head) >= 84 else None
    if claimed is not None and 84 + 50 * claimed == size:
        return True
    if head.lstrip()[:5].lower() == b"solid" and re.search(rb"facet|endsolid", head):
        with path.open("rb") as file:
            file.seek(max(0, size - 2048))
            if b"endsolid" not in file.read().lower():
                raise ScanRefused(f"{path.name} is cut off: a text STL ends with endsolid, this one does not")
        return False
    printable = sum(32 <= byte < 127 or byte in (9, 10, 13) for byte in head)
    if claimed is None or printable > 0.97 * len(head):
        raise ScanRefused(f"{path.name} is no STL: it begins neither as a binary nor as a text one")
    if claimed > 0 and size > 84 + 50 * claimed:
        return True  # some programs put something of their own behind the triangles
    holds = (size - 84) // 50
    raise ScanRefused(f"{path.name} says it has {claimed:,} triangles and holds {holds:,}: it is cut off, or no STL; "
                      "copy or export it again")  # fmt: skip


def check_ply(path: Path, size: int) -> None:
    """Raises ScanRefused where a PLY's header promises more than the file can hold."""
    with path.open("rb") as file:
        head = file.read(65536)
    end = head.find(b"end_header")
    if not head.startswith(b"ply") or end < 0:
        raise ScanRefused(f"{path.name} is no PLY: it does not begin with a header of one")
    text = head[:end].decode("ascii", errors="replace")
    least = 0
    for name, count in re.findall(r"^element\s+(\S+)\s+(\d+)", text, re.MULTILINE):
        least += int(count) * (6 if "ascii" in text else 12 if name == "vertex" else 1)
        if name == "face" and int(count) > MOST_TRIANGLES:
            raise too_many(path, int(count))
    if least > size:
        raise ScanRefused(f"{path.name} promises more points and triangles than {size:,} bytes hold: it is cut off; "
                          "copy or export it again")  # fmt: skip


def check_glb(path: Path, size: int) -> None:
    """Raises ScanRefused where a GLB's tables promise more than the file can hold (glTF 2.0, sections 3.6 and 4.4)."""
    with path.open("rb") as file:
        head = file.read(20)
        if len(head) < 20 or head[:4] != b"glTF":
            raise ScanRefused(f"{path.name} is no GLB: it does not begin with a header of one")
        length, chunk = struct.unpack_from("<I", head, 8)[0], struct.unpack_from("<I", head, 12)[0]
        if length > size or chunk > size - 20:
            raise ScanRefused(f"{path.name} says it has {length:,} bytes and holds {size:,}: it is cut off")
        if chunk > 20_000_000:
            raise ScanRefused(f"{path.name}: its table of contents alone has {chunk:,} bytes; that is no scan")
        try:
            tables: Any = json.loads(file.read(chunk))
            counts = [int(accessor.get("count", 0)) for accessor in tables.get("accessors", [])]
        except (ValueError, AttributeError, TypeError, RecursionError) as fault:
            raise ScanRefused(f"{path.name}: its table of contents cannot be read") from fault
    if sum(counts) > 5 * MOST_TRIANGLES:  # three corners a triangle, and its points with a normal each
        raise too_many(path, sum(counts) // 5)
    if sum(counts) > size:  # one byte is the least that an element takes
        raise ScanRefused(f"{path.name} promises {sum(counts):,} numbers in {size:,} bytes; export it again")


def check_3mf(path: Path) -> None:
    """Raises ScanRefused for a 3MF that unfolds to more than a scan can be. Counts what comes out, not what it says."""
    try:
        with zipfile.ZipFile(path) as archive:
            if len(archive.infolist()) > 1000:
                raise ScanRefused(f"{path.name} holds {len(archive.infolist()):,} files; a 3MF has a handful")
            unzipped = parts = 0
            model = False
            for item in archive.infolist():
                inside = item.filename.lower().endswith(".model")
                model |= inside
                tail = b""
                with archive.open(item) as stream:
                    while piece := stream.read(_CHUNK):
                        unzipped += len(piece)
                        if unzipped > MOST_UNZIPPED:
                            raise ScanRefused(f"{path.name} unfolds to over {MOST_UNZIPPED / 1e6:,.0f} MB from "
                                              f"{path.stat().st_size / 1e6:,.1f} MB; save as STL or PLY")  # fmt: skip
                        if inside:
                            parts += len(re.findall(rb"<(?:\w+:)?(?:component|item)\s", tail + piece))
                            tail = piece[-1:] if piece[-1:] == b"<" else b""
            if not model:
                raise ScanRefused(f"{path.name} is no 3MF: there is no model in it")
            if parts > MOST_PARTS:
                raise ScanRefused(f"{path.name} puts {parts} parts together; export the shell alone, as one mesh")
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError) as fault:
        raise ScanRefused(f"{path.name} is no 3MF, or cut off: {fault}") from None
    except zipfile.LargeZipFile as fault:
        raise ScanRefused(f"{path.name}: {fault}") from None


def check_step(path: Path) -> None:
    """Raises ScanRefused for what is no STEP (ISO 10303-21, clause 5.2: it begins with its own name)."""
    with path.open("rb") as file:
        if not file.read(64).lstrip().startswith(b"ISO-10303-21"):
            raise ScanRefused(f"{path.name} is no STEP: it does not begin as one")
