"""Without a sandbox too, an answer ends with whoever asked for it, however that one ended."""

import contextlib
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from course_lib.runner.lifeline import Lifeline
from course_lib.runner.runner import StandAlone, run_answer
from machines.processes import until

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux can do this")

COORDINATOR = """
import sys
from course_lib.runner.runner import StandAlone
from course_lib.runner.runner import Limits, run_answer
run_answer(StandAlone(sys.argv[1]), "f", [[sys.argv[2]]], limits=Limits(case_s=60))
"""
# Loops of the interpreter's own: no signal handler and no thread of Python's ever runs.
FOR_EVER = "sum(itertools.repeat(1))"
ALONE = f"""
import itertools, os
def f(name):
    with open(name, "a") as file:
        file.write(f"{{os.getpid()}}\\n")
    {FOR_EVER}
"""
WITH_A_CHILD = ALONE.replace("    with open", "    os.fork()\n    with open")


def states(pids):
    """Return the state of each process that is still there: R for running, S for asleep."""
    files = [Path(f"/proc/{pid}/stat") for pid in pids]
    found = [file.read_text().rpartition(")")[2].split()[0] for file in files if file.exists()]
    return [state for state in found if state not in "ZX"]  # ended, and not yet asked how


def numbers(path, count):
    """Return the process ids that answers wrote into a file, as soon as all are there."""
    until(lambda: not count or (path.exists() and path.read_text().count("\n") >= count))
    return [int(line) for line in path.read_text().split()] if path.exists() else []


@pytest.fixture
def path(tmp_path):
    """Give answers a file for their process ids; end those that the test did not."""
    yield tmp_path / "pids"
    for pid in numbers(tmp_path / "pids", 0):
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)


@pytest.mark.parametrize(("source", "count"), [(ALONE, 1), (WITH_A_CHILD, 2)])
def test_an_endless_answer_ends_soon_after_its_coordinator_was_killed(path, source, count):
    coordinator = subprocess.Popen([sys.executable, "-c", COORDINATOR, source, str(path)])
    pids = numbers(path, count)
    assert len(states(pids)) == count
    coordinator.send_signal(signal.SIGKILL)
    coordinator.wait()
    until(lambda: not states(pids))


def test_many_answers_leave_no_descriptor_behind():
    def descriptors():
        return len(list(Path("/proc/self/fd").iterdir()))

    answer = StandAlone("def f():\n    return 1\n")
    run_answer(answer, "f", [[]])
    before = descriptors()
    assert [run_answer(answer, "f", [[]]).results[0].value for _ in range(5)] == [1] * 5
    assert descriptors() == before


def test_elsewhere_there_is_no_line_and_nothing_to_close(monkeypatch):
    monkeypatch.setattr("sys.platform", "another")
    line = Lifeline()
    line.tie(1)
    line.close()
    assert line.theirs == ()
