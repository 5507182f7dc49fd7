"""What a build is set against: itself as it was opened, or another build; its verdicts, numbers, curves, drawing."""

from __future__ import annotations

from typing import Any

from coachwork.confidence import Report
from coachwork.confidence.words import numbers_of
from coachwork.workbench.curves import chart_form
from coachwork.workbench.merging import all_held
from coachwork.workbench.meshes import made_mesh, shell_bytes
from coachwork.workbench.scene import drawn
from coachwork.workbench.session import Session

State = dict[str, Any]


class Comparison:
    """Of a session with what it was, and with another build's session where there is one."""

    def __init__(self, session: Session, beside: Session | None) -> None:
        self._session, self._beside = session, beside
        self._drawn: tuple[Report, State] | None = None

    def others(self) -> dict[str, tuple[str, int, Report]]:
        """By id: name, stamp, answers."""
        found = {}
        if self._session.answers.opened is not None:
            found["opened"] = ("as it was opened", 0, self._session.answers.opened)
        if self._beside is not None and self._beside.answers.report is not None:
            report = self._beside.answers.report
            found["other"] = (report.build.name, self._beside.answered, report)
        return found

    def _report(self, id: str) -> Report | None:
        other = self.others().get(id)
        return None if other is None else other[2]

    def told(self, id: str) -> State | None:
        """Verdicts, curves, and every number as it is typed there; None for what there is not."""
        other = self.others().get(id)
        if other is None:
            return None
        name, _, report = other
        verdicts = {
            v.id: {"state": v.state, "question": v.question, "numbers": numbers_of(v), "value": v.value}
            for v in report.verdicts
        }
        charts = [chart_form(one) for answer in report.answers.values() for one in answer.study.charts(answer.result)]
        return {"name": name, "verdicts": verdicts, "charts": {chart["id"]: chart for chart in charts},
                "numbers": all_held(report.build.text)}  # fmt: skip

    def scene(self, id: str) -> State | None:
        """Its drawing, as `Desk.scene` has ours."""
        report = self._report(id)
        if report is None:
            return None
        if self._drawn is None or self._drawn[0] is not report:
            self._drawn = (report, drawn(report))
        return self._drawn[1]

    def shell(self, id: str, part: str) -> bytes | None:
        """Its scanned shell, as `Desk.shell` has ours."""
        report = self._report(id)
        return None if report is None else shell_bytes(report, part)

    def made(self, id: str, name: str) -> bytes | None:
        """A part made in its folder."""
        report = self._report(id)
        return None if report is None else made_mesh(report.build, name)
