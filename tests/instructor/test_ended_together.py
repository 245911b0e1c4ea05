"""Tests that are stopped leave no process behind: not their own, nor one that got away."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from instructor import ended_together
from machines.processes import until, wait_for_the_end_of

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux has a guard")

# What tests do: a server in a session of its own, which starts another one and lets go of it.
SERVER = (
    "import subprocess, sys, time;"
    "subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(10**6)'],"
    " start_new_session=True); time.sleep(10**6)"
)
TESTS = f"""
import os, pathlib, signal, subprocess, sys, time
out = pathlib.Path(sys.argv[1])
server = subprocess.Popen([sys.executable, "-c", {SERVER!r}], start_new_session=True)
children = pathlib.Path(f"/proc/{{server.pid}}/task/{{server.pid}}/children")
while not (other := children.read_text().split()):
    time.sleep(0.01)
(out / "part").write_text(str([os.getpid(), server.pid, int(other[0])]))
(out / "part").rename(out / "started")
if sys.argv[2] == "waits":
    time.sleep(10**6)
if sys.argv[2] == "deaf":
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    (out / "is deaf").touch()
    time.sleep(10**6)
sys.exit(int(sys.argv[2]))
"""
STARTED = f"""
import sys
from pathlib import Path
from instructor.ended_together import run_to_the_end
command = [sys.executable, "-c", {TESTS!r}, *sys.argv[1:]]
print(run_to_the_end(command, Path.cwd()), flush=True)
"""


BESIDE = STARTED.replace("import run_to_the_end", "import beside").replace(
    "print(run_to_the_end(command, Path.cwd()), flush=True)",
    "with beside(command, Path.cwd()):\n    while not Path(sys.argv[1], 'enough').exists(): pass",
)


def start(folder, what, program=STARTED):
    """Start the tests in question; return who runs them, and a descriptor of each process."""
    command = [sys.executable, "-c", program, str(folder), what]
    running = subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, start_new_session=True,
        env={**os.environ, "PYTHONPATH": str(Path(ended_together.__file__).parent.parent)},
    )  # fmt: skip
    until((folder / "started").exists, running)
    return running, json.loads((folder / "started").read_text())


def opened(numbers):
    return {number: os.pidfd_open(number) for number in numbers}


@pytest.mark.parametrize("kind", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_stopped_by_any_signal_nothing_is_left(tmp_path, kind):
    running, numbers = start(tmp_path, "waits")
    processes = opened(numbers)
    running.send_signal(kind)
    running.communicate()
    wait_for_the_end_of(processes)


def test_ctrl_c_on_a_terminal_is_passed_on_and_the_status_says_so(tmp_path):
    running, numbers = start(tmp_path, "waits")
    processes = opened(numbers)
    os.killpg(running.pid, signal.SIGINT)
    said, _ = running.communicate()
    assert int(said) == -signal.SIGINT
    wait_for_the_end_of(processes)


def test_what_does_not_listen_to_the_first_ctrl_c_is_ended_by_the_second(tmp_path):
    running, numbers = start(tmp_path, "deaf")
    processes = opened(numbers)
    until((tmp_path / "is deaf").exists, running)
    until(lambda: running.send_signal(signal.SIGINT) or running.poll() is not None)
    running.communicate()
    wait_for_the_end_of(processes)


@pytest.mark.parametrize(
    "stop",
    [lambda folder, _: (folder / "enough").touch(), lambda _, running: running.kill()],
    ids=["ends", "is killed"],
)
def test_what_runs_beside_something_ends_with_it(tmp_path, stop):
    running, numbers = start(tmp_path, "waits", BESIDE)
    processes = opened(numbers)
    stop(tmp_path, running)
    running.communicate()
    wait_for_the_end_of(processes)


@pytest.mark.parametrize("status", [0, 3])
def test_at_a_usual_end_too_nothing_is_left_and_the_status_is_passed_on(tmp_path, status):
    command = [sys.executable, "-c", STARTED, str(tmp_path), str(status)]
    done = subprocess.run(
        command, stdout=subprocess.PIPE, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(Path(ended_together.__file__).parent.parent)},
    )  # fmt: skip
    assert int(done.stdout) == status
    for number in json.loads((tmp_path / "started").read_text()):
        assert not Path(f"/proc/{number}").exists()
