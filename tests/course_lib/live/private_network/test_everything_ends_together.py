"""Whichever process is killed, nothing of a private network stays behind.

A program of its own stands for the notebook's kernel: it makes a network of two places with a
process in each, one of them busy, and waits. Nothing here has a clock: the tests wait until the
kernel says that the processes have ended.
"""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from course_lib.live.private_network.supervised import Supervised
from machines.processes import children_of, until, wait_for_the_end_of

pytestmark = pytest.mark.usefixtures("live")

NOTEBOOK = """
import sys
from course_lib.live.private_network.live_process import LiveProcess
from course_lib.live.private_network.supervised import Supervised
supervised = Supervised()
for place, program in (("a pier", "while True: pass"), ("a boat", "import time; time.sleep(1e9)")):
    supervised.order("add_place", name=place, settings={})
    LiveProcess(supervised, place, ["-c", program])
print("it runs", flush=True)
sys.stdin.read()
supervised.close()
"""


class Notebook:
    """The program, and all below it: the outer supervisor, the inner one, and two more."""

    def __init__(self):
        self.process = subprocess.Popen(
            [sys.executable, "-c", NOTEBOOK], stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        assert self.process.stdout.readline() == b"it runs\n"
        self.below = children_of(self.process.pid)

    def named(self, word):
        """Return the number of the process that is called so, as soon as it is."""

        def found():
            texts = {pid: Path(f"/proc/{pid}/cmdline").read_text() for pid in self.below}
            return [pid for pid, text in texts.items() if word in text]

        return until(found)[0]


@pytest.fixture
def notebook():
    running = Notebook()
    yield running
    running.process.kill()
    running.process.communicate()


def supervisors(notebook):
    (outer,) = (pid for pid in sorted(notebook.below)[:1])
    (inner,) = (pid for pid in sorted(notebook.below)[1:2])
    return outer, inner


def test_a_network_is_two_supervisors_and_what_was_started(notebook):
    assert len(notebook.below) == 4
    assert notebook.named("while True") != notebook.named("time.sleep")
    notebook.process.communicate(b"")
    assert notebook.process.returncode == 0
    wait_for_the_end_of(notebook.below)


@pytest.mark.parametrize("who", ["the notebook's kernel", "the outer", "the inner"])
def test_when_one_of_those_that_hold_it_is_killed_all_end(notebook, who):
    outer, inner = supervisors(notebook)
    killed = {"the outer": outer, "the inner": inner}.get(who, notebook.process.pid)
    os.kill(killed, signal.SIGKILL)
    wait_for_the_end_of(notebook.below)


def test_a_supervisor_that_stands_still_ends_with_the_notebook(notebook):
    for pid in supervisors(notebook):
        os.kill(pid, signal.SIGSTOP)
    os.kill(notebook.process.pid, signal.SIGKILL)
    wait_for_the_end_of(notebook.below)


def test_a_killed_process_takes_nobody_with_it(notebook):
    busy = notebook.named("while True")
    os.kill(busy, signal.SIGKILL)
    wait_for_the_end_of({busy: notebook.below.pop(busy)})
    assert set(children_of(notebook.process.pid)) >= set(supervisors(notebook))
    notebook.process.communicate(b"")
    assert notebook.process.returncode == 0


def test_a_network_that_somebody_forgot_ends_by_itself():
    supervised = Supervised(lasts_s=1)
    until(lambda: not supervised.is_running)
    supervised.close()
