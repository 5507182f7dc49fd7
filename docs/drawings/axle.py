"""A live axle's links and steering, from above and from the side, and a leaf spring taken as a link."""

from __future__ import annotations

from pen import FAINT, INK, PAPER, SOFT, Point, Sheet, View

TABLE = "Links: [running-gear.front.links.NAME]. "


def above() -> Sheet:
    """Both sides; x forward is up the page; right has negative y."""
    sheet = Sheet(940, 700, "Live axle from above", "Links, panhard rod, drag link and track rod.")
    sheet.heading(
        "Live axle from above: three links and a panhard rod",
        TABLE + "Both sides are measured; on the right y is negative.",
    )
    at = View((470, 420), 4.2, right=-1)
    sheet.line([at(0, 76), at(0, -44)], weight=1.1, colour=SOFT, dash="14 4 3 4")
    sheet.text((at(0, 0)[0] + 8, at(0, 74)[1]), "centreline", colour=SOFT)
    for side in (1, -1):
        corners = ((80, 36), (104, 36), (104, -36), (80, -36))
        sheet.line([at(side * y, x) for y, x in corners], closed=True, colour=SOFT, dash="6 4", weight=1.2)
        knuckle = ((66, 4), (78, 4), (78, -4), (71, -4), (69, -28), (64, -28))
        sheet.line([at(side * y, x) for y, x in knuckle], closed=True, weight=1.5, fill=PAPER)
    sheet.line([at(*p) for p in ((68, 4), (72, 4), (68, 22), (63, 22))], closed=True, weight=1.5, fill=PAPER)
    sheet.line([at(*p) for p in ((70, 3), (-70, 3), (-70, -3), (70, -3))], closed=True, weight=1.8, fill=FAINT)
    sheet.circle(at(8, 0), 30, weight=1.6, fill=FAINT)
    _rod(sheet, at(26, 62), at(40, 2))
    _rod(sheet, at(-26, 62), at(-40, 2))
    _rod(sheet, at(6, 50), at(6, 5))
    _rod(sheet, at(-46, -14), at(46, -14))
    _rod(sheet, at(-14, 26), at(65, 20))
    _rod(sheet, at(66.5, -26), at(-66.5, -26))
    _dot(sheet, at(69, 0))
    sheet.leader((40, 130), at(33, 32), None, "left lower link", mono=False)
    sheet.leader((720, 130), at(-29.3, 48), None, "right lower link", mono=False)
    sheet.leader((500, 190), at(6, 42), None, "upper link", mono=False)
    sheet.leader((500, 456), at(-14, -14), None, "panhard rod", mono=False)
    sheet.leader((24, 250), at(26, 62), 1, "chassis", bend=(200, 180))
    sheet.leader((210, 350), at(40, 2), 2, "axle")
    sheet.leader((690, 250), at(-14, 26), 3, "tie-rod-inner", anchor="start")
    sheet.leader((24, 300), at(65, 20), 4, "tie-rod-outer")
    sheet.leader((700, 510), at(-46, -14), 1, "chassis")
    sheet.leader((230, 505), at(46, -14), 2, "axle")
    sheet.leader((240, 580), at(66.5, -26), 5, "track-rod")
    sheet.leader((500, 580), at(-20, -26), None, "track rod between the knuckles", mono=False)
    sheet.leader((130, 616), at(69, 0), 6, "kingpin-lower, -upper", anchor="middle")
    sheet.text(
        (24, 664),
        "3 to 6 stand in [running-gear.front] itself: the drag link runs from 3 on the servo's arm to 4 at the left;",
    )
    sheet.text((24, 684), "the right knuckle is the left one's mirror image.")
    return sheet


def side() -> Sheet:
    """From the left: x forward to the left, z up; links in one panel, a leaf spring in the other."""
    sheet = Sheet(940, 430, "Live axle from the left", "Heights of the links; a leaf spring's eye and clamp.")
    sheet.heading(
        "Live axle from the left: heights of the links; a leaf spring",
        TABLE + "x from the axle line forward, z from the underside.",
    )
    for origin in (330.0, 780.0):
        at = View((origin, 330), 3.5, right=-1)
        sheet.line([at(80, 0), at(-36, 0)], weight=1.1, colour=SOFT, dash="6 4")
        sheet.line([at(80, -8), at(-40, -8)], weight=1.1, colour=SOFT)
        sheet.circle(at(0, 30), 37 * 3.5, colour=SOFT, dash="6 4", weight=1.2)
        sheet.line(
            [at(84, 52), at(-40, 52), at(-40, 58), at(84, 58)], weight=1.2, fill="#f1f1f1", colour=SOFT, closed=True
        )
    at = View((330, 330), 3.5, right=-1)
    sheet.text(at(80, 55), "chassis", colour=SOFT)
    sheet.text(at(80, -3.8), "underside, z = 0", colour=SOFT)
    sheet.text(at(80, -12), "ground", colour=SOFT)
    sheet.line([at(66, 52), at(66, 12), at(58, 12), at(58, 52)], weight=1.4, fill=FAINT)
    sheet.line([at(50, 52), at(50, 38), at(44, 38), at(44, 52)], weight=1.4, fill=FAINT)
    sheet.circle(at(0, 30), 24, weight=1.8, fill=FAINT)
    sheet.line([at(-3, 36), at(-4, 46), at(2, 46), at(3, 36)], weight=1.4, fill=FAINT)
    sheet.line([at(3, 25), at(4, 18), at(-2, 18), at(-3, 24)], weight=1.4, fill=FAINT)
    _rod(sheet, at(62, 16), at(1, 20))
    _rod(sheet, at(47, 42), at(-1, 44))
    sheet.leader((24, 210), at(62, 16), 1, "chassis")
    sheet.leader((176, 308), at(1, 20), 2, "axle")
    sheet.leader((196, 236), at(34, 18), None, "lower link", mono=False)
    sheet.leader((226, 206), at(20, 43), None, "upper link", mono=False)
    sheet.upright(at(47, 42), at(74, 0), at(52, 0)[0], None, "z", beside="left")
    sheet.leader((350, 396), at(0, 30), None, "axle line, x = 0", mono=False)

    at = View((780, 330), 3.5, right=-1)
    sheet.line([at(64, 52), at(62, 30), at(56, 30), at(54, 52)], weight=1.4, fill=FAINT)
    start, clamp, far = at(59, 32), at(0, 20), at(-50, 34)
    for shift in (-4, 0, 4):
        low = (clamp[0], clamp[1] + shift)
        ends = [(start[0], start[1] + shift / 2), (far[0] - 38, far[1] + shift / 2)]
        bends = [((start[0] + clamp[0]) / 2, low[1]), ((far[0] + clamp[0]) / 2 + 20, low[1])]
        sheet.path("M", ends[0], "Q", bends[0], low, "Q", bends[1], ends[1])
    sheet.line([at(-39, 34), at(-34, 52)], weight=4)
    sheet.leader((800, 160), at(-36, 44), None, "shackle", mono=False)
    sheet.circle(at(0, 30), 24, weight=1.8, fill=FAINT)
    sheet.line([at(4, 24), at(4, 16), at(-4, 16), at(-4, 24)], closed=True, weight=1.6, fill=PAPER)
    _dot(sheet, at(59, 32))
    _dot(sheet, at(0, 20))
    sheet.leader((490, 284), at(59, 32), 1, "chassis: the fixed eye")
    sheet.leader((540, 396), at(0, 20), 2, "axle: middle of the clamp")
    sheet.text((520, 92), "leaf-sprung = true;", size=14, mono=True)
    sheet.text((520, 112), "links left-leaf, right-leaf", size=14, mono=True)
    return sheet


def _rod(sheet: Sheet, start: Point, end: Point) -> None:
    sheet.line([start, end], weight=7)
    sheet.line([start, end], weight=3.8, colour=PAPER)
    for ball in (start, end):
        _dot(sheet, ball)


def _dot(sheet: Sheet, at: Point) -> None:
    sheet.circle(at, 6, fill=PAPER)
    sheet.circle(at, 2, fill=INK, weight=0.8)
