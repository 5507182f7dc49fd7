"""At the bench: the chassis on its blocks, a wire down the kingpin, shafts and ball joints moved by hand."""

from __future__ import annotations

import math

from pen import FAINT, INK, PAPER, SOFT, Point, Sheet, View


def board() -> Sheet:
    """Chassis on blocks, hubs propped at ride height, one square."""
    sheet = Sheet(
        940, 450, "The bench", "Chassis on blocks on a flat board, hubs propped up, heights and widths taken."
    )
    sheet.heading(
        "At the bench, from behind: wheels off, blocks under the chassis, props under the hubs",
        "Everything stays so until the last hardpoint of this end is taken.",
    )
    at = View((470, 370), 2.9, right=-1)
    sheet.line([at(150, 0), at(-150, 0), at(-150, -6), at(150, -6)], closed=True, weight=1.8, fill=FAINT)
    sheet.text(at(146, -11), "flat board: glass, a worktop offcut", colour=SOFT)
    for y in (14, -14):
        sheet.line([at(y + 6, 0), at(y + 6, 36), at(y - 6, 36), at(y - 6, 0)], closed=True, weight=1.6, fill=FAINT)
    sheet.line(
        [
            at(*p)
            for p in (
                (28, 36),
                (28, 46),
                (24, 50),
                (36, 70),
                (40, 92),
                (-40, 92),
                (-36, 70),
                (-24, 50),
                (-28, 46),
                (-28, 36),
            )
        ],
        closed=True,
        weight=1.6,
        fill="#f1f1f1",
    )
    sheet.line([at(0, 104), at(0, -8)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    for side in (1, -1):
        sheet.line([at(side * 24, 42), at(side * 71, 42)], weight=9)
        sheet.line([at(side * 24, 42), at(side * 71, 42)], weight=6, colour=PAPER)
        sheet.line([at(side * 34, 72), at(side * 70, 74)], weight=4)
        sheet.line(
            [at(side * y, z) for y, z in ((68, 38), (76, 38), (83, 56), (83, 66), (74, 72), (70, 78), (66, 76))],
            closed=True,
            weight=1.6,
            fill=PAPER,
        )
        sheet.line(
            [at(side * y, z) for y, z in ((70, 0), (70, 38), (78, 38), (78, 0))], closed=True, weight=1.2, dash="5 3"
        )
    sheet.line(
        [at(83, 0), at(83, 98), at(87, 98), at(87, 4), at(118, 4), at(118, 0)], closed=True, weight=1.6, fill=PAPER
    )
    sheet.line(
        [at(-83, 0), at(-83, 98), at(-87, 98), at(-87, 4), at(-118, 4), at(-118, 0)],
        closed=True,
        weight=1.6,
        fill=PAPER,
    )
    sheet.leader((24, 130), at(85, 92), None, "square on the hub face", mono=False)
    sheet.leader((46, 318), at(74, 20), None, "prop: hub at ride height", mono=False, bend=(222, 318))
    sheet.upright(at(-14, 36), at(-14, 0), at(-34, 0)[0], None, "block", beside="right", mono=False)
    sheet.upright(at(-71, 42), at(-90, 0), at(-56, 0)[0], None, "", beside="right")
    sheet.text((at(-56, 0)[0] - 6, at(0, 26)[1]), "height", anchor="end")
    sheet.across(at(83, 98), at(-83, 98), at(0, 104)[1], None, "across both hub faces", mono=False)
    sheet.text((24, 430), "z = height over the board - block")
    sheet.text((330, 430), "y = half of the distance across both sides")
    return sheet


def kingpin() -> Sheet:
    """A wire down the kingpin: any two points on it."""
    sheet = Sheet(
        940,
        450,
        "The kingpin line",
        "Two points on a straight wire through the kingpin, from behind and from the left.",
    )
    sheet.heading(
        "The kingpin line: any two points on a straight wire through it",
        "Take both points far apart. Left: from behind. Right: from the left side.",
    )
    at = View((400, 380), 5.4, right=-1)
    low, high = (32.0, 4.0), (24.0, 56.0)
    sheet.line([at(*p) for p in ((34, 10), (24, 10), (20, 46), (30, 46))], closed=True, weight=1.6, fill=FAINT)
    sheet.line([at(*p) for p in ((31, 20), (44, 20.5), (44, 32), (29, 32))], closed=True, weight=1.6, fill=PAPER)
    sheet.leader((30, 200), at(26, 43), None, "hub carrier", mono=False)
    sheet.leader((30, 236), at(41, 30), None, "knuckle", mono=False)
    sheet.line([at(*low), at(*high)], weight=2.6)
    sheet.leader((300, 92), at(*high), 5, "kingpin-upper")
    sheet.leader((30, 356), at(*low), 6, "kingpin-lower")
    sheet.line([at(0, 57), at(0, 0)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text((at(0, 0)[0] + 6, at(0, 40)[1]), "centreline", colour=SOFT)
    sheet.line([at(68, 0), at(-6, 0)], weight=1.1, colour=SOFT, dash="6 4")
    sheet.across(at(*high), at(0, 48), at(0, 48)[1], None, "y", beside="below")
    sheet.across(at(*low), at(0, 4), at(0, 4)[1], None, "y", beside="above")
    sheet.text((at(68, 0)[0], at(0, -3)[1]), "underside, z = 0", colour=SOFT)

    side = View((690, 380), 5.4, right=-1)
    back_low, back_high = (5.0, 4.0), (-4.0, 56.0)
    sheet.line([side(*p) for p in ((10, 10), (-6, 10), (-9, 46), (6, 46))], closed=True, weight=1.6, fill=FAINT)
    sheet.circle(side(0, 26), 30, weight=1.6, fill=PAPER)
    sheet.line([side(*back_low), side(*back_high)], weight=2.6)
    sheet.line([side(0, 62), side(0, 0)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text((side(0, 0)[0], 396), "axle line, x = 0", anchor="middle", colour=SOFT)
    sheet.line([side(34, 0), side(-40, 0)], weight=1.1, colour=SOFT, dash="6 4")
    sheet.leader((740, 92), side(*back_high), 5, "kingpin-upper: x < 0")
    sheet.leader((736, 340), side(*back_low), 6, "kingpin-lower: x > 0")
    sheet.arrow((860, 200), (790, 200))
    sheet.text((786, 180), "forward")
    sheet.text(
        (24, 430),
        "No bore to put a wire through? Then the centres of the two kingpin screws' heads, or of the two balls.",
    )
    return sheet


def shaft_and_joint() -> Sheet:
    """What a shaft and a rod end can still do, found by hand."""
    sheet = Sheet(940, 640, "Drive shaft and ball joint", "Plunge of a drive shaft; limit of a ball joint.")
    sheet.heading(
        "Drive shaft: length and plunge, in the measured position",
        "Keys of [running-gear.front]; the wheel propped at ride height.",
    )
    y = 190.0
    for x, sense in ((110.0, 1), (610.0, -1)):
        sheet.line(
            [
                (x, y - 34),
                (x + sense * 130, y - 34),
                (x + sense * 130, y - 18),
                (x + sense * 16, y - 18),
                (x + sense * 16, y + 18),
                (x + sense * 130, y + 18),
                (x + sense * 130, y + 34),
                (x, y + 34),
            ],
            closed=True,
            weight=1.8,
            fill=FAINT,
        )
    sheet.line([(150, y), (570, y)], weight=14)
    sheet.line([(150, y), (570, y)], weight=10.5, colour=PAPER)
    for x in (178.0, 542.0):
        sheet.line([(x, y - 17), (x, y + 17)], weight=9)
    sheet.text((100, 132), "gearbox cup", colour=SOFT)
    sheet.text((620, 132), "stub axle's cup", anchor="end", colour=SOFT)
    sheet.across((178, y + 17), (542, y + 17), 256, 18, "shaft-length")
    sheet.leader((24, 300), (178, y), 10, "shaft-inner", bend=(170, 280))
    sheet.leader((480, 300), (542, y), 11, "shaft-outer")
    sheet.across((126, y - 34), (146, y - 34), 96, None, "", beside="right")
    sheet.across((580, y - 34), (598, y - 34), 96, None, "", beside="right")
    sheet.text((660, 166), "Push it together until it")
    sheet.text((660, 184), "bottoms: both gaps together.")
    sheet.key((660, 208), 19, "shaft-plunge-in")
    sheet.text((660, 240), "Pull until a pin reaches the")
    sheet.text((660, 258), "cup's mouth: how far it went.")
    sheet.key((660, 282), 20, "shaft-plunge-out")

    sheet.text((24, 352), "Ball joint: how far the rod end tips", size=18, bold=True)
    sheet.text(
        (24, 376),
        "Hold the stud, tip the rod end until its rim meets the shoulder. Half of the angle from stop to stop.",
        colour=SOFT,
    )
    for centre, tip in (((190.0, 500.0), 0.0), ((500.0, 500.0), 22.0)):
        _rod_end(sheet, centre, tip)
    sheet.leader((60, 410), (190, 452), None, "stud", mono=False)
    sheet.text((24, 600), "stud along z here:")
    sheet.text((196, 600), 'tie-rod-outer-stud = "z"', size=14, mono=True)
    sheet.line([(500, 500), (690, 500)], weight=1, colour=SOFT, dash="6 4")
    sheet.arc((500, 500), 170, 0, 22, heads="end")
    sheet.key((690, 462), 21, "ball-joint-limit")
    sheet.text((690, 500), "square to the stud", colour=SOFT)
    return sheet


def _rod_end(sheet: Sheet, centre: Point, tip_deg: float) -> None:
    x, y = centre
    sheet.line(
        [(x - 7, y - 50), (x + 7, y - 50), (x + 7, y + 60), (x - 7, y + 60)], closed=True, weight=1.6, fill=PAPER
    )
    sheet.line(
        [(x - 24, y + 44), (x + 24, y + 44), (x + 24, y + 60), (x - 24, y + 60)], closed=True, weight=1.6, fill=FAINT
    )
    c, s = math.cos(math.radians(tip_deg)), math.sin(math.radians(tip_deg))
    shape = [(-30, -16), (20, -16), (34, -8), (124, -8), (124, 8), (34, 8), (20, 16), (-30, 16)]
    sheet.line([(x + u * c + v * s, y - u * s + v * c) for u, v in shape], closed=True, weight=1.8, fill=PAPER)
    sheet.circle(centre, 22, weight=1.8, fill=FAINT)
    sheet.circle(centre, 2.5, fill=INK)
