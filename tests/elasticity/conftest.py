"""Runs the cases that need netgen in a process of their own, and keeps what they made for all tests."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

CASES = Path(__file__).with_name("cases.py")
collect_ignore = ["cases.py"]  # looked through for doctests it would be imported, and netgen with it
Case = Callable[..., dict[str, Any]]


def run_case(name: str, folder: Path) -> dict[str, Any]:
    """One case's numbers; what it made lies in the folder."""
    done = subprocess.run([sys.executable, CASES, name, folder], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return told


@pytest.fixture(scope="session")
def case(solids: Path) -> Case:
    """Runs a case by its name, with the solids at hand."""
    return lambda name: run_case(name, solids)


@pytest.fixture(scope="session")
def solids(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of STEP files."""
    folder = tmp_path_factory.mktemp("solids")
    run_case("solids", folder)
    return folder
