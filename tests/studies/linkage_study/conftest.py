"""The finished demonstration van as a text to change key by key, and what the linkage study says of it."""

from pathlib import Path

import pytest

from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan
from coachwork.studies.linkage import STUDY

VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"


@pytest.fixture(scope="session")
def van_text():
    return VAN.read_text(encoding="utf-8")


@pytest.fixture
def edited(van_text):
    """The van's text with keys set; a value of None leaves the key out."""

    def edit(text=van_text, /, **values):
        for key, value in values.items():
            text = with_entry(text, key.replace("__", ".").replace("_", "-"), value)
        return text

    return edit


@pytest.fixture
def result_of():
    return lambda text: Plan((STUDY,)).run(read_text(text, Path("build.toml")))["linkage"].result


@pytest.fixture
def verdicts_of():
    return lambda text: {v.id: v for v in examine(read_text(text, Path("build.toml")), plan=Plan((STUDY,))).verdicts}
