"""Is there enough current everywhere, and nothing too much for its wire?

Needs    pack, controller, regulators, the leads between them with their plugs, switches and fuses, what draws current
         (the radio's devices are loads by themselves), light strings
Method   nodal analysis in a handful of states of the loads, the pack full and low; regulators with drop-out and current
         limit, diodes and loads by their own laws, solved by Newton's method over all samples at once
Finds    volts at every load, brown-out with a servo held, currents against wires, plugs, switches, regulators, pack;
         regulators that meet, the wrong rail, a tap that unbalances the pack, a wrong count of cells, fuses, resistors
Sources  docs/theory/wiring.md
Leaves   time and heat (power): a state is taken as it stands; what a motor makes of its volts (driveline)
"""

from coachwork.studies.study import Study
from coachwork.studies.wiring.charts import charts
from coachwork.studies.wiring.compute import feed
from coachwork.studies.wiring.result import Case, Solved, WiringResult
from coachwork.studies.wiring.verdicts import findings

STUDY = Study(
    name="wiring", question="Is there enough current everywhere?", compute=feed, findings=findings, charts=charts,
    order=50,
)  # fmt: skip

__all__ = ["STUDY", "Case", "Solved", "WiringResult", "feed"]
