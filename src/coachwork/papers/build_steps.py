"""What has to be fitted before what, read off what is in the build; nothing here is a fixed list.

A step names what it comes after by the other steps' keys; those that the build has not are passed over. Fasteners,
thread-lock and torques are common practice without a source, and marked so where they are printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.corner import End
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.outline import Shell
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.names import name_in
from coachwork.build.sections.regulators import Regulators
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.build.sections.wheels import Wheel, Wheels
from coachwork.build.sections.wiring import Wiring
from coachwork.confidence.words import listed
from coachwork.papers.made_steps import SHELL, deck_in_chassis, made, made_steps
from coachwork.papers.rods import ENDS, Rod, rods_of
from coachwork.papers.step import METAL, PLASTIC, Step
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.papers.wire_facts import wires_of
from coachwork.studies.likeness.result import LikenessResult

RODS = "equal turns into both rod ends, one and a half diameters deep at least; no thread-lock"


def steps_of(of: Subject) -> tuple[Step, ...]:
    """All steps of this build, in no order but that of the bench's habit."""
    steps = [
        *made_steps(of),
        *_shell(of),
        *_chassis(of),
        *_ends(of),
        *_drive(of),
        *_boxes(of),
        *_leads(of),
        *_radio(of),
    ]
    return (*steps, *_last(of, steps))


def in_order(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Each after all that it comes after; among free ones in the order given.

    What comes round in a circle, as two boxes that each stand on the other, is cut open where it closes.
    """
    import networkx as nx

    each = {step.key: step for step in steps}
    graph = nx.DiGraph()
    graph.add_nodes_from(each)
    for step in each.values():
        for before in step.after:
            if before in each and before != step.key and not nx.has_path(graph, step.key, before):
                graph.add_edge(before, step.key)
    place = {key: number for number, key in enumerate(each)}
    return tuple(each[key] for key in nx.lexicographical_topological_sort(graph, key=place.__getitem__))


def _shell(of: Subject) -> Iterator[Step]:
    likeness: LikenessResult = of.result("likeness")
    jobs = [job for job in likeness.worklist if job.work != "leave"]
    for number, job in enumerate(jobs):
        yield Step(
            key=f"shell-{number}", what=f"On the shell: {of.units.sentence(job.text)}", after=(f"shell-{number - 1}",)
        )
    shaped = tuple(f"shell-{number}" for number in range(len(jobs)))
    for end in ENDS:
        verdicts = [one for one in of.report.verdicts if one.id == f"clearance.{end}.tyre-shell"]
        if any(one.state == "fails" for one in verdicts):
            yield Step(key=f"trim-{end}", what=f"Trim the shell for the {end} tyres, by their template", after=shaped)
    if any(entry.given for entry in of.build[Shell].entries()):
        yield Step(
            key="paint",
            what="Clean, prime and paint the shell; let it dry through",
            after=(*shaped, "trim-front", "trim-rear"),
        )
    for name in of.build[Wiring].light_strings:
        yield Step(
            key=f"lights-{name}",
            what=f"Set the LEDs of {called(name)} into the shell, with their resistors",
            after=("paint", *made(of, "housing-")),
            fastener="a dab of clear adhesive, leads free to move",
        )


def _chassis(of: Subject) -> Iterator[Step]:
    changes = of.build[Changes]
    own_floor = deck_in_chassis(of)  # the rest is cut from sheet
    if not made(of, "chassis") and changes.stretch.given and float(changes.stretch.mm[0]) != 0:
        by = float(changes.stretch.mm[0])
        yield Step(
            key="stretch",
            fastener=f"M3: {METAL}; {PLASTIC}",
            what=f"Join both ends {of.units.length(abs(by))} {'further apart' if by > 0 else 'closer'}; check "
            "that the axles are parallel, corner to corner",
        )
    for name in of.build[Decks].each:
        if name == own_floor:
            continue
        yield Step(
            key=f"deck-{name}",
            what=f"Cut and drill the deck {called(name)} by its template, and fit it",
            after=("stretch",),
            fastener=f"M3, washers on plastic: {PLASTIC}",
        )
    decks = tuple(f"deck-{name}" for name in of.build[Decks].each)
    for rod in rods_of(of):
        if rod.key.startswith(("keep-outs.", "envelopes.")):
            yield Step(
                key=rod.key,
                what=f"Set up the {rod.name}, {_long(of, rod)}, by the chassis template",
                after=("stretch", *decks),
                fastener=f"M3 from below with a washer; {PLASTIC}",
            )


def _long(of: Subject, rod: Rod) -> str:
    return "length not known" if rod.told_mm is None else of.units.length(rod.told_mm)


def _ends(of: Subject) -> Iterator[Step]:
    rods = {rod.key: rod for rod in rods_of(of)}
    for end in ENDS:
        change: ChangedEnd = getattr(of.build[Changes], end)
        bought: End = getattr(of.build[RunningGear], end)
        arms = (f"arms-{end}", f"upper-arms-{end}")
        for key, entry, told in ((arms[0], change.arm_longer, "lower"), (arms[1], change.upper_arm_longer, "upper")):
            if entry.given:
                by = float(entry.mm[0])
                size = f"{of.units.length(abs(by))} {'longer' if by > 0 else 'shorter'} than bought"
                numbers = made(of, f"{end}-arm-") if told == "lower" else {}
                ours = f" ({listed(list(numbers.values()))})" if numbers else ""
                yield Step(
                    key=key,
                    what=f"Fit the {end} {told} arms{ours}, {size}; they fall by their own weight",
                    after=("made", "stretch"),
                    fastener="hinge pins free in the arm, held by their clips or grub screws",
                )
        if (rod := rods.get(f"changes.{end}.shaft-length")) is not None:
            yield Step(
                key=f"shafts-{end}",
                what=f"Fit the {end} drive shafts, {_long(of, rod)} pin to pin",
                after=arms,
                fastener="cup screws on the flat, medium thread-lock",
            )
        if change.hub_spacer.given:
            by = float(change.hub_spacer.mm[0])
            yield Step(
                key=f"hubs-{end}",
                after=(f"shafts-{end}",),
                what=f"Fit the {end} hubs: wheels sit "
                f"{of.units.length(abs(by))} further {'out' if by > 0 else 'in'} than bought",
            )
        if any(one.given for one in (*change.spring.entries(), *change.damper.entries())):
            yield Step(
                key=f"dampers-{end}",
                what=f"Build the {end} dampers: oil without bubbles, springs, collars as on the set-up sheet",
                after=arms,
                fastener="damper screws snug, so that the eyes turn",
            )
        links = [rod for rod in rods.values() if rod.what == "link" and rod.key.startswith(f"changes.{end}.")]
        for rod in links:
            steering = ("servo",) if "tie-rod" in rod.key else ()
            yield Step(
                key=rod.key,
                what=f"Make and fit the {rod.name}s, {_long(of, rod)} ball to ball",
                after=(*arms, f"shafts-{end}", *steering),
                fastener=f"{RODS}; ball studs {METAL}",
            )
        wheel: Wheel = getattr(of.build[Wheels], end)
        if wheel.given:
            yield Step(
                key=f"wheels-{end}",
                fastener="nylon-insert nuts, snug; new ones when they spin by hand",
                what=f"Glue the {end} tyres to their rims, let it set, fit the wheels",
                after=(*arms, f"shafts-{end}", f"hubs-{end}", f"dampers-{end}", *(rod.key for rod in links)),
            )
        if bought.steering.servo_axis.known or bought.steering.servo_torque.given:
            yield Step(
                key="servo",
                after=("box-steering-servo", "bench-radio"),
                what="Centre the steering servo by the radio, then press its arm on, straight",
                fastener="arm screw, a drop of thread-lock if the splines are metal",
            )


def _drive(of: Subject) -> Iterator[Step]:
    changes = of.build[Changes]
    for rod in rods_of(of):
        if rod.key == "changes.centre-shaft-length":
            yield Step(
                key="centre-shaft",
                what=f"Fit the centre shaft, {_long(of, rod)} pin to pin",
                after=("stretch",),
                fastener="cup screws on the flats, medium thread-lock",
            )
    if changes.belt_teeth.given:
        yield Step(
            key="centre-shaft",
            after=("stretch",),
            what=f"Fit the belt of {float(changes.belt_teeth.count[0]):.0f} teeth and set its tensioner",
        )
    if changes.pinion_teeth.given or changes.spur_teeth.given:
        named = [
            f"the {what} of {float(one.count[0]):.0f}"
            for what, one in (("pinion", changes.pinion_teeth), ("spur", changes.spur_teeth))
            if one.given
        ]
        yield Step(
            key="gears",
            after=("box-motor", "centre-shaft"),
            what=f"Fit {' and '.join(named)}; set the mesh: a strip of thin paper between the teeth",
            fastener="grub screw on the shaft's flat, motor screws M3: medium thread-lock, metal only",
        )


def _boxes(of: Subject) -> Iterator[Step]:
    decks = tuple(f"deck-{name}" for name in of.build[Decks].each)
    posts = tuple(rod.key for rod in rods_of(of) if rod.key.startswith(("keep-outs.", "envelopes.")))
    places = of.build[BoxPlaces].each
    for name, box in of.build_boxes().items():
        if box.comes_out is not None:
            continue  # the pack goes in last of all
        under = places[name].on.strip() if name in places else ""
        held = (
            f"tray, M3 into the deck; {PLASTIC}"
            if box.held_by == "tray"
            else "double-sided tape on degreased faces, pressed for a minute"
        )
        fixed = of.box_is_fixed(name)
        yield Step(
            key=f"box-{name}",
            after=("stretch", *decks, *posts, f"box-{under}"),
            what=f"Fit the {called(name)}" + (f" onto the {called(under)}" if under in of.build_boxes() else ""),
            fastener="as its maker has it" if fixed else held,
        )


def _leads(of: Subject) -> Iterator[Step]:
    for name, one in of.build[Regulators].each.items():
        if one.used and name not in of.build_boxes() and name_in(one.fed_by) != "controller":
            yield Step(
                key=f"box-{name}",
                what=f"Fit the regulator {called(name)} where air reaches it",
                fastener="tape on degreased faces; its heat sink free",
            )
    packs = [name for name, box in of.build_boxes().items() if box.comes_out is not None]
    for number, wire in enumerate(wires_of(of), start=1):
        ends = [end for end in (wire.begins, wire.ends) if end and end not in packs]  # no pack is in while you solder
        joint = "solder and sleeve both ends" if not wire.plug else f"solder on its {wire.plug}, sleeve every joint"
        yield Step(
            key=f"lead-{wire.name}",
            what=f"Lay W{number}, the {called(wire.name)}: {joint}",
            after=(
                *(f"box-{end}" for end in ends),
                "box-speed-controller" if "controller" in ends else "",
                *(f"lights-{end}" for end in ends),
            ),
            fastener="tied every 50 mm, clear of gears and shafts, slack at what moves",
        )


def _radio(of: Subject) -> Iterator[Step]:
    if of.build[Radio].devices:
        yield Step(
            key="bench-radio",
            after=("box-receiver",),
            what="Bind the radio on the bench and set its channels by the channel card; no motor connected yet",
        )


def _last(of: Subject, steps: list[Step]) -> Iterator[Step]:
    """What waits for all the rest."""
    if not steps:
        return
    leads = tuple(step.key for step in steps if step.key.startswith("lead-"))
    of_shell = ("shell-", "trim-", "paint", "lights-", *SHELL)
    inside = tuple(step.key for step in steps if not step.key.startswith(of_shell))
    shell = tuple(step.key for step in steps if step.key.startswith(of_shell))
    if leads:
        yield Step(
            key="check-wiring",
            after=leads,
            what="Check every lead with a multimeter for shorts and for plus and "
            "minus the right way round, no pack connected",
        )
    packs = [name for name, box in of.build_boxes().items() if box.comes_out is not None]
    for name in packs:
        yield Step(
            key=f"box-{name}",
            after=(*inside, "check-wiring"),
            what=f"Put the {called(name)} in and shut its door",
            fastener="latch or knob without tools; it must not fall out when shaken",
        )
    ready = (*inside, "check-wiring", *(f"box-{name}" for name in packs))
    if of.build[Radio].devices:
        yield Step(
            key="failsafe",
            after=ready,
            what="Wheels off the ground: switch on, try every control, then switch the "
            "transmitter off and see that it stops",
        )
    yield Step(
        key="set-up",
        after=(*ready, "failsafe"),
        what="Set heights, camber, toe and locks by the set-up sheet; write down what they came to",
    )
    if shell:
        yield Step(
            key="shell-on",
            after=(*shell, "set-up"),
            what="Plug the lights in, set the shell on its posts, turn "
            "the wheels through lock and travel: nothing may touch",
            fastener=f"body screws M3; {PLASTIC}",
        )
    yield Step(
        key="first-run",
        after=("shell-on", "set-up", "failsafe"),
        what="First run: slowly, where nobody stands, "
        "five minutes; then feel pack, controller, motor and write the run log",
    )
