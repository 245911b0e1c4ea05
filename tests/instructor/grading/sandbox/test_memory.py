"""In a sandbox made for one answer, all its processes together have a limit of memory."""

import threading
from pathlib import Path

import pytest

from course_lib.runner.runner import Limits, StandAlone, run_answer
from instructor.grading.sandbox import probe as sandbox_probe
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.memory import WatchedChild
from instructor.grading.sandbox.sandbox import open_sandbox

MIB = 1 << 20
SMALL = Bounds(memory_octets=160 * MIB)
TAKE = "kept = b'x' * (60 << 20); time.sleep(60)"
HOSTILE = {
    "children": ["for _ in range(3): os.fork()", TAKE],
    "children-whose-parents-are-gone": [
        "for _ in range(4):", "    if os.fork() == 0:", "        os.fork() and os._exit(0)",
        "        os.setsid()", f"        {TAKE}", "time.sleep(60)"],
    "children-of-threads": [
        "def child():", "    if os.fork() == 0:", f"        {TAKE}",
        "    time.sleep(60)",
        "for _ in range(4): threading.Thread(target=child).start()", "time.sleep(60)"],
    "always-new-children": [
        "os.fork()", "os.fork()", "while True:", "    kept = b'x' * (60 << 20)",
        "    time.sleep(0.2)", "    os.fork() and os._exit(0)"],
}  # fmt: skip


@pytest.fixture(scope="module")
def cold(need):
    need("bwrap", "apt-get install bubblewrap")
    with open_sandbox(1, SMALL, kinds=["cold"]) as box:
        assert box.kind == "cold", box.detail
        yield box


def ask(box, body):
    lines = "".join(f"    {line}\n" for line in body)
    source = f"import os, threading, time\ndef f():\n{lines}"
    limits = Limits(case_s=10)
    return run_answer(StandAlone(source), "f", [[]], launcher=box.launcher, limits=limits)


@pytest.mark.parametrize("name", HOSTILE)
def test_memory_of_all_processes_together_is_limited_and_said(cold, name):
    (result,) = ask(cold, HOSTILE[name]).results
    assert (result.kind, result.note) == ("died", "used more than 160 MiB of memory in all")


@pytest.mark.parametrize("name", HOSTILE)
def test_nothing_of_it_lives_on(cold, name):
    before = children()
    ask(cold, HOSTILE[name])
    assert children() <= before


def children():
    """Return the processes that this thread has started; some may be other tests'."""
    (own,) = Path("/proc/self/task").glob(f"{threading.get_native_id()}/children")
    return set(own.read_text().split())


def test_an_answer_with_children_below_the_limit_is_left_alone(cold):
    body = ["pids = [os.fork() for _ in range(1)]", "kept = b'x' * (20 << 20)", "time.sleep(0.3)",
            "0 in pids and os._exit(0)", "return len(kept) >> 20"]  # fmt: skip
    (result,) = ask(cold, body).results
    assert result.value == 20


def takes_and_comes_back(children, octets):
    """Do what the probe's attempt does, and wait a second instead of many."""
    import os
    import time

    for _ in range(children):
        if os.fork() == 0:
            _kept = b"x" * octets
            time.sleep(600)
    time.sleep(1)
    return children


def test_where_nobody_adds_up_the_probe_says_so(cold, monkeypatch):
    monkeypatch.setattr(WatchedChild, "_watch", lambda _: None)
    monkeypatch.setattr(sandbox_probe.attempts, "allocate_in_children", takes_and_comes_back)
    tries = sandbox_probe._Tries(cold.launcher, Bounds(), "cold")
    name, held, _ = tries.all_memory()
    assert (name, held) == ("memory of all processes", False)
