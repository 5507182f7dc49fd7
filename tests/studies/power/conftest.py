"""An invented vehicle in plain numbers, and the same drive by another route (`radau`)."""

import importlib.util
import sys
from pathlib import Path

HERE = Path(__file__).parent


def _beside(name):
    """A module that lies beside the tests, under --import-mode=importlib."""
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, HERE / f"{name}.py")
        sys.modules[name] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]


for module in ("power_case", "power_radau"):
    _beside(module)
