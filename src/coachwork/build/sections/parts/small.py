"""`[parts.battery-door]`, `[parts.posts]`, `[parts.front-arms]` and the other small parts."""

from __future__ import annotations

from typing import Annotated

from coachwork.build.entries import Ask, Count, Length, Note
from coachwork.build.section import Section
from coachwork.build.sections.parts.own import Drawn


class BatteryDoor(Drawn):
    """The door below the pack: pins and lips carry load across the bay, a tongue and two latches hold it."""

    latch_length: Annotated[
        Length, Ask(how="latch from its root to its free end", usual=(4, 60), guess="20 ± 0 mm")
    ] = Length()  # fmt: skip
    latch_thickness: Annotated[
        Length, Ask(how="latch in the direction it bends", usual=(0.8, 5), guess="2.0 ± 0 mm")
    ] = Length()  # fmt: skip
    latch_hook: Annotated[
        Length, Ask(how="how far the latch's nose reaches over the chassis's edge", usual=(0.4, 5),
                    guess="1.2 ± 0 mm")
    ] = Length()  # fmt: skip
    pin: Annotated[
        Length, Ask(how="diameter of the pins between door and chassis", usual=(1, 5), guess="2.0 ± 0 mm")
    ] = Length()  # fmt: skip


class Post(Drawn):
    """A body post: a column screwed to the floor from below, with holes to set the body's height by."""

    x: Annotated[
        Length, Ask(how="the post's middle from the front axle line, forward positive; left out: that of the keep-out "
                    "of its name", sign="any", usual=(-800, 400))
    ] = Length()  # fmt: skip
    y: Annotated[
        Length, Ask(how="the post's middle from the centreline, to the left positive; left out: that of the keep-out "
                    "of its name", sign="any", usual=(-300, 300))
    ] = Length()  # fmt: skip
    height: Annotated[
        Length, Ask(how="from the floor up to the underside of what it holds inside the shell", usual=(8, 250))
    ] = Length()  # fmt: skip
    diameter: Annotated[Length, Ask(how="diameter of the column", usual=(4, 20), guess="8 ± 0 mm")] = Length()
    adjusts: Annotated[
        Length, Ask(how="how far the body's height can be set each way", sign="not negative", usual=(0, 20),
                    guess="4 ± 0 mm")
    ] = Length()  # fmt: skip
    screw: Annotated[str, Note("the screw through the floor")] = "M3"
    screw_length: Annotated[
        Length, Ask(how="that screw all over, countersunk", usual=(4, 60), guess="12 ± 0 mm")
    ] = Length()  # fmt: skip


class Arms(Drawn):
    """Both lower arms of one end, of the length that [changes] asks for."""

    thickness: Annotated[Length, Ask(how="the arm's web, up and down", usual=(1.5, 15), guess="5 ± 0 mm")] = Length()
    pin: Annotated[
        Length, Ask(how="diameter of its hinge pins, at both ends", usual=(1.5, 6), guess="3.0 ± 0.1 mm")
    ] = Length()  # fmt: skip
    barrel: Annotated[
        Length, Ask(how="diameter of the material round the hinge pins", usual=(3, 20), guess="7.5 ± 0 mm")
    ] = Length()  # fmt: skip
    play: Annotated[
        Length, Ask(how="how much the barrel is shorter than the pin's seat, both ends together", usual=(0.05, 2),
                    guess="0.4 ± 0 mm")
    ] = Length()  # fmt: skip
    damper_screw: Annotated[str, Note("the screw that holds the damper's lower end")] = "M3"


class Carriers(Drawn):
    """Both hub carriers of an end that does not steer: two ball bearings over the arm's outer hinge pin."""

    bearing: Annotated[str, Note('both ball bearings, bore x outside x width in mm: "5x10x4"')] = ""
    bearings_across: Annotated[
        Length, Ask(how="over both bearings, outer face to outer face", usual=(4, 60), guess="14 ± 3 mm")
    ] = Length()  # fmt: skip
    behind_face: Annotated[
        Length, Ask(how="from the hub's face, that the wheel bolts against, in to the outer bearing", usual=(0.5, 40),
                    guess="3 ± 1 mm")
    ] = Length()  # fmt: skip
    wall: Annotated[Length, Ask(how="material round bearings and hinge pin", usual=(1.2, 8), guess="2.4 ± 0.4 mm")] = (
        Length()
    )
    lug: Annotated[
        Length, Ask(how="thickness of the lugs either side of the arm's end", usual=(1.5, 10), guess="4 ± 0.5 mm")
    ] = Length()  # fmt: skip
    link_screw: Annotated[str, Note("the thread of the camber link's ball stud")] = "M3"


class HubSpacer(Drawn):
    """A ring between hub face and wheel, of the thickness in [changes]."""

    bore: Annotated[Length, Ask(how="diameter of the axle or the hub's spigot", usual=(2, 40))] = Length()
    outside: Annotated[Length, Ask(how="the ring's outside diameter", usual=(4, 60))] = Length()


class LightHousing(Drawn):
    """A cup behind a lens, with seats for light-emitting diodes."""

    lens: Annotated[Length, Ask(how="diameter of the lens", usual=(2, 60))] = Length()
    lens_depth: Annotated[Length, Ask(how="how deep the lens sits in", usual=(0.3, 10), guess="1.0 ± 0.3 mm")] = (
        Length()
    )
    depth: Annotated[Length, Ask(how="from the lens's back to the cup's bottom", usual=(2, 60))] = Length()
    wall: Annotated[Length, Ask(how="thickness of the cup", usual=(0.6, 5), guess="1.2 ± 0 mm")] = Length()
    diode: Annotated[Length, Ask(how="diameter of the diodes", usual=(1, 12), guess="3.0 ± 0.1 mm")] = Length()
    diodes: Annotated[Count, Ask(how="how many diodes", usual=(1, 12), guess="1")] = Count()


class Jigs(Section):
    """Plates to drill through and to mark by."""

    plate: Annotated[Length, Ask(how="thickness of the plate", usual=(1, 10), guess="3 ± 0 mm")] = Length()
    bush: Annotated[
        Length, Ask(how="height of the bushes that guide the drill, over the plate", usual=(1, 30), guess="6 ± 0 mm")
    ] = Length()  # fmt: skip
    drill: Annotated[Length, Ask(how="diameter of the drill", usual=(0.5, 12), guess="2.5 ± 0 mm")] = Length()
    of: Annotated[
        str, Note('what to drill by: "front-bolts", "rear-bolts", or to mark by: "posts", with commas between')
    ] = "front-bolts"
