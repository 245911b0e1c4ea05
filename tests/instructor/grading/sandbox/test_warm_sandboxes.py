"""Warm sandboxes: used by several at once, replaced when broken, gone when closed."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from course_lib.runner.runner import Limits, StandAlone, run_answer
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.warm_client import WarmSandboxes

MIB = 1 << 20


@pytest.fixture
def warm(need):
    need("bwrap", "apt-get install bubblewrap")
    sandboxes = WarmSandboxes(2, Bounds(memory_octets=160 * MIB), ["json"])
    yield sandboxes
    sandboxes.close()


def value(warm, body="return 1", **limits):
    source = f"import os\ndef f():\n    {body}\n"
    limits = Limits(case_s=8, **limits)
    return run_answer(StandAlone(source), "f", [[]], limits=limits, launcher=warm.launch).results[0]


def children():
    """Return the processes that this one has started and that have not ended."""
    return set(Path("/proc/self/task").glob("*/children").__next__().read_text().split())


def test_more_workers_than_sandboxes_wait_for_their_turn(warm):
    with ThreadPoolExecutor(6) as pool:
        done = [pool.submit(value, warm, f"return {number}") for number in range(40)]
        assert [one.result().value for one in done] == list(range(40))


def test_a_sandbox_that_dies_is_replaced(warm):
    assert value(warm).value == 1
    for sandbox in [one for one in warm._idle.queue if one is not None]:
        sandbox._process.kill()
        assert sandbox.control.recv(1) == b""  # the line is cut once all in there are gone
    assert [value(warm).value for _ in range(3)] == [1, 1, 1]


def test_memory_of_all_processes_together_is_limited_and_said(warm):
    fork = "[os.fork() for _ in range(2)]; kept = b'x' * (60 << 20); import time; time.sleep(60)"
    assert "160 MiB of memory in all" in value(warm, fork).note


def test_processor_time_is_limited_and_said(warm):
    said = value(warm, "while True: pass", processor_s=1)
    assert said.kind == "died"
    assert "of processor time" in said.note


def test_what_comes_in_the_memory_of_a_fork_is_the_same_for_all(warm):
    assert value(warm, "os.secret = 1; return os.environ.setdefault('left', '0')").value == "0"
    assert value(warm, "return hasattr(os, 'secret') or 'left' in os.environ").value is False


def test_closed_sandboxes_leave_no_process(need):
    need("bwrap", "apt-get install bubblewrap")
    before = children()
    sandboxes = WarmSandboxes(1, Bounds(), [])
    assert value(sandboxes).value == 1
    assert children() > before
    sandboxes.close()
    assert children() == before
