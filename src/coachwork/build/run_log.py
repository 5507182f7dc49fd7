"""The log of runs, `log.toml` in the build's folder: what was seen when it stopped. Only ever added to."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, ClassVar, Literal

from pydantic import ValidationError

from coachwork.build.entries import Ask, Habits, Minutes, Note, Temperature, Voltage
from coachwork.build.faults import faults_of
from coachwork.build.lines import line_of
from coachwork.build.section import Section, kebab
from coachwork.build.syntax import readable
from coachwork.build.writing import write_whole
from coachwork.errors import BuildRefused, EditedElsewhere, Fault

LOG_NAME = "log.toml"
_HEAD = """\
# Runs of this vehicle, the latest last. coachwork log adds to the end and never changes what stands here;
# coachwork why says what most likely stopped it. Comments and changes of your own are kept.
"""
Touch = Literal["cool", "warm", "hot", "too hot to touch"]


class Run(Section):
    """One run, from switching on to the stop or the end; every line may be left out."""

    date: Annotated[str, Note("when, in your own words")] = ""
    minutes: Annotated[
        Minutes, Ask(how="minutes from switching on to the stop, by a watch", usual=(5, 14400))
    ] = Minutes()  # fmt: skip
    volts_before: Annotated[
        Voltage, Ask(how="the pack's volts before the run, at rest, by multimeter at its main plug", usual=(1, 52))
    ] = Voltage()  # fmt: skip
    volts_after: Annotated[
        Voltage, Ask(how="the pack's volts a minute or more after the stop, unplugged", usual=(1, 52))
    ] = Voltage()  # fmt: skip
    doing: Annotated[
        Literal["standing", "crawling", "driving", "climbing", "steering"] | None,
        Note("what it was doing when it stopped; steering: hard over, or against something"),
    ] = None
    where: Annotated[
        Literal["near", "far"] | None,
        Note("how far off it was: near; or about as far as it ever goes, or behind walls"),
    ] = None
    motor: Annotated[
        Literal["dead", "weak", "spins", "strains"] | None,
        Note("on throttle: dead; weak or stuttering; spins without driving it; strains or hums without turning"),
    ] = None
    steers: Annotated[Literal["yes", "no", "twitches"] | None, Note("whether it still steered")] = None
    lights: Annotated[
        Literal["on", "off", "flicker"] | None,
        Note("lights that hang on the receiver's supply, which were on before: still on, off, or dim and flickering"),
    ] = None
    heard: Annotated[
        Literal["nothing", "beeps", "grinding"] | None, Note("beeps of the controller; clicking or grinding of gears")
    ] = None
    by_itself: Annotated[
        Literal["no", "within seconds", "after minutes"] | None,
        Note("whether it came back with nobody touching a switch, and how soon"),
    ] = None
    off_and_on: Annotated[
        Literal["runs", "runs a moment", "nothing"] | None,
        Note("switched off and on within a minute of the stop: it runs on, runs for a moment, or nothing changes"),
    ] = None
    after_rest: Annotated[
        Literal["runs", "runs a moment", "nothing"] | None,
        Note("switched off and on after a quarter of an hour of rest, the pack as it was"),
    ] = None
    controller: Annotated[
        Temperature, Ask(how="the controller's case right after the stop, by thermometer", sign="any", usual=(0, 150))
    ] = Temperature()  # fmt: skip
    motor_can: Annotated[
        Temperature, Ask(how="the motor's can right after the stop, by thermometer", sign="any", usual=(0, 150))
    ] = Temperature()  # fmt: skip
    regulator: Annotated[
        Temperature, Ask(how="the regulator right after the stop, by thermometer", sign="any", usual=(0, 170))
    ] = Temperature()  # fmt: skip
    pack: Annotated[
        Temperature, Ask(how="the pack right after the stop, by thermometer", sign="any", usual=(0, 100))
    ] = Temperature()  # fmt: skip
    controller_felt: Annotated[Touch | None, Note("the same by the back of a finger; 60 degC and more burn")] = None
    motor_can_felt: Annotated[Touch | None, Note("the motor's can by the back of a finger")] = None
    regulator_felt: Annotated[Touch | None, Note("the regulator by the back of a finger")] = None
    pack_felt: Annotated[Touch | None, Note("the pack by the back of a finger; a swollen one is not touched")] = None
    stopped: Annotated[bool, Note("false for a run that ended as you wanted")] = True
    note: Annotated[str, Note("anything else")] = ""


class _Log(Section):
    """The whole file."""

    TABLE: ClassVar[str] = "run"
    NAMES: ClassVar[str | None] = "each"

    each: list[Run] = []


def log_of(folder: Path) -> Path:
    """Where a build's log stands."""
    return folder / LOG_NAME


def read_log(path: Path) -> tuple[Run, ...]:
    """All runs, the latest last; none where there is no file. Raises BuildRefused with every fault."""
    return _runs(path.read_text(encoding="utf-8-sig"), path) if path.is_file() else ()


def _runs(text: str, path: Path) -> tuple[Run, ...]:
    found = readable(text)
    if found.tables is None:
        raise BuildRefused(path, found.faults)
    faults = list(found.faults)
    raw = found.tables.get("run", [])
    for name in found.tables.keys() - {"run"}:
        line = line_of(found.text, (name,))
        faults.append(Fault(key=name, line=line, read="there is no table of this name", wanted="a run is a [[run]]"))
    if not isinstance(raw, list):
        line = line_of(found.text, ("run",))
        faults.append(Fault(key="run", line=line, read="read a single table", wanted="write [[run]], in two brackets"))
        raise BuildRefused(path, faults)
    log = _Log()
    try:
        log = _Log.model_validate({"each": raw}, context=Habits())
    except ValidationError as error:
        for problem in error.errors(include_url=False):
            faults += faults_of(_Log, problem, Habits(), found.text)
    if faults:
        raise BuildRefused(path, faults)
    return tuple(run.keyed(f"run[{i + 1}]") for i, run in enumerate(log.each))


def add_run(path: Path, values: Mapping[str, str]) -> Run:
    """Add a run to the end of the log, everything before it byte for byte as it was; returns it as read back.

    values : by key, as the builder types them
    Raises : BuildRefused where the log, or the run, cannot be read; EditedElsewhere; nothing is written then
    """
    before = path.read_bytes() if path.is_file() else b""
    text = before.decode("utf-8-sig") if before else _HEAD
    newline = "\r\n" if "\r\n" in text else "\n"
    _runs(text, path)
    lines = ["[[run]]", *(f"{key} = {_literal(key, value)}" for key, value in values.items())]
    gap = newline if text.endswith("\n") else newline * 2
    new = text + gap + newline.join(lines) + newline
    run = _runs(new, path)[-1]
    if (path.read_bytes() if path.is_file() else b"") != before:
        raise EditedElsewhere(f"{path} was changed by another program; nothing was written, log the run again")
    write_whole(path, ("\ufeff" if before.startswith(b"\xef\xbb\xbf") else "") + new)
    return run


def tried(key: str, value: str) -> None:
    """Raises BuildRefused, with what is wrong, for what a run cannot hold under a key."""
    _runs(f"[[run]]\n{key} = {_literal(key, value)}\n", Path(LOG_NAME))


def _literal(key: str, value: str) -> str:
    if key == "stopped" and value in ("true", "false"):
        return value
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def run_keys() -> tuple[str, ...]:
    """Every key a run can have, in the order in which they are asked for."""
    return tuple(kebab(name) for name in Run.model_fields)


def how_to(key: str) -> str:
    """What a key asks for, in a sentence."""
    field = Run.model_fields[key.replace("-", "_")]
    return next(m.how for m in field.metadata if isinstance(m, (Ask, Note)))


def choices_of(key: str) -> tuple[str, ...]:
    """The words a key takes; none where it takes a number or free text."""
    from typing import get_args

    annotation = Run.model_fields[key.replace("-", "_")].annotation
    inner = [get_args(one) for one in get_args(annotation) if get_args(one)]
    return tuple(str(word) for words in inner for word in words)
