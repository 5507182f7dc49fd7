"""From the radio's table to what its switches do; each wish on its own, so a blank number costs only what needs it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from coachwork.build import NotMeasured
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.wishes import DeviceIs, Wish, atoms, parts_of
from coachwork.studies.parts import Blocked, CannotBe, Part, attempt
from coachwork.studies.radio.cure import Cures, cures
from coachwork.studies.radio.from_table import Read, read_setup
from coachwork.studies.radio.judge import judged, likeness_of
from coachwork.studies.radio.levels import is_exact
from coachwork.studies.radio.loads import Loads, loads
from coachwork.studies.radio.noise import Room, room_of
from coachwork.studies.radio.result import Chatter, Clear, RadioResult, WishAnswer
from coachwork.studies.radio.setup import Device, Setup
from coachwork.studies.radio.surprises import ModesUsed, alike, modes_used
from coachwork.studies.radio.traces import DARK, Step, steps_of
from coachwork.studies.watch import UNWATCHED, Watch


def obey(radio: Radio, watch: Watch = UNWATCHED) -> RadioResult:
    """Explore what the wishes need, and look for what nobody wished for. All arrays (samples,).

    Everything about states is told of the first sample; of the others, only how many states break a wish, so that a
    switching pulse that may lie a little elsewhere shows in the chance.
    """
    if not radio.devices:
        return _nothing(radio)
    samples = radio.receiver.noise.us.size
    reads = [read_setup(radio, sample) for sample in range(samples)]
    setup = reads[0].setup
    wishes = radio.wished()
    answers = {name: attempt(_wish, reads, wish, watch) for name, wish in wishes.items()}
    cured = _cures(radio, setup, wishes, answers, plain=samples == 1, watch=watch)
    switching = [one for one in radio.devices if radio.devices[one].kind != "plain"]
    return RadioResult(
        setup=setup,
        wished={name: wish.words for name, wish in wishes.items()},
        wishes={name: _with_cure(name, answer, cured) for name, answer in answers.items()},
        modes={name: attempt(_modes, reads[0], name, watch) for name in radio.devices},
        clear={name: attempt(_clear, reads, name) for name in switching},
        chatter={
            name: attempt(_chatter, reads, name)
            for name in switching
            if radio.devices[name].kind != "proportional" and _is_swept(radio, name)
        },
        moved_by={name: tuple(_movers(radio, name)) for name in radio.channels},
        alike=attempt(lambda: tuple(alike(_whole(reads[0]), _meant(wishes), watch))),
        loads=attempt(_loads, radio, reads[0], watch),
        supply_limit_a=attempt(lambda: radio.receiver.supply_limit.a),
        joint=cured.together if cured else None,
    )


def _nothing(radio: Radio) -> RadioResult:
    """Of a radio without devices: nothing is asked, and nothing of it is read."""
    nothing = Blocked("nothing hangs on the receiver yet")
    return RadioResult(
        setup=Setup(controls=(), channels=(), devices=()),
        wished={},
        wishes={},
        modes={},
        clear={},
        chatter={},
        moved_by={name: tuple(_movers(radio, name)) for name in radio.channels},
        alike=nothing,
        loads=nothing,
        supply_limit_a=nothing,
        joint=None,
    )


def _wish(reads: list[Read], wish: Wish, watch: Watch) -> WishAnswer:
    devices = tuple(dict.fromkeys(atom.device for atom in atoms(wish.about) if isinstance(atom, DeviceIs)))
    _need(reads[0], *devices)
    plain = judged(reads[0].setup, wish, watch=watch)
    count = np.full(len(reads), plain.count)
    if plain.complete and not plain.in_parts:  # what had too many states once is not tried again for every sample
        counts = {likeness_of(reads[0].setup, wish): plain.count}
        for sample, read in enumerate(reads[1:], start=1):
            likeness = likeness_of(read.setup, wish)
            if likeness not in counts:
                counts[likeness] = judged(read.setup, wish, watch=watch).count
            count[sample] = counts[likeness]
    steps = steps_of(plain.product, plain.way)
    return WishAnswer(
        words=wish.words,
        form=wish.form,
        devices=devices,
        count=count.astype(float),
        proved=plain.proved,
        refuted=plain.refuted,
        states=plain.states,
        complete=plain.complete,
        depth=plain.depth,
        exact=is_exact(plain.product.setup),
        tick_s=plain.product.tick_s,
        coarse=plain.product.coarse,
        steps=steps,
        breaking=tuple(_breaking(reads[0].setup, wish, steps)),
        cure=None,
    )


def _breaking(setup: Setup, wish: Wish, steps: tuple[Step, ...]) -> Iterator[str]:
    for part in parts_of(wish):
        if steps and isinstance(part.about, DeviceIs):
            shown, device = steps[-1].modes.get(part.about.device), setup.device(part.about.device)
            allowed = {device.modes[mode] for mode in part.about.modes}
            if shown not in allowed and not (shown == DARK and device.quiet in part.about.modes):
                yield device.name


def _meant(wishes: Mapping[str, Wish]) -> set[frozenset[str]]:
    """Pairs of devices that some wish speaks of together: if they are one, that is meant."""
    named = [{atom.device for atom in atoms(wish.about) if isinstance(atom, DeviceIs)} for wish in wishes.values()]
    return {frozenset(devices) for devices in named if len(devices) == 2}


def _need(read: Read, *devices: str) -> None:
    """Raises NotMeasured with what is lacking for some devices."""
    keys = [key for name in devices for key in read.lacking.get(name, ())]
    if keys:
        raise NotMeasured(keys)


def _whole(read: Read) -> Setup:
    _need(read, *read.lacking)
    return read.setup


def _cures(
    radio: Radio,
    setup: Setup,
    wishes: Mapping[str, Wish],
    answers: Mapping[str, Part[WishAnswer]],
    *,
    plain: bool,
    watch: Watch,
) -> Cures | None:
    """Only for the plain answer: sentences are about the first sample."""
    known = {name: answer for name, answer in answers.items() if isinstance(answer, WishAnswer)}
    refuted = [name for name, answer in known.items() if answer.refuted]
    if not plain or not refuted:
        return None
    outputs = round(float(radio.receiver.outputs.count[0])) if radio.receiver.outputs.given else None
    return cures(setup, {name: wishes[name] for name in known}, refuted, outputs=outputs, watch=watch)


def _with_cure(name: str, answer: Part[WishAnswer], cured: Cures | None) -> Part[WishAnswer]:
    if cured is None or not isinstance(answer, WishAnswer):
        return answer
    cure = cured.shares.get(name) or cured.alone.get(name)
    return replace(answer, cure=cure, searched=name not in cured.unsearched, tried=cured.tried.get(name))


def _modes(read: Read, name: str, watch: Watch) -> ModesUsed:
    _need(read, name)
    return modes_used(read.setup, read.setup.device(name), watch)


def _clear(reads: list[Read], name: str) -> Clear:
    _need(reads[0], name)
    rooms = _rooms([read.setup for read in reads], name)
    return Clear(
        room_us=np.array([room.room_us for room in rooms]),
        noise_us=np.array([read.setup.noise_us for read in reads]),
        nearest=rooms[0],
    )


def _rooms(setups: list[Setup], name: str) -> list[Room]:
    """Of each setup; those that differ elsewhere only share theirs."""
    known: dict[object, Room] = {}
    rooms = []
    for setup in setups:
        device = setup.device(name)
        decides = (device.cuts_us, setup.channel(device.channel))
        if decides not in known:
            known[decides] = room_of(setup, device)
        rooms.append(known[decides])
    return rooms


def _chatter(reads: list[Read], name: str) -> Chatter:
    _need(reads[0], name)

    def width(device: Device) -> float:
        low, high = device.cuts_us or (0.0, 0.0)
        return high - low

    setup = reads[0].setup
    moving = setup.channel(setup.device(name).channel).controls
    return Chatter(
        hysteresis_us=np.array([width(read.setup.device(name)) for read in reads]),
        noise_us=np.array([read.setup.noise_us for read in reads]),
        control=next(control for control in moving if setup.control(control).swept),
    )


def _is_swept(radio: Radio, name: str) -> bool:
    """Whether a hand can move its pulse slowly through where it switches."""
    channel = radio.channels.get(radio.devices[name].channel.strip())
    controls = [] if channel is None else [channel.control.strip(), *channel.mixes]
    return any(one in radio.controls and radio.controls[one].kind in ("stick", "dial") for one in controls)


def _movers(radio: Radio, name: str) -> list[str]:
    channel = radio.channels[name]
    return [one for one in (channel.control.strip(), *channel.mixes) if one in radio.controls]


def _loads(radio: Radio, read: Read, watch: Watch) -> Loads:
    try:
        return loads(radio, _whole(read), watch)
    except OverflowError:
        raise CannotBe("there are more states than can be counted, so what is on together is not known") from None
