"""`coachwork enter`: one number in, the rest of the file as it was, and what it changes."""

from __future__ import annotations

import pytest

from coachwork.cli import main


@pytest.fixture
def enter(capsys, tiny, tiny_folder):
    """Run the command on the invented build: (status, stdout, stderr)."""

    def run(key: str, value: str) -> tuple[int, str, str]:
        status = main(["enter", str(tiny_folder), key, value], plan=tiny.plan())
        return status, *capsys.readouterr()

    return run


def lines_changed(tiny, folder) -> list[str]:
    before, after = tiny.text.splitlines(), (folder / "build.toml").read_text("utf-8").splitlines()
    return [line for line in after if line not in before]


def test_a_number_is_written_and_what_it_changes_is_told(enter, tiny, tiny_folder):
    status, out, err = enter("shell.length", "413.50")

    assert (status, err) == (0, "")
    assert lines_changed(tiny, tiny_folder) == ["length = 413.50"]
    assert " ".join(out.split()) == (
        f"shell.length = 413.50 written to {tiny_folder}/build.toml. 1 verdict changes: "
        "holds -> fails: Is the length right? 3.50 mm, within ± 2.00 mm Do Take 3.5 mm off the length."
    )


def test_a_number_that_changes_no_verdict_tells_what_moved(enter):
    _, out, _ = enter("shell.length", "410.8 ± 0.6 mm")
    assert "No verdict changes." in out
    assert "Is the length right? Was 1.00 mm, is 0.80 mm, within ± 2.00 mm." in out


def test_a_value_that_moves_less_than_its_digits_show_is_not_told_as_moved(enter):
    """It used to read: was 1.00 mm, is 1.00 mm."""
    _, out, _ = enter("shell.length", "411.0002 ± 0.6 mm")
    assert "mm" not in out.partition("\n")[2]
    assert "No verdict changes, and no value moves so far that it shows." in out


def test_one_number_of_two_that_are_wanted_tells_what_still_lacks(enter, tiny_folder):
    text = (tiny_folder / "build.toml").read_text("utf-8")
    text = text.replace('width = "1660 ± 9 mm"\n', "").replace('width = "166 ± 0.6 mm"\n', "")
    (tiny_folder / "build.toml").write_text(text, encoding="utf-8")

    _, out, _ = enter("shell.width", "166")
    assert "Is the width right? Still needs prototype.width." in out


def test_no_value_is_refused_and_a_question_mark_takes_the_number_out(enter, tiny, tiny_folder):
    """An empty text, often a slip of the shell's, used to wipe the number and claim that it was written."""
    status, out, err = enter("shell.length", "")
    assert (status, out) == (2, "")
    assert err == 'shell.length: no value was given; nothing was written. To take its number out, enter "?"\n'
    assert (tiny_folder / "build.toml").read_text("utf-8") == tiny.text

    status, out, _ = enter("shell.length", "?")
    assert status == 0
    assert "shell.length is not measured now: ? stands in its place in" in " ".join(out.split())
    assert lines_changed(tiny, tiny_folder) == ['length = "?"']


@pytest.mark.parametrize(
    ("value", "line"),
    [
        ("[0, 79, 20]", "hub-face = [0, 79, 20]"),
        ('[-16, "24 ± 0.3", "?"]', 'hub-face = [-16, "24 ± 0.3", "?"]'),
        ("[-16, 24 ± 0.3, ?]", 'hub-face = [-16, "24 ± 0.3", "?"]'),
        ("[1.50,1 in,~ 20]", 'hub-face = [1.50, "1 in", "~ 20"]'),
        ("{ x = 0, y = 79 }", "hub-face = { x = 0, y = 79 }"),
        ("?", 'hub-face = "?"'),
    ],
)
def test_a_point_is_entered_as_the_file_has_it(enter, tiny, tiny_folder, value, line):
    assert enter("running-gear.front.hub-face", value)[0] == 0
    assert lines_changed(tiny, tiny_folder) == ["[running-gear.front]", line]


@pytest.mark.parametrize("value", ["[0, 79]", "[0, 79,5, 20]", "[0, 79, 20", "79", "[0, 79, 20]\nkind = 1"])
def test_what_is_no_point_is_refused_with_the_form_of_one(enter, tiny, tiny_folder, value):
    status, _, err = enter("running-gear.front.hub-face", value)
    assert status == 2
    assert "a point is three lengths: hub-face = [x, y, z]" in err
    assert (tiny_folder / "build.toml").read_text("utf-8") == tiny.text


@pytest.mark.parametrize("key", ["shell.height", "running-gear.drive", "build.name"])
def test_quotes_as_they_stand_in_the_file_may_be_typed_or_left_out(enter, tiny_folder, key):
    value = {"shell.height": "7 1/2 in", "running-gear.drive": "belt", "build.name": "Post van"}[key]
    texts = set()
    for typed in (value, f'"{value}"', f"'{value}'"):
        assert enter(key, typed)[0] == 0
        texts.add((tiny_folder / "build.toml").read_text("utf-8"))
    assert len(texts) == 1


def test_a_new_key_goes_below_its_table(enter, tiny, tiny_folder):
    enter("shell.height", "7 1/2 in")
    text = (tiny_folder / "build.toml").read_text("utf-8")
    assert text == tiny.text.replace('0.3 mm"\n\n[run', '0.3 mm"\nheight = "7 1/2 in"\n\n[run')


@pytest.mark.parametrize("value", ["-12", "-12mm", "-12.5 mm", "-.5 in", "~ -12 mm"])
def test_a_negative_value_is_no_option(enter, tiny, tiny_folder, value):
    assert enter("changes.stretch", value)[0] == 0
    assert value in (tiny_folder / "build.toml").read_text("utf-8")


def test_a_choice_can_be_entered_too(enter, tiny_folder):
    assert enter("running-gear.drive", "shaft")[0] == 0
    assert 'drive = "shaft"' in (tiny_folder / "build.toml").read_text("utf-8")


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        (
            "shell.length", "35 g",
            "shell.length: 35 g is a mass; a length is wanted here, such as 267 mm or 10 1/2 in\nnothing was written\n",
        ),
        (
            "running-gear.drive", "chain",
            'running-gear.drive: read "chain"; one of "shaft", "belt", "none" is wanted\nnothing was written\n',
        ),
        ("shell.lenght", "35", "shell.lenght: there is no key of this name; did you mean shell.length?\n"),
        ("tyre-diameter", "66", "tyre-diameter: there is no key of this name; did you mean prototype.tyre-diameter?\n"),
        ("xyzzy", "66", "xyzzy: there is no key of this name; coachwork new --blank writes a file with all of them\n"),
    ],
)  # fmt: skip
def test_what_cannot_be_taken_is_refused_and_nothing_is_written(enter, tiny, tiny_folder, key, value, told):
    assert enter(key, value) == (2, "", told)
    assert (tiny_folder / "build.toml").read_text("utf-8") == tiny.text


def test_an_odd_number_is_written_and_said_to_be_odd(enter):
    status, out, _ = enter("loads.mass", "2.1")
    assert status == 0
    assert "was this in kilograms?" in " ".join(out.split())


def test_only_what_the_number_touches_is_computed_again(enter, tiny):
    """Both plainly, and once over samples for the chances of both; then the second alone, plainly and over samples."""
    enter("running-gear.wheelbase", "268 ± 0.3 mm")
    assert tiny.ran == ["sized", "stretched", "sized", "stretched", "stretched", "stretched"]


def test_a_file_edited_meanwhile_is_left_alone(enter, tiny_folder, monkeypatch):
    import coachwork.cli.enter as command

    def slow(text: str, key: str, value: str) -> str:
        file = tiny_folder / "build.toml"
        file.write_text(text + "# mine\n", encoding="utf-8")
        return text.replace("411", "412")

    monkeypatch.setattr(command, "with_entry", slow)
    status, _, err = enter("shell.length", "412")
    assert status == 2
    assert "was changed by another program" in err
    assert (tiny_folder / "build.toml").read_text("utf-8").endswith("# mine\n")


FAULTY = """\
[build]
scale = "1:10"
[shell]
length = 411,5
width = "2 kg"  # of the van
wheelbase = 290
# the donor
[running-gear]
wheelbase = 267
"""


@pytest.fixture
def faulty(tiny_folder):
    """The build with a line that is no TOML and a number that is no length."""
    (tiny_folder / "build.toml").write_text(FAULTY, encoding="utf-8")
    return tiny_folder / "build.toml"


def test_a_faulty_file_is_mended_number_by_number(enter, faulty):
    """Either fault used to stop the other, and its own cure, from being entered."""
    status, out, err = enter("shell.width", "166")
    assert status == 2  # something is still to put right, and is told
    assert "shell.width = 166 written to" in out
    assert "1 thing to put right" in err
    assert "line 4: cannot read `length = 411,5`" in err
    assert faulty.read_text("utf-8") == FAULTY.replace('"2 kg"', "166")

    status, out, err = enter("shell.length", "411.5")
    assert (status, err) == (0, "")
    assert "The file can be read again; next: coachwork check" in " ".join(out.split())
    assert faulty.read_text("utf-8") == FAULTY.replace('"2 kg"', "166").replace("411,5", "411.5")


def test_another_number_goes_in_beside_a_fault(enter, faulty):
    assert enter("shell.height", "190")[0] == 2
    assert faulty.read_text("utf-8") == FAULTY.replace("wheelbase = 290\n", "wheelbase = 290\nheight = 190\n")


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("shell.width", "3 kg", "shell.width: 3 kg is a mass"),
        ("shell.height", "190,5", "shell.height: read 190,5; write 190,5 as 190.5"),
    ],
)
def test_no_new_fault_goes_into_a_faulty_file(enter, faulty, key, value, told):
    status, out, err = enter(key, value)
    assert (status, out) == (2, "")
    assert err.startswith(told)
    assert err.endswith("nothing was written\n")
    assert faulty.read_text("utf-8") == FAULTY


def test_a_key_that_stands_twice_is_mended_to_stand_once(enter, tiny_folder):
    file = tiny_folder / "build.toml"
    file.write_text("[shell]\nlength = 411\nlength = 412\nwidth = 166\n", encoding="utf-8")
    assert enter("shell.length", "413")[0] == 0
    assert file.read_text("utf-8") == "[shell]\nlength = 413\n\nwidth = 166\n"


def test_a_file_whose_tables_cannot_be_told_apart_is_left_alone(enter, tiny_folder):
    file = tiny_folder / "build.toml"
    file.write_text("[shell\nlength = 411,5\n", encoding="utf-8")
    assert enter("shell.length", "413")[0] == 2
    assert file.read_text("utf-8") == "[shell\nlength = 411,5\n"
