"""A structural door on a tray of 240 x 90 mm: what it gives, bounded both ways."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coachwork.elasticity.process import flexibility_of
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.assembly import Frame, Way
from coachwork.studies.structure.jobs import job_of
from coachwork.studies.structure.strengths import Strengths
from coachwork.studies.structure.trials import effect


@pytest.fixture(scope="module")
def one_piece(frame: Frame, trays: Path, tray_part: Callable[..., PartSolid]) -> Frame:
    """The tray with its door fused to it."""
    welded = replace(tray_part(trays, file="bonded.step"), pads=())
    kept = flexibility_of(replace(job_of(welded), accuracy=0.02), trays / "welded.npz", threads=1)
    return Frame(strengths=Strengths(parts={"chassis": welded}, kept={"chassis": kept}), modulus_mpa=frame.modulus_mpa)


def test_a_door_lies_between_none_and_one_piece(frame: Frame, one_piece: Frame):
    """By the principle of least work, each further tie can but stiffen; one piece with the tray is the end of it."""
    ways: tuple[Way, ...] = ("open", "pushed", "slides", "tied", "bonded")
    open_, pushed, slides, tied, bonded = (frame.twist_nmm_per_deg(way) for way in ways)
    whole = one_piece.twist_nmm_per_deg("open")

    assert open_ < pushed < tied < bonded < whole
    assert open_ < slides < tied
    assert slides > 2 * pushed - open_  # the door's work needs its lips held down more than held aside
    assert tied > 1.3 * open_  # lips that hold make a structural door
    assert pushed < 1.05 * open_  # lips that only push, with nothing to hold it down, hardly do


def test_second_order_is_within_two_per_cent_of_third_on_tray_and_door(strengths: Strengths):
    for kept in strengths.kept.values():
        assert (kept.watch_error > 0).all()  # by the principle of least work
        assert (kept.watch_error <= 0.02).all()
        assert kept.imbalance < 1e-8


def test_a_coarse_mesh_errs_by_less_than_it_says(frame: Frame, trays: Path, tray_part: Callable[..., PartSolid]):
    """What the third order's correction leaves is told as half of it; the fine mesh shows how much it is."""
    job = replace(job_of(replace(tray_part(trays), pads=())), accuracy=0.2, coarseness=2.0)
    kept = flexibility_of(job, trays / "coarse.npz", threads=1)
    coarse = Frame(strengths=Strengths(parts=frame.strengths.parts, kept={"chassis": kept}),
                   modulus_mpa=frame.modulus_mpa)  # fmt: skip

    assert kept.left > 0.03  # there is something to be wrong by
    assert coarse.twist_nmm_per_deg("open") == pytest.approx(frame.twist_nmm_per_deg("open"), rel=kept.left)
    assert coarse.sag_mm_per_n("open") == pytest.approx(frame.sag_mm_per_n("open"), rel=kept.left)


def test_an_effect_is_known_as_well_as_it_says(
    frame: Frame, one_piece: Frame, trays: Path, tray_part: Callable[..., PartSolid]
):
    """By how much fusing the door on stiffens the tray: by two coarse meshes, and by two fine ones."""
    coarse = []
    for name, file in (("tray", "tray.step"), ("whole", "bonded.step")):
        part = replace(tray_part(trays, file=file), pads=())
        job = replace(job_of(part), accuracy=0.2, coarseness=2.0)
        kept = flexibility_of(job, trays / f"{name}-coarse.npz", threads=1)
        coarse.append(Frame(strengths=Strengths(parts={"chassis": part}, kept={"chassis": kept}),
                            modulus_mpa=frame.modulus_mpa))  # fmt: skip

    rough, fine = (effect(*(stiffness(each) for each in pair)) for pair in (coarse, (frame, one_piece)))

    assert rough.unsure > fine.unsure  # there is something to be wrong by
    assert rough.times == pytest.approx(fine.times, rel=rough.unsure + fine.unsure)


def stiffness(frame: Frame) -> tuple[float, float]:
    return frame.twist_nmm_per_deg("open"), frame.chassis.error("twist")


def test_it_sags_less_with_the_door_on(frame: Frame):
    assert frame.sag_mm_per_n("pushed") < frame.sag_mm_per_n("open")


def test_twist_grows_with_the_modulus(frame: Frame):
    stiffer = Frame(strengths=frame.strengths, modulus_mpa={n: 2 * value for n, value in frame.modulus_mpa.items()})
    assert stiffer.twist_nmm_per_deg("pushed") == pytest.approx(2 * frame.twist_nmm_per_deg("pushed"))
