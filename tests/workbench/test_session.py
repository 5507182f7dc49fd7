"""A build held open: nothing typed is lost, nobody's edit is written over, and answers follow the file."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from coachwork.build.writing import exchange
from coachwork.confidence import examine, first_look
from coachwork.errors import BuildMissing
from coachwork.studies.finding import Verdict
from coachwork.workbench.session import Session


@pytest.fixture
def opened(tiny_folder: Path, tiny):
    """A session on the invented build."""
    session = Session(tiny_folder, plan=tiny.plan())
    yield session
    session.close()


def file_of(session: Session) -> str:
    return session.file.read_text(encoding="utf-8")


def value(session: Session, id: str) -> float | None:
    assert session.settled()
    assert session.answers.report is not None
    return next(verdict.value for verdict in session.answers.report.verdicts if verdict.id == id)


def elsewhere(session: Session, old: str, new: str) -> None:
    """Another program writes the file."""
    text = file_of(session)
    assert old in text
    session.file.write_text(text.replace(old, new), encoding="utf-8")


def test_a_session_imports_nothing_that_serves_or_shows_a_page():
    script = (
        "import sys, coachwork.workbench.session;"
        "print(*sorted({n.partition('.')[0] for n in sys.modules} & "
        "{'starlette', 'uvicorn', 'anyio', 'h11', 'http', 'asyncio', 'websockets', 'nicegui', 'webbrowser'}))"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def test_no_build_no_session(tmp_path: Path):
    with pytest.raises(BuildMissing, match="coachwork new"):
        Session(tmp_path)


def test_an_edit_is_in_the_file_at_once_comments_kept_and_answers_follow(opened: Session):
    before = file_of(opened)
    assert value(opened, "sized.length") == pytest.approx(1.0)  # 411 less 4100 / 10

    outcome = opened.edit("shell.length", "413 ± 0.6 mm", seen="411 ± 0.6 mm")

    assert outcome.saved
    assert file_of(opened) == before.replace('"411 ± 0.6 mm"', '"413 ± 0.6 mm"')
    assert "# of the handbook" in file_of(opened)
    assert value(opened, "sized.length") == pytest.approx(3.0)


def test_what_the_file_would_refuse_is_refused_in_the_same_words_and_kept(opened: Session, tiny_folder: Path):
    from coachwork.build import read_text, with_entry
    from coachwork.errors import BuildRefused

    text = file_of(opened)
    with pytest.raises(BuildRefused) as refused:
        read_text(with_entry(text, "shell.width", "18o mm"), opened.file)
    fault = refused.value.faults[0]

    outcome = opened.edit("shell.width", "18o mm", seen="166 ± 0.6 mm")

    assert not outcome.saved
    assert outcome.faults == (f"{fault.key}: {fault.read}; {fault.wanted}",)
    assert file_of(opened) == text
    assert opened.drafts["shell.width"].text == "18o mm"


def test_typing_is_checked_without_touching_the_file(opened: Session):
    text = file_of(opened)
    assert opened.note("shell.width", "16", seen="166 ± 0.6 mm").faults == ()
    assert opened.note("shell.width", "16 volts", seen="166 ± 0.6 mm").faults
    assert file_of(opened) == text
    opened.note("shell.width", "166 ± 0.6 mm", seen="166 ± 0.6 mm")
    assert opened.drafts == {}


def test_an_emptied_field_takes_the_number_out(opened: Session):
    assert opened.edit("shell.width", "  ", seen="166 ± 0.6 mm").saved
    assert 'width = "?"' in file_of(opened)
    assert value(opened, "sized.width") is None


def test_undo_gives_the_very_bytes_back_and_redo_the_others(opened: Session):
    first = opened.file.read_bytes()
    opened.edit("shell.length", "413", seen="411 ± 0.6 mm")
    opened.edit("shell.front.top", "45", seen=None)  # a table that was not there
    last = opened.file.read_bytes()

    assert opened.undo() is None
    assert opened.undo() is None
    assert opened.file.read_bytes() == first
    assert opened.undoes is None
    assert opened.redo() is None
    assert opened.redo() is None
    assert opened.file.read_bytes() == last
    assert opened.undo() is None
    opened.edit("shell.width", "167", seen="166 ± 0.6 mm")
    assert opened.redoes is None  # a new edit ends the way forward


def test_undo_leaves_what_another_program_changed_since(opened: Session):
    opened.edit("shell.length", "413", seen="411 ± 0.6 mm")
    elsewhere(opened, '"166 ± 0.6 mm"', '"168 ± 0.6 mm"')

    assert opened.undo() is None

    assert 'length = "411 ± 0.6 mm"' in file_of(opened)
    assert 'width = "168 ± 0.6 mm"' in file_of(opened)


def test_undo_does_not_undo_another_programs_number(opened: Session):
    opened.edit("shell.length", "413", seen="411 ± 0.6 mm")
    elsewhere(opened, "length = 413", "length = 414")

    why = opened.undo()

    assert why is not None
    assert "shell.length" in why
    assert "length = 414" in file_of(opened)


def test_another_programs_change_of_another_number_is_taken_over_and_told(opened: Session):
    assert opened.settled()
    elsewhere(opened, '"290 ± 0.3 mm"', '"291 ± 0.3 mm"')

    assert opened.edit("shell.length", "413", seen="411 ± 0.6 mm").saved

    assert '"291 ± 0.3 mm"' in file_of(opened)
    assert "length = 413" in file_of(opened)
    assert any("shell.wheelbase" in line and "291" in line for line in opened.told)


def test_a_change_elsewhere_is_noticed_without_an_edit(opened: Session):
    news = threading.Event()
    opened.listen(lambda what: news.set() if what == "told" else None)
    elsewhere(opened, '"290 ± 0.3 mm"', '"291 ± 0.3 mm"')
    assert news.wait(10)
    assert value(opened, "stretched.amount") == pytest.approx(291 - 267 + 0.5)


@pytest.mark.parametrize(("take", "left"), [("mine", "length = 413"), ("theirs", "length = 420")])
def test_the_same_number_changed_elsewhere_is_asked_about(opened: Session, take, left):
    elsewhere(opened, 'length = "411 ± 0.6 mm"', "length = 420")

    outcome = opened.edit("shell.length", "413", seen="411 ± 0.6 mm")

    assert not outcome.saved
    (draft,) = outcome.drafts
    assert (draft.why, draft.text, draft.theirs) == ("clash", "413", "420")
    assert "length = 420" in file_of(opened)
    assert opened.settle("shell.length", take=take).saved
    assert left in file_of(opened)
    assert opened.drafts == {}


def test_an_edit_that_another_program_beats_to_the_disk_goes_in_on_top(opened: Session, monkeypatch):
    """Its answers have begun by then: they are given up, and those that stay are of what is on the disk."""

    def beaten(file: Path, old: str, new: str) -> None:
        monkeypatch.setattr("coachwork.workbench.session.exchange", exchange)
        file.write_text(old.replace('"166 ± 0.6 mm"', '"168 ± 0.6 mm"'), encoding="utf-8")
        exchange(file, old, new)

    monkeypatch.setattr("coachwork.workbench.session.exchange", beaten)

    assert opened.edit("shell.length", "413", seen="411 ± 0.6 mm").saved

    assert "length = 413" in file_of(opened)
    assert '"168 ± 0.6 mm"' in file_of(opened)
    assert any("shell.width" in line and "168" in line for line in opened.told)
    assert value(opened, "sized.length") == pytest.approx(3.0)
    assert value(opened, "sized.width") == pytest.approx(2.0)
    assert opened.build.text == file_of(opened)


def test_both_typed_the_same(opened: Session):
    elsewhere(opened, 'length = "411 ± 0.6 mm"', "length = 413")
    assert opened.edit("shell.length", "413", seen="411 ± 0.6 mm").saved


def test_a_file_that_cannot_be_read_is_left_alone_and_the_edit_goes_in_when_it_can(opened: Session):
    good = file_of(opened)
    opened.file.write_text(good.replace("[running-gear]", "[running-gear\n"), encoding="utf-8")

    outcome = opened.edit("shell.length", "413", seen="411 ± 0.6 mm")

    assert not outcome.saved
    assert opened.broken
    assert "line " in opened.broken[0]
    assert "413" not in file_of(opened)
    assert opened.answers.report is None or opened.answers.report.verdicts  # the last answers stay
    opened.file.write_text(good.replace("166", "167"), encoding="utf-8")
    assert opened.note("shell.wheelbase", "290", seen="290 ± 0.3 mm").faults == ()
    wait_until(lambda: "length = 413" in file_of(opened))
    assert "167 ± 0.6 mm" in file_of(opened)
    assert "shell.length" not in opened.drafts


def wait_until(true) -> None:
    for _ in range(100):
        if true():
            return
        threading.Event().wait(0.1)
    raise AssertionError("it did not come to be")


def test_a_session_that_is_killed_loses_neither_drafts_nor_the_way_back(tiny_folder: Path):
    """The first session is never closed: its process dies at once, with a number half typed."""
    script = (
        "import os, sys; from pathlib import Path; from coachwork.workbench.session import Session;"
        "s = Session(Path(sys.argv[1])); s.edit('shell.length', '413', seen='411 ± 0.6 mm');"
        "s.note('shell.width', '165 ± 0.2', seen='166 ± 0.6 mm'); os._exit(9)"
    )
    done = subprocess.run([sys.executable, "-c", script, str(tiny_folder)], capture_output=True, check=False)
    assert done.returncode == 9, done.stderr

    again = Session(tiny_folder)
    try:
        assert "length = 413" in file_of(again)
        assert again.drafts["shell.width"].text == "165 ± 0.2"
        assert again.undo() is None
        assert 'length = "411 ± 0.6 mm"' in file_of(again)
    finally:
        again.close()


def test_a_journal_that_cannot_be_read_is_put_aside(tiny_folder: Path, tiny):
    place = tiny_folder / ".coachwork" / "session.json"
    place.parent.mkdir()
    place.write_text('{"format": 1, "drafts": [', encoding="utf-8")
    session = Session(tiny_folder, plan=tiny.plan())
    session.close()
    assert session.drafts == {}
    assert place.with_suffix(".unreadable").read_text(encoding="utf-8").startswith('{"format"')


def test_edits_while_answers_are_worked_out_are_answered_last(tiny_folder: Path, tiny):
    """The answers in hand at an edit are given up; the last edit's are those that stay."""
    begun, go = threading.Event(), threading.Event()
    given_up = []

    def slow(build, *, plan, only, progress, cancelled):
        begun.set()
        go.wait(10)
        given_up.append(cancelled())
        return examine(build, plan=plan, only=only, progress=progress, cancelled=cancelled)

    session = Session(tiny_folder, plan=tiny.plan(), look=slow)
    try:
        assert begun.wait(10)
        for millimetres in ("412", "413", "414"):
            assert session.edit("shell.length", millimetres, seen=held_by(session, "shell.length")).saved
        go.set()
        assert value(session, "sized.length") == pytest.approx(4.0)
        assert given_up[0]
    finally:
        session.close()


def held_by(session: Session, key: str) -> str | None:
    from coachwork.workbench.merging import held

    return held(session.text, key)


def test_a_study_that_breaks_ends_neither_session_nor_editing(tiny_folder: Path, tiny):
    def broken(build, *, plan, only, progress, cancelled):
        raise ZeroDivisionError("no such wheel")

    session = Session(tiny_folder, plan=tiny.plan(), look=broken)
    try:
        assert session.settled()
        assert session.answers.wrong == "ZeroDivisionError: no such wheel"
        assert session.edit("shell.length", "413", seen="411 ± 0.6 mm").saved
    finally:
        session.close()


def test_the_journal_holds_no_more_than_its_steps(opened: Session, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("coachwork.workbench.journal.MOST_STEPS", 4)
    for i in range(7):
        now = held_by(opened, "shell.length")
        assert opened.edit("shell.length", f"{400 + i % 2}", seen=now).saved
    kept = json.loads((opened.folder / ".coachwork" / "session.json").read_text(encoding="utf-8"))
    assert len(kept["undo"]) == 4


def test_what_can_be_turned_is_found_once_it_is_quiet(tiny_folder: Path, tiny, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("coachwork.workbench.session.QUIET_S", 0.3)
    session = Session(tiny_folder, plan=tiny.plan())
    try:
        wait_until(lambda: "sized" in session.answers.levers)
        assert [lever.key for lever in session.answers.levers["sized"]["sized.length"]] == ["build.scale"]
    finally:
        session.close()


@pytest.fixture
def watched(tiny_folder: Path, tiny):
    """A session, what it was asked to look at (all: None) and to weigh, and what was shown each time, by verdict."""
    asked: list[object] = []
    shown: list[dict[str, Verdict]] = []

    def look(build, *, plan, only, progress, cancelled):
        asked.append(None if only is None else list(only))
        return first_look(build, plan=plan, only=only, progress=progress, cancelled=cancelled)

    def weigh(build, *, plan, only, progress, cancelled):
        asked.append("weighed")
        return examine(build, plan=plan, only=only, progress=progress, cancelled=cancelled)

    session = Session(tiny_folder, plan=tiny.plan(), look=look, answer=weigh)
    session.listen(
        lambda news: (
            shown.append({one.id: one for one in session.answers.report.verdicts}) if news == "answers" else None
        )
    )
    assert session.settled()
    yield session, asked, shown
    session.close()


def test_what_a_number_touches_is_shown_first_then_the_rest_then_chances(watched):
    session, asked, shown = watched
    assert asked == [["sized"], ["stretched"], None, "weighed"]  # in the builder's order, then all
    asked.clear(), shown.clear()

    session.edit("running-gear.wheelbase", "268", seen="267 ± 0.3 mm")  # which only the second reads

    assert session.settled()
    assert asked == [["stretched"], None, "weighed"]
    touched, last = shown[0], shown[-1]
    assert touched["stretched.amount"].value == last["stretched.amount"].value == pytest.approx(290 - 268 + 0.5)
    assert [one.weighed for one in touched.values()] == [True, True, False]
    assert all(one.weighed for one in last.values())
    assert list(touched) == list(last) == ["sized.length", "sized.width", "stretched.amount"]


def test_what_is_not_weighed_yet_does_not_turn_and_turn_back(watched):
    """411.45 is tight by its chance alone; of 411.4 the chance is not known yet, but that it was tight."""
    session, _, shown = watched
    session.edit("shell.length", "411.45 ± 0.6 mm", seen="411 ± 0.6 mm")
    assert session.settled()
    assert shown[-1]["sized.length"].state == "tight"
    shown.clear()

    session.edit("shell.length", "411.4 ± 0.6 mm", seen="411.45 ± 0.6 mm")
    assert session.settled()

    assert [one["sized.length"].state for one in shown] == ["tight"] * len(shown)
    assert not shown[0]["sized.length"].weighed


def test_a_verdict_that_is_cured_holds_until_its_chance_says_more(watched):
    session, _, shown = watched
    session.edit("shell.length", "415 ± 0.6 mm", seen="411 ± 0.6 mm")
    assert session.settled()
    shown.clear()

    session.edit("shell.length", "411.45 ± 0.6 mm", seen="415 ± 0.6 mm")
    assert session.settled()

    states = [(one["sized.length"].state, one["sized.length"].weighed) for one in shown]
    assert states[0] == ("holds", False)
    assert states[-1] == ("tight", True)


def test_an_edit_stops_a_weighing_that_is_under_way_and_the_end_is_that_of_the_file_alone(tiny_folder: Path, tiny):
    weighing, go, stopped = threading.Event(), threading.Event(), []

    def slow(build, *, plan, only, progress, cancelled):
        weighing.set()
        go.wait(10)
        stopped.append(cancelled())
        return examine(build, plan=plan, only=only, progress=progress, cancelled=cancelled)

    session = Session(tiny_folder, plan=tiny.plan(), answer=slow)
    try:
        assert weighing.wait(10)
        assert session.edit("shell.length", "412 ± 0.6 mm", seen="411 ± 0.6 mm").saved
        go.set()
        assert session.settled()
        assert stopped == [True, False]
        assert session.answers.report.verdicts == examine(session.build, plan=tiny.plan()).verdicts
    finally:
        session.close()
