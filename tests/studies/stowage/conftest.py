"""Small builds to stow, made from a few lines of a build file."""

from collections.abc import Callable
from pathlib import Path

import pytest

from coachwork.build import Build, read_text
from coachwork.plan import Plan
from coachwork.studies.stowage.posing import problem_of
from coachwork.studies.stowage.problem import Item, Pose, Problem, Surface
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.solve import Limits
from coachwork.studies.stowage.tables import Tables
from coachwork.studies.stowage.turns import Turn

SHORT = Limits(decide=10, improve=5, each=4, workers=1)


def square_deck(width: int, height: int) -> Surface:
    """A deck with whole corners, in steps."""
    edges = ((1000, 0, 1000 * width), (-1000, 0, 0), (0, 1000, 1000 * height), (0, -1000, 0))
    return Surface(name="deck", level=0, edges=edges, bounds=(0, width, 0, height))


@pytest.fixture(scope="session")
def short() -> Limits:
    """Long enough for what these tests ask."""
    return SHORT


@pytest.fixture(scope="session")
def plates_on() -> Callable[..., Problem]:
    return _plates_on


def _plates_on(sides: list[tuple[int, int]], width: int, height: int, *, turning: bool = True) -> Problem:
    """Flat rectangles on a flat deck, nothing asked of them but room."""
    items = []
    for k, (a, b) in enumerate(sides):
        poses = [Pose(turn=Turn("bottom", None), size=(a, b, 1))]
        if turning and a != b:
            poses.append(Pose(turn=Turn("bottom", "left"), size=(b, a, 1)))
        items.append(Item(name=f"plate {k}", poses=tuple(poses), surfaces=("deck",)))
    return Problem(items=tuple(items), surfaces=(square_deck(width, height),))


@pytest.fixture
def build_of() -> Callable[[str], Build]:
    """A build from the text of its file."""
    return lambda text: read_text(text, Path("build.toml"))


@pytest.fixture
def result_of(build_of) -> Callable[[str], StowageResult]:
    """What stowage says of a build file's text."""
    return lambda text: Plan().run(build_of(text), only=["stowage"])["stowage"].result


@pytest.fixture
def tables_of(result_of) -> Callable[[str], Tables]:
    return lambda text: result_of(text).tables


@pytest.fixture
def problem(tables_of) -> Callable[[str], Problem]:
    """The packing problem of a build file's text."""
    return lambda text: problem_of(tables_of(text))
