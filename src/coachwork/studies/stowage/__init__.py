"""Does everything fit inside?

Needs      : boxes with their sizes, leads and faces; decks with their outlines; ceilings, keep-outs; places
Method     : places are judged by the distances between bodies with their edges along the axes; what has no place yet
             is looked at box by box, and all together by a constraint programme (`coachwork stow`)
Sources    : pairwise relative positions as literals (disjunctive formulation of packing, e.g. Onodera, Taniguchi and
             Tamaru 1991; from memory); minimal conflict by deletion (Chinneck and Dravnieks 1991; from memory)
Leaves out : boxes turned by anything but quarters; bodies that are not boxes; how wires bend
"""

from coachwork.studies.stowage.compute import stowage
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.verdicts import findings
from coachwork.studies.study import Study

STUDY = Study(
    name="stowage", question="Does everything fit inside?", compute=stowage, findings=findings, order=60
)  # fmt: skip

__all__ = ["STUDY", "StowageResult", "stowage"]
