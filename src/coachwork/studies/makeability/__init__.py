"""Can the parts be made, and put together?

Needs      : [parts] and [making]; the parts themselves, as `coachwork make` left them, measured on the solid
Method     : what was measured on each solid against the rules of its process; box of best fit by a search over turns;
             screws as cylinders against the boxes in their places
Sources    : ISO 273 (clearance holes, from memory); the process rules stand in catalogue/processes.py, common practice
Leaves out : warping, tolerances of the process beyond its hole shrinkage, what a driver meets of the donor's own parts
"""

from coachwork.studies.makeability.compute import makeability
from coachwork.studies.makeability.result import MakeabilityResult
from coachwork.studies.makeability.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="makeability", question="Can its parts be made?", compute=makeability, findings=findings, order=85
)  # fmt: skip

__all__ = ["STUDY", "MakeabilityResult", "makeability"]
