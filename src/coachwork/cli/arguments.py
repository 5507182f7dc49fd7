"""What can be typed behind `coachwork`, and the help on it."""

from __future__ import annotations

import argparse
import difflib
import importlib
import re
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from coachwork import __version__
from coachwork.confidence.words import listed
from coachwork.errors import CoachworkError

if TYPE_CHECKING:
    from coachwork.cli.screen import Screen
    from coachwork.plan import Plan

Command = Callable[[argparse.Namespace, "Screen", "Plan | None"], int]

_ABOUT = """\
A scale hard body on running gear from a donor: will it fit, move, pull and obey?
Measure, type the numbers into a build file, and ask."""
_FIRST_STEPS = """\
first steps:
  coachwork demo                 an example full of faults, and the same mended
  coachwork new my-van           start a build: a handful of numbers is enough
  coachwork check my-van         what fails, what to do, what to measure next
  coachwork open my-van          the same in a page of your browser, live
  coachwork enter my-van shell.wheelbase "267 mm"
                                 put one more number in and see what it changes
  coachwork measure my-van/shell.stl
                                 find the shell's dimensions in a scan of it

coachwork COMMAND --help tells more about each."""
_ACTIONS = """\
actions, each in quotes, or several with semicolons between:
  "press NAME"  "let go of NAME"  "hold NAME 2 s"   a button
  "NAME to POSITION"   a switch, stick or dial: a position's name, "full NAME" of a
                       stick's end, or per cent: "trigger to full forward", "dial to 40 %"
  "wait 3 s"  "power off and on"  "lose the signal"  "the signal returns"
  "noise lifts NAME"  "noise lowers NAME"           the pulse jitters at a device

example: coachwork rehearse my-van "press horn-button" "wait 2 s" "lose the signal\""""
_TWO_COLUMNS = re.compile(r"  (?P<command>\S.*?)? {3,}(?P<words>\S.*)")
COMMANDS = (
    "new",
    "open",
    "check",
    "enter",
    "measure",
    "plot",
    "trim",
    "stow",
    "make",
    "strength",
    "papers",
    "rehearse",
    "card",
    "drive",
    "log",
    "why",
    "demo",
    "schema",
)
_BUILD = "the build's folder, or its build file"


class _Wrapped(argparse.HelpFormatter):
    """argparse's own, but that a text's lines stay lines where they have room."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        if max(map(len, text.splitlines())) <= width:
            return text
        return "\n".join(_wrapped(line, width) for line in _whole_lines(text))


def _whole_lines(text: str) -> list[str]:
    """Lines with what goes on below them: words in the second column, and the rest of a sentence."""
    lines: list[str] = []
    for line in text.splitlines():
        if lines and line.startswith(" " * 8):
            lines[-1] += (" " if _TWO_COLUMNS.fullmatch(lines[-1]) else "   ") + line.strip()
        elif lines and line[:1].strip() and lines[-1][:1].strip() and not lines[-1].endswith(":"):
            lines[-1] += f" {line}"
        else:
            lines.append(line)
    return lines


def _wrapped(line: str, width: int) -> str:
    """One line of help within a width; the words behind a command go below it.

    >>> print(_wrapped("  coachwork new my-van           start a build", 40))
      coachwork new my-van
          start a build
    """
    columns = _TWO_COLUMNS.fullmatch(line)
    if columns is None:
        return textwrap.fill(line, width, subsequent_indent="    " if line.startswith("  ") else "")
    below = textwrap.fill(columns["words"], width, initial_indent=" " * 6, subsequent_indent=" " * 6)
    return f"  {columns['command']}\n{below}" if columns["command"] else below


class _Parser(argparse.ArgumentParser):
    """argparse, but for its complaint: ours go the way of all others."""

    def error(self, message: str) -> None:  # type: ignore[override]
        raise CoachworkError(f"{self.prog}: {message}\n{self.format_usage().strip()}")


def read_arguments(arguments: list[str]) -> tuple[Command, argparse.Namespace]:
    """The command asked for and its options.

    Raises CoachworkError for what cannot be understood, and SystemExit(0) behind --help and --version.
    """
    parser = _parser()
    if arguments and arguments[0] not in COMMANDS and not arguments[0].startswith("-"):
        near = difflib.get_close_matches(arguments[0].lower(), COMMANDS, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}?" if near else f"there are {listed(COMMANDS, most=len(COMMANDS))}"
        raise CoachworkError(f"{arguments[0]}: there is no command of this name; {hint}")
    if arguments[:1] == ["enter"] and not {"-h", "--help", "--"} & set(arguments):
        # A value such as "-12mm" is no option.
        arguments = ["enter", *(" " + word if re.match(r"-[.\d]", word) else word for word in arguments[1:])]
    if arguments[:1] == ["rehearse"]:  # actions may stand on either side of an option, which argparse has no word for
        arguments = ["rehearse", *_options_last(arguments[1:])]
    options = parser.parse_args(arguments or ["first-steps"])
    module = importlib.import_module(f"coachwork.cli.{options.command.replace('-', '_')}")
    command: Command = module.run
    return command, options


def _options_last(words: list[str]) -> list[str]:
    """Options, each with its value, behind everything else.

    >>> _options_last(["van", "--plot", "a.svg", "press horn"])
    ['van', 'press horn', '--plot', 'a.svg']
    """
    values = {i + 1 for i, word in enumerate(words) if word.startswith("--") and "=" not in word}
    options = [word for i, word in enumerate(words) if word.startswith("-") or i in values]
    return [word for i, word in enumerate(words) if not (word.startswith("-") or i in values)] + options


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="coachwork", description=_ABOUT, epilog=_FIRST_STEPS, formatter_class=_Wrapped)
    parser.add_argument("--version", action="version", version=f"coachwork {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title="commands", parser_class=_Parser)

    new = commands.add_parser("new", help="start a build", description=(
        "Starts a build in a folder: asks for the first handful of numbers, each of which may be skipped, and writes "
        "a build file that explains every other one."))  # fmt: skip
    new.add_argument("place", metavar="DIR", type=Path, help="folder to make or fill")
    new.add_argument("--blank", action="store_true", help="ask nothing; write the file to fill in by hand")

    page = commands.add_parser("open", help="work on the build in a page of the browser", description=(
        "Opens the build in your browser: its questions, drawing and curves, every number editable in place and every "
        "verdict live. The page is served by this command, on this machine only, until Ctrl-C."))  # fmt: skip
    page.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    page.add_argument("--port", type=int, help="port to serve on (default: that of last time, or any that is free)")
    page.add_argument("--beside", metavar="OTHER", type=Path, help="another build, to set this one against")
    page.add_argument("--no-browser", dest="browser", action="store_false", help="only print the link")

    check = commands.add_parser("check", help="answer the build's questions", description=(
        "Prints what fails, what is tight, what to do about it and what to measure next. "
        "Exit status: 0 nothing fails, 1 something fails, 2 the file cannot be read."))  # fmt: skip
    check.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    check.add_argument("--question", metavar="STUDY", action="append", help="only this study's; can be repeated")
    check.add_argument("--all", dest="everything", action="store_true", help="list what holds, too")
    check.add_argument("--json", action="store_true", help="everything, for programs, as `schema report` describes it")

    enter = commands.add_parser("enter", help="put one number into the build", description=(
        "Puts one number into the build file, all else in the file left as it is, and says which verdicts it "
        "changes. KEY is the table and the key, such as shell.wheelbase or running-gear.front.hub-face.x; VALUE what "
        'you would write in the file: 267, "10 1/2 in", "267 +/- 0.3 mm", "~ 35 mm".'))  # fmt: skip
    enter.add_argument("place", metavar="DIR", type=Path, help=_BUILD)
    enter.add_argument("key", metavar="KEY", help="which number")
    enter.add_argument("value", metavar="VALUE", help="what it is")

    measure = commands.add_parser("measure", help="measure a scan of the shell", description=(
        "Finds the shell in a scan, in whatever pose: its plane of symmetry, overall dimensions, wheel arches, wall "
        "and ceiling, each with its spread, and proposes them as entries of the build file. "
        "Exit status: 0 all found, 1 something is unsure, 2 the mesh cannot be read or recognised."))  # fmt: skip
    measure.add_argument("mesh", metavar="MESH", type=Path,
                         help="STL, OBJ, PLY, GLB, 3MF or STEP; or the folder of a build that names one")  # fmt: skip
    measure.add_argument("--build", metavar="DIR", type=Path,
                         help=f"{_BUILD} (default: the one beside the mesh, else the one here)")  # fmt: skip
    measure.add_argument("--units", choices=("mm", "cm", "m", "in", "ft"),
                         help="what the mesh is in (default: told by the file or the shell's length)")  # fmt: skip
    measure.add_argument("--landmark", metavar="NAME=X,Y,Z", action="append", help=(
        "a point of the mesh, as its viewer shows it: nose, tail, roof, or inside an opening: front-left-arch and so "
        "on; can be repeated"))  # fmt: skip
    measure.add_argument("--show-in", choices=("mm", "in"), default="mm", help="unit of what is printed and written")
    measure.add_argument("--plot", metavar="FILE", type=Path, help="draw what was found: an .svg or .png file")
    measure.add_argument("--accept", metavar="KEY", nargs="?", const="all", action="append", help=(
        "write what the scan proposes into the build file; with a key, only that; can be repeated"))  # fmt: skip
    measure.add_argument("--replace", action="store_true", help=(
        "where the file holds another number of yours, write over it without asking"))  # fmt: skip

    plot = commands.add_parser("plot", help="draw the build's curves", description=(
        "Writes every curve of the build as an SVG drawing: as bought against as changed."))  # fmt: skip
    plot.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    plot.add_argument("--to", metavar="FOLDER", type=Path, help="where to write them (default: charts in the build)")

    trim = commands.add_parser("trim", help="what to cut out of the shell for the tyres", description=(
        "Where a tyre comes too near to the shell over travel and lock: writes the line to cut along at 1:1, as a "
        "drawing to print (SVG) and for a cutter (DXF), the trimmed mesh where the shell was scanned, and says what "
        "would do instead of cutting. Exit status: 0 nothing to cut, 1 something is or no tyre can be told, 2 the file "
        "cannot be read."
    ))  # fmt: skip
    trim.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    trim.add_argument("--gap", metavar="LENGTH", help="gap to leave (default: that of [wanted], else 0.5 mm)")
    trim.add_argument("--to", metavar="FOLDER", type=Path, help="where to write them (default: trim in the build)")

    stow = commands.add_parser("stow", help="find a place for every box", description=(
        "Looks for the best place for every box and draws it at 1:1; where not all fit, says which demands clash and "
        "what would do. Ctrl-C keeps the best so far. Exit status: 0 all are placed, 1 not, 2 the file cannot be read."
    ))  # fmt: skip
    stow.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    stow.add_argument("--move", metavar="BOX", action="append", help="move only this box, leave the rest; repeatable")
    stow.add_argument("--accept", action="store_true", help="write the places into the build file")
    stow.add_argument("--effort", metavar="TIMES", type=float, default=1.0, help="look so many times as long")
    stow.add_argument("--to", metavar="FOLDER", type=Path, help="where to draw (default: stowage in the build)")

    make = commands.add_parser("make", help="make the parts: files to print, and drawings", description=(
        "Draws every part that [parts] asks for, writes STEP, 3MF, STL and a dimensioned drawing of each, and measures "
        "each solid: walls, holes, gaps, size. Parts that did not change are not drawn again. Ctrl-C keeps those that "
        "are done. Then the papers are written anew, as by coachwork papers. Exit status: 0 all are made and hold, "
        "1 not, 2 the file cannot be read."
    ))  # fmt: skip
    make.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    make.add_argument("--part", metavar="NAME", action="append", help="only this part; can be repeated")
    make.add_argument("--pictures", action="store_true", help="a shaded picture of each part, too: some seconds each")
    make.add_argument("--to", metavar="FOLDER", type=Path, help="where to write them (default: parts in the build)")
    make.add_argument("--no-papers", dest="papers", action="store_false", help="write the parts' files only")

    strength = commands.add_parser("strength", help="compute how stiff the made parts are", description=(
        "Runs finite elements on the chassis and the battery door that `make` made, or that you drew, and keeps what "
        "they find: twist between the axles without and with the door, sag, a drop off a kerb. What was computed for "
        "the same solid before is taken from there. Ctrl-C stops it. "
        "Exit status: 0 nothing fails, 1 something does, 2 the file cannot be read."))  # fmt: skip
    strength.add_argument(
        "place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)"
    )
    strength.add_argument("--what-if", action="store_true", help=(
        "also draw and compute the chassis with higher or thicker walls, ribs, thicker necks and boxed sides, one at a "
        "time, so that a cure is told with its effect: some minutes"))  # fmt: skip

    papers = commands.add_parser("papers", help="print what you take to the bench", description=(
        "Writes the papers for the bench as PDF: measuring sheet, report, templates at 1:1 (also SVG and DXF), cut "
        "list, shopping list, wiring sheet, channel card, set-up sheet, build order, run log, assumptions."
    ))  # fmt: skip
    papers.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    papers.add_argument("--only", metavar="NAME", action="append", help="only this paper; can be repeated")
    papers.add_argument("--paper", choices=("a4", "letter"), default="a4", help="what the printer holds (default: a4)")
    papers.add_argument("--units", choices=("mm", "in"), help=(
        "what lengths are told in; in: with millimetres behind (default: that of [measuring], else mm)"))  # fmt: skip
    papers.add_argument("--to", metavar="FOLDER", type=Path, help="where to write them (default: papers in the build)")

    rehearse = commands.add_parser("rehearse", help="play on the radio and see what each accessory does", description=(
        "Switches the radio on and plays actions on it: pulses, what each device does,\n"
        "and the supply's current. Without any actions, they are asked for one by one."
    ), epilog=_ACTIONS, formatter_class=_Wrapped)  # fmt: skip
    rehearse.add_argument("place", metavar="DIR", type=Path, help=_BUILD)
    rehearse.add_argument("actions", metavar="ACTION", nargs="*", help="what to do, each in quotes")
    rehearse.add_argument("--script", metavar="FILE", type=Path, help="a text file, one action a line")
    rehearse.add_argument("--wish", metavar="NAME", help="the shortest way to where this wish is broken")
    rehearse.add_argument("--plot", metavar="FILE", type=Path, help="draw it against time: an .svg file, or a folder")

    card = commands.add_parser("card", help="print the channel card", description=(
        "Which control moves which output, the pulses, what each device does with them, at power-up, and when the "
        "signal is lost."))  # fmt: skip
    card.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    card.add_argument("--markdown", metavar="FILE", type=Path, help="write it as Markdown instead")

    drive = commands.add_parser("drive", help="drive the round hundreds of times in numbers", description=(
        "Drives the build's round hundreds of times, each with other numbers within their half-widths: how long it "
        "runs, how warm things become, which protection trips first and when, and how likely each is. Ctrl-C stops it."
    ))  # fmt: skip
    drive.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    drive.add_argument("--samples", metavar="N", type=int, default=300, help="how many drives (default: 300)")

    log = commands.add_parser("log", help="write down a run, and what was seen when it stopped", description=(
        "Adds a run to log.toml in the build's folder; nothing that stands there is changed. "
        'Observations are KEY=VALUE, such as minutes="21 min" steers=no lights=off volts-after=7.9; without any, each '
        "is asked for, and Enter skips it."))  # fmt: skip
    log.add_argument("place", metavar="DIR", type=Path, help=_BUILD)
    log.add_argument("seen", metavar="KEY=VALUE", nargs="*", help="what was seen")

    why = commands.add_parser("why", help="rank what may have stopped it", description=(
        "Ranks the causes of the last stop in the log by what was seen, with the build's own drive behind it; shows "
        "what each cause would predict, and names the cheapest test that would tell the first two apart."))  # fmt: skip
    why.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path(), help=f"{_BUILD} (default: here)")
    why.add_argument(
        "--run", metavar="N", type=int, help="another run of the log, counted from 1 (default: the last stop)"
    )

    demo = commands.add_parser("demo", help="copy the example builds out and check them", description=(
        "Copies the harbour mail van out, once as found with its faults and once as finished, checks and draws both."
    ))  # fmt: skip
    demo.add_argument("place", metavar="DIR", type=Path, nargs="?", default=Path("harbour-mail-van"),
                      help="folder to copy to (default: harbour-mail-van)")  # fmt: skip
    demo.add_argument("--without-scans", action="store_true", help="do not make the scans of the shells (11 MB each)")

    schema = commands.add_parser("schema", help="print a JSON Schema", description=(
        "Prints the JSON Schema of the build file, for editors that check while you type, or of the JSON report."
    ))  # fmt: skip
    schema.add_argument("what", metavar="build|report", choices=("build", "report"), nargs="?", default="build",
                        help="build: the build file (default); report: what check --json prints")  # fmt: skip

    commands.add_parser("first-steps", add_help=False)
    return parser
