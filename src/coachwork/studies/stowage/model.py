"""The constraint programme (OR-Tools CP-SAT): pairs of boxes are left of, right of, behind, ahead of, below or above.

One literal for each of the six, each of which implies its inequality, and a clause that one of them holds. What a plug
needs in front of it, a way out and a face in reach then are clauses over the same literals: the way to the rear is free
of a box that is beside, above, below or ahead. In our trial that proved what a no-overlap constraint alone took tens of
times longer for; `python -m benchmarks stowage` measures it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import ceil, floor, isfinite
from typing import TYPE_CHECKING, Any

from coachwork.build.sections.boxes import Face
from coachwork.studies.stowage.problem import FAR, FINE, SCALE, Block, Item, Problem, Tie

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from coachwork.studies.stowage.bound import Bound

Literal = Any
LOOSE = 200  # steps beyond the decks that a box may go whose outline is given up
WIDE = 4_000  # steps between any two exits
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
    """A CP-SAT model of a problem.

    assumed : demands get a literal to be assumed, so that the solver can name those that cannot hold together
    eased   : one demand that may be broken by `self.extra` steps, for how much it would take
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
        self.extra: Any = self.cp.new_int_var(0, most, "extra") if eased else 0
        self.boxes = {item.name: self._box(item) for item in problem.items}
        self.blocks = [self._block(block) for block in problem.blocks]
        boxes = list(self.boxes.values())
        for i, one in enumerate(boxes):
            for two in boxes[i + 1 :]:
                self._pair(one, two, (), trusted=self._stays(one) and self._stays(two))
        for block, body in zip(problem.blocks, self.blocks, strict=True):
            for one in boxes:
                beside = self._pair(one, body, (block.demand,), trusted=self._stays(one))
                if block.kind != "ceiling":  # what hangs over a box is the shell, not in the way of a hand or a pack
                    self._ways(one, beside, (block.demand,), plate=block.name if block.kind == "plate" else None)
        for one in boxes:
            self._stands(one)
            self._in_reach(one)
        self._areas()
        self.lengths = {tie.name: self._lead(tie) for tie in problem.ties}

    # ---- demands

    def given(self, *demands: str) -> list[Literal]:
        """The literals that a constraint hangs on: those of its demands, where demands can be given up."""
        return [self.demands[name] for name in demands if name in self.demands]

    def say(self, constraint: Any, *demands: str) -> None:
        """Add a linear constraint that belongs to demands."""
        self._when(constraint, self.given(*demands))

    def _when(self, constraint: Any, literals: list[Literal]) -> None:
        if isinstance(constraint, bool):  # between plain numbers
            if not constraint:
                self.cp.add_bool_or([literal.negated() for literal in literals])
            return
        added = self.cp.add(constraint)
        if literals:
            added.only_enforce_if(literals)

    def _clause(self, choices: Iterable[Literal], *demands: str) -> None:
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
                for a in range(2):
                    low[a] += shift[a]
                    high[a] += shift[a]
        return Body(block.name, (low[0], low[1], low[2]), (high[0], high[1], high[2]))

    def _stays(self, box: Boxed) -> bool:
        return box.item.fixed is not None and self.eased != f"keep {box.name}"

    # ---- what keeps them apart

    def _pair(self, one: Boxed, two: Body, demands: tuple[str, ...], *, trusted: bool) -> dict[Face, Literal]:
        """The second lies on one side of the first; with the gap, what plugs need, and least distances.

        trusted : both stay where they are, which is not questioned here (rounding alone might set them at odds)
        """
        owners = [f"carry {body.name}" for body in (one, two) if isinstance(body, Boxed)]
        problem = self.problem
        aparts = [a for a in problem.aparts if {a.one, a.two} == {one.name, two.name}]
        beside: dict[Face, Literal] = {}
        for side, axis, sense in SIDES:
            near, far = (one.high[axis], two.low[axis]) if sense > 0 else (two.high[axis], one.low[axis])
            if (isinstance(near, int) and near >= FAR) or (isinstance(far, int) and far <= -FAR):
                continue  # it has no end there
            literal = self.cp.new_bool_var(f"{two.name} {side} of {one.name}")
            gap = -1 if trusted else 0 if axis == 2 or not isinstance(two, Boxed) else problem.gap
            self._when(near + gap <= far, [literal])
            for body, facing in ((one, side), (two, _OPPOSITE[side])):
                if facing in body.room:
                    room = f"room {body.name}"
                    self._when(
                        near + body.room[facing] - self.more(room) <= far, [literal, *self.given(room, *demands)]
                    )
            for apart in aparts:
                demand = f"apart {apart.one} {apart.two}"
                self._when(near + apart.gap - self.more(demand) <= far, [literal, *self.given(demand, *demands)])
            beside[side] = literal
        for side in ("front", "left", "top"):
            if side in beside and _OPPOSITE[side] in beside:
                self.cp.add_at_most_one(beside[side], beside[_OPPOSITE[side]])
        if not trusted:
            self._clause(beside.values(), *owners, *demands)
        if isinstance(two, Boxed):
            one.beside[two.name] = beside
            two.beside[one.name] = {_OPPOSITE[side]: literal for side, literal in beside.items()}
        return beside

    def _stands(self, box: Boxed) -> None:
        """On a deck, inside its outline; or on a box that carries, wholly supported."""
        item, carry = box.item, f"carry {box.name}"
        if item.fixed is None or not _fixed_off_decks(item, self.problem):
            self.cp.add_exactly_one(box.on.values())
        else:
            return
        for surface in self.problem.surfaces:
            literal = box.on.get(surface.name)
            if literal is None:
                continue
            outline = f"outline {surface.name}"
            self._when(box.low[2] == surface.level, [literal, *self.given(carry)])
            for a, b, c in surface.edges if not self._stays(box) else ():
                x = box.high[0] if a > 0 else box.low[0]
                y = box.high[1] if b > 0 else box.low[1]
                size = round((a * a + b * b) ** 0.5)
                more = size * self.more(outline)
                self._when(a * x + b * y - more <= c, [literal, *self.given(carry, outline)])
                room = f"room {box.name}"
                x_room = box.room.get("front" if a > 0 else "rear", 0)
                y_room = box.room.get("left" if b > 0 else "right", 0)
                if not (isinstance(x_room, int) and isinstance(y_room, int)):
                    asked = abs(a) * (x_room - self.more(room)) if not isinstance(x_room, int) and a else 0
                    asked = asked + (abs(b) * (y_room - self.more(room)) if not isinstance(y_room, int) and b else 0)
                    self._when(a * x + b * y + asked - more <= c, [literal, *self.given(carry, outline, room)])
            self._through_a_door(box, surface.doors, literal)
        for name, literal in box.on.items():
            below = self.boxes.get(name)
            if below is None:
                continue
            both = [literal, *self.given(carry, f"carry {name}")]
            self._when(box.low[2] == below.high[2], both)
            for a in range(2):
                self._when(box.low[a] >= below.low[a], both)
                self._when(box.high[a] <= below.high[a], both)

    def _through_a_door(self, box: Boxed, doors: tuple[tuple[int, int, int, int], ...], on: Literal) -> None:
        if not (box.item.out and doors):
            return
        out = f"out {box.name}"
        choices = []
        for k, (x0, x1, y0, y1) in enumerate(doors):
            door = self.cp.new_bool_var(f"{box.name} by door {k}")
            more = self.more(out)
            self._when(box.low[0] + more >= x0, [door])
            self._when(box.high[0] - more <= x1, [door])
            self._when(box.low[1] + more >= y0, [door])
            self._when(box.high[1] - more <= y1, [door])
            choices.append(door)
        self.cp.add_bool_or([*choices, on.negated(), *(d.negated() for d in self.given(out, f"carry {box.name}"))])

    def _areas(self) -> None:
        """Where all stand side by side on one deck: what lies across any line of it adds up to no more than its width.

        It follows from the rest, but lets the solver prove sooner that there is no room.
        """
        if self.demands or self.eased or len(self.problem.surfaces) != 1:
            return
        deck, boxes = self.problem.surfaces[0], list(self.boxes.values())
        if not deck.edges or any(box.item.surfaces != (deck.name,) for box in boxes):
            return
        gap = self.problem.gap
        for a in range(2):
            spans, sizes = [], []
            for box in boxes:
                for k, (pose, lit) in enumerate(zip(box.item.poses, box.poses, strict=True)):
                    name = f"{box.name} pose {k} along {a}"
                    spans.append(self.cp.new_optional_fixed_size_interval_var(
                        box.low[a], pose.size[a] + gap, lit, name
                    ))  # fmt: skip
                    sizes.append(pose.size[1 - a] + gap)
            across = deck.bounds[3 - 2 * a] - deck.bounds[2 - 2 * a] + gap
            self.cp.add_cumulative(spans, sizes, across)

    # ---- faces in reach, the way out

    def _in_reach(self, box: Boxed) -> None:
        for face in box.item.poses[0].sides:
            demand = f"reach {box.name} {face}"
            for surface in self.problem.surfaces:  # it looks to a side from which a hand gets in
                if (on := box.on.get(surface.name)) is not None:
                    good = [
                        lit
                        for pose, lit in zip(box.item.poses, box.poses, strict=True)
                        if face in pose.sides and pose.sides[face] in surface.open_to
                    ]
                    negated = [d.negated() for d in self.given(demand, f"carry {box.name}")]
                    self.cp.add_bool_or([*good, on.negated(), *negated])
        for other, beside in box.beside.items():
            self._ways(box, beside, (f"carry {other}",))

    def _ways(
        self, box: Boxed, beside: Mapping[Face, Literal], demands: tuple[str, ...], *, plate: str | None = None
    ) -> None:
        """What lies elsewhere than on the side that a face looks to, or than below, is not in the way."""
        carry = f"carry {box.name}"
        for face in box.item.poses[0].sides:
            for pose, lit in zip(box.item.poses, box.poses, strict=True):
                if face in pose.sides:
                    elsewhere = [held for side, held in beside.items() if side != pose.sides[face]]
                    self._clause([*elsewhere, lit.negated()], f"reach {box.name} {face}", carry, *demands)
        if box.item.out:
            elsewhere = [held for side, held in beside.items() if side != "bottom"]
            if plate in box.on:  # its own deck: there it has a door
                elsewhere.append(box.on[plate])
            self._clause(elsewhere, f"out {box.name}", carry, *demands)

    # ---- leads

    def _lead(self, tie: Tie) -> Any:
        """How far the lead goes, along and across and up, in parts of a step."""
        ends = [self._exit(*end) for end in (tie.begins, tie.ends)]
        parts = []
        for a in range(3):
            part = self.cp.new_int_var(0, FINE * WIDE, f"{tie.name} along {a}")
            self.cp.add(part >= ends[0][a] - ends[1][a])
            self.cp.add(part >= ends[1][a] - ends[0][a])
            parts.append(part)
        length = sum(parts)
        if tie.most is not None:
            demand = f"lead {tie.name}"
            owners = (f"carry {tie.begins[0]}", f"carry {tie.ends[0]}")
            self.say(length - FINE * self.more(demand) <= tie.most, demand, *owners)
        return length

    def _exit(self, name: str, exit: str) -> tuple[Any, Any, Any]:
        box = self.boxes[name]
        offsets = [
            sum(p.exits[exit][a] * lit for p, lit in zip(box.item.poses, box.poses, strict=True)) for a in range(3)
        ]
        return FINE * box.low[0] + offsets[0], FINE * box.low[1] + offsets[1], FINE * box.low[2] + offsets[2]

    # ---- what is wanted

    def want_little_extra(self) -> None:
        """Least breaking of the eased demand."""
        self.cp.minimize(self.extra)

    def want_good(self) -> None:
        """Short leads, the weight where it is wanted; in 1 / SCALE of a step of lead."""
        self.cost = sum(SCALE // FINE * tie.weight * self.lengths[tie.name] for tie in self.problem.ties)
        for k, pull in enumerate(self.problem.pulls):
            a = pull.axis
            moment = pull.rest + sum(box.item.mass_g * (box.low[a] + box.high[a]) for box in self.boxes.values())
            size = self.cp.new_int_var(0, 2**40, f"moment {k}")
            self.cp.add(size >= moment)
            self.cp.add(size >= -moment)
            self.cost = self.cost + pull.worth * size
        self.cp.minimize(self.cost)

    def cost_no_less(self, known: Bound) -> None:
        """Tell the solver what is known of the cost; it would not find that out by itself."""
        if known.cost is not None and known.cost > 0:
            self.cp.add(self.cost >= ceil(known.cost - 1e-3))
        for name, least in known.leads.items():
            box = self.boxes[name]
            self.cp.add_bool_and([
                lit.negated() for lit, cost in zip(box.poses, least, strict=True) if not isfinite(cost)
            ])  # fmt: skip
            ties = [tie for tie in self.problem.ties if self._to_what_stays(name, tie)]
            if ties:
                own = sum(SCALE // FINE * tie.weight * self.lengths[tie.name] for tie in ties)
                sure = [(floor(cost), lit) for lit, cost in zip(box.poses, least, strict=True) if isfinite(cost)]
                self.cp.add(own >= sum(cost * lit for cost, lit in sure))

    def _to_what_stays(self, name: str, tie: Tie) -> bool:
        others = [end[0] for end in (tie.begins, tie.ends) if end[0] != name]
        return len(others) == 1 and self.problem.item(others[0]).fixed is not None

    def hint(self) -> None:
        """Begin where the boxes are now."""
        for box in self.boxes.values():
            if box.item.hint is not None:
                corner, pose = box.item.hint
                for a in range(3):
                    self.cp.add_hint(box.low[a], corner[a])
                for k, lit in enumerate(box.poses):
                    self.cp.add_hint(lit, k == pose)


_OPPOSITE: dict[Face, Face] = {
    "front": "rear", "rear": "front", "left": "right", "right": "left", "top": "bottom", "bottom": "top",
}  # fmt: skip


def _fixed_off_decks(item: Item, problem: Problem) -> bool:
    """Whether it stays where no deck carries it, such as a motor on its mount."""
    return item.fixed is not None and not item.surfaces
