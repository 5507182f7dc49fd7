"""What the parts' tests share beside the vans that are made."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from coachwork.parts import making


@pytest.fixture
def cad_at_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts are made by processes that need not load the CAD kernel first."""
    from tests.parts.at_hand import AtHand

    monkeypatch.setattr(making, "subprocess", AtHand)


@pytest.fixture(scope="session")
def van(made_van: Callable[[str], Path]) -> Callable[[str], Path]:
    """The folder of a van, its parts made."""
    return made_van
