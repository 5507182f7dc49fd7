"""`coachwork measure`: what a scan of the shell shows, and its dimensions for the build file."""

from __future__ import annotations

import argparse
import math
import os
from dataclasses import replace
from pathlib import Path

import numpy as np

from coachwork.build import FILE_NAME, Build, read
from coachwork.build.sections.about import About
from coachwork.build.sections.measuring import Measuring
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.cli.accept import accepted, lines_for
from coachwork.cli.measured_page import show_scan
from coachwork.cli.progress import Progress
from coachwork.cli.scanned import Scan, Wanted
from coachwork.cli.screen import Screen
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.quantity import DEFAULT, LENGTH, Source, Spreads
from coachwork.scans.hints import MARKS, Hints

UNITS = ("mm", "cm", "m", "in", "ft")


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Print what was found, write what was accepted. 1 where something about the shell is unsure, else 0."""
    wanted = _wanted(options)
    if options.accept is not None and wanted.build is None:
        raise CoachworkError(f"there is no {FILE_NAME} to write to; name the build's folder with --build DIR")
    scan = _found(wanted)
    lines = lines_for(scan, wanted, unit=options.show_in)
    show_scan(screen, scan, wanted, unit=options.show_in)
    if options.plot is not None:
        _draw(screen, scan, options.plot)
    accepted(screen, lines, wanted, options, plan)
    return 1 if scan.found.unsure else 0


def _wanted(options: argparse.Namespace) -> Wanted:
    place: Path = options.mesh
    named = place.is_dir() or place.name == FILE_NAME
    folder = options.build
    if folder is None:
        nearby = [place] if named else [place.parent, Path()]
        folder = next((near for near in nearby if named or (near / FILE_NAME).is_file()), None)
    build = None if folder is None else read(folder)
    path = _mesh_of(build) if named and build is not None else place
    if not path.is_file():
        raise CoachworkError(f"{path}: there is no such file")
    marks = dict(_landmark(text) for text in options.landmark or ())
    hints, unit = _known(build, path)
    return Wanted(path=path, build=build, hints=replace(hints, marks={**hints.marks, **marks}),
                  unit=options.units or unit, marks=marks)  # fmt: skip


def _mesh_of(build: Build) -> Path:
    from coachwork.scans.loading import mesh_path

    if not build[Shell].mesh.strip():
        raise CoachworkError(f"{build.path} names no mesh yet; name the file: coachwork measure FILE")
    return mesh_path(build.path.parent, build[Shell])


def _known(build: Build | None, path: Path) -> tuple[Hints, str | None]:
    """What the build says of the shell's size, and, if this is the mesh it names, of the mesh."""
    from coachwork.scans.loading import hints_of

    if build is None:
        return Hints(), None
    hints = hints_of(build[Shell], build[Prototype], build[About])
    mesh = build[Shell].mesh.strip()
    if not mesh or os.path.abspath(build.path.parent / mesh) == os.path.abspath(path):
        return hints, build[Shell].mesh_units
    return replace(hints, marks={}), None


def _landmark(text: str) -> tuple[str, np.ndarray]:
    """A landmark as typed, such as nose=12.5,0,-3."""
    name, _, point = text.partition("=")
    try:
        numbers = [float(number) for number in point.replace(";", ",").split(",")]
    except ValueError:
        numbers = []
    if name.strip() not in MARKS:
        raise CoachworkError(f"--landmark {text}: a landmark is one of {', '.join(MARKS)}")
    if len(numbers) != 3 or not all(math.isfinite(number) for number in numbers):
        raise CoachworkError(f"--landmark {text}: write a point of the mesh, such as {name.strip()}=12.5,0,-3")
    return name.strip(), np.array(numbers)


def _found(wanted: Wanted) -> Scan:
    from coachwork.scans.ceiling import ceiling_over
    from coachwork.scans.found import STAGES
    from coachwork.scans.loading import RANDOM, Looked
    from coachwork.scans.walls import wall_thickness

    of = len(STAGES) + 2
    with Progress(doing="looking at") as progress:
        progress(wanted.path.name, 0, of)
        looked = Looked(path=wanted.path, hints=wanted.hints, unit=wanted.unit)
        scanned = looked.scanned(lambda stage, done, _: progress(stage, done + 1, of))
        found = scanned.found
        progress("wall and ceiling", of - 1, of)
        wall = wall_thickness(found, np.random.default_rng(RANDOM))
        ceiling = ceiling_over(found.mesh)
    return Scan(
        unit=scanned.unit,
        triangles=scanned.triangles,
        found=found,
        wall=wall,
        ceiling=ceiling,
        scanner_mm=_scanner_mm(wanted.build),
    )


def _scanner_mm(build: Build | None) -> float:
    """How far the scanner may be off: of the build's own [measuring], else as usual."""
    spreads: Spreads = DEFAULT if build is None else build[Measuring].habits().spreads
    rule = spreads.of(Source.SCAN, LENGTH)
    assert rule is not None
    return rule.absolute


def _draw(screen: Screen, scan: Scan, target: Path) -> None:
    from coachwork.papers.shell_drawing import draw

    draw(scan.found, scan.ceiling, target)
    screen.gap()
    screen.say(f"Drawn in {target}.")
