"""`coachwork schema`: JSON Schemas of what we read and what we print."""

from __future__ import annotations

import argparse
import json

from coachwork.build.json_schema import build_schema
from coachwork.cli.screen import Screen
from coachwork.confidence.json_schema import report_schema
from coachwork.plan import Plan


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Print the one asked for."""
    schema = report_schema() if options.what == "report" else build_schema()
    screen.raw(json.dumps(schema, indent=1))
    return 0
