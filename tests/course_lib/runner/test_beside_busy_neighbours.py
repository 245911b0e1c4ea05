"""What counts is what an answer computes: neighbours cost it nothing, and sleeping gains nothing.

No test here looks at a clock: the neighbours are so many that the clock on the wall would have
ended an honest answer long before it is through.
"""

import os
import subprocess
import sys

import pytest

from course_lib.runner.runner import Limits, StandAlone, run_answer
from course_lib.runner.used_time import used_by
from machines.processes import children_of, until

LIMIT_S = 0.5
NEIGHBOURS = 6 * (os.cpu_count() or 1)
SLOW = """
import time
def f(share):
    end = time.process_time() + share * {limit}
    while time.process_time() < end:
        pass
    return share
"""

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells from outside")


@pytest.fixture
def busy():
    """Keep every processor busy with processes of somebody else's.

    Each has a session of its own: Linux may share out the processors among sessions (sched(7)).
    """
    command = [sys.executable, "-c", "print(flush=True)\nwhile True: pass"]
    started = [
        subprocess.Popen(command, stdout=subprocess.PIPE, start_new_session=True)
        for _ in range(NEIGHBOURS)
    ]
    for one in started:
        one.stdout.read(1)  # it is busy from here on
    yield
    for one in started:
        one.kill()
        one.wait()
        one.stdout.close()


def run(source, cases, **limits):
    return run_answer(StandAlone(source), "f", cases, limits=Limits(case_s=LIMIT_S, **limits))


def test_an_answer_that_needs_nearly_its_whole_time_has_it(busy):
    results = run(SLOW.format(limit=LIMIT_S), [[0.8], [0.85], [0.8]]).results
    assert [result.value for result in results] == [0.8, 0.85, 0.8]


def test_a_cell_that_needs_nearly_its_whole_time_has_it(busy):
    source = SLOW.format(limit=LIMIT_S) + "f(0.8)\n"
    assert run(source, [[0]], load_s=LIMIT_S).results[0].value == 0


def test_an_endless_loop_is_ended_beside_them_all_the_same(busy):
    (result,) = run("def f(x):\n    while True: pass\n", [[1]]).results
    assert (result.kind, result.note) == ("out of time", "no result after 0.5 s of computing")


def test_a_time_out_beside_them_is_tried_again_alone_before_it_counts(busy, tmp_path):
    """The answer loops for ever, but only the first time."""
    source = (
        "import pathlib\n"
        "def f(path):\n"
        "    seen = pathlib.Path(path)\n"
        "    if seen.exists(): return 7\n"
        "    seen.touch()\n"
        "    while True: pass\n"
    )
    (result,) = run(source, [[str(tmp_path / "seen")]]).results
    assert result.value == 7


@pytest.mark.parametrize(
    "body",
    [
        pytest.param("import time; time.sleep(1000)", id="asleep"),
        pytest.param("import threading; threading.Event().wait()", id="waits-for-ever"),
        pytest.param("import os; os.kill(os.getpid(), 19)", id="stopped"),
    ],
)
def test_an_answer_that_waits_and_does_not_compute_is_ended_and_told_so(body):
    (result,) = run(f"def f(x):\n    {body}\n", [[1]]).results
    assert result.kind == "out of time"
    assert "without computing" in result.note


def test_processes_that_an_answer_starts_are_no_neighbours():
    """They take the processor from the answer that started them, and from its time."""
    many = 20 * (os.cpu_count() or 1)
    body = (
        "    import os\n"
        f"    for _ in range({many}):\n"
        "        if os.fork() == 0:\n"
        "            while True: pass\n"
        "    while True: pass\n"
    )
    (result,) = run(f"def f(x):\n{body}", [[1]]).results
    assert (result.kind, result.note) == ("out of time", "no result after 0.5 s of computing")


def test_what_is_below_a_process_counts_as_its_own():
    command = [sys.executable, "-c", (
        "import os\n"
        "if os.fork() == 0:\n"
        "    while True: pass\n"
        "print(flush=True)\n"
        "os.wait()\n"
    )]  # fmt: skip
    parent = subprocess.Popen(command, stdout=subprocess.PIPE)
    parent.stdout.read(1)
    try:
        first = used_by(parent.pid)
        until(lambda: used_by(parent.pid).since(first).computed_s > 0.2)
    finally:
        for child in children_of(parent.pid):
            os.kill(child, 9)
        parent.wait()
        parent.stdout.close()
