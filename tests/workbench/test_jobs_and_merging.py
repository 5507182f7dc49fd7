"""Work beside the page, and steps there and back."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwork.build import with_entry
from coachwork.workbench.desk import Desk, changes
from coachwork.workbench.jobs import ASIDE_NICE, Jobs, on_offer
from coachwork.workbench.merging import all_held, differences, held, step, stepped
from coachwork.workbench.session import Session

TEXT = """\
# a build
[shell]
length = 411.0   # of the tape
width = "166 ± 0.6 mm"
mesh = 'shell "one".stl'
[running-gear.front]
hub-face = [1.5, "63 ± 0.3", "?"]
"""


def test_what_a_key_holds_is_what_was_typed():
    assert held(TEXT, "shell.length") == "411.0"
    assert held(TEXT, "shell.width") == "166 ± 0.6 mm"
    assert held(TEXT, "shell.mesh") == 'shell "one".stl'
    assert held(TEXT, "running-gear.front.hub-face.y") == "63 ± 0.3"
    assert held(TEXT, "shell.height") is None
    assert all_held(TEXT)["running-gear.front.hub-face.x"] == "1.5"
    assert differences(TEXT, TEXT.replace("411.0", "412")) == {"shell.length": ("411.0", "412")}


@given(st.lists(st.tuples(st.sampled_from(["shell.length", "shell.width", "shell.height", "prototype.length",
                                           "running-gear.front.hub-face.z", "shell.front.top"]),
                          st.sampled_from(["1", "2.50", "3 ± 0.1", "?", "~ 4"])), min_size=1, max_size=8))  # fmt: skip
def test_every_way_there_leads_back(edits):
    texts, steps = [TEXT], []
    for key, value in edits:
        new = with_entry(texts[-1], key, value)
        steps.append(step(texts[-1], new, (key,)))
        texts.append(new)
    for made, before, after in zip(reversed(steps), reversed(texts[:-1]), reversed(texts[1:]), strict=True):
        assert stepped(after, made.reverse) == before
        assert stepped(before, made) == after


def test_a_step_keeps_its_hands_off_what_others_changed():
    made = step(TEXT, with_entry(TEXT, "shell.length", "412"), ("shell.length",))
    theirs = TEXT.replace("166", "167")
    assert stepped(theirs, made) == theirs.replace("411.0", "412")
    assert stepped(TEXT.replace("411.0", "413"), made) is None


def test_changes_lead_from_the_old_state_to_the_new():
    old = {"entries": {"a": {"text": "1"}, "b": {"text": "2"}}, "verdicts": {}, "tally": "x", "jobs": []}
    new = {"entries": {"a": {"text": "1"}, "c": {"text": "3"}}, "verdicts": {}, "tally": "y", "jobs": []}
    assert changes(old, new) == {"entries": {"c": {"text": "3"}, "b": None}, "tally": "y"}
    assert changes(new, new) == {}
    assert changes({}, new) == new


def test_all_that_is_on_offer_can_be_had():
    from coachwork.cli.arguments import COMMANDS

    assert {work.command[0] for work in on_offer()} <= set(COMMANDS)
    assert {"stow", "drive", "trim"} <= {work.name for work in on_offer()}


def test_there_is_no_other_work(tmp_path: Path):
    jobs = Jobs(tmp_path, lambda: None)
    with pytest.raises(KeyError):
        jobs.start("rm -rf")
    with pytest.raises(KeyError):
        jobs.stop(1)
    assert jobs.forms() == []


def test_a_command_tells_how_far_it_is_to_a_program(examples: Path, tmp_path: Path):
    done = subprocess.run(
        [sys.executable, "-m", "coachwork", "plot", str(examples / "as-found"), "--to", str(tmp_path)],
        env={**os.environ, "COACHWORK_PROGRESS": "json"}, capture_output=True, text=True, encoding="utf-8", check=True,
    )  # fmt: skip
    told = [json.loads(line) for line in done.stderr.splitlines()]
    assert len(told) > 5
    assert all(0 <= one["done"] < one["of"] and one["doing"] for one in told)
    assert any(one["doing"].startswith("linkage") for one in told)


def test_a_job_that_is_stopped_takes_its_own_processes_with_it(tmp_path: Path):
    """A command may compute in a process of its own; nobody would end that one."""
    from coachwork.workbench.jobs import _end

    script = (
        "import subprocess, sys;"
        "subprocess.run([sys.executable, '-c', 'import time; print(1, flush=True); time.sleep(5); print(2)'])"
    )
    process = subprocess.Popen(
        [sys.executable, "-c", script], stdout=subprocess.PIPE, text=True, start_new_session=True
    )  # fmt: skip
    with process:
        assert process.stdout is not None
        assert process.stdout.readline() == "1\n"  # the grandchild runs
        _end(process)
        assert process.stdout.read() == ""  # and does not come to its end


@pytest.mark.skipif(not hasattr(os, "getpriority"), reason="processes have no priority here")
def test_a_job_stands_back_for_what_the_builder_waits_for(examples: Path, tmp_path: Path):
    folder = shutil.copytree(examples / "as-found", tmp_path / "van")
    over = threading.Event()
    jobs = Jobs(folder, lambda: None, over.set)
    process = jobs.start("plot").process
    try:
        assert os.getpriority(os.PRIO_PROCESS, process.pid) > os.getpriority(os.PRIO_PROCESS, 0)
    finally:
        jobs.close()
        assert over.wait(20)


@pytest.mark.skipif(not Path("/proc/self/autogroup").exists(), reason="sessions are not weighed here")
def test_a_job_steps_aside_while_the_builder_waits_for_answers_and_no_longer(examples: Path, tmp_path: Path):
    session = Session(shutil.copytree(examples / "as-found", tmp_path / "van"))
    desk, seen = Desk(session), []
    try:
        assert session.settled(120)
        process = desk.jobs.start("stow").process
        os.kill(process.pid, signal.SIGSTOP)  # so that it is not over before the test is

        def nice() -> str:
            return Path(f"/proc/{process.pid}/autogroup").read_text(encoding="utf-8").split()[-1]

        end = session.listen(lambda _: seen.append((session.answered == session.version, nice())))
        time.sleep(0.2)  # the system takes a word on this ten times a second
        assert session.edit("shell.windscreen-height", "58.0", seen="57.6").saved
        assert session.settled(120)
        for _ in range(50):
            if nice() == "0":
                break
            time.sleep(0.1)
            session.tell("working")  # with whatever is told next
        assert (False, str(ASIDE_NICE)) in seen
        assert nice() == "0"
        end()
        os.kill(process.pid, signal.SIGCONT)
    finally:
        desk.close()
