"""Lets tests import what lies beside them: an invented vehicle in plain numbers, and the same drive by Radau."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
