"""`coachwork trim` on the demonstration van: what it writes, what it says, how it ends."""

from pathlib import Path

from coachwork.cli import main

VANS = Path(__file__).parents[2] / "examples" / "harbour-mail-van"


def test_cut_lines_are_written_where_a_tyre_is_too_near(capsys, tmp_path):
    assert main(["trim", str(VANS / "as-found"), "--to", str(tmp_path)]) == 1

    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "front-left.dxf", "front-left.svg", "front-right.dxf", "front-right.svg",
    ]  # fmt: skip
    said = capsys.readouterr().out
    assert "front left tyre: overlaps the shell by 0.9 mm, wanted 0.5 mm" in said
    assert "a bump stop" in said
    assert "rear" not in said


def test_a_gap_that_is_no_length_is_refused(capsys, tmp_path):
    assert main(["trim", str(VANS / "as-finished"), "--gap", "wide", "--to", str(tmp_path)]) == 2
    assert "--gap wide" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_where_no_tyre_can_be_looked_at_nothing_is_said_to_clear(capsys, tmp_path):
    (tmp_path / "build.toml").write_text("[shell]\nwidth = 180\n", encoding="utf-8")

    assert main(["trim", str(tmp_path)]) == 1

    told = capsys.readouterr().out
    assert "No tyre could be held against the shell." in told
    assert "clears" not in told


def test_where_all_is_clear_nothing_is_written(capsys, tmp_path):
    assert main(["trim", str(VANS / "as-finished"), "--to", str(tmp_path)]) == 0
    assert "nothing to cut" in capsys.readouterr().out
    assert list(tmp_path.iterdir()) == []
