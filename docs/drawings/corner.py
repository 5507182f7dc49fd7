"""One front corner with its hardpoints: arm and camber link from behind and from above, and two arms from behind.

The points are those of no vehicle in particular; only where each one lies is meant.
"""

from __future__ import annotations

from pen import FAINT, INK, PAPER, SOFT, Point, Sheet, View

TABLE = "Keys of [running-gear.front], left side. "


def behind() -> Sheet:
    """Arm, hub carrier and camber link, from behind: y to the left, z up."""
    sheet = Sheet(
        940,
        720,
        "Front left corner from behind: arm, hub carrier, camber link",
        "Where y and z of each hardpoint are taken.",
    )
    sheet.heading(
        "Left corner from behind: arm, hub carrier, camber link", TABLE + "y from the centreline, z from the underside."
    )
    at = View((880, 530), 7.6, right=-1)
    _frame_behind(sheet, at, hub=(83, 25))
    arm_pin, hub_pin = (24, 6), (71, 5.6)
    _bar(sheet, at(*arm_pin), at(*hub_pin), 15)
    sheet.line(
        [at(*p) for p in ((67, 2), (75, 2), (76.5, 12), (74.5, 36), (72, 42), (66.5, 40), (69, 34), (68, 16))],
        closed=True,
        fill=FAINT,
    )
    sheet.line([at(72, 20), at(83, 20.5), at(83, 29.5), at(72, 30)], closed=True, fill=PAPER)
    _bar(sheet, at(34, 36), at(70, 38), 6)
    _bar(sheet, at(38, 54), at(58, 9), 11)
    _bar(sheet, at(15, 24.2), at(73, 25), 5)
    sheet.line([at(24, 18), at(71.5, 18.2)], weight=2.4, colour=SOFT)
    sheet.leader((470, at(0, 13)[1]), at(56, 18.2), None, "tie-rod: see from above", mono=False)
    sheet.line([at(75.7, -6.5), at(70.9, 48)], weight=1.4, dash="12 4 3 4")
    sheet.leader((330, 92), at(70.9, 47.5), None, "kingpin line", mono=False)

    for point in (arm_pin, hub_pin, (34, 36), (70, 38)):
        _pin(sheet, at(*point))
    _callout(sheet, (650, 600), at(*arm_pin), 1, "arm-pin-front, -rear")
    _callout(sheet, (330, 655), at(*hub_pin), 2, "hub-pin-front, -rear", anchor="end", bend=(346, 640))
    _callout(sheet, (670, 236), at(34, 36), 3, "camber-link-inner")
    _callout(sheet, (420, 190), at(70, 38), 4, "camber-link-outer")
    _callout(sheet, (24, 228), at(72.05, 35), 5, "kingpin-upper")
    _callout(sheet, (24, 553), at(74.2, 10.5), 6, "kingpin-lower")
    _callout(sheet, (24, 345), at(83, 25), 7, "hub-face")
    _callout(sheet, (606, 92), at(38, 54), 8, "damper-inner")
    _callout(sheet, (400, 600), at(58, 9), 9, "damper-outer")
    _callout(sheet, (640, 380), at(15, 24.2), 10, "shaft-inner")
    _callout(sheet, (400, 290), at(73, 25), 11, "shaft-outer")
    sheet.across(at(83, 25), at(0, -8), 684, None, "hub-face y")
    sheet.upright(at(83, 25), at(95, 0), 128, None, "hub-face z", beside="left")
    return sheet


def above() -> Sheet:
    """The same corner from above: x forward (up the page), y to the left."""
    sheet = Sheet(
        940, 790, "Front left corner from above", "Where x and y of each hardpoint are taken, and the steering."
    )
    sheet.heading(
        "The same corner from above: x and y, and the steering",
        TABLE + "x from the axle line forward (up the page), y from the centreline.",
    )
    at = View((790, 350), 7.4, right=-1)
    sheet.line([at(0, 33), at(0, -56)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text((at(0, 0)[0], at(0, 34.5)[1]), "centreline", anchor="middle", colour=SOFT)
    sheet.line([at(104, 0), at(-14, 0)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text((930, at(0, 0)[1] - 14), "axle line", anchor="end", colour=SOFT)
    sheet.line([at(70, 31), at(96, 31), at(96, -31), at(70, -31)], closed=True, colour=SOFT, dash="6 4", weight=1.2)
    sheet.line([at(*p) for p in ((24, 18), (24, -22), (71, -4.5), (71, 4.5))], closed=True, weight=1.4, fill=FAINT)
    _bar(sheet, at(24, 20), at(24, -24), 5)
    _bar(sheet, at(71, 6), at(71, -6), 5)
    _bar(sheet, at(15, 0), at(73, 0), 5)
    _bar(sheet, at(34, -6), at(70, -6), 6)
    sheet.line(
        [at(*p) for p in ((72, 5), (83, 5), (83, -5), (76, -5), (73, -15), (70, -15), (70, -4))],
        closed=True,
        weight=1.6,
    )
    _bar(sheet, at(24, -16), at(71.5, -14), 6)
    sheet.line([at(*p) for p in ((24, -16), (26, -31), (22, -46.5), (18, -31))], closed=True, weight=1.6, fill=FAINT)
    _bar(sheet, at(22, -46), at(-8, -46), 6)
    sheet.line([at(*p) for p in ((2, -34), (-14, -34), (-14, -44), (2, -44))], closed=True, weight=1.4, fill=FAINT)
    sheet.text(at(-6, -37.5), "servo", anchor="middle", colour=SOFT)
    for point in (
        (24, -16),
        (71.5, -14),
        (22, -30),
        (22, -46),
        (-8, -46),
        (24, 18),
        (24, -22),
        (71, 4.5),
        (71, -4.5),
        (34, -6),
        (70, -6),
        (15, 0),
        (73, 0),
    ):
        _pin(sheet, at(*point))

    _callout(sheet, (640, 176), at(24, 18), 1, "arm-pin-front")
    _callout(sheet, (404, 572), at(24, -22), 1, "arm-pin-rear", bend=(560, 560))
    _callout(sheet, (300, 250), at(71, 4.5), 2, "hub-pin-front")
    _callout(sheet, (36, 640), at(71, -4.5), 2, "hub-pin-rear", bend=(222, 560))
    _callout(sheet, (404, 440), at(34, -6), 3, "camber-link-inner", bend=(530, 425))
    _callout(sheet, (24, 300), at(83, 0), 7, "hub-face")
    _callout(sheet, (690, 308), at(15, 0), 10, "shaft-inner")
    _callout(sheet, (420, 300), at(73, 0), 11, "shaft-outer")
    _callout(sheet, (650, 440), at(24, -16), 12, "tie-rod-inner", bend=(630, 450))
    _callout(sheet, (280, 520), at(71.5, -14), 13, "tie-rod-outer")
    _callout(sheet, (360, 660), at(22, -30), 14, "steering.pivot", bend=(556, 630))
    _callout(sheet, (330, 726), at(22, -46), 15, "steering.crank-ball")
    _callout(sheet, (655, 762), at(-8, -46), 16, "steering.servo-ball")
    _callout(sheet, (836, 566), at(-2, -40), 17, "steering.servo-axis", anchor="middle")
    sheet.across(at(71.5, -14), at(0, -50), 700, None, "", beside="on")
    sheet.text((160, 714), "tie-rod-outer y", size=14, mono=True)
    sheet.upright(at(71.5, -14), at(95, 0), 52, None, "", beside="on")
    sheet.text((60, 408), "tie-rod-outer x", size=14, mono=True)
    sheet.text((24, 770), "Behind the axle line x is negative.")
    return sheet


def two_arm() -> Sheet:
    """Two arms with outer ball joints, from behind."""
    sheet = Sheet(940, 660, "Front left corner from behind: two arms", "Hardpoints of the two-arm kind.")
    sheet.heading("Left corner from behind: two arms with outer ball joints", TABLE + 'kind = "two-arm".')
    at = View((880, 510), 7.6, right=-1)
    _frame_behind(sheet, at, hub=(83, 25))
    lower_pin, lower_ball, upper_pin, upper_ball = (22, 8), (72, 6), (32, 36), (68, 43)
    sheet.line(
        [at(*p) for p in ((74, 4), (75.5, 18), (72, 34), (69, 46), (65.5, 43), (68, 30), (69.5, 6))],
        closed=True,
        fill=FAINT,
    )
    sheet.line([at(72, 20), at(83, 20.5), at(83, 29.5), at(71, 30)], closed=True, fill=PAPER)
    _bar(sheet, at(*lower_pin), at(*lower_ball), 15)
    _bar(sheet, at(*upper_pin), at(*upper_ball), 9)
    sheet.line([at(24, 19), at(71, 19.5)], weight=2.4, colour=SOFT)
    (y0, z0), (y1, z1) = lower_ball, upper_ball
    ends = [(y0 + (y1 - y0) * t, z0 + (z1 - z0) * t) for t in (-0.36, 1.22)]
    sheet.line([at(*p) for p in ends], weight=1.4, dash="12 4 3 4")
    sheet.leader((360, 96), at(*ends[1]), None, "kingpin: the line through both balls", mono=False)
    for point in (lower_pin, lower_ball, upper_pin, upper_ball, (24, 19), (71, 19.5)):
        _pin(sheet, at(*point))
    _callout(sheet, (640, 585), at(*lower_pin), 1, "arm-pin-front, -rear")
    _callout(sheet, (372, 585), at(*lower_ball), 2, "lower-ball")
    _callout(sheet, (655, 170), at(*upper_pin), 3, "upper-pin-front, -rear")
    _callout(sheet, (400, 150), at(*upper_ball), 4, "upper-ball")
    _callout(sheet, (24, 325), at(83, 25), 7, "hub-face")
    _callout(sheet, (716, 336), at(24, 19), 12, "tie-rod-inner")
    _callout(sheet, (420, 300), at(71, 19.5), 13, "tie-rod-outer")
    sheet.text((24, 636), "An unsteered end has the tie-rod too, as a toe link to a ball on the chassis.")
    return sheet


def _frame_behind(sheet: Sheet, at: View, *, hub: Point) -> None:
    """Chassis, underside, centreline, ground and the tyre, as far as every view from behind needs them."""
    sheet.line(
        [at(*p) for p in ((-6, 0), (28, 0), (28, 9), (22, 12), (22, 30), (36, 33), (42, 58), (-6, 58))],
        weight=1.2,
        fill="#f1f1f1",
        colour=SOFT,
        closed=True,
    )
    sheet.line([at(0, 60), at(0, -12)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text((at(0, 0)[0] - 6, at(0, 55)[1]), "centreline", anchor="end", colour=SOFT)
    sheet.line([at(102, 0), at(-7, 0)], weight=1.1, colour=SOFT, dash="6 4")
    sheet.text((at(0, 0)[0] - 12, at(0, 2)[1]), "underside, z = 0", anchor="end", colour=SOFT)
    ground = hub[1] - 31.5
    sheet.line([at(112, ground), at(-7, ground)], weight=1.1, colour=SOFT)
    sheet.text(at(111, ground - 1.8), "ground", colour=SOFT)
    sheet.line(
        [
            at(hub[0] - 13, ground),
            at(hub[0] + 13, ground),
            at(hub[0] + 13, hub[1] + 31.5),
            at(hub[0] - 13, hub[1] + 31.5),
        ],
        closed=True,
        colour=SOFT,
        dash="6 4",
        weight=1.2,
    )
    sheet.upright(at(10, 0), at(10, ground), at(45, 0)[0], None, "ride-height", beside="right")


def _bar(sheet: Sheet, start: Point, end: Point, width: float) -> None:
    """A rod or an arm: two edges with white between them."""
    sheet.line([start, end], weight=width)
    sheet.line([start, end], weight=max(1.0, width - 3.2), colour=PAPER)


def _pin(sheet: Sheet, at: Point) -> None:
    sheet.circle(at, 6.5, fill=PAPER)
    sheet.circle(at, 2, fill=INK, weight=0.8)


def _callout(
    sheet: Sheet, label: Point, target: Point, number: int, words: str, anchor: str = "start", bend: Point | None = None
) -> None:
    sheet.leader(label, target, number, words, anchor=anchor, bend=bend)
