"""Axes and the signs of the wheel's angles, after ISO 8855."""

from __future__ import annotations

import math

from pen import FAINT, INK, SOFT, Point, Sheet, View


def signs() -> Sheet:
    """Four panels: axes, from behind, from the left, from above."""
    sheet = Sheet(
        940, 900, "Axes and signs", "Axes, camber, kingpin inclination, scrub radius, caster, trail, toe and steer."
    )
    sheet.heading("Axes and signs (ISO 8855): everything drawn is positive")
    sheet.line([(470, 60), (470, 880)], weight=1, colour=FAINT)
    sheet.line([(24, 460), (916, 460)], weight=1, colour=FAINT)
    _axes(sheet)
    _behind(sheet)
    _left(sheet)
    _above(sheet)
    return sheet


def _axes(sheet: Sheet) -> None:
    sheet.text((24, 76), "The frame of one end", bold=True)

    def at(x: float, y: float, z: float) -> Point:
        return 250 - 1.55 * x - 0.95 * y, 330 - 0.62 * x + 0.55 * y - 1.9 * z

    def slab(z: float) -> list[Point]:
        return [at(40, 38, z), at(40, -38, z), at(-70, -38, z), at(-70, 38, z)]

    sheet.line(slab(0), closed=True, weight=1.6, fill=FAINT)
    sheet.line([at(0, 100, 0), at(0, -100, 0)], weight=1, colour=SOFT, dash="14 4 3 4")
    sheet.text((352, 272), "axle line", colour=SOFT)
    origin = at(0, 0, 0)
    for tip, label, where in (
        (at(92, 0, 0), "x forward", (52, 252)),
        (at(0, 88, 0), "y to the left", (72, 402)),
        (at(0, 0, 88), "z up", (262, 170)),
    ):
        sheet.arrow(origin, tip, weight=2.4)
        sheet.text(where, label, bold=True)
    sheet.circle(origin, 4, fill=INK)
    sheet.text((272, 352), "flat underside, z = 0")
    sheet.text((24, 428), "Origin: centreline, axle line, underside of the chassis.")


def _behind(sheet: Sheet) -> None:
    sheet.text((494, 76), "From behind, left wheel", bold=True)
    at = View((720, 400), 5.0, right=-1)
    sheet.line([at(44, 0), at(-36, 0)], weight=1.6)
    lean = math.radians(9)

    def on_wheel(u: float, v: float) -> Point:  # v up along the wheel from the contact point
        return at(18 + u * math.cos(lean) + v * math.sin(lean), max(0.0, v * math.cos(lean) - u * math.sin(lean)))

    sheet.line([on_wheel(*p) for p in ((-5, 0), (5, 0), (5, 52), (-5, 52))], closed=True, weight=1.8, fill=FAINT)
    sheet.line([at(18, 0), on_wheel(0, 60)], weight=1.2, colour=SOFT, dash="12 4 3 4")
    sheet.line([at(18, 0), at(18, 60)], weight=1, colour=SOFT, dash="5 4")
    sheet.arc(at(18, 0), 285, 90, 99, heads="end")
    sheet.text((at(18, 0)[0] - 52, 106), "camber", anchor="end")
    foot, top = (2.0, 0.0), (-8.0, 54.0)
    sheet.line([at(*foot), at(*top)], weight=2.4)
    sheet.line([at(*foot), at(2, 54)], weight=1, colour=SOFT, dash="5 4")
    sheet.arc(at(*foot), 215, 90, 79.5, heads="end")
    sheet.text((775, 180), "kingpin inclination")
    sheet.text((at(*top)[0] + 8, at(*top)[1]), "kingpin")
    sheet.across(at(18, 0), at(2, 0), 424, None, "scrub radius", beside="below", mono=False)
    sheet.text((at(44, 0)[0], 424), "outboard", colour=SOFT)
    sheet.text((at(-36, 0)[0], 424), "centreline this way", anchor="end", colour=SOFT)


def _left(sheet: Sheet) -> None:
    sheet.text((24, 488), "From the left, left wheel; forward is left", bold=True)
    at = View((250, 810), 4.6, right=-1)
    sheet.line([at(46, 0), at(-42, 0)], weight=1.6)
    sheet.circle(at(0, 30), 30 * 4.6, weight=1.8, fill=FAINT)
    foot, top = (9.0, 0.0), (-6.5, 66.0)
    sheet.line([at(*foot), at(*top)], weight=2.4)
    sheet.line([at(*foot), at(9, 66)], weight=1, colour=SOFT, dash="5 4")
    sheet.line([at(0, 30), at(0, -2)], weight=1, colour=SOFT, dash="5 4")
    sheet.circle(at(0, 30), 4, fill=INK)
    sheet.arc(at(*foot), 280, 90, 76.8, heads="end")
    sheet.text((at(9, 0)[0] - 8, 532), "caster", anchor="end")
    sheet.text((at(*top)[0] + 10, at(*top)[1] + 10), "kingpin, top leaning back")
    sheet.across(at(9, 0), at(0, 0), 838, None, "", beside="below")
    sheet.text((at(-2, 0)[0], 838), "trail")
    sheet.text((24, 868), "The kingpin meets the ground ahead of the contact point.")


def _above(sheet: Sheet) -> None:
    sheet.text((494, 488), "From above; forward is up the page", bold=True)
    at = View((700, 700), 3.2, right=-1)
    sheet.line([at(0, 52), at(0, -52)], weight=1, colour=SOFT, dash="14 4 3 4")
    sheet.line([at(50, 0), at(-50, 0)], weight=1.4, colour=SOFT)
    for side, turn in ((1, 11.0), (-1, -11.0)):
        c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        corners = [(side * 46 + u * c - v * s, u * s + v * c) for u, v in ((6, 26), (-6, 26), (-6, -26), (6, -26))]
        sheet.line([at(*p) for p in corners], closed=True, weight=1.8, fill=FAINT)
        sheet.line(
            [at(side * 46, 0), at(side * 46 + 44 * math.sin(math.radians(-turn)), 44 * c)],
            weight=1.2,
            colour=SOFT,
            dash="12 4 3 4",
        )
        sheet.line([at(side * 46, 0), at(side * 46, 46)], weight=1, colour=SOFT, dash="5 4")
    sheet.arc(at(46, 0), 130, 90, 90 - 11, heads="end")
    sheet.arc(at(-46, 0), 130, 90, 90 + 11, heads="end")
    sheet.text((at(46, 0)[0] + 36, at(0, 43)[1]), "toe-in")
    sheet.text((at(-46, 0)[0] - 36, at(0, 43)[1]), "toe-in", anchor="end")
    sheet.arc(at(0, -20), 60, 90, 150, weight=2, heads="end")
    sheet.text((700, 824), "steer: to the left is positive", anchor="middle")
    sheet.text((494, 862), "Toe is given for one wheel, in degrees; so is camber.")
