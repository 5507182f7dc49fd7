"""The process that finite elements run in: what it refuses, what it keeps, and how it is stopped."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.elasticity import process
from coachwork.elasticity.fittings import Bore, Fitting, Land, Strip, fitting_json, fitting_of
from coachwork.elasticity.flexibility import load
from coachwork.elasticity.job import Wanted, content_of, key_of
from coachwork.elasticity.process import NotComputed, SolverFailed, flexibility_of
from coachwork.elasticity.surface import beside, load_surface

ALONG = (1.0, 0.0, 0.0)
ENDS = tuple(
    Fitting(name=name, patches=(Land(at_mm=(x, 0.0, 0.0), normal=ALONG, radius_mm=3.9),))
    for name, x in (("a", 0.0), ("b", 100.0))
)


@pytest.fixture
def wanted(solids: Path) -> Wanted:
    """A coarse look at a bar."""
    return Wanted(path=solids / "bar.step", poisson=0.3, fittings=ENDS, blocks={}, accuracy=0.2,
                  watch={"twist": {"a": (0, 0, 0, -1, 0, 0), "b": (0, 0, 0, 1, 0, 0)}})  # fmt: skip


def test_what_it_finds_is_kept_and_read_back(wanted: Wanted, tmp_path: Path):
    told: list[str] = []

    kept = flexibility_of(wanted, tmp_path / "bar.npz", lambda words: told.append(words) if words else None, threads=1)

    again = load(tmp_path / "bar.npz")
    assert again is not None
    assert again.fittings == ("a", "b")
    assert np.array_equal(again.by_load, kept.by_load)
    assert "meshing" in told
    assert any("elements" in words for words in told)


def test_a_file_of_two_solids_is_no_part(wanted: Wanted, solids: Path, tmp_path: Path):
    with pytest.raises(NotComputed, match="2 solids in it; a part is one solid"):
        flexibility_of(replace(wanted, path=solids / "two.step"), tmp_path / "two.npz")


def test_a_screw_where_there_is_no_surface_is_named(wanted: Wanted, tmp_path: Path):
    away = Fitting(name="front-bolts.left", patches=(Land(at_mm=(50.0, 30.0, 4.0), normal=(0, 0, 1), radius_mm=3.0),))
    with pytest.raises(NotComputed, match=r"front-bolts.left: the solid has no surface to fasten to at \(50, 30, 4\)"):
        flexibility_of(replace(wanted, fittings=(*ENDS, away)), tmp_path / "away.npz")


def test_a_load_that_carries_it_away_is_refused(wanted: Wanted, tmp_path: Path):
    with pytest.raises(NotComputed, match=r"leaves .* of itself unbalanced"):
        flexibility_of(replace(wanted, watch={"pull": {"a": (1, 0, 0, 0, 0, 0)}}), tmp_path / "pull.npz")


def test_a_file_that_is_no_step_is_told_in_words(wanted: Wanted, tmp_path: Path):
    broken = tmp_path / "broken.step"
    broken.write_text("not a drawing", "ascii")
    with pytest.raises((NotComputed, SolverFailed)):
        flexibility_of(replace(wanted, path=broken), tmp_path / "broken.npz")
    assert not (tmp_path / "broken.npz").exists()


def test_stopped_it_ends_and_leaves_nothing(wanted: Wanted, tmp_path: Path):
    class Stopped(Exception):
        pass

    def stop(_: str) -> None:
        raise Stopped

    with pytest.raises(Stopped):
        flexibility_of(wanted, tmp_path / "bar.npz", stop)
    assert list(tmp_path.iterdir()) == []


def test_a_crash_is_told_in_words(wanted: Wanted, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """The worker killed by a signal, as a crashing solver is."""
    crash = tmp_path / "python"
    crash.write_text("#!/bin/sh\necho 'Segmentation fault' >&2\nkill -SEGV $$\n", "ascii")
    crash.chmod(0o755)
    monkeypatch.setattr(process.sys, "executable", str(crash))
    with pytest.raises(SolverFailed, match=r"was ended by signal 11 and left no result; its last words: Segmentation"):
        flexibility_of(wanted, tmp_path / "bar.npz")


def test_results_are_found_by_the_solid_and_not_by_when_it_was_written(tmp_path: Path, wanted: Wanted):
    head = "ISO-10303-21;\nHEADER;\nFILE_NAME('a','{}');\nENDSEC;\nDATA;\n#1=X({});\nENDSEC;\n"
    for name, when, what in (("a", "monday", 1), ("b", "tuesday", 1), ("c", "monday", 2)):
        (tmp_path / f"{name}.step").write_text(head.format(when, what), "ascii")
    a, b, c = (content_of(tmp_path / f"{name}.step") for name in "abc")

    assert a == b != c
    moved = replace(wanted, path=tmp_path / "elsewhere.step")
    assert key_of(wanted, a) == key_of(moved, b) != key_of(wanted, c)
    assert key_of(wanted, a) != key_of(replace(wanted, poisson=0.31), a)


def test_every_patch_comes_back_from_plain_data():
    patches = (
        Land(at_mm=(1.0, 2.0, 3.0), normal=ALONG, radius_mm=2.0),
        Bore(at_mm=(1.0, 2.0, 3.0), axis=ALONG, radius_mm=2.0, length_mm=5.0),
        Strip(at_mm=(1.0, 2.0, 3.0), normal=ALONG, along=(0.0, 1.0, 0.0), length_mm=5.0, width_mm=2.0),
    )
    assert fitting_of(fitting_json(Fitting(name="all", patches=patches))).patches == patches


def test_the_surface_of_a_bent_bar_is_stressed_as_the_beam_is_and_found_beside_the_result(
    wanted: Wanted, tmp_path: Path
):
    """Euler and Bernoulli: M c / I, bent both ways at once, so that two of its edges bear more than the other two.

    Bar 10 (y) x 8 (z), couples about y and z. In the middle half, off the patches that bring the couples in
    (St. Venant). Second-order elements hold a bent beam's field itself: 1 %, of which 0.01 % was seen.
    """
    couple = {"a": (0, 0, 0, 0, -1, -1), "b": (0, 0, 0, 0, 1, 1)}

    flexibility_of(replace(wanted, watch={"bending": couple}), tmp_path / "bar.npz", threads=1)

    surface = load_surface(beside(tmp_path / "bar.npz"))
    assert surface is not None
    assert surface.watched == ("bending",)
    middle = np.abs(surface.places_mm[:, 0] - 50) < 25
    _, y, z = surface.places_mm[middle].T
    beam = np.abs(z / (10 * 8**3 / 12) - y / (8 * 10**3 / 12))
    assert beam.max() > 5 * beam.min() > 0
    assert surface.stress_mpa[0][middle] == pytest.approx(beam, rel=0.01)
    # The triangles close: every edge belongs to two of them.
    edges = np.sort(surface.triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    assert (np.unique(edges, axis=0, return_counts=True)[1] == 2).all()


def test_a_surface_that_is_not_there_or_is_no_such_file_is_none(tmp_path: Path):
    assert load_surface(tmp_path / "none.surface") is None
    (tmp_path / "odd.surface").write_bytes(b"something else")
    assert load_surface(tmp_path / "odd.surface") is None


@pytest.mark.parametrize(("said", "threads"), [("1", 1), ("3", 3), ("", 2), ("0", 2), ("4,2", 4), (None, 2)])
def test_as_many_threads_as_the_environment_says(monkeypatch: pytest.MonkeyPatch, said: str | None, threads: int):
    """OpenMP 5.2, 21.2: the number wanted, or a list of them for each level of nesting, the outermost first."""
    monkeypatch.setattr(process.os, "cpu_count", lambda: 8)
    if said is None:
        monkeypatch.delenv("OMP_NUM_THREADS", raising=False)
    else:
        monkeypatch.setenv("OMP_NUM_THREADS", said)
    assert process.usual_threads() == threads
