"""A structural door on a tray of 240 x 90 mm: what it gives, bounded both ways."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coachwork.elasticity.process import flexibility_of
from coachwork.studies.solids import PartSolid
from coachwork.studies.structure.assembly import Frame
from coachwork.studies.structure.jobs import job_of
from coachwork.studies.structure.strengths import Strengths


def test_a_door_lies_between_none_and_one_piece(frame: Frame, trays: Path, tray_part: Callable[..., PartSolid]):
    """By the principle of least work, each further tie can but stiffen; one piece with the tray is the end of it."""
    welded = replace(tray_part(trays, file="bonded.step"), pads=())
    one_piece = Frame(
        strengths=Strengths(
            parts={"chassis": welded},
            kept={"chassis": flexibility_of(replace(job_of(welded), accuracy=0.05), trays / "welded.npz", threads=1)},
        ),
        modulus_mpa=frame.modulus_mpa,
    )

    open_, pushed, tied, bonded = (frame.twist_nmm_per_deg(way) for way in ("open", "pushed", "tied", "bonded"))
    whole = one_piece.twist_nmm_per_deg("open")

    assert open_ < pushed < tied < bonded < whole
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


def test_it_sags_less_with_the_door_on(frame: Frame):
    assert frame.sag_mm_per_n("pushed") < frame.sag_mm_per_n("open")


def test_twist_grows_with_the_modulus(frame: Frame):
    stiffer = Frame(strengths=frame.strengths, modulus_mpa={n: 2 * value for n, value in frame.modulus_mpa.items()})
    assert stiffer.twist_nmm_per_deg("pushed") == pytest.approx(2 * frame.twist_nmm_per_deg("pushed"))
