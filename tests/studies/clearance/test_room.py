"""Room left all over what stands: the verdicts' own least, every place by looking at every pose, one skin of two."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import length
from coachwork.studies.clearance.room import _covered, room
from coachwork.studies.clearance.search import FAR_MM, NEAR_MM, shares_for
from coachwork.studies.clearance.shapes import Scan
from coachwork.studies.parts import Missing
from coachwork.studies.watch import Unwanted, Watch

FACET_MM = 0.003  # a post is looked at in 64 facets, half outside of it: a 1,700th of a radius of 5 mm
OFF_MM = (
    0.06  # between the corners that are looked at the surface comes nearer: a piece of 3 mm beside a tyre's shoulder
)


@pytest.fixture(scope="module")
def found(found_plan):
    """The van as found, without its scan: result of the study, and the room."""
    result = found_plan[2]
    return result, room(result.scene)


def test_the_least_room_is_the_verdicts_own(found):
    """The verdict searches whole pieces, here only corners are looked at: no less room, and hardly more."""
    result, looked = found
    least = {}
    for at in looked.at:
        for number, one in enumerate(looked.moving):
            its = at.room_mm[at.moving == number]
            if its.size:
                least[one.name, at.name] = float(its.min())
    compared = 0
    for end in (result.front, result.rear):
        for question in ("tyre-shell", "tyre-parts", "links", "steering"):
            closest = end.closest.get(question)
            for contact in getattr(closest, "contacts", ()):
                told = float(contact.distance_mm[0])
                if (contact.moving, contact.other) in least and told < NEAR_MM:
                    here = least[contact.moving, contact.other]
                    if here <= least_of(looked, contact.other) + 1e-9:  # else something else is nearest to that place
                        assert told - FACET_MM <= here <= told + OFF_MM, (contact.moving, contact.other)
                        compared += 1
    assert compared >= 4


def least_of(looked, name):
    return min(float(np.nanmin(at.room_mm)) for at in looked.at if at.name == name)


def test_a_place_is_as_near_as_the_nearest_of_all_poses(found):
    """Every pose of the grid looked at, for some places of each thing; a finer grid can only find less."""
    _, looked = found
    rng = np.random.default_rng(2)
    for at in looked.at:
        number = int(at.moving[np.nanargmin(at.room_mm)])
        one = looked.moving[number]
        some = rng.permutation(np.flatnonzero(at.moving == number))[:12]
        shares = shares_for(one.corner, one.thing.on | {"chassis"})
        solids = [shape.solid(one.bodies(shares)) for shape in one.thing.shapes]
        for k in some:
            place = np.broadcast_to(at.vertices[k], (len(shares), 3))
            least = min(float(solid.signed(place).distance.min()) for solid in solids)
            assert at.room_mm[k] <= least + 1e-9
            if least > NEAR_MM:
                assert at.room_mm[k] == pytest.approx(least)
            there = [shape.solid(one.bodies(at.share[k][None])) for shape in one.thing.shapes]
            assert min(float(s.signed(at.vertices[k][None]).distance[0]) for s in there) == pytest.approx(at.room_mm[k])


def test_what_touches_by_design_and_what_is_far_is_not_told(found):
    _, looked = found
    for at in looked.at:
        assert np.nanmax(at.room_mm) < FAR_MM
        assert (np.isnan(at.room_mm) == (at.moving < 0)).all()
        edges = at.vertices[at.faces] - at.vertices[np.roll(at.faces, 1, axis=1)]
        assert float(length(edges).max()) <= 3.0 + 1e-9


def test_a_made_part_is_told_as_the_same_block_measured_is(found_plan):
    """The pedal box drawn as a made part's triangles: the same room, place by place."""
    scene = found_plan[2].scene
    box = next(one for one in scene.standing if one.key == "pedal-box")
    triangles = box.thing.shapes[0].pieces(box.still)[0][0]
    shape = Scan(vertices=triangles.reshape(-1, 3), faces=np.arange(triangles.shape[0] * 3).reshape(-1, 3),
                 moved=Motion(np.eye(3)[None], np.zeros((1, 3))))  # fmt: skip
    made = replace(box, key="made block", name="block", thing=replace(box.thing, shapes=(shape,)))
    looked = {at.key: at for at in room(replace(scene, standing=(box,), made=(made,), scan=Missing(()))).at}
    assert looked["made block"].room_mm == pytest.approx(looked["pedal-box"].room_mm, nan_ok=True)
    assert (looked["made block"].moving == looked["pedal-box"].moving).all()


def test_of_two_skins_only_the_one_that_is_met_is_told():
    """Two sheets 1.5 mm apart; what moves comes from above."""
    sheet = np.array([[0.0, 0, 0], [9, 0, 0], [9, 9, 0], [0, 9, 0], [4.5, 4.5, 0]])
    vertices = np.concatenate([sheet, sheet - [0, 0, 1.5]])
    four = np.array([[0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]])
    middle = [4, 9]
    toward = np.zeros((10, 3))
    toward[middle] = [0, 0, 1.0]
    distance, near = np.full(10, np.inf), np.zeros(10, dtype=bool)
    distance[middle], near[middle] = [2.0, 3.5], True

    covered = _covered(vertices, np.concatenate([four, four + 5]), distance, toward, near)

    assert covered.tolist() == [False] * 9 + [True]
    # entered already, both are told
    distance[middle] = [-2.0, -0.5]
    assert not _covered(vertices, np.concatenate([four, four + 5]), distance, toward, near).any()


def test_it_stops_when_nobody_waits(found_plan):
    with pytest.raises(Unwanted):
        room(found_plan[2].scene, Watch(cancelled=lambda: True))
