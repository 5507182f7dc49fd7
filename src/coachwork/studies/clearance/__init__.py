"""Does anything touch, over travel, lock and roll: tyres, rims, shafts, links, steering, dampers against all the rest.

Needs   : the linkage's poses; tyres and rims; the shell's scan, or its measured arches; envelopes of what is near
Method  : signed distances to convex solids, bounded by their tangent planes over pieces of surface, branch and bound;
          every pose of a grid, then finer around the worst. Derivation: docs/theory/clearance.md
Leaves out : what moves against what moves on another body, but for the wheel's own corner; flex and play; the tyre's
          flat where it meets the ground
"""

from coachwork.studies.clearance.charts import charts
from coachwork.studies.clearance.compute import clearance
from coachwork.studies.clearance.result import ClearanceResult
from coachwork.studies.clearance.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="clearance", question="Does anything touch?", compute=clearance, findings=findings, order=35, charts=charts
)

__all__ = ["STUDY", "ClearanceResult", "clearance"]
