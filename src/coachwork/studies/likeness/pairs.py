"""Which dimensions there are to compare: the shared names, and details under names of the builder's own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwork.build import Length, kebab
from coachwork.build.sections.outline import ALONG, Along, Details, Prototype, Shell

ALWAYS_ASKED = ("length", "width", "height", "wheelbase")  # the first four numbers of any build


@dataclass(frozen=True, kw_only=True)
class Pair:
    """The same dimension on both vehicles."""

    name: str
    told: str
    along: Along
    prototype: Length
    shell: Length

    @property
    def blanks(self) -> tuple[str, ...]:
        """Keys still to be measured. Asks both, so that the record of what was looked at is whole."""
        return tuple([entry.key for entry in (self.prototype, self.shell) if not entry.known])


def pairs(prototype: Prototype, shell: Shell, details: Details) -> Iterator[Pair]:
    """Every pair worth a finding: those with a number on either side, and the four that are always asked."""
    for name, along in ALONG.items():
        pair = Pair(name=kebab(name), told=name.replace("_", " "), along=along,
                    prototype=getattr(prototype, name), shell=getattr(shell, name))  # fmt: skip
        if len(pair.blanks) < 2 or name in ALWAYS_ASKED:
            yield pair
    for name, detail in details.each.items():
        pair = Pair(name=f"detail.{name}", told=name.replace("-", " "), along=detail.along,
                    prototype=detail.prototype, shell=detail.shell)  # fmt: skip
        if len(pair.blanks) < 2:
            yield pair
