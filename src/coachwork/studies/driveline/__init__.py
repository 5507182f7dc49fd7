"""Does it pull? Speed, ramp, heat and mesh of motor and gears under the real weight on the real tyres.

Needs    the motor's speed for each volt (resistance, no-load current and heat paths have wide stand-ins); pinion, spur,
         internal ratio, module and the motor's slot; cells of the pack; both axles' tyres; the vehicle's mass
Method   equations of the direct-current machine against rolling, slope, air and grip; the run up to speed by integral
         over the speed; where the motor's temperature settles on a round of starts, runs and the ramp; every pinion
Sources  docs/theory/driveline.md
Leaves   sagging packs, hot controllers, the air under a closed shell, anything over time (power); wires (wiring);
         weight that moves to the rear on a ramp (balance)
"""

from coachwork.studies.driveline.charts import charts
from coachwork.studies.driveline.compute import pull
from coachwork.studies.driveline.motor import Motor, WorkingPoint, at_voltage, settled, working_point
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.driveline.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(name="driveline", question="Does it pull?", compute=pull, findings=findings, charts=charts, order=40)

__all__ = [
    "STUDY", "DrivelineResult", "Motor", "WorkingPoint", "at_voltage", "pull", "settled", "working_point",
]  # fmt: skip
