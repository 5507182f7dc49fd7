"""What other questions know to lie round the decks: what moves past, measured parts, the scanned shell's inside."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.build.sections.boxes import Boxes
from coachwork.build.sections.decks import Decks
from coachwork.plan import Plan
from coachwork.scans.ceiling import Ceiling
from coachwork.studies.clearance.swept import swept
from coachwork.studies.parts import Missing
from coachwork.studies.stowage.around import around
from coachwork.studies.stowage.posing import problem_of
from coachwork.studies.stowage.solve import Clash, Placement, find, fits
from coachwork.studies.stowage.words import cure

DECK = """
[decks.main]
height = 0
outline.a = { x = 0, y = -20 }
outline.b = { x = 60, y = -20 }
outline.c = { x = 60, y = 20 }
outline.d = { x = 0, y = 20 }
[boxes.radio]
length = 40
width = 30
height = 20
"""


VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished"


@pytest.fixture(scope="module")
def van():
    plan, build = Plan(), read(VAN)
    answers = plan.run(build, only=["clearance", "stowage"])
    return answers["clearance"].result.scene, answers["stowage"].result.tables.around


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_tyre_s_slabs_hold_all_that_it_sweeps(van, side):
    """Against the swept body as the mesh library makes it, from hulls of neighbouring poses."""
    scene, near = van
    mesh = swept(scene.placed(f"rear {side} tyre"), pad_mm=0.0)
    slabs = [thing for thing in near.things if thing.name == f"rear-{side}-tyre"]
    assert slabs
    low, high = np.concatenate([s.low for s in slabs]), np.concatenate([s.high for s in slabs])
    triangles = mesh.vertices[mesh.faces]
    rng = np.random.default_rng(3)
    weights = rng.dirichlet(np.ones(3), size=(len(triangles), 40))
    points = np.einsum("nkc,nci->nki", weights, triangles).reshape(-1, 3)
    points = points[points[:, 0] > low[:, 0].min()]  # those near the deck
    assert len(points) > 1000

    held = ((points[:, None] >= low - 0.05) & (points[:, None] <= high + 0.05)).all(axis=2).any(axis=1)

    assert held.all()
    # and they are not much larger: nothing is taken from the boxes that the tyre leaves free
    assert high.max(axis=0) == pytest.approx(points.max(axis=0), abs=1.0)
    assert low.min(axis=0) == pytest.approx(points.min(axis=0), abs=1.0)


def test_a_front_tyre_is_nobody_s_neighbour_on_a_deck_that_ends_before_it(van):
    assert not [thing for thing in van[1].things if thing.name.startswith("front")]


PART = """
[envelopes.{name}]
kind = "box"
corner = [{x}, -25.0, 0.0]
opposite = [{x_to}, 25.0, 30.0]
"""


def test_a_measured_part_keeps_its_room_and_one_named_like_a_box_is_that_box(problem, short):
    """40 mm of box and 1 mm of air all round need 42 mm of 60: a part of 20 mm is in the way, at the end it is not."""
    wall = problem(DECK + PART.format(name="bulkhead", x=25.0, x_to=30.0))
    clash = find(wall, short)

    assert isinstance(clash, Clash)
    assert "part bulkhead" in clash.demands
    assert "move the bulkhead" in (cure(clash, wall.step_mm) or "")
    assert isinstance(fits(problem(DECK + PART.format(name="bulkhead", x=55.0, x_to=60.0)), 5), Placement)
    assert isinstance(fits(problem(DECK + PART.format(name="radio", x=25.0, x_to=30.0)), 5), Placement)


def test_parts_that_lack_a_number_are_told_and_the_rest_goes_on(tables_of):
    text = DECK + PART.format(name="bulkhead", x=55.0, x_to=60.0).replace("30.0]", '"?"]')

    assert "the parts in [envelopes]" in tables_of(text).around.unseen


def patches_under(build, height):
    """A shell's inside of which only the height is known, over the deck of DECK and around it."""
    x, y = np.arange(-31.0, 91.0, 2.0), np.arange(-41.0, 41.0, 2.0)
    z = height(x[:, None], y[None, :]) * np.ones((len(x), len(y)))
    things = around(build[Boxes], build[Decks], None, Ceiling(x_mm=x, y_mm=y, z_mm=z)).things
    return (x, y, z), things


@pytest.mark.parametrize(
    ("height", "slope"),
    [(lambda x, y: 14 + 0.3 * np.abs(y), 0.3), (lambda x, y: 40 - 0.01 * (x - 30) ** 2 - 0.02 * y**2, 0.6 + 0.8)],
    ids=["a ridge", "a dome"],
)
def test_patches_are_nowhere_higher_than_the_shell_and_hold_all_that_boxes_may_meet(build_of, height, slope):
    (x, y, z), things = patches_under(build_of(DECK), height)
    assert things
    assert len(things) <= 40
    lowest = np.full(z.shape, np.inf)
    for thing in things:
        over = (
            (x[:, None] > thing.low[0, 0]) & (x[:, None] < thing.high[0, 0])
            & (y[None] > thing.low[0, 1]) & (y[None] < thing.high[0, 1])
        )  # fmt: skip
        lowest = np.where(over, np.minimum(lowest, thing.low[0, 2]), lowest)
    near = (x[:, None] > 0) & (x[:, None] < 60) & (np.abs(y[None]) < 20) & (z > 2) & (z < 40)

    assert np.isfinite(lowest[near]).all()
    assert (lowest[near] <= z[near]).all()
    # A patch goes 3 mm up from its lowest point, 4.5 mm where there are many; its tiles as far as 8 mm of slope.
    assert (z[near] - lowest[near]).max() < 4.5 + 8 * slope


def test_a_scanned_shell_one_step_lower_leaves_no_room(build_of, tables_of):
    def room(height):
        _, things = patches_under(build_of(DECK), lambda x, y: height + 0 * x * y)
        tables = tables_of(DECK)
        return find(problem_of(replace(tables, around=replace(tables.around, things=tuple(things)))))

    assert isinstance(room(21.0), Placement), "20 mm of box, 1 mm of air"
    low = room(20.9)
    assert isinstance(low, Clash)
    assert "ceiling shell" in low.demands


def test_what_the_scan_shows_under_the_deck_is_no_ceiling(build_of):
    _, things = patches_under(build_of(DECK), lambda x, y: -5 + 0 * x * y)

    assert not list(things)


def test_no_scan_no_patches(build_of):
    build = build_of(DECK)

    assert around(build[Boxes], build[Decks], None, Missing(("shell.mesh",))).things == ()
