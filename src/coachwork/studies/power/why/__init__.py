"""Why did it stop? Causes ranked by what was seen, with the drive's own simulation behind them.

Method   every cause gives each observation a probability: signs by a table (`signs`) that follows how each protection
         lets go in this build; minutes, volts and temperatures by the drives of many samples (`simulated`); Bayes' rule
         weighs them (`rank`), each observation softened, so that one mistaken reading cannot rule a cause out
Says     how likely each cause is, what each would predict for what was seen, whether the evidence separates the first
         two, and the cheapest next test that would
Leaves   two causes at once
"""

from coachwork.studies.power.why.rank import Answer, Likely, NextTest, why
from coachwork.studies.power.why.seen import Seen
from coachwork.studies.power.why.signs import CAUSES, Cause

__all__ = ["CAUSES", "Answer", "Cause", "Likely", "NextTest", "Seen", "why"]
