"""`coachwork papers`: what is written where, and never over anything of the builder's."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coachwork.cli import main
from coachwork.papers import binder, filing
from coachwork.papers.binder import PAPERS
from coachwork.papers.filing import LIST, write_papers
from coachwork.papers.sheet import Sheet

FIVE = '[build]\nname = "Five"\n[prototype]\nwheelbase = 2720\n[shell]\nwheelbase = 272.1\nwidth = 182.9\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small build on disk."""
    (tmp_path / "van").mkdir()
    (tmp_path / "van" / "build.toml").write_text(FIVE, encoding="utf-8")
    return tmp_path / "van"


def test_all_papers_are_written_into_their_own_folder(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", str(folder)]) == 0

    printed = capsys.readouterr().out
    made = {file.stem for file in (folder / "papers").glob("*.pdf")}
    assert made == set(PAPERS)
    assert all(f"{name}.pdf" in printed for name in PAPERS)
    assert "100 %" in printed
    assert (folder / "build.toml").read_text("utf-8") == FIVE
    assert {file.name for file in folder.iterdir()} == {"build.toml", "papers"}


def test_only_some_papers_leave_the_others_alone(folder: Path) -> None:
    main(["papers", str(folder), "--only", "run-log", "--only", "cut-list"])
    assert {file.stem for file in (folder / "papers").glob("*.pdf")} == {"run-log", "cut-list"}

    main(["papers", str(folder), "--only", "report"])
    assert {file.stem for file in (folder / "papers").glob("*.pdf")} == {"run-log", "cut-list", "report"}


def test_a_paper_that_there_is_not_is_told_with_the_nearest(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["papers", str(folder), "--only", "wiring"]) == 2

    assert "did you mean wiring-sheet?" in capsys.readouterr().err
    assert not (folder / "papers").exists()


def test_inches_and_letter_paper_by_option_and_by_the_build_file(folder: Path) -> None:
    main(["papers", str(folder), "--only", "report", "--to", str(folder / "mm")])
    main(["papers", str(folder), "--only", "report", "--to", str(folder / "in"), "--units", "in"])
    (folder / "build.toml").write_text(FIVE + '[measuring]\nshown-in = "in"\n', encoding="utf-8")
    main(["papers", str(folder), "--only", "report", "--to", str(folder / "own")])
    main(["papers", str(folder), "--only", "report", "--to", str(folder / "letter"), "--paper", "letter"])

    mm, inches, own, letter = ((folder / name / "report.pdf").read_bytes() for name in ("mm", "in", "own", "letter"))
    assert own == inches != mm
    assert letter != own


def test_a_file_of_the_builders_own_is_left_alone_and_nothing_is_written(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = folder / "papers" / "report.pdf"
    own.parent.mkdir()
    own.write_bytes(b"my own report")

    assert main(["papers", str(folder)]) == 2

    assert "report.pdf" in capsys.readouterr().err
    assert own.read_bytes() == b"my own report"
    assert list(own.parent.iterdir()) == [own]


def test_a_paper_that_the_builder_changed_is_left_alone(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["papers", str(folder), "--only", "run-log"])
    paper = folder / "papers" / "run-log.pdf"
    paper.write_bytes(paper.read_bytes() + b"% scribbled on\n")

    assert main(["papers", str(folder)]) == 2
    assert "left alone" in capsys.readouterr().err
    assert paper.read_bytes().endswith(b"% scribbled on\n")
    assert main(["papers", str(folder), "--to", str(folder / "elsewhere")]) == 0


def test_papers_are_renewed_when_the_build_changes(folder: Path) -> None:
    main(["papers", str(folder)])
    before = (folder / "papers" / "report.pdf").read_bytes()
    (folder / "build.toml").write_text(FIVE.replace("272.1", "275.5"), encoding="utf-8")

    assert main(["papers", str(folder)]) == 0

    assert (folder / "papers" / "report.pdf").read_bytes() != before
    listed = json.loads((folder / "papers" / LIST).read_text("utf-8"))
    assert all(len(prints) == 1 for prints in listed.values())


def test_what_is_no_longer_drawn_goes_unless_it_was_changed(tmp_path: Path) -> None:
    write_papers({"a.pdf": b"1", "templates/b.svg": b"2", "templates/c.svg": b"3"}, tmp_path)
    (tmp_path / "templates" / "c.svg").write_bytes(b"3, changed")

    write_papers({"a.pdf": b"9"}, tmp_path, all_there_are=True)

    assert (tmp_path / "a.pdf").read_bytes() == b"9"
    assert not (tmp_path / "templates" / "b.svg").exists()
    assert (tmp_path / "templates" / "c.svg").read_bytes() == b"3, changed"


def test_a_run_stopped_between_two_files_can_be_run_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_papers({"a.pdf": b"old a", "b.pdf": b"old b"}, tmp_path)
    whole = filing.write_whole

    def stopped(path: Path, content: str | bytes) -> None:
        if path.name == "b.pdf":
            raise KeyboardInterrupt
        whole(path, content)

    monkeypatch.setattr(filing, "write_whole", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_papers({"a.pdf": b"new a", "b.pdf": b"new b"}, tmp_path)
    monkeypatch.undo()
    assert (tmp_path / "b.pdf").read_bytes() == b"old b"

    write_papers({"a.pdf": b"newer a", "b.pdf": b"newer b"}, tmp_path)

    assert [(tmp_path / name).read_bytes() for name in ("a.pdf", "b.pdf")] == [b"newer a", b"newer b"]


def test_a_folder_that_cannot_be_written_is_told(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (folder / "papers").write_text("a file where the folder would be", encoding="utf-8")

    assert main(["papers", str(folder), "--only", "run-log"]) == 2

    assert "papers" in capsys.readouterr().err
    assert (folder / "papers").read_text("utf-8") == "a file where the folder would be"


def test_ctrl_c_stops_it_and_leaves_nothing_half_written(
    folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Stopped while the last paper is made: none of those made before is written."""

    def stopped(of: object) -> Sheet:
        raise KeyboardInterrupt

    monkeypatch.setattr(binder, "PAPERS", {**PAPERS, "assumptions": stopped})

    assert main(["papers", str(folder)]) == 130

    assert "Stopped" in capsys.readouterr().err
    assert not (folder / "papers").exists()
