"""What colours the drawing, as it is sent: the study's own numbers, and what the finite elements kept."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.confidence import examine
from coachwork.elasticity.surface import SurfaceStress, beside, save_surface
from coachwork.plan.made import made_parts
from coachwork.plan.strengths import place_of
from coachwork.studies.clearance.room import room
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, Hole, PartSolid
from coachwork.studies.structure.drop import Landing
from coachwork.studies.structure.result import Drop
from coachwork.studies.watch import UNWATCHED
from coachwork.workbench.colours import room_colours
from coachwork.workbench.scene import scene_of
from coachwork.workbench.stresses import BEAD_MM, stress_surface, stress_told


def unpacked(raw: bytes) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """As `page/surface.js` reads it."""
    corners, triangles, rows = (int(count) for count in np.frombuffer(raw, "<u4", 3))
    faces_at = 12 + 12 * corners
    values_at = faces_at + 12 * triangles
    assert len(raw) == values_at + 4 * corners * rows
    return (
        np.frombuffer(raw, "<f4", 3 * corners, 12).reshape(-1, 3),
        np.frombuffer(raw, "<u4", 3 * triangles, faces_at).reshape(-1, 3),
        np.frombuffer(raw, "<f4", corners * rows, values_at).reshape(rows, -1),
    )


@pytest.fixture(scope="module")
def report():
    folder = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-found"
    return examine(read(folder), only=["clearance"])


def test_the_room_is_sent_as_the_study_has_it(report):
    coloured = room_colours(report, UNWATCHED)
    assert coloured is not None
    found = room(report.answers["clearance"].result.scene)
    still = [one["id"] for one in coloured.told["surfaces"] if one["rides"] is None]
    assert still == [at.key for at in found.at]
    for at in found.at:
        vertices, faces, (value, moving, travel, lock) = unpacked(coloured.surfaces[at.key])
        assert vertices == pytest.approx(at.vertices, abs=1e-4)
        assert (faces == at.faces).all()
        assert value == pytest.approx(at.room_mm, abs=1e-5, nan_ok=True)
        assert (moving == at.moving).all()
        assert np.stack([travel, lock], axis=-1) == pytest.approx(at.share[:, :2], abs=1e-6)
    assert json.loads(json.dumps(coloured.told, allow_nan=False)) == coloured.told


def test_the_tightest_places_lead_and_each_is_where_it_says(report):
    coloured = room_colours(report, UNWATCHED)
    assert coloured is not None
    worst = coloured.told["worst"]
    assert [one["value"] for one in worst] == sorted(one["value"] for one in worst)
    still = [one["id"] for one in coloured.told["surfaces"] if one["rides"] is None]
    least = min(float(np.nanmin(unpacked(coloured.surfaces[id])[2][0])) for id in still)
    assert worst[0]["value"] == pytest.approx(least, abs=0.006)
    for one in worst:
        value, moving, *_ = unpacked(coloured.surfaces[one["surface"]])[2]
        assert value[one["corner"]] == pytest.approx(one["value"], abs=0.006)
        assert coloured.told["moving"][int(moving[one["corner"]])]["name"] in one["words"]


def test_a_tyre_is_sent_as_a_surface_round_its_own_axle(report):
    coloured = room_colours(report, UNWATCHED)
    assert coloured is not None
    found = room(report.answers["clearance"].result.scene)
    turned = [one for one in coloured.told["surfaces"] if one["rides"] is not None]
    assert [one["rides"] for one in turned] == [f"{at.key} ring" for at in found.round]
    assert len(turned) == 4
    for one, at in zip(turned, found.round, strict=True):
        vertices, faces, (value, standing, *_) = unpacked(coloured.surfaces[one["id"]])
        assert np.hypot(vertices[:, 0], vertices[:, 2]).max() == pytest.approx(at.profile[:, 0].max(), abs=1e-4)
        assert np.isfinite(value[faces]).all()  # nothing is painted where nothing comes near
        worst = int(np.nanargmin(value))
        assert value[worst] == pytest.approx(float(np.nanmin(at.room_mm)), abs=1e-4)
        assert coloured.told["standing"][int(standing[worst])]["name"] == found.standing[int(standing[worst])].name


def test_nothing_known_has_no_room(tmp_path: Path):
    from coachwork.build import read_text

    coloured = room_colours(examine(read_text("", tmp_path / "build.toml"), only=["clearance"]), UNWATCHED)
    assert coloured is not None
    assert coloured.told["surfaces"] == []
    assert coloured.told["worst"] == []


def test_a_made_parts_stress_is_sent_as_it_was_kept(tmp_path: Path, tiny_folder: Path):
    folder = tiny_folder / MADE_FOLDER
    folder.mkdir(parents=True)
    (folder / "chassis.step").write_text("ISO-10303-21;\nDATA;\n#1=X();\n", "ascii")
    holes = tuple(
        Hole(name=f"{end}-bolts.{k}", centre_mm=(x, 9.0 * k, 0.0), axis=(0.0, 0.0, -1.0), diameter_mm=3.2,
             drawn_mm=3.2, depth_mm=4.0, screw="M3")
        for end, x in (("front", 0.0), ("rear", -200.0)) for k in (0, 1)
    )  # fmt: skip
    part = PartSolid(name="chassis", number="P-1", step="chassis.step", mesh="", content="", spec="",
                     process="powder-bed nylon", material="PA12", holes=holes)  # fmt: skip
    (folder / MADE_FILE).write_text(json.dumps({"format": 1, "parts": [part.to_json()]}), "utf-8")
    build = read(tiny_folder)
    report = examine(build, only=["structure"])
    assert stress_surface(report, "chassis") is None
    place = place_of(build, made_parts(build).parts["chassis"])
    assert place is not None
    place.parent.mkdir(parents=True)
    kept = SurfaceStress(
        places_mm=np.array([[0.0, 0, 0], [9, 0, 0], [0, 9, 0], [0, 0, 9]]), watched=("twist", "bending"),
        triangles=np.array([[0, 1, 2], [0, 1, 3], [0, 2, 3], [1, 2, 3]]), stress_mpa=np.arange(8.0).reshape(2, 4),
    )  # fmt: skip
    save_surface(kept, beside(place))

    raw = stress_surface(report, "chassis")

    assert raw is not None
    vertices, faces, rows = unpacked(raw)
    assert (vertices == kept.places_mm).all()
    assert (faces == kept.triangles).all()
    assert (rows[:2] == kept.stress_mpa).all()
    assert rows[2].tolist() == [1, 0, 1, 0]  # these lie in holes for bolts
    assert stress_surface(report, "battery-door") is None
    # The build asks for no chassis of this form: it is drawn, and told to be an old one.
    assert [(one["part"], one["old"]) for one in scene_of(report)["made"]] == [("chassis", True)]
    assert stress_surface(report, "chassis.drop") is None
    assert stress_told(report) == []  # without its flexibility nothing is told of its loads


def test_a_drops_stress_is_sent_as_a_bead_at_every_place_that_was_looked_at(report):
    one = np.ones(1)
    drop = Drop(
        landing=Landing(peak_n=81.0 * one, factor=6.3 * one, left=0.7 * one), stress_mpa=21.0 * one, unsure=0.05,
        bears_mpa=42.5 * one, place_mm=(0.0, 9.0, 4.0), thick_mm=2.4,
        places_mm=np.array([[-90.0, 3, 1], [0.0, 9, 4]]), places_mpa=np.array([8.5, 21.0]),
    )  # fmt: skip
    whole = examine(report.build, only=["structure"])
    answer = whole.answers["structure"]
    dropped = replace(answer, result=replace(answer.result, drop=drop))

    raw = stress_surface(replace(whole, answers={**whole.answers, "structure": dropped}), "chassis.drop")

    assert raw is not None
    vertices, faces, (stress, under) = unpacked(raw)
    assert not under.any()
    halves = vertices.reshape(2, -1, 3)
    assert halves.mean(axis=1) == pytest.approx(drop.places_mm, abs=1e-5)
    assert stress.reshape(2, -1).T.tolist() == [[8.5, 21.0]] * halves.shape[1]
    # Faces look outward, and each bead is closed: the solid angle that they fill is a ball's.
    for bead, middle in zip(vertices[faces].reshape(2, -1, 3, 3), drop.places_mm, strict=True):
        six_volumes = np.linalg.det(bead - middle)
        assert (six_volumes > 0).all()
        assert six_volumes.sum() / 6 == pytest.approx(4 / 3 * BEAD_MM**3, rel=1e-4)  # of an octahedron
