"""What a constraint programme (OR-Tools CP-SAT) is made of: boxes and blocks as variables, demands as literals."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.problem import FAR, Block, Item, Problem

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

Literal = Any
LOOSE = 200  # steps beyond the decks that a box may go whose outline is given up
# The side of the first on which the second lies, by axis and sense.
SIDES: tuple[tuple[Face, int, int], ...] = (
    ("front", 0, 1), ("rear", 0, -1), ("left", 1, 1), ("right", 1, -1), ("top", 2, 1), ("bottom", 2, -1),
)  # fmt: skip


@dataclass(eq=False)
class Body:
    """What holds for a box and for a block alike: low and high side along each axis, linear in the variables."""

    name: str
    low: tuple[Any, Any, Any]
    high: tuple[Any, Any, Any]
    room: Mapping[Face, Any] = field(default_factory=dict)  # asked for by its plugs on each side


@dataclass(eq=False)
class Boxed(Body):
    """A box: its pose and its surface as literals."""

    item: Item = field(kw_only=True)
    poses: list[Literal] = field(kw_only=True)
    on: dict[str, Literal] = field(kw_only=True)
    beside: dict[str, dict[Face, Literal]] = field(default_factory=dict, kw_only=True)  # by the other's name


class Model:
    """A problem's variables, and constraints that hang on its demands; `programme` sets the rules.

    assumed : demands get a literal to be assumed, so that the solver can name those that cannot hold together
    eased   : one demand that may be broken by `self.extra` steps, for how much it would take
    lengths : of leads, linear in the variables, by the tie's name; the programme fills them
    """

    def __init__(self, problem: Problem, *, assumed: bool = False, eased: str | None = None, most: int = 0) -> None:
        from ortools.sat.python import cp_model

        self.problem = problem
        self.cp: cp_model.CpModel = cp_model.CpModel()
        self.demands: dict[str, Literal] = {}
        if assumed:
            self.demands = {name: self.cp.new_bool_var(name) for name in problem.demands()}
            self.cp.add_assumptions(list(self.demands.values()))
        self.eased, self.most = eased, most
        self.moved: tuple[Any, Any] | None = None  # along and across, of an eased thing that may be moved
        self.extra: Any = self.cp.new_int_var(0, most, "extra") if eased else 0
        self.boxes = {item.name: self._box(item) for item in problem.items}
        self.blocks = [self._block(block) for block in problem.blocks]
        self.lengths: dict[str, Any] = {}

    # ---- demands

    def given(self, *demands: str) -> list[Literal]:
        """The literals that a constraint hangs on: those of its demands, where demands can be given up."""
        return [self.demands[name] for name in demands if name in self.demands]

    def say(self, constraint: Any, *demands: str) -> None:
        """Add a linear constraint that belongs to demands."""
        self.when(constraint, self.given(*demands))

    def when(self, constraint: Any, literals: list[Literal]) -> None:
        if isinstance(constraint, bool):  # between plain numbers
            if not constraint:
                self.cp.add_bool_or([literal.negated() for literal in literals])
            return
        added = self.cp.add(constraint)
        if literals:
            added.only_enforce_if(literals)

    def clause(self, choices: Iterable[Literal], *demands: str) -> None:
        self.cp.add_bool_or([*choices, *(literal.negated() for literal in self.given(*demands))])

    def more(self, demand: str) -> Any:
        """By how much a demand may be broken."""
        return self.extra if demand == self.eased else 0

    # ---- boxes and blocks

    def _box(self, item: Item) -> Boxed:
        cp, name = self.cp, item.name
        poses = [cp.new_bool_var(f"{name} pose {k}") for k in range(len(item.poses))]
        cp.add_exactly_one(poses)
        size = tuple(sum(pose.size[a] * lit for pose, lit in zip(item.poses, poses, strict=True)) for a in range(3))
        low = self._corner(item)
        room: dict[Face, Any] = {}
        for side, _, _ in SIDES:
            asked = [(pose.room.get(side, 0), lit) for pose, lit in zip(item.poses, poses, strict=True)]
            if any(steps for steps, _ in asked):
                room[side] = sum(steps * lit for steps, lit in asked)
        on = {surface: cp.new_bool_var(f"{name} on {surface}") for surface in item.surfaces}
        box = Boxed(
            name, low, (low[0] + size[0], low[1] + size[1], low[2] + size[2]), room, item=item, poses=poses, on=on
        )
        unusual = [lit for pose, lit in zip(item.poses, poses, strict=True) if not pose.usual]
        for lit in unusual:
            self.say(lit == 0, f"stand {name}", f"carry {name}")
        if item.fixed is not None:
            corner, pose = item.fixed
            keep = f"keep {name}"
            if keep == self.eased:
                off = [cp.new_int_var(0, FAR, f"{name} off {a}") for a in range(2)]
                for a in range(2):
                    cp.add(off[a] >= low[a] - corner[a])
                    cp.add(off[a] >= corner[a] - low[a])
                cp.add(off[0] + off[1] <= self.extra)
                cp.add(low[2] == corner[2])
                self.moved = low[0] - corner[0], low[1] - corner[1]
            else:
                for a in range(3):
                    self.say(low[a] == corner[a], keep, f"carry {name}")
            self.say(poses[pose] == 1, keep, f"carry {name}")
        return box

    def _corner(self, item: Item) -> tuple[Any, Any, Any]:
        """Its lower corner, within the decks it may stand on: the tighter, the better the bounds that are proven."""
        decks = [s for s in self.problem.surfaces if s.name in item.surfaces] or list(self.problem.surfaces)
        slack = 0 if item.surfaces and all(deck.edges for deck in decks) and not self.demands else LOOSE
        slack += self.most if self.eased and self.eased.split(" ")[0] in ("outline", "keep") else 0
        corners = [item.fixed[0]] if item.fixed is not None else []
        spans = []
        for a in range(2):
            least = min(pose.size[a] for pose in item.poses)
            low = min((deck.bounds[2 * a] for deck in decks), default=0) - slack
            high = max((deck.bounds[2 * a + 1] for deck in decks), default=0) - least + slack
            known = [corner[a] for corner in corners]
            spans.append((min([low, *known]), max([max(low, high), *known])))
        tall = sum(max(max(pose.size) for pose in each.poses) for each in self.problem.items if each.carries)
        levels = [*(deck.level for deck in decks), *(corner[2] for corner in corners)]
        spans.append((min(levels, default=0), max(levels, default=0) + tall))
        new = self.cp.new_int_var
        return tuple(new(low, high, f"{item.name} {axis}") for (low, high), axis in zip(spans, "xyz", strict=True))  # type: ignore[return-value]

    def _block(self, block: Block) -> Body:
        low: list[Any] = list(block.low)
        high: list[Any] = list(block.high)
        if block.demand == self.eased:
            if block.demand.startswith("ceiling"):
                low[2] += self.extra
            else:  # it is moved along or across by as much
                shift = [self.cp.new_int_var(-FAR, FAR, f"{block.name} by {a}") for a in range(2)]
                size = self.cp.new_int_var(0, FAR, f"{block.name} off")
                self.cp.add_abs_equality(size, shift[0] + shift[1])
                one = self.cp.new_bool_var(f"{block.name} along")
                self.cp.add(shift[0] == 0).only_enforce_if(one)
                self.cp.add(shift[1] == 0).only_enforce_if(one.negated())
                self.cp.add(size <= self.extra)
                self.moved = shift[0], shift[1]
                for a in range(2):
                    low[a] += shift[a]
                    high[a] += shift[a]
        return Body(block.name, (low[0], low[1], low[2]), (high[0], high[1], high[2]))

    def stays(self, box: Boxed) -> bool:
        return box.item.fixed is not None and self.eased != f"keep {box.name}"

    # ---- what is wanted

    def want_little_extra(self) -> None:
        """Least breaking of the eased demand."""
        self.cp.minimize(self.extra)

    def hint(self) -> None:
        """Begin where the boxes are now."""
        for box in self.boxes.values():
            if box.item.hint is not None:
                corner, pose = box.item.hint
                for a in range(3):
                    self.cp.add_hint(box.low[a], corner[a])
                for k, lit in enumerate(box.poses):
                    self.cp.add_hint(lit, k == pose)
