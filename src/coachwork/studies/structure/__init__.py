"""Is it stiff and strong enough?

Needs      : the parts that `coachwork make` made, or your own STEP; material and process; kerb; springs, weights
Method     : finite elements on the real solids, run by `coachwork strength` and kept; here, solids are joined at screws
             and lips, held and loaded by a handful of equations; snaps by the beam formula; docs/theory/structure.md
Leaves out : plastic flow, fatigue, cracks, layers beyond a knock-down, screws' own give, friction
"""

from coachwork.studies.structure.compute import structure
from coachwork.studies.structure.result import StructureResult
from coachwork.studies.structure.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="structure", question="Is it stiff and strong enough?", compute=structure, findings=findings, order=80
)

__all__ = ["STUDY", "StructureResult", "structure"]
