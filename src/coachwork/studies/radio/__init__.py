"""Does every switch do what you meant?

Needs    the radio's table: controls, channels, devices with where they switch, and your wishes in plain words
Method   controls move channels, channels send pulses, devices are small machines; their product is explored in full,
         breadth first, with every action of the builder, power off and on, the signal lost and back, and time
Finds    each wish proved, or refuted by a shortest sequence of actions and cured by the cheapest change found; modes
         that nothing reaches, functions that are one, pulses too near to a switching point; the heaviest load
Sources  docs/theory/radio.md
Leaves   how long a receiver takes to notice that the signal is lost; frames lost one by one; brown-outs (power)
"""

from coachwork.studies.radio.compute import obey
from coachwork.studies.radio.result import RadioResult, WishAnswer
from coachwork.studies.radio.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(name="radio", question="Does every switch do what you meant?", compute=obey, findings=findings, order=70)

__all__ = ["STUDY", "RadioResult", "WishAnswer", "obey"]
