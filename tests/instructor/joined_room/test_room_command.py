"""`hopbyhop room`: asks first, opens, is killed, goes on with its code, leaves nothing behind."""

import io
import re
import signal
import subprocess
import sys
import urllib.request

import pytest

from course_lib.cli import main
from course_lib.joining.member import Member
from course_lib.links import new_code, room_secret
from machines.processes import until
from networks.pier_stand_in import PierStandIn

AT = ["room", "--at", "127.0.0.1/8"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--at", "192.0.2.10"], "by its length"),
        (["--at", "192.0.2.10/8"], "16 or more"),
        (["--at", "224.0.0.1/24"], "not the address of one machine"),
        (["--at", "192.0.2.10/24", "--rate", "500"], "0.1 to 100 Mbit/s"),
        (["--at", "192.0.2.10/24", "--hours", "24"], "12 hours at most"),
        (["--at", "192.0.2.10/24", "--piers", "99"], "2 to 60 piers"),
        (["--at", "192.0.2.10/24", "--code", "ABC"], "18 letters"),
        ([], "say --rehearse"),
        (["--rehearse", "--piers", "99"], "2 to 60 piers"),
        (["--at", "192.0.2.10/24"], "Nobody can be asked"),  # and without --yes nothing is opened
    ],
)
def test_nothing_is_opened_beyond_its_bounds_or_unasked(words, told, capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    try:
        status = main(["room", *words])
    except SystemExit as ended:
        status = ended.code
    said = " ".join(capsys.readouterr().err.split())
    assert status != 0
    assert told in said


def started(state, *more):
    """Start the command; return the process, the code and the port that it says."""
    words = [*AT, "--yes", "--screen-port", "0", "--state", str(state), "--piers", "5", *more]
    process = subprocess.Popen(
        [sys.executable, "-u", "-m", "course_lib.cli", *words], stdout=subprocess.PIPE, text=True
    )
    said = ""
    while not (found := re.search(r'join_room\("([A-Z2-7-]{23})", at="127.0.0.1:(\d+)"\)', said)):
        line = process.stdout.readline()
        assert line, said
        said += line
    return process, found[1], found[2]


def test_a_room_is_killed_and_goes_on_and_ends_with_nothing_left(tmp_path):
    state, pier = tmp_path / "deep" / "room.json", PierStandIn()
    process, code, port = started(state, "--port", "0")
    member = Member(f"127.0.0.1:{port}", room_secret(code), "a" * 32, pier)
    member.begin()
    try:
        placed = member.first.result()
        until(lambda: state.is_file() and "a" * 32 in state.read_text())
        assert code not in state.read_text()
        process.kill()
        process.communicate()
        until(lambda: not member.standing.is_on_line)
        assert main([*AT, "--yes", "--state", str(state), "--code", new_code()]) == 1  # another's
        process, again, _ = started(state, "--port", port, "--code", code)
        assert again == code
        until(lambda: member.standing.is_on_line, process)
        assert member.standing.placed.pier == placed.pier
        process.send_signal(signal.SIGINT)
        assert "The room is over" in process.stdout.read()
        assert process.wait() == 0
        until(lambda: member.standing.is_over)
        assert not state.exists()
    finally:
        member.close()
        process.kill()
        process.communicate()


def test_a_room_is_rehearsed_on_this_machine_alone():
    words = ["room", "--rehearse", "--screen-port", "0", "--piers", "3"]
    process = subprocess.Popen(
        [sys.executable, "-u", "-m", "course_lib.cli", *words], stdout=subprocess.PIPE, text=True
    )
    with process:
        line = next(line for line in process.stdout if "http" in line)
        assert line.strip().startswith("http://127.0.0.1:")
        with urllib.request.urlopen(line.strip()) as page:
            assert b"screen.js" in page.read()
        process.send_signal(signal.SIGINT)
        assert "The rehearsal is over." in process.stdout.read()
    assert process.returncode == 0
