"""Steps for the parts that are made from the build: looked over first, then fitted where they belong."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.build.sections.parts.table import Parts
from coachwork.confidence.words import listed
from coachwork.papers.step import PLASTIC, Step
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.studies.parts import is_missing
from coachwork.studies.wording import count

SHELL = ("brackets", "housing-")  # how the keys of those begin that are fitted into the shell


def made(of: Subject, *beginnings: str) -> dict[str, str]:
    """Numbers by name of the parts asked for whose names begin so; all of them where nothing is said."""
    answer = of.report.answers.get("makeability")
    wanted = {} if answer is None else answer.result.wanted
    return {name: each.number for name, each in wanted.items() if not beginnings or name.startswith(beginnings)}


def deck_in_chassis(of: Subject) -> str | None:
    """The deck that is the made chassis's own floor."""
    return of.build[Parts].chassis.deck if made(of, "chassis") else None


def made_steps(of: Subject) -> Iterator[Step]:
    """Those that no bought part asks for."""
    parts = made(of)
    if not parts:
        return
    yield Step(
        key="made",
        what=f"Look over the {count(len(parts), 'part')} made for this build: brush powder and supports off, measure "
        "each against its drawing, free its holes by hand with the drill that its hole table names",
    )
    if jigs := made(of, "jig-"):
        yield Step(
            key="jigs",
            what=f"Clamp on the drilling jigs ({_numbers(jigs)}), drill, take burrs off",
            after=("made",),
        )
    if early := _early(of):
        yield Step(
            key="drivers",
            what=f"Mind the order, for no driver reaches these screws later: {early}",
            after=("made",),
        )
    if chassis := made(of, "chassis"):
        yield Step(
            key="stretch",
            what=f"Bolt both ends to the chassis {_numbers(chassis)}; check that the axles are parallel, corner to "
            "corner",
            after=("made", "jigs"),
            fastener=f"M3: {PLASTIC}",
        )
    if door := made(of, "battery-door"):
        yield Step(
            key="door",
            what=f"Try the battery door {_numbers(door)}: it shuts and opens by hand, and does not rattle",
            after=("made", "stretch"),
        )
    if brackets := made(of, "bracket-", "post-"):
        yield Step(
            key="brackets",
            what=f"Fit posts and brackets ({_numbers(brackets)}) into the shell from inside; set their height last",
            after=("made", "paint"),
            fastener=f"M3: {PLASTIC}",
        )
    for name, number in made(of, "housing-").items():
        yield Step(
            key=name,
            what=f"Set the housing of {called(name.removeprefix('housing-'))} ({number}) behind its lens",
            after=("made", "paint"),
            fastener="a dab of clear adhesive; try it dry first",
        )


def _early(of: Subject) -> str:
    """Screws that go in before something else does, by what waits for them."""
    answer = of.report.answers.get("makeability")
    order = None if answer is None else answer.result.order
    if order is None or is_missing(order):
        return ""
    waits: dict[str, list[str]] = {}
    for screw, before in order.early.items():
        part, _, hole = screw.partition("/")
        for name in before:
            waits.setdefault(name, []).append(hole.replace("-", " ").replace(".", " ") + (
                "" if name == part else f" of the {called(part)}"))  # fmt: skip
    return "; ".join(f"before the {called(name)} is fitted, {listed(holes, most=99)}" for name, holes in waits.items())


def _numbers(parts: dict[str, str]) -> str:
    return listed(list(parts.values()), most=99)
