"""What lies before the builder: a session, its drawing, curves and jobs, as plain data that is made once and kept."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from coachwork.build import Build
from coachwork.confidence import Report
from coachwork.confidence.json_form import Json
from coachwork.studies.chart import Chart
from coachwork.studies.watch import Unwanted, Watch
from coachwork.workbench.colours import Coloured, room_colours
from coachwork.workbench.comparing import Comparison
from coachwork.workbench.curves import chart_form
from coachwork.workbench.jobs import Jobs, on_offer
from coachwork.workbench.kept import Kept
from coachwork.workbench.meshes import made_mesh, shell_bytes, sweep_of
from coachwork.workbench.pointing import SHELL, Things
from coachwork.workbench.scene import drawn
from coachwork.workbench.session import Session
from coachwork.workbench.shown import answers_of, numbers_shown, state_of
from coachwork.workbench.stresses import stress_surface

State = dict[str, Any]
BY_KEY = ("entries", "verdicts", "drafts")  # parts of the state that are sent key by key


class Desk:
    """One build's session with all that is shown of it."""

    def __init__(self, session: Session, beside: Session | None = None) -> None:
        self.session = session
        self.beside = beside  # another build, to set against this one
        self.comparison = Comparison(session, beside)
        if beside is not None:
            beside.listen(lambda news: session.tell("beside") if news == "answers" else None)
        self.jobs = Jobs(session.folder, lambda: session.tell("working"), session.again)
        session.listen(lambda _: self.jobs.step_aside(session.answered != session.version))
        self._drawn: tuple[Report, State] | None = None
        self._scene_stamp = 0
        self._sweeps = _Sweeps()
        self._room: tuple[object, Coloured | None] | None = None
        self._room_lock = threading.Lock()
        self._answered: tuple[Any, State] | None = None
        self._file: tuple[Any, State] | None = None
        self._numbers: tuple[Build | None, State] | None = None
        self._named: Things = ()
        self._forms, self._said = Kept(), Kept()  # of numbers, of verdicts

    def close(self) -> None:
        """End jobs and session."""
        self.jobs.close()
        self.session.close()
        if self.beside is not None:
            self.beside.close()

    def state(self) -> State:
        """All that is shown but drawing and curves, which `scene` and `charts` stamp."""
        session, others = self.session, self.comparison.others()
        now: State = {
            "working": session.answers.working,
            "settled": session.answered == session.version,
            "stamp": session.answered,
            "jobs": self.jobs.forms(),
            "beside": [{"id": id, "name": name, "stamp": stamp} for id, (name, stamp, _) in others.items()],
            "offers": [{"name": w.name, "title": w.title, "about": w.about} for w in on_offer()],
        }
        return {**self._of_file(), **self._answers(), **now}

    def _of_file(self) -> State:
        session = self.session
        key = (
            session.version,
            session.broken,
            session.answers.wrong,
            len(session.told),
            session.drafts,
            session.undoes,
        )
        if self._file is None or self._file[0] != key:
            self._file = (key, state_of(session))
        build = session.build
        if self._numbers is None or self._numbers[0] is not build:  # a thousand of them, and most news is not of them
            self._numbers = (build, numbers_shown(build, self._forms))
        return {**self._file[1], **self._numbers[1]}

    def _answers(self) -> State:
        report = self.session.answers.report
        if report is None:
            return {"questions": None, "verdicts": {}, "next": [], "tally": None, "sceneStamp": 0}
        levers = self.session.answers.levers
        if self._answered is None or self._answered[0][0] is not report or self._answered[0][1] is not levers:
            things = tuple(self._things(report))
            if things != self._named:
                self._named = things  # else the same object, which is soon found to be equal
            self._answered = (
                (report, levers),
                {
                    **answers_of(report, levers, self._named, self._said),
                    "sceneStamp": self._scene_stamp,
                },
            )
        return self._answered[1]

    def _things(self, report: Report) -> Iterator[tuple[str, str]]:
        scene = self.scene_of(report)
        for part in ("parts", "boxes", "masses", "made"):
            yield from ((thing["id"], thing["name"]) for thing in scene[part])
        yield SHELL, SHELL
        if scene["gravity"] is not None:
            yield "gravity", "centre of gravity"

    def scene(self) -> State:
        """The drawing; empty until there are answers."""
        report = self.session.answers.report
        return {} if report is None else self.scene_of(report)

    def scene_of(self, report: Report) -> State:
        """The drawing of a report."""
        if self._drawn is None or self._drawn[0] is not report:
            scene = drawn(report, partial(self.session.plan.once, of_result=True))
            if self._drawn is None or self._drawn[1] != scene:  # most edits leave the drawing as it is
                self._scene_stamp += 1
            self._drawn = (report, scene)
        return self._drawn[1]

    def shell(self, part: str) -> bytes | None:
        """The scanned shell's corners as float32, or its triangles as uint32; None where there is none."""
        report = self.session.answers.report
        return None if report is None else shell_bytes(report, part)

    def sweep(self, thing: str) -> bytes | None:
        """What a moving part sweeps over all its poses: how many corners, corners, triangles; None for no such part."""
        answer = None if self.session.answers.report is None else self.session.answers.report.answers.get("clearance")
        if answer is None:
            return None
        clearance = answer.result
        return self._sweeps.once(answer, thing, lambda: sweep_of(clearance, thing))

    def made(self, name: str) -> bytes | None:
        """A made part's triangles."""
        report = self.session.answers.report
        return None if report is None else made_mesh(report.build, name)

    def room(self) -> Coloured | None:
        """The room left all over what stands; takes seconds, the first time. None: not asked, or changed meanwhile."""
        with self._room_lock:  # two tabs
            report = self.session.answers.report
            answer = None if report is None else report.answers.get("clearance")
            if report is None or answer is None:
                return None

            def changed() -> bool:
                now = self.session.answers.report
                return now is None or now.answers.get("clearance") is not answer

            if self._room is None or self._room[0] is not answer:
                try:
                    self._room = (answer, room_colours(report, Watch(cancelled=changed)))
                except Unwanted:
                    return None
            return self._room[1]

    def stress(self, name: str) -> bytes | None:
        """A made part's surface with its stresses; None where none is kept."""
        report = self.session.answers.report
        return None if report is None else stress_surface(report, name)

    def charts(self) -> dict[str, list[Json]]:
        """Every curve by study, as numbers."""
        return {study: [chart_form(chart) for chart in charts] for study, charts in self._charts()}

    def chart(self, id: str) -> Chart | None:
        """One curve."""
        return next((chart for _, charts in self._charts() for chart in charts if chart.id == id), None)

    def _charts(self) -> Iterator[tuple[str, tuple[Chart, ...]]]:
        report = self.session.answers.report
        for answer in () if report is None else report.answers.values():

            def made(answer: Any = answer) -> tuple[Chart, ...]:
                return tuple(answer.study.charts(answer.result))

            yield answer.study.name, self.session.plan.once(answer, "charts", made, of_result=True)


class _Sweeps:
    """Of the answer at hand; each takes a second to make."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._of: object = None
        self._made: dict[str, bytes | None] = {}

    def once(self, answer: object, thing: str, make: Callable[[], bytes | None]) -> bytes | None:
        with self._lock:  # two tabs, or four tyres at once
            if self._of is not answer:
                self._of, self._made = answer, {}
            if thing not in self._made:
                self._made[thing] = make()
            return self._made[thing]


def changes(old: State, new: State) -> State:
    """What to send so that whoever holds the old state has the new one; null takes a key of `BY_KEY` out."""
    sent: State = {}
    for name, value in new.items():
        if name in BY_KEY and name in old:
            before = old[name]
            if before is value:
                continue
            part = {
                key: item for key, item in value.items() if (old_one := before.get(key)) is not item and old_one != item
            }
            part |= dict.fromkeys(before.keys() - value.keys())
            if part:
                sent[name] = part
        elif old.get(name) != value or name not in old:
            sent[name] = value
    return sent
