"""The probe breaks what is not there, and finds every wall of a real sandbox standing."""

import pytest

from course_lib.runner.answer_process import start_here
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.probe import Wall, _Tries, probe, wall_lines
from instructor.grading.sandbox.sandbox import open_sandbox

OUT_OF_REACH = {
    "the network", "files of this machine", "writing outside the scratch folder",
    "files that other answers left", "the environment", "open descriptors", "other processes",
    "new user namespaces", "capabilities", "the kernel's keys and shared memory",
    "living on after the end",
}  # fmt: skip
LIMITED = {
    "processor time", "wall time", "32 processes", "memory of a process",
    "memory of all processes", "16 MiB in a file", "64 MiB in all files", "printed octets",
    "replies",
}  # fmt: skip


@pytest.mark.parametrize("kind", ["warm", "cold"])
def test_every_wall_of_a_real_sandbox_holds(kind, need):
    need("bwrap", "apt-get install bubblewrap")
    with open_sandbox(2, kinds=[kind]) as box:
        walls = probe(box)
    assert {wall.name for wall in walls if wall.keeps_out} == OUT_OF_REACH
    assert {wall.name for wall in walls if not wall.keeps_out} == LIMITED
    assert [wall.name for wall in walls if not wall.held] == []


def test_without_walls_the_probe_gets_out():
    """The same attempts, in a plain process of our own: those that are safe to let succeed."""
    names = ("network", "files", "environment", "other_processes")
    tries = _Tries(start_here, Bounds(), "none")
    held = {name: getattr(tries, name)()[1] for name in names}
    assert held == dict.fromkeys(names, False)


def test_what_does_not_hold_is_said_by_name():
    walls = (Wall("the network", True, "", True), Wall("32 processes", False, "99 more", False))
    held, broken = wall_lines(walls)
    assert held == "Tried and out of reach: the network."
    assert broken == "NOT enforced: 32 processes (99 more)."
