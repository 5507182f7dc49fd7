"""A wheel cut through its axle, and how its backspace is measured."""

from __future__ import annotations

from pen import FAINT, INK, PAPER, SOFT, Sheet, View


def section() -> Sheet:
    """Left wheel seen from behind, upper half in section; beside it the tyre off the rim."""
    sheet = Sheet(
        940, 590, "A wheel in section", "Inset, backspace, rim, seat, bead and tyre, left wheel seen from behind."
    )
    sheet.heading(
        "Left wheel in section, seen from behind",
        "Keys of [wheels.front], [wheels.rear]; the same under [running-gear.front.wheel] for the wheel bought.",
    )
    at = View((330, 515), 10.0)
    _tyre(sheet, at, bead=9.0)
    rim = [
        (-11, 21.6),
        (-11, 17.4),
        (-7.4, 17.4),
        (-7.4, 6),
        (-4, 6),
        (-4, 16),
        (11, 16),
        (11, 21.6),
        (9, 21.6),
        (9, 19.1),
        (-9, 19.1),
        (-9, 21.6),
    ]
    sheet.line([at(*p) for p in rim], closed=True, weight=2, fill=PAPER)
    sheet.line(
        [at(*p) for p in ((-4, 0), (-4, 6.4), (3, 6.4), (3, 2), (16, 2), (16, 0))], weight=1.4, dash="6 4", colour=SOFT
    )
    sheet.text(at(5.2, 5), "hub", colour=SOFT)
    sheet.line([at(-17, 0), at(18, 0)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text(at(12.2, -1.5), "axle", colour=SOFT)
    sheet.line([at(0, -2), at(0, 40.5)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text(at(0, 41.4), "centre plane of the rim", anchor="middle", colour=SOFT)
    sheet.text((40, 110), "outboard")
    sheet.arrow((108, 132), (46, 132))

    sheet.across(at(-13, 28), at(13, 28), at(0, 28.0)[1], 5, "tyre-width")
    sheet.across(at(-9, 19.1), at(9, 19.1), at(0, 24.2)[1], 7, "seat-width")
    sheet.across(at(-11, 17.4), at(11, 16), at(0, 13.4)[1], 3, "rim-width")
    sheet.across(at(-4, 10), at(0, 10), at(0, 10.3)[1], 1, "inset", beside="right")
    sheet.across(at(-4, 8), at(11, 16), at(0, 7.9)[1], 2, "backspace")
    sheet.leader((28, at(0, 9)[1]), at(-4, 6.2), None, "mounting face", mono=False, bend=at(-12, 7.4))
    sheet.upright(at(-13, 36), at(-13, 0), at(-17.5, 0)[0], None, "")
    sheet.key((at(-19.6, 0)[0], at(0, 24)[1]), 4, "half of tyre-diameter", anchor="middle", turned=True)
    sheet.upright(at(9, 19.1), at(9, 0), at(18.4, 0)[0], None, "")
    sheet.key((at(20.6, 0)[0], at(0, 10.5)[1]), 6, "half of seat-diameter", anchor="middle", turned=True)

    off = View((790, 455), 7.0)
    sheet.text((790, 140), "the tyre off the rim, relaxed", anchor="middle")
    _tyre(sheet, off, bead=10.6)
    sheet.line([off(-18, 0), off(18, 0)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.across(off(-10.6, 19.1), off(10.6, 19.1), off(0, 15.4)[1], 9, "bead-width")
    sheet.upright(off(-8.8, 19.1), off(-8.8, 0), off(-4.4, 0)[0], None, "")
    sheet.key((790, 481), 8, "half of bead-diameter", anchor="middle")
    sheet.text((588, 540), "inset positive as drawn: mounting face")
    sheet.text((588, 560), "outboard of the centre plane")
    return sheet


def _tyre(sheet: Sheet, at: View, bead: float) -> None:
    """The tyre's section, its beads `bead` mm from the centre plane outside."""
    out = [(bead, 19.1), (bead, 21), (12.6, 25), (13, 28), (12.4, 32), (10.5, 35.2), (8, 36)]
    inside = [(bead - 1.8, 19.1), (bead - 1.8, 21.5), (10.6, 26), (10.8, 29), (9.6, 32.6), (7, 33.6)]
    left_out, left_in = [(-x, r) for x, r in out], [(-x, r) for x, r in inside]
    shape = [*out, *left_out[::-1], *left_in, *inside[::-1]]
    sheet.line([at(*p) for p in shape], closed=True, weight=1.8, fill=FAINT)


def backspace() -> Sheet:
    """The wheel on its outer side, a straightedge across the inner edge, the calliper's depth rod down the middle."""
    sheet = Sheet(940, 400, "Backspace", "Measuring backspace with a straightedge and the callipers' depth rod.")
    sheet.heading(
        "Backspace: no sign to get wrong",
        "The wheel lies on its outer side. Depth to the mounting face, less the straightedge.",
    )
    at = View((330, 330), 9.0)
    sheet.line([(40, 330), (620, 330)], weight=2.4)
    sheet.text((46, 348), "flat board", colour=SOFT)
    for side in (-1, 1):
        half = [
            (21.6, 0),
            (17.4, 0),
            (17.4, 3.6),
            (6, 3.6),
            (6, 7),
            (16, 7),
            (16, 22),
            (21.6, 22),
            (21.6, 20),
            (19.1, 20),
            (19.1, 2),
            (21.6, 2),
        ]
        sheet.line([at(side * r, z) for r, z in half], closed=True, weight=2, fill=FAINT)
    sheet.line([at(-6, 3.6), at(6, 3.6)], weight=2)
    sheet.line([at(-6, 7), at(6, 7)], weight=2)
    sheet.line([at(-26, 22), at(26, 22), at(26, 24), at(-26, 24)], closed=True, weight=1.6, fill=PAPER)
    sheet.text((at(27, 0)[0], at(0, 23)[1]), "straightedge")
    sheet.line([at(7.2, 27.5), at(17, 27.5), at(17, 24), at(7.2, 24)], closed=True, weight=1.6, fill=PAPER)
    sheet.line([at(9.6, 24), at(9.6, 7), at(10.4, 7), at(10.4, 24)], closed=True, weight=1.2, fill=INK)
    sheet.text((at(18, 0)[0], at(0, 26.2)[1]), "callipers, depth rod out")
    sheet.upright(at(-16, 22), at(-6, 7), at(-9.5, 0)[0], 2, "backspace", beside="right")
    sheet.leader((at(27, 0)[0], at(0, 8)[1]), at(13, 7), None, "mounting face", mono=False)
    sheet.leader((at(27, 0)[0], at(0, 20)[1]), at(20.4, 22), None, "inner edge of the rim", mono=False)
    sheet.text((672, 176), "backspace = depth read")
    sheet.text((672, 196), "- thickness of the straightedge")
    sheet.text((672, 226), "inset = backspace - rim-width / 2")
    return sheet
