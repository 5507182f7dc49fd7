"""`coachwork check`: what stands on the page, what does not, and the exit status."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from coachwork.cli import main
from coachwork.confidence.json_schema import report_schema


def change(folder: Path, **texts: str) -> Path:
    file = folder / "build.toml"
    text = file.read_text("utf-8")
    for old, new in texts.items():
        assert old in text
        text = text.replace(old, new)
    file.write_text(text, encoding="utf-8")
    return folder


def check(capsys, tiny, folder: Path, *options: str) -> tuple[int, str]:
    status = main(["check", str(folder), *options], plan=tiny.plan())
    out, err = capsys.readouterr()
    assert err == ""
    return status, out


def test_the_whole_page(capsys, tiny, tiny_folder):
    """One page in full, so that a change of its looks is seen and meant."""
    change(tiny_folder, **{"411": "413.5", "290 ": "292.0 ", "[running-gear]": "[loads]\nmass = 2.1\n[running-gear]",
                           'width = "166 ± 0.6 mm"\n': ""})  # fmt: skip
    status, out = check(capsys, tiny, tiny_folder)

    assert status == 1
    assert (
        out
        == """\
Tiny
6 numbers measured, 1 still to measure. 1 fails, 1 is not known yet, 1 holds.

Is it the right size?  1 fails, 1 is not known yet
  FAILS   Is the length right?
          3.50 mm, within ± 2.00 mm.
          Why The length is +3.5 mm off.
          Do  Take 3.5 mm off the length.
  not yet Is the width right? Needs shell.width.

Does it fit?  1 holds
  holds   1 of 1; --all lists them

Numbers that look wrong
  ? line 14: loads.mass: 2.1 g is unusual: most are 300 g to 15000 g; was this
    in kilograms? then write the unit: kg (2100 g would fit)

Measure next
  1. shell.width
     Widest point of the body across, without mirrors.
     Answers: Is the width right?
"""
    )


def test_status_is_0_when_nothing_fails_even_if_some_is_tight_or_unmeasured(capsys, tiny, tiny_folder):
    change(tiny_folder, **{"411": "411.8", 'width = "166 ± 0.6 mm"\n': ""})
    status, out = check(capsys, tiny, tiny_folder)

    assert "TIGHT" in out
    assert "not yet" in out
    assert status == 0


def test_all_lists_what_holds(capsys, tiny, tiny_folder):
    _, short = check(capsys, tiny, tiny_folder)
    _, long = check(capsys, tiny, tiny_folder, "--all")

    assert "Is the width right?" not in short
    assert "holds   Is the width right? 0.00 mm, within ± 2.00 mm" in long


def test_what_waits_for_the_same_numbers_is_told_together(capsys, tiny, tiny_folder):
    change(tiny_folder, **{'length = "411 ± 0.6 mm"\n': ""})
    _, out = check(capsys, tiny, tiny_folder)
    assert out.count("Needs shell.length.") == 2  # once under each question


def test_numbers_that_only_answer_together_are_one_step(capsys, tiny, tiny_folder):
    change(tiny_folder, **{'width = "1660 ± 9 mm"\n': "", 'width = "166 ± 0.6 mm"\n': ""})
    _, out = check(capsys, tiny, tiny_folder)
    assert (
        """\
Measure next, in this order
  1. prototype.width
       Widest point of the body across, without mirrors.
     shell.width
       Widest point of the body across, without mirrors.
     Together they answer: Is the width right?
  2. """
        in out
    )


def test_a_question_alone(capsys, tiny, tiny_folder):
    _, out = check(capsys, tiny, tiny_folder, "--question", "stretched")
    assert "Does it fit?" in out
    assert "Is it the right size?" not in out

    _, out = check(capsys, tiny, tiny_folder, "--question", "stretched", "--question", "sized")
    assert "Does it fit?" in out
    assert "Is it the right size?" in out


def test_a_question_that_fails_elsewhere_does_not_fail_this_one(capsys, tiny, tiny_folder):
    change(tiny_folder, **{"411": "413.5"})
    assert check(capsys, tiny, tiny_folder, "--question", "stretched")[0] == 0
    assert check(capsys, tiny, tiny_folder, "--question", "sized")[0] == 1


@pytest.mark.parametrize(
    ("name", "told"), [("stretcht", "did you mean stretched?"), ("xyz", "there are sized, stretched")]
)
def test_a_question_of_no_study_names_the_nearest(capsys, tiny, tiny_folder, name, told):
    assert main(["check", str(tiny_folder), "--question", name], plan=tiny.plan()) == 2
    assert capsys.readouterr() == ("", f"{name}: there is no question of this name; {told}\n")


def test_a_faulty_file_is_told_as_it_is(capsys, tiny, tiny_folder):
    change(tiny_folder, **{'"411 ± 0.6 mm"': "411,5", "drive": "dirve"})
    assert main(["check", str(tiny_folder)], plan=tiny.plan()) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert (
        err
        == f"""\
{tiny_folder}/build.toml: 2 things to put right
  line 10: cannot read `length = 411,5`; write the decimal with a point: length = 411.5
  line 16: running-gear.dirve: there is no key of this name; did you mean drive?
"""
    )


def test_a_folder_without_a_build_says_how_to_start_one(capsys, tiny, tmp_path):
    assert main(["check", str(tmp_path)], plan=tiny.plan()) == 2
    assert capsys.readouterr().err.endswith(f"no build.toml there; start one with: coachwork new {tmp_path}\n")


def test_a_file_that_may_not_be_read_is_said_so(capsys, tiny, tiny_folder, monkeypatch):
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(tiny_folder / "build.toml"))

    monkeypatch.setattr(Path, "open", refuse)
    assert main(["check", str(tiny_folder)], plan=tiny.plan()) == 2
    assert capsys.readouterr().err == f"{tiny_folder}/build.toml: permission denied\n"


def test_json_is_what_the_schema_says(capsys, tiny, tiny_folder):
    change(
        tiny_folder,
        **{"411": "413.5", 'width = "166 ± 0.6 mm"\n': "", "[running-gear]": "[loads]\nmass = 2.1\n[running-gear]"},
    )
    status, out = check(capsys, tiny, tiny_folder, "--json")
    report = json.loads(out)

    jsonschema.validate(report, report_schema(), cls=jsonschema.Draft202012Validator)
    assert status == 1
    assert out.isascii()
    assert report["build"] == {"name": "Tiny", "file": str(tiny_folder / "build.toml")}
    assert [(v["id"], v["state"]) for v in report["verdicts"]] == [
        ("sized.length", "fails"), ("sized.width", "unmeasured"), ("stretched.amount", "holds"),
    ]  # fmt: skip
    assert report["results"]["sized"] == {"length_mm": 3.5, "width_mm": {"missing": ["shell.width"]}}
    assert report["next"][0]["key"] == "shell.width"
    assert report["doubts"][0]["line"] == 14


def test_page_and_json_say_the_same_words(capsys, tiny, tiny_folder):
    change(tiny_folder, **{"411": "413.5"})
    _, page = check(capsys, tiny, tiny_folder)
    _, form = check(capsys, tiny, tiny_folder, "--json")

    flat = " ".join(page.split()).lower()
    for verdict in json.loads(form)["verdicts"]:
        if verdict["state"] == "fails":
            for words in (verdict["question"], verdict["why"], verdict["do"]):
                assert words.lower() in flat
