"""The process that finite elements run in: `python -m coachwork.elasticity.worker JOB RESULT`.

Reads one job, tells how far it is as JSON lines on its output, writes one result file and one of the surface beside it.
Its solver may crash, and its CAD kernel cannot share a process with the one that draws the parts; here neither matters
to anybody else.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from coachwork.errors import CoachworkError

if TYPE_CHECKING:
    from coachwork.elasticity.surface import SurfaceStress

REFUSED = 3  # exit status: the job cannot be done, and why is told


def main(job: Path, result: Path) -> int:
    """Do one job. 0 when the result is written, REFUSED when there is none, with the reason told."""
    from coachwork.elasticity.flexibility import save
    from coachwork.elasticity.job import wanted_of
    from coachwork.elasticity.measured import measured
    from coachwork.elasticity.surface import beside, save_surface

    asked = json.loads(job.read_text("utf-8"))
    threads = int(asked.pop("threads"))
    os.environ["OMP_NUM_THREADS"] = str(threads)
    import ngsolve as ng

    ng.SetNumThreads(threads)

    def keep_surface(surface: SurfaceStress) -> None:
        save_surface(surface, beside(result))

    try:
        with ng.TaskManager():
            kept = measured(wanted_of(asked), lambda words: _tell(doing=words), keep_surface)
    except CoachworkError as fault:
        _tell(fault=str(fault))
        return REFUSED
    save(kept, result)
    return 0


def _tell(**what: Any) -> None:
    sys.stdout.write(json.dumps(what) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), Path(sys.argv[2])))
