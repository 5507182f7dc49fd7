"""How the tests are shared out among processes: nothing named that is not there, and no test in two minds."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[1]
DEMO = "tests/demo/test_harbour_mail_van.py"


@pytest.fixture(scope="module")
def shared_out() -> ModuleType:
    """The plugin, read anew: whether these tests run under it or not."""
    spec = importlib.util.spec_from_file_location("shared_out_here", ROOT / "scripts" / "shared_out.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_all_that_it_names_is_there(shared_out):
    named = [*(each for group in shared_out.TOGETHER.values() for each in group), *shared_out.NEXT]
    assert [each for each in named if not (ROOT / each).exists()] == []


@pytest.mark.parametrize(
    ("test", "share"),
    [
        ("tests/elasticity/test_bars.py::test_volume", "finite elements"),
        ("tests/studies/structure/test_drop.py::test_higher[1.0]", "finite elements"),
        (f"{DEMO}::test_deleted[shell.front.top]", f"{DEMO} shell"),
        (f"{DEMO}::test_deleted[shell.length]", f"{DEMO} shell"),
        (f"{DEMO}::test_both_vans", DEMO),
        ("tests/build/test_lines.py::test_one[a.b]", "tests/build/test_lines.py"),
        ("src/coachwork/plan/run.py::coachwork.plan.run.Plan", "src/coachwork/plan/run.py"),
    ],
)
def test_what_shares_fixtures_shares_a_process(shared_out, test: str, share: str):
    assert shared_out.share_of(test) == share


def test_the_longest_are_begun_first(shared_out):
    files = ["tests/build/test_lines.py", DEMO, "tests/workbench/browser/test_looks.py", "tests/parts/test_vans.py"]

    assert sorted(files, key=shared_out.turn) == files[::-1]
