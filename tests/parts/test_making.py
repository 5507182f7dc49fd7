"""Making: nothing twice, nothing half, stopped when asked, and a crash that is told in words."""

from __future__ import annotations

import importlib.metadata
import re
import time
from pathlib import Path

import pytest

from coachwork.build import read, read_text, with_entry
from coachwork.errors import CoachworkError
from coachwork.parts import making
from coachwork.parts.making import make_all
from coachwork.parts.store import edition, place_of
from coachwork.plan.made import made_parts
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.tables import PartTables

BUILD = """
[making]
process = "powder-bed nylon"
[changes]
front.hub-spacer = 2.0
[parts]
make = "front-hub-spacer, light-housings"
[parts.front-hub-spacer]
bore = 5.0
outside = 12.0
[parts.light-housings]
lamp = { lens = 12.0, depth = 8.0 }
"""
AT_HAND = pytest.mark.usefixtures("cad_at_hand")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "build.toml").write_text(BUILD, encoding="utf-8")
    return tmp_path


def go(folder: Path, **options):
    build = read(folder)
    told: list[tuple[str, str]] = []
    wanted = every_part(PartTables.of(build))
    return make_all(build, wanted, tell=lambda part, doing: told.append((part, doing)), **options), told


def test_the_second_run_makes_nothing_and_starts_no_process(folder, monkeypatch):
    first, told = go(folder)
    assert set(first.seconds) == set(first.parts) == {"front-hub-spacer", "housing-lamp"}
    assert ("housing-lamp", "measuring") in told
    before = {path: path.stat().st_mtime_ns for path in (folder / ".coachwork").rglob("*.step")}

    monkeypatch.setattr(making.subprocess, "Popen", lambda *_, **__: pytest.fail("a process was started"))
    second, told = go(folder)

    assert second.seconds == {}
    assert told == []
    assert second.parts == first.parts
    assert {path: path.stat().st_mtime_ns for path in before} == before


@AT_HAND
def test_only_what_changed_is_made_again(folder):
    go(folder)
    (folder / "build.toml").write_text(with_entry(BUILD, "parts.front-hub-spacer.bore", "6.0"), encoding="utf-8")

    again, _ = go(folder)

    assert set(again.seconds) == {"front-hub-spacer"}
    assert again.parts["front-hub-spacer"].holes[0].diameter_mm == 6.0


@AT_HAND
def test_making_one_part_leaves_the_others_made(folder):
    go(folder)
    (folder / "build.toml").write_text(with_entry(BUILD, "parts.front-hub-spacer.bore", "6.0"), encoding="utf-8")
    build = read(folder)
    spacer = [each for each in every_part(PartTables.of(build)) if each.name == "front-hub-spacer"]

    outcome = make_all(build, spacer, tell=lambda _, __: None)

    assert set(outcome.parts) == {"front-hub-spacer"}
    assert set(made_parts(build).parts) == {"front-hub-spacer", "housing-lamp"}


@AT_HAND
def test_a_change_taken_back_finds_the_old_part(folder):
    go(folder)
    (folder / "build.toml").write_text(with_entry(BUILD, "parts.front-hub-spacer.bore", "6.0"), encoding="utf-8")
    go(folder)
    (folder / "build.toml").write_text(BUILD, encoding="utf-8")

    assert go(folder)[0].seconds == {}


@AT_HAND
def test_the_same_spec_gives_the_same_step_bytes(folder, tmp_path_factory):
    other = tmp_path_factory.mktemp("other")
    (other / "build.toml").write_text(BUILD, encoding="utf-8")

    one, two = go(folder)[0], go(other)[0]

    assert {n: p.content for n, p in one.parts.items()} == {n: p.content for n, p in two.parts.items()}


def test_stopped_at_once_it_leaves_no_part_half_made(folder):
    start = time.monotonic()

    outcome, _ = go(folder, wanted_still=lambda: time.monotonic() - start < 0.5)

    assert time.monotonic() - start < 20, "terminated, not waited for: drawing alone takes the CAD seconds to load"
    assert outcome.refused == {}
    for wanted in every_part(PartTables.of(read(folder))):
        place = place_of(wanted, folder)
        assert (wanted.name in outcome.parts) == (place / "part.json").exists()


def test_where_the_cad_kernel_is_not_installed_what_to_install_is_told(folder, monkeypatch):
    def nowhere(name):
        raise importlib.metadata.PackageNotFoundError(name)

    monkeypatch.setattr(importlib.metadata, "version", nowhere)
    edition.cache_clear()
    with pytest.raises(CoachworkError, match=re.escape("pip install 'coachwork[parts]'")):
        go(folder)


def test_a_worker_that_dies_is_told_in_words(folder, monkeypatch):
    real = making.subprocess.Popen

    def dies(command, **options):
        return real([command[0], "-c", "import os, sys; sys.stderr.write('kernel fell over'); os._exit(7)"], **options)

    monkeypatch.setattr(making.subprocess, "Popen", dies)

    with pytest.raises(CoachworkError, match="ended with status 7: kernel fell over"):
        go(folder)


@AT_HAND
def test_the_record_survives_the_folder_being_moved(folder, tmp_path_factory):
    go(folder)
    moved = tmp_path_factory.mktemp("new") / "van"
    folder.rename(moved)

    parts = made_parts(read(moved)).parts

    assert all(Path(part.step).is_file() and Path(part.mesh).is_file() for part in parts.values())
    assert len(parts) == 2


@AT_HAND
def test_a_record_of_another_format_is_none(folder):
    go(folder)
    (folder / ".coachwork" / "parts" / "made.json").write_text('{"format": 99, "parts": []}', encoding="utf-8")

    assert made_parts(read(folder)).parts == {}


def test_a_part_without_its_numbers_names_them():
    tables = PartTables.of(read_text(BUILD.replace("bore = 5.0\n", ""), Path("build.toml")))

    spacer = next(each for each in every_part(tables) if each.name == "front-hub-spacer")

    assert spacer.fingerprint is None
    assert spacer.spec.keys == ("parts.front-hub-spacer.bore",)
