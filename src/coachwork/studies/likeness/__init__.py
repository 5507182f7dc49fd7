"""Does it look right? The shell's dimensions against the full-size vehicle's, at the scale of the build.

Needs    pairs of dimensions of the same name in `[prototype]` and `[shell]`, and `[details]` of the builder's own;
         the scale is optional: without it the dimensions' own best fit serves
Method   for each axis (lengths, widths, heights) and overall, the scale that fits best, errors in both
         measurements weighed, dimensions that contradict the others left out; then each dimension against its like
Tells    a shell that is off as a whole along an axis (`likeness.scale-agreement.*`) from a part modelled wrong
         (`likeness.<dimension>`, `likeness.detail.<name>`), and lists the work, most visible first
Sources  docs/theory/likeness.md
Leaves   shape between the measured points, and what photographs would tell
"""

from coachwork.studies.likeness.compute import look
from coachwork.studies.likeness.eye import visible_mm
from coachwork.studies.likeness.fit import ScaleFit, fit_scale
from coachwork.studies.likeness.result import Dimension, Job, LikenessResult
from coachwork.studies.likeness.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(name="likeness", question="Does it look right?", compute=look, findings=findings, order=10)

__all__ = ["STUDY", "Dimension", "Job", "LikenessResult", "ScaleFit", "fit_scale", "look", "visible_mm"]
