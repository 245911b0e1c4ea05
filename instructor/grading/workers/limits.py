"""Limits of a worker: reading a stranger's code must not take all of a machine.

A few thousand characters can be made so that Python needs gigabytes to compile them, and a
minute. What a worker runs in its sandbox is limited there; these limits are for what it does
itself. Where memory ends, Python says so and the worker goes on. Where processor time ends, the
kernel ends the worker, since a loop in the compiler looks at nothing; whoever sent the hand-in
then takes another worker. Processes that a worker starts have limits of their own: its timer is
none of theirs (setitimer(2)), and their memory may be as much as its.

Only Linux and other systems of its kind have these limits; elsewhere nothing is limited here.
"""

__all__ = ["MEMORY_OCTETS", "PROCESSOR_S", "limited_memory", "limited_processor_time"]

import contextlib
import importlib
import os
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

MEMORY_OCTETS = 2 << 30  # beyond what a worker has when it begins; honest hand-ins need some MiB
PROCESSOR_S = 60.0  # of a worker itself for one hand-in; honest ones need less than one second

OS_LIMITS: Any = importlib.import_module("resource") if os.name == "posix" else None
OWN_SIZE = Path("/proc/self/statm")  # in pages; the first number (proc(5))


@contextlib.contextmanager
def limited_memory(octets: int = MEMORY_OCTETS) -> Iterator[None]:
    """Let this process take no more than so much memory beyond what it has."""
    if OS_LIMITS is None or not OWN_SIZE.exists():
        yield
        return
    has = int(OWN_SIZE.read_text().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    before, most = OS_LIMITS.getrlimit(OS_LIMITS.RLIMIT_AS)
    wanted = has + octets
    if most != OS_LIMITS.RLIM_INFINITY:
        wanted = min(wanted, most)
    OS_LIMITS.setrlimit(OS_LIMITS.RLIMIT_AS, (wanted, most))
    try:
        yield
    finally:
        OS_LIMITS.setrlimit(OS_LIMITS.RLIMIT_AS, (before, most))


@contextlib.contextmanager
def limited_processor_time(seconds: float = PROCESSOR_S) -> Iterator[None]:
    """Have this process ended when it has used so much processor time, in this block, itself."""
    if not hasattr(signal, "ITIMER_PROF"):
        yield
        return
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
