"""Who gets in and who does not, and that what gets in does what it says.

The refusals follow the OWASP cheat sheets on cross-site request forgery and on DNS rebinding (check Host, check Origin,
a secret that no other page can read), from memory.
"""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from coachwork.workbench.desk import Desk
from coachwork.workbench.guard import MOST_BYTES, MOST_UPLOADED
from coachwork.workbench.server import Server
from coachwork.workbench.session import Session


def test_the_page_and_all_it_needs_are_served_to_who_came_by_the_link(served):
    status, page = served.ask("GET", "/")
    assert status == 200
    assert b"/page/main.js" in page
    for path in ("/page/main.js", "/page/style.css", "/page/vendor/three.module.min.js", "/drawings/shell-side.svg"):
        assert served.ask("GET", path)[0] == 200, path


def test_nothing_on_the_page_names_another_place():
    """The browser test logs requests; this finds an address that only a rare path would call."""
    page = Path(sys.modules["coachwork.workbench.server"].__file__).parent / "page"
    for file in page.glob("*.*"):
        text = file.read_text(encoding="utf-8")
        for address in ("http://", "https://", "//cdn"):
            found = text.replace("http://www.w3.org/2000/svg", "")
            assert address not in found, f"{file.name} names {address}"


def test_only_loopback_is_bound(served):
    assert served.server._socket.getsockname()[0] == "127.0.0.1"


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "[::1]:{port}", ""]
)
def test_another_host_name_is_refused(served, host):
    status, body = served.ask("GET", "/state", host=host.format(port=served.server.port))
    assert status == 421
    assert b"entries" not in body


def test_no_host_at_all_is_refused(served):
    assert served.ask("GET", "/state", host=None)[0] in (400, 421)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1", None]
)
def test_a_post_of_another_origin_or_of_none_is_refused_and_changes_nothing(served, origin):
    before = (served.folder / "build.toml").read_bytes()
    told = json.dumps({"values": {"shell.length": "999"}, "seen": {"shell.length": "411 ± 0.6 mm"}}).encode()
    sent = None if origin is None else origin.format(port=served.server.port)
    assert served.ask("POST", "/do/edit", told, origin=sent)[0] == 403
    assert (served.folder / "build.toml").read_bytes() == before


def test_a_read_by_another_page_is_refused(served):
    assert served.ask("GET", "/state", sec_fetch_site="cross-site", sec_fetch_mode="no-cors")[0] == 403
    assert served.ask("GET", "/state", origin="http://evil.example")[0] == 403


@pytest.mark.parametrize("cookie", ["", "coachwork=x", "coachwork-{port}=wrong", "coachwork-{port}=", "=;;,\x00"])
@pytest.mark.parametrize("path", ["/", "/state", "/events", "/page/main.js", "/files/build.toml"])
def test_without_the_pass_there_is_nothing(served, cookie, path):
    assert served.ask("GET", path, cookie=cookie.format(port=served.server.port).replace("\x00", ""))[0] == 403


def test_the_link_works_once(served):
    path = served.server.link.partition(str(served.server.port))[2]
    assert served.ask("GET", path, cookie="")[0] == 403
    assert served.ask("GET", "/open?token=guess", cookie="")[0] == 403
    assert "set-cookie" not in served.last


def test_the_pass_is_out_of_reach_of_scripts_and_other_sites(tiny_folder, tiny, served):
    again = Server(Desk(Session(tiny_folder, plan=tiny.plan())))
    assert again.guard.kept == served.server.guard.kept
    again._socket.close()
    again.desk.close()
    kept = served.folder / ".coachwork" / "server.json"
    assert kept.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize(
    "path",
    [
        "/files/../secret.txt", "/files/%2e%2e/secret.txt", "/files/..%2fsecret.txt", "/files/%2e%2e%2fsecret.txt",
        "/files/charts/../../secret.txt", "/files/..%5csecret.txt", "/files//etc/passwd", "/files/%2fetc%2fpasswd",
        "/files/link.txt", "/files/.coachwork/server.json", "/files/x%00.txt", "/page/../session.py",
        "/page/%2e%2e/session.py", "/page/..%2fsession.py", "/drawings/%2e%2e/radio.md",
    ],
)  # fmt: skip
def test_no_path_leads_out_of_the_folder(served, path):
    (served.folder.parent / "secret.txt").write_text("secret", encoding="utf-8")
    (served.folder / "link.txt").symlink_to(served.folder.parent / "secret.txt")
    status, body = served.ask("GET", path)
    assert status in (400, 404), body
    assert b"secret" not in body
    assert b"root:" not in body


def test_a_file_of_the_folder_is_handed_out_and_listed(served):
    (served.folder / "charts").mkdir()
    (served.folder / "charts" / "one two.svg").write_text("<svg/>", encoding="utf-8")
    for own in ("papers/written-by-coachwork.json", "parts/made.json"):
        (place := served.folder / own).parent.mkdir(exist_ok=True)
        place.write_text("{}", "utf-8")
    listed = json.loads(served.ask("GET", "/files")[1])
    assert listed == [{"path": "charts/one two.svg", "bytes": 6}]
    assert served.ask("GET", "/files/charts/one%20two.svg") == (200, b"<svg/>")
    assert "attachment" in served.last["content-disposition"]


@pytest.mark.parametrize("path", ["/upload?name=shell.stl", "/do/edit"])
def test_a_body_of_a_gigabyte_is_refused_before_it_is_sent(served, path):
    assert served.ask("POST", path, content_length=str(2**30))[0] == 413
    assert sorted(file.name for file in served.folder.iterdir()) == [".coachwork", "build.toml"]


def test_a_body_that_does_not_tell_its_size_is_cut_off(served, monkeypatch):
    monkeypatch.setattr("coachwork.workbench.guard.MOST_UPLOADED", 100_000)
    with socket.create_connection(("127.0.0.1", served.server.port), timeout=20) as raw:
        host = f"127.0.0.1:{served.server.port}"
        head = (
            f"POST /upload?name=big.stl HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\n"
            f"cookie: {served.cookie}\r\ntransfer-encoding: chunked\r\n\r\n"
        )
        raw.sendall(head.encode())
        chunk = b"2710\r\n" + bytes(10_000) + b"\r\n"
        try:
            for _ in range(30):
                raw.sendall(chunk)
            answer = raw.recv(1000)
        except OSError:  # the door was shut in our face, which is an answer, too
            answer = b"HTTP/1.1 413"
    assert answer.startswith(b"HTTP/1.1 413")
    assert not (served.folder / "big.stl").exists()
    deadline = time.monotonic() + 10
    while (served.folder / ".big.stl.part").exists() and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not (served.folder / ".big.stl.part").exists()


def test_limits_are_what_the_pages_say():
    assert MOST_BYTES < 1e6 < MOST_UPLOADED < 2**30


@pytest.mark.parametrize("name", ["../x.stl", "x.exe", ".hidden.stl", "a/b.stl", "", "build.toml", "x.stl%00.txt"])
def test_a_scan_with_an_odd_name_is_refused(served, name):
    before = sorted(served.folder.rglob("*"))
    assert served.ask("POST", f"/upload?name={name}", b"solid x")[0] == 400
    assert sorted(served.folder.rglob("*")) == before


def test_a_scan_is_taken_in_and_none_is_written_over(served):
    assert served.ask("POST", "/upload?name=shell.stl", b"solid x\nendsolid x\n")[0] == 200
    assert served.ask("POST", "/upload?name=shell.stl", b"other")[0] == 400
    assert (served.folder / "shell.stl").read_bytes() == b"solid x\nendsolid x\n"


def test_every_answer_forbids_what_the_page_does_not_need(served):
    served.ask("GET", "/")
    policy = served.last["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert served.last["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("raw", [b"", b"[]", b"{", b'{"key": 1}', b'{"values": 3, "seen": 4}', b"\xff"])
@pytest.mark.parametrize("name", ["edit", "note", "settle", "start", "nothing"])
def test_nonsense_is_refused_in_words(served, name, raw):
    before = (served.folder / "build.toml").read_bytes()
    status, body = served.ask("POST", f"/do/{name}", raw)
    assert status in (400, 404)
    assert json.loads(body)["error"]
    assert (served.folder / "build.toml").read_bytes() == before


def test_an_edit_is_saved_answered_and_pushed(served):
    assert served.server.desk.session.settled()
    told = served.do("edit", values={"shell.length": "413"}, seen={"shell.length": "411 ± 0.6 mm"})
    assert told["saved"]
    assert "length = 413" in (served.folder / "build.toml").read_text("utf-8")
    assert served.server.desk.session.settled()
    state = json.loads(served.ask("GET", "/state")[1])
    assert state["verdicts"]["sized.length"]["value"] == pytest.approx(3.0)
    assert state["entries"]["shell.length"]["told"] == "413.0 ± 0.1 mm"
    assert state["undo"].startswith("shell.length")


def events(served, seconds=10.0):
    """Events of the stream, as (name, data)."""
    host = f"127.0.0.1:{served.server.port}"
    with socket.create_connection(("127.0.0.1", served.server.port), timeout=seconds) as raw:
        raw.sendall(f"GET /events HTTP/1.1\r\nhost: {host}\r\ncookie: {served.cookie}\r\n\r\n".encode())
        name = ""
        for line in raw.makefile("rb"):
            if line.startswith(b"event: "):
                name = line[7:].strip().decode()
            elif line.startswith(b"data: "):
                yield name, json.loads(line[6:])


def test_a_tab_is_sent_everything_once_and_then_what_is_new(served):
    assert served.server.desk.session.settled()
    stream = events(served)
    name, whole = next(stream)
    assert name == "all"
    assert whole["verdicts"]["sized.width"]["state"]
    served.do("edit", values={"shell.length": "415"}, seen={"shell.length": "411 ± 0.6 mm"})
    for name, news in stream:
        assert name == "news"
        if "sized.length" in news.get("verdicts", {}):
            break
    assert news["verdicts"]["sized.length"]["value"] == pytest.approx(5.0)
    assert "sized.width" not in news["verdicts"]  # it did not change
    stream.close()


def test_a_stream_does_not_hold_up_the_end(served):
    stream = events(served)
    next(stream)
    began = time.monotonic()
    served.server.end()
    served.thread.join(timeout=15)
    assert not served.thread.is_alive()
    assert time.monotonic() - began < 15
    stream.close()


def test_a_port_that_is_taken_is_said(tiny_folder, tiny):
    from coachwork.errors import CoachworkError

    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        desk = Desk(Session(tiny_folder, plan=tiny.plan()))
        try:
            with pytest.raises(CoachworkError, match=f"--port {port}"):
                Server(desk, port=port)
        finally:
            desk.close()


def test_the_command_opens_tells_its_link_and_closes_on_ctrl_c(tiny_folder: Path):
    environment = {**os.environ, "PYTHONUNBUFFERED": "1", "COLUMNS": "200"}
    with subprocess.Popen(
        [sys.executable, "-m", "coachwork", "open", str(tiny_folder), "--no-browser"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8", env=environment,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        line = process.stdout.readline()
        assert "http://127.0.0.1:" in line
        assert "token=" in line
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=30)
    assert "Closed." in out
    assert err == ""
    assert process.returncode == 0
