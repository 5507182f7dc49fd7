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
    assert "Is the length right? was 1.00 mm, is 0.80 mm, within ± 2.00 mm." in out


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
    """Both plainly, and over samples for the chances (the second with what it stands on); then the second alone."""
    enter("running-gear.wheelbase", "268 ± 0.3 mm")
    assert tiny.ran == ["sized", "stretched", "sized", "sized", "stretched", "stretched", "sized", "stretched"]


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
