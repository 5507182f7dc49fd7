"""Does it stand on its wheels: weight, tipping, ride.

Needs      : masses and places of its parts, or a kitchen scale under each wheel; springs and dampers; where stance puts
             the wheels and how linkage guides them
Method     : rigid-body statics; virtual work through the linkage for the springs; Hagen-Poiseuille for the dampers.
             docs/theory/balance.md
Leaves out : the tyres' own spring, anti-roll bars, the chassis's twist (left and right springs share evenly), friction
             in joints, anything faster than standing still: a turn entered suddenly tips it sooner
"""

from coachwork.studies.balance.charts import charts
from coachwork.studies.balance.compute import balance
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.balance.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="balance", question="Does it stand on its wheels?", compute=balance, findings=findings, order=38, charts=charts
)

__all__ = ["STUDY", "BalanceResult", "balance"]
