"""A terminal of 80 columns that shows every letter, whatever the tests run in."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def _plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    monkeypatch.delenv("NO_COLOR", raising=False)
