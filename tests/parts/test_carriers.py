"""Hub carriers: bearing seats on the axle's own line, lugs on the arm's pin, and the fit of what comes out."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.catalogue.processes import PROCESSES
from coachwork.parts.draw import draw
from coachwork.parts.measure import measure
from coachwork.plan import Plan
from coachwork.studies.makeability.seats import worst_seat
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Blocked
from coachwork.studies.solids import Hole, HoleFound, PartSolid

VAN = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"
BEARING = '\n[parts.rear-carriers]\nbearing = "5x10x4"\n'


def wanted(text: str = BEARING, **entries: str) -> dict[str, Wanted]:
    text = with_entry(VAN.read_text(encoding="utf-8"), "parts.make", "rear-carriers") + text
    for key, value in entries.items():
        text = with_entry(text, key.replace("__", "."), value)
    return {each.name: each for each in every_part(PartTables.of(read_text(text, VAN)))}


@pytest.mark.parametrize("hand", ["left", "right"])
def test_the_seats_lie_on_the_axle_and_the_lugs_on_the_arm_s_pin(hand: str, tmp_path: Path):
    """The axle's line is the linkage study's own, from toe and camber; the lugs stand where the donor's pin is."""
    each = wanted()[f"rear-carrier-{hand}"]
    drawn = draw(each.spec, each.settings, tmp_path)
    measured = measure(drawn.shape, drawn.holes, driver_mm=5.0)
    build = read_text(VAN.read_text(encoding="utf-8"), VAN)
    drawing = Plan().run(build, only=["linkage"])["linkage"].result.rear.bought.left.drawn
    mirror = np.array([1.0, 1.0 if hand == "left" else -1.0, 1.0])
    hub, spin = drawing.hub_face[0, 0, 0] * mirror, drawing.spin_axis[0, 0, 0] * mirror
    pin = np.array([0.0, 70.5, 5.6]) * mirror  # middle of [running-gear.rear] hub-pin-front and -rear

    assert (measured.solids, measured.valid, measured.watertight, measured.trapped_cm3) == (1, True, True, 0.0)
    assert all(found.off_mm < 0.002 for found in measured.holes)
    outer, inner = (np.array(hole.centre_mm) + pin for hole in drawn.holes[:2])
    for at, along in ((outer, 3.0), (inner, 17.0)):  # behind-face, and bearings-across further in
        assert at == pytest.approx(hub - along * spin, abs=1e-3)
    for found in measured.holes[:2]:
        assert found.diameter_mm == pytest.approx(10.0 + 0.15 - 0.3), "drawn for the process, and for the reamer"
    lugs = [np.array(hole.centre_mm) for hole in drawn.holes[2:4]]
    assert sorted(lug[0] for lug in lugs) == pytest.approx([-14.0, 14.0])  # 20 mm of pin and two lugs of 4 mm
    assert all(lug[1:] == pytest.approx([0.0, 0.0], abs=1e-9) for lug in lugs)


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_slanting_hinge_pin_is_the_arm_s_own_on_either_hand(hand: str):
    """The pin's front end 2 mm further out, over 20 mm: arm and carrier must find it on one line."""
    text = with_entry(VAN.read_text(encoding="utf-8"), "parts.make", "rear-arms, rear-carriers") + BEARING
    text = with_entry(text, "running-gear.rear.hub-pin-front", "[10.0, 72.5, 5.6]")
    parts = {each.name: each.spec for each in every_part(PartTables.of(read_text(text, VAN)))}
    arm, carrier = parts[f"rear-arm-{hand}"], parts[f"rear-carrier-{hand}"]
    mirror = np.array([1.0, 1.0, 1.0 if hand == "left" else -1.0])  # the right arm is drawn mirrored in z
    arms, carriers = (np.array(each.chassis_from_part) for each in (arm, carrier))

    along = arms[:3, :3] @ (arm.outer_axis * mirror)

    assert carriers[:3, :3] @ carrier.pin_axis == pytest.approx(along, abs=1e-3)
    assert carriers[:3, 3] == pytest.approx(arms[:3, :3] @ (arm.outer_mm * mirror) + arms[:3, 3], abs=1e-3)


@pytest.mark.parametrize(
    ("entries", "words"),
    [
        ({"parts__rear-carriers__bearing": '"5x10x5"'}, "there is no such size"),
        ({"parts__rear-carriers__bearings-across": "8.0"}, "with a shoulder between"),
        ({"parts__rear-carriers__bearing": '"12x18x4"', "parts__rear-carriers__wall": "6.0"}, "does not turn"),
        ({"parts__rear-carriers__bearing": '"10x15x4"'}, "left for the stud's thread"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_words(entries: dict[str, str], words: str):
    spec = wanted(**entries)["rear-carrier-left"].spec

    assert isinstance(spec, Blocked)
    assert words in spec.why


def test_no_bearing_said_is_asked_for():
    assert "give its size" in wanted("")["rear-carrier-left"].spec.why


def seat(*, found_mm: float, process: str = "powder-bed nylon", reamed: bool):
    hole = Hole(name="bearings.outer", centre_mm=(0, 0, 0), axis=(0, 1, 0), diameter_mm=10.0, drawn_mm=found_mm,
                depth_mm=4.0, through=False, purpose="bearing")  # fmt: skip
    found = HoleFound(name=hole.name, off_mm=0.0, diameter_mm=found_mm, edge_mm=3.0)
    solid = PartSolid(name="a", number="1", step="", mesh="", content="", spec="", process=process, material="")
    worst = worst_seat(solid, [(hole, found)], PROCESSES[process], shrink_mm=0.15, reamed=reamed)
    assert worst is not None
    return worst


def test_a_seat_that_is_reamed_has_something_left_for_the_reamer_and_one_drawn_to_size_has_not():
    """Drawn 9.85, it comes out 9.70 +- 0.20: 0.10 mm at least are left to 10 mm. Drawn 10.15, it may come out 10.20."""
    assert seat(found_mm=9.85, reamed=True).left_mm == pytest.approx(0.10)
    assert seat(found_mm=9.85, reamed=True).margin_mm > 0
    assert seat(found_mm=10.15, reamed=True).left_mm == pytest.approx(-0.20)
    assert seat(found_mm=10.15, reamed=True).margin_mm < 0


def test_no_printed_seat_holds_a_fit_of_grade_7_as_it_comes_out():
    """H7 of 10 mm: 0 to 15 micrometres (ISO 286-1); with a ring of 0 to 8 under its size (ISO 492), 23 of play."""
    worst = seat(found_mm=10.15, reamed=False)

    assert worst.zone_mm == pytest.approx(0.015)
    assert worst.loosest_mm == pytest.approx(0.023)
    assert worst.margin_mm == pytest.approx(0.0075 - 0.2)


def test_a_better_machine_holds_it(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(PROCESSES, "cut sheet", replace(PROCESSES["cut sheet"], spread_mm=0.005))

    assert seat(found_mm=10.15, process="cut sheet", reamed=False).margin_mm > 0
