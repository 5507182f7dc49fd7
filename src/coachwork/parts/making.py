"""Has parts made by the worker, but for those that stand made already, and hands on how far it is."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from coachwork.build import Build, NotMeasured
from coachwork.build.sections.about import About
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.making import Making
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.seating import Seating
from coachwork.build.sections.wheels import Wheels
from coachwork.errors import CoachworkError
from coachwork.followed import lines_of
from coachwork.parts.nearness import Body, near_of, shell_body
from coachwork.parts.reach import reach_of
from coachwork.parts.store import assembly_of, folder_of, kept, tell_studies
from coachwork.studies.makeability.bodies import box_bodies
from coachwork.studies.makeability.joints import placed_parts
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.plain import by_plain_numbers, number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import attempt, is_missing
from coachwork.studies.solids import PartSolid

Tell = Callable[[str, str], None]  # a part, and what is being done to it


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """Parts by name: made or kept, the seconds of those that were made now, and why others were not."""

    parts: dict[str, PartSolid]
    seconds: dict[str, float]
    refused: dict[str, str]


def make_all(build: Build, wanted: Sequence[Wanted], *, tell: Tell, wanted_still: Callable[[], bool] = lambda: True,
             ) -> Outcome:  # fmt: skip
    """Every part that can be drawn, and the studies told of them. As `made_now`, else."""
    outcome = made_now(build, wanted, tell=tell, wanted_still=wanted_still)
    folder = build.path.parent
    stand = outcome.parts | _beside(build, [each for each in wanted if each.fingerprint is not None])
    driver = attempt(number, by_plain_numbers(build[Making]).driver_diameter)
    reach = {} if is_missing(driver) else reach_of(stand.values(), folder_of(folder), driver_mm=driver)
    near = near_of(
        stand.values(), box_bodies(PartTables.of(build)), _shell(build),
        folder_of(folder), lambda: tell("all parts", "looking how near they come to what is round them"),
        wanted_still,
    ) if placed_parts(stand.values()) else ()  # fmt: skip
    tell_studies(stand.values(), folder, reach, near)
    return outcome


def _shell(build: Build) -> Body | None:
    """The scanned shell where it sits by the plain numbers; None where there is none, or it cannot be told where."""
    if not build[Shell].mesh.strip():
        return None
    from coachwork.scans.loading import seated_shell

    try:
        shell = seated_shell(
            build.path.parent, shell=build[Shell], prototype=build[Prototype], about=build[About],
            seating=by_plain_numbers(build[Seating]), changes=by_plain_numbers(build[Changes]),
            gear=by_plain_numbers(build[RunningGear]), wheels=by_plain_numbers(build[Wheels]),
        )  # fmt: skip
    except (CoachworkError, NotMeasured, OSError):
        return None  # clearance says why
    return shell_body(shell.vertices_mm, shell.faces, shell.content)


def made_now(build: Build, wanted: Sequence[Wanted], *, tell: Tell, wanted_still: Callable[[], bool] = lambda: True,
             ) -> Outcome:  # fmt: skip
    """Every part that can be drawn; the studies still see those that were made before.

    wanted_still : asked several times a second; once it says no, the worker is stopped and what is done is kept

    Raises CoachworkError where the worker itself fails, with its last words.
    """
    folder = build.path.parent
    able = [each for each in wanted if each.fingerprint is not None]
    there = {each.name: part for each in able if (part := kept(each, folder)) is not None}
    missing = [each for each in able if each.name not in there]
    seconds: dict[str, float] = {}
    refused: dict[str, str] = {}
    assembly = assembly_of(there.values())
    if missing or (assembly is not None and not assembly.is_file()):
        seconds, refused = _work(build, [each.name for each in missing], tell, wanted_still)
    for each in missing:
        if (part := kept(each, folder)) is not None:
            there[each.name] = part
    parts = {each.name: there[each.name] for each in able if each.name in there}
    return Outcome(parts=parts, seconds=seconds, refused=refused)


def _beside(build: Build, able: Sequence[Wanted]) -> dict[str, PartSolid]:
    """The build's other parts that stand made: making one takes none of them away."""
    names = {each.name for each in able}
    others = [each for each in every_part(PartTables.of(build)) if each.name not in names]
    found = {each.name: kept(each, build.path.parent) for each in others if each.fingerprint is not None}
    return {name: part for name, part in found.items() if part is not None}


def _work(
    build: Build, names: Sequence[str], tell: Tell, wanted_still: Callable[[], bool]
) -> tuple[dict[str, float], dict[str, str]]:
    seconds: dict[str, float] = {}
    refused: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as scratch, (Path(scratch) / "words").open("w+b") as words:
        job = Path(scratch) / "job.json"
        job.write_text(json.dumps({"path": str(build.path), "text": build.text, "names": list(names)}), "utf-8")
        process = subprocess.Popen(
            [sys.executable, "-m", "coachwork.parts.worker", str(job)], stdout=subprocess.PIPE, stderr=words,
            env={**os.environ, "PYTHONUTF8": "1"},
        )  # fmt: skip
        assert process.stdout is not None
        doing = names[0] if names else "assembly"
        try:
            for line in lines_of(process, wanted_still):
                told = json.loads(line)
                doing = told["part"]
                if "seconds" in told:
                    seconds[doing] = told["seconds"]
                elif "refused" in told:
                    refused[doing] = told["refused"]
                else:
                    tell(doing, told["doing"])
        finally:
            if process.poll() is None and not wanted_still():
                process.terminate()
            try:
                status = process.wait(10)
            except subprocess.TimeoutExpired:
                process.kill()
                status = process.wait()
            process.stdout.close()
        if status != 0 and wanted_still():
            words.seek(0)
            last = words.read().decode("utf-8", "replace").strip().splitlines()
            raise CoachworkError(
                f"{doing}: the CAD process ended with status {status}" + (f": {last[-1]}" if last else "")
                + "; parts made before stay. Is the extra installed? pip install 'coachwork[parts]'"
            )  # fmt: skip
    return seconds, refused
