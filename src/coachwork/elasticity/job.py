"""What is asked of the finite elements, as plain data: handed to their process, and hashed to find old results by."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coachwork.elasticity.fittings import Fitting, fitting_json, fitting_of

METHOD = 3  # counted up whenever the same job would come out otherwise


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What is asked of a solid.

    path     : of its STEP or BREP file
    blocks   : fittings that something stiff holds together, by its name: the screws of an axle's bulkhead
    watch    : loads that decide how fine the mesh is and where stress is kept: for each name, by block or fitting, the
               force and the couple about its middle; in balance
    accuracy : largest error of the compliance under each of them, as a share, with the third order's correction
    coarseness : length of the first mesh's elements by what is usual
    most_unknowns : of the third order, that are not exceeded for it
    """

    path: Path
    poisson: float
    fittings: tuple[Fitting, ...]
    blocks: Mapping[str, tuple[str, ...]]
    watch: Mapping[str, Mapping[str, Sequence[float]]]
    accuracy: float = 0.03
    coarseness: float = 1.0
    most_unknowns: int = 1_500_000


def job_json(wanted: Wanted) -> dict[str, Any]:
    """As plain data."""
    return {
        "path": str(wanted.path),
        "poisson": wanted.poisson,
        "fittings": [fitting_json(fitting) for fitting in wanted.fittings],
        "blocks": {name: list(held) for name, held in wanted.blocks.items()},
        "watch": {
            name: {on: [float(n) for n in six] for on, six in load.items()} for name, load in wanted.watch.items()
        },
        "accuracy": wanted.accuracy,
        "coarseness": wanted.coarseness,
        "most_unknowns": wanted.most_unknowns,
    }


def wanted_of(data: Mapping[str, Any]) -> Wanted:
    """The way back."""
    return Wanted(
        path=Path(data["path"]),
        poisson=data["poisson"],
        fittings=tuple(fitting_of(each) for each in data["fittings"]),
        blocks={name: tuple(held) for name, held in data["blocks"].items()},
        watch=data["watch"],
        accuracy=data["accuracy"],
        coarseness=data["coarseness"],
        most_unknowns=data["most_unknowns"],
    )


def key_of(wanted: Wanted, content: str) -> str:
    """What its result is kept under, wherever the file lies.

    content : hash of the solid's file
    """
    asked = {name: value for name, value in job_json(wanted).items() if name != "path"}
    text = json.dumps([METHOD, content, asked], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def content_of(path: Path) -> str:
    """Hash of a solid's file; of a STEP file without its header, which holds the time it was written."""
    held = path.read_bytes()
    start = held.find(b"DATA;")
    return hashlib.sha256(held[max(start, 0) :]).hexdigest()
