"""Does it move right: suspension and steering over travel and lock, as bought and as changed.

Needs   : the running gear's hardpoints and limits, the wheels, the changes
Method  : closed form for arm + hub carrier + camber link and for two arms (circle meets sphere, twice a pose); batched
          Newton for a live axle. Derivations and sources: docs/theory/linkage.md
Leaves out : compliance of arms, links and chassis; play in pins and balls; the tyre's width where it meets the ground;
          body roll (both wheels of an axle are moved alike); friction in the steering
"""

from coachwork.studies.linkage.charts import charts
from coachwork.studies.linkage.compute import linkage
from coachwork.studies.linkage.result import LinkageResult
from coachwork.studies.linkage.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="linkage", question="Does it move right?", compute=linkage, findings=findings, order=30, charts=charts
)

__all__ = ["STUDY", "LinkageResult", "linkage"]
