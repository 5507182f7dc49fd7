"""`[radio]`: controls, channels, receiver, devices, and what the builder wishes of them."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from typing import Annotated, ClassVar

from pydantic import Field

from coachwork.build.entries import BLANKS, Note
from coachwork.build.places import Steps
from coachwork.build.section import Section
from coachwork.build.sections.radio.channels import Channel
from coachwork.build.sections.radio.controls import ENDS, Control
from coachwork.build.sections.radio.devices import OWN_PACK, RECEIVER, SETTABLE, Device
from coachwork.build.sections.radio.names import name_in, names_in
from coachwork.build.sections.radio.reading import NotUnderstood, speaks_of_a_device, wish_of
from coachwork.build.sections.radio.receiver import Receiver
from coachwork.build.sections.radio.wishes import Wish
from coachwork.build.sections.radio.words import Words

OwnFault = tuple[Steps, str, str]


class Radio(Section):
    """The radio and its accessories: what moves what, and what it is meant to do."""

    TABLE: ClassVar[str] = "radio"
    ORDER: ClassVar[int] = 60

    receiver: Receiver = Receiver()
    controls: dict[str, Control] = {}
    channels: dict[str, Channel] = {}
    devices: dict[str, Device] = {}
    wishes: Annotated[
        dict[str, str],
        Note(
            "a wish in plain words, such as: beacons on exactly when buzzer on; engine-sound silent unless dial "
            "raised; never beacons on; everything off at power-up; speed-controller stopped on signal loss"
        ),
        Field(description="What the builder means the switches to do, under names of their own."),
    ] = {}

    @property
    def words(self) -> Words:
        """What wishes can speak of."""
        return Words.of(self.controls, self.devices)

    def wished(self) -> dict[str, Wish]:
        """The wishes that are not blank, understood."""
        words = self.words
        return {name: wish_of(text, words) for name, text in self.wishes.items() if text.strip() not in BLANKS}

    def own_faults(self) -> Iterator[OwnFault]:
        """Names that are none, lists that do not fit, circles of power, wishes that cannot be understood."""
        yield from self._of_names()
        for name, control in self.controls.items():
            yield from _of_control(("controls", name), control)
        for name, channel in self.channels.items():
            yield from self._of_channel(("channels", name), channel)
        for name, device in self.devices.items():
            yield from self._of_device(("devices", name), device)
        yield from self._of_power()
        words = self.words
        for name, text in self.wishes.items():
            if text.strip() in BLANKS:
                continue
            try:
                wish = wish_of(text, words)
                if not speaks_of_a_device(wish):
                    yield ("wishes", name), f'read "{text}", which speaks of no device', "say what a device shall do"
            except NotUnderstood as no:
                yield ("wishes", name), f'read "{text}", {no.what}', no.help

    def _of_names(self) -> Iterator[OwnFault]:
        """Controls and devices share one language, so no name may be two of them."""
        wished = any(text.strip() not in BLANKS for text in self.wishes.values())
        for name in [n for n in self.devices if n in self.controls and (wished or self.controls[n].at == "vehicle")]:
            yield ("devices", name), f'a control is called "{name}" too', "give one of the two another name"
        for name in self.devices.keys() & {RECEIVER, OWN_PACK}:
            yield ("devices", name), f'"{name}" is a word of powered-by', "give it another name"

    def _of_channel(self, here: Steps, channel: Channel) -> Iterator[OwnFault]:
        yield from _name((*here, "control"), channel.control, self.controls, "control")
        for name in channel.mixes:
            yield from _name((*here, "mixes", name), name, self.controls, "control")
        for name in {name_in(channel.control), *channel.mixes} & self.controls.keys():
            if self.controls[name].at == "vehicle":
                steps = (*here, "control") if name == name_in(channel.control) else (*here, "mixes", name)
                yield steps, f"{name} is on the vehicle", "a channel is moved by a control of the transmitter"

    def _of_device(self, here: Steps, device: Device) -> Iterator[OwnFault]:
        yield from _name((*here, "channel"), device.channel, self.channels, "channel")
        modes = device.named
        if device.kind == "proportional" and len(modes) != 3:
            yield (
                (*here, "modes"),
                f"read {len(modes)} names",
                "a proportional device has three: below, at, above neutral",
            )
        elif device.kind in ("switched", "plain") and len(modes) != 2:
            yield (*here, "modes"), f"read {len(modes)} names", f"a {device.kind} device has two: quiet and on"
        elif len(modes) < 2 or len(set(modes)) != len(modes):
            yield (*here, "modes"), f'read "{device.modes}"', "two or more different names are wanted"
        for key, text in (("starts", device.starts), ("held-mode", device.held_mode)):
            yield from _name((*here, key), text.lower(), modes, "mode")
        for name in names_in(device.settable):
            yield from _name((*here, "settable"), name, SETTABLE, "setting")
        sources = [RECEIVER, OWN_PACK, *self.devices, *(n for n, c in self.controls.items() if c.at == "vehicle")]
        source = name_in(device.powered_by)
        yield from _name((*here, "powered-by"), source, sources, "source of power")
        of_it: Iterable[str] = ()
        if source in self.devices:
            of_it = self.devices[source].named
        elif source in self.controls:
            of_it = self.controls[source].named
        for name in names_in(device.powered_when):
            yield from _name((*here, "powered-when"), name, of_it, f"mode of {source}")

    def _of_power(self) -> Iterator[OwnFault]:
        for name in self.devices:
            seen, here = [name], name_in(self.devices[name].powered_by)
            while here in self.devices and here not in seen:
                seen.append(here)
                here = name_in(self.devices[here].powered_by)
            if here == name:
                circle = " through ".join([*seen, name])
                yield ("devices", name, "powered-by"), f"power runs in a circle: {circle}", "one needs another source"


def _of_control(here: Steps, control: Control) -> Iterator[OwnFault]:
    wanted = ENDS[control.kind]
    names = names_in(control.positions)
    if names and (len(names) != wanted or len(set(names)) != wanted):
        yield (
            (*here, "positions"),
            f'read "{control.positions}"',
            f"a {control.kind} has {wanted} positions with different names",
        )
    if control.rest == "middle" and control.kind in ("two-position", "button"):
        yield (*here, "rest"), 'read "middle"', f"a {control.kind} rests low or high"
    if control.at == "vehicle" and control.kind in ("stick", "dial"):
        yield (*here, "kind"), f'read "{control.kind}"', "on the vehicle there are switches and buttons"


def _name(here: Steps, text: str, known: Iterable[str], what: str) -> Iterator[OwnFault]:
    """A name has to be one of those known; blank is not decided yet."""
    name, known = name_in(text), list(known)
    if not name or name in known:
        return
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
    wanted = f"did you mean {near[0]}?" if near else f"there is {', '.join(known) or 'none yet'}"
    yield here, f'read "{name}", which is no {what}', wanted
