"""What stops it by the roadside?

Needs    pack, controller, the receiver's regulator and its limit, motor and gears, the devices' currents, mass, tyres,
         the shell's outside dimensions; all about heat and cut-outs has a wide stand-in
Method   circuit (direct-current machine, chopper, regulator, a pack of one resistance and one RC pair) on seven lumps
         of heat, under or without a shell, over a round of driving; exact steps, events at their moments
Finds    which protection trips first and when, how warm everything would become, how long the pack lasts; the same with
         the shell off, with vents, with a separate regulator; `why`: which cause is likeliest after a stop
Sources  docs/theory/power.md
Leaves   wires and plugs one by one (wiring); temperatures inside a lump; cold packs; current ripple
"""

from coachwork.studies.power.charts import charts
from coachwork.studies.power.compute import stops
from coachwork.studies.power.result import PowerResult
from coachwork.studies.power.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="power", question="What stops it by the roadside?", compute=stops, findings=findings, charts=charts, order=55
)  # fmt: skip

__all__ = ["STUDY", "PowerResult", "stops"]
