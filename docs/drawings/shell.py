"""The scale body from its left side and from its front, with the dimensions `[shell]` asks for."""

from __future__ import annotations

from pen import FAINT, INK, PAPER, SOFT, Sheet, View


def side() -> Sheet:
    """Left side, nose to the left."""
    sheet = Sheet(
        940, 610, "Shell, left side", "Where the lengths and heights of the shell are taken, seen from its left."
    )
    sheet.heading(
        "Shell, left side", "Keys of [shell]. Heights from the ground line you mean it to stand on. Nose to the left."
    )
    at = View((112, 440), 1.62)
    front, rear, sill, centre, arch = 82.0, 354.0, 31.0, 36.0, 43.0
    ground = at(0, 0)[1]
    sheet.line([(40, ground), (912, ground)], weight=1.2, colour=SOFT, dash="9 5")
    sheet.text((24, ground + 14), "ground", colour=SOFT)

    outline = [
        (0, 40),
        (0, 74),
        (6, 110),
        (14, 121),
        (34, 204),
        (52, 213.5),
        (436, 213.5),
        (447, 206),
        (448, 40),
        (440, sill),
    ]
    sheet.line([at(*p) for p in [(10, sill), *outline, (10, sill)]], weight=2.2)
    sheet.line([at(6, 121), at(448, 121)], weight=0.8, colour=SOFT)
    for x in (front, rear):
        (left, y), (right, _), (_, top) = at(x - arch, sill), at(x + arch, sill), at(x, 76.5)
        spring = at(0, centre)[1]  # where the arch's curve begins
        bend = f"A{arch * at.scale:.2f} {spring - top:.2f} 0 0 1"
        sheet.path("M", (left, y), "L", (left, spring), bend, (right, spring), "L", (right, y), weight=2.2, fill=PAPER)
        sheet.line([(left + 1, y), (right - 1, y)], weight=4, colour=PAPER)
        sheet.circle(at(x, centre), 37 * 1.62, colour=SOFT, dash="5 4", weight=1.2)
        sheet.circle(at(x, centre), 3, fill=INK)
    sheet.line([at(*p) for p in ((128, 62), (128, 198), (40, 198), (22, 124), (22, 80))], weight=1.3)
    sheet.line([at(*p) for p in ((122, 128), (122, 190), (45, 190), (27, 128))], weight=1.1, closed=True, fill=FAINT)
    sheet.circle(at(5, 76), 8, weight=1.3)

    sheet.across((at(0, 0)[0], ground), (at(front, 0)[0], at(0, centre)[1]), 478, 5, "front-overhang", beside="below")
    sheet.across((at(front, 0)[0], at(0, centre)[1]), (at(rear, 0)[0], at(0, centre)[1]), 478, 2, "wheelbase")
    sheet.across((at(rear, 0)[0], at(0, centre)[1]), (at(448, 0)[0], ground), 478, 6, "rear-overhang", beside="below")
    sheet.across((at(0, 0)[0], 490), (at(448, 0)[0], 490), 528, 1, "length")
    sheet.across((at(0, 0)[0], 528), (at(rear, 0)[0], 490), 560, 7, "rear.from-nose-left")
    sheet.text(
        (24, 590),
        "front.from-nose-left is the same from the nose to the front arch. Take both arches on the right side, too.",
    )

    sheet.upright((at(448, 0)[0], at(0, 213.5)[1]), (at(448, 0)[0], ground), 900, 4, "height")
    sheet.upright((at(296, 0)[0], at(0, 121)[1]), (at(296, 0)[0], ground), at(296, 0)[0], 9, "waist-height")
    sheet.upright(
        (at(236, 0)[0], at(0, sill)[1]), (at(236, 0)[0], ground), at(236, 0)[0], 8, "sill-height", beside="left"
    )
    sheet.upright((at(5, 0)[0], at(0, 76)[1]), (at(0, 0)[0], ground), 76, None, "")
    sheet.key((52, 345), 10, "headlamp-height", anchor="middle", turned=True)
    y = at(0, centre)[1]
    for x, number, name in ((front, 11, "front"), (rear, 12, "rear")):
        sheet.across((at(x - arch, 0)[0], y), (at(x + arch, 0)[0], y), y, None, "")
        sheet.leader(
            (at(x + (6 if x == rear else 0), 0)[0], 272 if x == rear else 276),
            (at(x + 22, 0)[0], y),
            number,
            f"arch-opening-{name}",
            anchor="middle",
        )
    sheet.upright((at(rear + arch, 0)[0], at(0, sill)[1]), (at(rear, 0)[0], at(0, 76.5)[1]), 790, None, "")
    sheet.key((776, 302), 13, "rear.top", anchor="middle")
    sheet.across(
        (at(22, 0)[0], at(0, 196)[1]), (at(128, 0)[0], at(0, 198)[1]), 92, 14, "cab-door-width", beside="above"
    )
    sheet.upright((at(128, 0)[0], at(0, 62)[1]), (at(128, 0)[0], at(0, 198)[1]), at(152, 0)[0], 15, "cab-door-height")
    return sheet


def end() -> Sheet:
    """From the front, and one arch cut through at the wheel's centre."""
    sheet = Sheet(940, 560, "Shell from the front, and one arch in section", "Widths of the shell; lip and tuck.")
    sheet.heading("Shell from the front; one arch in section", "Keys of [shell] unless another table is named.")
    at = View((300, 430), 1.62)
    ground = at(0, 0)[1]
    sheet.line([(60, ground), (540, ground)], weight=1.2, colour=SOFT, dash="9 5")
    half = [(84, 31), (91, 60), (91, 121), (84, 200), (78, 207), (60, 213.5)]
    sheet.line([at(-x, z) for x, z in half] + [at(x, z) for x, z in half[::-1]], weight=2.2, closed=True)
    sheet.line([at(*p) for p in ((-78, 128), (78, 128), (70, 186), (-70, 186))], weight=1.3, closed=True, fill=FAINT)
    sheet.line([at(*p) for p in ((-86, 34), (86, 34), (86, 48), (-86, 48))], weight=1.3, closed=True, fill=PAPER)
    for x in (-62, 62):
        sheet.circle(at(x, 76), 14, weight=1.5)
        sheet.circle(at(x, 76), 2.5, fill=INK)
        left, right = sorted((at(x * 1.06, 0)[0], at(x * 1.06 + (23 if x > 0 else -23), 0)[0]))
        sheet.line(
            [(left, at(0, 31)[1]), (left, ground), (right, ground), (right, at(0, 31)[1])],
            weight=1.2,
            colour=SOFT,
            dash="5 4",
        )

    sheet.across((at(-91, 0)[0], at(0, 60)[1]), (at(91, 0)[0], at(0, 60)[1]), 492, 3, "width")
    sheet.across((at(-86, 0)[0], at(0, 40)[1]), (at(86, 0)[0], at(0, 40)[1]), 462, 20, "bumper-width")
    sheet.across((at(-62, 0)[0], at(0, 76)[1]), (at(62, 0)[0], at(0, 76)[1]), at(0, 76)[1], 19, "headlamp-spacing")
    sheet.across((at(-78, 0)[0], at(0, 128)[1]), (at(78, 0)[0], at(0, 128)[1]), at(0, 114)[1], 16, "windscreen-width")
    sheet.upright(at(40, 128), at(40, 186), at(40, 0)[0], 17, "windscreen-height", beside="left")
    sheet.across(at(-78, 207), at(78, 207), 76, 18, "roof-width")
    sheet.text((24, 524), "From behind, the same way: load-door-width and load-door-height, gap to gap.")

    # the arch in section, five times as large: left side seen from behind, outboard to the left
    sheet.text((600, 96), "left arch, cut at the wheel's")
    sheet.text((600, 114), "centre, seen from behind")
    lip_out, lip_in, low = 640.0, 652.0, 300.0
    sheet.line([(lip_out, 140), (lip_out, low), (lip_in, low), (lip_in, 140)], weight=1.8, fill=FAINT)
    tyre_out, tyre_in = 676.0, 800.0
    left, right = (
        [(x, 470.0), (x, 265.0), (x, 240.0), (x + into, 236.0)] for x, into in ((tyre_out, 26), (tyre_in, -26))
    )
    sheet.path("M", left[0], "L", left[1], "Q", left[2], left[3], "L", right[3], "Q", right[2], right[1], "L", right[0])
    sheet.text(((tyre_out + tyre_in) / 2, 300), "tyre", anchor="middle")
    sheet.line([(908, 130), (908, 480)], weight=1.2, colour=SOFT, dash="12 4 3 4")
    sheet.text((902, 498), "centreline", anchor="end", colour=SOFT)
    sheet.across((lip_out, 200), (lip_in, 200), 172, 22, "front.lip", beside="right")
    sheet.across((lip_out, low), (tyre_out, 400), 356, None, "", beside="right")
    sheet.leader((690, 372), ((lip_out + tyre_out) / 2, 356), 23, "wanted.front.tuck")
    sheet.across((lip_out, low), (908, 420), 420, 21, "half of front.across")
    return sheet
