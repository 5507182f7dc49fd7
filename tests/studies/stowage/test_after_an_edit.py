"""What stowage keeps from edit to edit, against the same build answered anew."""

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.plan import Plan, Sampled
from coachwork.studies.sameness import same
from coachwork.studies.stowage import around, compute

VANS = Path(__file__).parents[3] / "examples" / "harbour-mail-van"
EDITS = {  # what reaches no deck; what does; what the decks and boxes are; what is weighed
    "as-finished": (
        ("changes.front.hardpoints.tie-rod-inner.z", "19.0"),
        ("wheels.rear.tyre-diameter", "74.0"),
        ("changes.stretch", "2.0"),
        ("decks.main.outline.front-left.x", "-40"),
        ("places.receiver.x", "-120.0"),
        ("boxes.receiver.mass", "20 ± 1 g"),
    ),
    "as-found": (("changes.front.hardpoints.tie-rod-inner.z", "19.0"), ("stowing.gap", "2.0")),
}


def build_with(start, *entries):
    """A van without its scan, which adds time and no new way; some of its numbers otherwise."""
    path = VANS / start / "build.toml"
    text = path.read_text(encoding="utf-8").replace('mesh = "shell.stl"', "")
    for key, value in entries:
        text = with_entry(text, key, value)
    return read_text(text, path)


def judged(result):
    """All but the tables, which are the build's."""
    return {name: value for name, value in vars(result).items() if name != "tables"} | {"around": result.tables.around}


def moved(build):
    """Two samples: where all is, and with box, deck and stretch a little off."""
    columns = {
        key: np.array([at.measured.value, at.measured.value + 0.25])
        for at in build.entries()
        for key in [at.key]
        if at.measured is not None and key in ("boxes.receiver.height", "decks.main.height", "changes.stretch")
    }
    return Sampled(columns=columns, samples=2)


@pytest.mark.parametrize("start", EDITS)
def test_each_edit_comes_to_what_the_file_alone_comes_to(start):
    plan, results = Plan(), []
    plan.run(build_with(start), only=["stowage"])
    for n in range(len(EDITS[start])):
        build = build_with(start, *EDITS[start][: n + 1])
        kept, anew = (one.run(build, only=["stowage"])["stowage"] for one in (plan, Plan()))

        assert same(judged(kept.result), judged(anew.result))
        assert same(kept.findings, anew.findings)
        assert kept.read == anew.read
        results.append(judged(kept.result))
    changed = [not same(one, then) for one, then in pairwise(results)]
    assert sum(changed) >= len(changed) - 1, "the edits must matter"


def test_so_it_does_with_samples():
    plan = Plan()
    for n in (0, 1, 3):
        build = build_with("as-finished", *EDITS["as-finished"][:n])
        kept, anew = (
            one.run_moved(build, ["stowage"], moved(build), purpose="spread")["stowage"] for one in (plan, Plan())
        )

        assert same(judged(kept.result), judged(anew.result))
        assert kept.read == anew.read


@pytest.fixture
def worked(monkeypatch):
    """Names of the pieces that are worked out."""
    done = []

    def watch(module, name, told):
        was = getattr(module, name)
        monkeypatch.setattr(module, name, lambda *args, **more: done.append(told(*args)) or was(*args, **more))

    watch(around, "end_scene", lambda name, *_: f"the {name}")
    watch(around, "_slabs", lambda part, *_: part.key)
    watch(compute, "_judged", lambda *_: "boxes")
    return done


def test_an_edit_works_out_again_what_hangs_on_it_and_no_more(worked):
    plan = Plan()
    plan.run(build_with("as-finished"), only=["stowage"])

    def again(*entry):
        worked.clear()
        plan.run(build_with("as-finished", entry), only=["stowage"])
        return set(worked)

    tie_rod = again("changes.front.hardpoints.tie-rod-inner.z", "19.0")
    assert {"the front", "front left tie-rod", "front left tyre"} <= tie_rod
    assert not [name for name in tie_rod if "rear" in name or name == "boxes"]
    again("changes.pinion-teeth", "18")
    assert again("places.receiver.x", "-120.0") == {"boxes"}
