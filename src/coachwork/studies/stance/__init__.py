"""Does it sit right? Wheels in the arches: along, across and up, from dimensions alone.

Needs    the donor's wheelbase, hub faces, ride heights and drive; wheels and tyres; the shell's arches and sills; the
         changes; each answer needs a few of these and says which
Method   sums of lengths: axles against arches, hub face to tyre face against the arch lip, ground to arch against the
         tyre's top, the stretch against shaft or belt, tyre against rim; donors ranked by the parts they would need
Uses     the scale from likeness where none is stated
Sources  docs/theory/stance.md
Leaves   what moves: tyres steered and on bump inside the arch (clearance), track and camber over travel (linkage)
"""

from coachwork.studies.stance.compute import sit
from coachwork.studies.stance.result import EndStance, StanceResult
from coachwork.studies.stance.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(name="stance", question="Does it sit right?", compute=sit, findings=findings, order=20)

__all__ = ["STUDY", "EndStance", "StanceResult", "sit"]
