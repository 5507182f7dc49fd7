"""The planted rubs of the demonstration van, their innocent neighbours, and what spreads do to a distance."""

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.geometry.rigid import Motion
from coachwork.plan import Plan, Sampled
from coachwork.scans.seated import SeatedShell
from coachwork.studies.clearance.compute import clearance
from coachwork.studies.clearance.search import Placed, Surroundings
from coachwork.studies.clearance.shapes import Sheet
from coachwork.studies.clearance.things import Thing
from coachwork.studies.memory import Memory

# The planted part, its neighbour half a millimetre further away, the end, the question, and the pose they meet in.
PLANTED = {
    "full lock with bump": ("pedal box", "heater box", "front", "tyre-parts", "in full bump", "full lock to the right"),
    "inner shoulder in droop": ("battery box", "fuse box", "rear", "tyre-parts", "in full droop", ""),
    "rim on carrier": ("left rear carrier", "left rear lug", "rear", "rim-inside", "rear left wheel", ""),
    "bell-crank on post": ("servo post", "aerial post", "front", "steering", "", "full lock to the left"),
}


def nearest(result, end, question, other):
    contacts = getattr(result, end).closest[question].contacts
    return next(contact for contact in contacts if contact.other == other)


@pytest.mark.parametrize(("guilty", "innocent", "end", "question", "travel", "lock"), PLANTED.values(), ids=PLANTED)
def test_a_planted_rub_is_found_with_its_pose_and_its_neighbour_is_not_accused(
    found_plan, guilty, innocent, end, question, travel, lock
):
    result = found_plan[2]
    rub, neighbour = nearest(result, end, question, guilty), nearest(result, end, question, innocent)

    assert rub.distance_mm[0] < -0.2
    assert neighbour.distance_mm[0] > 0.1
    assert neighbour.distance_mm[0] - rub.distance_mm[0] == pytest.approx(0.5, abs=0.08)
    assert travel in str(rub.pose)
    assert lock in str(rub.pose)
    accused = {contact.other for contact in getattr(result, end).closest[question].touching}
    assert guilty in accused
    assert innocent not in accused
    assert np.isfinite(rub.other_at_mm).all()
    assert np.linalg.norm(rub.other_at_mm - rub.moving_at_mm) == pytest.approx(-rub.distance_mm[0], abs=0.02)


def test_the_footwell_is_met_only_at_full_lock_together_with_bump(found_plan):
    """Neither bump nor lock alone brings the tyre there."""
    result = found_plan[2]
    tyre = result.scene.ends["front"].sides["left"].tyre
    around = result.scene.surroundings("front", "left")
    footwell = around.only([next(i for i, (part, _) in enumerate(around.parts) if part.name == "pedal box")])

    def least(mask):
        shares = tyre.corner.grid
        return footwell._from(tyre, 0, shares[mask(shares)], within=np.inf)[0].distance

    assert least(lambda shares: np.ones(len(shares), dtype=bool)) < -0.2
    assert least(lambda shares: shares[:, 0] <= 0.5) > 0.2  # all locks, half the bump
    assert least(lambda shares: np.abs(shares[:, 1]) <= 0.5) > 0.2  # all the bump, half the lock


@pytest.mark.parametrize(
    ("key", "end", "question"),
    [
        ("running-gear.front.steering.lock", "front", "tyre-parts"),
        ("wheels.front.tyre-diameter", "front", "tyre-parts"),
        ("envelopes.pedal-box.corner.z", "front", "tyre-parts"),
        ("running-gear.front.bump-travel", "front", "tyre-shell"),
        ("shell.front.top", "front", "tyre-shell"),
        ("changes.sill-above-underside", "front", "tyre-shell"),
        ("envelopes.rear-carrier.steps.flange.diameter", "rear", "rim-inside"),
        ("running-gear.front.steering.crank-width", "front", "steering"),
        ("running-gear.rear.droop-travel", "rear", "tyre-parts"),
    ],
)
def test_what_a_spread_does_is_what_searching_again_says(found_plan, key, end, question):
    """The place and pose of the plain numbers looked at with one number moved, against a whole new search with it."""
    build, plan, plain = found_plan
    held = plan.kept["clearance"].everything_read()[key]
    step = 0.2 * held.sigma
    moved = plan.run_sampled(
        build, "clearance", Sampled(samples=2, columns={key: np.array([held.value, held.value + step])})
    ).result
    shown, unit = float(held.value + step), ""
    if key.endswith("lock"):
        shown, unit = float(np.degrees(shown)), " deg"
    changed = read_text(with_entry(build.text, key, f"{shown!r}{unit} ± 0.1{unit}"), build.path)
    anew = Plan().run(changed, only=["clearance"])["clearance"].result

    looked = getattr(moved, end).closest[question].distance_mm
    searched = getattr(anew, end).closest[question].distance_mm[0]
    was = getattr(plain, end).closest[question].distance_mm[0]

    assert looked[0] == pytest.approx(was, abs=2e-4)
    # A flange against a step is equally deep all along: only some of those places are looked at again.
    share = 0.35 if "flange" in key else 0.05
    assert looked[1] - was == pytest.approx(searched - was, abs=share * abs(searched - was) + 2e-4)
    assert abs(searched - was) > 1e-4, "the number must matter here, or nothing is tested"


def seated(triangles, moved=None):
    still = Motion(np.eye(3)[None], np.zeros((1, 3)))
    return SeatedShell(
        vertices_mm=triangles.reshape(-1, 3).copy(), faces=np.arange(triangles.shape[0] * 3).reshape(-1, 3),
        mm_per_file_unit=1.0, chassis_from_file=Motion.identity(), moved=moved or still, seated_by="given", arches={},
        residuals={}, surface_half_mm=0.0, x_half_mm=0.0, y_half_mm=0.0, z_half_mm=0.0, pitch_half_rad=0.0,
    )  # fmt: skip


def test_a_scan_of_the_arches_gives_the_answer_of_the_measured_arches(found_plan):
    """The arches' own triangles handed in as a mesh; a shell raised by 0.3 mm in a sample moves the answer along."""
    build, plan, plain = found_plan
    arches = np.concatenate(
        [part.thing.shapes[0].pieces(part.still)[0][0] for end in plain.scene.ends.values() for part in end.arches]
    )
    wiring = plan.wirings["clearance"]
    sections = {name: build[kind].seen_by(None) for name, kind in wiring.sections.items()}
    linkage = plan.run(build, only=["linkage"])["linkage"].result

    by_scan = clearance(**sections, linkage=linkage, scan=seated(arches), plain=None, memory=Memory())

    for end in ("front", "rear"):
        ours = getattr(by_scan, end).closest["tyre-shell"].worst
        theirs = getattr(plain, end).closest["tyre-shell"].worst
        assert ours.distance_mm[0] == pytest.approx(theirs.distance_mm[0], abs=1e-4)
    # Rods are searched against a scan, too: the front damper is 20 mm and more from any arch.
    assert "shell" in {contact.other for contact in by_scan.front.closest["tyre-shell"].contacts}

    raised = Motion(np.eye(3)[None].repeat(2, 0), np.array([[0.0, 0, 0], [0.0, 0, 0.3]]))
    shape = by_scan.scene.scan.thing.shapes[0]
    spot = by_scan.front.closest["tyre-shell"].worst.spot
    lifted = type(shape)(vertices=shape.vertices, faces=shape.faces, moved=raised)
    points = lifted.piece(None, spot.piece)[0]
    assert points[1, 0, 2] - points[0, 0, 2] == pytest.approx(0.3)


def test_nothing_under_a_scan_is_told_with_its_place(found_plan):
    """A ceiling 2 mm over the pedal box, a patch of it 1 mm lower."""
    plain = found_plan[2]
    boxes = next(part for part in plain.scene.standing if part.name == "pedal box")
    top = boxes.thing.shapes[0].pieces(boxes.still)[0][0].reshape(-1, 3)[:, 2].max()
    roof = np.array([[[-200.0, -200, top + 2], [200.0, -200, top + 2], [0.0, 300, top + 2]],
                     [[14.0, 50, top + 1], [16.0, 50, top + 1], [15.0, 52, top + 1]]])  # fmt: skip
    shell = Thing(name="shell", kind="shell", shapes=(Sheet(triangles=roof[None]),))
    scan = Surroundings.of([Placed(key="shell", name="shell", still=boxes.still, thing=shell)], Memory(), name="shell")

    (least,) = scan.around(boxes)

    assert least.found.distance == pytest.approx(1.0, abs=1e-5)
    assert 14 <= least.found.on_surface[0] <= 16
