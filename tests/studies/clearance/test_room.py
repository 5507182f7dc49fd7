"""Room left all over what stands: the verdicts' own least, every place by looking at every pose, one skin of two."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coachwork.geometry.rigid import Motion
from coachwork.geometry.vectors import length
from coachwork.studies.clearance.corner_scene import SIDES
from coachwork.studies.clearance.room import _covered, _meet, room
from coachwork.studies.clearance.room_round import RING_MM
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


def test_the_tightest_ring_of_a_tyre_is_as_tight_as_the_tightest_place_beside_it(found):
    """Both sides of one distance; each is refined round poses of its own, so they part by what a finer grid finds."""
    _, looked = found
    assert [at.key for at in looked.round] == [f"{end} {side} tyre" for end in ("front", "rear") for side in SIDES]
    for at in looked.round:
        number = next(i for i, one in enumerate(looked.moving) if one.key == at.key)
        beside = [one.room_mm[one.moving == number] for one in looked.at]
        least = min(float(np.nanmin(room)) for room in beside if room.size)
        assert float(np.nanmin(at.room_mm)) == pytest.approx(least, abs=0.1)


def test_no_place_comes_nearer_to_a_ring_than_is_told(found):
    """Places of what stands and poses taken at random, with the ring found by trying all of its section's points."""
    _, looked = found
    rng = np.random.default_rng(5)
    tried = 0
    for at in looked.round:
        tyre = looked.moving[next(i for i, one in enumerate(looked.moving) if one.key == at.key)]
        shares = rng.permutation(shares_for(tyre.corner, tyre.thing.on | {"chassis"}))[:12]
        (shape,) = tyre.thing.shapes
        solids = shape.solid(tyre.bodies(shares))
        for one in looked.at:
            near = np.flatnonzero((one.moving >= 0) & (one.room_mm < 6.0))
            for k in rng.permutation(near)[:40]:
                for pose in range(len(shares)):
                    seen = solids.take(np.array([pose])).signed(one.vertices[k][None])
                    if not seen.distance[0] < FAR_MM or not _meet(tyre, looked.standing[_index(looked, one.key)]):
                        continue
                    on = one.vertices[k] - seen.distance[0] * seen.gradient[0] - solids.centre[pose]
                    height = float(on @ solids.axis[pose])
                    radius = float(length(on - height * solids.axis[pose]))
                    away = np.hypot(*(at.profile - [radius, height]).T)
                    if away.min() > RING_MM:  # the wheel inside the tyre
                        continue
                    alike = at.room_mm[away <= away.min() + 1e-9]  # the outline's two ends are one place
                    assert np.nanmin(alike) <= seen.distance[0] + 1e-9
                    tried += 1
    assert tried > 200


def _index(looked, key):
    return next(i for i, one in enumerate(looked.standing) if one.key == key)
