"""`coachwork plot`, `demo` and `schema`."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path

import jsonschema
import pytest

from coachwork.build import read
from coachwork.build.json_schema import build_schema
from coachwork.build.sections.outline import Shell
from coachwork.cli import main
from coachwork.cli.demo import copy_out, example, make_scans
from coachwork.confidence.json_schema import report_schema
from coachwork.errors import CoachworkError


def test_plot_writes_every_chart_and_says_where(capsys, tiny, tiny_folder):
    assert main(["plot", str(tiny_folder)], plan=tiny.plan()) == 0

    told = " ".join(capsys.readouterr().out.split())
    assert told == f"1 drawing in {tiny_folder}/charts: sized.error.svg Error along the shell"
    assert ET.parse(tiny_folder / "charts" / "sized.error.svg").getroot().tag.endswith("svg")


def test_plot_writes_elsewhere_and_over_its_own(tiny, tiny_folder, tmp_path):
    for _ in range(2):
        assert main(["plot", str(tiny_folder), "--to", str(tmp_path / "a" / "b")], plan=tiny.plan()) == 0
    assert [path.name for path in (tmp_path / "a" / "b").iterdir()] == ["sized.error.svg"]


def test_plot_without_anything_to_draw_says_what_is_missing(capsys, tiny, tiny_folder):
    (tiny_folder / "build.toml").write_text("[build]\nscale = 0.1")
    assert main(["plot", str(tiny_folder)], plan=tiny.plan()) == 0

    assert " ".join(capsys.readouterr().out.split()) == (
        "Nothing to draw yet. sized needs prototype.length, prototype.width, shell.length and shell.width. "
        "stretched needs running-gear.wheelbase and shell.wheelbase. coachwork check says what to measure first."
    )
    assert not (tiny_folder / "charts").exists()


def test_demo_copies_checks_draws_and_says_where(capsys, tmp_path):
    place = tmp_path / "van"
    assert main(["demo", str(place)]) == 0

    out = capsys.readouterr().out
    for build in ("as-found", "as-finished"):
        results = place / build / "results"
        assert str(results) in out
        report = json.loads((results / "report.json").read_text("utf-8"))
        jsonschema.validate(report, report_schema(), cls=jsonschema.Draft202012Validator)
        assert list((results / "charts").glob("*.svg"))
        written_for = ("likeness", "stance", "linkage", "radio")  # a new study may find even the finished van wanting
        states = {verdict["state"] for verdict in report["verdicts"] if verdict["study"] in written_for}
        assert ("fails" in states) == (build == "as-found")
    assert (place / "README.md").is_file()


def test_demo_can_be_run_again_but_not_over_changed_files(capsys, tmp_path, tiny):
    assert main(["demo", str(tmp_path)], plan=tiny.plan()) == 0
    assert main(["demo", str(tmp_path)], plan=tiny.plan()) == 0
    file = tmp_path / "as-found" / "build.toml"
    file.write_text(file.read_text("utf-8") + "\n# mine\n", encoding="utf-8")
    capsys.readouterr()

    assert main(["demo", str(tmp_path)], plan=tiny.plan()) == 2
    assert (
        capsys.readouterr().err
        == f"""\
changed since they were copied out, and left alone:
  {file}
name another folder
"""
    )
    assert file.read_text("utf-8").endswith("# mine\n")


def test_demo_makes_the_scans_that_its_builds_name(tmp_path, tiny):
    place = tmp_path / "van"
    assert main(["demo", str(place)], plan=tiny.plan()) == 0
    for build in ("as-found", "as-finished"):
        folder = place / build
        assert read(folder)[Shell].mesh == "shell.stl"
        assert (folder / "shell.stl").stat().st_size > 200_000 * 50  # bytes of a triangle in a binary STL
        assert not list(folder.glob("*.part"))
    (place / "as-found" / "shell.stl").write_bytes(b"the builder's own")
    assert main(["demo", str(place)], plan=tiny.plan()) == 0
    assert (place / "as-found" / "shell.stl").read_bytes() == b"the builder's own"


def test_demo_without_scans_is_checked_all_the_same(capsys, tmp_path, tiny):
    assert main(["demo", str(tmp_path), "--without-scans"], plan=tiny.plan()) == 0
    assert not list(tmp_path.rglob("*.stl"))
    assert "as finished" in capsys.readouterr().out


def test_a_scan_that_cannot_be_made_is_told_and_leaves_nothing_behind(tmp_path):
    (tmp_path / "make_shell.py").write_text("raise SystemExit('no room on the disk')", encoding="utf-8")
    (tmp_path / "as-found").mkdir()
    with pytest.raises(CoachworkError, match=r"shell\.stl could not be made: no room on the disk"):
        make_scans(tmp_path)
    assert not list((tmp_path / "as-found").iterdir())


def test_nothing_is_copied_when_one_file_differs(tmp_path):
    source, place = tmp_path / "source", tmp_path / "place"
    source.mkdir()
    place.mkdir()
    for name in "abc":
        (source / name).write_text("theirs")
    (place / "b").write_text("mine")

    with pytest.raises(CoachworkError, match="left alone"):
        copy_out(source, place)
    assert [path.name for path in place.iterdir()] == ["b"]


def test_the_example_has_both_builds_and_no_leftovers_of_a_run():
    found = {item.name for item in example().iterdir()}
    assert {"as-found", "as-finished", "README.md"} <= found


@pytest.mark.parametrize(
    ("what", "schema"), [([], build_schema), (["build"], build_schema), (["report"], report_schema)]
)
def test_schema_prints_the_schema(capsys, what, schema):
    assert main(["schema", *what]) == 0
    assert json.loads(capsys.readouterr().out) == schema()


def test_the_report_schema_is_one_and_refuses_what_is_no_report():
    jsonschema.Draft202012Validator.check_schema(report_schema())
    validator = jsonschema.Draft202012Validator(report_schema())
    report = {"format": 1, "build": {"name": "", "file": ""}, "verdicts": [], "next": [], "doubts": [], "results": {}}

    assert validator.is_valid(report)
    for change in ({"format": 2}, {"verdicts": [{"id": "a"}]}, {"build": {}}, {"results": {"linkage": 3}}):
        assert not validator.is_valid({**report, **change})


def test_the_documented_json_is_the_schema_s():
    """Every field named in docs/json.md is in the schema and the other way round."""
    page = (Path(__file__).parents[2] / "docs" / "json.md").read_text("utf-8")
    schema = report_schema()
    names = set(schema["properties"]) | {name for part in schema["$defs"].values() for name in part["properties"]}
    assert {name for name in names if f"`{name}`" not in page} == set()
