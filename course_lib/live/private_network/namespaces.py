"""The kernel's own walls: namespaces of users, networks and processes, by plain system calls.

A process that makes a user namespace is its administrator, and nobody outside it. So it may make
networks in there without being root, and if it was root, it has no power any more over the network
that it came from. A network namespace has interfaces, routes and sockets of its own. It lives as
long as a process is in it or somebody holds a descriptor of it: here it has no name anywhere, so
nothing is left behind.

Needs Linux; sources: namespaces(7), user_namespaces(7), unshare(2), setns(2), prctl(2). The calls
act on the calling thread, and `private_users_and_processes` wants a process with a single one.
"""

__all__ = [
    "StepError",
    "die_with_parent",
    "enter_network",
    "new_network",
    "private_users_and_processes",
    "step",
]

import contextlib
import ctypes
import os
import signal
from collections.abc import Iterator
from pathlib import Path

# linux/sched.h
CLONE_NEWUSER, CLONE_NEWPID, CLONE_NEWNET = 0x10000000, 0x20000000, 0x40000000
PR_SET_PDEATHSIG = 1  # linux/prctl.h
USER, NETWORK, PROCESSES = "user namespace", "network namespace", "process namespace"
IDS = "mapping of ids"


class StepError(Exception):
    """The kernel refused a step; `step` is what was tried, `number` its errno, `reason` its words.

    It can be written down as plain data, with which the process that asked makes it anew.
    """

    def __init__(self, step: str, number: int, reason: str) -> None:
        super().__init__(f"{step}: {reason}")
        self.step, self.number, self.reason = step, number, reason

    def as_data(self) -> dict[str, object]:
        """Return the arguments by their names."""
        return {"step": self.step, "number": self.number, "reason": self.reason}


@contextlib.contextmanager
def step(name: str, refusal: type[Exception] = OSError) -> Iterator[None]:
    """Say of a `refusal` in the block which step it was; its `errno` or `code` tells the reason."""
    try:
        yield
    except refusal as refused:
        number: int = getattr(refused, "errno", 0) or getattr(refused, "code", 0)
        raise StepError(name, number, os.strerror(number) if number else str(refused)) from refused


def private_users_and_processes() -> None:
    """Make this process the administrator of a user namespace, and of nothing else.

    Its next child will be the first process of a process namespace: when that one ends, the kernel
    ends all others in there. The id inside is 0, and outside stays what it was: files are ours as
    before, and nobody else's.
    """
    user, group = os.geteuid(), os.getegid()
    with step(USER):
        _call("unshare", CLONE_NEWUSER)
    with step(IDS):
        Path("/proc/self/setgroups").write_text("deny")  # or a user may not map the group
        Path("/proc/self/uid_map").write_text(f"0 {user} 1")
        Path("/proc/self/gid_map").write_text(f"0 {group} 1")
    with step(PROCESSES):
        _call("unshare", CLONE_NEWPID)


def new_network() -> int:
    """Leave this network for a new one with nothing in it; return a descriptor of it."""
    with step(NETWORK):
        _call("unshare", CLONE_NEWNET)
        return os.open("/proc/thread-self/ns/net", os.O_RDONLY | os.O_CLOEXEC)


def enter_network(descriptor: int) -> None:
    """Go into a network: what is opened from now on belongs there."""
    with step(NETWORK):
        _call("setns", descriptor, CLONE_NEWNET)


def die_with_parent() -> None:
    """Let the kernel kill this process as soon as the one that forked it ends."""
    _call("prctl", PR_SET_PDEATHSIG, *map(ctypes.c_ulong, (signal.SIGKILL, 0, 0, 0)))


def _call(name: str, *arguments: object) -> None:
    if getattr(ctypes.CDLL(None, use_errno=True), name)(*arguments) < 0:
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number))
