"""Reading a build file: what is right is read whatever its layout, and what is no build file is said to be none."""

from __future__ import annotations

from pathlib import Path

import pytest

from coachwork.build import read, read_text
from coachwork.build.sections.about import About
from coachwork.build.sections.outline import Details, Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.errors import BuildMissing, BuildRefused
from coachwork.quantity import Source

TEXT = """\
[build]
name = "Post van"
scale = "1:10"

[shell]
length = 267
width = "10 1/2 in"

[prototype]
length = 2670
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "build.toml").write_text(TEXT, encoding="utf-8")
    return tmp_path


def test_a_folder_and_its_file_give_the_same_build(folder: Path):
    assert read(folder)[Shell].length == read(folder / "build.toml")[Shell].length


@pytest.mark.parametrize(
    ("change"),
    [
        pytest.param(lambda raw: raw.replace(b"\n", b"\r\n"), id="CRLF"),
        pytest.param(lambda raw: b"\xef\xbb\xbf" + raw, id="byte order mark"),
        pytest.param(lambda raw: raw.rstrip(b"\n"), id="no newline at the end"),
        pytest.param(lambda raw: raw + b"# " + "Prüfmaß ± ½".encode() + b"\n", id="letters beyond ASCII"),
    ],
)
def test_layout_changes_nothing(folder: Path, change):
    plain = read(folder)
    (folder / "build.toml").write_bytes(change(TEXT.encode()))

    build = read(folder)

    assert build[Shell].length.mm == plain[Shell].length.mm == 267
    assert build[Shell].width.mm == pytest.approx(266.7, abs=1e-12)  # 25.4 mm to the inch, ISO 31-1


@pytest.mark.parametrize(
    "text",
    [
        "[running-gear.front]\nhub-face = [1, 2, 3]\n[shell]\n[running-gear]\nwheelbase = 267",  # out of order
        "running-gear.front.hub-face = [1, 2, 3]\nrunning-gear.wheelbase = 267",
        "[running-gear]\nwheelbase = 267\nfront = { hub-face = [1, 2, 3] }",
        '[running-gear]\nwheelbase = 267\nfront.hub-face = { x = 1, y = "2 mm", z = 3 }',
        "[running-gear]\nwheelbase = 267\n[running-gear.front.hub-face]\nx = 1\ny = 2\nz = 3",
        '["running-gear"]\n"wheelbase" = 267\n["running-gear".front]\nhub-face = [\n  1, # x\n  2,\n  3,\n]',
    ],
)
def test_every_way_to_write_a_table_is_the_same_table(text: str):
    gear = read_text(text, Path("build.toml"))[RunningGear]

    assert gear.wheelbase.mm == 267
    assert gear.front.hub_face.mm.tolist() == [[1, 2, 3]]


def test_a_blank_is_no_number_but_no_fault_either():
    shell = read_text('[shell]\nlength = "?"\nwidth = ""\n', Path("b"))[Shell]

    assert not shell.length.known
    assert not shell.width.known


def test_a_point_may_have_one_coordinate():
    face = read_text('[running-gear.front]\nhub-face = ["?", 63, "?"]', Path("b"))[RunningGear].front.hub_face

    assert face.given
    assert not face.known
    assert face.y.mm == 63


def test_a_table_says_where_its_numbers_come_from():
    """A published dimension is not a calliper reading, though both are bare numbers."""
    build = read_text("[prototype]\nlength = 4100\n[shell]\nlength = 410\n[build]\nscale = 0.1", Path("b"))

    sources = [build[kind].entries() for kind in (Prototype, Shell, About)]
    found = [next(e.measured.source for e in entries if e.measured) for entries in sources]
    assert found == [Source.PUBLISHED, Source.CALLIPERS, Source.CHOSEN]


def test_a_builder_s_own_ruler_counts_for_all_lengths():
    text = '[measuring]\nlengths = "ruler"\nruler = 0.25\n[shell]\nlength = 410'
    length = read_text(text, Path("b"))[Shell].length.measured

    assert length is not None
    assert (length.source, length.half_width) == (Source.RULER, 0.25)


def test_digits_of_a_label_are_kept():
    """12.50 on a label is known to 0.005, 12.5 to 0.05 (JCGM 100:2008, F.2.2.1); TOML's float would lose that."""
    wide, fine = (
        read_text(f'[shell]\nlength = "{digits} from label"', Path("b"))[Shell].length for digits in ("12.5", "12.50")
    )
    assert wide.measured is not None
    assert fine.measured is not None
    assert fine.measured.half_width == pytest.approx(wide.measured.half_width / 10)


def test_names_of_one_s_own_become_keys():
    build = read_text('[details."rain gutter"]\nalong = "length"\nshell = 31', Path("b"))

    assert build[Details].each["rain gutter"].shell.key == "details.rain gutter.shell"
    assert build.entry("details.rain gutter.shell").measured is not None


def test_an_empty_file_is_a_build():
    assert read_text("", Path("b")).name == "Unnamed build"


def test_no_file_says_how_to_start_one(tmp_path: Path):
    with pytest.raises(BuildMissing, match=r"no build\.toml there; start one with: coachwork new .*van$"):
        read(tmp_path / "van")
    with pytest.raises(BuildMissing, match=r"coachwork new .*van$"):
        read(tmp_path / "van" / "build.toml")


def test_a_folder_of_the_file_s_name_is_no_file(tmp_path: Path):
    (tmp_path / "build.toml").mkdir()
    with pytest.raises(BuildMissing):
        read(tmp_path)


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        (TEXT.encode("utf-16"), "  line 1: this is not UTF-8 text; save the file as plain text in UTF-8"),
        (b'[shell]\nname = "Pr\xfcfling"', "  line 2: this is not UTF-8 text; save the file as plain text in UTF-8"),
        (b"#" * 2_000_001, "  the file has more than 2000000 bytes; a build file has a few thousand"),
    ],
)
def test_what_is_no_build_file_is_said_to_be_none(tmp_path: Path, raw: bytes, expected: str):
    (tmp_path / "build.toml").write_bytes(raw)
    with pytest.raises(BuildRefused) as refused:
        read(tmp_path)
    assert str(refused.value).splitlines()[1] == expected


def test_the_longest_file_that_is_read(tmp_path: Path):
    (tmp_path / "build.toml").write_bytes(b"#" * 2_000_000)
    assert read(tmp_path).name == "Unnamed build"
