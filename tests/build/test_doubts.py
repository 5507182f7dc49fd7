"""Numbers that read but look wrong: each slip is caught and named, and its innocent twin is left alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import Doubt, read_text
from coachwork.build.slips import swapped_digits

# A shell and its prototype, all of it at 1:10 and closing its sums; invented.
OUTLINE = {
    "length": 4100, "width": 1660, "height": 1900, "wheelbase": 2400, "front-overhang": 800, "rear-overhang": 900,
    "roof-width": 1520, "headlamp-spacing": 1180,
}  # fmt: skip


def build_file(*, scale: str = "1:10", more: str = "", **shell: object) -> str:
    numbers = {key: value / 10 for key, value in OUTLINE.items()} | {k.replace("_", "-"): v for k, v in shell.items()}
    lines = ["[build]", f'scale = "{scale}"', "[prototype]", *(f"{key} = {value}" for key, value in OUTLINE.items())]
    lines += ["[shell]", *(f"{key} = {value}" for key, value in numbers.items()), more]
    return "\n".join(lines)


def doubts(text: str) -> dict[str, Doubt]:
    return {doubt.key: doubt for doubt in read_text(text, Path("build.toml")).doubts}


def test_a_consistent_build_raises_no_doubt():
    assert doubts(build_file()) == {}


SLIPS = {
    # what slipped: (file, its innocent twin, key in doubt, words of what and suggestion)
    "inches typed as millimetres": (
        build_file(roof_width=5.98), build_file(roof_width='"5.98 in"'), "shell.roof-width",
        ("5.98 mm is unusual", "were these inches?", "151.9 mm"),
    ),
    "decimal point one place off": (
        build_file(roof_width=1520), build_file(roof_width=152.0), "shell.roof-width",
        ("1520 mm is unusual: most are 18.75 mm to 700 mm", "decimal point", "152 mm"),
    ),
    "a speed without its unit": (
        build_file(more="[wanted]\ntop-speed = 12"), build_file(more='[wanted]\ntop-speed = "12 km/h"'),
        "wanted.top-speed",
        ("was this in km/h?", "3333 mm/s"),
    ),
    "milliohms typed as ohms": (
        build_file(more="[motor]\nresistance = 95"), build_file(more='[motor]\nresistance = "95 mohm"'),
        "motor.resistance",
        ("milliohms?", "0.095 ohm"),
    ),
    "per cent typed as a number": (
        build_file(more="[wanted]\ngradient = 20"), build_file(more='[wanted]\ngradient = "20 %"'), "wanted.gradient",
        ("per cent?", "0.2"),
    ),
    "two digits swapped": (
        build_file(roof_width=512), build_file(roof_width=151.2), "shell.roof-width",
        ("1:2.97", "two digits swapped? 152 mm"),
    ),
    "the scale of another box": (
        build_file(scale="1:12"), build_file(scale="1:10"), "build.scale",
        ("given as 1:12", "agree on 1:10", "is it 1:10?"),
    ),
    "overhangs that do not add up": (
        build_file(rear_overhang=94), build_file(rear_overhang=90.3), "shell.length",
        ("add up to 414.0 mm", "410.0 mm", "4.0 mm apart", "measure the four again"),
    ),
    "swapped digits that the sum betrays": (
        build_file(front_overhang=80, rear_overhang=90, wheelbase=204, length=374 + 36), build_file(), "shell.length",
        ("two digits of shell.wheelbase swapped? 240 mm",),
    ),
    "an arch measured wrong": (
        build_file(more="[shell.front]\nfrom-nose-left = 80\nfrom-nose-right = 80\n"
                        "[shell.rear]\nfrom-nose-left = 320\nfrom-nose-right = 325"),
        build_file(more="[shell.front]\nfrom-nose-left = 80\nfrom-nose-right = 80\n"
                        "[shell.rear]\nfrom-nose-left = 320\nfrom-nose-right = 320.2"),
        "shell.rear.from-nose-right", ("right arches are 245.0 mm apart", "320.0 mm would agree"),
    ),
    "an arch measured wrong in front": (
        build_file(more="[shell.front]\nfrom-nose-left = 76\nfrom-nose-right = 80\n"
                        "[shell.rear]\nfrom-nose-left = 320\nfrom-nose-right = 320"),
        build_file(more="[shell.front]\nfrom-nose-left = 80\n[shell.rear]\nfrom-nose-left = 320"),
        "shell.front.from-nose-left", ("left arches are 244.0 mm apart", "80.0 mm would agree"),
    ),
    "an inset of the seller's sign": (
        "[wheels.front]\ninset = 6\nbackspace = 7\nrim-width = 26", "[wheels.front]\ninset = -6\nbackspace = 7\n"
        "rim-width = 26", "wheels.front.inset", ("make it -6.0 mm", "is its sign the seller's?"),
    ),
    "three wheel numbers that do not go together": (
        "[wheels.rear]\ninset = 2\nbackspace = 7\nrim-width = 26", "[wheels.rear]\nbackspace = 7\nrim-width = 26",
        "wheels.rear.inset", ("make it -6.0 mm", "measure all three again"),
    ),
    "the right side measured for the left": (
        "[running-gear.front]\nhub-face = [0, -63, 20]", "[running-gear.front]\nhub-face = [0, 63, 20]",
        "running-gear.front.hub-face.y", ("right of the centreline", "drop the minus sign"),
    ),
    "a link longer than the way between its balls": (
        "[running-gear.front]\ncamber-link-inner = [0, 20, 50]\ncamber-link-outer = [0, 60, 50]\n"
        "camber-link-length = 46", "[running-gear.front]\ncamber-link-inner = [0, 20, 50]\n"
        "camber-link-outer = [0, 60, 50]\ncamber-link-length = 40.3", "running-gear.front.camber-link-length",
        ("measured 46.0 mm", "40.0 mm apart", "measure the length and both ends again"),
    ),
    "kilograms without their unit": (
        "[loads]\nmass = 2.1", '[loads]\nmass = "2.1 kg"', "loads.mass", ("this in kilograms?", "2100 g"),
    ),
    "a tyre in inches": (
        "[wheels.front]\ntyre-diameter = 2.6", '[wheels.front]\ntyre-diameter = "2.6 in"',
        "wheels.front.tyre-diameter", ("30 mm to 250 mm", "were these inches?", "66.04 mm"),
    ),
    "a bare metre of the full-size vehicle": (
        "[prototype]\nwheelbase = 2.74", '[prototype]\nwheelbase = "2.74 m"', "prototype.wheelbase",
        ("2.74 mm is unusual: most are 1200 mm to 8500 mm", "were these metres?", "write the unit: m (2740 mm"),
    ),
    "a digit too many of the full-size vehicle": (
        "[prototype]\nwheelbase = 27400", "[prototype]\nwheelbase = 2740", "prototype.wheelbase",
        ("27400 mm is unusual", "decimal point slipped one place? (2740 mm would fit)"),
    ),
    "centimetres of a brochure, that could be inches of a coach": (
        "[prototype]\nwheelbase = 274", '[prototype]\nwheelbase = "274 cm"', "prototype.wheelbase",
        ("were these cm? (2740 mm would fit)",),
    ),
    "inches of a brochure": (
        "[prototype]\nwidth = 68.5", '[prototype]\nwidth = "68.5 in"', "prototype.width", ("inches?", "1740 mm"),
    ),
    "feet of a brochure": (
        "[prototype]\nlength = 14.7", '[prototype]\nlength = "14.7 ft"', "prototype.length", ("feet?", "4481 mm"),
    ),
    "two places off, as the shell tells": (
        '[build]\nscale = "1:10"\n[prototype]\nwheelbase = 27.4\n[shell]\nwheelbase = 272',
        '[build]\nscale = "1:10"\n[prototype]\nwheelbase = 2740\n[shell]\nwheelbase = 272', "prototype.wheelbase",
        ("slipped two places? (2740 mm would fit)",),
    ),
    "the shell in centimetres": (
        "[shell]\nwheelbase = 27.2", '[shell]\nwheelbase = "27.2 cm"', "shell.wheelbase",
        ("most are 37.5 mm to 2125 mm", "were these cm? (272 mm would fit)"),
    ),
    "an angle in radians": (
        "[running-gear.front.steering]\nlock = 0.44", '[running-gear.front.steering]\nlock = "0.44 rad"',
        "running-gear.front.steering.lock", ("was this in radians?", "25.21 deg"),
    ),
    "a scale upside down": (
        '[build]\nscale = "10:1"', '[build]\nscale = "1:10"', "build.scale", ("1:32 to 1:4",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_is_caught_and_named(slip: str):
    text, _, key, words = SLIPS[slip]
    found = doubts(text)

    assert key in found
    told = f"{found[key].what} / {found[key].suggestion}"
    assert [word for word in words if word not in told] == [], told


@pytest.mark.parametrize("slip", SLIPS)
def test_its_innocent_twin_raises_no_doubt(slip: str):
    assert doubts(SLIPS[slip][1]) == {}


def test_a_whole_table_in_metres_is_doubted_number_by_number_and_nothing_else():
    """Neither the shell nor the scale is to blame, though both are a thousand times off."""
    text = build_file()
    for key, value in OUTLINE.items():
        text = text.replace(f"{key} = {value}\n", f"{key} = {value / 1000}\n", 1)
    found = doubts(text)

    assert set(found) == {f"prototype.{key}" for key in OUTLINE}
    assert found["prototype.wheelbase"].fits == "2400 mm"


def test_an_odd_number_is_not_held_against_its_partner():
    found = doubts('[build]\nscale = "1:10"\n[prototype]\nwheelbase = 2.74\n[shell]\nwheelbase = 272')
    assert set(found) == {"prototype.wheelbase"}


def test_two_dimensions_off_the_stated_scale_are_held_against_it_and_not_against_others():
    found = doubts('[build]\nscale = "1:10"\n[prototype]\nwheelbase = 2740\n[shell]\nwheelbase = 227')
    assert "1:12.1, the scale is given as 1:10" in found["shell.wheelbase"].what


def test_a_doubt_names_its_line():
    found = doubts("[running-gear.front]\nhub-face = [\n  0,\n  -63,\n  20,\n]\n[loads]\nmass = 2.1")

    assert found["running-gear.front.hub-face.y"].line == 4
    assert str(found["loads.mass"]).startswith("line 8: loads.mass: ")


def test_doubts_come_in_the_order_of_the_file_and_once_for_each_number():
    build = read_text(
        "[wheels.rear]\ntyre-diameter = 2\n[wheels.front]\ntyre-diameter = 2\n[loads]\nmass = 1", Path("b")
    )
    assert [doubt.key for doubt in build.doubts] == [
        "wheels.rear.tyre-diameter",
        "wheels.front.tyre-diameter",
        "loads.mass",
    ]


def test_wide_spreads_excuse_what_tight_ones_do_not():
    """4 mm between length and sum is a contradiction for callipers, not for a tape read to 5 mm."""
    assert "shell.length" in doubts(build_file(rear_overhang=94))
    assert doubts(build_file(rear_overhang='"94 ± 5 mm"', length='"410 ± 5 mm"')) == {}


@pytest.mark.parametrize(
    ("value", "expected", "found"),
    [(627.0, 267.0, 267.0), (276.0, 267.0, 267.0), (267.0, 267.0, None), (26.7, 27.6, None), (62.7, 26.7, 26.7)],
)
def test_swapped_digits_are_neighbours_before_or_behind_the_point(value, expected, found):
    assert swapped_digits(value, expected, within=0.002) == found


def test_a_whole_number_out_of_family_is_doubted_without_a_slip_to_a_fraction():
    """Nineteen outputs are odd; 1.9 of them would be odder, and used to stop the reader."""
    build = read_text("[radio.receiver]\noutputs = 19", Path("b"))
    (doubt,) = build.doubts
    assert doubt.key == "radio.receiver.outputs"
    assert doubt.suggestion == "look again"
