"""From a build to its shell, read, found and seated; each step made once for the same file and the same numbers."""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from coachwork.build import NotMeasured
from coachwork.build.sections.about import About
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.seating import Seating
from coachwork.build.sections.wheels import Wheels
from coachwork.errors import CoachworkError, ScanRefused
from coachwork.geometry.rigid import Motion
from coachwork.scans.ceiling import Ceiling, ceiling_over
from coachwork.scans.found import FoundShell, Progress, find_shell
from coachwork.scans.hints import MARKS, Hints
from coachwork.scans.mesh import Mesh, tidy
from coachwork.scans.reading import FileMesh, read_mesh
from coachwork.scans.seated import SeatedArch, SeatedShell, Wheel
from coachwork.scans.seating import Held, Seat, residuals, seat
from coachwork.scans.units import Unit, longest_side, unit_of

RANDOM = 20  # where the finder's random numbers begin: the same file gives the same answer


@dataclass(eq=False)
class Last:
    """The last few answers by what they were made from; a shell takes some tens of megabytes.

    most : how many
    """

    most: int = 2
    kept: OrderedDict[Hashable, Any] = field(default_factory=OrderedDict)

    def once(self, key: Hashable, make: Callable[[], Any]) -> Any:
        if key in self.kept:
            self.kept.move_to_end(key)
        else:
            self.kept[key] = make()
            while len(self.kept) > self.most:
                self.kept.popitem(last=False)
        return self.kept[key]


_DIGESTS, _FOUND, _SEATED, _CEILINGS = Last(most=8), Last(), Last(), Last()


def mesh_path(folder: Path, shell: Shell) -> Path:
    """The file that `shell.mesh` names, from the build's folder on. Raises NotMeasured where it names none, ScanRefused
    where there is no such file.
    """
    if not shell.mesh.strip():
        raise NotMeasured(["shell.mesh"])
    return named_file(folder, shell.mesh, key="shell.mesh")


def named_file(folder: Path, name: str, *, key: str) -> Path:
    """The file that a key names, from the build's folder on. Raises ScanRefused where there is no such file."""
    named = name.strip()
    path = folder / Path(named).expanduser()
    try:
        there = path.is_file()
    except (OSError, ValueError):  # such as a name with a null byte
        there = False
    if not there:
        raise ScanRefused(f"{key}: there is no file {named}, seen from the build's folder")
    return path.resolve()


def digest(path: Path) -> str:
    """Of the file's content; worked out again only when its time or size changed."""
    state = path.stat()

    def work() -> str:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "blake2b").hexdigest()

    return str(_DIGESTS.once((path, state.st_mtime_ns, state.st_size), work))


def hints_of(shell: Shell, prototype: Prototype, about: About) -> Hints:
    """What the build says about the shell's size: its own numbers, else the prototype's at scale."""
    scale = about.scale.best

    def size(name: str) -> float | None:
        own, full = getattr(shell, name).best, getattr(prototype, name).best
        if own is not None:
            return float(own.value)
        return None if full is None or scale is None else float(full.value * scale.value)

    marks = {}
    for name in MARKS:
        point = getattr(shell.landmarks, name.replace("-", "_"))
        if point.known:
            marks[name] = point.mm[0]  # in the file's own numbers, whatever its unit
    rear = size("rear_overhang")
    length, front, base = size("length"), size("front_overhang"), size("wheelbase")
    if rear is None and None not in (length, front, base):
        assert length is not None
        assert front is not None
        assert base is not None
        rear = length - front - base
    return Hints(length_mm=length, front_overhang_mm=front, rear_overhang_mm=rear, marks=marks)


@dataclass(frozen=True, eq=False, kw_only=True)
class Opened:
    """A mesh file read and put into millimetres."""

    mesh: Mesh
    unit: Unit
    triangles: int  # in the file


def opened(path: Path, hints: Hints, *, unit: str | None) -> Opened:
    """Raises ScanRefused, Unsure (the unit), OSError."""
    raw = read_mesh(path)
    try:
        mesh = tidy(raw.vertices, raw.faces)
    except ScanRefused as fault:
        raise ScanRefused(f"{path.name}: {fault}") from None
    taken = _unit(raw, mesh, hints, unit)
    return Opened(mesh=mesh.placed(mesh.vertices * taken.mm), unit=taken, triangles=len(raw.faces))


def _unit(raw: FileMesh, mesh: Mesh, hints: Hints, asked: str | None) -> Unit:
    return unit_of(longest_side(mesh), asked=asked, declared=raw.declared, expected_mm=hints.length_mm, told=hints.told)


def measured(opened_mesh: Opened, hints: Hints, *, progress: Progress = lambda *_: None) -> FoundShell:
    """The shell in the mesh. Raises Unsure."""
    return find_shell(
        opened_mesh.mesh, mm_per_file_unit=opened_mesh.unit.mm, hints=hints, random=np.random.default_rng(RANDOM),
        progress=progress,
    )  # fmt: skip


@dataclass(frozen=True, eq=False, kw_only=True)
class Scanned:
    """What was found in a mesh file, and how the file was read."""

    found: FoundShell
    unit: Unit
    triangles: int  # in the file


@dataclass(frozen=True, eq=False, kw_only=True)
class Looked:
    """A mesh file, and all that decides what is found in it.

    unit : what its numbers are in, where that is told
    """

    path: Path
    hints: Hints
    unit: str | None

    @property
    def key(self) -> Hashable:
        """Another key, another shell. Raises OSError."""
        marks = tuple((name, *map(float, point)) for name, point in self.hints.marks.items())
        sizes = (self.hints.length_mm, self.hints.front_overhang_mm, self.hints.rear_overhang_mm)
        return digest(self.path), self.unit, sizes, marks

    def scanned(self, progress: Progress = lambda *_: None) -> Scanned:
        """Read and found; kept, so that the next to look at the same file in the same way need not wait.

        Raises ScanRefused, Unsure (both again, without reading again, where they were raised before) or OSError.
        """

        def find() -> Scanned | CoachworkError:
            try:
                mesh = opened(self.path, self.hints, unit=self.unit)
                found = measured(mesh, self.hints, progress=progress)
            except CoachworkError as fault:
                return fault.with_traceback(None)
            return Scanned(found=found, unit=mesh.unit, triangles=mesh.triangles)

        scanned = _FOUND.once(self.key, find)
        if isinstance(scanned, CoachworkError):
            raise scanned
        assert isinstance(scanned, Scanned)
        return scanned


def _named(folder: Path, shell: Shell, prototype: Prototype, about: About) -> Looked:
    # What tells size and nose apart is taken as it stands: a spread of half a millimetre does not turn a shell round.
    hints = hints_of(shell.seen_by(None), prototype.seen_by(None), about.seen_by(None))
    return Looked(path=mesh_path(folder, shell), hints=hints, unit=shell.mesh_units)


def stamp(folder: Path, shell: Shell, prototype: Prototype, about: About) -> Hashable:
    """Changes when the mesh file's content does, or what the finder is told beforehand."""
    try:
        return _named(folder, shell, prototype, about).key
    except NotMeasured:
        return None
    except (ScanRefused, OSError) as fault:
        return str(fault)


def seated_shell(
    folder: Path, *, shell: Shell, prototype: Prototype, about: About, seating: Seating, changes: Changes,
    gear: RunningGear, wheels: Wheels,
) -> SeatedShell:  # fmt: skip
    """The build's shell in the chassis frame; seating, changes, gear and wheels are read through their view.

    Raises NotMeasured for a number (or the mesh) that is not given, ScanRefused, Unsure or OSError otherwise.
    """
    mesh = _named(folder, shell, prototype, about)
    found = mesh.scanned().found
    held = Held(seating=seating, changes=changes, gear=gear, wheels=wheels)
    plain = Held(seating=seating.seen_by(None), changes=changes.seen_by(None), gear=gear.seen_by(None),
                 wheels=wheels.seen_by(None))  # fmt: skip
    where, drawn = seat(found, held), seat(found, plain)
    return _seated(found, where, drawn, residuals_now=residuals(found, held, where), key=mesh.key)


def ceiling_of(shell: SeatedShell) -> Ceiling:
    """What hangs over each point of the deck, in the chassis frame, the shell seated by the plain numbers."""
    kept = _CEILINGS.once(id(shell.vertices_mm), lambda: (shell.vertices_mm, _ceiling(shell)))
    if kept[0] is not shell.vertices_mm:  # another array has come to lie where an old one was
        kept = _CEILINGS.kept[id(shell.vertices_mm)] = (shell.vertices_mm, _ceiling(shell))
    ceiling: Ceiling = kept[1]
    return ceiling


def _ceiling(shell: SeatedShell) -> Ceiling:
    return ceiling_over(Mesh(shell.vertices_mm, shell.faces))


def _seated(found: FoundShell, where: Seat, drawn: Seat, *, residuals_now: Any, key: Hashable) -> SeatedShell:
    whole = drawn.chassis_from_shell
    fixed = Motion(whole.rotation[0], whole.shift[0])
    numbers = (drawn.by, float(drawn.x_mm[0]), float(drawn.z_mm[0]), float(drawn.pitch_rad[0]))
    vertices = _SEATED.once((key, numbers), lambda: fixed.at(found.mesh.vertices))
    arches: dict[Wheel, SeatedArch] = {}
    for wheel, arch in found.arches.items():
        outer = arch.outer if np.isfinite(arch.outer) else (found.left.value + found.right.value) / 2
        centre = fixed.at(np.array([arch.x, outer if arch.side == "left" else -outer, arch.z]))
        arches[wheel] = SeatedArch(centre_mm=centre, radius_mm=arch.radius, lip_mm=arch.lip,
                                   centre_half_mm=max(arch.half_x, arch.half_z, arch.half_radius))  # fmt: skip
    pair = found.pair("front")
    return SeatedShell(
        vertices_mm=vertices, faces=found.mesh.faces, mm_per_file_unit=found.mm_per_file_unit,
        chassis_from_file=fixed @ found.shell_from_file, moved=where.chassis_from_shell @ fixed.inverse,
        seated_by=drawn.by, arches=arches, residuals=residuals_now,
        surface_half_mm=3 * found.noise_mm,
        x_half_mm=max((arch.half_x for arch in pair), default=found.nose.half) if pair else found.nose.half,
        y_half_mm=3 * found.noise_mm / 10, z_half_mm=found.sill.half_height, pitch_half_rad=found.sill.half_slope,
    )  # fmt: skip
